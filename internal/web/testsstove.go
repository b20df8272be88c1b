package web

import (
	"context"
	"errors"
	"strings"

	"stovewright/message"
	"stovewright/workshop"
)

// A test names its stove in words, as its file must be read by people and other
// programs; beside the name stands the record of the stove in the workshop file, so
// that a stove may be renamed and keeps its tests.

// followStove gives a test the name that its stove goes by now, also in what the test
// is called.
func (b *Bench) followStove(ctx context.Context, t *test) error {
	a := t.About()
	name, ok, err := b.stoveName(ctx, a.Record)
	if err != nil || !ok || name == strings.TrimSpace(a.Stove) {
		return err
	}
	a.Stove = name
	t.Head.Name = t.name(b.Catalogue)
	t.Document, err = writeTestFile(t.Form)
	return err
}

// linkStove notes the record of the stove that a test names. A name that no stove of
// the workshop goes by is kept, with no record.
func (b *Bench) linkStove(ctx context.Context, t *test) error {
	a := t.About()
	name, ok, err := b.stoveName(ctx, a.Record)
	if err != nil || ok && strings.EqualFold(name, strings.TrimSpace(a.Stove)) {
		return err
	}
	if a.Record != "" && !ok && strings.TrimSpace(a.Stove) != "" {
		if id, found := b.stoveNamed(ctx, a.Stove); found { // the stove was deleted, or is of another workshop
			a.Record = id
		}
		return nil
	}
	a.Record, _ = b.stoveNamed(ctx, a.Stove)
	return nil
}

// stoveName is what the stove of a record is called; false for no stove, and for one
// that is deleted.
func (b *Bench) stoveName(ctx context.Context, id string) (string, bool, error) {
	if id == "" {
		return "", false, nil
	}
	rec, err := b.Workshop.Get(ctx, id)
	var missing *workshop.NotFoundError
	if errors.As(err, &missing) {
		return "", false, nil
	}
	name := strings.TrimSpace(rec.Head.Name)
	return name, err == nil && rec.Kind == stoveKind && !rec.Head.Deleted && name != "", err
}

// whoseStove says whether the stove that a test names is one of the workshop.
func (b *Bench) whoseStove(t *test) message.Text {
	if b.stoveOf(context.Background(), t) == "" {
		return message.T("web.tests.stove-elsewhere")
	}
	return message.T("web.tests.stove-here")
}

// stoveOf is the stove of the workshop that a test is of, "" for none.
func (b *Bench) stoveOf(ctx context.Context, t *test) string {
	a := t.About()
	if _, ok, err := b.stoveName(ctx, a.Record); ok && err == nil {
		return a.Record
	}
	id, _ := b.stoveNamed(ctx, a.Stove)
	return id
}
