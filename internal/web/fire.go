package web

import (
	"bytes"
	"context"
	"errors"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"strings"

	protocol "stovewright/bench"
	"stovewright/drawing"
	"stovewright/fire"
	firefigure "stovewright/fire/figure"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// fireRoutes are the pages of a stove alight.
func (b *Bench) fireRoutes(on func(pattern string, do action)) {
	on("GET /stove/{id}/fire", b.showFire)
	on("POST /stove/{id}/fire", b.writeFire)
	on("POST /stove/{id}/fire/key", b.keyFire)
	on("GET /stove/{id}/fire/later/{what}", b.laterFire)
	on("GET /stove/{id}/fire/file/{name}", b.fireFile)
}

// firePage is a stove alight, as the model has it.
type firePage struct {
	frame
	Needed  int // why there is no stove
	Repairs []repair
	View    string // for the forms of the repairs

	Key     string // of the state of stove and fire
	Power   powerField
	Fields  []fireField
	Changed int // coefficients that are not the table's
	Outside []message.Text
	Groups  []coefficientGroup
	Brief   fireBrief

	Choked    *choked
	Failed    message.Text // why there is no steady point, or no boiling test
	Alight    bool         // there is a steady point
	Boils     bool         // and a boiling test
	Verdict   []tile
	Path      template.HTML
	Balance   template.HTML
	Draft     template.HTML
	Boil      template.HTML
	Says      []message.Text
	Cautions  []message.Text
	Rings     []fireRing
	Phases    []phaseColumn
	Rows      []phaseRow
	Skin      []skinRow
	SkinWords []message.Text
	Soaked    bool
	NoDraws   message.Text // why there are no bands
	Bands     *bandTable
	BoilBands *bandTable
	Against   []againstOption
	Chosen    string // against which stove
	Diff      *difference
	Findings  []findingRow
	Noted     []fire.Noted // published, and not predicted
}

// CannotBuild reports whether there is no stove, and the page must say why.
func (p firePage) CannotBuild() bool { return p.Design.Stove == nil }

// sheetPart is a figure with what its file is called.
type sheetPart struct {
	ID, Name string
	Drawing  template.HTML
}

// Sheet is a figure of the page by its name.
func (p firePage) Sheet(name string) sheetPart {
	drawings := map[string]template.HTML{"path": p.Path, "balance": p.Balance, "draft": p.Draft, "boil": p.Boil}
	return sheetPart{p.Design.ID, name, drawings[name]}
}

// laterPart is a part that is still to be computed, and where it comes from.
type laterPart struct {
	ID, What, Against, Address string
	Turn                       int
}

// Later is a slow part of the page by its name.
func (p firePage) Later(what string) laterPart {
	address := "/stove/" + p.Design.ID + "/fire/later/" + what + "?of=" + p.Key
	if what == "difference" {
		address += "&against=" + url.QueryEscape(p.Chosen)
	}
	return laterPart{p.Design.ID, what, p.Chosen, address, lateParts[what]}
}

// fireBrief is what of the brief the fire stands on.
type fireBrief struct {
	Fuel     message.Text
	Moisture quantity.Value
	Altitude quantity.Value
	Air      quantity.Value
	Boiling  quantity.Value
}

// choked says which ring chokes and what may be done.
type choked struct {
	Text  message.Text
	Widen message.Text
	Dims  []string // the dimensions that would widen it
	Power string   // that the stove can burn, as it would be written; "" for none
}

// lateParts are the parts of the page that take their time, in their turn: the
// quickest first.
var lateParts = map[string]int{"bands": 1, "skin": 2, "difference": 3, "boil": 4}

// showFire shows the page. With a part named, that part is computed first: the
// way without a script.
func (b *Bench) showFire(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	b.opened(ctx, d.ID)
	p, err := b.firePage(ctx, d, r.URL.Query().Get("with"), r.URL.Query().Get("against"))
	if err != nil {
		return err
	}
	b.answer(w, r, "fire", p)
	return nil
}

// laterFire computes one of the slow parts and answers with it alone. Nobody
// waits for it: when the page is left or changed, the work ends.
func (b *Bench) laterFire(w http.ResponseWriter, r *http.Request) error {
	ctx, what := r.Context(), r.PathValue("what")
	if lateParts[what] == 0 {
		return missing()
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	p, err := b.firePage(ctx, d, what, r.URL.Query().Get("against"))
	if ctx.Err() != nil {
		return nil // nobody waits any more
	}
	if err != nil {
		return err
	}
	if !scripted(r) { // a link of a page that is no longer open
		http.Redirect(w, r, "/stove/"+d.ID+"/fire", http.StatusSeeOther)
		return nil
	}
	b.render(w, http.StatusOK, "fire", "later-"+what, p)
	return nil
}

// firePage computes the page; of the slow parts only the one that is asked for.
func (b *Bench) firePage(ctx context.Context, d *design, with, against string) (firePage, error) {
	p := firePage{frame: b.frameOf(d, "fire"), View: views[0].name, Chosen: against}
	if d.Stove == nil {
		p.Repairs, p.Needed = repairs(b, d.Complaints)
		return p, nil
	}
	form, _, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return p, err
	}
	x, err := b.lightUp(d, form)
	if err != nil {
		return p, err
	}
	p.Key = x.key
	p.settings(b.Catalogue, form, x)
	p.Outside = x.c.Outside()
	var chokedError *fire.ChokedError
	switch {
	case errors.As(x.err, &chokedError):
		p.Choked = b.choked(d, x, chokedError)
		return p, nil
	case x.err != nil:
		p.Failed = failure(x.err)
		return p, nil
	}
	p.Alight = true
	if x.runErr != nil {
		p.Failed = failure(x.runErr)
	}
	p.Boils = x.runErr == nil
	if err := b.slowParts(ctx, &p, d, x, with); err != nil {
		return p, err
	}
	p.quick(b, d, x)
	return p, nil
}

// slowParts computes the part that is asked for and takes over what is there.
func (b *Bench) slowParts(ctx context.Context, p *firePage, d *design, x *burning, with string) (err error) {
	switch {
	case with == "bands":
		err = x.needBands(ctx)
	case with == "boil" && p.Boils:
		err = x.needBoilBands(ctx)
	case with == "skin" && p.Boils:
		err = x.needSoak()
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil { // no draw has a solution
		p.NoDraws = message.T("web.fire.bands.none")
	}
	bands, boilBands, soak := x.peek()
	p.Soaked = soak != nil
	p.skin(d, x, soak)
	if bands != nil {
		p.Bands = steadyTable(*bands)
	}
	if p.Boils {
		if boilBands != nil {
			p.BoilBands = boilTable(*boilBands)
		}
		p.Boil = b.svg(firefigure.Boil(x.run, boilBands, b.Catalogue))
	}
	p.Verdict = tiles(x, bands, boilBands)
	if err := b.againstWhat(ctx, p, d); err != nil {
		return err
	}
	if with == "difference" && p.Chosen != "" {
		p.Diff, err = b.differ(ctx, d, x, p.Chosen)
	}
	return err
}

// quick fills in what is there at once.
func (p *firePage) quick(b *Bench, d *design, x *burning) {
	p.Path = b.svg(firefigure.Path(d.Stove, x.rings, b.Catalogue))
	p.Balance = b.svg(firefigure.Balance(x.point.Heat, b.Catalogue))
	p.Draft = b.svg(firefigure.Draft(x.point, b.Catalogue))
	p.Says, p.Cautions = x.says, x.point.Cautions()
	p.Rings = fireRings(x.rings)
	if p.Boils {
		p.Phases, p.Rows = phaseTable(x)
		p.Findings, p.Noted = findingRows(x), fire.NotPredicted()
	}
}

// failure puts an error of the model into words.
func failure(err error) message.Text {
	var said interface{ Text() message.Text }
	complaints, _ := message.Complaints(err)
	switch {
	case errors.As(err, &said):
		return said.Text()
	case len(complaints) > 0:
		return message.T("web.fire.cannot", "field", complaints[0].Field, "reason", complaints[0].Reason)
	}
	return message.T("web.fire.unsolved")
}

// choked says which ring chokes, what would open it, and with how much fire the
// stove could do.
func (b *Bench) choked(d *design, x *burning, e *fire.ChokedError) *choked {
	c := &choked{Text: e.Text(), Widen: e.Widen()}
	for _, dim := range e.Place.Dimensions() {
		if d.Stove.Dimension(dim) != nil {
			c.Dims = append(c.Dims, dim)
		}
	}
	if most, err := x.model.MostPower(x.c, fire.SmokeLimit, x.pot); err == nil && most >= leastOffered {
		v := quantity.KW(most)
		v.SI = math.Floor(most/tenth) * tenth // down to what is written
		c.Power = b.Catalogue.Value(v)
	}
	return c
}

// leastOffered is the smallest firepower that the page takes, and tenth what it
// is rounded to, W.
const leastOffered, tenth = 500.0, 100.0

// svg is a figure as it stands in a page.
func (b *Bench) svg(s *drawing.Sheet) template.HTML {
	var out bytes.Buffer
	if err := s.SVG(&out); err != nil {
		return "" // a buffer takes everything
	}
	return template.HTML(out.String()) // package drawing escapes every text it writes
}

// writeFire takes the whole form, with or without a button that puts something
// back.
func (b *Bench) writeFire(w http.ResponseWriter, r *http.Request) error {
	p, d, err := b.takeFire(w, r, false)
	if err != nil {
		return err
	}
	b.done(w, r, "fire", p, "/stove/"+d.ID+"/fire")
	return nil
}

// keyFire takes what the script sends while somebody types or slides.
func (b *Bench) keyFire(w http.ResponseWriter, r *http.Request) error {
	p, _, err := b.takeFire(w, r, true)
	if err != nil {
		return err
	}
	b.render(w, http.StatusOK, "fire", "keyed", p)
	return nil
}

// sliderName is the slider of the firepower, which is no field of the form: a
// browser without a script would send it with every change.
const sliderName = "slide"

func (b *Bench) takeFire(w http.ResponseWriter, r *http.Request, keyed bool) (p firePage, d *design, err error) {
	if err := r.ParseForm(); err != nil {
		return p, nil, err
	}
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if d, err = b.load(ctx, r.PathValue("id")); err != nil {
		return p, nil, err
	}
	form, o, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return p, nil, err
	}
	slid := keyed && r.PostForm.Has(sliderName)
	if slid {
		r.PostForm.Set("power", r.PostForm.Get(sliderName)+" kW")
	}
	if !writeFireForm(&form, r.PostForm) {
		return p, nil, missing()
	}
	if err := b.keepFire(ctx, d, form, o); err != nil {
		return p, nil, err
	}
	if p, err = b.firePage(ctx, d, "", ""); err == nil {
		p.Power.Slid = slid
	}
	return p, d, err
}

// writeFireForm puts what the page sent into the form; false where a button
// means nothing.
func writeFireForm(f *fire.Form, sent url.Values) bool {
	for path, texts := range sent {
		if key, ok := strings.CutPrefix(path, "coefficients."); ok {
			setCoefficient(f, key, tidy(texts[0]))
		} else if _, ok := fire.Fields.Find(path); ok && path != "stove" {
			writeSlot(f, path, tidy(texts[0]))
		}
	}
	verb, what, _ := strings.Cut(sent.Get("do"), ":")
	switch verb {
	case "":
	case "table": // one coefficient, or all
		if what == "" {
			f.Coefficients = nil
		} else {
			setCoefficient(f, what, "")
		}
	case "planned":
		*f = fire.Form{Stove: f.Stove, Coefficients: f.Coefficients}
	case "try":
		path, text, _ := strings.Cut(what, "=")
		if key, ok := strings.CutPrefix(path, "coefficients."); ok {
			setCoefficient(f, key, tidy(text))
			return true
		}
		_, ok := fire.Fields.Find(path)
		return ok && path != "stove" && writeSlot(f, path, tidy(text))
	default:
		return false
	}
	return true
}

// setCoefficient writes a coefficient of the table; an empty one is the table's.
func setCoefficient(f *fire.Form, key, text string) {
	if _, known := fire.CoefficientByKey(key); !known {
		return
	}
	if strings.TrimSpace(text) == "" {
		delete(f.Coefficients, key)
		if len(f.Coefficients) == 0 {
			f.Coefficients = nil
		}
		return
	}
	if f.Coefficients == nil {
		f.Coefficients = map[string]string{}
	}
	f.Coefficients[key] = text
}

// fireFile gives a figure to keep, or what is asked of the fire as a file.
func (b *Bench) fireFile(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	form, _, err := b.loadFire(r.Context(), d.ID)
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	if name == "fire.yaml" {
		form.Stove = ""
		doc, err := form.Write()
		if err != nil {
			return err
		}
		download(w, "application/yaml", fileName(d.Form.Name, name), doc)
		return nil
	}
	if d.Stove == nil {
		return missing()
	}
	x, err := b.lightUp(d, form)
	if err != nil {
		return err
	}
	if name == "test.yaml" {
		return b.computedTest(w, d, x)
	}
	view, format, _ := strings.Cut(name, ".")
	sheet := b.fireSheet(d, x, view)
	if sheet == nil {
		return missing()
	}
	return downloadSheet(w, sheet, format, fileName(d.Form.Name, "fire-"+name))
}

// computedTest gives the boiling test in the very form of a measured one, with a
// note that it is none and is left out of every series.
func (b *Bench) computedTest(w http.ResponseWriter, d *design, x *burning) error {
	if x.err != nil || x.runErr != nil {
		return missing()
	}
	note := b.Catalogue.S("web.fire.test-note")
	form := x.model.BoilingForm(x.run, protocol.AboutForm{Stove: d.Form.Name, Test: b.Catalogue.S("web.fire.test-name"), Note: note, LeftOut: note})
	doc, err := form.Write()
	if err != nil {
		return err
	}
	download(w, "application/yaml", fileName(d.Form.Name, "computed-boiling.yaml"), append([]byte("# "+note+"\n"), doc...))
	return nil
}

// fireSheet draws a figure by its name; nil where there is none.
func (b *Bench) fireSheet(d *design, x *burning, name string) *drawing.Sheet {
	if x.err != nil {
		return nil
	}
	_, boilBands, _ := x.peek()
	switch {
	case name == "path":
		return firefigure.Path(d.Stove, x.rings, b.Catalogue)
	case name == "balance":
		return firefigure.Balance(x.point.Heat, b.Catalogue)
	case name == "draft":
		return firefigure.Draft(x.point, b.Catalogue)
	case name == "boil" && x.runErr == nil:
		return firefigure.Boil(x.run, boilBands, b.Catalogue)
	}
	return nil
}

// againstWhat lists with which stoves this one can be compared.
func (b *Bench) againstWhat(ctx context.Context, p *firePage, d *design) error {
	was, err := b.before(ctx, d)
	if err != nil {
		was = nil // an unreadable past is no reason to hide the present
	}
	if was != nil && was.Stove != nil {
		p.Against = append(p.Against, againstOption{ID: lastChange, Text: message.T("web.fire.against.before"), Chosen: p.Chosen == "" || p.Chosen == lastChange})
	}
	list, err := b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind})
	if err != nil {
		return err
	}
	for _, rec := range list {
		if rec.ID != d.ID {
			p.Against = append(p.Against, againstOption{ID: rec.ID, Name: rec.Head.Name, Chosen: p.Chosen == rec.ID})
		}
	}
	if p.Chosen == "" && len(p.Against) > 0 {
		p.Chosen = p.Against[0].ID
		p.Against[0].Chosen = true
	}
	return nil
}

// lastChange stands for the stove as it was before its last change.
const lastChange = "before"

type againstOption struct {
	ID, Name string
	Text     message.Text
	Chosen   bool
}

// difference is what one stove does against another at the same firepower, with
// what both share cancelled.
type difference struct {
	Draws  int
	Boils  int // draws of the boiling test
	Rows   []bandRow
	Words  []message.Text
	Failed message.Text
}

// differ compares a design with another one by common draws: fuel, coefficients
// and firepower are those of this stove for both.
func (b *Bench) differ(ctx context.Context, d *design, x *burning, against string) (*difference, error) {
	var was *design
	var err error
	if against == lastChange {
		was, err = b.before(ctx, d)
	} else {
		was, err = b.load(ctx, against)
	}
	if err != nil {
		return nil, err
	}
	if was == nil || was.Stove == nil {
		return &difference{Failed: message.T("web.fire.against.none")}, nil
	}
	other := fire.Light(was.Stove)
	other.Air, other.Fuel, other.Moisture = x.lit.Air, x.lit.Fuel, x.lit.Moisture
	model, err := other.Model()
	if err != nil {
		return &difference{Failed: failure(err)}, nil
	}
	draws, err := x.model.NewDraws(x.c, steadyDraws, drawSeed)
	if err != nil {
		return nil, err
	}
	efficiency, air, err := model.Difference(x.model, draws.While(ctx), x.lit.Task.Power, x.pot)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil { // one of the two chokes in every draw
		return &difference{Failed: message.T("web.fire.against.chokes")}, nil
	}
	few, err := x.model.NewDraws(x.c, boilDraws, drawSeed)
	if err != nil {
		return nil, err
	}
	diff := differenceOf(efficiency, air)
	if time, wood, err := model.BoilDifference(x.model, few.While(ctx), x.lit.Task, 0); err == nil {
		diff.boil(time, wood)
	}
	return diff, ctx.Err()
}
