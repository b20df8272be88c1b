package explore

import (
	"math"
	"slices"
	"sort"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Design is one stove that a search found.
type Design struct {
	Form       stove.Form // opens as a stove
	Objectives Values     // as Search.Goals
	Drawn      Outcome    // cold start, as drawn
	AirRatio   float64    // that the stated share of draws is at least at
	Time       float64    // s, that the stated share of draws is at most at
	Skin       float64    // K, likewise
	Cost       float64
	Mass       float64 // kg
}

// Front are the designs found so far of which none beats another, at most so many,
// those spread widest, in the order of the first goal.
func (q *Search) Front(most int) ([]Design, error) {
	if err := q.Open(); err != nil {
		return nil, err
	}
	picked := thin(q.Archive, most)
	list := make([]Design, len(picked))
	each(len(picked), func(i int) { list[i] = q.design(picked[i]) })
	sort.SliceStable(list, func(i, j int) bool { return list[i].Objectives[0] < list[j].Objectives[0] })
	return list, nil
}

func (q *Search) design(p Individual) Design {
	a := q.judge(p.X, false)
	q.confirm(a)
	may := q.Limits.mayMiss(len(a.outcomes))
	n := q.base.asDrawn()
	return Design{Form: q.form(p.X), Objectives: p.Objectives, Drawn: q.base.at(Cold).burn(a.stove, &n), Cost: a.cost, Mass: a.stove.Mass,
		AirRatio: a.column(AirRatio)[may], Time: a.highest(BoilTime, may), Skin: a.highest(Skin, may)}
}

// thin drops the most crowded of a set until so many are left.
func thin(all []Individual, most int) []Individual {
	index := make([]int, len(all))
	for i := range index {
		index[i] = i
	}
	var left []Individual
	for _, i := range thinned(slices.Clone(all), index, max(most, 1)) {
		left = append(left, all[i])
	}
	return left
}

// Recommend is the design nearest to having every goal at its best, each goal
// taken over its range in the front; -1 for an empty front.
func Recommend(front []Design) int {
	best, at := math.Inf(1), -1
	if len(front) == 0 {
		return at
	}
	low, high := slices.Clone(front[0].Objectives), slices.Clone(front[0].Objectives)
	for _, d := range front {
		for k, x := range d.Objectives {
			low[k], high[k] = math.Min(low[k], x), math.Max(high[k], x)
		}
	}
	for i, d := range front {
		far := 0.0
		for k, x := range d.Objectives {
			if high[k] > low[k] {
				far += math.Pow((x-low[k])/(high[k]-low[k]), 2)
			}
		}
		if far < best {
			best, at = far, i
		}
	}
	return at
}

// Says tells a design in sentences.
func (d Design) Says(q *Search) []message.Text {
	share := quantity.Pct(q.Limits.Confidence)
	list := []message.Text{message.T("explore.design", "wood", Wood.Value(d.Drawn[Wood]), "time", BoilTime.Value(d.Drawn[BoilTime]), "efficiency", Efficiency.Value(d.Drawn[Efficiency])),
		message.T("explore.design-air", "share", share, "air", AirRatio.Value(d.AirRatio), "limit", AirRatio.Value(q.Limits.AirRatio)),
		message.T("explore.design-bounds", "share", share, "time", BoilTime.Value(d.Time), "skin", Skin.Value(d.Skin))}
	for _, burns := range fire.SkinCautions(d.Skin, "bare metal") {
		list = append(list, message.T("explore.design-caution", "burns", burns))
	}
	return append(list, message.T("explore.computed"))
}
