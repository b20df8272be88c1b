package bench

import (
	"cmp"
	"fmt"
	"math"

	"stovewright/message"
	"stovewright/quantity"
)

// PowerLevel is a part of the ISO 19867-1 sequence.
type PowerLevel string

// The levels. A stove without turndown is tested at those it reaches.
const (
	HighPower   PowerLevel = "high"
	MediumPower PowerLevel = "medium"
	LowPower    PowerLevel = "low"
)

var powerLevels = []PowerLevel{HighPower, MediumPower, LowPower}

// HeatedPot is one pot of the sequence: water warmed from Start to End, and
// water evaporated; kg and K. A pot that is exchanged for a fresh one counts as
// another row.
type HeatedPot struct{ Water, Evaporated, Start, End float64 }

// LevelTest is one power level as it was measured, shut-down included.
type LevelTest struct {
	Fuel, Char float64 // kg, fuel as received and char left
	Duration   float64 // s
	Feeding    Given   // s until no more fuel was fed and the shut-down began
	Pots       []HeatedPot
	CO, PM     Given // kg emitted
}

// SequenceTest is one run of the ISO 19867-1 sequence.
type SequenceTest struct {
	About                About
	LHV, LHVChar         float64 // J/kg; dry fuel, char
	LHVFrom, LHVCharFrom Origin  // default where empty
	Moisture             float64 // of the wet mass
	Levels               map[PowerLevel]LevelTest
	WeightByHeat         bool        // take the levels together by energy, not by their mean
	Instruments          Instruments // for the checks of the scales; zero where they are not known
}

// LevelResult is one power level computed, SI.
type LevelResult struct {
	Useful, FuelEnergy                 float64 // J
	EfficiencyNoChar, EfficiencyChar   float64 // without and with credit for the char
	CharEnergyShare, CharMassShare     float64
	CookingPower, Firepower            float64 // W
	COPerUseful, PMPerUseful           float64 // kg/J; NaN where not measured
	CO, PM, CharEnergy, DurationSecond float64
}

// SequenceResult is one run computed; the figures of the whole run are NaN
// where something was not measured.
type SequenceResult struct {
	Levels           map[PowerLevel]LevelResult
	EfficiencyNoChar float64
	EfficiencyChar   float64
	COPerUseful      float64 // kg/J
	PMPerUseful      float64 // kg/J
	WeightedByHeat   bool
	Steps            []Step
	Alarms           []Alarm
}

// Usable reports whether no alarm spoils the result.
func (r SequenceResult) Usable() bool { return usable(r.Alarms) }

var (
	sequenceSheet = lazySheet("sequence.yaml")
	levelsSheet   = lazySheet("sequence-levels.yaml")
)

// RunSequence computes one run of the ISO 19867-1 sequence (iso19867part1).
// The error tells a programmer that no level or no pot was given.
func RunSequence(t SequenceTest) (SequenceResult, error) {
	r := SequenceResult{Levels: map[PowerLevel]LevelResult{}, WeightedByHeat: t.WeightByHeat}
	for i, level := range powerLevels {
		l, reached := t.Levels[level]
		if !reached {
			continue
		}
		if len(l.Pots) == 0 {
			return SequenceResult{}, fmt.Errorf("bench: level %s has no pot", level)
		}
		c := sequenceSheet().start(len(l.Pots), true)
		c.sequenceInputs(t)
		c.phaseAt = string(level)
		c.levelInputs(l)
		c.run(c.phase, nil)
		alarms := c.alarms()
		c.keep(i)
		r.Levels[level] = c.levelResult(level, l)
		if len(r.Levels) > 1 {
			c.steps = phaseSteps(c.steps) // what holds for the whole test is shown once
		}
		r.Steps, r.Alarms = append(r.Steps, c.steps...), append(r.Alarms, alarms...)
	}
	if len(r.Levels) == 0 {
		return SequenceResult{}, fmt.Errorf("bench: the sequence has no level")
	}
	r.together()
	whole := sequenceSheet().start(1, false)
	whole.sequenceInputs(t)
	r.Alarms = append(r.Alarms, whole.alarms()...)
	if len(r.Levels) < len(powerLevels) {
		r.Alarms = append(r.Alarms, Alarm{Key: "levels-missing", Severity: Note, Standing: "published, value from memory", Source: "iso19867part1",
			Text: message.T("bench.tier.levels-missing", "n", len(r.Levels))})
	}
	return r, nil
}

func phaseSteps(steps []Step) []Step {
	var list []Step
	for _, s := range steps {
		if s.Phase != "" {
			list = append(list, s)
		}
	}
	return list
}

func (c *calculation) sequenceInputs(t SequenceTest) {
	c.constants()
	c.set("LHVd", t.LHV/1e6, cmp.Or(t.LHVFrom, Default))
	c.set("LHVc", t.LHVChar/1e6, cmp.Or(t.LHVCharFrom, Default))
	c.set("m", t.Moisture, Measured)
	c.scales(t.Instruments)
	c.run(c.before, nil)
}

// scales enters the steps of the scales, which only checks look at: they are no
// part of the calculation.
func (c *calculation) scales(i Instruments) {
	quiet := c.tracing
	c.tracing = false
	c.set("step_wood", i.WoodScale*1000, Default)
	c.set("step_pot", i.PotScale*1000, Default)
	c.set("step_char", i.CharScale*1000, Default)
	c.tracing = quiet
}

func (c *calculation) levelInputs(l LevelTest) {
	c.set("F_k", l.Fuel, Measured)
	c.set("C_k", l.Char, Measured)
	c.set("t", l.Duration/60, Measured)
	if l.Feeding.Known {
		c.set("t_f", l.Feeding.SI/60, Measured)
	}
	if l.CO.Known {
		c.set("CO", l.CO.SI*1e3, Measured)
	}
	if l.PM.Known {
		c.set("PM", l.PM.SI*1e6, Measured)
	}
	column := func(of func(HeatedPot) float64) []float64 {
		list := make([]float64, len(l.Pots))
		for i, p := range l.Pots {
			list[i] = of(p)
		}
		return list
	}
	c.setRows("M_w", column(func(p HeatedPot) float64 { return p.Water }))
	c.setRows("M_v", column(func(p HeatedPot) float64 { return p.Evaporated }))
	c.setRows("T_i", column(func(p HeatedPot) float64 { return p.Start - zeroC }))
	c.setRows("T_f", column(func(p HeatedPot) float64 { return p.End - zeroC }))
}

func (c *calculation) levelResult(level PowerLevel, l LevelTest) LevelResult {
	si := func(key string) float64 { return c.si(string(level) + "." + key) }
	return LevelResult{Useful: si("Q"), FuelEnergy: si("E_f"), CharEnergy: si("E_c"), EfficiencyNoChar: si("h0"), EfficiencyChar: si("hc"),
		CharEnergyShare: si("e_char"), CharMassShare: si("y_char"), CookingPower: si("P_c"), Firepower: si("P_fire"),
		COPerUseful: si("eCO"), PMPerUseful: si("ePM"), CO: l.CO.Or(math.NaN()), PM: l.PM.Or(math.NaN()), DurationSecond: l.Duration}
}

// together takes the levels of one run together.
func (r *SequenceResult) together() {
	c := levelsSheet().start(len(r.Levels), true)
	rows := func(key string, unit quantity.Unit, of func(LevelResult) float64) {
		var list []float64
		for _, level := range powerLevels {
			if l, ok := r.Levels[level]; ok {
				list = append(list, unit.Number(of(l)))
			}
		}
		c.tracing = false // shown with the levels already
		c.setRows(key, list)
		c.tracing = true
	}
	rows("Q", units["MJ"], func(l LevelResult) float64 { return l.Useful })
	rows("E_f", units["MJ"], func(l LevelResult) float64 { return l.FuelEnergy })
	rows("E_c", units["MJ"], func(l LevelResult) float64 { return l.CharEnergy })
	rows("h0", units[""], func(l LevelResult) float64 { return l.EfficiencyNoChar })
	rows("hc", units[""], func(l LevelResult) float64 { return l.EfficiencyChar })
	rows("eCO", units["g/MJ"], func(l LevelResult) float64 { return l.COPerUseful })
	rows("ePM", units["mg/MJ"], func(l LevelResult) float64 { return l.PMPerUseful })
	rows("CO", units["g"], func(l LevelResult) float64 { return l.CO })
	rows("PM", units["mg"], func(l LevelResult) float64 { return l.PM })
	c.set("n", float64(len(r.Levels)), Computed)
	c.run(c.before, nil)
	suffix := "_mean"
	if r.WeightedByHeat {
		suffix = "_energy"
	}
	r.EfficiencyNoChar, r.EfficiencyChar = c.si("h0"+suffix), c.si("hc"+suffix)
	r.COPerUseful, r.PMPerUseful = c.si("CO"+suffix), c.si("PM"+suffix)
	r.Steps = append(r.Steps, c.steps...)
}

// SequenceReport is replicate runs of the sequence with their tiers, indicator
// by indicator; they are never merged into one.
type SequenceReport struct {
	Runs       int
	Efficiency TierReport // without credit for the char, which is what the tier is printed for
	WithChar   TierReport // the same with the char credited, stated beside it
	CO, PM     TierReport // zero where emissions were not measured
	Words      message.Text
}

// ReportSequence takes replicate runs to tiers of ISO/TR 19867-3 on a scale
// ("iso-default", "iso-high-ventilation", "iso-low-ventilation"). Runs whose
// readings cannot be right are left out.
func ReportSequence(runs []SequenceResult, scaleKey string) (SequenceReport, error) {
	scale, ok := ScaleOf(scaleKey)
	if !ok || scaleKey == oldScale {
		return SequenceReport{}, fmt.Errorf("bench: %q is not a scale of ISO/TR 19867-3", scaleKey)
	}
	standard, _ := ScaleOf("iso-default")
	report := SequenceReport{Words: message.T("bench.tier.not-a-certificate")}
	collect := func(of func(SequenceResult) float64) []float64 {
		var list []float64
		for _, r := range runs {
			if v := of(r); r.Usable() && !math.IsNaN(v) {
				list = append(list, v)
			}
		}
		return list
	}
	efficiency, _ := standard.Indicator("efficiency") // ventilation does not touch it
	noChar := collect(func(r SequenceResult) float64 { return r.EfficiencyNoChar })
	report.Runs = len(noChar)
	var err error
	if report.Efficiency, err = efficiency.report(standard.Key, noChar); err != nil {
		return SequenceReport{}, err
	}
	if report.WithChar, err = efficiency.report(standard.Key, collect(func(r SequenceResult) float64 { return r.EfficiencyChar })); err != nil {
		return SequenceReport{}, err
	}
	for _, e := range []struct {
		key  string
		into *TierReport
		of   func(SequenceResult) float64
	}{{"co", &report.CO, func(r SequenceResult) float64 { return r.COPerUseful }}, {"pm", &report.PM, func(r SequenceResult) float64 { return r.PMPerUseful }}} {
		i, known := scale.Indicator(e.key)
		if values := collect(e.of); known && len(values) > 0 {
			if *e.into, err = i.report(scale.Key, values); err != nil {
				return SequenceReport{}, err
			}
		}
	}
	return report, nil
}
