package figure

import (
	"math"
	"strconv"

	"stovewright/drawing"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
	stovefigure "stovewright/stove/figure"
)

const mm = 1000.0 // millimetres per metre

// Station is a place of the gas path that the figures number.
type Station struct {
	Number int
	Ring   fire.Ring
	Index  int // in the ring table
}

// Stations picks from a ring table the places that are numbered: fuel bed and
// throat, the middle and the edge of the gap under the pot, the beginning and
// the middle of the gap around it, and the exit.
func Stations(rings []fire.Ring) []Station {
	var bottom, side []int
	var picked []int
	for i, r := range rings {
		switch r.Place {
		case "bed", "throat":
			picked = append(picked, i)
		case "bottom":
			bottom = append(bottom, i)
		case "side":
			side = append(side, i)
		}
	}
	for _, part := range [][]int{bottom, side} {
		if n := len(part); n > 0 {
			picked = append(picked, part[n/2])
		}
	}
	if n := len(bottom); n > 1 {
		picked = append(picked, bottom[n-1])
	}
	if len(side) > 2 {
		picked = append(picked, side[0])
	}
	if n := len(rings); n > 0 {
		picked = append(picked, n-1)
	}
	seen := make([]bool, len(rings))
	for _, i := range picked {
		seen[i] = true
	}
	var list []Station
	for i, r := range rings {
		if seen[i] {
			list = append(list, Station{len(list) + 1, r, i})
		}
	}
	return list
}

// Room on paper around the section.
const (
	pathWidth, pathHeight = 105.0, 150.0 // at most, of the stove itself
	pathLeft, pathRight   = 8.0, 52.0
	pathBelow, pathAbove  = 16.0, 14.0
	longestArrow          = 13.0
)

// Path draws the section of a stove with the gas on its way: stations numbered
// along the path with temperature and velocity on the right, arrows as long as
// the gas is fast on the left.
func Path(s *stove.Stove, rings []fire.Ring, c *message.Catalogue) *drawing.Sheet {
	thing := stovefigure.Extent(s)
	scale := drawing.FitScale(thing.W(), thing.H(), pathWidth, pathHeight)
	k := scale.Factor()
	height := math.Max(k*thing.H()+pathBelow+pathAbove, 110)
	f := open(c, "path", k*thing.W()+pathLeft+pathRight, height)
	v := f.sheet.NewView(drawing.Pt(pathLeft-k*thing.Min.X, pathBelow-k*thing.Min.Y), scale)
	stovefigure.Backdrop(v, s, c)
	g := gasPath{f, v, s, rings}
	g.arrows()
	g.labels(v.RectToSheet(thing))
	return f.sheet
}

// gasPath is the gas in a section.
type gasPath struct {
	*figure
	v     *drawing.View
	s     *stove.Stove
	rings []fire.Ring
}

// place is where a ring lies in the section on the side of the mouth, in metres,
// in the middle of its gap.
func (g gasPath) place(r fire.Ring) (x, y float64) {
	bed := g.rings[0].Height
	y = g.s.PotLevel() + r.Height - bed
	switch r.Place {
	case "bed":
		return 0, math.Max(g.s.FloorLevel()+g.s.ShelfHeight+0.02, y-bed)
	case "throat":
		return 0, g.s.ThroatLevel()
	case "side":
		return r.Radius + r.Gap/2, y
	case "exit":
		if n := len(g.rings); n > 1 && g.rings[n-2].Place == "bottom" { // a bare pot
			x, y = g.place(g.rings[n-2])
			return x + r.Gap/2, y
		}
		return r.Radius + r.Gap/2, y
	}
	slope := g.slope(r.Radius)
	return r.Radius + math.Sin(slope)*r.Gap/2, y - math.Cos(slope)*r.Gap/2
}

// slope is the angle of the pot's base against the level.
func (g gasPath) slope(radius float64) float64 {
	p := g.s.Pot
	if !p.Round {
		return 0
	}
	const d = 1e-4
	edge := p.Diameter() / 2
	inner, outer := math.Max(0, math.Min(radius, edge)-d), math.Min(radius, edge)
	if outer <= inner {
		return 0
	}
	return math.Atan2(p.Sag(outer)-p.Sag(inner), outer-inner)
}

// perSpeed is how long an arrow of 1 m/s is on paper, mm.
func (g gasPath) perSpeed() float64 {
	fastest := 0.0
	for _, r := range g.rings {
		fastest = math.Max(fastest, r.Velocity)
	}
	for _, length := range []float64{20, 10, 5, 2, 1} {
		if fastest*length <= longestArrow {
			return length
		}
	}
	return 0.5
}

// arrows follows the gas on the left: up the riser, outwards under the pot, up
// beside it.
func (g gasPath) arrows() {
	per := g.perSpeed()
	var bottom, side []fire.Ring
	var throat fire.Ring
	for _, r := range g.rings {
		switch r.Place {
		case "throat":
			throat = r
		case "bottom":
			bottom = append(bottom, r)
		case "side":
			side = append(side, r)
		}
	}
	_, low := g.place(g.rings[0])
	x := -0.25 * g.s.Flats
	g.file(per, [][2]float64{{x, low + 0.01}, {x, g.s.ThroatLevel()}}, []float64{g.rings[0].Velocity, throat.Velocity}, 3)
	for _, part := range [][]fire.Ring{bottom, side} {
		var way [][2]float64
		var speed []float64
		for _, r := range part {
			x, y := g.place(r)
			way, speed = append(way, [2]float64{-x, y}), append(speed, r.Velocity)
		}
		if len(way) > 1 {
			g.file(per, way, speed, 4)
		}
	}
	y := 5.0
	g.arrow(g.sheet.View, drawing.Pt(pathLeft, y), drawing.Pt(pathLeft+per*g.keySpeed(), y))
	g.text(pathLeft+per*g.keySpeed()+2, y, g.value(g.keySpeed(), quantity.MetrePerSec, 1), drawing.AlignLeft)
	g.computed(drawing.Pt(g.sheet.Paper.Width-4, 4), drawing.AlignRight)
}

// keySpeed is the speed of the arrow in the key.
func (g gasPath) keySpeed() float64 {
	if g.perSpeed() < 5 {
		return 5
	}
	return 1
}

// file draws arrows one behind the other along a way, as many as find room and
// no more than most, each as long as the gas is fast there.
func (g gasPath) file(per float64, way [][2]float64, speed []float64, most int) {
	k := g.v.Scale().Factor()
	total, fastest := 0.0, 0.0
	for i := range way {
		if i > 0 {
			total += math.Hypot(way[i][0]-way[i-1][0], way[i][1]-way[i-1][1]) * mm * k
		}
		fastest = math.Max(fastest, speed[i])
	}
	n := int(total / (per*fastest + 1.5))
	n = max(1, min(n, most))
	for j := range n {
		at := total * (float64(j) + 0.5) / float64(n)
		for i := 1; i < len(way); i++ {
			piece := math.Hypot(way[i][0]-way[i-1][0], way[i][1]-way[i-1][1]) * mm * k
			if at > piece && i < len(way)-1 {
				at -= piece
				continue
			}
			t := math.Min(1, at/math.Max(piece, 1e-9))
			a, b := drawing.Pt(way[i-1][0]*mm, way[i-1][1]*mm), drawing.Pt(way[i][0]*mm, way[i][1]*mm)
			middle, along := a.Lerp(b, t), b.Sub(a)
			half := along.Mul(per * (speed[i-1] + t*(speed[i]-speed[i-1])) / 2 / k / math.Max(along.Len(), 1e-9))
			g.arrow(g.v, middle.Sub(half), middle.Add(half))
			break
		}
	}
}

// arrow is a line with a slim head at its end.
func (g gasPath) arrow(v *drawing.View, from, to drawing.Point) {
	k := v.Scale().Factor()
	d := to.Sub(from)
	length := d.Len()
	if length < 1e-9 {
		return
	}
	u := d.Mul(1 / length)
	n := drawing.Pt(-u.Y, u.X)
	head := math.Min(2.2/k, length)
	back := to.Sub(u.Mul(head))
	v.Stroke(drawing.CutLine, drawing.Line(from, back))
	v.Fill(drawing.Black, drawing.Polygon(to, back.Add(n.Mul(head/4)), back.Sub(n.Mul(head/4))))
}

// labels sets the stations in a column on the right.
func (g gasPath) labels(stove drawing.Rect) {
	left := stove.Max.X + 5
	notes := g.v.Notes(drawing.Right, drawing.R(left, pathBelow, g.sheet.Paper.Width-left-2, g.sheet.Paper.Height-pathBelow-4))
	for _, st := range Stations(g.rings) {
		x, y := g.place(st.Ring)
		notes.Add(drawing.Note{Target: drawing.Pt(x*mm, y*mm), Number: strconv.Itoa(st.Number),
			Text: g.c.S("figure.fire.station", "place", message.T("fire.station."+st.Ring.Place),
				"temperature", quantity.C(st.Ring.Temperature), "velocity", quantity.Value{SI: st.Ring.Velocity, Unit: quantity.MetrePerSec, Step: 0.1})})
	}
	notes.Place()
}
