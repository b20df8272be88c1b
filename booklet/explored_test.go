package booklet

import (
	"bytes"
	"strings"
	"testing"

	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/internal/outside"
	"stovewright/message"
	"stovewright/stove"
)

// The booklet's page of gauges holds each limit of the study on its own line, and
// by itself it is one page of the paper asked for, the same each time.
func TestGaugesStandOnTheirPage(t *testing.T) {
	pdftotext, pdfinfo := outside.Program(t, "pdftotext"), outside.Program(t, "pdfinfo")
	s, c := household(t), message.English()
	e, ok := exploreStove(s)
	if !ok {
		t.Fatal("nothing was explored")
	}
	gauges := e.tolerance.Gauges()
	if len(gauges) < 5 {
		t.Fatalf("only %d gauges", len(gauges))
	}
	var alone, again bytes.Buffer
	for _, b := range []*bytes.Buffer{&alone, &again} {
		if err := Gauges(b, s, e.tolerance, c, drawing.Letter); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(alone.Bytes(), again.Bytes()) {
		t.Error("two pages of one study differ")
	}
	if out := run(t, pdfinfo, saved(t, alone.Bytes())); !strings.Contains(out, "Pages:           1\n") || !strings.Contains(out, "612 x 792") {
		t.Errorf("not one page of Letter:\n%s", out)
	}
	for name, data := range map[string][]byte{"alone": alone.Bytes(), "booklet": built(t, s, c, drawing.A4)} {
		lines := strings.Split(run(t, pdftotext, "-layout", saved(t, data), "-"), "\n")
		for _, g := range gauges {
			if g.Least.SI >= g.Nominal.SI || g.Most.SI <= g.Nominal.SI {
				t.Errorf("%s: %v is not between %v and %v", c.Say(g.Name), g.Nominal, g.Least, g.Most)
			}
			found := false
			for _, l := range lines {
				words := strings.Join(strings.Fields(l), " ")
				want := strings.Join(strings.Fields(c.Value(g.Nominal)+" "+c.Value(g.Least)+" "+c.Value(g.Most)), " ")
				first, _, _ := strings.Cut(c.Say(g.Name), " the ") // a long name goes on below
				found = found || strings.HasPrefix(words, first) && strings.HasSuffix(words, want)
			}
			if !found {
				t.Errorf("%s: no line of %s with its limits", name, c.Say(g.Name))
			}
		}
	}
}

// A stove that the model cannot burn has a chapter that says so.
func TestAChokedStoveIsNotExplored(t *testing.T) {
	b, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"},
		Yours: map[string]string{"skirt.gap": "3 mm", "power.fire": "9 kW"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := exploreStove(s); ok {
		t.Fatal("the stove burns: choose another for this test")
	}
	if data := built(t, s, message.English(), drawing.A4); !bytes.HasPrefix(data, []byte("%PDF")) {
		t.Error("no booklet was made")
	}
}

func BenchmarkExplored(b *testing.B) {
	s := household(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := exploreStove(s); !ok {
			b.Fatal("nothing was explored")
		}
	}
}

// An answer by itself says what was asked, that it is computed, and its sentences,
// on the paper asked for.
func TestAnswerByItself(t *testing.T) {
	pdftotext, pdfinfo := outside.Program(t, "pdftotext"), outside.Program(t, "pdfinfo")
	e, ok := exploreStove(household(t))
	if !ok {
		t.Fatal("nothing was explored")
	}
	c := message.English()
	a := Answer{Stove: "Test kitchen", Title: "What pays", Says: []string{"One thing.", "And another."},
		Pictures: []*drawing.Sheet{nil, explorefigure.Ranking(e.local, explore.Efficiency, 5, c, 170)}, Gauges: e.tolerance}
	var b, again bytes.Buffer
	for _, out := range []*bytes.Buffer{&b, &again} {
		if err := a.PDF(out, c, drawing.Letter); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Error("two reports of one answer differ")
	}
	name := saved(t, b.Bytes())
	if out := run(t, pdfinfo, name); !strings.Contains(out, "612 x 792") {
		t.Errorf("not Letter:\n%s", out)
	}
	text := strings.Join(strings.Fields(run(t, pdftotext, name, "-")), " ")
	for _, want := range []string{"What pays", "Computed, not measured", "One thing.", "And another.", "What one step more does to the efficiency", "Gauges, to pin up"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
}
