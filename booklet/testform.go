package booklet

import (
	"fmt"
	"io"
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
	f.firstCautions()
	switch kind {
	case bench.KindBoiling:
		f.once(fields, "phase.", "constants")
		for _, phase := range []string{"cold", "hot", "simmer"} {
			f.phase(fields, "phase.", phase, 2)
		}
		f.lastCautions()
	case bench.KindSequence:
		f.once(fields, "level.")
		for _, level := range []string{"high", "medium", "low"} {
			f.phase(fields, "level.", level, 3)
		}
	case bench.KindCooking:
		f.once(fields, "pots.")
		f.heading(c.S("booklet.testform.pots"))
		f.upright(within(fields, "pots."), 3)
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
		b.rows(block, "")
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
// many, and each caution before the field of its step.
func (b testForm) rows(fields []form.Field, phase string) {
	var pair []form.Field
	flush := func() {
		if len(pair) > 0 {
			b.entries(pair)
			b.y -= 3
			pair = nil
		}
	}
	for _, f := range fields {
		if b.cautionOf(f.Path, phase) != "" {
			flush()
			b.caution(b.cautionOf(f.Path, phase))
		}
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

// tasks of the guided test, for their cautions.
func (b testForm) tasks() []bench.Task {
	if !b.kind.Guided() {
		return nil
	}
	return bench.Guide(bench.Blank(b.kind))
}

// cautionOf is the caution of the step at which a field is filled in.
func (b testForm) cautionOf(path, phase string) string {
	if phase == "" {
		return ""
	}
	_, rest, _ := strings.Cut(path, ".")
	for _, t := range b.tasks() {
		if t.Caution && t.Part == phase && len(t.Fields) > 0 && strings.ReplaceAll(t.Fields[0], "[1]", "") == phase+"."+rest {
			return b.c.Say(t.Warning())
		}
	}
	return ""
}

// firstCautions are those of steps without a field before the first phase; other
// tests have those that every fire has.
func (b testForm) firstCautions() {
	for _, t := range bench.Guide(bench.Blank(bench.KindBoiling)) {
		if t.Caution && t.Part == "" && t.Said() && b.kind != bench.KindKitchen {
			b.caution(b.c.Say(t.Warning()))
			return
		}
	}
}

// lastCautions are those at the end: the fire is put out.
func (b testForm) lastCautions() {
	list := b.tasks()
	if last := list[len(list)-1]; last.Caution {
		b.caution(b.c.Say(last.Words()) + ": " + b.c.Say(last.Warning()))
	}
}

// phase sets the fields of one phase or power level, with a table for its pots.
func (b testForm) phase(fields []bench.Field, beginning, phase string, pots int) {
	b.need(60)
	b.heading(b.c.S("bench.phase." + phase))
	var single, list []form.Field
	for _, f := range within(fields, beginning) {
		switch {
		case strings.HasPrefix(f.Path, beginning+"pots."):
			list = append(list, f)
		case f.Path == beginning+"lowest_temperature" && phase != "simmer", f.Path == beginning+"stove" && phase == "simmer":
		default:
			single = append(single, f)
		}
	}
	b.rows(single, phase)
	for _, f := range list { // the cautions of the table's own steps
		if text := b.cautionOf(f.Path, phase); text != "" {
			b.caution(text)
		}
	}
	b.need(float64(len(list)+1)*cellHeight + 4)
	b.write(b.c.S("booklet.testform.pots"), marginSide, b.y, b.width(), smallType, "B")
	b.y += 5
	b.upright(list, pots)
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
	b.rows(single, "")
	b.heading(b.c.S("booklet.testform.people"))
	b.days(formDays)
	b.upright(within(fields, "households.people."), formDays)
	for i := range formFuels {
		b.need(90)
		b.heading(b.c.S("booklet.testform.fuel", "n", i+1))
		b.rows(slices.DeleteFunc(within(fields, "wood."), func(f form.Field) bool {
			return f.Path == "wood.stick" || f.Path == "wood.pile" || f.Path == "wood.heating_value"
		}), "")
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
		for _, item := range bench.SafetyItems() {
			b.item10(item)
		}
	}
	b.page()
	b.heading(b.c.S("booklet.testform.together"))
	b.para(b.c.S("booklet.testform.together.how"))
	b.sideBySide()
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
