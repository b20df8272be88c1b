package nest

import (
	"cmp"
	"math"
	"slices"
)

// This file is the fast way: pieces are taken in some order and each goes
// where a rule likes it best. Orders and rules are tried in turn; what they
// give is the start for everything else.

// A strategy is one such order and rule.
type strategy struct {
	order int // of the orders below, all from large to small
	fit   int // of the fit rules below
	split int // of the ways to free a piece from a leaf, see uprightFirst; or splitFree
}

const (
	byArea = iota
	byLongSide
	byShortSide
	byPerimeter
	byWidth
	byHeight
	orderCount
)

const (
	fitShortSide = iota
	fitArea
	fitLongSide
	fitLow
	fitCount
)

const (
	splitForLargest = iota
	splitLevel
	splitUpright
	splitShortSide
	splitForEven
	splitCount
	splitFree = -1 // no cuts from edge to edge; for snips only
)

// strategies lists them all, the generally better ones first. Snips can do
// what a shear can, and more.
func (j *job) strategies() []strategy {
	first := 0
	if !j.guillotine {
		first = splitFree
	}
	var all []strategy
	for split := first; split < splitCount; split++ {
		for fit := range fitCount {
			for order := range orderCount {
				all = append(all, strategy{order, fit, split})
			}
		}
	}
	return all
}

// sorted lists the kinds from large to small by one of the orders.
func (j *job) sorted(order int) []int {
	key := make([]int, len(j.kinds))
	kinds := make([]int, len(j.kinds))
	for i, k := range j.kinds {
		kinds[i] = i
		var s size
		for _, sizes := range k.sizes {
			if len(sizes) > 0 {
				s = sizes[0]
				break
			}
		}
		key[i] = [orderCount]int{s.w * s.h, max(s.w, s.h), min(s.w, s.h), s.w + s.h, s.w, s.h}[order]
	}
	slices.SortStableFunc(kinds, func(a, b int) int { return cmp.Compare(key[b], key[a]) })
	return kinds
}

// sequence is the order in which single pieces are laid.
func (j *job) sequence(order int, counts []int) []int {
	var pieces []int
	for _, k := range j.sorted(order) {
		for range counts[k] {
			pieces = append(pieces, k)
		}
	}
	return pieces
}

// A table is a board on which pieces are being laid.
type table interface {
	// find returns the place the rule likes best; ok is false without one.
	find(s size, fit int, m *meter) (score [2]int, place int, ok bool)
	put(k int, s size, place, split int, m *meter)
	pattern(board int) pattern
}

func (j *job) newTable(b board, split int) table {
	if split == splitFree {
		return &freeTable{free: []area{{0, 0, b.w, b.h}}, least: j.least}
	}
	root := newLeaf(0, 0, b.w, b.h)
	return &cutTable{root: root, open: []*node{root}, least: j.least}
}

// rate scores a place of the given position and size for a piece.
func rate(fit, x, y, w, h int, s size) [2]int {
	short, long := min(w-s.w, h-s.h), max(w-s.w, h-s.h)
	switch fit {
	case fitArea:
		return [2]int{w*h - s.w*s.h, short}
	case fitLongSide:
		return [2]int{long, short}
	case fitLow:
		return [2]int{y + s.h, x}
	}
	return [2]int{short, long}
}

// cutTable is a board for the shear: a tree of cuts and its open leaves.
type cutTable struct {
	root  *node
	open  []*node
	least int
}

func (t *cutTable) find(s size, fit int, m *meter) (best [2]int, place int, ok bool) {
	m.spend(len(t.open))
	for i, n := range t.open {
		if s.w > n.w || s.h > n.h {
			continue
		}
		if score := rate(fit, n.x, n.y, n.w, n.h, s); !ok || less(score, best) {
			best, place, ok = score, i, true
		}
	}
	return best, place, ok
}

func (t *cutTable) put(k int, s size, place, split int, _ *meter) {
	n := t.open[place]
	rest := n.place(k, s, uprightFirst(split, n, s))
	t.open = slices.Delete(t.open, place, place+1)
	for _, r := range rest {
		if min(r.w, r.h) >= t.least {
			t.open = append(t.open, r)
		}
	}
}

// uprightFirst chooses the first of the two cuts that free a piece in the
// corner of a leaf.
func uprightFirst(split int, n *node, s size) bool {
	right, over := n.w-s.w, n.h-s.h
	switch split {
	case splitLevel:
		return false
	case splitUpright:
		return true
	case splitShortSide:
		return right > over
	case splitForEven:
		return right*n.h < n.w*over
	}
	return right*n.h >= n.w*over
}

func (t *cutTable) pattern(board int) pattern {
	return pattern{board: board, spots: t.root.spots(), root: t.root}
}

// freeTable is a board for snips: the largest free rectangles, which overlap.
type freeTable struct {
	free  []area
	spots []spot
	least int
}

func (t *freeTable) find(s size, fit int, m *meter) (best [2]int, place int, ok bool) {
	m.spend(len(t.free))
	for i, f := range t.free {
		if s.w > f.w || s.h > f.h {
			continue
		}
		if score := rate(fit, f.x, f.y, f.w, f.h, s); !ok || less(score, best) {
			best, place, ok = score, i, true
		}
	}
	return best, place, ok
}

func (t *freeTable) put(k int, s size, place, _ int, m *meter) {
	m.spend(8 * len(t.free))
	f := t.free[place]
	t.spots = append(t.spots, spot{k, f.x, f.y, s.w, s.h, s.turned})
	t.free = exclude(t.free, area{f.x, f.y, s.w, s.h}, t.least)
}

func (t *freeTable) pattern(board int) pattern {
	return pattern{board: board, spots: t.spots}
}

func less(a, b [2]int) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// A packing is sheets being filled together.
type packing struct {
	job    *job
	stock  []int // sheets left, by board; Unlimited
	prefer []int // boards in the order in which new sheets are taken
	tables []table
	boards []int     // of each table
	offers [][]offer // by table and kind
	left   []int     // pieces that found no place, by kind
	meter  *meter
}

// offer is the best place on a table for a kind. It holds until something is
// put on that table; once there is none, there never will be.
type offer struct {
	state offerState
	score [2]int
	place int
	size  size
}

type offerState int8

const (
	unknown offerState = iota
	known
	none
)

// pack lays pieces in the given order, opening a new sheet when a piece fits
// on none that is open.
func (j *job) pack(pieces []int, s strategy, stock, prefer []int, m *meter) solution {
	p := &packing{job: j, stock: slices.Clone(stock), prefer: prefer, left: make([]int, len(j.kinds)), meter: m}
	for _, k := range pieces {
		// Room only shrinks: once a kind is refused, so are all its like.
		if p.left[k] > 0 || !p.lay(k, s) {
			p.left[k]++
		}
	}
	m.spend(len(pieces))
	sol := solution{left: p.left}
	for i, t := range p.tables {
		sol.patterns = append(sol.patterns, t.pattern(p.boards[i]))
	}
	return sol
}

func (p *packing) lay(k int, s strategy) bool {
	best := -1
	for i := range p.tables {
		o := p.ask(i, k, s.fit)
		if o.state == known && (best < 0 || less(o.score, p.offers[best][k].score)) {
			best = i
		}
	}
	p.meter.spend(len(p.tables))
	if best < 0 {
		if best = p.open(k, s.split); best < 0 {
			return false
		}
		p.ask(best, k, s.fit)
	}
	o := p.offers[best][k]
	p.tables[best].put(k, o.size, o.place, s.split, p.meter)
	for i := range p.offers[best] {
		if p.offers[best][i].state == known {
			p.offers[best][i].state = unknown
		}
	}
	return true
}

// ask finds the best place for a kind on one table.
func (p *packing) ask(table, k, fit int) *offer {
	o := &p.offers[table][k]
	if o.state != unknown {
		return o
	}
	o.state = none
	for _, s := range p.job.kinds[k].sizes[p.boards[table]] {
		score, place, ok := p.tables[table].find(s, fit, p.meter)
		if ok && (o.state == none || less(score, o.score)) {
			*o = offer{known, score, place, s}
		}
	}
	return o
}

// open takes a new sheet on which the kind fits and returns its table, or -1.
func (p *packing) open(k, split int) int {
	for _, b := range p.prefer {
		if p.stock[b] == 0 || len(p.job.kinds[k].sizes[b]) == 0 {
			continue
		}
		if p.stock[b] != Unlimited {
			p.stock[b]--
		}
		p.tables = append(p.tables, p.job.newTable(p.job.boards[b], split))
		p.boards = append(p.boards, b)
		p.offers = append(p.offers, make([]offer, len(p.job.kinds)))
		return len(p.tables) - 1
	}
	return -1
}

// A solution is patterns for all pieces, or as many as found a place.
type solution struct {
	patterns []pattern
	left     []int // pieces without a place, by kind
}

// merit ranks solutions: value left out, cost, number of sheets, then the more
// useful offcuts, then the fewer cuts.
type merit struct {
	missing, cost float64
	sheets        int
	offcuts       float64
	cuts          int
}

func (j *job) merit(s solution) merit {
	var m merit
	for k, n := range s.left {
		m.missing += float64(n) * j.kinds[k].value
	}
	m.sheets = len(s.patterns)
	for _, p := range s.patterns {
		m.cost += j.boards[p.board].cost
		m.offcuts += j.usefulness(p)
		if p.root != nil {
			m.cuts += p.root.count()
		}
	}
	return m
}

// usefulness is the sum of the squared areas of the offcuts worth keeping: one
// large offcut is worth more than two halves.
func (j *job) usefulness(p pattern) float64 {
	var sum float64
	for _, r := range j.offcuts(p) {
		if w, h := r.w-j.kerf, r.h-j.kerf; min(w, h) >= j.keep {
			a := metres(w) * metres(h)
			sum += a * a
		}
	}
	return sum
}

// better compares merits, with slack for sums in another order.
func (m merit) better(o merit) bool {
	const slack = 1e-9
	for _, pair := range [][2]float64{{m.missing, o.missing}, {m.cost, o.cost}, {float64(m.sheets), float64(o.sheets)},
		{-m.offcuts, -o.offcuts}, {float64(m.cuts), float64(o.cuts)}} {
		if d := pair[0] - pair[1]; math.Abs(d) > slack*(math.Abs(pair[0])+math.Abs(pair[1])) {
			return d < 0
		}
	}
	return false
}
