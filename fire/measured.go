package fire

import (
	"math"
	"strconv"
	"strings"

	"stovewright/gas"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// MeasuredForm is a file of measured data, as it is written: ranges that hold for
// a kind of stove, and stoves of their own with what was measured on them.
// docs/files.md describes it.
type MeasuredForm struct {
	Description  string              `yaml:"description,omitempty"`
	Findings     []FindingForm       `yaml:"findings,omitempty"`
	NotPredicted []NotedForm         `yaml:"not_predicted,omitempty"`
	Stoves       []MeasuredStoveForm `yaml:"stoves,omitempty"`
}

// FindingForm is a range of one quantity.
type FindingForm struct {
	Key         string `yaml:"key"`
	Quantity    string `yaml:"quantity"`
	Low         string `yaml:"low,omitempty"`
	High        string `yaml:"high"`
	Uncertainty string `yaml:"uncertainty,omitempty"`
	Stove       string `yaml:"stove,omitempty"`
	Water       string `yaml:"water,omitempty"`
	Conditions  string `yaml:"conditions,omitempty"`
	Standing    string `yaml:"standing,omitempty"`
	Source      string `yaml:"source,omitempty"`
}

// NotedForm is a value of something that the model does not predict.
type NotedForm struct {
	What       string `yaml:"what"`
	Value      string `yaml:"value"`
	Conditions string `yaml:"conditions,omitempty"`
	Standing   string `yaml:"standing,omitempty"`
	Source     string `yaml:"source,omitempty"`
}

// MeasuredStoveForm is a stove with what was measured on it.
type MeasuredStoveForm struct {
	Name     string       `yaml:"name"`
	Brief    stove.Form   `yaml:"brief"`          // the stove as it was built: what differs from the rules stands under yours
	Fire     Form         `yaml:"fire,omitempty"` // what was done with it
	Source   string       `yaml:"source"`
	Standing string       `yaml:"standing,omitempty"`
	Note     string       `yaml:"note,omitempty"`
	Results  []ResultForm `yaml:"results"`
}

// ResultForm is one measured quantity.
type ResultForm struct {
	Quantity    string `yaml:"quantity"`
	Value       string `yaml:"value"`
	Uncertainty string `yaml:"uncertainty,omitempty"` // one standard deviation of the value
	Tests       string `yaml:"tests,omitempty"`       // how many it is the mean of
}

// MeasuredFields are the entries of a [MeasuredForm], those of its briefs and
// fires left out.
var MeasuredFields = form.Fields{
	form.Text("description", ""),
	need(form.Text("findings.key", "my-stove-efficiency")),
	need(form.OneOf("findings.quantity", true, measureKeys()...)),
	form.Text("findings.low", "33 %"),
	need(form.Text("findings.high", "48 %")),
	form.Text("findings.uncertainty", "2 %"),
	form.OneOf("findings.stove", false, Kinds()...),
	form.Number("findings.water", quantity.Litre, 0.1, 500, false, "5 L"),
	form.Text("findings.conditions", "24 cm pot"),
	form.Text("findings.standing", "measured here"),
	form.Text("findings.source", "my own tests"),
	need(form.Text("not_predicted.what", "carbon monoxide")),
	need(form.Text("not_predicted.value", "20 g")),
	form.Text("not_predicted.conditions", "5 L boiled"),
	form.Text("not_predicted.standing", "measured here"),
	form.Text("not_predicted.source", "my own tests"),
	need(form.Text("stoves.name", "stove A")),
	need(form.Text("stoves.source", "my own tests")),
	form.Text("stoves.standing", "measured here"),
	form.Text("stoves.note", "invented example"),
	need(form.OneOf("stoves.results.quantity", true, measureKeys()...)),
	need(form.Text("stoves.results.value", "38 %")),
	form.Text("stoves.results.uncertainty", "2 %"),
	{Path: "stoves.results.tests", Kind: form.Whole, Min: 1, Max: 10000, Example: "5"},
}

func need(f form.Field) form.Field {
	f.Required = true
	return f
}

func measureKeys() []string {
	keys := make([]string, len(measures))
	for i, m := range measures {
		keys[i] = m.Key
	}
	return keys
}

// Measured is a file of measured data, read and found usable.
type Measured struct {
	Description  string
	Findings     []Finding
	NotPredicted []Noted
	Stoves       []MeasuredStove
}

// MeasuredStove is a stove, made ready to burn as it was tested, and what was
// measured on it.
type MeasuredStove struct {
	Name, Source, Standing, Note string
	Lit                          Lit
	Results                      []Result
}

// Result is one measured quantity.
type Result struct {
	Measure     Measure
	Value       float64 // SI
	Uncertainty float64 // one standard deviation of the value; 0 where not given
	Tests       int     // 0 where not given
}

// ReadMeasured reads a file of measured data. The error is a
// [message.InputErrors].
func ReadMeasured(data []byte) (Measured, error) {
	var f MeasuredForm
	if err := MeasuredFields.Decode(data, &f, "stoves:\n  - name: stove A"); err != nil {
		return Measured{}, err
	}
	r := &measuredReader{form.Reader{Fields: MeasuredFields, Missing: message.T("fire.measured.missing")}}
	m := Measured{Description: strings.TrimSpace(f.Description)}
	for i, x := range f.Findings {
		m.Findings = append(m.Findings, r.finding("findings["+strconv.Itoa(i+1)+"].", x))
	}
	for i, x := range f.NotPredicted {
		at := "not_predicted[" + strconv.Itoa(i+1) + "]."
		m.NotPredicted = append(m.NotPredicted, Noted{r.Text(at+"what", x.What), r.Text(at+"value", x.Value), r.Text(at+"conditions", x.Conditions),
			r.Text(at+"standing", x.Standing), r.Text(at+"source", x.Source)})
	}
	for i, x := range f.Stoves {
		m.Stoves = append(m.Stoves, r.stove("stoves["+strconv.Itoa(i+1)+"].", x))
	}
	if len(f.Findings)+len(f.NotPredicted)+len(f.Stoves) == 0 && len(r.Complaints) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: "file", Reason: message.T("fire.measured.nothing"), Try: "stoves:\n  - name: stove A"})
	}
	return m, r.Complaints.OrNil()
}

// measuredReader reads values whose unit hangs on the quantity beside them.
type measuredReader struct{ form.Reader }

// value reads a value of a measure; a bare number is in its unit.
func (r *measuredReader) value(path, text string, u quantity.Unit, least, most float64) float64 {
	if r.Empty(path, text) {
		return 0
	}
	v, err := quantity.Parse(text, u.Dimension, u)
	show := func(si float64) quantity.Value { return quantity.Value{SI: si, Unit: u} }
	switch {
	case err != nil:
		e := r.Complain(path, text, form.Unread(err))
		e.Allowed = message.T("form.allowed-range", "low", show(least), "high", show(most))
		e.Try = show(math.Min(most, least+(most-least)/3)).String()
		return 0
	case v < least || v > most:
		e := r.Complain(path, text, message.T("form.out-of-range"))
		e.Allowed = message.T("form.allowed-range", "low", show(least), "high", show(most))
		e.Try = show(math.Min(most, least+(most-least)/3)).String()
		return 0
	}
	return v
}

func (r *measuredReader) finding(at string, x FindingForm) Finding {
	f := Finding{Key: r.Text(at+"key", x.Key), Quantity: r.Word(at+"quantity", x.Quantity, ""), Stove: r.Word(at+"stove", x.Stove, AnyStove),
		Conditions: r.Text(at+"conditions", x.Conditions), Standing: r.Text(at+"standing", x.Standing), Source: r.Text(at+"source", x.Source)}
	litres, _ := r.Number(at+"water", x.Water)
	f.Water = litres * gas.PlainWater
	m, ok := MeasureByKey(f.Quantity)
	if !ok {
		return f
	}
	before := len(r.Complaints)
	f.Low = r.value(at+"low", x.Low, m.Unit, m.Least, m.Most)
	f.High = r.value(at+"high", x.High, m.Unit, m.Least, m.Most)
	f.Uncertainty = r.value(at+"uncertainty", x.Uncertainty, m.differenceUnit(), 0, m.Most-m.Least)
	if len(r.Complaints) == before && x.High != "" && (f.High < f.Low || f.High <= m.Least) {
		r.Complain(at+"high", x.High, message.T("fire.measured.order"))
	}
	return f
}

func (r *measuredReader) stove(at string, x MeasuredStoveForm) MeasuredStove {
	s := MeasuredStove{Name: r.Text(at+"name", x.Name), Source: r.Text(at+"source", x.Source), Standing: r.Text(at+"standing", x.Standing), Note: r.Text(at+"note", x.Note)}
	if lit, err := lightForm(x.Brief); err != nil {
		r.inside(at+"brief", err)
	} else if s.Lit, _, err = x.Fire.Read(lit); err != nil {
		r.inside(at+"fire", err)
	}
	if len(x.Fire.Coefficients) > 0 {
		r.inside(at+"fire", &message.InputError{Field: "coefficients", Reason: message.T("fire.measured.coefficients"), Try: "fire: {power: 4 kW}"})
	}
	for i, y := range x.Results {
		path := at + "results[" + strconv.Itoa(i+1) + "]."
		result := r.result(path, y)
		if result.Measure.simmer && s.Lit.Task.Hold == 0 && s.Lit.Task.Water > 0 {
			r.Complaints = append(r.Complaints, &message.InputError{Field: path + "quantity", Value: y.Quantity, Reason: message.T("fire.measured.no-simmer"), Try: "fire: {hold: 45 min}"})
		}
		s.Results = append(s.Results, result)
	}
	if len(x.Results) == 0 {
		r.Complaints = append(r.Complaints, &message.InputError{Field: at + "results", Reason: message.T("fire.measured.no-results"), Try: "results:\n  - {quantity: efficiency, value: 38 %}"})
	}
	return s
}

func (r *measuredReader) result(at string, x ResultForm) Result {
	m, _ := MeasureByKey(r.Word(at+"quantity", x.Quantity, ""))
	out := Result{Measure: m, Tests: r.Whole(at+"tests", x.Tests)}
	if m.Key != "" {
		out.Value = r.value(at+"value", x.Value, m.Unit, m.Least, m.Most)
		out.Uncertainty = r.value(at+"uncertainty", x.Uncertainty, m.differenceUnit(), 0, m.Most-m.Least)
	}
	return out
}

// inside takes over complaints about a form that stands in this one.
func (r *measuredReader) inside(at string, err error) {
	list, ok := message.Complaints(err)
	if !ok {
		r.Complaints = append(r.Complaints, &message.InputError{Field: at, Reason: message.T("fire.measured.unusable", "reason", err.Error()), Try: "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}"})
	}
	for _, e := range list {
		e.Field = at + "." + e.Field
	}
	r.Complaints = append(r.Complaints, list...)
}

// lightForm sizes the stove of a brief and lights it.
func lightForm(f stove.Form) (Lit, error) {
	brief, err := f.Read()
	if err != nil {
		return Lit{}, err
	}
	sized, err := stove.Size(brief)
	if err != nil {
		return Lit{}, err
	}
	lit := Light(sized)
	_, err = lit.Model()
	return lit, err
}

// Answer is a measured result beside what the model says.
type Answer struct {
	Result Result
	Ours   float64
	Band   Band
	Inside bool    // the model's band and two standard deviations of the measurement overlap
	Off    float64 // ours less the measured value, SI
}

// Predict runs the boiling test of a measured stove with the coefficients of the
// table, nothing fitted to it, and sets each result beside what comes out. The
// error is a [*ChokedError], a [*NeverBoilsError] or that of the draws.
func (s MeasuredStove) Predict(draws int, seed uint64) ([]Answer, error) {
	m, err := s.Lit.Model()
	if err != nil {
		return nil, err
	}
	run, err := m.Boil(Defaults(), s.Lit.Task, 0)
	if err != nil {
		return nil, err
	}
	bands, err := s.bands(m, draws, seed)
	if err != nil {
		return nil, err
	}
	list := make([]Answer, len(s.Results))
	for i, r := range s.Results {
		a := Answer{Result: r, Ours: r.Measure.of(m, &run), Band: bands[i]}
		low, high := r.Value-2*r.Uncertainty, r.Value+2*r.Uncertainty
		a.Inside = a.Band.Low <= high && a.Band.High >= low
		a.Off = a.Ours - r.Value
		list[i] = a
	}
	return list, nil
}

// bands are those of each result.
func (s MeasuredStove) bands(m *Model, draws int, seed uint64) ([]Band, error) {
	d, err := m.NewDraws(Defaults(), draws, seed)
	if err != nil {
		return nil, err
	}
	values := make([][]float64, draws)
	err = d.each(func(i int) {
		draw := d.At(i)
		mod := m.with(draw.Heat)
		run, err := mod.Boil(draw.Coefficients, s.Lit.Task, 0)
		if err != nil {
			return
		}
		for _, r := range s.Results {
			values[i] = append(values[i], r.Measure.of(&mod, &run))
		}
	})
	if err != nil {
		return nil, err
	}
	return columnBands(values)
}
