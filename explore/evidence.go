package explore

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"stovewright/quantity"
	"stovewright/stove"
)

// observed is one measured value among others.
type observed struct {
	quantity Quantity
	stove    string
	log      float64 // logarithm of the value
	u        float64 // relative standard uncertainty of the measurement
	at       place   // nil where only the stove's name is known
}

// evidence is what was measured, and how its misses hang together: a measured
// logarithm is the model's, plus a bias of the model that all tests of a quantity
// share (half of its variance over all stoves, half with stoves that are alike), plus
// the scatter from test to test, plus the uncertainty of the measurement. The bias
// is what Kennedy and O'Hagan (key kennedy2001bayesian) call model discrepancy: it
// keeps the coefficients from being bent until they explain everything.
type evidence []observed

// place is where a stove stands among all stoves: the logarithms of the dimensions
// that its fire feels, in the order of ChosenKeys; NaN for one that it lacks.
type place []float64

func placeOf(s *stove.Stove) place {
	var at place
	for _, id := range ChosenKeys {
		x := math.NaN()
		if d := s.Dimension(id); d != nil && d.Value.Unit.Dimension == quantity.Length {
			x = math.Log(d.Value.SI)
		}
		at = append(at, x)
	}
	return at
}

// reach is how far the bias of one stove reaches to others, as the logarithm of a
// dimension: of a stove with one dimension half as large again some six tenths of
// the own half are shared (judgement, key modelnote).
var reach = math.Log(1.5)

// alike is how much two stoves share of their own half of the bias: all where they
// are one, less and less as their dimensions differ.
func alike(a, b observed) float64 {
	if a.at == nil || b.at == nil {
		if a.stove == b.stove {
			return 1
		}
		return 0
	}
	far := 0.0
	for i := range a.at {
		switch one, other := math.IsNaN(a.at[i]), math.IsNaN(b.at[i]); {
		case one != other: // stoves of another kind
			return 0
		case !one && a.at[i] != b.at[i]:
			far += (a.at[i] - b.at[i]) * (a.at[i] - b.at[i])
		}
	}
	return math.Exp(-far / (2 * reach * reach))
}

// shared is the covariance of the bias of two observations, per unit variance.
func shared(a, b observed) float64 {
	if a.quantity != b.quantity {
		return 0
	}
	return (1 + alike(a, b)) / 2
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

// bias is what the misses so far say of the bias of the model elsewhere: its mean
// and covariance.
func (e evidence) bias(foretold []float64, scatter, bias float64, of []observed) (mean []float64, cov *mat.SymDense) {
	n := len(of)
	mean, cov = make([]float64, n), mat.NewSymDense(n, nil)
	for i := range of {
		for j := i; j < n; j++ {
			cov.SetSym(i, j, bias*bias*shared(of[i], of[j]))
		}
	}
	if len(e) == 0 {
		return mean, cov
	}
	chol, ok := e.factor(scatter, bias)
	if !ok {
		return mean, cov
	}
	cross := mat.NewDense(len(e), n, nil)
	for i := range e {
		for j := range of {
			cross.Set(i, j, bias*bias*shared(e[i], of[j]))
		}
	}
	var known mat.Dense
	if chol.SolveTo(&known, cross) != nil {
		return mean, cov
	}
	misses := e.misses(foretold)
	for i := range of {
		mean[i] = mat.Dot(known.ColView(i), misses)
		for j := i; j < n; j++ {
			cov.SetSym(i, j, cov.At(i, j)-mat.Dot(known.ColView(i), cross.ColView(j)))
		}
	}
	return mean, cov
}

// next is what the misses so far say of the miss of a new observation: its mean
// and standard deviation, measurement included.
func (e evidence) next(foretold []float64, scatter, bias float64, o observed) (mean, sd float64) {
	m, v := e.bias(foretold, scatter, bias, []observed{o})
	return m[0], math.Sqrt(math.Max(v.At(0, 0), 0) + scatter*scatter + o.u*o.u)
}
