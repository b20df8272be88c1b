// Package web is the bench: the pages on which a stove is briefed, sized and
// made, served to the browser of the same machine. Pages are drawn on the
// server and work without scripts; one small script makes them follow each key
// and each touch on the drawing. The package does no arithmetic of the trade.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"sync"

	"stovewright/message"
	"stovewright/proof"
	"stovewright/workshop"
)

// Config is what the bench stands on.
type Config struct {
	Workshop  *workshop.File       // open; the caller closes it
	Catalogue *message.Catalogue   // words; English where nil
	Log       *slog.Logger         // requests and failures; nowhere where nil
	Proof     func() []proof.Check // the register, for the Proof page; none where nil
	Hosts     []string             // names to be asked by, beside those of this machine
	Key       string               // what visitors from the local network must bring; "" where there are none
	Wiring    Wiring               // the way to scales and thermometers; the serial ports of this machine where zero
}

// Bench serves the pages.
type Bench struct {
	Config
	pages   map[string]*page
	assets  *assets
	handler http.Handler

	// changing serialises what reads a design, alters it and writes it back, so
	// that two windows do not lose each other's keys.
	changing sync.Mutex

	shelf   kitShelf
	beliefs beliefShelf
	fires   fireShelf

	instruments instrumentShelf
	studies     *studyRoom
	whys        whyShelf

	proofOnce sync.Once
	proven    []proof.Result
}

// New makes a bench. It serves at once; it writes to the workshop file only
// when somebody changes something.
func New(c Config) *Bench {
	if c.Catalogue == nil {
		c.Catalogue = message.English()
	}
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Wiring.Open == nil {
		c.Wiring = wires
	}
	b := &Bench{Config: c, assets: loadAssets(), studies: newStudyRoom()}
	b.pages = b.parsePages()
	b.handler = headers(b.logged(b.knownHost(b.sameSite(b.invited(b.routes())))))
	return b
}

// ServeHTTP answers a request.
func (b *Bench) ServeHTTP(w http.ResponseWriter, r *http.Request) { b.handler.ServeHTTP(w, r) }

// action answers a request or says what is wrong.
type action func(w http.ResponseWriter, r *http.Request) error

func (b *Bench) routes() http.Handler {
	mux := http.NewServeMux()
	upTo := func(most int64) func(string, action) {
		return func(pattern string, do action) {
			mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
				r.Body = http.MaxBytesReader(w, r.Body, most)
				if err := do(w, r); err != nil {
					b.fail(w, r, err)
				}
			})
		}
	}
	on, large := upTo(maxBody), upTo(maxImport)
	mux.Handle("GET /static/{name}", b.assets)
	on("GET /{$}", b.home)

	on("GET /stove/{id}/brief", b.showBrief)
	on("POST /stove/{id}/brief", b.writeBrief)
	on("POST /stove/{id}/brief/key", b.writeKey)

	on("GET /stove/{id}", b.showStove)
	on("POST /stove/{id}/set", b.setDimension)
	on("POST /stove/{id}/choose", b.choose)
	on("GET /stove/{id}/drawing/{name}", b.drawingFile)

	on("GET /stove/{id}/kit", b.showKit)
	on("GET /stove/{id}/kit/pattern/{pattern}", b.showPattern)
	on("GET /stove/{id}/kit/booklet/{paper}", b.kitBooklet)
	on("GET /stove/{id}/kit/file/{name...}", b.kitFile)

	on("POST /stove/{id}/undo", b.undo)
	on("POST /stove/{id}/redo", b.redo)
	on("POST /stove/{id}/settle", b.settleConflict)
	on("GET /stove/{id}/history", b.showHistory)
	on("POST /stove/{id}/restore", b.restore)
	on("GET /stove/{id}/file", b.briefFile)
	on("POST /stove/{id}/copy", b.copyStove)
	on("POST /stove/{id}/delete", b.deleteStove)
	on("POST /stove/{id}/undelete", b.undeleteStove)
	on("POST /stove/{id}/repair", b.repair)

	on("GET /workshop", b.showWorkshop)
	on("POST /workshop/new", b.newStove)
	on("POST /workshop/import", b.importBrief)
	on("POST /workshop/who", b.setWho)
	on("GET /workshop/export", b.exportWorkshop)
	large("POST /workshop/restore", b.importWorkshop)
	b.testRoutes(on, large)
	b.brickRoutes(on)
	b.fireRoutes(on)
	b.exploreRoutes(on)
	on("GET /proof", b.showProof)
	on("/", func(http.ResponseWriter, *http.Request) error { return missing() })
	return mux
}

// home leads to the stove that was open last.
func (b *Bench) home(w http.ResponseWriter, r *http.Request) error {
	if id := b.last(r.Context()); id != "" {
		http.Redirect(w, r, "/stove/"+id, http.StatusSeeOther)
		return nil
	}
	http.Redirect(w, r, "/workshop", http.StatusSeeOther)
	return nil
}

// lastSetting names the stove that was open last.
const lastSetting = "bench.last"

// last is the stove that was open last and is still there, or any other.
func (b *Bench) last(ctx context.Context) string {
	list, err := b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind})
	if err != nil || len(list) == 0 {
		return ""
	}
	if settings, err := b.Workshop.Settings(ctx); err == nil {
		for _, rec := range list {
			if rec.ID == settings[lastSetting] {
				return rec.ID
			}
		}
	}
	return list[0].ID
}

// opened remembers which stove is open.
func (b *Bench) opened(ctx context.Context, id string) {
	settings, err := b.Workshop.Settings(ctx)
	if err == nil && settings[lastSetting] != id {
		err = b.Workshop.Set(ctx, lastSetting, id)
	}
	if err != nil { // a convenience: the page is worth more
		b.Log.Warn("last stove not kept", "err", err)
	}
}
