package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stovewright/message"
)

const invented = "../../examples/tests/"

func TestTestOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "test")
	for _, name := range []string{"boiling/stove-a/a1.yaml", "cooking/a1.yaml", "kitchen/before.yaml", "sequence/run-1.yaml", "safety/scorer-1.yaml", "emission/hood.yaml"} {
		code, out, said := run(t, message.English(), "test", "--json", invented+name)
		if code != exitDone || said != "" {
			t.Fatalf("%s: %d %s", name, code, said)
		}
		validate(t, s, out)
		for _, args := range [][]string{{}, {"--steps"}, {"--uncertainty"}} {
			code, out, said := run(t, message.English(), append([]string{"test", invented + name}, args...)...)
			if code != exitDone || said != "" || strings.Contains(out, "«") || !strings.Contains(out, "invented example") {
				t.Errorf("%s %v: %d %s%.300s", name, args, code, said, out)
			}
		}
	}
}

func TestCompareOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "compare")
	for _, args := range [][]string{
		{invented + "boiling/stove-a", invented + "boiling/stove-b"}, {invented + "boiling", "--result", "BF", "--leave-out", "A3=the pot was knocked over"},
		{invented + "cooking"}, {invented + "kitchen"}, {invented + "sequence"}, {invented + "safety"}, {invented + "loggers/old", invented + "loggers/new"},
		{invented + "boiling", invented + "cooking", invented + "kitchen", invented + "sequence", invented + "safety"},
	} {
		if args[0] == invented+"loggers/old" { // one row of one file is bad on purpose
			if code, _, said := run(t, message.English(), "test", invented+"loggers/new/h02.csv"); code != exitDone {
				t.Fatal(said)
			}
		}
		code, out, said := run(t, message.English(), append([]string{"compare", "--json"}, args...)...)
		if code != exitDone || said != "" {
			t.Fatalf("%v: %d %s", args, code, said)
		}
		validate(t, s, out)
		code, out, said = run(t, message.English(), append([]string{"compare"}, args...)...)
		if code != exitDone || said != "" || strings.Contains(out, "«") || !strings.Contains(out, "WHAT MAY NOT BE SAID") {
			t.Errorf("%v: %d %s%s", args, code, said, out)
		}
	}
}

func TestLoggerAndPlanOutputHoldToTheirSchemas(t *testing.T) {
	code, out, said := run(t, message.English(), "test", "--json", invented+"loggers/new/h02.csv")
	if code != exitDone || said != "" {
		t.Fatal(code, said)
	}
	validate(t, schema(t, "logger"), out)
	var doc loggerDoc
	if err := json.Unmarshal([]byte(out), &doc); err != nil || len(doc.Bad) != 1 || doc.Use == nil || len(doc.Use.Events) < 5 {
		t.Errorf("%v %+v", err, doc.Use)
	}
	for _, args := range [][]string{{}, {"--stoves", "A,B,C", "--tests", "6"}, {"--stoves", "A,B", "--households", "9"}, {"--paired", "--scatter", "40%", "--village-size", "8", "--likeness", "0.1", "--loss", "15%"}} {
		code, out, said := run(t, message.English(), append([]string{"plan", "--json"}, args...)...)
		if code != exitDone || said != "" {
			t.Fatalf("%v: %d %s", args, code, said)
		}
		validate(t, schema(t, "plan"), out)
	}
}

// TestPlansOfPublishedTables holds the plan to rows that were reckoned with the
// noncentral t by a general-purpose library (SciPy): scatter 10 %, difference
// 10 %, 17 each; pairs with a scatter of 40 %, 25 % to be seen, 23.
func TestPlansOfPublishedTables(t *testing.T) {
	for want, args := range map[string][]string{
		`"exact": 17,`: {"--scatter", "10%", "--see", "10%"}, `"exact": 23,`: {"--paired", "--scatter", "40%", "--see", "25%"}, `"wood": 45,`: {"--stoves", "A,B,C", "--tests", "3", "--wood-a-meal", "2.5kg"},
	} {
		if _, out, _ := run(t, message.English(), append([]string{"plan", "--json"}, args...)...); !strings.Contains(out, want) {
			t.Errorf("%v: %s is not in %s", args, want, out)
		}
	}
}

// TestTestsComplain tries what a newcomer gets wrong: each complaint names field,
// reason and something to try.
func TestTestsComplain(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	a := invented + "boiling/stove-a"
	for _, args := range [][]string{
		{"test"}, {"test", "none.yaml"}, {"test", file("empty.yaml", "")}, {"test", file("kind.yaml", "test: bolling\n")}, {"test", file("bad.yaml", "test: boiling\nwood: {moisture: 12 %}\n")},
		{"test", file("empty.csv", "")}, {"test", file("words.csv", "one,two\nthree,four\n")}, {"test", a + "/a1.yaml", "--level", "5"}, {"test", a + "/a1.yaml", "--draws", "-1"}, {"test", a + "/a1.yaml", "--report", "r.doc"},
		{"test", invented + "loggers/new/h02.csv", "--unit", "bar"}, {"test", invented + "loggers/new/h02.csv", "--column", "9"}, {"test", invented + "loggers/new/h02.csv", "--rule", "rise=-1"}, {"test", invented + "loggers/new/h02.csv", "--zone", "x"},
		{"compare", a}, {"compare", dir + "/none"}, {"compare", invented + "boiling", "--base", "stove b"}, {"compare", invented + "boiling", "--result", "efficiency"}, {"compare", invented + "boiling", "--leave-out", "A3="}, {"compare", invented + "boiling", "--leave-out", "Z9=windy"},
		{"compare", invented + "boiling", "--see", "x"}, {"compare", invented + "kitchen/before.yaml", invented + "kitchen/before.yaml"}, {"compare", t.TempDir()},
		{"plan", "--scatter", "0"}, {"plan", "--stoves", "A"}, {"plan", "--power", "100%"}, {"plan", "--households", "5"}, {"form", "brick", "--out", dir + "/f.pdf"}, {"form", "boiling"},
	} {
		code, out, said := run(t, message.English(), args...)
		if code != exitInput && code != exitFile || out != "" || strings.Contains(said, "«") {
			t.Errorf("%v: %d %s%s", args, code, out, said)
		}
		if code == exitInput && !strings.Contains(said, "try:") {
			t.Errorf("%v has nothing to try: %s", args, said)
		}
	}
}

// TestReportsAreWritten in each kind, and the forms.
func TestReportsAreWritten(t *testing.T) {
	dir := t.TempDir()
	name := func(s string) string { return filepath.Join(dir, s) }
	code, _, said := run(t, message.English(), "compare", invented+"boiling", "--report", name("r.pdf"), "--report", name("r.xlsx"), "--report", name("r.csv"), "--pages", "one")
	if code != exitDone {
		t.Fatal(code, said)
	}
	code, _, said = run(t, message.English(), "form", "safety", "--brief", "../../examples/beans-pot.yaml", "--out", name("f.pdf"), "--paper", "letter")
	if code != exitDone {
		t.Fatal(code, said)
	}
	for file, begins := range map[string]string{"r.pdf": "%PDF", "r.xlsx": "PK", "r.csv": "kind,stove", "f.pdf": "%PDF"} {
		data, err := os.ReadFile(name(file))
		if err != nil || !strings.HasPrefix(string(data), begins) {
			t.Errorf("%s begins with %.10q: %v", file, data, err)
		}
	}
}
