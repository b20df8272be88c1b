package cli

import (
	"fmt"
	"os"

	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

type whyCmd struct {
	Before string `arg:"" help:"${explore_before}" placeholder:"before.yaml"`
	After  string `arg:"" help:"${explore_after}" placeholder:"after.yaml"`
	answerFlags
	jsonFlag
}

// Run splits the difference of two stoves among their changes.
func (w *whyCmd) Run(c *call) error {
	if err := w.check(); err != nil {
		return err
	}
	var both [2]explore.Subject
	var names [2]string
	for i, name := range []string{w.Before, w.After} {
		form, err := briefArgs{Brief: name}.form()
		if err != nil {
			return inFile(name, err)
		}
		both[i] = explore.Subject{Form: form, Coefficients: fire.Defaults(), Depth: explore.Cold}
		if names[i] = name; form.Name != "" { // one brief changed is two of one name
			names[i] = fmt.Sprintf("%s (%s)", form.Name, name)
		}
	}
	reasons, err := explore.Why(both[0], both[1])
	if err != nil {
		return err
	}
	between := c.Catalogue.S("cli.explore.why-between", "before", names[0], "after", names[1])
	out := reasonsJSON(reasons, c.Catalogue)
	out.Says = append([]string{between}, out.Says...)
	pictures := eachMetric(func(m explore.Metric) picture {
		return picture{"", figure.Parts(reasons, names, m, c.Catalogue, pictureWidth)}
	})
	if err := w.write(c, answer{"why", w.After, both[1].Form, out.Says, pictures, nil}); err != nil {
		return err
	}
	if w.JSON {
		return writeJSON(c.Out, out)
	}
	fmt.Fprintln(c.Out, c.Catalogue.S("cli.fire.computed"))
	fmt.Fprintln(c.Out, between)
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	for m := range explore.MetricCount {
		if len(reasons.Parts) > 0 {
			p.heading("explore.metric." + m.String())
		}
		p.sentences(reasons.Says(m))
		if len(reasons.Parts) == 0 {
			break // the same stove, whatever the metric
		}
	}
	return nil
}

func reasonsJSON(r explore.Reasons, c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "why", Computed: true, Before: outcomeJSON(r.Before), After: outcomeJSON(r.After), Orders: finite(r.Whole)}
	for m := range explore.MetricCount {
		out.Says = append(out.Says, sentences(c, r.Says(m))...)
	}
	for _, p := range r.Parts {
		out.Parts = append(out.Parts, partJSON{p.Key, c.Say(p.Name()), outcomeJSON(p.Brings), outcomeJSON(p.Doubt)})
	}
	return out
}

type potsCmd struct {
	Briefs []string `arg:"" help:"${explore_kitchens}" placeholder:"brief.yaml"`
	longArgs
	answerFlags
	jsonFlag
}

// Run finds the one stove, or the two sizes, that serve the pots of all briefs.
func (k *potsCmd) Run(c *call) error {
	if err := k.check(); err != nil {
		return err
	}
	fleet := &explore.Fleet{Coefficients: fire.Defaults()}
	for _, name := range k.Briefs {
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		form, err := stove.ParseForm(data)
		if err != nil {
			return inFile(name, err)
		}
		fleet.Kitchens = append(fleet.Kitchens, explore.Kitchen{Form: form, Weight: 1})
	}
	if err := k.carry(c, fleet); err != nil {
		return err
	}
	out := fleetJSON(fleet, c.Catalogue)
	if err := k.write(c, answer{"pots", k.Briefs[0], fleet.Kitchens[0].Form, out.Says, []picture{{"", figure.Pots(fleet, c.Catalogue, pictureWidth)}}, nil}); err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, out)
	}
	fmt.Fprintln(c.Out, c.Catalogue.S("cli.fire.computed"))
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	p.sentences(fleet.Says())
	p.fleet(fleet)
	return nil
}

// fleet prints the wood of every pot on each set of stoves.
func (p explorePrinter) fleet(f *explore.Fleet) {
	c := p.say
	sets := fleetSets(f)
	p.heading("cli.explore.wood-by-pot")
	p.table(func(row func(...string)) {
		var head []string
		for _, s := range sets {
			head = append(head, c.S("cli.explore.set-"+s.key))
		}
		row(append([]string{""}, head...)...)
		for i, pot := range f.PotNames() {
			cells := []string{c.Say(pot)}
			for _, s := range sets {
				cells = append(cells, c.Value(explore.Wood.Value(s.set.ByPot[i])))
			}
			row(cells...)
		}
	})
}

// fleetSet is one way to serve all pots: one stove, two sizes, or one for each.
type fleetSet struct {
	key string
	set explore.Set
}

// fleetSets are those that serve every pot.
func fleetSets(f *explore.Fleet) (list []fleetSet) {
	add := func(key string, s explore.Set, ok bool) {
		if ok {
			list = append(list, fleetSet{key, s})
		}
	}
	one, ok := f.Best(1)
	add("one", one, ok)
	two, ok := f.Best(2)
	add("two", two, ok)
	apart, ok := f.Apart()
	add("apart", apart, ok)
	return list
}

func fleetJSON(f *explore.Fleet, c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "pots", Computed: true, Says: sentences(c, f.Says())}
	for _, s := range fleetSets(f) {
		set := setJSON{Set: s.key, Wood: finite(s.set.Wood)}
		for i, pot := range f.PotNames() {
			set.Pots = append(set.Pots, setPotJSON{c.Say(pot), s.set.Of[i], finite(s.set.ByPot[i])})
		}
		for _, form := range s.set.Forms {
			brief, err := form.Write()
			if err != nil {
				continue // a form that was read can be written; tested
			}
			set.Briefs = append(set.Briefs, string(brief))
		}
		out.Sets = append(out.Sets, set)
	}
	return out
}
