package num

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"
)

// Fit is a problem of bounded nonlinear least squares: make the sum of squared
// residuals least.
type Fit struct {
	Residuals    func(residuals, p []float64) // fills residuals from parameters p
	Count        int                          // number of residuals
	Lower, Upper []float64                    // bounds of each parameter; nil where free
}

// FitResult is a solved [Fit].
type FitResult struct {
	P          []float64
	RSS        float64       // residual sum of squares
	Covariance *mat.SymDense // RSS/(n-p) (JᵀJ)⁻¹, bounds set aside; nil where no degree of freedom is left or JᵀJ is singular
	Iterations int
}

// fitTolerance ends a fit when the relative fall of the sum of squares and the
// relative step are both below it, near what double precision can tell apart.
const fitTolerance = 1e-13

// A fit begins nearly as a Gauss-Newton step and may take long along a bent valley
// (MGH10 of the reference problems takes a thousand steps).
const (
	firstDamping  = 1e-3
	fitIterations = 5000
)

// Solve runs the Levenberg–Marquardt iteration (key marquardt1963) from a start,
// with central-difference derivatives and Marquardt's scaling, by the steepest that
// each parameter has been. Steps are projected onto the bounds, and a parameter
// that is pressed against its bound is held there while the others move.
func (f Fit) Solve(start []float64) (FitResult, error) {
	n := len(start)
	if f.Count < n {
		return FitResult{}, errors.New("num: fewer residuals than parameters")
	}
	p := append([]float64(nil), start...)
	f.project(p)
	r := make([]float64, f.Count)
	f.Residuals(r, p)
	rss := sumSquares(r)
	if math.IsNaN(rss) || math.IsInf(rss, 0) {
		return FitResult{}, &ConvergenceError{"Levenberg-Marquardt", 0, rss}
	}
	trial, trialR, size := make([]float64, n), make([]float64, f.Count), make([]float64, n)
	largest, steep, damping := make([]float64, n), make([]float64, n), firstDamping
	for i := 0; i < fitIterations; i++ {
		f.grow(size, largest, p, r)
		jtj, jtr := f.normal(p, r, size)
		f.hold(p, jtj, jtr)
		for k := range steep {
			steep[k] = math.Max(steep[k], jtj.At(k, k))
		}
		improved := false
		for damping < 1e16 {
			step, ok := dampedStep(jtj, jtr, steep, damping)
			if ok {
				for k := range trial {
					trial[k] = p[k] - step[k]
				}
				f.project(trial)
				f.Residuals(trialR, trial)
				if now := sumSquares(trialR); now <= rss {
					done := rss-now <= fitTolerance*rss && closeTo(p, trial)
					copy(p, trial)
					copy(r, trialR)
					rss, damping, improved = now, damping/10, true
					if done {
						return f.result(p, rss, size, i), nil
					}
					break
				}
			}
			damping *= 10
		}
		if !improved { // no smaller sum can be found: the minimum to rounding
			return f.result(p, rss, size, i), nil
		}
	}
	return FitResult{}, &ConvergenceError{"Levenberg-Marquardt", fitIterations, rss}
}

// grow sets the size of each parameter, by which its derivative steps: its own,
// and at least a thousandth of the largest it has had, so that steps do not vanish
// where it passes zero. One that is zero so far has none; its size is then found
// from what moves the residuals a little.
func (f Fit) grow(size, largest, p, r []float64) {
	for k := range p {
		if p[k] == 0 && largest[k] == 0 {
			largest[k] = f.probe(k, p, r)
			size[k] = largest[k]
			continue
		}
		largest[k] = math.Max(largest[k], math.Abs(p[k]))
		size[k] = math.Max(math.Abs(p[k]), largest[k]/1000)
	}
}

// probe tells how far a parameter that is zero must move to change the residuals
// by some share of themselves, starting from one; one where nothing changes them.
func (f Fit) probe(k int, p, r []float64) float64 {
	const little, much = 1e-3, 1.0
	moved, there := append([]float64(nil), p...), make([]float64, len(r))
	most := math.Max(math.Sqrt(sumSquares(r)), math.SmallestNonzeroFloat64)
	change := func(h float64) float64 {
		moved[k] = h
		f.Residuals(there, moved)
		for i := range there {
			there[i] -= r[i]
		}
		return math.Sqrt(sumSquares(there)) / most
	}
	h := 1.0
	for range 100 {
		c := change(h)
		switch {
		case c < little && c > 0:
			h *= 8
		case c <= much:
			return h
		default: // too far, or out of what the residuals can be computed for
			h /= 16
		}
	}
	return 1
}

// normal gives JᵀJ and Jᵀr, with derivative steps by the parameters' sizes.
func (f Fit) normal(p, r, scale []float64) (*mat.SymDense, *mat.VecDense) {
	n := len(p)
	j := mat.NewDense(f.Count, n, nil)
	// derivatives are taken in p/scale so that one step length suits all
	scaled := make([]float64, n)
	for k := range scaled {
		scaled[k] = p[k] / scale[k]
	}
	real := make([]float64, n)
	fd.Jacobian(j, func(y, x []float64) {
		for k := range x {
			real[k] = x[k] * scale[k]
		}
		f.Residuals(y, real)
	}, scaled, &fd.JacobianSettings{Formula: fd.Central})
	j.Apply(func(_, k int, v float64) float64 { return v / scale[k] }, j)
	var jtj mat.SymDense
	jtj.SymOuterK(1, j.T())
	var jtr mat.VecDense
	jtr.MulVec(j.T(), mat.NewVecDense(len(r), r))
	return &jtj, &jtr
}

// hold takes out of the normal equations each parameter that sits on a bound
// and would be driven across it: its row and column become those of the identity.
func (f Fit) hold(p []float64, jtj *mat.SymDense, jtr *mat.VecDense) {
	for k := range p {
		down := f.Lower != nil && p[k] <= f.Lower[k] && jtr.AtVec(k) > 0
		up := f.Upper != nil && p[k] >= f.Upper[k] && jtr.AtVec(k) < 0
		if !down && !up {
			continue
		}
		for j := range p {
			jtj.SetSym(k, j, 0)
		}
		jtj.SetSym(k, k, 1)
		jtr.SetVec(k, 0)
	}
}

func dampedStep(jtj *mat.SymDense, jtr *mat.VecDense, steep []float64, damping float64) ([]float64, bool) {
	n := jtj.SymmetricDim()
	damped := mat.NewSymDense(n, nil)
	damped.CopySym(jtj)
	for k := 0; k < n; k++ {
		d := steep[k]
		if d == 0 {
			d = 1 // nothing hangs on this parameter here: it stays
		}
		damped.SetSym(k, k, jtj.At(k, k)+d*damping)
	}
	var chol mat.Cholesky
	if !chol.Factorize(damped) {
		return nil, false
	}
	var step mat.VecDense
	if chol.SolveVecTo(&step, jtr) != nil {
		return nil, false
	}
	return step.RawVector().Data, true
}

func (f Fit) project(p []float64) {
	for k := range p {
		if f.Lower != nil {
			p[k] = math.Max(p[k], f.Lower[k])
		}
		if f.Upper != nil {
			p[k] = math.Min(p[k], f.Upper[k])
		}
	}
}

func (f Fit) result(p []float64, rss float64, size []float64, iterations int) FitResult {
	out := FitResult{P: p, RSS: rss, Iterations: iterations}
	r := make([]float64, f.Count)
	f.Residuals(r, p)
	f.grow(size, append([]float64(nil), size...), p, r)
	jtj, _ := f.normal(p, r, size)
	var chol mat.Cholesky
	if f.Count == len(p) || !chol.Factorize(jtj) {
		return out
	}
	var cov mat.SymDense
	if chol.InverseTo(&cov) != nil {
		return out
	}
	cov.ScaleSym(rss/float64(f.Count-len(p)), &cov)
	out.Covariance = &cov
	return out
}

func sumSquares(r []float64) float64 {
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	return s
}

func closeTo(a, b []float64) bool {
	for k := range a {
		if math.Abs(a[k]-b[k]) > 1e-10*(math.Abs(a[k])+1e-10) {
			return false
		}
	}
	return true
}
