package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"stovewright/examples"
	"stovewright/message"
	"stovewright/workshop"
)

const schemas = "../../docs/schema"

// schema compiles a schema, which also holds it to the meta-schema of draft
// 2020-12 (https://json-schema.org/draft/2020-12/schema).
func schema(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join(schemas, name+".schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	if s.DraftVersion != 2020 {
		t.Fatalf("%s is of draft %d", name, s.DraftVersion)
	}
	return s
}

// run runs the program in process and gives what it prints.
func run(t *testing.T, c *message.Catalogue, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	p := Program{Args: args, Out: &out, Err: &err, Catalogue: c}
	code = p.Run(context.Background())
	return code, out.String(), err.String()
}

func validate(t *testing.T, s *jsonschema.Schema, doc string) {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(doc))
	if err != nil {
		t.Fatalf("no JSON: %v\n%.300s", err, doc)
	}
	if err := s.Validate(v); err != nil {
		t.Error(err)
	}
}

func briefs(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(list) == 0 {
		t.Fatal("no examples", err)
	}
	return list
}

func TestSizeOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "size")
	for _, name := range briefs(t) {
		code, out, said := run(t, message.English(), "size", "--json", name)
		if code != exitDone || said != "" {
			t.Fatalf("%s: %d %s", name, code, said)
		}
		validate(t, s, out)
	}
}

func TestKitOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "kit")
	dir := filepath.Join(t.TempDir(), "kit")
	code, out, said := run(t, message.English(), "kit", "../../examples/upland-drum.yaml", "--out", dir, "--json")
	if code != exitDone {
		t.Fatal(code, said)
	}
	validate(t, s, out)
	var doc kitDoc
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	for _, f := range doc.Files {
		info, err := os.Stat(filepath.Join(dir, filepath.FromSlash(f.Name)))
		if err != nil || info.Size() != int64(f.Bytes) {
			t.Errorf("%s: said to be %d bytes: %v, %v", f.Name, f.Bytes, info, err)
		}
	}
}

func TestProofOutputHoldsToItsSchema(t *testing.T) {
	code, out, said := run(t, message.English(), "proof", "--json")
	if code != exitDone {
		t.Fatal(code, said)
	}
	validate(t, schema(t, "proof"), out)
}

func TestImportOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "import")
	dir := t.TempDir()
	from, folder, to := filepath.Join(dir, "a.stovewright"), filepath.Join(dir, "folder"), filepath.Join(dir, "b.stovewright")
	file, err := workshop.Create(t.Context(), from)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := file.Save(t.Context(), workshop.Edit{Kind: "stove", Name: "test stove", Content: []byte("pot: {}\n")}); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	if code, out, said := run(t, message.English(), "export", from, folder); code != exitDone || out != "" {
		t.Fatal(code, out, said)
	}
	for range 2 { // new, and then nothing new
		code, out, said := run(t, message.English(), "import", "--json", folder, to)
		if code != exitDone {
			t.Fatal(code, said)
		}
		validate(t, s, out)
	}
}

func TestFailuresHoldToTheirSchema(t *testing.T) {
	s := schema(t, "error")
	bad := filepath.Join(t.TempDir(), "bad.yaml")
	if err := os.WriteFile(bad, []byte("pot: {circumference: 7 cm}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	brief := briefs(t)[0]
	for _, args := range [][]string{
		{"size", "--json", bad}, {"size", "--json", "none.yaml"}, {"size", "--json"}, {"sise", "--json"}, {"size", "--json", brief, "--set", "skirt.gap=9 kg"},
		{"kit", "--json", brief, "--out", bad}, {"kit", "--json", brief, "--out", ".."}, {"proof", "--json", "nothing"},
		{"import", "--json", "none", "none.stovewright"}, {"import", "--json", ".", "none"},
	} {
		code, out, said := run(t, message.English(), args...)
		if code == exitDone || out != "" {
			t.Errorf("%v: %d %s", args, code, out)
		}
		validate(t, s, said)
		var doc errorJSON
		if err := json.Unmarshal([]byte(said), &doc); err != nil || doc.Code != code {
			t.Errorf("%v: exit code %d, but %s", args, code, said)
		}
	}
}

// TestExamplesHoldToTheBriefSchema reads each example as plain YAML and holds
// it to the schema, as a program that knows nothing of ours would.
func TestExamplesHoldToTheBriefSchema(t *testing.T) {
	s := schema(t, "brief")
	names, _ := fs.Glob(examples.Briefs, "*.yaml")
	for _, name := range names {
		data, err := examples.Briefs.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		asJSON, err := yaml.YAMLToJSON(data)
		if err != nil {
			t.Fatal(err)
		}
		validate(t, s, string(asJSON))
	}
}

// TestBriefSchemaRefusesWhatTheProgramRefuses holds the two against each other
// on briefs with one mistake.
func TestBriefSchemaRefusesWhatTheProgramRefuses(t *testing.T) {
	s := schema(t, "brief")
	const pot = `"pot": {"circumference": 75.4, "height": "17 cm", "handle_height": 13.5}`
	for doc, good := range map[string]bool{
		`{` + pot + `}`: true,
		`{` + pot + `, "more_pots": [{"circumference": "60 cm", "height": 12, "handle_height": 10}]}`: true,
		`{` + pot + `, "yours": {"skirt.gap": 9}}`:                                                    true,
		`{}`:                          false,
		`{` + pot + `, "kichen": {}}`: false,
		`{"pot": {"circumference": 75.4, "height": 17}}`:                               false,
		`{"pot": {"circumference": 7.4, "height": 17, "handle_height": 13}}`:           false,
		`{"pot": {"circumference": 75.4, "height": "", "handle_height": 13}}`:          false,
		`{"pot": {"circumference": [75.4], "height": 17, "handle_height": 13}}`:        false,
		`{` + pot + `, "more_pots": [{"height": 12}]}`:                                 false,
		`{` + pot + `, "more_pots": {"height": 12}}`:                                   false,
		`{` + pot + `, "kitchen": {"meals": "beans"}}`:                                 false,
		`{` + pot + `, "kitchen": {"people": 0}}`:                                      false,
		`{` + pot + `, "kitchen": {"people": 2.5}}`:                                    false,
		`{` + pot + `, "choices": {"chamber": "oval"}}`:                                false,
		`{` + pot + `, "at_hand": {"bodies": [{"kind": "can"}]}}`:                      false,
		`{` + pot + `, "at_hand": {"sheets": [{"width": 1000, "length": 2000}]}}`:      false,
		`{` + pot + `, "yours": {"skirt.gpa": 9}}`:                                     false,
		`{` + pot + `, "yours": {"pot.diameter": 9}}`:                                  false,
		`{` + pot + `, "place": {"altitude": 9000}}`:                                   false,
		`{` + pot + `, "at_hand": {"brick": {"thickness": 5, "material": "a brick"}}}`: false,
	} {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(doc))
		if err != nil {
			t.Fatal(err)
		}
		if byWord := s.Validate(v) == nil; byWord != good {
			t.Errorf("%s: the schema says %v", doc, byWord)
		}
		name := filepath.Join(t.TempDir(), "brief.yaml")
		if err := os.WriteFile(name, []byte(doc), 0o600); err != nil {
			t.Fatal(err)
		}
		if code, _, said := run(t, message.English(), "size", name); (code == exitDone) != good {
			t.Errorf("%s: the program says %d %s", doc, code, said)
		}
	}
}

// TestSchemasAreOfTheProgram holds every output schema to the type it
// describes: the same properties, required exactly where they are never left
// out.
func TestSchemasAreOfTheProgram(t *testing.T) {
	for name, v := range map[string]any{"size": stoveDoc{}, "proof": []proofDoc{}, "kit": kitDoc{}, "error": errorJSON{}, "import": importDoc{}, "brick": bricksDoc{}, "test": testDoc{}, "compare": compareDoc{}, "logger": loggerDoc{}, "plan": planDoc{}, "tiers": tiersDoc{}, "trouble": troubleDoc{}} {
		t.Run(name, func(t *testing.T) { compare(t, name, schema(t, name), reflect.TypeOf(v)) })
	}
}

func compare(t *testing.T, path string, s *jsonschema.Schema, typ reflect.Type) {
	t.Helper()
	for s.Ref != nil {
		s = s.Ref
	}
	switch typ.Kind() {
	case reflect.Pointer:
		compare(t, path, s, typ.Elem())
	case reflect.Slice:
		compare(t, path+"[]", s.Items2020, typ.Elem())
	case reflect.Struct:
		if closed, ok := s.AdditionalProperties.(bool); !ok || closed {
			t.Errorf("%s may have additional properties", path)
		}
		count := 0
		for i := range typ.NumField() {
			name, options, _ := strings.Cut(typ.Field(i).Tag.Get("json"), ",")
			count++
			inner := s.Properties[name]
			if inner == nil {
				t.Errorf("%s.%s is not in the schema", path, name)
				continue
			}
			if needed := !strings.Contains(options, "omitempty"); needed != slices.Contains(s.Required, name) {
				t.Errorf("%s.%s: required must be %v", path, name, needed)
			}
			compare(t, path+"."+name, inner, typ.Field(i).Type)
		}
		if count != len(s.Properties) {
			t.Errorf("%s has %d properties in the schema and %d in the program", path, len(s.Properties), count)
		}
	case reflect.Map:
		t.Errorf("%s: a map is not described", path)
	}
}
