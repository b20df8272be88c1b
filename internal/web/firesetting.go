package web

import (
	"context"
	"crypto/sha256"
	"errors"
	"strings"

	"stovewright/fire"
	"stovewright/workshop"
)

// fireKind is the kind of the records that hold what is asked of a stove's fire:
// firepower, pot and wood of the task, and the coefficients that somebody put
// in place of the table's.
const fireKind = "fire"

// fireID is the id of the fire record of a stove. It follows from the stove's
// own, so that the two find each other in every workshop file.
func fireID(stove string) string {
	const letters = "0123456789abcdefghjkmnpqrstvwxyz"
	sum := sha256.Sum256([]byte("fire of " + stove))
	var id strings.Builder
	for _, b := range sum[:16] {
		id.WriteByte(letters[int(b)%len(letters)])
	}
	return id.String()
}

// loadFire reads what is asked of the fire of a stove; the zero form where
// nothing was.
func (b *Bench) loadFire(ctx context.Context, stove string) (fire.Form, opened, error) {
	o, err := b.open(ctx, fireID(stove), fireKind)
	if errors.Is(err, workshop.ErrNotFound) {
		return fire.Form{Stove: stove}, opened{}, nil
	}
	if err != nil {
		return fire.Form{}, o, err
	}
	f, err := fire.ParseForm(o.Document)
	if err != nil { // set by hand or damaged: the stove burns without it
		b.Log.Warn("fire not read", "record", o.Head.Record, "err", err)
		f = fire.Form{}
	}
	f.Stove = stove
	return f, o, nil
}

// keepFire keeps what is asked of a fire: as a draft while it is typed, and the
// first time as the record itself.
func (b *Bench) keepFire(ctx context.Context, d *design, f fire.Form, o opened) error {
	doc, err := f.Write()
	if err != nil {
		return err
	}
	e := workshop.Edit{Record: fireID(d.ID), Kind: fireKind, Base: o.Head.ID, Name: d.Form.Name, Content: doc}
	if o.Head.ID == "" {
		e.By = b.by(ctx, "")
		_, err = b.Workshop.Save(ctx, e)
		return err
	}
	_, err = b.draft(ctx, e)
	return err
}

// copyFire gives the copy of a stove the fire of the first.
func (b *Bench) copyFire(ctx context.Context, from string, to *design) error {
	f, o, err := b.loadFire(ctx, from)
	if err != nil || o.Head.ID == "" {
		return err
	}
	f.Stove = to.ID
	return b.keepFire(ctx, to, f, opened{})
}
