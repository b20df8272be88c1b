package workshop

import (
	"context"
	"encoding/json"
	"mime"
	"slices"
	"strconv"
	"strings"

	"stovewright/message"
)

// Attachment is a file kept with a record, such as a picture. The list of
// attachments is part of a revision, so attaching and detaching are in the
// history and can be undone. The bytes are kept once, by their hash.
type Attachment struct {
	Name   string `json:"name"`
	MIME   string `json:"mime"`
	SHA256 string `json:"sha256"`
	Size   int64  `json:"size"`
}

// encodeAttachments writes the list for its column; [] for none.
func encodeAttachments(list []Attachment) string {
	if len(list) == 0 {
		return "[]"
	}
	text, _ := json.Marshal(list) // strings and numbers cannot fail
	return string(text)
}

// Attach adds a file to a record, in place of one of the same name. The type
// is a MIME type ("image/jpeg"), empty for unknown. A deleted record gives
// [*ConflictError].
func (f *File) Attach(ctx context.Context, record, name, mimeType string, data []byte, by By) (Revision, error) {
	a, err := newAttachment(name, mimeType, data)
	if err != nil {
		return Revision{}, err
	}
	return f.reattach(ctx, record, by, func(t *tx, list []Attachment) ([]Attachment, error) {
		list = slices.DeleteFunc(list, func(b Attachment) bool { return b.Name == name })
		list = append(list, a)
		slices.SortFunc(list, func(a, b Attachment) int { return strings.Compare(a.Name, b.Name) })
		return list, t.putBlob(a.SHA256, data)
	})
}

// Detach takes an attachment off a record. Its bytes stay in the history.
func (f *File) Detach(ctx context.Context, record, name string, by By) (Revision, error) {
	return f.reattach(ctx, record, by, func(t *tx, list []Attachment) ([]Attachment, error) {
		i := slices.IndexFunc(list, func(a Attachment) bool { return a.Name == name })
		if i < 0 {
			return nil, &NotFoundError{What: "attachment", ID: name}
		}
		return slices.Delete(list, i, i+1), nil
	})
}

// reattach makes a revision with another list of attachments.
func (f *File) reattach(ctx context.Context, record string, by By,
	change func(*tx, []Attachment) ([]Attachment, error)) (Revision, error) {
	if err := by.check(); err != nil {
		return Revision{}, err
	}
	return f.revise(ctx, func(t *tx) (Revision, error) {
		rec, err := t.record(record)
		if err != nil {
			return Revision{}, err
		}
		if rec.Head.Deleted {
			return Revision{}, &ConflictError{Record: record, Head: rec.Head}
		}
		list, err := change(t, slices.Clone(rec.Head.Attachments))
		if err != nil || slices.Equal(list, rec.Head.Attachments) {
			return rec.Head, err
		}
		r := t.next(rec.Head, rec.Head, Edited, by)
		r.Attachments = list
		return t.add(rec.Kind, r)
	})
}

// newAttachment describes a file, or complains about it.
func newAttachment(name, mimeType string, data []byte) (Attachment, error) {
	var list message.InputErrors
	complain := func(field, value string, reason message.Text, try string) {
		list = append(list, &message.InputError{Field: field, Value: value, Reason: reason, Try: try})
	}
	if err := checkTexts("attachment.name", name); err != nil {
		list, _ = message.Complaints(err)
	}
	if name == "" {
		complain("attachment.name", name, message.T("workshop.input.empty"), "")
	}
	if len(data) > MaxAttachment {
		complain("attachment", strconv.Itoa(len(data)),
			message.T("workshop.input.attachment", "max", MaxAttachment>>20), "")
	}
	if mimeType == "" {
		mimeType = "application/octet-stream"
	}
	if !validMIME(mimeType) {
		complain("attachment.type", mimeType, message.T("workshop.input.mime"), "image/jpeg")
	}
	return Attachment{Name: name, MIME: mimeType, SHA256: hash(data), Size: int64(len(data))}, list.OrNil()
}

func validMIME(s string) bool {
	kind, _, err := mime.ParseMediaType(s)
	return err == nil && strings.Contains(kind, "/") && len(s) <= MaxText
}

// Attachment gives the bytes of an attachment by its hash.
func (f *File) Attachment(ctx context.Context, sha256 string) (data []byte, err error) {
	err = f.view(ctx, func(t *tx) error {
		data, err = t.blob(sha256)
		return err
	})
	return data, err
}

func compareAttachments(old, new []Attachment) []Change {
	sums := func(list []Attachment) map[string]string {
		m := make(map[string]string)
		for _, a := range list {
			m[a.Name] = a.SHA256
		}
		return m
	}
	var list []Change
	before, after := sums(old), sums(new)
	for _, a := range old {
		if after[a.Name] != a.SHA256 {
			list = append(list, Change{Part: AttachmentPart, Field: a.Name, Old: a.SHA256, New: after[a.Name]})
		}
	}
	for _, a := range new {
		if before[a.Name] == "" {
			list = append(list, Change{Part: AttachmentPart, Field: a.Name, New: a.SHA256})
		}
	}
	return list
}
