package web

import (
	"context"
	"errors"
	"net/http"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
)

// exploreRoutes are the pages that ask what to change. A question whose answer
// takes long is a study: see [Bench.launch].
func (b *Bench) exploreRoutes(on func(pattern string, do action)) {
	on("GET /stove/{id}/explore", b.showPays)
	on("POST /stove/{id}/explore/keep", b.keepTried)
	on("GET /stove/{id}/explore/why", b.showWhy)
	on("GET /stove/{id}/explore/{question}", b.showQuestion)
	on("POST /stove/{id}/explore/{question}", b.startStudy)
	on("POST /stove/{id}/explore/{question}/{study}/{do}", b.changeStudy)
	on("GET /stove/{id}/explore/{question}/{study}/file/{name}", b.studyFile)
}

// exploreStage names the pages in the navigation.
const exploreStage = "explore"

// explorePages are the questions in the order of their tabs, with what follows
// the page's address.
var explorePages = []string{paysPage, "search", "tolerance", "spread", whyPage, "learn", "pots"}

// The two questions that are answered at once.
const (
	paysPage = "pays"
	whyPage  = "why"
)

// exploreFrame is what the pages have around their own matter.
type exploreFrame struct {
	frame
	Question string
	Needed   int // why there is no stove
	Repairs  []repair
	View     string
	Choked   *choked
	Failed   message.Text // why there is no outcome
	Own      int          // coefficients that are not the table's
}

// CannotBuild reports whether there is no stove, and the page must say why.
func (p exploreFrame) CannotBuild() bool { return p.Design.Stove == nil }

// Burns reports whether there is a stove alight, so that there is something to
// ask.
func (p exploreFrame) Burns() bool {
	return p.Design.Stove != nil && p.Choked == nil && p.Failed.ID == ""
}

// Asks reports whether the question can be asked of the stove. A search may mend one
// that does not burn.
func (p exploreFrame) Asks() bool {
	return p.Burns() || p.Question == "search" && p.Design.Stove != nil
}

// Questions are the tabs.
func (exploreFrame) Questions() []string { return explorePages }

// Path is the address of a question about the stove at hand.
func (p exploreFrame) Path(question string) string {
	if question == paysPage {
		return "/stove/" + p.Design.ID + "/explore"
	}
	return "/stove/" + p.Design.ID + "/explore/" + question
}

// exploreFrame starts a page about a stove: where that cannot be built or
// chokes, the page says so and asks nothing.
func (b *Bench) exploreFrame(ctx context.Context, d *design, question string) (exploreFrame, explore.Subject, error) {
	p := exploreFrame{frame: b.frameOf(d, exploreStage), Question: question, View: views[0].name}
	if d.Stove == nil {
		p.Repairs, p.Needed = repairs(b, d.Complaints)
		return p, explore.Subject{}, nil
	}
	s, err := b.subject(ctx, d)
	if err != nil {
		return p, s, err
	}
	p.Own = s.Coefficients.Changed()
	form, _, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return p, s, err
	}
	x, err := b.lightUp(d, fire.Form{Stove: d.ID, Coefficients: form.Coefficients})
	if err != nil {
		return p, s, err
	}
	p.trouble(b, d, x)
	return p, s, nil
}

// trouble says why a stove has no outcome, if it has none.
func (p *exploreFrame) trouble(b *Bench, d *design, x *burning) {
	var chokedError *fire.ChokedError
	switch {
	case errors.As(x.err, &chokedError):
		p.Choked = b.choked(d, x, chokedError)
	case x.err != nil:
		p.Failed = failure(x.err)
	case x.runErr != nil:
		p.Failed = failure(x.runErr)
	}
}

// subject is a design as package explore takes it, with the coefficients that
// stand on its Fire page.
func (b *Bench) subject(ctx context.Context, d *design) (explore.Subject, error) {
	form, _, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return explore.Subject{}, err
	}
	filled, _ := filledIn(d.Form)
	s := explore.Subject{Form: filled, Depth: explore.Cold}
	// what cannot be read on the Fire page is complained about there
	_, s.Coefficients, _ = form.Read(fire.Light(d.Stove))
	return s, nil
}

// openExplore loads the stove of a request for one of the pages.
func (b *Bench) openExplore(r *http.Request, question string) (*design, exploreFrame, explore.Subject, error) {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return nil, exploreFrame{}, explore.Subject{}, err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return nil, exploreFrame{}, explore.Subject{}, err
	}
	b.opened(ctx, d.ID)
	p, s, err := b.exploreFrame(ctx, d, question)
	return d, p, s, err
}
