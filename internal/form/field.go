package form

import (
	"slices"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

// Kind tells how a field is read.
type Kind uint8

// The kinds of fields.
const (
	FreeText Kind = iota
	Quantity      // a number with a unit
	Whole         // a whole number
	Word          // one of Options
	Clock         // a time of day: "10:02", "10:02:15"
	Amount        // a mass, or tins of the material: "900 g", "2 1/2 tins"
	Edges         // three lengths: "220 x 110 x 60 mm"
	Moment        // time since the start, or a time of day: "1.5 h", "14:30"
)

// Field is one entry of a form: what may stand there on paper, on the page and
// in the file. Path names it in the file; list indices are left out.
type Field struct {
	Path     string
	Kind     Kind
	Unit     quantity.Unit // of a bare number and of Min and Max
	Min, Max float64
	Required bool
	Options  []string // allowed words
	Example  string

	captions, helps string // beginnings of the message ids, see Fields.Named
}

// Text is a field of free text.
func Text(path, example string) Field { return Field{Path: path, Example: example} }

// Number is a field of a value with its unit.
func Number(path string, u quantity.Unit, min, max float64, required bool, example string) Field {
	return Field{Path: path, Kind: Quantity, Unit: u, Min: min, Max: max, Required: required, Example: example}
}

// OneOf is a field of one of some words.
func OneOf(path string, required bool, options ...string) Field {
	return Field{Path: path, Kind: Word, Required: required, Options: options, Example: options[0]}
}

// Name is the field's caption.
func (f Field) Name() message.Text { return message.T(f.captions + f.Path) }

// Help says how to take the reading; not every field has one.
func (f Field) Help() message.Text { return message.T(f.helps + f.Path) }

// Allowed says what may stand in the field; the zero text where that is no
// range and no list.
func (f Field) Allowed() message.Text {
	switch f.Kind {
	case Quantity, Amount, Edges, Moment:
		return message.T("form.allowed-range", "low", quantity.Value{SI: f.Unit.SI(f.Min), Unit: f.Unit}, "high", quantity.Value{SI: f.Unit.SI(f.Max), Unit: f.Unit})
	case Whole:
		return message.T("form.allowed-range", "low", int(f.Min), "high", int(f.Max))
	case Word:
		return message.T("form.allowed-words", "words", strings.Join(f.Options, ", "))
	}
	return message.Text{}
}

// holds reports whether a value lies in the range, with a hair of slack, so
// that a limit written in another unit is still allowed.
func (f Field) holds(si float64) bool {
	low, high := f.Unit.SI(f.Min), f.Unit.SI(f.Max)
	slack := 1e-9 * (high - low)
	return si >= low-slack && si <= high+slack
}

// Fields is a whole form in the order of the paper.
type Fields []Field

// And joins parts of a form.
func (fs Fields) And(parts ...Fields) Fields {
	all := slices.Clone(fs)
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// Named gives the fields their captions and helps: texts of the catalogue whose
// ids begin so and end with the path.
func (fs Fields) Named(captions, helps string) Fields {
	named := slices.Clone(fs)
	for i := range named {
		named[i].captions, named[i].helps = captions, helps
	}
	return named
}

// withoutIndices is a path without what tells which of a list is meant.
func withoutIndices(path string) string {
	for {
		from := strings.IndexByte(path, '[')
		if from < 0 {
			return path
		}
		to := strings.IndexByte(path[from:], ']')
		if to < 0 {
			return path
		}
		path = path[:from] + path[from+to+1:]
	}
}

// Find gives the field of a path, with or without list indices.
func (fs Fields) Find(path string) (Field, bool) {
	path = withoutIndices(path)
	k := slices.IndexFunc(fs, func(f Field) bool { return f.Path == path })
	if k < 0 {
		return Field{}, false
	}
	return fs[k], true
}

// Decode reads a file into a form of these fields, see the function [Decode].
// Every complaint has something to try: the field's example, or for the file as
// a whole the beginning of one.
func (fs Fields) Decode(data []byte, into any, beginning string) error {
	err := Decode(data, into)
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if c.Try != "" {
			continue
		}
		if f, ok := fs.Find(c.Field); ok {
			c.Try = f.Example
		} else if c.Field == "file" {
			c.Try = beginning
		}
	}
	return err
}
