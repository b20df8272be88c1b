package kit

import (
	"math"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/quantity"
)

// Sleeve and shelf (common practice), mm.
const (
	sleeveLap   = 15.0 // flange that closes the box
	flangeClear = 4.0  // behind the wall of the body
	flangeLeast = 25.0
	tabLength   = 12.0 // turned out against the brick
	tabInset    = 2.0  // from the folds of the box, so that the tabs do not touch
	shelfPlay   = 1.0  // each side, so that the shelf can be pulled out
	slotWidth   = 8.0  // of the grate: lets air and ash through, keeps sticks
	barLeast    = 10.0 // between two slots; thinner ones burn away
	slotLong    = 120.0
	slotMargin  = 8.0
)

// sleeveLength is from the outer face of the bricks to the lip, mm.
func (m *maker) sleeveLength() float64 {
	s := m.s
	return toMM(s.BodyOuter()/2 + s.Lip - s.BlockFlats()/2)
}

// sleeve lines the fuel mouth between bricks and body: a box with one riveted
// flange, its inner end turned out as tabs that lie against the brick.
func (m *maker) sleeve() {
	s, p := m.s, m.hotPlate(m.s.BodyThickness)
	t := toMM(p.thickness)
	w, h := toMM(s.MouthWidth), toMM(s.MouthHeight)
	box := flat.Develop([]float64{h + t, w + 2*t, h + 2*t, w + 3*t, sleeveLap + t},
		[]flat.Fold{bend90(t), bend90(t), bend90(t), bend90(t)}, t)
	depth := flat.Develop([]float64{m.sleeveLength(), tabLength}, []flat.Fold{bend90(t)}, t)
	end, root := depth.Length, depth.Lines[0]
	walls := append(append([]float64{0}, box.Lines...), box.Length)
	back := m.flangeBack(root)
	f := Figure{Outer: flat.Outline{flat.Corner(0, 0)}}
	if back > 0 {
		flush := sleeveFlat(box, 2, t, w+2*t) // the bottom ends flush with the outside of the first wall
		f.Outer = append(f.Outer, flat.Corner(flush, 0), flat.Corner(flush, back), flat.Corner(box.Length, back))
	} else {
		f.Outer = append(f.Outer, flat.Corner(box.Length, 0))
	}
	f.Outer = append(f.Outer, flat.Corner(box.Length, root))
	for i := 3; i >= 0; i-- { // back along the inner end, wall by wall
		a, b := walls[i]+tabInset, walls[i+1]-tabInset
		f.Outer = append(f.Outer, flat.Corner(b, root), flat.Corner(b, end), flat.Corner(a, end), flat.Corner(a, root))
		f.Folds = append(f.Folds, line(message.T("kit.fold.tab"), a, root, b, root))
	}
	f.Outer = append(f.Outer, flat.Corner(0, root))
	points := []drawing.Point{origin}
	for i, x := range box.Lines {
		from := 0.0
		if i == 3 {
			from = back
		}
		f.Folds = append(f.Folds, line(message.T("kit.fold.up"), x, from, x, root))
		points = append(points, drawing.Pt(x, 0))
	}
	points = append(points, drawing.Pt(box.Length, 0))
	m.sleeveRivets(&f, box, back, root, t)
	for i, side := range []string{"right", "top", "left", "bottom"} {
		f.Words = append(f.Words, Word{Text: message.T("kit.word." + side), At: drawing.Pt((walls[i]+walls[i+1])/2, root/2)})
	}
	f.Sizes = []Size{size(drawing.Below, points...), size(drawing.Below, origin, drawing.Pt(box.Length, 0)),
		size(drawing.Left, origin, drawing.Pt(0, root), drawing.Pt(walls[0]+tabInset, end)), size(drawing.Left, origin, drawing.Pt(walls[0]+tabInset, end))}
	clear := message.T("kit.note.sleeve-file")
	if back > 0 {
		f.Sizes = append(f.Sizes, size(drawing.Right, drawing.Pt(box.Length, 0), drawing.Pt(box.Length, back), drawing.Pt(box.Length, root)))
		clear = message.T("kit.note.sleeve-clear")
	}
	m.sheetPart(Part{ID: "sleeve", Figure: "sleeve", Name: message.T("kit.part.sleeve"), Count: 1, Because: s.Dimension("mouth.lip").Because,
		Sizes: []Measure{measure("inside-width", quantity.MM(s.MouthWidth)), measure("inside-height", quantity.MM(s.MouthHeight)),
			measure("depth", quantity.MM(m.sleeveLength()*mm)), measure("thickness", thickness(p.thickness))}},
		p, Pattern{ID: "mouth.sleeve", Name: message.T("kit.pattern.sleeve"), Count: 1, Datum: message.T("kit.datum.corner"), Figures: []Figure{f},
			Notes: []message.Text{message.T("kit.note.inside-up"), message.T("kit.note.sleeve-lap"), clear, message.T("kit.note.sleeve-tabs"), message.T("kit.note.sleeve-edge")}})
}

// flangeBack is how far the flange of the sleeve stays behind the lip, so that
// it ends inside the body and the sleeve goes through its opening; 0 where that
// would leave too little of it.
func (m *maker) flangeBack(root float64) float64 {
	s := m.s
	back := toMM(s.Lip) + flat.Sagitta(toMM(s.MouthWidth), toMM(s.BodyOuter())) + flangeClear
	if root-back < flangeLeast {
		return 0
	}
	return back
}

// sleeveFlat is the place on the flat sleeve of a point on the wall after a
// fold, given by its distance outside from the corner: the corner lies one
// setback before the end of the bent part.
func sleeveFlat(box flat.Strip, fold int, t, outside float64) float64 {
	bend := bend90(t)
	return box.Lines[fold] + flat.BendAllowance(bend, t, flat.DIN6935Factor(bend.Radius, t))/2 - flat.Setback(bend, t) + outside
}

// sleeveRivets joins the flange to the outside of the first wall: the same
// height above the lower outside corner in both.
func (m *maker) sleeveRivets(f *Figure, box flat.Strip, back, root, t float64) {
	const up = sleeveLap / 2
	flange := sleeveFlat(box, 3, t, up+t)
	n := max(2, 1+int(math.Ceil((root-back-16)/rivetPitch)))
	for i := range n {
		y := back + 8 + (root-back-16)*float64(i)/float64(n-1)
		f.Holes = append(f.Holes, drilled(message.T("kit.hole.rivet"), drawing.Pt(up, y), rivetHole),
			drilled(message.T("kit.hole.rivet"), drawing.Pt(flange, y), rivetHole))
	}
	m.rivets += n
}

// grate lays the slots out over the inner end of the shelf: across, so that the
// bars between them rest on both sides. Distances are from the inner end.
type grate struct {
	slots []float64    // middle of each slot
	spans [][2]float64 // from and to across the shelf, between the middles of the round ends
	pitch float64
}

// grateFor is the slots for a shelf of the given flat top, between its folds;
// none where there is no room.
func grateFor(length, from, to float64) grate {
	var g grate
	room := length - slotMargin
	n := int((room + 1e-9) / (slotWidth + barLeast))
	a, b := from+slotMargin+slotWidth/2, to-slotMargin-slotWidth/2
	if n < 1 || b-a < slotWidth {
		return g
	}
	g.pitch = room / float64(n)
	for i := range n {
		g.slots = append(g.slots, slotMargin+slotWidth/2+float64(i)*g.pitch)
	}
	parts := max(1, int(math.Ceil((b-a+slotWidth)/slotLong)))
	tie := slotWidth + barLeast + 2 // between the end centres of two slots in a row
	each := (b - a - tie*float64(parts-1)) / float64(parts)
	for i := range parts {
		x := a + float64(i)*(each+tie)
		g.spans = append(g.spans, [2]float64{x, x + each})
	}
	return g
}

// shelf is a channel with its legs on the chamber floor; the inner part is
// slotted as a grate.
func (m *maker) shelf() {
	s, p := m.s, m.hotPlate(m.s.TopThickness)
	t := toMM(p.thickness)
	h, w := toMM(s.ShelfHeight), toMM(s.MouthWidth)-2*shelfPlay
	strip := flat.Develop([]float64{h, w, h}, []flat.Fold{bend90(t), bend90(t)}, t)
	long := toMM(s.ShelfReach + s.TunnelLength() + s.ShelfOut)
	f := Figure{Outer: flat.Rectangle(0, 0, strip.Length, long)}
	x1, x2 := strip.Lines[0], strip.Lines[1]
	f.Folds = []Line{line(message.T("kit.fold.down"), x1, 0, x1, long), line(message.T("kit.fold.down"), x2, 0, x2, long)}
	g := grateFor(toMM(s.GrateLength), x1+t, x2-t)
	points := []drawing.Point{drawing.Pt(strip.Length, long)}
	for _, y := range g.slots {
		for _, x := range g.spans {
			f.Holes = append(f.Holes, slot(message.T("kit.hole.slot"), drawing.Pt(x[0], long-y), drawing.Pt(x[1], long-y), slotWidth))
		}
		points = append(points, drawing.Pt(x2, long-y))
	}
	body := long - toMM(s.ShelfReach+s.TunnelLength())
	f.Marks = []Line{line(message.T("kit.mark.body-front"), x1, body, x2, body)}
	f.Words = []Word{{Text: message.T("kit.word.fire-end"), At: drawing.Pt(strip.Length/2, long-3), Small: true}, {Text: message.T("kit.word.cook-end"), At: drawing.Pt(strip.Length/2, 6), Small: true}}
	f.Sizes = []Size{size(drawing.Below, origin, drawing.Pt(x1, 0), drawing.Pt(x2, 0), drawing.Pt(strip.Length, 0)), size(drawing.Below, origin, drawing.Pt(strip.Length, 0)),
		size(drawing.Left, origin, drawing.Pt(x1, body), drawing.Pt(0, long)), size(drawing.Left, origin, drawing.Pt(0, long))}
	notes := []message.Text{message.T("kit.note.inside-down"), message.T("kit.note.shelf")}
	if len(g.slots) > 0 {
		f.Sizes = append(f.Sizes, size(drawing.Right, points...))
		notes = append(notes, message.T("kit.note.slots", "n", len(g.slots)*len(g.spans), "width", tape(slotWidth), "bar", tape(g.pitch-slotWidth)))
	}
	m.sheetPart(Part{ID: "shelf", Figure: "shelf", Name: message.T("kit.part.shelf"), Count: 1, Because: s.Dimension("shelf.reach").Because,
		Sizes: []Measure{measure("width", quantity.MM(w*mm)), measure("height", quantity.MM(s.ShelfHeight)), measure("length", quantity.MM(long*mm)), measure("thickness", thickness(p.thickness))}},
		p, Pattern{ID: "shelf.channel", Name: message.T("kit.pattern.shelf"), Count: 1, Datum: message.T("kit.datum.corner"), Figures: []Figure{f}, Notes: notes})
}
