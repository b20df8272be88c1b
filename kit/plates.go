package kit

import (
	"math"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// Lugs hold a plate to the wall of the body (common practice), mm.
const (
	lugWidth   = 25.0
	lugLength  = 20.0
	lugCorner  = 5.0 // cut off, so that nobody is scratched
	lugScrew   = 4.2 // hole, for a self-tapping screw or a rivet
	clearance  = 0.5 // between plate and wall
	screwCount = 4
)

var origin = drawing.Pt(0, 0)

// bend90 is a right-angle fold over an edge as round as the sheet is thick.
func bend90(thickness float64) flat.Fold { return flat.Fold{Angle: math.Pi / 2, Radius: thickness} }

// lugged is a disc of radius r with n lugs standing out of its edge, the first
// at an angle in degrees, to be bent at right angles; wall is the radius that
// the inner face of the lugs takes. It returns the outline, fold lines and
// screw holes.
func lugged(r, wall, sheet float64, n int, first float64) (flat.Outline, []Line, []Hole) {
	strip := flat.Develop([]float64{wall + sheet, lugLength}, []flat.Fold{bend90(sheet)}, sheet)
	half := lugWidth / 2
	root := math.Asin(half/r) * 180 / math.Pi
	var outline flat.Outline
	var folds []Line
	var holes []Hole
	for i := range n {
		a := first + 360*float64(i)/float64(n)
		at := func(x, y float64) drawing.Point { return drawing.Pt(x, y).Rotate(origin, a) }
		tip := strip.Length
		for _, p := range []drawing.Point{drawing.Polar(r, a-root), at(tip-lugCorner, -half), at(tip, -half+lugCorner), at(tip, half-lugCorner), at(tip-lugCorner, half)} {
			outline = append(outline, flat.Node{Point: p})
		}
		outline = append(outline, flat.ArcFrom(drawing.Polar(r, a+root), origin, 360/float64(n)-2*root))
		fold := strip.Lines[0]
		folds = append(folds, Line{Name: message.T("kit.fold.lug"), A: at(fold, -half), B: at(fold, half)})
		holes = append(holes, drilled(message.T("kit.hole.screw"), at((fold+tip)/2+1, 0), lugScrew))
	}
	return outline, folds, holes
}

// base is the disc under the body. In sheet that folds it is seamed to the
// flange of the wall; thicker sheet gets lugs inside the wall. A container
// brings its own.
func (m *maker) base() {
	s := m.s
	if s.Container != nil {
		return
	}
	p := m.bodyPlate()
	t, fold := toMM(s.BodyThickness), foldOf(s.BodyThickness)
	var f Figure
	var notes []message.Text
	outer := toMM(s.BodyOuter()) / 2
	if fold > 0 {
		r := outer + 2*fold
		f.Outer = flat.Circle(origin, r)
		f.Marks = append(f.Marks, circleMark(message.T("kit.mark.base-turn", "diameter", tape(2*(outer+fold))), origin, outer+fold), circleMark(message.T("kit.mark.wall", "diameter", tape(2*outer)), origin, outer))
		f.Sizes = append(f.Sizes, across(r))
		notes = append(notes, message.T("kit.note.base-seam", "fold", tape(fold)))
	} else {
		inner := toMM(s.BodyInner)/2 - clearance
		const lugs = 6
		// bent up inside, the outer face of a lug is at the inside of the wall
		f.Outer, f.Folds, f.Holes = lugged(inner-1, inner-t, t, lugs, 0)
		f.Sizes = append(f.Sizes, across(inner-1))
		notes = append(notes, message.T("kit.note.base-lugs", "n", lugs))
		m.rivets += lugs
	}
	for _, at := range m.footHoles() {
		f.Holes = append(f.Holes, drilled(message.T("kit.hole.foot"), at, rivetHole))
	}
	f.Words = append(f.Words, Word{Text: message.T("kit.word.front"), At: drawing.Pt(outer*0.75, 4)})
	m.cross(&f, 0, toMM(s.BodyInner)/2-2)
	m.sheetPart(Part{ID: "base", Figure: "body", Name: message.T("kit.part.base"), Count: 1, Because: message.T("kit.because.base"),
		Sizes: []Measure{measure("diameter", quantity.MM(s.BodyOuter())), measure("thickness", thickness(s.BodyThickness))}},
		p, Pattern{ID: "base.disc", Name: message.T("kit.pattern.base"), Count: 1, Datum: message.T("kit.datum.centre"), Figures: []Figure{f}, Notes: notes})
}

// cross marks the two axes of a disc or ring, from its hole to its edge.
func (m *maker) cross(f *Figure, hole, r float64) {
	for i := range 4 {
		f.Marks = append(f.Marks, Line{Name: message.T("kit.mark.axis"), A: drawing.Polar(hole, float64(i)*90), B: drawing.Polar(r, float64(i)*90)})
	}
}

// Feet are bent from flat bar (common practice), mm.
const (
	barWidth      = 30.0
	barThickness  = 3.0
	footSole      = 40.0
	footFlange    = 25.0
	footLeast     = 14.0 // lowest that can be bent; lower feet are pads
	footRivetEdge = 10.0 // from the end of the flange
)

// footCentres is where the feet stand, mm: as the drawings have them, between
// the axes, as far out as their corners stay under the body.
func (m *maker) footCentres() []drawing.Point {
	s := m.s
	if s.FeetHeight == 0 {
		return nil
	}
	half := footSole/2 + footFlange - barThickness
	r := math.Sqrt(math.Max(0, math.Pow(toMM(s.BodyInner)/2, 2)-half*half)) - barWidth/2
	var list []drawing.Point
	for i := range s.Feet {
		list = append(list, drawing.Polar(r, 180*(2*float64(i)+1)/float64(s.Feet)))
	}
	return list
}

// footHoles are the rivet holes of the feet in the base.
func (m *maker) footHoles() []drawing.Point {
	reach := m.footReach()
	var list []drawing.Point
	for _, c := range m.footCentres() {
		along := drawing.Polar(reach, c.Angle()+90)
		list = append(list, c.Add(along), c.Sub(along))
	}
	return list
}

// footReach is from the middle of a foot to the rivets in its flanges, or in
// its pad.
func (m *maker) footReach() float64 {
	if toMM(m.s.FeetHeight) < footLeast {
		return barWidth / 4
	}
	return footSole/2 + footFlange - barThickness - footRivetEdge
}

// feet are U-shaped strips with flanges, or pads where they are low.
func (m *maker) feet() {
	s := m.s
	if s.FeetHeight == 0 {
		return
	}
	steel, _ := material.Lookup("mild-steel")
	h := toMM(s.FeetHeight)
	part := Part{ID: "feet", Figure: "feet", Name: message.T("kit.part.feet"), Count: s.Feet, Material: "mild-steel", Because: s.Dimension("base.feet").Because,
		Sizes: []Measure{measure("height", quantity.MM(s.FeetHeight)), measure("bar", quantity.MM(barWidth*mm)), measure("thickness", quantity.MM(barThickness*mm))}}
	m.rivets += 2 * s.Feet
	if h < footLeast {
		layers := int(math.Max(1, math.Round(h/barThickness)))
		part.Name = message.T("kit.part.pads", "n", layers)
		part.Mass = float64(layers) * barWidth * barWidth * barThickness * 1e-9 * steel.Density
		m.bar += float64(s.Feet*layers) * barWidth * mm
		m.part(part)
		m.cutBar("feet", part.Name, s.Feet*layers, barWidth*mm)
		return
	}
	strip := footStrip(h)
	f := Figure{Outer: flat.Rectangle(0, 0, strip.Length, barWidth)}
	points := []drawing.Point{origin}
	for i, x := range strip.Lines {
		name := message.T("kit.fold.down")
		if i == 1 || i == 2 {
			name = message.T("kit.fold.up")
		}
		f.Folds = append(f.Folds, line(name, x, 0, x, barWidth))
		points = append(points, drawing.Pt(x, 0))
	}
	points = append(points, drawing.Pt(strip.Length, 0))
	for _, x := range []float64{footRivetEdge, strip.Length - footRivetEdge} {
		f.Holes = append(f.Holes, drilled(message.T("kit.hole.rivet"), drawing.Pt(x, barWidth/2), rivetHole))
	}
	f.Sizes = []Size{size(drawing.Below, points...), size(drawing.Below, origin, drawing.Pt(strip.Length, 0)),
		size(drawing.Above, drawing.Pt(0, barWidth), f.Holes[0].Centres[0], f.Holes[1].Centres[0], drawing.Pt(strip.Length, barWidth)),
		size(drawing.Right, drawing.Pt(strip.Length, 0), drawing.Pt(strip.Length, barWidth))}
	q := m.pattern(Pattern{ID: "feet.strip", Name: message.T("kit.pattern.foot"), Use: Bar, Material: "mild-steel", Thickness: barThickness * mm, Count: s.Feet,
		Datum: message.T("kit.datum.corner"), Figures: []Figure{f}, Notes: []message.Text{message.T("kit.note.foot")}})
	part.Patterns = []string{q.ID}
	part.Mass = q.Area() * barThickness * mm * steel.Density
	m.bar += float64(s.Feet) * strip.Length * mm
	m.part(part)
	m.cutBar("feet", part.Name, s.Feet, strip.Length*mm)
}

// footStrip is a foot of a height on the flat, mm.
func footStrip(height float64) flat.Strip {
	return flat.Develop([]float64{footFlange, height, footSole, height, footFlange},
		[]flat.Fold{bend90(barThickness), bend90(barThickness), bend90(barThickness), bend90(barThickness)}, barThickness)
}

// hemLayers is how far the hem of the body stands out of its wall, mm.
func (m *maker) hemLayers() float64 {
	if m.s.Container == nil && foldOf(m.s.BodyThickness) > 0 {
		return 2 * toMM(m.s.BodyThickness)
	}
	return toMM(m.s.BodyThickness)
}

// topEdge is the radius of the top ring, mm: it covers the edge of the body,
// hem and all.
func (m *maker) topEdge() float64 {
	return toMM(m.s.BodyInner)/2 + toMM(m.s.BodyThickness) + m.hemLayers() + clearance
}

// top is the ring that closes the fill. Its lugs are screwed, not riveted: the
// fill settles and is topped up.
func (m *maker) top() {
	s, p := m.s, m.hotPlate(m.s.TopThickness)
	edge := m.topEdge()
	var f Figure
	f.Outer, f.Folds, f.Holes = lugged(edge, edge+clearance, toMM(s.TopThickness), screwCount, 45)
	f.Holes = append(f.Holes, Hole{Name: message.T("kit.hole.throat"), Outline: flat.Circle(origin, toMM(s.TopHole)/2)})
	for _, a := range m.clipAngles() {
		f.Holes = append(f.Holes, drilled(message.T("kit.hole.clip"), drawing.Polar(m.clipRadius(), a), rivetHole))
	}
	f.Marks = append(f.Marks, circleMark(message.T("kit.mark.skirt", "diameter", tape(toMM(s.SkirtOuter()))), origin, toMM(s.SkirtOuter())/2))
	m.cross(&f, toMM(s.TopHole)/2, edge)
	f.Words = append(f.Words, Word{Text: message.T("kit.word.front"), At: drawing.Pt((toMM(s.SkirtInner)+toMM(s.TopHole))/4, 4)})
	f.Rings = []Ring{{Radius: toMM(s.TopHole) / 2, Degrees: 160}}
	f.Sizes = []Size{across(edge)}
	m.screws += screwCount
	m.sheetPart(Part{ID: "top", Figure: "top", Name: message.T("kit.part.top"), Count: 1, Because: s.Dimension("top.hole").Because,
		Sizes: []Measure{measure("outside", quantity.MM(2*edge*mm)), measure("hole", quantity.MM(s.TopHole)), measure("thickness", thickness(s.TopThickness))}},
		p, Pattern{ID: "top.ring", Name: message.T("kit.pattern.top"), Count: 1, Datum: message.T("kit.datum.centre"), Figures: []Figure{f},
			Notes: []message.Text{message.T("kit.note.top-lugs", "n", screwCount), message.T("kit.note.top-hot")}})
}
