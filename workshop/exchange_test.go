package workshop

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stovewright/message"
)

// nastyText is any text, with a preference for the troublesome.
func nastyText(most int) *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.StringN(0, -1, most),
		rapid.SampledFrom([]string{"", " ", "\n", "\r\n", "\x00", "a\x00b", "../../etc/passwd", `C:\pots`, "CON", "-- ", "\u2028\u2029",
			"\uFFFD", "𝔓𝔬𝔱", "قِدر", "काढ़ी", "e\u0301", "\ufeffbom", "<script>&amp;", `"quoted"`, "🍲🔥", "big pot", strings.Repeat("é", most/2)}),
	)
}

func nastyBytes() *rapid.Generator[[]byte] {
	return rapid.OneOf(
		rapid.SliceOfN(rapid.Byte(), 0, 60),
		rapid.Map(nastyText(MaxText), func(s string) []byte { return []byte(s) }),
		rapid.SampledFrom([][]byte{nil, []byte("pot:\n  height: 20 cm\n"), []byte("line\r\nends\r\n"), {0xff, 0xfe, 0}, bytes.Repeat([]byte("long line "), 9000)}),
	)
}

// scribble does anything that can be done to a workshop, some times over.
func (w world) scribble(f *File, times int) {
	t, ctx := w.t, context.Background()
	heads := map[string]Revision{}
	for _, deleted := range []bool{false, true} {
		list, err := f.List(ctx, Filter{Deleted: deleted})
		if err != nil {
			t.Fatal(err)
		}
		for _, rec := range list {
			heads[rec.ID] = rec.Head
		}
	}
	by := rapid.Custom(func(t *rapid.T) By {
		return By{Who: rapid.OneOf(rapid.SampledFrom([]string{"", "Ada", "Ben"}), nastyText(40)).Draw(t, "who"), Why: nastyText(60).Draw(t, "why")}
	})
	edit := func(r Revision) Edit {
		return Edit{Record: r.Record, Base: r.ID, Kind: rapid.SampledFrom([]string{"pot", "stove", "test"}).Draw(t, "kind"),
			Name: nastyText(MaxText).Draw(t, "name"), Content: nastyBytes().Draw(t, "content"), By: by.Draw(t, "by")}
	}
	for range rapid.IntRange(1, times).Draw(t, "steps") {
		step := rapid.SampledFrom([]string{"new", "edit", "edit", "undo", "redo", "restore", "delete", "undelete", "attach", "detach",
			"draft", "new draft", "drop draft", "settle", "set"}).Draw(t, "step")
		var r Revision
		if ids := slices.Sorted(maps.Keys(heads)); len(ids) > 0 {
			r = heads[rapid.SampledFrom(ids).Draw(t, "record")]
		} else if step != "new draft" && step != "set" {
			step = "new"
		}
		var err error
		switch step {
		case "new":
			e := edit(Revision{})
			e.Record = w.newID()
			r, err = f.Save(ctx, e)
		case "edit":
			r, err = f.Save(ctx, edit(r))
		case "undo":
			r, err = f.Undo(ctx, r.Record, r.ID, by.Draw(t, "by"))
		case "redo":
			r, err = f.Redo(ctx, r.Record, r.ID, by.Draw(t, "by"))
		case "restore":
			history, err2 := f.History(ctx, r.Record)
			if err2 != nil {
				t.Fatal(err2)
			}
			r, err = f.Restore(ctx, r.Record, r.ID, rapid.SampledFrom(history).Draw(t, "revision").ID, by.Draw(t, "by"))
		case "delete":
			r, err = f.Delete(ctx, r.Record, r.ID, by.Draw(t, "by"))
		case "undelete":
			r, err = f.Undelete(ctx, r.Record, by.Draw(t, "by"))
		case "attach":
			name := rapid.SampledFrom([]string{"a.jpg", "b", "../c", "\x00"}).Draw(t, "file")
			r, err = f.Attach(ctx, r.Record, name, rapid.SampledFrom([]string{"image/jpeg", "text/plain; charset=utf-8", ""}).Draw(t, "mime"),
				nastyBytes().Draw(t, "data"), by.Draw(t, "by"))
		case "detach":
			r, err = f.Detach(ctx, r.Record, "a.jpg", by.Draw(t, "by"))
		case "draft":
			err = f.SaveDraft(ctx, Draft{Edit: edit(r), Form: nastyText(30).Draw(t, "form")})
			r = Revision{}
		case "new draft":
			e := edit(Revision{})
			e.Record = w.newID()
			err = f.SaveDraft(ctx, Draft{Edit: e})
			r = Revision{}
		case "drop draft":
			if list, _ := f.Drafts(ctx, ""); len(list) > 0 {
				d := rapid.SampledFrom(list).Draw(t, "draft")
				err = f.DropDraft(ctx, d.Record, d.Who, d.Form)
			}
			r = Revision{}
		case "settle":
			var list []Revision
			list, err = f.Settle(ctx, 0)
			for _, s := range list {
				heads[s.Record] = s
			}
			r = Revision{}
		case "set":
			err = f.Set(ctx, rapid.SampledFrom([]string{Paper, "x"}).Draw(t, "setting"), rapid.SampledFrom([]string{"", "A4", "Letter"}).Draw(t, "value"))
			r = Revision{}
		}
		if err != nil && !errors.Is(err, ErrNothingTo) && !errors.Is(err, ErrNotFound) && !errors.As(err, new(*ConflictError)) {
			t.Fatalf("%s: %v", step, err)
		}
		if err == nil && r.ID != "" {
			heads[r.Record] = r
		}
	}
}

// world makes files and exports in one test folder.
type world struct {
	t   *rapid.T
	dir string
	ids *int
}

// newID makes ids that are the same in each run, so that a failure can be replayed.
func (w world) newID() string {
	*w.ids++
	return fmt.Sprintf("%016d", *w.ids)
}

func newWorld(t *rapid.T, dir string) world {
	dir, err := os.MkdirTemp(dir, "w")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return world{t, dir, new(int)}
}

func (w world) create() *File {
	f, err := Create(context.Background(), filepath.Join(w.dir, NewID()+Extension))
	if err != nil {
		w.t.Fatal(err)
	}
	w.t.Cleanup(func() { f.Close() })
	f.Now = testClock()
	hasten(w.t, f)
	return f
}

// export gives an export as files in memory.
func (w world) export(f *File) fs.FS {
	var b bytes.Buffer
	if err := f.ExportZip(context.Background(), &b); err != nil {
		w.t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		w.t.Fatal(err)
	}
	return r
}

func (w world) read(files fs.FS) map[string]string {
	tree, err := readTree(files)
	if err != nil {
		w.t.Fatal(err)
	}
	return tree
}

func (w world) load(f *File, files fs.FS) Report {
	report, err := f.Import(context.Background(), files)
	if err != nil {
		w.t.Fatal(err)
	}
	return report
}

// TestRoundTrip: a workshop exported and imported is the same to the last byte,
// with every revision, author, time, deletion, attachment, draft and setting;
// importing it again changes nothing.
func TestRoundTrip(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		w := newWorld(t, dir)
		a := w.create()
		w.scribble(a, 25)
		first := w.export(a)
		b := w.create()
		w.load(b, first)
		if err := b.Check(ctx); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(w.read(first), w.read(w.export(b))); d != "" {
			t.Fatalf("export, import, export differ: %s", d)
		}
		again := w.load(b, first)
		if len(again.Added)+len(again.Updated)+len(again.Diverged)+again.Drafts != 0 {
			t.Fatalf("importing again did %+v", again)
		}
		if d := cmp.Diff(w.read(first), w.read(w.export(b))); d != "" {
			t.Fatalf("importing again changed: %s", d)
		}
	})
}

// TestMergeConverges: two workshops that went their ways and exchange exports
// come to hold the same records.
func TestMergeConverges(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		w := newWorld(t, dir)
		a, b := w.create(), w.create()
		clock := testClock()
		b.Now = func() time.Time { return clock().Add(500 * time.Millisecond) } // no two at the same moment
		w.scribble(a, 10)
		w.load(b, w.export(a))
		w.scribble(a, 8)
		w.scribble(b, 8)
		fromA, fromB := w.export(a), w.export(b)
		before := heads(t, a)
		report := w.load(a, fromB)
		w.load(b, fromA)
		recordsOnly := func(files map[string]string) map[string]string {
			for name := range files {
				if strings.HasSuffix(name, draftsSuffix) || name == settingsFileName || name == indexFileName {
					delete(files, name)
				}
			}
			return files
		}
		if d := cmp.Diff(recordsOnly(w.read(w.export(a))), recordsOnly(w.read(w.export(b)))); d != "" {
			t.Fatalf("the two differ: %s", d)
		}
		for _, d := range report.Diverged {
			if d.Record.Head.At.Before(d.Aside.At) {
				t.Fatalf("the older of two heads stands: %+v", d)
			}
			history, err := a.History(ctx, d.Record.ID)
			if err != nil || !slices.ContainsFunc(history, func(r Revision) bool { return r.ID == d.Aside.ID }) {
				t.Fatalf("what was set aside is lost: %v", err)
			}
		}
		// Whatever stood in a is in the history still.
		for record, head := range before {
			history, err := a.History(ctx, record)
			if err != nil || !slices.ContainsFunc(history, func(r Revision) bool { return r.ID == head }) {
				t.Fatalf("what stood before the merge is lost: %v", err)
			}
		}
		if err := a.Check(ctx); err != nil {
			t.Fatal(err)
		}
	})
}

func heads(t *rapid.T, f *File) map[string]string {
	m := make(map[string]string)
	for _, deleted := range []bool{false, true} {
		list, err := f.List(context.Background(), Filter{Deleted: deleted})
		if err != nil {
			t.Fatal(err)
		}
		for _, rec := range list {
			m[rec.ID] = rec.Head.ID
		}
	}
	return m
}

// sample makes a small workshop with one of everything. Its content is invented.
func sample(t testing.TB) *File {
	t.Helper()
	ctx := context.Background()
	f := create(t)
	by := By{Who: "Ada", Why: "invented for a test"}
	pot := save(t, f, Edit{Record: "0000000000000p0t", Kind: "pot", Name: "Čajník <big>", Content: []byte("circumference: 75.4 cm\nheight: 22 cm\n"), By: by})
	pot = save(t, f, Edit{Record: pot.Record, Base: pot.ID, Name: pot.Name, Content: []byte("circumference: 76 cm\nheight: 22 cm\n"), By: by})
	must := func(r Revision, err error) Revision {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	pot = must(f.Attach(ctx, pot.Record, "rim.png", "image/png", []byte("not really a picture"), by))
	pot = must(f.Undo(ctx, pot.Record, pot.ID, by))
	note := save(t, f, Edit{Record: "000000000000n0te", Kind: "note", Name: "मिट्टी\nand\x00more", Content: []byte{0xff, 0xfe, '\r', '\n', 0}, By: by})
	must(f.Delete(ctx, note.Record, note.ID, By{}))
	for _, d := range []Draft{
		{Edit: Edit{Record: pot.Record, Base: pot.ID, Name: "half typ", Content: []byte("circumference: 7"), By: By{Who: "Ben"}}, Form: "1"},
		{Edit: Edit{Record: "0000000000000new", Kind: "stove", Name: "", Content: []byte("body: ca")}},
	} {
		if err := f.SaveDraft(ctx, d); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Set(ctx, Paper, "A4"); err != nil {
		t.Fatal(err)
	}
	return f
}

func exportSample(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "out")
	if err := sample(t).Export(context.Background(), dir); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestExportLayout(t *testing.T) {
	dir := exportSample(t)
	files := snapshot(t, dir)
	var got []string
	for name := range files {
		got = append(got, name)
	}
	slices.Sort(got)
	picture := "attachments/" + hash([]byte("not really a picture")) + ".png"
	want := []string{"README.txt", picture,
		"note/and-more--000000000000n0te.history.jsonl", "note/and-more--000000000000n0te.yaml",
		"pot/cajnik-big--0000000000000p0t.drafts.jsonl", "pot/cajnik-big--0000000000000p0t.history.jsonl", "pot/cajnik-big--0000000000000p0t.yaml",
		"settings.json", "stove/stove--0000000000000new.drafts.jsonl", "workshop.json"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if files["note/and-more--000000000000n0te.yaml"] != "\xff\xfe\r\n\x00" {
		t.Error("the document was touched")
	}
	if !strings.Contains(files["README.txt"], "workshop.json lists everything") {
		t.Errorf("the read-me says %q", files["README.txt"])
	}
	if entries, _ := os.ReadDir(filepath.Dir(dir)); len(entries) != 1 {
		t.Errorf("left beside the export: %v", entries)
	}
	if err := create(t).Export(context.Background(), dir); !errors.Is(err, fs.ErrExist) {
		t.Errorf("exporting over a folder gave %v", err)
	}
}

func TestImportReport(t *testing.T) {
	ctx := context.Background()
	a, b := create(t), create(t)
	one := save(t, a, Edit{Name: "one", By: By{Who: "Ada"}})
	two := save(t, a, Edit{Name: "two"})
	dir := t.TempDir()
	step := 0
	move := func(from, to *File) Report {
		t.Helper()
		step++
		out := filepath.Join(dir, fmt.Sprint(step))
		if err := from.Export(ctx, out); err != nil {
			t.Fatal(err)
		}
		report, err := to.ImportFolder(ctx, out)
		if err != nil {
			t.Fatal(err)
		}
		return report
	}
	if r := move(a, b); len(r.Added) != 2 || r.Added[0].Head.Name == "" {
		t.Errorf("the first import did %+v", r)
	}
	one2 := save(t, a, Edit{Record: one.Record, Base: one.ID, Name: "one by Ada"})
	if r := move(a, b); len(r.Updated) != 1 || r.Updated[0].ID != one.Record || r.Unchanged != 1 {
		t.Errorf("the second import did %+v", r)
	}
	if r := move(b, a); r.Unchanged != 2 {
		t.Errorf("importing what is known did %+v", r)
	}
	// Both change record one; b does so later.
	mine := save(t, a, Edit{Record: one.Record, Base: one2.ID, Name: "one by Ada again"})
	b.Now = func() time.Time { return time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC) }
	theirs := save(t, b, Edit{Record: one.Record, Base: one2.ID, Name: "one by Ben"})
	if _, err := b.Delete(ctx, two.Record, two.ID, By{}); err != nil {
		t.Fatal(err)
	}
	r := move(b, a)
	if len(r.Diverged) != 1 || r.Diverged[0].Record.Head.ID != theirs.ID || r.Diverged[0].Aside.ID != mine.ID || len(r.Updated) != 1 {
		t.Errorf("the diverged import did %+v", r)
	}
	back, err := a.Restore(ctx, one.Record, theirs.ID, mine.ID, By{})
	if err != nil || back.Name != "one by Ada again" {
		t.Errorf("what was set aside comes back as %+v, %v", back, err)
	}
}

func TestImportKeepsDraftsAndSettings(t *testing.T) {
	ctx := context.Background()
	dir := exportSample(t)
	f := create(t)
	if err := f.Set(ctx, Paper, "Letter"); err != nil {
		t.Fatal(err)
	}
	mine := Draft{Edit: Edit{Record: "0000000000000new", Kind: "stove", Name: "mine", Content: []byte("x")}}
	if err := f.SaveDraft(ctx, mine); err != nil {
		t.Fatal(err)
	}
	if r, err := f.ImportFolder(ctx, dir); err != nil || r.Drafts != 2 {
		t.Fatalf("the import did %+v, %v", r, err)
	}
	drafts, err := f.Drafts(ctx, "0000000000000new")
	if err != nil || len(drafts) != 2 || drafts[0].Name != "mine" || string(drafts[1].Content) != "body: ca" {
		t.Errorf("the drafts are %+v, %v", drafts, err)
	}
	if s, _ := f.Settings(ctx); s[Paper] != "Letter" {
		t.Errorf("the settings are %v", s)
	}
}

// TestImportRefusesDamage breaks each file of an export in turn: the import
// names the file, says what to try, and leaves the workshop as it was.
func TestImportRefusesDamage(t *testing.T) {
	ctx := context.Background()
	dir := exportSample(t)
	f := create(t)
	damages := map[string]func([]byte) []byte{
		"a byte changed": func(b []byte) []byte { b[len(b)/2] ^= 1; return b },
		"cut short":      func(b []byte) []byte { return b[:len(b)-1] },
		"one more":       func(b []byte) []byte { return append(b, '\n') },
		"line ends":      func(b []byte) []byte { return append(bytes.ReplaceAll(b, []byte("\n"), []byte("\r\n")), '\r') },
		"missing":        func([]byte) []byte { return nil },
	}
	files := snapshot(t, dir)
	for name, content := range files {
		for what, damage := range damages {
			if name == indexFileName && what != "missing" {
				continue // see TestImportIndexDamage
			}
			source := fstest.MapFS{}
			for n, c := range files {
				source[n] = &fstest.MapFile{Data: []byte(c)}
			}
			if data := damage([]byte(content)); data != nil {
				source[name].Data = data
			} else {
				delete(source, name)
			}
			_, err := f.Import(ctx, source)
			var bad *ImportError
			if !errors.As(err, &bad) || bad.File != name {
				t.Errorf("%s, %s: %v", name, what, err)
				continue
			}
			words := said(t, err)
			if !strings.Contains(words, name) || !strings.Contains(words, "again") && !strings.Contains(words, "choose") {
				t.Errorf("%s, %s: the words are %q", name, what, words)
			}
		}
	}
	for _, deleted := range []bool{false, true} {
		if list, err := f.List(ctx, Filter{Deleted: deleted}); err != nil || len(list) != 0 {
			t.Errorf("refused imports left %v, %v", list, err)
		}
	}
}

// TestImportIndexDamage changes every byte of the index: whatever is still
// accepted is imported just as it was exported.
func TestImportIndexDamage(t *testing.T) {
	dir := exportSample(t)
	source := fstest.MapFS{}
	for n, c := range snapshot(t, dir) {
		source[n] = &fstest.MapFile{Data: []byte(c)}
	}
	want, err := parseIndex(source[indexFileName].Data)
	if err != nil {
		t.Fatal(err)
	}
	refused, target := 0, create(t)
	for i := range source[indexFileName].Data {
		data := bytes.Clone(source[indexFileName].Data)
		data[i] ^= 1
		got, err := parseIndex(data)
		if err != nil {
			refused++
			said(t, err)
			continue
		}
		// Names are compared with the histories; all else is under the sum.
		for j := range got.Records {
			if j < len(want.Records) && (got.Records[j].Name != want.Records[j].Name || got.Records[j].Deleted != want.Records[j].Deleted) {
				broken := maps.Clone(source)
				broken[indexFileName] = &fstest.MapFile{Data: data}
				if _, err := target.Import(context.Background(), broken); !errors.As(err, new(*ImportError)) {
					t.Errorf("byte %d: a wrong name in the index gave %v", i, err)
				}
				got.Records[j].Name, got.Records[j].Deleted = want.Records[j].Name, want.Records[j].Deleted
			}
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("byte %d: %s", i, d)
		}
	}
	if refused < len(source[indexFileName].Data)/2 {
		t.Errorf("only %d of %d changed bytes were noticed", refused, len(source[indexFileName].Data))
	}
}

// TestImportRefusesPaths: an index can name no file outside the folder, however
// well its checksums fit.
func TestImportRefusesPaths(t *testing.T) {
	ctx := context.Background()
	dir := exportSample(t)
	data, err := os.ReadFile(filepath.Join(dir, indexFileName))
	if err != nil {
		t.Fatal(err)
	}
	f := create(t)
	for _, path := range []string{"../evil.yaml", "/etc/hostname", `..\evil`, "pot/../../x--0000000000000p0t.yaml", "pot/x/y--0000000000000p0t.yaml",
		"con/x--0000000000000p0t.yaml", "attachments/../settings.json", "attachments/x.png", "C:/x--0000000000000p0t.yaml", "", ".", "pot//x--0000000000000p0t.yaml"} {
		var ix index
		if err := json.Unmarshal(data, &ix); err != nil {
			t.Fatal(err)
		}
		ix.Files = append(ix.Files, indexFile{Path: path, SHA256: hash(nil)})
		slices.SortFunc(ix.Files, func(a, b indexFile) int { return strings.Compare(a.Path, b.Path) })
		ix.Sum = ix.sum()
		var b bytes.Buffer
		if err := encodeIndented(&b, ix); err != nil {
			t.Fatal(err)
		}
		_, err := f.Import(ctx, fstest.MapFS{indexFileName: {Data: b.Bytes()}})
		var bad *ImportError
		if !errors.As(err, &bad) || bad.File != indexFileName {
			t.Errorf("path %q gave %v", path, err)
		}
	}
}

func TestImportRefusesLinksOut(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("links need a privilege on Windows")
	}
	dir := exportSample(t)
	name := filepath.Join(dir, settingsFileName)
	outside := filepath.Join(t.TempDir(), "outside")
	if err := errors.Join(os.Rename(name, outside), os.Symlink(outside, name)); err != nil {
		t.Fatal(err)
	}
	_, err := create(t).ImportFolder(context.Background(), dir)
	var bad *ImportError
	if !errors.As(err, &bad) || bad.File != settingsFileName {
		t.Errorf("a link out of the folder gave %v", err)
	}
}

func TestImportRefusesOthers(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	for name, c := range map[string]struct {
		source fs.FS
		words  string
	}{
		"no index":      {fstest.MapFS{"x": {}}, "choose the folder that holds workshop.json"},
		"other json":    {fstest.MapFS{indexFileName: {Data: []byte(`{"a": 1}`)}}, "not written by this program"},
		"no json":       {fstest.MapFS{indexFileName: {Data: []byte(`pots`)}}, "cannot come from an export"},
		"two values":    {fstest.MapFS{indexFileName: {Data: []byte(`{"format": "` + formatName + `", "version": 1} {}`)}}, "cannot come from an export"},
		"folder inside": {fstest.MapFS{indexFileName + "/x": {}}, "cannot be read"},
	} {
		_, err := f.Import(ctx, c.source)
		if !errors.As(err, new(*ImportError)) || !strings.Contains(said(t, err), c.words) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := f.Import(ctx, fstest.MapFS{indexFileName: {Data: []byte(`{"format": "` + formatName + `", "version": 2, "hologram": true}`)}})
	var newer *NewerFileError
	if !errors.As(err, &newer) || !newer.Export || newer.Version != 2 || !strings.Contains(said(t, err), "newer program") {
		t.Errorf("a newer export gave %v", err)
	}
	if _, err := f.ImportFolder(ctx, filepath.Join(t.TempDir(), "nowhere")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing folder gave %v", err)
	}
}

// reseal gives an export whose histories were tampered with the right checksums
// again, as a forger would.
func reseal(t testing.TB, dir string, change func(files map[string]string)) fstest.MapFS {
	t.Helper()
	files := snapshot(t, dir)
	change(files)
	var ix index
	if err := json.Unmarshal([]byte(files[indexFileName]), &ix); err != nil {
		t.Fatal(err)
	}
	delete(files, indexFileName)
	ix.Files = nil
	source := fstest.MapFS{}
	for name, data := range files {
		ix.Files = append(ix.Files, indexFile{Path: name, Size: int64(len(data)), SHA256: hash([]byte(data))})
		source[name] = &fstest.MapFile{Data: []byte(data)}
	}
	slices.SortFunc(ix.Files, func(a, b indexFile) int { return strings.Compare(a.Path, b.Path) })
	ix.Sum = ix.sum()
	var b bytes.Buffer
	if err := encodeIndented(&b, ix); err != nil {
		t.Fatal(err)
	}
	source[indexFileName] = &fstest.MapFile{Data: b.Bytes()}
	return source
}

// TestImportRefusesForgery: even with all checksums right, a history must hold
// together by its own ids.
func TestImportRefusesForgery(t *testing.T) {
	ctx := context.Background()
	dir := exportSample(t)
	const history, document, drafts = "pot/cajnik-big--0000000000000p0t.history.jsonl", "pot/cajnik-big--0000000000000p0t.yaml", "pot/cajnik-big--0000000000000p0t.drafts.jsonl"
	swap := func(file, old, new string) func(map[string]string) {
		return func(files map[string]string) {
			if !strings.Contains(files[file], old) {
				t.Fatalf("%s has no %q", file, old)
			}
			files[file] = strings.ReplaceAll(files[file], old, new)
		}
	}
	drop := func(n int) func(map[string]string) {
		return func(files map[string]string) {
			lines := strings.SplitAfter(files[history], "\n")
			files[history] = strings.Join(slices.Delete(lines, n, n+1), "")
		}
	}
	f := create(t)
	for name, change := range map[string]func(map[string]string){
		"author":           swap(history, `"who":"Ada"`, `"who":"Eve"`),
		"reason":           swap(history, "invented", "measured"),
		"time":             swap(history, "2026-03-01T08:00:01.000Z", "2026-03-01T08:00:01Z"),
		"time moved":       swap(history, "2026-03-01T08:00:01.000Z", "2026-03-01T08:00:00.000Z"),
		"content":          swap(history, "75.4 cm", "75.5 cm"),
		"action":           swap(history, `"action":"undo"`, `"action":"edit"`),
		"unknown action":   swap(history, `"action":"undo"`, `"action":"wish"`),
		"unknown field":    swap(history, `"who":`, `"whose":`),
		"no line":          swap(history, `{"revision"`, `{"revision"}{"x"`),
		"first line gone":  drop(0),
		"first state gone": drop(1),
		"last state gone":  drop(4),
		"document":         swap(document, "22 cm", "23 cm"),
		"attachment size":  swap(history, `"size":20`, `"size":21`),
		"attachment name":  swap(history, `"name":"rim.png"`, `"name":"brim.png"`),
		"attachment absent": func(files map[string]string) {
			delete(files, "attachments/"+hash([]byte("not really a picture"))+".png")
		},
		"draft on nothing": swap(drafts, `"base":"`, `"base":"00000000000000000000000000000000","form":"`),
		"draft of a draft": swap(drafts, `"form":"1"`, `"form":"1","form":2`),
		"setting":          swap(settingsFileName, "A4", "A5"),
		"settings list":    swap(settingsFileName, "{", "[{"),
	} {
		_, err := f.Import(ctx, reseal(t, dir, change))
		var bad *ImportError
		if !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		said(t, err)
	}
	if list, err := f.List(ctx, Filter{}); err != nil || len(list) != 0 {
		t.Errorf("refused imports left %d records, %v", len(list), err)
	}
	if err := f.Check(ctx); err != nil {
		t.Error(err)
	}
}

// TestZip: a zip file holds what a folder holds, and can be imported.
func TestZip(t *testing.T) {
	ctx := context.Background()
	f := sample(t)
	dir := filepath.Join(t.TempDir(), "out")
	var b bytes.Buffer
	if err := errors.Join(f.Export(ctx, dir), f.ExportZip(ctx, &b)); err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	packed, err := readTree(r)
	if d := cmp.Diff(snapshot(t, dir), packed); err != nil || d != "" {
		t.Error(err, d)
	}
	g := create(t)
	if report, err := g.Import(ctx, r); err != nil || len(report.Added) != 2 {
		t.Errorf("importing a zip file did %+v, %v", report, err)
	}
	again := filepath.Join(t.TempDir(), "again")
	if err := g.Export(ctx, again); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(snapshot(t, dir), snapshot(t, again)); d != "" {
		t.Error(d)
	}
}

func TestSlug(t *testing.T) {
	for name, want := range map[string]string{
		"Big pot, 5 L": "big-pot-5-l", "": "pot", "../../x": "x", "Čajník": "cajnik", "鍋": "pot", "--": "pot",
		strings.Repeat("ab", 50): strings.Repeat("ab", 20), "a\x00\n\tb": "a-b", "CON": "con",
	} {
		if got := slug(name, "pot"); got != want {
			t.Errorf("slug(%q) = %q, want %q", name, got, want)
		}
	}
}

// FuzzImport feeds the import what a forger with the right checksums could
// write. It must not panic, must leave a sound file, and what it accepts must
// come out again and go in again.
func FuzzImport(f *testing.F) {
	dir := exportSample(f)
	files := snapshot(f, dir)
	const stem = "pot/cajnik-big--0000000000000p0t"
	f.Add([]byte(files[stem+historySuffix]), []byte(files[stem+documentSuffix]), []byte(files[stem+draftsSuffix]), []byte(files[settingsFileName]))
	f.Add([]byte("{}\n"), []byte{}, []byte("\n"), []byte("{}"))
	f.Fuzz(func(t *testing.T, history, document, drafts, settings []byte) {
		ctx := context.Background()
		source := reseal(t, dir, func(files map[string]string) {
			files[stem+historySuffix], files[stem+documentSuffix] = string(history), string(document)
			files[stem+draftsSuffix], files[settingsFileName] = string(drafts), string(settings)
		})
		w := create(t)
		if _, err := w.Import(ctx, source); err != nil {
			if !errors.As(err, new(*ImportError)) {
				t.Fatalf("not an import error: %v", err)
			}
			return
		}
		if err := w.Check(ctx); err != nil {
			t.Fatal(err)
		}
		again := filepath.Join(t.TempDir(), "again")
		if err := w.Export(ctx, again); err != nil {
			t.Fatal(err)
		}
		if _, err := create(t).ImportFolder(ctx, again); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzHistory reads histories and drafts by themselves, which is faster than
// FuzzImport: what is taken must be written and read again as the same.
func FuzzHistory(f *testing.F) {
	files := snapshot(f, exportSample(f))
	for _, name := range []string{"pot/cajnik-big--0000000000000p0t.history.jsonl", "note/and-more--000000000000n0te.history.jsonl", "pot/cajnik-big--0000000000000p0t.drafts.jsonl"} {
		f.Add([]byte(files[name]))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		read := func(data []byte) (header historyHeader, list []Revision, err error) {
			header, _, err = readHistory("history", bytes.NewReader(data), func(_ historyHeader, r Revision) error {
				list = append(list, r)
				return nil
			})
			return header, list, err
		}
		header, list, err := read(data)
		if err == nil {
			var b bytes.Buffer
			err := encodeLine(&b, header)
			for _, r := range list {
				err = errors.Join(err, encodeRevision(&b, r))
			}
			again, list2, err2 := read(b.Bytes())
			if d := cmp.Diff(list, list2); err != nil || err2 != nil || again != header || d != "" {
				t.Errorf("written and read again: %v, %v, %s", err, err2, d)
			}
		} else if !errors.As(err, new(*ImportError)) {
			t.Errorf("not an import error: %v", err)
		}
		var drafts []Draft
		if readDrafts("drafts", "0000000000000p0t", "pot", bytes.NewReader(data), func(d Draft) error {
			drafts = append(drafts, d)
			return nil
		}) != nil {
			return
		}
		var b bytes.Buffer
		for _, d := range drafts {
			if err := encodeDraft(&b, d); err != nil {
				t.Fatal(err)
			}
		}
		err = readDrafts("drafts", "0000000000000p0t", "pot", &b, func(d Draft) error {
			if diff := cmp.Diff(drafts[0], d); diff != "" {
				t.Error(diff)
			}
			drafts = drafts[1:]
			return nil
		})
		if err != nil || len(drafts) > 0 {
			t.Errorf("drafts written and read again: %v, %d missing", err, len(drafts))
		}
	})
}

// FuzzIndex: the index parser takes nothing whose paths leave the folder.
func FuzzIndex(f *testing.F) {
	data, err := os.ReadFile(filepath.Join(exportSample(f), indexFileName))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		ix, err := parseIndex(data)
		if err != nil {
			return
		}
		for _, file := range ix.Files {
			if !fs.ValidPath(file.Path) || !filepath.IsLocal(file.Path) || strings.Contains(file.Path, `\`) {
				t.Errorf("path %q was taken", file.Path)
			}
		}
	})
}

func TestWordsComplete(t *testing.T) {
	// Every id of this package's catalogue is asked for somewhere in the source.
	var source strings.Builder
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		source.Write(data)
	}
	for _, id := range message.English().IDs() {
		computed := strings.HasPrefix(id, "workshop.missing.") || strings.HasPrefix(id, "workshop.nothing.")
		if strings.HasPrefix(id, "workshop.") && !computed && !strings.Contains(source.String(), `"`+id+`"`) {
			t.Errorf("message %s is used nowhere", id)
		}
	}
}

// TestFormatIsDescribed: docs/files.md names every field of the export.
func TestFormatIsDescribed(t *testing.T) {
	doc, err := os.ReadFile(filepath.Join("..", "docs", "files.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []any{index{}, indexRecord{}, indexFile{}, historyHeader{}, revisionLine{}, contentLine{}, draftLine{}, Attachment{}} {
		for _, f := range reflect.VisibleFields(reflect.TypeOf(v)) {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if name != "" && !strings.Contains(string(doc), "`"+name+"`") {
				t.Errorf("docs/files.md does not name the field %q", name)
			}
		}
	}
}
