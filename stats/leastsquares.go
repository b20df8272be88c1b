package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Fit is a linear least-squares fit.
type Fit struct {
	Coefficients []float64
	Covariance   *mat.SymDense // of the coefficients, s²(XᵀX)⁻¹
	S            float64       // residual standard deviation
	DF           float64       // observations less coefficients
	R2           float64       // share of the variation about the mean explained
	Residuals    []float64
}

// LeastSquares fits y to the columns of a design, one row an observation, by
// QR factorisation. It needs more observations than coefficients, and columns
// that do not depend on each other.
func LeastSquares(design [][]float64, y []float64) (Fit, error) {
	n := len(y)
	if len(design) != n {
		return Fit{}, fmt.Errorf("%w: %d rows and %d values", ErrUnequal, len(design), n)
	}
	if err := check(y, 2); err != nil {
		return Fit{}, err
	}
	p := len(design[0])
	if n <= p || p == 0 {
		return Fit{}, fmt.Errorf("%w: %d values for %d coefficients", ErrTooFew, n, p)
	}
	x := mat.NewDense(n, p, nil)
	for i, row := range design {
		if len(row) != p {
			return Fit{}, fmt.Errorf("%w: row %d has %d columns, not %d", ErrUnequal, i+1, len(row), p)
		}
		if err := check(row, p); err != nil {
			return Fit{}, err
		}
		x.SetRow(i, row)
	}
	var qr mat.QR
	qr.Factorize(x)
	if qr.Cond() > 1e14 {
		return Fit{}, fmt.Errorf("%w: the columns depend on each other", ErrRange)
	}
	b := mat.NewVecDense(p, nil)
	if err := qr.SolveVecTo(b, false, mat.NewVecDense(n, y)); err != nil {
		return Fit{}, fmt.Errorf("stats: least squares: %w", err)
	}
	return summariseFit(x, b, y, &qr)
}

func summariseFit(x *mat.Dense, b *mat.VecDense, y []float64, qr *mat.QR) (Fit, error) {
	n, p := x.Dims()
	f := Fit{Coefficients: b.RawVector().Data, DF: float64(n - p), Residuals: make([]float64, n)}
	m := Mean(y)
	var left, all float64
	for i, v := range y {
		f.Residuals[i] = v - mat.Dot(x.RowView(i), b)
		left += f.Residuals[i] * f.Residuals[i]
		all += (v - m) * (v - m)
	}
	f.S = math.Sqrt(left / f.DF)
	f.R2 = 1 - left/all
	var r mat.Dense
	qr.RTo(&r)
	upper := mat.NewTriDense(p, mat.Upper, nil)
	for i := range p {
		for j := i; j < p; j++ {
			upper.SetTri(i, j, r.At(i, j))
		}
	}
	var inverse mat.TriDense
	if err := inverse.InverseTri(upper); err != nil {
		return Fit{}, fmt.Errorf("stats: least squares: %w", err)
	}
	var product mat.Dense
	product.Mul(&inverse, inverse.T())
	f.Covariance = mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			f.Covariance.SetSym(i, j, f.S*f.S*product.At(i, j))
		}
	}
	return f, nil
}

// SE is the standard error of a coefficient.
func (f Fit) SE(i int) float64 { return math.Sqrt(f.Covariance.At(i, i)) }

// Predict is the fitted value for one row of a design and its standard
// uncertainty, that of the line alone (jcgm2008gum H.3.4).
func (f Fit) Predict(row []float64) (value, u float64) {
	v := mat.NewVecDense(len(row), row)
	return mat.Dot(v, mat.NewVecDense(len(row), f.Coefficients)), math.Sqrt(mat.Inner(v, f.Covariance, v))
}

// Line fits y = a + b·x.
func Line(x, y []float64) (Fit, error) {
	design := make([][]float64, len(x))
	for i, v := range x {
		design[i] = []float64{1, v}
	}
	return LeastSquares(design, y)
}
