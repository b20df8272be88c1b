package kit

import (
	"fmt"
	"math"
	"strings"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/quantity"
)

// Measures of a pattern sheet in mm.
const (
	sheetMargin   = 6.0
	farAway       = 10e3  // origin of the first, measuring pass
	blockWidest   = 178.0 // of the words below a pattern: they stay on one page
	blockNarrow   = 130.0
	insideWidest  = 120.0 // of the words on the pattern itself
	insideWidth   = 92.0
	holeCross     = 2.5 // half length of the marks at a hole's centre
	labelOff      = 0.9 // from a line to the text along it
	figureNameGap = 2.0
)

// spoken are the marks whose name is written beside them; the others explain
// themselves, or stand in the notes.
var spoken = map[string]bool{
	"kit.mark.front": true, "kit.mark.lap": true, "kit.mark.side": true, "kit.mark.paper-meets": true, "kit.mark.body-front": true,
	"kit.mark.rod-top": true, "kit.mark.skirt": true, "kit.mark.base-turn": true, "kit.mark.wall": true, "kit.insert.divider": true,
	"kit.mark.rod": true, "kit.mark.rod-foot": true,
}

// Sheet draws a pattern at full size on a sheet just large enough, and returns
// it with the view that holds it, whose origin is the pattern's.
func (p *Pattern) Sheet(c *message.Catalogue) (*drawing.Sheet, *drawing.View) {
	g := p.page(c, nil)
	return g.sheet, g.v
}

// page draws a pattern on a sheet just large enough, its words in a known place
// or in the first that is found.
func (p *Pattern) page(c *message.Catalogue, known *place) *page {
	far := drawing.Pt(farAway, farAway)
	trial := p.draw(c, drawing.Custom(2*farAway, 2*farAway), far, known)
	room := trial.room().Grow(sheetMargin)
	return p.draw(c, drawing.Custom(room.W(), room.H()), far.Sub(room.Min), &trial.place)
}

// tileSheet is the sheet of a pattern that is printed over several pages: its
// words stand on one page, clear of the strips that are glued. Where no such
// place is found they stay where [Pattern.Sheet] puts them.
func (p *Pattern) tileSheet(c *message.Catalogue, paper drawing.Paper, words drawing.TileWords) *drawing.Sheet {
	first := p.page(c, nil)
	if first.whole(first.said, paper, words) {
		return first.sheet
	}
	if first.place.inside {
		b := first.block()
		accept := func(room drawing.Rect) bool { return first.whole(first.v.RectToSheet(room), paper, words) }
		for _, width := range []float64{insideWidest, insideWidth} {
			height := first.set(b, drawing.Point{}, width, false)
			if at, ok := roomIn(&p.Figures[0], width, height, accept); ok {
				return p.page(c, &place{inside: true, at: at, width: width}).sheet
			}
		}
	}
	const step = 20.0
	for drop := 0.0; drop < 4*step; drop += step {
		for _, width := range []float64{blockNarrow, insideWidth} {
			for shift := 0.0; shift <= max(0, first.sheet.Paper.Width-2*sheetMargin-width); shift += step {
				if g := p.page(c, &place{width: width, shift: shift, drop: drop}); g.whole(g.said, paper, words) {
					return g.sheet
				}
			}
		}
	}
	return first.sheet
}

// whole reports whether a rectangle of the sheet lies on one page of the tiled
// pattern and in no strip that it shares with another.
func (g *page) whole(room drawing.Rect, paper drawing.Paper, words drawing.TileWords) bool {
	probe := drawing.NewSheet(g.sheet.Paper)
	probe.Stroke(drawing.Thin, drawing.Rectangle(room))
	return len(drawing.Tile(probe, drawing.TilePaper(g.sheet, paper, words), words)) == 1
}

// page is a pattern on its way to paper.
type page struct {
	c     *message.Catalogue
	p     *Pattern
	sheet *drawing.Sheet
	v     *drawing.View
	drawn drawing.Rect // on the sheet
	said  drawing.Rect // of the words that belong to the pattern, on the sheet
	place place
}

// place is where the words of a pattern stand: on it, if there is room, or below.
type place struct {
	inside      bool
	at          drawing.Point // upper left corner on the pattern, of the view
	width       float64       // 0 below a pattern: as wide as it
	shift, drop float64       // below a pattern: to the right, and farther down
}

// draw draws the pattern on a paper with its origin at a point. The place of the
// words is looked for unless it is known from a first pass.
func (p *Pattern) draw(c *message.Catalogue, paper drawing.Paper, at drawing.Point, known *place) *page {
	s := drawing.NewSheet(paper)
	s.Title, s.Lang, s.Decimal, s.ID = c.Say(p.Name), c.Language(), c.Decimal(), strings.ReplaceAll(p.ID, ".", "-")
	s.Desc = c.S("kit.pattern-desc", "name", p.Name)
	g := &page{c: c, p: p, sheet: s, v: s.NewView(at, drawing.Scale{Paper: 1, Thing: 1})}
	g.drawn = g.v.RectToSheet(p.Bounds())
	for i := range p.Figures {
		g.lines(&p.Figures[i])
	}
	for i := range p.Figures {
		g.words(&p.Figures[i])
	}
	g.place = g.placeInside(known)
	if g.place.inside {
		height := g.set(g.block(), g.place.at, g.place.width, true)
		g.said = g.v.RectToSheet(drawing.R(g.place.at.X, g.place.at.Y-height, g.place.width, height))
	}
	for i := range p.Figures {
		g.labels(&p.Figures[i])
	}
	for i := range p.Figures {
		g.sizes(&p.Figures[i])
	}
	if !g.place.inside {
		g.blockBelow()
	}
	return g
}

// room is everything drawn: figures, dimensions and texts.
func (g *page) room() drawing.Rect {
	b := g.drawn
	for _, t := range g.sheet.Texts() {
		b = b.Union(t.Bounds())
	}
	return b
}

func (g *page) lines(f *Figure) {
	for _, l := range f.Marks {
		g.v.Stroke(drawing.MarkLine, l.Path())
	}
	for _, l := range f.Folds {
		g.v.Stroke(drawing.BendLine, l.Path())
	}
	for _, h := range f.Holes {
		g.v.Stroke(drawing.CutLine, h.Outline.Path())
		for _, at := range h.Centres {
			g.v.Stroke(drawing.MarkLine, drawing.Line(at.Sub(drawing.Pt(holeCross, 0)), at.Add(drawing.Pt(holeCross, 0))),
				drawing.Line(at.Sub(drawing.Pt(0, holeCross)), at.Add(drawing.Pt(0, holeCross))))
		}
	}
	g.v.Stroke(drawing.CutLine, f.Outer.Path())
}

func (g *page) words(f *Figure) {
	for _, w := range f.Words {
		st := drawing.TextStyle{Align: drawing.AlignCentre, VAlign: drawing.Middle, Clear: true}
		if w.Small {
			st.Height = drawing.SmallText
		}
		if w.Up {
			st.Angle = 90
		}
		st.Align = [...]drawing.Align{drawing.AlignCentre, drawing.AlignRight, drawing.AlignLeft}[w.Lean]
		g.v.Write(w.At, g.c.Say(w.Text), st)
	}
	if !f.Name.IsZero() {
		b := f.Outer.Bounds()
		text := g.c.Say(f.Name)
		if w := drawing.TextWidth(text, drawing.SmallText, drawing.Bold); w < b.W()-4 && b.H() > 14 && g.p.Use != Card {
			g.v.Write(drawing.Pt(b.Min.X+2, b.Max.Y-2), text, drawing.TextStyle{Height: drawing.SmallText, Face: drawing.Bold, VAlign: drawing.Top, Clear: true})
			return
		}
		g.v.Write(drawing.Pt(b.Min.X-figureNameGap, b.Centre().Y), text, drawing.TextStyle{Height: drawing.SmallText, Face: drawing.Bold, Align: drawing.AlignRight, VAlign: drawing.Middle, Clear: true})
	}
}

// labels writes along folds and marks what they are.
func (g *page) labels(f *Figure) {
	for _, l := range f.Folds {
		g.along(l)
	}
	for _, l := range f.Marks {
		if spoken[l.Name.ID] {
			g.along(l)
		}
	}
}

// along writes a line's name along it, at the first place where it lies on no
// other text; a name longer than its line is left to the notes.
func (g *page) along(l Line) {
	text := g.c.Say(l.Name)
	width := drawing.TextWidth(text, drawing.SmallText, drawing.Regular)
	st := drawing.TextStyle{Height: drawing.SmallText, Align: drawing.AlignCentre, Clear: true}
	if l.Sweep != 0 {
		g.around(l, text, st)
		return
	}
	d := l.B.Sub(l.A)
	if width+1 > d.Len() {
		return
	}
	if a := d.Angle(); a > 90.001 || a <= -89.999 {
		d = d.Mul(-1)
	}
	st.Angle = d.Angle()
	up := drawing.Pt(-d.Y, d.X).Mul(1 / d.Len())
	slack := (1 - width/d.Len()) / 2
	for _, side := range []float64{1, -1} {
		for _, t := range []float64{0, -0.5, 0.5, -0.95, 0.95} {
			at := l.A.Lerp(l.B, 0.5+t*slack).Add(up.Mul(labelOff))
			if side < 0 {
				at = l.A.Lerp(l.B, 0.5+t*slack).Sub(up.Mul(labelOff + drawing.SmallText*1.1))
			}
			if g.try(at, text, st) {
				return
			}
		}
	}
}

// around writes the name of a circle level, inside it, where there is room.
func (g *page) around(l Line, text string, st drawing.TextStyle) {
	r := l.Centre.Dist(l.A)
	w := drawing.TextWidth(text, st.Height, st.Face)
	inside := r - labelOff - w*w/8/r // its ends stay inside the circle
	for _, degrees := range []float64{-68, -112, -50, -130, -20, -160} {
		t := st
		t.Angle = degrees + 90
		if g.try(l.Centre.Add(drawing.Polar(inside, degrees)), text, t) {
			return
		}
	}
}

// try writes a text if it meets no other one.
func (g *page) try(at drawing.Point, text string, st drawing.TextStyle) bool {
	probe := drawing.NewSheet(g.sheet.Paper)
	box := probe.Write(g.v.ToSheet(at), text, st)
	if box == nil {
		return false
	}
	for _, t := range g.sheet.Texts() {
		if t.Bounds().Grow(0.4).Intersects(box.Bounds()) {
			return false
		}
	}
	g.v.Write(at, text, st)
	return true
}

// defaultRound is the step of dimensions on patterns, mm.
const defaultRound = 0.5

func (g *page) sizes(f *Figure) {
	d := g.v.Dimensions(f.Outer.Bounds())
	for _, s := range f.Sizes {
		round := s.Round
		if round == 0 {
			round = defaultRound
		}
		dims := make([]drawing.Dim, len(s.Points)-1)
		for i := range dims {
			dims[i] = drawing.Dim{Round: round, Label: g.c.Say(s.Name)}
		}
		d.Chain(s.Side, s.Points, dims...)
	}
	g.drawn = g.drawn.Union(d.Bounds())
	for _, r := range f.Rings {
		if r.Arc {
			g.v.Radius(r.Centre, r.Radius, r.Degrees, drawing.Dim{Round: defaultRound})
		} else {
			g.v.Diameter(r.Centre, r.Radius, r.Degrees, drawing.Dim{Round: defaultRound})
		}
	}
}

// block is the words that belong to a pattern: name, what it is cut from,
// holes, notes.
type block struct {
	title, meta string
	lines       []string
}

func (g *page) block() block {
	p := g.p
	b := block{title: g.c.Say(p.Name), meta: g.c.Say(p.Meta())}
	b.lines = append(b.lines, g.holeLines()...)
	for _, n := range p.Notes {
		b.lines = append(b.lines, g.c.Say(n))
	}
	b.lines = append(b.lines, g.c.Say(p.Datum))
	return b
}

// Meta says what a pattern is cut from and how often.
func (p *Pattern) Meta() message.Text {
	switch p.Use {
	case Steel, Bar:
		return message.T("kit.meta."+string(p.Use), "n", p.Count, "material", message.T("material."+p.Material), "thickness", thickness(p.Thickness))
	}
	return message.T("kit.meta."+string(p.Use), "n", p.Count)
}

// holeLines sums the holes up: so many of a size, for what.
func (g *page) holeLines() []string {
	type kind struct {
		id      string
		d, long float64
	}
	var order []kind
	count := map[kind]int{}
	name := map[kind]message.Text{}
	for _, f := range g.p.Figures {
		for _, h := range f.Holes {
			if len(h.Centres) == 0 {
				continue
			}
			k := kind{h.Name.ID, 2 * h.Outline[0].Point.Dist(h.Centres[0]), 0}
			if len(h.Centres) == 2 {
				k.long = k.d + h.Centres[0].Dist(h.Centres[1])
			}
			k.d, k.long = math.Round(k.d*10)/10, math.Round(k.long*10)/10
			if count[k] == 0 {
				order = append(order, k)
				name[k] = h.Name
			}
			count[k]++
		}
	}
	var lines []string
	for _, k := range order {
		d := quantity.Value{SI: k.d * mm, Unit: quantity.Millimetre, Step: 0.1}
		if k.long > 0 {
			lines = append(lines, g.c.S("kit.holes.slot", "n", count[k], "width", d, "length", quantity.MM1(k.long*mm), "what", name[k]))
		} else {
			lines = append(lines, g.c.S("kit.holes.drilled", "n", count[k], "diameter", d, "what", name[k]))
		}
	}
	return lines
}

// largeFigure is the width from which the words on a pattern are larger, mm.
const largeFigure = 350.0

// styles are those of title, meta line and lines.
func (g *page) styles() (title, meta, line drawing.TextStyle) {
	if g.p.Bounds().W() > largeFigure && g.p.Use != Card {
		title, meta, line = titleStyle, metaStyle, lineStyle
		title.Height, meta.Height, line.Height = drawing.TitleText, drawing.LargeText, drawing.NormalText
		return title, meta, line
	}
	return titleStyle, metaStyle, lineStyle
}

var (
	titleStyle = drawing.TextStyle{Height: drawing.LargeText, Face: drawing.Bold, VAlign: drawing.Top, Clear: true}
	metaStyle  = drawing.TextStyle{Face: drawing.Bold, VAlign: drawing.Top, Clear: true}
	lineStyle  = drawing.TextStyle{Height: drawing.SmallText * 1.15, VAlign: drawing.Top, Clear: true}
)

// set writes the block from its upper left corner, or only measures it, and
// returns its height.
func (g *page) set(b block, at drawing.Point, width float64, write bool) float64 {
	y := 0.0
	title, meta, line := g.styles()
	put := func(text string, st drawing.TextStyle, gap float64) {
		if write {
			g.v.WriteBlock(at.Sub(drawing.Pt(0, y)), text, width, st)
		}
		y += drawing.BlockHeight(text, width, st) + gap
	}
	put(b.title, title, 1.6)
	put(b.meta, meta, 1.8)
	for _, l := range b.lines {
		put(l, line, 1.1)
	}
	return y
}

// placeInside looks for room for the words on a large pattern, where they stay
// with it after it is cut out.
func (g *page) placeInside(known *place) place {
	if known != nil {
		return *known
	}
	if g.p.Use == Card || len(g.p.Figures) > 1 {
		return place{}
	}
	b := g.block()
	for _, width := range []float64{insideWidest, insideWidth} {
		height := g.set(b, drawing.Point{}, width, false)
		if at, ok := roomIn(&g.p.Figures[0], width, height, nil); ok {
			return place{inside: true, at: at, width: width}
		}
	}
	return place{}
}

// roomIn finds the upper left corner of a free rectangle in a figure, clear of
// its holes, folds, marks and words, and accepted where a further condition is
// given: the highest, leftmost one.
func roomIn(f *Figure, width, height float64, accept func(drawing.Rect) bool) (drawing.Point, bool) {
	const clear, step = 5.0, 4.0
	taken := []drawing.Rect{}
	for _, h := range f.Holes {
		taken = append(taken, h.Outline.Bounds())
	}
	for _, w := range f.Words {
		taken = append(taken, drawing.R(w.At.X-15, w.At.Y-4, 30, 8))
	}
	var lines []drawing.Point
	for _, l := range append(append([]Line{}, f.Folds...), f.Marks...) {
		lines = append(lines, along(l)...)
	}
	b := f.Outer.Bounds()
	outline := flat.Polygon(f.Outer.Flatten(0.5)...)
	for y := b.Max.Y - clear; y-height >= b.Min.Y; y -= step {
		for x := b.Min.X + clear; x+width <= b.Max.X; x += step {
			room := drawing.R(x, y-height, width, height).Grow(clear)
			if free(room, outline, taken, lines) && (accept == nil || accept(drawing.R(x, y-height, width, height))) {
				return drawing.Pt(x, y), true
			}
		}
	}
	return drawing.Point{}, false
}

// free reports whether a rectangle lies inside an outline and clear of other
// rectangles and of points.
func free(room drawing.Rect, outline flat.Outline, taken []drawing.Rect, points []drawing.Point) bool {
	for _, r := range taken {
		if room.Intersects(r) {
			return false
		}
	}
	for _, p := range points {
		if room.Contains(p) {
			return false
		}
	}
	const n = 6
	for i := range n + 1 {
		t := float64(i) / n
		for _, p := range []drawing.Point{room.Min.Lerp(drawing.Pt(room.Max.X, room.Min.Y), t), drawing.Pt(room.Min.X, room.Max.Y).Lerp(room.Max, t),
			room.Min.Lerp(drawing.Pt(room.Min.X, room.Max.Y), t), drawing.Pt(room.Max.X, room.Min.Y).Lerp(room.Max, t)} {
			if !outline.Contains(p) {
				return false
			}
		}
	}
	return true
}

// along is a line as points close together.
func along(l Line) []drawing.Point {
	n := int(math.Ceil(l.Path().Length() / 3))
	var list []drawing.Point
	for i := range n + 1 {
		t := float64(i) / float64(max(n, 1))
		if l.Sweep != 0 {
			list = append(list, l.A.Rotate(l.Centre, l.Sweep*t))
		} else {
			list = append(list, l.A.Lerp(l.B, t))
		}
	}
	return list
}

// blockBelow writes the words under everything else.
func (g *page) blockBelow() {
	const gap = 5
	b := g.room()
	width := g.place.width
	if width == 0 {
		width = max(blockNarrow, min(blockWidest, b.W()))
	}
	corner := drawing.Pt(b.Min.X+g.place.shift, b.Min.Y-gap-g.place.drop)
	height := g.set(g.block(), g.v.FromSheet(corner), width, true)
	g.said = drawing.R(corner.X, corner.Y-height, width, height)
	g.drawn = b.Union(g.said)
}

// fileName is the pattern's name in a folder.
func (p *Pattern) fileName(ext string) string { return fmt.Sprintf("patterns/%s.%s", p.ID, ext) }
