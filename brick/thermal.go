package brick

// ClaySpecificHeat is the specific heat of fired clay (J/(kg K)) at T (K):
// 820 + 0.33 t, t in °C, 0 to 1100 °C (from memory; ± 5 %).
func ClaySpecificHeat(kelvin float64) float64 { return 820 + 0.33*(kelvin-273.15) }

// ClayMeanSpecificHeat is its mean between two temperatures, in K.
func ClayMeanSpecificHeat(from, to float64) float64 { return ClaySpecificHeat((from + to) / 2) }

// Shock holds what the thermal shock indices need.
type Shock struct {
	Rupture       float64 // Pa, modulus of rupture
	Modulus       float64 // Pa, Young's modulus
	Poisson       float64 // 0.15 to 0.25 for fired clay
	Expansion     float64 // 1/K, 5 to 6e-6, quartz-rich 7 to 9e-6
	Conductivity  float64 // W/(m K)
	SurfaceEnergy float64 // J/m², energy to make new surface
}

// Kingery1955R is the sudden temperature drop (K) that starts a crack,
// R = σ(1−ν)/(Eα) (kingery1955).
func (s Shock) Kingery1955R() float64 {
	return s.Rupture * (1 - s.Poisson) / (s.Modulus * s.Expansion)
}

// Kingery1955RPrime is the same under a mild flow of heat, R' = k R, in W/m
// (kingery1955).
func (s Shock) Kingery1955RPrime() float64 { return s.Conductivity * s.Kingery1955R() }

// Hasselman1963R4 is the resistance to damage once cracks run,
// R”” = E γ/(σ²(1−ν)), in m (hasselman1963). Porous bricks start cracks
// early and stop them early: low R, high R””.
func (s Shock) Hasselman1963R4() float64 {
	return s.Modulus * s.SurfaceEnergy / (s.Rupture * s.Rupture * (1 - s.Poisson))
}

// Diffusivity is k/(ρ c), m²/s.
func Diffusivity(conductivity, density, heat float64) float64 { return conductivity / (density * heat) }
