// Package figure draws what the explorations say: which change pays most
// ([Ranking]), whose the spread is ([Shares]), which stoves none beats ([Front]),
// why two stoves differ ([Parts]), what errors of making cost ([Tolerances]), what
// tests taught ([Beliefs], [Foretold]), what to do next ([Outlook]) and what one
// stove for several pots costs ([Pots]).
//
// Every function takes the reader's words and the width of the sheet in
// millimetres, from 80 (a phone) to 190 (a page); the height follows. It returns
// nil where there is nothing to draw. All is black on white: what tells things
// apart is their shape. Each picture says that it is computed.
package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// Measures in millimetres of paper.
const (
	margin    = 2.0
	nameText  = 2.2
	smallText = 2.0
	barHalf   = 1.4
	track     = 3.9 // from one bar of a row to the next: its value may bear accents
	tick      = 1.0
	axisRoom  = 5.0
	keyRoom   = 9.0 // of a sample in the legend
	narrow    = 120 // below this width names stand over what they name
)

// row is one line of a picture: a name and room for what is drawn.
type row struct {
	name    string
	heading bool
	room    float64 // height of what is drawn
}

// key is one line of the legend: a sample, if any, and what it stands for.
type key struct {
	sample func(k *chart, at drawing.Point)
	words  string
}

// chart is a picture of rows over one scale.
type chart struct {
	c           *message.Catalogue
	sheet       *drawing.Sheet
	left, right float64   // of the room that is drawn in
	top, bottom float64   // of all rows
	rows        []float64 // middle of what is drawn in each row
	rooms       []float64 // height of that; 0 of a heading
	through     bool      // lines may run from top to bottom, clear of all names
	low, high   float64   // what the edges of the room stand for
}

// head is what stands over the rows: the title, and room for heads of columns.
type head struct {
	id      string // of the messages figure.explore.<id> and .desc.<id>
	name    string // of what the picture is about, to tell it from its sisters
	title   string
	columns float64
	axis    bool
}

func title() drawing.TextStyle {
	return drawing.TextStyle{Face: drawing.Bold, Spacing: 1.6}
}

func block(heading bool) drawing.TextStyle {
	st := drawing.TextStyle{Height: nameText, VAlign: drawing.Middle, Spacing: 1.5, Clear: true}
	if heading {
		st.Face = drawing.Bold
	}
	return st
}

// open lays out a picture: title, rows with their names, an axis, a legend, and
// that it is computed.
func open(c *message.Catalogue, width float64, h head, rows []row, legend []key) *chart {
	legend = append(legend, key{words: c.S("figure.explore.computed")})
	k := &chart{c: c, left: margin + 0.36*width, right: width - margin, through: width >= narrow}
	names := k.left - margin - 3
	if !k.through {
		k.left, names = margin, width-2*margin
	}
	above := margin + drawing.BlockHeight(h.title, width-2*margin, title()) + 2.5 + h.columns
	heights, offsets, whole := make([]float64, len(rows)), make([]float64, len(rows)), 0.0
	for i, r := range rows {
		words := drawing.BlockHeight(r.name, names, block(r.heading))
		switch {
		case r.heading:
			heights[i] = words + 3.5
		case !k.through:
			heights[i], offsets[i] = words+1.4+r.room+2.6, words/2
		default:
			heights[i] = math.Max(words+1.2, r.room+1.6)
		}
		whole += heights[i]
	}
	below := margin + 1.5
	for _, l := range legend {
		below += legendHeight(l, width) + 1.2
	}
	if h.axis {
		below += axisRoom
	}
	s := drawing.NewSheet(drawing.Custom(width, above+whole+below))
	s.Title, s.Desc = h.title, c.S("figure.explore.desc."+h.id)
	s.Lang, s.ID, s.Decimal = c.Language(), "figure-explore-"+h.id+h.name, c.Decimal()
	k.sheet = s
	s.WriteBlock(drawing.Pt(margin, s.Paper.Height-margin), h.title, width-2*margin, drawing.TextStyle{Face: drawing.Bold, VAlign: drawing.Top, Spacing: 1.6})
	k.top = s.Paper.Height - above
	k.bottom = k.top - whole
	y := k.top
	for i, r := range rows {
		middle := y - heights[i]/2
		k.rows, k.rooms = append(k.rows, middle-offsets[i]), append(k.rooms, r.room)
		if !k.through && !r.heading {
			st := block(false)
			st.VAlign = drawing.Top
			s.WriteBlock(drawing.Pt(margin, y-1.2), r.name, names, st)
		} else {
			room := names
			if r.heading {
				room = width - 2*margin
			}
			s.WriteBlock(drawing.Pt(margin, middle), r.name, room, block(r.heading))
		}
		y -= heights[i]
	}
	k.legend(legend)
	return k
}

func legendStyle() drawing.TextStyle {
	return drawing.TextStyle{Height: smallText, VAlign: drawing.Top, Spacing: 1.55}
}

func legendHeight(l key, width float64) float64 {
	room := width - 2*margin
	if l.sample != nil {
		room -= keyRoom
	}
	return drawing.BlockHeight(l.words, room, legendStyle())
}

// legend writes the foot; its last line, that all is computed, stands slanted.
func (k *chart) legend(legend []key) {
	width := k.sheet.Paper.Width
	y := margin
	for _, l := range legend {
		y += legendHeight(l, width) + 1.2
	}
	for i, l := range legend {
		st, x, h := legendStyle(), margin, legendHeight(l, width)
		if l.sample != nil {
			l.sample(k, drawing.Pt(margin+keyRoom/2-1, y-smallText/2))
			x += keyRoom
		}
		if i == len(legend)-1 {
			st.Face = drawing.Italic
		}
		k.sheet.WriteBlock(drawing.Pt(x, y), l.words, width-margin-x, st)
		y -= h + 1.2
	}
}

// x is the place of a number on the scale, held to the room.
func (k *chart) x(v float64) float64 {
	x := k.left + (v-k.low)/(k.high-k.low)*(k.right-k.left)
	return math.Min(math.Max(x, k.left), k.right)
}

// axis draws the scale under the rows and thin lines through them; its numbers are
// in a unit.
func (k *chart) axis(u quantity.Unit, left, right float64) {
	low, high := u.Number(k.low), u.Number(k.high)
	step := drawing.RoundStep(high-low, max(4, int((right-left)/14)))
	for _, v := range drawing.Marks(step, low, high) {
		x := k.x(u.SI(v))
		k.line(drawing.HatchLine, x, k.bottom, x, k.top)
		k.line(drawing.Thin, x, k.bottom, x, k.bottom-tick)
		text := k.c.Number(quantity.Value{SI: u.SI(v), Unit: u, Step: step})
		half := drawing.TextWidth(text, smallText, drawing.Regular) / 2
		k.write(math.Min(math.Max(x, half+0.5), k.sheet.Paper.Width-half-0.5), k.bottom-tick-0.8, text, drawing.AlignCentre, drawing.Top)
	}
	k.line(drawing.Thin, left, k.bottom, right, k.bottom)
}

func (k *chart) line(pen *drawing.Pen, x1, y1, x2, y2 float64) {
	k.sheet.Stroke(pen, drawing.Line(drawing.Pt(x1, y1), drawing.Pt(x2, y2)))
}

// rule draws an upright line through all rows, beside names but not through them.
func (k *chart) rule(pen *drawing.Pen, x float64) {
	if k.through {
		k.line(pen, x, k.bottom, x, k.top)
		return
	}
	for i, room := range k.rooms {
		if room > 0 {
			k.line(pen, x, k.rows[i]-room/2-0.8, x, k.rows[i]+room/2+0.8)
		}
	}
}

func (k *chart) write(x, y float64, text string, align drawing.Align, v drawing.VAlign) {
	k.sheet.Write(drawing.Pt(x, y), text, drawing.TextStyle{Height: smallText, Align: align, VAlign: v, Clear: true})
}

// bar is a filled rectangle from one place to another.
func (k *chart) bar(tone drawing.Tone, x1, x2, low, high float64) {
	k.sheet.Shape(tone, drawing.Thin, drawing.Rectangle(drawing.R(math.Min(x1, x2), low, math.Abs(x2-x1), high-low)))
}

// interval is a line with ends.
func (k *chart) interval(pen *drawing.Pen, x1, x2, y float64) {
	k.line(pen, x1, y, x2, y)
	for _, x := range []float64{x1, x2} {
		k.line(drawing.Thin, x, y-0.9, x, y+0.9)
	}
}

// mark is the sign of one of several things: a full circle, an open one, a
// triangle, a square.
type mark int

const (
	fullDot mark = iota
	openDot
	triangle
	square
)

func (k *chart) mark(m mark, p drawing.Point) {
	const r = 1.0
	switch m {
	case fullDot:
		k.sheet.Shape(drawing.Black, drawing.Thin, drawing.Circle(p, r))
	case openDot:
		k.sheet.Shape(drawing.White, drawing.Thin, drawing.Circle(p, r))
	case triangle:
		k.sheet.Shape(drawing.White, drawing.Thin, drawing.RegularPolygon(p, r*1.25, 3, 90))
	default:
		k.sheet.Shape(drawing.White, drawing.Thin, drawing.Rectangle(drawing.R(p.X-r*0.9, p.Y-r*0.9, 1.8*r, 1.8*r)))
	}
}

// samples of the legend.

func barSample(tone drawing.Tone) func(*chart, drawing.Point) {
	return func(k *chart, at drawing.Point) { k.bar(tone, at.X-3, at.X+3, at.Y-0.9, at.Y+0.9) }
}

func markSample(m mark) func(*chart, drawing.Point) {
	return func(k *chart, at drawing.Point) { k.mark(m, at) }
}

func intervalSample(pen *drawing.Pen, m mark) func(*chart, drawing.Point) {
	return func(k *chart, at drawing.Point) {
		k.interval(pen, at.X-3, at.X+3, at.Y)
		k.mark(m, at)
	}
}

func finite(list ...float64) bool {
	for _, v := range list {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
