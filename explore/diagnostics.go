package explore

import (
	"math"

	"stovewright/stats"
)

// Mixing tells whether chains have forgotten where they began.
type Mixing struct {
	RHat float64 // 1 when chains agree; above 1.05 they do not
	ESS  float64 // independent draws that the draws are worth
}

// Mix judges chains of equal length: the potential scale reduction of chains cut
// in halves, and the effective sample size by their autocorrelations, summed in
// pairs while those stay positive and falling (Gelman and others, key
// gelman2013bayesian, sections 11.4 and 11.5).
func Mix(chains [][]float64) Mixing {
	var halves [][]float64
	for _, c := range chains {
		h := len(c) / 2
		halves = append(halves, c[:h], c[len(c)-h:])
	}
	m, n := float64(len(halves)), float64(len(halves[0]))
	means, within := make([]float64, len(halves)), 0.0
	for i, c := range halves {
		means[i] = stats.Mean(c)
		sd := stats.SD(c)
		within += sd * sd / m
	}
	between := stats.SD(means)
	variance := (n-1)/n*within + between*between
	if within == 0 {
		return Mixing{RHat: math.Inf(1), ESS: 1}
	}
	return Mixing{RHat: math.Sqrt(variance / within), ESS: effective(halves, variance, m*n)}
}

// effective is the effective sample size of chains by their variograms.
func effective(chains [][]float64, variance, all float64) float64 {
	n := len(chains[0])
	correlation := func(lag int) float64 {
		sum, count := 0.0, 0
		for _, c := range chains {
			for i := lag; i < n; i++ {
				sum += (c[i] - c[i-lag]) * (c[i] - c[i-lag])
				count++
			}
		}
		return 1 - sum/float64(count)/(2*variance)
	}
	tau, last := -1.0, math.Inf(1)
	for lag := 0; lag+1 < n; lag += 2 {
		pair := correlation(lag) + correlation(lag+1)
		if lag == 0 {
			pair = 1 + correlation(1)
		}
		if pair <= 0 {
			break
		}
		last = math.Min(last, pair)
		tau += 2 * last
	}
	return math.Min(all, all/math.Max(tau, 1/math.Log10(all)))
}
