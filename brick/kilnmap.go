package brick

import (
	"math"
	"slices"
	"strconv"

	"stovewright/message"
	"stovewright/stats"
)

// Placed is one brick where it stood in the kiln.
type Placed struct {
	Layer, Row, Column int
	Good               bool
}

// PlaceEffect says whether rejects follow one way of dividing the kiln.
type PlaceEffect struct {
	Factor string  // "layer", "row" or "column"
	Worst  int     // the group with the largest share of rejects
	Bad    int     // rejects in it
	Of     int     // bricks in it
	Else   float64 // share of rejects everywhere else
	P      float64 // chance of so uneven a spread if place did not matter, after Holm's correction for three looks
	Text   message.Text
}

// permutations of the kiln map; the smallest p it can tell is 1/(1+permutations).
const permutations = 4999

// FollowsPlace tests whether rejects follow the layer, the row or the column:
// the chi-squared statistic of rejects by group against its distribution when
// the verdicts are shuffled over the places (permutation test, seeded), with
// Holm's correction for the looks taken. The strongest comes first. A factor
// with one group only is left out.
func FollowsPlace(bricks []Placed, seed uint64) []PlaceEffect {
	factors := []struct {
		name string
		of   func(Placed) int
	}{
		{"layer", func(p Placed) int { return p.Layer }},
		{"row", func(p Placed) int { return p.Row }},
		{"column", func(p Placed) int { return p.Column }},
	}
	var effects []PlaceEffect
	var ps []float64
	for _, f := range factors {
		groups := make([]int, len(bricks))
		bad := make([]bool, len(bricks))
		for i, b := range bricks {
			groups[i], bad[i] = f.of(b), !b.Good
		}
		if e, ok := placeEffect(f.name, groups, bad, seed); ok {
			effects, ps = append(effects, e), append(ps, e.P)
		}
	}
	for i, p := range stats.Holm(ps) {
		effects[i].P = p
		effects[i].Text = placeText(effects[i])
	}
	slices.SortStableFunc(effects, func(a, b PlaceEffect) int {
		switch {
		case a.P < b.P:
			return -1
		case a.P > b.P:
			return 1
		}
		return 0
	})
	return effects
}

func placeText(e PlaceEffect) message.Text {
	group := message.T("brick.place."+e.Factor, "n", strconv.Itoa(e.Worst))
	id := "brick.place.none"
	if e.P < 0.05 {
		id = "brick.place.follows"
	}
	return message.T(id, "place", group, "bad", e.Bad, "of", e.Of, "else", pctValue(e.Else), "chance", pct1Value(e.P))
}

func placeEffect(name string, groups []int, bad []bool, seed uint64) (PlaceEffect, bool) {
	levels := slices.Clone(groups)
	slices.Sort(levels)
	levels = slices.Compact(levels)
	total := 0
	for _, b := range bad {
		if b {
			total++
		}
	}
	if len(levels) < 2 || total == 0 || total == len(bad) {
		return PlaceEffect{}, false
	}
	index := make([]int, len(groups))
	size := make([]float64, len(levels))
	for i, g := range groups {
		index[i], _ = slices.BinarySearch(levels, g)
		size[index[i]]++
	}
	count := make([]float64, len(levels))
	statistic := func() float64 { // Σ bad²/size orders the tables as chi-squared does
		clear(count)
		for i, b := range bad {
			if b {
				count[index[i]]++
			}
		}
		var s float64
		for k, c := range count {
			s += c * c / size[k]
		}
		return s
	}
	seen := statistic()
	e := PlaceEffect{Factor: name}
	worst := 0
	for k := range levels {
		if count[k]/size[k] > count[worst]/size[worst] {
			worst = k
		}
	}
	e.Worst, e.Bad, e.Of = levels[worst], int(count[worst]), int(size[worst])
	e.Else = (float64(total) - count[worst]) / math.Max(1, float64(len(bad))-size[worst])
	shuffled := slices.Clone(bad)
	bad = shuffled
	rng := stats.NewRand(seed)
	as := 1
	for range permutations {
		rng.Shuffle(len(bad), func(i, j int) { bad[i], bad[j] = bad[j], bad[i] })
		if statistic() >= seen-1e-9 {
			as++
		}
	}
	e.P = float64(as) / (permutations + 1)
	return e, true
}
