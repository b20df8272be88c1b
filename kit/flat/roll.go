package flat

import (
	"math"

	"stovewright/drawing"
)

// Cylinder is a rolled sheet: inside diameter and thickness.
type Cylinder struct{ Inside, Thickness float64 }

// Neutral is the diameter at the middle of the thickness.
func (c Cylinder) Neutral() float64 { return c.Inside + c.Thickness }

// Circumference is the length of the sheet that closes edge to edge:
// π(D + t), D the inside diameter.
func (c Cylinder) Circumference() float64 { return math.Pi * c.Neutral() }

// Along is the distance on the flat that an angle around the cylinder takes.
func (c Cylinder) Along(angle float64) float64 { return c.Neutral() / 2 * angle }

// ChordWidth is the width on the flat of an opening that is w wide seen
// straight on, in a cylinder of diameter d: d·asin(w/d), w up to d.
func ChordWidth(w, d float64) float64 { return d * math.Asin(w/d) }

// Sagitta is how far a cylinder of diameter d bulges before the chord w:
// R − √(R² − w²/4).
func Sagitta(w, d float64) float64 {
	r := d / 2
	return r - math.Sqrt(r*r-w*w/4)
}

// DevelopOpening lays an opening in a cylinder of diameter d flat. The outline
// is seen straight on, x across the axis from the middle, y along it; each
// point goes to (R·asin(x/R), y). Edges across the axis are followed in steps,
// so that slanting ones keep within a hundredth of a millimetre; level and
// upright ones stay straight.
func DevelopOpening(seen []drawing.Point, d float64) []drawing.Point {
	r := d / 2
	place := func(p drawing.Point) drawing.Point { return drawing.Pt(r*math.Asin(p.X/r), p.Y) }
	var out []drawing.Point
	for i, a := range seen {
		b := seen[(i+1)%len(seen)]
		steps := 1
		if a.X != b.X && a.Y != b.Y {
			steps = max(1, int(math.Ceil(math.Abs(a.X-b.X)/2)))
		}
		for k := range steps {
			out = append(out, place(a.Lerp(b, float64(k)/float64(steps))))
		}
	}
	return out
}

// ChordSlot is where a straight rod goes through the wall of a cylinder of
// radius r when its axis passes the centre line at an offset: from the first to
// the last angle, measured from the foot of the offset, that a hole of the
// given diameter reaches. A rod that meets the wall at a slant needs a long
// hole. The middle is the angle of the rod's axis. It is false where the hole
// would run out of the cylinder.
func ChordSlot(offset, hole, r float64) (first, middle, last float64, ok bool) {
	if offset+hole/2 >= r || offset-hole/2 <= -r {
		return 0, 0, 0, false
	}
	return math.Acos((offset + hole/2) / r), math.Acos(offset / r), math.Acos((offset - hole/2) / r), true
}

// TruncatedCylinder is the height at angle φ of a cylinder of radius r cut by a
// plane that leans by α and crosses the axis at height h: h + r·tan α·cos φ.
func TruncatedCylinder(r, h, alpha, phi float64) float64 {
	return h + r*math.Tan(alpha)*math.Cos(phi)
}

// BranchEnd is how much longer a branch of radius r is at angle φ than at its
// crown, where it meets a main cylinder of radius R at a right angle:
// R − √(R² − r² sin²φ), r up to R.
func BranchEnd(r, main, phi float64) float64 {
	s := r * math.Sin(phi)
	return main - math.Sqrt(main*main-s*s)
}

// BranchHole is the hole for that branch on the flat main cylinder: along the
// axis x = r cos φ, around it y = R·asin(r sin φ/R).
func BranchHole(r, main, phi float64) (along, around float64) {
	sin, cos := math.Sincos(phi)
	return r * cos, main * math.Asin(r*sin/main)
}

// Frustum is a cone cut off: the diameters of its ends and its height, all at
// the middle of the thickness.
type Frustum struct{ Wide, Narrow, Height float64 }

// Slant is the length of its side: √(H² + (R1 − R2)²).
func (f Frustum) Slant() float64 { return math.Hypot(f.Height, (f.Wide-f.Narrow)/2) }

// Sector is the blank: a ring sector with outer radius s·R1/(R1 − R2), inner
// radius less by the slant s, and angle 2π(R1 − R2)/s. Wide must be above
// Narrow.
func (f Frustum) Sector() (outer, inner, angle float64) {
	s, rise := f.Slant(), (f.Wide-f.Narrow)/2
	outer = s * f.Wide / 2 / rise
	return outer, outer - s, 2 * math.Pi * rise / s
}

// RingMitre is the angle from square at which each end of n equal sides is cut
// to close a ring: π/n.
func RingMitre(n int) float64 { return math.Pi / float64(n) }
