package booklet

import (
	"stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/internal/xlsx"
	"stovewright/message"
	"stovewright/quantity"
)

// useFigure is one figure of a logger's record.
type useFigure struct {
	key    string // of the head "booklet.use.<key>"
	value  float64
	unit   string
	origin bench.Origin
}

// useFigures are what one record says: how long and how completely it was read, which
// is measured, and the uses found in it by a rule, which are computed.
func useFigures(u bench.UseRecord) []useFigure {
	return []useFigure{
		{"days", float64(u.Usage.Days), "", bench.Measured}, {"complete", 100 * u.Usage.Complete, "%", bench.Measured}, {"gaps", float64(u.Usage.Gaps), "", bench.Measured}, {"spikes", float64(u.Usage.Spikes), "", bench.Computed},
		{"uses", float64(len(u.Usage.Events)), "", bench.Computed}, {"days-used", float64(u.Usage.DaysUsed), "", bench.Computed}, {"uses-a-day", u.Usage.EventsPerDay(), "", bench.Computed}, {"hours-a-day", u.Usage.HoursPerDay(), "h", bench.Computed},
	}
}

// useFrom and useTo are the ends of a record.
func useFrom(u bench.UseRecord) string { return u.Layout.Clock(u.Samples[0].At) }

func useTo(u bench.UseRecord) string { return u.Layout.Clock(u.Samples[len(u.Samples)-1].At) }

func useStove(c *message.Catalogue, u bench.UseRecord) string {
	switch {
	case u.Household == "":
		return u.Name
	case u.Old:
		return c.S("booklet.report.old-stove")
	}
	return c.S("booklet.report.new-stove")
}

// useWords say on the first page what loggers found.
func (p *testBook) useWords() []string {
	var list []string
	if s := p.st.Usage; s != nil {
		list = append(list, p.c.S("booklet.report.stacking", "n", s.Households, "days", quantity.Pct(s.NewDays), "low", quantity.Pct(max(0, s.NewInterval.Low)), "high", quantity.Pct(min(1, s.NewInterval.High)),
			"old", quantity.Pct(s.OldShare), "oldlow", quantity.Pct(max(0, s.OldInterval.Low)), "oldhigh", quantity.Pct(min(1, s.OldInterval.High)), "level", quantity.Pct(s.NewInterval.Level)))
		return list
	}
	for _, u := range p.st.Uses {
		list = append(list, p.c.S("booklet.report.use", "name", useStove(p.c, u), "n", u.Usage.Days, "used", u.Usage.DaysUsed, "events", quantity.Value{SI: u.Usage.EventsPerDay(), Unit: quantity.One, Step: 0.1},
			"hours", quantity.Value{SI: u.Usage.HoursPerDay() * 3600, Unit: quantity.Hour, Step: 0.1}, "from", useFrom(u), "to", useTo(u)))
	}
	return list
}

// uses is the chapter of the loggers: a line a record, and each record drawn with the
// uses found in it.
func (p *testBook) uses() {
	if len(p.st.Uses) == 0 {
		return
	}
	p.chapter("booklet.report.uses")
	p.para(p.c.S("booklet.report.uses.how"))
	for _, words := range p.useWords() {
		if p.st.Usage != nil {
			p.smallItem(words)
		}
	}
	number := func(v, step float64) string {
		return p.c.Value(quantity.Value{SI: v, Unit: quantity.One, Step: step})
	}
	var rows [][]string
	for _, u := range p.st.Uses {
		rows = append(rows, []string{orDash(u.Household), useStove(p.c, u), useFrom(u) + " – " + useTo(u), number(float64(len(u.Samples)), 1), number(float64(u.Usage.DaysUsed), 1) + " / " + number(float64(u.Usage.Days), 1),
			number(u.Usage.EventsPerDay(), 0.1), number(u.Usage.HoursPerDay(), 0.1), p.c.Value(quantity.Pct(u.Usage.Complete)), number(float64(u.Usage.Spikes), 1)})
	}
	p.table([]column{{p.c.S("booklet.use.household"), 1.9, false}, {p.c.S("booklet.sheet.stove"), 2, false}, {p.c.S("booklet.use.period"), 3.4, false}, {p.c.S("booklet.use.readings"), 1.6, true}, {p.c.S("booklet.use.days-used"), 1.4, true},
		{p.c.S("booklet.use.uses-a-day"), 1.2, true}, {p.c.S("booklet.use.hours-a-day"), 1.2, true}, {p.c.S("booklet.use.complete"), 1.4, true}, {p.c.S("booklet.use.spikes"), 1.2, true}}, rows)
	for _, u := range p.st.Uses {
		s := figure.Temperatures(u.Samples, u.Usage, u.Layout, p.c, p.width())
		if s == nil {
			continue
		}
		p.need(s.Paper.Height + 12)
		p.heading(joined(u.Household, useStove(p.c, u)))
		p.picture(s)
	}
}

func joined(household, stove string) string {
	if household == "" {
		return stove
	}
	return household + ", " + stove
}

// uses is a row a record.
func (t tables) uses() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.uses"), Head: []string{t.c.S("booklet.sheet.file"), t.c.S("booklet.use.household"), t.c.S("booklet.sheet.stove"), t.c.S("booklet.use.from"), t.c.S("booklet.use.to"), t.c.S("booklet.use.readings")}, Widths: []float64{26, 12, 18, 18, 18, 10}}
	for i, u := range t.st.Uses {
		row := append(texts(u.Name, u.Household, useStove(t.c, u), useFrom(u), useTo(u)), xlsx.Number(float64(len(u.Samples))))
		for _, f := range useFigures(u) {
			if i == 0 {
				s.Head = append(s.Head, t.c.S("booklet.use."+f.key)+" ("+t.c.S("bench.origin."+string(f.origin))+")")
				s.Widths = append(s.Widths, 18)
			}
			row = append(row, xlsx.Number(f.value))
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}
