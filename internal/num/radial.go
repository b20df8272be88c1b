package num

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Radial is a smooth surface through scattered points: a sum of the cubed distances
// to the points and a plane (radial basis functions, key powell1992theory). It
// reproduces planes exactly and has nothing to set. Several quantities may be
// interpolated at once.
type Radial struct {
	points  [][]float64
	weights *mat.Dense // by point, then of 1 and of each coordinate; a column a quantity
}

// stillSlope holds the slope of the plane at zero along a coordinate in which no two
// points differ; elsewhere it is too small to be seen.
const stillSlope = 1e-9

// NewRadial lays a surface through points, each with its values. The coordinates
// should be of like size. An error for no points, for lengths that do not fit, for
// what is no number, and for points so close to each other that they cannot be told
// apart.
func NewRadial(points, values [][]float64) (*Radial, error) {
	if len(points) == 0 || len(points) != len(values) {
		return nil, errors.New("num: a surface needs points, each with its values")
	}
	n, d, m := len(points), len(points[0]), len(values[0])
	system, right := mat.NewDense(n+1+d, n+1+d, nil), mat.NewDense(n+1+d, m, nil)
	for i, p := range points {
		if len(p) != d || len(values[i]) != m {
			return nil, errors.New("num: points of a surface differ in length")
		}
		if !finite(p) || !finite(values[i]) {
			return nil, errors.New("num: a point of a surface is no number")
		}
		right.SetRow(i, values[i])
		for j, q := range points[:i] {
			both(system, i, j, cubed(p, q))
		}
		both(system, i, n, 1)
		for k, x := range p {
			both(system, i, n+1+k, x)
		}
	}
	for k := n + 1; k <= n+d; k++ {
		system.Set(k, k, -stillSlope)
	}
	var lu mat.LU
	lu.Factorize(system)
	r := &Radial{points: points, weights: new(mat.Dense)}
	if err := lu.SolveTo(r.weights, false, right); err != nil {
		return nil, errors.New("num: points of a surface lie too close to each other")
	}
	return r, nil
}

func finite(x []float64) bool {
	return !slices.ContainsFunc(x, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

func both(m *mat.Dense, i, j int, x float64) {
	m.Set(i, j, x)
	m.Set(j, i, x)
}

// cubed is the cube of the distance of two points.
func cubed(a, b []float64) float64 {
	square := 0.0
	for i, x := range a {
		square += (x - b[i]) * (x - b[i])
	}
	return square * math.Sqrt(square)
}

// At is the height of the surface at a point, quantity by quantity.
func (r *Radial) At(x []float64) []float64 {
	n := len(r.points)
	_, m := r.weights.Dims()
	y := make([]float64, m)
	copy(y, r.weights.RawRowView(n))
	for i, p := range r.points {
		floats.AddScaled(y, cubed(x, p), r.weights.RawRowView(i))
	}
	for k, v := range x {
		floats.AddScaled(y, v, r.weights.RawRowView(n+1+k))
	}
	return y
}
