package cli

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// troubleCmd leads from what is seen, or from what a test shows, to what to look at.
type troubleCmd struct {
	Symptom string `arg:"" optional:"" help:"${trouble_symptom}" placeholder:"symptom"`
	Test    string `help:"${trouble_test}" placeholder:"test.yaml"`
	Brief   string `help:"${trouble_brief}" placeholder:"brief.yaml"`
	jsonFlag
}

// troubleDoc is docs/schema/trouble.schema.json.
type troubleDoc struct {
	Symptoms []symptomDoc `json:"symptoms"`
}

type symptomDoc struct {
	Symptom  string        `json:"symptom"`
	Name     string        `json:"name"`
	Caution  string        `json:"caution"`
	Computed []expectedDoc `json:"computed,omitempty"`
	Checks   []lookDoc     `json:"checks,omitempty"`
}

type expectedDoc struct {
	Key  string  `json:"key"`
	Name string  `json:"name"`
	SI   float64 `json:"si"`
	Text string  `json:"text"`
}

type lookDoc struct {
	Check     string `json:"check"`
	Text      string `json:"text"`
	Dimension string `json:"dimension,omitempty"`
	Value     string `json:"value,omitempty"`
	Source    string `json:"source,omitempty"`
}

// Run names the symptoms, and what to look at for those that are meant.
func (t *troubleCmd) Run(c *call) error {
	list, err := t.symptoms()
	if err != nil {
		return err
	}
	at, err := t.stove()
	if err != nil {
		return err
	}
	asked := t.Symptom != "" || t.Test != ""
	doc := troubleDoc{Symptoms: []symptomDoc{}}
	for _, s := range list {
		d := symptomDoc{Symptom: s.Key, Name: c.Catalogue.Say(s.Words()), Caution: c.Catalogue.Say(s.Warning())}
		if asked {
			d.Computed, d.Checks = at.expects(c.Catalogue, s), at.looks(c.Catalogue, s)
		}
		doc.Symptoms = append(doc.Symptoms, d)
	}
	if t.JSON {
		return writeJSON(c.Out, doc)
	}
	p := printer{c.Catalogue, c.Out}
	if !asked {
		p.allTroubles(doc)
		return nil
	}
	p.troubles(doc)
	return nil
}

// symptoms are those that are meant: the one that is named, those that a test shows,
// or all.
func (t *troubleCmd) symptoms() ([]bench.Symptom, error) {
	if t.Symptom != "" {
		if s, known := bench.SymptomOf(t.Symptom); known {
			return []bench.Symptom{s}, nil
		}
		var names []string
		for _, s := range bench.Symptoms() {
			names = append(names, s.Key)
		}
		e := &message.InputError{Field: "symptom", Value: t.Symptom, Reason: message.T("cli.trouble.unknown"), Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: "stovewright trouble slow-boil"}
		if near := message.Nearest(t.Symptom, names); near != "" {
			e.Try = "stovewright trouble " + near
		}
		return nil, e
	}
	if t.Test == "" {
		return bench.Symptoms(), nil
	}
	data, err := os.ReadFile(t.Test)
	if err != nil {
		return nil, err
	}
	f, err := bench.ReadTest(t.Test, data)
	if err != nil {
		return nil, inTestFile(t.Test, err, false)
	}
	if f.Boiling == nil {
		return nil, &message.InputError{Field: "--test", Value: t.Test, Reason: message.T("cli.trouble.boiling"), Try: "stovewright trouble --test boiling.yaml"}
	}
	return bench.Diagnose(f.Boiling.Test)
}

// troubledStove is the stove at hand with its fire; empty where no brief is named.
type troubledStove struct {
	stove *stove.Stove
	model *fire.Model
	run   *fire.BoilRun // nil where the fire does not come so far
}

func (t *troubleCmd) stove() (at troubledStove, err error) {
	if at.stove, err = (briefArgs{Brief: t.Brief}).sizeIfGiven(); err != nil || at.stove == nil {
		return at, err
	}
	lit := fire.Light(at.stove)
	if at.model, err = lit.Model(); err != nil {
		return at, err
	}
	if run, err := at.model.Boil(fire.Defaults(), lit.Task, 0); err == nil {
		at.run = &run
	}
	return at, nil
}

// expects is what a computed boiling test says of a symptom.
func (at troubledStove) expects(c *message.Catalogue, s bench.Symptom) []expectedDoc {
	var list []expectedDoc
	for _, key := range s.Measures {
		m, known := fire.MeasureByKey(key)
		if !known || at.run == nil {
			continue
		}
		if si, ok := m.Of(at.model, at.run); ok {
			list = append(list, expectedDoc{key, c.S("fire.measure." + key), si, c.Value(m.Value(si))})
		}
	}
	return list
}

// looks are the checks in their order, with the dimension of the stove at hand.
func (at troubledStove) looks(c *message.Catalogue, s bench.Symptom) []lookDoc {
	var list []lookDoc
	for _, k := range s.Checks {
		d := lookDoc{Check: k.Key, Text: c.Say(k.Words()), Source: k.Source}
		if k.Dimension != "" && at.stove != nil && at.stove.Dimension(k.Dimension) != nil {
			d.Dimension, d.Value = c.S("stove.dim."+k.Dimension), c.Value(at.stove.Value(k.Dimension))
		}
		list = append(list, d)
	}
	return list
}

func (p printer) allTroubles(d troubleDoc) {
	p.table(func(row func(...string)) {
		for _, s := range d.Symptoms {
			row(s.Symptom, s.Name)
		}
	})
	fmt.Fprintln(p.out, p.say.S("cli.trouble.how"))
}

func (p printer) troubles(d troubleDoc) {
	if len(d.Symptoms) == 0 {
		fmt.Fprintln(p.out, p.say.S("cli.trouble.none"))
		return
	}
	for i, s := range d.Symptoms {
		if i > 0 {
			fmt.Fprintln(p.out)
		}
		fmt.Fprintln(p.out, strings.ToUpper(s.Name))
		fmt.Fprintln(p.out, p.say.S("booklet.testform.mind", "text", s.Caution))
		for n, k := range s.Checks {
			line := strconv.Itoa(n+1) + ". " + k.Text
			if k.Value != "" {
				line += " [" + k.Dimension + ": " + k.Value + "]"
			}
			fmt.Fprintln(p.out, line)
		}
		for _, e := range s.Computed {
			fmt.Fprintln(p.out, p.say.S("cli.trouble.computed", "name", e.Name, "value", e.Text))
		}
	}
	fmt.Fprintln(p.out)
	fmt.Fprintln(p.out, p.say.S("web.tests.trouble.order"))
	fmt.Fprintln(p.out, p.say.S("web.tests.trouble.mind"))
}
