package stats

import (
	"fmt"
	"math"
	"slices"
)

// exactPairs and exactTotal bound the exact rank distributions, which are
// counted in float64 without loss up to there: C(50,25) is below 2^53.
const (
	exactTotal = 50
	exactPairs = 50
)

// RankTest is a test by ranks. The exact p values are those of the permutation
// distribution given the ties; the normal ones carry a correction for ties and
// for continuity.
type RankTest struct {
	Statistic float64 // U of the first sample, or V, the sum of positive ranks
	Mean      float64 // of the statistic under "no difference"
	Ties      bool
	Z         float64 // two-sided, with continuity correction
	Exact     bool    // exact p values were counted
	sd        float64
	tails     [2]float64 // exact P(S ≤ s), P(S ≥ s)
}

// P is the exact p value where it was counted, else the normal one.
func (r RankTest) P(alt Alternative) float64 {
	if !r.Exact {
		return r.NormalP(alt)
	}
	switch alt {
	case Less:
		return r.tails[0]
	case Greater:
		return r.tails[1]
	}
	return math.Min(1, 2*math.Min(r.tails[0], r.tails[1]))
}

// NormalP is the p value of the normal approximation.
func (r RankTest) NormalP(alt Alternative) float64 {
	if r.sd == 0 {
		return 1
	}
	d := r.Statistic - r.Mean
	switch alt {
	case Less:
		return NormalCDF((d + 0.5) / r.sd)
	case Greater:
		return NormalCDF(-(d - 0.5) / r.sd)
	}
	return math.Min(1, 2*NormalCDF(-math.Abs(r.Z)))
}

func (r *RankTest) setZ() {
	d := r.Statistic - r.Mean
	if r.sd > 0 && d != 0 {
		r.Z = math.Copysign(math.Max(0, math.Abs(d)-0.5), d) / r.sd
	}
}

// SmallestP is the smallest two-sided exact p value that two samples of these
// sizes can reach without ties: 2/C(n+m, n). With three runs a stove it is
// 0.10, so that ranks can never show a difference at 5 %.
func SmallestP(n, m int) float64 { return math.Min(1, 2/choose(n+m, n)) }

func choose(n, k int) float64 {
	c := 1.0
	for i := 1; i <= min(k, n-k); i++ {
		c = c * float64(n-i+1) / float64(i)
	}
	return math.Round(c)
}

// MannWhitney compares two samples by ranks: U = #{x>y} + ½#{x=y}
// (mann1947ranks). Exact up to 50 values in all, ties included.
func MannWhitney(x, y []float64) (RankTest, error) {
	if err := checkBoth(x, y, 1); err != nil {
		return RankTest{}, err
	}
	n, m := float64(len(x)), float64(len(y))
	all := append(slices.Clone(x), y...)
	ranks, tieSum := doubledRanks(all)
	total := n + m
	r := RankTest{Mean: n * m / 2, Ties: tieSum > 0}
	r.sd = math.Sqrt(n * m / 12 * (total + 1 - tieSum/(total*(total-1))))
	twiceRankSum := 0
	for i := range x {
		twiceRankSum += ranks[i]
	}
	r.Statistic = float64(twiceRankSum)/2 - n*(n+1)/2
	r.setZ()
	if len(all) <= exactTotal {
		r.Exact = true
		r.tails = subsetTails(ranks, len(x), twiceRankSum)
	}
	return r, nil
}

// doubledRanks gives twice the mid-rank of each value, so that ties stay whole
// numbers, and Σ(t³-t) over the groups of ties.
func doubledRanks(x []float64) (ranks []int, tieSum float64) {
	order := ascending(x)
	ranks = make([]int, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			ranks[k] = i + j + 1 // twice the mean of ranks i+1 … j
		}
		t := float64(j - i)
		tieSum += t*t*t - t
		i = j
	}
	return ranks, tieSum
}

// subsetTails counts, over all ways to choose k of the ranks, how many sums
// are at most and at least the one seen, as fractions.
func subsetTails(ranks []int, k, seen int) [2]float64 {
	total := 0
	for _, r := range ranks {
		total += r
	}
	ways := make([][]float64, k+1) // ways[j][s]: choices of j ranks with sum s
	for j := range ways {
		ways[j] = make([]float64, total+1)
	}
	ways[0][0] = 1
	for _, r := range ranks {
		for j := k; j >= 1; j-- {
			for s := total; s >= r; s-- {
				ways[j][s] += ways[j-1][s-r]
			}
		}
	}
	return tails(ways[k], seen)
}

func tails(ways []float64, seen int) [2]float64 {
	all := Sum(ways)
	return [2]float64{Sum(ways[:seen+1]) / all, Sum(ways[seen:]) / all}
}

// SignedRank tests whether paired differences x-y are centred on zero: V is the
// sum of the ranks of the positive ones; zero differences are left out
// (wilcoxon1945ranking). Exact up to 50 pairs, ties included.
func SignedRank(x, y []float64) (RankTest, error) {
	if len(x) != len(y) {
		return RankTest{}, fmt.Errorf("%w: %d and %d", ErrUnequal, len(x), len(y))
	}
	if err := checkBoth(x, y, 1); err != nil {
		return RankTest{}, err
	}
	var sizes []float64
	var positive []bool
	for i := range x {
		if d := x[i] - y[i]; d != 0 {
			sizes = append(sizes, math.Abs(d))
			positive = append(positive, d > 0)
		}
	}
	if len(sizes) == 0 {
		return RankTest{Exact: true, tails: [2]float64{1, 1}}, nil
	}
	ranks, tieSum := doubledRanks(sizes)
	n := float64(len(sizes))
	r := RankTest{Mean: n * (n + 1) / 4, Ties: tieSum > 0}
	r.sd = math.Sqrt(n*(n+1)*(2*n+1)/24 - tieSum/48)
	twice := 0
	for i, rank := range ranks {
		if positive[i] {
			twice += rank
		}
	}
	r.Statistic = float64(twice) / 2
	r.setZ()
	if len(sizes) <= exactPairs {
		r.Exact = true
		r.tails = signTails(ranks, twice)
	}
	return r, nil
}

// signTails counts the sums of positive ranks over all patterns of signs.
func signTails(ranks []int, seen int) [2]float64 {
	total := 0
	for _, r := range ranks {
		total += r
	}
	ways := make([]float64, total+1)
	ways[0] = 1
	for _, r := range ranks {
		for s := total; s >= r; s-- {
			ways[s] += ways[s-r]
		}
	}
	return tails(ways, seen)
}

// HodgesLehmann is the median of all differences x-y: the shift between two
// samples that a stray reading hardly moves (hodges1963location).
func HodgesLehmann(x, y []float64) float64 {
	d := make([]float64, 0, len(x)*len(y))
	for _, a := range x {
		for _, b := range y {
			d = append(d, a-b)
		}
	}
	return Median(d)
}
