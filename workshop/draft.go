package workshop

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Draft is what is being typed into a form: the whole document at the last key,
// kept safe before it is worth a revision.
type Draft struct {
	Edit           // Record is needed: take NewID for a record not saved yet
	Form string    // tells two forms of one author apart, such as two windows; may be empty
	At   time.Time // of the last key; set by SaveDraft
}

// SaveDraft keeps a draft in place of the one that this author's form had
// before. It is meant to be called at every key. When it returns, the draft is
// safe on the disk.
//
// Base is the revision the form was opened on, and the form may go on sending
// it after the draft has been settled. If someone else has changed the record,
// the draft is kept all the same and SaveDraft gives [*ConflictError]: show
// both, then save the draft again on the new base, or drop it.
func (f *File) SaveDraft(ctx context.Context, d Draft) error {
	if err := errors.Join(d.check(), checkTexts("form", d.Form)); err != nil {
		return err
	}
	if !recordPattern.MatchString(d.Record) {
		return &NotFoundError{What: "record", ID: d.Record}
	}
	var conflict error
	err := f.update(ctx, func(t *tx) error {
		var base, became string
		err := t.row(`SELECT base, became FROM draft WHERE record = ? AND who = ? AND form = ?`,
			d.Record, d.Who, d.Form).Scan(&base, &became)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if base != d.Base { // the form was opened anew
			became = ""
		}
		d.At = t.now
		standsOn := d
		if became != "" {
			standsOn.Base = became
		}
		if d.Kind, conflict, err = t.draftConflict(standsOn); err != nil {
			return err
		}
		return t.putDraft(d, became)
	})
	return errors.Join(err, conflict)
}

func (t *tx) putDraft(d Draft, became string) error {
	return t.exec(`INSERT OR REPLACE INTO draft (`+draftColumns+`, base, became, pending)
		VALUES (?, ?, ?, ?, ?, ?, ?, coalesce(?, x''), ?, ?, 1)`,
		d.Record, d.Who, d.Form, d.Kind, d.Why, d.At.UnixMilli(), d.Name, d.Content, d.Base, became)
}

// draftConflict tells the kind of the draft's record and the conflict that
// settling the draft would run into, if any.
func (t *tx) draftConflict(d Draft) (kind string, conflict, err error) {
	record, err := t.record(d.Record)
	switch {
	case errors.Is(err, ErrNotFound) && d.Base == "":
		return d.Kind, nil, t.unsavedKind(d)
	case err != nil:
		return "", nil, err
	}
	err = t.stillAt(record, d.Base)
	if errors.As(err, new(*ConflictError)) {
		return record.Kind, err, nil
	}
	return record.Kind, nil, err
}

// unsavedKind objects to a draft of a record that does not exist yet if it has
// no kind, or another than the drafts of it that are here.
func (t *tx) unsavedKind(d Draft) error {
	if d.Kind == "" {
		return errNoKind
	}
	var other string
	err := t.row(`SELECT kind FROM draft WHERE record = ? AND kind <> ?`, d.Record, d.Kind).Scan(&other)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err == nil {
		err = fmt.Errorf("workshop: a draft of record %s is a %s, not a %s", d.Record, other, d.Kind)
	}
	return err
}

// Drafts lists what is typed but not settled, of one record or, with an empty
// id, of all. After a power cut this is what the forms held. Base is the
// revision a draft stands on now.
func (f *File) Drafts(ctx context.Context, record string) (list []Draft, err error) {
	err = f.view(ctx, func(t *tx) error {
		list, err = t.drafts(`(record = ?1 OR ?1 = '')`, record)
		return err
	})
	return list, err
}

const draftColumns = `record, who, form, kind, why, at, name, content`

func (t *tx) drafts(where string, args ...any) (list []Draft, err error) {
	err = t.each(func(rows *sql.Rows) error {
		var d Draft
		var at int64
		err := rows.Scan(&d.Record, &d.Who, &d.Form, &d.Kind, &d.Why, &at, &d.Name, &d.Content, &d.Base)
		d.At = time.UnixMilli(at).UTC()
		list = append(list, d)
		return err
	}, `SELECT `+draftColumns+`, iif(became = '', base, became) FROM draft
		WHERE pending = 1 AND `+where+` ORDER BY record, who, form`, args...)
	return list, err
}

// Settle makes a revision of each draft whose last key is at least idle ago,
// dated at that key: what was typed in one go becomes one revision. Call it
// every few seconds, when a form is left, and with zero before an export. A
// draft that conflicts with what someone else saved is left as it is; the
// error then joins a [*ConflictError] for each, and the revisions of the others
// are returned all the same.
func (f *File) Settle(ctx context.Context, idle time.Duration) ([]Revision, error) {
	var settled []Revision
	var conflicts error
	err := f.update(ctx, func(t *tx) error {
		// A draft from the future means that the clock was set back.
		list, err := t.drafts(`(at <= ?1 OR at > ?2)`, t.now.Add(-idle).UnixMilli(), t.now.UnixMilli())
		if err != nil {
			return err
		}
		for _, d := range list {
			r, err := t.save(d.Edit, d.At)
			if errors.As(err, new(*ConflictError)) {
				conflicts = errors.Join(conflicts, err)
				continue
			}
			if err != nil {
				return err
			}
			if err := errors.Join(t.fill(&r), t.settled(d, r.ID)); err != nil {
				return err
			}
			settled = append(settled, r)
		}
		// The rows of settled drafts tell a form that is still open which
		// revision it has become; no form is open for a week.
		return t.exec(`DELETE FROM draft WHERE pending = 0 AND at < ?`, t.now.Add(-7*24*time.Hour).UnixMilli())
	})
	if err != nil {
		return nil, err
	}
	return settled, conflicts
}

func (t *tx) settled(d Draft, became string) error {
	return t.exec(`UPDATE draft SET pending = 0, became = ? WHERE record = ? AND who = ? AND form = ?`,
		became, d.Record, d.Who, d.Form)
}

// DropDraft ends a draft that its author does not want. What was typed is not
// lost: it becomes a revision that is set aside, to be found in the history.
// Only a record that was never saved goes for good with its draft.
func (f *File) DropDraft(ctx context.Context, record, who, form string) error {
	return f.update(ctx, func(t *tx) error {
		list, err := t.drafts(`record = ? AND who = ? AND form = ?`, record, who, form)
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return &NotFoundError{What: "draft", ID: record}
		}
		if d := list[0]; d.Base != "" {
			if err := t.setAside(d); err != nil {
				return err
			}
		}
		return t.exec(`DELETE FROM draft WHERE record = ? AND who = ? AND form = ?`, record, who, form)
	})
}

// setAside makes a revision of a draft without making it the head.
func (t *tx) setAside(d Draft) error {
	rec, err := t.record(d.Record)
	if err != nil {
		return err
	}
	base, err := t.revision(d.Base)
	if err != nil {
		return err
	}
	r := Revision{Record: d.Record, Parent: d.Base, Action: Edited, Who: d.Who, Why: d.Why, At: d.At,
		Name: d.Name, Document: hash(d.Content), Content: append([]byte{}, d.Content...), Attachments: base.Attachments}
	if sameDocument(r, base) {
		return nil
	}
	_, err = t.insert(rec.Kind, r)
	return err
}
