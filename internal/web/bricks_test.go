package web

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"stovewright/brick"
)

// sheetOfKind opens the invented example of a kind of sheet and gives its address.
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

var _ = context.Background
