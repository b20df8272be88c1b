package bench

import (
	"math"
	"strconv"
	"strings"

	"stovewright/stats"
)

// DryToWet turns moisture of the dry mass, as electronic meters show it, into
// moisture of the wet mass: M = U/(1+U).
func DryToWet(u float64) float64 { return u / (1 + u) }

// WetToDry is the inverse, U = M/(1-M), for M < 1.
func WetToDry(m float64) float64 { return m / (1 - m) }

// OvenDry is the moisture of the wet mass by drying to constant mass,
// M = (m_wet-m_dry)/(m_wet-m_tin) (iso18134moisture). Masses in any one unit.
func OvenDry(wet, dry, tin float64) float64 { return (wet - dry) / (wet - tin) }

// howDried is the way from three weighings (kg) to the moisture.
func howDried(wet, dry, tin float64) How {
	grams := func(kg float64) string { return pencil(1000 * kg) }
	return How{"m = (wet − dry)/(wet − tin)", "m = (" + grams(wet) + " − " + grams(dry) + ")/(" + grams(wet) + " − " + grams(tin) + ")"}
}

// howMetered is the way from readings of the dry mass to the moisture.
func howMetered(read []float64) How {
	parts := make([]string, len(read))
	for i, u := range read {
		parts[i] = pencil(u) + "/(1 + " + pencil(u) + ")"
	}
	if len(parts) == 1 {
		return How{"m = U/(1 + U)", "m = " + parts[0]}
	}
	return How{"m = mean of U/(1 + U)", "m = (" + strings.Join(parts, " + ") + ")/" + strconv.Itoa(len(parts))}
}

// AsReceived is the lower heating value of moist fuel in J/kg,
// LHV·(1-M) - 2.443·M MJ/kg (iso18125calorific).
func AsReceived(lhvDry, moisture float64) float64 {
	return lhvDry*(1-moisture) - latentHeat25*moisture
}

// latentHeat25 is the heat of evaporation of water at 25 °C in J/kg, as the
// fuel standards round it (iso18125calorific).
const latentHeat25 = 2.443e6

// meanAndError is the mean of meter readings and its standard uncertainty: the
// scatter, but never less than the meter's own ± 1 % moisture as limits
// (common practice).
func meanAndError(readings []float64) (mean, u float64) {
	s, err := stats.Describe(readings)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	u = 0.01 / math.Sqrt(3)
	if s.N > 1 {
		u = math.Hypot(u, s.SE)
	}
	return s.Mean, u
}
