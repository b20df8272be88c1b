package nest

import (
	"cmp"
	"encoding/binary"
	"hash/fnv"
	"slices"
)

// stretch is a layout on a strip with the height it takes.
type stretch struct {
	pattern pattern
	height  int
}

// strip looks for the least height: every strategy on a strip without end,
// then boards of a height between the bound and the best, halving what lies
// between.
func (j *job) strip() (stretch, int) {
	b := j.boards[0]
	unit := 0
	for _, l := range j.lengths() {
		unit = gcd(unit, l)
	}
	// Pieces pushed down and left lie at sums of their sides, so that the
	// least height is a multiple of what divides all of them.
	bound := (j.stripBound(b) + unit - 1) / unit * unit
	best := j.tallStrip()
	if !j.guillotine {
		proved := false
		j.work.share(0.5, func(m *meter) {
			if p, ok, complete := j.tile(b.w, bound, unit, m); ok {
				best = stretch{p, bound}
			} else if complete {
				proved = true
			}
		})
		if proved {
			bound += unit
		}
	}
	for low := bound; low < best.height && j.work.left > 0; {
		target := low + (best.height-low)/2/unit*unit
		if p, ok := j.fitStrip(b.w, target, unit); ok {
			best = stretch{p, top(p)}
		} else {
			low = target + unit
		}
	}
	best.pattern.root = best.pattern.root.clip(best.height)
	return best, bound
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func top(p pattern) int {
	y := 0
	for _, s := range p.spots {
		y = max(y, s.y+s.h)
	}
	return y
}

// tallStrip tries every strategy on a board that holds everything. The first
// cuts across the whole strip above each piece, which always leaves room for
// the next; others may use the width up.
func (j *job) tallStrip() stretch {
	best := j.newBest(func(s solution) merit {
		return merit{missing: j.merit(s).missing, cost: float64(top(s.patterns[0]))}
	})
	sure, pieces := strategy{byShortSide, fitLow, splitLevel}, j.sequence(byShortSide, j.counts())
	best.offer(j.pack(pieces, sure, []int{1}, []int{0}, j.work), pieces, sure)
	j.work.share(0.3, func(m *meter) {
		j.tryStrategies(best, j.counts(), []int{1}, m)
	})
	p := best.solution.patterns[0]
	return stretch{p, top(p)}
}

// fitStrip tries to lay all pieces on a board of the given height.
func (j *job) fitStrip(w, h, unit int) (pattern, bool) {
	short := *j
	short.boards = []board{{w: w, h: h, count: 1, cost: 1, trim: j.boards[0].trim}}
	best := short.newBest(short.merit)
	best.enough = func(m merit) bool { return m.missing == 0 }
	var found pattern
	ok := false
	if !j.guillotine {
		j.work.share(0.2, func(m *meter) { found, ok, _ = j.tile(w, h, unit, m) })
		if ok {
			return found, true
		}
	}
	for _, k := range short.kinds {
		if !slices.ContainsFunc(k.sizes[0], func(s size) bool { return s.h <= h }) {
			return found, false
		}
	}
	j.work.share(0.2, func(m *meter) {
		short.tryStrategies(best, short.counts(), []int{1}, m)
		short.improve(best, []int{1}, m)
	})
	if !best.enough(best.merit) {
		return found, false
	}
	return best.solution.patterns[0], true
}

// clip takes off a tree what lies above a height that no part reaches.
func (n *node) clip(height int) *node {
	if n == nil || n.y >= height {
		return nil
	}
	n.h = min(n.h, height-n.y)
	if n.a != nil {
		a, b := n.a.clip(height), n.b.clip(height)
		if b == nil {
			return a
		}
		n.a, n.b = a, b
	}
	return n
}

// tile looks for a layout of all pieces on a board by filling, again and
// again, the lowest gap of the skyline from its left end, and backing up. With
// no area to spare the search is complete: complete tells that there is no
// layout. With area to spare a gap may also be left as waste, and a failure
// proves nothing. Both the board and the board on its side are searched, and
// two orders of trying pieces, with more work each round.
func (j *job) tile(w, h, unit int, m *meter) (p pattern, ok, complete bool) {
	waste := w/unit*(h/unit) - j.totalArea()/(unit*unit)
	if waste < 0 {
		return p, false, true
	}
	for budget := 500; m.left > 0; budget *= 4 {
		for variant := range 4 {
			t := newTiler(j.kinds, w/unit, h/unit, unit, variant)
			t.waste, t.nodes = waste, budget
			found := t.search()
			m.spend((budget - t.nodes) * tileCost)
			if found {
				return t.pattern(unit), true, false
			}
			if t.nodes > 0 {
				return p, false, waste == 0
			}
		}
	}
	return p, false, false
}

// tileCost is the work that one step of tile counts for.
const tileCost = 40

// ledge is one level stretch of the skyline.
type ledge struct{ x, y, w int }

type tiler struct {
	w, h  int
	sizes [][]size // by kind
	left  []int    // pieces not yet laid, by kind
	sky   []ledge
	waste int // area that may still be wasted
	nodes int // steps still allowed
	seen  map[uint64]bool
	laid  []spot
	side  bool // the board lies on its side
	long  bool // long pieces first, rather than large ones
}

func newTiler(kinds []kind, w, h, unit, variant int) *tiler {
	t := &tiler{w: w, h: h, seen: make(map[uint64]bool), side: variant&1 == 1, long: variant&2 == 2}
	for _, k := range kinds {
		var sizes []size
		for _, s := range k.sizes[0] {
			s.w, s.h = s.w/unit, s.h/unit
			if t.side {
				s.w, s.h = s.h, s.w
			}
			sizes = append(sizes, s)
		}
		t.sizes, t.left = append(t.sizes, sizes), append(t.left, k.count)
	}
	if t.side {
		t.w, t.h = h, w
	}
	t.sky = []ledge{{0, 0, t.w}}
	return t
}

func (t *tiler) pattern(unit int) pattern {
	var p pattern
	for _, s := range t.laid {
		if t.side {
			s.x, s.y, s.w, s.h = s.y, s.x, s.h, s.w
		}
		p.spots = append(p.spots, spot{s.kind, s.x * unit, s.y * unit, s.w * unit, s.h * unit, s.turned})
	}
	return p
}

// search fills the lowest gap in every way. It returns false when there is no
// way, or when no steps are left.
func (t *tiler) search() bool {
	if slices.Max(t.left) == 0 {
		return true
	}
	if t.nodes--; t.nodes <= 0 {
		return false
	}
	state := t.state()
	if t.seen[state] {
		return false
	}
	t.seen[state] = true
	low := t.lowest()
	gap := t.sky[low]
	if gap.y >= t.h || gap.w-t.reach(gap) > t.waste {
		return false
	}
	walls := t.walls(low)
	for _, c := range t.candidates(gap, walls) {
		sky := t.sky
		t.lay(low, c)
		if t.search() {
			return true
		}
		if t.nodes <= 0 {
			return false
		}
		t.sky = sky
		t.laid = t.laid[:len(t.laid)-1]
		t.left[c.kind]++
	}
	return t.leaveGap(low, min(walls[0], walls[1]))
}

// leaveGap wastes the lowest gap up to the lower of its walls.
func (t *tiler) leaveGap(low, wall int) bool {
	gap := t.sky[low]
	lost := gap.w * (wall - gap.y)
	if lost > t.waste {
		return false
	}
	sky := t.sky
	t.waste -= lost
	t.sky = slices.Clone(t.sky)
	t.sky[low].y = wall
	t.sky = levelled(t.sky)
	if t.search() {
		return true
	}
	t.sky = sky
	t.waste += lost
	return false
}

func (t *tiler) lowest() int {
	low := 0
	for i, l := range t.sky {
		if l.y < t.sky[low].y {
			low = i
		}
	}
	return low
}

// walls are the heights of the skyline left and right of a ledge, or of the
// board at its edges.
func (t *tiler) walls(i int) [2]int {
	walls := [2]int{t.h, t.h}
	if i > 0 {
		walls[0] = t.sky[i-1].y
	}
	if i+1 < len(t.sky) {
		walls[1] = t.sky[i+1].y
	}
	return walls
}

// candidate is a piece for the left end of the lowest gap.
type candidate struct {
	kind int
	size size
	rank [2]int
}

// candidates are the pieces that fit the gap: first those that fill its width
// or end level with a wall, then by size.
func (t *tiler) candidates(gap ledge, walls [2]int) []candidate {
	var list []candidate
	for k, n := range t.left {
		if n == 0 {
			continue
		}
		for _, s := range t.sizes[k] {
			if s.w > gap.w || gap.y+s.h > t.h {
				continue
			}
			fit := 0
			if s.w == gap.w {
				fit += 2
			}
			if y := gap.y + s.h; y == walls[0] || y == walls[1] && s.w == gap.w {
				fit++
			}
			weight := s.w * s.h
			if t.long {
				weight = max(s.w, s.h)
			}
			list = append(list, candidate{k, s, [2]int{-fit, -weight}})
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.rank[0], b.rank[0]), cmp.Compare(a.rank[1], b.rank[1]))
	})
	return list
}

// lay puts a piece at the left end of a ledge.
func (t *tiler) lay(i int, c candidate) {
	gap := t.sky[i]
	t.laid = append(t.laid, spot{c.kind, gap.x, gap.y, c.size.w, c.size.h, c.size.turned})
	t.left[c.kind]--
	sky := make([]ledge, 0, len(t.sky)+1)
	sky = append(sky, t.sky[:i]...)
	sky = append(sky, ledge{gap.x, gap.y + c.size.h, c.size.w})
	if c.size.w < gap.w {
		sky = append(sky, ledge{gap.x + c.size.w, gap.y, gap.w - c.size.w})
	}
	t.sky = levelled(append(sky, t.sky[i+1:]...))
}

// levelled joins neighbouring ledges of equal height.
func levelled(sky []ledge) []ledge {
	flat := sky[:1]
	for _, l := range sky[1:] {
		if last := &flat[len(flat)-1]; last.y == l.y {
			last.w += l.w
		} else {
			flat = append(flat, l)
		}
	}
	return flat
}

// reach is the greatest width up to the gap's that pieces left can add up to.
func (t *tiler) reach(gap ledge) int {
	possible := make([]bool, gap.w+1)
	possible[0] = true
	for k, n := range t.left {
		if n == 0 {
			continue
		}
		for _, s := range t.sizes[k] {
			if gap.y+s.h > t.h {
				continue
			}
			for range min(n, gap.w/s.w) {
				for x := gap.w; x >= s.w; x-- {
					possible[x] = possible[x] || possible[x-s.w]
				}
			}
		}
	}
	for x := gap.w; ; x-- {
		if possible[x] {
			return x
		}
	}
}

// state is a fingerprint of the skyline and the pieces left, which together
// settle everything that can still happen.
func (t *tiler) state() uint64 {
	h := fnv.New64a()
	var buffer []byte
	for _, l := range t.sky {
		buffer = binary.AppendUvarint(buffer, uint64(l.x))
		buffer = binary.AppendUvarint(buffer, uint64(l.y))
	}
	for _, n := range t.left {
		buffer = binary.AppendUvarint(buffer, uint64(n))
	}
	h.Write(buffer)
	return h.Sum64()
}
