package booklet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/message"
)

// studied reads the invented tests of the examples and compares them.
func studied(t testing.TB, patterns ...string) *bench.Study {
	t.Helper()
	var files []bench.TestFile
	for _, pattern := range patterns {
		names, err := filepath.Glob(filepath.Join("..", "examples", "tests", pattern))
		if err != nil || len(names) == 0 {
			t.Fatal("no examples", pattern, err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			f, err := bench.ReadTest(filepath.Base(name), data)
			if err != nil {
				t.Fatal(name, err)
			}
			files = append(files, f)
		}
	}
	s := bench.DefaultSettings
	s.Draws = 0
	st, err := bench.NewStudy(files, "", nil, s)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func reported(t testing.TB, r TestReport, c *message.Catalogue) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := r.PDF(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// keep writes a file for somebody to look at, where PICTURES names a folder.
func keep(t testing.TB, name string, data []byte) {
	if dir := os.Getenv("PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// TestReportSaysWhatMayBeSaid reads the report with poppler.
func TestReportSaysWhatMayBeSaid(t *testing.T) {
	pdftotext := reader(t, "pdftotext")
	st := studied(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	for _, one := range []bool{true, false} {
		data := reported(t, TestReport{Study: st, Paper: drawing.A4, OnePage: one}, message.English())
		keep(t, "report-"+strconv.FormatBool(one)+".pdf", data)
		text := run(t, pdftotext, "-layout", saved(t, data), "-")
		for _, want := range []string{"What may be said", "What may not be said", "a gain in health: nothing here measures it", "invented example", "not shown to differ", "computed", "95 % interval"} {
			if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
				t.Errorf("one page %v: %q is not in the report", one, want)
			}
		}
		if pages := strings.Count(text, "\f"); one && pages != 1 || !one && pages < 6 {
			t.Errorf("one page %v: %d pages", one, pages)
		}
		if strings.Contains(text, "«") {
			t.Error("an id that the catalogue lacks is in the report")
		}
	}
}

// TestCO2NeedsKitchens holds the arithmetic of fuel and CO2 to studies that
// measured in kitchens.
func TestCO2NeedsKitchens(t *testing.T) {
	pdftotext := reader(t, "pdftotext")
	for _, c := range []struct {
		study *bench.Study
		want  bool
	}{{studied(t, "boiling/*/*.yaml"), false}, {studied(t, "kitchen/*.yaml"), true}} {
		text := run(t, pdftotext, saved(t, reported(t, TestReport{Study: c.study, Paper: drawing.Letter}, message.English())), "-")
		if got := strings.Contains(text, "CO2e a household"); got != c.want {
			t.Errorf("CO2 in the report: %v, want %v", got, c.want)
		}
	}
}

// TestReportsAreTheSameEachTime and speak the language of the catalogue alone.
func TestReportsAreTheSameEachTime(t *testing.T) {
	st := studied(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	r := TestReport{Study: st, Paper: drawing.A4, Stove: household(t)}
	if !bytes.Equal(reported(t, r, message.English()), reported(t, r, message.English())) {
		t.Error("two reports of one study differ")
	}
}

// TestWorkbookIsRead opens the workbook with openpyxl, of Debian, and compares
// its numbers with those of the study.
func TestWorkbookIsRead(t *testing.T) {
	if exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run() != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3 with openpyxl is not installed")
		}
		t.Skip("python3 with openpyxl is not installed: the workbook is not opened by another reader")
	}
	st := studied(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	var b bytes.Buffer
	if err := (TestReport{Study: st}).Workbook(&b, message.English()); err != nil {
		t.Fatal(err)
	}
	keep(t, "report.xlsx", b.Bytes())
	name := filepath.Join(t.TempDir(), "r.xlsx")
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	const script = `import sys, json, openpyxl
print(json.dumps({s.title: [[c.value for c in r] for r in s.iter_rows()] for s in openpyxl.load_workbook(sys.argv[1])}))`
	out, err := exec.Command("/usr/bin/python3", "-c", script, name).Output()
	if err != nil {
		t.Fatal(err)
	}
	var sheets map[string][][]any
	if err := json.Unmarshal(out, &sheets); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Tests", "Readings, boiling test", "Results, boiling test", "Readings, kitchen test", "Results, kitchen test", "Steps", "Comparison", "What may be said"} {
		if len(sheets[want]) < 2 {
			t.Errorf("sheet %q is missing or empty", want)
		}
	}
	if n := len(sheets["Tests"]); n != 1+len(st.Files) {
		t.Errorf("%d rows of tests", n)
	}
	results := sheets["Results, boiling test"]
	column := -1
	for i, head := range results[0] {
		if head == "thermal efficiency, h (%)" {
			column = i
		}
	}
	if column < 0 {
		t.Fatalf("no column of the efficiency: %v", results[0])
	}
	want := st.Files[0].Boiling.Result.Cold.Efficiency * 100
	if got, ok := results[1][column].(float64); !ok || got < want-1e-9 || got > want+1e-9 {
		t.Errorf("the efficiency is %v in the workbook, %v in the study", results[1][column], want)
	}
}

// TestCSVIsReadBack by Go's own reader: every line has every column, numbers
// are numbers.
func TestCSVIsReadBack(t *testing.T) {
	st := studied(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	var b bytes.Buffer
	if err := (TestReport{Study: st}).CSV(&b, message.English()); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]int{}
	for _, r := range rows[1:] {
		kinds[r[0]]++
		if _, err := strconv.ParseFloat(r[7], 64); err != nil {
			t.Errorf("%v holds no number", r)
		}
		if r[9] == "" {
			t.Errorf("%v is not named measured, assumed or computed", r)
		}
	}
	if kinds["boiling"] < 500 || kinds["kitchen"] < 100 || kinds["comparison"] < 10 {
		t.Errorf("rows of each kind: %v", kinds)
	}
}

// TestFormsHaveEveryField reads the five forms, on both papers, with poppler:
// every caption is there, in the order of the file.
func TestFormsHaveEveryField(t *testing.T) {
	pdftotext := reader(t, "pdftotext")
	c := message.English()
	for _, kind := range bench.Kinds {
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			var b bytes.Buffer
			if err := TestForm(&b, kind, household(t), c, paper); err != nil {
				t.Fatal(kind, err)
			}
			if paper == drawing.A4 {
				keep(t, "form-"+string(kind)+".pdf", b.Bytes())
			}
			text := strings.Join(strings.Fields(run(t, pdftotext, "-layout", saved(t, b.Bytes()), "-")), " ")
			for _, f := range kind.Fields() {
				name := c.Say(f.Name())
				left := f.Path == "test" || f.Path == "about.stove_record" || f.Path == "constants" || strings.HasPrefix(f.Path, "readings.") || kind == bench.KindKitchen && strings.HasPrefix(f.Path, "wood.")
				if !left && !strings.Contains(text, strings.Fields(name)[0]) {
					t.Errorf("%s, %s: %q is not on the form", kind, paper.Name, name)
				}
			}
			if strings.Contains(text, "«") {
				t.Errorf("%s: an id that the catalogue lacks", kind)
			}
		}
	}
}
