package booklet

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/drawing"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// TestForm writes the blank form of a kind of test as PDF: the fields of the
// file and of the page in their order, room for a hand with a pencil, words to
// tick, and each caution at its step. The form of the safety test is for two
// scorers; with a stove it shows where on it each reading is taken.
func TestForm(w io.Writer, kind bench.Kind, s *stove.Stove, c *message.Catalogue, paper drawing.Paper) error {
	fields := kind.Fields()
	if len(fields) == 0 {
		return fmt.Errorf("booklet: there is no test %q", kind)
	}
	b := newBook(c, paper, c.Say(kind.Words()), nil)
	b.page()
	b.font("B", 16)
	b.pdf.Text(marginSide, b.y+5, c.S("booklet.testform.title", "kind", kind.Words()))
	b.y += 9
	b.y += b.write(c.S("booklet.testform.how"), marginSide, b.y, b.width(), smallType, "I") + 2
	f := testForm{b, kind}
	if kind == bench.KindEmission || kind == bench.KindSafety {
		f.firstCautions()
	}
	switch kind {
	case bench.KindBoiling, bench.KindSequence, bench.KindCooking:
		f.run(fields)
	case bench.KindKitchen:
		f.kitchen(fields)
	case bench.KindSafety:
		f.safety(fields, s)
	case bench.KindEmission:
		f.once(fields, "samples.")
		b.need(60)
		f.heading(c.S("booklet.testform.samples"))
		f.grid(within(fields, "samples."), 0, nil)
	}
	return b.pdf.Output(w)
}

// testForm is a form in the making.
type testForm struct {
	*book
	kind bench.Kind
}

// within are the fields whose path begins so.
func within(fields []bench.Field, beginning string) []form.Field {
	var list []form.Field
	for _, f := range fields {
		if strings.HasPrefix(f.Path, beginning) {
			list = append(list, f)
		}
	}
	return list
}

// once sets the fields that stand once, part after part, each with a heading.
func (b testForm) once(fields []bench.Field, without ...string) {
	var block []form.Field
	part := ""
	flush := func() {
		if len(block) == 0 {
			return
		}
		if id := "booklet.testform.part." + part; part != "" && b.c.Has(id) {
			b.need(24 + 2*entryHeight)
			b.heading(b.c.S(id))
		}
		b.rows(block)
		block = nil
	}
	for _, f := range fields {
		if f.Path == "test" || f.Path == "about.stove_record" || slices.ContainsFunc(without, func(w string) bool { return strings.HasPrefix(f.Path, w) }) {
			continue
		}
		first, _, nested := strings.Cut(f.Path, ".")
		if !nested {
			first = ""
		}
		if first != part {
			flush()
			part = first
		}
		block = append(block, f)
	}
	flush()
}

// rows sets fields two abreast, words to tick across the page where there are
// many.
func (b testForm) rows(fields []form.Field) {
	var pair []form.Field
	flush := func() {
		if len(pair) > 0 {
			b.entries(pair)
			b.y -= 3
			pair = nil
		}
	}
	for _, f := range fields {
		if len(strings.Join(f.Options, "")) > 30 {
			flush()
			b.choices(f)
			continue
		}
		if strings.HasSuffix(f.Path, "moisture_readings") { // nine of them
			flush()
			b.need(entryHeight + 2)
			b.entry(f, marginSide, b.width())
			b.y += entryHeight
			continue
		}
		pair = append(pair, f)
	}
	flush()
	b.y += 3
}

// choices sets a long list of words to tick, wrapped to the page.
func (b testForm) choices(f form.Field) {
	b.need(2 * entryHeight)
	b.write(b.caption(f), marginSide, b.y, b.width(), smallType, "")
	x, y := marginSide, b.y+8.5
	for _, o := range f.Options {
		b.font("", bodyType)
		w := 4.4 + b.pdf.GetStringWidth(o) + 5
		if x+w > marginSide+b.width() {
			x, y = marginSide, y+6.5
		}
		b.box(x, y-3.2, 3.2)
		b.pdf.Text(x+4.4, y-0.2, o)
		x += w
	}
	b.y = y + 4
}

// firstCautions are those that every fire has.
func (b testForm) firstCautions() {
	for _, t := range bench.Guide(bench.Blank(bench.KindBoiling)) {
		if t.Caution && t.Part == "" && t.Said() {
			b.caution(b.c.Say(t.Warning()))
			return
		}
	}
}

// roomFor are the items of lists that a paper form has room for.
var roomFor = map[bench.Kind][]string{
	bench.KindBoiling:  {"cold.pots[2]", "hot.pots[2]", "simmer.pots[2]"},
	bench.KindSequence: {"high.pots[3]", "medium.pots[2]", "low.pots[2]"},
	bench.KindCooking:  {"pots[3]", "foods[6]"},
}

// run sets the steps of the guided run in their order, each with its caution and
// its entries. The head of the sheet comes first, and last what the run has no
// step for.
func (b testForm) run(fields []bench.Field) {
	sheet := bench.Blank(b.kind)
	for _, path := range roomFor[b.kind] {
		form.Slot(sheet, path, true)
	}
	asked := map[string]bool{"test": true, "constants": true, "about.stove_record": true}
	tasks := bench.Guide(sheet)
	for _, t := range tasks {
		for _, path := range append(t.Entries(), t.Spells+".from", t.Spells+".to") {
			if f, ok := ruleOf(fields, path); ok && t.Key != "setup" {
				asked[f.Path] = true
			}
		}
	}
	head := slices.DeleteFunc(slices.Clone(fields), func(f bench.Field) bool {
		return asked[f.Path] || strings.HasPrefix(f.Path, "phase.") || strings.HasPrefix(f.Path, "level.") || f.Path == "duration"
	})
	b.once(head)
	part, number := "", 0
	for _, t := range tasks {
		if t.Key == "setup" {
			continue
		}
		if t.Part != part && t.Part != "" {
			b.need(50)
			b.heading(b.c.Say(t.Place()))
		}
		part = t.Part
		if !t.Said() {
			number++
		}
		b.task(fields, sheet, t, number)
	}
	besides := slices.DeleteFunc(slices.Clone(fields), func(f bench.Field) bool {
		return asked[f.Path] || slices.ContainsFunc(head, func(h bench.Field) bool { return h.Path == f.Path })
	})
	b.need(40)
	b.heading(b.c.S("booklet.testform.besides"))
	b.y += b.write(b.c.S("booklet.testform.besides.how"), marginSide, b.y, b.width(), smallType, "I") + 2
	b.rows(besides)
}

// ruleOf finds the field of an entry: those of a part and of the fuel stand once
// in the list.
func ruleOf(fields []bench.Field, path string) (bench.Field, bool) {
	bare := indices.ReplaceAllString(path, "")
	list := form.Fields(fields)
	if f, ok := list.Find(bare); ok {
		return f, true
	}
	_, rest, _ := strings.Cut(bare, ".")
	for _, name := range []string{"phase.", "level.", "wood."} {
		if f, ok := list.Find(name + rest); ok {
			return f, true
		}
	}
	return bench.Field{}, false
}

var indices = regexp.MustCompile(`\[\d+\]`)

// task is one step: its number and words, what to mind, and a space for each
// entry, two abreast.
func (b testForm) task(fields []bench.Field, sheet bench.Paper, t bench.Task, n int) {
	words, mind := b.c.Say(t.Words()), ""
	if t.Caution {
		mind = b.c.Say(t.Warning())
	}
	if t.Said() {
		b.caution(words + ": " + mind)
		return
	}
	entries := t.Entries()
	b.need(b.height(words, b.width(), smallType, "B") + float64(min(4, len(entries)+1)/2)*entryHeight + 8)
	b.y += b.write(number(n)+"  "+words, marginSide, b.y, b.width(), smallType, "B") + 1
	if mind != "" {
		b.y += b.write(b.c.S("booklet.testform.mind", "text", mind), marginSide+4, b.y, b.width()-4, smallType, "I") + 1
	}
	half, left := b.width()/2+3, true
	next := func() {
		if !left {
			b.y += entryHeight
		}
		left = true
	}
	for _, path := range entries {
		f, ok := ruleOf(fields, path)
		if !ok || strings.HasSuffix(f.Path, "moisture_readings") && !strings.HasSuffix(path, "[1]") {
			continue // the readings of a meter have one line
		}
		caption := b.caption(f)
		if list, n, _ := strings.Cut(path, "["); form.Items(sheet, list) > 1 {
			n, _, _ = strings.Cut(n, "]")
			caption += " – " + n
		}
		switch {
		case strings.HasSuffix(f.Path, "moisture_readings"), len(strings.Join(f.Options, "")) > 30:
			next()
			b.need(entryHeight + 2)
			b.entryNamed(caption, f, marginSide, b.width())
			b.y += entryHeight
		case left:
			b.need(entryHeight + 2)
			b.entryNamed(caption, f, marginSide, b.width()/2-3)
			left = false
		default:
			b.entryNamed(caption, f, marginSide+half, b.width()/2-3)
			b.y += entryHeight
			left = true
		}
	}
	next()
	if t.Spells != "" {
		b.need(5*cellHeight + 4)
		b.grid(within(fields, t.Spells+"."), 3, nil)
	}
}

// Columns of the kitchen form: days of a visit, and fuels of a household.
const (
	formDays  = 4
	formFuels = 2
)

// kitchen sets the head once and a page for a household, to be copied.
func (b testForm) kitchen(fields []bench.Field) {
	b.once(fields, "households.", "wood.", "days.")
	b.page()
	b.heading(b.c.S("booklet.testform.household"))
	b.y += b.write(b.c.S("booklet.testform.household.how"), marginSide, b.y, b.width(), smallType, "I") + 2
	var single []form.Field
	for _, f := range within(fields, "households.") {
		if !strings.HasPrefix(f.Path, "households.people.") {
			single = append(single, f)
		}
	}
	b.rows(single)
	b.heading(b.c.S("booklet.testform.people"))
	b.days(formDays)
	b.upright(within(fields, "households.people."), formDays)
	for i := range formFuels {
		b.need(90)
		b.heading(b.c.S("booklet.testform.fuel", "n", i+1))
		b.rows(slices.DeleteFunc(within(fields, "wood."), func(f form.Field) bool {
			return f.Path == "wood.stick" || f.Path == "wood.pile" || f.Path == "wood.heating_value"
		}))
		b.days(formDays)
		b.upright(within(fields, "days."), formDays)
	}
}

// days are the heads of the columns of a table that upright sets.
func (b testForm) days(n int) {
	const name = 62.0
	w := (b.width() - name) / float64(n)
	for i := range n {
		b.write(b.c.S("booklet.testform.day", "n", i+1), marginSide+name+float64(i)*w+1, b.y, w, smallType, "B")
	}
	b.y += 5
}

// safety sets a sheet for each of two scorers, who must not see each other's,
// and one to lay them side by side.
func (b testForm) safety(fields []bench.Field, s *stove.Stove) {
	var head []bench.Field
	for _, f := range fields {
		if !strings.HasPrefix(f.Path, "readings.") {
			head = append(head, f)
		}
	}
	if s != nil {
		b.once(head)
		picture := figure.SafetyPoints(s, b.c, b.width())
		b.need(picture.Paper.Height + 3)
		b.sheet(picture, marginSide, b.y)
		b.y += picture.Paper.Height + 3
	}
	for scorer := 1; scorer <= 2; scorer++ {
		if s != nil || scorer > 1 {
			b.page()
		}
		b.heading(b.c.S("booklet.testform.scorer", "n", scorer))
		b.y += b.write(b.c.S("booklet.testform.scorer.how"), marginSide, b.y, b.width(), smallType, "I") + 2
		if s == nil && scorer == 1 {
			b.once(head)
		} else {
			b.entries(within(fields, "scorer"))
		}
		for _, item := range walkOrder() {
			b.item10(item)
		}
	}
	b.page()
	b.heading(b.c.S("booklet.testform.together"))
	b.para(b.c.S("booklet.testform.together.how"))
	b.sideBySide()
}

// walkOrder are the items of the safety sheet in the order of the walk around the
// stove: first what is done while it is cold.
func walkOrder() []bench.SafetyItem {
	place := map[string]int{}
	for i, t := range bench.Guide(bench.Blank(bench.KindSafety)) {
		for _, path := range t.Entries() {
			if rest, ok := strings.CutPrefix(path, bench.SafetyEntries); ok {
				item, _, _ := strings.Cut(rest, ".")
				place[item] = i
			}
		}
	}
	items := bench.SafetyItems()
	slices.SortStableFunc(items, func(a, b bench.SafetyItem) int { return place[a.Key] - place[b.Key] })
	return items
}

// item10 is one of the ten items: how it is read, its points with a space each,
// and the ratings to tick with what each stands for.
func (b testForm) item10(item bench.SafetyItem) {
	const space = 30.0
	help := b.c.Say(item.Help())
	ratings := b.ratings(item)
	points := item.Points
	lines := float64((len(points)+1)/2) * 8.5
	b.need(b.height(help, b.width(), smallType, "") + lines + b.height(ratings, b.width(), smallType, "") + 18)
	b.y += b.write(b.c.Say(item.Name())+" (× "+b.c.Number(quantity.Value{SI: item.Weight, Unit: quantity.One, Step: 0.5})+")", marginSide, b.y, b.width(), bodyType, "B") + 0.5
	b.y += b.write(help, marginSide, b.y, b.width(), smallType, "") + 1
	half := b.width() / 2
	for i, p := range points {
		x := marginSide + float64(i%2)*half
		y := b.y + float64(i/2)*8.5
		b.write(b.c.Say(p.Name()), x, y+2, half-space-4, smallType, "")
		b.pdf.SetLineWidth(0.2)
		b.pdf.Line(x+half-space-2, y+7, x+half-4, y+7)
	}
	b.y += lines + 1.5
	b.y += b.write(ratings, marginSide, b.y, b.width(), smallType, "") + 1
	x := marginSide
	for rating := 4; rating >= 1; rating-- {
		b.box(x, b.y, 4)
		b.font("", bodyType)
		b.pdf.Text(x+5.5, b.y+3.4, number(rating))
		x += 18
	}
	if item.Absent > 0 {
		b.box(x, b.y, 4)
		b.font("", smallType)
		b.pdf.Text(x+5.5, b.y+3.2, b.c.S("booklet.testform.absent"))
	}
	b.y += 8.5
}

// ratings say what each rating of an item stands for.
func (b testForm) ratings(item bench.SafetyItem) string {
	var lines []string
	for _, m := range item.Measures {
		limits := make([]string, len(m.Limits))
		for i, v := range m.Limits {
			limits[i] = strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", string(b.c.Decimal()), 1)
		}
		below := "booklet.testform.below"
		if m.Inclusive {
			below = "booklet.testform.to"
		}
		name := b.c.S("bench.measure." + m.Key)
		if m.Unit != "" {
			name += " (" + m.Unit + ")"
		}
		lines = append(lines, b.c.S(below, "measure", name, "four", limits[0], "three", limits[1], "two", limits[2]))
	}
	for rating := 4; rating >= 1; rating-- {
		for word, r := range item.Words {
			if r == rating {
				lines = append(lines, number(rating)+": "+b.c.S("bench.word."+word))
			}
		}
	}
	return strings.Join(lines, "; ")
}

// sideBySide is the table in which two sheets are laid together.
func (b testForm) sideBySide() {
	c := b.c
	heads := []string{c.S("booklet.report.item"), c.S("booklet.report.weight"), c.S("booklet.testform.first"), c.S("booklet.testform.second"), c.S("booklet.testform.apart"), c.S("booklet.testform.agreed"), c.S("booklet.sheet.points")}
	const name = 62.0
	w := (b.width() - name) / float64(len(heads)-1)
	at := func(i int) float64 {
		if i == 0 {
			return marginSide
		}
		return marginSide + name + float64(i-1)*w
	}
	top, items := b.y, bench.SafetyItems()
	for i, h := range heads {
		b.write(h, at(i)+1, top+1, w-2+map[bool]float64{true: name - w}[i == 0], smallType, "B")
	}
	for k, item := range items {
		y := top + float64(k+1)*cellHeight
		b.write(c.Say(item.Name()), marginSide+1, y+2, name-2, smallType, "")
		b.write(c.Number(quantity.Value{SI: item.Weight, Unit: quantity.One, Step: 0.5}), at(1)+1, y+2, w, smallType, "")
	}
	height := float64(len(items)+2) * cellHeight
	b.write(c.S("booklet.report.total"), marginSide+1, top+height-cellHeight+2, name, smallType, "B")
	for i := range heads {
		b.upline(at(i), top, height)
	}
	b.upline(marginSide+b.width(), top, height)
	b.ruleLines(top, cellHeight, len(items)+1)
	b.y = top + height + 4
}
