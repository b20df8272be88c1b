package brick

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"stovewright/gas"
	"stovewright/stats"
)

// posterior evaluates prior times likelihood.
type posterior struct {
	belief *Belief
	made   []made
	n      int // observations

	moisture, loss, scratch []float64
}

func newPosterior(b *Belief, list []made) *posterior {
	p := &posterior{belief: b, made: list, moisture: make([]float64, len(b.Stocks)), loss: make([]float64, len(b.Stocks))}
	for _, m := range list {
		p.n += len(m.seen)
	}
	p.scratch = make([]float64, p.n)
	return p
}

// residuals fills r with what was seen less what the balance expects, in
// standard deviations.
func (p *posterior) residuals(z, r []float64) {
	f := p.belief.values(z, p.moisture, p.loss)
	air, dry, fire := math.Log(1-f.Air), 3*math.Log(1-float64(f.Drying)), 3*math.Log(1-float64(f.Firing))
	k := 0
	for i := range p.made {
		m := &p.made[i]
		s := p.solids(m)
		held := (1 - f.Drained) * (m.water + s.water)
		wet := math.Log(s.volume+held/gas.PlainWater) - air
		mass := [3]float64{math.Log(s.dry + held), math.Log(s.dry), math.Log(s.left)}
		volume := [3]float64{wet, wet + dry, wet + dry + fire}
		for j := range m.seen {
			r[k] = m.seen[j].residual(&mass, &volume)
			k++
		}
	}
}

func (p *posterior) solids(m *made) solids {
	var s solids
	for i := range m.portions {
		portion, k := &m.portions[i], m.stock[i]
		w := p.moisture[k]
		if portion.Weighed {
			w = portion.Ingredient.Moisture
		}
		d := portion.Mass * (1 - w)
		s.dry += d
		s.volume += d / p.belief.Stocks[k].Grain
		s.water += portion.Mass - d
		s.left += d * (1 - p.loss[k])
	}
	return s
}

func (o *observation) residual(mass, volume *[3]float64) float64 {
	e := o.value
	if k := o.mass[0]; k >= 0 {
		e -= mass[k]
	}
	if k := o.mass[1]; k >= 0 {
		e += mass[k]
	}
	if k := o.volume[0]; k >= 0 {
		e -= volume[k]
	}
	if k := o.volume[1]; k >= 0 {
		e += volume[k]
	}
	return e / o.sd
}

// squares is the sum of the squared residuals.
func (p *posterior) squares(z []float64) float64 {
	p.residuals(z, p.scratch)
	var q float64
	for _, v := range p.scratch {
		q += v * v
	}
	return q
}

// log is the logarithm of the posterior density at z up to a constant, κ summed
// out: −z²/2 − (ν+n)/2 · ln(ν + Σr²).
func (p *posterior) log(z []float64) float64 {
	sum := -(scatterDF + float64(p.n)) / 2 * math.Log(scatterDF+p.squares(z))
	for _, v := range z {
		sum -= v * v / 2
	}
	return sum
}

// mode finds the most probable z by damped Gauss–Newton steps, and the inverse
// of the curvature there, I + c JᵀJ with c = (ν+n)/(ν+Σr²), which is positive
// definite wherever it stops.
func (p *posterior) mode() ([]float64, *mat.SymDense) {
	const steps = 40
	d := len(p.belief.params)
	z, r := make([]float64, d), make([]float64, p.n)
	now := p.log(z)
	for range steps {
		p.residuals(z, r)
		curvature, gradient := p.normal(z, r)
		var chol mat.Cholesky
		var step mat.VecDense
		if !chol.Factorize(curvature) || chol.SolveVecTo(&step, gradient) != nil {
			break
		}
		next, length := make([]float64, d), 1.0
		gain := math.Inf(-1)
		for ; length > 1e-4 && !(gain > 0); length /= 2 {
			for i := range next {
				next[i] = z[i] - length*step.AtVec(i)
			}
			gain = p.log(next) - now
		}
		if !(gain > 1e-6) {
			break
		}
		z, now = next, now+gain
	}
	p.residuals(z, r)
	curvature, _ := p.normal(z, r)
	inverse := mat.NewSymDense(d, nil)
	var chol mat.Cholesky
	if !chol.Factorize(curvature) || chol.InverseTo(inverse) != nil {
		return z, mat.NewSymDense(d, nil)
	}
	return z, inverse
}

// normal gives I + c JᵀJ and z + c Jᵀr, with J by central differences.
func (p *posterior) normal(z, r []float64) (*mat.SymDense, *mat.VecDense) {
	const h = 1e-4 // z is of the order of one
	d := len(z)
	var q float64
	for _, v := range r {
		q += v * v
	}
	c := (scatterDF + float64(p.n)) / (scatterDF + q)
	moved, up, down := slices.Clone(z), make([]float64, p.n), make([]float64, p.n)
	columns := make([][]float64, d)
	for k := range z {
		moved[k] = z[k] + h
		p.residuals(moved, up)
		moved[k] = z[k] - h
		p.residuals(moved, down)
		moved[k] = z[k]
		columns[k] = make([]float64, p.n)
		for i := range up {
			columns[k][i] = (up[i] - down[i]) / (2 * h)
		}
	}
	curvature, gradient := mat.NewSymDense(d, nil), mat.NewVecDense(d, nil)
	for i := range z {
		gradient.SetVec(i, z[i]+c*floats.Dot(columns[i], r))
		for j := i; j < d; j++ {
			curvature.SetSym(i, j, c*floats.Dot(columns[i], columns[j]))
		}
		curvature.SetSym(i, i, 1+curvature.At(i, i))
	}
	return curvature, gradient
}

// The proposal's degrees of freedom, the draws of a round, the effective draws
// that are enough, and the rounds after which the best one is taken.
const (
	proposalDF  = 5
	roundDraws  = 1500
	enoughDraws = 400
	mostRounds  = 8
)

// sample fills the belief with draws. The mode and its curvature give a first
// proposal (a multivariate t); each round of importance sampling shapes the
// next (population Monte Carlo, cappe2004) until enough draws count. The best
// round is resampled to equal weights.
func (p *posterior) sample(seed uint64) error {
	centre, scale := p.mode()
	rng := stats.NewRand(seed)
	var draws [][]float64
	var weights []float64
	for round := 0; round < mostRounds && p.belief.ESS < enoughDraws; round++ {
		var chol mat.Cholesky
		if !chol.Factorize(scale) {
			break
		}
		z, w := p.propose(centre, &chol, roundDraws, rng.NormFloat64)
		if ess := effective(w); ess > p.belief.ESS {
			draws, weights, p.belief.ESS = z, w, ess
		}
		centre, scale = moments(z, w)
	}
	if draws == nil {
		return ErrContradiction
	}
	p.belief.draws = resample(draws, weights, beliefDraws, rng.Float64())
	p.belief.factor = make([]float64, len(p.belief.draws))
	for k, z := range p.belief.draws {
		gamma := distuv.Gamma{Alpha: (scatterDF + float64(p.n)) / 2, Beta: (scatterDF + p.squares(z)) / 2, Src: rng}
		p.belief.factor[k] = 1 / math.Sqrt(gamma.Rand())
	}
	return nil
}

// effective is the number of equally weighted draws that the weights are worth,
// 1/Σw².
func effective(weights []float64) float64 {
	var squares float64
	for _, w := range weights {
		squares += w * w
	}
	return 1 / squares
}

// propose draws from a multivariate t and weighs the draws by the posterior;
// the weights add up to one.
func (p *posterior) propose(centre []float64, chol *mat.Cholesky, n int, normal func() float64) ([][]float64, []float64) {
	d := len(centre)
	lower := rowsOf(chol)
	draws := make([][]float64, n)
	logs := make([]float64, n)
	top := math.Inf(-1)
	e := make([]float64, d)
	for k := range draws {
		var square float64
		for i := range e {
			e[i] = normal()
			square += e[i] * e[i]
		}
		var chi float64
		for range proposalDF {
			g := normal()
			chi += g * g
		}
		stretch := math.Sqrt(proposalDF / chi)
		z := make([]float64, d)
		for i := range z {
			z[i] = centre[i]
			for j, l := range lower[i] {
				z[i] += stretch * l * e[j]
			}
		}
		logProposal := -(proposalDF + float64(d)) / 2 * math.Log1p(square*stretch*stretch/proposalDF)
		draws[k], logs[k] = z, p.log(z)-logProposal
		top = math.Max(top, logs[k])
	}
	var sum float64
	for k, l := range logs {
		logs[k] = math.Exp(l - top)
		sum += logs[k]
	}
	for k := range logs {
		logs[k] /= sum
	}
	return draws, logs
}

// rowsOf lists the rows of the lower triangle, without its zeros.
func rowsOf(chol *mat.Cholesky) [][]float64 {
	var lower mat.TriDense
	chol.LTo(&lower)
	rows := make([][]float64, chol.SymmetricDim())
	for i := range rows {
		for j := 0; j <= i; j++ {
			rows[i] = append(rows[i], lower.At(i, j))
		}
	}
	return rows
}

// moments are the weighted mean and covariance, the latter a little widened.
func moments(draws [][]float64, weights []float64) ([]float64, *mat.SymDense) {
	d := len(draws[0])
	centre := make([]float64, d)
	for k, z := range draws {
		for i, v := range z {
			centre[i] += weights[k] * v
		}
	}
	scale := mat.NewSymDense(d, nil)
	for k, z := range draws {
		for i := 0; i < d; i++ {
			for j := i; j < d; j++ {
				scale.SetSym(i, j, scale.At(i, j)+weights[k]*(z[i]-centre[i])*(z[j]-centre[j]))
			}
		}
	}
	const floor = 1e-6 // of a standard normal's variance
	for i := 0; i < d; i++ {
		scale.SetSym(i, i, scale.At(i, i)+floor)
	}
	return centre, scale
}

// resample picks n draws with chances equal to their weights, evenly spaced so
// that no luck is added.
func resample(draws [][]float64, weights []float64, n int, offset float64) [][]float64 {
	out := make([][]float64, 0, n)
	sum, k := weights[0], 0
	for i := 0; i < n; i++ {
		u := (float64(i) + offset) / float64(n)
		for sum < u && k+1 < len(draws) {
			k++
			sum += weights[k]
		}
		out = append(out, draws[k])
	}
	return out
}
