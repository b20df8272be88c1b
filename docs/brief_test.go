package docs_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"stovewright/examples"
	"stovewright/quantity"
	"stovewright/stove"
)

// update rewrites what is made from stove.Fields: the table in files.md and
// the schema of the brief. Without it the test holds them equal.
var update = flag.Bool("update", false, "rewrite the field table and the schema of the brief")

// about says of each field of the brief what it is, and what is taken where it
// is left out: a value in quotes is one that may be written in the brief.
var about = map[string]struct{ what, without string }{
	"name":                            {"Name of the stove, on every drawing and list", "no name"},
	"note":                            {"Anything worth keeping; the examples say here that they are invented", "no note"},
	"pot.name":                        {"Name of the pot", "its diameter"},
	"pot.circumference":               {"Round the outside at the widest point, with a soft tape", ""},
	"pot.height":                      {"Height outside, base to rim", ""},
	"pot.handle_height":               {"From the base to the underside of the handles; the height for a pot without handles", ""},
	"pot.tape_error":                  {"How far the circumference may be off, either way", "`5 mm`"},
	"pot.base":                        {"Shape of the base", "`flat`"},
	"pot.base_radius":                 {"Radius of curvature of a round base", "0.6 of the diameter"},
	"pot.fill":                        {"What is really cooked in it", "two thirds of the capacity"},
	"pot.material":                    {"Material of the pot", "`aluminium`"},
	"pot.mass":                        {"Empty pot with its lid off", "from its size and material"},
	"kitchen.people":                  {"People at a meal", "not used"},
	"kitchen.meals":                   {"Meals; a list", "none"},
	"kitchen.posture":                 {"How the cook works; the height of the rim is checked for it", "not checked"},
	"fuel.kind":                       {"What is burnt", "`hardwood`"},
	"fuel.moisture":                   {"Water in the wood; needs its basis", "`12 %` on the wet basis"},
	"fuel.moisture_basis":             {"Water over wet wood, or water over dry wood; a pin meter reads dry", "needed with a moisture"},
	"fuel.stick":                      {"Thickness of a stick as it is burnt", "not checked"},
	"place.altitude":                  {"Height above the sea", "`0 m`"},
	"place.air_temperature":           {"Air, and water before it is heated", "`25 °C`"},
	"at_hand.bodies.kind":             {"A can, or a drum with its hazards", "`can`"},
	"at_hand.bodies.diameter":         {"Inside diameter", ""},
	"at_hand.bodies.height":           {"Height inside", ""},
	"at_hand.bodies.thickness":        {"Thickness of the sheet", "`0.5 mm`"},
	"at_hand.bodies.coating":          {"What is on the sheet", "`bare`"},
	"at_hand.sheets.width":            {"One side of a sheet", ""},
	"at_hand.sheets.length":           {"The other side", ""},
	"at_hand.sheets.thickness":        {"Thickness of the sheet", ""},
	"at_hand.sheets.coating":          {"What is on the sheet", "`bare`"},
	"at_hand.sheets.count":            {"Sheets there are", "as many as it takes"},
	"at_hand.brick.material":          {"What the bricks are made of", "`light-brick`"},
	"at_hand.brick.body":              {"Your own body by its name in a series of trials: the trial, or the series and the trial; see below", "a brick of the table"},
	"at_hand.brick.known_by":          {"How the numbers of your body are known", "`measured`"},
	"at_hand.brick.conductivity":      {"Conductivity of the fired brick at 500 °C", "that of the material"},
	"at_hand.brick.conductivity_low":  {"Lower end of its band", "not shown"},
	"at_hand.brick.conductivity_high": {"Upper end of its band", "not shown"},
	"at_hand.brick.use_temperature":   {"Highest temperature of lasting use", "that of the material"},
	"at_hand.brick.thickness":         {"Thickness of the chamber wall", "`50 mm`"},
	"at_hand.brick.height":            {"Height of a course without its joint", "as high as the fuel mouth"},
	"at_hand.brick.density":           {"Density of the fired brick", "that of the material"},
	"at_hand.brick.dry_shrinkage":     {"Shrinkage in drying, of the wet length; one value, or one for each edge: `6.4 x 6.2 x 6.9 %`", "a usual one, with a wide band"},
	"at_hand.brick.firing_shrinkage":  {"Shrinkage in firing, of the dry length; likewise", "a usual one, with a wide band"},
	"at_hand.liner.bore":              {"Bore of a fired liner at hand: a round chamber in place of the bricks", "a chamber of bricks"},
	"at_hand.liner.wall":              {"Thickness of its wall", "needed with a liner"},
	"at_hand.liner.height":            {"Height of the whole liner, or of one of its rings", "needed with a liner"},
	"at_hand.fill":                    {"Loose fill between the bricks and the body", "`wood-ash`"},
	"at_hand.rod":                     {"Diameter of the bar for the pot rests", "the thinnest that carries the pot"},
	"limits.height":                   {"Highest rim of the pot above the ground", "no limit"},
	"limits.weight":                   {"Heaviest empty stove", "no limit"},
	"limits.time_to_boil":             {"Time to boil the fill, planned", "20 min for 5 L, longer for more"},
	"choices.chamber":                 {"Bore of the chamber", "`square`"},
	"choices.ring":                    {"What the bricks of a course make", "`square` round a square chamber, `hexagon` round a round one"},
	"choices.body":                    {"A container at hand, or rolled from sheet", "a container that takes the bricks, else rolled"},
	"choices.skirt":                   {"Sheet of the skirt", "`bare`"},
	"choices.gap":                     {"Rule for the skirt gap", "`reconciled`"},
	"choices.paper":                   {"Paper of the patterns and the booklet", "`a4`"},
	"choices.drawn":                   {"Date for the title block", "none"},
	"choices.revision":                {"Revision for the title block", "none"},
	"choices.planned_by":              {"Who planned the stove, for the title block", "none"},
	"yours":                           {"Your own dimensions over those of the rules, by the ids that `stovewright size` prints", "the rules"},
}

// TestAboutIsOfTheFields finds fields that are not spoken of, and the other
// way round.
func TestAboutIsOfTheFields(t *testing.T) {
	known := make(map[string]bool)
	for _, f := range stove.Fields {
		known[f.Path] = true
		a, ok := about[f.Path]
		if !ok || a.what == "" {
			t.Errorf("%s is not described", f.Path)
		}
		if f.Required != (a.without == "") {
			t.Errorf("%s: it must say what is taken without it, unless it is required", f.Path)
		}
	}
	for path := range about {
		if !known[path] {
			t.Errorf("%s is described and is no field", path)
		}
	}
}

// TestWithout writes into a brief what is said to be taken where a field is
// left out: the stove must stay the same to the last dimension.
func TestWithout(t *testing.T) {
	for path, a := range about {
		value, ok := strings.CutPrefix(a.without, "`")
		if !ok {
			continue
		}
		value, _, _ = strings.Cut(value, "`")
		t.Run(path, func(t *testing.T) {
			plain, stated := baseForm(), baseForm()
			set(&stated, path, value)
			if path == "fuel.moisture" {
				stated.Fuel.MoistureBasis = "wet"
			}
			before, after := sized(t, plain), sized(t, stated)
			for i, d := range after.Dimensions {
				if b := before.Dimensions[i]; b.ID != d.ID || b.Value != d.Value {
					t.Errorf("%s: %s becomes %s %s", d.ID, b.Value, d.ID, d.Value)
				}
			}
			if len(before.Checks) != len(after.Checks) {
				t.Errorf("the checks change from %v to %v", before.Checks, after.Checks)
			}
		})
	}
}

// baseForm is a brief that uses a container and has a sheet.
func baseForm() stove.Form {
	return stove.Form{
		Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"},
		AtHand: stove.AtHandForm{Bodies: []stove.BodyForm{{Diameter: "40 cm", Height: "50 cm"}},
			Sheets: []stove.SheetForm{{Width: "1 m", Length: "2 m", Thickness: "0.7 mm"}}},
	}
}

// set writes one field through the file, as a user would.
func set(f *stove.Form, path, value string) {
	switch path {
	case "at_hand.bodies.kind":
		f.AtHand.Bodies[0].Kind = value
		return
	case "at_hand.bodies.thickness":
		f.AtHand.Bodies[0].Thickness = value
		return
	case "at_hand.bodies.coating":
		f.AtHand.Bodies[0].Coating = value
		return
	case "at_hand.sheets.coating":
		f.AtHand.Sheets[0].Coating = value
		return
	}
	data, err := f.Write()
	if err != nil {
		panic(err)
	}
	var tree map[string]any
	must(yaml.Unmarshal(data, &tree))
	put(tree, strings.Split(path, "."), value)
	out, err := json.Marshal(tree) // JSON is YAML too
	must(err)
	*f, err = stove.ParseForm(out)
	must(err)
}

func put(tree map[string]any, path []string, value string) {
	for _, p := range path[:len(path)-1] {
		inner, ok := tree[p].(map[string]any)
		if !ok {
			inner = make(map[string]any)
			tree[p] = inner
		}
		tree = inner
	}
	tree[path[len(path)-1]] = value
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func sized(t *testing.T, f stove.Form) *stove.Stove {
	t.Helper()
	b, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestValuesAsPeopleWriteThem reads every value that files.md shows as one that
// can be written.
func TestValuesAsPeopleWriteThem(t *testing.T) {
	page, err := os.ReadFile("files.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(page), "as people write it: ")
	list, _, ok := strings.Cut(rest, ". A bare")
	shown := regexp.MustCompile("`([^`]+)`").FindAllString(list, -1)
	if !ok || len(shown) < 8 {
		t.Fatalf("only %d values are found", len(shown))
	}
	for _, value := range shown {
		if !readable(strings.Trim(value, "`")) {
			t.Errorf("%s cannot be read", value)
		}
	}
}

func readable(value string) bool {
	for d := quantity.Ratio; d <= quantity.Conductivity; d++ {
		if _, err := quantity.Parse(value, d, quantity.Unit{}); err == nil {
			return true
		}
	}
	return false
}

// TestFieldTable holds the table of fields in files.md to the fields.
func TestFieldTable(t *testing.T) {
	hold(t, "files.md", "brief fields", fieldTable())
}

func fieldTable() string {
	var b strings.Builder
	b.WriteString("| field | what | value | without it | example |\n|---|---|---|---|---|\n")
	for _, f := range stove.Fields {
		a := about[f.Path]
		without := a.without
		if f.Required {
			without = "**needed**"
		}
		example := ""
		if f.Example != "" {
			example = "`" + f.Example + "`"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", shown(f.Path), a.what, allowed(f), without, example)
	}
	return b.String()
}

// shown marks the lists in a path.
func shown(path string) string {
	path = strings.Replace(path, "bodies.", "bodies[].", 1)
	return strings.Replace(path, "sheets.", "sheets[].", 1)
}

func allowed(f stove.Field) string {
	switch f.Kind {
	case stove.Quantity:
		return fmt.Sprintf("%g to %g %s", f.Min, f.Max, f.Unit.Symbol)
	case stove.Whole:
		return fmt.Sprintf("whole number, %g to %g", f.Min, f.Max)
	case stove.Word:
		return "`" + strings.Join(f.Options, "`, `") + "`"
	}
	return "text"
}

// TestDimensionTable holds the table of dimensions in files.md to the
// dimensions that may be overridden.
func TestDimensionTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("| id | unit of a bare number |\n|---|---|\n")
	for _, d := range editable(t) {
		unit := d.Value.Unit.Symbol
		if unit == "" {
			unit = "none: a number"
		}
		fmt.Fprintf(&b, "| `%s` | %s |\n", d.ID, unit)
	}
	hold(t, "files.md", "dimensions", b.String())
}

// editable are the dimensions that may be overridden, over all examples, in the
// order of the sizing.
func editable(t *testing.T) []*stove.Dimension {
	t.Helper()
	var list []*stove.Dimension
	seen := make(map[string]bool)
	names, _ := fs.Glob(examples.Briefs, "*.yaml")
	for _, name := range names {
		data, err := examples.Briefs.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := stove.ParseForm(data)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range sized(t, f).Dimensions {
			if d.Editable && !seen[d.ID] {
				seen[d.ID] = true
				list = append(list, d)
			}
		}
	}
	return list
}

// hold compares a part of a page, between two marks, with what it must be.
func hold(t *testing.T, page, mark, want string) {
	t.Helper()
	data, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	begin, end := "<!-- "+mark+" -->\n", "<!-- end of "+mark+" -->"
	before, rest, ok1 := strings.Cut(string(data), begin)
	got, after, ok2 := strings.Cut(rest, end)
	if !ok1 || !ok2 {
		t.Fatalf("%s has no marks for the %s", page, mark)
	}
	if got == want {
		return
	}
	if !*update {
		t.Fatalf("the %s in %s are not those of the program; run: go test ./docs -update", mark, page)
	}
	if err := os.WriteFile(page, []byte(before+begin+want+end+after), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestBriefSchema holds the schema of the brief to the fields.
func TestBriefSchema(t *testing.T) {
	want, err := marshal(briefSchema(t))
	if err != nil {
		t.Fatal(err)
	}
	const name = "schema/brief.schema.json"
	got, err := os.ReadFile(name)
	if err == nil && bytes.Equal(got, want) {
		return
	}
	if !*update {
		t.Fatalf("%s is not that of the program; run: go test ./docs -update", name)
	}
	if err := os.WriteFile(name, want, 0o644); err != nil {
		t.Fatal(err)
	}
}

func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return b.Bytes(), err
}

// node is a part of a JSON Schema. The order of its fields is the order in the
// file; properties are written in the order of the form.
type node struct {
	Schema      string     `json:"$schema,omitempty"`
	ID          string     `json:"$id,omitempty"`
	Title       string     `json:"title,omitempty"`
	Description string     `json:"description,omitempty"`
	Ref         string     `json:"$ref,omitempty"`
	Type        any        `json:"type,omitempty"`
	MinLength   int        `json:"minLength,omitempty"`
	Minimum     *float64   `json:"minimum,omitempty"`
	Maximum     *float64   `json:"maximum,omitempty"`
	Pattern     string     `json:"pattern,omitempty"`
	Enum        []string   `json:"enum,omitempty"`
	Examples    []any      `json:"examples,omitempty"`
	Items       *node      `json:"items,omitempty"`
	Names       *node      `json:"propertyNames,omitempty"`
	Additional  any        `json:"additionalProperties,omitempty"`
	Required    []string   `json:"required,omitempty"`
	Properties  properties `json:"properties,omitempty"`
	Definitions properties `json:"$defs,omitempty"`
}

type property struct {
	name string
	*node
}

type properties []property

// MarshalJSON writes an object in the order of the list.
func (p properties) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, x := range p {
		if i > 0 {
			b.WriteByte(',')
		}
		value, err := marshal(x.node)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "%q:%s", x.name, value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func (p properties) get(name string) *node {
	for _, x := range p {
		if x.name == name {
			return x.node
		}
	}
	return nil
}

// lists are the parts of the form that may stand there more than once.
var lists = []string{"at_hand.bodies", "at_hand.sheets"}

func briefSchema(t *testing.T) *node {
	no := any(false)
	root := &node{Schema: "https://json-schema.org/draft/2020-12/schema", ID: "brief.schema.json", Title: "Brief",
		Description: "One measured pot and its kitchen, from which a stove is sized: the YAML file as JSON. Quantities are texts with a unit, or bare numbers in the unit that is named.",
		Type:        "object", Additional: no, Required: []string{"pot"}}
	pot := &node{Title: "Pot", Type: "object", Additional: no}
	root.Definitions = properties{{"pot", pot}}
	for _, f := range stove.Fields {
		path := strings.Split(f.Path, ".")
		owner := root
		for i, name := range path[:len(path)-1] {
			owner = inner(root, owner, pot, strings.Join(path[:i+1], "."), name)
		}
		name := path[len(path)-1]
		owner.Properties = append(owner.Properties, property{name, leaf(t, f)})
		if f.Required {
			owner.Required = append(owner.Required, name)
		}
	}
	return root
}

// inner finds or makes the object that holds a field.
func inner(root, owner, pot *node, path, name string) *node {
	if path == "pot" {
		if root.Properties.get("pot") == nil {
			root.Properties = append(root.Properties,
				property{"pot", &node{Ref: "#/$defs/pot", Description: "The pot that the stove is made for."}},
				property{"more_pots", &node{Description: "Further pots of the same kitchen.", Type: "array", Items: &node{Ref: "#/$defs/pot"}}})
		}
		return pot
	}
	found := owner.Properties.get(name)
	if found == nil {
		found = &node{Type: "object", Additional: false}
		if slices.Contains(lists, path) {
			found = &node{Type: "array", Items: found}
		}
		owner.Properties = append(owner.Properties, property{name, found})
	}
	if found.Items != nil {
		return found.Items
	}
	return found
}

func leaf(t *testing.T, f stove.Field) *node {
	n := &node{Description: describe(f)}
	switch f.Kind {
	case stove.Quantity:
		n.Type, n.Minimum, n.Maximum = []string{"string", "number"}, &f.Min, &f.Max
		if f.Required {
			n.MinLength = 1
		}
	case stove.Whole:
		n.Type, n.Minimum, n.Maximum, n.Pattern = []string{"integer", "string"}, &f.Min, &f.Max, "^ *[0-9]+ *$"
	case stove.Word:
		n.Enum = f.Options
	default:
		n.Type = "string"
	}
	if f.Example != "" {
		n.Examples = []any{f.Example}
	}
	switch f.Path {
	case "kitchen.meals":
		n.Type, n.Items, n.Examples = "array", &node{Type: "string"}, []any{strings.Split(f.Example, ", ")}
	case "yours":
		ids := &node{}
		for _, d := range editable(t) {
			ids.Enum = append(ids.Enum, d.ID)
		}
		n.Type, n.Names, n.Additional = "object", ids, &node{Type: []string{"string", "number"}}
		id, value, _ := strings.Cut(f.Example, ": ")
		n.Examples = []any{map[string]string{id: value}}
	}
	return n
}

func describe(f stove.Field) string {
	a := about[f.Path]
	s := strings.ReplaceAll(a.what, "`", "") + "."
	if f.Kind == stove.Quantity {
		s += fmt.Sprintf(" %s, %g to %g %s; a bare number is in %s.", title(f.Unit.Dimension), f.Min, f.Max, f.Unit.Symbol, f.Unit.Symbol)
	}
	if !f.Required {
		s += " Without it: " + strings.ReplaceAll(a.without, "`", "") + "."
	}
	return s
}

func title(d quantity.Dimension) string {
	s := d.String()
	return strings.ToUpper(s[:1]) + s[1:]
}
