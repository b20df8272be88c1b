package figure

import (
	"stovewright/drawing"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// Measures of the picture of the draft on paper, mm.
const (
	draftNames = 46.0
	draftBars  = 84.0
	draftRow   = 7.5
	draftRight = 30.0
)

// Draft draws where the draft is spent: under the bar of the whole draft the
// losses along the gas path, each from where the last one ends.
func Draft(p fire.Point, c *message.Catalogue) *drawing.Sheet {
	rows := len(p.Losses) + 1
	f := open(c, "draft", draftNames+draftBars+draftRight, draftRow*float64(rows)+14)
	k := draftBars / p.Draft
	y := f.sheet.Paper.Height - 4 - draftRow/2
	bar := func(name string, from, value float64, tone drawing.Tone) {
		f.text(draftNames-2, y, name, drawing.AlignRight)
		x := draftNames + k*from
		f.sheet.Shape(tone, drawing.Thin, box(x, y-2.2, x+k*value, y+2.2))
		f.text(draftNames+draftBars+2, y, f.value(value, quantity.Pascal, 0.01), drawing.AlignLeft)
		if value < p.Draft {
			f.text(f.sheet.Paper.Width-2, y, f.value(value/p.Draft, quantity.Percent, 1), drawing.AlignRight)
		}
		y -= draftRow
	}
	bar(c.S("figure.fire.draft"), 0, p.Draft, drawing.PaleGrey)
	most := 0
	for l := range p.Losses {
		if p.Losses[l] > p.Losses[most] {
			most = l
		}
	}
	spent := 0.0
	for l, loss := range p.Losses {
		tone := drawing.LightGrey
		if l == most {
			tone = drawing.MidGrey
		}
		x := draftNames + k*spent
		f.line(drawing.HatchLine, x, y+draftRow-2.2, x, y+2.2)
		bar(c.S("fire.place."+fire.Loss(l).String()), spent, loss, tone)
		spent += loss
	}
	f.line(drawing.Thin, draftNames, f.sheet.Paper.Height-3, draftNames, y+draftRow-3.5)
	f.computed(drawing.Pt(f.sheet.Paper.Width-2, 3), drawing.AlignRight)
	return f.sheet
}
