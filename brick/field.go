package brick

import (
	"errors"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// FieldKind tells how a field of a form is read.
type FieldKind uint8

// The kinds of fields.
const (
	FreeText FieldKind = iota
	Quantity           // a number with a unit
	Word               // one of Options
	Whole              // a whole number
	Amount             // a mass, or tins of the material: "900 g", "2 1/2 tins"
	Edges              // three lengths: "220 x 110 x 60 mm"
	Moment             // hours since the start, or a clock time: "1.5 h", "14:30"
)

// Field is one entry of a form: paper, page and file in one. Path names it in
// the file; list indices are left out.
type Field struct {
	Path     string
	Kind     FieldKind
	Unit     quantity.Unit // of a bare number and of Min and Max
	Min, Max float64
	Required bool
	Options  []string
	Example  string
}

// Name is the field's caption.
func (f Field) Name() message.Text { return message.T("brick.field." + f.Path) }

func quantityField(path string, u quantity.Unit, min, max float64, required bool, example string) Field {
	return Field{Path: path, Kind: Quantity, Unit: u, Min: min, Max: max, Required: required, Example: example}
}

func wordField(path string, required bool, options ...string) Field {
	return Field{Path: path, Kind: Word, Options: options, Required: required, Example: options[0]}
}

func textField(path, example string) Field { return Field{Path: path, Example: example} }

// listIndex is the part of a path that tells which of a list is meant.
var listIndex = regexp.MustCompile(`\[\d+\]`)

// fieldOf finds the rules of a path in a form.
func fieldOf(fields []Field, path string) (Field, bool) {
	path = listIndex.ReplaceAllString(path, "")
	k := slices.IndexFunc(fields, func(f Field) bool { return f.Path == path })
	if k < 0 {
		return Field{}, false
	}
	return fields[k], true
}

// decode reads a file into a form and gives every complaint that lacks one
// something to try.
func decode(data []byte, into any, fields []Field, try string) error {
	err := form.Decode(data, into)
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if c.Try != "" {
			continue
		}
		c.Try = try
		if f, ok := fieldOf(fields, c.Field); ok {
			c.Try = f.Example
		}
	}
	return err
}

// reader turns the texts of a form into values and collects the complaints.
type reader struct {
	fields []Field
	bad    message.InputErrors
}

func (r *reader) complain(path, value string, reason message.Text, f Field) {
	if len(value) > 60 {
		value = strings.ToValidUTF8(value[:60], "�") + "…"
	}
	r.bad = append(r.bad, &message.InputError{Field: path, Value: value, Reason: reason, Try: f.Example})
}

// field finds the rules of a path; a path without rules is a programmer's slip.
func (r *reader) field(path string) Field {
	f, ok := fieldOf(r.fields, path)
	if !ok {
		panic("brick: no field " + path)
	}
	return f
}

// missing complains about an empty entry that must be filled.
func (r *reader) missing(path, text string) bool {
	if strings.TrimSpace(text) != "" {
		return false
	}
	if f := r.field(path); f.Required {
		r.complain(path, "", message.T("brick.form.missing"), f)
	}
	return true
}

// number reads a quantity in SI; NaN where nothing usable is written.
func (r *reader) number(path, text string) float64 {
	if r.missing(path, text) {
		return math.NaN()
	}
	f := r.field(path)
	return r.ranged(path, text, f, r.parse(path, text, f))
}

func (r *reader) parse(path, text string, f Field) float64 {
	v, err := quantity.Parse(text, f.Unit.Dimension, f.Unit)
	var q *quantity.Error
	if errors.As(err, &q) {
		r.complain(path, text, message.T(q.Reason, "detail", q.Detail), f)
		return math.NaN()
	}
	return v
}

func (r *reader) ranged(path, text string, f Field, v float64) float64 {
	low, high := f.Unit.SI(f.Min), f.Unit.SI(f.Max)
	if v < low-1e-12*math.Abs(low) || v > high+1e-12*math.Abs(high) {
		r.complain(path, text, message.T("brick.form.range", "low", quantity.Value{SI: low, Unit: f.Unit}, "high", quantity.Value{SI: high, Unit: f.Unit}), f)
		return math.NaN()
	}
	return v
}

// word reads one of the options.
func (r *reader) word(path, text string) string {
	if r.missing(path, text) {
		return ""
	}
	f := r.field(path)
	w := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if !slices.Contains(f.Options, w) {
		if near := message.Nearest(w, f.Options); near != "" {
			f.Example = near
		}
		r.complain(path, text, message.T("brick.form.word", "options", strings.Join(f.Options, ", ")), f)
		return ""
	}
	return w
}

// whole reads a whole number; 0 where nothing usable is written.
func (r *reader) whole(path, text string) int {
	if r.missing(path, text) {
		return 0
	}
	f := r.field(path)
	v := r.ranged(path, text, f, r.parse(path, text, f))
	if v != math.Trunc(v) {
		if !math.IsNaN(v) {
			r.complain(path, text, message.T("brick.form.whole"), f)
		}
		return 0
	}
	return int(v)
}

// name reads a free text that must be there when it is required.
func (r *reader) name(path, text string) string {
	r.missing(path, text)
	return strings.TrimSpace(text)
}

// tinWord ends an amount counted in the maker's own tins.
var tinWord = regexp.MustCompile(`(?i)\s*tins?\s*$`)

// amount reads a mass (kg), or tins of a material whose tin was weighed (kg; 0
// if it was not).
func (r *reader) amount(path, text string, tin float64) float64 {
	if r.missing(path, text) {
		return math.NaN()
	}
	f := r.field(path)
	if !tinWord.MatchString(text) {
		return r.number(path, text)
	}
	if !(tin > 0) {
		r.complain(path, text, message.T("brick.form.tin"), f)
		return math.NaN()
	}
	count := r.parse(path, tinWord.ReplaceAllString(text, ""), Field{Unit: quantity.One, Example: f.Example})
	return r.ranged(path, text, f, count*tin)
}

// cross parts the edges of a size.
var cross = regexp.MustCompile(`\s*[x×X*]\s*`)

// letters finds the unit behind a number.
var letters = regexp.MustCompile(`[^\d.,/\s+-].*$`)

// edges reads "220 x 110 x 60 mm"; the last unit stands for all that have none.
func (r *reader) edges(path, text string, u float64) [3]Reading {
	var e [3]Reading
	if r.missing(path, text) {
		return e
	}
	f := r.field(path)
	parts := cross.Split(strings.TrimSpace(text), -1)
	if len(parts) != 3 {
		r.complain(path, text, message.T("brick.form.edges"), f)
		return e
	}
	unit := letters.FindString(parts[2])
	for i, p := range parts {
		if letters.FindString(p) == "" {
			p += " " + unit
		}
		v := r.ranged(path, text, f, r.parse(path, p, f))
		if math.IsNaN(v) {
			return [3]Reading{}
		}
		e[i] = Reading{Value: v, U: u}
	}
	return e
}

// clock is a time of day.
var clock = regexp.MustCompile(`^\s*([01]?\d|2[0-3])[:h.]([0-5]\d)\s*$`)

// timeline turns hours since the start, or times of day that may pass
// midnight, into seconds since the first line.
type timeline struct {
	r      *reader
	last   float64 // s
	first  bool
	offset float64 // s, of the first clock time
	byDay  bool
}

func (t *timeline) read(path, text string) float64 {
	if t.r.missing(path, text) {
		return math.NaN()
	}
	f := t.r.field(path)
	parts := clock.FindStringSubmatch(text)
	byDay := parts != nil && !strings.Contains(text, ".")
	if t.first {
		t.byDay = byDay
	} else if byDay != t.byDay {
		t.r.complain(path, text, message.T("brick.form.mixed-times"), f)
		return math.NaN()
	}
	var s float64
	if byDay {
		h, _ := strconv.Atoi(parts[1])
		m, _ := strconv.Atoi(parts[2])
		s = float64(h)*hour + float64(m)*60
		if t.first {
			t.offset = s
		}
		for s -= t.offset; s <= t.last && !t.first; {
			s += day
		}
	} else {
		s = t.r.ranged(path, text, f, t.r.parse(path, text, f))
	}
	if !math.IsNaN(s) {
		t.last, t.first = s, false
	}
	return s
}
