package fire

import (
	_ "embed"
	"math"

	"stovewright/quantity"
)

// Finding is what somebody measured on a stove: a range of one quantity, with
// its conditions, its standing and its source.
type Finding struct {
	Key         string
	Quantity    string  // key of a [Measure]
	Low         float64 // SI; 0 where only an upper bound is told
	High        float64
	Uncertainty float64 // one standard deviation of a single test; 0 where not given
	Stove       string  // one of Kinds
	Water       float64 // kg in the pot; 0 where any
	Conditions  string
	Standing    string
	Source      string
}

// Noted is a published value of something that the model does not predict, in
// the words of its source.
type Noted struct{ What, Value, Conditions, Standing, Source string }

// Kinds of stoves that a finding may be about: the first four hold for stoves of
// this program, the others never do.
const (
	AnyStove  = "any"
	Elbow     = "elbow"
	WithSkirt = "elbow with skirt"
	BareElbow = "elbow without skirt"
	OpenFire  = "three-stone fire"
	MudTwoPot = "enclosed mud stove for two pots"
	OtherKind = "other"
)

// Kinds lists them.
func Kinds() []string {
	return []string{AnyStove, Elbow, WithSkirt, BareElbow, OpenFire, MudTwoPot, OtherKind}
}

//go:embed findings.yaml
var findingsFile []byte

var published = func() Measured {
	m, err := ReadMeasured(findingsFile)
	if err != nil {
		panic(err) // part of the program, tested
	}
	return m
}()

// Findings are the published ranges that the model is shown against.
func Findings() []Finding { return append([]Finding(nil), published.Findings...) }

// NotPredicted are published values of what the model says nothing about.
func NotPredicted() []Noted { return append([]Noted(nil), published.NotPredicted...) }

// Measure is a quantity that a finding or a result may be of, and how a boil run
// answers for it. Its name is the message "fire.measure." + Key.
type Measure struct {
	Key   string
	Unit  quantity.Unit // of a bare number, and how it is shown
	Step  float64
	Least float64 // SI, what can be measured at all
	Most  float64

	of     func(*Model, *BoilRun) float64
	simmer bool // answered only by a run that simmers
}

// Value is a number of the measure as it is shown.
func (m Measure) Value(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: m.Unit, Step: m.Step}
}

// Of is what a boil run of a model answers (SI); false for one that it does not
// answer, such as of a simmer that was not run.
func (m Measure) Of(model *Model, r *BoilRun) (float64, bool) {
	if m.simmer && len(r.Simmer.Samples) == 0 || len(r.Hot.Samples) == 0 {
		return 0, false
	}
	si := m.of(model, r)
	return si, !math.IsNaN(si) && !math.IsInf(si, 0)
}

// Difference is a difference of two such numbers, or an uncertainty.
func (m Measure) Difference(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: m.differenceUnit(), Step: m.Step}
}

func (m Measure) differenceUnit() quantity.Unit {
	if m.Unit.Dimension == quantity.Temperature {
		return quantity.KelvinDiff
	}
	return m.Unit
}

var measures = []Measure{
	{"efficiency", quantity.Percent, 0.1, 0, 1, func(m *Model, r *BoilRun) float64 { return (m.TestEfficiency(r.Cold) + m.TestEfficiency(r.Hot)) / 2 }, false},
	{"cold-efficiency", quantity.Percent, 0.1, 0, 1, func(m *Model, r *BoilRun) float64 { return m.TestEfficiency(r.Cold) }, false},
	{"hot-efficiency", quantity.Percent, 0.1, 0, 1, func(m *Model, r *BoilRun) float64 { return m.TestEfficiency(r.Hot) }, false},
	{"boil-time", quantity.Minute, 0.1, 0, 86400, func(_ *Model, r *BoilRun) float64 { return r.Cold.Duration() }, false},
	{"hot-boil-time", quantity.Minute, 0.1, 0, 86400, func(_ *Model, r *BoilRun) float64 { return r.Hot.Duration() }, false},
	{"boil-wood", quantity.Gram, 1, 0, 500, func(m *Model, r *BoilRun) float64 { return m.dryWood(r.Cold.WoodUsed()) }, false},
	{"simmer-wood", quantity.Gram, 1, 0, 500, func(m *Model, r *BoilRun) float64 { return m.dryWood(r.Simmer.WoodUsed()) }, true},
	{"wood", quantity.Gram, 1, 0, 500, func(m *Model, r *BoilRun) float64 { return m.dryWood(r.meanBoilWood() + r.Simmer.WoodUsed()) }, true},
	{"energy", quantity.Megajoule, 0.1, 0, 1e10, func(m *Model, r *BoilRun) float64 { return m.lhv * (r.meanBoilWood() + r.Simmer.WoodUsed()) }, true},
	{"firepower", quantity.Kilowatt, 0.01, 0, 1e5, func(m *Model, r *BoilRun) float64 { return m.firepower(r.Hot) }, false},
	{"simmer-power", quantity.Kilowatt, 0.01, 0, 1e5, func(m *Model, r *BoilRun) float64 { return m.firepower(r.Simmer) }, true},
	{"turndown", quantity.One, 0.01, 0, 50, func(m *Model, r *BoilRun) float64 { return m.firepower(r.Hot) / m.firepower(r.Simmer) }, true},
	{"evaporated", quantity.Gram, 1, 0, 500, func(_ *Model, r *BoilRun) float64 { return r.Cold.Evaporated() }, false},
	{"air-ratio", quantity.One, 0.01, 0, 50, func(_ *Model, r *BoilRun) float64 { return r.Hot.mean(func(s Sample) float64 { return s.AirRatio }) }, false},
	{"throat-temperature", quantity.Celsius, 1, 273.15, 2300, func(_ *Model, r *BoilRun) float64 { return r.Hot.mean(func(s Sample) float64 { return s.ThroatT }) }, false},
	{"skin-temperature", quantity.Celsius, 1, 250, 1300, func(_ *Model, r *BoilRun) float64 {
		return math.Max(r.Cold.Skin, math.Max(r.Hot.Skin, r.Simmer.Skin))
	}, false},
}

// Measures lists what a finding or a result may be of.
func Measures() []Measure { return append([]Measure(nil), measures...) }

// MeasureByKey finds a measure by its key.
func MeasureByKey(key string) (Measure, bool) {
	for _, m := range measures {
		if m.Key == key {
			return m, true
		}
	}
	return Measure{}, false
}

func (m *Model) dryWood(wet float64) float64 { return m.moisture.DryMass(wet) }

func (m *Model) firepower(p Phase) float64 { return m.lhv * p.WoodUsed() / p.Duration() }

// meanBoilWood is the mean of cold and hot start, as boiling tests add it to the
// simmer.
func (r *BoilRun) meanBoilWood() float64 { return (r.Cold.WoodUsed() + r.Hot.WoodUsed()) / 2 }

// mean is that of something over the time of a phase.
func (p Phase) mean(of func(Sample) float64) float64 {
	sum, last := 0.0, 0.0
	for _, s := range p.Samples {
		sum += (s.Time - last) * of(s)
		last = s.Time
	}
	return sum / last
}

// Comparison is a finding beside what the model says.
type Comparison struct {
	Finding Finding
	Ours    float64
	Inside  bool
	Miss    float64 // outside the range, as a share of the nearer end; 0 inside
	Alike   bool    // the finding is of a stove of this kind with about this much in the pot
}

// sameWater is how far the water of a finding may be from that of a run, as a
// share, for the two to be alike.
const sameWater = 0.2

// Compare holds a boil run against findings. A run without a simmer answers no
// question about one.
func (m *Model) Compare(r BoilRun, list []Finding) []Comparison {
	var out []Comparison
	for _, f := range list {
		measure, known := MeasureByKey(f.Quantity)
		if !known || measure.simmer && r.Simmer.Name == "" {
			continue
		}
		ours := measure.of(m, &r)
		c := Comparison{Finding: f, Ours: ours, Inside: ours >= f.Low && ours <= f.High, Alike: m.alike(f, r)}
		switch {
		case ours < f.Low:
			c.Miss = ours/f.Low - 1
		case ours > f.High:
			c.Miss = ours/f.High - 1
		}
		out = append(out, c)
	}
	return out
}

// alike reports whether a finding is about a stove and a pot like these.
func (m *Model) alike(f Finding, r BoilRun) bool {
	if water := r.Cold.Readings.PotBefore - m.stove.Pot.Mass; f.Water > 0 && math.Abs(water/f.Water-1) > sameWater {
		return false
	}
	switch f.Stove {
	case AnyStove, Elbow:
		return true
	case WithSkirt:
		return len(m.stove.Side) > 0
	case BareElbow:
		return len(m.stove.Side) == 0
	}
	return false
}
