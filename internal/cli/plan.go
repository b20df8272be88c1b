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
	Tests       string   `help:"${plan_tests}" placeholder:"5"`
	Households  string   `help:"${plan_households}" placeholder:"20"`
	Scatter     string   `help:"${plan_scatter}" placeholder:"10%" default:"10%"`
	See         string   `help:"${plan_see}" placeholder:"10%" default:"10%"`
	Power       string   `help:"${plan_power}" placeholder:"80%" default:"80%"`
	Level       string   `help:"${test_level}" placeholder:"95%" default:"95%"`
	Paired      bool     `help:"${plan_paired}"`
	VillageSize string   `help:"${plan_village_size}" placeholder:"8" name:"village-size"`
	Likeness    string   `help:"${plan_likeness}" placeholder:"0.1"`
	Loss        string   `help:"${plan_loss}" placeholder:"10%"`
	Population  string   `help:"${plan_population}" placeholder:"400"`
	WoodAMeal   string   `help:"${plan_wood}" placeholder:"2.5kg" name:"wood-a-meal"`
	Seed        string   `help:"${plan_seed}" placeholder:"1" default:"1"`
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
	plan, err := k.form().Read()
	if err != nil {
		return asPlanFlags(err)
	}
	d := planDoc{Scatter: plan.Design.CV, See: plan.Design.Difference, Paired: k.Paired, Exact: plan.Plan.Exact, Textbook: plan.Plan.Textbook, Clusters: plan.Plan.Clusters, Visited: plan.Plan.Visited,
		Detectable: finite(plan.Detectable), Wood: plan.Wood.SI, Seed: plan.Seed}
	for _, s := range plan.Order {
		d.Order = append(d.Order, slotDoc{s.Block, s.Place, s.Stove})
	}
	for _, x := range plan.Crossover {
		d.Crossover = append(d.Crossover, crossDoc{x.Kitchen, x.First, x.Second})
	}
	if k.JSON {
		return writeJSON(c.Out, d)
	}
	k.print(printer{c.Catalogue, c.Out}, d)
	return nil
}

// form is the plan as the bench has it on a page.
func (k *planCmd) form() bench.PlanForm {
	f := bench.PlanForm{Stoves: k.Stoves, Tests: k.Tests, Households: k.Households, Scatter: k.Scatter, See: k.See, Power: k.Power, Level: k.Level, Village: k.VillageSize, Likeness: k.Likeness,
		Loss: k.Loss, Population: k.Population, Meal: k.WoodAMeal, Seed: k.Seed}
	if k.Paired {
		f.Paired = "yes"
	}
	return f
}

// asPlanFlags names the flags that complaints are about.
func asPlanFlags(err error) error {
	list, _ := message.Complaints(err)
	for _, e := range list {
		flag := "--" + strings.ReplaceAll(e.Field, "_", "-")
		try := strings.ReplaceAll(e.Try, " ", "")
		switch e.Field {
		case "stoves":
			try += " --tests 5"
		case "households":
			try += " --stoves A,B"
		}
		e.Field, e.Try = flag, flag+" "+try
	}
	return err
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
		fmt.Fprintln(p.out, c.S("cli.plan.seed", "seed", strconv.FormatUint(d.Seed, 10)))
	}
	if len(d.Crossover) > 0 {
		p.heading("cli.plan.crossover")
		p.table(func(row func(...string)) {
			row(c.S("cli.plan.household"), c.S("cli.plan.first"), c.S("cli.plan.second"))
			for _, x := range d.Crossover {
				row(x.Household, x.First, x.Second)
			}
		})
		fmt.Fprintln(p.out, c.S("cli.plan.seed", "seed", strconv.FormatUint(d.Seed, 10)))
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
