package bench

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"stovewright/message"
)

// A logger file is any table of text: one time a row, one or more columns of
// numbers. What cannot be told from the file is asked; what cannot be read is
// listed with its line; nothing is dropped silently.

// LogColumn is one column of numbers.
type LogColumn struct {
	Index int    // in the row, from 0
	Name  string // of the heading, or "column 3"
	Unit  string // one of [LogUnits], or "" when it is not said
}

// LogLayout is how a logger file is to be read.
type LogLayout struct {
	Delimiter  rune // , ; tab | or blank
	Decimal    byte // . or ,
	Skip       int  // lines before the first row
	TimeColumn int
	DateColumn int           // -1 when date and time stand together
	Time       string        // Go layout, or "seconds", "minutes" or "unix"
	Zone       time.Duration // local time ahead of UTC, for times without a zone
	ClockFast  time.Duration // how far the logger's clock was ahead; taken off
	Columns    []LogColumn
}

// LogQuestion is something that the file alone does not tell.
type LogQuestion struct {
	Key     string // "date-order", "time", "unit"
	Text    message.Text
	Choices []string
}

// LogSniff is a first look at a logger file.
type LogSniff struct {
	Layout    LogLayout
	Questions []LogQuestion
	Preview   [][]string // the first rows, cut into columns
}

// sniffLines is how many lines the first look takes.
const sniffLines = 60

// SniffLog looks at the beginning of a logger file. The error is a
// [*message.InputError] when no table of numbers is found.
func SniffLog(head []byte) (LogSniff, error) {
	lines := strings.Split(strings.ReplaceAll(string(bytes.TrimPrefix(head, []byte("\ufeff"))), "\r\n", "\n"), "\n")
	if len(lines) > sniffLines {
		lines = lines[:sniffLines]
	} else if len(lines) > 1 {
		lines = lines[:len(lines)-1] // the last may be cut off, or is empty
	}
	best, bestRows := LogSniff{}, 0
	for _, delimiter := range []rune{';', '\t', ',', '|', ' '} {
		for _, decimal := range []byte{'.', ','} {
			if delimiter == ',' && decimal == ',' {
				continue
			}
			if s, rows := sniff(lines, delimiter, decimal); rows > bestRows {
				best, bestRows = s, rows
			}
		}
	}
	if bestRows < 2 {
		return LogSniff{}, &message.InputError{Field: "file", Value: clip(lines[0]), Reason: message.T("bench.log.no-table"), Try: "2026-05-04 10:02:15,24.5"}
	}
	return best, nil
}

// sniff tries one way of cutting; rows is how many lines it reads.
func sniff(lines []string, delimiter rune, decimal byte) (s LogSniff, rows int) {
	s.Layout = LogLayout{Delimiter: delimiter, Decimal: decimal, DateColumn: -1}
	start, width := -1, 0
	var cells [][]string
	for i, line := range lines {
		c := cut(line, delimiter)
		if start < 0 && hasTimeAndNumber(c, decimal) {
			start, width = i, len(c)
		}
		if start >= 0 && len(c) == width {
			cells = append(cells, c)
		}
	}
	if start < 0 {
		return s, 0
	}
	s.Layout.Skip = start
	if !s.findTime(cells) {
		return s, 0
	}
	var heading []string
	if start > 0 {
		heading = cut(lines[start-1], delimiter)
	}
	s.findColumns(cells, heading)
	if len(s.Layout.Columns) == 0 {
		return s, 0
	}
	s.Preview = cells[:min(len(cells), 10)]
	return s, len(cells) * len(s.Layout.Columns)
}

func hasTimeAndNumber(cells []string, decimal byte) bool {
	if len(cells) < 2 {
		return false
	}
	numbers, times := 0, 0
	for _, c := range cells {
		if _, ok := logNumber(c, decimal); ok {
			numbers++
		} else if len(timeLayouts(c)) > 0 {
			times++
		}
	}
	return numbers >= 1 && (times >= 1 || numbers >= 2)
}

// clockLayouts are times of day, dateLayouts dates; they may stand together.
var (
	clockLayouts = []string{"15:04:05", "15:04", "3:04:05 PM", "3:04 PM"}
	dateLayouts  = []string{"2006-01-02", "2006/01/02", "02/01/2006", "01/02/2006", "02.01.2006", "02-01-2006", "02/01/06", "01/02/06"}
)

// timeLayouts are all layouts that read a text.
func timeLayouts(text string) []string {
	text = strings.TrimSpace(text)
	if text == "" || text[0] < '0' || text[0] > '9' {
		return nil
	}
	var fit []string
	try := func(layout string) {
		if _, err := time.Parse(layout, text); err == nil {
			fit = append(fit, layout)
		}
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04"} {
		try(layout)
	}
	for _, d := range dateLayouts {
		for _, c := range clockLayouts {
			try(d + " " + c)
		}
	}
	for _, layout := range append(append([]string{}, dateLayouts...), clockLayouts...) {
		try(layout)
	}
	return fit
}

// findTime decides which column holds the time and how it is written.
func (s *LogSniff) findTime(cells [][]string) bool {
	fits := make([][]string, len(cells[0]))
	for column := range fits {
		fits[column] = commonLayouts(cells, column)
	}
	l := &s.Layout
	for column, f := range fits {
		switch {
		case len(f) == 0:
		case isDate(f[0]) && !isClock(f[0]):
			l.DateColumn = column
		default:
			l.TimeColumn, l.Time = column, f[0]
			s.askDateOrder(f)
			if isDate(f[0]) {
				return true
			}
		}
	}
	if l.Time != "" && l.DateColumn >= 0 {
		dates := fits[l.DateColumn]
		l.Time = dates[0] + " " + l.Time
		s.askDateOrder(dates)
		return true
	}
	if l.Time != "" {
		return true // a clock without a date: times of one day
	}
	return s.elapsed(cells)
}

func isDate(layout string) bool  { return strings.Contains(layout, "06") }
func isClock(layout string) bool { return strings.Contains(layout, ":") }

// commonLayouts are those that read a column in every row.
func commonLayouts(cells [][]string, column int) []string {
	fit := timeLayouts(cells[0][column])
	for _, row := range cells[1:] {
		text := strings.TrimSpace(row[column])
		fit = slices.DeleteFunc(fit, func(layout string) bool {
			_, err := time.Parse(layout, text)
			return err != nil
		})
		if len(fit) == 0 {
			break
		}
	}
	return fit
}

// askDateOrder asks when day and month could be exchanged.
func (s *LogSniff) askDateOrder(fits []string) {
	var choices []string
	for _, f := range fits {
		if strings.HasPrefix(f, "02/01") || strings.HasPrefix(f, "01/02") {
			choices = append(choices, f)
		}
	}
	if len(choices) > 1 {
		s.Questions = append(s.Questions, LogQuestion{Key: "date-order", Text: message.T("bench.log.ask-date-order"), Choices: choices})
	}
}

// elapsed takes the first column of rising numbers for time since the start.
func (s *LogSniff) elapsed(cells [][]string) bool {
	for column := range cells[0] {
		last, rising := math.Inf(-1), true
		for _, row := range cells {
			v, ok := logNumber(row[column], s.Layout.Decimal)
			rising = rising && ok && v > last
			last = v
		}
		if !rising {
			continue
		}
		s.Layout.TimeColumn, s.Layout.Time = column, "seconds"
		if last > 1e9 && last < 4e9 {
			s.Layout.Time = "unix"
			return true
		}
		s.Questions = append(s.Questions, LogQuestion{Key: "time", Text: message.T("bench.log.ask-elapsed"), Choices: []string{"seconds", "minutes"}})
		return true
	}
	return false
}

// logUnits are units as headings write them.
var logUnits = []struct{ in, unit string }{{"m3/min", "m³/min"}, {"m³/min", "m³/min"}, {"m3/h", "m³/h"}, {"m³/h", "m³/h"}, {"m3/s", "m³/s"}, {"m³/s", "m³/s"}, {"(l/s)", "L/s"}, {"[l/s]", "L/s"}, {"(l/min)", "L/min"}, {"[l/min]", "L/min"}, {"°c", "°C"}, {"deg c", "°C"}, {"celsius", "°C"}, {"°f", "°F"}, {"fahrenheit", "°F"}, {"ppm", "ppm"}, {"mg/m3", "mg/m³"}, {"mg/m³", "mg/m³"},
	{"ug/m3", "µg/m³"}, {"µg/m3", "µg/m³"}, {"µg/m³", "µg/m³"}, {"(c)", "°C"}, {"[c]", "°C"}, {"(f)", "°F"}, {"(k)", "K"}, {"kelvin", "K"}, {"(kg)", "kg"}, {"(g)", "g"}, {"%", "%"}}

// findColumns takes every other column that holds numbers.
func (s *LogSniff) findColumns(cells [][]string, heading []string) {
	for column := range cells[0] {
		if column == s.Layout.TimeColumn || column == s.Layout.DateColumn {
			continue
		}
		numbers := 0
		counting := true
		for i, row := range cells {
			v, ok := logNumber(row[column], s.Layout.Decimal)
			if ok {
				numbers++
			}
			first, _ := logNumber(cells[0][column], s.Layout.Decimal)
			counting = counting && ok && v == first+float64(i)
		}
		if numbers*2 < len(cells) || column == 0 && counting && len(cells) > 2 { // not numbers, or a running number
			continue
		}
		c := LogColumn{Index: column, Name: "column " + strconv.Itoa(column+1)}
		if column < len(heading) && strings.TrimSpace(heading[column]) != "" {
			c.Name = strings.Trim(strings.TrimSpace(heading[column]), `"`)
			lower := strings.ToLower(c.Name)
			for _, u := range logUnits {
				if strings.Contains(lower, u.in) {
					c.Unit = u.unit
					break
				}
			}
		}
		if c.Unit == "" {
			s.Questions = append(s.Questions, LogQuestion{Key: "unit", Text: message.T("bench.log.ask-unit", "column", c.Name), Choices: LogUnits})
		}
		s.Layout.Columns = append(s.Layout.Columns, c)
	}
}

// cut divides a line; cells in double quotes may hold the delimiter.
func cut(line string, delimiter rune) []string {
	if delimiter == ' ' {
		return strings.Fields(line)
	}
	if !strings.Contains(line, `"`) {
		return strings.Split(line, string(delimiter))
	}
	var cells []string
	var cell strings.Builder
	quoted := false
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
		case r == delimiter && !quoted:
			cells = append(cells, cell.String())
			cell.Reset()
		default:
			cell.WriteRune(r)
		}
	}
	return append(cells, cell.String())
}

func logNumber(text string, decimal byte) (float64, bool) {
	text = strings.TrimSpace(text)
	if decimal == ',' {
		if strings.Contains(text, ".") {
			return 0, false
		}
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// BadRow is a line that could not be used.
type BadRow struct {
	Line   int // from 1
	Text   string
	Reason message.Text
}

// Log is a logger file that has been read. Values holds one list a column of
// the layout, in the column's own unit, NaN where a cell was empty.
type Log struct {
	Times  []int64 // nanoseconds since 1970, or since the start for elapsed times
	Values [][]float64
	Lines  []int32 // of each row in the file, from 1
	Bad    []BadRow
}

// badRowsKept limits the list of bad rows; the count goes on.
const badRowsKept = 1000

// ReadLog reads a logger file by a layout. Rows that cannot be read, or whose
// time does not go on, are listed with their line. The error is for a layout
// without columns and for a reader that fails.
func ReadLog(source io.Reader, l LogLayout) (Log, error) {
	if len(l.Columns) == 0 || l.Time == "" {
		return Log{}, fmt.Errorf("bench: a logger layout without a time or a column")
	}
	log := Log{Values: make([][]float64, len(l.Columns))}
	scanner := bufio.NewScanner(source)
	scanner.Buffer(make([]byte, 1<<16), 1<<20)
	p := newRowParser(l)
	for line := 1; scanner.Scan(); line++ {
		if line <= l.Skip {
			continue
		}
		row := strings.TrimRight(scanner.Text(), "\r")
		if strings.TrimSpace(row) == "" {
			continue
		}
		log.add(p, line, row)
	}
	if err := scanner.Err(); err != nil {
		return Log{}, fmt.Errorf("bench: logger file: %w", err)
	}
	return log, nil
}

func (g *Log) add(p *rowParser, line int, row string) {
	at, reason := p.parse(row)
	if reason == "" && len(g.Times) > 0 && at <= g.Times[len(g.Times)-1] {
		reason = "bench.log.time-back"
	}
	if reason != "" {
		if len(g.Bad) < badRowsKept {
			g.Bad = append(g.Bad, BadRow{Line: line, Text: clip(row), Reason: message.T(reason)})
		}
		return
	}
	g.Times, g.Lines = append(g.Times, at), append(g.Lines, int32(line))
	for i, v := range p.numbers {
		g.Values[i] = append(g.Values[i], v)
	}
}

// rowParser reads the rows of one layout without making garbage.
type rowParser struct {
	layout  LogLayout
	cells   []string
	numbers []float64

	lastClock, days int64 // of times without a date

	dateLength int    // of layouts "date clock" with a clock of whole seconds; 0 for others
	date       string // the date of the row before, and its midnight
	midnight   int64
}

func newRowParser(l LogLayout) *rowParser {
	p := &rowParser{layout: l, numbers: make([]float64, len(l.Columns))}
	if date, clock, ok := strings.Cut(l.Time, " "); ok && isDate(date) && clock == "15:04:05" {
		p.dateLength = len(date)
	}
	return p
}

// parse gives the time of a row and fills numbers; reason is a message id when
// the row cannot be read.
func (p *rowParser) parse(row string) (at int64, reason string) {
	l := &p.layout
	p.cells = appendCells(p.cells[:0], row, l.Delimiter)
	need := max(l.TimeColumn, l.DateColumn)
	for _, c := range l.Columns {
		need = max(need, c.Index)
	}
	if len(p.cells) <= need {
		return 0, "bench.log.short-row"
	}
	text := strings.TrimSpace(p.cells[l.TimeColumn])
	if l.DateColumn >= 0 {
		text = strings.TrimSpace(p.cells[l.DateColumn]) + " " + text
	}
	at, ok := p.time(text)
	if !ok {
		return 0, "bench.log.bad-time"
	}
	for i, c := range l.Columns {
		cell := strings.TrimSpace(p.cells[c.Index])
		p.numbers[i] = math.NaN()
		if cell == "" {
			continue
		}
		if p.numbers[i], ok = logNumber(cell, l.Decimal); !ok {
			return 0, "bench.log.bad-number"
		}
	}
	return at, ""
}

// appendCells cuts a row into a list that is used again and again.
func appendCells(cells []string, row string, delimiter rune) []string {
	if delimiter == ' ' || strings.IndexByte(row, '"') >= 0 {
		return append(cells, cut(row, delimiter)...)
	}
	d := byte(delimiter)
	for {
		i := strings.IndexByte(row, d)
		if i < 0 {
			return append(cells, row)
		}
		cells = append(cells, row[:i])
		row = row[i+1:]
	}
}

// time reads a time in nanoseconds.
func (p *rowParser) time(text string) (int64, bool) {
	l := &p.layout
	switch l.Time {
	case "seconds", "unix", "minutes":
		v, ok := logNumber(text, l.Decimal)
		scale := 1e9
		if l.Time == "minutes" {
			scale = 60e9
		}
		if v *= scale; !ok || math.Abs(v) > 9e18 {
			return 0, false
		}
		return int64(v) - int64(l.ClockFast), true
	}
	if n := p.dateLength; n > 0 && p.date != "" && len(text) == n+9 && text[:n] == p.date {
		if seconds, ok := wholeSeconds(text[n+1:]); ok {
			return p.midnight + seconds*int64(time.Second), true
		}
	}
	t, err := time.Parse(l.Time, text)
	if err != nil {
		return 0, false
	}
	if !isDate(l.Time) {
		return p.clock(t) - int64(l.ClockFast), true
	}
	if t.Year() < 1900 || t.Year() > 2200 { // nanoseconds reach no further
		return 0, false
	}
	at := t.UnixNano() - int64(l.Zone) - int64(l.ClockFast)
	if n := p.dateLength; n > 0 && len(text) == n+9 {
		// rows of one day share their date, and need no parsing of it
		p.date = strings.Clone(text[:n])
		p.midnight = at - int64(t.Hour())*int64(time.Hour) - int64(t.Minute())*int64(time.Minute) - int64(t.Second())*int64(time.Second)
	}
	return at, true
}

// wholeSeconds reads "15:04:05" as seconds after midnight.
func wholeSeconds(s string) (int64, bool) {
	if len(s) != 8 || s[2] != ':' || s[5] != ':' {
		return 0, false
	}
	var part [3]int64
	for i := range part {
		a, b := s[3*i]-'0', s[3*i+1]-'0'
		if a > 9 || b > 9 {
			return 0, false
		}
		part[i] = int64(a)*10 + int64(b)
	}
	return (part[0]*60+part[1])*60 + part[2], part[0] < 24 && part[1] < 60 && part[2] < 60
}

// clock counts times of day without a date on over midnight.
func (p *rowParser) clock(t time.Time) int64 {
	const day = 24 * int64(time.Hour)
	at := int64(t.Hour())*int64(time.Hour) + int64(t.Minute())*int64(time.Minute) + int64(t.Second())*int64(time.Second)
	if at < p.lastClock-day/2 {
		p.days++
	}
	p.lastClock = at
	return at + p.days*day
}

// Temperatures turns one column of a log into samples for [UsageRule.Detect],
// leaving out empty cells. ok is false when the column is no temperature.
func (g Log) Temperatures(l LogLayout, column int) (samples []TemperatureSample, ok bool) {
	if column < 0 || column >= len(l.Columns) {
		return nil, false
	}
	factor, offset := 1.0, 0.0
	switch l.Columns[column].Unit {
	case "°C":
		offset = zeroC
	case "°F":
		factor, offset = 5.0/9, zeroC-32*5.0/9
	case "K":
	default:
		return nil, false
	}
	samples = make([]TemperatureSample, 0, len(g.Times))
	for i, at := range g.Times {
		if v := g.Values[column][i]; !math.IsNaN(v) {
			samples = append(samples, TemperatureSample{At: at / 1e9, Kelvin: v*factor + offset})
		}
	}
	return samples, true
}

// LogUnits are the units that a column may have.
var LogUnits = []string{"°C", "°F", "K", "ppm", "%", "mg/m³", "µg/m³", "m³/min", "m³/h", "m³/s", "L/s", "L/min", "kg", "g"}

// LogUnit finds a unit as people type it: "C", "mg/m3".
func LogUnit(text string) (string, bool) {
	plain := func(s string) string {
		return strings.NewReplacer("°", "", "³", "3", "µ", "u", " ", "").Replace(strings.ToLower(s))
	}
	for _, u := range LogUnits {
		if plain(u) == plain(text) {
			return u, true
		}
	}
	return "", false
}

// Answered takes a question off the list.
func (s *LogSniff) Answered(key string) {
	s.Questions = slices.DeleteFunc(s.Questions, func(q LogQuestion) bool { return q.Key == key })
}

// Drop takes the questions of a kind off the list that are not about a column.
func (s *LogSniff) Drop(key, column string) {
	s.Questions = slices.DeleteFunc(s.Questions, func(q LogQuestion) bool { return q.Key == key && q.Text.Args["column"] != column })
}

// Span is how many cells of a column hold a number, and the lowest and highest,
// NaN for an empty column.
func (g Log) Span(column int) (count int, low, high float64) {
	low, high = math.NaN(), math.NaN()
	for _, v := range g.Values[column] {
		if math.IsNaN(v) {
			continue
		}
		if count++; count == 1 {
			low, high = v, v
		}
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return count, low, high
}

// Clock writes a moment of a record (s) as the local time of the logger, or as
// hours and minutes since the start for elapsed times.
func (l LogLayout) Clock(at int64) string {
	t := time.Unix(at, 0).UTC().Add(l.Zone)
	if !isDate(l.Time) && l.Time != "unix" {
		return fmt.Sprintf("%d:%02d", at/3600, at%3600/60)
	}
	return t.Format("2006-01-02 15:04")
}

// TimeWords is how times are written, as people spell it: "YYYY-MM-DD hh:mm".
func (l LogLayout) TimeWords() string { return layoutWords(l.Time) }

// ChoiceWords are the choices of a question as people spell them.
func (q LogQuestion) ChoiceWords() []string {
	list := make([]string, len(q.Choices))
	for i, c := range q.Choices {
		list[i] = c
		if q.Key == "date-order" {
			list[i] = layoutWords(c)
		}
	}
	return list
}

func layoutWords(layout string) string {
	return strings.NewReplacer("2006", "YYYY", "06", "YY", "01", "MM", "02", "DD", "15", "hh", "04", "mm", "05", "ss", "3:", "h:").Replace(layout)
}
