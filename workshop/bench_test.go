package workshop

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"testing"
)

// benchDocument is of the size of a stove with all its overrides.
var benchDocument = func() []byte {
	var doc []byte
	for n := range 120 {
		doc = fmt.Appendf(doc, "dimension%d: {value: %d mm, origin: rule, because: table}\n", n, n)
	}
	return doc
}()

// filled makes a workshop with some records of ten revisions each.
func filled(b *testing.B, records int) *File {
	f := create(b)
	hasten(b, f)
	for n := range records {
		var r Revision
		for m := range 10 {
			r = save(b, f, Edit{Record: r.Record, Base: r.ID, Kind: "stove", Name: fmt.Sprint("stove ", n),
				Content: fmt.Appendf(nil, "n: %d.%d\n%s", n, m, benchDocument)})
		}
	}
	if _, err := f.write.Exec(`PRAGMA synchronous = FULL`); err != nil {
		b.Fatal(err)
	}
	return f
}

func BenchmarkOpen(b *testing.B) {
	f := filled(b, 100)
	f.Close()
	for b.Loop() {
		g, err := Open(context.Background(), f.Path())
		if err != nil {
			b.Fatal(err)
		}
		if _, err := g.List(context.Background(), Filter{}); err != nil {
			b.Fatal(err)
		}
		g.Close()
	}
}

func BenchmarkCreate(b *testing.B) {
	dir := b.TempDir()
	for n := 0; b.Loop(); n++ {
		f, err := Create(context.Background(), filepath.Join(dir, fmt.Sprint(n)+Extension))
		if err != nil {
			b.Fatal(err)
		}
		f.Close()
	}
}

// benchmarkSave saves with the disk waited for (durable) or not, to tell the
// disk's part from ours.
func benchmarkSave(b *testing.B, synchronous string) {
	f := filled(b, 100)
	if _, err := f.write.Exec("PRAGMA synchronous = " + synchronous); err != nil {
		b.Fatal(err)
	}
	var r Revision
	for n := 0; b.Loop(); n++ {
		r = save(b, f, Edit{Record: r.Record, Base: r.ID, Kind: "stove", Name: "x", Content: fmt.Appendf(nil, "n: %d\n%s", n, benchDocument)})
	}
}

func BenchmarkSave(b *testing.B)       { benchmarkSave(b, "FULL") }
func BenchmarkSaveNoSync(b *testing.B) { benchmarkSave(b, "OFF") }

func benchmarkDraft(b *testing.B, synchronous string) {
	f := filled(b, 100)
	if _, err := f.write.Exec("PRAGMA synchronous = " + synchronous); err != nil {
		b.Fatal(err)
	}
	r := save(b, f, Edit{Kind: "stove", Name: "x", Content: benchDocument})
	for n := 0; b.Loop(); n++ {
		err := f.SaveDraft(context.Background(), Draft{Edit: Edit{Record: r.Record, Base: r.ID, Name: "x", Content: fmt.Appendf(nil, "n: %d\n%s", n, benchDocument)}})
		if err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSaveDraft(b *testing.B)       { benchmarkDraft(b, "FULL") }
func BenchmarkSaveDraftNoSync(b *testing.B) { benchmarkDraft(b, "OFF") }

func BenchmarkGet(b *testing.B) {
	f := filled(b, 100)
	list, err := f.List(context.Background(), Filter{})
	if err != nil {
		b.Fatal(err)
	}
	for n := 0; b.Loop(); n++ {
		if _, err := f.Get(context.Background(), list[n%len(list)].ID); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkList1000(b *testing.B) {
	f := filled(b, 1000)
	for b.Loop() {
		list, err := f.List(context.Background(), Filter{Kind: "stove"})
		if err != nil || len(list) != 1000 {
			b.Fatal(len(list), err)
		}
	}
}

func BenchmarkUndo(b *testing.B) {
	f := filled(b, 1)
	hasten(b, f)
	list, err := f.List(context.Background(), Filter{})
	if err != nil {
		b.Fatal(err)
	}
	head := list[0].Head
	for b.Loop() {
		undone, err := f.Undo(context.Background(), head.Record, head.ID, By{})
		if err != nil {
			b.Fatal(err)
		}
		if head, err = f.Redo(context.Background(), head.Record, undone.ID, By{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiff(b *testing.B) {
	old := append([]byte("n: 1\n"), benchDocument...)
	new := append([]byte("n: 2\n"), benchDocument...)
	for b.Loop() {
		if len(Diff(old, new)) != 1 {
			b.Fatal("one field differs")
		}
	}
}

func BenchmarkExport(b *testing.B) { // 100 records, 1000 revisions
	f := filled(b, 100)
	for b.Loop() {
		if err := f.ExportZip(context.Background(), io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
