package web

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// A plan is a record of its own: how many tests, and in which order. Tests that are
// begun from a line of its order stand in that line from then on.
const planKind = "plan"

// planForm is a plan as it is kept.
type planForm struct {
	Name    string            `yaml:"name,omitempty"`
	Plan    protocol.PlanForm `yaml:"plan,omitempty"`
	Records []string          `yaml:"stove_records,omitempty"` // of the stoves, in their order; "" for one that is not drawn here
	Kind    string            `yaml:"test,omitempty"`
	Pot     string            `yaml:"pot,omitempty"`
	Fill    string            `yaml:"fill,omitempty"`
	Taken   map[string]string `yaml:"taken,omitempty"` // test by line
}

// planSheet is a plan of the workshop, worked out.
type planSheet struct {
	ID    string
	Head  workshop.Revision
	Form  planForm
	Plan  protocol.StudyPlan
	Wrong map[string]*message.InputError
	Begun bool // tests stand in its lines, so that stoves and lots are settled
}

// readPlan reads a plan, with its stoves under the names that they go by now.
func (b *Bench) readPlan(ctx context.Context, id string) (*planSheet, error) {
	o, err := b.open(ctx, id, planKind)
	if err != nil {
		return nil, err
	}
	s := &planSheet{ID: id, Head: o.Head}
	if err := form.Decode(o.Document, &s.Form); err != nil {
		return nil, err
	}
	return s, b.followStoves(ctx, s)
}

// loadPlan reads a plan and works it out.
func (b *Bench) loadPlan(ctx context.Context, id string) (*planSheet, error) {
	s, err := b.readPlan(ctx, id)
	if err != nil {
		return nil, err
	}
	s.work()
	return s, nil
}

// followStoves gives the stoves of a plan the names that they go by now, and the
// plan its own.
func (b *Bench) followStoves(ctx context.Context, s *planSheet) error {
	for i, id := range s.Form.Records {
		name, ok, err := b.stoveName(ctx, id)
		if err != nil {
			return err
		}
		if ok && i < len(s.Form.Plan.Stoves) {
			s.Form.Plan.Stoves[i] = name
		}
	}
	s.Head.Name = s.name(b.Catalogue)
	return nil
}

// name is what a plan is called in lists: as its maker says, or by its stoves.
func (s *planSheet) name(c *message.Catalogue) string {
	return cmp.Or(s.Form.Name, strings.Join(s.Form.Plan.Stoves, " · "), c.S("web.tests.plan.title"))
}

func (s *planSheet) work() {
	var err error
	s.Plan, err = s.Form.Plan.Read()
	s.Wrong, s.Begun = complaintsOf(err), len(s.Form.Taken) > 0
}

// planPage is one plan: its numbers, its order, and what was burnt of it.
type planPage struct {
	frame
	*planSheet
	Fields []reading
	Kinds  []protocol.Kind
	Lines  []planLine
	Days   int
}

// planLine is a line of the order with the test that stands in it.
type planLine struct {
	Number int
	protocol.Slot
	First bool        // of its day
	Next  bool        // the first line without a test
	Test  *listedTest // nil where none was begun
	Late  bool        // its test is later than that of a line behind it
}

// See, Scatter, Power, Share and Wood are numbers of the plan as they are read.

// See is the difference worth seeing.
func (s planSheet) See() quantity.Value { return quantity.Pct(s.Plan.Design.Difference) }

// Scatter is the standard deviation over the mean.
func (s planSheet) Scatter() quantity.Value { return quantity.Pct(s.Plan.Design.CV) }

// Power is the chance of seeing the difference.
func (s planSheet) Power() quantity.Value { return quantity.Pct(s.Plan.Design.Power) }

// Shows reports whether a number of tests was asked for, and Share what they show.
func (s planSheet) Shows() bool { return s.Plan.Detectable > 0 }

// Share is the difference that the tests asked for show.
func (s planSheet) Share() quantity.Value { return quantity.Pct(s.Plan.Detectable) }

// Wood is the wood to lay in.
func (s planSheet) Wood() quantity.Value { return quantity.KG(s.Plan.Wood.SI) }

// Villages reports whether the likeness of a village or the number there are changed
// the plan, and Losses whether drop-outs did.
func (s planSheet) Villages() bool { return s.Plan.Plan.Clusters != s.Plan.Plan.Exact }

// Losses reports whether more are visited than are needed.
func (s planSheet) Losses() bool { return s.Plan.Plan.Visited != s.Plan.Plan.Clusters }

// StoveLines are the stoves as they are written, a line each.
func (s planSheet) StoveLines() string { return strings.Join(s.Form.Plan.Stoves, "\n") }

// KindWords name the kind of test.
func (s planSheet) KindWords() message.Text { return s.kind().Words() }

func (s planSheet) kind() protocol.Kind {
	if k := protocol.Kind(s.Form.Kind); slices.Contains(planned, k) {
		return k
	}
	return protocol.KindBoiling
}

// planned are the kinds of test that are burnt in an order.
var planned = []protocol.Kind{protocol.KindBoiling, protocol.KindCooking, protocol.KindSequence, protocol.KindEmission}

// settled are the entries that stay once a test stands in its line.
var settled = map[string]bool{"stoves": true, "seed": true, "households": true}

func (b *Bench) planPage(ctx context.Context, s *planSheet) (planPage, error) {
	p := planPage{frame: b.frame(testsStage, "web.tests.plan.title"), planSheet: s, Kinds: planned}
	p.Last = b.last(ctx)
	for _, f := range protocol.PlanFields() {
		if f.Path == "stoves" || s.Begun && settled[f.Path] {
			continue
		}
		v, _ := slotOf(&s.Form.Plan, f.Path)
		e := reading{Path: f.Path, Rule: f, Name: f.Name(), Text: v.String(), Error: s.Wrong[f.Path]}
		if f.Kind == protocol.Word {
			e.Options = testOptions(f, e.Text)
		}
		p.Fields = append(p.Fields, e)
	}
	tests, err := b.allTests(ctx)
	if err != nil {
		return p, err
	}
	next := false
	for i, slot := range s.Plan.Order {
		l := planLine{Number: i + 1, Slot: slot, First: slot.Place == 1}
		if at := slices.IndexFunc(tests, func(t listedTest) bool { return t.ID == s.Form.Taken[strconv.Itoa(i+1)] }); at >= 0 {
			l.Test = &tests[at]
		}
		l.Next = l.Test == nil && !next
		next = next || l.Next
		p.Lines, p.Days = append(p.Lines, l), slot.Block
	}
	markLate(p.Lines)
	return p, nil
}

// markLate marks the tests that were burnt on a later day than one behind them.
func markLate(lines []planLine) {
	earliest := ""
	for i := len(lines) - 1; i >= 0; i-- {
		if lines[i].Test == nil {
			continue
		}
		date := lines[i].Test.About().Date
		lines[i].Late = earliest != "" && date > earliest
		if date != "" && (earliest == "" || date < earliest) {
			earliest = date
		}
	}
}

// plansPage lists the plans.
type plansPage struct {
	frame
	Plans  []*planSheet
	Stoves []workshop.Record
	Kinds  []protocol.Kind
}

func (b *Bench) showPlans(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	p := plansPage{frame: b.frame(testsStage, "web.tests.plan.title"), Kinds: planned}
	p.Last = b.last(ctx)
	plans, err := b.Workshop.List(ctx, workshop.Filter{Kind: planKind})
	if err != nil {
		return err
	}
	for _, rec := range plans {
		s, err := b.readPlan(ctx, rec.ID)
		if err != nil { // it stays in the list, to be put away
			s = &planSheet{ID: rec.ID, Head: rec.Head}
		}
		p.Plans = append(p.Plans, s)
	}
	if p.Stoves, err = b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind}); err != nil {
		return err
	}
	b.show(w, http.StatusOK, "plans", p)
	return nil
}

// newPlan begins a plan with the stoves that were chosen and those that were named.
func (b *Bench) newPlan(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := r.ParseForm(); err != nil {
		return err
	}
	f := planForm{Kind: tidy(r.PostFormValue("kind"))}
	for _, id := range r.PostForm["stove-id"] {
		name, ok, err := b.stoveName(ctx, id)
		if err != nil {
			return err
		}
		if ok {
			f.Plan.Stoves = append(f.Plan.Stoves, name)
		}
	}
	f.Plan.Stoves = append(f.Plan.Stoves, lines(r.PostFormValue("stoves"))...)
	f.Plan.Seed = strconv.Itoa(1 + int(time.Now().Unix()%9999)) // a number to keep, so that the lots can be drawn again
	rec, err := b.keepPlan(ctx, &planSheet{Form: f})
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/plans/"+rec, http.StatusSeeOther)
	return nil
}

// lines are the lines of a text in which something stands.
func lines(text string) []string {
	var list []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(tidy(strings.TrimSpace(line))); line != "" {
			list = append(list, line)
		}
	}
	return list
}

// keepPlan saves a plan, with the records of its stoves beside their names.
func (b *Bench) keepPlan(ctx context.Context, s *planSheet) (string, error) {
	s.Form.Records = nil
	for _, name := range s.Form.Plan.Stoves {
		id, _ := b.stoveNamed(ctx, name)
		s.Form.Records = append(s.Form.Records, id)
	}
	doc, err := form.Encode(s.Form)
	if err != nil {
		return "", err
	}
	e := workshop.Edit{Record: s.ID, Base: s.Head.ID, Kind: planKind, Name: s.name(b.Catalogue), Content: doc, By: b.by(ctx, "")}
	if s.ID != "" {
		e.Kind = ""
	}
	rec, err := b.Workshop.Save(ctx, e)
	return rec.Record, err
}

func (b *Bench) showPlan(w http.ResponseWriter, r *http.Request) error {
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	s, err := b.loadPlan(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	p, err := b.planPage(r.Context(), s)
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "plan", p)
	return nil
}

// writePlan takes the entries of the page.
func (b *Bench) writePlan(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := r.ParseForm(); err != nil {
		return err
	}
	b.changing.Lock()
	defer b.changing.Unlock()
	s, err := b.loadPlan(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	for _, f := range protocol.PlanFields() {
		if r.PostForm.Has(f.Path) && f.Path != "stoves" && !(s.Begun && settled[f.Path]) {
			v, _ := slotOf(&s.Form.Plan, f.Path)
			v.SetString(tidy(strings.TrimSpace(r.PostForm.Get(f.Path))))
		}
	}
	if r.PostForm.Has("stoves") && !s.Begun {
		s.Form.Plan.Stoves = lines(r.PostForm.Get("stoves"))
	}
	for name, at := range map[string]*string{"name": &s.Form.Name, "kind": &s.Form.Kind, "pot": &s.Form.Pot, "fill": &s.Form.Fill} {
		if r.PostForm.Has(name) {
			*at = tidy(strings.TrimSpace(r.PostForm.Get(name)))
		}
	}
	if _, err := b.keepPlan(ctx, s); err != nil {
		return err
	}
	http.Redirect(w, r, "/plans/"+s.ID, http.StatusSeeOther)
	return nil
}

// startPlanned begins the test of a line: its stove, and of the tests of the plan
// before it the wood, pot, place and instruments, which must not differ.
func (b *Bench) startPlanned(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	s, err := b.loadPlan(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(r.PostFormValue("line"))
	if err != nil || n < 1 || n > len(s.Plan.Order) {
		return missing()
	}
	key := strconv.Itoa(n)
	if id := s.Form.Taken[key]; id != "" {
		if t, err := b.loadTest(ctx, id); err == nil && !t.Head.Deleted {
			http.Redirect(w, r, t.startPath(), http.StatusSeeOther)
			return nil
		}
	}
	t, err := b.plannedTest(ctx, s, s.Plan.Order[n-1])
	if err != nil {
		return err
	}
	if s.Form.Taken == nil {
		s.Form.Taken = map[string]string{}
	}
	s.Form.Taken[key] = t.ID
	if _, err := b.keepPlan(ctx, s); err != nil {
		return err
	}
	http.Redirect(w, r, t.startPath(), http.StatusSeeOther)
	return nil
}

func (b *Bench) plannedTest(ctx context.Context, s *planSheet, slot protocol.Slot) (*test, error) {
	t := &test{Kind: s.kind(), Form: emptyForm(s.kind())}
	if before := b.lastPlanned(ctx, s); before != nil {
		for _, f := range t.Kind.Fields() {
			if sameInSeries(f.Path) {
				t.write(f.Path, before.read(f.Path))
			}
		}
	}
	a := t.About()
	a.Stove, a.Record, a.Test, a.Date = slot.Stove, "", fmt.Sprintf("%d.%d", slot.Block, slot.Place), time.Now().Format(time.DateOnly)
	if a.Tester == "" {
		a.Tester = b.by(ctx, "").Who
	}
	if s.Form.Pot != "" && t.read("pot.name") == "" {
		t.write("pot.name", s.Form.Pot)
	}
	if s.Form.Fill != "" {
		a.Note = b.Catalogue.S("web.tests.plan.fill-note", "fill", s.Form.Fill)
	}
	return b.beginTest(ctx, t.Kind, t.Form)
}

// lastPlanned is the test of the plan that was begun last, nil before the first.
func (b *Bench) lastPlanned(ctx context.Context, s *planSheet) *test {
	for n := len(s.Plan.Order); n > 0; n-- {
		if id := s.Form.Taken[strconv.Itoa(n)]; id != "" {
			if t, err := b.loadTest(ctx, id); err == nil && t.Kind == s.kind() {
				return t
			}
		}
	}
	return nil
}

func (b *Bench) deletePlan(w http.ResponseWriter, r *http.Request) error {
	ctx, id := r.Context(), r.PathValue("id")
	o, err := b.open(ctx, id, planKind)
	if err != nil {
		return err
	}
	if _, err := b.Workshop.Delete(ctx, id, o.Head.ID, b.by(ctx, "")); err != nil {
		return err
	}
	http.Redirect(w, r, "/tests/plan", http.StatusSeeOther)
	return nil
}
