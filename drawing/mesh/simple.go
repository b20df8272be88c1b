package mesh

import (
	"fmt"
	"math"
	"math/big"
)

// orient tells which way the path a, b, c turns: +1 left, −1 right, 0 straight
// on. The answer is exact: where rounding could hide the sign, the determinant
// is computed again in rational numbers. The bound on the rounding error is
// Shewchuk's (shewchuk1997adaptive).
func orient(a, b, c XY) int {
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	const epsilon = 0x1p-53
	det := left - right
	if math.Abs(det) > (3+16*epsilon)*epsilon*(math.Abs(left)+math.Abs(right)) {
		if det > 0 {
			return 1
		}
		return -1
	}
	return orientExact(a, b, c)
}

func orientExact(a, b, c XY) int {
	diff := func(p, q float64) *big.Rat {
		r := new(big.Rat).SetFloat64(p)
		return r.Sub(r, new(big.Rat).SetFloat64(q))
	}
	left := diff(a.X, c.X)
	left.Mul(left, diff(b.Y, c.Y))
	right := diff(a.Y, c.Y)
	right.Mul(right, diff(b.X, c.X))
	return left.Cmp(right)
}

// between reports whether c, known to be in line with a and b, lies on the
// closed segment.
func between(a, b, c XY) bool {
	return min(a.X, b.X) <= c.X && c.X <= max(a.X, b.X) && min(a.Y, b.Y) <= c.Y && c.Y <= max(a.Y, b.Y)
}

// meet reports whether two closed segments have a point in common.
func meet(a, b, c, d XY) bool {
	abc, abd := orient(a, b, c), orient(a, b, d)
	cda, cdb := orient(c, d, a), orient(c, d, b)
	if abc*abd < 0 && cda*cdb < 0 {
		return true
	}
	return abc == 0 && between(a, b, c) || abd == 0 && between(a, b, d) ||
		cda == 0 && between(c, d, a) || cdb == 0 && between(c, d, b)
}

// inside reports whether a point that is not on the outline lies within it, by
// counting the sides that a ray to the right crosses.
func (p Polygon) inside(q XY) bool {
	in := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a.Y > q.Y) == (b.Y > q.Y) {
			continue
		}
		lower, upper := a, b
		if a.Y > b.Y {
			lower, upper = b, a
		}
		if orient(lower, upper, q) > 0 {
			in = !in
		}
	}
	return in
}

// validate reports an outline that crosses or touches itself.
func (p Polygon) validate() error { return Region{Outer: p}.validate() }

// validate reports a figure that cannot bound a solid: fewer than three
// corners, a coordinate that is not a number, a side that touches another, a
// hole that is not inside.
func (r Region) validate() error {
	rings := append([]Polygon{r.Outer}, r.Holes...)
	for i, ring := range rings {
		if err := ring.validateCorners(); err != nil {
			return fmt.Errorf("mesh: outline %d: %w", i, err)
		}
	}
	for i, ring := range rings {
		for j := i; j < len(rings); j++ {
			if a, b, touch := sidesTouch(ring, rings[j], i == j); touch {
				return fmt.Errorf("mesh: side %d of outline %d touches side %d of outline %d", a, i, b, j)
			}
		}
	}
	for i, hole := range r.Holes {
		if !r.Outer.inside(hole[0]) {
			return fmt.Errorf("mesh: hole %d is not inside the outline", i)
		}
		for j, other := range r.Holes {
			if i != j && other.inside(hole[0]) {
				return fmt.Errorf("mesh: hole %d is inside hole %d", i, j)
			}
		}
	}
	return nil
}

func (p Polygon) validateCorners() error {
	if len(p) < 3 {
		return fmt.Errorf("%d corners do not make an outline", len(p))
	}
	for i, b := range p {
		if !finite(b.X) || !finite(b.Y) {
			return fmt.Errorf("corner %d is not a point", i)
		}
	}
	for i, b := range p {
		a, c := p[(i+len(p)-1)%len(p)], p[(i+1)%len(p)]
		if b == c {
			return fmt.Errorf("corner %d stands twice", i)
		}
		back := (b.X-a.X)*(c.X-b.X) + (b.Y-a.Y)*(c.Y-b.Y)
		if back <= 0 && orient(a, b, c) == 0 {
			return fmt.Errorf("the outline turns back on itself at corner %d", i)
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// sidesTouch finds two sides, not neighbours in the same outline, with a point
// in common.
func sidesTouch(p, q Polygon, same bool) (int, int, bool) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		first := 0
		if same {
			first = i + 2
		}
		for j := first; j < len(q); j++ {
			if same && (j+1)%len(q) == i {
				continue
			}
			if meet(a, b, q[j], q[(j+1)%len(q)]) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}
