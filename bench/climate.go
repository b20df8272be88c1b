package bench

import (
	"math"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// ClimateFuel is one fuel's default factors (ipcc2006energy).
type ClimateFuel struct {
	Key      string  `yaml:"key"`
	NCV      float64 `yaml:"ncv"` // MJ/kg
	NCVLow   float64 `yaml:"ncv_low"`
	NCVHigh  float64 `yaml:"ncv_high"`
	CO2      float64 `yaml:"co2"` // kg/TJ
	CH4      float64 `yaml:"ch4"`
	N2O      float64 `yaml:"n2o"`
	Biomass  bool    `yaml:"biomass"`
	Standing string  `yaml:"standing"`
	Note     string  `yaml:"note"`
}

// Warming is the global warming potentials of one assessment report.
type Warming struct {
	Key string  `yaml:"key"`
	CH4 float64 `yaml:"ch4"`
	N2O float64 `yaml:"n2o"`
}

var climateTable = lazy[struct {
	Description string        `yaml:"description"`
	Source      string        `yaml:"source"`
	Fuels       []ClimateFuel `yaml:"fuels"`
	GWP         []Warming     `yaml:"gwp"`
}]("climate.yaml")

// ClimateFuelOf finds a fuel's factors; WarmingOf those of a report ("AR5").
func ClimateFuelOf(key string) (ClimateFuel, bool) {
	for _, f := range climateTable().Fuels {
		if f.Key == key {
			return f, true
		}
	}
	return ClimateFuel{}, false
}

// WarmingOf finds the warming potentials of a report, such as "AR5".
func WarmingOf(key string) (Warming, bool) {
	for _, w := range climateTable().GWP {
		if w.Key == key {
			return w, true
		}
	}
	return Warming{}, false
}

// NonCO2 is methane and nitrous oxide of burning the fuel, kg CO2e/TJ.
func (f ClimateFuel) NonCO2(w Warming) float64 { return f.CH4*w.CH4 + f.N2O*w.N2O }

// PerKilogram is the warming of one kilogram burnt, kg CO2e: the CO2 of wood
// counts only for the share that is not grown again.
func (f ClimateFuel) PerKilogram(w Warming, notRenewable float64) float64 {
	share := 1.0
	if f.Biomass {
		share = notRenewable
	}
	return f.NCV * 1e-6 * (f.CO2*share + f.NonCO2(w))
}

// FuelSaving is fuel not burnt, from a measured kitchen study. There is no way
// to make one from a boiling test: laboratory results do not foretell kitchens.
type FuelSaving struct {
	PerYear    float64        // kg a household and year
	Interval   stats.Interval // the same
	Households int
	Steps      []Step
}

// daysPerYear: people cook on all of them.
const daysPerYear = 365.0

// SavingOf turns the difference of a kitchen study into fuel a household and
// year: the difference in energy a standard adult and day, over the net
// calorific value, times standard adults a household and 365 days.
func SavingOf(s KitchenStudy, fuel ClimateFuel, adults, level float64) FuelSaving {
	per := s.PairedT
	if !s.Paired {
		per = s.Comparison.Difference
		per.Estimate = -per.Estimate // base minus new
	}
	k := adults * daysPerYear / (fuel.NCV * 1e6)
	i := per.Interval(level)
	saving := FuelSaving{PerYear: per.Estimate * k, Interval: stats.Interval{Low: i.Low * k, High: i.High * k, Level: level}, Households: s.Households}
	saving.Steps = []Step{{Key: "B_sav", Symbol: "B_sav", Name: quantityName("B_sav"), Origin: Computed, Source: "ipcc2006energy",
		Equation: "B_sav = Δu·A·365/NCV", Numbers: "B_sav = " + pencil(per.Estimate/1e6) + "·" + pencil(adults) + "·365/" + pencil(fuel.NCV),
		Value: quantity.Value{SI: saving.PerYear, Unit: quantity.Kilogram}}}
	return saving
}

// SavingByEfficiency and SavingByConsumption are the general published forms for
// fuel saved against a known base use: B·(1-η_old/η_new) and B·(1-SC_new/SC_old)
// (cdm2012small). Both need figures from kitchens to mean anything.
func SavingByEfficiency(base, old, new float64) float64 { return base * (1 - old/new) }

// SavingByConsumption is B·(1-SC_new/SC_old).
func SavingByConsumption(base, old, new float64) float64 { return base * (1 - new/old) }

// Reduction is emission not made a year, with every assumption named.
type Reduction struct {
	Tonnes      float64 // t CO2e
	Assumptions []message.Text
	Words       message.Text
}

// ClimateAssumptions are what the arithmetic needs beside the saving. Each is
// printed with the result; the share not grown again has no default.
type ClimateAssumptions struct {
	NotRenewable float64 // share of the wood that does not grow again, 0 to 1
	NCV          float64 // MJ/kg
	Factor       float64 // t CO2e/TJ of what the wood displaces
	InUse        float64 // share of the stoves in use
	Leakage      float64 // factor, 0.95 where 5 % is taken off
}

// Reduce is ER = B_sav·f·NCV·EF·use·leakage with B_sav in kg/year
// (cdm2012small). It is arithmetic, not a crediting calculation, and its words
// say so.
func Reduce(saved float64, a ClimateAssumptions) Reduction {
	r := Reduction{Tonnes: saved / 1000 * a.NotRenewable * a.NCV * 1e-3 * a.Factor * a.InUse * a.Leakage, Words: message.T("bench.climate.not-credits")}
	number := func(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.One} }
	r.Assumptions = []message.Text{
		message.T("bench.climate.not-renewable", "share", quantity.Pct(a.NotRenewable)),
		message.T("bench.climate.ncv", "value", quantity.Value{SI: a.NCV * 1e6, Unit: quantity.MJPerKg}),
		message.T("bench.climate.factor", "value", number(a.Factor)),
		message.T("bench.climate.in-use", "share", quantity.Pct(a.InUse)),
		message.T("bench.climate.leakage", "value", number(a.Leakage)),
	}
	return r
}

// ReduceRange is the reduction over a span of the share that does not grow
// again, because that share decides the result and is seldom known.
func ReduceRange(saved float64, a ClimateAssumptions, shares ...float64) []Reduction {
	list := make([]Reduction, len(shares))
	for i, s := range shares {
		a.NotRenewable = math.Min(math.Max(s, 0), 1)
		list[i] = Reduce(saved, a)
	}
	return list
}
