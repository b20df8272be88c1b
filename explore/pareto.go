package explore

import (
	"cmp"
	"math"
	"slices"
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
// They are taken in an order in which nobody is beaten by one that comes later, so
// that each need only be held against the fronts so far (Zhang, Tian, Cheng and Jin,
// key zhang2015efficient).
func rank(all []Individual) (fronts [][]int) {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &all[i], &all[j]
		return cmp.Or(cmp.Compare(max(a.Violation, 0), max(b.Violation, 0)), slices.Compare(a.Objectives, b.Objectives))
	})
	for _, i := range order {
		r := slices.IndexFunc(fronts, func(front []int) bool {
			return !slices.ContainsFunc(front, func(j int) bool { return all[j].beats(&all[i]) })
		})
		if r < 0 {
			r = len(fronts)
			fronts = append(fronts, nil)
		}
		all[i].rank = r
		fronts[r] = append(fronts[r], i)
	}
	for _, front := range fronts {
		crowd(all, front)
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
