package explore

import (
	"math"
	"testing"

	"stovewright/examples"
	"stovewright/fire"
	"stovewright/stove"
)

func dozen(t testing.TB, s Subject) []Input {
	st := sized(t, s)
	var list []Input
	for _, in := range append(append(ChosenInputs(st, 0.05), UncertainInputs(s.Coefficients)...), VaryingInputs(UsualPractice())...) {
		switch in.Key {
		case "skirt.gap", "gap.edge", "chamber.width", "skirt.rise", "fire.loss-scale", "fire.blockage", "fire.side-scale", "fire.wall-film",
			"make.tape", "make.rods", "burn.moisture", "burn.power":
			list = append(list, in)
		}
	}
	if len(list) != 12 {
		t.Fatalf("%d inputs, want 12", len(list))
	}
	return list
}

// TestIntervals holds that the intervals of replicates cover the known indices of
// the Ishigami and the g-function as often as they say, over two hundred studies.
func TestIntervals(t *testing.T) {
	const studies = 200
	for _, c := range []struct {
		name         string
		f            func([]float64) float64
		dims         int
		first, total []float64 // closed forms, as in the register
	}{
		{"Ishigami", ishigami, 3, []float64{0.31390519, 0.44241114, 0}, []float64{0.55758886, 0.44241114, 0.24368366}},
		{"g-function", gFunction, len(gFactors), []float64{0.716192, 0.179048, 0.023676, 0.007162}, []float64{0.787144, 0.242198, 0.034317, 0.010460}},
	} {
		hits := make([][2]int, studies)
		work(studies, func(i int) {
			first, total, err := SobolIndices(c.f, c.dims, 128, 5, 1000*uint64(i)+1)
			if err != nil {
				t.Error(err)
				return
			}
			for k := range c.first {
				for which, pair := range [2][2]float64{{first[k].Low, first[k].High}, {total[k].Low, total[k].High}} {
					if want := [2]float64{c.first[k], c.total[k]}[which]; pair[0] <= want && want <= pair[1] {
						hits[i][which]++
					}
				}
			}
		})
		for which, name := range []string{"first", "total"} {
			all := 0
			for _, h := range hits {
				all += h[which]
			}
			n := float64(studies * len(c.first))
			t.Logf("%s, %s-order indices: 95 %% intervals cover %.1f %%", c.name, name, 100*float64(all)/n)
			// replicates of 128 rows are not quite normal: 93 to 97 % and what chance adds
			if share, chance := float64(all)/n, 3*math.Sqrt(0.05*0.95/n); share < 0.93-chance || share > 0.97+chance {
				t.Errorf("%s, %s-order indices: 95 %% intervals cover %.1f %%", c.name, name, 100*share)
			}
		}
	}
}

func TestGlobalOfAStove(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	inputs := dozen(t, s)
	begin := func() *Global {
		g, err := NewGlobal(s, inputs, 64, 2, 3)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	sameForAll(t, begin)
	g := begin()
	run(t, g, 0)
	for m := range MetricCount {
		r, ok := g.Result(m)
		if !ok || len(r.Inputs) != 12 || len(r.Groups) != 3 {
			t.Fatalf("%v: %+v", m, r)
		}
		says(t, r.Says()...)
		if m == BoilTime || m == Wood { // those of the cold start that every other page tells
			cold := s
			cold.Depth = Cold
			drawn, err := cold.Outcome()
			if err != nil || math.Abs(r.Mean/drawn[m]-1) > 0.15 {
				t.Errorf("%v: %v in the mean, %v as drawn: %v", m, r.Mean, drawn[m], err)
			}
		}
		for i, in := range r.Inputs {
			if i > 0 && in.Total.Value > r.Inputs[i-1].Total.Value {
				t.Error("not ranked")
			}
		}
	}
	// What an input knows nothing of must have no share: the wood's moisture and
	// the skin of the body are joined by the fire's temperature only, the tape by
	// the gap only; the emissivity of nothing at all has none.
	flat := append(inputs[:len(inputs):len(inputs)], Input{Key: "fire.char-time", Group: Uncertain, Shape: Triangular, Low: 300, Middle: 500, High: 900})
	g, err := NewGlobal(s, flat, 32, 2, 3)
	if err != nil {
		t.Fatal(err)
	}
	run(t, g, 0)
	r, _ := g.Result(Efficiency)
	for _, in := range r.Inputs {
		if in.Input.Key == "fire.char-time" && in.Total.Value != 0 {
			t.Errorf("steady efficiency does not know the char, which has %v of it", in.Total.Value)
		}
	}
}

// TestLocalAgainstTheModel compares with package fire asked directly.
func TestLocalAgainstTheModel(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	st := sized(t, s)
	list, err := LocalSensitivities(s, append(ChosenInputs(st, 0.1), UncertainInputs(s.Coefficients)...))
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list {
		if l.Input.Key != "fire.side-scale" {
			continue
		}
		lit := fire.Light(st)
		m, err := lit.Model()
		if err != nil {
			t.Fatal(err)
		}
		var e [2]float64
		for i, x := range []float64{0.99, 1.01} {
			c := fire.Defaults()
			c[fire.SideScale] = x
			p, err := m.Solve(c, lit.Task.Power, m.Air().BoilingPoint())
			if err != nil {
				t.Fatal(err)
			}
			e[i] = p.Efficiency()
		}
		if want := (e[1] - e[0]) / 2; math.Abs(l.PerPercent[Efficiency]-want) > 1e-9 {
			t.Errorf("a percent more of side-scale: %v, the model says %v", l.PerPercent[Efficiency], want)
		}
	}
	for _, l := range Rank(list, Chosen, AirRatio)[:5] {
		says(t, l.Say(AirRatio), l.Say(Wood))
	}
	for _, l := range list { // a wider gap pulls more air and wastes more heat
		if l.Input.Key == "skirt.gap" && !(l.PerStep[AirRatio] > 0 && l.PerStep[Efficiency] < 0) {
			t.Errorf("skirt gap: %v", l.PerStep)
		}
	}
}

func TestUnknownInputs(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	for _, key := range []string{"fire.nonsense", "make.nonsense", "burn.nonsense", "skirt.nonsense", "stove.mass"} {
		if _, err := NewGlobal(s, []Input{{Key: key, Low: 1, Middle: 2, High: 3}}, 8, 1, 1); err == nil {
			t.Errorf("%s is taken", key)
		}
	}
	s.Form.Pot.Circumference = "a lot"
	if _, err := LocalSensitivities(s, nil); err == nil {
		t.Error("a brief that cannot be read is taken")
	}
}

func BenchmarkSteadyDesign(b *testing.B) {
	s := subject(b, "beans-pot.yaml")
	inputs := dozen(b, s)
	open, _ := s.open()
	b.RunParallel(func(pb *testing.PB) {
		r := stream(1)
		u := make([]float64, len(inputs))
		for pb.Next() {
			for i := range u {
				u[i] = r.Float64()
			}
			(&sampler{base: open, inputs: inputs}).at(u)
		}
	})
}

// BenchmarkGlobal12 is the study of twelve inputs that is as fine as one percent.
func BenchmarkGlobal12(b *testing.B) {
	s := subject(b, "beans-pot.yaml")
	inputs := dozen(b, s)
	for range b.N {
		g, err := NewGlobal(s, inputs, 512, 5, 3)
		if err != nil {
			b.Fatal(err)
		}
		run(b, g, 0)
		r, _ := g.Result(Efficiency)
		worst := 0.0
		for _, in := range r.Inputs {
			worst = math.Max(worst, math.Max(in.Total.High-in.Total.Low, in.First.High-in.First.Low)/2)
		}
		b.ReportMetric(100*worst, "%-wide")
	}
}

func BenchmarkLocal(b *testing.B) {
	s := subject(b, "beans-pot.yaml")
	inputs := ChosenInputs(sized(b, s), 0.1)
	for range b.N {
		if _, err := LocalSensitivities(s, inputs); err != nil {
			b.Fatal(err)
		}
	}
}

// The inputs of a global study can each be moved over their whole range by
// themselves, and none is lost to the limit of their number but coefficients.
func TestSpreadInputsCanBeBuilt(t *testing.T) {
	for _, form := range []string{"beans-pot.yaml", "liner.yaml", "school-kettle.yaml", "upland-drum.yaml"} {
		data, err := examples.Briefs.ReadFile(form)
		if err != nil {
			t.Fatal(err)
		}
		f, err := stove.ParseForm(data)
		if err != nil {
			t.Fatal(err)
		}
		s := Subject{Form: f, Coefficients: fire.Defaults(), Depth: Steady}
		b, err := s.open()
		if err != nil {
			t.Fatal(err)
		}
		list, err := SpreadInputs(s, UsualPractice())
		if err != nil || len(list) > MostInputs {
			t.Fatal(len(list), err)
		}
		count := map[Group]int{}
		for _, in := range list {
			count[in.Group]++
			if in.Group != Chosen {
				continue
			}
			for _, x := range []float64{in.Low, in.High} {
				if b.size(map[string]float64{in.Key: x}) == nil {
					t.Errorf("%s: %s cannot be %v", form, in.Key, in.Value(x))
				}
			}
			if !(in.Low < in.Middle && in.Middle < in.High) {
				t.Errorf("%s: %s cannot be moved: %g, %g, %g", form, in.Key, in.Low, in.Middle, in.High)
			}
		}
		if count[Varies] != len(VaryingInputs(UsualPractice())) || count[Chosen] < 8 || count[Uncertain] < 8 {
			t.Errorf("%s: %v", form, count)
		}
	}
}
