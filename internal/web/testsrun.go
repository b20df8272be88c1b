package web

import (
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

// The guided run leads through a boiling test, one thing to do at a time. Every
// key is in the workshop file before the next; times of the fire are readings of
// the test, so that a clock goes on after a power cut.

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
	Back     string
	Closing  runTask // said at the end
}

// runTask is a task with its place in the run.
type runTask struct {
	protocol.Task
	ID      string
	First   []protocol.Task // what is only said, before it
	Paths   []string        // entries it fills
	Done    bool
	Skipped bool
	Ways    [][]string // of several ways, the entries of each
}

// setupKey is the task that goes through the head of the sheet.
const setupKey = "setup"

// Words say what to do.
func (t runTask) Words() message.Text {
	if t.Key == setupKey {
		return message.T("web.tests.run.setup")
	}
	return t.Task.Words()
}

// PhaseWords name the part of the test.
func (t runTask) PhaseWords() message.Text { return phaseWords(t.Phase) }

// Open reports whether the task is still to be done.
func (t runTask) Open() bool { return !t.Done && !t.Skipped }

// setupPaths are the head of the sheet.
var setupPaths = []string{"about.stove", "about.test", "about.date", "about.tester", "about.place", "wood.kind", "wood.pile", "wood.stick",
	"pot.name", "pot.lid", "place.room", "place.wind",
	"instruments.wood_scale", "instruments.pot_scale", "instruments.char_scale", "instruments.thermometer"}

// moistureWays are the ways to the moisture of the wood, best first in the field.
var moistureWays = [][]string{meterPaths(), {"wood.moisture", "wood.moisture_basis"}, {"wood.wet_sample", "wood.dry_sample", "wood.sample_tin"}}

// meterPaths are the nine readings of a moisture meter: three on each of three
// fresh faces.
func meterPaths() []string {
	var list []string
	for n := 1; n <= 9; n++ {
		list = append(list, "wood.moisture_readings["+strconv.Itoa(n)+"]")
	}
	return list
}

// boilingWays are the ways to the local boiling point.
var boilingWays = [][]string{{"boiling_point.lowest", "boiling_point.highest"}, {"place.pressure"}, {"place.altitude"}}

var taskWays = map[string][][]string{"moisture": moistureWays, "boiling-point": boilingWays}

// runTasks are the tasks of a test with what is done of them.
func (t *test) runTasks() (tasks []runTask, closing runTask) {
	f := t.Form.(*protocol.BoilingForm)
	tasks = []runTask{{Task: protocol.Task{Key: setupKey}, ID: setupKey, Paths: setupPaths, Done: t.Run.Ready}}
	var first []protocol.Task
	for _, task := range protocol.BoilingTasks(true) {
		if len(task.Fields) == 0 {
			first = append(first, task)
			continue
		}
		id := task.Key
		if task.Phase != "" {
			id = task.Phase + "." + task.Key
		}
		r := runTask{Task: task, ID: id, First: first, Ways: taskWays[task.Key], Skipped: slices.Contains(t.Run.Skipped, id)}
		first = nil
		for _, path := range task.Fields {
			r.Paths = append(r.Paths, t.inPots(path)...)
		}
		_, _, r.Done = f.Next([]protocol.Task{task})
		if task.Key == "boiling-point" { // the altitude of the last test is no reason not to measure
			r.Done = r.Done && (t.read("place.pressure") != "" || t.read("boiling_point.highest") != "" || slices.Contains(t.Run.Passed, id))
		}
		for _, path := range r.Paths {
			r.Done = r.Done && (t.read(path) != "" || !strings.Contains(path, ".pots["))
		}
		if len(r.Ways) > 0 {
			r.Paths = slices.Concat(r.Ways...)
		}
		tasks = append(tasks, r)
	}
	closing.First = first
	return tasks, closing
}

// inPots gives the path of an entry for each pot of the test.
func (t *test) inPots(path string) []string {
	phase, key, ok := strings.Cut(path, ".pots.")
	if !ok {
		return []string{path}
	}
	var list []string
	for n := 1; n <= t.pots(); n++ {
		list = append(list, phase+".pots["+strconv.Itoa(n)+"]."+key)
	}
	return list
}

// pots is how many pots the test has, one at least.
func (t *test) pots() int {
	n := 1
	for _, phase := range runPhases {
		if v, ok := slotOf(t.Form, phase+".pots"); ok {
			n = max(n, v.Len())
		}
	}
	return n
}

var runPhases = []string{"cold", "hot", "simmer"}

// runPage builds the page of a task, or of the one that is next.
func (b *Bench) runPage(t *test, asked url.Values) runPage {
	tasks, closing := t.runTasks()
	p := runPage{testFrame: b.testFrame(t, "run"), Tasks: tasks, Lacks: asked.Has("lacks")}
	at := slices.IndexFunc(tasks, func(r runTask) bool { return r.ID == asked.Get("task") })
	if at < 0 {
		at = t.nextTask(tasks)
	}
	for _, r := range tasks {
		if !r.Open() {
			p.Done++
		}
	}
	complaints, alarms := t.Form.(*protocol.BoilingForm).SoFar()
	p.Alarms = alarmRows(t, alarms)
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
	if next > 0 {
		if c := t.clock(tasks, tasks[next-1], time.Now()); c != nil && c.Start == "" && c.Elapsed < c.Until && tasks[next-1].Timer > 0 {
			return next - 1
		}
	}
	return next
}

// taskReadings are the entries of a task with what stands in them.
func (b *Bench) taskReadings(t *test, task runTask, wrong map[string]*message.InputError) []reading {
	var list []reading
	for _, path := range task.Paths {
		rule, ok := testField(t.Kind, path)
		if !ok {
			continue
		}
		e := b.reading(t, path, rule, wrong)
		if len(task.Ways) > 0 || task.Key == setupKey {
			e.Needed = false
		}
		if e.Text == "" {
			e.Offers = b.offers(t, path)
		}
		list = append(list, e)
	}
	return list
}

// offers are readings that an earlier part of the test has already.
func (b *Bench) offers(t *test, path string) []offer {
	phase, key, _ := strings.Cut(path, ".")
	last := map[string]string{"hot": "cold", "simmer": "hot"}[phase]
	from := ""
	switch {
	case last == "":
	case strings.HasSuffix(key, "].empty"):
		from = last + "." + key
	case phase == "simmer" && strings.HasSuffix(key, "].before"):
		from = "hot." + strings.TrimSuffix(key, "before") + "after"
	case phase == "simmer" && strings.HasSuffix(key, "].start_temperature"):
		from = "hot." + strings.TrimSuffix(key, "start_temperature") + "end_temperature"
	case phase == "simmer" && key == "wood_before":
		from = "hot.wood_after"
	}
	if text := t.read(from); from != "" && text != "" {
		return []offer{{Text: text, Why: message.T("web.tests.run.as-after", "phase", phaseWords(last))}}
	}
	return nil
}

// runClock is a time that runs: since the fire was lit, until a timer ends, or
// until a task should be done.
type runClock struct {
	Words     message.Text
	Elapsed   int // s
	Until     int // s; 0 where nothing ends
	Countdown bool
	Start     string // task whose timer is to be started; "" when it runs
	StartPath string // entry that takes the time of the start, where there is one
}

// Shown is the clock as it stands when the page is made.
func (c runClock) Shown() string {
	s := c.Elapsed
	if c.Countdown {
		s = c.Until - c.Elapsed
	}
	sign := ""
	if s < 0 {
		s, sign = -s, "−"
	}
	return sign + strconv.Itoa(s/60) + ":" + strconv.Itoa(s%60/10) + strconv.Itoa(s%10)
}

// Over reports whether the time has run out.
func (c runClock) Over() bool { return c.Countdown && c.Elapsed >= c.Until }

// forgotten is when a clock that still runs is taken for one that nobody stopped.
const forgotten = 10 * time.Hour

// since gives the seconds from a time of day to now, over midnight too.
func since(text string, now time.Time) (int, bool) {
	for _, layout := range []string{"15:04:05", "15:04"} {
		at, err := time.Parse(layout, strings.TrimSpace(text))
		if err != nil {
			continue
		}
		d := time.Duration(now.Hour()-at.Hour())*time.Hour + time.Duration(now.Minute()-at.Minute())*time.Minute + time.Duration(now.Second()-at.Second())*time.Second
		if d < 0 {
			d += 24 * time.Hour
		}
		return int(d.Seconds()), d < forgotten
	}
	return 0, false
}

// clock is the time that matters at a task; nil for none.
func (t *test) clock(tasks []runTask, task runTask, now time.Time) *runClock {
	start := task.Phase + ".start"
	switch {
	case task.Timer > 0 && task.Phase != "":
		return t.timer(task, t.read(start), start, now)
	case task.Timer > 0:
		return t.timer(task, t.Run.Started[task.ID], "", now)
	case task.Phase == "":
		return nil
	}
	if running, ok := since(t.read(start), now); ok && t.read(task.Phase+".end") == "" {
		return &runClock{Words: message.T("web.tests.clock.fire"), Elapsed: running}
	}
	if within, stopped := t.hurry(tasks, task); within > 0 {
		if gone, ok := since(stopped, now); ok && task.Open() && gone < 3600 {
			return &runClock{Words: message.T("web.tests.clock.within"), Elapsed: gone, Until: within, Countdown: true}
		}
	}
	return nil
}

// timer is the clock of a task that takes a set time. Its start is a reading of
// the test, or a time of its own.
func (t *test) timer(task runTask, started, path string, now time.Time) *runClock {
	c := &runClock{Words: message.T("web.tests.clock.timer"), Until: int(task.Timer), Countdown: true, StartPath: path}
	if path != "" && t.read(task.Phase+".end") != "" {
		return nil // it has been stopped
	}
	if at, err := time.Parse(time.RFC3339, started); err == nil && path == "" {
		if c.Elapsed = int(now.Sub(at).Seconds()); c.Elapsed >= 0 && now.Sub(at) < forgotten {
			return c
		}
	}
	if gone, ok := since(started, now); ok && path != "" {
		c.Elapsed = gone
		return c
	}
	c.Elapsed, c.Start = 0, task.ID
	return c
}

// hurry adds up the seconds in which a task should follow the moment when the
// fire or the simmer was stopped, and gives that moment.
func (t *test) hurry(tasks []runTask, task runTask) (within int, stopped string) {
	for _, r := range tasks {
		if slices.ContainsFunc(r.Fields, func(f string) bool { return strings.HasSuffix(f, ".end") }) {
			within, stopped = 0, t.read(r.Phase+".end")
		}
		within += int(r.Within)
		if r.ID == task.ID {
			break
		}
	}
	if task.Within == 0 {
		return 0, ""
	}
	return within, stopped
}

// target is the temperature to hold in a simmer.
type target struct{ Hold, Floor quantity.Value }

func (t *test) target(task runTask) *target {
	if task.Band == 0 {
		return nil
	}
	boils, _ := t.Form.(*protocol.BoilingForm).Read() // complaints about the rest do not matter here
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
	Name  message.Text
	Path  string // entry of the sheet
	Task  string // of the guided run, "" where it has none
	Field bool
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
		paths := a.RepeatFields()
		for i, name := range a.RepeatNames() {
			r := repeat{Name: name}
			if t.Guided() && i < len(paths) && len(paths) == len(a.Repeat) {
				r.Path = t.inPots(paths[i])[0]
				for _, task := range tasks {
					if slices.Contains(task.Paths, r.Path) {
						r.Task = task.ID
					}
				}
			}
			row.Repeats = append(row.Repeats, r)
		}
		list = append(list, row)
	}
	return list
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
	b.answer(w, r, "testrun", b.runPage(t, r.URL.Query()))
	return nil
}

// keyedRun is what the script gets while a reading is typed: how it is
// understood, and no complaint before it is whole.
func (b *Bench) keyedRun(t *test, sent url.Values) []reading {
	var list []reading
	for path := range sent {
		if rule, ok := testField(t.Kind, path); ok {
			e := b.reading(t, path, rule, nil)
			e.Needed = false
			list = append(list, e)
		}
	}
	return list
}

// clockNow is the time of day as it is written on a sheet.
func clockNow() string { return time.Now().Format("15:04:05") }

// stepRun takes a task's readings and does what its button says.
func (b *Bench) stepRun(w http.ResponseWriter, r *http.Request) error {
	to := url.Values{}
	t, err := b.changeTest(r, func(t *test) error {
		if !t.Guided() {
			return missing()
		}
		return t.step(r.PostForm, to)
	})
	if err != nil {
		return err
	}
	if err := b.keepRun(r.Context(), t); err != nil {
		return err
	}
	address := "/tests/" + t.ID + "/run"
	if len(to) > 0 {
		address += "?" + to.Encode()
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// step does what a button of the guided run says, and notes in to where the run
// goes on: nothing for the next open task.
func (t *test) step(sent url.Values, to url.Values) error {
	id := sent.Get("task")
	t.closeUp()
	tasks, _ := t.runTasks()
	at := slices.IndexFunc(tasks, func(r runTask) bool { return r.ID == id })
	if at < 0 {
		return missing()
	}
	verb, what, _ := strings.Cut(sent.Get("do"), ":")
	switch verb {
	case "next", "":
		t.leave(tasks[at], to)
	case "accept":
		for _, a := range alarmRows(t, t.alarms()) {
			if a.asks(tasks[at]) {
				t.Run.Accepted = append(t.Run.Accepted, a.ID)
			}
		}
	case "skip":
		t.Run.Skipped = append(t.Run.Skipped, id)
	case "skip-phase":
		for _, r := range tasks {
			if r.Phase == tasks[at].Phase && r.Open() {
				t.Run.Skipped = append(t.Run.Skipped, r.ID)
			}
		}
	case "now":
		if !slices.Contains(tasks[at].Paths, what) || !t.write(what, clockNow()) {
			return missing()
		}
		if left, _ := t.runTasks(); !left[at].Done || left[at].Timer > 0 {
			to.Set("task", id)
		}
	case "timer":
		if t.Run.Started == nil {
			t.Run.Started = map[string]string{}
		}
		t.Run.Started[id] = time.Now().Format(time.RFC3339)
		to.Set("task", id)
	case "lowest":
		t.lower(sent.Get("now"))
		to.Set("task", id)
	case "use":
		path, text, _ := strings.Cut(what, "=")
		if !slices.Contains(tasks[at].Paths, path) || !t.write(path, tidy(text)) {
			return missing()
		}
		to.Set("task", id)
	case "pot":
		if !t.addItem(tasks[at].Phase + ".pots") {
			return missing()
		}
		to.Set("task", id)
	default:
		return missing()
	}
	return nil
}

// closeUp moves the readings of the meter together where one between them was
// left out.
func (t *test) closeUp() {
	f := t.Form.(*protocol.BoilingForm)
	f.Wood.Readings = slices.DeleteFunc(f.Wood.Readings, func(text string) bool { return strings.TrimSpace(text) == "" })
}

func (t *test) alarms() []protocol.Alarm {
	_, alarms := t.Form.(*protocol.BoilingForm).SoFar()
	return alarms
}

// leave goes on to the next task, unless an entry is empty, cannot be read, or
// is doubted.
func (t *test) leave(task runTask, to url.Values) {
	t.Run.Skipped = slices.DeleteFunc(t.Run.Skipped, func(id string) bool { return id == task.ID })
	altitude := task.Key == "boiling-point" && t.read("place.altitude") != ""
	switch {
	case task.Key == setupKey:
		t.Run.Ready = true
	case altitude && !task.Done:
		t.Run.Passed = append(t.Run.Passed, task.ID)
	case !task.Done:
		to.Set("task", task.ID)
		to.Set("lacks", "1")
	}
	complaints, alarms := t.Form.(*protocol.BoilingForm).SoFar()
	for _, c := range complaints {
		if slices.ContainsFunc(task.Paths, func(p string) bool { return strings.HasPrefix(c.Field, p) }) {
			to.Set("task", task.ID)
		}
	}
	for _, a := range alarmRows(t, alarms) {
		if a.asks(task) {
			to.Set("task", task.ID)
		}
	}
}

// lower takes a temperature read while simmering, and keeps the lowest.
func (t *test) lower(text string) {
	text = tidy(strings.TrimSpace(text))
	now, err := quantity.Parse(text, quantity.Temperature, quantity.Celsius)
	was, wasErr := quantity.Parse(t.read("simmer.lowest_temperature"), quantity.Temperature, quantity.Celsius)
	if text != "" && (err != nil || wasErr != nil || now < was) { // what cannot be read is kept, and complained about
		t.write("simmer.lowest_temperature", text)
	}
}

// What the page asks of its parts.

// Asks reports whether an alarm stops at a task.
func (a alarmRow) Asks(task runTask) bool { return a.asks(task) }

// InWay reports whether an entry belongs to a way of doing a task.
func (p runPage) InWay(way []string, path string) bool { return slices.Contains(way, path) }

// Numeric reports whether an entry takes a number, for the number pad.
func (p runPage) Numeric(e reading) bool {
	return e.Rule.Kind == protocol.Quantity
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

// Several reports whether an entry is one of several pots, Metered whether it
// is one of the readings of a meter.
func (p runPage) Several(path string) bool {
	return strings.Contains(path, ".pots[") && p.Test.pots() > 1
}

// Metered reports whether an entry is one of the readings of a meter.
func (runPage) Metered(path string) bool { return strings.HasSuffix(path, "]") }

// NumberOf is the number of the pot or of the reading.
func (p runPage) NumberOf(path string) string {
	_, rest, _ := strings.Cut(path, "[")
	n, _, _ := strings.Cut(rest, "]")
	return n
}

// PressOf names the button that takes the time for an entry.
func (p runPage) PressOf(path string) string {
	_, key, _ := strings.Cut(path, ".")
	return key
}
