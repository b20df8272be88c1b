// Package stove sizes the stove cold: from a measured pot to every dimension of
// a small insulated-elbow wood stove with a pot skirt. It is pure geometry;
// fire is lit elsewhere.
//
// A [Form] is the brief as written, a [Brief] the brief as understood, and
// [Size] turns a brief into a [Stove]. Every number of the stove is a
// [Dimension] with an origin and a because; any that is a choice can be
// overridden in the brief, and whatever follows from it changes with it.
//
// Heights are measured from the ground up, radii from the centre line of the
// riser. The fuel mouth faces +x.
package stove

import (
	"math"

	"stovewright/message"
)

// Stove is a sized stove. The fields are the geometry that drawings, kits and
// the fire model use, in metres and kilograms; Dimensions holds the same
// numbers with their origin and reason.
type Stove struct {
	Brief Brief
	Pot   Pot // the pot the stove is made for

	// Chamber and the brick ring around it.
	Square         bool    // square bore; otherwise a polygon of equal area to a round one
	Liner          bool    // a round fired liner takes the place of the bricks
	Sides          int     // bricks in a course: 4, 6 or 8; for a liner, sides of the polygon it is drawn with
	ChamberWidth   float64 // side of the square, or nominal bore
	ChamberArea    float64 // flow area of the bore, m²
	ChamberHeight  float64 // chamber floor to throat
	Flats          float64 // across the flats of the bore
	BrickThickness float64
	BrickHeight    float64
	Courses        int
	Joint          float64 // thickness of a slip joint
	BackHeight     float64 // height of the dense back brick
	FloorThickness float64 // floor tile under the chamber

	// Fuel mouth, shelf and the air path under it.
	MouthWidth  float64
	MouthHeight float64
	ShelfHeight float64 // top of the shelf above the chamber floor
	ShelfReach  float64 // shelf end beyond the inner face of the front brick
	ShelfOut    float64 // shelf end in front of the body
	GrateLength float64 // slotted part at the inner end of the shelf
	Lip         float64 // mouth sleeve in front of the body

	// Base, fill, body.
	FeetHeight    float64
	Feet          int
	BaseFill      float64
	FillLeast     float64 // thinnest fill, at the corners of the bricks
	BodyInner     float64 // inside diameter
	BodyThickness float64
	BodyHeight    float64
	Container     *Container // nil when the body is rolled from sheet
	TopThickness  float64
	TopHole       float64 // hole of the top ring

	// Under and around the pot.
	ThroatGap     float64
	BlockGap      float64 // 0 where the pot is smaller than the brick block
	EdgeGap       float64
	RestHeight    float64 // throat plane to the lowest point of the pot
	RodOffset     float64 // distance of each rod from the centre line
	RodDiameter   float64
	RodLength     float64
	RodHeight     float64 // centre of the rods above the top ring
	SkirtGap      float64
	SkirtInner    float64 // inside diameter
	SkirtRise     float64 // skirt above the lowest point of the pot
	SkirtHeight   float64 // whole height of the skirt sheet, from the top ring
	SkirtMetal    float64 // thickness
	SkirtSeam     float64
	SkirtLength   float64 // of the flat blank
	PlannedPower  float64 // W
	BoilTime      float64 // s, planned
	WoodRate      float64 // kg/s of wood as fired at the planned power
	Mass          float64 // kg, empty stove
	CentreHeight  float64 // m, centre of mass of the loaded stove
	LoadedMass    float64 // kg, with the pot and its fill
	FillInterface float64 // K, estimated hottest point of the fill
	BodySkin      float64 // K, estimated side of the body

	Dimensions []*Dimension
	Rings      []Ring
	GapRules   []GapRule
	Fits       []Fit
	Advice     []message.Text // what to do with the gap after the first fire
	Trade      []TradeFact
	Checks     []Check

	byID  map[string]*Dimension
	sized Brief // the brief with the drivers of set followers solved
}

// Heights of the main planes above the ground.

// FloorLevel is the chamber floor.
func (s *Stove) FloorLevel() float64 {
	return s.FeetHeight + s.BodyThickness + s.BaseFill + s.FloorThickness
}

// RoofLevel is the roof of the fuel mouth.
func (s *Stove) RoofLevel() float64 { return s.FloorLevel() + s.MouthHeight }

// ThroatLevel is the upper edge of the bore, and the top ring.
func (s *Stove) ThroatLevel() float64 { return s.FloorLevel() + s.ChamberHeight }

// RingLevel is the upper face of the top ring, where the skirt stands.
func (s *Stove) RingLevel() float64 { return s.ThroatLevel() + s.TopThickness }

// PotLevel is the lowest point of the pot.
func (s *Stove) PotLevel() float64 { return s.ThroatLevel() + s.RestHeight }

// SkirtLevel is the upper edge of the skirt.
func (s *Stove) SkirtLevel() float64 { return s.PotLevel() + s.SkirtRise }

// RimLevel is the rim of the pot, where the cook works.
func (s *Stove) RimLevel() float64 { return s.PotLevel() + s.Pot.Height }

// BodyOuter is the outside diameter of the body.
func (s *Stove) BodyOuter() float64 { return s.BodyInner + 2*s.BodyThickness }

// SkirtOuter is the outside diameter of the skirt.
func (s *Stove) SkirtOuter() float64 { return s.SkirtInner + 2*s.SkirtMetal }

// BoreCorner is the distance of the corners of the bore from the centre line.
func (s *Stove) BoreCorner() float64 { return s.Flats / 2 / math.Cos(math.Pi/float64(s.Sides)) }

// BlockCorner is the distance of the outer corners of the bricks from the centre line.
func (s *Stove) BlockCorner() float64 {
	return (s.Flats/2 + s.BrickThickness) / math.Cos(math.Pi/float64(s.Sides))
}

// BlockFlats is the width of the brick block across its outer flats.
func (s *Stove) BlockFlats() float64 { return s.Flats + 2*s.BrickThickness }

// BorePerimeter is the wetted perimeter of the bore.
func (s *Stove) BorePerimeter() float64 {
	return float64(s.Sides) * s.Flats * math.Tan(math.Pi/float64(s.Sides))
}

// TunnelLength is the way from the inner face of the front brick to the
// outside of the body.
func (s *Stove) TunnelLength() float64 { return s.BodyOuter()/2 - s.Flats/2 }

// boreRadius is the radius of a round bore of the same perimeter, where the
// published gaps are reckoned from.
func (s *Stove) boreRadius() float64 { return s.BorePerimeter() / (2 * math.Pi) }

// between interpolates linearly and holds the end values outside.
func between(x, x1, y1, x2, y2 float64) float64 {
	t := (x - x1) / (x2 - x1)
	return y1 + (y2-y1)*min(1, max(0, t))
}
