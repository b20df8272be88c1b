package bench

import (
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

var runTable = load[struct {
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
}]("run-boiling.yaml").Tasks

// BoilingTasks is a whole boiling test, phase after phase; of the tasks without
// a phase, those before the first phase come first and the last comes last.
func BoilingTasks(char bool) []Task {
	var before, after []Task
	inPhase := map[string][]Task{}
	started := false
	for _, row := range runTable {
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

// SoFar checks a test while it is running: what is filled in is read, complete
// phases are computed, and only what is wrong is said, not what is still
// missing. Complaints are entries that cannot be read, alarms what the readings
// give away.
func (f BoilingForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := f
	tree := f.entries()
	for i, at := range []**PhaseForm{&part.Cold, &part.Hot, &part.Simmer} {
		needed := []string{"wood_before", "wood_after", "pots.empty", "pots.before", "pots.after", "pots.start_temperature", "pots.end_temperature"}
		for k := range needed {
			needed[k] = phases[i] + "." + needed[k]
		}
		timed := anyFilled(tree, []string{phases[i] + ".duration", phases[i] + ".end"})
		if *at != nil && (!filled(tree, needed) || !timed) {
			*at = nil
		}
	}
	test, err := part.Read()
	if list, ok := message.Complaints(err); ok {
		for _, c := range list {
			if c.Value != "" {
				complaints = append(complaints, c)
			}
		}
		if len(list) > 0 {
			return complaints, nil
		}
	}
	if result, err := Boil(test); err == nil {
		alarms = result.Alarms
	}
	return complaints, alarms
}
