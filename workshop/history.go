package workshop

import "context"

// Undo and redo walk along the edits of a record the way a user expects, while
// the record itself only ever grows: each step adds a revision that restores an
// earlier one. After edits 1, 2, 3 the steps undo, undo, redo add
//
//	4 = 2 again, 5 = 1 again, 6 = 2 again
//
// and a new edit 7 on top of 6 makes undo lead to 2 and then to 1. Revision 3
// stays in the history and can be restored from there.

// line is the history of one record, for walking.
type line map[string]Revision

// stands is the edit whose state a revision shows.
func (l line) stands(r Revision) Revision {
	if r.Action == Undone || r.Action == Redone {
		return l[r.Restores]
	}
	return r
}

// before is the state that undo leads to from an edit, or false if it was the
// first one.
func (l line) before(r Revision) (Revision, bool) {
	parent, ok := l[r.Parent]
	if !ok {
		return Revision{}, false
	}
	return l.stands(parent), true
}

// after is the state that redo leads to from the head: one step of the undone
// edits back towards the last edit.
func (l line) after(head Revision) (Revision, bool) {
	shown := l.stands(head)
	last := head
	for last.Action == Undone || last.Action == Redone {
		last = l[last.Parent]
	}
	if shown.ID == last.ID { // nothing is undone
		return Revision{}, false
	}
	// Every step leads to a lower number, so this ends.
	for r := last; ; {
		before, ok := l.before(r)
		if !ok || before.ID == shown.ID {
			return r, ok
		}
		r = before
	}
}

// within reports whether the revision a is b or one of its ancestors.
func (l line) within(a, b string) bool {
	for b != "" && b != a {
		b = l[b].Parent
	}
	return b == a
}

func (t *tx) line(record string) (line, error) {
	list, err := t.history(record)
	if err != nil {
		return nil, err
	}
	l := make(line, len(list))
	for _, r := range list {
		l[r.ID] = r
	}
	return l, nil
}

// Steps gives the revisions that Undo and Redo would bring back, nil where
// there is nothing to undo or redo.
func (f *File) Steps(ctx context.Context, record string) (undo, redo *Revision, err error) {
	err = f.view(ctx, func(t *tx) error {
		rec, err := t.record(record)
		if err != nil {
			return err
		}
		l, err := t.line(record)
		if err != nil {
			return err
		}
		if r, ok := l.before(l.stands(rec.Head)); ok {
			undo = &r
		}
		if r, ok := l.after(rec.Head); ok {
			redo = &r
		}
		return nil
	})
	return undo, redo, err
}

// Undo takes the last edit back by a new revision that restores the state
// before it; again and again, back to the first. Base is the revision the user
// saw; if it is no longer the head, Undo gives [*ConflictError]. With nothing
// to undo it gives [ErrNothingTo].
func (f *File) Undo(ctx context.Context, record, base string, by By) (Revision, error) {
	return f.step(ctx, record, base, by, Undone)
}

// Redo takes an undo back; see [File.Undo].
func (f *File) Redo(ctx context.Context, record, base string, by By) (Revision, error) {
	return f.step(ctx, record, base, by, Redone)
}

func (f *File) step(ctx context.Context, record, base string, by By, action Action) (Revision, error) {
	return f.reviseHead(ctx, record, base, by, func(t *tx, head Revision) (Revision, Action, error) {
		l, err := t.line(record)
		if err != nil {
			return Revision{}, "", err
		}
		r, ok := l.before(l.stands(head))
		if action == Redone {
			r, ok = l.after(head)
		}
		if !ok {
			return Revision{}, "", &NothingError{Action: action}
		}
		return r, action, nil
	})
}

// Restore brings back any revision of a record's history, also one that was set
// aside, by a new revision with its name, document and attachments. Base is as
// in [File.Undo].
func (f *File) Restore(ctx context.Context, record, base, revision string, by By) (Revision, error) {
	return f.reviseHead(ctx, record, base, by, func(t *tx, head Revision) (Revision, Action, error) {
		r, err := t.revision(revision)
		if err == nil && r.Record != record {
			err = &NotFoundError{What: "revision", ID: revision}
		}
		return r, Restored, err
	})
}

// Delete puts a record away. Nothing is lost: Undelete, or Undo, brings it
// back. Base is as in [File.Undo]. Deleting what is deleted does nothing.
func (f *File) Delete(ctx context.Context, record, base string, by By) (Revision, error) {
	if err := by.check(); err != nil {
		return Revision{}, err
	}
	return f.revise(ctx, func(t *tx) (Revision, error) {
		rec, err := t.record(record)
		if err != nil || rec.Head.Deleted {
			return rec.Head, err
		}
		if err := t.stillAt(rec, base); err != nil {
			return Revision{}, err
		}
		r := t.next(rec.Head, rec.Head, Deleted, by)
		r.Deleted = true
		return t.add(rec.Kind, r)
	})
}

// Undelete brings a deleted record back as it last was. Undeleting a living
// record does nothing.
func (f *File) Undelete(ctx context.Context, record string, by By) (Revision, error) {
	if err := by.check(); err != nil {
		return Revision{}, err
	}
	return f.revise(ctx, func(t *tx) (Revision, error) {
		rec, err := t.record(record)
		if err != nil || !rec.Head.Deleted {
			return rec.Head, err
		}
		living := rec.Head
		for living.Deleted {
			if living.Parent == "" {
				return Revision{}, &NothingError{Action: Restored}
			}
			if living, err = t.revision(living.Parent); err != nil {
				return Revision{}, err
			}
		}
		r := t.next(rec.Head, living, Restored, by)
		return t.add(rec.Kind, r)
	})
}

// reviseHead adds a revision that restores the one chosen by pick.
func (f *File) reviseHead(ctx context.Context, record, base string, by By,
	pick func(t *tx, head Revision) (Revision, Action, error)) (Revision, error) {
	if err := by.check(); err != nil {
		return Revision{}, err
	}
	return f.revise(ctx, func(t *tx) (Revision, error) {
		rec, err := t.record(record)
		if err != nil {
			return Revision{}, err
		}
		if base != rec.Head.ID {
			return Revision{}, &ConflictError{Record: record, Base: base, Head: rec.Head}
		}
		old, action, err := pick(t, rec.Head)
		if err != nil {
			return Revision{}, err
		}
		return t.add(rec.Kind, t.next(rec.Head, old, action, by))
	})
}

// next is a revision on top of head that says what old said.
func (t *tx) next(head, old Revision, action Action, by By) Revision {
	r := Revision{Record: head.Record, Parent: head.ID, Action: action, Who: by.Who, Why: by.Why, At: t.now,
		Name: old.Name, Deleted: old.Deleted, Document: old.Document, Attachments: old.Attachments}
	if action.restores() {
		r.Restores = old.ID
	}
	return r
}
