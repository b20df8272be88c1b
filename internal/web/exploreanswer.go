package web

import (
	"cmp"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// pictured is a picture for wide and for narrow windows.
type pictured struct {
	Name       string // of its file
	Wide, Slim template.HTML
}

// Widths of the pictures in millimetres of paper.
const (
	wideWidth = 150
	slimWidth = 80
)

// pictured draws a picture in both widths; nil where there is nothing to draw.
func (b *Bench) pictured(name string, draw func(c *message.Catalogue, width float64) *drawing.Sheet) *pictured {
	wide, slim := draw(b.Catalogue, wideWidth), draw(b.Catalogue, slimWidth)
	if wide == nil || slim == nil {
		return nil
	}
	slim.ID += "-slim"
	return &pictured{name, b.svg(wide), b.svg(slim)}
}

// marking is the picture with one design marked in both widths, as the script marks
// it.
func (p *pictured) marking(key string) *pictured {
	mark := func(svg template.HTML) template.HTML {
		design := fmt.Sprintf(` data-key="%s"`, key)
		return template.HTML(strings.Replace(string(svg), `"design"`+design, `"design marked"`+design+` aria-pressed="true"`, 1))
	}
	return &pictured{p.Name, mark(p.Wide), mark(p.Slim)}
}

// answered is what every answer has.
type answered struct {
	Says     []message.Text
	Kept     []message.Text // limits that it was held to
	Pictures []*pictured
	sheets   map[string]func(c *message.Catalogue, width float64) *drawing.Sheet
}

// draw adds a picture, if there is one.
func (a *answered) draw(b *Bench, name string, draw func(c *message.Catalogue, width float64) *drawing.Sheet) {
	if p := b.pictured(name, draw); p != nil {
		a.Pictures = append(a.Pictures, p)
		if a.sheets == nil {
			a.sheets = map[string]func(*message.Catalogue, float64) *drawing.Sheet{}
		}
		a.sheets[name] = draw
	}
}

// sheet is a picture by its name as it is given out; nil where there is none.
func (a *answered) sheet(name string, c *message.Catalogue) *drawing.Sheet {
	if draw := a.sheets[name]; draw != nil {
		return draw(c, pictureWidth)
	}
	return nil
}

func (a *answered) common() *answered { return a }

// hasAnswer is any answer.
type hasAnswer interface{ common() *answered }

// toleranceAnswer says how exactly a stove must be made.
type toleranceAnswer struct {
	answered
	Gauges []explore.Gauge
}

func answerTolerance(b *Bench, s explore.Study) (hasAnswer, error) {
	t := s.(*explore.Tolerance)
	a := &toleranceAnswer{Gauges: t.Gauges()}
	a.Says = t.Says()
	a.draw(b, "tolerances", func(c *message.Catalogue, width float64) *drawing.Sheet { return explorefigure.Tolerances(t, c, width) })
	return a, nil
}

// spreadAnswer says whose the spread of each metric is.
type spreadAnswer struct {
	answered
	Spreads []spreadPart
}

type spreadPart struct {
	Key     string // of the metric
	Says    []message.Text
	Picture *pictured
}

// How many sentences of a spread the page has, and how many inputs its picture;
// the file has all.
const (
	spreadSays  = 9
	spreadShown = 12
)

func answerSpread(b *Bench, s explore.Study) (hasAnswer, error) {
	g := s.(*explore.Global)
	a := &spreadAnswer{}
	for m := range explore.MetricCount {
		spread, ok := g.Result(m)
		if !ok {
			continue
		}
		part := spreadPart{Key: m.String(), Says: spread.Says()}
		a.Says = append(a.Says, part.Says...)
		part.Says = part.Says[:min(len(part.Says), spreadSays)]
		spread.Inputs = spread.Inputs[:min(len(spread.Inputs), spreadShown)]
		a.draw(b, "shares-"+m.String(), func(c *message.Catalogue, width float64) *drawing.Sheet {
			return explorefigure.Shares(spread, c, width)
		})
		if n := len(a.Pictures); n > 0 && a.Pictures[n-1].Name == "shares-"+m.String() {
			part.Picture = a.Pictures[n-1]
		}
		a.Spreads = append(a.Spreads, part)
	}
	return a, nil
}

// searchAnswer is the designs that a search has found.
type searchAnswer struct {
	answered
	Goals   []message.Text
	Designs []foundDesign
	Best    int // number of the one that comes nearest to everything; 0 where there is none
	Tried   int
	Early   bool // no generation is done: nothing can be said
	None    message.Text
	Closest []message.Text // limits that the design breaks that comes closest, where none was found
	forms   []stove.Form
}

// foundDesign is one design, as it stands in the list.
type foundDesign struct {
	Number  int
	Key     string // in the pictures
	Values  []quantity.Value
	Air     quantity.Value
	Mass    quantity.Value
	Says    []message.Text
	Changes []followed
	Words   []wrote // choices of the brief that are otherwise
	Best    bool
}

// mostDesigns is how many designs are shown: as many as pictures can number.
const mostDesigns = 12

func answerSearch(b *Bench, s explore.Study) (hasAnswer, error) {
	q := s.(*explore.Search)
	front, err := q.Front(mostDesigns)
	if err != nil {
		return nil, err
	}
	a := &searchAnswer{Early: q.Generation == 0}
	a.Tried, _ = q.Total()
	a.Kept = keptTo(q)
	for _, g := range q.Goals {
		a.Goals = append(a.Goals, g.Name())
	}
	start, err := q.Subject.Stove()
	if err != nil {
		return nil, err
	}
	best := explore.Recommend(front)
	a.Best = best + 1
	for i, d := range front {
		f := foundDesign{Number: i + 1, Key: explorefigure.DesignKey(i), Air: explore.AirRatio.Value(d.AirRatio), Mass: quantity.KG(d.Mass), Says: d.Says(q), Best: i == best}
		for j, g := range q.Goals {
			f.Values = append(f.Values, g.Value(d.Objectives[j]))
		}
		if _, sized, _ := sizeForm(d.Form); sized != nil {
			f.differs(q.Subject.Form, d.Form, start, sized)
		}
		a.Designs, a.forms = append(a.Designs, f), append(a.forms, d.Form)
	}
	switch _, left := q.Batch(); {
	case best >= 0:
		a.Says = a.Designs[best].Says
	case left == 0 && len(q.Held) > 0:
		a.None = message.T("web.explore.none-held")
	case left == 0:
		a.None = message.T("web.explore.none-found")
	case !a.Early:
		a.None = message.T("web.explore.none-yet")
	}
	if a.None.ID != "" {
		a.Closest = q.Closest()
		a.Says = slices.Concat([]message.Text{a.None, message.T("web.explore.closest")}, a.Closest)
	}
	for _, pair := range goalPairs(q.Goals) {
		a.draw(b, fmt.Sprintf("front-%s-%s", pair[0], pair[1]), func(c *message.Catalogue, width float64) *drawing.Sheet {
			return explorefigure.Front(q, front, pair[0], pair[1], best, c, width)
		})
	}
	return a, nil
}

// goalPairs are the pictures of a search: every other goal against the first.
func goalPairs(goals []explore.Goal) (list [][2]explore.Goal) {
	for _, g := range goals[min(1, len(goals)):] {
		list = append(list, [2]explore.Goal{g, goals[0]})
	}
	return list
}

// differs lists what a design has otherwise than the stove it began from: the
// dimensions that it sets, and the choices.
func (f *foundDesign) differs(was, is stove.Form, before, after *stove.Stove) {
	for _, id := range slices.Sorted(maps.Keys(is.Yours)) {
		v, w := before.Value(id), after.Value(id)
		if v.String() != w.String() {
			f.Changes = append(f.Changes, followed{id, message.T("stove.dim." + id), v, w})
		}
	}
	begins := map[string]string{"choices.chamber": defaultTexts["choices.chamber"], "choices.body": "rolled"} // where nothing is chosen
	if before.Container != nil {
		begins["choices.body"] = "container"
	}
	for _, path := range []string{"choices.chamber", "choices.body"} {
		old, _ := readSlot(&was, path)
		new, _ := readSlot(&is, path)
		if new != "" && new != cmp.Or(old, begins[path]) {
			f.Words = append(f.Words, wrote{Name: message.T("web.field." + path), New: new})
		}
	}
}

// learnAnswer is what tests taught.
type learnAnswer struct {
	answered
	Beliefs  []beliefRow
	Foretold []foretoldRow
	RHat     quantity.Value
	ESS      quantity.Value
	Early    bool // too little is done to say anything
	learnt   explore.Learnt
	today    stove.Form
}

// beliefRow is one coefficient before and after.
type beliefRow struct {
	Name          message.Text
	Before, After bandValues
	Share         quantity.Value
}

type bandValues struct{ Low, Middle, High quantity.Value }

// foretoldRow is one measured value beside what was foretold.
type foretoldRow struct {
	Trial         string
	Quantity      message.Text
	Held          bool
	Measured      quantity.Value
	Before, After bandValues
	Inside        bool
}

func bandIn(b fire.Band, of func(float64) quantity.Value) bandValues {
	return bandValues{of(b.Low), of(b.Middle), of(b.High)}
}

func answerLearn(b *Bench, s explore.Study) (hasAnswer, error) {
	k := s.(*explore.Calibration)
	a := &learnAnswer{}
	if len(k.Trials) > 0 {
		a.today = k.Trials[0].Form
	}
	learnt, err := k.Result()
	if err != nil { // it has only begun
		a.Early = true
		return a, nil
	}
	a.learnt, a.Says = learnt, learnt.Says()
	a.RHat, a.ESS = ratio(learnt.RHat, 0.001), ratio(learnt.ESS, 1)
	for _, belief := range learnt.Beliefs {
		name, of := belief.Input.Name(), belief.Input.Value
		if belief.Input.Key == "" {
			name, of = message.T("web.explore.belief."+belief.Word), func(x float64) quantity.Value { return quantity.Pct(x) }
		}
		a.Beliefs = append(a.Beliefs, beliefRow{name, bandIn(belief.Before, of), bandIn(belief.After, of), quantity.Pct(belief.FromTheTests)})
	}
	for _, f := range learnt.Foretold {
		a.Foretold = append(a.Foretold, foretoldRow{f.Trial, f.Seen.Quantity.Name(), f.HeldOut, f.Seen.Shown(), bandIn(f.Before, f.Seen.Quantity.Value), bandIn(f.After, f.Seen.Quantity.Value), f.Inside})
	}
	a.draw(b, "beliefs", func(c *message.Catalogue, width float64) *drawing.Sheet {
		return explorefigure.Beliefs(learnt, c, width)
	})
	a.draw(b, "foretold", func(c *message.Catalogue, width float64) *drawing.Sheet {
		return explorefigure.Foretold(learnt, c, width)
	})
	return a, nil
}

// potsAnswer is which stove or which two serve all pots.
type potsAnswer struct {
	answered
	Sets  []potSet
	forms [][]stove.Form
}

// potSet is one stove, or two sizes.
type potSet struct {
	Sizes int
	Wood  quantity.Value
	Made  []string // names of the pots they are made for
}

func answerPots(b *Bench, s explore.Study) (hasAnswer, error) {
	f := s.(*explore.Fleet)
	a := &potsAnswer{}
	if len(f.Rows) == 0 {
		return a, nil
	}
	a.Says = f.Says()
	for sizes := 1; sizes <= 2; sizes++ {
		set, ok := f.Best(sizes)
		if ok && (len(a.Sets) == 0 || explore.Wood.Value(set.Wood).String() != a.Sets[0].Wood.String()) {
			a.Sets, a.forms = append(a.Sets, potSet{sizes, explore.Wood.Value(set.Wood), set.MadeFor}), append(a.forms, set.Forms)
		}
	}
	a.draw(b, "pots", func(c *message.Catalogue, width float64) *drawing.Sheet { return explorefigure.Pots(f, c, width) })
	return a, nil
}
