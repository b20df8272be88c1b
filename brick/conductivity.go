package brick

import (
	"math"

	"stovewright/gas"
	"stovewright/internal/num"
)

const stefanBoltzmann = 5.670374419e-8 // W/(m² K⁴), exact since 2019 (codata2018)

// MaxwellEuckenUpper is the conductivity of a solid (ks) with pores (kp) apart
// from each other (eucken1932 after Maxwell), which is also the upper
// Hashin–Shtrikman bound (hashin1962) when ks > kp:
//
//	k = ks (2ks+kp−2P(ks−kp))/(2ks+kp+P(ks−kp))
//
// P porosity 0 to 1; all conductivities in W/(m K).
func MaxwellEuckenUpper(ks, kp, porosity float64) float64 {
	d := ks - kp
	return ks * (2*ks + kp - 2*porosity*d) / (2*ks + kp + porosity*d)
}

// MaxwellEuckenLower is the same with the pores joined and the solid in
// grains apart from each other: the lower Hashin–Shtrikman bound (hashin1962).
func MaxwellEuckenLower(ks, kp, porosity float64) float64 {
	return MaxwellEuckenUpper(kp, ks, 1-porosity)
}

// Landauer1952 is the effective medium of grains and pores mixed at random
// (landauer1952, after Bruggeman):
//
//	b = (3P−1)kp + (2−3P)ks,  k = (b + √(b²+8 ks kp))/4
//
// With kp far below ks it collapses at P = 2/3, where the grains would lose
// touch; a brick with more pores than that still holds together, so it is
// never used alone above P = 0.6.
func Landauer1952(ks, kp, porosity float64) float64 {
	b := (3*porosity-1)*kp + (2-3*porosity)*ks
	return (b + math.Sqrt(b*b+8*ks*kp)) / 4
}

// Loeb1954 is the conductivity that radiation lends a pore of size d (m) at T
// (K): 4 G ε σ T³ d (loeb1954). G is 1 for a flat pore across the flow of
// heat, 2/3 for a sphere; ε the emissivity of the pore wall.
func Loeb1954(kelvin, size, emissivity, shape float64) float64 {
	return 4 * shape * emissivity * stefanBoltzmann * kelvin * kelvin * kelvin * size
}

// Skeleton is what the conductivity of a body stands on besides its porosity.
type Skeleton struct {
	Solid      float64 // W/(m K), of the pore-free fired clay
	PoreSize   float64 // m, of the pores left by the pore former
	Emissivity float64 // of the pore wall
	Shape      float64 // G of Loeb1954
}

// DefaultSkeleton is fired clay without a measurement: solid 1.2 W/(m K) (1.0
// to 1.6 from glassy to quartz-rich, from memory), round pores of 0.3 mm as from
// sawdust sieved at 1 mm, walls of emissivity 0.9.
var DefaultSkeleton = Skeleton{Solid: 1.2, PoreSize: 0.3e-3, Emissivity: 0.9, Shape: 2.0 / 3}

// WithSieve is the skeleton with pores as the pore former's sieve (m) leaves
// them: a third of its mesh, for most grains are finer than it (common practice).
func (s Skeleton) WithSieve(mesh float64) Skeleton {
	s.PoreSize = mesh / 3
	return s
}

// Pore is the conductivity of a pore: still air and radiation across it.
func (s Skeleton) Pore(kelvin float64) float64 {
	return gas.ClassicConductivity(kelvin) + Loeb1954(kelvin, s.PoreSize, s.Emissivity, s.Shape)
}

// Band is a value with the range it is believed to lie in.
type Band struct {
	Low, Best, High float64
}

// Conductivity is the conductivity of a porous body at T (K): the band from
// Landauer1952 to MaxwellEuckenUpper, and as best estimate their geometric
// mean. The mean is this program's own proposal; no measured series stands
// behind it. Beside commercial insulating firebrick (mcadams1954) the band of
// the default skeleton holds the values for 800 kg/m³, and its best estimate is
// a third to a half too high for 490 kg/m³ from 400 to 1000 °C. The band holds
// the pore structure, not the solid: a quartz-rich clay conducts more, an
// under-fired one less.
func (s Skeleton) Conductivity(kelvin, porosity float64) Band {
	p := s.Pore(kelvin)
	low, high := Landauer1952(s.Solid, p, porosity), MaxwellEuckenUpper(s.Solid, p, porosity)
	return Band{low, math.Sqrt(low * high), high}
}

// Calibrated is the skeleton whose best estimate meets one measured
// conductivity (W/(m K)) at T (K) and porosity, by the solid alone. It answers
// false where no solid between 0.1 and 10 W/(m K) does. Published clay bricks
// often conduct less than the default says: 0.47 without sawdust and 0.22 with a
// tenth of it, fired at 1000 °C (geomatesawdust).
func (s Skeleton) Calibrated(conductivity, kelvin, porosity float64) (Skeleton, bool) {
	solid, err := num.Brent(func(solid float64) float64 {
		s.Solid = solid
		return s.Conductivity(kelvin, porosity).Best - conductivity
	}, 0.1, 10, 1e-9)
	s.Solid = solid
	return s, err == nil
}
