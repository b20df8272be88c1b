package explore

import (
	"math"
	"sort"
	"testing"

	"stovewright/stats"
)

// TestGaussianPosterior holds the sampler against a posterior that is known: a
// straight line through points with normal errors and a normal prior is normal,
// with precision I + XᵀX/σ² and mean of that inverse times Xᵀy/σ².
func TestGaussianPosterior(t *testing.T) {
	x := []float64{-1, -0.2, 0.4, 1.3}
	y := []float64{0.3, 0.9, 1.2, 2.4}
	const sigma = 0.2
	a, b, c := 1.0, 0.0, 1.0 // precision of intercept and slope
	p, q := 0.0, 0.0
	for i := range x {
		a += 1 / (sigma * sigma)
		b += x[i] / (sigma * sigma)
		c += x[i] * x[i] / (sigma * sigma)
		p += y[i] / (sigma * sigma)
		q += x[i] * y[i] / (sigma * sigma)
	}
	det := a*c - b*b
	mean := []float64{(c*p - b*q) / det, (a*q - b*p) / det}
	sd := []float64{math.Sqrt(c / det), math.Sqrt(a / det)}
	s := Sampling{Dims: 2, Points: 64, Sweeps: 60, Moves: 1, Seed: 3}
	if err := s.Sample(func(z []float64) float64 {
		l := 0.0
		for i := range x {
			r := (y[i] - z[0] - z[1]*x[i]) / sigma
			l -= r * r / 2
		}
		return l
	}); err != nil {
		t.Fatal(err)
	}
	for k := range mean {
		var all []float64
		for _, z := range s.draws() {
			all = append(all, z[k])
		}
		mix := Mix(s.chains(k))
		if mix.RHat > 1.02 || mix.ESS < 1000 || mix.Tail < 1000 {
			t.Errorf("parameter %d: %+v", k, mix)
		}
		if got := stats.Mean(all); math.Abs(got-mean[k]) > 4*sd[k]/math.Sqrt(mix.ESS) {
			t.Errorf("mean of %d: %v, want %v", k, got, mean[k])
		}
		if got := stats.SD(all); math.Abs(got/sd[k]-1) > 4/math.Sqrt(2*mix.ESS) {
			t.Errorf("sd of %d: %v, want %v", k, got, sd[k])
		}
		sort.Float64s(all)
		for _, share := range []float64{0.05, 0.5, 0.95} {
			want := mean[k] + sd[k]*stats.NormalQuantile(share)
			if got := stats.Quantile(all, share); math.Abs(got-want) > 0.25*sd[k] {
				t.Errorf("quantile %v of %d: %v, want %v", share, k, got, want)
			}
		}
	}
}

// TestTwoPeaks holds the sampler against a posterior of two peaks of unequal
// weight, which a single chain would not find: ½(z² - 4)² leaves the prior's
// symmetry but for the tilt z/2.
func TestTwoPeaks(t *testing.T) {
	f := func(z float64) float64 { return -2*(z*z-4)*(z*z-4)/4 + z/4 }
	upper, all := 0.0, 0.0
	for z := -5.0; z < 5; z += 0.001 { // by quadrature
		w := math.Exp(f(z) - z*z/2)
		all += w
		if z > 0 {
			upper += w
		}
	}
	s := Sampling{Dims: 1, Points: 400, Sweeps: 8, Moves: 4, Seed: 9}
	if err := s.Sample(func(z []float64) float64 { return f(z[0]) }); err != nil {
		t.Fatal(err)
	}
	count := 0.0
	for _, z := range s.At {
		if z[0] > 0 {
			count++
		}
	}
	if got, want := count/400, upper/all; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/400)*1.5 {
		t.Errorf("%v of the points sit on the upper peak, want %v", got, want)
	}
}

// TestSimulationBasedCalibration draws parameters from the prior, data from the
// parameters, and samples the posterior: the rank of the parameter among the draws
// must be even over all ranks (Talts and others, key talts2018). The model is
// nonlinear, with a scatter that is not known either.
func TestSimulationBasedCalibration(t *testing.T) {
	const replicates, bins = 240, 8
	model := func(z []float64, x float64) float64 {
		return math.Exp(0.5*z[0]) * (1 - math.Exp(-x*math.Exp(0.3*z[1])))
	}
	scatter := func(z []float64) float64 { return 0.1 * math.Exp(0.5*z[2]) }
	xs := []float64{0.3, 0.8, 1.5, 2.5, 4}
	var ranks [3][bins]float64
	each := make([][3]int, replicates)
	work(replicates, func(rep int) {
		r := stream(77, uint64(rep))
		truth := []float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		y := make([]float64, len(xs))
		for i, x := range xs {
			y[i] = model(truth, x) + scatter(truth)*r.NormFloat64()
		}
		s := Sampling{Dims: 3, Points: 63, Sweeps: 4, Moves: 2, Seed: uint64(rep) + 1}
		if err := s.Sample(func(z []float64) float64 {
			l, sd := 0.0, scatter(z)
			for i, x := range xs {
				e := (y[i] - model(z, x)) / sd
				l -= e*e/2 + math.Log(sd)
			}
			return l
		}); err != nil {
			t.Error(err)
		}
		for k := range 3 { // one draw of each chain: chains are independent, draws of one are not
			below := 0
			for _, z := range s.At {
				if z[k] < truth[k] {
					below++
				}
			}
			each[rep][k] = below * bins / 64
		}
	})
	for _, e := range each {
		for k, bin := range e {
			ranks[k][bin]++
		}
	}
	for k := range ranks {
		chi := 0.0
		for _, n := range ranks[k] {
			d := n - replicates/bins
			chi += d * d / (replicates / bins)
		}
		if chi > 24.3 { // χ² of 7 degrees of freedom, one in a thousand
			t.Errorf("ranks of parameter %d are uneven: %v, χ² %v", k, ranks[k], chi)
		}
	}
}

// TestUsualSettingsSettle holds the settings of a calibration against a posterior
// like its own, that of ten parameters of which two are spreads, seen through eight
// values of a bent model: they must settle by the limits past which a result is
// shown with a warning, and each draw must be worth much.
func TestUsualSettingsSettle(t *testing.T) {
	k := Calibration{Sampling: usualSampling(10, 6)}
	model := func(z []float64) []float64 {
		y := make([]float64, 8)
		for i := range y {
			y[i] = 0.15*z[i%4] + 0.05*z[7-i] + 0.02*z[i%4]*z[i%4] - 0.04*z[i%3]*z[4+i%3] + 0.3*math.Exp(0.2*z[(i+1)%8])
		}
		return y
	}
	seen := model([]float64{1, -0.5, 0.8, 0.2, -1, 0.4, 0, 1})
	logL := func(z, y []float64) float64 {
		sd := math.Hypot(UsualScatter.at(z[8]), 0.3*UsualBias.at(z[9]))
		l := 0.0
		for i := range y {
			l -= (seen[i]-y[i])*(seen[i]-y[i])/(2*sd*sd) + math.Log(sd)
		}
		return l
	}
	for k.batch() > 0 {
		results := make([]Values, k.batch())
		work(len(results), func(i int) { results[i] = k.unit(i, target{model, logL}) })
		k.take(results)
	}
	for i := range 10 {
		if m := Mix(k.chains(i)); m.RHat > goodRHat || m.ESS < goodESS || m.Tail < goodESS {
			t.Errorf("parameter %d: %+v", i, m)
		}
	}
}

// TestStandInIsExactForAQuadratic holds the stand-in against what it can say exactly.
func TestStandInIsExactForAQuadratic(t *testing.T) {
	s := Sampling{Dims: 3, Points: 64, Sweeps: 4, Moves: 1, Seed: 2}
	model := func(z []float64) []float64 {
		if z[0] > 2 { // no answer here
			return []float64{math.NaN()}
		}
		return []float64{1 + 2*z[0] - z[1]*z[2] + 0.5*z[2]*z[2]}
	}
	for s.Stage < 3 {
		results := make([]Values, s.batch())
		for i := range results {
			results[i] = s.unit(i, target{model, func(_, y []float64) float64 { return -y[0] * y[0] / 8 }})
		}
		s.take(results)
	}
	r := stream(4)
	for range 20 {
		z := []float64{r.NormFloat64() / 2, r.NormFloat64(), r.NormFloat64()}
		if got, want := standIn(s.StandIn, s.whiten(z))[0], model(z)[0]; math.Abs(got-want) > 0.02 {
			t.Errorf("at %v the stand-in says %v, the model %v", z, got, want)
		}
	}
}

// work is each, for tests.
func work(n int, f func(int)) { each(n, f) }

// TestMixFindsBadChains holds the diagnostics against chains that are known: white
// noise, a first-order autoregression whose effective size is (1-φ)/(1+φ) of its
// length, and chains that never met.
func TestMixFindsBadChains(t *testing.T) {
	r := stream(5)
	make4 := func(phi, apart float64) [][]float64 {
		list := make([][]float64, 4)
		for c := range list {
			x := 0.0
			for range 4000 {
				x = phi*x + math.Sqrt(1-phi*phi)*r.NormFloat64()
				list[c] = append(list[c], x+apart*float64(c))
			}
		}
		return list
	}
	if m := Mix(make4(0, 0)); m.RHat > 1.01 || m.ESS < 12000 || m.Tail < 12000 {
		t.Errorf("white noise: %+v", m)
	}
	if m, want := Mix(make4(0.8, 0)), 16000*0.2/1.8; math.Abs(m.ESS/want-1) > 0.2 {
		t.Errorf("autoregression: %+v, want %v", m, want)
	}
	if m := Mix(make4(0.5, 1)); m.RHat < 1.2 {
		t.Errorf("chains apart: %+v", m)
	}
	wide := make4(0, 0) // the same place, another spread: means alone do not tell
	for i := range wide[0] {
		wide[0][i] *= 3
	}
	if m := Mix(wide); m.RHat < 1.05 {
		t.Errorf("one chain thrice as wide: %+v", m)
	}
	heavy := make4(0, 0) // no mean and no variance, and yet they agree
	for _, c := range heavy {
		for i := range c {
			c[i] = math.Tan(math.Pi * (stats.NormalCDF(c[i]) - 0.5))
		}
	}
	if m := Mix(heavy); m.RHat > 1.01 || m.ESS < 12000 {
		t.Errorf("heavy tails: %+v", m)
	}
}
