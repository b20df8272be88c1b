package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"

	"stovewright/internal/web"
	"stovewright/workshop"
)

// A bench on a new workshop file opens on a worked example.
func Example() {
	dir, err := os.MkdirTemp("", "bench-")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	file, err := workshop.Create(context.Background(), filepath.Join(dir, "mine"+workshop.Extension))
	if err != nil {
		panic(err)
	}
	defer file.Close()
	bench := web.New(web.Config{Workshop: file})
	if err := bench.Begin(context.Background()); err != nil {
		panic(err)
	}
	server := httptest.NewServer(bench)
	defer server.Close()
	answer, err := http.Get(server.URL)
	if err != nil {
		panic(err)
	}
	defer answer.Body.Close()
	fmt.Println(answer.StatusCode, len(answer.Request.URL.Path) == len("/stove/")+16)
	// Output: 200 true
}
