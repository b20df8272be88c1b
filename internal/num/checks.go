package num

import (
	"math"

	"stovewright/proof"
)

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	return append(rootChecks(), append(fitChecks(), sobolChecks()...)...)
}

// value makes the value of a failed method NaN, which no check lets pass.
func value(x float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return x
}

func rootChecks() []proof.Check {
	return []proof.Check{
		{ID: "num/brent-cos", Quantity: "fixed point of the cosine", Inputs: "cos x = x on [0, 1]", Expected: 0.7390851332151607, Abs: 1e-14,
			Standing: proof.Exact, Note: "Dottie number, 16 digits by mpmath",
			Ours: func() float64 {
				return value(Brent(func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 1e-15))
			}},
		{ID: "num/brent-triple", Quantity: "root of multiplicity three", Inputs: "(x-1)³ eˣ on [0, 3]", Expected: 1, Abs: 1e-5,
			Standing: proof.Exact, Ours: func() float64 {
				return value(Brent(func(x float64) float64 { return math.Pow(x-1, 3) * math.Exp(x) }, 0, 3, 1e-12))
			}},
		{ID: "num/newton-wallis", Quantity: "root of Wallis's cubic", Inputs: "x³ - 2x - 5 from 3 on [2, 3]", Expected: 2.0945514815423265, Abs: 1e-13,
			Standing: proof.Exact, Note: "16 digits by mpmath", Ours: func() float64 {
				return value(Newton(func(x float64) (float64, float64) { return x*x*x - 2*x - 5, 3*x*x - 2 }, 3, 2, 3, 1e-14))
			}},
		{ID: "num/tridiagonal-poisson", Quantity: "middle of the discrete Poisson problem", Inputs: "-u[i-1] + 2u[i] - u[i+1] = 1, 9 unknowns, zero ends",
			Expected: 12.5, Abs: 1e-12, Standing: proof.Exact, Note: "u[i] = i (10-i)/2 solves the difference equation", Ours: func() float64 {
				lower, diag, upper, rhs := make([]float64, 9), make([]float64, 9), make([]float64, 9), make([]float64, 9)
				for i := range rhs {
					lower[i], diag[i], upper[i], rhs[i] = -1, 2, -1, 1
				}
				SolveTridiagonal(lower, diag, upper, rhs)
				return rhs[4]
			}},
	}
}

// misra1a is the NIST StRD data set Misra1a, dental research data by D. Misra.
var misra1a = struct{ y, x []float64 }{
	y: []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
	x: []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
}

func fitMisra1a() FitResult {
	r, err := Fit{Count: len(misra1a.x), Residuals: func(r, p []float64) {
		for i, x := range misra1a.x {
			r[i] = misra1a.y[i] - p[0]*(1-math.Exp(-p[1]*x))
		}
	}}.Solve([]float64{500, 0.0001})
	if err != nil || r.Covariance == nil {
		nan := math.NaN()
		return FitResult{P: []float64{nan, nan}, RSS: nan}
	}
	return r
}

func fitChecks() []proof.Check {
	const inputs = "b1 (1 - exp(-b2 x)), 14 points, start 500, 0.0001"
	entry := func(id, quantity string, expected, rel float64, ours func(FitResult) float64) proof.Check {
		return proof.Check{ID: "num/" + id, Quantity: quantity, Inputs: inputs, Expected: expected, Rel: rel,
			Standing: proof.PublishedFromMemory, Source: "niststrd", Ours: func() float64 { return ours(fitMisra1a()) }}
	}
	deviation := func(k int) func(FitResult) float64 {
		return func(r FitResult) float64 {
			if r.Covariance == nil {
				return math.NaN()
			}
			return math.Sqrt(r.Covariance.At(k, k))
		}
	}
	return []proof.Check{
		entry("misra1a-b1", "Misra1a, parameter b1", 2.3894212918e2, 1e-9, func(r FitResult) float64 { return r.P[0] }),
		entry("misra1a-b2", "Misra1a, parameter b2", 5.5015643181e-4, 1e-9, func(r FitResult) float64 { return r.P[1] }),
		entry("misra1a-rss", "Misra1a, residual sum of squares", 1.2455138894e-1, 1e-9, func(r FitResult) float64 { return r.RSS }),
		entry("misra1a-sd1", "Misra1a, standard deviation of b1", 2.7070075241, 1e-6, deviation(0)),
		entry("misra1a-sd2", "Misra1a, standard deviation of b2", 7.2668688436e-6, 1e-6, deviation(1)),
	}
}

func sobolChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct {
		id        string
		dimension int
		want      float64
	}{
		{"1", 0, 0.2197265625}, {"2", 1, 0.0966796875}, {"8", 7, 0.8994140625}, {"21", 20, 0.5224609375}, {"64", 63, 0.4462890625},
	} {
		checks = append(checks, proof.Check{ID: "num/sobol-" + c.id, Quantity: "Sobol sequence, dimension " + c.id, Inputs: "point 1000, unshifted",
			Expected: c.want, Abs: 1e-12, Standing: proof.SecondImplementation, Source: "scipy",
			Note: "scipy.stats.qmc.Sobol(64, scramble=False), SciPy 1.10.1", Ours: func() float64 {
				s, err := NewSobol(64, 0)
				if err != nil {
					return math.NaN()
				}
				x := make([]float64, 64)
				s.At(1000, x)
				return x[c.dimension]
			}})
	}
	return checks
}
