package bench

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
)

// The law of propagation and the simulation agree for cooking tests, the sequence and
// emission tests,
// the shares make the whole, and every cause has a name.
func TestUncertaintyInTheField(t *testing.T) {
	for file, ids := range map[string][]string{"cooking.yaml": {"SCf", "f_d", "FP"}, "sequence.yaml": {"high.h0", "high.hc", "h0_mean", "low.P_c"},
		"hood.yaml": {"m_CO", "m_PM", "eCO", "fCO", "closure", "MCE"}, "plume.yaml": {"m_CO", "eCO", "rCO", "NCE"}} {
		f, err := ReadTest(file, []byte(exampleText(t, file)))
		fatal(t, err)
		for _, id := range ids {
			u, err := f.UncertaintyOf(id, 0.95, 20000, 3)
			fatal(t, err)
			if !(u.U.SI > 0) || math.Abs(u.MonteCarloU-u.U.SI) > 0.02*u.U.SI {
				t.Errorf("%s: law %g, Monte Carlo %g", id, u.U.SI, u.MonteCarloU)
			}
			if !near(math.Hypot(u.Own.SI, u.Shared.SI), u.U.SI, 1e-6) {
				t.Errorf("%s: own %g and shared %g do not make %g", id, u.Own.SI, u.Shared.SI, u.U.SI)
			}
			total := 0.0
			for _, line := range u.Lines {
				total += line.Share
				if strings.Contains(message.English().Say(line.Name), "«") {
					t.Errorf("%s: no words for %s", id, line.Name.ID)
				}
			}
			if !near(total, 1, 1e-9) {
				t.Errorf("%s: shares add to %g", id, total)
			}
		}
		if _, err := f.UncertaintyOf("nonsense", 0.9, 0, 0); err == nil {
			t.Errorf("%s: an unknown result had an uncertainty", file)
		}
		list, err := f.Uncertainties(0.95, 0, 0)
		fatal(t, err)
		for id := range list {
			if f.Sequence != nil && (strings.Contains(id, "CO") || strings.Contains(id, "PM")) || strings.HasPrefix(id, "room_") {
				t.Errorf("%s: nothing is known of what read %s", file, id)
			}
		}
	}
}

// A mass through a hood is a product of concentration and flow: its relative
// uncertainty is the root of the sum of both squared, each a limit over √3 (GUM 4.3.7
// and 5.1.6, from memory); a share of two gases read alike is free of the flow.
func TestAHoodIsAsSureAsItsCellAndItsFlow(t *testing.T) {
	f := emissionFile(t, "hood.yaml")
	test := f.Emission.Test
	test.Gauges.CO, test.Gauges.CO2, test.Gauges.Flow = 0.03, 0.02, 0.04
	u, err := UncertaintyOfEmission(test, "m_CO", 0.95, 0, 0)
	fatal(t, err)
	if want := math.Hypot(0.03, 0.04) / math.Sqrt(3); !near(u.U.SI/u.Value.SI, want, 1e-6) {
		t.Errorf("m_CO is off by %g of itself, want %g", u.U.SI/u.Value.SI, want)
	}
	// MCE = x2/(x2 + x1): dMCE = MCE·(1 − MCE)·(d ln x2 − d ln x1)
	u, err = UncertaintyOfEmission(test, "MCE", 0.95, 0, 0)
	fatal(t, err)
	if mce := u.Value.SI; !near(u.U.SI, mce*(1-mce)*math.Hypot(0.03, 0.02)/math.Sqrt(3), 1e-3*u.U.SI) {
		t.Errorf("MCE is off by %g", u.U.SI)
	}
}

// The specific consumption SC = ((f_i − f_f)·(1 − 1.12 m) − 1.5·(c − k))/W by hand:
// ∂SC/∂f = (1 − 1.12 m)/W, ∂SC/∂m = −1.12·f/W, ∂SC/∂c = −1.5/W, ∂SC/∂P_f = −SC/W.
func TestCookingSensitivitiesAreTheAnalyticOnes(t *testing.T) {
	f, err := ReadTest("cooking.yaml", []byte(exampleText(t, "cooking.yaml")))
	fatal(t, err)
	test, r := f.Cooking.Test, f.Cooking.Result
	if test.Form != ShortForm || len(test.Pots) != 1 {
		t.Fatal("the example is another one")
	}
	test.Instruments = Instruments{WoodScale: 0.005, PotScale: 0.002, CharScale: 0.001, Thermometer: 0.5, ScaleGain: 0.002}
	u, err := UncertaintyOfCooking(test, "SCf", 0.95, 0, 0)
	fatal(t, err)
	m, w, burnt := test.Wood.Moisture, r.Food, test.WoodBefore-test.WoodAfter
	step := func(s float64) float64 { return s / math.Sqrt(12) }
	want := map[string]float64{
		"bench.q.f_i": (1 - 1.12*m) / w * step(0.005), "bench.q.f_f": (1 - 1.12*m) / w * step(0.005), "bench.q.P_f": r.Consumption / w * step(0.002),
		"bench.q.m": 1.12 * burnt / w * shareU(test.Wood.MoistureU), "bench.q.k": 1.5 / w * step(0.001),
	}
	for _, line := range u.Lines {
		if v, ok := want[line.Name.ID]; ok && math.Abs(line.Contribution.SI/v-1) > 1e-5 {
			t.Errorf("%s contributes %g, want %g", line.Name.ID, line.Contribution.SI, v)
		}
		delete(want, line.Name.ID)
	}
	if len(want) > 0 {
		t.Errorf("missing: %v", want)
	}
}
