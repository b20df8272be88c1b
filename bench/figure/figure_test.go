package figure_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/drawing"
	"stovewright/examples"
	"stovewright/message"
	"stovewright/stove"
)

// studied is the study of the invented examples.
func studied(t testing.TB) *bench.Study {
	t.Helper()
	names, err := filepath.Glob("../../examples/tests/boiling/*/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no examples", err)
	}
	var files []bench.TestFile
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := bench.ReadTest(name, data)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	files[3].LeaveOut("the pot was knocked over")
	s := bench.DefaultSettings
	s.Draws = 0
	st, err := bench.NewStudy(files, "", nil, s)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func sized(t testing.TB, name string) *stove.Stove {
	t.Helper()
	data, err := examples.Briefs.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	form, err := stove.ParseForm(data)
	if err != nil {
		t.Fatal(err)
	}
	b, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// day is a record of one day with a reading every ten minutes and two fires.
func day() []bench.TemperatureSample {
	start := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC).Unix()
	var list []bench.TemperatureSample
	for i := range int64(144) {
		c := 20.0
		for _, fire := range []int64{36, 110} {
			if d := i - fire; d >= 0 && d < 8 {
				c = 60 - 4*float64(d)
			}
		}
		list = append(list, bench.TemperatureSample{At: start + 600*i, Kelvin: c + 273.15})
	}
	return list
}

func all(t testing.TB, c *message.Catalogue) map[string]*drawing.Sheet {
	st := studied(t)
	u, err := bench.DefaultUsageRule.Detect(day())
	if err != nil {
		t.Fatal(err)
	}
	return map[string]*drawing.Sheet{
		"differences": figure.Differences(st, c, 170), "dots": figure.Dots(st, "h_hp", c, 170), "order": figure.Order(st, "cold.tT", c, 170),
		"temperatures": figure.Temperatures(day(), u, bench.LogLayout{Time: "2006-01-02 15:04"}, c, 170),
		"safety":       figure.SafetyPoints(sized(t, "beans-pot.yaml"), c, 170), "safety-drum": figure.SafetyPoints(sized(t, "upland-drum.yaml"), c, 170),
	}
}

// TestNothingLiesOnSomethingElse holds every picture to texts that lie clear of
// each other and on the sheet, and to the words of the catalogue.
func TestNothingLiesOnSomethingElse(t *testing.T) {
	for name, s := range all(t, message.English()) {
		if s == nil {
			t.Errorf("%s was not drawn", name)
			continue
		}
		for _, o := range s.Overlaps() {
			t.Errorf("%s: %q lies on %q", name, o.A.String, o.B.String)
		}
		for _, o := range s.OffSheet() {
			t.Errorf("%s: %q lies off the sheet", name, o.String)
		}
		if dir := os.Getenv("PICTURES"); dir != "" {
			w, err := os.Create(filepath.Join(dir, name+".png"))
			if err != nil {
				t.Fatal(err)
			}
			if err := s.PNG(w, 130); err != nil {
				t.Fatal(err)
			}
			w.Close()
		}
	}
}
