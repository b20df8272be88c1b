package web

import (
	"math"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// How the brick pages show values: the scale's grams, hundredths of a gram per
// cubic centimetre, whole per cents.

func gramsOf(kg float64) quantity.Value {
	step := 5.0
	if math.Abs(kg) < 0.1 {
		step = 1
	}
	return quantity.Value{SI: kg, Unit: quantity.Gram, Step: step}
}

// shown makes a way to show values of a unit, rounded to a step.
func shown(u quantity.Unit, step float64) func(float64) quantity.Value {
	return func(si float64) quantity.Value { return quantity.Value{SI: si, Unit: u, Step: step} }
}

var (
	kilosOf        = shown(quantity.Kilogram, 0.1)
	densityOf      = shown(quantity.GramPerCM3, 0.01)
	percentOf      = shown(quantity.Percent, 0.1)
	mpaOf          = shown(quantity.Megapascal, 0.1)
	hoursOf        = shown(quantity.Hour, 0.1)
	celsiusOf      = shown(quantity.Celsius, 10)
	perMetreKelvin = shown(quantity.WPerMK, 0.01)
)

// bandText is a value with the range it is believed to lie in.
func bandText(b brick.Band, show func(float64) quantity.Value) message.Text {
	return message.T("web.bricks.band", "best", show(b.Best), "low", bare(show(b.Low)), "high", bare(show(b.High)))
}

// bare is a value shown without its unit.
func bare(v quantity.Value) quantity.Value {
	return quantity.Value{SI: v.Unit.Number(v.SI), Unit: quantity.One, Step: v.Step}
}

// plainText is a value as a text.
func plainText(v any) message.Text { return message.T("web.bricks.plain", "value", v) }

// brickFact is something known, with its name.
type brickFact struct {
	Name  message.Text
	Value message.Text
	Note  message.Text // what to make of it
}

// brickFactOf names a value by a message.
func brickFactOf(id string, value message.Text) brickFact {
	return brickFact{Name: message.T(id), Value: value}
}

// answerStrip is the shortest account of a sheet beside its form.
type answerStrip struct {
	Short []brickFact // two or three, for a telephone
	Facts []brickFact
	Words []message.Text
	More  bool // there is more below the form
}
