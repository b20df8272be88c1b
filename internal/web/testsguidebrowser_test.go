package web

import (
	"context"
	"net/http/httptest"
	"net/url"
	"testing"
	"time"
)

// phone is the window that guided runs are made for.
var phone = size{"phone", 390, 844, true}

// walk presses Next and waits for what there is to do.
func (d *driver) walk(todo string) {
	d.Helper()
	d.press(".run-buttons .next")
	d.until(todo, text(".todo", todo))
	d.fitsWindow()
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
	d := drive(t, phone)
	id := begun(t, d.bench, "sequence", "Stove C")
	d.open("/tests/" + id + "/run")
	d.until("the head of the sheet", text(".todo", "before the fire"))
	d.fitsWindow()
	d.walk("split three pieces")
	d.write("fuel.moisture", "10 %")
	js[bool](d, `(() => { document.querySelector('[name="fuel.moisture_basis"][value="wet"]').click(); return true; })()`)
	d.walk("weigh the empty char pan")
	d.write("char_pan", "250")
	d.walk("weigh a bundle of fuel")
	d.picture("fuel")
	d.write("high.fuel_before", "25000")
	d.walk("weigh the first pot")
	d.until("what was noted", text("#noted", "25000 g"))
	d.press("#noted button")
	d.until("the step again", text(".todo", "weigh a bundle of fuel")+` && document.getElementById("high.fuel_before").value === ""`)
	d.write("high.fuel_before", "2500")
	d.walk("weigh the first pot")
	d.write("high.pots[1].empty", "700")
	d.walk("fill the pot with cold water")
	d.write("high.pots[1].before", "5700")
	d.walk("read the temperature")
	d.write("high.pots[1].start_temperature", "24")
	d.walk("light the fire")
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
	d.walk("read both pots")
	d.write("high.pots[1].end_temperature", "90")
	d.write("high.pots[2].start_temperature", "24")
	d.picture("both")
	d.walk("weigh pot 1")
	d.write("high.pots[1].after", "5760")
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "a pot got heavier on the fire"))
	d.fitsWindow()
	d.picture("heavier")
	d.write("high.pots[1].after", "5650")
	d.walk("keep the fire at this power")
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
	d := drive(t, phone)
	id := begun(t, d.bench, "cooking", "Stove C")
	d.open("/tests/" + id + "/run")
	d.until("the head of the sheet", text(".todo", "before the fire"))
	d.fitsWindow()
	d.walk("write the dish")
	d.write("dish", "beans")
	d.walk("ask who cooks")
	d.write("cook", "cook 2")
	d.walk("read the air temperature")
	d.write("place.air_temperature", "22")
	d.walk("split three pieces")
	d.write("wood.moisture_readings[1]", "14")
	d.walk("weigh the empty char pan")
	d.write("char_pan", "250")
	d.walk("weigh each pot")
	d.write("pots[1].empty", "700")
	d.walk("weigh what goes into the pots")
	d.write("foods[1].name", "beans")
	d.write("foods[1].mass", "900")
	d.press(`.run-side [value="more"]`)
	d.until("another line", `document.getElementById("foods[2].mass")`)
	d.write("foods[2].name", "water")
	d.write("foods[2].mass", "3000")
	d.fitsWindow()
	d.picture("foods")
	d.walk("weigh a bundle of wood")
	d.write("wood_before", "5000")
	d.walk("when the cook lights the fire")
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
	d.walk("weigh each pot with the cooked food")
	d.write("pots[1].with_food", "4400")
	d.walk("sweep all char")
	d.write("char_with_pan", "305")
	d.walk("Every step is done")
	d.picture("done")
	d.quiet()
}

// Two days of a household on a telephone: what is due, who was cooked for, and
// what is left, on a bench that is started again between the visits.
func TestBrowserRunsAKitchen(t *testing.T) {
	d := drive(t, phone)
	id := begun(t, d.bench, "kitchen", "open fire")
	for _, keys := range [][]string{{"households[1].code", "H01"}, {"households[1].visits[1]", time.Now().Add(-23 * time.Hour).Format("2006-01-02 15:04")}, {"households[1].fuels[1].fuel.kind", "hardwood"},
		{"households[1].fuels[1].fuel.moisture", "14 %"}, {"households[1].fuels[1].fuel.moisture_basis", "wet"}} {
		request(d.bench, "POST", "/tests/"+id+"/form", url.Values{keys[0]: {keys[1]}})
	}
	request(d.bench, "POST", "/tests/"+id+"/run", url.Values{"task": {"setup"}, "do": {"next"}})
	d.open("/tests/" + id + "/run")
	d.until("the stock", text(".todo", "weigh all the fuel that lies there"))
	d.fitsWindow()
	d.write("households[1].fuels[1].days[1].start", "14.2")
	d.walk("is there another household")
	d.picture("another")
	d.again()
	d.walk("visit 2, household H01")
	d.until("when it is due", text("#round", "due"))
	d.picture("due")
	d.press(".reading .big-key")
	d.until("the people", text(".todo", "who was cooked for"))
	for _, who := range []string{"children", "women", "men", "older_men"} {
		d.write("households[1].people[1]."+who, "1")
	}
	d.fitsWindow()
	d.picture("people")
	d.walk("was there cooking on a stove")
	d.press(`.choices .choice:first-child span`)
	d.walk("weigh the fuel that was brought")
	d.press(".offer")
	d.until("nothing", `document.getElementById("households[1].fuels[1].days[1].added")?.value === "0 kg"`)
	d.walk("weigh what is left")
	d.write("households[1].fuels[1].days[1].end", "15.2")
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "more hardwood was left"))
	d.fitsWindow()
	d.picture("grew")
	d.write("households[1].fuels[1].days[1].end", "8.1")
	d.walk("visit 3, household H01")
	d.until("the next visit", text("#round", "due tomorrow"))
	d.quiet()
}

// The walk around a stove on a telephone: the point is drawn, the fire is lit,
// and the power goes while the stove heats up.
func TestBrowserRunsASafetyWalk(t *testing.T) {
	d := drive(t, phone)
	id := begun(t, d.bench, "safety", "Stove C")
	d.open("/tests/" + id + "/run")
	d.until("the head of the sheet", text(".todo", "before the fire"))
	d.walk("score alone")
	d.write("scorer", "S1")
	d.walk("edges")
	d.fitsWindow()
	d.write("safety.edges.all-outside.value", "1")
	d.walk("toward the fuel mouth")
	d.until("the point", `document.querySelector(".point svg")`)
	d.picture("tip")
	for _, to := range []string{"right", "back", "left"} {
		d.write(js[string](d, `document.querySelector(".reading input").id`), "46.5/50")
		d.walk(map[string]string{"right": "to the stove’s right", "back": "to the back", "left": "to the stove’s left"}[to])
	}
	d.write("safety.tipping.toward-left.value", "46.5/50")
	d.walk("fuel mouth")
	d.picture("mouth")
	d.write("safety.containment.fuel-mouth.value", "120")
	d.walk("rim above the pot support")
	d.write("safety.obstructions.pot-support.value", "25 mm")
	d.walk("has the stove a chimney")
	d.press(`.choices .choice:first-child span`)
	d.walk("read the air temperature")
	d.write("air_temperature", "22")
	d.walk("light the fire")
	d.press(".reading .big-key")
	d.until("the flames", text(".todo", "flames around the pot"))
	d.picture("flames")
	d.press(`.choices .choice:first-child span`)
	d.walk("flames and fuel leaving the mouth")
	d.press(`.choices .choice:first-child span`)
	d.walk("for half an hour")
	d.turnBack(id, "lit", 31)
	d.again()
	d.until("the time that is up", `document.querySelector(".clock.over")`)
	d.fitsWindow()
	d.walk("front, a quarter up")
	d.picture("surface")
	d.write("safety.surface.front-low.temperature", "12")
	d.press(".run-buttons .next")
	d.until("the mistake", text("#asking", "colder than the air"))
	d.fitsWindow()
	d.write("safety.surface.front-low.temperature", "52")
	d.walk("front, half way up")
	d.until("what was noted", text("#noted", "52"))
	d.quiet()
}
