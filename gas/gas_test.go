package gas

import (
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

// Enthalpy must be the integral of heat capacity, and temperature its inverse,
// at every temperature and for every mixture.
func TestThermoIsConsistent(t *testing.T) {
	for _, m := range []Mixture{DryAir, flue1, flue2, flue3} {
		thermo := m.Thermo()
		for kelvin := 210.0; kelvin < 3400; kelvin += 33 {
			if math.Abs(kelvin-break7) < 1 {
				continue
			}
			slope := (thermo.Enthalpy(kelvin+0.01) - thermo.Enthalpy(kelvin-0.01)) / 0.02
			if math.Abs(slope/thermo.Cp(kelvin)-1) > 1e-6 {
				t.Errorf("%g K: dh/dT = %g, cp = %g", kelvin, slope, thermo.Cp(kelvin))
			}
			if back := thermo.Temperature(thermo.Enthalpy(kelvin)); math.Abs(back-kelvin) > 1e-6 {
				t.Errorf("%g K comes back as %g", kelvin, back)
			}
		}
		if !math.IsNaN(thermo.Temperature(1e8)) || !math.IsNaN(thermo.Temperature(math.NaN())) {
			t.Error("an impossible enthalpy has a temperature")
		}
	}
}

// The amounts of a mixture may be given in any unit.
func TestMixtureScales(t *testing.T) {
	big := flue2
	for s := range big {
		big[s] *= 37
	}
	a, b := flue2.Thermo(), big.Thermo()
	if math.Abs(a.Cp(900)/b.Cp(900)-1) > 1e-14 || math.Abs(flue2.MolarMass()/big.MolarMass()-1) > 1e-14 {
		t.Error("heat capacity depends on the amount")
	}
	mu1, k1 := flue2.Wilke(900)
	mu2, k2 := big.Wilke(900)
	if math.Abs(mu1/mu2-1) > 1e-14 || math.Abs(k1/k2-1) > 1e-14 {
		t.Error("transport properties depend on the amount")
	}
}

// Flue gas at an air ratio of 2 is flue gas at 1 with as much air again.
func TestBlend(t *testing.T) {
	var sum Mixture
	for s := range sum {
		sum[s] = 3*flue1[s] + 2*DryAir[s]
	}
	a, air, want := flue1.Thermo(), DryAir.Thermo(), sum.Thermo()
	total := 0.0
	for _, x := range flue1 {
		total += x
	}
	got := Blend(&a, &air, 3*total*a.M, 2*air.M)
	for _, kelvin := range []float64{300, 700, 1300} {
		if math.Abs(got.Cp(kelvin)/want.Cp(kelvin)-1) > 1e-13 || math.Abs(got.Enthalpy(kelvin)-want.Enthalpy(kelvin)) > 1e-6 || math.Abs(got.M/want.M-1) > 1e-13 {
			t.Errorf("%g K: blend differs from mixture", kelvin)
		}
	}
}

func BenchmarkTemperature(b *testing.B) {
	thermo := flue2.Thermo()
	h := thermo.Enthalpy(1100)
	b.ReportAllocs()
	for b.Loop() {
		thermo.Temperature(h)
	}
}
