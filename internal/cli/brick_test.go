package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/goccy/go-yaml"

	"stovewright/brick"
	"stovewright/message"
)

func brickFiles(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob("../../examples/bricks/*.yaml")
	if err != nil || len(list) < len(brick.Papers) {
		t.Fatal("no examples", err)
	}
	return list
}

func TestBrickOutputHoldsToItsSchema(t *testing.T) {
	s := schema(t, "brick")
	dir := t.TempDir()
	for _, args := range [][]string{
		append(brickFiles(t), "--pictures", filepath.Join(dir, "pictures"), "--forms", filepath.Join(dir, "forms")),
		{"--trouble", "list"}, {"--trouble", brick.Symptoms()[0].Key, "../../examples/bricks/light-lining.yaml"},
	} {
		code, out, said := run(t, message.English(), append([]string{"brick", "--json"}, args...)...)
		if code != exitDone || said != "" {
			t.Fatal(args, code, said)
		}
		validate(t, s, out)
		var doc bricksDoc
		if err := json.Unmarshal([]byte(out), &doc); err != nil {
			t.Fatal(err)
		}
		for _, name := range doc.Written {
			if info, err := os.Stat(name); err != nil || info.Size() == 0 {
				t.Errorf("%s was not written: %v", name, err)
			}
		}
	}
}

// TestBrickExamplesHoldToTheirSchemas reads each example as plain YAML, as a
// program that knows nothing of ours would.
func TestBrickExamplesHoldToTheirSchemas(t *testing.T) {
	seen := make(map[brick.Paper]bool)
	for _, name := range brickFiles(t) {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		paper, err := brick.PaperOf(data)
		if err != nil {
			t.Fatal(err)
		}
		seen[paper] = true
		asJSON, err := yaml.YAMLToJSON(data)
		if err != nil {
			t.Fatal(err)
		}
		validate(t, schema(t, string(paper)), string(asJSON))
	}
	if len(seen) != len(brick.Papers) {
		t.Errorf("there are examples of %v only", seen)
	}
}
