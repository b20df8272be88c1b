package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	protocol "stovewright/bench"
	"stovewright/fire"
	"stovewright/proof/all"
)

func TestFirePageSaysWhatIsPredicted(t *testing.T) {
	b, id := bench(t)
	body := want(t, request(b, "GET", "/stove/"+id+"/fire", nil), 200, "prediction", "Air ratio", "Computed, not measured",
		"verified, not validated", "Carbon monoxide and particles are not predicted", `id="fire-path"`, "fuel bed", "Where the heat goes",
		"wood before, as fired", "data-later", "Skirt:", "burns in a touch")
	if strings.Contains(body, "nine of ten draws lie between") && strings.Contains(body, "<caption") {
		t.Error("bands are there at once: they must not hold up the page")
	}
}

func TestFirePartsThatTakeTheirTimeComeAfter(t *testing.T) {
	b, id := bench(t)
	later := "/stove/" + id + "/fire/later/"
	want(t, request(b, "GET", later+"bands", nil, byScript...), 200, `id="fire-bands"`, "1000 draws", `id="fire-verdict"`)
	want(t, request(b, "GET", later+"skin", nil, byScript...), 200, `id="fire-skin"`, "Top ring", "Body, hottest side")
	want(t, request(b, "GET", later+"nothing", nil, byScript...), 404)
	want(t, request(b, "GET", later+"bands", nil), http.StatusSeeOther)
	// without a script a link computes the part on the page itself
	want(t, request(b, "GET", "/stove/"+id+"/fire?with=bands", nil), 200, "1000 draws")
}

func TestFireKeepsWhatIsAsked(t *testing.T) {
	b, id := bench(t)
	s := "/stove/" + id + "/fire"
	want(t, request(b, "POST", s+"/key", url.Values{"slide": {"3.2"}}, byScript...), 200, `id="fire-number"`, `value="3.2 kW"`)
	want(t, request(b, "POST", s+"/key", url.Values{"water": {"a bucket"}}, byScript...), 200, "cannot be read")
	body := want(t, request(b, "GET", s, nil), 200, `value="3.2 kW"`, `value="a bucket"`, "Use 5 L")
	if strings.Contains(body, "What went wrong") {
		t.Error("a field that cannot be read stops the page")
	}
	want(t, request(b, "POST", s, url.Values{"do": {"try:water=4 L"}}, byScript...), 200, `value="4 L"`)
	again := New(Config{Workshop: b.Workshop})
	want(t, request(again, "GET", s, nil), 200, `value="3.2 kW"`, `value="4 L"`)
	want(t, request(b, "POST", s, url.Values{"do": {"planned"}}), http.StatusSeeOther)
	if body := want(t, request(b, "GET", s, nil), 200); strings.Contains(body, `value="3.2 kW"`) {
		t.Error("the planned fire still has the user's power")
	}
	want(t, request(b, "POST", s, url.Values{"do": {"burn"}}), 404)
}

func TestCoefficientsTravelWithTheStove(t *testing.T) {
	b, id := bench(t)
	s := "/stove/" + id + "/fire"
	want(t, request(b, "POST", s+"/key", url.Values{"coefficients.wall-film": {"44"}}, byScript...), 200, "1 coefficient is yours", "yours")
	want(t, request(b, "POST", s+"/key", url.Values{"coefficients.no-such": {"44"}}, byScript...), 200)
	want(t, request(b, "POST", s+"/key", url.Values{"coefficients.blockage": {"1.5"}}, byScript...), 200, "out of range")
	w := request(b, "POST", "/stove/"+id+"/copy", url.Values{})
	copied := strings.Split(w.Header().Get("Location"), "/")[2]
	want(t, request(b, "GET", "/stove/"+copied+"/fire", nil), 200, `name="coefficients.wall-film" form="fire-form" value="44"`)
	want(t, request(b, "POST", s, url.Values{"do": {"table:blockage"}}), http.StatusSeeOther)
	want(t, request(b, "POST", s, url.Values{"do": {"table"}}), http.StatusSeeOther)
	if body := want(t, request(b, "GET", s, nil), 200); strings.Contains(body, "is yours, not the table") {
		t.Error("the table is not back")
	}
	want(t, request(b, "GET", "/stove/"+copied+"/fire", nil), 200, "1 coefficient is yours") // its own
	list, err := b.Workshop.History(context.Background(), fireID(copied))
	if err != nil || len(list) == 0 {
		t.Errorf("the fire of the copy is no record: %v", err)
	}
}

// A stove that chokes says where, offers the dimension that opens it and less
// fire, and shows no number.
func TestChokedStoveShowsNoNumber(t *testing.T) {
	b, id := bench(t)
	s := "/stove/" + id
	want(t, request(b, "POST", s+"/fire", url.Values{"power": {"25 kW"}}), http.StatusSeeOther)
	body := want(t, request(b, "GET", s+"/fire", nil), 200, "cannot pull the air", "of the draft", "?dim=", "Burn ", "no prediction to show")
	for _, text := range []string{"tile-value", `class="table test"`, "<svg class=\"drawing", "data-later"} {
		if strings.Contains(body, text) {
			t.Errorf("a stove that chokes shows %s", text)
		}
	}
	want(t, request(b, "GET", s, nil), 200, "cannot pull the air") // the line beside the drawing
	want(t, request(b, "GET", s+"/fire/file/path.svg", nil), 404)
}

func TestDifferenceByCommonDraws(t *testing.T) {
	b, id := bench(t)
	s := "/stove/" + id
	want(t, request(b, "GET", s+"/fire?with=difference", nil), 200, "no other state and no other stove")
	want(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"12 mm"}, "do": {"set"}}), http.StatusSeeOther)
	want(t, request(b, "GET", s+"/fire/later/difference?against=before", nil, byScript...), 200, "less of the heat into the pot", "It has more air", "1000 common draws")
	want(t, request(b, "GET", s+"/fire/later/difference?against=nobody", nil, byScript...), 404)
	w := request(b, "POST", s+"/copy", url.Values{})
	copied := strings.Split(w.Header().Get("Location"), "/")[2]
	want(t, request(b, "GET", s+"/fire?with=difference&against="+copied, nil), 200, "not shown to differ")
}

func TestFireFilesCanBeKept(t *testing.T) {
	b, id := bench(t)
	s := "/stove/" + id + "/fire/file/"
	for _, name := range []string{"path", "balance", "draft", "boil"} {
		want(t, request(b, "GET", s+name+".svg", nil), 200, "<svg", "Computed, not measured")
		want(t, request(b, "GET", s+name+".pdf", nil), 200, "%PDF")
	}
	w := request(b, "GET", s+"test.yaml", nil)
	test, err := protocol.ReadBoiling(w.Body.Bytes())
	if err != nil || test.About.Note != "computed by the model, not measured" || test.About.LeftOut == "" {
		t.Errorf("%v, %+v", err, test.About)
	}
	if _, err := fire.ParseForm(request(b, "GET", s+"fire.yaml", nil).Body.Bytes()); err != nil {
		t.Error(err)
	}
	want(t, request(b, "GET", s+"path.exe", nil), 404)
	want(t, request(b, "GET", s+"other.svg", nil), 404)
}

func TestStovePageFollowsWithItsPrediction(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, `class="predicted"`, "air ratio", "to the boil")
	body := want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"12 mm"}, "do": {"preview"}}, byScript...), 200, "air ratio")
	if !strings.Contains(body, `class="was"`) || !strings.Contains(body, "prediction") {
		t.Error("the preview does not say what the change does to the fire")
	}
	want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"pot.height": {""}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id+"/fire", nil), 200) // no stove: the page says what is lacking
}

// BenchmarkFirePage is the steady part of the page with the boiling test, at a
// firepower not asked for before. The aim is a tenth of a second.
func BenchmarkFirePage(b *testing.B) {
	bn, id := bench(b)
	for i := 0; b.Loop(); i++ {
		power := []string{"3 kW", "3.1 kW", "3.2 kW", "3.3 kW", "3.4 kW", "3.5 kW", "3.6 kW", "3.7 kW", "3.8 kW", "3.9 kW", "4 kW"}[i%11]
		if w := request(bn, "POST", "/stove/"+id+"/fire/key", url.Values{"power": {power}}, byScript...); w.Code != http.StatusOK {
			b.Fatal(w.Code, w.Body)
		}
	}
}

func TestProofGroupsItsChecksBySubject(t *testing.T) {
	b, id := bench(t, func(c *Config) { c.Proof = all.Checks })
	want(t, request(b, "GET", "/proof", nil), 200, `id="model"`, "verified, not validated", "What would validate it", "/stove/"+id+"/fire#fire-findings",
		"The fire", "Heat transfer and walls", "Gas, wood and materials", "Bricks", "Tests and statistics")
}
