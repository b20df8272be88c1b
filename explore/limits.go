package explore

import (
	"math"
	"slices"

	"stovewright/fire"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Limits are what every recommended stove keeps. Zero is no limit, except for the
// air ratio, which no search goes without.
type Limits struct {
	AirRatio   float64 // least air ratio, at least fire.SmokeLimit
	Confidence float64 // share of all draws that must keep it, as skin and time
	Skin       float64 // K
	Time       float64 // s to the boil from cold
	Height     float64 // m, of the pot's rim
	Weight     float64 // kg
	Cost       float64
	AtHand     bool // no more sheets are bought than for the stove by the rules
}

// UsualLimits are those of the brief, an air ratio of [fire.AirCaution] in nine of
// ten cases, and the sheets at hand where there are any.
func UsualLimits(b stove.Brief) Limits {
	return Limits{AirRatio: fire.AirCaution, Confidence: 0.9, Time: b.BoilTime.Or(0), Height: b.MaxHeight.Or(0), Weight: b.MaxWeight.Or(0),
		AtHand: len(b.Sheets) > 0}
}

// check complains about a search that would choke.
func (l Limits) check() error {
	if !(l.AirRatio >= fire.SmokeLimit) {
		return message.InputErrors{{Field: "limits.air_ratio", Value: AirRatio.Value(l.AirRatio).String(), Reason: message.T("explore.air-limit"),
			Allowed: message.T("explore.at-least", "least", AirRatio.Value(fire.SmokeLimit)), Try: AirRatio.Value(fire.AirCaution).String()}}
	}
	if !(l.Confidence > 0.5 && l.Confidence < 1) {
		return message.InputErrors{{Field: "limits.confidence", Value: quantity.Pct(l.Confidence).String(), Reason: message.T("explore.confidence"),
			Allowed: message.T("explore.between", "low", quantity.Pct(0.5), "high", quantity.Pct(1)), Try: quantity.Pct(0.9).String()}}
	}
	return nil
}

// mayMiss is how many of so many draws may miss a limit that is kept with the
// stated confidence: whole draws, nothing between them.
func (l Limits) mayMiss(draws int) int { return int((1-l.Confidence)*float64(draws) + 1e-9) }

// over is by what share a value is above a limit; 0 below it or without one.
func over(value, limit float64) float64 {
	if limit == 0 || value <= limit {
		return 0
	}
	return value/limit - 1
}

// tooHot is by what share of its degrees Celsius a skin is above the limit.
func (l Limits) tooHot(skin float64) float64 {
	if l.Skin == 0 {
		return 0
	}
	const zero = 273.15
	return over(skin-zero, l.Skin-zero)
}

// asDrawn is by how much a stove breaks the limits with nothing that varies: how
// it stands and what it weighs and costs, and warnings and cautions that the stove by
// the rules does not have.
func (q *Search) asDrawn(a *judgement, o Outcome) float64 {
	l, s := q.Limits, a.stove
	v := over(s.RimLevel(), l.Height) + over(s.Mass, l.Weight) + over(a.cost, l.Cost) + l.tooHot(o[Skin])
	v += math.Max(0, 1-o[AirRatio]/l.AirRatio)
	return v + float64(len(q.speakAgainst(s)))
}

// speakAgainst are the checks that speak against a stove and not against the stove by
// the rules.
func (q *Search) speakAgainst(s *stove.Stove) (list []stove.Check) {
	for _, c := range s.Checks {
		if binds(c) && !slices.ContainsFunc(q.base.sized.Checks, func(b stove.Check) bool { return b.ID == c.ID && b.Level == c.Level }) {
			list = append(list, c)
		}
	}
	return list
}

// binds reports whether a search heeds a check: whatever can hurt somebody, will not
// work, or is likely to disappoint or wear out. A hot skin has its own limit.
func binds(c stove.Check) bool { return c.Level != stove.Note && c.ID != "skin" }

// throughDraws is by how much the limits are missed over all draws so far.
func (q *Search) throughDraws(a *judgement) float64 {
	l := q.Limits
	may := l.mayMiss(len(a.outcomes))
	v := math.Max(0, 1-a.column(AirRatio)[may]/l.AirRatio)
	return v + over(a.highest(BoilTime, may), l.Time) + l.tooHot(a.highest(Skin, may))
}

// unmakeable is above zero for a stove that cannot be made: parts that leave no
// room for each other, blanks that no sheet takes, or sheets beyond those at hand.
func (q *Search) unmakeable(s *stove.Stove) float64 {
	sheets, err := kit.SheetsFor(s)
	switch {
	case err != nil:
		return never
	case sheets.TooBig > q.sheets.TooBig:
		return float64(sheets.TooBig - q.sheets.TooBig)
	case q.Limits.AtHand:
		return math.Max(0, float64(sheets.Bought-q.sheets.Bought))
	}
	return 0
}
