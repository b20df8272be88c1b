package stove

import "math"

const underEdge = 10 * mm // of the skirt, that the lining leaves free

// LiningThickness is the thickness of the insulating layer on the top ring at
// radius r: what keeps the gap under the pot at constant flow area. Under a flat
// pot it is straight between the throat, the edge of the brick block and the
// edge of the pot. Under a round base it runs beside the base, the gap away
// square to it, until it meets the skirt; it stays below the skirt's edge, on
// which the strickle rides.
func (s *Stove) LiningThickness(r float64) float64 {
	p := s.Pot
	if !p.Round {
		return s.ThroatGap - s.GapAt(r)
	}
	low, high := 0.0, p.Diameter()/2
	for range 40 { // the place of the base that is square over r
		middle := (low + high) / 2
		if across, _ := s.beside(middle); across < r {
			low = middle
		} else {
			high = middle
		}
	}
	_, height := s.beside(low)
	return min(s.seat()+height, s.TopThickness+s.SkirtHeight-underEdge)
}

// beside is the place of the lining that belongs to a place of the base at
// radius r: its own radius, and its height above the lowest point of the pot.
func (s *Stove) beside(r float64) (across, height float64) {
	slope, gap := s.Pot.Slope(r), s.GapAt(r)
	return r + gap*math.Sin(slope), s.Pot.Sag(r) - gap*math.Cos(slope)
}

// seat is how high above the throat the lowest point of the pot stands when the
// rim of the bore is the throat's gap away from it.
func (s *Stove) seat() float64 {
	if !s.Pot.Round {
		return s.ThroatGap
	}
	c, bore := s.Pot.curvature(), s.boreRadius()
	return math.Sqrt((c+s.ThroatGap)*(c+s.ThroatGap)-bore*bore) - c
}

// LiningMost is the lining's thickness at the skirt, where it is thickest.
func (s *Stove) LiningMost() float64 { return s.LiningThickness(s.SkirtInner / 2) }

// LiningRadii are the radii from the bore to the skirt between which the lining
// may be drawn straight: where its slope changes, or under a round base a few
// more.
func (s *Stove) LiningRadii() []float64 {
	from, to := s.boreRadius(), s.SkirtInner/2
	list := []float64{from}
	if s.Pot.Round {
		const n = 12
		for i := 1; i < n; i++ {
			list = append(list, from+(to-from)*float64(i)/n)
		}
		return append(list, to)
	}
	for _, r := range []float64{s.BlockFlats() / 2, s.Pot.Diameter() / 2, to} {
		if r > list[len(list)-1]+mm && r <= to {
			list = append(list, r)
		}
	}
	return list
}

// LiningVolume is the lining's from the bore to the skirt, by rings a millimetre
// wide.
func (s *Stove) LiningVolume() float64 {
	from, to := math.Sqrt(s.ChamberAreaPolygon()/math.Pi), s.SkirtInner/2
	n := int(math.Ceil((to - from) / mm))
	var sum float64
	for i := range n {
		r := from + (to-from)*(float64(i)+0.5)/float64(n)
		sum += 2 * math.Pi * r * (to - from) / float64(n) * max(0, s.LiningThickness(r))
	}
	return sum
}

// GapAt is the gap between the pot at its radius r and the lining, from the bore
// outward, square to the base.
func (s *Stove) GapAt(r float64) float64 {
	bore, block, edge := s.boreRadius(), s.BlockFlats()/2, s.Pot.Diameter()/2
	if s.BlockGap == 0 { // a pot smaller than the block: one straight slope
		return between(r, bore, s.ThroatGap, edge, s.EdgeGap)
	}
	if r < block {
		return between(r, bore, s.ThroatGap, block, s.BlockGap)
	}
	return between(r, block, s.BlockGap, edge, s.EdgeGap)
}
