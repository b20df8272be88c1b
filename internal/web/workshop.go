package web

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"

	"stovewright/examples"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/workshop"
)

// workshopPage lists what the workshop file holds.
type workshopPage struct {
	frame
	Path       string
	Who        string
	Stoves     []listed
	Gone       []listed
	Examples   []example
	Document   string // a brief that could not be taken, as it was sent
	Complaints message.InputErrors
	Report     *workshop.Report
}

type listed struct {
	workshop.Record
	Complaints int
	Stove      *stove.Stove
}

type example struct{ File, Name, Note string }

func (b *Bench) workshopPage(ctx context.Context) (workshopPage, error) {
	p := workshopPage{frame: b.frame("workshop", "web.workshop.title"), Path: b.Workshop.Path(), Examples: exampleBriefs()}
	p.Last = b.last(ctx)
	settings, err := b.Workshop.Settings(ctx)
	if err != nil {
		return p, err
	}
	p.Who = settings[whoSetting]
	if p.Stoves, err = b.listed(ctx, false); err != nil {
		return p, err
	}
	p.Gone, err = b.listed(ctx, true)
	return p, err
}

// listed gives the stoves, those changed last first.
func (b *Bench) listed(ctx context.Context, deleted bool) (list []listed, err error) {
	records, err := b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind, Deleted: deleted})
	if err != nil {
		return nil, err
	}
	for _, rec := range records {
		l := listed{Record: rec}
		if d, err := b.load(ctx, rec.ID); err == nil {
			l.Stove, l.Complaints = d.Stove, len(d.Complaints)
		}
		list = append(list, l)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Head.At.After(list[j].Head.At) })
	return list, nil
}

func (b *Bench) showWorkshop(w http.ResponseWriter, r *http.Request) error {
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	p, err := b.workshopPage(r.Context())
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "workshop", p)
	return nil
}

// exampleBriefs are the briefs that come with the program.
var exampleBriefs = sync.OnceValue(func() (list []example) {
	names, _ := fs.Glob(examples.Briefs, "*.yaml")
	for _, name := range names {
		if f, err := exampleForm(name); err == nil {
			list = append(list, example{name, f.Name, f.Note})
		}
	}
	return list
})

func exampleForm(name string) (stove.Form, error) {
	if !strings.HasSuffix(name, ".yaml") || strings.ContainsAny(name, "/\\") {
		return stove.Form{}, missing()
	}
	data, err := examples.Briefs.ReadFile(name)
	if err != nil {
		return stove.Form{}, missing()
	}
	return stove.ParseForm(data)
}

// Begin puts the first example into a workshop that holds no stove yet, so that
// the bench opens on a whole stove. It says in its note that it is invented.
func (b *Bench) Begin(ctx context.Context) error {
	if b.last(ctx) != "" {
		return nil
	}
	form, err := exampleForm(examples.First)
	if err != nil {
		return err
	}
	_, err = b.begin(ctx, form, "")
	return err
}

// newStove starts an empty brief, or one of the examples.
func (b *Bench) newStove(w http.ResponseWriter, r *http.Request) error {
	form := stove.Form{}
	stage := "/brief"
	if name := r.PostFormValue("example"); name != "" {
		var err error
		if form, err = exampleForm(name); err != nil {
			return err
		}
		stage = ""
	}
	d, err := b.begin(r.Context(), form, "")
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/stove/"+d.ID+stage, http.StatusSeeOther)
	return nil
}

// importBrief takes a brief file, as a file or pasted.
func (b *Bench) importBrief(w http.ResponseWriter, r *http.Request) error {
	text := r.FormValue("document")
	if file, _, err := r.FormFile("file"); err == nil {
		defer file.Close()
		data, err := io.ReadAll(file)
		if err != nil {
			return err
		}
		if len(data) > 0 {
			text = string(data)
		}
	} else if !errors.Is(err, http.ErrMissingFile) && !errors.Is(err, http.ErrNotMultipart) {
		return err
	}
	form, err := stove.ParseForm([]byte(text))
	if err != nil || strings.TrimSpace(text) == "" {
		p, pageErr := b.workshopPage(r.Context())
		if pageErr != nil {
			return pageErr
		}
		p.Document = text
		if p.Complaints, _ = message.Complaints(err); len(p.Complaints) == 0 {
			p.Complaints = message.InputErrors{{Field: "document", Reason: message.T("web.import.empty")}}
		}
		b.show(w, http.StatusUnprocessableEntity, "workshop", p)
		return nil
	}
	d, err := b.begin(r.Context(), form, "")
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/stove/"+d.ID, http.StatusSeeOther)
	return nil
}

// setWho keeps the name that stands beside changes in the history.
func (b *Bench) setWho(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil { // what was typed under the old name keeps it
		return err
	}
	if err := b.Workshop.Set(ctx, whoSetting, tidy(strings.TrimSpace(r.PostFormValue("who")))); err != nil {
		return err
	}
	http.Redirect(w, r, "/workshop#who", http.StatusSeeOther)
	return nil
}

// exportWorkshop gives the whole record as a folder of plain text in a zip file.
func (b *Bench) exportWorkshop(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "stovewright-export-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	folder := filepath.Join(dir, "workshop")
	if err := b.Workshop.Export(ctx, folder); err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	if err := z.AddFS(os.DirFS(folder)); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(b.Workshop.Path()), workshop.Extension)
	download(w, "application/zip", fileName(name, "export.zip"), out.Bytes())
	return nil
}

// importWorkshop brings an export back: what this file lacks is added, and
// nothing in it is lost.
func (b *Bench) importWorkshop(w http.ResponseWriter, r *http.Request) error {
	file, header, err := r.FormFile("file")
	if err != nil {
		return &message.InputError{Field: "file", Reason: message.T("web.import.no-file")}
	}
	defer file.Close()
	z, err := zip.NewReader(file, header.Size)
	if err != nil {
		return &message.InputError{Field: "file", Value: header.Filename, Reason: message.T("web.import.no-zip")}
	}
	report, err := b.Workshop.Import(r.Context(), z)
	if err != nil {
		return err
	}
	p, err := b.workshopPage(r.Context())
	if err != nil {
		return err
	}
	p.Report = &report
	b.show(w, http.StatusOK, "workshop", p)
	return nil
}
