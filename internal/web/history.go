package web

import (
	"context"
	"errors"
	"net/http"

	"stovewright/message"
	"stovewright/stove"
	"stovewright/workshop"
)

// stages are the pages that a change can lead back to.
var stages = map[string]string{"brief": "/brief", "stove": "", "fire": "/fire", "explore": "/explore", "kit": "/kit", "history": "/history"}

// backTo is the page of a stove from which a button was pressed.
func backTo(r *http.Request, id string) string {
	return "/stove/" + id + stages[r.PostFormValue("from")]
}

// undo takes the last change back. What is being typed counts as one.
func (b *Bench) undo(w http.ResponseWriter, r *http.Request) error {
	return b.step(w, r, b.Workshop.Undo, "web.said.undone")
}

// redo takes an undo back.
func (b *Bench) redo(w http.ResponseWriter, r *http.Request) error {
	return b.step(w, r, b.Workshop.Redo, "web.said.redone")
}

// stepper is Undo or Redo of the workshop file.
type stepper func(ctx context.Context, record, base string, by workshop.By) (workshop.Revision, error)

func (b *Bench) step(w http.ResponseWriter, r *http.Request, do stepper, said string) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := do(ctx, d.ID, d.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	if scripted(r) && r.PostFormValue("from") == "stove" {
		return b.answerStove(w, r, d.ID, message.T(said), "#changes")
	}
	http.Redirect(w, r, backTo(r, d.ID), http.StatusSeeOther)
	return nil
}

// settleConflict answers the question whose brief holds, after somebody else
// changed the record while this one was being typed.
func (b *Bench) settleConflict(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	switch r.PostFormValue("do") {
	case "mine":
		d.Base, d.Conflict = d.Head.ID, nil
		err = b.keep(ctx, d)
	case "theirs":
		err = b.Workshop.DropDraft(ctx, d.ID, b.by(ctx, "").Who, typing)
	default:
		err = missing()
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, backTo(r, d.ID), http.StatusSeeOther)
	return nil
}

// historyPage lists every state a stove was ever in.
type historyPage struct {
	frame
	Entries []entry
}

type entry struct {
	workshop.Revision
	Wrote []wrote
	Now   bool
}

// shownHistory is how many states are listed with what they changed.
const shownHistory = 200

func (b *Bench) showHistory(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	list, err := b.Workshop.History(ctx, d.ID)
	if err != nil {
		return err
	}
	p := historyPage{frame: b.frameOf(d, "history")}
	for i, rev := range list {
		if i == shownHistory {
			break
		}
		e := entry{Revision: rev, Now: rev.ID == d.Head.ID}
		changes, err := b.Workshop.Changes(ctx, rev.ID)
		if err != nil {
			return err
		}
		for _, c := range changes {
			if c.Part == workshop.FieldPart && c.Old != c.New && rev.Parent != "" {
				e.Wrote = append(e.Wrote, b.wrote(c))
			}
		}
		p.Entries = append(p.Entries, e)
	}
	b.answer(w, r, "history", p)
	return nil
}

// restore brings back any earlier state.
func (b *Bench) restore(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	rec, err := b.Workshop.Get(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Restore(ctx, rec.ID, rec.Head.ID, r.PostFormValue("revision"), b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/stove/"+rec.ID, http.StatusSeeOther)
	return nil
}

// repair takes the text of a record whose document is no brief, mended by hand.
func (b *Bench) repair(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	rec, err := b.Workshop.Get(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	doc := []byte(r.PostFormValue("document"))
	form, err := stove.ParseForm(doc)
	if err != nil {
		return &unreadable{id: rec.ID, name: rec.Head.Name, doc: doc, cause: err, repair: "/stove/" + rec.ID + "/repair"}
	}
	_, err = b.Workshop.Save(ctx, workshop.Edit{Record: rec.ID, Base: rec.Head.ID, Name: form.Name, Content: doc, By: b.by(ctx, "")})
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/stove/"+rec.ID+"/brief", http.StatusSeeOther)
	return nil
}

// briefFile gives the brief as a file for the command line and other people.
func (b *Bench) briefFile(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	doc, err := d.Form.Write()
	if err != nil {
		return err
	}
	download(w, "application/yaml", fileName(d.Form.Name, "yaml"), doc)
	return nil
}

// copyStove makes another stove of this one's brief.
func (b *Bench) copyStove(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	form := d.Form
	form.Name = b.Catalogue.S("web.copy-name", "name", form.Name)
	next, err := b.begin(ctx, form, "")
	if err != nil {
		return err
	}
	if err := b.copyFire(ctx, d.ID, next); err != nil {
		return err
	}
	http.Redirect(w, r, "/stove/"+next.ID+"/brief", http.StatusSeeOther)
	return nil
}

func (b *Bench) deleteStove(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	rec, err := b.Workshop.Get(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, rec.ID, rec.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/workshop", http.StatusSeeOther)
	return nil
}

func (b *Bench) undeleteStove(w http.ResponseWriter, r *http.Request) error {
	return b.bringBack(w, r, "/workshop")
}

// bringBack undeletes a record and goes to the list that it is on.
func (b *Bench) bringBack(w http.ResponseWriter, r *http.Request, list string) error {
	ctx := r.Context()
	if _, err := b.Workshop.Undelete(ctx, r.PathValue("id"), b.by(ctx, "")); err != nil && !errors.Is(err, workshop.ErrNothingTo) {
		return err
	}
	http.Redirect(w, r, list, http.StatusSeeOther)
	return nil
}
