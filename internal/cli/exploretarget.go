package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"stovewright/message"
)

// What a question writes is looked at before the work begins, so that no long work
// ends with its answer having nowhere to go.

// writable complains about a file that could not be written, or written anew: its
// place, or the nearest folder above it that is there, is tried.
func writable(path string) error {
	if path == "" {
		return nil
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return writableFolder(filepath.Dir(path))
	case err != nil:
		return err
	case info.IsDir():
		return &fs.PathError{Op: "open", Path: path, Err: syscall.EISDIR}
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

// writableNew is the same for a file that must not be there yet.
func writableNew(flag, path string) error {
	if path == "" {
		return nil
	}
	if _, err := os.Lstat(path); err == nil {
		return &message.InputError{Field: flag, Value: path, Reason: message.T("cli.explore.file-there"), Try: example(flag)}
	}
	return writable(path)
}

// writableFolder complains about a folder that no file could be put into.
func writableFolder(dir string) error {
	if dir == "" {
		return nil
	}
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist) && filepath.Dir(dir) != dir:
		return writableFolder(filepath.Dir(dir))
	case err != nil:
		return err
	case !info.IsDir():
		return &fs.PathError{Op: "open", Path: dir, Err: syscall.ENOTDIR}
	}
	f, err := os.CreateTemp(dir, ".stovewright-*")
	if err != nil {
		var why *fs.PathError
		if errors.As(err, &why) {
			err = &fs.PathError{Op: "open", Path: dir, Err: why.Err}
		}
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// designFile is the file of a design, less its number.
const designFile = "design-"

// writableDesigns complains about a folder that holds designs: those of two searches
// in one folder could not be told apart.
func writableDesigns(flag, dir string) error {
	files, err := os.ReadDir(dir)
	if dir == "" || errors.Is(err, fs.ErrNotExist) {
		return writableFolder(dir)
	}
	if err != nil {
		return err
	}
	for _, f := range files {
		if strings.HasPrefix(f.Name(), designFile) && filepath.Ext(f.Name()) == ".yaml" {
			return &message.InputError{Field: flag, Value: dir, Reason: message.T("cli.explore.designs-there", "file", f.Name()), Try: flag + " other"}
		}
	}
	return writableFolder(dir)
}

// writeNew writes a file that is not there yet.
func writeNew(flag, path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return &message.InputError{Field: flag, Value: path, Reason: message.T("cli.explore.file-there"), Try: example(flag)}
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}
