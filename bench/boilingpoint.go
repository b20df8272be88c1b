package bench

import (
	"math"

	"stovewright/gas"
	"stovewright/message"
	"stovewright/quantity"
)

// BoilingMethod is how the local boiling point became known.
type BoilingMethod string

// The methods, best first.
const (
	BoilingMeasured  BoilingMethod = "measured"  // the test water at a rolling boil
	BoilingBarometer BoilingMethod = "barometer" // from the pressure of the air
	BoilingAltitude  BoilingMethod = "altitude"  // from the height above the sea
)

// BoilingPoint is the local boiling point of water and how it became known.
type BoilingPoint struct {
	Kelvin float64
	U      float64 // K, standard uncertainty
	Method BoilingMethod
	Steps  []Step
	Alarms []Alarm
}

// Origin is measured for a measured boiling point, computed for the others.
func (b BoilingPoint) Origin() Origin {
	if b.Method == BoilingMeasured {
		return Measured
	}
	return Computed
}

// What each method leaves uncertain, as standard uncertainties.
const (
	// weather moves the pressure at one height by about ± 2 kPa, the boiling
	// point by ± 0.6 K; taken as limits.
	weatherLimit = 0.6
	// a phone's or an aneroid barometer, ± 2 hPa as limits; common practice.
	barometerLimit = 200.0
)

// BoilingFromRange takes the lowest and highest temperature read in five
// minutes of a rolling boil: T_b = (highest + lowest)/2 (wbt2014protocol).
// thermometer is the ± limit of the thermometer in K.
func BoilingFromRange(lowest, highest, thermometer float64) BoilingPoint {
	b := BoilingPoint{Kelvin: (lowest + highest) / 2, Method: BoilingMeasured}
	b.U = math.Hypot((highest-lowest)/math.Sqrt(12), thermometer/math.Sqrt(3))
	low, high := lowest-zeroC, highest-zeroC
	b.Steps = []Step{boilingStep(b, "T_b = (T_max + T_min)/2", "T_b = ("+pencil(high)+" + "+pencil(low)+")/2", "wbt2014protocol")}
	if highest-lowest > 1 {
		b.Alarms = append(b.Alarms, Alarm{Key: "boiling-unsteady", Severity: Suspect, Standing: "common practice", Repeat: []string{"T_b"},
			Text: message.T("bench.alarm.boiling-unsteady", "range", quantity.Value{SI: highest - lowest, Unit: quantity.KelvinDiff, Step: 0.1})})
	}
	return b
}

// BoilingFromPressure takes the pressure of the air in Pa (not reduced to sea
// level) and the saturation curve of water (if97).
func BoilingFromPressure(pascal float64) BoilingPoint {
	b := BoilingPoint{Kelvin: gas.BoilingPoint(pascal), Method: BoilingBarometer}
	slope := (gas.BoilingPoint(pascal+100) - gas.BoilingPoint(pascal-100)) / 200
	b.U = slope * barometerLimit / math.Sqrt(3)
	b.Steps = []Step{boilingStep(b, "T_b = T_sat(p)", "T_b = T_sat("+pencil(pascal/100)+" hPa)", "if97")}
	return b
}

// BoilingFromAltitude is the protocol's fallback, T_b = 100 - h/300 with h in m
// (wbt2014protocol); within 0.06 K of the standard atmosphere up to 4000 m.
func BoilingFromAltitude(metres float64) BoilingPoint {
	b := BoilingPoint{Kelvin: 100 - metres/300 + zeroC, Method: BoilingAltitude, U: weatherLimit / math.Sqrt(3)}
	b.Steps = []Step{boilingStep(b, "T_b = 100 − h/300", "T_b = 100 − "+pencil(metres)+"/300", "wbt2014protocol")}
	return b
}

// Against compares a measured boiling point with what the altitude gives: a
// thermometer that is off shows here before the first test.
func (b BoilingPoint) Against(metres float64) BoilingPoint {
	expected := gas.BoilingPoint(gas.ISAPressure(metres))
	if b.Method == BoilingMeasured && math.Abs(b.Kelvin-expected) > 2*weatherLimit {
		b.Alarms = append(b.Alarms, Alarm{Key: "boiling-altitude", Severity: Suspect, Standing: "common practice", Repeat: []string{"T_b"},
			Text: message.T("bench.alarm.boiling-altitude", "measured", celsius(b.Kelvin), "expected", celsius(expected))})
	}
	return b
}

func celsius(kelvin float64) quantity.Value {
	return quantity.Value{SI: kelvin, Unit: quantity.Celsius, Step: 0.1}
}

func boilingStep(b BoilingPoint, equation, numbers, source string) Step {
	return Step{Key: "T_b", Symbol: "T_b", Name: quantityName("T_b"), Equation: equation, Numbers: numbers,
		Value: quantity.Value{SI: b.Kelvin, Unit: quantity.Celsius}, Origin: b.Origin(), Source: source}
}
