package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"stovewright/workshop"
)

// A name that is typed beside a chosen stove is taken, and the sheet says whose it is.
func TestSheetSaysWhoseStoveItIs(t *testing.T) {
	b, stove := bench(t)
	name, _, err := b.stoveName(t.Context(), stove)
	if err != nil {
		t.Fatal(err)
	}
	const here, elsewhere = "a stove of this workshop", "no stove of this workshop goes by this name"
	want(t, request(b, "GET", "/tests", nil), 200, "A name that stands here is taken")
	for typed, says := range map[string]string{"": here, strings.ToUpper(name): here, "Open fire": elsewhere} {
		for kind, page := range map[string]string{"boiling": "/run", "emission": "/form"} {
			place := request(b, "POST", "/tests/new", url.Values{"kind": {kind}, "stove-id": {stove}, "stove": {typed}}).Header().Get("Location")
			body := want(t, request(b, "GET", place, nil), 200, says)
			if !strings.HasSuffix(place, page) || strings.Contains(body, here) && strings.Contains(body, elsewhere) {
				t.Errorf("%s of %q at %s says both", kind, typed, place)
			}
			// it follows what is typed on the sheet
			test := strings.TrimSuffix(place, page)
			want(t, request(b, "POST", test+"/key", url.Values{"about.stove": {"The neighbour's"}}), 200, elsewhere)
			want(t, request(b, "POST", test+"/key", url.Values{"about.stove": {name}}), 200, here)
		}
	}
}

// A test keeps its stove under whatever name that goes by, on the shelf, in the next
// test and in a workshop that was written out and read again.
func TestStoveIsRenamedAndKeepsItsTests(t *testing.T) {
	b, stove := bench(t)
	test := request(b, "POST", "/tests/new", url.Values{"kind": {"boiling"}, "stove-id": {stove}}).Header().Get("Location")
	test = strings.TrimSuffix(test, "/run")
	want(t, request(b, "GET", test+"/file", nil), 200, "stove_record: "+stove)
	plan := request(b, "POST", "/tests/plan", url.Values{"kind": {"boiling"}, "stove-id": {stove}, "stoves": {"Open fire"}}).Header().Get("Location")
	want(t, request(b, "POST", "/stove/"+stove+"/brief", url.Values{"name": {"Upland, second"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests", nil), 200, "Upland, second", "/stove/"+stove)
	want(t, request(b, "GET", test+"/file", nil), 200, "stove: Upland, second", "stove_record: "+stove)
	want(t, request(b, "GET", test, nil), 200, `<h1 translate="no">Upland, second · 1`)
	// a plan goes by its stoves, until it is given a name of its own
	want(t, request(b, "GET", plan, nil), 200, `<h1 translate="no">Upland, second · Open fire</h1>`)
	want(t, request(b, "GET", "/tests/plan", nil), 200, `href="`+plan+`" translate="no">Upland, second · Open fire</a>`)
	want(t, request(b, "POST", plan, url.Values{"name": {"Gaps"}}), http.StatusSeeOther)
	want(t, request(b, "GET", plan, nil), 200, `<h1 translate="no">Gaps</h1>`)

	// a test that is brought in under the name is linked too, and one of a stove from
	// elsewhere keeps its name
	sheet := "test: boiling\nabout: {stove: %s}\n"
	for name, linked := range map[string]bool{"upland, second": true, "the neighbour's": false} {
		to := request(b, "POST", "/tests/import", url.Values{"document": {strings.Replace(sheet, "%s", "\""+name+"\"", 1)}}).Header().Get("Location")
		body := want(t, request(b, "GET", to+"/file", nil), 200, "stove:")
		if strings.Contains(body, "stove_record: "+stove) != linked {
			t.Errorf("%s: %s", name, body)
		}
	}

	dir := t.TempDir()
	if err := b.Workshop.Export(t.Context(), dir+"/out"); err != nil {
		t.Fatal(err)
	}
	again, err := workshop.Create(t.Context(), dir+"/again.stovewright")
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if _, err := again.ImportFolder(t.Context(), dir+"/out"); err != nil {
		t.Fatal(err)
	}
	c := New(Config{Workshop: again})
	want(t, request(c, "POST", "/stove/"+stove+"/brief", url.Values{"name": {"Upland, third"}}), http.StatusSeeOther)
	want(t, request(c, "GET", "/tests", nil), 200, "Upland, third")
	want(t, request(c, "GET", test+"/file", nil), 200, "stove: Upland, third")
}
