package booklet

import (
	"bytes"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/internal/outside"
	"stovewright/message"
)

// TestBrickFormsHaveEveryField reads the sheets with poppler: every field of the
// file stands on the paper, in the order of the file.
func TestBrickFormsHaveEveryField(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	english := message.English()
	for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
		for _, p := range brick.Papers {
			var b bytes.Buffer
			if err := BrickForm(&b, p, english, paper); err != nil {
				t.Fatal(err)
			}
			text := strings.Join(strings.Fields(run(t, pdftotext, "-raw", saved(t, b.Bytes()), "-")), " ")
			for _, f := range p.Fields() {
				name := english.Say(f.Name())
				at := strings.Index(text, name)
				if at < 0 {
					t.Errorf("%s: %s is not on the paper, or not in its place", p, f.Path)
					continue
				}
				if f.Path != "rows.temps" { // heads of a table may stand in several lines
					text = text[at:]
				}
			}
			if strings.Contains(text, "«") {
				t.Errorf("%s: words are missing", p)
			}
		}
	}
	if err := BrickForm(&bytes.Buffer{}, "wall", english, drawing.A4); err == nil {
		t.Error("a paper that there is not")
	}
}

// TestFiringHours has a row for each hour of the plan, with its temperature.
func TestFiringHours(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	plan, err := brick.FiringWish{Thickness: 0.05, Peak: 1273.15, Soak: 2 * 3600, PoreFormer: true}.Plan()
	if err != nil {
		t.Fatal(err)
	}
	var b, again bytes.Buffer
	for _, w := range []*bytes.Buffer{&b, &again} {
		if err := FiringHours(w, "test load", plan, []string{"top"}, message.English(), drawing.Letter); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Error("two prints of one plan differ")
	}
	text := run(t, pdftotext, "-layout", saved(t, b.Bytes()), "-")
	if !strings.Contains(text, " 1000 ") || !strings.Contains(text, "top") {
		t.Errorf("no peak of 1000 °C:\n%.2000s", text)
	}
	rows := 0
	for _, line := range strings.Split(text, "\n") {
		f := strings.Fields(line)
		if len(f) >= 2 && f[0] == number(rows) {
			rows++
		}
	}
	if rows != len(plan.Hourly()) {
		t.Errorf("%d rows for %d hours", rows, len(plan.Hourly()))
	}
}
