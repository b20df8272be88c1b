package brick

import (
	"math"
	"slices"
	"strings"

	"stovewright/gas"
	"stovewright/message"
)

// ClayCard is what is known of one clay dug at one place and depth on one day.
// Readings that were not taken are NaN or empty.
type ClayCard struct {
	Name, Pit, Date, Note string
	Depth                 float64 // m

	Ribbon     float64 // m, length at which a ribbon 3 to 5 mm thick breaks
	Coil       string  // whole, cracks or breaks: a 10 mm coil bent round a finger
	Drop       string  // flattens, few cracks or shatters: a 40 mm ball from 1.5 m
	Sand       float64 // m, layers in the jar
	Silt       float64
	Clay       float64
	JarKelvin  float64 // water in the jar
	Drying     float64 // of the bar, linear on the wet length
	Firing     float64 // linear on the dry length
	FiredAt    float64 // K
	Loss       float64 // share of the dry mass lost in the fire
	LossAt     float64 // K
	Moisture   float64 // as dug, on the wet basis
	Lime       string  // none, weak or strong fizz in vinegar
	Salts      string  // none, trace or white scum on the dry bar
	BarReading float64 // m, standard uncertainty of a length on the bar
	BarLength  float64 // m, wet
}

type clayTest struct {
	Key    string      `yaml:"key"`
	Words  []string    `yaml:"words"`
	Grades []clayGrade `yaml:"grades"`
}

type clayGrade struct {
	Below float64 `yaml:"below"`
	Grade string  `yaml:"grade"`
}

var clayTests = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Standing    string            `yaml:"standing"`
	Tests       []clayTest        `yaml:"tests"`
}]("clay-tests.yaml").Tests

func clayTestOf(key string) clayTest {
	return clayTests[slices.IndexFunc(clayTests, func(t clayTest) bool { return t.Key == key })]
}

func (t clayTest) grade(v float64) string {
	for _, g := range t.Grades {
		if v < g.Below || g.Below == 0 {
			return g.Grade
		}
	}
	return t.Grades[len(t.Grades)-1].Grade
}

// ClayReading is one test of a card with what it means.
type ClayReading struct {
	Test    string       // key of data/clay-tests.yaml
	Grade   string       // of that test
	Meaning message.Text // what the reading says of the clay, and what to do
	Limits  message.Text // what the test cannot tell
	Caution message.Text // zero where there is none
}

// Readings grades what was tested, in the order of the card.
func (c ClayCard) Readings() []ClayReading {
	var list []ClayReading
	number := func(key string, v float64, show any) {
		if math.IsNaN(v) {
			return
		}
		grade := clayTestOf(key).grade(v)
		list = append(list, ClayReading{Test: key, Grade: grade, Meaning: message.T("brick.clay."+key+"."+grade, "value", show),
			Limits: message.T("brick.clay." + key + ".limits")})
	}
	word := func(key, v string) {
		if v == "" {
			return
		}
		list = append(list, ClayReading{Test: key, Grade: v, Meaning: message.T("brick.clay." + key + "." + strings.ReplaceAll(v, " ", "-")),
			Limits: message.T("brick.clay." + key + ".limits")})
	}
	number("ribbon", c.Ribbon, mmValue(c.Ribbon))
	word("coil", c.Coil)
	word("drop", c.Drop)
	number("jar", c.FineShare(), pctValue(c.FineShare()))
	number("bar", c.Drying, pct1Value(c.Drying))
	number("loss", c.Loss, pct1Value(c.Loss))
	word("lime", c.Lime)
	word("salts", c.Salts)
	for i := range list {
		if list[i].Test == "lime" && list[i].Grade != "none" {
			list[i].Caution = message.T("brick.caution.lime-pops")
		}
		if list[i].Test == "loss" {
			list[i].Caution = message.T("brick.caution.kiln")
		}
	}
	return list
}

// FineShare is clay and half the silt over all layers of the jar: clay and the
// fine half of the silt bind. Layers stand looser the finer they are, so it
// ranks clays and does not measure them. NaN without a jar.
func (c ClayCard) FineShare() float64 { return (c.Clay + c.Silt/2) / (c.Sand + c.Silt + c.Clay) }

// Vogel1921Viscosity is the viscosity of water (Pa s) at T (K),
// 2.414e-5 · 10^(247.8/(T−140)) (vogel1921), within 2.5 % from 273 to 373 K.
func Vogel1921Viscosity(kelvin float64) float64 {
	return 2.414e-5 * math.Pow(10, 247.8/(kelvin-140))
}

// Stokes1851Velocity is the speed (m/s) at which a grain of diameter (m) and
// density (kg/m³) settles in water at T (K): v = (ρp−ρw) g d²/(18 μ)
// (stokes1851), for Reynolds numbers below about 0.3: sand of 63 µm and finer.
func Stokes1851Velocity(diameter, density, waterDensity, viscosity float64) float64 {
	const g = 9.80665
	return (density - waterDensity) * g * diameter * diameter / (18 * viscosity)
}

// JarTimes are when to mark the layers of a jar of a depth (m) with water at T
// (K): the sand is down when 63 µm grains have fallen the whole depth, the silt
// when 2 µm grains have. In s.
func JarTimes(depth, kelvin float64) (sand, silt float64) {
	mu := Vogel1921Viscosity(kelvin)
	fall := func(d float64) float64 { return depth / Stokes1851Velocity(d, 2650, gas.PlainWater, mu) }
	return fall(63e-6), fall(2e-6)
}

// Verdict sums the card up: what the readings agree on, and what to try.
func (c ClayCard) Verdict() message.Text {
	lean, fat := 0, 0
	for _, r := range c.Readings() {
		switch r.Grade {
		case "lean", "low", "breaks", "shatters":
			if r.Test != "loss" {
				lean++
			}
		case "fat", "flattens":
			fat++
		case "high":
			if r.Test == "bar" {
				fat++
			}
		case "strong":
			return message.T("brick.clay.verdict.lime")
		}
	}
	switch {
	case len(c.Readings()) < 3:
		return message.T("brick.clay.verdict.few")
	case lean > 0 && fat > 0:
		return message.T("brick.clay.verdict.mixed")
	case lean >= 2:
		return message.T("brick.clay.verdict.lean")
	case fat >= 2:
		return message.T("brick.clay.verdict.fat")
	}
	return message.T("brick.clay.verdict.good")
}

// Stock is the clay as a stock: the table's ranges, narrowed by the loss that
// was measured. The moisture stays open, for it changes from day to day.
func (c ClayCard) Stock() Stock {
	s, _ := NewStock(c.Name, "clay")
	if !math.IsNaN(c.Loss) {
		s.Loss = s.Loss.around(c.Loss, 0.01)
	}
	return s
}

// Forming narrows the drying and firing shrinkage to what the bar showed. A bar
// of clay alone shrinks more than a mix with sawdust, so the range stays wide
// below it.
func (c ClayCard) Forming(d FormingData) FormingData {
	if !math.IsNaN(c.Drying) {
		d.Drying = d.Drying.between(0.4*c.Drying, c.Drying+0.01)
	}
	if !math.IsNaN(c.Firing) {
		d.Firing = d.Firing.between(0.4*c.Firing-0.005, c.Firing+0.01)
	}
	return d
}

// around narrows a range to a measured value and twice its standard
// uncertainty on either side.
func (p Param) around(v, u float64) Param {
	p = p.between(v-2*u, v+2*u)
	p.Default = v
	return p
}

func (p Param) between(low, high float64) Param {
	width := p.Max - p.Min
	p.Low = math.Max(low, p.Min+0.01*width)
	p.High = math.Min(math.Max(high, p.Low+0.01*width), p.Max-0.01*width)
	p.Low = math.Min(p.Low, p.High-0.005*width)
	p.Default = math.Min(math.Max(p.Default, p.Low), p.High)
	return p
}

// PitHistory compares the cards of one pit, oldest first, each with the one
// before: the same pit dug deeper is another clay.
func PitHistory(cards []ClayCard) []message.Text {
	cards = slices.Clone(cards)
	slices.SortStableFunc(cards, func(a, b ClayCard) int { return strings.Compare(a.Date, b.Date) })
	var list []message.Text
	for i := 1; i < len(cards); i++ {
		a, b := cards[i-1], cards[i]
		if a.Pit != b.Pit {
			continue
		}
		if math.Abs(a.Depth-b.Depth) > 0.3 {
			list = append(list, message.T("brick.clay.history.depth", "from", mmValue(a.Depth), "to", mmValue(b.Depth), "date", b.Date))
		}
		if u := 2 * math.Hypot(barUncertainty(a), barUncertainty(b)); math.Abs(a.Drying-b.Drying) > math.Max(0.005, u) {
			list = append(list, message.T("brick.clay.history.bar", "from", pct1Value(a.Drying), "to", pct1Value(b.Drying), "date", b.Date))
		}
		if math.Abs(a.Loss-b.Loss) > 0.015 {
			list = append(list, message.T("brick.clay.history.loss", "from", pct1Value(a.Loss), "to", pct1Value(b.Loss), "date", b.Date))
		}
		if a.Lime != b.Lime && a.Lime != "" && b.Lime != "" {
			list = append(list, message.T("brick.clay.history.lime", "date", b.Date))
		}
	}
	return list
}

// barUncertainty is that of a drying shrinkage from two readings of one bar.
func barUncertainty(c ClayCard) float64 {
	if !(c.BarLength > 0) || math.IsNaN(c.BarReading) {
		return 0
	}
	return math.Sqrt2 * c.BarReading / c.BarLength
}
