package web

import (
	"bytes"
	"context"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	protocol "stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// comparePage sets the tests of stoves against each other.
type comparePage struct {
	frame
	Kind       protocol.Kind
	Kinds      []protocol.Kind // those with tests
	Stoves     []string        // with tests of the kind
	Base       string
	Chosen     []string // what the base is compared with
	Study      *protocol.Study
	Complaints message.InputErrors
	Rows       []compareRow
	Alarms     []alarmRow
	Claims     protocol.Claims
	Pictures   []picture
	Drifts     []driftRow
	Tests      []listedTest // that enter, in their order
	Unread     []listedTest // that have no result yet
	Scale      string
	Tiers      []tierRow
	Kitchens   *kitchenRow
}

// Notes are the remarks of the tests that enter, each once: an invented example says
// that it is one wherever its figures stand.
func (p comparePage) Notes() []string {
	var notes []string
	for _, t := range p.Tests {
		if n := t.About().Note; n != "" && !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	return notes
}

// compareRow is one result of two stoves.
type compareRow struct {
	protocol.Compared
	Headline bool
	Several  bool // other pairs of stoves have the same result
}

// picture is a drawing with its caption.
type picture struct {
	Drawing template.HTML
	Words   message.Text
}

type driftRow struct {
	protocol.Drifting
	Moves bool
	Words message.Text
}

// tierRow is the tiers of one stove's runs of the sequence.
type tierRow struct {
	Stove   string
	Reports []tierLine
	Words   message.Text
	Runs    int
}

type tierLine struct {
	Name message.Text
	protocol.TierReport
}

// Mean and the ends of its interval, as the indicator is read.
func (l tierLine) Mean() quantity.Value { return l.Indicator.Value(l.Summary.Mean) }

// Low is the lower end of the interval.
func (l tierLine) Low() quantity.Value { return l.Indicator.Value(l.Interval.Low) }

// High is the upper end.
func (l tierLine) High() quantity.Value { return l.Indicator.Value(l.Interval.High) }

type kitchenRow struct {
	protocol.KitchenStudy
	Saved, Low, High, Lost quantity.Value
}

const pictureWidth = 170 // mm, as on paper

// comparePath is the address of a comparison.
func comparePath(kind protocol.Kind, stoves ...string) string {
	q := url.Values{"kind": {string(kind)}}
	if len(stoves) > 0 {
		q.Set("base", stoves[0])
		q["new"] = stoves[1:]
	}
	return "/compare?" + q.Encode()
}

// svgOf is a drawing as it stands in a page.
func svgOf(s *drawing.Sheet) template.HTML {
	var out bytes.Buffer
	if s == nil || s.SVG(&out) != nil { // a buffer takes everything
		return ""
	}
	return template.HTML(out.String()) // package drawing escapes every text it writes
}

func (b *Bench) showCompare(w http.ResponseWriter, r *http.Request) error {
	if err := b.rest(r.Context()); err != nil {
		return err
	}
	p, err := b.comparePage(r.Context(), r.URL.Query())
	if err != nil {
		return err
	}
	b.show(w, http.StatusOK, "compare", p)
	return nil
}

func (b *Bench) comparePage(ctx context.Context, asked url.Values) (comparePage, error) {
	p := comparePage{frame: b.frame(testsStage, "web.tests.compare.title"), Kind: protocol.Kind(asked.Get("kind")), Base: asked.Get("base"), Chosen: asked["new"], Scale: asked.Get("scale")}
	p.Last = b.last(ctx)
	tests, err := b.allTests(ctx)
	if err != nil {
		return p, err
	}
	for _, t := range tests {
		if t.Kind != protocol.KindEmission && !slices.Contains(p.Kinds, t.Kind) {
			p.Kinds = append(p.Kinds, t.Kind)
		}
	}
	if !slices.Contains(p.Kinds, p.Kind) {
		if p.Kind = ""; len(p.Kinds) > 0 {
			p.Kind = p.Kinds[0]
		}
	}
	p.choose(tests)
	var files []protocol.TestFile
	for _, t := range tests {
		if t.Kind != p.Kind || !p.enters(t) {
			continue
		}
		if file, err := t.compute(); err == nil && t.Whole() {
			files, p.Tests = append(files, file), append(p.Tests, t)
		} else {
			p.Unread = append(p.Unread, t)
		}
	}
	base := p.Base
	if p.Kind == protocol.KindKitchen {
		base = ""
	}
	p.Study, err = protocol.NewStudy(files, base, nil, protocol.DefaultSettings)
	if complaints, ok := message.Complaints(err); ok {
		p.Complaints, p.Study = complaints, nil
		return p, nil
	}
	if err != nil {
		return p, err
	}
	b.fillCompare(&p)
	return p, nil
}

// choose settles which stoves are compared: the one that was asked for or the
// first as the base, and against it those asked for or all others.
func (p *comparePage) choose(tests []listedTest) {
	for _, t := range tests {
		if name := stoveOf(t); t.Kind == p.Kind && !slices.Contains(p.Stoves, name) {
			p.Stoves = append(p.Stoves, name)
		}
	}
	p.Chosen = slices.DeleteFunc(p.Chosen, func(s string) bool { return !slices.Contains(p.Stoves, s) || s == p.Base })
	if !slices.Contains(p.Stoves, p.Base) && len(p.Stoves) > 0 {
		p.Base = p.Stoves[0]
	}
	if len(p.Chosen) == 0 {
		for _, s := range p.Stoves {
			if s != p.Base {
				p.Chosen = append(p.Chosen, s)
			}
		}
	}
}

// stoveOf is the name of a test's stove as a study has it.
func stoveOf(t listedTest) string {
	if name := strings.TrimSpace(t.About().Stove); name != "" {
		return name
	}
	return t.Head.Name
}

func (p comparePage) enters(t listedTest) bool {
	name := stoveOf(t)
	return p.Kind == protocol.KindKitchen || strings.EqualFold(name, p.Base) || slices.ContainsFunc(p.Chosen, func(s string) bool { return strings.EqualFold(s, name) })
}

// Chooses reports whether a stove is among those compared with the base.
func (p comparePage) Chooses(stove string) bool { return slices.Contains(p.Chosen, stove) }

// Query asks for this comparison again.
func (p comparePage) Query() template.URL {
	return template.URL(url.Values{"kind": {string(p.Kind)}, "base": {p.Base}, "new": p.Chosen, "scale": {p.Scale}}.Encode())
}

// Series reports whether stoves of the kind are set against each other by many
// tests.
func (p comparePage) Series() bool {
	return p.Kind == protocol.KindBoiling || p.Kind == protocol.KindCooking
}

// ByStove reports whether the kind is compared stove by stove.
func (p comparePage) ByStove() bool { return p.Kind != protocol.KindKitchen }

func (b *Bench) fillCompare(p *comparePage) {
	st := p.Study
	for _, c := range st.Compared {
		if c.Base == p.Base || len(p.Chosen) > 1 {
			p.Rows = append(p.Rows, compareRow{c, protocol.Headline(c.ID), len(p.Chosen) > 1})
		}
	}
	for _, a := range st.Alarms() {
		p.Alarms = append(p.Alarms, alarmRow{Alarm: a, ID: a.Key})
	}
	p.Claims = protocol.Claim(st.Evidence())
	for _, d := range st.Trends {
		moves := d.P < protocol.DefaultSettings.Alpha
		row := driftRow{Drifting: d, Moves: moves, Words: message.T("web.tests.compare.no-drift", "stove", d.Stove, "what", protocol.ResultName(d.ID))}
		if moves {
			row.Words = message.T("web.tests.compare.drift", "stove", d.Stove, "what", protocol.ResultName(d.ID))
		}
		p.Drifts = append(p.Drifts, row)
	}
	b.comparePictures(p)
	b.tiers(p)
	if k := st.Kitchens; k != nil {
		whole := func(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.Percent, Step: 1} }
		p.Kitchens = &kitchenRow{*k, whole(k.Saving), whole(k.Interval.Low), whole(k.Interval.High), whole(k.LossShare)}
	}
}

func (b *Bench) comparePictures(p *comparePage) {
	add := func(s *drawing.Sheet, words message.Text) {
		if s != nil { // the same picture of several results needs names of their own
			s.ID += "-" + strconv.Itoa(len(p.Pictures)+1)
		}
		if svg := svgOf(s); svg != "" {
			p.Pictures = append(p.Pictures, picture{svg, words})
		}
	}
	add(figure.Differences(p.Study, b.Catalogue, pictureWidth), message.T("web.tests.compare.differences"))
	for _, id := range []string{"h_hp", "cold.tT"} {
		what := protocol.ResultName(id)
		add(figure.Dots(p.Study, id, b.Catalogue, pictureWidth), message.T("web.tests.compare.dots", "what", what))
		add(figure.Order(p.Study, id, b.Catalogue, pictureWidth), message.T("web.tests.compare.order", "what", what))
	}
}

// scales are the published tiers a sequence can be read against.
func scales() (keys []string) {
	for _, s := range protocol.Scales {
		if strings.HasPrefix(s.Key, "iso-") {
			keys = append(keys, s.Key)
		}
	}
	return keys
}

// ScaleKeys are the scales to choose from.
func (comparePage) ScaleKeys() []string { return scales() }

// tiers reads the runs of the sequence against the tiers. A boiling test has
// none.
func (b *Bench) tiers(p *comparePage) {
	if !slices.Contains(scales(), p.Scale) {
		p.Scale = scales()[0]
	}
	for _, s := range p.Study.Sequence {
		var results []protocol.SequenceResult
		for _, run := range s.Runs {
			if run.Test.About.LeftOut == "" {
				results = append(results, run.Result)
			}
		}
		report, err := protocol.ReportSequence(results, p.Scale)
		if err != nil {
			continue // no run that counts; the list of tests says why
		}
		row := tierRow{Stove: s.Name, Words: report.Words, Runs: report.Runs}
		for _, l := range []tierLine{{message.T("web.tests.tier.efficiency"), report.Efficiency}, {message.T("web.tests.tier.with-char"), report.WithChar},
			{message.T("web.tests.tier.co"), report.CO}, {message.T("web.tests.tier.pm"), report.PM}} {
			if l.Summary.N > 0 {
				row.Reports = append(row.Reports, l)
			}
		}
		p.Tiers = append(p.Tiers, row)
	}
}

// Value and interval of a row, as its result is read.

// BaseMean is the mean of the base.
func (r compareRow) BaseMean() quantity.Value { return r.shown(r.Comparison.Base.Mean) }

// NewMean is the mean of the other stove.
func (r compareRow) NewMean() quantity.Value { return r.shown(r.Comparison.New.Mean) }

// BaseSD is the scatter of the base.
func (r compareRow) BaseSD() quantity.Value { return r.spread(r.Comparison.Base.SD) }

// NewSD is the scatter of the other stove.
func (r compareRow) NewSD() quantity.Value { return r.spread(r.Comparison.New.SD) }

// Apart is the difference of the means.
func (r compareRow) Apart() quantity.Value { return r.spread(r.Difference.Estimate) }

// Low is the lower end of the difference's interval.
func (r compareRow) Low() quantity.Value { return r.spread(r.Interval.Low) }

// High is the upper end.
func (r compareRow) High() quantity.Value { return r.spread(r.Interval.High) }

// DrawnLow is the lower end of the change by drawing the tests again and again.
func (r compareRow) DrawnLow() quantity.Value { return quantity.Pct(r.Bootstrap.BCa.Low - 1) }

// DrawnHigh is the upper end.
func (r compareRow) DrawnHigh() quantity.Value { return quantity.Pct(r.Bootstrap.BCa.High - 1) }

func (r compareRow) key() string {
	if _, key, ok := strings.Cut(r.ID, "."); ok {
		return key
	}
	return r.ID
}

func (r compareRow) shown(si float64) quantity.Value {
	return protocol.Shown(r.key(), quantity.Value{SI: si, Unit: r.Unit})
}

// spread is a difference of two values: without the offset of a scale.
func (r compareRow) spread(si float64) quantity.Value {
	v := r.shown(si)
	v.Unit.Offset = 0
	return v
}

// Known reports whether numbers stand behind the words.
func (r compareRow) Known() bool {
	return r.Finding != protocol.TooFewRuns && r.Finding != protocol.Forbidden
}

// P-values and shares, as they are read.

// PValue is Welch's two-sided p.
func (r compareRow) PValue() quantity.Value { return probability(r.P) }

// PAdjusted is the same for all results that were looked at.
func (r compareRow) PAdjusted() quantity.Value { return probability(r.AdjustedP) }

// PRanks is that of the rank test.
func (r compareRow) PRanks() quantity.Value { return probability(r.Ranks.P(stats.TwoSided)) }

// PAlike is that of the test for equivalence.
func (r compareRow) PAlike() quantity.Value { return probability(r.EquivalentP) }

// Shows is the smallest difference that these tests are likely to show.
func (r compareRow) Shows() quantity.Value { return quantity.Pct(r.Detectable) }

// CommonU is the uncertainty that wood and instruments leave in the ratio.
func (r compareRow) CommonU() quantity.Value {
	return quantity.Value{SI: r.SharedU, Unit: quantity.Percent, Step: 0.1}
}

func probability(p float64) quantity.Value {
	return quantity.Value{SI: p, Unit: quantity.One, Step: 0.001}
}
