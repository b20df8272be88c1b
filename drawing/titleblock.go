package drawing

// TitleBlock is what stands in the lower right corner of a drawing. All words
// are the caller's, in the reader's language.
type TitleBlock struct {
	Project    string  // above the title, small: whose and which stove
	Title      string  // what the drawing shows
	Fields     []Field // number, scale, date, revision, sheet …, three to a row
	FirstAngle bool    // show the symbol of first angle projection
	Notes      []string
	// Notes are lines under the fields: what units the drawing is in, that it
	// is a prediction and no certificate, what to check before cutting.
}

// Field is a cell of the title block: what it is, and its value.
type Field struct{ Name, Value string }

// Measures of the frame (iso5457sheets) and the title block (iso7200titleblock),
// both from memory.
const (
	filingMargin    = 20.0
	frameMargin     = 10.0
	titleBlockWidth = 180.0
	cellHeight      = 9.0
	cellName        = 2.8 // from the top of a cell to the base line of its name
	cellValue       = 7.2 // and to that of its value; accents fit between
)

// Frame draws the border of the drawing and its centring marks: 20 mm from the
// left edge for filing and 10 mm from the others. It returns the room inside.
func (s *Sheet) Frame() Rect {
	b := s.Bounds()
	s.inner = Rect{Point{filingMargin, frameMargin}, Point{b.Max.X - frameMargin, b.Max.Y - frameMargin}}
	s.Stroke(FrameLine, Rectangle(s.inner))
	c := b.Centre()
	s.Stroke(FrameLine,
		Line(Pt(c.X, 3), Pt(c.X, frameMargin)), Line(Pt(c.X, b.Max.Y-3), Pt(c.X, b.Max.Y-frameMargin)),
		Line(Pt(filingMargin-7, c.Y), Pt(filingMargin, c.Y)), Line(Pt(b.Max.X-3, c.Y), Pt(b.Max.X-frameMargin, c.Y)))
	return s.inner
}

// Furnish draws the frame and the title block and returns the room left for
// the drawing, above the block.
func (s *Sheet) Furnish(tb TitleBlock) Rect {
	in := s.Frame()
	block := s.TitleBlock(tb, Pt(in.Max.X, in.Min.Y), min(titleBlockWidth, in.W()))
	return Rect{Point{in.Min.X, block.Max.Y}, in.Max}.Grow(-4)
}

// TitleBlock draws a title block of a width with its lower right corner at a
// point of the sheet, and returns its rectangle.
func (s *Sheet) TitleBlock(tb TitleBlock, corner Point, width float64) Rect {
	left := corner.X - width
	noteStyle := TextStyle{Height: SmallText, VAlign: Top}
	y := corner.Y
	var noteHeights []float64
	for i := len(tb.Notes) - 1; i >= 0; i-- {
		h := BlockHeight(tb.Notes[i], width-4, noteStyle)
		noteHeights = append(noteHeights, h)
		y += h + 1.2
	}
	if len(noteHeights) > 0 {
		y += 1.2
	}
	cols, rows := tb.grid()
	block := Rect{Point{left, corner.Y}, Point{corner.X, y + float64(max(2, rows))*cellHeight}}
	s.Fill(White, Rectangle(block))
	s.Reserve(block)

	at := y - 1.2
	for _, note := range tb.Notes {
		at -= s.WriteBlock(Pt(left+2, at), note, width-4, noteStyle) + 1.2
	}
	split := corner.X - width*0.19*float64(cols)
	s.titles(tb, Rect{Point{left, y}, Point{split, block.Max.Y}})
	s.cells(tb, Rect{Point{split, y}, block.Max}, cols, rows)
	if y > corner.Y {
		s.Stroke(RuleLine, Line(Pt(left, y), Pt(corner.X, y)))
	}
	s.Stroke(FrameLine, Rectangle(block))
	return block
}

// titles writes the project and, large, the title.
func (s *Sheet) titles(tb TitleBlock, r Rect) {
	w := r.W() - 4
	s.writeFitted(Pt(r.Min.X+2, r.Max.Y-cellName), tb.Project, w, TextStyle{Height: SmallText})
	room := Rect{Point{r.Min.X + 2, r.Min.Y + 1}, Point{r.Max.X - 2, r.Max.Y - 3.7}}
	for _, h := range []float64{TitleText, LargeText, NormalText, SmallText} {
		st := TextStyle{Height: h, Face: Bold, VAlign: Middle, Spacing: 1.5}
		if BlockHeight(tb.Title, w, st) <= room.H() || h == SmallText {
			s.WriteBlock(Pt(room.Min.X, room.Centre().Y), tb.Title, w, st)
			return
		}
	}
}

// grid is the columns and rows of the fields and the symbol.
func (tb TitleBlock) grid() (cols, rows int) {
	n := len(tb.Fields)
	if tb.FirstAngle {
		n++
	}
	if n == 0 {
		return 0, 0
	}
	cols = min(3, (n+1)/2)
	return cols, (n + cols - 1) / cols
}

// cells draws the fields row by row from the top, and the symbol of the
// projection in the last place. The last field takes what is left of its row.
func (s *Sheet) cells(tb TitleBlock, r Rect, cols, rows int) {
	if cols == 0 {
		return
	}
	w, h := r.W()/float64(cols), r.H()/float64(rows)
	for i, f := range tb.Fields {
		cell := R(r.Min.X+w*float64(i%cols), r.Max.Y-h*float64(i/cols+1), w, h)
		if i == len(tb.Fields)-1 && !tb.FirstAngle {
			cell.Max.X = r.Max.X
		}
		s.Stroke(RuleLine, Rectangle(cell))
		s.writeFitted(Pt(cell.Min.X+1.5, cell.Max.Y-cellName), f.Name, cell.W()-3, TextStyle{Height: SmallText})
		s.writeFitted(Pt(cell.Min.X+1.5, cell.Max.Y-cellValue), f.Value, cell.W()-3, TextStyle{Height: NormalText})
	}
	if tb.FirstAngle {
		n := len(tb.Fields)
		cell := Rect{Point{r.Min.X + w*float64(n%cols), r.Min.Y}, Point{r.Max.X, r.Max.Y - h*float64(n/cols)}}
		s.Stroke(RuleLine, Rectangle(cell))
		s.FirstAngleSymbol(cell.Centre(), cellHeight*0.55)
	}
}

// writeFitted writes a line that is made smaller, and at last cut short, to
// fit a width.
func (s *Sheet) writeFitted(at Point, str string, width float64, st TextStyle) {
	w := TextWidth(clean(str), st.height(), st.Face)
	if w > width {
		st.Height = max(0.6, width/w) * st.height()
		str = shorten(str, width, st)
	}
	s.Write(at, str, st)
}

// shorten cuts a line to a width and marks the cut with an ellipsis.
func shorten(str string, width float64, st TextStyle) string {
	str = clean(str)
	if TextWidth(str, st.height(), st.Face) <= width*(1+1e-9) {
		return str
	}
	room := width - TextWidth("…", st.height(), st.Face)
	return str[:fitting(str, room, st)] + "…"
}

// FirstAngleSymbol draws the truncated cone in its two views that stands for
// first angle projection (iso5456projection, from memory): the side view on the left
// with its small end to the left, the view from the left on the right.
func (s *Sheet) FirstAngleSymbol(centre Point, size float64) {
	r := size / 2 // of the large end
	c := Pt(centre.X+1.15*r, centre.Y)
	x := centre.X - 1.15*r
	s.Stroke(Thin, Circle(c, r), Circle(c, r/2),
		Polygon(Pt(x-r, c.Y-r/2), Pt(x+r, c.Y-r), Pt(x+r, c.Y+r), Pt(x-r, c.Y+r/2)))
	s.Stroke(symbolAxis, Line(Pt(x-r-0.8, c.Y), Pt(c.X+r+0.8, c.Y)), Line(Pt(c.X, c.Y-r-0.8), Pt(c.X, c.Y+r+0.8)))
}

var symbolAxis = &Pen{Name: "axis", Layer: "CENTRE", Linetype: "CENTER", Width: 0.13, Dash: []float64{1.6, 0.4, 0.3, 0.4}}
