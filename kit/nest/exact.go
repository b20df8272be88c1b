package nest

import (
	"container/heap"
	"encoding/binary"
	"math"
	"slices"
)

// This file is the exact way for cuts from edge to edge on one board.

// A build is a rectangle put together from pieces: one piece, or two builds
// side by side or one on top of the other.
type build struct {
	w, h    int
	value   float64
	counts  []int // pieces used, by kind
	kind    int   // of a single piece
	turned  bool
	a, b    *build // near and far half; nil for a single piece
	upright bool   // the halves stand side by side
	bound   float64
}

func (j *job) piece(k int, s size) *build {
	b := &build{w: s.w, h: s.h, value: j.kinds[k].value, kind: k, turned: s.turned, counts: make([]int, len(j.kinds))}
	b.counts[k] = 1
	return b
}

func join(a, b *build, upright bool) *build {
	c := &build{value: a.value + b.value, kind: noPart, a: a, b: b, upright: upright, counts: slices.Clone(a.counts)}
	for k, n := range b.counts {
		c.counts[k] += n
	}
	if upright {
		c.w, c.h = a.w+b.w, max(a.h, b.h)
	} else {
		c.w, c.h = max(a.w, b.w), a.h+b.h
	}
	return c
}

// carve cuts a build out of a leaf: first what is left over beside and above
// it, the larger offcut first, then its halves.
func (n *node) carve(b *build) {
	upright := uprightFirst(splitForLargest, n, size{w: b.w, h: b.h})
	for range 2 {
		at := b.h
		if upright {
			at = b.w
		}
		n, _ = n.split(upright, at)
		upright = !upright
	}
	if b.a == nil {
		n.kind, n.turned = b.kind, b.turned
		return
	}
	at := b.a.h
	if b.upright {
		at = b.a.w
	}
	near, far := n.split(b.upright, at)
	near.carve(b.a)
	far.carve(b.b)
}

// exactResult is the best build found and a bound for all patterns.
type exactResult struct {
	found *build
	bound float64
}

// exact first relaxes the problem by forgetting the counts, which dynamic
// programming solves, and then searches the constrained problem with the
// relaxed one as its bound. It gives up, with the bound it has, when the work
// does not suffice.
func (j *job) exact(board int, counts []int, known float64, m *meter) exactResult {
	t := j.relax(board, counts, m)
	if t == nil {
		return exactResult{bound: math.Inf(1)}
	}
	relaxed := t.build(len(t.xs)-1, len(t.ys)-1)
	if relaxed == nil {
		return exactResult{}
	}
	if within(relaxed.counts, counts) {
		return exactResult{relaxed, relaxed.value}
	}
	return j.constrained(t, counts, known, relaxed.value, m)
}

func within(used, counts []int) bool {
	for k, n := range used {
		if n > counts[k] {
			return false
		}
	}
	return true
}

// relaxation is F(x, y), the greatest value of a piece of sheet x wide and y
// high when the counts do not bind, at the sizes that pieces can add up to
// (Gilmore and Gomory's recursion, gilmore1966theory, on Herz's
// discretisation, herz1972recursive):
//
//	F(x, y) = max(value of a piece that fits, max_u F(u, y) + F(x−u, y),
//	              max_v F(x, v) + F(x, y−v))
type relaxation struct {
	job    *job
	board  int
	xs, ys []int // sizes pieces can add up to, from 0
	value  []float64
	choice []choice
	sizes  []choice // the single pieces
}

// tableSpeed is how many steps of filling a table count as one of the work
// allowed, which is about the time each takes.
const tableSpeed = 16

// choice says how a piece of sheet is used: nothing, a single piece, or a cut.
type choice struct {
	what int8 // use…
	kind int32
	size size
	at   int32 // index of the near side's size
	far  int32 // index of the far side's
}

const (
	useNothing = iota
	usePiece
	cutUpright
	cutLevel
)

// relax fills the table, or returns nil when the work does not suffice.
func (j *job) relax(board int, counts []int, m *meter) *relaxation {
	b := j.boards[board]
	t := &relaxation{job: j, board: board}
	var widths, heights []int
	var limits []int
	for k := range j.kinds {
		if counts[k] == 0 {
			continue
		}
		for _, s := range j.kinds[k].sizes[board] {
			t.sizes = append(t.sizes, choice{what: usePiece, kind: int32(k), size: s})
			widths, heights, limits = append(widths, s.w), append(heights, s.h), append(limits, counts[k])
		}
	}
	const most = 1 << 11 // sizes; beyond that the table is hopeless anyway
	if t.xs = sums(widths, limits, b.w, most); t.xs == nil {
		return nil
	}
	if t.ys = sums(heights, limits, b.h, most); t.ys == nil {
		return nil
	}
	cost := len(t.xs) * len(t.ys) * (len(t.xs) + len(t.ys) + 4*len(t.sizes)) / tableSpeed
	if cost > m.left/2 {
		return nil
	}
	m.spend(cost)
	t.fill()
	return t
}

// sums are the sizes up to limit that the lengths, each used at most its
// number of times, can add up to, from zero; nil when there are more than
// most. The two ways of laying one kind count as two kinds, which adds a few
// sizes that cannot be reached but loses none.
func sums(lengths, times []int, limit, most int) []int {
	reached := map[int]bool{0: true}
	all := []int{0}
	for i, length := range lengths {
		for _, start := range all[:len(all):len(all)] {
			for n := 1; n <= times[i] && start+n*length <= limit; n++ {
				if v := start + n*length; !reached[v] {
					reached[v] = true
					all = append(all, v)
				}
			}
			if len(all) > most {
				return nil
			}
		}
	}
	slices.Sort(all)
	return all
}

func (t *relaxation) at(i, k int) int { return i*len(t.ys) + k }

func (t *relaxation) fill() {
	t.value = make([]float64, len(t.xs)*len(t.ys))
	t.choice = make([]choice, len(t.value))
	for i, x := range t.xs {
		for k, y := range t.ys {
			here := t.at(i, k)
			for _, p := range t.sizes {
				if v := t.job.kinds[p.kind].value; p.size.w <= x && p.size.h <= y && v > t.value[here] {
					t.value[here], t.choice[here] = v, p
				}
			}
			// far follows the size that is left as the cut moves on.
			for u, far := 1, i; u < len(t.xs) && 2*t.xs[u] <= x; u++ {
				for t.xs[far] > x-t.xs[u] {
					far--
				}
				if v := t.value[t.at(u, k)] + t.value[t.at(far, k)]; v > t.value[here] {
					t.value[here], t.choice[here] = v, choice{what: cutUpright, at: int32(u), far: int32(far)}
				}
			}
			for u, far := 1, k; u < len(t.ys) && 2*t.ys[u] <= y; u++ {
				for t.ys[far] > y-t.ys[u] {
					far--
				}
				if v := t.value[t.at(i, u)] + t.value[t.at(i, far)]; v > t.value[here] {
					t.value[here], t.choice[here] = v, choice{what: cutLevel, at: int32(u), far: int32(far)}
				}
			}
		}
	}
}

// build puts together what the table found for one size; nil for nothing.
func (t *relaxation) build(i, k int) *build {
	c := t.choice[t.at(i, k)]
	switch c.what {
	case usePiece:
		return t.job.piece(int(c.kind), c.size)
	case cutUpright, cutLevel:
		var a, b *build
		if c.what == cutUpright {
			a, b = t.build(int(c.at), k), t.build(int(c.far), k)
		} else {
			a, b = t.build(i, int(c.at)), t.build(i, int(c.far))
		}
		if a == nil {
			return b
		}
		if b == nil {
			return a
		}
		return join(a, b, c.what == cutUpright)
	}
	return nil
}

// outside is h(x, y), a bound for what can be added around a rectangle of that
// size in the corner of the board (viswanathan1993best):
//
//	h(x, y) = max(max_{x'>x} h(x', y) + F(x'−x, y), max_{y'>y} h(x, y') + F(x, y'−y))
func (t *relaxation) outside() []float64 {
	h := make([]float64, len(t.value))
	for i := len(t.xs) - 1; i >= 0; i-- {
		for k := len(t.ys) - 1; k >= 0; k-- {
			most := 0.0
			for far, u := i+1, 0; far < len(t.xs); far++ {
				for u+1 < len(t.xs) && t.xs[u+1] <= t.xs[far]-t.xs[i] {
					u++
				}
				most = max(most, h[t.at(far, k)]+t.value[t.at(u, k)])
			}
			for far, u := k+1, 0; far < len(t.ys); far++ {
				for u+1 < len(t.ys) && t.ys[u+1] <= t.ys[far]-t.ys[k] {
					u++
				}
				most = max(most, h[t.at(i, far)]+t.value[t.at(i, u)])
			}
			h[t.at(i, k)] = most
		}
	}
	return h
}

// constrained is a best-first search over builds (viswanathan1993best, after
// wang1983two): the build with the highest bound is joined, both ways, with
// every build taken before it. When no build promises more than the best one
// found, that is the optimum; when the work runs out, the highest promise is
// still a bound.
func (j *job) constrained(t *relaxation, counts []int, known, relaxed float64, m *meter) exactResult {
	s := &bestFirst{relaxation: t, counts: counts, goal: known, seen: make(map[string][]size), meter: m,
		xi: index(t.xs), yi: index(t.ys)}
	cost := 2 * len(t.xs) * len(t.ys) * (len(t.xs) + len(t.ys)) / tableSpeed
	if cost > m.left/2 {
		return exactResult{bound: relaxed}
	}
	m.spend(cost)
	s.around = t.outside()
	for _, p := range t.sizes {
		s.add(j.piece(int(p.kind), p.size))
	}
	var taken []*build
	for len(s.open) > 0 {
		next := heap.Pop(&s.open).(*build)
		if !s.promising(next.bound) {
			break
		}
		if m.left <= 0 {
			return exactResult{s.found, min(relaxed, next.bound)}
		}
		taken = append(taken, next)
		for _, other := range taken {
			s.combine(next, other)
		}
		m.spend(len(taken))
	}
	return exactResult{s.found, s.goal}
}

type bestFirst struct {
	*relaxation
	counts []int
	goal   float64 // the best value so far, found here or known before
	found  *build  // the build that has it, if found here
	open   openList
	seen   map[string][]size // sizes of the builds with the same pieces
	around []float64
	xi, yi map[int]int
	meter  *meter
}

// promising leaves out what cannot beat the goal by more than rounding.
func (s *bestFirst) promising(bound float64) bool { return bound > s.goal*(1+1e-12) }

func index(values []int) map[int]int {
	m := make(map[int]int, len(values))
	for i, v := range values {
		m[v] = i
	}
	return m
}

func (s *bestFirst) combine(a, b *build) {
	for k, n := range a.counts {
		if n+b.counts[k] > s.counts[k] {
			return
		}
	}
	board := s.job.boards[s.board]
	if a.w+b.w <= board.w && s.promising(s.bound(a.w+b.w, max(a.h, b.h), a.value+b.value)) {
		s.add(join(a, b, true))
	}
	if a.h+b.h <= board.h && s.promising(s.bound(max(a.w, b.w), a.h+b.h, a.value+b.value)) {
		s.add(join(a, b, false))
	}
}

// bound is what a build of the given size and value can grow to at most.
func (s *bestFirst) bound(w, h int, value float64) float64 {
	return value + s.around[s.at(s.xi[w], s.yi[h])]
}

// add opens a build unless one of the same pieces is no larger either way.
func (s *bestFirst) add(b *build) {
	key := make([]byte, 0, 2*len(b.counts))
	for _, n := range b.counts {
		key = binary.AppendUvarint(key, uint64(n))
	}
	for _, o := range s.seen[string(key)] {
		if o.w <= b.w && o.h <= b.h {
			return
		}
	}
	s.seen[string(key)] = append(s.seen[string(key)], size{w: b.w, h: b.h})
	s.meter.spend(len(b.counts))
	b.bound = s.bound(b.w, b.h, b.value)
	if b.value > s.goal*(1+1e-12) {
		s.goal, s.found = b.value, b
	}
	heap.Push(&s.open, b)
}

// openList is the builds not yet taken, highest bound first; of equals the one
// with more value in it.
type openList []*build

func (o openList) Len() int { return len(o) }
func (o openList) Less(i, k int) bool {
	if o[i].bound != o[k].bound {
		return o[i].bound > o[k].bound
	}
	return o[i].value > o[k].value
}
func (o openList) Swap(i, k int) { o[i], o[k] = o[k], o[i] }
func (o *openList) Push(b any)   { *o = append(*o, b.(*build)) }
func (o *openList) Pop() any {
	old := *o
	b := old[len(old)-1]
	*o = old[:len(old)-1]
	return b
}
