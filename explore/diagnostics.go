package explore

import (
	"math"
	"sort"

	"stovewright/stats"
)

// Mixing tells whether chains have forgotten where they began (Vehtari, Gelman,
// Simpson, Carpenter and Bürkner, key vehtari2021rank).
type Mixing struct {
	RHat float64 // 1 when chains agree in place and in spread; above 1.01 they do not
	ESS  float64 // independent draws that the draws are worth for the middle
	Tail float64 // and for the ends of a nine-in-ten band
}

// Mix judges chains of equal length, cut in halves: the larger of the potential
// scale reductions of the draws and of their distances from the median, both by
// normal scores of their ranks, so that heavy tails do not hide anything; and the
// effective sample sizes of the scores, and of lying below the twentieth and the
// last twentieth of all draws.
func Mix(chains [][]float64) Mixing {
	var halves [][]float64
	var all []float64
	for _, c := range chains {
		h := len(c) / 2
		halves = append(halves, c[:h], c[len(c)-h:])
	}
	for _, c := range halves {
		all = append(all, c...)
	}
	sort.Float64s(all)
	median := stats.Quantile(all, 0.5)
	low, high := stats.Quantile(all, 0.05), stats.Quantile(all, 0.95)
	scores := normalScores(halves)
	far := normalScores(mapped(halves, func(x float64) float64 { return math.Abs(x - median) }))
	below := func(limit float64) [][]float64 {
		return mapped(halves, func(x float64) float64 {
			if x <= limit {
				return 1
			}
			return 0
		})
	}
	return Mixing{RHat: math.Max(scaleReduction(scores), scaleReduction(far)),
		ESS: effective(scores), Tail: math.Min(effective(below(low)), effective(below(high)))}
}

// mapped are chains of f of the draws.
func mapped(chains [][]float64, f func(float64) float64) [][]float64 {
	out := make([][]float64, len(chains))
	for i, c := range chains {
		for _, x := range c {
			out[i] = append(out[i], f(x))
		}
	}
	return out
}

// normalScores puts in place of each draw the normal quantile of its rank among
// all, draws that are equal sharing theirs.
func normalScores(chains [][]float64) [][]float64 {
	var all []float64
	for _, c := range chains {
		all = append(all, c...)
	}
	sort.Float64s(all)
	n := float64(len(all))
	return mapped(chains, func(x float64) float64 {
		first := sort.SearchFloat64s(all, x)
		next := sort.SearchFloat64s(all, math.Nextafter(x, math.Inf(1)))
		rank := float64(first+next+1) / 2
		return stats.NormalQuantile((rank - 3.0/8) / (n + 1.0/4))
	})
}

// variances of chains: within them, and of all as if they had mixed (Gelman and
// others, key gelman2013bayesian, section 11.4).
func variances(chains [][]float64) (within, all float64) {
	m, n := float64(len(chains)), float64(len(chains[0]))
	means := make([]float64, len(chains))
	for i, c := range chains {
		means[i] = stats.Mean(c)
		sd := stats.SD(c)
		within += sd * sd / m
	}
	between := stats.SD(means)
	return within, (n-1)/n*within + between*between
}

func scaleReduction(chains [][]float64) float64 {
	within, all := variances(chains)
	if within == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(all / within)
}

// effective is the effective sample size of chains by their variograms: the
// autocorrelations are summed in pairs while those stay positive and falling
// (gelman2013bayesian, section 11.5).
func effective(chains [][]float64) float64 {
	n := len(chains[0])
	total := float64(n * len(chains))
	within, variance := variances(chains)
	if within == 0 {
		return 1
	}
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
	return math.Min(total, total/math.Max(tau, 1/math.Log10(total)))
}
