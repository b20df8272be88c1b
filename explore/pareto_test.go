package explore

import (
	"math"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// TestHypervolume holds the exact volume against counting random points.
func TestHypervolume(t *testing.T) {
	if v := Hypervolume([][]float64{{1, 3}, {2, 2}, {3, 1}, {2, 3}}, []float64{4, 4}); v != 6 {
		t.Errorf("a staircase of six squares: %v", v)
	}
	if v := Hypervolume([][]float64{{0, 0, 0, 0}, {5, 5, 5, 5}}, []float64{1, 2, 3, 4}); v != 24 {
		t.Errorf("one box: %v", v)
	}
	r := stream(4)
	for _, m := range []int{2, 3, 4} {
		points := make([][]float64, 12)
		for i := range points {
			points[i] = make([]float64, m)
			for k := range points[i] {
				points[i][k] = r.Float64()
			}
		}
		reference := []float64{1, 1, 1, 1}[:m]
		const n = 200000
		hits := 0
		for range n {
			x := make([]float64, m)
			for k := range x {
				x[k] = r.Float64()
			}
			for _, p := range points {
				if dominates(p, x) {
					hits++
					break
				}
			}
		}
		want := float64(hits) / n
		if got := Hypervolume(points, reference); math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/n) {
			t.Errorf("%d objectives: %v, counted %v", m, got, want)
		}
	}
}

// TestRanks holds the fronts against their definition.
func TestRanks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 25).Draw(t, "n")
		all := make([]Individual, n)
		for i := range all {
			for range 3 {
				all[i].Objectives = append(all[i].Objectives, float64(rapid.IntRange(0, 4).Draw(t, "f")))
			}
			all[i].Violation = float64(rapid.IntRange(-2, 2).Draw(t, "v"))
		}
		for depth, front := range rank(all) {
			for _, i := range front {
				above := false
				for j := range all {
					if all[j].beats(&all[i]) {
						if all[j].rank >= depth {
							t.Fatalf("%d beats %d of front %d and stands in %d", j, i, depth, all[j].rank)
						}
						above = above || all[j].rank == depth-1
					}
				}
				if depth > 0 && !above {
					t.Fatalf("%d stands in front %d and nobody of the one before beats it", i, depth)
				}
			}
		}
	})
}

func TestChildrenKeepBoundsAndSteps(t *testing.T) {
	e := Evolution{Seed: 3, Population: 20, Generations: 30, Variables: []Variable{
		{Key: "real", Low: -1, High: 2}, {Key: "step", Low: 0.0095, High: 0.0305, Step: 0.005}, {Key: "whole", Low: 2, High: 5, Step: 1},
		{Key: "word", Options: []string{"a", "b", "c"}}, {Key: "fixed", Low: 7, High: 7}}}
	var seen sync.Map
	e.Minimise(func(x []float64) ([]float64, float64) {
		if x[0] < -1 || x[0] > 2 || x[1] < 0.0095 || x[1] > 0.0305 || math.Abs(x[1]/0.005-math.Round(x[1]/0.005)) > 1e-9 ||
			x[2] != math.Round(x[2]) || x[2] < 2 || x[2] > 5 || x[3] != math.Round(x[3]) || x[3] < 0 || x[3] > 2 || x[4] != 7 {
			t.Errorf("%v is out of bounds or off its step", x)
		}
		seen.Store(10*x[2]+x[3], true)
		return []float64{x[0] * x[0], math.Abs(x[1] - 0.02)}, 0
	})
	for whole := 2.0; whole <= 5; whole++ {
		for word := 0.0; word < 3; word++ {
			if _, ok := seen.Load(10*whole + word); !ok {
				t.Errorf("%v courses with word %v were never tried", whole, word)
			}
		}
	}
}
