package kit

import (
	"math"

	"stovewright/drawing"
	"stovewright/kit/flat"
	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// slipDensity is the dry density of clay slip in the joints, kg/m³ (common
// practice).
const slipDensity = 1600

// loose is what is poured, packed and smeared: fill, lining and slip.
func (m *maker) loose() {
	s := m.s
	fill := s.FillMaterial()
	volume := m.fillVolume() + m.gapVolume()
	m.part(Part{ID: "fill", Figure: "fill", Name: message.T("kit.part.fill", "material", message.T("material."+fill.Key)), Count: 1, Material: fill.Key,
		Sizes: []Measure{measure("volume", quantity.L(volume))}, Volume: volume, Mass: volume * fill.Density, Because: message.T("kit.because.fill")})
	clay, _ := material.Lookup(liningMaterial)
	lining := m.s.LiningVolume()
	m.part(Part{ID: "lining", Figure: "lining", Name: message.T("kit.part.lining"), Count: 1, Material: liningMaterial,
		Sizes:  []Measure{measure("volume", quantity.L(lining)), measure("most", quantity.MM(max(0, s.LiningMost())))},
		Volume: lining, Mass: lining * clay.Density, Because: message.T("kit.because.lining"), Patterns: []string{"gauge.lining"}})
	slip := m.jointVolume()
	m.part(Part{ID: "slip", Name: message.T("kit.part.slip"), Count: 1, Sizes: []Measure{measure("volume", quantity.L(slip))},
		Volume: slip, Mass: slip * slipDensity, Because: message.T("kit.because.slip")})
}

const liningMaterial = "clay-perlite"

// planArea is the area of the brick block in plan and of its bore, m².
func (m *maker) planArea() (block, bore float64) {
	n := float64(m.s.Sides)
	area := func(flats float64) float64 { return n / 4 * flats * flats * math.Tan(math.Pi/n) }
	return area(m.s.BlockFlats()), area(m.s.Flats)
}

// fillVolume is the room between body, base, bricks and sleeve, m³.
func (m *maker) fillVolume() float64 {
	s := m.s
	block, _ := m.planArea()
	t := s.BodyThickness
	sleeve := (s.MouthWidth + 2*t) * (s.MouthHeight + 2*t) * (s.BodyInner - s.BlockFlats()) / 2
	return math.Pi/4*s.BodyInner*s.BodyInner*(s.BodyHeight-t) - block*(s.ChamberHeight+s.FloorThickness) - sleeve
}

// jointVolume is the slip in the joints: between the ends of the bricks, under
// each course, and between floor tiles, m³.
func (m *maker) jointVolume() float64 {
	s := m.s
	block, bore := m.planArea()
	mitre := m.mitreJoint()
	bed := (block - bore) * s.Joint
	tiles := m.floorArea() * s.FloorThickness
	for _, t := range m.tiles() {
		tiles -= t.plan.Area() * 1e-6 * s.FloorThickness * float64(t.count)
	}
	return float64(s.Courses)*(float64(s.Sides)*mitre+bed) + tiles
}

// mitreJoint is the slip between the ends of two bricks, m³; a liner has none.
func (m *maker) mitreJoint() float64 {
	s := m.s
	if s.Liner {
		return 0
	}
	return s.BrickThickness / math.Cos(math.Pi/float64(s.Sides)) * s.BrickHeight * s.Joint
}

// floorArea is the area of the floor under the chamber, m².
func (m *maker) floorArea() float64 {
	var block []drawing.Point
	for _, p := range m.s.Floor() {
		block = append(block, drawing.Pt(toMM(p.X), toMM(p.Y)))
	}
	return flat.Polygon(block...).Area() * 1e-6
}

// gapVolume is what bricks, joints and mouth leave of the ring: corners too
// small to be moulded, packed with fill, m³.
func (m *maker) gapVolume() float64 {
	s := m.s
	if s.Liner {
		return 0
	}
	block, bore := m.planArea()
	room := (block-bore)*s.ChamberHeight - s.MouthHeight*s.MouthWidth*s.BrickThickness
	for _, b := range m.shapes() {
		room -= b.volume() * float64(b.count)
	}
	return max(0, room-float64(s.Courses)*(float64(s.Sides)*m.mitreJoint()+(block-bore)*s.Joint))
}
