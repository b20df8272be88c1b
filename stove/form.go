package stove

import (
	"slices"
	"strings"

	"stovewright/fuel"
	"stovewright/internal/form"
	"stovewright/material"
	"stovewright/quantity"
)

// Form is a brief as it is written: the paper form, the page in the browser and
// the YAML file in one. Every entry is text with its unit, kept exactly as the
// user wrote it; [Form.Read] turns it into a [Brief]. Empty means "not asked or
// not known". The order of the fields is the order of the paper form.
type Form struct {
	Name     string            `yaml:"name,omitempty"`
	Note     string            `yaml:"note,omitempty"` // anything; "invented example" in the examples
	Pot      PotForm           `yaml:"pot"`
	MorePots []PotForm         `yaml:"more_pots,omitempty"`
	Kitchen  KitchenForm       `yaml:"kitchen,omitempty"`
	Fuel     FuelForm          `yaml:"fuel,omitempty"`
	Place    PlaceForm         `yaml:"place,omitempty"`
	AtHand   AtHandForm        `yaml:"at_hand,omitempty"`
	Limits   LimitsForm        `yaml:"limits,omitempty"`
	Choices  ChoicesForm       `yaml:"choices,omitempty"`
	Yours    map[string]string `yaml:"yours,omitempty"` // dimension id → value, overrides of the rules
}

// PotForm is one pot, measured outside with a soft tape.
type PotForm struct {
	Name          string `yaml:"name,omitempty"`
	Circumference string `yaml:"circumference"`
	Height        string `yaml:"height"`
	HandleHeight  string `yaml:"handle_height"`
	TapeError     string `yaml:"tape_error,omitempty"`
	Base          string `yaml:"base,omitempty"`
	BaseRadius    string `yaml:"base_radius,omitempty"`
	Fill          string `yaml:"fill,omitempty"`
	Material      string `yaml:"material,omitempty"`
	Mass          string `yaml:"mass,omitempty"`
}

// KitchenForm says who cooks what, and how.
type KitchenForm struct {
	People  string   `yaml:"people,omitempty"`
	Meals   []string `yaml:"meals,omitempty"`
	Posture string   `yaml:"posture,omitempty"`
}

// FuelForm is the wood.
type FuelForm struct {
	Kind          string `yaml:"kind,omitempty"`
	Moisture      string `yaml:"moisture,omitempty"`
	MoistureBasis string `yaml:"moisture_basis,omitempty"`
	Stick         string `yaml:"stick,omitempty"`
}

// PlaceForm is where the stove will burn.
type PlaceForm struct {
	Altitude       string `yaml:"altitude,omitempty"`
	AirTemperature string `yaml:"air_temperature,omitempty"`
}

// AtHandForm is what the workshop has.
type AtHandForm struct {
	Bodies []BodyForm  `yaml:"bodies,omitempty"`
	Sheets []SheetForm `yaml:"sheets,omitempty"`
	Brick  BrickForm   `yaml:"brick,omitempty"`
	Liner  LinerForm   `yaml:"liner,omitempty"`
	Fill   string      `yaml:"fill,omitempty"`
	Rod    string      `yaml:"rod,omitempty"`
}

// BodyForm is a can or a drum that might become the body.
type BodyForm struct {
	Kind      string `yaml:"kind,omitempty"`
	Diameter  string `yaml:"diameter"`
	Height    string `yaml:"height"`
	Thickness string `yaml:"thickness,omitempty"`
	Coating   string `yaml:"coating,omitempty"`
}

// SheetForm is sheet steel in stock.
type SheetForm struct {
	Width     string `yaml:"width"`
	Length    string `yaml:"length"`
	Thickness string `yaml:"thickness"`
	Coating   string `yaml:"coating,omitempty"`
	Count     string `yaml:"count,omitempty"`
}

// BrickForm is the brick: moulded for this stove unless a size is given.
type BrickForm struct {
	Material         string `yaml:"material,omitempty"`
	Body             string `yaml:"body,omitempty"` // the maker's own, by name, see [Form.TakeBody]
	KnownBy          string `yaml:"known_by,omitempty"`
	Thickness        string `yaml:"thickness,omitempty"`
	Height           string `yaml:"height,omitempty"`
	Density          string `yaml:"density,omitempty"`
	Conductivity     string `yaml:"conductivity,omitempty"` // at 500 °C
	ConductivityLow  string `yaml:"conductivity_low,omitempty"`
	ConductivityHigh string `yaml:"conductivity_high,omitempty"`
	Limit            string `yaml:"use_temperature,omitempty"`
	DryShrinkage     string `yaml:"dry_shrinkage,omitempty"` // one for all edges, or one for each
	Firing           string `yaml:"firing_shrinkage,omitempty"`
}

// LinerForm is a fired liner at hand: a round chamber in one piece, or in rings
// set on each other.
type LinerForm struct {
	Bore   string `yaml:"bore,omitempty"`
	Wall   string `yaml:"wall,omitempty"`
	Height string `yaml:"height,omitempty"`
}

// LimitsForm is what the stove must not exceed.
type LimitsForm struct {
	Height     string `yaml:"height,omitempty"`
	Weight     string `yaml:"weight,omitempty"`
	TimeToBoil string `yaml:"time_to_boil,omitempty"`
}

// ChoicesForm picks between ways of building.
type ChoicesForm struct {
	Chamber   string `yaml:"chamber,omitempty"`
	Ring      string `yaml:"ring,omitempty"`
	Body      string `yaml:"body,omitempty"`
	Skirt     string `yaml:"skirt,omitempty"`
	Gap       string `yaml:"gap,omitempty"`
	Paper     string `yaml:"paper,omitempty"`
	Drawn     string `yaml:"drawn,omitempty"`
	Revision  string `yaml:"revision,omitempty"`
	PlannedBy string `yaml:"planned_by,omitempty"`
}

// ParseForm reads a brief file. Unknown fields, repeated fields and broken YAML
// are refused with the line, the field and the nearest known name, all at once.
func ParseForm(data []byte) (Form, error) {
	var f Form
	err := Fields.Decode(data, &f, "pot:\n  circumference: 75.4 cm")
	return f, err
}

// Write gives the brief file of a form. Reading it back gives the same form.
func (f Form) Write() ([]byte, error) { return form.Encode(f) }

// Field is one line of the form: what may stand there. Paths of list items have
// no index: every pot is checked by "pot.…", every body by "at_hand.bodies.…".
type Field = form.Field

// FieldKind tells how a field is read.
type FieldKind = form.Kind

// The kinds of fields.
const (
	FreeText = form.FreeText
	Quantity = form.Quantity
	Whole    = form.Whole // a whole number
	Word     = form.Word  // one of Options
)

// Fields is the whole form, in the order of the paper.
var Fields = form.Fields{
	{Path: "name", Kind: FreeText, Example: "River-bend school kitchen"},
	{Path: "note", Kind: FreeText},
	{Path: "pot.name", Kind: FreeText, Example: "beans pot"},
	form.Number("pot.circumference", quantity.Centimetre, 30, 300, true, "75.4 cm"),
	form.Number("pot.height", quantity.Centimetre, 5, 90, true, "16 cm"),
	form.Number("pot.handle_height", quantity.Centimetre, 2, 90, true, "12 cm"),
	form.Number("pot.tape_error", quantity.Millimetre, 0, 30, false, "5 mm"),
	form.OneOf("pot.base", false, "flat", "round"),
	form.Number("pot.base_radius", quantity.Centimetre, 5, 200, false, "16 cm"),
	form.Number("pot.fill", quantity.Litre, 0.2, 400, false, "5 L"),
	form.OneOf("pot.material", false, "aluminium", "stainless-304", "mild-steel", "cast-iron", "clay-pot"),
	form.Number("pot.mass", quantity.Kilogram, 0.05, 120, false, "0.7 kg"),
	{Path: "kitchen.people", Kind: Whole, Min: 1, Max: 2000, Example: "6"},
	{Path: "kitchen.meals", Kind: FreeText, Example: "beans, stiff porridge"},
	form.OneOf("kitchen.posture", false, "squatting", "sitting", "standing"),
	form.OneOf("fuel.kind", false, burntKinds()...),
	form.Number("fuel.moisture", quantity.Percent, 0, 150, false, "15 %"),
	form.OneOf("fuel.moisture_basis", false, "wet", "dry"),
	form.Number("fuel.stick", quantity.Millimetre, 5, 120, false, "30 mm"),
	form.Number("place.altitude", quantity.Metre, -430, 5500, false, "1200 m"),
	form.Number("place.air_temperature", quantity.Celsius, -30, 55, false, "24 °C"),
	form.OneOf("at_hand.bodies.kind", false, "can", "drum"),
	form.Number("at_hand.bodies.diameter", quantity.Centimetre, 8, 150, true, "30 cm"),
	form.Number("at_hand.bodies.height", quantity.Centimetre, 8, 200, true, "40 cm"),
	form.Number("at_hand.bodies.thickness", quantity.Millimetre, 0.15, 6, false, "0.5 mm"),
	form.OneOf("at_hand.bodies.coating", false, "bare", "galvanised", "painted", "stainless"),
	form.Number("at_hand.sheets.width", quantity.Millimetre, 100, 3000, true, "1000 mm"),
	form.Number("at_hand.sheets.length", quantity.Millimetre, 100, 6000, true, "2000 mm"),
	form.Number("at_hand.sheets.thickness", quantity.Millimetre, 0.2, 4, true, "0.8 mm"),
	form.OneOf("at_hand.sheets.coating", false, "bare", "galvanised", "stainless"),
	{Path: "at_hand.sheets.count", Kind: Whole, Min: 1, Max: 1000, Example: "2"},
	form.OneOf("at_hand.brick.material", false, material.Keys("brick")...),
	form.Text("at_hand.brick.body", "light lining T2"),
	form.OneOf("at_hand.brick.known_by", false, "measured", "predicted"),
	form.Number("at_hand.brick.thickness", quantity.Millimetre, 15, 150, false, "50 mm"),
	form.Number("at_hand.brick.height", quantity.Millimetre, 30, 300, false, "110 mm"),
	form.Number("at_hand.brick.density", quantity.GramPerCM3, 0.25, 2.6, false, "0.6 g/cm³"),
	form.Number("at_hand.brick.conductivity", quantity.WPerMK, 0.02, 3, false, "0.22 W/(m·K)"),
	form.Number("at_hand.brick.conductivity_low", quantity.WPerMK, 0.02, 3, false, "0.17 W/(m·K)"),
	form.Number("at_hand.brick.conductivity_high", quantity.WPerMK, 0.02, 3, false, "0.28 W/(m·K)"),
	form.Number("at_hand.brick.use_temperature", quantity.Celsius, 500, 1700, false, "930 °C"),
	form.Number("at_hand.brick.dry_shrinkage", quantity.Percent, 0, 20, false, "5 %"),
	form.Number("at_hand.brick.firing_shrinkage", quantity.Percent, 0, 15, false, "2 %"),
	form.Number("at_hand.liner.bore", quantity.Millimetre, 60, 300, false, "125 mm"),
	form.Number("at_hand.liner.wall", quantity.Millimetre, 10, 120, false, "30 mm"),
	form.Number("at_hand.liner.height", quantity.Millimetre, 60, 900, false, "330 mm"),
	form.OneOf("at_hand.fill", false, material.Keys("fill")...),
	form.Number("at_hand.rod", quantity.Millimetre, 4, 25, false, "8 mm"),
	form.Number("limits.height", quantity.Centimetre, 15, 150, false, "45 cm"),
	form.Number("limits.weight", quantity.Kilogram, 1, 500, false, "25 kg"),
	form.Number("limits.time_to_boil", quantity.Minute, 3, 240, false, "25 min"),
	form.OneOf("choices.chamber", false, "square", "round"),
	form.OneOf("choices.ring", false, "square", "hexagon", "octagon"),
	form.OneOf("choices.body", false, "container", "rolled"),
	form.OneOf("choices.skirt", false, "bare", "galvanised", "stainless"),
	form.OneOf("choices.gap", false, "reconciled", "manual-1984", "web-note", "baldwin", "firepower-line", "trade", "constant-area"),
	form.OneOf("choices.paper", false, "a4", "letter"),
	{Path: "choices.drawn", Kind: FreeText, Example: "2026-05-04"},
	{Path: "choices.revision", Kind: FreeText, Example: "A"},
	{Path: "choices.planned_by", Kind: FreeText},
	{Path: "yours", Kind: FreeText, Example: "skirt.gap: 9 mm"},
}

// burntKinds are the fuels that somebody may put on the shelf: all but the char
// that a fire leaves.
func burntKinds() []string {
	return slices.DeleteFunc(fuel.Keys(), func(k string) bool { return k == "fire-char" })
}

// FieldOf finds the rules of a field by its path; indices and the list name of
// further pots are dropped, so "more_pots[2].height" is checked as "pot.height".
func FieldOf(path string) (Field, bool) {
	if rest, ok := strings.CutPrefix(path, "more_pots"); ok {
		path = "pot" + rest
	}
	return Fields.Find(path)
}
