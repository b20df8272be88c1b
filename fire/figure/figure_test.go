package figure

import (
	"bytes"
	"errors"
	"os"
	"regexp"
	"testing"

	"pgregory.net/rapid"

	"stovewright/drawing"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

// burning is a stove alight at its planned power; nil where it chokes.
type burning struct {
	stove *stove.Stove
	model *fire.Model
	point fire.Point
	run   fire.BoilRun
	bands fire.BoilBands
}

type tester interface {
	Fatal(...any)
	Skip(...any)
}

func light(t tester, s *stove.Stove, draws int) burning {
	l := fire.Light(s)
	m, err := l.Model()
	if err != nil {
		t.Fatal(err)
	}
	b := burning{stove: s, model: m}
	var choked *fire.ChokedError
	if b.point, err = m.Solve(fire.Defaults(), l.Task.Power, m.Air().BoilingPoint()); errors.As(err, &choked) {
		t.Skip("it chokes")
	} else if err != nil {
		t.Fatal(err)
	}
	if b.run, err = m.Boil(fire.Defaults(), l.Task, 60); err != nil {
		t.Skip("it does not boil: ", err)
	}
	d, err := m.NewDraws(fire.Defaults(), draws, 0)
	if err != nil {
		t.Fatal(err)
	}
	if b.bands, err = m.BoilBands(d, l.Task, 60); err != nil {
		t.Skip("no bands: ", err)
	}
	return b
}

func (b burning) all(c *message.Catalogue) map[string]*drawing.Sheet {
	return map[string]*drawing.Sheet{
		"path":       Path(b.stove, b.model.Rings(fire.Defaults(), b.point), c),
		"balance":    Balance(b.point.Heat, c),
		"draft":      Draft(b.point, c),
		"boil":       Boil(b.run, &b.bands, c),
		"boil alone": Boil(b.run, nil, c),
	}
}

func TestNoTextOverlapsAtAnyValidInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for name, sheet := range light(t, stovetest.Stove(t), 3).all(message.English()) {
			if pairs := sheet.Overlaps(); len(pairs) > 0 {
				t.Errorf("%s: texts overlap: %v", name, pairs)
			}
			if off := sheet.OffSheet(); len(off) > 0 {
				t.Errorf("%s: texts leave the sheet: %v", name, off)
			}
		}
	})
}

func household(t testing.TB) *stove.Stove {
	t.Helper()
	brief, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestNoWordsAreHardCoded(t *testing.T) {
	text := regexp.MustCompile(`<text[^>]*>([^<]*)</text>`)
	for name, sheet := range light(t, household(t), 5).all(message.Pseudo()) {
		if dir := os.Getenv("PICTURES"); dir != "" {
			var p bytes.Buffer
			if err := sheet.PNG(&p, 150); err != nil {
				t.Fatal(err)
			}
			os.WriteFile(dir+"/pseudo-"+name+".png", p.Bytes(), 0o644)
		}
		var b bytes.Buffer
		if err := sheet.SVG(&b); err != nil {
			t.Fatal(err)
		}
		for _, m := range text.FindAllSubmatch(b.Bytes(), -1) {
			words := regexp.MustCompile(`kW|min|Pa|°C|m/s`).ReplaceAllString(string(m[1]), "")
			if regexp.MustCompile(`[aeiou]`).MatchString(words) {
				t.Errorf("%s: %q is not from the catalogue", name, m[1])
			}
		}
	}
}

func BenchmarkPath(b *testing.B) {
	s := household(b)
	l := fire.Light(s)
	m, err := l.Model()
	if err != nil {
		b.Fatal(err)
	}
	p, err := m.Solve(fire.Defaults(), l.Task.Power, l.Air.PotFace())
	if err != nil {
		b.Fatal(err)
	}
	rings, c := m.Rings(fire.Defaults(), p), message.English()
	for b.Loop() {
		var out bytes.Buffer
		if err := Path(s, rings, c).SVG(&out); err != nil {
			b.Fatal(err)
		}
	}
}
