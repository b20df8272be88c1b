package bench

import (
	"strings"
	"testing"

	"stovewright/message"
)

// A test is filled in entry by entry, as a person does, and the guide leads
// from the first weighing to the last.
func TestGuideLeadsThroughTheWholeTest(t *testing.T) {
	whole, err := ParseBoiling(readTest(t, "example-a.yaml"))
	fatal(t, err)
	tasks := BoilingTasks(true)
	form := BoilingForm{Test: "boiling"}
	pot := func(p *PhaseForm) *PotReadingForm {
		if len(p.Pots) == 0 {
			p.Pots = make([]PotReadingForm, 1)
		}
		return &p.Pots[0]
	}
	sources := map[string]*PhaseForm{"cold": whole.Cold, "hot": whole.Hot, "simmer": whole.Simmer}
	fill := func(path string) {
		phase, key, in := strings.Cut(path, ".")
		if !in || sources[phase] == nil {
			switch path {
			case "place.air_temperature":
				form.Place.Air = whole.Place.Air
			case "wood.moisture":
				form.Wood = whole.Wood
			case "boiling_point.lowest":
				form.BoilingPoint.Lowest = whole.BoilingPoint.Lowest
			case "boiling_point.highest":
				form.BoilingPoint.Highest = whole.BoilingPoint.Highest
			case "char_pan":
				form.CharPan = whole.CharPan
			default:
				t.Fatalf("the guide asks for %s", path)
			}
			return
		}
		at := map[string]**PhaseForm{"cold": &form.Cold, "hot": &form.Hot, "simmer": &form.Simmer}[phase]
		if *at == nil {
			*at = &PhaseForm{}
		}
		from, to := sources[phase], *at
		switch key {
		case "stove":
			to.StoveState = map[bool]string{true: "cold", false: "hot"}[phase == "cold"]
		case "wood_before":
			to.WoodBefore = from.WoodBefore
		case "wood_after":
			to.WoodAfter = from.WoodAfter
		case "char_with_pan":
			to.Char = from.Char
		case "start":
			to.Start = "10:00"
		case "end":
			to.End = map[string]string{"cold": "10:22", "hot": "10:19", "simmer": "10:45"}[phase]
		case "lowest_temperature":
			to.Lowest = "96 °C"
		case "pots.empty":
			pot(to).Empty = from.Pots[0].Empty
		case "pots.before":
			pot(to).Before = from.Pots[0].Before
		case "pots.after":
			pot(to).After = from.Pots[0].After
		case "pots.start_temperature":
			pot(to).Start = from.Pots[0].Start
		case "pots.end_temperature":
			pot(to).End = from.Pots[0].End
		default:
			t.Fatalf("the guide asks for %s", path)
		}
	}
	english := message.English()
	last := len(tasks) + 1
	for range tasks {
		now, remaining, done := form.Next(tasks)
		if done {
			break
		}
		if remaining >= last || len(now) == 0 {
			t.Fatalf("no progress: %d left, then %d, at %+v", last, remaining, now)
		}
		last = remaining
		for _, task := range now {
			if !english.Has(task.Words().ID) || task.Caution && !english.Has(task.Warning().ID) {
				t.Errorf("no words for task %s", task.Key)
			}
			for _, f := range task.Fields {
				fill(f)
			}
		}
		if complaints, alarms := form.SoFar(); len(complaints) > 0 || len(alarms) > 0 {
			t.Fatalf("after %s: %v, alarms %v", now[len(now)-1].Key, complaints, keys(alarms))
		}
	}
	if _, remaining, done := form.Next(tasks); !done {
		t.Fatalf("%d tasks are left", remaining)
	}
	test, err := form.Read()
	fatal(t, err)
	r, err := Boil(test)
	fatal(t, err)
	if !near(r.Cold.Efficiency, 0.193161528, 1e-8) || !r.Usable() {
		t.Errorf("the guided test gives %g", r.Cold.Efficiency)
	}
}

func TestGuideKnowsOtherWays(t *testing.T) {
	f := BoilingForm{Test: "boiling"}
	f.Place.Air, f.Place.Pressure, f.Wood.Readings = "24 °C", "890 hPa", []string{"14 %"}
	now, _, _ := f.Next(BoilingTasks(false))
	if len(now) != 1 || now[0].Key != "stove-state" || now[0].Phase != "cold" {
		t.Errorf("with a barometer and a meter the next task is %+v", now)
	}
	for _, task := range BoilingTasks(false) {
		if strings.Contains(task.Key, "char") {
			t.Errorf("char is not weighed, and %s is asked for", task.Key)
		}
	}
	first, _, _ := (BoilingForm{}).Next(BoilingTasks(true))
	if len(first) != 2 || first[0].Key != "outdoors" || say(first[0].Warning()) == "" {
		t.Errorf("the first thing said is %+v", first)
	}
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
	step := func(alarm string, change func()) {
		t.Helper()
		change()
		complaints, alarms := f.SoFar()
		if len(complaints) != 0 || (alarm == "") != (len(alarms) == 0) || alarm != "" && !alreadyRung(alarm, alarms) {
			t.Fatalf("want %q: %v %v", alarm, complaints, keys(alarms))
		}
	}
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
	known := map[string]bool{}
	for _, field := range BoilingFields() {
		known[field.Path] = true
	}
	for key, path := range readingPaths {
		if !known[path] {
			t.Errorf("%s leads to %s, which is no field", key, path)
		}
	}
	a := Alarm{Phase: "cold", Repeat: []string{"P_f", "k", "step_wood"}}
	if got := strings.Join(a.RepeatFields(), " "); got != "cold.pots.after char_pan" {
		t.Errorf("to take again: %s", got)
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
