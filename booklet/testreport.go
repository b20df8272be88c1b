package booklet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// TestReport is a report of tests: what was measured, what follows from it, how
// sure it is, and what may be said of it. Every figure in it is named measured,
// asked, assumed or computed.
type TestReport struct {
	Study   *bench.Study
	Title   string // "" for the names of the stoves
	Paper   drawing.Paper
	OnePage bool
	Stove   *stove.Stove // for the measuring points of the safety test; may be nil
}

// testBook is a report in the making.
type testBook struct {
	*book
	r     TestReport
	st    *bench.Study
	spare int // how much of the first page is left out for room
}

// PDF writes the report: one page, or all of it.
func (r TestReport) PDF(w io.Writer, c *message.Catalogue) error {
	if r.Paper.Width == 0 {
		r.Paper = drawing.A4
	}
	if r.OnePage {
		return r.onePage(w, c)
	}
	return twice(w, c, r.Paper, r.title(c), func(b *book) {
		p := &testBook{book: b, r: r, st: r.Study, spare: 1} // the table has a chapter of its own
		p.first()
		p.contents()
		p.tests()
		p.pictures()
		p.figures()
		p.countedOut()
		p.kitchens()
		p.uses()
		p.emissions()
		p.safety()
		p.unsure()
		p.pencil()
	})
}

// onePage writes the first page alone. What does not fit is left out, the least
// needed first: the table of figures, the picture, alarms after the first two.
func (r TestReport) onePage(w io.Writer, c *message.Catalogue) error {
	for spare := range 4 {
		b := newBook(c, r.Paper, r.title(c), nil)
		p := &testBook{book: b, r: r, st: r.Study, spare: spare}
		p.first()
		if err := b.pdf.Error(); err != nil {
			return err
		}
		if b.pdf.PageNo() == 1 || spare == 3 {
			return b.pdf.Output(w)
		}
	}
	return nil
}

// title names the report by its stoves.
func (r TestReport) title(c *message.Catalogue) string {
	if r.Title != "" {
		return r.Title
	}
	names := r.Study.Stoves()
	if len(names) == 0 { // of emissions and kitchens nothing is compared stove by stove
		for _, f := range r.Study.Files {
			if s := f.About.Stove; s != "" && !slices.Contains(names, s) {
				names = append(names, s)
			}
		}
	}
	switch {
	case len(names) == 0 && len(r.Study.Uses) > 0:
		return c.S("booklet.report.uses")
	case len(names) == 0:
		return c.S("booklet.report.title")
	case len(names) > 3:
		names = append(names[:3:3], "…")
	}
	return c.S("booklet.report.of", "stoves", strings.Join(names, " – "))
}

// first is the page that stands alone: what was tested, what it shows, what to
// look at, and what may be said.
func (p *testBook) first() {
	p.page()
	p.font("B", 15)
	p.pdf.Text(marginSide, p.y+5, p.c.S("booklet.report.title"))
	p.y += 9
	p.y += p.write(p.title, marginSide, p.y, p.width(), 11, "B") + 1
	p.y += p.write(p.whatTested(), marginSide, p.y, p.width(), smallType+0.5, "") + 1
	for _, note := range p.all(func(a bench.About) string { return a.Note }) {
		p.y += p.write(note, marginSide, p.y, p.width(), smallType+0.5, "I") + 1
	}
	p.headlines()
	p.lookFirst()
	p.claims()
}

// whatTested says how many tests there are, when, by whom and where; of a report of
// loggers alone, how many loggers and when.
func (p *testBook) whatTested() string {
	if len(p.st.Files) == 0 && len(p.st.Uses) > 0 {
		from, to := useFrom(p.st.Uses[0]), useTo(p.st.Uses[0])
		for _, u := range p.st.Uses {
			from, to = min(from, useFrom(u)), max(to, useTo(u))
		}
		return p.c.S("booklet.report.loggers", "n", len(p.st.Uses), "from", from, "to", to)
	}
	return p.c.S("booklet.report.what", "tests", len(p.st.Files), "dates", p.span(), "testers", orNone(p.c, p.all(func(a bench.About) string { return a.Tester })),
		"places", orNone(p.c, p.all(func(a bench.About) string { return a.Place })))
}

// all are the different entries of the tests in one field, in order.
func (p *testBook) all(of func(bench.About) string) []string {
	var list []string
	for _, f := range p.st.Files {
		if v := of(f.About); v != "" && !slices.Contains(list, v) {
			list = append(list, v)
		}
	}
	return list
}

func orNone(c *message.Catalogue, list []string) string {
	if len(list) == 0 {
		return c.S("booklet.report.not-said")
	}
	return strings.Join(list, ", ")
}

// span is the first and last date of the tests.
func (p *testBook) span() string {
	list := p.all(func(a bench.About) string { return a.Date })
	if len(list) == 0 {
		return p.c.S("booklet.report.not-said")
	}
	if low, high := slices.Min(list), slices.Max(list); low != high {
		return low + " – " + high
	}
	return list[0]
}

// headlines are the results that the report speaks of, in words and a picture.
func (p *testBook) headlines() {
	p.heading(p.c.S("booklet.report.shows"))
	said := false
	for _, k := range p.st.Compared {
		if bench.Headline(k.ID) {
			p.smallItem(p.c.Say(k.Words))
			said = true
		}
	}
	if k := p.st.Kitchens; k != nil {
		p.smallItem(p.kitchenWords(k))
		said = true
	}
	for _, s := range p.st.Sequence {
		if s.Report != nil {
			p.smallItem(p.c.S("booklet.report.tier", "stove", s.Name, "n", s.Report.Runs, "mean", s.Report.Efficiency.Indicator.Value(s.Report.Efficiency.Summary.Mean),
				"point", s.Report.Efficiency.Point.Low, "sure", s.Report.Efficiency.Conservative.Low))
			said = true
		}
	}
	for _, u := range p.useWords() {
		p.smallItem(u)
		said = true
	}
	if !said {
		p.single()
		return
	}
	if picture := figure.Differences(p.st, p.c, p.width()); picture != nil && p.spare < 2 {
		p.picture(picture)
	}
	if p.spare < 1 {
		p.headlineTable()
	}
	if len(p.st.Files) > 0 {
		p.smallItem(p.c.S("booklet.report.all-computed"))
	}
}

// smallItem is a bullet in smaller type, so that the first page holds.
func (p *testBook) smallItem(text string) {
	p.need(p.height(text, p.width()-5, smallType+0.5, ""))
	p.write(bullet, marginSide, p.y, 5, smallType+0.5, "B")
	p.y += p.write(text, marginSide+5, p.y, p.width()-5, smallType+0.5, "") + 0.8
}

// picture places a drawing under the text.
func (p *testBook) picture(s *drawing.Sheet) {
	p.need(s.Paper.Height + 3)
	p.sheet(s, marginSide, p.y)
	p.y += s.Paper.Height + 3
}

func (p *testBook) headlineTable() {
	var rows [][]string
	for _, k := range p.st.Compared {
		if bench.Headline(k.ID) && k.Comparison.Base.N > 0 {
			rows = append(rows, p.comparedRow(k))
		}
	}
	if len(rows) > 0 {
		p.table(p.comparedColumns(), rows)
	}
}

// onePair reports whether all comparisons are of the same two stoves, whose
// names then stand in the head of a table.
func (p *testBook) onePair() (base, other string, ok bool) {
	for _, k := range p.st.Compared {
		if base != "" && (k.Base != base || k.New != other) {
			return "", "", false
		}
		base, other = k.Base, k.New
	}
	return base, other, base != ""
}

func (p *testBook) comparedColumns() []column {
	c := p.c
	base, other := c.S("booklet.report.base"), c.S("booklet.report.new")
	if a, b, one := p.onePair(); one {
		base, other = c.S("booklet.report.of-stove", "stove", a), c.S("booklet.report.of-stove", "stove", b)
	}
	return []column{{c.S("booklet.report.result"), 3.3, false}, {base, 2.2, true}, {other, 2.2, true},
		{c.S("booklet.report.change"), 1.3, true}, {c.S("booklet.report.interval", "level", quantity.Pct(p.st.Settings.Level)), 2.5, true}, {c.S("booklet.report.p"), 1.1, true}, {c.S("booklet.report.label"), 1.6, false}}
}

// comparedRow is a comparison in figures: mean ± standard deviation and number
// of each stove.
func (p *testBook) comparedRow(k bench.Compared) []string {
	c := p.c
	_, _, one := p.onePair()
	mean := func(name string, m, sd float64, n int) string {
		key := bareID(k.ID)
		text := c.Value(bench.Shown(key, quantity.Value{SI: m, Unit: k.Unit})) + " ± " + c.Number(bench.ShownSpread(key, quantity.Value{SI: sd, Unit: k.Unit})) + " (" + number(n) + ")"
		if !one {
			text = name + ": " + text
		}
		return text
	}
	b, n := k.Comparison.Base, k.Comparison.New
	change, interval := "–", "–"
	if k.Ratio.DF > 0 {
		change = c.Signed(bench.ShownChange(k.Ratio.Value - 1))
		interval = c.Signed(bench.ShownChange(k.Ratio.Interval.Low-1)) + " … " + c.Signed(bench.ShownChange(k.Ratio.Interval.High-1))
	}
	return []string{c.Say(k.What), mean(k.Base, b.Mean, b.SD, b.N), mean(k.New, n.Mean, n.SD, n.N), change, interval, probability(c, k.P), c.S("bench.origin.computed")}
}

func bareID(id string) string {
	if _, key, ok := strings.Cut(id, "."); ok {
		return key
	}
	return id
}

func probability(c *message.Catalogue, p float64) string {
	v := quantity.Value{SI: p, Unit: quantity.One, Step: 0.001}
	if p < 0.001 {
		v.SI = 0.001
		return "< " + c.Value(v)
	}
	return c.Value(v)
}

// single shows the results of tests that are compared with nothing.
func (p *testBook) single() {
	for i, f := range p.st.Files {
		if p.r.OnePage && i > 2 {
			p.smallItem(p.c.S("booklet.report.more-tests", "n", len(p.st.Files)-3))
			return
		}
		p.resultTable(f)
	}
}

// resultTable is one test's results: a row a result, a column a phase.
func (p *testBook) resultTable(f bench.TestFile) {
	list := f.Results()
	if len(list) == 0 {
		return
	}
	sure := p.sure(f)
	var phases []string
	for _, s := range list {
		if !slices.Contains(phases, s.Phase) {
			phases = append(phases, s.Phase)
		}
	}
	if f.Kitchen != nil {
		p.householdResults(f.Kitchen)
		return
	}
	slices.SortStableFunc(phases, func(a, b string) int { return phaseRank(a) - phaseRank(b) })
	columns := []column{{p.c.S("booklet.report.result"), 4, false}}
	for _, ph := range phases {
		columns = append(columns, column{p.phase(ph), 1.6, true})
	}
	columns = append(columns, column{p.c.S("booklet.report.label"), 1.5, false})
	var rows [][]string
	done := map[string]bool{}
	for _, s := range list {
		if done[s.Key] {
			continue
		}
		done[s.Key] = true
		row := []string{p.c.Say(s.Name)}
		for _, ph := range phases {
			cell := ""
			for _, t := range list {
				if t.Phase == ph && t.Key == s.Key {
					cell = p.c.Value(t.Shown()) + sure[t.ID()]
				}
			}
			row = append(row, cell)
		}
		rows = append(rows, append(row, p.c.S("bench.origin."+string(s.Origin))))
	}
	p.table(columns, rows)
	if len(sure) > 0 {
		p.smallItem(p.c.S("booklet.report.plus-minus", "level", quantity.Pct(p.st.Settings.Level)))
	}
}

// sure is how far each result of a test may be off, as it stands behind it; empty
// where that is not worked out or the test does not count.
func (p *testBook) sure(f bench.TestFile) map[string]string {
	texts := map[string]string{}
	for id, u := range intervals(f, p.st.Settings.Level) {
		texts[id] = " ± " + p.c.Number(bench.ShownSpread(bareID(id), quantity.Value{SI: u.Interval.HalfWidth(), Unit: u.U.Unit}))
	}
	return texts
}

func phaseRank(phase string) int {
	return slices.Index([]string{"cold", "hot", "simmer", "high", "medium", "low", ""}, phase)
}

// phase names a phase; a household is its own name.
func (p *testBook) phase(phase string) string {
	if id := "bench.phase." + phase; p.c.Has(id) {
		return p.c.S(id)
	}
	return phase
}

// lookFirst are the alarms: what differed between the stoves beside the stoves,
// and readings that look wrong.
func (p *testBook) lookFirst() {
	list := p.st.Alarms()
	for _, f := range p.st.Files {
		for _, a := range f.Alarms() {
			if a.Spoils() {
				list = append(list, a)
			}
		}
	}
	if len(list) == 0 {
		return
	}
	p.heading(p.c.S("booklet.report.look"))
	for i, a := range list {
		if most := 4 - p.spare; p.r.OnePage && i >= most {
			p.smallItem(p.c.S("booklet.report.more-alarms", "n", len(list)-most))
			return
		}
		p.smallItem(p.c.S("booklet.report.alarm", "severity", message.T("bench.severity."+string(a.Severity)), "text", a.Text))
	}
}

// claims are the paragraph of what may and may not be said.
func (p *testBook) claims() {
	claims := bench.Claim(p.st.Evidence())
	for _, part := range []struct {
		id   string
		list []message.Text
	}{{"booklet.report.may", claims.May}, {"booklet.report.may-not", claims.MayNot}} {
		if len(part.list) == 0 {
			continue
		}
		p.heading(p.c.S(part.id))
		for _, t := range part.list {
			p.smallItem(p.c.Say(t))
		}
	}
}

// tests are set side by side, kind after kind; then each with its conditions.
func (p *testBook) tests() {
	if len(p.st.Files) == 0 {
		return
	}
	p.chapter("booklet.report.tests")
	p.para(p.c.S("booklet.report.labels"))
	for _, kind := range bench.Kinds {
		p.summary(kind)
	}
	p.heading(p.c.S("booklet.report.conditions"))
	for _, f := range p.st.Files {
		a := f.About
		p.need(14)
		p.y += p.write(strings.Join(nonEmpty(f.StoveName(), p.c.Say(f.Kind.Words()), a.Test, a.Date, a.Clock), " · "), marginSide, p.y, p.width(), bodyType, "B") + 0.8
		p.smallItem(p.conditions(f))
		for _, alarm := range f.Alarms() {
			p.smallItem(p.c.S("booklet.report.alarm", "severity", message.T("bench.severity."+string(alarm.Severity)), "text", p.ofHousehold(alarm)))
		}
		if a.LeftOut != "" {
			p.smallItem(p.c.S("booklet.report.left-out", "reason", a.LeftOut))
		}
		p.notes(f)
		if f.Kitchen != nil && p.st.Kitchens == nil {
			p.resultTable(f)
		}
		p.y += 1.5
	}
}

// summaryIDs are the results that tests of a kind are set side by side by.
var summaryIDs = map[bench.Kind][]string{
	bench.KindBoiling:  {"cold.h", "hot.h", "h_hp", "cold.tT", "simmer.SC", "BF", "cold.FP", "hot.FP", "simmer.FP"},
	bench.KindCooking:  {"f_d", "W_f", "SCf", "FP"},
	bench.KindSequence: {"high.h0", "medium.h0", "low.h0", "h0_mean", "hc_mean", "high.P_fire", "low.P_fire"},
}

// summary is a table with a row a test and a column a result; the heads are the
// symbols of the protocol, explained under the last table.
func (p *testBook) summary(kind bench.Kind) {
	columns := []column{{p.c.S("booklet.sheet.test"), 1, false}, {p.c.S("booklet.sheet.date"), 1.9, false}}
	heads, legend := map[string]string{}, []string{}
	for _, f := range p.st.Files {
		for _, s := range f.Results() {
			if f.Kind == kind && heads[s.ID()] == "" {
				heads[s.ID()] = strings.Join(nonEmpty(s.Symbol, p.phase(s.Phase)), " ")
				if line := s.Symbol + " " + p.c.Say(s.Name); slices.ContainsFunc(summaryIDs[kind], func(id string) bool { return id == s.ID() }) && !slices.Contains(legend, line) {
					legend = append(legend, line)
				}
			}
		}
	}
	for _, id := range summaryIDs[kind] {
		columns = append(columns, column{heads[id], 1.25, true})
	}
	if len(legend) == 0 {
		return
	}
	var rows [][]string
	stove := ""
	for _, f := range p.st.Files {
		if f.Kind != kind {
			continue
		}
		if f.StoveName() != stove {
			p.testTable(stove, columns, rows)
			rows, stove = nil, f.StoveName()
		}
		mark := f.About.Test
		if f.About.LeftOut != "" || slices.ContainsFunc(f.Alarms(), bench.Alarm.Spoils) {
			mark += " ×"
		}
		row := []string{mark, f.About.Date}
		for _, id := range summaryIDs[kind] {
			cell := "–"
			for _, s := range f.Steps() {
				if s.ID() == id {
					cell = p.c.Value(s.Shown())
				}
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	p.testTable(stove, columns, rows)
	p.smallItem(strings.Join(legend, "; "))
}

func (p *testBook) testTable(stove string, columns []column, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	p.need(30)
	p.heading(stove)
	p.table(columns, rows)
}

func nonEmpty(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return strings.TrimSpace(s) == "" })
}

// conditions say how a test was made.
func (p *testBook) conditions(f bench.TestFile) string {
	c := p.c
	list := nonEmpty(f.About.Tester, f.About.Place)
	wood := func(w bench.Wood, t bench.Conditions) {
		list = append(list, c.S("bench.word."+w.Kind), w.Pile, c.S("booklet.report.moisture", "m", quantity.Value{SI: w.Moisture, Unit: quantity.Percent, Step: 0.1}))
		if w.Stick.Known {
			list = append(list, c.S("booklet.report.stick", "d", quantity.MM(w.Stick.SI)))
		}
		lid := "off"
		if t.Lid {
			lid = "on"
		}
		list = append(list, t.Pot, c.S("booklet.report.lid", "lid", message.T("bench.word."+lid)))
		for _, word := range nonEmpty(t.Wind, t.Room) {
			list = append(list, c.S("bench.word."+word))
		}
	}
	switch {
	case f.Boiling != nil:
		t := f.Boiling.Test
		wood(t.Wood, t.Conditions)
		list = append(list, c.S("booklet.report.boiling", "t", quantity.Value{SI: t.Boiling.Kelvin, Unit: quantity.Celsius, Step: 0.1}, "how", message.T("bench.origin."+string(t.Boiling.Origin()))))
	case f.Cooking != nil:
		list = append(list, f.Cooking.Test.Dish)
		wood(f.Cooking.Test.Wood, f.Cooking.Test.Conditions)
	case f.Kitchen != nil:
		list = append(list, c.S("booklet.report.households", "n", len(f.Kitchen.List)))
	}
	return strings.Join(nonEmpty(list...), "; ")
}

// notes say what was assumed, and what was put in place of a protocol's own
// constant.
func (p *testBook) notes(f bench.TestFile) {
	for _, s := range f.Steps() {
		if s.Origin == bench.Assumed || s.Origin == bench.Yours || s.Origin == bench.Asked {
			p.smallItem(p.c.S("booklet.report.assumed", "name", s.Name, "symbol", s.Symbol, "value", s.Value, "origin", message.T("bench.origin."+string(s.Origin))))
		}
	}
}

// pictures show every test, in the order burnt and side by side.
func (p *testBook) pictures() {
	if len(p.st.Boiling) == 0 {
		return
	}
	p.chapter("booklet.report.pictures")
	p.para(p.c.S("booklet.report.pictures.how"))
	for _, id := range []string{"h_hp", "cold.tT", "simmer.SC"} {
		for _, s := range []*drawing.Sheet{figure.Dots(p.st, id, p.c, p.width()), figure.Order(p.st, id, p.c, p.width())} {
			if s != nil {
				p.picture(s)
			}
		}
	}
	for _, t := range p.st.Trends {
		if t.P < p.st.Settings.Alpha {
			p.smallItem(p.c.S("booklet.report.drifts", "stove", t.Stove, "what", bench.ResultName(t.ID), "p", probability(p.c, t.P)))
		}
	}
}

// figures are all comparisons, with the plan for more tests.
func (p *testBook) figures() {
	if len(p.st.Compared) == 0 {
		return
	}
	p.chapter("booklet.report.comparison")
	p.para(p.c.S("booklet.report.comparison.how"))
	var rows, plans [][]string
	for _, k := range p.st.Compared {
		if k.Comparison.Base.N == 0 {
			p.smallItem(p.c.Say(k.Words))
			continue
		}
		rows = append(rows, p.comparedRow(k))
		needed, adjusted := "–", "–"
		if k.Needed > 0 {
			needed = number(k.Needed)
		}
		if k.Better != 0 {
			adjusted = probability(p.c, k.AdjustedP)
		}
		plans = append(plans, []string{p.c.Say(k.What), adjusted, probability(p.c, k.Ranks.P(0)), probability(p.c, k.EquivalentP), needed,
			p.c.Value(quantity.Pct(k.Detectable)), p.c.Value(quantity.Value{SI: k.SharedU, Unit: quantity.Percent, Step: 0.01}), bootstrapped(p.c, k)})
	}
	if len(rows) == 0 {
		return
	}
	p.table(p.comparedColumns(), rows)
	p.heading(p.c.S("booklet.report.further"))
	p.para(p.c.S("booklet.report.further.how", "see", quantity.Pct(p.st.Settings.Look), "alike", quantity.Pct(p.st.Settings.Alike)))
	p.table([]column{{p.c.S("booklet.report.result"), 3.2, false}, {p.c.S("booklet.report.p-adjusted"), 1.5, true}, {p.c.S("booklet.report.p-ranks"), 1.3, true}, {p.c.S("booklet.report.p-alike"), 1.3, true},
		{p.c.S("booklet.report.needed", "see", quantity.Pct(p.st.Settings.Look)), 1.8, true}, {p.c.S("booklet.report.seen"), 1.6, true}, {p.c.S("booklet.report.shared"), 1.4, true}, {p.c.S("booklet.report.bootstrap"), 2.6, true}}, plans)
}

// bootstrapped is the interval of the change by drawing the tests again and again.
func bootstrapped(c *message.Catalogue, k bench.Compared) string {
	if k.Bootstrap.Draws == 0 {
		return "–"
	}
	return c.Signed(bench.ShownChange(k.Bootstrap.BCa.Low-1)) + " … " + c.Signed(bench.ShownChange(k.Bootstrap.BCa.High-1))
}

// countedOut lists what does not count, with the reason, and what lies far out.
func (p *testBook) countedOut() {
	out, far := p.st.LeftOut(), p.st.Outliers()
	if len(out)+len(far) == 0 {
		return
	}
	p.chapter("booklet.report.outliers")
	p.para(p.c.S("booklet.report.outliers.how"))
	for _, l := range out {
		reason := l.Reason
		if reason == "" {
			reason = p.c.Say(l.Alarm)
		}
		p.item(bullet, strings.Join(nonEmpty(l.Stove, l.Test, l.Date), ", ")+": "+reason)
	}
	for _, o := range far {
		p.item(bullet, p.c.S("booklet.report.far-out", "test", strings.Join(nonEmpty(o.Stove, o.Test, o.Date), ", "), "what", o.What))
	}
}

// safety sets the sheets of each stove side by side, with the measuring points.
func (p *testBook) safety() {
	if len(p.st.Safety) == 0 {
		return
	}
	p.chapter("booklet.report.safety")
	p.para(p.c.S("booklet.report.safety.how"))
	if p.r.Stove != nil {
		p.picture(figure.SafetyPoints(p.r.Stove, p.c, p.width()))
	}
	for _, s := range p.st.Safety {
		p.heading(s.Name)
		columns := []column{{p.c.S("booklet.report.item"), 5, false}, {p.c.S("booklet.report.weight"), 1.2, true}}
		for _, run := range s.Runs {
			columns = append(columns, column{orDash(run.Sheet.Scorer), 1.8, true})
		}
		var rows [][]string
		for _, item := range bench.SafetyItems() {
			row := []string{p.c.Say(item.Name()), p.c.Number(quantity.Value{SI: item.Weight, Step: 0.5, Unit: quantity.One})}
			for _, run := range s.Runs {
				row = append(row, number(run.Score.Ratings[item.Key]))
			}
			rows = append(rows, row)
		}
		total := []string{p.c.S("booklet.report.total"), ""}
		for _, run := range s.Runs {
			total = append(total, p.c.Number(quantity.Value{SI: run.Score.Total, Step: 0.5, Unit: quantity.One}))
		}
		p.table(columns, append(rows, total))
		if a := s.Agreement; a != nil {
			p.para(p.c.S("booklet.report.scorers", "mean", quantity.Value{SI: a.Mean, Unit: quantity.One, Step: 0.5}, "spread", quantity.Value{SI: a.PlusLess, Unit: quantity.One, Step: 0.5}, "kappa", quantity.Value{SI: a.Kappa, Unit: quantity.One, Step: 0.01}))
		}
		p.durability(s)
	}
	p.burns()
}

// burns set beside the temperatures at which skin burns.
func (p *testBook) burns() {
	p.heading(p.c.S("booklet.report.burns"))
	columns := []column{{p.c.S("booklet.report.contact"), 2, false}}
	for _, s := range bench.Surfaces {
		columns = append(columns, column{p.c.S("booklet.report.surface." + s), 2, true})
	}
	var rows [][]string
	for _, contact := range bench.Contacts {
		row := []string{p.c.Value(contact)}
		for _, s := range bench.Surfaces {
			cell := "–"
			if b, ok := bench.BurnAt(s, contact.SI); ok {
				cell = p.c.Value(quantity.C(b.High))
				if b.Low != b.High {
					cell = p.c.Number(quantity.C(b.Low)) + "–" + cell
				}
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	p.table(columns, rows)
	p.para(p.c.S("booklet.report.burns.how"))
}

// durability is the total of the points of a sheet, lower is better.
func (p *testBook) durability(s bench.SafetySeries) {
	for _, run := range s.Runs {
		if run.Sheet.Durability == nil {
			continue
		}
		if total, tier, err := bench.Durability(run.Sheet.Durability); err == nil {
			p.para(p.c.S("booklet.report.durability", "scorer", orDash(run.Sheet.Scorer), "total", quantity.Value{SI: total, Unit: quantity.One, Step: 0.5}, "tier", tier.Low))
		}
	}
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// unsure is what makes the results of the first test of each stove uncertain.
func (p *testBook) unsure() {
	if len(p.st.Boiling) == 0 {
		return
	}
	p.chapter("booklet.report.uncertainty")
	p.para(p.c.S("booklet.report.uncertainty.how"))
	for _, s := range p.st.Boiling {
		run := s.Runs[0]
		for _, id := range []string{"h_hp", "simmer.SC"} {
			step, has := run.Result.Step(id)
			u, err := bench.UncertaintyOf(run.Test, id, p.st.Settings.Level, 0, 1)
			if !has || err != nil {
				continue
			}
			p.need(40)
			p.heading(p.c.S("booklet.report.budget-of", "what", bench.ResultName(id), "stove", s.Name, "test", orDash(run.Test.About.Test)))
			plain := func(v quantity.Value) quantity.Value {
				return quantity.Value{SI: v.SI, Unit: bench.Shown(bareID(id), quantity.Value{Unit: v.Unit}).Unit}
			}
			p.para(p.c.S("booklet.report.budget", "value", step.Shown(), "u", plain(u.U), "own", plain(u.Own), "shared", plain(u.Shared)))
			var rows [][]string
			for _, l := range u.Lines {
				if l.Share < 0.01 {
					continue
				}
				kind := "booklet.report.own"
				if l.Shared {
					kind = "booklet.report.in-common"
				}
				name := p.c.Say(l.Name)
				if l.Phase != "" {
					name += ", " + p.phase(l.Phase)
				}
				rows = append(rows, []string{name, p.c.Value(l.U), p.c.Value(plain(l.Contribution)), p.c.Value(quantity.Pct(l.Share)), p.c.S(kind)})
			}
			p.table([]column{{p.c.S("booklet.report.cause"), 4, false}, {p.c.S("booklet.report.cause-u"), 1.8, true}, {p.c.S("booklet.report.contribution"), 1.8, true}, {p.c.S("booklet.report.share"), 1.2, true}, {"", 2.4, false}}, rows)
		}
	}
}

// pencil unfolds the calculation of the first test of each kind and stove, to be
// followed by hand; the others stand in the workbook.
func (p *testBook) pencil() {
	if len(p.st.Files) == 0 {
		return
	}
	p.chapter("booklet.report.pencil")
	p.para(p.c.S("booklet.report.pencil.how"))
	seen := map[string]bool{}
	for _, f := range p.st.Files {
		key := fmt.Sprint(f.Kind, f.StoveName())
		steps := f.Steps()
		if f.Kitchen != nil && len(f.Kitchen.Results) > 0 { // one household shows how it goes
			steps = slices.DeleteFunc(slices.Clone(steps), func(s bench.Step) bool { return !strings.HasPrefix(s.Phase, f.Kitchen.Results[0].Code+" ") })
		}
		if seen[key] || len(steps) == 0 {
			continue
		}
		seen[key] = true
		p.need(30)
		p.heading(strings.Join(nonEmpty(f.StoveName(), f.About.Test, f.About.Date), ", "))
		phase := "-"
		for _, s := range steps {
			if s.Phase != phase {
				phase = s.Phase
				p.need(18)
				p.y += 1.5
				p.y += p.write(p.phase(phase), marginSide, p.y, p.width(), bodyType, "B") + 0.6
			}
			p.step(s)
		}
	}
}

// step is one line of a calculation: symbol, value, what it is, and the
// equation with the numbers in place.
func (p *testBook) step(s bench.Step) {
	const indent, size = 6.0, smallType
	line := p.c.S("booklet.report.step", "symbol", s.Symbol, "value", s.Pencil(), "name", s.Name, "origin", message.T("bench.origin."+string(s.Origin)))
	text := strings.Join(nonEmpty(s.Equation, s.Numbers, p.c.Say(s.Note)), "\n")
	h := p.height(line, p.width(), size, "")
	if text != "" {
		h += p.height(text, p.width()-indent, size, "")
	}
	p.need(h + 0.6)
	p.y += p.write(line, marginSide, p.y, p.width(), size, "")
	if text != "" {
		for _, part := range strings.Split(text, "\n") {
			p.y += p.write(part, marginSide+indent, p.y, p.width()-indent, size, "")
		}
	}
	p.y += 0.5
}
