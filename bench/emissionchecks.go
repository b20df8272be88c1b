package bench

import (
	"math"

	"stovewright/proof"
)

// sequenceExample is one run at three levels, 30 min each.
func sequenceExample() SequenceTest {
	level := func(fuel, char, useful float64) LevelTest {
		// all the useful heat as steam, 2.26 MJ/kg, so that it is the figure wanted
		return LevelTest{Fuel: fuel, Char: char, Duration: 1800, Pots: []HeatedPot{{Evaporated: useful / 2.26, Start: 300, End: 300}}}
	}
	return SequenceTest{LHV: 18.414e6, LHVChar: 29.5e6, Moisture: 0.10, Levels: map[PowerLevel]LevelTest{
		HighPower: level(0.80, 0.05, 2.60), MediumPower: level(0.50, 0.03, 1.60), LowPower: level(0.30, 0.02, 0.85)}}
}

// plumeExample is a plume at 25 °C and the fuel of the cold start of example A.
func plumeExample() (Plume, Burnt) {
	return Plume{CO2: 2000e-6, CO: 100e-6, CH4: 8e-6, PM: 6e-6, PMCarbon: 0.5, Pressure: 101325, Temperature: 298.15},
		Burnt{Wood: 0.750, Moisture: 0.10, Char: 0.060, CarbonWood: 0.50, CarbonChar: 0.80, Useful: 2.02175e6, Duration: 22 * 60}
}

func emissionChecks() []proof.Check {
	var checks []proof.Check
	add := func(id, quantity, inputs, unit string, want, rel float64, standing proof.Standing, source string, ours func() float64) {
		checks = append(checks, proof.Check{ID: "bench/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: want, Rel: rel, Standing: standing, Source: source, Ours: ours})
	}
	for _, c := range []struct {
		id          string
		share, mass float64
		t, want     float64
	}{
		// ppm·M·p/(R·T)·1e-3, worked out apart
		{"ppm-co-25", 1e-6, molarCO, 298.15, 1.14488}, {"ppm-co-20", 1e-6, molarCO, 293.15, 1.16441}, {"ppm-co-0", 1e-6, molarCO, 273.15, 1.24967},
		{"ppm-co2-25", 1e-6, molarCO2, 298.15, 1.79883}, {"ppm-ch4-25", 1e-6, molarCH4, 298.15, 0.655742},
	} {
		add(c.id, "mass concentration of 1 ppm", c.id+" °C, 101325 Pa", "mg/m³", c.want, 5e-6, proof.Exact, "", func() float64 { return 1e6 * MassConcentration(c.share, c.mass, 101325, c.t) })
	}
	add("hood-co", "CO through a hood", "50 ppm above background, 0.10 m³/s, 25 °C, 22 min", "g", 7.55622, 2e-6, proof.Exact, "", func() float64 {
		h := Hood{Pressure: 101325, Temperature: 298.15, Background: HoodSample{CO: 3e-6}}
		e, err := h.Capture([]HoodSample{{Time: 0, CO: 53e-6, Flow: 0.1}, {Time: 660, CO: 53e-6, Flow: 0.1}, {Time: 1320, CO: 53e-6, Flow: 0.1}})
		if err != nil {
			return math.NaN()
		}
		return 1000 * e.CO
	})
	add("filter", "particles through a duct by filter", "1.25 mg, 16.7 L/min of 6 m³/min", "mg", 449.1018, 1e-6, proof.Exact, "", func() float64 { return FilterMass(1.25, 6, 0.0167, 0) })
	balance := func() CarbonBalance {
		b, err := BalanceCarbon(plumeExample())
		if err != nil {
			return CarbonBalance{}
		}
		return b
	}
	plume := "2000 ppm CO2, 100 CO, 8 CH4, 6 mg/m³ particles; 750 g wood at 10 %, 60 g char"
	f := "fleming2018emissions"
	for _, c := range []struct {
		id, quantity, unit string
		want               float64
		of                 func(CarbonBalance) float64
	}{
		{"carbon-plume", "carbon in the plume", "mg/m³", 1037.89762, func(b CarbonBalance) float64 { return b.PlumeCarbon * 1e6 }},
		{"carbon-burnt", "carbon burnt", "g", 289.5, func(b CarbonBalance) float64 { return b.Carbon * 1000 }},
		{"carbon-co2", "CO2 emitted", "g", 1003.4903, func(b CarbonBalance) float64 { return b.Emitted.CO2 * 1000 }},
		{"carbon-co", "CO emitted", "g", 31.934107, func(b CarbonBalance) float64 { return b.Emitted.CO * 1000 }},
		{"carbon-ch4", "CH4 emitted", "g", 1.4632456, func(b CarbonBalance) float64 { return b.Emitted.CH4 * 1000 }},
		{"carbon-pm", "particles emitted", "g", 1.6735755, func(b CarbonBalance) float64 { return b.Emitted.PM * 1000 }},
		{"carbon-ef-co2", "CO2 a dry wood", "g/kg", 1486.652, func(b CarbonBalance) float64 { return b.PerDryWood.CO2 * 1000 }},
		{"carbon-ef-co", "CO a dry wood", "g/kg", 47.30979, func(b CarbonBalance) float64 { return b.PerDryWood.CO * 1000 }},
		{"carbon-mj-co", "CO an energy delivered", "g/MJ", 15.79528, func(b CarbonBalance) float64 { return b.PerUseful.CO * 1e9 }},
		{"carbon-mj-pm", "particles an energy delivered", "mg/MJ", 827.7856, func(b CarbonBalance) float64 { return b.PerUseful.PM * 1e12 }},
		{"carbon-rate-co", "rate of CO", "g/min", 1.451550, func(b CarbonBalance) float64 { return b.Rate.CO * 60e3 }},
		{"carbon-rate-pm", "rate of particles", "mg/min", 76.07161, func(b CarbonBalance) float64 { return b.Rate.PM * 60e6 }},
		{"carbon-mce", "modified combustion efficiency", "", 2000.0 / 2100, func(b CarbonBalance) float64 { return b.MCE }},
		{"carbon-nce", "nominal combustion efficiency", "", 0.946024, func(b CarbonBalance) float64 { return b.NCE }},
		{"carbon-volume", "volume of the plume", "m³", 278.92925, func(b CarbonBalance) float64 { return b.Volume }},
	} {
		add(c.id, c.quantity, plume, c.unit, c.want, 2e-6, proof.PublishedFromMemory, f, func() float64 { return c.of(balance()) })
	}
	add("carbon-closure", "carbon in all that was emitted over carbon burnt", plume, "", 1, 1e-12, proof.Exact, "", func() float64 {
		p, b := plumeExample()
		return CloseCarbon(balance().Emitted, p.PMCarbon, b).Ratio
	})
	return append(checks, roomChecks()...)
}

func roomChecks() []proof.Check {
	// rates in mg (or g) a minute, so that concentrations come out in mg (or g) a m³
	room := func(rate float64) Room {
		return Room{Volume: 30, AirChanges: 15.0 / 3600, EntersRoom: 1, EmissionPer: rate / 60}
	}
	exact := func(id, inputs, unit string, want float64, ours func() float64) proof.Check {
		return proof.Check{ID: "bench/room-" + id, Quantity: "concentration in one well-mixed room", Inputs: inputs, Unit: unit, Expected: want, Rel: 2e-7, Standing: proof.Exact, Ours: ours}
	}
	day := func(r Room) float64 { return r.Mean(4*3600, 24*3600) }
	// f·G·t_b/(λ·V·T): 15 air changes, 30 m³, 4 h of 24
	return []proof.Check{
		exact("pm-023", "0.23 mg/min for 4 h a day", "µg/m³", 5.111111, func() float64 { return 1000 * day(room(0.23)) }),
		exact("pm-vented", "0.80 mg/min, a quarter entering", "µg/m³", 4.444444, func() float64 { r := room(0.80); r.EntersRoom = 0.25; return 1000 * day(r) }),
		exact("pm-175", "1.75 mg/min for 4 h a day", "µg/m³", 38.888889, func() float64 { return 1000 * day(room(1.75)) }),
		exact("pm-1", "1 mg/min for 4 h a day", "µg/m³", 22.222222, func() float64 { return 1000 * day(room(1)) }),
		exact("co-016", "0.16 g/min for 4 h a day", "mg/m³", 3.555556, func() float64 { return 1000 * day(room(0.16)) }),
		exact("steady", "1 mg/min, burning on", "µg/m³", 133.333333, func() float64 { return 1000 * room(1).Steady() }),
		exact("ten-minutes", "1 mg/min, ten minutes after lighting", "µg/m³", 122.388667, func() float64 { return 1000 * room(1).At(600) }),
		{ID: "bench/room-scaling", Quantity: "mean at twice the emission and twice the air", Inputs: "3.5 mg/min at 30 h⁻¹ over 1.75 at 15 h⁻¹", Expected: 1, Abs: 1e-9,
			Standing: proof.Published, Source: "who2014indoor", Ours: func() float64 {
				r := room(3.5)
				r.AirChanges *= 2
				return day(r) / day(room(1.75))
			}},
	}
}

func tierChecks() []proof.Check {
	var checks []proof.Check
	tier := func(scale, indicator string, number, want float64, standing proof.Standing, source string) {
		checks = append(checks, proof.Check{ID: "bench/tier-" + scale + "-" + indicator + "-" + pencil(number), Quantity: "tier, " + indicator, Inputs: pencil(number) + ", " + scale,
			Expected: want, Abs: 1e-12, Standing: standing, Source: source, Ours: func() float64 {
				s, _ := ScaleOf(scale)
				i, _ := s.Indicator(indicator)
				t := i.Of(units[i.Unit].SI(number))
				if !t.Known() {
					return math.NaN()
				}
				return float64(t.Low)
			}})
	}
	for _, c := range []struct {
		indicator    string
		number, want float64
	}{
		{"efficiency", 50, 5}, {"efficiency", 49.999, 4}, {"efficiency", 10, 1}, {"efficiency", 9.99, 0}, {"co", 3, 5}, {"co", 3.01, 4}, {"co", 18.4, 0},
		{"pm", 5, 5}, {"pm", 62, 4}, {"pm", 62.1, 3}, {"pm", 1031, 1}, {"pm", 1032, 0}, {"safety", 95, 5}, {"safety", 94.9, 4}, {"safety", 59, 0}, {"durability", 36, 0}, {"durability", 9, 5},
	} {
		tier("iso-default", c.indicator, c.number, c.want, proof.Published, "iso19867part3")
	}
	for _, c := range []struct {
		indicator    string
		number, want float64
	}{{"high-power-efficiency", 19.9, 1}, {"low-power-use", 0.037511, 2}, {"high-power-pm", 41, 4}, {"indoor-co", 0.98, 0}, {"safety", 70, 1}, {"safety", 75, 2}} {
		tier("iwa-11-2012", c.indicator, c.number, c.want, proof.PublishedFromMemory, "iwa2012guidelines")
	}
	five := []float64{0.301, 0.318, 0.295, 0.324, 0.307}
	report := func() TierReport {
		s, _ := ScaleOf("iso-default")
		i, _ := s.Indicator("efficiency")
		r, err := i.report(s.Key, five)
		if err != nil {
			return TierReport{}
		}
		return r
	}
	second := func(id, quantity string, want, abs float64, ours func() float64) {
		checks = append(checks, proof.Check{ID: "bench/replicates-" + id, Quantity: quantity, Inputs: "30.1, 31.8, 29.5, 32.4, 30.7 %", Expected: want, Abs: abs,
			Standing: proof.SecondImplementation, Source: "scipy2020", Ours: ours})
	}
	second("sd", "standard deviation, %", 1.193734, 1e-6, func() float64 { return 100 * report().Summary.SD })
	second("low", "90 % two-sided lower limit, %", 29.761905, 1e-6, func() float64 { return 100 * report().Interval.Low })
	second("one-sided", "90 % one-sided lower bound, %", 30.081492, 1e-6, func() float64 { return 100 * report().OneSided })
	second("point", "tier of the mean", 3, 1e-12, func() float64 { return float64(report().Point.Low) })
	second("conservative", "tier of the two-sided lower limit", 2, 1e-12, func() float64 { return float64(report().Conservative.Low) })
	second("one-sided-tier", "tier of the one-sided lower bound", 3, 1e-12, func() float64 { return float64(report().OneSidedTier.Low) })
	return append(checks, sequenceChecks()...)
}

func sequenceChecks() []proof.Check {
	var checks []proof.Check
	for _, c := range []struct {
		id, quantity string
		want         float64
		of           func(SequenceResult) float64
	}{
		{"h0-high", "efficiency without char credit, high", 0.199041, func(r SequenceResult) float64 { return r.Levels[HighPower].EfficiencyNoChar }},
		{"h0-medium", "the same, medium", 0.195979, func(r SequenceResult) float64 { return r.Levels[MediumPower].EfficiencyNoChar }},
		{"h0-low", "the same, low", 0.173523, func(r SequenceResult) float64 { return r.Levels[LowPower].EfficiencyNoChar }},
		{"hc-high", "efficiency with char credit, high", 0.224377, func(r SequenceResult) float64 { return r.Levels[HighPower].EfficiencyChar }},
		{"hc-medium", "the same, medium", 0.219806, func(r SequenceResult) float64 { return r.Levels[MediumPower].EfficiencyChar }},
		{"hc-low", "the same, low", 0.197285, func(r SequenceResult) float64 { return r.Levels[LowPower].EfficiencyChar }},
		{"fire-high", "firepower, high, kW", 7.257022, func(r SequenceResult) float64 { return r.Levels[HighPower].Firepower / 1000 }},
		{"fire-low", "firepower, low, kW", 2.721383, func(r SequenceResult) float64 { return r.Levels[LowPower].Firepower / 1000 }},
		{"cook-high", "cooking power, high, kW", 1.444444, func(r SequenceResult) float64 { return r.Levels[HighPower].CookingPower / 1000 }},
		{"cook-low", "cooking power, low, kW", 0.472222, func(r SequenceResult) float64 { return r.Levels[LowPower].CookingPower / 1000 }},
		{"mean", "mean efficiency of the levels", 0.189514, func(r SequenceResult) float64 { return r.EfficiencyNoChar }},
	} {
		checks = append(checks, sequenceCheck(c.id, c.quantity, c.want, false, c.of))
	}
	return append(checks,
		sequenceCheck("energy", "efficiency of the levels by energy", 0.193299, true, func(r SequenceResult) float64 { return r.EfficiencyNoChar }),
		sequenceCheck("energy-char", "the same with char credit", 0.217905, true, func(r SequenceResult) float64 { return r.EfficiencyChar }))
}

func sequenceCheck(id, quantity string, want float64, byEnergy bool, of func(SequenceResult) float64) proof.Check {
	return proof.Check{ID: "bench/sequence-" + id, Quantity: quantity, Inputs: "0.80, 0.50, 0.30 kg; char 0.05, 0.03, 0.02; 2.60, 1.60, 0.85 MJ useful; LHV 18.414 dry, 10 % moisture",
		Expected: want, Abs: 1e-6, Standing: proof.PublishedFromMemory, Source: "iso19867part1", Note: "computed apart by hand from the equations", Ours: func() float64 {
			t := sequenceExample()
			t.WeightByHeat = byEnergy
			r, err := RunSequence(t)
			if err != nil {
				return math.NaN()
			}
			return of(r)
		}}
}
