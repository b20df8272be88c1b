package fuel

import (
	"fmt"
	"math"

	"stovewright/gas"
	"stovewright/proof"
)

const noteModel = "the note evaluates the same equations with Python, independently of this program"

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	var all []proof.Check
	for _, part := range [][]proof.Check{moistureChecks(), heatChecks(), measuredChecks(), burnChecks(), flameChecks()} {
		all = append(all, part...)
	}
	return all
}

func preset(key string) Fuel {
	f, _ := Lookup(key)
	return f
}

func wet(w float64) Moisture { return Moisture{w} }

func moistureChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct{ w, d float64 }{{0.05, 0.05263}, {0.10, 0.11111}, {0.15, 0.17647}, {0.20, 0.25}, {0.25, 0.33333}, {0.30, 0.42857}} {
		checks = append(checks, proof.Check{ID: fmt.Sprintf("fuel/dry-basis-%g", c.w), Quantity: "moisture on dry basis",
			Inputs: fmt.Sprintf("%g wet basis", c.w), Expected: c.d, Abs: 5e-6, Standing: proof.Exact, Note: "d = w/(1-w)",
			Ours: func() float64 { return wet(c.w).Dry() }})
	}
	return append(checks, proof.Check{ID: "fuel/wet-basis-20", Quantity: "moisture on wet basis", Inputs: "0.20 dry basis", Expected: 1.0 / 6, Abs: 1e-15,
		Standing: proof.Exact, Note: "w = d/(1+d)", Ours: func() float64 { m, _ := DryBasis(0.20); return m.Wet() }})
}

func heatChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct {
		key                        string
		hhv, lhv, lhv10, lhv20     float64
		oxygen, air, energyPerMass float64
	}{
		{"hardwood", 19.615, 18.306, 16.231, 14.156, 0.04196, 5.802, 3.155},
		{"softwood", 20.606, 19.275, 17.103, 14.931, 0.04437, 6.136, 3.141},
		{"eucalyptus-grandis", 19.134, 17.849, 15.820, 13.791, 0.04075, 5.635, 3.168},
		{"black-locust", 20.073, 18.827, 16.700, 14.573, 0.04330, 5.987, 3.144},
		{"ponderosa-pine", 19.660, 18.353, 16.273, 14.194, 0.04201, 5.809, 3.159},
		{"casuarina", 19.526, 18.208, 16.143, 14.078, 0.04182, 5.783, 3.148},
		{"maize-cob", 18.437, 17.156, 15.196, 13.236, 0.03914, 5.412, 3.170},
		{"charcoal", 30.942, 30.288, 27.015, 23.742, 0.07227, 9.994, 3.030},
		{"fire-char", 33.874, 33.546, 29.948, 26.349, 0.08021, 11.092, 3.024},
		{"cattle-dung", 14.632, 13.563, 11.962, 10.362, 0.03269, 4.520, 3.000},
	} {
		f := preset(c.key)
		entry := func(name, quantity, unit string, expected float64, ours func() float64) {
			checks = append(checks, proof.Check{ID: "fuel/" + c.key + "-" + name, Quantity: quantity, Inputs: c.key, Unit: unit, Expected: expected,
				Rel: 5e-4, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: ours})
		}
		entry("hhv", "higher heating value, dry", "MJ/kg", c.hhv, func() float64 { return ChanniwalaParikh2002(f.Composition) / 1e6 })
		entry("lhv", "lower heating value, dry", "MJ/kg", c.lhv, func() float64 { return f.LHVDry() / 1e6 })
		entry("lhv10", "lower heating value at 10 % moisture, wet basis", "MJ/kg", c.lhv10, func() float64 { return f.LHV(wet(0.10)) / 1e6 })
		entry("lhv20", "lower heating value at 20 % moisture, wet basis", "MJ/kg", c.lhv20, func() float64 { return f.LHV(wet(0.20)) / 1e6 })
		entry("oxygen", "oxygen taken, dry fuel", "kmol/kg", c.oxygen, func() float64 { return f.Burn(wet(0)).O2 / 1000 })
		entry("air", "air taken, dry fuel", "kg/kg", c.air, func() float64 { return f.Burn(wet(0)).Air() })
		entry("per-air", "lower heating value per mass of air", "MJ/kg", c.energyPerMass, func() float64 { return f.LHVDry() / f.Burn(wet(0)).Air() / 1e6 })
	}
	return checks
}

// measuredChecks hold the correlations against the bomb values that were printed
// beside the compositions.
func measuredChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct {
		key string
		hhv float64
	}{{"eucalyptus-grandis", 19.35}, {"black-locust", 19.71}, {"ponderosa-pine", 20.02}, {"casuarina", 18.77}, {"maize-cob", 18.77}} {
		f := preset(c.key)
		checks = append(checks,
			proof.Check{ID: "fuel/" + c.key + "-bomb", Quantity: "heating value from the ultimate analysis, against the bomb", Inputs: c.key, Unit: "MJ/kg",
				Expected: c.hhv, Rel: 0.041, Standing: proof.PublishedFromMemory, Source: "jenkins1985",
				Note: "the correlation's own average error is 1.45 %; single woods miss by up to 4 %", Ours: func() float64 { return ChanniwalaParikh2002(f.Composition) / 1e6 }},
			proof.Check{ID: "fuel/" + c.key + "-bomb-proximate", Quantity: "heating value from the proximate analysis, against the bomb", Inputs: c.key, Unit: "MJ/kg",
				Expected: c.hhv, Rel: 0.06, Standing: proof.PublishedFromMemory, Source: "jenkins1985",
				Note: "the correlation's own average error is 3.74 %", Ours: func() float64 { return Parikh2005(f.Proximate) / 1e6 }})
	}
	hard := preset("hardwood")
	return append(checks,
		proof.Check{ID: "fuel/co-loss", Quantity: "heat lost as carbon monoxide", Inputs: "hardwood, CO/CO2 = 0.05", Unit: "%", Expected: 3.0, Abs: 0.05,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return 100 * hard.COLoss(0.05) }},
		proof.Check{ID: "fuel/co-factor", Quantity: "carbon monoxide per dry fuel", Inputs: "hardwood, CO/CO2 = 0.05", Unit: "g/kg", Expected: 54.4, Abs: 0.05,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { return 1000 * hard.COFactor(0.05) }},
		proof.Check{ID: "fuel/char-volatiles", Quantity: "heating value of the volatiles", Inputs: "hardwood, char 0.20 at 30 MJ/kg", Unit: "MJ/kg", Expected: 15.38, Abs: 0.005,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { _, v := hard.CharShare(0.20, 30e6); return v / 1e6 }},
		proof.Check{ID: "fuel/char-share", Quantity: "share of the heat in the char", Inputs: "hardwood, char 0.20 at 30 MJ/kg", Unit: "%", Expected: 32.8, Abs: 0.05,
			Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { s, _ := hard.CharShare(0.20, 30e6); return 100 * s }})
}

func burnChecks() []proof.Check {
	var checks []proof.Check
	b := preset("hardwood").Burn(wet(0.10))
	for i, c := range []struct{ air, co2, h2o, o2, n2, ar, dryCO2, dryO2 float64 }{
		{5.2219, 0.17377, 0.15277, 0, 0.66551, 0.00795, 20.510, 0},
		{10.4438, 0.09401, 0.08250, 0.09634, 0.71856, 0.00859, 10.246, 10.501},
		{15.6657, 0.06450, 0.05651, 0.13198, 0.73818, 0.00883, 6.837, 13.989},
	} {
		lambda := float64(i + 1)
		entry := func(name, quantity, unit string, expected, abs float64, ours func() float64) {
			checks = append(checks, proof.Check{ID: fmt.Sprintf("fuel/flue-%d-%s", i+1, name), Quantity: quantity,
				Inputs: fmt.Sprintf("hardwood, 10 %% moisture, air ratio %d", i+1), Unit: unit, Expected: expected, Abs: abs,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: ours})
		}
		share := func(s gas.Species) func() float64 { return func() float64 { return b.Flue(lambda).Normalised()[s] } }
		entry("air", "air per wet fuel", "kg/kg", c.air, 1e-4, func() float64 { return lambda * b.Air() })
		entry("co2", "carbon dioxide, wet", "", c.co2, 5e-6, share(gas.CO2))
		entry("h2o", "water vapour", "", c.h2o, 5e-6, share(gas.H2O))
		entry("o2", "oxygen, wet", "", c.o2, 5e-6, share(gas.O2))
		entry("n2", "nitrogen, wet", "", c.n2, 5e-6, share(gas.N2))
		entry("ar", "argon, wet", "", c.ar, 5e-6, share(gas.Ar))
		entry("dry-co2", "carbon dioxide, dry", "%", c.dryCO2, 0.001, func() float64 { x, _ := DryShares(b.Flue(lambda)); return 100 * x })
		entry("dry-o2", "oxygen, dry", "%", c.dryO2, 0.001, func() float64 { _, x := DryShares(b.Flue(lambda)); return 100 * x })
	}
	return append(checks, proof.Check{ID: "fuel/air-ratio-back", Quantity: "air ratio from dry oxygen", Inputs: "hardwood at air ratio 3", Expected: 3.01, Abs: 0.005,
		Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel, Ours: func() float64 { _, o2 := DryShares(b.Flue(3)); return AirRatioFromO2(o2) }})
}

func flameChecks() []proof.Check {
	var checks []proof.Check
	hard := preset("hardwood")
	lambdas := []float64{1, 1.5, 2, 2.5, 3, 4, 6}
	for _, row := range []struct {
		w float64
		t [7]float64
	}{
		{0, [7]float64{2362.4, 1839.5, 1532.5, 1329.4, 1184.7, 991.5, 781.7}},
		{0.10, [7]float64{2279.9, 1789.6, 1497.7, 1303.0, 1163.5, 976.5, 772.3}},
		{0.20, [7]float64{2183.5, 1730.2, 1455.7, 1270.9, 1137.7, 958.1, 760.6}},
		{0.30, [7]float64{2069.4, 1658.0, 1404.0, 1231.1, 1105.5, 935.0, 745.8}},
	} {
		for k, want := range row.t {
			checks = append(checks, proof.Check{ID: fmt.Sprintf("fuel/flame-%g-%g", row.w, lambdas[k]), Quantity: "adiabatic flame temperature",
				Inputs: fmt.Sprintf("hardwood, moisture %g wet, air ratio %g", row.w, lambdas[k]), Unit: "K", Expected: want, Abs: 0.5,
				Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel,
				Ours: func() float64 { return hard.FlameTemperature(wet(row.w), lambdas[k], 0) }})
		}
	}
	return append(checks, proof.Check{ID: "fuel/flame-loss", Quantity: "flame temperature with 10 % of the heat taken out",
		Inputs: "hardwood, moisture 0.10 wet, air ratio 3", Unit: "K", Expected: 1083.63, Abs: 0.05, Standing: proof.SecondImplementation,
		Source: "modelnote", Note: noteModel, Ours: func() float64 { return hard.FlameTemperature(wet(0.10), 3, 0.1) }},
		proof.Check{ID: "fuel/mass-closure", Quantity: "flue gas mass from moles less fuel, air and ash", Inputs: "hardwood, moisture 0.10 wet, air ratio 2",
			Unit: "kg/kg", Expected: 0, Abs: 2e-4, Standing: proof.Exact, Note: "atomic weights rounded to five digits; no sulphur in this fuel",
			Ours: func() float64 {
				b, mass := hard.Burn(wet(0.10)), 0.0
				for s, n := range b.Flue(2) {
					mass += n * gas.Species(s).MolarMass()
				}
				return math.Abs(mass - b.FlueMass(2))
			}})
}
