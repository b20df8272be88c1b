package fire

import (
	"math"

	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/heat"
)

// Cells of the march along the pot. Halving them changes heats by less than
// 0.1 %, far below what the coefficients leave open.
const (
	ringCells = 10
	sideCells = 10 // for each annulus
	maxCells  = 64
)

// Equations says which equations the model uses along the pot.
type Equations int

const (
	// Fitted takes the pot channel from laws fitted to a flow solver; see [FitChannel].
	Fitted Equations = iota
	// Published takes it from published correlations alone, and refers turning
	// losses to the gas that leaves a turn, as the engineering note does (key
	// modelnote). Kept to hold the program against the note, and to show what the
	// fit changes.
	Published
)

// WithEquations is the same model with other equations.
func (m *Model) WithEquations(e Equations) *Model {
	other := *m
	other.equations = e
	return &other
}

// Model is a stove with its fuel and air, made ready to be solved many times.
// It holds no state of a solution and may be used by several goroutines.
type Model struct {
	equations Equations
	law       *Law
	stove     Stove
	air       Air
	fuel      fuel.Fuel
	moisture  fuel.Moisture

	burn                  fuel.Burn
	lhv                   float64    // J/kg wet
	stoich                gas.Thermo // flue gas at an air ratio of 1
	dry                   gas.Thermo // air
	rhoAir                float64
	round                 float64 // Poiseuille number of the chamber
	throat                float64 // m, radius of the circle of the chamber's area
	bedView               float64 // exchange factor from bed to pot
	narrow                float64 // m², narrowest ring under the pot
	middle                float64 // m, mean gap under the pot's middle
	plateSlope, edgeSlope float64 // sines of the plate's rise at the throat and of the pot's bottom at its edge
	cells                 []cell
	height                float64 // m, of the whole column
	wall                  wallTable
	wallArea              float64
}

// zone tells the parts of the channel apart.
type zone int

const (
	ring zone = iota
	side
)

// cell is a piece of the channel along the pot.
type cell struct {
	zone       zone
	from, to   float64 // m, path from where the zone begins
	radius     float64 // m
	gap        float64 // m
	potArea    float64 // m²
	flowArea   float64 // m²
	outerArea  float64 // m², of the outer wall
	outerLoss  float64 // W/(m² K)
	rise       float64 // m
	before     float64 // m, gap where the zone begins: it shapes the entrance
	strength   float64 // of the entrance effect, see Law
	reThroat   float64 // Reynolds number at the throat over that here
	begin, end float64 // path along the side in gaps, over all gaps passed
}

// New makes a model. The error is a [message.InputErrors].
func New(s Stove, air Air, f fuel.Fuel, m fuel.Moisture) (*Model, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	var v complaints
	air.validate(&v)
	if err := v.list.OrNil(); err != nil {
		return nil, err
	}
	if err := f.Composition.Validate(); err != nil {
		return nil, err
	}
	mod := &Model{stove: s, air: air, fuel: f, moisture: m, burn: f.Burn(m), lhv: f.LHV(m), dry: gas.DryAir.Thermo()}
	mod.stoich = mod.burn.Flue(1).Thermo()
	mod.rhoAir = gas.Density(air.Pressure, mod.dry.M, air.Temperature)
	mod.throat = math.Sqrt(s.Chamber.Area / math.Pi)
	mod.round = heat.PoiseuilleRound
	// a section is square when its perimeter says so: 4√A against 3.545√A
	if s.Chamber.Perimeter > 3.75*math.Sqrt(s.Chamber.Area) {
		mod.round = heat.PoiseuilleSquare
	}
	mod.bedView = heat.Reradiating(1, 1, heat.CoaxialDiscs(mod.throat, mod.throat, s.Chamber.Height))
	mod.cells = make([]cell, 0, min(maxCells, ringCells+sideCells*len(s.Side)))
	mod.layBottom()
	mod.laySide()
	mod.law = &fittedLaw
	for i := range mod.cells {
		mod.law.shape(&mod.cells[i], mod)
	}
	mod.wallArea = s.Chamber.Perimeter * s.Chamber.Height
	mod.height = s.Chamber.Height
	for _, c := range mod.cells {
		mod.height += c.rise
	}
	if s.Wall.Conductance == 0 {
		t, err := newWallTable(s, air)
		if err != nil {
			return nil, err
		}
		mod.wall = t
	}
	return mod, nil
}

// Fuel and Air of the model.
func (m *Model) Fuel() (fuel.Fuel, fuel.Moisture) { return m.fuel, m.moisture }

// Air is the room of the model.
func (m *Model) Air() Air { return m.air }

// Stove is the stove of the model.
func (m *Model) Stove() Stove { return m.stove }

// layBottom cuts the gap under the pot into rings. Each ring's
// area of pot is that of the cone through its ends.
func (m *Model) layBottom() {
	s := m.stove.Bottom
	path := make([]float64, len(s))
	for i := 1; i < len(s); i++ {
		path[i] = path[i-1] + math.Hypot(s[i].Radius-s[i-1].Radius, s[i].Rise-s[i-1].Rise)
	}
	total := path[len(path)-1]
	at := func(x float64) Station {
		i := 1
		for i < len(s)-1 && path[i] < x {
			i++
		}
		f := (x - path[i-1]) / (path[i] - path[i-1])
		mix := func(a, b float64) float64 { return a + f*(b-a) }
		return Station{mix(s[i-1].Radius, s[i].Radius), mix(s[i-1].Gap, s[i].Gap), mix(s[i-1].Rise, s[i].Rise)}
	}
	// under the middle the pot hangs lower by half its rise, in the mean
	m.middle = math.Max(s[0].Gap-s[0].Rise/2, s[0].Gap/2)
	first, last := s[1], s[len(s)-1]
	pot := math.Atan2(first.Rise-s[0].Rise, first.Radius-s[0].Radius)
	m.plateSlope = math.Max(0, math.Sin(pot-math.Atan((first.Gap-s[0].Gap)/path[1])))
	m.edgeSlope = (last.Rise - s[len(s)-2].Rise) / (path[len(path)-1] - path[len(path)-2])
	m.narrow = math.Inf(1)
	for _, b := range s {
		m.narrow = math.Min(m.narrow, 2*math.Pi*b.Radius*b.Gap)
	}
	for i := 0; i < ringCells; i++ {
		x0, x1 := total*graded(i, ringCells), total*graded(i+1, ringCells)
		a, b, middle := at(x0), at(x1), at((x0+x1)/2)
		m.cells = append(m.cells, cell{zone: ring, from: x0, to: x1, radius: middle.Radius, gap: middle.Gap,
			potArea:  math.Pi * (a.Radius + b.Radius) * math.Hypot(b.Radius-a.Radius, b.Rise-a.Rise),
			flowArea: 2 * math.Pi * middle.Radius * middle.Gap, rise: b.Rise - a.Rise, before: s[0].Gap})
	}
}

// graded is the i-th of n+1 cell borders from 0 to 1, closer at the beginning.
func graded(i, n int) float64 {
	f := float64(i) / float64(n)
	return f * math.Sqrt(f)
}

// laySide cuts the annuli into cells. Those of the first are short at its
// beginning, where heat transfer and with it the skirt's temperature change fast.
func (m *Model) laySide() {
	n := sideCells
	if k := len(m.stove.Side); k > 0 {
		n = max(2, min(n, (maxCells-ringCells)/k))
	}
	radius := m.stove.Pot.Diameter / 2
	edge := m.stove.Bottom[len(m.stove.Bottom)-1].Gap
	start, reach := 0.0, 0.0
	for band, a := range m.stove.Side {
		at := func(i int) float64 {
			if band == 0 {
				return a.Length * graded(i, n)
			}
			return a.Length * float64(i) / float64(n)
		}
		for i := 0; i < n; i++ {
			from, to := at(i), at(i+1)
			length := to - from
			gap := a.GapBottom + (from+to)/2/a.Length*(a.GapTop-a.GapBottom)
			m.cells = append(m.cells, cell{zone: side, from: start + from, to: start + to, radius: radius, gap: gap, begin: reach, end: reach + length/gap,
				potArea: 2 * math.Pi * radius * length, flowArea: math.Pi * gap * (2*radius + gap),
				outerArea: 2 * math.Pi * (radius + gap) * length, outerLoss: a.OuterLoss, rise: length, before: edge})
			reach += length / gap
		}
		start += a.Length
	}
}

// wallTable is the steady conductance of the chamber's wall from its inner face
// to the air, W/K, at a few temperatures of that face.
type wallTable struct{ g [4]float64 }

// faceTemperatures are those of the wall table, K, evenly spaced.
var faceTemperatures = [4]float64{400, 800, 1200, 1600}

func newWallTable(s Stove, air Air) (wallTable, error) {
	var t wallTable
	inner := s.Chamber.Perimeter / (2 * math.Pi)
	outer := inner
	for _, l := range s.Wall.Layers {
		outer += l.Thickness
	}
	skin := air.Temperature + 20
	for i, face := range faceTemperatures {
		// the skin that the wall gives for the film that a skin gives, by secants
		before, miss := skin, math.NaN()
		for round := 0; round < 50; round++ {
			ho := heat.OuterVertical(skin, air.Temperature, math.Max(s.Wall.BodyHeight, s.Chamber.Height), s.Wall.Emissivity, air.Pressure)
			c, err := heat.SolveSteadyCylinder(inner, s.Wall.Layers, math.Inf(1), face, ho, air.Temperature)
			if err != nil {
				return t, err
			}
			t.g[i] = c.PerLength * s.Chamber.Height / (face - air.Temperature)
			now := c.Faces[len(c.Faces)-1] - skin
			if math.Abs(now) < 1e-3 {
				break
			}
			slope := (now - miss) / (skin - before)
			if !(slope < -0.5) { // the first round: a warmer skin has a better film
				slope = -1.5
			}
			before, miss = skin, now
			skin -= now / slope
		}
	}
	return t, nil
}

// conductance is linear between the tabulated temperatures and beyond them.
func (t *wallTable) conductance(face float64) float64 {
	x := (face - faceTemperatures[0]) / (faceTemperatures[1] - faceTemperatures[0])
	i := int(math.Min(math.Max(x, 0), 2))
	return t.g[i] + (x-float64(i))*(t.g[i+1]-t.g[i])
}

// WallLink is how the chamber's wall takes heat from the gas: conductance × (gas
// - effective). The zero value stands for the wall warmed through.
type WallLink struct {
	Conductance float64 // W/K
	Effective   float64 // K
}

// steadyLink is the wall warmed through, with gas at a temperature.
func (m *Model) steadyLink(film, gasT float64) WallLink {
	ta := m.air.Temperature
	if g := m.stove.Wall.Conductance; g > 0 {
		return WallLink{g, ta}
	}
	inner := film * m.wallArea
	face := ta + 0.9*(gasT-ta)
	g := 0.0
	for round := 0; round < 3; round++ {
		w := m.wall.conductance(face)
		g = inner * w / (inner + w)
		face = gasT - g*(gasT-ta)/inner
	}
	return WallLink{g, ta}
}
