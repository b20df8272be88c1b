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
		doc, err := encode(f)
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
