package examples_test

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stovewright/examples"
	"stovewright/kit"
	"stovewright/stove"
)

// shows lists what each example is meant to warn of, and nothing else may
// speak up louder than a note. Every body gets warm, and says so.
var shows = map[string][]string{
	"beans-pot.yaml":            {"skin"},
	"liner.yaml":                {"tilt", "cook-high", "skin"},
	"hexagon-perlite.yaml":      {"skin"},
	"inch-kettle.yaml":          {"skin"},
	"school-kettle.yaml":        {"cook-high", "skin"},
	"tea-stall-round-pots.yaml": {"skin"},
	"upland-drum.yaml":          {"drum"},
}

func TestExamples(t *testing.T) {
	names, err := fs.Glob(examples.Briefs, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(names) != len(shows) {
		t.Errorf("%d examples, and %d are spoken of here", len(names), len(shows))
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) { example(t, name) })
	}
}

func example(t *testing.T, name string) {
	data, err := examples.Briefs.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(data), "# An invented ") {
		t.Error("the first line must say that the example is invented")
	}
	form, err := stove.ParseForm(data)
	if err != nil {
		t.Fatal(err)
	}
	if form.Name == "" || !strings.HasPrefix(form.Note, "Invented example") {
		t.Error("an example has a name, and its note says that it is invented")
	}
	brief, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		t.Fatal(err)
	}
	var spoken []string
	for _, c := range s.Checks {
		if c.Level != stove.Note {
			spoken = append(spoken, c.ID)
		}
	}
	if diff := cmp.Diff(shows[name], spoken); diff != "" {
		t.Errorf("warnings and cautions, want and got:\n%s", diff)
	}
	if _, err := kit.Make(s); err != nil {
		t.Errorf("the kit: %v", err)
	}
}

// TestFirstIsThere holds the example that a new workshop opens on.
func TestFirstIsThere(t *testing.T) {
	if _, err := examples.Briefs.ReadFile(examples.First); err != nil {
		t.Error(err)
	}
}
