package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"stovewright/booklet"
	"stovewright/message"
	"stovewright/proof"
	"stovewright/workshop"
)

// TestWorkThatFailsGivesOne holds the exit code of work that was broken off.
func TestWorkThatFailsGivesOne(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.stovewright")
	file, err := workshop.Create(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var said bytes.Buffer
	p := Program{Args: []string{"export", path, path + "-folder"}, Out: &said, Err: &said, Catalogue: message.English()}
	if code := p.Run(ctx); code != exitFailed || said.String() != "Failed: interrupted\n" {
		t.Errorf("code %d, says %q", code, said.String())
	}
}

// TestAnEntryThatDoesNotHoldFails holds proof to failing, by entries that are
// wrong on purpose.
func TestAnEntryThatDoesNotHoldFails(t *testing.T) {
	check := func(id string, ours float64) proof.Check {
		return proof.Check{ID: id, Quantity: "one", Unit: "", Expected: 1, Abs: 0.1, Standing: proof.Exact, Ours: func() float64 { return ours }}
	}
	results := proof.Verify([]proof.Check{check("a/right", 1), check("a/wrong", 2), check("a/nothing", nan())})
	var said bytes.Buffer
	p := Program{Out: &said, Err: &said, Catalogue: message.English()}
	printProof(&call{Program: &p}, results)
	if err := unproven(results); p.fail(err) != exitFailed {
		t.Error("the exit code of a failed check must be 1")
	}
	for _, want := range []string{"FAILS  a/wrong", "FAILS  a/nothing", "holds  a/right", "Failed: these entries do not hold: a/wrong, a/nothing"} {
		if !strings.Contains(said.String(), want) {
			t.Errorf("%q is not in\n%s", want, said.String())
		}
	}
	if err := writeJSON(&said, proofJSON(results)); err != nil {
		t.Errorf("a value that is no number cannot be written: %v", err)
	}
}

func nan() float64 {
	zero := 0.0
	return zero / zero
}

// TestKitsTakeEachOthersPlace breaks a kit off and writes others over it.
func TestKitsTakeEachOthersPlace(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "kit")
	write := func(names ...string) error {
		folder, err := openKit(dir)
		if err != nil {
			return err
		}
		defer folder.root.Close()
		var files []booklet.File
		for _, n := range names {
			files = append(files, booklet.File{Name: n, Data: []byte("new")})
		}
		return folder.write(files)
	}
	expect := func(want ...string) {
		t.Helper()
		var got []string
		err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
			if !d.IsDir() {
				name, _ := filepath.Rel(dir, path)
				got = append(got, filepath.ToSlash(name))
			}
			return err
		})
		if err != nil || !slices.Equal(got, append(want, kitList)) {
			t.Errorf("the folder holds %v, want %v: %v", got, want, err)
		}
	}
	if err := write("a.pdf", "b/c d.svg"); err != nil {
		t.Fatal(err)
	}
	expect("a.pdf", "b/c d.svg")

	// A file cannot be written where a folder is: the kit is broken off.
	if err := os.MkdirAll(filepath.Join(dir, "e.pdf", "x"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := write("a.pdf", "e.pdf", "f.pdf"); err == nil {
		t.Fatal("a file was written over a folder")
	}
	if err := os.RemoveAll(filepath.Join(dir, "e.pdf")); err != nil {
		t.Fatal(err)
	}
	if err := write("f.pdf"); err != nil {
		t.Fatal(err)
	}
	expect("f.pdf")
}

// TestListsCannotReachOutsideTheFolder holds the list of a kit's files, which
// anybody may have written, to its own folder.
func TestListsCannotReachOutsideTheFolder(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(dir, "mine.txt")
	kit := filepath.Join(dir, "kit")
	if err := os.Mkdir(kit, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{outside, filepath.Join(kit, "x")} {
		if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(kit, kitList), []byte("../mine.txt\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	folder, err := openKit(kit)
	if err != nil {
		t.Fatal(err)
	}
	defer folder.root.Close()
	if err := folder.write(nil); err == nil {
		t.Error("a path out of the folder was taken")
	}
	if _, err := os.Stat(outside); err != nil {
		t.Errorf("a file outside the folder was taken away: %v", err)
	}
}

func TestWrap(t *testing.T) {
	for _, line := range wrap(strings.Repeat("Größe überall ", 30), 40) {
		if n := len([]rune(line)); n > 40 || n < 20 {
			t.Errorf("%d characters: %q", n, line)
		}
	}
	if got := wrap("", 10); len(got) != 1 || got[0] != "" {
		t.Errorf("nothing wraps to %q", got)
	}
}
