package workshop

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"stovewright/internal/outside"
	"stovewright/message"
)

// testClock starts at a fixed time and moves on by a second at each look.
func testClock() func() time.Time {
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	return func() time.Time {
		now = now.Add(time.Second)
		return now
	}
}

func create(t testing.TB) *File {
	t.Helper()
	f, err := Create(context.Background(), filepath.Join(t.TempDir(), "shop"+Extension))
	if err != nil {
		t.Fatal(err)
	}
	f.Now = testClock()
	t.Cleanup(func() { f.Close() })
	return f
}

// hasten does without waiting for the disk, for tests that save very often and
// are not about power cuts.
func hasten(t interface{ Fatal(...any) }, f *File) {
	if _, err := f.write.Exec(`PRAGMA synchronous = OFF`); err != nil {
		t.Fatal(err)
	}
}

func save(t testing.TB, f *File, e Edit) Revision {
	t.Helper()
	if e.Record == "" && e.Kind == "" {
		e.Kind = "pot"
	}
	r, err := f.Save(context.Background(), e)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// said finds the words an error has for the user, and fails if the catalogue
// lacks them.
func said(t *testing.T, err error) string {
	t.Helper()
	var texts interface{ Text() message.Text }
	if !errors.As(err, &texts) {
		t.Fatalf("%v has no words for the user", err)
	}
	s := message.English().Say(texts.Text())
	if strings.ContainsAny(s, "«{") {
		t.Errorf("the words %q are not complete", s)
	}
	return s
}

func TestConnectionSettings(t *testing.T) {
	f := create(t)
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "5000",
		"fullfsync": "1", "trusted_schema": "0", "user_version": fmt.Sprint(len(migrations)), "application_id": "1400139638",
	} {
		var got string
		if err := f.write.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s = %q, %v, want %q", pragma, got, err, want)
		}
	}
	if _, err := f.read.Exec(`DELETE FROM setting`); err == nil {
		t.Error("a reading connection can write")
	}
}

func TestCreateRefuses(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path := filepath.Join(dir, "shop"+Extension)
	f, err := Create(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	before, _ := os.ReadFile(path)
	if _, err := Create(ctx, path); !errors.Is(err, fs.ErrExist) {
		t.Errorf("creating over a file gave %v", err)
	}
	if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
		t.Error("the file in the way was changed")
	}
	other := filepath.Join(dir, "other"+Extension)
	if err := os.WriteFile(other+"-wal", []byte("left over"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Create(ctx, other); !errors.Is(err, fs.ErrExist) {
		t.Errorf("creating beside a stray journal gave %v", err)
	}
	_, err = Create(ctx, filepath.Join(dir, "shop.db"))
	if list, ok := message.Complaints(err); !ok || list[0].Try != "shop.db"+Extension {
		t.Errorf("a wrong extension gave %v", err)
	}
	if _, err := Create(ctx, filepath.Join(dir, "no", "such", "x"+Extension)); err == nil {
		t.Error("created a file in a folder that is not there")
	}
	entries, _ := os.ReadDir(dir)
	if len(entries) != 2 { // shop.stovewright and the stray journal
		t.Errorf("left behind: %v", entries)
	}
}

// TestOpenRefuses: whatever is not ours, or is newer, is refused with the right
// error and words, and not changed by one byte.
func TestOpenRefuses(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	foreign := filepath.Join(dir, "foreign.db")
	db, err := sql.Open("sqlite", foreign)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(`PRAGMA journal_mode = WAL; CREATE TABLE bird (name TEXT); INSERT INTO bird VALUES ('hoopoe')`); err != nil {
		t.Fatal(err)
	}
	copyFile(t, foreign, filepath.Join(dir, "unfolded.db")) // its table is in the log still
	copyFile(t, foreign+"-wal", filepath.Join(dir, "unfolded.db-wal"))
	db.Close()
	for name, content := range map[string]string{
		"empty": "", "short": "SQLite format 3\x00", "text": strings.Repeat("a pot of beans\n", 99),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	newer := newerFile(t, filepath.Join(dir, "newer"+Extension))
	before := snapshot(t, dir)
	for name, want := range map[string]error{
		"foreign.db": ErrNotWorkshop, "unfolded.db": ErrNotWorkshop, "empty": ErrNotWorkshop,
		"short": ErrNotWorkshop, "text": ErrNotWorkshop, ".": ErrNotWorkshop, "nowhere": fs.ErrNotExist,
	} {
		f, err := Open(ctx, filepath.Join(dir, name))
		if !errors.Is(err, want) {
			t.Errorf("opening %s gave %v, want %v", name, err, want)
		}
		if f != nil {
			f.Close()
		}
		said(t, err)
	}
	var tooNew *NewerFileError
	if _, err := Open(ctx, newer); !errors.As(err, &tooNew) || tooNew.Version != len(migrations)+1 || tooNew.Known != len(migrations) {
		t.Errorf("opening a newer file gave %v", err)
	}
	if words := said(t, tooNew); !strings.Contains(words, "newer program") {
		t.Errorf("the words for a newer file are %q", words)
	}
	if after := snapshot(t, dir); !equalTrees(before, after) {
		t.Errorf("opening changed something: %v became %v", names(before), names(after))
	}
}

// newerFile makes a file as a program with one more step would.
func newerFile(t *testing.T, path string) string {
	t.Helper()
	if err := initialise(context.Background(), path, append(migrations[:len(migrations):len(migrations)], `CREATE TABLE lore (x TEXT)`)); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestOpenRefusesNewerInLog: a newer program was killed while it migrated, and
// the new version stands in the write-ahead log alone.
func TestOpenRefusesNewerInLog(t *testing.T) {
	f := create(t)
	ctx := context.Background()
	save(t, f, Edit{Name: "kept"})
	if _, err := f.write.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	if err := takeStep(ctx, f.write, append(migrations[:len(migrations):len(migrations)], `CREATE TABLE lore (x TEXT)`), len(migrations)); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "killed"+Extension)
	copyFile(t, f.Path(), path)
	copyFile(t, f.Path()+"-wal", path+"-wal")
	before := snapshot(t, dir)
	_, err := Open(ctx, path)
	if !errors.As(err, new(*NewerFileError)) {
		t.Fatalf("got %v", err)
	}
	after := snapshot(t, dir)
	delete(after, filepath.Base(path)+"-shm") // SQLite's index of the log, made anew each time
	if !equalTrees(before, after) {
		t.Error("the refused file was changed")
	}
}

func TestMigration(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "old", Content: []byte("height: 20 cm\n")})
	f.Close()
	old, _ := os.ReadFile(f.Path())
	steps := append(migrations[:len(migrations):len(migrations)], `CREATE TABLE lore (x TEXT)`, `INSERT INTO lore VALUES ('new')`)

	// A step that fails changes nothing, and the file still opens in the old program.
	if _, err := open(ctx, f.Path(), append(migrations[:len(migrations):len(migrations)], `CREATE TABLE lore (x TEXT); CREATE NONSENSE`)); err == nil {
		t.Fatal("a broken step was taken")
	}
	f, err := Open(ctx, f.Path())
	if err != nil {
		t.Fatal("after a broken step: ", err)
	}
	f.Close()

	f, err = open(ctx, f.Path(), steps)
	if err != nil {
		t.Fatal(err)
	}
	var x string
	if err := f.write.QueryRow(`SELECT x FROM lore`).Scan(&x); err != nil || x != "new" {
		t.Errorf("after the migration: %q, %v", x, err)
	}
	if rec, err := f.Get(ctx, r.Record); err != nil || rec.Head.ID != r.ID {
		t.Errorf("the record was not kept: %v", err)
	}
	f.Close()
	if _, err := Open(ctx, f.Path()); !errors.As(err, new(*NewerFileError)) {
		t.Errorf("the old program opened the new file: %v", err)
	}
	// The copies beside it, one for each attempt, are whole files of the old version.
	stem := fmt.Sprintf("%s.version-%d", strings.TrimSuffix(f.Path(), Extension), len(migrations))
	for _, name := range []string{stem + Extension, stem + "-2" + Extension} {
		kept, err := Open(ctx, name)
		if err != nil {
			t.Errorf("the copy made before migrating: %v", err)
			continue
		}
		if rec, err := kept.Get(ctx, r.Record); err != nil || rec.Head.ID != r.ID {
			t.Errorf("the copy lacks the record: %v", err)
		}
		kept.Close()
	}
	if len(old) == 0 {
		t.Error("the old file was empty")
	}
}

func TestBackup(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "kept"})
	path := filepath.Join(t.TempDir(), "copy"+Extension)
	if err := f.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	save(t, f, Edit{Name: "later"})
	kept, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer kept.Close()
	list, err := kept.List(ctx, Filter{})
	if err != nil || len(list) != 1 || list[0].Head.ID != r.ID {
		t.Errorf("the copy holds %v, %v", list, err)
	}
	if err := f.Backup(ctx, path); !errors.Is(err, fs.ErrExist) {
		t.Errorf("copying over a file gave %v", err)
	}
}

// TestStrangePaths: no character of a path is taken for a part of a URI.
func TestStrangePaths(t *testing.T) {
	ctx := context.Background()
	for _, name := range []string{"a b", "50%", "%41", "a#b", "a&mode=ro", "pots+pans", "čajník", "鍋", "a;b", "it's"} {
		path := filepath.Join(t.TempDir(), name+Extension)
		f, err := Create(ctx, path)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		save(t, f, Edit{Name: "x"})
		f.Close()
		entries, _ := os.ReadDir(filepath.Dir(path))
		if len(entries) != 1 || entries[0].Name() != name+Extension {
			t.Errorf("%q left %v", name, entries)
		}
	}
}

func TestSettings(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	for _, s := range [][2]string{{Paper, "Letter"}, {Paper, "A4"}, {Language, "pt-MZ"}, {Units, "inch"}, {Units, ""}, {"last.page", "stove"}} {
		if err := f.Set(ctx, s[0], s[1]); err != nil {
			t.Errorf("%s = %s: %v", s[0], s[1], err)
		}
	}
	got, err := f.Settings(ctx)
	if err != nil || len(got) != 3 || got[Paper] != "A4" || got[Language] != "pt-MZ" || got["last.page"] != "stove" {
		t.Errorf("the settings are %v, %v", got, err)
	}
	for _, s := range [][2]string{{Paper, "A5"}, {Units, "furlong"}, {Language, "!"}, {"", "x"}, {"Big", "x"}, {"x", "\xff"}} {
		if _, ok := message.Complaints(f.Set(ctx, s[0], s[1])); !ok {
			t.Errorf("%s = %q was accepted", s[0], s[1])
		}
	}
}

func TestAttachments(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "pot", Content: []byte("a: 1\n")})
	by := By{Who: "Ada", Why: "picture of the rim"}
	data := []byte{0xff, 0xd8, 0, 1, 2}
	r1, err := f.Attach(ctx, r.Record, "rim.jpg", "image/jpeg", data, by)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := f.Attach(ctx, r.Record, "rim.jpg", "image/jpeg", data, by); err != nil || again.ID != r1.ID {
		t.Errorf("attaching the same again gave %v, %v", again, err)
	}
	if got, err := f.Attachment(ctx, r1.Attachments[0].SHA256); err != nil || !bytes.Equal(got, data) {
		t.Errorf("the attachment is %x, %v", got, err)
	}
	if _, err := f.Attach(ctx, r.Record, "empty", "", nil, by); err != nil {
		t.Errorf("an empty file: %v", err)
	}
	// An edit based on the revision before the attachments is no conflict, and keeps them.
	r2 := save(t, f, Edit{Record: r.Record, Base: r.ID, Name: "pot", Content: []byte("a: 2\n")})
	if len(r2.Attachments) != 2 || r2.Attachments[0].Name != "empty" || r2.Attachments[1].Name != "rim.jpg" {
		t.Errorf("after an edit the attachments are %v", r2.Attachments)
	}
	r3, err := f.Detach(ctx, r.Record, "rim.jpg", by)
	if err != nil || len(r3.Attachments) != 1 {
		t.Errorf("detaching gave %v, %v", r3, err)
	}
	r4, err := f.Undo(ctx, r.Record, r3.ID, by)
	if err != nil || len(r4.Attachments) != 2 {
		t.Errorf("undoing gave %v, %v", r4, err)
	}
	if _, err := f.Detach(ctx, r.Record, "nothing", by); !errors.Is(err, ErrNotFound) {
		t.Errorf("detaching what is not there gave %v", err)
	}
	if _, err := f.Attach(ctx, r.Record, "big", "", make([]byte, MaxAttachment+1), by); err == nil {
		t.Error("a file over the limit was taken")
	}
	for _, bad := range [][2]string{{"", "image/png"}, {"x", "picture"}, {"\xff", ""}, {strings.Repeat("x", MaxText+1), ""}} {
		if _, ok := message.Complaints(func() error { _, err := f.Attach(ctx, r.Record, bad[0], bad[1], nil, by); return err }()); !ok {
			t.Errorf("attachment %q of type %q was taken", bad[0], bad[1])
		}
	}
	d, err := f.Delete(ctx, r.Record, r4.ID, by)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Attach(ctx, d.Record, "late", "", nil, by); !errors.As(err, new(*ConflictError)) {
		t.Errorf("attaching to a deleted record gave %v", err)
	}
	changes, err := f.Changes(ctx, r3.ID)
	if err != nil || len(changes) != 1 || changes[0].Part != AttachmentPart || changes[0].Field != "rim.jpg" || changes[0].New != "" {
		t.Errorf("detaching changed %v, %v", changes, err)
	}
	if err := f.Check(ctx); err != nil {
		t.Error(err)
	}
}

// TestCheckFindsDamage changes a file behind the program's back.
func TestCheckFindsDamage(t *testing.T) {
	ctx := context.Background()
	for name, damage := range map[string]string{
		"document":   `UPDATE blob SET data = x'00'`,
		"author":     `UPDATE revision SET who = 'Eve'`,
		"kind":       `UPDATE record SET kind = 'stove'`,
		"number":     `UPDATE revision SET number = 7`,
		"reference":  `PRAGMA foreign_keys = OFF; DELETE FROM blob`,
		"attachment": `UPDATE revision SET attachments = '[{"name":"x","mime":"a/b","sha256":"00","size":0}]'`,
	} {
		f := create(t)
		save(t, f, Edit{Name: "pot", Content: []byte("a: 1\n"), By: By{Who: "Ada"}})
		if err := f.Check(ctx); err != nil {
			t.Fatal(err)
		}
		if _, err := f.write.Exec(damage); err != nil {
			t.Fatal(err)
		}
		err := f.Check(ctx)
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: Check gave %v", name, err)
			continue
		}
		said(t, err)
	}
}

// TestLinkedLibraries: modernc.org/sqlite works only with the very version of
// modernc.org/libc that its own go.mod names, and a stray upgrade of another
// module could raise libc.
func TestLinkedLibraries(t *testing.T) {
	goTool, err := exec.LookPath("go")
	if err != nil {
		outside.Lacks(t, "the go command, to ask which modules are linked,")
	}
	list := func(field, module string) string {
		out, err := exec.Command(goTool, "list", "-m", "-f", "{{with .Replace}}{{."+field+"}}{{else}}{{."+field+"}}{{end}}", module).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(string(out))
	}
	mod, err := os.ReadFile(filepath.Join(list("Dir", "modernc.org/sqlite"), "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	wants := regexp.MustCompile(`(?m)^\s*(?:require\s+)?modernc\.org/libc\s+(v\S+)`).FindSubmatch(mod)
	if wants == nil {
		t.Fatal("sqlite's go.mod names no libc")
	}
	if linked := list("Version", "modernc.org/libc"); linked != string(wants[1]) {
		t.Errorf("libc %s is linked, but sqlite wants %s", linked, wants[1])
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// snapshot reads every file below a folder.
func snapshot(t testing.TB, dir string) map[string]string {
	t.Helper()
	files, err := readTree(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func readTree(files fs.FS) (map[string]string, error) {
	tree := make(map[string]string)
	return tree, fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, path)
		tree[path] = string(data)
		return err
	})
}

func equalTrees(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for name, data := range a {
		if other, ok := b[name]; !ok || other != data {
			return false
		}
	}
	return true
}

func names(tree map[string]string) (list []string) {
	for name := range tree {
		list = append(list, name)
	}
	return list
}
