package booklet

import (
	"errors"

	"stovewright/drawing"
	"stovewright/fire"
	firefigure "stovewright/fire/figure"
	"stovewright/quantity"
)

// predicted says what the stove is predicted to do at its planned firepower with
// the coefficients of the table. Each page says that nothing of it is measured.
func (p *build) predicted() {
	p.chapter("booklet.predicted")
	p.caution(p.c.S("booklet.predicted.standing"))
	lit, c := fire.Light(p.s), fire.Defaults()
	model, err := lit.Model()
	if err != nil { // the model does not take every stove that can be drawn
		p.para(p.c.S("booklet.predicted.none"))
		return
	}
	pot := lit.Air.PotFace()
	point, err := model.Solve(c, lit.Task.Power, pot)
	var choked *fire.ChokedError
	switch {
	case errors.As(err, &choked):
		p.para(p.c.Say(choked.Text()) + ". " + p.c.Say(choked.Widen()))
		return
	case err != nil:
		p.para(p.c.S("booklet.predicted.none"))
		return
	}
	run, boils := model.Boil(c, lit.Task, 0)
	p.predictedNumbers(model, lit, point, run, boils == nil)
	p.heading(p.c.S("booklet.predicted.says"))
	if says, err := model.Says(c, point); err == nil {
		for _, s := range says {
			p.item(bullet, p.c.Say(s))
		}
	}
	for _, caution := range point.Cautions() {
		if caution.ID == "fire.caution.model" { // stands above
			continue
		}
		p.caution(p.c.Say(caution))
	}
	p.page()
	p.figure(firefigure.Path(p.s, model.Rings(c, point), p.c))
	p.figure(firefigure.Draft(point, p.c))
	p.figure(firefigure.Balance(point.Heat, p.c))
	if boils == nil {
		p.figure(firefigure.Boil(run, nil, p.c))
	}
}

// predictedNumbers is the table of what is predicted.
func (p *build) predictedNumbers(m *fire.Model, lit fire.Lit, point fire.Point, run fire.BoilRun, boils bool) {
	grams := func(kg float64) quantity.Value { return quantity.Value{SI: kg, Unit: quantity.Gram, Step: 5} }
	minutes := func(s float64) quantity.Value { return quantity.Value{SI: s, Unit: quantity.Minute, Step: 1} }
	var rows [][]string
	row := func(id string, v quantity.Value) { rows = append(rows, []string{p.c.S(id), p.c.Value(v)}) }
	row("booklet.predicted.power", quantity.KW(point.Power))
	row("booklet.predicted.air", quantity.Value{SI: point.AirRatio, Unit: quantity.One, Step: 0.1})
	row("booklet.predicted.efficiency", quantity.Pct(point.Efficiency()))
	if most, err := m.MostPower(fire.Defaults(), fire.AirCaution, point.PotT); err == nil {
		row("booklet.predicted.most", quantity.KW(most))
	}
	if boils {
		row("booklet.predicted.water", quantity.L(lit.Task.Water/1000))
		row("booklet.predicted.cold", minutes(run.Cold.Duration()))
		row("booklet.predicted.hot", minutes(run.Hot.Duration()))
		row("booklet.predicted.wood", grams(run.Cold.WoodUsed()))
		row("booklet.predicted.simmer", grams(run.Simmer.WoodUsed()))
		row("booklet.predicted.test", quantity.Pct((m.TestEfficiency(run.Cold)+m.TestEfficiency(run.Hot))/2))
	}
	if point.SkirtT > 0 {
		row("booklet.predicted.skirt", quantity.C(point.SkirtT))
	}
	p.table([]column{{p.c.S("booklet.predicted.quantity"), 4, false}, {p.c.S("booklet.predicted.value"), 2, true}}, rows)
}

// figure sets a drawing in the flow of the page, made smaller where it is wider
// than the column or higher than half the page.
func (p *build) figure(s *drawing.Sheet) {
	const gap, title = 6.0, 9.0
	k := min(1, p.width()/s.Paper.Width, (p.bottom()-marginTop)*0.55/s.Paper.Height)
	p.need(k*s.Paper.Height + title + gap)
	p.heading(s.Title)
	p.pdf.TransformBegin()
	p.pdf.TransformScaleXY(100*k, marginSide, p.y)
	s.DrawPDF(p.pdf, marginSide, p.y)
	p.pdf.TransformEnd()
	p.y += k*s.Paper.Height + gap
}
