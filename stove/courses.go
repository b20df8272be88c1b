package stove

import "math"

// Point is a point of a plan in metres, +x toward the fuel mouth, the centre
// line of the riser at the origin.
type Point struct{ X, Y float64 }

// PieceKind says what a piece of the chamber is.
type PieceKind string

// The kinds of pieces.
const (
	WholeBrick PieceKind = "whole"   // a ring brick
	BackBrick  PieceKind = "back"    // the dense, shorter brick opposite the mouth
	MakeUp     PieceKind = "make-up" // light piece on top of the back brick
	Cheek      PieceKind = "cheek"   // what is left of a ring brick beside the mouth
	Lintel     PieceKind = "lintel"  // brick cut in height over the mouth
	LinerRing  PieceKind = "liner"   // a ring of a liner, or the whole of it; the mouth is cut out of it
)

// Piece is one fired piece of the chamber, a prism: its outline in plan,
// anticlockwise, and the heights of its lower and upper face above the chamber
// floor.
type Piece struct {
	Kind   PieceKind
	Face   int // which side of the ring, 0 at the mouth, anticlockwise from above
	Plan   []Point
	Hole   []Point // of a ring; nil for the others
	Bottom float64
	Top    float64
}

// leastPiece is the smallest leftover beside the mouth that is worth moulding;
// smaller ones become part of the fill (common practice, no source).
const leastPiece = 0.02

// Course lists the pieces of one course, counted from 0 at the floor.
func (s *Stove) Course(course int) []Piece {
	bottom := float64(course) * (s.BrickHeight + s.Joint)
	top := bottom + s.BrickHeight
	if s.Liner {
		return []Piece{{Kind: LinerRing, Plan: s.Block(), Hole: s.Bore(), Bottom: bottom, Top: top}}
	}
	var list []Piece
	for face := range s.Sides {
		p := Piece{Kind: WholeBrick, Face: face, Plan: s.facePlan(face), Bottom: bottom, Top: top}
		if course == 0 && face == s.Sides/2 && s.BackHeight > 0 {
			list = append(list, s.backPieces(p)...)
			continue
		}
		list = append(list, s.cutForMouth(p)...)
	}
	return list
}

// backPieces splits the brick opposite the mouth into the dense lower part and
// the light make-up piece above it.
func (s *Stove) backPieces(p Piece) []Piece {
	back := p
	back.Kind, back.Top = BackBrick, p.Bottom+s.BackHeight
	rest := p.Top - back.Top - s.Joint
	if rest < leastPiece {
		back.Top = p.Top
		return []Piece{back}
	}
	above := p
	above.Kind, above.Bottom = MakeUp, back.Top+s.Joint
	return []Piece{back, above}
}

// cutForMouth takes the fuel mouth out of a piece: what stands beside it and
// what lies over it.
func (s *Stove) cutForMouth(p Piece) []Piece {
	if p.Bottom >= s.MouthHeight-s.Joint || !crossesMouth(p.Plan, s.MouthWidth/2) {
		return []Piece{p}
	}
	var list []Piece
	if over := p.Top - s.MouthHeight; over >= leastPiece {
		lintel := p
		lintel.Kind, lintel.Bottom = Lintel, s.MouthHeight
		list = append(list, lintel)
	}
	top := min(p.Top, s.MouthHeight)
	for _, side := range []float64{1, -1} {
		plan := clipBeside(p.Plan, side, s.MouthWidth/2)
		if w, h := extent(plan); min(w, h) >= leastPiece {
			list = append(list, Piece{Kind: Cheek, Face: p.Face, Plan: plan, Bottom: p.Bottom, Top: top})
		}
	}
	return list
}

// facePlan is the outline of the brick on one face of the ring: a trapezium,
// half a joint short at each mitre.
func (s *Stove) facePlan(face int) []Point {
	b := s.Brick()
	turn := 2 * math.Pi * float64(face) / float64(s.Sides)
	r1 := s.Flats / 2
	r2 := r1 + s.BrickThickness
	corners := []Point{{r1, -b.Inner / 2}, {r2, -b.Outer / 2}, {r2, b.Outer / 2}, {r1, b.Inner / 2}}
	for i, c := range corners {
		corners[i] = Point{c.X*math.Cos(turn) - c.Y*math.Sin(turn), c.X*math.Sin(turn) + c.Y*math.Cos(turn)}
	}
	return corners
}

func crossesMouth(plan []Point, half float64) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range plan {
		if p.X < 0 {
			return false
		}
		low, high = min(low, p.Y), max(high, p.Y)
	}
	return low < half && high > -half
}

// clipBeside keeps the part of a convex outline with side·y ≥ half
// (Sutherland and Hodgman, one plane).
func clipBeside(plan []Point, side, half float64) []Point {
	inside := func(p Point) float64 { return side*p.Y - half }
	var out []Point
	for i, a := range plan {
		b := plan[(i+1)%len(plan)]
		da, db := inside(a), inside(b)
		if da >= 0 {
			out = append(out, a)
		}
		if (da >= 0) != (db >= 0) {
			t := da / (da - db)
			out = append(out, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
		}
	}
	return out
}

func extent(plan []Point) (width, height float64) {
	if len(plan) < 3 {
		return 0, 0
	}
	low, high := plan[0], plan[0]
	for _, p := range plan {
		low = Point{min(low.X, p.X), min(low.Y, p.Y)}
		high = Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return high.X - low.X, high.Y - low.Y
}

// Block is the outline of the whole brick block or liner.
func (s *Stove) Block() []Point { return regular(s.Sides, s.BlockCorner()) }

// Bore is the outline of the bore.
func (s *Stove) Bore() []Point { return regular(s.Sides, s.BoreCorner()) }

// Floor is the outline of the floor under the chamber: that of the bricks, or an
// octagon around a liner, which can be moulded between straight boards.
func (s *Stove) Floor() []Point {
	if s.Liner {
		return regular(8, s.BlockFlats()/2/math.Cos(math.Pi/8))
	}
	return s.Block()
}

// regular is a regular outline with a flat toward the mouth.
func regular(sides int, corner float64) []Point {
	list := make([]Point, sides)
	for i := range list {
		a := math.Pi * float64(2*i-1) / float64(sides)
		list[i] = Point{corner * math.Cos(a), corner * math.Sin(a)}
	}
	return list
}

// RodChord is one pot rod in plan: the angle of its normal from the fuel mouth,
// and its ends at the outside of the skirt.
type RodChord struct {
	Normal float64 // rad
	Ends   [2]Point
}

// Rods lays the three rods: one behind, two before it on either side, so that
// no rod end points at the mouth.
func (s *Stove) Rods() []RodChord {
	half := s.RodLength / 2
	list := make([]RodChord, rods)
	for i := range list {
		a := math.Pi/3 + float64(i)*2*math.Pi/rods
		n, t := Point{math.Cos(a), math.Sin(a)}, Point{-math.Sin(a), math.Cos(a)}
		list[i] = RodChord{a, [2]Point{
			{n.X*s.RodOffset + t.X*half, n.Y*s.RodOffset + t.Y*half},
			{n.X*s.RodOffset - t.X*half, n.Y*s.RodOffset - t.Y*half},
		}}
	}
	return list
}

// RodHoles are the angles of the six holes around the skirt, from the fuel
// mouth anticlockwise, in [0, 2π): where the centre lines of the rods cross the
// middle of the sheet.
func (s *Stove) RodHoles() []float64 {
	half := math.Acos(s.RodOffset / ((s.SkirtInner + s.SkirtMetal) / 2))
	var list []float64
	for _, r := range s.Rods() {
		for _, a := range []float64{r.Normal - half, r.Normal + half} {
			list = append(list, math.Mod(a+2*math.Pi, 2*math.Pi))
		}
	}
	return list
}
