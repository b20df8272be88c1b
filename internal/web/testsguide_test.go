package web

import (
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
	want(t, request(b, "GET", "/tests/"+w.id, nil), 200, "left out (Medium power): this stove has none")
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
