package heat

import (
	"math"

	"stovewright/proof"
)

func sectionChecks() []proof.Check {
	return []proof.Check{
		{ID: "heat/section-short-cylinder", Quantity: "cooling short cylinder, middle", Inputs: "Bi = 1, Fo = 0.5, half height = radius", Expected: 0.7725263834 * 0.5485862039, Abs: 5e-4,
			Standing: proof.Exact, Source: "carslaw1959", Note: "product of the slab and the cylinder, series by mpmath", Ours: func() float64 { return shortCylinder(20, 80) }},
		{ID: "heat/section-order", Quantity: "observed order of the section, cells and steps halved", Inputs: "cooling short cylinder, 10 to 20 cells a side", Expected: 2, Abs: 0.1,
			Standing: proof.Exact, Note: "the scheme is of second order", Ours: func() float64 {
				const exact = 0.7725263834 * 0.5485862039
				return math.Log2(math.Abs(shortCylinder(10, 40)-exact) / math.Abs(shortCylinder(20, 80)-exact))
			}},
		{ID: "heat/section-layers", Quantity: "heat lost by a layered cylinder insulated at its ends", Inputs: "three-layer wall of the note, 0.1 m high, cells of 2.5 mm", Unit: "W", Expected: 63.20581954, Rel: 2e-4,
			Standing: proof.Exact, Note: "one-dimensional solution by mpmath", Ours: sectionLayers},
		{ID: "heat/section-balance", Quantity: "steady heat of all edges over heat lost to the air", Inputs: "section of a stove, all edges", Expected: 0, Abs: 1e-8,
			Standing: proof.Exact, Ours: func() float64 {
				plan, edges := examplePlan(0.006)
				s, err := NewSection(plan, 300)
				if err != nil || s.Steady(edges) != nil {
					return math.NaN()
				}
				return (s.Out(0) + s.Out(1) + s.Out(2)) / s.Out(1)
			}},
	}
}

// shortCylinder cools the upper half of a cylinder whose half height equals its
// radius from 1 to 0 with Bi = 1 and reads its middle at Fo = 0.5. The value in
// the corner is taken from the corner cell by the parabola that symmetry gives.
func shortCylinder(cells, steps int) float64 {
	const size, k = 0.1, 0.2
	solid := Solid{ConstantConductivity(k), k / 3e-7 / 1000, 1000}
	s, err := NewSection(Plan{Parts: []Part{{R1: size, Z1: size, Solid: &solid}}, Cell: size / float64(cells), Bottom: Insulated}, 1)
	if err != nil {
		return math.NaN()
	}
	edges := []Surround{Around(k/size, 0)}
	seconds := 0.5 * size * size / 3e-7
	for i := 0; i < steps; i++ {
		if s.Step(seconds/float64(steps), edges) != nil {
			return math.NaN()
		}
	}
	return s.T[0]
}

func sectionLayers() float64 {
	layers := noteCylinder()
	plan := Plan{Cell: 0.0025, Side: 1, Top: Insulated, Bottom: Insulated, Parts: []Part{{R1: 0.06, Z1: 0.1}}}
	r := 0.06
	for i := range layers {
		plan.Parts = append(plan.Parts, Part{R0: r, R1: r + layers[i].Thickness, Z1: 0.1, Solid: &layers[i].Solid})
		r += layers[i].Thickness
	}
	s, err := NewSection(plan, 300)
	if err != nil || s.Steady([]Surround{Around(math.Inf(1), 1000), Around(10, 300)}) != nil {
		return math.NaN()
	}
	return s.Out(1)
}

// examplePlan is an invented stove in section: brick, fill, sheet, base and top
// ring around a chamber, with gas (edge 0), air (edge 1) and ground (edge 2).
func examplePlan(cell float64) (Plan, []Surround) {
	brick := Solid{Conductivity{{293.15, 0.15}, {773.15, 0.24}}, 600, 950}
	fill := Solid{ConstantConductivity(0.095), 450, 850}
	sheet := Solid{ConstantConductivity(50), 7850, 490}
	base := Solid{ConstantConductivity(0.8), 1800, 900}
	plan := Plan{Cell: cell, Side: 1, Top: 1, Bottom: 2, Parts: []Part{
		{R1: 0.15, Z1: 0.32, Solid: &fill},
		{R1: 0.15, Z0: 0, Z1: 0.03, Solid: &base},
		{R0: 0.06, R1: 0.10, Z0: 0.03, Z1: 0.32, Solid: &brick},
		{R0: 0.06, R1: 0.151, Z0: 0.32, Z1: 0.322, Solid: &sheet},
		{R0: 0.15, R1: 0.151, Z0: 0, Z1: 0.32, Solid: &sheet},
		{R1: 0.06, Z0: 0.03, Z1: 0.322, Edge: 0},
	}}
	return plan, []Surround{Around(30, 1000), Around(10, 300), Around(5, 300)}
}
