package cli

import (
	"fmt"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/message"
)

// tiersCmd prints the published tiers, or reads the figures of an older
// publication. It is told nothing of one's own tests: those get their tiers from
// the sequence, by compare.
type tiersCmd struct {
	Figures []string `arg:"" optional:"" help:"${tiers_figures}" placeholder:"indicator=number"`
	jsonFlag
}

// tiersDoc is docs/schema/tiers.schema.json.
type tiersDoc struct {
	Scales []scaleDoc `json:"scales,omitempty"`
	Older  []groupDoc `json:"older,omitempty"`
	Note   string     `json:"note"`
}

type scaleDoc struct {
	Scale      string         `json:"scale"`
	Name       string         `json:"name"`
	Standing   string         `json:"standing"`
	Source     string         `json:"source"`
	Note       string         `json:"note"`
	Indicators []indicatorDoc `json:"indicators"`
}

type indicatorDoc struct {
	Indicator string     `json:"indicator"`
	Name      string     `json:"name"`
	Unit      string     `json:"unit"`
	Higher    bool       `json:"higher_is_better"`
	Limits    []*float64 `json:"limits"`
}

type groupDoc struct {
	Group string         `json:"group"`
	Tier  int            `json:"tier"`
	Parts []olderPartDoc `json:"parts"`
}

type olderPartDoc struct {
	Indicator string `json:"indicator"`
	Name      string `json:"name"`
	Text      string `json:"text"`
	Tier      int    `json:"tier"`
}

// Run prints the scales, or where the figures fall.
func (k *tiersCmd) Run(c *call) error {
	p := printer{c.Catalogue, c.Out}
	if len(k.Figures) == 0 {
		if k.JSON {
			return writeJSON(c.Out, scalesJSON(c.Catalogue))
		}
		p.scales()
		return nil
	}
	figures := map[string]string{}
	for _, said := range k.Figures {
		key, number, both := strings.Cut(said, "=")
		if _, again := figures[key]; !both || again {
			return &message.InputError{Field: "tiers", Value: said, Reason: message.T("bench.tier.number"), Try: "high-power-efficiency=35%"}
		}
		figures[key] = number
	}
	groups, err := bench.ReadOlder(figures)
	if err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, olderJSON(c.Catalogue, groups))
	}
	p.older(groups)
	return nil
}

func (p printer) scales() {
	c := p.say
	for i, s := range bench.Scales {
		if i > 0 {
			fmt.Fprintln(p.out)
		}
		fmt.Fprintln(p.out, strings.ToUpper(c.Say(s.Name())))
		p.table(func(row func(...string)) {
			head := []string{c.S("cli.tiers.indicator"), c.S("cli.tiers.word"), c.S("cli.tiers.unit")}
			for tier := range s.Indicators[0].Limits {
				head = append(head, c.S("cli.tiers.tier", "n", tier+1))
			}
			row(head...)
			for _, i := range s.Indicators {
				cells := []string{c.Say(i.Name()), i.Key, i.Unit}
				for _, limit := range i.Limits {
					cells = append(cells, limitWords(i, limit))
				}
				row(cells...)
			}
		})
		fmt.Fprintln(p.out, c.S("cli.tiers.standing", "standing", s.Standing, "source", s.Source)+" "+s.Note)
	}
	fmt.Fprintln(p.out)
	fmt.Fprintln(p.out, c.S("cli.tiers.unknown"))
	fmt.Fprintln(p.out, c.S("cli.tiers.which"))
}

// limitWords is a boundary: what a figure must reach, or must not pass.
func limitWords(i bench.Indicator, limit *float64) string {
	if limit == nil {
		return "–"
	}
	sign := "≤ "
	if i.Higher {
		sign = "≥ "
	}
	return sign + strconv.FormatFloat(*limit, 'f', -1, 64)
}

func (p printer) older(groups []bench.GroupTier) {
	c := p.say
	fmt.Fprintln(p.out, c.S("bench.tier.older"))
	for _, g := range groups {
		id := "cli.tiers.group"
		if len(g.Parts) == 1 {
			id = "cli.tiers.one"
		}
		fmt.Fprintln(p.out)
		fmt.Fprintln(p.out, c.S(id, "group", g.Name(), "tier", g.Tier.Low))
		p.table(func(row func(...string)) {
			for _, part := range g.Parts {
				row("  "+c.Say(part.Indicator.Name()), printed(c, part), c.S("cli.tiers.tier", "n", part.Tier.Low))
			}
		})
	}
}

func printed(c *message.Catalogue, p bench.PartTier) string {
	return c.Value(p.Indicator.Shown(p.Value))
}

func scalesJSON(c *message.Catalogue) tiersDoc {
	d := tiersDoc{Note: c.S("cli.tiers.which")}
	for _, s := range bench.Scales {
		out := scaleDoc{Scale: s.Key, Name: c.Say(s.Name()), Standing: s.Standing, Source: s.Source, Note: s.Note}
		for _, i := range s.Indicators {
			out.Indicators = append(out.Indicators, indicatorDoc{i.Key, c.Say(i.Name()), i.Unit, i.Higher, i.Limits})
		}
		d.Scales = append(d.Scales, out)
	}
	return d
}

func olderJSON(c *message.Catalogue, groups []bench.GroupTier) tiersDoc {
	d := tiersDoc{Note: c.S("bench.tier.older")}
	for _, g := range groups {
		out := groupDoc{Group: c.Say(g.Name()), Tier: g.Tier.Low}
		for _, part := range g.Parts {
			out.Parts = append(out.Parts, olderPartDoc{part.Indicator.Key, c.Say(part.Indicator.Name()), printed(c, part), part.Tier.Low})
		}
		d.Older = append(d.Older, out)
	}
	return d
}
