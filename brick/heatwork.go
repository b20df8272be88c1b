package brick

import (
	"math"

	"stovewright/gas"
)

// The reference of the equivalent soak.
const (
	HeatWorkKelvin     = 1273.15          // K
	HeatWorkActivation = 325e3            // J/mol, 250 to 400 for the sintering of clay (from memory)
	gasConstant        = 8.31446261815324 // J/(mol K), exact (codata2018)
)

// HeatWork is the soak (s) at HeatWorkKelvin that would do as much as the
// course of temperature given by times (s) and temperatures (K), straight
// between the points:
//
//	H = ∫ exp(−Q/R (1/T − 1/T0)) dt
//
// with the activation energy Q in J/mol. It compares firings of one clay; it
// does not say what is enough.
func HeatWork(times, kelvin []float64, activation float64) float64 {
	var sum float64
	for i := 0; i+1 < len(times); i++ {
		sum += heatWorkPiece(times[i+1]-times[i], kelvin[i], kelvin[i+1], activation)
	}
	return sum
}

// heatWorkPiece integrates one straight piece by Simpson's rule over steps of
// at most 4 K, in which the integrand changes by a few per cent.
func heatWorkPiece(seconds, from, to, activation float64) float64 {
	rate := func(t float64) float64 { return math.Exp(-activation / gasConstant * (1/t - 1/HeatWorkKelvin)) }
	n := 2 * (1 + int(math.Abs(to-from)/8))
	h := (to - from) / float64(n)
	sum := rate(from) + rate(to)
	for k := 1; k < n; k++ {
		weight := 2.0
		if k%2 == 1 {
			weight = 4
		}
		sum += weight * rate(from+float64(k)*h)
	}
	return seconds * sum / float64(3*n)
}

// KilnHeat is where the heat of a firing goes and comes from, J for one batch.
type KilnHeat struct {
	Water       float64 // to evaporate the water held; air drying takes most of it for nothing
	Hydroxyl    Band    // to drive the bound water out of the clay
	Sensible    float64 // to heat the fired solid to the peak
	PoreFormers float64 // set free inside the bricks by what burns
}

// Needed is the heat the dry brick takes up to the peak, without kiln losses.
func (h KilnHeat) Needed() float64 { return h.Hydroxyl.Best + h.Sensible }

// Ratio is the heat set free inside the bricks over that they need: above 1
// the bricks, and not the firewood, drive the kiln from 200 to 500 °C.
func (h KilnHeat) Ratio() float64 { return h.PoreFormers / h.Needed() }

// KilnHeat works out the heats of a batch fired from 20 °C to a peak (K). The
// bound water counts the clay as kaolinite up to its loss (an upper bound where
// the clay holds organic matter), 0.6 to 0.9 MJ per kg of kaolinite (from
// memory); what burns gives the heat of its row in the ingredient table.
func (m Mix) KilnHeat(b Balance, peak float64) KilnHeat {
	const start = 293.15
	const kaoliniteLow, kaoliniteHigh = 0.6e6, 0.9e6
	h := KilnHeat{
		Water:    b.Water * (gas.WaterHeat*(373.15-start) + gas.LatentHeat(373.15)),
		Sensible: b.Fired.Mass * ClayMeanSpecificHeat(start, peak) * (peak - start),
	}
	for _, p := range m.Portions {
		r, _ := LookupIngredient(p.Ingredient.Kind)
		h.PoreFormers += p.Dry() * r.Heat
		if r.Role == "plastic" {
			kaolinite := p.Dry() * math.Min(1, p.Ingredient.Loss/KaoliniteLoss)
			h.Hydroxyl.Low += kaoliniteLow * kaolinite
			h.Hydroxyl.High += kaoliniteHigh * kaolinite
		}
	}
	h.Hydroxyl.Best = (h.Hydroxyl.Low + h.Hydroxyl.High) / 2
	return h
}

// BurnoutConstant is C of t = C d² (s/m²), from a brick broken after a time (s)
// above 600 °C: its half thickness and the half thickness of the black core
// left, in m. Oxygen diffuses through the burnt skin, so time grows with the
// square of its depth d.
func BurnoutConstant(seconds, halfThickness, coreHalf float64) float64 {
	d := halfThickness - coreHalf
	return seconds / (d * d)
}

// BurnoutTime is the time (s) that burns the core out of a brick of a half
// thickness (m).
func BurnoutTime(constant, halfThickness float64) float64 {
	return constant * halfThickness * halfThickness
}
