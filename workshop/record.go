package workshop

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/base32"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"stovewright/message"
)

// Limits of what is stored.
const (
	MaxDocument   = 4 << 20  // bytes of one document
	MaxAttachment = 32 << 20 // bytes of one attachment
	MaxText       = 2000     // bytes of a name, an author, a reason
)

// Record is one thing of the workshop, such as a pot or a test, as it stands.
type Record struct {
	ID   string
	Kind string // "pot", "stove", "test"…: lower-case letters, digits and hyphens
	Head Revision
}

// Revision is one state of a record. Its ID is a hash of all the rest, so a
// revision never changes and is the same in every workshop file that has it.
type Revision struct {
	ID       string
	Record   string
	Number   int    // the parent's number plus one; the first is 1
	Parent   string // the revision this one was made on; empty for a first one
	Action   Action
	Restores string // for undo, redo and restore: the revision brought back
	Who, Why string
	At       time.Time // UTC, whole milliseconds, as the clock of the machine had it

	Name        string
	Deleted     bool
	Document    string // SHA-256 of the document
	Attachments []Attachment

	// Content is the document itself. It is there in what Get, Revision and the
	// calls that make a revision return, and nil in lists.
	Content []byte
}

// Action says how a revision came about.
type Action string

// The actions. Restore brings back any earlier revision and, unlike undo, can
// itself be undone.
const (
	Edited   Action = "edit"
	Undone   Action = "undo"
	Redone   Action = "redo"
	Restored Action = "restore"
	Deleted  Action = "delete"
)

func (a Action) known() bool {
	switch a {
	case Edited, Undone, Redone, Restored, Deleted:
		return true
	}
	return false
}

// restores reports whether a revision made by this action names another.
func (a Action) restores() bool { return a == Undone || a == Redone || a == Restored }

// By is who makes a change and why. Both may be empty.
type By struct{ Who, Why string }

func (b By) check() error { return checkTexts("who", b.Who, "why", b.Why) }

// Edit is a change of a record's name or document.
type Edit struct {
	Record  string // empty for a new record, or an id from NewID
	Kind    string // of a new record; not looked at when the record exists
	Base    string // the revision the edit was made on; empty for a new record
	Name    string
	Content []byte
	By
}

// Filter says which records to list.
type Filter struct {
	Kind    string // empty for every kind
	Deleted bool   // the deleted ones instead of the living
}

// NewID makes an id for a record: 16 letters and digits (80 random bits), in
// lower case so that it can stand in a file name anywhere.
func NewID() string {
	var b [10]byte
	rand.Read(b[:]) // never fails
	return crockford.EncodeToString(b[:])
}

// crockford is base 32 without the letters that are misread: i, l, o, u.
var crockford = base32.NewEncoding("0123456789abcdefghjkmnpqrstvwxyz").WithPadding(base32.NoPadding)

var (
	recordPattern   = regexp.MustCompile(`^[0-9a-hjkmnp-tv-z]{16}$`)
	revisionPattern = regexp.MustCompile(`^[0-9a-f]{32}$`)
	hashPattern     = regexp.MustCompile(`^[0-9a-f]{64}$`)
	kindPattern     = regexp.MustCompile(`^[a-z][a-z0-9-]{0,31}$`)
	// Names that Windows keeps for devices; a kind is a folder of the export.
	devicePattern = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)
)

func validKind(kind string) bool {
	return kindPattern.MatchString(kind) && !devicePattern.MatchString(kind)
}

// hash is the SHA-256 of data in hexadecimal.
func hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

const timeLayout = "2006-01-02T15:04:05.000Z"

// identify computes the id of a revision: the first 16 bytes of the SHA-256 of
// its parts, each written as its length in bytes, a colon, the bytes and a
// comma. docs/files.md lists the parts; they can never change.
func (r *Revision) identify(kind string) string {
	h := sha256.New()
	part := func(s string) { io.WriteString(h, strconv.Itoa(len(s))+":"+s+",") }
	for _, s := range []string{"stovewright revision 1", r.Record, kind, r.Parent, string(r.Action), r.Restores,
		r.Who, r.Why, r.At.Format(timeLayout), r.Name, strconv.FormatBool(r.Deleted), r.Document} {
		part(s)
	}
	for _, a := range r.Attachments {
		part(a.Name)
		part(a.MIME)
		part(a.SHA256)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

var errNoKind = errors.New("workshop: a new record needs a kind")

// sameDocument reports whether two revisions say the same, leaving aside how
// they came about and what is attached.
func sameDocument(a, b Revision) bool {
	return a.Name == b.Name && a.Deleted == b.Deleted && a.Document == b.Document
}

// checkTexts complains about texts that cannot be kept exactly.
func checkTexts(fieldsAndValues ...string) error {
	var list message.InputErrors
	for i := 0; i+1 < len(fieldsAndValues); i += 2 {
		field, value := fieldsAndValues[i], fieldsAndValues[i+1]
		if utf8.ValidString(value) && len(value) <= MaxText {
			continue
		}
		short := strings.ToValidUTF8(value, "\uFFFD")
		short = string([]rune(short)[:min(40, utf8.RuneCountInString(short))])
		list = append(list, &message.InputError{Field: field, Value: short,
			Reason: message.T("workshop.input.text", "max", MaxText)})
	}
	return list.OrNil()
}

func (e *Edit) check() error {
	if e.Record != "" && !recordPattern.MatchString(e.Record) {
		return &NotFoundError{What: "record", ID: e.Record}
	}
	if e.Kind != "" && !validKind(e.Kind) {
		return fmt.Errorf("workshop: %q cannot be a kind", e.Kind)
	}
	if len(e.Content) > MaxDocument {
		return &message.InputError{Field: "content", Value: strconv.Itoa(len(e.Content)),
			Reason: message.T("workshop.input.document", "max", MaxDocument>>20)}
	}
	return checkTexts("name", e.Name, "who", e.Who, "why", e.Why)
}

// Save makes a revision of an edit, or a new record. Saving what already
// stands gives the standing revision, so a save may safely be repeated. If the
// record says something else than what the edit was based on, Save gives
// [*ConflictError]. Attachments stay as they are. Saving a deleted record,
// based on its deletion, brings it back.
func (f *File) Save(ctx context.Context, e Edit) (Revision, error) {
	if err := e.check(); err != nil {
		return Revision{}, err
	}
	if e.Record == "" && e.Base == "" {
		e.Record = NewID()
	}
	return f.revise(ctx, func(t *tx) (Revision, error) { return t.save(e, t.now) })
}

// revise runs a change that makes a revision.
func (f *File) revise(ctx context.Context, change func(*tx) (Revision, error)) (r Revision, err error) {
	err = f.update(ctx, func(t *tx) error {
		r, err = change(t)
		if err != nil {
			return err
		}
		return t.fill(&r)
	})
	if err != nil {
		return Revision{}, err
	}
	return r, nil
}

func (t *tx) save(e Edit, at time.Time) (Revision, error) {
	r := Revision{Record: e.Record, Parent: e.Base, Action: Edited, Who: e.Who, Why: e.Why, At: at,
		Name: e.Name, Document: hash(e.Content), Content: append([]byte{}, e.Content...)}
	record, err := t.record(e.Record)
	switch {
	case errors.Is(err, ErrNotFound) && e.Base == "":
		if e.Kind == "" {
			return Revision{}, errNoKind
		}
		return t.add(e.Kind, r)
	case err != nil:
		return Revision{}, err
	case sameDocument(record.Head, r):
		return record.Head, nil
	}
	if err := t.stillAt(record, e.Base); err != nil {
		return Revision{}, err
	}
	r.Parent, r.Attachments = record.Head.ID, record.Head.Attachments
	return t.add(record.Kind, r)
}

// stillAt gives a conflict unless the record still says what it said at base.
// What was attached meanwhile, or changed and changed back, is no conflict.
func (t *tx) stillAt(record Record, base string) error {
	if base == record.Head.ID {
		return nil
	}
	conflict := &ConflictError{Record: record.ID, Base: base, Head: record.Head}
	if base == "" {
		return conflict
	}
	was, err := t.revision(base)
	if err != nil {
		return err
	}
	if was.Record != record.ID || !sameDocument(was, record.Head) {
		return conflict
	}
	return nil
}

// add writes a revision and makes it the head of its record.
func (t *tx) add(kind string, r Revision) (Revision, error) {
	r, err := t.insert(kind, r)
	if err != nil {
		return Revision{}, err
	}
	return r, t.setHead(kind, r)
}

// setHead makes a revision the one that stands, in a new record or an old one.
func (t *tx) setHead(kind string, r Revision) error {
	return t.exec(`INSERT INTO record (id, kind, head) VALUES (?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET head = excluded.head`, r.Record, kind, r.ID)
}

// insert writes a revision without touching the head. The document is written
// if it comes along, be it empty; with none (nil) it must be there already.
func (t *tx) insert(kind string, r Revision) (Revision, error) {
	r.Number = 1
	if r.Parent != "" {
		parent, err := t.revision(r.Parent)
		if err != nil {
			return Revision{}, err
		}
		r.Number = parent.Number + 1
	}
	if r.Content != nil {
		if err := t.putBlob(r.Document, r.Content); err != nil {
			return Revision{}, err
		}
	}
	r.ID = r.identify(kind)
	// A revision with this id is this revision: writing it twice is no error.
	return r, t.exec(`INSERT INTO revision (`+revisionColumns+`)
		VALUES (?, ?, ?, nullif(?, ''), ?, nullif(?, ''), ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING`,
		r.ID, r.Record, r.Number, r.Parent, r.Action, r.Restores, r.Who, r.Why, r.At.UnixMilli(),
		r.Name, r.Deleted, r.Document, encodeAttachments(r.Attachments))
}

func (t *tx) putBlob(sha256 string, data []byte) error {
	return t.exec(`INSERT INTO blob (sha256, data) VALUES (?, coalesce(?, x'')) ON CONFLICT (sha256) DO NOTHING`, sha256, data)
}

const revisionColumns = `id, record, number, parent, action, restores, who, why, at, name, deleted, document, attachments`

// revisionSelect is revisionColumns of the table r, for joins.
const revisionSelect = `r.id, r.record, r.number, coalesce(r.parent, ''), r.action, coalesce(r.restores, ''),
	r.who, r.why, r.at, r.name, r.deleted, r.document, r.attachments`

// scanRevision reads the columns of revisionSelect, after those given first.
func scanRevision(scan func(...any) error, r *Revision, first ...any) error {
	var at int64
	var attachments string
	err := scan(append(first, &r.ID, &r.Record, &r.Number, &r.Parent, &r.Action, &r.Restores,
		&r.Who, &r.Why, &at, &r.Name, &r.Deleted, &r.Document, &attachments)...)
	if err != nil {
		return err
	}
	r.At = time.UnixMilli(at).UTC()
	if attachments == "[]" {
		return nil
	}
	return json.Unmarshal([]byte(attachments), &r.Attachments)
}

func (t *tx) revision(id string) (r Revision, err error) {
	err = scanRevision(t.row(`SELECT `+revisionSelect+` FROM revision r WHERE r.id = ?`, id).Scan, &r)
	return r, notFound(err, "revision", id)
}

func (t *tx) record(id string) (rec Record, err error) {
	row := t.row(`SELECT c.id, c.kind, `+revisionSelect+`
		FROM record c JOIN revision r ON r.id = c.head WHERE c.id = ?`, id)
	err = scanRevision(row.Scan, &rec.Head, &rec.ID, &rec.Kind)
	return rec, notFound(err, "record", id)
}

func (t *tx) blob(sha256 string) (data []byte, err error) {
	err = t.row(`SELECT data FROM blob WHERE sha256 = ?`, sha256).Scan(&data)
	return data, notFound(err, "attachment", sha256)
}

// fill gives a revision its content.
func (t *tx) fill(r *Revision) (err error) {
	r.Content, err = t.blob(r.Document)
	if r.Content == nil {
		r.Content = []byte{}
	}
	return err
}

func notFound(err error, what, id string) error {
	if errors.Is(err, sql.ErrNoRows) {
		return &NotFoundError{What: what, ID: id}
	}
	return err
}

// Get gives a record as it stands, with its document. A deleted record is
// found too; its head says so. An unknown id gives [ErrNotFound].
func (f *File) Get(ctx context.Context, id string) (rec Record, err error) {
	err = f.view(ctx, func(t *tx) error {
		if rec, err = t.record(id); err != nil {
			return err
		}
		return t.fill(&rec.Head)
	})
	return rec, err
}

// Revision gives one revision with its document.
func (f *File) Revision(ctx context.Context, id string) (r Revision, err error) {
	err = f.view(ctx, func(t *tx) error {
		if r, err = t.revision(id); err != nil {
			return err
		}
		return t.fill(&r)
	})
	return r, err
}

// List gives the records by kind and name, without their documents.
func (f *File) List(ctx context.Context, filter Filter) (list []Record, err error) {
	err = f.view(ctx, func(t *tx) error {
		list, err = t.list(`WHERE (c.kind = ?1 OR ?1 = '') AND r.deleted = ?2`, filter.Kind, filter.Deleted)
		return err
	})
	return list, err
}

func (t *tx) list(where string, args ...any) (list []Record, err error) {
	err = t.each(func(rows *sql.Rows) error {
		var rec Record
		if err := scanRevision(rows.Scan, &rec.Head, &rec.ID, &rec.Kind); err != nil {
			return err
		}
		list = append(list, rec)
		return nil
	}, `SELECT c.id, c.kind, `+revisionSelect+` FROM record c JOIN revision r ON r.id = c.head `+
		where+` ORDER BY c.kind, r.name, c.id`, args...)
	return list, err
}

// History gives every revision of a record, newest first, without documents.
// Revisions that were set aside (by a merge or a dropped draft) are among
// them: the head does not descend from those.
func (f *File) History(ctx context.Context, record string) (list []Revision, err error) {
	err = f.view(ctx, func(t *tx) error {
		if list, err = t.history(record); err != nil {
			return err
		}
		for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
			list[i], list[j] = list[j], list[i]
		}
		return nil
	})
	return list, err
}

// history gives the revisions of a record with parents before their children,
// in an order that depends on nothing but the revisions.
func (t *tx) history(record string) (list []Revision, err error) {
	err = t.each(func(rows *sql.Rows) error {
		var r Revision
		if err := scanRevision(rows.Scan, &r); err != nil {
			return err
		}
		list = append(list, r)
		return nil
	}, `SELECT `+revisionSelect+` FROM revision r WHERE r.record = ? ORDER BY r.number, r.at, r.id`, record)
	if err == nil && len(list) == 0 {
		return nil, &NotFoundError{What: "record", ID: record}
	}
	return list, err
}

// Changes tells what a revision changed against its parent.
func (f *File) Changes(ctx context.Context, revision string) (list []Change, err error) {
	err = f.view(ctx, func(t *tx) error {
		r, err := t.revision(revision)
		if err != nil {
			return err
		}
		if err := t.fill(&r); err != nil {
			return err
		}
		var parent Revision
		if r.Parent != "" {
			if parent, err = t.revision(r.Parent); err != nil {
				return err
			}
			if err := t.fill(&parent); err != nil {
				return err
			}
		}
		list = compare(parent, r)
		return nil
	})
	return list, err
}

// compare lists the changes of name, attachments and document.
func compare(old, new Revision) []Change {
	var list []Change
	if old.Name != new.Name {
		list = append(list, Change{Part: NamePart, Old: old.Name, New: new.Name})
	}
	list = append(list, compareAttachments(old.Attachments, new.Attachments)...)
	if !bytes.Equal(old.Content, new.Content) {
		list = append(list, Diff(old.Content, new.Content)...)
	}
	return list
}
