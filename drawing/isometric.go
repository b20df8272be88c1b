package drawing

import (
	"math"
	"slices"
)

// Point3 is a place in space in millimetres: x to the right, y away from the
// one who looks, z up.
type Point3 struct{ X, Y, Z float64 }

// P3 is a point in space.
func P3(x, y, z float64) Point3 { return Point3{x, y, z} }

func (p Point3) add(q Point3) Point3  { return Point3{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }
func (p Point3) sub(q Point3) Point3  { return Point3{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }
func (p Point3) mul(k float64) Point3 { return Point3{p.X * k, p.Y * k, p.Z * k} }
func (p Point3) dot(q Point3) float64 { return p.X*q.X + p.Y*q.Y + p.Z*q.Z }
func (p Point3) cross(q Point3) Point3 {
	return Point3{p.Y*q.Z - p.Z*q.Y, p.Z*q.X - p.X*q.Z, p.X*q.Y - p.Y*q.X}
}
func (p Point3) len() float64           { return math.Sqrt(p.dot(p)) }
func (p Point3) finite() bool           { return Point{p.X, p.Y}.finite() && Point{p.Z, 0}.finite() }
func (p Point3) coord(axis int) float64 { return [...]float64{p.X, p.Y, p.Z}[axis] }

// toEye points to the one who looks, from the front, the right and above.
var toEye = Point3{1, -1, 1}.mul(1 / math.Sqrt(3))

// Isometric gives the place in a view of a point in space, in isometric
// drawing: lengths along x, y and z are true, x runs down to the right, y up to
// the right.
func Isometric(p Point3) Point {
	const c, s = 0.8660254037844386, 0.5 // cos 30°, sin 30°
	return Point{c * (p.X + p.Y), s*(p.Y-p.X) + p.Z}
}

// SolidStyle says how a solid is drawn.
type SolidStyle struct {
	Pen   *Pen   // nil means Outline
	Shade bool   // sides in light greys, so that faces part without many lines
	Key   string // stable id; becomes data-key of a group of class "solid"
}

func (st SolidStyle) pen() *Pen {
	if st.Pen == nil {
		return Outline
	}
	return st.Pen
}

// side is the tone of a face with the given outward normal.
func (st SolidStyle) side(n Point3) Tone {
	switch {
	case !st.Shade || n.Z > 0.7*n.len():
		return White
	case n.X > -n.Y:
		return LightGrey
	}
	return PaleGrey
}

// Solids draws solids in isometric projection, each white so that what lies
// behind it is hidden. It sorts them by which can hide which. Solids that reach
// into each other, or stand inside a hollow one, are drawn in the order they
// were added; parts of an exploded view do neither.
type Solids struct {
	v      *View
	solids []solid
}

// solid is one thing to draw, with its bounds in space and in the view.
type solid struct {
	min, max Point3
	room     Rect
	key      string
	draw     func()
}

// NewSolids starts a drawing of solids in a view.
func (v *View) NewSolids() *Solids { return &Solids{v: v} }

// Bounds is the room in the view that the solids take.
func (s *Solids) Bounds() Rect {
	out := nothing()
	for _, q := range s.solids {
		out = out.Union(q.room)
	}
	return out
}

// include adds a solid with the given bounds.
func (s *Solids) include(min, max Point3, st SolidStyle, draw func()) {
	room := nothing()
	for i := range 8 {
		c := min
		if i&1 != 0 {
			c.X = max.X
		}
		if i&2 != 0 {
			c.Y = max.Y
		}
		if i&4 != 0 {
			c.Z = max.Z
		}
		room.add(Isometric(c))
	}
	s.solids = append(s.solids, solid{min, max, room, st.Key, draw})
}

// Box adds a box with corners at min and max.
func (s *Solids) Box(min, max Point3, st SolidStyle) {
	s.Prism(Rectangle(Rect{Point{min.X, min.Y}, Point{max.X, max.Y}}), min.Z, max.Z, st)
}

// Prism adds a prism that stands on a plan in x and y, from z0 up to z1. Inner
// contours are holes right through it.
func (s *Solids) Prism(plan *Path, z0, z1 float64, st SolidStyle) {
	if plan.Empty() || !plan.finite() || !(z1 >= z0) {
		return
	}
	b := plan.Bounds()
	p := &prism{v: s.v, plan: plan, z0: z0, z1: z1, st: st}
	s.include(P3(b.Min.X, b.Min.Y, z0), P3(b.Max.X, b.Max.Y, z1), st, p.draw)
}

// Line adds a line through points in space, such as the axis along which parts
// are put together.
func (s *Solids) Line(pen *Pen, points ...Point3) {
	if len(points) == 0 {
		return
	}
	lo, hi := points[0], points[0]
	flat := make([]Point, len(points))
	for i, p := range points {
		if !p.finite() {
			return
		}
		flat[i] = Isometric(p)
		lo = P3(min(lo.X, p.X), min(lo.Y, p.Y), min(lo.Z, p.Z))
		hi = P3(max(hi.X, p.X), max(hi.Y, p.Y), max(hi.Z, p.Z))
	}
	s.include(lo, hi, SolidStyle{}, func() { s.v.Stroke(pen, Polyline(flat...)) })
}

// Cylinder adds an upright cylinder on the centre of its base.
func (s *Solids) Cylinder(base Point3, r, height float64, st SolidStyle) {
	s.Frustum(base, base.add(P3(0, 0, height)), r, r, st)
}

// Rod adds a round rod from a to b.
func (s *Solids) Rod(a, b Point3, diameter float64, st SolidStyle) {
	s.Frustum(a, b, diameter/2, diameter/2, st)
}

// Tube adds an upright tube, open at both ends, on the centre of its base.
func (s *Solids) Tube(base Point3, outer, inner, height float64, st SolidStyle) {
	s.revolved(base, base.add(P3(0, 0, height)), outer, outer, inner, st)
}

// Frustum adds a cone frustum (a cylinder where the radii are equal, a cone
// where one is 0) with any axis, from the centre a of one end to b.
func (s *Solids) Frustum(a, b Point3, ra, rb float64, st SolidStyle) {
	s.revolved(a, b, ra, rb, 0, st)
}

func (s *Solids) revolved(a, b Point3, ra, rb, hole float64, st SolidStyle) {
	w := b.sub(a)
	if !a.finite() || !b.finite() || w.len() == 0 || !(ra >= 0 && rb >= 0) || math.IsInf(ra+rb, 0) || !(hole >= 0) {
		return
	}
	f := newFrustum(s.v, a, b, ra, rb, hole, st)
	lo, hi := P3(0, 0, 0), P3(0, 0, 0)
	reach := func(axis int) (float64, float64) {
		// a disc of normal w reaches r √(1 − w²) along an axis
		k := math.Sqrt(max(0, 1-math.Pow(f.w.coord(axis), 2)))
		ca, cb := a.coord(axis), b.coord(axis)
		return min(ca-ra*k, cb-rb*k), max(ca+ra*k, cb+rb*k)
	}
	lo.X, hi.X = reach(0)
	lo.Y, hi.Y = reach(1)
	lo.Z, hi.Z = reach(2)
	s.include(lo, hi, st, f.draw)
}

// Draw draws the solids, the hindmost first.
func (s *Solids) Draw() {
	for _, i := range s.order() {
		q := s.solids[i]
		s.v.sheet.In(Group{Class: "solid", Key: q.key}, q.draw)
	}
	s.solids = nil
}

// hides says whether a can hide a part of b: 1 if it can, -1 if b can hide a
// part of a, 0 if neither. Of two bodies on either side of an upright or level
// plane, only that on the eye's side can hide the other.
func (a solid) hides(b solid) int {
	if !a.room.Intersects(b.room) {
		return 0
	}
	const eps = 1e-9
	nearer := a.min.X >= b.max.X-eps || a.max.Y <= b.min.Y+eps || a.min.Z >= b.max.Z-eps
	farther := b.min.X >= a.max.X-eps || b.max.Y <= a.min.Y+eps || b.min.Z >= a.max.Z-eps
	switch {
	case nearer == farther && nearer:
		return 0
	case nearer:
		return 1
	case farther:
		return -1
	}
	return -1 // they reach into each other: the later one is drawn over
}

// order sorts the solids so that each comes after all that it hides; where
// three hide each other in a ring the one added first goes first.
func (s *Solids) order() []int {
	n := len(s.solids)
	after := make([][]int, n) // after[i]: those that must come after i
	waits := make([]int, n)
	for i := range n {
		for j := i + 1; j < n; j++ {
			switch s.solids[i].hides(s.solids[j]) {
			case 1:
				after[j] = append(after[j], i)
				waits[i]++
			case -1:
				after[i] = append(after[i], j)
				waits[j]++
			}
		}
	}
	var out []int
	done := make([]bool, n)
	for len(out) < n {
		next := slices.IndexFunc(waits, func(w int) bool { return w == 0 })
		if next < 0 { // a ring
			next = slices.Index(done, false)
		}
		out = append(out, next)
		done[next], waits[next] = true, -1
		for _, j := range after[next] {
			if !done[j] {
				waits[j]--
			}
		}
	}
	return out
}

// prism draws one prism.
type prism struct {
	v      *View
	plan   *Path
	z0, z1 float64
	st     SolidStyle
}

// wall is a piece of the side of a prism that the eye can see.
type wall struct {
	a, b         Point // of the plan
	normal       Point3
	hole         bool
	edgeA, edgeB bool // an edge shows at this end
}

// plane gives the plan's projection at a height. An isometric projection of a
// plane is not a similarity, so arcs become cubics.
func (p *prism) plane(z float64) *Path {
	out := new(Path)
	at := func(q Point) Point { return Isometric(P3(q.X, q.Y, z)) }
	for _, s := range p.plan.segs {
		switch s.kind {
		case moveTo:
			out.moveTo(at(s.p))
		case lineTo:
			out.lineTo(at(s.p))
		case cubicTo:
			out.CubicTo(at(s.a), at(s.b), at(s.p))
		case arcTo:
			arcCubics(s, func(c seg) { out.CubicTo(at(c.a), at(c.b), at(c.p)) })
		case closePath:
			out.Close()
		}
	}
	return out
}

func (p *prism) draw() {
	walls := p.walls()
	slices.SortStableFunc(walls, func(a, b wall) int {
		if a.hole != b.hole { // the walls of holes lie behind
			if a.hole {
				return -1
			}
			return 1
		}
		da, db := a.a.X+a.b.X-a.a.Y-a.b.Y, b.a.X+b.b.X-b.a.Y-b.b.Y
		if da < db {
			return -1
		} else if da > db {
			return 1
		}
		return 0
	})
	pen := p.st.pen()
	for _, w := range walls {
		low0, low1 := Isometric(P3(w.a.X, w.a.Y, p.z0)), Isometric(P3(w.b.X, w.b.Y, p.z0))
		top0, top1 := Isometric(P3(w.a.X, w.a.Y, p.z1)), Isometric(P3(w.b.X, w.b.Y, p.z1))
		p.v.Fill(p.st.side(w.normal), Polygon(low0, low1, top1, top0))
		lines := Line(low0, low1)
		if w.edgeA {
			lines.moveTo(low0).lineTo(top0)
		}
		if w.edgeB {
			lines.moveTo(low1).lineTo(top1)
		}
		p.v.Stroke(pen, lines)
	}
	p.v.Shape(White, pen, p.plane(p.z1))
}

// walls gives the pieces of the sides that face the eye. An edge between two
// pieces shows where the wall turns sharply or away from the eye.
func (p *prism) walls() []wall {
	const sharp = 0.94 // cosine of 20°
	contours := p.plan.flatten(0.05)
	var out []wall
	for i, c := range contours {
		depth := 0
		for j, d := range contours {
			if i != j && newEdges([]contour{d}).contains(c.pts[0]) {
				depth++
			}
		}
		orient(c.pts, depth%2 == 0) // the outside on the right hand
		n := len(c.pts)
		normal := func(k int) Point {
			u := c.pts[(k+1)%n].Sub(c.pts[k%n]).unit()
			return Point{u.Y, -u.X}
		}
		seen := func(m Point) bool { return m.X-m.Y > 1e-9 }
		edge := func(m, other Point) bool { return !seen(other) || m.dot(other) < sharp }
		for k := range n {
			m := normal(k)
			if !seen(m) {
				continue
			}
			out = append(out, wall{a: c.pts[k], b: c.pts[(k+1)%n], normal: P3(m.X, m.Y, 0), hole: depth%2 != 0,
				edgeA: edge(m, normal(k+n-1)), edgeB: edge(m, normal(k+1))})
		}
	}
	return out
}

// frustum draws a body of revolution between two discs.
type frustum struct {
	v            *View
	a, b         Point3
	ra, rb, hole float64
	st           SolidStyle
	w, e1, e2    Point3 // axis, the way across the line of sight, and the third
	lean         float64
}

// newFrustum sets up the axes, b at the end whose face is seen.
func newFrustum(v *View, a, b Point3, ra, rb, hole float64, st SolidStyle) *frustum {
	if b.sub(a).dot(toEye) < 0 {
		a, b, ra, rb = b, a, rb, ra
	}
	f := &frustum{v: v, a: a, b: b, ra: ra, rb: rb, hole: hole, st: st}
	axis := b.sub(a)
	f.w = axis.mul(1 / axis.len())
	f.lean = (ra - rb) / axis.len()
	f.e1 = f.w.cross(toEye)
	if l := f.e1.len(); l > 1e-9 {
		f.e1 = f.e1.mul(1 / l)
	} else { // seen end on
		f.e1 = P3(1, 1, 0).mul(1 / math.Sqrt2)
	}
	f.e2 = f.w.cross(f.e1)
	if f.e2.dot(toEye) < 0 { // towards the eye
		f.e2, f.e1 = f.e2.mul(-1), f.e1.mul(-1)
	}
	return f
}

// rim draws an arc of a circle about the axis.
func (f *frustum) rim(out *Path, centre Point3, r, from, sweep float64) *Path {
	return out.ellipseArc(Isometric(centre), Isometric(f.e1.mul(r)), Isometric(f.e2.mul(r)), from, sweep)
}

func (f *frustum) draw() {
	pen := f.st.pen()
	if f.hole > 0 {
		// the far half of the inner wall: it ends where the wall turns away
		inner := f.rim(new(Path), f.b, f.hole, math.Pi, math.Pi)
		f.v.Shape(f.tone(), pen, f.rim(inner, f.a, f.hole, 2*math.Pi, -math.Pi).Close())
	}
	// The outline of the side: where the surface is seen edge on, its normal
	// cos t e1 + sin t e2 + lean w is square to the line of sight.
	sine := -f.lean * f.w.dot(toEye) / max(f.e2.dot(toEye), 1e-12)
	switch {
	case sine < -1: // the near end is the smaller and all of the side is seen
		f.v.Shape(f.tone(), pen, f.rim(new(Path), f.a, f.ra, 0, 2*math.Pi).Close())
	case sine <= 1:
		t := math.Asin(sine)
		side := f.rim(new(Path), f.a, f.ra, t, math.Pi-2*t)
		f.v.Shape(f.tone(), pen, f.rim(side, f.b, f.rb, math.Pi-t, 2*t-math.Pi).Close())
	}
	face := f.rim(new(Path), f.b, f.rb, 0, 2*math.Pi).Close()
	if f.hole > 0 {
		face.Append(f.rim(new(Path), f.b, f.hole, 0, 2*math.Pi).Close())
	}
	f.v.Shape(White, pen, face)
}

func (f *frustum) tone() Tone {
	if f.st.Shade {
		return PaleGrey
	}
	return White
}
