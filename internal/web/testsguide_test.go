package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// walker presses the buttons of a guided run, as somebody without a script does.
type walker struct {
	*testing.T
	bench *Bench
	id    string
	page  string
}

// does presses a button of a task with readings.
func (w *walker) does(task, do string, readings ...string) {
	w.Helper()
	w.page, _ = step(w.T, w.bench, w.id, task, do, readings...)
}

// at holds the next thing to do.
func (w *walker) at(words string) {
	w.Helper()
	if !strings.Contains(todo(w.page), words) {
		w.Fatalf("the next thing to do is %q, want %q", todo(w.page), words)
	}
}

// says holds what the page says.
func (w *walker) says(texts ...string) {
	w.Helper()
	for _, text := range texts {
		if !strings.Contains(strings.ReplaceAll(w.page, "\u00a0", " "), text) {
			w.Errorf("the page lacks %q", text)
		}
	}
	if i := strings.Index(w.page, "«"); i >= 0 {
		w.Errorf("no words for %s", w.page[i:min(len(w.page), i+60)])
	}
}

// ago is the time of day some minutes ago.
func ago(minutes int) string {
	return time.Now().Add(-time.Duration(minutes) * time.Minute).Format("15:04:05")
}

// A level of the sequence: the pot is exchanged while the clock runs on, and the
// mistakes are said with their entries.
func TestRunLeadsThroughTheSequence(t *testing.T) {
	b, _ := bench(t)
	w := walker{T: t, bench: b, id: begun(t, b, "sequence", "Stove C")}
	w.does("setup", "next", "about.tester", "tester 1")
	w.at("split three pieces")
	w.does("moisture", "next", "fuel.moisture", "10 %", "fuel.moisture_basis", "wet")
	w.does("char-pan", "next", "char_pan", "250")
	w.at("high power: weigh a bundle of fuel")
	w.says("Noted:", "250 g", "Take back", "After this: high power: weigh the first pot")
	w.does("high.level-fuel", "next", "high.fuel_before", "2500")
	w.does("high.level-empty", "next", "high.pots[1].empty", "700")
	w.does("high.level-water", "next", "high.pots[1].before", "690")
	w.says("no water was in a pot")
	w.does("high.level-water", "next", "high.pots[1].before", "5,7 kg")
	w.at("read the temperature")
	w.says("5,7 kg")
	w.does("", "undo") // the last entry is taken back, and its step stands open
	w.at("fill the pot with cold water")
	w.does("high.level-water", "next", "high.pots[1].before", "5700")
	w.does("high.level-start", "next", "high.pots[1].start_temperature", "24")
	w.does("high.level-light", "now:high.start")
	w.at("keep the fire at this power for 30 minutes")
	w.says(`data-until="1800"`, "Exchange the pot now")
	w.does("high.level-burn", "more")
	w.at("weigh pot 2 empty")
	w.says("left of the time on the fire", `data-until="1800"`)
	w.does("high.pot1.swap-fresh", "next", "high.pots[2].empty", "702", "high.pots[2].before", "5702")
	w.does("high.pot1.swap-read", "next", "high.pots[1].end_temperature", "20", "high.pots[2].start_temperature", "24")
	w.says("the water did not get warmer in a pot")
	w.does("high.pot1.swap-read", "accept")
	w.at("weigh pot 1 with its water") // the tester stands by it, until it is written anew
	w.does("high.pot1.swap-read", "next", "high.pots[1].end_temperature", "21")
	w.at("read both pots")
	w.does("high.pot1.swap-read", "next", "high.pots[1].end_temperature", "90", "high.pots[2].start_temperature", "24")
	w.does("high.pot1.swap-weigh", "next", "high.pots[1].after", "5650")
	w.at("keep the fire at this power")
	// half an hour later; the bench is another one, on the same file
	request(b, "POST", "/tests/"+w.id+"/form", map[string][]string{"high.start": {ago(31)}})
	w.bench = New(Config{Workshop: b.Workshop})
	w.page = want(t, request(w.bench, "GET", "/tests/"+w.id+"/run", nil), 200)
	w.at("keep the fire at this power")
	w.says("The time is up")
	w.does("high.level-burn", "now:high.shutdown")
	w.at("leave pot and fire as they are for 5 minutes")
	w.says(`data-until="300"`)
	w.does("high.level-shut", "now:high.end")
	w.at("read the temperature of the last pot")
	w.says("the shut-down was stopped early")
	request(b, "POST", "/tests/"+w.id+"/form", map[string][]string{"high.shutdown": {ago(6)}, "high.start": {ago(36)}})
	w.does("high.level-read", "next", "high.pots[2].end_temperature", "73")
	w.at("take the fuel out")
	w.does("high.level-fuel-out", "next", "high.fuel_after", "1700")
	w.does("high.level-pot", "next", "high.pots[2].after", "5682")
	w.does("high.level-char", "next", "high.char_with_pan", "600")
	w.says("more than wood can leave", "empty char pan")
	w.does("high.level-char", "next", "high.char_with_pan", "300")
	w.at("medium power: weigh a bundle of fuel")
	w.says(`value="use:medium.fuel_before=1700"`)
	w.does("medium.level-fuel", "skip-phase", "why", "none")
	w.does("low.level-fuel", "skip-phase", "why", "none")
	w.at("Every step is done")
	w.says("Runs of this stove with a result: 1. At least 5 are asked for.", "keep children away")
	want(t, request(b, "GET", "/tests/"+w.id, nil), 200, "left out (medium power): this stove has none")
	body := want(t, request(b, "GET", "/tests/"+w.id, nil), 200)
	if strings.Contains(body, "Not ready") {
		t.Error("one level alone gives no result")
	}
}

// A meal: what goes in is weighed, the cook leaves the fire, and food that is
// heavier than what went in is asked about.
func TestRunLeadsThroughAMeal(t *testing.T) {
	b, _ := bench(t)
	w := walker{T: t, bench: b, id: begun(t, b, "cooking", "Stove C")}
	w.does("setup", "next", "kind", "controlled")
	w.at("write the dish: the same dish")
	w.says("carbon monoxide: with a headache")
	w.does("cook-dish", "next", "dish", "beans")
	w.does("cook-who", "next", "cook", "cook 2")
	w.does("air", "next", "place.air_temperature", "22")
	w.does("moisture", "next", "wood.moisture_readings[1]", "14")
	w.at("weigh the empty char pan")
	w.does("char-pan", "next", "char_pan", "250")
	w.does("cook-pots", "next", "pots[1].empty", "700")
	w.does("cook-foods", "more", "foods[1].name", "beans", "foods[1].mass", "900")
	w.at("weigh what goes into the pots")
	w.does("cook-foods", "next", "foods[2].name", "water", "foods[2].mass", "3000")
	w.at("weigh a bundle of wood")
	w.says("900 g", "3000 g")
	w.does("cook-wood", "next", "wood_before", "5000")
	w.does("cook-light", "now:start")
	w.at("let the cook cook")
	w.says("since the fire was lit", "The cook leaves the fire")
	w.does("cook-cook", "spell")
	w.says("The cook is back")
	w.does("cook-cook", "spell")
	w.says("The cook leaves the fire")
	request(b, "POST", "/tests/"+w.id+"/form", map[string][]string{"start": {ago(90)}, "away[1].from": {ago(60)}, "away[1].to": {ago(48)}})
	w.does("cook-cook", "now:end")
	w.at("take the wood out")
	w.does("cook-wood-out", "next", "wood_after", "2350")
	w.does("cook-food", "next", "pots[1].with_food", "5500")
	w.says("heavier than all that went in", "was a lid on the scale")
	w.does("cook-food", "next", "pots[1].with_food", "4400")
	w.at("sweep all char")
	w.does("cook-char", "next", "char_with_pan", "305")
	w.at("Every step is done")
	w.says("Runs of this stove with a result: 1. At least 3 are asked for.")
	want(t, request(b, "GET", "/tests/"+w.id, nil), 200, "fire left alone", "12.0\u00a0min")
}

// A round of a kitchen test over days: the visits of each household follow each
// other, what is left begins the next day, and a stock that grew is asked about.
func TestRunLeadsRoundTheKitchens(t *testing.T) {
	b, _ := bench(t)
	w := walker{T: t, bench: b, id: begun(t, b, "kitchen", "open fire")}
	w.does("setup", "next", "planned_days", "2", "scale", "0.1 kg")
	w.at("household H01: write its code")
	w.says("never a name")
	w.does("v1.h1.kitchen-code", "next", "households[1].code", "H01")
	w.does("v1.h1.kitchen-first", "now:households[1].visits[1]")
	w.at("which fuels")
	w.says("visit 1 of 3")
	w.does("v1.h1.kitchen-fuels", "more", "households[1].fuels[1].fuel.kind", "hardwood")
	w.does("v1.h1.kitchen-fuels", "next", "households[1].fuels[2].fuel.kind", "lpg")
	w.at("hardwood: split three pieces")
	w.does("v1.h1.fuel1.kitchen-moisture", "next", "households[1].fuels[1].fuel.moisture_readings[1]", "16")
	w.at("weigh all the fuel that lies there")
	w.says(`<span class="tag">hardwood</span>`)
	w.does("v1.h1.kitchen-stock-first", "next", "households[1].fuels[1].days[1].start", "14.2", "households[1].fuels[2].days[1].start", "11.2")
	w.at("is there another household")
	w.does("v1.kitchen-another", "more")
	w.at("household H02: write its code")
	w.does("v1.h2.kitchen-code", "next", "households[2].code", "H02")
	w.does("v1.h2.kitchen-first", "next", "households[2].visits[1]", "2026-05-04 09:00")
	w.does("v1.h2.kitchen-fuels", "next", "households[2].fuels[1].fuel.kind", "softwood")
	w.does("v1.h2.fuel1.kitchen-moisture", "next", "households[2].fuels[1].fuel.moisture", "20 %", "households[2].fuels[1].fuel.moisture_basis", "dry")
	w.does("v1.h2.kitchen-stock-first", "next", "households[2].fuels[1].days[1].start", "20 kg")
	w.does("v1.kitchen-another", "next")
	w.at("visit 2, household H01")
	w.says("due tomorrow at", "was due 2026-05-05 at 09:00") // the second household is late
	// the next day, another bench on the same file
	request(b, "POST", "/tests/"+w.id+"/form", map[string][]string{"households[1].visits": {time.Now().Add(-24 * time.Hour).Format("2006-01-02 15:04")}})
	w.bench = New(Config{Workshop: b.Workshop})
	w.page = want(t, request(w.bench, "GET", "/tests/"+w.id+"/run", nil), 200)
	w.at("visit 2, household H01")
	w.says("due today at")
	w.does("v2.h1.kitchen-visit", "now:households[1].visits[2]")
	w.at("who was cooked for")
	w.does("v2.h1.kitchen-people", "next", "households[1].people[1].children", "3", "households[1].people[1].women", "2", "households[1].people[1].men", "1")
	w.says("still empty")
	w.does("v2.h1.kitchen-people", "next", "households[1].people[1].children", "3", "households[1].people[1].women", "2", "households[1].people[1].men", "1", "households[1].people[1].older_men", "0")
	w.does("v2.h1.kitchen-other", "next", "households[1].people[1].other_stove", "none")
	w.at("weigh the fuel that was brought")
	w.says("nothing was added")
	w.does("v2.h1.kitchen-added", "use:households[1].fuels[1].days[1].added=0 kg")
	w.does("v2.h1.kitchen-added", "use:households[1].fuels[2].days[1].added=0 kg")
	w.does("v2.h1.kitchen-added", "next")
	w.does("v2.h1.kitchen-stock", "next", "households[1].fuels[1].days[1].end", "15.2", "households[1].fuels[2].days[1].end", "11.1")
	w.says("more hardwood was left", "fuel came that was not weighed")
	w.does("v2.h1.kitchen-stock", "next", "households[1].fuels[1].days[1].end", "8.1", "households[1].fuels[2].days[1].end", "11.1")
	w.at("visit 2, household H02")
	w.does("v2.h2.kitchen-visit", "skip-phase", "why-other", "nobody at home")
	w.at("visit 3, household H01")
	w.does("v3.h1.kitchen-visit", "next", "households[1].visits[3]", time.Now().Add(24*time.Hour).Format("2006-01-02 15:04"))
	w.says(`value="use:households[1].people[2].children=3"`, "as the day before")
	page := want(t, request(w.bench, "GET", "/tests/"+w.id+"/form", nil), 200, `name="households[1].fuels[1].days[2].start" value="8.1"`, "left out (visit 2, household H02): nobody at home")
	if i := strings.Index(page, "«"); i >= 0 {
		t.Errorf("no words for %s", page[i:min(len(page), i+60)])
	}
	for _, people := range []string{"children", "women", "men", "older_men"} {
		w.does("v3.h1.kitchen-people", "use:households[1].people[2]."+people+"=1")
	}
	w.does("v3.h1.kitchen-people", "next")
	w.does("v3.h1.kitchen-other", "next", "households[1].people[2].other_stove", "part")
	w.does("v3.h1.kitchen-added", "next", "households[1].fuels[1].days[2].added", "2", "households[1].fuels[2].days[2].added", "0")
	w.does("v3.h1.kitchen-stock", "next", "households[1].fuels[1].days[2].end", "5", "households[1].fuels[2].days[2].end", "11")
	w.at("was there a feast")
	w.does("v3.h1.kitchen-feast", "next", "households[1].feast", "no")
	w.says("all visits made")
}

// A walk around the stove, without a look at the other scorer's sheet: where to
// measure is drawn, and a temperature below the air is asked about.
func TestRunLeadsAroundTheStove(t *testing.T) {
	b, _ := bench(t)
	w := walker{T: t, bench: b, id: begun(t, b, "safety", "Stove C")}
	score := func(scorer string) {
		t.Helper()
		w.does("setup", "next")
		w.at("score alone")
		w.does("safety-scorer", "next", "scorer", scorer)
		w.says("first with the stove cold and empty", "two people lift a heavy stove")
		w.does("edges.all-outside.safety-edges", "next", "safety.edges.all-outside.value", "1")
		w.at("toward the fuel mouth")
		w.says("<svg", "yours is not drawn here", "two people hold the stove")
		w.does("tipping.toward-mouth.safety-tip", "next", "safety.tipping.toward-mouth.value", "50/46.5")
		w.says("it is tipped over upright, below 1")
		w.does("tipping.toward-mouth.safety-tip", "next", "safety.tipping.toward-mouth.value", "46.5 of 50")
		w.says("a number without a unit is wanted here", `value="try:safety.tipping.toward-mouth.value=46.5/50"`)
		for _, to := range []string{"mouth", "right", "back", "left"} {
			w.does("tipping.toward-"+to+".safety-tip", "next", "safety.tipping.toward-"+to+".value", "46.5/50")
		}
		w.does("containment.fuel-mouth.safety-point", "next", "safety.containment.fuel-mouth.value", "120")
		w.does("obstructions.pot-support.safety-point", "next", "safety.obstructions.pot-support.value", "25 mm")
		w.at("has the stove a chimney")
		w.does("safety-chimney", "next", "safety.chimney.absent", "yes")
		w.at("read the air temperature")
		w.does("safety-air", "next", "air_temperature", "22")
		w.does("safety-light", "now:lit")
		w.at("flames around the pot")
		w.says("left of the time on the fire")
		w.does("flames-pot.around-pot.safety-look", "next", "safety.flames-pot.around-pot.word", "low")
		w.does("flames-mouth.fuel-mouth.safety-look", "next", "safety.flames-mouth.fuel-mouth.word", "contained")
		w.at("for half an hour")
		w.says(`data-until="1800"`)
		w.does("safety-wait", "next")
		w.at("front, a quarter up")
		w.says("a probe, never a finger", "metal, below 0.9 m")
		w.does("surface.front-low.safety-hot", "next", "safety.surface.front-low.temperature", "12")
		w.says("is colder than the air")
		for _, point := range []string{"surface.front-low", "surface.front-mid", "surface.front-high", "surface.side-mid", "surface.back-mid", "surface.skirt", "handles.handle", "surroundings.floor-under", "surroundings.wall-behind"} {
			w.does(point+".safety-hot", "next", "safety."+point+".temperature", "52")
		}
		w.at("Every step is done")
	}
	score("S1")
	w.says("A second scorer now fills in a sheet of their own")
	sheet := want(t, request(b, "GET", "/tests/"+w.id+"/form", nil), 200, `value="wall" selected`, `name="safety.surface.front-low.temperature" value="52"`)
	if strings.Contains(sheet, "«") {
		t.Error("the sheet lacks words")
	}
	// on the sheet too a button takes over what is proposed, for the entry that is wrong
	form := "/tests/" + w.id + "/form"
	for entry, sent := range map[string][2]string{"containment.fuel-mouth.value": {"130 squares", "130 cm²"}, "surface.front-low.temperature": {"warm", "58 °C"}} {
		entry = "safety." + entry
		want(t, request(b, "POST", form, url.Values{entry: {sent[0]}}), http.StatusSeeOther)
		want(t, request(b, "GET", form, nil), 200, `value="try:`+entry+"="+sent[1]+`"`)
		want(t, request(b, "POST", form, url.Values{"do": {"try:" + entry + "=" + sent[1]}}), http.StatusSeeOther)
		want(t, request(b, "GET", form, nil), 200, `name="`+entry+`" value="`+sent[1]+`"`)
	}
	next := request(b, "POST", "/tests/"+w.id+"/copy", nil)
	w.id = strings.Split(next.Header().Get("Location"), "/")[2]
	score("S2")
	w.says("set them side by side")
	want(t, request(b, "GET", "/compare?kind=safety&base=Stove+C", nil), 200, "Two scorers")
}
