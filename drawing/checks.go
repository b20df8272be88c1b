package drawing

import (
	"math"

	"stovewright/proof"
)

// Checks are the drawing model's entries in the register of proof.
func Checks() []proof.Check {
	return []proof.Check{
		{
			ID: "drawing/letter-width", Quantity: "width of Letter paper", Inputs: "8.5 in of 25.4 mm", Unit: "mm",
			Expected: 215.9, Abs: 1e-9, Standing: proof.Exact, Ours: func() float64 { return Letter.Width },
		},
		{
			ID: "drawing/a-series-ratio", Quantity: "long side of A4 over short side of A3", Inputs: "A4, A3",
			Expected: 1, Abs: 1e-12, Standing: proof.Exact, Ours: func() float64 { return A4.Height / A3.Width },
			Note: "each size of the A series is half the next",
		},
		{
			ID: "drawing/isometric-long-axis", Quantity: "long axis of the ellipse over the diameter of a level circle", Inputs: "isometric drawing",
			Expected: 1.224744871391589, Rel: 1e-5, Standing: proof.Exact, Ours: func() float64 { return isometricCircle().W() / 2 },
			Note: "√(3/2)",
		},
		{
			ID: "drawing/isometric-short-axis", Quantity: "short axis of the ellipse over the diameter of a level circle", Inputs: "isometric drawing",
			Expected: 0.7071067811865476, Rel: 1e-5, Standing: proof.Exact, Ours: func() float64 { return isometricCircle().H() / 2 },
			Note: "√(1/2)",
		},
		{
			ID: "drawing/arc-as-curves", Quantity: "largest error of a circle drawn as Bézier curves", Inputs: "radius 1, eight curves, sampled", Unit: "radius",
			Expected: 0, Abs: 5e-6, Standing: proof.Exact, Ours: circleCurveError,
			Note: "0.005 mm on a circle of 2 m across; the tolerance is the bound that the package states",
		},
		{
			ID: "drawing/bulge-quarter-arc", Quantity: "bulge of a quarter arc in DXF", Inputs: "90°",
			Expected: 0.41421356237309503, Rel: 1e-12, Standing: proof.Exact, Ours: func() float64 { return bulge(math.Pi / 2) },
			Note: "tan(90°/4) = √2 − 1",
		},
	}
}

// isometricCircle is the room of a level circle of diameter 2, drawn.
func isometricCircle() Rect {
	p := prism{plan: Circle(Point{}, 1)}
	return p.plane(0).Bounds()
}

// circleCurveError is the largest distance of the curves from the unit circle.
func circleCurveError() float64 {
	worst := 0.0
	arcCubics(seg{kind: arcTo, r: 1, sweep: 2 * math.Pi, p: Point{1, 0}}, func(s seg) {
		// the curve starts where its first control point's tangent meets the circle
		start := s.p.Rotate(Point{}, -45)
		for i := range 101 {
			worst = max(worst, math.Abs(cubicAt(start, s, float64(i)/100).Len()-1))
		}
	})
	return worst
}
