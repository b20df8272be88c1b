package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// Section draws the stove cut through the middle of the fuel mouth, seen from
// the side: the mouth on the right, the pot in its skirt on top.
func Section(s *stove.Stove, c *message.Catalogue, o Options) *drawing.Sheet {
	sheet, _ := sectionSheet(s, c, o)
	return sheet
}

func sectionSheet(s *stove.Stove, c *message.Catalogue, o Options) (*drawing.Sheet, *drawing.View) {
	f := newFigure(s, c, o)
	g := section{figure: f}
	thing := g.bounds()
	if o.Bare {
		scale := drawing.FitScale(thing.W(), thing.H(), 210, 260)
		k := scale.Factor()
		f.open(drawing.Custom(k*thing.W()+rowsLeft+rowsRight, k*thing.H()+rowsBelow+rowsAbove), "section")
		g.v = f.sheet.NewView(drawing.Pt(rowsLeft-k*thing.Min.X, rowsBelow-k*thing.Min.Y), scale)
		g.draw()
		return f.sheet, g.v
	}
	f.open(f.o.Paper, "section")
	legend := f.layLegend(f.legend(), drawing.Pt(0, 0), f.o.Paper.Width-38, false) + 4
	scale := drawing.FitScale(thing.W(), thing.H(),
		f.o.Paper.Width-30-rowsLeft-rowsRight, f.o.Paper.Height-20-titleHeight-legend-rowsBelow-rowsAbove)
	f.furnish("1", scale)
	k := scale.Factor()
	left := f.room.Min.X + rowsLeft + (f.room.W()-rowsLeft-rowsRight-k*thing.W())/2
	g.v = f.sheet.NewView(drawing.Pt(left-k*thing.Min.X, f.room.Max.Y-rowsAbove-k*thing.Max.Y), scale)
	g.draw()
	f.layLegend(f.legend(), drawing.Pt(f.room.Min.X, f.room.Min.Y+legend), f.room.W(), true)
	return f.sheet, g.v
}

// Room on paper for the rows of dimensions and the balloons around the section.
const (
	rowsLeft    = 36.0
	rowsRight   = 40.0
	rowsBelow   = 30.0
	rowsAbove   = 34.0
	titleHeight = 42.0 // title block and its distance from the drawing
)

// section is a side section in the making. Heights are above the ground. In
// the picture of a build step only the parts of stage are there, and fresh is
// the one that is being added; both are nil for the finished stove.
type section struct {
	*figure
	v     *drawing.View
	stage map[string]bool
	fresh map[string]bool
}

func (g *section) shows(part string) bool { return g.stage == nil || g.stage[part] }
func (g *section) isNew(part string) bool { return g.fresh == nil || g.fresh[part] }

// cut draws the cut faces of a part: hatched, or only pale where the part is
// there from an earlier step.
func (g *section) cut(part string, m drawing.Material, variant int, shapes ...*drawing.Path) {
	if !g.shows(part) {
		return
	}
	if !g.isNew(part) {
		g.v.Shape(drawing.PaleGrey, drawing.Thin, shapes...)
		return
	}
	g.v.Fill(drawing.White, shapes...)
	g.v.HatchVariant(m, variant, shapes...)
	g.v.Stroke(drawing.Outline, shapes...)
}

// metal draws sheet cut across. Sheet thinner than a line on paper is drawn as
// thick as a line, as draughtsmen do.
func (g *section) metal(part string, x1, y1, x2, y2 float64) {
	if !g.shows(part) {
		return
	}
	tone := drawing.Black
	if !g.isNew(part) {
		tone = drawing.MidGrey
	}
	g.v.Shape(tone, nil, g.thick(x1, y1, x2, y2))
}

// bounds is what the section covers, in millimetres of the thing.
func (g *section) bounds() drawing.Rect {
	s := g.s
	half := s.BodyOuter() / 2
	right := half + max(s.ShelfOut, s.Lip)
	top := max(s.SkirtLevel(), s.RimLevel())
	return drawing.R(-half*mm, 0, (half+right)*mm, top*mm)
}

func (g *section) draw() {
	g.parts()
	g.centreLine()
	g.flow()
	g.dimensions()
	g.balloons()
}

func (g *section) parts() {
	g.ground()
	g.pot()
	g.fill()
	g.bricks()
	g.sheetMetal()
	g.lining()
	g.rods()
	g.shelf()
}

func (g *section) ground() {
	s := g.s
	half := s.BodyOuter()/2 + 0.03
	depth := 3 / g.v.Scale().Factor() / mm
	g.v.Hatch(drawing.Ground, rect(-half, 0, half+s.ShelfOut, -depth))
	g.v.Stroke(drawing.Thin, drawing.Line(pt(-half, 0), pt(half+s.ShelfOut, 0)))
}

// fill draws the loose fill as one body: around the bricks, under the floor, and
// open where the tunnel of the fuel mouth runs through it. While a stove is
// being built the fill under the floor comes first.
func (g *section) fill() {
	s := g.s
	r, block := s.BodyInner/2, s.BlockFlats()/2
	base, floor, throat := s.FeetHeight+s.BodyThickness, s.FloorLevel(), s.ThroatLevel()
	under := floor - s.FloorThickness
	if g.stage != nil {
		g.cut("base-fill", drawing.Insulation, 0, rect(-r, base, r, under))
		g.cut("fill", drawing.Insulation, 0, rect(-r, under, -block, throat), rect(block, under, r, floor), rect(block, s.RoofLevel(), r, throat))
		return
	}
	left := drawing.Polygon(pt(-r, base), pt(r, base), pt(r, floor), pt(block, floor), pt(block, under), pt(-block, under), pt(-block, throat), pt(-r, throat))
	g.cut("fill", drawing.Insulation, 0, left, rect(block, s.RoofLevel(), r, throat))
}

func (g *section) bricks() {
	s := g.s
	bore, block, floor := s.Flats/2, s.BlockFlats()/2, s.FloorLevel()
	g.cut("floor", drawing.Ceramic, 0, rect(-block, floor-s.FloorThickness, block, floor))
	for i := range s.Courses {
		for _, p := range s.Course(i) {
			if p.Kind == stove.LinerRing {
				g.linerRing(p, i)
				continue
			}
			x1, x2, inPlane := g.cutAtAxis(p, bore, block)
			if !inPlane {
				continue
			}
			shape := rect(x1, floor+p.Bottom, x2, floor+p.Top)
			part, material := "brick", drawing.Brick
			if i == 0 {
				part = "back"
			}
			if p.Kind == stove.BackBrick {
				material = drawing.DenseBrick
			}
			g.cut(part, material, i%2, shape)
		}
	}
}

// linerRing draws both walls of a ring of the liner, the front one above the
// mouth that is cut out of it.
func (g *section) linerRing(p stove.Piece, course int) {
	s := g.s
	bore, block, floor := s.Flats/2, s.BlockFlats()/2, s.FloorLevel()
	part := "brick"
	if course == 0 {
		part = "back"
	}
	g.cut(part, drawing.Ceramic, course%2, rect(-block, floor+p.Bottom, -bore, floor+p.Top))
	if low := max(p.Bottom, s.MouthHeight); low < p.Top {
		g.cut(part, drawing.Ceramic, course%2, rect(bore, floor+low, block, floor+p.Top))
	}
}

// cutAtAxis says whether a piece is cut by the plane of the section, and where.
func (g *section) cutAtAxis(p stove.Piece, bore, block float64) (x1, x2 float64, ok bool) {
	switch {
	case p.Kind == stove.Cheek:
		return 0, 0, false
	case p.Face == 0:
		return bore, block, true
	case p.Face == g.s.Sides/2:
		return -block, -bore, true
	}
	return 0, 0, false
}

func (g *section) thick(x1, y1, x2, y2 float64) *drawing.Path {
	least := 0.5 / g.v.Scale().Factor() / mm
	if w := x2 - x1; w < least {
		m := (x1 + x2) / 2
		x1, x2 = m-least/2, m+least/2
	}
	if h := y2 - y1; h < least {
		m := (y1 + y2) / 2
		y1, y2 = m-least/2, m+least/2
	}
	return rect(x1, y1, x2, y2)
}

func (g *section) sheetMetal() {
	s := g.s
	in, out := s.BodyInner/2, s.BodyOuter()/2
	base, throat := s.FeetHeight, s.ThroatLevel()
	g.metal("body", -out, base, -in, throat)
	g.metal("body", in, base, out, s.FloorLevel())
	g.metal("body", in, s.RoofLevel(), out, throat)
	g.metal("body", -in, base, in, base+s.BodyThickness)
	g.metal("top", -out, throat, -s.TopHole/2, throat+s.TopThickness)
	g.metal("top", s.TopHole/2, throat, out, throat+s.TopThickness)
	for _, side := range []float64{-1, 1} {
		a, b := side*s.SkirtInner/2, side*s.SkirtOuter()/2
		g.metal("skirt", min(a, b), throat+s.TopThickness, max(a, b), s.SkirtLevel())
	}
	block := s.BlockFlats() / 2
	g.metal("sleeve", block-s.BrickThickness*0.3, s.RoofLevel(), out+s.Lip, s.RoofLevel()+s.BodyThickness)
	g.metal("sleeve", block-s.BrickThickness*0.3, s.FloorLevel()-s.BodyThickness, out+s.Lip, s.FloorLevel())
	if !g.shows("feet") {
		return
	}
	for _, x := range g.feet() {
		g.v.Shape(drawing.White, drawing.Outline, rect(x-0.012, 0, x+0.012, base))
	}
}

// feet are the places of the feet seen from the side, each pair in line.
func (g *section) feet() []float64 {
	if g.s.FeetHeight == 0 {
		return nil
	}
	seen := map[int]float64{}
	for i := range g.s.Feet {
		a := math.Pi * (2*float64(i) + 1) / float64(g.s.Feet)
		x := (g.s.BodyOuter()/2 - 0.015) * math.Cos(a)
		seen[int(math.Round(x*mm))] = x
	}
	var list []float64
	for i := -2000; i <= 2000; i++ { // in order from left to right, whatever the map's order
		if x, ok := seen[i]; ok {
			list = append(list, x)
		}
	}
	return list
}

// lining draws the insulating layer under the pot, from the bore to the skirt.
func (g *section) lining() {
	if !g.shows("lining") {
		return
	}
	s := g.s
	top := s.ThroatLevel()
	for _, side := range []float64{-1, 1} {
		var upper []drawing.Point
		for _, r := range append([]float64{s.Flats / 2}, s.LiningRadii()...) {
			upper = append(upper, pt(side*r, top+max(s.TopThickness, s.LiningThickness(r))))
		}
		shape := append([]drawing.Point{pt(side*s.SkirtInner/2, top), pt(side*s.Flats/2, top)}, upper...)
		g.v.Fill(drawing.White, drawing.Polygon(shape...))
		g.v.Hatch(drawing.Slip, drawing.Polygon(shape...))
		g.v.Stroke(drawing.Thin, drawing.Polygon(shape...))
	}
}

// rods draws the rod behind the riser cut across and the two before it as they
// run away from the eye.
func (g *section) rods() {
	if !g.shows("rods") {
		return
	}
	s := g.s
	z, r := s.RingLevel()+s.RodHeight, s.RodDiameter/2
	for _, rod := range s.Rods() {
		if math.Abs(math.Sin(rod.Normal)) < 1e-9 {
			g.v.Shape(drawing.Black, nil, drawing.Circle(pt(rod.Ends[0].X, z), r*mm))
			continue
		}
		if rod.Normal > math.Pi { // its twin lies behind it in this view
			continue
		}
		x1, x2 := min(rod.Ends[0].X, rod.Ends[1].X), max(rod.Ends[0].X, rod.Ends[1].X)
		x2 = min(x2, s.SkirtInner/2)
		g.v.Shape(drawing.White, drawing.Thin, rect(x1, z-r, x2, z+r))
	}
}

// pot draws the pot and its fill: not part of the stove, so in thin lines.
func (g *section) pot() {
	if !g.shows("pot") {
		return
	}
	s, p := g.s, g.s.Pot
	base := s.PotLevel()
	side := func(sign, inset float64) []drawing.Point {
		var list []drawing.Point
		steps := 24
		depth := p.Height
		for i := 0; i <= steps; i++ {
			z := depth * float64(i) / float64(steps)
			list = append(list, pt(sign*(p.RadiusAt(z)-inset), base+z))
		}
		return list
	}
	right, left := side(1, 0), side(-1, 0)
	shape := make([]drawing.Point, 0, 2*len(right))
	for i := len(left) - 1; i >= 0; i-- {
		shape = append(shape, left[i])
	}
	shape = append(shape, right...)
	g.v.Shape(drawing.White, drawing.Thin, drawing.Polyline(shape...))
	level := base + min(p.Height*0.95, p.Fill.SI/(math.Pi*math.Pow(p.Diameter()/2, 2))+depthOf(p)/2)
	g.v.Hatch(drawing.Water, g.water(level))
	g.v.Stroke(drawing.Thin, drawing.Line(pt(-p.RadiusAt(level-base), level), pt(p.RadiusAt(level-base), level)))
	for _, sign := range []float64{-1, 1} { // rim and handles
		x := sign * p.Diameter() / 2
		g.v.Stroke(drawing.Thin, drawing.Line(pt(x, base+p.Height), pt(x+sign*0.006, base+p.Height)))
		h := min(p.Handle, p.Height-0.004)
		g.v.Shape(drawing.White, drawing.Thin, drawing.Polygon(pt(x, base+h), pt(x+sign*0.028, base+h+0.004), pt(x+sign*0.028, base+h+0.011), pt(x, base+h+0.007)))
	}
}

func depthOf(p stove.Pot) float64 {
	if !p.Round {
		return 0
	}
	z := 0.0
	for p.RadiusAt(z) < p.Diameter()/2-1e-6 {
		z += 0.001
	}
	return z
}

func (g *section) water(level float64) *drawing.Path {
	s, p := g.s, g.s.Pot
	base, inset := s.PotLevel(), 0.002
	var right, left []drawing.Point
	for i := 0; i <= 24; i++ {
		z := (level - base) * float64(i) / 24
		r := max(0, p.RadiusAt(z)-inset)
		right = append(right, pt(r, base+max(z, inset)))
		left = append(left, pt(-r, base+max(z, inset)))
	}
	shape := right
	for i := len(left) - 1; i >= 0; i-- {
		shape = append(shape, left[i])
	}
	return drawing.Polygon(shape...)
}

// shelf draws the shelf with its folded side beyond, the slots of the grate and
// wood on it.
func (g *section) shelf() {
	if !g.shows("shelf") {
		return
	}
	s := g.s
	top := s.FloorLevel() + s.ShelfHeight
	inner, outer := s.Flats/2-s.ShelfReach, s.BodyOuter()/2+s.ShelfOut
	g.v.Stroke(drawing.Thin, rect(inner, s.FloorLevel(), outer, top))
	grateEnd := inner + s.GrateLength
	g.metal("shelf", grateEnd, top-0.001, outer, top)
	const bars = 5
	pitch := s.GrateLength / bars
	for i := range bars {
		x := inner + float64(i)*pitch
		g.metal("shelf", x, top-0.001, x+pitch*0.5, top)
	}
	if g.shows("sticks") {
		g.sticks(inner+0.01, outer+0.02, top+0.001)
	}
}

// sticks lays wood on the shelf, from its tips in the chamber outward.
func (g *section) sticks(tip, outer, top float64) {
	s := g.s
	stick := s.Brief.Fuel.Stick.Or(0.03)
	if room := s.MouthHeight - s.ShelfHeight; stick > 0.45*room {
		stick = 0.45 * room
	}
	g.v.Shape(drawing.White, drawing.Thin, rect(tip, top, outer, top+stick))
	g.v.Hatch(drawing.Wood, rect(tip, top, outer, top+stick))
}

// flow shows with three arrows how air and gas go: in under the shelf, up the
// riser, up between pot and skirt.
func (g *section) flow() {
	s := g.s
	floor := s.FloorLevel()
	g.arrow(pt(s.BodyOuter()/2+s.ShelfOut*0.8, floor+s.ShelfHeight*0.45), pt(s.Flats/2, floor+s.ShelfHeight*0.45))
	x := s.Flats * 0.22
	g.arrow(pt(x, s.RoofLevel()+s.ChamberHeight*0.12), pt(x, s.ThroatLevel()-s.ChamberHeight*0.06))
	if s.SkirtGap*mm*g.v.Scale().Factor() < 1.4 { // no room for an arrow in the gap
		return
	}
	for _, side := range []float64{-1, 1} {
		r := side * (s.SkirtInner + s.Pot.Diameter()) / 4
		g.arrow(pt(r, s.PotLevel()+s.SkirtRise*0.45), pt(r, s.PotLevel()+s.SkirtRise*0.8))
	}
}

// arrow is a thin line with a slim head at its end.
func (g *section) arrow(from, to drawing.Point) {
	k := g.v.Scale().Factor()
	d := to.Sub(from)
	u := d.Mul(1 / d.Len())
	n := drawing.Pt(-u.Y, u.X)
	back := to.Sub(u.Mul(2.2 / k))
	g.v.Stroke(drawing.Thin, drawing.Line(from, back))
	g.v.Fill(drawing.Black, drawing.Polygon(to, back.Add(n.Mul(0.5/k)), back.Sub(n.Mul(0.5/k))))
}

func (g *section) centreLine() {
	s := g.s
	over := 4 / g.v.Scale().Factor() / mm
	g.v.Stroke(drawing.CentreLine, drawing.Line(pt(0, -over), pt(0, max(s.RimLevel(), s.SkirtLevel())+over)))
}

// dimensions chains the heights on the left, the mouth on the right, the widths
// above and below.
func (g *section) dimensions() {
	s := g.s
	d := g.v.Dimensions(g.bounds())
	floor, throat, pot := s.FloorLevel(), s.ThroatLevel(), s.PotLevel()
	half, bore, block := s.BodyOuter()/2, s.Flats/2, s.BlockFlats()/2
	lower := pt(0, floor-s.FloorThickness)

	d.Chain(drawing.Left, []drawing.Point{pt(-half, 0), pt(-half, s.FeetHeight), lower, pt(-bore, floor), pt(-bore, throat), pt(0, pot), pt(-s.SkirtOuter()/2, s.SkirtLevel())},
		g.dim("base.feet"), g.dim("base.fill"), g.dim("floor.thickness"), g.dim("chamber.height"), g.dim("rest.height"), g.dim("skirt.rise"))
	d.Add(drawing.Left, pt(-half, s.FeetHeight), pt(-half, throat), g.dim("body.height"))
	d.Add(drawing.Left, pt(-half, 0), pt(-s.Pot.Diameter()/2, s.RimLevel()), g.dim("stove.rim"))

	d.Chain(drawing.Right, []drawing.Point{pt(half+s.Lip, floor), pt(half+s.ShelfOut, floor+s.ShelfHeight)}, g.dim("shelf.height"))
	d.Add(drawing.Right, pt(half+s.Lip, floor), pt(half+s.Lip, s.RoofLevel()), g.dim("mouth.height"))

	d.Chain(drawing.Below, []drawing.Point{pt(-block, floor-s.FloorThickness), pt(-bore, floor), pt(bore, floor), pt(block, floor-s.FloorThickness)},
		g.dim("brick.thickness"), g.dim("chamber.width"), g.dim("brick.thickness"))
	d.Add(drawing.Below, pt(-s.BodyInner/2, s.FeetHeight), pt(s.BodyInner/2, s.FeetHeight), g.diameter("body.inner"))

	top := max(s.SkirtLevel(), s.RimLevel())
	r := s.Pot.Diameter() / 2
	d.Chain(drawing.Above, []drawing.Point{pt(-s.SkirtInner/2, s.SkirtLevel()), pt(-r, top)}, g.dim("skirt.gap"))
	d.Add(drawing.Above, pt(-r, top), pt(r, top), g.diameter("pot.diameter"))
	d.Add(drawing.Above, pt(-s.SkirtInner/2, s.SkirtLevel()), pt(s.SkirtInner/2, s.SkirtLevel()), g.diameter("skirt.inner"))
}

// targets are the places the leaders of the parts point to.
func (g *section) targets() map[string]drawing.Point {
	s := g.s
	floor, throat := s.FloorLevel(), s.ThroatLevel()
	bore, block, in := s.Flats/2, s.BlockFlats()/2, s.BodyInner/2
	return map[string]drawing.Point{
		"pot":    pt(s.Pot.Diameter()*0.3, s.PotLevel()+s.Pot.Height*0.82),
		"skirt":  pt(s.SkirtOuter()/2, s.SkirtLevel()-s.SkirtRise*0.25),
		"rods":   pt(s.RodOffset*0.62, s.RingLevel()+s.RodHeight),
		"lining": pt(s.Pot.Diameter()*0.44, throat+s.LiningThickness(s.Pot.Diameter()*0.44)*0.5),
		"top":    pt(s.BodyOuter()/2-0.008, throat),
		"brick":  pt((bore+block)/2, floor+s.ChamberHeight*0.8),
		"fill":   pt((block+in)/2, floor+s.ChamberHeight*0.62),
		"body":   pt(s.BodyOuter()/2, floor+s.ChamberHeight*0.48),
		"sleeve": pt(s.BodyOuter()/2+s.Lip*0.6, s.RoofLevel()),
		"shelf":  pt(s.Flats/2-s.ShelfReach+0.004, floor+s.ShelfHeight),
		"back":   pt(-(bore+block)/2, floor+s.BackHeight*0.5),
		"floor":  pt(bore*0.4, floor-s.FloorThickness*0.5),
		"feet":   pt(in*0.7, s.FeetHeight*0.5),
	}
}

// balloons numbers the parts: in a column on the right, and in the empty
// chamber for the two whose leaders would run through the dimensions there.
func (g *section) balloons() {
	s := g.s
	b := g.v.RectToSheet(g.bounds())
	notes := g.v.Notes(drawing.Right, drawing.R(b.Max.X+rowsRight-14, b.Min.Y-6, 10, b.H()+16))
	radius := 3.2 / g.v.Scale().Factor() / mm
	inside := map[string]drawing.Point{
		"back":  pt(-s.Flats/2+1.3*radius, s.RoofLevel()+0.6*radius),
		"shelf": pt(-s.Flats/2+2.6*radius, s.RoofLevel()+3.6*radius),
	}
	targets := g.targets()
	for i, id := range partOrder {
		if !g.has(id) {
			continue
		}
		number, target := itoa(i+1), targets[id]
		at, ok := inside[id]
		if !ok {
			notes.Add(drawing.Note{Target: target, Number: number, Key: id})
			continue
		}
		g.v.Stroke(drawing.DimLine, drawing.Line(target, at))
		g.v.Fill(drawing.Black, drawing.Circle(target, 0.5/g.v.Scale().Factor()))
		g.v.Balloon(at, number)
	}
	notes.Place()
}
