package workshop

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path"
	"path/filepath"

	"stovewright/message"
)

// Export writes everything to a new folder in plain text: every revision,
// attachment, setting and pending draft. The folder must not exist
// ([fs.ErrExist]). It is written under a hidden name and renamed when it is
// whole and on the disk, so a crash leaves no half export. Two workshops that
// hold the same write the same bytes.
func (f *File) Export(ctx context.Context, dir string) error {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(dir); err == nil {
		return existsError(dir)
	}
	temp := hidden(dir, "part")
	if err := os.Mkdir(temp, 0o777); err != nil {
		return fileError(dir, err)
	}
	defer os.RemoveAll(temp)
	err = f.view(ctx, func(t *tx) error { return fileError(dir, export(t, temp)) })
	if err != nil {
		return err
	}
	if err := os.Rename(temp, dir); err != nil {
		return fileError(dir, err)
	}
	return fileError(dir, syncDir(filepath.Dir(dir)))
}

// exporter writes the files of one export and keeps the list of them.
type exporter struct {
	t     *tx
	root  *os.Root
	dirs  map[string]bool
	index index
}

func export(t *tx, dir string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	x := &exporter{t: t, root: root, dirs: map[string]bool{".": true},
		index: index{Format: formatName, Version: formatVersion, Records: []indexRecord{}}}
	for _, part := range []func() error{x.readme, x.settings, x.attachments, x.records} {
		if err := part(); err != nil {
			return err
		}
	}
	return x.finish()
}

// finish writes the index and waits for the disk.
func (x *exporter) finish() error {
	sortFiles(x.index.Files)
	x.index.Sum = x.index.sum()
	err := x.write(indexFileName, func(w io.Writer) error { return encodeIndented(w, x.index) })
	if err != nil {
		return err
	}
	for dir := range x.dirs {
		if err := syncDir(filepath.Join(x.root.Name(), dir)); err != nil {
			return err
		}
	}
	return nil
}

func encodeIndented(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// write makes one file, durably, and notes its checksum.
func (x *exporter) write(name string, fill func(io.Writer) error) error {
	if dir := path.Dir(name); !x.dirs[dir] {
		if err := x.root.Mkdir(dir, 0o777); err != nil {
			return err
		}
		x.dirs[dir] = true
	}
	file, err := x.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	sum := sha256.New()
	out := bufio.NewWriter(io.MultiWriter(file, sum))
	err = errors.Join(fill(out), out.Flush(), file.Sync())
	info, statErr := file.Stat()
	if err = errors.Join(err, statErr, file.Close()); err != nil {
		return err
	}
	x.index.Files = append(x.index.Files,
		indexFile{Path: name, Size: info.Size(), SHA256: hex.EncodeToString(sum.Sum(nil))})
	return nil
}

// readme is always English: it is part of the format and does not change with
// the language of the screen.
func (x *exporter) readme() error {
	return x.write(readmeFileName, func(w io.Writer) error {
		_, err := io.WriteString(w, message.English().S("workshop.export.readme"))
		return err
	})
}

func (x *exporter) settings() error {
	settings, err := x.t.settings()
	if err != nil {
		return err
	}
	return x.write(settingsFileName, func(w io.Writer) error { return encodeIndented(w, settings) })
}

// attachments writes each attachment once. One file may have been attached with
// two MIME types; the first of them in the alphabet names it.
func (x *exporter) attachments() error {
	var list []Attachment
	err := x.t.each(func(rows *sql.Rows) error {
		var a Attachment
		err := rows.Scan(&a.SHA256, &a.MIME)
		list = append(list, a)
		return err
	}, `SELECT a.value ->> 'sha256', min(a.value ->> 'mime') FROM revision, json_each(attachments) a GROUP BY 1 ORDER BY 1`)
	if err != nil {
		return err
	}
	for _, a := range list {
		data, err := x.t.blob(a.SHA256)
		if err != nil {
			return err
		}
		err = x.write(attachmentPath(a), func(w io.Writer) error {
			_, err := w.Write(data)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) records() error {
	list, err := x.t.list("")
	if err != nil {
		return err
	}
	stems := make(map[string]string)
	for _, rec := range list {
		stem := stem(rec.Kind, rec.Head.Name, rec.ID)
		stems[rec.ID] = stem
		if err := x.record(rec, stem); err != nil {
			return err
		}
	}
	return x.drafts(stems)
}

// stem is the path of a record's files up to the suffix.
func stem(kind, name, id string) string { return kind + "/" + slug(name, kind) + "--" + id }

func (x *exporter) record(rec Record, stem string) error {
	if err := x.t.fill(&rec.Head); err != nil {
		return err
	}
	err := x.write(stem+documentSuffix, func(w io.Writer) error {
		_, err := w.Write(rec.Head.Content)
		return err
	})
	if err != nil {
		return err
	}
	x.index.Records = append(x.index.Records, indexRecord{ID: rec.ID, Kind: rec.Kind, Name: rec.Head.Name,
		Deleted: rec.Head.Deleted, Head: rec.Head.ID, Document: stem + documentSuffix, History: stem + historySuffix})
	history, err := x.t.history(rec.ID)
	if err != nil {
		return err
	}
	return x.write(stem+historySuffix, func(w io.Writer) error {
		err := encodeLine(w, historyHeader{Record: rec.ID, Kind: rec.Kind, Head: rec.Head.ID})
		for i := 0; err == nil && i < len(history); i++ {
			r := history[i]
			if err = x.t.fill(&r); err == nil {
				err = encodeRevision(w, r)
			}
		}
		return err
	})
}

// drafts writes the pending drafts, a file for each record that has some, even
// if the record itself was not saved yet.
func (x *exporter) drafts(stems map[string]string) error {
	list, err := x.t.drafts(`1`)
	if err != nil {
		return err
	}
	for len(list) > 0 {
		record := list[0].Record
		name, saved := stems[record]
		if !saved {
			name = stem(list[0].Kind, list[0].Name, record)
		}
		var lines bytes.Buffer
		for len(list) > 0 && list[0].Record == record {
			if err := encodeDraft(&lines, list[0]); err != nil {
				return err
			}
			list = list[1:]
		}
		err := x.write(name+draftsSuffix, func(w io.Writer) error {
			_, err := lines.WriteTo(w)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}
