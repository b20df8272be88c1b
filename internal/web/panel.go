package web

import (
	"math"
	"net/http"
	"net/url"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// panel is one dimension, opened to be understood and changed.
type panel struct {
	frame
	*stove.Dimension
	Text       string // in the field: the value, or what was typed
	Why        string // the user's own reason, kept in the history
	Complaints message.InputErrors
	Rule       quantity.Value // what the rule gives
	LowValue   quantity.Value
	HighValue  quantity.Value
	Spread     quantity.Value
	Less, More string // one handy step down and up; "" outside the range
	BriefField string // the field of the brief it was measured in
	Preview    []followed
	Previewed  bool
	Fire       *fireLine     // what the previewed stove is predicted to do
	Warnings   []stove.Check // that the previewed value would bring
}

// measuredIn leads from a measured dimension to its field of the brief.
var measuredIn = map[string]string{"pot.diameter": "pot.circumference", "pot.height": "pot.height",
	"pot.handle": "pot.handle_height", "pot.fill": "pot.fill", "pot.mass": "pot.mass"}

func (b *Bench) panelFor(d *design, id string) (*panel, error) {
	var dim *stove.Dimension
	if d.Stove != nil {
		dim = d.Stove.Dimension(id)
	}
	if dim == nil {
		return nil, missing()
	}
	p := &panel{frame: b.frameOf(d, "stove"), Dimension: dim, Text: b.Catalogue.Value(dim.Value), Spread: spreadOf(dim), BriefField: measuredIn[id]}
	with := func(si float64) quantity.Value { v := dim.Value; v.SI = si; return v }
	low, high, settable := d.Stove.Range(id)
	p.Rule, p.LowValue, p.HighValue = with(dim.ByRule), with(low), with(high)
	if settable {
		step := handyStep(dim.Value)
		if less := dim.Value.SI - step; less >= low {
			p.Less = b.Catalogue.Value(with(less))
		}
		if more := dim.Value.SI + step; more <= high {
			p.More = b.Catalogue.Value(with(more))
		}
	}
	return p, nil
}

// handyStep is a round step near a tenth of a value, no finer than the value
// is shown, in SI.
func handyStep(v quantity.Value) float64 {
	n := math.Abs(v.Unit.Number(v.SI))
	step := v.Step
	if tenth := n / 10; tenth > step && tenth > 0 {
		decade := math.Pow(10, math.Floor(math.Log10(tenth)))
		step = decade
		for _, m := range []float64{2, 5} {
			if m*decade <= tenth*1.01 {
				step = m * decade
			}
		}
		step = max(step, v.Step)
	}
	return step * v.Unit.Factor
}

// setDimension takes a new value for a dimension, or gives it back to its rule.
// A value that cannot be is answered with the panel again: the text as typed,
// and beside it what is wrong.
func (b *Bench) setDimension(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if d.Conflict != nil {
		return d.Conflict
	}
	sent := setting(r.PostForm)
	next, err := d.with(sent)
	if err != nil {
		return err
	}
	bad := newComplaints(d, next, sent.id)
	if sent.preview || len(bad) > 0 {
		return b.answerPanel(w, r, d, next, sent, bad)
	}
	if err := b.save(ctx, next, sent.why); err != nil {
		return err
	}
	if next, err = b.load(ctx, next.ID); err != nil { // with undo and redo as they are now
		return err
	}
	p, err := b.stovePage(ctx, next, viewName(r.PostForm.Get("view")))
	if err != nil {
		return err
	}
	p.Said = message.T("web.said.changed", "name", message.T("stove.dim."+sent.id), "n", len(p.Changes.Followed))
	b.done(w, r, "stove", p, "/stove/"+d.ID+"#changes")
	return nil
}

// sentSetting is what the panel sent.
type sentSetting struct {
	id, text, why string
	rule, preview bool
}

func setting(form url.Values) sentSetting {
	s := sentSetting{id: form.Get("dim"), text: tidy(form.Get("value")), why: tidy(form.Get("why"))}
	switch form.Get("do") {
	case "rule":
		s.rule = true
	case "preview":
		s.preview = true
	}
	if step := form.Get("step"); step != "" {
		s.text = tidy(step)
	}
	return s
}

// with is the design with a dimension set, sized again.
func (d *design) with(sent sentSetting) (*design, error) {
	if sent.id == "" || len(sent.id) > 64 {
		return nil, missing()
	}
	next := *d
	next.Form.Yours = make(map[string]string, len(d.Form.Yours)+1)
	for id, text := range d.Form.Yours {
		if id == sent.id || !d.sameChoice(id, sent.id) {
			next.Form.Yours[id] = text
		}
	}
	if sent.rule {
		delete(next.Form.Yours, sent.id)
	} else {
		next.Form.Yours[sent.id] = sent.text
	}
	if len(next.Form.Yours) == 0 {
		next.Form.Yours = nil
	}
	next.size()
	return &next, nil
}

// sameChoice reports whether two dimensions are set by moving the same choice.
// Of two overrides of one choice the later holds: a skirt set to a width and
// then to a gap has that gap.
func (d *design) sameChoice(a, b string) bool {
	return d.choiceOf(a) == d.choiceOf(b)
}

func (d *design) choiceOf(id string) string {
	if d.Stove != nil {
		if dim := d.Stove.Dimension(id); dim != nil && dim.Driver != "" {
			return dim.Driver
		}
	}
	return id
}

// newComplaints are those about the dimension itself and those that were not
// there before. Setting one of two broken dimensions right is thus possible.
func newComplaints(before, after *design, id string) message.InputErrors {
	var list message.InputErrors
	for _, c := range after.Complaints {
		if c.Field == "yours."+id || before.complaint(c.Field) == nil {
			list = append(list, c)
		}
	}
	return list
}

// answerPanel shows the panel with what the value would do, or why it cannot be.
func (b *Bench) answerPanel(w http.ResponseWriter, r *http.Request, d, next *design, sent sentSetting, bad message.InputErrors) error {
	p, err := b.panelFor(d, sent.id)
	if err != nil { // the stove cannot be drawn: complain on the page itself
		page, err := b.stovePage(r.Context(), next, viewName(r.PostForm.Get("view")))
		if err != nil {
			return err
		}
		part := "layout"
		if scripted(r) {
			part = "parts"
		}
		b.render(w, http.StatusUnprocessableEntity, "stove", part, page)
		return nil
	}
	p.Text, p.Why, p.Complaints = sent.text, sent.why, bad
	if len(bad) == 0 && next.Stove != nil && d.Stove != nil {
		p.Previewed = true
		for _, c := range stove.Compare(d.Stove, next.Stove) {
			if c.ID != sent.id {
				p.Preview = append(p.Preview, followed{c.ID, message.T("stove.dim." + c.ID), c.Before, c.After})
			}
		}
		p.Warnings = newChecks(d.Stove, next.Stove)
		if p.Fire, err = b.fireLine(r.Context(), next, d); err != nil {
			return err
		}
	}
	if scripted(r) {
		status := http.StatusUnprocessableEntity
		part := "panel"
		if sent.preview {
			status, part = http.StatusOK, "preview"
		}
		b.render(w, status, "stove", part, p)
		return nil
	}
	page, err := b.stovePage(r.Context(), d, viewName(r.PostForm.Get("view")))
	if err != nil {
		return err
	}
	page.Panel = p
	b.show(w, http.StatusUnprocessableEntity, "stove", page)
	return nil
}

// newChecks are the checks of a stove that another does not have.
func newChecks(before, after *stove.Stove) []stove.Check {
	old := map[string]stove.Level{}
	for _, c := range before.Checks {
		old[c.ID] = c.Level
	}
	var list []stove.Check
	for _, c := range after.Checks {
		if level, had := old[c.ID]; c.Level != stove.Note && (!had || level != c.Level) {
			list = append(list, c)
		}
	}
	return list
}

// choose takes one of the choices of the brief from beside the drawing.
func (b *Bench) choose(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	if d.Conflict != nil {
		return d.Conflict
	}
	next := *d
	rule := r.PostForm.Get("gap")
	if rule == "" || !writeSlot(&next.Form, "choices.gap", tidy(rule)) {
		return missing()
	}
	if d.Form.Yours["skirt.gap"] != "" { // the rule is to decide, not the user's own value
		cleared, err := next.with(sentSetting{id: "skirt.gap", rule: true})
		if err != nil {
			return err
		}
		next = *cleared
	}
	next.size()
	if bad := newComplaints(d, &next, "skirt.gap"); len(bad) > 0 {
		return bad
	}
	if err := b.save(ctx, &next, ""); err != nil {
		return err
	}
	return b.answerStove(w, r, next.ID, message.T("web.said.rule", "rule", message.T("stove.gap."+rule)), "#gaps")
}

// answerStove answers a change with the stove as it stands now.
func (b *Bench) answerStove(w http.ResponseWriter, r *http.Request, id string, said message.Text, place string) error {
	d, err := b.load(r.Context(), id)
	if err != nil {
		return err
	}
	p, err := b.stovePage(r.Context(), d, viewName(r.PostForm.Get("view")))
	if err != nil {
		return err
	}
	p.Said = said
	b.done(w, r, "stove", p, "/stove/"+id+place)
	return nil
}
