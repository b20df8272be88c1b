package web

import (
	"context"
	"net/http"
	"slices"
	"strings"

	protocol "stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
)

// gasForm makes a logger file the gas record of a test.
type gasForm struct {
	Of         string            `yaml:"of"`                 // the test, by its record
	Readings   map[string]string `yaml:"readings,omitempty"` // column or value, by reading
	Background string            `yaml:"background,omitempty"`
	Fire       string            `yaml:"fire,omitempty"`
}

// gasFire is one fire of a record as the page shows it.
type gasFire struct {
	Part     string
	From, To string
	Use      protocol.GasUse
	Method   message.Text
	Results  []protocol.Step
	Alarms   []protocol.Alarm
	Unfound  bool // its clocks are not written

	sheet   protocol.EmissionForm
	emitted protocol.Emitted
}

// LackingShown are the first lines that lack a reading.
func (f gasFire) LackingShown() []int {
	return f.Use.Lacking[:min(len(f.Use.Lacking), shownRows)]
}

// gasChoice is a reading with the column or value that it is read from.
type gasChoice struct {
	Reading string
	Name    message.Text
	Text    string // as it was said
	Found   string // the column that was recognised, "" for none
	Value   bool   // one value may stand for a column
	Columns []option
}

// readsGas tells the tests that have a fire a gas record may be of.
func readsGas(k protocol.Kind) bool {
	return k == protocol.KindEmission || k == protocol.KindBoiling || k == protocol.KindSequence
}

// gasChoices are the readings of a record in the order of the sheet.
func (l *logRecord) gasChoices() []gasChoice {
	found := protocol.FindGases(l.Layout.Columns)
	var list []gasChoice
	for _, r := range protocol.GasReadings {
		c := gasChoice{Reading: string(r), Name: r.Words(), Text: l.Form.gas().Readings[string(r)], Value: r == protocol.GasFlow || r == protocol.GasTemperature}
		if at, ok := found[r]; ok {
			c.Found = l.Layout.Columns[at].Name
		}
		for _, column := range l.Layout.Columns {
			c.Columns = append(c.Columns, option{Word: column.Name, Chosen: strings.EqualFold(column.Name, c.Text)})
		}
		list = append(list, c)
	}
	return append(list, gasChoice{Reading: "pressure", Name: message.T("bench.gas.pressure"), Text: l.Form.gas().Readings["pressure"], Value: true})
}

// gas is what was said of the record, nothing where it is none.
func (f logForm) gas() gasForm {
	if f.Gas == nil {
		return gasForm{}
	}
	return *f.Gas
}

// takeGas writes what a page said of a gas record into the form.
func (f *logForm) takeGas(r *http.Request) {
	said := func(name string) string { return tidy(strings.TrimSpace(r.PostForm.Get(name))) }
	if f.Gas = nil; said("gas-of") == "" {
		return
	}
	f.Gas = &gasForm{Of: said("gas-of"), Background: said("background"), Fire: said("fire"), Readings: map[string]string{}}
	for name := range r.PostForm {
		if reading, ok := strings.CutPrefix(name, "gas:"); ok && said(name) != "" {
			f.Gas.Readings[tidy(reading)] = said(name)
		}
	}
}

// gasFires reads the record as one of its test. What cannot be read is among the
// record's complaints.
func (b *Bench) gasFires(ctx context.Context, l *logRecord) ([]gasFire, error) {
	if l.Form.Gas == nil || len(l.Wrong) > 0 || slices.ContainsFunc(l.Sniff.Questions, func(q protocol.LogQuestion) bool { return q.Key != "unit" }) {
		return nil, nil
	}
	t, err := b.loadTest(ctx, l.Form.Gas.Of)
	if err != nil {
		return nil, err
	}
	fires, err := l.fires(t)
	if _, ours := message.Complaints(err); ours {
		l.complain(err)
		return nil, nil
	}
	return fires, err
}

func (l *logRecord) fires(t *test) ([]gasFire, error) {
	parts, err := protocol.GasParts(t.Head.Name, t.Document)
	if err != nil {
		return nil, err
	}
	record, err := protocol.ReadGasRecord(l.Log, l.Layout, l.Form.Gas.Readings)
	if err != nil {
		return nil, err
	}
	var list []gasFire
	for _, p := range parts {
		f := gasFire{Part: p.Name, sheet: p.Form}
		if f.Unfound = p.Name != "" && (p.Clock == "" || !l.Layout.ByClock()); !f.Unfound {
			if err := f.read(record, l.Form.Gas, p); err != nil {
				return nil, err
			}
		}
		list = append(list, f)
	}
	return list, nil
}

// read fills the sheet of one fire and computes it.
func (f *gasFire) read(r protocol.GasRecord, said *gasForm, p protocol.GasPart) error {
	window := func(field, text string) (protocol.Window, error) {
		w, ok := r.Window(text, p.Form.About.Date)
		if !ok {
			return w, &message.InputError{Field: field, Value: text, Reason: message.T("bench.gas.window"), Allowed: r.Spans(p.Form.About.Date), Try: "10:02-10:24"}
		}
		return w, nil
	}
	var background *protocol.Window
	if said.Background != "" {
		w, err := window("background", said.Background)
		if err != nil {
			return err
		}
		background = &w
	}
	fire, err := r.AfterBackground(background), error(nil)
	switch {
	case p.Clock != "":
		fire, err = window("fire", p.Clock)
	case said.Fire != "":
		fire, err = window("fire", said.Fire)
	}
	if err != nil {
		return err
	}
	if f.Use, err = r.Fill(&f.sheet, fire, background); err != nil {
		return err
	}
	f.From, f.To, f.Method = r.Layout.Clock(fire.From/1e9), r.Layout.Clock(fire.To/1e9), message.T("bench.word."+f.sheet.Method)
	doc, err := form.Encode(f.sheet)
	if err != nil {
		return err
	}
	file, err := protocol.ReadTest(p.Name, doc)
	if err != nil {
		return err
	}
	f.Results, f.Alarms, f.emitted = file.Results(), file.Alarms(), file.Emission.Result.Emitted
	return nil
}

// keepGas writes the fires of a record where they belong: into the sheet of an
// emission test, into the levels of a run of the sequence, or as an emission test
// beside each phase of a boiling test. It gives the page to go on with.
func (b *Bench) keepGas(ctx context.Context, l *logRecord) (string, error) {
	b.changing.Lock()
	defer b.changing.Unlock()
	if err := b.rest(ctx); err != nil {
		return "", err
	}
	fires, err := b.gasFires(ctx, l)
	if err != nil || len(fires) == 0 {
		return "/logs/" + l.ID, err
	}
	t, err := b.loadTest(ctx, l.Form.Gas.Of)
	if err != nil {
		return "", err
	}
	place := "/tests/" + t.ID
	switch f := t.Form.(type) {
	case *protocol.EmissionForm:
		*f = fires[0].sheet
		err = b.keepTest(ctx, t)
	case *protocol.SequenceForm:
		for _, fire := range fires {
			if !fire.Unfound && err == nil {
				err = f.TakeEmissions(fire.Part, fire.emitted)
			}
		}
		if err == nil {
			err = b.keepTest(ctx, t)
		}
	default:
		place, err = "/tests", b.keepPhases(ctx, fires)
	}
	if err == nil {
		err = b.rest(ctx)
	}
	if err == nil {
		_, err = b.Workshop.Attach(ctx, t.ID, l.Form.File, "text/csv", l.data, b.by(ctx, ""))
	}
	return place, err
}

// sameTest tells the emission test of a fire by its stove, number and date.
func sameTest(t listedTest, a protocol.AboutForm) bool {
	of := t.About()
	return t.Kind == protocol.KindEmission && of.Stove == a.Stove && of.Test == a.Test && of.Date == a.Date
}

// keepPhases keeps an emission test for each phase, the one that is there already
// where the record is read again.
func (b *Bench) keepPhases(ctx context.Context, fires []gasFire) error {
	tests, err := b.allTests(ctx)
	if err != nil {
		return err
	}
	for _, f := range fires {
		if f.Unfound {
			continue
		}
		sheet := f.sheet
		i := slices.IndexFunc(tests, func(t listedTest) bool { return sameTest(t, sheet.About) })
		if i < 0 {
			if _, err := b.beginTest(ctx, protocol.KindEmission, &sheet); err != nil {
				return err
			}
			continue
		}
		t := tests[i].test
		t.Form = &sheet
		if err := b.keepTest(ctx, t); err != nil {
			return err
		}
	}
	return nil
}
