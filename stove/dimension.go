package stove

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// Origin says where a number comes from.
type Origin string

// The origins, as they are shown.
const (
	Measured Origin = "measured" // from the tape
	Rule     Origin = "rule"     // computed by a rule of the trade
	Yours    Origin = "yours"    // set by the user
	Default  Origin = "default"  // assumed until somebody says better
)

// Dimension is one number of the stove with everything that is known about it.
type Dimension struct {
	ID       string         // stable name, "skirt.gap"; its words are message "stove.dim.<id>"
	Value    quantity.Value // SI, with the unit and rounding it is shown in
	Origin   Origin
	Because  message.Text // the reason, in a sentence
	ByRule   float64      // SI; what the rule gives, also where Origin is Yours
	Editable bool         // may be overridden
	Driver   string       // for a follower that may be overridden: the choice that then moves
	Low      float64      // SI; allowed for an override of a choice, see [Stove.Range]
	High     float64      // SI
	Spread   float64      // SI; plus-or-minus of making and measuring, 0 where not carried
}

// Name is the message id of the dimension's name.
func (d *Dimension) Name() message.Text { return message.T("stove.dim." + d.ID) }

// sizer fills in a stove, dimension by dimension. Each dimension may be
// overridden by the brief; what is computed after it uses the value that holds.
type sizer struct {
	b          Brief
	s          *Stove
	complaints message.InputErrors
}

// choose sets a dimension that the user may override. Value is what the rule
// gives; low and high bound an override, in SI.
func (z *sizer) choose(id string, origin Origin, value quantity.Value, low, high float64, because message.Text) float64 {
	d := &Dimension{ID: id, Value: value, Origin: origin, Because: because, ByRule: value.SI, Editable: true, Low: low, High: high}
	if text, ok := z.b.Yours[id]; ok {
		if si, ok := z.override(d, text); ok {
			d.Value.SI, d.Origin = si, Yours
			d.Because = message.T("stove.why.yours", "rule", value, "because", because)
		}
	}
	if si, ok := z.b.solved[id]; ok {
		d.Value.SI = si
	}
	z.s.add(d)
	return d.Value.SI
}

// override reads the user's value for a dimension.
func (z *sizer) override(d *Dimension, text string) (float64, bool) {
	complain := func(reason message.Text) (float64, bool) {
		low, high := d.Value, d.Value
		low.SI, high.SI = d.Low, d.High
		z.complaints = append(z.complaints, &message.InputError{Field: "yours." + d.ID, Value: text, Reason: reason,
			Allowed: message.T("form.allowed-range", "low", low, "high", high), Try: d.Value.String()})
		return 0, false
	}
	si, err := quantity.Parse(text, d.Value.Unit.Dimension, d.Value.Unit)
	if err != nil {
		return complain(form.Unread(err))
	}
	if d.Value.Unit == quantity.One && d.Value.Step == 1 && math.Abs(si-math.Round(si)) > 1e-9 {
		return complain(message.T("form.whole-number"))
	}
	slack := 1e-9 * math.Abs(d.High-d.Low)
	if si < d.Low-slack || si > d.High+slack {
		return complain(message.T("form.out-of-range"))
	}
	return si, true
}

// follow sets a dimension that follows from others. Where it has a driver the
// user may set it all the same.
func (z *sizer) follow(id string, origin Origin, value quantity.Value, because message.Text) float64 {
	z.s.add(&Dimension{ID: id, Value: value, Origin: origin, Because: because, ByRule: value.SI, Editable: drivers[id] != "", Driver: drivers[id]})
	return value.SI
}

// results are what comes out of the sizing at its end; they cannot be set.
var results = []string{"stove.mass", "stove.tilt", "fill.hottest", "body.skin"}

// refuseUnknownOverrides complains about overrides of dimensions that do not
// exist or that follow from others.
func (z *sizer) refuseUnknownOverrides() {
	ids := make([]string, 0, len(z.b.Yours))
	for id := range z.b.Yours {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	for _, id := range ids {
		d := z.s.byID[id]
		switch {
		case slices.Contains(results, id):
			z.complaints = append(z.complaints, &message.InputError{Field: "yours." + id, Value: z.b.Yours[id],
				Reason: message.T("stove.is-result", "name", message.T("stove.dim."+id))})
		case d == nil:
			e := &message.InputError{Field: "yours." + id, Value: z.b.Yours[id], Reason: message.T("stove.unknown-dimension")}
			if near := message.Nearest(id, z.s.editableIDs()); near != "" {
				e.Try = fmt.Sprintf("%s: %s", near, z.s.byID[near].Value)
			}
			z.complaints = append(z.complaints, e)
		case !d.Editable:
			z.complaints = append(z.complaints, &message.InputError{Field: "yours." + id, Value: z.b.Yours[id],
				Reason: message.T("stove.dimension-follows", "because", d.Because)})
		}
	}
}

func (s *Stove) add(d *Dimension) {
	s.Dimensions = append(s.Dimensions, d)
	s.byID[d.ID] = d
}

func (s *Stove) editableIDs() []string {
	var ids []string
	for _, d := range s.Dimensions {
		if d.Editable {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

// Dimension finds a dimension by id; nil when there is none.
func (s *Stove) Dimension(id string) *Dimension { return s.byID[id] }

// Value is the value of a dimension as it is shown; the zero Value for an
// unknown id.
func (s *Stove) Value(id string) quantity.Value {
	if d := s.byID[id]; d != nil {
		return d.Value
	}
	return quantity.Value{}
}

// Change is a dimension that differs between two stoves.
type Change struct {
	ID            string
	Before, After quantity.Value
}

// Compare lists the dimensions that are shown differently in two stoves, in
// the order of the sizing: what followed a change.
func Compare(before, after *Stove) []Change {
	var list []Change
	for _, d := range after.Dimensions {
		old := before.byID[d.ID]
		if old != nil && old.Value.String() != d.Value.String() {
			list = append(list, Change{d.ID, old.Value, d.Value})
		}
	}
	return list
}
