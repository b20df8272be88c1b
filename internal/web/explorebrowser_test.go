package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// Dimensions are tried by slider, field and step while everything follows; nothing
// is kept until it is said.
func TestBrowserTriesDimensions(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			t.Cleanup(d.bench.studies.close)
			d.open("/stove/" + d.id + "/explore")
			d.fitsWindow()
			d.picture("pays")
			js[bool](d, `(() => { window.slider = document.querySelector('[data-slide="skirt.gap"]'); slider.focus(); slider.value = "9.5"; slider.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`)
			d.until("the field that follows", `document.getElementById("try-skirt.gap").value === "9.5 mm"`)
			d.until("what is tried", text("#explore-tiles", "One change is tried"))
			d.until("the address", `location.search.includes("skirt.gap%3D9.5")`)
			if !js[bool](d, `slider.isConnected && document.activeElement === slider`) {
				t.Error("the slider was taken from under the hand")
			}
			d.picture("tried")
			d.write("try-chamber.width", "a span")
			d.until("the complaint", text(`#try-row-chamber\.width .message`, "cannot be read"))
			d.write("try-chamber.width", "115 mm")
			d.until("both changes", text("#explore-tiles", "2 changes are tried")+` && location.search.includes("115") && !document.querySelector("[data-try] .wrong-words")`)
			d.press(`#try-row-gap\.throat .more`)
			d.until("three changes", text("#explore-tiles", "3 changes are tried"))
			d.press(`#explore-tiles a[href*="metric=wood"]`)
			d.until("the other metric", text("#explore-ranking", "wood burnt"))
			d.press(`#try-row-gap\.throat .try-was a`)
			d.until("one taken back", text("#explore-tiles", "2 changes are tried"))
			d.press(`#explore-tiles button.primary`)
			d.until("the stove as it is now", `document.getElementById("try-skirt.gap")?.value.replace("\u00a0", " ") === "9.5 mm" && !document.querySelector(".explore-tried")`)
			d.press(`#titled form[action$="/undo"] button`)
			d.until("the undo", `document.getElementById("try-skirt.gap")?.value.replace("\u00a0", " ") === "8.0 mm"`)
			d.fitsTelephone("/stove/" + d.id + "/explore?try=skirt.gap%3D9+mm")
			d.quiet()
		})
	}
}

// A search runs before one's eyes; a stove that is touched in one picture, or
// reached with the keyboard, is marked in all, and opens.
func TestBrowserSearches(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			t.Cleanup(d.bench.studies.close)
			d.open("/stove/" + d.id + "/explore/search")
			d.fitsWindow()
			js[bool](d, `(() => { document.getElementById("effort").value = "quick"; return true; })()`)
			d.press(`#settings .primary`)
			d.until("a first part", text("#study-answer", "stoves were tried"))
			d.until("the end", text("#study-state", "Done."))
			if js[bool](d, `!!document.querySelector("[data-ask]")`) {
				t.Error("the page goes on asking")
			}
			d.fitsWindow()
			d.press(`.slim .design[data-key="design-1"]`)
			d.until("the mark in every picture", `[...document.querySelectorAll(".slim svg")].every(s => s.querySelector(".design.marked")?.dataset.key === "design-1" && s.querySelectorAll(".design.marked").length === 1)`)
			d.until("its card", `!document.querySelector('[data-card="design-1"]').hidden && document.querySelectorAll("[data-card]:not([hidden])").length === 1`)
			js[bool](d, `(() => { document.querySelector('.slim .design[data-key="design-2"]').focus(); return true; })()`)
			d.keys(kb.Enter)
			d.until("the mark by the keyboard", `!document.querySelector('[data-card="design-2"]').hidden`)
			d.picture("found")
			d.fitsTelephone("/stove/" + d.id + "/explore/search")
			d.press(`[data-card]:not([hidden]) form button`)
			d.until("the new stove", text("h1", "found"))
			d.quiet()
		})
	}
}

// A stove that chokes is searched from: with the gap left as it is nothing is found,
// and the page says what fails and which limits there were; with the gap freed
// something is, and opens.
func TestBrowserSearchMends(t *testing.T) {
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			d := drive(t, s)
			t.Cleanup(d.bench.studies.close)
			want(t, request(d.bench, "POST", "/stove/"+d.id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"3 mm"}, "do": {"set"}}), http.StatusSeeOther)
			d.open("/stove/" + d.id + "/explore/search")
			d.fitsWindow()
			const hold = `document.querySelector('[name="hold.skirt.gap"]')`
			if js[bool](d, hold+`.checked`) || js[float64](d, hold+`.closest("label").getBoundingClientRect().height`) < 44 {
				t.Error("the box is ticked, or too small for a finger")
			}
			d.press(`[name="hold.skirt.gap"]`)
			js[bool](d, `(() => { document.getElementById("effort").value = "quick"; return true; })()`)
			d.press(`#settings .primary`)
			d.until("the end", text("#study-state", "Done."))
			d.until("what fails", text("#study-answer", "comes closest")+` && document.querySelectorAll("#study-answer .advice li").length > 0`)
			d.until("the limits", text("#study-answer .kept-to", "Air ratio at least")+` && `+text("#study-answer .kept-to", "left as it is"))
			d.fitsWindow()
			d.picture("none")
			d.press(`[name="hold.skirt.gap"]`)
			d.press(`#settings .primary`)
			d.until("what was found", text("#study-state", "Done.")+` && !!document.querySelector("[data-card]:not([hidden])")`)
			d.fitsTelephone("/stove/" + d.id + "/explore/search")
			d.press(`[data-card]:not([hidden]) form button`)
			d.until("the new stove", text("h1", "found"))
			d.quiet()
		})
	}
}

// Without a script: the same page, by links and forms.
func TestBrowserExploresWithoutScript(t *testing.T) {
	d := drive(t, sizes[1])
	t.Cleanup(d.bench.studies.close)
	study := started(t, d.bench, d.id, "search", url.Values{"effort": {"quick"}})
	finished(t, d.bench, study)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, ".js") {
			http.NotFound(w, r)
			return
		}
		d.bench.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	d.url = server.URL
	d.open("/stove/" + d.id + "/explore/search")
	d.fitsWindow()
	d.press(`a[data-mark="design-1"]`)
	d.until("the design", `location.search.includes("design=1") && document.querySelector('[data-card="design-1"]')?.hidden === false`)
	d.until("its mark in every picture", `[...document.querySelectorAll(".explore-figure svg")].every(s => [...s.querySelectorAll(".design.marked")].map(e => e.dataset.key).join() === "design-1")`)
	d.picture("marked")
	d.press(`a[href="#price.brick"]`)
	d.until("the prices", `document.getElementById("folded").open && document.getElementById("price.brick").getBoundingClientRect().height > 0`)
	d.picture("prices")
	d.open("/stove/" + d.id + "/explore")
	d.fitsWindow()
	d.press(`#try-row-skirt\.gap .more`)
	d.until("the step", `location.search.includes("try=skirt.gap")`)
	d.fitsWindow()
}

// Every page fits a telephone, with its answer; each picture is there in the width
// that is shown.
func TestBrowserExploreFitsTelephone(t *testing.T) {
	d := drive(t, sizes[1])
	t.Cleanup(d.bench.studies.close)
	measuredTests(t, d.bench, d.id)
	tests, err := d.bench.testsOf(t.Context(), &design{ID: d.id})
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range questions {
		finished(t, d.bench, started(t, d.bench, d.id, q.key, url.Values{"effort": {"quick"}, "test." + tests[0].ID: {"learn"}}))
	}
	want(t, request(d.bench, "POST", "/stove/"+d.id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}, "do": {"set"}}), http.StatusSeeOther)
	for _, page := range []string{"/search", "/tolerance", "/spread", "/learn?tests=3", "/pots", "/why?against=before&now=yes", "?metric=skin&try=skirt.gap%3Da+span"} {
		d.fitsTelephone("/stove/" + d.id + "/explore" + page)
		if js[bool](d, `[...document.querySelectorAll(".explore-figure svg")].every(s => !s.getBoundingClientRect().width)`) {
			t.Errorf("%s shows no picture", page)
		}
		d.picture(strings.Trim(strings.Split(page, "?")[0], "/"))
	}
	// so does an earlier answer about a stove that chokes now
	want(t, request(d.bench, "POST", "/stove/"+d.id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"3 mm"}, "do": {"set"}}), http.StatusSeeOther)
	d.fitsTelephone("/stove/" + d.id + "/explore/search")
	d.until("the answer under what is the matter", `document.getElementById("study").getBoundingClientRect().top > document.getElementById("trouble-title").getBoundingClientRect().bottom`)
	d.picture("choked")
	d.quiet()
}
