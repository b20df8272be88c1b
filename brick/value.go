package brick

import (
	"math"

	"stovewright/quantity"
)

// How this package shows its values: the scale's grams, hundredths of a gram
// per cubic centimetre, whole per cents.

func gramValue(kg float64) quantity.Value {
	return quantity.Value{SI: kg, Unit: quantity.Gram, Step: 5}
}

func densityValue(kgPerM3 float64) quantity.Value {
	return quantity.Value{SI: kgPerM3, Unit: quantity.GramPerCM3, Step: 0.01}
}

func pctValue(share float64) quantity.Value { return quantity.Pct(share) }

func pct1Value(share float64) quantity.Value {
	return quantity.Value{SI: share, Unit: quantity.Percent, Step: 0.1}
}

// perHour is a rate of temperature in whole kelvins an hour.
func perHour(kelvinPerSecond float64) int { return int(math.Round(kelvinPerSecond * hour)) }

func hoursValue(seconds float64) quantity.Value {
	return quantity.Value{SI: seconds, Unit: quantity.Hour, Step: 0.1}
}

func mmValue(metres float64) quantity.Value { return quantity.MM(metres) }

func celsiusValue(kelvin float64) quantity.Value {
	return quantity.Value{SI: kelvin, Unit: quantity.Celsius, Step: 10}
}
