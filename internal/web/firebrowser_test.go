package web

import "testing"

// The fire answers to its slider, a wrong value and its coefficients while
// bands and the heat in the body come after, by themselves.
func TestBrowserBurnsTheStove(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			d.open("/stove/" + d.id + "/fire")
			d.fitsWindow()
			d.until("the bands", text("#fire-bands", "1000 draws"))
			d.until("the heat in the body", text("#fire-skin", "Top ring"))
			js[bool](d, `(() => { const s = document.querySelector("#fire-slider input"); s.value = "3"; s.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`)
			d.until("the number that follows the slider", `document.getElementById("power").value === "3 kW"`)
			d.until("the bands of the new fire", text("#fire-bands", "1000 draws"))
			d.write("water", "a bucket")
			d.until("the complaint", `document.getElementById("msg-water").dataset.state === "wrong"`)
			d.press("#msg-water .try")
			d.until("the mended field", `document.getElementById("water").value === "5 L"`)
			js[bool](d, `(() => { document.getElementById("coefficients-open").open = true; return true; })()`)
			d.write("coefficients.wall-film", "45")
			d.until("what is the user's own", text("#fire-changed", "1 coefficient is yours"))
			d.press(`#fire-changed button`)
			d.until("the table", `!document.querySelector("#fire-changed button") && document.getElementById("coefficients.wall-film").value === ""`)
			d.write("power", "25 kW")
			d.until("the ring that chokes", text("#fire-verdict", "cannot pull the air"))
			d.picture("choked")
			d.press(`#fire-says button`)
			d.until("less fire", text("#fire-verdict", "Air ratio"))
			d.fitsWindow()
			d.quiet()
		})
	}
}
