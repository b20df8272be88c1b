package kit

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"stovewright/drawing"
	"stovewright/drawing/mesh"
	"stovewright/kit/nest"
	"stovewright/message"
	"stovewright/quantity"
)

// File is one file of the kit, its name with forward slashes.
type File struct {
	Name string
	Data []byte
}

// Files writes the kit, in the words of a catalogue and for a paper: the
// patterns tiled in one PDF and one by one as DXF and SVG, the tape-and-nail
// tables, cut list and shopping list, the layouts on the sheets, and the moulds
// as solids. The same kit always gives the same bytes, in the same order.
func (k *Kit) Files(c *message.Catalogue, paper drawing.Paper) ([]File, error) {
	w := &writer{k: k, c: c, paper: paper}
	w.patterns()
	w.file("coordinates.csv", k.coordinatesCSV(c))
	w.file("coordinates.txt", k.coordinatesText(c))
	w.file("parts.csv", k.partsCSV(c))
	w.file("cut-list.csv", k.cutsCSV(c))
	w.file("buy-list.csv", k.buyCSV(c))
	w.nesting()
	w.moulds()
	return w.files, w.err
}

// writer collects files and the first error.
type writer struct {
	k     *Kit
	c     *message.Catalogue
	paper drawing.Paper
	files []File
	err   error
}

func (w *writer) file(name string, data []byte) {
	w.files = append(w.files, File{name, data})
}

// write adds a file that a function writes.
func (w *writer) write(name string, fill func(io.Writer) error) {
	if w.err != nil {
		return
	}
	var b bytes.Buffer
	if err := fill(&b); err != nil {
		w.err = fmt.Errorf("kit: %s: %w", name, err)
		return
	}
	w.file(name, b.Bytes())
}

func (w *writer) patterns() {
	w.write("patterns.pdf", func(out io.Writer) error { return drawing.PDF(out, w.k.TiledPatterns(w.c, w.paper)...) })
	for i := range w.k.Patterns {
		sheet, view := w.k.Patterns[i].Sheet(w.c)
		w.write(w.k.Patterns[i].fileName("dxf"), view.DXF)
		w.write(w.k.Patterns[i].fileName("svg"), sheet.SVG)
	}
}

// TiledPatterns are the printed pages: a list of the patterns, then each
// pattern at full size over as many pages as it needs.
func (k *Kit) TiledPatterns(c *message.Catalogue, paper drawing.Paper) []*drawing.Sheet {
	var pages []*drawing.Sheet
	first := make([]int, len(k.Patterns))
	count := make([]int, len(k.Patterns))
	covers := 1 + (len(k.Patterns)-1)/coverRows
	for i := range k.Patterns {
		p := &k.Patterns[i]
		words := drawing.TileWords{Title: c.Say(p.Name), Lines: []string{c.S("kit.tile.print")}, CheckLine: c.S("kit.tile.check")}
		sheet := p.tileSheet(c, paper, words)
		tiles := drawing.Tile(sheet, drawing.TilePaper(sheet, paper, words), words)
		first[i], count[i] = covers+len(pages)+1, len(tiles)
		pages = append(pages, tiles...)
	}
	var list []*drawing.Sheet
	for i := range covers {
		list = append(list, k.cover(c, paper, i, first, count))
	}
	return append(list, pages...)
}

// Cover page of the patterns, mm.
const (
	coverRows   = 30
	coverMargin = 18.0
	coverRow    = 7.0
)

// cover lists the patterns with what they are cut from and their pages.
func (k *Kit) cover(c *message.Catalogue, paper drawing.Paper, part int, first, count []int) *drawing.Sheet {
	paper = paper.Portrait()
	s := drawing.NewSheet(paper)
	s.Title, s.Lang, s.Decimal = c.S("kit.cover.title"), c.Language(), c.Decimal()
	width := paper.Width - 2*coverMargin
	y := paper.Height - coverMargin
	top := drawing.TextStyle{VAlign: drawing.Top}
	title := drawing.TextStyle{Height: drawing.TitleText, Face: drawing.Bold, VAlign: drawing.Top}
	s.Write(drawing.Pt(coverMargin, y), s.Title, title)
	y -= 10
	if name := k.Stove.Brief.Name; name != "" {
		y -= s.WriteBlock(drawing.Pt(coverMargin, y), name, width, top) + 2
	}
	y -= s.WriteBlock(drawing.Pt(coverMargin, y), c.S("kit.cover.how"), width, top) + 6
	columns := []float64{coverMargin, coverMargin + 72, paper.Width - coverMargin}
	head := drawing.TextStyle{Height: drawing.SmallText, Face: drawing.Bold}
	for i, id := range []string{"pattern", "from", "pages"} {
		st := head
		if i == 2 {
			st.Align = drawing.AlignRight
		}
		s.Write(drawing.Pt(columns[i], y-drawing.SmallText), c.S("kit.cover."+id), st)
	}
	y -= drawing.SmallText + 2
	s.Stroke(drawing.Thin, drawing.Line(drawing.Pt(coverMargin, y), drawing.Pt(paper.Width-coverMargin, y)))
	for i := part * coverRows; i < min(len(k.Patterns), (part+1)*coverRows); i++ {
		p := &k.Patterns[i]
		y -= coverRow
		fit := drawing.TextStyle{Height: drawing.NormalText}
		s.Write(drawing.Pt(columns[0], y+2), oneLine(c.Say(p.Name), columns[1]-columns[0]-3, fit), fit)
		fit.Height = drawing.SmallText
		s.Write(drawing.Pt(columns[1], y+2), oneLine(c.Say(p.Meta()), columns[2]-columns[1]-20, fit), fit)
		pages := strconv.Itoa(first[i])
		if count[i] > 1 {
			pages += "–" + strconv.Itoa(first[i]+count[i]-1)
		}
		s.Write(drawing.Pt(columns[2], y+2), pages, drawing.TextStyle{Align: drawing.AlignRight})
		s.Stroke(drawing.HatchLine, drawing.Line(drawing.Pt(coverMargin, y), drawing.Pt(paper.Width-coverMargin, y)))
	}
	s.Write(drawing.Pt(coverMargin, coverMargin+6), c.S("kit.tile.check"), drawing.TextStyle{Height: drawing.SmallText})
	s.CheckRule(drawing.Pt(coverMargin, coverMargin))
	return s
}

// oneLine shortens a text that is too wide.
func oneLine(text string, width float64, st drawing.TextStyle) string {
	runes := []rune(text)
	for n := len(runes); n > 0; n-- {
		cut := string(runes[:n])
		if n < len(runes) {
			cut = strings.TrimSpace(cut) + "…"
		}
		if drawing.TextWidth(cut, st.Height, st.Face) <= width {
			return cut
		}
	}
	return text
}

// table writes rows as CSV; a point is the decimal sign, whatever the language.
func csvTable(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for _, r := range rows {
		if err := w.Write(r); err != nil {
			panic(err) // a bytes.Buffer takes everything
		}
	}
	w.Flush()
	return b.Bytes()
}

// head is the row of column names.
func head(c *message.Catalogue, ids ...string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = c.S("kit.column." + id)
	}
	return names
}

// decimal writes a number with as many decimals as asked, and nothing for a
// value that does not apply.
func decimal(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if f, _ := strconv.ParseFloat(s, 64); f == 0 {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// unless is empty where the condition holds.
func unless(empty bool, s string) string {
	if empty {
		return ""
	}
	return s
}

func (k *Kit) coordinatesCSV(c *message.Catalogue) []byte {
	rows := [][]string{head(c, "pattern", "figure", "point", "what", "x", "y", "centre-x", "centre-y", "radius", "step")}
	for i := range k.Patterns {
		p := &k.Patterns[i]
		for _, q := range p.Coordinates() {
			round := q.Radius == 0
			rows = append(rows, []string{p.ID, itoa(q.Figure), q.Label, c.Say(q.What), decimal(q.At.X, 1), decimal(q.At.Y, 1),
				unless(round, decimal(q.Centre.X, 1)), unless(round, decimal(q.Centre.Y, 1)), unless(round, decimal(q.Radius, 1)), unless(q.Step == 0, decimal(q.Step, 1))})
		}
	}
	return csvTable(rows)
}

// coordinatesText is the tape-and-nail table to be printed or read aloud:
// millimetres to the half.
func (k *Kit) coordinatesText(c *message.Catalogue) []byte {
	var b strings.Builder
	b.WriteString(c.S("kit.tape.title") + "\n\n" + fold(c.S("kit.tape.how"), 78) + "\n")
	number := func(x float64) string { return c.Number(tape(x)) }
	for i := range k.Patterns {
		p := &k.Patterns[i]
		title := c.Say(p.Name)
		fmt.Fprintf(&b, "\n%s\n%s\n%s (%s)\n%s\n", title, strings.Repeat("-", len([]rune(title))), c.Say(p.Meta()), p.ID, fold(c.Say(p.Datum), 78))
		figure := 0
		for _, q := range p.Coordinates() {
			if q.Figure != figure {
				figure = q.Figure
				if name := p.Figures[figure-1].Name; !name.IsZero() {
					fmt.Fprintf(&b, "  %s\n", c.Say(name))
				}
				fmt.Fprintf(&b, "  %-8s %8s %8s %8s  %s\n", c.S("kit.column.point"), "x", "y", c.S("kit.tape.step"), c.S("kit.column.what"))
			}
			what := c.Say(q.What)
			switch {
			case q.Radius > 0 && q.Centre == q.At:
				what += " " + c.S("kit.tape.nail", "radius", tape(q.Radius))
			case q.Radius > 0:
				what += " " + c.S("kit.tape.arc", "radius", tape(q.Radius), "x", tape(q.Centre.X), "y", tape(q.Centre.Y))
			}
			step := ""
			if q.Step > 0 {
				step = number(q.Step)
			}
			fmt.Fprintf(&b, "  %-8s %8s %8s %8s  %s\n", q.Label, number(q.At.X), number(q.At.Y), step, what)
		}
	}
	return []byte(b.String())
}

// fold breaks a text into lines of at most so many letters.
func fold(text string, width int) string {
	var b strings.Builder
	n := 0
	for _, word := range strings.Fields(text) {
		if n > 0 && n+1+len([]rune(word)) > width {
			b.WriteByte('\n')
			n = 0
		} else if n > 0 {
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += len([]rune(word))
	}
	return b.String()
}

func (k *Kit) partsCSV(c *message.Catalogue) []byte {
	rows := [][]string{head(c, "id", "part", "count", "material", "sizes", "mass", "because", "patterns")}
	for _, p := range k.Parts {
		var sizes []string
		for _, m := range p.Sizes {
			sizes = append(sizes, c.Say(m.Name)+" "+c.Value(m.Value))
		}
		rows = append(rows, []string{p.ID, c.Say(p.Name), itoa(p.Count), materialName(c, p.Material), strings.Join(sizes, "; "),
			decimal(p.Mass, 3), c.Say(p.Because), strings.Join(p.Patterns, " ")})
	}
	return csvTable(rows)
}

func materialName(c *message.Catalogue, key string) string {
	if key == "" {
		return ""
	}
	return capital(c.S("material." + key))
}

// capital begins a name that stands alone with a capital letter.
func capital(s string) string {
	for i, first := range s {
		return string(unicode.ToUpper(first)) + s[i+len(string(first)):]
	}
	return s
}

func (k *Kit) cutsCSV(c *message.Catalogue) []byte {
	rows := [][]string{head(c, "id", "piece", "use", "count", "material", "length", "width", "thick")}
	for _, q := range k.Cuts {
		rows = append(rows, []string{q.ID, c.Say(q.Name), c.S("kit.use." + string(q.Use)), itoa(q.Count), materialName(c, q.Material),
			decimal(toMM(q.Length), 1), unless(q.Width == 0, decimal(toMM(q.Width), 1)), decimal(toMM(q.Thick), 2)})
	}
	return csvTable(rows)
}

func (k *Kit) buyCSV(c *message.Catalogue) []byte {
	rows := [][]string{head(c, "item", "count", "size", "amount", "unit", "from", "because")}
	for _, p := range k.Purchases {
		from := "buy"
		if p.AtHand {
			from = "at-hand"
		}
		rows = append(rows, []string{c.Say(p.Name), unless(p.Count == 0, itoa(p.Count)), c.Say(p.Size), unless(p.Amount.SI == 0, p.Amount.Number()),
			unless(p.Amount.SI == 0, p.Amount.Unit.Symbol), c.S("kit.from." + from), c.Say(p.Because)})
	}
	return csvTable(rows)
}

func (w *writer) nesting() {
	sheets := w.k.CuttingSheets(w.c, w.paper)
	if len(sheets) == 0 {
		return
	}
	w.write("nesting.pdf", func(out io.Writer) error { return drawing.PDF(out, sheets...) })
	for i, s := range sheets {
		w.write(fmt.Sprintf("nesting/sheet-%d.svg", i+1), s.SVG)
	}
}

func (w *writer) moulds() {
	for _, d := range w.k.Moulds {
		name := strings.TrimPrefix(d.ID, "mould.")
		w.write("moulds/"+name+".3mf", func(out io.Writer) error { return mesh.Write3MF(out, w.c.Say(d.Name), d.Solids) })
		for i, o := range d.Solids {
			file := name
			if i > 0 {
				file += "-insert-" + itoa(i)
			}
			w.write("moulds/"+file+".stl", func(out io.Writer) error { return mesh.WriteSTL(out, o.Name, o.Solid) })
		}
	}
}

// CuttingSheets draws each sheet with the blanks on it, in the order in which
// they are cut.
func (k *Kit) CuttingSheets(c *message.Catalogue, paper drawing.Paper) []*drawing.Sheet {
	var list []*drawing.Sheet
	total := 0
	for _, g := range k.Cutting {
		total += len(g.Layout.Sheets)
	}
	for i := range k.Cutting {
		g := &k.Cutting[i]
		for j := range g.Layout.Sheets {
			list = append(list, k.cuttingSheet(c, paper, g, j, len(list)+1, total))
		}
	}
	return list
}

func (k *Kit) cuttingSheet(c *message.Catalogue, paper drawing.Paper, g *Cutting, at, number, total int) *drawing.Sheet {
	laid := g.Layout.Sheets[at]
	paper = paper.Landscape()
	s := drawing.NewSheet(paper)
	s.Title, s.Lang, s.Decimal, s.ID = c.S("kit.nesting.title", "sheet", g.Name()), c.Language(), c.Decimal(), "nesting-"+itoa(number)
	room := s.Furnish(drawing.TitleBlock{Project: k.Stove.Brief.Name, Title: s.Title, Fields: []drawing.Field{
		{Name: c.S("kit.nesting.sheet"), Value: fmt.Sprintf("%d/%d", number, total)},
		{Name: c.S("kit.nesting.size"), Value: g.Stocks[laid.Stock].Name},
		{Name: c.S("kit.nesting.used"), Value: c.Value(quantity.Pct(laid.PartArea(g.Parts) / (laid.Width * laid.Height)))},
	}, Notes: []string{c.S("kit.nesting.note", "gap", quantity.MM(snipGap))}})
	width, height := toMM(laid.Height), toMM(laid.Width) // lying: the long side across
	room.Min.Y = k.legend(c, s, room, g, laid.Placed)
	room = drawing.Rect{Min: room.Min.Add(drawing.Pt(16, 16)), Max: room.Max.Sub(drawing.Pt(6, 8))}
	scale := drawing.FitScale(width, height, room.W(), room.H())
	v := s.NewView(room.Centre().Sub(drawing.Pt(width/2, height/2).Mul(scale.Factor())), scale)
	v.Stroke(drawing.Outline, drawing.Rectangle(drawing.R(0, 0, width, height)))
	for _, p := range laid.Placed {
		k.placed(v, g, p)
	}
	for _, o := range laid.Offcuts {
		v.Stroke(drawing.Phantom, drawing.Rectangle(drawing.R(toMM(o.Y), toMM(o.X), toMM(o.Height), toMM(o.Width)).Grow(-2)))
	}
	k.number(c, v, g, laid.Placed, height)
	d := v.Dimensions(drawing.R(0, 0, width, height))
	d.Add(drawing.Below, drawing.Pt(0, 0), drawing.Pt(width, 0), drawing.Dim{Round: 1})
	d.Add(drawing.Left, drawing.Pt(0, 0), drawing.Pt(0, height), drawing.Dim{Round: 1})
	return s
}

// lying is the place of a blank, mm, on a sheet that lies on its side: x and y
// of the layout change places.
func lying(p nest.Placement) drawing.Rect {
	return drawing.R(toMM(p.Y), toMM(p.X), toMM(p.Height), toMM(p.Width))
}

// placed draws one blank with its pattern's outline. The sheet lies on its side,
// so the pattern is mirrored in the diagonal, which for a blank is a quarter
// turn seen from the other face.
func (k *Kit) placed(v *drawing.View, g *Cutting, p nest.Placement) {
	r := lying(p)
	outline := k.Pattern(g.Parts[p.Part].Name).Figures[0].Outer
	if upright := (outline.Bounds().W() < outline.Bounds().H()) != (r.W() < r.H()); upright {
		outline = outline.Rotated(drawing.Point{}, 90)
	}
	outline = outline.Shifted(r.Centre().Sub(outline.Bounds().Centre()))
	v.Stroke(drawing.Thin, drawing.Rectangle(r))
	v.Stroke(drawing.CutLine, outline.Path())
}

// Numbers and legend of a layout, mm on paper.
const (
	numberApart  = 5.0 // between the numbers above the sheet
	numberRise   = 3.0 // of them above its edge
	pointerDepth = 1.0 // of a pointer's end in its blank
	legendRow    = 3.8
	legendGap    = 6.0 // between columns
)

// number writes each blank's number on it, with its name where there is room. A
// blank too small for its number, or one that has another in its middle, has it
// above the sheet at the end of a pointer.
func (k *Kit) number(c *message.Catalogue, v *drawing.View, g *Cutting, placed []nest.Placement, height float64) {
	factor := v.Scale().Factor()
	var apart []int
	written := make([]drawing.Rect, 0, len(placed))
	for n, p := range placed {
		text, st, ok := numberFor(itoa(n+1), c.Say(k.Pattern(g.Parts[p.Part].Name).Name), lying(p), factor)
		if !ok || holds(placed, n) {
			apart = append(apart, n)
			continue
		}
		if box := v.Write(lying(p).Centre(), text, st); box != nil {
			written = append(written, box.Bounds())
		}
	}
	sort.SliceStable(apart, func(i, j int) bool { return lying(placed[apart[i]]).Centre().X < lying(placed[apart[j]]).Centre().X })
	right := math.Inf(-1)
	for _, n := range apart {
		r := lying(placed[n])
		x := max(r.Centre().X, right+numberApart/factor)
		right = x
		end := drawing.Pt(r.Centre().X, r.Max.Y-min(r.H()/2, pointerDepth/factor))
		at := drawing.Pt(x, height+numberRise/factor)
		v.Stroke(drawing.Thin, pointer(v, end, at, written)...)
		v.Write(at, itoa(n+1), drawing.TextStyle{Height: drawing.SmallText, Align: drawing.AlignCentre})
	}
}

// pointer is the line from a blank to its number, broken where it would cross a
// text.
func pointer(v *drawing.View, from, to drawing.Point, texts []drawing.Rect) []*drawing.Path {
	const steps = 200
	var list []*drawing.Path
	start := -1
	to = to.Sub(drawing.Pt(0, 0.5/v.Scale().Factor()))
	for i := range steps + 2 {
		clear := i <= steps
		for _, t := range texts {
			clear = clear && !t.Grow(0.4).Contains(v.ToSheet(from.Lerp(to, float64(i)/steps)))
		}
		switch {
		case clear && start < 0:
			start = i
		case !clear && start >= 0:
			if i-1 > start {
				list = append(list, drawing.Line(from.Lerp(to, float64(start)/steps), from.Lerp(to, float64(i-1)/steps)))
			}
			start = -1
		}
	}
	return list
}

// holds reports whether another blank lies inside one, as a disc does in the
// hole of a ring.
func holds(placed []nest.Placement, n int) bool {
	r := lying(placed[n])
	for i, p := range placed {
		if i != n && r.ContainsRect(lying(p)) {
			return true
		}
	}
	return false
}

// numberFor is what can be written on a blank: number and name, upright if need
// be, or the number alone; false where not even that has room.
func numberFor(number, name string, r drawing.Rect, factor float64) (string, drawing.TextStyle, bool) {
	st := drawing.TextStyle{Align: drawing.AlignCentre, VAlign: drawing.Middle, Clear: true}
	long, short, angle := r.W()*factor, r.H()*factor, 0.0
	if long < short {
		long, short, angle = short, long, 90
	}
	for _, text := range []string{number + " " + name, number} {
		for _, h := range []float64{drawing.NormalText, drawing.SmallText} {
			if drawing.TextWidth(text, h, st.Face) < long-1 && h*1.6 < short {
				st.Height, st.Angle = h, angle
				return text, st, true
			}
		}
	}
	return "", st, false
}

// legend lists number, name, size and place of every blank along the lower edge
// of a room, in columns, and returns the height of its upper edge.
func (k *Kit) legend(c *message.Catalogue, s *drawing.Sheet, room drawing.Rect, g *Cutting, placed []nest.Placement) float64 {
	st := drawing.TextStyle{Height: drawing.SmallText, VAlign: drawing.Top}
	rows := make([]string, len(placed))
	widest := 0.0
	for n, p := range placed {
		r := lying(p)
		number := func(x float64) string { return c.Number(tape(x)) }
		rows[n] = c.S("kit.nesting.blank", "n", itoa(n+1), "name", k.Pattern(g.Parts[p.Part].Name).Name,
			"across", number(r.W()), "up", number(r.H()), "x", number(r.Min.X), "y", number(r.Min.Y))
		widest = max(widest, drawing.TextWidth(rows[n], st.Height, st.Face))
	}
	columns := max(1, int((room.W()+legendGap)/(widest+legendGap)))
	lines := (len(rows) + columns - 1) / columns
	head := c.S("kit.nesting.legend")
	top := room.Min.Y + float64(lines)*legendRow + drawing.BlockHeight(head, room.W(), st) + 2
	y := top - s.WriteBlock(drawing.Pt(room.Min.X, top), head, room.W(), st) - 1
	for n, row := range rows {
		s.Write(drawing.Pt(room.Min.X+float64(n/lines)*(widest+legendGap), y-float64(n%lines)*legendRow), row, st)
	}
	return top
}
