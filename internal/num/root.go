package num

import (
	"fmt"
	"math"
)

// maxIterations bounds every root search. Bisection alone needs 52 steps to
// exhaust a double, so that a search that is still going has met a NaN.
const maxIterations = 200

// BracketError says that a root search was given an interval over whose ends
// the function does not change sign.
type BracketError struct{ A, B, FA, FB float64 }

// Error names the interval and the values at its ends.
func (e *BracketError) Error() string {
	return fmt.Sprintf("num: no sign change on [%g, %g]: f = %g and %g", e.A, e.B, e.FA, e.FB)
}

// ConvergenceError says that an iteration stopped short of its tolerance.
type ConvergenceError struct {
	Method     string
	Iterations int
	Residual   float64
}

// Error names the method and the residual it was left with.
func (e *ConvergenceError) Error() string {
	return fmt.Sprintf("num: %s did not converge in %d iterations (residual %g)", e.Method, e.Iterations, e.Residual)
}

// Brent finds a root of f between a and b, where f changes sign, by inverse
// quadratic interpolation safeguarded by bisection (Brent, key brent1973,
// chapter 4). It stops when the bracket is narrower than xtol plus rounding.
func Brent(f func(float64) float64, a, b, xtol float64) (float64, error) {
	return BrentFrom(f, a, f(a), b, f(b), xtol)
}

// BrentFrom is [Brent] for a caller who knows f at the ends already.
func BrentFrom(f func(float64) float64, a, fa, b, fb, xtol float64) (float64, error) {
	if !(fa*fb <= 0) {
		return 0, &BracketError{a, b, fa, fb}
	}
	c, fc := a, fa
	step, before := b-a, b-a
	for i := 0; i < maxIterations; i++ {
		if fb*fc > 0 {
			c, fc = a, fa
			step, before = b-a, b-a
		}
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		tol := 2*epsilon*math.Abs(b) + xtol/2
		half := (c - b) / 2
		if math.Abs(half) <= tol || fb == 0 {
			return b, nil
		}
		if math.Abs(before) < tol || math.Abs(fa) <= math.Abs(fb) {
			step, before = half, half
		} else {
			step, before = interpolate(a, fa, b, fb, c, fc, half, tol, step, before)
		}
		a, fa = b, fb
		if math.Abs(step) > tol {
			b += step
		} else {
			b += math.Copysign(tol, half)
		}
		fb = f(b)
		if math.IsNaN(fb) {
			break
		}
	}
	return 0, &ConvergenceError{"Brent", maxIterations, fb}
}

const epsilon = 0x1p-52

// interpolate proposes Brent's next step: secant or inverse quadratic where it
// falls well inside the bracket and shrinks fast enough, else bisection.
func interpolate(a, fa, b, fb, c, fc, half, tol, step, before float64) (newStep, newBefore float64) {
	var p, q float64
	s := fb / fa
	if a == c {
		p, q = 2*half*s, 1-s
	} else {
		t, r := fa/fc, fb/fc
		p = s * (2*half*t*(t-r) - (b-a)*(r-1))
		q = (t - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		q = -q
	}
	p = math.Abs(p)
	if 2*p < math.Min(3*half*q-math.Abs(tol*q), math.Abs(before*q)) {
		return p / q, step
	}
	return half, half
}

// Newton finds a root of an increasing function between lo and hi from a start
// x, halving the bracket whenever a Newton step would leave it. f returns the
// value and the slope. It stops when a step is smaller than xtol.
func Newton(f func(float64) (value, slope float64), x, lo, hi, xtol float64) (float64, error) {
	for i := 0; i < maxIterations; i++ {
		y, slope := f(x)
		switch {
		case y == 0:
			return x, nil
		case y < 0:
			lo = x
		case y > 0:
			hi = x
		default:
			return 0, &ConvergenceError{"Newton", i, y}
		}
		next := x - y/slope
		if !(next >= lo && next <= hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-x) <= xtol {
			return next, nil
		}
		x = next
	}
	y, _ := f(x)
	return 0, &ConvergenceError{"Newton", maxIterations, y}
}
