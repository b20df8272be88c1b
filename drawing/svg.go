package drawing

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// SVG writes the sheet as one svg element, in UTF-8 without an XML
// declaration, so that it can stand alone or inside an HTML page.
//
// Sizes are real millimetres. Lines are grouped by pen (class "pen outline"),
// fills carry their tone (class "tone white"), text its face; everything is
// drawn in currentColor, which is black unless a stylesheet sets the property
// color of the svg element. There are no scripts and no style attributes. A
// dimension with a key is a group of class "dim" that can be focused, with
// data-key, a name for screen readers and an invisible rectangle (class "hit")
// that answers a touch.
func (s *Sheet) SVG(w io.Writer) error {
	e := &svgWriter{height: s.Paper.Height}
	e.head(s)
	e.items(s)
	e.str("</svg>\n")
	_, err := w.Write(e.Bytes())
	return err
}

// svgWriter builds the text of an SVG file; y is turned over on the way out.
type svgWriter struct {
	bytes.Buffer
	height float64
}

func (e *svgWriter) str(parts ...string) {
	for _, p := range parts {
		e.WriteString(p)
	}
}

// num writes a number of millimetres to a thousandth, without idle zeros.
func (e *svgWriter) num(x float64) {
	e.Write(appendNum(e.AvailableBuffer(), x))
}

// appendNum writes a number to a thousandth, without idle zeros.
func appendNum(buf []byte, x float64) []byte {
	n := math.Round(x * 1000)
	if n == 0 || math.IsNaN(n) {
		return append(buf, '0')
	}
	if math.Abs(n) > 1e15 {
		return strconv.AppendFloat(buf, x, 'f', 0, 64)
	}
	i := int64(n)
	if i < 0 {
		buf = append(buf, '-')
		i = -i
	}
	buf = strconv.AppendInt(buf, i/1000, 10)
	if f := i % 1000; f != 0 {
		buf = append(buf, '.', byte('0'+f/100), byte('0'+f/10%10), byte('0'+f%10))
		for buf[len(buf)-1] == '0' {
			buf = buf[:len(buf)-1]
		}
	}
	return buf
}

func (e *svgWriter) pair(p Point) {
	e.num(p.X)
	e.WriteByte(' ')
	e.num(e.height - p.Y)
}

// attr writes an attribute with a number.
func (e *svgWriter) attr(name string, x float64) {
	e.str(" ", name, `="`)
	e.num(x)
	e.WriteByte('"')
}

// quoted writes an attribute with text.
func (e *svgWriter) quoted(name, value string) {
	e.str(" ", name, `="`, xmlText(value), `"`)
}

var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func xmlText(s string) string { return xmlEscapes.Replace(clean(s)) }

func (e *svgWriter) head(s *Sheet) {
	e.str(`<svg xmlns="http://www.w3.org/2000/svg" width="`)
	e.num(s.Paper.Width)
	e.str(`mm" height="`)
	e.num(s.Paper.Height)
	e.str(`mm" viewBox="0 0 `)
	e.num(s.Paper.Width)
	e.WriteByte(' ')
	e.num(s.Paper.Height)
	e.str(`" class="drawing" color="#000" fill="none" stroke="none" font-family="`, FontFamily, `"`)
	role := "img"
	for _, g := range s.groups {
		if g.Button { // an image may not hold things to touch
			role = "group"
		}
	}
	e.quoted("role", role)
	if s.Lang != "" {
		e.quoted("lang", s.Lang)
	}
	if s.ID != "" {
		e.quoted("id", s.ID)
	}
	if s.Title != "" {
		e.quoted("aria-label", s.Title)
	}
	e.str(">\n<title>", xmlText(s.Title), "</title>\n")
	if s.Desc != "" {
		e.str("<desc>", xmlText(s.Desc), "</desc>\n")
	}
}

// run is what neighbouring items have in common and a g element states once.
type run struct {
	group int
	pen   *Pen
	tone  Tone
	text  bool
}

func (e *svgWriter) items(s *Sheet) {
	var cur run
	open := false
	for _, it := range s.interrupted() {
		next := run{it.group, it.pen, it.tone, it.text != nil}
		if !open || next != cur {
			if open {
				e.str("</g>\n")
			}
			if !open || next.group != cur.group {
				if open && cur.group != 0 {
					e.closeGroup(s.groups[cur.group])
				}
				if next.group != 0 {
					e.openGroup(s.groups[next.group])
				}
			}
			e.openRun(next)
			cur, open = next, true
		}
		if it.text != nil {
			e.text(it.text)
		} else {
			e.str(`<path d="`)
			e.path(it.path)
			e.str("\"/>\n")
		}
	}
	if open {
		e.str("</g>\n")
		if cur.group != 0 {
			e.closeGroup(s.groups[cur.group])
		}
	}
}

func (e *svgWriter) openGroup(g Group) {
	e.str("<g")
	if g.Class != "" {
		e.quoted("class", g.Class)
	}
	if g.Key != "" {
		e.quoted("data-key", g.Key)
	}
	if g.Button {
		e.str(` tabindex="0" role="button"`)
		e.quoted("aria-label", g.Label)
	} else if g.Label != "" && g.Key != "" {
		e.quoted("aria-label", g.Label)
	}
	e.str(">\n")
}

// closeGroup ends a group; the rectangle that answers a touch lies on top.
func (e *svgWriter) closeGroup(g Group) {
	if g.hit != nil {
		c := g.hit.corners()
		e.str(`<path class="hit" fill="none" pointer-events="all" d="`)
		e.path(Polygon(c[:]...))
		e.str("\"/>\n")
	}
	e.str("</g>\n")
}

func (e *svgWriter) openRun(r run) {
	switch {
	case r.text:
		e.str(`<g class="text" fill="currentColor">`, "\n")
		return
	case r.pen == nil:
		e.str(`<g class="tone `, r.tone.class(), `"`)
	case r.tone == NoFill:
		e.str(`<g class="pen `, r.pen.Name, `"`)
	default:
		e.str(`<g class="pen `, r.pen.Name, ` tone `, r.tone.class(), `"`)
	}
	if r.tone == Black {
		e.str(` fill="currentColor"`)
	} else if r.tone != NoFill {
		g := r.tone.grey()
		e.str(fmt.Sprintf(` fill="#%02x%02x%02x"`, g, g, g))
	}
	if r.tone != NoFill {
		e.str(` fill-rule="evenodd"`)
	}
	if r.pen != nil {
		e.str(` stroke="currentColor" stroke-linejoin="round"`)
		e.attr("stroke-width", r.pen.Width)
		if r.pen.Dash == nil {
			e.str(` stroke-linecap="round"`)
		} else {
			e.str(` stroke-dasharray="`)
			for i, d := range r.pen.Dash {
				if i > 0 {
					e.WriteByte(' ')
				}
				e.num(d)
			}
			e.WriteByte('"')
		}
	}
	e.str(">\n")
}

func (e *svgWriter) path(p *Path) {
	for _, s := range p.segs {
		switch s.kind {
		case moveTo:
			e.WriteByte('M')
			e.pair(s.p)
		case lineTo:
			e.WriteByte('L')
			e.pair(s.p)
		case cubicTo:
			e.WriteByte('C')
			e.pair(s.a)
			e.WriteByte(' ')
			e.pair(s.b)
			e.WriteByte(' ')
			e.pair(s.p)
		case arcTo:
			e.arc(s)
		case closePath:
			e.WriteByte('Z')
		}
	}
}

// arc writes an arc; one of more than half a turn in two, because the end
// points alone would not tell which way a full circle goes.
func (e *svgWriter) arc(s seg) {
	n := 1
	if math.Abs(s.sweep) > math.Pi*0.99 {
		n = 2
	}
	for i := 1; i <= n; i++ {
		end := s.p
		if i < n {
			end = pointOn(Point{}, s, float64(i)/float64(n))
		}
		e.WriteByte('A')
		e.num(s.r)
		e.WriteByte(' ')
		e.num(s.r)
		if s.sweep > 0 { // counter-clockwise; SVG's y points down
			e.str(" 0 0 0 ")
		} else {
			e.str(" 0 0 1 ")
		}
		e.pair(end)
	}
}

// text writes a line of text whose width holds with whatever font there is.
func (e *svgWriter) text(t *Text) {
	e.str("<text")
	e.attr("x", t.At.X)
	e.attr("y", e.height-t.At.Y)
	e.attr("font-size", t.Style.Height/capHeight)
	if t.Width > 0 {
		e.attr("textLength", t.Width)
		e.str(` lengthAdjust="spacingAndGlyphs"`)
	}
	switch t.Style.Face {
	case Bold:
		e.str(` font-weight="bold"`)
	case Italic:
		e.str(` font-style="italic"`)
	}
	if t.Style.Angle != 0 {
		e.str(` transform="rotate(`)
		e.num(-t.Style.Angle)
		e.WriteByte(' ')
		e.pair(t.At)
		e.str(`)"`)
	}
	e.str(">", xmlText(t.String), "</text>\n")
}
