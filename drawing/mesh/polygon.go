package mesh

import (
	"fmt"
	"math"
	"slices"
)

// XY is a point of a plane figure, in millimetres.
type XY struct{ X, Y float64 }

// Polygon is a closed outline, in millimetres; the last corner joins the
// first. Corners may run either way round.
type Polygon []XY

// Region is a plane figure: an outline with holes.
type Region struct {
	Outer Polygon
	Holes []Polygon
}

// Rect is the rectangle from the origin to (width, height).
func Rect(width, height float64) Polygon {
	return Polygon{{0, 0}, {width, 0}, {width, height}, {0, height}}
}

// Circle is a regular polygon with its corners on the circle of the given
// radius about the origin, so that no chord lies more than tolerance inside
// the circle. The number of corners is a multiple of four, so that the polygon
// is as wide and as high as the circle. Radius and tolerance must be positive.
func Circle(radius, tolerance float64) Polygon {
	n := 4 * arcSteps(math.Pi/2, radius, tolerance)
	p := make(Polygon, n)
	for i := range p {
		p[i] = onCircle(radius, i, n)
	}
	return p
}

// onCircle is the i-th of n corners on a circle. The quarter points are exact,
// so that the bounds of the figure are.
func onCircle(radius float64, i, n int) XY {
	switch 4 * i {
	case 0:
		return XY{radius, 0}
	case n:
		return XY{0, radius}
	case 2 * n:
		return XY{-radius, 0}
	case 3 * n:
		return XY{0, -radius}
	}
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
	return XY{radius * cos, radius * sin}
}

// arcSteps is how many chords an arc needs for its sagitta r(1−cos(α/2)) to
// stay within the tolerance.
func arcSteps(angle, radius, tolerance float64) int {
	if tolerance >= radius {
		return 1
	}
	return max(1, int(math.Ceil(angle/(2*math.Acos(1-tolerance/radius))-1e-9)))
}

// RegularPolygon has n sides at the distance apothem from the origin, one of
// them horizontal and at the bottom; this is the inside of a chamber of n
// bricks. n must be at least three and apothem positive.
func RegularPolygon(n int, apothem float64) Polygon {
	p := make(Polygon, n)
	half := math.Pi / float64(n)
	for i := range p {
		sin, cos := math.Sincos(-math.Pi/2 + half*float64(2*i+1))
		p[i] = XY{apothem / math.Cos(half) * cos, apothem / math.Cos(half) * sin}
	}
	return p
}

// RingSegment is one of the n bricks with mitred ends that close a chamber:
// the inner face at y = apothem, the outer at y = apothem + thickness, both
// centred on x = 0, the mitre planes through the origin.
func RingSegment(n int, apothem, thickness float64) Polygon {
	t := math.Tan(math.Pi / float64(n))
	outer := apothem + thickness
	return Polygon{{-apothem * t, apothem}, {apothem * t, apothem}, {outer * t, outer}, {-outer * t, outer}}
}

// SignedArea is positive when the corners run anticlockwise (shoelace
// formula), in square millimetres.
func (p Polygon) SignedArea() float64 {
	var sum float64
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += (a.X-p[0].X)*(b.Y-p[0].Y) - (b.X-p[0].X)*(a.Y-p[0].Y)
	}
	return sum / 2
}

// Area is the area of the outline less its holes, in square millimetres.
func (r Region) Area() float64 {
	area := math.Abs(r.Outer.SignedArea())
	for _, h := range r.Holes {
		area -= math.Abs(h.SignedArea())
	}
	return area
}

// Bounds are the least and greatest coordinates.
func (p Polygon) Bounds() (lo, hi XY) {
	lo, hi = XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, q := range p {
		lo = XY{min(lo.X, q.X), min(lo.Y, q.Y)}
		hi = XY{max(hi.X, q.X), max(hi.Y, q.Y)}
	}
	return lo, hi
}

// Translate moves the polygon.
func (p Polygon) Translate(dx, dy float64) Polygon {
	moved := make(Polygon, len(p))
	for i, q := range p {
		moved[i] = XY{q.X + dx, q.Y + dy}
	}
	return moved
}

// anticlockwise returns the polygon with its corners running that way.
func (p Polygon) anticlockwise() Polygon {
	q := slices.Clone(p)
	if p.SignedArea() < 0 {
		slices.Reverse(q)
	}
	return q
}

// clockwise is the direction in which the walls of a hole run.
func (p Polygon) clockwise() Polygon {
	q := p.anticlockwise()
	slices.Reverse(q)
	return q
}

// Offset moves every side outwards by the distance (inwards when it is
// negative) and meets neighbouring sides again, so that each side stays
// parallel to itself: the two ends of a drafted wall are an outline and its
// offset, and each facet between them is a plane. The corners of the result
// run anticlockwise. An error says that a side would vanish or turn round.
func (p Polygon) Offset(distance float64) (Polygon, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	p = p.anticlockwise()
	n := len(p)
	moved := make(Polygon, n)
	for i, corner := range p {
		in := unit(sub(corner, p[(i+n-1)%n]))
		out := unit(sub(p[(i+1)%n], corner))
		// The mitre: both outward normals have the component distance along
		// the move, which is distance·(n1+n2)/(1+n1·n2).
		n1, n2 := XY{in.Y, -in.X}, XY{out.Y, -out.X}
		scale := distance / (1 + n1.X*n2.X + n1.Y*n2.Y)
		moved[i] = XY{corner.X + scale*(n1.X+n2.X), corner.Y + scale*(n1.Y+n2.Y)}
	}
	for i := range p {
		j := (i + 1) % n
		if was, is := sub(p[j], p[i]), sub(moved[j], moved[i]); was.X*is.X+was.Y*is.Y <= 0 {
			return nil, fmt.Errorf("mesh: side %d vanishes in an offset of %g mm", i, distance)
		}
	}
	return moved, moved.validate()
}

// Fillet rounds every corner with an arc of the given radius, drawn as chords
// with their ends on the arc and at most tolerance away from it. Corners where
// two sides run straight on are kept. A radius of zero returns the polygon as
// it is. An error says that two arcs do not fit on one side.
func (p Polygon) Fillet(radius, tolerance float64) (Polygon, error) {
	if radius == 0 {
		return slices.Clone(p), nil
	}
	if !(radius > 0) || !(tolerance > 0) {
		return nil, fmt.Errorf("mesh: fillet of radius %g mm with tolerance %g mm", radius, tolerance)
	}
	if err := p.validate(); err != nil {
		return nil, err
	}
	p = p.anticlockwise()
	n := len(p)
	setback := make([]float64, n)
	var rounded Polygon
	for i, corner := range p {
		in := unit(sub(corner, p[(i+n-1)%n]))
		out := unit(sub(p[(i+1)%n], corner))
		turn := math.Atan2(in.X*out.Y-in.Y*out.X, in.X*out.X+in.Y*out.Y)
		if math.Abs(turn) < 1e-9 {
			rounded = append(rounded, corner)
			continue
		}
		setback[i] = radius * math.Tan(math.Abs(turn)/2)
		rounded = append(rounded, arc(corner, in, out, turn, radius, setback[i], tolerance)...)
	}
	for i, corner := range p {
		j := (i + 1) % n
		if side := sub(p[j], corner); setback[i]+setback[j] > math.Hypot(side.X, side.Y)*(1-1e-9) {
			return nil, fmt.Errorf("mesh: a fillet of %g mm does not fit on side %d", radius, i)
		}
	}
	return rounded, rounded.validate()
}

// arc is the rounded corner: it leaves the incoming side one setback before
// the corner and turns by the given angle, left when positive.
func arc(corner, in, out XY, turn, radius, setback, tolerance float64) Polygon {
	steps := arcSteps(math.Abs(turn), radius, tolerance)
	side := math.Copysign(radius, turn)
	start := XY{corner.X - setback*in.X, corner.Y - setback*in.Y}
	centre := XY{start.X - side*in.Y, start.Y + side*in.X}
	points := make(Polygon, 0, steps+1)
	for k := 0; k < steps; k++ {
		sin, cos := math.Sincos(turn * float64(k) / float64(steps))
		dx, dy := start.X-centre.X, start.Y-centre.Y
		points = append(points, XY{centre.X + cos*dx - sin*dy, centre.Y + sin*dx + cos*dy})
	}
	return append(points, XY{corner.X + setback*out.X, corner.Y + setback*out.Y})
}

func sub(a, b XY) XY { return XY{a.X - b.X, a.Y - b.Y} }

func unit(v XY) XY {
	length := math.Hypot(v.X, v.Y)
	return XY{v.X / length, v.Y / length}
}
