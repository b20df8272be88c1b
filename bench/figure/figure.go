// Package figure draws what was tested: the results of two stoves side by side,
// every test in the order it was burnt, a temperature record with the uses found
// in it, and the measuring points of the safety test on the stove itself.
//
// All are black on white; what tells two stoves apart is the shape of the mark.
package figure

import (
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// Measures of a chart in millimetres of paper.
const (
	axisText  = 2.0
	labelText = 2.2
	tick      = 1.2
	margin    = 2.0
)

// chart is a drawing with two axes: a room on paper and the numbers at its
// edges.
type chart struct {
	sheet          *drawing.Sheet
	c              *message.Catalogue
	room           drawing.Rect
	xLow, xHigh    float64
	yLow, yHigh    float64
	width, height_ float64
}

func newChart(c *message.Catalogue, width, height float64, name string) *chart {
	s := drawing.NewSheet(drawing.Custom(width, height))
	s.Title, s.Desc = c.S("figure."+name), c.S("figure.desc."+name)
	s.Lang, s.ID, s.Decimal = c.Language(), "figure-"+name, c.Decimal()
	return &chart{sheet: s, c: c, width: width, height_: height}
}

// at is the place on paper of a pair of numbers.
func (k *chart) at(x, y float64) drawing.Point {
	return drawing.Pt(k.x(x), k.y(y))
}

func (k *chart) x(v float64) float64 {
	return k.room.Min.X + (v-k.xLow)/(k.xHigh-k.xLow)*k.room.W()
}

func (k *chart) y(v float64) float64 {
	return k.room.Min.Y + (v-k.yLow)/(k.yHigh-k.yLow)*k.room.H()
}

func (k *chart) line(pen *drawing.Pen, points ...drawing.Point) {
	k.sheet.Stroke(pen, drawing.Polyline(points...))
}

func (k *chart) write(x, y float64, text string, height float64, align drawing.Align, v drawing.VAlign) {
	k.sheet.Write(drawing.Pt(x, y), text, drawing.TextStyle{Height: height, Align: align, VAlign: v})
}

// number prints the label of a mark on an axis, as finely as its step.
func (k *chart) number(v, step float64) string {
	return k.c.Number(quantity.Value{SI: v, Unit: quantity.One, Step: step})
}

// upright draws the axis of y at the left with its ticks and thin lines across.
func (k *chart) upright(title string) {
	step := drawing.RoundStep(k.yHigh-k.yLow, 6)
	for _, v := range drawing.Marks(step, k.yLow, k.yHigh) {
		y := k.y(v)
		k.line(drawing.HatchLine, drawing.Pt(k.room.Min.X, y), drawing.Pt(k.room.Max.X, y))
		k.line(drawing.Thin, drawing.Pt(k.room.Min.X-tick, y), drawing.Pt(k.room.Min.X, y))
		k.write(k.room.Min.X-tick-0.6, y, k.number(v, step), axisText, drawing.AlignRight, drawing.Middle)
	}
	k.line(drawing.Thin, k.room.Min, drawing.Pt(k.room.Min.X, k.room.Max.Y))
	k.write(margin, k.height_-margin, title, labelText, drawing.AlignLeft, drawing.Top)
}

// level draws the axis of x along the foot.
func (k *chart) level() {
	k.line(drawing.Thin, k.room.Min, drawing.Pt(k.room.Max.X, k.room.Min.Y))
}

// markSize is half the size of a mark.
const markSize = 1.1

// mark draws the sign of a stove: full circle, open circle, full square, open
// square, open triangle, in this order, again from the first.
func (k *chart) mark(p drawing.Point, series int) {
	const r = markSize
	square := drawing.Rectangle(drawing.R(p.X-r, p.Y-r, 2*r, 2*r))
	switch series % 5 {
	case 0:
		k.sheet.Shape(drawing.Black, drawing.Thin, drawing.Circle(p, r))
	case 1:
		k.sheet.Shape(drawing.White, drawing.Thin, drawing.Circle(p, r))
	case 2:
		k.sheet.Shape(drawing.Black, drawing.Thin, square)
	case 3:
		k.sheet.Shape(drawing.White, drawing.Thin, square)
	default:
		k.sheet.Shape(drawing.White, drawing.Thin, drawing.RegularPolygon(p, r*1.3, 3, 90))
	}
}

// cross marks a test that does not count.
func (k *chart) cross(p drawing.Point) {
	const r = markSize * 1.6
	k.line(drawing.Thin, p.Add(drawing.Pt(-r, -r)), p.Add(drawing.Pt(r, r)))
	k.line(drawing.Thin, p.Add(drawing.Pt(-r, r)), p.Add(drawing.Pt(r, -r)))
}

// legend names the marks in a row from a place to the right.
func (k *chart) legend(x, y float64, names []string) {
	for i, name := range names {
		k.mark(drawing.Pt(x+markSize, y), i)
		k.write(x+2*markSize+1.2, y, name, labelText, drawing.AlignLeft, drawing.Middle)
		x += 2*markSize + 1.2 + drawing.TextWidth(name, labelText, drawing.Regular) + 6
	}
}
