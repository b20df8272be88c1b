package bench

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// A gas record is a logger's table of a hood or plume. It is the same table that
// every logger writes; what is added is which column holds which reading, when the
// background was read and when the fire burnt. From it the samples of an emission
// sheet are written, so that the sheet alone is the test.

// GasReading is what an instrument of a hood or plume reads.
type GasReading string

// The readings of a gas record.
const (
	GasCO          GasReading = "co"
	GasCO2         GasReading = "co2"
	GasCH4         GasReading = "ch4"
	GasParticles   GasReading = "particles"
	GasFlow        GasReading = "flow"        // of the duct
	GasTemperature GasReading = "temperature" // at which flow and volumes are stated
)

// GasReadings are all of them, in the order of the emission sheet.
var GasReadings = []GasReading{GasCO, GasCO2, GasCH4, GasParticles, GasFlow, GasTemperature}

// Words name the reading.
func (g GasReading) Words() message.Text { return message.T("bench.gas." + string(g)) }

// gasUnits are what a column of a reading may be in, the usual unit of the sheet
// first.
var gasUnits = map[GasReading][]string{
	GasCO: {"ppm", "%"}, GasCO2: {"ppm", "%"}, GasCH4: {"ppm", "%"}, GasParticles: {"mg/m³", "µg/m³"},
	GasFlow: {"m³/min", "m³/h", "m³/s", "L/s", "L/min"}, GasTemperature: {"°C", "°F", "K"},
}

// logScale turns a number of a logger's unit into SI.
var logScale = map[string]quantity.Unit{
	"ppm": quantity.PPM, "%": quantity.Percent, "mg/m³": quantity.MgPerM3, "µg/m³": {Factor: 1e-9}, "°C": quantity.Celsius, "°F": {Factor: 5.0 / 9, Offset: zeroC - 32*5.0/9}, "K": {Factor: 1},
	"m³/min": quantity.M3PerMin, "m³/h": {Factor: 1.0 / 3600}, "m³/s": {Factor: 1}, "L/s": {Factor: 1e-3}, "L/min": {Factor: 1e-3 / 60},
}

// GasRecord is a logger's table with what its columns hold.
type GasRecord struct {
	Log     Log
	Layout  LogLayout
	Columns map[GasReading]int // place in Layout.Columns
	Flow    Given              // m³/s of the duct, where no column has it

	Temperature, Pressure string // of the gas, for sheets that have none; as written
}

// FindGases recognises columns by their headings and units; a reading that two
// columns could hold is left to be asked.
func FindGases(columns []LogColumn) map[GasReading]int {
	found, twice := map[GasReading]int{}, map[GasReading]bool{}
	for i, c := range columns {
		g, ok := gasOf(c)
		if !ok {
			continue
		}
		if _, again := found[g]; again {
			twice[g] = true
		}
		found[g] = i
	}
	for g := range twice {
		delete(found, g)
	}
	return found
}

// ReadGasRecord recognises the columns of a table and puts what is said of them over
// that, by reading: the name or the number of a column; or one value for the whole
// record, with its unit, of the flow, the temperature and the pressure. The error is a
// [*message.InputError] that names the reading.
func ReadGasRecord(log Log, layout LogLayout, said map[string]string) (GasRecord, error) {
	g := GasRecord{Log: log, Layout: layout, Columns: FindGases(layout.Columns)}
	for key, text := range said {
		if text = strings.TrimSpace(text); text == "" || g.holds(key, text) {
			continue
		}
		column := g.column(text)
		if column < 0 || !slices.Contains(GasReadings, GasReading(key)) {
			return g, g.unknown(key, text)
		}
		maps.DeleteFunc(g.Columns, func(_ GasReading, at int) bool { return at == column }) // it holds one reading
		g.Columns[GasReading(key)] = column
	}
	return g, nil
}

// holds takes a value that holds for the whole record.
func (g *GasRecord) holds(key, text string) bool {
	if g.column(text) >= 0 && key != "pressure" {
		return false
	}
	switch key {
	case "pressure":
		g.Pressure = text
	case string(GasTemperature):
		if _, err := quantity.Parse(text, quantity.Temperature, quantity.Celsius); err != nil {
			return false
		}
		delete(g.Columns, GasTemperature)
		g.Temperature = text
	case string(GasFlow):
		flow, err := quantity.Parse(text, quantity.VolumeFlow, quantity.M3PerMin)
		if err != nil || !(flow > 0) {
			return false
		}
		delete(g.Columns, GasFlow)
		g.Flow = Known(flow)
	default:
		return false
	}
	return true
}

// column finds a column by its name or its number; -1 for none.
func (g GasRecord) column(text string) int {
	at := slices.IndexFunc(g.Layout.Columns, func(c LogColumn) bool { return strings.EqualFold(c.Name, text) })
	if n, err := strconv.Atoi(text); at < 0 && err == nil && n >= 1 && n <= len(g.Layout.Columns) {
		at = n - 1
	}
	return at
}

func (g GasRecord) unknown(key, text string) *message.InputError {
	if !slices.Contains(GasReadings, GasReading(key)) {
		names := []string{"pressure"}
		for _, r := range GasReadings {
			names = append(names, string(r))
		}
		return &message.InputError{Field: key, Value: text, Reason: message.T("bench.gas.reading"), Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: "co=1"}
	}
	return &message.InputError{Field: key, Value: text, Reason: message.T("bench.gas.column"), Allowed: message.T("form.allowed", "names", strings.Join(g.names(), ", ")), Try: key + "=1"}
}

// gasWords are words of headings that tell a reading.
var gasWords = map[string]GasReading{"co": GasCO, "co2": GasCO2, "co₂": GasCO2, "ch4": GasCH4, "ch₄": GasCH4, "methane": GasCH4, "pm": GasParticles, "pm2": GasParticles, "pm25": GasParticles,
	"particles": GasParticles, "dust": GasParticles, "flow": GasFlow, "temperature": GasTemperature, "temp": GasTemperature}

func gasOf(c LogColumn) (GasReading, bool) {
	words := strings.FieldsFunc(strings.ToLower(c.Name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
	for _, w := range words {
		if g, ok := gasWords[w]; ok && (c.Unit == "" || slices.Contains(gasUnits[g], c.Unit)) {
			return g, true
		}
	}
	return "", false
}

// Window is a span of a record, both ends in it (ns, as the record counts).
type Window struct{ From, To int64 }

func (w Window) holds(at int64) bool { return at >= w.From && at <= w.To }

// Window reads a span of the record as people write it: "10:02-10:24" by the
// logger's clock after it was set right, or "5-27" in minutes since the start where
// the record counts from it. A clock before the record begins is that of the day
// after; date, as 2026-05-04 or "", is the day that the clock is of. ok is false when
// it cannot be read, does not go on, or lies outside the record.
func (g GasRecord) Window(text, date string) (w Window, ok bool) {
	from, to, both := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	if !both || len(g.Log.Times) == 0 {
		return w, false
	}
	first, last := g.Log.Times[0], g.Log.Times[len(g.Log.Times)-1]
	begin := first
	if day, known := g.day(date); known {
		begin = max(first, day)
	}
	if w.From, ok = g.moment(from, begin); !ok {
		return w, false
	}
	w.To, ok = g.moment(to, w.From)
	return w, ok && w.To > w.From && w.From <= last && w.To >= first
}

// Spans says from when to when the record goes.
func (g GasRecord) Spans(date string) message.Text {
	n := len(g.Log.Times)
	if n == 0 {
		return message.Text{}
	}
	from, to := g.Layout.Clock(g.Log.Times[0]/1e9), g.Layout.Clock(g.Log.Times[n-1]/1e9)
	if day, known := g.day(date); known && day > g.Log.Times[n-1] {
		return message.T("bench.gas.spans-before", "from", from, "to", to, "date", strings.TrimSpace(date))
	}
	return message.T("bench.gas.spans", "from", from, "to", to)
}

// day is when the day of a test begins, as the record counts; unknown where no day is
// written, or the record has none.
func (g GasRecord) day(date string) (int64, bool) {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(date))
	return day.UnixNano() - int64(g.Layout.Zone), err == nil && isDate(g.Layout.Time)
}

// AfterBackground is the rest of the record behind the background, or all of it: a
// fire whose clocks are not written.
func (g GasRecord) AfterBackground(background *Window) Window {
	if len(g.Log.Times) == 0 {
		return Window{}
	}
	w := Window{g.Log.Times[0], g.Log.Times[len(g.Log.Times)-1]}
	if background != nil {
		w.From = min(background.To+1, w.To)
	}
	return w
}

// moment is the first moment not before another that a clock or a number of
// minutes names.
func (g GasRecord) moment(text string, after int64) (int64, bool) {
	const day = 24 * int64(time.Hour)
	if g.Layout.elapsed() {
		minutes, err := quantity.Parse(text, quantity.Time, quantity.Minute)
		return int64(minutes * 1e9), err == nil && minutes < 1e9
	}
	seconds, ok := form.SecondsOfDay(text)
	if !ok {
		return 0, false
	}
	local := after
	if isDate(g.Layout.Time) || g.Layout.Time == "unix" {
		local += int64(g.Layout.Zone)
	}
	midnight := local - ((local%day)+day)%day
	at := midnight + int64(seconds*1e9) + after - local
	if at < after-int64(time.Minute) { // a clock without its seconds may lie just before
		at += day
	}
	return at, true
}

// elapsed reports whether times count from the start of the record.
func (l LogLayout) elapsed() bool { return l.Time == "seconds" || l.Time == "minutes" }

// ByClock reports whether the record has times of day, so that the clocks of a test
// find their place in it.
func (l LogLayout) ByClock() bool { return !l.elapsed() }

// maxGasRows is how many samples a sheet is given at most; longer records are
// averaged over equal numbers of rows, and it is said.
const maxGasRows = 240

// GasUse says what became of the rows of a record.
type GasUse struct {
	Fire       int   // rows while the fire burnt
	Background int   // rows of the background
	Outside    int   // rows before, between and after
	Lacking    []int // lines of the file without one of the readings, which were left out
	Together   int   // rows that were averaged to one sample; 1 for none
}

// Fill writes the samples of a window into an emission sheet, counted from its
// beginning, and the mean of another as the background. A sheet without a method is of
// a hood where the flow is known; a column of temperature gives the temperature of the
// gas where the sheet has none. Of a hood the samples are averaged with the flow as
// weight, so that what passed the duct stays the same. The error is a
// [message.InputErrors].
func (g GasRecord) Fill(f *EmissionForm, fire Window, background *Window) (GasUse, error) {
	if f.Method == "" {
		f.Method = PlumeMethod
		if g.flows() {
			f.Method = HoodMethod
		}
	}
	if err := g.usable(f); err != nil {
		return GasUse{}, err
	}
	use := GasUse{Together: 1}
	var burning, before []gasRow
	for i, at := range g.Log.Times {
		switch row := g.row(i); {
		case !fire.holds(at) && (background == nil || !background.holds(at)):
			use.Outside++
		case row.lacking:
			use.Lacking = append(use.Lacking, int(g.Log.Lines[i]))
		case fire.holds(at):
			burning = append(burning, row)
		default:
			before = append(before, row)
		}
	}
	use.Fire, use.Background = len(burning), len(before)
	if background != nil && len(before) == 0 {
		return use, message.InputErrors{&message.InputError{Field: "background", Reason: message.T("bench.gas.no-background"), Try: "09:50-10:00"}}
	}
	if len(burning) < 2 {
		return use, message.InputErrors{&message.InputError{Field: "fire", Reason: message.T("bench.gas.no-fire"), Try: "10:02-10:24"}}
	}
	if background != nil {
		f.Background = g.backgroundForm(meanRow(before))
	}
	f.Gas = g.state(f.Gas)
	if _, has := g.Columns[GasTemperature]; has && strings.TrimSpace(f.Gas.Temperature) == "" {
		f.Gas.Temperature = written(quantity.Celsius, meanRow(burning).si[GasTemperature], 1)
	}
	burning, use.Together = thin(burning)
	f.Samples = f.Samples[:0]
	for _, row := range burning {
		f.Samples = append(f.Samples, g.sampleForm(row, fire.From))
	}
	return use, nil
}

// state is the state of the gas: what the sheet says, or what holds for the record.
func (g GasRecord) state(f GasForm) GasForm {
	if strings.TrimSpace(f.Temperature) == "" {
		f.Temperature = g.Temperature
	}
	if strings.TrimSpace(f.Pressure) == "" {
		f.Pressure = g.Pressure
	}
	return f
}

// usable complains of what the columns lack for the method of the sheet.
func (g GasRecord) usable(f *EmissionForm) error {
	var wrong message.InputErrors
	lack := func(r GasReading) {
		wrong = append(wrong, &message.InputError{Field: string(r), Reason: message.T("bench.gas.no-column", "what", r.Words()), Allowed: message.T("form.allowed", "names", strings.Join(g.names(), ", ")), Try: string(r) + "=1"})
	}
	if _, has := g.Columns[GasCO]; !has {
		lack(GasCO)
	}
	if _, has := g.Columns[GasCO2]; !has && f.Method == PlumeMethod {
		lack(GasCO2)
	}
	if f.Method == HoodMethod && !g.flows() {
		lack(GasFlow)
	}
	for _, r := range GasReadings {
		if i, has := g.Columns[r]; has && !slices.Contains(gasUnits[r], g.Layout.Columns[i].Unit) {
			wrong = append(wrong, &message.InputError{Field: "unit", Value: g.Layout.Columns[i].Name, Reason: message.T("bench.gas.unit", "what", r.Words()),
				Allowed: message.T("form.allowed", "names", strings.Join(gasUnits[r], ", ")), Try: gasUnits[r][0]})
		}
	}
	return wrong.OrNil()
}

// flows reports whether the flow of the duct is known.
func (g GasRecord) flows() bool {
	_, column := g.Columns[GasFlow]
	return column || g.Flow.Known
}

func (g GasRecord) names() []string {
	list := make([]string, len(g.Layout.Columns))
	for i, c := range g.Layout.Columns {
		list[i] = strconv.Itoa(i+1) + " (" + c.Name + ")"
	}
	return list
}

// gasRow is one row in SI.
type gasRow struct {
	at      int64
	si      map[GasReading]float64
	lacking bool
}

func (g GasRecord) row(i int) gasRow {
	row := gasRow{at: g.Log.Times[i], si: map[GasReading]float64{}}
	for reading, column := range g.Columns {
		v := logScale[g.Layout.Columns[column].Unit].SI(g.Log.Values[column][i])
		row.si[reading] = v
		row.lacking = row.lacking || math.IsNaN(v)
	}
	if _, column := g.Columns[GasFlow]; !column && g.Flow.Known {
		row.si[GasFlow] = g.Flow.SI
	}
	return row
}

// meanRow is the mean of some rows; concentrations are weighted with the flow where
// there is one.
func meanRow(rows []gasRow) gasRow {
	mean := gasRow{si: map[GasReading]float64{}}
	n := float64(len(rows))
	var flow float64
	var at float64
	for _, row := range rows {
		at += float64(row.at-rows[0].at) / n
		flow += row.si[GasFlow]
	}
	mean.at = rows[0].at + int64(at)
	for reading := range rows[0].si {
		var sum float64
		weighted := flow > 0 && reading != GasFlow && reading != GasTemperature
		for _, row := range rows {
			if weighted {
				sum += row.si[reading] * row.si[GasFlow] / flow
			} else {
				sum += row.si[reading] / n
			}
		}
		mean.si[reading] = sum
	}
	return mean
}

// thin averages rows until a sheet holds them; the first and the last stay as they
// are, so that the whole time is counted.
func thin(rows []gasRow) (list []gasRow, together int) {
	together = (len(rows) + maxGasRows - 1) / maxGasRows
	if together < 2 {
		return rows, 1
	}
	list = append(list, rows[0])
	for part := range slices.Chunk(rows[1:len(rows)-1], together) {
		list = append(list, meanRow(part))
	}
	return append(list, rows[len(rows)-1]), together
}

func (g GasRecord) sampleForm(row gasRow, from int64) GasSampleForm {
	_, co2 := row.si[GasCO2]
	_, ch4 := row.si[GasCH4]
	_, pm := row.si[GasParticles]
	_, flow := row.si[GasFlow]
	s := GasSampleForm{Time: written(quantity.Minute, float64(row.at-from)/1e9, 4), CO: written(quantity.PPM, row.si[GasCO], 2)}
	s.CO2, s.CH4 = orNone(co2, written(quantity.PPM, row.si[GasCO2], 1)), orNone(ch4, written(quantity.PPM, row.si[GasCH4], 2))
	s.Particles, s.Flow = orNone(pm, written(quantity.MgPerM3, row.si[GasParticles], 4)), orNone(flow, written(quantity.M3PerMin, row.si[GasFlow], 3))
	return s
}

func (g GasRecord) backgroundForm(row gasRow) GasReadingForm {
	s := g.sampleForm(row, 0)
	return GasReadingForm{CO: s.CO, CO2: s.CO2, CH4: s.CH4, Particles: s.Particles}
}

func orNone(has bool, text string) string {
	if !has {
		return ""
	}
	return text
}

// written is a number as the sheet has it. A reading below nothing is noise of the
// instrument, and stays what it is.
func written(u quantity.Unit, si float64, decimals int) string {
	return strconv.FormatFloat(u.Number(si), 'f', decimals, 64) + " " + u.Symbol
}

// GasPart is one fire of a test with the clocks between which it burnt; Clock is
// "" where the test does not say.
type GasPart struct {
	Name  string // phase or level, "" for a fire that stands alone
	Clock string // "10:02-10:24"
	Form  EmissionForm
}

// GasParts are the fires of a test that a record may be of: the sheet itself of an
// emission test, each phase of a boiling test, each level of the ISO sequence, with
// what they burnt and gave to the pots. The error is that of reading the test, or
// says that a test of the kind has none.
func GasParts(name string, data []byte) ([]GasPart, error) {
	kind, err := KindOf(data)
	if err != nil {
		return nil, err
	}
	switch kind {
	case KindEmission:
		f, err := ParseEmission(data)
		return []GasPart{{Form: f}}, err
	case KindBoiling, KindSequence:
	default:
		return nil, message.InputErrors{&message.InputError{Field: "test", Value: string(kind), Reason: message.T("bench.gas.no-fires"), Allowed: message.T("form.allowed", "names", "emission, boiling, sequence"), Try: "test: emission"}}
	}
	file, err := ReadTest(name, data)
	if err != nil {
		return nil, err
	}
	if kind == KindBoiling {
		return boilingParts(file, data)
	}
	return sequenceParts(file, data)
}

func boilingParts(file TestFile, data []byte) ([]GasPart, error) {
	f, err := ParseBoiling(data)
	if err != nil {
		return nil, err
	}
	var list []GasPart
	r := file.Boiling.Result
	for i, p := range []struct {
		form   *PhaseForm
		result *PhaseResult
	}{{f.Cold, r.Cold}, {f.Hot, r.Hot}, {f.Simmer, r.Simmer}} {
		if p.form == nil || p.result == nil {
			continue
		}
		list = append(list, gasPart(phases[i], f.About, f.Wood, p.form.Start, p.form.End, p.result.Wood, p.result.Char, p.result.Useful, p.result.Duration))
	}
	return list, nil
}

func sequenceParts(file TestFile, data []byte) ([]GasPart, error) {
	f, err := ParseSequence(data)
	if err != nil {
		return nil, err
	}
	var list []GasPart
	for i, l := range []*LevelForm{f.High, f.Medium, f.Low} {
		level := powerLevels[i]
		if l == nil {
			continue
		}
		t, r := file.Sequence.Test.Levels[level], file.Sequence.Result.Levels[level]
		list = append(list, gasPart(string(level), f.About, f.Wood, l.Start, l.End, t.Fuel, t.Char, r.Useful, t.Duration))
	}
	return list, nil
}

func gasPart(name string, about AboutForm, wood WoodForm, start, end string, burnt, char, useful, duration float64) GasPart {
	about.Test = strings.TrimSpace(about.Test + " " + name)
	p := GasPart{Name: name, Form: EmissionForm{Test: string(KindEmission), About: about, Wood: wood, Burnt: BurntForm{Wood: written(quantity.Gram, burnt, 1), Char: written(quantity.Gram, math.Max(0, char), 1),
		Useful: written(quantity.Megajoule, useful, 4), Duration: written(quantity.Minute, duration, 2)}}}
	if start != "" && end != "" {
		p.Clock = start + "-" + end
	}
	return p
}

// ParseSequence reads the file of a run into the form. The error is a
// [*message.InputError].
func ParseSequence(data []byte) (SequenceForm, error) {
	var f SequenceForm
	err := sequenceFields.Decode(data, &f, "test: sequence")
	return f, err
}

// TakeEmissions writes what the levels of a run of the ISO sequence gave off into
// its sheet: CO, and particles where they were read.
func (f *SequenceForm) TakeEmissions(level string, e Emitted) error {
	levels := map[string]*LevelForm{string(HighPower): f.High, string(MediumPower): f.Medium, string(LowPower): f.Low}
	l := levels[level]
	if l == nil {
		return fmt.Errorf("bench: the sequence has no level %q", level)
	}
	l.CO = written(quantity.Gram, e.CO, 4)
	if e.PM > 0 {
		l.PM = written(milligram, e.PM, 2)
	}
	return nil
}
