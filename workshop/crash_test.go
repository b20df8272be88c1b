package workshop

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// The tests of this file run the test binary once more as another process,
// which works on a file until it is killed in the middle of it.
const childVariable = "STOVEWRIGHT_WORKSHOP_CHILD"

func TestMain(m *testing.M) {
	if job := os.Getenv(childVariable); job != "" {
		err := children[job](os.Args[1], os.Args[2])
		fmt.Fprintln(os.Stderr, job, err)
		os.Exit(3) // a child ends by being killed, or else by "done"
	}
	os.Exit(m.Run())
}

var children = map[string]func(path, round string) error{
	"save": childSave, "create": childCreate, "export": childExport, "migrate": childMigrate, "some": childSome,
}

// document is the document that a round saves as its n-th: some bytes that can
// be told again, from none to more than a page of the database.
func document(round string, n int) []byte {
	var seed [32]byte
	copy(seed[:], fmt.Sprintf("%s/%d", round, n))
	source := rand.NewChaCha8(seed)
	data := make([]byte, source.Uint64()%20000)
	source.Read(data)
	return data
}

// childSave saves for ever, and says of each save and draft that it was done.
func childSave(path, round string) error {
	ctx := context.Background()
	f, err := Open(ctx, path)
	if err != nil {
		return err
	}
	draft := NewID()
	var head Revision
	for n := 0; ; n++ {
		e := Edit{Record: head.Record, Base: head.ID, Kind: "note", Name: fmt.Sprint(n), Content: document(round, n), By: By{Who: round}}
		if n%10 == 0 {
			e.Record, e.Base = "", ""
		}
		if head, err = f.Save(ctx, e); err != nil {
			return err
		}
		fmt.Println("saved", head.ID, round, n)
		err := f.SaveDraft(ctx, Draft{Edit: Edit{Record: draft, Kind: "pot", Content: document(round, n)}, Form: round})
		if err != nil {
			return err
		}
		fmt.Println("drafted", draft, round, n)
	}
}

func childCreate(path, round string) error {
	for n := 0; ; n++ {
		f, err := Create(context.Background(), filepath.Join(path, fmt.Sprintf("%s-%d%s", round, n, Extension)))
		if err != nil {
			return err
		}
		fmt.Println("created", f.Path())
		f.Close()
	}
}

func childExport(path, round string) error {
	f, err := Open(context.Background(), path)
	if err != nil {
		return err
	}
	fmt.Println("opened")
	for n := 0; ; n++ {
		if err := f.Export(context.Background(), filepath.Join(filepath.Dir(path), fmt.Sprintf("export-%s-%d", round, n))); err != nil {
			return err
		}
	}
}

func childMigrate(path, round string) error {
	fmt.Println("begun")
	f, err := open(context.Background(), path, append(migrations[:len(migrations):len(migrations)],
		`CREATE TABLE lore (x TEXT); INSERT INTO lore SELECT hex(randomblob(1000)) FROM blob, blob b, blob c LIMIT 500`, `CREATE TABLE more (x TEXT)`))
	if err != nil {
		return err
	}
	fmt.Println("done", f.Close())
	time.Sleep(time.Hour) // to be killed
	return nil
}

// childSome saves twenty revisions and lists what is there.
func childSome(path, round string) error {
	ctx := context.Background()
	f, err := Open(ctx, path)
	if err != nil {
		return err
	}
	defer f.Close()
	for n := range 20 {
		r, err := f.Save(ctx, Edit{Kind: "note", Name: fmt.Sprint(round, n)})
		if err != nil {
			return err
		}
		fmt.Println("saved", r.ID, round, n)
	}
	list, err := f.List(ctx, Filter{})
	fmt.Println("done", len(list), err)
	time.Sleep(time.Hour) // to be killed
	return nil
}

// startChild starts a job in another process and hands on the lines it prints.
func startChild(t *testing.T, job, path, round string) (*exec.Cmd, <-chan string) {
	t.Helper()
	cmd := exec.Command(os.Args[0], path, round)
	cmd.Env = append(os.Environ(), childVariable+"="+job)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := make(chan string, 100000)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(out); s.Scan(); {
			lines <- s.Text()
		}
	}()
	return cmd, lines
}

// killChild lets a job work until it has said something and a random moment
// more, kills it, and gives every line it printed.
func killChild(t *testing.T, job, path, round string, most time.Duration) (said []string) {
	t.Helper()
	cmd, lines := startChild(t, job, path, round)
	first, ok := <-lines
	if ok {
		time.Sleep(rand.N(most))
	}
	cmd.Process.Kill()
	said = append(said, first)
	for line := range lines {
		said = append(said, line)
	}
	if err := cmd.Wait(); cmd.ProcessState.ExitCode() == 3 || !ok {
		t.Fatalf("the child failed by itself: %v", err)
	}
	return said
}

// acknowledged is what a killed writer had said was done.
type acknowledged struct {
	revisions map[string][]byte // by id
	drafts    map[string]int    // number of the last one, by record
	rounds    map[string]string // of the drafts
}

func (a acknowledged) note(lines []string) {
	for _, line := range lines {
		var what, id, round string
		var n int
		if _, err := fmt.Sscan(line, &what, &id, &round, &n); err != nil {
			continue // the line during which it was killed
		}
		if what == "saved" {
			a.revisions[id] = document(round, n)
		} else {
			a.drafts[id], a.rounds[id] = n, round
		}
	}
}

// check opens the file and finds everything that was acknowledged, exactly.
func (a acknowledged) check(t *testing.T, path string) {
	t.Helper()
	ctx := context.Background()
	f, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Check(ctx); err != nil {
		t.Fatal(err)
	}
	for id, want := range a.revisions {
		r, err := f.Revision(ctx, id)
		if err != nil || string(r.Content) != string(want) {
			t.Fatalf("an acknowledged save is lost or changed: %v", err)
		}
	}
	for record, n := range a.drafts {
		list, err := f.Drafts(ctx, record)
		if err != nil || len(list) != 1 {
			t.Fatalf("an acknowledged draft is lost: %v, %v", list, err)
		}
		// The next one may have been written and not yet been acknowledged.
		got, round := string(list[0].Content), a.rounds[record]
		if got != string(document(round, n)) && got != string(document(round, n+1)) {
			t.Fatalf("a draft is older than the last acknowledged one, or changed")
		}
	}
}

func TestKilledWriter(t *testing.T) {
	const rounds = 45
	path := create(t).Path()
	a := acknowledged{map[string][]byte{}, map[string]int{}, map[string]string{}}
	for round := range rounds {
		a.note(killChild(t, "save", path, fmt.Sprint(round), 90*time.Millisecond))
		if round%3 != 0 { // else the next writer has to clear up by itself
			a.check(t, path)
		}
	}
	a.check(t, path)
	if len(a.revisions) < rounds {
		t.Errorf("only %d saves were acknowledged in %d rounds", len(a.revisions), rounds)
	}
	t.Logf("killed %d writers; all of %d acknowledged saves are there", rounds, len(a.revisions))
}

func TestKilledCreator(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	for round := range 8 {
		killChild(t, "create", dir, fmt.Sprint(round), 50*time.Millisecond)
	}
	made, err := filepath.Glob(filepath.Join(dir, "*"+Extension)) // the hidden ones do not match
	if err != nil || len(made) < 8 {
		t.Fatalf("%d files were made, %v", len(made), err)
	}
	for _, path := range made {
		if strings.HasPrefix(filepath.Base(path), ".") {
			continue
		}
		f, err := Open(ctx, path)
		if err != nil {
			t.Errorf("a half-made file stands under its name: %v", err)
			continue
		}
		if err := f.Check(ctx); err != nil {
			t.Error(err)
		}
		f.Close()
	}
}

func TestKilledExporter(t *testing.T) {
	ctx := context.Background()
	f := sample(t)
	f.Close()
	for round := range 8 {
		killChild(t, "export", f.Path(), fmt.Sprint(round), 80*time.Millisecond)
	}
	made, err := filepath.Glob(filepath.Join(filepath.Dir(f.Path()), "export-*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range made {
		if report, err := create(t).ImportFolder(ctx, dir); err != nil || len(report.Added) != 2 {
			t.Errorf("a half export stands under its name: %+v, %v", report, err)
		}
	}
	t.Logf("%d whole exports, no half one", len(made))
}

// TestKilledMigration: after a killed migration the file is of one version or
// another, never in between, nothing is lost, and the next try succeeds.
func TestKilledMigration(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "kept", Content: document("migration", 0)})
	for n := range 12 {
		save(t, f, Edit{Name: "more", Content: document("migration", n+1)})
	}
	f.Close()
	versions := map[int]int{}
	for round := range 8 {
		path := filepath.Join(t.TempDir(), "shop"+Extension)
		copyFile(t, f.Path(), path)
		killChild(t, "migrate", path, fmt.Sprint(round), 250*time.Millisecond)
		version, err := inspect(ctx, path)
		if err != nil {
			t.Fatal(err)
		}
		versions[version]++
		g, err := open(ctx, path, append(migrations[:len(migrations):len(migrations)], `CREATE TABLE lore (x TEXT)`, `CREATE TABLE more (x TEXT)`))
		if err != nil {
			t.Fatalf("from version %d: %v", version, err)
		}
		if rec, err := g.Get(ctx, r.Record); err != nil || rec.Head.ID != r.ID {
			t.Errorf("from version %d: %v", version, err)
		}
		if err := g.Check(ctx); err != nil {
			t.Error(err)
		}
		g.Close()
	}
	t.Logf("killed at versions %v", versions)
}

// TestTornLog cuts the write-ahead log at random places, as a power cut may
// where the disk had not written all of it, and fills what is missing with
// nothing, zeros or rubbish: the file opens at some earlier save, whole.
func TestTornLog(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	if _, err := f.write.Exec("PRAGMA wal_autocheckpoint = 0"); err != nil {
		t.Fatal(err)
	}
	var saved []Revision
	var r Revision
	for n := range 40 {
		r = save(t, f, Edit{Record: r.Record, Base: r.ID, Name: fmt.Sprint(n), Content: document("torn", n)})
		saved = append(saved, r)
	}
	base, err1 := os.ReadFile(f.Path())
	log, err2 := os.ReadFile(f.Path() + "-wal")
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	// reopen gives the number of saves that are there with a log.
	reopen := func(name string, log []byte) int {
		path := filepath.Join(dir, name+Extension)
		if err := errors.Join(os.WriteFile(path, base, 0o600), os.WriteFile(path+"-wal", log, 0o600)); err != nil {
			t.Fatal(err)
		}
		g, err := Open(ctx, path)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		defer g.Close()
		if err := g.Check(ctx); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		rec, err := g.Get(ctx, r.Record)
		if errors.Is(err, ErrNotFound) {
			return 0
		}
		if err != nil {
			t.Fatal(err)
		}
		n := rec.Head.Number
		if rec.Head.ID != saved[n-1].ID || string(rec.Head.Content) != string(document("torn", n-1)) {
			t.Fatalf("%s: the head is not save %d", name, n)
		}
		if history, err := g.History(ctx, r.Record); err != nil || len(history) != n {
			t.Fatalf("%s: %d revisions at save %d, %v", name, len(history), n, err)
		}
		return n
	}
	if n := reopen("whole", log); n != len(saved) {
		t.Fatalf("with the whole log %d of %d saves are there", n, len(saved))
	}
	seen := map[int]bool{}
	for i := range 60 {
		cut := rand.IntN(len(log) + 1)
		torn := log[:cut:cut]
		n := reopen(fmt.Sprint(i, "-cut"), torn)
		zeros := append(torn, make([]byte, len(log)-cut)...)
		rubbish := append(torn, document("rubbish", i)...)
		if z, r := reopen(fmt.Sprint(i, "-zeros"), zeros), reopen(fmt.Sprint(i, "-rubbish"), rubbish); z != n || r != n {
			t.Errorf("cut at %d: %d saves, but %d with zeros and %d with rubbish", cut, n, z, r)
		}
		seen[n] = true
	}
	if len(seen) < 10 {
		t.Errorf("60 cuts led to only %d states", len(seen))
	}
}

// TestTwoPrograms: two processes write to one file in turn and see each other's
// records.
func TestTwoPrograms(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	cmd, lines := startChild(t, "some", f.Path(), "other")
	defer cmd.Wait()
	defer cmd.Process.Kill()
	<-lines // the other has begun
	for n := range 20 {
		save(t, f, Edit{Kind: "note", Name: fmt.Sprint("mine", n)})
	}
	for line := range lines {
		if strings.HasPrefix(line, "done") {
			break
		}
	}
	list, err := f.List(ctx, Filter{Kind: "note"})
	if err != nil || len(list) != 40 {
		t.Errorf("%d records of two writers, %v", len(list), err)
	}
	if err := f.Check(ctx); err != nil {
		t.Error(err)
	}
}

// TestBusy: a writer that waits too long is told so, nothing of its save is
// written, and readers are not held up.
func TestBusy(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	r := save(t, f, Edit{Name: "pot"})
	g, err := Open(ctx, f.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer g.Close()
	if _, err := g.write.Exec("PRAGMA busy_timeout = 20"); err != nil {
		t.Fatal(err)
	}
	writing, err := f.write.Begin()
	if err != nil {
		t.Fatal(err)
	}
	_, err = g.Save(ctx, Edit{Kind: "pot", Name: "second"})
	if !errors.Is(err, ErrBusy) || !strings.Contains(said(t, err), "another program") {
		t.Errorf("saving while another writes gave %v", err)
	}
	if rec, err := g.Get(ctx, r.Record); err != nil || rec.Head.ID != r.ID {
		t.Errorf("reading while another writes gave %v", err)
	}
	if err := writing.Rollback(); err != nil {
		t.Fatal(err)
	}
	if _, err := g.Save(ctx, Edit{Kind: "pot", Name: "second"}); err != nil {
		t.Errorf("saving afterwards gave %v", err)
	}
}

// TestManyGoroutines uses one open file from many goroutines.
func TestManyGoroutines(t *testing.T) {
	ctx := context.Background()
	f := create(t)
	f.Now = time.Now
	var group sync.WaitGroup
	for g := range 8 {
		group.Go(func() {
			var r Revision
			for n := range 10 {
				var err error
				if r, err = f.Save(ctx, Edit{Record: r.Record, Base: r.ID, Kind: "note", Name: fmt.Sprint(g, n)}); err != nil {
					t.Error(err)
					return
				}
				if _, err := f.List(ctx, Filter{}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	list, err := f.List(ctx, Filter{})
	if err != nil || len(list) != 8 {
		t.Errorf("%d records, %v", len(list), err)
	}
	for _, rec := range list {
		if rec.Head.Number != 10 {
			t.Errorf("record %s is at revision %d", rec.Head.Name, rec.Head.Number)
		}
	}
}
