package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
)

// stepRun takes a task's readings and does what its button says.
func (b *Bench) stepRun(w http.ResponseWriter, r *http.Request) error {
	to := url.Values{}
	t, err := b.changeTest(r, func(t *test) error {
		if !t.Guided() {
			return missing()
		}
		return b.press(t, r.PostForm, to)
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

// press does what a button of the guided run says, and notes in to where the run
// goes on: nothing for the next open task.
func (b *Bench) press(t *test, sent url.Values, to url.Values) error {
	id := sent.Get("task")
	t.closeUp()
	t.doubt()
	tasks, _ := t.runTasks()
	verb, what, _ := strings.Cut(sent.Get("do"), ":")
	if verb == "undo" {
		t.undo(tasks, to)
		return nil
	}
	at := slices.IndexFunc(tasks, func(r runTask) bool { return r.ID == id })
	if at < 0 {
		return missing()
	}
	task := tasks[at]
	stay := func() { to.Set("task", id) }
	switch verb {
	case "next", "":
		t.leave(task, to)
	case "accept":
		for _, a := range alarmRows(t, t.alarms()) {
			if a.asks(task) {
				t.Run.Accepted = append(t.Run.Accepted, a.ID)
			}
		}
	case "skip", "skip-phase":
		b.skip(t, tasks, task, verb == "skip-phase", sent, to)
	case "now":
		if !task.has(what) && what != task.Timer.From || !t.write(what, timeFor(what)) {
			return missing()
		}
		if left, _ := t.runTasks(); !left[at].Done || left[at].Timer.Seconds > 0 && t.read(left[at].Timer.To) == "" {
			stay()
		}
	case "timer":
		if t.Run.Started == nil {
			t.Run.Started = map[string]string{}
		}
		t.Run.Started[id] = time.Now().Format(time.RFC3339)
		stay()
	case "lowest":
		t.lower(task.Least, sent.Get("now"))
		stay()
	case "use":
		path, text, _ := strings.Cut(what, "=")
		if !task.has(path) || !t.write(path, tidy(text)) {
			return missing()
		}
		stay()
	case "more":
		if task.More == "" || !t.addItem(task.More) {
			return missing()
		}
		if left, _ := t.runTasks(); left[at].ID == id && left[at].Timer.Seconds == 0 {
			stay()
		}
	case "take":
		if !task.has(what) || !b.takeReading(t, what) {
			stay()
			break
		}
		if left, _ := t.runTasks(); left[at].Done {
			t.leave(left[at], to)
		} else {
			stay()
		}
	case "spell":
		if task.Spells == "" || !t.spell(task.Spells) {
			return missing()
		}
		stay()
	case "try":
		path, text, _ := strings.Cut(what, "=")
		if !task.has(path) || !t.write(path, tidy(text)) {
			return missing()
		}
		stay()
	default:
		return missing()
	}
	return nil
}

// takeReading writes what an instrument says into an entry; false while it is moving or
// where there is none for it.
func (b *Bench) takeReading(t *test, path string) bool {
	rule, _ := t.field(path)
	for _, l := range b.readings(context.Background()) {
		if l.Kind != "" && l.Kind == dimensionKinds[rule.Unit.Dimension] && l.Fresh() && l.Stable {
			return t.write(path, l.Text)
		}
	}
	return false
}

// closeUp moves the readings of a meter together where one between them was
// left out.
func (t *test) closeUp() {
	for _, task := range protocol.Guide(t.paper()) {
		for _, path := range task.Entries() {
			list, ok := strings.CutSuffix(path, "moisture_readings[1]")
			if !ok {
				continue
			}
			if v, ok := slotOf(t.Form, list+"moisture_readings"); ok && v.Len() > 0 {
				readings := v.Addr().Interface().(*[]string)
				*readings = slices.DeleteFunc(*readings, func(text string) bool { return strings.TrimSpace(text) == "" })
			}
		}
	}
}

func (t *test) alarms() []protocol.Alarm {
	_, alarms := t.paper().SoFar()
	return alarms
}

// leave goes on to the next task, unless an entry is empty, cannot be read, or
// is doubted.
func (t *test) leave(task runTask, to url.Values) {
	t.Run.Skipped = slices.DeleteFunc(t.Run.Skipped, func(id string) bool { return id == task.ID })
	switch {
	case task.Key == setupKey:
		t.Run.Ready = true
	case task.Pass, !task.Done && task.Known(t.paper()):
		if !slices.Contains(t.Run.Passed, task.ID) {
			t.Run.Passed = append(t.Run.Passed, task.ID)
		}
	case !task.Done:
		to.Set("task", task.ID)
		to.Set("lacks", "1")
	}
	if task.Done {
		for i, path := range task.Same { // one reading, which begins what follows too
			t.set(path, t.read(task.Fields[i]))
		}
	}
	complaints, alarms := t.paper().SoFar()
	for _, c := range complaints {
		if slices.ContainsFunc(task.Entries(), func(p string) bool { return strings.HasPrefix(c.Field, p) }) {
			to.Set("task", task.ID)
		}
	}
	for _, a := range alarmRows(t, alarms) {
		if a.asks(task) {
			to.Set("task", task.ID)
		}
	}
}

// skip leaves a task out, or the rest of its part, with the reason in the
// remarks of the sheet.
func (b *Bench) skip(t *test, tasks []runTask, task runTask, rest bool, sent, to url.Values) {
	why := tidy(strings.TrimSpace(sent.Get("why-other")))
	if why == "" && sent.Get("why") != "" {
		why = b.Catalogue.S("web.run.why." + sent.Get("why"))
	}
	if why == "" {
		to.Set("task", task.ID)
		to.Set("why", "1")
		return
	}
	was := t.read(notePath)
	words, left := b.Catalogue.Say(task.Words()), []string{task.ID}
	if len(task.Fields) > 0 && t.Kind != protocol.KindKitchen {
		words = b.Catalogue.Say(t.entryName(task.Fields[0]))
	}
	if rest {
		words, left = b.Catalogue.Say(task.Place()), nil
		for _, r := range tasks {
			if r.Part == task.Part && r.Open() {
				left = append(left, r.ID)
			}
		}
	}
	t.Run.Skipped = append(t.Run.Skipped, left...)
	remark := b.Catalogue.S("web.run.skipped", "step", words, "why", why)
	t.set(notePath, strings.TrimPrefix(was+"; "+remark, "; "))
	t.Run.Entries = append(t.Run.Entries, runEntry{Path: notePath, Was: was, Skipped: left})
}

const notePath = "about.note"

// lower takes a temperature read meanwhile, and keeps the lowest.
func (t *test) lower(path, text string) {
	text = tidy(strings.TrimSpace(text))
	now, err := quantity.Parse(text, quantity.Temperature, quantity.Celsius)
	was, wasErr := quantity.Parse(t.read(path), quantity.Temperature, quantity.Celsius)
	if path != "" && text != "" && (err != nil || wasErr != nil || now < was) { // what cannot be read is kept, and complained about
		t.write(path, text)
	}
}

// spell takes the time now as the beginning of a spell, or as the end of the one
// that runs.
func (t *test) spell(list string) bool {
	n := t.items(list)
	if n > 0 && t.read(list+"["+number(n)+"].to") == "" {
		return t.write(list+"["+number(n)+"].to", clockNow())
	}
	return t.write(list+"["+number(n+1)+"].from", clockNow())
}

// Away reports whether a spell of the task runs.
func (p runPage) Away() bool {
	list := p.Task.Spells
	n := p.Test.items(list)
	return n > 0 && p.Test.read(list+"["+number(n)+"].to") == ""
}

// runEntry is something written in a guided run, to be taken back.
type runEntry struct {
	Path    string   `json:"path"`
	Was     string   `json:"was,omitempty"`
	Skipped []string `json:"skipped,omitempty"` // the tasks that were left out with it
}

// mostEntries is how far back a run can be undone.
const mostEntries = 60

// note remembers what stood in an entry before it was written. Keys that follow
// each other in one entry are one change.
func (t *test) note(path, text string) {
	if _, ok := t.field(path); !ok {
		return // a name of the page's own
	}
	was := t.read(path)
	if was != text {
		t.changed = append(t.changed, path)
	}
	last := len(t.Run.Entries) - 1
	if was == text || last >= 0 && t.Run.Entries[last].Path == path && t.Run.Entries[last].Skipped == nil {
		return
	}
	if t.Run.Entries = append(t.Run.Entries, runEntry{Path: path, Was: was}); len(t.Run.Entries) > mostEntries {
		t.Run.Entries = t.Run.Entries[1:]
	}
	t.noted = true
}

// doubt forgets that the tester stands by readings that are changed now: an
// alarm that still rings asks again.
func (t *test) doubt() bool {
	before := len(t.Run.Accepted)
	for _, a := range alarmRows(t, t.alarms()) {
		if a.Accepted && slices.ContainsFunc(t.entriesOf(a.Alarm), func(path string) bool { return slices.Contains(t.changed, path) }) {
			t.Run.Accepted = slices.DeleteFunc(t.Run.Accepted, func(id string) bool { return id == a.ID })
		}
	}
	return len(t.Run.Accepted) < before
}

// keepNoted saves what the run remembers where a new entry was begun.
func (b *Bench) keepNoted(ctx context.Context, t *test) error {
	if doubted := t.doubt(); !doubted && !t.noted {
		return nil
	}
	return b.keepRun(ctx, t)
}

// undo takes the last entry back and leads to its task.
func (t *test) undo(tasks []runTask, to url.Values) {
	last := len(t.Run.Entries) - 1
	if last < 0 {
		return
	}
	e := t.Run.Entries[last]
	t.Run.Entries = t.Run.Entries[:last]
	t.set(e.Path, e.Was)
	if len(e.Skipped) > 0 {
		t.Run.Skipped = slices.DeleteFunc(t.Run.Skipped, func(id string) bool { return slices.Contains(e.Skipped, id) })
		to.Set("task", e.Skipped[0])
		return
	}
	if at := taskOf(tasks, e.Path); at >= 0 {
		to.Set("task", tasks[at].ID)
	}
}

// noted is an entry read back.
type noted struct {
	Name message.Text
	Text string
}

// lastNoted reads back what was written last, with the other entries of its
// task.
func (b *Bench) lastNoted(t *test, tasks []runTask) []noted {
	last := len(t.Run.Entries) - 1
	if last < 0 {
		return nil
	}
	path := t.Run.Entries[last].Path
	if len(t.Run.Entries[last].Skipped) > 0 {
		remarks := strings.Split(t.read(path), "; ")
		return []noted{{Text: remarks[len(remarks)-1]}}
	}
	paths := []string{path}
	if at := taskOf(tasks, path); at >= 0 && tasks[at].Key != setupKey {
		paths = tasks[at].Entries()
	}
	var list []noted
	for _, path := range paths {
		rule, ok := t.field(path)
		if text := t.read(path); ok && text != "" {
			list = append(list, noted{t.entryName(path), b.readBack(text, rule)})
		}
	}
	return list
}

// readBack is an entry with its unit, as it was understood.
func (b *Bench) readBack(text string, rule protocol.Field) string {
	switch rule.Kind {
	case protocol.Quantity:
		if echo := b.echo(text, rule); echo != "" {
			return echo
		}
	case protocol.Word:
		if rule.Path == "measure" { // of a safety sheet
			return b.Catalogue.Say(measureName(text))
		}
		return b.Catalogue.Say(testWord(text))
	}
	return text
}

// replica says how far a series of runs has got.
type replica struct {
	Runs, Wanted int
	Efficiency   *protocol.TierReport // of the runs so far; nil before there are two
}

// wantedRuns are how many runs a protocol asks for at least: five of the sequence
// (iso19867part1), three of the boiling (wbt2014protocol) and of the cooking test
// (cct2004protocol), values from memory; a safety sheet needs a second scorer.
var wantedRuns = map[protocol.Kind]int{protocol.KindSequence: 5, protocol.KindBoiling: 3, protocol.KindCooking: 3, protocol.KindSafety: 2}

func (b *Bench) replica(ctx context.Context, t *test) (*replica, error) {
	r := replica{Wanted: wantedRuns[t.Kind]}
	if r.Wanted == 0 {
		return nil, nil
	}
	tests, err := b.allTests(ctx)
	if err != nil {
		return nil, err
	}
	var runs []protocol.SequenceResult
	for _, other := range tests {
		if other.Kind != t.Kind || !strings.EqualFold(strings.TrimSpace(other.About().Stove), strings.TrimSpace(t.About().Stove)) {
			continue
		}
		file, err := other.compute()
		if err != nil || other.About().LeftOut != "" {
			continue
		}
		r.Runs++
		if file.Sequence != nil {
			runs = append(runs, file.Sequence.Result)
		}
	}
	if len(runs) > 1 {
		if report, err := protocol.ReportSequence(runs, "iso-default"); err == nil && report.Runs > 1 {
			r.Efficiency = &report.Efficiency
		}
	}
	return &r, nil
}

// Mean, Low and High are the efficiency of the runs so far with its interval.
func (r replica) Mean() quantity.Value {
	return r.Efficiency.Indicator.Value(r.Efficiency.Summary.Mean)
}

// Low is the lower end of the interval.
func (r replica) Low() quantity.Value { return r.Efficiency.Indicator.Value(r.Efficiency.Interval.Low) }

// High is the upper end of the interval.
func (r replica) High() quantity.Value {
	return r.Efficiency.Indicator.Value(r.Efficiency.Interval.High)
}

// Level is the level of the interval.
func (r replica) Level() quantity.Value { return quantity.Pct(r.Efficiency.Interval.Level) }
