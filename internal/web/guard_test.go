package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"stovewright/workshop"
)

func TestEveryAnswerIsGuarded(t *testing.T) {
	b, id := bench(t)
	for _, path := range append(allPages(id), "/static/bench.js", "/static/none") {
		h := request(b, "GET", path, nil).Header()
		for name, want := range map[string]string{"Content-Security-Policy": contentPolicy, "X-Content-Type-Options": "nosniff",
			"Referrer-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q", path, name, got)
			}
		}
	}
}

// The policy forbids scripts, styles and handlers inside a page; none may be there.
func TestPagesHoldNoInlineScriptOrStyle(t *testing.T) {
	b, id := bench(t)
	inline := regexp.MustCompile(`(?i)<style|<script(?:[^>]*)>[^<]|\sstyle=|\son[a-z]+=|javascript:|https?://[a-z]`)
	for _, path := range allPages(id) {
		body := strings.ReplaceAll(request(b, "GET", path, nil).Body.String(), "http://www.w3.org/2000/svg", "")
		if found := inline.FindString(body); found != "" {
			t.Errorf("%s holds %q", path, found)
		}
	}
}

func TestOnlyThisMachineIsAnswered(t *testing.T) {
	b, _ := bench(t, func(c *Config) { c.Hosts = []string{"192.168.1.5"} })
	for host, status := range map[string]int{"127.0.0.1:8417": 200, "localhost": 200, "LOCALHOST:1": 200, "[::1]:8417": 200, "127.8.8.8": 200,
		"192.168.1.5:8417": 200, "192.168.1.6": 421, "evil.example": 421, "localhost.evil.example": 421, "127.0.0.1.evil.example": 421, "": 421} {
		r := httptest.NewRequest("GET", "/workshop", nil)
		r.Host = host
		w := httptest.NewRecorder()
		b.ServeHTTP(w, r)
		if w.Code != status {
			t.Errorf("host %q: %d, want %d", host, w.Code, status)
		}
	}
}

func TestOtherSitesAreRefused(t *testing.T) {
	b, id := bench(t)
	form := url.Values{"dim": {"skirt.gap"}, "value": {"9 mm"}}
	for _, c := range []struct {
		method, path string
		status       int
		header       []string
	}{
		{"POST", "/set", 403, []string{"Sec-Fetch-Site", "cross-site"}},
		{"POST", "/set", 403, []string{"Sec-Fetch-Site", "same-site"}},
		{"POST", "/set", 403, []string{"Origin", "http://evil.example"}},
		{"POST", "/set", 303, []string{"Sec-Fetch-Site", "same-origin"}},
		{"POST", "/set", 303, []string{"Origin", "http://127.0.0.1:8417"}},
		{"GET", "", 403, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "image"}},
		{"GET", "", 403, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}},
		{"GET", "", 200, []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}},
		{"GET", "", 200, []string{"Sec-Fetch-Site", "none"}},
	} {
		sent := form
		if c.method == "GET" {
			sent = nil
		}
		if w := request(b, c.method, "/stove/"+id+c.path, sent, c.header...); w.Code != c.status {
			t.Errorf("%s %v: %d, want %d", c.method, c.header, w.Code, c.status)
		}
	}
}

func TestNetworkVisitorsNeedTheKey(t *testing.T) {
	b, id := bench(t, func(c *Config) { c.Key = "SECRET" })
	want(t, request(b, "GET", "/stove/"+id, nil), http.StatusForbidden)
	want(t, request(b, "GET", "/?key=WRONG", nil), http.StatusForbidden)
	w := request(b, "GET", "/?key=SECRET", nil)
	cookie := w.Header().Get("Set-Cookie")
	if w.Code != http.StatusSeeOther || !strings.Contains(cookie, "HttpOnly") || !strings.Contains(cookie, "SameSite=Strict") {
		t.Fatalf("%d %q", w.Code, cookie)
	}
	pair, _, _ := strings.Cut(cookie, ";")
	want(t, request(b, "GET", "/stove/"+id, nil, "Cookie", pair), 200)
}

func TestErrorsHaveTheirStatusAndSayWhatToDo(t *testing.T) {
	b, id := bench(t)
	for _, c := range []struct {
		method, path string
		status       int
		says         string
	}{
		{"GET", "/nowhere", 404, "no such page"},
		{"GET", "/stove/0000000000000000", 404, "no entry"},
		{"GET", "/stove/UPPER", 404, "no entry"},
		{"POST", "/stove/" + id + "/undo", 409, "nothing to undo"},
		{"GET", "/stove/" + id + "/drawing/none.svg", 404, "no such page"},
		{"GET", "/stove/" + id + "/drawing/section.exe", 404, "no such page"},
		{"POST", "/stove/" + id + "/restore", 404, "no revision"},
	} {
		var form url.Values
		if c.method == "POST" {
			form = url.Values{}
		}
		want(t, request(b, c.method, c.path, form), c.status, c.says)
	}
	huge := url.Values{"name": {strings.Repeat("x", maxBody+1)}}
	want(t, request(b, "POST", "/stove/"+id+"/brief", huge), http.StatusRequestEntityTooLarge)
	if w := request(b, "DELETE", "/stove/"+id, nil); w.Code != http.StatusMethodNotAllowed && w.Code != http.StatusNotFound {
		t.Errorf("DELETE: %d", w.Code)
	}
}

func TestAssetsAreKeptByTheirHash(t *testing.T) {
	b, _ := bench(t)
	w := request(b, "GET", b.assets.url("bench.css"), nil)
	if !strings.Contains(w.Header().Get("Cache-Control"), "immutable") || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/css") {
		t.Error(w.Header())
	}
	again := request(b, "GET", "/static/bench.css", nil, "If-None-Match", w.Header().Get("ETag"))
	if again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	if w := request(b, "GET", "/static/..%2fweb.go", nil); w.Code != http.StatusNotFound {
		t.Errorf("%d", w.Code)
	}
}

func TestServeTakesAFreePortAndEndsInOrder(t *testing.T) {
	file, err := workshop.Create(context.Background(), t.TempDir()+"/w"+workshop.Extension)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	first, err := listen(Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	ctx, stop := context.WithCancel(context.Background())
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- Serve(ctx, Config{Workshop: file}, Options{Out: write}) }()
	line := make([]byte, 200)
	n, _ := read.Read(line)
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+`).FindString(string(line[:n]))
	if address == "" {
		t.Fatalf("no address in %q", line[:n])
	}
	answer, err := http.Get(address)
	if err != nil || answer.StatusCode != 200 {
		t.Fatal(err, answer)
	}
	answer.Body.Close()
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Error("still serving")
	}
	taken, _ := strconv.Atoi(portOf(first))
	if _, err := listen(Options{Port: taken}); err == nil {
		t.Error("a taken port that was asked for was not complained about")
	}
}
