package kit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stovewright/drawing"
	"stovewright/internal/outside"
	"stovewright/message"
	"stovewright/stove"
)

// These tests have the files read back by programs that know nothing of this
// one: ezdxf for DXF, poppler for PDF, ADMesh for the solids.

func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	return outside.Run(t, exec.Command(name, args...))
}

// python runs a script with a Python that has ezdxf.
func python(t *testing.T, script string, args ...string) []byte {
	t.Helper()
	return run(t, outside.Python(t, "ezdxf"), append([]string{"-c", script}, args...)...)
}

func save(t *testing.T, f File) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), filepath.Base(f.Name))
	if err := os.WriteFile(path, f.Data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tolerance)
	}
}

// cutScript measures what ezdxf finds on the layer CUT: size over all, area and
// size of every closed figure, circles, and arcs.
const cutScript = `
import sys, json, ezdxf
from ezdxf import path
out = []
for name in sys.argv[1:]:
    d = ezdxf.readfile(name)
    a = d.audit()
    m = d.modelspace()
    shapes, ends, arcs = [], [], []
    for e in m.query('*[layer=="CUT"]'):
        if e.dxftype() == "CIRCLE":
            c, r = e.dxf.center, e.dxf.radius
            shapes.append(dict(x=c.x, y=c.y, w=2*r, h=2*r, circle=True))
            continue
        if e.dxftype() == "ARC":
            arcs.append(dict(x=e.dxf.center.x, y=e.dxf.center.y, r=e.dxf.radius))
        p = path.make_path(e)
        pts = [(v.x, v.y) for v in p.flattening(1e-4)]
        if e.dxftype() == "POLYLINE" and e.is_closed:
            if pts[0] != pts[-1]: pts.append(pts[0])
        ends.append(pts)
    joined = True   # chains of lines and arcs into closed figures
    while joined:
        joined = False
        for i, p in enumerate(ends):
            for j, q in enumerate(ends):
                if i == j or (abs(p[0][0]-p[-1][0]) < 1e-5 and abs(p[0][1]-p[-1][1]) < 1e-5): continue
                for r in (q, q[::-1]):
                    if abs(p[-1][0]-r[0][0]) < 1e-5 and abs(p[-1][1]-r[0][1]) < 1e-5:
                        ends[i] = p + r[1:]; del ends[j]; joined = True; break
                if joined: break
            if joined: break
    open_ = 0
    for p in ends:
        if abs(p[0][0]-p[-1][0]) > 1e-5 or abs(p[0][1]-p[-1][1]) > 1e-5: open_ += 1
        xs, ys = [a for a, _ in p], [b for _, b in p]
        area = sum(p[i][0]*p[i+1][1]-p[i+1][0]*p[i][1] for i in range(len(p)-1))/2
        shapes.append(dict(x=(min(xs)+max(xs))/2, y=(min(ys)+max(ys))/2, w=max(xs)-min(xs), h=max(ys)-min(ys), area=abs(area), circle=False))
    layers = sorted({e.dxf.layer for e in m})
    out.append(dict(errors=len(a.errors)+len(a.fixes), open=open_, shapes=shapes, arcs=arcs, layers=layers))
print(json.dumps(out))
`

type cutShape struct {
	X, Y, W, H, Area float64
	Circle           bool
}

type cutFile struct {
	Errors, Open int
	Shapes       []cutShape
	Arcs         []struct{ X, Y, R float64 }
	Layers       []string
}

func readDXF(t *testing.T, k *Kit, ids ...string) map[string]cutFile {
	t.Helper()
	dir := t.TempDir()
	var names []string
	for _, id := range ids {
		p := k.Pattern(id)
		if p == nil {
			t.Fatalf("no pattern %s", id)
		}
		var b bytes.Buffer
		_, v := p.Sheet(message.English())
		if err := v.DXF(&b); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(dir, id+".dxf")
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	var list []cutFile
	if err := json.Unmarshal(python(t, cutScript, names...), &list); err != nil {
		t.Fatal(err)
	}
	found := map[string]cutFile{}
	for i, id := range ids {
		f := list[i]
		if f.Errors != 0 || f.Open != 0 {
			t.Errorf("%s: %d errors, %d open figures", id, f.Errors, f.Open)
		}
		slices.SortFunc(f.Shapes, func(a, b cutShape) int { // largest first
			return -int(math.Copysign(1, a.W*a.H-b.W*b.H))
		})
		found[id] = f
	}
	return found
}

// The skirt's blank, measured in its DXF: size by the stove's dimensions, and the
// holes where straight lines at the rods' offset pierce a cylinder.
func TestSkirtDXF(t *testing.T) {
	k := made(t, household())
	s := k.Stove
	f := readDXF(t, k, "skirt.blank")["skirt.blank"]
	blank := f.Shapes[0]
	r := toMM(s.SkirtInner+s.SkirtMetal) / 2
	around := 2 * math.Pi * r
	near(t, "blank length", blank.W, around+toMM(s.SkirtSeam), 1e-4)
	near(t, "blank length by the stove", blank.W, toMM(s.SkirtLength), 1e-4)
	hem := 0.0
	if fold := foldOf(s.SkirtMetal); fold > 0 {
		hem = fold
	}
	near(t, "blank height", blank.H, toMM(s.SkirtHeight)+hem, 1e-4)
	for _, want := range []string{"CUT", "BEND", "MARK", "DIM"} {
		if !slices.Contains(f.Layers, want) {
			t.Errorf("no layer %s in %v", want, f.Layers)
		}
	}
	var got, want []float64
	for _, h := range f.Shapes[1:] {
		if !h.Circle && h.W < 60 {
			got = append(got, h.X)
			near(t, "height of a rod hole's middle", h.Y, toMM(s.RodHeight), 1e-4)
			near(t, "width of a rod hole", h.H, toMM(s.RodDiameter)+rodSpare, 1e-4)
		}
	}
	for _, rod := range s.Rods() {
		sin, cos := math.Sincos(rod.Normal)
		for _, end := range []float64{-1, 1} {
			middle := 0.0
			for _, side := range []float64{-1, 1} { // the lines that bound the hole
				off := toMM(s.RodOffset) + side*(toMM(s.RodDiameter)+rodSpare)/2
				along := end * math.Sqrt(r*r-off*off)
				middle += math.Atan2(off*sin+along*cos, off*cos-along*sin) / 2
			}
			want = append(want, blank.W/2+middle*r) // the seam is at the back
		}
	}
	// two holes on either side of the back run the other way around
	for i, x := range want {
		if x < toMM(s.SkirtSeam)/2 {
			want[i] = x + around
		}
	}
	slices.Sort(got)
	slices.Sort(want)
	if len(got) != 6 {
		t.Fatalf("%d rod holes", len(got))
	}
	for i := range got {
		near(t, fmt.Sprintf("rod hole %d", i+1), got[i], want[i], 1e-3)
	}
}

// Body, sleeve, shelf, ring and base in their DXF against the stove.
func TestSheetDXF(t *testing.T) {
	k := made(t, household())
	s := k.Stove
	found := readDXF(t, k, "body.blank", "top.ring", "base.disc", "shelf.channel", "mouth.sleeve", "feet.strip")

	body := found["body.blank"]
	near(t, "body length", body.Shapes[0].W, math.Pi*toMM(s.BodyInner+s.BodyThickness)+toMM(s.Value("body.seam").SI), 1e-4)
	fold := foldOf(s.BodyThickness)
	near(t, "body height", body.Shapes[0].H, toMM(s.BodyHeight)+2*fold, 1e-4)
	mouth := body.Shapes[1]
	// seen from the front the cut-out is as wide as the sleeve with its clearance
	r := toMM(s.BodyInner+s.BodyThickness) / 2
	near(t, "mouth seen straight on", 2*r*math.Sin(mouth.W/2/r), toMM(s.MouthWidth)+2*toMM(s.BodyThickness)+mouthClearance, 1e-3)
	near(t, "mouth height", mouth.H, toMM(s.MouthHeight)+2*toMM(s.BodyThickness)+mouthClearance, 1e-4)
	near(t, "mouth in the middle", mouth.X, body.Shapes[0].W/2, 1e-4)
	near(t, "floor of the mouth above the underside", mouth.Y-mouth.H/2-fold, toMM(s.FloorLevel()-s.FeetHeight-s.BodyThickness)-mouthClearance/2, 1e-4)

	ring := found["top.ring"]
	near(t, "hole of the top ring", ring.Shapes[1].W, toMM(s.TopHole), 1e-4)
	if !ring.Shapes[1].Circle {
		t.Error("the hole of the top ring is no circle")
	}
	for _, a := range ring.Arcs {
		if a.R < toMM(s.BodyOuter())/2 {
			t.Errorf("the top ring, radius %v, does not cover the body, %v", a.R, toMM(s.BodyOuter())/2)
		}
	}

	near(t, "base disc", found["base.disc"].Shapes[0].W, toMM(s.BodyOuter())+4*fold, 1e-4)

	shelf := found["shelf.channel"]
	near(t, "shelf length", shelf.Shapes[0].H, toMM(s.ShelfReach+s.TunnelLength()+s.ShelfOut), 1e-4)
	slots, top := 0, shelf.Shapes[0].H
	for _, h := range shelf.Shapes[1:] {
		slots++
		near(t, "slot width", h.H, slotWidth, 1e-4)
		if h.Y < top-toMM(s.GrateLength) {
			t.Errorf("a slot at %v lies outside the grate", h.Y)
		}
	}
	if slots == 0 {
		t.Error("no slots in the grate")
	}
	// With folds so tight, the sleeve's flat length lies between its inner and
	// outer girth and the flange.
	inner := 2*toMM(s.MouthWidth+s.MouthHeight) + sleeveLap
	t1 := toMM(s.BodyThickness)
	if w := found["mouth.sleeve"].Shapes[0].W; w < inner-2 || w > inner+10*t1 {
		t.Errorf("the sleeve's flat length is %v, its girth inside with the flange %v", w, inner)
	}
}

// The hexagon's bricks in their DXF: a ring of six closes around the bore.
func TestBrickDXF(t *testing.T) {
	k := made(t, hexagon())
	s := k.Stove
	plan := readDXF(t, k, "brick.ring")["brick.ring"]
	var area float64
	for _, f := range plan.Shapes {
		if math.Abs(f.H-toMM(s.BrickThickness)) < 1e-3 {
			area = f.Area
		}
	}
	side := func(flats float64) float64 {
		return toMM(flats)*math.Tan(math.Pi/6) - toMM(s.Joint)/math.Cos(math.Pi/6)
	}
	near(t, "plan of a ring brick", area, (side(s.Flats)+side(s.BlockFlats()))/2*toMM(s.BrickThickness), 1e-2)
}

// Every page of the printed patterns has a check line that poppler draws 100 mm
// long; the first page too.
func TestCheckLineOnEveryPage(t *testing.T) {
	pdftoppm, pdfinfo := outside.Program(t, "pdftoppm"), outside.Program(t, "pdfinfo")
	k := made(t, household())
	for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
		var b bytes.Buffer
		pages := k.TiledPatterns(message.English(), paper)
		if err := drawing.PDF(&b, pages...); err != nil {
			t.Fatal(err)
		}
		path := save(t, File{"patterns.pdf", b.Bytes()})
		m := regexp.MustCompile(`Pages:\s+(\d+)`).FindSubmatch(run(t, pdfinfo, path))
		if m == nil || string(m[1]) != strconv.Itoa(len(pages)) {
			t.Fatalf("poppler counts %s pages, want %d", m, len(pages))
		}
		last := len(pages)
		for _, page := range []int{1, 2, last / 2, last} {
			base := filepath.Join(t.TempDir(), "page")
			run(t, pdftoppm, "-r", "254", "-gray", "-f", strconv.Itoa(page), "-l", strconv.Itoa(page), "-singlefile", path, base)
			data, err := os.ReadFile(base + ".pgm")
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("check line on page %d of %s, mm", page, paper.Name), checkLine(t, data), drawing.CheckLength, 0.4)
		}
	}
}

// checkLine is the length in mm of the longest level line in the lowest 25 mm of
// a page drawn at 10 pixels to the millimetre.
func checkLine(t *testing.T, pgm []byte) float64 {
	t.Helper()
	var w, h, top int
	if _, err := fmt.Sscanf(string(pgm[:min(40, len(pgm))]), "P5\n%d %d\n%d\n", &w, &h, &top); err != nil {
		t.Fatal(err)
	}
	pix := pgm[len(pgm)-w*h:]
	best := 0
	for y := h - 250; y < h; y++ {
		length := 0
		for x := range w * 2 / 3 { // the key plan is on the right
			if pix[y*w+x] < 160 {
				length++
				best = max(best, length)
			} else {
				length = 0
			}
		}
	}
	return float64(best) / 10
}

// ADMesh finds nothing to mend in any solid, and measures the frame's volume as
// the box less the cavity.
func TestMouldsWithADMesh(t *testing.T) {
	admesh := outside.Program(t, "admesh")
	for name, form := range map[string]stove.Form{"household": household(), "hexagon": hexagon()} {
		k := made(t, form)
		files, err := k.Files(message.English(), drawing.A4)
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		for _, f := range files {
			if !strings.HasSuffix(f.Name, ".stl") {
				continue
			}
			count++
			report := run(t, admesh, "--exact", save(t, f))
			for _, fault := range []string{"Total disconnected facets", "Degenerate facets", "Edges fixed", "Facets removed", "Facets added", "Facets reversed", "Backwards edges", "Normals fixed"} {
				if v := reported(t, report, fault+`\s*:\s*(\d+)`); v != 0 {
					t.Errorf("%s, %s: %s: %g", name, f.Name, fault, v)
				}
			}
		}
		solids := 0
		for _, d := range k.Moulds {
			solids += len(d.Solids)
		}
		if count != solids || count == 0 {
			t.Errorf("%s: %d files for %d solids", name, count, solids)
		}
		d := k.Moulds[0]
		lo, hi := d.Solids[0].Solid.Bounds()
		box := (hi.X - lo.X) * (hi.Y - lo.Y) * (hi.Z - lo.Z)
		for _, f := range files {
			if f.Name == "moulds/ring.stl" {
				hollow := box - reported(t, run(t, admesh, "--exact", save(t, f)), `Volume\s*:\s*(-?[\d.]+)`)
				wet := (d.Plan.Area() - cornersCut(d)) * d.Depth
				// what is left is the draft, true at half height but for its square
				near(t, name+": cavity over its rounded plan times its depth", hollow/wet, 1, 0.002)
			}
		}
	}
}

// cornersCut is what rounding takes off a plan: r² (tan(φ/2) − φ/2) at each
// corner where it turns by φ.
func cornersCut(d Mould) float64 {
	var sum float64
	n := len(d.Plan)
	for i := range n {
		a, b, c := d.Plan[i].Point, d.Plan[(i+1)%n].Point, d.Plan[(i+2)%n].Point
		turn := math.Mod(c.Sub(b).Angle()-b.Sub(a).Angle()+360, 360) * math.Pi / 180
		sum += d.Radius * d.Radius * (math.Tan(turn/2) - turn/2)
	}
	return sum
}

func reported(t *testing.T, report []byte, pattern string) float64 {
	t.Helper()
	m := regexp.MustCompile(pattern).FindSubmatch(report)
	if m == nil {
		t.Fatalf("no match for %q in:\n%s", pattern, report)
	}
	v, err := strconv.ParseFloat(string(m[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The coordinate table alone gives the pattern back: outlines rebuilt from its
// points and arcs have the pattern's area.
func TestCoordinatesRebuildThePattern(t *testing.T) {
	for name, form := range forms {
		k := made(t, form())
		for i := range k.Patterns {
			p := &k.Patterns[i]
			for j := range p.Figures {
				area := 0.0
				var rows []Coordinate
				for _, c := range p.Coordinates() {
					if _, err := strconv.Atoi(c.Label); err == nil && c.Figure == j+1 {
						rows = append(rows, c)
					}
				}
				for n, a := range rows {
					b := rows[(n+1)%len(rows)]
					area += (a.At.X*b.At.Y - b.At.X*a.At.Y) / 2
					if a.Radius == 0 {
						continue
					}
					if len(rows) == 1 {
						area += math.Pi * a.Radius * a.Radius
						continue
					}
					turn := math.Mod(b.At.Sub(a.Centre).Angle()-a.At.Sub(a.Centre).Angle()+360, 360) * math.Pi / 180
					area += a.Radius * a.Radius * (turn - math.Sin(turn)) / 2
				}
				near(t, name+" "+p.ID, area, p.Figures[j].Outer.Area(), 1e-6*area+1e-6)
			}
		}
	}
}
