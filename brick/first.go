package brick

import (
	"math"

	"stovewright/brick/mixture"
	"stovewright/message"
)

// FirstTrials plans n mixes to start a series with: those within the goal's
// bounds that tell the ingredients apart best (mixture.DOptimal; the quadratic
// model where n allows it, else the linear), at the middle of the waters. The
// mix nearest the middle of the bounds is made twice, so that the scatter is
// known from the start; n counts both and is at least one more than the number
// of ingredients. Measured values of the stocks are used, defaults otherwise.
func FirstTrials(stocks []Stock, g Goal, n int, seed uint64) ([]Mix, error) {
	b := &Belief{Stocks: stocks}
	if err := g.prepare(b, LeastTrials); err != nil {
		return nil, err
	}
	q := len(stocks)
	if n < q+1 || n > 60 {
		return nil, message.InputErrors{{Field: "trials", Value: number(float64(n)), Reason: message.T("brick.first.count", "least", q+1), Try: number(float64(q + 2))}}
	}
	candidates, err := g.Bounds.Candidates()
	if err != nil {
		return nil, err // the bounds were checked
	}
	model := mixture.Linear
	if n-1 >= len(mixture.Quadratic.Terms(candidates[0])) {
		model = mixture.Quadratic
	}
	choice, err := mixture.DOptimal(candidates, model, n-1, nil, seed)
	if err != nil {
		return nil, message.InputErrors{{Field: "bounds", Value: number(float64(q)), Reason: message.T("brick.next.bounds"), Try: "clay 0.5 to 0.8, sawdust 0.2 to 0.5"}}
	}
	water := (g.WaterLow + g.WaterHigh) / 2
	centre := candidates[len(candidates)-1]
	nearest := candidates[choice.Index[0]]
	var mixes []Mix
	for _, k := range choice.Index {
		p := candidates[k]
		if distance(p, centre) < distance(nearest, centre) {
			nearest = p
		}
		mixes = append(mixes, g.mixOf(stocks, place{shares: p, water: water}))
	}
	return append(mixes, g.mixOf(stocks, place{shares: nearest, water: water})), nil
}

func distance(p, q mixture.Point) float64 {
	var d float64
	for i := range p {
		d += (p[i] - q[i]) * (p[i] - q[i])
	}
	return d
}

// mixOf is a place in masses of the stocks at their defaults, rounded to the
// scale.
func (g Goal) mixOf(stocks []Stock, p place) Mix {
	inputs := make([]Ingredient, len(stocks))
	for i, s := range stocks {
		inputs[i] = s.Ingredient()
	}
	return g.weigh(inputs, p)
}

// weigh turns a place into masses, the water less what the materials carry.
func (g Goal) weigh(inputs []Ingredient, p place) Mix {
	round := func(kg float64) float64 { return math.Round(kg/g.Step) * g.Step }
	var m Mix
	carried := 0.0
	for k, share := range p.shares {
		moist := round(share * g.BatchDry / (1 - inputs[k].Moisture))
		carried += moist * inputs[k].Moisture
		if moist > 0 {
			m.Portions = append(m.Portions, Portion{Ingredient: inputs[k], Mass: moist})
		}
	}
	m.Water = round(math.Max(0, p.water*g.BatchDry-carried))
	return m
}

// Shares are the shares of a mix's dry mass in the order of the stocks, and all
// its water per dry mass, with the moistures as believed: what mixture.FitModel
// wants.
func (b *Belief) Shares(m Mix) (mixture.Point, float64, error) {
	o := outlook{inputs: b.ingredients()}
	p, err := o.placeOf(m)
	return p.shares, p.water, err
}

// ingredients are the stocks at the middle of what is believed of them.
func (b *Belief) ingredients() []Ingredient {
	var list []Ingredient
	for _, s := range b.Stocks {
		in, _ := b.Ingredient(s.Name)
		list = append(list, in)
	}
	return list
}

// DensityAt is the fired density (kg/m³) over all mixtures, for a picture:
// the density at shares of the dry mass, in the order of the stocks, and water
// per dry mass, all at the middle of what is believed. NaN where nothing would
// be left of the brick.
func (b *Belief) DensityAt(water float64) func(mixture.Point) float64 {
	inputs, forming := b.ingredients(), b.Forming()
	return func(shares mixture.Point) float64 {
		balance, err := Goal{BatchDry: 1, Step: 1e-9}.weigh(inputs, place{shares: shares, water: water}).Balance(forming)
		if err != nil {
			return math.NaN()
		}
		return balance.Fired.Density()
	}
}
