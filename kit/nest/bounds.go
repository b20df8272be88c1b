package nest

import (
	"cmp"
	"math"
	"slices"
)

// This file bounds what no layout can do better.

// bounds are the least number of sheets and the least cost for all pieces.
func (j *job) bounds() (sheets int, cost float64) {
	if len(j.kinds) == 0 {
		return 0, 0
	}
	var big board
	cheapest := math.Inf(1)
	for _, b := range j.boards {
		if b.count != 0 {
			big.w, big.h = max(big.w, b.w), max(big.h, b.h)
			cheapest = min(cheapest, b.cost)
		}
	}
	sheets = max(j.areaBound(big), j.dualFeasibleBound(big))
	return sheets, max(float64(sheets)*cheapest, j.costByArea())
}

func (j *job) totalArea() int {
	total := 0
	for _, k := range j.kinds {
		total += k.count * k.area()
	}
	return total
}

// areaBound is L0: the area of all pieces by that of the sheet, rounded up.
func (j *job) areaBound(b board) int {
	return (j.totalArea() + b.w*b.h - 1) / (b.w * b.h)
}

// costByArea is the least cost of enough sheet area: the sheets at hand that
// are cheapest by area, the last one in part. With too few sheets at hand all
// of them are counted.
func (j *job) costByArea() float64 {
	boards := slices.Clone(j.boards)
	slices.SortStableFunc(boards, func(a, b board) int {
		return cmp.Compare(a.cost/float64(a.w*a.h), b.cost/float64(b.w*b.h))
	})
	left, cost := float64(j.totalArea()), 0.0
	for _, b := range boards {
		n := left / float64(b.w*b.h)
		if b.count != Unlimited {
			n = min(n, float64(b.count))
		}
		cost += n * b.cost
		left -= n * float64(b.w*b.h)
	}
	return cost
}

// A dualFeasible function maps lengths, as a share of the whole, to shares so
// that lengths which fit together still do. The area bound with widths and
// heights mapped by any two of them is a bound again (fekete2004general).
type dualFeasible func(length, whole int) float64

func identity(length, whole int) float64 { return float64(length) / float64(whole) }

// bigOnes rounds lengths beyond 1−ε up to the whole and drops those below ε
// (U^ε in fekete2004general, ε at most one half).
func bigOnes(epsilon int) dualFeasible {
	return func(length, whole int) float64 {
		switch {
		case length > whole-epsilon:
			return 1
		case length < epsilon:
			return 0
		}
		return float64(length) / float64(whole)
	}
}

// kths counts in parts of 1/k (u^(k) in fekete2004general).
func kths(k int) dualFeasible {
	return func(length, whole int) float64 {
		if (k+1)*length%whole == 0 {
			return float64(length) / float64(whole)
		}
		return float64((k+1)*length/whole) / float64(k)
	}
}

// slots counts how many lengths of at least ε fit beside each other (φ^ε in
// fekete2004general, ε at most one half).
func slots(epsilon int) dualFeasible {
	return func(length, whole int) float64 {
		n := whole / epsilon
		switch {
		case 2*length > whole:
			return 1 - float64((whole-length)/epsilon)/float64(n)
		case length < epsilon:
			return 0
		}
		return 1 / float64(n)
	}
}

// dualFeasibles are the functions worth trying on one side: their thresholds
// are the lengths that occur and what these leave of the whole.
func dualFeasibles(lengths []int, whole int) []dualFeasible {
	all := []dualFeasible{identity, kths(1), kths(2), kths(3), kths(4)}
	var thresholds []int
	for _, l := range lengths {
		for _, e := range []int{l, whole - l + 1} {
			if e > 0 && 2*e <= whole {
				thresholds = append(thresholds, e)
			}
		}
	}
	slices.Sort(thresholds)
	thresholds = slices.Compact(thresholds)
	const most = 24
	step := max(1, len(thresholds)/most)
	for i := 0; i < len(thresholds); i += step {
		all = append(all, bigOnes(thresholds[i]), slots(thresholds[i]))
	}
	return all
}

// lengths are the sides that occur, for the width or the height of a board.
func (j *job) lengths() []int {
	var all []int
	for _, k := range j.kinds {
		for _, sizes := range k.sizes {
			for _, s := range sizes {
				all = append(all, s.w, s.h)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// dualFeasibleBound is the best such bound on the number of sheets. A piece
// that may be turned counts as the lesser of its two ways, which holds
// whichever way it is laid.
func (j *job) dualFeasibleBound(b board) int {
	lengths := j.lengths()
	most := 0.0
	for _, f := range dualFeasibles(lengths, b.w) {
		for _, g := range dualFeasibles(lengths, b.h) {
			most = max(most, j.mapped(func(s size) float64 { return f(s.w, b.w) * g(s.h, b.h) }))
		}
	}
	return int(math.Ceil(most - 1e-6))
}

// mapped sums a measure over all pieces, each laid the way that counts least
// on any board.
func (j *job) mapped(measure func(size) float64) float64 {
	var sum float64
	for _, k := range j.kinds {
		least := math.Inf(1)
		for _, sizes := range k.sizes {
			for _, s := range sizes {
				least = min(least, measure(s))
			}
		}
		sum += float64(k.count) * least
	}
	return sum
}

// stripBound is the least height of a strip as wide as the board: by area, by
// dual feasible functions of the width, and by the longest piece.
func (j *job) stripBound(b board) int {
	most := 0.0
	for _, f := range dualFeasibles(j.lengths(), b.w) {
		most = max(most, j.mapped(func(s size) float64 { return f(s.w, b.w) * float64(s.h) }))
	}
	bound := int(math.Ceil(most - 1e-6))
	for _, k := range j.kinds {
		least := math.MaxInt
		for _, s := range k.sizes[0] {
			least = min(least, s.h)
		}
		bound = max(bound, least)
	}
	return bound
}

// valueBound is the most value that the area of a board can hold: pieces in
// order of value by area, the last one in part.
func (j *job) valueBound(board int) float64 {
	kinds := slices.Clone(j.kinds)
	slices.SortStableFunc(kinds, func(a, b kind) int {
		return cmp.Compare(b.value/float64(b.area()), a.value/float64(a.area()))
	})
	left, value := float64(j.boards[board].w*j.boards[board].h), 0.0
	for _, k := range kinds {
		if len(k.sizes[board]) == 0 {
			continue
		}
		n := min(float64(k.count), left/float64(k.area()))
		value += n * k.value
		left -= n * float64(k.area())
	}
	return value
}
