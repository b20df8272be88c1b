package material

import (
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

func TestTableIsWhole(t *testing.T) {
	for _, m := range table {
		if m.Density <= 0 || len(m.ConductivityAt) == 0 || m.Heat <= 0 || m.LimitC <= 0 || m.Standing == "" {
			t.Errorf("%s lacks a property", m.Key)
		}
		if m.Standing != "common practice" && m.Source == "" {
			t.Errorf("%s is %q but names no source", m.Key, m.Standing)
		}
		for i := 1; i < len(m.ConductivityAt); i++ {
			if m.ConductivityAt[i][0] <= m.ConductivityAt[i-1][0] {
				t.Errorf("%s: temperatures must rise", m.Key)
			}
		}
	}
}

func TestFoldWidthStopsAtThickSheet(t *testing.T) {
	if _, ok := FoldWidth(0.0012); ok {
		t.Error("1.2 mm sheet is not folded by hand")
	}
	if w, ok := FoldWidth(0.000759); !ok || w != 0.009 {
		t.Errorf("22 gauge folds 8 to 10 mm, got %v %v", w, ok)
	}
}

func TestCreepLowersWhatARodMayCarry(t *testing.T) {
	short := Rod{Diameter: 0.008, Span: 0.2, Force: 30, Kelvin: 873.15}
	long := short
	long.Lasting = true
	if a, b := short.State().Utilisation, long.State().Utilisation; b/a < 3.33 || b/a > 3.34 {
		t.Errorf("a lasting load above 450 °C may use 0.3 of the strength: ratio %v", b/a)
	}
}
