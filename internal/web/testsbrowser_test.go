package web

import (
	"fmt"
	"net/url"
	"testing"

	protocol "stovewright/bench"
)

// A boiling test on a telephone, up to the char of the cold start: each step is
// the next thing to do, a wrong tare is said while the fire is warm, and neither
// a page that is loaded again nor a program that is started again loses a key or
// the time of the fire.
func TestBrowserRunsABoilingTest(t *testing.T) {
	d, id := guided(t, "boiling", "Stove C")
	d.write("instruments.wood_scale", "1 g")
	d.walk(stage{"read the air temperature"})
	d.until("the number pad", `!document.getElementById("pad").hidden && document.activeElement.id === "place.air_temperature"`)
	d.press("#pad button:nth-child(9)") // 1
	d.press("#pad button:nth-child(3)") // 9
	d.until("what the pad wrote", `document.getElementById("place.air_temperature").value === "19"`)
	d.until("how it is understood", text(`[id="msg-place.air_temperature"]`, "19"))
	d.walk(
		stage{"split three pieces", "wood.moisture", "13 %", "wood.moisture_basis", "wet"},
		stage{"boil the test water"})
	d.press(".clock .big-key")
	d.until("the clock to run", `document.querySelector(".clock-face")?.hasAttribute("data-waiting") === false && document.querySelector(".clock-face").textContent.startsWith("4:")`)
	d.write("boiling_point.lowest", "96.2")
	d.write("boiling_point.highest", "96.5")
	d.press(".run-buttons .next") // the five minutes are not over, and the step stays
	d.until("the clock still", `location.search === "" && document.readyState === "complete" && `+text(".todo", "boil the test water"))
	d.open(js[string](d, `location.pathname`) + "?task=char-pan")
	d.write("char_pan", "28")
	d.walk(stage{"feel the stove"})
	d.press(`.choices .choice:first-child span`)
	d.walk(
		stage{"weigh each pot, empty", "cold.pots[1].empty", "712"},
		stage{"fill the pot with fresh water", "cold.pots[1].before", "5712"},
		stage{"weigh a bundle of wood", "cold.wood_before", "1513"},
		stage{"read the temperature of the water", "cold.pots[1].start_temperature", "22"},
		stage{"light the fire"})
	d.press(".reading .big-key")
	d.until("the fire", text(".todo", "when the water boils"))
	d.until("its clock", `/^0:0[0-9]$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.picture("fire")

	// the page is loaded again, by a program that was started again
	d.again()
	d.until("the same step", text(".todo", "when the water boils"))
	d.until("the clock of the fire", `/^[0-9]+:[0-9]{2}$/.test(document.querySelector(".clock-face")?.textContent)`)
	d.turnBack(id, "cold.start", 26)
	d.press(".reading .big-key")
	d.until("the time to be written", `/^[0-9]{2}:[0-9]{2}:[0-9]{2}$/.test(document.getElementById("cold.end")?.value)`)
	d.write("cold.pots[1].end_temperature", "96.2")
	d.walk(stage{"take the burning wood out"})
	d.until("the hurry", text(".clock-words", "left for this step"))
	d.write("cold.wood_after", "961")
	d.walk(
		stage{"weigh the pot with the water", "cold.pots[1].after", "5604"},
		stage{"sweep all char", "cold.char_with_pan", "276"})
	d.press(".run-buttons .next")
	d.until("the wrong tare", text("#asking", "more than wood can leave"))
	d.fitsWindow()
	d.picture("tare")
	d.press(`#asking a.button`)
	d.until("the char pan again", `document.getElementById("char_pan")?.value === "28"`)
	d.write("char_pan", "248")
	d.walk(stage{"feel the stove"})
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
