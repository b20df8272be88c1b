package kit

import (
	"fmt"
	"math"

	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/drawing/mesh"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Moulds (common practice).
const (
	boardThickness   = 20.0                // mm
	boardOverhang    = 20.0                // mm, past the corner, to clamp or nail
	dividerThickness = 10.0                // mm
	mouldRadius      = 4.0                 // mm, of inside corners: sharp ones start cracks
	mouldDraft       = 0.5 * math.Pi / 180 // so that the brick slides out; true at half height
	mouldWall        = 12.0                // mm, of a printed or milled mould
	insertPlay       = 0.5                 // mm around a loose block
	gaugeShare       = 0.01                // accepted on an edge, ±
	gaugeLeast       = 1 * mm              // and at least
	arcTolerance     = 0.02                // mm, of rounded corners in solids
	baseMargin       = 15.0                // mm of base board around the frame
	plateGap         = 12.0                // mm between solids on the build plate
)

// Mould is a frame on a base board, filled, struck off level and turned out. Its
// cavity is the brick's fired size grown by the shrinkage of each axis.
type Mould struct {
	ID       string
	Name     message.Text
	Makes    []string // ids of the parts moulded in it
	Fired    brick.Size
	Cavity   brick.Cavity
	Measured bool         // the shrinkage comes from the brief; otherwise it is a default
	Plan     flat.Outline // inside at half height, mm, corners not yet rounded
	Depth    float64      // mm
	Draft    float64      // rad
	Radius   float64      // mm, of the inside corners
	Boards   []Board
	Inserts  []Insert
	Gauges   []Gauge
	Solids   []mesh.Object // the frame and its inserts, in mm, side by side
}

// Board is one board of a mould. Bevels are the angles of its ends from square.
type Board struct {
	Label      string  // letter on the plan
	Length     float64 // mm, over all
	Height     float64
	Thickness  float64
	Bevel, End float64      // rad, at its start and end
	Plan       flat.Outline // on the plan of the mould
}

// Insert makes a cut piece in the mould of a whole one: a divider across it, or
// a block under it that makes it lower.
type Insert struct {
	Part    string // id of the part it makes
	Name    message.Text
	Divider bool
	A, B    drawing.Point // the face of the divider toward the piece, on the plan
	Height  float64       // mm; of a block, what it takes off the depth
}

// Gauge is the pair of limits for one edge of the brick at each stage: the edge
// must enter Go and must not enter NoGo, m.
type Gauge struct {
	Axis            brick.Axis
	Size            float64 // m, fired
	Tolerance       float64 // m, ±, fired
	Wet, Dry, Fired brick.Gauge
}

// moulds sizes the mould of the ring brick, with inserts for all that is cut
// from it, and those of the floor tiles.
func (m *maker) moulds() error {
	shapes := m.shapes()
	whole := -1
	for i, b := range shapes {
		if b.kind == stove.WholeBrick {
			whole = i
			break
		}
	}
	if whole >= 0 {
		if err := m.ringMould(shapes, shapes[whole]); err != nil {
			return err
		}
	}
	tiles := m.tiles()
	for i, t := range tiles {
		id, part := "mould.floor", "floor.tile"
		if len(tiles) > 1 {
			id, part = id+"-"+itoa(i+1), part+"-"+itoa(i+1)
		}
		b := t.plan.Bounds()
		mould, err := m.mould(id, message.T("kit.mould.floor", "part", m.k.Part(part).Name), t.plan.Shifted(drawing.Pt(-b.Centre().X, -b.Min.Y)), m.s.FloorThickness)
		if err != nil {
			return err
		}
		mould.Makes = []string{part}
		if err := m.finish(mould); err != nil {
			return err
		}
	}
	return nil
}

func (m *maker) ringMould(shapes []shape, whole shape) error {
	mould, err := m.mould("mould.ring", message.T("kit.mould.ring"), whole.plan, whole.height)
	if err != nil {
		return err
	}
	for _, b := range shapes {
		mould.Makes = append(mould.Makes, b.id)
		mould.Inserts = append(mould.Inserts, m.inserts(mould, whole, b)...)
	}
	return m.finish(mould)
}

// mould is the frame for a prism of a plan, mm, and a height, m.
func (m *maker) mould(id string, name message.Text, plan flat.Outline, height float64) (*Mould, error) {
	shrink, measured := m.s.BrickShrinkage()
	b := plan.Bounds()
	d := &Mould{ID: id, Name: name, Measured: measured, Draft: mouldDraft, Fired: brick.Size{b.W() * mm, b.H() * mm, height}}
	var err error
	if d.Cavity, err = brick.CavityFor(d.Fired, shrink, brick.Size{}); err != nil {
		return nil, err
	}
	d.Plan = grown(plan, d.Cavity, d.Fired)
	d.Depth = toMM(d.Cavity.Size[brick.Height])
	d.boards()
	for _, a := range brick.Axes {
		g := Gauge{Axis: a, Size: d.Fired[a], Tolerance: max(gaugeLeast, gaugeShare*d.Fired[a])}
		g.Wet, g.Dry, g.Fired = brick.Gauges(g.Size, g.Tolerance, shrink[a])
		d.Gauges = append(d.Gauges, g)
	}
	return d, nil
}

// grown scales a fired plan to the cavity, each axis by its own shrinkage.
func grown(plan flat.Outline, c brick.Cavity, fired brick.Size) flat.Outline {
	kx, ky := c.Size[brick.Length]/fired[brick.Length], c.Size[brick.Width]/fired[brick.Width]
	wet := make(flat.Outline, len(plan))
	for i, n := range plan {
		wet[i].Point = drawing.Pt(n.X*kx, n.Y*ky)
	}
	if wet.SignedArea() < 0 {
		for i, j := 0, len(wet)-1; i < j; i, j = i+1, j-1 {
			wet[i], wet[j] = wet[j], wet[i]
		}
	}
	return wet
}

// boards frames the cavity: each board begins against the face of the one
// before it and runs past the next corner, so that all can be nailed and none
// must be cut to an exact length.
func (d *Mould) boards() {
	n := len(d.Plan)
	direction := func(i int) drawing.Point {
		v := d.Plan[(i+1)%n].Point.Sub(d.Plan[i%n].Point)
		return v.Mul(1 / v.Len())
	}
	for i, corner := range d.Plan {
		before, along, after := direction(i+n-1), direction(i), direction(i+1)
		edge := d.Plan[(i+1)%n].Point.Dist(corner.Point)
		start := corner.Point.Add(before.Mul(boardThickness / sine(before, along)))
		end := d.Plan[(i+1)%n].Point.Add(along.Mul(boardThickness/sine(along, after) + boardOverhang))
		outward := drawing.Pt(along.Y, -along.X).Mul(boardThickness)
		turn := turnOf(before, along)
		overlap := max(0, start.Sub(corner.Point).X*-along.X+start.Sub(corner.Point).Y*-along.Y)
		d.Boards = append(d.Boards, Board{Label: string(rune('A' + i%26)), Length: overlap + edge + end.Dist(d.Plan[(i+1)%n].Point),
			Height: d.Depth, Thickness: boardThickness, Bevel: turn - math.Pi/2,
			Plan: flat.Polygon(corner.Point, end, end.Add(outward), start)})
	}
}

// sine is the sine of the turn from one direction to the next.
func sine(a, b drawing.Point) float64 { return a.X*b.Y - a.Y*b.X }

func turnOf(a, b drawing.Point) float64 { return math.Atan2(sine(a, b), a.X*b.X+a.Y*b.Y) }

// inserts are the divider and the block that make a cut piece in the mould of
// the whole one.
func (m *maker) inserts(d *Mould, whole, b shape) []Insert {
	var list []Insert
	if b.kind == stove.WholeBrick {
		return nil
	}
	wet := grown(b.plan, d.Cavity, d.Fired)
	for i, p := range wet {
		q := wet[(i+1)%len(wet)]
		if !onEdge(d.Plan, p.Point.Lerp(q.Point, 0.5)) {
			list = append(list, Insert{Part: b.id, Name: message.T("kit.insert.divider", "part", b.name), Divider: true, A: p.Point, B: q.Point, Height: d.Depth})
		}
	}
	if less := (whole.height - b.height) * d.Cavity.Size[brick.Height] / d.Fired[brick.Height]; less > mm/10 {
		list = append(list, Insert{Part: b.id, Name: message.T("kit.insert.block", "part", b.name), Height: toMM(less)})
	}
	return list
}

// onEdge reports whether a point lies on an edge of a polygon, to a twentieth
// of a millimetre.
func onEdge(o flat.Outline, p drawing.Point) bool {
	for i, a := range o {
		b := o[(i+1)%len(o)].Point
		along, s := b.Sub(a.Point), p.Sub(a.Point)
		if t := (s.X*along.X + s.Y*along.Y) / (along.Len() * along.Len()); t > -0.01 && t < 1.01 && p.Dist(a.Point.Lerp(b, t)) < 0.05 {
			return true
		}
	}
	return false
}

// finish makes the solids and patterns of a mould and puts it into the kit.
func (m *maker) finish(d *Mould) error {
	if err := d.solids(); err != nil {
		return err
	}
	m.k.Moulds = append(m.k.Moulds, *d)
	m.pattern(m.mouldPlan(d))
	m.pattern(m.stick(d))
	return nil
}

func polygonOf(o flat.Outline) mesh.Polygon {
	p := make(mesh.Polygon, len(o))
	for i, n := range o {
		p[i] = mesh.XY{X: n.X, Y: n.Y}
	}
	return p
}

// solids builds the frame and inserts. The narrow end of the cavity is below,
// half the draft inside the plan; the widest that still fits of the corner
// radius is taken.
func (d *Mould) solids() error {
	lean := math.Tan(d.Draft) * d.Depth / 2
	narrow, err := polygonOf(d.Plan).Offset(-lean)
	if err != nil {
		return fmt.Errorf("kit: %s: %w", d.ID, err)
	}
	rounded := narrow
	for d.Radius = mouldRadius; d.Radius > 0.2; d.Radius *= 0.8 {
		if r, err := narrow.Fillet(d.Radius, arcTolerance); err == nil {
			rounded = r
			break
		}
	}
	frame, err := mesh.Mould{Cavities: []mesh.Polygon{rounded}, Depth: d.Depth, Draft: d.Draft, Wall: mouldWall}.Block()
	if err != nil {
		return fmt.Errorf("kit: %s: %w", d.ID, err)
	}
	objects := []mesh.Object{{Name: d.ID, Solid: frame}}
	for _, insert := range d.Inserts {
		solid, err := d.insertSolid(insert, rounded)
		if err != nil {
			return fmt.Errorf("kit: %s for %s: %w", d.ID, insert.Part, err)
		}
		objects = append(objects, mesh.Object{Name: d.ID + " " + insert.Part, Solid: solid})
	}
	d.Solids = mesh.Arrange(plateGap, objects...)
	return nil
}

// insertSolid is a divider, a plate as long as the line it stands on, or a
// block that fills the foot of the cavity.
func (d *Mould) insertSolid(i Insert, narrow mesh.Polygon) (*mesh.Mesh, error) {
	if i.Divider {
		return mesh.Box(i.A.Dist(i.B)-2*insertPlay, dividerThickness, i.Height)
	}
	foot, err := narrow.Offset(-insertPlay)
	if err != nil {
		return nil, err
	}
	return mesh.Taper(mesh.Region{Outer: foot}, 0, i.Height, d.Draft)
}

// mouldPlan is the base board with the frame marked on it.
func (m *maker) mouldPlan(d *Mould) Pattern {
	var f Figure
	b := d.Plan.Bounds()
	for _, board := range d.Boards {
		b = b.Union(board.Plan.Bounds())
		for i, n := range board.Plan {
			f.Marks = append(f.Marks, Line{Name: message.T("kit.mark.board", "label", board.Label), A: n.Point, B: board.Plan[(i+1)%len(board.Plan)].Point})
		}
		f.Words = append(f.Words, Word{Text: message.T("kit.word.label", "label", board.Label), At: middle(board.Plan)})
	}
	for _, insert := range d.Inserts {
		if insert.Divider {
			f.Marks = append(f.Marks, Line{Name: insert.Name, A: insert.A, B: insert.B})
		}
	}
	b = b.Grow(baseMargin)
	f.Outer = flat.Rectangle(b.Min.X, b.Min.Y, b.W(), b.H())
	f.Sizes = edgeSizes(d.Plan)
	notes := []message.Text{
		message.T("kit.note.mould-size", "length", quantity.MM1(d.Cavity.Size[brick.Length]), "width", quantity.MM1(d.Cavity.Size[brick.Width]), "height", quantity.MM1(d.Cavity.Size[brick.Height])),
		message.T("kit.note.mould-shrinkage", "shrinkage", quantity.Value{SI: float64(d.Cavity.Total[brick.Length]), Unit: quantity.Percent, Step: 0.1}),
		message.T("kit.note.mould-frame", "depth", quantity.MM(d.Depth*mm), "board", quantity.MM(boardThickness*mm)),
		message.T("kit.note.mould-corner", "radius", quantity.MM(math.Round(d.Radius)*mm), "wider", quantity.MM1(2*math.Tan(d.Draft)*d.Depth*mm)),
	}
	if !d.Measured {
		notes = append(notes, message.T("kit.note.mould-default", "plus", quantity.MM1(2*d.Cavity.U[brick.Length])))
	}
	for _, i := range d.Inserts {
		if !i.Divider {
			notes = append(notes, message.T("kit.note.block", "part", m.k.Part(i.Part).Name, "height", quantity.MM1(i.Height*mm)))
		}
	}
	return Pattern{ID: d.ID, Name: message.T("kit.pattern.mould", "mould", d.Name), Use: Wood, Count: 1, Figures: []Figure{f}, Datum: message.T("kit.datum.mould"), Notes: notes}
}

// middle is the mean of an outline's corners.
func middle(o flat.Outline) drawing.Point {
	var c drawing.Point
	for _, n := range o {
		c = c.Add(n.Point)
	}
	return c.Mul(1 / float64(len(o)))
}

// Gauge sticks, mm.
const (
	stickWidth = 24.0
	stickApart = 8.0
	stickWords = 45.0 // room for the words before the marks; on a shorter stick they stand after them
)

// stick is the go and no-go gauge of a mould: for each edge a stick with a stop
// at its end and two marks for each stage; the edge must end between the two.
func (m *maker) stick(d *Mould) Pattern {
	p := Pattern{ID: "gauge." + d.ID[len("mould."):], Name: message.T("kit.pattern.stick", "mould", d.Name), Use: Card, Count: 1, Datum: message.T("kit.datum.stop"),
		Notes: []message.Text{message.T("kit.note.stick"), message.T("kit.note.stick-tolerance", "share", quantity.Pct(gaugeShare), "least", quantity.MM(gaugeLeast))}}
	for i, g := range d.Gauges {
		y := -float64(i) * (stickWidth + stickApart)
		length, short := toMM(g.Wet.Go)+12, toMM(g.Fired.NoGo) < stickWords
		if short {
			length += stickWords
		}
		f := Figure{Name: message.T("kit.axis." + g.Axis.String()), Outer: flat.Rectangle(0, y, length, stickWidth)}
		for k, stage := range []struct {
			id string
			g  brick.Gauge
		}{{"wet", g.Wet}, {"dry", g.Dry}, {"fired", g.Fired}} {
			low := y + stickWidth*float64(2-k)/3
			name := message.T("kit.stage."+stage.id, "least", quantity.MM1(stage.g.NoGo), "most", quantity.MM1(stage.g.Go))
			for _, x := range []float64{toMM(stage.g.NoGo), toMM(stage.g.Go)} {
				f.Marks = append(f.Marks, line(name, x, low, x, low+stickWidth/3))
			}
			word := Word{Text: name, At: drawing.Pt(toMM(stage.g.NoGo)-2, low+stickWidth/6), Small: true, Lean: EndsAt}
			if short {
				word.At.X, word.Lean = toMM(g.Wet.Go)+3, BeginsAt
			}
			f.Words = append(f.Words, word)
		}
		p.Figures = append(p.Figures, f)
	}
	return p
}
