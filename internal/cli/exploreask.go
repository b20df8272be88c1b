package cli

import (
	"bytes"
	"fmt"
	"slices"

	"stovewright/booklet"
	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/message"
	"stovewright/quantity"
)

// mostRanked is how many inputs are named for a metric before --all.
const mostRanked = 6

type sensitivityCmd struct {
	exploreArgs
	longArgs
	answerFlags
	Global bool `help:"${explore_global}"`
	Rows   int  `help:"${explore_rows}" default:"${usual_rows}" placeholder:"${usual_rows}"`
	All    bool `help:"${explore_all}"`
}

// Run says what small changes do, and on request whose the whole spread is.
func (k *sensitivityCmd) Run(c *call) error {
	if err := k.check(); err != nil {
		return err
	}
	if err := wholeFlag("--rows", k.Rows, 16, 1<<17, explore.UsualRows); err != nil {
		return err
	}
	subject, sized, err := k.subject(explore.Cold)
	if err == nil {
		err = alight(subject, sized)
	}
	if err != nil {
		return err
	}
	local, err := explore.LocalSensitivities(subject, slices.Concat(explore.ChosenInputs(sized, 0.1),
		explore.VaryingInputs(explore.UsualPractice()), explore.UncertainInputs(subject.Coefficients)))
	if err != nil {
		return err
	}
	var spreads []explore.Spread
	if k.Global {
		if spreads, err = k.spreads(c, subject); err != nil {
			return err
		}
	}
	pictures := eachMetric(func(m explore.Metric) picture {
		return picture{"", figure.Ranking(local, m, mostRanked, c.Catalogue, pictureWidth)}
	})
	for _, s := range spreads {
		pictures = append(pictures, picture{"spread-" + s.Metric.String(), figure.Shares(s, c.Catalogue, pictureWidth)})
	}
	out := sensitivityJSON(local, spreads, c.Catalogue)
	if err := k.tell(c, out, func(p explorePrinter) {
		p.begin(sized)
		p.local(local, k.All)
		for _, s := range spreads {
			p.heading("explore.metric." + s.Metric.String())
			p.sentences(s.Says())
		}
	}); err != nil {
		return err
	}
	return k.write(c, answer{"sensitivity", k.Brief, subject.Form, out.Says, pictures, nil})
}

// spreads share out the whole spread over what is chosen, unsure and varying.
func (k *sensitivityCmd) spreads(c *call, subject explore.Subject) ([]explore.Spread, error) {
	subject.Depth = explore.Steady
	inputs, err := explore.SpreadInputs(subject, explore.UsualPractice())
	if err != nil {
		return nil, err
	}
	g, err := explore.NewGlobal(subject, inputs, k.Rows, explore.UsualReplicates, k.Seed)
	if err != nil {
		return nil, err
	}
	if err := k.carry(c, g); err != nil {
		return nil, err
	}
	var spreads []explore.Spread
	for m := range explore.MetricCount {
		if s, ok := g.Result(m); ok {
			spreads = append(spreads, s)
		}
	}
	return spreads, nil
}

// local prints the ranked sentences of each metric, apart by whose the input is.
// What changes nothing that shows is left out unless all is asked for.
func (p explorePrinter) local(list []explore.Local, all bool) {
	for m := range explore.MetricCount {
		p.heading("explore.metric." + m.String())
		for _, g := range explore.Groups {
			for i, l := range explore.Rank(list, g, m) {
				if !all && (i == mostRanked || i > 0 && !l.Shows(m)) {
					break
				}
				if i == 0 {
					fmt.Fprintf(p.out, "%s:\n", p.say.Say(g.Name()))
				}
				fmt.Fprintln(p.out, "  "+p.say.Say(l.Say(m)))
			}
		}
	}
}

type toleranceCmd struct {
	exploreArgs
	longArgs
	answerFlags
	Draws  int    `help:"${explore_draws}" default:"${usual_draws}" placeholder:"${usual_draws}"`
	Time   string `help:"${explore_time}" placeholder:"25min"`
	Gauges string `help:"${explore_gauges}" placeholder:"gauges.pdf"`
}

// Run says what the errors of making cost, and what to gauge.
func (k *toleranceCmd) Run(c *call) error {
	limit, err := k.check()
	if err != nil {
		return err
	}
	subject, sized, err := k.subject(explore.Cold)
	if err == nil {
		err = alight(subject, sized)
	}
	if err != nil {
		return err
	}
	t := &explore.Tolerance{Subject: subject, Practice: explore.UsualPractice(), Draws: k.Draws, Time: limit, Seed: k.Seed}
	if err := k.carry(c, t); err != nil {
		return err
	}
	out := toleranceJSON(t, c.Catalogue)
	if err := k.tell(c, out, func(p explorePrinter) {
		p.begin(sized)
		p.heading("cli.explore.tolerance")
		p.sentences(t.Says())
		p.gauges(t.Gauges())
	}); err != nil {
		return err
	}
	if err := k.write(c, answer{"tolerance", k.Brief, subject.Form, out.Says, []picture{{"", figure.Tolerances(t, c.Catalogue, pictureWidth)}}, t}); err != nil {
		return err
	}
	if k.Gauges == "" {
		return nil
	}
	var page bytes.Buffer
	if err := booklet.Gauges(&page, sized, t, c.Catalogue, papers[k.Paper]); err != nil {
		return err
	}
	return save(k.Gauges, page.Bytes())
}

// check holds the flags to their ranges, and gives the time that is in time.
func (k *toleranceCmd) check() (limit float64, err error) {
	if err := k.answerFlags.check(); err != nil {
		return 0, err
	}
	if err := wholeFlag("--draws", k.Draws, 50, 100_000, explore.UsualDraws); err != nil {
		return 0, err
	}
	if err := writable(k.Gauges); err != nil {
		return 0, err
	}
	return flagQuantity("--time", k.Time, quantity.Minute, 3*60, 4*3600)
}

// gauges prints what to gauge.
func (p explorePrinter) gauges(list []explore.Gauge) {
	p.heading("cli.explore.gauges")
	p.table(func(row func(...string)) {
		row(p.say.S("cli.explore.measure"), p.say.S("cli.explore.drawn"), p.say.S("cli.explore.least"), p.say.S("cli.explore.most"))
		for _, g := range list {
			row(p.say.Say(g.Name), p.say.Value(g.Nominal), p.say.Value(g.Least), p.say.Value(g.Most))
		}
	})
}

// flagQuantity reads a flag that holds a quantity; 0 where it is not given.
func flagQuantity(flag, text string, unit quantity.Unit, low, high float64) (float64, error) {
	if text == "" {
		return 0, nil
	}
	shown := func(x float64) quantity.Value { return quantity.Value{SI: x, Unit: unit, Step: 1} }
	v, err := quantity.Parse(text, unit.Dimension, unit)
	if err == nil && v >= low && v <= high {
		return v, nil
	}
	return 0, &message.InputError{Field: flag, Value: text, Reason: message.T("cli.explore.no-quantity"),
		Allowed: message.T("explore.between", "low", shown(low), "high", shown(high)), Try: example(flag)}
}
