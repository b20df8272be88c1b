package bench

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

// Origin says where a figure comes from.
type Origin string

// The origins of a figure.
const (
	Measured Origin = "measured" // read off an instrument in this test
	Asked    Origin = "asked"    // told by a person
	Assumed  Origin = "assumed"  // taken over from elsewhere in the test, as the protocol allows
	Default  Origin = "default"  // a constant of the protocol or of a handbook
	Yours    Origin = "yours"    // a constant that the user put in place of the default
	Computed Origin = "computed"
)

// Step is one line of a calculation as a pencil would write it.
type Step struct {
	Phase    string // "cold", "hot", "simmer" or "" for the whole test
	Key      string // name in the protocol's data file
	Symbol   string // as printed
	Name     message.Text
	Equation string // with symbols, "f_d = (f_m·… )/LHV"; empty for a reading or a constant
	Numbers  string // the same with the numbers in place
	Value    quantity.Value
	Origin   Origin
	Source   string // bibliography key, of a constant or an equation
	Note     message.Text
}

// Number is the value in the protocol's unit.
func (s Step) Number() float64 { return s.Value.Unit.Number(s.Value.SI) }

// ID names the step within its test: "cold.f_d".
func (s Step) ID() string { return qualified(s.Phase, s.Key) }

func qualified(phase, key string) string {
	if phase == "" {
		return key
	}
	return phase + "." + key
}

// pencil prints a number with six figures, as it goes into an equation.
func pencil(v float64) string {
	s := strconv.FormatFloat(v, 'g', 6, 64)
	if strings.Contains(s, "e") {
		if a := strconv.FormatFloat(v, 'f', -1, 64); len(a) <= 12 {
			s = a
		}
	}
	if strings.HasPrefix(s, "-") {
		return "(" + strings.Replace(s, "-", "−", 1) + ")"
	}
	return s
}

// units are the units of the protocols by how the data files write them.
var units = map[string]quantity.Unit{
	"":             quantity.One,
	"%":            quantity.Percent,
	"g":            quantity.Gram,
	"kg":           quantity.Kilogram,
	"mg":           {Symbol: "mg", Dimension: quantity.Mass, Factor: 1e-6},
	"min":          quantity.Minute,
	"h":            quantity.Hour,
	"°C":           quantity.Celsius,
	"K":            quantity.KelvinDiff,
	"L":            quantity.Litre,
	"W":            quantity.Watt,
	"kW":           quantity.Kilowatt,
	"kJ":           {Symbol: "kJ", Dimension: quantity.Energy, Factor: 1e3},
	"MJ":           quantity.Megajoule,
	"kJ/kg":        {Symbol: "kJ/kg", Dimension: quantity.SpecificEnergy, Factor: 1e3},
	"MJ/kg":        quantity.MJPerKg,
	"MJ/(kg·K)":    {Symbol: "MJ/(kg·K)", Factor: 1e6},
	"kJ/(kg·K)":    {Symbol: "kJ/(kg·K)", Factor: 1e3},
	"g/min":        {Symbol: "g/min", Dimension: quantity.MassFlow, Factor: 1e-3 / 60},
	"mg/min":       {Symbol: "mg/min", Dimension: quantity.MassFlow, Factor: 1e-6 / 60},
	"g/L":          {Symbol: "g/L", Dimension: quantity.Density, Factor: 1},
	"g/kg":         {Symbol: "g/kg", Factor: 1e-3},
	"kJ/L":         {Symbol: "kJ/L", Factor: 1e6},
	"MJ/(min·L)":   {Symbol: "MJ/(min·L)", Factor: 1e9 / 60},
	"g/MJ":         {Symbol: "g/MJ", Factor: 1e-9},
	"mg/MJ":        {Symbol: "mg/MJ", Factor: 1e-12},
	"g/(min·L)":    {Symbol: "g/(min·L)", Factor: 1.0 / 60},
	"mg/(min·L)":   {Symbol: "mg/(min·L)", Factor: 1e-3 / 60},
	"kg/(SAE·day)": {Symbol: "kg/(SAE·day)", Factor: 1},
	"MJ/(SAE·day)": {Symbol: "MJ/(SAE·day)", Factor: 1e6},
}

// Pencil is the value as it goes into an equation, with its unit: "4.186
// kJ/(kg·K)". Nothing that the calculation uses is rounded away in it.
func (s Step) Pencil() string {
	number := strings.Trim(pencil(s.Number()), "()")
	if s.Value.Unit.Symbol == "" {
		return number
	}
	return number + " " + s.Value.Unit.Symbol
}

// shares are results that are read in per cent.
var shares = []string{"m", "h", "h_0", "h_hp", "h0", "hc", "h0_mean", "h0_energy", "hc_mean", "hc_energy", "e_char", "y_char"}

// steps are what a result is rounded to, by the unit it is read in; other
// results have three figures.
var steps = map[string]float64{"g": 1, "min": 0.1, "°C": 0.1, "kW": 0.1, "g/min": 0.1, "%": 0.1}

// Shown is the value as it is read: shares in per cent, power in kilowatts,
// rounded for the instruments of the trade. [Step.Value] keeps the protocol's
// unit.
func (s Step) Shown() quantity.Value { return Shown(s.Key, s.Value) }

// Shown turns a value of a result, by the result's key without its phase, into
// how it is read.
func Shown(key string, v quantity.Value) quantity.Value {
	switch {
	case v.Unit == quantity.One && slices.Contains(shares, key):
		v.Unit = quantity.Percent
	case v.Unit == quantity.Watt:
		v.Unit = quantity.Kilowatt
	}
	v.Step = steps[v.Unit.Symbol]
	if slices.Contains(rates, v.Unit.Symbol) && math.Abs(v.Unit.Number(v.SI)) < 20*v.Step {
		v.Step = 0 // a small stove's cooking power would be one figure
	}
	return v
}

// rates are the units of which small results keep three figures.
var rates = []string{"kW", "g/min"}

// ShownSpread is how far a result scatters or may be off, as it is read: in the
// steps of the result, finer where it is smaller than those, two figures where
// the result has three.
func ShownSpread(key string, v quantity.Value) quantity.Value {
	v = Shown(key, v)
	v.Step = steps[v.Unit.Symbol]
	number := math.Abs(v.Unit.Number(v.SI))
	if v.Unit.Offset != 0 || !(number > 0) || math.IsInf(number, 0) {
		return v
	}
	leading := math.Pow(10, math.Floor(math.Log10(number)))
	switch {
	case v.Step == 0:
		v.Step = leading / 10
	case number < v.Step:
		v.Step = leading
	}
	return v
}
