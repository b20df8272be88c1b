package web

import (
	"bytes"
	"embed"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
)

//go:embed templates
var templateFiles embed.FS

// page is the templates of one page: "layout" for the whole, "parts" for what
// is sent when the script has changed something.
type page struct{ *template.Template }

// parsePages reads the templates. Words come from the catalogue alone.
func (b *Bench) parsePages() map[string]*page {
	c := b.Catalogue
	base := template.New("").Funcs(template.FuncMap{
		"say":    c.Say,
		"t":      c.S,
		"val":    c.Value,
		"num":    c.Number,
		"signed": c.Signed,
		"dim":    func(id string) message.Text { return message.T("stove.dim." + id) },
		"has":    c.Has,
		"asset":  b.assets.url,
		"unit":   func(v quantity.Value) string { return v.Unit.Symbol },
		"phase":  phaseWords,
		"pair":   func(first, second any) pair { return pair{first, second} },
		"join":   func(parts ...string) string { return strings.Join(parts, "") },
	})
	shared := template.Must(base.ParseFS(templateFiles, "templates/shared/*.html"))
	names, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		panic(err)
	}
	pages := make(map[string]*page)
	for _, name := range names {
		t := template.Must(template.Must(shared.Clone()).ParseFS(templateFiles, name))
		pages[strings.TrimSuffix(path.Base(name), ".html")] = &page{t}
	}
	return pages
}

// pair is two things for a template that takes one.
type pair struct{ First, Second any }

// frame is what every page has around its own matter.
type frame struct {
	Lang   string
	Stage  string       // "brief", "stove", "fire", "explore", "kit", "workshop", "proof", "problem"
	Title  message.Text // before the program's name in the window's title
	Design *design      // the stove at hand; nil on pages about none
	Last   string       // the stove that the stages lead to
	Said   message.Text // told to screen readers after a change
	// Others are words of the catalogue that the script needs.
	Unsaved message.Text
}

// frame starts a page that is about no stove.
func (b *Bench) frame(stage, title string, args ...any) frame {
	return frame{Lang: b.Catalogue.Language(), Stage: stage, Title: message.T(title, args...), Unsaved: message.T("web.unsaved")}
}

// frameOf starts a page about a stove.
func (b *Bench) frameOf(d *design, stage string) frame {
	f := b.frame(stage, "web.stage."+stage)
	f.Design, f.Last = d, d.ID
	return f
}

// Stages are the stages of the work in their order, as the navigation has them.
func (frame) Stages() []string { return []string{"brief", "stove", "fire", "explore", "kit"} }

// StagePath is the address of a stage of the stove at hand.
func (f frame) StagePath(stage string) string {
	if stage == "stove" {
		return "/stove/" + f.Last
	}
	return "/stove/" + f.Last + "/" + stage
}

// scripted reports whether the page's script asks and wants only the parts.
func scripted(r *http.Request) bool { return r.Header.Get("Bench-Parts") != "" }

// show answers with a whole page.
func (b *Bench) show(w http.ResponseWriter, status int, name string, data any) {
	b.render(w, status, name, "layout", data)
}

// answer shows a page: whole, or its parts to the script.
func (b *Bench) answer(w http.ResponseWriter, r *http.Request, name string, data any) {
	part := "layout"
	if scripted(r) {
		part = "parts"
	}
	b.render(w, http.StatusOK, name, part, data)
}

// render answers with one template of a page. It is written out at once, so
// that a failure in the middle still gives a whole answer.
func (b *Bench) render(w http.ResponseWriter, status int, name, part string, data any) {
	var out bytes.Buffer
	if err := b.pages[name].ExecuteTemplate(&out, part, data); err != nil {
		b.Log.Error("template", "page", name, "part", part, "err", err)
		http.Error(w, b.Catalogue.S("web.internal"), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(out.Bytes())
}

// done answers a change: the script gets the parts that may look different, a
// browser without it is sent back to the page.
func (b *Bench) done(w http.ResponseWriter, r *http.Request, name string, data any, back string) {
	if scripted(r) {
		b.render(w, http.StatusOK, name, "parts", data)
		return
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
}
