package explore

import (
	"math"
	"slices"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

// Moved is the step of a local sensitivity as it is shown: a length in
// millimetres, anything else in percent of what is in use.
func (l Local) Moved() quantity.Value {
	if l.Input.Unit().Dimension != quantity.Length && l.At != 0 {
		return quantity.Pct(l.Step / l.At)
	}
	return quantity.Value{SI: l.Step, Unit: l.Input.Unit(), Step: 1}
}

// Shows reports whether a change of the metric is so large that it shows as the
// metric is written; one that does not exist does.
func (m Metric) Shows(change float64) bool {
	v := m.Change(change)
	return !(math.Abs(v.Unit.Number(v.SI)) < v.Step/2)
}

// Shows reports whether a step changes a metric by so much that it shows, or cannot
// be taken at all.
func (l Local) Shows(m Metric) bool { return m.Shows(l.PerStep[m]) }

// Settled reports whether the draws have settled, so that what was learnt can be
// relied on.
func (l Learnt) Settled() bool { return l.RHat <= goodRHat && l.ESS >= goodESS }

// Words are a step in words: one of [Steps] by the dimension it sets, any other by
// the name it was given.
func (s Step) Words() message.Text {
	id, value, ok := strings.Cut(s.Name, ": ")
	if ok && slices.Contains(ChosenKeys, id) {
		return message.T("explore.step", "dimension", message.T("stove.dim."+id), "value", value)
	}
	return message.T("explore.step-own", "name", s.Name)
}

// Bits is the information of a promise in bits.
func (p Promise) Bits() float64 { return p.Information / math.Ln2 }

// Sizes is what one error of making does at every size that was looked at, the
// smallest first and that of the practice among them.
type Sizes struct {
	Error Input
	Rows  []ToleranceRow
}

// Sizes are the errors of which every size is done, with the pot that the stove
// was made for.
func (t *Tolerance) Sizes() []Sizes {
	if t.Open() != nil {
		return nil
	}
	var list []Sizes
	for _, in := range t.inputs {
		s := Sizes{Error: in}
		for _, f := range []float64{0, 0.5, 1, 2} {
			key := in.Key
			if f == 1 {
				key = ""
			}
			if r, ok := t.Row(key, f, t.designPot()); ok {
				s.Rows = append(s.Rows, r)
			}
		}
		if strings.HasPrefix(in.Key, "make.") && len(s.Rows) == 4 {
			list = append(list, s)
		}
	}
	return list
}

// PotNames names the pots of the kitchen, and says which of them the stove was
// made for.
func (t *Tolerance) PotNames() (names []message.Text, made int) {
	if t.Open() != nil {
		return nil, 0
	}
	for _, p := range t.pots {
		names = append(names, potText(p.pot.Name))
	}
	return names, t.designPot()
}

// PotNames names the pots of all kitchens in their order.
func (f *Fleet) PotNames() []message.Text {
	if f.Open() != nil {
		return nil
	}
	var names []message.Text
	for _, p := range f.pots {
		names = append(names, potText(p.pot.Name))
	}
	return names
}

// Apart is the set in which each pot has the stove that boils it with the least
// wood, whatever the others need; ok is false where a pot has none, or the study
// is not done.
func (f *Fleet) Apart() (set Set, ok bool) {
	if f.Open() != nil || len(f.Rows) == 0 {
		return Set{}, false
	}
	all := make([]int, len(f.Rows))
	for i := range all {
		all[i] = i
	}
	for p := range f.pots {
		at, wood := f.server(all, p)
		set.Forms, set.MadeFor = append(set.Forms, f.candidates[at].form), append(set.MadeFor, f.candidates[at].made)
		set.Of, set.ByPot = append(set.Of, p), append(set.ByPot, wood)
	}
	set.Wood = f.cost(all)
	return set, set.Wood > 0
}

func potText(name string) message.Text {
	if name == "" {
		return message.T("explore.the-pot")
	}
	return message.T("explore.pot-name", "name", name)
}

// Shown is a measured value as it is written.
func (s Seen) Shown() quantity.Value { return s.Quantity.Value(s.Value) }

// Value is a value of the quantity as it is shown.
func (q Quantity) Value(si float64) quantity.Value {
	switch q {
	case ColdTime, HotTime:
		return BoilTime.Value(si)
	case ColdSteam, HotSteam:
		return Wood.Value(si)
	}
	return AirRatio.Value(si)
}
