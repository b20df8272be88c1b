package web

import (
	"net/http"
	"strings"

	"stovewright/message"
	"stovewright/workshop"
)

func (b *Bench) undoSheet(w http.ResponseWriter, r *http.Request) error {
	return b.stepSheet(w, r, b.Workshop.Undo)
}

func (b *Bench) redoSheet(w http.ResponseWriter, r *http.Request) error {
	return b.stepSheet(w, r, b.Workshop.Redo)
}

func (b *Bench) stepSheet(w http.ResponseWriter, r *http.Request, do stepper) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	if _, err := do(ctx, s.ID, s.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, s.Path()+backQuery(r), http.StatusSeeOther)
	return nil
}

// backQuery is the page of the sheet from which a button was pressed.
func backQuery(r *http.Request) string {
	from := r.PostFormValue("from")
	if from == "/history" || strings.HasPrefix(from, "?") {
		return from
	}
	return ""
}

// settleSheet answers the question whose sheet holds, after somebody else
// changed the record while this one was being typed.
func (b *Bench) settleSheet(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	switch r.PostFormValue("do") {
	case "mine":
		s.Base, s.Conflict = s.Head.ID, nil
		err = b.keepSheet(ctx, s)
	case "theirs":
		err = b.Workshop.DropDraft(ctx, s.ID, b.by(ctx, "").Who, typing)
	default:
		err = missing()
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, s.Path()+backQuery(r), http.StatusSeeOther)
	return nil
}

// sheetHistoryPage lists every state a sheet was ever in.
type sheetHistoryPage struct {
	sheetFrame
	Entries []entry
}

func (b *Bench) sheetHistory(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	list, err := b.Workshop.History(ctx, s.ID)
	if err != nil {
		return err
	}
	p := sheetHistoryPage{sheetFrame: b.sheetFrame(r, s)}
	p.Query = "/history"
	for i, rev := range list {
		if i == shownHistory {
			break
		}
		e := entry{Revision: rev, Now: rev.ID == s.Head.ID}
		changes, err := b.Workshop.Changes(ctx, rev.ID)
		if err != nil {
			return err
		}
		for _, c := range changes {
			if c.Part == workshop.FieldPart && c.Old != c.New && rev.Parent != "" {
				e.Wrote = append(e.Wrote, wrote{Name: b.entryName(s.Paper, everyFromOne(c.Field)), Old: c.Old, New: c.New})
			}
		}
		p.Entries = append(p.Entries, e)
	}
	b.answer(w, r, "brickshistory", p)
	return nil
}

// entryName is the name of a field of a sheet with the items it lies in.
func (b *Bench) entryName(paper *brickPaper, path string) message.Text {
	name := message.T("web.field-unnamed", "path", path)
	if f, ok := paper.fields.Find(path); ok && b.Catalogue.Has(f.Name().ID) {
		name = f.Name()
	}
	parts := strings.Split(path, ".")
	for i := len(parts) - 1; i >= 0; i-- {
		if item, n, ok := strings.Cut(strings.TrimSuffix(parts[i], "]"), "["); ok && b.Catalogue.Has("web.bricks.item."+item) {
			name = message.T("web.item-field", "item", message.T("web.bricks.item."+item, "number", n), "field", name)
		}
	}
	return name
}

// restoreSheet brings back any earlier state.
func (b *Bench) restoreSheet(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Restore(ctx, s.ID, s.Head.ID, r.PostFormValue("revision"), b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, s.Path(), http.StatusSeeOther)
	return nil
}

// recordOf finds the record that a request is about, living or deleted, whatever
// its document says.
func (b *Bench) recordOf(r *http.Request) (*brickPaper, workshop.Record, error) {
	paper, err := paperOf(r)
	if err != nil {
		return nil, workshop.Record{}, err
	}
	rec, err := b.Workshop.Get(r.Context(), r.PathValue("id"))
	if err == nil && rec.Kind != paper.kind() {
		err = missing()
	}
	return paper, rec, err
}

// repairSheet takes the text of a sheet that could not be read, mended by hand.
func (b *Bench) repairSheet(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	paper, rec, err := b.recordOf(r)
	if err != nil {
		return err
	}
	doc := []byte(r.PostFormValue("document"))
	s := &sheet{ID: rec.ID, Paper: paper}
	if s.Form, err = paper.parse(doc); err != nil {
		return &unreadable{id: rec.ID, name: rec.Head.Name, doc: doc, cause: err, repair: s.Path() + "/repair"}
	}
	_, err = b.Workshop.Save(ctx, workshop.Edit{Record: rec.ID, Base: rec.Head.ID, Name: s.Name(), Content: doc, By: b.by(ctx, "")})
	if err != nil {
		return err
	}
	http.Redirect(w, r, s.Path(), http.StatusSeeOther)
	return nil
}

// sheetFile gives the sheet as a file for the command line and other people.
func (b *Bench) sheetFile(w http.ResponseWriter, r *http.Request) error {
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	doc, err := s.document()
	if err != nil {
		return err
	}
	name := s.Name()
	if strings.TrimSpace(name) == "" {
		name = string(s.Paper.Key)
	}
	download(w, "application/yaml", fileName(name, "yaml"), doc)
	return nil
}

// copySheet makes another sheet of this one.
func (b *Bench) copySheet(w http.ResponseWriter, r *http.Request) error {
	s, err := b.sheetOf(r)
	if err != nil {
		return err
	}
	next := &sheet{Paper: s.Paper, Form: s.Form}
	writeSlot(next.Form, "name", b.Catalogue.S("web.copy-name", "name", s.Name()))
	if err := b.saveSheet(r.Context(), next, ""); err != nil {
		return err
	}
	http.Redirect(w, r, next.Path(), http.StatusSeeOther)
	return nil
}

func (b *Bench) deleteSheet(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	_, rec, err := b.recordOf(r)
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, rec.ID, rec.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/bricks", http.StatusSeeOther)
	return nil
}

func (b *Bench) undeleteSheet(w http.ResponseWriter, r *http.Request) error {
	if _, _, err := b.recordOf(r); err != nil {
		return err
	}
	return b.bringBack(w, r, "/bricks")
}
