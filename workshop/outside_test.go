package workshop

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stovewright/internal/outside"
)

// python finds the Python of the system, a second implementation of SHA-256,
// JSON and SQLite.
func python(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("python3")
	if err != nil {
		outside.Lacks(t, "python3, to read the files independently,")
	}
	return path
}

// TestOutsideReader reads an export with a program that knows nothing of this
// one but docs/files.md.
func TestOutsideReader(t *testing.T) {
	ctx := context.Background()
	f := sample(t)
	dir := filepath.Join(t.TempDir(), "out")
	if err := f.Export(ctx, dir); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python(t), filepath.Join("testdata", "reader.py"), dir)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var got, want [][]string
	for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
		var line []string
		if err := d.Decode(&line); err != nil {
			t.Fatal(err)
		}
		got = append(got, line)
	}
	for _, id := range []string{"000000000000n0te", "0000000000000p0t"} {
		history, err := f.History(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		for i := len(history) - 1; i >= 0; i-- {
			r := history[i]
			want = append(want, []string{"revision", id, r.ID, r.Who, r.Why, r.At.Format(timeLayout), r.Name, r.Document})
		}
	}
	drafts, err := f.Drafts(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	for i := len(drafts) - 1; i >= 0; i-- { // the folders pot and stove come in that order, the ids do not
		d := drafts[i]
		want = append(want, []string{"draft", d.Record, d.Base, d.Who, d.Why, d.At.Format(timeLayout), d.Name, hash(d.Content)})
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// TestOutsideSQLite opens a workshop file with the SQLite that Python carries,
// not the one linked here.
func TestOutsideSQLite(t *testing.T) {
	f := sample(t)
	f.Close()
	cmd := exec.Command(python(t), "-c", `
import sqlite3, sys
db = sqlite3.connect("file:" + sys.argv[1] + "?mode=ro", uri=True)
one = lambda q: db.execute(q).fetchone()[0]
print(one("PRAGMA integrity_check"), one("PRAGMA user_version"), "%08x" % one("PRAGMA application_id"), len(db.execute("PRAGMA foreign_key_check").fetchall()))
print(one("SELECT data FROM record JOIN revision ON revision.id = head JOIN blob ON sha256 = document WHERE kind = 'pot'").decode(), end="")
`, f.Path())
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	want := "ok 2 53746f76 0\ncircumference: 76 cm\nheight: 22 cm\n"
	if got := strings.ReplaceAll(string(out), "\r\n", "\n"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestOldFiles: the file and the export that version 1 wrote are read by this
// and every later program. They are never written again. Their content is
// invented; as files of our own making they are a regression check.
func TestOldFiles(t *testing.T) {
	ctx := context.Background()
	old := filepath.Join("testdata", "export-1")
	path := filepath.Join(t.TempDir(), "old"+Extension)
	copyFile(t, filepath.Join("testdata", "version-1.db"), path)
	fromFile, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer fromFile.Close()
	fromExport := create(t)
	if _, err := fromExport.ImportFolder(ctx, old); err != nil {
		t.Fatal(err)
	}
	want := snapshot(t, old)
	for name, f := range map[string]*File{"file": fromFile, "export": fromExport} {
		if err := f.Check(ctx); err != nil {
			t.Fatal(err)
		}
		dir := filepath.Join(t.TempDir(), name)
		if err := f.Export(ctx, dir); err != nil {
			t.Fatal(err)
		}
		got := snapshot(t, dir)
		for file, data := range want {
			if file != indexFileName && file != readmeFileName && got[file] != data {
				t.Errorf("from the old %s, %s is %q, was %q", name, file, got[file], data)
			}
		}
	}
}
