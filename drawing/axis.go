package drawing

import "math"

// RoundStep is the step of an axis: the smallest of 1, 2 or 5 times a power of ten
// that divides a span into at most so many parts, in the unit of the span. It is 0
// where there is no step: the span is not above zero or has no end, or most is less
// than 1.
func RoundStep(span float64, most int) float64 {
	if !(span > 0) || math.IsInf(span, 0) || most < 1 {
		return 0
	}
	part := span / float64(most)
	decade := math.Pow(10, math.Floor(math.Log10(part)))
	for _, f := range []float64{1, 2, 5} {
		if part <= f*decade*(1+1e-9) { // three parts of 0.1 make a little more than 0.3
			return f * decade
		}
	}
	return 10 * decade
}

// Marks are the places on an axis that stand from low to high at whole multiples of a
// step, upwards. An axis of three parts or more has at least one. There are none where
// the step is not above zero, as that of an axis without a span.
func Marks(step, low, high float64) []float64 {
	if !(step > 0) {
		return nil
	}
	first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
	var list []float64
	for i := 0.0; i <= last-first; i++ {
		list = append(list, (first+i)*step)
	}
	return list
}

// Widen makes a span of numbers wider by a twelfth at both ends, so that marks and
// their crosses stand clear of the frame of a chart. A single number becomes a span
// around it.
func Widen(low, high float64) (float64, float64) {
	d := (high - low) / 12
	if !(d > 0) {
		d = math.Max(math.Abs(low)/10, 1e-9)
	}
	return low - d, high + d
}
