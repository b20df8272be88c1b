package cli

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"

	"stovewright/bench"
	"stovewright/docs"
	"stovewright/message"
	"stovewright/quantity"
)

type testCmd struct {
	File        string `arg:"" help:"${test_file}" placeholder:"test.yaml"`
	Steps       bool   `help:"${test_steps}"`
	Uncertainty bool   `help:"${test_uncertainty}"`
	Draws       int    `help:"${test_draws}" placeholder:"20000"`
	reportFlags
	loggerFlags
	jsonFlag
}

// Run reads one test file of any kind, or a logger's file, and prints what it
// makes of it.
func (t *testCmd) Run(c *call) error {
	data, err := os.ReadFile(t.File)
	if err != nil {
		return err
	}
	if isLoggerFile(t.File, data) {
		return t.loggerFlags.run(c, t.File, data, t.reportFlags, t.JSON)
	}
	f, err := bench.ReadTest(t.File, data)
	if err != nil {
		return inTestFile(t.File, err, false)
	}
	level, err := levelOf(t.Level)
	if err != nil {
		return err
	}
	if t.Draws < 0 || t.Draws > 1_000_000 {
		return &message.InputError{Field: "--draws", Value: fmt.Sprint(t.Draws), Reason: message.T("cli.test.draws"), Try: "--draws 20000"}
	}
	show := testPrinter{printer: printer{c.Catalogue, c.Out}, file: f, level: level, draws: t.Draws}
	if f.HasUncertainty() {
		if show.sure, err = f.Uncertainties(level, t.Draws, 1); err != nil {
			return err
		}
	}
	if err := t.write(c, []bench.TestFile{f}, ""); err != nil {
		return err
	}
	if t.JSON {
		return writeJSON(c.Out, testJSON(show, c.Catalogue))
	}
	show.test()
	if t.Uncertainty {
		show.budgets()
	}
	if t.Steps {
		show.steps()
	}
	return nil
}

// isLoggerFile tells a logger's table from a test file by its name, and, where
// the name says nothing, by its first line.
func isLoggerFile(name string, data []byte) bool {
	lower := strings.ToLower(name)
	for _, end := range []string{".csv", ".tsv", ".txt", ".log", ".dat"} {
		if strings.HasSuffix(lower, end) {
			return true
		}
	}
	if strings.HasSuffix(lower, ".yaml") || strings.HasSuffix(lower, ".yml") || strings.HasSuffix(lower, ".json") {
		return false
	}
	first, _, _ := bytes.Cut(data, []byte("\n"))
	return !bytes.Contains(first, []byte(": ")) && bytes.ContainsAny(first, ",;\t")
}

// inTestFile puts the name of the file into complaints: into those about the whole
// of it, or, where several files are read, into all.
func inTestFile(name string, err error, all bool) error {
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if c.Field == "file" {
			c.Field = name
		} else if all {
			c.Field = name + ": " + c.Field
		}
	}
	return err
}

// levelOf reads the level of the intervals.
func levelOf(text string) (float64, error) {
	v, err := quantity.Parse(text, quantity.Ratio, quantity.Percent)
	if err != nil || v < 0.5 || v > 0.999 {
		return 0, &message.InputError{Field: "--level", Value: text, Reason: message.T("cli.test.level"), Allowed: message.T("form.allowed-range", "low", "50 %", "high", "99.9 %"), Try: "--level 95%"}
	}
	return v, nil
}

// testPrinter lays one test out.
type testPrinter struct {
	printer
	file  bench.TestFile
	sure  map[string]bench.Uncertainty // of a boiling test, by id
	level float64
	draws int
}

func (p testPrinter) test() {
	p.head()
	p.alarms("cli.test.alarms", p.file.Alarms())
	switch {
	case p.file.Kitchen != nil:
		p.kitchens()
	case p.file.Safety != nil:
		p.safety()
	default:
		p.results()
		p.cited()
	}
	p.notes()
}

// head says what was tested, when and by whom.
func (p testPrinter) head() {
	a := p.file.About
	kind := p.say.Say(p.file.Kind.Words())
	if p.file.Boiling != nil {
		kind += ", " + p.say.S("bench.word."+string(p.file.Boiling.Test.Version))
	}
	fmt.Fprintln(p.out, strings.Join(filled(p.file.StoveName(), kind, a.Test, a.Date, a.Tester, a.Place), " · "))
	for _, note := range filled(a.Note) {
		fmt.Fprintln(p.out, note)
	}
	if a.LeftOut != "" {
		fmt.Fprintln(p.out, p.say.S("cli.test.left-out", "reason", a.LeftOut))
	}
}

func filled(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// alarms prints what looks wrong, with the readings to take again.
func (p printer) alarms(heading string, list []bench.Alarm) {
	if len(list) == 0 {
		return
	}
	p.heading(heading)
	for _, a := range list {
		where := ""
		if a.Phase != "" {
			where = phaseWords(p.say, a.Phase) + ": "
		}
		fmt.Fprintf(p.out, "%s: %s%s\n", p.say.S("bench.severity."+string(a.Severity)), where, p.say.Say(a.Text))
		if len(a.Repeat) > 0 {
			fmt.Fprintf(p.out, "    %s\n", p.say.S("cli.test.repeat", "readings", a.RepeatNames()))
		}
	}
}

// phaseWords names a phase of a test; a household or fuel is its own name.
func phaseWords(c *message.Catalogue, phase string) string {
	if id := "bench.phase." + phase; c.Has(id) {
		return c.S(id)
	}
	return phase
}

// phasesOf are the phases of some results in order, "" last.
func phasesOf(list []bench.Step) (phases []string) {
	whole := false
	for _, s := range list {
		whole = whole || s.Phase == ""
		if s.Phase != "" && !slices.Contains(phases, s.Phase) {
			phases = append(phases, s.Phase)
		}
	}
	if whole {
		phases = append(phases, "")
	}
	return phases
}

// results prints a row a result and a column a phase.
func (p testPrinter) results() {
	list := p.file.Results()
	phases := phasesOf(list)
	p.heading("cli.test.results")
	p.table(func(row func(...string)) {
		head := []string{""}
		for _, ph := range phases {
			head = append(head, phaseWords(p.say, ph))
		}
		if len(phases) > 1 {
			row(head...)
		}
		done := map[string]bool{}
		for _, s := range list {
			if done[s.Key] {
				continue
			}
			done[s.Key] = true
			cells := []string{p.say.Say(s.Name)}
			for _, ph := range phases {
				cells = append(cells, p.cell(list, ph, s.Key))
			}
			row(cells...)
		}
	})
	if p.sure != nil {
		fmt.Fprintln(p.out, p.say.S("cli.test.plus-minus", "level", quantity.Pct(p.level)))
	}
}

// cell is one result, with how far it may be off.
func (p testPrinter) cell(list []bench.Step, phase, key string) string {
	for _, s := range list {
		if s.Phase != phase || s.Key != key {
			continue
		}
		text := p.say.Value(s.Shown())
		if u, known := p.sure[s.ID()]; known {
			text += " ± " + p.say.Number(bench.ShownSpread(key, quantity.Value{SI: u.Interval.HalfWidth(), Unit: s.Value.Unit}))
		}
		return text
	}
	return ""
}

// cited sets published values beside what a test says of the air; they are not
// judged.
func (p testPrinter) cited() {
	list := p.file.Cited()
	if len(list) == 0 {
		return
	}
	c := p.say
	p.heading("cli.test.cited")
	p.table(func(row func(...string)) {
		for _, g := range list {
			row(c.S("cli.test.cited."+g.What), c.Value(bareNumber(g.Value, 0))+" "+g.Unit, g.Period, docs.SourceOf(g.Source).Short(), g.Standing, g.Note)
		}
	})
}

func (p testPrinter) kitchens() {
	p.heading("cli.test.households")
	c := p.say
	p.table(func(row func(...string)) {
		row(c.S("cli.test.household"), c.S("cli.test.days"), c.S("cli.test.adults"), c.S("cli.test.fuel"), c.S("cli.test.moist"), c.S("cli.test.dry"), c.S("cli.test.energy"))
		for i, r := range p.file.Kitchen.Results {
			k := p.file.Kitchen.List[i]
			var adults float64
			for _, day := range k.People {
				adults += day.AdultEquivalents()
			}
			mean := quantity.Value{SI: adults / float64(len(k.People)), Unit: quantity.One, Step: 0.1}
			for j, f := range k.Fuels {
				use := r.Fuels[f.Key]
				name, days, people := "", "", ""
				if j == 0 {
					name, days, people = k.Code, fmt.Sprint(len(k.People)), c.Value(mean)
				}
				row(name, days, people, c.S("bench.word."+f.Key), c.Value(bench.PerAdultDay(use.Moist)), c.Value(bench.PerAdultDay(use.Dry)), c.Value(bench.EnergyPerAdultDay(use.Energy)))
			}
		}
	})
	fmt.Fprintln(p.out, c.S("cli.test.adults-how"))
}

func (p testPrinter) safety() {
	p.heading("cli.test.results")
	c, score := p.say, p.file.Safety.Score
	p.table(func(row func(...string)) {
		row(c.S("cli.test.item"), c.S("cli.test.rating"), c.S("cli.test.weight"), c.S("cli.test.points"))
		for _, item := range bench.SafetyItems() {
			rating := float64(score.Ratings[item.Key])
			row(c.Say(item.Name()), c.Value(bareNumber(rating, 1)), c.Value(bareNumber(item.Weight, 0.5)), c.Value(bareNumber(rating*item.Weight, 0.5)))
		}
		row(c.S("cli.test.total"), "", "", c.Value(bareNumber(score.Total, 0.5)))
	})
	fmt.Fprintln(p.out, c.S("cli.test.safety-band", "band", c.S("bench.word."+score.Band), "iso", score.ISO.Low))
	if len(score.Worst) > 0 {
		var names []message.Text
		for _, key := range score.Worst {
			names = append(names, message.T("bench.safety."+key))
		}
		fmt.Fprintln(p.out, c.S("cli.test.safety-worst", "items", names))
	}
	fmt.Fprintln(p.out, c.S("cli.test.safety-one"))
	p.durability()
	p.burns()
}

// durability is the total of the points that the sheet has, lower is better.
func (p testPrinter) durability() {
	points := p.file.Safety.Sheet.Durability
	if points == nil {
		return
	}
	c := p.say
	total, tier, err := bench.Durability(points)
	if err != nil {
		return // the form was read without it
	}
	p.heading("cli.test.durability")
	p.table(func(row func(...string)) {
		for _, e := range bench.DurabilityElements {
			if v, scored := points[e]; scored {
				row(c.S("bench.durability."+e), c.Value(bareNumber(v, 0)))
			}
		}
		row(c.S("cli.test.points-in-all"), c.Value(bareNumber(total, 0)))
	})
	fmt.Fprintln(p.out, c.S("cli.test.durability-tier", "tier", tier.Low))
}

// burns set beside the temperatures at which skin burns.
func (p testPrinter) burns() {
	c := p.say
	p.heading("cli.test.burns")
	p.table(func(row func(...string)) {
		head := []string{""}
		for _, s := range bench.Surfaces {
			head = append(head, c.S("cli.test.surface."+s))
		}
		row(head...)
		for _, contact := range bench.Contacts {
			cells := []string{c.Value(contact)}
			for _, s := range bench.Surfaces {
				cells = append(cells, burnSpan(c, s, contact.SI))
			}
			row(cells...)
		}
	})
	fmt.Fprintln(p.out, c.S("cli.test.burns-how"))
}

func burnSpan(c *message.Catalogue, surface string, seconds float64) string {
	b, ok := bench.BurnAt(surface, seconds)
	if !ok {
		return "–"
	}
	if b.Low == b.High {
		return c.Value(quantity.C(b.Low))
	}
	return c.Number(quantity.C(b.Low)) + "–" + c.Value(quantity.C(b.High))
}

func bareNumber(v, step float64) quantity.Value {
	return quantity.Value{SI: v, Unit: quantity.One, Step: step}
}

// notes say what stands behind the figures, and what they are not.
func (p testPrinter) notes() {
	seen := map[string]bool{}
	var list []string
	for _, s := range p.file.Results() {
		if text := p.say.Say(s.Note); text != "" && !seen[text] {
			seen[text] = true
			list = append(list, p.say.Say(s.Name)+": "+text)
		}
	}
	for _, s := range p.file.Steps() {
		if s.Origin == bench.Assumed || s.Origin == bench.Yours {
			list = append(list, p.say.S("cli.test.origin", "name", s.Name, "symbol", s.Symbol, "value", s.Value, "origin", message.T("bench.origin."+string(s.Origin))))
		}
	}
	list = append(list, p.say.Say(p.file.Standing()))
	p.heading("cli.test.notes")
	for _, line := range list {
		fmt.Fprintln(p.out, line)
	}
}

// budgets print what makes the results of a boiling test uncertain.
func (p testPrinter) budgets() {
	if p.sure == nil {
		p.heading("cli.test.uncertainty")
		fmt.Fprintln(p.out, p.say.S("cli.test.no-uncertainty"))
		return
	}
	for _, s := range p.file.Results() {
		u := p.sure[s.ID()]
		if !slices.Contains([]string{"h", "SCT", "SC", "BF", "h_hp", "tT", "SCf", "h0", "h0_mean", "h0_energy"}, s.Key) {
			continue
		}
		p.budget(s, u)
	}
}

func (p testPrinter) budget(s bench.Step, u bench.Uncertainty) {
	c := p.say
	show := func(v quantity.Value) string { // two figures are enough for how far off something is
		return c.Value(quantity.Value{SI: v.SI, Unit: bench.Shown(s.Key, quantity.Value{Unit: v.Unit}).Unit})
	}
	fmt.Fprintf(p.out, "\n%s\n", strings.ToUpper(c.S("cli.test.budget-of", "name", s.Name, "phase", phaseWords(c, s.Phase))))
	fmt.Fprintln(p.out, c.S("cli.test.budget", "value", c.Value(s.Shown()), "u", show(u.U), "own", show(u.Own), "shared", show(u.Shared),
		"low", c.Value(bench.Shown(s.Key, quantity.Value{SI: u.Interval.Low, Unit: s.Value.Unit})), "high", c.Value(bench.Shown(s.Key, quantity.Value{SI: u.Interval.High, Unit: s.Value.Unit})), "level", quantity.Pct(p.level)))
	if p.draws > 0 {
		fmt.Fprintln(p.out, c.S("cli.test.monte-carlo", "n", p.draws, "u", show(quantity.Value{SI: u.MonteCarloU, Unit: u.U.Unit}),
			"low", c.Value(bench.Shown(s.Key, quantity.Value{SI: u.MonteCarlo.Low, Unit: s.Value.Unit})), "high", c.Value(bench.Shown(s.Key, quantity.Value{SI: u.MonteCarlo.High, Unit: s.Value.Unit}))))
	}
	p.table(func(row func(...string)) {
		row(c.S("cli.test.cause"), c.S("cli.test.cause-u"), c.S("cli.test.contribution"), c.S("cli.test.share"), "")
		for _, l := range u.Lines {
			if l.Share < 0.005 {
				continue
			}
			name := c.Say(l.Name)
			if l.Phase != "" {
				name += ", " + phaseWords(c, l.Phase)
			}
			mark := "cli.test.own"
			if l.Shared {
				mark = "cli.test.shared"
			}
			row(name, c.Value(l.U), show(l.Contribution), c.Value(quantity.Pct(l.Share)), c.S(mark))
		}
	})
}

// steps unfold the whole calculation, to be followed with a pencil.
func (p testPrinter) steps() {
	c := p.say
	phase := "-"
	for _, s := range p.file.Steps() {
		if s.Phase != phase {
			phase = s.Phase
			fmt.Fprintf(p.out, "\n%s\n", strings.ToUpper(phaseWords(c, phase)))
		}
		fmt.Fprintf(p.out, "%s = %s  (%s; %s)\n", s.Symbol, s.Pencil(), c.Say(s.Name), c.S("bench.origin."+string(s.Origin)))
		if s.Equation != "" {
			fmt.Fprintf(p.out, "    %s\n    %s\n", s.Equation, s.Numbers)
		}
		for _, note := range filled(c.Say(s.Note)) {
			fmt.Fprintf(p.out, "    %s\n", note)
		}
	}
	if phase == "-" {
		p.heading("cli.test.steps")
		fmt.Fprintln(p.out, c.S("cli.test.no-steps"))
	}
}
