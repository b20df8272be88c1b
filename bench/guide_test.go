package bench

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// wholeSheets are sheets on which every reading of the guide is written, with
// the entries that another sheet of the kind needs not have.
func wholeSheets(t *testing.T) map[Kind]Paper {
	t.Helper()
	boiling, err := ParseBoiling(readTest(t, "example-a.yaml"))
	fatal(t, err)
	for at, ph := range map[string]*PhaseForm{"cold": boiling.Cold, "hot": boiling.Hot, "simmer": boiling.Simmer} {
		ph.StoveState = map[string]string{"cold": "cold", "hot": "hot"}[at]
		ph.Start, ph.End = "10:00", map[string]string{"cold": "10:22", "hot": "10:19", "simmer": "10:45"}[at]
	}
	boiling.Simmer.Lowest = "96 °C"
	var sequence SequenceForm
	fatal(t, form.Decode(readTest(t, "guided-sequence.yaml"), &sequence))
	cooking, err := ParseCooking(readTest(t, "guided-cooking.yaml"))
	fatal(t, err)
	safety, err := ParseSafety(readTest(t, "guided-safety.yaml"))
	fatal(t, err)
	kitchen, err := ParseKitchens(readTest(t, "guided-kitchen.yaml"))
	fatal(t, err)
	return map[Kind]Paper{KindBoiling: &boiling, KindSequence: &sequence, KindCooking: &cooking, KindKitchen: &kitchen, KindSafety: &safety}
}

// A test is filled in entry by entry, as a person does, and the guide leads from
// the first weighing to the last. No right reading rings an alarm, and what comes
// out is the whole sheet again.
func TestGuideLeadsThroughTheWholeTest(t *testing.T) {
	english := message.English()
	for kind, whole := range wholeSheets(t) {
		sheet := Blank(kind)
		copyEntry := func(path string) {
			if text := Entry(whole, path); text != "" {
				if s, ok := sheet.(*SafetyForm); ok && strings.HasPrefix(path, SafetyEntries) {
					writeSafety(s, path, text)
					return
				}
				v, _ := form.Slot(sheet, path, true)
				v.SetString(text)
			}
		}
		done := map[string]bool{}
		for steps := 0; ; steps++ {
			tasks := Guide(sheet)
			at := slices.IndexFunc(tasks, func(task Task) bool { return !task.Said() && !done[task.ID] && !task.Filled(sheet) })
			if at < 0 {
				break
			}
			task := tasks[at]
			if steps > 300 {
				t.Fatalf("%s: no end at %s", kind, task.ID)
			}
			for _, said := range tasks {
				if say(said.Words()) == "" || strings.ContainsAny(say(said.Words()), "{}«") || said.Caution && !english.Has(said.Warning().ID) {
					t.Fatalf("%s: %s says %q", kind, said.ID, say(said.Words()))
				}
			}
			done[task.ID] = task.Pass && form.Items(sheet, task.More) >= form.Items(whole, task.More)
			for _, path := range task.Entries() {
				copyEntry(path)
			}
			for n := 1; n <= form.Items(whole, task.Spells); n++ {
				copyEntry(task.Spells + numbered(n) + ".from")
				copyEntry(task.Spells + numbered(n) + ".to")
			}
			for _, path := range task.Same {
				copyEntry(path)
			}
			if complaints, alarms := sheet.SoFar(); len(complaints) > 0 || len(alarms) > 0 {
				t.Fatalf("%s, after %s: %v, alarms %v", kind, task.ID, complaints, keys(alarms))
			}
			if !task.Pass && !task.Filled(sheet) {
				t.Fatalf("%s: %s is not filled by %v", kind, task.ID, task.Entries())
			}
			if task.More != "" && form.Items(sheet, task.More) < form.Items(whole, task.More) {
				v, _ := form.Slot(sheet, task.More, true)
				v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			}
		}
		data, err := form.Encode(reflect.ValueOf(sheet).Elem().Interface())
		fatal(t, err)
		guided, err := ReadTest("guided", data)
		if err != nil {
			t.Fatalf("%s: %v\n%s", kind, err, data)
		}
		data, err = form.Encode(reflect.ValueOf(whole).Elem().Interface())
		fatal(t, err)
		written, err := ReadTest("written", data)
		fatal(t, err)
		if kind == KindSafety {
			if got, want := guided.Safety.Score, written.Safety.Score; got.Total != want.Total || got.Total == 0 || !reflect.DeepEqual(got.Ratings, want.Ratings) {
				t.Errorf("the guided sheet gives %v, want %v", got, want)
			}
		}
		if got, want := fmt.Sprint(results(guided)), fmt.Sprint(results(written)); got != want {
			t.Errorf("%s: the guided test gives %s, want %s", kind, got, want)
		}
	}
}

// writeSafety writes a reading by its item and point.
func writeSafety(s *SafetyForm, path, text string) {
	parts := strings.Split(strings.TrimPrefix(path, SafetyEntries), ".")
	if parts[1] == "absent" {
		s.Absent = append(s.Absent, parts[0])
		return
	}
	at := slices.IndexFunc(s.Readings, func(r SafetyReadingForm) bool { return r.Item == parts[0] && r.Point == parts[1] })
	if at < 0 {
		item, _ := safetyItem(parts[0])
		s.Readings, at = append(s.Readings, SafetyReadingForm{Item: parts[0], Point: parts[1], Measure: item.MeasureAt(parts[1])}), len(s.Readings)
	}
	switch r := &s.Readings[at]; parts[2] {
	case "value":
		r.Value = text
	case "temperature":
		r.Read = text
	case "word":
		r.Word = text
	case "measure":
		r.Measure = text
	}
}

// results are the main results of a test in words.
func results(f TestFile) (list []string) {
	for _, s := range f.Results() {
		list = append(list, s.ID()+" "+s.Value.Number())
	}
	return list
}

func TestGuideKnowsOtherWays(t *testing.T) {
	f := &BoilingForm{Test: "boiling"}
	next := func() Task {
		tasks := Guide(f)
		return tasks[slices.IndexFunc(tasks, func(task Task) bool { return !task.Said() && !task.Pass && !task.Filled(f) })]
	}
	f.Place.Air, f.Wood.Readings = "24 °C", []string{"14 %"}
	f.Place.Altitude = "1200 m"
	if now := next(); now.Key != "boiling-point" || !now.Known(f) {
		t.Errorf("the altitude alone is a poor way, and the next task is %+v", now)
	}
	f.Place.Pressure, f.CharPan = "890 hPa", "248 g"
	if now := next(); now.ID != "cold.stove-state" {
		t.Errorf("with a barometer and a meter the next task is %+v", now)
	}
	f.Wood.Readings, f.Wood.Moisture = nil, "12 %"
	if now := next(); now.Key != "moisture" {
		t.Errorf("a moisture without its basis is passed over: %+v", now)
	}
	if first := Guide(Blank(KindBoiling))[1]; first.Key != "outdoors" || say(first.Warning()) == "" {
		t.Errorf("the first thing said is %+v", first)
	}
}

// What is only done in one kind of cooking test, or with one form of the dry
// wood, is only asked for there.
func TestGuideAsksWhatTheCookingNeeds(t *testing.T) {
	asks := func(f CookingForm, key string) bool {
		return slices.ContainsFunc(Guide(&f), func(task Task) bool { return task.Key == key })
	}
	for _, tt := range []struct {
		kind, wood string
		key        string
		want       bool
	}{
		{"", "", "cook-dish", true}, {"controlled", "", "cook-dish", true}, {"Uncontrolled", "", "cook-dish", false},
		{"", "", "cook-any", false}, {"uncontrolled", "", "cook-any", true},
		{"", "", "boiling-point", false}, {"", "short", "boiling-point", false}, {"", "full", "boiling-point", true},
	} {
		if got := asks(CookingForm{Kind: tt.kind, DryWood: tt.wood}, tt.key); got != tt.want {
			t.Errorf("kind %q, dry wood %q: asks %s: %t", tt.kind, tt.wood, tt.key, got)
		}
	}
}

// Every entry of a guide is a field of its sheet, and every reading that an
// alarm doubts leads to an entry of the guide.
func TestGuideFillsFieldsOfItsSheet(t *testing.T) {
	for kind, whole := range wholeSheets(t) {
		fields := form.Fields(kind.Fields())
		entries := map[string]bool{}
		for _, task := range Guide(whole) {
			for _, path := range task.Entries() {
				entries[path] = true
				if s, ok := whole.(*SafetyForm); ok && strings.HasPrefix(path, SafetyEntries) {
					if f, known := s.SafetyField(path); !known || !message.English().Has(f.Name().ID) {
						t.Errorf("%s fills %s, which is no entry", task.ID, path)
					}
					continue
				}
				if _, ok := fields.Find(fieldPath(kind, path)); !ok {
					t.Errorf("%s: %s fills %s, which is no field", kind, task.ID, path)
				}
			}
		}
		for key := range repeatPaths[kind] {
			for _, part := range map[Kind][]string{KindBoiling: phases, KindSequence: {"high", "medium", "low"}, KindCooking: {""}}[kind] {
				path := RepeatEntries(whole, Alarm{Phase: part, Repeat: []string{key}})[0]
				if _, ok := fields.Find(fieldPath(kind, path)); !ok {
					t.Errorf("%s: %s leads to %s, which is no field", kind, key, path)
				}
			}
		}
	}
}

// fieldPath is the path of the form's own list of fields.
func fieldPath(kind Kind, path string) string {
	for _, part := range []string{"cold.", "hot.", "simmer."} {
		path = strings.Replace(path, part, "phase.", 1)
	}
	for _, part := range []string{"high.", "medium.", "low."} {
		path = strings.Replace(path, part, "level.", 1)
	}
	path = strings.Replace(regexp.MustCompile(`households\[\d+\]\.fuels\[\d+\]\.`).ReplaceAllString(path, ""), "fuels[1].", "", 1)
	if kind != KindBoiling {
		path = strings.Replace(path, "fuel.", "wood.", 1)
	}
	return regexp.MustCompile(`\[\d+\]`).ReplaceAllString(path, "")
}

// A wrong tare must be known while the fire is still warm.
func TestAWrongTareIsSaidWhileTheFireIsWarm(t *testing.T) {
	f, err := ParseBoiling(readTest(t, "example-a.yaml"))
	fatal(t, err)
	f.Hot, f.Simmer = nil, nil
	f.CharPan = "25 g"
	complaints, alarms := f.SoFar()
	if len(complaints) != 0 || !alreadyRung("char-too-much", alarms) {
		t.Errorf("complaints %v, alarms %v", complaints, keys(alarms))
	}
	f.Cold.WoodAfter = "1750 L"
	if complaints, _ := f.SoFar(); len(complaints) != 1 || complaints[0].Field != "cold.wood_after" {
		t.Errorf("complaints %v", complaints)
	}
	f.Cold.WoodAfter = ""
	if complaints, alarms := f.SoFar(); len(complaints) != 0 || len(alarms) != 0 {
		t.Errorf("what is still missing is no mistake: %v %v", complaints, keys(alarms))
	}
}

// Each mistake is said with the entry that makes it, not when the phase is whole.
func TestAMistakeIsSaidWithItsEntry(t *testing.T) {
	f := BoilingForm{Test: "boiling"}
	if complaints, alarms := f.SoFar(); len(complaints)+len(alarms) != 0 {
		t.Errorf("an empty form is no mistake: %v %v", complaints, keys(alarms))
	}
	step := stepper(t, &f)
	step("moisture-high", func() { f.Wood.Moisture, f.Wood.MoistureBasis = "30 %", "wet" })
	step("", func() { f.Wood.MoistureBasis = "dry" })
	step("boiling-high", func() { f.BoilingPoint.Lowest, f.BoilingPoint.Highest = "102 °C", "102 °C" })
	step("", func() { f.BoilingPoint.Lowest, f.BoilingPoint.Highest = "96.2 °C", "96.4 °C" })
	f.Cold = &PhaseForm{}
	step("", func() { f.CharPan, f.Cold.WoodBefore = "248 g", "1500 g" })
	f.Cold.Pots = make([]PotReadingForm, 1)
	pot := &f.Cold.Pots[0]
	step("", func() { pot.Empty, pot.Before, pot.Start = "700 g", "5700 g", "22 °C" })
	step("above-boiling", func() { pot.End = "99 °C" })
	step("not-boiling", func() { pot.End = "93 °C" })
	step("", func() { pot.End = "96.3 °C" })
	step("wood-gained", func() { f.Cold.WoodAfter = "1950 g" })
	step("", func() { f.Cold.WoodAfter = "950 g" })
	step("water-gained", func() { pot.After = "5900 g" })
	step("steam-too-much", func() { pot.After = "4600 g" })
	step("", func() { pot.After = "5590 g" })
	step("char-negative", func() { f.Cold.Char = "28 g" })
	step("char-too-much", func() { f.Cold.Char = "523 g" })
	step("", func() { f.Cold.Char = "280 g" })
	a := Alarm{Phase: "cold", Repeat: []string{"P_f", "k", "step_wood"}}
	if got := strings.Join(RepeatEntries(&f, a), " "); got != "cold.pots[1].after char_pan " {
		t.Errorf("to take again: %q", got)
	}
}

// The mistakes of a run of the sequence are said with their entries, each pot as
// it is taken off.
func TestASequenceSaysItsMistakes(t *testing.T) {
	f := &SequenceForm{Test: "sequence"}
	step := stepper(t, f)
	step("moisture-high", func() { f.Wood.Moisture, f.Wood.MoistureBasis = "30 %", "wet" })
	step("", func() { f.Wood.Moisture = "10 %" })
	f.High = &LevelForm{Pots: make([]HeatedPotForm, 2)}
	one, two := &f.High.Pots[0], &f.High.Pots[1]
	step("", func() { f.CharPan, f.High.FuelBefore, one.Empty = "250 g", "2500 g", "700 g" })
	step("pot-no-water", func() { one.Before = "690 g" })
	step("pot-warm", func() { one.Before, one.Start = "5700 g", "60 °C" })
	step("", func() { one.Start, f.High.Start = "24 °C", "10:00" })
	step("pot-cooled", func() { one.End = "20 °C" })
	step("pot-gained", func() { one.End, one.After = "90 °C", "5760 g" })
	step("pot-boiled-dry", func() { one.After = "690 g" })
	step("", func() { one.After = "5650 g" })
	step("", func() {
		two.Empty, two.Before, two.Start, two.End, two.After = "700 g", "5700 g", "24 °C", "72 °C", "5680 g"
	})
	step("feeding-short", func() { f.High.Shutdown = "10:20" })
	step("shutdown-short", func() { f.High.Shutdown, f.High.End = "10:30", "10:32" })
	step("", func() { f.High.End = "10:35" })
	step("no-fuel", func() { f.High.FuelAfter = "2600 g" })
	step("sequence-high", func() { f.High.FuelAfter = "2300 g" })
	step("", func() { f.High.FuelAfter = "1700 g" })
	step("char-below-pan", func() { f.High.CharWithPan = "20 g" })
	step("sequence-char", func() { f.High.CharWithPan = "600 g" })
	step("", func() { f.High.CharWithPan = "300 g" })
	step("scale-fuel", func() { f.Instruments.WoodScale = "100 g" })
	if _, alarms := f.SoFar(); strings.Join(RepeatEntries(f, alarms[0]), " ") != "high.fuel_after" {
		t.Errorf("to take again: %v", RepeatEntries(f, alarms[0]))
	}
}

// The mistakes of a meal are said with their entries.
func TestAMealSaysItsMistakes(t *testing.T) {
	f := &CookingForm{Test: "cooking"}
	step := stepper(t, f)
	step("moisture-high", func() { f.Wood.Moisture, f.Wood.MoistureBasis = "30 %", "wet" })
	step("", func() { f.Wood.Moisture = "12 %" })
	f.Pots = make([]CookingPotForm, 2)
	step("", func() {
		f.CharPan, f.WoodBefore, f.Pots[0].Empty, f.Pots[1].Empty = "250 g", "5000 g", "700 g", "650 g"
	})
	step("", func() { f.Foods = []FoodForm{{"beans", "900 g"}, {"water", "3000 g"}} })
	step("wood-gained", func() { f.WoodAfter = "5100 g" })
	step("", func() { f.WoodAfter = "2350 g" })
	step("cook-short", func() { f.Start, f.End = "10:02", "10:03" })
	step("", func() { f.End = "11:42" })
	step("away-longer", func() { f.Away = []SpellForm{{"10:30", "12:42"}} })
	step("away-much", func() { f.Away[0].To = "11:20" })
	step("", func() { f.Away[0].To = "" })
	step("no-food", func() { f.Pots[0].Food, f.Pots[1].Food = "690 g", "640 g" })
	step("pot-no-food", func() { f.Pots[0].Food = "3700 g" })
	step("food-heavier", func() { f.Pots[1].Food = "2650 g" })
	step("food-lost", func() { f.Pots[0].Food, f.Pots[1].Food = "1500 g", "660 g" })
	step("", func() { f.Pots[0].Food, f.Pots[1].Food = "2820 g", "1650 g" })
	step("char-negative", func() { f.Char = "240 g" })
	step("char-too-much", func() { f.Char = "1600 g" })
	step("wood-little", func() { f.Char, f.WoodAfter = "250 g", "4950 g" })
	step("scale-food", func() { f.WoodAfter, f.Instruments.PotScale = "2350 g", "500 g" })
	if _, alarms := f.SoFar(); strings.Join(RepeatEntries(f, alarms[0]), " ") != "pots[1].empty pots[1].with_food" {
		t.Errorf("to take again: %v", RepeatEntries(f, alarms[0]))
	}
}

// stepper changes a sheet and holds the alarm that rings then, "" for none.
func stepper(t *testing.T, p Paper) func(alarm string, change func()) {
	return func(alarm string, change func()) {
		t.Helper()
		change()
		complaints, alarms := p.SoFar()
		if len(complaints) != 0 || (alarm == "") != (len(alarms) == 0) || alarm != "" && !alreadyRung(alarm, alarms) {
			t.Fatalf("want %q: %v %v", alarm, complaints, keys(alarms))
		}
		for _, a := range alarms {
			if strings.ContainsAny(say(a.Text), "{}«") {
				t.Errorf("says %q", say(a.Text))
			}
		}
	}
}

// The mistakes of a day in a kitchen are said while the household is still there.
func TestADayInAKitchenSaysItsMistakes(t *testing.T) {
	f := &KitchenForm{Test: "kitchen", Scale: "0.1 kg"}
	step := stepper(t, f)
	f.Households = []HouseholdForm{{Code: "H01"}}
	h := &f.Households[0]
	h.Visits, h.Fuels = []string{"2026-05-04 07:10"}, []KitchenFuelForm{{Days: make([]FuelDayForm, 1)}}
	fuel := &h.Fuels[0]
	step("moisture-high", func() { fuel.Wood.Moisture, fuel.Wood.MoistureBasis, fuel.Days[0].Start = "40 %", "wet", "14.2 kg" })
	step("", func() { fuel.Wood.Moisture = "14 %" })
	step("visit-hours", func() { h.Visits = append(h.Visits, "2026-05-05 13:30") })
	step("", func() { h.Visits[1], h.People = "2026-05-05 07:30", make([]PeopleForm, 1) })
	step("", func() { h.People[0].Children = "3" })
	step("", func() { h.People[0].Women, h.People[0].Men, h.People[0].OlderMen = "2", "1", "0" })
	step("other-unweighed", func() { h.People[0].Other = "part" })
	step("", func() { h.People[0].Other, fuel.Days[0].Added = "none", "0 kg" })
	step("day-grew", func() { fuel.Days[0].End = "15.2 kg" })
	if _, alarms := f.SoFar(); alarms[0].Severity != Wrong || !slices.ContainsFunc(alarms, func(a Alarm) bool {
		return a.Key == "day-grew" && strings.Join(RepeatEntries(f, a), " ") == "households[1].fuels[1].days[1].end households[1].fuels[1].days[1].start households[1].fuels[1].days[1].added"
	}) {
		t.Errorf("%+v", alarms)
	}
	step("day-nothing", func() { fuel.Days[0].End = "14.2 kg" })
	step("scale-stock", func() { fuel.Days[0].End = "13.9 kg" })
	step("", func() { fuel.Days[0].End = "8.1 kg" })
	fuel.Days = append(fuel.Days, FuelDayForm{})
	step("stock-jumped", func() { fuel.Days[1].Start = "9.1 kg" })
	step("", func() { fuel.Days[1].Start = "8.1 kg" })
	h.People = append(h.People, PeopleForm{Children: "0", Women: "0", Men: "0", OlderMen: "0"})
	step("day-nobody", func() {})
	step("day-much", func() { h.People[1].Women, fuel.Days[1].Added, fuel.Days[1].End = "1", "70 kg", "2 kg" })
	if due := f.Due(1, 3); due.Format(VisitTime) != "2026-05-06 07:30" {
		t.Errorf("the third visit is due %v", due)
	}
	h.Visits[1] = "tomorrow"
	if complaints, _ := f.SoFar(); len(complaints) != 1 || complaints[0].Field != "households[1].visits[2]" {
		t.Errorf("%v", complaints)
	}
}

// A reading on a walk that cannot be read is answered in the way its measure is
// written, from what stands there where that tells it; what is proposed is read.
func TestASafetySheetProposesReadings(t *testing.T) {
	for _, tt := range []struct{ path, text, try string }{
		{"tipping.toward-back", "steady", "46.5/50"},
		{"tipping.toward-back", "46.5 of 50", "46.5/50"},
		{"tipping.toward-back", "37 cm: 41 cm", "37/41"},
		{"tipping.toward-back", "50 to 46.5", "46.5/50"}, // upside down
		{"tipping.toward-back", "about 0.93", "0.93"},
		{"tipping.toward-back", "46.5 cm", "46.5/50"}, // one height tells nothing
		{"tipping.toward-back", "48/51 spans", "48/51"},
		{"edges.all-outside", "three", "2"},
		{"edges.all-outside", "3 of them", "3"},
		{"edges.all-outside", "2 or 3", "2"},
		{"containment.fuel-mouth", "120 squares", "120 cm²"},
		{"containment.fuel-mouth", "12 by 10", "12.5 cm²"},
		{"containment.fuel-mouth", "large", "12.5 cm²"},
		{"obstructions.pot-support", "2,5 fingers", "2,5 cm"},
		{"obstructions.pot-support", "1,234 fingers", "12.5 cm"}, // a thousand, or one
	} {
		f := &SafetyForm{Test: "safety", Air: "22 °C"}
		path := SafetyEntries + tt.path + ".value"
		writeSafety(f, path, tt.text)
		complaints, _ := f.SoFar()
		if len(complaints) != 1 || complaints[0].Field != path || complaints[0].Try != tt.try {
			t.Errorf("%s %q: %v, want try %q", tt.path, tt.text, complaints, tt.try)
			continue
		}
		writeSafety(f, path, complaints[0].Try)
		if complaints, alarms := f.SoFar(); len(complaints) > 0 || len(alarms) > 0 {
			t.Errorf("%s: %q is proposed, and then %v %v", tt.path, tt.try, complaints, alarms)
		}
	}
	for _, text := range []string{"46.5/50", "46.5 cm/50 cm", "465 mm / 50 cm", "0.93", "93 %"} {
		if v, err := measured(text, quantity.One); err != nil || !near(v, 0.93, 1e-12) {
			t.Errorf("%q is read as %v, %v", text, v, err)
		}
	}
}

// The mistakes on a walk around a stove are said at their points.
func TestASafetySheetSaysItsMistakes(t *testing.T) {
	f := &SafetyForm{Test: "safety", Air: "22 °C"}
	step := stepper(t, f)
	set := func(path, text string) func() { return func() { writeSafety(f, path, text) } }
	step("", set("safety.edges.all-outside.value", "1"))
	step("catches-broken", set("safety.edges.all-outside.value", "1.5"))
	step("below-nought", set("safety.edges.all-outside.value", "-1"))
	step("", set("safety.edges.all-outside.value", "0"))
	step("tilt-grew", set("safety.tipping.toward-back.value", "50/46.5"))
	step("tilt-far", set("safety.tipping.toward-back.value", "10/50"))
	step("", set("safety.tipping.toward-back.value", "46.5/50"))
	step("below-air", set("safety.surface.front-low.temperature", "12 °C"))
	step("beyond-hot", set("safety.surface.front-low.temperature", "700 °C"))
	step("", set("safety.surface.front-low.temperature", "52 °C"))
	sheet, err := f.Read()
	fatal(t, err)
	if r := sheet.Readings[len(sheet.Readings)-1]; !near(r.Value, 30, 1e-9) { // 52 − 22
		t.Errorf("a rise of %g K", r.Value)
	}
	writeSafety(f, "safety.surface.front-low.temperature", "warm")
	if complaints, _ := f.SoFar(); len(complaints) != 1 || complaints[0].Field != "safety.surface.front-low.temperature" {
		t.Errorf("%v", complaints)
	}
	writeSafety(f, "safety.surface.front-low.temperature", "52 °C")
	f.Air = ""
	if _, err := f.Read(); err == nil || !strings.Contains(err.Error(), "air_temperature") {
		t.Errorf("a rise without the air: %v", err)
	}
}

func TestTroubleshooter(t *testing.T) {
	english := message.English()
	for _, s := range Symptoms() {
		if !english.Has(s.Words().ID) || len(s.Checks) < 3 {
			t.Errorf("%s: %d checks", s.Key, len(s.Checks))
		}
		for _, c := range s.Checks {
			if !english.Has(c.Words().ID) {
				t.Errorf("no words for check %s", c.Key)
			}
			if c.Dimension != "" && !english.Has("stove.dim."+c.Dimension) {
				t.Errorf("check %s points to the dimension %q, which no stove has", c.Key, c.Dimension)
			}
		}
	}
	if found, err := Diagnose(exampleA()); err != nil || len(found) != 0 {
		t.Errorf("a good test shows %v, %v", found, err)
	}
	slow := exampleA()
	slow.Cold.Duration, slow.Simmer.WoodAfter = 50*60, 0.9
	found, err := Diagnose(slow)
	fatal(t, err)
	if len(found) != 2 || found[0].Key != "slow-boil" || found[1].Key != "no-simmer" {
		t.Errorf("found %+v", found)
	}
	if _, ok := SymptomOf("boredom"); ok {
		t.Error("an unknown symptom was found")
	}
}

func TestClaims(t *testing.T) {
	has := func(list []message.Text, id string) bool {
		for _, text := range list {
			if strings.ContainsAny(say(text), "{}«") {
				t.Errorf("says %q", say(text))
			}
			if text.ID == "bench.claim."+id {
				return true
			}
		}
		return false
	}
	lab, err := Compare(series(t, "old", 1, 5, 1, 0.03), series(t, "new", 2, 5, 0.7, 0.03), "BF", DefaultSettings)
	fatal(t, err)
	c := Claim(Evidence{Boiling: []Comparison{lab}})
	if !has(c.May, "boiling") || len(c.May) != 1 {
		t.Errorf("may: %+v", c.May)
	}
	for _, id := range []string{"not-tier", "not-saving", "not-climate", "not-usage", "not-health", "not-certificate"} {
		if !has(c.MayNot, id) {
			t.Errorf("a boiling test alone lacks the bar %s", id)
		}
	}
	before, after := pairExample()
	study, err := StudyPairs(before, after, DefaultSettings)
	fatal(t, err)
	use := Stacking{Households: 10, NewDays: 0.7}
	agreement := Agreement{Mean: 80, PlusLess: 3}
	c = Claim(Evidence{Kitchens: &study, Usage: &use, Safety: &agreement, Asked: true})
	for _, id := range []string{"kitchens", "climate", "usage", "safety"} {
		if !has(c.May, id) {
			t.Errorf("days in kitchens lack the claim %s", id)
		}
	}
	if !has(c.MayNot, "not-health") || !has(c.MayNot, "not-asked") || has(c.MayNot, "not-saving") {
		t.Errorf("may not: %+v", c.MayNot)
	}
	none, err := StudyPairs(before, before, DefaultSettings)
	fatal(t, err)
	if c := Claim(Evidence{Kitchens: &none}); has(c.May, "climate") || !has(c.MayNot, "not-shown") {
		t.Errorf("no saving at all: %+v", c)
	}
}
