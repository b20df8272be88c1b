package flat

import (
	"math"

	"stovewright/proof"
)

const degree = math.Pi / 180

// Checks are the entries of this package in the proof register. The geometry is
// exact; its numbers were worked by hand from the formulas of plane geometry.
func Checks() []proof.Check {
	square := func(r float64) Fold { return Fold{Angle: math.Pi / 2, Radius: r} }
	cone := Frustum{Wide: 300, Narrow: 200, Height: 100}
	exact := func(id, quantity, inputs, unit string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "flat/" + id, Quantity: quantity, Inputs: inputs, Unit: unit, Expected: expected, Abs: abs,
			Standing: proof.Exact, Ours: ours}
	}
	list := []proof.Check{
		exact("cylinder", "flat length of a cylinder", "300 mm inside, 0.759 mm sheet", "mm", 944.86, 0.005,
			func() float64 { return Cylinder{300, 0.759}.Circumference() }),
		exact("cylinder-outside", "flat length of a cylinder by its outside", "300 mm outside, 0.759 mm sheet", "mm", 940.09, 0.005,
			func() float64 { return Cylinder{300 - 2*0.759, 0.759}.Circumference() }),
		exact("allowance-1", "bend allowance", "90°, radius 1 mm, sheet 1 mm, K 0.44", "mm", 2.2619, 5e-5,
			func() float64 { return BendAllowance(square(1), 1, 0.44) }),
		exact("deduction-1", "bend deduction", "90°, radius 1 mm, sheet 1 mm, K 0.44", "mm", 1.7381, 5e-5,
			func() float64 { return BendDeduction(square(1), 1, 0.44) }),
		exact("allowance-3", "bend allowance", "90°, radius 3 mm, sheet 1.5 mm, K 0.42", "mm", 5.7020, 5e-5,
			func() float64 { return BendAllowance(square(3), 1.5, 0.42) }),
		exact("deduction-3", "bend deduction", "90°, radius 3 mm, sheet 1.5 mm, K 0.42", "mm", 3.2980, 5e-5,
			func() float64 { return BendDeduction(square(3), 1.5, 0.42) }),
		exact("strip-neutral-middle", "flat length of an angle with its neutral axis in the middle", "legs 50 and 30 mm outside, 90°, radius 10 mm, sheet 1 mm", "mm",
			74.4934, 5e-5, func() float64 { return Develop([]float64{50, 30}, []Fold{square(10)}, 1).Length }),
		exact("frustum-outer", "outer radius of a cone's blank", "300 to 200 mm, 100 mm high", "mm", 335.4102, 5e-5,
			func() float64 { outer, _, _ := cone.Sector(); return outer }),
		exact("frustum-inner", "inner radius of a cone's blank", "300 to 200 mm, 100 mm high", "mm", 223.6068, 5e-5,
			func() float64 { _, inner, _ := cone.Sector(); return inner }),
		exact("frustum-angle", "angle of a cone's blank", "300 to 200 mm, 100 mm high", "°", 160.9969, 5e-5,
			func() float64 { _, _, angle := cone.Sector(); return angle / degree }),
		exact("frustum-slant", "slant of a cone", "300 to 200 mm, 100 mm high", "mm", 111.8034, 5e-5, cone.Slant),
		exact("frustum-area", "area of a cone's blank, π(R1 + R2)s", "300 to 200 mm, 100 mm high", "mm²", 87810.2, 0.05,
			func() float64 {
				outer, inner, angle := cone.Sector()
				return angle / 2 * (outer*outer - inner*inner)
			}),
		exact("opening-300", "flat width of an opening", "120 mm wide in a cylinder of 300 mm", "mm", 123.455, 5e-4,
			func() float64 { return ChordWidth(120, 300) }),
		exact("opening-280", "flat width of an opening", "110 mm wide in a cylinder of 280 mm", "mm", 113.046, 5e-4,
			func() float64 { return ChordWidth(110, 280) }),
		exact("sagitta-300", "bulge before an opening", "120 mm wide in a cylinder of 300 mm", "mm", 12.523, 5e-4,
			func() float64 { return Sagitta(120, 300) }),
		exact("sagitta-280", "bulge before an opening", "110 mm wide in a cylinder of 280 mm", "mm", 11.256, 5e-4,
			func() float64 { return Sagitta(110, 280) }),
		exact("branch-hole", "half width on the flat of the hole for a branch", "branch radius 50 mm, main radius 140 mm", "mm", 51.129, 5e-4,
			func() float64 { _, around := BranchHole(50, 140, math.Pi/2); return around }),
		exact("mitre-hexagon", "mitre of a ring of six", "6 sides", "°", 30, 1e-9, func() float64 { return RingMitre(6) / degree }),
		exact("mitre-octagon", "mitre of a ring of eight", "8 sides", "°", 22.5, 1e-9, func() float64 { return RingMitre(8) / degree }),
		exact("chord-slot", "angle of a rod that passes the axis at half the radius", "offset 50 mm, radius 100 mm", "°", 60, 1e-9,
			func() float64 { _, middle, _, _ := ChordSlot(50, 8, 100); return middle / degree }),
		{ID: "flat/hem", Quantity: "sheet for a single hem", Inputs: "6 mm wide", Unit: "mm", Expected: 6, Abs: 1e-9, Standing: proof.Published,
			Source: "steelworker", Ours: func() float64 { return HemAllowance(6) }},
		{ID: "flat/double-hem", Quantity: "sheet for a double hem", Inputs: "6 mm wide", Unit: "mm", Expected: 12, Abs: 1e-9, Standing: proof.Published,
			Source: "steelworker", Ours: func() float64 { return DoubleHemAllowance(6) }},
		{ID: "flat/wired-edge", Quantity: "sheet for a wired edge", Inputs: "wire 1/8 in", Unit: "in", Expected: 5.0 / 16, Abs: 1e-9, Standing: proof.Published,
			Source: "steelworker", Ours: func() float64 { return WiredEdgeAllowance(1.0 / 8) }},
		{ID: "flat/grooved", Quantity: "sheet for a grooved seam", Inputs: "folds of 1/4 in", Unit: "in", Expected: 0.75, Abs: 1e-9, Standing: proof.Published,
			Source: "spencerlockseam", Note: "the note adds a little for the bends, by feel", Ours: func() float64 { return GroovedSeam(0.25).Allowance }},
		{ID: "flat/grooved-280", Quantity: "flat length of a cylinder with a grooved seam", Inputs: "280 mm inside, 0.759 mm sheet, folds of 6 mm", Unit: "mm",
			Expected: 900.03, Abs: 0.005, Standing: proof.Exact, Ours: func() float64 { return Cylinder{280, 0.759}.Circumference() + GroovedSeam(6).Allowance }},
	}
	for _, row := range []struct{ ratio, k, tolerance float64 }{{1, 0.325, 1e-9}, {2, 0.400, 5e-4}, {5, 0.50, 5e-4}, {8, 0.50, 1e-9}} {
		list = append(list, proof.Check{ID: "flat/neutral-axis-" + number(row.ratio), Quantity: "neutral axis of a bend, share of the thickness",
			Inputs: "inside radius " + number(row.ratio) + " thicknesses", Expected: row.k, Abs: row.tolerance,
			Standing: proof.PublishedFromMemory, Source: "din6935", Ours: func() float64 { return DIN6935Factor(row.ratio, 1) }})
	}
	for _, row := range []struct{ phi, height float64 }{{0, 128.868}, {45, 120.412}, {90, 100}, {135, 79.588}, {180, 71.132}} {
		list = append(list, exact("truncated-"+number(row.phi), "height of a cylinder cut by a leaning plane",
			"radius 50 mm, height 100 mm, plane at 30°, angle "+number(row.phi)+"°", "mm", row.height, 5e-4,
			func() float64 { return TruncatedCylinder(50, 100, 30*degree, row.phi*degree) }))
	}
	for _, row := range []struct{ phi, longer float64 }{{0, 0}, {30, 2.250}, {60, 6.865}, {90, 9.233}} {
		list = append(list, exact("branch-"+number(row.phi), "length added to a branch",
			"branch radius 50 mm, main radius 140 mm, angle "+number(row.phi)+"°", "mm", row.longer, 5e-4,
			func() float64 { return BranchEnd(50, 140, row.phi*degree) }))
	}
	return list
}
