package drawing

import (
	"fmt"
	"math"
)

// TileWords are the words on the pages of a tiled pattern, in the reader's
// language.
type TileWords struct {
	Title     string   // name of the pattern
	Lines     []string // such as "Print at 100 %. Do not fit to page."
	CheckLine string   // at the check line, such as "100 mm: measure before cutting"
	// Page is the label of a page, given its row and column counted from 1 at
	// the upper left, its number and how many pages are printed. A nil Page
	// gives "A1 · 1/6": a letter for the row, a number for the column.
	Page func(row, column, number, pages int) string
}

// Measures of a tiled page in millimetres (common practice, no source).
const (
	TileOverlap   = 10.0  // of neighbouring pages
	CheckLength   = 100.0 // of the line to measure on each page
	tileMargin    = 10.0  // that a printer may not reach
	tileMapWidth  = 60.0  // largest size of the key plan
	tileTextWidth = 105.0
	footTop       = 6.0 // from the window to what stands below it
)

// tiling is how a pattern is divided: windows of equal size, overlapping, with
// the pattern in the middle.
type tiling struct {
	pattern    *Sheet
	paper      Paper
	words      TileWords
	window     Rect // on the page
	rows, cols int
	origin     Point // of the lower left window, in the pattern
	foot       float64
	used       map[[2]int]int // row and column from 0 at the upper left → page number
}

// Tile divides a pattern, a sheet of any size drawn at 1:1, over pages to be
// trimmed and glued. Neighbours overlap by [TileOverlap]; each page carries
// marks that lie on those of its neighbours, its label, a key plan, and a line
// of [CheckLength] to be measured before anything is cut. What crosses the
// edge of a page is cut there exactly. Pages with nothing of the pattern on them
// are left out.
func Tile(pattern *Sheet, paper Paper, words TileWords) []*Sheet {
	t := newTiling(pattern, paper, words)
	items := pattern.interrupted()
	var pages []*Sheet
	type place struct{ row, col int }
	var places []place
	for row := range t.rows {
		for col := range t.cols {
			s := NewSheet(paper)
			s.Title, s.Lang, s.Decimal = words.Title, pattern.Lang, pattern.Decimal
			if t.copy(s, items, row, col) {
				pages, places = append(pages, s), append(places, place{row, col})
				t.used[[2]int{row, col}] = len(pages)
			}
		}
	}
	for i, s := range pages {
		t.furnish(s, places[i].row, places[i].col, len(pages))
	}
	return pages
}

// TilePaper is the paper lying or standing, whichever needs fewer pages.
func TilePaper(pattern *Sheet, paper Paper, words TileWords) Paper {
	upright, lying := newTiling(pattern, paper.Portrait(), words), newTiling(pattern, paper.Landscape(), words)
	if lying.rows*lying.cols < upright.rows*upright.cols {
		return lying.paper
	}
	return upright.paper
}

func newTiling(pattern *Sheet, paper Paper, words TileWords) *tiling {
	t := &tiling{pattern: pattern, paper: paper, words: words, used: map[[2]int]int{}}
	t.foot = t.footHeight()
	t.window = Rect{Point{tileMargin, tileMargin + t.foot}, Point{paper.Width - tileMargin, paper.Height - tileMargin}}
	count := func(size, window float64) int {
		step := max(window-TileOverlap, 1)
		return max(1, int(math.Ceil((size-TileOverlap)/step-1e-9)))
	}
	b := pattern.Paper
	t.cols, t.rows = count(b.Width, t.window.W()), count(b.Height, t.window.H())
	span := func(n int, window float64) float64 { return float64(n)*(window-TileOverlap) + TileOverlap }
	t.origin = Point{(b.Width - span(t.cols, t.window.W())) / 2, (b.Height - span(t.rows, t.window.H())) / 2}
	return t
}

// windowOf is the part of the pattern on a page.
func (t *tiling) windowOf(row, col int) Rect {
	w, h := t.window.W(), t.window.H()
	return R(t.origin.X+float64(col)*(w-TileOverlap), t.origin.Y+float64(t.rows-1-row)*(h-TileOverlap), w, h)
}

// copy puts the part of the pattern in a window on a page and reports whether
// there is any.
func (t *tiling) copy(s *Sheet, items []item, row, col int) bool {
	win := t.windowOf(row, col)
	shift := t.window.Min.Sub(win.Min)
	b := box{frameAt(Point{}, 0), win}
	for _, it := range items {
		if it.text != nil {
			t.copyText(s, it.text, win, shift)
			continue
		}
		room := it.path.Bounds()
		switch {
		case win.ContainsRect(room):
			s.add(item{view: s.View, path: it.path.Shifted(shift), pen: it.pen, tone: it.tone})
		case room.Max.X < win.Min.X || room.Min.X > win.Max.X || room.Max.Y < win.Min.Y || room.Min.Y > win.Max.Y:
		default:
			if it.tone != NoFill {
				if area := clipArea(it.path, win); !area.Empty() {
					s.add(item{view: s.View, path: area.Shifted(shift), tone: it.tone})
				}
			}
			if it.pen != nil {
				if line := it.path.clip(b, true); !line.Empty() {
					s.add(item{view: s.View, path: line.Shifted(shift), pen: it.pen})
				}
			}
		}
	}
	return len(s.items) > 0
}

// copyText copies a text that lies wholly on the page as text, and draws the
// part of one that crosses its edge.
func (t *tiling) copyText(s *Sheet, text *Text, win Rect, shift Point) {
	room := text.Bounds()
	if win.ContainsRect(room) {
		st := text.Style
		st.Align, st.VAlign, st.Clear = AlignLeft, Baseline, false
		s.put(s.View, text.At.Add(shift), text.String, st)
		return
	}
	if room.Intersects(win) {
		if area := clipArea(text.outlines(), win); !area.Empty() {
			s.add(item{view: s.View, path: area.Shifted(shift), tone: Black})
		}
	}
}

// clipArea cuts an area to a rectangle, side by side (sutherland1974polygon,
// from memory): right for filling, where edges along the cut do not show.
func clipArea(p *Path, r Rect) *Path {
	out := new(Path)
	for _, c := range p.flatten(flatTolerance) {
		pts := c.pts
		for side := range 4 {
			pts = clipSide(pts, func(q Point) float64 {
				return [...]float64{q.X - r.Min.X, r.Max.X - q.X, q.Y - r.Min.Y, r.Max.Y - q.Y}[side]
			})
		}
		if len(pts) > 2 {
			out.Append(Polygon(pts...))
		}
	}
	return out
}

// clipSide keeps the part of a polygon where inside is not negative.
func clipSide(pts []Point, inside func(Point) float64) []Point {
	var out []Point
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		dp, dq := inside(p), inside(q)
		if dp >= 0 {
			out = append(out, p)
		}
		if (dp < 0) != (dq < 0) {
			out = append(out, p.Lerp(q, dp/(dp-dq)))
		}
	}
	return out
}

func (t *tiling) label(row, col, pages int) string {
	number := t.used[[2]int{row, col}]
	if t.words.Page != nil {
		return t.words.Page(row+1, col+1, number, pages)
	}
	return fmt.Sprintf("%s · %d/%d", tileName(row, col), number, pages)
}

// tileName is a letter for the row and a number for the column: A1.
func tileName(row, col int) string {
	name := string(rune('A' + row%26))
	if row >= 26 {
		name = string(rune('A'+row/26-1)) + name
	}
	return fmt.Sprintf("%s%d", name, col+1)
}

var (
	tileSmall = TextStyle{Height: SmallText, VAlign: Top}
	tileTitle = TextStyle{Height: LargeText, Face: Bold, VAlign: Top}
	seamLine  = &Pen{Name: "seam", Layer: "MARK", Linetype: "DASHED", Width: 0.13, Dash: []float64{1.5, 1}}
)

// footHeight is the room below the window for words, check line and key plan.
func (t *tiling) footHeight() float64 {
	h := footTop + LargeText*1.5 + 1.5
	for _, line := range t.words.Lines {
		h += BlockHeight(line, t.textWidth(), tileSmall) + 1
	}
	return h + 1.5 + BlockHeight(t.words.CheckLine, t.textWidth(), tileSmall) + 4.5
}

// textWidth leaves room for the key plan.
func (t *tiling) textWidth() float64 {
	return min(tileTextWidth, t.paper.Width-2*tileMargin)
}

// furnish draws what a page needs besides the pattern.
func (t *tiling) furnish(s *Sheet, row, col, pages int) {
	t.marks(s, row, col)
	label := t.label(row, col, pages)
	x, y := tileMargin, tileMargin+t.foot-footTop
	labelWidth := TextWidth(clean(label), tileTitle.Height, Bold)
	width := max(t.textWidth()-labelWidth-4, 20)
	s.Write(Pt(x, y), shorten(t.words.Title, width, tileTitle), tileTitle)
	st := tileTitle
	st.Align = AlignRight
	s.Write(Pt(x+t.textWidth(), y), label, st)
	y -= LargeText*1.5 + 1.5
	for _, line := range t.words.Lines {
		y -= s.WriteBlock(Pt(x, y), line, t.textWidth(), tileSmall) + 1
	}
	y -= 1.5
	y -= s.WriteBlock(Pt(x, y), t.words.CheckLine, t.textWidth(), tileSmall)
	s.CheckRule(Pt(x, y-3.5))
	t.plan(s, row, col)
}

// CheckRule draws a line of exactly [CheckLength] from a point to the right,
// with a tick each 10 mm, to be measured before a full-size print is used.
func (s *Sheet) CheckRule(from Point) {
	s.Stroke(Thin, Line(from, from.Add(Pt(CheckLength, 0))))
	for i := range 11 {
		up := 1.2
		if i%5 == 0 {
			up = 2.4
		}
		q := from.Add(Pt(CheckLength*float64(i)/10, 0))
		s.Stroke(Thin, Line(q, q.Add(Pt(0, up))))
	}
}

// marks draws the corners of the page's window, and to each neighbour the edge
// to trim, the line where the neighbour's edge will lie, and the marks that both
// pages share.
func (t *tiling) marks(s *Sheet, row, col int) {
	w := t.window
	for _, c := range w.corners() {
		out := Pt(sign(c.X-w.Centre().X), sign(c.Y-w.Centre().Y)).Mul(5)
		s.Stroke(MarkLine, Line(c, c.Add(Pt(out.X, 0))), Line(c, c.Add(Pt(0, out.Y))))
	}
	small := TextStyle{Height: SmallText, Align: AlignCentre, VAlign: Middle}
	for _, side := range []struct {
		row, col  int
		a, b, out Point
	}{
		{row, col - 1, Pt(w.Min.X, w.Min.Y), Pt(w.Min.X, w.Max.Y), Pt(-1, 0)},
		{row, col + 1, Pt(w.Max.X, w.Min.Y), Pt(w.Max.X, w.Max.Y), Pt(1, 0)},
		{row - 1, col, Pt(w.Min.X, w.Max.Y), Pt(w.Max.X, w.Max.Y), Pt(0, 1)},
		{row + 1, col, Pt(w.Min.X, w.Min.Y), Pt(w.Max.X, w.Min.Y), Pt(0, -1)},
	} {
		if _, ok := t.used[[2]int{side.row, side.col}]; !ok {
			continue
		}
		in := side.out.Mul(-TileOverlap)
		s.Stroke(MarkLine, Line(side.a, side.b))
		s.Stroke(seamLine, Line(side.a.Add(in), side.b.Add(in)))
		for _, at := range []float64{0.25, 0.75} {
			s.registration(side.a.Lerp(side.b, at).Add(in.Mul(0.5)))
		}
		st := small
		if side.out.X != 0 {
			st.Angle = 90
		}
		off := side.out.Mul(2.6)
		s.Write(side.a.Lerp(side.b, 0.5).Add(off), tileName(side.row, side.col), st)
	}
}

// registration draws a circle with a cross.
func (s *Sheet) registration(at Point) {
	s.Stroke(MarkLine, Circle(at, 1.8), Line(at.Add(Pt(-3, 0)), at.Add(Pt(3, 0))), Line(at.Add(Pt(0, -3)), at.Add(Pt(0, 3))))
}

// plan draws the key plan at the right of the foot: the pattern small, the
// pages over it, this one grey.
func (t *tiling) plan(s *Sheet, row, col int) {
	room := Rect{Point{tileMargin + t.textWidth() + 6, tileMargin}, Point{t.paper.Width - tileMargin, tileMargin + t.foot - footTop}}
	if room.W() < 10 {
		return
	}
	whole := nothing()
	for at := range t.used {
		whole = whole.Union(t.windowOf(at[0], at[1]))
	}
	k := min(min(room.W(), tileMapWidth)/whole.W(), room.H()/whole.H())
	v := s.NewView(Point{room.Max.X - k*whole.Max.X, room.Max.Y - k*whole.Max.Y}, Scale{k, 1})
	v.Fill(LightGrey, Rectangle(t.windowOf(row, col)))
	for _, it := range t.pattern.items {
		if it.path != nil && it.pen != nil && !it.pen.yields {
			v.Stroke(planLine, it.path)
		}
	}
	for r := range t.rows {
		for c := range t.cols {
			if _, ok := t.used[[2]int{r, c}]; ok {
				v.Stroke(planLine, Rectangle(t.windowOf(r, c)))
			}
		}
	}
	v.Stroke(Outline, Rectangle(t.windowOf(row, col)))
}

var planLine = &Pen{Name: "plan", Layer: "MARK", Linetype: "CONTINUOUS", Width: 0.13}
