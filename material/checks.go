package material

import "stovewright/proof"

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	rod := func(r Rod) func() float64 { return func() float64 { return r.State().Utilisation } }
	return []proof.Check{
		{ID: "material/rod-8mm-600C", Quantity: "utilisation of a pot rod", Unit: "",
			Inputs: "rod 8 mm, span 200 mm, 100 N in the middle, 600 °C, fy 235 MPa, no creep", Expected: 0.901, Abs: 0.001,
			Standing: proof.PublishedFromMemory, Source: "en199312",
			Note: "M = F l/4 = 5000 N mm, W = 50.265 mm³, stress 99.47 MPa by hand; ky = 0.47 from the table as remembered",
			Ours: rod(Rod{Diameter: 0.008, Span: 0.2, Force: 100, Kelvin: 873.15})},
		{ID: "material/rod-8mm-deflection", Quantity: "elastic deflection of a pot rod", Unit: "mm",
			Inputs: "rod 8 mm, span 200 mm, 100 N in the middle, 600 °C", Expected: 1.27, Abs: 0.005,
			Standing: proof.PublishedFromMemory, Source: "en199312", Note: "kE = 0.31",
			Ours: func() float64 {
				return Rod{Diameter: 0.008, Span: 0.2, Force: 100, Kelvin: 873.15}.State().Deflection * 1000
			}},
		{ID: "material/rod-10mm-700C", Quantity: "utilisation of a pot rod that is too weak", Unit: "",
			Inputs: "rod 10 mm, span 240 mm, 100 N in the middle, 700 °C", Expected: 1.13, Abs: 0.005,
			Standing: proof.PublishedFromMemory, Source: "en199312", Note: "stress 61.1 MPa, ky = 0.23",
			Ours: rod(Rod{Diameter: 0.010, Span: 0.24, Force: 100, Kelvin: 973.15})},
		{ID: "material/steel-550C", Quantity: "yield factor between two rows", Unit: "", Inputs: "550 °C",
			Expected: (0.780 + 0.470) / 2, Abs: 1e-12, Standing: proof.PublishedFromMemory, Source: "en199312",
			Note: "the standard interpolates linearly", Ours: func() float64 { return EN1993SteelFactors(823.15).Yield }},
		{ID: "material/gauge-22", Quantity: "thickness of 22 gauge sheet", Unit: "mm", Inputs: "uncoated",
			Expected: 0.759, Abs: 0.0006, Standing: proof.Published, Source: "msgauge1893",
			Ours: func() float64 { t, _ := GaugeThickness(22, false); return t * 1000 }},
		{ID: "material/gauge-22-galvanised", Quantity: "thickness of 22 gauge galvanised sheet", Unit: "mm", Inputs: "galvanised",
			Expected: 0.853, Abs: 0.0006, Standing: proof.Published, Source: "msgauge1893",
			Note: "the chart read prints 0.0306 in beside 0.853 mm; 0.0336 in is meant", Ours: func() float64 { t, _ := GaugeThickness(22, true); return t * 1000 }},
		{ID: "material/sheet-mass", Quantity: "mass of 0.759 mm sheet", Unit: "kg/m²", Inputs: "7850 kg/m³",
			Expected: 5.96, Abs: 0.005, Standing: proof.Exact, Ours: func() float64 { return SteelSheetMass(0.000759, false) }},
		{ID: "material/float", Quantity: "density of lining brick that floats", Unit: "g/cm³", Inputs: "light brick of the table",
			Expected: 0.6, Abs: 0.001, Standing: proof.CommonPractice, Ours: func() float64 { m, _ := Lookup("light-brick"); return m.Density / 1000 }},
	}
}
