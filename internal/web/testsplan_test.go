package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

var planRow = regexp.MustCompile(`<th scope="row" translate="no">([^<]+)</th>`)

// A plan draws the same order from the same number, is kept with the workshop, and
// gives each of its lines a test with what must not differ.
func TestPlanGivesTestsTheirPlace(t *testing.T) {
	b, stove := bench(t)
	name := b.Catalogue.S("web.tests.plan.title")
	want(t, request(b, "GET", "/tests", nil), 200, name, `href="/tests/plan"`)
	want(t, request(b, "GET", "/tests/plan", nil), 200, "Draw the lots", stove)
	place := request(b, "POST", "/tests/plan", url.Values{"kind": {"boiling"}, "stove-id": {stove}, "stoves": {"Open fire\n\nStove C"}}).Header().Get("Location")
	entries := url.Values{"tests": {"4"}, "scatter": {"10 %"}, "see": {"10 %"}, "seed": {"7"}, "pot": {"5 L pot"}, "fill": {"4 L"}}
	want(t, request(b, "POST", place, entries), http.StatusSeeOther)
	// 17 each at 10 % and 10 % (practitioner table of noncentral-t results, row 19)
	body := want(t, request(b, "GET", place, nil), 200, "17 tests of each stove are needed", "4 tests of each show a difference of", "5 L pot")
	order := planRow.FindAllStringSubmatch(body, -1)
	if len(order) != 12 {
		t.Fatalf("%d lines", len(order))
	}
	count := map[string]int{}
	for _, row := range order {
		count[row[1]]++
	}
	if count["Open fire"] != 4 || count["Stove C"] != 4 {
		t.Errorf("order %v", count)
	}

	start := request(b, "POST", place+"/start", url.Values{"line": {"1"}}).Header().Get("Location")
	test := strings.TrimSuffix(start, "/run")
	file := want(t, request(b, "GET", test+"/file", nil), 200, "stove: "+order[0][1], `test: "1.1"`, "name: 5 L pot", "fill by the plan: 4 L")
	if order[0][1] == "Open fire" && strings.Contains(file, "stove_record") {
		t.Error("an open fire is no stove of the workshop")
	}
	want(t, request(b, "POST", test+"/form", url.Values{"wood.kind": {"hardwood"}, "wood.moisture": {"11 %"}, "instruments.wood_scale": {"2 g"}}), http.StatusSeeOther)
	if again := request(b, "POST", place+"/start", url.Values{"line": {"1"}}).Header().Get("Location"); again != start {
		t.Errorf("the line begins a second test: %s", again)
	}
	second := strings.TrimSuffix(request(b, "POST", place+"/start", url.Values{"line": {"2"}}).Header().Get("Location"), "/run")
	body = want(t, request(b, "GET", second+"/file", nil), 200, "stove: "+order[1][1], "wood_scale: 2 g", "kind: hardwood")
	if strings.Contains(body, "moisture: 11 %") {
		t.Error("the moisture of another day was taken over")
	}

	// what the lots were drawn with stays; more tests come behind
	want(t, request(b, "POST", place, url.Values{"seed": {"8"}, "stoves": {"X\nY"}, "tests": {"5"}}), http.StatusSeeOther)
	body = want(t, request(b, "GET", place, nil), 200, test, second, "stay as they are")
	longer := planRow.FindAllStringSubmatch(body, -1)
	if len(longer) != 15 {
		t.Fatalf("%d lines", len(longer))
	}
	for i := range order {
		if longer[i][1] != order[i][1] {
			t.Fatalf("line %d was %s and is %s", i+1, order[i][1], longer[i][1])
		}
	}

	// bad entries are complained of, and a crossover sheet takes two stoves
	other := request(b, "POST", "/tests/plan", url.Values{"stoves": {"A\nB"}}).Header().Get("Location")
	want(t, request(b, "POST", other, url.Values{"households": {"6"}, "seed": {"1"}, "scatter": {"ten"}}), http.StatusSeeOther)
	want(t, request(b, "GET", other, nil), 200, "ten")
	want(t, request(b, "POST", other, url.Values{"scatter": {""}}), http.StatusSeeOther)
	want(t, request(b, "GET", other, nil), 200, "Which stove first", "H06")
	want(t, request(b, "POST", other+"/start", url.Values{"line": {"1"}}), http.StatusNotFound)
	want(t, request(b, "POST", other+"/delete", nil), http.StatusSeeOther)
}
