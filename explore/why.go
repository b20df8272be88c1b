package explore

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Part is one change on the way from one stove to another, and what it brings.
type Part struct {
	Key     string // dimension id, or field of the brief
	Before  quantity.Value
	After   quantity.Value
	Words   [2]string // instead, of a field of words
	Brings  Outcome   // its share of the change of each metric
	Doubt   Outcome   // standard error of that; zero where every order was tried
	because message.Text
}

// Name is the change in words.
func (p Part) Name() message.Text { return p.because }

// Reasons tell why one stove differs from another.
type Reasons struct {
	Before, After Outcome
	Parts         []Part // the strongest first, by efficiency
	Whole         float64
	Exact         bool
	Together      []stove.Change // dimensions that only follow
}

// whyOrders is how many orders are tried where not every one can be.
const whyOrders = 60

// brief change: how a form takes over one entry of another.
type formChange struct {
	key   string
	apply func(to *stove.Form, from stove.Form)
	words func(f stove.Form) string
}

// formFields are the entries of a brief that may differ between two stoves, other
// than dimensions set by hand.
var formFields = []formChange{
	{"choices.chamber", func(t *stove.Form, f stove.Form) { t.Choices.Chamber = f.Choices.Chamber }, func(f stove.Form) string { return f.Choices.Chamber }},
	{"choices.ring", func(t *stove.Form, f stove.Form) { t.Choices.Ring = f.Choices.Ring }, func(f stove.Form) string { return f.Choices.Ring }},
	{"choices.body", func(t *stove.Form, f stove.Form) { t.Choices.Body = f.Choices.Body }, func(f stove.Form) string { return f.Choices.Body }},
	{"choices.skirt", func(t *stove.Form, f stove.Form) { t.Choices.Skirt = f.Choices.Skirt }, func(f stove.Form) string { return f.Choices.Skirt }},
	{"choices.gap", func(t *stove.Form, f stove.Form) { t.Choices.Gap = f.Choices.Gap }, func(f stove.Form) string { return f.Choices.Gap }},
	{"at_hand.brick.material", func(t *stove.Form, f stove.Form) { t.AtHand.Brick = f.AtHand.Brick }, func(f stove.Form) string { return fmt.Sprint(f.AtHand.Brick) }},
	{"at_hand.liner.bore", func(t *stove.Form, f stove.Form) { t.AtHand.Liner = f.AtHand.Liner }, func(f stove.Form) string { return fmt.Sprint(f.AtHand.Liner) }},
	{"at_hand.fill", func(t *stove.Form, f stove.Form) { t.AtHand.Fill = f.AtHand.Fill }, func(f stove.Form) string { return f.AtHand.Fill }},
	{"at_hand.bodies.kind", func(t *stove.Form, f stove.Form) { t.AtHand.Bodies = f.AtHand.Bodies }, func(f stove.Form) string { return fmt.Sprint(f.AtHand.Bodies) }},
	{"at_hand.rod", func(t *stove.Form, f stove.Form) { t.AtHand.Rod = f.AtHand.Rod }, func(f stove.Form) string { return f.AtHand.Rod }},
	{"pot.circumference", func(t *stove.Form, f stove.Form) { t.Pot, t.MorePots = f.Pot, f.MorePots }, func(f stove.Form) string { return fmt.Sprint(f.Pot, f.MorePots) }},
	{"fuel.kind", func(t *stove.Form, f stove.Form) { t.Fuel = f.Fuel }, func(f stove.Form) string { return fmt.Sprint(f.Fuel) }},
	{"place.altitude", func(t *stove.Form, f stove.Form) { t.Place = f.Place }, func(f stove.Form) string { return fmt.Sprint(f.Place) }},
	{"limits.time_to_boil", func(t *stove.Form, f stove.Form) { t.Limits = f.Limits }, func(f stove.Form) string { return fmt.Sprint(f.Limits) }},
}

// changesBetween are the ways in which two briefs differ, each as something that
// can be done by itself.
func changesBetween(a, b stove.Form) []formChange {
	var list []formChange
	for _, c := range formFields {
		if c.words(a) != c.words(b) {
			list = append(list, c)
		}
	}
	ids := slices.Collect(maps.Keys(a.Yours))
	for id := range b.Yours {
		if _, both := a.Yours[id]; !both {
			ids = append(ids, id)
		}
	}
	sort.Strings(ids)
	for _, id := range ids {
		if a.Yours[id] == b.Yours[id] {
			continue
		}
		list = append(list, formChange{id, func(to *stove.Form, from stove.Form) {
			if x, ok := from.Yours[id]; ok {
				to.Yours[id] = x
			} else {
				delete(to.Yours, id)
			}
		}, func(f stove.Form) string { return f.Yours[id] }})
	}
	return list
}

// Why splits the difference of two stoves among the changes that lead from one to
// the other (see [Shapley]): every set of changes is built and burnt where there
// are at most ten of them, else a sample of orders. What is written otherwise but
// comes out alike has no part: it is made along with the first change. Orders that pass through a
// stove that cannot be built or does not burn are left out; Whole tells the share
// that remains. The error is a message.InputErrors, also where a stove at either
// end does not burn.
func Why(before, after Subject) (Reasons, error) {
	from, err := before.Stove()
	if err != nil {
		return Reasons{}, err
	}
	to, err := after.Stove()
	if err != nil {
		return Reasons{}, err
	}
	w := &whyWalk{from: before, to: after, known: make(map[string]Outcome)}
	for _, c := range changesBetween(before.Form, after.Form) {
		if idle(c, before, after, from, to) {
			w.idle = append(w.idle, c)
		} else {
			w.changes = append(w.changes, c)
		}
	}
	out := Reasons{Together: stove.Compare(from, to)}
	n := len(w.changes)
	all := slices.Repeat([]bool{true}, n)
	out.Before, out.After = w.outcome(make([]bool, n)), w.outcome(all)
	if !out.Before.Burns() || !out.After.Burns() {
		return out, message.InputErrors{{Field: "stove", Reason: message.T("explore.why-dead")}}
	}
	for _, c := range w.changes {
		out.Parts = append(out.Parts, partOf(c, before.Form, after.Form, from, to))
	}
	out.Exact = n <= exactShapley
	if n > 0 {
		w.split(&out)
	}
	sort.SliceStable(out.Parts, func(i, j int) bool {
		return math.Abs(out.Parts[i].Brings[Efficiency]) > math.Abs(out.Parts[j].Brings[Efficiency])
	})
	return out, nil
}

// idle reports whether a change makes nothing otherwise at either end: a dimension
// that is set to what it prints as already, a choice that is made as it was.
func idle(c formChange, before, after Subject, from, to *stove.Stove) bool {
	if from.Dimension(c.key) != nil && to.Dimension(c.key) != nil {
		return from.Value(c.key).String() == to.Value(c.key).String()
	}
	if !strings.HasPrefix(c.key, "choices.") {
		return false
	}
	alike := func(s, other Subject) bool {
		was, err := s.Outcome()
		changed := s
		c.apply(&changed.Form, other.Form)
		is, changedErr := changed.Outcome()
		return err == nil && changedErr == nil && was == is
	}
	return alike(before, after) && alike(after, before)
}

// whyWalk burns the stoves between two.
type whyWalk struct {
	from, to Subject
	changes  []formChange
	idle     []formChange // made along with the first of the others
	mutex    sync.Mutex
	known    map[string]Outcome
}

// outcome is that of the first stove with some of the changes made.
func (w *whyWalk) outcome(in []bool) Outcome {
	key := fmt.Sprint(in)
	w.mutex.Lock()
	o, ok := w.known[key]
	w.mutex.Unlock()
	if ok {
		return o
	}
	s := w.from
	s.Form.Yours = maps.Clone(w.from.Form.Yours)
	if s.Form.Yours == nil {
		s.Form.Yours = make(map[string]string)
	}
	if slices.Contains(in, true) {
		for _, c := range w.idle {
			c.apply(&s.Form, w.to.Form)
		}
	}
	for i, c := range w.changes {
		if in[i] {
			c.apply(&s.Form, w.to.Form)
		}
	}
	o, err := s.Outcome()
	if err != nil {
		o = nothing()
	}
	w.mutex.Lock()
	w.known[key] = o
	w.mutex.Unlock()
	return o
}

// split gives every change its part of every metric.
func (w *whyWalk) split(out *Reasons) {
	n := len(w.changes)
	set := func(bits uint) []bool {
		in := make([]bool, n)
		for i := range in {
			in[i] = bits>>i&1 == 1
		}
		return in
	}
	if out.Exact { // on all processors; the split then only looks up
		each(1<<n, func(i int) { w.outcome(set(uint(i))) })
	}
	for m := range MetricCount {
		var parts, doubt []float64
		if out.Exact {
			parts, out.Whole = Shapley(n, func(bits uint) float64 { return w.outcome(set(bits))[m] })
			doubt = make([]float64, n)
		} else {
			parts, doubt, out.Whole = SampledShapley(n, whyOrders, 1, func(in []bool) float64 { return w.outcome(in)[m] })
		}
		for i := range out.Parts {
			out.Parts[i].Brings[m], out.Parts[i].Doubt[m] = parts[i], doubt[i]
		}
	}
}

// partOf says what a change is.
func partOf(c formChange, a, b stove.Form, from, to *stove.Stove) Part {
	p := Part{Key: c.key, Before: from.Value(c.key), After: to.Value(c.key), Words: [2]string{c.words(a), c.words(b)}}
	switch {
	case from.Dimension(c.key) != nil && to.Dimension(c.key) != nil:
		p.because = message.T("explore.change-dimension", "name", message.T("stove.dim."+c.key), "before", p.Before, "after", p.After)
	case from.Dimension(c.key) != nil || to.Dimension(c.key) != nil:
		p.because = message.T("explore.change-of", "name", message.T("stove.dim."+c.key))
	default:
		p.because = message.T("explore.change-of", "name", message.T("explore.field."+c.key))
	}
	return p
}

// Says tells the reasons for one metric in sentences, the strongest first.
func (r Reasons) Says(m Metric) []message.Text {
	if len(r.Parts) == 0 {
		return []message.Text{message.T("explore.why-same")}
	}
	list := []message.Text{message.T("explore.why", "metric", m.Name(), "before", m.Value(r.Before[m]), "after", m.Value(r.After[m]))}
	if r.Whole == 0 {
		return append(list, message.T("explore.why-no-way"))
	}
	parts := slices.Clone(r.Parts)
	sort.SliceStable(parts, func(i, j int) bool { return math.Abs(parts[i].Brings[m]) > math.Abs(parts[j].Brings[m]) })
	for _, p := range parts {
		if m.Shows(p.Brings[m]) {
			list = append(list, message.T("explore.why-part", "change", p.Name(), "brings", m.Changes(p.Brings[m])))
		}
	}
	if r.Whole < 1 {
		list = append(list, message.T("explore.why-some", "share", quantity.Pct(r.Whole)))
	}
	return list
}
