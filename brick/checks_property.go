package brick

import (
	"math"

	"stovewright/proof"
)

func measureChecks() []proof.Check {
	table := Archimedes{Dry: Reading{Value: 0.600}, Saturated: Reading{Value: 1.370}, Suspended: Reading{Value: 0.370}, Kelvin: 277.15}
	pores := func(of func(Pores) float64) func() float64 {
		return func() float64 {
			p, _, err := table.Evaluate()
			if err != nil {
				panic(err)
			}
			return of(p)
		}
	}
	weighed := "D 600 g, W 1370 g, S 370 g, water near 4 °C"
	entry := func(id, quantity, unit string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "brick/archimedes-" + id, Quantity: quantity, Inputs: weighed, Unit: unit, Expected: expected, Abs: abs,
			Standing: proof.PublishedFromMemory, Source: "astmc20", Note: "the formulas of the method; arithmetic by hand", Ours: ours}
	}
	checks := []proof.Check{
		entry("porosity", "apparent porosity", "", 0.770, 1e-6, pores(func(p Pores) float64 { return p.ApparentPorosity.Value })),
		entry("absorption", "water absorption", "", 1.2833, 0.00005, pores(func(p Pores) float64 { return p.Absorption.Value })),
		entry("bulk", "bulk density", "g/cm³", 0.600, 0.0001, pores(func(p Pores) float64 { return p.BulkDensity.Value / 1000 })),
		entry("skeleton", "apparent specific gravity", "g/cm³", 2.6087, 0.0003, pores(func(p Pores) float64 { return p.SkeletonDensity.Value / 1000 })),
		entry("volume", "outside volume", "cm³", 1000, 0.1, pores(func(p Pores) float64 { return p.Volume.Value * 1e6 })),
		{ID: "brick/sink-0.6", Quantity: "filling of the open pores at which a brick sinks", Inputs: "B 0.6 g/cm³, AP 0.75", Expected: 0.5333, Abs: 0.0001,
			Standing: proof.Exact, Ours: func() float64 { return SinkSaturation(600, 0.75) }},
		{ID: "brick/sink-0.4", Quantity: "filling of the open pores at which a brick sinks", Inputs: "B 0.4 g/cm³, AP 0.83", Expected: 0.7229, Abs: 0.0001,
			Standing: proof.Exact, Ours: func() float64 { return SinkSaturation(400, 0.83) }},
		{ID: "brick/field-density-u", Quantity: "relative uncertainty of a density by calliper", Inputs: "600 ± 5 g, 200 × 100 × 50 ± 0.5 mm", Unit: "%",
			Expected: 1.4167, Abs: 0.0001, Standing: proof.Exact, Note: "√((1/120)² + .0025² + .005² + .01²) by hand; 1.41 where 1/120 is cut to .0083",
			Ours: func() float64 {
				d, err := FieldDensity(Reading{Value: 0.600, U: 0.005}, [3]Reading{{Value: 0.2, U: 0.0005}, {Value: 0.1, U: 0.0005}, {Value: 0.05, U: 0.0005}})
				if err != nil {
					panic(err)
				}
				return 100 * d.U / d.Value
			}},
	}
	for _, r := range []struct{ target, drying, held float64 }{
		{400, 0.05, 1215}, {500, 0.05, 854}, {600, 0.05, 614}, {700, 0.05, 442}, {800, 0.05, 313},
		{400, 0.08, 1397}, {500, 0.08, 1000}, {600, 0.08, 735}, {700, 0.08, 546}, {800, 0.08, 404},
	} {
		f := DefaultForming()
		f.Drying = Drying(r.drying)
		checks = append(checks, proof.Check{ID: "brick/held-" + number(r.target) + "-" + number(100*r.drying), Quantity: "water held for a fired density",
			Inputs: "base recipe, " + number(r.target) + " kg/m³, drying shrinkage " + number(100*r.drying) + " %", Unit: "g", Expected: r.held, Abs: 0.6,
			Standing: proof.Exact, Note: "the balance turned round by hand; whole grams",
			Ours: func() float64 {
				h, err := baseMix(1.2).HeldFor(r.target, f)
				if err != nil {
					panic(err)
				}
				return 1000 * h
			}})
	}
	return checks
}

func propertyChecks() []proof.Check {
	exact := func(id, quantity, inputs, unit string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "brick/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: expected, Abs: abs, Standing: proof.Exact, Ours: ours}
	}
	checks := []proof.Check{
		exact("maxwell-upper", "Maxwell-Eucken, pores apart", "ks 1, kp 0.026, P 0.5", "W/(m·K)", 0.41862, 5e-6, func() float64 { return MaxwellEuckenUpper(1, 0.026, 0.5) }),
		exact("landauer", "effective medium", "ks 1, kp 0.026, P 0.5", "W/(m·K)", 0.29985, 5e-6, func() float64 { return Landauer1952(1, 0.026, 0.5) }),
		exact("maxwell-lower", "Maxwell-Eucken, pores joined", "ks 1, kp 0.026, P 0.5", "W/(m·K)", 0.09323, 5e-6, func() float64 { return MaxwellEuckenLower(1, 0.026, 0.5) }),
		exact("loeb-0.5mm", "radiation across a flat pore", "873 K, 0.5 mm, emissivity 0.9", "W/(m·K)", 0.0679, 0.00005, func() float64 { return Loeb1954(873, 0.0005, 0.9, 1) }),
		exact("loeb-1mm", "radiation across a flat pore", "873 K, 1 mm, emissivity 0.9", "W/(m·K)", 0.1358, 0.00005, func() float64 { return Loeb1954(873, 0.001, 0.9, 1) }),
		exact("shock-r", "temperature drop that starts a crack", "1 MPa, 1 GPa, ν 0.2, 5.5e-6 /K", "K", 145.45, 0.01,
			func() float64 {
				return Shock{Rupture: 1e6, Modulus: 1e9, Poisson: 0.2, Expansion: 5.5e-6}.Kingery1955R()
			}),
		exact("shock-r-prime", "the same under a mild flow of heat", "k 0.2 W/(m·K)", "W/m", 29.09, 0.01,
			func() float64 {
				return Shock{Rupture: 1e6, Modulus: 1e9, Poisson: 0.2, Expansion: 5.5e-6, Conductivity: 0.2}.Kingery1955RPrime()
			}),
		exact("diffusivity", "thermal diffusivity", "0.15 W/(m·K), 600 kg/m³, 1000 J/(kg·K)", "mm²/s", 0.25, 1e-12, func() float64 { return 1e6 * Diffusivity(0.15, 600, 1000) }),
	}
	for _, r := range []struct{ p, me, emt float64 }{
		{0.30, 0.674, 0.647}, {0.50, 0.494, 0.437}, {0.60, 0.413, 0.347}, {0.70, 0.336, 0.271}, {0.77, 0.286, 0.227}, {0.85, 0.231, 0.187}} {
		in := "ks 1, kp 0.13398, P " + number(r.p)
		checks = append(checks,
			exact("maxwell-"+number(r.p), "Maxwell-Eucken, pores apart", in, "W/(m·K)", r.me, 0.0006, func() float64 { return MaxwellEuckenUpper(1, 0.13398, r.p) }),
			exact("landauer-"+number(r.p), "effective medium", in, "W/(m·K)", r.emt, 0.0006, func() float64 { return Landauer1952(1, 0.13398, r.p) }))
	}
	for _, r := range [][2]float64{{400, 0.25}, {600, 0.27}, {800, 0.30}} {
		checks = append(checks, proof.Check{ID: "brick/firebrick-conductivity-" + number(r[0]), Quantity: "1 if the predicted band holds the conductivity of insulating firebrick",
			Inputs: "800 kg/m³, " + number(r[0]) + " °C, " + number(r[1]) + " W/(m·K)", Expected: 1, Abs: 1e-9, Standing: proof.PublishedFromMemory, Source: "mcadams1954",
			Note: "for a brick of 490 kg/m³ the best estimate is a third to a half too high",
			Ours: func() float64 {
				b := DefaultSkeleton.Conductivity(r[0]+zeroCelsius, 1-800/TrueDensityFired)
				if b.Low <= r[1] && r[1] <= b.High {
					return 1
				}
				return 0
			}})
	}
	for _, r := range [][2]float64{{0.5, 4.93}, {0.6, 2.99}, {0.7, 1.81}, {0.77, 1.28}, {0.85, 0.86}} {
		checks = append(checks, exact("ryshkewitch-"+number(r[0]), "strength of a porous ceramic", "σ0 60 MPa, b 5, P "+number(r[0]), "MPa", r[1], 0.006,
			func() float64 { return Ryshkewitch1953(60, 5, r[0]) }))
	}
	return append(checks, firebrickChecks()...)
}

// firebrickChecks hold the fits to the table of commercial firebricks beside
// SciPy's linregress on the same rows.
func firebrickChecks() []proof.Check {
	type column func(Firebrick) float64
	crushing := func(r Firebrick) float64 { return r.Crushing }
	rupture := func(r Firebrick) float64 { return r.Rupture }
	fit := func(n int, of column, exponential bool) LogFit {
		rows, _ := Firebricks()
		var x, y []float64
		for _, r := range rows[:n] {
			v := r.Density / 1000
			if exponential {
				v = 1 - r.Density/TrueDensityFired
			}
			x, y = append(x, v), append(y, of(r))
		}
		f, err := FitPower(x, y)
		if exponential {
			f, err = FitRyshkewitch(x, y)
		}
		if err != nil {
			panic(err)
		}
		return f
	}
	var checks []proof.Check
	add := func(id, what, inputs string, expected float64, of func() float64) {
		checks = append(checks, proof.Check{ID: "brick/firebrick-" + id, Quantity: what, Inputs: inputs, Expected: expected, Rel: 1e-7,
			Standing: proof.SecondImplementation, Source: "scipy",
			Note: "table firebricktable; density alone is a weak predictor: over all rows the correlation falls from 0.955 to 0.808 and the exponent from 1.91 to 1.33",
			Ours: of})
	}
	for _, r := range []struct {
		name        string
		n           int
		of          column
		exponential bool
		factor, exp float64
		r           float64
	}{
		{"crushing-12", 12, crushing, false, 4.513741184934484, 1.908017220608265, 0.9546842805185958},
		{"rupture-12", 12, rupture, false, 2.620587635861578, 1.7593825233071976, 0.93613807362798},
		{"crushing-18", 18, crushing, false, 3.555109252188341, 1.3264239853297835, 0.8077611633700437},
		{"rupture-18", 18, rupture, false, 2.186143641094327, 1.2944586222776941, 0.835958299935385},
		{"crushing-12-exp", 12, crushing, true, 241.46747870212027, 6.425280767375825, 0.9554987098083899},
		{"rupture-12-exp", 12, rupture, true, 97.2404485395879, 5.8452973558103265, 0.9243719483870256},
	} {
		in := number(float64(r.n)) + " rows of commercial insulating firebricks"
		law := "power law of density in g/cm³"
		if r.exponential {
			law = "exponential of porosity, true density 2.6 g/cm³"
		}
		add(r.name+"-factor", "factor of the "+law, in, r.factor, func() float64 { return fit(r.n, r.of, r.exponential).Factor })
		add(r.name+"-exponent", "exponent of the "+law, in, r.exp, func() float64 { return fit(r.n, r.of, r.exponential).Exponent })
		add(r.name+"-r", "correlation", in, r.r, func() float64 { return fit(r.n, r.of, r.exponential).R })
	}
	add("crushing-12-low", "lower end of the exponent at 95 %", "12 rows", 1.4889077063614264,
		func() float64 { return fit(12, crushing, false).ExponentInterval(0.95).Low })
	add("crushing-18-next-low", "the next brick of 0.6 g/cm³, lower end at 95 %", "18 rows", 1.07631582,
		func() float64 { return fit(18, crushing, false).Predict(0.6, 0.95).Low })
	add("crushing-18-next-high", "the next brick of 0.6 g/cm³, upper end at 95 %", "18 rows", 3.02855297,
		func() float64 { return fit(18, crushing, false).Predict(0.6, 0.95).High })
	below := func() float64 {
		rows, fireclay := Firebricks()
		f, n := fit(fireclay, crushing, false), 0
		for _, r := range rows[fireclay:] {
			if r.Crushing < f.Factor*math.Pow(r.Density/1000, f.Exponent) {
				n++
			}
		}
		return float64(n)
	}
	return append(checks, proof.Check{ID: "brick/firebrick-below-line", Quantity: "rows of the other clays below the line of the first twelve", Inputs: "rows 13 to 18",
		Expected: 5, Abs: 1e-9, Standing: proof.SecondImplementation, Source: "scipy", Note: "a fit over one family of clays overrates another", Ours: below})
}
