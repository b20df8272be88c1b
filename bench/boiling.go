package bench

import (
	"fmt"

	"stovewright/message"
)

// Version is the protocol of a boiling test. Results of different versions are
// never compared.
type Version string

// The versions that are computed.
const (
	Version42 Version = "4.2" // 4.2.x, 2013 and after
	Version30 Version = "3.0" // 2007, for old data sheets
)

var boiling42, boiling30 = lazySheet("boiling-4.2.yaml"), lazySheet("boiling-3.0.yaml")

// versions are the protocols that are computed.
var versions = []Version{Version42, Version30}

// boilingSheet is the protocol of a version.
func boilingSheet(v Version) (s *sheet, ok bool) {
	switch v {
	case Version42:
		return boiling42(), true
	case Version30:
		return boiling30(), true
	}
	return nil, false
}

// Given is a value that may not have been taken.
type Given struct {
	SI    float64
	Known bool
}

// Or is the value, or a fallback where it was not taken.
func (g Given) Or(fallback float64) float64 {
	if g.Known {
		return g.SI
	}
	return fallback
}

// Known makes a value that was taken.
func Known(si float64) Given { return Given{si, true} }

// About says what was tested, when and by whom.
type About struct {
	Stove, Test, Date, Tester, Place, Note string

	Clock   string // when it began, where the form says so
	LeftOut string // why the test is kept and not counted; "" for one that counts
}

// Wood is the fuel of a test. One pile for all tests that are compared.
type Wood struct {
	Kind     string
	Pile     string  // name of the pile or delivery
	LHV      float64 // J/kg of dry wood, lower heating value
	LHVFrom  Origin
	Moisture float64 // share of the wet mass

	MoistureU        float64 // its standard uncertainty
	MoistureHow      How     // how it follows from what was read, where it was not read itself
	MoistureReadings int     // readings of a meter behind it; 0 for other ways
	Stick            Given   // m, thickness of the sticks
}

// Conditions are what must be the same for two stoves to be compared.
type Conditions struct {
	Pot  string // name of the pot
	Lid  bool
	Wind string // still, light, windy or ""
	Room string // indoors, outdoors or ""
}

// Instruments are the steps of the scales and the error of the thermometer.
type Instruments struct {
	WoodScale, PotScale, CharScale float64 // kg, smallest step shown
	Thermometer                    float64 // K, ± limit
	ScaleGain                      float64 // relative ± limit of the calibration
}

// PotReading is one pot in one phase: kg and K.
type PotReading struct {
	Empty         float64 // the pot alone
	Before, After float64 // pot and water
	Start, End    float64 // water temperature, K
}

// Phase is one part of a boiling test.
type Phase struct {
	WoodBefore, WoodAfter float64 // kg
	Char                  Given   // kg, char with its pan at the end
	Pots                  []PotReading
	Duration              float64 // s
	Lowest                Given   // K, lowest water temperature seen while simmering
	ColdStove             bool    // the stove was cold at the start; true for a cold start
}

// BoilingTest is one boiling test as it was measured.
type BoilingTest struct {
	Version     Version
	About       About
	Wood        Wood
	Air         float64 // K
	Boiling     BoilingPoint
	CharPan     float64 // kg
	CharWeighed bool    // false: char was not weighed at all and no credit is given
	Cold        *Phase
	Hot         *Phase
	Simmer      *Phase
	Instruments Instruments
	Conditions  Conditions
	Constants   map[string]float64 // yours, by key, in the protocol's unit
}

// PhaseResult is one phase computed, in SI. NaN stands for what could not be.
type PhaseResult struct {
	Wood, Char, DryWood  float64 // kg: moist wood burnt, net char, equivalent dry wood
	Evaporated, Water    float64 // kg: steam, and water effectively boiled or left simmering
	Duration             float64 // s
	CorrectedDuration    float64 // s, for a rise of 75 K
	Useful, FuelEnergy   float64 // J
	Efficiency           float64 // the char credited
	EfficiencyNoChar     float64 // the char counted as burnt
	BurnRate             float64 // kg/s of dry wood
	Consumption          float64 // kg of dry wood a m³ of water (g/L)
	CorrectedConsumption float64 // the same for a rise of 75 K; NaN for the simmer
	SpecificEnergy       float64 // J/m³
	Firepower            float64 // W
	CookingPower         float64 // W
	CharAssumed          bool    // char taken over from the cold start
}

// BoilingResult is a boiling test computed by its protocol.
type BoilingResult struct {
	Version             Version
	Cold, Hot, Simmer   *PhaseResult // nil for a phase that was not burnt
	HighPowerEfficiency float64      // mean of cold and hot start
	Turndown            float64      // firepower of the hot start over the simmer
	TurndownMean        float64      // mean of both starts over the simmer
	TaskFuel            float64      // kg of dry wood to boil and simmer the reference volume
	TaskEnergy          float64      // J for the same
	LowPowerUse         float64      // W/m³, energy of the simmer a time and volume left
	Steps               []Step       // every reading, constant and equation, in order
	Alarms              []Alarm
}

// Usable reports whether no alarm spoils the result.
func (r BoilingResult) Usable() bool { return usable(r.Alarms) }

// Step finds a line of the calculation by its id ("cold.h", "TDR").
func (r BoilingResult) Step(id string) (Step, bool) {
	for _, s := range r.Steps {
		if s.ID() == id {
			return s, true
		}
	}
	return Step{}, false
}

// Boil computes a boiling test with every step shown and every check made. The
// error tells a programmer that the test has no phase, pots that do not match,
// or an unknown version; mistakes of the person at the stove are alarms.
func Boil(test BoilingTest) (BoilingResult, error) {
	c, err := compute(&test, true)
	if err != nil {
		return BoilingResult{}, err
	}
	r := BoilingResult{Version: test.Version, Steps: append(test.Boiling.Steps, c.steps...), Alarms: append(test.Boiling.Alarms, c.found...)}
	for i, into := range []**PhaseResult{&r.Cold, &r.Hot, &r.Simmer} {
		if test.phase(i) != nil {
			*into = c.phaseResult(phases[i])
		}
	}
	if r.Hot != nil {
		r.Hot.CharAssumed = test.CharWeighed && !test.Hot.Char.Known
	}
	r.HighPowerEfficiency, r.Turndown, r.TurndownMean = c.si("h_hp"), c.si("TDR"), c.si("TDR_mean")
	r.TaskFuel, r.TaskEnergy, r.LowPowerUse = c.si("BF"), c.si("BE"), c.si("simmer.LP")
	if test.Hot != nil && test.Hot.ColdStove {
		r.Alarms = append(r.Alarms, Alarm{Key: "hot-start-cold", Phase: "hot", Severity: Invalid, Text: message.T("bench.alarm.hot-start-cold"), Standing: "published, value from memory", Source: c.file.Source})
	}
	return r, nil
}

func (t *BoilingTest) phase(i int) *Phase { return []*Phase{t.Cold, t.Hot, t.Simmer}[i] }

// compute runs the sheet of the test's version; without tracing it keeps the
// numbers alone, which is what the uncertainty needs a hundred thousand times.
func compute(test *BoilingTest, tracing bool) (*calculation, error) {
	return computeWith(test, tracing, func(c *calculation) {
		if c.tracing {
			c.found = append(c.found, c.alarms()...)
		}
	})
}

// computeWith looks at each phase when it is computed, and at the whole.
func computeWith(test *BoilingTest, tracing bool, look func(*calculation)) (*calculation, error) {
	s, ok := boilingSheet(test.Version)
	if !ok {
		return nil, fmt.Errorf("bench: unknown version %q of the boiling test", test.Version)
	}
	pots := 0
	for i := range phases {
		if ph := test.phase(i); ph != nil {
			if len(ph.Pots) == 0 || pots > 0 && len(ph.Pots) != pots {
				return nil, fmt.Errorf("bench: phase %s has %d pots", phases[i], len(ph.Pots))
			}
			pots = len(ph.Pots)
		}
	}
	if pots == 0 {
		return nil, fmt.Errorf("bench: the test has no phase")
	}
	c := s.start(pots, tracing)
	c.wholeTest(test)
	c.run(s.before, nil)
	for i, name := range phases {
		ph := test.phase(i)
		if ph == nil {
			continue
		}
		c.phaseAt = name
		c.readings(ph)
		c.run(s.phase, charCase(test, i))
		look(c)
		c.keep(i)
	}
	c.phaseAt = ""
	c.run(s.after, nil)
	look(c)
	return c, nil
}

// wholeTest enters what holds for all phases.
func (c *calculation) wholeTest(t *BoilingTest) {
	for _, row := range c.file.Constants {
		if v, yours := t.Constants[row.Key]; yours {
			c.set(row.Key, v, Yours)
		} else {
			c.set(row.Key, *row.Value, Default)
		}
	}
	c.set("LHV", t.Wood.LHV/1000, t.Wood.LHVFrom)
	c.follow("m", t.Wood.Moisture, t.Wood.MoistureHow)
	c.set("T_a", t.Air-zeroC, Measured)
	if t.CharWeighed {
		c.set("k", t.CharPan*1000, Measured)
	}
	quiet := c.tracing
	c.tracing = false // the boiling point brings its own steps
	c.set("T_b", t.Boiling.Kelvin-zeroC, t.Boiling.Origin())
	c.tracing = quiet
	c.scales(t.Instruments)
}

const zeroC = 273.15

func (c *calculation) readings(ph *Phase) {
	c.set("f_i", ph.WoodBefore*1000, Measured)
	c.set("f_f", ph.WoodAfter*1000, Measured)
	if ph.Char.Known {
		c.set("c", ph.Char.SI*1000, Measured)
	}
	c.set("t", ph.Duration/60, Measured)
	column := func(of func(PotReading) float64) []float64 {
		numbers := make([]float64, len(ph.Pots))
		for i, p := range ph.Pots {
			numbers[i] = of(p)
		}
		return numbers
	}
	c.setRows("P", column(func(p PotReading) float64 { return p.Empty * 1000 }))
	c.setRows("P_i", column(func(p PotReading) float64 { return p.Before * 1000 }))
	c.setRows("P_f", column(func(p PotReading) float64 { return p.After * 1000 }))
	c.setRows("T_i", column(func(p PotReading) float64 { return p.Start - zeroC }))
	c.setRows("T_f", column(func(p PotReading) float64 { return p.End - zeroC }))
	quiet := c.tracing
	c.tracing = false // the same readings again, of the first pot
	c.set("T1_i", ph.Pots[0].Start-zeroC, Measured)
	c.set("T1_f", ph.Pots[0].End-zeroC, Measured)
	c.tracing = quiet
	if ph.Lowest.Known {
		c.set("T_low", ph.Lowest.SI-zeroC, Measured)
	}
}

// charCase says how the char of a phase is known: weighed, taken over from the
// cold start while the fire had to burn on, or what the simmer added to it.
func charCase(t *BoilingTest, phase int) map[string]bool {
	ph := t.phase(phase)
	switch {
	case !t.CharWeighed:
		return charNotWeighed
	case phase == 2 && ph.Char.Known && t.Cold != nil:
		return charRemaining
	case ph.Char.Known:
		return charOnScale
	case phase == 1 && t.Cold != nil:
		return charAssumed
	}
	return charNotWeighed
}

var (
	charOnScale    = map[string]bool{"char weighed": true}
	charRemaining  = map[string]bool{"char remaining": true}
	charAssumed    = map[string]bool{"char assumed": true}
	charNotWeighed = map[string]bool{"char not weighed": true}
)

func (c *calculation) phaseResult(phase string) *PhaseResult {
	si := func(key string) float64 { return c.si(phase + "." + key) }
	return &PhaseResult{Wood: si("f_m"), Char: si("dc"), DryWood: si("f_d"), Evaporated: si("w_v"), Water: si("w_r"),
		Duration: si("t"), CorrectedDuration: si("tT"), Useful: si("Q_u"), FuelEnergy: si("E"),
		Efficiency: si("h"), EfficiencyNoChar: si("h_0"), BurnRate: si("r_b"), Consumption: si("SC"),
		CorrectedConsumption: si("SCT"), SpecificEnergy: si("SE"), Firepower: si("FP"), CookingPower: si("CP")}
}

// Constants are those of a version of the protocol with their defaults; none
// for an unknown version.
func Constants(v Version) []Step {
	s, ok := boilingSheet(v)
	if !ok {
		return nil
	}
	var list []Step
	for _, row := range s.file.Constants {
		list = append(list, Step{Key: row.Key, Symbol: row.Symbol, Name: quantityName(row.Key), Value: in(row.Unit, *row.Value), Origin: Default, Source: row.Source})
	}
	return list
}
