package drawing

import "math"

// Path is an outline of lines, true arcs and cubic Bézier curves, in one or
// more contours. The zero Path is empty and ready; the methods that extend it
// return it, so that calls can be chained:
//
//	p := new(drawing.Path).MoveTo(0, 0).LineTo(80, 0).ArcTo(drawing.Pt(80, 20), 90).Close()
type Path struct {
	segs  []seg
	start Point // of the contour being drawn
	at    Point // where the pen stands
	open  bool  // a contour has been started
}

type segKind uint8

const (
	moveTo segKind = iota
	lineTo
	arcTo
	cubicTo
	closePath
)

// seg is one step; p is where it ends.
type seg struct {
	kind         segKind
	p            Point
	a, b         Point   // control points of a curve; a is the centre of an arc
	r            float64 // radius of an arc
	start, sweep float64 // of an arc, radians; positive is counter-clockwise
}

// Empty reports whether nothing has been drawn.
func (p *Path) Empty() bool { return p == nil || len(p.segs) == 0 }

// MoveTo starts a new contour.
func (p *Path) MoveTo(x, y float64) *Path { return p.moveTo(Point{x, y}) }

// LineTo draws a straight line from where the pen stands.
func (p *Path) LineTo(x, y float64) *Path { return p.lineTo(Point{x, y}) }

// ArcTo draws an arc about a centre from where the pen stands through an
// angle in degrees, positive counter-clockwise, at most a full turn.
func (p *Path) ArcTo(centre Point, degrees float64) *Path {
	p.begin()
	d := p.at.Sub(centre)
	degrees = max(-360, min(360, degrees))
	return p.arc(centre, d.Len(), math.Atan2(d.Y, d.X), degrees*math.Pi/180)
}

// CubicTo draws a Bézier curve with control points a and b that ends at q.
func (p *Path) CubicTo(a, b, q Point) *Path {
	p.begin()
	p.segs = append(p.segs, seg{kind: cubicTo, a: a, b: b, p: q})
	p.at = q
	return p
}

// Close draws back to the start of the contour and ends it.
func (p *Path) Close() *Path {
	if p.open {
		p.segs = append(p.segs, seg{kind: closePath, p: p.start})
		p.at, p.open = p.start, false
	}
	return p
}

// Append adds the contours of other paths.
func (p *Path) Append(others ...*Path) *Path {
	for _, q := range others {
		if q.Empty() {
			continue
		}
		p.segs = append(p.segs, q.segs...)
		p.start, p.at, p.open = q.start, q.at, q.open
	}
	return p
}

func (p *Path) moveTo(q Point) *Path {
	p.segs = append(p.segs, seg{kind: moveTo, p: q})
	p.start, p.at, p.open = q, q, true
	return p
}

func (p *Path) lineTo(q Point) *Path {
	p.begin()
	p.segs = append(p.segs, seg{kind: lineTo, p: q})
	p.at = q
	return p
}

func (p *Path) arc(centre Point, r, start, sweep float64) *Path {
	s, c := math.Sincos(start + sweep)
	end := Point{centre.X + r*c, centre.Y + r*s}
	if math.Abs(sweep) >= 2*math.Pi {
		end = p.at
	}
	p.segs = append(p.segs, seg{kind: arcTo, p: end, a: centre, r: r, start: start, sweep: sweep})
	p.at = end
	return p
}

// begin starts a contour where the pen stands, if none is open.
func (p *Path) begin() {
	if !p.open {
		p.moveTo(p.at)
	}
}

// Line is a straight line.
func Line(a, b Point) *Path { return new(Path).moveTo(a).lineTo(b) }

// Polyline is an open line through the points.
func Polyline(points ...Point) *Path {
	p := new(Path)
	for i, q := range points {
		if i == 0 {
			p.moveTo(q)
		} else {
			p.lineTo(q)
		}
	}
	return p
}

// Polygon is a closed line through the points.
func Polygon(points ...Point) *Path { return Polyline(points...).Close() }

// Rectangle is the outline of a rectangle, counter-clockwise.
func Rectangle(r Rect) *Path {
	c := r.corners()
	return Polygon(c[:]...)
}

// RoundedRectangle is a rectangle with corners of the given radius, as far as
// its sides allow.
func RoundedRectangle(r Rect, radius float64) *Path {
	radius = max(0, min(radius, r.W()/2, r.H()/2))
	if radius == 0 {
		return Rectangle(r)
	}
	in := r.Grow(-radius)
	p := new(Path).MoveTo(in.Min.X, r.Min.Y).LineTo(in.Max.X, r.Min.Y)
	p.ArcTo(Point{in.Max.X, in.Min.Y}, 90).LineTo(r.Max.X, in.Max.Y)
	p.ArcTo(in.Max, 90).LineTo(in.Min.X, r.Max.Y)
	p.ArcTo(Point{in.Min.X, in.Max.Y}, 90).LineTo(r.Min.X, in.Min.Y)
	return p.ArcTo(in.Min, 90).Close()
}

// RegularPolygon is a closed polygon of n equal sides with its corners on a
// circle, the first at the angle in degrees.
func RegularPolygon(centre Point, circumradius float64, n int, degrees float64) *Path {
	points := make([]Point, max(n, 0))
	for i := range points {
		points[i] = centre.Add(Polar(circumradius, degrees+360*float64(i)/float64(n)))
	}
	return Polygon(points...)
}

// Circle is a full circle.
func Circle(centre Point, r float64) *Path {
	return new(Path).MoveTo(centre.X+r, centre.Y).ArcTo(centre, 360).Close()
}

// Arc is an open arc from one angle through another, both in degrees.
func Arc(centre Point, r, start, sweep float64) *Path {
	return new(Path).moveTo(centre.Add(Polar(r, start))).ArcTo(centre, sweep)
}

// Ellipse is a full ellipse whose first half-axis lies at an angle in degrees.
func Ellipse(centre Point, rx, ry, degrees float64) *Path {
	u := Polar(rx, degrees)
	v := Polar(ry, degrees+90)
	return new(Path).ellipseArc(centre, u, v, 0, 2*math.Pi).Close()
}

// ellipseArc draws centre + u cos t + v sin t for t from t0 through sweep, as
// cubic curves of at most an eighth of a turn (error below 5e-6 of the radius).
func (p *Path) ellipseArc(centre, u, v Point, t0, sweep float64) *Path {
	at := func(t float64) (q, d Point) {
		s, c := math.Sincos(t)
		return centre.Add(u.Mul(c)).Add(v.Mul(s)), v.Mul(c).Sub(u.Mul(s))
	}
	n := max(1, int(math.Ceil(math.Abs(sweep)/(math.Pi/4)-1e-9)))
	h := sweep / float64(n)
	k := 4.0 / 3 * math.Tan(h/4)
	q0, d0 := at(t0)
	if p.open {
		if p.at.Dist(q0) > 1e-9 {
			p.lineTo(q0)
		}
	} else {
		p.moveTo(q0)
	}
	for i := 1; i <= n; i++ {
		q1, d1 := at(t0 + h*float64(i))
		p.CubicTo(q0.Add(d0.Mul(k)), q1.Sub(d1.Mul(k)), q1)
		q0, d0 = q1, d1
	}
	return p
}

// similarity is a map that keeps circles circles: p ↦ k·Rot(turn)·p + d, after
// mirroring in the y axis when flip is set.
type similarity struct {
	k, sin, cos, turn float64
	d                 Point
	flip              bool
}

func (m similarity) apply(p Point) Point {
	if m.flip {
		p.X = -p.X
	}
	return Point{m.k*(m.cos*p.X-m.sin*p.Y) + m.d.X, m.k*(m.sin*p.X+m.cos*p.Y) + m.d.Y}
}

func (p *Path) mapped(m similarity) *Path {
	if p == nil {
		return new(Path)
	}
	q := &Path{segs: make([]seg, len(p.segs)), start: m.apply(p.start), at: m.apply(p.at), open: p.open}
	for i, s := range p.segs {
		t := seg{kind: s.kind, p: m.apply(s.p)}
		switch s.kind {
		case arcTo:
			t.a, t.r, t.start, t.sweep = m.apply(s.a), m.k*s.r, s.start+m.turn, s.sweep
			if m.flip {
				t.start, t.sweep = math.Pi-s.start+m.turn, -s.sweep
			}
		case cubicTo:
			t.a, t.b = m.apply(s.a), m.apply(s.b)
		}
		q.segs[i] = t
	}
	return q
}

// Shifted is a copy moved by d.
func (p *Path) Shifted(d Point) *Path { return p.mapped(similarity{k: 1, cos: 1, d: d}) }

// Rotated is a copy turned about a centre by degrees counter-clockwise.
func (p *Path) Rotated(centre Point, degrees float64) *Path {
	s, c := sincos(degrees)
	m := similarity{k: 1, sin: s, cos: c, turn: degrees * math.Pi / 180}
	m.d = centre.Sub(m.apply(centre))
	return p.mapped(m)
}

// Scaled is a copy stretched by k > 0 about the origin.
func (p *Path) Scaled(k float64) *Path { return p.mapped(similarity{k: k, cos: 1}) }

// MirroredX is a copy mirrored in the upright line at x: left and right change
// places.
func (p *Path) MirroredX(x float64) *Path {
	return p.mapped(similarity{k: 1, cos: 1, d: Point{2 * x, 0}, flip: true})
}

// Bounds is the smallest upright rectangle around the path, arcs and curves
// taken exactly. An empty path has an empty rectangle.
func (p *Path) Bounds() Rect {
	out := nothing()
	if p == nil {
		return out
	}
	var at Point
	for _, s := range p.segs {
		switch s.kind {
		case arcTo:
			for q := range 4 { // the quarter points that the arc passes
				a := float64(q) * math.Pi / 2
				if onArc(s, a) {
					out.add(s.a.Add(Polar(s.r, float64(q)*90)))
				}
			}
		case cubicTo:
			for _, t := range append(cubicExtrema(at.X, s.a.X, s.b.X, s.p.X), cubicExtrema(at.Y, s.a.Y, s.b.Y, s.p.Y)...) {
				out.add(cubicAt(at, s, t))
			}
		}
		out.add(s.p)
		at = s.p
	}
	return out
}

// onArc reports whether the arc passes the angle (radians).
func onArc(s seg, angle float64) bool {
	return arcParam(s, angle) <= 1
}

// arcParam is the fraction of the arc's sweep at which it first meets the
// angle; above 1 when it does not.
func arcParam(s seg, angle float64) float64 {
	if s.sweep == 0 {
		return math.Inf(1)
	}
	d := math.Mod(angle-s.start, 2*math.Pi)
	if s.sweep < 0 {
		d = -d
	}
	if d < 0 {
		d += 2 * math.Pi
	}
	return d / math.Abs(s.sweep)
}

func cubicAt(p0 Point, s seg, t float64) Point {
	u := 1 - t
	a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return Point{a*p0.X + b*s.a.X + c*s.b.X + d*s.p.X, a*p0.Y + b*s.a.Y + c*s.b.Y + d*s.p.Y}
}

// cubicExtrema gives the parameters in (0, 1) where one coordinate turns.
func cubicExtrema(a, b, c, d float64) []float64 {
	return rootsIn01(3*(d-3*c+3*b-a), 6*(c-2*b+a), 3*(b-a))
}

// rootsIn01 are the roots of a t² + b t + c in the open interval (0, 1).
func rootsIn01(a, b, c float64) []float64 {
	var out []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	if math.Abs(a) < 1e-12*(math.Abs(b)+math.Abs(c)) {
		if b != 0 {
			keep(-c / b)
		}
		return out
	}
	disc := b*b - 4*a*c
	if disc < 0 {
		return nil
	}
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	keep(q / a)
	if q != 0 {
		keep(c / q)
	}
	return out
}

// Length is the length of all lines, arcs and curves.
func (p *Path) Length() float64 {
	var sum float64
	if p == nil {
		return 0
	}
	var at Point
	for _, s := range p.segs {
		switch s.kind {
		case lineTo, closePath:
			sum += at.Dist(s.p)
		case arcTo:
			sum += s.r * math.Abs(s.sweep)
		case cubicTo:
			q := at
			for i := 1; i <= 64; i++ {
				r := cubicAt(at, s, float64(i)/64)
				sum += q.Dist(r)
				q = r
			}
		}
		at = s.p
	}
	return sum
}

// contour is one flattened contour; the last point of a closed one does not
// repeat the first.
type contour struct {
	pts    []Point
	closed bool
}

// flatten turns the path into straight pieces that stay within tol of it.
func (p *Path) flatten(tol float64) []contour {
	if p == nil {
		return nil
	}
	var out []contour
	var cur contour
	finish := func() {
		if len(cur.pts) > 0 {
			out = append(out, cur)
		}
		cur = contour{}
	}
	var at Point
	for _, s := range p.segs {
		switch s.kind {
		case moveTo:
			finish()
			cur.pts = append(cur.pts, s.p)
		case lineTo:
			cur.pts = append(cur.pts, s.p)
		case arcTo:
			n := arcPieces(s.r, s.sweep, tol)
			for i := 1; i < n; i++ {
				sn, cs := math.Sincos(s.start + s.sweep*float64(i)/float64(n))
				cur.pts = append(cur.pts, Point{s.a.X + s.r*cs, s.a.Y + s.r*sn})
			}
			cur.pts = append(cur.pts, s.p)
		case cubicTo:
			n := cubicPieces(at, s, tol)
			for i := 1; i < n; i++ {
				cur.pts = append(cur.pts, cubicAt(at, s, float64(i)/float64(n)))
			}
			cur.pts = append(cur.pts, s.p)
		case closePath:
			cur.closed = true
			if n := len(cur.pts); n > 1 && cur.pts[n-1].Dist(cur.pts[0]) < 1e-9 {
				cur.pts = cur.pts[:n-1]
			}
			finish()
		}
		at = s.p
	}
	finish()
	return out
}

// maxPieces bounds the pieces of one flattened curve.
const maxPieces = 2000

func arcPieces(r, sweep, tol float64) int {
	if !(r > tol) {
		return 4
	}
	step := 2 * math.Acos(1-tol/r)
	n := math.Ceil(math.Abs(sweep) / step)
	if !(n < maxPieces) {
		return maxPieces
	}
	return max(1, int(n))
}

// cubicPieces bounds the chord error by h²/8 times the largest second
// derivative, which is 6 times the largest second difference d of the control
// points: n² ≥ 6 d / (8 tol).
func cubicPieces(p0 Point, s seg, tol float64) int {
	d := max(p0.Sub(s.a.Mul(2)).Add(s.b).Len(), s.a.Sub(s.b.Mul(2)).Add(s.p).Len())
	n := math.Ceil(math.Sqrt(6 * d / (8 * tol)))
	if !(n < maxPieces) {
		return maxPieces
	}
	return max(1, int(n))
}
