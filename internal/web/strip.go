package web

import (
	"html/template"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// strip is what the stove becomes, in a few numbers, beside the form.
type strip struct {
	ID       string
	Drawing  template.HTML
	Numbers  []stripNumber
	Line     []lineNumber // the shortest account, for a telephone
	Warnings int
	Cautions int
	Lacking  []repair // what stands in the way of a stove
	Needed   int      // required fields that are still empty
}

type stripNumber struct {
	Name   message.Text
	Value  quantity.Value
	Spread quantity.Value
	Origin stove.Origin
}

// lineNumber is a number with a word of one or two syllables.
type lineNumber struct {
	Word  string // message id
	Value quantity.Value
}

// stripDimensions are the numbers that tell a stove from another at a glance.
var stripDimensions = []string{"pot.diameter", "chamber.width", "chamber.height", "skirt.gap", "rest.height",
	"body.inner", "stove.rim", "power.fire", "stove.mass"}

func (b *Bench) strip(d *design) strip {
	st := strip{ID: d.ID}
	if d.Stove == nil {
		st.Lacking, st.Needed = repairs(b, d.Complaints)
		return st
	}
	st.Drawing = b.drawing(d.Stove, "small")
	for _, id := range stripDimensions {
		if dim := d.Stove.Dimension(id); dim != nil {
			st.Numbers = append(st.Numbers, stripNumber{dim.Name(), dim.Value, spreadOf(dim), dim.Origin})
		}
	}
	for _, id := range []string{"chamber.width", "skirt.gap", "body.inner"} {
		st.Line = append(st.Line, lineNumber{"web.line." + id, d.Stove.Value(id)})
	}
	for _, c := range d.Stove.Checks {
		switch c.Level {
		case stove.Warning:
			st.Warnings++
		case stove.Caution:
			st.Cautions++
		}
	}
	return st
}

// spreadOf is the plus-or-minus of a dimension, to be shown in its unit.
func spreadOf(d *stove.Dimension) quantity.Value {
	v := d.Value
	v.SI = d.Spread
	if v.Step > 0.1 && v.Unit == quantity.Millimetre {
		v.Step = 0.1
	}
	return v
}
