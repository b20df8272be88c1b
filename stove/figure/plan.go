package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// Plans draws the floor and each course of brick from above, the fuel mouth on
// the right.
func Plans(s *stove.Stove, c *message.Catalogue, o Options) *drawing.Sheet {
	f := newFigure(s, c, o)
	f.open(f.o.Paper, "plans")
	groups := alike(s)
	cells := len(groups) + 1
	columns := 2
	if cells > 6 {
		columns = 3
	}
	rows := (cells + columns - 1) / columns
	width := s.BodyOuter()
	boxW := (f.o.Paper.Width-38)/float64(columns) - planSide
	boxH := (f.o.Paper.Height-20-titleHeight)/float64(rows) - planRows
	scale := drawing.FitScale(width*mm, s.BodyOuter()*mm, boxW, boxH)
	f.furnish("2", scale)
	cellW, cellH := f.room.W()/float64(columns), f.room.H()/float64(rows)
	for i := range cells {
		col, row := i%columns, i/columns
		cell := drawing.R(f.room.Min.X+float64(col)*cellW, f.room.Max.Y-float64(row+1)*cellH, cellW, cellH)
		if i == 0 {
			f.plan(cell, scale, -1, c.S("figure.plan.floor"))
			continue
		}
		f.plan(cell, scale, groups[i-1].first, groups[i-1].name(c))
	}
	return f.sheet
}

// courses are neighbouring courses that are built alike, counted from 0.
type courses struct{ first, last int }

func (g courses) name(c *message.Catalogue) string {
	if g.first == g.last {
		return c.S("figure.plan.course", "course", g.first+1)
	}
	return c.S("figure.plan.courses", "first", g.first+1, "last", g.last+1)
}

// alike gathers the courses of a stove, so that each kind is drawn once.
func alike(s *stove.Stove) []courses {
	var list []courses
	for i := range s.Courses {
		if n := len(list); n > 0 && sameCourse(s.Course(list[n-1].first), s.Course(i)) {
			list[n-1].last = i
			continue
		}
		list = append(list, courses{i, i})
	}
	return list
}

func sameCourse(a, b []stove.Piece) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Kind != b[i].Kind || math.Abs((a[i].Top-a[i].Bottom)-(b[i].Top-b[i].Bottom)) > 1e-4 {
			return false
		}
	}
	return true
}

// Room on paper beside and around a plan for its dimensions and its name.
const (
	planSide = 15.0
	planRows = 34.0
)

// plan draws one course in a cell of the sheet, with its name below; course -1
// is the floor.
func (f *figure) plan(cell drawing.Rect, scale drawing.Scale, course int, name string) {
	s := f.s
	centre := drawing.Pt(cell.Centre().X-planSide*0.4, cell.Centre().Y+3)
	v := f.sheet.NewView(centre, scale)
	in, out := s.BodyInner/2*mm, s.BodyOuter()/2*mm
	f.planFill(v, course)
	var pieces []stove.Piece
	if course < 0 {
		v.Section(drawing.Ceramic, outline(s.Floor()))
	} else {
		pieces = s.Course(course)
	}
	for _, p := range pieces {
		shape := outline(p.Plan)
		if p.Hole != nil {
			shape.Append(outline(p.Hole))
		}
		v.Fill(drawing.White, shape)
		if p.Kind == stove.BackBrick || (p.Kind == stove.MakeUp) {
			v.Section(drawing.DenseBrick, shape)
		} else {
			v.HatchVariant(drawing.Brick, p.Face%2, shape)
			v.Stroke(drawing.Outline, shape)
		}
	}
	if least := 0.5 / scale.Factor(); out-in < least {
		out = in + least
	}
	v.Shape(drawing.Black, nil, drawing.Circle(drawing.Pt(0, 0), out).Append(drawing.Circle(drawing.Pt(0, 0), in)))
	f.planMouth(v, course)
	v.CentreMark(drawing.Pt(0, 0), out)
	f.planDimensions(v, course, course == alike(s)[len(alike(s))-1].first)
	f.sheet.Write(drawing.Pt(centre.X, cell.Min.Y+3), name, drawing.TextStyle{Align: drawing.AlignCentre, Face: drawing.Bold})
}

// planFill hatches the fill around the bricks; the tunnel of the mouth is cut
// out of it.
func (f *figure) planFill(v *drawing.View, course int) {
	s := f.s
	ring := drawing.Circle(drawing.Pt(0, 0), s.BodyInner/2*mm).Append(outline(s.Block()))
	if !f.mouthIn(course) {
		v.Hatch(drawing.Insulation, ring)
		return
	}
	r, w, block := s.BodyInner/2, s.MouthWidth/2, s.BlockFlats()/2
	a := math.Asin(w / r)
	deg := 180 / math.Pi
	tunnel := drawing.Polyline(pt(block, -w), pt(r*math.Cos(a), -w)).ArcTo(pt(0, 0), 2*a*deg).LineTo(block*mm, w*mm).Close()
	v.Hatch(drawing.Insulation, ring.Append(tunnel))
}

func (f *figure) mouthIn(course int) bool {
	pitch := f.s.BrickHeight + f.s.Joint
	return course >= 0 && float64(course)*pitch < f.s.MouthHeight-f.s.Joint
}

// planMouth draws the sleeve of the mouth, the opening in the body and the
// shelf in the course that they run through.
func (f *figure) planMouth(v *drawing.View, course int) {
	if !f.mouthIn(course) {
		return
	}
	s := f.s
	w := s.MouthWidth / 2
	start, end := s.BlockFlats()/2-s.BrickThickness*0.3, s.BodyOuter()/2+s.Lip
	if s.Liner {
		v.Fill(drawing.White, rect(s.Flats/2*0.9, -w, s.BlockCorner(), w))
	}
	opening := math.Sqrt(math.Pow(s.BodyInner/2, 2) - w*w)
	v.Fill(drawing.White, rect(opening, -w, s.BodyOuter()/2+0.002, w))
	v.Stroke(drawing.Outline, drawing.Line(pt(start, w), pt(end, w)), drawing.Line(pt(start, -w), pt(end, -w)))
	if course > 0 {
		return
	}
	inner, shelf := s.Flats/2-s.ShelfReach, w-0.002
	v.Shape(drawing.White, drawing.Thin, rect(inner, -shelf, end, shelf))
	const bars = 5
	for i := range bars { // the slots of the grate
		x := inner + (float64(i)+0.5)*s.GrateLength/bars
		slot := min(0.008, s.GrateLength/bars*0.45)
		v.Stroke(drawing.Thin, rect(x-slot/2, -shelf*0.8, x+slot/2, shelf*0.8))
	}
}

// planDimensions gives each course the dimensions that are new in it.
func (f *figure) planDimensions(v *drawing.View, course int, last bool) {
	s := f.s
	out, block, bore := s.BodyOuter()/2, s.BlockFlats()/2, s.Flats/2
	d := v.Dimensions(drawing.R(-out*mm, -out*mm, 2*out*mm, 2*out*mm))
	switch {
	case course < 0:
		d.Add(drawing.Below, pt(-block, -block), pt(block, -block), f.free("figure.dim.block", s.BlockFlats()))
	case course == 0:
		end := out + s.Lip
		d.Add(drawing.Right, pt(end, -s.MouthWidth/2), pt(end, s.MouthWidth/2), f.dim("mouth.width"))
		d.Add(drawing.Below, pt(-out, 0), pt(out, 0), f.diameter("body.inner"))
	case last:
		id := "chamber.width"
		if !s.Square && !s.Liner {
			id = "chamber.flats"
		}
		d.Chain(drawing.Below, []drawing.Point{pt(-block, 0), pt(-bore, 0), pt(bore, 0), pt(block, 0)},
			f.dim("brick.thickness"), f.dim(id), f.dim("brick.thickness"))
		if s.Liner {
			return
		}
		b := s.Brick()
		d.Add(drawing.Right, pt(block, -b.Outer/2), pt(block, b.Outer/2), f.dim("brick.outer_side"))
	}
}
