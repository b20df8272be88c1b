package mesh

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/proof"
)

func TestProof(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// euler is V − E + F: 2 for a solid without a hole through it, 0 with one
// (Euler's formula).
func euler(m *Mesh) int { return len(m.Vertices) - len(m.Triangles)*3/2 + len(m.Triangles) }

func drafted(t *testing.T, floor float64) *Mesh {
	t.Helper()
	cavity, err := Rect(125.03, 65.2).Fillet(4, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	m, err := Mould{Cavities: []Polygon{cavity}, Depth: 70, Draft: 1.5 * math.Pi / 180, Wall: 18, Floor: floor}.Block()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestMouldIsOneSolidWithoutAHole(t *testing.T) {
	m := drafted(t, 12)
	if got := euler(m); got != 2 {
		t.Errorf("V−E+F = %d, want 2", got)
	}
	if n := len(m.shells()); n != 1 {
		t.Errorf("%d shells, want 1", n)
	}
	lo, hi := m.Bounds()
	widening := 2 * 70 * math.Tan(1.5*math.Pi/180)
	want := Point{125.03 + widening + 36, 65.2 + widening + 36, 82}
	if lo != (Point{}) || length(minus(hi, want)) > 1e-9 {
		t.Errorf("bounds %v to %v, want 0 to %v", lo, hi, want)
	}
}

func TestFrameHasOneHole(t *testing.T) {
	m := drafted(t, 0)
	if got := euler(m); got != 0 {
		t.Errorf("V−E+F = %d, want 0", got)
	}
}

// The cavity plus the mould fill the block: the brick that leaves the mould is
// the taper on the same outline.
func TestGangMouldAndBricksFillTheBlock(t *testing.T) {
	const draft = 2 * math.Pi / 180
	cavity, err := RingSegment(6, 58, 60).Fillet(5, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	gang := Mould{Cavities: []Polygon{cavity, cavity.Translate(160, 0), cavity.Translate(320, 0)}, Depth: 66, Draft: draft, Wall: 20, Floor: 15}
	m, err := gang.Block()
	if err != nil {
		t.Fatal(err)
	}
	brick, err := Taper(Region{Outer: cavity}, 0, 66, draft)
	if err != nil {
		t.Fatal(err)
	}
	_, hi := m.Bounds()
	if got, want := m.Volume()+3*brick.Volume(), hi.X*hi.Y*hi.Z; math.Abs(got-want) > 1e-9*want {
		t.Errorf("mould and three bricks are %.6f mm³, the block %.6f", got, want)
	}
	if got := euler(m); got != 2 {
		t.Errorf("V−E+F = %d, want 2", got)
	}
}

func TestFilletStaysInsideItsTolerance(t *testing.T) {
	const radius, tolerance = 12.0, 0.05
	p, err := Rect(80, 60).Fillet(radius, tolerance)
	if err != nil {
		t.Fatal(err)
	}
	centre := XY{80 - radius, 60 - radius}
	for i, a := range p {
		b := p[(i+1)%len(p)]
		middle := XY{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
		if a.X < centre.X || a.Y < centre.Y || b.X < centre.X || b.Y < centre.Y {
			continue
		}
		if d := math.Hypot(a.X-centre.X, a.Y-centre.Y); math.Abs(d-radius) > 1e-9 {
			t.Errorf("corner %d is %g mm from the centre", i, d)
		}
		if d := math.Hypot(middle.X-centre.X, middle.Y-centre.Y); d < radius-tolerance-1e-9 {
			t.Errorf("chord %d sags to %g mm", i, d)
		}
	}
	lo, hi := p.Bounds()
	if lo != (XY{0, 0}) || hi != (XY{80, 60}) {
		t.Errorf("bounds %v to %v", lo, hi)
	}
}

// An L: its inner corner is rounded as well, which adds what the others lose.
func TestFilletOfAReflexCorner(t *testing.T) {
	l := Polygon{{0, 0}, {90, 0}, {90, 30}, {30, 30}, {30, 90}, {0, 90}}
	p, err := l.Fillet(10, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	// Five corners lose (1 − π/4)·r², one gains it: 4500 mm² less four of them.
	want := 4500 - 4*(1-math.Pi/4)*100
	if got := p.SignedArea(); math.Abs(got-want) > 0.05 {
		t.Errorf("area %.4f mm², want %.4f", got, want)
	}
}

func TestBadOutlines(t *testing.T) {
	tests := []struct {
		name   string
		region Region
		want   string
	}{
		{"two corners", Region{Outer: Polygon{{0, 0}, {1, 0}}}, "2 corners"},
		{"bow tie", Region{Outer: Polygon{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}, "touches"},
		{"spike", Region{Outer: Polygon{{0, 0}, {10, 0}, {10, 10}, {10, 5}, {5, 5}}}, "turns back"},
		{"corner on a side", Region{Outer: Polygon{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}}, "touches"},
		{"double corner", Region{Outer: Polygon{{0, 0}, {10, 0}, {10, 0}, {0, 10}}}, "stands twice"},
		{"not a number", Region{Outer: Polygon{{0, 0}, {math.NaN(), 0}, {0, 10}}}, "not a point"},
		{"infinite", Region{Outer: Polygon{{0, 0}, {math.Inf(1), 0}, {0, 10}}}, "not a point"},
		{"hole outside", Region{Rect(10, 10), []Polygon{Rect(2, 2).Translate(20, 0)}}, "not inside"},
		{"hole across", Region{Rect(10, 10), []Polygon{Rect(2, 2).Translate(9, 4)}}, "touches"},
		{"hole at a corner", Region{Rect(10, 10), []Polygon{{{0, 0}, {2, 1}, {1, 2}}}}, "touches"},
		{"hole in hole", Region{Rect(10, 10), []Polygon{Rect(6, 6).Translate(2, 2), Rect(2, 2).Translate(4, 4)}}, "inside hole"},
	}
	for _, tt := range tests {
		if _, err := Prism(tt.region, 0, 1); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: want an error with %q, got %v", tt.name, tt.want, err)
		}
	}
}

func TestBadSolids(t *testing.T) {
	square := Region{Outer: Rect(10, 10)}
	for name, build := range map[string]func() (*Mesh, error){
		"upside down":        func() (*Mesh, error) { return Prism(square, 1, 0) },
		"other corner count": func() (*Mesh, error) { return Loft(square, Region{Outer: RegularPolygon(6, 5)}, 0, 1) },
		"other hole count": func() (*Mesh, error) {
			return Loft(square, Region{Rect(10, 10), []Polygon{Rect(1, 1).Translate(1, 1)}}, 0, 1)
		},
		"walls that meet": func() (*Mesh, error) { return Taper(square, 0, 10, -math.Atan(0.6)) },
		"no cavity":       func() (*Mesh, error) { return Mould{Depth: 1, Wall: 1}.Block() },
		"no wall":         func() (*Mesh, error) { return Mould{Cavities: []Polygon{Rect(1, 1)}, Depth: 1}.Block() },
		"draft beyond 45°": func() (*Mesh, error) {
			return Mould{Cavities: []Polygon{Rect(1, 1)}, Depth: 1, Wall: 1, Draft: 1}.Block()
		},
		"cavities that touch": func() (*Mesh, error) {
			return Mould{Cavities: []Polygon{Rect(10, 10), Rect(10, 10).Translate(11, 0)}, Depth: 10, Wall: 1, Draft: 0.1}.Block()
		},
		"fillet too large": func() (*Mesh, error) {
			p, err := Rect(10, 10).Fillet(6, 0.1)
			if err != nil {
				return nil, err
			}
			return Prism(Region{Outer: p}, 0, 1)
		},
	} {
		if _, err := build(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestCheckFindsEachFault(t *testing.T) {
	box := func() *Mesh {
		m, err := Box(1, 2, 3)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	tests := []struct {
		name  string
		spoil func(m *Mesh)
		want  error
	}{
		{"nothing", func(m *Mesh) { m.Triangles = nil }, ErrEmpty},
		{"a facet missing", func(m *Mesh) { m.Triangles = m.Triangles[1:] }, ErrOpen},
		{"a facet turned", func(m *Mesh) { t := &m.Triangles[0]; t[0], t[1] = t[1], t[0] }, ErrOpen},
		{"a facet twice", func(m *Mesh) { m.Triangles = append(m.Triangles, m.Triangles[0]) }, ErrOpen},
		{"all turned", func(m *Mesh) {
			for i := range m.Triangles {
				t := &m.Triangles[i]
				t[0], t[1] = t[1], t[0]
			}
		}, ErrInsideOut},
		{"an index outside", func(m *Mesh) { m.Triangles[0][0] = 99 }, ErrVertex},
		{"a loose vertex", func(m *Mesh) { m.Vertices = append(m.Vertices, Point{9, 9, 9}) }, ErrVertex},
		{"a vertex twice", func(m *Mesh) { m.Vertices[0] = m.Vertices[1] }, ErrVertex},
		{"not a number", func(m *Mesh) { m.Vertices[0].X = math.NaN() }, ErrVertex},
		{"a needle", func(m *Mesh) { m.Triangles[0] = [3]int{0, 0, 1} }, ErrDegenerate},
	}
	for _, tt := range tests {
		m := box()
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		tt.spoil(m)
		if err := m.Check(); !errors.Is(err, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, err, tt.want)
		}
	}
}

func TestJoinAndTranslate(t *testing.T) {
	a, err := Box(10, 10, 10)
	if err != nil {
		t.Fatal(err)
	}
	both := Join(a, a.Translate(20, 0, 5))
	if err := both.Check(); err != nil {
		t.Fatal(err)
	}
	if n := len(both.shells()); n != 2 {
		t.Errorf("%d shells, want 2", n)
	}
	if v := both.Volume(); math.Abs(v-2000) > 1e-9 {
		t.Errorf("volume %g mm³, want 2000", v)
	}
	if lo, hi := both.Bounds(); lo != (Point{}) || hi != (Point{30, 10, 15}) {
		t.Errorf("bounds %v to %v", lo, hi)
	}
}

// star draws a star-shaped outline with some corners in line.
func star(t *rapid.T, centre XY, least, most float64, label string) Polygon {
	n := rapid.IntRange(3, 24).Draw(t, label+" corners")
	var p Polygon
	for i := range n {
		r := rapid.Float64Range(least, most).Draw(t, label+" radius")
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p = append(p, XY{centre.X + r*cos, centre.Y + r*sin})
	}
	return p
}

// grid draws a rectangle with corners in line along its sides and holes on a
// grid, so that many coordinates are equal and many points are in line.
func grid(t *rapid.T) Region {
	nx, ny := rapid.IntRange(1, 5).Draw(t, "columns"), rapid.IntRange(1, 5).Draw(t, "rows")
	var r Region
	for i := range nx {
		r.Outer = append(r.Outer, XY{float64(10 * i), 0})
	}
	for j := range ny {
		r.Outer = append(r.Outer, XY{float64(10 * nx), float64(10 * j)})
	}
	for i := range nx {
		r.Outer = append(r.Outer, XY{float64(10 * (nx - i)), float64(10 * ny)})
	}
	r.Outer = append(r.Outer, XY{0, float64(10 * ny)})
	for i := range nx {
		for j := range ny {
			if rapid.Bool().Draw(t, "hole") {
				hole := Rect(6, 6)
				if rapid.Bool().Draw(t, "with corners in line") {
					hole = Polygon{{0, 0}, {3, 0}, {6, 0}, {6, 3}, {6, 6}, {3, 6}, {0, 6}, {0, 3}}
				}
				r.Holes = append(r.Holes, hole.Translate(float64(10*i+2), float64(10*j+2)))
			}
		}
	}
	return r
}

func TestTrianglesCoverTheRegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		region := grid(t)
		if rapid.Bool().Draw(t, "star") {
			region = Region{Outer: star(t, XY{}, 20, 60, "outline")}
			if rapid.Bool().Draw(t, "with a hole") {
				// The chord between corners 120° apart at 20 mm lies 10 mm out.
				region.Holes = []Polygon{star(t, XY{}, 1, 9.5, "hole")}
			}
		}
		corners := len(region.Outer)
		for _, h := range region.Holes {
			corners += len(h)
		}
		points, triangles, err := Triangulate(region)
		if err != nil {
			t.Fatal(err)
		}
		if want := corners + 2*len(region.Holes) - 2; len(points) != corners || len(triangles) != want {
			t.Fatalf("%d points in %d triangles, want %d in %d", len(points), len(triangles), corners, want)
		}
		var sum float64
		for _, tr := range triangles {
			a := Polygon{points[tr[0]], points[tr[1]], points[tr[2]]}.SignedArea()
			if a <= 0 {
				t.Fatalf("triangle %v has the area %g", tr, a)
			}
			sum += a
		}
		if want := region.Area(); math.Abs(sum-want) > 1e-9*want {
			t.Fatalf("triangles cover %g mm², the region has %g", sum, want)
		}
		height := rapid.Float64Range(1, 100).Draw(t, "height")
		m, err := Prism(region, 0, height)
		if err != nil {
			t.Fatal(err)
		}
		if want := region.Area() * height; math.Abs(m.Volume()-want) > 1e-9*want {
			t.Fatalf("volume %g mm³, want %g", m.Volume(), want)
		}
		if got, want := euler(m), 2-2*len(region.Holes); got != want {
			t.Fatalf("V−E+F = %d, want %d", got, want)
		}
	})
}

// The exact sign against the naive one where the naive one can be trusted, and
// on points that are in line by construction.
func TestOrientIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := func(label string) float64 { return float64(rapid.IntRange(-1000, 1000).Draw(t, label)) }
		a, b, c := XY{whole("ax"), whole("ay")}, XY{whole("bx"), whole("by")}, XY{whole("cx"), whole("cy")}
		det := (a.X-c.X)*(b.Y-c.Y) - (a.Y-c.Y)*(b.X-c.X) // exact in whole numbers
		want := 0
		if det != 0 {
			want = int(math.Copysign(1, det))
		}
		if got := orient(a, b, c); got != want {
			t.Fatalf("orient = %d, want %d", got, want)
		}
		if got := orientExact(a, b, c); got != want {
			t.Fatalf("orientExact = %d, want %d", got, want)
		}
	})
	// A point one unit in the last place off a diagonal: the plain determinant
	// rounds to zero here.
	a, b := XY{12, 12}, XY{24, 24}
	c := XY{0.5, math.Nextafter(0.5, 1)}
	if got := orient(a, b, c); got != 1 {
		t.Errorf("just left of the line: %d, want 1", got)
	}
}

func FuzzTriangulate(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, []byte{3, 3, 5, 3, 5, 5})
	f.Add([]byte{0, 0, 9, 0, 5, 1, 9, 9}, []byte{})
	f.Fuzz(func(t *testing.T, outer, hole []byte) {
		if len(outer) > 120 || len(hole) > 60 {
			t.Skip()
		}
		polygon := func(data []byte) Polygon {
			var p Polygon
			for i := 0; i+1 < len(data); i += 2 {
				p = append(p, XY{float64(data[i]), float64(data[i+1])})
			}
			return p
		}
		r := Region{Outer: polygon(outer)}
		if len(hole) > 0 {
			r.Holes = []Polygon{polygon(hole)}
		}
		if r.validate() != nil {
			return
		}
		m, err := Prism(r, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(m.Volume()-r.Area()) > 1e-6 {
			t.Fatalf("volume %g, area %g", m.Volume(), r.Area())
		}
	})
}
