package bench

import (
	"math"

	"stovewright/proof"
	"stovewright/stats"
)

// gumChecks hold the law of propagation, put over the whole calculation of a boiling
// test, to the analytic sensitivities of the efficiency η = N/D of its cold start:
// worked apart by hand from jcgm2008gum, each reading with its own uncertainty and the
// heat taken by the moisture held.
func gumChecks() []proof.Check {
	units := []float64{1e-3, 1, 1e-3, 1e-3, 1, 1, 1e-3, 1e3, 1} // of the inputs, in SI or in the unit of the protocol
	budget := func() stats.Budget {
		inputs := []stats.Input{{Name: "f_m", U: 2}, {Name: "m", U: 0.010}, {Name: "Δc", U: 3}, {Name: "M_w", U: 2}, {Name: "T_i", U: 0.5}, {Name: "T_f", U: 0.5}, {Name: "w_v", U: 2.8}, {Name: "LHV", U: 400}, {Name: "LHV_char", U: 1000}}
		b, err := stats.Propagate(func(off []float64) float64 {
			t := exampleA()
			t.Constants = map[string]float64{"LHV_char": 29500 + off[8]}
			t.Hot, t.Simmer = nil, nil
			t.Cold.WoodBefore += off[0] * units[0]
			t.Wood.Moisture += off[1]
			t.Cold.Char.SI += off[2] * units[2]
			t.Cold.Pots[0].Empty -= off[3] * units[3]
			t.Cold.Pots[0].Start += off[4]
			t.Cold.Pots[0].End += off[5]
			t.Cold.Pots[0].After -= off[6] * units[6]
			t.Wood.LHV += off[7] * units[7]
			c, err := compute(&t, false)
			if err != nil {
				return math.NaN()
			}
			return c.si("cold.h")
		}, inputs, nil)
		if err != nil {
			return stats.Budget{Lines: make([]stats.BudgetLine, len(inputs))}
		}
		return b
	}
	var checks []proof.Check
	entry := func(id, quantity string, want, rel float64, ours func(stats.Budget) float64) {
		checks = append(checks, proof.Check{ID: "bench/gum-" + id, Quantity: quantity, Inputs: "example A, cold start", Expected: want, Rel: rel, Standing: proof.PublishedFromMemory, Source: "jcgm2008gum", Note: "computed apart by hand from the equations",
			Ours: func() float64 { return ours(budget()) }})
	}
	for i, c := range []struct {
		id   string
		want float64
	}{{"wood", -3.011025e-4}, {"moisture", 2.904578e-1}, {"char", 5.444222e-4}, {"water", 2.999533e-5}, {"start", -1.999689e-3}, {"end", 1.999689e-3}, {"steam", 2.159243e-4}, {"lhv", -1.245712e-5}, {"lhv-char", 1.107299e-6}} {
		entry(c.id, "sensitivity of the efficiency to "+c.id, c.want, 1e-5, func(b stats.Budget) float64 { return b.Lines[i].Sensitivity })
	}
	entry("u", "combined standard uncertainty of the efficiency", 0.006315866, 1e-5, func(b stats.Budget) float64 { return b.U })
	return checks
}
