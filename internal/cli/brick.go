package cli

import (
	"errors"
	"os"
	"slices"
	"strings"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

type brickCmd struct {
	Sheets   []string `arg:"" optional:"" help:"${brick_files}" placeholder:"file.yaml"`
	Target   string   `help:"${brick_target}" placeholder:"0.6g/cm³"`
	Trouble  string   `help:"${brick_trouble}" placeholder:"symptom"`
	Pictures string   `help:"${brick_pictures}" placeholder:"folder"`
	Forms    string   `help:"${brick_forms}" placeholder:"folder"`
	Paper    string   `help:"${brick_paper}" enum:"a4,letter" default:"a4" placeholder:"a4"`
	jsonFlag
}

// brickSheets are the sheets of one command, read.
type brickSheets struct {
	files  []brickFile
	clays  []brick.ClayCard
	series []brick.Series
	target float64 // kg/m³, 0 for that of the series
}

// brickFile is one file; the value of its paper is set.
type brickFile struct {
	name   string
	paper  brick.Paper
	clay   brick.ClayCard
	series brick.Series
	drying brick.DryingLog
	firing brick.KilnFiring
	mould  brick.MouldWish
	batch  brick.BatchSheet
}

// Run reads the sheets and prints what they say.
func (b *brickCmd) Run(c *call) error {
	if len(b.Sheets) == 0 && b.Trouble == "" && b.Forms == "" {
		return &message.InputError{Field: "command", Reason: message.T("cli.brick.nothing"), Try: "stovewright brick series.yaml"}
	}
	all, err := b.read()
	if err != nil {
		return err
	}
	var doc bricksDoc
	if b.Trouble != "" {
		if doc.Trouble, err = all.trouble(b.Trouble, c.Catalogue); err != nil {
			return err
		}
	} else {
		for _, f := range all.files {
			s, err := all.sheet(f, c.Catalogue)
			if err != nil {
				return seriesError(f.name, err)
			}
			doc.Sheets = append(doc.Sheets, s)
		}
	}
	if doc.Written, err = b.write(all, c.Catalogue); err != nil {
		return err
	}
	if b.JSON {
		return writeJSON(c.Out, doc)
	}
	doc.print(printer{c.Catalogue, c.Out})
	return nil
}

func (b *brickCmd) read() (*brickSheets, error) {
	all := &brickSheets{}
	if b.Target != "" {
		si, err := quantity.Parse(b.Target, quantity.Density, quantity.GramPerCM3)
		if err != nil || si < 100 || si > 2500 {
			return nil, &message.InputError{Field: "--target", Value: b.Target, Reason: message.T("cli.brick.target"), Try: "--target 0.6g/cm³"}
		}
		all.target = si
	}
	var complaints message.InputErrors
	for _, name := range b.Sheets {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		f, err := readBrickFile(name, data)
		if list, input := message.Complaints(inFile(name, err)); input {
			complaints = append(complaints, list...)
			continue
		}
		all.files = append(all.files, f)
		switch f.paper {
		case brick.ClayPaper:
			all.clays = append(all.clays, f.clay)
		case brick.SeriesPaper:
			all.series = append(all.series, f.series)
		}
	}
	return all, complaints.OrNil()
}

// readBrickFile reads a file of any paper.
func readBrickFile(name string, data []byte) (f brickFile, err error) {
	f.name = name
	if f.paper, err = brick.PaperOf(data); err != nil {
		return f, err
	}
	switch f.paper {
	case brick.ClayPaper:
		f.clay, err = readForm(data, brick.ParseClay)
	case brick.SeriesPaper:
		f.series, err = readForm(data, brick.ParseSeries)
	case brick.DryingPaper:
		f.drying, err = readForm(data, brick.ParseDrying)
	case brick.FiringPaper:
		f.firing, err = readForm(data, brick.ParseKiln)
	case brick.MouldPaper:
		f.mould, err = readForm(data, brick.ParseMould)
	case brick.BatchPaper:
		f.batch, err = readForm(data, brick.ParseBatch)
	}
	return f, err
}

// readForm reads a file into its texts, and these into values.
func readForm[F interface{ Read() (V, error) }, V any](data []byte, parse func([]byte) (F, error)) (V, error) {
	form, err := parse(data)
	if err != nil {
		var none V
		return none, err
	}
	return form.Read()
}

// seriesError says which file a failure is of.
func seriesError(name string, err error) error {
	if errors.Is(err, brick.ErrContradiction) {
		return said(message.T("cli.brick.contradiction", "file", name))
	}
	return inFile(name, err)
}

// inFile puts the name of the file before the fields of complaints about it.
func inFile(name string, err error) error {
	complaints, ok := message.Complaints(err)
	if !ok {
		return err
	}
	for _, c := range complaints {
		if c.Field == "file" {
			c.Field = name
		} else {
			c.Field = name + ": " + c.Field
		}
	}
	return complaints
}

func (all *brickSheets) sheet(f brickFile, c *message.Catalogue) (sheetDoc, error) {
	s := &sheet{&sheetDoc{File: f.name, Paper: string(f.paper)}, c}
	var err error
	switch f.paper {
	case brick.ClayPaper:
		s.Name, s.Note = f.clay.Name, f.clay.Note
		all.clay(s, f.clay)
	case brick.SeriesPaper:
		s.Name, s.Note = f.series.Name, f.series.Note
		err = all.seriesSheet(s, f.series)
	case brick.DryingPaper:
		s.Name, s.Note = f.drying.Name, f.drying.Note
		err = drying(s, f.drying)
	case brick.FiringPaper:
		s.Name, s.Note = f.firing.Name, f.firing.Note
		err = firing(s, f.firing)
	case brick.MouldPaper:
		s.Name, s.Note = f.mould.Name, f.mould.Note
		err = all.mould(s, f.mould)
	case brick.BatchPaper:
		s.Name, s.Note = f.batch.Name, f.batch.Note
		err = all.batch(s, f.batch)
	}
	return *s.sheetDoc, err
}

// seriesOf finds the series that a sheet names among those of the command. A
// command with one series has the one that is meant.
func (all *brickSheets) seriesOf(name string) (brick.Series, error) {
	names := make([]string, len(all.series))
	for i, s := range all.series {
		if s.Name == name || name == "" && len(all.series) == 1 {
			return s, nil
		}
		names[i] = s.Name
	}
	e := &message.InputError{Field: "series", Value: name, Reason: message.T("cli.brick.no-series"), Try: "stovewright brick series.yaml mould.yaml"}
	if len(names) > 0 {
		e.Allowed = message.T("cli.usage.allowed", "list", strings.Join(names, ", "))
		if near := message.Nearest(name, names); near != "" {
			e.Try = near
		}
	}
	return brick.Series{}, e
}

// trialOf finds a trial of a series by its name; the last fired one where no
// name is written.
func trialOf(s brick.Series, name string) (int, error) {
	names := make([]string, len(s.Trials))
	last := -1
	for i, t := range s.Trials {
		if names[i] = t.Name; t.Name == name {
			return i, nil
		}
		if t.Outcome().N > 0 {
			last = i
		}
	}
	if name == "" && last >= 0 {
		return last, nil
	}
	e := &message.InputError{Field: "trial", Value: name, Reason: message.T("cli.brick.no-trial"),
		Allowed: message.T("cli.usage.allowed", "list", strings.Join(names, ", ")), Try: message.Nearest(name, names)}
	return 0, e
}

// trouble lists the causes of a symptom, held against the last trial of a
// series where one was read.
func (all *brickSheets) trouble(symptom string, c *message.Catalogue) ([]sectionDoc, error) {
	s := &sheet{&sheetDoc{}, c}
	var keys []string
	for _, x := range brick.Symptoms() {
		keys = append(keys, x.Key)
	}
	if symptom == "list" {
		s.section("symptoms", "")
		for _, x := range brick.Symptoms() {
			s.last().Rows = append(s.last().Rows, rowDoc{ID: x.Key, Name: x.Key, Text: c.Say(x.Text)})
		}
		return s.Sections, nil
	}
	k := slices.Index(keys, symptom)
	if k < 0 {
		e := &message.InputError{Field: "--trouble", Value: symptom, Reason: message.T("cli.brick.symptom"),
			Allowed: message.T("cli.usage.allowed", "list", strings.Join(keys, ", ")), Try: "--trouble list"}
		if near := message.Nearest(symptom, keys); near != "" {
			e.Try = "--trouble " + near
		}
		return nil, e
	}
	var facts brick.Facts
	var of string
	for _, series := range all.series {
		if n := len(series.Trials); n > 0 {
			facts, of = brick.FactsOf(series.Trials[n-1]), series.Trials[n-1].Name
		}
	}
	s.section("causes", c.Say(brick.Symptoms()[k].Text))
	for _, cause := range brick.Causes(symptom, facts) {
		fits := map[brick.Fit]string{brick.Likely: "likely", brick.Unlikely: "unlikely", brick.Unknown: "unknown"}[cause.Fits]
		s.last().Rows = append(s.last().Rows, rowDoc{ID: cause.Key, Of: of, Name: c.Say(cause.Text), Word: fits, Text: c.S("cli.brick.fits-" + fits),
			Because: c.Say(cause.Try) + " " + c.Say(cause.Because)})
	}
	return s.Sections, nil
}
