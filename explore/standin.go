package explore

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A stand-in of a model takes each of its outputs as quadratic in the parameters,
// these in standard deviations around the mean of the points, as whiten has them.

// terms calls f for each term of a quadratic, with its place.
func terms(x []float64, f func(k int, v float64)) {
	k := 0
	next := func(v float64) {
		f(k, v)
		k++
	}
	next(1)
	for i := range x {
		next(x[i])
		for j := range i + 1 {
			next(x[i] * x[j])
		}
	}
}

// termCount is the number of terms of a quadratic.
func termCount(dims int) int { return (dims + 1) * (dims + 2) / 2 }

// mostKnown is how many points a stand-in is fitted to: enough to average its
// misses, and no more, so that they are those near the posterior.
func mostKnown(dims int) int { return 6 * termCount(dims) }

// standIn is what stand-ins say at a point, the sum of their terms.
func standIn(of []Values, x []float64) []float64 {
	y := make([]float64, len(of))
	for i, c := range of {
		k := 1
		y[i] = c[0]
		for a := range x {
			slope := c[k]
			for b := range a + 1 {
				slope += c[k+1+b] * x[b]
			}
			y[i] += slope * x[a]
			k += a + 2
		}
	}
	return y
}

// stiffness holds the coefficients near zero where few points say anything of them
// (ridge regression: Hoerl and Kennard, key hoerl1970ridge): as much as one
// thousandth of the points would.
const stiffness = 1e-3

// fitStandIn fits stand-ins to the points that are known, leaving out those where
// the model had no answer.
func (s *Sampling) fitStandIn() []Values {
	n := termCount(s.Dims)
	normal := mat.NewSymDense(n, nil)
	right := mat.NewDense(n, s.Outputs, nil)
	row := make([]float64, n)
	used := 0.0
	for _, p := range s.Known {
		if !answered(p) {
			continue
		}
		used++
		terms(s.whiten(p[:s.Dims]), func(k int, v float64) { row[k] = v })
		normal.SymRankOne(normal, 1, mat.NewVecDense(n, row))
		for k := range row {
			for i := range s.Outputs {
				right.Set(k, i, right.At(k, i)+row[k]*p[s.Dims+i])
			}
		}
	}
	for k := range n {
		normal.SetSym(k, k, normal.At(k, k)+stiffness*(used+1))
	}
	fitted := make([]Values, s.Outputs)
	var chol mat.Cholesky
	var x mat.Dense
	ok := chol.Factorize(normal) && chol.SolveTo(&x, right) == nil
	for i := range fitted {
		fitted[i] = make(Values, n)
		for k := range fitted[i] {
			if ok {
				fitted[i][k] = x.At(k, i)
			}
		}
	}
	return fitted
}

// answered reports whether the model had an answer at a point.
func answered(p Values) bool {
	for _, v := range p {
		if math.IsNaN(v) || v <= leastLogL {
			return false
		}
	}
	return true
}
