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
