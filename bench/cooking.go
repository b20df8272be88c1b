package bench

import (
	"fmt"

	"stovewright/message"
	"stovewright/quantity"
)

// DryWoodForm is how the dry wood of a cooking test is computed. Two forms are
// never mixed within one comparison.
type DryWoodForm string

// The forms.
const (
	ShortForm DryWoodForm = "short" // f_m(1-1.12 m) - 1.5 Δc, the protocol's own
	FullForm  DryWoodForm = "full"  // as in the boiling test 4.2
)

// CookingKind tells the two cooking tests apart.
type CookingKind string

// The kinds: the same dish on every stove, or whatever the cook cooks, weighed.
const (
	Controlled   CookingKind = "controlled"
	Uncontrolled CookingKind = "uncontrolled"
)

// CookingPot is one pot: kg, empty and with the cooked food.
type CookingPot struct{ Empty, Food float64 }

// CookingTest is one meal cooked on one stove.
type CookingTest struct {
	Kind                  CookingKind
	Form                  DryWoodForm
	About                 About
	Dish, Cook            string
	Wood                  Wood
	Air                   float64      // K; for the full form
	Boiling               BoilingPoint // for the full form
	WoodBefore, WoodAfter float64      // kg
	CharPan               float64      // kg
	Char                  Given        // kg, with the pan
	Pots                  []CookingPot
	Duration              float64     // s
	Raw                   Given       // kg that went into the pots, water too
	Away                  Given       // s that the fire was left alone
	Instruments           Instruments // for the checks of the scales; zero where they are not known
	Conditions            Conditions
}

// CookingResult is a cooking test computed.
type CookingResult struct {
	Kind           CookingKind
	Form           DryWoodForm
	Wood, DryWood  float64 // kg
	Food           float64 // kg, cooked
	Consumption    float64 // kg dry wood a kg food
	Energy         float64 // J
	SpecificEnergy float64 // J/kg food
	BurnRate       float64 // kg/s
	Firepower      float64 // W
	Duration       float64 // s
	Steps          []Step
	Alarms         []Alarm
}

// Usable reports whether no alarm spoils the result.
func (r CookingResult) Usable() bool { return usable(r.Alarms) }

func usable(alarms []Alarm) bool {
	for _, a := range alarms {
		if a.Spoils() {
			return false
		}
	}
	return true
}

var cookingSheet = lazySheet("cooking-2.0.yaml")

// Cook computes a controlled or uncontrolled cooking test (cct2004protocol).
// The error tells a programmer that there is no pot or an unknown form.
func Cook(test CookingTest) (CookingResult, error) {
	form, ok := map[DryWoodForm]string{ShortForm: "short form", FullForm: "full form"}[test.Form]
	if !ok || len(test.Pots) == 0 {
		return CookingResult{}, fmt.Errorf("bench: a cooking test with form %q and %d pots", test.Form, len(test.Pots))
	}
	c := cookingSheet().start(len(test.Pots), true)
	if test.Form == FullForm {
		c.constants()
		c.set("T_a", test.Air-zeroC, Measured)
		c.set("T_b", test.Boiling.Kelvin-zeroC, test.Boiling.Origin())
	}
	c.set("LHV", test.Wood.LHV/1000, test.Wood.LHVFrom)
	c.follow("m", test.Wood.Moisture, test.Wood.MoistureHow)
	c.set("f_i", test.WoodBefore*1000, Measured)
	c.set("f_f", test.WoodAfter*1000, Measured)
	cases := map[string]bool{form: true, "char not weighed": !test.Char.Known, "char weighed": test.Char.Known}
	if test.Char.Known {
		c.set("c", test.Char.SI*1000, Measured)
		c.set("k", test.CharPan*1000, Measured)
	}
	c.set("t", test.Duration/60, Measured)
	if test.Raw.Known {
		c.set("W_r", test.Raw.SI*1000, Measured)
	}
	if test.Away.Known {
		c.set("away", test.Away.SI/60, Measured)
	}
	c.scales(test.Instruments)
	empty, food := make([]float64, len(test.Pots)), make([]float64, len(test.Pots))
	for i, p := range test.Pots {
		empty[i], food[i] = p.Empty*1000, p.Food*1000
	}
	c.setRows("P", empty)
	c.setRows("P_f", food)
	c.run(c.before, cases)
	return CookingResult{Kind: test.Kind, Form: test.Form, Wood: c.si("f_m"), DryWood: c.si("f_d"), Food: c.si("W_f"), Consumption: c.si("SCf"),
		Energy: c.si("E"), SpecificEnergy: c.si("SEf"), BurnRate: c.si("r_b"), Firepower: c.si("FP"), Duration: test.Duration,
		Steps: c.steps, Alarms: c.alarms()}, nil
}

// constants enters the protocol's own.
func (c *calculation) constants() {
	for _, row := range c.file.Constants {
		c.set(row.Key, *row.Value, Default)
	}
}

// CookingSeries is the meals cooked on one stove.
type CookingSeries struct {
	Name  string
	Tests []CookingTest
}

// CompareCooking compares the specific consumption of two stoves in cooking
// tests. Meals of different forms or kinds are refused by an alarm.
func CompareCooking(base, new CookingSeries, s Settings) (Comparison, error) {
	what, unit := quantityName("SCf"), units["g/kg"]
	var samples [2]Sample
	var alarms []Alarm
	first := base.Tests
	if len(first) == 0 {
		first = new.Tests
	}
	for i, series := range []CookingSeries{base, new} {
		samples[i].Name = series.Name
		for _, t := range series.Tests {
			r, err := Cook(t)
			if err != nil {
				return Comparison{}, err
			}
			alarms = append(alarms, mixedCooking(first[0], t, alarms)...)
			if r.Usable() && t.About.LeftOut == "" {
				samples[i].Values = append(samples[i].Values, r.Consumption)
			}
		}
	}
	if !usable(alarms) {
		return Comparison{What: what, Unit: unit, Better: -1, Alarms: alarms, Finding: Forbidden, Words: message.T("bench.compare.not-comparable")}, nil
	}
	c, err := CompareSamples(what, unit, -1, samples[0], samples[1], s)
	c.Alarms = alarms
	return c, err
}

// mixedCooking rings once for each thing that two meals must have in common.
func mixedCooking(a, b CookingTest, rung []Alarm) []Alarm {
	var found []Alarm
	for _, c := range []struct {
		key      string
		severity Severity
		one, two string
	}{
		{"cooking-kind", Wrong, string(a.Kind), string(b.Kind)}, {"dry-wood-form", Wrong, string(a.Form), string(b.Form)},
		{"dish", Suspect, a.Dish, b.Dish}, {"cook", Suspect, a.Cook, b.Cook}, {"wood-pile", Suspect, a.Wood.Pile, b.Wood.Pile},
	} {
		if c.one == "" || c.two == "" || c.one == c.two || alreadyRung(c.key, rung) || (c.key == "dish" && a.Kind == Uncontrolled) {
			continue
		}
		text := message.T("bench.differ."+c.key, "one", c.one, "other", c.two)
		if c.severity == Wrong { // words of the form, not of the user
			text = message.T("bench.differ."+c.key, "one", message.T("bench.word."+c.one), "other", message.T("bench.word."+c.two))
		}
		found = append(found, Alarm{Key: c.key, Severity: c.severity, Standing: "common practice", Text: text})
	}
	return found
}

func alreadyRung(key string, list []Alarm) bool {
	for _, a := range list {
		if a.Key == key {
			return true
		}
	}
	return false
}

// WoodBudget is the wood to lay in for a series of cooking tests, kg: wood a
// meal, times stoves, times tests of each, times two so that no meal runs short
// (cct2004protocol).
func WoodBudget(perMeal float64, stoves, tests int) quantity.Value {
	return quantity.Value{SI: perMeal * float64(stoves) * float64(tests) * 2, Unit: quantity.Kilogram, Step: 0.1}
}
