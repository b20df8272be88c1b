package fire

import (
	"math"

	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/heat"
	"stovewright/material"
	"stovewright/stove"
)

// Lit is a sized stove made ready to burn: what the model needs of it, the room
// and the wood of its brief, and the boiling test that answers for its pot.
type Lit struct {
	Stove    Stove
	Air      Air
	Fuel     fuel.Fuel
	Moisture fuel.Moisture
	Task     Task
	Holds    float64  // kg of water that the pot takes; 0 where not known
	Sectors  []Sector // of the body, for [Model.Soak]
}

// Model makes the model of a lit stove. The error is a [message.InputErrors].
func (l Lit) Model() (*Model, error) { return New(l.Stove, l.Air, l.Fuel, l.Moisture) }

// What a boiling test of the published protocol asks for: three quarters of an
// hour three kelvin below the boil. The brief says how much water.
const (
	simmerTime  = 2700.0
	simmerBelow = 3.0
	stickSpace  = 0.030 // m, a stick where the brief names none (common practice)
	bareSheet   = 15.0  // W/(m² K), from a skirt of bare sheet to the room (common practice)
	leastSide   = 0.005 // m, a shorter side is none
	rim         = 0.005 // m of gas in the section around the body
	sectionCell = 0.010 // m; halving it moves skin temperatures by some 2 K
	leastLining = 0.002 // m, a thinner lining is left out of the section
)

// Light makes a fire in a sized stove. What a drawing has and the model has not:
// the rods in the gap under the pot are left out, a square bore counts at the
// throat as the round one of its area, and a bore of flat bricks as the round
// wall of its perimeter.
func Light(s *stove.Stove) Lit {
	l := LightPath(s)
	l.Sectors = sectorsOf(s)
	return l
}

// LightPath is [Light] without the sectors of the body, for the gas path alone:
// quicker where many stoves are burnt and none is soaked.
func LightPath(s *stove.Stove) Lit {
	b := s.Brief
	kind, _ := fuel.Lookup(b.Fuel.Kind) // the brief's word is one of fuel.Keys
	metal, _ := material.Lookup(s.Pot.Material)
	room := Air{Temperature: b.AirTemperature(), Pressure: gas.ISAPressure(b.Altitude.Or(0))}
	return Lit{
		Stove: Stove{
			Feed: s.MouthWidth * s.MouthHeight, Grate: s.GrateLength > 0,
			Chamber: Chamber{Area: s.ChamberArea, Perimeter: s.BorePerimeter(), Height: s.PotLevel() - bedLevel(s)},
			Bottom:  bottomOf(s), Side: sideOf(s),
			Pot:  Pot{Diameter: s.Pot.Diameter(), Height: s.Pot.Height, Mass: s.Pot.Mass.SI, Heat: metal.Heat},
			Wall: wallOf(s),
		},
		Air: room, Fuel: kind, Moisture: b.Fuel.MoistureContent(),
		Task: Task{Water: s.Pot.Fill.SI * gas.PlainWater, Start: room.Temperature, Power: s.PlannedPower,
			Hold: simmerTime, Below: simmerBelow},
		Holds: s.Pot.Capacity() * gas.PlainWater,
	}
}

// bedLevel is the middle of the fire: two layers of sticks on the shelf.
func bedLevel(s *stove.Stove) float64 {
	return s.FloorLevel() + s.ShelfHeight + math.Min(s.Brief.Fuel.Stick.Or(stickSpace), (s.MouthHeight-s.ShelfHeight)/2)
}

// bottomOf follows the pot's base from the throat to its widest girth and
// measures the gap square to it.
func bottomOf(s *stove.Stove) []Station {
	throat, edge := math.Sqrt(s.ChamberArea/math.Pi), s.Pot.Diameter()/2
	radii := flatRadii(s)
	if s.Pot.Round {
		const n = 8
		radii = make([]float64, n+1)
		for i := range radii {
			radii[i] = throat + float64(i)/n*(edge-throat)
		}
	}
	wall := roundTheGap(s)
	list := make([]Station, len(radii))
	for i, r := range radii {
		list[i] = Station{Radius: r, Rise: s.Pot.Sag(r), Gap: wall.from(r, s.Pot.Sag(r), s.Pot.Slope(r))}
	}
	return list
}

// flatRadii are where the gap under a flat pot changes its slope.
func flatRadii(s *stove.Stove) []float64 {
	throat, edge := math.Sqrt(s.ChamberArea/math.Pi), s.Pot.Diameter()/2
	if block := s.BlockFlats() / 2; s.BlockGap > 0 && block > throat && block < edge {
		return []float64{throat, block, edge}
	}
	return []float64{throat, edge}
}

// profile is what faces the pot, in section: the lining from the throat
// outwards, then the skirt upwards. Points are radius and height above the pot's
// lowest point.
type profile [][2]float64

func roundTheGap(s *stove.Stove) profile {
	throat, skirt := math.Sqrt(s.ChamberArea/math.Pi), s.SkirtInner/2
	list := profile{{0, -s.RestHeight}, {throat, -s.RestHeight}} // the gas at the throat has the rim below it
	radii := s.LiningRadii()
	if !s.Pot.Round { // to the edge itself, also where the block ends beside it
		radii = append(flatRadii(s), skirt)
	}
	for _, r := range radii {
		list = append(list, [2]float64{r, s.LiningThickness(r) - s.RestHeight})
	}
	return append(list, [2]float64{skirt, math.Max(s.SkirtRise, s.Pot.Height)})
}

// from is the gap between a place on the pot, whose base slopes by an angle
// there, and the profile. Under a level base it is upright. Under a round one
// the gas flows midway between pot and profile and the gap is square to that:
// the distance d along the pot's normal meets the profile at an angle β off its
// own normal, and the gap is d cos β / cos(β/2).
func (p profile) from(r, z, slope float64) float64 {
	nr, nz := math.Sin(slope), -math.Cos(slope)
	nearest := math.Inf(1)
	for i := 1; i < len(p); i++ {
		dr, dz := p[i][0]-p[i-1][0], p[i][1]-p[i-1][1]
		cross := nr*dz - nz*dr
		if cross == 0 {
			continue
		}
		ar, az := p[i-1][0]-r, p[i-1][1]-z
		along, where := (ar*dz-az*dr)/cross, (ar*nz-az*nr)/cross
		if along > 0 && where >= -1e-9 && where <= 1+1e-9 {
			if slope > 0 {
				cosine := math.Abs(cross) / math.Hypot(dr, dz)
				along *= cosine / math.Sqrt((1+cosine)/2)
			}
			nearest = math.Min(nearest, along)
		}
	}
	return nearest
}

// sideOf is the pot's side in its skirt, above the base.
func sideOf(s *stove.Stove) []Annulus {
	length := math.Min(s.SkirtRise, s.Pot.Height) - s.Pot.BaseDepth()
	if length < leastSide {
		return nil
	}
	return []Annulus{{Length: length, GapBottom: s.SkirtGap, GapTop: s.SkirtGap, OuterLoss: bareSheet}}
}

// wallOf is the chamber's wall at a side: brick, fill and sheet, round.
func wallOf(s *stove.Stove) Wall {
	inner := s.BorePerimeter() / (2 * math.Pi)
	fill := s.BodyInner/2 - inner - s.BrickThickness
	steel := bodyMetal(s)
	return Wall{Emissivity: steel.Emissivity, BodyHeight: s.BodyHeight, Layers: []heat.Layer{
		{Thickness: s.BrickThickness, Solid: solidOf(s.BrickMaterial())},
		{Thickness: fill, Solid: solidOf(s.FillMaterial())},
		{Thickness: s.BodyThickness, Solid: solidOf(steel), Cells: 1},
	}}
}

// bodyMetal is the sheet of the body with the emissivity of its coat.
func bodyMetal(s *stove.Stove) material.Material {
	key := "mild-steel"
	if c := s.Container; c != nil {
		key = map[string]string{"galvanised": "galvanised-steel", "stainless": "stainless-304"}[c.Coating]
		if key == "" {
			key = "mild-steel"
		}
	}
	m, _ := material.Lookup(key)
	return m
}

func solidOf(m material.Material) heat.Solid {
	k := make(heat.Conductivity, len(m.ConductivityAt))
	for i, p := range m.ConductivityAt {
		k[i] = [2]float64{p[0] + 273.15, p[1]}
	}
	return heat.Solid{Conductivity: k, Density: m.Density, Heat: m.Heat}
}

// sectorsOf cuts the body into its back with the dense brick, its front with the
// fuel opening, and its sides, each a share of the circle as wide as a brick.
func sectorsOf(s *stove.Stove) []Sector {
	share := 1 / float64(s.Sides)
	plain := planOf(s)
	back, front := plain, plain
	inner := s.BorePerimeter() / (2 * math.Pi)
	floor := s.FloorLevel() - s.FeetHeight
	if s.BackHeight > 0 && !s.Liner {
		dense, _ := material.Lookup("dense-brick")
		solid := solidOf(dense)
		back.Parts = append(plain.Parts[:len(plain.Parts):len(plain.Parts)],
			heat.Part{R0: inner, R1: inner + s.BrickThickness, Z0: floor, Z1: floor + s.BackHeight, Solid: &solid})
	}
	front.Parts = append(plain.Parts[:len(plain.Parts):len(plain.Parts)],
		heat.Part{R0: inner, R1: s.BodyOuter() / 2, Z0: floor, Z1: floor + s.MouthHeight, Edge: EdgeOpening})
	return []Sector{{Share: share, Plan: back}, {Share: 1 - 2*share, Plan: plain}, {Share: share, Plan: front}}
}

// planOf is the section of the body at its sides, with a rim of room around it.
// Heights are above the base sheet.
func planOf(s *stove.Stove) heat.Plan {
	dense, _ := material.Lookup("dense-brick")
	brick, fill, tile, steel := solidOf(s.BrickMaterial()), solidOf(s.FillMaterial()), solidOf(dense), solidOf(bodyMetal(s))
	inner, body, outer, skirt := s.BorePerimeter()/(2*math.Pi), s.BodyInner/2, s.BodyOuter()/2, s.SkirtInner/2
	block := inner + s.BrickThickness
	floor, throat := s.FloorLevel()-s.FeetHeight, s.ThroatLevel()-s.FeetHeight
	ring := throat + s.TopThickness
	hole := math.Max(s.TopHole/2, inner)
	lining := liningOf(s, hole, skirt, throat)
	top := ring
	for _, l := range lining {
		top = math.Max(top, l.Z1)
	}
	top += rim
	plan := heat.Plan{Cell: sectionCell, Side: EdgeAir, Top: EdgeTop, Bottom: EdgeGround, Parts: []heat.Part{
		{R1: body, Z1: throat, Solid: &fill},
		{R1: outer, Z1: s.BodyThickness, Solid: &steel},
		{R0: body, R1: outer, Z1: throat, Solid: &steel},
		{R1: block, Z0: floor - s.FloorThickness, Z1: floor, Solid: &tile},
		{R0: inner, R1: block, Z0: floor, Z1: throat, Solid: &brick},
		{R1: skirt, Z0: throat, Z1: top, Edge: EdgeGap},
		{R0: skirt, R1: outer + rim, Z0: throat, Z1: top, Edge: EdgeTop},
		{R0: outer, R1: outer + rim, Z1: throat, Edge: EdgeAir},
		{R0: hole, R1: outer, Z0: throat, Z1: ring, Solid: &steel},
		{R0: skirt, R1: s.SkirtOuter() / 2, Z0: ring, Z1: top, Edge: heat.Insulated}, // the skirt's foot, as warm as the lining
	}}
	plan.Parts = append(plan.Parts, lining...)
	plan.Parts = append(plan.Parts, heat.Part{R1: inner, Z0: floor, Z1: top, Edge: EdgeChamber})
	return plan
}

// liningOf is the lining on the top ring in steps.
func liningOf(s *stove.Stove, from, to, throat float64) []heat.Part {
	clay, _ := material.Lookup("clay-perlite")
	solid := solidOf(clay)
	const steps = 4
	var list []heat.Part
	for i := range steps {
		r0, r1 := from+(to-from)*float64(i)/steps, from+(to-from)*float64(i+1)/steps
		if thick := s.LiningThickness((r0 + r1) / 2); thick > s.TopThickness+leastLining {
			list = append(list, heat.Part{R0: r0, R1: r1, Z0: throat + s.TopThickness, Z1: throat + thick, Solid: &solid})
		}
	}
	return list
}
