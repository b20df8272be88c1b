package bench

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
	Clock    = form.Clock    // a time of day, 10:02 or 10:02:15
	Whole    = form.Whole    // a whole number
)

// paper gives the fields of a form their captions.
func paper(fields form.Fields) form.Fields { return fields.Named("bench.field.", "bench.help.") }

// reader reads a form of measured values.
type reader struct {
	form.Reader
	running bool // the test is still running: what is not written is not a number
}

func newReader(fields form.Fields) *reader {
	return &reader{Reader: form.Reader{Fields: fields, Missing: message.T("bench.required")}}
}

func (r *reader) quantity(path, text string) Given { return r.given(r.Number(path, text)) }

// clock reads a time of day in seconds after midnight.
func (r *reader) clock(path, text string) Given { return r.given(r.Clock(path, text)) }

func (r *reader) given(si float64, known bool) Given {
	if !known {
		return Given{SI: r.blank()}
	}
	return Known(si)
}

// blank is the value of what is not written: while a test is running a check
// that needs it must not ring.
func (r *reader) blank() float64 {
	if r.running {
		return math.NaN()
	}
	return 0
}

// clip shortens what is shown in a complaint.
func clip(s string) string { return form.Clip(s) }
