package drawing

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// DXF writes the sheet, in millimetres of paper, as a DXF file of release 12:
// ASCII with CR LF, lines as LINE and POLYLINE, arcs and circles as ARC and
// CIRCLE, text as TEXT, each on the layer of its pen. Fills that only hide what
// lies behind them are left out, so a drawing that hides lines under white
// shows them in DXF.
func (s *Sheet) DXF(w io.Writer) error {
	return writeDXF(w, s.interrupted(), R(0, 0, s.Paper.Width, s.Paper.Height), func(p Point) Point { return p }, 1)
}

// DXF writes what was drawn in this view alone, 1:1 in millimetres of the
// thing. Texts and arrowheads keep their size relative to the drawing, so at
// 1:5 they are five times as large as on paper.
func (v *View) DXF(w io.Writer) error {
	var mine []item
	room := nothing()
	for _, it := range v.sheet.interrupted() {
		if it.view != v {
			continue
		}
		mine = append(mine, it)
		b := it.path.Bounds()
		if it.text != nil {
			b = it.text.Bounds()
		}
		room = room.Union(b)
	}
	if room.Empty() {
		room = Rect{}
	}
	return writeDXF(w, mine, Rect{v.FromSheet(room.Min), v.FromSheet(room.Max)}, v.FromSheet, 1/v.k)
}

// dxfWriter writes group codes and values, a line each.
type dxfWriter struct {
	bytes.Buffer
	place func(Point) Point // from the sheet to the file
	k     float64           // lengths likewise

	layers   map[string]string // line type of each layer
	linetype string            // of the item being written
}

func writeDXF(w io.Writer, items []item, extents Rect, place func(Point) Point, k float64) error {
	e := &dxfWriter{place: place, k: k, layers: map[string]string{}}
	e.header(extents)
	layers := layersOf(items)
	e.tables(layers)
	for _, l := range layers {
		e.layers[l.name] = l.linetype
	}
	e.tag(0, "SECTION")
	e.tag(2, "BLOCKS")
	e.tag(0, "ENDSEC")
	e.tag(0, "SECTION")
	e.tag(2, "ENTITIES")
	for _, it := range items {
		e.item(it)
	}
	e.tag(0, "ENDSEC")
	e.tag(0, "EOF")
	_, err := w.Write(e.Bytes())
	return err
}

func (e *dxfWriter) tag(code int, value string) {
	if code < 10 { // codes stand right-aligned in three columns
		e.WriteString("  ")
	} else if code < 100 {
		e.WriteByte(' ')
	}
	e.Write(strconv.AppendInt(e.AvailableBuffer(), int64(code), 10))
	e.WriteString("\r\n")
	e.WriteString(value)
	e.WriteString("\r\n")
}

func (e *dxfWriter) int(code, value int) { e.tag(code, strconv.Itoa(value)) }

// num writes a length to a millionth of a millimetre.
func (e *dxfWriter) num(code int, x float64) {
	x = math.Round(x*1e6) / 1e6
	if x == 0 {
		x = 0 // no negative zero
	}
	s := strconv.FormatFloat(x, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	e.tag(code, s)
}

// point writes a point already in the file's millimetres under the codes c,
// c+10 and c+20.
func (e *dxfWriter) point(c int, p Point) {
	e.num(c, p.X)
	e.num(c+10, p.Y)
	e.num(c+20, 0)
}

func (e *dxfWriter) header(extents Rect) {
	e.tag(0, "SECTION")
	e.tag(2, "HEADER")
	e.tag(9, "$ACADVER")
	e.tag(1, "AC1009")
	e.tag(9, "$DWGCODEPAGE")
	e.tag(3, "ANSI_1252")
	e.tag(9, "$INSBASE")
	e.point(10, Point{})
	e.tag(9, "$EXTMIN")
	e.point(10, extents.Min)
	e.tag(9, "$EXTMAX")
	e.point(10, extents.Max)
	e.tag(9, "$LIMMIN")
	e.num(10, extents.Min.X)
	e.num(20, extents.Min.Y)
	e.tag(9, "$LIMMAX")
	e.num(10, extents.Max.X)
	e.num(20, extents.Max.Y)
	e.tag(9, "$LTSCALE")
	e.num(40, e.k)
	e.tag(9, "$LUNITS") // decimal
	e.int(70, 2)
	e.tag(9, "$LUPREC")
	e.int(70, 3)
	e.tag(9, "$AUNITS") // degrees
	e.int(70, 0)
	e.tag(9, "$MEASUREMENT") // metric
	e.int(70, 1)
	e.tag(9, "$INSUNITS") // millimetres
	e.int(70, 4)
	e.tag(0, "ENDSEC")
}

// linetypes are the broken lines by name: description, then dashes positive
// and gaps negative, in mm on paper; $LTSCALE brings them to the file's size.
var linetypes = []struct {
	name, text string
	dash       []float64
}{
	{"CONTINUOUS", "Solid line", nil},
	{"DASHED", "__ __ __ __ __", []float64{2.5, -0.9}},
	{"CENTER", "____ _ ____ _ ____", []float64{7, -0.9, 0.6, -0.9}},
	{"PHANTOM", "____ _ _ ____ _ _ ____", []float64{7, -0.9, 0.6, -0.9, 0.6, -0.9}},
}

func (e *dxfWriter) tables(layers []dxfLayer) {
	e.tag(0, "SECTION")
	e.tag(2, "TABLES")
	e.table("LTYPE", len(linetypes))
	for _, l := range linetypes {
		e.tag(0, "LTYPE")
		e.tag(2, l.name)
		e.int(70, 0)
		e.tag(3, l.text)
		e.int(72, 65)
		e.int(73, len(l.dash))
		var sum float64
		for _, d := range l.dash {
			sum += math.Abs(d)
		}
		e.num(40, sum)
		for _, d := range l.dash {
			e.num(49, d)
		}
	}
	e.tag(0, "ENDTAB")

	e.table("LAYER", len(layers))
	for _, l := range layers {
		e.tag(0, "LAYER")
		e.tag(2, l.name)
		e.int(70, 0)
		e.int(62, 7) // black on white, white on black: colour means nothing
		e.tag(6, l.linetype)
	}
	e.tag(0, "ENDTAB")

	e.table("STYLE", 1)
	e.tag(0, "STYLE")
	e.tag(2, "STANDARD")
	e.int(70, 0)
	e.num(40, 0)
	e.num(41, 1)
	e.num(50, 0)
	e.int(71, 0)
	e.num(42, NormalText)
	e.tag(3, "txt")
	e.tag(4, "")
	e.tag(0, "ENDTAB")
	e.tag(0, "ENDSEC")
}

func (e *dxfWriter) table(name string, n int) {
	e.tag(0, "TABLE")
	e.tag(2, name)
	e.int(70, n)
}

type dxfLayer struct{ name, linetype string }

// layersOf lists the layers in use, layer 0 first, then by name. A layer has
// the line type of its first line; others name their own.
func layersOf(items []item) []dxfLayer {
	seen := map[string]string{"0": "CONTINUOUS"}
	for _, it := range items {
		name, linetype := it.layer()
		if _, ok := seen[name]; !ok {
			seen[name] = linetype
		}
	}
	var out []dxfLayer
	for name, linetype := range seen {
		out = append(out, dxfLayer{name, linetype})
	}
	slices.SortFunc(out, func(a, b dxfLayer) int { return strings.Compare(a.name, b.name) })
	return out
}

// layer is where an item goes: that of its pen, of its text, or for what is
// filled black without a line that of dimensions, whose arrowheads they are, or
// of hatching.
func (it item) layer() (name, linetype string) {
	switch {
	case it.text != nil && it.text.Style.Layer != "":
		return it.text.Style.Layer, "CONTINUOUS"
	case it.text != nil:
		return "TEXT", "CONTINUOUS"
	case it.pen != nil:
		return it.pen.Layer, it.pen.Linetype
	case it.solid() != nil:
		return DimLine.Layer, DimLine.Linetype
	}
	return HatchLine.Layer, HatchLine.Linetype
}

// solid gives the corners of a black triangle, or nil.
func (it item) solid() []Point {
	if it.tone != Black || it.path == nil || len(it.path.segs) != 4 {
		return nil
	}
	var pts []Point
	for _, s := range it.path.segs[:3] {
		if s.kind != moveTo && s.kind != lineTo {
			return nil
		}
		pts = append(pts, s.p)
	}
	return pts
}

func (e *dxfWriter) item(it item) {
	layer, linetype := it.layer()
	e.linetype = linetype
	switch corners := it.solid(); {
	case it.text != nil:
		e.text(it.text, layer)
	case corners != nil:
		e.entity("SOLID", layer)
		for i, p := range append(corners, corners[2]) {
			e.point(10+i, e.place(p))
		}
	case it.pen != nil || it.tone == Black:
		e.path(it.path, layer)
	}
}

func (e *dxfWriter) entity(kind, layer string) {
	e.tag(0, kind)
	e.tag(8, layer)
	if e.layers[layer] != e.linetype {
		e.tag(6, e.linetype)
	}
}

// path writes each contour as the simplest entity that is true to it.
func (e *dxfWriter) path(p *Path, layer string) {
	for first := 0; first < len(p.segs); {
		end := first + 1
		for end < len(p.segs) && p.segs[end].kind != moveTo {
			end++
		}
		e.contour(p.segs[first:end], layer)
		first = end
	}
}

func (e *dxfWriter) contour(segs []seg, layer string) {
	start := segs[0].p
	body := segs[1:]
	closed := len(body) > 0 && body[len(body)-1].kind == closePath
	if closed {
		body = body[:len(body)-1]
	}
	switch {
	case len(body) == 0:
		return
	case len(body) == 1 && body[0].kind == lineTo:
		e.entity("LINE", layer)
		e.point(10, e.place(start))
		e.point(11, e.place(body[0].p))
	case len(body) == 1 && body[0].kind == arcTo && math.Abs(body[0].sweep) >= 2*math.Pi-1e-9:
		e.entity("CIRCLE", layer)
		e.point(10, e.place(body[0].a))
		e.num(40, body[0].r*e.k)
	case len(body) == 1 && body[0].kind == arcTo && !closed:
		s := body[0]
		a, b := s.start, s.start+s.sweep
		if s.sweep < 0 {
			a, b = b, a
		}
		e.entity("ARC", layer)
		e.point(10, e.place(s.a))
		e.num(40, s.r*e.k)
		e.num(50, degrees360(a))
		e.num(51, degrees360(b))
	default:
		e.polyline(start, body, closed, layer)
	}
}

// degrees360 brings an angle in radians to degrees in [0, 360).
func degrees360(a float64) float64 {
	d := math.Mod(a*180/math.Pi, 360)
	if d < 0 {
		d += 360
	}
	return d
}

// polyline writes lines and arcs as they are (an arc as the bulge of its
// vertex, the tangent of a quarter of its angle) and curves in short pieces.
func (e *dxfWriter) polyline(start Point, body []seg, closed bool, layer string) {
	type vertex struct {
		p     Point
		bulge float64
	}
	vs := []vertex{{p: start}}
	for _, s := range body {
		from := vs[len(vs)-1].p
		switch s.kind {
		case arcTo:
			n := 1 + int(math.Abs(s.sweep)/(1.5*math.Pi))
			for i := 1; i <= n; i++ {
				vs[len(vs)-1].bulge = bulge(s.sweep / float64(n))
				vs = append(vs, vertex{p: pointOn(from, s, float64(i)/float64(n))})
			}
			vs[len(vs)-1].p = s.p
		case cubicTo:
			n := cubicPieces(from, s, flatTolerance)
			for i := 1; i <= n; i++ {
				vs = append(vs, vertex{p: pointOn(from, s, float64(i)/float64(n))})
			}
		default:
			vs = append(vs, vertex{p: s.p})
		}
	}
	flag := 0
	if closed {
		flag = 1
		if n := len(vs); n > 2 && vs[n-1].p.Dist(vs[0].p) < 1e-9 {
			vs = vs[:n-1]
		}
	}
	e.entity("POLYLINE", layer)
	e.int(66, 1)
	e.point(10, Point{})
	e.int(70, flag)
	for _, v := range vs {
		e.entity("VERTEX", layer)
		e.point(10, e.place(v.p))
		if v.bulge != 0 {
			e.num(42, v.bulge)
		}
	}
	e.entity("SEQEND", layer)
}

// bulge is how DXF gives the angle of an arc between two vertices.
func bulge(sweep float64) float64 { return math.Tan(sweep / 4) }

// text writes a line of text fitted between the ends of its base line, so that
// it takes the same room with the reader's own letters.
func (e *dxfWriter) text(t *Text, layer string) {
	end := frameAt(t.At, t.Style.Angle).to(t.Width, 0)
	e.entity("TEXT", layer)
	e.point(10, e.place(t.At))
	e.num(40, t.Style.Height*e.k)
	e.tag(1, dxfString(t.String))
	e.num(50, t.Style.Angle)
	e.int(72, 5) // fitted
	e.point(11, e.place(end))
}

// dxfString writes a string in ASCII: the three signs that drawings need by
// their own codes, all else by number.
func dxfString(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '°':
			b.WriteString("%%d")
		case r == 'Ø' || r == '⌀':
			b.WriteString("%%c")
		case r == '±':
			b.WriteString("%%p")
		case r < 0x7F:
			b.WriteRune(r)
		case r <= 0xFFFF:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
