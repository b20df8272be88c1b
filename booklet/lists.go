package booklet

import (
	"strconv"
	"strings"

	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
)

func number(n int) string { return strconv.Itoa(n) }

// buy lists what to buy in the units it is sold in, and the tools.
func (p *build) buy() {
	p.chapter("booklet.buy")
	p.para(p.c.S("booklet.buy.how"))
	var rows [][]string
	for _, b := range p.k.Purchases {
		buy := p.c.Say(b.Size)
		if b.Count > 0 {
			buy = strings.TrimSpace(number(b.Count) + " × " + buy)
		}
		need := ""
		if b.Amount.SI > 0 {
			need = p.c.Value(b.Amount)
		}
		name := p.c.Say(b.Name)
		if b.AtHand {
			name += " " + p.c.S("booklet.at-hand")
		}
		rows = append(rows, []string{name, buy, need, p.c.Say(b.Because)})
	}
	p.table([]column{{p.c.S("booklet.buy.thing"), 3, false}, {p.c.S("booklet.buy.amount"), 2.4, false}, {p.c.S("booklet.buy.need"), 1.5, true}, {p.c.S("booklet.buy.note"), 4, false}}, rows)
	p.heading(p.c.S("booklet.tools"))
	for _, t := range p.k.Tools {
		p.item(checkBox, p.c.Say(t))
	}
	for _, r := range p.k.Remarks {
		p.item(bullet, p.c.Say(r))
	}
}

// fired reports whether a part is made of brick.
func fired(part kit.Part) bool {
	return strings.HasSuffix(part.Material, "-brick")
}

// brickSet lists the fired pieces and their moulds.
func (p *build) brickSet() {
	p.chapter("booklet.bricks")
	p.para(p.c.S("booklet.bricks.how"))
	var rows [][]string
	for _, part := range p.k.Parts {
		if !fired(part) {
			continue
		}
		rows = append(rows, []string{p.c.Say(part.Name), number(part.Count), p.sizes(part.Sizes),
			p.c.Value(quantity.Value{SI: part.Mass, Unit: quantity.Gram, Step: 10}), p.c.Say(part.Because)})
	}
	p.table([]column{{p.c.S("booklet.bricks.piece"), 2.6, false}, {p.c.S("booklet.bricks.count"), 1, true}, {p.c.S("booklet.bricks.size"), 3.4, false},
		{p.c.S("booklet.bricks.mass"), 1.1, true}, {p.c.S("booklet.bricks.why"), 3.4, false}}, rows)
	p.heading(p.c.S("booklet.moulds"))
	p.para(p.c.S("booklet.moulds.how"))
	rows = nil
	for _, m := range p.k.Moulds {
		cavity := make([]string, 3)
		shrinkage := make([]string, 3)
		for i := range cavity {
			cavity[i] = p.c.Number(quantity.MM1(m.Cavity.Size[i]))
			shrinkage[i] = p.c.Number(quantity.Value{SI: float64(m.Cavity.Total[i]), Unit: quantity.Percent, Step: 0.1})
		}
		standing := "booklet.moulds.default"
		if m.Measured {
			standing = "booklet.moulds.measured"
		}
		rows = append(rows, []string{p.c.Say(m.Name), strings.Join(cavity, " × ") + " mm", strings.Join(shrinkage, " / ") + " % " + p.c.S(standing)})
	}
	p.table([]column{{p.c.S("booklet.moulds.mould"), 3, false}, {p.c.S("booklet.moulds.cavity"), 3.4, false}, {p.c.S("booklet.moulds.shrinkage"), 4, false}}, rows)
	p.heading(p.c.S("booklet.boards"))
	p.cutTable(func(c kit.Cut) bool { return c.Use == kit.Wood })
}

func (p *build) sizes(list []kit.Measure) string {
	words := make([]string, len(list))
	for i, m := range list {
		words[i] = p.c.Say(m.Name) + " " + p.c.Value(m.Value)
	}
	return strings.Join(words, ", ")
}

// brickWork tells how the bricks are made, with the cautions where they belong.
func (p *build) brickWork() {
	p.chapter("booklet.brickwork")
	dense := "back"
	if p.s.Liner {
		dense = "floor"
	}
	for i, id := range []string{"clay", "mix", dense, "mould", "dry", "fire", "try"} {
		switch id {
		case "mix":
			p.caution(p.c.S("booklet.caution.silica"))
		case "fire":
			p.caution(p.c.S("booklet.caution.kiln"))
		}
		p.item(number(i+1), p.c.S("booklet.brickwork."+id))
	}
}

// sheetMetal is the cut list and how the blanks lie on the sheets.
func (p *build) sheetMetal() {
	p.chapter("booklet.sheet")
	p.para(p.c.S("booklet.sheet.how"))
	p.caution(p.c.S("booklet.caution.edges"))
	p.caution(p.c.S("booklet.caution.zinc"))
	p.cutTable(func(c kit.Cut) bool { return c.Use == kit.Steel || c.Use == kit.Bar || c.Use == kit.Rod })
	for _, sheet := range p.k.CuttingSheets(p.c, p.paper) {
		p.whole(sheet)
	}
}

// cutTable lists the cuts that are of a kind.
func (p *build) cutTable(of func(kit.Cut) bool) {
	var rows [][]string
	for _, cut := range p.k.Cuts {
		if !of(cut) {
			continue
		}
		size := p.c.Value(quantity.MM(cut.Length))
		if cut.Width > 0 {
			size = p.c.Number(quantity.MM(cut.Width)) + " × " + size
		}
		step := 0.05 // sheet is told apart by twentieths
		if cut.Use == kit.Wood {
			step = 1
		}
		from := p.c.Value(quantity.Value{SI: cut.Thick, Unit: quantity.Millimetre, Step: step})
		if cut.Material != "" {
			from += " " + p.c.Say(message.T("material."+cut.Material))
		}
		rows = append(rows, []string{p.c.Say(cut.Name), number(cut.Count), size, from})
	}
	p.table([]column{{p.c.S("booklet.sheet.part"), 4, false}, {p.c.S("booklet.sheet.count"), 1, true}, {p.c.S("booklet.sheet.size"), 2.4, true}, {p.c.S("booklet.sheet.from"), 3, false}}, rows)
}
