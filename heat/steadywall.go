package heat

import (
	"errors"
	"math"
)

// SteadyCylinder is the state of a round wall that no longer changes.
type SteadyCylinder struct {
	PerLength float64   // heat outwards, W per m of height
	Faces     []float64 // K: inner face, joints (outer side of each), outer face; one more than layers
}

// errSteady says that a steady wall did not settle; conductivities that fall
// steeply with temperature can do that.
var errSteady = errors.New("heat: steady wall did not converge")

// SolveSteadyCylinder solves a round wall of layers around an inner radius in m,
// between gas or a surface at ti with coefficient hi and surroundings at ta with
// coefficient ho in W/(m² K). A coefficient of +Inf fixes the face temperature.
// Conductivities are taken at the mean of each layer's faces, which is exact
// where they are linear in temperature. Resistances per m of height are
// ln(r2/r1)/(2πk), 1/(2πr h) and contact/(2πr).
func SolveSteadyCylinder(inner float64, layers []Layer, hi, ti, ho, ta float64) (SteadyCylinder, error) {
	n := len(layers)
	faces := make([]float64, n+1)
	for i := range faces {
		faces[i] = ti + (ta-ti)*float64(i)/float64(n)
	}
	resistance := make([]float64, n)
	for iteration := 0; iteration < 200; iteration++ {
		r := inner
		rInner := 1 / (2 * math.Pi * r * hi)
		total := rInner
		for i, l := range layers {
			outer := r + l.Thickness
			resistance[i] = l.Contact/(2*math.Pi*r) + math.Log(outer/r)/(2*math.Pi*l.Conductivity.At((faces[i]+faces[i+1])/2))
			total += resistance[i]
			r = outer
		}
		total += 1 / (2 * math.Pi * r * ho)
		q := (ti - ta) / total
		change := 0.0
		t := ti - q*rInner
		for i := range faces {
			if i > 0 {
				t -= q * resistance[i-1]
			}
			change = math.Max(change, math.Abs(t-faces[i]))
			faces[i] = t
		}
		if change < 1e-9*math.Max(math.Abs(ti), math.Abs(ta)) {
			return SteadyCylinder{q, faces}, nil
		}
	}
	return SteadyCylinder{}, errSteady
}
