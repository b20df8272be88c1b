package heat

import (
	"math"

	"stovewright/gas"
)

// ChurchillChu1975Laminar is the mean Nusselt number of free convection on a
// vertical plate for Ra < 1e9 (key churchill1975vertical):
//
//	Nu = 0.68 + 0.670 Ra^¼ / [1 + (0.492/Pr)^(9/16)]^(4/9).
func ChurchillChu1975Laminar(ra, pr float64) float64 {
	return 0.68 + 0.670*math.Sqrt(math.Sqrt(ra))/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 4.0/9)
}

// ChurchillChu1975 is the mean Nusselt number of free convection on a vertical
// plate for any Ra below 1e12 (key churchill1975vertical):
//
//	Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}².
func ChurchillChu1975(ra, pr float64) float64 {
	root := 0.825 + 0.387*math.Pow(ra, 1.0/6)/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 8.0/27)
	return root * root
}

// LloydMoran1974 is the mean Nusselt number of free convection above a hot
// horizontal plate, on area over perimeter (key lloyd1974): 0.54 Ra^¼ up to
// Ra = 1e7, 0.15 Ra^⅓ above.
func LloydMoran1974(ra float64) float64 {
	if ra <= 1e7 {
		return 0.54 * math.Sqrt(math.Sqrt(ra))
	}
	return 0.15 * math.Cbrt(ra)
}

// Film holds the properties of air at a film temperature and pressure.
type Film struct {
	T, Density, Viscosity, Conductivity, Cp float64
}

// filmAir is dry air for the outside of the stove.
var filmAir = gas.DryAir.Thermo()

// AirFilm gives the properties of air at a temperature in K and pressure in Pa.
func AirFilm(t, p float64) Film {
	return Film{t, gas.Density(p, filmAir.M, t), gas.SutherlandViscosity(t), gas.ClassicConductivity(t), filmAir.Cp(t)}
}

// Prandtl is the Prandtl number.
func (f Film) Prandtl() float64 { return f.Viscosity * f.Cp / f.Conductivity }

// Rayleigh is gβΔT L³/(να) for an ideal gas, β = 1/T.
func (f Film) Rayleigh(difference, length float64) float64 {
	nu := f.Viscosity / f.Density
	alpha := f.Conductivity / (f.Density * f.Cp)
	return Gravity / f.T * math.Abs(difference) * length * length * length / (nu * alpha)
}

// OuterVertical is the coefficient in W/(m² K) with which an upright surface at
// ts loses heat to still air and surroundings at ta: free convection by
// [ChurchillChu1975Laminar] over its height in m, or [ChurchillChu1975] above
// Ra = 1e9, and radiation with its emissivity.
func OuterVertical(ts, ta, height, emissivity, p float64) float64 {
	film := AirFilm((ts+ta)/2, p)
	ra, pr := film.Rayleigh(ts-ta, height), film.Prandtl()
	nu := ChurchillChu1975Laminar(ra, pr)
	if ra > 1e9 {
		nu = ChurchillChu1975(ra, pr)
	}
	return nu*film.Conductivity/height + RadiationCoefficient(emissivity, ts, ta)
}

// OuterUpward is the same for a surface that faces up, with length its area over
// its perimeter in m, by [LloydMoran1974].
func OuterUpward(ts, ta, length, emissivity, p float64) float64 {
	film := AirFilm((ts+ta)/2, p)
	nu := LloydMoran1974(film.Rayleigh(ts-ta, length))
	return nu*film.Conductivity/length + RadiationCoefficient(emissivity, ts, ta)
}

// lewisTwoThirds is Le^(2/3) of water vapour in air, for the analogy between
// heat and mass transfer (handbook value 0.89 to 0.92; key incropera2007).
const lewisTwoThirds = 0.9

// Evaporation is the water in kg/(m² s) that leaves an open surface at tw into
// still air at ta, with vapour pressure vapour in Pa far away, pressure p, and a
// heat transfer coefficient h in W/(m² K), by the Lewis analogy:
//
//	m = h/(ρ cp Le^⅔) (ρv,s - ρv,∞).
//
// It holds below boiling; near the boiling point it underestimates, for there
// vapour drives out the air.
func Evaporation(h, tw, ta, vapour, p float64) float64 {
	film := AirFilm((tw+ta)/2, p)
	steam := gas.Density(gas.SaturationPressure(tw), gas.H2O.MolarMass(), tw)
	return h / (film.Density * film.Cp * lewisTwoThirds) * (steam - gas.Density(vapour, gas.H2O.MolarMass(), ta))
}
