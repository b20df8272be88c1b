package brick

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stovewright/message"
)

func example(t testing.TB, name string) []byte {
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestClayForm(t *testing.T) {
	f, err := ParseClay(example(t, "clay.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	c, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	if !near(c.Drying, 0.065, 1e-12) || !near(c.Firing, 1.5/93.5, 1e-12) || !near(c.Loss, 0.088, 1e-12) || !near(c.Moisture, 0.24, 1e-12) {
		t.Errorf("%+v", c)
	}
	want := map[string]string{"ribbon": "medium", "coil": "whole", "drop": "few cracks", "jar": "good", "bar": "good", "loss": "usual", "lime": "weak", "salts": "none"}
	got := make(map[string]string)
	for _, r := range c.Readings() {
		got[r.Test] = r.Grade
		if said := message.English().Say(r.Meaning); strings.Contains(said, "«") || strings.Contains(said, "{") {
			t.Error(said)
		}
		if r.Test == "lime" && r.Caution.IsZero() {
			t.Error("lime without a caution")
		}
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if c.Verdict().ID != "brick.clay.verdict.good" {
		t.Errorf("verdict %s", c.Verdict().ID)
	}
	if s := c.Stock(); !(s.Loss.Low < 0.088 && 0.088 < s.Loss.High && s.Loss.High-s.Loss.Low < 0.05) {
		t.Errorf("the loss was measured and stays at %+v", s.Loss)
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ParseClay(back)
	if err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func TestClayFormRefuses(t *testing.T) {
	f, err := ParseClay([]byte("name: pit clay\nribon: 40 mm\n"))
	if list, ok := message.Complaints(err); !ok || list[0].Try != "ribbon:" {
		t.Errorf("%v", err)
	}
	f.Bar = BarForm{Wet: "100 mm", Dry: "20 mm"}
	f.Coil, f.Ribbon = "wobbles", "40 stones"
	f.Loss = FiredLossForm{Dry: "90 g", Fired: "100 g"}
	_, err = f.Read()
	list, ok := message.Complaints(err)
	var fields []string
	for _, e := range list {
		fields = append(fields, e.Field)
		if e.Try == "" {
			t.Errorf("%s: nothing to try", e.Field)
		}
	}
	if want := []string{"ribbon", "coil", "bar.dry", "loss.fired"}; !ok || !cmp.Equal(want, fields) {
		t.Errorf("%v", err)
	}
}

func TestPitHistory(t *testing.T) {
	a := ClayCard{Pit: "ford", Date: "2026-01-10", Depth: 0.5, Drying: 0.06, Loss: 0.09, Lime: "none"}
	b := ClayCard{Pit: "ford", Date: "2026-05-10", Depth: 1.2, Drying: 0.09, Loss: 0.09, Lime: "none"}
	got := PitHistory([]ClayCard{b, a})
	if len(got) != 2 || got[0].ID != "brick.clay.history.depth" || got[1].ID != "brick.clay.history.bar" {
		t.Errorf("%v", got)
	}
	if len(PitHistory([]ClayCard{a, a})) != 0 {
		t.Error("nothing changed and something was said")
	}
}

func TestSeriesForm(t *testing.T) {
	f, err := ParseSeries(example(t, "series.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Trials) != 3 || len(s.Stocks) != 2 {
		t.Fatalf("%d trials of %d stocks", len(s.Trials), len(s.Stocks))
	}
	first := s.Trials[0]
	if !near(first.Mix.Portions[1].Mass, 3*0.165, 1e-12) || !first.Mix.Portions[0].Weighed || !near(first.Mix.Water, 1.15, 1e-12) {
		t.Errorf("%+v", first.Mix)
	}
	fired := first.Bricks[0].Stages[Fired]
	if !near(fired.Mass.Value, 0.492, 1e-12) || !near(fired.Edges[Height].Value, 0.0542, 1e-12) || !near(fired.Mass.U, 0.001/math.Sqrt(12), 1e-12) {
		t.Errorf("%+v", fired)
	}
	if len(s.Remarks) != 1 || s.Remarks[0].ID != "brick.float.light-sank" {
		t.Errorf("the light brick that sank was not explained: %v", s.Remarks)
	}
	b, err := Update(s.Stocks, FormingDefaults(), s.Trials, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Learned()) == 0 {
		t.Error("nothing to say")
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ParseSeries(back)
	if err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func TestSeriesFormRefuses(t *testing.T) {
	f := SeriesForm{Name: "x", Materials: []MaterialForm{{Name: "clay", Kind: "caly"}},
		Trials: []TrialForm{{Name: "T1", Mix: []AmountForm{{Material: "cley", Amount: "1 kg"}, {Material: "clay", Amount: "2 tins"}}, Water: "1 L",
			Bricks: []BrickForm{{Mark: "a", Wet: StageForm{Mass: "500 g", Size: "200 x 100 mm"}, Dry: StageForm{Mass: "900 g"}}}}}}
	_, err := f.Read()
	list, ok := message.Complaints(err)
	want := map[string]string{
		"materials[1].kind":            "clay",
		"trials[1].mix[1].material":    "clay",
		"trials[1].mix[2].amount":      "900 g",
		"trials[1].water":              "1200 g",
		"trials[1].bricks[1].wet.size": "220 x 110 x 60 mm",
		"trials[1].bricks[1].dry.mass": "0.4 kg",
	}
	got := make(map[string]string)
	for _, e := range list {
		got[e.Field] = e.Try
	}
	if d := cmp.Diff(want, got); !ok || d != "" {
		t.Errorf("%s\n%v", d, err)
	}
}

// A brick measured three ways: calliper, water and float line agree or are
// asked about; what cannot be is refused at its own field.
func TestSeriesInWater(t *testing.T) {
	read := func(b BrickForm) (Series, error) {
		return SeriesForm{Name: "x", Materials: []MaterialForm{{Name: "clay", Kind: "clay"}},
			Trials: []TrialForm{{Name: "T1", Mix: []AmountForm{{Material: "clay", Amount: "1 kg"}}, Water: "200 g", Bricks: []BrickForm{b}}}}.Read()
	}
	brick := BrickForm{Mark: "a", Fired: StageForm{Mass: "600 g", Size: "200 x 100 x 50 mm"},
		InWater: WaterForm{Saturated: "1370 g", Suspended: "820 g", Sinker: "450 g", Water: "4 °C"}}
	s, err := read(brick)
	if err != nil || len(s.Remarks) != 0 {
		t.Fatalf("%v %v", s.Remarks, err)
	}
	r := s.Trials[0].Bricks[0]
	if r.Pores == nil || !near(r.Pores.ApparentPorosity.Value, 0.77, 1e-9) || !near(r.Stages[Fired].Bulk.Value, 1e-3, 1e-6) {
		t.Errorf("%+v", r)
	}
	brick.Fired.Size = ""
	if s, err = read(brick); err != nil || !near(s.Trials[0].Outcome().Density.Value, 600, 0.2) {
		t.Errorf("without a calliper: %v %v", s.Trials[0].Outcome(), err)
	}
	brick.Fired.Size = "210 x 105 x 50 mm"
	if s, _ = read(brick); len(s.Remarks) != 1 || s.Remarks[0].ID != "brick.trial.two-volumes" {
		t.Errorf("two volumes a tenth apart: %v", s.Remarks)
	}
	brick.InWater.Saturated = "500 g"
	_, err = read(brick)
	if list, ok := message.Complaints(err); !ok || list[0].Field != "trials[1].bricks[1].in_water.saturated" {
		t.Errorf("%v", err)
	}
	float := BrickForm{Mark: "b", Fired: StageForm{Mass: "600 g", Size: "200 x 100 x 50 mm"}, FloatLine: "30 mm"}
	if s, err = read(float); err != nil || !near(0.6/s.Trials[0].Bricks[0].Stages[Fired].Bulk.Value, 599, 1) {
		t.Errorf("float line: %+v %v", s.Trials[0].Bricks, err)
	}
	float.FloatLine = "60 mm"
	_, err = read(float)
	if list, ok := message.Complaints(err); !ok || list[0].Field != "trials[1].bricks[1].float_line" {
		t.Errorf("%v", err)
	}
}

func TestKilnForm(t *testing.T) {
	f, err := ParseKiln(example(t, "kiln.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	k, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	rows := k.Log.Rows
	// lit at 17:00, the third line is after midnight
	if len(rows) != 5 || rows[0].Time != 0 || rows[2].Time != 9*hour || rows[3].Time != 15*hour || !math.IsNaN(rows[1].Temps[1]) {
		t.Errorf("%+v", rows)
	}
	if len(k.Plan.Steps) == 0 || len(k.Bricks) != 4 || k.Bricks[3].Good {
		t.Errorf("%+v", k)
	}
	r, err := k.Log.Report(k.Plan)
	if err != nil || len(r.Findings) == 0 {
		t.Errorf("a firing in 20 hours was not called fast: %v %v", r.Findings, err)
	}
	back, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ParseKiln(back)
	if err != nil || !cmp.Equal(f, again) {
		t.Errorf("%v\n%s", err, cmp.Diff(f, again))
	}
}

func TestDryingForm(t *testing.T) {
	_, err := ParseDrying([]byte("name: red mark\nscale: 1 g\nrows:\n  - {time: 0 d, mass: 1480 g}\n  - {time: 1 d, mass: 1,31 kg}\n  - {time: 48 h, mass: 1190 g}\n"))
	if err == nil {
		t.Fatal("a comma in braces must be asked about")
	}
	f, err := ParseDrying([]byte("name: red mark\nscale: 1 g\nrows:\n  - {time: 0 d, mass: 1480 g}\n  - {time: 1 d, mass: 1310 g}\n  - {time: 48 h, mass: 1190 g}\n"))
	if err != nil {
		t.Fatal(err)
	}
	l, err := f.Read()
	if err != nil || l.Rows[2].Time != 2*day || !near(l.Rows[1].Mass, 1.31, 1e-12) {
		t.Fatalf("%+v %v", l, err)
	}
	v, err := l.Verdict()
	if err != nil || v.Ready {
		t.Errorf("%+v %v", v, err)
	}
	f.Rows[2].Time = "12:00"
	if _, err := f.Read(); err == nil {
		t.Error("hours and clock times were mixed")
	}
}

func FuzzParseClay(f *testing.F) {
	f.Add(example(f, "clay.yaml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseClay(data)
		if err != nil {
			return
		}
		if c, err := form.Read(); err == nil {
			c.Readings()
			c.Verdict()
			c.Forming(FormingDefaults())
			c.Stock()
		}
	})
}

func FuzzParseSeries(f *testing.F) {
	f.Add(example(f, "series.yaml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseSeries(data)
		if err != nil {
			return
		}
		s, err := form.Read()
		if err != nil {
			return
		}
		for _, trial := range s.Trials {
			trial.Outcome()
			FactsOf(trial)
			trial.Mix.Balance(DefaultForming())
		}
	})
}

func FuzzParseKiln(f *testing.F) {
	f.Add(example(f, "kiln.yaml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseKiln(data)
		if err != nil {
			return
		}
		if k, err := form.Read(); err == nil {
			if _, err := k.Log.Report(k.Plan); err != nil && len(k.Log.Rows) > 0 {
				t.Errorf("a log that was read cannot be reported: %v", err)
			}
			FollowsPlace(k.Bricks, 1)
		}
	})
}

func FuzzParseDrying(f *testing.F) {
	f.Add([]byte("name: a\nrows:\n  - {time: 0 d, mass: 1480 g}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseDrying(data)
		if err != nil {
			return
		}
		if l, err := form.Read(); err == nil {
			if _, err := l.Verdict(); err != nil {
				t.Errorf("a log that was read has no verdict: %v", err)
			}
		}
	})
}
