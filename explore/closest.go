package explore

import (
	"cmp"
	"slices"

	"stovewright/message"
	"stovewright/quantity"
)

// Closest tells, when nothing keeps all limits, which of them the design breaks that
// comes closest. Nothing while something was found, or before the first generation.
func (q *Search) Closest() []message.Text {
	if len(q.Archive) > 0 || len(q.Parents) == 0 || q.Open() != nil {
		return nil
	}
	best := slices.MinFunc(q.Parents, func(a, b Individual) int { return cmp.Compare(a.Violation, b.Violation) })
	a := q.judge(best.X, true)
	if a.stove == nil || !a.hot.Burns() {
		return []message.Text{message.T("explore.closest-none")}
	}
	list := q.brokenAsDrawn(a)
	switch {
	case a.lost:
		list = append(list, message.T("explore.closest-lost"))
	case a.drawn[BoilTime] > 0:
		list = append(list, q.brokenInDraws(a)...)
	}
	if len(list) == 0 && q.unmakeable(a.stove) > 0 {
		list = append(list, message.T("explore.closest-sheets"))
	}
	if len(list) == 0 {
		list = append(list, message.T("explore.closest-fresh"))
	}
	return list
}

// brokenAsDrawn are the limits that a stove breaks with nothing that varies, and what
// the sizing says against it and not against the stove by the rules.
func (q *Search) brokenAsDrawn(a *judgement) (list []message.Text) {
	above := func(what message.Text, value, limit float64, show func(float64) quantity.Value) {
		if over(value, limit) > 0 {
			list = append(list, message.T("explore.closest-above", "what", what, "value", show(value), "limit", show(limit)))
		}
	}
	above(message.T("explore.limit.height"), a.stove.RimLevel(), q.Limits.Height, quantity.MM)
	above(message.T("explore.limit.weight"), a.stove.Mass, q.Limits.Weight, quantity.KG)
	above(message.T("explore.limit.cost"), a.cost, q.Limits.Cost, LeastCost.Value)
	above(Skin.Name(), a.hot[Skin], q.Limits.Skin, Skin.Value)
	if a.hot[AirRatio] < q.Limits.AirRatio {
		list = append(list, message.T("explore.closest-below", "what", AirRatio.Name(), "value", AirRatio.Value(a.hot[AirRatio]), "limit", AirRatio.Value(q.Limits.AirRatio)))
	}
	for _, c := range q.speakAgainst(a.stove) {
		list = append(list, c.Text)
	}
	return list
}

// brokenInDraws are the limits that a stove breaks in too many of the draws.
func (q *Search) brokenInDraws(a *judgement) (list []message.Text) {
	may, share := q.Limits.mayMiss(len(a.outcomes)), quantity.Pct(q.Limits.Confidence)
	say := func(key string, m Metric, value, limit float64) {
		list = append(list, message.T(key, "share", share, "what", m.Name(), "value", m.Value(value), "limit", m.Value(limit)))
	}
	if air := a.column(AirRatio)[may]; air < q.Limits.AirRatio {
		say("explore.closest-draws-below", AirRatio, air, q.Limits.AirRatio)
	}
	if time := a.highest(BoilTime, may); over(time, q.Limits.Time) > 0 {
		say("explore.closest-draws-above", BoilTime, time, q.Limits.Time)
	}
	if skin := a.highest(Skin, may); q.Limits.tooHot(skin) > 0 {
		say("explore.closest-draws-above", Skin, skin, q.Limits.Skin)
	}
	return list
}
