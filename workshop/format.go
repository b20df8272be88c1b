package workshop

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"stovewright/message"
)

// The export folder, version 1; docs/files.md describes it for a reader without
// this program.
//
//	workshop.json                            the index: what is here, with checksums
//	README.txt                               a word to whoever finds the folder
//	settings.json
//	attachments/<sha256>.jpg
//	<kind>/<slug>--<id>.yaml                 the document as it stands, untouched
//	<kind>/<slug>--<id>.history.jsonl        every revision
//	<kind>/<slug>--<id>.drafts.jsonl         what was typed and not settled, if any
const (
	formatName    = "stovewright workshop export"
	formatVersion = 1

	indexFileName    = "workshop.json"
	readmeFileName   = "README.txt"
	settingsFileName = "settings.json"

	documentSuffix = ".yaml"
	historySuffix  = ".history.jsonl"
	draftsSuffix   = ".drafts.jsonl"
)

var (
	recordFilePattern     = regexp.MustCompile(`^([a-z][a-z0-9-]*)/[a-z0-9-]{1,64}--([0-9a-z]{16})(\.yaml|\.history\.jsonl|\.drafts\.jsonl)$`)
	attachmentFilePattern = regexp.MustCompile(`^attachments/([0-9a-f]{64})\.[a-z0-9]{1,8}$`)
)

// index is workshop.json.
type index struct {
	Format  string        `json:"format"`
	Version int           `json:"version"`
	Records []indexRecord `json:"records"`
	Files   []indexFile   `json:"files"`
	Sum     string        `json:"sum"` // over all of the above
}

type indexRecord struct {
	ID       string `json:"id"`
	Kind     string `json:"kind"`
	Name     string `json:"name"`
	Deleted  bool   `json:"deleted,omitempty"`
	Head     string `json:"head"`
	Document string `json:"document"`
	History  string `json:"history"`
}

type indexFile struct {
	Path   string `json:"path"`
	Size   int64  `json:"size"`
	SHA256 string `json:"sha256"`
}

// sum is the checksum of the index itself: of one line per record and file,
// with the parts between tabs. A name is not a part: the history holds it.
func (ix *index) sum() string {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\t%d\n", ix.Format, ix.Version)
	for _, r := range ix.Records {
		fmt.Fprintf(&b, "record\t%s\t%s\t%s\t%s\t%s\n", r.ID, r.Kind, r.Head, r.Document, r.History)
	}
	for _, f := range ix.Files {
		fmt.Fprintf(&b, "file\t%s\t%d\t%s\n", f.Path, f.Size, f.SHA256)
	}
	return hash(b.Bytes())
}

// historyHeader is the first line of a history.
type historyHeader struct {
	Record string `json:"record"`
	Kind   string `json:"kind"`
	Head   string `json:"head"`
}

// contentLine holds a document in a line of JSON: as text if it is text, so
// that a person can read it, else in base 64.
type contentLine struct {
	Content *string `json:"content,omitempty"`
	Base64  []byte  `json:"base64,omitempty"`
}

func newContentLine(data []byte) contentLine {
	if utf8.Valid(data) {
		s := string(data)
		return contentLine{Content: &s}
	}
	return contentLine{Base64: data}
}

func (c contentLine) bytes() ([]byte, error) {
	switch {
	case c.Content != nil && c.Base64 != nil, c.Content == nil && c.Base64 == nil:
		return nil, errors.New("a line holds either content or base64")
	case c.Content != nil:
		c.Base64 = []byte(*c.Content)
	}
	if len(c.Base64) > MaxDocument {
		return nil, errors.New("the document is too long")
	}
	return c.Base64, nil
}

// revisionLine is a further line of a history.
type revisionLine struct {
	ID          string       `json:"revision"`
	Parent      string       `json:"parent,omitempty"`
	Action      Action       `json:"action"`
	Restores    string       `json:"restores,omitempty"`
	Who         string       `json:"who"`
	Why         string       `json:"why"`
	At          string       `json:"at"`
	Name        string       `json:"name"`
	Deleted     bool         `json:"deleted,omitempty"`
	Attachments []Attachment `json:"attachments,omitempty"`
	contentLine
}

// draftLine is a line of a drafts file.
type draftLine struct {
	Base string `json:"base"`
	Who  string `json:"who"`
	Form string `json:"form"`
	Why  string `json:"why"`
	At   string `json:"at"`
	Name string `json:"name"`
	contentLine
}

// encodeLine writes one line of JSON.
func encodeLine(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

func encodeRevision(w io.Writer, r Revision) error {
	return encodeLine(w, revisionLine{ID: r.ID, Parent: r.Parent, Action: r.Action, Restores: r.Restores,
		Who: r.Who, Why: r.Why, At: r.At.Format(timeLayout), Name: r.Name, Deleted: r.Deleted,
		Attachments: r.Attachments, contentLine: newContentLine(r.Content)})
}

func encodeDraft(w io.Writer, d Draft) error {
	return encodeLine(w, draftLine{Base: d.Base, Who: d.Who, Form: d.Form, Why: d.Why,
		At: d.At.Format(timeLayout), Name: d.Name, contentLine: newContentLine(d.Content)})
}

// decodeStrict reads exactly one JSON value and no unknown field.
func decodeStrict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return errors.New("more than one JSON value")
	}
	return nil
}

// maxLine bounds a line of JSON: a document may take six bytes for each of its
// own, and a revision may have many attachments.
const maxLine = 256 << 20

// readLines decodes each line of a file with the function that parse gives for
// its number (from 1), and says at which line something was wrong.
func readLines(file string, r io.Reader, parse func(n int, line []byte) error) error {
	scanner := bufio.NewScanner(r)
	scanner.Buffer(nil, maxLine)
	n := 0
	for scanner.Scan() {
		n++
		if err := parse(n, scanner.Bytes()); err != nil {
			return badLine(file, n, err)
		}
	}
	if err := scanner.Err(); err != nil {
		return unreadable(file, err)
	}
	return nil
}

// badLine says where an error in an export is, unless it says so itself, or has
// nothing to do with the export.
func badLine(file string, line int, err error) error {
	if err == nil || errors.As(err, new(*ImportError)) || impatient(err) || isFileTrouble(err) {
		return err
	}
	return &ImportError{File: file, Line: line, Reason: message.T("workshop.import.malformed"), Cause: err}
}

// isFileTrouble reports whether an error comes from the workshop file and not
// from what is being read into it.
func isFileTrouble(err error) bool {
	_, kind := classify(err)
	return kind != nil
}

// readHistory reads a history, checks each revision against its id and its
// forebears, and hands it on with its content.
func readHistory(file string, r io.Reader, add func(historyHeader, Revision) error) (header historyHeader, head Revision, err error) {
	numbers := make(map[string]int)
	err = readLines(file, r, func(n int, line []byte) error {
		if n == 1 {
			if err := decodeStrict(line, &header); err != nil {
				return err
			}
			if !recordPattern.MatchString(header.Record) || !validKind(header.Kind) {
				return errors.New("no such id or kind can be")
			}
			return nil
		}
		r, err := decodeRevision(header, line, numbers)
		if err != nil {
			return err
		}
		numbers[r.ID] = r.Number
		if r.ID == header.Head {
			head = r
		}
		return add(header, r)
	})
	if err == nil && head.ID == "" {
		err = badLine(file, 1, errors.New("the head is not among the revisions"))
	}
	return header, head, err
}

// decodeRevision reads one revision; numbers has those that came before.
func decodeRevision(header historyHeader, line []byte, numbers map[string]int) (Revision, error) {
	var l revisionLine
	if err := decodeStrict(line, &l); err != nil {
		return Revision{}, err
	}
	content, err := l.bytes()
	if err != nil {
		return Revision{}, err
	}
	at, err := parseTime(l.At)
	if err != nil {
		return Revision{}, err
	}
	r := Revision{ID: l.ID, Record: header.Record, Number: numbers[l.Parent] + 1, Parent: l.Parent,
		Action: l.Action, Restores: l.Restores, Who: l.Who, Why: l.Why, At: at,
		Name: l.Name, Deleted: l.Deleted, Document: hash(content), Attachments: l.Attachments, Content: content}
	_, parentKnown := numbers[l.Parent]
	_, restoresKnown := numbers[l.Restores]
	_, twice := numbers[l.ID]
	switch {
	case !l.Action.known():
		err = fmt.Errorf("unknown action %q", l.Action)
	case l.Parent != "" && !parentKnown:
		err = errors.New("the parent does not come before")
	case l.Action.restores() != (l.Restores != "") || l.Restores != "" && !restoresKnown:
		err = errors.New("what it restores does not come before")
	case (l.Action == Undone || l.Action == Redone) && (numbers[l.Restores] >= r.Number || l.Parent == ""):
		err = errors.New("what it restores is not older")
	case twice || r.identify(header.Kind) != l.ID:
		err = errors.New("the revision is not what its id says")
	}
	return r, errors.Join(err, checkTexts("who", r.Who, "why", r.Why, "name", r.Name), checkAttachments(r.Attachments))
}

func checkAttachments(list []Attachment) error {
	for i, a := range list {
		if checkTexts("name", a.Name) != nil || a.Name == "" || !validMIME(a.MIME) || !hashPattern.MatchString(a.SHA256) ||
			a.Size < 0 || a.Size > MaxAttachment || i > 0 && list[i-1].Name >= a.Name {
			return errors.New("the list of attachments is not well formed")
		}
	}
	return nil
}

// readDrafts reads a drafts file.
func readDrafts(file, record, kind string, r io.Reader, add func(Draft) error) error {
	return readLines(file, r, func(n int, line []byte) error {
		var l draftLine
		if err := decodeStrict(line, &l); err != nil {
			return err
		}
		content, err := l.bytes()
		if err != nil {
			return err
		}
		at, err := parseTime(l.At)
		if err != nil {
			return err
		}
		if err := checkTexts("who", l.Who, "why", l.Why, "name", l.Name, "form", l.Form); err != nil {
			return err
		}
		if l.Base != "" && !revisionPattern.MatchString(l.Base) {
			return errors.New("the base is not a revision")
		}
		return add(Draft{Form: l.Form, At: at, Edit: Edit{Record: record, Kind: kind, Base: l.Base,
			Name: l.Name, Content: content, By: By{Who: l.Who, Why: l.Why}}})
	})
}

// parseTime reads a time in the one way it is written.
func parseTime(s string) (time.Time, error) {
	t, err := time.Parse(timeLayout, s)
	if err == nil && t.Format(timeLayout) != s {
		err = errors.New("the time is not written as 2006-01-02T15:04:05.000Z")
	}
	return t, err
}

// slug makes a part of a file name out of a name: what is left of it in plain
// letters and digits, or the kind if nothing is.
func slug(name, kind string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case b.Len() >= 40:
		case 'a' <= r && r <= 'z', '0' <= r && r <= '9':
			b.WriteRune(r)
		case r < utf8.RuneSelf && b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return kind
}

// extensions are the file extensions of the attachments of an export, so that
// a double click opens them.
var extensions = map[string]string{
	"application/json": ".json", "application/pdf": ".pdf", "image/gif": ".gif", "image/jpeg": ".jpg",
	"image/png": ".png", "image/svg+xml": ".svg", "image/webp": ".webp", "text/csv": ".csv", "text/plain": ".txt",
}

func attachmentPath(a Attachment) string {
	kind, _, _ := strings.Cut(a.MIME, ";")
	extension, ok := extensions[strings.TrimSpace(strings.ToLower(kind))]
	if !ok {
		extension = ".bin"
	}
	return "attachments/" + a.SHA256 + extension
}
