package figure

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/brick/mixture"
	"stovewright/drawing"
	"stovewright/message"
)

func pictures(t testing.TB) map[string]*drawing.Sheet {
	c := message.English()
	plan, err := brick.FiringWish{Thickness: 0.06, Peak: 1273.15, Soak: 7200, PoreFormer: true}.Plan()
	if err != nil {
		t.Fatal(err)
	}
	log := brick.KilnLog{Positions: []string{"top", "bottom"}, Thickness: 0.06}
	for i := 0; i < 50; i++ {
		v := plan.At(float64(i) * 3600)
		row := brick.KilnRow{Time: float64(i) * 3600, Temps: []float64{v + 25, v - 25}}
		if i%7 == 3 {
			row.Temps[1] = math.NaN()
		}
		log.Rows = append(log.Rows, row)
	}
	density := func(p mixture.Point) float64 { return 0.45 + 0.9*p[0]*p[0] + 0.3*p[2] }
	blends := []Blend{{mixture.Point{0.6, 0.3, 0.1}, "T1", false}, {mixture.Point{0.5, 0.4, 0.1}, "T2", true}}
	var placed []brick.Placed
	for i := 0; i < 24; i++ {
		placed = append(placed, brick.Placed{Layer: 1 + i/8, Row: 1 + i%2, Column: 1 + i%8/2, Good: i%5 != 0})
	}
	return map[string]*drawing.Sheet{
		"plan":    Firing(plan, nil, c),
		"firing":  Firing(plan, &log, c),
		"ternary": Ternary([3]string{"stream clay", "mill dust", "grog"}, density, []float64{0.5, 0.6, 0.8, 1.0}, 1, " g/cm³", blends, c),
		"kiln":    KilnMap(placed, c),
		"empty":   KilnMap(nil, c),
	}
}

// Every picture is readable: no text on another, none off the sheet, and the
// SVG is well formed.
func TestPicturesAreReadable(t *testing.T) {
	for name, s := range pictures(t) {
		if list := s.Overlaps(); len(list) > 0 {
			t.Errorf("%s: %v", name, list)
		}
		if list := s.OffSheet(); len(list) > 0 {
			t.Errorf("%s: %v", name, list[0])
		}
		var svg bytes.Buffer
		if err := s.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		d := xml.NewDecoder(&svg)
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
	}
}

// The words are the catalogue's: in the pseudo-language none is left plain.
func TestWordsAreTranslated(t *testing.T) {
	plan, err := brick.FiringWish{Thickness: 0.06, Peak: 1273.15}.Plan()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range Firing(plan, nil, message.Pseudo()).Texts() {
		for _, r := range text.String {
			if r >= 'a' && r <= 'z' && !strings.HasPrefix(text.String, "‹") {
				t.Errorf("%q is not from the catalogue", text.String)
				break
			}
		}
	}
}

// The curve passes where the plan says: the peak stands at the height of its
// temperature on the axis.
func TestAxes(t *testing.T) {
	a := axes{room: drawing.R(10, 20, 100, 50), x1: 10, y1: 1000}
	if p := a.at(5, 500); p.Dist(drawing.Pt(60, 45)) > 1e-12 {
		t.Errorf("%v", p)
	}
}
