package web

import (
	"net/http"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	protocol "stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
)

// testPart says how a part of a sheet stands on the page. The fields of a form
// are listed once, whatever number of phases, pots and days they stand for:
// from is where they stand in that list, at where they are in the file.
type testPart struct {
	key   string // message "web.tests.part.<key>"
	from  string // beginning of the fields' paths, "" for fields without a dot
	at    string // path within the part around it
	list  bool   // at names a list
	parts []testPart
}

var (
	aboutPart   = testPart{key: "about", from: "about", at: "about"}
	woodPart    = testPart{key: "wood", from: "wood", at: "wood"}
	placePart   = testPart{key: "place", from: "place", at: "place"}
	boilingPart = testPart{key: "boiling_point", from: "boiling_point", at: "boiling_point"}
	potPart     = testPart{key: "pot", from: "pot", at: "pot"}

	instrumentsPart = testPart{key: "instruments", from: "instruments", at: "instruments"}
)

func phasePart(phase string) testPart {
	return testPart{key: phase, from: "phase", at: phase, parts: []testPart{{key: "pots", from: "phase.pots", at: "pots", list: true}}}
}

func levelPart(level string) testPart {
	return testPart{key: level, from: "level", at: level, parts: []testPart{{key: "heated", from: "level.pots", at: "pots", list: true}}}
}

// testParts are the sheets in the order of the paper. The safety sheet is laid
// out by its ten items.
var testParts = map[protocol.Kind][]testPart{
	protocol.KindBoiling: {aboutPart, {key: "sheet"}, woodPart, placePart, boilingPart, potPart,
		instrumentsPart, phasePart("cold"), phasePart("hot"), phasePart("simmer")},
	protocol.KindCooking: {aboutPart, {key: "meal"}, woodPart, placePart, boilingPart, potPart, instrumentsPart, {key: "foods", from: "foods", at: "foods", list: true},
		{key: "away", from: "away", at: "away", list: true}, {key: "food", from: "pots", at: "pots", list: true}},
	protocol.KindKitchen: {aboutPart, {key: "sheet"}, {key: "households", from: "households", at: "households", list: true, parts: []testPart{
		{key: "people", from: "households.people", at: "people", list: true},
		{key: "fuels", at: "fuels", from: "fuels", list: true, parts: []testPart{
			{key: "fuel", from: "wood", at: "fuel"},
			{key: "days", from: "days", at: "days", list: true},
		}},
	}}},
	protocol.KindSequence: {aboutPart, {key: "sheet"}, {key: "fuel", from: "wood", at: "fuel"}, instrumentsPart, levelPart("high"), levelPart("medium"), levelPart("low")},
	protocol.KindSafety:   {aboutPart, {key: "sheet"}},
	protocol.KindEmission: {aboutPart, {key: "sheet"}, woodPart, {key: "burnt", from: "burnt", at: "burnt"}, {key: "gas", from: "gas", at: "gas"},
		{key: "background", from: "background", at: "background"}, {key: "samples", from: "samples", at: "samples", list: true},
		{key: "filter", from: "filter", at: "filter"}, {key: "room", from: "room", at: "room"}, instrumentsPart},
}

// hiddenFields are entries that the program writes itself or that have a place
// of their own on the page.
var hiddenFields = map[string]bool{"test": true, "constants": true, "absent": true, "about.stove_record": true}

// elsewhere are entries of a phase that only another phase has.
var elsewhere = map[string]bool{"cold.lowest_temperature": true, "hot.lowest_temperature": true, "simmer.stove": true}

// testGroup is a part of a sheet with what stands in it.
type testGroup struct {
	Key    string
	Path   string
	Fields []reading
	List   bool
	More   int // items that the page does not show
	Items  []testItem
	Parts  []testGroup
	Full   bool
}

type testItem struct {
	Path   string
	Number int
	Fields []reading
	Parts  []testGroup
}

// reading is one line of a sheet with what stands in it.
type reading struct {
	Path    string
	Rule    protocol.Field
	Name    message.Text
	Text    string
	Echo    string       // how it was understood, where that looks different
	Says    message.Text // what the workshop knows of it, if anything
	Options []option
	Error   *message.InputError
	Needed  bool
	Offers  []offer // readings that are likely, to be taken with one touch
}

// offer is a reading that is already known from elsewhere.
type offer struct {
	Text string
	Why  message.Text
}

// IsWord, IsText, IsClock and UnitSymbol tell the page how to show the entry.
func (e reading) IsWord() bool  { return e.Rule.Kind == protocol.Word }
func (e reading) IsText() bool  { return e.Rule.Kind == protocol.FreeText }
func (e reading) IsClock() bool { return e.Rule.Kind == protocol.Clock }
func (e reading) UnitSymbol() string {
	if e.Rule.Kind == protocol.Quantity {
		return e.Rule.Unit.Symbol
	}
	return ""
}

// State names the entry's state for style and script.
func (e reading) State() string {
	switch {
	case e.Error != nil:
		return "wrong"
	case e.Needed:
		return "needed"
	}
	return "right"
}

// Hint is the message with how the reading is taken.
func (e reading) Hint() string { return "web.tests.hint." + e.Rule.Path }

// TryText is what would be accepted, as it is shown.
func (e reading) TryText() any {
	if e.IsWord() {
		return testWord(e.Error.Try)
	}
	return e.Error.Try
}

func testWord(word string) message.Text { return message.T("bench.word." + word) }

// testGroups lays out a sheet.
func (b *Bench) testGroups(t *test, wrong map[string]*message.InputError) []testGroup {
	l := testLayout{bench: b, test: t, wrong: wrong, fields: t.Kind.Fields()}
	return l.groups(testParts[t.Kind], "")
}

type testLayout struct {
	bench  *Bench
	test   *test
	wrong  map[string]*message.InputError
	fields []protocol.Field
}

func (l testLayout) groups(parts []testPart, around string) []testGroup {
	var list []testGroup
	for _, p := range parts {
		g := testGroup{Key: p.key, Path: joinPath(around, p.at), List: p.list}
		if !p.list {
			g.Fields, g.Parts = l.readings(p.from, g.Path), l.groups(p.parts, g.Path)
			list = append(list, g)
			continue
		}
		n := 0
		if v, ok := slotOf(l.test.Form, g.Path); ok {
			n = v.Len()
		}
		g.Full = n >= maxItems
		g.More = max(0, n-maxItems)              // a logger wrote them; they stay in the file
		for i := 1; i <= max(n-g.More, 1); i++ { // an empty line invites the first entry
			it := testItem{Path: g.Path + "[" + strconv.Itoa(i) + "]", Number: i}
			it.Fields, it.Parts = l.readings(p.from, it.Path), l.groups(p.parts, it.Path)
			g.Items = append(g.Items, it)
		}
		list = append(list, g)
	}
	return list
}

// readings are the entries of one part: the fields directly under a path.
func (l testLayout) readings(from, at string) []reading {
	var list []reading
	for _, f := range l.fields {
		name, ok := strings.CutPrefix(f.Path, from+".")
		if from == "" {
			name, ok = f.Path, true
		}
		if !ok || strings.Contains(name, ".") || hiddenFields[f.Path] || elsewhere[joinPath(at, name)] {
			continue
		}
		list = append(list, l.bench.reading(l.test, joinPath(at, name), f, l.wrong))
	}
	return list
}

func joinPath(around, name string) string {
	if around == "" || name == "" {
		return around + name
	}
	return around + "." + name
}

// reading fills one entry.
func (b *Bench) reading(t *test, path string, rule protocol.Field, wrong map[string]*message.InputError) reading {
	e := reading{Path: path, Rule: rule, Name: rule.Name(), Text: t.read(path), Error: wrong[path]}
	if e.Error != nil && isMissing(e.Error) {
		e.Error, e.Needed = nil, true
	}
	if rule.Required && e.Text == "" {
		e.Needed = true
	}
	switch {
	case rule.Kind == protocol.Quantity && e.Error == nil && e.Text != "":
		e.Echo = b.echo(e.Text, rule)
	case rule.Kind == protocol.Word:
		e.Options = testOptions(rule, e.Text)
	case path == "about.stove" && e.Text != "":
		e.Says = b.whoseStove(t)
	}
	return e
}

func testOptions(rule protocol.Field, text string) []option {
	list := options(rule, text)
	for i := range list {
		if list[i].Text.ID != "" {
			list[i].Text = testWord(list[i].Word)
		}
	}
	return list
}

var (
	itemNumber = regexp.MustCompile(`\[\d+\]`)
	lastItem   = regexp.MustCompile(`^(.+)\[(\d+)\]$`)
)

// testField gives the rules of an entry by its path in the file.
func testField(k protocol.Kind, path string) (protocol.Field, bool) {
	bare := strings.TrimPrefix(itemNumber.ReplaceAllString(path, ""), "households.fuels.") // a fuel and its days stand once in the form
	fields := form.Fields(k.Fields())
	if f, ok := fields.Find(bare); ok {
		return f, true
	}
	first, rest, _ := strings.Cut(bare, ".")
	switch first {
	case "cold", "hot", "simmer":
		return fields.Find("phase." + rest)
	case "high", "medium", "low":
		return fields.Find("level." + rest)
	case "fuel":
		return fields.Find("wood." + rest)
	}
	return protocol.Field{}, false
}

// testFormPage is the whole sheet, to be typed in later.
type testFormPage struct {
	testFrame
	Groups    []testGroup
	Safety    []safetyGroup
	Constants []constantRow
	SoFar     soFar
	Others    []*message.InputError // complaints that have no entry on the page
}

// constantRow is a constant of the protocol that may be replaced.
type constantRow struct {
	reading
	Default protocol.Step
}

// soFar is what the readings say while they are written.
type soFar struct {
	ID      string
	Missing int
	Wrong   int
	Alarms  []alarmRow
	Whole   bool // there is a result
}

func (b *Bench) showTestForm(w http.ResponseWriter, r *http.Request) error {
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	b.answer(w, r, "testform", b.testFormPage(t))
	return nil
}

func (b *Bench) testFormPage(t *test) testFormPage {
	file, err := t.compute()
	wrong := complaintsOf(err)
	p := testFormPage{testFrame: b.testFrame(t, "form"), Groups: b.testGroups(t, wrong), SoFar: b.soFar(t, file, err)}
	if s, ok := t.Form.(*protocol.SafetyForm); ok {
		p.Safety = safetyGroups(s, wrong)
	}
	if f, ok := t.Form.(*protocol.BoilingForm); ok {
		p.Constants = constantRows(t, f, wrong)
	}
	return p
}

func constantRows(t *test, f *protocol.BoilingForm, wrong map[string]*message.InputError) []constantRow {
	var list []constantRow
	for _, s := range protocol.Constants(protocol.Version(strings.TrimSpace(f.Version))) {
		path := constantsPath + s.Key
		list = append(list, constantRow{reading{Path: path, Name: s.Name, Text: t.read(path), Error: wrong[path]}, s})
	}
	return list
}

func (b *Bench) soFar(t *test, file protocol.TestFile, err error) soFar {
	s := soFar{ID: t.ID, Whole: err == nil}
	complaints, _ := message.Complaints(err)
	alarms := file.Alarms()
	for _, c := range complaints {
		if isMissing(c) {
			s.Missing++
		} else {
			s.Wrong++
		}
	}
	if p := t.paper(); p != nil && err != nil {
		_, alarms = p.SoFar()
	}
	s.Alarms = alarmRows(t, alarms)
	return s
}

// writeTestForm takes the whole sheet, with or without a button that adds or
// removes something.
func (b *Bench) writeTestForm(w http.ResponseWriter, r *http.Request) error {
	place := ""
	t, err := b.changeTest(r, func(t *test) (err error) {
		place, err = t.press(r.PostFormValue("do"))
		return err
	})
	if err != nil {
		return err
	}
	b.done(w, r, "testform", b.testFormPage(t), "/tests/"+t.ID+"/form"+place)
	return nil
}

// press does what a button of the sheet says.
func (t *test) press(do string) (place string, err error) {
	verb, what, _ := strings.Cut(do, ":")
	ok := true
	switch verb {
	case "":
	case "add":
		if ok = t.addItem(what); ok {
			place = "#add-" + what
		}
	case "remove":
		if m := lastItem.FindStringSubmatch(what); m != nil {
			n, _ := strconv.Atoi(m[2])
			v, found := slotOf(t.Form, m[1])
			ok, place = found && cutItem(v, n), "#add-"+m[1]
		} else {
			ok = false
		}
	case "try":
		path, text, _ := strings.Cut(what, "=")
		ok, place = t.write(path, tidy(text)), "#"+path
	default:
		ok = false
	}
	if !ok {
		return "", missing()
	}
	return place, nil
}

// addItem puts an empty line at the end of a list. The page shows one empty
// line of a list that has none, which then counts as the first.
func (t *test) addItem(path string) bool {
	v, ok := reach(t.Form, path, true)
	if !ok || v.Kind() != reflect.Slice || v.Type().Elem().Kind() != reflect.Struct {
		return false
	}
	return (v.Len() > 0 || appendItem(v)) && appendItem(v)
}

// changeTest reads a test, writes what a page sent into it, changes it further,
// and saves it.
func (b *Bench) changeTest(r *http.Request, change func(*test) error) (*test, error) {
	if err := r.ParseForm(); err != nil {
		return nil, err
	}
	b.changing.Lock()
	defer b.changing.Unlock()
	t, err := b.loadTest(r.Context(), r.PathValue("id"))
	if err != nil {
		return nil, err
	}
	t.take(r.PostForm)
	if change != nil {
		if err := change(t); err != nil {
			return nil, err
		}
	}
	return t, b.keepTest(r.Context(), t)
}

// writeTestKey takes the entries that the script sends while somebody types.
func (b *Bench) writeTestKey(w http.ResponseWriter, r *http.Request) error {
	t, err := b.changeTest(r, nil)
	if err != nil {
		return err
	}
	if r.URL.Query().Has("run") { // complaints wait until the reading is whole
		if err := b.keepNoted(r.Context(), t); err != nil {
			return err
		}
		b.render(w, http.StatusOK, "testrun", "keyed", b.keyedRun(t, r.PostForm))
		return nil
	}
	b.render(w, http.StatusOK, "testform", "keyed", b.testFormPage(t))
	return nil
}
