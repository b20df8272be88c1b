package gas

import "math"

// AirPrandtl is the Prandtl number that is used for air and flue gas alike; the
// mixture rules give 0.69 to 0.70 from 500 to 1500 K.
const AirPrandtl = 0.70

// SutherlandViscosity is the viscosity of air in Pa s,
//
//	μ = 1.716e-5 (T/273.15)^1.5 · 383.55/(T + 110.4)
//
// with T in K (White, key white1991). Against handbook tables it lies within 0
// to -2.3 % from 300 to 1200 K; published tables disagree among themselves above
// 1300 K.
func SutherlandViscosity(t float64) float64 {
	x := t / 273.15
	return 1.716e-5 * x * math.Sqrt(x) * 383.55 / (t + 110.4)
}

// ClassicConductivity is the thermal conductivity of air in W/(m K),
//
//	k = 2.6482e-3 √T / (1 + 245.4·10^(-12/T)/T)
//
// with T in K: the form of the standard atmosphere (key ussa1976, which prints
// 2.64638e-3 in its last edition). It lies 0.8 to
// 2.6 % above the table of Çengel (key cengel) from 0 to 1500 °C. The Sutherland
// form for conductivity, good below 400 K only, is up to 6 % low there.
func ClassicConductivity(t float64) float64 {
	return 2.6482e-3 * math.Sqrt(t) / (1 + 245.4*math.Exp(-12*math.Ln10/t)/t)
}

// Viscosity is the Sutherland viscosity of one species in Pa s (White, key
// white1991).
func (s Species) Viscosity(t float64) float64 {
	c := table[s].sutherland
	x := t / c[1]
	return c[0] * x * math.Sqrt(x) * (c[1] + c[2]) / (t + c[2])
}

// Conductivity is the thermal conductivity of one species in W/(m K) by the
// modified Eucken rule, k = μ/M (1.32 cv + 1.77 R); for argon 2.5 μ cv/M.
func (s Species) Conductivity(t float64) float64 {
	cv := s.MolarCp(t) - R
	mu := s.Viscosity(t)
	if s == Ar {
		return 2.5 * mu * cv / table[s].molarMass
	}
	return mu / table[s].molarMass * (1.32*cv + 1.77*R)
}

// Wilke gives viscosity in Pa s and conductivity in W/(m K) of a mixture by the
// rule of Wilke (key wilke1950),
//
//	X = Σ xᵢ Xᵢ / Σⱼ xⱼ φᵢⱼ,  φᵢⱼ = [1 + (μᵢ/μⱼ)^½ (Mⱼ/Mᵢ)^¼]² / √(8 (1 + Mᵢ/Mⱼ)),
//
// with the same weights for both, for 250 to 1500 K.
func (m Mixture) Wilke(t float64) (viscosity, conductivity float64) {
	m = m.Normalised()
	var mu [speciesCount]float64
	for s := range mu {
		mu[s] = Species(s).Viscosity(t)
	}
	for i, x := range m {
		if x == 0 {
			continue
		}
		weight := 0.0
		for j, y := range m {
			mi, mj := table[i].molarMass, table[j].molarMass
			a := 1 + math.Sqrt(mu[i]/mu[j])*math.Sqrt(math.Sqrt(mj/mi))
			weight += y * a * a / math.Sqrt(8*(1+mi/mj))
		}
		viscosity += x * mu[i] / weight
		conductivity += x * Species(i).Conductivity(t) / weight
	}
	return viscosity, conductivity
}
