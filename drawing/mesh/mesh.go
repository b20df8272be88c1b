// Package mesh builds solids for the workshop as exact boundary meshes in
// millimetres, checks that they are closed, and writes them for printing or
// milling as binary STL and 3MF.
//
// A mould is bounded by planes, and its mesh is made of those planes
// themselves: nothing is sampled, so a wall stays flat and a dimension stays
// what it was. Round walls are drawn as chords whose tolerance the caller
// chooses.
package mesh

import (
	"errors"
	"fmt"
	"math"
)

// Point is a point in space, in millimetres, z upwards.
type Point struct{ X, Y, Z float64 }

// Mesh is the boundary of a solid, or of several that do not touch. Each
// triangle holds three indices of Vertices, anticlockwise when it is seen from
// outside.
type Mesh struct {
	Vertices  []Point
	Triangles [][3]int
}

// The faults that [Mesh.Check] finds; its errors wrap one of them.
var (
	ErrEmpty      = errors.New("mesh: there are no triangles")
	ErrVertex     = errors.New("mesh: bad vertex")
	ErrDegenerate = errors.New("mesh: triangle without area")
	ErrOpen       = errors.New("mesh: the surface is not closed")
	ErrInsideOut  = errors.New("mesh: a shell is inside out")
)

// Check reports the first thing that keeps the mesh from bounding a solid: a
// missing, repeated or infinite vertex; a triangle without area; an edge that
// is not shared by exactly two triangles running opposite ways; a shell whose
// triangles face inwards. It does not look for shells that cut through each
// other.
func (m *Mesh) Check() error {
	if len(m.Triangles) == 0 {
		return ErrEmpty
	}
	if err := m.checkVertices(); err != nil {
		return err
	}
	type edge struct{ from, to int }
	edges := make(map[edge]int, 3*len(m.Triangles))
	for i, t := range m.Triangles {
		if length(m.normal(t)) == 0 {
			return fmt.Errorf("%w: triangle %d", ErrDegenerate, i)
		}
		for k := range t {
			edges[edge{t[k], t[(k+1)%3]}]++
		}
	}
	for i, t := range m.Triangles {
		for k := range t {
			from, to := t[k], t[(k+1)%3]
			if edges[edge{from, to}] != 1 || edges[edge{to, from}] != 1 {
				return fmt.Errorf("%w: edge from vertex %d to %d of triangle %d", ErrOpen, from, to, i)
			}
		}
	}
	for i, shell := range m.shells() {
		if v := m.volume(shell); v <= 0 {
			return fmt.Errorf("%w: shell %d has the volume %g mm³", ErrInsideOut, i, v)
		}
	}
	return nil
}

func (m *Mesh) checkVertices() error {
	used := make([]bool, len(m.Vertices))
	for i, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || v >= len(m.Vertices) {
				return fmt.Errorf("%w: triangle %d refers to vertex %d of %d", ErrVertex, i, v, len(m.Vertices))
			}
			used[v] = true
		}
	}
	seen := make(map[Point]int, len(m.Vertices))
	for i, p := range m.Vertices {
		if !finite(p.X) || !finite(p.Y) || !finite(p.Z) {
			return fmt.Errorf("%w: vertex %d is not a point", ErrVertex, i)
		}
		if !used[i] {
			return fmt.Errorf("%w: vertex %d belongs to no triangle", ErrVertex, i)
		}
		if first, twice := seen[p]; twice {
			return fmt.Errorf("%w: vertices %d and %d are the same point", ErrVertex, first, i)
		}
		seen[p] = i
	}
	return nil
}

// shells sorts the triangles into connected surfaces, in the order in which
// they first appear.
func (m *Mesh) shells() [][]int {
	parent := make([]int, len(m.Vertices))
	for i := range parent {
		parent[i] = i
	}
	root := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for _, t := range m.Triangles {
		parent[root(t[1])] = root(t[0])
		parent[root(t[2])] = root(t[0])
	}
	number := make(map[int]int)
	var shells [][]int
	for i, t := range m.Triangles {
		r := root(t[0])
		if _, known := number[r]; !known {
			number[r] = len(shells)
			shells = append(shells, nil)
		}
		shells[number[r]] = append(shells[number[r]], i)
	}
	return shells
}

// Volume is the volume enclosed, in cubic millimetres: the sum of the signed
// tetrahedra between each triangle and one corner of its shell.
func (m *Mesh) Volume() float64 {
	var sum float64
	for _, shell := range m.shells() {
		sum += m.volume(shell)
	}
	return sum
}

func (m *Mesh) volume(shell []int) float64 {
	var sum float64
	origin := m.Vertices[m.Triangles[shell[0]][0]]
	for _, i := range shell {
		t := m.Triangles[i]
		sum += dot(minus(m.Vertices[t[0]], origin), m.normal(t)) / 6
	}
	return sum
}

// Area is the area of the whole surface, in square millimetres.
func (m *Mesh) Area() float64 {
	var sum float64
	for _, t := range m.Triangles {
		sum += length(m.normal(t)) / 2
	}
	return sum
}

// Bounds are the least and greatest coordinates.
func (m *Mesh) Bounds() (lo, hi Point) {
	inf := math.Inf(1)
	lo, hi = Point{inf, inf, inf}, Point{-inf, -inf, -inf}
	for _, p := range m.Vertices {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y), min(lo.Z, p.Z)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y), max(hi.Z, p.Z)}
	}
	return lo, hi
}

// Translate returns the mesh moved by (dx, dy, dz).
func (m *Mesh) Translate(dx, dy, dz float64) *Mesh {
	moved := &Mesh{Vertices: make([]Point, len(m.Vertices)), Triangles: m.Triangles}
	for i, p := range m.Vertices {
		moved.Vertices[i] = Point{p.X + dx, p.Y + dy, p.Z + dz}
	}
	return moved
}

// Join puts several solids into one mesh, as closed shells side by side. They
// are not united: shells that touch or cut through each other are the caller's
// mistake.
func Join(solids ...*Mesh) *Mesh {
	all := &Mesh{}
	for _, s := range solids {
		base := len(all.Vertices)
		all.Vertices = append(all.Vertices, s.Vertices...)
		for _, t := range s.Triangles {
			all.Triangles = append(all.Triangles, [3]int{t[0] + base, t[1] + base, t[2] + base})
		}
	}
	return all
}

// normal is the outward normal of a triangle, as long as twice its area.
func (m *Mesh) normal(t [3]int) Point {
	a := m.Vertices[t[0]]
	return cross(minus(m.Vertices[t[1]], a), minus(m.Vertices[t[2]], a))
}

func minus(a, b Point) Point { return Point{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

func dot(a, b Point) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

func cross(a, b Point) Point {
	return Point{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

func length(a Point) float64 { return math.Sqrt(dot(a, a)) }
