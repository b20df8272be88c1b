package cli

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"

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
		if err := chokes(both[i], names[i]); err != nil {
			return inFile(name, err)
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
	if err := w.tell(c, out, func(p explorePrinter) {
		fmt.Fprintln(p.out, p.say.S("cli.fire.computed"))
		fmt.Fprintln(p.out, between)
		p.reasons(reasons)
	}); err != nil {
		return err
	}
	return w.write(c, answer{"why", w.After, both[1].Form, out.Says, pictures, nil})
}

// chokes complains of a stove that does, by its name.
func chokes(s explore.Subject, name string) error {
	sized, err := s.Stove()
	if err != nil {
		return err
	}
	var what said
	if errors.As(alight(s, sized), &what) {
		return said(message.T("cli.explore.of-stove", "stove", name, "what", what.Text()))
	}
	return nil
}

// reasons prints what each change brings to each metric.
func (p explorePrinter) reasons(r explore.Reasons) {
	if len(r.Parts) == 0 { // the same stove, whatever the metric
		p.sentences(r.Says(explore.Efficiency))
		return
	}
	for m := range explore.MetricCount {
		p.heading("explore.metric." + m.String())
		p.sentences(r.Says(m))
	}
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
	tellApart(fleet.Kitchens, k.Briefs, c.Catalogue)
	if err := k.carry(c, fleet); err != nil {
		return err
	}
	out := fleetJSON(fleet, c.Catalogue)
	if err := k.tell(c, out, func(p explorePrinter) {
		fmt.Fprintln(p.out, p.say.S("cli.fire.computed"))
		p.sentences(fleet.Says())
		p.fleet(fleet)
	}); err != nil {
		return err
	}
	return k.write(c, answer{"pots", k.Briefs[0], fleet.Kitchens[0].Form, out.Says, []picture{{"", figure.Pots(fleet, c.Catalogue, pictureWidth)}}, nil})
}

// tellApart gives pots of one name names that say whose they are: by their files, and
// within one file by their numbers.
func tellApart(kitchens []explore.Kitchen, files []string, c *message.Catalogue) {
	count := make(map[string]int)
	within := make([]map[string]int, len(kitchens))
	for i, k := range kitchens {
		within[i] = make(map[string]int)
		for _, p := range append([]stove.PotForm{k.Form.Pot}, k.Form.MorePots...) {
			count[p.Name]++
			within[i][p.Name]++
		}
	}
	for i := range kitchens {
		form, number := &kitchens[i].Form, 0
		form.MorePots = slices.Clone(form.MorePots)
		rename := func(p *stove.PotForm) {
			number++
			if count[p.Name] < 2 {
				return
			}
			name, of := cmp.Or(p.Name, c.S("explore.the-pot")), fmt.Sprint(number)
			if within[i][p.Name] < 2 {
				of = files[i]
			} else if len(kitchens) > 1 {
				of = files[i] + ", " + of
			}
			p.Name = c.S("cli.explore.pot-of", "name", name, "of", of)
		}
		rename(&form.Pot)
		for j := range form.MorePots {
			rename(&form.MorePots[j])
		}
	}
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
