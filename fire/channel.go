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
// throat's radius, r the place, ξ the path up the side over its gap s, Rp the
// pot's radius, T/Tp gas over pot temperature, properties at the film
// temperature and Nu on twice the gap:
//
//	centre  h = h(Sibulkin) · c0 (g/R)^c1
//	ring    Nu³ = 4.86³ + [r0 Re0^½ (g/R)^r1 (r/R)^r2 (T/Tp)^r3]³,  Re0 = ṁ/(πRμ)
//	side    Nu = [4.86 + s0 (Re/300)^s1 (s/g)^s2 (12 s/Rp)^s3 e^(-ξ/s4)] (1 - e^(-ξ/s5))
//	turn    K = t0 (g/R)^t1 (Re0/1000)^t2 on the throat ring
//	corner  K = k0 on the side's entrance
//
// The gas turns the rim of the chamber as a jet that hugs the pot over a bubble
// on the plate, so that the ring's law is that of a laminar boundary layer
// (square root of Re) and not of a channel; at the pot's edge it meets the skirt
// first and the pot again further up, so that the side begins with a dead place.
type Law struct {
	Centre [2]float64 `yaml:"centre,flow"`
	Ring   [4]float64 `yaml:"ring,flow"`
	Side   [6]float64 `yaml:"side,flow"`
	Turn   [3]float64 `yaml:"turn,flow"`
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
func (l *Law) shape(k *cell, throat, pot float64) {
	if k.zone == ring {
		k.strength = l.Ring[0] * math.Pow(k.before/throat, l.Ring[1]) * math.Pow(k.radius/throat, l.Ring[2])
		k.reThroat = k.radius / throat
		return
	}
	from, to := k.from/k.gap, k.to/k.gap
	k.strength = l.Side[0] * math.Pow(k.gap/k.before, l.Side[2]) * math.Pow(12*k.gap/pot, l.Side[3]) * meanDecay(from, to, l.Side[4])
	k.awake = 1 - meanDecay(from, to, l.Side[5])
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
	return (floor + k.strength*math.Pow(re/300, l.Side[1])) * k.awake
}

// turn is the loss coefficient of the turn under the pot, on the throat ring.
func (l *Law) turn(gapOverThroat, reThroat float64) float64 {
	return l.Turn[0] * math.Pow(gapOverThroat, l.Turn[1]) * math.Pow(reThroat/1000, l.Turn[2])
}

// developing takes a cell as part of a fresh channel (heat.Mercer1967).
func developing(k *cell, re float64) float64 {
	scale := 2 * k.gap * re * gas.AirPrandtl
	return heat.MercerCell(k.from/scale, k.to/scale, gas.AirPrandtl)
}
