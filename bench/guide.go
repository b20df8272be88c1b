package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"

	"stovewright/message"
)

// Task is one thing to do in a guided test, in the order of the paper form.
type Task struct {
	Key     string
	Phase   string   // "cold", "hot", "simmer" or ""
	Fields  []string // entries that the task fills, as paths of the file
	Timer   float64  // s; 0 for none
	Band    float64  // K below boiling to hold the water at; 0 for none
	Within  float64  // s after the task before; 0 for no hurry
	Caution bool     // there is something hot, sharp or smoky: Warning says so
	instead []string
}

// Words say what to do; Warning what to mind, zero when there is nothing.
func (t Task) Words() message.Text {
	return message.T("bench.run."+t.Key, "phase", phaseName(t.Phase))
}

// Warning says what to mind at this task; zero when there is nothing.
func (t Task) Warning() message.Text {
	if !t.Caution {
		return message.Text{}
	}
	return message.T("bench.run." + t.Key + ".mind")
}

var runTable = lazy[struct {
	Description string `yaml:"description"`
	Source      string `yaml:"source"`
	Standing    string `yaml:"standing"`
	Tasks       []struct {
		Key     string   `yaml:"key"`
		Phases  []string `yaml:"phases"`
		Fields  []string `yaml:"fields"`
		Instead []string `yaml:"instead"` // other entries that make the task done
		Timer   float64  `yaml:"timer"`
		Band    float64  `yaml:"band"`
		Within  float64  `yaml:"within"`
		Char    bool     `yaml:"char"` // only where char is weighed
		Caution bool     `yaml:"caution"`
	} `yaml:"tasks"`
}]("run-boiling.yaml")

// BoilingTasks is a whole boiling test, phase after phase; of the tasks without
// a phase, those before the first phase come first and the last comes last.
func BoilingTasks(char bool) []Task {
	var before, after []Task
	inPhase := map[string][]Task{}
	started := false
	for _, row := range runTable().Tasks {
		if row.Char && !char {
			continue
		}
		t := Task{Key: row.Key, Timer: row.Timer, Band: row.Band, Within: row.Within, Caution: row.Caution, instead: row.Instead, Fields: row.Fields}
		for _, p := range row.Phases {
			started = true
			of := t
			of.Phase, of.Fields = p, nil
			for _, f := range row.Fields {
				of.Fields = append(of.Fields, strings.Replace(f, "phase", p, 1))
			}
			inPhase[p] = append(inPhase[p], of)
		}
		switch {
		case len(row.Phases) > 0:
		case started:
			after = append(after, t)
		default:
			before = append(before, t)
		}
	}
	list := before
	for _, p := range phases {
		list = append(list, inPhase[p]...)
	}
	return append(list, after...)
}

// Next is the first task with an entry still empty, and how many remain. Tasks
// without entries (cautions) are given with the task after them. done is true
// when nothing is left.
func (f BoilingForm) Next(tasks []Task) (now []Task, remaining int, done bool) {
	entries := f.entries()
	for i, t := range tasks {
		if len(t.Fields) == 0 || filled(entries, t.Fields) {
			continue
		}
		if anyFilled(entries, t.instead) {
			continue
		}
		if len(now) == 0 {
			if i > 0 && len(tasks[i-1].Fields) == 0 {
				now = append(now, tasks[i-1])
			}
			now = append(now, t)
		}
		remaining++
	}
	return now, remaining, remaining == 0
}

// entries is the form as a tree of texts.
func (f BoilingForm) entries() map[string]any {
	data, err := f.Write()
	if err != nil {
		return nil
	}
	tree := map[string]any{}
	if yaml.Unmarshal(data, &tree) != nil {
		return nil
	}
	return tree
}

func filled(tree map[string]any, paths []string) bool {
	for _, p := range paths {
		if !present(tree, strings.Split(p, ".")) {
			return false
		}
	}
	return true
}

func anyFilled(tree map[string]any, paths []string) bool {
	for _, p := range paths {
		if present(tree, strings.Split(p, ".")) {
			return true
		}
	}
	return false
}

// present reports whether an entry is written; of a list, in every row.
func present(node any, path []string) bool {
	switch n := node.(type) {
	case map[string]any:
		return len(path) > 0 && present(n[path[0]], path[1:])
	case []any:
		for _, row := range n {
			if len(path) > 0 && !present(row, path) {
				return false
			}
		}
		return len(n) > 0
	case string:
		return len(path) == 0 && strings.TrimSpace(n) != ""
	}
	return node != nil && len(path) == 0
}

// SoFar checks a test while it is running: whatever is filled in is read and
// computed as far as it goes, and only what is wrong is said, not what is still
// missing. Complaints are entries that cannot be read, alarms what the readings
// give away, said as soon as the readings that they need are there.
func (f BoilingForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := f
	for _, at := range []**PhaseForm{&part.Cold, &part.Hot, &part.Simmer} {
		if *at != nil && len((*at).Pots) == 0 {
			begun := **at
			begun.Pots = make([]PotReadingForm, 1)
			*at = &begun
		}
	}
	if part.Cold == nil && part.Hot == nil && part.Simmer == nil {
		part.Cold = &PhaseForm{Pots: make([]PotReadingForm, 1)} // wood and boiling point can be wrong before the fire
	}
	test, err := part.Read()
	list, _ := message.Complaints(err)
	for _, c := range list {
		if c.Value != "" {
			complaints = append(complaints, c)
		}
	}
	part.forget(&test, list)
	if result, err := Boil(test); err == nil {
		alarms = result.Alarms
	}
	return complaints, alarms
}

// forget makes what is not written, or cannot be read, not a number. A check
// that needs it then does not ring.
func (f BoilingForm) forget(t *BoilingTest, complaints message.InputErrors) {
	bad := func(path string) bool {
		return slices.ContainsFunc(complaints, func(c *message.InputError) bool { return strings.HasPrefix(c.Field, path) })
	}
	unless := func(value *float64, text, path string) {
		if strings.TrimSpace(text) == "" || bad(path) {
			*value = math.NaN()
		}
	}
	unless(&t.Air, f.Place.Air, "place.air_temperature")
	if bad("wood.") {
		t.Wood.Moisture = math.NaN()
	}
	if bad("boiling_point") || t.Boiling.Kelvin == 0 {
		t.Boiling = BoilingPoint{Kelvin: math.NaN()}
	}
	for i, written := range []*PhaseForm{f.Cold, f.Hot, f.Simmer} {
		if written == nil {
			continue
		}
		ph, in := t.phase(i), phases[i]
		unless(&ph.WoodBefore, written.WoodBefore, in+".wood_before")
		unless(&ph.WoodAfter, written.WoodAfter, in+".wood_after")
		if ph.Duration == 0 {
			ph.Duration = math.NaN()
		}
		if t.CharWeighed && !ph.Char.Known && i != 1 { // that of the hot start is taken over
			ph.Char = Known(math.NaN())
		}
		for j, pot := range written.Pots {
			p, in := &ph.Pots[j], fmt.Sprintf("%s.pots[%d]", in, j+1)
			unless(&p.Empty, pot.Empty, in+".empty")
			unless(&p.Before, pot.Before, in+".before")
			unless(&p.After, pot.After, in+".after")
			unless(&p.Start, pot.Start, in+".start_temperature")
			unless(&p.End, pot.End, in+".end_temperature")
		}
	}
}

// readingPaths lead from a reading of the protocol to its entry in the form.
var readingPaths = map[string]string{
	"LHV": "wood.heating_value", "m": "wood.moisture", "T_a": "place.air_temperature", "T_b": "boiling_point.lowest", "k": "char_pan",
	"f_i": "phase.wood_before", "f_f": "phase.wood_after", "c": "phase.char_with_pan", "t": "phase.end", "T_low": "phase.lowest_temperature",
	"T1_i": "phase.pots.start_temperature", "T1_f": "phase.pots.end_temperature", "P": "phase.pots.empty", "P_i": "phase.pots.before",
	"P_f": "phase.pots.after", "T_i": "phase.pots.start_temperature", "T_f": "phase.pots.end_temperature",
}

// RepeatFields are the entries of a boiling test to take again, as paths of
// [BoilingFields] with the phase in place: "cold.pots.after".
func (a Alarm) RepeatFields() []string {
	var list []string
	for _, key := range a.Repeat {
		if path, known := readingPaths[key]; known {
			list = append(list, strings.Replace(path, "phase", a.Phase, 1))
		}
	}
	return list
}
