package explore

import (
	"math"
	"sort"
)

// dominates reports whether a is nowhere worse than b and somewhere better; all
// objectives are to be small.
func dominates(a, b []float64) bool {
	better := false
	for i := range a {
		if a[i] > b[i] {
			return false
		}
		better = better || a[i] < b[i]
	}
	return better
}

// beats is constrained domination (Deb and others, key deb2002fast): what keeps
// the limits beats what does not, less violation beats more, and between two that
// keep them the objectives decide.
func (a *Individual) beats(b *Individual) bool {
	switch {
	case a.Violation != b.Violation && (a.Violation > 0 || b.Violation > 0):
		return a.Violation < b.Violation
	case a.Violation > 0:
		return false
	}
	return dominates(a.Objectives, b.Objectives)
}

// rank sorts individuals into fronts and sets their crowding (Deb and others,
// key deb2002fast): rank 0 is beaten by nobody, rank 1 by rank 0 alone, and so on.
func rank(all []Individual) (fronts [][]int) {
	n := len(all)
	beaten := make([]int, n) // by how many
	over := make([][]int, n)
	for i := range all {
		for j := i + 1; j < n; j++ {
			switch {
			case all[i].beats(&all[j]):
				over[i] = append(over[i], j)
				beaten[j]++
			case all[j].beats(&all[i]):
				over[j] = append(over[j], i)
				beaten[i]++
			}
		}
	}
	var front []int
	for i, b := range beaten {
		if b == 0 {
			front = append(front, i)
		}
	}
	for len(front) > 0 {
		crowd(all, front)
		for _, i := range front {
			all[i].rank = len(fronts)
		}
		fronts = append(fronts, front)
		var next []int
		for _, i := range front {
			for _, j := range over[i] {
				if beaten[j]--; beaten[j] == 0 {
					next = append(next, j)
				}
			}
		}
		sort.Ints(next)
		front = next
	}
	return fronts
}

// crowd sets the crowding distance of a front: how far its neighbours are, summed
// over the objectives, each over its range; infinite at the ends.
func crowd(all []Individual, front []int) {
	for _, i := range front {
		all[i].crowding = 0
	}
	order := append([]int(nil), front...)
	for m := range all[front[0]].Objectives {
		at := func(k int) float64 { return all[order[k]].Objectives[m] }
		sort.SliceStable(order, func(i, j int) bool { return at(i) < at(j) })
		last := len(order) - 1
		span := at(last) - at(0)
		all[order[0]].crowding, all[order[last]].crowding = math.Inf(1), math.Inf(1)
		if !(span > 0) || math.IsInf(span, 0) {
			continue
		}
		for k := 1; k < last; k++ {
			all[order[k]].crowding += (at(k+1) - at(k-1)) / span
		}
	}
}

// Hypervolume is the volume that points dominate up to a reference point, exactly,
// by cutting along the last objective (Zitzler and Thiele, key
// zitzler1999multiobjective). Points beyond the reference count as far as they
// reach.
func Hypervolume(points [][]float64, reference []float64) float64 {
	m := len(reference)
	var inside [][]float64
	for _, p := range points {
		ok := true
		for i := range reference {
			ok = ok && p[i] < reference[i]
		}
		if ok {
			inside = append(inside, p)
		}
	}
	sort.SliceStable(inside, func(i, j int) bool { return inside[i][m-1] < inside[j][m-1] })
	if m == 1 {
		if len(inside) == 0 {
			return 0
		}
		return reference[0] - inside[0][0]
	}
	if m == 2 {
		return staircase(inside, reference)
	}
	volume := 0.0
	var slab [][]float64 // of the points so far, without the last objective
	for i, p := range inside {
		slab = insertNondominated(slab, p[:m-1])
		top := reference[m-1]
		if i+1 < len(inside) {
			top = inside[i+1][m-1]
		}
		if depth := top - p[m-1]; depth > 0 {
			volume += depth * Hypervolume(slab, reference[:m-1])
		}
	}
	return volume
}

// staircase is the area of points in order of their second objective.
func staircase(points [][]float64, reference []float64) float64 {
	area, left := 0.0, reference[0]
	for _, p := range points {
		if p[0] < left {
			area += (left - p[0]) * (reference[1] - p[1])
			left = p[0]
		}
	}
	return area
}

// insertNondominated adds a point to a set of which none dominates another.
func insertNondominated(set [][]float64, p []float64) [][]float64 {
	for _, q := range set {
		if dominates(q, p) || equal(q, p) {
			return set
		}
	}
	kept := set[:0]
	for _, q := range set {
		if !dominates(p, q) {
			kept = append(kept, q)
		}
	}
	return append(kept, p)
}

func equal(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
