package explore

import (
	"math"

	"stovewright/stove"
)

// Making is how a stove comes out otherwise than it was drawn, and how a pot
// differs from its measure. SI; zero is perfect.
type Making struct {
	Tape      float64 // m, by which the pot's circumference is larger than the tape said
	Seam      float64 // m, by which the skirt's sheet came out longer
	Dent      float64 // m, by which dents and ovality narrow the gap around the pot
	Shrinkage float64 // share by which the fired bricks are larger than planned
	Rods      float64 // m, by which the rods hold the pot too high
	Lining    float64 // m, by which the lining on the top ring is too thick
	Mouth     float64 // m, by which the fuel mouth is too high
}

// leastGap is the narrowest gap that is still one, m: a pot that jams.
const leastGap = 0.001

// Built is a sized stove as it comes out of the hands of its maker: a copy with
// the errors worked into it. Nothing follows from them, as nothing does at the
// bench. ok is false where the pot does not go in or nothing is left of a gap.
func Built(s *stove.Stove, e Making) (built *stove.Stove, ok bool) {
	b := *s
	b.Pot.Circumference += e.Tape
	b.SkirtInner += e.Seam / math.Pi
	b.SkirtGap += (e.Seam-e.Tape)/(2*math.Pi) - e.Dent
	grown := 1 + e.Shrinkage
	b.ChamberWidth *= grown
	b.Flats *= grown
	b.ChamberArea *= grown * grown
	b.BrickThickness *= grown
	b.ChamberHeight *= grown
	b.RestHeight += e.Rods
	b.SkirtRise -= e.Rods // the skirt stays where it is
	b.ThroatGap += e.Rods
	b.EdgeGap += e.Rods - e.Lining
	if b.BlockGap > 0 {
		b.BlockGap += e.Rods - e.Lining
	}
	b.MouthHeight += e.Mouth
	least := math.Min(math.Min(b.SkirtGap, b.ThroatGap), b.EdgeGap)
	if b.BlockGap > 0 || s.BlockGap > 0 {
		least = math.Min(least, b.BlockGap)
	}
	return &b, least >= leastGap && b.MouthHeight > b.ShelfHeight
}

// leastSeat is what a pot must reach beyond the middle of the rods, as the sizing
// has it; a smaller one falls between them.
const leastSeat = 0.005

// WithPot is a stove with another pot of its kitchen set in: the same skirt and
// rods, another gap and another fill. ok is false where it does not go in, falls
// between the rods, or sits so low that its handles meet the skirt.
func WithPot(s *stove.Stove, p stove.Pot) (other *stove.Stove, ok bool) {
	b := *s
	fill, mass := p.Fill, p.Mass
	b.Pot = p
	if !fill.Known {
		fill = stove.Given{SI: p.Capacity() * 2 / 3, Known: true} // as the sizing takes it
	}
	if !mass.Known { // as much metal for its surface as the stove's own pot
		mass = stove.Given{SI: s.Pot.Mass.SI * surface(p) / surface(s.Pot), Known: true}
	}
	b.Pot.Fill, b.Pot.Mass = fill, mass
	b.SkirtGap = (s.SkirtInner - p.Diameter()) / 2
	b.EdgeGap = s.GapAt(math.Max(p.Diameter()/2, math.Sqrt(s.ChamberArea/math.Pi)+leastGap))
	if p.Diameter() < s.BlockFlats() {
		b.BlockGap = 0
	}
	sinks := p.Sag(s.RodOffset) - s.Pot.Sag(s.RodOffset) // a rounder base hangs lower between the rods
	b.RestHeight -= sinks
	b.SkirtRise += sinks
	b.ThroatGap -= sinks
	b.EdgeGap -= sinks
	if b.BlockGap > 0 {
		b.BlockGap -= sinks
	}
	bore := 2 * math.Sqrt(s.ChamberArea/math.Pi)
	room := math.Min(b.SkirtGap, math.Min(b.ThroatGap, b.RestHeight)) >= leastGap && p.Diameter() > bore+2*leastGap
	sits := p.Diameter()/2 >= s.RodOffset+leastSeat && p.Handle >= b.SkirtRise
	return &b, room && sits
}

// surface is that of side and base, m².
func surface(p stove.Pot) float64 {
	d := p.Diameter()
	return math.Pi*d*p.Height + math.Pi/4*d*d
}
