package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/message"
	"stovewright/stove"
)

// whyView is why two stoves differ.
type whyView struct {
	exploreFrame
	Against []againstOption
	Chosen  string
	Metric  explore.Metric
	Metrics []metricTab
	Between message.Text // which two stoves they are
	Ask     string       // where the answer comes from while it is not there
	Failed  message.Text
	Wrong   message.InputErrors
	Answer  *whyAnswer
}

// metricTab is a metric that can be chosen.
type metricTab struct {
	Key     string
	Address string
	Chosen  bool
}

// whyAnswer is the reasons for one metric.
type whyAnswer struct {
	Says    []message.Text
	Picture *pictured
}

// whyShelf keeps the reasons that were worked out last: some seconds of work.
type whyShelf struct {
	sync.Mutex
	list []whyKept
}

type whyKept struct {
	key     string
	reasons explore.Reasons
	err     error
}

// showWhy shows the page. The reasons take their time: the script asks for them
// when the page stands, without it a button does.
func (b *Bench) showWhy(w http.ResponseWriter, r *http.Request) error {
	d, frame, subject, err := b.openExplore(r, whyPage)
	if err != nil {
		return err
	}
	ctx, sent := r.Context(), r.URL.Query()
	p := whyView{exploreFrame: frame, Chosen: sent.Get("against"), Metric: metricOf(sent.Get("metric"))}
	if !p.Burns() {
		b.answer(w, r, "explorewhy", p)
		return nil
	}
	other, err := b.otherStove(ctx, &p, d)
	if err != nil {
		return err
	}
	for m := range explore.MetricCount {
		p.Metrics = append(p.Metrics, metricTab{m.String(), p.address(m, true), m == p.Metric})
	}
	if other == nil && p.Chosen != "" {
		p.Failed = message.T("web.fire.against.none")
	}
	if other != nil {
		before, after, names := subject, subject, [2]string{other.name, b.nameOf(d.Form.Name)}
		if before.Form = other.form; strings.Contains(p.Chosen, ":") { // a design is what the stove might become
			before, after = after, before
			names[0], names[1] = names[1], names[0]
		}
		p.Between = message.T("web.explore.why-between", "before", names[0], "after", names[1])
		reasons, known := b.reasons(before, after, sent.Has("now"))
		if known {
			p.answer(b, reasons, names)
		} else {
			p.Ask = p.address(p.Metric, true)
		}
	}
	if ctx.Err() != nil {
		return nil // nobody waits any more
	}
	if scripted(r) {
		b.render(w, http.StatusOK, "explorewhy", "why", p)
		return nil
	}
	b.show(w, http.StatusOK, "explorewhy", p)
	return nil
}

// address is that of the page for a metric; with now, the reasons are worked out.
func (p whyView) address(m explore.Metric, now bool) string {
	q := url.Values{"against": {p.Chosen}, "metric": {m.String()}}
	if now {
		q.Set("now", "yes")
	}
	return p.Path(whyPage) + "?" + q.Encode()
}

// compared is a stove that is compared with, by a name that no other has.
type compared struct {
	form stove.Form
	name string
}

// nameOf is the name of a stove, or words for one without.
func (b *Bench) nameOf(name string) string {
	if name == "" {
		return b.Catalogue.S("web.unnamed")
	}
	return name
}

// otherStove finds the stove that is compared with: another of the workshop, this
// one before its last change, or a design that a search found; nil where there is
// none.
func (b *Bench) otherStove(ctx context.Context, p *whyView, d *design) (*compared, error) {
	frame := firePage{frame: p.frame, Chosen: p.Chosen}
	study, number, found := strings.Cut(p.Chosen, ":")
	if found {
		frame.Chosen = "-"
	}
	if err := b.againstWhat(ctx, &frame, d); err != nil {
		return nil, err
	}
	p.Against = frame.Against
	if found {
		form, name, ok := b.foundForm(ctx, d, study, number)
		if !ok {
			return nil, missing()
		}
		p.Against = slices.Insert(p.Against, 0, againstOption{ID: p.Chosen, Text: name, Chosen: true})
		return &compared{form, b.Catalogue.Say(name)}, nil
	}
	p.Chosen = frame.Chosen
	var was *design
	var err error
	switch p.Chosen {
	case "":
		return nil, nil
	case lastChange:
		was, err = b.before(ctx, d)
	default:
		was, err = b.load(ctx, p.Chosen)
	}
	if err != nil || was == nil || was.Stove == nil {
		return nil, err
	}
	filled, _ := filledIn(was.Form)
	name := b.nameOf(was.Form.Name)
	switch {
	case p.Chosen == lastChange:
		name = b.Catalogue.S("web.explore.name-before", "name", name)
	case was.Form.Name == d.Form.Name:
		name = b.Catalogue.S("web.explore.name-dated", "name", name, "date", stamped(was.Head.At))
	}
	return &compared{filled, name}, nil
}

// stamped is a moment as the pages write it.
func stamped(t time.Time) string { return t.Format("2006-01-02 15:04") }

// foundForm is a design of one of the stove's searches, with a name that says which.
func (b *Bench) foundForm(ctx context.Context, d *design, study, number string) (form stove.Form, name message.Text, ok bool) {
	q, _ := questionOf("search")
	v, err := b.studyView(ctx, q, d, explore.Subject{}, study, true)
	n, numErr := strconv.Atoi(number)
	if err != nil || numErr != nil {
		return form, name, false
	}
	form, ok = v.form(n, "")
	return form, message.T("web.explore.name-found", "n", number, "date", stamped(v.Began)), ok
}

// form is a design of an answer by its number, or the stove of a set for several
// pots.
func (v studyView) form(n int, of string) (stove.Form, bool) {
	switch a := v.Answer.(type) {
	case *searchAnswer:
		if n >= 1 && n <= len(a.forms) {
			return a.forms[n-1], true
		}
	case *potsAnswer:
		sizes, _ := strconv.Atoi(of)
		for i, set := range a.Sets {
			if set.Sizes == sizes && n >= 1 && n <= len(a.forms[i]) {
				return a.forms[i][n-1], true
			}
		}
	}
	return stove.Form{}, false
}

// reasons are why two stoves differ, from the shelf or, where they may be worked
// out now, anew.
func (b *Bench) reasons(before, after explore.Subject, now bool) (whyKept, bool) {
	doc, err := json.Marshal([]explore.Subject{before, after})
	if err != nil {
		return whyKept{err: err}, true
	}
	sum := sha256.Sum256(doc)
	key := hex.EncodeToString(sum[:8])
	s := &b.whys
	s.Lock()
	defer s.Unlock()
	if i := slices.IndexFunc(s.list, func(k whyKept) bool { return k.key == key }); i >= 0 {
		return s.list[i], true
	}
	if !now {
		return whyKept{}, false
	}
	k := whyKept{key: key}
	k.reasons, k.err = explore.Why(before, after)
	s.list = append([]whyKept{k}, s.list[:min(len(s.list), shelved-1)]...)
	return k, true
}

// answer puts the reasons on the page.
func (p *whyView) answer(b *Bench, k whyKept, names [2]string) {
	if k.err != nil {
		if p.Wrong, _ = message.Complaints(k.err); len(p.Wrong) == 0 {
			p.Failed = failure(k.err)
		}
		return
	}
	p.Answer = &whyAnswer{Says: k.reasons.Says(p.Metric), Picture: b.pictured("parts", func(c *message.Catalogue, width float64) *drawing.Sheet {
		return explorefigure.Parts(k.reasons, names, p.Metric, c, width)
	})}
}
