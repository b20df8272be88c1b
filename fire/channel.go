package fire

import (
	_ "embed"
	"fmt"
	"math"

	"github.com/goccy/go-yaml"

	"stovewright/gas"
	"stovewright/heat"
)

// Law holds the numbers of the pot channel's laws, fitted to the rows of a flow
// solver (see [FlowRows] and [FitLaw]). With g the gap under the pot, R the
// throat's radius, r the place, s the gap of the side (in powers that where the side
// begins), ξ the path up it, T/Tp gas over pot temperature, properties at the film
// temperature and Nu on twice the gap:
//
//	centre  h = h(Sibulkin) · c0 (g/R)^c1
//	ring    Nu³ = 4.86³ + [b r0 Re0^½ (g/R)^r1 (r/R)^r2 (T/Tp)^r3]³,  Re0 = ṁ/(πRμ)
//	side    Nu = (T/2Tp)^s5 [4.86 + e s0 (Re/300)^s1 (s/g)^s2 (6s/R)^s3 E],  e = 1 - sin β,
//	        E the mean of e^(-300 x/(s4 Re)) over the cell,  x = ∫dξ/s
//	turn    K = t0 (g/R)^t1 (Re0/1000)^t2 (2R/Rp)^t3 (1 - sin α)² on the throat ring
//	corner  K = k0 (1 - sin β)² on the side's entrance
//
// Under a round pot g is the gap at the throat, for the centre its mean up to
// there; the jet keeps the speed that it has there, so that its h does not follow
// the gap outwards. Where the plate rises at an angle α, it fills the bubble
// under the jet, which then is no faster than the gap makes it: b² (see
// [Model.jetSpeed]) is 1 over a level plate. β is the slope of the pot's bottom at
// its edge: the gas turns the less there. These were reasoned and then held
// against round and sunken rows, not fitted; channel.yaml has their errors.
//
// The gas turns the rim of the chamber as a jet that hugs the pot over a bubble
// on the plate, so that the ring's law is that of a laminar boundary layer
// (square root of Re) and not of a channel. The corner at the pot's edge stirs it:
// the side takes more at first, the longer the faster the gas, and no more where
// a well opens into a skirt or narrows into one.
type Law struct {
	Centre [2]float64 `yaml:"centre,flow"`
	Ring   [4]float64 `yaml:"ring,flow"`
	Side   [6]float64 `yaml:"side,flow"`
	Turn   [4]float64 `yaml:"turn,flow"`
	Corner [1]float64 `yaml:"corner,flow"`
}

//go:embed channel.yaml
var lawFile []byte

// fittedLaw is the law in use.
var fittedLaw = func() Law {
	var file struct {
		Description string   `yaml:"description"`
		Standing    string   `yaml:"standing"`
		Source      string   `yaml:"source"`
		Law         Law      `yaml:"law"`
		Errors      LawError `yaml:"errors"`
	}
	if err := yaml.UnmarshalWithOptions(lawFile, &file, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("fire: embedded channel law: %v", err)) // part of the program, tested
	}
	return file.Law
}()

// FittedLaw is the law in use.
func FittedLaw() Law { return fittedLaw }

// Turning losses of the published equations (common practice).
const (
	publishedTurn   = 1.5
	publishedCorner = 1.0
)

// centre multiplies the stagnation coefficient under the pot's middle.
func (l *Law) centre(gapOverThroat float64) float64 {
	return l.Centre[0] * math.Pow(gapOverThroat, l.Centre[1])
}

// shape works out what of a cell's law depends on its place alone.
func (l *Law) shape(k *cell, m *Model) {
	throat := m.throat
	if k.zone == ring {
		k.strength = l.Ring[0] * math.Pow(k.before/throat, l.Ring[1]) * math.Pow(k.radius/throat, l.Ring[2]) * k.gap / k.before * math.Sqrt(m.jetSpeed())
		k.reThroat = k.radius / throat
		return
	}
	entrance := m.stove.Side[0].GapBottom
	k.strength = (1 - m.edgeSlope) * l.Side[0] * math.Pow(entrance/k.before, l.Side[2]) * math.Pow(6*entrance/throat, l.Side[3])
}

// meanDecay is the mean of e^(-x/length) between two places.
func meanDecay(from, to, length float64) float64 {
	return (math.Exp(-from/length) - math.Exp(-to/length)) * length / (to - from)
}

// nusselt is that of a cell at a Reynolds number on twice its gap and a ratio of
// gas to pot temperature.
func (l *Law) nusselt(k *cell, re, ratio float64) float64 {
	const floor = heat.NusseltSlotOneSide
	if k.zone == ring {
		jet := k.strength * math.Sqrt(re*k.reThroat) * math.Pow(ratio, l.Ring[3])
		return math.Cbrt(floor*floor*floor + jet*jet*jet)
	}
	fresh := k.strength * math.Pow(re/300, l.Side[1]) * meanDecay(k.begin, k.end, l.Side[4]*re/300)
	return (floor + fresh) * math.Pow(ratio/2, l.Side[5])
}

// contraction is that of a plane jet turning a right angle around a sharp edge,
// π/(π+2) (Kirchhoff; textbook free-streamline theory).
const contraction = math.Pi / (math.Pi + 2)

// jetSpeed is the speed of the jet around the throat's rim over that around the
// rim of a level plate. Its bubble is (1 - contraction) of the gap high and, as
// assumed here, as long as the gap: a plate that rises so steeply fills it.
func (m *Model) jetSpeed() float64 {
	slope := m.plateSlope / math.Sqrt(1-m.plateSlope*m.plateSlope)
	filled := math.Max(0, math.Min(1, slope/(1-contraction)))
	return contraction / (contraction + filled*(1-contraction))
}

// softened is the share of a turning loss that is left where the gas turns by
// less than a right angle, at the sine of what is missing.
func softened(sine float64) float64 { return (1 - sine) * (1 - sine) }

// turn is the loss coefficient of the turn under the pot, on the throat ring. A
// wider pot lets the jet slow down and win back some of its pressure.
func (l *Law) turn(gap, throat, pot, reThroat float64) float64 {
	return l.Turn[0] * math.Pow(gap/throat, l.Turn[1]) * math.Pow(reThroat/1000, l.Turn[2]) * math.Pow(2*throat/pot, l.Turn[3])
}

// developing takes a cell as part of a fresh channel (heat.Mercer1967).
func developing(k *cell, re float64) float64 {
	scale := 2 * k.gap * re * gas.AirPrandtl
	return heat.MercerCell(k.from/scale, k.to/scale, gas.AirPrandtl)
}
