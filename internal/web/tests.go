package web

import (
	"context"
	"encoding/json"
	"net/url"
	"reflect"
	"regexp"
	"slices"
	"strings"

	protocol "stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/workshop"
)

// Tests are records of the workshop file, one kind of record for each kind of
// test. The document of such a record is the test's file, as the command line
// reads it.

// testRoutes are the pages about tests.
func (b *Bench) testRoutes(on, large func(pattern string, do action)) {
	on("GET /tests", b.showTests)
	on("POST /tests/new", b.newTest)
	on("POST /tests/import", b.importTest)
	on("POST /tests/example", b.exampleTests)
	on("GET /tests/plan", b.showPlans)
	on("POST /tests/plan", b.newPlan)
	on("GET /plans/{id}", b.showPlan)
	on("POST /plans/{id}", b.writePlan)
	on("POST /plans/{id}/start", b.startPlanned)
	on("POST /plans/{id}/delete", b.deletePlan)
	on("GET /tests/{id}", b.showResult)
	on("GET /tests/{id}/run", b.showRun)
	on("POST /tests/{id}/run", b.stepRun)
	on("GET /tests/{id}/form", b.showTestForm)
	on("POST /tests/{id}/form", b.writeTestForm)
	on("POST /tests/{id}/key", b.writeTestKey)
	on("GET /tests/{id}/sure/{step}", b.showSure)
	on("GET /tests/{id}/file", b.testFile)
	on("GET /tests/{id}/evidence/{name}", b.testEvidence)
	on("POST /tests/{id}/copy", b.nextTest)
	on("POST /tests/{id}/leave", b.leaveTest)
	on("POST /tests/{id}/settle", b.settleTest)
	on("POST /tests/{id}/undo", b.undoTest)
	on("POST /tests/{id}/redo", b.redoTest)
	on("POST /tests/{id}/repair", b.repairTest)
	on("POST /tests/{id}/delete", b.deleteTest)
	on("POST /tests/{id}/undelete", b.undeleteTest)
	on("GET /tests/{id}/report/{name}", b.testReport)
	on("GET /paper/{kind}", b.testPaper)
	on("GET /compare", b.showCompare)
	on("GET /compare/{name}", b.compareReport)
	on("GET /trouble", b.showSymptoms)
	on("GET /logs", b.showLogs)
	large("POST /logs", b.newLog)
	on("GET /logs/{id}", b.showLog)
	on("GET /logs/report/{name}", b.useReport)
	on("POST /logs/{id}", b.writeLog)
	on("POST /logs/{id}/delete", b.deleteLog)
	on("GET /instruments", b.showInstruments)
	on("POST /instruments", b.setInstrument)
	on("GET /instruments/now", b.showReadings)
}

// testsStage is the place of these pages in the navigation.
const testsStage = "tests"

const testSuffix = "-test"

// testRecordKind is the kind of the records that hold a kind of test.
func testRecordKind(k protocol.Kind) string { return string(k) + testSuffix }

// testKindOf is the kind of test that a kind of record holds.
func testKindOf(record string) (protocol.Kind, bool) {
	k, ok := strings.CutSuffix(record, testSuffix)
	return protocol.Kind(k), ok && slices.Contains(protocol.Kinds, protocol.Kind(k))
}

// emptyForm is a sheet on which nothing is written yet.
func emptyForm(k protocol.Kind) any {
	switch k {
	case protocol.KindBoiling:
		return &protocol.BoilingForm{Test: string(k), Version: string(protocol.Version42)}
	case protocol.KindCooking:
		return &protocol.CookingForm{Test: string(k)}
	case protocol.KindKitchen:
		return &protocol.KitchenForm{Test: string(k)}
	case protocol.KindSequence:
		return &protocol.SequenceForm{Test: string(k)}
	case protocol.KindEmission:
		return &protocol.EmissionForm{Test: string(k)}
	}
	return &protocol.SafetyForm{Test: string(protocol.KindSafety)}
}

// readTestForm reads a test's file into a form of its kind.
func readTestForm(k protocol.Kind, doc []byte) (any, error) {
	f := emptyForm(k)
	reflect.ValueOf(f).Elem().SetZero()
	return f, form.Decode(doc, f)
}

// writeTestFile gives the file of a form.
func writeTestFile(f any) ([]byte, error) { return form.Encode(reflect.ValueOf(f).Elem().Interface()) }

// test is a test of the workshop as it stands, with what is being typed.
type test struct {
	opened
	ID   string
	Kind protocol.Kind
	Form any // *protocol.BoilingForm and so on
	Run  runState

	noted   bool     // the run remembers a new entry
	changed []string // entries that are written anew
}

// runState is what a guided test remembers beside its readings.
type runState struct {
	Ready    bool              `json:"ready,omitempty"`    // the sheet's head was gone through
	Skipped  []string          `json:"skipped,omitempty"`  // tasks
	Passed   []string          `json:"passed,omitempty"`   // tasks done in the poorer way
	Accepted []string          `json:"accepted,omitempty"` // alarms that the tester looked at
	Started  map[string]string `json:"started,omitempty"`  // timers of tasks, RFC 3339
	Entries  []runEntry        `json:"entries,omitempty"`  // what was written, to be taken back
}

const runSetting = "bench.run."

// loadTest reads a test.
func (b *Bench) loadTest(ctx context.Context, id string) (*test, error) {
	rec, err := b.Workshop.Get(ctx, id)
	if err != nil {
		return nil, err
	}
	kind, ok := testKindOf(rec.Kind)
	if !ok {
		return nil, &workshop.NotFoundError{What: "record", ID: id}
	}
	t := &test{ID: id, Kind: kind}
	if t.opened, err = b.open(ctx, id, rec.Kind); err != nil {
		return nil, err
	}
	if t.Form, err = readTestForm(kind, t.Document); err != nil {
		return nil, &unreadable{id: id, name: t.Head.Name, doc: t.Document, cause: err, repair: "/tests/" + id + "/repair"}
	}
	if err := b.followStove(ctx, t); err != nil {
		return nil, err
	}
	settings, err := b.Workshop.Settings(ctx)
	if err != nil {
		return nil, err
	}
	if kept := settings[runSetting+id]; kept != "" && json.Unmarshal([]byte(kept), &t.Run) != nil {
		t.Run = runState{} // a convenience: the readings are in the form
	}
	return t, nil
}

// keepTest saves what is being typed.
func (b *Bench) keepTest(ctx context.Context, t *test) error {
	if err := b.linkStove(ctx, t); err != nil {
		return err
	}
	doc, err := writeTestFile(t.Form)
	if err != nil {
		return err
	}
	t.Document, t.Typed, t.Undo, t.Redo = doc, true, true, false
	conflict, err := b.draft(ctx, workshop.Edit{Record: t.ID, Kind: testRecordKind(t.Kind), Base: t.Base, Name: t.name(b.Catalogue), Content: doc})
	if conflict != nil {
		t.Conflict = conflict
	}
	return err
}

// keepRun saves what the guide remembers.
func (b *Bench) keepRun(ctx context.Context, t *test) error {
	kept, err := json.Marshal(t.Run)
	if err != nil {
		return err
	}
	return b.Workshop.Set(ctx, runSetting+t.ID, string(kept))
}

// beginTest makes a record of a form.
func (b *Bench) beginTest(ctx context.Context, k protocol.Kind, f any) (*test, error) {
	t := &test{Kind: k, Form: f}
	if err := b.linkStove(ctx, t); err != nil {
		return nil, err
	}
	doc, err := writeTestFile(f)
	if err != nil {
		return nil, err
	}
	r, err := b.Workshop.Save(ctx, workshop.Edit{Kind: testRecordKind(k), Name: t.name(b.Catalogue), Content: doc, By: b.by(ctx, "")})
	if err != nil {
		return nil, err
	}
	t.ID, t.Head, t.Base, t.Document = r.Record, r, r.ID, doc
	return t, nil
}

// About is the head of the sheet, which every kind has.
func (t *test) About() *protocol.AboutForm {
	v, _ := slotOf(t.Form, "about")
	return v.Addr().Interface().(*protocol.AboutForm)
}

// name is what a test is called in lists.
func (t *test) name(c *message.Catalogue) string {
	a := t.About()
	parts := []string{strings.TrimSpace(a.Stove), strings.TrimSpace(a.Test), strings.TrimSpace(a.Date)}
	parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
	if len(parts) == 0 {
		return c.Say(t.Kind.Words())
	}
	return strings.Join(parts, " · ")
}

// Guided reports whether the bench can lead through the test.
func (t *test) Guided() bool { return t.Kind.Guided() }

// read gives the text of an entry, "" where nothing is written.
func (t *test) read(path string) string {
	if key, ok := strings.CutPrefix(path, constantsPath); ok {
		if f, ok := t.Form.(*protocol.BoilingForm); ok {
			return f.Constants[key]
		}
	}
	if s, ok := t.Form.(*protocol.SafetyForm); ok && strings.HasPrefix(path, safetyPath) {
		return protocol.Entry(s, path)
	}
	text, _ := readSlot(t.Form, path)
	return text
}

// constantsPath begins the paths of a protocol's constants, which are a map.
const constantsPath = "constants."

// write puts a text into an entry. Parts of the form that are not there yet
// come into being with their first reading. False when there is no such entry.
func (t *test) write(path, text string) bool {
	t.note(path, text)
	return t.set(path, text)
}

// set does so without a note for the guided run.
func (t *test) set(path, text string) bool {
	if s, ok := t.Form.(*protocol.SafetyForm); ok && takeSafety(s, path, text) {
		return true
	}
	if key, ok := strings.CutPrefix(path, constantsPath); ok {
		return t.writeConstant(key, text)
	}
	v, ok := slotOf(t.Form, path)
	switch {
	case !ok && text == "":
		return true
	case !ok:
		v, ok = reach(t.Form, path, true)
	}
	if !ok {
		return false
	}
	if v.Type() == reflect.TypeFor[[]string]() { // readings of a meter: a comma may be a decimal one
		v.Set(reflect.ValueOf(betweenReadings.Split(text, -1)))
		if text == "" {
			v.SetZero()
		}
		return true
	}
	return setTexts(v, text)
}

var betweenReadings = regexp.MustCompile(`;\s?|,\s`)

func (t *test) writeConstant(key, text string) bool {
	f, ok := t.Form.(*protocol.BoilingForm)
	switch {
	case !ok || !constantKey.MatchString(key):
		return false
	case text == "":
		delete(f.Constants, key)
		return true
	case f.Constants == nil:
		f.Constants = map[string]string{}
	}
	f.Constants[key] = text
	return true
}

var constantKey = regexp.MustCompile(`^[A-Za-z_]{1,20}$`)

// take writes what a page sent into the form. Names that are no entries are
// the page's own.
func (t *test) take(sent url.Values) {
	paths := make([]string, 0, len(sent))
	for path := range sent {
		paths = append(paths, path)
	}
	slices.Sort(paths) // items of a list come into being in their order
	for _, path := range paths {
		t.write(path, tidy(sent[path][0]))
	}
}

// compute reads the test as far as it is filled in. The error is a
// message.InputErrors with what is wrong or missing.
func (t *test) compute() (protocol.TestFile, error) {
	file, err := protocol.ReadTest(t.Head.Name, t.Document)
	if err == nil {
		return file, nil
	}
	// What is only there because a line was added must not be asked for.
	filled, err := readTestForm(t.Kind, t.Document)
	if err != nil {
		return protocol.TestFile{Kind: t.Kind}, err
	}
	if s, ok := filled.(*protocol.SafetyForm); ok {
		withoutEmpty(s)
	}
	prune(reflect.ValueOf(filled).Elem())
	doc, err := writeTestFile(filled)
	if err != nil {
		return protocol.TestFile{Kind: t.Kind}, err
	}
	return protocol.ReadTest(t.Head.Name, doc)
}

// prune takes out the parts of a form in which nothing is written: a pot that
// has just been added, or a phase that was not burnt, must not stop the result.
func prune(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			prune(v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			if prune(v.Elem()); v.Elem().IsZero() {
				v.SetZero()
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			prune(v.Index(i))
		}
		n := v.Len()
		for n > 0 && v.Index(n-1).IsZero() {
			n--
		}
		if v.SetLen(n); n == 0 {
			v.SetZero()
		}
	}
}

// complaintsOf are the input errors in an error, by field.
func complaintsOf(err error) map[string]*message.InputError {
	list, _ := message.Complaints(err)
	m := make(map[string]*message.InputError, len(list))
	for _, c := range list {
		if m[c.Field] == nil {
			m[c.Field] = c
		}
	}
	return m
}

// isMissing tells an entry that is not filled in yet from one that is wrong.
func isMissing(c *message.InputError) bool { return strings.TrimSpace(c.Value) == "" }
