package figure

import (
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

func sized(t testing.TB, form stove.Form) *stove.Stove {
	t.Helper()
	b, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func household() stove.Form {
	return stove.Form{Name: "Test", Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
}

// all draws every figure of a stove.
func all(s *stove.Stove, c *message.Catalogue) map[string]*drawing.Sheet {
	paper := drawing.A4
	if s.Brief.Choices.Paper == "letter" {
		paper = drawing.Letter
	}
	o := Options{Paper: paper}
	return map[string]*drawing.Sheet{
		"section": Section(s, c, o), "section on a screen": Section(s, c, Options{Bare: true}),
		"plans": Plans(s, c, o), "top": Top(s, c, o),
	}
}

func TestNoTextOverlapsAtAnyValidInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		for name, sheet := range all(s, message.English()) {
			if pairs := sheet.Overlaps(); len(pairs) > 0 {
				t.Errorf("%s: texts overlap: %v", name, pairs)
			}
			if off := sheet.OffSheet(); len(off) > 0 {
				t.Errorf("%s: texts leave the sheet: %v", name, off)
			}
		}
	})
}
