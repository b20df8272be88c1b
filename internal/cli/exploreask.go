package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"stovewright/booklet"
	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/fire"
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
	if err := k.answerFlags.write(c, answer{"sensitivity", k.Brief, subject.Form, out.Says, pictures, nil}); err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, out)
	}
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	p.begin(sized)
	p.local(local, k.All)
	for _, s := range spreads {
		p.heading("explore.metric." + s.Metric.String())
		p.sentences(s.Says())
	}
	return nil
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
	if err := k.check(); err != nil {
		return err
	}
	if err := wholeFlag("--draws", k.Draws, 50, 100_000, explore.UsualDraws); err != nil {
		return err
	}
	limit, err := flagQuantity("--time", k.Time, quantity.Minute, 3*60, 4*3600)
	if err != nil {
		return err
	}
	subject, sized, err := k.subject(explore.Cold)
	if err != nil {
		return err
	}
	t := &explore.Tolerance{Subject: subject, Practice: explore.UsualPractice(), Draws: k.Draws, Time: limit, Seed: k.Seed}
	if err := k.carry(c, t); err != nil {
		return err
	}
	out := toleranceJSON(t, c.Catalogue)
	if err := k.answerFlags.write(c, answer{"tolerance", k.Brief, subject.Form, out.Says, []picture{{"", figure.Tolerances(t, c.Catalogue, pictureWidth)}}, t}); err != nil {
		return err
	}
	if k.Gauges != "" {
		var page bytes.Buffer
		if err := booklet.Gauges(&page, sized, t, c.Catalogue, papers[k.Paper]); err != nil {
			return err
		}
		if err := save(k.Gauges, page.Bytes()); err != nil {
			return err
		}
	}
	if k.JSON {
		return writeJSON(c.Out, out)
	}
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	p.begin(sized)
	p.heading("cli.explore.tolerance")
	p.sentences(t.Says())
	p.heading("cli.explore.gauges")
	p.table(func(row func(...string)) {
		row(p.say.S("cli.explore.measure"), p.say.S("cli.explore.drawn"), p.say.S("cli.explore.least"), p.say.S("cli.explore.most"))
		for _, g := range t.Gauges() {
			row(p.say.Say(g.Name), p.say.Value(g.Nominal), p.say.Value(g.Least), p.say.Value(g.Most))
		}
	})
	return nil
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

type searchCmd struct {
	exploreArgs
	longArgs
	answerFlags
	Population  int                `help:"${explore_population}" default:"${usual_population}" placeholder:"${usual_population}"`
	Generations int                `help:"${explore_generations}" default:"${usual_generations}" placeholder:"${usual_generations}"`
	Show        int                `help:"${explore_show}" default:"6" placeholder:"6"`
	AirRatio    float64            `help:"${explore_air}" default:"1.8" placeholder:"1.8"`
	Confidence  string             `help:"${explore_confidence}" default:"90%" placeholder:"90%"`
	Within      string             `help:"${explore_within}" placeholder:"25min"`
	Skin        string             `help:"${explore_skin}" placeholder:"80°C"`
	Price       map[string]float64 `help:"${explore_price}" placeholder:"brick=40"`
	Out         string             `help:"${explore_out}" placeholder:"folder"`
}

// Run looks for better stoves. Interrupted, it shows what it has found.
func (k *searchCmd) Run(c *call) error {
	asked, err := k.check()
	if err != nil {
		return err
	}
	prices, err := pricesOf(k.Price)
	if err != nil {
		return err
	}
	subject, sized, err := k.subject(explore.Cold)
	if err != nil {
		return err
	}
	limits := explore.UsualLimits(sized.Brief)
	limits.AirRatio, limits.Confidence, limits.Skin = asked.AirRatio, asked.Confidence, asked.Skin
	if asked.Time != 0 {
		limits.Time = asked.Time
	}
	q, err := explore.NewSearch(subject, limits, prices, k.Population, k.Generations, k.Seed)
	if err != nil {
		return err
	}
	stopped := k.carry(c, q)
	if stopped != nil && !errors.Is(stopped, context.Canceled) {
		return stopped
	}
	front, err := q.Front(k.Show)
	if err != nil {
		return err
	}
	out := searchJSON(q, front, c.Catalogue)
	said := append(slices.Clone(out.Says), setsOf(front, c.Catalogue)...)
	if err := errors.Join(k.write(front), k.answerFlags.write(c, answer{"search", k.Brief, subject.Form, said, frontPictures(c, q, front), nil})); err != nil {
		return err
	}
	if k.JSON {
		return errors.Join(writeJSON(c.Out, out), stopped)
	}
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	p.begin(sized)
	p.found(q, front)
	if k.Out != "" && len(front) > 0 {
		fmt.Fprintf(c.Out, "\n%s\n", c.Catalogue.S("cli.explore.written", "n", len(front), "path", k.Out))
	}
	return stopped
}

// check holds the flags to their ranges.
func (k *searchCmd) check() (explore.Limits, error) {
	l := explore.Limits{AirRatio: k.AirRatio}
	var list message.InputErrors
	keep := func(err error) {
		complaints, _ := message.Complaints(err)
		list = append(list, complaints...)
	}
	keep(k.answerFlags.check())
	keep(wholeFlag("--population", k.Population, 4, 1000, explore.UsualPopulation))
	if k.Population%2 == 1 {
		k.Population++ // pairs are crossed
	}
	keep(wholeFlag("--generations", k.Generations, 1, 10_000, explore.UsualGenerations))
	keep(wholeFlag("--show", k.Show, 1, 50, 6))
	if low := explore.AirRatio.Value(fire.SmokeLimit); !(k.AirRatio >= low.SI) {
		list = append(list, &message.InputError{Field: "--air-ratio", Value: fmt.Sprint(k.AirRatio), Reason: message.T("explore.air-limit"),
			Allowed: message.T("explore.at-least", "least", low), Try: "--air-ratio 1.8"})
	}
	var err error
	l.Confidence, err = flagQuantity("--confidence", k.Confidence, quantity.Percent, 0.5, 0.999)
	keep(err)
	l.Time, err = flagQuantity("--within", k.Within, quantity.Minute, 3*60, 4*3600)
	keep(err)
	l.Skin, err = flagQuantity("--skin", k.Skin, quantity.Celsius, 310, 700)
	keep(err)
	return l, list.OrNil()
}

// pricesOf reads what things cost.
func pricesOf(list map[string]float64) (explore.Prices, error) {
	var p explore.Prices
	into := map[string]*float64{"brick": &p.Brick, "liner": &p.Liner, "sheet": &p.Sheet, "body": &p.Body, "fill": &p.Fill, "rod": &p.Rod, "labour": &p.Labour}
	names := slices.Sorted(maps.Keys(into))
	for _, key := range slices.Sorted(maps.Keys(list)) {
		price := list[key]
		e := message.InputError{Field: "--price", Value: fmt.Sprintf("%s=%g", key, price), Try: "--price brick=40"}
		switch {
		case into[key] == nil:
			e.Reason, e.Allowed = message.T("cli.explore.no-price"), message.T("cli.usage.allowed", "list", strings.Join(names, ", "))
			if near := message.Nearest(key, names); near != "" {
				e.Try = "--price " + near + "=40"
			}
			return p, &e
		case !(price >= 0):
			e.Reason = message.T("cli.explore.below-zero")
			return p, &e
		}
		*into[key] = price
	}
	return p, nil
}

// write puts each design into a folder as a brief.
func (k *searchCmd) write(front []explore.Design) error {
	if k.Out == "" {
		return nil
	}
	for i, d := range front {
		data, err := d.Form.Write()
		if err == nil {
			err = writeNew(filepath.Join(k.Out, fmt.Sprintf("design-%d.yaml", i+1)), data)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// found prints the designs: a line each, and the sentences of the one that comes
// nearest to everything.
func (p explorePrinter) found(q *explore.Search, front []explore.Design) {
	c := p.say
	p.heading("cli.explore.found")
	best := explore.Recommend(front)
	if best < 0 {
		fmt.Fprintln(p.out, c.S("cli.explore.none"))
		fmt.Fprintln(p.out, limits(q.Limits, c))
		return
	}
	done, _ := q.Total()
	fmt.Fprintln(p.out, c.S("cli.explore.tried", "n", done))
	p.table(func(row func(...string)) {
		head := []string{""}
		for _, g := range q.Goals {
			head = append(head, c.Say(g.Name()))
		}
		row(append(head, c.S("explore.metric.air-ratio"))...)
		for i, d := range front {
			cells := []string{fmt.Sprint(i + 1)}
			for j, g := range q.Goals {
				cells = append(cells, c.Value(g.Value(d.Objectives[j])))
			}
			row(append(cells, c.Value(explore.AirRatio.Value(d.AirRatio)))...)
		}
	})
	for _, text := range setsOf(front, c) {
		fmt.Fprintf(p.out, "\n%s\n", text)
	}
	fmt.Fprintf(p.out, "\n%s\n", c.S("cli.explore.best", "n", best+1))
	p.sentences(front[best].Says(q))
}

// limits says what every design had to keep.
func limits(l explore.Limits, c *message.Catalogue) string {
	list := []string{c.Say(explore.AirRatio.Name()) + " ≥ " + c.Value(explore.AirRatio.Value(l.AirRatio))}
	for _, most := range []struct {
		name  message.Text
		value quantity.Value
	}{
		{explore.BoilTime.Name(), minutes(l.Time)}, {explore.Skin.Name(), explore.Skin.Value(l.Skin)},
		{message.T("cli.explore.height"), quantity.Value{SI: l.Height, Unit: quantity.Millimetre, Step: 1}},
		{message.T("cli.explore.weight"), quantity.Value{SI: l.Weight, Unit: quantity.Kilogram, Step: 0.1}},
	} {
		if most.value.SI > 0 {
			list = append(list, c.Say(most.name)+" ≤ "+c.Value(most.value))
		}
	}
	return c.S("cli.explore.limits", "share", quantity.Pct(l.Confidence), "list", strings.Join(list, "; "))
}

// setsOf says what each design sets.
func setsOf(front []explore.Design, c *message.Catalogue) []string {
	list := make([]string, len(front))
	for i, d := range front {
		list[i] = c.S("cli.explore.sets", "n", i+1, "list", changes(d, c))
	}
	return list
}

// changes are what a design sets, in words.
func changes(d explore.Design, c *message.Catalogue) string {
	var list []string
	for _, id := range slices.Sorted(maps.Keys(d.Form.Yours)) {
		list = append(list, c.S("stove.dim."+id)+" "+strings.TrimSpace(d.Form.Yours[id]))
	}
	return strings.Join(list, ", ")
}
