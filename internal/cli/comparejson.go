package cli

import (
	"stovewright/bench"
	"stovewright/message"
	"stovewright/stats"
)

// The JSON form of a comparison: docs/schema/compare.schema.json.

type compareDoc struct {
	Series   []seriesDoc   `json:"series"`
	Alarms   []alarmDoc    `json:"alarms"`
	Compared []comparedDoc `json:"compared"`
	Kitchens *kitchensDoc  `json:"kitchens,omitempty"`
	Tiers    []tierDoc     `json:"tiers,omitempty"`
	Safety   []scorersDoc  `json:"safety,omitempty"`
	Use      *stackingDoc  `json:"use,omitempty"`
	LeftOut  []leftOutDoc  `json:"left_out"`
	Outliers []farOutDoc   `json:"outliers"`
	Drift    []driftDoc    `json:"drift"`
	May      []string      `json:"may_be_said"`
	MayNot   []string      `json:"may_not_be_said"`
}

type seriesDoc struct {
	Stove string `json:"stove"`
	Test  string `json:"test"`
	Count int    `json:"count"`
	Dates string `json:"dates"`
}

type comparedDoc struct {
	ID         string     `json:"id"`
	Name       string     `json:"name"`
	Unit       string     `json:"unit"`
	Better     string     `json:"better"` // higher, lower or neither
	Base       sideDoc    `json:"base"`
	New        sideDoc    `json:"new"`
	Finding    string     `json:"finding"`
	Words      string     `json:"words"`
	Difference *numberDoc `json:"difference,omitempty"`
	Ratio      *numberDoc `json:"ratio,omitempty"`
	Fieller    *numberDoc `json:"ratio_fieller,omitempty"`
	Bootstrap  *numberDoc `json:"ratio_bootstrap,omitempty"`
	P          *float64   `json:"p,omitempty"`
	PAdjusted  *float64   `json:"p_adjusted,omitempty"`
	PRanks     *float64   `json:"p_ranks,omitempty"`
	PAlike     *float64   `json:"p_alike,omitempty"`
	PScatter   *float64   `json:"p_scatter,omitempty"`
	Needed     int        `json:"needed_each,omitempty"`
	Detectable *float64   `json:"detectable,omitempty"`
	SharedU    *float64   `json:"shared_uncertainty,omitempty"`
}

type sideDoc struct {
	Stove string   `json:"stove"`
	N     int      `json:"n"`
	Mean  *float64 `json:"mean,omitempty"`
	SD    *float64 `json:"sd,omitempty"`
}

type numberDoc struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Level float64  `json:"level"`
}

type kitchensDoc struct {
	Paired     bool       `json:"paired"`
	Households int        `json:"households"`
	Lost       int        `json:"lost"`
	Saving     *numberDoc `json:"saving"`
	P          *float64   `json:"p"`
	PRanks     *float64   `json:"p_ranks"`
	Alike      *float64   `json:"village_likeness"`
	Effect     float64    `json:"design_effect"`
	Needed     int        `json:"needed"`
}

type tierDoc struct {
	Stove        string     `json:"stove"`
	Indicator    string     `json:"indicator"`
	Credit       bool       `json:"char_credited"`
	Scale        string     `json:"scale"`
	Runs         int        `json:"runs"`
	Mean         *numberDoc `json:"mean"`
	Point        int        `json:"point_tier"`
	Conservative int        `json:"conservative_tier"`
	OneSided     int        `json:"one_sided_tier"`
}

type scorersDoc struct {
	Stove  string    `json:"stove"`
	Totals []float64 `json:"totals"`
	Mean   float64   `json:"mean"`
	Spread float64   `json:"spread"`
	Kappa  *float64  `json:"kappa"`
	Apart  []string  `json:"apart"`
}

type stackingDoc struct {
	Households int        `json:"households"`
	OldShare   *numberDoc `json:"old_share"`
	NewDays    *numberDoc `json:"new_days"`
	Never      int        `json:"never_used"`
}

type leftOutDoc struct {
	Stove  string `json:"stove"`
	Test   string `json:"test,omitempty"`
	Date   string `json:"date,omitempty"`
	Reason string `json:"reason"`
}

type farOutDoc struct {
	Stove    string  `json:"stove"`
	Test     string  `json:"test,omitempty"`
	What     string  `json:"what"`
	G        float64 `json:"g"`
	Critical float64 `json:"critical"`
}

type driftDoc struct {
	Stove  string   `json:"stove"`
	ID     string   `json:"id"`
	PerRun *float64 `json:"per_run"`
	P      *float64 `json:"p"`
}

func intervalJSON(value float64, i stats.Interval) *numberDoc {
	return &numberDoc{finite(value), finite(i.Low), finite(i.High), i.Level}
}

func compareJSON(st *bench.Study, c *message.Catalogue) compareDoc {
	d := compareDoc{Series: []seriesDoc{}, Alarms: alarmsJSON(c, st.Alarms()), Compared: []comparedDoc{}, LeftOut: []leftOutDoc{}, Outliers: []farOutDoc{}, Drift: []driftDoc{}}
	add := func(name string, kind bench.Kind, n int, span string) {
		d.Series = append(d.Series, seriesDoc{name, string(kind), n, span})
	}
	for _, s := range st.Boiling {
		add(s.Name, bench.KindBoiling, len(s.Runs), dates(s.Runs, func(r bench.Run) string { return r.Test.About.Date }))
	}
	for _, s := range st.Cooking {
		add(s.Name, bench.KindCooking, len(s.Tests), dates(s.Tests, func(t bench.CookingTest) string { return t.About.Date }))
	}
	for _, s := range st.Sequence {
		add(s.Name, bench.KindSequence, len(s.Runs), dates(s.Runs, func(r bench.SequenceRun) string { return r.Test.About.Date }))
	}
	for _, k := range st.Compared {
		d.Compared = append(d.Compared, comparedJSON(k, c))
	}
	if k := st.Kitchens; k != nil {
		p, ranks := k.PairedT.P(stats.TwoSided), k.SignedRank.P(stats.TwoSided)
		if !k.Paired {
			p, ranks = k.Comparison.P, k.Comparison.Ranks.P(stats.TwoSided)
		}
		d.Kitchens = &kitchensDoc{k.Paired, k.Households, k.Lost, intervalJSON(k.Saving, k.Interval), finite(p), finite(ranks), finite(k.ICC), k.Effect, k.Needed}
	}
	d.Tiers, d.Safety = tiersJSON(st), safetiesJSON(st)
	if u := st.Usage; u != nil {
		d.Use = &stackingDoc{u.Households, intervalJSON(u.OldShare, u.OldInterval), intervalJSON(u.NewDays, u.NewInterval), u.Abandoned}
	}
	for _, l := range st.LeftOut() {
		reason := l.Reason
		if reason == "" {
			reason = c.Say(l.Alarm)
		}
		d.LeftOut = append(d.LeftOut, leftOutDoc{l.Stove, l.Test, l.Date, reason})
	}
	for _, o := range st.Outliers() {
		d.Outliers = append(d.Outliers, farOutDoc{o.Stove, o.Test, c.Say(o.What), o.G, o.Critical})
	}
	for _, t := range st.Trends {
		d.Drift = append(d.Drift, driftDoc{t.Stove, t.ID, finite(t.PerRun), finite(t.P)})
	}
	claims := bench.Claim(st.Evidence())
	d.May, d.MayNot = say(c, claims.May), say(c, claims.MayNot)
	return d
}

func comparedJSON(k bench.Compared, c *message.Catalogue) comparedDoc {
	d := comparedDoc{ID: k.ID, Name: c.Say(k.What), Unit: siSymbol(k.Unit), Better: map[int]string{1: "higher", -1: "lower", 0: "neither"}[k.Better],
		Base: sideDoc{Stove: k.Base}, New: sideDoc{Stove: k.New}, Finding: string(k.Finding), Words: c.Say(k.Words)}
	b, n := k.Comparison.Base, k.Comparison.New
	if b.N == 0 {
		return d // nothing was computed: too few runs, or not to be compared
	}
	d.Base = sideDoc{k.Base, b.N, finite(b.Mean), finite(b.SD)}
	d.New = sideDoc{k.New, n.N, finite(n.Mean), finite(n.SD)}
	d.Difference = intervalJSON(k.Difference.Estimate, k.Interval)
	if k.Ratio.DF > 0 {
		d.Ratio, d.Fieller = intervalJSON(k.Ratio.Value, k.Ratio.Interval), intervalJSON(k.Fieller.Value, k.Fieller.Interval)
	}
	if k.Bootstrap.Draws > 0 {
		d.Bootstrap = intervalJSON(k.Bootstrap.Estimate, k.Bootstrap.BCa)
	}
	d.P, d.PRanks, d.PAlike, d.PScatter = finite(k.P), finite(k.Ranks.P(stats.TwoSided)), finite(k.EquivalentP), finite(k.Scatter.P)
	if k.Better != 0 {
		d.PAdjusted = finite(k.AdjustedP)
	}
	d.Needed, d.Detectable, d.SharedU = k.Needed, finite(k.Detectable), finite(k.SharedU)
	return d
}

func tiersJSON(st *bench.Study) (list []tierDoc) {
	for _, s := range st.Sequence {
		if s.Report == nil {
			continue
		}
		for _, r := range []struct {
			bench.TierReport
			credit bool
		}{{s.Report.Efficiency, false}, {s.Report.WithChar, true}, {s.Report.CO, false}, {s.Report.PM, false}} {
			if r.Summary.N > 0 {
				list = append(list, tierDoc{s.Name, r.Indicator.Key, r.credit, r.Scale, r.Summary.N, intervalJSON(r.Summary.Mean, r.Interval), r.Point.Low, r.Conservative.Low, r.OneSidedTier.Low})
			}
		}
	}
	return list
}

func safetiesJSON(st *bench.Study) (list []scorersDoc) {
	for _, s := range st.Safety {
		if a := s.Agreement; a != nil {
			list = append(list, scorersDoc{s.Name, a.Totals[:], a.Mean, a.PlusLess, finite(a.Kappa), append([]string{}, a.Apart...)})
		}
	}
	return list
}
