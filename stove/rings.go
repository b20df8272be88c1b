package stove

import (
	"math"

	"stovewright/gas"
	"stovewright/message"
	"stovewright/quantity"
)

// Ring is one station of the gas path: its flow area, the ratio to the
// chamber, and the ratio that the gas needs there at its usual temperature.
type Ring struct {
	Key     string  // message "stove.ring.<key>"
	Gap     float64 // m, the free height or width that makes the area; 0 where it is no gap
	Area    float64 // m²
	Ratio   float64 // Area over the chamber's
	Needs   float64 // least ratio at the usual gas temperature of the station
	Wide    float64 // ratio above which the heat passes by the pot
	Verdict string  // "right", "narrow" or "wide"
}

// Name is the message of the ring's name.
func (r Ring) Name() message.Text { return message.T("stove.ring." + r.Key) }

// AreaValue and RatioValue print a ring.
func (r Ring) AreaValue() quantity.Value { return quantity.CM2(r.Area) }
func (r Ring) RatioValue() quantity.Value {
	return quantity.Value{SI: r.Ratio, Unit: quantity.One, Step: 0.01}
}

// Usual gas temperatures along the path, K (common practice); a station needs
// the share of the chamber's area that its cooler gas takes.
var stationKelvin = map[string]float64{
	"chamber": chamberGas, "throat": chamberGas, "block": 1000, "rods": 900, "edge": 900, "skirt": skirtGas,
}

// wideRatio is how many times the chamber's area a ring may have before gas
// drifts past the pot (common practice).
const wideRatio = 1.5

func rings(s *Stove) []Ring {
	share := s.Value("gap.share").SI
	d := s.Pot.Diameter()
	air := s.MouthWidth * max(0, s.ShelfHeight-1*mm)
	list := []Ring{
		{Key: "mouth", Gap: s.MouthHeight, Area: s.MouthWidth * s.MouthHeight, Needs: 0.9, Wide: 1.3},
		{Key: "air", Gap: s.ShelfHeight, Area: air, Needs: 0.25, Wide: 0.45},
		{Key: "chamber", Area: s.ChamberArea},
		{Key: "throat", Gap: s.ThroatGap, Area: s.ThroatGap * s.BorePerimeter()},
	}
	if s.BlockGap > 0 {
		list = append(list, Ring{Key: "block", Gap: s.BlockGap, Area: math.Pi * s.BlockFlats() * s.BlockGap})
	}
	list = append(list,
		Ring{Key: "rods", Gap: s.underRest() - s.RodDiameter, Area: s.rodArea()},
		Ring{Key: "edge", Gap: s.EdgeGap, Area: math.Pi * d * s.EdgeGap},
		Ring{Key: "skirt", Gap: s.SkirtGap, Area: math.Pi * (d + s.SkirtGap) * s.SkirtGap},
	)
	for i := range list {
		r := &list[i]
		r.Ratio = r.Area / s.ChamberArea
		if r.Needs == 0 {
			r.Needs, r.Wide = share*stationKelvin[r.Key]/chamberGas, wideRatio
		}
		switch {
		case r.Ratio < r.Needs-0.005:
			r.Verdict = "narrow"
		case r.Ratio > r.Wide+0.005:
			r.Verdict = "wide"
		default:
			r.Verdict = "right"
		}
	}
	return list
}

// rodArea is the flow area where the gas passes the rods: beneath the three
// chords, between the lining and the rod, and freely through the arcs between
// their ends.
func (s *Stove) rodArea() float64 {
	outer := s.Pot.Diameter() / 2
	half := math.Acos(min(1, s.RodOffset/outer)) // half the angle a chord spans inside the pot
	chord := 2 * outer * math.Sin(half)
	open := 2*math.Pi - rods*2*half
	return rods*chord*max(0, s.underRest()-s.RodDiameter) + max(0, open)*outer*(s.EdgeGap+s.RestHeight-s.seat())
}

// underRest is the room between the lining and the pot where the rods carry it.
func (s *Stove) underRest() float64 {
	return s.RestHeight + s.Pot.Sag(s.RodOffset) - s.LiningThickness(s.RodOffset)
}

// GapPoint is the gap at one height of a pot: to the lining below it where the
// height is 0, to the skirt above.
type GapPoint struct {
	Height float64 // m above the lowest point of the pot
	Radius float64 // m, of the pot there
	Gap    float64 // m, level, from pot to skirt
}

// GapByHeight is the gap between a pot and the skirt, from the lowest point of
// the pot to the upper edge of the skirt. A flat pot has one gap; a round base
// opens downward like a funnel, which is why its skirt reaches above the widest
// ring.
func (s *Stove) GapByHeight(p Pot) []GapPoint {
	top := min(s.SkirtRise, p.Height)
	steps := int(math.Ceil(top / (10 * mm)))
	var list []GapPoint
	for i := 0; i <= steps; i++ {
		z := min(top, float64(i)*10*mm)
		r := p.RadiusAt(z)
		list = append(list, GapPoint{Height: z, Radius: r, Gap: s.SkirtInner/2 - r})
	}
	return list
}

// Fit is how one pot of the kitchen sits in the stove.
type Fit struct {
	Pot     Pot
	Gap     float64 // m, skirt gap of this pot at its widest
	Spread  float64 // m, plus-or-minus from tape, seam and roundness
	Verdict string  // message "stove.fit.<verdict>"
	Handles bool    // the handles clear the skirt
}

// Words is the sentence for the fit.
func (f Fit) Words() message.Text {
	return message.T("stove.fit."+f.Verdict, "gap", quantity.MM1(f.Gap))
}

func fits(s *Stove) []Fit {
	low, high := s.GapBand()
	var list []Fit
	for _, p := range s.Brief.Pots {
		f := Fit{Pot: p, Gap: (s.SkirtInner - p.Diameter()) / 2, Spread: GapSpread(p.TapeError, seamError, outOfRound),
			Handles: p.Handle >= s.SkirtRise+handleSpace-mm/2}
		switch {
		case p.Circumference == s.Pot.Circumference:
			f.Verdict = "made-for"
		case f.Gap < 2*mm:
			f.Verdict = "no"
		case p.Diameter()/2 < s.RodOffset+5*mm:
			f.Verdict = "falls"
		case f.Gap < low-mm:
			f.Verdict = "tight"
		case f.Gap <= high+2*mm:
			f.Verdict = "good"
		case f.Gap <= 25*mm:
			f.Verdict = "loose"
		default:
			f.Verdict = "ring"
		}
		list = append(list, f)
	}
	return list
}

// TradeFact is something the trade holds to be so, beside what the rules gave.
// Both are shown; neither is hidden where they disagree.
type TradeFact struct {
	Key    string       // message "stove.trade.<key>"
	Ours   message.Text // what this stove has
	Agrees bool
}

// Name is the trade's own statement.
func (t TradeFact) Name() message.Text { return message.T("stove.trade." + t.Key) }

// The trade's figures, common practice, no source.
const (
	tradeGap        = 12 * mm
	tradeBrick      = 600.0 // kg/m³
	tradeCanVolume  = 0.005 // m³, a can that is the body of a small stove
	tradeCanWide    = 0.18  // m, a usual 5 L can
	tradeCourses    = 3
	tradeFiringDegC = 1000.0
)

func tradeFacts(s *Stove) []TradeFact {
	density := s.BrickDensity()
	bodyGap := (s.BodyInner - s.Pot.Diameter()) / 2
	return []TradeFact{
		{"gap", message.T("stove.trade-ours.gap", "skirt", quantity.MM1(s.SkirtGap), "body", quantity.MM(bodyGap)),
			math.Abs(s.SkirtGap-tradeGap) < mm && math.Abs(bodyGap-tradeGap) < mm},
		{"can", message.T("stove.trade-ours.can", "body", quantity.MM(s.BodyInner), "litres", quantity.Value{SI: tradeCanVolume, Unit: quantity.Litre, Step: 1}, "can", quantity.MM(tradeCanWide)), s.BodyInner <= tradeCanWide},
		{"brick", message.T("stove.trade-ours.brick", "density", quantity.Value{SI: density, Unit: quantity.GramPerCM3, Step: 0.01}),
			density < gas.PlainWater && math.Abs(density-tradeBrick) <= 50},
		{"courses", message.T("stove.trade-ours.courses", "courses", s.Courses), s.Courses == tradeCourses},
		{"rods", message.T("stove.trade-ours.rods", "rods", rods, "holes", 2*rods), true},
		{"firing", message.T("stove.trade-ours.firing", "limit", quantity.Value{SI: tradeFiringDegC + 273.15, Unit: quantity.Celsius, Step: 10}), true},
	}
}
