package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"net/url"
	"slices"
	"strings"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// question is one that a long study answers.
type question struct {
	key    string
	fields form.Fields // of its settings, in their order
	folded int         // how many of the last ones are folded away
	slow   bool        // an answer takes seconds to work out
	empty  func() explore.Study
	ask    func(*asking) (explore.Study, error)
	answer func(*Bench, explore.Study) (hasAnswer, error)
}

// asking is a question with its settings about a stove.
type asking struct {
	*Bench
	ctx     context.Context
	design  *design
	subject explore.Subject
	sent    map[string]string
	form.Reader
}

// number reads a setting; the fallback where it is left empty.
func (a *asking) number(path string, fallback float64) float64 {
	if v, ok := a.Reader.Number(path, a.sent[path]); ok {
		return v
	}
	return fallback
}

// effort is how thorough a study is to be.
func (a *asking) effort(quick, usual, thorough int) int {
	switch a.Word("effort", a.sent["effort"], "usual") {
	case "quick":
		return quick
	case "thorough":
		return thorough
	}
	return usual
}

func (a *asking) seed() uint64 { return uint64(max(1, a.Whole("seed", a.sent["seed"]))) }

// Fields that several questions have.
var (
	effortField = form.OneOf("effort", false, "quick", "usual", "thorough")
	seedField   = form.Field{Path: "seed", Kind: form.Whole, Min: 1, Max: 1e6, Example: "1"}
	timeField   = form.Number("time", quantity.Minute, 3, 240, false, "25 min")
	airField    = form.Number("air_ratio", quantity.One, fire.SmokeLimit, 6, false, "1.8")
)

var practiceFields = form.Fields{
	form.Number("make.tape", quantity.Millimetre, 0, 30, false, "5 mm"), form.Number("make.seam", quantity.Millimetre, 0, 20, false, "3 mm"),
	form.Number("make.dent", quantity.Millimetre, 0, 10, false, "1 mm"), form.Number("make.shrinkage", quantity.Percent, 0, 10, false, "1.5 %"),
	form.Number("make.rods", quantity.Millimetre, 0, 20, false, "2 mm"), form.Number("make.lining", quantity.Millimetre, 0, 10, false, "2 mm"),
	form.Number("make.mouth", quantity.Millimetre, 0, 30, false, "3 mm"), form.Number("burn.moisture", quantity.Percent, 0, 30, false, "5 %"),
	form.Number("burn.power", quantity.Percent, 0, 80, false, "20 %"), form.Number("burn.fill", quantity.Percent, 0, 80, false, "20 %"),
	form.Number("burn.heat", quantity.Percent, 0, 30, false, "4 %"),
}

// questions are those that take long.
var questions []question

func init() {
	questions = []question{
		{key: "search", empty: func() explore.Study { return new(explore.Search) }, ask: askSearch, answer: answerSearch, folded: len(priceFields) + 1,
			fields: named(form.Fields{effortField, airField, form.Number("confidence", quantity.Percent, 51, 100*explore.MostConfidence, false, "90 %"), timeField,
				form.Number("skin", quantity.Celsius, 35, 400, false, "80 °C"), form.Number("height", quantity.Centimetre, 15, 150, false, "45 cm"),
				form.Number("weight", quantity.Kilogram, 1, 500, false, "25 kg"), form.Number("cost", quantity.One, 0.01, 1e7, false, "500"),
				form.OneOf("at_hand", false, "yes", "no")}.And(priceFields, form.Fields{seedField}))},
		{key: "tolerance", empty: func() explore.Study { return new(explore.Tolerance) }, ask: askTolerance, answer: answerTolerance, folded: len(practiceFields) + 1,
			fields: named(form.Fields{effortField, timeField, airField}.And(practiceFields, form.Fields{seedField}))},
		{key: "spread", empty: func() explore.Study { return new(explore.Global) }, ask: askSpread, answer: answerSpread, folded: len(practiceFields) + 1,
			fields: named(form.Fields{effortField}.And(practiceFields, form.Fields{seedField}))},
		{key: "learn", empty: func() explore.Study { return new(explore.Calibration) }, ask: askLearn, answer: answerLearn, folded: 1, slow: true,
			fields: named(form.Fields{effortField, seedField})},
		{key: "pots", empty: func() explore.Study { return new(explore.Fleet) }, ask: askPots, answer: answerPots,
			fields: named(form.Fields{airField})},
	}
}

func named(fs form.Fields) form.Fields { return fs.Named("web.explore.field.", "web.explore.help.") }

func questionOf(key string) (question, bool) {
	i := slices.IndexFunc(questions, func(q question) bool { return q.key == key })
	if i < 0 {
		return question{}, false
	}
	return questions[i], true
}

// practice is how closely the workshop makes, as far as it says so.
func (a *asking) practice() explore.Practice {
	p := explore.UsualPractice()
	for path, field := range practiceOf(&p) {
		*field = a.number(path, *field)
	}
	return p
}

// practiceOf leads from the fields of the form to those of a practice.
func practiceOf(p *explore.Practice) map[string]*float64 {
	return map[string]*float64{"make.tape": &p.Tape, "make.seam": &p.Seam, "make.dent": &p.Dent, "make.shrinkage": &p.Shrinkage, "make.rods": &p.Rods,
		"make.lining": &p.Lining, "make.mouth": &p.Mouth, "burn.moisture": &p.Moisture, "burn.power": &p.Power, "burn.fill": &p.Fill, "burn.heat": &p.Heat}
}

func askTolerance(a *asking) (explore.Study, error) {
	return &explore.Tolerance{Subject: a.subject, Practice: a.practice(), Draws: a.effort(100, explore.UsualDraws, 2000), Time: a.number("time", 0), AirRatio: a.number("air_ratio", 0),
		Seed: a.seed()}, a.Complaints.OrNil()
}

func askSpread(a *asking) (explore.Study, error) {
	subject := a.subject
	subject.Depth = explore.Steady
	rows, seed, practice := a.effort(128, explore.UsualRows, 4096), a.seed(), a.practice()
	if len(a.Complaints) > 0 {
		return nil, a.Complaints
	}
	inputs, err := explore.SpreadInputs(a.subject, practice)
	if err != nil {
		return nil, err
	}
	return explore.NewGlobal(subject, inputs, rows, explore.UsualReplicates, seed)
}

// askPots asks of the pots of this stove and of those that are chosen beside it.
func askPots(a *asking) (explore.Study, error) {
	f := &explore.Fleet{Coefficients: a.subject.Coefficients, AirRatio: a.number("air_ratio", 0)}
	f.Kitchens = append(f.Kitchens, explore.Kitchen{Form: a.subject.Form, Weight: a.meals(a.design.ID)})
	for path, on := range a.sent {
		id, ok := strings.CutPrefix(path, "stove.")
		if !ok || on == "" || id == a.design.ID {
			continue
		}
		other, err := a.load(a.ctx, id)
		if err != nil {
			return nil, err
		}
		if other.Stove == nil {
			return nil, message.InputErrors{{Field: path, Reason: message.T("web.explore.no-stove")}}
		}
		filled, _ := filledIn(other.Form)
		f.Kitchens = append(f.Kitchens, explore.Kitchen{Form: filled, Weight: a.meals(id)})
	}
	slices.SortFunc(f.Kitchens[1:], func(x, y explore.Kitchen) int { return strings.Compare(x.Form.Name, y.Form.Name) })
	return f, a.Complaints.OrNil()
}

// mealsField is how often a kitchen cooks, beside the others.
var mealsField = form.Field{Path: "meals", Kind: form.Whole, Min: 1, Max: 10000, Example: "2"}

// meals reads how often the kitchen of a stove cooks.
func (a *asking) meals(stove string) float64 {
	r := form.Reader{Fields: named(form.Fields{mealsField})}
	n := r.Whole("meals", a.sent["meals."+stove])
	for _, c := range r.Complaints {
		c.Field = "meals." + stove
		a.Complaints = append(a.Complaints, c)
	}
	return float64(max(1, n))
}

// settingsOf are the settings that the form sent.
func settingsOf(sent url.Values) map[string]string {
	list := map[string]string{}
	for path, texts := range sent {
		if len(path) < 80 && len(list) < 200 && path != "do" {
			if text := tidy(strings.TrimSpace(texts[0])); text != "" && len(text) < 200 {
				list[path] = text
			}
		}
	}
	return list
}

// ask makes a study of a question. The error is a message.InputErrors where a
// setting cannot be.
func (b *Bench) ask(ctx context.Context, q question, d *design, s explore.Subject, settings map[string]string) (explore.Study, error) {
	a := &asking{Bench: b, ctx: ctx, design: d, subject: s, sent: settings, Reader: form.Reader{Fields: q.fields}}
	return q.ask(a)
}

// keyOf tells the state of what a study is asked of: the stove with its
// coefficients, unless those are what it is to learn, and the stoves and tests that
// are chosen beside it.
func (b *Bench) keyOf(ctx context.Context, q question, d *design, s explore.Subject, settings map[string]string) (string, error) {
	if q.key == "learn" {
		s.Coefficients = fire.Defaults()
	}
	doc, err := json.Marshal(s)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	sum.Write(doc)
	var ids []string
	for path := range settings {
		for _, kind := range []string{"stove.", "test."} {
			if id, ok := strings.CutPrefix(path, kind); ok && id != d.ID {
				ids = append(ids, id)
			}
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		rec, err := b.Workshop.Get(ctx, id)
		if err != nil && !errors.Is(err, workshop.ErrNotFound) {
			return "", err
		}
		sum.Write(rec.Head.Content)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8]), nil
}

// askFields are the settings of a question with what was sent.
func (b *Bench) askFields(q question, d *design, settings map[string]string, complaints message.InputErrors) (open, folded []fireField) {
	usual := usualSettings(q, d)
	words := map[string]string{"effort": "usual", "at_hand": yesNo(explore.UsualLimits(d.Stove.Brief).AtHand)} // chosen while nothing is said
	for i, rule := range q.fields {
		f := fireField{Path: rule.Path, Name: rule.Name(), Text: settings[rule.Path], Default: usual[rule.Path], Unit: rule.Unit.Symbol}
		for _, word := range rule.Options {
			chosen := settings[rule.Path] == word || settings[rule.Path] == "" && word == words[rule.Path]
			f.Words = append(f.Words, fireWord{word, message.T("web.explore." + rule.Path + "." + word), chosen})
		}
		for _, c := range complaints {
			if c.Field == rule.Path {
				f.Error = c
			}
		}
		if i < len(q.fields)-q.folded {
			open = append(open, f)
		} else {
			folded = append(folded, f)
		}
	}
	return open, folded
}

// usualSettings say what holds while a field is empty.
func usualSettings(q question, d *design) map[string]message.Text {
	limits, practice := explore.UsualLimits(d.Stove.Brief), explore.UsualPractice()
	of := func(v quantity.Value) message.Text { return message.T("web.default", "value", v) }
	none := message.T("web.explore.no-limit")
	list := map[string]message.Text{"air_ratio": of(explore.AirRatio.Value(limits.AirRatio)), "confidence": of(quantity.Pct(limits.Confidence)),
		"time": none, "skin": none, "height": none, "weight": none, "cost": none, "seed": of(ratio(1, 1))}
	if q.key == "tolerance" {
		list["time"] = message.T("web.explore.time-to-spare")
	}
	if limits.Time > 0 {
		list["time"] = message.T("web.fire.by-brief", "value", minutes(limits.Time))
	}
	if limits.Height > 0 {
		list["height"] = message.T("web.fire.by-brief", "value", quantity.MM(limits.Height))
	}
	if limits.Weight > 0 {
		list["weight"] = message.T("web.fire.by-brief", "value", quantity.KG(limits.Weight))
	}
	for path, x := range practiceOf(&practice) {
		list[path] = of(explore.Input{Key: path}.Value(*x))
	}
	for _, f := range priceFields {
		list[f.Path] = message.T("web.explore.left-out")
	}
	return list
}

// stoveChoice is a stove of the workshop that may be chosen.
type stoveChoice struct {
	ID, Name string
	Chosen   bool
	Own      bool // the one at hand
	Meals    string
	Error    *message.InputError
}

// potChoices are the stoves whose pots may be asked about together.
func (b *Bench) potChoices(ctx context.Context, d *design, settings map[string]string, complaints message.InputErrors) ([]stoveChoice, error) {
	list, err := b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind})
	if err != nil {
		return nil, err
	}
	var choices []stoveChoice
	for _, rec := range list {
		c := stoveChoice{ID: rec.ID, Name: rec.Head.Name, Own: rec.ID == d.ID, Chosen: settings["stove."+rec.ID] != "", Meals: settings["meals."+rec.ID]}
		for _, e := range complaints {
			if e.Field == "meals."+rec.ID || e.Field == "stove."+rec.ID {
				c.Error = e
			}
		}
		if c.Own {
			choices = slices.Insert(choices, 0, c)
		} else {
			choices = append(choices, c)
		}
	}
	return choices, nil
}
