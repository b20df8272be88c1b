package bench

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"

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
	Clock              // a time of day, 10:02 or 10:02:15
	Whole              // a whole number
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
func (f Field) Name() message.Text { return message.T("bench.field." + f.Path) }

// Help says how to take the reading, where there is something to say.
func (f Field) Help() message.Text { return message.T("bench.help." + f.Path) }

func valueField(path string, u quantity.Unit, min, max float64, required bool, example string) Field {
	return Field{Path: path, Kind: Quantity, Unit: u, Min: min, Max: max, Required: required, Example: example}
}

func wordField(path string, options ...string) Field {
	return Field{Path: path, Kind: Word, Options: options, Example: options[0]}
}

func textField(path, example string) Field { return Field{Path: path, Example: example} }

// listIndex is the part of a path that tells which of a list is meant.
var listIndex = regexp.MustCompile(`\[\d+\]`)

// form is a list of fields in the order of the paper.
type form []Field

// and joins parts of a form.
func (f form) and(parts ...form) form {
	for _, p := range parts {
		f = append(f, p...)
	}
	return f
}

func (f form) find(path string) (Field, bool) {
	path = listIndex.ReplaceAllString(path, "")
	for _, field := range f {
		if field.Path == path {
			return field, true
		}
	}
	return Field{}, false
}

// words lists every key that may stand in the file.
func (f form) words() []string {
	var list []string
	for _, field := range f {
		for _, w := range strings.Split(field.Path, ".") {
			if !slices.Contains(list, w) {
				list = append(list, w)
			}
		}
	}
	return list
}

// maxFile is the longest test file that is read; a test sheet is a page.
const maxFile = 1 << 20

// decode reads a YAML file strictly into a form of texts. Unknown and repeated
// fields and broken YAML are refused with the line and the nearest known name.
func decode(data []byte, f form, into any, example string) error {
	if len(data) > maxFile {
		return &message.InputError{Field: "file", Value: fmt.Sprintf("%d bytes", len(data)), Reason: message.T("bench.file-long"), Try: example}
	}
	err := yaml.UnmarshalWithOptions(data, into, yaml.Strict())
	if err == nil {
		return nil
	}
	var unknown *yaml.UnknownFieldError
	if errors.As(err, &unknown) {
		token := unknown.GetToken()
		e := &message.InputError{Field: "line " + strconv.Itoa(token.Position.Line), Value: clip(token.Value), Reason: message.T("bench.unknown-field")}
		if near := message.Nearest(clip(token.Value), f.words()); near != "" {
			e.Try = near + ":"
		}
		return e
	}
	line, reason := "file", err.Error()
	var syntax yaml.Error
	if errors.As(err, &syntax) {
		if token := syntax.GetToken(); token != nil {
			line = "line " + strconv.Itoa(token.Position.Line)
		}
		reason = syntax.GetMessage()
	}
	return &message.InputError{Field: line, Reason: message.T("bench.yaml", "reason", clip(reason)), Try: example}
}

// reader collects every complaint about one form, so that it can be mended in
// one go.
type reader struct {
	form       form
	complaints message.InputErrors
}

func (r *reader) complain(path, value string, f Field, reason message.Text) {
	e := &message.InputError{Field: path, Value: clip(value), Reason: reason, Try: f.Example}
	switch f.Kind {
	case Quantity:
		e.Allowed = message.T("bench.allowed-range",
			"low", quantity.Value{SI: f.Unit.SI(f.Min), Unit: f.Unit}, "high", quantity.Value{SI: f.Unit.SI(f.Max), Unit: f.Unit})
	case Whole:
		e.Allowed = message.T("bench.allowed-whole", "low", int(f.Min), "high", int(f.Max))
	case Word:
		e.Allowed = message.T("bench.allowed-words", "words", strings.Join(f.Options, ", "))
		if near := message.Nearest(clip(value), f.Options); near != "" {
			e.Try = near
		}
	}
	r.complaints = append(r.complaints, e)
}

func (r *reader) field(path string) Field {
	f, ok := r.form.find(path)
	if !ok {
		panic("bench: no field " + path) // a slip of the program, found by any test that reads a form
	}
	return f
}

// quantity reads a value with its unit and holds it to its range.
func (r *reader) quantity(path, text string) Given {
	f := r.field(path)
	text = strings.TrimSpace(text)
	if text == "" {
		if f.Required {
			r.complain(path, text, f, message.T("bench.required"))
		}
		return Given{}
	}
	si, err := quantity.Parse(text, f.Unit.Dimension, f.Unit)
	var refusal *quantity.Error
	switch {
	case errors.As(err, &refusal):
		r.complain(path, text, f, message.T(refusal.Reason, "detail", refusal.Detail))
		r.complaints[len(r.complaints)-1].Try = refusal.Try
		return Given{}
	case outside(si, f):
		r.complain(path, text, f, message.T("bench.out-of-range"))
		return Given{}
	}
	return Known(si)
}

// outside leaves a hair of slack, so that a limit written in another unit is
// still allowed.
func outside(si float64, f Field) bool {
	low, high := f.Unit.SI(f.Min), f.Unit.SI(f.Max)
	slack := 1e-9 * (high - low)
	return si < low-slack || si > high+slack
}

func (r *reader) word(path, text, fallback string) string {
	f := r.field(path)
	text = strings.TrimSpace(text)
	if text == "" {
		if f.Required {
			r.complain(path, text, f, message.T("bench.required"))
		}
		return fallback
	}
	for _, o := range f.Options {
		if strings.EqualFold(o, text) {
			return o
		}
	}
	r.complain(path, text, f, message.T("bench.unknown-word"))
	return fallback
}

// clock reads a time of day in seconds after midnight.
func (r *reader) clock(path, text string) Given {
	text = strings.TrimSpace(text)
	if text == "" {
		return Given{}
	}
	parts := strings.Split(strings.ReplaceAll(text, "h", ":"), ":")
	limits := []int{24, 60, 60}
	seconds, ok := 0, len(parts) == 2 || len(parts) == 3
	for i := 0; i < 3; i++ {
		n := 0
		if i < len(parts) && ok {
			v, err := strconv.Atoi(strings.TrimSpace(parts[i]))
			ok = err == nil && v >= 0 && v < limits[i]
			n = v
		}
		seconds = seconds*60 + n
	}
	if !ok {
		r.complain(path, text, r.field(path), message.T("bench.clock"))
		return Given{}
	}
	return Known(float64(seconds))
}

func (r *reader) whole(path, text string) int {
	f := r.field(path)
	text = strings.TrimSpace(text)
	if text == "" {
		if f.Required {
			r.complain(path, text, f, message.T("bench.required"))
		}
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || float64(n) < f.Min || float64(n) > f.Max {
		r.complain(path, text, f, message.T("bench.whole-number"))
		return 0
	}
	return n
}

// rename gives the complaints from the one at hand on their place in the file:
// fields that occur several times stand once in the form.
func (r *reader) rename(from int, old, new string) {
	for _, c := range r.complaints[from:] {
		c.Field = strings.Replace(c.Field, old, new, 1)
	}
}

func clip(s string) string {
	if r := []rune(strings.ToValidUTF8(s, "�")); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}
