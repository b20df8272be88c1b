package explore

import (
	"maps"
	"math"
	"slices"

	"stovewright/stove"
)

// Prices are what a stove is made of costs, in any one currency. Nobody knows
// them but the workshop; a price of zero leaves its material out of the cost.
type Prices struct {
	Brick  float64 // of one chamber brick, fired
	Liner  float64 // of the liner
	Sheet  float64 // of a square metre of sheet steel
	Body   float64 // of a can or drum that is used as the body
	Fill   float64 // of a cubic metre of fill
	Rod    float64 // of a metre of rod
	Labour float64 // of everything that every stove takes
}

// Zero reports whether no price is known, so that cost says nothing.
func (p Prices) Zero() bool { return p == Prices{} }

// ByName leads from the names of the prices to them.
func (p *Prices) ByName() map[string]*float64 {
	return map[string]*float64{"brick": &p.Brick, "liner": &p.Liner, "sheet": &p.Sheet, "body": &p.Body, "fill": &p.Fill, "rod": &p.Rod, "labour": &p.Labour}
}

// Priced are the names of the prices that tell designs for the brief of a stove apart,
// each by itself, in the order of the alphabet.
func Priced(s *stove.Stove) (names []string) {
	for _, name := range slices.Sorted(maps.Keys(new(Prices).ByName())) {
		var alone Prices
		*alone.ByName()[name] = 1
		if !alone.For(s).Zero() {
			names = append(names, name)
		}
	}
	return names
}

// For are the prices that tell designs for the brief of a stove apart: none of what no
// design is made of, and none at all where only that has a price which every stove
// takes.
func (p Prices) For(s *stove.Stove) Prices {
	if s.Liner {
		p.Brick = 0
	} else {
		p.Liner = 0
	}
	if len(s.Brief.Bodies) == 0 {
		p.Body = 0
	}
	if (p == Prices{Labour: p.Labour}) {
		return Prices{}
	}
	return p
}

// Of is what a stove costs.
func (p Prices) Of(s *stove.Stove) float64 {
	cost := p.Labour + p.Rod*rodsOf(s) + p.Sheet*sheetOf(s) + p.Fill*fillOf(s)
	if s.Container != nil {
		cost += p.Body
	}
	if s.Liner {
		return cost + p.Liner
	}
	return cost + p.Brick*float64(s.Sides*s.Courses)
}

// rodsOf is the length of the three pot rods, m.
func rodsOf(s *stove.Stove) float64 { return 3 * s.RodLength }

// sheetOf is the sheet that the stove takes, m²: body and base where they are
// rolled, top ring, skirt, mouth sleeve and shelf, without offcuts.
func sheetOf(s *stove.Stove) float64 {
	disc := func(d float64) float64 { return math.Pi / 4 * d * d }
	area := disc(s.BodyOuter()) - disc(s.TopHole) + s.SkirtLength*s.SkirtHeight
	area += 2 * (s.MouthWidth + s.MouthHeight) * (s.TunnelLength() + s.Lip)
	area += (s.MouthWidth + 2*s.ShelfHeight) * (s.ShelfReach + s.TunnelLength() + s.ShelfOut)
	if s.Container == nil {
		area += math.Pi*s.BodyInner*s.BodyHeight + disc(s.BodyInner)
	}
	return area
}

// fillOf is the fill between bricks and body, m³.
func fillOf(s *stove.Stove) float64 {
	block := float64(s.Sides) / 4 * s.BlockFlats() * s.BlockFlats() * math.Tan(math.Pi/float64(s.Sides))
	return math.Max(0, math.Pi/4*s.BodyInner*s.BodyInner*s.BodyHeight-block*(s.ChamberHeight+s.FloorThickness))
}
