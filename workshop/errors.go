package workshop

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"

	"stovewright/message"
)

// What can be asked of an error with errors.Is. Each reaches the caller inside
// a [*FileError], a [*NotFoundError] or a [*NothingError]; every error type of
// this package has a Text to be shown to the user.
var (
	ErrNotFound    = errors.New("workshop: no such entry")
	ErrNotWorkshop = errors.New("workshop: not a workshop file")
	ErrBusy        = errors.New("workshop: another program is writing")
	ErrDamaged     = errors.New("workshop: the file is damaged")
	ErrFull        = errors.New("workshop: the disk is full")
	ErrReadOnly    = errors.New("workshop: the file cannot be written")
	ErrDisk        = errors.New("workshop: the disk failed")
	ErrNothingTo   = errors.New("workshop: nothing to undo or redo")
)

// FileError says that the file as a whole cannot be used: Kind is one of the
// errors above, [fs.ErrExist] or [fs.ErrNotExist].
type FileError struct {
	Path   string
	Reason message.Text
	Kind   error
	Cause  error // what the system or SQLite said; may be nil
}

// Text tells the user what is wrong and what to do.
func (e *FileError) Text() message.Text { return e.Reason }

func (e *FileError) Error() string {
	s := "workshop: " + message.English().Say(e.Reason)
	if e.Cause != nil {
		s += " (" + e.Cause.Error() + ")"
	}
	return s
}

func (e *FileError) Unwrap() []error { return []error{e.Kind, e.Cause} }

// NewerFileError says that a workshop file or an export was written by a newer
// program than this. It was not touched.
type NewerFileError struct {
	Path           string
	Version, Known int  // what it is, and the newest this program can read
	Export         bool // an export folder rather than a file
}

// Text tells the user what to do.
func (e *NewerFileError) Text() message.Text {
	id := "workshop.newer.file"
	if e.Export {
		id = "workshop.newer.export"
	}
	return message.T(id, "path", e.Path, "version", e.Version, "known", e.Known)
}

func (e *NewerFileError) Error() string {
	return "workshop: " + message.English().Say(e.Text())
}

// ConflictError says that a record is no longer what the change was based on.
// Nothing was lost: the other change is Head, and the caller still has its own.
type ConflictError struct {
	Record string
	Base   string   // what the change was based on
	Head   Revision // what stands now: who, why and when
}

// Text tells the user who changed the record, and when.
func (e *ConflictError) Text() message.Text {
	id := "workshop.conflict.changed"
	if e.Head.Deleted {
		id = "workshop.conflict.deleted"
	}
	return message.T(id, "name", e.Head.Name, "who", someone(e.Head.Who),
		"when", e.Head.At.Local().Format("2006-01-02 15:04"))
}

func (e *ConflictError) Error() string {
	return "workshop: " + message.English().Say(e.Text())
}

// someone is the name to show for an author, who may not have given one.
func someone(who string) any {
	if who == "" {
		return message.T("workshop.someone")
	}
	return who
}

// NotFoundError says that there is no such record, revision or attachment; it
// is [ErrNotFound].
type NotFoundError struct {
	What string // "record", "revision", "attachment" or "draft"
	ID   string
}

// Text tells the user what was not found.
func (e *NotFoundError) Text() message.Text {
	return message.T("workshop.missing."+e.What, "id", e.ID)
}

func (e *NotFoundError) Error() string {
	return fmt.Sprintf("workshop: no %s %q", e.What, e.ID)
}

// Is makes the error be [ErrNotFound].
func (e *NotFoundError) Is(target error) bool { return target == ErrNotFound }

// NothingError says that there is nothing to undo or to redo; it is
// [ErrNothingTo].
type NothingError struct{ Action Action }

// Text tells the user so.
func (e *NothingError) Text() message.Text {
	return message.T("workshop.nothing." + string(e.Action))
}

func (e *NothingError) Error() string { return "workshop: nothing to " + string(e.Action) }

// Is makes the error be [ErrNothingTo].
func (e *NothingError) Is(target error) bool { return target == ErrNothingTo }

// ImportError says which file of an export cannot be used, why, and what to
// try. Nothing was imported.
type ImportError struct {
	File   string // path inside the folder
	Line   int    // in a file of JSON lines, else 0
	Reason message.Text
	Cause  error // may be nil
}

// Text tells the user which file it is and what to try.
func (e *ImportError) Text() message.Text {
	if e.Line > 0 {
		return message.T("workshop.import.line", "file", e.File, "line", e.Line, "reason", e.Reason)
	}
	return message.T("workshop.import.file", "file", e.File, "reason", e.Reason)
}

func (e *ImportError) Error() string {
	s := "workshop: " + message.English().Say(e.Text())
	if e.Cause != nil {
		s += " (" + e.Cause.Error() + ")"
	}
	return s
}

func (e *ImportError) Unwrap() error { return e.Cause }

func existsError(path string) error {
	return &FileError{Path: path, Kind: fs.ErrExist, Reason: message.T("workshop.file.exists", "path", path)}
}

func notWorkshop(path, id string) error {
	return &FileError{Path: path, Kind: ErrNotWorkshop, Reason: message.T(id, "path", path)}
}

// fileError translates what the system and SQLite say about a file into a
// [*FileError]. Errors that are about something else pass unchanged.
func fileError(path string, err error) error {
	if err == nil || ours(err) {
		return err
	}
	id, kind := classify(err)
	if kind == nil {
		return err
	}
	return &FileError{Path: path, Kind: kind, Cause: err, Reason: message.T(id, "path", path)}
}

// ours reports whether an error has its words already or needs none.
func ours(err error) bool {
	var said interface{ Text() message.Text }
	_, complaint := message.Complaints(err)
	return complaint || errors.As(err, &said) || impatient(err)
}

// impatient reports whether the caller gave up.
func impatient(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

// Primary result codes of SQLite, https://www.sqlite.org/rescode.html.
const (
	sqlitePerm     = 3
	sqliteBusy     = 5
	sqliteLocked   = 6
	sqliteReadOnly = 8
	sqliteIOErr    = 10
	sqliteCorrupt  = 11
	sqliteFull     = 13
	sqliteCantOpen = 14
	sqliteNotADB   = 26
)

func classify(err error) (id string, kind error) {
	var e *sqlite.Error
	if errors.As(err, &e) {
		switch e.Code() & 0xff { // the low byte of an extended code
		case sqliteBusy, sqliteLocked:
			return "workshop.file.busy", ErrBusy
		case sqliteCorrupt, sqliteNotADB:
			return "workshop.file.damaged", ErrDamaged
		case sqliteFull:
			return "workshop.file.full", ErrFull
		case sqliteReadOnly, sqliteCantOpen, sqlitePerm:
			return "workshop.file.readonly", ErrReadOnly
		case sqliteIOErr:
			return "workshop.file.disk", ErrDisk
		}
		return "", nil
	}
	switch {
	case errors.Is(err, ErrDamaged):
		return "workshop.file.damaged", ErrDamaged
	case errors.Is(err, fs.ErrNotExist):
		return "workshop.file.missing", fs.ErrNotExist
	case errors.Is(err, fs.ErrExist):
		return "workshop.file.exists", fs.ErrExist
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return "workshop.file.readonly", ErrReadOnly
	case errors.Is(err, syscall.ENOSPC):
		return "workshop.file.full", ErrFull
	}
	return "", nil
}
