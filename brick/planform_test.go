package brick

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stovewright/message"
)

func TestGoalOfASeries(t *testing.T) {
	f, err := ParseSeries(example(t, "series.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	if g := s.Goal; g.MinStrength != HandlingStrength || !(g.WaterLow > 0 && g.WaterLow < g.WaterHigh) || len(g.Bounds.Low) != 2 || g.Prices == nil || !s.CanSeek() {
		t.Errorf("%+v", g)
	}
	belief, err := Update(s.Stocks, FormingDefaults(), s.Trials, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Next(belief, s.Trials, s.Goal, 1); err != nil {
		t.Errorf("the usual goal gives no next trial: %v", err)
	}
	f.Goal = GoalForm{Aim: "cheap", MaxDensity: "0.6", MinDensity: "0.7 g/cm³", LeastWater: "2", MostWater: "1"}
	f.Materials[0].Price = ""
	f.Materials[0].Most, f.Materials[1].Most = "30 %", "30 %"
	_, err = f.Read()
	list, _ := message.Complaints(err)
	var fields []string
	for _, c := range list {
		fields = append(fields, c.Field)
	}
	if want := []string{"goal.min_density", "goal.least_water", "materials[1].most", "goal.aim"}; !cmp.Equal(want, fields) {
		t.Errorf("%v", err)
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	if again, err := ParseSeries(back); err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func TestMouldForm(t *testing.T) {
	f := MouldForm{Name: "lining", Fired: "200 x 100 x 50 mm", Lines: []LineForm{{"length", "100 mm", "95 mm", "93.1 mm"}}, Ring: RingForm{Sides: "6", Across: "120"}}
	w, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	shrinkage, _ := MeasureShrinkage(w.Lines)
	c, err := CavityFor(w.Fired, shrinkage, w.Allowance)
	if err != nil || !near(c.Size[Length], 0.2*100/93.1, 1e-12) || w.Tolerance != UsualTolerance || w.Ring.Thickness != 0.1 {
		t.Errorf("%+v %+v %v", w, c, err)
	}
	f.Lines = append(f.Lines, LineForm{"width", "100 mm", "10 mm", "9 mm"}, LineForm{"depth", "1 mm", "", ""})
	f.Fired = "200 x 100"
	_, err = f.Read()
	list, _ := message.Complaints(err)
	for _, c := range list {
		if c.Try == "" {
			t.Errorf("%s: nothing to try", c.Field)
		}
	}
	if len(list) != 6 {
		t.Errorf("want six complaints: %v", err)
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	if again, err := ParseMould(back); err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func TestSeriesLines(t *testing.T) {
	f, err := ParseSeries(example(t, "series.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	if all, one := s.Lines(""), s.Lines("T1"); len(all) != 6 || len(one) != 3 || !near(one[0].Wet, 0.22, 1e-12) {
		t.Errorf("%v and %v", all, one)
	}
}

func TestBatchForm(t *testing.T) {
	f := BatchForm{Name: "fifty stoves", Good: "300", SetOf: "6", Cavity: "220 x 110 x 60 mm", Yield: YieldForm{Dry: "80 %"}}
	s, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	if w := s.Wish; w.Good != 300 || w.Yield.Dry != 0.8 || w.Yield.Mould != UsualYield.Mould || w.DryingDays != usualDryingDays || !near(w.Cavity.Volume(), 0.22*0.11*0.06, 1e-12) {
		t.Errorf("%+v", s)
	}
	f.Yield.Made, f.Kiln, f.Cavity, f.Good = "60", "3", "", "some"
	_, err = f.Read()
	if list, _ := message.Complaints(err); len(list) != 4 {
		t.Errorf("want four complaints: %v", err)
	}
	if math.IsNaN(s.Wish.WoodHeat) {
		t.Error("no heat of the wood")
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	if again, err := ParseBatch(back); err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func FuzzMould(f *testing.F) {
	f.Add([]byte("name: a\nfired: 200 x 100 x 50 mm\nlines: [{axis: length, wet: 100, dry: 95, fired: 93}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if form, err := ParseMould(data); err == nil {
			form.Read()
		}
	})
}

func FuzzBatch(f *testing.F) {
	f.Add([]byte("name: a\ngood: 300\ncavity: 220 x 110 x 60 mm\nyield: {dry: 80 %}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if form, err := ParseBatch(data); err == nil {
			form.Read()
		}
	})
}

// Every sheet is known by its fields, also where one of them is misspelt.
func TestPaperOf(t *testing.T) {
	for file, want := range map[string]Paper{
		string(example(t, "clay.yaml")): ClayPaper, string(example(t, "series.yaml")): SeriesPaper, string(example(t, "kiln.yaml")): FiringPaper,
		"name: a\nrows: [{time: 0 d, mass: 1 kg}]\n": DryingPaper,
		"name: a\nfired: 200 x 100 x 50 mm\n":        MouldPaper,
		"name: a\nribon: 4\njar: {sand: 3}\n":        ClayPaper,
		"good: 300\ncavity: 1 x 1 x 1 m\n":           BatchPaper,
		"name: a\n":                                  "",
		"- a\n":                                      "",
		"":                                           "",
		"\t":                                         "",
	} {
		got, err := PaperOf([]byte(file))
		if _, complains := message.Complaints(err); got != want || (want == "") != complains {
			t.Errorf("%.20q is read as %q: %v", file, got, err)
		}
	}
}
