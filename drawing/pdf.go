package drawing

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// PDFFamily is the font family that [AddFonts] makes known to a document, with
// the styles "", "B" and "I".
const PDFFamily = "liberation"

// fileDate stands in every file, so that the same drawing gives the same file.
var fileDate = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// mm is points per millimetre.
const mm = 72 / 25.4

// PDF writes sheets as the pages of one document, each of its own exact size,
// with text that can be selected and the used letters of the fonts embedded.
// The same sheets always give the same bytes.
func PDF(w io.Writer, sheets ...*Sheet) error {
	if len(sheets) == 0 {
		return fmt.Errorf("drawing: a PDF needs a sheet")
	}
	pdf := NewPDF(sheets[0].Paper)
	pdf.SetTitle(clean(sheets[0].Title), true)
	if sheets[0].Lang != "" {
		pdf.SetLang(clean(sheets[0].Lang))
	}
	for _, s := range sheets {
		pdf.AddPageFormat("P", fpdf.SizeType{Wd: s.Paper.Width, Ht: s.Paper.Height})
		s.DrawPDF(pdf, 0, 0)
	}
	return pdf.Output(w)
}

// NewPDF is an empty document in millimetres with the fonts of the drawings,
// no margins, no automatic page breaks and fixed dates, so that the same pages
// always give the same bytes.
func NewPDF(p Paper) *fpdf.Fpdf {
	pdf := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: p.Width, Ht: p.Height}})
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(fileDate)
	pdf.SetModificationDate(fileDate)
	AddFonts(pdf)
	return pdf
}

// AddFonts makes the fonts of the drawings known to a document as [PDFFamily].
func AddFonts(pdf *fpdf.Fpdf) {
	for face, style := range []string{"", "B", "I"} {
		pdf.AddUTF8FontFromBytes(PDFFamily, style, Face(face).TTF())
	}
}

// DrawPDF draws the sheet on the current page of a document, its upper left
// corner at (x, y) millimetres from that of the page. The document's unit must
// be the millimetre; the fonts are added if it does not know them yet. Its font,
// colours and line settings stand afterwards as they were.
func (s *Sheet) DrawPDF(pdf *fpdf.Fpdf, x, y float64) {
	if pdf.GetFontDesc(PDFFamily, "").Ascent == 0 {
		AddFonts(pdf)
	}
	_, pageHeight := pdf.GetPageSize()
	family, style := pdf.GetFontFamily(), pdf.GetFontStyle()
	size, _ := pdf.GetFontSize()
	red, green, blue := pdf.GetTextColor()
	defer func() {
		pdf.SetTextColor(red, green, blue)
		if family != "" {
			pdf.SetFont(family, style, size)
		}
	}()
	pdf.SetTextColor(0, 0, 0)
	e := &pdfWriter{pdf: pdf, page: pageHeight, shift: Point{x, pageHeight - y - s.Paper.Height}}
	e.raw("q 1 J 1 j 0 G 0 g\n")
	var pen *Pen
	for _, it := range s.interrupted() {
		if it.text != nil {
			e.text(it.text)
			continue
		}
		if it.pen != nil && it.pen != pen {
			e.pen(it.pen)
			pen = it.pen
		}
		e.shape(it)
	}
	e.raw("Q\n")
	e.flush()
}

// pdfWriter writes the operators of a page's content: 1/1000 pt is finer than
// the library's own, and much faster.
type pdfWriter struct {
	pdf   *fpdf.Fpdf
	buf   []byte
	page  float64
	shift Point
	tone  Tone
	face  Face
	size  float64 // of the font last set, pt
}

func (e *pdfWriter) raw(s string) { e.buf = append(e.buf, s...) }

func (e *pdfWriter) flush() {
	e.pdf.RawWriteStr(string(e.buf))
	e.buf = e.buf[:0]
}

func (e *pdfWriter) num(x float64) {
	e.buf = appendNum(e.buf, x)
	e.buf = append(e.buf, ' ')
}

func (e *pdfWriter) pt(p Point) {
	e.num((p.X + e.shift.X) * mm)
	e.num((p.Y + e.shift.Y) * mm)
}

func (e *pdfWriter) pen(p *Pen) {
	e.num(p.Width * mm)
	e.raw("w ")
	if p.Dash == nil {
		e.raw("1 J [] 0 d\n")
		return
	}
	e.raw("0 J [")
	for _, d := range p.Dash {
		e.num(d * mm)
	}
	e.raw("] 0 d\n")
}

func (e *pdfWriter) shape(it item) {
	if it.tone != NoFill && it.tone != e.tone {
		e.num(float64(it.tone.grey()) / 255)
		e.raw("g\n")
		e.tone = it.tone
	}
	for _, s := range it.path.segs {
		switch s.kind {
		case moveTo:
			e.pt(s.p)
			e.raw("m\n")
		case lineTo:
			e.pt(s.p)
			e.raw("l\n")
		case cubicTo:
			e.cubic(s)
		case arcTo:
			arcCubics(s, e.cubic)
		case closePath:
			e.raw("h\n")
		}
	}
	switch {
	case it.tone == NoFill:
		e.raw("S\n")
	case it.pen == nil:
		e.raw("f*\n")
	default:
		e.raw("B*\n")
	}
}

func (e *pdfWriter) cubic(s seg) {
	e.pt(s.a)
	e.pt(s.b)
	e.pt(s.p)
	e.raw("c\n")
}

// arcCubics gives an arc as cubic curves of at most an eighth of a turn (error
// below 5e-6 of the radius).
func arcCubics(s seg, emit func(seg)) {
	n := max(1, int(math.Ceil(math.Abs(s.sweep)/(math.Pi/4)-1e-9)))
	h := s.sweep / float64(n)
	k := 4.0 / 3 * math.Tan(h/4) * s.r
	for i := range n {
		s0, c0 := math.Sincos(s.start + h*float64(i))
		s1, c1 := math.Sincos(s.start + h*float64(i+1))
		p0 := Point{s.a.X + s.r*c0, s.a.Y + s.r*s0}
		p1 := Point{s.a.X + s.r*c1, s.a.Y + s.r*s1}
		if i == n-1 {
			p1 = s.p
		}
		emit(seg{kind: cubicTo, a: Point{p0.X - k*s0, p0.Y + k*c0}, b: Point{p1.X + k*s1, p1.Y - k*c1}, p: p1})
	}
}

// text lets the library write the line, so that it keeps track of the letters
// to embed, in axes turned to the text's angle.
func (e *pdfWriter) text(t *Text) {
	if e.tone != Black {
		e.raw("0 g\n")
		e.tone = Black
	}
	if size := t.Style.Height / capHeight * mm; size != e.size || t.Style.Face != e.face {
		e.flush()
		e.pdf.SetFont(PDFFamily, [...]string{"", "B", "I"}[t.Style.Face], size)
		e.face, e.size = t.Style.Face, size
	}
	sn, cs := sincos(t.Style.Angle)
	e.raw("q ")
	for _, x := range []float64{cs, sn, -sn, cs} {
		e.buf = fmt.Appendf(e.buf, "%.6f ", x)
	}
	e.pt(t.At)
	e.raw("cm\n")
	e.flush()
	e.pdf.Text(0, e.page, printable(t.String, t.Style.Face)) // the origin of the turned axes
	e.raw("Q\n")
}

// printable replaces letters the font lacks by the sign for a missing letter.
func printable(s string, face Face) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF || (r >= 0x250 && !face.has(r)) {
			return missing
		}
		return r
	}, s)
}
