package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"stovewright/workshop"
)

// bench is a bench on a new workshop file that holds the first example.
func bench(tb testing.TB, change ...func(*Config)) (*Bench, string) {
	tb.Helper()
	file, err := workshop.Create(context.Background(), filepath.Join(tb.TempDir(), "test"+workshop.Extension))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { file.Close() })
	c := Config{Workshop: file}
	for _, f := range change {
		f(&c)
	}
	b := New(c)
	if err := b.Begin(context.Background()); err != nil {
		tb.Fatal(err)
	}
	return b, b.last(context.Background())
}

// request asks the bench as a browser on this machine would.
func request(b *Bench, method, path string, form url.Values, header ...string) *httptest.ResponseRecorder {
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r := httptest.NewRequest(method, "http://127.0.0.1:8417"+path, body)
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	return w
}

var byScript = []string{"Bench-Parts", "1"}

// BenchmarkChange is a dimension changed on the drawing: read, sized, saved on
// the disk, drawn again and every table written. The aim is 30 ms.
func BenchmarkChange(b *testing.B) {
	bn, id := bench(b)
	for i := 0; b.Loop(); i++ {
		gap := strconv.Itoa(7+i%2) + ".5 mm"
		w := request(bn, "POST", "/stove/"+id+"/set", url.Values{"dim": {"skirt.gap"}, "value": {gap}, "do": {"set"}, "view": {"section"}}, byScript...)
		if w.Code != http.StatusOK || !bytes.Contains(w.Body.Bytes(), []byte("<svg")) {
			b.Fatal(w.Code, w.Body)
		}
	}
}

// BenchmarkKey is one key in the brief: saved, sized, drawn small.
func BenchmarkKey(b *testing.B) {
	bn, id := bench(b)
	for i := 0; b.Loop(); i++ {
		w := request(bn, "POST", "/stove/"+id+"/brief/key", url.Values{"pot.circumference": {strconv.Itoa(70+i%10) + " cm"}}, byScript...)
		if w.Code != http.StatusOK {
			b.Fatal(w.Code, w.Body)
		}
	}
}

// BenchmarkStovePage is the whole page of the stove.
func BenchmarkStovePage(b *testing.B) {
	bn, id := bench(b)
	for b.Loop() {
		if w := request(bn, "GET", "/stove/"+id, nil); w.Code != http.StatusOK {
			b.Fatal(w.Code, w.Body)
		}
	}
}
