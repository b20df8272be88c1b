package mesh

import (
	"errors"
	"fmt"
	"math"
)

// builder collects the faces of a solid. A ring is a list of vertices of one
// outline at one height.
type builder struct{ mesh Mesh }

func (b *builder) ring(p Polygon, z float64) []int {
	ring := make([]int, len(p))
	for i, q := range p {
		ring[i] = len(b.mesh.Vertices)
		b.mesh.Vertices = append(b.mesh.Vertices, Point{q.X, q.Y, z})
	}
	return ring
}

// wall joins two rings of equal length, lower first. Rings that run
// anticlockwise give a wall that faces away from their middle, clockwise ones
// a wall that faces into it.
func (b *builder) wall(lower, upper []int) {
	for i := range lower {
		j := (i + 1) % len(lower)
		b.mesh.Triangles = append(b.mesh.Triangles,
			[3]int{lower[i], lower[j], upper[j]}, [3]int{lower[i], upper[j], upper[i]})
	}
}

// cap closes a region between rings that are already there: the outer ring
// anticlockwise, those of the holes clockwise, in the order of the region.
func (b *builder) cap(r Region, rings [][]int, up bool) error {
	_, triangles, err := Triangulate(r)
	if err != nil {
		return err
	}
	var vertices []int
	for _, ring := range rings {
		vertices = append(vertices, ring...)
	}
	for _, t := range triangles {
		face := [3]int{vertices[t[0]], vertices[t[1]], vertices[t[2]]}
		if !up {
			face[0], face[1] = face[1], face[0]
		}
		b.mesh.Triangles = append(b.mesh.Triangles, face)
	}
	return nil
}

// rings are the outlines of a region in the directions that wall and cap need.
func (r Region) rings() []Polygon {
	rings := []Polygon{r.Outer.anticlockwise()}
	for _, h := range r.Holes {
		rings = append(rings, h.clockwise())
	}
	return rings
}

// Prism is the region raised from z = bottom to z = top.
func Prism(r Region, bottom, top float64) (*Mesh, error) {
	return Loft(r, r, bottom, top)
}

// Loft is the solid between two regions with the same outlines, corner for
// corner, at z = bottom and z = top. Its facets are planes where the
// corresponding sides are parallel, as they are between an outline and its
// [Polygon.Offset]; otherwise each is folded along a diagonal.
func Loft(lower, upper Region, bottom, top float64) (*Mesh, error) {
	if !(top > bottom) || !finite(top) || !finite(bottom) {
		return nil, fmt.Errorf("mesh: a solid from z = %g to %g mm", bottom, top)
	}
	low, high := lower.rings(), upper.rings()
	if len(low) != len(high) {
		return nil, errors.New("mesh: the two ends have different numbers of outlines")
	}
	var b builder
	var lowRings, highRings [][]int
	for i := range low {
		if len(low[i]) != len(high[i]) {
			return nil, fmt.Errorf("mesh: outline %d has %d corners at one end and %d at the other", i, len(low[i]), len(high[i]))
		}
		lowRings = append(lowRings, b.ring(low[i], bottom))
		highRings = append(highRings, b.ring(high[i], top))
	}
	if err := b.cap(lower, lowRings, false); err != nil {
		return nil, err
	}
	if err := b.cap(upper, highRings, true); err != nil {
		return nil, err
	}
	for i := range lowRings {
		b.wall(lowRings[i], highRings[i])
	}
	return &b.mesh, b.mesh.Check()
}

// Box is the block from the origin to (width, depth, height).
func Box(width, depth, height float64) (*Mesh, error) {
	return Prism(Region{Outer: Rect(width, depth)}, 0, height)
}

// Cylinder stands on the origin; its wall is chords within tolerance inside
// the circle, as [Circle] draws them.
func Cylinder(radius, height, tolerance float64) (*Mesh, error) {
	return Prism(Region{Outer: Circle(radius, tolerance)}, 0, height)
}

// Tube is a cylinder with a round hole through it.
func Tube(inner, outer, height, tolerance float64) (*Mesh, error) {
	return Prism(Region{Outer: Circle(outer, tolerance), Holes: []Polygon{Circle(inner, tolerance)}}, 0, height)
}

// Taper is a prism whose walls lean outwards by the draft angle (radians) as
// they rise: each outline at the top lies tan(draft)·height outside the one at
// the bottom, holes narrower. It is the shape of the brick that leaves a
// drafted mould.
func Taper(r Region, bottom, top, draft float64) (*Mesh, error) {
	upper, err := r.offset(math.Tan(draft) * (top - bottom))
	if err != nil {
		return nil, err
	}
	return Loft(r, upper, bottom, top)
}

// offset moves the outline out and the outlines of the holes in, away from the
// figure's middle and into the holes.
func (r Region) offset(distance float64) (Region, error) {
	outer, err := r.Outer.Offset(distance)
	if err != nil {
		return Region{}, err
	}
	moved := Region{Outer: outer}
	for _, h := range r.Holes {
		hole, err := h.Offset(-distance)
		if err != nil {
			return Region{}, err
		}
		moved.Holes = append(moved.Holes, hole)
	}
	return moved, nil
}

// Mould is a block with cavities open at the top, for moulding bricks.
type Mould struct {
	Cavities []Polygon // outlines at the narrow end of each cavity, mm; [Polygon.Fillet] rounds their corners
	Depth    float64   // depth of the cavities, mm
	Draft    float64   // how far the walls lean outwards as they rise, radians, from 0 to below π/4
	Wall     float64   // least thickness around the cavities at the open face, mm
	Floor    float64   // thickness under the cavities, mm; 0 makes a frame open at both faces
}

// Block is the mould as one closed solid with its lower left corner on the
// origin. The cavities are widest at the open face, by tan(draft)·depth on
// each side; two cavities must leave something between them there.
func (m Mould) Block() (*Mesh, error) {
	switch {
	case len(m.Cavities) == 0:
		return nil, errors.New("mesh: a mould without a cavity")
	case !(m.Depth > 0) || !(m.Wall > 0) || !(m.Floor >= 0):
		return nil, fmt.Errorf("mesh: a mould with depth %g, wall %g, floor %g mm", m.Depth, m.Wall, m.Floor)
	case !(m.Draft >= 0) || m.Draft >= math.Pi/4:
		return nil, fmt.Errorf("mesh: a mould with a draft of %g rad", m.Draft)
	}
	narrow, wide, err := m.outlines()
	if err != nil {
		return nil, err
	}
	return m.solid(narrow, wide)
}

// outlines are the mould's lower and upper figures: the block with the
// cavities as holes, narrow below and wide above.
func (m Mould) outlines() (narrow, wide Region, err error) {
	lo, hi := XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, c := range m.Cavities {
		open, err := c.Offset(m.Depth * math.Tan(m.Draft))
		if err != nil {
			return narrow, wide, err
		}
		narrow.Holes = append(narrow.Holes, c)
		wide.Holes = append(wide.Holes, open)
		l, h := open.Bounds()
		lo = XY{min(lo.X, l.X), min(lo.Y, l.Y)}
		hi = XY{max(hi.X, h.X), max(hi.Y, h.Y)}
	}
	dx, dy := m.Wall-lo.X, m.Wall-lo.Y
	for i := range narrow.Holes {
		narrow.Holes[i] = narrow.Holes[i].Translate(dx, dy)
		wide.Holes[i] = wide.Holes[i].Translate(dx, dy)
	}
	block := Rect(hi.X+dx+m.Wall, hi.Y+dy+m.Wall)
	narrow.Outer, wide.Outer = block, block
	return narrow, wide, nil
}

func (m Mould) solid(narrow, wide Region) (*Mesh, error) {
	if m.Floor == 0 {
		return Loft(narrow, wide, 0, m.Depth)
	}
	var b builder
	top := m.Floor + m.Depth
	block := wide.Outer
	foot := b.ring(block, 0)
	rims := [][]int{b.ring(block, top)}
	b.wall(foot, rims[0])
	if err := b.cap(Region{Outer: block}, [][]int{foot}, false); err != nil {
		return nil, err
	}
	low, high := narrow.rings()[1:], wide.rings()[1:]
	for i := range low {
		floor, rim := b.ring(low[i], m.Floor), b.ring(high[i], top)
		b.wall(floor, rim)
		rims = append(rims, rim)
		if err := b.capHole(low[i], floor); err != nil {
			return nil, err
		}
	}
	if err := b.cap(wide, rims, true); err != nil {
		return nil, err
	}
	return &b.mesh, b.mesh.Check()
}

// capHole lays the floor of a cavity, whose ring runs clockwise.
func (b *builder) capHole(outline Polygon, ring []int) error {
	face := make([]int, len(ring))
	for i, v := range ring {
		face[len(ring)-1-i] = v
	}
	return b.cap(Region{Outer: outline.anticlockwise()}, [][]int{face}, true)
}
