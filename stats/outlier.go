package stats

import "math"

// Outlier is the value farthest from the mean and how unlikely it is.
type Outlier struct {
	Index    int
	G        float64 // |x-x̄|/s
	Critical float64 // two-sided critical value at the level asked
	Suspect  bool    // G above Critical
}

// Grubbs looks for one outlier among normal values, two-sided at level alpha
// (grubbs1969outlying). It needs three values; below six it has next to no power.
func Grubbs(x []float64, alpha float64) (Outlier, error) {
	if err := check(x, 3); err != nil {
		return Outlier{}, err
	}
	m, s := Mean(x), SD(x)
	o := Outlier{Critical: GrubbsCritical(len(x), alpha/2)}
	for i, v := range x {
		if g := math.Abs(v-m) / s; g > o.G {
			o.Index, o.G = i, g
		}
	}
	o.Suspect = o.G > o.Critical
	return o, nil
}

// GrubbsCritical is the critical value of (max-mean)/s at one-sided level
// alpha: (n-1)/√n·√(t²/(n-2+t²)), t = t_{1-alpha/n, n-2}; give alpha/2 for the
// two-sided test (nist2012handbook 1.3.5.17.1).
func GrubbsCritical(n int, alpha float64) float64 {
	k := float64(n)
	t := TQuantile(1-alpha/k, k-2)
	return (k - 1) / math.Sqrt(k) * math.Sqrt(t*t/(k-2+t*t))
}
