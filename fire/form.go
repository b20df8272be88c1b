package fire

import (
	"math"
	"strings"

	"stovewright/gas"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// Form is what is asked of a fire, as it is written: every entry is text with its
// unit, kept as the user wrote it. What is left empty the stove and its brief
// say: see [Light]. [Form.Read] turns it into a task and coefficients.
type Form struct {
	Stove        string            `yaml:"stove,omitempty"` // record of the stove that it belongs to
	Power        string            `yaml:"power,omitempty"` // firepower on the way to the boil
	Water        string            `yaml:"water,omitempty"` // or food that is mostly water
	Start        string            `yaml:"start,omitempty"` // temperature of the water
	Hold         string            `yaml:"hold,omitempty"`  // kept hot after the boil
	Lid          string            `yaml:"lid,omitempty"`
	Sticks       string            `yaml:"sticks,omitempty"`        // burning at a time; empty feeds evenly
	StickMass    string            `yaml:"stick_mass,omitempty"`    // of each
	HeatingValue string            `yaml:"heating_value,omitempty"` // higher one of the dry wood, where it was measured
	Pressure     string            `yaml:"pressure,omitempty"`      // of the air, by a barometer that is not set to sea level
	Coefficients map[string]string `yaml:"coefficients,omitempty"`  // yours in place of the table's, by key, in its unit
}

// formStart is how a file of this form begins.
const formStart = "power: 4 kW"

// Fields are the entries of a [Form] but for its coefficients.
var Fields = form.Fields{
	form.Text("stove", ""),
	form.Number("power", quantity.Kilowatt, 0.5, 25, false, "4 kW"),
	form.Number("water", quantity.Litre, 0.1, 500, false, "5 L"),
	form.Number("start", quantity.Celsius, 0.1, 95, false, "25 °C"),
	form.Number("hold", quantity.Minute, 0, 1440, false, "45 min"),
	form.OneOf("lid", false, "no", "yes"),
	{Path: "sticks", Kind: form.Whole, Min: 0, Max: 12, Example: "3"},
	form.Number("stick_mass", quantity.Gram, 10, 5000, false, "200 g"),
	form.Number("heating_value", quantity.MJPerKg, 8, 38, false, "19.8 MJ/kg"),
	form.Number("pressure", quantity.Hectopascal, 520, 1080, false, "880 hPa"),
}.Named("fire.field.", "fire.help.")

// ParseForm reads a file of the form. The error is a [message.InputErrors].
func ParseForm(data []byte) (f Form, err error) {
	err = append(Fields, form.Text("coefficients", "")).Decode(data, &f, formStart)
	return f, err
}

// Write is the form as a file that [ParseForm] reads back.
func (f Form) Write() ([]byte, error) { return form.Encode(f) }

// Read puts what is written in place of what the stove says, and of the table.
// The error is a [message.InputErrors]; what is wrong then stays as it was.
func (f Form) Read(l Lit) (Lit, Coefficients, error) {
	r := form.Reader{Fields: Fields}
	if h, ok := r.Number("heating_value", f.HeatingValue); ok {
		l.Fuel.MeasuredHHV = h
	}
	if p, ok := r.Number("pressure", f.Pressure); ok {
		l.Air.Pressure = p
	}
	if w, ok := r.Number("power", f.Power); ok {
		l.Task.Power = w
	}
	if v, ok := r.Number("water", f.Water); ok {
		if l.Holds > 0 && v*gas.PlainWater > l.Holds {
			e := r.Complain("water", f.Water, message.T("fire.water-over", "most", quantity.L(l.Holds/gas.PlainWater)))
			e.Try = quantity.L(l.Task.Water / gas.PlainWater).String()
		} else {
			l.Task.Water = v * gas.PlainWater
		}
	}
	if t, ok := r.Number("start", f.Start); ok {
		if most := l.Air.BoilingPoint() - 1; t > most {
			r.Complain("start", f.Start, message.T("fire.start-boils", "most", quantity.C(most)))
		} else {
			l.Task.Start = t
		}
	}
	if t, ok := r.Number("hold", f.Hold); ok {
		l.Task.Hold = t
	}
	l.Stove.Pot.Lid = r.Word("lid", f.Lid, "no") == "yes"
	l.Task.Sticks.Burning = r.Whole("sticks", f.Sticks)
	if mass, ok := r.Number("stick_mass", f.StickMass); ok {
		l.Task.Sticks.Mass = mass
	}
	if l.Task.Sticks.Burning > 0 && l.Task.Sticks.Mass == 0 {
		l.Task.Sticks.Mass = usualStick
	}
	c := Defaults()
	complaints := append(r.Complaints, f.coefficients(&c)...)
	return l, c, complaints.OrNil()
}

// usualStick is the mass of a stick where none is written, kg: an arm's length,
// two fingers thick (common practice).
const usualStick = 0.2

// PotFace is the temperature in K of the outer face of a pot in which water
// boils, for the steady point that stands for a stove at its work: some kelvin
// above the boiling point (common practice; the boil run computes it).
func (a Air) PotFace() float64 { return a.BoilingPoint() + 7 }

// coefficients puts the user's own into the table's.
func (f Form) coefficients(c *Coefficients) (list message.InputErrors) {
	complain := func(key, text string, reason message.Text, k Coefficient) {
		low, high := k.Limits()
		number := func(x float64) quantity.Value { return quantity.Value{SI: x, Unit: quantity.One} }
		list = append(list, &message.InputError{Field: "coefficients." + key, Value: form.Clip(text), Reason: reason,
			Allowed: message.T("form.allowed-range", "low", number(low), "high", number(high)), Try: number(k.Row().Value).Number()})
	}
	for i, row := range rows {
		text, k := strings.TrimSpace(f.Coefficients[row.Key]), Coefficient(i)
		if text == "" {
			continue
		}
		v, err := quantity.Parse(text, quantity.Ratio, quantity.One)
		low, high := k.Limits()
		switch {
		case err != nil:
			complain(row.Key, text, form.Unread(err), k)
		case v < low || v > high:
			complain(row.Key, text, message.T("form.out-of-range"), k)
		default:
			c[k] = v
		}
	}
	if c[BedCool] > c[BedHot] {
		complain(BedCool.String(), f.Coefficients[BedCool.String()], message.T("fire.bed-order"), BedCool)
	}
	for key, text := range f.Coefficients {
		if _, known := CoefficientByKey(key); known {
			continue
		}
		keys := make([]string, len(rows))
		for i, row := range rows {
			keys[i] = row.Key
		}
		near := message.Nearest(key, keys)
		list = append(list, &message.InputError{Field: "coefficients." + form.Clip(key), Value: form.Clip(text),
			Reason: message.T("fire.no-coefficient"), Allowed: message.T("form.allowed-words", "words", strings.Join(keys, ", ")), Try: near})
	}
	return list
}

// Changed reports whether somebody put own values in place of the table's, and
// how many.
func (c Coefficients) Changed() (n int) {
	for i, row := range rows {
		if c[i] != row.Value {
			n++
		}
	}
	return n
}

// widest is how far beyond the judged range a value may be set: by this factor.
const widest = 4.0

// Limits are the values that a coefficient may be set to: well beyond the range
// that the table judges likely, and no further than it keeps a meaning.
func (k Coefficient) Limits() (low, high float64) {
	row := rows[k]
	low, high = row.Low/widest, row.High*widest
	switch k {
	case Blockage:
		high = 0.9 // some opening must be left
	case Combustion, BedEmissivity, BedShare, FlameEmissivity, PotAbsorptivity, SkirtEmissivity, LidLeak, CharYield:
		high = 1
	case BedCool, BedHot:
		low, high = 500, 1600
	}
	return low, math.Max(low, high)
}
