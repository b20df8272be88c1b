package brick

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// SeriesForm is a series of trials as it is written: the materials at hand, and
// each mix with its bricks.
type SeriesForm struct {
	Name      string         `yaml:"name"`
	Note      string         `yaml:"note,omitempty"`
	Scale     string         `yaml:"scale,omitempty"`    // its smallest step
	Calliper  string         `yaml:"calliper,omitempty"` // its smallest step
	Goal      GoalForm       `yaml:"goal,omitempty"`
	Materials []MaterialForm `yaml:"materials"`
	Trials    []TrialForm    `yaml:"trials,omitempty"`
}

// MaterialForm is one material at hand.
type MaterialForm struct {
	Name     string `yaml:"name"`
	Kind     string `yaml:"kind"`
	Tin      string `yaml:"tin,omitempty"` // mass of one levelled tin
	Sieve    string `yaml:"sieve,omitempty"`
	Moisture string `yaml:"moisture,omitempty"`
	Loss     string `yaml:"loss,omitempty"`
	Grain    string `yaml:"grain,omitempty"`
	Price    string `yaml:"price,omitempty"` // of one kilogram, a bare number in the maker's money
	Least    string `yaml:"least,omitempty"` // share of the dry mass that a mix may have of it
	Most     string `yaml:"most,omitempty"`
}

// TrialForm is one mix and its bricks.
type TrialForm struct {
	Name    string       `yaml:"name"`
	Date    string       `yaml:"date,omitempty"`
	Note    string       `yaml:"note,omitempty"`
	Mix     []AmountForm `yaml:"mix"`
	Water   string       `yaml:"water"`
	FiredAt string       `yaml:"fired_at,omitempty"`
	Bricks  []BrickForm  `yaml:"bricks,omitempty"`
}

// AmountForm is one material of a mix.
type AmountForm struct {
	Material string `yaml:"material"`
	Amount   string `yaml:"amount"`
	Moisture string `yaml:"moisture,omitempty"` // as measured that day
}

// BrickForm is one brick of a trial.
type BrickForm struct {
	Mark      string    `yaml:"mark,omitempty"`
	Wet       StageForm `yaml:"wet,omitempty"`
	Dry       StageForm `yaml:"dry,omitempty"`
	Fired     StageForm `yaml:"fired,omitempty"`
	Float     string    `yaml:"float,omitempty"`
	FloatLine string    `yaml:"float_line,omitempty"` // height under water, read at once
	InWater   WaterForm `yaml:"in_water,omitempty"`
	Crushing  string    `yaml:"crushing,omitempty"`
	Drop      string    `yaml:"drop,omitempty"` // height, flat on packed soil, once
	Broke     string    `yaml:"broke,omitempty"`
	Place     string    `yaml:"place,omitempty"` // in the kiln
	Note      string    `yaml:"note,omitempty"`
}

// WaterForm is the fired brick weighed full of water, in air and hanging.
type WaterForm struct {
	Saturated string `yaml:"saturated,omitempty"`
	Suspended string `yaml:"suspended,omitempty"`
	Sinker    string `yaml:"sinker,omitempty"`
	Water     string `yaml:"water,omitempty"`
}

// StageForm is a brick weighed and measured.
type StageForm struct {
	Mass string `yaml:"mass,omitempty"`
	Size string `yaml:"size,omitempty"`
}

// SeriesFields is the trial sheet in the order of the paper.
var SeriesFields = paper(
	Field{Path: "name", Required: true, Example: "light lining"},
	form.Text("note", ""),
	form.Number("scale", quantity.Gram, 0.01, 200, false, "1 g"),
	form.Number("calliper", quantity.Millimetre, 0.01, 5, false, "0.5 mm"),
).And(goalFields, paper(
	Field{Path: "materials.name", Required: true, Example: "stream clay"},
	form.OneOf("materials.kind", true, IngredientKinds()...),
	form.Number("materials.tin", quantity.Gram, 1, 50000, false, "310 g"),
	form.Number("materials.sieve", quantity.Millimetre, 0.1, 20, false, "1 mm"),
	form.Number("materials.moisture", quantity.Percent, 0, 80, false, "24 %"),
	form.Number("materials.loss", quantity.Percent, 0, 100, false, "9 %"),
	form.Number("materials.grain", quantity.GramPerCM3, 0.05, 8, false, "2.65 g/cm³"),
	form.Number("materials.price", quantity.One, 0, 1e6, false, "0.05"),
	form.Number("materials.least", quantity.Percent, 0, 100, false, "40 %"),
	form.Number("materials.most", quantity.Percent, 0, 100, false, "80 %"),
	Field{Path: "trials.name", Required: true, Example: "T1"},
	form.Text("trials.date", "2026-04-02"),
	form.Text("trials.note", ""),
	Field{Path: "trials.mix.material", Required: true, Example: "stream clay"},
	Field{Path: "trials.mix.amount", Kind: Amount, Unit: quantity.Gram, Min: 1, Max: 1e6, Required: true, Example: "900 g"},
	form.Number("trials.mix.moisture", quantity.Percent, 0, 80, false, "24 %"),
	Field{Path: "trials.water", Kind: Amount, Unit: quantity.Gram, Min: 0, Max: 1e6, Required: true, Example: "1200 g"},
	form.Number("trials.fired_at", quantity.Celsius, 500, 1300, false, "980 °C"),
	form.Text("trials.bricks.mark", "a"),
	form.Number("trials.bricks.wet.mass", quantity.Gram, 10, 50000, false, "1480 g"),
	Field{Path: "trials.bricks.wet.size", Kind: Edges, Unit: quantity.Millimetre, Min: 10, Max: 600, Example: "220 x 110 x 60 mm"},
	form.Number("trials.bricks.dry.mass", quantity.Gram, 5, 50000, false, "790 g"),
	Field{Path: "trials.bricks.dry.size", Kind: Edges, Unit: quantity.Millimetre, Min: 8, Max: 600, Example: "207 x 103 x 56 mm"},
	form.Number("trials.bricks.fired.mass", quantity.Gram, 2, 50000, false, "600 g"),
	Field{Path: "trials.bricks.fired.size", Kind: Edges, Unit: quantity.Millimetre, Min: 5, Max: 600, Example: "200 x 100 x 54 mm"},
	form.OneOf("trials.bricks.float", false, string(Floats), string(SinksAtOnce), string(SinksLater)),
	form.Number("trials.bricks.float_line", quantity.Millimetre, 1, 600, false, "32 mm"),
	form.Number("trials.bricks.in_water.saturated", quantity.Gram, 10, 100000, false, "1370 g"),
	form.Number("trials.bricks.in_water.suspended", quantity.Gram, -50000, 100000, false, "370 g"),
	form.Number("trials.bricks.in_water.sinker", quantity.Gram, 0, 100000, false, "450 g"),
	form.Number("trials.bricks.in_water.water", quantity.Celsius, 1, 39, false, "22 °C"),
	form.Number("trials.bricks.crushing", quantity.Megapascal, 0.001, 200, false, "1.2 MPa"),
	form.Number("trials.bricks.drop", quantity.Centimetre, 5, 1000, false, "100 cm"),
	form.OneOf("trials.bricks.broke", false, "yes", "no"),
	form.Text("trials.bricks.place", "layer 2, row 1"),
	form.Text("trials.bricks.note", ""),
))

// Series is a series of trials that has been read.
type Series struct {
	Name, Note string
	Stocks     []Stock
	Tins       []float64 // kg of one tin of each stock, 0 if not weighed
	Prices     []float64 // per kg, NaN if not given
	Sieves     []float64 // m, 0 if not given
	Trials     []Trial
	Goal       Goal           // with usual values where none are written
	Dates      []string       // of the trials
	Remarks    []message.Text // what is odd but can be: a light brick that sank, a brick that lost too much
}

// Body names the body of one trial, with pores as its coarsest sieve leaves
// them; see [BodyOf].
func (s Series) Body(name string, trial int, p Prediction) Body {
	b := BodyOf(name, s.Trials[trial], p)
	coarsest := 0.0
	for _, portion := range s.Trials[trial].Mix.Portions {
		k := slices.IndexFunc(s.Stocks, func(o Stock) bool { return o.Name == portion.Ingredient.Name })
		if k >= 0 && s.Stocks[k].Role == "pore former" {
			coarsest = math.Max(coarsest, s.Sieves[k])
		}
	}
	if coarsest > 0 {
		b.Skeleton = b.Skeleton.WithSieve(coarsest)
	}
	if lines := s.Lines(s.Trials[trial].Name); len(lines) > 0 {
		b.Shrinkage, _ = MeasureShrinkage(lines)
		b.Lines = len(lines)
	}
	return b
}

// BodyNames are what a stove may call the bodies of a series' trials.
func (s Series) BodyNames() []string {
	names := make([]string, len(s.Trials))
	for i, t := range s.Trials {
		names[i] = strings.TrimSpace(s.Name + " " + t.Name)
	}
	return names
}

// Bodies are the bodies of a series' trials, by the name of the series and of
// the trial: what a stove may call its brick. The same series gives the same
// bodies.
func (s Series) Bodies() ([]Body, error) {
	belief, err := Update(s.Stocks, FormingDefaults(), s.Trials, 1)
	if err != nil {
		return nil, err
	}
	var list []Body
	names := s.BodyNames()
	for i, t := range s.Trials {
		p, err := belief.Predict(t.Mix, 1)
		if err != nil {
			return nil, err
		}
		b := s.Body(names[i], i, p)
		if b.Lines == 0 {
			b.Shrinkage = belief.Shrinkage()
		}
		list = append(list, b)
	}
	return list, nil
}

// FindBody finds a body by its name, or by the trial's alone where no other
// series has one of that name. The error is a [message.InputErrors] with the
// nearest name.
func FindBody(bodies []Body, name string) (Body, error) {
	name = strings.Join(strings.Fields(name), " ")
	var byTrial []Body
	names := make([]string, len(bodies))
	for i, b := range bodies {
		if names[i] = b.Name; strings.EqualFold(b.Name, name) {
			return b, nil
		}
		if len(b.Name) > len(name) && strings.EqualFold(b.Name[len(b.Name)-len(name):], name) && b.Name[len(b.Name)-len(name)-1] == ' ' && name != "" {
			byTrial = append(byTrial, b)
		}
	}
	if len(byTrial) == 1 {
		return byTrial[0], nil
	}
	reason := "brick.body.unknown"
	if len(byTrial) > 1 {
		reason = "brick.body.several"
	}
	e := &message.InputError{Field: "body", Value: name, Reason: message.T(reason), Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: message.Nearest(name, names)}
	if e.Try == "" && len(names) > 0 {
		e.Try = names[0]
	}
	return Body{}, message.InputErrors{e}
}

// ParseSeries reads a trial file; see [SeriesForm.Read] for its values.
func ParseSeries(data []byte) (SeriesForm, error) {
	var f SeriesForm
	err := SeriesFields.Decode(data, &f, "name: light lining")
	return f, err
}

// Write gives the file of a series. Reading it back gives the same series.
func (f SeriesForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values, and checks each brick for what cannot be.
// The error is a [message.InputErrors] with every complaint at once.
func (f SeriesForm) Read() (Series, error) {
	r := newReader(SeriesFields)
	s := Series{Name: r.Text("name", f.Name), Note: f.Note}
	scale := Instrument{Resolution: or(r.number("scale", f.Scale), 0.001)}
	calliper := Instrument{Resolution: or(r.number("calliper", f.Calliper), 0.0005)}
	for i, m := range f.Materials {
		r.material(&s, fmt.Sprintf("materials[%d]", i+1), m)
	}
	if len(s.Stocks) == 0 {
		r.Complain("materials.name", "", message.T("brick.form.no-materials"))
	}
	for i, t := range f.Trials {
		path := fmt.Sprintf("trials[%d]", i+1)
		trial := r.trial(&s, path, t)
		for k, b := range t.Bricks {
			at := fmt.Sprintf("%s.bricks[%d]", path, k+1)
			record := r.brick(at, b, scale, calliper)
			r.inWater(&s, at, b, &record, scale, calliper)
			r.float(&s, at, b, record)
			trial.Bricks = append(trial.Bricks, record)
		}
		r.checkTrial(path, trial, t)
		s.Remarks = append(s.Remarks, trial.Odd()...)
		s.Trials, s.Dates = append(s.Trials, trial), append(s.Dates, t.Date)
	}
	r.goal(&s, f)
	return s, r.Complaints.OrNil()
}

func (r *reader) material(s *Series, path string, m MaterialForm) {
	kind := r.Word(path+".kind", m.Kind, "")
	name := r.Text(path+".name", m.Name)
	if slices.ContainsFunc(s.Stocks, func(o Stock) bool { return o.Name == name }) {
		r.Complain(path+".name", m.Name, message.T("brick.form.twice"))
	}
	stock, ok := NewStock(name, kind)
	if !ok {
		stock, _ = NewStock(name, "clay") // kind was complained about
	}
	if v := r.number(path+".moisture", m.Moisture); !math.IsNaN(v) {
		stock.Moisture = Known(v)
	}
	if v := r.number(path+".loss", m.Loss); !math.IsNaN(v) {
		stock.Loss = Known(v)
	}
	stock.Grain = or(r.number(path+".grain", m.Grain), stock.Grain)
	s.Stocks = append(s.Stocks, stock)
	s.Tins = append(s.Tins, or(r.number(path+".tin", m.Tin), 0))
	s.Sieves = append(s.Sieves, or(r.number(path+".sieve", m.Sieve), 0))
	s.Prices = append(s.Prices, r.number(path+".price", m.Price))
}

func (r *reader) trial(s *Series, path string, t TrialForm) Trial {
	trial := Trial{Name: r.Text(path+".name", t.Name), Kelvin: or(r.number(path+".fired_at", t.FiredAt), 0)}
	for i, a := range t.Mix {
		at := fmt.Sprintf("%s.mix[%d]", path, i+1)
		name := r.Text(at+".material", a.Material)
		k := slices.IndexFunc(s.Stocks, func(o Stock) bool { return o.Name == name })
		if k < 0 {
			names := make([]string, len(s.Stocks))
			for j, o := range s.Stocks {
				names[j] = o.Name
			}
			e := r.Complain(at+".material", a.Material, message.T("brick.form.unknown-material", "names", strings.Join(names, ", ")))
			if near := message.Nearest(name, names); near != "" {
				e.Try = near
			}
			continue
		}
		p := Portion{Ingredient: s.Stocks[k].Ingredient(), Mass: r.amount(at+".amount", a.Amount, s.Tins[k])}
		if v := r.number(at+".moisture", a.Moisture); !math.IsNaN(v) {
			p.Ingredient.Moisture, p.Weighed = v, true
		}
		if !math.IsNaN(p.Mass) {
			trial.Mix.Portions = append(trial.Mix.Portions, p)
		}
	}
	if len(t.Mix) == 0 {
		r.Complain(path+".mix.material", "", message.T("brick.form.missing"))
	}
	trial.Mix.Water = or(r.amount(path+".water", t.Water, 0), 0)
	return trial
}

func (r *reader) brick(path string, b BrickForm, scale, calliper Instrument) Record {
	record := Record{Mark: b.Mark, Crushing: or(r.number(path+".crushing", b.Crushing), 0)}
	record.Drop = Drop{Height: or(r.number(path+".drop", b.Drop), 0), Broke: r.Word(path+".broke", b.Broke, "") == "yes"}
	if record.Drop.Height > 0 && b.Broke == "" {
		r.Complain(path+".broke", "", message.T("brick.form.missing"))
	}
	for k, s := range []struct {
		name string
		StageForm
	}{{"wet", b.Wet}, {"dry", b.Dry}, {"fired", b.Fired}} {
		if v := r.number(path+"."+s.name+".mass", s.Mass); !math.IsNaN(v) {
			record.Stages[k].Mass = Reading{Value: v, U: scale.U()}
		}
		record.Stages[k].Edges = r.edges(path+"."+s.name+".size", s.Size, calliper.U())
	}
	return record
}

// inWater reads the weighings in water, or the float line, and holds the
// density they give beside that of the calliper.
func (r *reader) inWater(s *Series, path string, b BrickForm, record *Record, scale, calliper Instrument) {
	fired := &record.Stages[Fired]
	byCalliper := fired.Volume()
	weighed := func(name, text string) Reading {
		if v := r.number(path+".in_water."+name, text); !math.IsNaN(v) {
			return Reading{Value: v, U: scale.U()}
		}
		return Reading{}
	}
	a := Archimedes{Dry: fired.Mass, Saturated: weighed("saturated", b.InWater.Saturated), Suspended: weighed("suspended", b.InWater.Suspended),
		Sinker: weighed("sinker", b.InWater.Sinker), Kelvin: or(r.number(path+".in_water.water", b.InWater.Water), 0)}
	switch line := r.number(path+".float_line", b.FloatLine); {
	case b.InWater != (WaterForm{}):
		pores, odd, err := a.Evaluate()
		if list, bad := message.Complaints(err); bad {
			r.under(path+".in_water.", list)
			return
		}
		record.Pores, fired.Bulk = &pores, Reading{Value: pores.Volume.Value, U: pores.Volume.U}
		s.Remarks = append(s.Remarks, odd...)
	case !math.IsNaN(line) && fired.Mass.Value > 0 && fired.Edges[Height].Value > 0:
		d, err := FloatDensity(Reading{Value: line, U: calliper.U()}, fired.Edges[Height], 0)
		if list, bad := message.Complaints(err); bad {
			r.under(path+".", list)
			return
		}
		fired.Bulk = Reading{Value: fired.Mass.Value / d.Value, U: fired.Mass.Value / d.Value * d.U / d.Value}
	}
	if byCalliper.Value > 0 && fired.Bulk.Value > 0 {
		differ, u := fired.Bulk.Value/byCalliper.Value-1, math.Hypot(fired.Bulk.U/fired.Bulk.Value, byCalliper.U/byCalliper.Value)
		if math.Abs(differ) > math.Max(0.03, 3*u) {
			s.Remarks = append(s.Remarks, message.T("brick.trial.two-volumes", "mark", record.Mark,
				"calliper", densityValue(fired.Mass.Value/byCalliper.Value), "water", densityValue(fired.Mass.Value/fired.Bulk.Value)))
		}
	}
}

// under adds complaints below a path; the dry weighing is the fired mass, and a
// float line's field is named so in the form.
func (r *reader) under(path string, list message.InputErrors) {
	for _, e := range list {
		switch e.Field {
		case "dry":
			e.Field = strings.TrimSuffix(path, "in_water.") + "fired.mass"
		case "immersed":
			e.Field = path + "float_line"
		default:
			e.Field = path + e.Field
		}
		if f, ok := r.Fields.Find(e.Field); ok {
			e.Try = f.Example
		}
		r.Complaints = append(r.Complaints, e)
	}
}

// float reads a float test and sets what it says beside the density.
func (r *reader) float(s *Series, path string, b BrickForm, record Record) {
	seen := r.Word(path+".float", b.Float, "")
	mass, volume := record.Stages[Fired].Mass.Value, record.Stages[Fired].Volume().Value
	if seen == "" || mass <= 0 || volume <= 0 {
		return
	}
	if t := ExplainFloating(Floating(seen), 0, mass/volume, 0); !t.IsZero() {
		s.Remarks = append(s.Remarks, t)
	}
}

// checkTrial adds what cannot be to the complaints, under the trial's path and
// with what was written there.
func (r *reader) checkTrial(path string, t Trial, f TrialForm) {
	list, _ := message.Complaints(t.Check())
	for _, e := range list {
		for k, b := range f.Bricks {
			for i, stage := range []StageForm{b.Wet, b.Dry, b.Fired} {
				at := fmt.Sprintf("bricks[%d].%s.", k+1, stageNames[i])
				switch e.Field {
				case at + "mass":
					e.Value = stage.Mass
				case at + "size":
					e.Value = stage.Size
				}
			}
		}
		e.Field = path + "." + e.Field
		r.Complaints = append(r.Complaints, e)
	}
}

// stageNames are the names of the stages in the file.
var stageNames = [3]string{Wet: "wet", Dry: "dry", Fired: "fired"}
