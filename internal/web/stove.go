package web

import (
	"bytes"
	"context"
	"html/template"
	"net/http"
	"strconv"
	"strings"
	"time"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
	"stovewright/workshop"
)

// stovePage is the drawing of a stove and, beside it, everything that is known
// about its numbers.
type stovePage struct {
	frame
	View       string // which drawing is shown
	Views      []string
	Drawing    template.HTML
	Stale      bool // the drawing shows an earlier state: now there is no stove
	Shown      *stove.Stove
	Changes    changes
	Repairs    []repair
	Needed     int // required fields of the brief that are empty
	Checks     []stove.Check
	Dimensions []dimensionGroup
	Rings      []ringRow
	Gaps       gapTable
	Fits       []fitRow
	Profiles   []profile
	Trade      []stove.TradeFact
	Fire       *fireLine // what it is predicted to do
	Panel      *panel    // the dimension that is being changed
}

// CannotBuild reports whether there is no stove, and the page must say why.
func (p stovePage) CannotBuild() bool { return p.Stale }

// repair is a complaint about the stove with the means to mend it here.
type repair struct {
	*message.InputError
	Dimension string // id of the override that is complained about, "" for a field of the brief
	Name      message.Text
}

// dimensionGroup is a part of the stove with its numbers.
type dimensionGroup struct {
	Key        string // message "web.part.<key>"
	Dimensions []dimensionRow
	Glance     []quantity.Value // what is seen while the part is closed
	Open       bool
}

type dimensionRow struct {
	*stove.Dimension
	SpreadValue quantity.Value
	Was         string // its value before the last change
}

// partOf says to which part of the stove the dimensions of a first name belong.
var partOf = map[string]string{"pot": "pot", "power": "power", "chamber": "chamber", "riser": "chamber", "mouth": "mouth",
	"shelf": "mouth", "brick": "brick", "floor": "base", "base": "base", "fill": "base", "gap": "gap", "rest": "rest",
	"skirt": "skirt", "body": "body", "top": "body", "stove": "stove"}

// parts is the order in which they are shown.
var parts = []string{"pot", "chamber", "mouth", "gap", "skirt", "rest", "brick", "base", "body", "power", "stove"}

// glances are the numbers that stand for a part of the stove.
var glances = map[string][]string{"pot": {"pot.diameter", "pot.height"}, "chamber": {"chamber.width", "chamber.height"},
	"mouth": {"mouth.width", "mouth.height"}, "gap": {"gap.throat", "gap.edge"}, "skirt": {"skirt.gap", "skirt.rise"},
	"rest": {"rest.height", "rest.rod"}, "brick": {"brick.thickness", "brick.height"}, "base": {"base.feet", "base.fill"},
	"body": {"body.inner", "body.height"}, "power": {"power.fire"}, "stove": {"stove.rim", "stove.mass"}}

// openParts lie open at first, besides those with a number that is the user's
// own or has just changed.
var openParts = map[string]bool{"chamber": true, "skirt": true}

// Callouts are the parts that the numbers on the drawing stand for.
func (p stovePage) Callouts() []string {
	if p.View == "section" { // the others bring their list along
		return callouts
	}
	return nil
}

// Origins are the origins a number can have, for the key to their signs.
func (stovePage) Origins() []string {
	return []string{string(stove.Measured), string(stove.Rule), string(stove.Yours), string(stove.Default)}
}

func dimensionGroups(s *stove.Stove, changed map[string]string) []dimensionGroup {
	byPart := map[string]*dimensionGroup{}
	list := make([]dimensionGroup, len(parts))
	for i, key := range parts {
		list[i] = dimensionGroup{Key: key, Open: openParts[key]}
		for _, id := range glances[key] {
			list[i].Glance = append(list[i].Glance, s.Value(id))
		}
		byPart[key] = &list[i]
	}
	for _, d := range s.Dimensions {
		first, _, _ := strings.Cut(d.ID, ".")
		g := byPart[partOf[first]]
		if g == nil {
			g = byPart["stove"]
		}
		g.Dimensions = append(g.Dimensions, dimensionRow{d, spreadOf(d), changed[d.ID]})
		g.Open = g.Open || d.Origin == stove.Yours || changed[d.ID] != ""
	}
	return list
}

// changes is what the last change of the stove did.
type changes struct {
	Happened bool
	Action   workshop.Action
	Typing   bool // not a revision yet
	Who, Why string
	At       time.Time
	Wrote    []wrote // in the brief
	Followed []followed
}

// wrote is a field of the brief that was changed.
type wrote struct {
	Name     message.Text
	Dim      string // id, where it is an override
	Old, New string
}

// followed is a dimension that changed with it.
type followed struct {
	ID            string
	Name          message.Text
	Before, After quantity.Value
}

// changesOf compares a design with the state before its last change.
func (b *Bench) changesOf(ctx context.Context, d *design) (changes, error) {
	was, err := b.before(ctx, d)
	if err != nil || was == nil {
		return changes{}, nil // an unreadable past is no reason to hide the present
	}
	ch := changes{Happened: true, Action: d.Head.Action, Typing: d.Typed, Who: d.Head.Who, Why: d.Head.Why, At: d.Head.At}
	if d.Typed {
		ch.Action, ch.Why = workshop.Edited, ""
	}
	old, err := was.Form.Write()
	if err != nil {
		return ch, err
	}
	new, err := d.Form.Write()
	if err != nil {
		return ch, err
	}
	for _, c := range workshop.Diff(old, new) {
		if c.Part == workshop.FieldPart && c.Old != c.New {
			ch.Wrote = append(ch.Wrote, b.wrote(c))
		}
	}
	if was.Stove != nil && d.Stove != nil {
		for _, c := range stove.Compare(was.Stove, d.Stove) {
			if !ch.overrode(c.ID, b.Catalogue.Value(c.Before), b.Catalogue.Value(c.After)) {
				ch.Followed = append(ch.Followed, followed{c.ID, message.T("stove.dim." + c.ID), c.Before, c.After})
			}
		}
	}
	ch.Happened = len(ch.Wrote) > 0 || len(ch.Followed) > 0
	return ch, nil
}

// overrode tells an override by the dimension's values rather than by what was
// written for it, and says whether the dimension was overridden at all.
func (ch *changes) overrode(id, before, after string) bool {
	for i := range ch.Wrote {
		if ch.Wrote[i].Dim == id {
			ch.Wrote[i].Old, ch.Wrote[i].New = before, after
			return true
		}
	}
	return false
}

// shownFollowers is how many dimensions are listed before the rest folds away.
const shownFollowers = 6

// First and More are the dimensions that followed, in two parts.
func (ch changes) First() []followed { return ch.Followed[:min(len(ch.Followed), shownFollowers)] }
func (ch changes) More() []followed  { return ch.Followed[len(ch.First()):] }

func (b *Bench) wrote(c workshop.Change) wrote {
	w := wrote{Old: c.Old, New: c.New}
	if id, ok := strings.CutPrefix(c.Field, "yours."); ok {
		w.Dim, w.Name = id, message.T("stove.dim."+id)
		return w
	}
	w.Name = b.fieldName(countedFromOne(c.Field))
	return w
}

// countedFromOne turns a path of the workshop's list of changes, whose items
// are counted from nought, into one of the form.
func countedFromOne(path string) string {
	m := itemPath.FindStringSubmatch(path)
	if m == nil {
		return path
	}
	n, _ := strconv.Atoi(m[2])
	return m[1] + "[" + strconv.Itoa(n+1) + "]" + m[3]
}

// fieldName is the name of a field of the brief by its path in the form.
func (b *Bench) fieldName(path string) message.Text {
	if m := itemPath.FindStringSubmatch(path); m != nil && b.Catalogue.Has("web.item."+m[1]) {
		plain := message.T("web.field-unnamed", "path", path)
		if rule, ok := stove.FieldOf(path); ok {
			plain = message.T("web.field." + rule.Path)
		}
		return message.T("web.item-field", "item", message.T("web.item."+m[1], "number", m[2]), "field", plain)
	}
	if rule, ok := stove.FieldOf(path); ok && b.Catalogue.Has("web.field."+rule.Path) {
		return message.T("web.field." + rule.Path)
	}
	return message.T("web.field-unnamed", "path", path)
}

// changedValues leads from the id of a changed dimension to what it was.
func (b *Bench) changedValues(ch changes) map[string]string {
	m := make(map[string]string, len(ch.Followed))
	for _, f := range ch.Followed {
		m[f.ID] = b.Catalogue.Value(f.Before)
	}
	for _, w := range ch.Wrote {
		if w.Dim != "" {
			m[w.Dim] = w.Old
		}
	}
	return m
}

// stovePage builds the page of a design.
func (b *Bench) stovePage(ctx context.Context, d *design, view string) (stovePage, error) {
	p := stovePage{frame: b.frameOf(d, "stove"), View: view, Views: viewNames(), Shown: d.Stove}
	var err error
	if p.Changes, err = b.changesOf(ctx, d); err != nil {
		return p, err
	}
	if d.Stove == nil {
		p.Repairs, p.Needed = repairs(b, d.Complaints)
		p.Stale, p.Shown = true, b.lastDrawable(ctx, d)
	}
	if p.Shown == nil {
		return p, nil
	}
	s := p.Shown
	p.Drawing = b.drawing(s, view)
	if p.Stale {
		return p, nil // only its picture: numbers that do not hold mislead
	}
	if p.Fire, err = b.fireLine(ctx, d, nil); err != nil {
		return p, err
	}
	p.Checks = s.Checks
	p.Dimensions = dimensionGroups(s, b.changedValues(p.Changes))
	p.Rings = ringRows(s)
	p.Gaps = b.gapTable(s)
	p.Fits = fitRows(s)
	p.Profiles = profiles(s)
	p.Trade = s.Trade
	return p, nil
}

// repairs turns complaints into what the page can mend; needed counts the
// required fields of the brief that are empty.
func repairs(b *Bench, complaints message.InputErrors) (list []repair, needed int) {
	for _, c := range complaints {
		r := repair{InputError: c}
		switch id, ok := strings.CutPrefix(c.Field, "yours."); {
		case ok:
			r.Dimension, r.Name = id, message.T("stove.dim."+id)
			if !b.Catalogue.Has(r.Name.ID) {
				r.Name = message.T("web.field-unnamed", "path", id)
			}
		case c.Reason.ID == "stove.required":
			needed++
			continue
		default:
			r.Name = b.fieldName(c.Field)
		}
		list = append(list, r)
	}
	return list, needed
}

// showStove shows the page, with the panel of a dimension when one is named.
func (b *Bench) showStove(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := b.rest(ctx); err != nil {
		return err
	}
	d, err := b.load(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	b.opened(ctx, d.ID)
	asked := r.URL.Query()
	if id := asked.Get("dim"); id != "" && scripted(r) {
		panel, err := b.panelFor(d, id)
		if err != nil {
			return err
		}
		b.render(w, http.StatusOK, "stove", "panel", panel)
		return nil
	}
	p, err := b.stovePage(ctx, d, viewName(asked.Get("view")))
	if err != nil {
		return err
	}
	if id := asked.Get("dim"); id != "" {
		if p.Panel, err = b.panelFor(d, id); err != nil {
			return err
		}
	}
	b.answer(w, r, "stove", p)
	return nil
}

// drawing is a drawing of the stove as it stands in a page.
func (b *Bench) drawing(s *stove.Stove, view string) template.HTML {
	sheet := sheetOf(view, s, b.Catalogue, true)
	if sheet == nil {
		return ""
	}
	var out bytes.Buffer
	if err := sheet.SVG(&out); err != nil {
		return "" // a buffer takes everything
	}
	return template.HTML(out.String()) // package drawing escapes every text it writes
}

// drawingFile gives a drawing to keep: SVG or PDF.
func (b *Bench) drawingFile(w http.ResponseWriter, r *http.Request) error {
	d, err := b.load(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	view, format, _ := strings.Cut(r.PathValue("name"), ".")
	if d.Stove == nil || !knownView(view) {
		return missing()
	}
	return downloadSheet(w, sheetOf(view, d.Stove, b.Catalogue, false), format, fileName(d.Form.Name, view+"."+format))
}
