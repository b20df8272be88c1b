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
	s := Sampling{Dims: 2, Points: 64, Sweeps: 60, Moves: 6, Seed: 3}
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
		if mix.RHat > 1.05 || mix.ESS < 400 {
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
		s := Sampling{Dims: 3, Points: 63, Sweeps: 4, Moves: 12, Seed: uint64(rep) + 1}
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
	if m := Mix(make4(0, 0)); m.RHat > 1.01 || m.ESS < 12000 {
		t.Errorf("white noise: %+v", m)
	}
	if m, want := Mix(make4(0.8, 0)), 16000*0.2/1.8; math.Abs(m.ESS/want-1) > 0.2 {
		t.Errorf("autoregression: %+v, want %v", m, want)
	}
	if m := Mix(make4(0.5, 1)); m.RHat < 1.2 {
		t.Errorf("chains apart: %+v", m)
	}
}
