package stove

import (
	"math"
	"slices"

	"stovewright/gas"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// Sheet and body (common practice, no source).
const (
	usualSheet  = 0.8 * mm // stiff enough to stand on, thin enough to fold by hand
	skirtLedge  = 10 * mm  // of top ring outside the skirt
	feetInset   = 6 * mm   // of the feet under the body: half a foot and its screw
	wallSpare   = 5 * mm   // rounding of a rolled body
	rodStickOut = 10 * mm  // of each rod end outside the skirt

	// ringUnderSkirt is the least of top ring inside the skirt, so that the skirt
	// stands on it.
	ringUnderSkirt = 3 * mm
)

// body picks a container at hand that is wide and high enough, or a rolled sheet.
func (z *sizer) body() {
	s := z.s
	forBricks := 2*s.BlockCorner() + 2*s.FillLeast
	forSkirt := s.SkirtOuter() + 2*skirtLedge
	need := roundUp(max(forBricks, forSkirt), wallSpare)
	metal, origin, metalWhy := z.sheetAtHand("bare", "stainless", "galvanised")
	s.BodyThickness = metal // a container brings its own, below
	inside := s.ThroatLevel() - s.FeetHeight - s.BodyThickness
	why := message.T("stove.why.body-bricks", "corners", quantity.MM(2*s.BlockCorner()), "fill", quantity.MM(s.FillLeast))
	if forSkirt > forBricks {
		why = message.T("stove.why.body-skirt", "skirt", quantity.MM(s.SkirtOuter()), "ledge", quantity.MM(skirtLedge))
	}
	diameter := need
	if c := containerFor(z.b, need, inside); c != nil {
		s.Container = c
		diameter, metal, origin, metalWhy = c.Diameter, c.Thickness, Yours, message.T("stove.why.body-thickness")
		why = message.T("stove.why.body-container", "kind", message.T("stove.word."+c.Kind), "need", quantity.MM(need))
	}
	s.BodyThickness = z.choose("body.thickness", origin, quantity.Value{SI: metal, Unit: quantity.Millimetre, Step: 0.05}, 0.25*mm, 3*mm, metalWhy)
	s.BodyInner = z.choose("body.inner", Rule, quantity.MM(diameter), 2*s.BlockCorner()+0.01, 1.5, why)
	s.BodyHeight = z.follow("body.height", Rule, quantity.MM(s.ThroatLevel()-s.FeetHeight), message.T("stove.why.body-height"))
	z.follow("fill.thickest", Rule, quantity.MM(s.BodyInner/2-s.BlockFlats()/2), message.T("stove.why.fill-thickest"))
}

// sheet chooses the sheet for a part.
func (z *sizer) sheet(id string, low, high float64, coatings ...string) float64 {
	thickness, origin, why := z.sheetAtHand(coatings...)
	return z.choose(id, origin, quantity.Value{SI: min(high, max(low, thickness)), Unit: quantity.Millimetre, Step: 0.05}, low, high, why)
}

// sheetAtHand is the thickness of the sheet at hand of one of the coatings that
// comes nearest to the usual one, so that all parts can be cut from one sheet.
func (z *sizer) sheetAtHand(coatings ...string) (float64, Origin, message.Text) {
	best := math.Inf(1)
	for _, s := range z.b.Sheets {
		if slices.Contains(coatings, s.Coating) && math.Abs(s.Thickness-usualSheet) < math.Abs(best-usualSheet) {
			best = s.Thickness
		}
	}
	if math.IsInf(best, 1) {
		return usualSheet, Default, message.T("stove.why.sheet")
	}
	return best, Yours, message.T("stove.why.sheet-at-hand")
}

// containerFor is the narrowest container at hand that takes the bricks.
func containerFor(b Brief, need, inside float64) *Container {
	if b.Choices.Body == "rolled" {
		return nil
	}
	var best *Container
	for i := range b.Bodies {
		c := &b.Bodies[i]
		if c.Diameter >= need && c.Height >= inside && (best == nil || c.Diameter < best.Diameter) {
			best = c
		}
	}
	return best
}

// Rests: three rods laid as chords that do not cross, six holes (common
// practice, no source). They lie as far out as the pot still sits safely, where
// they are cooler and steadier.
const (
	rods           = 3
	flatRestShare  = 0.85  // of the pot's radius
	roundRestShare = 0.62  // a round base must reach down between the rods
	rodKelvin      = 873.0 // planning temperature of the rods, 600 °C, common practice
)

// rodSizes are the bars that workshops stock, m.
var rodSizes = []float64{6 * mm, 8 * mm, 10 * mm, 12 * mm, 14 * mm, 16 * mm, 20 * mm, 25 * mm}

func (z *sizer) rests() {
	s, p := z.s, z.s.Pot
	share := flatRestShare
	if p.Round {
		share = roundRestShare
	}
	offset := roundTo(share*p.Diameter()/2, mm)
	// chords nearer than half the radius would cross inside the skirt
	lowest := 0.60 * s.SkirtOuter() / 2
	s.RodOffset = z.choose("rest.offset", Rule, quantity.MM(max(offset, roundUp(lowest, mm))), lowest, 0.97*p.Diameter()/2,
		message.T("stove.why.rest-offset", "share", quantity.Pct(share)))
	span := 2 * math.Sqrt(math.Pow(s.SkirtInner/2, 2)-s.RodOffset*s.RodOffset)
	load := (p.Mass.SI + p.Fill.SI*gas.PlainWater) * gravity
	diameter, origin, why := rodFor(span, load), Rule, message.T("stove.why.rod", "load", quantity.Value{SI: load / 2, Unit: quantity.Newton, Step: 1}, "span", quantity.MM(span))
	if z.b.Rod.Known {
		diameter, origin, why = z.b.Rod.SI, Yours, message.T("stove.why.rod-at-hand")
	}
	s.RodDiameter = z.choose("rest.rod", origin, quantity.MM1(diameter), 4*mm, 25*mm, why)
	outer := 2 * math.Sqrt(math.Pow(s.SkirtOuter()/2, 2)-s.RodOffset*s.RodOffset)
	s.RodLength = z.follow("rest.rod_length", Rule, quantity.MM(outer+2*rodStickOut), message.T("stove.why.rod-length", "out", quantity.MM(rodStickOut)))
	s.RodHeight = z.follow("rest.rod_height", Rule, quantity.MM1(s.RestHeight-s.TopThickness+p.Sag(s.RodOffset)-s.RodDiameter/2), message.T("stove.why.rod-height"))
}

const gravity = 9.80665

// RodState is how hard the most loaded rod works: half the load in the middle
// of the span, for long, at the planning temperature.
func (s *Stove) RodState() material.RodState {
	return rodState(s.RodDiameter, s.rodSpan(), s.potLoad())
}

func (s *Stove) rodSpan() float64 {
	return 2 * math.Sqrt(math.Pow(s.SkirtInner/2, 2)-s.RodOffset*s.RodOffset)
}

func (s *Stove) potLoad() float64 { return (s.Pot.Mass.SI + s.Pot.Fill.SI*gas.PlainWater) * gravity }

func rodState(d, span, load float64) material.RodState {
	return material.Rod{Diameter: d, Span: span, Force: load / 2, Kelvin: rodKelvin, Lasting: true}.State()
}

// rodFor is the thinnest stocked bar that carries the load.
func rodFor(span, load float64) float64 {
	for _, d := range rodSizes {
		if rodState(d, span, load).Utilisation <= 1 {
			return d
		}
	}
	return rodSizes[len(rodSizes)-1]
}

// sheets sizes what is cut from sheet steel.
func (z *sizer) sheets() {
	s := z.s
	widest := s.SkirtInner - 2*ringUnderSkirt
	hole := roundUp(max(s.Flats+s.BrickThickness, 2*s.BoreCorner()+4*mm), 5*mm)
	s.TopHole = z.choose("top.hole", Rule, quantity.MM(min(hole, widest)), min(2*s.BoreCorner(), widest), max(widest, hole), message.T("stove.why.top-hole"))
	s.SkirtSeam = z.seam("skirt.seam", s.SkirtMetal)
	s.SkirtLength = z.follow("skirt.length", Rule, quantity.MM(CylinderBlank(s.SkirtInner, s.SkirtMetal, s.SkirtSeam)), message.T("stove.why.blank"))
	if s.Container == nil {
		seam := z.seam("body.seam", s.BodyThickness)
		z.follow("body.length", Rule, quantity.MM(CylinderBlank(s.BodyInner, s.BodyThickness, seam)), message.T("stove.why.blank"))
	}
}

// seam is the allowance for closing a cylinder: a grooved seam takes three
// folds (seam handbooks); sheet too thick to fold is lapped and riveted.
func (z *sizer) seam(id string, thickness float64) float64 {
	allowance, why := 20*mm, message.T("stove.why.seam-lap")
	if fold, ok := material.FoldWidth(thickness); ok {
		allowance, why = 3*fold, message.T("stove.why.seam-fold", "fold", quantity.MM(fold))
	}
	return z.choose(id, Rule, quantity.MM(allowance), 0, 60*mm, why)
}

// CylinderBlank is the length of the flat sheet for a cylinder of an inside
// diameter: π(D + t) at the middle of the thickness, valid for D/t above 20,
// and the seam allowance.
func CylinderBlank(inside, thickness, seam float64) float64 {
	return math.Pi*(inside+thickness) + seam
}

// levels sets the heights that the cook feels.
func (z *sizer) levels() {
	s := z.s
	z.follow("stove.rest_level", Rule, quantity.MM(s.PotLevel()), message.T("stove.why.rest-level"))
	z.follow("stove.rim", Rule, quantity.MM(s.RimLevel()), message.T("stove.why.rim"))
}

// impossible refuses a stove whose parts run into each other; every message
// names the dimension to change.
func (z *sizer) impossible() {
	s := z.s
	refuse := func(id string, reason message.Text) {
		z.complaints = append(z.complaints, &message.InputError{Field: "yours." + id, Value: s.Value(id).String(), Reason: reason})
	}
	if s.SkirtOuter() > s.BodyInner-4*mm {
		refuse("body.inner", message.T("stove.no-room-skirt", "skirt", quantity.MM(s.SkirtOuter())))
	}
	if s.MouthHeight > s.ChamberHeight-s.BrickHeight/2 {
		refuse("mouth.height", message.T("stove.no-room-lintel"))
	}
	if !s.Pot.Round && (s.EdgeGap > s.RestHeight+mm/2 || s.BlockGap > s.RestHeight+mm/2) {
		refuse("rest.height", message.T("stove.no-room-rest", "gap", quantity.MM(max(s.EdgeGap, s.BlockGap))))
	}
	if s.RodHeight-s.RodDiameter/2 < 0 {
		refuse("rest.rod", message.T("stove.no-room-rod", "rest", quantity.MM(s.RestHeight)))
	}
	if b := s.Brick(); !s.Liner && b.Inner < 10*mm {
		refuse("chamber.width", message.T("stove.no-room-brick", "side", quantity.MM1(b.Inner)))
	}
	if s.Pot.Diameter()/2 <= s.boreRadius() {
		refuse("chamber.width", message.T("stove.no-room-pot", "pot", quantity.MM(s.Pot.Diameter())))
	}
}

// FillMaterial is the fill of the brief, wood ash where none was named.
func (s *Stove) FillMaterial() material.Material {
	key := s.Brief.FillKey
	if key == "" {
		key = defaultFill
	}
	m, _ := material.Lookup(key)
	return m
}

// plateArea is the plan area of a regular polygon across its flats.
func plateArea(sides int, flats float64) float64 {
	return float64(sides) / 4 * flats * flats * math.Tan(math.Pi/float64(sides))
}

// linerDensity is that of a potter's fired liner, kg/m³ (common practice).
const linerDensity = 1900

// part is a piece of the stove for weighing: mass and height of its centre.
type part struct{ mass, height float64 }

func (z *sizer) totals() {
	s := z.s
	s.Mass, s.CentreHeight = 0, 0
	moment := 0.0
	for _, p := range s.parts() {
		s.Mass += p.mass
		moment += p.mass * p.height
	}
	z.follow("stove.mass", Rule, quantity.KG(s.Mass), message.T("stove.why.mass"))
	pot, fill := s.Pot.Mass.SI, s.Pot.Fill.SI*gas.PlainWater
	s.LoadedMass = s.Mass + pot + fill
	moment += pot*(s.PotLevel()+s.Pot.Height/2) + fill*(s.PotLevel()+s.fillDepth()/2)
	s.CentreHeight = moment / s.LoadedMass
	z.follow("stove.tilt", Rule, quantity.Deg(s.TiltAngle()), message.T("stove.why.tilt", "feet", s.Feet))
	s.estimateWalls(z.b.AirTemperature())
	z.follow("fill.hottest", Rule, quantity.Value{SI: roundTo(s.FillInterface, 10), Unit: quantity.Celsius, Step: 10}, message.T("stove.why.fill-hot"))
	z.follow("body.skin", Rule, quantity.Value{SI: roundTo(s.BodySkin, 10), Unit: quantity.Celsius, Step: 10}, message.T("stove.why.skin"))
}

// fillDepth is how deep the food stands in the pot.
func (s *Stove) fillDepth() float64 {
	r := s.Pot.Diameter()/2 - potWall
	return min(s.Pot.Height, s.Pot.Fill.SI/(math.Pi*r*r)+s.Pot.BaseDepth()/2)
}

// parts weighs the empty stove, piece by piece.
func (s *Stove) parts() []part {
	steel, _ := material.Lookup("mild-steel")
	clay, _ := material.Lookup("clay-perlite")
	dense, _ := material.Lookup("dense-brick")
	block := plateArea(s.Sides, s.BlockFlats())
	ringArea := block - s.ChamberAreaPolygon()
	mouth := s.MouthWidth * s.MouthHeight
	disc := func(d float64) float64 { return math.Pi / 4 * d * d }
	floor, throat := s.FloorLevel(), s.ThroatLevel()
	lining := s.BrickDensity()
	if s.Liner {
		lining = linerDensity
	}
	tunnel := max(0, s.TunnelLength()-s.BrickThickness)
	fill := disc(s.BodyInner)*(s.BodyHeight-s.BodyThickness) - block*(s.ChamberHeight+s.FloorThickness) - mouth*tunnel
	sheet := func(area, t, height float64) part { return part{area * t * steel.Density, height} }
	return []part{
		{(ringArea*s.ChamberHeight - mouth*s.BrickThickness) * lining, floor + s.ChamberHeight/2},
		{block * s.FloorThickness * max(s.BrickDensity(), dense.Density), floor - s.FloorThickness/2},
		{fill * s.FillMaterial().Density, s.FeetHeight + s.BodyHeight/2},
		{s.LiningVolume() * clay.Density, throat + s.LiningMost()/2},
		sheet(math.Pi*s.BodyInner*s.BodyHeight, s.BodyThickness, s.FeetHeight+s.BodyHeight/2),
		sheet(disc(s.BodyInner), s.BodyThickness, s.FeetHeight),
		sheet(disc(s.BodyOuter())-disc(s.TopHole), s.TopThickness, throat),
		sheet(s.SkirtLength*s.SkirtHeight, s.SkirtMetal, throat+s.SkirtHeight/2),
		sheet(2*(s.MouthWidth+s.MouthHeight)*(tunnel+s.Lip), s.BodyThickness, floor+s.MouthHeight/2),
		sheet((s.MouthWidth+2*s.ShelfHeight)*(s.ShelfReach+s.TunnelLength()+s.ShelfOut), 1*mm, floor+s.ShelfHeight*0.8),
		{rods * math.Pi / 4 * s.RodDiameter * s.RodDiameter * s.RodLength * steel.Density, s.RingLevel() + s.RodHeight},
	}
}

// ChamberAreaPolygon is the plan area of the bore as it is built; for a round
// chamber it equals the round bore it stands for.
func (s *Stove) ChamberAreaPolygon() float64 { return plateArea(s.Sides, s.Flats) }

// TiltAngle is the angle at which the loaded stove tips over the line between
// two feet: atan(d/h) with d = R·cos(π/N); a stove without feet tips over its
// round base.
func (s *Stove) TiltAngle() float64 {
	d := s.BodyOuter() / 2
	if s.FeetHeight > 0 {
		d = (d - feetInset) * math.Cos(math.Pi/float64(s.Feet))
	}
	return math.Atan(d / s.CentreHeight)
}

// RestTiltAngle is the angle at which the filled pot tips off its rods: a flat
// pot over the nearest rod, a round one over the line between two of its three
// points of contact.
func (s *Stove) RestTiltAngle() float64 {
	arm, contact := s.RodOffset, s.Pot.Sag(s.RodOffset)
	if s.Pot.Round {
		arm /= 2
	}
	pot, fill := s.Pot.Mass.SI, s.Pot.Fill.SI*gas.PlainWater
	centre := (pot*s.Pot.Height/2 + fill*s.fillDepth()/2) / (pot + fill)
	return math.Atan2(arm, max(centre-contact, mm))
}
