package num

import (
	"errors"
	"math"
	"testing"

	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	if err := proof.Validate(Checks()); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(Checks()) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

func TestRootErrors(t *testing.T) {
	var bracket *BracketError
	if _, err := Brent(func(x float64) float64 { return x*x + 1 }, -1, 1, 1e-9); !errors.As(err, &bracket) {
		t.Errorf("no sign change: got %v", err)
	}
	if _, err := Brent(func(x float64) float64 { return math.NaN() }, -1, 1, 1e-9); !errors.As(err, &bracket) {
		t.Errorf("NaN at the ends: got %v", err)
	}
	var lost *ConvergenceError
	hole := func(x float64) float64 {
		if math.Abs(x) < 0.5 {
			return math.NaN()
		}
		return x
	}
	if _, err := Brent(hole, -1, 1, 1e-9); !errors.As(err, &lost) {
		t.Errorf("NaN inside: got %v", err)
	}
	if _, err := Newton(func(x float64) (float64, float64) { return math.NaN(), 1 }, 0, -1, 1, 1e-9); !errors.As(err, &lost) {
		t.Errorf("NaN in Newton: got %v", err)
	}
}

func TestBrentAllocatesNothing(t *testing.T) {
	k := 2.0
	if n := testing.AllocsPerRun(10, func() {
		if _, err := Brent(func(x float64) float64 { return x*x - k }, 0, 2, 1e-12); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("Brent allocates %g times", n)
	}
}

// A bound that binds: the best line through (1,1), (2,2), (3,3) with slope at
// most 0.5 has its intercept where the mean residual vanishes, 2 - 0.5·2 = 1.
func TestFitBounds(t *testing.T) {
	r, err := Fit{Count: 3, Upper: []float64{math.Inf(1), 0.5}, Lower: []float64{math.Inf(-1), math.Inf(-1)},
		Residuals: func(r, p []float64) {
			for i := range r {
				x := float64(i + 1)
				r[i] = x - p[0] - p[1]*x
			}
		}}.Solve([]float64{0, 0})
	if err != nil || math.Abs(r.P[0]-1) > 1e-8 || r.P[1] != 0.5 {
		t.Errorf("got %v, %v; want intercept 1, slope 0.5", r.P, err)
	}
}

// norris is the NIST StRD data set Norris, calibration of ozone monitors: y on x
// (key niststrd1999summary).
var norris = [][2]float64{{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6},
	{778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0}, {448.9, 447.5}, {10.8, 11.6}, {557.7, 556.0}, {228.3, 228.1},
	{998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3}, {0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0},
	{10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5}}

// A fit may start where a parameter is zero, whatever its size turns out to be:
// the StRD sets Norris, from zero in both, and Misra1a, from zero in the
// parameter that ends at 5.5e-4, end at the certified values (key niststrd). They
// must be met to a millionth of their standard deviations: nearer, the sum of
// squares is the same in double precision.
func TestFitFromZero(t *testing.T) {
	line := Fit{Count: len(norris), Residuals: func(r, p []float64) {
		for i, d := range norris {
			r[i] = d[0] - p[0] - p[1]*d[1]
		}
	}}
	dental := references[0].fit()
	for _, c := range []struct {
		name        string
		fit         Fit
		start, want []float64
		deviation   []float64
	}{
		{"Norris", line, []float64{0, 0}, []float64{-0.262323073774029, 1.00211681802045}, []float64{0.232818234301152, 0.429796848199937e-3}},
		{"Norris in 1e9 of the unit", line.scaled(1e9), []float64{0, 0}, []float64{-0.262323073774029e9, 1.00211681802045e9}, []float64{0.232818234301152e9, 0.429796848199937e6}},
		{"Norris in 1e-9 of the unit", line.scaled(1e-9), []float64{0, 0}, []float64{-0.262323073774029e-9, 1.00211681802045e-9}, []float64{0.232818234301152e-9, 0.429796848199937e-12}},
		{"Misra1a", dental, []float64{500, 0}, []float64{2.3894212918e2, 5.5015643181e-4}, []float64{2.7070075241, 7.2668688436e-6}},
	} {
		r, err := c.fit.Solve(append([]float64(nil), c.start...))
		if err != nil || r.Covariance == nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for k := range c.want {
			if d := math.Abs(r.P[k] - c.want[k]); d > 1e-6*c.deviation[k] {
				t.Errorf("%s: parameter %d is %.12g, certified %.12g", c.name, k, r.P[k], c.want[k])
			}
			if d := math.Abs(math.Sqrt(r.Covariance.At(k, k))/c.deviation[k] - 1); d > 1e-5 {
				t.Errorf("%s: deviation %d is %.8g, certified %.8g", c.name, k, math.Sqrt(r.Covariance.At(k, k)), c.deviation[k])
			}
		}
	}
}

// scaled is the fit with its parameters in other units.
func (f Fit) scaled(by float64) Fit {
	inner := f.Residuals
	f.Residuals = func(r, p []float64) {
		q := make([]float64, len(p))
		for k := range p {
			q[k] = p[k] / by
		}
		inner(r, q)
	}
	return f
}

// Every one-dimensional projection of the first 2^k points has one point in
// each interval of width 2^-k, shifted or not; this is what a net means.
func TestSobolIsANet(t *testing.T) {
	for _, seed := range []uint64{0, 7} {
		s, err := NewSobol(MaxSobolDimensions, seed)
		if err != nil {
			t.Fatal(err)
		}
		const n = 256
		x := make([]float64, MaxSobolDimensions)
		var seen [64][n]bool
		for i := uint32(0); i < n; i++ {
			s.At(i, x)
			for d, v := range x {
				cell := int(v * n)
				if seen[d][cell] {
					t.Fatalf("seed %d, dimension %d: two points in cell %d", seed, d, cell)
				}
				seen[d][cell] = true
			}
		}
	}
	if _, err := NewSobol(MaxSobolDimensions+1, 0); err == nil {
		t.Error("too many dimensions were accepted")
	}
}

// First output of SplitMix64 for the state 1234567, a published test vector
// (from memory).
func TestSplitMix(t *testing.T) {
	state := uint64(1234567)
	if got := splitMix(&state); got != 6457827717110365317 {
		t.Errorf("got %d", got)
	}
}
