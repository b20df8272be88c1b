package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"

	"stovewright/internal/web"
	"stovewright/proof/all"
	"stovewright/workshop"
)

// workshopName is the workshop file that is opened when none is named.
const workshopName = "workshop.stovewright"

type benchCmd struct {
	File      string `arg:"" optional:"" help:"${workshop_file}" placeholder:"workshop.stovewright"`
	Port      int    `help:"${port}" default:"0" placeholder:"8417"`
	Network   bool   `help:"${network}"`
	NoBrowser bool   `help:"${no_browser}"`
	Log       string `help:"${log}" enum:"debug,info,warn,error" default:"warn" placeholder:"info"`
}

// Run serves the bench until it is interrupted.
func (b *benchCmd) Run(c *call) error {
	path := b.File
	if path == "" {
		var err error
		if path, err = defaultWorkshop(); err != nil {
			return err
		}
	}
	file, err := openOrCreate(c.ctx, path)
	if err != nil {
		return err
	}
	defer file.Close()
	fmt.Fprintln(c.Out, c.Catalogue.S("cli.workshop", "path", path))
	var level slog.Level
	if err := level.UnmarshalText([]byte(b.Log)); err != nil {
		return err
	}
	return web.Serve(c.ctx, web.Config{
		Workshop: file, Catalogue: c.Catalogue, Proof: all.Checks,
		Log: slog.New(slog.NewTextHandler(c.Err, &slog.HandlerOptions{Level: level})),
	}, web.Options{Port: b.Port, Network: b.Network, Browser: c.Browser && !b.NoBrowser, Out: c.Out})
}

// defaultWorkshop is the workshop file in this folder if there is one, as on a
// stick that is carried about, else the one in the user's own folder.
func defaultWorkshop() (string, error) {
	if _, err := os.Stat(workshopName); err == nil {
		return workshopName, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return workshopName, nil // a home that cannot be found: keep it here
	}
	dir = filepath.Join(dir, "stovewright")
	return filepath.Join(dir, workshopName), os.MkdirAll(dir, 0o700)
}

func openOrCreate(ctx context.Context, path string) (*workshop.File, error) {
	file, err := workshop.Open(ctx, path)
	if errors.Is(err, fs.ErrNotExist) {
		return workshop.Create(ctx, path)
	}
	return file, err
}

type exportCmd struct {
	File string `arg:"" help:"${workshop_file}" placeholder:"workshop.stovewright"`
	Dir  string `arg:"" help:"${export_dir}" placeholder:"folder"`
}

// Run writes the workshop file out as a folder of plain text.
func (e *exportCmd) Run(c *call) error {
	file, err := workshop.Open(c.ctx, e.File)
	if err != nil {
		return err
	}
	defer file.Close()
	if err := file.Export(c.ctx, e.Dir); err != nil {
		return err
	}
	fmt.Fprintln(c.Err, c.Catalogue.S("cli.exported", "path", e.Dir))
	return nil
}

type importCmd struct {
	jsonFlag
	Dir  string `arg:"" help:"${import_dir}" placeholder:"folder"`
	File string `arg:"" help:"${workshop_file}" placeholder:"workshop.stovewright"`
}

// importDoc is the JSON form of an import, docs/schema/import.schema.json.
type importDoc struct {
	Added     []string `json:"added"`
	Updated   []string `json:"updated"`
	Unchanged int      `json:"unchanged"`
	Diverged  []string `json:"diverged"`
	Drafts    int      `json:"drafts"`
}

// Run reads an exported folder into a workshop file, a new one if need be.
func (i *importCmd) Run(c *call) error {
	report, err := i.read(c.ctx)
	if err != nil {
		return err
	}
	doc := importDoc{Added: names(report.Added), Updated: names(report.Updated), Unchanged: report.Unchanged, Diverged: []string{}, Drafts: report.Drafts}
	for _, d := range report.Diverged {
		doc.Diverged = append(doc.Diverged, d.Record.Head.Name)
	}
	if i.JSON {
		return writeJSON(c.Out, doc)
	}
	fmt.Fprintln(c.Err, c.Catalogue.S("cli.imported", "added", len(doc.Added), "updated", len(doc.Updated), "unchanged", doc.Unchanged))
	for _, name := range doc.Diverged {
		fmt.Fprintln(c.Err, c.Catalogue.S("cli.diverged", "name", name))
	}
	return nil
}

// read imports the folder. A workshop file that was made for it is taken away
// again when nothing came into it.
func (i *importCmd) read(ctx context.Context) (report workshop.Report, err error) {
	if _, err := os.Stat(i.Dir); err != nil {
		return report, err
	}
	_, missing := os.Stat(i.File)
	file, err := openOrCreate(ctx, i.File)
	if err != nil {
		return report, err
	}
	report, err = file.ImportFolder(ctx, i.Dir)
	err = errors.Join(err, file.Close())
	if err != nil && errors.Is(missing, fs.ErrNotExist) {
		err = errors.Join(err, os.Remove(i.File))
	}
	return report, err
}

func names(records []workshop.Record) []string {
	list := []string{}
	for _, r := range records {
		list = append(list, r.Head.Name)
	}
	return list
}
