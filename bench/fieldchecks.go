package bench

import (
	"math"

	"stovewright/proof"
)

// ratedSheet rates the ten items by hand, in their order.
func ratedSheet(ratings ...int) SafetySheet {
	var s SafetySheet
	for i, item := range safetyTable.Items {
		s.Readings = append(s.Readings, SafetyReading{Item: item.Key, Rating: ratings[i%len(ratings)]})
	}
	return s
}

// monitorExample is a day of a logger at 10-minute steps: two fires and a slow
// hump of sun.
func monitorExample() []TemperatureSample {
	samples := make([]TemperatureSample, 144)
	for i := range samples {
		samples[i] = TemperatureSample{At: int64(i) * 600, Kelvin: zeroC + 20}
	}
	put := func(from int, celsius ...float64) {
		for i, c := range celsius {
			samples[from+i].Kelvin = zeroC + c
		}
	}
	put(6, 28, 40, 55, 60, 62, 58, 45, 38, 33, 29, 26, 24, 22, 21)
	put(30, 30, 45, 50, 44, 47, 52, 40, 31, 25, 22)
	put(50, 23, 26, 28, 29, 29, 28, 26, 24, 22, 20)
	return samples
}

func fieldChecks() []proof.Check {
	var checks []proof.Check
	add := func(id, quantity, inputs, unit string, want, abs float64, standing proof.Standing, source string, ours func() float64) {
		checks = append(checks, proof.Check{ID: "bench/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: want, Abs: abs, Standing: standing, Source: source, Ours: ours})
	}
	total := func(ratings ...int) func() float64 {
		return func() float64 {
			s, err := ScoreSafety(ratedSheet(ratings...))
			if err != nil {
				return math.NaN()
			}
			return s.Total
		}
	}
	add("safety-all-4", "safety points", "ten items rated 4", "", 100, 1e-12, proof.PublishedFromMemory, "johnson2005safety", total(4))
	add("safety-all-3", "safety points", "ten items rated 3", "", 75, 1e-12, proof.PublishedFromMemory, "johnson2005safety", total(3))
	add("safety-all-1", "safety points", "ten items rated 1", "", 25, 1e-12, proof.PublishedFromMemory, "johnson2005safety", total(1))
	add("safety-mixed", "safety points", "4, 2, 3, 4, 3, 3, 3, 4, 3, 1", "", 70, 1e-12, proof.PublishedFromMemory, "johnson2005safety", total(4, 2, 3, 4, 3, 3, 3, 4, 3, 1))
	loads := []Load{{6, 0.14}, {0.7, 0.40}, {5, 0.39}}
	tip := func(feet int) func() Tip {
		return func() Tip {
			t, err := TipOver(loads, 0.14, feet, 0)
			if err != nil {
				return Tip{}
			}
			return t
		}
	}
	stack := "stove 6 kg at 0.14 m, pot 0.7 at 0.40, water 5 at 0.39, radius 0.14 m"
	degrees := 180 / math.Pi
	add("tip-round", "tip angle, round base", stack, "°", 28.0822, 1e-4, proof.Exact, "", func() float64 { return tip(0)().Angle * degrees })
	add("tip-four", "tip angle, four feet", stack, "°", 20.6703, 1e-4, proof.Exact, "", func() float64 { return tip(4)().Angle * degrees })
	add("tip-three", "tip angle, three feet", stack, "°", 14.9372, 1e-4, proof.Exact, "", func() float64 { return tip(3)().Angle * degrees })
	add("tip-three-rating", "rating of the tipping item", stack+", three feet", "", 2, 1e-12, proof.PublishedFromMemory, "johnson2005safety", func() float64 { return float64(tip(3)().Rating) })
	add("tip-four-rating", "rating of the tipping item", stack+", four feet", "", 4, 1e-12, proof.PublishedFromMemory, "johnson2005safety", func() float64 { return float64(tip(4)().Rating) })
	item, _ := safetyItem("tipping")
	for i, angle := range []float64{20, 16, 12} { // the printed limits are cosines of whole angles
		add("tip-limit-"+pencil(angle), "limit of the tilt ratio", "cosine of "+pencil(angle)+"°", "", math.Round(math.Cos(angle/degrees)*1000)/1000, 1e-12, proof.Exact, "", func() float64 { return item.Measures[0].Limits[i] })
	}

	usage := func() Usage {
		u, err := DefaultUsageRule.Detect(monitorExample())
		if err != nil {
			return Usage{}
		}
		return u
	}
	day := "one day at 10 min steps with two fires and a slow hump"
	add("use-events", "cooking events", day, "", 2, 1e-12, proof.CommonPractice, "", func() float64 { return float64(len(usage().Events)) })
	add("use-hours", "hours of use", day, "h", 2, 1e-9, proof.CommonPractice, "", func() float64 { return usage().Hours })
	add("use-peak", "peak of the first event", day, "°C", 62, 1e-9, proof.CommonPractice, "", func() float64 { return usage().Events[0].Peak - zeroC })
	return append(checks, climateChecks()...)
}

func climateChecks() []proof.Check {
	var checks []proof.Check
	add := func(id, quantity, inputs, unit string, want, rel float64, standing proof.Standing, source string, ours func() float64) {
		checks = append(checks, proof.Check{ID: "bench/climate-" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: want, Rel: rel, Standing: standing, Source: source, Ours: ours})
	}
	wood, _ := ClimateFuelOf("hardwood")
	for report, want := range map[string]float64{"AR4": 8692, "AR5": 9460, "AR6": 9192} {
		w, _ := WarmingOf(report)
		add("non-co2-"+report, "methane and nitrous oxide of wood", "300 and 4 kg/TJ, "+report, "kg/TJ", want, 1e-12, proof.PublishedFromMemory, "ipcc2006energy", func() float64 { return wood.NonCO2(w) })
	}
	ar5, _ := WarmingOf("AR5")
	add("wood-kilogram", "warming of a kilogram of wood", "30 % not grown again, AR5", "kg", 0.671736, 1e-9, proof.PublishedFromMemory, "ipcc2006energy", func() float64 { return wood.PerKilogram(ar5, 0.30) })
	// 403 kg CO2/MWh as another table prints it, against 112 t/TJ
	add("wood-co2", "CO2 of wood", "403 kg/MWh", "t/TJ", 403/3.6, 1e-3, proof.Published, "ipcc2006energy", func() float64 { return wood.CO2 / 1000 })
	all := ClimateAssumptions{NCV: 15, Factor: 81.6, InUse: 1, Leakage: 1}
	first := all
	first.NotRenewable = 0.86
	add("efficiency", "emission not made by efficiency", "3 t/yr, 10 to 25 %, share 0.86, 15 MJ/kg, 81.6 t/TJ", "t", 1.894752, 1e-9, proof.PublishedFromMemory, "cdm2012small", func() float64 { return Reduce(SavingByEfficiency(3000, 0.10, 0.25), first).Tonnes })
	second := all
	second.NotRenewable = 0.80
	add("consumption", "emission not made by consumption", "2.7 t/yr halved, share 0.80, 15 MJ/kg, 81.6 t/TJ", "t", 1.321920, 1e-9, proof.PublishedFromMemory, "cdm2012small", func() float64 { return Reduce(SavingByConsumption(2700, 2, 1), second).Tonnes })
	third := ClimateAssumptions{NotRenewable: 0.80, NCV: 15.6, Factor: 63.7, InUse: 1, Leakage: 1}
	add("later-factors", "the same with later factors", "15.6 MJ/kg, 63.7 t/TJ", "t", 1.073218, 1e-6, proof.PublishedFromMemory, "cdm2012small", func() float64 { return Reduce(SavingByConsumption(2700, 2, 1), third).Tonnes })
	return checks
}
