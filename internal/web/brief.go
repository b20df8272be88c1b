package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// briefPage is the paper form on the screen, in its order, and beside it what
// the stove becomes.
type briefPage struct {
	frame
	Groups []group
	Strip  strip
}

// IsExample reports whether the brief still goes by the name and note of an
// invented example.
func (p briefPage) IsExample() bool {
	for _, e := range exampleBriefs() {
		if e.Name == p.Design.Form.Name && e.Note == p.Design.Form.Note {
			return true
		}
	}
	return false
}

// group is a part of the form: fields, or a list of items of fields.
type group struct {
	Key    string // message "web.group.<key>"
	Fields []field
	List   string // path of the list, "" for plain fields
	Items  []item
	Full   bool // no more items fit
}

// item is one of a list: a pot, a can, a sheet.
type item struct {
	Path   string // "more_pots[2]"
	Number int
	Fields []field
}

// field is one line of the form with what stands in it.
type field struct {
	Path    string
	Rule    stove.Field
	Text    string // as typed
	Echo    string // how it was understood, where that looks different
	Default message.Text
	Options []option
	Large   bool
	Error   *message.InputError
	Needed  bool // required and still empty: asked for, not complained about
}

// Label and Hint are the words of a field; items share those of their kind.
func (f field) Label() string { return "web.field." + f.Rule.Path }
func (f field) Hint() string  { return "web.hint." + f.Rule.Path }

// IsWord reports whether the field is chosen from a list.
func (f field) IsWord() bool { return f.Rule.Kind == stove.Word }

// IsText reports whether anything may stand in the field.
func (f field) IsText() bool { return f.Rule.Kind == stove.FreeText }

// UnitSymbol is the unit of a bare number.
func (f field) UnitSymbol() string {
	if f.Rule.Kind == stove.Quantity {
		return f.Rule.Unit.Symbol
	}
	return ""
}

// TryText is what would be accepted, as it is shown.
func (f field) TryText() any {
	if f.IsWord() {
		return wordOf(f.Rule.Path, f.Error.Try)
	}
	return f.Error.Try
}

// State names the field's state for style and script.
func (f field) State() string {
	switch {
	case f.Error != nil:
		return "wrong"
	case f.Needed:
		return "needed"
	}
	return "right"
}

// option is a word that may be chosen.
type option struct {
	Word   string
	Text   message.Text // zero for a word that is not in the list
	Chosen bool
}

// groupOf says to which part of the form a field belongs.
func groupOf(f stove.Field) string {
	switch {
	case strings.HasPrefix(f.Path, "pot.") && f.Required:
		return "tape"
	case strings.HasPrefix(f.Path, "at_hand.brick."):
		return "brick"
	case strings.HasPrefix(f.Path, "at_hand.liner."):
		return "liner"
	case f.Path == "choices.paper" || f.Path == "choices.drawn" || f.Path == "choices.revision" || f.Path == "choices.planned_by":
		return "paper"
	}
	for _, list := range lists {
		if strings.HasPrefix(f.Path, list+".") {
			return list
		}
	}
	first, _, nested := strings.Cut(f.Path, ".")
	if !nested {
		return "about"
	}
	return first
}

// order is how the parts follow each other: the tape measures first, then as
// on paper.
var order = []string{"tape", "about", "pot", "more_pots", "kitchen", "fuel", "place", "at_hand.bodies",
	"at_hand.sheets", "brick", "liner", "at_hand", "limits", "choices", "paper"}

// groups builds the form for a design.
func (b *Bench) groups(d *design) []group {
	rules := map[string][]stove.Field{}
	for _, f := range stove.Fields {
		if f.Path == "yours" { // changed on the drawing
			continue
		}
		g := groupOf(f)
		rules[g] = append(rules[g], f)
		if strings.HasPrefix(f.Path, "pot.") {
			rules["more_pots"] = append(rules["more_pots"], f)
		}
	}
	var list []group
	for _, key := range order {
		g := group{Key: key}
		if v, ok := listOf(&d.Form, key); ok {
			g.List, g.Full = key, v.Len() >= maxItems
			for n := 1; n <= v.Len(); n++ {
				it := item{Path: key + "[" + strconv.Itoa(n) + "]", Number: n}
				for _, rule := range rules[key] {
					_, last, _ := strings.Cut(strings.TrimPrefix(rule.Path, "at_hand."), ".")
					it.Fields = append(it.Fields, b.field(d, it.Path+"."+last, rule))
				}
				g.Items = append(g.Items, it)
			}
		} else {
			for _, rule := range rules[key] {
				f := b.field(d, rule.Path, rule)
				f.Large = key == "tape"
				g.Fields = append(g.Fields, f)
			}
		}
		list = append(list, g)
	}
	return list
}

func (b *Bench) field(d *design, path string, rule stove.Field) field {
	f := field{Path: path, Rule: rule, Default: defaultOf(path, d)}
	f.Text, _ = readSlot(&d.Form, path)
	f.Error = d.complaint(path)
	if f.Error != nil && f.Error.Reason.ID == "stove.required" {
		f.Error, f.Needed = nil, true
	}
	if f.Error != nil {
		if own := ownNumber(f.Text, rule); own != "" && misread[f.Error.Reason.ID] {
			mended := *f.Error
			mended.Try = own
			f.Error = &mended
		}
	}
	if f.Text == "" && rule.Required && f.Error == nil {
		f.Needed = true
	}
	switch rule.Kind {
	case stove.Quantity:
		if f.Error == nil && f.Text != "" {
			f.Echo = b.echo(f.Text, rule)
		}
	case stove.Word:
		f.Options = options(rule, f.Text)
	}
	return f
}

// misread are the reasons for which a number that opens a text may be meant.
var misread = map[string]bool{"quantity.unit": true, "quantity.number": true}

// ownNumber is the number that opens a text, in the form's own unit; "" where
// that would not be accepted either.
func ownNumber(text string, rule stove.Field) string {
	number := strings.TrimSpace(text)
	if end := strings.IndexFunc(number, func(r rune) bool { return !unicode.IsNumber(r) && !strings.ContainsRune(" .,/-", r) }); end >= 0 {
		number = number[:end]
	}
	number = strings.TrimRight(number, " .,/-")
	if number == "" || rule.Kind != stove.Quantity {
		return ""
	}
	own := number + " " + rule.Unit.Symbol
	si, err := quantity.Parse(own, rule.Unit.Dimension, rule.Unit)
	if err != nil || si < rule.Unit.SI(rule.Min) || si > rule.Unit.SI(rule.Max) {
		return ""
	}
	return own
}

// echo says how a value was understood, where that is not plain to see: a bare
// number is shown with its unit, another unit or a fraction in the form's own.
func (b *Bench) echo(text string, rule stove.Field) string {
	si, err := quantity.Parse(text, rule.Unit.Dimension, rule.Unit)
	if err != nil {
		return ""
	}
	number, unit := strings.TrimRightFunc(strings.TrimSpace(text), isUnitRune), rule.Unit.Symbol
	if strings.HasSuffix(strings.TrimSpace(text), unit) && !strings.ContainsAny(number, "/½¼¾⅛ ") {
		return ""
	}
	return b.Catalogue.Value(shortly(si, rule.Unit))
}

// isUnitRune tells the unit at the end of a value from its number.
func isUnitRune(r rune) bool { return !unicode.IsDigit(r) && r != '/' }

// shortly is a value with three significant figures and no idle zeros.
func shortly(si float64, u quantity.Unit) quantity.Value {
	v := quantity.Value{SI: si, Unit: u}
	full, _ := strconv.ParseFloat(v.Number(), 64)
	for _, step := range []float64{1, 0.1, 0.01, 0.001, 0.0001} {
		v.Step = step
		if short, _ := strconv.ParseFloat(v.Number(), 64); short == full {
			return v
		}
	}
	v.Step = 0
	return v
}

func options(rule stove.Field, text string) []option {
	var list []option
	known := text == ""
	for _, word := range rule.Options {
		chosen := strings.EqualFold(word, strings.TrimSpace(text))
		known = known || chosen
		list = append(list, option{Word: word, Text: wordOf(rule.Path, word), Chosen: chosen})
	}
	if !known { // from a file: kept and complained about, not dropped
		list = append(list, option{Word: text, Chosen: true})
	}
	return list
}

// wordOf is the name of a word of the form, which lies with the package that
// knows the thing.
func wordOf(path, word string) message.Text {
	switch {
	case strings.HasSuffix(path, ".material"), path == "at_hand.fill":
		return message.T("material." + word)
	case path == "fuel.kind":
		return message.T("fuel." + word)
	case path == "choices.gap":
		return message.T("stove.gap." + word)
	}
	return message.T("stove.word." + word)
}

// showBrief shows the form.
func (b *Bench) showBrief(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	b.opened(r.Context(), d.ID)
	b.answer(w, r, "brief", b.briefPage(d))
	return nil
}

func (b *Bench) briefPage(d *design) briefPage {
	return briefPage{frame: b.frameOf(d, "brief"), Groups: b.groups(d), Strip: b.strip(d)}
}

// writeBrief takes the whole form, with or without a button that adds, removes
// or fills in something. What was typed is kept whatever it says; the page then
// complains.
func (b *Bench) writeBrief(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	b.changing.Lock()
	defer b.changing.Unlock()
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	body := d.Form.AtHand.Brick.Body
	place, err := d.take(r.PostForm)
	if err != nil {
		return err
	}
	b.takeBody(r.Context(), &d.Form, body)
	if err := b.keep(r.Context(), d); err != nil {
		return err
	}
	d.size()
	b.done(w, r, "brief", b.briefPage(d), "/stove/"+d.ID+"/brief"+place)
	return nil
}

// take writes what the page sent into the form. It returns the place on the
// page to go back to.
func (d *design) take(sent url.Values) (place string, err error) {
	for path, texts := range sent {
		if _, isField := stove.FieldOf(path); isField {
			writeSlot(&d.Form, path, tidy(texts[0]))
		}
	}
	verb, what, _ := strings.Cut(sent.Get("do"), ":")
	ok := true
	switch verb {
	case "":
	case "add":
		ok = addItem(&d.Form, what)
		place = "#add-" + what
	case "remove":
		list, n := itemPath.FindStringSubmatch(what), 0
		if ok = list != nil; ok {
			n, _ = strconv.Atoi(list[2])
			ok = removeItem(&d.Form, list[1], n)
			place = "#add-" + list[1]
		}
	case "try":
		path, text, _ := strings.Cut(what, "=")
		ok = writeSlot(&d.Form, path, tidy(text))
		place = "#" + path
	default:
		ok = false
	}
	if !ok {
		return "", missing()
	}
	return place, nil
}

// writeKey takes the fields that the script sends while somebody types, and
// answers with the complaints and the strip.
func (b *Bench) writeKey(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	b.changing.Lock()
	defer b.changing.Unlock()
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	body := d.Form.AtHand.Brick.Body
	if _, err := d.take(r.PostForm); err != nil {
		return err
	}
	b.takeBody(r.Context(), &d.Form, body)
	if err := b.keep(r.Context(), d); err != nil {
		return err
	}
	d.size()
	b.render(w, http.StatusOK, "brief", "keyed", b.briefPage(d))
	return nil
}
