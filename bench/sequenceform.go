package bench

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// SequenceForm is one run of the ISO 19867-1 sequence as it is written; see
// [BoilingForm].
type SequenceForm struct {
	Test     string    `yaml:"test"` // "sequence"
	Together string    `yaml:"together,omitempty"`
	About    AboutForm `yaml:"about,omitempty"`
	Wood     WoodForm  `yaml:"fuel"`
	CharHeat string    `yaml:"char_heating_value,omitempty"`

	Instruments ScalesForm `yaml:"instruments,omitempty"`

	CharPan string     `yaml:"char_pan,omitempty"`
	High    *LevelForm `yaml:"high,omitempty"`
	Medium  *LevelForm `yaml:"medium,omitempty"`
	Low     *LevelForm `yaml:"low,omitempty"`
}

// LevelForm is one power level, shut-down included: what the scale showed, or
// the differences already taken.
type LevelForm struct {
	FuelBefore  string          `yaml:"fuel_before,omitempty"`
	Start       string          `yaml:"start,omitempty"`
	FuelAdded   string          `yaml:"fuel_added,omitempty"`
	Shutdown    string          `yaml:"shutdown,omitempty"` // no more fuel is fed
	End         string          `yaml:"end,omitempty"`
	FuelAfter   string          `yaml:"fuel_after,omitempty"`
	CharWithPan string          `yaml:"char_with_pan,omitempty"`
	Fuel        string          `yaml:"fuel_fed,omitempty"`
	Char        string          `yaml:"char_left,omitempty"`
	Duration    string          `yaml:"duration,omitempty"`
	CO          string          `yaml:"co,omitempty"`
	PM          string          `yaml:"particles,omitempty"`
	Pots        []HeatedPotForm `yaml:"pots"`
}

// HeatedPotForm is one pot of a level: what the scale showed, or water and steam.
type HeatedPotForm struct {
	Empty      string `yaml:"empty,omitempty"`
	Before     string `yaml:"before,omitempty"`
	Start      string `yaml:"start_temperature"`
	End        string `yaml:"end_temperature"`
	After      string `yaml:"after,omitempty"`
	Water      string `yaml:"water,omitempty"`
	Evaporated string `yaml:"evaporated,omitempty"`
}

var sequenceFields = paper(form.Fields{
	form.OneOf("test", false, "sequence"),
	form.OneOf("together", false, "mean", "energy"),
}.And(aboutFields, woodFields(fuelKinds(true)), form.Fields{
	form.Number("char_heating_value", units["kJ/kg"], 20000, 35000, false, "29500 kJ/kg"),
}, scaleFields, form.Fields{
	form.Number("char_pan", quantity.Gram, 0, 20000, false, "250 g"),
	form.Number("level.fuel_before", quantity.Gram, 1, 100000, false, "2500 g"),
	{Path: "level.start", Kind: Clock, Example: "10:02"},
	form.Number("level.fuel_added", quantity.Gram, 0, 50000, false, "500 g"),
	{Path: "level.shutdown", Kind: Clock, Example: "10:32"},
	{Path: "level.end", Kind: Clock, Example: "10:37"},
	form.Number("level.fuel_after", quantity.Gram, 0, 100000, false, "1700 g"),
	form.Number("level.char_with_pan", quantity.Gram, 0, 40000, false, "300 g"),
	form.Number("level.fuel_fed", quantity.Gram, 1, 50000, false, "800 g"),
	form.Number("level.char_left", quantity.Gram, 0, 20000, false, "50 g"),
	form.Number("level.duration", quantity.Minute, 0.5, 600, false, "35 min"),
	form.Number("level.co", quantity.Gram, 0, 5000, false, "12.5 g"),
	form.Number("level.particles", quantity.Unit{Symbol: "mg", Dimension: quantity.Mass, Factor: 1e-6}, 0, 1e6, false, "0.35 g"),
	form.Number("level.pots.empty", quantity.Gram, 20, 200000, false, "700 g"),
	form.Number("level.pots.before", quantity.Gram, 20, 600000, false, "5700 g"),
	form.Number("level.pots.start_temperature", quantity.Celsius, 0, 103, true, "24 °C"),
	form.Number("level.pots.end_temperature", quantity.Celsius, 0, 103, true, "90 °C"),
	form.Number("level.pots.after", quantity.Gram, 20, 600000, false, "5580 g"),
	form.Number("level.pots.water", quantity.Kilogram, 0, 300, false, "5 kg"),
	form.Number("level.pots.evaporated", quantity.Gram, 0, 100000, false, "120 g"),
}))

// SequenceFields is the form of the sequence in the order of the paper.
func SequenceFields() []Field { return sequenceFields }

// ReadSequence reads a run of the sequence. The error is a
// [message.InputErrors] or a [*message.InputError].
func ReadSequence(data []byte) (SequenceTest, error) {
	var f SequenceForm
	if err := sequenceFields.Decode(data, &f, "test: sequence"); err != nil {
		return SequenceTest{}, err
	}
	return f.Read()
}

// charHeat is the heating value of char where none was measured, J/kg.
const charHeat = 29.5e6

// Read turns a form into a test; the error is a [message.InputErrors].
func (f SequenceForm) Read() (SequenceTest, error) {
	r := newReader(sequenceFields)
	t := f.read(r)
	return t, r.Complaints.OrNil()
}

func (f SequenceForm) read(r *reader) SequenceTest {
	r.Word("test", f.Test, "sequence")
	at := len(r.Complaints)
	w := r.wood(f.Wood)
	r.Rename(at, "wood", "fuel")
	char := r.quantity("char_heating_value", f.CharHeat)
	t := SequenceTest{
		About: f.About.about(),
		LHV:   w.LHV, LHVFrom: w.LHVFrom, Moisture: w.Moisture, LHVChar: char.Or(charHeat),
		WeightByHeat: r.Word("together", f.Together, "mean") == "energy", Levels: map[PowerLevel]LevelTest{},
		Instruments: r.scales(f.Instruments),
	}
	if char.Known {
		t.LHVCharFrom = Measured
	}
	pan := r.quantity("char_pan", f.CharPan)
	for i, l := range []*LevelForm{f.High, f.Medium, f.Low} {
		if l != nil {
			t.Levels[powerLevels[i]] = r.level(string(powerLevels[i]), l, pan)
		}
	}
	if len(t.Levels) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "high", Reason: message.T("bench.no-level"), Try: "high:\n  fuel_fed: 800 g"})
	}
	return t
}

// level reads a power level. What the scale showed goes before differences
// taken by hand.
func (r *reader) level(name string, f *LevelForm, pan Given) LevelTest {
	defer r.Rename(len(r.Complaints), "level", name) // the fields of a level stand once in the form
	l := LevelTest{Fuel: r.quantity("level.fuel_fed", f.Fuel).SI, Char: r.quantity("level.char_left", f.Char).SI,
		Duration: r.duration("level.", f.Start, f.End, f.Duration), Feeding: r.feeding(f), CO: r.quantity("level.co", f.CO), PM: r.quantity("level.particles", f.PM)}
	before, added, after := r.quantity("level.fuel_before", f.FuelBefore), r.quantity("level.fuel_added", f.FuelAdded), r.quantity("level.fuel_after", f.FuelAfter)
	switch char := r.quantity("level.char_with_pan", f.CharWithPan); {
	case char.Known && pan.Known:
		l.Char = char.SI - pan.SI
	case char.Known:
		r.Complaints = append(r.Complaints, &message.InputError{Field: "char_pan", Reason: message.T("bench.char-pan-missing", "phase", phaseName(name)), Try: "250 g"})
	}
	switch {
	case before.Known && after.Known:
		l.Fuel = before.SI + added.Or(0) - after.SI
	case before.Known || after.Known:
		r.both("level.fuel_before", f.FuelBefore, "level.fuel_after", f.FuelAfter)
	case f.Fuel == "":
		r.Complain("level.fuel_fed", "", message.T("bench.required"))
	}
	for i, p := range f.Pots {
		l.Pots = append(l.Pots, r.heatedPot(fmt.Sprintf("level.pots[%d].", i+1), p))
	}
	if len(f.Pots) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "level.pots", Reason: message.T("bench.no-pot"), Try: "pots:\n  - water: 5 kg"})
	}
	return l
}

// both complains of the one of two entries that is not written.
func (r *reader) both(path, text, other, otherText string) {
	if strings.TrimSpace(text) == "" {
		r.Complain(path, "", message.T("bench.required"))
	}
	if strings.TrimSpace(otherText) == "" {
		r.Complain(other, "", message.T("bench.required"))
	}
}

// feeding is the time from the start until no more fuel was fed.
func (r *reader) feeding(f *LevelForm) Given {
	start, stop := r.clock("level.start", f.Start), r.clock("level.shutdown", f.Shutdown)
	if !start.Known || !stop.Known {
		return Given{}
	}
	return Known(math.Mod(stop.SI-start.SI+24*3600, 24*3600)) // over midnight counts on
}

func (r *reader) heatedPot(path string, f HeatedPotForm) HeatedPot {
	p := HeatedPot{Water: r.quantity(path+"water", f.Water).SI, Evaporated: r.quantity(path+"evaporated", f.Evaporated).SI,
		Start: r.quantity(path+"start_temperature", f.Start).SI, End: r.quantity(path+"end_temperature", f.End).SI}
	empty, before, after := r.quantity(path+"empty", f.Empty), r.quantity(path+"before", f.Before), r.quantity(path+"after", f.After)
	switch {
	case empty.Known && before.Known:
		p.Water = before.SI - empty.SI
	case empty.Known || before.Known:
		r.both(path+"empty", f.Empty, path+"before", f.Before)
	case f.Water == "":
		r.Complain(path+"water", "", message.T("bench.required"))
	}
	switch {
	case before.Known && after.Known:
		p.Evaporated = before.SI - after.SI
	case before.Known || after.Known:
		r.both(path+"before", f.Before, path+"after", f.After)
	case !r.running && f.Evaporated == "":
		p.Evaporated = 0
	}
	return p
}

// SafetyForm is a safety sheet as it is written.
type SafetyForm struct {
	Test     string              `yaml:"test"` // "safety"
	About    AboutForm           `yaml:"about,omitempty"`
	Scorer   string              `yaml:"scorer,omitempty"`
	Air      string              `yaml:"air_temperature,omitempty"`
	Lit      string              `yaml:"lit,omitempty"` // when the fire was lit
	Absent   []string            `yaml:"absent,omitempty"`
	Readings []SafetyReadingForm `yaml:"readings"`

	Durability map[string]string `yaml:"durability,omitempty"` // points of the standard's elements, which are yours to enter
}

// SafetyReadingForm is one reading: a measured value, a temperature as it was
// read where the value is its rise over the air, a word or a rating.
type SafetyReadingForm struct {
	Item    string `yaml:"item"`
	Measure string `yaml:"measure,omitempty"`
	Point   string `yaml:"point,omitempty"`
	Value   string `yaml:"value,omitempty"`
	Read    string `yaml:"temperature,omitempty"`
	Word    string `yaml:"word,omitempty"`
	Rating  string `yaml:"rating,omitempty"`
}

var safetyFields = paper(form.Fields{form.OneOf("test", false, "safety")}.And(aboutFields, form.Fields{
	form.Text("scorer", "first scorer"), form.Number("air_temperature", quantity.Celsius, -30, 55, false, "22 °C"),
	{Path: "lit", Kind: Clock, Example: "10:02"}, form.OneOf("absent", false, "chimney"),
	form.OneOf("readings.item", false, safetyKeys()...), form.Text("readings.measure", "open-area"), form.Text("readings.point", "fuel-mouth"),
	form.Text("readings.value", "120 cm²"), form.Number("readings.temperature", quantity.Celsius, -30, 1200, false, "58 °C"), form.Text("readings.word", "contained"),
	{Path: "readings.rating", Kind: Whole, Min: 1, Max: 4, Example: "3"},
}))

func safetyKeys() []string {
	keys := make([]string, len(safetyTable.Items))
	for i, item := range safetyTable.Items {
		keys[i] = item.Key
	}
	return keys
}

// SafetyFields is the form of a safety sheet in the order of the paper.
func SafetyFields() []Field { return safetyFields }

// ReadSafety reads a safety sheet. The error is a [message.InputErrors] or a
// [*message.InputError].
func ReadSafety(data []byte) (SafetySheet, error) {
	f, err := ParseSafety(data)
	if err != nil {
		return SafetySheet{}, err
	}
	return f.Read()
}

// ParseSafety reads the file of a safety sheet. The error is a
// [*message.InputError].
func ParseSafety(data []byte) (SafetyForm, error) {
	var f SafetyForm
	err := safetyFields.Decode(data, &f, "test: safety")
	return f, err
}

// Read turns a form into a sheet; the error is a [message.InputErrors].
func (f SafetyForm) Read() (SafetySheet, error) {
	r := newReader(safetyFields)
	s := f.read(r)
	return s, r.Complaints.OrNil()
}

func (f SafetyForm) read(r *reader) SafetySheet {
	r.Word("test", f.Test, "safety")
	air := r.quantity("air_temperature", f.Air)
	r.clock("lit", f.Lit)
	s := SafetySheet{Scorer: strings.TrimSpace(f.Scorer)}
	for _, a := range f.Absent {
		s.Absent = append(s.Absent, r.Word("absent", a, ""))
	}
	for i, reading := range f.Readings {
		s.Readings = append(s.Readings, r.safetyReading(fmt.Sprintf("readings[%d].", i+1), reading, air))
	}
	s.Durability = r.durability(f.Durability)
	return s
}

// durability reads the points of a durability sheet.
func (r *reader) durability(written map[string]string) map[string]float64 {
	if len(written) == 0 {
		return nil
	}
	points := map[string]float64{}
	for key, text := range written {
		v, err := quantity.Parse(text, quantity.Ratio, quantity.One)
		if err != nil {
			v = -1 // complained of with the others
		}
		points[key] = v
	}
	if _, _, err := Durability(points); err != nil {
		list, _ := message.Complaints(err)
		r.Complaints = append(r.Complaints, list...)
		return nil
	}
	return points
}

func (r *reader) safetyReading(path string, f SafetyReadingForm, air Given) SafetyReading {
	s := SafetyReading{Item: r.Word(path+"item", f.Item, ""), Measure: strings.TrimSpace(f.Measure), Point: strings.TrimSpace(f.Point), Word: strings.TrimSpace(f.Word)}
	item, known := safetyItem(s.Item)
	say := func(field, value, reason string, allowed []string, try string) {
		e := &message.InputError{Field: path + field, Value: clip(value), Reason: message.T(reason), Try: try}
		if len(allowed) > 0 {
			e.Allowed = message.T("form.allowed", "names", strings.Join(allowed, ", "))
		}
		r.Complaints = append(r.Complaints, e)
	}
	switch {
	case !known:
	case f.Rating != "":
		s.Rating = r.Whole(path+"rating", f.Rating)
	case s.Word != "":
		if item.Words[s.Word] == 0 {
			say("word", s.Word, "form.unknown-word", item.words(), message.Nearest(s.Word, item.words()))
		}
	default:
		for _, m := range item.Measures {
			if m.Key != s.Measure {
				continue
			}
			u := safetyUnits[m.Unit]
			if f.Value == "" && f.Read != "" && u.Dimension == quantity.TemperatureDifference {
				s.Value = r.quantity(path+"temperature", f.Read).Or(math.NaN()) - air.Or(math.NaN())
				if !air.Known {
					r.Complaints = append(r.Complaints, &message.InputError{Field: "air_temperature", Reason: message.T("bench.safety.air-missing"), Try: "22 °C"})
				}
				return s
			}
			v, err := measured(f.Value, u)
			if refusal, ok := err.(*quantity.Error); ok {
				reason := message.T(refusal.Reason, "detail", refusal.Detail)
				if refusal.Reason == "quantity.unit" && u == quantity.One {
					reason = message.T("bench.safety.no-unit")
				}
				r.Complaints = append(r.Complaints, &message.InputError{Field: path + "value", Value: clip(f.Value), Reason: reason, Try: m.guess(f.Value, cmp.Or(m.Example, refusal.Try))})
				v = math.NaN()
			}
			s.Value = v
			return s
		}
		say("measure", s.Measure, "form.unknown-word", item.measureKeys(), message.Nearest(clip(s.Measure), item.measureKeys()))
	}
	return s
}

// measured reads a value; a ratio may stand as its two lengths, "46.5/50" or
// "46.5 cm/50 cm".
func measured(text string, u quantity.Unit) (float64, error) {
	over, under, two := strings.Cut(text, "/")
	if u != quantity.One || !two {
		return quantity.Parse(text, u.Dimension, u)
	}
	a, err := quantity.Parse(over, quantity.Length, quantity.Centimetre)
	if err != nil {
		return 0, err
	}
	b, err := quantity.Parse(under, quantity.Length, quantity.Centimetre)
	return a / b, err
}

var numbers = regexp.MustCompile(`\p{Nd}+([.,]\p{Nd}+)?`)

// guess is what may be meant by a reading that cannot be read: its number in the unit
// of the measure, or its two heights one over the other; else an example.
func (m SafetyMeasure) guess(text, example string) string {
	found := numbers.FindAllString(text, -1)
	tilt := m.Key == tiltRatio
	if len(found) != 1 && !(tilt && len(found) == 2) {
		return example
	}
	guess := strings.TrimSpace(strings.Join(found, "/") + " " + m.Unit)
	if v, err := measured(guess, safetyUnits[m.Unit]); err != nil || tilt && v > 1 {
		return example
	}
	return guess
}

func (i SafetyItem) words() []string {
	list := make([]string, 0, len(i.Words))
	for rating := 4; rating >= 1; rating-- {
		for w, r := range i.Words {
			if r == rating {
				list = append(list, w)
			}
		}
	}
	return list
}

func (i SafetyItem) measureKeys() []string {
	list := make([]string, len(i.Measures))
	for k, m := range i.Measures {
		list[k] = m.Key
	}
	return list
}
