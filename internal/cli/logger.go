package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
)

// loggerFlags say what a logger's file does not say itself.
type loggerFlags struct {
	Preview bool              `help:"${log_preview}"`
	Column  string            `help:"${log_column}" placeholder:"1"`
	Unit    string            `help:"${log_unit}" placeholder:"°C"`
	Time    string            `help:"${log_time}" placeholder:"DD/MM/YYYY"`
	Zone    string            `help:"${log_zone}" placeholder:"+3"`
	Fast    string            `help:"${log_fast}" placeholder:"40s"`
	Rule    map[string]string `help:"${log_rule}" placeholder:"rise=10" mapsep:"none"`
	gasFlags
}

// loggerDoc is the JSON form of a logger's file:
// docs/schema/logger.schema.json.
type loggerDoc struct {
	File      string        `json:"file"`
	Layout    layoutDoc     `json:"layout"`
	Rows      int           `json:"rows"`
	Bad       []badRowDoc   `json:"bad_rows"`
	Questions []questionDoc `json:"questions"`
	Columns   []columnDoc   `json:"columns"`
	Use       *useDoc       `json:"use,omitempty"`
	Emission  []emissionDoc `json:"emission,omitempty"`
}

type layoutDoc struct {
	Delimiter string `json:"delimiter"`
	Decimal   string `json:"decimal"`
	Skipped   int    `json:"lines_before"`
	Time      string `json:"time"`
}

type badRowDoc struct {
	Line   int    `json:"line"`
	Text   string `json:"text"`
	Reason string `json:"reason"`
}

type questionDoc struct {
	Key     string   `json:"key"`
	Text    string   `json:"text"`
	Choices []string `json:"choices"`
}

type columnDoc struct {
	Name  string   `json:"name"`
	Unit  string   `json:"unit"`
	Count int      `json:"count"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

type useDoc struct {
	Days         int        `json:"days"`
	DaysUsed     int        `json:"days_used"`
	EventsPerDay float64    `json:"events_per_day"`
	HoursPerDay  float64    `json:"hours_per_day"`
	Complete     float64    `json:"complete"`
	Gaps         int        `json:"gaps"`
	Spikes       int        `json:"spikes"`
	Events       []eventDoc `json:"events"`
}

type eventDoc struct {
	Start string  `json:"start"`
	Hours float64 `json:"hours"`
	Peak  float64 `json:"peak"` // K
}

// run reads a logger's file, says how it was read, lists every row that was
// not, and finds the uses of the stove where a column is a temperature.
func (l loggerFlags) run(c *call, name string, data []byte, report reportFlags, asJSON bool) error {
	sniff, err := bench.SniffLog(head(data))
	if err != nil {
		return inTestFile(name, err, false)
	}
	if err := l.answer(&sniff); err != nil {
		return err
	}
	rule, err := l.rule()
	if err != nil {
		return err
	}
	log, err := bench.ReadLog(bytes.NewReader(data), sniff.Layout)
	if err != nil {
		return err
	}
	doc := loggerJSON(c.Catalogue, name, sniff, log)
	if l.Of != "" {
		if err := l.told(name, sniff); err != nil {
			return err
		}
		if doc.Emission, err = l.emissions(c, log, sniff.Layout); err != nil {
			return err
		}
	} else if use, ok := usage(filepath.Base(name), rule, log, sniff.Layout); ok {
		doc.Use = useJSON(use.Usage, sniff.Layout)
		if err := report.writeUse(c, use); err != nil {
			return err
		}
	}
	if asJSON {
		return writeJSON(c.Out, doc)
	}
	printLogger(printer{c.Catalogue, c.Out}, doc, sniff, l.Preview)
	return nil
}

// head is enough of a file for the first look.
func head(data []byte) []byte { return data[:min(len(data), 1<<16)] }

// usage is the record of the first column of temperatures.
func usage(name string, rule bench.UsageRule, log bench.Log, layout bench.LogLayout) (bench.UseRecord, bool) {
	for column := range layout.Columns {
		if u, ok := bench.ReadUse(name, log, layout, column, rule); ok {
			return u, true
		}
	}
	return bench.UseRecord{}, false
}

// answer puts the flags over what was found in the file; a question that a flag
// answers is asked no more.
func (l loggerFlags) answer(s *bench.LogSniff) error {
	layout := &s.Layout
	if l.Column != "" {
		at := -1
		var names []string
		for i, col := range layout.Columns {
			names = append(names, col.Name)
			if strings.EqualFold(col.Name, l.Column) || strconv.Itoa(i+1) == l.Column {
				at = i
			}
		}
		if at < 0 {
			return &message.InputError{Field: "--column", Value: l.Column, Reason: message.T("cli.log.no-column"), Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: "--column 1"}
		}
		layout.Columns = layout.Columns[at : at+1]
		s.Drop("unit", layout.Columns[0].Name)
	}
	if l.Unit != "" {
		unit, ok := bench.LogUnit(l.Unit)
		if !ok {
			return &message.InputError{Field: "--unit", Value: l.Unit, Reason: message.T("form.unknown-word"), Allowed: message.T("form.allowed", "names", strings.Join(bench.LogUnits, ", ")), Try: "--unit °C"}
		}
		for i := range layout.Columns {
			layout.Columns[i].Unit = unit
		}
		s.Answered("unit")
	}
	if l.Time != "" {
		goLayout, ok := timeFormat(l.Time, layout.Time)
		if !ok {
			return &message.InputError{Field: "--time", Value: l.Time, Reason: message.T("cli.log.time"), Try: "--time DD/MM/YYYY"}
		}
		layout.Time = goLayout
		s.Answered("date-order")
		s.Answered("time")
	}
	var err error
	if layout.Zone, err = duration("--zone", l.Zone, time.Hour, "--zone +3"); err != nil {
		return err
	}
	layout.ClockFast, err = duration("--fast", l.Fast, time.Second, "--fast 40s")
	return err
}

// duration reads hours of a zone or the fault of a clock.
func duration(flag, text string, unit time.Duration, try string) (time.Duration, error) {
	if text == "" {
		return 0, nil
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil && v > -100000 && v < 100000 {
		return time.Duration(v * float64(unit)), nil
	}
	if d, err := time.ParseDuration(text); err == nil {
		return d, nil
	}
	return 0, &message.InputError{Field: flag, Value: text, Reason: message.T("cli.log.duration"), Try: try}
}

// timeFormat turns "DD/MM/YYYY hh:mm" into the layout of the reader. A date
// alone takes the clock as it was found; "seconds", "minutes" and "unix" count.
func timeFormat(text, found string) (string, bool) {
	switch word := strings.ToLower(text); word {
	case "seconds", "minutes", "unix":
		return word, true
	}
	layout := strings.NewReplacer("YYYY", "2006", "YY", "06", "MM", "01", "DD", "02", "hh", "15", "mm", "04", "ss", "05").Replace(text)
	if _, clock, ok := strings.Cut(found, " "); ok && !strings.Contains(layout, "15") {
		layout += " " + clock
	}
	return layout, strings.Contains(layout, "15") || strings.Contains(layout, "02")
}

// rule puts the flags over the usual rule.
func (l loggerFlags) rule() (bench.UsageRule, error) {
	r := bench.DefaultUsageRule
	fields := map[string]struct {
		into  *float64
		scale float64
	}{"rise": {&r.Rise, 1}, "slope": {&r.Slope, 1}, "end": {&r.EndShare, 0.01}, "merge": {&r.MergeGap, 60}, "shortest": {&r.Shortest, 60}, "spike": {&r.Spike, 1}}
	for key, text := range l.Rule {
		f, known := fields[key]
		v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if !known || err != nil || !(v > 0) || v > 10000 {
			return r, &message.InputError{Field: "--rule", Value: key + "=" + text, Reason: message.T("cli.log.rule"), Try: "--rule rise=10"}
		}
		*f.into = v * f.scale
	}
	return r, nil
}

func loggerJSON(c *message.Catalogue, name string, s bench.LogSniff, log bench.Log) loggerDoc {
	d := loggerDoc{File: name, Rows: len(log.Times), Bad: []badRowDoc{}, Questions: []questionDoc{}, Columns: []columnDoc{},
		Layout: layoutDoc{string(s.Layout.Delimiter), string(s.Layout.Decimal), s.Layout.Skip, s.Layout.TimeWords()}}
	for _, b := range log.Bad {
		d.Bad = append(d.Bad, badRowDoc{b.Line, b.Text, c.Say(b.Reason)})
	}
	for _, q := range s.Questions {
		d.Questions = append(d.Questions, questionDoc{q.Key, c.Say(q.Text), q.ChoiceWords()})
	}
	for i, col := range s.Layout.Columns {
		count, low, high := log.Span(i)
		d.Columns = append(d.Columns, columnDoc{col.Name, col.Unit, count, finite(low), finite(high)})
	}
	return d
}

func useJSON(u bench.Usage, layout bench.LogLayout) *useDoc {
	d := &useDoc{Days: u.Days, DaysUsed: u.DaysUsed, EventsPerDay: u.EventsPerDay(), HoursPerDay: u.HoursPerDay(), Complete: u.Complete, Gaps: u.Gaps, Spikes: u.Spikes, Events: []eventDoc{}}
	for _, e := range u.Events {
		d.Events = append(d.Events, eventDoc{layout.Clock(e.Start), e.Hours(), e.Peak})
	}
	return d
}

// shownBad is how many bad rows are printed; the JSON form has them all.
const shownBad = 20

func printLogger(p printer, d loggerDoc, s bench.LogSniff, preview bool) {
	c := p.say
	fmt.Fprintln(p.out, c.S("cli.log.read", "file", d.File, "n", d.Rows, "time", d.Layout.Time))
	if preview {
		p.heading("cli.log.preview")
		p.table(func(row func(...string)) {
			for _, cells := range s.Preview {
				row(cells...)
			}
		})
	}
	p.heading("cli.log.columns")
	p.table(func(row func(...string)) {
		for i, col := range d.Columns {
			span := c.S("cli.log.empty")
			if col.Low != nil {
				span = c.S("cli.log.span", "low", bareNumber(*col.Low, 0), "high", bareNumber(*col.High, 0), "unit", col.Unit)
			}
			row(strconv.Itoa(i+1), col.Name, span)
		}
	})
	if len(d.Questions) > 0 {
		p.heading("cli.log.questions")
		for _, q := range d.Questions {
			fmt.Fprintln(p.out, c.S("cli.log.question", "text", q.Text, "choices", strings.Join(q.Choices, ", "), "flag", questionFlags[q.Key]))
		}
	}
	if len(d.Bad) > 0 {
		p.heading("cli.log.bad")
		for _, b := range d.Bad[:min(len(d.Bad), shownBad)] {
			fmt.Fprintln(p.out, c.S("cli.log.bad-row", "line", b.Line, "reason", b.Reason, "text", b.Text))
		}
		if more := len(d.Bad) - shownBad; more > 0 {
			fmt.Fprintln(p.out, c.S("cli.log.bad-more", "n", more))
		}
	}
	printUse(p, d.Use)
	printEmissions(p, d.Emission)
}

// questionFlags is the flag that answers a question.
var questionFlags = map[string]string{"date-order": "--time DD/MM/YYYY", "time": "--time seconds", "unit": "--unit °C"}

func printUse(p printer, u *useDoc) {
	if u == nil {
		return
	}
	c := p.say
	p.heading("cli.log.use")
	number := func(v, step float64) quantity.Value { return bareNumber(v, step) }
	fmt.Fprintln(p.out, c.S("cli.log.days", "n", u.Days, "used", u.DaysUsed, "events", number(u.EventsPerDay, 0.1), "hours", number(u.HoursPerDay, 0.1)))
	fmt.Fprintln(p.out, c.S("cli.log.complete", "share", quantity.Pct(u.Complete), "gaps", u.Gaps, "spikes", u.Spikes))
	p.table(func(row func(...string)) {
		for _, e := range u.Events {
			row(e.Start, c.Value(quantity.Value{SI: e.Hours * 3600, Unit: quantity.Hour, Step: 0.1}), c.Value(quantity.C(e.Peak)))
		}
	})
	fmt.Fprintln(p.out, c.S("cli.log.use-how"))
}
