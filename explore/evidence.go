package explore

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// observed is one measured value among others.
type observed struct {
	quantity Quantity
	stove    string
	log      float64 // logarithm of the value
	u        float64 // relative standard uncertainty of the measurement
}

// evidence is what was measured, and how its misses hang together: a measured
// logarithm is the model's, plus a bias of the model that all tests of a quantity
// share (half of its variance over all stoves, half with each stove alone), plus
// the scatter from test to test, plus the uncertainty of the measurement. The bias
// is what Kennedy and O'Hagan (key kennedy2001bayesian) call model discrepancy: it
// keeps the coefficients from being bent until they explain everything.
type evidence []observed

// shared is the covariance of the bias of two observations, per unit variance.
func shared(a, b observed) float64 {
	switch {
	case a.quantity != b.quantity:
		return 0
	case a.stove != b.stove:
		return 0.5
	}
	return 1
}

// factor is the Cholesky factor of the covariance of the misses.
func (e evidence) factor(scatter, bias float64) (*mat.Cholesky, bool) {
	k := mat.NewSymDense(len(e), nil)
	for i := range e {
		for j := i; j < len(e); j++ {
			v := bias * bias * shared(e[i], e[j])
			if i == j {
				v += scatter*scatter + e[i].u*e[i].u
			}
			k.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	ok := chol.Factorize(k)
	return &chol, ok
}

// misses are measured less foretold logarithms.
func (e evidence) misses(foretold []float64) *mat.VecDense {
	r := mat.NewVecDense(len(e), nil)
	for i := range e {
		r.SetVec(i, e[i].log-foretold[i])
	}
	return r
}

// logLikelihood is that of what the model foretells.
func (e evidence) logLikelihood(foretold []float64, scatter, bias float64) float64 {
	chol, ok := e.factor(scatter, bias)
	if !ok {
		return math.Inf(-1)
	}
	r := e.misses(foretold)
	var x mat.VecDense
	if chol.SolveVecTo(&x, r) != nil {
		return math.Inf(-1)
	}
	return -(mat.Dot(r, &x) + chol.LogDet()) / 2
}

// next is what the misses so far say of the miss of a new observation: its mean
// and standard deviation, measurement included.
func (e evidence) next(foretold []float64, scatter, bias float64, o observed) (mean, sd float64) {
	variance := bias*bias + scatter*scatter + o.u*o.u
	if len(e) == 0 {
		return 0, math.Sqrt(variance)
	}
	chol, ok := e.factor(scatter, bias)
	if !ok {
		return 0, math.Sqrt(variance)
	}
	k := mat.NewVecDense(len(e), nil)
	for i := range e {
		k.SetVec(i, bias*bias*shared(e[i], o))
	}
	var x mat.VecDense
	if chol.SolveVecTo(&x, k) != nil {
		return 0, math.Sqrt(variance)
	}
	return mat.Dot(&x, e.misses(foretold)), math.Sqrt(math.Max(variance-mat.Dot(&x, k), 0))
}
