package kit

import (
	"math"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/quantity"
)

// gauges are the card templates that check the stove while it is built.
func (m *maker) gauges() {
	m.rodTemplate()
	m.strickle()
	m.potGap()
	m.skirtGap()
	m.rule()
}

// rodTemplate is the plan of the three rods inside the skirt: a disc with the
// chords, their ends and the triangle they make.
func (m *maker) rodTemplate() {
	s := m.s
	r := toMM(s.SkirtInner)/2 - clearance
	offset := toMM(s.RodOffset)
	f := Figure{Outer: flat.Circle(origin, r)}
	half := math.Sqrt(max(0, r*r-offset*offset))
	for _, rod := range s.Rods() {
		a := rod.Normal * 180 / math.Pi
		foot := drawing.Polar(offset, a)
		along := drawing.Polar(half, a+90)
		f.Marks = append(f.Marks, Line{Name: message.T("kit.mark.rod"), A: foot.Sub(along), B: foot.Add(along)},
			Line{Name: message.T("kit.mark.rod-foot", "offset", tape(offset)), A: origin, B: foot})
	}
	f.Marks = append(f.Marks, line(message.T("kit.mark.axis"), 0, 0, r, 0))
	f.Words = []Word{{Text: message.T("kit.word.front"), At: drawing.Pt(r*0.6, 4)}}
	rods := s.Rods()
	f.Sizes = []Size{across(r)}
	m.pattern(Pattern{ID: "gauge.rods", Name: message.T("kit.pattern.rods"), Use: Card, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.centre"),
		Notes: []message.Text{message.T("kit.note.rod-template", "n", 2*len(rods)), message.T("kit.note.rod-triangle", "side", quantity.MM(2*math.Sqrt(3)*s.RodOffset))}})
}

// Strickle and gauges (common practice), mm.
const (
	strickleCross = 35.0 // height of the bar that rides on the skirt
	strickleHorn  = 18.0 // how far it reaches past the skirt
	sideways      = 1.5  // between the blade and the skirt
	stepWidth     = 40.0 // of the pot-gap gauge
	stepFoot      = 30.0 // its handle above the tallest step
	leastStep     = 3.0  // a lower step would break
	feelerLong    = 55.0 // tongue
	feelerGrip    = 60.0
	feelerWide    = 30.0
	feelerPlay    = 2.0 // less and more than the gap
	ruleLong      = 250.0
	ruleWide      = 25.0
)

// step is a place at which the room between lining and rods is gauged.
type step struct {
	name   string // message "kit.word.step-<name>"
	height float64
}

// steps are the edges of bore, bricks and pot, as far as the lining stays below
// the rods; heights in mm.
func (m *maker) steps() []step {
	s := m.s
	last := s.BorePerimeter() / (2 * math.Pi)
	list := []step{{"bore", m.rodTop() - m.lining(last)}}
	for _, at := range []struct {
		name string
		r    float64
	}{{"block", s.BlockFlats() / 2}, {"pot", s.Pot.Diameter() / 2}} {
		height := m.rodTop() - m.lining(at.r)
		if at.r > last+mm && at.r < s.SkirtInner/2 && height > leastStep {
			list = append(list, step{at.name, height})
			last = at.r
		}
	}
	return list
}

// rodTop is the upper side of the rods above the throat, mm.
func (m *maker) rodTop() float64 {
	return toMM(m.s.TopThickness + m.s.RodHeight + m.s.RodDiameter/2)
}

// lining is the height of the lining above the throat at a radius, mm.
func (m *maker) lining(r float64) float64 {
	h := max(0, m.s.LiningThickness(r))
	if r > m.s.TopHole/2 {
		h = max(h, m.s.TopThickness)
	}
	return toMM(h)
}

// strickle is the board that strikes the lining off: it rides on the upper edge
// of the skirt and is turned around, its lower edge the profile of the lining.
func (m *maker) strickle() {
	s := m.s
	rim := toMM(s.SkirtHeight + s.TopThickness)
	wall, out := toMM(s.SkirtInner)/2-sideways, toMM(s.SkirtOuter())/2+strickleHorn
	var right []drawing.Point // from the middle outward
	for _, r := range s.LiningRadii() {
		right = append(right, drawing.Pt(min(wall, toMM(r)), m.lining(r)))
	}
	var points []drawing.Point
	for i := len(right) - 1; i >= 0; i-- {
		points = append(points, drawing.Pt(-right[i].X, right[i].Y))
	}
	points = append(points, right...)
	points = append(points, drawing.Pt(wall, rim), drawing.Pt(out, rim), drawing.Pt(out, rim+strickleCross), drawing.Pt(-out, rim+strickleCross), drawing.Pt(-out, rim), drawing.Pt(-wall, rim))
	f := Figure{Outer: flat.Polygon(points...)}
	f.Marks = []Line{line(message.T("kit.mark.centre-line"), 0, right[0].Y, 0, rim+strickleCross)}
	if top := toMM(s.SkirtHeight) * 0.55; top > 25 {
		f.Words = []Word{{Text: message.T("kit.word.rides"), At: drawing.Pt(-wall/2, rim+strickleCross/2), Small: true}}
	}
	across := []drawing.Point{origin}
	across = append(across, right...)
	f.Sizes = []Size{size(drawing.Below, across...), size(drawing.Right, drawing.Pt(wall, right[len(right)-1].Y), drawing.Pt(out, rim), drawing.Pt(out, rim+strickleCross)),
		size(drawing.Left, right[0], drawing.Pt(-out, rim)), size(drawing.Above, drawing.Pt(-out, rim+strickleCross), drawing.Pt(out, rim+strickleCross))}
	m.pattern(Pattern{ID: "gauge.lining", Name: message.T("kit.pattern.strickle"), Use: Card, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.strickle"),
		Notes: []message.Text{message.T("kit.note.strickle"), message.T("kit.note.strickle-before")}})
}

// potGap is a stepped gauge for the room between the lining and the top of the
// rods, at the edge of the bore, of the bricks and of the pot.
func (m *maker) potGap() {
	var f Figure
	x, tallest := 0.0, 0.0
	steps := m.steps()
	for _, step := range steps {
		tallest = max(tallest, step.height)
	}
	// The handle is a straight bar along the top; the steps hang from it.
	for i, step := range steps {
		low := tallest - step.height
		f.Outer = append(f.Outer, flat.Corner(x, low), flat.Corner(x+stepWidth, low))
		f.Words = append(f.Words, Word{Text: message.T("kit.word.step-" + step.name), At: drawing.Pt(x+stepWidth/2, tallest+stepFoot*0.68), Small: true},
			Word{Text: message.T("kit.word.step-size", "size", quantity.MM1(step.height*mm)), At: drawing.Pt(x+stepWidth/2, tallest+stepFoot*0.38)})
		f.Sizes = append(f.Sizes, size([]drawing.Side{drawing.Left, drawing.Below, drawing.Right}[stepSide(i, len(steps))], stepPoints(i, len(steps), x, low, tallest)...))
		x += stepWidth
	}
	f.Outer = dropRepeats(append(f.Outer, flat.Corner(x, tallest+stepFoot), flat.Corner(0, tallest+stepFoot)))
	f.Marks = []Line{line(message.T("kit.mark.rod-top"), 0, tallest, x, tallest)}
	m.pattern(Pattern{ID: "gauge.pot-gap", Name: message.T("kit.pattern.pot-gap"), Use: Card, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.corner"),
		Notes: []message.Text{message.T("kit.note.pot-gap")}})
}

// stepSide puts the height of the first step left, of the last right, and the
// width of those between below.
func stepSide(i, n int) int {
	switch i {
	case 0:
		return 0
	case n - 1:
		return 2
	}
	return 1
}

func stepPoints(i, n int, x, low, top float64) []drawing.Point {
	switch i {
	case 0:
		return []drawing.Point{drawing.Pt(x, low), drawing.Pt(x, top)}
	case n - 1:
		return []drawing.Point{drawing.Pt(x+stepWidth, low), drawing.Pt(x+stepWidth, top)}
	}
	return []drawing.Point{drawing.Pt(x, low), drawing.Pt(x+stepWidth, low)}
}

// dropRepeats leaves out corners that lie on the one before, to a hundredth of a
// millimetre.
func dropRepeats(o flat.Outline) flat.Outline {
	out := o[:0:0]
	for i, n := range o {
		if n.Point.Dist(o[(i+len(o)-1)%len(o)].Point) > 0.01 {
			out = append(out, n)
		}
	}
	return out
}

// skirtGap is a strip with two tongues: the narrow one must pass between pot
// and skirt all the way around, the wide one nowhere.
func (m *maker) skirtGap() {
	gap := toMM(m.s.SkirtGap)
	pass, stop := max(1, gap-feelerPlay), gap+feelerPlay
	mid, long := feelerWide/2, 2*feelerLong+feelerGrip
	f := Figure{Outer: flat.Polygon(
		drawing.Pt(0, mid-pass/2), drawing.Pt(feelerLong, mid-pass/2), drawing.Pt(feelerLong, 0), drawing.Pt(feelerLong+feelerGrip, 0),
		drawing.Pt(feelerLong+feelerGrip, mid-stop/2), drawing.Pt(long, mid-stop/2), drawing.Pt(long, mid+stop/2), drawing.Pt(feelerLong+feelerGrip, mid+stop/2),
		drawing.Pt(feelerLong+feelerGrip, feelerWide), drawing.Pt(feelerLong, feelerWide), drawing.Pt(feelerLong, mid+pass/2), drawing.Pt(0, mid+pass/2))}
	f.Words = []Word{{Text: message.T("kit.word.passes"), At: drawing.Pt(feelerLong+feelerGrip*0.26, mid), Small: true},
		{Text: message.T("kit.word.stops"), At: drawing.Pt(feelerLong+feelerGrip*0.74, mid), Small: true}}
	f.Sizes = []Size{{Side: drawing.Left, Points: []drawing.Point{drawing.Pt(0, mid-pass/2), drawing.Pt(0, mid+pass/2)}, Round: 0.1},
		{Side: drawing.Right, Points: []drawing.Point{drawing.Pt(long, mid-stop/2), drawing.Pt(long, mid+stop/2)}, Round: 0.1},
		size(drawing.Below, drawing.Pt(0, mid-pass/2), drawing.Pt(feelerLong, 0), drawing.Pt(feelerLong+feelerGrip, 0), drawing.Pt(long, mid-stop/2))}
	m.pattern(Pattern{ID: "gauge.skirt-gap", Name: message.T("kit.pattern.skirt-gap"), Use: Card, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.corner"),
		Notes: []message.Text{message.T("kit.note.feeler", "gap", quantity.MM1(m.s.SkirtGap), "pass", quantity.MM1(pass*mm), "stop", quantity.MM1(stop*mm))}})
}

// ruleMark names the marks of the paper rule.
const ruleMark = "kit.mark.rule"

// rule is a paper rule with a mark each 100 mm, to check the printer and to
// stand in for a lost one.
func (m *maker) rule() {
	f := Figure{Outer: flat.Rectangle(0, 0, ruleLong, ruleWide)}
	for x := 5.0; x < ruleLong; x += 5 {
		up := 4.0
		if math.Mod(x, 10) == 0 {
			up = 7
		}
		if math.Mod(x, 50) == 0 {
			up = 11
		}
		f.Marks = append(f.Marks, line(message.T(ruleMark), x, 0, x, up))
		if math.Mod(x, 50) == 0 {
			f.Words = append(f.Words, Word{Text: message.T("kit.word.label", "label", itoa(int(x))), At: drawing.Pt(x, 14), Small: math.Mod(x, 100) != 0})
		}
	}
	f.Sizes = []Size{size(drawing.Above, drawing.Pt(0, ruleWide), drawing.Pt(100, ruleWide), drawing.Pt(200, ruleWide))}
	m.pattern(Pattern{ID: "gauge.rule", Name: message.T("kit.pattern.rule"), Use: Card, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.corner"),
		Notes: []message.Text{message.T("kit.note.rule")}})
}
