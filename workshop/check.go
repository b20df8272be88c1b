package workshop

import (
	"context"
	"database/sql"
	"fmt"
)

// Check reads the whole file and reports the first thing that is wrong with it
// as [ErrDamaged]: the database itself, a reference that leads nowhere, bytes
// that do not have their hash, a revision that is not what its id says. It
// takes time in proportion to the size of the file.
func (f *File) Check(ctx context.Context) error {
	return f.view(ctx, func(t *tx) error {
		for _, check := range []func(*tx) error{checkDatabase, checkReferences, checkBlobs, checkRevisions} {
			if err := check(t); err != nil {
				return fileError(f.path, err)
			}
		}
		return nil
	})
}

// damage is what is wrong, in words for a programmer; the user is told that the
// file is damaged and what to do.
type damage struct{ what string }

func (d damage) Error() string { return d.what }

func (d damage) Is(target error) bool { return target == ErrDamaged }

func damagedf(format string, args ...any) error { return damage{fmt.Sprintf(format, args...)} }

func checkDatabase(t *tx) error {
	return t.each(func(rows *sql.Rows) error {
		var line string
		if err := rows.Scan(&line); err != nil || line == "ok" {
			return err
		}
		return damagedf("database: %s", line)
	}, `PRAGMA integrity_check`)
}

func checkReferences(t *tx) error {
	return t.each(func(rows *sql.Rows) error {
		return damagedf("a reference leads nowhere")
	}, `PRAGMA foreign_key_check`)
}

func checkBlobs(t *tx) error {
	return t.each(func(rows *sql.Rows) error {
		var sum string
		var data sql.RawBytes
		if err := rows.Scan(&sum, &data); err != nil {
			return err
		}
		if hash(data) != sum {
			return damagedf("blob %s does not have its hash", sum)
		}
		return nil
	}, `SELECT sha256, data FROM blob`)
}

func checkRevisions(t *tx) error {
	records, err := t.list("")
	if err != nil {
		return err
	}
	for _, rec := range records {
		line, err := t.line(rec.ID)
		if err != nil {
			return err
		}
		if _, ok := line[rec.Head.ID]; !ok {
			return damagedf("the head of record %s is of another record", rec.ID)
		}
		for _, r := range line {
			if r.identify(rec.Kind) != r.ID || r.Number != line[r.Parent].Number+1 {
				return damagedf("revision %s is not what its id says", r.ID)
			}
			for _, a := range r.Attachments {
				if _, err := t.blob(a.SHA256); err != nil {
					return damagedf("revision %s lacks attachment %s", r.ID, a.SHA256)
				}
			}
		}
	}
	return nil
}
