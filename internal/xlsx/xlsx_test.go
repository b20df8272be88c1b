package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"testing"

	"stovewright/internal/outside"
)

func book(t testing.TB, sheets ...Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, sheets); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var sample = []Sheet{
	{Name: "Results & more", Head: []string{"stove", "efficiency (%)", "Δ < 0"}, Rows: [][]Cell{
		{Text(`"A" <gap> & 9 mm`), Number(28.25), Number(-1e-17)}, {Text("=1+1"), {}, Number(math.NaN())}, {Text("\x00 bad"), Number(1e300)}}},
	{Name: "Empty"},
}

// TestAnIndependentReaderReadsIt opens the file with openpyxl, of Debian: texts
// are texts, also one that looks like a formula, numbers are numbers to the last
// digit, and the head stays in view.
func TestAnIndependentReaderReadsIt(t *testing.T) {
	const script = `import sys, json, openpyxl
b = openpyxl.load_workbook(sys.argv[1])
print(json.dumps({s.title: {"rows": [[c.value for c in r] for r in s.iter_rows()], "freeze": s.freeze_panes, "bold": bool(s["A1"].font.b)} for s in b}))`
	python := outside.Python(t, "openpyxl")
	name := filepath.Join(t.TempDir(), "a.xlsx")
	if err := os.WriteFile(name, book(t, sample...), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", script, name).Output()
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]struct {
		Rows   [][]any
		Freeze string
		Bold   bool
	}
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	want := [][]any{{"stove", "efficiency (%)", "Δ < 0"}, {`"A" <gap> & 9 mm`, 28.25, -1e-17}, {"=1+1", nil, nil}, {"\ufffd bad", 1e300, nil}}
	first := got["Results & more"]
	if !reflect.DeepEqual(first.Rows, want) || first.Freeze != "A2" || !first.Bold {
		t.Errorf("read %v, frozen at %q", first.Rows, first.Freeze)
	}
	if _, there := got["Empty"]; !there {
		t.Error("the second sheet is missing")
	}
}

func TestTheSameSheetsGiveTheSameBytes(t *testing.T) {
	a, b := book(t, sample...), book(t, sample...)
	if !bytes.Equal(a, b) {
		t.Error("two writings differ")
	}
	z, err := zip.NewReader(bytes.NewReader(a), int64(len(a)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, r); err != nil {
			t.Errorf("%s: %v", f.Name, err)
		}
	}
}

func TestNamesOfSheets(t *testing.T) {
	for _, bad := range [][]Sheet{nil, {{Name: ""}}, {{Name: "a/b"}}, {{Name: "one"}, {Name: "One"}}, {{Name: "a name that is far too long for a sheet"}}} {
		if err := Write(io.Discard, bad); err == nil {
			t.Errorf("%v was written", bad)
		}
	}
}

func TestColumns(t *testing.T) {
	// Letters as every spreadsheet has them: after Z comes AA, after ZZ AAA.
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA"} {
		if got := Column(i); got != want {
			t.Errorf("column %d is %s, want %s", i, got, want)
		}
	}
}
