package brick

import (
	"math"

	"stovewright/proof"
)

func nextChecks() []proof.Check {
	conditioned := func(of func(*process) float64) func() float64 {
		return func() float64 {
			p := &process{offset: 0.05, amp: 0.08, noise: 0.03, lengths: []float64{0.7, 1.3}}
			x := [][]float64{{0, 0}, {0.5, 0.2}, {1, 0.9}, {0.3, 0.7}}
			if !p.condition(x, []float64{0.10, -0.05, 0.02, 0.07}, []float64{0, 1e-4, 0, 4e-4}) {
				return math.NaN()
			}
			return of(p)
		}
	}
	const points = "four points of two inputs, Matérn 5/2 with lengths 0.7 and 1.3"
	const noted = "numpy and scipy.linalg.cho_solve on the same points"
	return []proof.Check{
		{ID: "brick/ei-level", Quantity: "expected improvement", Inputs: "mean at the best, sd 1", Expected: 0.398942, Abs: 5e-7, Standing: proof.Exact,
			Note: "φ(0)", Ours: func() float64 { return Jones1998ExpectedImprovement(0, 0, 1) }},
		{ID: "brick/ei-below", Quantity: "expected improvement", Inputs: "mean 1 below the best, sd 1", Expected: 1.083315, Abs: 5e-7, Standing: proof.Exact,
			Note: "Φ(1) + φ(1)", Ours: func() float64 { return Jones1998ExpectedImprovement(1, 0, 1) }},
		{ID: "brick/ei-above", Quantity: "expected improvement", Inputs: "best 0.2, mean 0.3, sd 0.15", Expected: 0.022667947073660547, Rel: 1e-9,
			Standing: proof.SecondImplementation, Source: "scipy", Note: "scipy.stats.norm", Ours: func() float64 { return Jones1998ExpectedImprovement(0.2, 0.3, 0.15) }},
		{ID: "brick/process-mean", Quantity: "mean of a Gaussian process", Inputs: points, Expected: -0.006232494030539104, Rel: 1e-9,
			Standing: proof.SecondImplementation, Source: "scipy", Note: noted,
			Ours: conditioned(func(p *process) float64 { m, _ := p.at([]float64{0.6, 0.5}); return m })},
		{ID: "brick/process-sd", Quantity: "its standard deviation", Inputs: points, Expected: 0.027234621033826845, Rel: 1e-9,
			Standing: proof.SecondImplementation, Source: "scipy", Note: noted,
			Ours: conditioned(func(p *process) float64 { _, s := p.at([]float64{0.6, 0.5}); return s })},
	}
}
