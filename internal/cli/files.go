package cli

import (
	"errors"
	"io/fs"
	"syscall"

	"stovewright/message"
)

// said is an error in the user's language.
type said message.Text

func (s said) Text() message.Text { return message.Text(s) }
func (s said) Error() string      { return message.English().Say(s.Text()) }

// fileText tells in plain words why a file could not be read or written.
func fileText(e *fs.PathError) message.Text {
	switch {
	case errors.Is(e, fs.ErrNotExist):
		return message.T("cli.file.missing", "path", e.Path)
	case errors.Is(e, fs.ErrPermission):
		return message.T("cli.file.forbidden", "path", e.Path)
	case errors.Is(e, syscall.EISDIR):
		return message.T("cli.file.folder", "path", e.Path)
	case errors.Is(e, syscall.ENOTDIR), errors.Is(e, fs.ErrExist):
		return message.T("cli.file.no-folder", "path", e.Path)
	case errors.Is(e, syscall.ENOSPC):
		return message.T("cli.file.full", "path", e.Path)
	}
	return message.T("cli.file.other", "path", e.Path, "reason", e.Err.Error())
}
