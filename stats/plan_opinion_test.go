package stats

import "math/rand/v2"

// planOpinions put power, equivalence, ratios, outliers and agreement to SciPy,
// each by its definition on random data.
func planOpinions(random *rand.Rand, fatal func(error)) []opinion {
	n := float64(3 + random.IntN(30))
	difference, sd := 0.2+2*random.Float64(), 0.5+random.Float64()
	power := opinion{Kind: "power", T: n, DF: difference, NCP: sd, P: 0.05, rel: 1e-8,
		ours: []float64{PowerTwoSample(n, difference, sd, 0.05), PowerPaired(n, difference, sd, 0.05)}}
	need := SampleSizeTwoSample(difference, sd, 0.05, 0.8) // the power at it is what was asked
	if need > 2.001 {
		power.ours = append(power.ours, PowerTwoSample(need, difference, sd, 0.05))
	} else {
		power.ours, need = append(power.ours, PowerTwoSample(2, difference, sd, 0.05)), 2
	}
	power.X = []float64{need}

	x, y := normals(random, 4+random.IntN(6), 100, 9), normals(random, 4+random.IntN(6), 80, 12)
	welch, err := Welch(y, x)
	fatal(err)
	logs, err := LogRatio(x, y, 0.95)
	fatal(err)
	fieller, err := Fieller(x, y, 0.95)
	fatal(err)
	ratio := opinion{Kind: "ratio", X: x, Y: y, T: -30, DF: 5, rel: 1e-8,
		ours: []float64{welch.Equivalence(-30, 5), logs.Interval.Low, logs.Interval.High, fieller.Interval.Low, fieller.Interval.High}}

	k := min(len(x), len(y))
	pairs, err := PairedLogRatio(x[:k], y[:k], 0.9)
	fatal(err)
	signed, err := SignedRank(x[:k], y[:k])
	fatal(err)
	paired := opinion{Kind: "pairs", X: x[:k], Y: y[:k], rel: 1e-9, ours: []float64{pairs.Value, pairs.Interval.Low, pairs.Interval.High, signed.P(TwoSided), signed.P(Greater)}}

	grubbs, err := Grubbs(x, 0.05)
	fatal(err)
	outlier := opinion{Kind: "outlier", X: x, rel: 1e-9, ours: []float64{grubbs.G, grubbs.Critical, float64(grubbs.Index)}}

	a, b := make([]int, 10), make([]int, 10)
	fa, fb := make([]float64, 10), make([]float64, 10)
	for i := range a {
		a[i] = 1 + random.IntN(4)
		b[i] = min(4, max(1, a[i]+random.IntN(3)-1))
		fa[i], fb[i] = float64(a[i]), float64(b[i])
	}
	kappa, err := WeightedKappa(a, b, 4)
	fatal(err)
	groups := [][]float64{normals(random, 5, 10, 1), normals(random, 5, 11, 1), normals(random, 5, 12, 1)}
	icc, err := IntraclassCorrelation(groups...)
	fatal(err)
	agree := opinion{Kind: "agree", X: fa, Y: fb, rel: 1e-9, ours: []float64{kappa}}
	alike := opinion{Kind: "alike", X: append(append(append([]float64{}, groups[0]...), groups[1]...), groups[2]...), K: 5, rel: 1e-9, ours: []float64{icc}}
	return []opinion{power, ratio, paired, outlier, agree, alike}
}
