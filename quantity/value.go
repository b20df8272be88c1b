package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Value is an SI number together with how it is shown: the unit, and the step
// it is rounded to in that unit (1 for whole millimetres, 5 for mud, 0.1 for
// kilowatts). A step of zero shows three significant figures.
type Value struct {
	SI   float64 `json:"si"`
	Unit Unit    `json:"-"`
	Step float64 `json:"-"`
}

// MM is a length in whole millimetres, as sheet is marked.
func MM(metres float64) Value { return Value{metres, Millimetre, 1} }

// MM1 is a length in tenths of a millimetre, as gaps and gauges are measured.
func MM1(metres float64) Value { return Value{metres, Millimetre, 0.1} }

// CM2 is an area in tenths of a square centimetre.
func CM2(squareMetres float64) Value { return Value{squareMetres, SquareCM, 0.1} }

// KW is a power in tenths of a kilowatt.
func KW(watts float64) Value { return Value{watts, Kilowatt, 0.1} }

// KG is a mass in tenths of a kilogram.
func KG(kilograms float64) Value { return Value{kilograms, Kilogram, 0.1} }

// L is a volume in tenths of a litre.
func L(cubicMetres float64) Value { return Value{cubicMetres, Litre, 0.1} }

// Deg is an angle in tenths of a degree.
func Deg(radians float64) Value { return Value{radians, Degree, 0.1} }

// C is a temperature in whole degrees Celsius.
func C(kelvin float64) Value { return Value{kelvin, Celsius, 1} }

// Pct is a ratio in whole per cent.
func Pct(ratio float64) Value { return Value{ratio, Percent, 1} }

// Number prints the rounded number alone, with a decimal point.
func (v Value) Number() string {
	n := v.Unit.Number(v.SI)
	if math.IsNaN(n) || math.IsInf(n, 0) {
		return "–"
	}
	if v.Step == 0 {
		return significant(n, 3)
	}
	if rounded := math.Round(n/v.Step) * v.Step; !math.IsInf(rounded, 0) {
		n = rounded
	}
	if n == 0 {
		n = 0 // no minus zero on a drawing
	}
	return strconv.FormatFloat(n, 'f', decimals(v.Step), 64)
}

// String prints number and unit, with a decimal point.
func (v Value) String() string { return v.Format('.') }

// Format prints number and unit with the given decimal mark. Symbols that
// belong to the number itself (per cent, degrees of angle) stand as the SI
// brochure has them: a space before %, none before °.
func (v Value) Format(decimal rune) string {
	n := v.Number()
	if decimal != '.' {
		n = strings.Replace(n, ".", string(decimal), 1)
	}
	switch v.Unit.Symbol {
	case "":
		return n
	case "°":
		return n + "°"
	}
	return n + "\u00a0" + v.Unit.Symbol
}

// decimals is how many decimals a step needs: 0.25 needs two.
func decimals(step float64) int {
	for d := 0; d < 9; d++ {
		scaled := step * math.Pow(10, float64(d))
		if whole := math.Round(scaled); whole >= 1 && math.Abs(scaled-whole) < 1e-9*whole {
			return d
		}
	}
	return 9
}

// significant prints a number of any size to that many figures; all digits
// before the decimal mark are kept. Numbers that no workshop meets are printed
// with an exponent.
func significant(n float64, figures int) string {
	if n == 0 {
		return "0"
	}
	if a := math.Abs(n); a < 1e-6 || a >= 1e15 {
		return strconv.FormatFloat(n, 'e', figures-1, 64)
	}
	magnitude := int(math.Floor(math.Log10(math.Abs(n))))
	d := max(figures-1-magnitude, 0)
	return strconv.FormatFloat(n, 'f', d, 64)
}
