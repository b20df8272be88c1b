package explore

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
)

// Variable is one thing that a search may set.
type Variable struct {
	Key     string
	Low     float64
	High    float64
	Step    float64  // of the tool in the hand; 0 for any value, 1 for whole numbers
	Options []string // words to choose from; the value is the place in the list
	Grows   float64  // exponent by which the number grows with the fire, see Search; 0 for none
}

// Individual is one design of a search with what became of it. Objectives are to
// be small; a violation above zero says by how much limits are broken.
type Individual struct {
	X          []float64
	Objectives Values
	Violation  float64

	rank     int
	crowding float64
}

// Evolution is a search by non-dominated sorting (NSGA-II: Deb, Pratap, Agarwal
// and Meyarivan, key deb2002fast). Children are made by simulated binary crossover
// (Deb and Agrawal, key deb1995simulated) or by a step along the difference of two
// others (Storn and Price, key storn1997differential), which follows dimensions that
// must change together; all by polynomial mutation, choices crossed and drawn anew
// word by word. Two things differ from the classic method: where a front is cut, the
// crowded go little by little, so that their neighbours can stay; and whatever was
// ever found and is beaten by nobody is kept in an archive.
type Evolution struct {
	Variables   []Variable
	Population  int // even
	Generations int
	Seed        uint64

	Generation int // done so far
	Parents    []Individual
	Archive    []Individual
	Planned    [][]float64 // designs that the generation at hand begins with

	way []float64 // values that all designs have, NaN where they may differ; nil for none
}

// Parameters of the operators: the first three as their authors give them, the
// others found by trial on test functions and examples.
const (
	crossoverSpread = 15.0
	mutationSpread  = 20.0
	crossoverShare  = 0.9 // of the pairs that make no step
	stepShare       = 0.3 // of pairs
	steppedShare    = 0.3 // of the numbers of a design
	neighbours      = 6   // drawn, of which the nearest is taken
)

// child is design i of the generation at hand. The first generation is spread
// evenly over the space, drawn in towards the first of the designs that it is
// started with by more or less.
func (e *Evolution) child(i int, starts [][]float64) []float64 {
	if e.Generation == 0 {
		if i < len(starts) {
			return e.round(slices.Clone(starts[i]))
		}
		x := e.scattered(i)
		if len(starts) > 0 {
			e.drawIn(x, starts[0], float64(i)/float64(e.Population))
		}
		return e.round(x)
	}
	if i < len(e.Planned) {
		return slices.Clone(e.Planned[i])
	}
	r := stream(e.Seed, uint64(e.Generation), uint64(i/2))
	a, b := e.parent(r), e.parent(r)
	one, two := slices.Clone(a.X), slices.Clone(b.X)
	switch u := r.Float64(); {
	case u < stepShare:
		copy(two, one)
		e.step(r, one, two, e.near(r, a), e.near(r, a))
	case u < stepShare+(1-stepShare)*crossoverShare:
		e.cross(r, one, two)
	}
	e.mutate(r, one)
	e.mutate(r, two)
	if i%2 == 1 {
		one = two
	}
	return e.round(one)
}

// drawIn moves a design to a start; far is the share of the way that is left.
func (e *Evolution) drawIn(x, start []float64, far float64) {
	for k, v := range e.Variables {
		if v.Options == nil {
			x[k] = start[k] + far*(x[k]-start[k])
		}
	}
}

// scattered is a point of a Latin hypercube: each variable's range in as many
// slices as there are designs, each slice once (McKay and others, key
// mckay1979comparison).
func (e *Evolution) scattered(i int) []float64 {
	x := make([]float64, len(e.Variables))
	for k, v := range e.Variables {
		slice := stream(e.Seed, 0, uint64(k)).Perm(e.Population)[i]
		u := (float64(slice) + stream(e.Seed, 1<<32, uint64(k), uint64(i)).Float64()) / float64(e.Population)
		x[k] = v.Low + u*(v.High-v.Low)
		if v.Options != nil {
			x[k] = math.Min(math.Floor(u*float64(len(v.Options))), float64(len(v.Options)-1))
		}
	}
	return x
}

// parent is the better of two drawn at random.
func (e *Evolution) parent(r *rand.Rand) *Individual {
	a, b := &e.Parents[r.IntN(len(e.Parents))], &e.Parents[r.IntN(len(e.Parents))]
	if b.rank < a.rank || b.rank == a.rank && b.crowding > a.crowding {
		return b
	}
	return a
}

// near is the nearest to a design of a few drawn at random.
func (e *Evolution) near(r *rand.Rand, a *Individual) *Individual {
	best := e.parent(r)
	for range neighbours - 1 {
		if p := e.parent(r); e.far(a, p) < e.far(a, best) {
			best = p
		}
	}
	return best
}

// far is the square of the distance of two designs, each variable over its range;
// infinite between a design and itself.
func (e *Evolution) far(a, b *Individual) float64 {
	d := 0.0
	for k, v := range e.Variables {
		switch {
		case v.Options == nil && v.High > v.Low:
			d += math.Pow((a.X[k]-b.X[k])/(v.High-v.Low), 2)
		case a.X[k] != b.X[k]:
			d++
		}
	}
	if d == 0 {
		return math.Inf(1)
	}
	return d
}

// step moves one of two equal designs forward along a difference of two others, the
// other back.
func (e *Evolution) step(r *rand.Rand, one, two []float64, from, to *Individual) {
	length := r.Float64()
	for k, v := range e.Variables {
		if v.Options != nil {
			continue
		}
		by := length * (to.X[k] - from.X[k])
		if r.Float64() < steppedShare {
			one[k] = clamp(one[k]+by, v.Low, v.High)
		}
		if r.Float64() < steppedShare {
			two[k] = clamp(two[k]-by, v.Low, v.High)
		}
	}
}

// cross mixes two designs, variable by variable.
func (e *Evolution) cross(r *rand.Rand, a, b []float64) {
	for k, v := range e.Variables {
		if r.Float64() < 0.5 {
			continue
		}
		if v.Options != nil {
			a[k], b[k] = b[k], a[k]
			continue
		}
		a[k], b[k] = simulatedBinary(r, a[k], b[k], v.Low, v.High)
	}
}

// simulatedBinary crosses two numbers as a single cut of their bits would spread
// them, within bounds: the spread β has the density ½(η+1)β^η inside the parents
// and ½(η+1)β^-(η+2) outside.
func simulatedBinary(r *rand.Rand, a, b, low, high float64) (float64, float64) {
	if math.Abs(a-b) <= 1e-14*(high-low) {
		return a, b
	}
	x1, x2 := math.Min(a, b), math.Max(a, b)
	u := r.Float64()
	spread := func(room float64) float64 {
		alpha := 2 - math.Pow(1+2*room/(x2-x1), -(crossoverSpread+1))
		if u <= 1/alpha {
			return math.Pow(u*alpha, 1/(crossoverSpread+1))
		}
		return math.Pow(1/(2-u*alpha), 1/(crossoverSpread+1))
	}
	c1 := clamp((x1+x2-spread(x1-low)*(x2-x1))/2, low, high)
	c2 := clamp((x1+x2+spread(high-x2)*(x2-x1))/2, low, high)
	if r.Float64() < 0.5 {
		c1, c2 = c2, c1
	}
	return c1, c2
}

// mutate changes one variable in the mean: a number by a polynomial step, a
// choice to another word.
func (e *Evolution) mutate(r *rand.Rand, x []float64) {
	share := 1 / float64(len(e.Variables))
	for k, v := range e.Variables {
		if r.Float64() >= share || v.High == v.Low && v.Options == nil {
			continue
		}
		if n := len(v.Options); n > 0 {
			if n > 1 {
				x[k] = math.Mod(x[k]+1+float64(r.IntN(n-1)), float64(n))
			}
			continue
		}
		width, u := v.High-v.Low, r.Float64()
		if u < 0.5 {
			room := 1 - (x[k]-v.Low)/width
			x[k] += (math.Pow(2*u+(1-2*u)*math.Pow(room, mutationSpread+1), 1/(mutationSpread+1)) - 1) * width
		} else {
			room := 1 - (v.High-x[k])/width
			x[k] += (1 - math.Pow(2*(1-u)+(2*u-1)*math.Pow(room, mutationSpread+1), 1/(mutationSpread+1))) * width
		}
		x[k] = clamp(x[k], v.Low, v.High)
	}
}

func clamp(x, low, high float64) float64 { return math.Min(math.Max(x, low), high) }

// round puts a design on the steps of its tools, within the bounds, and gives it
// what all designs have; what grows with the fire is rounded when it has.
func (e *Evolution) round(x []float64) []float64 {
	for k, v := range e.Variables {
		switch {
		case e.way != nil && !math.IsNaN(e.way[k]):
			x[k] = e.way[k]
		case v.Options == nil && v.Grows == 0:
			x[k] = v.round(x[k])
		}
	}
	return x
}

// round is the nearest number on the step of the variable's tool, within its bounds.
func (v Variable) round(x float64) float64 {
	if v.Step == 0 {
		return x
	}
	return clamp(math.Round(x/v.Step), math.Ceil(v.Low/v.Step-1e-9), math.Floor(v.High/v.Step+1e-9)) * v.Step
}

// take lets the children of a generation compete with their parents.
func (e *Evolution) take(children []Individual) {
	all := distinct(append(append([]Individual(nil), e.Parents...), children...))
	for _, c := range children {
		e.keep(c)
	}
	var next []Individual
	for _, front := range rank(all) {
		for _, i := range thinned(all, front, e.Population-len(next)) {
			next = append(next, all[i])
		}
	}
	e.Parents = next
	e.resume() // crowding among themselves, as after reading back
	e.Generation++
}

// thinned drops the most crowded of a front until there is room for it, a twentieth
// at a time: neighbours move apart.
func thinned(all []Individual, front []int, room int) []int {
	for len(front) > room {
		crowd(all, front)
		sort.SliceStable(front, func(i, j int) bool { return all[front[i]].crowding > all[front[j]].crowding })
		front = front[:max(room, len(front)*19/20)]
	}
	return front
}

// distinct drops designs that are there twice.
func distinct(all []Individual) []Individual {
	var list []Individual
next:
	for _, a := range all {
		for i := range list {
			if equal(list[i].X, a.X) {
				continue next
			}
		}
		list = append(list, a)
	}
	return list
}

// keep puts a design that keeps all limits into the archive, if none there beats
// it, and throws out those that it beats.
func (e *Evolution) keep(c Individual) {
	if c.Violation > 0 {
		return
	}
	if e.beaten(c.Objectives) {
		return
	}
	kept := e.Archive[:0]
	for _, a := range e.Archive {
		if !dominates(c.Objectives, a.Objectives) {
			kept = append(kept, a)
		}
	}
	e.Archive = append(kept, c)
}

// beaten reports whether something in the archive is as good in every objective.
func (e *Evolution) beaten(objectives Values) bool {
	return slices.ContainsFunc(e.Archive, func(a Individual) bool {
		return dominates(a.Objectives, objectives) || equal(a.Objectives, objectives)
	})
}

// begin starts a search with designs that are known, in place of scattered ones.
func (e *Evolution) begin(known []Individual) {
	for _, k := range known {
		e.keep(k)
	}
	e.Parents = distinct(known)
	e.resume()
}

// resume ranks parents that were read back.
func (e *Evolution) resume() {
	if len(e.Parents) > 0 {
		rank(e.Parents)
	}
}

// Minimise searches for designs of least objectives of a function, one generation
// after the other, and returns the archive. The function gives the objectives and
// by how much limits are broken; it is asked of several designs at once.
func (e *Evolution) Minimise(f func(x []float64) (objectives []float64, violation float64)) []Individual {
	for e.Generation < e.Generations {
		e.take(judged(e.Population, func(i int) []float64 { return e.child(i, nil) }, f))
	}
	return e.Archive
}

// judged are so many designs with what a function says of them.
func judged(count int, design func(i int) []float64, f func(x []float64) (objectives []float64, violation float64)) []Individual {
	list := make([]Individual, count)
	each(count, func(i int) {
		x := design(i)
		objectives, violation := f(x)
		list[i] = Individual{X: x, Objectives: objectives, Violation: violation}
	})
	return list
}
