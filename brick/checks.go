package brick

import (
	"stovewright/proof"
)

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	var all []proof.Check
	for _, part := range [][]proof.Check{balanceChecks(), mouldChecks(), measureChecks(), propertyChecks(), firingChecks(), nextChecks(), clayChecks()} {
		all = append(all, part...)
	}
	return all
}

// baseMix is the recipe of common practice, 500 g dry sawdust, 900 g moist
// clay, 1200 g water, with the clay at 25 % moisture unless said otherwise.
func baseMix(water float64) Mix { return recipe(0.500, 0.900, water, 0.25) }

func recipe(sawdust, clay, water, clayMoisture float64) Mix {
	c, _ := DefaultIngredient("clay")
	s, _ := DefaultIngredient("sawdust")
	c.Moisture, s.Moisture = clayMoisture, 0
	return Mix{Portions: []Portion{{Ingredient: c, Mass: clay}, {Ingredient: s, Mass: sawdust}}, Water: water}
}

func balanced(m Mix, f Forming, of func(Balance) float64) func() float64 {
	return func() float64 {
		b, err := m.Balance(f)
		if err != nil {
			panic(err) // the inputs stand in this file
		}
		return of(b)
	}
}

func firedDensity(b Balance) float64 { return b.Fired.Density() / 1000 }

func balanceChecks() []proof.Check {
	base := "500 g dry sawdust, 900 g clay at 25 % moisture, 1200 g water; air 5 %, shrinkage 5 % and 2 %, loss 10 %, ash 1 %"
	exact := func(id, quantity, inputs, unit string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "brick/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: expected, Abs: abs,
			Standing: proof.Exact, Ours: ours, Note: "arithmetic of the stated balance by hand; the defaults are assumptions, not data"}
	}
	f := DefaultForming()
	checks := []proof.Check{
		{ID: "brick/kaolinite-loss", Quantity: "loss on firing of kaolinite", Inputs: "Al2Si2O5(OH)4, 258.16 g/mol, 2 H2O", Unit: "%",
			Expected: 13.957, Abs: 0.002, Standing: proof.Exact, Ours: func() float64 { return 100 * KaoliniteLoss },
			Note: "36.0306/258.1604"},
		exact("base-wet-volume", "wet volume of the base recipe", base, "cm³", 2119.0, 0.05,
			balanced(baseMix(1.2), f, func(b Balance) float64 { return b.Wet.Volume * 1e6 })),
		exact("base-wet-density", "wet density of the base recipe", base, "g/cm³", 1.227, 0.0005,
			balanced(baseMix(1.2), f, func(b Balance) float64 { return b.Wet.Density() / 1000 })),
		exact("base-dry-density", "dry density of the base recipe", base, "g/cm³", 0.6467, 0.00005,
			balanced(baseMix(1.2), f, func(b Balance) float64 { return b.Dry.Density() / 1000 })),
		exact("base-fired-density", "fired density of the base recipe", base, "g/cm³", 0.3582, 0.00005,
			balanced(baseMix(1.2), f, firedDensity)),
		exact("base-porosity", "total porosity of the base recipe", base, "", 0.8622, 0.00005,
			balanced(baseMix(1.2), f, func(b Balance) float64 { return b.Porosity })),
		exact("base-dry-share", "sawdust in the dry solids, clay at 20 % moisture", "500 g dry sawdust, 900 g clay", "%", 41.0, 0.05,
			func() float64 { return 100 * 0.5 / recipe(0.5, 0.9, 1.2, 0.20).solids().dry }),
		exact("base-water-ratio", "water per dry solids, clay at 20 % moisture", "500 g, 900 g, 1200 g", "", 1.13, 0.005,
			balanced(recipe(0.5, 0.9, 1.2, 0.20), f, Balance.MoistureDry)),
	}
	for _, r := range [][2]float64{{600, 0.510}, {800, 0.447}, {1000, 0.398}, {1400, 0.326}} {
		grams := number(r[0])
		checks = append(checks, exact("base-water-"+grams, "fired density with less or more water", base+", but water "+grams+" g",
			"g/cm³", r[1], 0.0005, balanced(baseMix(r[0]/1000), f, firedDensity)))
	}
	return append(checks, sensitivityChecks()...)
}

// sensitivityChecks change one value of the base recipe at a time.
func sensitivityChecks() []proof.Check {
	type change func(m *Mix, f *Forming, v float64)
	var checks []proof.Check
	for _, row := range []struct {
		id, what string
		set      change
		pairs    [][2]float64 // value, fired density in g/cm³
	}{
		{"moisture", "clay moisture", func(m *Mix, _ *Forming, v float64) { m.Portions[0].Ingredient.Moisture = v },
			[][2]float64{{0.15, 0.417}, {0.20, 0.387}, {0.30, 0.330}, {0.35, 0.302}}},
		{"loss", "loss of the clay", func(m *Mix, _ *Forming, v float64) { m.Portions[0].Ingredient.Loss = v },
			[][2]float64{{0.05, 0.378}, {0.08, 0.366}, {0.12, 0.350}, {0.1396, 0.343}}},
		{"drying", "drying shrinkage", func(_ *Mix, f *Forming, v float64) { f.Drying = Drying(v) },
			[][2]float64{{0, 0.307}, {0.03, 0.336}, {0.08, 0.394}, {0.10, 0.421}}},
		{"firing", "firing shrinkage", func(_ *Mix, f *Forming, v float64) { f.Firing = Firing(v) },
			[][2]float64{{0, 0.337}, {0.01, 0.347}, {0.04, 0.381}, {0.06, 0.406}}},
		{"air", "entrained air", func(_ *Mix, f *Forming, v float64) { f.Air = v }, [][2]float64{{0, 0.377}, {0.10, 0.339}, {0.15, 0.320}}},
		{"sawdust", "dry sawdust, kg", func(m *Mix, _ *Forming, v float64) { m.Portions[1].Mass = v },
			[][2]float64{{0.3, 0.382}, {0.4, 0.370}, {0.6, 0.347}}},
		{"ash", "ash of the sawdust", func(m *Mix, _ *Forming, v float64) { m.Portions[1].Ingredient.Loss = 1 - v }, [][2]float64{{0.003, 0.356}, {0.03, 0.364}}},
	} {
		for _, p := range row.pairs {
			m, f := baseMix(1.2), DefaultForming()
			row.set(&m, &f, p[0])
			checks = append(checks, proof.Check{ID: "brick/sensitivity-" + row.id + "-" + number(p[0]), Quantity: "fired density with another " + row.what,
				Inputs: "base recipe, " + row.what + " " + number(p[0]), Unit: "g/cm³", Expected: p[1], Abs: 0.00055, Standing: proof.Exact,
				Note: "arithmetic of the balance by hand, three decimals", Ours: balanced(m, f, firedDensity)})
		}
	}
	return checks
}

func mouldChecks() []proof.Check {
	mould := func(fired float64, d Drying, f Firing) float64 {
		c, err := CavityFor(Size{fired, fired, fired}, Uniform(AxisShrinkage{Drying: d, Firing: f}), Size{})
		if err != nil {
			panic(err)
		}
		return c.Size[Length]
	}
	starts := func(good int, yield, confidence float64) func() float64 {
		return func() float64 {
			n, err := Starts(good, yield, confidence)
			if err != nil {
				panic(err)
			}
			return float64(n)
		}
	}
	return []proof.Check{
		{ID: "brick/shrinkage-total", Quantity: "total shrinkage", Inputs: "drying 6.25 % on wet, firing 6.66 % on dry length", Unit: "%",
			Expected: 12.494, Abs: 0.001, Standing: proof.Exact, Ours: func() float64 { return 100 * float64(Combine(0.0625, 0.0666)) },
			Note: "a published ceramics text prints 12.5; the sum 12.91 is wrong"},
		{ID: "brick/mould-114", Quantity: "mould for a fired edge of 114 mm", Inputs: "drying 6 %, firing 3 % on the dry length", Unit: "mm",
			Expected: 125.03, Abs: 0.005, Standing: proof.Exact, Ours: func() float64 { return 1000 * mould(0.114, 0.06, 0.03) }},
		{ID: "brick/mould-7-percent", Quantity: "mould for a fired edge of 100 mm", Inputs: "total shrinkage 7 %", Unit: "mm",
			Expected: 107.5, Abs: 0.05, Standing: proof.Exact, Ours: func() float64 { return 1000 * mould(0.100, 0.07, 0) }},
		{ID: "brick/starts-24", Quantity: "bricks to start for 24 good ones", Inputs: "yield .97 .93 .90 .95, confidence 95 %",
			Expected: 37, Abs: 1e-9, Standing: proof.Exact, Ours: starts(24, UsualYield.Product(), 0.95)},
		{ID: "brick/starts-24-mean", Quantity: "the same by the mean alone", Inputs: "yield .7713", Expected: 32, Abs: 1e-9,
			Standing: proof.Exact, Ours: func() float64 { return float64(StartsByMean(24, 0.7713)) }},
		{ID: "brick/chance-32", Quantity: "chance that 32 started give 24 good", Inputs: "yield .7713", Expected: 0.700, Abs: 0.0005,
			Standing: proof.Exact, Ours: func() float64 { return ChanceOfEnough(32, 24, 0.7713) }},
		{ID: "brick/chance-36", Quantity: "chance that 36 started give 24 good", Inputs: "yield .7713", Expected: 0.9498, Abs: 0.00005,
			Standing: proof.Exact, Ours: func() float64 { return ChanceOfEnough(36, 24, 0.7713) }},
		{ID: "brick/chance-37", Quantity: "chance that 37 started give 24 good", Inputs: "yield .7713", Expected: 0.971, Abs: 0.0005,
			Standing: proof.Exact, Ours: func() float64 { return ChanceOfEnough(37, 24, 0.7713) }},
		{ID: "brick/starts-300", Quantity: "bricks to start for 300 good ones by the mean", Inputs: "losses 5, 10 and 3 %", Expected: 362, Abs: 1e-9,
			Standing: proof.Exact, Ours: func() float64 { return float64(StartsByMean(300, 0.95*0.90*0.97)) }},
	}
}
