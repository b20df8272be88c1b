package brick

import (
	"math"
	"math/rand/v2"
	"testing"

	"stovewright/brick/mixture"
	"stovewright/message"
)

// An invented workshop: its true forming, and a strength that falls with
// porosity and gains a little from grog. No measurement.
type workshop struct {
	t     testing.TB
	prior *Belief
	truth []float64
	rng   *rand.Rand
}

func newWorkshop(t testing.TB, kinds ...string) *workshop {
	w := &workshop{t: t, rng: newTestRand(21)}
	w.prior = &Belief{Stocks: stocks(t, kinds...), fixed: DefaultForming()}
	w.prior.layout(FormingDefaults())
	w.truth = make([]float64, len(w.prior.params))
	for i := range w.truth {
		w.truth[i] = 0.6 * math.Sin(float64(i)+1)
	}
	return w
}

func (w *workshop) make(m Mix) Trial {
	stock := make([]int, len(m.Portions))
	var grog, dry float64
	for i, p := range m.Portions {
		for k, s := range w.prior.Stocks {
			if s.Name == p.Ingredient.Name {
				stock[i] = k
			}
		}
		dry += p.Dry()
		if p.Ingredient.Kind == "grog" {
			grog += p.Dry()
		}
	}
	b, f := w.prior.draw(m, stock, w.truth)
	t := Trial{Mix: m}
	for range 3 {
		r := brickFrom(b, f, Size{0.2, 0.1, 0.06})
		r.Stages[Fired].Mass.Value *= 1 + 0.01*w.rng.NormFloat64()
		r.Crushing = Ryshkewitch1953(120e6, 6, b.Porosity) * (1 + grog/dry) * math.Exp(0.15*w.rng.NormFloat64())
		t.Bricks = append(t.Bricks, r)
	}
	return t
}

// From three trials on, following the suggestions, a brick is found that is
// lighter than any of the first three that kept the limits, and keeps them.
func TestNextFindsALighterBrick(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust", "grog")
	list := w.prior.Stocks
	g := Goal{MinStrength: 0.8e6, MaxShrinkage: 0.14, WaterLow: 0.5, WaterHigh: 1.3,
		Bounds: mixture.Bounds{Low: []float64{0.5, 0.1, 0}, High: []float64{0.85, 0.45, 0.25}}}
	trials := []Trial{w.make(mixOf(list, 0.9, 1.4, 0.5)), w.make(mixOf(list, 1.0, 1.6, 0.3, 0.3)), w.make(mixOf(list, 1.2, 1.2, 0.8, 0.2))}
	keeps := func(trial Trial) bool {
		o := trial.Outcome()
		return o.Strength >= 0.85*g.MinStrength && o.Total <= g.MaxShrinkage*1.02
	}
	lightest := func(list []Trial) float64 {
		best := math.Inf(1)
		for _, trial := range list {
			if keeps(trial) {
				best = math.Min(best, trial.Outcome().Density.Value)
			}
		}
		return best
	}
	first := lightest(trials)
	for len(trials) < 10 {
		b, err := Update(list, FormingDefaults(), trials, 1)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Next(b, trials, g, 2)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Because) < 2 || s.Density.Low >= s.Density.High || s.Chance < 0 || s.Chance > 1 {
			t.Fatalf("%+v", s)
		}
		if s.Stop {
			break
		}
		trials = append(trials, w.make(s.Mix))
	}
	if last := lightest(trials); !(last < 0.97*first) {
		t.Errorf("after %d trials %v kg/m³, first %v", len(trials), last, first)
	}
}

// With much data and scatter as usual, it says stop.
func TestNextStops(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust")
	list := w.prior.Stocks
	g := Goal{MinDensity: 500, WaterLow: 0.6, WaterHigh: 1.0, Bounds: mixture.Bounds{Low: []float64{0.6, 0.2}, High: []float64{0.8, 0.4}}}
	var trials []Trial
	for i := 0; i < 5; i++ {
		for j := 0; j < 5; j++ {
			saw := 0.2 + 0.05*float64(i)
			trials = append(trials, w.make(mixOf(list, (0.6+0.1*float64(j))*2-0.55, (1-saw)*2/0.75, saw*2/0.9)))
		}
	}
	b, err := Update(list, FormingDefaults(), trials, 1)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Next(b, trials, g, 1)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Stop || s.Because[0].ID != "brick.next.stop" {
		t.Errorf("25 trials on a grid: gain %v, %v", s.Gain, message.English().Say(s.Because[0]))
	}
}

// Trials of which no brick was crushed, or even measured, still lead to a next one.
func TestNextWithoutCrushing(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust")
	var trials []Trial
	for _, m := range []Mix{mixOf(w.prior.Stocks, 0.8, 1.5, 0.4), mixOf(w.prior.Stocks, 1.0, 1.5, 0.3), mixOf(w.prior.Stocks, 0.7, 1.3, 0.5)} {
		trial := w.make(m)
		for i := range trial.Bricks {
			trial.Bricks[i].Crushing = 0
		}
		trials = append(trials, trial)
	}
	g := Goal{MinStrength: 0.6e6, WaterLow: 0.5, WaterHigh: 1.5, Bounds: mixture.Bounds{Low: []float64{0.4, 0.1}, High: []float64{0.9, 0.6}}}
	for _, list := range [][]Trial{trials, {{Mix: trials[0].Mix}, {Mix: trials[1].Mix}, {Mix: trials[2].Mix}}} {
		b, err := Update(w.prior.Stocks, FormingDefaults(), list, 1)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Next(b, list, g, 1)
		if err != nil || len(s.Mix.Portions) == 0 || !(s.Density.Best > 0) {
			t.Errorf("%+v: %v", s, err)
		}
	}
}

func TestNextRefuses(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust")
	b, err := Update(w.prior.Stocks, FormingDefaults(), nil, 1)
	if err != nil {
		t.Fatal(err)
	}
	_, err = Next(b, nil, Goal{MinDensity: 700, MaxDensity: 600, Cheapest: true}, 1)
	list, ok := message.Complaints(err)
	if !ok || len(list) != 5 {
		t.Errorf("want five complaints (trials, bounds, water, density, prices): %v", err)
	}
}

// A beginner changes one thing; the correction by what the trial weighed must
// point the right way.
func TestOneChange(t *testing.T) {
	w := newWorkshop(t, "clay", "sawdust")
	trial := w.make(mixOf(w.prior.Stocks, 0.8, 1.5, 0.4))
	b, err := Update(w.prior.Stocks, FormingDefaults(), []Trial{trial}, 1)
	if err != nil {
		t.Fatal(err)
	}
	now := trial.Outcome().Density.Value
	lighter, err := OneChange(b, trial, 0.8*now)
	if err != nil || len(lighter) == 0 {
		t.Fatal(lighter, err)
	}
	for _, c := range lighter {
		if c.Kind == ChangeWater && c.To <= c.From || c.Kind == ChangePoreFormer && c.To <= c.From {
			t.Errorf("lighter by %+v", c)
		}
	}
	// doing the change brings the true brick near the target
	for _, c := range lighter {
		if c.Kind == ChangeWater {
			changed := trial.Mix
			changed.Water = c.To
			if got := w.make(changed).Outcome().Density.Value; math.Abs(got/(0.8*now)-1) > 0.1 {
				t.Errorf("wanted %v, got %v", 0.8*now, got)
			}
		}
	}
}

func BenchmarkNext30Trials4Ingredients(b *testing.B) {
	w := newWorkshop(b, "clay", "sawdust", "grog", "rice-husk")
	list := w.prior.Stocks
	var trials []Trial
	for _, m := range thirtyMixes(list) {
		trials = append(trials, w.make(m))
	}
	g := Goal{MinStrength: 1e6, WaterLow: 0.5, WaterHigh: 1.5,
		Bounds: mixture.Bounds{Low: []float64{0.4, 0.1, 0, 0}, High: []float64{0.85, 0.45, 0.25, 0.2}}}
	for b.Loop() {
		belief, err := Update(list, FormingDefaults(), trials, 1)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Next(belief, trials, g, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFollowAnEntry(b *testing.B) {
	m, f := baseMix(1.2), DefaultForming()
	for b.Loop() {
		balance, err := m.Balance(f)
		if err != nil {
			b.Fatal(err)
		}
		DefaultSkeleton.Conductivity(873, balance.Porosity)
		if _, err := m.Changes(500, f); err != nil {
			b.Fatal(err)
		}
	}
}
