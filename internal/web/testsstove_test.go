package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"stovewright/workshop"
)

// A test keeps its stove under whatever name that goes by, on the shelf, in the next
// test and in a workshop that was written out and read again.
func TestStoveIsRenamedAndKeepsItsTests(t *testing.T) {
	b, stove := bench(t)
	test := request(b, "POST", "/tests/new", url.Values{"kind": {"boiling"}, "stove-id": {stove}}).Header().Get("Location")
	test = strings.TrimSuffix(test, "/run")
	want(t, request(b, "GET", test+"/file", nil), 200, "stove_record: "+stove)
	want(t, request(b, "POST", "/stove/"+stove+"/brief", url.Values{"name": {"Upland, second"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/tests", nil), 200, "Upland, second", "/stove/"+stove)
	want(t, request(b, "GET", test+"/file", nil), 200, "stove: Upland, second", "stove_record: "+stove)

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
