package cli

import (
	"fmt"
	"math"
	"strings"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// The JSON form of what the brick command says, docs/schema/bricks.schema.json;
// the print is made from it. Numbers are in SI beside the text that people see.

type bricksDoc struct {
	Sheets  []sheetDoc   `json:"sheets,omitempty"`
	Trouble []sectionDoc `json:"trouble,omitempty"`
	Written []string     `json:"written,omitempty"`
}

// sheetDoc is what one file says.
type sheetDoc struct {
	File     string       `json:"file"`
	Paper    string       `json:"paper"`
	Name     string       `json:"name"`
	Note     string       `json:"note,omitempty"`
	Sections []sectionDoc `json:"sections"`
}

// sectionDoc is one matter of a sheet: a table and remarks.
type sectionDoc struct {
	ID    string    `json:"id"`
	Of    string    `json:"of,omitempty"` // the trial, the material or the symptom
	Title string    `json:"title"`
	Rows  []rowDoc  `json:"rows,omitempty"`
	Notes []noteDoc `json:"notes,omitempty"`
}

// rowDoc is one line of a table: a value, a band or a word.
type rowDoc struct {
	ID      string   `json:"id"`
	Of      string   `json:"of,omitempty"` // the material, the axis or the place
	Name    string   `json:"name"`
	SI      *float64 `json:"si,omitempty"`
	Low     *float64 `json:"low,omitempty"`
	High    *float64 `json:"high,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	Word    string   `json:"word,omitempty"` // the same in every language
	Text    string   `json:"text"`
	Because string   `json:"because,omitempty"`
}

type noteDoc struct {
	Level string `json:"level"` // note or caution
	Text  string `json:"text"`
}

// sheet is a sheet while it is written.
type sheet struct {
	*sheetDoc
	say *message.Catalogue
}

// section begins a matter; of names what it is about where there are several.
func (s *sheet) section(id, of string) {
	s.Sections = append(s.Sections, sectionDoc{ID: id, Of: of, Title: s.say.S("cli.brick.section."+id, "of", of)})
}

func (s *sheet) last() *sectionDoc { return &s.Sections[len(s.Sections)-1] }

func (s *sheet) row(id, of string, because message.Text, fill func(*rowDoc)) {
	name := s.say.S("cli.brick.row." + id)
	if of != "" {
		name = of + ": " + name
	}
	r := rowDoc{ID: id, Of: of, Name: name, Because: s.say.Say(because)}
	fill(&r)
	s.last().Rows = append(s.last().Rows, r)
}

// value writes one number, and nothing where it is not known.
func (s *sheet) value(id, of string, v quantity.Value, because message.Text) {
	if math.IsNaN(v.SI) {
		return
	}
	s.row(id, of, because, func(r *rowDoc) {
		r.SI, r.Unit, r.Text = &v.SI, siUnit(v.Unit), s.say.Value(v)
	})
}

// reading writes a number with twice its standard uncertainty.
func (s *sheet) reading(id, of string, v quantity.Value, u float64, because message.Text) {
	if math.IsNaN(v.SI) || v.SI == 0 {
		return
	}
	s.row(id, of, because, func(r *rowDoc) {
		low, high := v.SI-2*u, v.SI+2*u
		r.SI, r.Low, r.High, r.Unit = &v.SI, &low, &high, siUnit(v.Unit)
		r.Text = s.say.S("cli.brick.plus-minus", "value", fine(v, u), "u", fine(with(v, 2*u), u))
	})
}

// fine is a value in steps fit for its uncertainty: no coarser than that, and
// no finer than a hundredth of its own.
func fine(v quantity.Value, u float64) quantity.Value {
	step := math.Pow(10, math.Floor(math.Log10(2*u/v.Unit.Factor)))
	v.Step = math.Max(v.Step/100, math.Min(v.Step, step))
	return v
}

// siUnit is the unit of the numbers in the document.
func siUnit(u quantity.Unit) string {
	if u.Dimension == quantity.Ratio && u != quantity.One && u != quantity.Percent {
		return u.Symbol // one that has no dimension of its own here
	}
	return u.Dimension.SI()
}

// band writes a band with its middle, shown in the unit and the step of a value.
func (s *sheet) band(id, of string, b brick.Band, like quantity.Value, because message.Text) {
	if math.IsNaN(b.Low + b.Best + b.High) {
		return
	}
	if b.Low == b.High {
		s.value(id, of, with(like, b.Best), because)
		return
	}
	as := func(si float64) quantity.Value { return quantity.Value{SI: si, Unit: like.Unit, Step: like.Step} }
	s.row(id, of, because, func(r *rowDoc) {
		r.SI, r.Low, r.High, r.Unit = &b.Best, &b.Low, &b.High, siUnit(like.Unit)
		r.Text = s.say.S("cli.brick.band", "low", s.say.Number(as(b.Low)), "high", as(b.High), "best", s.say.Number(as(b.Best)))
	})
}

// word writes a line without a number; word is for programs, "" for none.
func (s *sheet) word(id, of, word, text string, because message.Text) {
	s.row(id, of, because, func(r *rowDoc) { r.Word, r.Text = word, text })
}

func (s *sheet) note(texts ...message.Text)    { s.remark("note", texts) }
func (s *sheet) caution(texts ...message.Text) { s.remark("caution", texts) }

func (s *sheet) remark(level string, texts []message.Text) {
	for _, t := range texts {
		if !t.IsZero() {
			s.last().Notes = append(s.last().Notes, noteDoc{level, s.say.Say(t)})
		}
	}
}

// print lays the document out as plain text.
func (d bricksDoc) print(p printer) {
	for i, s := range d.Sheets {
		if i > 0 {
			fmt.Fprintln(p.out)
		}
		fmt.Fprintf(p.out, "%s: %s\n", p.say.S("brick.paper."+s.Paper), s.Name)
		if s.Note != "" {
			fmt.Fprintln(p.out, s.Note)
		}
		printSections(p, s.Sections)
	}
	printSections(p, d.Trouble)
	for _, f := range d.Written {
		fmt.Fprintln(p.out, f)
	}
}

func printSections(p printer, list []sectionDoc) {
	for _, s := range list {
		fmt.Fprintf(p.out, "\n%s\n", strings.ToUpper(s.Title))
		p.table(func(row func(...string)) {
			for _, r := range s.Rows {
				row(r.Name, r.Text, r.Because)
			}
		})
		for _, n := range s.Notes {
			text := n.Text
			if n.Level == "caution" {
				text = p.say.S("stove.level.caution") + ": " + text
			}
			fmt.Fprintln(p.out, strings.Join(wrap(text, page), "\n"))
		}
	}
}
