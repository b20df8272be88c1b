package booklet

import (
	"context"
	"io"
	"math"

	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// explored is what the booklet says of changes and of errors of making.
type explored struct {
	local     []explore.Local
	tolerance *explore.Tolerance
	asked     bool // the time to boil is the brief's own
}

// exploredDraws are few: the booklet is made while somebody waits. The command
// explore tolerance draws more.
const exploredDraws = 128

// exploreStove computes the chapter of what to change; ok is false where the model does
// not take the stove, or its water does not boil as drawn.
func exploreStove(s *stove.Stove) (e explored, ok bool) {
	drawn, err := explore.SubjectOf(s, fire.Defaults(), explore.Cold).Outcome()
	if err != nil || math.IsNaN(drawn[explore.BoilTime]) {
		return e, false
	}
	subject := explore.SubjectOf(s, fire.Defaults(), explore.Steady)
	inputs := append(explore.ChosenInputs(s, 0.1), explore.VaryingInputs(explore.UsualPractice())...)
	if e.local, err = explore.LocalSensitivities(subject, inputs); err != nil {
		return e, false
	}
	e.asked = s.Brief.BoilTime.Known
	e.tolerance = &explore.Tolerance{Subject: subject, Practice: explore.UsualPractice(), Draws: exploredDraws, Seed: 1}
	if err := explore.Run(context.Background(), e.tolerance, 0, nil); err != nil {
		return e, false
	}
	return e, true
}

// mostSaid is how many changes are said in words, and drawn of each kind.
const mostSaid = 6

// changes says what to change, how exactly to make the stove, and what to gauge.
func (p *build) changes(e explored, ok bool) {
	p.chapter("booklet.explored")
	p.caution(p.c.S("booklet.explored.standing"))
	if !ok {
		p.para(p.c.S("booklet.predicted.none"))
		return
	}
	p.heading(p.c.S("booklet.explored.pays"))
	p.para(p.c.S("booklet.explored.pays-how"))
	p.payTable(explore.Rank(e.local, explore.Chosen, explore.Efficiency))
	p.caution(p.c.S("booklet.explored.air", "least", explore.AirRatio.Value(fire.AirCaution)))
	for _, m := range []explore.Metric{explore.Efficiency, explore.BoilTime} {
		if s := explorefigure.Ranking(e.local, m, mostSaid, p.c, p.width()); s != nil {
			p.titled(s)
		}
	}
	p.heading(p.c.S("booklet.explored.exact"))
	limit := explore.BoilTime.Value(e.tolerance.Time)
	if e.asked {
		p.para(p.c.S("booklet.explored.limit-asked", "limit", limit))
	} else {
		p.para(p.c.S("booklet.explored.limit", "limit", limit))
	}
	for _, t := range e.tolerance.Says() {
		p.item(bullet, p.c.Say(t))
	}
	if s := explorefigure.Tolerances(e.tolerance, p.c, p.width()); s != nil {
		p.titled(s)
	}
	p.gauges(e.tolerance)
}

// payTable is what one step more of each dimension does to every metric, in the
// order given.
func (p *build) payTable(list []explore.Local) {
	columns := []column{{p.c.S("booklet.explored.step"), 5, false}}
	for m := range explore.MetricCount {
		columns = append(columns, column{p.c.Say(m.Name()), 2, true})
	}
	var rows [][]string
	for _, l := range list {
		cells := []string{p.c.S("booklet.explored.more", "input", l.Input.Name(), "step", l.Moved())}
		for m := range explore.MetricCount {
			cells = append(cells, p.change(l, m))
		}
		rows = append(rows, cells)
	}
	p.table(columns, rows)
}

// change is what a step does to a metric, with its sign: zero where it does not
// show, a dash where the step cannot be taken.
func (b *book) change(l explore.Local, m explore.Metric) string {
	by := l.PerStep[m]
	switch {
	case math.IsNaN(by):
		return "–"
	case !l.Shows(m):
		return "0"
	}
	return b.c.Signed(m.Change(by))
}

// titled sets a drawing that bears its own title, made smaller where it is higher
// than two thirds of the page.
func (b *book) titled(s *drawing.Sheet) {
	k := min(1, b.width()/s.Paper.Width, (b.bottom()-marginTop)*0.66/s.Paper.Height)
	b.need(k*s.Paper.Height + 4)
	b.pdf.TransformBegin()
	b.pdf.TransformScaleXY(100*k, marginSide, b.y)
	s.DrawPDF(b.pdf, marginSide, b.y)
	b.pdf.TransformEnd()
	b.y += k*s.Paper.Height + 4
}

// gauges is the page to be pinned up where the stove is made: what to measure,
// what is still good, and room to write what came out.
func (b *book) gauges(t *explore.Tolerance) {
	b.chapter("booklet.gauges")
	b.para(b.c.S("booklet.gauges.how"))
	const written = 4 // columns to write in
	columns := []column{{b.c.S("booklet.gauges.measure"), 4, false}, {b.c.S("booklet.gauges.drawn"), 2, true}, {b.c.S("booklet.gauges.least"), 2, true},
		{b.c.S("booklet.gauges.most"), 2, true}}
	for n := range written {
		columns = append(columns, column{b.c.S("booklet.gauges.stove", "n", n+1), 2, true})
	}
	var rows [][]string
	for _, g := range t.Gauges() {
		// an empty line below leaves room for a hand with a pencil
		rows = append(rows, []string{b.c.Say(g.Name) + "\n ", b.c.Value(g.Nominal), b.c.Value(g.Least), b.c.Value(g.Most), "", "", "", ""})
	}
	b.table(columns, rows)
	b.para(b.c.S("booklet.gauges.holds"))
	b.para(b.c.S("booklet.gauges.computed", "n", t.Draws))
}

// Answer is what a question of package explore came to, for a report of its own.
// All words are the caller's, in the reader's language.
type Answer struct {
	Stove    string // whose answer it is, in the foot of each page
	Note     string // of its brief
	Title    string // the question
	Says     []string
	Pictures []*drawing.Sheet   // nil ones are left out
	Gauges   *explore.Tolerance // whose page to pin up comes last; nil for none
}

// PDF writes the answer: that it is computed, its sentences, its pictures.
func (a Answer) PDF(w io.Writer, c *message.Catalogue, paper drawing.Paper) error {
	title := a.Stove
	if title == "" {
		title = c.S("booklet.title")
	}
	return twice(w, c, paper, title, func(b *book) {
		b.begin(a.Title)
		for _, text := range []string{a.Stove, a.Note} {
			if text != "" {
				b.para(text)
			}
		}
		b.caution(c.S("booklet.explored.standing"))
		for _, text := range a.Says {
			b.item(bullet, text)
		}
		b.y += 3
		for _, s := range a.Pictures {
			if s != nil {
				b.titled(s)
			}
		}
		if a.Gauges != nil {
			b.gauges(a.Gauges)
		}
	})
}

// Gauges writes the page of gauges by itself, from a study of any size.
func Gauges(w io.Writer, s *stove.Stove, t *explore.Tolerance, c *message.Catalogue, paper drawing.Paper) error {
	title := s.Brief.Name
	if title == "" {
		title = c.S("booklet.title")
	}
	return twice(w, c, paper, title, func(b *book) { b.gauges(t) })
}
