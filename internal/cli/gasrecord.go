package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"stovewright/bench"
	"stovewright/internal/form"
	"stovewright/message"
)

// gasFlags make a logger's table the gas record of a test.
type gasFlags struct {
	Of         string            `help:"${gas_of}" placeholder:"test.yaml"`
	Gas        map[string]string `help:"${gas_columns}" placeholder:"co2=3" mapsep:"none"`
	Background string            `help:"${gas_background}" placeholder:"09:50-10:00"`
	Fire       string            `help:"${gas_fire}" placeholder:"10:02-10:24"`
	Into       string            `help:"${gas_into}" placeholder:"emission.yaml"`
}

// emissionDoc is one fire of a gas record.
type emissionDoc struct {
	Part       string         `json:"part"`
	Method     string         `json:"method"`
	From       string         `json:"from"`
	To         string         `json:"to"`
	Rows       int            `json:"rows"`
	Background int            `json:"background_rows"`
	Outside    int            `json:"outside_rows"`
	Lacking    []int          `json:"lacking_lines"`
	Together   int            `json:"rows_together"`
	Written    string         `json:"written,omitempty"`
	Alarms     []string       `json:"alarms"`
	Results    []gasFigureDoc `json:"results"`
}

// recordedFire is one fire with its sheet, filled in and computed.
type recordedFire struct {
	doc  emissionDoc
	form bench.EmissionForm
	file bench.TestFile
}

type gasFigureDoc struct {
	ID   string   `json:"id"`
	Name string   `json:"name"`
	SI   *float64 `json:"si"`
	Unit string   `json:"unit"`
	Text string   `json:"text"`
}

// emissions reads the record as one of the test that --of names: the fires of the
// test, the rows of each, and what they come to.
func (g gasFlags) emissions(c *call, log bench.Log, layout bench.LogLayout) ([]emissionDoc, error) {
	data, err := os.ReadFile(g.Of)
	if err != nil {
		return nil, err
	}
	parts, err := bench.GasParts(g.Of, data)
	if err != nil {
		return nil, inTestFile(g.Of, err, true)
	}
	record, err := bench.ReadGasRecord(log, layout, g.Gas)
	if err != nil {
		return nil, asFlags(err)
	}
	fires := make([]recordedFire, len(parts))
	for i, p := range parts {
		fires[i].form = p.Form
		if err := g.read(c.Catalogue, record, p, &fires[i]); err != nil {
			return nil, err
		}
	}
	err = g.write(data, fires)
	list := make([]emissionDoc, len(fires))
	for i, f := range fires {
		list[i] = f.doc
	}
	return list, err
}

// told refuses to guess when a row was read: what the file leaves open about its times
// must be said first.
func (g gasFlags) told(name string, s bench.LogSniff) error {
	for _, q := range s.Questions {
		if flag, _, _ := strings.Cut(questionFlags[q.Key], " "); flag == "--time" {
			return &message.InputError{Field: name, Reason: q.Text, Allowed: message.T("form.allowed", "names", strings.Join(q.ChoiceWords(), ", ")), Try: flag + " " + q.ChoiceWords()[0]}
		}
	}
	return nil
}

// read reads one fire.
func (g gasFlags) read(c *message.Catalogue, r bench.GasRecord, p bench.GasPart, f *recordedFire) error {
	d := &f.doc
	*d = emissionDoc{Part: p.Name, Lacking: []int{}, Alarms: []string{}, Results: []gasFigureDoc{}}
	if p.Name != "" && (p.Clock == "" || !r.Layout.ByClock()) {
		d.Alarms = append(d.Alarms, c.S("bench.gas.no-clock"))
		return nil
	}
	fire, background, err := g.windows(r, p)
	if err != nil {
		return err
	}
	use, err := r.Fill(&f.form, fire, background)
	if err != nil {
		return asFlags(err)
	}
	d.Method, d.Rows, d.Background, d.Outside, d.Together = f.form.Method, use.Fire, use.Background, use.Outside, use.Together
	d.Lacking = append(d.Lacking, use.Lacking...)
	d.From, d.To = r.Layout.Clock(fire.From/1e9), r.Layout.Clock(fire.To/1e9)
	doc, err := form.Encode(f.form)
	if err != nil {
		return err
	}
	if f.file, err = bench.ReadTest(g.Of, doc); err != nil {
		return inTestFile(g.Of, err, true)
	}
	for _, a := range f.file.Alarms() {
		d.Alarms = append(d.Alarms, c.Say(a.Text))
	}
	for _, s := range f.file.Results() {
		d.Results = append(d.Results, gasFigureDoc{s.ID(), c.Say(s.Name), finite(s.Value.SI), siSymbol(s.Value.Unit), c.Value(s.Shown())})
	}
	return nil
}

// asFlags puts complaints about a record into the words of the command line.
func asFlags(err error) error {
	list, _ := message.Complaints(err)
	for _, e := range list {
		e.Field = gasFlag(e.Field)
		e.Try = e.Field + " " + e.Try
	}
	return err
}

// gasFlag is the flag that answers a complaint about a record.
func gasFlag(field string) string {
	switch {
	case field == "background" || field == "fire":
		return "--" + field
	case field == "unit":
		return "--unit"
	}
	return "--gas"
}

// windows are when the fire burnt and when the background was read.
func (g gasFlags) windows(r bench.GasRecord, p bench.GasPart) (fire bench.Window, background *bench.Window, err error) {
	read := func(flag, text, try string) (bench.Window, error) {
		w, ok := r.Window(text, p.Form.About.Date)
		if !ok {
			return w, &message.InputError{Field: flag, Value: text, Reason: message.T("bench.gas.window"), Allowed: r.Spans(p.Form.About.Date), Try: flag + " " + try}
		}
		return w, nil
	}
	if g.Background != "" {
		w, err := read("--background", g.Background, "09:50-10:00")
		if err != nil {
			return fire, nil, err
		}
		background = &w
	}
	switch {
	case g.Fire != "" && p.Name == "":
		fire, err = read("--fire", g.Fire, "10:02-10:24")
	case p.Clock != "":
		fire, err = read("--of", p.Clock, g.Of)
	default:
		fire = r.AfterBackground(background)
	}
	return fire, background, err
}

// write puts what was read where --into says: an emission sheet for each fire, or
// the run of the ISO sequence with what its levels gave off.
func (g gasFlags) write(data []byte, list []recordedFire) error {
	if g.Into == "" {
		return nil
	}
	if kind, _ := bench.KindOf(data); kind == bench.KindSequence {
		f, err := bench.ParseSequence(data)
		if err != nil {
			return err
		}
		for i := range list {
			if list[i].doc.From == "" {
				continue
			}
			if err := f.TakeEmissions(list[i].doc.Part, list[i].file.Emission.Result.Emitted); err != nil {
				return err
			}
			list[i].doc.Written = g.Into
		}
		return writeForm(g.Into, f)
	}
	for i := range list {
		if list[i].doc.From == "" {
			continue
		}
		name := g.Into
		if len(list) > 1 {
			ending := filepath.Ext(name)
			name = strings.TrimSuffix(name, ending) + "-" + list[i].doc.Part + ending
		}
		if err := writeForm(name, list[i].form); err != nil {
			return err
		}
		list[i].doc.Written = name
	}
	return nil
}

func writeForm(name string, f any) error {
	doc, err := form.Encode(f)
	if err != nil {
		return err
	}
	return os.WriteFile(name, doc, 0o644)
}

// printEmissions lays the fires of a record out.
func printEmissions(p printer, list []emissionDoc) {
	c := p.say
	for _, d := range list {
		fmt.Fprintln(p.out)
		var title []string
		if d.Part != "" {
			title = append(title, phaseWords(c, d.Part))
		}
		if d.From != "" {
			title = append(title, c.S("cli.gas.fire", "from", d.From, "to", d.To))
		}
		fmt.Fprintln(p.out, strings.ToUpper(strings.Join(title, ", ")))
		if d.From == "" {
			fmt.Fprintln(p.out, strings.Join(d.Alarms, "\n"))
			continue
		}
		fmt.Fprintln(p.out, c.S("cli.gas.rows", "method", message.T("bench.word."+d.Method), "n", d.Rows, "background", d.Background, "outside", d.Outside))
		if d.Together > 1 {
			fmt.Fprintln(p.out, c.S("cli.gas.together", "n", d.Together))
		}
		if len(d.Lacking) > 0 {
			fmt.Fprintln(p.out, c.S("cli.gas.lacking", "n", len(d.Lacking), "lines", lineList(d.Lacking)))
		}
		for _, a := range d.Alarms {
			fmt.Fprintln(p.out, "! "+a)
		}
		p.table(func(row func(...string)) {
			for _, r := range d.Results {
				row(r.Name, r.Text)
			}
		})
		if d.Written != "" {
			fmt.Fprintln(p.out, c.S("cli.gas.written", "file", d.Written))
		}
	}
}

// lineList names the first lines of a list.
func lineList(lines []int) string {
	var names []string
	for _, n := range lines[:min(len(lines), shownBad)] {
		names = append(names, strconv.Itoa(n))
	}
	if len(lines) > shownBad {
		names = append(names, "…")
	}
	return strings.Join(names, ", ")
}
