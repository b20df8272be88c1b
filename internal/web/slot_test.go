package web

import (
	"testing"

	"pgregory.net/rapid"

	"stovewright/stove"
)

func TestTypedTextComesBackFromTheFileAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var f stove.Form
		text := tidy(rapid.OneOf(rapid.String(), rapid.StringMatching(`[-?:,\[\]{}#&*!|>'"%@ .0-9a-f~\n\\]{0,8}`)).Draw(t, "text"))
		for _, path := range []string{"name", "pot.circumference", "note"} {
			writeSlot(&f, path, text)
		}
		doc, err := f.Write()
		if err != nil {
			t.Fatal(err)
		}
		back, err := stove.ParseForm(doc)
		if err != nil {
			t.Fatalf("%v\n%s", err, doc)
		}
		for _, path := range []string{"name", "pot.circumference", "note"} {
			if got, _ := readSlot(&back, path); got != text {
				t.Fatalf("%s: %q came back as %q\n%s", path, text, got, doc)
			}
		}
	})
}

// No name of a field, whoever made it up, breaks the page; a name that is taken
// keeps what was written.
func FuzzFieldNames(f *testing.F) {
	for _, path := range []string{"pot.height", "more_pots[1].name", "kitchen.meals", "yours", "at_hand.bodies[2].kind", "pot[1]", "a..b", "more_pots[99999999999].x", ""} {
		f.Add(path, "text, more")
	}
	f.Fuzz(func(t *testing.T, path, text string) {
		var form stove.Form
		addItem(&form, "more_pots")
		addItem(&form, "at_hand.bodies")
		text = tidy(text)
		if !writeSlot(&form, path, text) {
			return
		}
		got, ok := readSlot(&form, path)
		if !ok || got != text && splitWords(got) == nil {
			t.Errorf("%s: wrote %q, read %q", path, text, got)
		}
		doc, err := form.Write()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := stove.ParseForm(doc); err != nil {
			t.Fatal(err)
		}
	})
}
