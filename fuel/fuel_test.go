package fuel

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
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

// Every preset closes, has a name to show and a standing, and burns.
func TestPresets(t *testing.T) {
	names := message.English()
	for _, key := range Keys() {
		f, ok := Lookup(key)
		if !ok || !names.Has("fuel."+key) {
			t.Errorf("%s: not found or without a name", key)
		}
		if err := f.Composition.Validate(); err != nil {
			t.Errorf("%s: %v", key, err)
		}
		if sum := f.Proximate.Volatile + f.Proximate.FixedCarbon + f.Proximate.Ash; sum != 0 && math.Abs(sum-1) > 0.005 {
			t.Errorf("%s: proximate analysis adds up to %g", key, sum)
		}
		if f.Standing == "" || (strings.HasPrefix(f.Standing, "published") && f.Source == "") {
			t.Errorf("%s: no standing or no source", key)
		}
	}
	if _, ok := Lookup("plastic"); ok {
		t.Error("an unknown fuel was found")
	}
}

// The user's own heating value stands above the correlation.
func TestMeasuredOverrides(t *testing.T) {
	f := preset("hardwood")
	f.MeasuredHHV = 19.9e6
	if f.HHV() != 19.9e6 || f.HHVSpread() >= preset("hardwood").HHVSpread() {
		t.Error("the measured heating value was not used")
	}
	proximateOnly := Fuel{Proximate: f.Proximate}
	if proximateOnly.HHV() != Parikh2005(f.Proximate) {
		t.Error("the proximate analysis was not used")
	}
}

func TestMoistureIsNeverConfused(t *testing.T) {
	for _, c := range []struct {
		text string
		wet  float64
	}{{"15 % wet", 0.15}, {"20% dry", 1.0 / 6}, {"20 % dry basis", 1.0 / 6}, {"0.12 W.B.", 0.0012}, {"12 w.b.", 0.12}, {"25 % (dry basis)", 0.2}} {
		m, err := ParseMoisture(c.text)
		if err != nil || math.Abs(m.Wet()-c.wet) > 1e-12 {
			t.Errorf("%q: got %g, %v; want %g", c.text, m.Wet(), err, c.wet)
		}
	}
	for _, text := range []string{"", "15 %", "15", "wet", "-3 % wet", "90 % wet", "wet 15 %", "15 % damp", "NaN wet", strings.Repeat("9", 400) + " wet"} {
		_, err := ParseMoisture(text)
		if _, ok := message.Complaints(err); !ok {
			t.Errorf("%q: got %v, want a complaint", text, err)
		}
	}
}

func TestCompositionIsChecked(t *testing.T) {
	bad := preset("hardwood").Composition
	bad.C += 0.02
	if bad.Validate() == nil {
		t.Error("a composition of 102 % was accepted")
	}
	bad.C = math.NaN()
	if bad.Validate() == nil {
		t.Error("a composition that is not a number was accepted")
	}
	if InChanniwalaParikhRange(preset("fire-char").Composition) || !InChanniwalaParikhRange(preset("hardwood").Composition) {
		t.Error("the range of the heating value correlation is not told")
	}
}

func FuzzParseMoisture(f *testing.F) {
	for _, s := range []string{"15 % wet", "20% dry basis", "0.12 w.b.", "½ dry", "1,5 % wet"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseMoisture(text)
		if err == nil && !(m.Wet() >= 0 && m.Wet() <= wettest && m.Dry() >= m.Wet()) {
			t.Errorf("%q gives %g wet, %g dry", text, m.Wet(), m.Dry())
		}
	})
}
