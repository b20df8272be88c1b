package explore

import (
	"math"

	"stovewright/fire"
	"stovewright/heat"
	"stovewright/message"
	"stovewright/quantity"
)

// Metric is one thing that a stove is judged by.
type Metric int

// The metrics.
const (
	Efficiency Metric = iota // heat into the pot over the heat of the wood, stove warm
	BoilTime                 // s, from lighting a cold stove to the boil
	Wood                     // kg wet, burnt until then
	AirRatio                 // air pulled over air needed, at full firepower
	Skin                     // K, hottest side of the body after hours of cooking
	MetricCount
)

var metricKeys = [MetricCount]string{"efficiency", "boil-time", "wood", "air-ratio", "skin"}

// String is the key of a metric; its name is the message "explore.metric." + key.
func (m Metric) String() string { return metricKeys[m] }

// MetricByKey finds a metric by its key.
func MetricByKey(key string) (Metric, bool) {
	for m, k := range metricKeys {
		if k == key {
			return Metric(m), true
		}
	}
	return 0, false
}

// Name is the metric in words.
func (m Metric) Name() message.Text { return message.T("explore.metric." + m.String()) }

// Value is a value of the metric as it is shown.
func (m Metric) Value(si float64) quantity.Value {
	switch m {
	case Efficiency:
		return quantity.Value{SI: si, Unit: quantity.Percent, Step: 0.1}
	case BoilTime:
		return quantity.Value{SI: si, Unit: quantity.Minute, Step: 0.1}
	case Wood:
		return quantity.Value{SI: si, Unit: quantity.Gram, Step: 1}
	case Skin:
		return quantity.C(si)
	}
	return quantity.Value{SI: si, Unit: quantity.One, Step: 0.01}
}

// Change is a difference of the metric as it is shown, with its sign.
func (m Metric) Change(si float64) quantity.Value {
	v := m.Value(si)
	if m == Skin {
		v = quantity.Value{SI: si, Unit: quantity.KelvinDiff, Step: 0.1}
	}
	return v
}

// Changes says in words that the metric is more or less by a difference. A change
// of the efficiency is told in shares of the fire's heat, so that nobody takes it
// for a share of the efficiency.
func (m Metric) Changes(si float64) message.Text {
	if si < 0 {
		return message.T("explore.falls."+m.String(), "by", m.Change(-si))
	}
	return message.T("explore.rises."+m.String(), "by", m.Change(si))
}

// Shows reports whether a change of the metric is so large that it shows as the
// metric is written; one that does not exist does.
func (m Metric) Shows(change float64) bool {
	v := m.Change(change)
	return !(math.Abs(v.Unit.Number(v.SI)) < v.Step/2)
}

// Outcome is what one stove does, metric by metric; all NaN where it chokes or
// cannot be built, boil time and wood alone where the water never boils.
type Outcome [MetricCount]float64

// nothing is the outcome of a stove that does not burn.
func nothing() (o Outcome) {
	for i := range o {
		o[i] = math.NaN()
	}
	return o
}

// Burns reports whether there is an outcome at all.
func (o Outcome) Burns() bool { return !math.IsNaN(o[AirRatio]) }

// Depth is how much is computed for an outcome.
type Depth string

// The depths.
const (
	// Steady solves one steady state of the warm stove: boil time and wood are
	// those of a hot start, from its heat balance. Some hundred microseconds.
	Steady Depth = "steady"
	// Cold follows a cold start in time: a few milliseconds.
	Cold Depth = "cold"
	// brisk is a cold start in long steps. It is up to 1 % short in time and wood,
	// alike for all stoves within 0.3 %.
	brisk Depth = "brisk"
)

// coldStep is the time step of a cold start, s. Twice as long as that of package
// fire: it moves time and wood by some 0.2 %, alike for all stoves.
const coldStep, briskStep = 2 * fire.DefaultStep, 4 * fire.DefaultStep

// burn computes the outcome of a lit stove.
func burn(l fire.Lit, c *fire.Coefficients, depth Depth) Outcome {
	m, err := l.Model()
	if err != nil {
		return nothing()
	}
	return burnModel(m, l.Task, c, depth)
}

func burnModel(m *fire.Model, t fire.Task, c *fire.Coefficients, depth Depth) Outcome {
	boil := m.Air().BoilingPoint()
	p, err := m.SolveAgainst(c, t.Power, boil, fire.WallLink{}, 0)
	if err != nil {
		return nothing()
	}
	o := nothing()
	o[Efficiency], o[AirRatio] = p.Efficiency(), p.AirRatio
	o[Skin] = skinOf(m, p.Heat.Wall)
	if depth != Steady {
		t.Hold = 0
		step := coldStep
		if depth == brisk {
			step = briskStep
		}
		if up, _, err := m.Cook(*c, t, step); err == nil {
			o[BoilTime], o[Wood] = up.Duration(), up.WoodUsed()
		}
		return o
	}
	o[BoilTime], o[Wood] = hotStart(m, c, t, p, boil)
	return o
}

// hotStart is time and wood of bringing the pot to the boil on the warm stove, by
// the heat balance of its steady state: the pot takes what the gas gives less
// what lid and side lose at the mean temperature of the water.
func hotStart(m *fire.Model, c *fire.Coefficients, t fire.Task, p fire.Point, boil float64) (seconds, wood float64) {
	pot := m.Stove().Pot
	area := math.Pi * pot.Diameter * pot.Diameter / 4
	bare := pot.Height
	for _, a := range m.Stove().Side {
		bare -= a.Length
	}
	area += math.Pi * pot.Diameter * math.Max(bare, 0)
	lost := c[fire.PotLoss] * area * ((t.Start+boil)/2 - m.Air().Temperature)
	net := p.Heat.Pot() - lost
	if net <= 0 {
		return math.NaN(), math.NaN()
	}
	seconds = (t.Water*waterHeat + pot.Mass*pot.Heat) * (boil - t.Start) / net
	return seconds, seconds * p.FuelRate
}

const waterHeat = 4186.0 // J/(kg K), as in the protocols of boiling tests

// skinOf is the outer face of the body beside the chamber when the wall passes a
// steady loss in W.
func skinOf(m *fire.Model, loss float64) float64 {
	s, air := m.Stove(), m.Air()
	outer := s.Chamber.Perimeter / (2 * math.Pi)
	for _, l := range s.Wall.Layers {
		outer += l.Thickness
	}
	area := 2 * math.Pi * outer * s.Chamber.Height
	height := math.Max(s.Wall.BodyHeight, s.Chamber.Height)
	skin := air.Temperature + 20
	for range 8 {
		h := heat.OuterVertical(skin, air.Temperature, height, s.Wall.Emissivity, air.Pressure)
		next := air.Temperature + loss/(area*h)
		if math.Abs(next-skin) < 0.01 {
			break
		}
		skin = (skin + 2*next) / 3
	}
	return skin
}
