package booklet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/internal/outside"
	"stovewright/message"
	"stovewright/quantity"
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
	pdftotext := outside.Program(t, "pdftotext")
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

// TestReportsAgree reads the changes and their intervals from the table of text and
// looks for each, rounded, in the PDF; those of one test likewise.
func TestReportsAgree(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	c := message.English()
	settings := bench.DefaultSettings
	settings.Draws = 500
	st, err := bench.NewStudy(studied(t, "boiling/*/*.yaml").Files, "", nil, settings)
	if err != nil {
		t.Fatal(err)
	}
	figures := func(st *bench.Study) (rows [][]string, text string) {
		var b bytes.Buffer
		if err := (TestReport{Study: st}).CSV(&b, c); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		pdf := run(t, pdftotext, "-layout", saved(t, reported(t, TestReport{Study: st}, c)), "-")
		return rows[1:], strings.Join(strings.Fields(strings.ReplaceAll(pdf, "\u00a0", " ")), "")
	}
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	looked := map[string]int{}
	rows, text := figures(st)
	for _, row := range rows {
		if row[0] != "comparison" && row[0] != "bootstrap" {
			continue
		}
		looked[row[0]]++
		for _, v := range row[12:14] {
			if want := strings.ReplaceAll(c.Signed(bench.ShownChange(number(v)-1)), "\u00a0", ""); !strings.Contains(text, want) {
				t.Errorf("%s of %s: %s is not in the PDF", row[0], row[5], want)
			}
		}
	}
	one, err := bench.NewStudy(st.Files[:1], "", nil, st.Settings)
	if err != nil {
		t.Fatal(err)
	}
	rows, text = figures(one)
	for _, row := range rows {
		if row[14] == "" || row[8] != "g" { // masses are printed in the unit of the table
			continue
		}
		looked["one test"]++
		low, high := number(row[12]), number(row[13])
		want := c.Number(bench.Shown(row[5], quantity.Value{SI: number(row[7]) / 1000, Unit: quantity.Gram})) + "g±" + c.Number(bench.ShownSpread(row[5], quantity.Value{SI: (high - low) / 2000, Unit: quantity.Gram}))
		if !strings.Contains(text, want) {
			t.Errorf("%s of one test: %s is not in the PDF", row[5], want)
		}
	}
	for _, kind := range []string{"comparison", "bootstrap", "one test"} {
		if looked[kind] < 3 {
			t.Errorf("%d figures of kind %s were looked for", looked[kind], kind)
		}
	}
}

// TestUseIsReported draws each logger's record and says what is measured of it.
func TestUseIsReported(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	st := &bench.Study{Settings: bench.DefaultSettings}
	for day := range 3 {
		st.Uses = append(st.Uses, useOf(t, day))
	}
	data := reported(t, TestReport{Study: st}, message.English())
	keep(t, "use.pdf", data)
	text := strings.Join(strings.Fields(run(t, pdftotext, "-layout", saved(t, data), "-")), " ")
	for _, want := range []string{"Use of the stoves, by loggers", "uses found", "measured", "h03"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in the report", want)
		}
	}
}

// useOf is a record of three days with a fire a day.
func useOf(t *testing.T, number int) bench.UseRecord {
	t.Helper()
	var b strings.Builder
	b.WriteString("time,Body (°C)\n")
	at := time.Date(2026, 7, 6, 0, 0, 0, 0, time.UTC)
	for i := range 3 * 144 {
		kelvin := 20.0
		if hour := i % 144 / 6; hour == 12 || hour == 13 {
			kelvin = 90
		}
		fmt.Fprintf(&b, "%s,%.1f\n", at.Add(time.Duration(i)*10*time.Minute).Format("2006-01-02 15:04"), kelvin)
	}
	sniff, err := bench.SniffLog([]byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	log, err := bench.ReadLog(strings.NewReader(b.String()), sniff.Layout)
	if err != nil {
		t.Fatal(err)
	}
	u, ok := bench.ReadUse("logger.csv", log, sniff.Layout, 0, bench.DefaultUsageRule)
	if !ok || len(u.Usage.Events) != 3 {
		t.Fatalf("%+v", u.Usage)
	}
	u.Household = fmt.Sprintf("h%02d", number+1)
	return u
}

// TestCO2NeedsKitchens holds the arithmetic of fuel and CO2 to studies that
// measured in kitchens.
func TestCO2NeedsKitchens(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
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
	python := outside.Python(t, "openpyxl")
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
	out, err := exec.Command(python, "-c", script, name).Output()
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
	pdftotext := outside.Program(t, "pdftotext")
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
