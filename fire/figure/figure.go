// Package figure draws a stove alight: the way of its gas with temperature and
// velocity, where its heat goes, where its draft is spent, and the boiling test
// in time. Everything can be read in black print; each figure says that it is
// computed.
package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// figure is a drawing in the making, with the reader's words.
type figure struct {
	c     *message.Catalogue
	sheet *drawing.Sheet
}

// open starts a sheet of a size in millimetres.
func open(c *message.Catalogue, name string, width, height float64) *figure {
	s := drawing.NewSheet(drawing.Custom(width, height))
	s.Title, s.Desc = c.S("figure.fire."+name), c.S("figure.fire.desc."+name)
	s.Lang, s.ID, s.Decimal = c.Language(), "figure-fire-"+name, c.Decimal()
	return &figure{c, s}
}

// computed writes in a corner that nothing here was measured.
func (f *figure) computed(at drawing.Point, align drawing.Align) {
	f.sheet.Write(at, f.c.S("figure.fire.computed"), drawing.TextStyle{Height: drawing.SmallText, Face: drawing.Italic, Align: align})
}

func (f *figure) value(si float64, u quantity.Unit, step float64) string {
	return f.c.Value(quantity.Value{SI: si, Unit: u, Step: step})
}

func (f *figure) number(si float64, u quantity.Unit, step float64) string {
	return f.c.Number(quantity.Value{SI: si, Unit: u, Step: step})
}

func (f *figure) text(x, y float64, words string, align drawing.Align) {
	f.sheet.Write(drawing.Pt(x, y), words, drawing.TextStyle{Align: align, VAlign: drawing.Middle})
}

func (f *figure) line(pen *drawing.Pen, x1, y1, x2, y2 float64) {
	f.sheet.Stroke(pen, drawing.Line(drawing.Pt(x1, y1), drawing.Pt(x2, y2)))
}

func box(x1, y1, x2, y2 float64) *drawing.Path {
	return drawing.Rectangle(drawing.R(math.Min(x1, x2), math.Min(y1, y2), math.Abs(x2-x1), math.Abs(y2-y1)))
}

// panel is one diagram: a quantity against another, with its axes.
type panel struct {
	*figure
	room           drawing.Rect
	x0, x1, y0, y1 float64 // what the room's edges stand for, in the axes' units
}

func (p *panel) at(x, y float64) drawing.Point {
	return drawing.Pt(p.room.Min.X+(x-p.x0)/(p.x1-p.x0)*p.room.W(), p.room.Min.Y+(y-p.y0)/(p.y1-p.y0)*p.room.H())
}

// axisY draws the scale on the left with its lines through the room, and the
// name of the quantity over it.
func (p *panel) axisY(name string, u quantity.Unit, step float64) {
	for _, v := range drawing.Marks(step, p.y0, p.y1) {
		y := p.at(p.x0, v).Y
		p.line(drawing.HatchLine, p.room.Min.X, y, p.room.Max.X, y)
		p.text(p.room.Min.X-1.5, y, p.number(u.SI(v), u, step), drawing.AlignRight)
	}
	p.line(drawing.Thin, p.room.Min.X, p.room.Min.Y, p.room.Min.X, p.room.Max.Y)
	p.text(p.room.Min.X, p.room.Max.Y+3.5, name, drawing.AlignLeft)
}

// axisX draws the scale below.
func (p *panel) axisX(u quantity.Unit, step float64, name string) {
	p.line(drawing.Thin, p.room.Min.X, p.room.Min.Y, p.room.Max.X, p.room.Min.Y)
	for _, v := range drawing.Marks(step, p.x0, p.x1) {
		x := p.at(v, p.y0).X
		p.line(drawing.Thin, x, p.room.Min.Y, x, p.room.Min.Y-1.2)
		p.text(x, p.room.Min.Y-3.8, p.number(u.SI(v), u, step), drawing.AlignCentre)
	}
	p.text(p.room.Max.X, p.room.Min.Y-8, name, drawing.AlignRight)
}

func (p *panel) curve(pen *drawing.Pen, xs, ys []float64) {
	points := make([]drawing.Point, len(xs))
	for i := range xs {
		points[i] = p.at(xs[i], ys[i])
	}
	if len(points) > 1 {
		p.sheet.Stroke(pen, drawing.Polyline(points...))
	}
}
