package bench

import (
	"fmt"
	"math"
	"strings"
	"time"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// CookingForm is a cooking test as it is written; see [BoilingForm].
type CookingForm struct {
	Test         string           `yaml:"test"` // "cooking"
	Kind         string           `yaml:"kind,omitempty"`
	DryWood      string           `yaml:"dry_wood,omitempty"`
	About        AboutForm        `yaml:"about,omitempty"`
	Dish         string           `yaml:"dish,omitempty"`
	Cook         string           `yaml:"cook,omitempty"`
	Wood         WoodForm         `yaml:"wood"`
	Place        PlaceForm        `yaml:"place"`
	BoilingPoint BoilingPointForm `yaml:"boiling_point,omitempty"`
	Pot          PotForm          `yaml:"pot,omitempty"`
	Instruments  ScalesForm       `yaml:"instruments,omitempty"`
	CharPan      string           `yaml:"char_pan,omitempty"`
	Foods        []FoodForm       `yaml:"foods,omitempty"`
	WoodBefore   string           `yaml:"wood_before"`
	WoodAfter    string           `yaml:"wood_after"`
	Char         string           `yaml:"char_with_pan,omitempty"`
	Start        string           `yaml:"start,omitempty"`
	End          string           `yaml:"end,omitempty"`
	Duration     string           `yaml:"duration,omitempty"`
	Away         []SpellForm      `yaml:"away,omitempty"` // the fire was left alone
	Pots         []CookingPotForm `yaml:"pots"`
}

// FoodForm is something that goes into the pots, water too.
type FoodForm struct {
	Name string `yaml:"name,omitempty"`
	Mass string `yaml:"mass"`
}

// SpellForm is a while between two times of day.
type SpellForm struct {
	From string `yaml:"from"`
	To   string `yaml:"to"`
}

// CookingPotForm is one pot of a meal.
type CookingPotForm struct {
	Empty string `yaml:"empty"`
	Food  string `yaml:"with_food"`
}

var cookingFields = paper(form.Fields{
	form.OneOf("test", false, "cooking"),
	form.OneOf("kind", false, string(Controlled), string(Uncontrolled)),
	form.OneOf("dry_wood", false, string(ShortForm), string(FullForm)),
}.And(aboutFields, form.Fields{form.Text("dish", "beans and maize"), form.Text("cook", "cook 2")}, woodFields(woodKinds()), placeFields, form.Fields{
	form.Number("boiling_point.lowest", quantity.Celsius, 70, 103, false, "96.4 °C"),
	form.Number("boiling_point.highest", quantity.Celsius, 70, 103, false, "96.8 °C"),
	form.Text("pot.name", "5 L pot"),
	form.OneOf("pot.lid", false, "off", "on"),
}, scaleFields, form.Fields{
	form.Number("char_pan", quantity.Gram, 0, 20000, false, "250 g"),
	form.Text("foods.name", "beans"),
	form.Number("foods.mass", quantity.Gram, 0, 600000, true, "1500 g"),
	form.Number("wood_before", quantity.Gram, 1, 500000, true, "5000 g"),
	form.Number("wood_after", quantity.Gram, 0, 500000, true, "2350 g"),
	form.Number("char_with_pan", quantity.Gram, 0, 100000, false, "305 g"),
	{Path: "start", Kind: Clock, Example: "10:02"},
	{Path: "end", Kind: Clock, Example: "11:54"},
	form.Number("duration", quantity.Minute, 0.5, 1440, false, "112 min"),
	{Path: "away.from", Kind: Clock, Required: true, Example: "10:20"},
	{Path: "away.to", Kind: Clock, Required: true, Example: "10:35"},
	form.Number("pots.empty", quantity.Gram, 20, 200000, true, "700 g"),
	form.Number("pots.with_food", quantity.Gram, 20, 600000, true, "3820 g"),
}))

// CookingFields is the form of a cooking test in the order of the paper.
func CookingFields() []Field { return cookingFields }

// ReadCooking reads a cooking test file. The error is a [message.InputErrors]
// or a [*message.InputError].
func ReadCooking(data []byte) (CookingTest, error) {
	f, err := ParseCooking(data)
	if err != nil {
		return CookingTest{}, err
	}
	return f.Read()
}

// ParseCooking reads a cooking test file. The error is a [*message.InputError].
func ParseCooking(data []byte) (CookingForm, error) {
	var f CookingForm
	err := cookingFields.Decode(data, &f, "test: cooking")
	return f, err
}

// Read turns a form into a test; the error is a [message.InputErrors].
func (f CookingForm) Read() (CookingTest, error) {
	r := newReader(cookingFields)
	t := f.read(r)
	return t, r.Complaints.OrNil()
}

func (f CookingForm) read(r *reader) CookingTest {
	r.Word("test", f.Test, "cooking")
	t := CookingTest{
		Kind:  CookingKind(r.Word("kind", f.Kind, string(Controlled))),
		Form:  DryWoodForm(r.Word("dry_wood", f.DryWood, string(ShortForm))),
		About: f.About.about(),
		Dish:  strings.TrimSpace(f.Dish), Cook: strings.TrimSpace(f.Cook),
		Wood: r.wood(f.Wood), Air: r.quantity("place.air_temperature", f.Place.Air).SI,
		WoodBefore: r.quantity("wood_before", f.WoodBefore).SI, WoodAfter: r.quantity("wood_after", f.WoodAfter).SI,
		Char:     r.quantity("char_with_pan", f.Char),
		Duration: r.duration("", f.Start, f.End, f.Duration), Instruments: r.scales(f.Instruments),
	}
	t.Raw, t.Away = r.foods(f.Foods), r.away(f.Away)
	t.Conditions = Conditions{Pot: strings.TrimSpace(f.Pot.Name), Lid: r.Word("pot.lid", f.Pot.Lid, "off") == "on",
		Wind: r.Word("place.wind", f.Place.Wind, ""), Room: r.Word("place.room", f.Place.Room, "")}
	pan := r.quantity("char_pan", f.CharPan)
	t.CharPan = pan.SI
	if t.Char.Known && !pan.Known {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "char_pan", Reason: message.T("bench.char-pan-missing", "phase", phaseName("")), Try: "250 g"})
	}
	if r.running && pan.Known && !t.Char.Known {
		t.Char = Known(math.NaN())
	}
	if t.Form == FullForm {
		t.Boiling = r.boilingPoint(f.BoilingPoint, f.Place, defaultThermometer)
	}
	for i, p := range f.Pots {
		path := fmt.Sprintf("pots[%d].", i+1)
		t.Pots = append(t.Pots, CookingPot{r.quantity(path+"empty", p.Empty).SI, r.quantity(path+"with_food", p.Food).SI})
	}
	if len(f.Pots) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "pots", Reason: message.T("bench.no-pot"), Try: "pots:\n  - empty: 700 g"})
	}
	return t
}

// foods is the mass of all that goes into the pots; unknown where nothing is
// listed.
func (r *reader) foods(list []FoodForm) Given {
	sum := Given{Known: len(list) > 0}
	for i, f := range list {
		mass := r.quantity(fmt.Sprintf("foods[%d].mass", i+1), f.Mass)
		sum.SI += mass.SI
	}
	return sum
}

// away is how long the fire was left alone; unknown where nothing is listed.
func (r *reader) away(list []SpellForm) Given {
	sum := Given{Known: len(list) > 0}
	for i, s := range list {
		path := fmt.Sprintf("away[%d].", i+1)
		from, to := r.clock(path+"from", s.From), r.clock(path+"to", s.To)
		if from.Known && to.Known {
			sum.SI += math.Mod(to.SI-from.SI+24*3600, 24*3600) // over midnight counts on
		} else {
			sum.SI += r.blank()
		}
	}
	return sum
}

// KitchenForm is one round of a kitchen test as it is written.
type KitchenForm struct {
	Test       string          `yaml:"test"` // "kitchen"
	Round      string          `yaml:"round,omitempty"`
	Days       string          `yaml:"planned_days,omitempty"`
	Scale      string          `yaml:"scale,omitempty"` // its step
	About      AboutForm       `yaml:"about,omitempty"`
	Households []HouseholdForm `yaml:"households"`
}

// HouseholdForm is one household, by a code, never by name.
type HouseholdForm struct {
	Code    string            `yaml:"code"`
	Village string            `yaml:"village,omitempty"`
	Feast   string            `yaml:"feast,omitempty"`
	Visits  []string          `yaml:"visits,omitempty"` // when each was made: one more than the days
	People  []PeopleForm      `yaml:"people"`
	Fuels   []KitchenFuelForm `yaml:"fuels"`
}

// PeopleForm is those cooked for on one day.
type PeopleForm struct {
	Children string `yaml:"children,omitempty"`
	Women    string `yaml:"women,omitempty"`
	Men      string `yaml:"men,omitempty"`
	OlderMen string `yaml:"older_men,omitempty"`
	Other    string `yaml:"other_stove,omitempty"` // how much was cooked on a stove whose fuel is not weighed here
}

// KitchenFuelForm is one fuel over the days of the visit.
type KitchenFuelForm struct {
	Wood WoodForm      `yaml:"fuel"`
	Days []FuelDayForm `yaml:"days"`
}

// FuelDayForm is one day: the stock in the morning, what was added, the stock
// next morning.
type FuelDayForm struct {
	Start string `yaml:"start"`
	Added string `yaml:"added,omitempty"`
	End   string `yaml:"end"`
}

var kitchenFields = paper(form.Fields{
	form.OneOf("test", false, "kitchen"),
	form.OneOf("round", false, "before", "after"),
	{Path: "planned_days", Kind: Whole, Min: 1, Max: 14, Example: "3"},
	form.Number("scale", quantity.Kilogram, 0.001, 5, false, "0.1 kg"),
}.And(aboutFields, form.Fields{
	form.Text("households.code", "H07"), form.Text("households.village", "village 2"), form.OneOf("households.feast", false, "no", "yes"),
	{Path: "households.visits", Kind: Clock, Example: "2026-05-04 07:10"},
	{Path: "households.people.children", Kind: Whole, Max: 500, Example: "3"},
	{Path: "households.people.women", Kind: Whole, Max: 500, Example: "2"},
	{Path: "households.people.men", Kind: Whole, Max: 500, Example: "1"},
	{Path: "households.people.older_men", Kind: Whole, Max: 500, Example: "0"},
	form.OneOf("households.people.other_stove", false, otherNone, "part", "mostly"),
}, woodFields(fuelKinds(true)), form.Fields{
	form.Number("days.start", quantity.Kilogram, 0, 2000, true, "14.2 kg"),
	form.Number("days.added", quantity.Kilogram, 0, 2000, false, "3.5 kg"),
	form.Number("days.end", quantity.Kilogram, 0, 2000, true, "11.5 kg"),
}))

// KitchenFields is the form of a kitchen test in the order of the paper.
func KitchenFields() []Field { return kitchenFields }

// ReadKitchens reads one round of a kitchen test. The error is a
// [message.InputErrors] or a [*message.InputError].
func ReadKitchens(data []byte) ([]Kitchen, error) {
	f, err := ParseKitchens(data)
	if err != nil {
		return nil, err
	}
	return f.Read()
}

// ParseKitchens reads the file of one round. The error is a
// [*message.InputError].
func ParseKitchens(data []byte) (KitchenForm, error) {
	var f KitchenForm
	err := kitchenFields.Decode(data, &f, "test: kitchen")
	return f, err
}

// Read turns a form into households; the error is a [message.InputErrors].
func (f KitchenForm) Read() ([]Kitchen, error) {
	r := newReader(kitchenFields)
	list := f.read(r)
	return list, r.Complaints.OrNil()
}

func (f KitchenForm) read(r *reader) []Kitchen {
	r.Word("test", f.Test, "kitchen")
	r.Word("round", f.Round, "")
	r.Whole("planned_days", f.Days)
	scale := r.quantity("scale", f.Scale).Or(0)
	seen := map[string]bool{}
	var list []Kitchen
	say := func(path, value, reason, try string) {
		r.Complaints = append(r.Complaints, &message.InputError{Field: path, Value: clip(value), Reason: message.T(reason), Try: try})
	}
	for i, h := range f.Households {
		at := len(r.Complaints)
		path := fmt.Sprintf("households[%d]", i+1)
		k := Kitchen{Code: strings.TrimSpace(h.Code), Cluster: strings.TrimSpace(h.Village), Feast: r.Word("households.feast", h.Feast, "no") == "yes", Scale: scale}
		for j, text := range h.Visits {
			k.Visits = append(k.Visits, r.visit(fmt.Sprintf("households.visits[%d]", j+1), text))
		}
		if k.Code == "" || seen[k.Code] {
			say("households.code", h.Code, "bench.household-code", fmt.Sprintf("H%02d", i+1))
		}
		seen[k.Code] = true
		for j, p := range h.People {
			day := fmt.Sprintf("households.people[%d].", j+1)
			people := People{float64(r.Whole(day+"children", p.Children)), float64(r.Whole(day+"women", p.Women)),
				float64(r.Whole(day+"men", p.Men)), float64(r.Whole(day+"older_men", p.OlderMen))}
			if p.Children+p.Women+p.Men+p.OlderMen == "" {
				people.Women += r.blank()
			}
			k.People, k.Other = append(k.People, people), append(k.Other, r.Word(day+"other_stove", p.Other, ""))
		}
		r.Rename(at, "households", path)
		for j, fuel := range h.Fuels {
			k.Fuels = append(k.Fuels, r.kitchenFuel(fmt.Sprintf("%s.fuels[%d]", path, j+1), fuel, len(h.People)))
		}
		if !r.running && (len(h.People) == 0 || len(h.Fuels) == 0) {
			say(path, h.Code, "bench.household-empty", "people: [{women: 2, children: 3}]")
		}
		list = append(list, k)
	}
	if len(f.Households) == 0 {
		say("households", "", "bench.household-none", "households:\n  - code: H01")
	}
	return list
}

// VisitTime is how the time of a visit is written.
const VisitTime = "2006-01-02 15:04"

// visit reads the time of a visit; zero where nothing usable is written.
func (r *reader) visit(path, text string) time.Time {
	if r.Empty(path, text) {
		return time.Time{}
	}
	at, err := time.Parse(VisitTime, strings.Join(strings.Fields(text), " "))
	if err != nil {
		r.Complain(path, text, message.T("bench.visit-time"))
	}
	return at
}

func (r *reader) kitchenFuel(path string, f KitchenFuelForm, days int) KitchenFuel {
	at := len(r.Complaints)
	kind := f.Wood
	for _, row := range woodTable {
		if row.Kitchen && strings.EqualFold(strings.TrimSpace(kind.Kind), row.Key) && kind.Moisture == "" {
			kind.Moisture, kind.MoistureBasis = "0 %", "wet" // gas and kerosene hold no water
		}
	}
	w := r.wood(kind)
	r.Rename(at, "wood", path+".fuel")
	fuel := KitchenFuel{Key: w.Kind, LHV: w.LHV, LHVFrom: w.LHVFrom, Moisture: w.Moisture}
	at = len(r.Complaints)
	for i, d := range f.Days {
		day := fmt.Sprintf("days[%d].", i+1)
		fuel.Days = append(fuel.Days, FuelDay{r.quantity(day+"start", d.Start).SI, r.quantity(day+"added", d.Added).SI, r.quantity(day+"end", d.End).SI})
	}
	r.Rename(at, "days", path+".days")
	if len(f.Days) != days {
		r.Complaints = append(r.Complaints, &message.InputError{Field: path + ".days", Reason: message.T("bench.days-differ", "n", days), Try: "days:\n  - {start: 14.2 kg, end: 11.5 kg}"})
	}
	return fuel
}
