package explore

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// Kitchen is one kitchen, with the pots of its brief and how much its wood counts.
type Kitchen struct {
	Form   stove.Form
	Weight float64   // meals a day, or households of the kind; above zero
	Shares []float64 // of the meals that each pot cooks; nil for all alike
}

// Fleet is a study of which one stove, or which set of two sizes, serves the pots
// of several kitchens with the least wood. Stoves made for each pot, with a choice
// of skirt gaps wider and narrower and of skirts low enough for the handles of the
// others, burn under every pot; the best sets are then found by trying all.
type Fleet struct {
	Kitchens     []Kitchen
	Coefficients fire.Coefficients
	AirRatio     float64 // least, with every pot; 0 for fire.AirCaution
	Rows         []FleetRow

	once       sync.Once
	err        error
	pots       []fleetPot
	candidates []fleetStove
}

// FleetRow is what one stove does with every pot.
type FleetRow struct {
	Wood Values // kg to the boil from cold, by pot; NaN where it does not fit, chokes or is short of air
}

type fleetPot struct {
	pot    stove.Pot
	form   stove.Form // its kitchen, with this pot alone
	weight float64
}

type fleetStove struct {
	form stove.Form
	base *base
	made string // the pot it is made for
}

// skirtSteps are the gaps that are tried around the rule's, m.
var skirtSteps = []float64{-0.002, -0.001, 0, 0.001, 0.002, 0.004}

// Open sizes the stoves that come into question.
func (f *Fleet) Open() error {
	f.once.Do(func() { f.err = f.open() })
	return f.err
}

func (f *Fleet) open() error {
	if len(f.Kitchens) == 0 {
		return message.InputErrors{{Field: "kitchens", Reason: message.T("explore.no-kitchens")}}
	}
	if f.AirRatio == 0 {
		f.AirRatio = fire.AirCaution
	}
	for _, k := range f.Kitchens {
		if err := f.add(k); err != nil {
			return err
		}
	}
	for _, p := range f.pots {
		if err := f.stoves(p); err != nil {
			return err
		}
	}
	return nil
}

// add takes the pots of a kitchen.
func (f *Fleet) add(k Kitchen) error {
	brief, err := k.Form.Read()
	if err != nil {
		return err
	}
	if k.Weight <= 0 || k.Shares != nil && len(k.Shares) != len(brief.Pots) {
		return fmt.Errorf("explore: a kitchen needs a weight, and a share for each of its %d pots or none", len(brief.Pots))
	}
	forms := append([]stove.PotForm{k.Form.Pot}, k.Form.MorePots...)
	for i, p := range brief.Pots {
		share := 1 / float64(len(brief.Pots))
		if k.Shares != nil {
			share = k.Shares[i]
		}
		own := k.Form
		own.Pot, own.MorePots = forms[i], nil
		f.pots = append(f.pots, fleetPot{p, own, k.Weight * share})
	}
	return nil
}

// stoves makes the stoves for one pot, with a choice of skirts.
func (f *Fleet) stoves(p fleetPot) error {
	ruled, err := Subject{Form: p.form, Coefficients: f.Coefficients}.open()
	if err != nil {
		return err
	}
	gap, rise := ruled.sized.Dimension("skirt.gap"), ruled.sized.Dimension("skirt.rise")
	for _, high := range f.rises(rise.Value.SI) {
		for _, by := range skirtSteps {
			one := p.form
			if one.Yours = maps.Clone(one.Yours); one.Yours == nil {
				one.Yours = make(map[string]string)
			}
			if by != 0 {
				one.Yours[gap.ID] = text(gap, gap.Value.SI+by) + " " + gap.Value.Unit.Symbol
			}
			if high != rise.Value.SI {
				one.Yours[rise.ID] = text(rise, high) + " " + rise.Value.Unit.Symbol
			}
			if b, err := (Subject{Form: one, Coefficients: f.Coefficients, Depth: Cold}).open(); err == nil {
				f.candidates = append(f.candidates, fleetStove{one, b, p.pot.Name})
			}
		}
	}
	return nil
}

// rises are the heights of a skirt above the base of its pot: that by the rules, and
// those under the handles of lower pots, with room for fingers.
func (f *Fleet) rises(byRule float64) []float64 {
	const fingers, step = 0.010, 0.005
	list := []float64{byRule}
	for _, p := range f.pots {
		high := math.Floor((p.pot.Handle-fingers)/step+1e-9) * step
		if high > 0 && high < byRule && !slices.Contains(list, high) {
			list = append(list, high)
		}
	}
	return list
}

// Batch is all stoves at once.
func (f *Fleet) Batch() (number, units int) {
	if f.Open() != nil || len(f.Rows) > 0 {
		return 1, 0
	}
	return 0, len(f.candidates)
}

// Total counts stoves.
func (f *Fleet) Total() (done, total int) {
	if f.Open() != nil {
		return 0, 0
	}
	return len(f.Rows), len(f.candidates)
}

// Unit burns one stove under every pot.
func (f *Fleet) Unit(unit int) Values {
	if f.Open() != nil {
		return nil
	}
	c := f.candidates[unit]
	var out Values
	for _, p := range f.pots {
		out = append(out, f.wood(c, p.pot))
	}
	return out
}

func (f *Fleet) wood(c fleetStove, p stove.Pot) float64 {
	s, fits := c.base.sized, true
	if p.Circumference != s.Pot.Circumference || p.Name != s.Pot.Name {
		s, fits = WithPot(c.base.sized, p)
	}
	if !fits {
		return math.NaN()
	}
	n := c.base.asDrawn()
	o := c.base.burn(s, &n)
	if !(o[AirRatio] >= f.AirRatio) {
		return math.NaN()
	}
	return o[Wood]
}

// Take keeps the rows.
func (f *Fleet) Take(results []Values) {
	for _, r := range results {
		f.Rows = append(f.Rows, FleetRow{r})
	}
}

// Set is one stove or several that serve all pots.
type Set struct {
	Forms   []stove.Form
	MadeFor []string       // names of the pots they are made for
	Names   []message.Text // of the stoves: their pots, with the skirts where two are made for one pot
	Of      []int          // by pot, which of the stoves cooks it with the least wood
	Wood    float64        // kg to the boil, by the weights of kitchens and pots
	ByPot   []float64      // kg
}

// Best is the set of so many sizes (1 or 2) that boils all pots with the least
// wood, by the weights; ok is false where none serves every pot.
func (f *Fleet) Best(sizes int) (best Set, ok bool) {
	if f.Open() != nil || len(f.Rows) == 0 || sizes < 1 || sizes > 2 {
		return Set{}, false
	}
	best.Wood = math.Inf(1)
	var pick []int
	consider := func(set ...int) {
		if w := f.cost(set); w < best.Wood {
			best.Wood, pick = w, slices.Clone(set)
		}
	}
	for i := range f.Rows {
		if sizes == 1 {
			consider(i)
			continue
		}
		for j := i + 1; j < len(f.Rows); j++ {
			consider(i, j)
		}
	}
	if pick == nil {
		return Set{}, false
	}
	for _, i := range pick {
		best.Forms, best.MadeFor = append(best.Forms, f.candidates[i].form), append(best.MadeFor, f.candidates[i].made)
	}
	best.Names = f.names(pick)
	for p := range f.pots {
		at, wood := f.server(pick, p)
		best.Of, best.ByPot = append(best.Of, at), append(best.ByPot, wood)
	}
	return best, true
}

// names tell the stoves of a set apart, by the pots they are made for and, where two are
// made for one, by their skirts.
func (f *Fleet) names(set []int) []message.Text {
	names := make([]message.Text, len(set))
	for k, i := range set {
		c := f.candidates[i]
		names[k] = potText(c.made)
		if slices.ContainsFunc(set, func(j int) bool { return j != i && f.candidates[j].made == c.made }) {
			names[k] = message.T("explore.pot-skirt", "pot", names[k], "gap", c.base.sized.Value("skirt.gap"), "rise", c.base.sized.Value("skirt.rise"))
		}
	}
	return names
}

// server is the stove of a set that boils a pot with the least wood; NaN where
// none does.
func (f *Fleet) server(set []int, pot int) (at int, wood float64) {
	wood = math.NaN()
	for k, i := range set {
		if w := f.Rows[i].Wood[pot]; w < wood || math.IsNaN(wood) && !math.IsNaN(w) {
			at, wood = k, w
		}
	}
	return at, wood
}

// cost is the weighted wood of a set; NaN where a pot is not served.
func (f *Fleet) cost(set []int) float64 {
	sum, weights := 0.0, 0.0
	for p, pot := range f.pots {
		_, w := f.server(set, p)
		sum += pot.weight * w
		weights += pot.weight
	}
	return sum / weights
}

// Apart is the set in which each pot has the stove that boils it with the least
// wood, whatever the others need; ok is false where a pot has none, or the study
// is not done.
func (f *Fleet) Apart() (set Set, ok bool) {
	if f.Open() != nil || len(f.Rows) == 0 {
		return Set{}, false
	}
	all := make([]int, len(f.Rows))
	for i := range all {
		all[i] = i
	}
	for p := range f.pots {
		at, wood := f.server(all, p)
		set.Forms, set.MadeFor = append(set.Forms, f.candidates[at].form), append(set.MadeFor, f.candidates[at].made)
		set.Of, set.ByPot = append(set.Of, p), append(set.ByPot, wood)
	}
	set.Wood = f.cost(all)
	return set, set.Wood > 0
}

// PotNames names the pots of all kitchens in their order.
func (f *Fleet) PotNames() []message.Text {
	if f.Open() != nil {
		return nil
	}
	var names []message.Text
	for _, p := range f.pots {
		names = append(names, potText(p.pot.Name))
	}
	return names
}

// Says tells the best stove and the best two in sentences.
func (f *Fleet) Says() []message.Text {
	one, okOne := f.Best(1)
	two, okTwo := f.Best(2)
	var list []message.Text
	if okOne {
		list = append(list, message.T("explore.fleet-one", "pot", potText(one.MadeFor[0]), "wood", Wood.Value(one.Wood)))
	} else {
		list = append(list, message.T("explore.fleet-none"))
	}
	if okTwo && (!okOne || two.Wood < one.Wood) {
		list = append(list, message.T("explore.fleet-two", "a", two.Names[0], "b", two.Names[1], "wood", Wood.Value(two.Wood)))
	}
	for i, p := range f.pots {
		if okTwo {
			list = append(list, message.T("explore.fleet-pot", "pot", potText(p.pot.Name), "stove", two.Names[two.Of[i]], "wood", Wood.Value(two.ByPot[i])))
		}
	}
	return append(list, message.T("explore.computed"))
}

// potText is the name of a pot, or words for one without.
func potText(name string) message.Text {
	if name == "" {
		return message.T("explore.the-pot")
	}
	return message.T("explore.pot-name", "name", name)
}
