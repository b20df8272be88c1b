package explore

import (
	"math"

	"stovewright/internal/num"
	"stovewright/stats"
)

// Index is a sensitivity index with its interval from independent replicates. A
// first-order index is the share of the variance that knowing this factor alone
// would take away; a total index the share that stays when all others are known.
type Index struct {
	Value     float64
	Low, High float64 // 95 % interval; as Value with a single replicate
}

// saltelli is a quasi-random design for the indices of factors, each a set of
// columns of the unit cube (Saltelli and others, key saltelli2010variance): rows
// A and B, and for each factor A with the factor's columns taken from B.
type saltelli struct {
	dims    int
	factors [][]int
	sobol   *num.Sobol
}

func newSaltelli(dims int, factors [][]int, seed uint64) (*saltelli, error) {
	s, err := num.NewSobol(2*dims, mix(seed)|1)
	if err != nil {
		return nil, err
	}
	return &saltelli{dims, factors, s}, nil
}

// row calls f for the points of one row: A, B and each mixture.
func (d *saltelli) row(i int, f func(u []float64)) {
	both := make([]float64, 2*d.dims)
	d.sobol.At(uint32(i), both)
	for k := range both { // the middle of the cell: no coordinate is 0
		both[k] += 0.5 / (1 << 32)
	}
	a, b := both[:d.dims], both[d.dims:]
	f(a)
	f(b)
	mixed := make([]float64, d.dims)
	for _, columns := range d.factors {
		copy(mixed, a)
		for _, c := range columns {
			mixed[c] = b[c]
		}
		f(mixed)
	}
}

// evaluations is how many points a row has.
func (d *saltelli) evaluations() int { return 2 + len(d.factors) }

// sums gathers the rows of one output. Rows with a NaN are left out and counted.
type sums struct {
	n, lost     int
	shift       float64 // taken off every output, so that squares keep their digits
	f, ff       float64 // over A and B
	first, rest []float64
}

func newSums(factors int) *sums {
	return &sums{first: make([]float64, factors), rest: make([]float64, factors)}
}

// add takes the outputs of one row in the order of saltelli.row.
func (s *sums) add(y []float64) {
	for _, v := range y {
		if math.IsNaN(v) {
			s.lost++
			return
		}
	}
	if s.n == 0 {
		s.shift = (y[0] + y[1]) / 2
	}
	s.n++
	a, b := y[0]-s.shift, y[1]-s.shift
	s.f += a + b
	s.ff += a*a + b*b
	for k := range s.first {
		m := y[2+k] - s.shift
		s.first[k] += b * (m - a)
		s.rest[k] += (a - m) * (a - m)
	}
}

// indices are those of Saltelli's first-order estimator, mean of f(B)(f(AB)-f(A))
// over the variance (key saltelli2010variance), and of Jansen's total one, half
// the mean of (f(A)-f(AB))² over the variance (key jansen1999analysis).
func (s *sums) indices() (mean, variance float64, first, total []float64) {
	n := float64(s.n)
	m := s.f / (2 * n)
	variance = s.ff/(2*n) - m*m
	for k := range s.first {
		first = append(first, s.first[k]/n/variance)
		total = append(total, s.rest[k]/(2*n)/variance)
	}
	return m + s.shift, variance, first, total
}

// replicated is the mean of independent replicates with its interval by Student's
// t.
func replicated(x []float64) Index {
	i := Index{Value: stats.Mean(x)}
	i.Low, i.High = i.Value, i.Value
	if n := len(x); n > 1 {
		half := stats.SD(x) / math.Sqrt(float64(n)) * stats.TQuantile(0.975, float64(n-1))
		i.Low, i.High = i.Value-half, i.Value+half
	}
	return i
}

// SobolIndices are the first-order and total indices of every input of a function
// on the unit cube, from replicates of a design of so many rows (best a power of
// two), with seeds of their own.
func SobolIndices(f func(u []float64) float64, dims, rows, replicates int, seed uint64) (first, total []Index, err error) {
	factors := make([][]int, dims)
	for k := range factors {
		factors[k] = []int{k}
	}
	firsts, totals := make([][]float64, dims), make([][]float64, dims)
	for r := range replicates {
		d, err := newSaltelli(dims, factors, seed+uint64(r))
		if err != nil {
			return nil, nil, err
		}
		s := newSums(dims)
		for i := range rows {
			y := make([]float64, 0, d.evaluations())
			d.row(i, func(u []float64) { y = append(y, f(u)) })
			s.add(y)
		}
		_, _, one, all := s.indices()
		for k := range dims {
			firsts[k], totals[k] = append(firsts[k], one[k]), append(totals[k], all[k])
		}
	}
	for k := range dims {
		first, total = append(first, replicated(firsts[k])), append(total, replicated(totals[k]))
	}
	return first, total, nil
}
