package nest

import (
	"math"
	"math/rand/v2"
	"slices"
)

// nest looks for the cheapest way to lay all pieces: every strategy, then
// sheets filled one after another for value, then small changes to the best
// order. It stops when the bound is met or the work is spent.
func (j *job) nest() solution {
	if len(j.kinds) == 0 {
		return solution{}
	}
	stock := make([]int, len(j.boards))
	for i, b := range j.boards {
		stock[i] = b.count
	}
	if slices.Contains(stock, Unlimited) {
		j.valueByArea() // all find a place, so that only the sheets count
	}
	_, bound := j.bounds()
	best := j.newBest(func(s solution) merit { return j.merit(j.downsize(s, stock)) })
	best.enough = func(m merit) bool { return m.missing == 0 && m.cost <= bound*(1+1e-9) }
	j.work.share(0.3, func(m *meter) { j.tryStrategies(best, j.counts(), stock, m) })
	for _, bulk := range []float64{1, 1.05, 1.15, 0.95} {
		if !best.enough(best.merit) {
			j.work.share(0.3, func(m *meter) { best.offer(j.sheetBySheet(stock, bulk, m), nil, strategy{}) })
		}
	}
	j.improve(best, stock, j.work)
	return j.downsize(best.solution, stock)
}

func (j *job) valueByArea() {
	for i := range j.kinds {
		j.kinds[i].value = metres(j.kinds[i].area()) / perMetre
	}
}

// best is the best solution so far with the order and strategy that gave it.
type best struct {
	solution solution
	merit    merit
	known    bool
	pieces   []int
	strategy strategy
	rank     func(solution) merit
	enough   func(merit) bool // good enough to stop
}

func (j *job) newBest(rank func(solution) merit) *best {
	return &best{rank: rank, enough: func(merit) bool { return false }}
}

// offer takes a solution if it is better. Solutions without an order of their
// own are kept as results but not varied.
func (b *best) offer(s solution, pieces []int, st strategy) bool {
	m := b.rank(s)
	if b.known && !m.better(b.merit) {
		return false
	}
	b.solution, b.merit, b.known = s, m, true
	if pieces != nil {
		b.pieces, b.strategy = slices.Clone(pieces), st
	}
	return true
}

// preferences are the orders in which sizes of sheet are tried: each first,
// the others after it by cost.
func (j *job) preferences() [][]int {
	byCost := make([]int, len(j.boards))
	for i := range byCost {
		byCost[i] = i
	}
	slices.SortStableFunc(byCost, func(a, b int) int { return compare(j.boards[a].cost, j.boards[b].cost) })
	var all [][]int
	for _, first := range byCost {
		order := []int{first}
		for _, b := range byCost {
			if b != first {
				order = append(order, b)
			}
		}
		all = append(all, order)
	}
	return all
}

// tryStrategies offers what every strategy gives for the counts; the first is
// tried even when no work is left.
func (j *job) tryStrategies(b *best, counts, stock []int, m *meter) {
	sequences := make([][]int, orderCount)
	for order := range sequences {
		sequences[order] = j.sequence(order, counts)
	}
	for _, st := range j.strategies() {
		for _, prefer := range j.preferences() {
			b.offer(j.pack(sequences[st.order], st, stock, prefer, m), sequences[st.order], st)
			if m.left <= 0 {
				return
			}
		}
	}
}

// improve changes the order of the pieces a little, again and again, and keeps
// what is better. The changes come from a fixed seed.
func (j *job) improve(b *best, stock []int, m *meter) {
	if len(b.pieces) < 2 {
		return
	}
	random := rand.New(rand.NewPCG(1, uint64(len(b.pieces))))
	all, prefer := j.strategies(), j.preferences()
	for m.left > 0 && !b.enough(b.merit) {
		pieces, st := slices.Clone(b.pieces), b.strategy
		for range 1 + random.IntN(3) {
			x, y := random.IntN(len(pieces)), random.IntN(len(pieces))
			pieces[x], pieces[y] = pieces[y], pieces[x]
		}
		if random.IntN(4) == 0 {
			st = all[random.IntN(len(all))]
		}
		b.offer(j.pack(pieces, st, stock, prefer[random.IntN(len(prefer))], m), pieces, st)
		m.spend(len(pieces))
	}
}

// sheetBySheet fills one sheet with the greatest value for its cost, cuts as
// many like it as the pieces wanted allow, and goes on with the rest. Values
// are raised to a power near one: above one, bulky pieces are laid first and
// the small ones kept for the gaps of later sheets.
func (j *job) sheetBySheet(stock []int, bulk float64, m *meter) solution {
	weighted := *j
	weighted.kinds = slices.Clone(j.kinds)
	for i := range weighted.kinds {
		weighted.kinds[i].value = math.Pow(j.kinds[i].value, bulk)
	}
	stock, left := slices.Clone(stock), j.counts()
	sol := solution{left: left}
	for slices.Max(left) > 0 {
		chosen, ok := weighted.bestSheet(stock, left, m)
		if !ok {
			break
		}
		for range repeats(chosen, left, stock) {
			sol.patterns = append(sol.patterns, chosen)
		}
	}
	return sol
}

// bestSheet fills one of each size of sheet at hand and keeps the one with the
// greatest value for its cost.
func (j *job) bestSheet(stock, left []int, m *meter) (pattern, bool) {
	chosen, rate := filled{}, 0.0
	for b := range j.boards {
		if stock[b] == 0 {
			continue
		}
		m.share(0.25, func(part *meter) {
			f := j.fill(b, left, part)
			if r := f.value / j.boards[b].cost; r > rate {
				chosen, rate = f, r
			}
		})
	}
	return chosen.pattern, rate > 0
}

// repeats takes a pattern from the pieces and the stock left as often as both
// allow, and returns how often that is.
func repeats(p pattern, left, stock []int) int {
	used := make([]int, len(left))
	for _, s := range p.spots {
		used[s.kind]++
	}
	times := stock[p.board]
	if times == Unlimited {
		times = math.MaxInt
	} else {
		defer func() { stock[p.board] -= times }()
	}
	for k, n := range used {
		if n > 0 {
			times = min(times, left[k]/n)
		}
	}
	for k, n := range used {
		left[k] -= n * times
	}
	return times
}

// downsize moves the pieces of each sheet, last sheet first, to the cheapest
// sheet at hand that some strategy fits them on.
func (j *job) downsize(s solution, stock []int) solution {
	if len(j.boards) == 1 {
		return s
	}
	left := slices.Clone(stock)
	for _, p := range s.patterns {
		if left[p.board] != Unlimited {
			left[p.board]--
		}
	}
	s.patterns = slices.Clone(s.patterns)
	for i := len(s.patterns) - 1; i >= 0; i-- {
		was := s.patterns[i]
		for _, b := range j.preferences()[0] {
			if left[b] == 0 || j.boards[b].cost >= j.boards[was.board].cost {
				continue
			}
			if p, ok := j.refit(was, b); ok {
				s.patterns[i] = p
				if left[b] != Unlimited {
					left[b]--
				}
				if left[was.board] != Unlimited {
					left[was.board]++
				}
				break
			}
		}
	}
	return s
}

// refit lays the pieces of a pattern on another board.
func (j *job) refit(p pattern, b int) (pattern, bool) {
	counts, total := make([]int, len(j.kinds)), 0
	for _, s := range p.spots {
		counts[s.kind]++
		total += s.w * s.h
	}
	if total > j.boards[b].w*j.boards[b].h {
		return pattern{}, false
	}
	stock := make([]int, len(j.boards))
	stock[b] = 1
	for order := range orderCount {
		pieces := j.sequence(order, counts)
		for fit := range fitCount {
			s := j.pack(pieces, strategy{order, fit, splitForLargest}, stock, []int{b}, j.work)
			if len(s.patterns) == 1 && slices.Max(s.left) == 0 {
				return s.patterns[0], true
			}
		}
	}
	return pattern{}, false
}

// filled is one board with as much value on it as was found.
type filled struct {
	pattern pattern
	value   float64
	bound   float64 // no pattern is worth more
}

// fill looks for the most valuable pattern on one board: every strategy, the
// exact search where the board is small enough for it, then small changes.
func (j *job) fill(board int, counts []int, m *meter) filled {
	counts = j.capped(board, counts)
	one := j.only(counts)
	stock := make([]int, len(j.boards))
	stock[board] = 1
	b := one.newBest(one.merit)
	one.tryStrategies(b, counts, stock, m)
	bound := one.valueBound(board)
	total := 0.0
	for k, n := range counts {
		total += float64(n) * one.kinds[k].value
	}
	b.enough = func(now merit) bool { return total-now.missing >= bound*(1-1e-9) }
	if !b.enough(b.merit) {
		m.share(0.7, func(part *meter) {
			exact := one.exact(board, counts, total-b.merit.missing, part)
			if exact.found != nil {
				b.offer(one.solution(board, exact.found), nil, strategy{})
			}
			if one.guillotine {
				bound = min(bound, exact.bound)
			}
		})
	}
	one.improve(b, stock, m)
	f := filled{value: total - b.merit.missing, bound: bound}
	if len(b.solution.patterns) > 0 {
		f.pattern = b.solution.patterns[0]
	} else {
		f.pattern = one.newTable(one.boards[board], splitForLargest).pattern(board)
	}
	return f
}

// capped reduces the counts to what one board can hold.
func (j *job) capped(board int, counts []int) []int {
	most := make([]int, len(counts))
	for k, n := range counts {
		if len(j.kinds[k].sizes[board]) > 0 {
			most[k] = min(n, j.boards[board].w*j.boards[board].h/j.kinds[k].area())
		}
	}
	return most
}

// only is the job reduced to the given counts.
func (j *job) only(counts []int) *job {
	one := *j
	one.kinds = slices.Clone(j.kinds)
	for i := range one.kinds {
		one.kinds[i].count = counts[i]
	}
	return &one
}

// solution wraps a pattern found by the exact search.
func (j *job) solution(board int, b *build) solution {
	b2 := j.boards[board]
	root := newLeaf(0, 0, b2.w, b2.h)
	root.carve(b)
	sol := solution{left: j.counts(), patterns: []pattern{{board: board, spots: root.spots(), root: root}}}
	for _, s := range sol.patterns[0].spots {
		sol.left[s.kind]--
	}
	return sol
}
