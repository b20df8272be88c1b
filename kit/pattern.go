package kit

import (
	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/quantity"
)

// Use says what a pattern is laid on.
type Use string

// The uses.
const (
	Steel Use = "steel" // marked on sheet and cut
	Bar   Use = "bar"   // cut from flat bar
	Rod   Use = "rod"   // cut from round bar; has no pattern
	Wood  Use = "wood"  // boards of a mould
	Card  Use = "card"  // a gauge or template, glued on card or sheet
	Paper Use = "paper" // laid against the work, not cut from anything
)

// Pattern is something to be marked out at full size: one figure, or a few that
// belong together.
type Pattern struct {
	ID        string // stable, and the name of its files: "skirt.blank"
	Name      message.Text
	Use       Use
	Material  string  // key of package material; empty for card, paper and wood
	Thickness float64 // m; 0 where it does not matter
	Count     int     // how many are cut from it for one stove
	Figures   []Figure
	Datum     message.Text   // where x and y are measured from
	Notes     []message.Text // what to mind, in order
}

// Figure is one outline with everything marked on it, in millimetres.
type Figure struct {
	Name  message.Text // empty where the pattern has one figure
	Outer flat.Outline
	Holes []Hole
	Folds []Line
	Marks []Line
	Words []Word
	Sizes []Size
	Rings []Ring
}

// Hole is an opening. A drilled hole has one centre, a slot two: its ends are
// drilled, and what is between them is cut out. An opening without centres is
// cut along its outline.
type Hole struct {
	Name    message.Text
	Outline flat.Outline
	Centres []drawing.Point
}

func drilled(name message.Text, at drawing.Point, diameter float64) Hole {
	return Hole{name, flat.Circle(at, diameter/2), []drawing.Point{at}}
}

func slot(name message.Text, a, b drawing.Point, width float64) Hole {
	return Hole{name, flat.Slot(a, b, width), []drawing.Point{a, b}}
}

// Line is a fold or a mark from A to B; Name says what to do there. A Line with
// a centre is a mark along an arc through Sweep degrees.
type Line struct {
	Name   message.Text
	A, B   drawing.Point
	Centre drawing.Point
	Sweep  float64
}

// Path is the line to be drawn.
func (l Line) Path() *drawing.Path {
	if l.Sweep == 0 {
		return drawing.Line(l.A, l.B)
	}
	return new(drawing.Path).MoveTo(l.A.X, l.A.Y).ArcTo(l.Centre, l.Sweep)
}

func line(name message.Text, x1, y1, x2, y2 float64) Line {
	return Line{Name: name, A: drawing.Pt(x1, y1), B: drawing.Pt(x2, y2)}
}

// circleMark is a full circle to be scribed.
func circleMark(name message.Text, centre drawing.Point, r float64) Line {
	p := centre.Add(drawing.Pt(r, 0))
	return Line{Name: name, A: p, B: p, Centre: centre, Sweep: 360}
}

// Word is a short text on the pattern itself.
type Word struct {
	Text  message.Text
	At    drawing.Point // its middle, or the end that Lean says
	Small bool
	Up    bool // runs upwards
	Lean  Lean
}

// Lean says which part of a word lies at its point.
type Lean int

// The leans.
const (
	Centred Lean = iota
	EndsAt
	BeginsAt
)

// Size is a chain of dimensions through points, on one side of the figure.
type Size struct {
	Side   drawing.Side
	Points []drawing.Point
	Round  float64 // step of the printed size; 0 means 0.5 mm
	Name   message.Text
}

// onLower and onLeft dimension places along the lower edge at y and the left
// edge at x: they are marked on the edge and carried over with a square, so that
// no extension line runs across the sheet like a cut.
func onLower(y float64, x ...float64) Size {
	s := Size{Side: drawing.Below}
	for _, v := range x {
		s.Points = append(s.Points, drawing.Pt(v, y))
	}
	return s
}

func onLeft(x float64, y ...float64) Size {
	s := Size{Side: drawing.Left}
	for _, v := range y {
		s.Points = append(s.Points, drawing.Pt(x, v))
	}
	return s
}

// across dimensions a disc between the tangents at its sides.
func across(r float64) Size { return onLower(0, -r, r) }

func size(side drawing.Side, points ...drawing.Point) Size { return Size{Side: side, Points: points} }

// Ring is a diameter or, as an arc, a radius to be printed at an angle.
type Ring struct {
	Centre  drawing.Point
	Radius  float64
	Degrees float64
	Arc     bool
}

// Bounds is the smallest upright rectangle around all figures.
func (p *Pattern) Bounds() drawing.Rect {
	b := p.Figures[0].Outer.Bounds()
	for _, f := range p.Figures[1:] {
		b = b.Union(f.Outer.Bounds())
	}
	return b
}

// Area is the true area of the figures less their holes, m².
func (p *Pattern) Area() float64 {
	var sum float64
	for _, f := range p.Figures {
		sum += f.Outer.Area()
		for _, h := range f.Holes {
			sum -= h.Outline.Area()
		}
	}
	return sum * 1e-6
}

// Coordinate is one line of the tape-and-nail table: a point to be measured
// from the datum, with the arc that leaves it where there is one.
type Coordinate struct {
	Figure int          // counted from 1
	Label  string       // number on the outline, or letter and number of a hole, fold or mark
	What   message.Text // what is there
	At     drawing.Point
	Centre drawing.Point // where a nail is driven for an arc
	Radius float64       // of the arc that leaves the point, or of the hole; 0 for none
	Step   float64       // straight from the point before; 0 at the first
}

// Coordinates is everything on the pattern as a table of points, for whoever
// marks it out with tape, straightedge and nail compass. The outline comes
// first, then openings, folds and marks.
func (p *Pattern) Coordinates() []Coordinate {
	var t table
	for i := range p.Figures {
		t.figure = i + 1
		t.add(&p.Figures[i])
	}
	return t.rows
}

type table struct {
	figure int
	rows   []Coordinate
}

func (t *table) row(label string, what message.Text, at drawing.Point) *Coordinate {
	t.rows = append(t.rows, Coordinate{Figure: t.figure, Label: label, What: what, At: at})
	return &t.rows[len(t.rows)-1]
}

func (t *table) add(f *Figure) {
	t.outline("", message.T("kit.point.corner"), f.Outer)
	for i, h := range f.Holes {
		label := "H" + itoa(i+1)
		switch {
		case len(h.Centres) > 0:
			for k, at := range h.Centres {
				r := t.row(label+letter(k, len(h.Centres)), h.Name, at)
				r.Centre, r.Radius = at, h.Outline[0].Point.Dist(h.Centres[0])
			}
		default:
			t.outline(label+".", h.Name, h.Outline)
		}
	}
	t.lines("F", f.Folds)
	t.lines("M", f.Marks)
}

func (t *table) lines(prefix string, lines []Line) {
	for i, l := range lines {
		if l.Name.ID == ruleMark {
			continue // whoever measures with a tape needs no paper one
		}
		label := prefix + itoa(i+1)
		if l.Sweep == 360 {
			r := t.row(label, l.Name, l.Centre)
			r.Centre, r.Radius = l.Centre, l.Centre.Dist(l.A)
			continue
		}
		from := t.row(label+"a", l.Name, l.A)
		if l.Sweep != 0 {
			from.Centre, from.Radius = l.Centre, l.Centre.Dist(l.A)
		}
		to := t.row(label+"b", l.Name, l.B)
		to.Step = l.A.Dist(l.B)
	}
}

// outline lists the corners in order. A circle is a nail and a radius.
func (t *table) outline(prefix string, what message.Text, o flat.Outline) {
	if len(o) == 1 {
		r := t.row(prefix+"1", what, o[0].Centre)
		r.Centre, r.Radius = o[0].Centre, o[0].Point.Dist(o[0].Centre)
		r.What = message.T("kit.point.circle", "what", what)
		return
	}
	for i, n := range o {
		r := t.row(prefix+itoa(i+1), what, n.Point)
		if i > 0 {
			r.Step = o[i-1].Point.Dist(n.Point)
		}
		if n.Sweep != 0 {
			r.Centre, r.Radius = n.Centre, n.Point.Dist(n.Centre)
		}
	}
}

// letter tells the ends of a slot apart.
func letter(k, of int) string {
	if of == 1 {
		return ""
	}
	return string(rune('a' + k))
}

// tape rounds to what a tape on sheet can set out: half a millimetre.
func tape(millimetres float64) quantity.Value {
	return quantity.Value{SI: millimetres * mm, Unit: quantity.Millimetre, Step: 0.5}
}
