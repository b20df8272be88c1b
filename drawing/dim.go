package drawing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Dim is what a dimension says and how it is known.
type Dim struct {
	Key    string  // stable id such as "chamber.width"; with one the dimension can be touched
	Label  string  // its name in words, for screen readers
	Text   string  // printed instead of the measured size
	Prefix string  // before the size, such as "Ø"
	Suffix string  // after the size, such as " ±2"
	Round  float64 // step to which the size is rounded, mm; 0 means 0.1
	Class  string  // further class of the group in SVG
}

// Proportions of dimensions in paper millimetres (iso129dimensions, from memory).
const (
	arrowLength  = 2.5 // filled and slim, 3:1
	arrowWidth   = 0.85
	extGap       = 1.0 // from the outline to the extension line
	extOvershoot = 1.6 // of the extension line beyond the dimension line
	textGap      = 0.9 // from the line to the base line of the text above it
	labelGap     = 2.2 // between neighbouring texts of a chain
	firstLine    = 10  // from the outline to the first dimension line
	lineStep     = 7   // from one dimension line to the next
)

// text is what the dimension prints for a size in mm.
func (d Dim) text(size float64, decimal rune) string {
	if d.Text != "" {
		return clean(d.Text)
	}
	step := d.Round
	if !(step > 0) {
		step = 0.1
	}
	n := math.Round(size/step) * step
	out := strconv.FormatFloat(math.Round(n*1e4)/1e4, 'f', -1, 64)
	if decimal != 0 && decimal != '.' {
		out = strings.Replace(out, ".", string(decimal), 1)
	}
	return clean(d.Prefix + out + d.Suffix)
}

// group is the part of the SVG that holds the dimension.
func (d Dim) group(text string, hit box) Group {
	label := text
	if d.Label != "" {
		label = d.Label + " " + text
	}
	g := Group{Class: strings.TrimSpace("dim " + d.Class), Key: d.Key, Label: label, Button: d.Key != ""}
	if g.Button {
		hit = hit.grow(1.5)
		g.hit = &hit
	}
	return g
}

// label is the text of one dimension of a chain on its way to a place, in the
// frame of the chain: along the dimension line and across it.
type label struct {
	dim    Dim
	text   string
	width  float64
	a, b   float64 // the segment on the line
	at     float64 // middle of the text
	across float64 // its base line
	place  placing
}

type placing uint8

const (
	onLine placing = iota // above its own part of the line
	before                // above the line drawn on beyond the first stop
	after                 // above the line drawn on beyond the last stop
	fanned                // beside the line, with a leader
)

// chain is a row of dimensions on one line: stops along the line, and between
// each two a label.
type chain struct {
	v      *View
	f      frame   // origin on the dimension line, u the reading direction, n above the text
	out    float64 // +1 if away from the outline is above the text, else −1
	stops  []float64
	from   []float64 // where each extension line comes from, across the line from the sheet's origin
	at     float64   // where the dimension line lies, likewise
	labels []label
	lift   float64 // extra distance of the fanned labels
}

// readable turns a direction so that text along it reads from below or from
// the right.
func readable(u Point) Point {
	if a := u.Angle(); a > 90.001 || a <= -89.999 {
		return u.Mul(-1)
	}
	return u
}

// newChain sets up a chain along the direction u through points of the view;
// away is the direction away from the outline. The points are sorted along u;
// a dimension belongs to each two neighbours, in the order of the points given.
func newChain(v *View, points []Point, dims []Dim, u, away Point) *chain {
	u = readable(u.unit())
	c := &chain{v: v, f: frame{Point{}, u, u.left()}, out: 1}
	if away.dot(c.f.n) < 0 {
		c.out = -1
	}
	stops := make([]Point, len(points))
	for i, p := range points {
		stops[i] = c.f.from(v.ToSheet(p))
	}
	dims = append(slices.Clone(dims), make([]Dim, max(0, len(points)-1-len(dims)))...)[:len(points)-1]
	if stops[0].X > stops[len(stops)-1].X {
		slices.Reverse(stops)
		slices.Reverse(dims)
	}
	slices.SortStableFunc(stops, func(p, q Point) int { return cmp.Compare(p.X, q.X) })
	for i, p := range stops {
		c.stops, c.from = append(c.stops, p.X), append(c.from, p.Y)
		if i > 0 {
			a, b := stops[i-1].X, p.X
			text := dims[i-1].text((b-a)/v.k, v.sheet.Decimal)
			c.labels = append(c.labels, label{dim: dims[i-1], text: text, width: TextWidth(text, NormalText, Regular), a: a, b: b})
		}
	}
	return c
}

// settle chooses a place for each label, for the line as it lies now, and
// reports whether all of them lie clear of everything on the sheet.
func (c *chain) settle() bool {
	last := len(c.labels) - 1
	for i := range c.labels {
		l := &c.labels[i]
		l.across = textGap
		l.place, l.at = onLine, (l.a+l.b)/2
		if l.width+1.2 <= l.b-l.a && c.clear(*l) {
			continue
		}
		l.place = fanned
		outside := arrowLength + 1.5 + l.width/2
		if i == last {
			if try := l.outside(after, c.stops[last+1]+outside); c.clearOnSheet(try) {
				*l = try
				continue
			}
		}
		if i == 0 {
			if try := l.outside(before, c.stops[0]-outside); c.clearOnSheet(try) {
				*l = try
			}
		}
	}
	return c.fan()
}

// outside is the label moved beyond an end of the chain.
func (l label) outside(p placing, at float64) label {
	l.place, l.at = p, at
	return l
}

// box is the room of a label.
func (c *chain) box(l label) box {
	low, high := extent(l.text, NormalText)
	return box{frame{c.f.to(l.at, l.across), c.f.u, c.f.n}, Rect{Point{-l.width / 2, low}, Point{l.width / 2, high}}}
}

func (c *chain) clear(l label) bool { return c.v.sheet.free(c.box(l)) }

func (c *chain) clearOnSheet(l label) bool {
	b := c.box(l)
	return c.v.sheet.inner.ContainsRect(b.bounds()) && c.v.sheet.free(b)
}

// fan spreads the labels that found no place on the line in a row beside it,
// in the order of their segments, so that their leaders do not cross.
func (c *chain) fan() bool {
	var at, width []float64
	var which []int
	for i, l := range c.labels {
		if l.place == fanned {
			at, width, which = append(at, (l.a+l.b)/2), append(width, l.width+labelGap), append(which, i)
		}
	}
	lo, hi := c.alongSheet()
	at = spread(at, width, lo, hi)
	ok := true
	for k, i := range which {
		l := &c.labels[i]
		low, high := extent(l.text, NormalText)
		l.at = at[k]
		l.across = c.fanFrom() + c.fanRise() - low
		if c.out < 0 {
			l.across = -c.fanFrom() - c.fanRise() - high
		}
		ok = ok && c.clear(*l)
	}
	return ok
}

// fanFrom is the distance from the line at which the leaders begin to slant:
// past the extension lines' ends and past the texts on the line.
func (c *chain) fanFrom() float64 {
	if c.out > 0 {
		return textGap + 1.2*NormalText + 0.4
	}
	return extOvershoot + 0.4
}

// fanRise is the height over which they slant.
func (c *chain) fanRise() float64 { return 3 + c.lift }

// alongSheet is the part of the line's direction that lies on the sheet.
func (c *chain) alongSheet() (lo, hi float64) {
	in := c.v.sheet.inner.Grow(-0.5)
	o := c.f.to((c.stops[0]+c.stops[len(c.stops)-1])/2, 0)
	t0, t1, ok := lineInRect(o, c.f.u, in)
	if !ok {
		return math.Inf(-1), math.Inf(1)
	}
	base := c.f.from(o).X
	return base + t0, base + t1
}

// lineInRect gives the part of the line o + t·u inside a rectangle.
func lineInRect(o, u Point, r Rect) (t0, t1 float64, ok bool) {
	t0, t1 = math.Inf(-1), math.Inf(1)
	for _, s := range [2][4]float64{{o.X, u.X, r.Min.X, r.Max.X}, {o.Y, u.Y, r.Min.Y, r.Max.Y}} {
		if math.Abs(s[1]) < 1e-12 {
			if s[0] < s[2] || s[0] > s[3] {
				return 0, 0, false
			}
			continue
		}
		a, b := (s[2]-s[0])/s[1], (s[3]-s[0])/s[1]
		t0, t1 = max(t0, min(a, b)), min(t1, max(a, b))
	}
	return t0, t1, t0 < t1
}

// spread moves the middles of things of given widths as little as it can so
// that they stand side by side in the same order, within lo…hi as far as they
// fit there. The middles must be in ascending order. Neighbours that touch form
// blocks that stand at the mean of what their members want.
func spread(at, width []float64, lo, hi float64) []float64 {
	type block struct{ sum, size, n float64 } // sum of wanted starts, total width
	var blocks []block
	start := func(b block) float64 {
		return max(lo, min(b.sum/b.n, hi-b.size))
	}
	for i := range at {
		b := block{sum: at[i] - width[i]/2, size: width[i], n: 1}
		for len(blocks) > 0 {
			prev := blocks[len(blocks)-1]
			if start(prev)+prev.size <= start(b) {
				break
			}
			// what the members of b want is counted from the start of prev
			b = block{sum: prev.sum + b.sum - b.n*prev.size, size: prev.size + b.size, n: prev.n + b.n}
			blocks = blocks[:len(blocks)-1]
		}
		blocks = append(blocks, b)
	}
	out := make([]float64, 0, len(at))
	for _, b := range blocks {
		x := start(b)
		if b.size > hi-lo {
			x = (lo + hi - b.size) / 2
		}
		for range int(b.n) {
			w := width[len(out)]
			out = append(out, x+w/2)
			x += w
		}
	}
	return out
}

// draw puts the chain on the sheet.
func (c *chain) draw() {
	for i := range c.labels {
		l := c.labels[i]
		c.v.sheet.In(l.dim.group(l.text, c.box(l)), func() {
			c.extension(i)
			if i == len(c.labels)-1 {
				c.extension(i + 1)
			}
			c.line(i)
			c.heads(i)
			c.write(l)
		})
	}
}

func (c *chain) stroke(p *Path) {
	c.v.sheet.add(item{view: c.v, path: p, pen: DimLine})
}

// extension draws the line from the outline to the dimension line and past it.
func (c *chain) extension(i int) {
	from := c.from[i] - c.at
	dir := -sign(from)
	start := from + dir*extGap
	if math.Abs(from) < extGap {
		start = 0
	}
	end := dir * extOvershoot
	if from == 0 {
		start, end = -extOvershoot, extOvershoot
	}
	c.stroke(Line(c.f.to(c.stops[i], start), c.f.to(c.stops[i], end)))
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// roomy reports whether both arrowheads fit into segment i.
func (c *chain) roomy(i int) bool {
	return c.stops[i+1]-c.stops[i] >= 2*arrowLength+0.8
}

// line draws segment i, and where its text or arrowheads stand outside, the
// line beyond it; and the leader of a fanned text.
func (c *chain) line(i int) {
	l := c.labels[i]
	a, b := c.stops[i], c.stops[i+1]
	if i == 0 && !c.roomy(i) {
		a -= arrowLength + 2
	}
	if i == len(c.labels)-1 && !c.roomy(i) {
		b += arrowLength + 2
	}
	switch l.place {
	case before:
		a = min(a, l.at-l.width/2)
	case after:
		b = max(b, l.at+l.width/2)
	case fanned:
		m := (l.a + l.b) / 2
		y := c.out * c.fanFrom()
		c.stroke(Polyline(c.f.to(m, 0), c.f.to(m, y), c.f.to(l.at, y+c.out*(c.fanRise()-0.4))))
	}
	c.stroke(Line(c.f.to(a, 0), c.f.to(b, 0)))
}

// heads draws the arrowheads at the start of segment i, and at its end if it
// is the last. A head stands inside a segment that has room; a segment without
// room borrows its neighbours' heads, or has heads from outside at the ends of
// the chain; between two segments without room there is a dot.
func (c *chain) heads(i int) {
	stops := []int{i}
	if i == len(c.labels)-1 {
		stops = append(stops, i+1)
	}
	for _, j := range stops {
		first, last := j == 0, j == len(c.stops)-1
		fromLeft := !first && c.roomy(j-1) || first && !c.roomy(j)
		fromRight := !last && c.roomy(j) || last && !c.roomy(j-1)
		tip := c.f.to(c.stops[j], 0)
		if fromLeft {
			c.head(tip, c.f.u)
		}
		if fromRight {
			c.head(tip, c.f.u.Mul(-1))
		}
		if !fromLeft && !fromRight {
			c.v.sheet.dot(c.v, tip)
		}
	}
}

func (c *chain) head(tip, dir Point) { c.v.sheet.arrow(c.v, tip, dir) }

// arrow draws a filled arrowhead.
func (s *Sheet) arrow(v *View, tip, dir Point) {
	d := dir.unit()
	back := tip.Sub(d.Mul(arrowLength))
	side := d.left().Mul(arrowWidth / 2)
	s.add(item{view: v, path: Polygon(tip, back.Add(side), back.Sub(side)), tone: Black, pen: nil})
}

// dot ends a line inside an area, or parts two dimensions too short for heads.
func (s *Sheet) dot(v *View, at Point) {
	s.add(item{view: v, path: Circle(at, 0.45), tone: Black})
}

func (c *chain) write(l label) {
	c.v.sheet.put(c.v, c.f.to(l.at, l.across), l.text,
		TextStyle{Align: AlignCentre, Angle: c.f.u.Angle(), Clear: true, Layer: "DIM"})
}

// lay puts the chain at a fixed line; labels without a place on it are fanned
// out as far as needed to lie clear.
func (c *chain) lay(across float64) {
	c.moveTo(across)
	for !c.settle() && c.lift < 2000 {
		c.lift++
	}
	c.draw()
}

// moveTo puts the dimension line at a distance from the sheet's origin.
func (c *chain) moveTo(across float64) {
	c.at = across
	c.f.o = c.f.n.Mul(across)
}

// Horizontal dimensions the horizontal distance of two points on a line at
// height y of the view.
func (v *View) Horizontal(a, b Point, y float64, d Dim) {
	v.fixed(a, b, Pt(1, 0), Pt(0, y-(a.Y+b.Y)/2), Pt(0, y), d)
}

// Vertical dimensions the vertical distance of two points on a line at x of
// the view.
func (v *View) Vertical(a, b Point, x float64, d Dim) {
	v.fixed(a, b, Pt(0, 1), Pt(x-(a.X+b.X)/2, 0), Pt(x, 0), d)
}

// Aligned dimensions the distance of two points along the line between them,
// on a parallel line at an offset on paper: to the left of the direction from
// a to b when positive.
func (v *View) Aligned(a, b Point, offset float64, d Dim) {
	if a == b {
		return
	}
	n := b.Sub(a).unit().left()
	v.fixed(a, b, b.Sub(a), n.Mul(sign(offset)), a.Add(n.Mul(offset/v.k)), d)
}

// fixed lays a single dimension on the line through a given point.
func (v *View) fixed(a, b, u, away, through Point, d Dim) {
	if !a.finite() || !b.finite() || !through.finite() || u.Len() == 0 {
		return
	}
	c := newChain(v, []Point{a, b}, []Dim{d}, u, away)
	c.lay(v.ToSheet(through).dot(c.f.n))
}
