// Package figure draws a sized stove: the side section, the plan of each
// course, the top view and the exploded view, as a workshop would pin them up.
// Every dimension on a drawing carries the id of the stove's dimension, so that
// a page can make it answer to a touch.
package figure

import (
	"io"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Options say on what and for whom a figure is drawn.
type Options struct {
	Paper drawing.Paper // upright; zero means A4
	Bare  bool          // no frame and title block: for a screen
	Sheet int           // number of this sheet and of all sheets, for the title block; 0 leaves it out
	Of    int
}

// Named is a finished drawing, the name of its file, and the one view that a
// CAD program can measure in millimetres of the stove; nil where a drawing has
// several views or no scale.
type Named struct {
	Name  string
	Sheet *drawing.Sheet
	View  *drawing.View
}

// All draws every figure, in the order of their numbers.
func All(s *stove.Stove, c *message.Catalogue, o Options) []Named {
	section, sectionView := sectionSheet(s, c, o)
	top, topView := topSheet(s, c, o)
	return []Named{
		{"section", section, sectionView},
		{"plans", Plans(s, c, o), nil},
		{"top", top, topView},
		{"exploded", Exploded(s, c, o), nil},
	}
}

// DXF writes a drawing for CAD: 1:1 in millimetres of the stove where it has
// one view, else as it lies on paper.
func (n Named) DXF(w io.Writer) error {
	if n.View != nil {
		return n.View.DXF(w)
	}
	return n.Sheet.DXF(w)
}

// figure is a drawing in the making: millimetres of the thing, the stove's
// words in the reader's language.
type figure struct {
	s     *stove.Stove
	c     *message.Catalogue
	o     Options
	sheet *drawing.Sheet
	room  drawing.Rect
}

const mm = 1000.0 // millimetres per metre

func newFigure(s *stove.Stove, c *message.Catalogue, o Options) *figure {
	if o.Paper.Width == 0 {
		o.Paper = drawing.A4
	}
	return &figure{s: s, c: c, o: o}
}

// open starts the sheet.
func (f *figure) open(paper drawing.Paper, name string) {
	f.sheet = drawing.NewSheet(paper)
	f.sheet.Title = f.c.S("figure." + name)
	f.sheet.Desc = f.c.S("figure.desc." + name)
	f.sheet.Lang = f.c.Language()
	f.sheet.ID = "figure-" + name
	f.sheet.Decimal = f.c.Decimal()
}

// furnish draws frame and title block and finds the room left for the drawing;
// the zero scale stands for a drawing that is not to scale.
func (f *figure) furnish(number string, scale drawing.Scale) {
	if f.o.Bare {
		f.room = f.sheet.Bounds().Grow(-4)
		return
	}
	b := f.s.Brief
	ratio := scale.String()
	if scale.Thing == 0 {
		ratio = f.c.S("figure.field.no-scale")
	}
	fields := []drawing.Field{
		{Name: f.c.S("figure.field.number"), Value: number},
		{Name: f.c.S("figure.field.scale"), Value: ratio},
		{Name: f.c.S("figure.field.date"), Value: orDash(b.Choices.Drawn)},
		{Name: f.c.S("figure.field.revision"), Value: orDash(b.Choices.Revision)},
		{Name: f.c.S("figure.field.by"), Value: orDash(b.Choices.PlannedBy)},
	}
	notes := []string{f.c.S("figure.note.units")}
	if b.Note != "" {
		notes = append(notes, b.Note)
	}
	f.room = f.sheet.Furnish(drawing.TitleBlock{
		Project: orDash(b.Name), Title: f.sheet.Title, Fields: fields, FirstAngle: true, Notes: notes,
	})
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// dim is the dimension of the stove with an id, as it is written on a drawing.
func (f *figure) dim(id string) drawing.Dim {
	d := f.s.Dimension(id)
	return drawing.Dim{Key: id, Label: f.c.Say(d.Name()), Text: f.number(d.Value), Class: string(d.Origin)}
}

// number prints a length of a drawing: millimetres without the unit.
func (f *figure) number(v quantity.Value) string { return f.c.Number(v) }

// diameter is dim with the sign of a diameter before it.
func (f *figure) diameter(id string) drawing.Dim {
	d := f.dim(id)
	d.Text = "Ø " + d.Text
	return d
}

// free is a dimension that has no id of its own.
func (f *figure) free(label string, metres float64) drawing.Dim {
	return drawing.Dim{Label: f.c.S(label), Text: f.number(quantity.MM(metres))}
}

func pt(x, y float64) drawing.Point { return drawing.Pt(x*mm, y*mm) }

// rect is the rectangle between two corners given in metres.
func rect(x1, y1, x2, y2 float64) *drawing.Path {
	return drawing.Rectangle(drawing.R(min(x1, x2)*mm, min(y1, y2)*mm, abs(x2-x1)*mm, abs(y2-y1)*mm))
}

func abs(x float64) float64 { return max(x, -x) }

// outline is a closed polygon of plan points.
func outline(points []stove.Point) *drawing.Path {
	list := make([]drawing.Point, len(points))
	for i, p := range points {
		list[i] = pt(p.X, p.Y)
	}
	return drawing.Polygon(list...)
}
