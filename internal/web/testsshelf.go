package web

import (
	"context"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/examples"
	"stovewright/message"
	"stovewright/workshop"
)

// testFrame is what the pages of one test have around their own matter.
type testFrame struct {
	frame
	Test    *test
	Tab     string // "run", "form" or "result"
	StoveID string // of the stove drawn here that it is a test of, "" for none
}

func (b *Bench) testFrame(t *test, tab string) testFrame {
	f := testFrame{frame: b.frame(testsStage, "web.tests.tab."+tab), Test: t, Tab: tab}
	ctx := context.Background()
	f.StoveID = b.stoveOf(ctx, t)
	if f.Last = f.StoveID; f.Last == "" {
		f.Last = b.last(ctx)
	}
	return f
}

// Name is what the test is called.
func (f testFrame) Name() string { return f.Test.Head.Name }

// stoveNamed finds the stove of the workshop that goes by a name.
func (b *Bench) stoveNamed(ctx context.Context, name string) (id string, ok bool) {
	list, err := b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind})
	if name = strings.TrimSpace(name); err != nil || name == "" {
		return "", false
	}
	for _, rec := range list {
		if strings.EqualFold(strings.TrimSpace(rec.Head.Name), name) {
			return rec.ID, true
		}
	}
	return "", false
}

// testsPage is the shelf of tests.
type testsPage struct {
	frame
	Series     []testSeries
	Gone       []workshop.Record
	Stoves     []workshop.Record
	Kinds      []protocol.Kind
	Document   string // a test that could not be taken, as it was sent
	Complaints message.InputErrors
}

// testSeries is the tests of one kind of one stove.
type testSeries struct {
	Stove   string
	StoveID string
	Kind    protocol.Kind
	Tests   []listedTest
	Other   string // another stove with tests of the kind, to compare with
}

// listedTest is a test as it stands on the shelf.
type listedTest struct {
	*test
	Broken  bool
	Missing int
	Steps   int // of a guided test, still to do
	Wrong   int
	Spoiled bool
	Results []protocol.Step
	Points  float64 // of a safety sheet
}

// Latest is the last test of the series.
func (s testSeries) Latest() listedTest { return s.Tests[len(s.Tests)-1] }

// Label tells the test from the others of its series.
func (l listedTest) Label() string {
	switch f := l.Form.(type) {
	case *protocol.SafetyForm:
		if f.About.Test == "" && f.Scorer != "" {
			return f.Scorer
		}
	case *protocol.KitchenForm:
		if f.About.Test == "" && f.Round != "" {
			return f.Round
		}
	}
	return l.About().Test
}

// headlines are the results that stand on the shelf.
var headlines = map[protocol.Kind][]string{
	protocol.KindBoiling: {"h_hp", "BF", "cold.tT"}, protocol.KindCooking: {"SCf"}, protocol.KindSequence: {"h0_mean", "h0_energy"},
	protocol.KindEmission: {"eCO", "ePM", "MCE"}}

// Whole reports whether there is a result.
func (l listedTest) Whole() bool { return !l.Broken && l.Missing == 0 && l.Wrong == 0 }

func (b *Bench) testsPage(ctx context.Context) (testsPage, error) {
	p := testsPage{frame: b.frame(testsStage, "web.tests.title"), Kinds: protocol.Kinds}
	p.Last = b.last(ctx)
	tests, err := b.allTests(ctx)
	if err != nil {
		return p, err
	}
	for _, t := range tests {
		p.shelve(t)
	}
	for i := range p.Series {
		s := &p.Series[i]
		s.StoveID = b.stoveOf(ctx, s.Latest().test)
		for _, other := range p.Series {
			if other.Kind == s.Kind && other.Stove != s.Stove && s.Other == "" {
				s.Other = other.Stove
			}
		}
	}
	if p.Stoves, err = b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind}); err != nil {
		return p, err
	}
	gone, err := b.Workshop.List(ctx, workshop.Filter{Deleted: true})
	for _, rec := range gone {
		if _, ok := testKindOf(rec.Kind); ok {
			p.Gone = append(p.Gone, rec)
		}
	}
	return p, err
}

// shelve puts a test with those of its stove and kind.
func (p *testsPage) shelve(t listedTest) {
	name := strings.TrimSpace(t.About().Stove)
	for i := range p.Series {
		if s := &p.Series[i]; s.Kind == t.Kind && strings.EqualFold(s.Stove, name) {
			s.Tests = append(s.Tests, t)
			return
		}
	}
	p.Series = append(p.Series, testSeries{Stove: name, Kind: t.Kind, Tests: []listedTest{t}})
}

// allTests reads every test of the workshop, by kind and date.
func (b *Bench) allTests(ctx context.Context) ([]listedTest, error) {
	records, err := b.Workshop.List(ctx, workshop.Filter{})
	if err != nil {
		return nil, err
	}
	var list []listedTest
	for _, rec := range records {
		if _, ok := testKindOf(rec.Kind); ok {
			list = append(list, b.listedTest(ctx, rec))
		}
	}
	order := func(l listedTest) string {
		a := l.About()
		return strconv.Itoa(slices.Index(protocol.Kinds, l.Kind)) + "\x00" + strings.ToLower(a.Stove) + "\x00" + a.Date + "\x00" + l.Head.At.Format(time.RFC3339)
	}
	slices.SortStableFunc(list, func(x, y listedTest) int { return strings.Compare(order(x), order(y)) })
	return list, nil
}

func (b *Bench) listedTest(ctx context.Context, rec workshop.Record) listedTest {
	t, err := b.loadTest(ctx, rec.ID)
	if err != nil { // its own page says why
		kind, _ := testKindOf(rec.Kind)
		return listedTest{test: &test{ID: rec.ID, Kind: kind, Form: emptyForm(kind), opened: opened{Head: rec.Head}}, Broken: true}
	}
	l := listedTest{test: t}
	file, err := t.compute()
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if isMissing(c) {
			l.Missing++
		} else {
			l.Wrong++
		}
	}
	if t.Guided() && l.Missing > 0 {
		tasks, _ := t.runTasks()
		for _, task := range tasks {
			if task.Open() {
				l.Steps++
			}
		}
	}
	for _, a := range file.Alarms() {
		l.Spoiled = l.Spoiled || a.Spoils()
	}
	if file.Safety != nil {
		l.Points = file.Safety.Score.Total
	}
	steps := file.Steps()
	for _, id := range headlines[t.Kind] {
		if i := slices.IndexFunc(steps, func(s protocol.Step) bool { return s.ID() == id }); i >= 0 {
			l.Results = append(l.Results, steps[i])
		}
	}
	return l
}

func (b *Bench) showTests(w http.ResponseWriter, r *http.Request) error {
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	p, err := b.testsPage(r.Context())
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "tests", p)
	return nil
}

// newTest starts an empty test, for a stove or for none.
func (b *Bench) newTest(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	kind := protocol.Kind(r.PostFormValue("kind"))
	if !slices.Contains(protocol.Kinds, kind) {
		return missing()
	}
	t := &test{Kind: kind, Form: emptyForm(kind)}
	a := t.About()
	a.Stove, a.Date, a.Tester = tidy(strings.TrimSpace(r.PostFormValue("stove"))), time.Now().Format(time.DateOnly), b.by(ctx, "").Who
	if id := r.PostFormValue("stove-id"); id != "" && a.Stove == "" {
		d, err := b.load(ctx, id)
		if err != nil {
			return err
		}
		a.Stove, a.Record = strings.TrimSpace(d.Form.Name), id
	}
	n, err := b.countTests(ctx, kind, a.Stove)
	if err != nil {
		return err
	}
	a.Test = strconv.Itoa(n + 1)
	t, err = b.beginTest(ctx, kind, t.Form)
	if err != nil {
		return err
	}
	http.Redirect(w, r, t.startPath(), http.StatusSeeOther)
	return nil
}

// startPath is where the work on a test begins.
func (t *test) startPath() string {
	if t.Guided() {
		return "/tests/" + t.ID + "/run"
	}
	return "/tests/" + t.ID + "/form"
}

func (b *Bench) countTests(ctx context.Context, kind protocol.Kind, stove string) (n int, err error) {
	tests, err := b.allTests(ctx)
	for _, t := range tests {
		if t.Kind == kind && strings.EqualFold(strings.TrimSpace(t.About().Stove), strings.TrimSpace(stove)) {
			n++
		}
	}
	return n, err
}

// importTest takes a test's file, as a file or pasted.
func (b *Bench) importTest(w http.ResponseWriter, r *http.Request) error {
	text, err := sentDocument(r)
	if err != nil {
		return err
	}
	t, err := b.takeTestFile(r.Context(), []byte(text))
	if err == nil && strings.TrimSpace(text) == "" {
		err = &message.InputError{Field: "document", Reason: message.T("web.tests.import-empty"), Try: "test: boiling"}
	}
	if complaints, ok := message.Complaints(err); ok {
		p, pageErr := b.testsPage(r.Context())
		if pageErr != nil {
			return pageErr
		}
		p.Document, p.Complaints = text, complaints
		b.show(w, http.StatusUnprocessableEntity, "tests", p)
		return nil
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/tests/"+t.ID, http.StatusSeeOther)
	return nil
}

// takeTestFile makes a record of a test's file. The head of the sheet was gone
// through by whoever wrote it.
func (b *Bench) takeTestFile(ctx context.Context, doc []byte) (*test, error) {
	kind, err := protocol.KindOf(doc)
	if err != nil {
		return nil, err
	}
	f, err := readTestForm(kind, doc)
	if err != nil {
		return nil, err
	}
	t, err := b.beginTest(ctx, kind, f)
	if err != nil {
		return nil, err
	}
	t.Run.Ready = true
	return t, b.keepRun(ctx, t)
}

// exampleTests opens the invented tests of one kind, and compares them where
// there are two series.
func (b *Bench) exampleTests(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	kind := protocol.Kind(r.PostFormValue("kind"))
	docs := exampleTestFiles(kind)
	if len(docs) == 0 {
		return missing()
	}
	var stoves []string
	last := ""
	for _, doc := range docs {
		t, err := b.takeTestFile(ctx, doc)
		if err != nil {
			return err
		}
		last = t.ID
		if s := t.About().Stove; !slices.Contains(stoves, s) {
			stoves = append(stoves, s)
		}
	}
	if kind == protocol.KindEmission { // each fire stands for itself
		http.Redirect(w, r, "/tests/"+last, http.StatusSeeOther)
		return nil
	}
	http.Redirect(w, r, comparePath(kind, stoves...), http.StatusSeeOther)
	return nil
}

// exampleTestFiles are the invented tests that come with the program.
func exampleTestFiles(kind protocol.Kind) [][]byte {
	var docs [][]byte
	fs.WalkDir(examples.Tests, "tests", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".yaml" {
			return err
		}
		data, err := examples.Tests.ReadFile(name)
		if k, kindErr := protocol.KindOf(data); err == nil && kindErr == nil && k == kind {
			docs = append(docs, data)
		}
		return err
	})
	return docs
}

// nextTest makes another test of the same series: the same wood, pot, place and
// instruments, and no readings.
func (b *Bench) nextTest(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	t, err := b.loadTest(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	next := &test{Kind: t.Kind, Form: emptyForm(t.Kind)}
	for _, f := range t.Kind.Fields() {
		if sameInSeries(f.Path) {
			next.write(f.Path, t.read(f.Path))
		}
	}
	n, err := b.countTests(ctx, t.Kind, t.About().Stove)
	if err != nil {
		return err
	}
	a := next.About()
	a.Test, a.Date = numberAfter(t.About().Test, n+1), time.Now().Format(time.DateOnly)
	if next, err = b.beginTest(ctx, t.Kind, next.Form); err != nil {
		return err
	}
	http.Redirect(w, r, next.startPath(), http.StatusSeeOther)
	return nil
}

// sameInSeries tells what stays from one test of a series to the next.
func sameInSeries(path string) bool {
	switch path {
	case "about.stove", "about.tester", "about.place", "version", "kind", "dry_wood", "dish", "cook", "char_pan", "together", "char_heating_value",
		"wood.kind", "wood.pile", "wood.heating_value", "wood.stick", "place.altitude", "place.room":
		return true
	}
	return strings.HasPrefix(path, "pot.") || strings.HasPrefix(path, "instruments.")
}

// numberAfter is the number of the next test: "B3" after "B2".
func numberAfter(last string, n int) string {
	digits := len(last)
	for digits > 0 && last[digits-1] >= '0' && last[digits-1] <= '9' {
		digits--
	}
	if v, err := strconv.Atoi(last[digits:]); err == nil {
		return last[:digits] + strconv.Itoa(v+1)
	}
	return strconv.Itoa(n)
}

// testFile gives the test as a file for the command line and other people.
func (b *Bench) testFile(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	download(w, "application/yaml", fileName(t.name(b.Catalogue), "yaml"), t.Document)
	return nil
}

// leaveTest takes a test out of the comparison with a reason, or back into it.
func (b *Bench) leaveTest(w http.ResponseWriter, r *http.Request) error {
	t, err := b.changeTest(r, func(t *test) error {
		reason := tidy(strings.TrimSpace(r.PostFormValue("reason")))
		if reason == "" && r.PostFormValue("do") == "leave" {
			return &message.InputError{Field: "reason", Reason: message.T("web.tests.leave-why"), Try: b.Catalogue.S("web.tests.leave-like")}
		}
		t.About().LeftOut = reason
		return nil
	})
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/tests/"+t.ID, http.StatusSeeOther)
	return nil
}

// undoTest takes the last change of a test back, redoTest an undo.
func (b *Bench) undoTest(w http.ResponseWriter, r *http.Request) error {
	return b.stepBack(w, r, b.Workshop.Undo)
}

func (b *Bench) redoTest(w http.ResponseWriter, r *http.Request) error {
	return b.stepBack(w, r, b.Workshop.Redo)
}

func (b *Bench) stepBack(w http.ResponseWriter, r *http.Request, do stepper) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil { // what is being typed counts as one change
		return err
	}
	t, err := b.loadTest(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := do(ctx, t.ID, t.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/tests/"+t.ID+"/form", http.StatusSeeOther)
	return nil
}

// settleTest answers the question whose readings hold, after somebody else
// changed the test while this one was being typed.
func (b *Bench) settleTest(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	t, err := b.loadTest(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	switch r.PostFormValue("do") {
	case "mine":
		t.Base, t.Conflict = t.Head.ID, nil
		err = b.keepTest(ctx, t)
	case "theirs":
		err = b.Workshop.DropDraft(ctx, t.ID, b.by(ctx, "").Who, typing)
	default:
		err = missing()
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, t.startPath(), http.StatusSeeOther)
	return nil
}

// repairTest takes the text of a test that cannot be read, mended by hand.
func (b *Bench) repairTest(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	rec, err := b.Workshop.Get(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	kind, ok := testKindOf(rec.Kind)
	if !ok {
		return missing()
	}
	doc := []byte(r.PostFormValue("document"))
	f, err := readTestForm(kind, doc)
	if err != nil {
		return &unreadable{id: rec.ID, name: rec.Head.Name, doc: doc, cause: err, repair: "/tests/" + rec.ID + "/repair"}
	}
	t := &test{Kind: kind, Form: f}
	_, err = b.Workshop.Save(ctx, workshop.Edit{Record: rec.ID, Base: rec.Head.ID, Name: t.name(b.Catalogue), Content: doc, By: b.by(ctx, "")})
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/tests/"+rec.ID, http.StatusSeeOther)
	return nil
}

func (b *Bench) deleteTest(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	t, err := b.loadTest(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, t.ID, t.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/tests", http.StatusSeeOther)
	return nil
}

func (b *Bench) undeleteTest(w http.ResponseWriter, r *http.Request) error {
	return b.bringBack(w, r, "/tests")
}
