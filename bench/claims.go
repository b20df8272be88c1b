package bench

import (
	"strings"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Evidence is what stands behind a report; what is nil was not measured.
type Evidence struct {
	Boiling  []Comparison    // of boiling tests
	Cooking  *Comparison     // of controlled or uncontrolled cooking tests
	Kitchens *KitchenStudy   // days in households
	Sequence *SequenceReport // ISO 19867-1
	Usage    *Stacking       // from loggers, in households with both stoves
	Uses     []UseRecord     // the loggers
	Safety   *Agreement
	Asked    bool // some figures were asked, not measured
}

// Claims is the paragraph of what may and may not be said.
type Claims struct {
	May, MayNot []message.Text
}

// Claim says what the evidence carries, and what it does not. Laboratory tests
// never carry a saving in kitchens, nothing here carries a gain in health, and
// no test of one's own is a certificate. What people say of their cooking came
// out about double what sensors found (wilson2015usage), so use that nobody
// measured is not claimed either.
func Claim(e Evidence) Claims {
	var c Claims
	may := func(id string, args ...any) { c.May = append(c.May, message.T("bench.claim."+id, args...)) }
	mayNot := func(id string, args ...any) { c.MayNot = append(c.MayNot, message.T("bench.claim.not-"+id, args...)) }
	for _, b := range e.Boiling {
		if beside := b.beside(); beside != nil && b.Finding == Differs {
			mayNot("confounded", "what", b.What, "beside", beside)
		} else if b.Finding == Differs || b.Finding == AlikeWithin {
			may("boiling", "words", b.Words, "n", b.Base.N, "m", b.New.N)
		} else {
			mayNot("shown", "what", b.What)
		}
	}
	if e.Cooking != nil {
		if beside := e.Cooking.beside(); beside != nil && e.Cooking.Finding == Differs {
			mayNot("confounded", "what", e.Cooking.What, "beside", beside)
		} else if e.Cooking.Finding == Differs {
			may("cooking", "words", e.Cooking.Words)
		} else {
			mayNot("shown", "what", e.Cooking.What)
		}
	}
	if e.Sequence != nil {
		t := e.Sequence.Efficiency
		may("sequence", "n", e.Sequence.Runs, "point", t.Point.Low, "sure", t.Conservative.Low)
	} else {
		mayNot("tier")
	}
	e.kitchens(may, mayNot)
	if e.Usage != nil {
		may("usage", "share", quantity.Pct(e.Usage.NewDays), "low", quantity.Pct(max(0, e.Usage.NewInterval.Low)), "high", quantity.Pct(min(1, e.Usage.NewInterval.High)), "n", e.Usage.Households)
	} else {
		for _, u := range e.Uses {
			may("use", "name", u.Name, "used", u.Usage.DaysUsed, "n", u.Usage.Days)
		}
		if len(e.Uses) == 0 {
			mayNot("usage")
		}
	}
	if e.Safety != nil {
		may("safety", "mean", quantity.Value{SI: e.Safety.Mean, Unit: quantity.One}, "spread", quantity.Value{SI: e.Safety.PlusLess, Unit: quantity.One})
	}
	if e.Asked {
		mayNot("asked")
	}
	mayNot("health")
	mayNot("certificate")
	return c
}

// beside names what differed between two stoves beside the stoves, so that a
// difference of results may not be laid to them; nil for nothing.
func (c Comparison) beside() []message.Text {
	var list []message.Text
	seen := map[string]bool{}
	for _, a := range c.Alarms {
		saving := a.Key == "firepower" && a.Phase == "simmer" // a small fire that holds the simmer is what is sought
		if a.Severity == Suspect && strings.HasPrefix(a.Text.ID, "bench.differ.") && !saving && !seen[a.Key] {
			seen[a.Key] = true
			list = append(list, message.T("bench.beside."+a.Key))
		}
	}
	return list
}

// kitchens: only days in households carry a saving of fuel, and only a saving
// whose interval lies above nothing.
func (e Evidence) kitchens(may, mayNot func(string, ...any)) {
	k := e.Kitchens
	if k == nil {
		mayNot("saving")
		mayNot("climate")
		return
	}
	if k.Interval != (stats.Interval{}) && k.Interval.Low > 0 {
		may("kitchens", "saving", quantity.Pct(k.Saving), "level", quantity.Pct(k.Interval.Level), "low", quantity.Pct(k.Interval.Low), "high", quantity.Pct(k.Interval.High), "n", k.Households)
		may("climate")
		return
	}
	mayNot("shown", "what", quantityName("u_E"))
	mayNot("climate")
}
