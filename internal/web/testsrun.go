package web

import (
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
)

// The guided run leads through a test, one thing to do at a time, as the guide of
// its kind has it. Every key is in the workshop file before the next; times of
// the fire are readings of the test, so that a clock goes on after a power cut.

// runPage is one task of a guided test.
type runPage struct {
	testFrame
	Task     runTask
	Tasks    []runTask
	Done     int // tasks behind
	Finished bool
	Readings []reading
	Clock    *runClock // what runs while the task is done
	Target   *target   // the temperature to hold
	Alarms   []alarmRow
	Asking   bool // an alarm is about this task: look again before going on
	Lacks    bool // the task was left with an entry empty
	Why      bool // the task is to be skipped, and the reason was not said
	Back     string
	Closing  runTask       // said at the end
	Noted    []noted       // what was written last, read back
	Series   *replica      // at the end: how far the series of runs has got
	Round    []home        // of a kitchen test: how far the round has got
	Point    template.HTML // of a safety sheet: where on the stove to measure
	Due      message.Text  // when a visit is to be made
	Gone     []string      // ports of instruments that were attached and are not there
	Sketch   bool          // it is not drawn on the stove itself
}

// runTask is a task with its place in the run.
type runTask struct {
	protocol.Task
	First   []protocol.Task // what is only said, before it
	Done    bool
	Skipped bool
}

// setupKey is the task that goes through the head of the sheet.
const setupKey = "setup"

// Open reports whether the task is still to be done.
func (t runTask) Open() bool { return !t.Done && !t.Skipped }

// has reports whether an entry is of the task.
func (t runTask) has(path string) bool { return slices.Contains(t.Entries(), path) }

// paper is the sheet as its guide sees it; nil for a kind without a guide.
func (t *test) paper() protocol.Paper {
	p, _ := t.Form.(protocol.Paper)
	return p
}

// runTasks are the tasks of a test with what is done of them.
func (t *test) runTasks() (tasks []runTask, closing runTask) {
	p := t.paper()
	var first []protocol.Task
	for _, task := range protocol.Guide(p) {
		if task.Said() {
			first = append(first, task)
			continue
		}
		r := runTask{Task: task, First: first, Skipped: slices.Contains(t.Run.Skipped, task.ID)}
		first = nil
		passed := slices.Contains(t.Run.Passed, task.ID)
		switch {
		case task.Key == setupKey:
			r.Done = t.Run.Ready
		case task.Pass:
			r.Done = passed
		default: // what is known from the last test is no reason not to measure
			r.Done = task.Filled(p) || passed && task.Known(p)
		}
		tasks = append(tasks, r)
	}
	closing.First = first
	return tasks, closing
}

// taskOf is the task that an entry is of, -1 for none.
func taskOf(tasks []runTask, path string) int {
	return slices.IndexFunc(tasks, func(r runTask) bool { return r.has(path) })
}

// runPage builds the page of a task, or of the one that is next.
func (b *Bench) runPage(t *test, asked url.Values) runPage {
	tasks, closing := t.runTasks()
	p := runPage{testFrame: b.testFrame(t, "run"), Tasks: tasks, Lacks: asked.Has("lacks"), Why: asked.Has("why")}
	at := slices.IndexFunc(tasks, func(r runTask) bool { return r.ID == asked.Get("task") })
	if at < 0 {
		at = t.nextTask(tasks)
	}
	for _, r := range tasks {
		if !r.Open() {
			p.Done++
		}
	}
	complaints, alarms := t.paper().SoFar()
	p.Alarms = alarmRows(t, alarms)
	p.Noted, p.Round = b.lastNoted(t, tasks), t.round(tasks)
	if at == len(tasks) {
		p.Finished, p.Closing, p.Back = true, closing, tasks[len(tasks)-1].ID
		return p
	}
	p.Task = tasks[at]
	if at > 0 {
		p.Back = tasks[at-1].ID
	}
	p.Readings = b.taskReadings(t, p.Task, complaintsOf(complaints))
	p.Clock = t.clock(tasks, p.Task, time.Now())
	p.Target = t.target(p.Task)
	p.Due, _ = dueWords(p.Task.Due, time.Now())
	if p.Task.Point != "" {
		p.Point, p.Sketch = b.pointPicture(p.StoveID, p.Task.Point)
	}
	for _, a := range p.Alarms {
		p.Asking = p.Asking || a.asks(p.Task)
	}
	return p
}

// nextTask is the first task that is open. While a timer runs its task stays,
// even when its entries are filled.
func (t *test) nextTask(tasks []runTask) int {
	next := slices.IndexFunc(tasks, runTask.Open)
	if next < 0 {
		next = len(tasks)
	}
	if next > 0 && tasks[next-1].Timer.Seconds > 0 && !tasks[next-1].Skipped && !tasks[next-1].Pass {
		if c := t.timer(tasks[next-1].Task, time.Now()); c != nil && c.Start == "" && c.Elapsed < c.Until {
			return next - 1
		}
	}
	return next
}

// taskReadings are the entries of a task with what stands in them.
func (b *Bench) taskReadings(t *test, task runTask, wrong map[string]*message.InputError) []reading {
	var list []reading
	for _, path := range task.Entries() {
		rule, ok := t.field(path)
		if !ok {
			continue
		}
		e := b.reading(t, path, rule, wrong)
		t.safetyOptions(&e, path)
		if !slices.Contains(task.Fields, path) {
			e.Needed = false
		}
		if e.IsClock() && e.Error != nil { // no time but the right one can be offered
			e.Error = &message.InputError{Field: e.Error.Field, Value: e.Error.Value, Reason: e.Error.Reason}
		}
		if e.Text == "" {
			e.Offers = t.offers(task, path)
		}
		list = append(list, e)
	}
	return list
}

// offers are readings that are likely, from another part of the test.
func (t *test) offers(task runTask, path string) []offer {
	var list []offer
	for _, o := range task.Offers {
		text := o.Text
		if text == "" {
			text = protocol.Entry(t.paper(), o.From)
		}
		if o.At == path && text != "" {
			list = append(list, offer{Text: text, Why: o.Words()})
		}
	}
	return list
}

// target is the temperature to hold in a simmer.
type target struct{ Hold, Floor quantity.Value }

func (t *test) target(task runTask) *target {
	f, ok := t.Form.(*protocol.BoilingForm)
	if task.Band == 0 || !ok {
		return nil
	}
	boils, _ := f.Read() // complaints about the rest do not matter here
	if boils.Boiling.Kelvin == 0 {
		return nil
	}
	at := func(below float64) quantity.Value {
		return quantity.Value{SI: boils.Boiling.Kelvin - below, Unit: quantity.Celsius, Step: 0.1}
	}
	return &target{at(task.Band), at(2 * task.Band)}
}

// alarmRow is an alarm with the way to the readings it is about.
type alarmRow struct {
	protocol.Alarm
	ID       string
	Accepted bool // the tester looked at it and stands by the readings
	Repeats  []repeat
}

// repeat is a reading to take again.
type repeat struct {
	Name message.Text
	Task string // of the guided run, "" where it has none
}

func alarmRows(t *test, alarms []protocol.Alarm) []alarmRow {
	var tasks []runTask
	if t.Guided() {
		tasks, _ = t.runTasks()
	}
	var list []alarmRow
	for _, a := range alarms {
		row := alarmRow{Alarm: a, ID: strings.Trim(a.Phase+"."+a.Key, ".")}
		row.Accepted = slices.Contains(t.Run.Accepted, row.ID)
		names := a.RepeatNames()
		for i, path := range t.entriesOf(a) {
			r := repeat{Name: names[i]}
			if rule, ok := t.field(path); ok {
				r.Name = rule.Name()
			}
			if at := taskOf(tasks, path); at >= 0 {
				r.Task = tasks[at].ID
			}
			row.Repeats = append(row.Repeats, r)
		}
		list = append(list, row)
	}
	return list
}

// entriesOf are the entries that an alarm doubts, one for each reading.
func (t *test) entriesOf(a protocol.Alarm) []string {
	if p := t.paper(); p != nil {
		return protocol.RepeatEntries(p, a)
	}
	return make([]string, len(a.Repeat))
}

// asks reports whether an alarm stops at a task: one of its readings is
// doubted, and nobody has said yet that it stands.
func (a alarmRow) asks(task runTask) bool {
	if a.Accepted || a.Severity == protocol.Note {
		return false
	}
	return slices.ContainsFunc(a.Repeats, func(r repeat) bool { return r.Task == task.ID })
}

// PhaseWords name the part of the test that an alarm is about.
func (a alarmRow) PhaseWords() message.Text { return phaseWords(a.Phase) }

// SeverityWords name how much an alarm spoils.
func (a alarmRow) SeverityWords() message.Text {
	return message.T("bench.severity." + string(a.Severity))
}

func (b *Bench) showRun(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if !t.Guided() {
		http.Redirect(w, r, t.startPath(), http.StatusSeeOther)
		return nil
	}
	p := b.runPage(t, r.URL.Query())
	if p.Finished {
		if p.Series, err = b.replica(r.Context(), t); err != nil {
			return err
		}
	}
	p.Gone = b.gone(r.Context())
	b.answer(w, r, "testrun", p)
	return nil
}

// keyedRun is what the script gets while a reading is typed: how it is
// understood, and no complaint before it is whole.
func (b *Bench) keyedRun(t *test, sent url.Values) []reading {
	var list []reading
	for path := range sent {
		if rule, ok := t.field(path); ok {
			e := b.reading(t, path, rule, nil)
			e.Needed = false
			list = append(list, e)
		}
	}
	return list
}

// What the page asks of its parts.

// Asks reports whether an alarm stops at a task.
func (a alarmRow) Asks(task runTask) bool { return a.asks(task) }

// InWay reports whether an entry belongs to a way of doing a task.
func (p runPage) InWay(way protocol.Way, path string) bool {
	return slices.Contains(way.Entries(), path)
}

// Numeric reports whether an entry takes a number, for the number pad.
func (p runPage) Numeric(e reading) bool {
	return e.Rule.Kind == protocol.Quantity || e.Rule.Kind == protocol.Whole
}

// Pressing reports whether a button takes the time: it is then the next thing to
// do.
func (p runPage) Pressing() bool {
	return slices.ContainsFunc(p.Readings, func(e reading) bool { return e.IsClock() && e.Text == "" })
}

// Live is the instrument that could fill an entry, "" for none.
func (p runPage) Live(e reading) string {
	switch e.Rule.Unit.Dimension {
	case quantity.Mass:
		return "mass"
	case quantity.Temperature:
		return "temperature"
	}
	return ""
}

// Tag tells an entry from others alike: the number of the pot, or the fuel; zero
// where there is but one.
func (p runPage) Tag(path string) message.Text {
	if at := strings.Index(path, ".fuels["); at >= 0 {
		before, _, _ := strings.Cut(path[at+1:], "].")
		before = path[:at+1] + before + "]"
		if kind := p.Test.read(before + ".fuel.kind"); kind != "" && !strings.HasSuffix(path, ".kind") && p.Test.items(path[:at]+".fuels") > 1 {
			return testWord(strings.ToLower(strings.TrimSpace(kind)))
		}
		return message.Text{}
	}
	before, rest, ok := strings.Cut(path, "[")
	if n, _, _ := strings.Cut(rest, "]"); ok && strings.HasSuffix(before, "s") && !strings.HasPrefix(before, "households") && p.Test.items(before) > 1 {
		return message.T("web.run.number", "n", n)
	}
	return message.Text{}
}

// Metered reports whether an entry is one of the readings of a meter.
func (runPage) Metered(path string) bool { return strings.Contains(path, "moisture_readings[") }

// NumberOf is the number of the pot or of the reading.
func (p runPage) NumberOf(path string) string {
	_, rest, _ := strings.Cut(path, "[")
	n, _, _ := strings.Cut(rest, "]")
	return n
}

// PressOf names the button that takes the time for an entry.
func (p runPage) PressOf(path string) string {
	name, _, _ := strings.Cut(path[strings.LastIndexByte(path, '.')+1:], "[")
	return name
}

// items is how many items a list of the sheet has.
func (t *test) items(path string) int {
	if v, ok := slotOf(t.Form, path); ok {
		return v.Len()
	}
	return 0
}

// clockNow is the time of day as it is written on a sheet.
func clockNow() string { return time.Now().Format("15:04:05") }

// timeFor is the time now as an entry has it: a visit has its date too.
func timeFor(path string) string {
	if strings.Contains(path, ".visits[") {
		return time.Now().Format(protocol.VisitTime)
	}
	return clockNow()
}

// number is a count as text.
func number(n int) string { return strconv.Itoa(n) }

// Reasons are usual reasons for leaving a step out.
func (runPage) Reasons() []string { return []string{"instrument", "late", "none"} }

// After is the open task that follows the one at hand; nil for none.
func (p runPage) After() *runTask {
	at := slices.IndexFunc(p.Tasks, func(r runTask) bool { return r.ID == p.Task.ID })
	for i := at + 1; i < len(p.Tasks); i++ {
		if p.Tasks[i].Open() {
			return &p.Tasks[i]
		}
	}
	return nil
}
