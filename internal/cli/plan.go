package cli

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/booklet"
	"stovewright/message"
	"stovewright/quantity"
)

// planCmd says how many tests or households a study needs, and in which order
// the tests are burnt.
type planCmd struct {
	Stoves      []string `help:"${plan_stoves}" placeholder:"A,B"`
	Tests       int      `help:"${plan_tests}" placeholder:"5"`
	Households  int      `help:"${plan_households}" placeholder:"20"`
	Scatter     string   `help:"${plan_scatter}" placeholder:"10%" default:"10%"`
	See         string   `help:"${plan_see}" placeholder:"10%" default:"10%"`
	Power       string   `help:"${plan_power}" placeholder:"80%" default:"80%"`
	Level       string   `help:"${test_level}" placeholder:"95%" default:"95%"`
	Paired      bool     `help:"${plan_paired}"`
	VillageSize float64  `help:"${plan_village_size}" placeholder:"8" name:"village-size"`
	Likeness    float64  `help:"${plan_likeness}" placeholder:"0.1"`
	Loss        string   `help:"${plan_loss}" placeholder:"10%"`
	Population  int      `help:"${plan_population}" placeholder:"400"`
	WoodAMeal   string   `help:"${plan_wood}" placeholder:"2.5kg" name:"wood-a-meal"`
	Seed        uint64   `help:"${plan_seed}" placeholder:"1" default:"1"`
	jsonFlag
}

// planDoc is docs/schema/plan.schema.json.
type planDoc struct {
	Scatter    float64    `json:"scatter"`
	See        float64    `json:"see"`
	Paired     bool       `json:"paired"`
	Exact      int        `json:"exact"`
	Textbook   int        `json:"textbook"`
	Clusters   int        `json:"with_villages"`
	Visited    int        `json:"to_visit"`
	Detectable *float64   `json:"detectable,omitempty"`
	Order      []slotDoc  `json:"order,omitempty"`
	Crossover  []crossDoc `json:"crossover,omitempty"`
	Wood       float64    `json:"wood,omitempty"`
	Seed       uint64     `json:"seed"`
}

type slotDoc struct {
	Day   int    `json:"day"`
	Place int    `json:"place"`
	Stove string `json:"stove"`
}

type crossDoc struct {
	Household string `json:"household"`
	First     string `json:"first"`
	Second    string `json:"second"`
}

// Run prints the plan.
func (k *planCmd) Run(c *call) error {
	design, err := k.design()
	if err != nil {
		return err
	}
	plan := bench.PlanStudy(design)
	if plan.Exact == 0 {
		return &message.InputError{Field: "--power", Value: k.Power, Reason: message.T("cli.plan.none"), Try: "--power 80%"}
	}
	d := planDoc{Scatter: design.CV, See: design.Difference, Paired: k.Paired, Exact: plan.Exact, Textbook: plan.Textbook, Clusters: plan.Clusters, Visited: plan.Visited, Seed: k.Seed}
	if k.Tests > 1 {
		d.Detectable = finite(bench.Detectable(k.Tests, design))
	}
	if err := k.orders(&d); err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, d)
	}
	k.print(printer{c.Catalogue, c.Out}, d)
	return nil
}

func (k *planCmd) design() (bench.Design, error) {
	d := bench.Design{Paired: k.Paired, PerCluster: k.VillageSize, ICC: k.Likeness, Population: k.Population}
	var err error
	level, err := levelOf(k.Level)
	if err != nil {
		return d, err
	}
	d.Alpha = 1 - level
	for _, f := range []struct {
		flag, text string
		into       *float64
		high       float64
	}{{"--scatter", k.Scatter, &d.CV, 3}, {"--see", k.See, &d.Difference, 3}, {"--power", k.Power, &d.Power, 0.99}, {"--loss", k.Loss, &d.Loss, 0.9}} {
		if f.text == "" {
			continue
		}
		v, err := quantity.Parse(f.text, quantity.Ratio, quantity.Percent)
		if err != nil || v < 0.005 || v > f.high {
			return d, &message.InputError{Field: f.flag, Value: f.text, Reason: message.T("form.out-of-range"), Allowed: message.T("form.allowed-range", "low", "0.5 %", "high", quantity.Pct(f.high)), Try: f.flag + " 10%"}
		}
		*f.into = v
	}
	switch {
	case !(k.Likeness >= 0 && k.Likeness <= 1):
		return d, &message.InputError{Field: "--likeness", Value: fmt.Sprint(k.Likeness), Reason: message.T("form.out-of-range"), Allowed: message.T("form.allowed-range", "low", "0", "high", "1"), Try: "--likeness 0.1"}
	case k.VillageSize < 0 || k.VillageSize > 1e6:
		return d, &message.InputError{Field: "--village-size", Value: fmt.Sprint(k.VillageSize), Reason: message.T("form.out-of-range"), Try: "--village-size 8"}
	case k.Population < 0:
		return d, &message.InputError{Field: "--population", Value: fmt.Sprint(k.Population), Reason: message.T("form.out-of-range"), Try: "--population 400"}
	}
	return d, nil
}

// orders draws the lots for the tests and the households.
func (k *planCmd) orders(d *planDoc) error {
	if len(k.Stoves) > 0 && k.Households == 0 {
		blocks := k.Tests
		if blocks == 0 {
			blocks = d.Visited
		}
		order, err := bench.OrderSheet(k.Stoves, blocks, k.Seed)
		if err != nil {
			return &message.InputError{Field: "--stoves", Value: strings.Join(k.Stoves, ","), Reason: message.T("cli.plan.stoves"), Try: "--stoves A,B --tests 5"}
		}
		for _, s := range order {
			d.Order = append(d.Order, slotDoc{s.Block, s.Place, s.Stove})
		}
		if k.WoodAMeal != "" {
			kg, err := quantity.Parse(k.WoodAMeal, quantity.Mass, quantity.Kilogram)
			if err != nil || !(kg > 0) || kg > 1000 {
				return &message.InputError{Field: "--wood-a-meal", Value: k.WoodAMeal, Reason: message.T("form.out-of-range"), Try: "--wood-a-meal 2.5kg"}
			}
			d.Wood = bench.WoodBudget(kg, len(k.Stoves), blocks).SI
		}
	}
	if k.Households == 0 {
		return nil
	}
	if len(k.Stoves) != 2 || k.Households < 1 || k.Households > 10000 {
		return &message.InputError{Field: "--households", Value: strconv.Itoa(k.Households), Reason: message.T("cli.plan.households"), Try: "--stoves A,B --households 20"}
	}
	codes := make([]string, k.Households)
	for i := range codes {
		codes[i] = fmt.Sprintf("H%02d", i+1)
	}
	sheet, err := bench.CrossoverSheet(codes, k.Stoves[0], k.Stoves[1], k.Seed)
	if err != nil {
		return &message.InputError{Field: "--stoves", Value: strings.Join(k.Stoves, ","), Reason: message.T("cli.plan.stoves"), Try: "--stoves A,B --households 20"}
	}
	for _, x := range sheet {
		d.Crossover = append(d.Crossover, crossDoc{x.Kitchen, x.First, x.Second})
	}
	return nil
}

func (k *planCmd) print(p printer, d planDoc) {
	c := p.say
	id := "cli.plan.each"
	if d.Paired {
		id = "cli.plan.pairs"
	}
	fmt.Fprintln(p.out, c.S(id, "n", d.Exact, "see", quantity.Pct(d.See), "scatter", quantity.Pct(d.Scatter), "power", k.Power, "textbook", d.Textbook))
	if d.Clusters != d.Exact {
		fmt.Fprintln(p.out, c.S("cli.plan.villages", "n", d.Clusters))
	}
	if d.Visited != d.Clusters {
		fmt.Fprintln(p.out, c.S("cli.plan.visit", "n", d.Visited))
	}
	if d.Detectable != nil {
		fmt.Fprintln(p.out, c.S("cli.plan.detectable", "n", k.Tests, "share", quantity.Pct(*d.Detectable)))
	}
	if d.Wood > 0 {
		fmt.Fprintln(p.out, c.S("cli.plan.budget", "wood", quantity.KG(d.Wood)))
	}
	if len(d.Order) > 0 {
		p.heading("cli.plan.order")
		p.table(func(row func(...string)) {
			row(c.S("cli.plan.day"), c.S("cli.plan.place"), c.S("cli.plan.stove"))
			for _, s := range d.Order {
				row(strconv.Itoa(s.Day), strconv.Itoa(s.Place), s.Stove)
			}
		})
		fmt.Fprintln(p.out, c.S("cli.plan.seed", "seed", strconv.FormatUint(k.Seed, 10)))
	}
	if len(d.Crossover) > 0 {
		p.heading("cli.plan.crossover")
		p.table(func(row func(...string)) {
			row(c.S("cli.plan.household"), c.S("cli.plan.first"), c.S("cli.plan.second"))
			for _, x := range d.Crossover {
				row(x.Household, x.First, x.Second)
			}
		})
		fmt.Fprintln(p.out, c.S("cli.plan.seed", "seed", strconv.FormatUint(k.Seed, 10)))
	}
}

// formCmd writes a blank paper form.
type formCmd struct {
	Test  string `arg:"" help:"${form_test}" placeholder:"boiling"`
	Out   string `help:"${form_out}" required:"" placeholder:"form.pdf"`
	Brief string `help:"${form_brief}" placeholder:"brief.yaml"`
	Paper string `help:"${report_paper}" enum:"a4,letter" default:"a4" placeholder:"a4"`
}

// Run writes the form of one kind of test.
func (f *formCmd) Run(c *call) error {
	kind, err := bench.KindOf([]byte("test: " + strconv.Quote(f.Test)))
	if err != nil {
		complaints, _ := message.Complaints(err)
		for _, e := range complaints {
			e.Try = "stovewright form " + strings.TrimPrefix(e.Try, "test: ") + " --out form.pdf"
		}
		return err
	}
	var stove = briefArgs{Brief: f.Brief}
	sized, err := stove.sizeIfGiven()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := booklet.TestForm(&b, kind, sized, c.Catalogue, papers[f.Paper]); err != nil {
		return err
	}
	if err := os.WriteFile(f.Out, b.Bytes(), 0o644); err != nil {
		return err
	}
	fmt.Fprintln(c.Out, f.Out)
	return nil
}
