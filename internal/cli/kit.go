package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"stovewright/booklet"
	"stovewright/drawing"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/stove"
)

type kitCmd struct {
	briefArgs
	Out   string `help:"${kit_dir}" required:"" placeholder:"folder"`
	Paper string `help:"${paper}" enum:"a4,letter," default:"" placeholder:"a4"`
	jsonFlag
}

// Run writes the whole kit of a brief into a folder.
func (k *kitCmd) Run(c *call) error {
	sized, err := k.size()
	if err != nil {
		return err
	}
	paper := k.Paper
	if paper == "" {
		paper = sized.Brief.Choices.Paper
	}
	parts, err := kit.Make(sized)
	if err != nil {
		return err
	}
	folder, err := openKit(k.Out) // before the long work
	if err != nil {
		return err
	}
	defer folder.root.Close()
	files, err := booklet.Bundle(sized, c.Catalogue, papers[paper])
	if err != nil {
		return err
	}
	if err := folder.write(files); err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, kitJSON(parts, files, k.Out, paper, c.Catalogue))
	}
	for _, f := range files {
		fmt.Fprintln(c.Out, filepath.Join(k.Out, filepath.FromSlash(f.Name)))
	}
	fmt.Fprintln(c.Err, c.Catalogue.S("cli.kit-written", "n", len(files), "path", k.Out))
	warn(c, sized)
	return nil
}

var papers = map[string]drawing.Paper{"a4": drawing.A4, "letter": drawing.Letter}

// warn repeats the warnings of a stove beside whatever is made of it.
func warn(c *call, s *stove.Stove) {
	for _, k := range s.Checks {
		if k.Level != stove.Note {
			fmt.Fprintf(c.Err, "%s: %s\n", c.Catalogue.S("stove.level."+string(k.Level)), c.Catalogue.Say(k.Text))
		}
	}
}

// kitList is the file in a kit's folder that names the files of the kit.
const kitList = "kit-files.txt"

// kitFolder is a folder that is new, empty, or holds a kit already.
type kitFolder struct {
	root   *os.Root // no listed name can reach outside the folder
	before []string // the files of the kit that it holds
}

// openKit makes the folder if need be. A folder with other things in it than a
// kit is refused.
func openKit(dir string) (*kitFolder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	f := &kitFolder{root: root}
	if f.before, err = kitFiles(root, dir); err != nil {
		root.Close()
		return nil, err
	}
	return f, nil
}

func kitFiles(root *os.Root, dir string) ([]string, error) {
	data, err := root.ReadFile(kitList)
	if err == nil {
		return strings.Split(strings.TrimSpace(string(data)), "\n"), nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	if len(entries) > 0 {
		return nil, &folderError{dir}
	}
	return nil, nil
}

// write writes a kit. What the kit before had and this one has not is taken
// away, so that no pattern of another stove is left to be cut by mistake; other
// files stay.
func (k *kitFolder) write(files []booklet.File) error {
	now := make([]string, len(files))
	for i, f := range files {
		now[i] = f.Name
	}
	// Until all is written the list names the files of both kits, so that a
	// kit that was broken off can be written again.
	if err := k.list(append(slices.Clone(now), k.before...)); err != nil {
		return err
	}
	for _, name := range k.before {
		if !slices.Contains(now, name) {
			if err := k.root.Remove(filepath.FromSlash(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	for _, f := range files {
		name := filepath.FromSlash(f.Name)
		if err := k.root.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := k.root.WriteFile(name, f.Data, 0o644); err != nil {
			return err
		}
	}
	return k.list(now)
}

func (k *kitFolder) list(names []string) error {
	return k.root.WriteFile(kitList, []byte(strings.Join(names, "\n")+"\n"), 0o644)
}

// folderError says that a folder holds something else than a kit.
type folderError struct{ dir string }

// Text tells the user what to do.
func (e *folderError) Text() message.Text { return message.T("cli.file.not-kit", "path", e.dir) }
func (e *folderError) Error() string      { return message.English().Say(e.Text()) }
