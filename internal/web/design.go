package web

import (
	"context"
	"errors"

	"stovewright/message"
	"stovewright/stove"
	"stovewright/workshop"
)

// stoveKind is the kind of the records that the bench designs. The document of
// such a record is a brief file with the user's overrides: everything else
// about the stove follows from it.
const stoveKind = "stove"

// typing names the draft that the pages of one workshop share.
const typing = "bench"

// design is a stove of the workshop as it stands, with what is being typed.
type design struct {
	ID         string
	Head       workshop.Revision
	Base       string // the revision that Form stands on
	Typed      bool   // Form holds keys that are no revision yet
	Conflict   *workshop.ConflictError
	Form       stove.Form
	Brief      stove.Brief
	Stove      *stove.Stove // nil while the brief lacks something
	Complaints message.InputErrors
	Undo, Redo bool
}

// unreadable says that the document of a record is not what its kind has.
type unreadable struct {
	id     string
	name   string
	doc    []byte
	cause  error
	repair string // where the mended text is sent
}

func (e *unreadable) Error() string { return "web: record " + e.id + ": " + e.cause.Error() }
func (e *unreadable) Unwrap() error { return e.cause }

// load reads a stove and sizes it.
func (b *Bench) load(ctx context.Context, id string) (*design, error) {
	o, err := b.open(ctx, id, stoveKind)
	if err != nil {
		return nil, err
	}
	d := &design{ID: id, Head: o.Head, Base: o.Base, Typed: o.Typed, Conflict: o.Conflict, Undo: o.Undo, Redo: o.Redo}
	if d.Form, err = stove.ParseForm(o.Document); err != nil {
		return nil, &unreadable{id: id, name: o.Head.Name, doc: o.Document, cause: err, repair: "/stove/" + id + "/repair"}
	}
	d.size()
	return d, nil
}

// opened is a record as it stands, with what is being typed.
type opened struct {
	Head       workshop.Revision
	Base       string // the revision that the document stands on
	Document   []byte
	Typed      bool // the document holds keys that are no revision yet
	Conflict   *workshop.ConflictError
	Undo, Redo bool
}

// open reads a living record of a kind.
func (b *Bench) open(ctx context.Context, id, kind string) (opened, error) {
	rec, err := b.Workshop.Get(ctx, id)
	if err != nil {
		return opened{}, err
	}
	if rec.Kind != kind || rec.Head.Deleted {
		return opened{}, &workshop.NotFoundError{What: "record", ID: id}
	}
	o := opened{Head: rec.Head, Base: rec.Head.ID, Document: rec.Head.Content}
	drafts, err := b.Workshop.Drafts(ctx, id)
	if err != nil {
		return opened{}, err
	}
	for _, draft := range drafts {
		if draft.Form != typing {
			continue
		}
		o.Base, o.Typed, o.Document = draft.Base, true, draft.Content
		if draft.Base != rec.Head.ID {
			if err := b.stale(ctx, draft.Base, rec); err != nil {
				o.Conflict = err
			}
		}
	}
	undo, redo, err := b.Workshop.Steps(ctx, id)
	if err != nil {
		return opened{}, err
	}
	o.Undo, o.Redo = undo != nil || o.Typed, redo != nil && !o.Typed
	return o, nil
}

// stale says whether the record no longer says what it said at a revision.
func (b *Bench) stale(ctx context.Context, base string, rec workshop.Record) *workshop.ConflictError {
	if was, err := b.Workshop.Revision(ctx, base); err == nil && string(was.Content) == string(rec.Head.Content) {
		return nil
	}
	return &workshop.ConflictError{Record: rec.ID, Base: base, Head: rec.Head}
}

// size reads the form and sizes the stove. Complaints are kept, not returned:
// a brief that lacks something is the usual state of a brief being written.
func (d *design) size() {
	d.Brief, d.Stove, d.Complaints = sizeForm(d.Form)
}

// sizeForm is the way from what was typed to a stove.
func sizeForm(f stove.Form) (stove.Brief, *stove.Stove, message.InputErrors) {
	filled, places := filledIn(f)
	brief, err := filled.Read()
	var s *stove.Stove
	if err == nil {
		s, err = stove.Size(brief)
	}
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		c.Field = places.onPage(c.Field)
	}
	return brief, s, complaints
}

// complaint finds what is wrong with a field.
func (d *design) complaint(path string) *message.InputError {
	for _, c := range d.Complaints {
		if c.Field == path {
			return c
		}
	}
	return nil
}

// by is who works here, as the workshop's settings have it.
func (b *Bench) by(ctx context.Context, why string) workshop.By {
	settings, err := b.Workshop.Settings(ctx)
	if err != nil {
		return workshop.By{Why: why}
	}
	return workshop.By{Who: settings[whoSetting], Why: why}
}

const whoSetting = "bench.who"

// keep saves what is being typed. It becomes a revision when the typing rests.
func (b *Bench) keep(ctx context.Context, d *design) error {
	doc, err := d.Form.Write()
	if err != nil {
		return err
	}
	conflict, err := b.draft(ctx, workshop.Edit{Record: d.ID, Kind: stoveKind, Base: d.Base, Name: d.Form.Name, Content: doc})
	if conflict != nil { // kept all the same; the page shows both
		d.Conflict = conflict
	}
	d.Typed, d.Undo, d.Redo = true, true, false
	return err
}

// draft saves what is being typed into a record. A conflict is no failure: the
// draft is kept all the same.
func (b *Bench) draft(ctx context.Context, e workshop.Edit) (conflict *workshop.ConflictError, err error) {
	e.By = b.by(ctx, "")
	err = b.Workshop.SaveDraft(ctx, workshop.Draft{Form: typing, Edit: e})
	if errors.As(err, &conflict) {
		err = nil
	}
	return conflict, err
}

// save makes a revision of a design at once.
func (b *Bench) save(ctx context.Context, d *design, why string) error {
	doc, err := d.Form.Write()
	if err != nil {
		return err
	}
	r, err := b.Workshop.Save(ctx, workshop.Edit{Record: d.ID, Kind: stoveKind, Base: d.Head.ID,
		Name: d.Form.Name, Content: doc, By: b.by(ctx, why)})
	if err != nil {
		return err
	}
	d.ID, d.Head, d.Base = r.Record, r, r.ID
	return nil
}

// rest makes revisions of everything that was typed. A draft that conflicts
// with somebody else's change stays a draft, and its page says so.
func (b *Bench) rest(ctx context.Context) error {
	_, err := b.Workshop.Settle(ctx, 0)
	if errors.As(err, new(*workshop.ConflictError)) {
		return nil
	}
	return err
}

// begin makes a new stove of a form.
func (b *Bench) begin(ctx context.Context, f stove.Form, why string) (*design, error) {
	d := &design{Form: f}
	if err := b.save(ctx, d, why); err != nil {
		return nil, err
	}
	return d, nil
}

// before is the design as it was before the last change; nil for a first one.
func (b *Bench) before(ctx context.Context, d *design) (*design, error) {
	if d.Typed {
		was := &design{ID: d.ID, Head: d.Head}
		return was, was.read(d.Head.Content)
	}
	if d.Head.Parent == "" {
		return nil, nil
	}
	r, err := b.Workshop.Revision(ctx, d.Head.Parent)
	if err != nil {
		return nil, err
	}
	was := &design{ID: d.ID, Head: r}
	return was, was.read(r.Content)
}

func (d *design) read(doc []byte) (err error) {
	if d.Form, err = stove.ParseForm(doc); err == nil {
		d.size()
	}
	return err
}

// lookBack is how many revisions are searched for a stove that can be drawn.
const lookBack = 30

// lastDrawable is the latest earlier state of a design that makes a stove; nil
// when there is none near.
func (b *Bench) lastDrawable(ctx context.Context, d *design) *stove.Stove {
	parent := d.Head.ID
	if !d.Typed {
		parent = d.Head.Parent
	}
	for range lookBack {
		if parent == "" {
			return nil
		}
		r, err := b.Workshop.Revision(ctx, parent)
		if err != nil {
			return nil
		}
		was := design{}
		if was.read(r.Content) == nil && was.Stove != nil {
			return was.Stove
		}
		parent = r.Parent
	}
	return nil
}
