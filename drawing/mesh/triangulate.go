package mesh

import (
	"cmp"
	"errors"
	"slices"
)

// Triangulate covers a region with triangles that use its own corners and no
// others, so that the solids built on it have no gap and no loose corner on an
// edge. The points are the outline's corners, then those of each hole; the
// triangles run anticlockwise. An error names an outline that touches itself
// or a hole that is not inside.
//
// Holes are joined to the outline by bridges and ears are cut off the result
// (meisters1975polygons proves that a polygon always has two). Every decision
// rests on the exact sign of [orient].
func Triangulate(r Region) (points []XY, triangles [][3]int, err error) {
	if err := r.validate(); err != nil {
		return nil, nil, err
	}
	t := triangulation{}
	loop := t.add(r.Outer.anticlockwise())
	holes := make([][]int, len(r.Holes))
	for i, h := range r.Holes {
		holes[i] = t.add(h.clockwise())
	}
	// The hole that reaches furthest right goes first: its rightmost corner
	// then sees a corner of the outline, or of a hole already joined.
	slices.SortStableFunc(holes, func(a, b []int) int {
		return cmp.Compare(t.points[t.rightmost(b)].X, t.points[t.rightmost(a)].X)
	})
	for i := range holes {
		if loop, err = t.join(loop, holes[i], holes[i:]); err != nil {
			return nil, nil, err
		}
	}
	if err := t.cutEars(loop); err != nil {
		return nil, nil, err
	}
	return t.points, t.triangles, nil
}

type triangulation struct {
	points    []XY
	triangles [][3]int
}

func (t *triangulation) add(p Polygon) []int {
	ring := make([]int, len(p))
	for i, q := range p {
		ring[i] = len(t.points)
		t.points = append(t.points, q)
	}
	return ring
}

func (t *triangulation) rightmost(ring []int) int {
	return slices.MaxFunc(ring, func(a, b int) int { return cmp.Compare(t.points[a].X, t.points[b].X) })
}

func (t *triangulation) turn(a, b, c int) int {
	return orient(t.points[a], t.points[b], t.points[c])
}

// join connects a hole to the loop by a bridge there and back, from the hole's
// rightmost corner to the nearest corner of the loop that sees it.
func (t *triangulation) join(loop, hole []int, open [][]int) ([]int, error) {
	from := t.rightmost(hole)
	candidates := make([]int, len(loop))
	for i := range loop {
		candidates[i] = i
	}
	distance := func(i int) float64 {
		d := sub(t.points[loop[i]], t.points[from])
		return d.X*d.X + d.Y*d.Y
	}
	slices.SortStableFunc(candidates, func(a, b int) int { return cmp.Compare(distance(a), distance(b)) })
	for _, i := range candidates {
		if !t.inCone(loop, i, from) || t.blocked(loop[i], from, append([][]int{loop}, open...)) {
			continue
		}
		start := slices.Index(hole, from)
		joined := slices.Clone(loop[:i+1])
		joined = append(joined, hole[start:]...)
		joined = append(joined, hole[:start+1]...)
		return append(joined, loop[i:]...), nil
	}
	return nil, errors.New("mesh: no bridge to a hole") // cannot happen in a validated region
}

// inCone reports whether the direction to the point lies inside the loop at
// its i-th corner. A corner with bridges stands in the loop more than once,
// and only one of its places faces the hole.
func (t *triangulation) inCone(loop []int, i, to int) bool {
	v, n := loop[i], len(loop)
	before, after := loop[(i+n-1)%n], loop[(i+1)%n]
	if t.turn(before, v, after) >= 0 {
		return t.turn(v, to, before) > 0 && t.turn(to, v, after) > 0
	}
	return t.turn(v, to, after) < 0 || t.turn(to, v, before) < 0
}

// blocked reports whether a bridge would touch anything but its own two ends.
func (t *triangulation) blocked(from, to int, rings [][]int) bool {
	a, b := t.points[from], t.points[to]
	for _, ring := range rings {
		for k, u := range ring {
			v := ring[(k+1)%len(ring)]
			switch {
			case u == from || u == to:
				if t.turn(from, to, v) == 0 && between(a, b, t.points[v]) && v != from && v != to {
					return true
				}
			case v == from || v == to:
				if t.turn(from, to, u) == 0 && between(a, b, t.points[u]) {
					return true
				}
			case meet(a, b, t.points[u], t.points[v]):
				return true
			}
		}
	}
	return false
}

// cutEars takes triangles off the loop until one is left. It goes round rather
// than back to the start, which keeps the triangles from all fanning out of
// one corner.
func (t *triangulation) cutEars(loop []int) error {
	at := 0
	for len(loop) > 3 {
		tried := 0
		for ; tried < len(loop) && !t.ear(loop, at%len(loop)); tried++ {
			at++
		}
		if tried == len(loop) {
			return errors.New("mesh: no ear found") // cannot happen in a validated region
		}
		i, n := at%len(loop), len(loop)
		t.triangles = append(t.triangles, [3]int{loop[(i+n-1)%n], loop[i], loop[(i+1)%n]})
		loop = slices.Delete(loop, i, i+1)
		at = i + 1
	}
	t.triangles = append(t.triangles, [3]int(loop))
	return nil
}

// ear reports whether the triangle at the i-th corner can be cut off: the
// corner turns left and no other corner lies in the triangle or on its rim.
// Corners that coincide with the triangle's own are the other sides of bridges
// and do not count.
func (t *triangulation) ear(loop []int, i int) bool {
	n := len(loop)
	a, b, c := loop[(i+n-1)%n], loop[i], loop[(i+1)%n]
	if t.turn(a, b, c) <= 0 {
		return false
	}
	for _, v := range loop {
		if v == a || v == b || v == c {
			continue
		}
		if t.turn(a, b, v) >= 0 && t.turn(b, c, v) >= 0 && t.turn(c, a, v) >= 0 {
			return false
		}
	}
	return true
}
