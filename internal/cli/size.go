package cli

import (
	"fmt"
	"os"
	"strings"
	"text/tabwriter"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// briefArgs name a brief file and overrides on top of it.
type briefArgs struct {
	Brief  string            `arg:"" help:"${brief_file}" placeholder:"brief.yaml"`
	Set    map[string]string `help:"${set}" placeholder:"skirt.gap=9mm" mapsep:"none"`
	Bodies []string          `help:"${bodies}" placeholder:"series.yaml" sep:"none"`
}

// size reads the brief and sizes its stove.
func (a briefArgs) size() (*stove.Stove, error) {
	form, err := a.form()
	if err != nil {
		return nil, err
	}
	brief, err := form.Read()
	if err != nil {
		return nil, err
	}
	return stove.Size(brief)
}

// form reads the brief and puts what the command sets on top of it.
func (a briefArgs) form() (stove.Form, error) {
	data, err := os.ReadFile(a.Brief)
	if err != nil {
		return stove.Form{}, err
	}
	form, err := stove.ParseForm(data)
	if err != nil {
		return form, a.named(err)
	}
	for id, value := range a.Set {
		if form.Yours == nil {
			form.Yours = make(map[string]string)
		}
		form.Yours[id] = value
	}
	return a.withBody(form)
}

// withBody writes into the brief what the series of the command know of the
// body that it calls by name.
func (a briefArgs) withBody(form stove.Form) (stove.Form, error) {
	var bodies []brick.Body
	for _, name := range a.Bodies {
		data, err := os.ReadFile(name)
		if err != nil {
			return form, err
		}
		f, err := readBrickFile(name, data)
		if err == nil && f.paper != brick.SeriesPaper {
			err = message.InputErrors{{Field: "file", Value: string(f.paper), Reason: message.T("cli.brick.wants-series"), Try: "--bodies series.yaml"}}
		}
		if err != nil {
			return form, inFile(name, err)
		}
		list, err := f.series.Bodies()
		if err != nil {
			return form, seriesError(name, err)
		}
		bodies = append(bodies, list...)
	}
	if len(bodies) == 0 {
		return form, nil
	}
	return form, form.TakeBody(bodies)
}

// named puts the name of the file into complaints about the whole of it.
func (a briefArgs) named(err error) error {
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if c.Field == "file" {
			c.Field = a.Brief
		}
	}
	return err
}

type sizeCmd struct {
	briefArgs
	jsonFlag
}

// Run prints the sized stove.
func (s *sizeCmd) Run(c *call) error {
	sized, err := s.size()
	if err != nil {
		return err
	}
	if s.JSON {
		return writeJSON(c.Out, stoveJSON(sized, c.Catalogue))
	}
	printer{c.Catalogue, c.Out}.stove(sized)
	return nil
}

// printer lays results out as plain tables.
type printer struct {
	say *message.Catalogue
	out interface{ Write([]byte) (int, error) }
}

func (p printer) heading(id string) { fmt.Fprintf(p.out, "\n%s\n", strings.ToUpper(p.say.S(id))) }

func (p printer) table(rows func(row func(cells ...string))) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	rows(func(cells ...string) { fmt.Fprintln(w, strings.Join(cells, "\t")) })
	w.Flush()
	for line := range strings.Lines(b.String()) {
		fmt.Fprintln(p.out, strings.TrimRight(line, " \n"))
	}
}

func (p printer) stove(s *stove.Stove) {
	c := p.say
	if s.Brief.Name != "" {
		fmt.Fprintln(p.out, s.Brief.Name)
	}
	if s.Brief.Note != "" {
		fmt.Fprintln(p.out, s.Brief.Note)
	}
	if len(s.Checks) > 0 {
		p.heading("cli.checks")
		for _, k := range s.Checks {
			fmt.Fprintf(p.out, "%s: %s\n", c.S("stove.level."+string(k.Level)), c.Say(k.Text))
		}
	}
	p.heading("cli.dimensions")
	p.table(func(row func(...string)) {
		for _, d := range s.Dimensions {
			row(d.ID, c.Value(d.Value), c.S("stove.origin."+string(d.Origin)), c.Say(d.Name())+": "+c.Say(d.Because))
		}
	})
	p.heading("cli.rings")
	p.table(func(row func(...string)) {
		for _, r := range s.Rings {
			row(c.Say(r.Name()), c.Value(r.AreaValue()), c.Value(r.RatioValue()), c.S("stove.verdict."+r.Verdict))
		}
	})
	p.gaps(s)
	if len(s.Fits) > 1 || s.Pot.Round {
		p.fits(s)
	}
	p.heading("cli.trade")
	for _, t := range s.Trade {
		fmt.Fprintf(p.out, "%s: %s\n", c.Say(t.Name()), c.Say(t.Ours))
	}
}

func (p printer) gaps(s *stove.Stove) {
	c := p.say
	p.heading("cli.gaps")
	p.table(func(row func(...string)) {
		for _, g := range s.GapRules {
			mark := " "
			if g.Chosen {
				mark = "*"
			}
			row(mark+" "+c.Say(g.Name()), gapRange(c, g), c.Say(g.Context()))
		}
	})
	for _, a := range s.Advice {
		fmt.Fprintln(p.out, c.Say(a))
	}
}

func gapRange(c *message.Catalogue, g stove.GapRule) string {
	low, high := quantity.MM1(g.Low), quantity.MM1(g.High)
	if low.Number() == high.Number() {
		return c.Value(low)
	}
	return c.Number(low) + "–" + c.Value(high)
}

func (p printer) fits(s *stove.Stove) {
	c := p.say
	p.heading("cli.fits")
	p.table(func(row func(...string)) {
		for _, f := range s.Fits {
			name := f.Pot.Name
			if name == "" {
				name = "Ø " + c.Value(quantity.MM(f.Pot.Diameter()))
			}
			row(name, c.Say(f.Words()), "± "+c.Value(quantity.MM1(f.Spread)))
		}
	})
	if !s.Pot.Round {
		return
	}
	p.heading("cli.gap-by-height")
	p.table(func(row func(...string)) {
		for _, g := range s.GapByHeight(s.Pot) {
			row(c.Value(quantity.MM(g.Height)), c.Value(quantity.MM1(g.Gap)))
		}
	})
}
