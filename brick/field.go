package brick

import (
	"math"

	"stovewright/internal/form"
	"stovewright/message"
)

// Field is one entry of a form: paper, page and file in one. Path names it in
// the file; list indices are left out.
type Field = form.Field

// FieldKind tells how a field of a form is read.
type FieldKind = form.Kind

// The kinds of fields.
const (
	FreeText = form.FreeText
	Quantity = form.Quantity // a number with a unit
	Word     = form.Word     // one of Options
	Whole    = form.Whole    // a whole number
	Amount   = form.Amount   // a mass, or tins of the material: "900 g", "2 1/2 tins"
	Edges    = form.Edges    // three lengths: "220 x 110 x 60 mm"
	Moment   = form.Moment   // hours since the start, or a clock time: "1.5 h", "14:30"
)

// paper gives the fields of a form their captions.
func paper(fields ...Field) form.Fields {
	return form.Fields(fields).Named("brick.field.", "brick.help.")
}

// reader reads a form into values that are NaN where nothing usable is written.
type reader struct{ form.Reader }

func newReader(fields form.Fields) *reader {
	return &reader{form.Reader{Fields: fields, Missing: message.T("brick.form.missing")}}
}

func (r *reader) number(path, text string) float64 { return orNaN(r.Number(path, text)) }

func (r *reader) amount(path, text string, tin float64) float64 {
	return orNaN(r.Amount(path, text, tin))
}

func (r *reader) moment(t *form.Timeline, path, text string) float64 {
	return orNaN(r.Moment(t, path, text))
}

// edges reads the edges of a brick, each with the uncertainty of the calliper.
func (r *reader) edges(path, text string, u float64) (e [3]Reading) {
	lengths, ok := r.Edges(path, text)
	for i, l := range lengths {
		if ok {
			e[i] = Reading{Value: l, U: u}
		}
	}
	return e
}

func orNaN(v float64, ok bool) float64 {
	if !ok {
		return math.NaN()
	}
	return v
}

// or is a value, or a default where none was given.
func or(v, fallback float64) float64 {
	if math.IsNaN(v) {
		return fallback
	}
	return v
}
