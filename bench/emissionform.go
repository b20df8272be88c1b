package bench

import (
	"fmt"
	"math"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// EmissionForm is what instruments read while one fire burnt, as it is written:
// a total-capture hood with its flow, or a plume without one, and the kitchen
// that the emission is set in. See [BoilingForm].
type EmissionForm struct {
	Test       string          `yaml:"test"`   // "emission"
	Method     string          `yaml:"method"` // hood or plume
	About      AboutForm       `yaml:"about,omitempty"`
	Wood       WoodForm        `yaml:"wood"`
	Burnt      BurntForm       `yaml:"burnt"`
	Gas        GasForm         `yaml:"gas"`
	Background GasReadingForm  `yaml:"background,omitempty"`
	Samples    []GasSampleForm `yaml:"samples"`
	Filter     *FilterForm     `yaml:"filter,omitempty"`
	Room       *RoomForm       `yaml:"room,omitempty"`

	Instruments GasInstrumentsForm `yaml:"instruments,omitempty"`
}

// BurntForm is the fire: what it burnt, and the heat that reached the pot.
type BurntForm struct {
	Wood       string `yaml:"wood"`
	Char       string `yaml:"char,omitempty"`
	Useful     string `yaml:"useful_heat,omitempty"`
	Duration   string `yaml:"duration"`
	WoodCarbon string `yaml:"wood_carbon,omitempty"`     // share of the dry wood
	CharCarbon string `yaml:"char_carbon,omitempty"`     // share of the char
	SootCarbon string `yaml:"particle_carbon,omitempty"` // share of the particles
}

// GasForm is the state at which volumes and flow are stated.
type GasForm struct {
	Temperature string `yaml:"temperature"`
	Pressure    string `yaml:"pressure,omitempty"`
}

// GasReadingForm is the air before the fire.
type GasReadingForm struct {
	CO        string `yaml:"co,omitempty"`
	CO2       string `yaml:"co2,omitempty"`
	CH4       string `yaml:"ch4,omitempty"`
	Particles string `yaml:"particles,omitempty"`
}

// GasSampleForm is one reading, background not taken off.
type GasSampleForm struct {
	Time      string `yaml:"time,omitempty"` // since the fire was lit
	CO        string `yaml:"co"`
	CO2       string `yaml:"co2,omitempty"`
	CH4       string `yaml:"ch4,omitempty"`
	Particles string `yaml:"particles,omitempty"`
	Flow      string `yaml:"flow,omitempty"` // of the duct
}

// FilterForm is a filter that sampled a part of the duct.
type FilterForm struct {
	Mass         string `yaml:"mass"`
	DuctVolume   string `yaml:"duct_volume"`
	SampleVolume string `yaml:"sample_volume"`
}

// RoomForm is the kitchen that the emission is set in.
type RoomForm struct {
	Volume     string `yaml:"volume"`
	AirChanges string `yaml:"air_changes"`
	Enters     string `yaml:"enters,omitempty"` // share that stays in the room
	Burn       string `yaml:"burning"`          // a day
	Particles  string `yaml:"background_particles,omitempty"`
	CO         string `yaml:"background_co,omitempty"`
}

// GasInstrumentsForm is the step of the scale and, as shares of what is read, the ±
// limits that the certificates of the instruments give.
type GasInstrumentsForm struct {
	WoodScale string `yaml:"wood_scale,omitempty"`
	CO        string `yaml:"co,omitempty"`
	CO2       string `yaml:"co2,omitempty"`
	CH4       string `yaml:"ch4,omitempty"`
	Particles string `yaml:"particles,omitempty"`
	Flow      string `yaml:"flow,omitempty"`
}

// Methods of an emission test.
const (
	HoodMethod  = "hood"
	PlumeMethod = "plume"
)

var milligram = quantity.Unit{Symbol: "mg", Dimension: quantity.Mass, Factor: 1e-6}

// A cell that has drifted reads less than nothing in clean air; that is taken off
// with the background, not cut away.
var emissionFields = paper(form.Fields{
	form.OneOf("test", false, "emission"),
	form.OneOf("method", true, HoodMethod, PlumeMethod),
}.And(aboutFields, woodFields(fuelKinds(false)), form.Fields{
	form.Number("burnt.wood", quantity.Gram, 1, 500000, true, "750 g"),
	form.Number("burnt.char", quantity.Gram, 0, 100000, false, "60 g"),
	form.Number("burnt.useful_heat", quantity.Megajoule, 0, 5000, false, "2.02 MJ"),
	form.Number("burnt.duration", quantity.Minute, 0.5, 1440, true, "22 min"),
	form.Number("burnt.wood_carbon", quantity.Percent, 30, 65, false, "50 %"),
	form.Number("burnt.char_carbon", quantity.Percent, 50, 100, false, "80 %"),
	form.Number("burnt.particle_carbon", quantity.Percent, 10, 100, false, "50 %"),
	form.Number("gas.temperature", quantity.Celsius, -30, 400, true, "25 °C"),
	form.Number("gas.pressure", quantity.Hectopascal, 450, 1080, false, "1013 hPa"),
	form.Number("background.co", quantity.PPM, -20, 1000, false, "1 ppm"),
	form.Number("background.co2", quantity.PPM, -200, 10000, false, "420 ppm"),
	form.Number("background.ch4", quantity.PPM, -20, 1000, false, "2 ppm"),
	form.Number("background.particles", quantity.MgPerM3, -1, 100, false, "0.02 mg/m³"),
	form.Number("samples.time", quantity.Minute, 0, 1440, false, "2 min"),
	form.Number("samples.co", quantity.PPM, -20, 100000, true, "101 ppm"),
	form.Number("samples.co2", quantity.PPM, -200, 250000, false, "2420 ppm"),
	form.Number("samples.ch4", quantity.PPM, -20, 50000, false, "10 ppm"),
	form.Number("samples.particles", quantity.MgPerM3, -1, 100000, false, "6 mg/m³"),
	form.Number("samples.flow", quantity.M3PerMin, 0, 1000, false, "6 m³/min"),
	form.Number("filter.mass", milligram, 0, 1000, false, "1.25 mg"),
	form.Number("filter.duct_volume", quantity.CubicMetre, 0.01, 1e6, false, "132 m³"),
	form.Number("filter.sample_volume", quantity.Litre, 0.1, 1e6, false, "367 L"),
	form.Number("room.volume", quantity.CubicMetre, 2, 10000, false, "30 m³"),
	form.Number("room.air_changes", quantity.PerHour, 0.1, 200, false, "15 per h"),
	form.Number("room.enters", quantity.Percent, 0, 100, false, "100 %"),
	form.Number("room.burning", quantity.Hour, 0.05, 24, false, "4 h"),
	form.Number("room.background_particles", quantity.MgPerM3, 0, 100, false, "0.02 mg/m³"),
	form.Number("room.background_co", quantity.MgPerM3, 0, 1000, false, "0.5 mg/m³"),
	form.Number("instruments.wood_scale", quantity.Gram, 0.01, 500, false, "1 g"),
	form.Number("instruments.co", quantity.Percent, 0.1, 50, false, "5 %"),
	form.Number("instruments.co2", quantity.Percent, 0.1, 50, false, "5 %"),
	form.Number("instruments.ch4", quantity.Percent, 0.1, 50, false, "5 %"),
	form.Number("instruments.particles", quantity.Percent, 0.1, 90, false, "20 %"),
	form.Number("instruments.flow", quantity.Percent, 0.1, 50, false, "5 %"),
}))

// EmissionFields is the form of an emission test in the order of the paper.
func EmissionFields() []Field { return emissionFields }

// EmissionTest is one fire with what instruments read of it.
type EmissionTest struct {
	About      About
	Method     string
	Hood       Hood
	Samples    []HoodSample
	Burnt      Burnt
	PMCarbon   float64
	FilterPM   Given // kg, of the whole duct
	Room       *Room // Emission not set; for particles
	RoomCO     float64
	Burn       float64 // s a day
	AssumedAir bool    // the pressure is that of the sea
	Gauges     GasInstruments
}

// ReadEmission reads an emission file. The error is a [message.InputErrors] or
// a [*message.InputError].
func ReadEmission(data []byte) (EmissionTest, error) {
	f, err := ParseEmission(data)
	if err != nil {
		return EmissionTest{}, err
	}
	return f.Read()
}

// ParseEmission reads the file into the form. The error is a
// [*message.InputError].
func ParseEmission(data []byte) (EmissionForm, error) {
	var f EmissionForm
	err := emissionFields.Decode(data, &f, "test: emission")
	return f, err
}

// Shares of carbon where none was measured: dry wood 50 % (published, from
// memory), char 80 % and particles 50 % (common practice).
const (
	woodCarbon = 0.50
	charCarbon = 0.80
	sootCarbon = 0.50
	seaLevel   = 101325.0 // Pa
)

// Read turns a form into a test; the error is a [message.InputErrors].
func (f EmissionForm) Read() (EmissionTest, error) {
	r := newReader(emissionFields)
	r.Word("test", f.Test, "emission")
	t := EmissionTest{About: f.About.about(), Method: r.Word("method", f.Method, "")}
	wood := r.wood(f.Wood)
	t.Burnt = Burnt{Wood: r.quantity("burnt.wood", f.Burnt.Wood).SI, Moisture: wood.Moisture, Char: r.quantity("burnt.char", f.Burnt.Char).SI,
		CarbonWood: r.quantity("burnt.wood_carbon", f.Burnt.WoodCarbon).Or(woodCarbon), CarbonChar: r.quantity("burnt.char_carbon", f.Burnt.CharCarbon).Or(charCarbon),
		Useful: r.quantity("burnt.useful_heat", f.Burnt.Useful).Or(math.NaN()), Duration: r.quantity("burnt.duration", f.Burnt.Duration).SI}
	t.PMCarbon = r.quantity("burnt.particle_carbon", f.Burnt.SootCarbon).Or(sootCarbon)
	pressure := r.quantity("gas.pressure", f.Gas.Pressure)
	t.AssumedAir = !pressure.Known
	t.Hood = Hood{Temperature: r.quantity("gas.temperature", f.Gas.Temperature).SI, Pressure: pressure.Or(seaLevel),
		Background: HoodSample{CO: r.quantity("background.co", f.Background.CO).SI, CO2: r.quantity("background.co2", f.Background.CO2).SI,
			CH4: r.quantity("background.ch4", f.Background.CH4).SI, PM: r.quantity("background.particles", f.Background.Particles).SI}}
	r.samples(f.Samples, &t)
	t.Gauges = r.gasInstruments(f.Instruments)
	if p := f.Filter; p != nil {
		mass, duct, part := r.quantity("filter.mass", p.Mass), r.quantity("filter.duct_volume", p.DuctVolume), r.quantity("filter.sample_volume", p.SampleVolume)
		switch {
		case !mass.Known || !duct.Known || !part.Known:
			r.complain("filter", "bench.emission.filter", "mass: 1.25 mg, duct_volume: 132 m³, sample_volume: 367 L")
		default:
			t.FilterPM = Known(FilterMass(mass.SI, duct.SI, part.SI, t.Hood.Background.PM))
		}
	}
	if m := f.Room; m != nil {
		volume, changes, burn := r.quantity("room.volume", m.Volume), r.quantity("room.air_changes", m.AirChanges), r.quantity("room.burning", m.Burn)
		if !volume.Known || !changes.Known || !burn.Known {
			r.complain("room", "bench.emission.room", "volume: 30 m³, air_changes: 15 per h, burning: 4 h")
		}
		t.Room = &Room{Volume: volume.SI, AirChanges: changes.SI, EntersRoom: r.quantity("room.enters", m.Enters).Or(1), Background: r.quantity("room.background_particles", m.Particles).SI}
		t.RoomCO, t.Burn = r.quantity("room.background_co", m.CO).SI, burn.SI
	}
	return t, r.Complaints.OrNil()
}

func (r *reader) gasInstruments(f GasInstrumentsForm) GasInstruments {
	return GasInstruments{WoodScale: r.quantity("instruments.wood_scale", f.WoodScale).Or(defaultScale),
		CO: r.quantity("instruments.co", f.CO).Or(gasLimit), CO2: r.quantity("instruments.co2", f.CO2).Or(gasLimit), CH4: r.quantity("instruments.ch4", f.CH4).Or(gasLimit),
		PM: r.quantity("instruments.particles", f.Particles).Or(particleLimit), Flow: r.quantity("instruments.flow", f.Flow).Or(flowLimit)}
}

func (r *reader) complain(field, reason, try string) {
	r.Complaints = append(r.Complaints, &message.InputError{Field: field, Reason: message.T(reason), Try: try})
}

// samples reads the rows of the instruments: times that go on, and a flow in
// every row of a hood.
func (r *reader) samples(list []GasSampleForm, t *EmissionTest) {
	last := -1.0
	for i, s := range list {
		path := fmt.Sprintf("samples[%d].", i+1)
		at, flow := r.quantity(path+"time", s.Time), r.quantity(path+"flow", s.Flow)
		t.Samples = append(t.Samples, HoodSample{Time: at.SI, CO: r.quantity(path+"co", s.CO).SI, CO2: r.quantity(path+"co2", s.CO2).SI, CH4: r.quantity(path+"ch4", s.CH4).SI,
			PM: r.quantity(path+"particles", s.Particles).SI, Flow: flow.SI})
		if t.Method == HoodMethod && !flow.Known {
			r.complain(path+"flow", "bench.emission.flow", "flow: 6 m³/min")
		}
		if len(list) > 1 && (!at.Known || at.SI <= last) {
			r.complain(path+"time", "bench.emission.time", fmt.Sprintf("time: %d min", i+1))
		}
		last = at.SI
	}
	if len(list) == 0 || t.Method == HoodMethod && len(list) < 2 {
		r.complain("samples", "bench.emission.few", "samples:\n  - {time: 0 min, co: 1 ppm, flow: 6 m³/min}")
	}
}

// EmissionResult is an emission test computed; NaN stands for what was not
// measured.
type EmissionResult struct {
	Emitted  Emitted
	MCE, NCE float64
	Closure  Closure // of a hood; zero for a plume, which is closed by definition
	Steps    []Step
	Alarms   []Alarm
}

// Usable reports whether no alarm spoils the result.
func (r EmissionResult) Usable() bool { return usable(r.Alarms) }

// Emit computes an emission test: a hood by what passed the duct, a plume by
// sharing out the carbon burnt; then what that gives per energy delivered, a
// time, and in the kitchen of the form. The error says what the readings lack.
func Emit(t EmissionTest) (EmissionResult, error) {
	r := EmissionResult{MCE: math.NaN(), NCE: math.NaN()}
	r.reading("f_m", "g", t.Burnt.Wood, Measured)
	r.reading("m", "", t.Burnt.Moisture, Measured)
	r.reading("dc", "g", t.Burnt.Char, Measured)
	r.reading("F_c", "%", t.Burnt.CarbonWood, Default)
	r.reading("F_char", "%", t.Burnt.CarbonChar, Default)
	var err error
	if t.Method == HoodMethod {
		err = r.hood(t)
	} else {
		err = r.plume(t)
	}
	if err != nil {
		return EmissionResult{}, err
	}
	r.rates(t)
	r.inRoom(t)
	if t.Hood.Background == (HoodSample{}) {
		r.Alarms = append(r.Alarms, Alarm{Key: "no-background", Severity: Suspect, Standing: "common practice", Text: message.T("bench.emission.no-background")})
	}
	if t.AssumedAir {
		r.Alarms = append(r.Alarms, Alarm{Key: "sea-pressure", Severity: Note, Standing: "common practice", Text: message.T("bench.emission.sea-pressure")})
	}
	return r, nil
}

func (r *EmissionResult) reading(key, unit string, si float64, origin Origin) {
	u := emissionUnits(unit)
	r.Steps = append(r.Steps, Step{Key: key, Symbol: key, Name: quantityName(key), Value: quantity.Value{SI: si, Unit: u}, Origin: origin})
}

// emissionUnits adds to the units of the protocols those of concentrations.
func emissionUnits(name string) quantity.Unit {
	switch name {
	case "mg/m³":
		return quantity.MgPerM3
	case "µg/m³":
		return quantity.Unit{Symbol: "µg/m³", Dimension: quantity.Density, Factor: 1e-9}
	case "g/m³":
		return quantity.Unit{Symbol: "g/m³", Dimension: quantity.Density, Factor: 1e-3}
	case "m³":
		return quantity.CubicMetre
	}
	return units[name]
}

func (r *EmissionResult) computed(key, unit string, si float64, equation string, numbers ...float64) {
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return
	}
	texts := make([]string, len(numbers))
	for i, v := range numbers {
		texts[i] = pencil(v)
	}
	s := Step{Key: key, Symbol: key, Name: quantityName(key), Value: quantity.Value{SI: si, Unit: emissionUnits(unit)}, Origin: Computed}
	if equation != "" {
		s.Equation = key + " = " + equation
		s.Numbers = key + " = " + placed(equation, texts)
	}
	r.Steps = append(r.Steps, s)
}

// The room of the kitchen by hand: G an hour, V in m³, λ an hour, t_b in hours.
const (
	roomDay = "C_bg + f·G/(λ·V·24)·(t_b − (1 − e^(−λ·t_b))·e^(−λ·(24 − t_b))/λ)"
	roomEnd = "C_bg + f·G/(λ·V)·(1 − e^(−λ·t_b))"
)

// inAir sets a concentration in the kitchen, with its equation.
func (r *EmissionResult) inAir(key, unit string, si float64, equation string, room Room, burn float64) {
	before := len(r.Steps)
	r.computed(key, unit, si, "")
	mass := emissionUnits(unit).Factor // of a m³
	const hour = 3600.0
	numbers := strings.NewReplacer("C_bg", pencil(room.Background/mass), "f", pencil(room.EntersRoom), "G", pencil(room.EmissionPer*hour/mass),
		"λ", pencil(room.AirChanges*hour), "V", pencil(room.Volume), "t_b", pencil(burn/hour))
	for i := range r.Steps[before:] {
		r.Steps[before+i].Equation, r.Steps[before+i].Numbers = key+" = "+equation, key+" = "+numbers.Replace(equation)
	}
}

// placed writes numbers in place of the symbols of a short equation, in order.
func placed(equation string, numbers []string) string {
	var b strings.Builder
	word := false
	for _, c := range equation {
		letter := c == '_' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == 'λ' || c == 'η'
		switch {
		case letter && !word && len(numbers) > 0:
			b.WriteString(numbers[0])
			numbers, word = numbers[1:], true
		case letter || word && c >= '0' && c <= '9':
		default:
			word = false
			b.WriteRune(c)
		}
	}
	return b.String()
}

func (r *EmissionResult) hood(t EmissionTest) error {
	e, err := t.Hood.Capture(t.Samples)
	if err != nil { // the form has looked at all but gaps
		return message.InputErrors{&message.InputError{Field: "samples", Reason: message.T("bench.emission.gap"), Try: "time: 2 min"}}
	}
	if t.FilterPM.Known {
		e.PM = t.FilterPM.SI
	}
	r.Emitted = e
	span := t.Samples[len(t.Samples)-1].Time - t.Samples[0].Time
	flow := meanOverTime(t.Samples, func(s HoodSample) float64 { return s.Flow })
	r.computed("V_gas", "m³", flow*span, "Q·t", flow*60, span/60)
	r.masses(flow*span, t.FilterPM.Known)
	if e.CO2 < 0 || e.CO < 0 {
		r.Alarms = append(r.Alarms, Alarm{Key: "below-background", Severity: Wrong, Standing: "exact", Text: message.T("bench.emission.below-background")})
	}
	if e.CO2 > 0 {
		co, co2 := e.CO/molarCO, e.CO2/molarCO2
		r.MCE = co2 / (co2 + co)
		r.Closure = CloseCarbon(e, t.PMCarbon, t.Burnt)
		r.computed("MCE", "%", r.MCE, "(m_CO2/M_CO2)/(m_CO2/M_CO2 + m_CO/M_CO)", e.CO2*1e3, molarCO2*1e3, e.CO2*1e3, molarCO2*1e3, e.CO*1e3, molarCO*1e3)
		r.computed("closure", "%", r.Closure.Ratio, "C_found/C_b", r.Closure.Found*1000, r.Closure.Burnt*1000)
		r.Alarms = append(r.Alarms, r.Closure.Alarms...)
	}
	return nil
}

// plume balances the carbon of the mean of the samples above background.
func (r *EmissionResult) plume(t EmissionTest) error {
	mean := func(of func(HoodSample) float64) float64 { return meanOverTime(t.Samples, of) - of(t.Hood.Background) }
	p := Plume{CO: mean(func(s HoodSample) float64 { return s.CO }), CO2: mean(func(s HoodSample) float64 { return s.CO2 }), CH4: math.Max(0, mean(func(s HoodSample) float64 { return s.CH4 })),
		PM: math.Max(0, mean(func(s HoodSample) float64 { return s.PM })), PMCarbon: t.PMCarbon, Pressure: t.Hood.Pressure, Temperature: t.Hood.Temperature}
	b, err := BalanceCarbon(p, t.Burnt)
	if err != nil {
		return message.InputErrors{&message.InputError{Field: "samples", Reason: message.T("bench.emission.no-balance"), Try: "co2: 2420 ppm"}}
	}
	r.Steps = append(r.Steps, b.CarbonEquation)
	r.Emitted, r.MCE, r.NCE = b.Emitted, b.MCE, b.NCE
	r.computed("V_gas", "m³", b.Volume, "C_b/c_C", b.Carbon*1e3, b.PlumeCarbon*1e3)
	r.masses(b.Volume, false)
	r.computed("MCE", "%", r.MCE, "")
	r.computed("NCE", "%", r.NCE, "")
	r.Alarms = append(r.Alarms, b.Alarms...)
	return nil
}

// meanOverTime is the mean of readings by the trapezoidal rule; of one reading,
// the reading.
func meanOverTime(list []HoodSample, of func(HoodSample) float64) float64 {
	n := len(list)
	span := list[n-1].Time - list[0].Time
	if n == 1 || span <= 0 {
		values := make([]float64, n)
		for i, s := range list {
			values[i] = of(s)
		}
		return stats.Mean(values)
	}
	var sum float64
	for i := 1; i < n; i++ {
		sum += (of(list[i-1]) + of(list[i])) / 2 * (list[i].Time - list[i-1].Time)
	}
	return sum / span
}

// masses are what was emitted, kept with the gas it was in, m³: each mass is the
// mean rise over the background in that gas, weighted by its flow, times the gas.
// What a filter weighed is no such product.
func (r *EmissionResult) masses(volume float64, filtered bool) {
	for _, m := range []struct {
		mass, unit, rise, dense string
		si                      float64
		optional, weighed       bool // not every instrument reads it; weighed on a filter
	}{{"m_CO", "g", "c_CO", "g/m³", r.Emitted.CO, false, false}, {"m_CO2", "g", "c_CO2", "g/m³", r.Emitted.CO2, false, false},
		{"m_CH4", "g", "c_CH4", "g/m³", r.Emitted.CH4, true, false}, {"m_PM", "mg", "c_PM", "mg/m³", r.Emitted.PM, true, filtered}} {
		switch rise := m.si / volume; {
		case m.optional && m.si <= 0:
		case m.weighed:
			r.computed(m.mass, m.unit, m.si, "")
		default:
			r.computed(m.rise, m.dense, rise, "")
			r.computed(m.mass, m.unit, m.si, m.rise+"·V_gas", rise/emissionUnits(m.dense).Factor, volume)
		}
	}
}

// rates are the emission per energy delivered, per dry wood and per time.
func (r *EmissionResult) rates(t EmissionTest) {
	dry := t.Burnt.Wood * (1 - t.Burnt.Moisture)
	useful, minutes := t.Burnt.Useful/1e6, t.Burnt.Duration/60
	r.computed("eCO", "g/MJ", r.Emitted.CO/t.Burnt.Useful, "m_CO/Q_u", r.Emitted.CO*1e3, useful)
	if r.Emitted.PM == 0 {
		r.computed("fCO", "g/kg", r.Emitted.CO/dry, "m_CO/f_dry", r.Emitted.CO*1e3, dry)
		r.computed("rCO", "g/min", r.Emitted.CO/t.Burnt.Duration, "m_CO/t", r.Emitted.CO*1e3, minutes)
		return
	}
	r.computed("ePM", "mg/MJ", r.Emitted.PM/t.Burnt.Useful, "m_PM/Q_u", r.Emitted.PM*1e6, useful)
	r.computed("fCO", "g/kg", r.Emitted.CO/dry, "m_CO/f_dry", r.Emitted.CO*1e3, dry)
	r.computed("fPM", "g/kg", r.Emitted.PM/dry, "m_PM/f_dry", r.Emitted.PM*1e3, dry)
	r.computed("rCO", "g/min", r.Emitted.CO/t.Burnt.Duration, "m_CO/t", r.Emitted.CO*1e3, minutes)
	r.computed("rPM", "mg/min", r.Emitted.PM/t.Burnt.Duration, "m_PM/t", r.Emitted.PM*1e6, minutes)
}

// inRoom sets the emission in the kitchen of the form: the mean of a day and the
// air when the fire goes out.
func (r *EmissionResult) inRoom(t EmissionTest) {
	if t.Room == nil {
		return
	}
	const day = 24 * 3600
	set := func(key, unit string, emission, background float64) {
		room := *t.Room
		room.EmissionPer, room.Background = emission/t.Burnt.Duration, background
		burn := math.Min(t.Burn, day)
		r.inAir(key+"_day", unit, room.Mean(burn, day), roomDay, room, burn)
		r.inAir(key+"_end", unit, room.At(t.Burn), roomEnd, room, t.Burn)
	}
	set("room_CO", "mg/m³", r.Emitted.CO, t.RoomCO)
	if r.Emitted.PM > 0 {
		set("room_PM", "µg/m³", r.Emitted.PM, t.Room.Background)
	}
	r.Alarms = append(r.Alarms, Alarm{Key: "room-model", Severity: Note, Standing: "published", Source: "stratification2019", Text: message.T("bench.emission.room-model")})
}
