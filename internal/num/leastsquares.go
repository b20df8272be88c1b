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

// fitIterations is long enough for a bent valley: Bennett5 of the reference
// problems takes some twelve hundred steps from its far start.
const fitIterations = 5000

// Settings of the trust region as Moré has them, but for the first radius, which
// is as far as the parameters' own sizes: he takes a hundred times that, and says
// to take less where a function is steep. The best step within a radius need meet
// the radius to a tenth only.
const (
	firstRadius = 1.0
	radiusSlack = 0.1
	goodRatio   = 0.75
	poorRatio   = 0.25
	leastRatio  = 1e-4
)

// Solve looks for the minimum from a start by the method of Levenberg and
// Marquardt (key marquardt1963) as Moré made it robust (key
// more1978levenberg): within a radius, measured with each parameter's steepest
// slope so far, the step to the minimum of the linear model; the radius grows
// where the model foretold the fall well, and shrinks where it did not. Derivatives
// are central differences. Steps are projected onto the bounds, and a parameter
// that is pressed against its bound is held there while the others move. The
// minimum found is that in whose valley the start lies, not always the least of all.
func (f Fit) Solve(start []float64) (FitResult, error) {
	if f.Count < len(start) {
		return FitResult{}, errors.New("num: fewer residuals than parameters")
	}
	d := f.begin(start)
	if math.IsNaN(d.rss) || math.IsInf(d.rss, 0) {
		return FitResult{}, &ConvergenceError{"Levenberg-Marquardt", 0, d.rss}
	}
	for i := range fitIterations {
		if !d.linearise() || d.fall() {
			return d.result(i), nil
		}
	}
	return FitResult{}, &ConvergenceError{"Levenberg-Marquardt", fitIterations, d.rss}
}

// descent is a fit on its way down.
type descent struct {
	Fit
	p, r          []float64 // where it is
	rss           float64
	size, largest []float64 // of the parameters, by which derivatives step
	steepest      []float64 // slope that the residuals have had, by parameter
	radius        float64

	jacobian *mat.Dense // with the columns of parameters held at zero
	// the linear model in parameters times steepest: its singular values,
	// directions, and the residuals along them
	values, along []float64
	direction     mat.Dense
}

func (f Fit) begin(start []float64) *descent {
	n := len(start)
	d := &descent{Fit: f, p: append([]float64(nil), start...), r: make([]float64, f.Count), size: make([]float64, n), largest: make([]float64, n), steepest: make([]float64, n)}
	f.project(d.p)
	f.Residuals(d.r, d.p)
	d.rss = sumSquares(d.r)
	return d
}

// linearise takes the residuals as linear around the point; false where no residual
// hangs on any parameter.
func (d *descent) linearise() bool {
	d.jacobian = d.slopes()
	d.hold()
	for k := range d.p {
		d.steepest[k] = math.Max(d.steepest[k], mat.Norm(d.jacobian.ColView(k), 2))
	}
	svd, ok := d.decompose(d.jacobian)
	if !ok {
		return false
	}
	var u mat.Dense
	var along mat.VecDense
	svd.UTo(&u)
	svd.VTo(&d.direction)
	along.MulVec(u.T(), mat.NewVecDense(len(d.r), d.r))
	d.values, d.along = svd.Values(nil), along.RawVector().Data
	if d.radius == 0 {
		d.radius = firstRadius * d.length(d.size)
	}
	return d.values[0] > 0
}

// decompose finds the singular values of slopes, each parameter taken by the
// steepest that it has been.
func (d *descent) decompose(slopes *mat.Dense) (svd mat.SVD, ok bool) {
	scaled := mat.DenseCopyOf(slopes)
	scaled.Apply(func(_, k int, v float64) float64 {
		if d.steepest[k] > 0 {
			return v / d.steepest[k]
		}
		return 0
	}, scaled)
	ok = svd.Factorize(scaled, mat.SVDThin)
	return svd, ok
}

// length is that of a step, each parameter by its steepest slope.
func (d *descent) length(step []float64) float64 {
	sum := 0.0
	for k, s := range step {
		sum += d.steepest[k] * s * d.steepest[k] * s
	}
	return math.Sqrt(sum)
}

// fall takes a step down; done says that there is no further to go.
func (d *descent) fall() (done bool) {
	trial, trialR := make([]float64, len(d.p)), make([]float64, len(d.r))
	for {
		step := d.within(d.radius)
		for k := range trial {
			trial[k] = d.p[k] + step[k]
		}
		d.project(trial)
		for k := range step {
			step[k] = trial[k] - d.p[k]
		}
		length, foretold := d.length(step), d.foretold(step)
		d.Residuals(trialR, trial)
		now := sumSquares(trialR)
		ratio := (d.rss - now) / foretold
		switch {
		case !(ratio >= poorRatio): // or none, where the residuals cannot be computed
			d.radius = poorRatio * math.Min(d.radius, length)
		case ratio > goodRatio:
			d.radius = math.Max(d.radius, 2*length)
		}
		settled := closeTo(d.p, trial)
		if ratio > leastRatio {
			settled = settled && d.rss-now <= fitTolerance*d.rss
			copy(d.p, trial)
			copy(d.r, trialR)
			d.rss = now
			return settled
		}
		if settled { // no smaller sum can be found: the minimum to rounding
			return true
		}
	}
}

// foretold is the fall of the sum of squares that the linear model promises.
func (d *descent) foretold(step []float64) float64 {
	var change mat.VecDense
	change.MulVec(d.jacobian, mat.NewVecDense(len(step), step))
	return -2*mat.Dot(mat.NewVecDense(len(d.r), d.r), &change) - mat.Dot(&change, &change)
}

// within is the step that makes the linear model least within a radius. Its
// damping is found by Newton's method on the reciprocal of its length, which is
// nearly straight (Moré).
func (d *descent) within(radius float64) []float64 {
	damping := 0.0
	for range 50 {
		length, slope := d.damped(damping)
		if length <= radius || damping > 0 && math.Abs(length-radius) <= radiusSlack*radius {
			break
		}
		damping = math.Max(0, damping+length/radius*(radius-length)/slope)
	}
	step := make([]float64, len(d.p))
	for i, s := range d.values {
		if s <= negligible*d.values[0] {
			continue
		}
		along := -s * d.along[i] / (s*s + damping)
		for k := range step {
			if d.steepest[k] > 0 {
				step[k] += along * d.direction.At(k, i) / d.steepest[k]
			}
		}
	}
	return step
}

// negligible is the share of the largest singular value below which a direction
// moves nothing.
const negligible = 1e-16

// damped is the length of the step with a damping, and its derivative.
func (d *descent) damped(damping float64) (length, slope float64) {
	for i, s := range d.values {
		if s <= negligible*d.values[0] {
			continue
		}
		w := s*s + damping
		x := s * d.along[i] / w
		length += x * x
		slope -= x * x / w
	}
	length = math.Sqrt(length)
	return length, slope / length
}

// grow sets the size of each parameter, by which its derivative steps: its own,
// and at least a thousandth of the largest it has had, so that steps do not vanish
// where it passes zero. One that is zero so far has none; its size is then found
// from what moves the residuals a little.
func (d *descent) grow() {
	for k, p := range d.p {
		if p == 0 && d.largest[k] == 0 {
			d.largest[k] = d.probe(k, d.p, d.r)
			d.size[k] = d.largest[k]
			continue
		}
		d.largest[k] = math.Max(d.largest[k], math.Abs(p))
		d.size[k] = math.Max(math.Abs(p), d.largest[k]/1000)
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

// slopes are the derivatives of the residuals, with steps by the parameters' sizes.
func (d *descent) slopes() *mat.Dense {
	d.grow()
	n := len(d.p)
	j := mat.NewDense(d.Count, n, nil)
	// derivatives are taken in p/size so that one step length suits all
	sized := make([]float64, n)
	for k := range sized {
		sized[k] = d.p[k] / d.size[k]
	}
	real := make([]float64, n)
	fd.Jacobian(j, func(y, x []float64) {
		for k := range x {
			real[k] = x[k] * d.size[k]
		}
		d.Residuals(y, real)
	}, sized, &fd.JacobianSettings{Formula: fd.Central})
	j.Apply(func(_, k int, v float64) float64 { return v / d.size[k] }, j)
	return j
}

// hold takes out of the linear model each parameter that sits on a bound and would
// be driven across it: nothing hangs on it for this step.
func (d *descent) hold() {
	r := mat.NewVecDense(len(d.r), d.r)
	for k := range d.p {
		slope := mat.Dot(d.jacobian.ColView(k), r)
		down := d.Lower != nil && d.p[k] <= d.Lower[k] && slope > 0
		up := d.Upper != nil && d.p[k] >= d.Upper[k] && slope < 0
		if down || up {
			d.jacobian.SetCol(k, make([]float64, len(d.r)))
		}
	}
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

// result is where the fit stands, with the covariance as if there were no bounds.
func (d *descent) result(iterations int) FitResult {
	out := FitResult{P: d.p, RSS: d.rss, Iterations: iterations}
	n := len(d.p)
	svd, ok := d.decompose(d.slopes())
	if !ok || d.Count == n {
		return out
	}
	var v mat.Dense
	svd.VTo(&v)
	values := svd.Values(nil)
	if values[n-1] <= singular*values[0] {
		return out
	}
	out.Covariance = mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sum := 0.0
			for k, s := range values {
				sum += v.At(i, k) / d.steepest[i] * v.At(j, k) / d.steepest[j] / (s * s)
			}
			out.Covariance.SetSym(i, j, sum*d.rss/float64(d.Count-n))
		}
	}
	return out
}

// singular is the share of the largest singular value below which derivatives by
// differences cannot tell a singular value from zero.
const singular = 1e-10

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
