package cli

import (
	"fmt"
	"os"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/stove"
)

type whyCmd struct {
	Before string `arg:"" help:"${explore_before}" placeholder:"before.yaml"`
	After  string `arg:"" help:"${explore_after}" placeholder:"after.yaml"`
	jsonFlag
}

// Run splits the difference of two stoves among their changes.
func (w *whyCmd) Run(c *call) error {
	var both [2]explore.Subject
	for i, name := range []string{w.Before, w.After} {
		form, err := briefArgs{Brief: name}.form()
		if err != nil {
			return inFile(name, err)
		}
		both[i] = explore.Subject{Form: form, Coefficients: fire.Defaults(), Depth: explore.Cold}
	}
	reasons, err := explore.Why(both[0], both[1])
	if err != nil {
		return err
	}
	out := exploreJSON{Question: "why", Computed: true}
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	if !w.JSON {
		fmt.Fprintln(c.Out, c.Catalogue.S("cli.fire.computed"))
	}
	for m := range explore.MetricCount {
		says := reasons.Says(m)
		out.Says = append(out.Says, sentences(c.Catalogue, says)...)
		if !w.JSON {
			p.heading("explore.metric." + m.String())
			p.sentences(says)
		}
	}
	if w.JSON {
		return writeJSON(c.Out, out)
	}
	return nil
}

type potsCmd struct {
	Briefs []string `arg:"" help:"${explore_kitchens}" placeholder:"brief.yaml"`
	longArgs
	jsonFlag
}

// Run finds the one stove, or the two sizes, that serve the pots of all briefs.
func (k *potsCmd) Run(c *call) error {
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
	says := fleet.Says()
	if k.JSON {
		return writeJSON(c.Out, exploreJSON{Question: "pots", Computed: true, Says: sentences(c.Catalogue, says)})
	}
	fmt.Fprintln(c.Out, c.Catalogue.S("cli.fire.computed"))
	explorePrinter{printer{c.Catalogue, c.Out}}.sentences(says)
	return nil
}
