package drawing

import "math"

// Point is a place, or a difference between two places, in millimetres with y
// upwards: of the paper when given to a [Sheet], of the thing drawn when given
// to a [View].
type Point struct{ X, Y float64 }

// Pt is a point.
func Pt(x, y float64) Point { return Point{x, y} }

// Polar is the vector of the given length at an angle in degrees,
// counter-clockwise from +x.
func Polar(length, degrees float64) Point {
	s, c := sincos(degrees)
	return Point{length * c, length * s}
}

// Add is p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub is p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul is p stretched by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Len is the length of p as a vector.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Dist is the distance from p to q.
func (p Point) Dist(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Lerp is the point the fraction t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)}
}

// Rotate turns p about a centre by degrees counter-clockwise.
func (p Point) Rotate(centre Point, degrees float64) Point {
	s, c := sincos(degrees)
	d := p.Sub(centre)
	return Point{centre.X + c*d.X - s*d.Y, centre.Y + s*d.X + c*d.Y}
}

// Angle is the direction of p as a vector, in degrees in (−180, 180].
func (p Point) Angle() float64 { return math.Atan2(p.Y, p.X) * 180 / math.Pi }

func (p Point) dot(q Point) float64   { return p.X*q.X + p.Y*q.Y }
func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// unit is p made one long; the zero vector stays.
func (p Point) unit() Point {
	l := p.Len()
	if l == 0 {
		return p
	}
	return Point{p.X / l, p.Y / l}
}

// left is p turned a quarter counter-clockwise.
func (p Point) left() Point { return Point{-p.Y, p.X} }

func (p Point) finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// sincos is exact at the quarter turns, so that an upright text is upright.
func sincos(degrees float64) (sin, cos float64) {
	switch math.Mod(degrees, 360) {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	}
	return math.Sincos(degrees * math.Pi / 180)
}

// Rect is an upright rectangle from Min to Max.
type Rect struct{ Min, Max Point }

// R is the rectangle with the given corner, width and height.
func R(x, y, width, height float64) Rect {
	return Rect{Point{x, y}, Point{x + width, y + height}}
}

// W is the width.
func (r Rect) W() float64 { return r.Max.X - r.Min.X }

// H is the height.
func (r Rect) H() float64 { return r.Max.Y - r.Min.Y }

// Centre is the middle.
func (r Rect) Centre() Point { return r.Min.Lerp(r.Max, 0.5) }

// Grow moves every side outwards by d; a negative d shrinks.
func (r Rect) Grow(d float64) Rect {
	return Rect{Point{r.Min.X - d, r.Min.Y - d}, Point{r.Max.X + d, r.Max.Y + d}}
}

// Empty reports whether the rectangle holds nothing, not even a point.
func (r Rect) Empty() bool { return !(r.Min.X <= r.Max.X && r.Min.Y <= r.Max.Y) }

// Contains reports whether p is inside or on the edge.
func (r Rect) Contains(p Point) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// ContainsRect reports whether q lies wholly inside.
func (r Rect) ContainsRect(q Rect) bool { return r.Contains(q.Min) && r.Contains(q.Max) }

// Union is the smallest rectangle around both.
func (r Rect) Union(q Rect) Rect {
	if r.Empty() {
		return q
	}
	if q.Empty() {
		return r
	}
	return Rect{Point{min(r.Min.X, q.Min.X), min(r.Min.Y, q.Min.Y)},
		Point{max(r.Max.X, q.Max.X), max(r.Max.Y, q.Max.Y)}}
}

// Intersects reports whether the two share more than an edge.
func (r Rect) Intersects(q Rect) bool {
	return r.Min.X < q.Max.X && q.Min.X < r.Max.X && r.Min.Y < q.Max.Y && q.Min.Y < r.Max.Y
}

// corners go counter-clockwise from Min.
func (r Rect) corners() [4]Point {
	return [4]Point{r.Min, {r.Max.X, r.Min.Y}, r.Max, {r.Min.X, r.Max.Y}}
}

// nothing is the empty rectangle to which points are added.
func nothing() Rect {
	inf := math.Inf(1)
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

func (r *Rect) add(p Point) {
	r.Min = Point{min(r.Min.X, p.X), min(r.Min.Y, p.Y)}
	r.Max = Point{max(r.Max.X, p.X), max(r.Max.Y, p.Y)}
}

// frame is a right-handed pair of axes on the sheet: origin and unit vectors.
// Texts, dimensions and their boxes are laid out in frames.
type frame struct{ o, u, n Point }

func frameAt(o Point, degrees float64) frame {
	u := Polar(1, degrees)
	return frame{o, u, u.left()}
}

// to gives the sheet point at (along, across) of the frame.
func (f frame) to(along, across float64) Point {
	return Point{f.o.X + along*f.u.X + across*f.n.X, f.o.Y + along*f.u.Y + across*f.n.Y}
}

// from gives (along, across) of a sheet point.
func (f frame) from(p Point) Point {
	d := p.Sub(f.o)
	return Point{d.dot(f.u), d.dot(f.n)}
}

// box is a rectangle in a frame: the room that a text takes.
type box struct {
	f frame
	r Rect
}

func (b box) corners() [4]Point {
	c := b.r.corners()
	for i, p := range c {
		c[i] = b.f.to(p.X, p.Y)
	}
	return c
}

func (b box) bounds() Rect {
	out := nothing()
	for _, p := range b.corners() {
		out.add(p)
	}
	return out
}

func (b box) grow(d float64) box { return box{b.f, b.r.Grow(d)} }

// overlaps reports whether two boxes share an area deeper than slack, by
// looking for an axis of either that separates them.
func (b box) overlaps(c box, slack float64) bool {
	return !b.separates(c, slack) && !c.separates(b, slack)
}

// separates reports whether one of b's axes parts the two boxes.
func (b box) separates(c box, slack float64) bool {
	r := nothing()
	for _, p := range c.corners() {
		r.add(b.f.from(p))
	}
	return r.Min.X >= b.r.Max.X-slack || r.Max.X <= b.r.Min.X+slack ||
		r.Min.Y >= b.r.Max.Y-slack || r.Max.Y <= b.r.Min.Y+slack
}
