package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"stovewright/internal/outside"
)

// These tests have what is written read back by programs that know nothing of
// this package: poppler for PDF, ezdxf for DXF, encoding/xml for SVG,
// image/png for PNG.

func runTool(t *testing.T, name string, args ...string) string {
	t.Helper()
	return string(outside.Run(t, exec.Command(name, args...)))
}

func save(t *testing.T, name string, write func(io.Writer) error) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := write(f); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// measured is a sheet with one line of 100 mm on paper, from (40, 150).
func measured(p Paper) *Sheet {
	s := NewSheet(p)
	s.Title = "Line of 100 mm – Prüfmaß"
	s.NewView(Pt(40, 150), Scale{1, 5}).Stroke(Thin, Line(Pt(0, 0), Pt(500, 0)))
	return s
}

// Page sizes in points: 210 mm = 595.276 pt and so on (72 pt to 25.4 mm).
func TestPDFPageSizes(t *testing.T) {
	pdfinfo := outside.Program(t, "pdfinfo")
	path := save(t, "sizes.pdf", func(w io.Writer) error {
		return PDF(w, measured(A4), measured(A4.Landscape()), measured(A3), measured(Letter), measured(Custom(123.4, 56.7)))
	})
	out := runTool(t, pdfinfo, "-box", "-f", "1", "-l", "5", path)
	want := [][2]float64{{595.276, 841.890}, {841.890, 595.276}, {841.890, 1190.551}, {612, 792}, {349.795, 160.724}}
	for i, w := range want {
		for _, box := range []string{"MediaBox", "CropBox"} {
			m := regexp.MustCompile(fmt.Sprintf(`Page +%d %s: +0.00 +0.00 +([\d.]+) +([\d.]+)`, i+1, box)).FindStringSubmatch(out)
			if m == nil {
				t.Fatalf("page %d has no %s:\n%s", i+1, box, out)
			}
			near(t, fmt.Sprintf("page %d %s width", i+1, box), number(t, m[1]), w[0], 0.01)
			near(t, fmt.Sprintf("page %d %s height", i+1, box), number(t, m[2]), w[1], 0.01)
		}
	}
	if !strings.Contains(out, "Line of 100 mm – Prüfmaß") {
		t.Errorf("no title in\n%s", out)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// A line of 100 mm is 100 mm in the PDF: as poppler's vector output gives its
// ends, and as ink at 600 dots to the inch.
func TestPDFLineIsTrue(t *testing.T) {
	pdftocairo, pdftoppm := outside.Program(t, "pdftocairo"), outside.Program(t, "pdftoppm")
	path := save(t, "line.pdf", func(w io.Writer) error { return PDF(w, measured(A4)) })

	svg := runTool(t, pdftocairo, "-svg", "-origpagesizes", "-noshrink", "-nocenter", path, "-") // not fitted to whole points
	m := regexp.MustCompile(`d="M ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+)`).FindStringSubmatch(svg)
	if m == nil {
		t.Fatalf("no line in\n%s", svg)
	}
	length := math.Hypot(number(t, m[3])-number(t, m[1]), number(t, m[4])-number(t, m[2])) * 25.4 / 72
	near(t, "length of the line in mm", length, 100, 0.05)

	ink := inkOf(popplerPicture(t, pdftoppm, path, "600"))
	mmPerPixel := 25.4 / 600
	near(t, "ink from end to end in mm", ink.W()*mmPerPixel, 100+Thin.Width, 0.06)
	near(t, "left end in mm", ink.Min.X*mmPerPixel, 40-Thin.Width/2, 0.06)
	near(t, "middle from above in mm", ink.Centre().Y*mmPerPixel, A4.Height-150, 0.06)
}

// popplerPicture has poppler draw the first page in grey.
func popplerPicture(t *testing.T, pdftoppm, path, dpi string) *image.Gray {
	t.Helper()
	base := filepath.Join(t.TempDir(), "page")
	runTool(t, pdftoppm, "-r", dpi, "-gray", "-singlefile", path, base)
	data, err := os.ReadFile(base + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var w, h, top int
	if _, err := fmt.Sscanf(string(data[:min(40, len(data))]), "P5\n%d %d\n%d\n", &w, &h, &top); err != nil || top != 255 {
		t.Fatalf("not a grey picture: %v", err)
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}
}

// inkOf gives the bounds, in pixels, of what is darker than half grey.
func inkOf(img *image.Gray) Rect {
	ink := nothing()
	for i, g := range img.Pix {
		if g < 128 {
			x, y := float64(i%img.Stride), float64(i/img.Stride)
			ink.add(Pt(x, y))
			ink.add(Pt(x+1, y+1))
		}
	}
	return ink
}

// greyPNG reads a picture of our own.
func greyPNG(t *testing.T, data []byte) *image.Gray {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	grey, ok := img.(*image.Gray)
	if !ok {
		t.Fatalf("a picture of %T, not grey", img)
	}
	return grey
}

// Text in the PDF can be selected, stands where the model puts it and is as
// wide as the model says; its fonts are embedded subsets.
func TestPDFText(t *testing.T) {
	pdftotext, pdffonts := outside.Program(t, "pdftotext"), outside.Program(t, "pdffonts")
	s := NewSheet(A4)
	s.Write(Pt(40, 200), "Feuerraum", TextStyle{Height: 5})
	s.Write(Pt(40, 150), "Ø75.5±2°", TextStyle{Height: 3.5, Face: Bold})
	s.Write(Pt(40, 120), `(Ĩœ)\(`, TextStyle{Height: 5}) // bytes that PDF strings must escape
	s.Write(Pt(170, 100), "εστία", TextStyle{Height: 5, Align: AlignRight, Face: Italic})
	path := save(t, "text.pdf", func(w io.Writer) error { return PDF(w, s) })
	out := runTool(t, pdftotext, "-bbox", path, "-")
	words := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)</word>`).FindAllStringSubmatch(out, -1)
	if len(words) != 4 {
		t.Fatalf("%d words in\n%s", len(words), out)
	}
	for i, text := range s.Texts() {
		if words[i][5] != text.String {
			t.Errorf("word %q, want %q", words[i][5], text.String)
		}
		near(t, text.String+" left", number(t, words[i][1])/mm, text.At.X, 0.02)
		near(t, text.String+" width", (number(t, words[i][3])-number(t, words[i][1]))/mm, text.Width, 0.03)
	}
	fonts := runTool(t, pdffonts, path)
	for _, line := range strings.Split(strings.TrimSpace(fonts), "\n")[2:] {
		f := strings.Fields(line)
		// name, type (two words), encoding, emb, sub, uni, object (two)
		if emb, uni := f[len(f)-5], f[len(f)-3]; emb != "yes" || uni != "yes" {
			t.Errorf("font not embedded with its letters' meaning: %s", line)
		}
	}
	if data, _ := os.ReadFile(path); len(data) > 120_000 {
		t.Errorf("%d bytes: the fonts are not subsets", len(data))
	}
}

// A turned text reads upwards where the model says.
func TestPDFTurnedText(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	s := NewSheet(A4)
	text := s.Write(Pt(60, 100), "1234567", TextStyle{Height: 5, Angle: 90})
	out := runTool(t, pdftotext, "-bbox", save(t, "turned.pdf", func(w io.Writer) error { return PDF(w, s) }), "-")
	m := regexp.MustCompile(`yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">1234567<`).FindStringSubmatch(out)
	if m == nil {
		t.Fatalf("not found in\n%s", out)
	}
	near(t, "top", number(t, m[1])/mm, A4.Height-100-text.Width, 0.05)
	near(t, "bottom", number(t, m[2])/mm, A4.Height-100, 0.05)
}

// A sheet on a page of a document lies where it was put, and the document's
// own text goes on in its own font afterwards.
func TestDrawPDFOnPage(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	small := NewSheet(Custom(50, 40))
	small.Write(Pt(10, 10), "inner", TextStyle{Height: 4})
	path := save(t, "page.pdf", func(w io.Writer) error {
		pdf := NewPDF(A4)
		pdf.AddPage()
		pdf.SetFont(PDFFamily, "", 12)
		pdf.Text(20, 30, "before")
		small.DrawPDF(pdf, 100, 60)
		pdf.Text(20, 150, "before")
		return pdf.Output(w)
	})
	out := runTool(t, pdftotext, "-bbox", path, "-")
	words := regexp.MustCompile(`xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(\w+)<`).FindAllStringSubmatch(out, -1)
	if len(words) != 3 {
		t.Fatalf("%d words in\n%s", len(words), out)
	}
	width := func(m []string) float64 { return number(t, m[3]) - number(t, m[1]) }
	var before []float64
	for _, m := range words {
		if m[5] == "inner" {
			near(t, "left of the inner text", number(t, m[1])/mm, 110, 0.02)
			near(t, "its width", width(m)/mm, TextWidth("inner", 4, Regular), 0.03)
			continue
		}
		before = append(before, width(m))
	}
	near(t, "the same word after the drawing", before[1], before[0], 0.01)
}

// Widths of letters as fontTools reads them from the font's own tables.
func TestTextWidthAgainstFontTools(t *testing.T) {
	const script = `
import sys, json
from fontTools.ttLib import TTFont
out = []
for name in ("Regular", "Bold", "Italic"):
    f = TTFont(sys.argv[1] + "/LiberationSans-" + name + ".ttf")
    cmap, hmtx, upem = f.getBestCmap(), f["hmtx"], f["head"].unitsPerEm
    for s in sys.argv[2:]:
        out.append(sum(hmtx[cmap[ord(c)]][0] for c in s) / upem)
    assert f["OS/2"].sCapHeight == 1409, f["OS/2"].sCapHeight
print(" ".join(repr(x) for x in out))
`
	words := []string{"Ø120 ±2", "Chamber width", "εστία 45°", "AVAVA ToTo"}
	out := python(t, "fontTools", script, append([]string{"fonts"}, words...)...)
	got := strings.Fields(out)
	i := 0
	for face := Regular; face <= Italic; face++ {
		for _, w := range words {
			near(t, w, TextWidth(w, 10, face)*capHeight/10, number(t, got[i]), 1e-9)
			i++
		}
	}
}

// python runs a script with an interpreter that has a module.
func python(t *testing.T, module, script string, args ...string) string {
	t.Helper()
	return runTool(t, outside.Python(t, module), append([]string{"-c", script}, args...)...)
}

// An outside DXF reader finds no fault, and measures what was drawn.
func TestDXFIsRead(t *testing.T) {
	s := NewSheet(Custom(400, 300))
	v := s.NewView(Pt(20, 20), Scale{1, 1})
	v.Stroke(CutLine, Line(Pt(0, 0), Pt(300, 40)))
	v.Stroke(CutLine, Circle(Pt(120, 100), 37.5))
	v.Stroke(MarkLine, Arc(Pt(200, 100), 25, 30, 200))
	v.Stroke(MarkLine, Arc(Pt(200, 100), 15, 30, -90)) // clockwise: from −60° to 30°
	v.Stroke(BendLine, new(Path).MoveTo(10, 10).LineTo(110, 10).ArcTo(Pt(110, 60), 90).LineTo(10, 60).Close())
	v.Stroke(Outline, Ellipse(Pt(60, 200), 30, 20, 0))
	v.Stroke(Hidden, Line(Pt(0, 0), Pt(10, 0)))
	v.Stroke(smallCentre, Line(Pt(0, 5), Pt(10, 5)))
	v.CentreMark(Pt(200, 100), 25)
	v.Hatch(Brick, Rectangle(R(300, 100, 40, 40)))
	v.Horizontal(Pt(0, 0), Pt(300, 0), -10, Dim{Prefix: "Ø", Suffix: "° ±2"})
	v.Write(Pt(5, 150), "Tür 5 µm ≥", TextStyle{})
	path := save(t, "all.dxf", func(w io.Writer) error { return s.DXF(w) })
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range bytes.SplitAfter(data, []byte("\n")) {
		if len(line) > 0 && !bytes.HasSuffix(line, []byte("\r\n")) {
			t.Fatalf("line %d does not end in CR LF", i+1)
		}
		for _, c := range line {
			if c > 0x7E {
				t.Fatalf("line %d is not ASCII: %q", i+1, line)
			}
		}
	}
	const script = `
import sys, math, ezdxf
d = ezdxf.readfile(sys.argv[1])
a = d.audit()
print("errors", len(a.errors) + len(a.fixes))
print("version", d.dxfversion)
print("insunits", d.header["$INSUNITS"])
e = d.header["$EXTMAX"]
print("extmax", e[0], e[1])
m = d.modelspace()
for l in m.query('LINE[layer=="CUT"]'):
    print("line", (l.dxf.end - l.dxf.start).magnitude)
for c in m.query("CIRCLE"):
    print("circle", c.dxf.layer, c.dxf.radius, c.dxf.center.x, c.dxf.center.y)
for c in m.query("ARC"):
    print("arc", c.dxf.layer, c.dxf.radius, c.dxf.start_angle, c.dxf.end_angle, c.start_point.x, c.start_point.y)
for p in m.query('POLYLINE[layer=="BEND"]'):
    from ezdxf import path
    f = list(path.make_path(p).flattening(1e-5))
    print("bend", p.is_closed, sum(math.dist(a, b) for a, b in zip(f, f[1:])))
for p in m.query('POLYLINE[layer=="OUTLINE"]'):
    v = [x.dxf.location for x in p.vertices]
    n = len(v)
    print("ellipse", abs(sum(v[i].x*v[(i+1)%n].y - v[(i+1)%n].x*v[i].y for i in range(n))) / 2)
for x in m.query("TEXT"):
    from ezdxf.lldxf.encoding import decode_dxf_unicode
    print("text", x.dxf.layer, decode_dxf_unicode(x.plain_text()))
for l in d.layers:
    print("layer", l.dxf.name, l.dxf.linetype)
for x in m.query('LINE[layer=="HIDDEN"]'):
    print("hidden", x.dxf.linetype)
for x in m.query('LINE[layer=="CENTRE"]'):
    print("centre", x.dxf.linetype)
print("solids", len(m.query("SOLID")), {s.dxf.layer for s in m.query("SOLID")})
`
	out := python(t, "ezdxf", script, path)
	found := map[string][][]string{}
	for line := range strings.Lines(out) {
		f := strings.Fields(line)
		found[f[0]] = append(found[f[0]], f[1:])
	}
	value := func(kind string, i, j int) float64 { return number(t, found[kind][i][j]) }
	near(t, "errors and repairs", value("errors", 0, 0), 0, 0)
	near(t, "unit code for mm", value("insunits", 0, 0), 4, 0)
	near(t, "extents", value("extmax", 0, 0), 400, 1e-6)
	if found["version"][0][0] != "AC1009" {
		t.Errorf("release %v", found["version"])
	}
	near(t, "line", value("line", 0, 0), math.Hypot(300, 40), 1e-5)
	near(t, "circle radius", value("circle", 0, 1), 37.5, 1e-6)
	near(t, "circle x", value("circle", 0, 2), 140, 1e-6)
	near(t, "arc radius", value("arc", 0, 1), 25, 1e-6)
	near(t, "arc start", value("arc", 0, 2), 30, 1e-6)
	near(t, "arc end", value("arc", 0, 3), 230, 1e-6)
	near(t, "clockwise arc start", value("arc", 1, 2), 300, 1e-6)
	near(t, "clockwise arc end", value("arc", 1, 3), 30, 1e-6)
	// 100 + quarter circle of 50 + the line to (10, 60) + 50 back
	near(t, "bend outline", value("bend", 0, 1), 100+25*math.Pi+math.Hypot(150, 0)+50, 1e-2)
	if found["bend"][0][0] != "True" {
		t.Error("the bend outline is open")
	}
	near(t, "ellipse area", value("ellipse", 0, 0), math.Pi*30*20, 1)
	texts := fmt.Sprint(found["text"])
	if !strings.Contains(texts, "DIM Ø300° ±2") || !strings.Contains(texts, "TEXT Tür 5 µm ≥") {
		t.Errorf("texts: %s", texts)
	}
	layers := fmt.Sprint(found["layer"])
	for _, want := range []string{"CUT CONTINUOUS", "BEND PHANTOM", "MARK CONTINUOUS", "HIDDEN DASHED", "HATCH", "DIM", "TEXT", "OUTLINE"} {
		if !strings.Contains(strings.ToUpper(layers), want) {
			t.Errorf("no layer %s in %s", want, layers)
		}
	}
	near(t, "arrowheads", value("solids", 0, 0), 2, 0)
}

// The section sample, and a view of it at 1:1, are read without a fault.
func TestDXFOfView(t *testing.T) {
	s := NewSheet(A4)
	v := s.NewView(Pt(100, 150), Scale{1, 5})
	v.Stroke(Outline, Line(Pt(0, 0), Pt(400, 0)))
	v.Diameter(Pt(0, 0), 60, 30, Dim{})
	s.Stroke(Outline, Line(Pt(0, 0), Pt(7, 0))) // of the sheet, not of the view
	const script = `
import sys, ezdxf
for name in sys.argv[1:]:
    d = ezdxf.readfile(name)
    a = d.audit()
    print(len(a.errors) + len(a.fixes), *[(l.dxf.end - l.dxf.start).magnitude for l in d.modelspace().query('LINE[layer=="OUTLINE"]')],
          *[x.dxf.height for x in d.modelspace().query("TEXT")][:1])
`
	out := python(t, "ezdxf", script,
		save(t, "view.dxf", func(w io.Writer) error { return v.DXF(w) }),
		save(t, "empty.dxf", func(w io.Writer) error { return NewSheet(A4).View.DXF(w) }),
		save(t, "section.dxf", func(w io.Writer) error { return sampleSection().DXF(w) }))
	lines := strings.Split(strings.TrimSpace(out), "\n")
	f := strings.Fields(lines[0])
	if len(f) != 3 {
		t.Fatalf("view: %q", lines[0])
	}
	near(t, "errors", number(t, f[0]), 0, 0)
	near(t, "line 1:1", number(t, f[1]), 400, 1e-6)
	near(t, "text height", number(t, f[2]), NormalText*5, 1e-6)
	for _, l := range lines[1:] {
		if !strings.HasPrefix(l, "0") {
			t.Errorf("faults: %s", l)
		}
	}
}

// The SVG is well-formed XML with what pages need and nothing that a strict
// content security policy would refuse.
func TestSVG(t *testing.T) {
	s := NewSheet(A4)
	s.Title, s.Desc, s.Lang, s.ID = `Section <A> & "B"`, "what it shows", "en", "section"
	v := s.NewView(Pt(50, 100), Scale{1, 2})
	v.Section(Brick, Rectangle(R(0, 0, 100, 80)))
	v.Horizontal(Pt(0, 0), Pt(100, 0), -30, Dim{Key: "chamber.width", Label: "Chamber width", Class: "changed"})
	v.Vertical(Pt(0, 0), Pt(0, 80), -30, Dim{})
	v.Write(Pt(0, 200), "5 < 6 & 'x' \u0007\uFFFE", TextStyle{Face: Bold})
	var buf bytes.Buffer
	if err := s.SVG(&buf); err != nil {
		t.Fatal(err)
	}
	var dims, texts int
	attr := func(e xml.StartElement, name string) string {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	var chars string
	for d := xml.NewDecoder(&buf); ; {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			for _, a := range e.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("attribute %s", a.Name.Local)
				}
			}
			switch e.Name.Local {
			case "svg":
				if attr(e, "width") != "210mm" || attr(e, "height") != "297mm" || attr(e, "viewBox") != "0 0 210 297" || attr(e, "role") != "group" || attr(e, "id") != "section" {
					t.Errorf("svg: %v", e.Attr)
				}
			case "script", "style", "image", "a", "foreignObject":
				t.Errorf("element %s", e.Name.Local)
			case "text":
				texts++
				if number(t, attr(e, "textLength")) <= 0 || attr(e, "lengthAdjust") != "spacingAndGlyphs" {
					t.Errorf("text: %v", e.Attr)
				}
			case "g":
				if attr(e, "data-key") == "chamber.width" {
					dims++
					if attr(e, "class") != "dim changed" || attr(e, "tabindex") != "0" || attr(e, "role") != "button" || attr(e, "aria-label") != "Chamber width 100" {
						t.Errorf("dimension: %v", e.Attr)
					}
				} else if attr(e, "tabindex") != "" {
					t.Errorf("can be focused without a key: %v", e.Attr)
				}
			case "path":
				if attr(e, "class") == "hit" && attr(e, "pointer-events") != "all" {
					t.Errorf("hit: %v", e.Attr)
				}
			}
		case xml.CharData:
			chars += string(e)
		}
	}
	if dims != 1 || texts != 3 {
		t.Errorf("%d dimensions with a key, %d texts", dims, texts)
	}
	if !strings.Contains(chars, `Section <A> & "B"`) || !strings.Contains(chars, "5 < 6 & 'x'") {
		t.Errorf("words: %q", chars)
	}
}

// Arcs in the SVG are arcs, the right way round, by the rules of its path data.
func TestSVGArcs(t *testing.T) {
	s := NewSheet(Custom(100, 100))
	s.Stroke(Outline, Arc(Pt(50, 50), 20, 0, 90), Circle(Pt(50, 50), 10))
	var buf bytes.Buffer
	if err := s.SVG(&buf); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`M70 50A20 20 0 0 0 50 30"`,                          // y down: the quarter ends above the centre
		`M60 50A10 10 0 0 0 40 50A10 10 0 0 0 60 50Z"`,       // a circle in two halves
		`stroke-width="0.5" stroke-linecap="round"`,          // presentation attributes
		`width="100mm" height="100mm" viewBox="0 0 100 100"`, // true size
		`class="pen outline"`, `<title></title>`, `role="img"`,
	} {
		if !strings.Contains(buf.String(), want) {
			t.Errorf("no %q in\n%s", want, buf.String())
		}
	}
}

// The picture has the right size, resolution and ink.
func TestPNG(t *testing.T) {
	const dpi = 254 // ten pixels to the millimetre
	s := NewSheet(Custom(120, 60))
	s.Stroke(Thin, Line(Pt(10, 30), Pt(110, 30)))
	var buf bytes.Buffer
	if err := s.PNG(&buf, dpi); err != nil {
		t.Fatal(err)
	}
	cfg, err := png.DecodeConfig(bytes.NewReader(buf.Bytes()))
	if err != nil || cfg.Width != 1200 || cfg.Height != 600 {
		t.Fatalf("%v %v", cfg, err)
	}
	if !bytes.Contains(buf.Bytes(), []byte("pHYs\x00\x00\x27\x10\x00\x00\x27\x10\x01")) { // 10000 to the metre
		t.Error("no resolution")
	}
	ink := inkOf(greyPNG(t, buf.Bytes()))
	near(t, "length of the ink", ink.W(), 1000+2.5, 1.6)
	near(t, "middle of the ink", ink.Centre().Y, 300, 1)

	// Areas: darkness adds up to the area of a ring, and to that of a stroke.
	for name, c := range map[string]struct {
		draw func(*Sheet)
		want float64 // mm²
	}{
		"ring":   {func(s *Sheet) { s.Fill(Black, Circle(Pt(60, 30), 25).Append(Circle(Pt(60, 30), 10))) }, math.Pi * (625 - 100)},
		"circle": {func(s *Sheet) { s.Stroke(FrameLine, Circle(Pt(60, 30), 20)) }, 2 * math.Pi * 20 * FrameLine.Width},
		"dashes": {func(s *Sheet) { s.Stroke(Hidden, Line(Pt(10, 30), Pt(112, 30))) }, 102 * Hidden.Width * 2.5 / 3.4},
		"corner": {func(s *Sheet) { s.Stroke(FrameLine, Rectangle(R(20, 10, 80, 40))) },
			240*FrameLine.Width - (1-math.Pi/4)*math.Pow(FrameLine.Width, 2)}, // round corners
	} {
		s := NewSheet(Custom(120, 60))
		c.draw(s)
		img, err := s.Image(dpi)
		if err != nil {
			t.Fatal(err)
		}
		var dark float64
		for _, g := range img.Pix {
			dark += 1 - float64(g)/255
		}
		near(t, name, dark/100, c.want, 0.012*c.want)
	}
}

// White fills hide what lies behind, and a later black shows.
func TestPNGPaintersOrder(t *testing.T) {
	s := NewSheet(Custom(30, 30))
	s.Fill(Black, Rectangle(R(0, 0, 30, 30)))
	s.Fill(White, Rectangle(R(10, 10, 10, 10)))
	s.Fill(MidGrey, Rectangle(R(12, 12, 4, 4)))
	img, err := s.Image(254)
	if err != nil {
		t.Fatal(err)
	}
	at := func(x, y int) uint8 { return img.GrayAt(x*10, 300-y*10).Y }
	if at(5, 5) != 0 || at(18, 18) != 255 || at(14, 14) != MidGrey.grey() {
		t.Errorf("%d %d %d", at(5, 5), at(18, 18), at(14, 14))
	}
}

// Letters in the picture are poppler's letters, to the eye: the same ink within
// a few hundredths, in the same place.
func TestPNGTextAgainstPoppler(t *testing.T) {
	pdftoppm := outside.Program(t, "pdftoppm")
	s := NewSheet(Custom(100, 40))
	s.Write(Pt(10, 15), "Chamber Ø75 ±2", TextStyle{Height: 7})
	var buf bytes.Buffer
	if err := s.PNG(&buf, 300); err != nil {
		t.Fatal(err)
	}
	theirs := popplerPicture(t, pdftoppm, save(t, "text.pdf", func(w io.Writer) error { return PDF(w, s) }), "300")
	a, b := inkOf(greyPNG(t, buf.Bytes())), inkOf(theirs)
	near(t, "left", a.Min.X, b.Min.X, 2)
	near(t, "right", a.Max.X, b.Max.X, 2)
	near(t, "top", a.Min.Y, b.Min.Y, 2)
	near(t, "bottom", a.Max.Y, b.Max.Y, 2)
}
