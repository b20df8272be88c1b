package explore

import (
	"math"
	"math/rand/v2"
	"sort"
)

// Variable is one thing that a search may set.
type Variable struct {
	Key     string
	Low     float64
	High    float64
	Step    float64  // of the tool in the hand; 0 for any value, 1 for whole numbers
	Options []string // words to choose from; the value is the place in the list
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
// and Meyarivan, key deb2002fast) with simulated binary crossover (Deb and
// Agrawal, key deb1995simulated) and polynomial mutation, choices crossed and
// drawn anew word by word. Whatever was ever found and is beaten by nobody is kept
// in the archive, which the classic method forgets.
type Evolution struct {
	Variables   []Variable
	Population  int // even
	Generations int
	Seed        uint64

	Generation int // done so far
	Parents    []Individual
	Archive    []Individual
}

// Parameters of the operators as the authors give them, and the share of pairs
// that are crossed.
const (
	crossoverSpread = 15.0
	mutationSpread  = 20.0
	crossoverShare  = 0.9
)

// child is design i of the generation at hand. The first generation is spread
// evenly over the space, after any designs it is started with.
func (e *Evolution) child(i int, starts [][]float64) []float64 {
	if e.Generation == 0 {
		if i < len(starts) {
			return e.round(append([]float64(nil), starts[i]...))
		}
		return e.scattered(i)
	}
	r := stream(e.Seed, uint64(e.Generation), uint64(i/2))
	a, b := e.parent(r), e.parent(r)
	one, two := append([]float64(nil), a.X...), append([]float64(nil), b.X...)
	if r.Float64() < crossoverShare {
		e.cross(r, one, two)
	}
	e.mutate(r, one)
	e.mutate(r, two)
	if i%2 == 1 {
		one = two
	}
	return e.round(one)
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
	return e.round(x)
}

// parent is the better of two drawn at random.
func (e *Evolution) parent(r *rand.Rand) *Individual {
	a, b := &e.Parents[r.IntN(len(e.Parents))], &e.Parents[r.IntN(len(e.Parents))]
	if b.rank < a.rank || b.rank == a.rank && b.crowding > a.crowding {
		return b
	}
	return a
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

// round puts a design on the steps of its tools, within the bounds.
func (e *Evolution) round(x []float64) []float64 {
	for k, v := range e.Variables {
		if v.Options != nil || v.Step == 0 {
			continue
		}
		n := clamp(math.Round(x[k]/v.Step), math.Ceil(v.Low/v.Step-1e-9), math.Floor(v.High/v.Step+1e-9))
		x[k] = n * v.Step
	}
	return x
}

// take lets the children of a generation compete with their parents.
func (e *Evolution) take(children []Individual) {
	all := distinct(append(append([]Individual(nil), e.Parents...), children...))
	for _, c := range children {
		e.keep(c)
	}
	var next []Individual
	for _, front := range rank(all) {
		if room := e.Population - len(next); len(front) > room {
			sort.SliceStable(front, func(i, j int) bool { return all[front[i]].crowding > all[front[j]].crowding })
			front = front[:room]
		}
		for _, i := range front {
			next = append(next, all[i])
		}
	}
	e.Parents = next
	e.resume() // crowding among themselves, as after reading back
	e.Generation++
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
	for i := range e.Archive {
		if a := e.Archive[i].Objectives; dominates(a, c.Objectives) || equal(a, c.Objectives) {
			return
		}
	}
	kept := e.Archive[:0]
	for _, a := range e.Archive {
		if !dominates(c.Objectives, a.Objectives) {
			kept = append(kept, a)
		}
	}
	e.Archive = append(kept, c)
}

// resume ranks parents that were read back.
func (e *Evolution) resume() {
	if len(e.Parents) > 0 {
		rank(e.Parents)
	}
}

// Minimise searches for designs of least objectives of a function, one generation
// after the other, and returns the archive. The function gives the objectives and
// by how much limits are broken.
func (e *Evolution) Minimise(f func(x []float64) (objectives []float64, violation float64)) []Individual {
	for e.Generation < e.Generations {
		children := make([]Individual, e.Population)
		for i := range children {
			x := e.child(i, nil)
			objectives, violation := f(x)
			children[i] = Individual{X: x, Objectives: objectives, Violation: violation}
		}
		e.take(children)
	}
	return e.Archive
}
