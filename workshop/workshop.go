// Package workshop keeps the record of a workshop in one file: pots, briefs,
// stoves, bodies, trials, tests, batches, notes, with every state each of them
// was ever in.
//
// The file is an SQLite database. The package knows nothing of what the
// documents say: a record is a kind, a name and a plain-text document (YAML or
// JSON, kept byte for byte), so a new kind of record needs no change to the
// file. Each edit is a [Revision] with who, why and when; nothing is ever
// overwritten. Undo, redo, delete and undelete are themselves new revisions.
//
// # What a save promises
//
// When a call that writes has returned without error, what it wrote is on the
// disk and survives a killed program and a power cut. When it returns an error,
// nothing of it was written. Between the two there is no half-written record.
// A form calls [File.SaveDraft] at every key; a power cut then costs at most
// the key being pressed.
//
// # The promise for files
//
//   - A program opens every workshop file and every export folder written by
//     this or any earlier version of it. Files are brought up to date on
//     opening, after a copy of the old file has been put beside them.
//   - A file or export written by a newer program is refused with
//     [*NewerFileError] and is not touched.
//   - An export is plain text and readable without this program for ever:
//     UTF-8 documents, JSON lines, SHA-256 checksums. Its format is described
//     in docs/files.md.
//   - The version of the file counts up by one with each change of the tables,
//     the version of the export with each change of its format. Neither is the
//     version of the program.
//
// A [File] may be used by several goroutines at once, and one workshop file by
// several programs: writers wait for each other for a few seconds and are then
// told [ErrBusy].
package workshop

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"stovewright/message"
)

// Extension is the extension of a workshop file's name.
const Extension = ".stovewright"

// File is an open workshop file.
type File struct {
	// Now is the clock that dates revisions; time.Now unless replaced before
	// the file is used.
	Now func() time.Time

	path  string
	write *sql.DB // one connection: SQLite has one writer at a time
	read  *sql.DB // a few connections that cannot write
}

// Path is the absolute path of the file.
func (f *File) Path() string { return f.path }

// Create makes a new, empty workshop file and opens it. The name must end in
// [Extension] and must not be taken ([fs.ErrExist]). The file appears whole or
// not at all.
func Create(ctx context.Context, path string) (*File, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if filepath.Ext(path) != Extension {
		return nil, &message.InputError{Field: "file", Value: filepath.Base(path),
			Reason: message.T("workshop.file.extension", "extension", Extension),
			Try:    filepath.Base(path) + Extension}
	}
	// A journal left by another file of this name would be played back into
	// the new one, so it counts as the name being taken.
	for _, suffix := range []string{"", "-wal", "-journal"} {
		if _, err := os.Lstat(path + suffix); err == nil {
			return nil, existsError(path + suffix)
		}
	}
	temp := hidden(path, "new")
	defer os.Remove(temp)
	if err := initialise(ctx, temp, migrations); err != nil {
		return nil, fileError(path, err)
	}
	if err := publish(temp, path); err != nil {
		return nil, err
	}
	return Open(ctx, path)
}

// hidden is the name of a file in the making, beside what it will become.
func hidden(path, state string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+state+"-"+NewID())
}

// publish gives a finished file its name without ever replacing another.
func publish(temp, path string) error {
	err := os.Link(temp, path)
	if errors.Is(err, os.ErrExist) {
		return existsError(path)
	}
	if err != nil { // a disk without hard links, such as a FAT memory stick
		if err := os.Rename(temp, path); err != nil {
			return fileError(path, err)
		}
	}
	return syncDir(filepath.Dir(path))
}

// Open opens a workshop file. A file that is missing, of another program,
// damaged, or in use gives a [*FileError] that says so; one written by a newer
// program gives [*NewerFileError]. Refused files are not changed by one byte.
func Open(ctx context.Context, path string) (*File, error) {
	return open(ctx, path, migrations)
}

func open(ctx context.Context, path string, steps []string) (*File, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	// The journal stands beside the file itself, not beside a link to it.
	named := path
	if path, err = filepath.EvalSymlinks(named); err != nil {
		return nil, fileError(named, err)
	}
	version, err := inspect(ctx, path)
	if err != nil {
		return nil, fileError(path, err)
	}
	if version > len(steps) {
		return nil, &NewerFileError{Path: path, Version: version, Known: len(steps)}
	}
	f := &File{Now: time.Now, path: path}
	if f.write, err = connect(path, "rw", "immediate", 1); err != nil {
		return nil, err
	}
	if f.read, err = connect(path, "rw", "deferred", 4); err != nil {
		f.write.Close()
		return nil, err
	}
	if err := migrate(ctx, f.write, path, steps); err != nil {
		f.Close()
		return nil, fileError(path, err)
	}
	return f, nil
}

// connect prepares a pool of connections. The settings, in the order SQLite
// needs them: wait for other writers, enforce references, keep a write-ahead
// log, and write through to the disk at each commit (fullfsync matters on a
// Mac only, where plain fsync stops at the drive's cache). The last two refuse
// SQL hidden in the schema of a file from a stranger. Mode is SQLite's: "rwc"
// makes a missing file, "ro" changes nothing.
func connect(path, mode, lock string, connections int) (*sql.DB, error) {
	query := url.Values{
		"mode":          {mode},
		"_txlock":       {lock},
		"_busy_timeout": {"5000"},
		"_foreign_keys": {"1"},
		"_synchronous":  {"FULL"},
		"_pragma":       {"fullfsync(1)", "checkpoint_fullfsync(1)", "trusted_schema(0)"},
		"_defensive":    {"1"},
	}
	switch {
	case lock == "immediate":
		query.Set("_journal_mode", "WAL")
	case mode != "ro":
		query.Set("_query_only", "1")
	}
	db, err := sql.Open("sqlite", fileURI(path)+"?"+query.Encode())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return db, nil
}

// fileURI writes a path so that no character of it is taken for syntax.
func fileURI(path string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") { // C:/… on Windows
		path = "/" + path
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}

// Close closes the file. Everything saved is then in the one file, and it can
// be copied like any other.
func (f *File) Close() error {
	// The writer goes last: it folds the write-ahead log into the file.
	return errors.Join(f.read.Close(), f.write.Close())
}

// Backup writes a whole and consistent copy of the open file to path, which
// must not exist. Copying the file by other means is safe only when no program
// has it open.
func (f *File) Backup(ctx context.Context, path string) error {
	return fileError(path, backup(ctx, f.write, path))
}

func backup(ctx context.Context, db *sql.DB, path string) error {
	if _, err := os.Lstat(path); err == nil {
		return existsError(path)
	}
	temp := hidden(path, "part")
	defer os.Remove(temp)
	if _, err := db.ExecContext(ctx, "VACUUM INTO ?", temp); err != nil {
		return err
	}
	if err := syncFile(temp); err != nil {
		return err
	}
	return publish(temp, path)
}

func syncFile(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(file.Sync(), file.Close())
}

// syncDir makes a new name in a folder survive a power cut. Windows has no
// such call and does not need it.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// tx is one transaction. It carries its context because it lives no longer
// than the call that brought it.
type tx struct {
	*sql.Tx
	ctx context.Context
	now time.Time
}

// update runs fn in one transaction of the writer: all of it happens or none.
func (f *File) update(ctx context.Context, fn func(*tx) error) error {
	return f.transact(ctx, f.write, &sql.TxOptions{}, fn)
}

// view runs fn on a snapshot that no writer can change meanwhile.
func (f *File) view(ctx context.Context, fn func(*tx) error) error {
	return f.transact(ctx, f.read, &sql.TxOptions{ReadOnly: true}, fn)
}

func (f *File) transact(ctx context.Context, db *sql.DB, options *sql.TxOptions, fn func(*tx) error) error {
	t, err := db.BeginTx(ctx, options)
	if err != nil {
		return fileError(f.path, err)
	}
	defer t.Rollback() // does nothing after a commit
	if err := fn(&tx{Tx: t, ctx: ctx, now: f.Now().UTC().Truncate(time.Millisecond)}); err != nil {
		return fileError(f.path, err)
	}
	return fileError(f.path, t.Commit())
}

func (t *tx) exec(query string, args ...any) error {
	_, err := t.ExecContext(t.ctx, query, args...)
	return err
}

func (t *tx) row(query string, args ...any) *sql.Row {
	return t.QueryRowContext(t.ctx, query, args...)
}

// each calls scan for every row of a query.
func (t *tx) each(scan func(*sql.Rows) error, query string, args ...any) error {
	rows, err := t.QueryContext(t.ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := scan(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}
