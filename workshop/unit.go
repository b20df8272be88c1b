package workshop

import (
	"context"
	"database/sql"
)

// KeepUnit keeps the result of a unit of a study. The first result of a unit
// stays: keeping another changes nothing, so that a unit computed twice counts
// once.
func (f *File) KeepUnit(ctx context.Context, study string, number int, result []byte) error {
	return f.update(ctx, func(t *tx) error {
		return t.exec(`INSERT INTO unit (study, number, result) VALUES (?, ?, coalesce(?, x'')) ON CONFLICT DO NOTHING`, study, number, result)
	})
}

// Units gives the results of a study that are kept, by number.
func (f *File) Units(ctx context.Context, study string) (units map[int][]byte, err error) {
	units = make(map[int][]byte)
	err = f.view(ctx, func(t *tx) error {
		return t.each(func(rows *sql.Rows) error {
			var number int
			var result []byte
			err := rows.Scan(&number, &result)
			units[number] = result
			return err
		}, `SELECT number, result FROM unit WHERE study = ?`, study)
	})
	return units, err
}

// ForgetUnits drops the results of a study, to compute it anew.
func (f *File) ForgetUnits(ctx context.Context, study string) error {
	return f.update(ctx, func(t *tx) error { return t.exec(`DELETE FROM unit WHERE study = ?`, study) })
}
