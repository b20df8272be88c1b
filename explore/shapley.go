package explore

import (
	"math"
	"math/bits"
)

// exactShapley is the number of changes up to which every set of them is tried:
// 2¹⁰ stoves.
const exactShapley = 10

// Shapley splits the worth of all players together among them: to each the mean of
// what it adds, over every order in which they may come (Shapley, key
// shapley1953value). Worth of a set is given by its bits. Orders that pass through
// a set without worth (NaN) are left out; whole is the share of orders that remain,
// and the split is NaN where none does. Up to 16 players.
func Shapley(players int, worth func(set uint) float64) (split []float64, whole float64) {
	n := 1 << players
	value := make([]float64, n)
	for set := range value {
		value[set] = worth(uint(set))
	}
	// ways up to a set and from it to the end through sets that have a worth
	up, down := make([]float64, n), make([]float64, n)
	ok := func(set int) bool { return !math.IsNaN(value[set]) }
	for set := range n {
		if set == 0 && ok(0) {
			up[0] = 1
		}
		for rest := uint(set); rest != 0 && ok(set); rest &= rest - 1 {
			up[set] += up[set&^(1<<bits.TrailingZeros(rest))]
		}
	}
	for set := n - 1; set >= 0; set-- {
		if set == n-1 && ok(set) {
			down[set] = 1
		}
		for rest := uint((n - 1) &^ set); rest != 0 && ok(set); rest &= rest - 1 {
			down[set] += down[set|1<<bits.TrailingZeros(rest)]
		}
	}
	all := 1.0
	for k := 2; k <= players; k++ {
		all *= float64(k)
	}
	split = make([]float64, players)
	for i := range split {
		for set := range n {
			with := set | 1<<i
			if set == with || up[set] == 0 || down[with] == 0 {
				continue
			}
			split[i] += up[set] * down[with] * (value[with] - value[set])
		}
		split[i] /= up[n-1]
	}
	return split, up[n-1] / all
}

// SampledShapley is the same for many players, from so many random orders and
// their reverses (Castro, Gómez and Tejada, key castro2009polynomial), with the
// standard error of each part. Orders that meet a set without worth are left out.
// The set is told by who is in it.
func SampledShapley(players, orders int, seed uint64, worth func(in []bool) float64) (split, se []float64, whole float64) {
	sum, squares := make([]float64, players), make([]float64, players)
	kept := 0.0
	walk := func(order []int) ([]float64, bool) {
		in, added := make([]bool, players), make([]float64, players)
		last := worth(in)
		for _, i := range order {
			in[i] = true
			now := worth(in)
			added[i] = now - last
			last = now
			if math.IsNaN(added[i]) {
				return nil, false
			}
		}
		return added, true
	}
	for k := range orders {
		order := stream(seed, uint64(k)).Perm(players)
		back := make([]int, players)
		for i, p := range order {
			back[players-1-i] = p
		}
		a, okA := walk(order)
		b, okB := walk(back)
		if !okA || !okB {
			continue
		}
		kept++
		for i := range sum {
			x := (a[i] + b[i]) / 2
			sum[i] += x
			squares[i] += x * x
		}
	}
	se = make([]float64, players)
	for i := range sum {
		sum[i] /= kept
		se[i] = math.Sqrt(math.Max(squares[i]/kept-sum[i]*sum[i], 0) / math.Max(kept-1, 1))
	}
	return sum, se, kept / float64(orders)
}
