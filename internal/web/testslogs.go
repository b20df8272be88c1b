package web

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/examples"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// A logger file is a record of its own: the file as it came is its attachment,
// its document says how it is to be read.
const logKind = "log"

// logForm is how a logger file is to be read, as the user answered.
type logForm struct {
	File      string            `yaml:"file"`
	Time      string            `yaml:"time,omitempty"`  // layout of the time, where the file leaves it open
	Zone      string            `yaml:"zone,omitempty"`  // local time ahead of UTC
	ClockFast string            `yaml:"clock,omitempty"` // how far the logger's clock was ahead
	Units     map[string]string `yaml:"units,omitempty"` // by column
	Column    string            `yaml:"column,omitempty"`
	Stove     string            `yaml:"stove,omitempty"`
	Household string            `yaml:"household,omitempty"` // a code, not a name
	Role      string            `yaml:"role,omitempty"`      // old or new
	Rule      map[string]string `yaml:"rule,omitempty"`      // of use, where it is not the usual
	Gas       *gasForm          `yaml:"gas,omitempty"`       // the test whose gas it recorded
}

// logRecord is a logger file of the workshop, read.
type logRecord struct {
	ID     string
	Head   workshop.Revision
	Form   logForm
	Sniff  protocol.LogSniff
	Layout protocol.LogLayout
	Log    protocol.Log
	Wrong  message.InputErrors // answers and files that cannot be used
	Usage  *protocol.Usage
	Use    protocol.UseRecord // the same with its readings; empty where Usage is nil
	data   []byte
}

func (b *Bench) loadLog(ctx context.Context, id string) (*logRecord, error) {
	o, err := b.open(ctx, id, logKind)
	if err != nil {
		return nil, err
	}
	l := &logRecord{ID: id, Head: o.Head}
	if err := form.Decode(o.Document, &l.Form); err != nil {
		return nil, err
	}
	for _, a := range o.Head.Attachments {
		if a.Name == l.Form.File {
			l.data, err = b.Workshop.Attachment(ctx, a.SHA256)
		}
	}
	return l, err
}

// read looks at the file, applies the answers, and reads it.
func (l *logRecord) read() error {
	var err error
	if l.Sniff, err = protocol.SniffLog(l.data[:min(len(l.data), logHead)]); err != nil {
		l.complain(err)
		return nil
	}
	l.Layout = l.Sniff.Layout
	l.Layout.Columns = slices.Clone(l.Layout.Columns)
	l.answers()
	if l.Log, err = protocol.ReadLog(bytes.NewReader(l.data), l.Layout); err != nil {
		return err
	}
	return l.use()
}

// logHead is how much of a file the first look takes.
const logHead = 1 << 16

func (l *logRecord) complain(err error) {
	list, _ := message.Complaints(err)
	l.Wrong = append(l.Wrong, list...)
}

// answers puts what the user said into the layout.
func (l *logRecord) answers() {
	for _, q := range slices.Clone(l.Sniff.Questions) {
		if q.Key == "unit" || !slices.Contains(q.Choices, l.Form.Time) {
			continue
		}
		clock := "" // stands behind the date where it has a column of its own
		for _, c := range q.Choices {
			if rest, ok := strings.CutPrefix(l.Layout.Time, c); ok {
				clock = rest
			}
		}
		l.Layout.Time = l.Form.Time + clock
		l.Sniff.Answered(q.Key)
	}
	for i, c := range l.Layout.Columns {
		if u, ok := protocol.LogUnit(l.Form.Units[c.Name]); ok {
			l.Layout.Columns[i].Unit = u
		}
	}
	l.Sniff.Questions = slices.DeleteFunc(l.Sniff.Questions, func(q protocol.LogQuestion) bool {
		return q.Key == "unit" && slices.ContainsFunc(l.Layout.Columns, func(c protocol.LogColumn) bool { return c.Unit != "" && c.Name == q.Text.Args["column"] })
	})
	l.Layout.Zone = l.offset("zone", l.Form.Zone, quantity.Hour, 14*time.Hour)
	l.Layout.ClockFast = l.offset("clock", l.Form.ClockFast, quantity.Minute, 10*365*24*time.Hour)
}

// offset reads a time that may be negative.
func (l *logRecord) offset(field, text string, u quantity.Unit, most time.Duration) time.Duration {
	bare := strings.TrimSpace(strings.ReplaceAll(text, "−", "-"))
	if bare == "" {
		return 0
	}
	sign := 1.0
	if rest, ok := strings.CutPrefix(bare, "-"); ok {
		sign, bare = -1, rest
	}
	si, err := quantity.Parse(strings.TrimPrefix(bare, "+"), quantity.Time, u)
	d := time.Duration(sign * si * float64(time.Second))
	if err != nil || d > most || d < -most {
		l.Wrong = append(l.Wrong, &message.InputError{Field: field, Value: text, Reason: message.T("web.tests.logs.offset"), Try: "2 " + u.Symbol})
		return 0
	}
	return d
}

// column is the column that tells of use: the one chosen, or the first
// temperature.
func (l *logRecord) column() int {
	first := -1
	for i, c := range l.Layout.Columns {
		temperature := c.Unit == "°C" || c.Unit == "°F" || c.Unit == "K"
		if temperature && c.Name == l.Form.Column {
			return i
		}
		if temperature && first < 0 {
			first = i
		}
	}
	return first
}

// use finds the uses of a stove in a record of temperatures with dates.
func (l *logRecord) use() error {
	u, ok := protocol.ReadUse(l.Form.File, l.Log, l.Layout, l.column(), l.rule())
	if !ok {
		return nil
	}
	u.Household, u.Old = strings.TrimSpace(l.Form.Household), l.Form.Role == "old"
	l.Use, l.Usage = u, &u.Usage
	return nil
}

// ruleField is a number of the rule that tells cooking from sun and draught.
type ruleField struct {
	key       string
	unit      quantity.Unit
	low, high float64 // in the unit
	at        func(*protocol.UsageRule) *float64
}

var perMinute = quantity.Unit{Symbol: "K", Dimension: quantity.TemperatureDifference, Factor: 1}

// ruleFields are those numbers, all common practice and the user's to set.
var ruleFields = []ruleField{
	{"rise", quantity.KelvinDiff, 1, 500, func(r *protocol.UsageRule) *float64 { return &r.Rise }},
	{"slope", perMinute, 0.01, 100, func(r *protocol.UsageRule) *float64 { return &r.Slope }},
	{"end", quantity.Percent, 5, 95, func(r *protocol.UsageRule) *float64 { return &r.EndShare }},
	{"merge", quantity.Minute, 0, 600, func(r *protocol.UsageRule) *float64 { return &r.MergeGap }},
	{"shortest", quantity.Minute, 0, 600, func(r *protocol.UsageRule) *float64 { return &r.Shortest }},
}

// rule is the usual rule with what the user set.
func (l *logRecord) rule() protocol.UsageRule {
	r := protocol.DefaultUsageRule
	for _, f := range ruleFields {
		text := strings.TrimSpace(l.Form.Rule[f.key])
		if text == "" {
			continue
		}
		si, err := quantity.Parse(text, f.unit.Dimension, f.unit)
		if err != nil || si < f.unit.SI(f.low) || si > f.unit.SI(f.high) {
			l.Wrong = append(l.Wrong, &message.InputError{Field: "rule." + f.key, Value: text, Reason: message.T("form.out-of-range"),
				Allowed: message.T("form.allowed-range", "low", quantity.Value{SI: f.unit.SI(f.low), Unit: f.unit}, "high", quantity.Value{SI: f.unit.SI(f.high), Unit: f.unit}), Try: f.usual()})
			continue
		}
		*f.at(&r) = si
	}
	r.DayStartsAt = -int64(l.Layout.Zone.Seconds())
	return r
}

// usual is the number of the usual rule as it is written.
func (f ruleField) usual() string {
	r := protocol.DefaultUsageRule
	return shortly(*f.at(&r), f.unit).String()
}

// logPage is one logger file: how it is read, and what it says.
type logPage struct {
	frame
	*logRecord
	Columns []logColumn
	Preview [][]string
	Picture template.HTML
	Tests   []listedTest
	Rules   []ruleRow
	Rows    int
	From    string
	To      string
	Events  []logEvent
	Gases   []gasChoice // empty where no column holds a gas
	Fires   []gasFire
	Gased   []listedTest // tests with fires that a gas record may be of
}

type logColumn struct {
	protocol.LogColumn
	Count     int
	Low, High string
	Units     []option
	Asked     bool // the file does not say the unit
	Use       bool // it tells of use
}

type ruleRow struct{ Key, Text, Usual string }

type logEvent struct {
	From, To string
	Hours    quantity.Value
	Peak     quantity.Value
}

// shownRows limits the lists of a page; the counts go on.
const shownRows = 50

// BadShown are the first rows that could not be read.
func (p logPage) BadShown() []protocol.BadRow { return p.Log.Bad[:min(len(p.Log.Bad), shownRows)] }

// EventsShown are the first uses.
func (p logPage) EventsShown() []logEvent { return p.Events[:min(len(p.Events), shownRows)] }

// Roles are the parts a stove plays in a household.
func (logPage) Roles() []string { return []string{"new", "old"} }

// PerDay, Hours and Days are what a use monitor is asked.

// PerDay is uses a day.
func (p logPage) PerDay() quantity.Value {
	return quantity.Value{SI: p.Usage.EventsPerDay(), Unit: quantity.One, Step: 0.1}
}

// HoursADay is hours of use a day.
func (p logPage) HoursADay() quantity.Value {
	return quantity.Value{SI: p.Usage.HoursPerDay() * 3600, Unit: quantity.Hour, Step: 0.1}
}

// DayShare is the share of days with a use.
func (p logPage) DayShare() quantity.Value { return quantity.Pct(p.Usage.DaysInUse()) }

// CompleteShare is how much of the time has readings.
func (p logPage) CompleteShare() quantity.Value { return quantity.Pct(p.Usage.Complete) }

func (b *Bench) logPage(ctx context.Context, l *logRecord) (logPage, error) {
	p := logPage{frame: b.frame(testsStage, "web.tests.logs.title"), logRecord: l, Preview: l.Sniff.Preview, Rows: len(l.Log.Times)}
	p.Last = b.last(ctx)
	use := l.column()
	for i, c := range l.Layout.Columns {
		row := logColumn{LogColumn: c, Use: i == use, Asked: l.Sniff.Layout.Columns[i].Unit == ""}
		for _, u := range protocol.LogUnits {
			row.Units = append(row.Units, option{Word: u, Chosen: u == c.Unit})
		}
		if len(l.Log.Values) > i {
			n, low, high := l.Log.Span(i)
			row.Count, row.Low, row.High = n, strconv.FormatFloat(low, 'g', 5, 64), strconv.FormatFloat(high, 'g', 5, 64)
		}
		p.Columns = append(p.Columns, row)
	}
	if n := len(l.Log.Times); n > 0 {
		p.From, p.To = l.Layout.Clock(l.Log.Times[0]/1e9), l.Layout.Clock(l.Log.Times[n-1]/1e9)
	}
	for _, f := range ruleFields {
		p.Rules = append(p.Rules, ruleRow{f.key, l.Form.Rule[f.key], f.usual()})
	}
	if l.Usage != nil {
		p.Picture = svgOf(figure.Temperatures(l.Use.Samples, *l.Usage, l.Layout, b.Catalogue, pictureWidth))
		for _, e := range l.Usage.Events {
			p.Events = append(p.Events, logEvent{l.Layout.Clock(e.Start), l.Layout.Clock(e.End), quantity.Value{SI: float64(e.End - e.Start), Unit: quantity.Hour, Step: 0.1}, quantity.Value{SI: e.Peak, Unit: quantity.Celsius, Step: 1}})
		}
	}
	var err error
	if p.Tests, err = b.allTests(ctx); err != nil {
		return p, err
	}
	for _, t := range p.Tests {
		if readsGas(t.Kind) {
			p.Gased = append(p.Gased, t)
		}
	}
	if l.Form.Gas != nil || len(protocol.FindGases(l.Layout.Columns)) > 0 {
		p.Gases = l.gasChoices()
	}
	p.Fires, err = b.gasFires(ctx, l)
	return p, err
}

func (b *Bench) showLog(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	l, err := b.loadLog(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if err := l.read(); err != nil {
		return err
	}
	p, err := b.logPage(ctx, l)
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "log", p)
	return nil
}

// writeLog takes the answers about a file, and attaches it to a test.
func (b *Bench) writeLog(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := r.ParseForm(); err != nil {
		return err
	}
	l, err := b.loadLog(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if id := r.PostForm.Get("attach"); id != "" && r.PostForm.Get("do") == "attach" {
		if err := b.rest(ctx); err != nil {
			return err
		}
		t, err := b.loadTest(ctx, id)
		if err != nil {
			return err
		}
		if _, err := b.Workshop.Attach(ctx, t.ID, l.Form.File, "text/csv", l.data, b.by(ctx, "")); err != nil {
			return err
		}
		http.Redirect(w, r, "/tests/"+t.ID, http.StatusSeeOther)
		return nil
	}
	l.Form.take(r)
	doc, err := form.Encode(l.Form)
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Save(ctx, workshop.Edit{Record: l.ID, Base: l.Head.ID, Name: l.Head.Name, Content: doc, By: b.by(ctx, "")}); err != nil {
		return err
	}
	place := "/logs/" + l.ID
	if r.PostForm.Get("do") == "gas" {
		if err := l.read(); err != nil {
			return err
		}
		if place, err = b.keepGas(ctx, l); err != nil {
			return err
		}
	}
	http.Redirect(w, r, place, http.StatusSeeOther)
	return nil
}

// take writes the answers of a page into the form.
func (f *logForm) take(r *http.Request) {
	said := func(name string) string { return tidy(strings.TrimSpace(r.PostForm.Get(name))) }
	for name, at := range map[string]*string{"zone": &f.Zone, "clock": &f.ClockFast, "column": &f.Column, "stove": &f.Stove, "household": &f.Household, "role": &f.Role, "time": &f.Time} {
		if r.PostForm.Has(name) {
			*at = said(name)
		}
	}
	f.takeGas(r)
	f.Units, f.Rule = map[string]string{}, map[string]string{}
	for name := range r.PostForm {
		if column, ok := strings.CutPrefix(name, "unit:"); ok && said(name) != "" {
			f.Units[tidy(column)] = said(name)
		}
		if key, ok := strings.CutPrefix(name, "rule:"); ok && said(name) != "" {
			f.Rule[tidy(key)] = said(name)
		}
	}
}

// logsPage lists the logger files, and sums up use where there are households.
type logsPage struct {
	frame
	Logs       []*logRecord
	Complaints message.InputErrors
	Stacking   *protocol.Stacking
	Summed     bool // the sum was asked for
	Few        bool // and there are too few households for it
}

// Shares are what a sum of households says.

// OldShare is the share of time on the old stove.
func (p logsPage) OldShare() quantity.Value { return quantity.Pct(p.Stacking.OldShare) }

// NewDays is the share of days with the new stove in use.
func (p logsPage) NewDays() quantity.Value { return quantity.Pct(p.Stacking.NewDays) }

// Ends are the ends of an interval of a share.
func (p logsPage) Ends(low, high float64) string {
	return fmt.Sprintf("%.0f … %.0f %%", 100*low, 100*high)
}

func (b *Bench) logsPage(ctx context.Context, sum bool) (logsPage, error) {
	p := logsPage{frame: b.frame(testsStage, "web.tests.logs.title"), Summed: sum}
	p.Last = b.last(ctx)
	records, err := b.Workshop.List(ctx, workshop.Filter{Kind: logKind})
	if err != nil {
		return p, err
	}
	for _, rec := range records {
		l, err := b.loadLog(ctx, rec.ID)
		if err != nil {
			return p, err
		}
		p.Logs = append(p.Logs, l)
	}
	if sum {
		return p, p.stack()
	}
	return p, nil
}

// stack pairs the loggers of the old and the new stove of each household.
func (p *logsPage) stack() error {
	uses, err := p.uses()
	if err != nil {
		return err
	}
	s, err := protocol.StackRecords(uses, protocol.DefaultSettings.Level)
	if p.Few = err != nil; !p.Few {
		p.Stacking = &s
	}
	return nil
}

// uses are the records in which uses of a stove could be looked for; of those that are
// a household's, only those that say which stove they are of.
func (p *logsPage) uses() ([]protocol.UseRecord, error) {
	var list []protocol.UseRecord
	for _, l := range p.Logs {
		if err := l.read(); err != nil {
			return nil, err
		}
		if l.Usage == nil {
			continue
		}
		u := l.Use
		if l.Form.Role == "" {
			u.Household = ""
		}
		list = append(list, u)
	}
	return list, nil
}

func (b *Bench) showLogs(w http.ResponseWriter, r *http.Request) error {
	p, err := b.logsPage(r.Context(), r.URL.Query().Has("sum"))
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "logs", p)
	return nil
}

// newLog takes a logger file. A file in which no table is found is not kept.
func (b *Bench) newLog(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if r.FormValue("example") == "households" {
		if err := b.exampleHouseholds(ctx); err != nil {
			return err
		}
		http.Redirect(w, r, "/logs?sum=1", http.StatusSeeOther)
		return nil
	}
	name, data, err := sentFile(r)
	if err == nil {
		_, err = protocol.SniffLog(data[:min(len(data), logHead)])
	}
	if complaints, ok := message.Complaints(err); ok {
		p, pageErr := b.logsPage(ctx, false)
		if pageErr != nil {
			return pageErr
		}
		p.Complaints = complaints
		b.show(w, http.StatusUnprocessableEntity, "logs", p)
		return nil
	}
	if err != nil {
		return err
	}
	id, err := b.keepLog(ctx, logForm{File: name}, data)
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/logs/"+id, http.StatusSeeOther)
	return nil
}

func (b *Bench) keepLog(ctx context.Context, f logForm, data []byte) (string, error) {
	doc, err := form.Encode(f)
	if err != nil {
		return "", err
	}
	rec, err := b.Workshop.Save(ctx, workshop.Edit{Kind: logKind, Name: f.File, Content: doc, By: b.by(ctx, "")})
	if err != nil {
		return "", err
	}
	_, err = b.Workshop.Attach(ctx, rec.Record, f.File, "text/csv", data, b.by(ctx, ""))
	return rec.Record, err
}

// sentFile is a file that was sent, with its name.
func sentFile(r *http.Request) (name string, data []byte, err error) {
	if r.FormValue("example") != "" {
		return exampleLog()
	}
	file, header, err := r.FormFile("file")
	if err != nil {
		return "", nil, &message.InputError{Field: "file", Reason: message.T("web.tests.logs.no-file"), Try: "logger.csv"}
	}
	defer file.Close()
	data, err = io.ReadAll(file)
	return plainName(header), data, err
}

// plainName is a file's own name, fit to be kept.
func plainName(h *multipart.FileHeader) string {
	name := strings.TrimSpace(tidy(path.Base(strings.ReplaceAll(h.Filename, "\\", "/"))))
	if name == "" || name == "." || name == "/" {
		return "logger.csv"
	}
	return name
}

func (b *Bench) deleteLog(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	l, err := b.loadLog(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, l.ID, l.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/logs", http.StatusSeeOther)
	return nil
}

// Cells, Mark, TimeSample and FirstLine say how the file is read.

// Cells is the sign between the cells, by its name where it cannot be seen.
func (p logPage) Cells() any {
	switch p.Layout.Delimiter {
	case '\t':
		return message.T("web.tests.logs.tab")
	case ' ':
		return message.T("web.tests.logs.blank")
	}
	return string(p.Layout.Delimiter)
}

// Mark is the decimal mark.
func (p logPage) Mark() string { return string(p.Layout.Decimal) }

// TimeSample is the way the time is written, by the example of one moment.
func (p logPage) TimeSample() any {
	switch p.Layout.Time {
	case "seconds", "minutes", "unix":
		return message.T("web.tests.logs.in-" + p.Layout.Time)
	}
	moment := time.Date(2026, 5, 31, 13, 45, 0, 0, time.UTC)
	return message.T("web.tests.logs.like", "sample", moment.Format(p.Layout.Time))
}

// FirstLine is the line of the first row, counted from one.
func (p logPage) FirstLine() int { return p.Layout.Skip + 1 }

// TimeWords say what a way of writing the time means.
func (logPage) TimeWords(layout string) message.Text {
	switch {
	case strings.HasPrefix(layout, "02/01"):
		return message.T("web.tests.logs.day-first")
	case strings.HasPrefix(layout, "01/02"):
		return message.T("web.tests.logs.month-first")
	}
	return message.T("web.tests.logs.in-" + layout)
}

// exampleLog is the invented logger file that comes with the program.
func exampleLog() (string, []byte, error) {
	const name = "stove-body.csv"
	data, err := examples.Tests.ReadFile("tests/logger/" + name)
	return name, data, err
}

// exampleHouseholds opens the invented records of households that use an old
// and a new stove side by side.
func (b *Bench) exampleHouseholds(ctx context.Context) error {
	for _, role := range (logPage{}).Roles() {
		dir := "tests/loggers/" + role
		files, err := examples.Tests.ReadDir(dir)
		if err != nil {
			return err
		}
		for _, file := range files {
			data, err := examples.Tests.ReadFile(dir + "/" + file.Name())
			if err != nil {
				return err
			}
			code := strings.ToUpper(strings.TrimSuffix(file.Name(), path.Ext(file.Name())))
			if _, err := b.keepLog(ctx, logForm{File: role + "-" + file.Name(), Household: code, Role: role}, data); err != nil {
				return err
			}
		}
	}
	return nil
}
