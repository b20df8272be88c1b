package flat

import (
	"math"

	"stovewright/drawing"
)

// Outline is a closed figure of straight lines and circular arcs. Each node is
// joined to the next one, the last to the first.
type Outline []Node

// Node is a corner and the edge that leaves it: a straight line, or where Sweep
// is not 0 an arc about Centre through Sweep degrees, positive anticlockwise.
type Node struct {
	drawing.Point
	Centre drawing.Point
	Sweep  float64
}

// Corner is a node with a straight edge.
func Corner(x, y float64) Node { return Node{Point: drawing.Pt(x, y)} }

// ArcFrom is a node with an arc.
func ArcFrom(p, centre drawing.Point, degrees float64) Node {
	return Node{Point: p, Centre: centre, Sweep: degrees}
}

// Polygon is the outline through points.
func Polygon(points ...drawing.Point) Outline {
	o := make(Outline, len(points))
	for i, p := range points {
		o[i].Point = p
	}
	return o
}

// Rectangle is an upright rectangle, anticlockwise from its lower left corner.
func Rectangle(x, y, width, height float64) Outline {
	return Outline{Corner(x, y), Corner(x+width, y), Corner(x+width, y+height), Corner(x, y+height)}
}

// Circle is a full circle: one node and an arc of a whole turn.
func Circle(centre drawing.Point, r float64) Outline {
	return Outline{ArcFrom(centre.Add(drawing.Pt(r, 0)), centre, 360)}
}

// Slot is a hole with round ends of the given width between two centres: two
// drilled holes and the strip between them.
func Slot(a, b drawing.Point, width float64) Outline {
	along := b.Sub(a)
	if along.Len() == 0 {
		return Circle(a, width/2)
	}
	side := drawing.Pt(-along.Y, along.X).Mul(width / 2 / along.Len())
	return Outline{ArcFrom(a.Add(side), a, 180), {Point: a.Sub(side)}, ArcFrom(b.Sub(side), b, 180), {Point: b.Add(side)}}
}

// Path is the outline to be drawn.
func (o Outline) Path() *drawing.Path {
	p := new(drawing.Path)
	for i, n := range o {
		if i == 0 {
			p.MoveTo(n.X, n.Y)
		}
		next := o[(i+1)%len(o)]
		switch {
		case n.Sweep != 0:
			p.ArcTo(n.Centre, n.Sweep)
		case i < len(o)-1:
			p.LineTo(next.X, next.Y)
		}
	}
	return p.Close()
}

// Bounds is the smallest upright rectangle around the outline.
func (o Outline) Bounds() drawing.Rect { return o.Path().Bounds() }

// SignedArea is positive when the outline runs anticlockwise: the shoelace
// formula over the corners, and for each arc the segment r²(φ − sin φ)/2
// between it and its chord.
func (o Outline) SignedArea() float64 {
	var sum float64
	for i, a := range o {
		b := o[(i+1)%len(o)]
		sum += (a.X*b.Y - b.X*a.Y) / 2
		if a.Sweep != 0 {
			r, phi := a.Point.Dist(a.Centre), a.Sweep*math.Pi/180
			sum += r * r * (phi - math.Sin(phi)) / 2
		}
	}
	return sum
}

// Area is the area enclosed.
func (o Outline) Area() float64 { return math.Abs(o.SignedArea()) }

// Length is the length around the outline.
func (o Outline) Length() float64 { return o.Path().Length() }

// Shifted is a copy moved by d.
func (o Outline) Shifted(d drawing.Point) Outline {
	return o.mapped(func(p drawing.Point) drawing.Point { return p.Add(d) }, 1)
}

// Rotated is a copy turned about a point by degrees anticlockwise.
func (o Outline) Rotated(centre drawing.Point, degrees float64) Outline {
	return o.mapped(func(p drawing.Point) drawing.Point { return p.Rotate(centre, degrees) }, 1)
}

// Mirrored is a copy mirrored in the upright line at x.
func (o Outline) Mirrored(x float64) Outline {
	return o.mapped(func(p drawing.Point) drawing.Point { return drawing.Pt(2*x-p.X, p.Y) }, -1)
}

func (o Outline) mapped(move func(drawing.Point) drawing.Point, turn float64) Outline {
	moved := make(Outline, len(o))
	for i, n := range o {
		moved[i] = Node{move(n.Point), move(n.Centre), turn * n.Sweep}
	}
	return moved
}

// Flatten is the outline as a polygon whose chords lie within tolerance of the
// arcs.
func (o Outline) Flatten(tolerance float64) []drawing.Point {
	var points []drawing.Point
	for _, n := range o {
		points = append(points, n.Point)
		if n.Sweep == 0 {
			continue
		}
		r := n.Point.Dist(n.Centre)
		step := 2 * math.Acos(max(0, 1-tolerance/max(r, tolerance)))
		k := int(math.Ceil(math.Abs(n.Sweep)*math.Pi/180/step - 1e-9))
		for i := 1; i < k; i++ {
			points = append(points, n.Point.Rotate(n.Centre, n.Sweep*float64(i)/float64(k)))
		}
	}
	return points
}

// Contains reports whether a point lies inside, by counting the edges that a
// ray from it crosses; arcs are taken as chords within a hundredth of a
// millimetre.
func (o Outline) Contains(p drawing.Point) bool {
	inside := false
	points := o.Flatten(0.01)
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}
