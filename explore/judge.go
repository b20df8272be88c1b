package explore

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"stovewright/stats"
	"stovewright/stove"
)

// judgement is what a design is worth.
type judgement struct {
	x          []float64
	foreseen   bool // followed to the end even where it fails
	lost       bool // cannot be followed any further: not built, choked or never at the boil
	violation  float64
	objectives Values
	stove      *stove.Stove
	drawn      Outcome   // as drawn; time and wood from cold
	hot        Outcome   // as drawn, on the warm stove
	outcomes   []Outcome // by draw, time and wood brought to a cold start
	cost       float64
}

// stages are what a design goes through, the cheap before the dear: what fails one
// is spared the rest. Each tells by how much the design fails it.
var stages = []func(*Search, *judgement) float64{
	(*Search).builds, (*Search).burns, (*Search).keepsAir, (*Search).boils, (*Search).throughDraws,
}

// never is the failure of what no small change would mend.
const never = 1e9

// failure is the violation of a design that fails with so many stages still to go:
// more than that of any that came further, so that a search climbs step by step.
func failure(stagesLeft int, by float64) float64 { return float64(stagesLeft) + by/(1+by) }

// judge takes a design through the stages. One that was foreseen to keep its limits
// is followed through all that it can be: there the search has most to learn.
func (q *Search) judge(x []float64, foreseen bool) *judgement {
	a := &judgement{x: x, foreseen: foreseen, objectives: make(Values, len(q.Goals))}
	for i, stage := range stages {
		by := stage(q, a)
		if by > 0 && a.violation == 0 {
			a.violation = failure(len(stages)-i, by)
		}
		if a.lost || by > 0 && !foreseen {
			return a
		}
	}
	if a.violation == 0 {
		q.value(a)
	}
	return a
}

// lose ends what cannot be followed.
func (a *judgement) lose() float64 {
	a.lost = true
	return never
}

// builds sizes the stove of a design.
func (q *Search) builds(a *judgement) float64 {
	brief, err := q.form(a.x).Read()
	if err == nil {
		a.stove, err = stove.Size(brief)
	}
	if err != nil {
		return a.lose()
	}
	a.cost = q.Prices.Of(a.stove)
	return 0
}

// burns lights the stove as drawn.
func (q *Search) burns(a *judgement) float64 {
	n := q.base.asDrawn()
	if a.hot = q.base.at(Steady).burn(a.stove, &n); !a.hot.Burns() {
		return a.lose()
	}
	return q.asDrawn(a, a.hot)
}

// keepsAir burns the stove through the draws, the hardest first, until more of
// them are short of air than may be. None may choke, whatever the confidence.
func (q *Search) keepsAir(a *judgement) float64 {
	may := q.Limits.mayMiss(len(q.draws))
	var short []float64 // by how much, of the worst
	for i := range q.draws {
		o := q.base.at(Steady).burn(a.stove, &q.draws[i])
		if math.IsNaN(o[BoilTime]) {
			a.lost = true
			return 1 + float64(len(q.draws)-i)
		}
		a.outcomes = append(a.outcomes, o)
		if by := 1 - o[AirRatio]/q.Limits.AirRatio; by > 0 {
			short = append(short, by)
			slices.SortFunc(short, func(a, b float64) int { return cmp.Compare(b, a) })
			short = short[:min(len(short), may+1)]
		}
		if len(short) > may && !a.foreseen {
			break
		}
	}
	if len(short) > may {
		return short[may]
	}
	return 0
}

// boils follows a cold start as drawn. The draws were burnt on the warm stove; the
// ratio of the two starts brings their time and wood to a cold one.
func (q *Search) boils(a *judgement) float64 {
	n := q.base.asDrawn()
	if a.drawn = q.base.at(brisk).burn(a.stove, &n); math.IsNaN(a.drawn[BoilTime]) {
		return a.lose()
	}
	a.fromCold(a.outcomes)
	return 0
}

func (a *judgement) fromCold(outcomes []Outcome) {
	for i := range outcomes {
		outcomes[i][BoilTime] *= a.drawn[BoilTime] / a.hot[BoilTime]
		outcomes[i][Wood] *= a.drawn[Wood] / a.hot[Wood]
	}
}

// confirm is asked of what would be recommended: that it can be made of what is at
// hand, and that it keeps its limits through fresh draws too, by themselves, which no
// search has fitted it to. The outcomes are then those of all draws.
func (q *Search) confirm(a *judgement) {
	if by := q.unmakeable(a.stove); by > 0 {
		a.violation = failure(0, by)
		return
	}
	fresh := judgement{drawn: a.drawn, hot: a.hot}
	for i := range q.fresh {
		o := q.base.at(Steady).burn(a.stove, &q.fresh[i])
		if math.IsNaN(o[BoilTime]) {
			a.violation = failure(0, never)
			return
		}
		fresh.outcomes = append(fresh.outcomes, o)
	}
	fresh.fromCold(fresh.outcomes)
	a.violation = failure(0, q.throughDraws(&fresh))
	a.outcomes = append(a.outcomes, fresh.outcomes...)
}

// column is a metric over the draws, sorted.
func (a *judgement) column(m Metric) []float64 {
	list := make([]float64, len(a.outcomes))
	for i, o := range a.outcomes {
		list[i] = o[m]
	}
	sort.Float64s(list)
	return list
}

// highest is the value of a metric that all but so many of the draws are at most at.
func (a *judgement) highest(m Metric, but int) float64 { return a.column(m)[len(a.outcomes)-1-but] }

// badDay is the share of days that are no worse than a bad one.
const badDay = 0.9

// value sets the objectives.
func (q *Search) value(a *judgement) {
	wood := stats.Mean(a.column(Wood))
	for i, g := range q.Goals {
		switch g {
		case LeastWood:
			a.objectives[i] = wood
		case LeastTime:
			a.objectives[i] = stats.Mean(a.column(BoilTime))
		case LeastCost:
			a.objectives[i] = a.cost
		case Steadiest:
			a.objectives[i] = a.highest(Wood, Limits{Confidence: badDay}.mayMiss(len(a.outcomes))) - wood
		}
	}
}
