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

func kilosOf(kg float64) quantity.Value {
	return quantity.Value{SI: kg, Unit: quantity.Kilogram, Step: 0.1}
}

func densityOf(kgPerM3 float64) quantity.Value {
	return quantity.Value{SI: kgPerM3, Unit: quantity.GramPerCM3, Step: 0.01}
}

func percentOf(share float64) quantity.Value {
	return quantity.Value{SI: share, Unit: quantity.Percent, Step: 0.1}
}

func mpaOf(pa float64) quantity.Value {
	return quantity.Value{SI: pa, Unit: quantity.Megapascal, Step: 0.1}
}

func hoursOf(s float64) quantity.Value {
	return quantity.Value{SI: s, Unit: quantity.Hour, Step: 0.1}
}

func celsiusOf(kelvin float64) quantity.Value {
	return quantity.Value{SI: kelvin, Unit: quantity.Celsius, Step: 10}
}

func perMetreKelvin(k float64) quantity.Value {
	return quantity.Value{SI: k, Unit: quantity.WPerMK, Step: 0.01}
}

// band is a value with the range it is believed to lie in.
func bandText(b brick.Band, show func(float64) quantity.Value) message.Text {
	return message.T("web.bricks.band", "best", show(b.Best), "low", bare(show(b.Low)), "high", bare(show(b.High)))
}

// bare is a value shown without its unit.
func bare(v quantity.Value) quantity.Value {
	return quantity.Value{SI: v.Unit.Number(v.SI), Unit: quantity.One, Step: v.Step}
}

// plain is a value as a text.
func plainText(v any) message.Text { return message.T("web.bricks.plain", "value", v) }

// brickFact is something known, with its name.
type brickFact struct {
	Name  message.Text
	Value message.Text
	Note  message.Text // what to make of it
}

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
