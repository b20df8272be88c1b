package nest

import (
	"math"
	"slices"
)

// perMetre is the number of grid steps in a metre: sizes are worked out in
// whole steps of 0.01 mm.
const perMetre = 100_000

func steps(metres float64) int { return int(math.Round(metres * perMetre)) }

func metres(steps int) float64 { return float64(steps) / perMetre }

// A job is the problem in whole numbers. Every piece is a kerf wider and
// higher than it will be, and so is every sheet, so that pieces laid edge to
// edge leave room for the cuts between them.
type job struct {
	boards     []board
	kinds      []kind
	kerf, keep int
	guillotine bool
	work       *meter
	least      int // smallest side of any kind; a smaller piece of sheet is waste
}

// board is what can be used of one size of sheet.
type board struct {
	w, h, trim int
	count      int // Unlimited or sheets at hand
	cost       float64
}

// kind is a part with the ways it may be laid on each board.
type kind struct {
	part  int
	count int
	value float64
	sizes [][]size // by board; none where it does not fit
}

type size struct {
	w, h   int
	turned bool
}

// orientations are the ways a part fits on a sheet by its size and grain.
func orientations(s Stock, p Part) []size {
	w, h := steps(usable(s.Width, s)), steps(usable(s.Height, s))
	pw, ph := steps(p.Width), steps(p.Height)
	bound := s.Grain != NoGrain && p.Grain != NoGrain
	var sizes []size
	if pw <= w && ph <= h && (!bound || s.Grain == p.Grain) {
		sizes = append(sizes, size{pw, ph, false})
	}
	if ph <= w && pw <= h && pw != ph && (!bound || s.Grain != p.Grain) {
		sizes = append(sizes, size{ph, pw, true})
	}
	if pw == ph && len(sizes) == 0 && bound && pw <= min(w, h) {
		sizes = append(sizes, size{ph, pw, true}) // a square turned for its grain
	}
	return sizes
}

func newJob(stocks []Stock, parts []Part, demand []int, o Options) *job {
	j := &job{kerf: steps(o.Kerf), keep: steps(o.keep()), guillotine: o.Tool == Shear, work: o.work(), least: math.MaxInt}
	for _, s := range stocks {
		cost := s.Cost
		if cost == 0 {
			cost = s.Width * s.Height
		}
		j.boards = append(j.boards, board{w: steps(usable(s.Width, s)) + j.kerf, h: steps(usable(s.Height, s)) + j.kerf,
			trim: steps(s.Trim), count: s.Count, cost: cost})
	}
	for i, p := range parts {
		k := kind{part: i, count: demand[i], value: p.worth()}
		fits := false
		for _, s := range stocks {
			sizes := orientations(s, p)
			for n := range sizes {
				sizes[n].w += j.kerf
				sizes[n].h += j.kerf
				fits = true
			}
			k.sizes = append(k.sizes, sizes)
		}
		if k.count == 0 || !fits {
			continue
		}
		if k.count == Unlimited {
			k.count = j.most(k)
		}
		j.kinds = append(j.kinds, k)
		j.least = min(j.least, steps(min(p.Width, p.Height))+j.kerf)
	}
	return j
}

// most is how many of a kind one board can hold at best.
func (j *job) most(k kind) int {
	most := 0
	for i, b := range j.boards {
		if len(k.sizes[i]) > 0 {
			most = max(most, b.w*b.h/(k.sizes[i][0].w*k.sizes[i][0].h))
		}
	}
	return most
}

// counts are the pieces wanted, by kind.
func (j *job) counts() []int {
	counts := make([]int, len(j.kinds))
	for i, k := range j.kinds {
		counts[i] = k.count
	}
	return counts
}

// area of one piece of a kind, with its kerf.
func (k kind) area() int {
	for _, sizes := range k.sizes {
		if len(sizes) > 0 {
			return sizes[0].w * sizes[0].h
		}
	}
	return 0
}

// spot is a piece in its place on a board, kerf included.
type spot struct {
	kind       int
	x, y, w, h int
	turned     bool
}

// pattern is a board with the pieces laid on it. A pattern that can be cut
// from edge to edge has the tree of its cuts.
type pattern struct {
	board int
	spots []spot
	root  *node
}

// sheet turns a pattern into what the caller sees.
func (j *job) sheet(p pattern, stocks []Stock, o Options) Sheet {
	b := j.boards[p.board]
	s := Sheet{Stock: p.board, Width: stocks[p.board].Width, Height: stocks[p.board].Height}
	for _, at := range p.spots {
		s.Placed = append(s.Placed, Placement{Part: j.kinds[at.kind].part, Rect: j.rect(b, at.x, at.y, at.w, at.h),
			Turned: at.turned, Inside: -1})
	}
	if p.root != nil {
		s.Cuts = append(trimCuts(s, stocks[p.board].Trim, o.Kerf), j.cuts(b, p.root)...)
	}
	for _, r := range j.offcuts(p) {
		if r.w-j.kerf >= j.keep && r.h-j.kerf >= j.keep {
			s.Offcuts = append(s.Offcuts, j.rect(b, r.x, r.y, r.w, r.h))
		}
	}
	slices.SortStableFunc(s.Offcuts, func(a, b Rect) int {
		return -compare(a.Width*a.Height, b.Width*b.Height)
	})
	return s
}

// rect is the real piece behind a place on a board, without its kerf.
func (j *job) rect(b board, x, y, w, h int) Rect {
	return Rect{metres(b.trim + x), metres(b.trim + y), metres(w - j.kerf), metres(h - j.kerf)}
}

// trimCuts take the edges off: left, right, lower, upper.
func trimCuts(s Sheet, trim, kerf float64) []Cut {
	if trim == 0 {
		return nil
	}
	w, h, near := s.Width, s.Height, max(0, trim-kerf)
	return []Cut{
		{Rect{0, 0, w, h}, true, near, h},
		{Rect{trim, 0, w - trim, h}, true, w - 2*trim, h},
		{Rect{trim, 0, w - 2*trim, h}, false, near, w - 2*trim},
		{Rect{trim, trim, w - 2*trim, h - trim}, false, h - 2*trim, w - 2*trim},
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
