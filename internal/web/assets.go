package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"mime"
	"net/http"
	"path"
	"time"
)

//go:embed static
var staticFiles embed.FS

// assets are the stylesheet, the script and the icon, each known by its hash:
// a page names it, so a browser keeps it until it changes.
type assets struct {
	files map[string]asset
}

type asset struct {
	data []byte
	hash string
	kind string
}

func loadAssets() *assets {
	a := &assets{files: make(map[string]asset)}
	entries, err := staticFiles.ReadDir("static")
	if err != nil {
		panic(err) // the files are part of the program
	}
	for _, e := range entries {
		data, err := staticFiles.ReadFile("static/" + e.Name())
		if err != nil {
			panic(err)
		}
		sum := sha256.Sum256(data)
		kind := mime.TypeByExtension(path.Ext(e.Name()))
		if path.Ext(e.Name()) == ".js" { // some machines have this one wrong
			kind = "text/javascript; charset=utf-8"
		}
		a.files[e.Name()] = asset{data, hex.EncodeToString(sum[:8]), kind}
	}
	return a
}

// url is the address of an asset with its hash.
func (a *assets) url(name string) string { return "/static/" + name + "?v=" + a.files[name].hash }

// ServeHTTP gives an asset; for ever when asked by its hash.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := a.files[r.PathValue("name")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", f.kind)
	w.Header().Set("ETag", `"`+f.hash+`"`)
	if r.URL.Query().Get("v") == f.hash {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		w.Header().Set("Cache-Control", "no-cache")
	}
	http.ServeContent(w, r, r.PathValue("name"), time.Time{}, bytes.NewReader(f.data))
}
