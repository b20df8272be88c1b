package figure

import (
	"bytes"
	"regexp"
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
	sheets := map[string]*drawing.Sheet{
		"section": Section(s, c, o), "section on a screen": Section(s, c, Options{Bare: true}),
		"plans": Plans(s, c, o), "top": Top(s, c, o), "exploded": Exploded(s, c, o),
		"plans on a screen": Plans(s, c, Options{Bare: true}), "top on a screen": Top(s, c, Options{Bare: true}),
		"exploded on a screen": Exploded(s, c, Options{Bare: true}),
	}
	for i, step := range BuildSteps(s) {
		sheets["step "+step.ID] = Step(s, c, i, 85, 95)
	}
	return sheets
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

func TestEveryTouchableDimensionExists(t *testing.T) {
	s := sized(t, household())
	key := regexp.MustCompile(`class="dim[^"]*"[^>]*data-key="([^"]+)"`)
	for name, sheet := range all(s, message.English()) {
		var b bytes.Buffer
		if err := sheet.SVG(&b); err != nil {
			t.Fatal(err)
		}
		found := key.FindAllSubmatch(b.Bytes(), -1)
		if name == "section" && len(found) < 12 {
			t.Errorf("the section has only %d dimensions to touch", len(found))
		}
		for _, m := range found {
			if s.Dimension(string(m[1])) == nil {
				t.Errorf("%s: a dimension answers to %q, which the stove does not have", name, m[1])
			}
		}
	}
}

func TestNoWordsAreHardCoded(t *testing.T) {
	s := sized(t, household())
	text := regexp.MustCompile(`<text[^>]*>([^<]*)</text>`)
	for name, sheet := range all(s, message.Pseudo()) {
		var b bytes.Buffer
		if err := sheet.SVG(&b); err != nil {
			t.Fatal(err)
		}
		for _, m := range text.FindAllSubmatch(b.Bytes(), -1) {
			words := regexp.MustCompile(`‹[^›]*›|Ø|mm|L|Test`).ReplaceAllString(string(m[1]), "")
			if regexp.MustCompile(`\pL{2,}`).MatchString(words) {
				t.Errorf("%s: %q is not from the catalogue", name, m[1])
			}
		}
	}
}

func BenchmarkSection(b *testing.B) {
	s := sized(b, household())
	c := message.English()
	for b.Loop() {
		var out bytes.Buffer
		if err := Section(s, c, Options{Bare: true}).SVG(&out); err != nil {
			b.Fatal(err)
		}
	}
}
