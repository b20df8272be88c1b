package web

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"stovewright/explore"
	"stovewright/workshop"
)

// shows is want with the blanks of values as plain ones.
func shows(t *testing.T, w *httptest.ResponseRecorder, status int, texts ...string) string {
	t.Helper()
	body := strings.ReplaceAll(w.Body.String(), "\u00a0", " ")
	if w.Code != status {
		t.Errorf("status %d, want %d\n%s", w.Code, status, excerpt(body))
	}
	for _, text := range texts {
		if !strings.Contains(body, text) {
			t.Errorf("page lacks %q\n%s", text, mainOf(body))
		}
	}
	return body
}

// mainOf is the matter of a page.
func mainOf(body string) string {
	_, matter, _ := strings.Cut(body, "<main")
	return excerpt(matter)
}

// exploring is a bench whose studies end with the test.
func exploring(tb testing.TB, change ...func(*Config)) (*Bench, string) {
	tb.Helper()
	b, id := bench(tb, change...)
	tb.Cleanup(b.studies.close)
	return b, id
}

// started asks a question and gives the record of the study.
func started(t *testing.T, b *Bench, id, question string, settings url.Values) string {
	t.Helper()
	w := request(b, "POST", "/stove/"+id+"/explore/"+question, settings)
	_, rest, ok := strings.Cut(w.Header().Get("Location"), "?study=")
	if w.Code != http.StatusSeeOther || !ok {
		t.Fatalf("not started: %d %s", w.Code, excerpt(w.Body.String()))
	}
	study, _, _ := strings.Cut(rest, "#")
	return study
}

// finished waits for a study to end.
func finished(t *testing.T, b *Bench, study string) asked {
	t.Helper()
	for end := time.Now().Add(3 * time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		a, err := b.loadStudy(context.Background(), study)
		if err != nil {
			t.Fatal(err)
		}
		if !a.Under() {
			return a
		}
	}
	t.Fatal("the study does not come to an end")
	return asked{}
}

// far waits until a study has a part of its batches behind it.
func far(t *testing.T, b *Bench, study string) {
	t.Helper()
	for end := time.Now().Add(3 * time.Minute); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		a, err := b.loadStudy(context.Background(), study)
		if err != nil || !a.Under() {
			t.Fatalf("the study ended before it could be stopped: %s %v", a.State, err)
		}
		if a.Doc.Done*5 > a.Doc.Total {
			return
		}
	}
	t.Fatal("the study does not come on")
}

func TestExploreSaysWhatPaysMost(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore"
	shows(t, request(b, "GET", s, nil), 200, "computed, not measured", "heat goes into the pot", "What the model is unsure of",
		"dents that narrow the skirt gap", `class="drawing"`, `aria-current="true"><span class="tile-name">Efficiency`)
	shows(t, request(b, "GET", s+"?metric=boil-time", nil), 200, "more: the boil comes", `aria-current="true"><span class="tile-name">Boils in`)
}

// What is tried changes the numbers and nothing else, until it is kept; undo takes
// it back like a change on the drawing.
func TestTriedIsKeptOrDropped(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore"
	body := shows(t, request(b, "GET", s+"?try=skirt.gap%3D9.5+mm", nil), 200, "One change is tried", "Keep on the stove", `class="tile-change"`, `value="9.5 mm"`)
	if strings.Contains(body, `<span class="tile-value">43.2`) {
		t.Error("the numbers did not follow")
	}
	if n := revisions(t, b, id); n != 1 {
		t.Fatalf("trying made %d revisions", n-1)
	}
	// the form without a script: only what was changed is tried, and stands in the address
	w := request(b, "GET", s+"?form=yes&metric=wood&skirt.gap=10+mm&was.skirt.gap=8.0+mm&gap.throat=28+mm&was.gap.throat=28+mm", nil)
	if at := w.Header().Get("Location"); w.Code != http.StatusSeeOther || at != s+"?metric=wood&try=skirt.gap%3D10+mm" {
		t.Errorf("%d to %s", w.Code, at)
	}
	// a step of the script
	shows(t, request(b, "GET", s+"?form=yes&step=skirt.gap%3D8.5+mm", nil, byScript...), 200, `id="try-row-skirt.gap"`, `data-address="/stove/`, "8.5 mm")
	// what cannot be is said beside the field, and cannot be kept
	shows(t, request(b, "GET", s+"?try=skirt.gap%3Da+span", nil), 200, `value="a span"`, "cannot be read", `<button class="primary" disabled>`)
	shows(t, request(b, "POST", s+"/keep", url.Values{"try": {"skirt.gap=a span"}}), http.StatusUnprocessableEntity, "cannot be read")
	shows(t, request(b, "POST", s+"/keep", url.Values{"try": {"skirt.gap=9.5 mm", "chamber.width=115 mm"}}), http.StatusSeeOther)
	if d, _ := b.load(context.Background(), id); d.Form.Yours["skirt.gap"] != "9.5 mm" || d.Form.Yours["chamber.width"] != "115 mm" {
		t.Errorf("not kept: %v", d.Form.Yours)
	}
	if n := revisions(t, b, id); n != 2 {
		t.Errorf("keeping made %d revisions, want one", n-1)
	}
	w = request(b, "POST", "/stove/"+id+"/undo", url.Values{"from": {"explore"}})
	if at := w.Header().Get("Location"); at != s {
		t.Errorf("undo leads to %s", at)
	}
	if d, _ := b.load(context.Background(), id); d.Form.Yours["skirt.gap"] != "" {
		t.Error("undo did not take it back")
	}
}

func TestChokedStoveIsNotExplored(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id
	first, last := started(t, b, id, "search", searchSettings), started(t, b, id, "search", url.Values{"effort": {"quick"}})
	finished(t, b, first)
	finished(t, b, last)
	shows(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"3 mm"}, "do": {"set"}}), http.StatusSeeOther)
	for _, q := range explorePages {
		page := s + "/explore/" + q
		if q == paysPage {
			page = s + "/explore"
		}
		body := shows(t, request(b, "GET", page, nil), 200, "cannot pull the air", "?dim=")
		if q == "search" { // it may mend the stove
			continue
		}
		if strings.Contains(body, `id="settings"`) || strings.Contains(body, `data-try`) || strings.Contains(body, `form="settings"`) || strings.Contains(body, `"#settings"`) {
			t.Errorf("%s asks a stove that chokes", q)
		}
	}
	// what was asked before is still there, and its stoves open
	shows(t, request(b, "GET", s+"/explore/search", nil), 200, "cannot pull the air", "have changed since", `data-card="design-1"`, "/explore/search?study="+first)
	shows(t, request(b, "GET", s+"/explore/search?study="+first, nil), 200, "stoves were tried", "/explore/search?study="+last)
	shows(t, request(b, "GET", s+"/explore/search/"+first+"/file/answer.txt", nil), 200, "Computed")
	shows(t, request(b, "POST", s+"/explore/search/"+first+"/open", url.Values{"design": {"1"}}), http.StatusSeeOther)
	for _, q := range []string{"tolerance", "spread"} {
		w := request(b, "POST", s+"/explore/"+q, url.Values{"effort": {"quick"}})
		if strings.Contains(w.Header().Get("Location"), "study=") {
			t.Errorf("%s began on a stove that chokes", q)
		}
	}
	// a change that would choke it is said so, without numbers
	shows(t, request(b, "POST", s+"/undo", url.Values{"from": {"explore"}}), http.StatusSeeOther)
	shows(t, request(b, "GET", s+"/explore?try=skirt.gap%3D3+mm", nil), 200, "cannot pull its air")
	shows(t, request(b, "POST", s+"/brief", url.Values{"pot.height": {""}}), http.StatusSeeOther)
	shows(t, request(b, "GET", s+"/explore", nil), 200) // no stove: the page says what is lacking
	shows(t, request(b, "GET", s+"/explore/search", nil), 200)
	shows(t, request(b, "GET", s+"/explore/why", nil), 200)
}

// A stove that chokes as it is drawn can be searched from: the search finds such as
// burn, which open.
func TestSearchMendsAStoveThatChokes(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id
	shows(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"3 mm"}, "do": {"set"}}), http.StatusSeeOther)
	shows(t, request(b, "GET", s+"/explore/search", nil), 200, "cannot pull the air", "a search may find one that does", `id="settings"`, "Not asked yet")
	study := started(t, b, id, "search", searchSettings)
	finished(t, b, study)
	body := shows(t, request(b, "GET", s+"/explore/search", nil), 200, "cannot pull the air", `id="settings"`, `data-card="design-1"`, "3.0 mm</span> →")
	if strings.Contains(body, "Put beside") {
		t.Error("a stove that chokes is to be compared")
	}
	w := request(b, "POST", s+"/explore/search/"+study+"/open", url.Values{"design": {"1"}})
	if body := shows(t, request(b, "GET", w.Header().Get("Location")+"/explore", nil), 200, "What a step does"); strings.Contains(body, "cannot pull the air") {
		t.Error("what was found chokes too")
	}
}

// A search says which limits it was held to, whatever came of it; one that found
// nothing says so only when it has looked.
func TestSearchSaysItsLimits(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/search"
	settings := url.Values{"effort": {"quick"}, "weight": {"3 kg"}, "height": {"45 cm"}, "skin": {"80 °C"}, "time": {"25 min"}, "at_hand": {"yes"}, "price.sheet": {"30"}, "cost": {"500"}}
	limits := []string{"Air ratio at least: 1.8", "Kept in so many cases: 90 %", "To the boil within: 25 min", "Side no hotter than: 80 °C", "Rim no higher than: 450 mm", "No heavier than: 3.0 kg",
		"Costs no more than: 500", "Sheets: no more than now"}
	// stopped before the first generation was done
	for range cap(b.studies.desks) { // others sit at all of them
		b.studies.desks <- struct{}{}
	}
	study := started(t, b, id, "search", settings)
	shows(t, request(b, "POST", s+"/"+study+"/stop", url.Values{}), http.StatusSeeOther)
	body := shows(t, request(b, "GET", s, nil), 200, append(limits, "Stopped.", "Too little is done")...)
	if strings.Contains(body, "keeps all limits") || strings.Contains(body, "stoves were tried") {
		t.Error("a search that has not begun says that it found nothing")
	}
	shows(t, request(b, "POST", s+"/"+study+"/go", url.Values{}), http.StatusSeeOther)
	for range cap(b.studies.desks) {
		<-b.studies.desks
	}
	finished(t, b, study)
	shows(t, request(b, "GET", s, nil), 200, append(limits, "Done.", "No stove keeps all limits. Loosen", "the one that comes closest:", "The weight is ")...)
	shows(t, request(b, "GET", s+"/"+study+"/file/answer.txt", nil), 200, append(limits, "No stove keeps all limits", "at most 3.0 kg is allowed")...)
	// and with what was found; what is not set is no limit
	finished(t, b, started(t, b, id, "search", searchSettings))
	body = shows(t, request(b, "GET", s, nil), 200, limits[0], limits[1], `data-card="design-1"`)
	if strings.Contains(body, limits[5]) || strings.Contains(body, "Costs no more than: ") {
		t.Error("a limit is said that was not set")
	}
}

// What the brief sets itself is offered to be left as it is, by itself or by what it
// follows from; a search changes the rest.
func TestSearchLeavesWhatItIsTold(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id
	if body := shows(t, request(b, "GET", s+"/explore/search", nil), 200); strings.Contains(body, "What you set yourself") {
		t.Error("something is offered to be left where nothing is set")
	}
	for dim, value := range map[string]string{"skirt.inner": "262 mm", "brick.thickness": "60 mm", "rest.height": "24 mm"} {
		shows(t, request(b, "POST", s+"/set", url.Values{"dim": {dim}, "value": {value}, "do": {"set"}}), http.StatusSeeOther)
	}
	body := shows(t, request(b, "GET", s+"/explore/search", nil), 200, "What you set yourself", `name="hold.skirt.inner" value="yes">`, `name="hold.brick.thickness" value="yes">`)
	if strings.Contains(body, "hold.rest.height") || strings.Contains(body, "hold.skirt.gap") {
		t.Error("what no search changes, or nobody set, is offered")
	}
	settings := url.Values{"effort": {"quick"}, "hold.skirt.inner": {"yes"}, "hold.nothing": {"yes"}}
	study := started(t, b, id, "search", settings)
	finished(t, b, study)
	shows(t, request(b, "GET", s+"/explore/search", nil), 200, `name="hold.skirt.inner" value="yes" checked`, `name="hold.brick.thickness" value="yes">`, "Skirt gap: left as it is", `data-card="design-1"`)
	d, err := b.load(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	q, _ := questionOf("search")
	v, err := b.studyView(t.Context(), q, d, explore.Subject{}, study, true)
	if err != nil {
		t.Fatal(err)
	}
	thickness := map[string]bool{}
	for _, form := range v.Answer.(*searchAnswer).forms {
		if form.Yours["skirt.inner"] != d.Form.Yours["skirt.inner"] || form.Yours["skirt.gap"] != "" {
			t.Errorf("what was to be left is %v", form.Yours)
		}
		thickness[form.Yours["brick.thickness"]] = true
	}
	if len(thickness) == 1 && thickness[d.Form.Yours["brick.thickness"]] {
		t.Error("what was not to be left was left")
	}
}

func TestStudyAnswersInTheBackground(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/tolerance"
	shows(t, request(b, "GET", s, nil), 200, "Not asked yet", "How closely you make and cook")
	study := started(t, b, id, "tolerance", url.Values{"effort": {"quick"}, "make.tape": {"8 mm"}, "time": {"25 min"}})
	if a := finished(t, b, study); a.State != studyDone {
		t.Fatalf("%s: %v", a.State, a.Failed)
	}
	body := shows(t, request(b, "GET", s, nil), 200, "Done.", "Gauge table", "within 25.0 min", `value="8 mm"`, "Computed, not measured", "make.tape")
	if strings.Contains(body, "data-ask") || strings.Contains(body, "have changed since") {
		t.Error("a study that is done goes on being asked, or says that its stove changed")
	}
	shows(t, request(b, "GET", s+"?study="+study, nil, byScript...), 200, `id="study"`, "Gauge table")
	file := s + "/" + study + "/file/"
	shows(t, request(b, "GET", file+"tolerances.svg", nil), 200, "<svg")
	shows(t, request(b, "GET", file+"tolerances.pdf", nil), 200, "%PDF")
	shows(t, request(b, "GET", file+"answer.txt", nil), 200, "computed, not measured", "of the stoves boil within 25.0")
	shows(t, request(b, "GET", file+"other.svg", nil), 404)
	var export struct {
		Computed, Finished bool
		Study              struct{ Draws int }
	}
	if err := json.Unmarshal(request(b, "GET", file+"answer.json", nil).Body.Bytes(), &export); err != nil || !export.Computed || !export.Finished || export.Study.Draws != 100 {
		t.Errorf("%v %+v", err, export)
	}
	// the stove goes on; its study stays what it was, and says so
	shows(t, request(b, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}, "do": {"set"}}), http.StatusSeeOther)
	shows(t, request(b, "GET", s, nil), 200, "have changed since", "Ask again", "Gauge table")
	// put away and brought back
	shows(t, request(b, "POST", s+"/"+study+"/delete", url.Values{}), http.StatusSeeOther)
	shows(t, request(b, "GET", s, nil), 200, "Not asked yet", "Bring back")
	shows(t, request(b, "POST", s+"/"+study+"/undelete", url.Values{}), http.StatusSeeOther)
	shows(t, request(b, "GET", s, nil), 200, "Gauge table")
	// another bench on the same file, as after the program was closed
	again := New(Config{Workshop: b.Workshop})
	shows(t, request(again, "GET", s, nil), 200, "Done.", "Gauge table")
	shows(t, request(b, "GET", "/stove/"+id+"/explore/search?study="+study, nil), 404)
	shows(t, request(b, "POST", s+"/"+study+"/burn", url.Values{}), 404)
}

func TestSettingsComplainInPlace(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/"
	for question, c := range map[string]struct {
		sent  url.Values
		texts []string
	}{
		"search":    {url.Values{"air_ratio": {"1"}, "skin": {"warm"}, "price.brick": {"-3"}}, []string{`value="warm"`, "cannot be read", "out of range", `value="-3"`, "details id=\"folded\" open"}},
		"tolerance": {url.Values{"time": {"a while"}, "make.tape": {"2 m"}}, []string{`value="a while"`, "cannot be read", "out of range"}},
		"spread":    {url.Values{"effort": {"heroic"}, "seed": {"x"}}, []string{"allowed"}},
		"learn":     {url.Values{}, []string{"there is no measured test to learn from"}},
		"pots":      {url.Values{"meals." + id: {"often"}}, []string{`value="often"`, "whole number"}},
	} {
		shows(t, request(b, "POST", s+question, c.sent), http.StatusUnprocessableEntity, c.texts...)
	}
	shows(t, request(b, "POST", s+"search", url.Values{"cost": {"100"}}), http.StatusUnprocessableEntity, "needs at least one price", `id="folded" open`)
	for _, others := range [][]string{nil, {"yes"}} { // alone, and beside one that counts
		shows(t, request(b, "POST", s+"search", url.Values{"goal.cost": {"yes"}, "goal.wood": others}), http.StatusUnprocessableEntity, "needs at least one price", `id="folded" open`, `name="goal.cost" value="yes" checked`)
	}
	body := shows(t, request(b, "GET", s+"search", nil), 200, `name="goal.wood" value="yes" checked`, "can count once something of this stove has a price", `href="#price.brick"`, `id="price.brick"`)
	if strings.Contains(body, `name="goal.cost" value="yes" checked`) {
		t.Error("the cost is ticked where nothing has a price")
	}
	body = shows(t, request(b, "POST", s+"search", url.Values{"price.sheet": {"300"}, "skin": {"warm"}}), http.StatusUnprocessableEntity, `name="goal.cost" value="yes" checked`)
	if strings.Contains(body, "can count once") {
		t.Error("a price is asked for where there is one")
	}
	// a price of what the stove is not made of, and no cost at all
	for _, sent := range []url.Values{{"price.liner": {"40"}, "goal.cost": {"yes"}}, {"price.labour": {"40"}, "goal.cost": {"yes"}}, {"price.liner": {"40"}, "cost": {"500"}}} {
		body = shows(t, request(b, "POST", s+"search", sent), http.StatusUnprocessableEntity, "at least one price of what this stove is made of: A chamber brick, A square metre of sheet", `id="folded" open`)
		if strings.Contains(body, "made of: A chamber brick, The liner") || !strings.Contains(body, "can count once something") {
			t.Error("the price of a liner is asked for, or counts, where there is none")
		}
	}
	shows(t, request(b, "POST", s+"search", url.Values{"price.brick": {"40"}, "cost": {"0"}}), http.StatusUnprocessableEntity, `value="0"`, "out of range")
	shows(t, request(b, "POST", s+"nothing", url.Values{}), 404)
	if list, _ := b.Workshop.List(context.Background(), workshop.Filter{Kind: studyKind}); len(list) != 0 {
		t.Error("a study was begun with settings that cannot be")
	}
}

// The study of a search that was stopped half-way, and one that was let run, end
// the same bit for bit; so does one whose bench was thrown away.
func TestStudyGoesOnToTheSameEnd(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/search"
	whole := finished(t, b, started(t, b, id, "search", searchSettings))
	study := started(t, b, id, "search", searchSettings)
	far(t, b, study)
	body := shows(t, request(b, "GET", s+"?study="+study, nil), 200, "At work", "% is done", "· about ", "data-ask", "http-equiv=\"refresh\"", "So far", "Limits:", "stoves were tried")
	if strings.Contains(body, "about 0 ") {
		t.Error("a study that is at work has no time left")
	}
	shows(t, request(b, "POST", s+"/"+study+"/stop", url.Values{}), http.StatusSeeOther)
	shows(t, request(b, "GET", s+"?study="+study, nil), 200, "Stopped.", "% is done", "Go on", "nearest to everything")
	shows(t, request(b, "POST", s+"/"+study+"/go", url.Values{}), http.StatusSeeOther)
	far(t, b, study)
	b.studies.close()
	again := New(Config{Workshop: b.Workshop})
	t.Cleanup(again.studies.close)
	shows(t, request(again, "GET", s+"?study="+study, nil), 200, "Stopped.", "Go on")
	shows(t, request(again, "POST", s+"/"+study+"/go", url.Values{}), http.StatusSeeOther)
	same(t, whole, finished(t, again, study))
	// nothing is left beside the records
	for _, place := range statePlaces(study) {
		if units, err := b.Workshop.Units(context.Background(), place); err != nil || len(units) > 0 {
			t.Errorf("%d states are left: %v", len(units), err)
		}
	}
}

var searchSettings = url.Values{"effort": {"quick"}, "seed": {"7"}}

// same holds two studies to the same end, bit for bit.
func same(t *testing.T, a, b asked) {
	t.Helper()
	var x, y bytes.Buffer
	if json.Compact(&x, a.Doc.Study) != nil || json.Compact(&y, b.Doc.Study) != nil || !a.Doc.Finished || !b.Doc.Finished {
		t.Fatalf("not finished: %s, %s", a.State, b.State)
	}
	if x.String() != y.String() {
		t.Error("the two studies do not end the same")
	}
}

// A study that another version made is shown with what it said, and neither read
// nor gone on with.
func TestStudyOfAnotherVersion(t *testing.T) {
	b, id := exploring(t)
	study := started(t, b, id, "tolerance", url.Values{"effort": {"quick"}})
	a := finished(t, b, study)
	s := "/stove/" + id + "/explore/tolerance"
	for name, change := range map[string]func(*studyDoc){
		"shape": func(doc *studyDoc) { doc.Shape = "0" },
		"study": func(doc *studyDoc) { doc.Study = json.RawMessage(`{"Subject": 7}`) },
	} {
		doc := a.Doc
		change(&doc)
		data, err := json.Marshal(doc)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := b.Workshop.Get(t.Context(), study)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := b.Workshop.Save(t.Context(), workshop.Edit{Record: study, Kind: studyKind, Base: rec.Head.ID, Name: rec.Head.Name, Content: data}); err != nil {
			t.Fatal(err)
		}
		again := New(Config{Workshop: b.Workshop})
		t.Cleanup(again.studies.close)
		body := shows(t, request(again, "GET", s, nil), 200, "Another version of the program", "of the stoves boil within", "Delete")
		if strings.Contains(body, "Go on") || strings.Contains(body, "Gauge table") {
			t.Errorf("%s: it is read all the same", name)
		}
		shows(t, request(again, "GET", s+"/"+study+"/file/answer.json", nil), 404)
		shows(t, request(again, "POST", s+"/"+study+"/go", url.Values{}), 404)
	}
	shows(t, request(b, "POST", s+"/"+study+"/delete", url.Values{}), http.StatusSeeOther)
}

// victim names the workshop file of the process that is killed.
const victim = "STOVEWRIGHT_STUDY_VICTIM"

// TestStudyVictim is that process.
func TestStudyVictim(t *testing.T) {
	path := os.Getenv(victim)
	if path == "" {
		t.Skip("started by TestKilledBenchLosesNoStudy")
	}
	ctx := context.Background()
	file, err := workshop.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	b := New(Config{Workshop: file})
	study := started(t, b, b.last(ctx), "search", searchSettings)
	far(t, b, study)
	for doc := (studyDoc{}); doc.Done == 0; time.Sleep(time.Millisecond) {
		if doc, err = b.keptState(ctx, study, studyDoc{}); err != nil {
			t.Fatal(err)
		}
	}
	fmt.Println("\nstudy " + study)
	select {} // until it is killed
}

// The bench is killed in the middle of a study. A new one shows the study as
// stopped, with what it has, and takes it to the end it would have had.
func TestKilledBenchLosesNoStudy(t *testing.T) {
	b, id := exploring(t)
	whole := finished(t, b, started(t, b, id, "search", searchSettings))
	path := filepath.Join(t.TempDir(), "killed"+workshop.Extension)
	ctx := context.Background()
	if err := b.Workshop.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestStudyVictim$", "-test.v")
	cmd.Env = append(os.Environ(), victim+"="+path)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	study := ""
	lines := bufio.NewScanner(out)
	for study == "" && lines.Scan() {
		study, _ = strings.CutPrefix(lines.Text(), "study ")
		if study == lines.Text() {
			study = ""
		}
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	cmd.Wait()
	if study == "" {
		t.Fatal("the process began no study")
	}
	file, err := workshop.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { file.Close() })
	again := New(Config{Workshop: file})
	t.Cleanup(again.studies.close)
	a, err := again.loadStudy(ctx, study)
	if err != nil || a.State != studyStopped || a.Doc.Done == 0 || a.Doc.Finished {
		t.Fatalf("after the kill: %s, %d of %d, %v", a.State, a.Doc.Done, a.Doc.Total, err)
	}
	s := "/stove/" + id + "/explore/search"
	shows(t, request(again, "GET", s+"?study="+study, nil), 200, "Stopped.", "So far", "nearest to everything", "Go on")
	shows(t, request(again, "POST", s+"/"+study+"/go", url.Values{}), http.StatusSeeOther)
	same(t, whole, finished(t, again, study))
}

// Studies take turns at the desks; who waits can be told to stop.
func TestStudiesWaitInLine(t *testing.T) {
	b, id := exploring(t)
	for range cap(b.studies.desks) { // others sit at all of them
		b.studies.desks <- struct{}{}
	}
	study := started(t, b, id, "spread", url.Values{"effort": {"quick"}})
	s := "/stove/" + id + "/explore/spread"
	shows(t, request(b, "GET", s, nil), 200, "Waits in line", "Stop")
	shows(t, request(b, "POST", s+"/"+study+"/stop", url.Values{}), http.StatusSeeOther)
	shows(t, request(b, "GET", s, nil), 200, "Stopped.")
	shows(t, request(b, "POST", s+"/"+study+"/go", url.Values{}), http.StatusSeeOther)
	<-b.studies.desks
	if a := finished(t, b, study); a.State != studyDone {
		t.Fatal(a.State)
	}
	shows(t, request(b, "GET", s, nil), 200, "of this spread hangs on what you choose", "Whose is the spread")
	study = started(t, b, id, "spread", url.Values{})
	shows(t, request(b, "POST", s+"/"+study+"/delete", url.Values{}), http.StatusSeeOther) // while it is at work
	if len(b.studies.work) != 0 {
		t.Error("a study that was deleted is still at work")
	}
}

func TestFoundStovesOpen(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/search"
	study := started(t, b, id, "search", searchSettings)
	finished(t, b, study)
	two := started(t, b, id, "search", url.Values{"effort": {"quick"}, "goal.wood": {"yes"}, "goal.cost": {"yes"}, "price.brick": {"40"}, "price.sheet": {"300"}})
	finished(t, b, two)
	if body := shows(t, request(b, "GET", s+"?study="+two, nil), 200, "least cost"); strings.Contains(body, "figure-explore-front-time-wood") || !strings.Contains(body, "figure-explore-front-cost-wood") {
		t.Error("a search for wood and cost shows other goals")
	}
	body := shows(t, request(b, "GET", s+"?design=1&study="+study, nil), 200, `data-card="design-1"><h3>`, `data-key="design-1"`, "192 stoves were tried", "Put beside")
	if pictures, marked := strings.Count(body, `data-key="design-1"`), strings.Count(body, `class="design marked" data-key="design-1" aria-pressed="true"`); pictures != 4 || marked != pictures || strings.Count(body, "design marked") != marked {
		t.Errorf("the design is marked in %d of %d pictures", marked, pictures)
	}
	w := request(b, "POST", s+"/"+study+"/open", url.Values{"design": {"1"}})
	at := w.Header().Get("Location")
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(at, "/stove/") || at == "/stove/"+id {
		t.Fatalf("%d to %s", w.Code, at)
	}
	shows(t, request(b, "GET", at, nil), 200, "found 1", "to the boil")
	shows(t, request(b, "POST", s+"/"+study+"/open", url.Values{"design": {"99"}}), 404)
	// beside the stove, and beside the stove that was opened of it
	// and says in words and picture which two they are
	a, err := b.loadStudy(t.Context(), study)
	if err != nil {
		t.Fatal(err)
	}
	found := "stove 1 of the search of " + a.Began.Format("2006-01-02 15:04")
	shows(t, request(b, "GET", "/stove/"+id+"/explore/why?against="+study+":1&now=yes", nil), 200, "efficiency goes from", `id="why"`,
		"From Hill-farm kitchen, beans pot to "+found+"<", ">"+found+"</option>", `class="drawing"`)
	shows(t, request(b, "GET", at+"/explore/why?now=yes&against="+id, nil), 200, "efficiency goes from", "<svg", "From Hill-farm kitchen, beans pot to Hill-farm kitchen, beans pot, found 1<")
	shows(t, request(b, "GET", "/stove/"+id+"/explore/why?against="+study+":99", nil), 404)
	// the search itself stays what it was
	shows(t, request(b, "GET", s+"?study="+study, nil), 200, "Done.")
}

func TestWhyTwoStovesDiffer(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id
	shows(t, request(b, "GET", s+"/explore/why", nil), 200, "no other state and no other stove")
	shows(t, request(b, "POST", s+"/set", url.Values{"dim": {"skirt.gap"}, "value": {"12 mm"}, "do": {"set"}}), http.StatusSeeOther)
	body := shows(t, request(b, "GET", s+"/explore/why", nil), 200, "this stove before its last change", "data-ask")
	if strings.Contains(body, "goes from") {
		t.Error("the reasons hold up the page")
	}
	shows(t, request(b, "GET", s+"/explore/why?against=before&now=yes", nil, byScript...), 200, `id="why"`, "efficiency goes from", "Skirt gap from 8.0",
		"From Hill-farm kitchen, beans pot, before its last change to Hill-farm kitchen, beans pot<")
	shows(t, request(b, "GET", s+"/explore/why?against=before&metric=wood", nil), 200, "wood burnt goes from") // they are there by now
	shows(t, request(b, "GET", s+"/explore/why?against=nobody", nil), 404)
	// two of one name are told apart
	w := request(b, "POST", "/workshop/new", url.Values{"example": {"beans-pot.yaml"}})
	twin := strings.Split(w.Header().Get("Location"), "/")[2]
	shows(t, request(b, "GET", s+"/explore/why?against="+twin, nil), 200, "From Hill-farm kitchen, beans pot, of 20")
}

// measuredTests puts the example tests of a stove on the shelf, under the name of
// the stove at hand. The tests are invented.
func measuredTests(t *testing.T, b *Bench, id string) {
	t.Helper()
	files, err := filepath.Glob("../../examples/tests/boiling/stove-b/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatal("no example tests", err)
	}
	d, err := b.load(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files[:3] {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		kind, ok := testKindOf("boiling-test")
		form, err := readTestForm(kind, data)
		if err != nil || !ok {
			t.Fatal(err)
		}
		made := &test{Kind: kind, Form: form}
		made.About().Stove = d.Form.Name
		if _, err := b.beginTest(context.Background(), kind, form); err != nil {
			t.Fatal(err)
		}
	}
}

func TestLearningAsksBeforeItChanges(t *testing.T) {
	b, id := exploring(t)
	s := "/stove/" + id + "/explore/learn"
	shows(t, request(b, "GET", s, nil), 200, "No measured boiling test belongs", `<button class="primary" disabled>`)
	measuredTests(t, b, id)
	shows(t, request(b, "GET", s, nil), 200, "learn from it", "hold it out")
	tests, err := b.testsOf(context.Background(), &design{ID: id})
	if err != nil || len(tests) != 3 {
		t.Fatal(len(tests), err)
	}
	settings := url.Values{"effort": {"quick"}, "test." + tests[0].ID: {"learn"}, "test." + tests[1].ID: {"hold"}, "test." + tests[2].ID: {"leave"}}
	study := started(t, b, id, "learn", settings)
	if a := finished(t, b, study); a.State != studyDone {
		t.Fatal(a.State)
	}
	shows(t, request(b, "GET", s, nil), 200, "as published", "as learnt here", "held out", "Learnt from one test", "independent ones", "Use what was learnt", "What to try next")
	// a new bench works the answer out when the page stands, or when it is told to
	again := New(Config{Workshop: b.Workshop})
	if body := shows(t, request(again, "GET", s, nil), 200, "data-ask", "now=yes"); strings.Contains(body, "independent ones") {
		t.Error("the answer holds up the page")
	}
	shows(t, request(again, "GET", s+"?now=yes&study="+study, nil), 200, "Learnt from one test")
	fire := "/stove/" + id + "/fire"
	if body := request(b, "GET", fire, nil).Body.String(); strings.Contains(body, "yours, not the table") {
		t.Error("what was learnt was applied without asking")
	}
	shows(t, request(b, "GET", s+"?study="+study+"&tests=4", nil), 200, `value="4"`, `figure-explore-outlook`)
	shows(t, request(b, "POST", s+"/"+study+"/apply", url.Values{}), http.StatusSeeOther)
	if body := shows(t, request(b, "GET", s+"?study="+study+"&applied=yes", nil), 200, "now burns with what was learnt here"); strings.Contains(body, "have changed since") {
		t.Error("what was learnt counts as a change of what it was learnt from")
	}
	shows(t, request(b, "GET", fire, nil), 200, "yours, not the table")
	shows(t, request(b, "GET", "/stove/"+id+"/explore", nil), 200, "of your own from the Fire page")
	shows(t, request(b, "POST", fire, url.Values{"do": {"table"}}), http.StatusSeeOther)
}

func TestPotsOfSeveralKitchens(t *testing.T) {
	b, id := exploring(t)
	w := request(b, "POST", "/workshop/new", url.Values{"example": {"tea-stall-round-pots.yaml"}})
	other := strings.Split(w.Header().Get("Location"), "/")[2]
	s := "/stove/" + id + "/explore/pots"
	shows(t, request(b, "GET", s, nil), 200, `name="stove.`+other)
	study := started(t, b, id, "pots", url.Values{"stove." + other: {"yes"}, "meals." + other: {"3"}})
	finished(t, b, study)
	body := shows(t, request(b, "GET", s, nil), 200, "Done.", `name="stove.`+other+`" value="yes" checked`, `value="3"`)
	if strings.Contains(body, "Open the one for") {
		w := request(b, "POST", s+"/"+study+"/open", url.Values{"design": {"1"}, "of": {"2"}})
		shows(t, w, http.StatusSeeOther)
	} else if !strings.Contains(body, "No one stove burns well under every pot") {
		t.Error("neither a stove nor a reason")
	}
}

// BenchmarkTry is one step of a slider: the stove sized and burnt, all inputs
// moved by a step, drawn and written. The aim is a tenth of a second.
func BenchmarkTry(b *testing.B) {
	bn, id := exploring(b)
	for i := 0; b.Loop(); i++ {
		w := request(bn, "GET", fmt.Sprintf("/stove/%s/explore?form=yes&try=skirt.gap%%3D%g+mm", id, 7+float64(i%40)/10), nil, byScript...)
		if w.Code != http.StatusOK || !bytes.Contains(w.Body.Bytes(), []byte("tile-change")) && i%40 != 10 {
			b.Fatal(w.Code, w.Body)
		}
	}
}
