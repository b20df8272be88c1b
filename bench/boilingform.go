package bench

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// BoilingForm is a boiling test as it is written: paper form, page and YAML
// file in one, in the order of the paper. Every entry is text with its unit,
// kept as the user wrote it; [BoilingForm.Read] turns it into a [BoilingTest].
type BoilingForm struct {
	Test         string            `yaml:"test"` // "boiling"
	Version      string            `yaml:"version,omitempty"`
	About        AboutForm         `yaml:"about,omitempty"`
	Wood         WoodForm          `yaml:"wood"`
	Place        PlaceForm         `yaml:"place"`
	BoilingPoint BoilingPointForm  `yaml:"boiling_point,omitempty"`
	Pot          PotForm           `yaml:"pot,omitempty"`
	Instruments  InstrumentForm    `yaml:"instruments,omitempty"`
	CharPan      string            `yaml:"char_pan,omitempty"`
	Cold         *PhaseForm        `yaml:"cold,omitempty"`
	Hot          *PhaseForm        `yaml:"hot,omitempty"`
	Simmer       *PhaseForm        `yaml:"simmer,omitempty"`
	Constants    map[string]string `yaml:"constants,omitempty"` // yours, in place of the protocol's
}

// AboutForm says what was tested, when and by whom.
type AboutForm struct {
	Stove  string `yaml:"stove,omitempty"`
	Record string `yaml:"stove_record,omitempty"` // of the stove in the workshop file, whatever it is called by now
	Test   string `yaml:"test,omitempty"`         // your number of the test
	Date   string `yaml:"date,omitempty"`
	Tester string `yaml:"tester,omitempty"`
	Place  string `yaml:"place,omitempty"`
	Note   string `yaml:"note,omitempty"` // "invented example" in the examples

	LeftOut string `yaml:"left_out,omitempty"` // why the test is kept and not counted
}

func (f AboutForm) about() About {
	t := strings.TrimSpace
	return About{Stove: t(f.Stove), Test: t(f.Test), Date: t(f.Date), Tester: t(f.Tester), Place: t(f.Place), Note: t(f.Note), LeftOut: t(f.LeftOut)}
}

// WoodForm is the fuel.
type WoodForm struct {
	Kind          string   `yaml:"kind,omitempty"`
	Pile          string   `yaml:"pile,omitempty"`
	HeatingValue  string   `yaml:"heating_value,omitempty"` // lower, dry
	Moisture      string   `yaml:"moisture,omitempty"`
	MoistureBasis string   `yaml:"moisture_basis,omitempty"`
	Readings      []string `yaml:"moisture_readings,omitempty"` // of a meter, dry basis
	WetSample     string   `yaml:"wet_sample,omitempty"`        // sample and tin before drying
	DrySample     string   `yaml:"dry_sample,omitempty"`        // after drying
	SampleTin     string   `yaml:"sample_tin,omitempty"`        // the tin alone
	Stick         string   `yaml:"stick,omitempty"`
}

// PlaceForm is where the test was run.
type PlaceForm struct {
	Air      string `yaml:"air_temperature"`
	Altitude string `yaml:"altitude,omitempty"`
	Pressure string `yaml:"pressure,omitempty"` // not reduced to sea level
	Wind     string `yaml:"wind,omitempty"`
	Room     string `yaml:"room,omitempty"`
}

// BoilingPointForm is the lowest and highest reading in five minutes of a
// rolling boil.
type BoilingPointForm struct {
	Lowest  string `yaml:"lowest,omitempty"`
	Highest string `yaml:"highest,omitempty"`
}

// PotForm is the pot and how it was used.
type PotForm struct {
	Name string `yaml:"name,omitempty"`
	Lid  string `yaml:"lid,omitempty"`
}

// InstrumentForm is what was measured with.
type InstrumentForm struct {
	WoodScale   string `yaml:"wood_scale,omitempty"`
	PotScale    string `yaml:"pot_scale,omitempty"`
	CharScale   string `yaml:"char_scale,omitempty"`
	Thermometer string `yaml:"thermometer,omitempty"`
}

// ScalesForm is the scales of a test without a thermometer that matters.
type ScalesForm struct {
	WoodScale string `yaml:"wood_scale,omitempty"`
	PotScale  string `yaml:"pot_scale,omitempty"`
	CharScale string `yaml:"char_scale,omitempty"`
}

// PhaseForm is one part of the test.
type PhaseForm struct {
	StoveState string           `yaml:"stove,omitempty"` // cold or hot at the start
	WoodBefore string           `yaml:"wood_before"`
	WoodAfter  string           `yaml:"wood_after"`
	Char       string           `yaml:"char_with_pan,omitempty"`
	Start      string           `yaml:"start,omitempty"`
	End        string           `yaml:"end,omitempty"`
	Duration   string           `yaml:"duration,omitempty"`
	Lowest     string           `yaml:"lowest_temperature,omitempty"`
	Pots       []PotReadingForm `yaml:"pots"`
}

// PotReadingForm is one pot in one phase.
type PotReadingForm struct {
	Empty  string `yaml:"empty"`
	Before string `yaml:"before"`
	After  string `yaml:"after"`
	Start  string `yaml:"start_temperature"`
	End    string `yaml:"end_temperature"`
}

// boilingFields is the form in the order of the paper. Fields of a phase stand
// once, under "phase".
var boilingFields = paper(form.Fields{
	form.OneOf("test", false, "boiling"),
	form.OneOf("version", false, "4.2", "3.0"),
}.And(aboutFields, woodFields(woodKinds()), placeFields, form.Fields{
	form.Number("boiling_point.lowest", quantity.Celsius, 70, 103, false, "96.4 °C"),
	form.Number("boiling_point.highest", quantity.Celsius, 70, 103, false, "96.8 °C"),
	form.Text("pot.name", "5 L pot"),
	form.OneOf("pot.lid", false, "off", "on"),
}, scaleFields, form.Fields{
	form.Number("instruments.thermometer", quantity.KelvinDiff, 0.01, 10, false, "0.5 K"),
	form.Number("char_pan", quantity.Gram, 0, 20000, false, "250 g"),
	form.OneOf("phase.stove", false, "cold", "hot"),
	form.Number("phase.wood_before", quantity.Gram, 1, 500000, true, "2500 g"),
	form.Number("phase.wood_after", quantity.Gram, 0, 500000, true, "1750 g"),
	form.Number("phase.char_with_pan", quantity.Gram, 0, 100000, false, "310 g"),
	{Path: "phase.start", Kind: Clock, Example: "10:02"},
	{Path: "phase.end", Kind: Clock, Example: "10:24"},
	form.Number("phase.duration", quantity.Minute, 0.5, 600, false, "22 min"),
	form.Number("phase.lowest_temperature", quantity.Celsius, 0, 103, false, "95 °C"),
	form.Number("phase.pots.empty", quantity.Gram, 20, 200000, true, "700 g"),
	form.Number("phase.pots.before", quantity.Gram, 20, 600000, true, "5700 g"),
	form.Number("phase.pots.after", quantity.Gram, 20, 600000, true, "5500 g"),
	form.Number("phase.pots.start_temperature", quantity.Celsius, 0, 103, true, "24 °C"),
	form.Number("phase.pots.end_temperature", quantity.Celsius, 0, 103, true, "96.6 °C"),
	form.Text("constants", "L_p: 2257"),
}))

// Parts of the paper that several tests have in common.
var (
	scaleFields = form.Fields{
		form.Number("instruments.wood_scale", quantity.Gram, 0.01, 500, false, "1 g"),
		form.Number("instruments.pot_scale", quantity.Gram, 0.01, 500, false, "1 g"),
		form.Number("instruments.char_scale", quantity.Gram, 0.01, 500, false, "1 g"),
	}
	aboutFields = form.Fields{
		form.Text("about.stove", "Stove B"), form.Text("about.stove_record", "bvt8wnw6gntx6vr1"), form.Text("about.test", "B3"), form.Text("about.date", "2026-05-04"),
		form.Text("about.tester", "M. K."), form.Text("about.place", "workshop yard"), form.Text("about.note", "invented example"), form.Text("about.left_out", "the pot was knocked over"),
	}
	placeFields = form.Fields{
		form.Number("place.air_temperature", quantity.Celsius, -30, 55, true, "24 °C"),
		form.Number("place.altitude", quantity.Metre, -430, 5500, false, "1200 m"),
		form.Number("place.pressure", quantity.Hectopascal, 450, 1080, false, "880 hPa"),
		form.OneOf("place.wind", false, "still", "light", "windy"),
		form.OneOf("place.room", false, "indoors", "outdoors"),
	}
)

func woodFields(kinds []string) form.Fields {
	return form.Fields{
		form.OneOf("wood.kind", false, kinds...),
		form.Text("wood.pile", "pile 2"),
		form.Number("wood.heating_value", units["kJ/kg"], 8000, 52000, false, "18414 kJ/kg"),
		form.Number("wood.moisture", quantity.Percent, 0, 150, false, "12 %"),
		form.OneOf("wood.moisture_basis", false, "wet", "dry"),
		form.Number("wood.moisture_readings", quantity.Percent, 0, 150, false, "14 %"),
		form.Number("wood.wet_sample", quantity.Gram, 0.5, 5000, false, "212 g"),
		form.Number("wood.dry_sample", quantity.Gram, 0.5, 5000, false, "194 g"),
		form.Number("wood.sample_tin", quantity.Gram, 0, 3000, false, "32 g"),
		form.Number("wood.stick", quantity.Millimetre, 3, 150, false, "30 mm"),
	}
}

// BoilingFields is the form of a boiling test in the order of the paper.
func BoilingFields() []Field { return boilingFields }

// WoodKind is one row of data/wood.yaml: heating values of dry fuel, kJ/kg.
type WoodKind struct {
	Key      string  `yaml:"key"`
	HHV      float64 `yaml:"hhv"`
	LHV      float64 `yaml:"lhv"`
	Kitchen  bool    `yaml:"kitchen"` // asked for in kitchen tests only
	Standing string  `yaml:"standing"`
	Source   string  `yaml:"source"`
}

var woodTable = load[struct {
	Description string     `yaml:"description"`
	Unit        string     `yaml:"unit"`
	Fuels       []WoodKind `yaml:"fuels"`
}]("wood.yaml").Fuels

func woodKinds() []string { return fuelKinds(false) }

// fuelKinds are the keys of the table, those of the kitchen with them or not.
func fuelKinds(kitchen bool) []string {
	var keys []string
	for _, w := range woodTable {
		if kitchen || !w.Kitchen {
			keys = append(keys, w.Key)
		}
	}
	return keys
}

const boilingExample = "test: boiling"

// began is the clock at which the first phase began, "" where it is not written.
func (f BoilingForm) began() string {
	for _, p := range []*PhaseForm{f.Cold, f.Hot, f.Simmer} {
		if p != nil {
			return strings.TrimSpace(p.Start)
		}
	}
	return ""
}

// ParseBoiling reads a boiling test file. The error is a [*message.InputError].
func ParseBoiling(data []byte) (BoilingForm, error) {
	var f BoilingForm
	err := boilingFields.Decode(data, &f, boilingExample)
	return f, err
}

// ReadBoiling reads a boiling test file into a test ready to be computed. The
// error is a [message.InputErrors] or a [*message.InputError].
func ReadBoiling(data []byte) (BoilingTest, error) {
	f, err := ParseBoiling(data)
	if err != nil {
		return BoilingTest{}, err
	}
	return f.Read()
}

// Write gives the file of a form. Reading it back gives the same form.
func (f BoilingForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns a form into a test. Every field is checked; the error is a
// [message.InputErrors] with one complaint a field.
func (f BoilingForm) Read() (BoilingTest, error) {
	r := newReader(boilingFields)
	t := f.read(r)
	return t, r.Complaints.OrNil()
}

func (f BoilingForm) read(r *reader) BoilingTest {
	r.Word("test", f.Test, "boiling")
	t := BoilingTest{Version: Version(r.Word("version", f.Version, string(Version42))),
		About:      f.About.about(),
		Air:        r.quantity("place.air_temperature", f.Place.Air).SI,
		Conditions: Conditions{Pot: strings.TrimSpace(f.Pot.Name), Lid: r.Word("pot.lid", f.Pot.Lid, "off") == "on", Wind: r.Word("place.wind", f.Place.Wind, ""), Room: r.Word("place.room", f.Place.Room, "")},
	}
	t.Instruments = r.instruments(f.Instruments)
	t.Wood = r.wood(f.Wood)
	t.Boiling = r.boilingPoint(f.BoilingPoint, f.Place, t.Instruments.Thermometer)
	pan := r.quantity("char_pan", f.CharPan)
	t.CharPan, t.CharWeighed = pan.SI, pan.Known
	t.Cold, t.Hot, t.Simmer = r.phase("cold", f.Cold), r.phase("hot", f.Hot), r.phase("simmer", f.Simmer)
	t.About.Clock = f.began()
	t.Constants = r.constants(t.Version, f.Constants)
	r.charSense(f, t)
	r.samePots(t)
	if f.Cold == nil && f.Hot == nil && f.Simmer == nil {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "cold", Reason: message.T("bench.no-phase"), Try: "cold:\n  wood_before: 2500 g"})
	}
	if r.running && t.CharWeighed { // that of the hot start is taken over
		for _, ph := range []*Phase{t.Cold, t.Simmer} {
			if ph != nil && !ph.Char.Known {
				ph.Char = Known(math.NaN())
			}
		}
	}
	return t
}

// Instruments that the form leaves out: a kitchen scale and a dial thermometer.
const (
	defaultScale       = 0.001 // kg
	defaultThermometer = 0.5   // K, ± limit
	scaleGain          = 0.002 // relative ± limit, common practice
)

func (r *reader) instruments(f InstrumentForm) Instruments {
	i := r.scales(ScalesForm{f.WoodScale, f.PotScale, f.CharScale})
	i.Thermometer = r.quantity("instruments.thermometer", f.Thermometer).Or(defaultThermometer)
	return i
}

func (r *reader) scales(f ScalesForm) Instruments {
	return Instruments{
		WoodScale:   r.quantity("instruments.wood_scale", f.WoodScale).Or(defaultScale),
		PotScale:    r.quantity("instruments.pot_scale", f.PotScale).Or(defaultScale),
		CharScale:   r.quantity("instruments.char_scale", f.CharScale).Or(defaultScale),
		Thermometer: defaultThermometer,
		ScaleGain:   scaleGain,
	}
}

func (r *reader) wood(f WoodForm) Wood {
	w := Wood{Kind: r.Word("wood.kind", f.Kind, woodTable[0].Key), Pile: strings.TrimSpace(f.Pile), Stick: r.quantity("wood.stick", f.Stick), LHVFrom: Measured, Moisture: r.blank()}
	lhv := r.quantity("wood.heating_value", f.HeatingValue)
	w.LHV = lhv.SI
	if !lhv.Known {
		w.LHVFrom = Default
		for _, row := range woodTable {
			if row.Key == w.Kind {
				w.LHV = row.LHV * 1000
			}
		}
	}
	r.moisture(f, &w)
	return w
}

// moisture takes the moisture from a dried sample, from meter readings or from
// one number whose basis is named, in this order.
func (r *reader) moisture(f WoodForm, w *Wood) {
	wet, dry, tin := r.quantity("wood.wet_sample", f.WetSample), r.quantity("wood.dry_sample", f.DrySample), r.quantity("wood.sample_tin", f.SampleTin)
	one := r.quantity("wood.moisture", f.Moisture)
	basis := r.Word("wood.moisture_basis", f.MoistureBasis, "")
	var meter, read []float64 // of the wet mass, and as the meter shows them
	for i, text := range f.Readings {
		if v := r.quantity("wood.moisture_readings["+strconv.Itoa(i+1)+"]", text); v.Known {
			meter, read = append(meter, DryToWet(v.SI)), append(read, v.SI)
		}
	}
	say := func(field, value string, reason, try string) {
		r.Complaints = append(r.Complaints, &message.InputError{Field: field, Value: value, Reason: message.T(reason), Try: try})
	}
	switch {
	case wet.Known || dry.Known:
		if !(wet.SI > dry.SI-1e-12 && dry.SI > tin.SI) {
			say("wood.dry_sample", f.DrySample, "bench.sample-order", "wet_sample: 212 g, dry_sample: 194 g, sample_tin: 32 g")
			return
		}
		w.Moisture, w.MoistureU = OvenDry(wet.SI, dry.SI, tin.SI), defaultScale/(wet.SI-tin.SI)
		w.MoistureHow = howDried(wet.SI, dry.SI, tin.SI)
	case len(meter) > 0:
		w.Moisture, w.MoistureU = meanAndError(meter)
		w.MoistureReadings, w.MoistureHow = len(meter), howMetered(read)
	case one.Known && basis == "":
		say("wood.moisture_basis", "", "bench.basis-missing", "wet")
	case one.Known && basis == "wet" && one.SI > 0.7:
		say("wood.moisture", f.Moisture, "bench.moisture-wet", "12 %")
	case one.Known:
		w.Moisture, w.MoistureU = one.SI, 0.01
		if basis == "dry" {
			w.Moisture, w.MoistureHow = DryToWet(one.SI), howMetered([]float64{one.SI})
		}
	default:
		say("wood.moisture", "", "bench.moisture-missing", "12 %")
	}
}

func (r *reader) boilingPoint(f BoilingPointForm, place PlaceForm, thermometer float64) BoilingPoint {
	low, high := r.quantity("boiling_point.lowest", f.Lowest), r.quantity("boiling_point.highest", f.Highest)
	pressure, altitude := r.quantity("place.pressure", place.Pressure), r.quantity("place.altitude", place.Altitude)
	switch {
	case low.Known || high.Known:
		b := BoilingFromRange(low.Or(high.SI), high.Or(low.SI), thermometer)
		if low.Known && high.Known && low.SI > high.SI {
			r.Complaints = append(r.Complaints, &message.InputError{Field: "boiling_point.lowest", Value: f.Lowest, Reason: message.T("bench.lowest-above-highest"), Try: f.Highest})
			b.Kelvin = r.blank()
		}
		if altitude.Known {
			b = b.Against(altitude.SI)
		}
		return b
	case pressure.Known:
		return BoilingFromPressure(pressure.SI)
	case altitude.Known:
		return BoilingFromAltitude(altitude.SI)
	}
	r.Complaints = append(r.Complaints, &message.InputError{Field: "boiling_point", Reason: message.T("bench.boiling-missing"), Try: "highest: 96.8 °C"})
	return BoilingPoint{Kelvin: r.blank()}
}

func (r *reader) phase(name string, f *PhaseForm) *Phase {
	if f == nil {
		return nil
	}
	defer r.Rename(len(r.Complaints), "phase", name) // the fields of a phase stand once in the form
	p := &Phase{
		WoodBefore: r.quantity("phase.wood_before", f.WoodBefore).SI,
		WoodAfter:  r.quantity("phase.wood_after", f.WoodAfter).SI,
		Char:       r.quantity("phase.char_with_pan", f.Char),
		Lowest:     r.quantity("phase.lowest_temperature", f.Lowest),
		ColdStove:  r.Word("phase.stove", f.StoveState, map[bool]string{true: "cold", false: "hot"}[name == "cold"]) == "cold",
	}
	p.Duration = r.duration("phase.", f.Start, f.End, f.Duration)
	for i, pot := range f.Pots {
		path := fmt.Sprintf("phase.pots[%d].", i+1)
		p.Pots = append(p.Pots, PotReading{Empty: r.quantity(path+"empty", pot.Empty).SI, Before: r.quantity(path+"before", pot.Before).SI,
			After: r.quantity(path+"after", pot.After).SI, Start: r.quantity(path+"start_temperature", pot.Start).SI, End: r.quantity(path+"end_temperature", pot.End).SI})
	}
	if len(f.Pots) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "phase.pots", Reason: message.T("bench.no-pot"), Try: "pots:\n  - empty: 700 g"})
	}
	return p
}

// duration takes clock times before a duration; over midnight counts on.
func (r *reader) duration(path, startText, endText, lengthText string) float64 {
	start, end, length := r.clock(path+"start", startText), r.clock(path+"end", endText), r.quantity(path+"duration", lengthText)
	switch {
	case start.Known && end.Known:
		seconds := end.SI - start.SI
		if seconds < 0 {
			seconds += 24 * 3600
		}
		if seconds == 0 || seconds > 10*3600 {
			r.Complain(path+"end", endText, message.T("bench.clock-order"))
		}
		return seconds
	case length.Known:
		return length.SI
	case lengthText != "": // already complained about
	case startText == "" && endText == "":
		r.Complain(path+"duration", "", message.T("bench.required"))
	case startText == "" || endText == "":
		r.Complain(path+"end", endText, message.T("bench.clock-pair"))
	}
	return r.blank()
}

func (r *reader) constants(v Version, f map[string]string) map[string]float64 {
	if len(f) == 0 {
		return nil
	}
	s, ok := boilingSheet(v)
	if !ok {
		return nil // complained of already
	}
	known := make([]string, len(s.file.Constants))
	for i, row := range s.file.Constants {
		known[i] = row.Key
	}
	values := map[string]float64{}
	for key, written := range f {
		number, err := quantity.Parse(written, quantity.Ratio, quantity.One)
		switch {
		case !slices.Contains(known, key):
			r.Complaints = append(r.Complaints, &message.InputError{Field: "constants." + clip(key), Value: clip(written), Reason: message.T("bench.unknown-constant"),
				Allowed: message.T("form.allowed", "names", strings.Join(known, ", ")), Try: message.Nearest(clip(key), known)})
		case err != nil || number <= 0:
			r.Complaints = append(r.Complaints, &message.InputError{Field: "constants." + key, Value: clip(written), Reason: message.T("bench.constant-number"), Try: "2257"})
		default:
			values[key] = number
		}
	}
	return values
}

// charSense: char on the scale without the pan's mass cannot be used.
func (r *reader) charSense(f BoilingForm, t BoilingTest) {
	for i, name := range phases {
		if ph := t.phase(i); ph != nil && ph.Char.Known && !t.CharWeighed {
			r.Complaints = append(r.Complaints, &message.InputError{Field: "char_pan", Value: f.CharPan,
				Reason: message.T("bench.char-pan-missing", "phase", phaseName(name)), Try: "250 g"})
			return
		}
	}
}

// samePots: every phase has the same pots.
func (r *reader) samePots(t BoilingTest) {
	first := -1
	for i, name := range phases {
		ph := t.phase(i)
		switch {
		case ph == nil || len(ph.Pots) == 0:
		case first < 0:
			first = len(ph.Pots)
		case len(ph.Pots) != first:
			r.Complaints = append(r.Complaints, &message.InputError{Field: name + ".pots", Value: strconv.Itoa(len(ph.Pots)),
				Reason: message.T("bench.pots-differ", "n", first), Try: "pots:\n  - empty: 700 g"})
		}
	}
}

func phaseName(phase string) message.Text { return message.T("bench.phase." + phase) }
