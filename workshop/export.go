package workshop

import (
	"archive/zip"
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
	"slices"
	"strings"

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
	err = f.view(ctx, func(t *tx) error { return fileError(dir, exportFolder(t, temp)) })
	if err != nil {
		return err
	}
	if err := os.Rename(temp, dir); err != nil {
		return fileError(dir, err)
	}
	return fileError(dir, syncDir(filepath.Dir(dir)))
}

// ExportZip writes what Export would as a zip file; [File.Import] reads it
// through [zip.Reader].
func (f *File) ExportZip(ctx context.Context, w io.Writer) error {
	z := zip.NewWriter(w)
	err := f.view(ctx, func(t *tx) error {
		return export(t, func(name string, fill func(io.Writer) error) error {
			out, err := z.Create(name)
			if err != nil {
				return err
			}
			return fill(out)
		})
	})
	if err != nil {
		return err
	}
	return z.Close()
}

// exportFolder writes an export and waits until all of it is on the disk.
func exportFolder(t *tx, dir string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	dirs := map[string]bool{".": true}
	err = export(t, func(name string, fill func(io.Writer) error) error {
		if sub := path.Dir(name); !dirs[sub] {
			dirs[sub] = true
			if err := root.Mkdir(sub, 0o777); err != nil {
				return err
			}
		}
		file, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return err
		}
		out := bufio.NewWriter(file)
		return errors.Join(fill(out), out.Flush(), file.Sync(), file.Close())
	})
	for sub := range dirs {
		err = errors.Join(err, syncDir(filepath.Join(dir, sub)))
	}
	return err
}

// exporter writes the files of one export and keeps the list of them.
type exporter struct {
	t     *tx
	put   putFile
	index index
}

// putFile makes a file of an export, with slashes in its name, and has it
// filled.
type putFile func(name string, fill func(io.Writer) error) error

func export(t *tx, put putFile) error {
	x := &exporter{t: t, put: put, index: index{Format: formatName, Version: formatVersion, Records: []indexRecord{}}}
	for _, part := range []func() error{x.readme, x.settings, x.attachments, x.records} {
		if err := part(); err != nil {
			return err
		}
	}
	slices.SortFunc(x.index.Files, func(a, b indexFile) int { return strings.Compare(a.Path, b.Path) })
	x.index.Sum = x.index.sum()
	return put(indexFileName, func(w io.Writer) error { return encodeIndented(w, x.index) })
}

// write makes one file and notes its size and checksum.
func (x *exporter) write(name string, fill func(io.Writer) error) error {
	sum := sha256.New()
	size := counter(0)
	err := x.put(name, func(w io.Writer) error { return fill(io.MultiWriter(w, sum, &size)) })
	x.index.Files = append(x.index.Files,
		indexFile{Path: name, Size: int64(size), SHA256: hex.EncodeToString(sum.Sum(nil))})
	return err
}

// counter counts the bytes written to it.
type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}

func encodeIndented(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
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
