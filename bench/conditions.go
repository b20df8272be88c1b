package bench

import (
	"math"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// How far the conditions of two series may lie apart before it is said. All
// common practice, no source.
const (
	firepowerApart   = 0.15 // share of the larger
	fillApart        = 0.05
	moistureApart    = 0.03 // of the wet mass
	stickApart       = 0.25
	startApart       = 10.0 // K
	boilingApart     = 2.0  // K
	fewRuns          = 3
	heatingApart     = 0.02
	shortSeriesRanks = 4 // runs of each below which ranks cannot reach 5 %
)

// conditionAlarms finds what differed between two series beside the stove.
func conditionAlarms(base, new Series) []Alarm {
	a, b := base.counted(), new.counted()
	if len(a) == 0 || len(b) == 0 {
		return nil
	}
	w := watch{a: a, b: b, names: [2]string{base.Name, new.Name}}
	w.word("version", Wrong, func(r Run) string { return string(r.Test.Version) })
	w.choice("char-credit", Wrong, func(r Run) string { return map[bool]string{true: "weighed", false: "not-weighed"}[r.Test.CharWeighed] })
	for _, phase := range phases {
		w.share("firepower", phase, firepowerApart, units["kW"], func(r Run) float64 { return resultOf(r, phase, func(p *PhaseResult) float64 { return p.Firepower }) })
	}
	w.word("pot", Suspect, func(r Run) string { return r.Test.Conditions.Pot })
	w.choice("lid", Suspect, func(r Run) string { return map[bool]string{true: "on", false: "off"}[r.Test.Conditions.Lid] })
	w.choice("wood-kind", Suspect, func(r Run) string { return r.Test.Wood.Kind })
	w.word("wood-pile", Suspect, func(r Run) string { return r.Test.Wood.Pile })
	w.choice("wind", Note, func(r Run) string { return r.Test.Conditions.Wind })
	w.choice("room", Note, func(r Run) string { return r.Test.Conditions.Room })
	w.share("fill", "", fillApart, quantity.Kilogram, func(r Run) float64 { return fill(r.Test) })
	w.share("stick", "", stickApart, quantity.Millimetre, func(r Run) float64 {
		if r.Test.Wood.Stick.Known {
			return r.Test.Wood.Stick.SI
		}
		return math.NaN()
	})
	w.share("heating-value", "", heatingApart, quantity.MJPerKg, func(r Run) float64 { return r.Test.Wood.LHV })
	w.apart("moisture", moistureApart, quantity.Percent, func(r Run) float64 { return r.Test.Wood.Moisture })
	w.apart("start-temperature", startApart, quantity.Celsius, func(r Run) float64 { return startTemperature(r.Test) })
	w.apart("boiling-point", boilingApart, quantity.Celsius, func(r Run) float64 { return r.Test.Boiling.Kelvin })
	w.starts()
	w.counts()
	return w.found
}

// watch compares the conditions of two lists of runs.
type watch struct {
	a, b  []Run
	names [2]string
	found []Alarm
}

func (w *watch) ring(key, phase string, severity Severity, args ...any) {
	args = append(args, "base", w.names[0], "new", w.names[1])
	w.found = append(w.found, Alarm{Key: key, Phase: phase, Severity: severity, Standing: "common practice", Text: message.T("bench.differ."+key, args...)})
}

// word rings when the runs do not all have the same word; empty words are
// unknown and say nothing.
func (w *watch) word(key string, severity Severity, of func(Run) string) {
	if one, other := w.twoWords(of); other != "" {
		w.ring(key, "", severity, "one", one, "other", other)
	}
}

// choice does the same for words of the form, which have their own messages.
func (w *watch) choice(key string, severity Severity, of func(Run) string) {
	if one, other := w.twoWords(of); other != "" {
		w.ring(key, "", severity, "one", message.T("bench.word."+one), "other", message.T("bench.word."+other))
	}
}

// twoWords are the first two different words of the runs; the second is empty
// when all are alike.
func (w *watch) twoWords(of func(Run) string) (one, other string) {
	for _, runs := range [][]Run{w.a, w.b} {
		for _, r := range runs {
			switch v := of(r); {
			case v == "" || v == one:
			case one == "":
				one = v
			default:
				return one, v
			}
		}
	}
	return one, ""
}

func means(runs []Run, of func(Run) float64) float64 {
	var list []float64
	for _, r := range runs {
		if v := of(r); !math.IsNaN(v) {
			list = append(list, v)
		}
	}
	return stats.Mean(list)
}

// share rings when the means lie further apart than a share of the larger.
func (w *watch) share(key, phase string, limit float64, unit quantity.Unit, of func(Run) float64) {
	a, b := means(w.a, of), means(w.b, of)
	if math.Abs(a-b) > limit*math.Max(math.Abs(a), math.Abs(b)) {
		w.ring(key, phase, Suspect, "one", quantity.Value{SI: a, Unit: unit}, "other", quantity.Value{SI: b, Unit: unit}, "phase", phaseName(phase))
	}
}

// apart rings when the means lie further apart than a fixed amount.
func (w *watch) apart(key string, limit float64, unit quantity.Unit, of func(Run) float64) {
	a, b := means(w.a, of), means(w.b, of)
	if math.Abs(a-b) > limit {
		w.ring(key, "", Suspect, "one", quantity.Value{SI: a, Unit: unit, Step: 0.1}, "other", quantity.Value{SI: b, Unit: unit, Step: 0.1})
	}
}

// starts rings when a first phase began on a warm stove in one series only.
func (w *watch) starts() {
	state := func(runs []Run) (cold, warm bool) {
		for _, r := range runs {
			if r.Test.Cold != nil {
				cold = cold || r.Test.Cold.ColdStove
				warm = warm || !r.Test.Cold.ColdStove
			}
		}
		return
	}
	coldA, warmA := state(w.a)
	coldB, warmB := state(w.b)
	if (coldA || coldB) && (warmA || warmB) {
		w.ring("start-state", "cold", Suspect)
	}
}

func (w *watch) counts() {
	if n := min(len(w.a), len(w.b)); n < fewRuns {
		w.ring("few-runs", "", Note, "n", n)
	} else if n < shortSeriesRanks {
		w.ring("ranks-cannot", "", Note, "n", n)
	}
}

func resultOf(r Run, phase string, of func(*PhaseResult) float64) float64 {
	p := map[string]*PhaseResult{"cold": r.Result.Cold, "hot": r.Result.Hot, "simmer": r.Result.Simmer}[phase]
	if p == nil {
		return math.NaN()
	}
	return of(p)
}

func firstPhase(t BoilingTest) *Phase {
	for i := range phases {
		if ph := t.phase(i); ph != nil {
			return ph
		}
	}
	return nil
}

// fill is the water at the start of the first phase, all pots, kg.
func fill(t BoilingTest) float64 {
	var sum float64
	for _, p := range firstPhase(t).Pots {
		sum += p.Before - p.Empty
	}
	return sum
}

func startTemperature(t BoilingTest) float64 { return firstPhase(t).Pots[0].Start }
