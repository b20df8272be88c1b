package stove

import (
	"fmt"
	"math"
	"strings"

	"stovewright/fuel"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// Given is a value of the brief in SI. Known is false where the form was left
// empty; the sizing then takes a default and says so.
type Given struct {
	SI    float64
	Known bool
}

// Or is the value, or a default where nothing was given.
func (g Given) Or(fallback float64) float64 {
	if g.Known {
		return g.SI
	}
	return fallback
}

// Brief is a form that has been read and found usable: SI values and words
// from the lists, nothing left to parse.
type Brief struct {
	Name, Note string
	Pots       []Pot // the first is the pot of the form, then further pots
	People     int   // 0 when not given
	Meals      []string
	Posture    string
	Fuel       Fuel
	Altitude   Given // m
	Air        Given // K
	Bodies     []Container
	Sheets     []Sheet
	Brick      Brick
	Liner      Liner // all zero where bricks line the chamber
	FillKey    string
	Rod        Given // m, diameter
	MaxHeight  Given // m, to the rim of the pot
	MaxWeight  Given // kg, empty stove
	BoilTime   Given // s
	Choices    ChoicesForm
	Yours      map[string]string

	solved map[string]float64 // dimension id → SI, found for followers that the user set
}

// Pot is one measured pot.
type Pot struct {
	Name          string
	Circumference float64 // m, outside, at the widest point
	Height        float64 // m, outside
	Handle        float64 // m, from the base to the underside of the handles
	TapeError     float64 // m, of the circumference
	Round         bool    // the base is round
	BaseRadius    Given   // m, radius of curvature of a round base
	Fill          Given   // m³ of food or water
	Material      string  // key of package material
	Mass          Given   // kg, empty
}

// Diameter is the outside diameter, C/π.
func (p Pot) Diameter() float64 { return p.Circumference / math.Pi }

// Fuel is the wood of the brief.
type Fuel struct {
	Kind     string
	Moisture Given // fraction, on the basis below
	Dry      bool  // moisture is on the dry basis
	Stick    Given // m, thickness of a stick
}

// MoistureContent is that of the wood, air-dry where it was not measured. The
// form has held it to what its basis allows.
func (f Fuel) MoistureContent() fuel.Moisture {
	read := fuel.WetBasis
	if f.Moisture.Known && f.Dry {
		read = fuel.DryBasis
	}
	m, err := read(f.Moisture.Or(defaultMoisture))
	if err != nil {
		m, _ = fuel.WetBasis(defaultMoisture)
	}
	return m
}

// Container is a can or drum at hand.
type Container struct {
	Kind      string
	Diameter  float64 // m, inside
	Height    float64 // m
	Thickness float64 // m
	Coating   string
}

// Sheet is sheet steel at hand.
type Sheet struct {
	Width, Length, Thickness float64 // m
	Coating                  string
	Count                    int // 0: as many as needed
}

// Brick is the brick at hand or planned.
type Brick struct {
	Material         string
	Body             string // the maker's own body, by name; "" for none
	Measured         bool   // the body was measured; otherwise its numbers are a prediction
	Thickness        Given  // m
	Height           Given  // m
	Density          Given  // kg/m³
	Conductivity     Given  // W/(m K) at 500 °C
	ConductivityLow  Given  // of its band
	ConductivityHigh Given
	Limit            Given  // K, of lasting use
	DryShrinkage     ByEdge // fraction of wet length
	Firing           ByEdge // fraction of dry length
}

// AirTemperature is that of the room in K, a usual one where it was not given.
func (b Brief) AirTemperature() float64 { return b.Air.Or(defaultAir) }

// ByEdge is a value of the brief for length, width and height of a brick.
type ByEdge struct {
	SI    [3]float64
	Known bool
}

// Liner is a round fired liner at hand.
type Liner struct {
	Bore, Wall float64 // m
	Height     float64 // m, of the whole liner or of one of its rings
}

// Given reports whether there is a liner.
func (l Liner) Given() bool { return l.Bore > 0 }

// Defaults of the brief, each named on the screen as a default.
const (
	defaultTapeError = 0.005 // m; a soft tape round a dented pot, common practice
	defaultMoisture  = 0.12  // wet basis, air-dry wood, common practice
	defaultAir       = 298.15
)

// reader reads a form of values that may be left out.
type reader struct{ form.Reader }

func (r *reader) quantity(path, text string) Given {
	si, known := r.Number(path, text)
	return Given{SI: si, Known: known}
}

// Read turns the form into a brief. Every field is checked; the error is a
// [message.InputErrors] with one complaint a field.
func (f Form) Read() (Brief, error) {
	r := &reader{form.Reader{Fields: Fields, Missing: message.T("stove.required")}}
	b := Brief{
		Name: strings.TrimSpace(f.Name), Note: strings.TrimSpace(f.Note),
		Pots:     []Pot{r.pot("pot", f.Pot)},
		People:   r.Whole("kitchen.people", f.Kitchen.People),
		Meals:    f.Kitchen.Meals,
		Posture:  r.Word("kitchen.posture", f.Kitchen.Posture, ""),
		Altitude: r.quantity("place.altitude", f.Place.Altitude),
		Air:      r.quantity("place.air_temperature", f.Place.AirTemperature),
		FillKey:  r.Word("at_hand.fill", f.AtHand.Fill, ""),
		Rod:      r.quantity("at_hand.rod", f.AtHand.Rod),
		BoilTime: r.quantity("limits.time_to_boil", f.Limits.TimeToBoil),
		Yours:    f.Yours,
	}
	b.MaxHeight = r.quantity("limits.height", f.Limits.Height)
	b.MaxWeight = r.quantity("limits.weight", f.Limits.Weight)
	for i, p := range f.MorePots {
		at := len(r.Complaints)
		b.Pots = append(b.Pots, r.pot("pot", p))
		r.Rename(at, "pot", fmt.Sprintf("more_pots[%d]", i+1))
	}
	b.Fuel = r.fuel(f.Fuel)
	r.atHand(f.AtHand, &b)
	b.Choices = r.choices(f.Choices)
	if b.Liner.Given() && (f.Choices.Chamber == "square" || f.Choices.Ring != "") {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "choices.chamber", Value: strings.TrimSpace(f.Choices.Chamber + " " + f.Choices.Ring),
			Reason: message.T("stove.liner-round"), Try: "round"})
	}
	return b, r.Complaints.OrNil()
}

func (r *reader) pot(path string, f PotForm) Pot {
	p := Pot{
		Name:          strings.TrimSpace(f.Name),
		Circumference: r.quantity(path+".circumference", f.Circumference).SI,
		Height:        r.quantity(path+".height", f.Height).SI,
		Handle:        r.quantity(path+".handle_height", f.HandleHeight).SI,
		TapeError:     r.quantity(path+".tape_error", f.TapeError).Or(defaultTapeError),
		Round:         r.Word(path+".base", f.Base, "flat") == "round",
		BaseRadius:    r.quantity(path+".base_radius", f.BaseRadius),
		Fill:          r.quantity(path+".fill", f.Fill),
		Material:      r.Word(path+".material", f.Material, "aluminium"),
		Mass:          r.quantity(path+".mass", f.Mass),
	}
	r.potSense(path, f, p)
	return p
}

// potSense catches values that are each possible but not together.
func (r *reader) potSense(path string, f PotForm, p Pot) {
	if p.Circumference == 0 || p.Height == 0 {
		return // already complained about
	}
	add := func(field, value string, reason message.Text, try string) {
		r.Complaints = append(r.Complaints, &message.InputError{Field: path + field, Value: value, Reason: reason, Try: try})
	}
	height := quantity.Value{SI: p.Height, Unit: quantity.Centimetre, Step: 0.1}
	if p.Handle > p.Height {
		add(".handle_height", f.HandleHeight, message.T("stove.handle-above-rim", "height", height), height.String())
	}
	radius := p.Diameter() / 2
	if p.Round && p.BaseRadius.Known && p.BaseRadius.SI < radius {
		half := quantity.Value{SI: radius, Unit: quantity.Centimetre, Step: 0.1}
		add(".base_radius", f.BaseRadius, message.T("stove.base-radius-small", "radius", half), half.String())
	}
	if !p.Round && p.BaseRadius.Known {
		add(".base_radius", f.BaseRadius, message.T("stove.radius-of-flat"), "base: round")
	}
	if p.Round && p.BaseDepth() > p.Height {
		add(".base_radius", f.BaseRadius, message.T("stove.base-deeper-than-pot", "height", height), "")
	}
	if capacity := p.Capacity(); p.Fill.Known && p.Fill.SI > capacity*1.02 {
		most := quantity.L(capacity)
		add(".fill", f.Fill, message.T("stove.fill-over", "capacity", most), quantity.L(capacity*2/3).String())
	}
}

// Pot shape. A round base is a spherical cap below a straight wall.
const (
	// roundBaseRatio is the radius of curvature of a round base over the pot
	// diameter where it was not measured; common practice, no source.
	roundBaseRatio = 0.6
	// potWall is the wall taken off the outside measures for the capacity:
	// thin sheet pots are 1 to 2 mm; common practice, no source.
	potWall = 0.0015
)

func (p Pot) curvature() float64 {
	return max(p.BaseRadius.Or(roundBaseRatio*p.Diameter()), p.Diameter()/2)
}

// BaseDepth is the height of the round part of the base, 0 for a flat one.
func (p Pot) BaseDepth() float64 {
	if !p.Round {
		return 0
	}
	return p.Sag(p.Diameter() / 2)
}

// Sag is how far the base has risen at radius r from its lowest point.
func (p Pot) Sag(r float64) float64 {
	if !p.Round {
		return 0
	}
	c := p.curvature()
	return c - math.Sqrt(c*c-r*r)
}

// Slope is the angle of the base against the level at radius r, up to upright.
func (p Pot) Slope(r float64) float64 {
	if !p.Round {
		return 0
	}
	return math.Asin(min(1, r/p.curvature()))
}

// RadiusAt is the outside radius at height z above the lowest point of the base.
func (p Pot) RadiusAt(z float64) float64 {
	if depth := p.BaseDepth(); z < depth {
		c := p.curvature()
		return math.Sqrt(max(0, c*c-(c-z)*(c-z)))
	}
	return p.Diameter() / 2
}

// Capacity is the volume inside up to the rim, m³: the outside measures less a
// thin wall.
func (p Pot) Capacity() float64 {
	r := p.Diameter()/2 - potWall
	depth := p.BaseDepth()
	capVolume := math.Pi * depth * (3*r*r + depth*depth) / 6
	return capVolume + math.Pi*r*r*max(0, p.Height-potWall-depth)
}

func (r *reader) fuel(f FuelForm) Fuel {
	basis := r.Word("fuel.moisture_basis", f.MoistureBasis, "")
	wood := Fuel{
		Kind:     r.Word("fuel.kind", f.Kind, "hardwood"),
		Moisture: r.quantity("fuel.moisture", f.Moisture),
		Dry:      basis == "dry",
		Stick:    r.quantity("fuel.stick", f.Stick),
	}
	if wood.Moisture.Known && basis == "" {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "fuel.moisture_basis",
			Reason: message.T("stove.basis-missing"), Allowed: message.T("form.allowed-words", "words", "wet, dry"), Try: "dry"})
	}
	if wood.Moisture.Known && basis == "wet" {
		if _, err := fuel.WetBasis(wood.Moisture.SI); err != nil {
			r.Complaints = append(r.Complaints, &message.InputError{Field: "fuel.moisture", Value: f.Moisture,
				Reason: message.T("stove.moisture-wet"), Try: "15 %"})
		}
	}
	return wood
}

func (r *reader) atHand(f AtHandForm, b *Brief) {
	for i, c := range f.Bodies {
		path := fmt.Sprintf("at_hand.bodies[%d]", i+1)
		b.Bodies = append(b.Bodies, Container{
			Kind:      r.Word(path+".kind", c.Kind, "can"),
			Diameter:  r.quantity(path+".diameter", c.Diameter).SI,
			Height:    r.quantity(path+".height", c.Height).SI,
			Thickness: r.quantity(path+".thickness", c.Thickness).Or(0.0005),
			Coating:   r.Word(path+".coating", c.Coating, "bare"),
		})
	}
	for i, s := range f.Sheets {
		path := fmt.Sprintf("at_hand.sheets[%d]", i+1)
		b.Sheets = append(b.Sheets, Sheet{
			Width:     r.quantity(path+".width", s.Width).SI,
			Length:    r.quantity(path+".length", s.Length).SI,
			Thickness: r.quantity(path+".thickness", s.Thickness).SI,
			Coating:   r.Word(path+".coating", s.Coating, "bare"),
			Count:     r.Whole(path+".count", s.Count),
		})
	}
	r.liner(f.Liner, b)
	k := f.Brick
	b.Brick = Brick{
		Material:         r.Word("at_hand.brick.material", k.Material, "light-brick"),
		Thickness:        r.quantity("at_hand.brick.thickness", k.Thickness),
		Height:           r.quantity("at_hand.brick.height", k.Height),
		Density:          r.quantity("at_hand.brick.density", k.Density),
		Conductivity:     r.quantity("at_hand.brick.conductivity", k.Conductivity),
		ConductivityLow:  r.quantity("at_hand.brick.conductivity_low", k.ConductivityLow),
		ConductivityHigh: r.quantity("at_hand.brick.conductivity_high", k.ConductivityHigh),
		Limit:            r.quantity("at_hand.brick.use_temperature", k.Limit),
	}
	b.Brick.Body, b.Brick.Measured = r.body(k)
	b.Brick.DryShrinkage = r.shrinkage("at_hand.brick.dry_shrinkage", k.DryShrinkage)
	b.Brick.Firing = r.shrinkage("at_hand.brick.firing_shrinkage", k.Firing)
}

// liner needs all three of its measures, or none.
func (r *reader) liner(f LinerForm, b *Brief) {
	const path = "at_hand.liner."
	bore, wall, height := r.quantity(path+"bore", f.Bore), r.quantity(path+"wall", f.Wall), r.quantity(path+"height", f.Height)
	if !bore.Known && !wall.Known && !height.Known {
		return
	}
	for name, g := range map[string]Given{"bore": bore, "wall": wall, "height": height} {
		if text := map[string]string{"bore": f.Bore, "wall": f.Wall, "height": f.Height}[name]; !g.Known && strings.TrimSpace(text) == "" {
			r.Complain(path+name, "", message.T("stove.liner-whole"))
		}
	}
	b.Liner = Liner{Bore: bore.SI, Wall: wall.SI, Height: height.SI}
}

func (r *reader) choices(f ChoicesForm) ChoicesForm {
	c := f
	c.Chamber = r.Word("choices.chamber", f.Chamber, "square")
	c.Ring = r.Word("choices.ring", f.Ring, "")
	c.Body = r.Word("choices.body", f.Body, "")
	c.Skirt = r.Word("choices.skirt", f.Skirt, "bare")
	c.Gap = r.Word("choices.gap", f.Gap, "reconciled")
	c.Paper = r.Word("choices.paper", f.Paper, "a4")
	if (c.Chamber == "square" && c.Ring != "" && c.Ring != "square") || (c.Chamber == "round" && c.Ring == "square") {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "choices.ring", Value: f.Ring,
			Reason: message.T("stove.ring-and-chamber", "chamber", c.Chamber),
			Try:    map[string]string{"square": "square", "round": "hexagon"}[c.Chamber]})
	}
	return c
}
