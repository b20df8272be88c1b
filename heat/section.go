package heat

import (
	"errors"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// Part is a ring of rectangular section, from radius R0 to R1 and height Z0 to
// Z1 in m, filled with a solid or with gas.
type Part struct {
	R0, R1, Z0, Z1 float64
	Solid          *Solid // nil for gas
	Edge           int    // for gas: which edge its walls see
}

// Plan lays out the section of a round body. Where parts overlap the later one
// holds. The box of all parts is the body; its axis is a line of symmetry.
type Plan struct {
	Parts             []Part
	Cell              float64 // largest cell, m
	Side, Top, Bottom int     // edges that the outside of the box sees
}

// Insulated is an edge that lets no heat pass.
const Insulated = -1

// Surround gives the edge that a surface sees at its own temperature in K; free
// convection and radiation depend on it.
type Surround func(surface float64) Edge

// Around is a Surround that does not depend on the surface.
func Around(h, t float64) Surround { return func(float64) Edge { return Edge{h, t} } }

// Section is heat conduction in the (r, z) section of a round body: brick, fill,
// sheet, base and rings, with the chamber, an opening or the air as gas. Finite
// volumes on a grid of rectangles; steady, or in time by backward Euler and
// Crank–Nicolson as in [Wall].
type Section struct {
	T []float64 // K, one for each cell of solid

	cells []sectionCell
	links []link
	rims  []rim
	width int // bandwidth of the equations
	start int
	flow  map[int]float64 // mean heat out of the body through each edge in the last step, W
}

type sectionCell struct {
	r0, r1, z0, z1 float64
	solid          *Solid
	volume         float64
}

// link joins two cells; ga and gb are the conductances of their halves for
// material of conductivity 1, in m.
type link struct {
	a, b   int
	ga, gb float64
}

// rim is a cell face towards an edge.
type rim struct {
	cell, edge int
	g, area    float64
	r, z       float64 // middle of the face
}

var errPlan = errors.New("heat: a section needs a cell size and solid parts of positive size, conductivity, density and heat")

// NewSection makes a section at a uniform temperature in K.
func NewSection(p Plan, t float64) (*Section, error) {
	rs, zs, err := p.grid()
	if err != nil {
		return nil, err
	}
	s := &Section{flow: make(map[int]float64)}
	nr, nz := len(rs)-1, len(zs)-1
	number := make([]int, nr*nz) // of the solid cell, or gasCode
	for j := 0; j < nz; j++ {
		for i := 0; i < nr; i++ {
			part := p.at((rs[i]+rs[i+1])/2, (zs[j]+zs[j+1])/2)
			switch {
			case part == nil:
				number[j*nr+i] = gasCode(p.Side)
			case part.Solid == nil:
				number[j*nr+i] = gasCode(part.Edge)
			default:
				number[j*nr+i] = len(s.cells)
				s.cells = append(s.cells, sectionCell{rs[i], rs[i+1], zs[j], zs[j+1], part.Solid,
					math.Pi * (rs[i+1]*rs[i+1] - rs[i]*rs[i]) * (zs[j+1] - zs[j])})
			}
		}
	}
	for j := 0; j < nz; j++ {
		for i := 0; i < nr; i++ {
			here, right, above := number[j*nr+i], gasCode(p.Side), gasCode(p.Top)
			if i < nr-1 {
				right = number[j*nr+i+1]
			}
			if j < nz-1 {
				above = number[(j+1)*nr+i]
			}
			s.join(here, right, true)
			s.join(here, above, false)
			if j == 0 {
				s.join(gasCode(p.Bottom), here, false)
			}
		}
	}
	if len(s.cells) == 0 {
		return nil, errPlan
	}
	s.T = make([]float64, len(s.cells))
	s.Reset(t)
	return s, nil
}

// gasCode turns the number of an edge into a cell number below zero and back.
func gasCode(n int) int { return -2 - n }

// grid lays lines through the borders of all parts, closer than a cell apart.
func (p Plan) grid() (rs, zs []float64, err error) {
	for _, part := range p.Parts {
		if !(part.R0 >= 0 && part.R1 > part.R0 && part.Z1 > part.Z0) || (part.Solid != nil && !part.Solid.valid()) {
			return nil, nil, errPlan
		}
		rs = append(rs, part.R0, part.R1)
		zs = append(zs, part.Z0, part.Z1)
	}
	if !(p.Cell > 0) || len(rs) == 0 {
		return nil, nil, errPlan
	}
	return subdivide(rs, p.Cell), subdivide(zs, p.Cell), nil
}

// subdivide sorts lines, drops doubles and fills gaps with cells that crowd
// towards the lines, where materials and edges change and heat turns corners.
func subdivide(lines []float64, most float64) []float64 {
	sort.Float64s(lines)
	const same = 1e-9 // m
	out := lines[:1:1]
	for _, x := range lines[1:] {
		last := out[len(out)-1]
		if x-last < same {
			continue
		}
		n := math.Ceil((x-last)/most - 1e-9)
		for k := 1.0; k <= n; k++ {
			out = append(out, last+(x-last)*(1-math.Cos(math.Pi*k/n))/2)
		}
	}
	return out
}

func (p Plan) at(r, z float64) *Part {
	for i := len(p.Parts) - 1; i >= 0; i-- {
		q := &p.Parts[i]
		if r > q.R0 && r < q.R1 && z > q.Z0 && z < q.Z1 {
			return q
		}
	}
	return nil
}

// join notes the face between two neighbours, inner or lower one first; negative
// numbers are gas.
func (s *Section) join(a, b int, radial bool) {
	switch {
	case a >= 0 && b >= 0:
		s.links = append(s.links, link{a, b, s.half(a, radial, true), s.half(b, radial, false)})
		s.width = max(s.width, b-a)
	case a >= 0 && gasCode(b) != Insulated:
		s.rims = append(s.rims, s.rim(a, gasCode(b), radial, true))
	case b >= 0 && gasCode(a) != Insulated:
		s.rims = append(s.rims, s.rim(b, gasCode(a), radial, false))
	}
}

// half is the conductance from the middle of a cell to its outer or inner, upper
// or lower face for conductivity 1: face area over distance, which is of second
// order on the axis as well, where the logarithm of a thick pipe is not.
func (s *Section) half(n int, radial, outer bool) float64 {
	c := s.cells[n]
	switch {
	case !radial:
		return 2 * math.Pi * (c.r1*c.r1 - c.r0*c.r0) / (c.z1 - c.z0)
	case outer:
		return 4 * math.Pi * c.r1 * (c.z1 - c.z0) / (c.r1 - c.r0)
	}
	return 4 * math.Pi * c.r0 * (c.z1 - c.z0) / (c.r1 - c.r0)
}

func (s *Section) rim(n, edge int, radial, outer bool) rim {
	c := s.cells[n]
	f := rim{cell: n, edge: edge, g: s.half(n, radial, outer)}
	if radial {
		f.r, f.z = c.r0, (c.z0+c.z1)/2
		if outer {
			f.r = c.r1
		}
		f.area = 2 * math.Pi * f.r * (c.z1 - c.z0)
		return f
	}
	f.r, f.z = (c.r0+c.r1)/2, c.z0
	if outer {
		f.z = c.z1
	}
	f.area = math.Pi * (c.r1*c.r1 - c.r0*c.r0)
	return f
}

// Reset sets the whole body to one temperature in K.
func (s *Section) Reset(t float64) {
	for i := range s.T {
		s.T[i] = t
	}
	s.start = startSteps
}

// Restart tells the section that its edges are about to jump.
func (s *Section) Restart() { s.start = startSteps }

// Cells is the number of solid cells.
func (s *Section) Cells() int { return len(s.cells) }

// errSection says that the equations of a section could not be solved.
var errSection = errors.New("heat: section did not converge; is it insulated all round?")

// Steady brings the section to the state that no longer changes. Each edge is a
// [Surround] by its number.
func (s *Section) Steady(edges []Surround) error {
	for iteration := 0; iteration < 100; iteration++ {
		old := append([]float64(nil), s.T...)
		if err := s.advance(math.Inf(1), 1, edges); err != nil {
			return err
		}
		change := 0.0
		for i, t := range s.T {
			change = math.Max(change, math.Abs(t-old[i]))
		}
		if change < settled {
			return nil
		}
	}
	return errSection
}

// Step advances the section by dt seconds.
func (s *Section) Step(dt float64, edges []Surround) error {
	if s.start == 0 {
		return s.advance(dt, 0.5, edges)
	}
	n := s.start
	s.start = 0
	total := make(map[int]float64)
	for k := 0; k < n; k++ {
		if err := s.advance(dt/float64(n), 1, edges); err != nil {
			return err
		}
		for edge, q := range s.flow {
			total[edge] += q / float64(n)
		}
	}
	s.flow = total
	return nil
}

// advance solves (C/dt + θK) T′ = (C/dt - (1-θ)K) T + edges, with conductivities
// and coefficients at the temperatures of the start.
func (s *Section) advance(dt, theta float64, edges []Surround) error {
	n := len(s.cells)
	a := mat.NewSymBandDense(n, s.width, nil)
	rhs := make([]float64, n)
	add := func(i int, v float64) { a.SetSymBand(i, i, a.At(i, i)+v) }
	k := make([]float64, n)
	for i, c := range s.cells {
		k[i] = c.solid.Conductivity.At(s.T[i])
		m := c.volume * c.solid.Density * c.solid.Heat / dt
		add(i, m)
		rhs[i] += m * s.T[i]
	}
	for _, l := range s.links {
		g := 1 / (1/(l.ga*k[l.a]) + 1/(l.gb*k[l.b]))
		add(l.a, theta*g)
		add(l.b, theta*g)
		a.SetSymBand(l.a, l.b, a.At(l.a, l.b)-theta*g)
		q := (1 - theta) * g * (s.T[l.a] - s.T[l.b])
		rhs[l.a] -= q
		rhs[l.b] += q
	}
	conductance, outside := make([]float64, len(s.rims)), make([]float64, len(s.rims))
	for f, r := range s.rims {
		e := edges[r.edge](s.surface(r, edges, k[r.cell]))
		conductance[f], outside[f] = series(r.g*k[r.cell], e.H*r.area), e.T
		add(r.cell, theta*conductance[f])
		rhs[r.cell] += conductance[f] * (e.T - (1-theta)*s.T[r.cell])
	}
	old := append([]float64(nil), s.T...)
	var chol mat.BandCholesky
	if !chol.Factorize(a) {
		return errSection
	}
	if err := chol.SolveVecTo(mat.NewVecDense(n, s.T), mat.NewVecDense(n, rhs)); err != nil {
		return errSection
	}
	clear(s.flow)
	for f, r := range s.rims {
		mean := theta*s.T[r.cell] + (1-theta)*old[r.cell]
		s.flow[r.edge] += conductance[f] * (mean - outside[f])
	}
	return nil
}

// surface is the temperature of a rim with its surround taken at that
// temperature; three rounds settle it to well below a kelvin.
func (s *Section) surface(r rim, edges []Surround, k float64) float64 {
	t := s.T[r.cell]
	for round := 0; round < 3; round++ {
		e := edges[r.edge](t)
		t = surface(r.g*k, e.H*r.area, s.T[r.cell], e.T)
	}
	return t
}

// Out is the mean heat in W that left the body through an edge in the last step
// or in the steady state.
func (s *Section) Out(edge int) float64 { return s.flow[edge] }

// Stored is the heat in J that the body holds above a temperature in K.
func (s *Section) Stored(reference float64) float64 {
	sum := 0.0
	for i, c := range s.cells {
		sum += c.volume * c.solid.Density * c.solid.Heat * (s.T[i] - reference)
	}
	return sum
}

// Spot is one place on a surface.
type Spot struct{ R, Z, Area, T float64 }

// Surface lists the places of the body's surface that see an edge, with their
// temperatures in K.
func (s *Section) Surface(edge int, edges []Surround) []Spot {
	var list []Spot
	for _, r := range s.rims {
		if r.edge == edge {
			k := s.cells[r.cell].solid.Conductivity.At(s.T[r.cell])
			list = append(list, Spot{r.r, r.z, r.area, s.surface(r, edges, k)})
		}
	}
	return list
}

// At is the temperature in K of the solid cell that holds a place, NaN in gas.
func (s *Section) At(r, z float64) float64 {
	for i, c := range s.cells {
		if r >= c.r0 && r <= c.r1 && z >= c.z0 && z <= c.z1 {
			return s.T[i]
		}
	}
	return math.NaN()
}
