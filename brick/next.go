package brick

import (
	"math"
	"slices"

	"stovewright/brick/mixture"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Goal is what the maker wants of the brick.
type Goal struct {
	Cheapest     bool    // make it cheap within the limits, and not as light as they allow
	MaxDensity   float64 // kg/m³; 0 for none
	MinDensity   float64 // kg/m³, the durability floor of a back brick; 0 for none
	MinStrength  float64 // Pa, cold crushing; 0 for none
	MaxShrinkage float64 // total linear, on the wet length; 0 for none

	Bounds    mixture.Bounds // shares of the dry mass of the stocks, in their order
	WaterLow  float64        // least water per dry solids, all water counted
	WaterHigh float64        // largest
	FireLow   float64        // K, least peak of the firing; with FireHigh at or below it the firing is not varied
	FireHigh  float64        // K, highest
	BatchDry  float64        // kg of dry solids of a trial batch; 0 means 2
	Step      float64        // kg, to which masses are rounded; 0 means 0.01
	Prices    []float64      // per kg moist, in the order of the stocks; nil counts nothing
}

// Suggestion is the next trial.
type Suggestion struct {
	Mix       Mix
	Shares    mixture.Point // of the dry mass
	Water     float64       // per dry solids, all water counted
	Kelvin    float64       // peak of the firing; 0 where it is not varied
	Density   Band          // kg/m³, 5, 50 and 95 % for the trial as it will be measured
	Strength  Band          // Pa
	Shrinkage Band          // total linear
	Cost      float64       // per m³ fired, in the money of the prices
	Chance    float64       // that it keeps all limits
	Gain      float64       // expected gain over the best so far, as a share of it
	Best      int           // index of the best trial so far that keeps the limits; −1 for none
	Stop      bool          // the scatter of repeats hides what could still be gained
	Because   []message.Text
}

// LeastTrials is the number of trials from which Next suggests; before that the
// first trials of a plan (mixture.Centroid, mixture.DOptimal) do more.
const LeastTrials = 3

// first guesses for what the balance leaves unexplained: offsets, wandering and
// noise of ln density, ln strength, and total shrinkage.
var (
	guessDensity   = process{offset: 0.05, amp: 0.08, noise: 0.03}
	guessStrength  = process{offset: 0.7, amp: 0.3, noise: 0.25}
	guessShrinkage = process{offset: 0.01, amp: 0.01, noise: 0.005}
)

// candidateCount is how many mixes are weighed against each other.
const candidateCount = 1500

// Next suggests the next trial: of many mixes within the bounds the one with
// the largest expected improvement times the chance that it keeps the limits
// (constrained expected improvement, gardner2014), by Gaussian processes laid
// over the balance as the belief has it. While no trial keeps the limits it
// seeks the mix most likely to. Where the goal leaves the firing open, its peak is
// sought with the mix; how it acts is learnt from trials fired differently. The
// same seed gives the same suggestion.
func Next(b *Belief, trials []Trial, g Goal, seed uint64) (Suggestion, error) {
	if err := g.prepare(b, len(trials)); err != nil {
		return Suggestion{}, err
	}
	m, err := newOutlook(b, trials, g)
	if err != nil {
		return Suggestion{}, err
	}
	best, bestValue := m.best()
	candidates := g.candidates(seed)
	top, topScore := -1, math.Inf(-1)
	var chosen outlookAt
	for i, c := range candidates {
		at := m.at(c)
		score := at.chance
		if best >= 0 {
			score = m.gain(at, bestValue) * at.chance
		}
		if score > topScore {
			top, topScore, chosen = i, score, at
		}
	}
	s := m.suggest(candidates[top], chosen)
	s.Best = best
	s.Gain = math.Max(0, topScore)
	if best < 0 {
		s.Gain = math.NaN()
	}
	noise := m.density.noise
	// a quarter of the scatter of a repeat would take some dozens of repeats to see
	s.Stop = best >= 0 && len(trials) >= 2*LeastTrials && s.Gain < math.Max(0.01, 0.25*noise)
	s.Because = m.because(s, noise)
	return s, nil
}

func (g *Goal) prepare(b *Belief, trials int) error {
	if g.BatchDry == 0 {
		g.BatchDry = 2
	}
	if g.Step == 0 {
		g.Step = 0.01
	}
	var bad message.InputErrors
	say := func(field string, v float64, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(v), Reason: message.T(id), Try: try})
	}
	if trials < LeastTrials {
		say("trials", float64(trials), "brick.next.few", "3")
	}
	if tight, err := g.Bounds.Tighten(); err != nil || len(g.Bounds.Low) != len(b.Stocks) {
		say("bounds", float64(len(g.Bounds.Low)), "brick.next.bounds", "clay 0.5 to 0.8, sawdust 0.2 to 0.5")
	} else {
		g.Bounds = tight
	}
	if !(g.WaterLow > 0 && g.WaterHigh >= g.WaterLow && g.WaterHigh < 10) {
		say("water", g.WaterLow, "brick.next.water", "0.6 to 1.4")
	}
	if g.firingVaries() && !(g.FireLow > 700 && g.FireHigh < 1700) {
		say("firing", g.FireLow, "brick.next.firing", "950 to 1050 °C")
	}
	if !(g.BatchDry > 0 && g.BatchDry < 1e4) || !(g.Step > 0 && g.Step < g.BatchDry) {
		say("batch", g.BatchDry, "brick.mass.range", "2")
	}
	if g.MinDensity > 0 && g.MaxDensity > 0 && g.MinDensity >= g.MaxDensity {
		say("density", g.MinDensity, "brick.next.density", "500 to 700 kg/m³")
	}
	if g.Prices != nil && len(g.Prices) != len(b.Stocks) || g.Cheapest && g.Prices == nil {
		say("prices", float64(len(g.Prices)), "brick.next.prices", "0.05 each kg")
	}
	return bad.OrNil()
}

// place is a mix as a point: shares of dry mass, water per dry solids, and the
// peak of its firing.
type place struct {
	shares mixture.Point
	water  float64
	kelvin float64 // 0 where the firing is not varied
}

// firingVaries reports whether the peak of the firing is sought too.
func (g Goal) firingVaries() bool { return g.FireHigh > g.FireLow }

// firingStep is how finely a peak is sought, K: a kiln is steered no better.
const firingStep = 10

// kelvinAt is the peak at a part of the way from the least to the highest; 0
// where the firing is not varied.
func (g Goal) kelvinAt(t float64) float64 {
	if !g.firingVaries() {
		return 0
	}
	celsius := g.FireLow + t*(g.FireHigh-g.FireLow) - zeroCelsius
	return math.Min(g.FireHigh, math.Max(g.FireLow, math.Round(celsius/firingStep)*firingStep+zeroCelsius))
}

// candidates scatters mixes over the bounds: the corners, edges and centre at
// three waters, and random blends of the corners.
func (g Goal) candidates(seed uint64) []place {
	corners, err := g.Bounds.Candidates()
	if err != nil {
		return nil // the bounds were checked
	}
	vertices, _ := g.Bounds.Vertices()
	var list []place
	for _, p := range corners {
		for _, t := range []float64{0, 0.5, 1} {
			water := g.WaterLow + t*(g.WaterHigh-g.WaterLow)
			if !g.firingVaries() {
				list = append(list, place{shares: p, water: water})
				continue
			}
			for _, u := range []float64{0, 0.5, 1} {
				list = append(list, place{p, water, g.kelvinAt(u)})
			}
		}
	}
	rng := stats.NewRand(seed)
	for len(list) < candidateCount {
		p := make(mixture.Point, len(g.Bounds.Low))
		var sum float64
		weights := make([]float64, len(vertices))
		for i := range weights {
			weights[i] = rng.ExpFloat64() * rng.ExpFloat64() // some corners strongly, most weakly
			sum += weights[i]
		}
		for i, v := range vertices {
			for k := range p {
				p[k] += weights[i] / sum * v[k]
			}
		}
		at := place{shares: p, water: g.WaterLow + rng.Float64()*(g.WaterHigh-g.WaterLow)}
		if g.firingVaries() {
			at.kelvin = g.kelvinAt(rng.Float64())
		}
		list = append(list, at)
	}
	return list
}

// outlook is what is believed of every mix within the bounds.
type outlook struct {
	belief   *Belief
	goal     Goal
	forming  Forming
	inputs   []Ingredient
	places   []place
	outcomes []Outcome

	density, strength, shrinkage *process
}

// outlookAt is the outlook at one place; each pair is mean and standard
// deviation of the noise-free value.
type outlookAt struct {
	lnDensity, lnDensitySD     float64
	lnStrength, lnStrengthSD   float64
	shrinkage, shrinkageSD     float64
	cost, chance               float64
	noiseD, noiseS, noiseShrnk float64
}

func newOutlook(b *Belief, trials []Trial, g Goal) (*outlook, error) {
	m := &outlook{belief: b, goal: g, forming: b.Forming()}
	for _, s := range b.Stocks {
		in, _ := b.Ingredient(s.Name)
		m.inputs = append(m.inputs, in)
	}
	var x, xs, xt [][]float64
	var d, du, s, su, t, tu []float64
	for _, trial := range trials {
		p, err := m.placeOf(trial.Mix)
		if err != nil {
			return nil, err
		}
		if p.kelvin = trial.Kelvin; p.kelvin == 0 || !g.firingVaries() {
			p.kelvin = g.kelvinAt(0.5) // not written: as good as the middle
		}
		o := trial.Outcome()
		m.places, m.outcomes = append(m.places, p), append(m.outcomes, o)
		at := m.scaled(p)
		balance := m.balance(p)
		if o.N > 0 {
			x, d = append(x, at), append(d, math.Log(o.Density.Value/balance.Fired.Density()))
			du = append(du, math.Pow(o.Density.U/o.Density.Value, 2))
		}
		if o.N > 0 && o.Strength > 0 {
			expected := DefaultStrength(1 - o.Density.Value/balance.TrueDensity).Best
			xs, s, su = append(xs, at), append(s, math.Log(o.Strength/expected)), append(su, 0)
		}
		if !math.IsNaN(o.Total) {
			xt, t, tu = append(xt, at), append(t, o.Total-float64(Combine(m.forming.Drying, m.forming.Firing))), append(tu, 0)
		}
	}
	n := len(b.Stocks) // shares but the last, and water
	if g.firingVaries() {
		n++
	}
	m.density = fitProcess(x, d, du, n, guessDensity)
	m.strength = fitProcess(xs, s, su, n, guessStrength)
	m.shrinkage = fitProcess(xt, t, tu, n, guessShrinkage)
	return m, nil
}

// placeOf is where a mix lies. Portions are found by the names of the stocks.
func (m *outlook) placeOf(mix Mix) (place, error) {
	p := place{shares: make(mixture.Point, len(m.inputs))}
	var dry, water float64
	for _, portion := range mix.Portions {
		k := slices.IndexFunc(m.inputs, func(in Ingredient) bool { return in.Name == portion.Ingredient.Name })
		if k < 0 {
			return p, ErrUnknownStock
		}
		moisture := m.inputs[k].Moisture
		if portion.Weighed {
			moisture = portion.Ingredient.Moisture
		}
		d := portion.Mass * (1 - moisture)
		p.shares[k] += d
		dry += d
		water += portion.Mass - d
	}
	if dry <= 0 {
		return p, message.InputErrors{{Field: "mix", Reason: message.T("brick.mix.empty"), Try: "clay: 0.9 kg"}}
	}
	for k := range p.shares {
		p.shares[k] /= dry
	}
	p.water = (water + mix.Water) / dry
	return p, nil
}

// scaled puts a place on the scale of the bounds.
func (m *outlook) scaled(p place) []float64 {
	n := len(p.shares)
	x := make([]float64, n, n+1)
	for k := 0; k < n-1; k++ {
		x[k] = (p.shares[k] - m.goal.Bounds.Low[k]) / math.Max(0.02, m.goal.Bounds.High[k]-m.goal.Bounds.Low[k])
	}
	x[n-1] = (p.water - m.goal.WaterLow) / math.Max(0.05, m.goal.WaterHigh-m.goal.WaterLow)
	if m.goal.firingVaries() {
		x = append(x, (p.kelvin-m.goal.FireLow)/math.Max(firingStep, m.goal.FireHigh-m.goal.FireLow))
	}
	return x
}

// balance is what the middle of the belief makes of one kilogram of dry solids.
func (m *outlook) balance(p place) Balance {
	var s solids
	s.dry = 1
	for k, share := range p.shares {
		in := m.inputs[k]
		s.volume += share / in.Grain
		left := share * (1 - in.Loss)
		s.left += left
		s.leftVolume += left / in.Fired
	}
	return s.balance(p.water, m.forming)
}

func (m *outlook) at(p place) outlookAt {
	x := m.scaled(p)
	balance := m.balance(p)
	a := outlookAt{noiseD: m.density.noise, noiseS: m.strength.noise, noiseShrnk: m.shrinkage.noise}
	a.lnDensity, a.lnDensitySD = m.density.at(x)
	a.lnDensity += math.Log(balance.Fired.Density())
	density := math.Exp(a.lnDensity)
	a.lnStrength, a.lnStrengthSD = m.strength.at(x)
	a.lnStrength += math.Log(DefaultStrength(1 - density/balance.TrueDensity).Best)
	a.lnStrengthSD = math.Hypot(a.lnStrengthSD, strengthDecay*density/balance.TrueDensity*a.lnDensitySD)
	a.shrinkage, a.shrinkageSD = m.shrinkage.at(x)
	a.shrinkage += float64(Combine(m.forming.Drying, m.forming.Firing))
	for k, price := range m.goal.Prices {
		a.cost += price * p.shares[k] / (1 - m.inputs[k].Moisture)
	}
	a.cost *= density / balance.Fired.Mass // per m³ fired: 1 kg of dry solids fires to Fired.Mass
	a.chance = m.chance(a)
	return a
}

// chance that the noise-free brick keeps all limits, taken as independent.
func (m *outlook) chance(a outlookAt) float64 {
	g, c := m.goal, 1.0
	below := func(limit, mean, sd float64) float64 {
		return stats.NormalCDF((limit - mean) / math.Max(sd, 1e-9))
	}
	if g.MaxDensity > 0 {
		c *= below(math.Log(g.MaxDensity), a.lnDensity, a.lnDensitySD)
	}
	if g.MinDensity > 0 {
		c *= 1 - below(math.Log(g.MinDensity), a.lnDensity, a.lnDensitySD)
	}
	if g.MinStrength > 0 {
		c *= 1 - below(math.Log(g.MinStrength), a.lnStrength, a.lnStrengthSD)
	}
	if g.MaxShrinkage > 0 {
		c *= below(g.MaxShrinkage, a.shrinkage, a.shrinkageSD)
	}
	return c
}

// best is the trial with the least density (or cost) among those that more
// likely than not keep the limits, by the processes and not by single bricks.
func (m *outlook) best() (index int, value float64) {
	index, value = -1, math.Inf(1)
	for i, p := range m.places {
		if m.outcomes[i].N == 0 {
			continue
		}
		at := m.at(p)
		v := at.lnDensity
		if m.goal.Cheapest {
			v = math.Log(at.cost)
		}
		if at.chance >= 0.5 && v < value {
			index, value = i, v
		}
	}
	return index, value
}

// gain is the expected improvement as a share of the best.
func (m *outlook) gain(a outlookAt, best float64) float64 {
	if m.goal.Cheapest {
		return math.Max(0, best-math.Log(a.cost))
	}
	return Jones1998ExpectedImprovement(best, a.lnDensity, a.lnDensitySD)
}

// suggest turns a place into masses on the scale.
func (m *outlook) suggest(p place, a outlookAt) Suggestion {
	s := Suggestion{Mix: m.goal.weigh(m.inputs, p), Shares: p.shares, Water: p.water, Kelvin: p.kelvin, Cost: a.cost, Chance: a.chance}
	logBand := func(mean, sd, noise float64) Band {
		h := ninety * math.Hypot(sd, noise)
		return Band{math.Exp(mean - h), math.Exp(mean), math.Exp(mean + h)}
	}
	s.Density = logBand(a.lnDensity, a.lnDensitySD, a.noiseD)
	s.Strength = logBand(a.lnStrength, a.lnStrengthSD, a.noiseS)
	h := ninety * math.Hypot(a.shrinkageSD, a.noiseShrnk)
	s.Shrinkage = Band{a.shrinkage - h, a.shrinkage, a.shrinkage + h}
	return s
}

func (m *outlook) because(s Suggestion, noise float64) []message.Text {
	var list []message.Text
	switch {
	case s.Best < 0:
		list = append(list, message.T("brick.next.no-good-one", "chance", pctValue(s.Chance)))
	case s.Stop:
		list = append(list, message.T("brick.next.stop", "gain", pct1Value(s.Gain), "scatter", pct1Value(noise)))
	default:
		list = append(list, message.T("brick.next.gain", "gain", pct1Value(s.Gain), "chance", pctValue(s.Chance)))
	}
	list = append(list, message.T("brick.next.expect", "low", densityValue(s.Density.Low), "high", densityValue(s.Density.High),
		"weak", strengthValue(s.Strength.Low), "strong", strengthValue(s.Strength.High)))
	if s.Kelvin > 0 {
		list = append(list, message.T("brick.next.fire", "peak", celsiusValue(s.Kelvin)))
	}
	if len(m.strength.x) == 0 && m.goal.MinStrength > 0 {
		list = append(list, message.T("brick.next.crush-some"))
	}
	if !m.repeated() && len(m.places) > LeastTrials {
		list = append(list, message.T("brick.next.repeat"))
	}
	return list
}

// repeated reports whether any mix was made twice.
func (m *outlook) repeated() bool {
	for i, p := range m.places {
		for _, q := range m.places[:i] {
			if floatsNear(m.scaled(p), m.scaled(q), 0.03) {
				return true
			}
		}
	}
	return false
}

func floatsNear(a, b []float64, tolerance float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > tolerance {
			return false
		}
	}
	return true
}

// OneChange is the next trial for a beginner: one thing changed from a trial,
// towards a fired density (kg/m³), the balance corrected by how far it missed
// that trial. The changes come in the order in which they are worth trying.
func OneChange(b *Belief, t Trial, target float64) ([]Change, error) {
	mix := Mix{Water: t.Mix.Water}
	for _, p := range t.Mix.Portions {
		in, ok := b.Ingredient(p.Ingredient.Name)
		if !ok {
			return nil, ErrUnknownStock
		}
		if p.Weighed {
			in.Moisture = p.Ingredient.Moisture
		}
		mix.Portions = append(mix.Portions, Portion{Ingredient: in, Mass: p.Mass, Weighed: p.Weighed})
	}
	f := b.Forming()
	balance, err := mix.Balance(f)
	if err != nil {
		return nil, err
	}
	if o := t.Outcome(); o.N > 0 {
		target *= balance.Fired.Density() / o.Density.Value
	}
	return mix.Changes(target, f)
}

// strengthValue shows a strength in tenths of a megapascal.
func strengthValue(pa float64) quantity.Value {
	return quantity.Value{SI: pa, Unit: quantity.Megapascal, Step: 0.1}
}
