package booklet

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// brickPapers say how the sheets of the brick maker stand on paper, and at which
// steps they are filled in: their cautions are printed on them.
var brickPapers = map[brick.Paper]struct {
	paperForm
	steps []brick.Step
}{
	brick.ClayPaper: {steps: []brick.Step{brick.StepDigging, brick.StepTesting}},
	brick.SeriesPaper: {paperForm{blank: map[string]int{"materials": 4, "trials.mix": 4, "trials.bricks": 4},
		page: []string{"trials"}}, []brick.Step{brick.StepSieving, brick.StepCrushing}},
	brick.DryingPaper: {steps: []brick.Step{brick.StepDrying}},
	brick.FiringPaper: {paperForm{spread: map[string]int{"rows.temps": 3}, page: []string{"bricks"}}, []brick.Step{brick.StepFiring}},
	brick.MouldPaper:  {paperForm: paperForm{blank: map[string]int{"lines": 9}}},
	brick.BatchPaper:  {},
}

// BrickForm writes a blank sheet of the brick maker as PDF, with the fields of
// the file and the page in their order.
func BrickForm(w io.Writer, p brick.Paper, c *message.Catalogue, paper drawing.Paper) error {
	how, ok := brickPapers[p]
	if !ok {
		return fmt.Errorf("booklet: there is no paper %q", p)
	}
	b := newBook(c, paper, c.Say(p.Name()), nil)
	b.chapter("brick.paper." + string(p))
	b.write(c.S("booklet.form.how"), marginSide, b.y-3, b.width(), smallType, "I")
	b.y += b.height(c.S("booklet.form.how"), b.width(), smallType, "I")
	b.formCautions(how.steps)
	how.fields, how.lists = p.Fields(), p.Lists()
	b.form(how.paperForm)
	return b.pdf.Output(w)
}

func (b *book) formCautions(steps []brick.Step) {
	for _, step := range steps {
		for _, t := range brick.Cautions(step, brick.Mix{}) {
			b.caution(b.c.Say(t))
		}
	}
}

// FiringHours writes the hourly log sheet of a firing as PDF: the temperature
// planned for each hour, and room for what is read and done.
func FiringHours(w io.Writer, name string, plan brick.Schedule, positions []string, c *message.Catalogue, paper drawing.Paper) error {
	b := newBook(c, paper, c.S("booklet.hours.title", "name", name), nil)
	b.chapter("booklet.hours")
	guide, target, guard := brick.ConeTrio(plan.Wish.Peak)
	b.para(c.S("booklet.hours.how", "name", name, "hours", len(plan.Hourly())-1, "peak", quantity.Value{SI: plan.Wish.Peak, Unit: quantity.Celsius, Step: 10},
		"soak", quantity.Value{SI: plan.Wish.Soak, Unit: quantity.Hour, Step: 0.5}, "guide", guide.Name, "target", target.Name, "guard", guard.Name))
	b.formCautions([]brick.Step{brick.StepFiring})
	for len(positions) < 3 {
		positions = append(positions, "")
	}
	heads := append([]string{c.S("booklet.hours.hour"), c.S("booklet.hours.clock"), c.S("booklet.hours.plan"), c.S("booklet.hours.step")}, positions...)
	heads = append(heads, c.S("booklet.hours.fuel"), c.S("booklet.hours.damper"), c.S("booklet.hours.event"))
	b.hours(heads, plan)
	return b.pdf.Output(w)
}

// hours sets the table, a row an hour, with its head on each page.
func (b *book) hours(heads []string, plan brick.Schedule) {
	shares := make([]float64, len(heads))
	total := 0.0
	for i := range heads {
		shares[i] = 1
		total++
	}
	shares[len(shares)-1] = 2.6
	total += 1.6
	const row = 6.6
	width := func(i int) float64 { return b.width() * shares[i] / total }
	headHeight := 0.0
	for i, h := range heads {
		headHeight = max(headHeight, b.height(h, width(i)-1.6, smallType-1, "B")+1.6)
	}
	hourly := plan.Hourly()
	for h := 0; h < len(hourly); {
		b.need(headHeight + 8*row)
		n := min(len(hourly)-h, int((b.bottom()-b.y-headHeight)/row))
		top, x := b.y, marginSide
		for i, text := range heads {
			b.write(text, x+0.8, top+0.4, width(i)-1.6, smallType-1, "B")
			b.upline(x, top, headHeight+float64(n)*row)
			for k := range n {
				y := top + headHeight + float64(k)*row
				b.write(b.hourCell(i, h+k, hourly), x+1, y+1.2, width(i)-2, bodyType, "")
			}
			x += width(i)
		}
		b.upline(x, top, headHeight+float64(n)*row)
		b.rule(top, 0.35)
		for k := range n + 1 {
			b.rule(top+headHeight+float64(k)*row, 0.18)
		}
		b.y = top + headHeight + float64(n)*row + 4
		h += n
	}
}

// hourCell is what is printed in a column: the hour, the plan, and how much it
// rises in the hour that follows.
func (b *book) hourCell(column, hour int, hourly []float64) string {
	celsius := func(k float64) int { return int(math.Round(k - 273.15)) }
	switch column {
	case 0:
		return number(hour)
	case 2:
		return number(celsius(hourly[hour]))
	case 3:
		if hour+1 < len(hourly) {
			if step := celsius(hourly[hour+1]) - celsius(hourly[hour]); step != 0 {
				return fmt.Sprintf("%+d", step)
			}
			return b.c.S("booklet.hours.hold")
		}
	}
	return ""
}

// BrickForms makes the blank sheets of all kinds.
func BrickForms(c *message.Catalogue, paper drawing.Paper) ([]File, error) {
	var files []File
	for _, p := range brick.Papers {
		var b bytes.Buffer
		if err := BrickForm(&b, p, c, paper); err != nil {
			return nil, err
		}
		files = append(files, File{string(p) + "-" + sizeName(paper) + ".pdf", b.Bytes()})
	}
	return files, nil
}

func sizeName(paper drawing.Paper) string {
	if paper == drawing.Letter {
		return "letter"
	}
	return "a4"
}
