package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
	stovefigure "stovewright/stove/figure"
)

// wallDistance is where the wall is drawn behind the stove, m: a wall is
// measured where it stands in the kitchen (common practice, no source).
const wallDistance = 0.10

// SafetyPoints draws the measuring points of the safety test on a stove: from
// the side and from above, each point with its number, and under them what is
// read there. Two scorers who read at these points read the same thing.
func SafetyPoints(s *stove.Stove, c *message.Catalogue, width float64) *drawing.Sheet {
	points := pointsOf(s)
	side := stovefigure.Extent(s)
	side = drawing.Rect{Min: drawing.Pt(-(s.BodyOuter()/2+wallDistance)*1000-15, -10), Max: side.Max}
	half := s.BodyOuter() / 2 * 1000
	const gap = 12.0
	scale := drawing.FitScale(2*side.W(), math.Max(side.H(), 2*half+20), width-2*margin-gap, 110)
	f := scale.Factor()
	picture := math.Max(side.H(), 2*half+20)*f + 12
	legend := legendHeight(points, c, width)
	k := newChart(c, width, picture+legend+8, "safety")
	base, left := legend+8, margin+2
	v := k.sheet.NewView(drawing.Pt(left-f*side.Min.X, base-f*side.Min.Y), scale)
	fromSide(v, s)
	top := k.sheet.NewView(drawing.Pt(left+f*side.W()+gap-f*side.Min.X, base+f*half+6), scale)
	fromAbove(top, s)
	var near, all []place
	for i, p := range points {
		if p.Part == "body" && p.Key == "all-outside" {
			continue // no one spot
		}
		all = append(all, place{p.above, i + 1})
		if !p.hidden {
			near = append(near, place{p.side, i + 1})
		}
	}
	dots(v, near)
	dots(top, all)
	k.write(left, base+picture-4, c.S("figure.safety.side", "scale", scale.String()), labelText, drawing.AlignLeft, drawing.Top)
	k.write(left+f*side.W()+gap, base+picture-4, c.S("figure.safety.above", "scale", scale.String()), labelText, drawing.AlignLeft, drawing.Top)
	writeLegend(k, points, legend+2)
	return k.sheet
}

// SafetyPoint draws one measuring point of the safety test on a stove, large among
// the others: from the side where it can be seen from there, and from above. A
// point without one spot on the stove is not marked.
func SafetyPoint(s *stove.Stove, key string, c *message.Catalogue, width float64) *drawing.Sheet {
	side := stovefigure.Extent(s)
	side = drawing.Rect{Min: drawing.Pt(-(s.BodyOuter()/2+wallDistance)*1000-15, -10), Max: side.Max}
	half := s.BodyOuter() / 2 * 1000
	const gap = 8.0
	scale := drawing.FitScale(2*side.W(), math.Max(side.H(), 2*half+20), width-2*margin-gap, 75)
	f := scale.Factor()
	base, left := 3.0, margin+2
	k := newChart(c, 2*left+2*f*side.W()+gap, math.Max(side.H(), 2*half+20)*f+6, "safety") // no wider than the views
	v := k.sheet.NewView(drawing.Pt(left-f*side.Min.X, base-f*side.Min.Y), scale)
	fromSide(v, s)
	top := k.sheet.NewView(drawing.Pt(left+f*side.W()+gap-f*side.Min.X, base+f*half+3), scale)
	fromAbove(top, s)
	for _, p := range pointsOf(s) {
		if p.Part == "body" && p.Key == "all-outside" {
			continue
		}
		if !p.hidden {
			mark(v, p.side, p.Key == key)
		}
		mark(top, p.above, p.Key == key)
	}
	return k.sheet
}

// mark draws the point at hand with a ring around it, and others small.
func mark(v *drawing.View, at drawing.Point, here bool) {
	k := v.Scale().Factor()
	if !here {
		v.Shape(drawing.White, drawing.Thin, drawing.Circle(at, 0.6/k))
		return
	}
	v.Shape(drawing.White, drawing.Outline, drawing.Circle(at, 2.6/k))
	v.Shape(drawing.Black, nil, drawing.Circle(at, 1.5/k))
}

// point is a measuring point on this stove, in millimetres of the two views.
type point struct {
	bench.MeasuringPoint
	items       []bench.SafetyItem
	side, above drawing.Point
	hidden      bool // on the far side of the stove
}

// pointsOf are the points that this stove has, each once with its items.
func pointsOf(s *stove.Stove) []point {
	var list []point
	for _, item := range bench.SafetyItems() {
		for _, m := range item.Points {
			if m.Part == "chimney" {
				continue // stoves of this kind have none
			}
			if i := slices.IndexFunc(list, func(p point) bool { return p.Key == m.Key }); i >= 0 {
				list[i].items = append(list[i].items, item)
				continue
			}
			radius, height := where(s, m)
			a := m.Around * math.Pi / 180 // clockwise from above: a quarter turn is the near side
			x, y := radius*math.Cos(a)*1000, -radius*math.Sin(a)*1000
			list = append(list, point{m, []bench.SafetyItem{item}, drawing.Pt(x, height*1000), drawing.Pt(x, y), y > 1})
		}
	}
	return list
}

// where a point lies: its distance from the axis and its height, m.
func where(s *stove.Stove, m bench.MeasuringPoint) (radius, height float64) {
	body, ring := s.BodyOuter()/2, s.RingLevel()
	switch m.Part {
	case "mouth":
		return body + s.Lip, s.FloorLevel() + s.MouthHeight/2
	case "skirt":
		return s.SkirtOuter() / 2, (ring + s.SkirtLevel()) / 2
	case "pot":
		return (s.Pot.Diameter() + s.SkirtInner) / 4, s.SkirtLevel()
	case "floor":
		return 0, 0
	case "wall":
		return body + wallDistance, m.Height * ring
	}
	if m.Key == "pot-support" {
		return s.Flats/2 + 0.01, s.PotLevel()
	}
	return body, m.Height * ring
}

// place is a point of a view with its number.
type place struct {
	at     drawing.Point
	number int
}

// dots draws points with their numbers on the side away from the axis; points
// that lie on each other share their text.
func dots(v *drawing.View, list []place) {
	k := v.Scale().Factor()
	near := 3.4 / k
	for len(list) > 0 {
		first := list[0]
		numbers := []string{strconv.Itoa(first.number)}
		v.Shape(drawing.Black, nil, drawing.Circle(first.at, 0.7/k))
		var rest []place
		for _, p := range list[1:] {
			if math.Abs(p.at.Y-first.at.Y) < near && math.Abs(p.at.X-first.at.X) < near {
				numbers = append(numbers, strconv.Itoa(p.number))
				v.Shape(drawing.Black, nil, drawing.Circle(p.at, 0.7/k))
				continue
			}
			rest = append(rest, p)
		}
		list = rest
		away, align := 1.4/k, drawing.AlignLeft
		if first.at.X < 0 {
			away, align = -away, drawing.AlignRight
		}
		text := strings.Join(numbers, ", ")
		w := drawing.TextWidth(text, labelText, drawing.Bold) / k
		corner := first.at.X + away
		if align == drawing.AlignRight {
			corner -= w
		}
		v.Fill(drawing.White, drawing.Rectangle(drawing.R(corner-0.3/k, first.at.Y-0.1/k, w+0.6/k, (labelText+0.7)/k))) // lines must not run through a number
		v.Write(drawing.Pt(first.at.X+away, first.at.Y+1.3/k), text, drawing.TextStyle{Height: labelText, Face: drawing.Bold, Align: align, VAlign: drawing.Middle, Clear: true})
	}
}

// wall draws the wall behind the stove from one height of the view to another.
func wall(v *drawing.View, s *stove.Stove, low, high float64) {
	x := -(s.BodyOuter()/2 + wallDistance) * 1000
	k := v.Scale().Factor()
	v.Hatch(drawing.Ground, drawing.Rectangle(drawing.R(x-3/k, low, 3/k, high-low)))
	v.Stroke(drawing.Outline, drawing.Line(drawing.Pt(x, low), drawing.Pt(x, high)))
}

// fromSide draws the outside of the stove with its mouth to the right, the pot
// in its skirt, on the ground before its wall.
func fromSide(v *drawing.View, s *stove.Stove) {
	box := func(x1, y1, x2, y2 float64) *drawing.Path {
		return drawing.Rectangle(drawing.R(x1*1000, y1*1000, (x2-x1)*1000, (y2-y1)*1000))
	}
	body, skirt, pot := s.BodyOuter()/2, s.SkirtOuter()/2, s.Pot.Diameter()/2
	ring, floor := s.RingLevel(), s.FloorLevel()
	k := v.Scale().Factor() * 1000
	v.Hatch(drawing.Ground, box(-body-wallDistance, -3/k, body+s.ShelfOut, 0))
	v.Stroke(drawing.Thin, drawing.Line(drawing.Pt(-(body+wallDistance)*1000, 0), drawing.Pt((body+s.ShelfOut)*1000, 0)))
	wall(v, s, 0, s.RimLevel()*1000)
	if s.FeetHeight > 0 {
		for _, x := range []float64{-body + 0.03, body - 0.03} {
			v.Shape(drawing.White, drawing.Thin, box(x-0.012, 0, x+0.012, s.FeetHeight))
		}
	}
	if low := s.PotLevel() + s.Pot.Height; low > s.SkirtLevel() { // the rim stands out of the skirt
		v.Shape(drawing.White, drawing.Thin, box(-pot, s.SkirtLevel()-0.001, pot, low))
	}
	h := s.PotLevel() + min(s.Pot.Handle, s.Pot.Height-0.004)
	for _, side := range []float64{-1, 1} {
		a, b := side*pot, side*(pot+0.028)
		v.Shape(drawing.White, drawing.Thin, box(min(a, b), h, max(a, b), h+0.007))
	}
	v.Shape(drawing.White, drawing.Thin, box(body, floor, body+s.Lip, s.RoofLevel()))
	v.Shape(drawing.White, drawing.Thin, box(body, floor, body+s.ShelfOut, floor+s.ShelfHeight))
	v.Shape(drawing.White, drawing.Outline, box(-body, s.FeetHeight, body, ring))
	v.Shape(drawing.White, drawing.Outline, box(-skirt, ring, skirt, s.SkirtLevel()))
	v.Stroke(drawing.Hidden, box(-pot, s.PotLevel(), pot, s.SkirtLevel()))
	v.Stroke(drawing.CentreLine, drawing.Line(drawing.Pt(0, -4/k*1000), drawing.Pt(0, s.RimLevel()*1000+4/k*1000)))
}

// fromAbove draws the stove in plan: body, skirt, pot, mouth with its lip and
// shelf to the right.
func fromAbove(v *drawing.View, s *stove.Stove) {
	body := s.BodyOuter() / 2 * 1000
	half := s.MouthWidth / 2 * 1000
	v.Shape(drawing.White, drawing.Thin, drawing.Rectangle(drawing.R(0, -half, body+s.ShelfOut*1000, 2*half)))
	v.Shape(drawing.White, drawing.Outline, drawing.Circle(drawing.Pt(0, 0), body))
	v.Shape(drawing.PaleGrey, drawing.Thin, drawing.Circle(drawing.Pt(0, 0), s.SkirtOuter()/2*1000))
	v.Shape(drawing.White, drawing.Thin, drawing.Circle(drawing.Pt(0, 0), s.Pot.Diameter()/2*1000))
	v.CentreMark(drawing.Pt(0, 0), body)
	wall(v, s, -body, body)
}

const legendPitch = 1.6

// lineOf is what the legend says of a point.
func lineOf(p point, c *message.Catalogue) string {
	var names []message.Text
	for _, item := range p.items {
		names = append(names, item.Name())
	}
	return c.S("figure.safety.line", "point", p.Name(), "items", names)
}

func legendHeight(points []point, c *message.Catalogue, width float64) float64 {
	rows := (len(points) + 1) / 2
	var height float64
	for i := range rows {
		tallest := 0.0
		for _, j := range []int{i, i + rows} {
			if j < len(points) {
				tallest = math.Max(tallest, drawing.BlockHeight(lineOf(points[j], c), width/2-12, drawing.TextStyle{Height: axisText}))
			}
		}
		height += tallest + legendPitch
	}
	return height
}

// writeLegend sets the points in two columns.
func writeLegend(k *chart, points []point, top float64) {
	rows := (len(points) + 1) / 2
	y := top
	for i := range rows {
		tallest := 0.0
		for column, j := range []int{i, i + rows} {
			if j >= len(points) {
				continue
			}
			x := margin + float64(column)*k.width/2
			k.sheet.Write(drawing.Pt(x+5, y-axisText), strconv.Itoa(j+1), drawing.TextStyle{Height: axisText, Face: drawing.Bold, Align: drawing.AlignRight})
			h := k.sheet.WriteBlock(drawing.Pt(x+7, y), lineOf(points[j], k.c), k.width/2-12, drawing.TextStyle{Height: axisText})
			tallest = math.Max(tallest, h)
		}
		y -= tallest + legendPitch
	}
}
