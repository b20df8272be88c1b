package drawing

import "math"

// Side is a side of an outline or a column.
type Side uint8

// The sides.
const (
	Below Side = iota
	Above
	Left
	Right
)

// away is the direction that leads away from an outline on this side.
func (s Side) away() Point {
	return [...]Point{{0, -1}, {0, 1}, {-1, 0}, {1, 0}}[s]
}

// along is the direction of dimension lines on this side.
func (s Side) along() Point {
	if s == Below || s == Above {
		return Point{1, 0}
	}
	return Point{0, 1}
}

// Dimensions sets dimension lines around an outline, each as near to it as it
// can lie clear of the outline, of the lines before it and of all texts on the
// sheet. Give the innermost first.
type Dimensions struct {
	v       *View
	outline Rect // on the sheet
	used    [4][]Rect
}

// Dimensions starts the dimensions around an outline of the view: the bounds
// of what is drawn.
func (v *View) Dimensions(outline Rect) *Dimensions {
	return &Dimensions{v: v, outline: v.RectToSheet(outline)}
}

// Add dimensions the distance of two points: the horizontal one above or
// below, the vertical one left or right.
func (d *Dimensions) Add(side Side, a, b Point, dim Dim) {
	d.Chain(side, []Point{a, b}, dim)
}

// Chain dimensions the distances of neighbouring points on one line. The
// points go in order along the line; dims[i] belongs to points i and i+1.
func (d *Dimensions) Chain(side Side, points []Point, dims ...Dim) {
	if len(points) < 2 {
		return
	}
	for _, p := range points {
		if !p.finite() {
			return
		}
	}
	c := newChain(d.v, points, dims, side.along(), side.away())
	edge := d.edge(side)
	for depth := float64(firstLine); ; depth += 0.5 {
		c.moveTo(edge + c.out*depth)
		// A place is good when nothing is forced off it; past the paper it
		// need only be clear.
		clear := c.settle()
		if room := c.footprint(depth); clear && d.clear(side, room) && (!c.crowded() || depth > 200) {
			d.used[side] = append(d.used[side], room)
			break
		}
		if depth > 1e5 {
			break
		}
	}
	c.draw()
}

// Baseline dimensions the distance of each point from a datum, nearest first,
// each on a line of its own. dims[i] belongs to points[i].
func (d *Dimensions) Baseline(side Side, datum Point, points []Point, dims ...Dim) {
	for i, p := range points {
		var dim Dim
		if i < len(dims) {
			dim = dims[i]
		}
		d.Add(side, datum, p, dim)
	}
}

// edge is where the outline ends on a side, across its dimension lines.
func (d *Dimensions) edge(side Side) float64 {
	switch side {
	case Below:
		return d.outline.Min.Y
	case Above:
		return d.outline.Max.Y
	case Left: // across is −x for lines that read from the right
		return -d.outline.Min.X
	default:
		return -d.outline.Max.X
	}
}

// crowded reports whether a text that fits its line was forced off it.
func (c *chain) crowded() bool {
	for _, l := range c.labels {
		if l.place != onLine && l.width+1.2 <= l.b-l.a {
			return true
		}
	}
	return false
}

// footprint is the room a chain takes: along its line, and in depth from the
// outline. Two plain lines are lineStep apart.
func (c *chain) footprint(depth float64) Rect {
	lo, hi := c.stops[0], c.stops[len(c.stops)-1]
	inner, outer := 1.2, lineStep-1.2
	if c.out < 0 {
		inner, outer = outer, inner
	}
	if !c.roomy(0) {
		lo -= arrowLength + 2
	}
	if !c.roomy(len(c.labels) - 1) {
		hi += arrowLength + 2
	}
	for _, l := range c.labels {
		lo, hi = min(lo, l.at-l.width/2), max(hi, l.at+l.width/2)
		if l.place == fanned {
			outer = max(outer, c.fanFrom()+c.fanRise()+2*NormalText)
		}
	}
	return Rect{Point{lo - 0.5, depth - inner}, Point{hi + 0.5, depth + outer}}
}

func (d *Dimensions) clear(side Side, room Rect) bool {
	for _, r := range d.used[side] {
		if r.Intersects(room) {
			return false
		}
	}
	return true
}

// Bounds is the room on paper that the outline and its dimensions take so far;
// notes stand clear of it.
func (d *Dimensions) Bounds() Rect {
	out := d.outline
	for side, rooms := range d.used {
		for _, r := range rooms {
			// along, depth → sheet
			switch Side(side) {
			case Below:
				out = out.Union(Rect{Point{r.Min.X, d.outline.Min.Y - r.Max.Y}, Point{r.Max.X, d.outline.Min.Y - r.Min.Y}})
			case Above:
				out = out.Union(Rect{Point{r.Min.X, d.outline.Max.Y + r.Min.Y}, Point{r.Max.X, d.outline.Max.Y + r.Max.Y}})
			case Left:
				out = out.Union(Rect{Point{d.outline.Min.X - r.Max.Y, r.Min.X}, Point{d.outline.Min.X - r.Min.Y, r.Max.X}})
			case Right:
				out = out.Union(Rect{Point{d.outline.Max.X + r.Min.Y, r.Min.X}, Point{d.outline.Max.X + r.Max.Y, r.Max.X}})
			}
		}
	}
	return out
}

// Diameter dimensions a circle of the view. The line runs through the centre
// at an angle in degrees; where the text does not fit inside, it stands
// outside on a shelf, near that angle.
func (v *View) Diameter(centre Point, r float64, degrees float64, d Dim) {
	if d.Prefix == "" {
		d.Prefix = "Ø"
	}
	v.round(centre, r, degrees, d, d.text(2*r, v.sheet.Decimal), true)
}

// Radius dimensions an arc of the view, its arrow at an angle in degrees.
func (v *View) Radius(centre Point, r float64, degrees float64, d Dim) {
	if d.Prefix == "" {
		d.Prefix = "R"
	}
	v.round(centre, r, degrees, d, d.text(r, v.sheet.Decimal), false)
}

func (v *View) round(centre Point, r, degrees float64, d Dim, text string, whole bool) {
	if !centre.finite() || !(r > 0) || math.IsInf(r, 0) || math.IsNaN(degrees) || math.IsInf(degrees, 0) {
		return
	}
	s, c, pr := v.sheet, v.ToSheet(centre), r*v.k
	width := TextWidth(text, NormalText, Regular)
	st := TextStyle{Clear: true, Layer: "DIM", Align: AlignCentre}

	u := Polar(1, degrees)
	read := readable(u)
	inside := frame{c, read, read.left()}
	mid, span := 0.0, 2*pr // of the text on the line
	if !whole {
		mid, span = pr/2*u.dot(read), pr
	}
	st.Angle = read.Angle()
	t := newText(inside.to(mid, textGap), text, st)
	if span >= width+2*arrowLength+1.5 && s.free(t.box) {
		s.In(d.group(text, t.box), func() {
			from := c
			if whole {
				from = c.Sub(u.Mul(pr))
				s.arrow(v, from, u.Mul(-1))
			}
			to := c.Add(u.Mul(pr))
			s.add(item{view: v, path: Line(from, to), pen: DimLine})
			s.arrow(v, to, u)
			s.put(v, inside.to(mid, textGap), text, st)
		})
		return
	}

	// Outside: an arrow on the rim, a line away from it, a level shelf.
	st.Angle = 0
	// The first tries also keep the text off drawn lines.
	for try := 0; ; try++ {
		turn := float64((try+1)/2%9) * 12 * float64(1-2*(try%2))
		u := Polar(1, degrees+turn)
		rim := c.Add(u.Mul(pr))
		elbow := rim.Add(u.Mul(7 + 2*math.Floor(float64(try)/18)))
		dir := sign(u.X)
		middle := Point{elbow.X + dir*(width/2+0.8), elbow.Y + textGap}
		t := newText(middle, text, st)
		ok := s.free(t.box) && (try > 400 || s.inner.ContainsRect(t.Bounds())) && (try > 100 || !s.struck(t.box))
		if !ok && try < 1e5 {
			continue
		}
		s.In(d.group(text, t.box), func() {
			s.add(item{view: v, path: Polyline(rim, elbow, Point{elbow.X + dir*(width+1.6), elbow.Y}), pen: DimLine})
			s.arrow(v, rim, u.Mul(-1))
			s.put(v, middle, text, st)
		})
		return
	}
}

// Angle dimensions the angle at a corner of the view from one direction
// through a sweep, both in degrees, on an arc of a radius on paper that grows
// until the text lies clear.
func (v *View) Angle(corner Point, paperRadius, start, sweep float64, d Dim) {
	if !corner.finite() || math.IsNaN(paperRadius+start+sweep) || math.IsInf(start+sweep, 0) || !(paperRadius > 0) {
		return
	}
	if d.Suffix == "" {
		d.Suffix = "°"
	}
	s, c := v.sheet, v.ToSheet(corner)
	text := d.text(math.Abs(sweep), s.Decimal)
	width := TextWidth(text, NormalText, Regular)
	st := TextStyle{Clear: true, Layer: "DIM", Align: AlignCentre, VAlign: Middle}
	u := Polar(1, start+sweep/2)
	for r := paperRadius; ; r += 0.5 {
		// the text stands just beyond the arc, as far as its box reaches back
		at := c.Add(u.Mul(r + 1 + math.Abs(u.X)*width/2 + math.Abs(u.Y)*NormalText*0.7))
		t := newText(at, text, st)
		if !s.free(t.box) && r < paperRadius+1000 {
			continue
		}
		s.In(d.group(text, t.box), func() {
			arc := Arc(c, r, start, sweep)
			s.add(item{view: v, path: arc, pen: DimLine})
			if r*math.Abs(sweep)*math.Pi/180 > 2*arrowLength+0.8 {
				// heads lie along the chord of their own length, as drawn by hand
				lean := sign(sweep) * arrowLength / r * 90 / math.Pi
				s.arrow(v, c.Add(Polar(r, start)), Polar(1, start-sign(sweep)*90+lean))
				s.arrow(v, c.Add(Polar(r, start+sweep)), Polar(1, start+sweep+sign(sweep)*90-lean))
			}
			for _, a := range []float64{start, start + sweep} {
				s.add(item{view: v, path: Line(c.Add(Polar(min(extGap, r/2), a)), c.Add(Polar(r+extOvershoot, a))), pen: DimLine})
			}
			s.put(v, at, text, st)
		})
		return
	}
}
