package nest

import (
	"cmp"
	"slices"
)

// inHole says that one disc of a part is cut from the hole of one ring.
type inHole struct{ disc, ring int }

// nestDiscs pairs discs with the holes of rings, the largest disc first, each
// with the smallest hole that takes it with a cut all round. It returns how
// many of each part still need a place of their own, and the pairs.
func nestDiscs(parts []Part, kerf float64) (demand []int, pairs []inHole) {
	demand = make([]int, len(parts))
	var discs, rings []int
	for i, p := range parts {
		demand[i] = p.Count
		if p.Disc {
			discs = append(discs, i)
		}
		if p.Hole > 0 {
			rings = append(rings, i)
		}
	}
	slices.SortStableFunc(discs, func(a, b int) int { return cmp.Compare(parts[b].Width, parts[a].Width) })
	slices.SortStableFunc(rings, func(a, b int) int { return cmp.Compare(parts[a].Hole, parts[b].Hole) })
	holes := slices.Clone(demand)
	for _, d := range discs {
		for _, r := range rings {
			if steps(parts[d].Width+2*kerf) > steps(parts[r].Hole) {
				continue
			}
			for demand[d] > 0 && holes[r] > 0 {
				demand[d]--
				holes[r]--
				pairs = append(pairs, inHole{d, r})
			}
		}
	}
	return demand, pairs
}

// fillHoles places the paired discs in the middle of their rings. Larger discs
// come first in pairs, so that a ring that is itself in a hole is there before
// the disc in its own hole.
func fillHoles(sheets []Sheet, stocks []Stock, parts []Part, pairs []inHole) {
	for _, pair := range pairs {
		for s := range sheets {
			if place(&sheets[s], stocks[sheets[s].Stock].Grain, parts, pair) {
				break
			}
		}
	}
}

func place(s *Sheet, grain Grain, parts []Part, pair inHole) bool {
	for i, ring := range s.Placed {
		taken := slices.ContainsFunc(s.Placed, func(p Placement) bool { return p.Inside == i })
		if ring.Part != pair.ring || taken {
			continue
		}
		d, own := parts[pair.disc].Width, parts[pair.disc].Grain
		s.Placed = append(s.Placed, Placement{Part: pair.disc, Inside: i,
			Turned: own != NoGrain && grain != NoGrain && own != grain,
			Rect:   Rect{ring.X + (ring.Width-d)/2, ring.Y + (ring.Height-d)/2, d, d}})
		return true
	}
	return false
}
