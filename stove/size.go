package stove

import (
	"math"

	"stovewright/gas"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

const (
	mm = 1e-3
	cm = 1e-2
)

// Size sizes a stove for a brief. It is made for the pot that needs most room
// (the largest circumference); the others are fitted to it. The error is a
// [message.InputErrors] when an override is unknown, out of range, or makes a
// stove that cannot be built at all; a stove that is merely doubtful is
// returned with its Checks saying why.
func Size(b Brief) (*Stove, error) {
	own, followers, err := solveFollowers(b)
	if err != nil {
		return nil, err
	}
	z := layOut(own)
	s := z.s
	z.refuseUnknownOverrides()
	if len(z.complaints) == 0 {
		z.impossible()
	}
	if err := z.complaints.OrNil(); err != nil {
		return nil, err
	}
	z.totals()
	s.Brief, s.sized = b, own
	s.markFollowers(followers)
	s.Rings = rings(s)
	s.Fits = fits(s)
	s.Advice = gapAdvice(s)
	s.Trade = tradeFacts(s)
	s.Checks = checks(s)
	return s, nil
}

// dimensionRoom is room for the dimensions of any stove, made at once: searches
// size stoves by the hundred thousand.
const dimensionRoom = 80

// layOut computes every dimension, one after the other, each from those before
// it.
func layOut(b Brief) *sizer {
	s := &Stove{Brief: b, Pot: largest(b.Pots), Dimensions: make([]*Dimension, 0, dimensionRoom), byID: make(map[string]*Dimension, dimensionRoom)}
	z := &sizer{b: b, s: s}
	z.pot()
	z.power()
	z.chamber()
	z.mouth()
	z.bricks()
	z.base()
	z.gapsUnderPot()
	z.skirt()
	z.body()
	z.rests()
	z.sheets()
	z.levels()
	return z
}

func largest(pots []Pot) Pot {
	best := pots[0]
	for _, p := range pots[1:] {
		if p.Circumference > best.Circumference {
			best = p
		}
	}
	return best
}

// roundTo rounds to the step of the tool in the hand.
func roundTo(x, step float64) float64   { return math.Round(x/step) * step }
func roundUp(x, step float64) float64   { return math.Ceil(x/step-1e-9) * step }
func roundDown(x, step float64) float64 { return math.Floor(x/step+1e-9) * step }

func (z *sizer) pot() {
	p := z.s.Pot
	d := &Dimension{ID: "pot.diameter", Value: quantity.MM(p.Diameter()), Origin: Measured, ByRule: p.Diameter(),
		Because: message.T("stove.why.pot-diameter", "c", quantity.MM(p.Circumference)), Spread: p.TapeError / math.Pi}
	z.s.add(d)
	z.follow("pot.height", Measured, quantity.MM(p.Height), message.T("stove.why.measured"))
	z.follow("pot.handle", Measured, quantity.MM(p.Handle), message.T("stove.why.measured"))
	z.follow("pot.capacity", Rule, quantity.L(p.Capacity()), message.T("stove.why.capacity"))
	fill := p.Fill.Or(p.Capacity() * 2 / 3)
	origin, why := Default, message.T("stove.why.fill-default")
	if p.Fill.Known {
		origin, why = Measured, message.T("stove.why.measured")
	}
	z.s.Pot.Fill = Given{SI: z.follow("pot.fill", origin, quantity.L(fill), why), Known: true}
	mass, origin, why := potMass(p), Default, message.T("stove.why.pot-mass")
	if p.Mass.Known {
		mass, origin, why = p.Mass.SI, Measured, message.T("stove.why.measured")
	}
	z.s.Pot.Mass = Given{SI: z.follow("pot.mass", origin, quantity.KG(mass), why), Known: true}
}

// potMass estimates an empty pot: wall and base of a usual thickness for its
// material (common practice, no source).
func potMass(p Pot) float64 {
	thickness := map[string]float64{"aluminium": 1.5 * mm, "stainless-304": 0.8 * mm, "mild-steel": 1.5 * mm, "cast-iron": 5 * mm, "clay-pot": 8 * mm}
	m, _ := material.Lookup(p.Material)
	r := p.Diameter() / 2
	return (2*math.Pi*r*p.Height + math.Pi*r*r) * thickness[p.Material] * m.Density
}

// Planning constants of the power. They set the size of the chamber only; the
// fire model predicts what the stove really does.
const (
	waterHeat      = 4186.0       // J/(kg K), protocol constant
	householdFill  = 0.005        // m³; 5 L in 20 min at 30 % is the household planning case
	householdTime  = 20 * 60.0    // s
	householdShare = 0.30         // of the firepower into the pot
	bigPotShare    = 0.45         // for a 50 L pot with a skirt
	timeExponent   = 0.4          // makes 50 L take 50 min, the institutional planning case
	altitudePerK   = 300.0        // m; boiling point falls 1 K in 300 m (boiling-test protocol)
	seaLevelBoil   = 273.15 + 100 // K
)

func (z *sizer) power() {
	s, fill := z.s, z.s.Pot.Fill.SI
	planned := householdTime * math.Pow(fill/householdFill, timeExponent)
	origin, why := Default, message.T("stove.why.boil-time")
	if z.b.BoilTime.Known {
		planned, origin, why = z.b.BoilTime.SI, Yours, message.T("stove.why.boil-time-limit")
	}
	s.BoilTime = z.choose("power.boil_time", origin, quantity.Value{SI: planned, Unit: quantity.Minute, Step: 1}, 180, 4*3600, why)
	share := householdShare + (bigPotShare-householdShare)*math.Log10(fill/householdFill)
	share = min(bigPotShare, max(householdShare, share))
	share = z.choose("power.share", Default, quantity.Pct(share), 0.1, 0.6, message.T("stove.why.share"))
	air := z.b.AirTemperature()
	boil := seaLevelBoil - z.b.Altitude.Or(0)/altitudePerK
	heat := fill * gas.PlainWater * waterHeat * (boil - air)
	s.PlannedPower = z.choose("power.fire", Rule, quantity.KW(heat/(share*s.BoilTime)), 500, 60e3,
		message.T("stove.why.fire", "fill", quantity.L(fill), "rise", quantity.Value{SI: boil - air, Unit: quantity.KelvinDiff, Step: 1},
			"time", quantity.Value{SI: s.BoilTime, Unit: quantity.Minute, Step: 1}, "share", quantity.Pct(share)))
	lhv := woodHeat(z.b.Fuel)
	s.WoodRate = z.follow("power.wood", Rule, quantity.Value{SI: s.PlannedPower / lhv, Unit: quantity.Unit{Symbol: "kg/h", Dimension: quantity.MassFlow, Factor: 1.0 / 3600}, Step: 0.1},
		message.T("stove.why.wood", "lhv", quantity.Value{SI: lhv, Unit: quantity.MJPerKg, Step: 0.1}, "wet", quantity.Pct(z.b.Fuel.MoistureContent().Wet())))
}

// ChamberTable is the published table of square chambers by pot size (workshop
// guide, key chamberguide): up to so many litres, side in metres. The guide
// prints 325 cm² for the 18 cm chamber, which is 324, and calls its last ring
// gap 3.6 cm where its own rule gives 3.68.
var ChamberTable = []struct{ Litres, Side float64 }{
	{15, 0.11}, {50, 0.15}, {100, 0.165}, {120, 0.18}, {200, 0.20}, {math.Inf(1), 0.22},
}

// chamberByTable is the side of the square chamber for a pot of a capacity in m³.
func chamberByTable(capacity float64) float64 {
	for _, row := range ChamberTable {
		if capacity*1000 <= row.Litres {
			return row.Side
		}
	}
	return ChamberTable[len(ChamberTable)-1].Side
}

// Firepower loading of a chamber, W/m²: the plausible band for households and
// its middle (derived from usual powers, common practice).
const (
	loadingLow    = 25e4
	loadingMiddle = 37.5e4
	loadingHigh   = 50e4
	// maxBoreOverPot keeps the flame under the pot: the bore is at most this
	// share of the pot's diameter (common practice, no source).
	maxBoreOverPot = 0.6
)

func (z *sizer) chamber() {
	s := z.s
	s.Liner = z.b.Liner.Given()
	s.Square = z.b.Choices.Chamber != "round" && !s.Liner
	s.Sides = map[string]int{"hexagon": 6, "octagon": 8}[z.b.Choices.Ring]
	if s.Liner {
		s.Sides = linerSides
	} else if s.Square {
		s.Sides = 4
	} else if s.Sides == 0 {
		s.Sides = 6
	}
	capacity := s.Pot.Capacity()
	side := chamberByTable(capacity)
	loading := math.Sqrt(s.PlannedPower / loadingMiddle)
	why := message.T("stove.why.chamber-table", "capacity", quantity.L(capacity), "loading", quantity.MM(loading))
	if limit := maxBoreOverPot * s.Pot.Diameter(); side > limit {
		side = roundDown(limit, 5*mm)
		why = message.T("stove.why.chamber-pot", "capacity", quantity.L(capacity), "loading", quantity.MM(loading))
	}
	if !s.Square { // a round bore of the same area; the table itself rounds 12.4 to 12.5
		side = roundTo(side*2/math.Sqrt(math.Pi), 5*mm)
	}
	origin := Rule
	if s.Liner {
		side, origin, why = z.b.Liner.Bore, Yours, message.T("stove.why.liner-bore", "side", quantity.MM(side), "because", why)
	}
	s.ChamberWidth = z.choose("chamber.width", origin, quantity.MM(side), 0.05, 0.30, why)
	w := s.ChamberWidth
	s.ChamberArea, s.Flats = w*w, w
	because := message.T("stove.why.area-square")
	if !s.Square {
		s.ChamberArea = math.Pi / 4 * w * w
		s.Flats = math.Sqrt(s.ChamberArea / (float64(s.Sides) / 4 * math.Tan(math.Pi/float64(s.Sides))))
		because = message.T("stove.why.area-round")
	}
	z.follow("chamber.area", Rule, quantity.CM2(s.ChamberArea), because)
	if !s.Square && !s.Liner {
		z.follow("chamber.flats", Rule, quantity.MM(s.Flats), message.T("stove.why.flats", "sides", s.Sides))
	}
	z.follow("chamber.loading", Rule, quantity.Value{SI: s.PlannedPower / s.ChamberArea, Unit: quantity.WattPerCM2, Step: 1},
		message.T("stove.why.loading"))
}

// Proportions of the fuel mouth and chamber (common practice, no source).
const (
	shelfShare      = 1.0 / 3 // height of the shelf over the height of the mouth
	loadedShare     = 0.5     // of the fuel space above the shelf that sticks may fill
	shelfReachShare = 0.6     // of the chamber's depth
	courses         = 3       // courses of brick: the mouth is one course high
	shelfOutside    = 0.10    // m of shelf in front of the body, to carry the sticks
	mouthLip        = 0.02    // m of sleeve in front of the body
)

func (z *sizer) mouth() {
	s := z.s
	edge := roundTo(math.Sqrt(s.ChamberArea), mm)
	why := message.T("stove.why.mouth")
	s.MouthHeight = z.choose("mouth.height", Rule, quantity.MM(edge), 0.04, 0.35, why)
	width := roundTo(min(s.ChamberArea/s.MouthHeight, s.Flats), mm)
	s.MouthWidth = z.choose("mouth.width", Rule, quantity.MM(width), 0.04, s.Flats, message.T("stove.why.mouth-width"))
	s.ShelfHeight = z.choose("shelf.height", Rule, quantity.MM(roundTo(shelfShare*s.MouthHeight, mm)), 0.015, 0.6*s.MouthHeight,
		message.T("stove.why.shelf"))
	s.ShelfReach = z.choose("shelf.reach", Rule, quantity.MM(roundTo(shelfReachShare*s.Flats, mm)), 0, 0.8*s.Flats,
		message.T("stove.why.shelf-reach"))
	s.GrateLength = z.choose("shelf.grate", Rule, quantity.MM(s.ShelfReach), 0, s.ShelfReach+0.05, message.T("stove.why.grate"))
	s.ShelfOut = z.choose("shelf.outside", Default, quantity.MM(shelfOutside), 0, 0.3, message.T("stove.why.shelf-outside"))
	s.Lip = z.choose("mouth.lip", Default, quantity.MM(mouthLip), 0, 0.1, message.T("stove.why.lip"))
}

// linerSides is how many flats stand for the round of a liner: its corners then
// lie less than 1 % outside the circle of the same area.
const linerSides = 24

// Thickness of chamber bricks (common practice, no source): the table of
// chambers is reckoned with 5 cm; thinner walls break in the mould.
const (
	brickThickness = 0.05
	slipJoint      = 0.002
	floorTile      = 0.04
)

func (z *sizer) bricks() {
	s, k := z.s, z.b.Brick
	thickness, origin, why := brickThickness, Rule, message.T("stove.why.brick-thickness")
	if s.Liner {
		thickness, origin, why = z.b.Liner.Wall, Yours, message.T("stove.why.liner")
	} else if k.Thickness.Known {
		thickness, origin, why = k.Thickness.SI, Yours, message.T("stove.why.brick-at-hand")
	}
	s.BrickThickness = z.choose("brick.thickness", origin, quantity.MM(thickness), 0.02, 0.15, why)
	s.Joint = z.choose("brick.joint", Default, quantity.MM1(slipJoint), 0, 0.008, message.T("stove.why.joint"))
	pitch, origin, why := s.MouthHeight, Rule, message.T("stove.why.brick-height")
	if s.Liner {
		pitch, origin, why = z.b.Liner.Height+s.Joint, Yours, message.T("stove.why.liner")
	} else if k.Height.Known {
		pitch, origin, why = k.Height.SI+s.Joint, Yours, message.T("stove.why.brick-at-hand")
	}
	tallest, fewest := 0.3, 2.0
	if s.Liner {
		tallest, fewest = 0.9, 1
	}
	s.BrickHeight = z.choose("brick.height", origin, quantity.MM(pitch-s.Joint), 0.03, tallest, why)
	pitch = s.BrickHeight + s.Joint
	n := max(fewest, math.Round(courses*s.MouthHeight/pitch))
	coursesWhy := message.T("stove.why.courses")
	if s.Liner {
		coursesWhy = message.T("stove.why.liner-rings")
	}
	s.Courses = int(math.Round(z.choose("brick.courses", Rule, quantity.Value{SI: n, Unit: quantity.One, Step: 1}, fewest, 8, coursesWhy)))
	s.ChamberHeight = z.follow("chamber.height", Rule, quantity.MM(float64(s.Courses)*pitch), message.T("stove.why.chamber-height",
		"n", s.Courses, "pitch", quantity.MM(pitch)))
	z.follow("riser.height", Rule, quantity.MM(s.ChamberHeight-s.MouthHeight), message.T("stove.why.riser"))
	s.FloorThickness = z.choose("floor.thickness", Default, quantity.MM(floorTile), 0.015, 0.12, message.T("stove.why.floor"))
	if s.Liner {
		return // a liner has no bricks to size
	}
	z.brickProperties()
	back := s.ShelfHeight + loadedShare*(s.MouthHeight-s.ShelfHeight)
	s.BackHeight = z.choose("brick.back_height", Rule, quantity.MM(min(back, s.BrickHeight)), 0.02, s.BrickHeight, message.T("stove.why.back"))
	b := s.Brick()
	z.follow("brick.inner_side", Rule, quantity.MM1(b.Inner), message.T("stove.why.side", "sides", s.Sides))
	z.follow("brick.outer_side", Rule, quantity.MM1(b.Outer), message.T("stove.why.side", "sides", s.Sides))
	z.follow("brick.mitre", Rule, quantity.Deg(b.Mitre), message.T("stove.why.mitre", "sides", s.Sides))
}

// RingBrick is the fired shape of a chamber brick: a trapezium in plan, as long
// inside as the face of the bore it makes, mitred at both ends.
type RingBrick struct {
	Inner, Outer float64 // m, length of the inner and outer face
	Thickness    float64 // m, through the wall
	Height       float64 // m, of a course without its joint
	Mitre        float64 // rad, of each end, from square
}

// Brick is the fired shape of the chamber bricks. The slip joint is shared by
// the two ends that meet: each loses half of it at right angles to the mitre.
func (s *Stove) Brick() RingBrick {
	half := math.Pi / float64(s.Sides)
	shorter := s.Joint / math.Cos(half)
	return RingBrick{
		Inner:     s.Flats*math.Tan(half) - shorter,
		Outer:     s.BlockFlats()*math.Tan(half) - shorter,
		Thickness: s.BrickThickness, Height: s.BrickHeight, Mitre: half,
	}
}

// Base (common practice, no source).
const (
	feetHeight = 0.03
	feetCount  = 4
	baseFill   = 0.03
	leastFill  = 0.025 // at the corners of the bricks
	leastRest  = 0.010 // of the lowest point of a round base above the throat
)

func (z *sizer) base() {
	s := z.s
	s.FeetHeight = z.choose("base.feet", Default, quantity.MM(feetHeight), 0, 0.3, message.T("stove.why.feet"))
	s.Feet = int(math.Round(z.choose("base.feet_count", Default, quantity.Value{SI: feetCount, Unit: quantity.One, Step: 1}, 3, 8, message.T("stove.why.feet-count"))))
	s.BaseFill = z.choose("base.fill", Default, quantity.MM(baseFill), 0, 0.15, message.T("stove.why.base-fill"))
	s.FillLeast = z.choose("fill.least", Default, quantity.MM(leastFill), 0.005, 0.2, message.T("stove.why.fill-least"))
}

// gapsUnderPot holds the flow area constant from the bore to the edge of the pot.
func (z *sizer) gapsUnderPot() {
	s := z.s
	a, d := s.ChamberArea, s.Pot.Diameter()
	s.ThroatGap = z.choose("gap.throat", Rule, quantity.MM(roundTo(a/s.BorePerimeter(), mm)), 0.005, 0.12, message.T("stove.why.gap-throat"))
	if block := s.BlockFlats(); block < d {
		s.BlockGap = z.choose("gap.block", Rule, quantity.MM(roundUp(a/(math.Pi*block), mm)), 0.004, 0.10, message.T("stove.why.gap-block"))
	}
	s.EdgeGap = z.choose("gap.edge", Rule, quantity.MM(roundUp(a/(math.Pi*d), mm)), 0.004, 0.10, message.T("stove.why.gap-edge"))
	rest, why := s.ThroatGap, message.T("stove.why.rest", "lining", quantity.MM(s.ThroatGap-s.EdgeGap))
	if s.Pot.Round {
		rest = max(leastRest, roundUp(s.seat(), mm))
		why = message.T("stove.why.rest-round", "depth", quantity.MM(s.Pot.BaseDepth()))
	}
	s.RestHeight = z.choose("rest.height", Rule, quantity.MM(rest), 0.005, 0.15, why)
}
