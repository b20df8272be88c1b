package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	protocol "stovewright/bench"
	"stovewright/internal/serial"
	"stovewright/message"
	"stovewright/workshop"
)

// begun starts a test and gives its id.
func begun(t testing.TB, b *Bench, kind, stove string) string {
	t.Helper()
	w := request(b, "POST", "/tests/new", url.Values{"kind": {kind}, "stove": {stove}})
	parts := strings.Split(w.Header().Get("Location"), "/")
	if w.Code != http.StatusSeeOther || len(parts) < 3 {
		t.Fatalf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	return parts[2]
}

// opened opens the invented tests of a kind and gives their ids.
func examplesOf(t testing.TB, b *Bench, kind protocol.Kind) (ids []string, compare string) {
	t.Helper()
	w := request(b, "POST", "/tests/example", url.Values{"kind": {string(kind)}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s: %d %s", kind, w.Code, w.Body)
	}
	list, err := b.allTests(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list {
		if l.Kind == kind {
			ids = append(ids, l.ID)
		}
	}
	return ids, w.Header().Get("Location")
}

// step presses a button of the guided run and follows where it leads.
func step(t *testing.T, b *Bench, id, task, do string, readings ...string) (page, address string) {
	t.Helper()
	form := url.Values{"task": {task}, "do": {do}}
	for i := 0; i+1 < len(readings); i += 2 {
		form.Set(readings[i], readings[i+1])
	}
	w := request(b, "POST", "/tests/"+id+"/run", form)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s %s: %d %s", task, do, w.Code, excerpt(w.Body.String()))
	}
	address = w.Header().Get("Location")
	return want(t, request(b, "GET", address, nil), 200), address
}

var todoHeading = regexp.MustCompile(`<h2 class="todo">([^<]*)`)

func todo(page string) string {
	if m := todoHeading.FindStringSubmatch(page); m != nil {
		return m[1]
	}
	return ""
}

// A whole test is run without a script, to a result.
func TestRunLeadsThroughATest(t *testing.T) {
	b, _ := bench(t)
	id := begun(t, b, "boiling", "Stove C")
	at := func(page, words string) {
		t.Helper()
		if !strings.Contains(todo(page), words) {
			t.Fatalf("the next thing to do is %q, want %q", todo(page), words)
		}
	}
	page, _ := step(t, b, id, "setup", "next", "about.tester", "tester 1")
	at(page, "air temperature")
	if !strings.Contains(page, "never test a stove without a chimney in a closed room") {
		t.Error("no word of carbon monoxide before the fire")
	}
	page, address := step(t, b, id, "air", "next")
	if at(page, "air temperature"); !strings.Contains(page, "still empty") || !strings.Contains(address, "lacks") {
		t.Error("an empty entry is passed over")
	}
	page, _ = step(t, b, id, "air", "next", "place.air_temperature", "nineteen")
	if at(page, "air temperature"); !strings.Contains(page, "cannot be read") || !strings.Contains(page, `value="nineteen"`) {
		t.Error("what cannot be read is passed over or lost")
	}
	page, _ = step(t, b, id, "air", "next", "place.air_temperature", "19")
	at(page, "split three pieces")
	page, _ = step(t, b, id, "moisture", "next", "wood.moisture_readings[1]", "14,5", "wood.moisture_readings[2]", "13 %", "wood.moisture_readings[4]", "12")
	at(page, "boil the test water")
	page, _ = step(t, b, id, "boiling-point", "next", "place.altitude", "1100 m", "boiling_point.lowest", "99.2", "boiling_point.highest", "99.4")
	if at(page, "boil the test water"); !strings.Contains(page, "check the thermometer and the altitude") {
		t.Error("a boiling point that cannot be at this altitude is taken")
	}
	page, _ = step(t, b, id, "boiling-point", "next", "boiling_point.lowest", "96.2", "boiling_point.highest", "96.4")
	at(page, "empty char pan")
	step(t, b, id, "char-pan", "next", "char_pan", "248")
	step(t, b, id, "cold.stove-state", "next", "cold.stove", "cold")
	step(t, b, id, "cold.weigh-pots", "next", "cold.pots[1].empty", "712")
	step(t, b, id, "cold.weigh-water", "next", "cold.pots[1].before", "5712")
	step(t, b, id, "cold.weigh-wood", "next", "cold.wood_before", "1513")
	page, _ = step(t, b, id, "cold.read-start", "next", "cold.pots[1].start_temperature", "22")
	at(page, "light the fire")
	page, _ = step(t, b, id, "cold.light", "now:cold.start")
	at(page, "when the water boils")
	page, _ = step(t, b, id, "cold.boil", "now:cold.end")
	at(page, "when the water boils")
	page, _ = step(t, b, id, "cold.boil", "next", "cold.end", "23:59", "cold.start", "23:33", "cold.pots[1].end_temperature", "96.2")
	at(page, "take the burning wood out")
	page, _ = step(t, b, id, "cold.wood-out", "next", "cold.wood_after", "1961")
	if at(page, "take the burning wood out"); !strings.Contains(page, "no wood was burnt by these masses") {
		t.Error("wood that grew in the fire is taken")
	}
	step(t, b, id, "cold.wood-out", "next", "cold.wood_after", "961")
	page, _ = step(t, b, id, "cold.pot-after", "next", "cold.pots[1].after", "5804")
	if at(page, "weigh the pot with the water"); !strings.Contains(page, "the pot got heavier") {
		t.Error("water that grew in the pot is taken")
	}
	step(t, b, id, "cold.pot-after", "next", "cold.pots[1].after", "5604")
	page, _ = step(t, b, id, "cold.weigh-char", "next", "cold.char_with_pan", "576")
	if !strings.Contains(page, "more than wood can leave") {
		t.Error("char beyond what wood can yield is taken")
	}
	page, _ = step(t, b, id, "cold.weigh-char", "next", "cold.char_with_pan", "276")
	at(page, "hot start: feel the stove")
	step(t, b, id, "hot.stove-state", "next", "hot.stove", "hot")
	want(t, request(b, "GET", "/tests/"+id+"/run", nil), 200, `value="use:hot.pots[1].empty=712"`, "as in the cold start")
	step(t, b, id, "hot.weigh-pots", "use:hot.pots[1].empty=712")
	step(t, b, id, "hot.weigh-pots", "next")
	page, _ = step(t, b, id, "hot.weigh-water", "skip-phase")
	if at(page, "hot start: fill the pot"); !strings.Contains(page, "Why is it left out") {
		t.Error("a step is left out without a reason")
	}
	page, _ = step(t, b, id, "hot.weigh-water", "skip-phase", "why", "late")
	at(page, "simmer: keep the water")
	page, _ = step(t, b, id, "simmer.simmer-weigh", "skip-phase", "why-other", "it began to rain")
	at(page, "Every step is done")
	want(t, request(b, "GET", "/tests/"+id+"/form", nil), 200, "left out (hot start): too late for it; left out (simmer): it began to rain")
	for _, text := range []string{"keep children away"} {
		if !strings.Contains(page, text) {
			t.Errorf("the end lacks %q", text)
		}
	}
}

// The bench stays at a timer while it runs, whatever else is filled in, and
// takes the lowest of the temperatures noted in a simmer.
func TestSimmerHoldsItsBand(t *testing.T) {
	b, _ := bench(t)
	ids, _ := examplesOf(t, b, protocol.KindBoiling)
	id := ids[0]
	start := time.Now().Add(-10 * time.Minute).Format("15:04:05")
	request(b, "POST", "/tests/"+id+"/form", url.Values{"simmer.start": {start}, "simmer.end": {""}, "simmer.lowest_temperature": {""}})
	page := want(t, request(b, "GET", "/tests/"+id+"/run?task=simmer.simmer-hold", nil), 200, "Hold 93.4\u00a0°C", "Below 90.4\u00a0°C", `data-until="2700"`)
	if m := regexp.MustCompile(`data-elapsed="(\d+)"`).FindStringSubmatch(page); m == nil || m[1] < "600" || m[1] > "605" {
		t.Errorf("elapsed %v, want ten minutes", m)
	}
	for _, now := range []string{"93.5", "92.8", "93.1"} {
		page, _ = step(t, b, id, "simmer.simmer-hold", "lowest", "now", now)
	}
	if !strings.Contains(page, `value="92.8"`) {
		t.Error("the lowest reading is not kept")
	}
	page = want(t, request(b, "GET", "/tests/"+id+"/run", nil), 200)
	if !strings.Contains(todo(page), "for 45 minutes") {
		t.Errorf("while the timer runs the step is %q", todo(page))
	}
	page, _ = step(t, b, id, "simmer.simmer-hold", "lowest", "now", "89.9")
	if !strings.Contains(page, "this simmer does not count") {
		t.Error("a simmer that fell out of its band goes on")
	}
}

// TestPowerCut writes keys in another process, kills it, and finds every key and
// the time of the fire in the file.
func TestPowerCut(t *testing.T) {
	if file := os.Getenv("STOVEWRIGHT_TEST_FILE"); file != "" {
		f, err := workshop.Open(context.Background(), file)
		if err != nil {
			t.Fatal(err)
		}
		b := New(Config{Workshop: f})
		id := os.Getenv("STOVEWRIGHT_TEST_ID")
		request(b, "POST", "/tests/"+id+"/run", url.Values{"task": {"cold.light"}, "do": {"now:cold.start"}})
		for i := 1; i <= 4; i++ {
			request(b, "POST", "/tests/"+id+"/key?run", url.Values{"cold.wood_after": {"1975"[:i]}}, byScript...)
		}
		fmt.Println("written")
		select {} // until it is killed
	}
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "test"+workshop.Extension)
	f, err := workshop.Create(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	id := begun(t, New(Config{Workshop: f}), "boiling", "Stove C")
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	other := exec.Command(os.Args[0], "-test.run=^TestPowerCut$")
	other.Env = append(os.Environ(), "STOVEWRIGHT_TEST_FILE="+path, "STOVEWRIGHT_TEST_ID="+id)
	out, err := other.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadFull(out, make([]byte, len("written"))); err != nil {
		t.Fatal(err)
	}
	other.Process.Kill()
	other.Wait()

	f, err = workshop.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	again := New(Config{Workshop: f})
	want(t, request(again, "GET", "/tests/"+id+"/run?task=cold.wood-out", nil), 200, `value="1975"`, "since the fire was lit", `role="timer">0:`)
}

// What the sheet shows is in its own order and can be filled in, whatever the kind.
func TestEveryFieldOfATestIsOnItsSheet(t *testing.T) {
	b, _ := bench(t)
	for _, kind := range protocol.Kinds {
		id := begun(t, b, string(kind), "Stove C")
		body := want(t, request(b, "GET", "/tests/"+id+"/form", nil), 200)
		if i := strings.Index(body, "«"); i >= 0 {
			t.Errorf("%s: %s", kind, body[i:min(len(body), i+80)])
		}
		last := -1
		for _, f := range kind.Fields() {
			if hiddenFields[f.Path] || strings.HasPrefix(f.Path, "readings.") {
				continue
			}
			name := strings.NewReplacer("phase.lowest", "simmer.lowest", "phase.", "cold.", "level.", "high.", "samples.", "samples[1].", "foods.", "foods[1].", "away.", "away[1].").Replace(f.Path)
			if kind == protocol.KindSequence {
				name = strings.Replace(name, "wood.", "fuel.", 1)
			}
			if kind == protocol.KindKitchen {
				name = strings.NewReplacer("households.people.", "households[1].people[1].", "households.", "households[1].", "wood.", "households[1].fuels[1].fuel.", "days.", "households[1].fuels[1].days[1].").Replace(name)
			} else {
				name = strings.Replace(name, "pots.", "pots[1].", 1)
			}
			at := strings.Index(body, `name="`+name+`"`)
			if at < 0 {
				t.Errorf("%s: %s cannot be filled in", kind, name)
			}
			if strings.HasPrefix(name, "cold.") { // the parts of the paper follow each other; so do the readings of a part
				if at < last {
					t.Errorf("%s stands out of order", name)
				}
				last = at
			}
		}
	}
}

// A sheet that is typed in from paper gives the same file as the example.
func TestSheetIsTypedIn(t *testing.T) {
	b, _ := bench(t)
	for _, kind := range protocol.Kinds {
		ids, _ := examplesOf(t, b, kind)
		from, err := b.loadTest(context.Background(), ids[0])
		if err != nil {
			t.Fatal(err)
		}
		id := begun(t, b, string(kind), "x")
		body := request(b, "GET", "/tests/"+ids[0]+"/form", nil).Body.String()
		form := url.Values{}
		for _, m := range regexp.MustCompile(`<input [^>]*name="([^"]+)" value="([^"]*)"`).FindAllStringSubmatch(body, -1) {
			form.Set(m[1], m[2])
		}
		for _, m := range regexp.MustCompile(`<input type="radio" name="([^"]+)" value="([^"]*)" checked`).FindAllStringSubmatch(body, -1) {
			form.Set(m[1], m[2])
		}
		for _, m := range regexp.MustCompile(`(?s)<select [^>]*name="([^"]+)".*?</select>`).FindAllStringSubmatch(body, -1) {
			if chosen := regexp.MustCompile(`value="([^"]*)" selected`).FindStringSubmatch(m[0]); chosen != nil {
				form.Set(m[1], chosen[1])
			}
		}
		for _, at := range regexp.MustCompile(`\[(\d+)\]`).FindAllString(strings.Join(keysOf(form), " "), -1) {
			if at == "[0]" {
				t.Error("an item is counted from nought")
			}
		}
		want(t, request(b, "POST", "/tests/"+id+"/form", form), http.StatusSeeOther)
		to, err := b.loadTest(context.Background(), id)
		if err != nil {
			t.Fatal(err)
		}
		if got, wanted := written(to), written(from); got != wanted {
			t.Errorf("%s: typed in\n%s\nwant\n%s", kind, got, wanted)
		}
	}
}

func keysOf(v url.Values) (list []string) {
	for k := range v {
		list = append(list, k)
	}
	return list
}

// written is what stands in a test, without empty entries; of a safety sheet,
// whose page says the point of each reading, what it comes to.
func written(t *test) string {
	if file, err := t.compute(); err == nil && file.Safety != nil {
		out, _ := json.Marshal(file.Safety.Score)
		return string(out)
	}
	out, _ := json.Marshal(t.Form)
	return regexp.MustCompile(`"[A-Za-z0-9]+":"",?`).ReplaceAllString(string(out), "")
}

func TestResultsUnfold(t *testing.T) {
	b, _ := bench(t)
	ids, _ := examplesOf(t, b, protocol.KindBoiling)
	body := want(t, request(b, "GET", "/tests/"+ids[0], nil), 200, "f_d = (f_m·(LHV·(1 − m) − m·B) − Δc·LHV_char)/LHV", "(552·(18414·(1 − ",
		`origin-measured">measured`, `origin-default">default`, `origin-computed">computed`, "it is not a tier of ISO 19867", "invented example", "95\u00a0%")
	if strings.Contains(body, "IWA") {
		t.Error("a boiling test is read against tiers")
	}
	want(t, request(b, "GET", "/tests/"+ids[0]+"/sure/h_hp", nil), 200, "Law of propagation", "Monte Carlo", "lower heating value of dry wood", "common to all tests")
	want(t, request(b, "GET", "/tests/"+ids[0]+"/sure/no-such", nil), http.StatusNotFound)
	for _, name := range reportNames {
		if w := request(b, "GET", "/tests/"+ids[0]+"/report/"+name, nil); w.Code != 200 || w.Body.Len() < 500 {
			t.Errorf("%s: %d, %d bytes", name, w.Code, w.Body.Len())
		}
	}
	want(t, request(b, "GET", "/tests/"+ids[0]+"/report/other.pdf", nil), http.StatusNotFound)
	want(t, request(b, "GET", "/paper/boiling", nil), 200, "%PDF")

	// a test that lacks something says what, with the way to it
	request(b, "POST", "/tests/"+ids[0]+"/form", url.Values{"cold.pots[1].after": {"a lot"}, "hot.wood_after": {""}})
	want(t, request(b, "GET", "/tests/"+ids[0], nil), 200, "Not ready", "“a lot”", "run?task=hot.wood-out", "(cold start)")
	want(t, request(b, "GET", "/tests/"+ids[0]+"/report/report.pdf", nil), http.StatusUnprocessableEntity)
}

func TestComparisonSaysItPlainly(t *testing.T) {
	b, _ := bench(t)
	ids, compare := examplesOf(t, b, protocol.KindBoiling)
	body := want(t, request(b, "GET", compare, nil), 200, "higher than Stove A, gap 14 mm", "not shown to differ", "tests of each are needed", "You may not say", "a tier: only runs of the ISO sequence have one", "<svg")
	if n := strings.Count(body, "<svg"); n < 5 {
		t.Errorf("%d pictures", n)
	}
	// a test is left out with its reason, and stays in sight
	want(t, request(b, "POST", "/tests/"+ids[0]+"/leave", url.Values{"do": {"leave"}, "reason": {" "}}), http.StatusUnprocessableEntity, "only with its reason")
	want(t, request(b, "POST", "/tests/"+ids[0]+"/leave", url.Values{"do": {"leave"}, "reason": {"the pot was knocked over"}}), http.StatusSeeOther)
	want(t, request(b, "GET", compare, nil), 200, "Left out: the pot was knocked over")
	want(t, request(b, "GET", "/tests", nil), 200, "left out")
	// another wood on one side is said
	for _, id := range ids[:5] {
		request(b, "POST", "/tests/"+id+"/form", url.Values{"wood.kind": {"softwood"}})
	}
	want(t, request(b, "GET", compare, nil), 200, "the wood differs")
	if w := request(b, "GET", strings.Replace(compare, "/compare?", "/compare/report.csv?", 1), nil); w.Code != 200 || !strings.Contains(w.Body.String(), "stove") {
		t.Errorf("the report: %d", w.Code)
	}
}

func TestOtherKindsAreCompared(t *testing.T) {
	b, _ := bench(t)
	for kind, texts := range map[protocol.Kind][]string{
		protocol.KindCooking:  {"specific fuel consumption", "saving in kitchens"},
		protocol.KindKitchen:  {"less energy a standard adult and day", "Households in both rounds"},
		protocol.KindSequence: {"tiers from 5 runs", "Assured tier", "not a certificate"},
		protocol.KindSafety:   {"Two scorers"},
	} {
		ids, compare := examplesOf(t, b, kind)
		want(t, request(b, "GET", compare, nil), 200, texts...)
		body := want(t, request(b, "GET", "/tests/"+ids[0], nil), 200)
		if strings.Contains(body, "Not ready") {
			t.Errorf("%s: the example has no result", kind)
		}
	}
	want(t, request(b, "GET", "/compare?kind=sequence&scale=iso-low-ventilation", nil), 200, "invented example", `value="iso-low-ventilation" selected`)
}

func TestTestsAreTakenAndGiven(t *testing.T) {
	b, id := bench(t)
	ids, _ := examplesOf(t, b, protocol.KindBoiling)
	file := request(b, "GET", "/tests/"+ids[0]+"/file", nil)
	want(t, file, 200, "test: boiling", "wood_before: 1513 g")
	want(t, request(b, "POST", "/tests/import", url.Values{"document": {file.Body.String()}}), http.StatusSeeOther)
	want(t, request(b, "POST", "/tests/import", url.Values{"document": {"test: boilng\n"}}), http.StatusUnprocessableEntity, "boilng", "test: boiling")
	want(t, request(b, "POST", "/tests/import", url.Values{"document": {"test: boiling\ncold: {wood_befor: 3 kg}\n"}}), http.StatusUnprocessableEntity, "wood_befor")
	want(t, request(b, "POST", "/tests/import", url.Values{"document": {" "}}), http.StatusUnprocessableEntity)

	// the next test of the series keeps wood, pot and instruments, and no reading
	w := request(b, "POST", "/tests/"+ids[4]+"/copy", url.Values{})
	next := strings.Split(w.Header().Get("Location"), "/")[2]
	body := want(t, request(b, "GET", "/tests/"+next+"/form", nil), 200, `value="A6"`, `value="pile 2"`, `value="5 L pot"`, `name="char_pan" value="248 g"`)
	if strings.Contains(body, "1513") || strings.Contains(body, "invented example") {
		t.Error("readings of one test went into the next")
	}
	want(t, request(b, "POST", "/tests/"+next+"/delete", url.Values{}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests/"+next, nil), http.StatusNotFound)
	want(t, request(b, "POST", "/tests/"+next+"/undelete", url.Values{}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests/"+next+"/run", nil), 200)

	// what was typed is taken back, and done again
	request(b, "POST", "/tests/"+ids[0]+"/form", url.Values{"cold.wood_after": {"9 g"}})
	want(t, request(b, "POST", "/tests/"+ids[0]+"/undo", url.Values{}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests/"+ids[0]+"/form", nil), 200, `name="cold.wood_after" value="961 g"`)
	want(t, request(b, "POST", "/tests/"+ids[0]+"/redo", url.Values{}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests/"+ids[0]+"/form", nil), 200, `name="cold.wood_after" value="9 g"`)

	// a test of a stove that is drawn here leads to it
	w = request(b, "POST", "/tests/new", url.Values{"kind": {"boiling"}, "stove-id": {id}})
	want(t, request(b, "GET", strings.TrimSuffix(w.Header().Get("Location"), "/run"), nil), 200, "/stove/"+id)
	for _, path := range []string{"/tests/no-such", "/tests/" + id, "/logs/" + id, "/compare/other.txt", "/trouble?symptom=boredom"} {
		want(t, request(b, "GET", path, nil), http.StatusNotFound)
	}
	want(t, request(b, "POST", "/tests/new", url.Values{"kind": {"tea"}}), http.StatusNotFound)
	want(t, request(b, "POST", "/tests/"+ids[0]+"/run", url.Values{"task": {"no-such"}, "do": {"next"}}), http.StatusNotFound)
}

// upload sends a file as a page does.
func upload(b *Bench, path, name, content string) *httptest.ResponseRecorder {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, _ := form.CreateFormFile("file", name)
	io.WriteString(part, content)
	form.Close()
	r := httptest.NewRequest("POST", "http://127.0.0.1"+path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	return w
}

func TestLoggerFileIsAskedAboutAndKept(t *testing.T) {
	b, _ := bench(t)
	want(t, upload(b, "/logs", "notes.txt", "nothing\nhere\n"), http.StatusUnprocessableEntity, "no table of times and numbers")
	want(t, request(b, "POST", "/logs", url.Values{}), http.StatusUnprocessableEntity, "no file was chosen")
	w := request(b, "POST", "/logs", url.Values{"example": {"1"}})
	address := w.Header().Get("Location")
	body := want(t, request(b, "GET", address, nil), 200, "the day or the month", "Body (°C)", "2 rows not read", "battery changed", "705", "Uses", "<svg")
	if strings.Contains(body, "«") {
		t.Error(excerpt(body[strings.Index(body, "«"):]))
	}
	layout := regexp.MustCompile(`name="time" value="(02/01[^"]*)"`).FindStringSubmatch(body)
	if layout == nil {
		t.Fatal("no choice of the date's order")
	}
	want(t, request(b, "POST", address, url.Values{"time": {layout[1]}, "zone": {"3 h"}, "clock": {"-2 min"}, "household": {"H07"}, "role": {"new"}, "column": {"Body (°C)"}, "rule:rise": {"15 K"}}), http.StatusSeeOther)
	body = want(t, request(b, "GET", address, nil), 200, `value="H07"`, "2026-05-04", `value="15 K"`)
	if strings.Contains(body, "the day or the month") {
		t.Error("an answered question is asked again")
	}
	request(b, "POST", address, url.Values{"clock": {"a while"}, "rule:rise": {"9000 K"}})
	want(t, request(b, "GET", address, nil), 200, "a while", "out of range")
	// bad rows keep their line, and a unit that the file does not say is asked
	w = upload(b, "/logs", "co.csv", "time,co\n2026-05-04 10:00:00,1\n2026-05-04 10:01:00,x\n2026-05-04 10:02:00,3\n2026-05-04 10:02:00,3\n2026-05-04 10:03:00,3\n")
	want(t, request(b, "GET", w.Header().Get("Location"), nil), 200, "which unit has “co”", "a number cannot be read", "is not later than the row before")
	// kept with a test
	ids, _ := examplesOf(t, b, protocol.KindBoiling)
	want(t, request(b, "POST", address, url.Values{"attach": {ids[0]}, "do": {"attach"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests/"+ids[0], nil), 200, "evidence/stove-body.csv")
	want(t, request(b, "GET", "/tests/"+ids[0]+"/evidence/stove-body.csv", nil), 200, "Body (°C)")
	want(t, request(b, "GET", "/logs?sum=1", nil), 200, "Two households")
}

func TestHouseholdsAreAddedUp(t *testing.T) {
	b, _ := bench(t)
	w := request(b, "POST", "/logs", url.Values{"example": {"households"}})
	body := want(t, request(b, "GET", w.Header().Get("Location"), nil), 200, "Days with the new stove in use", "<dt>Households</dt><dd>4</dd>")
	for _, name := range reportNames {
		if w := request(b, "GET", "/logs/report/"+name, nil); w.Code != 200 || w.Body.Len() < 500 {
			t.Errorf("%s: %d, %d bytes", name, w.Code, w.Body.Len())
		}
	}
	if strings.Contains(body, "Two households with") {
		t.Error("four households are too few")
	}
}

// A simulated scale stands in for the port.
func TestScaleIsReadIntoTheSheet(t *testing.T) {
	lines, scale := io.Pipe()
	asked := ""
	wiring := Wiring{
		Ports: func() ([]string, error) { return []string{"/dev/simulated"}, nil },
		Open: func(port string, s serial.Settings) (io.ReadWriteCloser, error) {
			if port != "/dev/simulated" {
				return serial.Open(port, s)
			}
			asked = s.Ask
			return struct {
				io.Reader
				io.Writer
				io.Closer
			}{lines, io.Discard, lines}, nil
		},
	}
	b, _ := bench(t, func(c *Config) { c.Wiring = wiring })
	t.Cleanup(b.instruments.close)
	want(t, request(b, "GET", "/instruments", nil), 200, "/dev/simulated", "None is attached")
	want(t, request(b, "POST", "/instruments", url.Values{"port": {"/dev/no-such-port"}, "kind": {"mass"}, "baud": {"9600"}}), http.StatusUnprocessableEntity, "no such port")
	want(t, request(b, "POST", "/instruments", url.Values{"port": {""}, "kind": {"mass"}, "baud": {"9600"}}), http.StatusUnprocessableEntity, "choose a port")
	want(t, request(b, "POST", "/instruments", url.Values{"port": {"/dev/simulated"}, "kind": {"mass"}, "baud": {"9600"}, "ask": {" P "}}), http.StatusSeeOther)
	if asked != "P" {
		t.Errorf("asks with %q", asked)
	}
	fmt.Fprint(scale, "ST,GS,+  712.4 g\r\n")
	var now []liveReading
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end) && (len(now) == 0 || now[0].Text == ""); time.Sleep(5 * time.Millisecond) {
		now = nil
		if err := json.Unmarshal(request(b, "GET", "/instruments/now", nil).Body.Bytes(), &now); err != nil {
			t.Fatal(err)
		}
	}
	if len(now) != 1 || now[0].Text != "712.4 g" || now[0].Kind != "mass" || !now[0].Stable || !now[0].Fresh() {
		t.Fatalf("the scale says %+v", now)
	}
	want(t, request(b, "GET", "/instruments", nil), 200, "712.4 g")
	id := begun(t, b, "boiling", "Stove C")
	want(t, request(b, "GET", "/tests/"+id+"/run?task=cold.weigh-wood", nil), 200, `data-live="mass"`)
	// the bench is started again, and reads the same scale
	b.instruments.close()
	lines, scale = io.Pipe()
	again := New(Config{Workshop: b.Workshop, Wiring: wiring})
	t.Cleanup(again.instruments.close)
	want(t, request(again, "GET", "/instruments", nil), 200, "/dev/simulated")
	if asked != "P" {
		t.Errorf("asks with %q after a restart", asked)
	}
	fmt.Fprint(scale, "ST,GS,+ 1513.0 g\r\n")
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end) && again.readings(t.Context())[0].Text == ""; time.Sleep(5 * time.Millisecond) {
	}
	page, _ := step(t, again, id, "cold.weigh-wood", "take:cold.wood_before")
	if !strings.Contains(page, "1513.0 g") {
		t.Error("the reading is not taken with one key")
	}
	// where the scale is gone, the run says so, and the reading can be typed
	wiring.Open = func(port string, s serial.Settings) (io.ReadWriteCloser, error) {
		return nil, errors.New("no such port")
	}
	without := New(Config{Workshop: b.Workshop, Wiring: wiring})
	want(t, request(without, "GET", "/tests/"+id+"/run?task=cold.weigh-wood", nil), 200, "The instrument at /dev/simulated is gone")
	want(t, request(without, "GET", "/instruments", nil), 200, "It has fallen silent")
	b = again
	scale.CloseWithError(errors.New("unplugged"))
	want(t, request(b, "POST", "/instruments", url.Values{"port": {"/dev/simulated"}, "do": {"detach"}}), http.StatusSeeOther)
	want(t, request(b, "POST", "/instruments", url.Values{"port": {"/dev/simulated"}, "do": {"detach"}}), http.StatusNotFound)
}

func TestTroubleLeadsToTheDimension(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "GET", "/trouble", nil), 200, "smoke comes out")
	want(t, request(b, "GET", "/trouble?symptom=slow-boil&stove="+id, nil), 200, "/stove/"+id+"?dim=skirt.gap", "8.0\u00a0mm", "/stove/"+id+"/fire", "one thing at a time")
	for _, s := range protocol.Symptoms() {
		want(t, request(b, "GET", "/trouble?symptom="+s.Key, nil), 200, message.English().Say(s.Warning()))
	}
	want(t, request(b, "GET", "/trouble?symptom=slow-boil", nil), 200, "one thing at a time")
}

// BenchmarkTestSheet is a boiling test from the file in the workshop to its
// results with every step. The aim is 5 ms.
func BenchmarkTestSheet(b *testing.B) {
	bn, _ := bench(b)
	ids, _ := examplesOf(b, bn, protocol.KindBoiling)
	for b.Loop() {
		t, err := bn.loadTest(context.Background(), ids[0])
		if err != nil {
			b.Fatal(err)
		}
		if _, err := t.compute(); err != nil {
			b.Fatal(err)
		}
	}
}
