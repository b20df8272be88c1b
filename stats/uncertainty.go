package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Shape is the distribution that describes what is known of an input.
type Shape uint8

// The shapes. U of an [Input] is a standard uncertainty whatever the shape.
const (
	Gaussian    Shape = iota // repeated readings, calibrations
	Rectangular              // limits with nothing known between them; digital rounding
	Triangular               // limits, the middle likelier
)

// Resolution is the standard uncertainty of a reading on a scale of step a:
// a/√12 (jcgm2008gum F.2.2.1).
func Resolution(step float64) float64 { return step / math.Sqrt(12) }

// Limits is the standard uncertainty of a value known to lie within ± a, all
// places alike: a/√3 (jcgm2008gum 4.3.7).
func Limits(a float64) float64 { return a / math.Sqrt(3) }

// Input is one quantity that goes into a measurement.
type Input struct {
	Name  string
	Value float64
	U     float64 // standard uncertainty, ≥ 0
	DF    float64 // degrees of freedom behind U; 0 means infinitely many
	Shape Shape
}

func (in Input) df() float64 {
	if in.DF == 0 {
		return math.Inf(1)
	}
	return in.DF
}

// Correlated says that two inputs, by index, err together: R from -1 to 1.
type Correlated struct {
	A, B int
	R    float64
}

// Model computes the measurand from the values of the inputs, in their order.
type Model func(values []float64) float64

// BudgetLine is one input's part in the uncertainty.
type BudgetLine struct {
	Input
	Sensitivity  float64 // ∂f/∂x
	Contribution float64 // |∂f/∂x|·u
	Share        float64 // of the variance without correlations, 0 to 1
}

// Budget is a measurement result with its uncertainty and where that comes from.
type Budget struct {
	Value float64
	U     float64 // combined standard uncertainty
	DF    float64 // effective degrees of freedom; +Inf when none is finite
	Lines []BudgetLine
}

// Expanded is the coverage factor k = t_{DF} and the expanded uncertainty k·U.
// DF is cut to a whole number as jcgm2008gum G.4.1 advises.
func (b Budget) Expanded(level float64) (k, u float64) {
	df := b.DF
	if df < largeDF {
		df = math.Max(1, math.Floor(df))
	}
	k = TQuantile(0.5+level/2, df)
	return k, k * b.U
}

// Interval is the value ± the expanded uncertainty.
func (b Budget) Interval(level float64) Interval {
	_, u := b.Expanded(level)
	return Interval{b.Value - u, b.Value + u, level}
}

// Propagate is the law of propagation of uncertainty, first order, with
// correlations (jcgm2008gum 5.1, 5.2):
//
//	u² = Σ cᵢ²uᵢ² + 2ΣΣ cᵢcⱼuᵢuⱼrᵢⱼ,  cᵢ = ∂f/∂xᵢ
//
// and the Welch-Satterthwaite degrees of freedom u⁴/Σ(cᵢuᵢ)⁴/νᵢ (G.4.1). The
// sensitivities are found numerically.
func Propagate(f Model, inputs []Input, correlations []Correlated) (Budget, error) {
	if err := checkInputs(inputs, correlations); err != nil {
		return Budget{}, err
	}
	values := inputValues(inputs)
	b := Budget{Value: f(values), Lines: make([]BudgetLine, len(inputs))}
	var squares, fourths float64
	for i, in := range inputs {
		c := sensitivity(f, values, i, in.U)
		b.Lines[i] = BudgetLine{Input: in, Sensitivity: c, Contribution: math.Abs(c) * in.U}
		squares += c * c * in.U * in.U
		fourths += math.Pow(c*in.U, 4) / in.df()
	}
	variance := squares
	for _, r := range correlations {
		a, b := b.Lines[r.A], b.Lines[r.B]
		variance += 2 * r.R * a.Sensitivity * a.U * b.Sensitivity * b.U
	}
	if math.IsNaN(b.Value) || math.IsInf(b.Value, 0) || math.IsNaN(variance) {
		return Budget{}, fmt.Errorf("%w: the model gives %g with variance %g", ErrNotFinite, b.Value, variance)
	}
	b.U = math.Sqrt(math.Max(0, variance))
	b.DF = math.Inf(1)
	if fourths > 0 {
		b.DF = math.Pow(b.U, 4) / fourths
	}
	for i := range b.Lines {
		if squares > 0 {
			b.Lines[i].Share = b.Lines[i].Contribution * b.Lines[i].Contribution / squares
		}
	}
	return b, nil
}

// ResultCorrelation is the correlation of two results that share inputs
// (jcgm2008gum F.1.2.3); both budgets must come from the same inputs.
func ResultCorrelation(p, q Budget, correlations []Correlated) float64 {
	var covariance float64
	for i := range p.Lines {
		covariance += p.Lines[i].Sensitivity * q.Lines[i].Sensitivity * p.Lines[i].U * p.Lines[i].U
	}
	for _, r := range correlations {
		u := p.Lines[r.A].U * p.Lines[r.B].U * r.R
		covariance += u * (p.Lines[r.A].Sensitivity*q.Lines[r.B].Sensitivity + p.Lines[r.B].Sensitivity*q.Lines[r.A].Sensitivity)
	}
	return covariance / (p.U * q.U)
}

func inputValues(inputs []Input) []float64 {
	values := make([]float64, len(inputs))
	for i, in := range inputs {
		values[i] = in.Value
	}
	return values
}

func checkInputs(inputs []Input, correlations []Correlated) error {
	for _, in := range inputs {
		if math.IsNaN(in.Value) || math.IsInf(in.Value, 0) || !(in.U >= 0) || math.IsInf(in.U, 0) || in.DF < 0 {
			return fmt.Errorf("%w: input %s = %g ± %g (df %g)", ErrRange, in.Name, in.Value, in.U, in.DF)
		}
	}
	for _, r := range correlations {
		n := len(inputs)
		if r.A < 0 || r.B < 0 || r.A >= n || r.B >= n || r.A == r.B || !(math.Abs(r.R) <= 1) {
			return fmt.Errorf("%w: correlation %+v", ErrRange, r)
		}
	}
	return nil
}

// sensitivity is a central difference, extrapolated once (Richardson), over a
// small part of the uncertainty, so that its own error is of fourth order.
func sensitivity(f Model, values []float64, i int, u float64) float64 {
	h := 0.05 * u
	if h == 0 {
		h = 1e-4 * math.Max(math.Abs(values[i]), 1e-3)
	}
	at := slices.Clone(values)
	slope := func(h float64) float64 {
		at[i] = values[i] + h
		up := f(at)
		at[i] = values[i] - h
		return (up - f(at)) / (2 * h)
	}
	return (4*slope(h/2) - slope(h)) / 3
}

// Simulated is the result of propagating whole distributions.
type Simulated struct {
	Mean, SD float64
	Draws    int
	sorted   []float64
}

// Interval holds the level's share of the draws, an equal part left out on
// either side.
func (s Simulated) Interval(level float64) Interval {
	return Interval{quantileSorted(s.sorted, (1-level)/2), quantileSorted(s.sorted, (1+level)/2), level}
}

// MonteCarlo propagates the distributions of the inputs through the model by
// random draws (jcgm2008mc). Correlated inputs must be Gaussian.
func MonteCarlo(f Model, inputs []Input, correlations []Correlated, draws int, seed uint64) (Simulated, error) {
	if err := checkInputs(inputs, correlations); err != nil {
		return Simulated{}, err
	}
	if draws < 2 {
		return Simulated{}, fmt.Errorf("%w: %d draws", ErrRange, draws)
	}
	lower, err := cholesky(inputs, correlations)
	if err != nil {
		return Simulated{}, err
	}
	random := NewRand(seed)
	z, values := make([]float64, len(inputs)), make([]float64, len(inputs))
	results := make([]float64, draws)
	for k := range results {
		for i, in := range inputs {
			z[i] = standardDraw(in.Shape, random.NormFloat64, random.Float64)
		}
		for i, in := range inputs {
			e := z[i]
			if lower != nil {
				e = 0
				for j := 0; j <= i; j++ {
					e += lower.At(i, j) * z[j]
				}
			}
			values[i] = in.Value + in.U*e
		}
		results[k] = f(values)
	}
	if err := check(results, 2); err != nil {
		return Simulated{}, err
	}
	s := Simulated{Mean: Mean(results), SD: SD(results), Draws: draws, sorted: results}
	slices.Sort(s.sorted)
	return s, nil
}

// standardDraw has mean 0 and standard deviation 1.
func standardDraw(shape Shape, normal, uniform func() float64) float64 {
	switch shape {
	case Rectangular:
		return math.Sqrt(3) * (2*uniform() - 1)
	case Triangular:
		return math.Sqrt(6) * (uniform() + uniform() - 1)
	}
	return normal()
}

// cholesky is the lower factor of the correlation matrix; nil without
// correlations.
func cholesky(inputs []Input, correlations []Correlated) (*mat.TriDense, error) {
	if len(correlations) == 0 {
		return nil, nil
	}
	m := mat.NewSymDense(len(inputs), nil)
	for i := range inputs {
		m.SetSym(i, i, 1)
	}
	for _, r := range correlations {
		if inputs[r.A].Shape != Gaussian || inputs[r.B].Shape != Gaussian {
			return nil, fmt.Errorf("%w: correlated inputs %s and %s must be Gaussian", ErrRange, inputs[r.A].Name, inputs[r.B].Name)
		}
		// a hair below one keeps the matrix positive definite
		m.SetSym(r.A, r.B, r.R*(1-1e-12))
	}
	var c mat.Cholesky
	if !c.Factorize(m) {
		return nil, fmt.Errorf("%w: the correlations contradict each other", ErrRange)
	}
	var lower mat.TriDense
	c.LTo(&lower)
	return &lower, nil
}
