package mesh

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"stovewright/internal/outside"
)

// found reads one number out of a program's report.
func found(t *testing.T, report []byte, pattern string) float64 {
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

// samples are solids of every builder with their volumes by formula, mm³.
func samples(t *testing.T) map[string]struct {
	solid  *Mesh
	volume float64
} {
	t.Helper()
	type sample = struct {
		solid  *Mesh
		volume float64
	}
	must := func(m *Mesh, err error) *Mesh {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	cavity, err := RingSegment(6, 58, 60).Fillet(5, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	const t1 = 1.0 / 32
	mould := Mould{Cavities: []Polygon{Rect(120, 60)}, Depth: 64, Draft: math.Atan(t1), Wall: 20, Floor: 15}
	brick := 120*60*64 + 180*t1*64*64 + 4.0/3*t1*t1*64*64*64
	frame := mould
	frame.Floor = 0
	n := float64(len(Circle(50, 0.01)))
	circle := n / 2 * math.Sin(2*math.Pi/n) // of the unit circle's polygon
	return map[string]sample{
		"box":      {must(Box(10, 20, 30)), 6000},
		"cylinder": {must(Cylinder(50, 10, 0.01)), circle * 2500 * 10},
		"mould":    {must(mould.Block()), 164*104*79 - brick},
		"frame":    {must(frame.Block()), 164*104*64 - brick},
		"rounded":  {must(Prism(Region{Outer: cavity}, 0, 66)), cavity.SignedArea() * 66},
		"hexagons": {must(Prism(Region{RegularPolygon(6, 115), []Polygon{RegularPolygon(6, 55)}}, 0, 100)),
			2 * math.Sqrt(3) * 10200 * 100},
	}
}

// ADMesh measures every STL file: nothing to repair, the right size and volume.
func TestSTLWithADMesh(t *testing.T) {
	admesh := outside.Program(t, "admesh")
	for name, s := range samples(t) {
		file := filepath.Join(t.TempDir(), name+".stl")
		writeFile(t, file, func(w io.Writer) error { return WriteSTL(w, name, s.solid) })
		report, err := exec.Command(admesh, "--exact", file).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, report)
		}
		for _, fault := range []string{"Total disconnected facets", "Degenerate facets", "Edges fixed", "Facets removed",
			"Facets added", "Facets reversed", "Backwards edges", "Normals fixed"} {
			if v := found(t, report, fault+`\s*:\s*(\d+)`); v != 0 {
				t.Errorf("%s: %s: %g", name, fault, v)
			}
		}
		if v := found(t, report, `Number of facets\s*:\s*(\d+)`); int(v) != len(s.solid.Triangles) {
			t.Errorf("%s: %g facets, want %d", name, v, len(s.solid.Triangles))
		}
		// ADMesh works in single precision: seven figures, less what the sum loses.
		if v := found(t, report, `Volume\s*:\s*(-?[\d.]+)`); math.Abs(v-s.volume) > 1e-5*s.volume {
			t.Errorf("%s: volume %g mm³, want %g", name, v, s.volume)
		}
		lo, hi := s.solid.Bounds()
		for axis, want := range map[string][2]float64{"X": {lo.X, hi.X}, "Y": {lo.Y, hi.Y}, "Z": {lo.Z, hi.Z}} {
			least := found(t, report, `Min `+axis+`\s*=\s*(-?[\d.]+)`)
			most := found(t, report, `Max `+axis+`\s*=\s*(-?[\d.]+)`)
			if math.Abs(least-want[0]) > 1e-4 || math.Abs(most-want[1]) > 1e-4 {
				t.Errorf("%s: %s from %g to %g mm, want %v", name, axis, least, most, want)
			}
		}
	}
}

// Assimp reads the 3MF package with all its objects.
func Test3MFWithAssimp(t *testing.T) {
	assimp := outside.Program(t, "assimp")
	mould, brick := twoSolids(t)
	file := filepath.Join(t.TempDir(), "two.3mf")
	objects := Arrange(10, Object{Name: "mould", Solid: mould}, Object{Name: "brick", Solid: brick})
	writeFile(t, file, func(w io.Writer) error { return Write3MF(w, "A mould & its brick", objects) })
	report, err := exec.Command(assimp, "info", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, report)
	}
	if v := found(t, report, `Meshes:\s+(\d+)`); v != 2 {
		t.Errorf("%g meshes, want 2", v)
	}
	if v := found(t, report, `Faces:\s+(\d+)`); int(v) != len(mould.Triangles)+len(brick.Triangles) {
		t.Errorf("%g faces, want %d", v, len(mould.Triangles)+len(brick.Triangles))
	}
}

// Assimp turns the 3MF package into STL and ADMesh measures that: the package
// says millimetres and carries every facet the right way round.
func Test3MFThroughTwoPrograms(t *testing.T) {
	assimp, admesh := outside.Program(t, "assimp"), outside.Program(t, "admesh")
	for name, s := range samples(t) {
		dir := t.TempDir()
		file, stl := filepath.Join(dir, name+".3mf"), filepath.Join(dir, name+".stl")
		writeFile(t, file, func(w io.Writer) error {
			return Write3MF(w, name, []Object{{Name: name, Solid: s.solid}})
		})
		if report, err := exec.Command(assimp, "export", file, stl, "-fstlb").CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, report)
		}
		// Assimp writes smoothed normals; --normal-values makes ADMesh take them
		// from the corners, whose order is what is tested here.
		report, err := exec.Command(admesh, "--exact", "--normal-values", stl).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, report)
		}
		if v := found(t, report, `Total disconnected facets\s*:\s*(\d+)`); v != 0 {
			t.Errorf("%s: %g disconnected facets", name, v)
		}
		if v := found(t, report, `Volume\s*:\s*(-?[\d.]+)`); math.Abs(v-s.volume) > 1e-5*s.volume {
			t.Errorf("%s: volume %g mm³, want %g", name, v, s.volume)
		}
	}
}

func writeFile(t *testing.T, name string, write func(io.Writer) error) {
	t.Helper()
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := write(f); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

func twoSolids(t *testing.T) (mould, brick *Mesh) {
	t.Helper()
	m := Mould{Cavities: []Polygon{Rect(120, 60)}, Depth: 64, Draft: 0.02, Wall: 20, Floor: 15}
	mould, err := m.Block()
	if err != nil {
		t.Fatal(err)
	}
	brick, err = Taper(Region{Outer: m.Cavities[0]}, 0, m.Depth, m.Draft)
	if err != nil {
		t.Fatal(err)
	}
	return mould, brick
}

// The layout of the file by its published description: 80 bytes, a count, 50
// bytes a facet, unit normals that agree with the corners.
func TestSTLBytes(t *testing.T) {
	box, err := Box(10, 20, 30)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteSTL(&b, "box", box); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	if len(data) != 84+50*12 {
		t.Fatalf("%d bytes, want %d", len(data), 84+50*12)
	}
	if bytes.HasPrefix(data, []byte("solid")) {
		t.Error("the header marks a text file")
	}
	if n := binary.LittleEndian.Uint32(data[80:]); n != 12 {
		t.Errorf("%d facets, want 12", n)
	}
	for at := 84; at < len(data); at += 50 {
		var f [12]float64
		for k := range f {
			f[k] = float64(math.Float32frombits(binary.LittleEndian.Uint32(data[at+4*k:])))
		}
		n := Point{f[0], f[1], f[2]}
		a, b, c := Point{f[3], f[4], f[5]}, Point{f[6], f[7], f[8]}, Point{f[9], f[10], f[11]}
		right := cross(minus(b, a), minus(c, a))
		if math.Abs(length(n)-1) > 1e-6 || math.Abs(dot(n, right)-length(right)) > 1e-3 {
			t.Errorf("facet at byte %d: normal %v against %v", at, n, right)
		}
		if data[at+48] != 0 || data[at+49] != 0 {
			t.Errorf("facet at byte %d: spare bytes %v", at, data[at+48:at+50])
		}
	}
}

// The package read back with the standard library alone.
func Test3MFParts(t *testing.T) {
	mould, brick := twoSolids(t)
	var b bytes.Buffer
	objects := Arrange(10, Object{Name: `mould "A" <1>`, Solid: mould}, Object{Name: "brick", Solid: brick})
	if err := Write3MF(&b, "Mould & brick", objects); err != nil {
		t.Fatal(err)
	}
	archive, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	parts := make(map[string][]byte)
	for _, f := range archive.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if parts[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"} {
		if parts[name] == nil {
			t.Fatalf("part %s is missing", name)
		}
	}
	var model struct {
		Unit     string `xml:"unit,attr"`
		Metadata []struct {
			Name  string `xml:"name,attr"`
			Value string `xml:",chardata"`
		} `xml:"metadata"`
		Objects []struct {
			ID       int    `xml:"id,attr"`
			Name     string `xml:"name,attr"`
			Vertices []struct {
				X float64 `xml:"x,attr"`
				Y float64 `xml:"y,attr"`
				Z float64 `xml:"z,attr"`
			} `xml:"mesh>vertices>vertex"`
			Triangles []struct {
				A int `xml:"v1,attr"`
				B int `xml:"v2,attr"`
				C int `xml:"v3,attr"`
			} `xml:"mesh>triangles>triangle"`
		} `xml:"resources>object"`
		Items []struct {
			Object    int    `xml:"objectid,attr"`
			Transform string `xml:"transform,attr"`
		} `xml:"build>item"`
	}
	if err := xml.Unmarshal(parts["3D/3dmodel.model"], &model); err != nil {
		t.Fatal(err)
	}
	if model.Unit != "millimeter" || len(model.Objects) != 2 || len(model.Items) != 2 {
		t.Fatalf("unit %q, %d objects, %d items", model.Unit, len(model.Objects), len(model.Items))
	}
	if model.Metadata[0].Name != "Title" || model.Metadata[0].Value != "Mould & brick" || model.Objects[0].Name != `mould "A" <1>` {
		t.Errorf("title %q, name %q", model.Metadata[0].Value, model.Objects[0].Name)
	}
	for i, solid := range []*Mesh{mould, brick} {
		back := &Mesh{}
		for _, v := range model.Objects[i].Vertices {
			back.Vertices = append(back.Vertices, Point{v.X, v.Y, v.Z})
		}
		for _, tr := range model.Objects[i].Triangles {
			back.Triangles = append(back.Triangles, [3]int{tr.A, tr.B, tr.C})
		}
		if err := back.Check(); err != nil {
			t.Error(err)
		}
		if back.Volume() != solid.Volume() {
			t.Errorf("object %d: volume %g, want %g", i, back.Volume(), solid.Volume())
		}
	}
	if got, want := model.Items[0].Transform, "1 0 0 0 1 0 0 0 1 10 10 0"; got != want {
		t.Errorf("transform %q, want %q", got, want)
	}
}

func TestArrangeKeepsSolidsApart(t *testing.T) {
	mould, brick := twoSolids(t)
	objects := Arrange(7, Object{Solid: brick.Translate(-50, -50, -3)}, Object{Solid: mould}, Object{Solid: brick})
	right := 0.0
	for i, o := range objects {
		lo, hi := o.Solid.Translate(o.At.X, o.At.Y, o.At.Z).Bounds()
		if math.Abs(lo.X-right-7) > 1e-9 || math.Abs(lo.Y-7) > 1e-9 || math.Abs(lo.Z) > 1e-9 {
			t.Errorf("object %d stands at %v after %g", i, lo, right)
		}
		right = hi.X
	}
}

func TestFilesAreDeterministic(t *testing.T) {
	write := func() [2][32]byte {
		mould, brick := twoSolids(t)
		var stl, tmf bytes.Buffer
		if err := WriteSTL(&stl, "two", mould, brick.Translate(300, 0, 0)); err != nil {
			t.Fatal(err)
		}
		if err := Write3MF(&tmf, "two", Arrange(5, Object{"mould", mould, Point{}}, Object{"brick", brick, Point{}})); err != nil {
			t.Fatal(err)
		}
		return [2][32]byte{sha256.Sum256(stl.Bytes()), sha256.Sum256(tmf.Bytes())}
	}
	if first, second := write(), write(); first != second {
		t.Error("two runs gave different bytes")
	}
}

func TestWritersRefuseOpenSolids(t *testing.T) {
	m, err := Box(1, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	m.Triangles = m.Triangles[1:]
	if err := WriteSTL(io.Discard, "", m); !errors.Is(err, ErrOpen) {
		t.Errorf("STL: %v", err)
	}
	if err := Write3MF(io.Discard, "", []Object{{Name: "box", Solid: m}}); !errors.Is(err, ErrOpen) {
		t.Errorf("3MF: %v", err)
	}
	tiny, err := Box(1e-9, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := WriteSTL(io.Discard, "", tiny.Translate(1000, 0, 0)); !errors.Is(err, ErrDegenerate) {
		t.Errorf("a facet lost in single precision: %v", err)
	}
}

func TestWritersReportAFullDisk(t *testing.T) {
	mould, _ := twoSolids(t)
	if err := WriteSTL(full{}, "", mould); !errors.Is(err, errFull) {
		t.Errorf("STL: %v", err)
	}
	if err := Write3MF(full{}, "", []Object{{Name: "mould", Solid: mould}}); !errors.Is(err, errFull) {
		t.Errorf("3MF: %v", err)
	}
}

var errFull = errors.New("no space left")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func BenchmarkMouldSTL(b *testing.B) {
	cavity, err := RingSegment(6, 58, 60).Fillet(5, 0.02)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		m, err := Mould{Cavities: []Polygon{cavity}, Depth: 66, Draft: 0.02, Wall: 20, Floor: 15}.Block()
		if err != nil {
			b.Fatal(err)
		}
		if err := WriteSTL(io.Discard, "", m); err != nil {
			b.Fatal(err)
		}
	}
}
