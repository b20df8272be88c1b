package bench

import (
	"slices"
	"testing"

	"stovewright/stats"
)

// In which order tests are read says nothing of a comparison: means, interval, p and
// words stay as they are. The bootstrap draws by place, and is held apart.
func TestOrderOfTestsChangesNoComparison(t *testing.T) {
	s := DefaultSettings
	s.Draws = 0
	a, b := series(t, "A", 5, 6, 1, 0.05), series(t, "B", 6, 6, 0.9, 0.05)
	want, err := Compare(a, b, "h_hp", s)
	fatal(t, err)
	random := stats.NewRand(12)
	for range 20 {
		x, y := a, b
		x.Runs, y.Runs = slices.Clone(a.Runs), slices.Clone(b.Runs)
		random.Shuffle(len(x.Runs), func(i, j int) { x.Runs[i], x.Runs[j] = x.Runs[j], x.Runs[i] })
		random.Shuffle(len(y.Runs), func(i, j int) { y.Runs[i], y.Runs[j] = y.Runs[j], y.Runs[i] })
		got, err := Compare(x, y, "h_hp", s)
		fatal(t, err)
		for what, pair := range map[string][2]float64{"mean": {got.Base.Mean, want.Base.Mean}, "low": {got.Interval.Low, want.Interval.Low}, "high": {got.Ratio.Interval.High, want.Ratio.Interval.High}, "p": {got.P, want.P}, "ranks": {got.Ranks.P(stats.TwoSided), want.Ranks.P(stats.TwoSided)}} {
			if !near(pair[0], pair[1], 1e-12) {
				t.Errorf("%s is %g and was %g", what, pair[0], pair[1])
			}
		}
		if say(got.Words) != say(want.Words) {
			t.Errorf("words: %s, %s", say(got.Words), say(want.Words))
		}
	}
}

// The pots after the first stand in any order: all but the time is a sum over them.
func TestOrderOfFurtherPotsChangesNothing(t *testing.T) {
	one := exampleC()
	for _, ph := range []*Phase{one.Cold, one.Hot, one.Simmer} {
		ph.Pots = append(ph.Pots, PotReading{0.5, 2.5, 2.49, 21 + zeroC, 60 + zeroC})
	}
	other := *one.clone()
	for _, ph := range []*Phase{other.Cold, other.Hot, other.Simmer} {
		ph.Pots[1], ph.Pots[2] = ph.Pots[2], ph.Pots[1]
	}
	a, err := Boil(one)
	fatal(t, err)
	b, err := Boil(other)
	fatal(t, err)
	for what, pair := range map[string][2]float64{"efficiency": {a.HighPowerEfficiency, b.HighPowerEfficiency}, "fuel": {a.TaskFuel, b.TaskFuel}, "simmer": {a.Simmer.Consumption, b.Simmer.Consumption}} {
		if !near(pair[0], pair[1], 1e-12) {
			t.Errorf("%s is %g and %g", what, pair[0], pair[1])
		}
	}
}
