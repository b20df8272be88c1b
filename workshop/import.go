package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"stovewright/message"
)

// Report tells what an import did.
type Report struct {
	Added     []Record // records that were not here
	Updated   []Record // records that moved on
	Unchanged int      // records of which the export had nothing newer
	Diverged  []Divergence
	Drafts    int // pending drafts that were not here
}

// Divergence is a record that was changed in both places. Both states are in
// its history; the newer one stands.
type Divergence struct {
	Record Record   // as it stands now
	Aside  Revision // what stood in the other place; File.Restore brings it back
}

// ImportFolder imports an export folder; see [File.Import].
func (f *File) ImportFolder(ctx context.Context, dir string) (Report, error) {
	root, err := os.OpenRoot(dir) // nothing outside the folder can be reached
	if err != nil {
		return Report{}, fileError(dir, err)
	}
	defer root.Close()
	return f.Import(ctx, root.FS())
}

// Import reads an export, a folder or an opened zip file of one, into this
// workshop: all of it or, with an error, nothing. Records are merged by id;
// revisions that are here already are skipped. A record changed in both places
// keeps both lines of revisions: the newer head, by date, stands, and the other
// is reported. Settings that are set here stay. An [*ImportError] names the
// first file that is missing or is not what was exported.
func (f *File) Import(ctx context.Context, source fs.FS) (Report, error) {
	data, err := readWhole(source, indexFileName)
	if err != nil {
		return Report{}, err
	}
	ix, err := parseIndex(data)
	if err != nil {
		return Report{}, err
	}
	im := importer{source: source, index: ix, sizes: make(map[string]int64)}
	if err := im.verify(); err != nil {
		return Report{}, err
	}
	err = f.update(ctx, func(t *tx) error {
		im.t, im.report = t, Report{}
		return im.run()
	})
	if err != nil {
		return Report{}, err
	}
	return im.report, nil
}

// readFile opens a file of an export and has it read. Anything but a plain file
// is refused before opening, since opening a pipe would wait for ever.
func readFile(source fs.FS, name string, read func(io.Reader) error) error {
	info, err := fs.Stat(source, name)
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("not a plain file")
	}
	if err != nil {
		return unreadable(name, err)
	}
	file, err := source.Open(name)
	if err != nil {
		return unreadable(name, err)
	}
	defer file.Close()
	return read(file)
}

// readWhole reads a file into memory; none that is read so is larger than the
// longest line.
func readWhole(source fs.FS, name string) (data []byte, err error) {
	err = readFile(source, name, func(r io.Reader) error {
		data, err = io.ReadAll(io.LimitReader(r, maxLine+1))
		if err == nil && len(data) > maxLine {
			err = errors.New("the file is too large")
		}
		if err != nil {
			return unreadable(name, err)
		}
		return nil
	})
	return data, err
}

// unreadable wraps trouble with reading a file of an export.
func unreadable(name string, err error) error {
	id := "workshop.import.unreadable"
	if errors.Is(err, fs.ErrNotExist) {
		id = "workshop.import.missing"
		if name == indexFileName {
			id = "workshop.import.noindex"
		}
	}
	return &ImportError{File: name, Reason: message.T(id), Cause: err}
}

// parseIndex reads workshop.json and checks that it is whole.
func parseIndex(data []byte) (index, error) {
	damaged := func(err error) (index, error) {
		return index{}, &ImportError{File: indexFileName, Reason: message.T("workshop.import.malformed"), Cause: err}
	}
	// A newer format may have fields we do not know, so look at its version first.
	var format struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(data, &format); err != nil {
		return damaged(err)
	}
	if format.Format != formatName {
		return index{}, &ImportError{File: indexFileName, Reason: message.T("workshop.import.other")}
	}
	if format.Version > formatVersion {
		return index{}, &NewerFileError{Path: indexFileName, Version: format.Version, Known: formatVersion, Export: true}
	}
	var ix index
	if err := decodeStrict(data, &ix); err != nil {
		return damaged(err)
	}
	if ix.Version != formatVersion || ix.Sum != ix.sum() {
		return damaged(errors.New("its own checksum is wrong"))
	}
	if err := ix.check(); err != nil {
		return damaged(err)
	}
	return ix, nil
}

// check finds fault with an index whose lists do not fit each other, or that
// names a file no export has. Only names of the known patterns are ever opened.
func (ix *index) check() error {
	unlisted := make(map[string]string) // documents and histories: kind, id and suffix, by path
	for i, f := range ix.Files {
		if i > 0 && ix.Files[i-1].Path >= f.Path {
			return errors.New("the files are not in order")
		}
		if !hashPattern.MatchString(f.SHA256) {
			return fmt.Errorf("%s has no checksum", f.Path)
		}
		record := recordFilePattern.FindStringSubmatch(f.Path)
		attachment := attachmentFilePattern.FindStringSubmatch(f.Path)
		switch {
		case record != nil && validKind(record[1]) && recordPattern.MatchString(record[2]):
			if record[3] != draftsSuffix {
				unlisted[f.Path] = record[1] + " " + record[2] + record[3]
			}
		case attachment != nil && attachment[1] == f.SHA256 && f.Size <= MaxAttachment:
		case f.Path == settingsFileName, f.Path == readmeFileName:
		default:
			return fmt.Errorf("%q is not a file of an export", f.Path)
		}
	}
	for _, r := range ix.Records {
		name := r.Kind + " " + r.ID
		if unlisted[r.Document] != name+documentSuffix || unlisted[r.History] != name+historySuffix {
			return fmt.Errorf("record %q lacks its files", r.ID)
		}
		delete(unlisted, r.Document)
		delete(unlisted, r.History)
	}
	if len(unlisted) > 0 {
		return errors.New("there are files of records that are not listed")
	}
	return nil
}

// importer is one import under way.
type importer struct {
	source fs.FS
	index  index
	t      *tx
	sizes  map[string]int64 // of the attachments seen, by hash
	report Report
}

// verify reads every file once and compares size and checksum.
func (im *importer) verify() error {
	for _, f := range im.index.Files {
		err := readFile(im.source, f.Path, func(r io.Reader) error {
			sum := sha256.New()
			size, err := io.Copy(sum, io.LimitReader(r, f.Size+1))
			if err != nil {
				return unreadable(f.Path, err)
			}
			if size != f.Size || hex.EncodeToString(sum.Sum(nil)) != f.SHA256 {
				return wrongChecksum(f.Path)
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func wrongChecksum(name string) error {
	return &ImportError{File: name, Reason: message.T("workshop.import.checksum")}
}

func (im *importer) run() error {
	records := make(map[string]indexRecord) // by history file
	for _, r := range im.index.Records {
		records[r.History] = r
	}
	// Attachments come before the histories that refer to them, and all
	// histories before the drafts that stand on them.
	for _, f := range im.index.Files {
		if attachmentFilePattern.MatchString(f.Path) {
			if err := im.attachment(f); err != nil {
				return err
			}
		}
	}
	for _, f := range im.index.Files {
		if r, ok := records[f.Path]; ok {
			if err := im.record(r); err != nil {
				return err
			}
		}
	}
	for _, f := range im.index.Files {
		var err error
		if m := recordFilePattern.FindStringSubmatch(f.Path); m != nil && m[3] == draftsSuffix {
			err = im.drafts(f.Path, m[2], m[1])
		} else if f.Path == settingsFileName {
			err = im.settings()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (im *importer) attachment(f indexFile) error {
	data, err := readWhole(im.source, f.Path)
	if err != nil {
		return err
	}
	if hash(data) != f.SHA256 { // changed since it was verified
		return wrongChecksum(f.Path)
	}
	return im.t.putBlob(f.SHA256, data)
}

func (im *importer) settings() error {
	data, err := readWhole(im.source, settingsFileName)
	if err != nil {
		return err
	}
	var settings map[string]string
	if err := decodeStrict(data, &settings); err != nil {
		return badLine(settingsFileName, 0, err)
	}
	for name, value := range settings {
		if err := checkSetting(name, value); err != nil {
			return &ImportError{File: settingsFileName, Reason: message.T("workshop.import.malformed"), Cause: err}
		}
		err := im.t.exec(`INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO NOTHING`, name, value)
		if err != nil {
			return err
		}
	}
	return nil
}

// record imports the history of one record and decides what stands.
func (im *importer) record(listed indexRecord) error {
	was, err := im.t.record(listed.ID)
	isNew := errors.Is(err, ErrNotFound)
	if err != nil && !isNew {
		return err
	}
	if !isNew && was.Kind != listed.Kind {
		return badLine(listed.History, 1, fmt.Errorf("the record is a %s here", was.Kind))
	}
	added := 0
	var header historyHeader
	var head Revision
	err = readFile(im.source, listed.History, func(r io.Reader) error {
		header, head, err = readHistory(listed.History, r, func(h historyHeader, r Revision) error {
			if h.Record != listed.ID || h.Kind != listed.Kind {
				return errors.New("the history is of another record")
			}
			n, err := im.revision(h.Kind, r)
			added += n
			return err
		})
		return err
	})
	if err != nil {
		return err
	}
	if header.Head != listed.Head || head.Name != listed.Name || head.Deleted != listed.Deleted ||
		head.Document != im.checksum(listed.Document) {
		return badLine(listed.History, 1, errors.New("index, document and history do not agree"))
	}
	return im.settle(isNew, added, was, Record{ID: listed.ID, Kind: listed.Kind, Head: head})
}

// checksum is that of a file in the index.
func (im *importer) checksum(path string) string {
	i, _ := slices.BinarySearchFunc(im.index.Files, path, func(f indexFile, path string) int { return strings.Compare(f.Path, path) })
	return im.index.Files[i].SHA256
}

// revision writes a revision that is not here yet and counts it.
func (im *importer) revision(kind string, r Revision) (added int, err error) {
	here, err := im.t.revision(r.ID)
	if err == nil {
		if here.Record != r.Record {
			return 0, errors.New("the revision is of another record here")
		}
		return 0, nil
	}
	if !errors.Is(err, ErrNotFound) {
		return 0, err
	}
	for _, a := range r.Attachments {
		if err := im.attached(a); err != nil {
			return 0, err
		}
	}
	_, err = im.t.insert(kind, r)
	return 1, err
}

// attached checks that the bytes of an attachment came along or were here.
func (im *importer) attached(a Attachment) error {
	size, seen := im.sizes[a.SHA256]
	if !seen {
		err := im.t.row(`SELECT length(data) FROM blob WHERE sha256 = ?`, a.SHA256).Scan(&size)
		if err != nil {
			return fmt.Errorf("attachment %q: %w", a.Name, err)
		}
		im.sizes[a.SHA256] = size
	}
	if size != a.Size {
		return fmt.Errorf("attachment %q is not of the size given", a.Name)
	}
	return nil
}

// settle moves the head of a record, if it must move, and reports.
func (im *importer) settle(isNew bool, added int, was, is Record) error {
	is.Head.Content = nil
	if isNew {
		im.report.Added = append(im.report.Added, is)
		return im.t.setHead(is.Kind, is.Head)
	}
	line, err := im.t.line(is.ID)
	if err != nil {
		return err
	}
	switch {
	case line.within(is.Head.ID, was.Head.ID):
		im.report.Unchanged++
		return nil
	case line.within(was.Head.ID, is.Head.ID):
		im.report.Updated = append(im.report.Updated, is)
		return im.t.setHead(is.Kind, is.Head)
	case added == 0: // the choice between the two was made before
		im.report.Unchanged++
		return nil
	}
	if newer(was.Head, is.Head) {
		was, is = is, was
	}
	im.report.Diverged = append(im.report.Diverged, Divergence{Record: is, Aside: was.Head})
	return im.t.setHead(is.Kind, is.Head)
}

// newer orders two heads the same way in every workshop.
func newer(a, b Revision) bool {
	switch {
	case !a.At.Equal(b.At):
		return a.At.After(b.At)
	case a.Number != b.Number:
		return a.Number > b.Number
	}
	return a.ID > b.ID
}

// drafts imports the pending drafts of one record.
func (im *importer) drafts(file, record, kind string) error {
	return readFile(im.source, file, func(r io.Reader) error {
		return readDrafts(file, record, kind, r, im.draft)
	})
}

// draft keeps a draft beside those that are here: the same author may have
// typed in both places.
func (im *importer) draft(d Draft) error {
	kind, _, err := im.t.draftConflict(d)
	if err != nil {
		return err
	}
	if kind != d.Kind {
		return fmt.Errorf("the record is a %s here", kind)
	}
	here, err := im.t.drafts(`record = ? AND who = ?`, d.Record, d.Who)
	if err != nil {
		return err
	}
	taken := false
	for _, h := range here {
		if h.Base == d.Base && h.Name == d.Name && string(h.Content) == string(d.Content) && h.Why == d.Why && h.At.Equal(d.At) {
			return nil
		}
		taken = taken || h.Form == d.Form
	}
	if taken {
		d.Form = NewID()
	}
	im.report.Drafts++
	return im.t.putDraft(d, "")
}
