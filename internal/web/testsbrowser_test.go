package web

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	protocol "stovewright/bench"
)

// A boiling test on a telephone, up to the char of the cold start: each step is
// the next thing to do, a wrong tare is said while the fire is warm, and neither
// a page that is loaded again nor a program that is started again loses a key or
// the time of the fire.
func TestBrowserRunsABoilingTest(t *testing.T) {
	d := drive(t, size{"phone", 390, 844, true})
	d.open("/tests")
	d.fitsWindow()
	d.write("stove", "Stove C")
	d.press(`.new-test [value="boiling"]`)
	d.until("the head of the sheet", text(".todo", "before the fire"))
	d.fitsWindow()
	d.write("instruments.wood_scale", "1 g")
	d.picture("setup")
	next := func(todo string) {
		t.Helper()
		d.press(".run-buttons .next")
		d.until(todo, text(".todo", todo))
		d.fitsWindow()
	}
	next("read the air temperature")
	d.until("the number pad", `!document.getElementById("pad").hidden && document.activeElement.id === "place.air_temperature"`)
	d.press("#pad button:nth-child(9)") // 1
	d.press("#pad button:nth-child(3)") // 9
	d.until("what the pad wrote", `document.getElementById("place.air_temperature").value === "19"`)
	d.until("how it is understood", text(`[id="msg-place.air_temperature"]`, "19"))
	d.picture("air")
	next("split three pieces")
	d.picture("moisture")
	d.write("wood.moisture", "13 %")
	js[bool](d, `(() => { const e = document.getElementById("wood.moisture_basis"); const r = document.querySelector('[name="wood.moisture_basis"][value="wet"]'); (r ?? e).click(); return true; })()`)
	next("boil the test water")
	d.picture("boiling")
	d.press(".clock .big-key")
	d.until("the clock to run", `document.querySelector(".clock-face")?.hasAttribute("data-waiting") === false && document.querySelector(".clock-face").textContent.startsWith("4:")`)
	d.write("boiling_point.lowest", "96.2")
	d.write("boiling_point.highest", "96.5")
	d.press(".run-buttons .next") // the five minutes are not over, and the step stays
	d.until("the clock still", `location.search === "" && document.readyState === "complete" && `+text(".todo", "boil the test water"))
	d.open(js[string](d, `location.pathname`) + "?task=char-pan")
	d.write("char_pan", "28")
	next("feel the stove")
	d.press(`.choices .choice:first-child span`)
	next("weigh each pot, empty")
	d.write("cold.pots[1].empty", "712")
	next("fill the pot with fresh water")
	d.write("cold.pots[1].before", "5712")
	next("weigh a bundle of wood")
	d.write("cold.wood_before", "1513")
	next("read the temperature of the water")
	d.write("cold.pots[1].start_temperature", "22")
	next("light the fire")
	d.picture("light")
	d.press(".reading .big-key")
	d.until("the fire", text(".todo", "when the water boils"))
	d.until("its clock", `/^0:0[0-9]$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.picture("fire")

	// the page is loaded again, by a program that was started again
	path := js[string](d, "location.pathname")
	again := httptest.NewServer(New(Config{Workshop: d.bench.Workshop}))
	t.Cleanup(again.Close)
	d.url = again.URL
	d.open(path)
	d.until("the same step", text(".todo", "when the water boils"))
	d.until("the clock of the fire", `/^[0-9]+:[0-9]{2}$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.turnBack(strings.Split(path, "/")[2], "cold.start", 26)
	d.press(".reading .big-key")
	d.until("the time to be written", `/^[0-9]{2}:[0-9]{2}:[0-9]{2}$/.test(document.getElementById("cold.end")?.value)`)
	d.write("cold.pots[1].end_temperature", "96.2")
	next("take the burning wood out")
	d.until("the hurry", text(".clock-words", "left for this step"))
	d.picture("hurry")
	d.write("cold.wood_after", "961")
	next("weigh the pot with the water")
	d.write("cold.pots[1].after", "5604")
	next("sweep all char")
	d.write("cold.char_with_pan", "276")
	d.press(".run-buttons .next")
	d.until("the wrong tare", text("#asking", "more than wood can leave"))
	d.fitsWindow()
	d.picture("tare")
	d.press(`#asking a.button`)
	d.until("the char pan again", `document.getElementById("char_pan")?.value === "28"`)
	d.write("char_pan", "248")
	next("feel the stove")
	if n := js[int](d, `document.querySelectorAll("#run-alarms .severity-error, #run-alarms .severity-suspect").length`); n != 0 {
		t.Errorf("%d alarms are left", n)
	}
	d.picture("hot")
	d.quiet()
}

// The pages about tests fit a small telephone too, with examples of every kind.
func TestBrowserTestPagesFitTelephone(t *testing.T) {
	d := drive(t, sizes[1])
	paths := []string{"/instruments", "/trouble?symptom=slow-boil&stove=" + d.id}
	for _, kind := range protocol.Kinds {
		ids, compare := examplesOf(t, d.bench, kind)
		paths = append(paths, "/tests/"+ids[0], "/tests/"+ids[0]+"/form", compare)
		if kind == protocol.KindBoiling {
			paths = append(paths, "/tests/"+ids[0]+"/sure/h_hp", "/tests/"+ids[0]+"/run?task=moisture", "/tests/"+ids[0]+"/run?task=simmer.simmer-hold")
		}
	}
	w := request(d.bench, "POST", "/logs", url.Values{"example": {"one"}})
	for i, path := range append(paths, "/tests", "/logs", w.Header().Get("Location")) {
		d.fitsTelephone(path)
		d.picture(fmt.Sprint("page-", i))
	}
	plan := request(d.bench, "POST", "/tests/plan", url.Values{"kind": {"boiling"}, "stoves": {"Stove A\nStove B"}})
	d.fitsTelephone("/tests/plan")
	d.fitsTelephone(plan.Header().Get("Location"))
	d.until("the entries under the order, not over it", `(() => { const e = document.querySelector(".plan-entries"); return e.getBoundingClientRect().top >= e.previousElementSibling.getBoundingClientRect().bottom; })()`)
	d.quiet()
}
