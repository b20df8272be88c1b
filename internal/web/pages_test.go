package web

import (
	"archive/zip"
	"bytes"
	"context"
	"html/template"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"stovewright/message"
	"stovewright/stove"
	"stovewright/workshop"
)

// want fails unless a page has a status and holds some texts.
func want(t *testing.T, w *httptest.ResponseRecorder, status int, texts ...string) string {
	t.Helper()
	body := w.Body.String()
	if w.Code != status {
		t.Errorf("status %d, want %d\n%s", w.Code, status, excerpt(body))
	}
	for _, text := range texts {
		if !strings.Contains(body, text) {
			t.Errorf("page lacks %q\n%s", text, excerpt(body))
		}
	}
	return body
}

func excerpt(s string) string { return s[:min(len(s), 3000)] }

func TestOpensOnTheExample(t *testing.T) {
	b, id := bench(t)
	w := request(b, "GET", "/", nil)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/stove/"+id {
		t.Fatalf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "Hill-farm kitchen", "Invented example", `data-key="skirt.gap"`)
}

func TestEmptyWorkshopOffersAStart(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "POST", "/stove/"+id+"/delete", url.Values{}), http.StatusSeeOther)
	w := request(b, "GET", "/", nil)
	if w.Header().Get("Location") != "/workshop" {
		t.Errorf("to %q", w.Header().Get("Location"))
	}
	want(t, request(b, "GET", "/workshop", nil), 200, "New brief", "Bring back")
	want(t, request(b, "POST", "/stove/"+id+"/undelete", url.Values{}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "Hill-farm kitchen")
}

// Without a script the whole form is sent; what cannot be read comes back as it
// was typed, with the complaint beside it.
func TestNothingTypedIsLost(t *testing.T) {
	b, id := bench(t)
	form := url.Values{"pot.circumference": {"seventy-five"}, "pot.height": {"170"}, "name": {"  Tía's <pot> & “co”  "}}
	want(t, request(b, "POST", "/stove/"+id+"/brief", form), http.StatusSeeOther)
	body := want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, `value="seventy-five"`, `value="170"`,
		`value="  Tía&#39;s &lt;pot&gt; &amp; “co”  "`)
	message := regexp.MustCompile(`(?s)id="msg-pot.circumference".*?</div>`).FindString(body)
	for _, text := range []string{"cannot be read", "allowed", "30.0&nbsp;cm", "Use 75.4 cm"} {
		if !strings.Contains(strings.ReplaceAll(message, "\u00a0", "&nbsp;"), text) {
			t.Errorf("the complaint lacks %q: %s", text, message)
		}
	}
	if !strings.Contains(regexp.MustCompile(`(?s)id="msg-pot.height".*?</div>`).FindString(body), "out of range") {
		t.Error("170 cm is no height of a pot, but nothing says so")
	}
	// the stove page shows the last stove that could be drawn, and says so
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "as it was before", `data-key="skirt.gap"`, "cannot be built")
}

func TestKeysAreSavedAndSurviveTheProgram(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "POST", "/stove/"+id+"/brief/key", url.Values{"pot.circumference": {"8"}}, byScript...), 200, "out of range")
	want(t, request(b, "POST", "/stove/"+id+"/brief/key", url.Values{"pot.circumference": {"80 cm"}}, byScript...), 200, "255")
	again := New(Config{Workshop: b.Workshop}) // as after a power cut: only the file is left
	want(t, request(again, "GET", "/stove/"+id+"/brief", nil), 200, `value="80 cm"`, "Saved as you type")
	if n := revisions(t, again, id); n != 1 {
		t.Errorf("%d revisions while typing, want the first only", n)
	}
	want(t, request(again, "GET", "/stove/"+id, nil), 200)
	if n := revisions(t, again, id); n != 2 {
		t.Errorf("%d revisions after the form was left, want 2", n)
	}
}

func revisions(t *testing.T, b *Bench, id string) int {
	t.Helper()
	list, err := b.Workshop.History(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return len(list)
}

func TestListsGrowAndShrinkWithoutScript(t *testing.T) {
	b, id := bench(t)
	post := func(form url.Values) { want(t, request(b, "POST", "/stove/"+id+"/brief", form), http.StatusSeeOther) }
	post(url.Values{"do": {"add:more_pots"}})
	post(url.Values{"do": {"add:more_pots"}})
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, `name="more_pots[2].height"`)
	// an empty pot stops nothing; a complaint about the second stays at the second
	post(url.Values{"more_pots[2].name": {"sauce pot"}, "more_pots[2].circumference": {"60 cm"}, "more_pots[2].height": {"12 cm"}, "more_pots[2].handle_height": {"30 cm"}})
	body := want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200)
	if !strings.Contains(regexp.MustCompile(`(?s)id="msg-more_pots\[2\].handle_height".*?</div>`).FindString(body), "cannot be higher") {
		t.Error("no complaint beside the handles of the second pot")
	}
	post(url.Values{"more_pots[2].handle_height": {"10 cm"}, "do": {"remove:more_pots[1]"}})
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, `name="more_pots[1].name" value="sauce pot"`)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "sauce pot", "falls between the rods", "Other pot 1: Circumference")
	post(url.Values{"do": {"remove:more_pots[1]"}})
	want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"do": {"remove:more_pots[7]"}}), http.StatusNotFound)
	want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"do": {"add:pot"}}), http.StatusNotFound)
}

func TestDimensionIsChangedShownAndUndone(t *testing.T) {
	b, id := bench(t)
	set := func(value string, more ...string) *httptest.ResponseRecorder {
		form := url.Values{"dim": {"skirt.gap"}, "value": {value}, "do": {"set"}}
		for i := 0; i+1 < len(more); i += 2 {
			form.Set(more[i], more[i+1])
		}
		return request(b, "POST", "/stove/"+id+"/set", form)
	}
	want(t, set("11 mm", "why", "it smoked"), http.StatusSeeOther)
	body := want(t, request(b, "GET", "/stove/"+id, nil), 200, "it smoked", "Undo this change")
	changes := between(body, `id="changes"`, `id="checks"`)
	for _, text := range []string{"Skirt gap", "8.0\u00a0mm", "11.0\u00a0mm", "Skirt inside diameter", "262.0\u00a0mm"} {
		if !strings.Contains(changes, text) {
			t.Errorf("the list of changes lacks %q", text)
		}
	}
	w := set("99 mm")
	want(t, w, http.StatusUnprocessableEntity, `value="99 mm"`, "out of range", "<dialog id=\"dialog\" class=\"dialog\" aria-labelledby=\"panel-title\" open>")
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "262.0\u00a0mm")

	want(t, request(b, "POST", "/stove/"+id+"/undo", url.Values{"from": {"stove"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "Undone", "256.0\u00a0mm")
	want(t, request(b, "POST", "/stove/"+id+"/redo", url.Values{"from": {"stove"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "Done again", "262.0\u00a0mm")
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "do": {"rule"}}), http.StatusSeeOther)
	d, err := b.load(context.Background(), id)
	if err != nil || d.Form.Yours != nil || d.Stove.Dimension("skirt.gap").Origin != stove.Rule {
		t.Errorf("not back at the rule: %v %v", d.Form.Yours, err)
	}
}

func between(s, from, to string) string {
	_, s, _ = strings.Cut(s, from)
	s, _, _ = strings.Cut(s, to)
	return s
}

func TestPanelIsThereWithoutScript(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "GET", "/stove/"+id+"?dim=chamber.width", nil), 200, "open>", `name="value" value="110`, "Can be 50")
	want(t, request(b, "GET", "/stove/"+id+"?dim=stove.mass", nil), 200, "It is a result")
	want(t, request(b, "GET", "/stove/"+id+"?dim=pot.diameter", nil), 200, "brief#pot.circumference")
	want(t, request(b, "GET", "/stove/"+id+"?dim=no.such", nil), http.StatusNotFound)
	// every dimension has a panel
	d, _ := b.load(context.Background(), id)
	for _, dim := range d.Stove.Dimensions {
		want(t, request(b, "GET", "/stove/"+id+"?dim="+dim.ID, nil, byScript...), 200, `id="panel-title"`)
	}
}

// A follower can be set too; the choice that drives it moves. The later of two
// settings of one choice holds.
func TestLaterSettingOfOneChoiceHolds(t *testing.T) {
	b, id := bench(t)
	for _, set := range [][2]string{{"skirt.inner", "262 mm"}, {"skirt.gap", "9 mm"}, {"skirt.length", "850 mm"}, {"skirt.inner", "264 mm"}} {
		want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {set[0]}, "value": {set[1]}, "do": {"set"}}), http.StatusSeeOther)
		d, err := b.load(context.Background(), id)
		if err != nil || d.Stove == nil || len(d.Form.Yours) != 1 || d.Form.Yours[set[0]] != set[1] {
			t.Fatalf("after %v: %v %v %v", set, d.Form.Yours, d.Complaints, err)
		}
	}
}

func TestPreviewSavesNothing(t *testing.T) {
	b, id := bench(t)
	w := request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"4 mm"}, "do": {"preview"}}, byScript...)
	want(t, w, 200, "Skirt inside diameter", "Warning", "expect smoke")
	if n := revisions(t, b, id); n != 1 {
		t.Errorf("a preview made %d revisions", n-1)
	}
}

// A changed pot can put an override out of its range. Then there is no stove,
// but the page says which value stands in the way and mends it on the spot.
func TestOverrideThatNoLongerFitsIsMendedOnTheSpot(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"rest.offset"}, "value": {"110 mm"}, "do": {"set"}}), http.StatusSeeOther)
	want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"pot.circumference": {"50 cm"}, "pot.fill": {"2 L"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, "cannot be built", "Rods from the centre", `name="value" value="110`)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"rest.offset"}, "value": {"still wrong"}, "do": {"set"}}),
		http.StatusUnprocessableEntity, `value="still wrong"`)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"rest.offset"}, "do": {"rule"}}), http.StatusSeeOther)
	body := want(t, request(b, "GET", "/stove/"+id, nil), 200)
	if strings.Contains(body, "cannot be built") {
		t.Error("still broken")
	}
}

func TestGapRuleIsChosenBesideTheOthers(t *testing.T) {
	b, id := bench(t)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}, "do": {"set"}}), http.StatusSeeOther)
	want(t, request(b, "POST", "/stove/"+id+"/choose", url.Values{"gap": {"trade"}}), http.StatusSeeOther)
	d, err := b.load(context.Background(), id)
	if err != nil || d.Stove == nil {
		t.Fatal(err, d.Complaints)
	}
	if v := d.Stove.Value("skirt.gap"); v.Number() != "12.0" {
		t.Errorf("gap %v, want the trade's 12 mm", v)
	}
}

func TestProgramSaysWhenSomebodyElseChangedTheStove(t *testing.T) {
	ctx := context.Background()
	b, id := bench(t)
	want(t, request(b, "POST", "/stove/"+id+"/brief/key", url.Values{"name": {"mine"}}, byScript...), 200)
	rec, err := b.Workshop.Get(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	other := strings.Replace(string(rec.Head.Content), "beans pot", "maize pot", 1)
	if _, err := b.Workshop.Save(ctx, workshop.Edit{Record: id, Base: rec.Head.ID, Name: "theirs", Content: []byte(other), By: workshop.By{Who: "Amina"}}); err != nil {
		t.Fatal(err)
	}
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, "Amina", "Keep what is typed here", `value="mine"`)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}}), http.StatusConflict)
	want(t, request(b, "POST", "/stove/"+id+"/settle", url.Values{"do": {"mine"}, "from": {"brief"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, `value="mine"`)
	want(t, request(b, "GET", "/stove/"+id, nil), 200)
	want(t, request(b, "GET", "/stove/"+id+"/history", nil), 200, "Amina")
}

func TestWorkshopTakesAndGivesFiles(t *testing.T) {
	b, id := bench(t)
	file := request(b, "GET", "/stove/"+id+"/file", nil)
	want(t, file, 200, "circumference: 75.4 cm")
	if d := file.Header().Get("Content-Disposition"); !strings.Contains(d, "hill-farm-kitchen-beans-pot.yaml") {
		t.Error(d)
	}
	want(t, request(b, "POST", "/workshop/import", url.Values{"document": {file.Body.String()}}), http.StatusSeeOther)
	bad := "pot:\n  circumferance: 75 cm\n"
	want(t, request(b, "POST", "/workshop/import", url.Values{"document": {bad}}), http.StatusUnprocessableEntity, "circumferance", "circumference")
	want(t, request(b, "POST", "/workshop/import", url.Values{"document": {" "}}), http.StatusUnprocessableEntity, "no brief here")

	export := request(b, "GET", "/workshop/export", nil)
	want(t, export, 200)
	z, err := zip.NewReader(bytes.NewReader(export.Body.Bytes()), int64(export.Body.Len()))
	if err != nil || len(z.File) < 3 {
		t.Fatal(err)
	}
	other, _ := bench(t)
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, _ := form.CreateFormFile("file", "copy.zip")
	part.Write(export.Body.Bytes())
	form.Close()
	r := httptest.NewRequest("POST", "http://127.0.0.1/workshop/restore", &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	other.ServeHTTP(w, r)
	want(t, w, 200, "2 new")

	want(t, request(b, "POST", "/workshop/who", url.Values{"who": {"Amina"}}), http.StatusSeeOther)
	want(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id+"/history", nil), 200, "Amina", "Skirt gap")
}

// A document that is no brief (an edited export, say) is shown with what is
// wrong and can be mended, not hidden behind an error.
func TestBrokenDocumentCanBeMended(t *testing.T) {
	b, id := bench(t)
	ctx := context.Background()
	rec, _ := b.Workshop.Get(ctx, id)
	if _, err := b.Workshop.Save(ctx, workshop.Edit{Record: id, Base: rec.Head.ID, Name: "x", Content: []byte("pott: 1\n")}); err != nil {
		t.Fatal(err)
	}
	want(t, request(b, "GET", "/stove/"+id, nil), http.StatusUnprocessableEntity, "pott: 1", "pot")
	want(t, request(b, "GET", "/workshop", nil), 200)
	want(t, request(b, "POST", "/stove/"+id+"/repair", url.Values{"document": {"pot: {circumference: 80 cm, height: 17 cm, handle_height: 13 cm}"}}), http.StatusSeeOther)
	want(t, request(b, "GET", "/stove/"+id, nil), 200, `data-key="skirt.gap"`)
}

// What the form shows as a default must be what happens when it is typed.
func TestDefaultsAreWhatTheyClaim(t *testing.T) {
	var plain stove.Form
	for path, text := range map[string]string{"pot.circumference": "75.4 cm", "pot.height": "17 cm", "pot.handle_height": "13.5 cm"} {
		writeSlot(&plain, path, text)
	}
	addItem(&plain, "at_hand.bodies")
	addItem(&plain, "at_hand.sheets")
	for path, text := range map[string]string{"at_hand.bodies[1].diameter": "40 cm", "at_hand.bodies[1].height": "60 cm",
		"at_hand.sheets[1].width": "1 m", "at_hand.sheets[1].length": "2 m", "at_hand.sheets[1].thickness": "0.8 mm"} {
		writeSlot(&plain, path, text)
	}
	_, before, complaints := sizeForm(plain)
	if before == nil {
		t.Fatal(complaints)
	}
	for path, text := range defaultTexts {
		typed := plain
		typed.AtHand.Bodies = append([]stove.BodyForm(nil), plain.AtHand.Bodies...)
		typed.AtHand.Sheets = append([]stove.SheetForm(nil), plain.AtHand.Sheets...)
		if path == "fuel.moisture" {
			typed.Fuel.MoistureBasis = defaultTexts["fuel.moisture_basis"]
		}
		at := strings.NewReplacer("bodies.", "bodies[1].", "sheets.", "sheets[1].").Replace(path)
		if !writeSlot(&typed, at, text) {
			t.Errorf("no field %s", at)
			continue
		}
		_, after, complaints := sizeForm(typed)
		if after == nil {
			t.Errorf("%s: %q is refused: %v", path, text, complaints)
			continue
		}
		if changed := stove.Compare(before, after); len(changed) > 0 {
			t.Errorf("%s: typing the default %q changes %v", path, text, changed)
		}
		if before.Dimension("skirt.gap").Spread != after.Dimension("skirt.gap").Spread {
			t.Errorf("%s: typing the default %q changes the spread of the gap", path, text)
		}
	}
}

func TestNumbersOnTheDrawingHaveTheirWords(t *testing.T) {
	b, id := bench(t)
	d, err := b.load(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	svg := string(b.drawing(d.Stove, "section"))
	group := regexp.MustCompile(`(?s)<g class="note" data-key="([a-z]+)".*?>(\d+)</text>`)
	found := group.FindAllStringSubmatch(svg, -1)
	if len(found) < 8 {
		t.Fatalf("only %d numbered parts on the section", len(found))
	}
	for _, m := range found {
		n := 0
		for _, r := range m[2] {
			n = 10*n + int(r-'0')
		}
		if n < 1 || n > len(callouts) || callouts[n-1] != m[1] {
			t.Errorf("number %s on the drawing is %s, the list says otherwise", m[2], m[1])
		}
	}
}

func TestHandySteps(t *testing.T) {
	b, id := bench(t)
	d, _ := b.load(context.Background(), id)
	for dim, want := range map[string][2]string{
		"skirt.gap":     {"7.5\u00a0mm", "8.5\u00a0mm"}, // 0.5 is the round step below a tenth of 8
		"chamber.width": {"100\u00a0mm", "120\u00a0mm"},
		"brick.courses": {"2", "4"},
		"brick.joint":   {"1.8\u00a0mm", "2.2\u00a0mm"},
	} {
		p, err := b.panelFor(d, dim)
		if err != nil {
			t.Fatal(err)
		}
		if p.Less != want[0] || p.More != want[1] {
			t.Errorf("%s: steps %q and %q, want %v", dim, p.Less, p.More, want)
		}
	}
}

func TestEveryMessageIsThere(t *testing.T) {
	b, id := bench(t)
	for _, path := range allPages(id) {
		body := request(b, "GET", path, nil).Body.String()
		if i := strings.Index(body, "«"); i >= 0 {
			t.Errorf("%s: %s", path, body[i:min(len(body), i+60)])
		}
	}
	c := message.English()
	for _, f := range stove.Fields {
		if f.Path != "yours" && !c.Has("web.field."+f.Path) {
			t.Errorf("field %s has no name", f.Path)
		}
		for _, word := range f.Options {
			if id := wordOf(f.Path, word).ID; !c.Has(id) {
				t.Errorf("word %s of %s has no name (%s)", word, f.Path, id)
			}
		}
	}
}

func TestEveryFieldOfTheBriefIsOnThePage(t *testing.T) {
	b, id := bench(t)
	for _, list := range lists {
		want(t, request(b, "POST", "/stove/"+id+"/brief", url.Values{"do": {"add:" + list}}), http.StatusSeeOther)
	}
	body := want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200)
	for _, f := range stove.Fields {
		name := strings.NewReplacer("bodies.", "bodies[1].", "sheets.", "sheets[1].").Replace(f.Path)
		if f.Path != "yours" && !strings.Contains(body, `name="`+name+`"`) {
			t.Errorf("%s cannot be filled in", f.Path)
		}
	}
}

func allPages(id string) []string {
	s := "/stove/" + id
	return []string{s, s + "?view=plans", s + "?view=top", s + "?view=exploded", s + "?dim=skirt.gap", s + "?dim=chamber.area", s + "?dim=stove.mass",
		s + "/brief", s + "/fire", s + "/fire?with=skin", s + "/kit", s + "/kit/pattern/skirt.blank", s + "/kit/pattern/mould.ring", s + "/history", "/workshop", "/proof", "/no-such-page"}
}

// A number with a unit that is not known is offered in the field's own unit,
// where it would be accepted; and what stands in the way is named.
func TestNumberOfWrongUnitIsKept(t *testing.T) {
	b, id := bench(t)
	for typed, offered := range map[string]string{
		"92 hands": "92 cm", "92,5 palms": "92,5 cm", "36½ spans": "36½ cm", "9 hands": "75.4 cm", "about 92": "75.4 cm"} {
		body := want(t, request(b, "POST", "/stove/"+id+"/brief/key", url.Values{"pot.circumference": {typed}}), 200,
			">Circumference: ")
		if !strings.Contains(body, `value="try:pot.circumference=`+offered+`"`) {
			t.Errorf("%s: %s is not offered: %s", typed, offered, regexp.MustCompile(`value="try:[^"]*"`).FindString(body))
		}
	}
}

// Whoever makes the kit reads what speaks against the stove, as on its page.
func TestKitWarns(t *testing.T) {
	b, id := bench(t)
	d, err := b.load(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	body := want(t, request(b, "GET", "/stove/"+id+"/kit", nil), 200)
	warned := 0
	for _, c := range d.Stove.Checks {
		if c.Level != stove.Note {
			warned++
			if !strings.Contains(body, template.HTMLEscapeString(b.Catalogue.Say(c.Text))) {
				t.Errorf("the kit says nothing of %s", c.ID)
			}
		}
	}
	if warned == 0 {
		t.Error("the example is meant to warn of something")
	}
}

// An example offers an empty brief, as long as it goes by the example's name.
func TestExampleOffersEmptyBrief(t *testing.T) {
	b, id := bench(t)
	const offer = "Start your own with an empty brief"
	want(t, request(b, "GET", "/stove/"+id+"/brief", nil), 200, offer)
	body := want(t, request(b, "POST", "/stove/"+id+"/brief/key", url.Values{"name": {"Our kitchen"}}), 200)
	if strings.Contains(body, offer) {
		t.Error("a brief with a name of its own is called an example")
	}
	own := request(b, "POST", "/workshop/new", url.Values{})
	body = want(t, request(b, "GET", own.Header().Get("Location"), nil), 200)
	if strings.Contains(body, offer) || strings.Contains(body, "Invented example") {
		t.Error("an empty brief is called an example")
	}
}
