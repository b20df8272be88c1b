package brick

import (
	"math"

	"stovewright/message"
)

// BatchWish is what a batch is planned for.
type BatchWish struct {
	Good       int     // bricks wanted
	SetOf      int     // bricks that must come from one firing; 0 or 1 for none
	Yield      Yield   // share that survives each step
	Confidence float64 // 0.5 to 0.999; 0 means 0.95
	Mix        Mix     // one batch of the body
	Forming    Forming
	Cavity     Size    // m, the mould
	Spill      float64 // share of the mix lost; 0 means 0.04

	MouldsPerDay float64 // moulded in a day
	DryingDays   float64 // from mould to kiln
	ShelfGap     float64 // m between bricks on the shelf
	KilnBricks   int     // bricks the kiln holds
	WoodHeat     float64 // J/kg of the firewood; 0 means 16e6, air-dry
}

// Need is one material of a batch.
type Need struct {
	Name string
	Mass float64 // kg, moist as it comes
}

// BatchPlan is what a batch takes.
type BatchPlan struct {
	Starts       int // mouldings to start
	StartsByMean int // the same by the mean alone, for comparison
	Mixes        float64
	Needs        []Need
	Water        float64 // kg
	WetVolume    float64 // m³
	Shelf        float64 // m², when moulding runs on while the first still dry
	MouldingDays float64
	Days         float64 // from the first mould to the last brick dry
	KilnLoads    int
	Firewood     Band    // kg
	PoreHeat     float64 // J set free inside the bricks in all
	Cautions     []message.Text
}

// Kiln heat per kg of fired brick in a small updraft kiln, J/kg, and of a
// clamp at its best (from memory).
const (
	kilnHeatLow  = 2e6
	kilnHeatBest = 6e6
	kilnHeatHigh = 10e6
)

// Plan scales a batch through its losses. Bricks reach the kiln after the
// losses of moulding and drying; sets are rounded up to whole ones in each kiln
// load.
func (w BatchWish) Plan() (BatchPlan, error) {
	if w.Confidence == 0 {
		w.Confidence = 0.95
	}
	if w.Spill == 0 {
		w.Spill = 0.04
	}
	if w.WoodHeat == 0 {
		w.WoodHeat = 16e6
	}
	w.SetOf = max(1, w.SetOf)
	if err := w.check(); err != nil {
		return BatchPlan{}, err
	}
	balance, err := w.Mix.Balance(w.Forming)
	if err != nil {
		return BatchPlan{}, err
	}
	good := (w.Good + w.SetOf - 1) / w.SetOf * w.SetOf
	p := BatchPlan{StartsByMean: StartsByMean(good, w.Yield.Product())}
	if p.Starts, err = Starts(good, w.Yield.Product(), w.Confidence); err != nil {
		return BatchPlan{}, err
	}
	starts := float64(p.Starts)
	one := balance.Brick(w.Cavity.Volume())
	p.WetVolume = starts * w.Cavity.Volume() * (1 + w.Spill)
	p.Mixes = p.WetVolume / balance.Wet.Volume
	for _, portion := range w.Mix.Portions {
		p.Needs = append(p.Needs, Need{portion.Ingredient.Name, portion.Mass * p.Mixes})
	}
	p.Water = w.Mix.Water * p.Mixes
	p.MouldingDays = math.Ceil(starts / w.MouldsPerDay)
	p.Days = p.MouldingDays + w.DryingDays
	onShelf := math.Min(starts, w.MouldsPerDay*math.Max(1, w.DryingDays))
	p.Shelf = onShelf * (w.Cavity[Length] + w.ShelfGap) * (w.Cavity[Width] + w.ShelfGap)
	toKiln := math.Ceil(starts * w.Yield.Mould * w.Yield.Dry)
	p.KilnLoads = int(math.Ceil(toKiln / float64(w.KilnBricks)))
	fired := toKiln * one.Fired
	p.Firewood = Band{kilnHeatLow * fired / w.WoodHeat, kilnHeatBest * fired / w.WoodHeat, kilnHeatHigh * fired / w.WoodHeat}
	p.PoreHeat = w.Mix.KilnHeat(balance, 1273.15).PoreFormers / one.PerBatch * toKiln
	p.Cautions = append(Cautions(StepMixing, w.Mix), Cautions(StepFiring, w.Mix)...)
	return p, nil
}

func (w BatchWish) check() error {
	var bad message.InputErrors
	say := func(field string, v float64, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(v), Reason: message.T(id), Try: try})
	}
	if !(w.Yield.Product() > 0 && w.Yield.Mould <= 1 && w.Yield.Dry <= 1 && w.Yield.Fire <= 1 && w.Yield.Check <= 1) {
		say("yield", w.Yield.Product(), "brick.batch.yield", "0.95")
	}
	for _, a := range Axes {
		if !(w.Cavity[a] > 0 && w.Cavity[a] <= 2) {
			say("cavity."+a.String(), w.Cavity[a], "brick.size.range", "0.125")
		}
	}
	if !(w.Spill >= 0 && w.Spill < 0.5) {
		say("spill", w.Spill, "brick.share.range", "0.04")
	}
	if !(w.MouldsPerDay > 0) {
		say("moulds per day", w.MouldsPerDay, "brick.plan.positive", "40")
	}
	if !(w.DryingDays >= 0 && w.DryingDays < 400) {
		say("drying days", w.DryingDays, "brick.plan.positive", "10")
	}
	if !(w.ShelfGap >= 0 && w.ShelfGap < 1) {
		say("shelf gap", w.ShelfGap, "brick.plan.positive", "0.02")
	}
	if w.KilnBricks < w.SetOf {
		say("kiln bricks", float64(w.KilnBricks), "brick.plan.kiln-set", number(float64(max(60, w.SetOf))))
	}
	if !(w.WoodHeat > 1e6) {
		say("wood heat", w.WoodHeat, "brick.plan.positive", "16e6")
	}
	return bad.OrNil()
}

// Tins turns a mass into the maker's own measure, one tin of that material
// weighing tin kg.
func Tins(mass, tin float64) float64 { return mass / tin }
