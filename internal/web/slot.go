package web

import (
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"stovewright/internal/form"
	"stovewright/stove"
)

// The path of a field in the file also names its input on the page, so a form is
// read back by walking its names.

// slotOf finds the field of a form at a path; ok is false when there is none,
// or when it lies in a part that the form does not have.
func slotOf(f any, path string) (v reflect.Value, ok bool) { return form.Slot(f, path, false) }

// reach finds a field of a form, which is a pointer to a struct. Where it may
// grow, missing parts and items of a list come into being on the way.
func reach(f any, path string, grow bool) (v reflect.Value, ok bool) { return form.Slot(f, path, grow) }

// wordList joins and splits the fields that hold several words.
const wordList = ", "

// read gives the text in a field, exactly as it was written.
func readSlot(f any, path string) (string, bool) {
	v, ok := slotOf(f, path)
	if !ok {
		return "", false
	}
	switch x := v.Interface().(type) {
	case string:
		return x, true
	case []string:
		return strings.Join(x, wordList), true
	}
	return "", false
}

// writeSlot puts a text into a field; false when the path names no field.
func writeSlot(f any, path, text string) bool {
	v, ok := slotOf(f, path)
	return ok && setTexts(v, text)
}

// setTexts writes a text into a field, or several into one that holds several.
func setTexts(v reflect.Value, text string) bool {
	switch v.Interface().(type) {
	case string:
		v.SetString(text)
	case []string:
		v.Set(reflect.ValueOf(splitWords(text)))
	default:
		return false
	}
	return true
}

// splitWords parts a line at its commas. Only the blank after a comma is
// dropped, so that a line that is still being typed comes back as it was.
func splitWords(text string) []string {
	if text == "" {
		return nil
	}
	words := strings.Split(text, ",")
	for i := range words[1:] {
		words[i+1] = strings.TrimPrefix(words[i+1], " ")
	}
	return words
}

// lists are the parts of a brief that may be there any number of times.
var lists = []string{"more_pots", "at_hand.bodies", "at_hand.sheets"}

// maxItems keeps a list at a length that a page can show.
const maxItems = form.MostItems

// listOf finds a list of a form.
func listOf(f *stove.Form, path string) (reflect.Value, bool) {
	for _, known := range lists {
		if path == known {
			return slotOf(f, path)
		}
	}
	return reflect.Value{}, false
}

// addItem puts an empty item at the end of a list.
func addItem(f *stove.Form, path string) bool {
	v, ok := listOf(f, path)
	return ok && appendItem(v)
}

// removeItem takes item n, counted from one, out of a list.
func removeItem(f *stove.Form, path string, n int) bool {
	v, ok := listOf(f, path)
	return ok && cutItem(v, n)
}

func appendItem(v reflect.Value) bool {
	if v.Kind() != reflect.Slice || v.Len() >= maxItems {
		return false
	}
	v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
	return true
}

func cutItem(v reflect.Value, n int) bool {
	if v.Kind() != reflect.Slice || n < 1 || n > v.Len() {
		return false
	}
	rest := reflect.Zero(v.Type()) // no list rather than an empty one, as the file has it
	rest = reflect.AppendSlice(rest, v.Slice(0, n-1))
	rest = reflect.AppendSlice(rest, v.Slice(n, v.Len()))
	v.Set(rest)
	return true
}

// numbering says which item of the page an item of the filled-in form is.
type numbering map[string][]int

// filledIn is the form without the list items in which nothing stands yet: a
// pot that has just been added must not stop the stove. The numbering leads
// complaints about the remaining items back to their places on the page.
func filledIn(f stove.Form) (stove.Form, numbering) {
	places := numbering{}
	for _, path := range lists {
		v, _ := listOf(&f, path)
		kept := reflect.Zero(v.Type())
		for i := range v.Len() {
			if !v.Index(i).IsZero() {
				kept = reflect.Append(kept, v.Index(i))
				places[path] = append(places[path], i+1)
			}
		}
		v.Set(kept)
	}
	return f, places
}

var itemPath = regexp.MustCompile(`^([a-z_.]+)\[([0-9]+)\](.*)$`)

// onPage turns the path of a complaint into that of the field on the page.
func (n numbering) onPage(path string) string {
	m := itemPath.FindStringSubmatch(path)
	if m == nil {
		return path
	}
	i, _ := strconv.Atoi(m[2])
	places := n[m[1]]
	if i < 1 || i > len(places) {
		return path
	}
	return m[1] + "[" + strconv.Itoa(places[i-1]) + "]" + m[3]
}

// tidy makes a text from a browser fit to be kept on one line: without control
// signs, which no paper form holds and which hide in what is pasted.
func tidy(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
}
