package web

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"stovewright/brick"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/stove"
)

// brickPart is a part of a sheet as the page shows it. Paths are those of the
// form, "trials[2].water"; for a list they are those within an item.
type brickPart struct {
	Key    string // message "web.bricks.group.<key>"
	Paths  []string
	List   string   // path of a list, "" for plain fields
	More   []string // details of an item
	Item   string   // message "web.bricks.item.<item>" names one of the list
	Folded bool     // a detail that most leave out
	Table  bool     // items stand in lines
	Fixed  bool     // items are added and taken away elsewhere
	Step   brick.Step
}

// brickGroup is a part of a sheet with what stands in it.
type brickGroup struct {
	brickPart
	Fields   []brickEntry
	Items    []brickItem
	Full     bool
	Filled   bool // something stands in it
	Cautions []message.Text
}

type brickItem struct {
	Path   string
	Number int
	Name   string // the user's own; "" where the number names it
	Fields []brickEntry
	More   []brickEntry
}

// Filled reports whether a detail of the item is filled in.
func (it brickItem) Filled() bool {
	return slices.ContainsFunc(it.More, func(e brickEntry) bool { return e.Text != "" || e.Error != nil })
}

// brickEntry is one line of a sheet with what stands in it.
type brickEntry struct {
	Path    string
	Rule    form.Field
	Own     string // the user's own name of the entry, in place of a caption
	Text    string
	Echo    string // how it was understood, where that looks different
	Default message.Text
	Options []option
	Offers  []string // names that may be picked or typed over
	Error   *message.InputError
	Needed  bool
	Large   bool
}

// IsWord, IsText and UnitSymbol tell the page how to show the entry.
func (e brickEntry) IsWord() bool { return e.Rule.Kind == form.Word || len(e.Offers) > 0 }
func (e brickEntry) IsText() bool { return e.Rule.Kind == form.FreeText && len(e.Offers) == 0 }
func (e brickEntry) UnitSymbol() string {
	switch e.Rule.Kind {
	case form.FreeText, form.Word:
		return ""
	}
	return e.Rule.Unit.Symbol
}

// Label is the caption, and Hint how the reading is taken.
func (e brickEntry) Label() message.Text { return e.Rule.Name() }
func (e brickEntry) Hint() string        { return "web.bricks.hint." + e.Rule.Path }

// State names the entry's state for style and script.
func (e brickEntry) State() string {
	switch {
	case e.Error != nil:
		return "wrong"
	case e.Needed:
		return "needed"
	}
	return "right"
}

// TryText is what would be accepted, as it is shown.
func (e brickEntry) TryText() any {
	if e.IsWord() && len(e.Offers) == 0 {
		return brickWord(e.Error.Try)
	}
	return e.Error.Try
}

// brickWord is the name of a word of a form.
func brickWord(word string) message.Text {
	return message.T("web.bricks.word." + strings.ReplaceAll(word, " ", "-"))
}

// missingReasons are complaints that only say that something is still empty.
var missingReasons = map[string]bool{"brick.form.missing": true, "brick.form.no-materials": true, "brick.kiln.short": true, "brick.kiln.positions": true}

// sheetGroups fills the parts of a sheet.
func (b *Bench) sheetGroups(s *sheet, parts []brickPart, mix brick.Mix) []brickGroup {
	var list []brickGroup
	for _, part := range parts {
		g := brickGroup{brickPart: part}
		if part.Step != "" {
			g.Cautions = brick.Cautions(part.Step, mix)
		}
		if part.List == "" {
			for _, path := range part.Paths {
				g.Fields = append(g.Fields, b.sheetEntry(s, path))
			}
		} else if v, ok := sheetList(s.Form, s.Paper, part.List); ok {
			g.Full = v.Len() >= mostItems
			for n := 1; n <= v.Len(); n++ {
				it := brickItem{Path: part.List + "[" + strconv.Itoa(n) + "]", Number: n}
				for _, path := range part.Paths {
					it.Fields = append(it.Fields, b.sheetEntry(s, it.Path+"."+path))
				}
				for _, path := range part.More {
					it.More = append(it.More, b.sheetEntry(s, it.Path+"."+path))
				}
				g.Items = append(g.Items, it)
			}
		}
		for _, e := range g.all() {
			g.Filled = g.Filled || e.Text != "" || e.Error != nil
		}
		list = append(list, g)
	}
	return list
}

// all are the entries of a group, of its items too.
func (g brickGroup) all() []brickEntry {
	list := slices.Clone(g.Fields)
	for _, it := range g.Items {
		list = append(append(list, it.Fields...), it.More...)
	}
	return list
}

func (b *Bench) sheetEntry(s *sheet, path string) brickEntry {
	rule, ok := s.Paper.fields.Find(path)
	if !ok {
		panic("web: no field " + path + " on a sheet " + string(s.Paper.Key))
	}
	e := brickEntry{Path: path, Rule: rule}
	e.Text, _ = readSlot(s.Form, path)
	e.Error = s.complaint(path)
	if e.Error != nil && missingReasons[e.Error.Reason.ID] {
		e.Error, e.Needed = nil, true
	}
	if text, ok := sheetDefaults[string(s.Paper.Key)+"."+rule.Path]; ok {
		e.Default = message.T("web.default", "value", text)
		if rule.Kind == form.Word {
			e.Default = message.T("web.default", "value", brickWord(text))
		}
	}
	if rule.Kind == form.Word {
		e.Options = sheetOptions(rule, e.Text)
	} else if e.Error == nil && e.Text != "" {
		e.Echo = b.sheetEcho(rule, e.Text)
	}
	return e
}

func sheetOptions(rule form.Field, text string) []option {
	var list []option
	known := text == ""
	for _, word := range rule.Options {
		chosen := strings.EqualFold(word, strings.Join(strings.Fields(text), " "))
		known = known || chosen
		list = append(list, option{Word: word, Text: brickWord(word), Chosen: chosen})
	}
	if !known { // from a file: kept and complained about, not dropped
		list = append(list, option{Word: text, Chosen: true})
	}
	return list
}

// offer makes an entry a choice among names, which are the user's own.
func (e brickEntry) offer(names []string) brickEntry {
	e.Offers = names
	known := e.Text == ""
	for _, n := range names {
		chosen := n == e.Text
		known = known || chosen
		e.Options = append(e.Options, option{Word: n, Chosen: chosen})
	}
	if !known {
		e.Options = append(e.Options, option{Word: e.Text, Chosen: true})
	}
	return e
}

// sheetEcho says how a value was understood, where that is not plain to see.
func (b *Bench) sheetEcho(rule form.Field, text string) string {
	switch rule.Kind {
	case form.Quantity, form.Amount:
		number, own := strings.CutSuffix(strings.TrimSpace(text), rule.Unit.Symbol)
		if own && !strings.ContainsAny(strings.TrimSpace(number), "/½¼¾⅛ ") || strings.Contains(strings.ToLower(text), "tin") {
			return "" // as it stands, or in tins, which the page of the trial knows
		}
		return b.echo(text, stove.Field{Unit: rule.Unit})
	case form.Edges:
		if strings.HasSuffix(strings.TrimSpace(text), rule.Unit.Symbol) {
			return ""
		}
		r := form.Reader{Fields: form.Fields{rule}}
		edges, ok := r.Edges(rule.Path, text)
		if !ok {
			return ""
		}
		words := make([]string, len(edges))
		for i, l := range edges {
			words[i] = b.Catalogue.Number(shortly(l, rule.Unit))
		}
		return strings.Join(words, " × ") + "\u00a0" + rule.Unit.Symbol
	}
	return ""
}

// sheetList finds a list of a form by its path, "trials[2].bricks".
func sheetList(f any, p *brickPaper, path string) (reflect.Value, bool) {
	if !slices.Contains(p.lists, indices.ReplaceAllString(path, "")) || strings.HasSuffix(path, "]") {
		return reflect.Value{}, false
	}
	v, ok := slotOf(f, path)
	return v, ok && v.Kind() == reflect.Slice
}

var indices = regexp.MustCompile(`\[\d+\]`)

func growList(v reflect.Value) { v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem()))) }

// cutList takes item n, counted from one, out of a list.
func cutList(v reflect.Value, n int) {
	rest := reflect.Zero(v.Type()) // no list rather than an empty one, as the file has it
	rest = reflect.AppendSlice(rest, v.Slice(0, n-1))
	rest = reflect.AppendSlice(rest, v.Slice(n, v.Len()))
	v.Set(rest)
}

// everyFromOne turns a path of the workshop's list of changes, whose items are
// counted from nought, into one of the form.
func everyFromOne(path string) string {
	return indices.ReplaceAllStringFunc(path, func(index string) string {
		n, _ := strconv.Atoi(strings.Trim(index, "[]"))
		return "[" + strconv.Itoa(n+1) + "]"
	})
}

// sheetDefaults are the texts that change nothing when they are typed, and say
// so in an empty entry.
var sheetDefaults = map[string]string{
	"clay.bar.ruler":           "0.5 mm",
	"series.scale":             "1 g",
	"series.calliper":          "0.5 mm",
	"series.goal.aim":          "light",
	"series.goal.min_strength": "0.6 MPa",
	"series.goal.dry_batch":    "2 kg",
	"drying.scale":             "1 g",
	"firing.soak":              "0 h",
	"firing.pore_former":       "yes",
	"mould.allowance":          "0 mm",
	"mould.tolerance":          "2 mm",
	"mould.joint":              "3 mm",
	"mould.ring.mitre":         "0.5 °",
	"batch.set_of":             "1",
	"batch.yield.mould":        "97 %",
	"batch.yield.dry":          "93 %",
	"batch.yield.fire":         "90 %",
	"batch.yield.check":        "95 %",
	"batch.confidence":         "95 %",
	"batch.spill":              "4 %",
	"batch.moulds_per_day":     "40",
	"batch.drying_days":        "10 d",
	"batch.shelf_gap":          "20 mm",
	"batch.kiln_bricks":        "120",
	"batch.wood_heat":          "16 MJ/kg",
}

// sheetPage is what the pages of all sheets share.
type sheetPage struct {
	sheetFrame
	Groups []brickGroup
}

// Entries are all entries of the page, whose messages follow each key.
func (p sheetPage) Entries() (list []brickEntry) {
	for _, g := range p.Groups {
		list = append(list, g.all()...)
	}
	return list
}

// Needed is how many entries must still be filled in.
func (p sheetPage) Needed() (n int) {
	for _, e := range p.Entries() {
		if e.Needed {
			n++
		}
	}
	return n
}

// Loose are complaints that belong to no entry of the page. A series has several
// pages, each with its own.
func (p sheetPage) Loose() (list message.InputErrors) {
	if p.Sheet.Paper == seriesPaper {
		return nil
	}
	shown := make(map[string]bool)
	for _, e := range p.Entries() {
		shown[e.Path] = true
	}
	for _, c := range p.Sheet.Complaints {
		if !shown[c.Field] && !missingReasons[c.Reason.ID] {
			list = append(list, c)
		}
	}
	return list
}

// Open reports whether a folded part stands open.
func (g brickGroup) Open() bool { return g.Filled }
