package stats

import (
	"fmt"
	"math"
)

// Alternative says which side of "no difference" a test looks at.
type Alternative uint8

// The alternatives.
const (
	TwoSided Alternative = iota
	Less                 // the first is smaller
	Greater              // the first is larger
)

// Interval is a confidence interval at a level such as 0.90.
type Interval struct {
	Low, High float64
	Level     float64
}

// Contains reports whether v lies within the interval.
func (i Interval) Contains(v float64) bool { return v >= i.Low && v <= i.High }

// HalfWidth is half the length of the interval.
func (i Interval) HalfWidth() float64 { return (i.High - i.Low) / 2 }

// TTest is an estimate with a standard error that follows Student's t: a mean,
// or a difference of means (first minus second).
type TTest struct {
	Estimate float64
	SE       float64
	T        float64 // Estimate/SE, against the hypothesis that was asked
	DF       float64
}

// P is the probability of a T at least this far out if the hypothesis holds.
func (t TTest) P(alt Alternative) float64 {
	switch alt {
	case Less:
		return TCDF(t.T, t.DF)
	case Greater:
		return tUpper(t.T, t.DF)
	}
	return 2 * tUpper(math.Abs(t.T), t.DF)
}

// Interval is the two-sided confidence interval of the estimate.
func (t TTest) Interval(level float64) Interval {
	half := TQuantile(0.5+level/2, t.DF) * t.SE
	return Interval{t.Estimate - half, t.Estimate + half, level}
}

// Equivalence is the p value of the two one-sided tests that the estimate lies
// outside low…high: a small value shows that it lies inside (schuirmann1987equivalence).
func (t TTest) Equivalence(low, high float64) float64 {
	return math.Max(tUpper(ratio(t.Estimate-low, t.SE), t.DF), TCDF(ratio(t.Estimate-high, t.SE), t.DF))
}

// ratio divides by a standard error that may be zero when readings are equal.
func ratio(difference, se float64) float64 {
	if se == 0 && difference == 0 {
		return 0
	}
	return difference / se
}

// OneSample tests a mean against mu: t = (x̄-mu)/(s/√n), df = n-1 (student1908mean).
// It needs two values.
func OneSample(x []float64, mu float64) (TTest, error) {
	if err := check(x, 2); err != nil {
		return TTest{}, err
	}
	t := TTest{Estimate: Mean(x), SE: SD(x) / math.Sqrt(float64(len(x))), DF: float64(len(x) - 1)}
	t.T = ratio(t.Estimate-mu, t.SE)
	return t, nil
}

// Paired tests the mean difference x-y of pairs (student1908mean).
func Paired(x, y []float64) (TTest, error) {
	if len(x) != len(y) {
		return TTest{}, fmt.Errorf("%w: %d and %d", ErrUnequal, len(x), len(y))
	}
	d := make([]float64, len(x))
	for i := range x {
		d[i] = x[i] - y[i]
	}
	return OneSample(d, 0)
}

// Welch compares two means without assuming equal scatter, the default for two
// stoves: t = (x̄-ȳ)/√(a+b), df = (a+b)²/(a²/(n-1)+b²/(m-1)), a = s²ₓ/n,
// b = s²ᵧ/m (welch1947generalization). Each sample needs two values.
func Welch(x, y []float64) (TTest, error) {
	if err := checkBoth(x, y, 2); err != nil {
		return TTest{}, err
	}
	a, b := variance(x)/float64(len(x)), variance(y)/float64(len(y))
	t := TTest{Estimate: Mean(x) - Mean(y), SE: math.Sqrt(a + b)}
	t.DF = welchDF(a, float64(len(x)-1), b, float64(len(y)-1))
	t.T = ratio(t.Estimate, t.SE)
	return t, nil
}

// welchDF is the Welch-Satterthwaite number of degrees of freedom of the sum
// of two independent variances.
func welchDF(a, dfA, b, dfB float64) float64 {
	if a+b == 0 {
		return dfA + dfB
	}
	return (a + b) * (a + b) / (a*a/dfA + b*b/dfB)
}

// Pooled compares two means assuming equal scatter, df = n+m-2.
func Pooled(x, y []float64) (TTest, error) {
	if err := checkBoth(x, y, 1); err != nil {
		return TTest{}, err
	}
	n, m := float64(len(x)), float64(len(y))
	if n+m < 3 {
		return TTest{}, ErrTooFew
	}
	squares := 0.0
	for _, s := range [][]float64{x, y} {
		if len(s) > 1 {
			squares += variance(s) * float64(len(s)-1)
		}
	}
	t := TTest{Estimate: Mean(x) - Mean(y), DF: n + m - 2}
	t.SE = math.Sqrt(squares / t.DF * (1/n + 1/m))
	t.T = ratio(t.Estimate, t.SE)
	return t, nil
}

func checkBoth(x, y []float64, atLeast int) error {
	if err := check(x, atLeast); err != nil {
		return err
	}
	return check(y, atLeast)
}
