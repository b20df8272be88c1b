package brick

import (
	"math"

	"stovewright/gas"
	"stovewright/internal/num"
	"stovewright/message"
	"stovewright/stats"
)

// HeldFor is the water (kg) that the moulded body must hold to fire to a bulk
// density (kg/m³), whatever was poured in: from ρf = mf/(Vwet r),
//
//	Hr = ρw (mf (1−e)/(ρf r) − Σ dry/grain),  r = (1−sd)³(1−sf)³.
//
// A target out of reach (no water left, or more than 100 times the solids) is
// refused with the reachable density.
func (m Mix) HeldFor(target float64, f Forming) (float64, error) {
	if err := m.check(f); err != nil {
		return 0, err
	}
	s := m.solids()
	held := gas.PlainWater * (s.left*(1-f.Air)/(target*f.VolumeRatio()) - s.volume)
	if !(target > 0) || !(held >= 0) || held > 100*s.dry {
		highest := s.left * (1 - f.Air) / (s.volume * f.VolumeRatio())
		return 0, message.InputErrors{{Field: "target", Value: number(target),
			Reason: message.T("brick.target.reach"), Allowed: message.T("brick.target.highest", "density", densityValue(highest)),
			Try: number(math.Min(600, math.Floor(highest/2)))}}
	}
	return held, nil
}

// DrainedFor is the share of all water that must leave before the shape sets
// for the mix to fire to a density (kg/m³). It is negative when water must be
// added instead.
func (m Mix) DrainedFor(target float64, f Forming) (float64, error) {
	held, err := m.HeldFor(target, f)
	if err != nil {
		return 0, err
	}
	total := m.Water + m.solids().water
	if total <= 0 {
		return 0, message.InputErrors{{Field: "water", Value: number(total), Reason: message.T("brick.water.none"), Try: "1.2"}}
	}
	return 1 - held/total, nil
}

// Held is the water found in a moulded body, for the whole batch.
type Held struct {
	Water   stats.Budget // kg
	Drained float64      // share of all water that left; negative if there is more than was poured in
}

// HeldFromDrying finds the water from one brick weighed wet and bone dry: the
// ratio (mwet−mdry)/mdry times the dry solids of the batch. It needs no mould
// volume and no guess of the air, and is the method to prefer.
func (m Mix) HeldFromDrying(wet, dry Reading) (Held, error) {
	var bad message.InputErrors
	if !(dry.Value > 0) {
		bad = append(bad, &message.InputError{Field: "dry", Value: number(dry.Value), Reason: message.T("brick.measure.positive"), Try: "0.600"})
	}
	if wet.Value < dry.Value {
		bad = append(bad, &message.InputError{Field: "wet", Value: number(wet.Value), Reason: message.T("brick.measure.wet-lighter"), Try: number(2 * dry.Value)})
	}
	if err := bad.OrNil(); err != nil {
		return Held{}, err
	}
	s := m.solids()
	w, err := budget(func(x []float64) float64 { return s.dry * (x[0] - x[1]) / x[1] },
		named{"brick.part.wet-mass", wet}, named{"brick.part.dry-mass", dry})
	return m.held(w), err
}

// HeldFromBatch finds the water from the number of bricks that a whole batch
// fills: Hr = ρw (n V (1−e) − Σ dry/grain), with the mould volume V (m³) and
// the entrained air as readings.
func (m Mix) HeldFromBatch(bricks float64, mould, air Reading) (Held, error) {
	s := m.solids()
	w, err := budget(func(x []float64) float64 { return gas.PlainWater * (bricks*x[0]*(1-x[1]) - s.volume) },
		named{"brick.part.mould-volume", mould}, named{"brick.part.air", air})
	if err != nil {
		return Held{}, err
	}
	if !(w.Value > 0) {
		return Held{}, message.InputErrors{{Field: "bricks", Value: number(bricks), Reason: message.T("brick.measure.too-few-bricks"),
			Try: number(math.Ceil(1.5 * s.volume / mould.Value))}}
	}
	return m.held(w), nil
}

// HeldFromWetBrick finds the water from one wet brick's mass (kg) and mould
// volume (m³) alone. With ρ' = ρwet/(1−e),
//
//	Hr = (Σdry − ρ' Σ dry/grain)/(ρ'/ρw − 1).
//
// A wet body is hardly heavier than water, so the result is poor: one hundredth
// of air moves it by several hundredths of the batch. Its uncertainty says so.
func (m Mix) HeldFromWetBrick(wet, mould, air Reading) (Held, error) {
	s := m.solids()
	f := func(x []float64) float64 {
		rho := x[0] / x[1] / (1 - x[2])
		return (s.dry - rho*s.volume) / (rho/gas.PlainWater - 1)
	}
	rho := wet.Value / mould.Value / (1 - air.Value)
	if !(rho > gas.PlainWater && rho < s.dry/s.volume) {
		return Held{}, message.InputErrors{{Field: "wet", Value: number(wet.Value), Reason: message.T("brick.measure.wet-density"),
			Try: number(1.25 * mould.Value * gas.PlainWater)}}
	}
	w, err := budget(f, named{"brick.part.wet-mass", wet}, named{"brick.part.mould-volume", mould}, named{"brick.part.air", air})
	return m.held(w), err
}

func (m Mix) held(w stats.Budget) Held {
	return Held{Water: w, Drained: 1 - w.Value/(m.Water+m.solids().water)}
}

// Change is one thing to do to a mix, alone, to reach a fired density.
type Change struct {
	Kind     ChangeKind
	From, To float64      // kg of water, kg of moist pore former, or drained share
	Text     message.Text // what to do
	Because  message.Text // why it works, and its price
}

// ChangeKind says what is changed.
type ChangeKind string

// The changes that Changes considers.
const (
	ChangeWater      ChangeKind = "water"       // pour in more or less
	ChangePressing   ChangeKind = "pressing"    // press or drain more or less
	ChangePoreFormer ChangeKind = "pore-former" // with the water that it carries
)

// WaterPerSawdust is the water that soaked sawdust carries with it, kg per kg
// dry: 1.5 to 3, common practice. Sawdust fixes how much water a mix can hold,
// so the two move together.
const WaterPerSawdust = 2.0

// Changes lists the single changes that bring a mix to a fired density
// (kg/m³), leaving out those out of reach: never less water than the clay
// needs to be moulded (plasticity, share of the dry clay), never more than 85 %
// pressed out.
func (m Mix) Changes(target float64, f Forming) ([]Change, error) {
	held, err := m.HeldFor(target, f)
	if err != nil {
		return nil, err
	}
	now := m.solids().balance(m.Water, f).Fired.Density()
	var list []Change
	if added := held/(1-f.Drained) - m.solids().water; added >= m.leastWater() && added < 3*math.Max(m.Water, 0.1) {
		list = append(list, Change{Kind: ChangeWater, From: m.Water, To: added,
			Text:    message.T(pick(added < m.Water, "brick.change.less-water", "brick.change.more-water"), "from", gramValue(m.Water), "to", gramValue(added)),
			Because: message.T(pick(added < m.Water, "brick.change.less-water.because", "brick.change.more-water.because"))})
	}
	if x := 1 - held/(m.Water+m.solids().water); x >= 0 && x <= 0.85 && math.Abs(x-f.Drained) > 1e-6 {
		list = append(list, Change{Kind: ChangePressing, From: f.Drained, To: x,
			Text:    message.T(pick(x > f.Drained, "brick.change.press-more", "brick.change.press-less"), "share", pctValue(x)),
			Because: message.T(pick(x > f.Drained, "brick.change.press-more.because", "brick.change.press-less.because"))})
	}
	if c, ok := m.poreFormerFor(target, now, f); ok {
		list = append(list, c)
	}
	return list, nil
}

// leastWater is the water (kg, added) below which the clay cannot be moulded:
// 15 g per 100 g dry clay (sandy brick clay, common practice) counting what is
// carried in.
func (m Mix) leastWater() float64 {
	const plasticity = 0.15
	var clay float64
	for _, p := range m.Portions {
		if r, ok := LookupIngredient(p.Ingredient.Kind); ok && r.Role == "plastic" {
			clay += p.Dry()
		}
	}
	return math.Max(0, plasticity*clay-m.solids().water)
}

// poreFormerFor scales the first pore former, and the water it carries, until
// the mix fires to the target.
func (m Mix) poreFormerFor(target, now float64, f Forming) (Change, bool) {
	k := -1
	for i, p := range m.Portions {
		if r, ok := LookupIngredient(p.Ingredient.Kind); ok && r.Role == "pore former" && p.Mass > 0 {
			k = i
			break
		}
	}
	if k < 0 {
		return Change{}, false
	}
	density := func(mass float64) float64 {
		changed := Mix{Portions: append([]Portion(nil), m.Portions...), Water: m.Water}
		changed.Portions[k].Mass = mass
		changed.Water += WaterPerSawdust * (changed.Portions[k].Dry() - m.Portions[k].Dry())
		return changed.solids().balance(math.Max(changed.Water, m.leastWater()), f).Fired.Density()
	}
	old := m.Portions[k].Mass
	mass, err := num.Brent(func(x float64) float64 { return density(x) - target }, 0, 4*old, 1e-6*old)
	if err != nil || math.Abs(mass-old) < 1e-4*old {
		return Change{}, false
	}
	less := mass < old
	water := WaterPerSawdust * (mass - old) * (1 - m.Portions[k].Ingredient.Moisture)
	return Change{Kind: ChangePoreFormer, From: old, To: mass,
		Text: message.T(pick(less, "brick.change.less-pore-former", "brick.change.more-pore-former"), "name", m.Portions[k].Ingredient.Name,
			"from", gramValue(old), "to", gramValue(mass), "water", gramValue(math.Abs(water))),
		Because: message.T(pick(less, "brick.change.less-pore-former.because", "brick.change.more-pore-former.because"))}, true
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// ExplainClaim holds a fired density that somebody claims for a recipe (kg/m³)
// beside what the balance says, and explains the difference by the water: what
// it fires to if all stays, what may stay for the claim to hold, and whether
// the dry unfired brick is meant. Empty where the two agree within a tenth.
func (m Mix) ExplainClaim(claimed float64, f Forming) ([]message.Text, error) {
	b, err := m.Balance(f)
	if err != nil {
		return nil, err
	}
	if math.Abs(b.Fired.Density()/claimed-1) < 0.1 {
		return nil, nil
	}
	list := []message.Text{message.T("brick.claim.balance", "ours", densityValue(b.Fired.Density()), "claimed", densityValue(claimed),
		"water", gramValue(b.Water))}
	if held, err := m.HeldFor(claimed, f); err == nil && held < b.TotalWater {
		list = append(list, message.T("brick.claim.water", "claimed", densityValue(claimed), "held", gramValue(held), "total", gramValue(b.TotalWater),
			"share", pctValue(1-held/b.TotalWater)))
	}
	if math.Abs(b.Dry.Density()/claimed-1) < 0.1 {
		list = append(list, message.T("brick.claim.unfired", "dry", densityValue(b.Dry.Density())))
	}
	return append(list, message.T("brick.claim.weigh")), nil
}
