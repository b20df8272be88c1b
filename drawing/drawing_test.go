package drawing

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"

	"stovewright/proof"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

func TestChecks(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// Exact values of plane geometry.
func TestPathMeasures(t *testing.T) {
	round := RoundedRectangle(R(0, 0, 100, 60), 10)
	near(t, "length of a rounded rectangle", round.Length(), 2*(80+40)+2*math.Pi*10, 1e-9)
	quarter := Arc(Pt(0, 0), 10, 30, 90) // passes the top at 90°
	b := quarter.Bounds()
	near(t, "right of the arc", b.Max.X, 10*math.Sqrt(3)/2, 1e-9)
	near(t, "top of the arc", b.Max.Y, 10, 1e-9)
	near(t, "left of the arc", b.Min.X, -5, 1e-9)
	near(t, "bottom of the arc", b.Min.Y, 5, 1e-9)
	e := Ellipse(Pt(1, 2), 30, 20, 0).Bounds()
	near(t, "ellipse width", e.W(), 60, 1e-3)
	near(t, "ellipse height", e.H(), 40, 1e-3)
	// An ellipse turned by α reaches √(a² cos² α + b² sin² α) from its centre.
	e = Ellipse(Pt(0, 0), 30, 20, 30).Bounds()
	near(t, "turned ellipse", e.Max.X, math.Sqrt(30*30*0.75+20*20*0.25), 1e-3)
}

func TestMapsKeepArcs(t *testing.T) {
	p := new(Path).MoveTo(10, 0).ArcTo(Pt(0, 0), 90).LineTo(0, 0).Close()
	for name, q := range map[string]*Path{
		"turned":   p.Rotated(Pt(3, 4), 77),
		"mirrored": p.MirroredX(5),
		"moved":    p.Shifted(Pt(-7, 2)),
	} {
		near(t, name+" length", q.Length(), 20+5*math.Pi, 1e-9)
		// the flattened arc ends where the segment says
		for _, s := range q.segs {
			if s.kind == arcTo {
				near(t, name+" arc end", pointOn(Point{}, s, 1).Dist(s.p), 0, 1e-9)
			}
		}
	}
	m := p.MirroredX(5).Bounds()
	near(t, "mirrored left", m.Min.X, 0, 1e-9)
	near(t, "mirrored right", m.Max.X, 10, 1e-9)
}

func TestFitScale(t *testing.T) {
	for _, c := range []struct {
		w, h, bw, bh float64
		want         string
	}{
		{300, 500, 150, 200, "1:5"},
		{300, 500, 150, 250, "1:2"},
		{50, 50, 100, 100, "2:1"},
		{50, 50, 99, 100, "1:1"},
		{3000, 100, 150, 100, "1:20"},
		{3001, 100, 150, 100, "1:50"},
	} {
		if got := FitScale(c.w, c.h, c.bw, c.bh).String(); got != c.want {
			t.Errorf("FitScale(%g, %g, %g, %g) = %s, want %s", c.w, c.h, c.bw, c.bh, got, c.want)
		}
	}
}

func TestViewIsTrueToScale(t *testing.T) {
	s := NewSheet(A4)
	v := s.FitView(R(-100, 0, 200, 300), R(20, 20, 170, 200))
	if v.Scale().String() != "1:2" {
		t.Fatalf("scale %v", v.Scale())
	}
	near(t, "100 mm on paper", v.ToSheet(Pt(100, 0)).Dist(v.ToSheet(Pt(0, 0))), 50, 1e-9)
	c := v.ToSheet(Pt(0, 150))
	near(t, "middle x", c.X, 105, 1e-9)
	near(t, "middle y", c.Y, 120, 1e-9)
	near(t, "and back", v.FromSheet(v.ToSheet(Pt(12, 34))).Dist(Pt(12, 34)), 0, 1e-9)
}

// The height of capitals that text heights rest on is that of the font.
func TestCapHeight(t *testing.T) {
	for face := Regular; face <= Italic; face++ {
		tf := face.load()
		m, err := tf.font.Metrics(&tf.buf, fixed.I(int(tf.upem)), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "height of capitals", float64(m.CapHeight)/64/tf.upem, capHeight, 1e-3)
		p, _ := face.glyph('H')
		near(t, "height of H", p.Bounds().Max.Y, capHeight, 1e-3)
	}
}

// The room given to a text holds its letters.
func TestTextBoxHoldsInk(t *testing.T) {
	for _, str := range []string{"120", "Ø75.5 ±2", "Chamber (brick), gypsum", "ÅÉÖ ÇŞ", "çéîñõšúýÿ", "«stove» – 45°", "Qj|@{}", "Ž", "½ × 3"} {
		for _, angle := range []float64{0, 90, 33} {
			text := newText(Pt(50, 50), str, TextStyle{Height: 5, Angle: angle})
			ink := nothing()
			for _, c := range text.outlines().flatten(0.01) {
				for _, p := range c.pts {
					ink.add(text.box.f.from(p))
				}
			}
			if room := text.box.r.Grow(0.12); !room.Contains(ink.Min) || !room.Contains(ink.Max) {
				t.Errorf("%q at %g°: ink %v leaves its room %v", str, angle, ink, room)
			}
		}
	}
}

func TestWrap(t *testing.T) {
	st := TextStyle{}
	for _, line := range Wrap("Measure the line before anything is cut, and cut nothing before.", 40, st) {
		if w := TextWidth(line, NormalText, Regular); w > 40 {
			t.Errorf("%q is %g wide", line, w)
		}
	}
	if got := strings.Join(Wrap("one two\nthree", 1000, st), "|"); got != "one two|three" {
		t.Errorf("kept line break: %q", got)
	}
	if got := strings.Join(Wrap("Schamotte", 8, st), ""); got != "Schamotte" {
		t.Errorf("a long word lost letters: %q", got)
	}
	if got := strings.Join(Wrap("a gap of 12\u00a0mm", TextWidth("a gap of 12 ", NormalText, Regular), st), "|"); got != "a gap of|12\u00a0mm" {
		t.Errorf("a number and its unit came apart: %q", got)
	}
	if got := len(Wrap("", 10, st)); got != 1 {
		t.Errorf("no text gives %d lines", got)
	}
}

func TestOverlapsOfTurnedTexts(t *testing.T) {
	s := NewSheet(A4)
	s.Write(Pt(50, 50), "level text here", TextStyle{})
	s.Write(Pt(55, 60), "upright", TextStyle{Angle: -90}) // runs down through the first
	s.Write(Pt(120, 50), "clear", TextStyle{Angle: 45})
	// inside the upright bounds of the turned text, but beside it
	s.Write(Pt(125, 48), "o", TextStyle{})
	if got := len(s.Overlaps()); got != 1 {
		t.Errorf("%d overlaps, want 1: %v", got, s.Overlaps())
	}
	s.Write(Pt(205, 10), "off the paper", TextStyle{})
	if got := s.OffSheet(); len(got) != 1 || got[0].String != "off the paper" {
		t.Errorf("off the sheet: %v", got)
	}
}

// Every hatching stays inside its region and out of its hole, and lies still
// while the region moves.
func TestHatchingIsClipped(t *testing.T) {
	region := Polygon(Pt(10, 10), Pt(70, 15), Pt(60, 60), Pt(40, 30), Pt(12, 55)).Append(Circle(Pt(50, 28), 8))
	edges := newEdges(region.flatten(flatTolerance))
	for _, m := range Materials {
		for variant := range 3 {
			s := NewSheet(A4)
			s.HatchVariant(m, variant, region)
			if len(s.items) == 0 {
				t.Errorf("%v draws nothing", m)
				continue
			}
			for _, c := range s.items[0].path.flatten(0.01) {
				mid := c.pts[0].Lerp(c.pts[len(c.pts)-1], 0.5)
				if len(c.pts) == 2 && !edges.contains(mid) {
					t.Errorf("%v: a stroke at %v is outside", m, mid)
				}
				for _, p := range c.pts {
					if d := edges.distance(p); !edges.contains(p) && d > 0.01 {
						t.Errorf("%v: %v is %g outside", m, p, d)
					}
				}
			}
		}
	}
}

// distance from a point to the nearest edge.
func (e *edgeSet) distance(p Point) float64 {
	best := math.Inf(1)
	for _, ab := range e.edges {
		d := ab[1].Sub(ab[0])
		t := max(0, min(1, p.Sub(ab[0]).dot(d)/d.dot(d)))
		best = min(best, p.Dist(ab[0].Lerp(ab[1], t)))
	}
	return best
}

// A line family of spacing d over an area A is A/d long, but for the edges.
func TestHatchingDensity(t *testing.T) {
	s := NewSheet(A4)
	s.Hatch(Brick, Rectangle(R(20, 20, 150, 200)))
	near(t, "length of the hatching", s.items[0].path.Length(), 150*200/2.6, 150)
	ring := Circle(Pt(100, 100), 60).Append(Circle(Pt(100, 100), 40))
	s = NewSheet(A4)
	s.Hatch(Brick, ring)
	near(t, "length in a ring", s.items[0].path.Length(), math.Pi*(60*60-40*40)/2.6, 40)
}

func TestHatchingLiesStill(t *testing.T) {
	left := func(width float64) *Path {
		s := NewSheet(A4)
		v := s.NewView(Pt(40, 40), Scale{1, 2})
		v.Hatch(Brick, Rectangle(R(0, 0, width, 100)))
		return s.items[0].path
	}
	a, b := left(100), left(140)
	window := box{frameAt(Point{}, 0), R(40, 40, 49, 50)}
	near(t, "the same lines in the part that stays", a.clip(window, true).Length(), b.clip(window, true).Length(), 1e-6)
}

func TestThinSteelIsBlack(t *testing.T) {
	s := NewSheet(A4)
	s.Hatch(Steel, Rectangle(R(0, 0, 0.8, 100)), Rectangle(R(10, 0, 20, 100)))
	s.Hatch(Steel, Circle(Pt(100, 100), 50).Append(Circle(Pt(100, 100), 49.2)))
	if s.items[0].tone != Black || s.items[2].tone != Black {
		t.Error("thin steel is not black")
	}
	if s.items[1].tone == Black {
		t.Error("thick steel is black")
	}
}

// What clip keeps inside and what it keeps outside make up the whole, for
// lines, arcs and curves and any turned box.
func TestClipIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-100, 100)
		pt := func(name string) Point { return Pt(c.Draw(t, name+".x"), c.Draw(t, name+".y")) }
		p := new(Path)
		kind := rapid.IntRange(0, 3).Draw(t, "kind")
		switch kind {
		case 0:
			p = Line(pt("a"), pt("b"))
		case 1:
			p = Arc(pt("centre"), rapid.Float64Range(1, 100).Draw(t, "r"), c.Draw(t, "start"), rapid.Float64Range(-360, 360).Draw(t, "sweep"))
		case 2:
			p = Circle(pt("centre"), rapid.Float64Range(1, 100).Draw(t, "r"))
		case 3:
			p = p.MoveTo(0, 0).CubicTo(pt("a"), pt("b"), pt("c"))
		}
		b := box{frameAt(pt("corner"), c.Draw(t, "turn")), R(0, 0, rapid.Float64Range(1, 150).Draw(t, "w"), rapid.Float64Range(1, 150).Draw(t, "h"))}
		in, out := p.clip(b, true), p.clip(b, false)
		tol := 1e-6
		if kind == 3 { // the length of a curve is a sum of 64 chords
			tol = 2e-3 * (1 + p.Length())
		}
		if got, want := in.Length()+out.Length(), p.Length(); math.Abs(got-want) > tol {
			t.Fatalf("%g inside + %g outside ≠ %g", in.Length(), out.Length(), want)
		}
		room := box{b.f, b.r.Grow(1e-6)}
		for _, c := range in.flatten(0.01) {
			for _, q := range c.pts {
				if !room.r.Contains(b.f.from(q)) {
					t.Fatalf("%v is outside", q)
				}
			}
		}
		inner := b.r.Grow(-1e-6)
		for _, c := range out.flatten(1e-5) {
			for _, q := range c.pts {
				if inner.Contains(b.f.from(q)) {
					t.Fatalf("%v is inside", q)
				}
			}
		}
	})
}

// Lines that yield end before a text; the text's own dimension line does not.
func TestLinesAreInterrupted(t *testing.T) {
	s := NewSheet(A4)
	s.Stroke(CentreLine, Line(Pt(50, 20), Pt(50, 120)))
	s.Horizontal(Pt(20, 60), Pt(80, 60), 80, Dim{})
	text := s.texts[0].box
	var centre, own float64
	for _, it := range s.interrupted() {
		if it.path == nil {
			continue
		}
		if l := it.path.clip(text, true).Length(); l > 0 {
			t.Errorf("%s runs %g mm through the text", it.pen.Name, l)
		}
		if it.pen == CentreLine {
			centre += it.path.Length()
		} else if it.pen == DimLine && it.path.Bounds().H() == 0 {
			own += it.path.Length()
		}
	}
	near(t, "centre line left", centre, 100-text.r.H()-2*clearMargin, 1e-9)
	near(t, "dimension line", own, 60, 1e-9)
}

// Tiles: every page carries the check line, the pieces of a line make up the
// whole, and what lies in an overlap lies on both pages at its place.
func TestTileIsExact(t *testing.T) {
	pattern := NewSheet(Custom(600, 400))
	pattern.Stroke(CutLine, Line(Pt(5, 200), Pt(595, 200)), Circle(Pt(300, 200), 150))
	for _, paper := range []Paper{A4, Letter, A4.Landscape()} {
		tl := newTiling(pattern, paper, TileWords{})
		pages := Tile(pattern, paper, TileWords{})
		if len(pages) != tl.rows*tl.cols {
			t.Errorf("%s: %d pages, want %d by %d", paper.Name, len(pages), tl.rows, tl.cols)
		}
		var circle float64
		for row := range tl.rows {
			for col := range tl.cols {
				win := tl.windowOf(row, col)
				near(t, "window width", win.W(), tl.window.W(), 1e-9)
				circle += pattern.items[1].path.clip(box{frameAt(Point{}, 0), win}, true).Length()
			}
		}
		// on the pages: the arcs of the circle are still arcs of its radius
		var drawn, rules float64
		for _, s := range pages {
			for _, it := range s.items {
				if it.path != nil && it.pen == CutLine {
					for _, q := range it.path.segs {
						if q.kind == arcTo {
							drawn += q.r * math.Abs(q.sweep)
							near(t, "radius", q.r, 150, 1e-9)
						}
					}
				}
				if it.path != nil && it.pen == Thin && math.Abs(it.path.Length()-CheckLength) < 1e-9 {
					rules++
				}
			}
		}
		near(t, "circle on the pages", drawn, circle, 1e-6)
		near(t, "check lines", rules, float64(len(pages)), 0)
		if circle < 2*math.Pi*150 {
			t.Errorf("%s: %g mm of the circle, less than all of it", paper.Name, circle)
		}
	}
}

// The pieces of a tiled line cover it without gap or shift.
func TestTileCoversLine(t *testing.T) {
	pattern := NewSheet(Custom(700, 100))
	pattern.Stroke(CutLine, Line(Pt(0, 50), Pt(700, 50)))
	tl := newTiling(pattern, A4, TileWords{})
	covered := 0.0 // so far, from the left
	for col, s := range Tile(pattern, A4, TileWords{}) {
		back := tl.windowOf(0, col).Min.Sub(tl.window.Min)
		b := s.items[0].path.Shifted(back).Bounds()
		if b.Min.X > covered+1e-9 {
			t.Errorf("gap from %g to %g", covered, b.Min.X)
		}
		if col > 0 {
			near(t, "overlap", covered-b.Min.X, TileOverlap, 1e-9)
		}
		covered = b.Max.X
	}
	near(t, "end", covered, 700, 1e-9)
}

// A pattern that just fits needs one page; empty pages are left out.
func TestTilePages(t *testing.T) {
	one := NewSheet(Custom(190, 200))
	one.Stroke(CutLine, Rectangle(R(0, 0, 190, 200)))
	if got := len(Tile(one, A4, TileWords{})); got != 1 {
		t.Errorf("%d pages for a pattern of one", got)
	}
	corner := NewSheet(Custom(550, 700))
	corner.Stroke(CutLine, Line(Pt(0, 0), Pt(0, 690)), Line(Pt(0, 0), Pt(540, 0)))
	tl := newTiling(corner, A4, TileWords{})
	if got, want := len(Tile(corner, A4, TileWords{})), tl.rows+tl.cols-1; got != want {
		t.Errorf("%d pages for an L, want %d", got, want)
	}
	if got := TilePaper(one, A4, TileWords{}); got != A4 {
		t.Errorf("paper %v", got)
	}
}

// Hidden lines vanish: of a box behind another of the same look, nothing is
// left where the front one lies, in whatever order they are added.
func TestSolidsHideEachOther(t *testing.T) {
	front := func(s *Solids) { s.Box(P3(0, -100, 0), P3(50, -50, 50), SolidStyle{Key: "front"}) }
	back := func(s *Solids) { s.Box(P3(-20, 0, 0), P3(30, 50, 50), SolidStyle{Key: "back"}) }
	for _, order := range [][]func(*Solids){{front, back}, {back, front}} {
		sheet := NewSheet(A4)
		solids := sheet.NewView(Pt(100, 100), Scale{1, 1}).NewSolids()
		for _, add := range order {
			add(solids)
		}
		solids.Draw()
		if first, last := sheet.groups[1].Key, sheet.groups[2].Key; first != "back" || last != "front" {
			t.Errorf("drawn %s before %s", first, last)
		}
	}
}

// A cylinder's silhouette is as wide as its ellipse and touches both ends.
func TestCylinderSilhouette(t *testing.T) {
	sheet := NewSheet(A4)
	solids := sheet.NewView(Pt(0, 0), Scale{1, 1}).NewSolids()
	solids.Cylinder(P3(0, 0, 0), 40, 100, SolidStyle{})
	solids.Draw()
	side := sheet.items[0].path.Bounds()
	half := 40 * math.Sqrt(1.5) // half the long axis of an isometric circle
	near(t, "left silhouette", side.Min.X, -half, 1e-3)
	near(t, "right silhouette", side.Max.X, half, 1e-3)
	near(t, "lowest point", side.Min.Y, -40*math.Sqrt(0.5), 1e-3)
	face := sheet.items[1].path.Bounds()
	near(t, "top of the face", face.Max.Y, 100+40*math.Sqrt(0.5), 1e-3)
}

// The same drawing gives the same bytes in every format.
func TestOutputIsDeterministic(t *testing.T) {
	write := func() [4]string {
		s := sampleSection()
		var out [4]strings.Builder
		for i, err := range []error{s.SVG(&out[0]), PDF(&out[1], s), s.PNG(&out[2], 60), s.DXF(&out[3])} {
			if err != nil {
				t.Fatal(i, err)
			}
		}
		return [4]string{out[0].String(), out[1].String(), out[2].String(), out[3].String()}
	}
	a, b := write(), write()
	for i, name := range []string{"SVG", "PDF", "PNG", "DXF"} {
		if a[i] != b[i] {
			t.Errorf("%s differs from one writing to the next", name)
		}
	}
}

// Numbers that are not finite draw nothing and hang nothing.
func TestBadNumbers(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	s := NewSheet(A4)
	s.Stroke(Outline, Line(Pt(nan, 0), Pt(1, 1)), Circle(Pt(0, 0), inf))
	s.Hatch(Brick, Rectangle(R(0, 0, inf, 3)), Rectangle(R(0, 0, 0, 0)))
	s.Write(Pt(nan, 0), "x", TextStyle{})
	s.Horizontal(Pt(0, 0), Pt(nan, 0), 3, Dim{})
	s.Aligned(Pt(0, 0), Pt(0, 0), 3, Dim{})
	s.Diameter(Pt(0, 0), nan, 0, Dim{})
	s.Angle(Pt(0, 0), 10, inf, 3, Dim{})
	s.Dimensions(R(0, 0, 10, 10)).Chain(Below, []Point{{0, 0}, {inf, 0}})
	s.Reserve(R(nan, 0, 1, 1))
	s.Notes(Right, R(0, 0, 10, 10)).Add(Note{Target: Pt(nan, nan)})
	s.NewSolids().Rod(P3(0, 0, nan), P3(0, 0, 0), 1, SolidStyle{})
	if len(s.items) != 0 {
		t.Errorf("%d things drawn", len(s.items))
	}
	if _, err := s.Image(0); err == nil {
		t.Error("a picture of 0 dpi")
	}
	if _, err := s.Image(1e6); err == nil {
		t.Error("a picture too large")
	}
	if err := PDF(nil); err == nil {
		t.Error("a PDF of no sheets")
	}
}

// A finished sheet can be written by several at once.
func TestWritingAtOnce(t *testing.T) {
	s := sampleSection()
	var want strings.Builder
	if err := s.SVG(&want); err != nil {
		t.Fatal(err)
	}
	done := make(chan string)
	for range 4 {
		go func() {
			var svg, dxf strings.Builder
			_ = s.SVG(&svg)
			_ = s.DXF(&dxf)
			_ = PDF(&dxf, s)
			_ = s.PNG(&dxf, 40)
			done <- svg.String()
		}()
	}
	for range 4 {
		if <-done != want.String() {
			t.Error("written differently")
		}
	}
}

// A leader's text goes away from its target; a balloon holds its number.
func TestLeaderAndBalloon(t *testing.T) {
	s := NewSheet(A4)
	v := s.NewView(Pt(100, 100), Scale{1, 2})
	v.Leader(Pt(0, 0), Pt(60, 40), "right", false)
	v.Leader(Pt(0, 0), Pt(-60, 40), "left", true)
	v.Balloon(Pt(0, -60), "123456")
	right, left, number := s.texts[0], s.texts[1], s.texts[2]
	if b := right.Bounds(); b.Min.X < 130 {
		t.Errorf("right text from %g", b.Min.X)
	}
	if b := left.Bounds(); b.Max.X > 70 {
		t.Errorf("left text to %g", b.Max.X)
	}
	if number.Width > 2*balloonRadius {
		t.Errorf("number %g wide", number.Width)
	}
}

// The paper is laid so that fewer pages are needed, and the caller's label
// stands on each.
func TestTilePaperAndLabel(t *testing.T) {
	wide := NewSheet(Custom(270, 140))
	wide.Stroke(CutLine, Rectangle(R(0, 0, 270, 140)))
	words := TileWords{Page: func(row, column, number, pages int) string { return "one of one" }}
	paper := TilePaper(wide, A4, words)
	if paper != A4.Landscape() {
		t.Errorf("paper %v", paper)
	}
	pages := Tile(wide, paper, words)
	if len(pages) != 1 || pages[0].Texts()[0].String != "one of one" {
		t.Errorf("%d pages", len(pages))
	}
	if got := tileName(27, 2); got != "AB3" {
		t.Errorf("28th row, 3rd column: %s", got)
	}
}

// The room of solids holds what they draw.
func TestSolidsBounds(t *testing.T) {
	s := NewSheet(A4)
	solids := s.NewView(Pt(0, 0), Scale{1, 1}).NewSolids()
	solids.Tube(P3(0, 0, 0), 30, 25, 50, SolidStyle{})
	solids.Rod(P3(-60, 0, 20), P3(-20, 30, 40), 8, SolidStyle{})
	solids.Prism(RegularPolygon(Pt(80, 0), 20, 6, 0), 0, 30, SolidStyle{})
	room := solids.Bounds()
	solids.Draw()
	for _, it := range s.items {
		if !room.Grow(1e-9).ContainsRect(it.path.Bounds()) {
			t.Errorf("%v reaches beyond %v", it.path.Bounds(), room)
		}
	}
}
