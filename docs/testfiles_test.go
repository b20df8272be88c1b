package docs_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
)

// testWhat says what each kind of test file holds.
var testWhat = map[bench.Kind]string{
	bench.KindBoiling:  "One boiling test",
	bench.KindCooking:  "One meal cooked on one stove",
	bench.KindKitchen:  "One round of a kitchen test: households with their people and fuels, day by day",
	bench.KindSequence: "One run of the ISO 19867-1 sequence",
	bench.KindSafety:   "One scorer's sheet of the safety test",
	bench.KindEmission: "What instruments read of one fire",
}

// testWithout is what is taken where a field is left out and something is.
var testWithout = map[string]string{
	"version": "`4.2`", "wood.kind": "`hardwood`", "wood.heating_value": "that of the kind", "pot.lid": "`off`",
	"instruments.wood_scale": "`1 g`", "instruments.pot_scale": "`1 g`", "instruments.char_scale": "`1 g`", "instruments.thermometer": "`0.5 K`",
	"char_pan": "char not weighed, no credit", "kind": "`controlled`", "dry_wood": "`short`", "together": "`mean`", "char_heating_value": "`29500 kJ/kg`",
	"phase.stove": "`cold` for the cold start, else `hot`", "phase.char_with_pan": "hot start: that of the cold start",
	"burnt.char": "none", "burnt.wood_carbon": "`50 %`", "burnt.char_carbon": "`80 %`", "burnt.particle_carbon": "`50 %`", "gas.pressure": "that of the sea",
	"instruments.co": "`5 %`", "instruments.co2": "`5 %`", "instruments.ch4": "`5 %`", "instruments.particles": "`20 %`", "instruments.flow": "`5 %`",
	"background.co": "none", "background.co2": "none", "background.ch4": "none", "background.particles": "none", "room.enters": "`100 %`",
	"households.feast": "`no`", "planned_days": "`3`", "days.added": "none", "level.char_left": "none",
}

// testLists are the parts of a test file that may hold several things.
var testLists = []string{"pots", "cold.pots", "hot.pots", "simmer.pots", "high.pots", "medium.pots", "low.pots", "samples", "readings", "foods", "away",
	"households", "households.people", "households.fuels", "households.fuels.days"}

// testTexts are fields that hold a list of texts.
var testTexts = []string{"moisture_readings", "absent", "visits"}

// places are where a field of the form stands in the file: those of a phase or a
// power level stand in each, those of a fuel in the fuels of a household.
func places(k bench.Kind, path string) []string {
	in := func(from string, to ...string) (list []string) {
		for _, t := range to {
			list = append(list, t+strings.TrimPrefix(path, from))
		}
		return list
	}
	switch {
	case strings.HasPrefix(path, "phase."):
		return in("phase.", "cold.", "hot.", "simmer.")
	case strings.HasPrefix(path, "level."):
		return in("level.", "high.", "medium.", "low.")
	case k == bench.KindKitchen && strings.HasPrefix(path, "wood."):
		return in("wood.", "households.fuels.fuel.")
	case k == bench.KindKitchen && strings.HasPrefix(path, "days."):
		return in("days.", "households.fuels.days.")
	case k == bench.KindSequence && strings.HasPrefix(path, "wood."):
		return in("wood.", "fuel.")
	}
	return []string{path}
}

// TestTestTables holds the tables of the test files in files.md to the fields.
func TestTestTables(t *testing.T) {
	known := map[string]bool{}
	for _, k := range bench.Kinds {
		var b strings.Builder
		b.WriteString("| field | what | value | without it | example |\n|---|---|---|---|---|\n")
		for _, f := range k.Fields() {
			known[f.Path] = true
			where := places(k, f.Path)
			shown := listPath(where[0], testLists)
			if len(where) > 1 {
				var starts []string
				for _, w := range where {
					start, _, _ := strings.Cut(w, ".")
					starts = append(starts, start)
				}
				_, rest, _ := strings.Cut(listPath(where[0], testLists), ".")
				shown = "{" + strings.Join(starts, ",") + "}." + rest
			}
			value := allowedBrick(f)
			for _, l := range testTexts {
				if strings.HasSuffix(f.Path, l) {
					value += "; a list"
				}
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", shown, caption(f), value, without(f, testWithout), code(f.Example))
		}
		hold(t, "files.md", string(k)+" fields", b.String())
	}
	for path := range testWithout {
		if !known[path] {
			t.Errorf("%s is described and is no field", path)
		}
	}
}

func testSchema(k bench.Kind) *node {
	root := &node{Schema: "https://json-schema.org/draft/2020-12/schema", ID: string(k) + "-test.schema.json", Title: message.English().Say(k.Words()),
		Description: testWhat[k] + ": the YAML file as JSON. Quantities are texts with a unit, or bare numbers in the unit that is named.", Type: "object", Additional: false, Required: []string{"test"}}
	var fields form.Fields
	names := map[string]form.Field{}
	for _, f := range k.Fields() {
		for _, path := range places(k, f.Path) {
			g := f
			g.Path = path
			names[path] = f
			fields = append(fields, g)
		}
	}
	formNodes(root, fields, testLists, func(f form.Field) string {
		s := caption(names[f.Path]) + "."
		if w := testWithout[names[f.Path].Path]; w != "" {
			s += " Without it: " + strings.ReplaceAll(w, "`", "") + "."
		}
		return s
	})
	mend(root)
	if k == bench.KindSafety {
		points := &node{Description: "Points of a durability sheet by element, lower is better; yours to enter.", Type: "object", Additional: false}
		for _, e := range bench.DurabilityElements {
			points.Properties = append(points.Properties, property{e, &node{Description: message.English().S("bench.durability."+e) + ".", Type: []string{"number", "string"}}})
		}
		root.Properties = append(root.Properties, property{"durability", points})
	}
	return root
}

// mend turns the fields that hold lists of texts into such, and the constants
// into an object.
func mend(n *node) {
	for i, p := range n.Properties {
		switch {
		case p.name == "constants":
			n.Properties[i].node = &node{Description: p.Description, Type: "object", Additional: &node{Type: []string{"string", "number"}}}
		case contains(testTexts, p.name):
			n.Properties[i].node = &node{Description: p.Description, Type: "array", Items: &node{Type: []string{"string", "number"}, Enum: p.Enum}}
			if p.Enum != nil {
				n.Properties[i].node.Items.Type = nil
			}
		case p.Items != nil:
			mend(p.Items)
		default:
			mend(p.node)
		}
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// TestTestSchemas holds the schemas of the test files to the fields.
func TestTestSchemas(t *testing.T) {
	for _, k := range bench.Kinds {
		want, err := marshal(testSchema(k))
		if err != nil {
			t.Fatal(err)
		}
		path := "schema/" + string(k) + "-test.schema.json"
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

// TestTestExamplesHoldToTheirSchemas reads every example as plain YAML, as a
// program that knows nothing of ours would.
func TestTestExamplesHoldToTheirSchemas(t *testing.T) {
	seen := map[bench.Kind]bool{}
	err := filepath.WalkDir("../examples/tests", func(name string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".yaml" {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		kind, err := bench.KindOf(data)
		if err != nil {
			return err
		}
		seen[kind] = true
		asJSON, err := yaml.YAMLToJSON(data)
		if err != nil {
			return err
		}
		if err := validAs(t, kind, string(asJSON)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := bench.ReadTest(name, data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if !strings.HasPrefix(string(data), "# Invented ") {
			t.Errorf("%s: the first line must say that the readings are invented", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range bench.Kinds {
		if !seen[k] {
			t.Errorf("there is no example of a file of kind %s", k)
		}
	}
}

func validAs(t *testing.T, k bench.Kind, doc string) error {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join("schema", string(k)+"-test.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(doc))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

// TestTestSchemasRefuseWhatTheProgramRefuses holds the two against each other.
func TestTestSchemasRefuseWhatTheProgramRefuses(t *testing.T) {
	const wood, pots = `"wood": {"moisture": "10 %", "moisture_basis": "wet"}`, `"pots": [{"empty": 700, "before": 5700, "after": 5500, "start_temperature": 24, "end_temperature": 96}]`
	const place = `"place": {"air_temperature": 25, "altitude": 0}`
	const cold = `"cold": {"wood_before": 2500, "wood_after": "1750 g", "duration": 22, ` + pots + `}`
	for doc, good := range map[string]bool{
		`{"test": "boiling", ` + wood + `, ` + place + `, ` + cold + `}`:                                                                                                        true,
		`{"test": "boiling", ` + wood + `, ` + place + `, ` + cold + `, "constants": {"L_p": 2257}}`:                                                                            true,
		`{"test": "boiling", ` + wood + `, ` + place + `, ` + cold + `, "brand": "x"}`:                                                                                          false,
		`{"test": "boiling", ` + wood + `, "place": {"air_temperature": 99, "altitude": 0}, ` + cold + `}`:                                                                      false,
		`{"test": "boiling", ` + wood + `, ` + place + `, "cold": {"wood_after": 1750, "duration": 22, ` + pots + `}}`:                                                          false,
		`{"test": "boiling", "version": "5", ` + wood + `, ` + place + `, ` + cold + `}`:                                                                                        false,
		`{"test": "boiling", "wood": {"moisture_readings": ["12 %", 13]}, ` + place + `, ` + cold + `}`:                                                                         true,
		`{"test": "boiling", "wood": {"moisture_readings": 13}, ` + place + `, ` + cold + `}`:                                                                                   false,
		`{"test": "safety", "scorer": "one", "readings": [{"item": "shine", "rating": 4}]}`:                                                                                     false,
		`{"test": "emission", "method": "plume", ` + wood + `, "burnt": {"wood": 750, "duration": 22}, "gas": {"temperature": 25}, "samples": [{"co": 51, "co2": "2420 ppm"}]}`: true,
		`{"test": "emission", "method": "nose", ` + wood + `, "burnt": {"wood": 750, "duration": 22}, "gas": {"temperature": 25}, "samples": [{"co": 51, "co2": 2420}]}`:        false,
	} {
		kind, err := bench.KindOf([]byte(doc))
		if err != nil {
			t.Fatal(err)
		}
		if byWord := validAs(t, kind, doc) == nil; byWord != good {
			t.Errorf("%s: the schema says %v", doc, byWord)
		}
		if _, err := bench.ReadTest("doc", []byte(doc)); (err == nil) != good {
			t.Errorf("%s: the program says %v", doc, err)
		}
	}
}
