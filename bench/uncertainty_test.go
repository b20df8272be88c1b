package bench

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
)

// kitchen are the instruments of a small workshop.
var kitchen = Instruments{WoodScale: 0.001, PotScale: 0.001, CharScale: 0.001, Thermometer: 0.5, ScaleGain: 0.002}

func TestUncertaintyAgreesWithMonteCarlo(t *testing.T) {
	for _, id := range []string{"cold.h", "hot.SCT", "simmer.SC", "BF", "cold.FP", "h_hp"} {
		test := exampleA()
		test.Instruments = kitchen
		u, err := UncertaintyOf(test, id, 0.95, 20000, 4)
		fatal(t, err)
		if math.Abs(u.MonteCarloU-u.U.SI) > 0.02*u.U.SI {
			t.Errorf("%s: law %g, Monte Carlo %g", id, u.U.SI, u.MonteCarloU)
		}
		if !near(math.Hypot(u.Own.SI, u.Shared.SI), u.U.SI, 1e-6) {
			t.Errorf("%s: own %g and shared %g do not make %g", id, u.Own.SI, u.Shared.SI, u.U.SI)
		}
		if u.Shared.SI < u.Own.SI {
			t.Errorf("%s: one test on one pile is uncertain mostly by what all tests share, got own %g, shared %g", id, u.Own.SI, u.Shared.SI)
		}
		total := 0.0
		for _, line := range u.Lines {
			total += line.Share
			if said := message.English().Say(line.Name); strings.Contains(said, "«") {
				t.Errorf("no words for a cause: %s", said)
			}
		}
		if !near(total, 1, 1e-9) {
			t.Errorf("%s: shares add to %g", id, total)
		}
	}
}

// The analytic sensitivities of the efficiency η = N/D:
// ∂η/∂m = η·f_m·(λ+B)/D, ∂η/∂λ = -η·f_m·(1-m)/D, ∂η/∂λ_c = η·Δc/D, and the
// offset of one thermometer cancels.
func TestSensitivitiesAreTheAnalyticOnes(t *testing.T) {
	test := exampleA()
	test.Instruments = kitchen
	test.Wood.MoistureU = 0.010
	u, err := UncertaintyOf(test, "cold.h", 0.95, 0, 0)
	fatal(t, err)
	const n, d, b = 2021.75e3, 10466.62875e3, 2570.95e3 // J, J, J/kg
	h := n / d
	want := map[string]float64{
		"bench.q.m":        h * 0.750 * (18414e3 + b) / d * 0.010,
		"bench.q.LHV":      h * 0.750 * 0.9 / d * lhvUMeasured,
		"bench.q.LHV_char": h * 0.060 / d * lhvCharU * 1000,
		"bench.q.f_i":      h * (18414e3*0.9 - 0.1*b) / d * 0.001 / math.Sqrt(12),
		"bench.q.P_i":      (4186*75 + 2260e3) / d * 0.001 / math.Sqrt(12),
	}
	for _, line := range u.Lines {
		if line.Phase != "" && line.Phase != "cold" {
			if line.Share > 1e-12 {
				t.Errorf("%s of the %s moves the cold start", line.Name.ID, line.Phase)
			}
			continue
		}
		if w, ok := want[line.Name.ID]; ok && !near(line.Contribution.SI, w, 1e-7) && math.Abs(line.Contribution.SI-w) > 1e-6*w {
			t.Errorf("%s contributes %g, want %g", line.Name.ID, line.Contribution.SI, w)
		}
		if line.Name.ID == "bench.cause.thermometer" && line.Contribution.SI > 0.02*u.U.SI {
			t.Errorf("the thermometer's offset does not cancel: %g", line.Contribution.SI)
		}
		delete(want, line.Name.ID)
	}
	if len(want) > 0 {
		t.Errorf("missing from the budget: %v", want)
	}
}

func TestUncertaintyRefuses(t *testing.T) {
	if _, err := UncertaintyOf(exampleA(), "cold.nonsense", 0.9, 0, 0); err == nil {
		t.Error("an unknown result had an uncertainty")
	}
	test := exampleA()
	test.Simmer = nil
	if _, err := UncertaintyOf(test, "TDR", 0.9, 0, 0); err == nil {
		t.Error("a result that was not measured had an uncertainty")
	}
}

func BenchmarkUncertaintyMonteCarlo20000(b *testing.B) {
	test := exampleA()
	test.Instruments = kitchen
	for b.Loop() {
		if _, err := UncertaintyOf(test, "cold.h", 0.95, 20000, 4); err != nil {
			b.Fatal(err)
		}
	}
}
