package bench

import (
	"math"

	"stovewright/proof"
)

// meal is a cooking test: moist wood, char and cooked food in g.
func meal(wood, char, food float64) CookingTest {
	return CookingTest{Kind: Controlled, Form: ShortForm, Dish: "beans", Wood: Wood{LHV: 18414e3, LHVFrom: Default, Moisture: 0.12},
		WoodBefore: 5, WoodAfter: 5 - wood/1000, CharPan: 0.25, Char: Known(0.25 + char/1000),
		Pots: []CookingPot{{0.7, 0.7 + food/1000}}, Duration: 6000}
}

// cookingExample is four meals on each of two stoves.
func cookingExample() (base, new CookingSeries) {
	base = CookingSeries{"open fire", []CookingTest{meal(2650, 55, 3120), meal(2480, 50, 3050), meal(2790, 60, 3180), meal(2560, 52, 3090)}}
	new = CookingSeries{"new stove", []CookingTest{meal(1720, 35, 3080), meal(1850, 38, 3130), meal(1660, 33, 3045), meal(1790, 40, 3105)}}
	return base, new
}

// kitchenExample is one household over three days, 14 % moisture.
func kitchenExample() Kitchen {
	people := People{Children: 3, Women: 2, Men: 1, ElderMen: 1}
	return Kitchen{Code: "H01", People: []People{people, people, people},
		Fuels: []KitchenFuel{{Key: "hardwood", LHV: 18414e3, Moisture: 0.14, Days: []FuelDay{{10, 0, 3.8}, {3.8, 8, 6.1}, {6.1, 2, 1.6}}}}}
}

// pairExample is a household's fuel before and after, in kg of dry wood a
// standard adult and day; fuel of 1 MJ/kg dry, so that the energy is the mass.
func pairExample() (before, after []Kitchen) {
	x := []float64{1.62, 1.35, 1.98, 1.48, 1.75, 1.22, 1.55, 1.83, 1.41, 1.66}
	y := []float64{1.10, 1.05, 1.42, 0.98, 1.30, 0.95, 1.21, 1.25, 1.12, 1.08}
	one := func(i int, used float64) Kitchen {
		day := FuelDay{Start: used, End: 0}
		man := People{Men: 1}
		return Kitchen{Code: "H" + string(rune('A'+i)), People: []People{man, man, man}, Fuels: []KitchenFuel{{Key: "wood", LHV: 1e6, Days: []FuelDay{day, day, day}}}}
	}
	for i := range x {
		before, after = append(before, one(i, x[i])), append(after, one(i, y[i]))
	}
	return before, after
}

func cookingChecks() []proof.Check {
	var checks []proof.Check
	add := func(id, quantity, inputs, unit string, want, abs float64, standing proof.Standing, source string, ours func() float64) {
		checks = append(checks, proof.Check{ID: "bench/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: want, Abs: abs, Standing: standing, Source: source, Ours: ours})
	}
	base, new := cookingExample()
	consumption := func(t CookingTest) func() float64 {
		return func() float64 {
			r, err := Cook(t)
			if err != nil {
				return math.NaN()
			}
			return r.Consumption * 1000
		}
	}
	for i, want := range []float64{708.762821, 679.241967, 731.139623, 691.888673} {
		add("cooking-base-"+pencil(float64(i+1)), "specific fuel consumption", "cooking example, base, meal "+pencil(float64(i+1)), "g/kg", want, 1e-6, proof.PublishedFromMemory, "cct2004protocol", consumption(base.Tests[i]))
	}
	for i, want := range []float64{466.341558, 493.405751, 455.630870, 479.685668} {
		add("cooking-new-"+pencil(float64(i+1)), "specific fuel consumption", "cooking example, new stove, meal "+pencil(float64(i+1)), "g/kg", want, 1e-6, proof.PublishedFromMemory, "cct2004protocol", consumption(new.Tests[i]))
	}
	comparison := func() Comparison {
		c, err := CompareCooking(base, new, DefaultSettings)
		if err != nil {
			return Comparison{}
		}
		return c
	}
	add("cooking-t", "Welch t of new and base", "cooking example", "", -16.477935, 1e-6, proof.SecondImplementation, "scipy2020", func() float64 { return comparison().Difference.T })
	add("cooking-p", "its two-sided p", "cooking example", "", 6.959252e-6, 1e-11, proof.SecondImplementation, "scipy2020", func() float64 { return comparison().P })
	add("cooking-saving-low", "saving, lower 95 % limit", "cooking example", "%", 28.58183, 1e-4, proof.SecondImplementation, "scipy2020", func() float64 { _, i := comparison().Ratio.Saving(); return 100 * i.Low })
	add("cooking-saving-high", "saving, upper 95 % limit", "cooking example", "%", 36.36339, 1e-4, proof.SecondImplementation, "scipy2020", func() float64 { _, i := comparison().Ratio.Saving(); return 100 * i.High })
	add("wood-budget", "wood to lay in", "2.5 kg a meal, 3 stoves, 3 tests each", "kg", 45, 1e-12, proof.Published, "cct2004protocol", func() float64 { return WoodBudget(2.5, 3, 3).SI })

	use := func() FuelUse {
		r, err := MeasureKitchen(kitchenExample())
		if err != nil {
			return FuelUse{}
		}
		return r.Fuels["hardwood"]
	}
	household := "18.4 kg in three days, 14 % moisture, 3 children, 2 women, 1 man, 1 old man"
	add("adults", "standard adult equivalents", "3 children, 2 women, 1 man, 1 old man", "", 4.9, 1e-12, proof.PublishedFromMemory, "fao1983surveys", kitchenExample().People[0].AdultEquivalents)
	add("kitchen-dry", "dry fuel a standard adult and day", household, "kg", 15.824/14.7, 1e-9, proof.PublishedFromMemory, "kpt2007protocol", func() float64 { return use().Dry })
	add("kitchen-moist", "moist fuel a standard adult and day", household, "kg", 18.4/14.7, 1e-9, proof.PublishedFromMemory, "kpt2007protocol", func() float64 { return use().Moist })
	study := func() KitchenStudy {
		before, after := pairExample()
		s, err := StudyPairs(before, after, DefaultSettings)
		if err != nil {
			return KitchenStudy{}
		}
		return s
	}
	pairs := "ten households before and after"
	add("pairs-t", "paired t", pairs, "", 10.948800, 1e-6, proof.SecondImplementation, "scipy2020", func() float64 { return study().PairedT.T })
	add("pairs-low", "difference, lower 95 % limit", pairs, "kg", 0.348297, 1e-6, proof.SecondImplementation, "scipy2020", func() float64 { return study().PairedT.Interval(0.95).Low / 1e6 })
	add("pairs-saving", "saving", pairs, "%", 27.69716, 1e-5, proof.Exact, "", func() float64 { return 100 * study().Saving })
	return append(checks, planChecks()...)
}

// planChecks are the textbook tables of sample sizes, each from
// n = k(z_{1-α/2}+z_power)²·CV²/d² worked out apart.
func planChecks() []proof.Check {
	var checks []proof.Check
	rows := []struct {
		cv, d, power float64
		paired       bool
		want         float64
	}{
		{0.2, 0.10, 0.8, false, 63}, {0.3, 0.20, 0.8, false, 36}, {0.4, 0.15, 0.8, false, 112}, {0.5, 0.25, 0.8, false, 63}, {0.6, 0.40, 0.8, false, 36},
		{0.8, 0.30, 0.8, false, 112}, {1.0, 0.10, 0.8, false, 1570}, {0.1, 0.50, 0.8, false, 1}, {0.3, 0.10, 0.8, true, 71}, {0.4, 0.25, 0.8, true, 21},
		{0.5, 0.15, 0.8, true, 88}, {0.2, 0.20, 0.9, false, 22}, {0.3, 0.10, 0.9, false, 190}, {0.4, 0.25, 0.9, false, 54},
	}
	for _, r := range rows {
		kind := "groups"
		if r.paired {
			kind = "pairs"
		}
		checks = append(checks, proof.Check{ID: "bench/plan-" + kind + "-" + pencil(r.cv) + "-" + pencil(r.d) + "-" + pencil(r.power), Quantity: "textbook sample size, " + kind,
			Inputs: "CV " + pencil(r.cv) + ", difference " + pencil(r.d) + ", power " + pencil(r.power), Expected: r.want, Abs: 1e-9, Standing: proof.Exact,
			Ours: func() float64 {
				return float64(PlanStudy(Design{CV: r.cv, Difference: r.d, Paired: r.paired, Alpha: 0.05, Power: r.power}).Textbook)
			}})
	}
	return checks
}
