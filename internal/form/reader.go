package form

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

// Reader turns the texts of a form into values and collects every complaint, so
// that a form can be mended in one go.
type Reader struct {
	Fields     Fields
	Missing    message.Text // what to say of an empty entry that must be filled
	Complaints message.InputErrors
}

// Field gives the rules of a path. A path without rules is a slip of the
// program, found by any test that reads the form.
func (r *Reader) Field(path string) Field {
	f, ok := r.Fields.Find(path)
	if !ok {
		panic("form: no field " + path)
	}
	return f
}

// Complain says what is wrong with one entry, what may stand there and what to
// try; who knows better changes the complaint.
func (r *Reader) Complain(path, value string, reason message.Text) *message.InputError {
	f := r.Field(path)
	e := &message.InputError{Field: path, Value: Clip(value), Reason: reason, Allowed: f.Allowed(), Try: f.Example}
	if near := message.Nearest(Clip(value), f.Options); near != "" {
		e.Try = near
	}
	r.Complaints = append(r.Complaints, e)
	return e
}

// Empty reports an entry without anything written; one that must be filled is
// complained about.
func (r *Reader) Empty(path, text string) bool {
	if strings.TrimSpace(text) != "" {
		return false
	}
	if r.Field(path).Required {
		r.Complain(path, "", r.Missing)
	}
	return true
}

// Text reads free text.
func (r *Reader) Text(path, text string) string {
	r.Empty(path, text)
	return strings.TrimSpace(text)
}

// Number reads a value with its unit and holds it to its range; SI, and false
// where nothing usable is written.
func (r *Reader) Number(path, text string) (float64, bool) {
	if r.Empty(path, text) {
		return 0, false
	}
	f := r.Field(path)
	si, ok := r.parse(path, text, text, f.Unit)
	return si, ok && r.within(path, text, si)
}

// parse reads part of what is written as a value.
func (r *Reader) parse(path, written, part string, u quantity.Unit) (float64, bool) {
	si, err := quantity.Parse(part, u.Dimension, u)
	if err != nil {
		r.Complain(path, written, Unread(err))
	}
	return si, err == nil
}

// Unread says why [quantity.Parse] refused a text.
func Unread(err error) message.Text {
	var refusal *quantity.Error
	if !errors.As(err, &refusal) {
		return message.T("form.out-of-range")
	}
	return message.T(refusal.Reason, "detail", refusal.Detail)
}

func (r *Reader) within(path, text string, si float64) bool {
	if r.Field(path).holds(si) {
		return true
	}
	r.Complain(path, text, message.T("form.out-of-range"))
	return false
}

// Word reads one of the options; the fallback where nothing usable is written.
func (r *Reader) Word(path, text, fallback string) string {
	if r.Empty(path, text) {
		return fallback
	}
	written := strings.Join(strings.Fields(text), " ")
	for _, o := range r.Field(path).Options {
		if strings.EqualFold(o, written) {
			return o
		}
	}
	r.Complain(path, written, message.T("form.unknown-word"))
	return fallback
}

// Whole reads a whole number; 0 where nothing usable is written.
func (r *Reader) Whole(path, text string) int {
	if r.Empty(path, text) {
		return 0
	}
	f := r.Field(path)
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || float64(n) < f.Min || float64(n) > f.Max {
		r.Complain(path, text, message.T("form.whole-number"))
		return 0
	}
	return n
}

// timeOfDay is hours, minutes and perhaps seconds.
var timeOfDay = regexp.MustCompile(`^([01]?\d|2[0-3])\s*[:h]\s*([0-5]?\d)(?:\s*:\s*([0-5]?\d))?$`)

// SecondsOfDay reads a time of day in seconds after midnight.
func SecondsOfDay(text string) (float64, bool) {
	parts := timeOfDay.FindStringSubmatch(strings.TrimSpace(text))
	if parts == nil {
		return 0, false
	}
	seconds := 0
	for _, p := range parts[1:] {
		n, _ := strconv.Atoi(p) // digits, or nothing for no seconds
		seconds = seconds*60 + n
	}
	return float64(seconds), true
}

// Clock reads a time of day in seconds after midnight; false where nothing
// usable is written.
func (r *Reader) Clock(path, text string) (float64, bool) {
	if r.Empty(path, text) {
		return 0, false
	}
	s, ok := SecondsOfDay(text)
	if !ok {
		r.Complain(path, text, message.T("form.clock"))
	}
	return s, ok
}

// Rename gives the complaints from the one at hand on their place in the file:
// fields that occur several times stand once in the form.
func (r *Reader) Rename(from int, old, new string) {
	for _, c := range r.Complaints[from:] {
		c.Field = strings.Replace(c.Field, old, new, 1)
	}
}

// tinWord ends an amount counted in the maker's own tins.
var tinWord = regexp.MustCompile(`(?i)\s*tins?\s*$`)

// Amount reads a mass, or tins of a material whose tin was weighed (kg; 0 if it
// was not).
func (r *Reader) Amount(path, text string, tin float64) (float64, bool) {
	if !tinWord.MatchString(text) {
		return r.Number(path, text)
	}
	if !(tin > 0) {
		r.Complain(path, text, message.T("form.tin"))
		return 0, false
	}
	count, ok := r.parse(path, text, tinWord.ReplaceAllString(text, ""), quantity.One)
	return count * tin, ok && r.within(path, text, count*tin)
}

var (
	cross   = regexp.MustCompile(`\s*[x×X*]\s*`)    // parts the edges of a size
	letters = regexp.MustCompile(`[^\d.,/\s+-].*$`) // the unit behind a number
)

// Edges reads "220 x 110 x 60 mm"; the last unit stands for all that have none.
func (r *Reader) Edges(path, text string) (edges [3]float64, ok bool) {
	if r.Empty(path, text) {
		return edges, false
	}
	parts := cross.Split(strings.TrimSpace(text), -1)
	if len(parts) != 3 {
		r.Complain(path, text, message.T("form.edges"))
		return edges, false
	}
	unit := letters.FindString(parts[2])
	for i, p := range parts {
		if letters.FindString(p) == "" {
			p += " " + unit
		}
		v, ok := r.parse(path, text, p, r.Field(path).Unit)
		if !ok || !r.within(path, text, v) {
			return edges, false
		}
		edges[i] = v
	}
	return edges, true
}

// Timeline reads the times of a log, one line after the other: times since the
// start, or times of day that may pass midnight. The zero Timeline is at the
// first line.
type Timeline struct {
	begun bool
	byDay bool
	start float64 // s, of the first time of day
	last  float64 // s since the first line
}

// Moment reads the time of the next line of a log in seconds since its start;
// false where nothing usable is written.
func (r *Reader) Moment(t *Timeline, path, text string) (float64, bool) {
	if r.Empty(path, text) {
		return 0, false
	}
	s, byDay := SecondsOfDay(text)
	if t.begun && byDay != t.byDay {
		r.Complain(path, text, message.T("form.mixed-times"))
		return 0, false
	}
	const day = 24 * 3600
	switch {
	case !byDay:
		var ok bool
		if s, ok = r.Number(path, text); !ok {
			return 0, false
		}
	case !t.begun:
		t.start, s = s, 0
	default:
		s -= t.start
		s += day * max(0, math.Floor((t.last-s)/day)+1)
	}
	t.begun, t.byDay, t.last = true, byDay, s
	return s, true
}
