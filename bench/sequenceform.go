package bench

import (
	"fmt"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// SequenceForm is one run of the ISO 19867-1 sequence as it is written; see
// [BoilingForm].
type SequenceForm struct {
	Test     string     `yaml:"test"` // "sequence"
	Together string     `yaml:"together,omitempty"`
	About    AboutForm  `yaml:"about,omitempty"`
	Wood     WoodForm   `yaml:"fuel"`
	CharHeat string     `yaml:"char_heating_value,omitempty"`
	High     *LevelForm `yaml:"high,omitempty"`
	Medium   *LevelForm `yaml:"medium,omitempty"`
	Low      *LevelForm `yaml:"low,omitempty"`
}

// LevelForm is one power level, shut-down included.
type LevelForm struct {
	Fuel     string          `yaml:"fuel_fed"`
	Char     string          `yaml:"char_left,omitempty"`
	Start    string          `yaml:"start,omitempty"`
	End      string          `yaml:"end,omitempty"`
	Duration string          `yaml:"duration,omitempty"`
	CO       string          `yaml:"co,omitempty"`
	PM       string          `yaml:"particles,omitempty"`
	Pots     []HeatedPotForm `yaml:"pots"`
}

// HeatedPotForm is one pot of a level.
type HeatedPotForm struct {
	Water      string `yaml:"water"`
	Evaporated string `yaml:"evaporated,omitempty"`
	Start      string `yaml:"start_temperature"`
	End        string `yaml:"end_temperature"`
}

var sequenceFields = paper(form.Fields{
	form.OneOf("test", false, "sequence"),
	form.OneOf("together", false, "mean", "energy"),
}.And(aboutFields, woodFields(fuelKinds(true)), form.Fields{
	form.Number("char_heating_value", units["kJ/kg"], 20000, 35000, false, "29500 kJ/kg"),
	form.Number("level.fuel_fed", quantity.Gram, 1, 50000, true, "800 g"),
	form.Number("level.char_left", quantity.Gram, 0, 20000, false, "50 g"),
	{Path: "level.start", Kind: Clock, Example: "10:02"},
	{Path: "level.end", Kind: Clock, Example: "10:37"},
	form.Number("level.duration", quantity.Minute, 0.5, 600, false, "35 min"),
	form.Number("level.co", quantity.Gram, 0, 5000, false, "12.5 g"),
	form.Number("level.particles", quantity.Unit{Symbol: "mg", Dimension: quantity.Mass, Factor: 1e-6}, 0, 1e6, false, "0.35 g"),
	form.Number("level.pots.water", quantity.Kilogram, 0, 300, true, "5 kg"),
	form.Number("level.pots.evaporated", quantity.Gram, 0, 100000, false, "120 g"),
	form.Number("level.pots.start_temperature", quantity.Celsius, 0, 103, true, "24 °C"),
	form.Number("level.pots.end_temperature", quantity.Celsius, 0, 103, true, "90 °C"),
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
	r.Word("test", f.Test, "sequence")
	at := len(r.Complaints)
	w := r.wood(f.Wood)
	r.Rename(at, "wood", "fuel")
	t := SequenceTest{
		About: f.About.about(),
		LHV:   w.LHV, Moisture: w.Moisture, LHVChar: r.quantity("char_heating_value", f.CharHeat).Or(charHeat),
		WeightByHeat: r.Word("together", f.Together, "mean") == "energy", Levels: map[PowerLevel]LevelTest{},
	}
	for i, l := range []*LevelForm{f.High, f.Medium, f.Low} {
		if l != nil {
			t.Levels[powerLevels[i]] = r.level(string(powerLevels[i]), l)
		}
	}
	if len(t.Levels) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "high", Reason: message.T("bench.no-level"), Try: "high:\n  fuel_fed: 800 g"})
	}
	return t, r.Complaints.OrNil()
}

func (r *reader) level(name string, f *LevelForm) LevelTest {
	defer r.Rename(len(r.Complaints), "level", name) // the fields of a level stand once in the form
	l := LevelTest{Fuel: r.quantity("level.fuel_fed", f.Fuel).SI, Char: r.quantity("level.char_left", f.Char).SI,
		Duration: r.duration("level.", f.Start, f.End, f.Duration), CO: r.quantity("level.co", f.CO), PM: r.quantity("level.particles", f.PM)}
	for i, p := range f.Pots {
		path := fmt.Sprintf("level.pots[%d].", i+1)
		l.Pots = append(l.Pots, HeatedPot{Water: r.quantity(path+"water", p.Water).SI, Evaporated: r.quantity(path+"evaporated", p.Evaporated).SI,
			Start: r.quantity(path+"start_temperature", p.Start).SI, End: r.quantity(path+"end_temperature", p.End).SI})
	}
	if len(f.Pots) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "level.pots", Reason: message.T("bench.no-pot"), Try: "pots:\n  - water: 5 kg"})
	}
	return l
}

// SafetyForm is a safety sheet as it is written.
type SafetyForm struct {
	Test     string              `yaml:"test"` // "safety"
	About    AboutForm           `yaml:"about,omitempty"`
	Scorer   string              `yaml:"scorer,omitempty"`
	Absent   []string            `yaml:"absent,omitempty"`
	Readings []SafetyReadingForm `yaml:"readings"`

	Durability map[string]string `yaml:"durability,omitempty"` // points of the standard's elements, which are yours to enter
}

// SafetyReadingForm is one reading: a measured value, a word or a rating.
type SafetyReadingForm struct {
	Item    string `yaml:"item"`
	Measure string `yaml:"measure,omitempty"`
	Point   string `yaml:"point,omitempty"`
	Value   string `yaml:"value,omitempty"`
	Word    string `yaml:"word,omitempty"`
	Rating  string `yaml:"rating,omitempty"`
}

var safetyFields = paper(form.Fields{form.OneOf("test", false, "safety")}.And(aboutFields, form.Fields{
	form.Text("scorer", "first scorer"), form.OneOf("absent", false, "chimney"),
	form.OneOf("readings.item", false, safetyKeys()...), form.Text("readings.measure", "open-area"), form.Text("readings.point", "fuel-mouth"),
	form.Text("readings.value", "120 cm²"), form.Text("readings.word", "contained"),
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
	r.Word("test", f.Test, "safety")
	s := SafetySheet{Scorer: strings.TrimSpace(f.Scorer)}
	for _, a := range f.Absent {
		s.Absent = append(s.Absent, r.Word("absent", a, ""))
	}
	for i, reading := range f.Readings {
		s.Readings = append(s.Readings, r.safetyReading(fmt.Sprintf("readings[%d].", i+1), reading))
	}
	s.Durability = r.durability(f.Durability)
	return s, r.Complaints.OrNil()
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

func (r *reader) safetyReading(path string, f SafetyReadingForm) SafetyReading {
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
			v, err := quantity.Parse(f.Value, u.Dimension, u)
			if refusal, ok := err.(*quantity.Error); ok {
				r.Complaints = append(r.Complaints, &message.InputError{Field: path + "value", Value: clip(f.Value), Reason: message.T(refusal.Reason, "detail", refusal.Detail), Try: refusal.Try})
			}
			s.Value = v
			return s
		}
		say("measure", s.Measure, "form.unknown-word", item.measureKeys(), message.Nearest(clip(s.Measure), item.measureKeys()))
	}
	return s
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
