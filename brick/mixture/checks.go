package mixture

import (
	"math"

	"stovewright/proof"
)

// yarn is the published mixture example: elongation of yarn from polyethylene,
// polystyrene and polypropylene, a {3, 2} lattice with repeats (cornell2002;
// the fifteen values from memory, the coefficients printed in nistmixture).
func yarn() (points []Point, y []float64) {
	for _, r := range []struct {
		p Point
		y []float64
	}{
		{Point{1, 0, 0}, []float64{11.0, 12.4}}, {Point{0.5, 0.5, 0}, []float64{15.0, 14.8, 16.1}},
		{Point{0, 1, 0}, []float64{8.8, 10.0}}, {Point{0, 0.5, 0.5}, []float64{10.0, 9.7, 11.8}},
		{Point{0, 0, 1}, []float64{16.8, 16.0}}, {Point{0.5, 0, 0.5}, []float64{17.7, 16.4, 16.6}},
	} {
		for _, v := range r.y {
			points, y = append(points, r.p), append(y, v)
		}
	}
	return points, y
}

func yarnFit(m Model) Fit {
	points, y := yarn()
	f, err := FitModel(points, y, m)
	if err != nil {
		panic(err) // the data stand above
	}
	return f
}

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	const in = "15 observations of yarn elongation, {3, 2} lattice"
	published := func(id, quantity string, expected, abs float64, of func(Fit) float64) proof.Check {
		return proof.Check{ID: "brick/mixture/yarn-" + id, Quantity: quantity, Inputs: in, Expected: expected, Abs: abs, Standing: proof.PublishedFromMemory,
			Source: "nistmixture", Note: "data from memory (cornell2002); they give the printed coefficients", Ours: func() float64 { return of(yarnFit(Quadratic)) }}
	}
	second := func(id, quantity, inputs string, expected, rel float64, ours func() float64) proof.Check {
		return proof.Check{ID: "brick/mixture/" + id, Quantity: quantity, Inputs: inputs, Expected: expected, Rel: rel, Standing: proof.SecondImplementation,
			Source: "scipy", Note: "numpy.linalg.lstsq and scipy.stats on the same data", Ours: ours}
	}
	exact := func(id, quantity, inputs string, expected, abs float64, ours func() float64) proof.Check {
		return proof.Check{ID: "brick/mixture/" + id, Quantity: quantity, Inputs: inputs, Expected: expected, Abs: abs, Standing: proof.Exact, Ours: ours}
	}
	checks := []proof.Check{
		published("s", "residual standard deviation", 0.85375, 5e-6, func(f Fit) float64 { return f.S }),
		published("r2", "R² about the mean", 0.95136, 5e-6, func(f Fit) float64 { return f.R2 }),
		published("adj-r2", "adjusted R²", 0.92433, 5e-6, func(f Fit) float64 { return f.AdjR2 }),
		published("f", "F against all mixtures alike, 5 and 9 degrees of freedom", 35.203, 0.0005, func(f Fit) float64 { return f.F }),
		published("se-pure", "standard error of a pure coefficient", 0.60369, 5e-6, func(f Fit) float64 { return f.SE[0] }),
		published("se-blend", "standard error of a blending coefficient", 2.60825, 5e-6, func(f Fit) float64 { return f.SE[3] }),
		published("sse", "residual sum of squares", 6.56, 1e-9, func(f Fit) float64 { return f.SSE }),
		published("sst", "sum of squares about the mean", 134.856, 1e-9, func(f Fit) float64 { return f.SST }),
		second("yarn-p", "p value of F", in, 1.2023825376041592e-05, 1e-8, func() float64 { return yarnFit(Quadratic).P }),
		second("yarn-centroid", "predicted elongation at the centroid", in, 14.811111111111112, 1e-12,
			func() float64 { return yarnFit(Quadratic).At(Point{1. / 3, 1. / 3, 1. / 3}) }),
		second("yarn-centroid-mean", "half width of its interval at 95 %", in, 0.8976973724249443, 1e-9, func() float64 {
			_, m, _ := yarnFit(Quadratic).Predict(Point{1. / 3, 1. / 3, 1. / 3}, 0.95)
			return m.HalfWidth()
		}),
		second("yarn-centroid-next", "half width for one more observation", in, 2.129752049782549, 1e-9, func() float64 {
			_, _, n := yarnFit(Quadratic).Predict(Point{1. / 3, 1. / 3, 1. / 3}, 0.95)
			return n.HalfWidth()
		}),
		second("yarn-linear-lack", "F of the lack of fit of the linear model, 3 and 9 degrees of freedom", in, 32.31718403547669, 1e-9,
			func() float64 { return yarnFit(Linear).Lack.F }),
		second("yarn-linear-lack-p", "its p value", in, 3.786480999277424e-05, 1e-8, func() float64 { return yarnFit(Linear).Lack.P }),
		exact("yarn-best", "largest elongation over all mixtures", "printed coefficients; b1 x + b3 (1−x) + b13 x (1−x) at x = 67/228", 17.3844, 0.00005, func() float64 {
			_, v, err := yarnFit(Quadratic).Best(Free(3), true)
			if err != nil {
				return math.NaN()
			}
			return v
		}),
		exact("yarn-best-share", "polyethylene in it", "67/228", 67.0/228, 1e-4, func() float64 {
			p, _, err := yarnFit(Quadratic).Best(Free(3), true)
			if err != nil {
				return math.NaN()
			}
			return p[0]
		}),
		exact("lattice-3-2", "mixtures of the lattice", "{3, 2}", 6, 1e-9, func() float64 { return float64(len(Lattice(3, 2))) }),
		exact("lattice-3-3", "mixtures of the lattice", "{3, 3}", 10, 1e-9, func() float64 { return float64(len(Lattice(3, 3))) }),
		exact("lattice-4-2", "mixtures of the lattice", "{4, 2}", 10, 1e-9, func() float64 { return float64(len(Lattice(4, 2))) }),
		exact("centroid-3", "mixtures of the simplex centroid", "3 ingredients", 7, 1e-9, func() float64 { return float64(len(Centroid(3))) }),
		exact("centroid-4", "mixtures of the simplex centroid", "4 ingredients", 15, 1e-9, func() float64 { return float64(len(Centroid(4))) }),
		{ID: "brick/mixture/flare-vertices", Quantity: "corners of the bounded mixtures", Inputs: "bounds .40-.60, .10-.50, .10-.50, .03-.08", Expected: 8, Abs: 1e-9,
			Standing: proof.PublishedFromMemory, Source: "mclean1966", Ours: func() float64 { v, _ := flare().Vertices(); return float64(len(v)) }},
		{ID: "brick/mixture/d-optimal-3-2", Quantity: "ln det(XᵀX) of the best six points for the quadratic of three", Inputs: "candidates: lattice {3, 8}", Expected: -12 * math.Ln2,
			Abs: 1e-6, Standing: proof.PublishedFromMemory, Source: "kiefer1961", Note: "the {3, 2} lattice is D-optimal; its determinant is (1/4)⁶",
			Ours: func() float64 {
				c, err := DOptimal(Lattice(3, 8), Quadratic, 6, nil, 1)
				if err != nil {
					return math.NaN()
				}
				return c.LogDet
			}},
		exact("axial", "distance of the axial points of a rotatable composite", "2 variables", math.Sqrt2, 1e-12, func() float64 { return CentralComposite(2, 3)[5][0] }),
	}
	for i, want := range []float64{11.7, 9.4, 16.4, 19.0, 11.4, -9.6} {
		checks = append(checks, published("b"+[]string{"1", "2", "3", "12", "13", "23"}[i], "coefficient", want, 1e-9, func(f Fit) float64 { return f.Coefficients[i] }))
	}
	return checks
}

// flare are the bounds of the published example of extreme vertices
// (mclean1966).
func flare() Bounds {
	return Bounds{Low: []float64{0.40, 0.10, 0.10, 0.03}, High: []float64{0.60, 0.50, 0.50, 0.08}}
}
