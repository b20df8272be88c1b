package gas

import (
	"fmt"
	"math"

	"stovewright/proof"
)

// noteModel says how the values of the engineering note were come by.
const noteModel = "the note evaluates the same equations with Python and mpmath, independently of this program"

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	var all []proof.Check
	for _, part := range [][]proof.Check{speciesChecks(), airChecks(), flueChecks(), transportChecks(), altitudeChecks(), waterChecks()} {
		all = append(all, part...)
	}
	return all
}

// thermoRow holds cp in J/(mol K) and h in kJ/mol at 500, 1000 and 1500 K.
type thermoRow struct {
	species    Species
	polynomial [6]float64
	janaf      [6]float64
}

var thermoRows = []thermoRow{
	{N2, [6]float64{29.6359, 5.9202, 32.7620, 21.4684, 34.8053, 38.4042}, [6]float64{29.580, 5.911, 32.697, 21.463, 34.843, 38.405}},
	{O2, [6]float64{31.0835, 6.0862, 34.8830, 22.7068, 36.5753, 40.6021}, [6]float64{31.091, 6.084, 34.870, 22.703, 36.544, 40.599}},
	{CO2, [6]float64{44.6204, 8.3004, 54.3209, 33.3971, 58.3964, 61.6973}, [6]float64{44.627, 8.305, 54.308, 33.397, 58.379, 61.705}},
	{H2O, [6]float64{35.2140, 6.9248, 41.2947, 26.0025, 47.2913, 48.2130}, [6]float64{35.226, 6.925, 41.268, 26.000, 47.090, 48.151}},
	{CO, [6]float64{29.8108, 5.9357, 33.1629, 21.6900, 35.2113, 38.8404}, [6]float64{29.794, 5.931, 33.183, 21.690, 35.217, 38.850}},
	{Ar, [6]float64{20.7862, 4.1957, 20.7862, 14.5888, 20.7862, 24.9818}, [6]float64{20.786, 4.196, 20.786, 14.589, 20.786, 24.982}},
}

func speciesChecks() []proof.Check {
	var checks []proof.Check
	for _, row := range thermoRows {
		for k := range row.polynomial {
			t := []float64{500, 1000, 1500}[k/2]
			c := proof.Check{Inputs: fmt.Sprintf("%v, %g K", row.species, t)}
			if k%2 == 0 {
				c.Quantity, c.Unit, c.Ours = "heat capacity", "J/(mol K)", func() float64 { return row.species.MolarCp(t) }
			} else {
				c.Quantity, c.Unit, c.Ours = "enthalpy above 298.15 K", "kJ/mol", func() float64 { return row.species.MolarEnthalpy(t) / 1000 }
			}
			name := fmt.Sprintf("gas/%v-%g-%s", row.species, t, []string{"cp", "h"}[k%2])
			a := c
			a.ID, a.Expected, a.Rel = name, row.polynomial[k], 1e-4
			a.Standing, a.Source, a.Note = proof.SecondImplementation, "modelnote", noteModel
			b := c
			b.ID, b.Expected, b.Rel = name+"-janaf", row.janaf[k], 0.005
			b.Standing, b.Source = proof.PublishedFromMemory, "janaf1998"
			checks = append(checks, a, b)
		}
	}
	for _, f := range []struct {
		species Species
		want    float64
	}{{CO2, -393.508}, {H2O, -241.825}, {CO, -110.529}, {N2, 0}, {O2, 0}, {Ar, 0}} {
		checks = append(checks, proof.Check{ID: fmt.Sprintf("gas/%v-formation", f.species), Quantity: "enthalpy of formation at 298.15 K",
			Inputs: f.species.String(), Unit: "kJ/mol", Expected: f.want, Abs: 0.01, Standing: proof.SecondImplementation, Source: "modelnote",
			Note: noteModel, Ours: func() float64 { return f.species.FormationEnthalpy() / 1000 }})
	}
	return checks
}

func airChecks() []proof.Check {
	air := DryAir.Thermo()
	checks := []proof.Check{
		{ID: "gas/air-molar-mass", Quantity: "molar mass of dry air", Inputs: "handbook composition", Unit: "g/mol", Expected: 28.9654, Abs: 5e-5,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return DryAir.MolarMass() * 1000 }},
		{ID: "gas/break-1000", Quantity: "jump of enthalpy where the polynomials meet", Inputs: "dry air, 1000 K", Unit: "J/mol", Expected: 0, Abs: 0.01,
			Standing: proof.Exact, Ours: func() float64 { return (air.Enthalpy(1000) - air.Enthalpy(1000-1e-9)) * air.M }},
		{ID: "gas/temperature-inverts", Quantity: "temperature from enthalpy", Inputs: "enthalpy of dry air at 1234.5 K", Unit: "K", Expected: 1234.5, Abs: 1e-6,
			Standing: proof.Exact, Ours: func() float64 { return air.Temperature(air.Enthalpy(1234.5)) }},
	}
	for _, c := range []struct{ t, cp, h float64 }{
		{300, 1003.49, 0}, {500, 1030.95, 205.061}, {800, 1097.71, 523.776}, {1000, 1142.82, 748.060}, {1200, 1173.88, 979.833}, {1500, 1210.19, 1337.719},
	} {
		inputs := fmt.Sprintf("dry air, %g K", c.t)
		checks = append(checks, proof.Check{ID: fmt.Sprintf("gas/air-%g-cp", c.t), Quantity: "heat capacity", Inputs: inputs, Unit: "J/(kg K)",
			Expected: c.cp, Abs: 0.01, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return air.Cp(c.t) }})
		if c.h != 0 {
			checks = append(checks, proof.Check{ID: fmt.Sprintf("gas/air-%g-h", c.t), Quantity: "enthalpy above 298.15 K", Inputs: inputs, Unit: "kJ/kg",
				Expected: c.h, Abs: 0.001, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel,
				Ours: func() float64 { return air.Enthalpy(c.t) / 1000 }})
		}
	}
	for _, c := range []struct{ celsius, cp, rho float64 }{{0, 1006, 1.292}, {300, 1044, 0.6158}, {1000, 1184, 0.2772}} {
		kelvin := c.celsius + 273.15
		inputs := fmt.Sprintf("dry air, %g °C, 1 atm", c.celsius)
		checks = append(checks,
			proof.Check{ID: fmt.Sprintf("gas/cengel-%g-cp", c.celsius), Quantity: "heat capacity", Inputs: inputs, Unit: "J/(kg K)", Expected: c.cp, Rel: 0.006,
				Standing: proof.Published, Source: "cengel", Ours: func() float64 { return air.Cp(kelvin) }},
			proof.Check{ID: fmt.Sprintf("gas/cengel-%g-density", c.celsius), Quantity: "density", Inputs: inputs, Unit: "kg/m³", Expected: c.rho, Rel: 0.001,
				Standing: proof.Published, Source: "cengel", Ours: func() float64 { return Density(StandardPressure, DryAir.MolarMass(), kelvin) }})
	}
	return checks
}

// flue1, flue2 and flue3 are the flue gas of hardwood at 10 % moisture, dry
// gas analysis of the engineering note, at air ratios 1, 2 and 3.
var (
	flue1 = Mixture{CO2: 0.17377, H2O: 0.15277, O2: 0, N2: 0.66551, Ar: 0.00795}
	flue2 = Mixture{CO2: 0.09401, H2O: 0.08250, O2: 0.09634, N2: 0.71856, Ar: 0.00859}
	flue3 = Mixture{CO2: 0.06450, H2O: 0.05651, O2: 0.13198, N2: 0.73818, Ar: 0.00883}
)

func flueChecks() []proof.Check {
	var checks []proof.Check
	for i, c := range []struct {
		mixture Mixture
		m, cp   float64
	}{{flue1, 29.361, 1284.60}, {flue2, 29.179, 1219.86}, {flue3, 29.112, 1195.71}} {
		inputs := fmt.Sprintf("hardwood at 10 %% moisture, air ratio %d", i+1)
		thermo := c.mixture.Thermo()
		checks = append(checks,
			proof.Check{ID: fmt.Sprintf("gas/flue-%d-molar-mass", i+1), Quantity: "molar mass of flue gas", Inputs: inputs, Unit: "g/mol", Expected: c.m, Abs: 0.001,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return thermo.M * 1000 }},
			proof.Check{ID: fmt.Sprintf("gas/flue-%d-cp", i+1), Quantity: "heat capacity of flue gas", Inputs: inputs + ", 1000 K", Unit: "J/(kg K)", Expected: c.cp, Rel: 1e-4,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return thermo.Cp(1000) }})
	}
	return checks
}

func transportChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ celsius, k float64 }{
		{0, 0.02364}, {100, 0.03095}, {300, 0.04418}, {500, 0.05572}, {700, 0.06581}, {1000, 0.07868}, {1500, 0.09599},
	} {
		checks = append(checks, proof.Check{ID: fmt.Sprintf("gas/cengel-%g-k", c.celsius), Quantity: "conductivity of air, classic form",
			Inputs: fmt.Sprintf("%g °C", c.celsius), Unit: "W/(m K)", Expected: c.k, Rel: 0.027, Standing: proof.Published, Source: "cengel",
			Note: "the form lies 0.8 to 2.6 % high over this range", Ours: func() float64 { return ClassicConductivity(c.celsius + 273.15) }})
	}
	for _, c := range []struct{ t, mu float64 }{{300, 184.6}, {500, 270.1}, {700, 338.8}, {1000, 424.4}, {1200, 473.0}} {
		checks = append(checks, proof.Check{ID: fmt.Sprintf("gas/incropera-%g-mu", c.t), Quantity: "viscosity of air", Inputs: fmt.Sprintf("%g K", c.t),
			Unit: "1e-7 Pa s", Expected: c.mu, Rel: 0.024, Standing: proof.PublishedFromMemory, Source: "incropera2007",
			Note: "published tables disagree above 1300 K, where nothing is checked", Ours: func() float64 { return SutherlandViscosity(c.t) * 1e7 }})
	}
	for _, c := range []struct {
		name    string
		mixture Mixture
		t       float64
		mu, k   float64
	}{
		{"air", DryAir, 500, 2.6894e-5, 0.04007}, {"air", DryAir, 1000, 4.1930e-5, 0.06865}, {"air", DryAir, 1500, 5.3170e-5, 0.09177},
		{"flue2", flue2, 500, 2.5422e-5, 0.03974}, {"flue2", flue2, 1000, 4.0746e-5, 0.07153}, {"flue2", flue2, 1500, 5.2303e-5, 0.09836},
		{"flue1", flue1, 500, 2.4250e-5, 0.03950}, {"flue1", flue1, 1000, 3.9771e-5, 0.07393}, {"flue1", flue1, 1500, 5.1578e-5, 0.10390},
	} {
		inputs := fmt.Sprintf("%s, %g K", c.name, c.t)
		checks = append(checks,
			proof.Check{ID: fmt.Sprintf("gas/wilke-%s-%g-mu", c.name, c.t), Quantity: "viscosity by Wilke's rule", Inputs: inputs, Unit: "Pa s", Expected: c.mu, Rel: 2e-4,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { mu, _ := c.mixture.Wilke(c.t); return mu }},
			proof.Check{ID: fmt.Sprintf("gas/wilke-%s-%g-k", c.name, c.t), Quantity: "conductivity by Wilke's rule", Inputs: inputs, Unit: "W/(m K)", Expected: c.k, Rel: 2e-4,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { _, k := c.mixture.Wilke(c.t); return k }})
	}
	return checks
}

func altitudeChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ z, p, boil, latent, rho float64 }{
		{0, 101325.0, 99.974, 2256.5, 1.22500}, {500, 95460.8, 98.313, 2260.9, 1.16727}, {1000, 89874.6, 96.649, 2265.3, 1.11164},
		{1500, 84556.0, 94.983, 2269.6, 1.05807}, {2000, 79495.2, 93.315, 2274.0, 1.00649}, {2500, 74682.5, 91.645, 2278.3, 0.95686},
		{3000, 70108.5, 89.972, 2282.6, 0.90912}, {4000, 61640.2, 86.619, 2291.2, 0.81913},
	} {
		inputs := fmt.Sprintf("altitude %g m", c.z)
		entry := func(name, quantity, unit string, expected, abs float64, ours func() float64) proof.Check {
			return proof.Check{ID: fmt.Sprintf("gas/altitude-%g-%s", c.z, name), Quantity: quantity, Inputs: inputs, Unit: unit, Expected: expected, Abs: abs,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: "the note uses the general-purpose iapws library for water", Ours: ours}
		}
		checks = append(checks,
			entry("p", "pressure of the standard atmosphere", "Pa", c.p, 0.1, func() float64 { return ISAPressure(c.z) }),
			entry("boil", "boiling point", "°C", c.boil, 0.001, func() float64 { return BoilingPoint(ISAPressure(c.z)) - 273.15 }),
			entry("latent", "latent heat at the boiling point", "kJ/kg", c.latent, 0.25, func() float64 { return LatentHeat(BoilingPoint(ISAPressure(c.z))) / 1000 }),
			entry("density", "density of air at the standard temperature", "kg/m³", c.rho, 5e-5,
				func() float64 { return Density(ISAPressure(c.z), DryAir.MolarMass(), ISATemperature(c.z)) }))
	}
	return checks
}

func waterChecks() []proof.Check {
	entry := func(id, quantity, inputs, unit string, expected, rel float64, source string, ours func() float64) proof.Check {
		return proof.Check{ID: "gas/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: expected, Rel: rel,
			Standing: proof.PublishedFromMemory, Source: source, Note: "verification value printed with the equation", Ours: ours}
	}
	mega := func(p float64) float64 { return p * 1e6 }
	return []proof.Check{
		entry("if97-ts-0.1", "saturation temperature", "0.1 MPa", "K", 372.755919, 2e-9, "if97", func() float64 { return BoilingPoint(mega(0.1)) }),
		entry("if97-ts-1", "saturation temperature", "1 MPa", "K", 453.035632, 2e-9, "if97", func() float64 { return BoilingPoint(mega(1)) }),
		entry("if97-ts-10", "saturation temperature", "10 MPa", "K", 584.149488, 2e-9, "if97", func() float64 { return BoilingPoint(mega(10)) }),
		entry("if97-ps-300", "saturation pressure", "300 K", "MPa", 0.353658941e-2, 2e-9, "if97", func() float64 { return SaturationPressure(300) / 1e6 }),
		entry("if97-ps-500", "saturation pressure", "500 K", "MPa", 2.63889776, 2e-9, "if97", func() float64 { return SaturationPressure(500) / 1e6 }),
		entry("if97-ps-600", "saturation pressure", "600 K", "MPa", 12.3443146, 2e-9, "if97", func() float64 { return SaturationPressure(600) / 1e6 }),
		entry("wagner-rho-373", "density of boiling water", "373.1243 K", "kg/m³", 958.365, 2e-6, "wagner1993", func() float64 { return WaterDensity(373.1243) }),
		entry("wagner-vapour-373", "density of saturated steam", "373.1243 K", "kg/m³", 0.597586, 2e-6, "wagner1993", func() float64 { return vapourDensity(373.1243) }),
		{ID: "gas/if97-inverts", Quantity: "boiling point of a saturation pressure", Inputs: "350 K", Unit: "K", Expected: 350, Abs: 1e-6,
			Standing: proof.Exact, Ours: func() float64 { return BoilingPoint(SaturationPressure(350)) }},
		{ID: "gas/out-of-range", Quantity: "boiling point where there is none is not a number", Inputs: "100 Pa", Expected: 1, Abs: 1e-9,
			Standing: proof.Exact, Ours: func() float64 {
				if math.IsNaN(BoilingPoint(100)) {
					return 1
				}
				return 0
			}},
	}
}
