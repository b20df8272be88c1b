package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ClopperPearson is the exact two-sided interval of a proportion, k of n
// (clopper1934fiducial). It covers at least its level.
func ClopperPearson(k, n int, level float64) (Interval, error) {
	if k < 0 || n < 1 || k > n || !(level > 0 && level < 1) {
		return Interval{}, fmt.Errorf("%w: %d of %d", ErrRange, k, n)
	}
	a := (1 - level) / 2
	i := Interval{0, 1, level}
	if k > 0 {
		i.Low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), a)
	}
	if k < n {
		i.High = mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-a)
	}
	return i, nil
}

// ZeroDefectBound is the upper bound on the share of defectives when n pieces
// were looked at and none was bad: 1-(1-confidence)^(1/n) (hanley1983nothing).
func ZeroDefectBound(n int, confidence float64) float64 {
	return -math.Expm1(math.Log1p(-confidence) / float64(n))
}

// WeightedKappa is Cohen's kappa of two scorers with quadratic weights for
// scores of 1 to categories (cohen1968weighted): 1 is full agreement, 0 what
// chance would give. NaN if both gave one and the same score throughout.
func WeightedKappa(a, b []int, categories int) (float64, error) {
	if len(a) != len(b) || len(a) == 0 {
		return 0, fmt.Errorf("%w: %d and %d scores", ErrUnequal, len(a), len(b))
	}
	countA, countB := make([]float64, categories+1), make([]float64, categories+1)
	var seen float64
	for i := range a {
		if a[i] < 1 || a[i] > categories || b[i] < 1 || b[i] > categories {
			return 0, fmt.Errorf("%w: scores go from 1 to %d", ErrRange, categories)
		}
		countA[a[i]]++
		countB[b[i]]++
		seen += float64((a[i] - b[i]) * (a[i] - b[i]))
	}
	var expected float64
	for i, na := range countA {
		for j, nb := range countB {
			expected += float64((i-j)*(i-j)) * na * nb / float64(len(a))
		}
	}
	return 1 - seen/expected, nil
}
