package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// Exploded draws the parts of the stove pulled apart along the centre line, in
// the order they are put together, with their numbers in a column.
func Exploded(s *stove.Stove, c *message.Catalogue, o Options) *drawing.Sheet {
	f := newFigure(s, c, o)
	e := exploded{figure: f}
	thing := e.bounds()
	f.open(f.o.Paper, "exploded")
	legend := f.layLegend(e.legend(), drawing.Pt(0, 0), f.o.Paper.Width-38, false) + 4
	k := min((f.o.Paper.Width-38-24)/thing.W(), (f.o.Paper.Height-20-titleHeight-legend-8)/thing.H())
	scale := drawing.Scale{Paper: 1, Thing: 1 / k} // as large as fits: nobody measures on it
	f.furnish("4", drawing.Scale{})
	free := drawing.R(f.room.Min.X, f.room.Min.Y+legend, f.room.W()-22, f.room.H()-legend)
	e.v = f.sheet.NewView(free.Centre().Sub(thing.Centre().Mul(k)), scale)
	e.draw()
	e.balloons(drawing.R(f.room.Max.X-12, free.Min.Y, 10, free.H()))
	f.layLegend(e.legend(), drawing.Pt(f.room.Min.X, f.room.Min.Y+legend), f.room.W(), true)
	return f.sheet
}

// layer is one step of putting the stove together: how high its parts are, and
// how they are drawn when standing at a height.
type layer struct {
	id     string // figure.part.<id>
	height float64
	draw   func(all *drawing.Solids, z float64) stove3 // draws it and gives the place its balloon points to
}

// stove3 is a place in the exploded view in metres.
type stove3 struct{ x, y, z float64 }

type exploded struct {
	*figure
	v *drawing.View
}

// apart is the free height between layers over the body's diameter: an
// isometric circle is lower than wide, and each part must be seen whole.
const apart = 0.40

func (e *exploded) layers() []layer {
	s := e.s
	list := []layer{
		{"body", s.BodyHeight, e.body},
		{"floor", s.FloorThickness, e.floor},
	}
	if e.has("feet") {
		list = append([]layer{{"feet", s.FeetHeight, e.feet}}, list...)
	}
	for _, g := range alike(s) {
		height := float64(g.last-g.first+1)*(s.BrickHeight+s.Joint) - s.Joint
		id := "brick"
		if g.first == 0 && !e.s.Liner {
			id = "back"
		}
		list = append(list, layer{id, height, func(all *drawing.Solids, z float64) stove3 { return e.courses(all, g, z) }})
	}
	return append(list,
		layer{"top", s.TopThickness, e.top},
		layer{"rods", s.RodDiameter, e.rods},
		layer{"skirt", s.SkirtHeight, e.skirt},
		layer{"pot", s.Pot.Height, e.pot})
}

// levels is the height at which each layer stands in the exploded view.
func (e *exploded) levels() ([]float64, float64) {
	gap := apart * e.s.BodyOuter()
	z := 0.0
	var list []float64
	for _, l := range e.layers() {
		list = append(list, z)
		z += l.height + gap
	}
	return list, z - gap
}

// bounds is what the exploded view covers on the drawing plane, in millimetres.
func (e *exploded) bounds() drawing.Rect {
	s := e.s
	r, reach := s.BodyOuter()/2, s.BodyOuter()/2+s.ShelfOut+e.pulled()
	_, top := e.levels()
	corners := []stove3{{-r, -r, 0}, {reach, -r, 0}, {reach, r, 0}, {-r, r, 0}, {-r, -r, top}, {r, r, top}, {r, -r, top}, {-r, r, top}}
	low, high := drawing.Pt(math.Inf(1), math.Inf(1)), drawing.Pt(math.Inf(-1), math.Inf(-1))
	for _, c := range corners {
		p := drawing.Isometric(c.mm())
		low = drawing.Pt(min(low.X, p.X), min(low.Y, p.Y))
		high = drawing.Pt(max(high.X, p.X), max(high.Y, p.Y))
	}
	return drawing.Rect{Min: low, Max: high}
}

func (p stove3) mm() drawing.Point3 { return drawing.P3(p.x*mm, p.y*mm, p.z*mm) }

// pulled is how far the sleeve and the shelf are drawn out of the mouth.
func (e *exploded) pulled() float64 { return e.s.TunnelLength() + 0.06 }

func (e *exploded) draw() {
	levels, top := e.levels()
	all := e.v.NewSolids()
	e.v.Stroke(drawing.CentreLine, drawing.Line(drawing.Isometric(stove3{0, 0, -0.04}.mm()), drawing.Isometric(stove3{0, 0, top + 0.06}.mm())))
	for i, l := range e.layers() {
		l.draw(all, levels[i])
	}
	all.Draw()
}

// balloons numbers the layers, and the sleeve and the shelf beside the body.
func (e *exploded) balloons(column drawing.Rect) {
	levels, _ := e.levels()
	body := levels[0]
	if e.has("feet") {
		body = levels[1]
	}
	notes := e.v.Notes(drawing.Right, column)
	scratch := drawing.NewSheet(drawing.A4).NewSolids() // the places only; nothing of it is shown
	number := e.numbers()
	for i, l := range e.layers() {
		at := l.draw(scratch, levels[i])
		notes.Add(drawing.Note{Target: drawing.Isometric(at.mm()), Number: number[l.id], Key: l.id})
	}
	for id, at := range e.mouthParts(body) {
		notes.Add(drawing.Note{Target: drawing.Isometric(at.mm()), Number: number[id], Key: id})
	}
	notes.Place()
}

// numbers are the same as on the section, so that one list serves both.
func (e *exploded) numbers() map[string]string {
	list := make(map[string]string)
	for i, id := range partOrder {
		list[id] = itoa(i + 1)
	}
	return list
}

// legend leaves out what an exploded view does not show.
func (e *exploded) legend() []string {
	var lines []string
	for i, id := range partOrder {
		if id != "fill" && id != "lining" && e.has(id) {
			lines = append(lines, itoa(i+1)+"  "+e.partText(id))
		}
	}
	return lines
}

func (e *exploded) feet(all *drawing.Solids, z float64) stove3 {
	s := e.s
	at := stove3{}
	for i := range s.Feet {
		a := math.Pi * (2*float64(i) + 1) / float64(s.Feet)
		r := s.BodyOuter()/2 - 0.02
		x, y := r*math.Cos(a), r*math.Sin(a)
		if s.FeetHeight > 0 {
			all.Box(stove3{x - 0.012, y - 0.012, z}.mm(), stove3{x + 0.012, y + 0.012, z + s.FeetHeight}.mm(), drawing.SolidStyle{Shade: true})
		}
		if i == 0 || x-y > at.x-at.y {
			at = stove3{x, y, z + s.FeetHeight/2}
		}
	}
	return at
}

// mouthZ is the floor of the mouth above the foot of the body.
func (e *exploded) mouthZ() float64 { return e.s.FloorLevel() - e.s.FeetHeight }

func (e *exploded) body(all *drawing.Solids, z float64) stove3 {
	s := e.s
	r := s.BodyOuter() / 2
	all.Tube(stove3{0, 0, z}.mm(), r*mm, s.BodyInner/2*mm, s.BodyHeight*mm, drawing.SolidStyle{})
	e.opening(all, z+e.mouthZ(), r)
	e.sleeveAndShelf(all, z+e.mouthZ())
	a := -math.Pi / 3
	return stove3{r * math.Cos(a), r * math.Sin(a), z + s.BodyHeight*0.8}
}

// opening marks the mouth on the round wall of the body.
func (e *exploded) opening(all *drawing.Solids, z, r float64) {
	s := e.s
	half := math.Asin(s.MouthWidth / 2 / r)
	var loop []drawing.Point3
	const steps = 12
	for i := 0; i <= steps; i++ {
		a := -half + 2*half*float64(i)/steps
		loop = append(loop, stove3{r * math.Cos(a), r * math.Sin(a), z}.mm())
	}
	for i := steps; i >= 0; i-- {
		a := -half + 2*half*float64(i)/steps
		loop = append(loop, stove3{r * math.Cos(a), r * math.Sin(a), z + s.MouthHeight}.mm())
	}
	all.Line(drawing.Outline, append(loop, loop[0])...)
}

// sleeveAndShelf draws both pulled straight out of the mouth.
func (e *exploded) sleeveAndShelf(all *drawing.Solids, z float64) {
	s := e.s
	w, start := s.MouthWidth/2, s.BodyOuter()/2+0.05
	length := s.TunnelLength() - s.BrickThickness + s.Lip
	all.Box(stove3{start, -w, z}.mm(), stove3{start + length, w, z + s.MouthHeight}.mm(), drawing.SolidStyle{Pen: drawing.Thin})
	shelf := start + length + 0.03
	reach := min(s.ShelfOut+0.08, s.ShelfReach+s.TunnelLength()+s.ShelfOut)
	all.Box(stove3{shelf, -w + 0.002, z}.mm(), stove3{shelf + reach, w - 0.002, z + s.ShelfHeight}.mm(), drawing.SolidStyle{Pen: drawing.Thin, Shade: true})
	all.Line(drawing.CentreLine, stove3{s.BodyOuter() / 2, 0, z}.mm(), stove3{start, 0, z}.mm())
}

func (e *exploded) mouthParts(z float64) map[string]stove3 {
	s := e.s
	floor := z + e.mouthZ()
	start := s.BodyOuter()/2 + 0.05
	length := s.TunnelLength() - s.BrickThickness + s.Lip
	return map[string]stove3{
		"sleeve": {start + length*0.6, 0, floor + s.MouthHeight},
		"shelf":  {start + length + 0.06, 0, floor + s.ShelfHeight},
	}
}

func (e *exploded) floor(all *drawing.Solids, z float64) stove3 {
	s := e.s
	all.Prism(outline(s.Floor()), z*mm, (z+s.FloorThickness)*mm, drawing.SolidStyle{Shade: true})
	return stove3{s.BlockFlats() / 2, 0, z + s.FloorThickness/2}
}

func (e *exploded) courses(all *drawing.Solids, g courses, z float64) stove3 {
	s := e.s
	base := float64(g.first) * (s.BrickHeight + s.Joint)
	for i := g.first; i <= g.last; i++ {
		for _, p := range s.Course(i) {
			plan := outline(p.Plan)
			if p.Hole != nil {
				plan.Append(outline(p.Hole))
			}
			all.Prism(plan, (z+p.Bottom-base)*mm, (z+p.Top-base)*mm, drawing.SolidStyle{Shade: true})
		}
	}
	if s.Liner && g.first == 0 {
		e.opening(all, z, s.BlockCorner())
	}
	if g.first == 0 && !s.Liner { // the inner face of the back brick, seen through the open mouth
		return stove3{-s.Flats / 2, 0, z + s.BackHeight*0.6}
	}
	return stove3{s.BlockFlats() / 2, s.BlockFlats() * 0.1, z + s.BrickHeight*0.5}
}

func (e *exploded) top(all *drawing.Solids, z float64) stove3 {
	s := e.s
	plan := drawing.Circle(drawing.Pt(0, 0), s.BodyOuter()/2*mm).Append(drawing.Circle(drawing.Pt(0, 0), s.TopHole/2*mm))
	all.Prism(plan, z*mm, (z+s.TopThickness)*mm, drawing.SolidStyle{})
	return stove3{s.BodyOuter()/2 - 0.015, 0, z + s.TopThickness}
}

func (e *exploded) rods(all *drawing.Solids, z float64) stove3 {
	s := e.s
	at := stove3{}
	for _, r := range s.Rods() {
		a, b := r.Ends[0], r.Ends[1]
		all.Rod(stove3{a.X, a.Y, z + s.RodDiameter/2}.mm(), stove3{b.X, b.Y, z + s.RodDiameter/2}.mm(), s.RodDiameter*mm, drawing.SolidStyle{})
		for _, p := range r.Ends {
			if p.X > at.x {
				at = stove3{p.X, p.Y, z + s.RodDiameter/2}
			}
		}
	}
	return at
}

func (e *exploded) skirt(all *drawing.Solids, z float64) stove3 {
	s := e.s
	r := s.SkirtOuter() / 2
	all.Tube(stove3{0, 0, z}.mm(), r*mm, s.SkirtInner/2*mm, s.SkirtHeight*mm, drawing.SolidStyle{})
	for _, a := range s.RodHoles() { // the holes that are seen from here
		if math.Cos(a+math.Pi/4) < 0.2 {
			continue
		}
		var loop []drawing.Point3
		for i := 0; i <= 12; i++ {
			t := 2 * math.Pi * float64(i) / 12
			b := a + s.RodDiameter/2*math.Cos(t)/r
			loop = append(loop, stove3{r * math.Cos(b), r * math.Sin(b), z + s.RodHeight + s.RodDiameter/2*math.Sin(t)}.mm())
		}
		all.Line(drawing.Thin, loop...)
	}
	a := -math.Pi / 8
	return stove3{r * math.Cos(a), r * math.Sin(a), z + s.SkirtHeight*0.6}
}

func (e *exploded) pot(all *drawing.Solids, z float64) stove3 {
	p := e.s.Pot
	r := p.Diameter() / 2
	all.Tube(stove3{0, 0, z}.mm(), r*mm, (r-0.002)*mm, p.Height*mm, drawing.SolidStyle{Pen: drawing.Thin})
	a := -math.Pi / 8
	return stove3{r * math.Cos(a), r * math.Sin(a), z + p.Height*0.6}
}
