package stats

import (
	"math"

	"stovewright/internal/num"
)

// PowerTwoSample is the chance that a two-sided pooled t test at level alpha
// shows a true difference between two groups of n values each and standard
// deviation sd. It is exact, by the noncentral t distribution with
// ncp = (difference/sd)·√(n/2), df = 2(n-1), both tails counted
// (johnson1995continuous). n need not be whole; n > 1.
func PowerTwoSample(n, difference, sd, alpha float64) float64 {
	return power(2*(n-1), math.Abs(difference)/sd*math.Sqrt(n/2), alpha)
}

// PowerPaired is the power of a paired t test on n pairs whose differences
// have standard deviation sd: ncp = (difference/sd)·√n, df = n-1.
func PowerPaired(n, difference, sd, alpha float64) float64 {
	return power(n-1, math.Abs(difference)/sd*math.Sqrt(n), alpha)
}

func power(df, ncp, alpha float64) float64 {
	critical := TQuantile(1-alpha/2, df)
	return 1 - NoncentralTCDF(critical, df, ncp) + NoncentralTCDF(-critical, df, ncp)
}

// SampleSizeTwoSample is the number in each group at which [PowerTwoSample]
// reaches the power asked; not rounded, at least 2. NaN if the arguments admit
// none (difference of zero, power not above alpha and below 1).
func SampleSizeTwoSample(difference, sd, alpha, power float64) float64 {
	return solveSize(alpha, power, difference/sd, func(n float64) float64 { return PowerTwoSample(n, difference, sd, alpha) })
}

// SampleSizePaired is the number of pairs at which [PowerPaired] reaches the
// power asked; not rounded, at least 2.
func SampleSizePaired(difference, sd, alpha, power float64) float64 {
	return solveSize(alpha, power, difference/sd, func(n float64) float64 { return PowerPaired(n, difference, sd, alpha) })
}

// Whole rounds a sample size up to whole tests; a hair above a whole number
// (1e-9) counts as that number.
func Whole(n float64) int { return int(math.Ceil(n - 1e-9)) }

func solveSize(alpha, target, effect float64, powerAt func(float64) float64) float64 {
	if !(effect != 0) || math.IsNaN(effect) || !(target > alpha && target < 1) || !(alpha > 0) {
		return math.NaN()
	}
	low, high := 2.0, 4.0
	if powerAt(low) >= target {
		return low
	}
	for powerAt(high) < target {
		low, high = high, 2*high
		if high > 1e9 {
			return math.NaN()
		}
	}
	n, err := num.Brent(func(n float64) float64 { return powerAt(n) - target }, low, high, 1e-9)
	if err != nil {
		return math.NaN()
	}
	return n
}

// DetectableDifference is the difference, in standard deviations, that n
// values in each of two groups show with the power asked (two-sided).
func DetectableDifference(n, alpha, power float64) float64 {
	if !(n > 1) || !(power > alpha && power < 1) || !(alpha > 0) {
		return math.NaN()
	}
	high := 1.0
	for PowerTwoSample(n, high, 1, alpha) < power {
		high *= 2
	}
	d, err := num.Brent(func(d float64) float64 { return PowerTwoSample(n, d, 1, alpha) - power }, 0, high, 1e-10)
	if err != nil {
		return math.NaN()
	}
	return d
}

// NormalSizeTwoSample is the textbook number in each group,
// n = 2(z_{1-alpha/2}+z_power)²·cv²/d², for a difference d as a fraction of the
// base mean and a coefficient of variation cv. It falls short by one or two
// tests against [SampleSizeTwoSample] when n is small. Source: julious2004sample.
func NormalSizeTwoSample(cv, d, alpha, power float64) float64 {
	return 2 * NormalSizePaired(cv, d, alpha, power)
}

// NormalSizePaired is the textbook number of pairs, n = (z+z)²·cv²/d², where cv
// is the standard deviation of the differences over the base mean.
func NormalSizePaired(cv, d, alpha, power float64) float64 {
	z := NormalQuantile(1-alpha/2) + NormalQuantile(power)
	return z * z * cv * cv / (d * d)
}

// SizeForPrecision is the smallest number of tests whose expected confidence
// interval is no wider than ± e of the mean: t_{n-1}·cv/√n ≤ e. At least 2.
func SizeForPrecision(cv, e, level float64) int {
	if !(cv >= 0 && e > 0 && level > 0 && level < 1) {
		return 0
	}
	wide := func(n int) bool { return RelativeHalfWidth(n, level)*cv > e }
	low, high := 1, 2
	for wide(high) {
		low, high = high, 2*high
	}
	for high-low > 1 {
		if mid := (low + high) / 2; wide(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// RelativeHalfWidth is the half width of the confidence interval of a mean of n
// values, in standard deviations: t_{n-1}/√n.
func RelativeHalfWidth(n int, level float64) float64 {
	return TQuantile(0.5+level/2, float64(n-1)) / math.Sqrt(float64(n))
}

// DesignEffect is the factor by which clusters of k correlated values raise a
// sample size, 1+(k-1)·icc (kish1965survey).
func DesignEffect(k, icc float64) float64 { return 1 + (k-1)*icc }

// WithAttrition raises a sample size so that n remain after a fraction is lost.
func WithAttrition(n, loss float64) float64 { return n / (1 - loss) }

// FinitePopulation lowers a sample size for a small population of size all,
// n/(1+(n-1)/all) (kish1965survey).
func FinitePopulation(n, all float64) float64 { return n / (1 + (n-1)/all) }
