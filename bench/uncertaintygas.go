package bench

import (
	"math"
	"slices"
	"strings"

	"stovewright/stats"
)

// What may be off in an emission test where the form does not say: ± limits of gas
// cells and flow as shares of what they read, and of what the fire gave the pot.
// Common practice, no source; the maker's certificate of the instrument is better.
const (
	gasLimit      = 0.05
	particleLimit = 0.20
	flowLimit     = 0.05
	usefulLimit   = 0.05
	woodCarbonU   = 0.010 // share of the dry wood
	charCarbonU   = 0.030 // share of the char
)

// GasInstruments are how closely an emission test was read: the smallest step of the
// scale, kg, and ± limits of calibration as shares of the reading.
type GasInstruments struct {
	WoodScale              float64
	CO, CO2, CH4, PM, Flow float64
}

// UncertaintyOfEmission is that of one result of an emission test; see
// [UncertaintyOf]. Instruments that read two tests are off alike in both. The
// kitchen of the single-zone model is taken as it is written: how far the model
// itself is off is said beside it.
func UncertaintyOfEmission(test EmissionTest, id string, level float64, draws int, seed uint64) (Uncertainty, error) {
	result := func(t *EmissionTest) float64 {
		r, err := Emit(*t)
		if err != nil {
			return math.NaN()
		}
		return stepSI(r.Steps, id)
	}
	r, err := Emit(test)
	if err != nil {
		return Uncertainty{}, err
	}
	unit, err := unitOfStep(r.Steps, id)
	if err != nil {
		return Uncertainty{}, err
	}
	clone := func() *EmissionTest {
		c := test
		c.Samples = slices.Clone(test.Samples)
		return &c
	}
	return budgetOf(test.influences(), clone, result, id, unit, level, draws, seed)
}

func (t EmissionTest) influences() []influence[EmissionTest] {
	var c causes[EmissionTest]
	c.add("m", moistureU, stats.Gaussian, true, func(t *EmissionTest, by float64) { t.Burnt.Moisture += by })
	c.add("F_c", woodCarbonU, stats.Gaussian, true, func(t *EmissionTest, by float64) { t.Burnt.CarbonWood += by })
	c.add("F_char", charCarbonU, stats.Gaussian, true, func(t *EmissionTest, by float64) { t.Burnt.CarbonChar += by })
	c.add("scale-gain", stats.Limits(scaleGain), stats.Rectangular, true, func(t *EmissionTest, by float64) {
		t.Burnt.Wood, t.Burnt.Char = t.Burnt.Wood*(1+by), t.Burnt.Char*(1+by)
	})
	gain := func(key string, limit float64, reading func(*HoodSample) *float64) {
		c.add(key, stats.Limits(limit), stats.Rectangular, true, func(t *EmissionTest, by float64) {
			*reading(&t.Hood.Background) *= 1 + by
			for i := range t.Samples {
				*reading(&t.Samples[i]) *= 1 + by
			}
		})
	}
	gain("co-gain", t.Gauges.CO, func(s *HoodSample) *float64 { return &s.CO })
	gain("co2-gain", t.Gauges.CO2, func(s *HoodSample) *float64 { return &s.CO2 })
	gain("ch4-gain", t.Gauges.CH4, func(s *HoodSample) *float64 { return &s.CH4 })
	gain("flow-gain", t.Gauges.Flow, func(s *HoodSample) *float64 { return &s.Flow })
	if t.FilterPM.Known {
		c.add("pm-gain", stats.Limits(t.Gauges.PM), stats.Rectangular, true, func(t *EmissionTest, by float64) { t.FilterPM.SI *= 1 + by })
	} else {
		gain("pm-gain", t.Gauges.PM, func(s *HoodSample) *float64 { return &s.PM })
	}
	step := math.Sqrt2 * stats.Resolution(t.Gauges.WoodScale) // a difference of two weighings
	own := func(key string, u float64, apply func(*EmissionTest, float64)) {
		c.add(key, u, stats.Rectangular, false, apply)
	}
	own("f_m", step, func(t *EmissionTest, by float64) { t.Burnt.Wood += by })
	own("dc", math.Hypot(step, stats.Limits(charLossLimit*t.Burnt.Char)), func(t *EmissionTest, by float64) { t.Burnt.Char += by })
	own("t", stats.Limits(boilJudgeLimit), func(t *EmissionTest, by float64) { t.Burnt.Duration += by })
	if !math.IsNaN(t.Burnt.Useful) {
		own("Q_u", stats.Limits(usefulLimit*t.Burnt.Useful), func(t *EmissionTest, by float64) { t.Burnt.Useful += by })
	}
	return c
}

// hasUncertainty reports whether it is known what may be off in a result: not where
// the sequence takes emissions as they are written, and not where a kitchen is reckoned.
func (f TestFile) hasUncertainty(s Step) bool {
	if f.Sequence != nil && gasKeys[s.Key] {
		return false
	}
	return !strings.HasPrefix(s.Key, "room_")
}
