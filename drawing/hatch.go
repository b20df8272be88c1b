package drawing

import (
	"math"
	"slices"
	"sort"
)

// Material is what a cut surface is made of; each has its own hatching.
type Material uint8

// The materials.
const (
	NoMaterial Material = iota
	Brick               // light insulating brick: open lines at 45°
	DenseBrick          // dense or fired brick: crossed lines
	Insulation          // loose fill: short strokes and dots
	Steel               // sheet and rod: black where thin, else close lines at 45°
	Ceramic             // fired clay ware: lines and broken lines in turn
	Slip                // clay slip, mortar: fine dots
	Ground              // earth: bundles of three
	Water               // level strokes
	Wood                // grain
	Ash                 // sparse dots
)

// Materials lists every material that has a hatching.
var Materials = []Material{Brick, DenseBrick, Insulation, Steel, Ceramic, Slip, Ground, Water, Wood, Ash}

// lineFamily is one set of parallel lines of a hatching, in paper millimetres.
type lineFamily struct {
	angle   float64   // degrees
	spacing float64   // between lines
	offset  float64   // of the first line from the anchor
	dash    []float64 // dashes and gaps along a line; nil for full
	shift   float64   // of the dashes from one line to the next
}

var hatchings = map[Material][]lineFamily{
	Brick:      {{angle: 45, spacing: 2.6}},
	DenseBrick: {{angle: 45, spacing: 2.2}, {angle: 135, spacing: 2.2}},
	Steel:      {{angle: 45, spacing: 0.9}},
	Ceramic:    {{angle: 45, spacing: 3}, {angle: 45, spacing: 3, offset: 1.5, dash: []float64{1.8, 1.2}, shift: 0.9}},
	Ground: {{angle: 45, spacing: 4.2, dash: []float64{6, 3}, shift: 4.5},
		{angle: 45, spacing: 4.2, offset: 0.8, dash: []float64{6, 3}, shift: 4.5},
		{angle: 45, spacing: 4.2, offset: 1.6, dash: []float64{6, 3}, shift: 4.5}},
	Water: {{angle: 0, spacing: 2.4, dash: []float64{5, 2.5}, shift: 3.1}},
}

// thinSteel is the thickness on paper below which cut sheet is drawn black.
const thinSteel = 1.2

// flatTolerance is the largest distance in paper millimetres between a curve
// and the straight pieces that stand for it where a writer or the hatching
// needs straight pieces.
const flatTolerance = 0.005

// Hatch fills regions with the hatching of a material; contours inside
// contours are holes (even-odd). The hatching is anchored at the view's origin,
// so that it lies still while the region changes.
func (v *View) Hatch(m Material, regions ...*Path) { v.HatchVariant(m, 0, regions...) }

// HatchVariant is Hatch with the pattern turned and shifted, so that two
// neighbours of the same material can be told apart. Variant 0 is the plain one.
func (v *View) HatchVariant(m Material, variant int, regions ...*Path) {
	for _, region := range regions {
		if region.Empty() || !region.finite() {
			continue
		}
		v.hatch(m, variant, v.place(region))
	}
}

// Section hatches regions and draws their outline over it.
func (v *View) Section(m Material, regions ...*Path) {
	v.Hatch(m, regions...)
	v.Stroke(Outline, regions...)
}

func (v *View) hatch(m Material, variant int, region *Path) {
	contours := region.flatten(flatTolerance)
	edges := newEdges(contours)
	if edges.bounds.Empty() {
		return
	}
	if m == Steel && thickness(contours) < thinSteel {
		v.sheet.add(item{view: v, path: region, tone: Black})
		return
	}
	pen, lines := HatchLine, new(Path)
	switch m {
	case Insulation:
		pen = hatchDot
		edges.strokes(lines, v.origin, 2.1, variant, func(h uint32) float64 { return 0.9 * float64(h%3) / 2 })
	case Slip:
		pen = hatchDot
		edges.strokes(lines, v.origin, 1.1, variant, func(uint32) float64 { return 0 })
	case Ash:
		pen = hatchDot
		edges.strokes(lines, v.origin, 2.6, variant, func(uint32) float64 { return 0 })
	case Wood:
		edges.grain(lines, v.origin, variant)
	default:
		for _, f := range hatchings[m] {
			edges.family(lines, v.origin, f.turned(variant))
		}
	}
	if !lines.Empty() {
		v.sheet.add(item{view: v, path: lines, pen: pen})
	}
}

// turned gives the family for a neighbour: the other way for odd variants, and
// shifted by a part of the spacing.
func (f lineFamily) turned(variant int) lineFamily {
	if variant%2 != 0 && f.angle != 0 {
		f.angle = 180 - f.angle
	}
	f.offset += f.spacing * 0.37 * float64(variant/2)
	return f
}

// edgeSet is a region as straight edges, for the even-odd rule.
type edgeSet struct {
	edges  [][2]Point
	bounds Rect
}

func newEdges(contours []contour) *edgeSet {
	e := &edgeSet{bounds: nothing()}
	for _, c := range contours {
		for i, p := range c.pts {
			e.bounds.add(p)
			q := c.pts[(i+1)%len(c.pts)]
			if p != q {
				e.edges = append(e.edges, [2]Point{p, q})
			}
		}
	}
	return e
}

// thickness is the mean thickness of a thin region: twice its area over its
// perimeter. Contours inside an odd number of others are holes.
func thickness(contours []contour) float64 {
	var area, length float64
	for i, c := range contours {
		depth := 0
		for j, d := range contours {
			if i != j && newEdges([]contour{d}).contains(c.pts[0]) {
				depth++
			}
		}
		a, l := areaAndLength(c.pts)
		if depth%2 != 0 {
			a = -a
		}
		area, length = area+a, length+l
	}
	if length == 0 {
		return 0
	}
	return 2 * area / length
}

// areaAndLength of a closed polygon; the area is not negative.
func areaAndLength(pts []Point) (area, length float64) {
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		area += p.cross(q) / 2
		length += p.Dist(q)
	}
	return math.Abs(area), length
}

// cuts gives the places along the line o + t·u where it enters and leaves the
// region, in pairs. An end of an edge counts for one of its edges only, so a
// line through a corner is cut as often as one beside it.
func (e *edgeSet) cuts(buf []float64, o, u Point) []float64 {
	n := u.left()
	at := n.dot(o)
	base := u.dot(o)
	buf = buf[:0]
	for _, ab := range e.edges {
		da, db := n.dot(ab[0])-at, n.dot(ab[1])-at
		if (da < 0) == (db < 0) {
			continue
		}
		ta, tb := u.dot(ab[0])-base, u.dot(ab[1])-base
		buf = append(buf, ta+(tb-ta)*da/(da-db))
	}
	sort.Float64s(buf)
	return buf
}

// maxHatchLines bounds the lines of one family in one region; a region so
// large is hatched wider.
const maxHatchLines = 3000

// family adds the lines of a family inside the region.
func (e *edgeSet) family(out *Path, anchor Point, f lineFamily) {
	u := Polar(1, f.angle)
	n := u.left()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range e.bounds.corners() {
		d := c.Sub(anchor).dot(n)
		lo, hi = min(lo, d), max(hi, d)
	}
	step := f.spacing
	for (hi-lo)/step > maxHatchLines {
		step *= 2
	}
	var period float64
	for _, d := range f.dash {
		period += d
	}
	var buf []float64
	first := math.Ceil((lo - f.offset) / step)
	last := math.Floor((hi - f.offset) / step)
	for i := first; i <= last; i++ {
		o := anchor.Add(n.Mul(f.offset + i*step))
		buf = e.cuts(buf, o, u)
		for j := 0; j+1 < len(buf); j += 2 {
			if period == 0 {
				out.moveTo(o.Add(u.Mul(buf[j]))).lineTo(o.Add(u.Mul(buf[j+1])))
			} else {
				dashed(out, o, u, buf[j], buf[j+1], f.dash, period, i*f.shift)
			}
		}
	}
}

// dashed adds the dashes of an anchored line between t0 and t1.
func dashed(out *Path, o, u Point, t0, t1 float64, dash []float64, period, phase float64) {
	for start := math.Floor((t0-phase)/period)*period + phase; start < t1; start += period {
		t := start
		for i, d := range dash {
			if a, b := max(t, t0), min(t+d, t1); i%2 == 0 && a < b {
				out.moveTo(o.Add(u.Mul(a))).lineTo(o.Add(u.Mul(b)))
			}
			t += d
		}
	}
}

// strokes scatters short strokes, or dots where the length is 0, over the
// region: one to a cell of an anchored grid, moved and turned by a hash of the
// cell, so that the same cell always looks the same.
func (e *edgeSet) strokes(out *Path, anchor Point, cell float64, variant int, length func(hash uint32) float64) {
	for e.bounds.W()/cell*e.bounds.H()/cell > 40000 {
		cell *= 1.5
	}
	lo, hi := e.bounds.Min.Sub(anchor), e.bounds.Max.Sub(anchor)
	var buf []float64
	for j := math.Floor(lo.Y / cell); j <= math.Floor(hi.Y/cell); j++ {
		for i := math.Floor(lo.X / cell); i <= math.Floor(hi.X/cell); i++ {
			h := cellHash(int64(i), int64(j), variant)
			c := anchor.Add(Point{(i + 0.2 + 0.6*part(h, 0)) * cell, (j + 0.2 + 0.6*part(h, 8)) * cell})
			l := length(h >> 24)
			u := Polar(1, 180*part(h, 16))
			if l == 0 {
				l = 0.02 // a dot: a stroke as short as can be, with round ends
			}
			o := c.Sub(u.Mul(l / 2))
			buf = e.cuts(buf, o, u)
			for k := 0; k+1 < len(buf); k += 2 {
				if a, b := max(buf[k], 0), min(buf[k+1], l); a < b {
					out.moveTo(o.Add(u.Mul(a))).lineTo(o.Add(u.Mul(b)))
				}
			}
		}
	}
}

// cellHash mixes a cell's place into 32 well-spread bits.
func cellHash(i, j int64, variant int) uint32 {
	h := uint32(i)*0x9E3779B1 ^ uint32(j)*0x85EBCA77 ^ uint32(variant)*0xC2B2AE3D
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 12
	h *= 0x297A2D39
	return h ^ h>>15
}

// part is eight bits of a hash as a fraction.
func part(h uint32, shift uint) float64 { return float64(h>>shift&0xFF) / 256 }

// grain draws the wavy lines of wood along x (along y for odd variants).
func (e *edgeSet) grain(out *Path, anchor Point, variant int) {
	f := frame{anchor, Point{1, 0}, Point{0, 1}}
	if variant%2 != 0 {
		f.u, f.n = f.n, Point{-1, 0}
	}
	r := nothing()
	for _, c := range e.bounds.corners() {
		r.add(f.from(c))
	}
	const spacing, step = 1.7, 1.5
	skip := math.Max(1, math.Ceil(r.W()/step*r.H()/spacing/40000))
	var buf []float64
	for row := math.Floor(r.Min.Y/spacing) - 1; row <= r.Max.Y/spacing+1; row += skip {
		wave := func(i float64) Point {
			x := i * step
			return f.to(x, spacing*(row+0.35*math.Sin(x/9+row*0.7)+0.2*math.Sin(x/4.1+row*2.3)))
		}
		for i := math.Floor(r.Min.X / step); i*step < r.Max.X; i++ {
			a, b := wave(i), wave(i+1)
			u := b.Sub(a).unit()
			l := a.Dist(b)
			buf = e.cuts(buf, a, u)
			for k := 0; k+1 < len(buf); k += 2 {
				if s, t := max(buf[k], 0), min(buf[k+1], l); s < t {
					p := a.Add(u.Mul(s))
					if !out.open || out.at.Dist(p) > 1e-6 {
						out.moveTo(p)
					}
					out.lineTo(a.Add(u.Mul(t)))
				}
			}
		}
	}
}

// materialNames are the names used in class names and tests, not for people.
var materialNames = [...]string{"none", "brick", "dense-brick", "insulation", "steel", "ceramic", "slip", "ground", "water", "wood", "ash"}

// String is the material's plain name for programmers; pages use their own words.
func (m Material) String() string {
	if int(m) < len(materialNames) {
		return materialNames[m]
	}
	return "unknown"
}

// contains reports whether a point is inside the region by the even-odd rule.
func (e *edgeSet) contains(p Point) bool {
	cuts := e.cuts(nil, p, Point{1, 0})
	i, _ := slices.BinarySearch(cuts, 0)
	return i%2 == 1
}
