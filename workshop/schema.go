package workshop

import (
	"context"
	"database/sql"
	"embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// applicationID marks a workshop file in the header of the database: "Stov".
const applicationID = 0x53746F76

//go:embed schema/*.sql
var schemaFiles embed.FS

// migrations are the steps from an empty database to the present tables. Step
// n leads to version n, which is kept as the user_version of the file. A step
// that was once released is never changed.
var migrations = loadMigrations()

func loadMigrations() []string {
	var steps []string
	for {
		text, err := schemaFiles.ReadFile(fmt.Sprintf("schema/%d.sql", len(steps)+1))
		if err != nil { // no further step: the files are part of the program
			return steps
		}
		steps = append(steps, string(text))
	}
}

// initialise makes the tables in an empty file and leaves it closed, whole and
// without journal.
func initialise(ctx context.Context, path string, steps []string) error {
	db, err := connect(path, "rwc", "immediate", 1)
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	for step := range steps {
		if err := takeStep(ctx, db, steps, step); err != nil {
			return err
		}
	}
	if err := db.Close(); err != nil {
		return err
	}
	return syncFile(path)
}

// migrate brings an older file up to date, one transaction a step, after
// putting a copy of it beside it.
func migrate(ctx context.Context, db *sql.DB, path string, steps []string) error {
	version, err := userVersion(ctx, db)
	switch {
	case err != nil:
		return err
	case version == len(steps):
		return nil
	case version > len(steps): // migrated by another program since it was inspected
		return &NewerFileError{Path: path, Version: version, Known: len(steps)}
	}
	if err := backup(ctx, db, backupName(path, version)); err != nil {
		return err
	}
	for step := version; step < len(steps); step++ {
		if err := takeStep(ctx, db, steps, step); err != nil {
			return fmt.Errorf("workshop: migration to version %d: %w", step+1, err)
		}
	}
	// An older program looks at the header of the file first, so let the new
	// version stand there and not in the log alone.
	_, err = db.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	return err
}

func takeStep(ctx context.Context, db *sql.DB, steps []string, step int) error {
	t, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer t.Rollback()
	var version int
	if err := t.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if version > step { // another program was quicker
		return nil
	}
	if _, err := t.ExecContext(ctx, steps[step]); err != nil {
		return err
	}
	if _, err := t.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", step+1)); err != nil {
		return err
	}
	return t.Commit()
}

// backupName is the first free name for the copy of a file of an old version:
// "shop.version-1.stovewright", "shop.version-1-2.stovewright"…
func backupName(path string, version int) string {
	stem := fmt.Sprintf("%s.version-%d", strings.TrimSuffix(path, filepath.Ext(path)), version)
	name := stem + Extension
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); errors.Is(err, os.ErrNotExist) {
			return name
		}
		name = fmt.Sprintf("%s-%d%s", stem, n, Extension)
	}
}

func userVersion(ctx context.Context, db *sql.DB) (version int, err error) {
	err = db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version)
	return version, err
}

// Where the header of an SQLite database keeps what we look at; see
// https://www.sqlite.org/fileformat2.html, "The Database Header".
const (
	headerSize          = 100
	headerMagic         = "SQLite format 3\x00"
	headerUserVersion   = 60
	headerApplicationID = 68
)

// inspect tells the version of a workshop file without changing anything. It
// reads the bytes of the header itself, so that SQLite never gets to see a file
// that is not ours.
func inspect(ctx context.Context, path string) (version int, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, err
	}
	if info.IsDir() {
		return 0, notWorkshop(path, "workshop.file.folder")
	}
	header, err := readHeader(path)
	switch {
	case err != nil:
		return 0, err
	case len(header) == 0:
		return 0, notWorkshop(path, "workshop.file.empty")
	case len(header) < headerSize || string(header[:len(headerMagic)]) != headerMagic:
		return 0, notWorkshop(path, "workshop.file.other")
	case binary.BigEndian.Uint32(header[headerApplicationID:]) != applicationID:
		return 0, notWorkshop(path, "workshop.file.database")
	}
	version = int(int32(binary.BigEndian.Uint32(header[headerUserVersion:])))
	// A program killed in the middle of a migration may have left the new
	// version in the log.
	if wal, err := os.Stat(path + "-wal"); err != nil || wal.Size() == 0 {
		return version, nil
	}
	db, err := connect(path, "ro", "deferred", 1)
	if err != nil {
		return 0, err
	}
	defer db.Close()
	return userVersion(ctx, db)
}

// readHeader reads the first bytes of a file, fewer if it is shorter.
func readHeader(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, headerSize))
}
