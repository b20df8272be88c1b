// Package figure draws what a brick maker reads best as a picture: the firing
// beside its plan, a property over all mixtures of three, and where in the kiln
// the rejects stood. All words come from the message catalogue.
package figure

import (
	"math"
	"strconv"

	"stovewright/brick"
	"stovewright/brick/mixture"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

const (
	hour        = 3600.0 // s
	zeroCelsius = 273.15 // K
)

// Margins of a picture, mm on paper.
const (
	left   = 20.0
	right  = 26.0
	below  = 14.0
	above  = 12.0
	legend = 6.0 // height of a line of the legend
)

// grid is the paper's own lines, thinner than anything drawn on them.
var grid = &drawing.Pen{Name: "grid", Layer: "GRID", Linetype: "CONTINUOUS", Width: 0.09}

// open starts a sheet with its title.
func open(c *message.Catalogue, name string, width, height float64) *drawing.Sheet {
	s := drawing.NewSheet(drawing.Custom(width, height))
	s.Title = c.S("brick.figure." + name)
	s.Desc = c.S("brick.figure." + name + ".desc")
	s.Lang = c.Language()
	s.ID = "brick-" + name
	s.Write(drawing.Pt(left, height-above/2-1), s.Title, drawing.TextStyle{Height: drawing.LargeText})
	return s
}

// axes are a plot's scales.
type axes struct {
	room           drawing.Rect
	x0, x1, y0, y1 float64
}

func (a axes) at(x, y float64) drawing.Point {
	return drawing.Pt(a.room.Min.X+(x-a.x0)/(a.x1-a.x0)*a.room.W(), a.room.Min.Y+(y-a.y0)/(a.y1-a.y0)*a.room.H())
}

// draw draws the room with both scales and their names.
func (a axes) draw(s *drawing.Sheet, c *message.Catalogue, xName, yName string) {
	small := drawing.TextStyle{Height: drawing.SmallText}
	number := func(v, step float64) string {
		return c.Number(quantity.Value{SI: v, Unit: quantity.One, Step: step})
	}
	step := drawing.RoundStep(a.x1-a.x0, 8)
	for _, x := range drawing.Marks(step, a.x0, a.x1) {
		s.Stroke(grid, drawing.Line(a.at(x, a.y0), a.at(x, a.y1)))
		st := small
		st.Align = drawing.AlignCentre
		s.Write(a.at(x, a.y0).Add(drawing.Pt(0, -4)), number(x, step), st)
	}
	step = drawing.RoundStep(a.y1-a.y0, 6)
	for _, y := range drawing.Marks(step, a.y0, a.y1) {
		s.Stroke(grid, drawing.Line(a.at(a.x0, y), a.at(a.x1, y)))
		st := small
		st.Align = drawing.AlignRight
		s.Write(a.at(a.x0, y).Add(drawing.Pt(-1.5, -0.9)), number(y, step), st)
	}
	s.Stroke(drawing.Thin, drawing.Rectangle(a.room))
	st := small
	st.Align = drawing.AlignRight
	s.Write(drawing.Pt(a.room.Max.X, a.room.Min.Y-9), xName, st)
	s.Write(drawing.Pt(a.room.Min.X-left+2, a.room.Max.Y+2), yName, small)
}

// logPens tell the places of the thermometers apart; the plan is the Outline.
var logPens = []*drawing.Pen{drawing.Thin, drawing.Hidden, drawing.CentreLine, drawing.Phantom}

// Firing draws a plan, and a log beside it where there is one (nil for none):
// temperature over time, with the colour words at the right. More than four
// places share the last kind of line.
func Firing(plan brick.Schedule, log *brick.KilnLog, c *message.Catalogue) *drawing.Sheet {
	lines := 1
	if log != nil {
		lines += len(log.Positions)
	}
	const width, plotHeight = 190.0, 100.0
	s := open(c, "firing", width, plotHeight+above+below+legend*float64(lines)+4)
	end, top := plan.Duration()/hour, 0.0
	for _, p := range plan.Steps {
		top = math.Max(top, math.Max(p.From, p.To)-zeroCelsius)
	}
	if log != nil {
		for _, r := range log.Rows {
			end = math.Max(end, r.Time/hour)
			for _, t := range r.Temps {
				if !math.IsNaN(t) {
					top = math.Max(top, t-zeroCelsius)
				}
			}
		}
	}
	bottom := below + legend*float64(lines)
	a := axes{room: drawing.R(left, bottom, width-left-right, plotHeight), x1: math.Max(1, end), y1: math.Max(100, 100*math.Ceil(top/100))}
	a.draw(s, c, c.S("brick.figure.hours"), c.S("brick.figure.celsius"))
	for _, g := range brick.GlowColours() {
		if g.At <= a.y1 {
			s.Write(a.at(a.x1, g.At).Add(drawing.Pt(2, -0.9)), c.Say(g.Name()), drawing.TextStyle{Height: drawing.SmallText})
			s.Stroke(drawing.Thin, drawing.Line(a.at(a.x1, g.At), a.at(a.x1, g.At).Add(drawing.Pt(1.5, 0))))
		}
	}
	row := 0
	draw := func(pen *drawing.Pen, name string, points []drawing.Point) {
		if len(points) > 1 {
			s.Stroke(pen, drawing.Polyline(points...))
		}
		y := bottom - below - legend*float64(row) + 1
		s.Stroke(pen, drawing.Line(drawing.Pt(left, y), drawing.Pt(left+16, y)))
		s.Write(drawing.Pt(left+18, y-0.9), name, drawing.TextStyle{Height: drawing.SmallText})
		row++
	}
	draw(drawing.Outline, c.S("brick.figure.plan"), planPoints(plan, a))
	if log != nil {
		for k, name := range log.Positions {
			var points []drawing.Point
			for _, r := range log.Rows {
				if t := r.Temps[k]; !math.IsNaN(t) {
					points = append(points, a.at(r.Time/hour, t-zeroCelsius))
				}
			}
			draw(logPens[min(k, len(logPens)-1)], name, points)
		}
	}
	return s
}

func planPoints(plan brick.Schedule, a axes) []drawing.Point {
	var points []drawing.Point
	t := 0.0
	for i, p := range plan.Steps {
		if i == 0 {
			points = append(points, a.at(0, p.From-zeroCelsius))
		}
		t += p.Duration / hour
		points = append(points, a.at(t, p.To-zeroCelsius))
	}
	return points
}

// Blend is one mixture marked in a triangle.
type Blend struct {
	Point mixture.Point
	Label string
	Best  bool // drawn full
}

// Ternary draws a property over all mixtures of three ingredients as lines of
// equal value, with the trials marked. unit is shown with each value, decimals
// as many as are written.
func Ternary(names [3]string, value func(mixture.Point) float64, levels []float64, decimals int, unit string, blends []Blend, c *message.Catalogue) *drawing.Sheet {
	const side, width = 130.0, 190.0
	height := side*math.Sqrt(3)/2 + above + 2*below
	s := open(c, "ternary", width, height)
	origin := drawing.Pt((width-side)/2, below+4)
	at := func(p mixture.Point) drawing.Point {
		x, y := mixture.Ternary(p)
		return origin.Add(drawing.Pt(x*side, y*side))
	}
	corner := [3]drawing.Point{at(mixture.Point{1, 0, 0}), at(mixture.Point{0, 1, 0}), at(mixture.Point{0, 0, 1})}
	for k := 1; k < 10; k++ {
		t := float64(k) / 10
		for i := 0; i < 3; i++ {
			var p, q mixture.Point = make(mixture.Point, 3), make(mixture.Point, 3)
			p[i], p[(i+1)%3] = t, 1-t
			q[i], q[(i+2)%3] = t, 1-t
			s.Stroke(grid, drawing.Line(at(p), at(q)))
		}
	}
	normal := drawing.TextStyle{Height: drawing.NormalText, Align: drawing.AlignCentre}
	s.Write(corner[0].Add(drawing.Pt(0, -6)), names[0], normal)
	s.Write(corner[1].Add(drawing.Pt(0, -6)), names[1], normal)
	s.Write(corner[2].Add(drawing.Pt(0, 2.5)), names[2], normal)
	for _, level := range levels {
		drawLevel(s, origin, side, mixture.Contours(value, []float64{level}, 60), strconv.FormatFloat(level, 'f', decimals, 64)+unit)
	}
	s.Stroke(drawing.Outline, drawing.Polygon(corner[:]...))
	for _, b := range blends {
		tone := drawing.White
		if b.Best {
			tone = drawing.Black
		}
		s.Shape(tone, drawing.Outline, drawing.Circle(at(b.Point), 1.2))
		s.Write(at(b.Point).Add(drawing.Pt(1.8, 1.2)), b.Label, drawing.TextStyle{Height: drawing.SmallText, Clear: true})
	}
	return s
}

// drawLevel draws the pieces of one contour and names it.
func drawLevel(s *drawing.Sheet, origin drawing.Point, side float64, lines []mixture.Line, label string) {
	if len(lines) == 0 {
		return
	}
	for _, l := range lines {
		s.Stroke(drawing.Thin, drawing.Line(origin.Add(drawing.Pt(l.X1*side, l.Y1*side)), origin.Add(drawing.Pt(l.X2*side, l.Y2*side))))
	}
	l := lines[0] // the piece nearest the middle of the triangle has most room around it
	far := math.Inf(1)
	for _, k := range lines {
		if d := math.Hypot((k.X1+k.X2)/2-0.5, (k.Y1+k.Y2)/2-math.Sqrt(3)/6); d < far {
			l, far = k, d
		}
	}
	middle := origin.Add(drawing.Pt((l.X1+l.X2)/2*side, (l.Y1+l.Y2)/2*side))
	st := drawing.TextStyle{Height: drawing.SmallText, Align: drawing.AlignCentre, VAlign: drawing.Middle}
	w, h := drawing.TextWidth(label, st.Height, st.Face)+1.5, st.Height+1.5
	s.Fill(drawing.White, drawing.Rectangle(drawing.R(middle.X-w/2, middle.Y-h/2, w, h)))
	s.Write(middle, label, st)
}

// KilnMap draws the layers of a kiln from the bottom up, left to right, each
// seen from above: a cross for a reject, a ring for a good brick. Where several
// bricks stood in one place, one reject marks it.
func KilnMap(bricks []brick.Placed, c *message.Catalogue) *drawing.Sheet {
	layers, rows, columns := 1, 1, 1
	bad := make(map[[3]int]bool)
	for _, b := range bricks {
		layers, rows, columns = max(layers, b.Layer), max(rows, b.Row), max(columns, b.Column)
		at := [3]int{b.Layer, max(1, b.Row), max(1, b.Column)}
		bad[at] = bad[at] || !b.Good
	}
	const cell, gap, title = 7.0, 12.0, 40.0
	block := math.Max(cell*float64(columns), title) + gap
	s := open(c, "kiln-map", math.Max(120, left+block*float64(layers)+right), above+below+cell*float64(rows)+14)
	for layer := 1; layer <= layers; layer++ {
		x, y := left+block*float64(layer-1), below
		s.Write(drawing.Pt(x, y+cell*float64(rows)+2), c.S("brick.place.layer", "n", strconv.Itoa(layer)), drawing.TextStyle{Height: drawing.SmallText})
		for r := 1; r <= rows; r++ {
			for k := 1; k <= columns; k++ {
				box := drawing.R(x+cell*float64(k-1), y+cell*float64(r-1), cell, cell)
				s.Stroke(grid, drawing.Rectangle(box))
				mark(s, box, bad, [3]int{layer, r, k})
			}
		}
	}
	return s
}

func mark(s *drawing.Sheet, box drawing.Rect, bad map[[3]int]bool, at [3]int) {
	rejected, stood := bad[at]
	if !stood {
		return
	}
	inner := box.Grow(-1.6)
	if rejected {
		s.Stroke(drawing.Outline, drawing.Line(inner.Min, inner.Max), drawing.Line(drawing.Pt(inner.Min.X, inner.Max.Y), drawing.Pt(inner.Max.X, inner.Min.Y)))
		return
	}
	s.Stroke(drawing.Thin, drawing.Circle(drawing.Pt((inner.Min.X+inner.Max.X)/2, (inner.Min.Y+inner.Max.Y)/2), inner.W()/2))
}
