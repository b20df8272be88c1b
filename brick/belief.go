package brick

import (
	"errors"
	"math"
	"slices"

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
	compared
	value float64
	sd    float64 // of measuring and of making together
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

	sharing [2]stageShares // of drying and of firing
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
// sampling, adapted around the most probable values; the same seed gives the
// same draws. Below an ESS of 100 the bands are rough.
func Update(stocks []Stock, forming FormingData, trials []Trial, seed uint64) (*Belief, error) {
	b := &Belief{Stocks: slices.Clone(stocks), Trials: len(trials), fixed: DefaultForming()}
	b.layout(forming)
	b.sharing = [2]stageShares{learnSharing(trials, Wet, Dry), learnSharing(trials, Dry, Fired)}
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

// compared says which stages of ln M and ln V an observation is made of: the
// first less the second; −1 for none.
type compared struct{ mass, volume [2]int }

// scatter is how much batches scatter in such an observation.
func (c compared) scatter() float64 {
	switch {
	case c.mass[0] >= 0 && c.volume[1] >= 0:
		return scatterDensity
	case c.mass[0] == Wet:
		return scatterMoisture
	case c.mass[0] >= 0:
		return scatterLoss
	}
	return scatterVolume
}

// sightings gathers the observations of several bricks of one trial.
type sightings struct {
	order    []compared
	values   map[compared][]float64
	variance map[compared]float64 // of measuring, summed
}

func (s *sightings) add(c compared, value, u float64) {
	if _, ok := s.values[c]; !ok {
		s.order = append(s.order, c)
	}
	s.values[c] = append(s.values[c], value)
	s.variance[c] += u * u
}

// ratio adds the ratio of two readings of one kind.
func (s *sightings) ratio(c compared, before, after Reading) {
	s.add(c, math.Log(before.Value/after.Value), math.Hypot(before.U/before.Value, after.U/after.Value))
}

// brick takes from one brick what does not repeat itself: the bulk density at
// the first stage that has one, and the ratios of mass and of volume between
// one stage and the next that was measured.
func (s *sightings) brick(b Record) {
	none := [2]int{-1, -1}
	dense, lastMass, lastVolume := false, -1, -1
	for i, stage := range b.Stages {
		m, v := stage.Mass, stage.Volume()
		if m.Value > 0 && v.Value > 0 && !dense {
			dense = true
			s.ratio(compared{[2]int{i, -1}, [2]int{-1, i}}, m, v)
		}
		if m.Value > 0 {
			if lastMass >= 0 {
				s.ratio(compared{[2]int{lastMass, i}, none}, b.Stages[lastMass].Mass, m)
			}
			lastMass = i
		}
		if v.Value > 0 {
			if lastVolume >= 0 {
				s.ratio(compared{none, [2]int{lastVolume, i}}, b.Stages[lastVolume].Volume(), v)
			}
			lastVolume = i
		}
	}
}

// observations averages what the bricks of a trial show. The scatter between
// the bricks counts where it exceeds that of measuring.
func observations(bricks []Record) []observation {
	s := sightings{values: make(map[compared][]float64), variance: make(map[compared]float64)}
	for _, b := range bricks {
		s.brick(b)
	}
	list := make([]observation, 0, len(s.order))
	for _, c := range s.order {
		n := float64(len(s.values[c]))
		mean, sd := meanSD(s.values[c])
		measuring := math.Sqrt(math.Max(sd*sd, s.variance[c]/n) / n)
		list = append(list, observation{compared: c, value: mean, sd: math.Hypot(measuring, c.scatter())})
	}
	return list
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
		batch := func(s float64) float64 { return math.Exp(b.factor[k] * s * rng.NormFloat64()) }
		// each step of the way adds its own scatter
		dried, burnt := batch(scatterVolume), batch(scatterVolume)
		wet := batch(scatterDensity)
		dry := wet * batch(scatterMoisture) / dried
		fired := balance.Fired.Density() * dry * batch(scatterLoss) / burnt
		drying := 1 - (1-float64(f.Drying))*math.Cbrt(dried)
		firing := 1 - (1-float64(f.Firing))*math.Cbrt(burnt)
		for i, v := range [...]float64{balance.Wet.Density() * wet, balance.Dry.Density() * dry, fired, 1 - fired/balance.TrueDensity,
			balance.MoistureDry(), drying, firing, 1 - (1-drying)*(1-firing)} {
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
