package explore

import (
	"math"
	"slices"

	"stovewright/bench"
	"stovewright/fire"
	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Quantity is something that a boiling test sees and the model foretells.
type Quantity string

// The quantities. Wood is not among them: with the firepower measured, the time
// says the same.
const (
	ColdTime  Quantity = "cold-time"  // s to the boil, cold start
	HotTime   Quantity = "hot-time"   // s to the boil, hot start
	ColdSteam Quantity = "cold-steam" // kg evaporated until then, cold start
	HotSteam  Quantity = "hot-steam"
	LeastAir  Quantity = "air-ratio" // lowest air ratio of the cold start, from oxygen in the flue gas
)

// Quantities lists them.
var Quantities = []Quantity{ColdTime, HotTime, ColdSteam, HotSteam, LeastAir}

// Name is the quantity in words.
func (q Quantity) Name() message.Text { return message.T("explore.quantity." + string(q)) }

// Value is a value of the quantity as it is shown.
func (q Quantity) Value(si float64) quantity.Value {
	switch q {
	case ColdTime, HotTime:
		return BoilTime.Value(si)
	case ColdSteam, HotSteam:
		return Wood.Value(si)
	}
	return AirRatio.Value(si)
}

// Seen is a measured value with its relative standard uncertainty.
type Seen struct {
	Quantity Quantity
	Value    float64 // SI, above zero
	U        float64 // relative
}

// Shown is a measured value as it is written.
func (s Seen) Shown() quantity.Value { return s.Quantity.Value(s.Value) }

// Trial is a measured boiling test as the model sees it.
type Trial struct {
	Name     string
	Stove    string     // tests with one word are of one stove
	Form     stove.Form // of the stove as it was tested
	Power    float64    // W, mean firepower of the wood burnt; 0 for the planned one
	Water    float64    // kg; 0 for the pot's fill
	Start    float64    // K; 0 for the room's
	Moisture float64    // share of wet mass; 0 for the brief's
	Seen     []Seen
	Named    string         // what the test itself calls its stove; "" where it does not
	Doubts   []message.Text // alarms of its readings, short of spoiling it
}

// readsAs reports whether two trials have all readings alike, as no two tests have.
func (t Trial) readsAs(other Trial) bool {
	return t.Power == other.Power && t.Water == other.Water && t.Start == other.Start && t.Moisture == other.Moisture && slices.Equal(t.Seen, other.Seen)
}

// TrialOf makes a trial of a measured boiling test and the brief of its stove.
// The uncertainty of the efficiency, which is that of the firepower, stands for
// that of the times: the two say the same. The error is a message.InputErrors
// where the test lacks a phase that can be used, where readings cannot be right, and
// where the test leaves itself out, as one does that was computed.
func TrialOf(form stove.Form, name string, run bench.Run) (Trial, error) {
	test := run.Test
	t := Trial{Name: name, Stove: form.Name, Form: form, Moisture: test.Wood.Moisture, Named: test.About.Stove}
	refuse := func(reason message.Text) (Trial, error) {
		return t, message.InputErrors{{Field: "test", Value: name, Reason: reason}}
	}
	if run.LeftOut != "" {
		return refuse(message.T("explore.trial-left-out", "why", run.LeftOut))
	}
	for _, a := range run.Result.Alarms {
		if a.Spoils() {
			return refuse(message.T("explore.trial-spoilt", "alarm", a.Text))
		}
		if a.Severity == bench.Suspect {
			t.Doubts = append(t.Doubts, a.Text)
		}
	}
	add := func(id string, p *bench.Phase, r *bench.PhaseResult, time, steam Quantity) {
		if p == nil || r == nil || r.Duration <= 0 || len(p.Pots) == 0 {
			return
		}
		u := 0.05 // of a test without a budget
		if b, err := bench.UncertaintyOf(test, id+".h", 0.9, 0, 1); err == nil && b.Value.SI > 0 {
			u = b.U.SI / b.Value.SI
		}
		pot := p.Pots[0]
		t.Seen = append(t.Seen, Seen{time, r.Duration, u})
		if r.Evaporated > 0 {
			t.Seen = append(t.Seen, Seen{steam, r.Evaporated, math.Hypot(u, 0.1)})
		}
		if t.Power == 0 {
			t.Power = r.Wood * wetHeat(test.Wood) / r.Duration
			t.Water, t.Start = pot.Before-pot.Empty, pot.Start
		}
	}
	add("cold", test.Cold, run.Result.Cold, ColdTime, ColdSteam)
	add("hot", test.Hot, run.Result.Hot, HotTime, HotSteam)
	if len(t.Seen) == 0 {
		return refuse(message.T("explore.no-phase"))
	}
	return t, nil
}

// wetHeat is the lower heating value of the wood as fired, J/kg.
func wetHeat(w bench.Wood) float64 {
	return w.LHV*(1-w.Moisture) - fuel.LatentHeat25*w.Moisture
}

// trialModel is a trial made ready to burn.
type trialModel struct {
	Trial
	model *fire.Model
	task  fire.Task
	hot   bool // a hot start is needed
	at    place
}

func (t Trial) open(c fire.Coefficients) (*trialModel, error) {
	b, err := Subject{Form: t.Form, Coefficients: c}.open()
	if err != nil {
		return nil, err
	}
	l := fire.Light(b.sized)
	if t.Moisture > 0 {
		if l.Moisture, err = fuel.WetBasis(t.Moisture); err != nil {
			return nil, err
		}
	}
	m, err := l.Model()
	if err != nil {
		return nil, err
	}
	out := &trialModel{Trial: t, model: m, task: l.Task, at: placeOf(b.sized)}
	out.task.Hold = 0
	if t.Water > 0 {
		if holds := b.sized.Pot.Capacity() * gas.PlainWater; t.Water > 1.05*holds {
			return nil, message.InputErrors{{Field: "test", Value: t.Name, Reason: message.T("explore.trial-water",
				"water", quantity.Value{SI: t.Water, Unit: quantity.Kilogram, Step: 0.1}, "holds", quantity.Value{SI: holds, Unit: quantity.Kilogram, Step: 0.1})}}
		}
		out.task.Water = t.Water
	}
	if t.Start > 0 {
		out.task.Start = t.Start
	}
	for _, s := range t.Seen {
		out.hot = out.hot || s.Quantity == HotTime || s.Quantity == HotSteam
		if s.Value <= 0 || s.U < 0 {
			return nil, message.InputErrors{{Field: "trial." + string(s.Quantity), Value: t.Name, Reason: message.T("explore.not-positive")}}
		}
		if s.Quantity == ColdTime && t.Power > 0 {
			// the mean over a cold start holds the time in which the fire comes up
			out.task.Power = t.Power / (1 - c[fire.Ramp]/2/math.Max(s.Value, c[fire.Ramp]))
		}
	}
	if t.Power > 0 && out.task.Power == l.Task.Power {
		out.task.Power = t.Power
	}
	return out, nil
}

// foretell are the logarithms of what the trial saw, by the model; NaN where the
// stove chokes or the water never boils.
func (t *trialModel) foretell(c *fire.Coefficients) []float64 {
	out := make([]float64, len(t.Seen))
	for i := range out {
		out[i] = math.NaN()
	}
	var cold, hot fire.Phase
	var err error
	if t.hot {
		var run fire.BoilRun
		run, err = t.model.Boil(*c, t.task, coldStep)
		cold, hot = run.Cold, run.Hot
	} else {
		cold, _, err = t.model.Cook(*c, t.task, coldStep)
	}
	if err != nil {
		return out
	}
	for i, s := range t.Seen {
		switch s.Quantity {
		case ColdTime:
			out[i] = math.Log(cold.Duration())
		case HotTime:
			out[i] = math.Log(hot.Duration())
		case ColdSteam:
			out[i] = math.Log(cold.Evaporated())
		case HotSteam:
			out[i] = math.Log(hot.Evaporated())
		case LeastAir:
			out[i] = math.Log(cold.Least)
		}
	}
	return out
}
