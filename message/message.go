// Package message holds everything the program says to its user, keyed by id,
// so that a sentence can be translated, corrected or tested in one place.
//
// Packages of the trade never build sentences: they return a [Text], an id with
// the values that belong in it. The faces and the pages turn a Text into words
// with a [Catalogue]. The English catalogue is the reference; it lives in
// en/*.json, a file or several per package, each id prefixed by its package's name
// ("stove.chamber.width").
//
// A template is plain text with {name} where a value goes; "{{" stands for a
// brace. An entry may be an object with the plural forms of its language
// ({"one": "…", "other": "…"}), chosen by the value named "n".
package message

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"stovewright/quantity"
)

// Args are the values that go into a template: strings (names and words of the
// user's own, never sentences), integers, [quantity.Value] and nested [Text].
type Args map[string]any

// Text is something to be said: an id of the catalogue and the values in it.
type Text struct {
	ID   string `json:"id"`
	Args Args   `json:"args,omitempty"`
}

// T makes a Text from an id and alternating names and values.
func T(id string, namesAndValues ...any) Text {
	t := Text{ID: id}
	if len(namesAndValues) > 0 {
		t.Args = make(Args, len(namesAndValues)/2)
	}
	for i := 0; i+1 < len(namesAndValues); i += 2 {
		t.Args[namesAndValues[i].(string)] = namesAndValues[i+1]
	}
	return t
}

// IsZero reports whether there is nothing to say.
func (t Text) IsZero() bool { return t.ID == "" }

// entry is one message with its plural forms; a message without plurals has
// only "other".
type entry map[string]string

// UnmarshalJSON accepts a string or an object of plural forms.
func (e *entry) UnmarshalJSON(data []byte) error {
	var s string
	if json.Unmarshal(data, &s) == nil {
		*e = entry{"other": s}
		return nil
	}
	var forms map[string]string
	if err := json.Unmarshal(data, &forms); err != nil {
		return err
	}
	if forms["other"] == "" {
		return fmt.Errorf("message: an entry with plural forms needs the form \"other\"")
	}
	*e = forms
	return nil
}

// Catalogue turns texts into the words of one language.
type Catalogue struct {
	tag     language.Tag
	decimal rune
	entries map[string]entry
	wrap    func(string) string // for the pseudo-language
}

//go:embed en/*.json
var english embed.FS

var englishCatalogue = must(Load(english, "en", language.English, '.'))

// English is the reference catalogue.
func English() *Catalogue { return englishCatalogue }

func must(c *Catalogue, err error) *Catalogue {
	if err != nil {
		panic(err) // the embedded files are part of the program and tested
	}
	return c
}

// Load reads a catalogue from the *.json files of a folder. Ids must carry
// their file's name as prefix, up to its first hyphen ("web-fire.json" holds
// ids of "web."), and no two files may define one id.
func Load(files fs.FS, dir string, tag language.Tag, decimal rune) (*Catalogue, error) {
	names, err := fs.Glob(files, path.Join(dir, "*.json"))
	if err != nil {
		return nil, err
	}
	c := &Catalogue{tag: tag, decimal: decimal, entries: make(map[string]entry)}
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var part map[string]entry
		if err := json.Unmarshal(data, &part); err != nil {
			return nil, fmt.Errorf("message: %s: %w", name, err)
		}
		prefix, _, _ := strings.Cut(strings.TrimSuffix(path.Base(name), ".json"), "-")
		prefix += "."
		for id, e := range part {
			if !strings.HasPrefix(id, prefix) {
				return nil, fmt.Errorf("message: %s: id %q must begin with %q", name, id, prefix)
			}
			if _, twice := c.entries[id]; twice {
				return nil, fmt.Errorf("message: %s: id %q is in another file too", name, id)
			}
			c.entries[id] = e
		}
	}
	return c, nil
}

// Pseudo is the English catalogue with every letter accented and every message
// in brackets. A page rendered with it shows at a glance which words are
// hard-coded: they are the ones outside brackets.
func Pseudo() *Catalogue {
	c := *englishCatalogue
	c.wrap = func(s string) string { return "‹" + strings.Map(accent, s) + "›" }
	return &c
}

func accent(r rune) rune {
	const plain, accented = "aceinosuyACEINOSUY", "àçéíñóšúýÀÇÉÍÑÓŠÚÝ"
	if i := strings.IndexRune(plain, r); i >= 0 {
		return []rune(accented)[i]
	}
	return r
}

// Language is the tag for the lang attribute of a page.
func (c *Catalogue) Language() string { return c.tag.String() }

// Has reports whether the catalogue knows an id.
func (c *Catalogue) Has(id string) bool { _, ok := c.entries[id]; return ok }

// IDs lists every id, sorted.
func (c *Catalogue) IDs() []string {
	ids := make([]string, 0, len(c.entries))
	for id := range c.entries {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}

// Say turns a text into words. An unknown id is shown in guillemets rather
// than hidden, so that it is seen and mended; a test walks the source for ids
// that the catalogue lacks.
func (c *Catalogue) Say(t Text) string {
	if t.IsZero() {
		return ""
	}
	e, ok := c.entries[t.ID]
	if !ok {
		return "«" + t.ID + "»"
	}
	s := c.fill(e.form(c.tag, t.Args["n"]), t.Args)
	return s
}

// S says an id with alternating names and values; the short form for pages.
func (c *Catalogue) S(id string, namesAndValues ...any) string {
	return c.Say(T(id, namesAndValues...))
}

// Decimal is the decimal mark of the language.
func (c *Catalogue) Decimal() rune { return c.decimal }

// Number prints a quantity in this language without its unit. What is below zero bears
// the minus sign of print (U+2212), as everything that the catalogue prints: files for
// machines are written by package quantity, with the hyphen of ASCII. Both are read.
func (c *Catalogue) Number(v quantity.Value) string {
	return minus(strings.Replace(v.Number(), ".", string(c.decimal), 1))
}

// Value prints a quantity in this language.
func (c *Catalogue) Value(v quantity.Value) string { return minus(v.Format(c.decimal)) }

// Signed prints a change with its sign, also that of a rise; a change that is zero as
// it is written has none.
func (c *Catalogue) Signed(v quantity.Value) string {
	if v.Unit.Number(v.SI) > 0 && strings.ContainsAny(v.Number(), "123456789") {
		return "+" + c.Value(v)
	}
	return c.Value(v)
}

func minus(number string) string {
	if digits, below := strings.CutPrefix(number, "-"); below {
		return "−" + digits
	}
	return number
}

// form picks the plural form for a count; a missing form falls back to other.
func (e entry) form(tag language.Tag, n any) string {
	count, ok := n.(int)
	if !ok || len(e) == 1 {
		return e["other"]
	}
	names := map[plural.Form]string{plural.Zero: "zero", plural.One: "one", plural.Two: "two",
		plural.Few: "few", plural.Many: "many", plural.Other: "other"}
	digits := []byte(strconv.Itoa(max(count, -count)))
	for i := range digits {
		digits[i] -= '0'
	}
	form := names[plural.Cardinal.MatchDigits(tag, digits, len(digits), 0)]
	if s, ok := e[form]; ok {
		return s
	}
	return e["other"]
}

// fill puts the values into a template. The words of the template are wrapped
// in the pseudo-language; the user's own values are not.
func (c *Catalogue) fill(template string, args Args) string {
	var b strings.Builder
	literal := func(s string) {
		if c.wrap != nil && strings.IndexFunc(s, unicode.IsLetter) >= 0 {
			s = c.wrap(s)
		}
		b.WriteString(s)
	}
	for {
		open := strings.IndexByte(template, '{')
		if open < 0 {
			literal(template)
			return b.String()
		}
		if strings.HasPrefix(template[open:], "{{") {
			literal(template[:open] + "{")
			template = template[open+2:]
			continue
		}
		end := strings.IndexByte(template[open:], '}')
		if end < 0 {
			literal(template)
			return b.String()
		}
		literal(template[:open])
		b.WriteString(c.show(args[template[open+1:open+end]], template[open+1:open+end]))
		template = template[open+end+1:]
	}
}

func (c *Catalogue) show(v any, name string) string {
	switch v := v.(type) {
	case nil:
		return "{" + name + "}"
	case string:
		return v
	case int:
		return minus(strconv.Itoa(v))
	case quantity.Value:
		return c.Value(v)
	case Text:
		return c.Say(v)
	case []Text:
		words := make([]string, len(v))
		for i, t := range v {
			words[i] = c.Say(t)
		}
		return strings.Join(words, ", ")
	}
	return fmt.Sprint(v)
}
