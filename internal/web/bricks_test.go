package web

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/workshop"
)

// exampleOf opens the invented example of a kind of sheet and gives its address.
func exampleOf(tb testing.TB, b *Bench, kind brick.Paper) string {
	tb.Helper()
	w := request(b, "POST", "/bricks/"+string(kind)+"/new", url.Values{"example": {"1"}})
	if w.Code != http.StatusSeeOther {
		tb.Fatalf("%s: %d %s", kind, w.Code, excerpt(w.Body.String()))
	}
	address, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	return address
}

// brickPages are the addresses of every page of the brick work, with the
// invented examples opened.
func brickPages(tb testing.TB, b *Bench) []string {
	pages := []string{"/bricks", "/bricks/trouble", "/bricks/trouble?symptom=crumbles&peak=850&thickness=ten", "/bricks/measure",
		"/bricks/measure?load=60&load_arm=2000&piece_arm=200&beam=8&beam_arm=1000&piece_length=50&piece_width=50&drops=0.5+m+held,+1+m+broke,+2&jar=15&one_tin=310+g&amount=12&days=8&from_thickness=50&to_thickness=70"}
	for _, p := range brickPapers {
		address := exampleOf(tb, b, p.Key)
		pages = append(pages, address, address+"/history")
		if p == seriesPaper {
			pages = append(pages, address+"?part=materials", address+"?part=trial&n=1", address+"?part=trial&n=3", address+"?part=next", address+"?part=next&from=2&target=0.5")
		}
		new := request(b, "POST", "/bricks/"+string(p.Key)+"/new", url.Values{})
		want(tb.(*testing.T), new, http.StatusSeeOther)
		pages = append(pages, new.Header().Get("Location"))
	}
	return pages
}

func TestBrickPagesShow(t *testing.T) {
	b, _ := bench(t)
	for _, path := range brickPages(t, b) {
		body := want(t, request(b, "GET", path, nil), 200)
		for _, bad := range []string{"«", "NaN", "%!", "<no value>", "ZgotmplZ"} {
			if i := strings.Index(body, bad); i >= 0 {
				t.Errorf("%s holds %q: %s", path, bad, body[max(0, i-120):min(len(body), i+80)])
			}
		}
		for _, id := range regexp.MustCompile(`>(web|brick)\.[a-z.-]+<`).FindAllString(body, -1) {
			t.Errorf("%s says %s", path, id)
		}
	}
}

// post sends a form to a page of the brick work and follows it.
func post(t *testing.T, b *Bench, path string, form url.Values) string {
	t.Helper()
	w := request(b, "POST", path, form)
	want(t, w, http.StatusSeeOther)
	return w.Header().Get("Location")
}

// Each key beside a brick is kept, answered, and there after a power cut; it
// becomes one revision when the typing rests.
func TestBrickKeysAreKept(t *testing.T) {
	b, _ := bench(t)
	a := exampleOf(t, b, brick.SeriesPaper)
	page := a + "/key?part=trial&n=1"
	want(t, request(b, "POST", page, url.Values{"trials[1].bricks[1].fired.mass": {"4"}}, byScript...), 200, "crumbs were lost")
	want(t, request(b, "POST", page, url.Values{"trials[1].bricks[1].fired.mass": {"0.4 g"}}, byScript...), 200, "out of range", `data-state="wrong"`)
	body := want(t, request(b, "POST", page, url.Values{"trials[1].bricks[1].fired.mass": {"470 g"}}, byScript...), 200, "0.43", "as foretold")
	if strings.Contains(body, `data-state="wrong"`) {
		t.Error("470 g is no mistake")
	}
	again := New(Config{Workshop: b.Workshop})
	want(t, request(again, "GET", a+"?part=trial&n=1", nil), 200, `value="470 g"`, "Saved as you type")
	id := a[strings.LastIndexByte(a, '/')+1:]
	if n := revisions(t, again, id); n != 1 {
		t.Errorf("%d revisions while typing", n)
	}
	want(t, request(again, "GET", "/bricks", nil), 200)
	want(t, request(again, "GET", a+"/history", nil), 200, "Brick 1: fired mass", "462 g", "470 g")
	post(t, again, a+"/undo", url.Values{"from": {"?part=trial&n=1"}})
	want(t, request(again, "GET", a+"?part=trial&n=1", nil), 200, `value="462 g"`)
	post(t, again, a+"/redo", url.Values{})
	want(t, request(again, "GET", a+"?part=trial&n=1", nil), 200, `value="470 g"`)
}

// What cannot be is caught while the brick is still on the table, beside its
// field, and explained.
func TestImpossibleBrickIsCaught(t *testing.T) {
	b, _ := bench(t)
	a := exampleOf(t, b, brick.SeriesPaper)
	body := want(t, request(b, "POST", a+"/key?part=trial&n=2", url.Values{"trials[2].bricks[1].dry.mass": {"1900 g"}}, byScript...), 200)
	if !strings.Contains(messageOf(body, "trials[2].bricks[1].dry.mass"), "does not gain mass") {
		t.Errorf("a dry brick heavier than wet: %s", messageOf(body, "trials[2].bricks[1].dry.mass"))
	}
	// a brick lighter than water that sank is explained, not refused
	body = want(t, request(b, "POST", a+"/key?part=trial&n=2", url.Values{"trials[2].bricks[1].dry.mass": {"985 g"}, "trials[2].bricks[1].float": {"sinks at once"}}, byScript...), 200)
	if !strings.Contains(body, "lighter than water, and still it sank") {
		t.Error("the brick that sank is not explained")
	}
	body = want(t, request(b, "POST", a+"/key?part=trial&n=2", url.Values{"trials[2].water": {"850 stones"}}, byScript...), 200)
	if m := messageOf(body, "trials[2].water"); !strings.Contains(m, "Use 1200 g") {
		t.Errorf("the complaint offers nothing: %s", m)
	}
}

// messageOf is what the page says beside a field.
func messageOf(body, path string) string {
	return between(body, `id="msg-`+path+`"`, "</div>")
}

// From nothing to the next trial: a new series, the first plan written down,
// three bricks weighed, and the next trial suggested and written down.
func TestSeriesFromNothing(t *testing.T) {
	b, _ := bench(t)
	place := post(t, b, "/bricks/series/new", url.Values{})
	a, _, _ := strings.Cut(place, "?")
	if !strings.HasSuffix(place, "part=materials") {
		t.Errorf("a new series opens at %s", place)
	}
	want(t, request(b, "GET", place, nil), 200, `value="clay"`, `value="sawdust"`)
	want(t, request(b, "POST", a+"/key?part=materials", url.Values{"name": {"trial run"}, "materials[1].tin": {"620 g"}, "materials[2].name": {"mill dust"}}, byScript...), 200)
	want(t, request(b, "GET", a+"?part=next", nil), 200, "The mixes to begin with", "tins")
	post(t, b, a+"/do", url.Values{"do": {"first"}})
	body := want(t, request(b, "GET", a, nil), 200, "T1", "T4", "mill dust", "foretold")
	if strings.Contains(body, "T5") {
		t.Error("more than the first plan was written down")
	}
	for n, masses := range [][3]string{{"1780 g", "950 g", "640 g"}, {"1790 g", "1010 g", "700 g"}, {"1760 g", "900 g", "600 g"}} {
		at := "trials[" + string(rune('1'+n)) + "].bricks[1]."
		form := url.Values{at + "wet.size": {"220 x 110 x 60"}, at + "dry.size": {"207 x 103 x 56"}, at + "fired.size": {"202 x 101 x 55"}}
		for k, stage := range brickStages {
			form.Set(at+stage+".mass", masses[k])
		}
		want(t, request(b, "POST", a+"/key?part=trial&n="+string(rune('1'+n)), form, byScript...), 200, "read as")
	}
	body = want(t, request(b, "GET", a+"?part=next", nil), 200, "Try next", "Write it down as T5", "What your trials taught", "<svg")
	if strings.Contains(body, "mixes to begin with") {
		t.Error("the first plan is still offered")
	}
	place = post(t, b, a+"/do", url.Values{"do": {"next"}})
	want(t, request(b, "GET", place, nil), 200, `value="T5"`, "trial 5 of 5")
	// a beginner's single change is written down with its reason
	place = post(t, b, a+"/do", url.Values{"do": {"change:0"}, "from": {"1"}, "target": {"0.45 g/cm³"}})
	want(t, request(b, "GET", place, nil), 200, "From T1")
	want(t, request(b, "GET", a+"?part=next&from=1&target=lead", nil), 200, "no density of a brick", "allowed")
	post(t, b, a+"/do", url.Values{"do": {"drop:6"}})
	for _, bad := range []string{"change:99", "drop:99", "again:0", "fly"} {
		want(t, request(b, "POST", a+"/do", url.Values{"do": {bad}, "from": {"1"}, "target": {"0.45"}}), http.StatusNotFound)
	}
}

// A material that gets another name keeps its place in every mix, also while
// two names are alike for a moment.
func TestRenamedMaterialKeepsItsMixes(t *testing.T) {
	b, _ := bench(t)
	a := exampleOf(t, b, brick.SeriesPaper)
	for _, name := range []string{"stream clay 2", "stream clay", "stream clay b"} {
		request(b, "POST", a+"/key?part=materials", url.Values{"materials[2].name": {name}}, byScript...)
	}
	body := want(t, request(b, "GET", a+"?part=trial&n=1", nil), 200, "stream clay b", `value="3 tins"`, `value="900 g"`)
	if strings.Contains(body, "not in the list") {
		t.Error("a mix lost its material")
	}
	if m := between(body, `name="trials[1].mix[2].amount"`, ">"); !strings.Contains(m, "3 tins") {
		t.Errorf("the second material has %s", m)
	}
}

// A file that was saved comes back as the same sheet; one that cannot be read
// stays in the box, with the reason.
func TestSheetsAsFiles(t *testing.T) {
	b, _ := bench(t)
	for _, p := range brickPapers {
		a := exampleOf(t, b, p.Key)
		file := want(t, request(b, "GET", a+"/file", nil), 200)
		place := post(t, b, "/bricks/import", url.Values{"document": {file}})
		if !strings.HasPrefix(place, "/bricks/"+string(p.Key)+"/") {
			t.Errorf("a %s came back as %s", p.Key, place)
		}
		if again := request(b, "GET", place+"/file", nil).Body.String(); again != file {
			t.Errorf("%s changed on its way:\n%s\n%s", p.Key, file, again)
		}
	}
	want(t, request(b, "POST", "/bricks/import", url.Values{"document": {"name: x\nribon: 4 cm\n"}}), http.StatusUnprocessableEntity, "ribon: 4 cm", "ribbon")
	want(t, request(b, "POST", "/bricks/import", url.Values{"document": {" "}}), http.StatusUnprocessableEntity)
	want(t, request(b, "POST", "/bricks/import", url.Values{"document": {"pot: {circumference: 75 cm}"}}), http.StatusUnprocessableEntity)
}

func TestSheetsAreCopiedDeletedAndBroughtBack(t *testing.T) {
	b, _ := bench(t)
	a := exampleOf(t, b, brick.ClayPaper)
	want(t, request(b, "GET", post(t, b, a+"/copy", url.Values{}), nil), 200, "stream clay")
	post(t, b, a+"/delete", url.Values{})
	want(t, request(b, "GET", a, nil), http.StatusNotFound)
	want(t, request(b, "GET", "/bricks", nil), 200, "1 deleted")
	post(t, b, a+"/undelete", url.Values{})
	want(t, request(b, "GET", a, nil), 200)
	// a record of another kind is none of this page's
	want(t, request(b, "GET", strings.Replace(a, "/clay/", "/series/", 1), nil), http.StatusNotFound)
	want(t, request(b, "POST", strings.Replace(a, "/clay/", "/series/", 1)+"/delete", url.Values{}), http.StatusNotFound)
	want(t, request(b, "GET", "/bricks/tea/1234", nil), http.StatusNotFound)
}

// Lists grow and shrink without a script, also lists within a list.
func TestSheetListsWithoutScript(t *testing.T) {
	b, _ := bench(t)
	a := exampleOf(t, b, brick.SeriesPaper)
	post(t, b, a+"?part=trial&n=1", url.Values{"do": {"add:trials[1].bricks"}})
	want(t, request(b, "GET", a+"?part=trial&n=1", nil), 200, `name="trials[1].bricks[2].wet.mass"`)
	post(t, b, a+"?part=trial&n=1", url.Values{"trials[1].bricks[2].mark": {"z"}, "do": {"remove:trials[1].bricks[1]"}})
	body := want(t, request(b, "GET", a+"?part=trial&n=1", nil), 200, `value="z"`)
	if strings.Contains(body, `name="trials[1].bricks[2].wet.mass"`) {
		t.Error("the brick is still there")
	}
	for _, bad := range []string{"add:trials[9].bricks", "add:name", "remove:trials[1].bricks[7]", "remove:trials", "remove:", "try:nothing=1", "flip:1.1.1"} {
		want(t, request(b, "POST", a+"?part=trial&n=1", url.Values{"do": {bad}}), http.StatusNotFound)
	}
	log := exampleOf(t, b, brick.DryingPaper)
	post(t, b, log, url.Values{"do": {"add:rows"}})
	want(t, request(b, "GET", log, nil), 200, `name="rows[8].time" value="10 d"`)
}

// A wrong line of a log is complained about on that line.
func TestLogComplaintsStandOnTheirLine(t *testing.T) {
	b, _ := bench(t)
	drying := exampleOf(t, b, brick.DryingPaper)
	body := want(t, request(b, "POST", drying+"/key", url.Values{"rows[4].mass": {"1900 g"}}, byScript...), 200)
	if !strings.Contains(messageOf(body, "rows[4].mass"), "does not gain weight") {
		t.Errorf("no complaint on the fourth line: %s", between(body, `id="loose"`, "</section>"))
	}
	body = want(t, request(b, "POST", drying+"/key", url.Values{"rows[4].mass": {"1210 g"}}, byScript...), 200, "Not yet")
	if strings.Contains(body, `data-state="wrong"`) {
		t.Error("still a complaint")
	}
	kiln := exampleOf(t, b, brick.FiringPaper)
	body = want(t, request(b, "POST", kiln+"/key", url.Values{"rows[3].temps[2]": {"4300 °C"}}, byScript...), 200)
	if !strings.Contains(messageOf(body, "rows[3].temps[2]"), "out of range") {
		t.Errorf("4300 °C: %s", messageOf(body, "rows[3].temps[2]"))
	}
}

// The kiln map is made, and a touch turns a place from good to reject to empty.
func TestKilnMap(t *testing.T) {
	b, _ := bench(t)
	a := post(t, b, "/bricks/firing/new", url.Values{})
	post(t, b, a, url.Values{"do": {"fill:"}, "layers": {"3"}, "rows-across": {"2"}, "columns": {"4"}})
	want(t, request(b, "GET", a, nil), 200, "24 good, 0 rejects")
	for _, place := range []string{"flip:1.1.1", "flip:1.1.2", "flip:1.2.1", "flip:1.2.2", "flip:1.1.3"} {
		post(t, b, a, url.Values{"do": {place}})
	}
	want(t, request(b, "GET", a, nil), 200, "19 good, 5 rejects", "Rejects follow the place")
	post(t, b, a, url.Values{"do": {"flip:1.1.1"}})
	want(t, request(b, "GET", a, nil), 200, "19 good, 4 rejects")
	for _, bad := range []string{"", "0", "99", "many"} {
		want(t, request(b, "POST", a, url.Values{"do": {"fill:"}, "layers": {bad}, "rows-across": {"2"}, "columns": {"4"}}), http.StatusNotFound)
	}
}

// A mould and a batch take the bricks of a series by its name; clay cards of one
// pit know of each other.
func TestSheetsKnowEachOther(t *testing.T) {
	b, _ := bench(t)
	mould := exampleOf(t, b, brick.MouldPaper)
	want(t, request(b, "GET", mould, nil), 200, "Inside of the mould", "Go and no-go gauges", "220.", "Half bricks are moulded")
	want(t, request(b, "POST", mould+"/key", url.Values{"series": {"none such"}}, byScript...), 200, "no series of that name")
	batch := exampleOf(t, b, brick.BatchPaper)
	want(t, request(b, "GET", batch, nil), 200, "mouldings to start", "by the mean alone", "mill dust", "firewood")
	clay := exampleOf(t, b, brick.ClayPaper)
	other := exampleOf(t, b, brick.ClayPaper)
	want(t, request(b, "POST", other+"/key", url.Values{"depth": {"150 cm"}, "date": {"2026-06-01"}}, byScript...), 200, "take it as another clay")
	want(t, request(b, "GET", clay, nil), 200, "Other cards of this pit", "another clay until tested")
}

// Cautions stand where the hazard is.
func TestBrickCautions(t *testing.T) {
	b, _ := bench(t)
	series := exampleOf(t, b, brick.SeriesPaper)
	want(t, request(b, "GET", series+"?part=materials", nil), 200, "scars the lungs", "can flash", "Portland cement loses its strength")
	want(t, request(b, "GET", series+"?part=trial&n=1", nil), 200, "scars the lungs", "wear eye protection", "Sawdust burning out")
	want(t, request(b, "GET", exampleOf(t, b, brick.FiringPaper), nil), 200, "within 10 m of the kiln", "below 150 °C only")
	want(t, request(b, "GET", exampleOf(t, b, brick.ClayPaper), nil), 200, "wall of a pit can fall", "can pop off")
	want(t, request(b, "GET", "/bricks/trouble?symptom=crumbles", nil), 200, "not fired hot enough")
	want(t, request(b, "GET", "/bricks/trouble?symptom=ghosts", nil), http.StatusNotFound)
}

// The forms are printed for every kind of sheet and size of paper.
func TestBrickFormsArePrinted(t *testing.T) {
	b, _ := bench(t)
	for _, p := range brickPapers {
		body := want(t, request(b, "GET", "/bricks/paper/"+string(p.Key)+"-letter.pdf", nil), 200)
		if !strings.HasPrefix(body, "%PDF") {
			t.Errorf("%s is no PDF", p.Key)
		}
	}
	firing := exampleOf(t, b, brick.FiringPaper)
	want(t, request(b, "GET", firing+"/hours/a4.pdf", nil), 200, "%PDF")
	for _, bad := range []string{"/bricks/paper/clay-a4", "/bricks/paper/tea-a4.pdf", "/bricks/paper/clay-a5.pdf", firing + "/hours/a5.pdf"} {
		want(t, request(b, "GET", bad, nil), http.StatusNotFound)
	}
}

// A sheet whose text is not one of its kind is shown to be mended.
func TestBrokenSheetIsMended(t *testing.T) {
	b, _ := bench(t)
	ctx := context.Background()
	r, err := b.Workshop.Save(ctx, workshop.Edit{Kind: clayPaper.kind(), Name: "x", Content: []byte("ribbon: [1, 2]")})
	if err != nil {
		t.Fatal(err)
	}
	a := "/bricks/clay/" + r.Record
	want(t, request(b, "GET", "/bricks", nil), 200, a)
	want(t, request(b, "GET", a, nil), http.StatusUnprocessableEntity, "ribbon: [1, 2]", a+"/repair")
	post(t, b, a+"/repair", url.Values{"document": {"name: mended\nribbon: 40 mm\n"}})
	want(t, request(b, "GET", a, nil), 200, "mended")
}
