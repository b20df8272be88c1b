package web

import (
	"context"
	"net/http/httptest"
	"testing"
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
