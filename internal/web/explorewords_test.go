package web

import (
	"net/http"
	"net/url"
	"testing"

	"stovewright/message"
)

// Every word of the pages comes from the catalogue, with and without answers.
func TestExploreWordsAreInTheCatalogue(t *testing.T) {
	b, id := exploring(t, func(c *Config) { c.Catalogue = message.Pseudo() })
	s := "/stove/" + id
	// a name without letters: drawings and titles carry it too
	want(t, request(b, "POST", s+"/brief", url.Values{"name": {"1"}, "note": {"2"}, "pot.name": {"3"}}), http.StatusSeeOther)
	request(b, "GET", s, nil)
	measuredTests(t, b, id)
	for _, q := range questions {
		settings := url.Values{"effort": {"quick"}}
		if tests, err := b.testsOf(t.Context(), &design{ID: id}); q.key == "learn" {
			if err != nil {
				t.Fatal(err)
			}
			settings.Set("test."+tests[0].ID, "learn")
			settings.Set("test."+tests[1].ID, "hold")
		}
		finished(t, b, started(t, b, id, q.key, settings))
	}
	want(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}, "do": {"set"}}), http.StatusSeeOther)
	found := started(t, b, id, "search", url.Values{"effort": {"quick"}})
	finished(t, b, found)
	study := started(t, b, id, "search", url.Values{})
	want(t, request(b, "POST", s+"/explore/search/"+study+"/stop", url.Values{}), http.StatusSeeOther)
	barren := started(t, b, id, "search", url.Values{"effort": {"quick"}, "weight": {"1 kg"}, "at_hand": {"yes"}, "hold.skirt.gap": {"yes"}})
	finished(t, b, barren)
	check := func(method, path string, form url.Values) {
		t.Helper()
		for _, word := range wordsOutside(t, request(b, method, path, form).Body.String()) {
			if word != "TXT" && word != "JSON" && word != "Hill" { // formats, and the names of the example tests
				t.Errorf("%s %s: %q is not in the catalogue", method, path, word)
			}
		}
	}
	for _, path := range []string{"", "?try=skirt.gap%3D9.5+mm", "?try=skirt.gap%3D%3F", "?try=skirt.gap%3D3+mm", "/search", "/tolerance", "/spread", "/learn?tests=3", "/pots", "/why", "/why?against=before&now=yes", "/why?now=yes&against=" + found + ":1",
		"/search?study=" + study, "/search?study=" + barren} {
		check("GET", s+"/explore"+path, nil)
	}
	check("POST", s+"/explore/search", url.Values{"air_ratio": {"?"}, "cost": {"1"}})
	check("POST", s+"/explore/search", url.Values{"price.liner": {"1"}, "goal.cost": {"yes"}})
	check("POST", s+"/explore/pots", url.Values{"meals." + id: {"?"}})
	want(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"3 mm"}, "do": {"set"}}), http.StatusSeeOther)
	check("GET", s+"/explore/search", nil)
}
