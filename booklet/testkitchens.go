package booklet

import (
	"strings"

	"stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// kitchenWords say what a kitchen study shows, in one sentence.
func (p *testBook) kitchenWords(k *bench.KitchenStudy) string {
	id := "booklet.report.groups"
	if k.Paired {
		id = "booklet.report.pairs"
	}
	return p.c.S(id, "n", k.Households, "saving", quantity.Pct(k.Saving), "level", quantity.Pct(k.Interval.Level), "low", quantity.Pct(k.Interval.Low), "high", quantity.Pct(k.Interval.High))
}

// kitchens are the households one by one, and what follows from their saving:
// fuel, and CO2 with every assumption. Only days measured in kitchens get here.
func (p *testBook) kitchens() {
	k := p.st.Kitchens
	if k == nil {
		return
	}
	p.chapter("booklet.report.kitchens")
	p.para(p.kitchenWords(k))
	for _, a := range k.Alarms {
		p.smallItem(p.c.S("booklet.report.alarm", "severity", message.T("bench.severity."+string(a.Severity)), "text", p.ofHousehold(a)))
	}
	if k.Paired {
		p.householdTable()
	}
	if k.Needed > 0 {
		p.para(p.c.S("booklet.report.kitchens-needed", "n", k.Needed, "see", quantity.Pct(p.st.Settings.Look)))
	}
	p.climate(k)
}

// ofHousehold puts the code of the household before an alarm of its own.
func (p *testBook) ofHousehold(a bench.Alarm) string {
	if a.Phase == "" {
		return p.c.Say(a.Text)
	}
	return a.Phase + ": " + p.c.Say(a.Text)
}

func (p *testBook) householdTable() {
	before, after := p.st.Rounds[0], p.st.Rounds[1]
	var rows [][]string
	for i, r := range before.Results {
		second := "–"
		change := "–"
		for _, s := range after.Results {
			if s.Code == r.Code {
				second = p.c.Value(bench.EnergyPerAdultDay(s.Energy))
				change = p.c.Signed(bench.ShownChange(s.Energy/r.Energy - 1))
			}
		}
		rows = append(rows, []string{r.Code, before.List[i].Cluster, number(len(before.List[i].People)), p.c.Value(bench.EnergyPerAdultDay(r.Energy)), second, change, p.c.S("bench.origin.computed")})
	}
	c := p.c
	p.table([]column{{c.S("booklet.report.household"), 1.4, false}, {c.S("booklet.report.village"), 1.6, false}, {c.S("booklet.report.days"), 1, true}, {c.S("booklet.report.before"), 2.2, true},
		{c.S("booklet.report.after"), 2.2, true}, {c.S("booklet.report.change"), 1.2, true}, {c.S("booklet.report.label"), 1.4, false}}, rows)
}

// householdResults is one round: a row a household and fuel.
func (p *testBook) householdResults(round *bench.KitchenRound) {
	c := p.c
	var rows [][]string
	for i, r := range round.Results {
		for _, f := range round.List[i].Fuels {
			use := r.Fuels[f.Key]
			rows = append(rows, []string{r.Code, c.S("bench.word." + f.Key), number(len(f.Days)), c.Value(bench.PerAdultDay(use.Moist)), c.Value(bench.PerAdultDay(use.Dry)), c.Value(bench.EnergyPerAdultDay(use.Energy)), c.S("bench.origin.computed")})
		}
	}
	p.table([]column{{c.S("booklet.report.household"), 1.5, false}, {c.S("booklet.report.fuel"), 1.6, false}, {c.S("booklet.report.days"), 1, true}, {c.S("booklet.report.moist"), 2.2, true},
		{c.S("booklet.report.dry"), 2.2, true}, {c.S("booklet.report.energy"), 2.2, true}, {c.S("booklet.report.label"), 1.6, false}}, rows)
}

// notRenewable are the shares that the reduction is shown for, because the share
// decides the result and is seldom known.
var notRenewable = []float64{0.1, 0.3, 0.5, 0.7, 0.9}

// climate is the arithmetic of fuel and CO2 from the measured saving.
func (p *testBook) climate(k *bench.KitchenStudy) {
	wood, okFuel := bench.ClimateFuelOf("hardwood")
	gwp, okGWP := bench.WarmingOf("AR5")
	if !okFuel || !okGWP || !(k.Interval.Low > 0) {
		return // nothing is shown, so nothing follows
	}
	p.heading(p.c.S("booklet.report.climate"))
	adults := p.adults()
	saving := bench.SavingOf(*k, wood, adults, p.st.Settings.Level)
	kg := func(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.Kilogram, Step: 10} }
	p.para(p.c.S("booklet.report.fuel-saved", "kg", kg(saving.PerYear), "low", kg(saving.Interval.Low), "high", kg(saving.Interval.High), "level", quantity.Pct(p.st.Settings.Level), "n", saving.Households))
	for _, s := range saving.Steps {
		p.step(s)
	}
	inUse, label := 1.0, message.T("bench.origin.assumed")
	if p.st.Usage != nil {
		inUse, label = p.st.Usage.NewDays, message.T("bench.origin.measured")
	}
	var rows [][]string
	tonnes := func(share, kg float64) string {
		return p.c.Number(quantity.Value{SI: kg * wood.PerKilogram(gwp, share) * inUse / 1000, Unit: quantity.One, Step: 0.01})
	}
	for _, share := range notRenewable {
		rows = append(rows, []string{p.c.Value(quantity.Pct(share)), tonnes(share, saving.PerYear), tonnes(share, saving.Interval.Low) + " … " + tonnes(share, saving.Interval.High), p.c.S("bench.origin.computed")})
	}
	p.table([]column{{p.c.S("booklet.report.not-renewable"), 3, true}, {p.c.S("booklet.report.tonnes"), 3, true}, {p.c.S("booklet.report.interval", "level", quantity.Pct(p.st.Settings.Level)), 3, true}, {p.c.S("booklet.report.label"), 2, false}}, rows)
	number := func(v, step float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.One, Step: step} }
	for _, t := range []message.Text{
		message.T("booklet.report.assume.adults", "n", number(adults, 0.1)),
		message.T("booklet.report.assume.days"),
		message.T("booklet.report.assume.ncv", "value", number(wood.NCV, 0.1), "low", number(wood.NCVLow, 0.1), "high", number(wood.NCVHigh, 0.1)),
		message.T("booklet.report.assume.factors", "co2", number(wood.CO2, 1), "ch4", number(wood.CH4, 1), "n2o", number(wood.N2O, 1)),
		message.T("booklet.report.assume.gwp", "ch4", number(gwp.CH4, 1), "n2o", number(gwp.N2O, 1)),
		message.T("booklet.report.assume.in-use", "share", quantity.Pct(inUse), "label", label),
		message.T("booklet.report.assume.share"),
	} {
		p.smallItem(p.c.Say(t))
	}
	p.para(p.c.S("bench.climate.not-credits"))
}

// adults are the standard adults cooked for, mean of the households and days of
// the first round.
func (p *testBook) adults() float64 {
	var all []float64
	for _, k := range p.st.Rounds[0].List {
		for _, day := range k.People {
			all = append(all, day.AdultEquivalents())
		}
	}
	return stats.Mean(all)
}

// emissions are the rates and concentrations that were computed, with the
// published values beside them. A value is cited and not judged.
func (p *testBook) emissions() {
	var rows [][]string
	measured := false
	for _, s := range p.st.Sequence {
		if s.Report != nil && (s.Report.CO.Summary.N > 0 || s.Report.PM.Summary.N > 0) {
			measured = true
		}
	}
	var fires []bench.TestFile
	for _, f := range p.st.Files {
		if f.Emission != nil {
			fires = append(fires, f)
		}
	}
	if !measured && len(fires) == 0 {
		return
	}
	p.chapter("booklet.report.emissions")
	p.para(p.c.S("booklet.report.emissions.how"))
	for _, g := range bench.Guidelines {
		rows = append(rows, []string{p.c.S("booklet.report.guideline." + g.What), p.c.Number(quantity.Value{SI: g.Value, Unit: quantity.One}) + " " + g.Unit, g.Period, g.Note, g.Standing + " (" + g.Source + ")"})
	}
	for _, f := range fires {
		p.heading(strings.Join(nonEmpty(f.StoveName(), f.About.Test, f.About.Date), " · "))
		p.resultTable(f)
	}
	p.tierTable()
	p.heading(p.c.S("booklet.report.guidelines"))
	p.table([]column{{p.c.S("booklet.report.guideline"), 2, false}, {p.c.S("booklet.value"), 1.6, true}, {p.c.S("booklet.report.period"), 1.6, false}, {p.c.S("booklet.report.remark"), 3, false}, {p.c.S("booklet.report.standing"), 3, false}}, rows)
}

// tierTable is each indicator of the sequence with its mean, interval and tiers.
func (p *testBook) tierTable() {
	for _, s := range p.st.Sequence {
		if s.Report == nil {
			continue
		}
		p.heading(s.Name)
		var rows [][]string
		for _, line := range []struct {
			id string
			r  bench.TierReport
		}{{"efficiency", s.Report.Efficiency}, {"char", s.Report.WithChar}, {"co", s.Report.CO}, {"pm", s.Report.PM}} {
			if line.r.Summary.N == 0 {
				continue
			}
			value := func(si float64) string { return p.c.Value(line.r.Indicator.Value(si)) }
			interval := "–"
			if line.r.Summary.N > 1 {
				interval = value(line.r.Interval.Low) + " … " + value(line.r.Interval.High)
			}
			rows = append(rows, []string{p.c.S("booklet.report.tier-" + line.id), value(line.r.Summary.Mean) + " (" + number(line.r.Summary.N) + ")", interval, number(line.r.Point.Low), number(line.r.Conservative.Low), p.c.S("bench.origin.computed")})
		}
		p.table([]column{{p.c.S("booklet.report.result"), 3.4, false}, {p.c.S("booklet.report.mean"), 2, true}, {p.c.S("booklet.report.interval", "level", quantity.Pct(0.9)), 2.4, true}, {p.c.S("booklet.report.point"), 1.2, true}, {p.c.S("booklet.report.sure"), 1.4, true}, {p.c.S("booklet.report.label"), 1.5, false}}, rows)
		p.para(p.c.Say(s.Report.Words))
	}
}
