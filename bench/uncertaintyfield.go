package bench

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"stovewright/quantity"
	"stovewright/stats"
)

// What may be off in a cooking test and in a run of the ISO sequence: the same scales,
// thermometers and wood as in a boiling test, read in other places. Emissions that a run
// of the sequence brings with it are left out: its form does not ask for the
// instruments that read them.

// gasKeys are results of the sequence whose instruments are not known.
var gasKeys = map[string]bool{"eCO": true, "ePM": true, "CO_mean": true, "PM_mean": true, "CO_energy": true, "PM_energy": true}

// usual puts a kitchen scale and a dial thermometer where a form does not say.
func (i Instruments) usual() Instruments {
	for _, s := range []*float64{&i.WoodScale, &i.PotScale, &i.CharScale} {
		if *s == 0 {
			*s = defaultScale
		}
	}
	if i.Thermometer == 0 {
		i.Thermometer = defaultThermometer
	}
	if i.ScaleGain == 0 {
		i.ScaleGain = scaleGain
	}
	return i
}

// causes gathers influences with their shape.
type causes[T any] []influence[T]

func (c *causes[T]) add(key string, u float64, shape stats.Shape, shared bool, apply func(*T, float64)) {
	if u > 0 {
		*c = append(*c, influence[T]{key, stats.Input{Name: key, U: u, Shape: shape}, shared, apply})
	}
}

// heatU is the standard uncertainty of a heating value of wood, J/kg.
func heatU(from Origin) float64 {
	if from == Measured {
		return lhvUMeasured
	}
	return lhvUDefault
}

// shareU is that of a moisture, where nothing better is known.
func shareU(u float64) float64 {
	if u == 0 {
		return moistureU
	}
	return u
}

// UncertaintyOfCooking is that of one result of a cooking test; see [UncertaintyOf].
func UncertaintyOfCooking(test CookingTest, id string, level float64, draws int, seed uint64) (Uncertainty, error) {
	result := func(t *CookingTest) float64 {
		r, err := Cook(*t)
		if err != nil {
			return math.NaN()
		}
		return stepSI(r.Steps, id)
	}
	r, err := Cook(test)
	if err != nil {
		return Uncertainty{}, err
	}
	unit, err := unitOfStep(r.Steps, id)
	if err != nil {
		return Uncertainty{}, err
	}
	clone := func() *CookingTest {
		c := test
		c.Pots = slices.Clone(test.Pots)
		return &c
	}
	return budgetOf(test.influences(), clone, result, id, unit, level, draws, seed)
}

func (t CookingTest) influences() []influence[CookingTest] {
	var c causes[CookingTest]
	with := t.Instruments.usual()
	c.add("LHV", heatU(t.Wood.LHVFrom), stats.Gaussian, true, func(t *CookingTest, by float64) { t.Wood.LHV += by })
	c.add("m", shareU(t.Wood.MoistureU), stats.Gaussian, true, func(t *CookingTest, by float64) { t.Wood.Moisture += by })
	c.add("scale-gain", stats.Limits(with.ScaleGain), stats.Rectangular, true, func(t *CookingTest, by float64) {
		for _, m := range []*float64{&t.WoodBefore, &t.WoodAfter, &t.CharPan, &t.Char.SI} {
			*m *= 1 + by
		}
		for i := range t.Pots {
			t.Pots[i].Empty, t.Pots[i].Food = t.Pots[i].Empty*(1+by), t.Pots[i].Food*(1+by)
		}
	})
	wood, pot, char := stats.Resolution(with.WoodScale), stats.Resolution(with.PotScale), stats.Resolution(with.CharScale)
	own := func(key string, u float64, apply func(*CookingTest, float64)) {
		c.add(key, u, stats.Rectangular, false, apply)
	}
	own("f_i", wood, func(t *CookingTest, by float64) { t.WoodBefore += by })
	own("f_f", wood, func(t *CookingTest, by float64) { t.WoodAfter += by })
	if t.Char.Known {
		lost := stats.Limits(charLossLimit * math.Max(0, t.Char.SI-t.CharPan))
		own("c", math.Hypot(char, lost), func(t *CookingTest, by float64) { t.Char.SI += by })
		own("k", char, func(t *CookingTest, by float64) { t.CharPan += by })
	}
	own("t", stats.Limits(boilJudgeLimit), func(t *CookingTest, by float64) { t.Duration += by })
	for i := range t.Pots {
		own("P", pot, func(t *CookingTest, by float64) { t.Pots[i].Empty += by })
		own("P_f", pot, func(t *CookingTest, by float64) { t.Pots[i].Food += by })
	}
	return c
}

// UncertaintyOfSequence is that of one result of a run of the ISO sequence; see
// [UncertaintyOf].
func UncertaintyOfSequence(test SequenceTest, id string, level float64, draws int, seed uint64) (Uncertainty, error) {
	result := func(t *SequenceTest) float64 {
		r, err := RunSequence(*t)
		if err != nil {
			return math.NaN()
		}
		return stepSI(r.Steps, id)
	}
	r, err := RunSequence(test)
	if err != nil {
		return Uncertainty{}, err
	}
	unit, err := unitOfStep(r.Steps, id)
	if err != nil {
		return Uncertainty{}, err
	}
	clone := func() *SequenceTest {
		c := test
		c.Levels = maps.Clone(test.Levels)
		for name, l := range c.Levels {
			l.Pots = slices.Clone(l.Pots)
			c.Levels[name] = l
		}
		return &c
	}
	return budgetOf(test.influences(), clone, result, id, unit, level, draws, seed)
}

func (t SequenceTest) influences() []influence[SequenceTest] {
	var c causes[SequenceTest]
	with := t.Instruments.usual()
	c.add("LHVd", heatU(t.LHVFrom), stats.Gaussian, true, func(t *SequenceTest, by float64) { t.LHV += by })
	c.add("LHVc", lhvCharU*1000, stats.Gaussian, true, func(t *SequenceTest, by float64) { t.LHVChar += by })
	c.add("m", moistureU, stats.Gaussian, true, func(t *SequenceTest, by float64) { t.Moisture += by })
	c.add("scale-gain", stats.Limits(with.ScaleGain), stats.Rectangular, true, func(t *SequenceTest, by float64) {
		for _, name := range powerLevels {
			t.move(name, func(l *LevelTest) {
				l.Fuel, l.Char = l.Fuel*(1+by), l.Char*(1+by)
				for i := range l.Pots {
					l.Pots[i].Water, l.Pots[i].Evaporated = l.Pots[i].Water*(1+by), l.Pots[i].Evaporated*(1+by)
				}
			})
		}
	})
	for _, name := range powerLevels {
		if l, burnt := t.Levels[name]; burnt {
			t.levelInfluences(&c, name, l, with)
		}
	}
	return c
}

// move changes the readings of a level that was burnt.
func (t *SequenceTest) move(name PowerLevel, change func(*LevelTest)) {
	if l, burnt := t.Levels[name]; burnt {
		change(&l)
		t.Levels[name] = l
	}
}

// levelInfluences are those of one level; a mass that is the difference of two
// weighings has the steps of both.
func (t SequenceTest) levelInfluences(c *causes[SequenceTest], name PowerLevel, l LevelTest, with Instruments) {
	own := func(key string, u float64, apply func(*LevelTest, float64)) {
		c.add(string(name)+"."+key, u, stats.Rectangular, false, func(t *SequenceTest, by float64) {
			t.move(name, func(l *LevelTest) { apply(l, by) })
		})
	}
	pot := math.Sqrt2 * stats.Resolution(with.PotScale)
	own("F_k", math.Sqrt2*stats.Resolution(with.WoodScale), func(l *LevelTest, by float64) { l.Fuel += by })
	own("C_k", math.Hypot(math.Sqrt2*stats.Resolution(with.CharScale), stats.Limits(charLossLimit*l.Char)), func(l *LevelTest, by float64) { l.Char += by })
	own("t", stats.Limits(boilJudgeLimit), func(l *LevelTest, by float64) { l.Duration += by })
	kelvin := stats.Limits(readingShare * with.Thermometer)
	for i := range l.Pots {
		own("M_w", pot, func(l *LevelTest, by float64) { l.Pots[i].Water += by })
		own("M_v", pot, func(l *LevelTest, by float64) { l.Pots[i].Evaporated += by })
		own("T_i", kelvin, func(l *LevelTest, by float64) { l.Pots[i].Start += by })
		own("T_f", kelvin, func(l *LevelTest, by float64) { l.Pots[i].End += by })
	}
}

func stepSI(steps []Step, id string) float64 {
	for _, s := range steps {
		if s.ID() == id {
			return s.Value.SI
		}
	}
	return math.NaN()
}

func unitOfStep(steps []Step, id string) (quantity.Unit, error) {
	for _, s := range steps {
		if s.ID() == id {
			return s.Value.Unit, nil
		}
	}
	return quantity.Unit{}, fmt.Errorf("bench: the test has no result %q", id)
}
