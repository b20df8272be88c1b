package heat

import (
	"errors"
	"math"

	"stovewright/internal/num"
)

// defaultCells is how many cells a layer gets that does not say; enough for
// 1e-4 of the temperature step in a brick lining.
const defaultCells = 20

// startSteps is how many backward Euler steps replace the first Crank–Nicolson
// step after a jump; they damp the ripples that it would leave (key rannacher1984).
const startSteps = 4

// Wall is a wall whose temperatures change in time: layers around a cylinder, or
// a flat slab, one cell row across. Finite volumes with conductances exact for
// the geometry, Crank–Nicolson in time: second order in both.
//
// The wall is solved together with the gas that heats it. Over one step the mean
// heat it takes is a straight line in the gas temperature; [Wall.Respond] gives
// that line, the gas is solved against it, and [Wall.Commit] completes the step.
type Wall struct {
	T []float64 // K, cell temperatures from the inside outwards

	shape      shape
	fixed      bool      // conductivities do not change with temperature
	faces      []float64 // positions of the cell faces, m
	cells      []cell
	innerArea  float64
	outerArea  float64
	conduct    []float64 // W/K between cells i and i+1
	innerHalf  float64   // W/K from the inner face to cell 0
	outerHalf  float64   // W/K from the last cell to the outer face
	previous   []float64 // temperatures one step ago, to look ahead with
	start      int       // backward Euler steps still due
	pending    response
	lower      []float64
	diag       []float64
	upper      []float64
	base, gain []float64 // new temperatures = base + gain × gas temperature
	oldBase    []float64
	oldGain    []float64
	ahead      []float64
}

type cell struct {
	layer    *Layer
	centre   float64
	capacity float64 // J/K
}

// response is what Respond worked out for Commit.
type response struct {
	ready        bool
	dt           float64
	inner, outer Edge
	conductance  float64
	effective    float64
	outerBase    float64 // mean heat to the outside: base + gain × gas temperature
	outerGain    float64
}

// Edge is what a face of a wall sees: a temperature in K through a coefficient in
// W/(m² K). A coefficient of +Inf fixes the face, 0 insulates it.
type Edge struct{ H, T float64 }

// shape gives areas, volumes and conductances of one geometry.
type shape struct {
	round bool
	size  float64 // height of a cylinder in m, area of a slab in m²
}

func (s shape) area(x float64) float64 {
	if s.round {
		return 2 * math.Pi * x * s.size
	}
	return s.size
}

func (s shape) volume(a, b float64) float64 {
	if s.round {
		return math.Pi * (b*b - a*a) * s.size
	}
	return (b - a) * s.size
}

// resistance is that of material of conductivity 1 between a and b.
func (s shape) resistance(a, b float64) float64 {
	if s.round {
		return math.Log(b/a) / (2 * math.Pi * s.size)
	}
	return (b - a) / s.size
}

var errLayers = errors.New("heat: a wall needs layers of positive thickness, conductivity, density and heat")

// NewCylinder makes a round wall of the given inner radius and height in m, at a
// uniform temperature in K. An inner radius of zero makes a solid cylinder.
func NewCylinder(inner, height float64, layers []Layer, t float64) (*Wall, error) {
	return newWall(shape{true, height}, inner, layers, t)
}

// NewSlab makes a flat wall of the given area in m², at a uniform temperature in K.
func NewSlab(area float64, layers []Layer, t float64) (*Wall, error) {
	return newWall(shape{false, area}, 0, layers, t)
}

func newWall(s shape, inner float64, layers []Layer, t float64) (*Wall, error) {
	if len(layers) == 0 || !(s.size > 0) || !(inner >= 0) {
		return nil, errLayers
	}
	layers = append([]Layer(nil), layers...)
	w := &Wall{shape: s, fixed: true, faces: []float64{inner}}
	x := inner
	for i := range layers {
		l := &layers[i]
		if !(l.Thickness > 0) || !l.valid() {
			return nil, errLayers
		}
		n := l.Cells
		if n <= 0 {
			n = defaultCells
		}
		for k := 1; k <= n; k++ {
			a, b := w.faces[len(w.faces)-1], x+l.Thickness*float64(k)/float64(n)
			w.faces = append(w.faces, b)
			w.cells = append(w.cells, cell{l, (a + b) / 2, s.volume(a, b) * l.Density * l.Heat})
		}
		w.fixed = w.fixed && len(l.Conductivity) == 1
		x += l.Thickness
	}
	w.innerArea, w.outerArea = s.area(inner), s.area(x)
	n := len(w.cells)
	for _, v := range []*[]float64{&w.T, &w.conduct, &w.previous, &w.lower, &w.diag, &w.upper, &w.base, &w.gain, &w.oldBase, &w.oldGain, &w.ahead} {
		*v = make([]float64, n)
	}
	w.Reset(t)
	w.setConductances()
	return w, nil
}

// Reset sets the whole wall to one temperature in K.
func (w *Wall) Reset(t float64) {
	for i := range w.T {
		w.T[i] = t
	}
	w.Restart()
}

// Restart tells the wall that its edges are about to jump: a fire is lit or put
// out. The next step is then taken with damping.
func (w *Wall) Restart() {
	copy(w.previous, w.T)
	w.start = startSteps
	w.pending.ready = false
}

// Respond prepares a step of dt seconds in which the inner face sees gas through
// a coefficient hInner and the outer face sees outer. The mean heat in W that
// the wall takes from gas at temperature t is conductance × (t - effective).
func (w *Wall) Respond(dt, hInner float64, outer Edge) (conductance, effective float64) {
	for i, t := range w.T {
		w.ahead[i] = 1.5*t - 0.5*w.previous[i]
	}
	return w.respond(dt, hInner, outer)
}

// respond is Respond with conductivities at the temperatures in ahead.
func (w *Wall) respond(dt, hInner float64, outer Edge) (conductance, effective float64) {
	if !w.fixed {
		w.setConductances()
	}
	for i := range w.base {
		w.base[i], w.gain[i] = w.T[i], 0
	}
	inner := Edge{H: hInner}
	var takenBase, takenGain, outBase, outGain float64
	steps, theta := 1, 0.5
	if w.start > 0 {
		steps, theta = startSteps, 1
	}
	for k := 0; k < steps; k++ {
		a, b, c, d := w.advance(dt/float64(steps), theta, inner, outer)
		takenBase, takenGain = takenBase+a/float64(steps), takenGain+b/float64(steps)
		outBase, outGain = outBase+c/float64(steps), outGain+d/float64(steps)
	}
	w.pending = response{ready: true, dt: dt, inner: inner, outer: outer, conductance: takenGain, effective: -takenBase / takenGain,
		outerBase: outBase, outerGain: outGain}
	if takenGain == 0 { // an insulated inner face takes nothing at any temperature
		w.pending.effective = w.T[0]
	}
	return w.pending.conductance, w.pending.effective
}

// Flow is the heat of one step: mean heat in W into the inner face and out of
// the outer one.
type Flow struct{ In, Out float64 }

// Commit completes the step that [Wall.Respond] prepared, with the temperature
// in K the gas turned out to have. It panics without a prepared step.
func (w *Wall) Commit(gas float64) Flow {
	if !w.pending.ready {
		panic("heat: Commit without Respond")
	}
	copy(w.previous, w.T)
	for i := range w.T {
		w.T[i] = w.base[i] + w.gain[i]*gas
	}
	w.start, w.pending.ready = 0, false
	return Flow{In: w.pending.conductance * (gas - w.pending.effective), Out: w.pending.outerBase + w.pending.outerGain*gas}
}

// Step advances the wall by dt seconds between two edges. Conductivities are
// brought to the middle of the step by repeating it until they settle.
func (w *Wall) Step(dt float64, inner, outer Edge) Flow {
	w.Respond(dt, inner.H, outer)
	for try := 0; !w.fixed && try < 20 && w.lookAgain(inner.T) > settled; try++ {
		w.respond(dt, inner.H, outer)
	}
	return w.Commit(inner.T)
}

// settled is the change of a temperature in K below which conductivities are not
// taken again.
const settled = 1e-6

// lookAgain takes the middle of the prepared step as the temperatures to look
// conductivities up at, and returns the largest change.
func (w *Wall) lookAgain(gas float64) float64 {
	change := 0.0
	for i, t := range w.T {
		middle := (t + w.base[i] + w.gain[i]*gas) / 2
		change = math.Max(change, math.Abs(middle-w.ahead[i]))
		w.ahead[i] = middle
	}
	return change
}

// setConductances takes conductivities at the temperatures in ahead, those of the
// middle of the coming step as far as they are known; this keeps second order.
func (w *Wall) setConductances() {
	k := func(i int) float64 { return w.cells[i].layer.Conductivity.At(w.ahead[i]) }
	n := len(w.cells)
	for i := 0; i < n-1; i++ {
		a, b, face := w.cells[i], w.cells[i+1], w.faces[i+1]
		r := w.shape.resistance(a.centre, face)/k(i) + w.shape.resistance(face, b.centre)/k(i+1)
		if a.layer != b.layer {
			r += b.layer.Contact / w.shape.area(face)
		}
		w.conduct[i] = 1 / r
	}
	w.innerHalf = 0
	if w.innerArea > 0 {
		w.innerHalf = 1 / (w.shape.resistance(w.faces[0], w.cells[0].centre)/k(0) + w.cells[0].layer.Contact/w.innerArea)
	}
	w.outerHalf = k(n-1) / w.shape.resistance(w.cells[n-1].centre, w.faces[n])
}

// series is the conductance of a half cell and a surface coefficient together.
func series(half, hA float64) float64 {
	switch {
	case half == 0 || hA == 0:
		return 0
	case math.IsInf(hA, 1):
		return half
	}
	return half * hA / (half + hA)
}

// advance takes one step of the theta scheme for base and gain together. It
// returns the mean heat in at the inner and out at the outer face, each as base
// and gain.
func (w *Wall) advance(dt, theta float64, inner, outer Edge) (inBase, inGain, outBase, outGain float64) {
	n := len(w.cells)
	gInner := series(w.innerHalf, inner.H*w.innerArea)
	gOuter := series(w.outerHalf, outer.H*w.outerArea)
	copy(w.oldBase, w.base)
	copy(w.oldGain, w.gain)
	for i, c := range w.cells {
		left, right := gInner, gOuter
		if i > 0 {
			left = w.conduct[i-1]
		}
		if i < n-1 {
			right = w.conduct[i]
		}
		m := c.capacity / dt
		w.lower[i], w.upper[i], w.diag[i] = -theta*left, -theta*right, m+theta*(left+right)
		w.base[i] = m*w.oldBase[i] + (1-theta)*w.gather(w.oldBase, i, left, right)
		w.gain[i] = m*w.oldGain[i] + (1-theta)*w.gather(w.oldGain, i, left, right)
	}
	// the edges act over the whole step: gas temperature 1 in the gain, outer air in the base
	w.gain[0] += gInner
	w.base[n-1] += gOuter * outer.T
	num.SolveTridiagonal(w.lower, w.diag, w.upper, w.base, w.gain)
	mean := func(old, now float64) float64 { return (1-theta)*old + theta*now }
	inBase = -gInner * mean(w.oldBase[0], w.base[0])
	inGain = gInner * (1 - mean(w.oldGain[0], w.gain[0]))
	outBase = gOuter * (mean(w.oldBase[n-1], w.base[n-1]) - outer.T)
	outGain = gOuter * mean(w.oldGain[n-1], w.gain[n-1])
	return inBase, inGain, outBase, outGain
}

// gather is the heat that flows into cell i from its neighbours, edges at zero.
func (w *Wall) gather(t []float64, i int, left, right float64) float64 {
	q := -(left + right) * t[i]
	if i > 0 {
		q += left * t[i-1]
	}
	if i < len(t)-1 {
		q += right * t[i+1]
	}
	return q
}

// InnerSurface is the temperature of the inner face in K when it sees an edge.
func (w *Wall) InnerSurface(e Edge) float64 {
	return surface(w.innerHalf, e.H*w.innerArea, w.T[0], e.T)
}

// OuterSurface is the temperature of the outer face in K when it sees an edge.
func (w *Wall) OuterSurface(e Edge) float64 {
	return surface(w.outerHalf, e.H*w.outerArea, w.T[len(w.T)-1], e.T)
}

func surface(half, hA, inside, outside float64) float64 {
	if math.IsInf(hA, 1) {
		return outside
	}
	return (half*inside + hA*outside) / (half + hA)
}

// At is the temperature in K at a distance from the inner face in m, linear
// between cell centres; the faces need [Wall.InnerSurface] and
// [Wall.OuterSurface].
func (w *Wall) At(depth float64) float64 {
	x := w.faces[0] + depth
	for i := 1; i < len(w.cells); i++ {
		a, b := w.cells[i-1].centre, w.cells[i].centre
		if x <= b {
			return w.between(i, a, b, x)
		}
	}
	return w.T[len(w.T)-1]
}

// between follows the heat flow from one cell centre to the next, through the
// face between them, so that a joint of two layers is met exactly.
func (w *Wall) between(i int, a, b, x float64) float64 {
	ka, kb := w.cells[i-1].layer.Conductivity.At(w.T[i-1]), w.cells[i].layer.Conductivity.At(w.T[i])
	face := w.faces[i]
	joint := 0.0
	if w.cells[i-1].layer != w.cells[i].layer {
		joint = w.cells[i].layer.Contact / w.shape.area(face)
	}
	total := w.shape.resistance(a, face)/ka + joint + w.shape.resistance(face, b)/kb
	r := w.shape.resistance(a, math.Min(x, face)) / ka
	if x > face {
		r += joint + w.shape.resistance(face, x)/kb
	}
	return w.T[i-1] + (w.T[i]-w.T[i-1])*r/total
}

// Stored is the heat in J that the wall holds above a temperature in K.
func (w *Wall) Stored(reference float64) float64 {
	sum := 0.0
	for i, c := range w.cells {
		sum += c.capacity * (w.T[i] - reference)
	}
	return sum
}
