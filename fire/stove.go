package fire

import (
	"fmt"
	"math"

	"stovewright/gas"
	"stovewright/heat"
	"stovewright/message"
	"stovewright/quantity"
)

// Stove is the gas path of a stove from the fuel opening to the open air, and
// what stands around it. SI units throughout.
type Stove struct {
	Feed    float64 // m², the fuel opening, sticks included
	Grate   bool    // the sticks lie on a grate or shelf with air below
	Chamber Chamber
	// Bottom is the gap under the pot, from the throat (the rim of the chamber)
	// outwards to where the side begins: the edge of a flat pot, the widest girth
	// of a round one. Two stations or more, by growing radius. See [FlatBottom]
	// and [RoundBottom].
	Bottom []Station
	// Side is the annulus around the pot, from the pot's edge upwards: the part
	// sunk into the body first, then the skirt. Empty for a bare pot.
	Side []Annulus
	Pot  Pot
	Wall Wall
}

// Chamber is the combustion chamber with its riser.
type Chamber struct {
	Area      float64 // m², flow section
	Perimeter float64 // m, of the flow section
	Height    float64 // m, from the middle of the fuel bed to the pot's bottom: the column of hot gas
}

// Station is one place of the gap under the pot.
type Station struct {
	Radius float64 // m, of the pot's surface there
	Gap    float64 // m, square to the pot's surface
	Rise   float64 // m, of the pot's surface above its lowest point; 0 for a flat pot
}

// Annulus is one band of the gap around the pot, with its outer wall.
type Annulus struct {
	Length    float64 // m, along the pot's side
	GapBottom float64 // m
	GapTop    float64 // m
	OuterLoss float64 // W/(m² K), from the outer wall to the air: some 15 for bare sheet, 3 to 5 behind 10 mm of insulation, 1 to 3 in the body
}

// Pot is the vessel.
type Pot struct {
	Diameter float64 // m, at the widest girth
	Height   float64 // m
	Mass     float64 // kg, empty
	Heat     float64 // J/(kg K), of its metal
	Lid      bool
}

// Wall is the chamber's wall.
type Wall struct {
	Layers     []heat.Layer // from the fire outwards
	Emissivity float64      // of the skin
	BodyHeight float64      // m, of the body, for the air that rises along it
	// Conductance in W/K from gas to air takes the place of the layers in the
	// steady solve where it is known; 0 to compute it.
	Conductance float64
}

// Air is the room.
type Air struct {
	Temperature float64 // K
	Pressure    float64 // Pa; see gas.ISAPressure
}

// FlatBottom lays out the gap under a flat pot from the throat to its edge, with
// a gap that changes evenly from one to the other.
func FlatBottom(throat, potRadius, gapThroat, gapEdge float64) []Station {
	return []Station{{Radius: throat, Gap: gapThroat}, {Radius: potRadius, Gap: gapEdge}}
}

// RoundBottom lays out the gap under a pot whose bottom is a sphere of the given
// radius of curvature up to its widest girth, with a gap that changes evenly
// along the surface. The curvature must be at least the pot's radius.
func RoundBottom(throat, potRadius, curvature, gapThroat, gapEdge float64) []Station {
	const n = 8
	from, to := math.Asin(throat/curvature), math.Asin(math.Min(potRadius/curvature, 1))
	list := make([]Station, n+1)
	for i := range list {
		f := float64(i) / n
		angle := from + f*(to-from)
		list[i] = Station{Radius: curvature * math.Sin(angle), Gap: gapThroat + f*(gapEdge-gapThroat), Rise: curvature * (1 - math.Cos(angle))}
	}
	return list
}

// Limits of what the model is asked; outside them its correlations know nothing.
const (
	leastPower, mostPower       = 300.0, 30e3 // W
	leastGap, mostGap           = 0.002, 0.25 // m; a round base over a straight lining opens that wide
	leastPressure, mostPressure = 50e3, 110e3 // Pa
)

// Validate reports what the model cannot take, every field of it. The error is a
// [message.InputErrors].
func (s Stove) Validate() error {
	var v complaints
	v.within("feed", s.Feed, 1e-4, 1)
	v.within("chamber.area", s.Chamber.Area, 1e-3, 0.2)
	v.within("chamber.perimeter", s.Chamber.Perimeter, math.Sqrt(4*math.Pi*s.Chamber.Area)*(1-1e-9), 5)
	v.within("chamber.height", s.Chamber.Height, 0.02, 2)
	v.within("pot.diameter", s.Pot.Diameter, 0.05, 1.5)
	if len(s.Bottom) < 2 {
		v.add("bottom", len(s.Bottom), 2, 100)
	}
	for i, b := range s.Bottom {
		at := fmt.Sprintf("bottom[%d].", i)
		least := 0.01
		if i > 0 {
			least = math.Nextafter(s.Bottom[i-1].Radius, 1)
		}
		v.within(at+"radius", b.Radius, least, 1)
		v.within(at+"gap", b.Gap, leastGap, mostGap)
		v.within(at+"rise", b.Rise, 0, 1)
	}
	for i, a := range s.Side {
		at := fmt.Sprintf("side[%d].", i)
		v.within(at+"length", a.Length, 0.005, 1)
		v.within(at+"gap-bottom", a.GapBottom, leastGap, mostGap)
		v.within(at+"gap-top", a.GapTop, leastGap, mostGap)
		v.within(at+"outer-loss", a.OuterLoss, 0, 100)
	}
	if s.Wall.Conductance == 0 && len(s.Wall.Layers) == 0 {
		v.add("wall.layers", 0, 1, 20)
	}
	return v.list.OrNil()
}

func (a Air) validate(v *complaints) {
	v.within("air.temperature", a.Temperature, 240, 330)
	v.within("air.pressure", a.Pressure, leastPressure, mostPressure)
}

// complaints collects fields that are out of range.
type complaints struct{ list message.InputErrors }

func (v *complaints) within(field string, value, low, high float64) {
	if !(value >= low && value <= high) {
		v.add(field, value, low, high)
	}
}

func (v *complaints) add(field string, value any, low, high float64) {
	v.list = append(v.list, &message.InputError{Field: field, Value: fmt.Sprint(value), Reason: message.T("fire.range"),
		Allowed: message.T("fire.allowed", "low", plain(low), "high", plain(high)), Try: fmt.Sprintf("%.4g", math.Sqrt(math.Max(low, 1e-3)*high))})
}

// plain shows a number in SI without a unit; the field says which it is.
func plain(x float64) quantity.Value { return quantity.Value{SI: x, Unit: quantity.One} }

// BoilingPoint is the temperature in K at which water boils in this air.
func (a Air) BoilingPoint() float64 { return gas.BoilingPoint(a.Pressure) }
