package web

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/message"
	"stovewright/quantity"
)

// paysView is what pays most: small changes of the stove, and what they do.
// Changes may be tried together; they stand in the address of the page until
// somebody keeps them on the stove.
type paysView struct {
	exploreFrame
	Metric   explore.Metric
	Tiles    []metricTile
	Tries    []tryRow
	More     []tryRow // those that move the metric least
	MoreOpen bool
	Tried    []tried
	Trouble  message.Text // why the tried stove has no numbers
	Picture  *pictured
	Unsure   []message.Text
	Varies   []message.Text
}

// Here is the address of the page as it stands, and Plain that of the stove as it
// is kept.
func (p paysView) Here() string  { return paysPath(p.Design.ID, p.Metric, p.Tried, "") }
func (p paysView) Plain() string { return paysPath(p.Design.ID, p.Metric, nil, "") }

// CanKeep reports whether what is tried can be written to the stove.
func (p paysView) CanKeep() bool {
	return len(p.Tried) > 0 && !slices.ContainsFunc(append(p.Tries, p.More...), func(t tryRow) bool { return t.Error != nil })
}

// metricTile is one metric: what the stove does, and what it would do.
type metricTile struct {
	Key     string
	Name    message.Text
	Address string
	Kept    quantity.Value
	Now     quantity.Value
	Changed bool
	Change  quantity.Value
	Chosen  bool
}

// tryRow is a dimension that can be tried otherwise.
type tryRow struct {
	ID                 string
	Name               message.Text
	Text               string // in the field
	Was                string // of the stove as kept
	Tried              bool
	At, From, To, Step float64 // of the slider, in the unit
	Unit               string
	Less, More         string // one step down and up
	Says               message.Text
	Error              *message.InputError
	DropPath           string // of the page without this change
}

// State names the row's state for style and script.
func (t tryRow) State() string {
	if t.Error != nil {
		return "wrong"
	}
	return "right"
}

// tried is one dimension with the text that was tried for it.
type tried struct{ ID, Text string }

// String is the change as the address has it.
func (t tried) String() string { return t.ID + "=" + t.Text }

// mostTried is how many changes an address may hold.
const mostTried = 32

// shownTries is how many dimensions are offered before the rest folds away.
const shownTries = 5

// triedIn reads the changes of a request: those of the address, and from the
// form every field that no longer says what it said.
func triedIn(d *design, sent url.Values) (list []tried) {
	put := func(t tried) {
		if i := slices.IndexFunc(list, func(x tried) bool { return x.ID == t.ID }); i >= 0 {
			list[i] = t
		} else if len(list) < mostTried && d.Stove.Dimension(t.ID) != nil {
			list = append(list, t)
		}
	}
	for _, text := range sent["try"] {
		if id, value, ok := strings.Cut(text, "="); ok {
			put(tried{id, tidy(value)})
		}
	}
	for _, id := range explore.ChosenKeys {
		if was, ok := sent["was."+id]; ok && sent.Has(id) && sent.Get(id) != was[0] {
			put(tried{id, tidy(sent.Get(id))})
		}
	}
	if id, value, ok := strings.Cut(sent.Get("step"), "="); ok {
		put(tried{id, tidy(value)})
	}
	return slices.DeleteFunc(list, func(t tried) bool { return strings.TrimSpace(t.Text) == "" })
}

// paysPath is the address of what is tried.
func paysPath(id string, m explore.Metric, list []tried, without string) string {
	q := url.Values{"metric": {m.String()}}
	for _, t := range list {
		if t.ID != without {
			q.Add("try", t.String())
		}
	}
	return "/stove/" + id + "/explore?" + q.Encode()
}

// showPays shows the page; to its own form it answers with the changes in the
// address, so that it can be kept as a bookmark and gone back to.
func (b *Bench) showPays(w http.ResponseWriter, r *http.Request) error {
	d, frame, subject, err := b.openExplore(r, paysPage)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	p := paysView{exploreFrame: frame, Metric: metricOf(r.Form.Get("metric"))}
	if !p.Burns() {
		b.answer(w, r, "explore", p)
		return nil
	}
	p.Tried = triedIn(d, r.Form)
	if r.Form.Has("step") || r.Form.Has("form") {
		if !scripted(r) {
			http.Redirect(w, r, paysPath(d.ID, p.Metric, p.Tried, ""), http.StatusSeeOther)
			return nil
		}
	}
	if err := b.fillPays(&p, d, subject); err != nil {
		return err
	}
	if scripted(r) && r.Form.Has("form") {
		b.render(w, http.StatusOK, "explore", "tried", p)
		return nil
	}
	b.answer(w, r, "explore", p)
	return nil
}

// metricOf is a metric by its key; the first where the key says none.
func metricOf(key string) explore.Metric {
	m, _ := explore.MetricByKey(key)
	return m
}

// fillPays computes the page: the stove as kept and as tried, and what a step of
// each input does to the tried one.
func (b *Bench) fillPays(p *paysView, d *design, kept explore.Subject) error {
	next, complaints, err := d.try(p.Tried)
	if err != nil {
		return err
	}
	at, now := d, kept
	if next.Stove != nil && len(complaints) == 0 {
		at = next
		now.Form, _ = filledIn(next.Form)
	}
	before, err := kept.Outcome()
	if err != nil {
		return err
	}
	after, err := now.Outcome()
	if err != nil {
		return err
	}
	if math.IsNaN(after[explore.BoilTime]) {
		p.Trouble = message.T("web.explore.tried-chokes")
	}
	p.tiles(d.ID, before, after)
	inputs := explore.ChosenInputs(at.Stove, 0.1)
	inputs = append(inputs, explore.UncertainInputs(now.Coefficients)...)
	inputs = append(inputs, explore.VaryingInputs(explore.UsualPractice())...)
	now.Depth, kept.Depth = explore.Steady, explore.Steady // a rank of all in some milliseconds
	local, err := explore.LocalSensitivities(now, inputs)
	if err != nil {
		return err
	}
	order := local
	if at != d {
		if order, err = explore.LocalSensitivities(kept, explore.ChosenInputs(d.Stove, 0.1)); err != nil {
			return err
		}
	}
	p.rows(b, d, at, order, local, complaints)
	p.rank(local)
	p.Picture = b.pictured("ranking", func(c *message.Catalogue, width float64) *drawing.Sheet {
		return explorefigure.Ranking(local, p.Metric, mostSaid, c, width)
	})
	return nil
}

// try is a design with changes made to it, and what is wrong with them.
func (d *design) try(list []tried) (next *design, complaints message.InputErrors, err error) {
	next = d
	for _, t := range list {
		changed, err := next.with(sentSetting{id: t.ID, text: t.Text})
		if err != nil {
			return nil, nil, err
		}
		bad := newComplaints(next, changed, t.ID)
		for _, c := range bad {
			complaints = append(complaints, &message.InputError{Field: t.ID, Value: c.Value, Reason: c.Reason, Allowed: c.Allowed, Try: c.Try})
		}
		if len(bad) == 0 {
			next = changed
		}
	}
	return next, complaints, nil
}

// tiles sets the metrics side by side, as kept and as tried.
func (p *paysView) tiles(id string, before, after explore.Outcome) {
	for m := range explore.MetricCount {
		t := metricTile{Key: m.String(), Name: m.Name(), Address: paysPath(id, m, p.Tried, ""), Kept: m.Value(before[m]), Now: m.Value(after[m]), Chosen: m == p.Metric}
		if t.Changed = len(p.Tried) > 0 && p.Trouble.ID == "" && t.Kept.String() != t.Now.String(); t.Changed {
			t.Change = m.Change(after[m] - before[m])
		}
		p.Tiles = append(p.Tiles, t)
	}
}

// mostSaid is how many inputs of a group are said.
const mostSaid = 5

// rank says what the model is unsure of and what varies, the strongest first.
func (p *paysView) rank(local []explore.Local) {
	say := func(g explore.Group) (list []message.Text) {
		ranked := explore.Rank(local, g, p.Metric)
		for _, l := range ranked[:min(mostSaid, len(ranked))] {
			list = append(list, l.Say(p.Metric))
		}
		return list
	}
	p.Unsure, p.Varies = say(explore.Uncertain), say(explore.Varies)
}

// rows offers the dimensions. Their order is that of the stove as it is kept, so
// that no row moves while another is dragged.
func (p *paysView) rows(b *Bench, d, at *design, order, local []explore.Local, complaints message.InputErrors) {
	says := map[string]message.Text{}
	for _, l := range local {
		says[l.Input.Key] = l.Say(p.Metric)
	}
	for _, l := range explore.Rank(order, explore.Chosen, p.Metric) {
		id := l.Input.Key
		row := b.tryRow(d, at, id)
		row.Says = says[id]
		for _, t := range p.Tried {
			if t.ID == id {
				row.Tried, row.Text, row.DropPath = true, t.Text, paysPath(d.ID, p.Metric, p.Tried, id)
			}
		}
		for _, c := range complaints {
			if c.Field == id {
				row.Error = c
			}
		}
		p.MoreOpen = p.MoreOpen || row.Tried && len(p.Tries) >= shownTries
		if len(p.Tries) < shownTries {
			p.Tries = append(p.Tries, row)
		} else {
			p.More = append(p.More, row)
		}
	}
}

// tryRow is a dimension as it stands on the tried stove, with a slider over what
// the kept one allows, within half and twice its value.
func (b *Bench) tryRow(d, at *design, id string) tryRow {
	dim := d.Stove.Dimension(id)
	value := dim.Value
	in := func(si float64) float64 { return value.Unit.Number(si) }
	text := func(si float64) string { v := value; v.SI = si; return b.Catalogue.Value(v) }
	now := at.Stove.Value(id).SI
	low, high, _ := d.Stove.Range(id)
	low, high = max(low, value.SI/2), min(high, 2*value.SI)
	row := tryRow{ID: id, Name: message.T("stove.dim." + id), Text: text(now), Was: text(value.SI), Unit: value.Unit.Symbol,
		At: in(now), From: in(low), To: in(high), Step: value.Step}
	step := handyStep(value)
	if now-step >= low {
		row.Less = text(now - step)
	}
	if now+step <= high {
		row.More = text(now + step)
	}
	return row
}

// keepTried writes what is tried to the stove: one revision, which undo takes
// back like any other.
func (b *Bench) keepTried(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	d, frame, subject, err := b.openExplore(r, paysPage)
	if err != nil {
		return err
	}
	if d.Conflict != nil {
		return d.Conflict
	}
	if d.Stove == nil {
		return missing()
	}
	list := triedIn(d, r.PostForm)
	next, complaints, err := d.try(list)
	if err != nil {
		return err
	}
	m := metricOf(r.PostForm.Get("metric"))
	if len(complaints) > 0 {
		p := paysView{exploreFrame: frame, Metric: m, Tried: list}
		if p.Burns() {
			if err := b.fillPays(&p, d, subject); err != nil {
				return err
			}
		}
		b.show(w, http.StatusUnprocessableEntity, "explore", p)
		return nil
	}
	if len(list) > 0 {
		if err := b.save(ctx, next, b.Catalogue.S("web.explore.kept-why")); err != nil {
			return err
		}
	}
	http.Redirect(w, r, paysPath(d.ID, m, nil, ""), http.StatusSeeOther)
	return nil
}
