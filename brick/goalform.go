package brick

import (
	"fmt"
	"math"

	"stovewright/brick/mixture"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// GoalForm is what the maker of a series is after. The least and largest share
// of each material stand with the material.
type GoalForm struct {
	Aim          string `yaml:"aim,omitempty"` // light or cheap
	MaxDensity   string `yaml:"max_density,omitempty"`
	MinDensity   string `yaml:"min_density,omitempty"`
	MinStrength  string `yaml:"min_strength,omitempty"`
	MaxShrinkage string `yaml:"max_shrinkage,omitempty"`
	LeastWater   string `yaml:"least_water,omitempty"` // per dry solids, all water counted
	MostWater    string `yaml:"most_water,omitempty"`
	LeastFiring  string `yaml:"least_firing,omitempty"` // peak of the firing
	MostFiring   string `yaml:"most_firing,omitempty"`
	DryBatch     string `yaml:"dry_batch,omitempty"` // dry solids of one trial
}

var goalFields = paper(
	form.OneOf("goal.aim", false, "light", "cheap"),
	form.Number("goal.max_density", quantity.GramPerCM3, 0.1, 2.5, false, "0.7 g/cm³"),
	form.Number("goal.min_density", quantity.GramPerCM3, 0.1, 2.5, false, "1.0 g/cm³"),
	form.Number("goal.min_strength", quantity.Megapascal, 0.01, 100, false, "0.6 MPa"),
	form.Number("goal.max_shrinkage", quantity.Percent, 1, 30, false, "10 %"),
	form.Number("goal.least_water", quantity.One, 0.05, 9, false, "0.6"),
	form.Number("goal.most_water", quantity.One, 0.05, 9, false, "1.4"),
	form.Number("goal.least_firing", quantity.Celsius, 600, 1300, false, "950 °C"),
	form.Number("goal.most_firing", quantity.Celsius, 600, 1300, false, "1050 °C"),
	form.Number("goal.dry_batch", quantity.Kilogram, 0.1, 100, false, "2 kg"),
)

// HandlingStrength is the cold crushing strength (Pa) that a brick wants to be
// handled and built in, and the limit of a goal that names none: 0.5 to 0.7
// MPa, common practice.
const HandlingStrength = handledLeast

// The shares of the dry mass between which mixes are sought where the maker
// says none, by the role of the material, and the water per dry solids before
// any trial was made (common practice).
var (
	usualShares = map[string][2]float64{"plastic": {0.3, 0.95}, "pore former": {0.05, 0.55}, "filler": {0, 0.5}}
	usualWater  = [2]float64{0.5, 1.4}
)

// goal reads what is wanted. Water that is not given is a fifth around what the
// trials had.
func (r *reader) goal(s *Series, f SeriesForm) {
	g := &s.Goal
	g.Cheapest = r.Word("goal.aim", f.Goal.Aim, "light") == "cheap"
	g.MaxDensity = or(r.number("goal.max_density", f.Goal.MaxDensity), 0)
	g.MinDensity = or(r.number("goal.min_density", f.Goal.MinDensity), 0)
	g.MinStrength = or(r.number("goal.min_strength", f.Goal.MinStrength), HandlingStrength)
	g.MaxShrinkage = or(r.number("goal.max_shrinkage", f.Goal.MaxShrinkage), 0)
	g.BatchDry = or(r.number("goal.dry_batch", f.Goal.DryBatch), 0)
	if g.MinDensity > 0 && g.MaxDensity > 0 && g.MinDensity >= g.MaxDensity {
		r.Complain("goal.min_density", f.Goal.MinDensity, message.T("brick.next.density"))
	}
	low, high := s.water()
	g.WaterLow, g.WaterHigh = or(r.number("goal.least_water", f.Goal.LeastWater), low), or(r.number("goal.most_water", f.Goal.MostWater), high)
	if g.WaterLow > g.WaterHigh {
		r.Complain("goal.least_water", f.Goal.LeastWater, message.T("brick.goal.water"))
		g.WaterLow = g.WaterHigh
	}
	r.firing(s, f.Goal)
	r.bounds(s, f.Materials)
	if priced := s.priced(); priced != nil {
		g.Prices = priced
	} else if g.Cheapest {
		r.Complain("goal.aim", f.Goal.Aim, message.T("brick.goal.prices"))
	}
}

// firing reads between which peaks the next firing is sought: where nothing is
// written, between those of the trials.
func (r *reader) firing(s *Series, f GoalForm) {
	low, high := math.Inf(1), 0.0
	for _, t := range s.Trials {
		if t.Kelvin > 0 {
			low, high = math.Min(low, t.Kelvin), math.Max(high, t.Kelvin)
		}
	}
	least, most := r.number("goal.least_firing", f.LeastFiring), r.number("goal.most_firing", f.MostFiring)
	low, high = or(least, low), or(most, high)
	switch {
	case low < high:
		s.Goal.FireLow, s.Goal.FireHigh = low, high
	case low > high && !math.IsNaN(least) && !math.IsNaN(most):
		r.Complain("goal.least_firing", f.LeastFiring, message.T("brick.goal.firing"))
	}
}

// bounds reads the shares of the materials, and complains when no mix is left.
func (r *reader) bounds(s *Series, materials []MaterialForm) {
	for i, m := range materials {
		path := fmt.Sprintf("materials[%d]", i+1)
		usual := usualShares[s.Stocks[i].Role]
		s.Goal.Bounds.Low = append(s.Goal.Bounds.Low, or(r.number(path+".least", m.Least), usual[0]))
		s.Goal.Bounds.High = append(s.Goal.Bounds.High, or(r.number(path+".most", m.Most), usual[1]))
	}
	for i, m := range materials {
		if _, err := s.Goal.Bounds.Tighten(); err != nil && (m.Least != "" || m.Most != "") {
			path, text := fmt.Sprintf("materials[%d].least", i+1), m.Least
			if text == "" {
				path, text = fmt.Sprintf("materials[%d].most", i+1), m.Most
			}
			r.Complain(path, text, message.T("brick.next.bounds"))
			return
		}
	}
}

// water is the least and the largest water per dry solids to be sought.
func (s Series) water() (low, high float64) {
	o := outlook{}
	for _, k := range s.Stocks {
		o.inputs = append(o.inputs, k.Ingredient())
	}
	low, high = math.Inf(1), 0
	for _, t := range s.Trials {
		if p, err := o.placeOf(t.Mix); err == nil && p.water > 0 {
			low, high = math.Min(low, 0.8*p.water), math.Max(high, 1.2*p.water)
		}
	}
	if high == 0 {
		return usualWater[0], usualWater[1]
	}
	return math.Max(low, 0.05), math.Min(high, 9)
}

// priced gives the prices of all materials, nil while one has none.
func (s Series) priced() []float64 {
	for _, p := range s.Prices {
		if math.IsNaN(p) {
			return nil
		}
	}
	return s.Prices
}

// CanSeek reports whether the bounds leave a mix of two materials at least.
func (s Series) CanSeek() bool {
	_, err := mixture.Bounds{Low: s.Goal.Bounds.Low, High: s.Goal.Bounds.High}.Tighten()
	return err == nil && len(s.Stocks) > 1
}
