package brick

import (
	"math"
	"strconv"

	"stovewright/message"
)

// The linear shrinkages accepted. A body may swell a little; beyond the largest
// a brick would lose four fifths of its volume, and a slip of a digit is
// likelier.
const (
	SmallestShrinkage = -0.05
	LargestShrinkage  = 0.40
)

func believable(shrinkage float64) bool {
	return shrinkage >= SmallestShrinkage && shrinkage <= LargestShrinkage
}

// Cavity is the inside of a mould that fires to a wanted size.
type Cavity struct {
	Size      Size     // m, inside of the mould
	U         Size     // m, standard uncertainty from the uncertain shrinkage
	Total     [3]Total // shrinkage from wet to fired
	Tolerance Size     // m, ± on the fired edge: 2 SD from brick to brick with the uncertainty of the mean
}

// CavityFor sizes a mould from the fired size wanted: per axis
// L/((1−sd)(1−sf)) plus an allowance for machining or draft, with
// u(L)/L = √(u(sd)²/(1−sd)² + u(sf)²/(1−sf)²).
// Sizes in metres, each above 0 and up to 2 m; shrinkages from SmallestShrinkage to
// LargestShrinkage.
func CavityFor(fired Size, s Shrinkage, allowance Size) (Cavity, error) {
	if err := checkFired(fired, s); err != nil {
		return Cavity{}, err
	}
	var c Cavity
	for _, a := range Axes {
		d, f := float64(s[a].Drying), float64(s[a].Firing)
		wet := fired[a] / ((1 - d) * (1 - f))
		c.Size[a] = wet + allowance[a]
		c.U[a] = wet * math.Hypot(s[a].UDrying/(1-d), s[a].UFiring/(1-f))
		c.Total[a] = s[a].Total()
		c.Tolerance[a] = 2 * wet * math.Hypot(s[a].SD, s[a].UTotal())
	}
	return c, nil
}

func checkFired(fired Size, s Shrinkage) error {
	var bad message.InputErrors
	for _, a := range Axes {
		if !(fired[a] > 0 && fired[a] <= 2) {
			bad = append(bad, &message.InputError{Field: "fired." + a.String(), Value: number(fired[a]),
				Reason: message.T("brick.size.range"), Try: "0.114"})
		}
		if v := float64(s[a].Drying); !believable(v) {
			bad = append(bad, &message.InputError{Field: "drying." + a.String(), Value: number(v),
				Reason: message.T("brick.shrinkage.range"), Try: "0.05"})
		}
		if v := float64(s[a].Firing); !believable(v) {
			bad = append(bad, &message.InputError{Field: "firing." + a.String(), Value: number(v),
				Reason: message.T("brick.shrinkage.range"), Try: "0.02"})
		}
	}
	return bad.OrNil()
}

// number writes a value as it stands in an InputError.
func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// Gauge is the pair of lengths of a go/no-go gauge: an edge must enter Go and
// must not enter NoGo.
type Gauge struct {
	Go   float64 // m, the largest edge accepted
	NoGo float64 // m, the smallest
}

// Gauges sizes the go/no-go gauges of one axis for wet, dry and fired bricks,
// so that an edge accepted wet may still end within ± tolerance fired.
// All in metres.
func Gauges(fired, tolerance float64, s AxisShrinkage) (wet, dry, firedGauge Gauge) {
	grow := func(k float64) Gauge { return Gauge{Go: (fired + tolerance) / k, NoGo: (fired - tolerance) / k} }
	return grow(1 - float64(s.Total())), grow(1 - float64(s.Firing)), grow(1)
}

// Mass is volume times density: the mass of a brick of a size (m) and bulk
// density (kg/m³), in kg.
func Mass(size Size, density float64) float64 { return size.Volume() * density }
