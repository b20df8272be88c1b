package num

import (
	"fmt"
	"math"
	"sync"

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

// misra1a is the model b1 (1 - exp(-b2 x)) of the reference problems Misra1a and
// BoxBOD, mgh17 that of MGH17, and mgh10 that of MGH10 (key niststrd).
func misra1a(b, x []float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x[0])) }

func mgh17(b, x []float64) float64 {
	return b[0] + b[1]*math.Exp(-x[0]*b[3]) + b[2]*math.Exp(-x[0]*b[4])
}

func mgh10(b, x []float64) float64 { return b[0] * math.Exp(b[1]/(x[0]+b[2])) }

// reference is a reference problem of the register with what NIST certifies.
type reference struct {
	id, level, model string
	f                func(b, x []float64) float64
	x, y             []float64
	start            []float64 // the far one
	want, deviation  []float64
	rss              float64
}

// references are the easiest, and the three that most methods lose from their far
// start; the tests hold all 27.
var references = []reference{
	{id: "misra1a", level: "lower", model: "b1 (1 - exp(-b2 x))", f: misra1a,
		y:     []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
		x:     []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
		start: []float64{500, 0.0001}, want: []float64{2.3894212918e2, 5.5015643181e-4}, deviation: []float64{2.7070075241, 7.2668688436e-6}, rss: 1.2455138894e-1},
	{id: "mgh17", level: "average", model: "b1 + b2 exp(-b4 x) + b3 exp(-b5 x)", f: mgh17, x: spaced(0, 10, 33),
		y: []float64{.844, .908, .932, .936, .925, .908, .881, .850, .818, .784, .751, .718, .685, .658, .628, .603, .580, .558, .538, .522, .506, .490, .478, .467,
			.457, .448, .438, .431, .424, .420, .414, .411, .406},
		start: []float64{50, 150, -100, 1, 2}, want: []float64{3.7541005211e-1, 1.9358469127, -1.4646871366, 1.2867534640e-2, 2.2122699662e-2},
		deviation: []float64{2.0723153551e-3, 2.2031669222e-1, 2.2175707739e-1, 4.4861358114e-4, 8.9471996575e-4}, rss: 5.4648946975e-5},
	{id: "boxbod", level: "higher", model: "b1 (1 - exp(-b2 x))", f: misra1a, x: []float64{1, 2, 3, 5, 7, 10}, y: []float64{109, 149, 149, 191, 213, 224},
		start: []float64{1, 1}, want: []float64{2.1380940889e2, 5.4723748542e-1}, deviation: []float64{1.2354515176e1, 1.0455993237e-1}, rss: 1.1680088766e3},
	{id: "mgh10", level: "higher", model: "b1 exp(b2/(x + b3))", f: mgh10, x: spaced(50, 5, 16),
		y:     []float64{34780, 28610, 23650, 19630, 16370, 13720, 11540, 9744, 8261, 7030, 6005, 5147, 4427, 3820, 3307, 2872},
		start: []float64{2, 400000, 25000}, want: []float64{5.6096364710e-3, 6.1813463463e3, 3.4522363462e2},
		deviation: []float64{1.5687892471e-4, 2.3309021107e1, 7.8486103508e-1}, rss: 8.7945855171e1},
}

// spaced are n numbers a step apart.
func spaced(first, step float64, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = first + step*float64(i)
	}
	return x
}

func (p reference) fit() Fit {
	return Fit{Count: len(p.x), Residuals: func(r, b []float64) {
		for i := range p.x {
			r[i] = p.y[i] - p.f(b, p.x[i:])
		}
	}}
}

// fitChecks are the entries of the reference problems, from their far starts.
func fitChecks() []proof.Check {
	var list []proof.Check
	for _, p := range references {
		fit := sync.OnceValues(func() (FitResult, error) { return p.fit().Solve(p.start) })
		add := func(id, quantity string, expected, rel float64, ours func(FitResult) float64) {
			list = append(list, proof.Check{ID: "num/" + p.id + "-" + id, Quantity: quantity, Inputs: fmt.Sprintf("%s, %d points, from the far start", p.model, len(p.x)),
				Expected: expected, Rel: rel, Standing: proof.Published, Source: "niststrd", Note: "difficulty: " + p.level,
				Ours: func() float64 {
					r, err := fit()
					if err != nil || r.Covariance == nil {
						return math.NaN()
					}
					return ours(r)
				}})
		}
		for k := range p.want {
			name := fmt.Sprint(k + 1)
			add("b"+name, "parameter b"+name, p.want[k], 1e-7, func(r FitResult) float64 { return r.P[k] })
			add("sd"+name, "standard deviation of b"+name, p.deviation[k], 1e-6, func(r FitResult) float64 { return math.Sqrt(r.Covariance.At(k, k)) })
		}
		add("rss", "residual sum of squares", p.rss, 1e-9, func(r FitResult) float64 { return r.RSS })
	}
	return list
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
