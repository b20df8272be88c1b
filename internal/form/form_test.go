package form

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stovewright/message"
)

// order is a form with every shape a form may have.
type order struct {
	Name  string            `yaml:"name,omitempty"`
	Pot   pot               `yaml:"pot"`
	More  []pot             `yaml:"more,omitempty"`
	Meals []string          `yaml:"meals,omitempty"`
	Yours map[string]string `yaml:"yours,omitempty"`
}

type pot struct {
	Height string `yaml:"height"`
	Fill   string `yaml:"fill,omitempty"`
}

// TestTextsStayAsWritten holds the form to the letter: YAML 1.1 and 1.2 would
// read these plain scalars as numbers, booleans or dates
// (https://yaml.org/type/).
func TestTextsStayAsWritten(t *testing.T) {
	for _, text := range []string{"075", "1.50", "1_000", "0x4B", "0o17", "0b11", "yes", "no", "true", "1e1", ".5", "+5", "12:30", "2026-05-04", "75,4 cm", "29 5/8 in", "-.inf"} {
		var got order
		if err := Decode([]byte("pot:\n  height: "+text+"\n"), &got); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if got.Pot.Height != text {
			t.Errorf("%s is read as %q", text, got.Pot.Height)
		}
	}
}

func TestWhatPeopleWrite(t *testing.T) {
	want := order{Name: "Hill: \"farm\"", Pot: pot{"17 cm", "5 L"}, More: []pot{{Height: "12 cm"}}, Meals: []string{"beans", "tea"}, Yours: map[string]string{"skirt.gap": "9 mm"}}
	for name, file := range map[string]string{
		"block":   "# a comment\nname: 'Hill: \"farm\"'\npot:\n  height: 17 cm # tape\n  fill: 5 L\nmore:\n  - height: 12 cm\nmeals:\n- beans\n- tea\nyours:\n  skirt.gap: 9 mm\n",
		"braces":  "{name: 'Hill: \"farm\"', pot: {height: 17 cm, fill: 5 L}, more: [{height: 12 cm}], meals: [beans, tea], yours: {skirt.gap: 9 mm}}",
		"json":    `{"name": "Hill: \"farm\"", "pot": {"height": "17 cm", "fill": "5 L"}, "more": [{"height": "12 cm"}], "meals": ["beans", "tea"], "yours": {"skirt.gap": "9 mm"}}`,
		"dos":     "---\r\nname: 'Hill: \"farm\"'\r\npot:\r\n  height: 17 cm\r\n  fill: 5 L\r\nmore:\r\n  - height: 12 cm\r\nmeals: [beans, tea]\r\nyours:\r\n  skirt.gap: 9 mm\r\n",
		"anchors": "name: &n 'Hill: \"farm\"'\npot: !!map {height: 17 cm, fill: 5 L}\nmore: [{height: 12 cm}]\nmeals: [beans, tea]\nyours: {skirt.gap: 9 mm}\n...\n",
	} {
		var got order
		if err := Decode([]byte(file), &got); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s:\n%s", name, diff)
		}
	}
}

func TestEmptyFilesAreEmptyForms(t *testing.T) {
	for _, file := range []string{"", "\n", "# nothing yet\n", "---\n", "pot:\n", "name: ~\n"} {
		got := order{}
		if err := Decode([]byte(file), &got); err != nil || !cmp.Equal(got, order{}) {
			t.Errorf("%q: %v, %v", file, got, err)
		}
	}
}

func TestComplaintsSayWhereAndWhatToTry(t *testing.T) {
	tests := []struct{ name, file, want string }{
		{"misspelt", "pot: {hieght: 17 cm}\n", `pot.hieght: "17 cm": line 1: there is no such field; allowed: height, fill (try: height:)`},
		{"another place", "name: a\nheight: 17 cm\n", `height: "17 cm": line 2: this field belongs in another place of the form; allowed: name, pot, more, meals, yours`},
		{"twice", "name: a\n\nname: b\n", `name: "b": line 3: this field stands there already, on line 1`},
		{"decimal comma in braces", "pot: {height: 17,5 cm, fill: 5 L}\n", `pot.height: "17,5 cm": line 1: between braces a comma ends the value; write the value between quotes (try: "17,5 cm")`},
		{"value for fields", "pot: 17 cm\n", `pot: "17 cm": line 1: fields are wanted here, each with its name, a colon and a value (try: pot: {height: …})`},
		{"list for fields", "pot: [17 cm]\n", `pot: "": line 1: fields are wanted here, each with its name, a colon and a value (try: pot: {height: …})`},
		{"value for list", "meals: beans\n", `meals: "beans": line 1: a list is wanted here, also for one thing (try: meals: [a, b])`},
		{"fields for list", "more: {height: 12 cm}\n", `more: "": line 1: a list is wanted here, also for one thing (try: more: [{height: …}])`},
		{"list for value", "name: [a]\n", `name: "": line 1: one value is wanted here, not fields or a list (try: name: …)`},
		{"fields in a list of values", "meals: [{a: b}]\n", `meals[1]: "": line 1: one value is wanted here, not fields or a list (try: meals: …)`},
		{"nested name", "yours:\n  skirt: {gap: 9 mm}\n", `yours.skirt: "": line 2: one value is wanted here; write the whole name before the colon (try: skirt.gap: 9 mm)`},
		{"no fields at all", "hello\n", `file: "hello": line 1: fields are wanted here, each with its name, a colon and a value`},
		{"a list of nothing", "- 1\n", `file: "": line 1: fields are wanted here, each with its name, a colon and a value`},
		{"two forms", "name: a\n---\nname: b\n", `file: "": the file holds a second document, from line 3; write one form in one file`},
		{"reference", "name: &a x\nmeals: [*a]\n", `meals[1]: "": line 2: a form has no references (&, *, <<); write the value out`},
		{"merge", "pot: {<<: {fill: 5 L}}\n", `pot: "": line 1: a form has no references (&, *, <<); write the value out`},
		{"tab", "pot:\n\theight: 17 cm\n", `file: "height: 17 cm": line 2 begins with a tab; set fields in with spaces`},
		{"open quote", "pot:\n  height: \"17 cm\n", `file: "height: \"17 cm": line 2 opens a quotation mark that is never closed; an inch mark is written in`},
		{"no colon", "pot:\n  height 17 cm\n  fill: 5 L\n", `file: "height 17 cm": line 2 has no colon and space after the name of the field`},
		{"crooked", "pot:\n  height: 17 cm\n fill: 5 L\n", `file: "fill: 5 L": line 3 is set in differently from the lines before it`},
		{"open bracket", "pot: [", `file: "pot: [": line 1 opens a bracket that is never closed`},
		{"open brace", "pot: {height: 17 cm\n", `file: "pot: {height: 17 cm": line 1 opens a bracket that is never closed`},
		{"no text", "\x00\x01\xff\xfe", "line 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := Decode([]byte(tt.file), &order{})
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("no complaint, but %v", err)
			}
			if !strings.Contains(err.Error(), tt.want) {
				t.Errorf("complains\n\t%v\nwant\n\t%s", err, tt.want)
			}
			if strings.Contains(err.Error(), "«") {
				t.Errorf("a message is missing from the catalogue: %v", err)
			}
		})
	}
}

func TestEveryComplaintIsMadeAtOnce(t *testing.T) {
	err := Decode([]byte("nam: a\npot: {hight: 1}\nmeals: x\n"), &order{})
	if list, _ := message.Complaints(err); len(list) != 3 {
		t.Errorf("want three complaints, got %v", err)
	}
}

// TestLongAndDeepFilesAreRefusedSoon holds the reader against files that are
// no forms.
func TestLongAndDeepFilesAreRefusedSoon(t *testing.T) {
	for name, file := range map[string]string{
		"long": strings.Repeat("#\n", MaxFile),
		"deep": "pot: " + strings.Repeat("[", MaxFile/2),
		"down": strings.Repeat("- ", MaxFile/3),
		"wide": "meals: {" + strings.Repeat("a: b, ", 10000) + "}",
	} {
		err := Decode([]byte(file), &order{})
		if list, ok := message.Complaints(err); !ok || len(err.Error()) > 500*len(list) {
			t.Errorf("%s: %.500v", name, err)
		}
	}
}

// TestEveryFormComesBack writes forms of any text and reads them back: nothing
// that was typed may be lost or changed.
func TestEveryFormComesBack(t *testing.T) {
	text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[-:#&*!|>'"%@{}\[\], \t\nya0-9~?<=.]{0,12}`))
	rapid.Check(t, func(t *rapid.T) {
		f := order{Name: text.Draw(t, "name"), Pot: pot{text.Draw(t, "height"), text.Draw(t, "fill")}}
		if list := rapid.SliceOfN(text, 0, 3).Draw(t, "meals"); len(list) > 0 {
			f.Meals = list
		}
		if m := rapid.MapOfN(text, text, 0, 3).Draw(t, "yours"); len(m) > 0 {
			f.Yours = m
		}
		data, err := Encode(f)
		if err != nil {
			t.Fatal(err)
		}
		var back order
		if err := Decode(data, &back); err != nil {
			t.Fatalf("%v\n%s", err, data)
		}
		if diff := cmp.Diff(f, back); diff != "" {
			t.Fatalf("%s\n%s", diff, data)
		}
	})
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte("name: a\npot: {height: 17 cm}\nmore: [{fill: 5 L}]\nmeals: [a]\nyours: {x.y: 1}\n"))
	f.Add([]byte("pot: [\n"))
	f.Add([]byte("a: &a [*a]\n---\nb\n"))
	f.Add([]byte("? [a]\n: b\n<<: {}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var got order
		if err := Decode(data, &got); err != nil {
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("an error that is no complaint: %v", err)
			}
			if strings.Contains(err.Error(), "«") {
				t.Fatalf("a message is missing: %v", err)
			}
		}
	})
}
