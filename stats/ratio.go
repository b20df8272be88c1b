package stats

import (
	"fmt"
	"math"
)

// Ratio is a ratio of means, new over base, with its interval. The saving is
// 1-Ratio, with the limits exchanged.
type Ratio struct {
	Value    float64
	Interval Interval // ±Inf where no finite limit exists
	DF       float64
	Finite   bool // false: the base cannot be told from zero at this level
}

// Saving turns a ratio into the fraction saved.
func (r Ratio) Saving() (float64, Interval) {
	return 1 - r.Value, Interval{1 - r.Interval.High, 1 - r.Interval.Low, r.Interval.Level}
}

// ratioDF is the Welch-Satterthwaite number of degrees of freedom with the
// squared relative standard errors as the two variances.
func ratioParts(base, new []float64) (relBase, relNew, df float64, err error) {
	if err = checkBoth(base, new, 2); err != nil {
		return
	}
	mb, mn := Mean(base), Mean(new)
	if !(mb > 0 && mn > 0) {
		return 0, 0, 0, fmt.Errorf("%w: a ratio needs positive means, got %g and %g", ErrRange, mb, mn)
	}
	relBase = variance(base) / float64(len(base)) / (mb * mb)
	relNew = variance(new) / float64(len(new)) / (mn * mn)
	return relBase, relNew, welchDF(relBase, float64(len(base)-1), relNew, float64(len(new)-1)), nil
}

// LogRatio gives the interval of mean(new)/mean(base) by the delta method on
// the logarithm: limits R·exp(±t·√(CV²ₙ/n+CV²ᵦ/m)), t by Welch-Satterthwaite.
// Source: friedrich2008ratio. Both means must be positive.
func LogRatio(base, new []float64, level float64) (Ratio, error) {
	relBase, relNew, df, err := ratioParts(base, new)
	if err != nil {
		return Ratio{}, err
	}
	r := Ratio{Value: Mean(new) / Mean(base), DF: df, Finite: true}
	spread := math.Exp(TQuantile(0.5+level/2, df) * math.Sqrt(relBase+relNew))
	r.Interval = Interval{r.Value / spread, r.Value * spread, level}
	return r, nil
}

// Fieller gives the interval of mean(new)/mean(base) by Fieller's theorem for
// independent samples: g = t²·v_b/b̄², limits
// [R ± (t/b̄)·√(vₙ+R²v_b-g·vₙ)]/(1-g) with v = s²/n (fieller1954interval). For g ≥ 1
// there is no finite interval. The degrees of freedom are those of [LogRatio].
func Fieller(base, new []float64, level float64) (Ratio, error) {
	relBase, relNew, df, err := ratioParts(base, new)
	if err != nil {
		return Ratio{}, err
	}
	r := Ratio{Value: Mean(new) / Mean(base), DF: df}
	t := TQuantile(0.5+level/2, df)
	g := t * t * relBase
	if g >= 1 {
		r.Interval = Interval{math.Inf(-1), math.Inf(1), level}
		return r, nil
	}
	half := t * r.Value * math.Sqrt(relNew+relBase-g*relNew)
	r.Finite = true
	r.Interval = Interval{(r.Value - half) / (1 - g), (r.Value + half) / (1 - g), level}
	return r, nil
}

// PairedLogRatio gives the geometric mean of after/before with the interval of
// an ordinary paired t on the logarithms. All values must be positive.
func PairedLogRatio(before, after []float64, level float64) (Ratio, error) {
	if len(before) != len(after) {
		return Ratio{}, fmt.Errorf("%w: %d and %d", ErrUnequal, len(before), len(after))
	}
	logs := make([]float64, len(before))
	for i := range before {
		if !(before[i] > 0 && after[i] > 0) {
			return Ratio{}, fmt.Errorf("%w: a ratio of pairs needs positive values", ErrRange)
		}
		logs[i] = math.Log(after[i] / before[i])
	}
	t, err := OneSample(logs, 0)
	if err != nil {
		return Ratio{}, err
	}
	i := t.Interval(level)
	return Ratio{Value: math.Exp(t.Estimate), DF: t.DF, Finite: true,
		Interval: Interval{math.Exp(i.Low), math.Exp(i.High), level}}, nil
}
