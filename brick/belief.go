package brick

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"stovewright/message"
	"stovewright/stats"
)

// How much a batch scatters about the balance from one making to the next,
// before the trials have told (logarithms; common practice).
const (
	scatterDensity  = 0.03  // of a bulk density
	scatterMoisture = 0.02  // of wet over dry mass
	scatterLoss     = 0.015 // of dry over fired mass
	scatterVolume   = 0.015 // of a ratio of volumes, 0.5 % linear
)

// All these scatters, and those of measuring with them, may be off by one common
// factor κ: κ² follows the inverse gamma law with scatterDF degrees of freedom
// and scale one, so that κ lies between 0.7 and 1.7 nine times in ten. It is
// summed out of the likelihood, which becomes a multivariate t.
const scatterDF = 8.0

// uncertain is one uncertain value: a standard normal z stands for it, through
// a logit between its limits, with Low and High at 5 % and 95 %.
type uncertain struct {
	Param
	id        string // message id of its name
	stock     string
	a, b      float64 // logit = a + b z
	stockAt   int
	isLoss    bool
	isForming int // 1 + index among air, drained, drying, firing; 0 for a stock's
}

// ninety is the standard normal's 95 % point.
const ninety = 1.6448536269514722

func newUncertain(p Param) uncertain {
	// a range that touches a limit is taken to end just inside it
	inside := func(v float64) float64 { return math.Min(0.99, math.Max(0.01, (v-p.Min)/(p.Max-p.Min))) }
	logit := func(v float64) float64 { return math.Log(v / (1 - v)) }
	low, high := logit(inside(p.Low)), logit(inside(p.High))
	return uncertain{Param: p, a: (low + high) / 2, b: (high - low) / (2 * ninety)}
}

func (u uncertain) value(z float64) float64 {
	return u.Min + (u.Max-u.Min)/(1+math.Exp(-u.a-u.b*z))
}

// observation is one number of a trial on a logarithmic scale.
type observation struct {
	mass, volume [2]int // stages of ln M and ln V that are compared: +first −second; −1 for none
	value        float64
	sd           float64 // of measuring and of making together
}

// made is a trial in the form the likelihood needs.
type made struct {
	portions []Portion
	stock    []int
	water    float64
	seen     []observation
}

// Belief is what is known of a workshop: its stocks and how it forms, dries and
// fires, as draws from the posterior.
type Belief struct {
	Stocks []Stock
	Trials int
	ESS    float64 // effective number of draws the posterior was made from

	params []uncertain
	fixed  Forming
	draws  [][]float64 // of z
	factor []float64   // κ of each draw
}

// What an update can fail of.
var (
	ErrUnknownStock  = errors.New("brick: a trial uses a material that is not among the stocks")
	ErrContradiction = errors.New("brick: the trials contradict each other so much that nothing can be learnt")
)

// beliefDraws is how many equally weighted draws a Belief keeps.
const beliefDraws = 1000

// Update learns from trials. Every uncertain value of the stocks and of the
// forming starts from its range and is updated by Bayes' theorem with all the
// densities, mass ratios and volume ratios that the trials hold; the scatter
// between batches is learnt with them. The draws are made by importance
// sampling, adapted three times around the most probable values; the same seed
// gives the same draws.
func Update(stocks []Stock, forming FormingData, trials []Trial, seed uint64) (*Belief, error) {
	b := &Belief{Stocks: slices.Clone(stocks), Trials: len(trials), fixed: DefaultForming()}
	b.layout(forming)
	var list []made
	for _, t := range trials {
		m, err := b.prepare(t)
		if err != nil {
			return nil, err
		}
		list = append(list, m)
	}
	return b, newPosterior(b, list).sample(seed)
}

// layout lists the uncertain values.
func (b *Belief) layout(forming FormingData) {
	for i, s := range b.Stocks {
		for _, p := range []struct {
			Param
			id   string
			loss bool
		}{{s.Moisture, "brick.param.moisture", false}, {s.Loss, "brick.param.loss", true}} {
			if p.Fixed() {
				continue
			}
			u := newUncertain(p.Param)
			u.id, u.stock, u.stockAt, u.isLoss = p.id, s.Name, i, p.loss
			b.params = append(b.params, u)
		}
	}
	for i, p := range []Param{forming.Air, forming.Drained, forming.Drying, forming.Firing} {
		if p.Fixed() {
			b.fixed = b.fixed.with(i, p.Default)
			continue
		}
		u := newUncertain(p)
		u.id = [...]string{"brick.param.air", "brick.param.drained", "brick.param.drying", "brick.param.firing"}[i]
		u.isForming = i + 1
		b.params = append(b.params, u)
	}
}

// with sets one of air, drained, drying, firing by index.
func (f Forming) with(i int, v float64) Forming {
	switch i {
	case 0:
		f.Air = v
	case 1:
		f.Drained = v
	case 2:
		f.Drying = Drying(v)
	case 3:
		f.Firing = Firing(v)
	}
	return f
}

// values turns z into forming values and, per stock, moisture and loss.
func (b *Belief) values(z []float64, moisture, loss []float64) Forming {
	f := b.fixed
	for i, s := range b.Stocks {
		moisture[i], loss[i] = s.Moisture.Default, s.Loss.Default
	}
	for k, u := range b.params {
		v := u.value(z[k])
		switch {
		case u.isForming > 0:
			f = f.with(u.isForming-1, v)
		case u.isLoss:
			loss[u.stockAt] = v
		default:
			moisture[u.stockAt] = v
		}
	}
	return f
}

// prepare finds the stocks of a trial and boils its bricks down to
// observations.
func (b *Belief) prepare(t Trial) (made, error) {
	if err := t.Check(); err != nil {
		return made{}, err
	}
	m := made{portions: t.Mix.Portions, water: t.Mix.Water}
	for _, p := range t.Mix.Portions {
		k := slices.IndexFunc(b.Stocks, func(s Stock) bool { return s.Name == p.Ingredient.Name })
		if k < 0 {
			return made{}, ErrUnknownStock
		}
		m.stock = append(m.stock, k)
	}
	m.seen = observations(t.Bricks)
	return m, nil
}

// observations takes from the bricks of a trial what does not repeat itself:
// the bulk density at the first stage that has one, and the ratios of mass and
// of volume between one stage and the next that was measured. Each is averaged
// over the bricks.
func observations(bricks []Record) []observation {
	type key struct{ mass, volume [2]int }
	values := make(map[key][]float64)
	variance := make(map[key]float64)
	var order []key
	add := func(k key, value, u float64) {
		if _, ok := values[k]; !ok {
			order = append(order, k)
		}
		values[k] = append(values[k], value)
		variance[k] += u * u
	}
	none := [2]int{-1, -1}
	for _, b := range bricks {
		var mass, volume [3]Reading
		for i, s := range b.Stages {
			mass[i], volume[i] = s.Mass, s.Volume()
		}
		dense := false
		lastMass, lastVolume := -1, -1
		for i := range b.Stages {
			m, v := mass[i], volume[i]
			if m.Value > 0 && v.Value > 0 && !dense {
				dense = true
				add(key{[2]int{i, -1}, [2]int{-1, i}}, math.Log(m.Value/v.Value), math.Hypot(m.U/m.Value, v.U/v.Value))
			}
			if m.Value > 0 {
				if lastMass >= 0 {
					o := mass[lastMass]
					add(key{[2]int{lastMass, i}, none}, math.Log(o.Value/m.Value), math.Hypot(o.U/o.Value, m.U/m.Value))
				}
				lastMass = i
			}
			if v.Value > 0 {
				if lastVolume >= 0 {
					o := volume[lastVolume]
					add(key{none, [2]int{lastVolume, i}}, math.Log(o.Value/v.Value), math.Hypot(o.U/o.Value, v.U/v.Value))
				}
				lastVolume = i
			}
		}
	}
	list := make([]observation, 0, len(order))
	for _, k := range order {
		n := float64(len(values[k]))
		mean, sd := meanSD(values[k])
		scatter := scatterVolume
		switch {
		case k.mass[0] >= 0 && k.volume[1] >= 0:
			scatter = scatterDensity
		case k.mass[0] == Wet:
			scatter = scatterMoisture
		case k.mass[0] >= 0:
			scatter = scatterLoss
		}
		measuring := math.Sqrt(math.Max(sd*sd, variance[k]/n) / n)
		o := observation{mass: k.mass, volume: k.volume, value: mean, sd: math.Hypot(measuring, scatter)}
		list = append(list, o)
	}
	return list
}

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
		wet := math.Log(s.volume+held/WaterDensity) - air
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
	roundDraws  = 2000
	enoughDraws = 500
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

// Prediction is what a mix is expected to become, as bands of 5, 50 and 95 %
// for the next batch. It is a prediction, never a measurement.
type Prediction struct {
	Wet, Dry, Fired Band // kg/m³
	Porosity        Band
	MoistureDry     Band // water per dry solids when moulded
	Drying, Firing  Band // linear, on the wet and on the dry length
	Total           Band // linear, on the wet length
}

// Predict carries every draw through the balance. Portions whose moisture was
// measured keep it.
func (b *Belief) Predict(m Mix, seed uint64) (Prediction, error) {
	if err := m.check(b.fixed); err != nil {
		return Prediction{}, err
	}
	stock := make([]int, len(m.Portions))
	for i, p := range m.Portions {
		if stock[i] = slices.IndexFunc(b.Stocks, func(s Stock) bool { return s.Name == p.Ingredient.Name }); stock[i] < 0 {
			return Prediction{}, ErrUnknownStock
		}
	}
	rng := stats.NewRand(seed)
	var columns [8][]float64
	for k, z := range b.draws {
		balance, f := b.draw(m, stock, z)
		scatter := b.factor[k]
		batch := func(s float64) float64 { return math.Exp(scatter * s * rng.NormFloat64()) }
		density := batch(scatterDensity)
		dry := 1 - (1-float64(f.Drying))*batch(scatterVolume/3)
		fire := 1 - (1-float64(f.Firing))*batch(scatterVolume/3)
		fired := balance.Fired.Density() * density
		for i, v := range []float64{balance.Wet.Density() * density, balance.Dry.Density() * density, fired,
			1 - fired/balance.TrueDensity, balance.MoistureDry(), dry, fire, 1 - (1-dry)*(1-fire)} {
			columns[i] = append(columns[i], v)
		}
	}
	var bands [8]Band
	for i, c := range columns {
		bands[i] = bandOf(c)
	}
	return Prediction{bands[0], bands[1], bands[2], bands[3], bands[4], bands[5], bands[6], bands[7]}, nil
}

// draw is the balance of a mix under one draw.
func (b *Belief) draw(m Mix, stock []int, z []float64) (Balance, Forming) {
	moisture, loss := make([]float64, len(b.Stocks)), make([]float64, len(b.Stocks))
	f := b.values(z, moisture, loss)
	with := Mix{Portions: slices.Clone(m.Portions), Water: m.Water}
	for i := range with.Portions {
		in := &with.Portions[i].Ingredient
		s := b.Stocks[stock[i]]
		in.Loss, in.Grain, in.Fired = loss[stock[i]], s.Grain, s.Fired
		if !with.Portions[i].Weighed {
			in.Moisture = moisture[stock[i]]
		}
	}
	return with.solids().balance(m.Water, f), f
}

func bandOf(x []float64) Band {
	return Band{stats.Quantile(x, 0.05), stats.Quantile(x, 0.5), stats.Quantile(x, 0.95)}
}

// Forming is the middle of what is believed of the forming.
func (b *Belief) Forming() Forming {
	f := b.fixed
	for k, u := range b.params {
		if u.isForming > 0 {
			f = f.with(u.isForming-1, bandOf(b.column(k)).Best)
		}
	}
	return f
}

// Ingredient is a stock with the middle of what is believed of it.
func (b *Belief) Ingredient(name string) (Ingredient, bool) {
	i := slices.IndexFunc(b.Stocks, func(s Stock) bool { return s.Name == name })
	if i < 0 {
		return Ingredient{}, false
	}
	in := b.Stocks[i].Ingredient()
	for k, u := range b.params {
		switch {
		case u.isForming > 0 || u.stockAt != i:
		case u.isLoss:
			in.Loss = bandOf(b.column(k)).Best
		default:
			in.Moisture = bandOf(b.column(k)).Best
		}
	}
	return in, true
}

func (b *Belief) column(k int) []float64 {
	c := make([]float64, len(b.draws))
	for i, z := range b.draws {
		c[i] = b.params[k].value(z[k])
	}
	return c
}

// Learned is what the trials taught about one uncertain value.
type Learned struct {
	ID      string // message id of its name
	Stock   string // of a material, "" for the forming
	Default float64
	Before  Band // from the table
	Now     Band
	Text    message.Text
}

// Learned puts the posterior into words, value by value: above, below or as
// the default when that is nearly certain, or not yet known while the trials
// have hardly narrowed it.
func (b *Belief) Learned() []Learned {
	const sure, narrowed = 0.9, 0.8
	var list []Learned
	for k, u := range b.params {
		c := b.column(k)
		l := Learned{ID: u.id, Stock: u.stock, Default: u.Default, Now: bandOf(c),
			Before: Band{u.value(-ninety), u.value(0), u.value(ninety)}}
		above := 0.0
		for _, v := range c {
			if v > u.Default {
				above += 1 / float64(len(c))
			}
		}
		id := "brick.learned.as-default"
		switch {
		case b.Trials == 0 || l.Now.High-l.Now.Low > narrowed*(l.Before.High-l.Before.Low):
			id = "brick.learned.unknown"
		case above > sure:
			id = "brick.learned.more"
		case above < 1-sure:
			id = "brick.learned.less"
		}
		l.Text = message.T(id, "what", message.T(u.id, "stock", u.stock), "now", pct1Value(l.Now.Best),
			"low", pct1Value(l.Now.Low), "high", pct1Value(l.Now.High), "default", pct1Value(u.Default))
		list = append(list, l)
	}
	return list
}

// Scatter is by how much batches scatter about the balance, relative to the
// usual.
func (b *Belief) Scatter() Band {
	return bandOf(b.factor)
}
