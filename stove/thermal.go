package stove

import (
	"math"

	"stovewright/fuel"
)

// woodHeat is the lower heating value of the wood as fired, J/kg.
func woodHeat(f Fuel) float64 {
	kind, _ := fuel.Lookup(f.Kind) // the brief's word is one of fuel.Keys
	return kind.LHV(f.moisture())
}

// wallFaces is the steady temperature of the two outer faces of a brick and a
// fill cylinder: radii from the bore outward, conductivities, air temperature.
func wallFaces(r [3]float64, k [2]float64, air float64) (fill, skin float64) {
	brick := math.Log(r[1]/r[0]) / (2 * math.Pi * k[0])
	loose := math.Log(r[2]/r[1]) / (2 * math.Pi * k[1])
	film := 1 / (2 * math.Pi * r[2] * skinFilm)
	q := (hotFace - air) / (brick + loose + film)
	return hotFace - q*brick, air + q*film
}
