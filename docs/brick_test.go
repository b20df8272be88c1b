package docs_test

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// papers describe the sheets of the brick maker: what each is, and what is taken
// where a field is left out and something is.
var papers = map[brick.Paper]struct {
	what    string
	without map[string]string
}{
	brick.ClayPaper: {"One clay, dug at one place and depth on one day, with its field tests", map[string]string{
		"jar.water": "20 °C", "bar.ruler": "`0.5 mm`", "bar.at": "not known", "loss.at": "not known"}},
	brick.SeriesPaper: {"The materials at hand, what is wanted, and each mix with its bricks", map[string]string{
		"scale": "`1 g`", "calliper": "`0.5 mm`", "goal.aim": "`light`", "goal.max_density": "no limit", "goal.min_density": "no limit", "goal.min_strength": "`0.6 MPa`",
		"goal.max_shrinkage": "no limit", "goal.least_water": "a fifth below the driest trial", "goal.most_water": "a fifth above the wettest trial", "goal.least_firing": "the coolest of the trials", "goal.most_firing": "the hottest of the trials", "goal.dry_batch": "`2 kg`",
		"materials.tin": "no tins of it", "materials.sieve": "grains as of 1 mm", "materials.moisture": "that of its kind, with a wide band", "materials.loss": "that of its kind, with a band",
		"materials.grain": "that of its kind", "materials.price": "no costs", "materials.least": "usual for its kind", "materials.most": "usual for its kind",
		"trials.mix.moisture": "that of the material", "trials.bricks.in_water.sinker": "no sinker", "trials.bricks.in_water.water": "`20 °C`"}},
	brick.DryingPaper: {"One marked brick, weighed while it dries", map[string]string{"scale": "`1 g`", "dry": "judged by the loss of a day alone"}},
	brick.FiringPaper: {"A firing: what is wanted, the log, and where the bricks stood", map[string]string{
		"peak": "no plan", "soak": "no soak", "pore_former": "`yes`", "rows.fuel": "none", "bricks.row": "not known", "bricks.column": "not known"}},
	brick.MouldPaper: {"A mould: the fired size wanted, and where the shrinkage comes from", map[string]string{
		"series": "the one series of the command", "trial": "all trials", "drying": "from the lines or the series", "firing": "from the lines or the series",
		"allowance": "`0 mm`", "tolerance": "`2 mm`", "joint": "`3 mm`", "ring.sides": "no ring", "ring.thickness": "the width", "ring.height": "the height", "ring.mitre": "`0.5 °`"}},
	brick.BatchPaper: {"A batch: how many good bricks, of which trial, in which mould, with what losses", map[string]string{
		"series": "the one series of the command", "trial": "the last that was fired", "set_of": "no sets", "yield.mould": "`97 %`", "yield.dry": "`93 %`", "yield.fire": "`90 %`", "yield.check": "`95 %`",
		"yield.made": "no record", "confidence": "`95 %`", "spill": "`4 %`", "moulds_per_day": "`40`", "drying_days": "`10 d`", "shelf_gap": "`20 mm`", "kiln_bricks": "`120`", "wood_heat": "`16 MJ/kg`"}},
}

// textLists are fields that hold a list of texts.
var textLists = []string{"positions", "rows.temps"}

// TestBrickTables holds the tables of the brick maker's sheets in files.md to
// the fields.
func TestBrickTables(t *testing.T) {
	for _, p := range brick.Papers {
		about := papers[p]
		for path := range about.without {
			if _, ok := p.Fields().Find(path); !ok {
				t.Errorf("%s: %s is described and is no field", p, path)
			}
		}
		var b strings.Builder
		b.WriteString("| field | what | value | without it | example |\n|---|---|---|---|---|\n")
		for _, f := range p.Fields() {
			example := f.Example
			if example != "" {
				example = "`" + example + "`"
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", listed(p, f.Path), caption(f), allowedBrick(f), without(f, about.without), example)
		}
		hold(t, "files.md", string(p)+" fields", b.String())
	}
}

func caption(f form.Field) string {
	s := message.English().Say(f.Name())
	return strings.ToUpper(s[:1]) + s[1:]
}

func without(f form.Field, known map[string]string) string {
	switch {
	case f.Required:
		return "**needed**"
	case known[f.Path] != "":
		return known[f.Path]
	}
	return "not known"
}

// listed marks the lists in a path.
func listed(p brick.Paper, path string) string {
	for _, l := range slices.Backward(p.Lists()) {
		if rest, ok := strings.CutPrefix(path, l+"."); ok {
			marked := l
			for _, outer := range slices.Backward(p.Lists()) {
				if strings.HasPrefix(l, outer+".") {
					marked = outer + "[]" + strings.TrimPrefix(l, outer)
				}
			}
			return marked + "[]." + rest
		}
	}
	return path
}

func allowedBrick(f form.Field) string {
	unit := f.Unit.Symbol
	if unit != "" {
		unit = " " + unit
	}
	switch f.Kind {
	case form.Amount:
		return fmt.Sprintf("%g to %g%s, or tins", f.Min, f.Max, unit)
	case form.Edges:
		return fmt.Sprintf("three edges, %g to %g%s", f.Min, f.Max, unit)
	case form.Moment:
		return fmt.Sprintf("%g to %g%s, or a time of day", f.Min, f.Max, unit)
	case form.Quantity:
		return fmt.Sprintf("%g to %g%s", f.Min, f.Max, unit)
	}
	return allowed(f)
}

// TestBrickSchemas holds the schemas of the sheets to the fields.
func TestBrickSchemas(t *testing.T) {
	for _, p := range brick.Papers {
		want, err := marshal(brickSchema(p))
		if err != nil {
			t.Fatal(err)
		}
		name := "schema/" + string(p) + ".schema.json"
		got, err := os.ReadFile(name)
		if err == nil && bytes.Equal(got, want) {
			continue
		}
		if !*update {
			t.Fatalf("%s is not that of the program; run: go test ./docs -update", name)
		}
		if err := os.WriteFile(name, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func brickSchema(p brick.Paper) *node {
	root := &node{Schema: "https://json-schema.org/draft/2020-12/schema", ID: string(p) + ".schema.json", Title: message.English().Say(p.Name()),
		Description: papers[p].what + ": the YAML file as JSON. Quantities are texts with a unit, or bare numbers in the unit that is named.", Type: "object", Additional: false}
	for _, f := range p.Fields() {
		path := strings.Split(f.Path, ".")
		owner := root
		for i, name := range path[:len(path)-1] {
			found := owner.Properties.get(name)
			if found == nil {
				found = &node{Type: "object", Additional: false}
				if slices.Contains(p.Lists(), strings.Join(path[:i+1], ".")) {
					found = &node{Type: "array", Items: found}
				}
				owner.Properties = append(owner.Properties, property{name, found})
			}
			if owner = found; found.Items != nil {
				owner = found.Items
			}
		}
		name := path[len(path)-1]
		owner.Properties = append(owner.Properties, property{name, brickLeaf(p, f)})
		if f.Required {
			owner.Required = append(owner.Required, name)
		}
	}
	return root
}

func brickLeaf(p brick.Paper, f form.Field) *node {
	n := &node{Description: caption(f) + "."}
	switch f.Kind {
	case form.Quantity:
		n.Type, n.Minimum, n.Maximum = []string{"string", "number"}, &f.Min, &f.Max
		if f.Unit != quantity.One {
			n.Description += fmt.Sprintf(" %s; a bare number is in %s.", title(f.Unit.Dimension), f.Unit.Symbol)
		}
	case form.Amount, form.Moment:
		n.Type = []string{"string", "number"}
		n.Description += fmt.Sprintf(" %s; a bare number is in %s.", title(f.Unit.Dimension), f.Unit.Symbol)
	case form.Whole:
		n.Type, n.Minimum, n.Maximum, n.Pattern = []string{"integer", "string"}, &f.Min, &f.Max, "^ *[0-9]+ *$"
	case form.Word:
		n.Enum = f.Options
	default:
		n.Type = "string"
	}
	if f.Required && n.Enum == nil && f.Kind != form.Whole {
		n.MinLength = 1
	}
	if !f.Required && papers[p].without[f.Path] != "" {
		n.Description += " Without it: " + strings.ReplaceAll(papers[p].without[f.Path], "`", "") + "."
	}
	if f.Example != "" {
		n.Examples = []any{f.Example}
	}
	if slices.Contains(textLists, f.Path) {
		n = &node{Description: n.Description, Type: "array", Items: &node{Type: []string{"string", "number"}}}
	}
	return n
}
