package kit

import (
	"math"
	"sort"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// leastEdge is the smallest height or edge worth moulding, m; less becomes slip
// or fill (common practice, as in package stove).
const leastEdge = 0.02

// denseBrick is the material of the brick that the sticks knock against, and of
// the floor that takes the rake.
const denseBrick = "dense-brick"

// shape is a fired piece of the chamber, alike in all its places: a prism with
// its plan in mm, x along the wall from the middle of its ring brick, y outward
// from the bore.
type shape struct {
	id     string
	kind   stove.PieceKind
	name   message.Text
	plan   flat.Outline
	height float64 // m
	dense  bool
	count  int
	course int // first course it lies in, from 0
	mirror bool
}

func (s *shape) volume() float64 { return s.plan.Area() * 1e-6 * s.height }

// shapes collects the pieces of all courses by shape. Two pieces are alike when
// one fits the other's place, turned over if need be.
func (m *maker) shapes() []shape {
	if m.s.Liner {
		return nil // nothing is moulded for the chamber
	}
	var list []shape
	for course := range m.s.Courses {
		for _, p := range m.s.Course(course) {
			if p.Top-p.Bottom < leastEdge {
				continue
			}
			n := m.shapeOf(p, course)
			found := false
			for i := range list {
				if list[i].alike(&n) {
					list[i].count++
					found = true
					list[i].mirror = list[i].mirror || !sameWay(list[i].plan, n.plan)
				}
			}
			if !found {
				list = append(list, n)
			}
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].kind == stove.WholeBrick && list[j].kind != stove.WholeBrick })
	number := map[stove.PieceKind]int{}
	several := map[stove.PieceKind]int{}
	for _, s := range list {
		several[s.kind]++
	}
	for i := range list {
		s := &list[i]
		number[s.kind]++
		s.id, s.name = "brick."+string(s.kind), message.T("kit.part.brick-"+string(s.kind))
		if s.kind == stove.WholeBrick {
			s.id = "brick.ring"
		}
		if several[s.kind] > 1 {
			s.id += "-" + itoa(number[s.kind])
			s.name = message.T("kit.part.numbered", "part", s.name, "n", number[s.kind])
		}
	}
	return list
}

// shapeOf turns a piece of a course into its own frame.
func (m *maker) shapeOf(p stove.Piece, course int) shape {
	turn := 90 - 360*float64(p.Face)/float64(m.s.Sides)
	plan := make(flat.Outline, len(p.Plan))
	for i, q := range p.Plan {
		plan[i].Point = drawing.Pt(toMM(q.X), toMM(q.Y)).Rotate(origin, turn).Sub(drawing.Pt(0, toMM(m.s.Flats/2)))
	}
	n := shape{kind: p.Kind, plan: dropRepeats(plan), height: p.Top - p.Bottom, dense: p.Kind == stove.BackBrick, count: 1, course: course}
	return n
}

// alike reports whether two pieces have the same kind, height and plan.
func (s *shape) alike(o *shape) bool {
	return s.kind == o.kind && math.Abs(s.height-o.height) < sameSize*mm && congruent(s.plan, o.plan)
}

// sameSize is how far two edges may differ, mm, and still come from one mould.
const sameSize = 0.2

// congruent reports whether one polygon can be laid on another, turned over if
// need be: the edges and the diagonals over one corner agree all around.
func congruent(a, b flat.Outline) bool {
	n := len(a)
	if n != len(b) {
		return false
	}
	for _, dir := range []int{1, n - 1} {
		for start := range n {
			same := true
			for i := range n {
				p, q, r := a[i], a[(i+1)%n], a[(i+2)%n]
				u, v, w := b[(start+i*dir)%n], b[(start+(i+1)*dir)%n], b[(start+(i+2)*dir)%n]
				same = same && math.Abs(p.Point.Dist(q.Point)-u.Point.Dist(v.Point)) < sameSize && math.Abs(p.Point.Dist(r.Point)-u.Point.Dist(w.Point)) < sameSize
			}
			if same {
				return true
			}
		}
	}
	return false
}

// sameWay reports whether two congruent plans lie alike without turning over.
func sameWay(a, b flat.Outline) bool {
	if len(a) != len(b) {
		return false
	}
	for start := range b {
		all := true
		for i := range a {
			all = all && a[i].Point.Dist(b[(start+i)%len(b)].Point) < 0.1
		}
		if all {
			return true
		}
	}
	return false
}

// bricks are the ring bricks and what is cut from them.
func (m *maker) bricks() {
	if m.s.Liner {
		m.liner()
		return
	}
	for _, b := range m.shapes() {
		kind, density := m.s.Brief.Brick.Material, m.s.BrickDensity()
		if b.dense {
			kind, density = denseBrick, m.denseDensity()
		}
		m.part(Part{ID: b.id, Figure: figureOf(b), Name: b.name, Count: b.count, Material: kind, Sizes: m.brickSizes(b),
			Mass: b.volume() * density, Volume: b.volume(), Because: message.T("kit.because.brick-" + string(b.kind)), Patterns: []string{b.id}})
		m.pattern(m.brickPattern(b))
	}
}

// denseDensity is that of the dense brick, or of the brief's where that is
// denser still, kg/m³.
func (m *maker) denseDensity() float64 {
	dense, _ := material.Lookup(denseBrick)
	return max(m.s.BrickDensity(), dense.Density)
}

// liner is the liner at hand, with the mouth to be cut out of it.
func (m *maker) liner() {
	s := m.s
	block, bore := m.planArea()
	volume := (block - bore) * s.BrickHeight
	fired, _ := material.Lookup(s.LiningMaterial())
	m.part(Part{ID: "liner", Name: message.T("kit.part.liner"), Count: s.Courses, Material: s.LiningMaterial(), Mass: volume * fired.Density, Volume: volume,
		Sizes:   []Measure{measure("bore", quantity.MM(s.ChamberWidth)), measure("thickness", quantity.MM(s.BrickThickness)), measure("height", quantity.MM(s.BrickHeight))},
		Because: message.T("kit.because.liner")})
	m.remark("liner", "width", quantity.MM(s.MouthWidth), "height", quantity.MM(s.MouthHeight))
}

func figureOf(b shape) string {
	if b.dense {
		return "back"
	}
	return "brick"
}

func (m *maker) brickSizes(b shape) []Measure {
	bounds := b.plan.Bounds()
	list := []Measure{measure("length", quantity.MM(bounds.W()*mm)), measure("thickness", quantity.MM(bounds.H()*mm)), measure("height", quantity.MM(b.height))}
	if b.kind == stove.WholeBrick {
		ring := m.s.Brick()
		list = []Measure{measure("outer-length", quantity.MM1(ring.Outer)), measure("inner-length", quantity.MM1(ring.Inner)),
			measure("thickness", quantity.MM(ring.Thickness)), measure("height", quantity.MM(ring.Height)), measure("mitre", quantity.Deg(ring.Mitre))}
	}
	return list
}

// brickPattern shows a fired brick from above and from the side, to lay the
// brick on.
func (m *maker) brickPattern(b shape) Pattern {
	plan := Figure{Name: message.T("kit.figure.plan"), Outer: b.plan}
	bounds := b.plan.Bounds()
	plan.Sizes = append(plan.Sizes, edgeSizes(b.plan)...)
	const apart = 45.0
	y := bounds.Min.Y - apart - toMM(b.height)
	side := Figure{Name: message.T("kit.figure.side"), Outer: flat.Rectangle(bounds.Min.X, y, bounds.W(), toMM(b.height))}
	side.Sizes = []Size{size(drawing.Below, drawing.Pt(bounds.Min.X, y), drawing.Pt(bounds.Max.X, y)),
		size(drawing.Right, drawing.Pt(bounds.Max.X, y), drawing.Pt(bounds.Max.X, y+toMM(b.height)))}
	p := Pattern{ID: b.id, Name: message.T("kit.pattern.brick", "part", b.name), Use: Card, Count: b.count, Figures: []Figure{plan, side},
		Datum: message.T("kit.datum.brick"), Notes: []message.Text{message.T("kit.note.fired-size")}}
	if b.kind != stove.WholeBrick {
		p.Notes = append(p.Notes, message.T("kit.note.divider"))
	}
	if b.mirror {
		p.Notes = append(p.Notes, message.T("kit.note.mirror"))
	}
	if b.dense {
		p.Notes = append(p.Notes, message.T("kit.note.dense"))
	}
	return p
}

// edgeSizes dimensions a plan: the widths of its lowest and highest edges and
// its depth.
func edgeSizes(o flat.Outline) []Size {
	b := o.Bounds()
	edge := func(y float64) (from, to drawing.Point, ok bool) {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, n := range o {
			if math.Abs(n.Y-y) < 0.05 {
				lo, hi = min(lo, n.X), max(hi, n.X)
			}
		}
		return drawing.Pt(lo, y), drawing.Pt(hi, y), hi-lo > 1
	}
	var list []Size
	if p, q, ok := edge(b.Min.Y); ok && q.X-p.X < b.W()-0.5 {
		list = append(list, size(drawing.Below, p, q))
	}
	if p, q, ok := edge(b.Max.Y); ok && q.X-p.X < b.W()-0.5 {
		list = append(list, size(drawing.Above, p, q))
	}
	return append(list, size(drawing.Above, drawing.Pt(b.Min.X, b.Max.Y), b.Max), size(drawing.Right, drawing.Pt(b.Max.X, b.Min.Y), b.Max))
}

// Floor tiles (common practice): larger ones warp in drying.
const (
	tileWide = 0.13 // m, across the strips
	tileLong = 0.25 // m, along a strip
)

// tile is one shape of floor tile in plan, mm, in the frame of the stove.
type tile struct {
	plan  flat.Outline
	count int
}

// tiles cuts the block's outline into strips across the mouth axis, and long
// strips into equal pieces, half a joint taken off each side of a cut.
func (m *maker) tiles() []tile {
	s := m.s
	var block []drawing.Point
	for _, p := range s.Floor() {
		block = append(block, drawing.Pt(toMM(p.X), toMM(p.Y)))
	}
	b := flat.Polygon(block...).Bounds()
	joint := toMM(s.Joint) / 2
	strips := pieces(b.W()*mm, tileWide)
	var list []tile
	for i := range strips {
		x1, x2 := cutPlaces(b.Min.X, b.W(), strips, i, joint)
		strip := clipTo(clipTo(block, drawing.Pt(x1, 0), drawing.Pt(1, 0)), drawing.Pt(x2, 0), drawing.Pt(-1, 0))
		sb := flat.Polygon(strip...).Bounds()
		rows := pieces(sb.H()*mm, tileLong)
		for j := range rows {
			y1, y2 := cutPlaces(sb.Min.Y, sb.H(), rows, j, joint)
			plan := clipTo(clipTo(strip, drawing.Pt(0, y1), drawing.Pt(0, 1)), drawing.Pt(0, y2), drawing.Pt(0, -1))
			list = addTile(list, dropRepeats(flat.Polygon(plan...)))
		}
	}
	return list
}

func addTile(list []tile, plan flat.Outline) []tile {
	for i := range list {
		if congruent(list[i].plan, plan) {
			list[i].count++
			return list
		}
	}
	return append(list, tile{plan, 1})
}

// pieces is how many equal parts no longer than the most a length makes.
func pieces(length, most float64) int { return max(1, int(math.Ceil(length/most-1e-9))) }

// cutPlaces is where part i of n begins and ends, a gap taken off at each cut.
func cutPlaces(from, length float64, n, i int, gap float64) (a, b float64) {
	a, b = from+length*float64(i)/float64(n), from+length*float64(i+1)/float64(n)
	if i > 0 {
		a += gap
	}
	if i < n-1 {
		b -= gap
	}
	return a, b
}

// clipTo keeps the part of a convex polygon on the inner side of a line through
// a point (Sutherland and Hodgman, one plane).
func clipTo(points []drawing.Point, at, inward drawing.Point) []drawing.Point {
	depth := func(p drawing.Point) float64 { d := p.Sub(at); return d.X*inward.X + d.Y*inward.Y }
	var out []drawing.Point
	for i, a := range points {
		b := points[(i+1)%len(points)]
		da, db := depth(a), depth(b)
		if da >= 0 {
			out = append(out, a)
		}
		if (da > 0 && db < 0) || (da < 0 && db > 0) {
			out = append(out, a.Lerp(b, da/(da-db)))
		}
	}
	return out
}

// floor is the tiles under the chamber, of dense brick.
func (m *maker) floor() {
	s := m.s
	tiles := m.tiles()
	for i, t := range tiles {
		id, name := "floor.tile", message.T("kit.part.floor")
		if len(tiles) > 1 {
			id, name = id+"-"+itoa(i+1), message.T("kit.part.numbered", "part", name, "n", i+1)
		}
		b := t.plan.Bounds()
		volume := t.plan.Area() * 1e-6 * s.FloorThickness
		m.part(Part{ID: id, Figure: "floor", Name: name, Count: t.count, Material: denseBrick, Mass: volume * m.denseDensity(), Volume: volume,
			Sizes:   []Measure{measure("length", quantity.MM(max(b.W(), b.H())*mm)), measure("width", quantity.MM(min(b.W(), b.H())*mm)), measure("thickness", quantity.MM(s.FloorThickness))},
			Because: message.T("kit.because.floor", "strips", len(tiles)), Patterns: []string{id}})
		f := Figure{Outer: t.plan.Shifted(drawing.Pt(0, 0).Sub(b.Min)), Name: message.T("kit.figure.plan")}
		f.Sizes = edgeSizes(f.Outer)
		m.pattern(Pattern{ID: id, Name: message.T("kit.pattern.brick", "part", name), Use: Card, Count: t.count, Figures: []Figure{f},
			Datum: message.T("kit.datum.corner"), Notes: []message.Text{message.T("kit.note.fired-size"), message.T("kit.note.dense"), message.T("kit.note.floor", "thickness", quantity.MM(s.FloorThickness))}})
	}
}

// bearingLeast is the support that a brick over the mouth wants on each side
// without help, m (common practice).
const bearingLeast = 0.015

// lintel looks at what carries the brick over the mouth. It bears on the cheeks
// left and right of the mouth; where these are too narrow to be made, a bar
// carries it.
func (m *maker) lintel() {
	s := m.s
	if s.Liner {
		return // a liner carries itself over its mouth
	}
	bearing := m.bearing()
	if bearing >= bearingLeast {
		m.remark("lintel", "bearing", quantity.MM(bearing))
		return
	}
	steel, _ := material.Lookup("mild-steel")
	length := s.MouthWidth + 2*0.04
	m.part(Part{ID: "lintel", Name: message.T("kit.part.lintel-bar"), Count: 1, Material: "mild-steel", Because: message.T("kit.because.lintel", "bearing", quantity.MM(max(0, bearing))),
		Sizes: []Measure{measure("length", quantity.MM(length)), measure("bar", quantity.MM(barWidth*mm)), measure("thickness", quantity.MM(barThickness*mm))},
		Mass:  length * barWidth * barThickness * 1e-6 * steel.Density})
	m.bar += length
	m.cutBar("lintel", message.T("kit.part.lintel-bar"), 1, length)
	m.remark("lintel-bar", "bearing", quantity.MM(max(0, bearing)))
}

// bearing is how far the front brick over the mouth reaches onto a cheek beside
// it, m; 0 where there is no cheek to reach.
func (m *maker) bearing() float64 {
	cheek, brick := 0.0, 0.0
	for course := range m.s.Courses {
		for _, p := range m.s.Course(course) {
			if p.Face != 0 {
				continue
			}
			reach := 0.0
			for _, q := range p.Plan {
				reach = max(reach, q.Y)
			}
			switch {
			case p.Kind == stove.Cheek && p.Top-p.Bottom >= leastEdge:
				cheek = max(cheek, reach)
			case p.Bottom >= m.s.MouthHeight-m.s.Joint && brick == 0:
				brick = reach
			}
		}
	}
	return min(cheek, brick) - m.s.MouthWidth/2
}
