package drawing

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A chain of 1–15 segments of 0.5–400 mm at any standard scale, on any side,
// and a second one after it, leave no two texts on each other.
func TestDimensionChainsNeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewSheet(A3.Landscape())
		scale := rapid.SampledFrom(Scales).Draw(t, "scale")
		v := s.NewView(Pt(150, 120), scale)
		side := Side(rapid.IntRange(0, 3).Draw(t, "side"))
		chain := func(name string) []Point {
			lengths := rapid.SliceOfN(rapid.Float64Range(0.5, 400), 1, 15).Draw(t, name)
			if rapid.Bool().Draw(t, name+" tiny") {
				for i := range lengths {
					lengths[i] = math.Mod(lengths[i], 6) + 0.5
				}
			}
			points := []Point{{}}
			for _, l := range lengths {
				last := points[len(points)-1]
				points = append(points, last.Add(side.along().Mul(l)))
			}
			return points
		}
		first, second := chain("first"), chain("second")
		d := v.Dimensions(R(0, 0, 200, 200))
		d.Chain(side, first)
		d.Chain(side, second)
		d.Baseline(side, second[0], second[1:])
		want := 2*(len(second)-1) + len(first) - 1
		if len(s.texts) != want {
			t.Fatalf("%d texts, want %d", len(s.texts), want)
		}
		if o := s.Overlaps(); len(o) > 0 {
			t.Fatalf("%q lies on %q", o[0].A.String, o[0].B.String)
		}
	})
}

// Single dimensions thrown anywhere, in any direction, with circles and angles
// between them, leave no two texts on each other.
func TestLooseDimensionsNeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewSheet(A4)
		v := s.NewView(Pt(60, 80), rapid.SampledFrom(Scales).Draw(t, "scale"))
		coord := rapid.Float64Range(0, 200)
		n := rapid.IntRange(1, 14).Draw(t, "n")
		for range n {
			a := Pt(coord.Draw(t, "ax"), coord.Draw(t, "ay"))
			b := Pt(coord.Draw(t, "bx"), coord.Draw(t, "by"))
			c, angle := coord.Draw(t, "c"), rapid.Float64Range(-360, 360).Draw(t, "angle")
			switch rapid.IntRange(0, 5).Draw(t, "kind") {
			case 0:
				v.Horizontal(a, b, c, Dim{})
			case 1:
				v.Vertical(a, b, c, Dim{Suffix: " ±2"})
			case 2:
				v.Aligned(a, b, angle/20, Dim{})
			case 3:
				v.Diameter(a, c, angle, Dim{})
			case 4:
				v.Radius(a, c, angle, Dim{})
			case 5:
				v.Angle(a, 1+c/10, angle, c, Dim{})
			}
		}
		if o := s.Overlaps(); len(o) > 0 {
			t.Fatalf("%q lies on %q", o[0].A.String, o[0].B.String)
		}
	})
}

// Notes beside each other, and beside texts already there, overlap nothing and
// their leaders do not cross.
func TestNotesNeverOverlapNorCross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewSheet(A4)
		v := s.NewView(Pt(20, 40), Scale{1, 2})
		side, room := Right, R(150, 20, 50, 250)
		if rapid.Bool().Draw(t, "left") {
			side, room = Left, R(5, 20, 50, 250)
		}
		for range rapid.IntRange(0, 5).Draw(t, "obstacles") {
			at := Pt(rapid.Float64Range(0, 200).Draw(t, "x"), rapid.Float64Range(0, 290).Draw(t, "y"))
			if b := newText(at, "obstacle", TextStyle{}).box; s.free(b) {
				s.Write(at, "obstacle", TextStyle{})
			}
		}
		n := v.Notes(side, room)
		words := []string{"Fill", "Chamber of insulating brick, three courses", "Sheet 0.8", "Pot rest: rod of 12 mm in six holes, bent up at both ends"}
		for range rapid.IntRange(1, 12).Draw(t, "n") {
			note := Note{Target: Pt(rapid.Float64Range(70, 250).Draw(t, "x"), rapid.Float64Range(-50, 500).Draw(t, "y")),
				Text: rapid.SampledFrom(words).Draw(t, "text")}
			if rapid.Bool().Draw(t, "balloon") {
				note.Number = "12"
			}
			n.Add(note)
		}
		n.Place()
		if o := s.Overlaps(); len(o) > 0 {
			t.Fatalf("%q lies on %q", o[0].A.String, o[0].B.String)
		}
		for i, p := range n.notes {
			for _, q := range n.notes[:i] {
				if segmentsCross(p.target, n.port(p), q.target, n.port(q)) {
					t.Fatalf("leaders of %q and %q cross", p.Text, q.Text)
				}
			}
		}
	})
}

// The samples are clean.
func TestSamplesAreClean(t *testing.T) {
	sheets := append([]*Sheet{sampleSection(), sampleExploded(), sampleHatchings()}, Tile(samplePattern(), A4, samplePatternWords)...)
	sheets = append(sheets, Tile(samplePattern(), Letter, samplePatternWords)...)
	for _, s := range sheets {
		for _, o := range s.Overlaps() {
			t.Errorf("%s: %q lies on %q", s.Title, o.A.String, o.B.String)
		}
		for _, text := range s.OffSheet() {
			t.Errorf("%s: %q is off the sheet", s.Title, text.String)
		}
	}
}

// The title block holds words of any length: none lies on another and none
// leaves the frame.
func TestTitleBlockHoldsAnyWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := func(label string, n int) string {
			return strings.TrimSpace(rapid.StringOfN(rapid.RuneFrom([]rune("aeinrst ABÅÉ(,")), 0, n, -1).Draw(t, label))
		}
		tb := TitleBlock{Project: words("project", 90), Title: words("title", 60), FirstAngle: rapid.Bool().Draw(t, "symbol")}
		for range rapid.IntRange(0, 9).Draw(t, "fields") {
			tb.Fields = append(tb.Fields, Field{words("name", 30), words("value", 40)})
		}
		for range rapid.IntRange(0, 3).Draw(t, "notes") {
			tb.Notes = append(tb.Notes, words("note", 200))
		}
		s := NewSheet(rapid.SampledFrom([]Paper{A4, A3.Landscape(), Letter, A4.Landscape()}).Draw(t, "paper"))
		s.Furnish(tb)
		if o := s.Overlaps(); len(o) > 0 {
			t.Fatalf("%q lies on %q", o[0].A.String, o[0].B.String)
		}
		if off := s.OffSheet(); len(off) > 0 {
			t.Fatalf("%q leaves the frame", off[0].String)
		}
	})
}

// spread keeps order and distance, and moves nothing that has room.
func TestSpread(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		at, width []float64
		lo, hi    float64
		want      []float64
	}{
		{[]float64{0, 10}, []float64{2, 2}, -inf, inf, []float64{0, 10}},
		{[]float64{0, 0}, []float64{2, 2}, -inf, inf, []float64{-1, 1}}, // equal wishes share the move
		{[]float64{0, 0}, []float64{2, 2}, 0, inf, []float64{1, 3}},     // the edge pushes both
		{[]float64{9, 9, 9}, []float64{2, 2, 2}, 0, 10, []float64{5, 7, 9}},
		{[]float64{1, 2, 3}, []float64{4, 4, 4}, 0, 6, []float64{-1, 3, 7}}, // too many: in the middle
	} {
		got := spread(c.at, c.width, c.lo, c.hi)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("spread(%v, %v, %g, %g) = %v, want %v", c.at, c.width, c.lo, c.hi, got, c.want)
				break
			}
		}
	}
}

// What a dimension prints is the size of the thing, whatever the scale.
func TestDimensionTexts(t *testing.T) {
	for _, c := range []struct {
		dim  Dim
		size float64
		want string
	}{
		{Dim{}, 120, "120"},
		{Dim{}, 12.04, "12"},
		{Dim{}, 12.06, "12.1"},
		{Dim{Round: 5}, 122.4, "120"},
		{Dim{Round: 0.01}, 1.234, "1.23"},
		{Dim{Prefix: "Ø", Suffix: " ±2"}, 75.5, "Ø75.5 ±2"},
		{Dim{Text: "see table"}, 75.5, "see table"},
	} {
		if got := c.dim.text(c.size, 0); got != c.want {
			t.Errorf("%+v at %g prints %q, want %q", c.dim, c.size, got, c.want)
		}
	}
	if got := (Dim{}).text(12.5, ','); got != "12,5" {
		t.Errorf("with a decimal comma: %q", got)
	}
	for _, scale := range Scales {
		s := NewSheet(A3)
		v := s.NewView(Pt(20, 40), scale)
		v.Horizontal(Pt(0, 0), Pt(123, 40), -30, Dim{})
		v.Vertical(Pt(0, 0), Pt(123, 40), -30, Dim{})
		v.Aligned(Pt(0, 0), Pt(30, 40), 20, Dim{})
		for i, want := range []string{"123", "40", "50"} { // 50: 3-4-5 triangle
			if got := s.texts[i].String; got != want {
				t.Errorf("at %v: %q, want %q", scale, got, want)
			}
		}
	}
}
