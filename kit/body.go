package kit

import (
	"math"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// Joints of sheet (common practice).
const (
	rivet      = 4.0  // mm, diameter
	rivetHole  = 4.2  // mm
	rivetPitch = 45.0 // mm, at most, in a seam
	mostPanels = 8    // of a rolled sheet
)

// foldOf is the width of one fold in sheet of a thickness, mm, or 0 where it is
// too thick to be folded by hand.
func foldOf(thickness float64) float64 {
	w, ok := material.FoldWidth(thickness)
	if !ok {
		return 0
	}
	return toMM(w)
}

// rolled is a sheet to be rolled into a cylinder: one panel of one or several,
// with what is added at its edges, mm.
type rolled struct {
	cylinder flat.Cylinder
	panels   int
	seam     flat.Seam
	height   float64 // finished, between hem and flange
	top      float64 // hem
	bottom   float64 // flange
}

// width is the length of one panel's blank around the cylinder.
func (r rolled) width() float64 {
	return r.cylinder.Circumference()/float64(r.panels) + r.seam.Allowance
}

func (r rolled) blankHeight() float64 { return r.bottom + r.height + r.top }

// along is the place on panel i of an angle around the cylinder, in radians
// from the middle of panel 0 anticlockwise seen from above, x growing that way;
// it is outside 0…width for the other panels.
func (r rolled) along(panel int, angle float64) float64 {
	pitch := 2 * math.Pi / float64(r.panels)
	return r.width()/2 + r.cylinder.Along(math.Remainder(angle-float64(panel)*pitch, 2*math.Pi))
}

// panelsFor is the least number of equal panels whose blanks fit on a sheet of
// the plate, or one where none would.
func (r rolled) panelsFor(p plate) int {
	for n := 1; n <= mostPanels; n++ {
		r.panels = n
		if p.fits(r.width(), r.blankHeight()) {
			return n
		}
	}
	return 1
}

// blank is the outline of a panel with its fold lines, seam marks and rivet
// holes. Where a hem or flange meets a seam the corner is cut at 45°, a
// millimetre past the fold, so that no more than four layers meet.
func (r rolled) blank() Figure {
	w, h := r.width(), r.blankHeight()
	notch := func(edge float64) float64 {
		if edge == 0 || r.seam.Kind == flat.Butt {
			return 0
		}
		return edge + 1
	}
	a, b := notch(r.bottom), notch(r.top)
	var f Figure
	for _, c := range []struct{ x, y, dx, dy, cut float64 }{{0, 0, 1, 1, a}, {w, 0, -1, 1, a}, {w, h, -1, -1, b}, {0, h, 1, -1, b}} {
		along, up := flat.Corner(c.x+c.dx*c.cut, c.y), flat.Corner(c.x, c.y+c.dy*c.cut)
		switch {
		case c.cut == 0:
			f.Outer = append(f.Outer, flat.Corner(c.x, c.y))
		case c.dx*c.dy > 0: // lower left and upper right: the run comes along the upright edge
			f.Outer = append(f.Outer, up, along)
		default:
			f.Outer = append(f.Outer, along, up)
		}
	}
	if r.bottom > 0 {
		f.Folds = append(f.Folds, line(message.T("kit.fold.flange"), a, r.bottom, w-a, r.bottom))
	}
	if r.top > 0 {
		f.Folds = append(f.Folds, line(message.T("kit.fold.hem"), b, h-r.top, w-b, h-r.top))
	}
	r.seamMarks(&f)
	return f
}

func (r rolled) seamMarks(f *Figure) {
	w, low, high := r.width(), r.bottom, r.bottom+r.height
	switch r.seam.Kind {
	case flat.Grooved:
		f.Folds = append(f.Folds,
			line(message.T("kit.fold.seam-out"), r.seam.Fold, low, r.seam.Fold, high),
			line(message.T("kit.fold.seam-in"), w-r.seam.Fold, low, w-r.seam.Fold, high))
	case flat.Lap:
		f.Marks = append(f.Marks, line(message.T("kit.mark.lap"), r.seam.Allowance, low, r.seam.Allowance, high))
		if r.seam.Allowance < flat.LapLeast(rivet) {
			return // spot welded
		}
		n := r.seamRivets()
		for i := range n {
			y := low + 10 + (r.height-20)*float64(i)/float64(n-1)
			for _, x := range []float64{r.seam.Allowance / 2, w - r.seam.Allowance/2} {
				f.Holes = append(f.Holes, drilled(message.T("kit.hole.rivet"), drawing.Pt(x, y), rivetHole))
			}
		}
	}
}

// seamRivets is how many rivets close one seam.
func (r rolled) seamRivets() int {
	if r.seam.Kind != flat.Lap || r.seam.Allowance < flat.LapLeast(rivet) {
		return 0
	}
	return max(2, 1+int(math.Ceil((r.height-20)/rivetPitch)))
}

func (r rolled) seamNote() message.Text {
	switch {
	case r.seam.Kind == flat.Grooved:
		return message.T("kit.note.seam-grooved", "fold", tape(r.seam.Fold))
	case r.seam.Kind == flat.Butt:
		return message.T("kit.note.seam-butt")
	case r.seamRivets() == 0:
		return message.T("kit.note.seam-spot", "lap", tape(r.seam.Allowance))
	}
	return message.T("kit.note.seam-lap", "lap", tape(r.seam.Allowance), "n", r.seamRivets())
}

// mouthClearance is what the cut-out is wider and higher than the sleeve, mm.
const mouthClearance = 1.0

// earLength is the length of the ears that are bent out of the cut-out and
// riveted to the sleeve, mm (common practice).
const (
	earLength = 12.0
	earInset  = 10.0 // from the corners of the cut-out
)

// mouthCutOut is the hole for the sleeve in a cylinder, x from its middle, y
// from the lower edge of the body: exactly developed, with an ear left standing
// on either side, and the fold lines and rivet holes of the ears.
func (m *maker) mouthCutOut(diameter float64) (hole Hole, folds []Line, rivets []Hole) {
	s, t := m.s, toMM(m.s.BodyThickness)
	w := toMM(s.MouthWidth) + 2*t + mouthClearance
	low := toMM(s.FloorLevel()-s.FeetHeight) - t - mouthClearance/2
	high := low + toMM(s.MouthHeight) + 2*t + mouthClearance
	c := flat.DevelopOpening([]drawing.Point{{X: -w / 2, Y: low}, {X: w / 2, Y: low}, {X: w / 2, Y: high}, {X: -w / 2, Y: high}}, diameter)
	half := c[1].X
	ear := min(earLength, half-3)
	e1, e2 := low+earInset, high-earInset
	hole = Hole{Name: message.T("kit.hole.mouth"), Outline: flat.Polygon(c[0], c[1],
		drawing.Pt(half, e1), drawing.Pt(half-ear, e1), drawing.Pt(half-ear, e2), drawing.Pt(half, e2),
		c[2], c[3],
		drawing.Pt(-half, e2), drawing.Pt(-half+ear, e2), drawing.Pt(-half+ear, e1), drawing.Pt(-half, e1))}
	name := message.T("kit.fold.ear-out")
	if ear > toMM(s.Lip)+flat.Sagitta(w, diameter)-2 {
		name = message.T("kit.fold.ear-in")
	}
	for _, side := range []float64{-1, 1} {
		folds = append(folds, line(name, side*half, e1, side*half, e2))
		for _, y := range earRivets(e1, e2) {
			rivets = append(rivets, drilled(message.T("kit.hole.rivet"), drawing.Pt(side*(half-ear/2), y), rivetHole))
		}
	}
	return hole, folds, rivets
}

// earRivets are the heights of the rivets in an ear: two, or one where it is
// short.
func earRivets(low, high float64) []float64 {
	if high-low < 36 {
		return []float64{(low + high) / 2}
	}
	return []float64{low + 8, high - 8}
}

// body is the wall: rolled from sheet, or a container cut down.
func (m *maker) body() {
	if m.s.Container != nil {
		m.containerBody()
		return
	}
	s, p := m.s, m.bodyPlate()
	fold := foldOf(s.BodyThickness)
	r := rolled{cylinder: flat.Cylinder{Inside: toMM(s.BodyInner), Thickness: toMM(s.BodyThickness)},
		seam: flat.SeamFor(toMM(s.Value("body.seam").SI), fold > 0), height: toMM(s.BodyHeight), top: fold, bottom: fold}
	r.panels = r.panelsFor(p)
	m.rivets += r.panels * r.seamRivets()
	front := m.bodyPanel(r)
	patterns := []Pattern{front}
	if r.panels > 1 {
		plain := m.bodyFrame(r, r.blank())
		plain.ID, plain.Name, plain.Count = "body.panel", message.T("kit.pattern.body-panel"), r.panels-1
		patterns = append(patterns, plain)
		m.remark("panels", "part", message.T("kit.part.body"), "n", r.panels)
	}
	m.sheetPart(Part{ID: "body", Figure: "body", Name: message.T("kit.part.body"), Count: 1, Because: s.Dimension("body.inner").Because,
		Sizes: []Measure{measure("inside", quantity.MM(s.BodyInner)), measure("height", quantity.MM(s.BodyHeight)), measure("thickness", thickness(s.BodyThickness))},
	}, p, patterns...)
}

// bodyPanel is the panel with the fuel mouth.
func (m *maker) bodyPanel(r rolled) Pattern {
	f := r.blank()
	mid, up := r.along(0, 0), drawing.Pt(0, r.bottom)
	hole, folds, rivets := m.mouthCutOut(r.cylinder.Neutral())
	shift := up.Add(drawing.Pt(mid, 0))
	hole.Outline = hole.Outline.Shifted(shift)
	f.Holes = append(f.Holes, hole)
	for _, h := range rivets {
		f.Holes = append(f.Holes, h.shifted(shift))
	}
	for _, l := range folds {
		f.Folds = append(f.Folds, l.shifted(shift))
	}
	m.rivets += len(rivets)
	b := hole.Outline.Bounds()
	f.Marks = append(f.Marks, line(message.T("kit.mark.front"), mid, r.bottom, mid, b.Min.Y), line(message.T("kit.mark.front"), mid, b.Max.Y, mid, r.bottom+r.height))
	f.Sizes = append(f.Sizes,
		onLeft(0, 0, b.Min.Y, b.Max.Y, r.blankHeight()), onLower(0, 0, b.Min.X, b.Max.X, r.width()))
	p := m.bodyFrame(r, f)
	p.ID, p.Name, p.Count = "body.blank", message.T("kit.pattern.body"), 1
	p.Notes = append(p.Notes, message.T("kit.note.mouth-first"))
	return p
}

// bodyFrame is what all panels of the body share.
func (m *maker) bodyFrame(r rolled, f Figure) Pattern {
	w, h := r.width(), r.blankHeight()
	f.Sizes = append(f.Sizes, size(drawing.Below, drawing.Pt(0, 0), drawing.Pt(w, 0)))
	if r.bottom > 0 {
		f.Sizes = append(f.Sizes, size(drawing.Right, drawing.Pt(w, 0), drawing.Pt(w, r.bottom), drawing.Pt(w, h-r.top), drawing.Pt(w, h)))
	}
	f.Sizes = append(f.Sizes, size(drawing.Right, drawing.Pt(w, 0), drawing.Pt(w, h)))
	notes := []message.Text{message.T("kit.note.outside-up"), r.seamNote()}
	if r.top > 0 {
		notes = append(notes, message.T("kit.note.body-hem", "fold", tape(r.top)), message.T("kit.note.body-flange", "fold", tape(r.bottom)))
	}
	return Pattern{Datum: message.T("kit.datum.corner"), Figures: []Figure{f}, Notes: notes}
}

func (h Hole) shifted(d drawing.Point) Hole {
	h.Outline = h.Outline.Shifted(d)
	centres := make([]drawing.Point, len(h.Centres))
	for i, c := range h.Centres {
		centres[i] = c.Add(d)
	}
	h.Centres = centres
	return h
}

func (l Line) shifted(d drawing.Point) Line {
	l.A, l.B, l.Centre = l.A.Add(d), l.B.Add(d), l.Centre.Add(d)
	return l
}

// paperLap is what a wrap-around template overlaps itself, mm.
const paperLap = 15.0

// containerBody is a can or drum cut down, with a paper to wrap around it.
func (m *maker) containerBody() {
	s, c := m.s, m.s.Container
	steel := sheetSteel[c.Coating]
	metal, _ := material.Lookup(steel)
	wall := math.Pi * (s.BodyInner + s.BodyThickness) * s.BodyHeight
	mouth := s.MouthWidth * s.MouthHeight
	disc := math.Pi / 4 * s.BodyInner * s.BodyInner
	m.part(Part{ID: "body", Figure: "body", Name: message.T("kit.part.container", "kind", message.T("stove.word."+c.Kind)), Count: 1, Material: steel,
		Sizes: []Measure{measure("inside", quantity.MM(s.BodyInner)), measure("height", quantity.MM(s.BodyHeight)), measure("thickness", thickness(s.BodyThickness)),
			measure("cut-off", quantity.MM(max(0, c.Height-s.BodyHeight)))},
		Mass: (wall - mouth + disc) * s.BodyThickness * metal.Density, Because: s.Dimension("body.inner").Because, Patterns: []string{"body.wrap"}})
	m.pattern(m.wrap())
	if c.Kind == "drum" || c.Coating == "painted" {
		m.remark("drum")
	}
}

// wrap is the paper around the container: its lower edge on the rim at the
// bottom, its upper edge where the container is cut off.
func (m *maker) wrap() Pattern {
	s := m.s
	outer := toMM(s.BodyOuter())
	w, h := math.Pi*outer, toMM(s.BodyHeight)
	f := Figure{Outer: flat.Rectangle(0, 0, w+paperLap, h)}
	hole, folds, rivets := m.mouthCutOut(outer)
	shift := drawing.Pt(w/2, 0)
	f.Holes = append(f.Holes, hole.shifted(shift))
	for _, r := range rivets {
		f.Holes = append(f.Holes, r.shifted(shift))
	}
	for _, l := range folds {
		f.Folds = append(f.Folds, l.shifted(shift))
	}
	m.rivets += len(rivets)
	b := f.Holes[0].Outline.Bounds()
	f.Marks = append(f.Marks, line(message.T("kit.mark.paper-meets"), w, 0, w, h),
		line(message.T("kit.mark.front"), w/2, 0, w/2, b.Min.Y), line(message.T("kit.mark.front"), w/2, b.Max.Y, w/2, h),
		line(message.T("kit.mark.side"), w/4, 0, w/4, h), line(message.T("kit.mark.side"), 3*w/4, 0, 3*w/4, h))
	f.Sizes = []Size{
		onLeft(0, 0, b.Min.Y, b.Max.Y, h), onLower(0, 0, b.Min.X, b.Max.X, w), onLower(0, 0, w),
		size(drawing.Right, drawing.Pt(w+paperLap, 0), drawing.Pt(w+paperLap, h)),
	}
	return Pattern{ID: "body.wrap", Name: message.T("kit.pattern.wrap"), Use: Paper, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.corner"),
		Notes: []message.Text{message.T("kit.note.wrap"), message.T("kit.note.wrap-cut"), message.T("kit.note.mouth-drill")}}
}
