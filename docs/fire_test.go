package docs_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"stovewright/fire"
	"stovewright/internal/form"
	"stovewright/message"
)

// fireAbout says what the fields of a fire are, and what is taken where one is
// left out.
var fireAbout = map[string]struct{ what, without string }{
	"stove":         {"In a workshop file: the record of the stove", "not used"},
	"power":         {"Firepower on the way to the boil", "the planned power of the stove"},
	"water":         {"Water, or food that is mostly water", "the fill of the brief"},
	"start":         {"Its temperature at the start; below the boiling point", "that of the air"},
	"hold":          {"Kept hot for so long after the boil; 0 for no simmer", "45 min"},
	"lid":           {"Whether the lid is on", "`no`"},
	"sticks":        {"Sticks burning at a time, each replaced when it is burnt", "fed evenly"},
	"stick_mass":    {"Mass of a stick", "200 g, if fed by sticks"},
	"heating_value": {"Higher heating value of the dry wood, where it was measured", "by its composition"},
	"pressure":      {"Pressure of the air, by a barometer that is not set to sea level", "by the altitude"},
}

// measuredAbout says what the fields of measured data are.
var measuredAbout = map[string]string{
	"description":                "What the file holds",
	"findings.key":               "A name for the finding",
	"findings.quantity":          "What was measured, see below",
	"findings.low":               "Lower end of the range; left out, the finding is an upper bound",
	"findings.high":              "Upper end of the range",
	"findings.uncertainty":       "One standard deviation of a single test",
	"findings.stove":             "Kind of stove; a finding of another kind is shown and proves nothing; `any` if left out",
	"findings.water":             "Water in the pot; a finding of an amount more than 20 % off is shown and proves nothing",
	"findings.conditions":        "What else a reader must know",
	"findings.standing":          "Where the value comes from: measured here, published, …",
	"findings.source":            "Who measured it",
	"not_predicted.what":         "Something that the model says nothing about",
	"not_predicted.value":        "Its value, in words",
	"not_predicted.conditions":   "What else a reader must know",
	"not_predicted.standing":     "Where the value comes from",
	"not_predicted.source":       "Who measured it",
	"stoves.name":                "Name of the stove",
	"stoves.source":              "Who measured it, and when",
	"stoves.standing":            "Where the values come from",
	"stoves.note":                "Anything worth keeping",
	"stoves.results.quantity":    "What was measured, see below",
	"stoves.results.value":       "The measured value, the mean of the tests",
	"stoves.results.uncertainty": "One standard deviation of the value",
	"stoves.results.tests":       "How many tests it is the mean of",
}

var measuredLists = []string{"findings", "not_predicted", "stoves", "stoves.results"}

func TestFireTables(t *testing.T) {
	var b strings.Builder
	b.WriteString("| field | what | value | without it | example |\n|---|---|---|---|---|\n")
	for _, f := range fire.Fields {
		a, ok := fireAbout[f.Path]
		if !ok {
			t.Errorf("%s is not described", f.Path)
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", f.Path, a.what, allowedBrick(f), a.without, code(f.Example))
	}
	b.WriteString("| `coefficients` | Coefficients of the model, by their keys | numbers in the units of the table below | the table's | `loss-scale: 1.15` |\n")
	hold(t, "files.md", "fire fields", b.String())

	b.Reset()
	b.WriteString("| key | what | unit | value | judged likely | allowed | where from |\n|---|---|---|---|---|---|---|\n")
	for i, r := range fire.Table() {
		low, high := fire.Coefficient(i).Limits()
		from := r.Standing
		if r.Source != "" {
			from += ", " + code(r.Source)
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %g | %g to %g | %g to %g | %s |\n", r.Key, message.English().S("fire.coefficient."+r.Key), r.Unit, r.Value, r.Low, r.High, *rounded(low), *rounded(high), from)
	}
	hold(t, "files.md", "coefficients", b.String())

	b.Reset()
	b.WriteString("| field | what | value | example |\n|---|---|---|---|\n")
	for _, f := range fire.MeasuredFields {
		what, ok := measuredAbout[f.Path]
		if !ok {
			t.Errorf("%s is not described", f.Path)
		}
		value := allowedBrick(f)
		switch f.Path {
		case "findings.quantity", "stoves.results.quantity":
			value = "a key of the table below"
		case "findings.low", "findings.high", "findings.uncertainty", "stoves.results.value", "stoves.results.uncertainty":
			value = "a value with its unit"
		}
		if f.Required {
			value += "; **needed**"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", listPath(f.Path, measuredLists), what, value, code(f.Example))
	}
	hold(t, "files.md", "measured fields", b.String())

	b.Reset()
	b.WriteString("| quantity | what | unit of a bare number |\n|---|---|---|\n")
	for _, m := range fire.Measures() {
		unit := m.Unit.Symbol
		if unit == "" {
			unit = "none: a number"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", m.Key, message.English().S("fire.measure."+m.Key), unit)
	}
	hold(t, "files.md", "measures", b.String())
}

func code(s string) string {
	if s == "" {
		return ""
	}
	return "`" + s + "`"
}

// listPath marks the lists in a path.
func listPath(path string, lists []string) string {
	parts := strings.Split(path, ".")
	for i := range parts[:len(parts)-1] {
		for _, l := range lists {
			if strings.Join(strings.Split(path, ".")[:i+1], ".") == l {
				parts[i] += "[]"
			}
		}
	}
	return strings.Join(parts, ".")
}

func TestFireSchemas(t *testing.T) {
	for name, root := range map[string]*node{"fire-form": fireFormSchema(), "measured": measuredSchema()} {
		want, err := marshal(root)
		if err != nil {
			t.Fatal(err)
		}
		path := "schema/" + name + ".schema.json"
		got, err := os.ReadFile(path)
		if err == nil && bytes.Equal(got, want) {
			continue
		}
		if !*update {
			t.Fatalf("%s is not that of the program; run: go test ./docs -update", path)
		}
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func fireFormSchema() *node {
	root := &node{Schema: "https://json-schema.org/draft/2020-12/schema", ID: "fire-form.schema.json", Title: "Fire",
		Description: "What is asked of the fire in a stove: the YAML file as JSON. Quantities are texts with a unit, or bare numbers in the unit that is named.", Type: "object", Additional: false}
	formNodes(root, fire.Fields, nil, func(f form.Field) string {
		return fireAbout[f.Path].what + ". Without it: " + strings.ReplaceAll(fireAbout[f.Path].without, "`", "") + "."
	})
	own := &node{Description: "Coefficients of the model in place of the table's, in its units.", Type: "object", Additional: false}
	for i, r := range fire.Table() {
		low, high := fire.Coefficient(i).Limits()
		own.Properties = append(own.Properties, property{r.Key, &node{Description: fmt.Sprintf("%s, in %s; judged likely: %g to %g.", message.English().S("fire.coefficient."+r.Key), r.Unit, r.Low, r.High),
			Type: []string{"number", "string"}, Minimum: rounded(low), Maximum: rounded(high), Examples: []any{r.Value}}})
	}
	root.Properties = append(root.Properties, property{"coefficients", own})
	return root
}

// rounded is a limit without the last bits of its computation.
func rounded(x float64) *float64 {
	if x == 0 {
		return &x
	}
	scale := math.Pow(10, 3-math.Ceil(math.Log10(math.Abs(x))))
	x = math.Round(x*scale) / scale
	return &x
}

func measuredSchema() *node {
	root := &node{Schema: "https://json-schema.org/draft/2020-12/schema", ID: "measured.schema.json", Title: "Measured data",
		Description: "What was measured on stoves, to hold the model against: the YAML file as JSON. Values are texts with a unit, or bare numbers in the unit of their quantity.", Type: "object", Additional: false}
	formNodes(root, fire.MeasuredFields, measuredLists, func(f form.Field) string { return strings.ReplaceAll(measuredAbout[f.Path], "`", "") + "." })
	stove := root.Properties.get("stoves").Items
	stove.Properties = append(stove.Properties, property{"brief", &node{Ref: "brief.schema.json", Description: "The stove as it was built: what differs from the rules stands under yours."}},
		property{"fire", &node{Ref: "fire-form.schema.json", Description: "What was done with it; no coefficients of your own."}})
	stove.Required = append(stove.Required, "brief", "results")
	return root
}

// formNodes adds the fields of a form to a schema.
func formNodes(root *node, fields form.Fields, lists []string, describe func(form.Field) string) {
	for _, f := range fields {
		path := strings.Split(f.Path, ".")
		owner := root
		for i, name := range path[:len(path)-1] {
			found := owner.Properties.get(name)
			if found == nil {
				found = &node{Type: "object", Additional: false}
				if strings.Contains(listPath(strings.Join(path[:i+2], "."), lists), name+"[]") {
					found = &node{Type: "array", Items: found}
				}
				owner.Properties = append(owner.Properties, property{name, found})
			}
			if owner = found; found.Items != nil {
				owner = found.Items
			}
		}
		name := path[len(path)-1]
		n := &node{Description: describe(f)}
		switch {
		case f.Kind == form.Quantity:
			n.Type, n.Minimum, n.Maximum = []string{"string", "number"}, &f.Min, &f.Max
			n.Description += fmt.Sprintf(" %s; a bare number is in %s.", title(f.Unit.Dimension), f.Unit.Symbol)
		case f.Kind == form.Whole:
			n.Type, n.Minimum, n.Maximum, n.Pattern = []string{"integer", "string"}, &f.Min, &f.Max, "^ *[0-9]+ *$"
		case f.Kind == form.Word:
			n.Enum = f.Options
		default:
			n.Type = []string{"string", "number"}
		}
		if f.Example != "" {
			n.Examples = []any{f.Example}
		}
		owner.Properties = append(owner.Properties, property{name, n})
		if f.Required {
			owner.Required = append(owner.Required, name)
		}
	}
}

// TestFireExamplesHoldToTheirSchemas reads the examples as plain YAML, as a
// program that knows nothing of ours would.
func TestFireExamplesHoldToTheirSchemas(t *testing.T) {
	compiler := jsonschema.NewCompiler()
	for name, file := range map[string]string{"fire-form": "own.yaml", "measured": "measured.yaml"} {
		s, err := compiler.Compile(filepath.Join("schema", name+".schema.json"))
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(filepath.Join("..", "examples", "fire", file))
		if err != nil {
			t.Fatal(err)
		}
		asJSON, err := yaml.YAMLToJSON(data)
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(asJSON))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", file, err)
		}
		for _, bad := range []string{`{"power": "4 kW", "brand": 1}`, `{"findings": [{"quantity": "efficiency", "high": 1}]}`, `{"stoves": [{"name": "A"}]}`, `{"coefficients": {"wal-film": 3}}`, `{"coefficients": {"wall-film": 3000}}`} {
			if v, err = jsonschema.UnmarshalJSON(strings.NewReader(bad)); err != nil {
				t.Fatal(err)
			}
			if s.Validate(v) == nil {
				t.Errorf("%s takes %s", name, bad)
			}
		}
	}
}
