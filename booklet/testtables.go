package booklet

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"

	"stovewright/bench"
	"stovewright/internal/xlsx"
	"stovewright/message"
	"stovewright/quantity"
)

// Workbook writes the report as a spreadsheet: readings, results, every step of
// the calculation, and the comparison, each on a sheet of its own; numbers are
// numbers in the unit of their head.
func (r TestReport) Workbook(w io.Writer, c *message.Catalogue) error {
	t := tables{r.Study, c}
	sheets := []xlsx.Sheet{t.about()}
	for _, kind := range bench.Kinds {
		if s := t.wide(kind, false); len(s.Rows) > 0 {
			sheets = append(sheets, s)
		}
	}
	for _, kind := range bench.Kinds {
		if s := t.wide(kind, true); len(s.Rows) > 0 {
			sheets = append(sheets, s)
		}
	}
	for _, s := range []xlsx.Sheet{t.safety(), t.uses(), t.steps(), t.comparison(), t.alarms(), t.claims()} {
		if len(s.Rows) > 0 {
			sheets = append(sheets, s)
		}
	}
	return xlsx.Write(w, sheets)
}

// tables lays a study out in sheets.
type tables struct {
	st *bench.Study
	c  *message.Catalogue
}

func (t tables) head(ids ...string) []string {
	list := make([]string, len(ids))
	for i, id := range ids {
		list[i] = t.c.S("booklet.sheet." + id)
	}
	return list
}

func texts(list ...string) []xlsx.Cell {
	cells := make([]xlsx.Cell, len(list))
	for i, s := range list {
		cells[i] = xlsx.Text(s)
	}
	return cells
}

// who is what stands before every row of a test.
func who(f bench.TestFile) []string {
	return []string{f.StoveName(), f.About.Test, f.About.Date}
}

func (t tables) about() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.tests"), Head: t.head("file", "kind", "stove", "test", "date", "clock", "tester", "place", "note", "counts", "reason"),
		Widths: []float64{26, 16, 26, 8, 12, 8, 14, 18, 20, 8, 30}}
	for _, f := range t.st.Files {
		a := f.About
		counts := a.LeftOut == "" && !slices.ContainsFunc(f.Alarms(), bench.Alarm.Spoils)
		s.Rows = append(s.Rows, texts(f.Name, t.c.Say(f.Kind.Words()), f.StoveName(), a.Test, a.Date, a.Clock, a.Tester, a.Place, a.Note, t.yes(counts), a.LeftOut))
	}
	return s
}

func (t tables) yes(v bool) string {
	if v {
		return t.c.S("bench.word.yes")
	}
	return t.c.S("bench.word.no")
}

// wide has a row a test and phase and a column a quantity: the readings of a
// kind, or its results.
func (t tables) wide(kind bench.Kind, results bool) xlsx.Sheet {
	name := "booklet.sheet.name.readings"
	if results {
		name = "booklet.sheet.name.results"
	}
	s := xlsx.Sheet{Name: clipName(t.c.S(name, "kind", kind.Words())), Head: t.head("stove", "test", "date", "phase"), Widths: []float64{26, 8, 12, 12}}
	columns := map[string]int{}
	for _, f := range t.st.Files {
		if f.Kind != kind {
			continue
		}
		list := f.Results()
		if !results {
			list = slices.DeleteFunc(slices.Clone(f.Steps()), func(k bench.Step) bool { return k.Origin != bench.Measured })
		}
		rows := map[string]int{}
		for _, k := range list {
			at, known := columns[k.Symbol+k.Key]
			value := k.Shown()
			if !known {
				at = len(s.Head)
				columns[k.Symbol+k.Key] = at
				s.Head = append(s.Head, t.headOf(k, value.Unit))
			}
			row, open := rows[k.Phase]
			if !open {
				row = len(s.Rows)
				rows[k.Phase] = row
				s.Rows = append(s.Rows, texts(append(who(f), t.phase(k.Phase))...))
			}
			for len(s.Rows[row]) <= at {
				s.Rows[row] = append(s.Rows[row], xlsx.Cell{})
			}
			s.Rows[row][at] = xlsx.Number(value.Unit.Number(value.SI))
		}
	}
	return s
}

// headOf names a column: "moist wood burnt, f_m (g)".
func (t tables) headOf(k bench.Step, u quantity.Unit) string {
	text := t.c.Say(k.Name) + ", " + k.Symbol
	if u.Symbol != "" {
		text += " (" + u.Symbol + ")"
	}
	return text
}

func clipName(s string) string {
	if r := []rune(s); len(r) > 31 {
		return string(r[:31])
	}
	return s
}

func (t tables) phase(phase string) string {
	if id := "bench.phase." + phase; t.c.Has(id) {
		return t.c.S(id)
	}
	return phase
}

func (t tables) steps() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.steps"), Head: t.head("stove", "test", "date", "phase", "symbol", "what", "value", "unit", "origin", "equation", "numbers", "note", "source"),
		Widths: []float64{26, 8, 12, 12, 10, 38, 14, 12, 12, 44, 44, 30, 18}}
	for _, f := range t.st.Files {
		for _, k := range f.Steps() {
			row := texts(append(who(f), t.phase(k.Phase), k.Symbol, t.c.Say(k.Name))...)
			row = append(row, xlsx.Number(k.Number()))
			s.Rows = append(s.Rows, append(row, texts(k.Value.Unit.Symbol, t.c.S("bench.origin."+string(k.Origin)), k.Equation, k.Numbers, t.c.Say(k.Note), k.Source)...))
		}
	}
	return s
}

func (t tables) safety() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.safety"), Head: t.head("stove", "scorer", "item", "weight", "rating", "points"), Widths: []float64{26, 16, 44, 8, 8, 8}}
	for _, f := range t.st.Files {
		if f.Safety == nil {
			continue
		}
		for _, item := range bench.SafetyItems() {
			rating := float64(f.Safety.Score.Ratings[item.Key])
			row := texts(f.StoveName(), f.Safety.Sheet.Scorer, t.c.Say(item.Name()))
			s.Rows = append(s.Rows, append(row, xlsx.Number(item.Weight), xlsx.Number(rating), xlsx.Number(rating*item.Weight)))
		}
	}
	return s
}

func (t tables) comparison() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.comparison"), Head: t.head("what", "unit", "base", "base-n", "base-mean", "base-sd", "new", "new-n", "new-mean", "new-sd", "change", "change-low", "change-high", "bootstrap-low", "bootstrap-high", "level", "p", "p-adjusted", "p-ranks", "p-alike", "needed", "finding", "words", "origin"),
		Widths: []float64{38, 10, 26, 8, 10, 10, 26, 8, 10, 10, 10, 10, 10, 10, 10, 8, 10, 10, 10, 10, 10, 14, 60, 12}}
	for _, k := range t.st.Compared {
		unit := bench.Shown(bareID(k.ID), quantity.Value{Unit: k.Unit}).Unit
		row := texts(t.c.Say(k.What), unit.Symbol)
		side := func(name string, n int, mean, sd float64) {
			row = append(row, xlsx.Text(name), xlsx.Number(float64(n)), number64(unit, mean, n), number64(unit, sd, n))
		}
		b, n := k.Comparison.Base, k.Comparison.New
		side(k.Base, b.N, b.Mean, b.SD)
		side(k.New, n.N, n.Mean, n.SD)
		if b.N == 0 {
			row = append(row, make([]xlsx.Cell, 11)...)
		} else {
			change := func(v float64) xlsx.Cell { return xlsx.Number(100 * (v - 1)) }
			row = append(row, change(k.Ratio.Value), change(k.Ratio.Interval.Low), change(k.Ratio.Interval.High))
			if k.Bootstrap.Draws > 0 {
				row = append(row, change(k.Bootstrap.BCa.Low), change(k.Bootstrap.BCa.High))
			} else {
				row = append(row, xlsx.Cell{}, xlsx.Cell{})
			}
			row = append(row, xlsx.Number(100*k.Ratio.Interval.Level),
				xlsx.Number(k.P), xlsx.Number(k.AdjustedP), xlsx.Number(k.Ranks.P(0)), xlsx.Number(k.EquivalentP), xlsx.Number(float64(k.Needed)))
		}
		s.Rows = append(s.Rows, append(row, texts(string(k.Finding), t.c.Say(k.Words), t.c.S("bench.origin.computed"))...))
	}
	if k := t.st.Kitchens; k != nil {
		row := texts(t.c.S("booklet.sheet.kitchen-saving"), "%", "", "", "", "", "", "", "", "")
		row[3] = xlsx.Number(float64(k.Households))
		row = append(row, xlsx.Number(-100*k.Saving), xlsx.Number(-100*k.Interval.High), xlsx.Number(-100*k.Interval.Low), xlsx.Cell{}, xlsx.Cell{}, xlsx.Number(100*k.Interval.Level))
		p := k.Comparison.P
		if k.Paired {
			p = k.PairedT.P(0)
		}
		row = append(row, xlsx.Number(p), xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Number(float64(k.Needed)))
		s.Rows = append(s.Rows, append(row, texts("", "", t.c.S("bench.origin.computed"))...))
	}
	return s
}

// number64 is a number in a unit; nothing where no test counts.
func number64(u quantity.Unit, si float64, n int) xlsx.Cell {
	if n == 0 {
		return xlsx.Cell{}
	}
	return xlsx.Number(u.Number(si))
}

func (t tables) alarms() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.alarms"), Head: t.head("stove", "test", "date", "phase", "severity", "text", "standing"), Widths: []float64{26, 8, 12, 12, 18, 80, 26}}
	line := func(stove, test, date string, a bench.Alarm) {
		s.Rows = append(s.Rows, texts(stove, test, date, t.phase(a.Phase), t.c.S("bench.severity."+string(a.Severity)), t.c.Say(a.Text), a.Standing))
	}
	for _, a := range t.st.Alarms() {
		line("", "", "", a)
	}
	for _, f := range t.st.Files {
		for _, a := range f.Alarms() {
			line(f.StoveName(), f.About.Test, f.About.Date, a)
		}
	}
	return s
}

func (t tables) claims() xlsx.Sheet {
	s := xlsx.Sheet{Name: t.c.S("booklet.sheet.name.claims"), Head: t.head("claim", "text"), Widths: []float64{18, 110}}
	claims := bench.Claim(t.st.Evidence())
	for _, part := range []struct {
		id   string
		list []message.Text
	}{{"booklet.report.may", claims.May}, {"booklet.report.may-not", claims.MayNot}} {
		for _, text := range part.list {
			s.Rows = append(s.Rows, texts(t.c.S(part.id), t.c.Say(text)))
		}
	}
	return s
}

// csvHead are the columns of the table of text, the same in every language so
// that programs can read it.
var csvHead = []string{"kind", "stove", "test", "date", "phase", "id", "name", "value", "unit", "origin", "counts", "n", "low", "high", "level"}

// CSV writes every reading, constant and result of every test, and every
// comparison, a line each: UTF-8, commas, decimal points (RFC 4180).
func (r TestReport) CSV(w io.Writer, c *message.Catalogue) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	write := func(cells ...string) { _ = out.Write(cells) } // the error is told at the end
	write(csvHead...)
	for _, f := range r.Study.Files {
		counts := strconv.FormatBool(f.About.LeftOut == "" && !slices.ContainsFunc(f.Alarms(), bench.Alarm.Spoils))
		sure := intervals(f, r.Study.Settings.Level)
		for _, k := range f.Steps() {
			row := []string{string(f.Kind), f.StoveName(), f.About.Test, f.About.Date, k.Phase, k.Key, c.Say(k.Name), figureOf(k.Number()), k.Value.Unit.Symbol, string(k.Origin), counts, "", "", "", ""}
			if u, known := sure[k.ID()]; known {
				unit := k.Value.Unit
				copy(row[11:], []string{"1", figureOf(unit.Number(u.Interval.Low)), figureOf(unit.Number(u.Interval.High)), figureOf(u.Interval.Level)})
			}
			write(row...)
		}
		if f.Safety != nil {
			for _, item := range bench.SafetyItems() {
				write(string(f.Kind), f.StoveName(), f.About.Test, f.About.Date, "", item.Key, c.Say(item.Name()), strconv.Itoa(f.Safety.Score.Ratings[item.Key]), "", string(bench.Measured), counts, "", "", "", "")
			}
		}
	}
	for _, k := range r.Study.Compared {
		if k.Ratio.DF > 0 {
			write("comparison", k.New+" / "+k.Base, "", "", "", k.ID, c.Say(k.What), figureOf(k.Ratio.Value), "", string(bench.Computed), "", strconv.Itoa(k.Comparison.Base.N)+"+"+strconv.Itoa(k.Comparison.New.N), figureOf(k.Ratio.Interval.Low), figureOf(k.Ratio.Interval.High), figureOf(k.Ratio.Interval.Level))
		}
		if k.Bootstrap.Draws > 0 {
			write("bootstrap", k.New+" / "+k.Base, "", "", "", k.ID, c.Say(k.What), figureOf(k.Bootstrap.Estimate), "", string(bench.Computed), "", strconv.Itoa(k.Comparison.Base.N)+"+"+strconv.Itoa(k.Comparison.New.N), figureOf(k.Bootstrap.BCa.Low), figureOf(k.Bootstrap.BCa.High), figureOf(k.Bootstrap.BCa.Level))
		}
	}
	if k := r.Study.Kitchens; k != nil {
		write("comparison", "", "", "", "", "kitchen-saving", c.S("booklet.sheet.kitchen-saving"), figureOf(k.Saving), "", string(bench.Computed), "", strconv.Itoa(k.Households), figureOf(k.Interval.Low), figureOf(k.Interval.High), figureOf(k.Interval.Level))
	}
	for _, u := range r.Study.Uses {
		for _, f := range useFigures(u) {
			write("use", useStove(c, u), u.Household, useFrom(u), "", f.key, c.S("booklet.use."+f.key), figureOf(f.value), f.unit, string(f.origin), "", strconv.Itoa(len(u.Samples)), "", "", "")
		}
	}
	if s := r.Study.Usage; s != nil {
		write("use", "", "", "", "", "new-days", c.S("booklet.use.new-days"), figureOf(100*s.NewDays), "%", string(bench.Computed), "", strconv.Itoa(s.Households), figureOf(100*s.NewInterval.Low), figureOf(100*s.NewInterval.High), figureOf(s.NewInterval.Level))
		write("use", "", "", "", "", "old-share", c.S("booklet.use.old-share"), figureOf(100*s.OldShare), "%", string(bench.Computed), "", strconv.Itoa(s.Households), figureOf(100*s.OldInterval.Low), figureOf(100*s.OldInterval.High), figureOf(s.OldInterval.Level))
	}
	out.Flush()
	return out.Error()
}

// intervals are those of a test's results, where they are worked out.
func intervals(f bench.TestFile, level float64) map[string]bench.Uncertainty {
	if !f.HasUncertainty() || slices.ContainsFunc(f.Alarms(), bench.Alarm.Spoils) {
		return nil
	}
	list, err := f.Uncertainties(level, 0, 0)
	if err != nil {
		return nil // the results stand without them
	}
	return list
}

// figureOf is a number for a program; nothing where there is none.
func figureOf(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
