package brick

import (
	"math"

	"stovewright/proof"
)

func firingChecks() []proof.Check {
	cone := func(name string, at float64) proof.Check {
		return proof.Check{ID: "brick/cone-" + name, Quantity: "bending of the large cone " + name, Inputs: "150 K/h", Unit: "°C", Expected: at, Abs: 1e-9,
			Standing: proof.Published, Source: "conetable", Ours: func() float64 { c, _ := LookupCone(name); return c.At }}
	}
	heat := func(of func(KilnHeat) float64) func() float64 {
		return func() float64 {
			m := baseMix(1.2)
			b, err := m.Balance(DefaultForming())
			if err != nil {
				panic(err)
			}
			return of(m.KilnHeat(b, 1273.15)) / 1e6
		}
	}
	base := "500 g dry sawdust, 900 g clay at 25 % moisture, 1200 g water"
	ring := Ring{Sides: 6, Across: 0.110, Thickness: 0.060, Height: 0.100}
	return []proof.Check{
		cone("010", 900), cone("06", 999), cone("04", 1060), cone("1", 1154),
		{ID: "brick/ramp-60mm", Quantity: "fastest rise that keeps the middle 30 K behind", Inputs: "60 mm, 2.5e-7 m²/s", Unit: "K/h", Expected: 60, Abs: 1e-9,
			Standing: proof.Exact, Ours: func() float64 { return RampLimit(0.060, 2.5e-7, 30) * hour }},
		{ID: "brick/heat-water", Quantity: "heat to evaporate the water", Inputs: base, Unit: "MJ", Expected: 3.69, Abs: 0.01, Standing: proof.Exact,
			Note: "1.425 kg × (2.257 + 4.186 × 0.080) MJ/kg by hand", Ours: heat(func(h KilnHeat) float64 { return h.Water })},
		{ID: "brick/heat-hydroxyl-low", Quantity: "heat to drive out bound water, least", Inputs: base, Unit: "MJ", Expected: 0.675 * 0.10 / 0.13957 * 0.6, Abs: 0.001,
			Standing: proof.Exact, Note: "0.484 kg kaolinite × 0.6 MJ/kg; the heat itself is from memory", Ours: heat(func(h KilnHeat) float64 { return h.Hydroxyl.Low })},
		{ID: "brick/heat-sawdust", Quantity: "heat set free by the sawdust", Inputs: base, Unit: "MJ", Expected: 9.0, Abs: 1e-9, Standing: proof.Exact,
			Note: "0.5 kg × 18 MJ/kg", Ours: heat(func(h KilnHeat) float64 { return h.PoreFormers })},
		{ID: "brick/heat-ratio", Quantity: "that heat over what the brick takes up", Inputs: base, Expected: 9, Abs: 1.0, Standing: proof.CommonPractice,
			Note: "about nine times: the exotherm, and not the fuel, rules from 200 to 500 °C", Ours: heat(func(h KilnHeat) float64 { return 1e6 * h.Ratio() })},
		{ID: "brick/heatwork-ramp", Quantity: "equivalent soak of a rise", Inputs: "900 to 1000 °C at 50 K/h, 325 kJ/mol", Unit: "s", Expected: 2633.1631042424183, Rel: 1e-6,
			Standing: proof.SecondImplementation, Source: "scipy", Note: "scipy.integrate.quad",
			Ours: func() float64 { return HeatWork([]float64{0, 7200}, []float64{1173.15, 1273.15}, 325e3) }},
		{ID: "brick/heatwork-whole", Quantity: "equivalent soak of a rise", Inputs: "20 to 1020 °C at 100 K/h, 325 kJ/mol", Unit: "s", Expected: 2326.70140035858, Rel: 1e-6,
			Standing: proof.SecondImplementation, Source: "scipy", Note: "scipy.integrate.quad",
			Ours: func() float64 { return HeatWork([]float64{0, 36000}, []float64{293.15, 1293.15}, 325e3) }},
		{ID: "brick/heatwork-50-colder", Quantity: "equivalent soak of one hour at 950 °C", Inputs: "325 kJ/mol", Unit: "h",
			Expected: math.Exp(-325e3 / 8.31446261815324 * (1/1223.15 - 1/1273.15)), Rel: 1e-12, Standing: proof.Exact,
			Ours: func() float64 { return HeatWork([]float64{0, hour}, []float64{1223.15, 1223.15}, 325e3) / hour }},
		{ID: "brick/burnout", Quantity: "time to burn out a whole core", Inputs: "30 mm half thickness; 15 mm of core left after 2 h", Unit: "h", Expected: 8, Abs: 1e-9,
			Standing: proof.Exact, Note: "t ∝ depth²: twice the depth, four times as long",
			Ours: func() float64 { return BurnoutTime(BurnoutConstant(2*hour, 0.030, 0.015), 0.030) / hour }},
		{ID: "brick/ring-6-inner", Quantity: "inner face of a segment", Inputs: "six sides, 110 mm across, no joint", Unit: "mm", Expected: 63.509, Abs: 0.001,
			Standing: proof.Exact, Note: "110 tan 30°", Ours: func() float64 { s, _ := ring.Segment(); return 1000 * s.Inner }},
		{ID: "brick/ring-6-outer", Quantity: "outer face of a segment", Inputs: "the same, 60 mm thick", Unit: "mm", Expected: 132.791, Abs: 0.001,
			Standing: proof.Exact, Note: "230 tan 30°", Ours: func() float64 { s, _ := ring.Segment(); return 1000 * s.Outer }},
	}
}
