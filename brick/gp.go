package brick

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"stovewright/stats"
)

// Jones1998ExpectedImprovement is the mean gain over the best value so far
// where a value is believed normal, for a quantity to be made small
// (jones1998): (best−μ) Φ(z) + sd φ(z), z = (best−μ)/sd.
func Jones1998ExpectedImprovement(best, mean, sd float64) float64 {
	gain := best - mean
	if sd <= 0 {
		return math.Max(0, gain)
	}
	z := gain / sd
	return gain*stats.NormalCDF(z) + sd*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)
}

// process is a Gaussian process (rasmussen2006) over inputs scaled to the order
// of one: a constant offset, a Matérn 5/2 part with one length for each input,
// and noise between repeats. It models what the balance leaves unexplained, so
// its mean far from all data is zero.
type process struct {
	offset  float64 // standard deviation of the constant
	amp     float64 // of the Matérn part
	noise   float64 // of a repeat
	lengths []float64

	x     [][]float64
	chol  mat.Cholesky
	alpha mat.VecDense
}

// kernel is the covariance of the noise-free values at two points.
func (p *process) kernel(a, b []float64) float64 {
	var r2 float64
	for i, l := range p.lengths {
		d := (a[i] - b[i]) / l
		r2 += d * d
	}
	r := math.Sqrt(5 * r2)
	return p.offset*p.offset + p.amp*p.amp*(1+r+r*r/3)*math.Exp(-r)
}

// condition prepares the process on data; extra is the measuring variance of
// each value beside the noise.
func (p *process) condition(x [][]float64, y, extra []float64) bool {
	n := len(x)
	p.x = x
	if n == 0 {
		return true
	}
	k := mat.NewSymDense(n, nil)
	for i := range x {
		for j := 0; j <= i; j++ {
			k.SetSym(i, j, p.kernel(x[i], x[j]))
		}
		k.SetSym(i, i, k.At(i, i)+p.noise*p.noise+extra[i])
	}
	if !p.chol.Factorize(k) {
		return false
	}
	return p.chol.SolveVecTo(&p.alpha, mat.NewVecDense(n, y)) == nil
}

// at is the mean and the standard deviation of the noise-free value at a point.
func (p *process) at(x []float64) (mean, sd float64) {
	variance := p.kernel(x, x)
	n := len(p.x)
	if n == 0 {
		return 0, math.Sqrt(variance)
	}
	k := mat.NewVecDense(n, nil)
	for i, q := range p.x {
		k.SetVec(i, p.kernel(x, q))
	}
	mean = mat.Dot(k, &p.alpha)
	var s mat.VecDense
	if p.chol.SolveVecTo(&s, k) == nil {
		variance -= mat.Dot(k, &s)
	}
	return mean, math.Sqrt(math.Max(variance, 0))
}

// logEvidence is the logarithm of the marginal likelihood up to a constant.
func (p *process) logEvidence(x [][]float64, y, extra []float64) float64 {
	if !p.condition(x, y, extra) {
		return math.Inf(-1)
	}
	return -0.5*mat.Dot(mat.NewVecDense(len(y), y), &p.alpha) - 0.5*p.chol.LogDet()
}

// The spreads of the logarithms of the hyperparameters about their first
// guesses: wide, but enough to keep three trials from fitting anything.
const (
	spreadAmp    = 0.7
	spreadNoise  = 0.5
	spreadLength = 0.7
	guessLength  = 0.7 // of the range of an input
)

// fitProcess chooses the hyperparameters by the most probable value
// (maximum a posteriori, Nelder–Mead from the first guesses).
func fitProcess(x [][]float64, y, extra []float64, inputs int, guess process) *process {
	at := func(t []float64) *process {
		p := process{offset: guess.offset, amp: guess.amp * math.Exp(t[0]), noise: guess.noise * math.Exp(t[1]), lengths: make([]float64, inputs)}
		for i := range p.lengths {
			p.lengths[i] = guessLength * math.Exp(t[2+i])
		}
		return &p
	}
	start := make([]float64, 2+inputs)
	best := start
	if len(y) > 1 {
		problem := optimize.Problem{Func: func(t []float64) float64 {
			prior := t[0]*t[0]/(2*spreadAmp*spreadAmp) + t[1]*t[1]/(2*spreadNoise*spreadNoise)
			for _, v := range t[2:] {
				prior += v * v / (2 * spreadLength * spreadLength)
			}
			return prior - at(t).logEvidence(x, y, extra)
		}}
		settings := &optimize.Settings{FuncEvaluations: 40 * len(start), Converger: &optimize.FunctionConverge{Absolute: 1e-3, Iterations: 20}}
		if res, err := optimize.Minimize(problem, start, settings, &optimize.NelderMead{SimplexSize: 0.5}); res != nil && (err == nil || res.F < problem.Func(start)) {
			best = res.X
		}
	}
	p := at(best)
	p.condition(x, y, extra)
	return p
}
