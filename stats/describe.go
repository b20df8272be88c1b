package stats

import (
	"math"
	"slices"
)

// Summary describes one sample.
type Summary struct {
	N        int
	Mean     float64
	SD       float64 // sample standard deviation, divisor n-1; NaN for n = 1
	SE       float64 // standard error of the mean, SD/√n
	CV       float64 // coefficient of variation, SD/|mean|; NaN for a mean of zero
	Min, Max float64
}

// Describe summarises a sample of at least one value.
func Describe(x []float64) (Summary, error) {
	if err := check(x, 1); err != nil {
		return Summary{}, err
	}
	s := Summary{N: len(x), Mean: Mean(x), SD: SD(x), Min: slices.Min(x), Max: slices.Max(x)}
	s.SE = s.SD / math.Sqrt(float64(s.N))
	s.CV = math.NaN()
	if s.Mean != 0 {
		s.CV = s.SD / math.Abs(s.Mean)
	}
	return s, nil
}

// Sum adds with Neumaier's compensation, so that many small readings on a
// large one are not lost (neumaier1974rundung).
func Sum(x []float64) float64 {
	var sum, lost float64
	for _, v := range x {
		t := sum + v
		if math.Abs(sum) >= math.Abs(v) {
			lost += (sum - t) + v
		} else {
			lost += (v - t) + sum
		}
		sum = t
	}
	return sum + lost
}

// Mean is the arithmetic mean; NaN for an empty sample.
func Mean(x []float64) float64 { return Sum(x) / float64(len(x)) }

// SD is the sample standard deviation, divisor n-1, by the corrected two-pass
// algorithm (chan1983variance); NaN for fewer than two values.
func SD(x []float64) float64 { return math.Sqrt(variance(x)) }

func variance(x []float64) float64 {
	n := float64(len(x))
	if n < 2 {
		return math.NaN()
	}
	m := Mean(x)
	var squares, rest float64
	for _, v := range x {
		d := v - m
		squares += d * d
		rest += d
	}
	return math.Max(0, (squares-rest*rest/n)/(n-1))
}

// Median is the middle value, the mean of the middle two for an even count;
// NaN for an empty sample.
func Median(x []float64) float64 { return Quantile(x, 0.5) }

// Quantile interpolates linearly between order statistics at 1+(n-1)p
// (definition 7 of hyndman1996quantiles); NaN for an empty sample.
func Quantile(x []float64, p float64) float64 {
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	return quantileSorted(sorted, p)
}

func quantileSorted(sorted []float64, p float64) float64 {
	if len(sorted) == 0 || math.IsNaN(p) {
		return math.NaN()
	}
	at := math.Min(math.Max(p, 0), 1) * float64(len(sorted)-1)
	below := int(math.Floor(at))
	above := min(below+1, len(sorted)-1)
	return sorted[below] + (at-float64(below))*(sorted[above]-sorted[below])
}

// Lag1 is the lag-1 autocorrelation Σ(x_i-m)(x_{i+1}-m)/Σ(x_i-m)², the sign of
// drift in a series of runs. Definition as in niststrd1999summary. NaN for a constant
// series.
func Lag1(x []float64) float64 {
	m := Mean(x)
	products, squares := make([]float64, 0, len(x)), make([]float64, 0, len(x))
	for i, v := range x {
		squares = append(squares, (v-m)*(v-m))
		if i > 0 {
			products = append(products, (v-m)*(x[i-1]-m))
		}
	}
	return Sum(products) / Sum(squares)
}

// Correlation is Pearson's correlation coefficient of paired values; NaN when
// either is constant.
func Correlation(x, y []float64) float64 {
	mx, my := Mean(x), Mean(y)
	var xy, xx, yy float64
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
	}
	return xy / math.Sqrt(xx*yy)
}
