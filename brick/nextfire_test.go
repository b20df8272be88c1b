package brick

import (
	"math"
	"testing"

	"stovewright/brick/mixture"
)

// Of a clay that gets twice as strong for each 90 K, and shrinks more, the next
// trial is fired hot where strength is short, and cool where shrinkage is.
func TestNextSeeksTheFiring(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust")
	list := w.prior.Stocks
	low, high := 1173.15, 1323.15
	fired := func(water, clay, saw, kelvin float64) Trial {
		trial := w.make(mixOf(list, water, clay, saw))
		trial.Kelvin = kelvin
		for i := range trial.Bricks {
			b := &trial.Bricks[i]
			b.Crushing *= math.Exp2((kelvin - 1250) / 90)
			for a := range Axes {
				b.Stages[Fired].Edges[a].Value *= 1 - 0.0002*(kelvin-low)
			}
		}
		return trial
	}
	var trials []Trial
	for _, kelvin := range []float64{low, 1250, high} {
		trials = append(trials, fired(0.9, 1.5, 0.3, kelvin), fired(1.0, 1.4, 0.4, kelvin))
	}
	b, err := Update(list, FormingDefaults(), trials, 1)
	if err != nil {
		t.Fatal(err)
	}
	cold, hot := trials[0].Outcome(), trials[4].Outcome()
	bounds := mixture.Bounds{Low: []float64{0.6, 0.15}, High: []float64{0.85, 0.4}}
	next := func(g Goal) Suggestion {
		g.Bounds, g.WaterLow, g.WaterHigh, g.FireLow, g.FireHigh = bounds, 0.6, 1.2, low, high
		s, err := Next(b, trials, g, 1)
		if err != nil {
			t.Fatal(err)
		}
		if s.Kelvin < low || s.Kelvin > high {
			t.Errorf("fired at %g K, outside what is allowed", s.Kelvin)
		}
		return s
	}
	strong := next(Goal{MinStrength: 0.9 * hot.Strength, MinDensity: 450})
	straight := next(Goal{MaxShrinkage: cold.Total + 0.004, MinDensity: 450})
	if !(strong.Kelvin > 1270 && straight.Kelvin < 1230) {
		t.Errorf("for strength fired at %g K, for little shrinkage at %g K", strong.Kelvin, straight.Kelvin)
	}
	g := Goal{Bounds: bounds, WaterLow: 0.6, WaterHigh: 1.2}
	if s, err := Next(b, trials, g, 1); err != nil || s.Kelvin != 0 {
		t.Errorf("a firing that is not varied is %g K: %v", s.Kelvin, err)
	}
	g.FireLow, g.FireHigh = 300, 400
	if _, err := Next(b, trials, g, 1); err == nil {
		t.Error("a firing at 400 K")
	}
}

// The goal of a series leaves the firing open between its trials, or as written.
func TestGoalFiring(t *testing.T) {
	f, err := ParseSeries(example(t, "series.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Read()
	if err != nil || s.Goal.firingVaries() {
		t.Errorf("all trials were fired alike: %+v %v", s.Goal, err)
	}
	f.Trials[1].FiredAt = "1040 °C"
	if s, err = f.Read(); err != nil || math.Abs(s.Goal.FireHigh-1313.15) > 1e-9 || math.Abs(s.Goal.FireLow-1253.15) > 1e-9 {
		t.Errorf("%+v %v", s.Goal, err)
	}
	f.Goal.LeastFiring, f.Goal.MostFiring = "1100 °C", "900 °C"
	if _, err := f.Read(); err == nil {
		t.Error("the least above the most")
	}
}
