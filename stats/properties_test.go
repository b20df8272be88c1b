package stats

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func samples(t *rapid.T) (x, y []float64) {
	value := rapid.Float64Range(1, 1000)
	return rapid.SliceOfN(value, 2, 12).Draw(t, "x"), rapid.SliceOfN(value, 2, 12).Draw(t, "y")
}

func near(a, b, tolerance float64) bool {
	return math.Abs(a-b) <= tolerance*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

func TestSymmetries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := samples(t)
		xy, err1 := Welch(x, y)
		yx, err2 := Welch(y, x)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if !near(xy.T, -yx.T, 1e-9) || !near(xy.DF, yx.DF, 1e-9) || !near(xy.P(Less), yx.P(Greater), 1e-9) {
			t.Fatalf("Welch is not antisymmetric: %+v %+v", xy, yx)
		}
		if low := math.Min(float64(len(x)), float64(len(y))) - 1; xy.DF < low-1e-9 || xy.DF > float64(len(x)+len(y)-2)+1e-9 {
			t.Fatalf("degrees of freedom %g out of their bounds", xy.DF)
		}
		u, _ := MannWhitney(x, y)
		v, _ := MannWhitney(y, x)
		if !near(u.Statistic+v.Statistic, float64(len(x)*len(y)), 1e-12) || !near(u.P(TwoSided), v.P(TwoSided), 1e-12) {
			t.Fatalf("U(x,y)+U(y,x) = %g, want %d", u.Statistic+v.Statistic, len(x)*len(y))
		}
		if p := u.P(TwoSided); p < SmallestP(len(x), len(y))-1e-12 && !u.Ties || p > 1 {
			t.Fatalf("p = %g", p)
		}
		if equal := xy.Equivalence(-1e9, 1e9); equal > 1e-6 && xy.SE < 1e6 {
			t.Fatalf("not equivalent within a billion: p = %g", equal)
		}
	})
}

// The units of the readings must not matter: scaling both samples leaves
// tests and ratios alone.
func TestScaleInvariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := samples(t)
		k := rapid.Float64Range(1e-3, 1e3).Draw(t, "k")
		scaled := func(s []float64) []float64 {
			out := make([]float64, len(s))
			for i, v := range s {
				out[i] = k * v
			}
			return out
		}
		a, err := LogRatio(x, y, 0.9)
		b, _ := LogRatio(scaled(x), scaled(y), 0.9)
		if err != nil || !near(a.Interval.Low, b.Interval.Low, 1e-9) || !near(a.Interval.High, b.Interval.High, 1e-9) {
			t.Fatalf("log ratio moved: %+v %+v %v", a, b, err)
		}
		f, _ := Fieller(x, y, 0.9)
		if f.Finite && !(f.Interval.Low <= f.Value && f.Value <= f.Interval.High) {
			t.Fatalf("the ratio lies outside its interval: %+v", f)
		}
		w1, _ := Welch(x, y)
		w2, _ := Welch(scaled(x), scaled(y))
		if !near(w1.T, w2.T, 1e-6) {
			t.Fatalf("t moved: %g %g", w1.T, w2.T)
		}
	})
}

func TestAdjustedPValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 20).Draw(t, "p")
		holm, bh := Holm(p), BenjaminiHochberg(p)
		for i := range p {
			if holm[i] < p[i] || bh[i] < p[i]-1e-15 || holm[i] > 1 || bh[i] > 1 || holm[i] < bh[i]-1e-12 {
				t.Fatalf("p %v holm %v bh %v", p, holm, bh)
			}
		}
	})
}

// Holm's own example of the procedure by hand: 0.01, 0.02, 0.03, 0.04 with
// factors 4, 3, 2, 1, each at least as large as the one before.
func TestHolmByHand(t *testing.T) {
	got := Holm([]float64{0.03, 0.01, 0.04, 0.02})
	for i, want := range []float64{0.06, 0.04, 0.06, 0.06} {
		if !near(got[i], want, 1e-12) {
			t.Errorf("value %d: %g, want %g", i, got[i], want)
		}
	}
}

func TestQuantilesInvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "p")
		df := rapid.Float64Range(1, 500).Draw(t, "df")
		if got := TCDF(TQuantile(p, df), df); !near(got, p, 1e-10) {
			t.Fatalf("TCDF(TQuantile(%g, %g)) = %g", p, df, got)
		}
	})
}

// A sum of independent inputs has the root of the summed squares, and
// effective degrees of freedom that never exceed their sum; Monte Carlo agrees.
func TestPropagationOfASum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "n")
		inputs := make([]Input, n)
		var squares, df float64
		for i := range inputs {
			inputs[i] = Input{Value: rapid.Float64Range(-10, 10).Draw(t, "x"), U: rapid.Float64Range(0.01, 3).Draw(t, "u"),
				DF: rapid.Float64Range(1, 30).Draw(t, "df"), Shape: Shape(rapid.IntRange(0, 2).Draw(t, "shape"))}
			squares += inputs[i].U * inputs[i].U
			df += inputs[i].DF
		}
		b, err := Propagate(Sum, inputs, nil)
		if err != nil || !near(b.U, math.Sqrt(squares), 1e-8) || b.DF > df+1e-6 {
			t.Fatalf("u %g want %g, df %g of %g: %v", b.U, math.Sqrt(squares), b.DF, df, err)
		}
	})
}

func TestMonteCarloAgreesWithTheLaw(t *testing.T) {
	inputs := []Input{{Name: "a", Value: 10, U: 0.3}, {Name: "b", Value: 4, U: 0.1}, {Name: "c", Value: 2, U: 0.05, Shape: Rectangular}, {Name: "d", Value: 0, U: 0.2, Shape: Triangular}}
	correlations := []Correlated{{0, 1, 0.8}}
	model := func(x []float64) float64 { return x[0]/x[1]*x[2] + x[3] }
	b, err := Propagate(model, inputs, correlations)
	fatal(t, err)
	// by hand: c = (0.5, -1.25, 2.5, 1), u² = 0.0225+0.015625+0.015625+0.04 - 2·0.8·0.15·0.125
	if want := math.Sqrt(0.06375); !near(b.U, want, 1e-8) {
		t.Fatalf("u = %.10g, want %.10g", b.U, want)
	}
	s, err := MonteCarlo(model, inputs, correlations, 200000, 5)
	fatal(t, err)
	if math.Abs(s.SD-b.U) > 0.01*b.U || math.Abs(s.Mean-b.Value) > 0.01 {
		t.Errorf("Monte Carlo %g ± %g, law %g ± %g", s.Mean, s.SD, b.Value, b.U)
	}
	again, err := MonteCarlo(model, inputs, correlations, 200000, 5)
	fatal(t, err)
	if again.Mean != s.Mean {
		t.Error("the same seed gave another answer")
	}
}

// A 90 % interval must cover the truth in 88 to 92 of 100 series; 10 000
// series of the sizes people burn, with the scatter people see.
func TestIntervalsCover(t *testing.T) {
	random := NewRand(90)
	const series = 10000
	hits := map[string]int{}
	count := func(name string, in bool) {
		if in {
			hits[name]++
		}
	}
	for range series {
		base, new := normals(random, 5, 700, 70), normals(random, 4, 450, 70)
		mean, err := OneSample(base, 0)
		fatal(t, err)
		count("mean of 5", mean.Interval(0.9).Contains(700))
		welch, err := Welch(base, new)
		fatal(t, err)
		count("Welch difference, 5 and 4", welch.Interval(0.9).Contains(250))
		logs, err := LogRatio(base, new, 0.9)
		fatal(t, err)
		count("log ratio, 5 and 4", logs.Interval.Contains(450.0/700))
		fieller, err := Fieller(base, new, 0.9)
		fatal(t, err)
		count("Fieller ratio, 5 and 4", fieller.Interval.Contains(450.0/700))
		three, err := OneSample(base[:3], 0)
		fatal(t, err)
		count("mean of 3", three.Interval(0.9).Contains(700))
	}
	for name, n := range hits {
		if share := float64(n) / series; share < 0.88 || share > 0.92 {
			t.Errorf("%s: covers %.1f %%", name, 100*share)
		}
	}
}

func TestClopperPearsonCoversAtLeastItsLevel(t *testing.T) {
	for _, p := range []float64{0.02, 0.1, 0.37} {
		const n = 20
		covered := 0.0
		for k := 0; k <= n; k++ {
			i, err := ClopperPearson(k, n, 0.9)
			fatal(t, err)
			if i.Contains(p) {
				covered += math.Exp(logChoose(n, k)) * math.Pow(p, float64(k)) * math.Pow(1-p, float64(n-k))
			}
		}
		if covered < 0.9 {
			t.Errorf("p %g: covers %g", p, covered)
		}
	}
}

func TestFindPlanHoldsBothRisks(t *testing.T) {
	for _, c := range [][2]float64{{0.01, 0.06}, {0.02, 0.2}, {0.001, 0.05}} {
		plan, ok := FindPlan(c[0], 0.05, c[1], 0.10)
		if !ok || plan.Accept(c[0]) < 0.95 || plan.Accept(c[1]) > 0.10 {
			t.Errorf("%v: %+v accepts %g and %g", c, plan, plan.Accept(c[0]), plan.Accept(c[1]))
		}
		smaller := SinglePlan{plan.N - 1, plan.C}
		if smaller.Accept(c[1]) <= 0.10 {
			t.Errorf("%v: %+v would do", c, smaller)
		}
		if q := plan.QualityAt(plan.Accept(c[0])); !near(q, c[0], 1e-9) {
			t.Errorf("QualityAt does not invert Accept: %g, want %g", q, c[0])
		}
	}
	if _, ok := FindPlan(0.06, 0.05, 0.01, 0.1); ok {
		t.Error("a plan was found for exchanged limits")
	}
}

func TestRefusals(t *testing.T) {
	one, two, three := []float64{1}, []float64{1, 2}, []float64{1, 2, 3}
	nan := []float64{1, math.NaN()}
	tests := []struct {
		name string
		call func() error
		want error
	}{
		{"describe nothing", func() error { _, err := Describe(nil); return err }, ErrTooFew},
		{"t of one", func() error { _, err := OneSample(one, 0); return err }, ErrTooFew},
		{"pairs", func() error { _, err := Paired(two, three); return err }, ErrUnequal},
		{"not finite", func() error { _, err := Welch(two, nan); return err }, ErrNotFinite},
		{"Grubbs of two", func() error { _, err := Grubbs(two, 0.05); return err }, ErrTooFew},
		{"ratio to zero", func() error { _, err := LogRatio([]float64{-1, 1}, two, 0.9); return err }, ErrRange},
		{"ratio of pairs", func() error { _, err := PairedLogRatio([]float64{0, 1}, two, 0.9); return err }, ErrRange},
		{"bootstrap draws", func() error { _, err := Bootstrap([][]float64{two}, nil, 5, 0.9, 1); return err }, ErrRange},
		{"k of n", func() error { _, err := ClopperPearson(3, 2, 0.9); return err }, ErrRange},
		{"line of two", func() error { _, err := Line(two, two); return err }, ErrTooFew},
		{"same columns", func() error { _, err := LeastSquares([][]float64{{1, 1}, {2, 2}, {3, 3}}, three); return err }, ErrRange},
		{"negative u", func() error { _, err := Propagate(Sum, []Input{{U: -1}}, nil); return err }, ErrRange},
		{"correlated limits", func() error {
			_, err := MonteCarlo(Sum, []Input{{U: 1, Shape: Rectangular}, {U: 1}}, []Correlated{{0, 1, 0.5}}, 10, 1)
			return err
		}, ErrRange},
		{"score of five", func() error { _, err := WeightedKappa([]int{5}, []int{1}, 4); return err }, ErrRange},
		{"one group", func() error { _, err := Fligner(two); return err }, ErrTooFew},
	}
	for _, tt := range tests {
		if err := tt.call(); !errors.Is(err, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, err, tt.want)
		}
	}
	if n := SampleSizeTwoSample(0, 1, 0.05, 0.8); !math.IsNaN(n) {
		t.Errorf("a difference of zero needs %g tests", n)
	}
}

func TestConstantSamples(t *testing.T) {
	same := []float64{5, 5, 5}
	w, err := Welch(same, same)
	fatal(t, err)
	if w.P(TwoSided) != 1 {
		t.Errorf("equal constants: p = %g", w.P(TwoSided))
	}
	w, err = Welch(same, []float64{6, 6, 6})
	fatal(t, err)
	if w.P(TwoSided) != 0 {
		t.Errorf("different constants: p = %g", w.P(TwoSided))
	}
	r, err := SignedRank(same, same)
	fatal(t, err)
	if r.P(TwoSided) != 1 {
		t.Errorf("no difference at all: p = %g", r.P(TwoSided))
	}
}

func TestIntraclassCorrelation(t *testing.T) {
	icc, err := IntraclassCorrelation([]float64{1, 1, 1}, []float64{5, 5, 5})
	fatal(t, err)
	if !near(icc, 1, 1e-12) {
		t.Errorf("identical within clusters: %g", icc)
	}
	icc, err = IntraclassCorrelation([]float64{1, 3}, []float64{1, 3})
	fatal(t, err)
	if !near(icc, -1, 1e-12) {
		t.Errorf("identical clusters of two: %g", icc)
	}
	if got := DesignEffect(5, 0.25); got != 2 {
		t.Errorf("design effect %g", got)
	}
}
