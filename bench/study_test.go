package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stovewright/message"
)

// exampleFiles reads the invented tests of a folder of the examples.
func exampleFiles(t testing.TB, patterns ...string) []TestFile {
	t.Helper()
	var list []TestFile
	for _, p := range patterns {
		names, err := filepath.Glob(filepath.Join("..", "examples", "tests", p))
		if err != nil || len(names) == 0 {
			t.Fatal("no examples", p, err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			f, err := ReadTest(filepath.Base(name), data)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			list = append(list, f)
		}
	}
	return list
}

func TestStudyOfTheExamples(t *testing.T) {
	files := exampleFiles(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	s := DefaultSettings
	s.Draws = 0
	st, err := NewStudy(files, "", nil, s)
	if err != nil {
		t.Fatal(err)
	}
	if len(st.Boiling) != 2 || len(st.Boiling[0].Runs) != 5 || len(st.Compared) != len(Metrics) {
		t.Fatalf("%d stoves, %d comparisons", len(st.Boiling), len(st.Compared))
	}
	for i := 1; i < 5; i++ {
		if a, b := st.Boiling[1].Runs[i-1].Test.About, st.Boiling[1].Runs[i].Test.About; a.moment() >= b.moment() || b.Clock == "" {
			t.Errorf("runs are not in order: %v, %v", a, b)
		}
	}
	for _, c := range st.Compared {
		plain, err := Compare(st.Boiling[0], st.Boiling[1], c.ID, s)
		if err != nil || plain.P != c.P || plain.Finding != c.Finding {
			t.Errorf("%s: p %g here and %g by Compare, %v", c.ID, c.P, plain.P, err)
		}
		if c.Better != 0 && c.AdjustedP < c.P {
			t.Errorf("%s: adjusted p %g below %g", c.ID, c.AdjustedP, c.P)
		}
	}
	if st.Kitchens == nil || !st.Kitchens.Paired || st.Kitchens.Lost != 1 {
		t.Errorf("the kitchens: %+v", st.Kitchens)
	}
	if len(st.Trends) != 6 {
		t.Errorf("%d trends", len(st.Trends))
	}
	claims := Claim(st.Evidence())
	if len(claims.May) < 3 || len(claims.MayNot) < 3 {
		t.Errorf("claims: %v", claims)
	}

	reversed, err := NewStudy(files, "stove b, gap 9 mm", []string{"BF"}, s)
	if err != nil || reversed.Compared[0].Base != "Stove B, gap 9 mm" || reversed.Compared[0].New != st.Boiling[0].Name {
		t.Errorf("%v %v", reversed, err)
	}
}

// TestTestsThatAreLeftOutStay keeps a run with its reason and out of the
// numbers.
func TestTestsThatAreLeftOutStay(t *testing.T) {
	files := exampleFiles(t, "boiling/*/*.yaml")
	files[2].About.LeftOut = "the pot was knocked over"
	files[2].Boiling.LeftOut = files[2].About.LeftOut
	s := DefaultSettings
	s.Draws = 0
	st, err := NewStudy(files, "", []string{"h_hp"}, s)
	if err != nil {
		t.Fatal(err)
	}
	out := st.LeftOut()
	if len(out) != 1 || out[0].Reason != "the pot was knocked over" || st.Compared[0].Comparison.Base.N != 4 || len(st.Boiling[0].Runs) != 5 {
		t.Errorf("%v, %d counted of %d", out, st.Compared[0].Comparison.Base.N, len(st.Boiling[0].Runs))
	}
}

func TestStudiesRefuse(t *testing.T) {
	files := exampleFiles(t, "boiling/*/*.yaml", "kitchen/*.yaml")
	for _, c := range []struct {
		files []TestFile
		base  string
		ids   []string
		want  string
	}{
		{files, "Stove C", nil, "bench.study.no-stove"},
		{files, "", []string{"efficiency"}, "bench.study.no-result"},
		{append(files, files[len(files)-1]), "", nil, "bench.study.rounds"},
	} {
		_, err := NewStudy(c.files, c.base, c.ids, DefaultSettings)
		if list, ok := message.Complaints(err); !ok || list[0].Reason.ID != c.want {
			t.Errorf("want %s, got %v", c.want, err)
		}
	}
}

func TestKindsOfFiles(t *testing.T) {
	for text, want := range map[string]Kind{"test: boiling": KindBoiling, "{test: Cooking}": KindCooking, "test: kitchen": KindKitchen, "test: sequence": KindSequence, "test: safety": KindSafety} {
		if got, err := KindOf([]byte(text)); err != nil || got != want {
			t.Errorf("%s is %q, %v", text, got, err)
		}
	}
	for text, try := range map[string]string{"": "test: boiling", "test: bolling": "test: boiling", "test: kichen": "test: kitchen", "a: b": "test: boiling", "\t": ""} {
		_, err := KindOf([]byte(text))
		list, ok := message.Complaints(err)
		if !ok || try != "" && list[0].Try != try {
			t.Errorf("%q: %v", text, err)
		}
	}
	for _, k := range Kinds {
		if len(k.Fields()) == 0 || strings.HasPrefix(message.English().Say(k.Words()), "«") {
			t.Errorf("%s has no form or no words", k)
		}
	}
}
