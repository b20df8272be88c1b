// Package booklet makes the pages that go to the workshop: the booklet a stove
// is built from, with its drawings, lists, steps and hold points, the card for
// the cook, and the bundle of files of a whole kit.
//
// Pages are black on white, A4 or Letter, with selectable text and the used
// letters of the fonts inside. The same stove always gives the same bytes.
package booklet

import (
	"io"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"stovewright/drawing"
	"stovewright/message"
)

// Measures of a page in millimetres and of its type in points.
const (
	marginSide   = 20.0
	marginTop    = 18.0
	marginBottom = 18.0
	bodyType     = 10.0
	smallType    = 8.5
	lineHeight   = 1.35 // of the type's size
	point        = 25.4 / 72
)

// entry is a line of the table of contents.
type entry struct {
	title string
	page  int
}

// book is a document in the making: text flows down the page and on to the
// next.
type book struct {
	pdf   *fpdf.Fpdf
	c     *message.Catalogue
	paper drawing.Paper
	title string // in the foot of each page
	y     float64
	toc   []entry // gathered while the pages are made
	known []entry // from the pass before, to print the contents with
	plain bool    // the present page has no foot: the cover
}

func newBook(c *message.Catalogue, paper drawing.Paper, title string, known []entry) *book {
	b := &book{pdf: drawing.NewPDF(paper), c: c, paper: paper, title: title, known: known}
	b.pdf.SetTitle(title, true)
	b.pdf.SetLang(c.Language())
	b.pdf.SetDrawColor(0, 0, 0)
	b.pdf.SetTextColor(0, 0, 0)
	return b
}

func (b *book) width() float64  { return b.paper.Width - 2*marginSide }
func (b *book) bottom() float64 { return b.paper.Height - marginBottom }

// page starts a new page, with the foot that every page but the cover has.
func (b *book) page() {
	b.pdf.AddPageFormat("P", fpdf.SizeType{Wd: b.paper.Width, Ht: b.paper.Height})
	b.y = marginTop
	if b.plain {
		return
	}
	b.font("", smallType)
	y := b.paper.Height - 9
	b.pdf.Text(marginSide, y, b.title)
	number := strconv.Itoa(b.pdf.PageNo())
	b.pdf.Text(b.paper.Width-marginSide-b.pdf.GetStringWidth(number), y, number)
	b.rule(b.paper.Height-13, 0.18)
}

// need starts a new page unless so much height is left on this one.
func (b *book) need(height float64) {
	if b.pdf.PageNo() == 0 || b.y+height > b.bottom() {
		b.page()
	}
}

func (b *book) font(style string, size float64) { b.pdf.SetFont(drawing.PDFFamily, style, size) }

func (b *book) rule(y, thickness float64) {
	b.pdf.SetLineWidth(thickness)
	b.pdf.Line(marginSide, y, b.paper.Width-marginSide, y)
}

// chapter starts a page with a heading that stands in the contents.
func (b *book) chapter(id string) { b.begin(b.c.S(id)) }

// begin is chapter with a title in words.
func (b *book) begin(title string) {
	b.page()
	b.toc = append(b.toc, entry{title, b.pdf.PageNo()})
	b.pdf.Bookmark(title, 0, -1)
	b.font("B", 18)
	b.y += 6
	b.pdf.Text(marginSide, b.y, title)
	b.y += 3
	b.rule(b.y, 0.5)
	b.y += 6
}

// heading is a smaller one within a chapter.
func (b *book) heading(text string) {
	b.need(22)
	b.y += 3
	b.font("B", 12)
	b.pdf.Text(marginSide, b.y+3, text)
	b.y += 7
}

// lines breaks a text to a width in the present font.
func (b *book) lines(text string, width float64) []string { return b.pdf.SplitText(text, width) }

// write sets a text at a place in a column and returns its height.
func (b *book) write(text string, x, y, width, size float64, style string) float64 {
	b.font(style, size)
	pitch := size * point * lineHeight
	list := b.lines(text, width)
	for i, line := range list {
		b.pdf.Text(x, y+float64(i)*pitch+size*point, line)
	}
	return float64(len(list)) * pitch
}

// height is what write would take.
func (b *book) height(text string, width, size float64, style string) float64 {
	b.font(style, size)
	return float64(len(b.lines(text, width))) * size * point * lineHeight
}

// para is a paragraph across the page.
func (b *book) para(text string) {
	b.need(b.height(text, b.width(), bodyType, ""))
	b.y += b.write(text, marginSide, b.y, b.width(), bodyType, "") + 2.2
}

// item is a paragraph with a sign before it: a number, a bullet, a box.
func (b *book) item(sign, text string) {
	const indent = 7
	b.need(b.height(text, b.width()-indent, bodyType, ""))
	if sign == checkBox {
		b.box(marginSide, b.y+0.6, 3.4)
	} else {
		b.write(sign, marginSide, b.y, indent, bodyType, "B")
	}
	b.y += b.write(text, marginSide+indent, b.y, b.width()-indent, bodyType, "") + 1.4
}

const (
	bullet   = "•"
	checkBox = "[]" // drawn, not written
)

func (b *book) box(x, y, size float64) {
	b.pdf.SetLineWidth(0.3)
	b.pdf.Rect(x, y, size, size, "D")
}

// caution is a framed warning with its sign: what may hurt, and what to do.
func (b *book) caution(text string) {
	const inset, sign = 3.0, 9.0
	w := b.width() - 2*inset - sign
	h := max(b.height(text, w, bodyType, "")+2*inset, 11)
	b.need(h + 2)
	b.cautionAt(text, marginSide, b.y, b.width(), h)
	b.y += h + 3
}

// cautionAt draws a caution in a given frame.
func (b *book) cautionAt(text string, x, y, width, height float64) {
	const inset, sign = 3.0, 9.0
	b.pdf.SetLineWidth(0.5)
	b.pdf.Rect(x, y, width, height, "D")
	b.pdf.SetLineWidth(0.35)
	cx, cy := x+inset+3.2, y+inset
	b.pdf.Polygon([]fpdf.PointType{{X: cx, Y: cy}, {X: cx + 3.4, Y: cy + 6}, {X: cx - 3.4, Y: cy + 6}}, "D")
	b.font("B", 11)
	b.pdf.Text(cx-0.65, cy+5.2, "!")
	b.write(text, x+inset+sign, y+inset, width-2*inset-sign, bodyType, "")
}

// column is one column of a table: its share of the width, and whether it
// holds numbers.
type column struct {
	head   string
	share  float64
	number bool
}

// table sets rows between thin rules and repeats its head on each new page.
func (b *book) table(columns []column, rows [][]string) {
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = b.width() * c.share / total
	}
	head := func() {
		cells := make([]string, len(columns))
		for i, c := range columns {
			cells[i] = c.head
		}
		b.row(columns, widths, cells, "B")
		b.rule(b.y, 0.35)
		b.y += 0.8
	}
	b.need(20)
	head()
	for _, r := range rows {
		if b.y+b.rowHeight(widths, r, "") > b.bottom() {
			b.page()
			head()
		}
		b.row(columns, widths, r, "")
		b.rule(b.y, 0.1)
		b.y += 0.6
	}
	b.y += 3
}

const cellGap = 2.5

func (b *book) rowHeight(widths []float64, cells []string, style string) float64 {
	tallest := 0.0
	for i, c := range cells {
		tallest = max(tallest, b.height(c, widths[i]-cellGap, smallType+0.5, style))
	}
	return tallest + 1
}

func (b *book) row(columns []column, widths []float64, cells []string, style string) {
	x := marginSide
	h := b.rowHeight(widths, cells, style)
	for i, c := range cells {
		if columns[i].number {
			b.font(style, smallType+0.5)
			w := b.pdf.GetStringWidth(c)
			b.write(c, x+max(0, widths[i]-cellGap-w), b.y+0.4, widths[i], smallType+0.5, style)
		} else {
			b.write(c, x, b.y+0.4, widths[i]-cellGap, smallType+0.5, style)
		}
		x += widths[i]
	}
	b.y += h
}

// sheet places a drawing on the page with its upper left corner at a point.
func (b *book) sheet(s *drawing.Sheet, x, y float64) { s.DrawPDF(b.pdf, x, y) }

// whole is a page that is one drawing, upright or lying.
func (b *book) whole(s *drawing.Sheet) {
	b.pdf.AddPageFormat("P", fpdf.SizeType{Wd: s.Paper.Width, Ht: s.Paper.Height})
	b.y = b.bottom()
	s.DrawPDF(b.pdf, 0, 0)
	b.toc = append(b.toc, entry{s.Title, b.pdf.PageNo()})
	b.pdf.Bookmark(s.Title, 0, -1)
}

// contents prints the table of contents as it was after the pass before.
func (b *book) contents() {
	b.page()
	b.font("B", 18)
	b.y += 6
	b.pdf.Text(marginSide, b.y, b.c.S("booklet.contents"))
	b.y += 10
	for _, e := range b.known {
		b.font("", bodyType+0.5)
		number := strconv.Itoa(e.page)
		right := b.paper.Width - marginSide - b.pdf.GetStringWidth(number)
		b.pdf.Text(marginSide, b.y, e.title)
		b.pdf.Text(right, b.y, number)
		b.pdf.SetLineWidth(0.18)
		b.pdf.SetDashPattern([]float64{0.2, 1.4}, 0)
		b.pdf.Line(marginSide+b.pdf.GetStringWidth(e.title)+2, b.y-0.3, right-2, b.y-0.3)
		b.pdf.SetDashPattern(nil, 0)
		b.y += 7
	}
}

// twice runs a document until its contents are right: the first pass finds the
// page numbers, the second prints them.
func twice(w io.Writer, c *message.Catalogue, paper drawing.Paper, title string, pages func(*book)) error {
	var known []entry
	for range 2 {
		b := newBook(c, paper, title, known)
		pages(b)
		if err := b.pdf.Error(); err != nil {
			return err
		}
		if len(known) == len(b.toc) && same(known, b.toc) {
			return b.pdf.Output(w)
		}
		known = b.toc
	}
	b := newBook(c, paper, title, known)
	pages(b)
	return b.pdf.Output(w)
}

func same(a, b []entry) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
