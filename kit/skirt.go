package kit

import (
	"math"
	"sort"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// Skirt (common practice), mm.
const (
	rodSpare   = 1.0 // hole wider than the rod, for rust and bending
	holeApart  = 1.0 // least sheet between the holes of two neighbouring rods
	holeEdge   = 3.0 // least sheet between a rod hole and an edge or hem
	seamClear  = 4.0 // least between a rod hole and a seam
	clipWidth  = 15.0
	clipLeg    = 15.0        // longest leg
	clipLeast  = 10.0        // holds the head of a rivet, twice as wide as its shank, beside the bend
	clipEdge   = rivet + 0.3 // from the end of a leg to the middle of its hole
	clips      = 3
	standLeast = 3.0 // of top ring inside the skirt that stands on it
	seamDegree = 1.0 // step when a place for the seams is looked for
)

func (m *maker) skirtCylinder() flat.Cylinder {
	return flat.Cylinder{Inside: toMM(m.s.SkirtInner), Thickness: toMM(m.s.SkirtMetal)}
}

// rodHole is the width of the rod holes, mm.
func (m *maker) rodHole() float64 { return toMM(m.s.RodDiameter) + rodSpare }

// rodLevel is the middle of the rod holes above the lower edge of the skirt,
// which stands on the top ring, mm.
func (m *maker) rodLevel() float64 { return toMM(m.s.RodHeight) }

// feasible refuses a stove whose rods find no sheet to rest in, before anything
// is made of it.
func (m *maker) feasible() {
	s := m.s
	hole, level := m.rodHole(), m.rodLevel()
	if _, _, _, ok := flat.ChordSlot(toMM(s.RodOffset), hole, m.skirtCylinder().Neutral()/2-holeEdge); !ok {
		m.refuse("rest.offset", message.T("kit.no-room-offset", "rod", quantity.MM1(s.RodDiameter), "skirt", quantity.MM(s.SkirtInner)))
	}
	if _, _, last, ok := flat.ChordSlot(toMM(s.RodOffset), hole, m.skirtCylinder().Neutral()/2); ok && m.skirtCylinder().Along(2*math.Pi/3-2*last) < holeApart {
		m.refuse("rest.offset", message.T("kit.no-room-between-rods", "rod", quantity.MM1(s.RodDiameter)))
	}
	if level-hole/2 < holeEdge {
		m.refuse("rest.rod", message.T("kit.no-room-under-rod", "rod", quantity.MM1(s.RodDiameter), "height", quantity.MM1(s.RestHeight)))
	}
	if most := s.SkirtInner - 2*standLeast*mm; s.TopHole > most {
		m.refuse("top.hole", message.T("kit.no-room-stand", "most", quantity.MM(most)))
	}
	if short := clipLeast + 1 - (m.topEdge() - toMM(s.SkirtOuter())/2); short > 0 {
		m.refuse("body.inner", message.T("kit.no-room-clips", "least", quantity.MM(s.BodyInner+2*short*mm)))
	}
	if spare := toMM(s.SkirtHeight) - level - hole/2; spare < holeEdge {
		m.refuse("skirt.rise", message.T("kit.no-room-over-rod", "least", quantity.MM(s.SkirtRise+(holeEdge-spare)*mm)))
	}
}

// skirtHem is the hem of the upper edge, mm; none where it would come down onto
// the rod holes.
func (m *maker) skirtHem() float64 {
	fold := foldOf(m.s.SkirtMetal)
	if toMM(m.s.SkirtHeight)-m.rodLevel()-m.rodHole()/2-fold < holeEdge {
		return 0
	}
	return fold
}

// slotAngles are the first and last angle of each rod hole, degrees around the
// skirt from the fuel mouth.
func (m *maker) slotAngles() [][2]float64 {
	first, middle, last, _ := flat.ChordSlot(toMM(m.s.RodOffset), m.rodHole(), m.skirtCylinder().Neutral()/2)
	var list [][2]float64
	for i, at := range m.s.RodHoles() {
		before, after := middle-first, last-middle
		if i%2 == 0 { // on this side of the rod's normal the angles run the other way
			before, after = after, before
		}
		list = append(list, [2]float64{(at - before) * 180 / math.Pi, (at + after) * 180 / math.Pi})
	}
	return list
}

// skirt is rolled from sheet, with six long holes for the rods, a hem above and
// a plain edge below.
func (m *maker) skirt() {
	s := m.s
	p := m.plateFor(s.SkirtMetal, s.Brief.Choices.Skirt)
	fold := foldOf(s.SkirtMetal)
	r := rolled{cylinder: m.skirtCylinder(), seam: flat.SeamFor(toMM(s.SkirtSeam), fold > 0), height: toMM(s.SkirtHeight), top: m.skirtHem()}
	r.panels = r.panelsFor(p)
	turn := m.seamTurn(r)
	if m.seamRoom(r, turn) < 0 {
		m.refuse("skirt.seam", message.T("kit.no-room-seam", "seam", tape(r.seam.Allowance)))
	}
	m.rivets += r.panels * r.seamRivets()
	patterns := make([]Pattern, r.panels)
	for i := range patterns {
		patterns[i] = m.skirtPanel(r, i, turn)
	}
	if r.panels > 1 {
		m.remark("panels", "part", message.T("kit.part.skirt"), "n", r.panels)
	}
	m.sheetPart(Part{ID: "skirt", Figure: "skirt", Name: message.T("kit.part.skirt"), Count: 1, Because: s.Dimension("skirt.gap").Because,
		Sizes: []Measure{measure("inside", quantity.MM1(s.SkirtInner)), measure("height", quantity.MM(s.SkirtHeight)), measure("thickness", thickness(s.SkirtMetal))}},
		p, patterns...)
	m.clips(p)
}

// seamTurn is the angle, in degrees, that the first panel's middle is turned
// from the mouth so that no hole falls in a seam: the smallest turn that
// clears them, or the clearest there is.
func (m *maker) seamTurn(r rolled) float64 {
	pitch := 360 / float64(r.panels)
	best, most := 0.0, math.Inf(-1)
	for i := 0; float64(i)*seamDegree <= pitch/2; i++ {
		for _, turn := range []float64{float64(i) * seamDegree, -float64(i) * seamDegree} {
			room := m.seamRoom(r, turn)
			if room >= seamClear {
				return turn
			}
			if room > most {
				best, most = turn, room
			}
		}
	}
	return best
}

// seamRoom is the least distance on the flat, mm, between a rod hole or a clip
// and the sheet that a seam takes; less than 0 where they meet.
func (m *maker) seamRoom(r rolled, turn float64) float64 {
	room := math.Inf(1)
	pitch := 360 / float64(r.panels)
	holes := m.slotAngles()
	for _, a := range m.clipAngles() {
		half := clipWidth / r.cylinder.Neutral() * 180 / math.Pi
		holes = append(holes, [2]float64{a - half, a + half})
	}
	for _, h := range holes {
		for i := range r.panels {
			seam := turn + pitch*(float64(i)+0.5)
			apart := math.Abs(math.Remainder((h[0]+h[1])/2-seam, 360)) - (h[1]-h[0])/2
			room = math.Min(room, r.cylinder.Along(apart*math.Pi/180)-r.seam.Allowance/2)
		}
	}
	return room
}

// skirtPanel is one panel's pattern, its middle turned from the mouth.
func (m *maker) skirtPanel(r rolled, panel int, turn float64) Pattern {
	f := r.blank()
	w, h, level := r.width(), r.blankHeight(), m.rodLevel()
	place := func(degrees float64) float64 { return r.along(panel, (degrees-turn)*math.Pi/180) }
	var centres []drawing.Point
	half := m.rodHole() / 2
	for _, a := range m.slotAngles() {
		x1, x2 := place(a[0]), place(a[1])
		if x1 < 0 || x2 > w || x2 < x1 {
			continue
		}
		f.Holes = append(f.Holes, slot(message.T("kit.hole.rod"), drawing.Pt(x1+half, level), drawing.Pt(x2-half, level), 2*half))
		centres = append(centres, drawing.Pt((x1+x2)/2, level))
	}
	for _, a := range m.clipAngles() {
		if x := place(a); x > 0 && x < w {
			f.Holes = append(f.Holes, drilled(message.T("kit.hole.clip"), drawing.Pt(x, m.clipRise()), rivetHole))
		}
	}
	if x := place(0); x > 0 && x < w {
		f.Marks = append(f.Marks, line(message.T("kit.mark.front"), x, 0, x, h-r.top))
	}
	f.Sizes = m.skirtSizes(r, centres)
	p := Pattern{ID: "skirt.blank", Name: message.T("kit.pattern.skirt"), Count: 1, Datum: message.T("kit.datum.corner"),
		Notes: []message.Text{message.T("kit.note.outside-up"), r.seamNote(), message.T("kit.note.rod-slots", "rod", quantity.MM1(m.s.RodDiameter))}}
	if r.panels > 1 {
		p.ID, p.Name = "skirt.panel-"+itoa(panel+1), message.T("kit.pattern.skirt-panel", "n", panel+1, "of", r.panels)
	}
	if r.top > 0 {
		p.Notes = append(p.Notes, message.T("kit.note.skirt-hem", "fold", tape(r.top)))
	}
	p.Notes = append(p.Notes, message.T("kit.note.skirt-check", "inside", quantity.MM1(m.s.SkirtInner), "round", quantity.MM(m.s.SkirtInner*math.Pi)))
	p.Figures = []Figure{f}
	return p
}

func (m *maker) skirtSizes(r rolled, centres []drawing.Point) []Size {
	w, h := r.width(), r.blankHeight()
	sort.Slice(centres, func(i, j int) bool { return centres[i].X < centres[j].X })
	var list []Size
	if len(centres) > 0 {
		chain := []float64{0}
		for _, c := range centres {
			chain = append(chain, c.X)
		}
		list = append(list, onLower(0, append(chain, w)...), onLeft(0, 0, centres[0].Y, h-r.top, h))
	}
	list = append(list, size(drawing.Below, origin, drawing.Pt(w, 0)), size(drawing.Right, drawing.Pt(w, 0), drawing.Pt(w, h)))
	return list
}

// Clips hold the skirt to the top ring: three small angles outside it.

// clipAngles are halfway between the middle of each rod and one of its ends.
func (m *maker) clipAngles() []float64 {
	holes := m.s.RodHoles()
	var list []float64
	for i, rod := range m.s.Rods() {
		half := math.Remainder(rod.Normal-holes[2*i], 2*math.Pi)
		list = append(list, (rod.Normal-half/2)*180/math.Pi)
	}
	return list
}

// clipLegs are the outside legs of a clip: up the skirt, and out on the ring.
func (m *maker) clipLegs() (up, out float64) {
	ledge := m.topEdge() - toMM(m.s.SkirtOuter())/2
	return max(clipLeast, min(clipLeg, m.rodLevel()-m.rodHole()/2-2)), max(clipLeast, min(clipLeg, ledge-1))
}

func (m *maker) clipRise() float64 {
	up, _ := m.clipLegs()
	return up - clipEdge
}

func (m *maker) clipRadius() float64 {
	_, out := m.clipLegs()
	return toMM(m.s.SkirtOuter())/2 + out - clipEdge
}

func (m *maker) clips(p plate) {
	t := toMM(p.thickness)
	up, out := m.clipLegs()
	strip := flat.Develop([]float64{up, out}, []flat.Fold{bend90(t)}, t)
	f := Figure{Outer: flat.Rectangle(0, 0, strip.Length, clipWidth)}
	f.Folds = []Line{line(message.T("kit.fold.up"), strip.Lines[0], 0, strip.Lines[0], clipWidth)}
	for _, x := range []float64{clipEdge, strip.Length - clipEdge} {
		f.Holes = append(f.Holes, drilled(message.T("kit.hole.clip"), drawing.Pt(x, clipWidth/2), rivetHole))
	}
	f.Sizes = []Size{size(drawing.Below, origin, drawing.Pt(strip.Lines[0], 0), drawing.Pt(strip.Length, 0)), size(drawing.Below, origin, drawing.Pt(strip.Length, 0)),
		size(drawing.Right, drawing.Pt(strip.Length, 0), drawing.Pt(strip.Length, clipWidth))}
	m.rivets += 2 * clips
	m.sheetPart(Part{ID: "clips", Figure: "skirt", Name: message.T("kit.part.clips"), Count: clips, Because: message.T("kit.because.clips"),
		Sizes: []Measure{measure("up", quantity.MM(up*mm)), measure("out", quantity.MM(out*mm)), measure("width", quantity.MM(clipWidth*mm)), measure("thickness", thickness(p.thickness))}},
		p, Pattern{ID: "skirt.clip", Name: message.T("kit.pattern.clip"), Count: clips, Datum: message.T("kit.datum.corner"), Figures: []Figure{f},
			Notes: []message.Text{message.T("kit.note.clip")}})
}

// rods are cut to length; they carry the pot.
func (m *maker) rods() {
	s := m.s
	steel, _ := material.Lookup("mild-steel")
	m.part(Part{ID: "rods", Figure: "rods", Name: message.T("kit.part.rods"), Count: len(s.Rods()), Material: "mild-steel", Because: s.Dimension("rest.rod").Because,
		Sizes:    []Measure{measure("diameter", quantity.MM1(s.RodDiameter)), measure("length", quantity.MM(s.RodLength))},
		Mass:     math.Pi / 4 * s.RodDiameter * s.RodDiameter * s.RodLength * steel.Density,
		Patterns: []string{"gauge.rods"}})
	m.cutRod("rods", message.T("kit.part.rods"), len(s.Rods()), s.RodLength)
	// Ends that stand out of the skirt on neighbouring rods must not meet: the
	// chords cross √3 offsets from their middles.
	if free := math.Sqrt(3)*s.RodOffset - s.RodDiameter/math.Sin(math.Pi/3) - s.RodLength/2; free < 0 {
		m.remark("rod-ends", "shorter", quantity.MM(s.RodLength+2*free))
	}
}
