package drawing

import (
	"math"
	"slices"
)

// clip splits a path at the edges of a box, exactly, and keeps the parts
// inside or those outside. Lines stay lines and arcs arcs. A contour that is
// not cut stays closed if it was.
func (p *Path) clip(b box, inside bool) *Path {
	out := new(Path)
	for first := 0; first < len(p.segs); {
		end := first + 1
		for end < len(p.segs) && p.segs[end].kind != moveTo && p.segs[end-1].kind != closePath {
			end++
		}
		clipContour(out, p.segs[first:end], b, inside)
		first = end
	}
	return out
}

func clipContour(out *Path, segs []seg, b box, inside bool) {
	if len(segs) == 0 || segs[0].kind != moveTo {
		return
	}
	type piece struct {
		from Point
		s    seg
		keep bool
	}
	var pieces []piece
	at, dropped := segs[0].p, false
	for _, s := range segs[1:] {
		if s.kind == closePath {
			if at.Dist(s.p) < 1e-12 {
				continue
			}
			s.kind = lineTo
		}
		ts := append(boxCuts(at, s, b), 1)
		t0 := 0.0
		for _, t1 := range ts {
			if t1-t0 < 1e-9 {
				continue
			}
			m := b.f.from(pointOn(at, s, (t0+t1)/2))
			keep := b.r.Contains(m) == inside
			from, part := subSeg(at, s, t0, t1)
			pieces = append(pieces, piece{from, part, keep})
			dropped = dropped || !keep
			t0 = t1
		}
		at = s.p
	}
	if !dropped {
		out.Append(&Path{segs: segs})
		out.open = false
		return
	}
	// Begin after a dropped piece where the contour is closed, so that the kept
	// part around its start is drawn in one.
	if segs[len(segs)-1].kind == closePath {
		i := slices.IndexFunc(pieces, func(p piece) bool { return !p.keep })
		pieces = append(pieces[i:], pieces[:i]...)
	}
	drawing := false
	for _, p := range pieces {
		if !p.keep {
			drawing = false
			continue
		}
		if !drawing {
			out.moveTo(p.from)
			drawing = true
		}
		out.segs = append(out.segs, p.s)
		out.at = p.s.p
	}
	out.open = false
}

// pointOn is the point at a fraction t of a segment that starts at from.
func pointOn(from Point, s seg, t float64) Point {
	switch s.kind {
	case arcTo:
		sn, cs := math.Sincos(s.start + t*s.sweep)
		return Point{s.a.X + s.r*cs, s.a.Y + s.r*sn}
	case cubicTo:
		return cubicAt(from, s, t)
	}
	return from.Lerp(s.p, t)
}

// subSeg is the part of a segment from t0 to t1, and where it starts.
func subSeg(from Point, s seg, t0, t1 float64) (Point, seg) {
	a, b := from, s.p
	if t0 > 0 {
		a = pointOn(from, s, t0)
	}
	if t1 < 1 {
		b = pointOn(from, s, t1)
	}
	part := seg{kind: s.kind, p: b}
	switch s.kind {
	case arcTo:
		part.a, part.r = s.a, s.r
		part.start, part.sweep = s.start+t0*s.sweep, (t1-t0)*s.sweep
	case cubicTo: // from the derivatives at both ends
		k := (t1 - t0) / 3
		part.a = a.Add(cubicSlope(from, s, t0).Mul(k))
		part.b = b.Sub(cubicSlope(from, s, t1).Mul(k))
	}
	return a, part
}

// cubicSlope is the derivative of a curve.
func cubicSlope(p0 Point, s seg, t float64) Point {
	u := 1 - t
	a, b, c := s.a.Sub(p0), s.b.Sub(s.a), s.p.Sub(s.b)
	return a.Mul(3 * u * u).Add(b.Mul(6 * u * t)).Add(c.Mul(3 * t * t))
}

// boxCuts gives the fractions in (0, 1) at which a segment meets the lines
// through the sides of a box, in ascending order.
func boxCuts(from Point, s seg, b box) []float64 {
	q := b.f.from(from)
	e := b.f.from(s.p)
	var ts []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			ts = append(ts, t)
		}
	}
	axes := [2][2]float64{{b.r.Min.X, b.r.Max.X}, {b.r.Min.Y, b.r.Max.Y}}
	for axis, sides := range axes {
		for _, side := range sides {
			switch s.kind {
			case arcTo:
				c := coord(b.f.from(s.a), axis)
				if h := (side - c) / s.r; math.Abs(h) <= 1 {
					turn := math.Atan2(b.f.u.Y, b.f.u.X)
					// x = c + r cos(θ − turn), y = c + r sin(θ − turn)
					if axis == 0 {
						keep(arcParam(s, turn+math.Acos(h)))
						keep(arcParam(s, turn-math.Acos(h)))
					} else {
						keep(arcParam(s, turn+math.Asin(h)))
						keep(arcParam(s, turn+math.Pi-math.Asin(h)))
					}
				}
			case cubicTo:
				for _, t := range cubicRoots(coord(q, axis)-side, coord(b.f.from(s.a), axis)-side, coord(b.f.from(s.b), axis)-side, coord(e, axis)-side) {
					keep(t)
				}
			default:
				d0, d1 := coord(q, axis)-side, coord(e, axis)-side
				if (d0 < 0) != (d1 < 0) {
					keep(d0 / (d0 - d1))
				}
			}
		}
	}
	slices.Sort(ts)
	return ts
}

func coord(p Point, axis int) float64 {
	if axis == 0 {
		return p.X
	}
	return p.Y
}

// cubicRoots are the fractions in (0, 1) where a curve with the given
// coordinates of its control points passes zero: one between each two turning
// points with values of different sign, found by halving.
func cubicRoots(a, b, c, d float64) []float64 {
	value := func(t float64) float64 {
		u := 1 - t
		return a*u*u*u + 3*b*u*u*t + 3*c*u*t*t + d*t*t*t
	}
	stops := append(cubicExtrema(a, b, c, d), 0, 1)
	slices.Sort(stops)
	var out []float64
	for i := 1; i < len(stops); i++ {
		lo, hi := stops[i-1], stops[i]
		if (value(lo) < 0) == (value(hi) < 0) {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			if (value(mid) < 0) == (value(lo) < 0) {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, (lo+hi)/2)
	}
	return out
}

// clearMargin is the room kept around a text where a line is interrupted for it.
const clearMargin = 0.4

// interrupted gives the items as they are written: lines that yield end
// clearMargin before each text that asks to be clear of them.
func (s *Sheet) interrupted() []item {
	var boxes []box
	var rooms []Rect
	for _, t := range s.texts {
		if t.Style.Clear {
			b := t.box.grow(clearMargin)
			boxes, rooms = append(boxes, b), append(rooms, b.bounds())
		}
	}
	if len(boxes) == 0 {
		return s.items
	}
	out := make([]item, 0, len(s.items))
	for _, it := range s.items {
		if it.pen != nil && it.pen.yields && it.tone == NoFill {
			room := it.path.Bounds().Grow(1e-9)
			for i, b := range boxes {
				if rooms[i].Intersects(room) {
					it.path = it.path.clip(b, false)
				}
			}
			if it.path.Empty() {
				continue
			}
		}
		out = append(out, it)
	}
	return out
}
