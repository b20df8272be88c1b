package cli

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"stovewright/bench"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

type fireCmd struct {
	Brief        string            `arg:"" optional:"" help:"${brief_file}" placeholder:"brief.yaml"`
	Set          map[string]string `help:"${set}" placeholder:"skirt.gap=9mm" mapsep:"none"`
	Bodies       []string          `help:"${bodies}" placeholder:"series.yaml" sep:"none"`
	Power        string            `help:"${fire_power}" placeholder:"4kW"`
	Water        string            `help:"${fire_water}" placeholder:"5L"`
	Start        string            `help:"${fire_start}" placeholder:"25°C"`
	Hold         string            `help:"${fire_hold}" placeholder:"45min"`
	Lid          bool              `help:"${fire_lid}"`
	Sticks       string            `help:"${fire_sticks}" placeholder:"3x200g"`
	Coefficients string            `help:"${fire_coefficients}" placeholder:"own.yaml"`
	Against      string            `help:"${fire_against}" placeholder:"other.yaml"`
	Findings     string            `help:"${fire_findings}" placeholder:"measured.yaml"`
	Draws        int               `help:"${fire_draws}" default:"1000" placeholder:"1000"`
	Seed         uint64            `help:"${fire_seed}" default:"1" placeholder:"1"`
	Rings        bool              `help:"${fire_rings}"`
	Test         string            `help:"${fire_test}" placeholder:"computed.yaml"`
	jsonFlag
}

// A boil run costs a hundred times as much as a steady point, and its bands need
// fewer draws.
const boilShare = 10

// Run burns the stove of a brief, or every stove of a file of measured data.
func (f *fireCmd) Run(c *call) error {
	if f.Draws < 0 || f.Draws > 100_000 {
		return &message.InputError{Field: "--draws", Value: fmt.Sprint(f.Draws), Reason: message.T("form.whole-number"), Allowed: message.T("form.allowed-range", "low", 0, "high", 100_000), Try: "--draws 1000"}
	}
	mine, err := f.findings()
	if err != nil {
		return err
	}
	if f.Brief == "" {
		return f.onlyMeasured(c, mine)
	}
	p, err := f.predict(c, mine)
	if err != nil {
		return err
	}
	if p.never == nil {
		if err := f.writeTest(p); err != nil {
			return err
		}
	}
	for _, notice := range p.c.Outside() {
		fmt.Fprintln(c.Err, c.Catalogue.Say(notice))
	}
	if f.JSON {
		return cmp.Or(writeJSON(c.Out, fireJSON(p, c.Catalogue)), p.never)
	}
	firePrinter{printer{c.Catalogue, c.Out}, p}.all(f.Rings)
	if f.Test != "" && p.never == nil {
		fmt.Fprintf(c.Out, "\n%s\n", c.Catalogue.S("cli.fire.test-written", "path", f.Test))
	}
	return p.never
}

// findings reads the file of measured data, if one is named.
func (f *fireCmd) findings() (fire.Measured, error) {
	if f.Findings == "" {
		return fire.Measured{}, nil
	}
	data, err := os.ReadFile(f.Findings)
	if err != nil {
		return fire.Measured{}, err
	}
	m, err := fire.ReadMeasured(data)
	return m, inFile(f.Findings, err)
}

// onlyMeasured runs the model on the stoves of a file alone.
func (f *fireCmd) onlyMeasured(c *call, mine fire.Measured) error {
	if len(mine.Stoves) == 0 {
		e := &message.InputError{Field: "command", Value: "<brief>", Reason: message.T("cli.usage.missing"), Try: "stovewright fire --help"}
		if f.Findings != "" {
			e.Reason = message.T("cli.fire.no-stoves", "path", f.Findings)
		}
		return e
	}
	runs := f.measured(mine)
	if f.JSON {
		return writeJSON(c.Out, measuredJSON(runs, c.Catalogue))
	}
	show := firePrinter{printer: printer{c.Catalogue, c.Out}}
	if mine.Description != "" {
		fmt.Fprintln(c.Out, mine.Description)
	}
	show.measured(runs)
	show.standing()
	return nil
}

// measuredRun is a measured stove and what the model makes of it.
type measuredRun struct {
	fire.MeasuredStove
	answers []fire.Answer
	err     error
}

func (f *fireCmd) measured(m fire.Measured) []measuredRun {
	var list []measuredRun
	for _, s := range m.Stoves {
		answers, err := s.Predict(max(f.Draws/boilShare, 16), f.Seed)
		list = append(list, measuredRun{s, answers, err})
	}
	return list
}

// prediction is everything that is computed of one stove.
type prediction struct {
	stove       *stove.Stove
	lit         fire.Lit
	c           fire.Coefficients
	model       *fire.Model
	point       fire.Point
	rings       []fire.Ring
	says        []message.Text
	run         fire.BoilRun
	never       error // why there is no boiling test: the water does not boil
	soak        fire.Soak
	bands       *fire.Bands     // nil without draws
	boil        *fire.BoilBands // nil without draws
	difference  *difference
	comparisons []fire.Comparison
	mine        []fire.Comparison
	measured    []measuredRun
}

// difference is this stove less another, by common draws.
type difference struct {
	name                              string
	efficiency, airRatio, time, wood  fire.Band
	boilDraws                         int
	theirEfficiency, theirAirRatio    float64
	theirTime, theirWood              float64
	ourEfficiency, ourAir, ourT, ourW float64
}

func (f *fireCmd) predict(c *call, mine fire.Measured) (*prediction, error) {
	sized, err := briefArgs{Brief: f.Brief, Set: f.Set, Bodies: f.Bodies}.size()
	if err != nil {
		return nil, err
	}
	p := &prediction{stove: sized}
	if p.lit, p.c, err = f.task(fire.Light(sized)); err != nil {
		return nil, err
	}
	if p.model, err = p.lit.Model(); err != nil {
		return nil, err
	}
	pot := p.lit.Air.PotFace()
	if p.point, err = p.model.Solve(p.c, p.lit.Task.Power, pot); err != nil {
		return nil, p.failure(err)
	}
	p.rings = p.model.Rings(p.c, p.point)
	if p.says, err = p.model.Says(p.c, p.point); err != nil {
		return nil, p.failure(err)
	}
	err = p.boilIt()
	if err != nil {
		return nil, err
	}
	if err = f.bands(c, p); err != nil {
		return nil, err
	}
	p.measured = f.measured(mine)
	if p.never != nil {
		return p, nil
	}
	if f.Against != "" {
		if p.difference, err = f.against(c, p); err != nil {
			return nil, err
		}
	}
	p.comparisons = p.model.Compare(p.run, fire.Findings())
	p.mine = p.model.Compare(p.run, mine.Findings)
	return p, nil
}

// boilIt runs the boiling test, and follows its heat through the body. Water that
// does not boil leaves the steady point to be told.
func (p *prediction) boilIt() error {
	run, err := p.model.Boil(p.c, p.lit.Task, 0)
	var never *fire.NeverBoilsError
	if errors.As(err, &never) {
		p.never, p.run.BoilingPoint = never, p.lit.Air.BoilingPoint()
		return nil
	}
	if err != nil {
		return p.failure(err)
	}
	p.run = run
	p.soak, err = p.model.Soak(p.c, p.run, p.lit.Sectors, 0)
	return err
}

// task puts what the command line and the file of the user's own say in place of
// what the brief says.
func (f *fireCmd) task(lit fire.Lit) (fire.Lit, fire.Coefficients, error) {
	var form fire.Form
	if f.Coefficients != "" {
		data, err := os.ReadFile(f.Coefficients)
		if err != nil {
			return lit, fire.Defaults(), err
		}
		if form, err = fire.ParseForm(data); err != nil {
			return lit, fire.Defaults(), inFile(f.Coefficients, err)
		}
	}
	typed := map[string]string{} // field of the form by the flag that sets it
	set := func(into *string, value, field, flag string) {
		if value != "" {
			*into, typed[field] = value, flag
		}
	}
	set(&form.Power, f.Power, "power", "--power")
	set(&form.Water, f.Water, "water", "--water")
	set(&form.Start, f.Start, "start", "--start")
	set(&form.Hold, f.Hold, "hold", "--hold")
	if f.Lid {
		form.Lid = "yes"
	}
	if f.Sticks != "" {
		count, mass, _ := strings.Cut(strings.ReplaceAll(f.Sticks, "×", "x"), "x")
		if strings.TrimSpace(count) == "" {
			count = f.Sticks // not readable, and said so
		}
		set(&form.Sticks, strings.TrimSpace(count), "sticks", "--sticks")
		set(&form.StickMass, strings.TrimSpace(mass), "stick_mass", "--sticks")
	}
	lit, c, err := form.Read(lit)
	complaints, _ := message.Complaints(err)
	for _, e := range complaints {
		if flag, ok := typed[e.Field]; ok {
			e.Field, e.Try = flag, example(flag)
			if flag == "--sticks" {
				e.Value = f.Sticks
			}
		} else {
			e.Field = f.Coefficients + ": " + e.Field
		}
	}
	return lit, c, err
}

// bands computes the bands of the steady point and of the boiling test.
func (f *fireCmd) bands(c *call, p *prediction) error {
	if f.Draws == 0 {
		return nil
	}
	steady, boil, err := f.draws(c, p)
	if err != nil {
		return err
	}
	bands, err := p.model.Bands(steady, p.point.Power, p.point.PotT)
	if err != nil {
		return err
	}
	p.bands, p.boil = &bands, &fire.BoilBands{}
	if p.never != nil {
		return nil
	}
	runs, err := p.model.BoilBands(boil, p.lit.Task, 0)
	if err != nil {
		return err
	}
	p.boil = &runs
	return nil
}

func (f *fireCmd) draws(c *call, p *prediction) (steady, boil *fire.Draws, err error) {
	if steady, err = p.model.NewDraws(p.c, max(f.Draws, 16), f.Seed); err != nil {
		return nil, nil, err
	}
	boil, err = p.model.NewDraws(p.c, max(f.Draws/boilShare, 16), f.Seed)
	if err != nil {
		return nil, nil, err
	}
	return steady.While(c.ctx), boil.While(c.ctx), nil
}

// against burns another stove in the same way, at the firepower of this one, and
// takes the difference draw by draw.
func (f *fireCmd) against(c *call, p *prediction) (*difference, error) {
	sized, err := briefArgs{Brief: f.Against, Bodies: f.Bodies}.size()
	if err != nil {
		return nil, inFile(f.Against, err)
	}
	other := &prediction{stove: sized}
	if other.lit, other.c, err = f.task(fire.Light(sized)); err != nil {
		return nil, err
	}
	other.lit.Task.Power = p.lit.Task.Power
	if other.model, err = other.lit.Model(); err != nil {
		return nil, err
	}
	d := &difference{name: sized.Brief.Name}
	if d.name == "" || d.name == p.stove.Brief.Name {
		d.name = f.Against
	}
	point, err := other.model.Solve(p.c, p.lit.Task.Power, p.point.PotT)
	if err != nil {
		return nil, other.failure(err)
	}
	cold, _, err := other.model.Cook(p.c, p.lit.Task, 0)
	if err != nil {
		return nil, other.failure(err)
	}
	d.theirEfficiency, d.theirAirRatio, d.theirTime, d.theirWood = point.Efficiency(), point.AirRatio, cold.Duration(), cold.WoodUsed()
	d.ourEfficiency, d.ourAir, d.ourT, d.ourW = p.point.Efficiency(), p.point.AirRatio, p.run.Cold.Duration(), p.run.Cold.WoodUsed()
	steady, boil, err := f.draws(c, p)
	if err != nil {
		return nil, err
	}
	d.boilDraws = boil.Len()
	if d.efficiency, d.airRatio, err = other.model.Difference(p.model, steady, p.lit.Task.Power, p.point.PotT); err != nil {
		return nil, err
	}
	d.time, d.wood, err = other.model.BoilDifference(p.model, boil, p.lit.Task, 0)
	return d, err
}

// failure tells what the user can do about a stove that does not burn so.
func (p *prediction) failure(err error) error {
	var choked *fire.ChokedError
	if !errors.As(err, &choked) {
		return err
	}
	var now []string
	for _, id := range choked.Place.Dimensions() {
		if d := p.stove.Dimension(id); d != nil {
			now = append(now, id+" = "+d.Value.String())
		}
	}
	what := message.T("cli.fire.choked", "choked", choked.Text(), "widen", choked.Widen(), "dimensions", strings.Join(now, ", "))
	least := 500.0
	if most, err := p.model.MostPower(p.c, fire.AirCaution, p.lit.Air.PotFace()); err == nil && most > least {
		return said(message.T("cli.fire.choked-power", "what", what, "ratio", quantity.Value{SI: fire.AirCaution, Unit: quantity.One, Step: 0.1},
			"power", quantity.Value{SI: most, Unit: quantity.Kilowatt, Step: 0.1}))
	}
	return said(what)
}

// writeTest writes the run on the form of a measured boiling test. It takes the
// place of no file: that might hold a measured one.
func (f *fireCmd) writeTest(p *prediction) error {
	if f.Test == "" {
		return nil
	}
	computed := message.English().S("cli.fire.computed") // files are in the language of the forms
	about := bench.AboutForm{Stove: p.stove.Brief.Name, Note: computed, LeftOut: computed}
	form := p.model.BoilingForm(p.run, about)
	form.Pot.Name = p.stove.Pot.Name
	data, err := form.Write()
	if err != nil {
		return err
	}
	data = append([]byte("# "+computed+"\n"), data...)
	file, err := os.OpenFile(f.Test, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, os.ErrExist) {
		return &message.InputError{Field: "--test", Value: f.Test, Reason: message.T("cli.fire.test-there"), Try: "--test computed.yaml"}
	}
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	return errors.Join(err, file.Close())
}

// phases are those of a run that were burnt.
func (p *prediction) phases() []fire.Phase {
	return slices.DeleteFunc([]fire.Phase{p.run.Cold, p.run.Hot, p.run.Simmer}, func(x fire.Phase) bool { return x.Name == "" })
}
