package mixture

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"stovewright/stats"
)

// Model is a Scheffé polynomial (scheffe1958): it has no constant, for the
// shares add up to one.
type Model int

// The models.
const (
	Linear       Model = iota // Σ bi xi
	Quadratic                 // and Σ bij xi xj
	SpecialCubic              // and Σ bijk xi xj xk
)

// Terms are the values of the model's terms at a mixture.
func (m Model) Terms(p Point) []float64 {
	terms := append([]float64(nil), p...)
	m.each(len(p), func(set []int) {
		v := 1.0
		for _, i := range set {
			v *= p[i]
		}
		terms = append(terms, v)
	})
	return terms
}

// Names names the terms from the names of the ingredients.
func (m Model) Names(ingredients []string) []string {
	names := append([]string(nil), ingredients...)
	m.each(len(ingredients), func(set []int) {
		var parts []string
		for _, i := range set {
			parts = append(parts, ingredients[i])
		}
		names = append(names, strings.Join(parts, " × "))
	})
	return names
}

// each visits the sets of two, then of three ingredients that the model has.
func (m Model) each(q int, visit func(set []int)) {
	if m >= Quadratic {
		for i := 0; i < q; i++ {
			for j := i + 1; j < q; j++ {
				visit([]int{i, j})
			}
		}
	}
	if m >= SpecialCubic {
		for i := 0; i < q; i++ {
			for j := i + 1; j < q; j++ {
				for k := j + 1; k < q; k++ {
					visit([]int{i, j, k})
				}
			}
		}
	}
}

// Fit is a fitted Scheffé polynomial.
type Fit struct {
	Model        Model
	Coefficients []float64
	SE           []float64
	S            float64 // residual standard deviation
	N, DF        int     // observations; those left for the residual
	SSE, SST     float64 // about the fit; about the mean
	R2, AdjR2    float64 // share of the variation about the mean; the same for the degrees of freedom
	F, P         float64 // against "all mixtures alike", and its p value
	Lack         LackOfFit

	q    int
	line stats.Fit
}

// LackOfFit compares what the model misses with the scatter of repeats.
type LackOfFit struct {
	SS, PureSS float64
	DF, PureDF int
	F, P       float64 // NaN without repeats, or without points left over
}

// FitModel fits by least squares. Observations at the same mixture are repeats.
// It needs more observations than terms.
func FitModel(points []Point, y []float64, m Model) (Fit, error) {
	f := Fit{Model: m, N: len(y)}
	if len(points) == 0 || len(points) != len(y) || len(points[0]) < 2 {
		return f, ErrDimension
	}
	f.q = len(points[0])
	design := make([][]float64, len(points))
	for i, p := range points {
		if len(p) != f.q {
			return f, ErrDimension
		}
		design[i] = m.Terms(p)
	}
	terms := len(design[0])
	if len(y) <= terms || len(unique(points)) < terms {
		return f, ErrTooFew
	}
	line, err := stats.LeastSquares(design, y)
	if err != nil {
		return f, fmt.Errorf("%w: %w", ErrSingular, err)
	}
	f.line, f.Coefficients, f.S = line, line.Coefficients, line.S
	for i := range f.Coefficients {
		f.SE = append(f.SE, line.SE(i))
	}
	f.anova(y, terms)
	f.Lack = lackOfFit(points, y, f.SSE, f.DF)
	return f, nil
}

func (f *Fit) anova(y []float64, terms int) {
	f.DF = f.N - terms
	f.SSE = f.S * f.S * float64(f.DF)
	m := stats.Mean(y)
	for _, v := range y {
		f.SST += (v - m) * (v - m)
	}
	f.R2 = 1 - f.SSE/f.SST
	f.AdjR2 = 1 - (f.SSE/float64(f.DF))/(f.SST/float64(f.N-1))
	// equal observations leave nothing but rounding on either side
	f.F = math.Max(0, f.SST-f.SSE) / float64(terms-1) / (f.SSE / float64(f.DF))
	f.P = tailF(f.F, terms-1, f.DF)
}

func tailF(f float64, df1, df2 int) float64 {
	if df1 < 1 || df2 < 1 || math.IsNaN(f) || f < 0 {
		return math.NaN()
	}
	if math.IsInf(f, 1) {
		return 0
	}
	return distuv.F{D1: float64(df1), D2: float64(df2)}.Survival(f)
}

func lackOfFit(points []Point, y []float64, sse float64, df int) LackOfFit {
	l := LackOfFit{}
	done := make([]bool, len(points))
	for i := range points {
		if done[i] {
			continue
		}
		var group []float64
		for j := i; j < len(points); j++ {
			if same(points[i], points[j]) {
				done[j] = true
				group = append(group, y[j])
			}
		}
		m := stats.Mean(group)
		for _, v := range group {
			l.PureSS += (v - m) * (v - m)
		}
		l.PureDF += len(group) - 1
	}
	l.SS, l.DF = math.Max(0, sse-l.PureSS), df-l.PureDF
	l.F, l.P = math.NaN(), math.NaN()
	if l.DF > 0 && l.PureDF > 0 && l.PureSS > 0 {
		l.F = l.SS / float64(l.DF) / (l.PureSS / float64(l.PureDF))
		l.P = tailF(l.F, l.DF, l.PureDF)
	}
	return l
}

// At is the fitted value at a mixture.
func (f Fit) At(p Point) float64 {
	v := 0.0
	for i, t := range f.Model.Terms(p) {
		v += t * f.Coefficients[i]
	}
	return v
}

// Predict is the fitted value with the interval of its mean and that of one
// more observation, at a level such as 0.95.
func (f Fit) Predict(p Point, level float64) (value float64, ofMean, ofNext stats.Interval) {
	value, u := f.line.Predict(f.Model.Terms(p))
	t := stats.TQuantile(0.5+level/2, float64(f.DF))
	next := t * math.Hypot(u, f.S)
	return value, stats.Interval{Low: value - t*u, High: value + t*u, Level: level},
		stats.Interval{Low: value - next, High: value + next, Level: level}
}

// Best is the mixture within the bounds at which the fitted value is largest
// (or least): the best of a fine lattice, then ever smaller moves between two
// ingredients.
func (f Fit) Best(b Bounds, largest bool) (Point, float64, error) {
	t, err := b.Tighten()
	if err != nil {
		return nil, 0, err
	}
	if len(t.Low) != f.q {
		return nil, 0, ErrDimension
	}
	sign := 1.0
	if !largest {
		sign = -1
	}
	starts, err := t.Candidates()
	if err != nil {
		return nil, 0, err
	}
	for _, p := range Lattice(f.q, 20) {
		if t.Contains(p) {
			starts = append(starts, p)
		}
	}
	best, value := starts[0], math.Inf(-1)
	for _, p := range starts {
		if v := sign * f.At(p); v > value {
			best, value = p, v
		}
	}
	for step := 0.05; step > 1e-7; {
		if p, v, better := f.move(t, best, step, sign, value); better {
			best, value = p, v
			continue
		}
		step /= 2
	}
	return best, sign * value, nil
}

// move tries to carry a step from one ingredient to another.
func (f Fit) move(b Bounds, p Point, step, sign, value float64) (Point, float64, bool) {
	for i := range p {
		for j := range p {
			d := math.Min(step, math.Min(p[i]-b.Low[i], b.High[j]-p[j]))
			if i == j || d <= 0 {
				continue
			}
			q := append(Point(nil), p...)
			q[i] -= d
			q[j] += d
			if v := sign * f.At(q); v > value+1e-13*math.Abs(value) {
				return q, v, true
			}
		}
	}
	return p, value, false
}

// Stationary is the point z* = −½ B⁻¹ b where a fitted quadratic
// y = c + Σ bi zi + Σ bii zi² + Σ bij zi zj of coded variables is flat; the off
// diagonal of B is bij/2.
func Stationary(linear []float64, quadratic *mat.SymDense) ([]float64, error) {
	var z mat.VecDense
	if err := z.SolveVec(quadratic, mat.NewVecDense(len(linear), append([]float64(nil), linear...))); err != nil {
		return nil, ErrSingular
	}
	out := make([]float64, len(linear))
	for i := range out {
		out[i] = -z.AtVec(i) / 2
	}
	return out, nil
}
