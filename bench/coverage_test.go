package bench

import (
	"math/rand/v2"
	"testing"

	"stovewright/stats"
)

// simulated gives a boiling test as a stove of some efficiency would give it: the
// wood, the char, the time and the readings scatter from test to test.
func simulated(base *BoilingTest, wood float64, random *rand.Rand) *BoilingTest {
	t := base.clone()
	day := 1 + 0.04*random.NormFloat64() // what wind and hand do to all of a test
	for i := range phases {
		ph := t.phase(i)
		burnt := (ph.WoodBefore - ph.WoodAfter) * wood * day * (1 + 0.03*random.NormFloat64())
		ph.WoodAfter = ph.WoodBefore - burnt
		ph.Duration *= 1 + 0.06*random.NormFloat64()
		for j := range ph.Pots {
			ph.Pots[j].After += 0.010 * random.NormFloat64()
			ph.Pots[j].Start += 0.5 * random.NormFloat64()
		}
	}
	return t
}

// TestIntervalsOfTestSeriesCover burns 10 000 simulated series of five tests on
// each of two stoves and computes every test by its protocol: a 90 % interval of
// the ratio, as a comparison shows it, must hold the true ratio in 88 to 92 of a
// hundred.
func TestIntervalsOfTestSeriesCover(t *testing.T) {
	base := exampleTest(t)
	random := stats.NewRand(88)
	const series, runs, truth = 10000, 5, 60000
	ids := []string{"h_hp", "BF", "simmer.SC", "cold.tT"}
	results := func(wood float64) []float64 {
		c, err := compute(simulated(base, wood, random), false)
		fatal(t, err)
		list := make([]float64, len(ids))
		for i, id := range ids {
			list[i] = c.si(id)
		}
		return list
	}
	woods := []float64{1, 0.86}
	mean := make([][]float64, 2)
	for k, wood := range woods {
		mean[k] = make([]float64, len(ids))
		for range truth {
			for i, v := range results(wood) {
				mean[k][i] += v / truth
			}
		}
	}
	hits := make([]int, len(ids))
	for range series {
		samples := make([][][]float64, len(ids)) // result, stove, test
		for i := range samples {
			samples[i] = make([][]float64, 2)
		}
		for k, wood := range woods {
			for range runs {
				for i, v := range results(wood) {
					samples[i][k] = append(samples[i][k], v)
				}
			}
		}
		for i := range ids {
			r, err := stats.LogRatio(samples[i][0], samples[i][1], 0.90)
			fatal(t, err)
			if r.Interval.Contains(mean[1][i] / mean[0][i]) {
				hits[i]++
			}
		}
	}
	for i, id := range ids {
		if share := float64(hits[i]) / series; share < 0.88 || share > 0.92 {
			t.Errorf("%s: covers %.1f %%", id, 100*share)
		} else {
			t.Logf("%s: covers %.1f %%", id, 100*share)
		}
	}
}

func exampleTest(t *testing.T) *BoilingTest {
	t.Helper()
	files := exampleFiles(t, "boiling/stove-a/a1.yaml")
	return &files[0].Boiling.Test
}
