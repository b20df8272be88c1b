package mesh

import (
	"math"

	"stovewright/proof"
)

// Checks are the entries of this package in the register of proof. All rest on
// solid geometry; independent mesh programs measure the written files in the
// tests.
func Checks() []proof.Check {
	brick := Region{Outer: Rect(120, 60)}
	mould := Mould{Cavities: []Polygon{Rect(120, 60)}, Depth: 64, Draft: math.Atan(1.0 / 32), Wall: 20, Floor: 15}
	return []proof.Check{
		{ID: "mesh/box-volume", Quantity: "volume of a box", Inputs: "10 × 20 × 30 mm", Unit: "mm³",
			Expected: 6000, Rel: 1e-12, Standing: proof.Exact, Ours: func() float64 { return volume(Box(10, 20, 30)) }},
		{ID: "mesh/box-area", Quantity: "surface of a box", Inputs: "10 × 20 × 30 mm", Unit: "mm²",
			Expected: 2200, Rel: 1e-12, Standing: proof.Exact, Ours: func() float64 { return area(Box(10, 20, 30)) }},
		{ID: "mesh/prism-with-hole", Quantity: "volume of a square prism with a square hole",
			Inputs: "100 mm square, 40 mm square hole, 10 mm high", Unit: "mm³",
			Expected: 84000, Rel: 1e-12, Standing: proof.Exact, Ours: func() float64 {
				return volume(Prism(Region{Rect(100, 100), []Polygon{Rect(40, 40).Translate(30, 30)}}, 0, 10))
			}},
		{ID: "mesh/pyramid-frustum", Quantity: "volume of a square pyramid's frustum, h/3·(A1+A2+√(A1·A2))",
			Inputs: "30 mm square to 20 mm square, 12 mm high", Unit: "mm³",
			Expected: 7600, Rel: 1e-12, Standing: proof.Exact, Ours: func() float64 {
				return volume(Loft(Region{Outer: Rect(30, 30)}, Region{Outer: Rect(20, 20).Translate(5, 5)}, 0, 12))
			}},
		{ID: "mesh/drafted-brick", Quantity: "volume of a drafted brick, ab·h + (a+b)·t·h² + 4/3·t²·h³ with t = tan draft",
			Inputs: "a 120 mm, b 60 mm at the narrow end, h 64 mm, t 1/32", Unit: "mm³",
			Expected: 460800 + 23040 + 1024.0/3, Rel: 1e-12, Standing: proof.Exact,
			Ours: func() float64 { return volume(Taper(brick, 0, 64, math.Atan(1.0/32))) }},
		{ID: "mesh/mould-block", Quantity: "volume of a mould, its block less the drafted cavity",
			Inputs: "the drafted brick's cavity, wall 20 mm, floor 15 mm: block 164 × 104 × 79 mm", Unit: "mm³",
			Expected: 1347424 - (460800 + 23040 + 1024.0/3), Rel: 1e-12, Standing: proof.Exact,
			Ours: func() float64 { return volume(mould.Block()) }},
		{ID: "mesh/fillet-area", Quantity: "area of a square with rounded corners, a² − (4 − π)·r²",
			Inputs: "a 100 mm, r 20 mm, chords within 0.001 mm", Unit: "mm²",
			Expected: 10000 - (4-math.Pi)*400, Abs: 0.09, Standing: proof.Exact,
			Note: "the chords cut off at most 2/3 · 2πr · 0.001 mm = 0.084 mm²",
			Ours: func() float64 {
				p, err := Rect(100, 100).Fillet(20, 0.001)
				if err != nil {
					return math.NaN()
				}
				return p.SignedArea()
			}},
		{ID: "mesh/cylinder-volume", Quantity: "volume of a cylinder, π·r²·h",
			Inputs: "r 50 mm, h 10 mm, chords within 0.001 mm", Unit: "mm³",
			Expected: math.Pi * 25000, Abs: 2.1, Standing: proof.Exact,
			Note: "the chords cut off at most 2/3 · 2πr · 0.001 mm · h = 2.09 mm³",
			Ours: func() float64 { return volume(Cylinder(50, 10, 0.001)) }},
		{ID: "mesh/six-bricks", Quantity: "volume of six mitred bricks, 2√3·((a+t)² − a²)·h, the ring between two hexagons",
			Inputs: "apothem a 55 mm, thickness t 60 mm, h 100 mm", Unit: "mm³",
			Expected: 2 * math.Sqrt(3) * 10200 * 100, Rel: 1e-12, Standing: proof.Exact,
			Ours: func() float64 { return 6 * volume(Prism(Region{Outer: RingSegment(6, 55, 60)}, 0, 100)) }},
		{ID: "mesh/hexagon-ring", Quantity: "volume of the ring between two hexagons as one prism with a hole",
			Inputs: "apothems 55 and 115 mm, 100 mm high", Unit: "mm³",
			Expected: 2 * math.Sqrt(3) * 10200 * 100, Rel: 1e-12, Standing: proof.Exact,
			Ours: func() float64 {
				return volume(Prism(Region{RegularPolygon(6, 115), []Polygon{RegularPolygon(6, 55)}}, 0, 100))
			}},
	}
}

func volume(m *Mesh, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return m.Volume()
}

func area(m *Mesh, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return m.Area()
}
