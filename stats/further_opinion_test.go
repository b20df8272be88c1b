package stats

import "math/rand/v2"

// furtherOpinions put the rest to SciPy and NumPy: each by another way than ours, or by
// its definition.
func furtherOpinions(random *rand.Rand, fatal func(error)) []opinion {
	n := 4 + random.IntN(9)
	x, y := normals(random, n, 100, 9), normals(random, n, 110, 12)
	p := random.Float64()
	one, err := OneSample(x, 95)
	fatal(err)
	interval := one.Interval(0.95)
	line, err := Line(x, y)
	fatal(err)
	slope := TTest{Estimate: line.Coefficients[1], SE: line.SE(1), DF: line.DF}
	slope.T = slope.Estimate / slope.SE
	sample := opinion{Kind: "sample", X: x, Y: y, P: p, rel: 1e-9, ours: []float64{Mean(x), SD(x), Median(x), Quantile(x, p), Correlation(x, y), one.P(TwoSided), interval.Low, interval.High,
		HodgesLehmann(x, y), slope.Estimate, slope.SE, slope.P(TwoSided)}}

	ps := make([]float64, 7)
	for i := range ps {
		ps[i] = random.Float64() * random.Float64()
	}
	holm := opinion{Kind: "holm", X: ps, rel: 1e-12, ours: Holm(ps)}

	k, cv, e, power := 3+random.IntN(20), 0.05+0.3*random.Float64(), 0.05+0.2*random.Float64(), 0.6+0.35*random.Float64()
	size := opinion{Kind: "size", N: k, T: cv, DF: e, P: power, rel: 1e-7, ours: []float64{DetectableDifference(float64(k), 0.05, power), SampleSizePaired(e, cv, 0.05, power), NormalSizeTwoSample(cv, e, 0.05, power), NormalSizePaired(cv, e, 0.05, power),
		float64(SizeForPrecision(cv, e, 0.95)), RelativeHalfWidth(k, 0.95), ZeroDefectBound(k, 0.95), SmallestP(k, k+2)}}
	return []opinion{sample, holm, size, lawOpinion(random, fatal)}
}

// lawOpinion puts the law of propagation of correlated inputs to matrix arithmetic.
func lawOpinion(random *rand.Rand, fatal func(error)) opinion {
	at := []float64{2 + random.Float64(), 3 + random.Float64(), 4 + random.Float64()}
	u := []float64{0.001 + 0.01*random.Float64(), 0.001 + 0.01*random.Float64(), 0.001 + 0.01*random.Float64()}
	r := 1.6*random.Float64() - 0.8
	inputs := make([]Input, 3)
	for i := range inputs {
		inputs[i] = Input{Name: "x", Value: at[i], U: u[i]}
	}
	b, err := Propagate(func(v []float64) float64 { return v[0] * v[1] / v[2] }, inputs, []Correlated{{0, 1, r}})
	fatal(err)
	return opinion{Kind: "law", X: at, Y: u, P: r, rel: 1e-6, ours: []float64{b.Value, b.U}}
}
