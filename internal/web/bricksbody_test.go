package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"stovewright/brick"
)

// A stove is lined with a body by its name: the numbers of a trial are written
// into the brief, go when another body is named, and a name that no series has
// is asked about.
func TestStoveTakesItsOwnBrick(t *testing.T) {
	b, id := bench(t)
	exampleOf(t, b, brick.SeriesPaper)
	list, err := b.sheets(t.Context(), seriesPaper)
	if err != nil || len(list) == 0 {
		t.Fatal(err)
	}
	names := list[0].Value.(brick.Series).BodyNames()
	set := func(name string) {
		want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"at_hand.brick.body": {name}}), http.StatusSeeOther)
	}
	form := func() (name, density, shrinkage string) {
		d, err := b.load(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		k := d.Form.AtHand.Brick
		return k.Body, k.Density, k.DryShrinkage
	}
	set(strings.ToUpper(names[0]))
	name, first, shrinkage := form()
	if name != names[0] || !strings.HasSuffix(first, "g/cm³") || strings.Count(shrinkage, " x ") != 2 {
		t.Fatalf("%q %q %q", name, first, shrinkage)
	}
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "measured on "+names[0])
	set(names[1])
	if name, density, _ := form(); name != names[1] || density == first || density == "" {
		t.Errorf("%q is as dense as the one before: %q", name, density)
	}
	set("a brick of nobody")
	if _, density, shrinkage := form(); density != "" || shrinkage != "" {
		t.Errorf("numbers of another body stay: %q %q", density, shrinkage)
	}
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, "nothing is known of a brick of nobody")
	set("")
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "usual for ")
}
