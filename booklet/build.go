package booklet

import (
	"io"

	"stovewright/drawing"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
	"stovewright/stove/figure"
)

// Paper is the paper that a brief asks for.
func Paper(s *stove.Stove) drawing.Paper {
	if s.Brief.Choices.Paper == "letter" {
		return drawing.Letter
	}
	return drawing.A4
}

// build is the build booklet in the making.
type build struct {
	*book
	s *stove.Stove
	k *kit.Kit
}

// Build writes the build booklet of a stove as PDF: what to buy, the brick set,
// the cut list, the steps in order with a drawing and a hold point each, first
// fire, the cook's card, upkeep, the form for the first test, what it is predicted
// to do, what to change and how exactly to make it, and the reasons behind the
// dimensions.
func Build(w io.Writer, s *stove.Stove, k *kit.Kit, c *message.Catalogue, paper drawing.Paper) error {
	title := c.S("booklet.title")
	if s.Brief.Name != "" {
		title = s.Brief.Name
	}
	found, ok := exploreStove(s)
	return twice(w, c, paper, title, func(b *book) {
		p := &build{b, s, k}
		p.cover()
		p.contents()
		p.start()
		p.drawings()
		p.buy()
		p.brickSet()
		p.brickWork()
		p.sheetMetal()
		p.steps()
		p.curing()
		p.card()
		p.upkeep()
		p.testForm()
		p.predicted()
		p.changes(found, ok)
		p.reasons()
	})
}

// cover shows the stove in pieces, its name and what stands at its centre: the
// pot.
func (p *build) cover() {
	p.plain = true
	p.page()
	p.plain = false
	p.font("B", 26)
	title := p.c.S("booklet.title")
	p.pdf.Text(marginSide, 40, title)
	y := 50.0
	if p.title != title {
		y += p.write(p.title, marginSide, y, p.width(), 14, "")
	}
	d := p.s.Value("pot.diameter")
	y += 2
	y += p.write(p.c.S("booklet.for-pot", "diameter", d, "height", p.s.Value("pot.height"), "fill", p.s.Value("pot.fill")), marginSide, y, p.width(), 11, "")
	if n := p.s.Brief.Note; n != "" {
		y += p.write(n, marginSide, y+1, p.width(), 11, "I") + 1
	}
	picture := figure.Step(p.s, p.c, len(figure.BuildSteps(p.s))-1, p.width(), p.bottom()-y-26)
	p.sheet(picture, marginSide, y+6)
	p.write(p.c.S("booklet.standing"), marginSide, p.bottom()-12, p.width(), smallType, "")
}

// start says in half a page how to use the booklet.
func (p *build) start() {
	p.chapter("booklet.start")
	for _, id := range []string{"booklet.start.order", "booklet.start.hold", "booklet.start.origin", "booklet.start.scale", "booklet.start.law"} {
		p.item(bullet, p.c.S(id))
	}
	p.heading(p.c.S("booklet.start.look"))
	if len(p.s.Checks) == 0 {
		p.para(p.c.S("booklet.start.nothing"))
	}
	for _, k := range p.s.Checks {
		text := p.c.S("booklet.check", "level", message.T("stove.level."+string(k.Level)), "text", k.Text)
		if k.Level == stove.Warning {
			p.caution(text)
		} else {
			p.item(bullet, text)
		}
	}
}

// drawings are whole pages.
func (p *build) drawings() {
	for _, f := range figure.All(p.s, p.c, figure.Options{Paper: p.paper}) {
		p.whole(f.Sheet)
	}
}

// steps sets two build steps on a page: picture, what to do, and the hold point.
func (p *build) steps() {
	p.chapter("booklet.steps")
	p.para(p.c.S("booklet.steps.how"))
	for i, step := range figure.BuildSteps(p.s) {
		p.step(i, step)
	}
}

// stepWidth is that of a step's picture; its height lets two steps stand on
// each page, the first page with its heading among them.
const stepWidth = 84.0

func (p *build) stepHeight() float64 { return (p.bottom()-marginTop-30)/2 - 12 }

func (p *build) step(n int, step figure.BuildStep) {
	x := marginSide + stepWidth + 6
	w := p.width() - stepWidth - 6
	caution, hasCaution := stepCautions[step.ID]
	height := p.stepHeight()
	p.need(height + 8)
	top := p.y
	p.sheet(figure.Step(p.s, p.c, n, stepWidth, height), marginSide, top+6)
	p.write(p.c.S("booklet.step-number", "step", n+1), marginSide, top, stepWidth, 12, "B")
	y := top + p.write(p.c.S("booklet.step."+step.ID), x, top, w, 12, "B") + 1.5
	y += p.write(p.c.Say(p.doing(step.ID)), x, y, w, bodyType, "") + 2
	if hasCaution {
		text := p.c.S("booklet.caution." + caution)
		h := max(p.height(text, w-15, bodyType, "")+6, 11)
		p.cautionAt(text, x, y, w, h)
		y += h + 2
	}
	y = p.holdPoint(step, x, y, w)
	p.y = max(y, top+height+6) + 4
	p.rule(p.y-2, 0.1)
}

// stepCautions is the caution that belongs to a step.
var stepCautions = map[string]string{
	"body": "edges", "floor": "dust", "first-course": "slip", "liner": "slip", "fill": "fill", "skirt": "edges", "rods": "rods", "lining": "slip", "pot": "tipping",
}

// doing is the text of a step, with the sizes it needs.
func (p *build) doing(id string) message.Text {
	v := p.s.Value
	switch id {
	case "body":
		if p.s.Container != nil {
			return message.T("booklet.do.body-container", "kind", message.T("stove.word."+p.s.Container.Kind), "height", v("body.height"), "width", v("mouth.width"), "mouth", v("mouth.height"))
		}
		length, width := p.blank("body.blank")
		return message.T("booklet.do.body", "length", length, "height", width, "seam", v("body.seam"))
	case "feet":
		return message.T("booklet.do.feet", "n", p.s.Feet, "height", v("base.feet"))
	case "floor":
		return message.T("booklet.do.floor", "fill", v("base.fill"), "tile", v("floor.thickness"))
	case "first-course":
		return message.T("booklet.do.first-course", "back", v("brick.back_height"), "width", v("mouth.width"), "joint", v("brick.joint"))
	case "liner":
		return message.T("booklet.do.liner", "width", v("mouth.width"), "height", v("mouth.height"))
	case "liner-rings":
		return message.T("booklet.do.liner-rings", "n", p.s.Courses, "joint", v("brick.joint"))
	case "sleeve":
		return message.T("booklet.do.sleeve", "width", v("mouth.width"), "height", v("mouth.height"), "lip", v("mouth.lip"))
	case "courses":
		return message.T("booklet.do.courses", "courses", p.s.Courses, "joint", v("brick.joint"))
	case "fill":
		return message.T("booklet.do.fill", "fill", message.T("material."+p.s.FillMaterial().Key), "settle", quantity.Pct(p.s.FillMaterial().Settle))
	case "top":
		return message.T("booklet.do.top", "hole", v("top.hole"))
	case "skirt":
		length, width := p.blank("skirt.blank")
		return message.T("booklet.do.skirt", "length", length, "height", width, "inner", v("skirt.inner"), "seam", v("skirt.seam"))
	case "rods":
		return message.T("booklet.do.rods", "rod", v("rest.rod"), "length", v("rest.rod_length"), "height", v("rest.rod_height"))
	case "lining":
		return message.T("booklet.do.lining", "most", quantity.MM(p.s.LiningMost()))
	case "shelf":
		return message.T("booklet.do.shelf", "height", v("shelf.height"), "reach", v("shelf.reach"))
	}
	return message.T("booklet.do.pot", "gap", v("skirt.gap"), "rest", v("rest.height"))
}

// blank is the size of a blank as it is cut, with its hems and flanges.
func (p *build) blank(id string) (length, width quantity.Value) {
	for _, cut := range p.k.Cuts {
		if cut.ID == id {
			return quantity.MM(cut.Length), quantity.MM(cut.Width)
		}
	}
	return quantity.Value{}, quantity.Value{}
}

// tolerance is how exactly a dimension is to be made: 1 mm for the rests, 2 mm
// for sheet and the gap around the pot, as its gauge has it, 5 mm for brick and
// fill (common practice).
func tolerance(id string) quantity.Value {
	switch id {
	case "rest.height", "rest.rod_height":
		return quantity.MM(0.001)
	case "body.inner", "body.height", "base.feet", "base.fill", "chamber.height", "floor.thickness":
		return quantity.MM(0.005)
	}
	return quantity.MM(0.002)
}

// holdPoint is the measurement to take before going on.
func (p *build) holdPoint(step figure.BuildStep, x, y, w float64) float64 {
	y += p.write(p.c.S("booklet.hold"), x, y, w, bodyType, "B") + 1
	line := func(text string) {
		p.box(x, y+0.5, 3.4)
		y += p.write(text, x+6, y, w-6, bodyType, "") + 1.2
	}
	for _, id := range step.Dims {
		line(p.c.S("booklet.hold.measure", "name", p.s.Dimension(id).Name(), "value", p.s.Value(id), "tolerance", tolerance(id)))
	}
	line(p.c.S("booklet.hold." + step.ID))
	return y
}

func (p *build) curing() {
	p.chapter("booklet.curing")
	for i, id := range []string{"dry", "first", "second", "third", "cook"} {
		p.item(number(i+1), p.c.S("booklet.curing."+id))
	}
	p.caution(p.c.S("booklet.caution.co"))
	p.caution(p.c.S("booklet.caution.burns"))
	p.caution(p.c.S("booklet.caution.house"))
	p.heading(p.c.S("booklet.gap"))
	for _, a := range p.s.Advice {
		p.item(bullet, p.c.Say(a))
	}
	p.gapTable()
}

func (p *build) gapTable() {
	var rows [][]string
	for _, g := range p.s.GapRules {
		name := p.c.Say(g.Name())
		if g.Chosen {
			name += " ←"
		}
		low, high := quantity.MM1(g.Low), quantity.MM1(g.High)
		value := p.c.Value(high)
		if low.Number() != high.Number() {
			value = p.c.Number(low) + "–" + value
		}
		rows = append(rows, []string{name, value, p.c.Say(g.Context())})
	}
	p.table([]column{{p.c.S("booklet.rule"), 3, false}, {p.c.S("booklet.gap-value"), 1.3, true}, {p.c.S("booklet.context"), 5, false}}, rows)
}

func (p *build) upkeep() {
	p.chapter("booklet.upkeep")
	p.para(p.c.S("booklet.upkeep.how"))
	var rows [][]string
	for _, id := range []string{"ash", "soot", "crack-small", "crack-big", "brick-loose", "back", "rods", "skirt", "fill", "feet", "skirt-gap", "shelf"} {
		rows = append(rows, []string{p.c.S("booklet.upkeep." + id), p.c.S("booklet.upkeep.do." + id), p.c.S("booklet.upkeep.when." + id)})
	}
	p.table([]column{{p.c.S("booklet.upkeep.see"), 3, false}, {p.c.S("booklet.upkeep.do"), 5, false}, {p.c.S("booklet.upkeep.when"), 2, false}}, rows)
	p.heading(p.c.S("booklet.trouble"))
	rows = nil
	for _, id := range []string{"smoke", "slow", "simmer", "out", "sooty", "wobble"} {
		rows = append(rows, []string{p.c.S("booklet.trouble." + id), p.c.S("booklet.trouble.do."+id, "wider", quantity.MM1(p.s.SkirtGap+0.002), "narrower", quantity.MM1(p.s.SkirtGap-0.002), "shelf", p.s.Value("shelf.height"))})
	}
	p.table([]column{{p.c.S("booklet.trouble.see"), 3, false}, {p.c.S("booklet.trouble.check"), 7, false}}, rows)
}

// testForm is a form for the first boiling test, in the order in which it is run.
func (p *build) testForm() {
	p.chapter("booklet.test")
	p.para(p.c.S("booklet.test.how", "fill", p.s.Value("pot.fill")))
	p.para(p.c.S("booklet.test.end"))
	p.caution(p.c.S("booklet.caution.test"))
	for _, part := range []struct {
		id    string
		lines []string
	}{
		{"before", []string{"date", "place", "stove", "pot-empty", "wood-kind", "moisture", "air", "wind", "lid"}},
		{"cold", []string{"wood-start", "pot-start", "water-start", "time-start", "time-boil", "water-end", "pot-end", "wood-end", "char"}},
		{"hot", []string{"wood-start", "pot-start", "water-start", "time-start", "time-boil", "water-end", "pot-end", "wood-end"}},
		{"simmer", []string{"wood-start", "pot-start", "water-start", "time-start", "lowest", "water-end", "pot-end", "wood-end", "char"}},
		{"after", []string{"smoke", "skin", "changed", "remarks"}},
	} {
		p.need(14 + 7.5*float64((len(part.lines)+1)/2))
		p.heading(p.c.S("booklet.test." + part.id))
		p.blanks(part.lines)
	}
}

// blanks sets lines to be filled in, two in a row.
func (p *build) blanks(ids []string) {
	half := (p.width() - 8) / 2
	for i, id := range ids {
		x := marginSide + float64(i%2)*(half+8)
		label := p.c.S("booklet.test.line." + id)
		p.write(label, x, p.y, half*0.62, smallType, "")
		p.pdf.SetLineWidth(0.18)
		p.pdf.Line(x+half*0.62, p.y+4.4, x+half, p.y+4.4)
		if i%2 == 1 || i == len(ids)-1 {
			p.y += 7.5
		}
	}
	p.y += 1
}

// reasons lists every dimension with its origin and its because, the gas path,
// and what the trade says.
func (p *build) reasons() {
	p.chapter("booklet.reasons")
	p.para(p.c.S("booklet.reasons.how"))
	var rows [][]string
	for _, d := range p.s.Dimensions {
		rows = append(rows, []string{p.c.Say(d.Name()), p.c.Value(d.Value), p.c.S("stove.origin." + string(d.Origin)), p.c.Say(d.Because)})
	}
	p.table([]column{{p.c.S("booklet.dimension"), 3, false}, {p.c.S("booklet.value"), 1.4, true}, {p.c.S("booklet.origin"), 1.5, false}, {p.c.S("booklet.because"), 5, false}}, rows)
	p.heading(p.c.S("booklet.rings"))
	rows = nil
	for _, r := range p.s.Rings {
		rows = append(rows, []string{p.c.Say(r.Name()), p.c.Value(r.AreaValue()), p.c.Value(r.RatioValue()), p.c.S("stove.verdict." + r.Verdict)})
	}
	p.table([]column{{p.c.S("booklet.ring"), 4, false}, {p.c.S("booklet.area"), 2, true}, {p.c.S("booklet.ratio"), 2, true}, {p.c.S("booklet.verdict"), 2, false}}, rows)
	p.heading(p.c.S("booklet.trade"))
	for _, t := range p.s.Trade {
		p.item(bullet, p.c.S("booklet.trade-line", "trade", t.Name(), "ours", t.Ours))
	}
}
