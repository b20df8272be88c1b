package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// phone is the window that guided runs are made for.
var phone = size{"phone", 390, 844, true}

// stage is what there is to do at a step of a guided run, and then the entries of the
// step, each with what is written in it.
type stage []string

// guided begins a test of a stove on a telephone, from the list of tests, and walks
// through the opening of its guided run.
func guided(t *testing.T, kind, stove string, opening ...stage) (d *driver, id string) {
	t.Helper()
	d = drive(t, phone)
	d.open("/tests")
	d.fitsWindow()
	d.write("stove", stove)
	d.press(fmt.Sprintf(".new-test [value=%q]", kind))
	d.until("the head of the sheet", text(".todo", "before the fire"))
	d.fitsWindow()
	d.walk(opening...)
	return d, strings.Split(js[string](d, "location.pathname"), "/")[2]
}

// walk presses Next, waits for what there is to do and does it, stage by stage.
func (d *driver) walk(stages ...stage) {
	d.Helper()
	for _, s := range stages {
		todo, entries := s[0], s[1:]
		d.press(".run-buttons .next")
		d.until(todo, text(".todo", todo))
		d.fitsWindow()
		d.picture(strings.ReplaceAll(todo, " ", "-"))
		for i := 0; i+1 < len(entries); i += 2 {
			d.enter(entries[i], entries[i+1])
		}
	}
}

// enter writes an entry, or touches one of its choices.
func (d *driver) enter(entry, value string) {
	d.Helper()
	choice := fmt.Sprintf("[type=radio][name=%q][value=%q]", entry, value)
	if js[bool](d, fmt.Sprintf("!!document.querySelector(%q)", choice)) {
		d.press(choice + " + span")
		return
	}
	d.write(entry, value)
}

// again opens the page at hand on a bench that was started again, as after a
// power cut.
func (d *driver) again() {
	d.Helper()
	path := js[string](d, "location.pathname")
	server := httptest.NewServer(New(Config{Workshop: d.bench.Workshop}))
	d.Cleanup(server.Close)
	d.url = server.URL
	d.open(path)
}

// turnBack makes the time in an entry so many minutes earlier, in place of
// waiting.
func (d *driver) turnBack(id, path string, minutes int) {
	d.Helper()
	t, err := d.bench.loadTest(context.Background(), id)
	if err != nil {
		d.Fatal(err)
	}
	t.set(path, ago(minutes))
	if err := d.bench.keepTest(context.Background(), t); err != nil {
		d.Fatal(err)
	}
}

// A level of the sequence on a telephone: the clock of the fire, the exchange of
// the pot while it runs, a wrong reading taken back, and a power cut.
func TestBrowserRunsASequence(t *testing.T) {
	d, id := guided(t, "sequence", "Stove C",
		stage{"split three pieces", "fuel.moisture", "10 %", "fuel.moisture_basis", "wet"},
		stage{"weigh the empty char pan", "char_pan", "250"},
		stage{"weigh a bundle of fuel", "high.fuel_before", "25000"},
		stage{"weigh the first pot"})
	d.until("what was noted", text("#noted", "25000 g"))
	d.press("#noted button")
	d.until("the step again", text(".todo", "weigh a bundle of fuel")+` && document.getElementById("high.fuel_before").value === ""`)
	d.write("high.fuel_before", "2500")
	d.walk(
		stage{"weigh the first pot", "high.pots[1].empty", "700"},
		stage{"fill the pot with cold water", "high.pots[1].before", "5700"},
		stage{"read the temperature", "high.pots[1].start_temperature", "24"},
		stage{"light the fire"})
	d.press(".reading .big-key")
	d.until("the fire", text(".todo", "keep the fire at this power"))
	d.until("its clock", `/^(30:00|29:5[0-9])$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.fitsWindow()
	d.picture("burn")
	d.press(`.run-side [value="more"]`)
	d.until("the fresh pot", text(".todo", "weigh pot 2 empty"))
	d.until("the clock meanwhile", text(".clock-words", "left of the time on the fire"))
	d.picture("swap")
	d.write("high.pots[2].empty", "702")
	d.write("high.pots[2].before", "5702")
	d.walk(
		stage{"read both pots", "high.pots[1].end_temperature", "90", "high.pots[2].start_temperature", "24"},
		stage{"weigh pot 1", "high.pots[1].after", "5760"})
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "a pot got heavier on the fire"))
	d.fitsWindow()
	d.picture("heavier")
	d.write("high.pots[1].after", "5650")
	d.walk(stage{"keep the fire at this power"})
	d.turnBack(id, "high.start", 31)
	d.again()
	d.until("the time that is up", `document.querySelector(".clock.over")`)
	d.picture("up")
	d.press(`.reading .big-key`)
	d.until("the shut-down", text(".todo", "for 5 minutes"))
	d.until("its clock", `/^(5:00|4:5[0-9])$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.picture("shut")

	// a step is left out with its reason
	d.press(".run-skip summary")
	d.press(`.run-skip [name="do"][value="skip"]`)
	d.until("the question why", text(".run-skip [role=alert]", "Why is it left out")+` && document.readyState === "complete"`)
	d.press(`.run-skip .choice:first-child span`)
	d.picture("skip")
	d.press(`.run-skip [name="do"][value="skip"]`)
	d.until("the next step", text(".todo", "temperature of the last pot"))
	d.fitsWindow()
	d.quiet()
}

// A meal on a telephone: what goes in, the fire with the cook away, and a power
// cut in the middle.
func TestBrowserRunsAMeal(t *testing.T) {
	d, id := guided(t, "cooking", "Stove C",
		stage{"write the dish", "dish", "beans"},
		stage{"ask who cooks", "cook", "cook 2"},
		stage{"read the air temperature", "place.air_temperature", "22"},
		stage{"split three pieces", "wood.moisture_readings[1]", "14"},
		stage{"weigh the empty char pan", "char_pan", "250"},
		stage{"weigh each pot", "pots[1].empty", "700"},
		stage{"weigh what goes into the pots", "foods[1].name", "beans", "foods[1].mass", "900"})
	d.press(`.run-side [value="more"]`)
	d.until("another line", `document.getElementById("foods[2].mass")`)
	d.write("foods[2].name", "water")
	d.write("foods[2].mass", "3000")
	d.fitsWindow()
	d.picture("foods")
	d.walk(
		stage{"weigh a bundle of wood", "wood_before", "5000"},
		stage{"when the cook lights the fire"})
	d.press(".reading .big-key")
	d.until("the fire", text(".todo", "let the cook cook"))
	d.until("its clock", `/^0:0[0-9]$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.picture("fire")
	d.press(`.run-side [value="spell"]`)
	d.until("the cook away", text(".run-side", "The cook is back"))
	d.fitsWindow()
	d.turnBack(id, "start", 95)
	d.turnBack(id, "away[1].from", 40)
	d.again()
	d.until("the cook still away", text(".run-side", "The cook is back"))
	d.until("the clock of the fire", `/^95:/.test(document.querySelector(".clock-face")?.textContent)`)
	d.press(`.run-side [value="spell"]`)
	d.until("the cook at the fire", text(".run-side", "The cook leaves the fire"))
	d.press(".reading .big-key")
	d.until("the wood", text(".todo", "take the wood out"))
	d.picture("out")
	d.write("wood_after", "2350")
	d.walk(
		stage{"weigh each pot with the cooked food", "pots[1].with_food", "4400"},
		stage{"sweep all char", "char_with_pan", "305"},
		stage{"Every step is done"})
	d.quiet()
}

// Two days of a household on a telephone: what is due, who was cooked for, and
// what is left, on a bench that is started again between the visits.
func TestBrowserRunsAKitchen(t *testing.T) {
	d, id := guided(t, "kitchen", "open fire")
	yesterday := time.Now().Add(-23 * time.Hour).Format("2006-01-02 15:04")
	for entry, words := range map[string]string{"code": "H01", "visits[1]": yesterday, "fuels[1].fuel.kind": "hardwood", "fuels[1].fuel.moisture": "14 %", "fuels[1].fuel.moisture_basis": "wet"} {
		request(d.bench, "POST", "/tests/"+id+"/form", url.Values{"households[1]." + entry: {words}})
	}
	d.again()
	d.walk(
		stage{"weigh all the fuel that lies there", "households[1].fuels[1].days[1].start", "14.2"},
		stage{"is there another household"})
	d.again()
	d.walk(stage{"visit 2, household H01"})
	d.until("when it is due", text("#round", "due"))
	d.press(".reading .big-key")
	d.until("the people", text(".todo", "who was cooked for"))
	for _, who := range []string{"children", "women", "men", "older_men"} {
		d.write("households[1].people[1]."+who, "1")
	}
	d.fitsWindow()
	d.picture("people")
	d.walk(stage{"was there cooking on a stove"})
	d.press(`.choices .choice:first-child span`)
	d.walk(stage{"weigh the fuel that was brought"})
	d.press(".offer")
	d.until("nothing", `document.getElementById("households[1].fuels[1].days[1].added")?.value === "0 kg"`)
	d.walk(stage{"weigh what is left", "households[1].fuels[1].days[1].end", "15.2"})
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "more hardwood was left"))
	d.fitsWindow()
	d.picture("grew")
	d.write("households[1].fuels[1].days[1].end", "8.1")
	d.walk(stage{"visit 3, household H01"})
	d.until("the next visit", text("#round", "due tomorrow"))
	d.quiet()
}

// The walk around a stove on a telephone: the point is drawn, the fire is lit,
// and the power goes while the stove heats up.
func TestBrowserRunsASafetyWalk(t *testing.T) {
	d, id := guided(t, "safety", "Stove C",
		stage{"score alone", "scorer", "S1"},
		stage{"edges", "safety.edges.all-outside.value", "1"},
		stage{"toward the fuel mouth"})
	d.until("the point", `document.querySelector(".point svg")`)
	d.write("safety.tipping.toward-mouth.value", "46.5/50")
	d.walk(
		stage{"to the stove’s right", "safety.tipping.toward-right.value", "46.5/50"},
		stage{"to the back", "safety.tipping.toward-back.value", "46.5/50"},
		stage{"to the stove’s left", "safety.tipping.toward-left.value", "46.5/50"},
		stage{"fuel mouth", "safety.containment.fuel-mouth.value", "120"},
		stage{"rim above the pot support", "safety.obstructions.pot-support.value", "25 mm"},
		stage{"has the stove a chimney"})
	d.press(`.choices .choice:first-child span`)
	d.walk(
		stage{"read the air temperature", "air_temperature", "22"},
		stage{"light the fire"})
	d.press(".reading .big-key")
	d.until("the flames", text(".todo", "flames around the pot"))
	d.picture("flames")
	d.press(`.choices .choice:first-child span`)
	d.walk(stage{"flames and fuel leaving the mouth"})
	d.press(`.choices .choice:first-child span`)
	d.walk(stage{"for half an hour"})
	d.turnBack(id, "lit", 31)
	d.again()
	d.until("the time that is up", `document.querySelector(".clock.over")`)
	d.fitsWindow()
	d.walk(stage{"front, a quarter up", "safety.surface.front-low.temperature", "12"})
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "colder than the air"))
	d.fitsWindow()
	d.write("safety.surface.front-low.temperature", "52")
	d.walk(stage{"front, half way up"})
	d.until("what was noted", text("#noted", "52"))
	d.quiet()
}
