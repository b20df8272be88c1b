package web

import (
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"stovewright/brick"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// troublePage leads from what is seen on a brick to its likely causes, and from
// each to one change.
type troublePage struct {
	frame
	Symptoms []brick.Symptom
	Symptom  *brick.Symptom
	Causes   []brick.Cause
	Trials   []trialChoice
	Chosen   string
	Facts    []brickFact
	Entries  []askedEntry
}

// trialChoice is a trial whose facts speak for or against a cause.
type trialChoice struct{ Value, Name string }

// askedEntry is a value typed into a page that only answers.
type askedEntry struct {
	Name  string
	Rule  form.Field
	Text  string
	Error *message.InputError
	Wide  bool
}

// askedForm reads the values of a page that only answers. NaN where nothing usable
// is written.
type askedForm struct {
	r       *http.Request
	fields  form.Fields
	Entries []askedEntry
}

func (a *askedForm) number(name string) float64 {
	rule, ok := a.fields.Find(name)
	if !ok {
		panic("web: no such entry " + name)
	}
	e := askedEntry{Name: name, Rule: rule, Text: tidy(a.r.URL.Query().Get(name))}
	v := math.NaN()
	if !blank(e.Text) {
		reader := form.Reader{Fields: a.fields}
		if si, ok := reader.Number(name, e.Text); ok {
			v = si
		} else {
			e.Error = reader.Complaints[0]
		}
	}
	a.Entries = append(a.Entries, e)
	return v
}

var troubleFields = form.Fields{
	form.Number("peak", quantity.Celsius, 400, 1300, false, "950 °C"),
	form.Number("thickness", quantity.Millimetre, 10, 200, false, "60 mm"),
}.Named("web.bricks.asked.", "web.bricks.asked-help.")

func (b *Bench) showTrouble(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	p := troublePage{frame: b.frame("bricks", "web.bricks.trouble"), Symptoms: brick.Symptoms(), Chosen: r.URL.Query().Get("trial")}
	p.Last = b.last(ctx)
	list, err := b.sheets(ctx, seriesPaper)
	if err != nil {
		return err
	}
	var facts brick.Facts
	for _, s := range list {
		if s.broken != nil {
			continue
		}
		v := seriesOf(s)
		for _, i := range v.Usable {
			choice := trialChoice{s.ID + "." + strconv.Itoa(i+1), orUnnamed(b, s.Name()) + " · " + v.Read.Trials[i].Name}
			p.Trials = append(p.Trials, choice)
			if choice.Value == p.Chosen {
				facts = brick.FactsOf(v.Read.Trials[i])
			}
		}
	}
	ask := askedForm{r: r, fields: troubleFields}
	if v := ask.number("peak"); v == v {
		facts.Peak = v
	}
	if v := ask.number("thickness"); v == v {
		facts.Thickness = v
	}
	p.Entries = ask.Entries
	p.Facts = troubleFacts(facts)
	if key := r.URL.Query().Get("symptom"); key != "" {
		i := slices.IndexFunc(p.Symptoms, func(s brick.Symptom) bool { return s.Key == key })
		if i < 0 {
			return missing()
		}
		p.Symptom = &p.Symptoms[i]
		p.Causes = brick.Causes(key, facts)
	}
	b.show(w, http.StatusOK, "brickstrouble", p)
	return nil
}

func troubleFacts(f brick.Facts) (list []brickFact) {
	if f.Peak > 0 {
		list = append(list, brickFactOf("web.bricks.peak", plainText(quantity.C(f.Peak))))
	}
	if f.Sawdust > 0 {
		list = append(list, brickFactOf("web.bricks.pore-former", plainText(quantity.Pct(f.Sawdust))))
	}
	if f.Water > 0 {
		list = append(list, brickFactOf("web.bricks.water-per-dry", plainText(quantity.Value{SI: f.Water, Unit: quantity.One, Step: 0.01})))
	}
	if f.Drying > 0 {
		list = append(list, brickFactOf("web.bricks.drying", plainText(percentOf(float64(f.Drying)))))
	}
	if f.Thickness > 0 {
		list = append(list, brickFactOf("web.bricks.thickness", plainText(quantity.MM(f.Thickness))))
	}
	return list
}

// Path is the address of a symptom with what is known kept.
func (p troublePage) Path(key string) string {
	pairs := []string{"symptom", key}
	if p.Chosen != "" {
		pairs = append(pairs, "trial", p.Chosen)
	}
	for _, e := range p.Entries {
		if e.Text != "" {
			pairs = append(pairs, e.Name, e.Text)
		}
	}
	return queryOf(pairs...) + "#causes"
}

// FitWord says in a word whether what is known speaks for a cause.
func (troublePage) FitWord(f brick.Fit) message.Text {
	switch f {
	case brick.Likely:
		return message.T("web.bricks.fit-likely")
	case brick.Unlikely:
		return message.T("web.bricks.fit-unlikely")
	}
	return message.Text{}
}

// measurePage answers small questions at the bench, and keeps nothing.
type measurePage struct {
	frame
	Asked []askedPart
	Tests []message.Text // of a fired brick
	Care  []message.Text
}

// askedPart is one small question with its answer.
type askedPart struct {
	Key      string
	Entries  []askedEntry
	Drops    string // the drops as they were typed
	Facts    []brickFact
	Words    []message.Text
	Cautions []message.Text
}

var measureFields = form.Fields{
	form.Number("load", quantity.Kilogram, 0.1, 2000, false, "60 kg"),
	form.Number("load_arm", quantity.Millimetre, 10, 6000, false, "2000 mm"),
	form.Number("piece_arm", quantity.Millimetre, 10, 6000, false, "200 mm"),
	form.Number("beam", quantity.Kilogram, 0, 500, false, "8 kg"),
	form.Number("beam_arm", quantity.Millimetre, 0, 6000, false, "1000 mm"),
	form.Number("piece_length", quantity.Millimetre, 5, 600, false, "50 mm"),
	form.Number("piece_width", quantity.Millimetre, 5, 600, false, "50 mm"),
	form.Number("jar", quantity.Centimetre, 1, 50, false, "15 cm"),
	form.Number("jar_water", quantity.Celsius, 1, 45, false, "22 °C"),
	form.Number("one_tin", quantity.Gram, 1, 50000, false, "310 g"),
	form.Number("amount", quantity.Kilogram, 0.01, 10000, false, "12 kg"),
	form.Number("days", quantity.Day, 0.5, 200, false, "8 d"),
	form.Number("from_thickness", quantity.Millimetre, 10, 200, false, "50 mm"),
	form.Number("to_thickness", quantity.Millimetre, 10, 200, false, "70 mm"),
}.Named("web.bricks.asked.", "web.bricks.asked-help.")

func (b *Bench) showMeasure(w http.ResponseWriter, r *http.Request) error {
	p := measurePage{frame: b.frame("bricks", "web.bricks.measure")}
	p.Last = b.last(r.Context())
	p.Asked = []askedPart{askCrushing(r), askDrops(r), askJar(r), askTins(r), askDrying(r)}
	for _, t := range brick.QualityTests("") {
		p.Tests = append(p.Tests, t.Method())
	}
	p.Care = append(brick.Cautions(brick.StepTesting, brick.Mix{}), brick.Cautions(brick.StepCutting, brick.Mix{})...)
	b.show(w, http.StatusOK, "bricksmeasure", p)
	return nil
}

func askCrushing(r *http.Request) askedPart {
	const g = 9.80665 // m/s², standard
	a := askedForm{r: r, fields: measureFields}
	load, loadArm, pieceArm := a.number("load"), a.number("load_arm"), a.number("piece_arm")
	beam, beamArm := a.number("beam"), a.number("beam_arm")
	area := a.number("piece_length") * a.number("piece_width")
	p := askedPart{Key: "crushing", Entries: a.Entries, Cautions: brick.Cautions(brick.StepCrushing, brick.Mix{})}
	if math.IsNaN(beam) || math.IsNaN(beamArm) {
		beam, beamArm = 0, 0
	}
	if v := brick.LeverCrushing(load*g, loadArm, pieceArm, beam*g, beamArm, area); v == v {
		p.Facts = []brickFact{brickFactOf("web.bricks.crushing", plainText(quantity.Value{SI: v, Unit: quantity.Megapascal, Step: 0.01}))}
		p.Words = []message.Text{message.T("web.bricks.write-crushing")}
	}
	return p
}

// askDrops reads "0.5 held, 1 broke": heights in metres and what happened.
func askDrops(r *http.Request) askedPart {
	p := askedPart{Key: "drops", Drops: tidy(r.URL.Query().Get("drops"))}
	if blank(p.Drops) {
		return p
	}
	var drops []brick.Drop
	for _, part := range strings.FieldsFunc(p.Drops, func(r rune) bool { return r == ',' || r == ';' }) {
		words := strings.Fields(part)
		if len(words) < 2 {
			p.Words = append(p.Words, message.T("web.bricks.drops-wrong", "what", strings.TrimSpace(part)))
			continue
		}
		height, err := quantity.Parse(strings.Join(words[:len(words)-1], " "), quantity.Length, quantity.Metre)
		said := strings.ToLower(words[len(words)-1])
		if err != nil || height < 0.02 || height > 20 || said != "held" && said != "broke" {
			p.Words = append(p.Words, message.T("web.bricks.drops-wrong", "what", strings.TrimSpace(part)))
			continue
		}
		drops = append(drops, brick.Drop{Height: height, Broke: said == "broke"})
	}
	if h := brick.DropHeight(drops); h.Best == h.Best {
		metres := func(m float64) quantity.Value { return quantity.Value{SI: m, Unit: quantity.Metre, Step: 0.05} }
		p.Facts = []brickFact{brickFactOf("web.bricks.drop-height", bandText(h, metres)), brickFactOf("web.bricks.drops-made", plainText(len(drops)))}
	}
	return p
}

func askJar(r *http.Request) askedPart {
	a := askedForm{r: r, fields: measureFields}
	depth, kelvin := a.number("jar"), a.number("jar_water")
	p := askedPart{Key: "jar", Entries: a.Entries}
	if kelvin != kelvin {
		kelvin = quantity.Celsius.SI(20)
	}
	if depth == depth {
		sand, silt := brick.JarTimes(depth, kelvin)
		p.Facts = []brickFact{brickFactOf("web.bricks.mark-sand", plainText(quantity.Value{SI: sand, Unit: quantity.Second, Step: 5})), brickFactOf("web.bricks.mark-silt", plainText(hoursOf(silt)))}
	}
	return p
}

func askTins(r *http.Request) askedPart {
	a := askedForm{r: r, fields: measureFields}
	tin, amount := a.number("one_tin"), a.number("amount")
	p := askedPart{Key: "tins", Entries: a.Entries}
	if n := brick.Tins(amount, tin); n == n {
		p.Facts = []brickFact{brickFactOf("web.bricks.tins-are", message.T("web.bricks.tins", "tins", quantity.Value{SI: n, Unit: quantity.One, Step: 0.1}))}
	}
	return p
}

func askDrying(r *http.Request) askedPart {
	a := askedForm{r: r, fields: measureFields}
	days, from, to := a.number("days"), a.number("from_thickness"), a.number("to_thickness")
	p := askedPart{Key: "drying", Entries: a.Entries, Cautions: brick.Cautions(brick.StepDrying, brick.Mix{})}
	if v := brick.DryingDays(days/86400, from, to); v.Best == v.Best {
		show := func(d float64) quantity.Value { return quantity.Value{SI: d * 86400, Unit: quantity.Day, Step: 0.5} }
		p.Facts = []brickFact{brickFactOf("web.bricks.drying-takes", bandText(v, show))}
	}
	return p
}
