package stats

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Statistic makes one number of one or more samples. It must not keep or
// change them.
type Statistic func(samples [][]float64) float64

// Resampling is the result of a bootstrap.
type Resampling struct {
	Estimate   float64
	SE         float64
	Percentile Interval
	BCa        Interval // bias-corrected and accelerated
	Draws      int
}

// NewRand is the seeded generator of this package (PCG).
func NewRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)) }

// Bootstrap draws each sample anew with replacement and gives percentile and
// BCa intervals (efron1987better). The acceleration of several samples is that
// of their pooled jackknife influences, each scaled by its sample size
// (efron1993introduction, chapter 14 and 22). Intervals from fewer than about
// eight values a sample are too narrow; [Fieller] and [LogRatio] are not.
func Bootstrap(samples [][]float64, f Statistic, draws int, level float64, seed uint64) (Resampling, error) {
	for _, s := range samples {
		if err := check(s, 2); err != nil {
			return Resampling{}, err
		}
	}
	if len(samples) == 0 || draws < 100 || !(level > 0 && level < 1) {
		return Resampling{}, fmt.Errorf("%w: %d draws at level %g", ErrRange, draws, level)
	}
	r := Resampling{Estimate: f(samples), Draws: draws}
	replicates := resample(samples, f, draws, NewRand(seed))
	r.SE = SD(replicates)
	slices.Sort(replicates)
	tail := (1 - level) / 2
	r.Percentile = Interval{quantileSorted(replicates, tail), quantileSorted(replicates, 1-tail), level}

	bias := NormalQuantile(fractionBelow(replicates, r.Estimate))
	a := acceleration(samples, f)
	adjust := func(p float64) float64 {
		z := bias + NormalQuantile(p)
		return NormalCDF(bias + z/(1-a*z))
	}
	r.BCa = r.Percentile
	if !math.IsInf(bias, 0) {
		r.BCa = Interval{quantileSorted(replicates, adjust(tail)), quantileSorted(replicates, adjust(1-tail)), level}
	}
	return r, nil
}

func resample(samples [][]float64, f Statistic, draws int, random *rand.Rand) []float64 {
	drawn := make([][]float64, len(samples))
	for i, s := range samples {
		drawn[i] = make([]float64, len(s))
	}
	replicates := make([]float64, draws)
	for k := range replicates {
		for i, s := range samples {
			for j := range drawn[i] {
				drawn[i][j] = s[random.IntN(len(s))]
			}
		}
		replicates[k] = f(drawn)
	}
	return replicates
}

// fractionBelow counts values equal to v as half below.
func fractionBelow(sorted []float64, v float64) float64 {
	below, _ := slices.BinarySearch(sorted, v)
	upTo := below
	for upTo < len(sorted) && sorted[upTo] == v {
		upTo++
	}
	return (float64(below) + float64(upTo)) / 2 / float64(len(sorted))
}

func acceleration(samples [][]float64, f Statistic) float64 {
	var cubes, squares float64
	left := slices.Clone(samples)
	for i, s := range samples {
		n := len(s)
		without := make([]float64, n-1)
		values := make([]float64, n)
		for j := range s {
			copy(without, s[:j])
			copy(without[j:], s[j+1:])
			left[i] = without
			values[j] = f(left)
		}
		left[i] = s
		m := Mean(values)
		for _, v := range values {
			influence := float64(n-1) * (m - v) / float64(n)
			cubes += influence * influence * influence
			squares += influence * influence
		}
	}
	if squares == 0 {
		return 0
	}
	return cubes / (6 * math.Pow(squares, 1.5))
}
