package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// What the form does not ask and the uncertainty needs. Standard uncertainties
// unless a name says limit; common practice, no source.
const (
	lhvUDefault    = 400e3 // J/kg, a handbook value standing for the wood at hand
	lhvUMeasured   = 150e3 // J/kg, a bomb calorimeter on a sample of the pile
	lhvCharU       = 1000  // kJ/kg
	charLossLimit  = 0.05  // share of the char lost or left when it is knocked off
	moistureU      = 0.010 // where nothing better is known
	boilJudgeLimit = 15.0  // s, when the pot is said to boil
	airLimit       = 1.0   // K
	readingShare   = 0.5   // the reading scatters by this part of the thermometer's limit
)

// influence is one thing that may be off, and what it does to the test.
type influence[T any] struct {
	key    string
	input  stats.Input
	shared bool // off alike for every test with the same wood and instruments
	apply  func(t *T, by float64)
}

// influences lists what may be off in a test: each reading by the step of its
// scale, and, alike for all tests, the gain of the scale, the offset of the
// thermometer, the boiling point, the moisture and the heating values.
func (t *BoilingTest) influences() []influence[BoilingTest] {
	var list []influence[BoilingTest]
	add := func(key string, u float64, shape stats.Shape, shared bool, apply func(*BoilingTest, float64)) {
		if u > 0 {
			list = append(list, influence[BoilingTest]{key, stats.Input{Name: key, U: u, Shape: shape}, shared, apply})
		}
	}
	lhvU := lhvUMeasured
	if t.Wood.LHVFrom != Measured {
		lhvU = lhvUDefault
	}
	u := t.Wood.MoistureU
	if u == 0 {
		u = moistureU
	}
	add("LHV", lhvU, stats.Gaussian, true, func(t *BoilingTest, by float64) { t.Wood.LHV += by })
	add("m", u, stats.Gaussian, true, func(t *BoilingTest, by float64) { t.Wood.Moisture += by })
	if t.CharWeighed && t.Version == Version42 {
		add("LHV_char", lhvCharU, stats.Gaussian, true, func(t *BoilingTest, by float64) { t.Constants["LHV_char"] += by })
	}
	add("scale-gain", stats.Limits(t.Instruments.ScaleGain), stats.Rectangular, true, scaleAll)
	add("thermometer", stats.Limits(t.Instruments.Thermometer), stats.Rectangular, true, offsetAll)
	if t.Boiling.Method != BoilingMeasured {
		add("T_b", t.Boiling.U, stats.Gaussian, true, func(t *BoilingTest, by float64) { t.Boiling.Kelvin += by })
	}
	add("T_a", stats.Limits(airLimit), stats.Rectangular, true, func(t *BoilingTest, by float64) { t.Air += by })
	if t.CharWeighed {
		add("k", stats.Resolution(t.Instruments.CharScale), stats.Rectangular, false, func(t *BoilingTest, by float64) { t.CharPan += by })
	}
	for i, name := range phases {
		if ph := t.phase(i); ph != nil {
			t.phaseInfluences(i, name, ph, add)
		}
	}
	return list
}

func (t *BoilingTest) phaseInfluences(i int, name string, ph *Phase, add func(string, float64, stats.Shape, bool, func(*BoilingTest, float64))) {
	reading := func(key string, u float64, apply func(*Phase, float64)) {
		add(name+"."+key, u, stats.Rectangular, false, func(t *BoilingTest, by float64) { apply(t.phase(i), by) })
	}
	wood, pot := stats.Resolution(t.Instruments.WoodScale), stats.Resolution(t.Instruments.PotScale)
	reading("f_i", wood, func(p *Phase, by float64) { p.WoodBefore += by })
	reading("f_f", wood, func(p *Phase, by float64) { p.WoodAfter += by })
	if ph.Char.Known && t.CharWeighed {
		lost := stats.Limits(charLossLimit * math.Max(0, ph.Char.SI-t.CharPan))
		reading("c", math.Hypot(stats.Resolution(t.Instruments.CharScale), lost), func(p *Phase, by float64) { p.Char.SI += by })
	}
	reading("t", stats.Limits(boilJudgeLimit), func(p *Phase, by float64) { p.Duration += by })
	kelvin := stats.Limits(readingShare * t.Instruments.Thermometer)
	for j := range ph.Pots {
		reading("P", pot, func(p *Phase, by float64) { p.Pots[j].Empty += by })
		reading("P_i", pot, func(p *Phase, by float64) { p.Pots[j].Before += by })
		reading("P_f", pot, func(p *Phase, by float64) { p.Pots[j].After += by })
		reading("T_i", kelvin, func(p *Phase, by float64) { p.Pots[j].Start += by })
		reading("T_f", kelvin, func(p *Phase, by float64) { p.Pots[j].End += by })
	}
}

// scaleAll lets the scale show everything too heavy by a fraction.
func scaleAll(t *BoilingTest, by float64) {
	t.CharPan *= 1 + by
	for i := range phases {
		ph := t.phase(i)
		if ph == nil {
			continue
		}
		ph.WoodBefore *= 1 + by
		ph.WoodAfter *= 1 + by
		ph.Char.SI *= 1 + by
		for j := range ph.Pots {
			ph.Pots[j].Empty *= 1 + by
			ph.Pots[j].Before *= 1 + by
			ph.Pots[j].After *= 1 + by
		}
	}
}

// offsetAll lets the thermometer show everything too warm; the measured boiling
// point shifts with it, so that most of it cancels.
func offsetAll(t *BoilingTest, by float64) {
	if t.Boiling.Method == BoilingMeasured {
		t.Boiling.Kelvin += by
	}
	for i := range phases {
		if ph := t.phase(i); ph != nil {
			for j := range ph.Pots {
				ph.Pots[j].Start += by
				ph.Pots[j].End += by
			}
		}
	}
}

// clone copies a test deeply enough for its readings to be moved.
func (t *BoilingTest) clone() *BoilingTest {
	c := *t
	for i, at := range []**Phase{&c.Cold, &c.Hot, &c.Simmer} {
		if ph := t.phase(i); ph != nil {
			p := *ph
			p.Pots = slices.Clone(ph.Pots)
			*at = &p
		}
	}
	c.Constants = map[string]float64{}
	for k, v := range t.Constants {
		c.Constants[k] = v
	}
	if _, yours := c.Constants["LHV_char"]; !yours {
		s, _ := boilingSheet(t.Version)
		for _, row := range s.file.Constants {
			if row.Key == "LHV_char" {
				c.Constants[row.Key] = *row.Value
			}
		}
	}
	return &c
}

// UncertaintyLine is one cause in the budget of a result.
type UncertaintyLine struct {
	Name         message.Text
	Phase        string
	U            quantity.Value // standard uncertainty of the cause
	Contribution quantity.Value // of the result, in its unit
	Share        float64        // of the variance
	Shared       bool           // the same for every test with this wood and these instruments
}

// Uncertainty is a result with what may be off about it. Own is what another
// test of the same wood and instruments would change, Shared what it would not.
type Uncertainty struct {
	Value       quantity.Value
	U           quantity.Value // combined standard uncertainty
	Own, Shared quantity.Value
	Interval    stats.Interval // in SI, at the level asked
	MonteCarlo  stats.Interval // the same by simulation; zero when not asked
	MonteCarloU float64        // SI
	Lines       []UncertaintyLine
}

// UncertaintyOf gives the uncertainty of one result of a test ("cold.h",
// "simmer.SC", "BF"): by the law of propagation and, for draws above zero, by
// Monte Carlo with that many draws (jcgm2008gum, jcgm2008mc). An unknown id, or
// one that the test's phases do not give, is an error.
func UncertaintyOf(test BoilingTest, id string, level float64, draws int, seed uint64) (Uncertainty, error) {
	s, ok := boilingSheet(test.Version)
	if !ok {
		return Uncertainty{}, fmt.Errorf("bench: unknown version %q", test.Version)
	}
	if _, known := s.names[id]; !known {
		return Uncertainty{}, fmt.Errorf("bench: the protocol has no result %q", id)
	}
	return budgetOf(test.influences(), test.clone, func(moved *BoilingTest) float64 {
		c, err := compute(moved, false)
		if err != nil {
			return math.NaN()
		}
		return c.si(id)
	}, id, s.unitOf(id), level, draws, seed)
}

// budgetOf moves the readings of copies of a test by what may be off in them, and
// sees what that does to a result (SI).
func budgetOf[T any](list []influence[T], clone func() *T, result func(*T) float64, id string, unit quantity.Unit, level float64, draws int, seed uint64) (Uncertainty, error) {
	inputs := make([]stats.Input, len(list))
	for i, in := range list {
		inputs[i] = in.input
	}
	model := func(by []float64) float64 {
		moved := clone()
		for i, in := range list {
			if by[i] != 0 {
				in.apply(moved, by[i])
			}
		}
		return result(moved)
	}
	b, err := stats.Propagate(model, inputs, nil)
	if err != nil {
		return Uncertainty{}, fmt.Errorf("bench: %s: %w", id, err)
	}
	u := Uncertainty{Value: quantity.Value{SI: b.Value, Unit: unit}, U: quantity.Value{SI: b.U, Unit: difference(unit)}, Interval: b.Interval(level)}
	keys, shared := make([]string, len(list)), make([]bool, len(list))
	for i, in := range list {
		keys[i], shared[i] = in.key, in.shared
	}
	u.fill(b, keys, shared, difference(unit))
	if draws > 0 {
		mc, err := stats.MonteCarlo(model, inputs, nil, draws, seed)
		if err != nil {
			return Uncertainty{}, fmt.Errorf("bench: %s: %w", id, err)
		}
		u.MonteCarlo, u.MonteCarloU = mc.Interval(level), mc.SD
	}
	return u, nil
}

func (u *Uncertainty) fill(b stats.Budget, keys []string, common []bool, unit quantity.Unit) {
	var own, shared float64
	for i, line := range b.Lines {
		phase, key := cutPhase(keys[i])
		u.Lines = append(u.Lines, UncertaintyLine{Name: causeName(key), Phase: phase, Shared: common[i], Share: line.Share,
			U: quantity.Value{SI: line.U, Unit: causeUnit(key)}, Contribution: quantity.Value{SI: line.Contribution, Unit: unit}})
		if common[i] {
			shared += line.Contribution * line.Contribution
		} else {
			own += line.Contribution * line.Contribution
		}
	}
	slices.SortStableFunc(u.Lines, func(a, b UncertaintyLine) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	u.Own, u.Shared = quantity.Value{SI: math.Sqrt(own), Unit: unit}, quantity.Value{SI: math.Sqrt(shared), Unit: unit}
}

// unitOf is the unit of a result by its id.
func (s *sheet) unitOf(id string) quantity.Unit {
	_, key := cutPhase(id)
	return units[s.symbols[key].Unit]
}

// difference is the unit of a difference: of temperatures, kelvin.
func difference(u quantity.Unit) quantity.Unit {
	if u.Dimension == quantity.Temperature {
		return quantity.KelvinDiff
	}
	return u
}

func causeName(key string) message.Text {
	if strings.HasSuffix(key, "-gain") || key == "thermometer" {
		return message.T("bench.cause." + key)
	}
	return quantityName(key)
}

func causeUnit(key string) quantity.Unit {
	switch key {
	case "m", "F_c", "F_char":
		return quantity.Percent
	case "Q_u":
		return quantity.Megajoule
	case "thermometer", "T_a", "T_b", "T_i", "T_f":
		return quantity.KelvinDiff
	case "LHV":
		return units["kJ/kg"]
	case "LHV_char": // kept in the protocol's unit
		return quantity.Unit{Symbol: "kJ/kg", Factor: 1}
	case "LHVd", "LHVc":
		return units["MJ/kg"]
	case "t":
		return quantity.Second
	}
	if strings.HasSuffix(key, "-gain") {
		return quantity.Percent
	}
	return quantity.Gram
}

func cutPhase(id string) (phase, key string) {
	for _, p := range [...]string{"cold", "hot", "simmer", string(HighPower), string(MediumPower), string(LowPower)} {
		if len(id) > len(p) && id[:len(p)] == p && id[len(p)] == '.' {
			return p, id[len(p)+1:]
		}
	}
	return "", id
}
