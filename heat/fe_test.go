package heat

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"stovewright/internal/outside"
)

// The section of a stove is solved again by CalculiX, a general-purpose
// finite-element program (Debian package calculix-ccx, program ccx), with
// eight-node axisymmetric elements on the same grid lines. Heat lost, mean and
// highest skin temperature must agree within 0.5 %.
func TestSectionAgainstFiniteElements(t *testing.T) {
	ccx := outside.Program(t, "ccx")
	const cell = 0.0035
	plan, edges := examplePlan(cell)
	s, err := NewSection(plan, 300)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Steady(edges); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	rs, zs, err := plan.grid()
	if err != nil {
		t.Fatal(err)
	}
	mesh := newElementMesh(plan, rs, zs)
	if err := os.WriteFile(filepath.Join(dir, "stove.inp"), mesh.input(edges), 0o644); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(ccx, "-i", "stove")
	run.Dir = dir
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("ccx: %v\n%s", err, out)
	}
	nodes := readNodes(t, filepath.Join(dir, "stove.dat"))
	feLoss, feMean, feMost := mesh.skin(nodes, 1, edges)
	var loss, mean, area, most float64
	for _, spot := range s.Surface(1, edges) {
		loss += edges[1](spot.T).H * spot.Area * (spot.T - edges[1](spot.T).T)
		if spot.R > 0.1509 { // the sheet
			mean += spot.Area * spot.T
			area += spot.Area
			most = math.Max(most, spot.T)
		}
	}
	mean /= area
	t.Logf("%d cells: loss %.3f W (elements %.3f), mean skin %.2f K (%.2f), hottest skin %.2f K (%.2f)", s.Cells(), loss, feLoss, mean, feMean, most, feMost)
	near := func(what string, ours, theirs, zero float64) {
		if !(math.Abs(ours-theirs) <= 0.005*math.Abs(theirs-zero)) {
			t.Errorf("%s: ours %.4f, elements %.4f", what, ours, theirs)
		}
	}
	near("heat lost", loss, feLoss, 0)
	near("mean skin temperature above the air", mean, feMean, 300)
	near("hottest skin above the air", most, feMost, 300)
}

// elementMesh is the grid of a plan as eight-node rectangles.
type elementMesh struct {
	plan     Plan
	rs, zs   []float64
	elements []element
}

type element struct {
	i, j  int
	solid *Solid
	films [4]int // edge seen by the lower, outer, upper and inner face; Insulated where none
}

func newElementMesh(p Plan, rs, zs []float64) elementMesh {
	m := elementMesh{plan: p, rs: rs, zs: zs}
	part := func(i, j int) (*Solid, int) {
		switch {
		case i < 0:
			return nil, Insulated
		case i >= len(rs)-1:
			return nil, p.Side
		case j < 0:
			return nil, p.Bottom
		case j >= len(zs)-1:
			return nil, p.Top
		}
		q := p.at((rs[i]+rs[i+1])/2, (zs[j]+zs[j+1])/2)
		if q == nil {
			return nil, p.Side
		}
		return q.Solid, q.Edge
	}
	for j := 0; j < len(zs)-1; j++ {
		for i := 0; i < len(rs)-1; i++ {
			solid, _ := part(i, j)
			if solid == nil {
				continue
			}
			e := element{i: i, j: j, solid: solid}
			for f, d := range [4][2]int{{0, -1}, {1, 0}, {0, 1}, {-1, 0}} {
				e.films[f] = Insulated
				if s, edge := part(i+d[0], j+d[1]); s == nil {
					e.films[f] = edge
				}
			}
			m.elements = append(m.elements, e)
		}
	}
	return m
}

// node numbers the places of the grid of half cells.
func (m elementMesh) node(a, b int) int { return 1 + b*(2*len(m.rs)-1) + a }

func half(x []float64, a int) float64 { return (x[a/2] + x[(a+1)/2]) / 2 }

// places gives the eight nodes of an element as half-cell places: corners
// counter-clockwise, then the middles of the sides.
func (e element) places() [8][2]int {
	a, b := 2*e.i, 2*e.j
	return [8][2]int{{a, b}, {a + 2, b}, {a + 2, b + 2}, {a, b + 2}, {a + 1, b}, {a + 2, b + 1}, {a + 1, b + 2}, {a, b + 1}}
}

// input writes the problem for ccx. The edges of this test do not depend on the
// surface temperature.
func (m elementMesh) input(edges []Surround) []byte {
	var w bytes.Buffer
	used := make(map[[2]int]bool)
	for _, e := range m.elements {
		for _, p := range e.places() {
			used[p] = true
		}
	}
	fmt.Fprintln(&w, "*NODE, NSET=ALL")
	for p := range used {
		fmt.Fprintf(&w, "%d, %.10g, %.10g, 0\n", m.node(p[0], p[1]), half(m.rs, p[0]), half(m.zs, p[1]))
	}
	sets := make(map[*Solid][]int)
	fmt.Fprintln(&w, "*ELEMENT, TYPE=CAX8, ELSET=EALL")
	for n, e := range m.elements {
		fmt.Fprintf(&w, "%d", n+1)
		for _, p := range e.places() {
			fmt.Fprintf(&w, ", %d", m.node(p[0], p[1]))
		}
		fmt.Fprintln(&w)
		sets[e.solid] = append(sets[e.solid], n+1)
	}
	k := 0
	for solid, list := range sets {
		k++
		fmt.Fprintf(&w, "*ELSET, ELSET=S%d\n", k)
		for _, n := range list {
			fmt.Fprintf(&w, "%d,\n", n)
		}
		fmt.Fprintf(&w, "*MATERIAL, NAME=M%d\n*CONDUCTIVITY\n", k)
		for _, p := range solid.Conductivity {
			fmt.Fprintf(&w, "%g, %g\n", p[1], p[0])
		}
		fmt.Fprintf(&w, "*SOLID SECTION, ELSET=S%d, MATERIAL=M%d\n", k, k)
	}
	fmt.Fprintln(&w, "*INITIAL CONDITIONS, TYPE=TEMPERATURE\nALL, 400")
	fmt.Fprintln(&w, "*STEP, INC=100\n*HEAT TRANSFER, STEADY STATE\n*FILM")
	for n, e := range m.elements {
		for f, edge := range e.films {
			if edge != Insulated {
				fmt.Fprintf(&w, "%d, F%d, %.10g, %.10g\n", n+1, f+1, edges[edge](0).T, edges[edge](0).H)
			}
		}
	}
	fmt.Fprintln(&w, "*NODE PRINT, NSET=ALL\nNT\n*END STEP")
	return w.Bytes()
}

// skin integrates over the faces that see an edge, Simpson's rule on the three
// nodes of each.
func (m elementMesh) skin(t map[int]float64, edge int, edges []Surround) (loss, mean, most float64) {
	area := 0.0
	for _, e := range m.elements {
		p := e.places()
		for f, sees := range e.films {
			if sees != edge {
				continue
			}
			a, mid, b := p[f], p[4+f], p[(f+1)%4]
			length := math.Hypot(half(m.rs, a[0])-half(m.rs, b[0]), half(m.zs, a[1])-half(m.zs, b[1]))
			for k, q := range [3][2]int{a, mid, b} {
				weight := length * []float64{1, 4, 1}[k] / 6 * 2 * math.Pi * half(m.rs, q[0])
				temperature := t[m.node(q[0], q[1])]
				around := edges[edge](temperature)
				loss += weight * around.H * (temperature - around.T)
				if a[0] == b[0] && half(m.rs, a[0]) > 0.1509 {
					area += weight
					mean += weight * temperature
					most = math.Max(most, temperature)
				}
			}
		}
	}
	return loss, mean / area, most
}

// readNodes reads the nodal temperatures that ccx prints.
func readNodes(t *testing.T, path string) map[int]float64 {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	nodes := make(map[int]float64)
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		var n int
		var v float64
		if _, err := fmt.Sscan(strings.TrimSpace(lines.Text()), &n, &v); err == nil {
			nodes[n] = v
		}
	}
	if len(nodes) == 0 {
		t.Fatal("ccx printed no temperatures")
	}
	return nodes
}
