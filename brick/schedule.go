package brick

import (
	"math"
	"slices"

	"stovewright/message"
)

const (
	hour          = 3600.0 // s
	zeroCelsius   = 273.15 // K
	bandThickness = 0.060  // m, of the brick that data/firing.yaml is written for
)

// FiringBand is one critical band of data/firing.yaml.
type FiringBand struct {
	Key  string  `yaml:"key"`
	From float64 `yaml:"from"` // °C
	To   float64 `yaml:"to"`   // °C
	Rate float64 `yaml:"rate"` // K/h, fastest usual change for 60 mm
	Hold float64 `yaml:"hold"` // h
	At   float64 `yaml:"at"`   // °C, where the hold stands
}

// conduction stands for the limit that conduction alone sets.
var conduction = FiringBand{Key: "conduction"}

// Why says what happens in the band.
func (b FiringBand) Why() message.Text { return message.T("brick.firing.band." + b.Key) }

// GlowColour is a colour word of data/firing.yaml.
type GlowColour struct {
	Key string  `yaml:"key"`
	At  float64 `yaml:"at"` // °C
}

// Name is the word.
func (g GlowColour) Name() message.Text { return message.T("brick.firing.colour." + g.Key) }

// GlowColours lists the colour words, coolest first.
func GlowColours() []GlowColour { return slices.Clone(firingTable.Colours) }

var firingTable = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Standing    string            `yaml:"standing"`
	Source      string            `yaml:"source"`
	Note        string            `yaml:"note"`
	Heating     []FiringBand      `yaml:"heating"`
	Cooling     []FiringBand      `yaml:"cooling"`
	Colours     []GlowColour      `yaml:"colours"`
}]("firing.yaml")

// HeatingBands lists the critical bands on the way up.
func HeatingBands() []FiringBand { return slices.Clone(firingTable.Heating) }

// CoolingBands lists them on the way down.
func CoolingBands() []FiringBand { return slices.Clone(firingTable.Cooling) }

// KilnColour is the colour word nearest to a temperature in K, as seen in the
// dark; the zero text below 500 °C, where nothing glows. The eye errs by 50 K
// and more.
func KilnColour(kelvin float64) message.Text {
	t := kelvin - zeroCelsius
	if t < 500 {
		return message.Text{}
	}
	best := firingTable.Colours[0]
	for _, c := range firingTable.Colours {
		if math.Abs(c.At-t) < math.Abs(best.At-t) {
			best = c
		}
	}
	return best.Name()
}

// RampLimit is the fastest steady rise (K/s) at which the middle of a slab lags
// its faces by no more than lag (K): in a steady ramp r of a slab of half
// thickness b heated from both faces the middle lags by r b²/(2a), so
// r = 2 a ΔT/b². Thickness in m, diffusivity in m²/s.
func RampLimit(thickness, diffusivity, lag float64) float64 {
	b := thickness / 2
	return 2 * diffusivity * lag / (b * b)
}

// FiringWish is what a firing is planned for.
type FiringWish struct {
	Thickness   float64 // m, the smallest edge of the brick, 0.01 to 0.15
	Peak        float64 // K, 873 to 1473
	Soak        float64 // s at the peak
	Ambient     float64 // K; 0 means 20 °C
	Diffusivity float64 // m²/s; 0 means 2.5e-7, a light brick
	Lag         float64 // K between face and middle; 0 means 30
	PoreFormer  bool    // something in the body burns
}

// FiringStep is one straight piece of a firing plan.
type FiringStep struct {
	From, To float64      // K; equal in a hold
	Duration float64      // s
	Why      message.Text // what limits the rate, or what the hold is for
}

// Rate is the change in K/s, negative when cooling, 0 in a hold.
func (s FiringStep) Rate() float64 { return (s.To - s.From) / s.Duration }

// Schedule is a firing plan.
type Schedule struct {
	Wish  FiringWish
	Steps []FiringStep
}

// Plan makes the schedule: at each temperature the slowest of the critical
// bands (scaled by (60 mm/thickness)² for thicker bricks) and the conduction
// limit rules; holds for the free water and, with a pore former, for the carbon
// grow with thickness squared. Rates are common practice, the scaling with
// thickness follows from conduction.
func (w FiringWish) Plan() (Schedule, error) {
	if w.Ambient == 0 {
		w.Ambient = 20 + zeroCelsius
	}
	if w.Diffusivity == 0 {
		w.Diffusivity = 2.5e-7
	}
	if w.Lag == 0 {
		w.Lag = 30
	}
	if err := w.check(); err != nil {
		return Schedule{}, err
	}
	s := Schedule{Wish: w}
	edges := w.edges(firingTable.Heating)
	for i := 0; i+1 < len(edges); i++ {
		s.ramp(edges[i], edges[i+1], firingTable.Heating)
		for _, b := range firingTable.Heating {
			if b.Hold > 0 && b.At == edges[i+1] && (b.Key != "carbon" || w.PoreFormer) {
				s.hold(edges[i+1], b.Hold*hour*math.Max(1, w.thicker()), message.T("brick.firing.hold."+b.Key))
			}
		}
	}
	if w.Soak > 0 {
		s.hold(w.Peak-zeroCelsius, w.Soak, message.T("brick.firing.hold.soak"))
	}
	edges = w.edges(firingTable.Cooling)
	slices.Reverse(edges)
	for i := 0; i+1 < len(edges); i++ {
		s.ramp(edges[i], edges[i+1], firingTable.Cooling)
	}
	return s, nil
}

func (w FiringWish) check() error {
	var bad message.InputErrors
	say := func(field string, v float64, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(v), Reason: message.T(id), Try: try})
	}
	if !(w.Thickness >= 0.01 && w.Thickness <= 0.15) {
		say("thickness", w.Thickness, "brick.firing.thickness", "0.060")
	}
	if !(w.Peak >= 873 && w.Peak <= 1473.15) {
		say("peak", w.Peak, "brick.firing.peak", "1273")
	}
	if !(w.Soak >= 0 && w.Soak <= 48*hour) {
		say("soak", w.Soak, "brick.firing.soak", "7200")
	}
	if !(w.Ambient >= 243 && w.Ambient <= 333) {
		say("ambient", w.Ambient, "brick.firing.ambient", "293")
	}
	if !(w.Diffusivity >= 5e-8 && w.Diffusivity <= 5e-6) || !(w.Lag >= 1 && w.Lag <= 200) {
		say("diffusivity", w.Diffusivity, "brick.firing.diffusivity", "2.5e-7")
	}
	return bad.OrNil()
}

// thicker is (thickness/60 mm)², by which heat and burnout slow down.
func (w FiringWish) thicker() float64 {
	k := w.Thickness / bandThickness
	return k * k
}

// edges are the temperatures (°C) between ambient and peak at which a limit or
// a hold changes, rising.
func (w FiringWish) edges(bands []FiringBand) []float64 {
	low, high := w.Ambient-zeroCelsius, w.Peak-zeroCelsius
	list := []float64{low, high}
	for _, b := range bands {
		for _, t := range []float64{b.From, b.To, b.At} {
			if t > low && t < high {
				list = append(list, t)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// limit is the fastest change (K/s) between two temperatures (°C) and the band
// that sets it.
func (w FiringWish) limit(a, b float64, bands []FiringBand) (float64, FiringBand) {
	rate, slowest := RampLimit(w.Thickness, w.Diffusivity, w.Lag), conduction
	middle := (a + b) / 2
	for _, band := range bands {
		if band.Key == "burnout" && !w.PoreFormer {
			continue
		}
		if r := band.Rate / hour / math.Max(1, w.thicker()); middle > band.From && middle < band.To && r < rate {
			rate, slowest = r, band
		}
	}
	return rate, slowest
}

func (s *Schedule) ramp(from, to float64, bands []FiringBand) {
	rate, band := s.Wish.limit(from, to, bands)
	why := band.Why()
	d := math.Abs(to-from) / rate
	if n := len(s.Steps); n > 0 {
		last := &s.Steps[n-1]
		same := (last.To-last.From)*(to-from) > 0 && math.Abs(math.Abs(last.Rate())-rate) < 1e-12
		if same && last.Why.ID == why.ID {
			last.To, last.Duration = to+zeroCelsius, last.Duration+d
			return
		}
	}
	s.Steps = append(s.Steps, FiringStep{from + zeroCelsius, to + zeroCelsius, d, why})
}

func (s *Schedule) hold(celsius, seconds float64, why message.Text) {
	s.Steps = append(s.Steps, FiringStep{celsius + zeroCelsius, celsius + zeroCelsius, seconds, why})
}

// Duration is the length of the plan in s.
func (s Schedule) Duration() float64 {
	var d float64
	for _, step := range s.Steps {
		d += step.Duration
	}
	return d
}

// At is the planned temperature (K) at a time (s); before the start the first,
// after the end the last.
func (s Schedule) At(seconds float64) float64 {
	if len(s.Steps) == 0 {
		return math.NaN()
	}
	for _, step := range s.Steps {
		if seconds < step.Duration {
			return step.From + (step.To-step.From)*math.Max(0, seconds)/step.Duration
		}
		seconds -= step.Duration
	}
	return s.Steps[len(s.Steps)-1].To
}

// Hourly lists the planned temperature (K) at each full hour, for the log sheet.
func (s Schedule) Hourly() []float64 {
	n := int(math.Ceil(s.Duration() / hour))
	list := make([]float64, n+1)
	for i := range list {
		list[i] = s.At(float64(i) * hour)
	}
	return list
}

// Cone is one pyrometric cone.
type Cone struct {
	Name string  `yaml:"name"`
	At   float64 `yaml:"at"` // °C at 150 K/h
}

var coneTable = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Source      string            `yaml:"source"`
	Standing    string            `yaml:"standing"`
	Cones       []Cone            `yaml:"cones"`
}]("cones.yaml").Cones

// LookupCone finds a cone by its number, "06".
func LookupCone(name string) (Cone, bool) {
	for _, c := range coneTable {
		if c.Name == name {
			return c, true
		}
	}
	return Cone{}, false
}

// ConeTrio gives the three cones to set for a peak temperature (K): the guide
// that warns, the one that should bend, and the guard that must stand.
func ConeTrio(peak float64) (guide, target, guard Cone) {
	best := 1
	for i := 1; i+1 < len(coneTable); i++ {
		if math.Abs(coneTable[i].At+zeroCelsius-peak) < math.Abs(coneTable[best].At+zeroCelsius-peak) {
			best = i
		}
	}
	return coneTable[best-1], coneTable[best], coneTable[best+1]
}
