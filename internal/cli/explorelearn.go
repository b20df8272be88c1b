package cli

import (
	"fmt"
	"os"

	"stovewright/bench"
	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

type learnCmd struct {
	exploreArgs
	longArgs
	Test    []string `help:"${explore_test}" placeholder:"test.yaml" sep:"none"`
	HoldOut []string `help:"${explore_hold_out}" placeholder:"test.yaml" sep:"none"`
	Sweeps  int      `help:"${explore_sweeps}" default:"0" placeholder:"200"`
	Learnt  string   `help:"${explore_learnt}" placeholder:"learnt.yaml"`
}

// mostLearnt is how many coefficients are learnt at once.
const mostLearnt = 8

// Run learns from measured tests of the brief's stove and shows it beside what
// the model says as published. Nothing is applied.
func (k *learnCmd) Run(c *call) error {
	subject, sized, err := k.subject(explore.Cold)
	if err != nil {
		return err
	}
	if len(k.Test) == 0 {
		return &message.InputError{Field: "--test", Reason: message.T("explore.no-trials"), Try: "--test boiling-1.yaml"}
	}
	trials, err := readTrials(subject, k.Test)
	if err != nil {
		return err
	}
	held, err := readTrials(subject, k.HoldOut)
	if err != nil {
		return err
	}
	inputs, err := explore.LearnableInputs(subject.Coefficients, trials, mostLearnt)
	if err != nil {
		return err
	}
	study, err := explore.NewCalibration(subject.Coefficients, inputs, trials, held, k.Seed)
	if err != nil {
		return err
	}
	if k.Sweeps > 0 {
		study.Sweeps = k.Sweeps
	}
	if err := k.carry(c, study); err != nil {
		return err
	}
	learnt, err := study.Result()
	if err != nil {
		return err
	}
	if k.Learnt != "" {
		if err := writeLearnt(k.Learnt, learnt); err != nil {
			return err
		}
	}
	if k.JSON {
		return writeJSON(c.Out, learntJSON(learnt, c.Catalogue))
	}
	p := explorePrinter{printer{c.Catalogue, c.Out}}
	p.begin(sized)
	p.learnt(learnt)
	return nil
}

// readTrials reads boiling tests of the stove.
func readTrials(s explore.Subject, files []string) ([]explore.Trial, error) {
	var list []explore.Trial
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		test, err := bench.ReadBoiling(data)
		if err != nil {
			return nil, inTestFile(name, err, true)
		}
		run, err := bench.NewRun(test)
		if err != nil {
			return nil, inTestFile(name, err, true)
		}
		trial, err := explore.TrialOf(s.Form, name, run)
		if err != nil {
			return nil, err
		}
		list = append(list, trial)
	}
	return list, nil
}

// writeLearnt writes the middle of what was learnt as coefficients that the
// command fire takes.
func writeLearnt(path string, l explore.Learnt) error {
	form := fire.Form{Coefficients: map[string]string{}}
	for _, b := range l.Beliefs {
		if b.Input.Key == "" {
			continue
		}
		key := b.Input.Key[len("fire."):]
		c, ok := fire.CoefficientByKey(key)
		if !ok {
			continue
		}
		row := c.Row()
		form.Coefficients[key] = fmt.Sprintf("%.4g", min(row.High, max(row.Low, b.After.Middle)))
	}
	data, err := form.Write()
	if err != nil {
		return err
	}
	return writeNew(path, data)
}

// learnt prints beliefs and forecasts, before and after.
func (p explorePrinter) learnt(l explore.Learnt) {
	c := p.say
	p.heading("cli.explore.learnt")
	p.sentences(l.Says())
	p.heading("cli.explore.beliefs")
	p.table(func(row func(...string)) {
		row("", c.S("cli.explore.published"), c.S("cli.explore.here"), c.S("cli.explore.doubt"))
		for _, b := range l.Beliefs {
			row(beliefName(b, c), p.band(b, b.Before), p.band(b, b.After), c.Value(percent(b.FromTheTests)))
		}
	})
	p.heading("cli.explore.foretold")
	p.table(func(row func(...string)) {
		row("", c.S("cli.explore.measured"), c.S("cli.explore.published"), c.S("cli.explore.here"), "")
		for _, f := range l.Foretold {
			inside := c.S("cli.explore.outside")
			if f.Inside {
				inside = c.S("cli.explore.inside")
			}
			name := f.Trial + ", " + c.Say(f.Seen.Quantity.Name())
			if f.HeldOut {
				name += " " + c.S("cli.explore.held")
			}
			show := func(x float64) string { return c.Value(seenValue(f.Seen.Quantity, x)) }
			row(name, show(f.Seen.Value), show(f.Before.Low)+" – "+show(f.Before.High), show(f.After.Low)+" – "+show(f.After.High), inside)
		}
	})
	fmt.Fprintf(p.out, "R-hat %s, %s\n", c.Value(plainNumber(l.RHat, 0.001)), c.S("cli.explore.ess", "n", plainNumber(l.ESS, 1)))
}

// seenValue is a value of a measured quantity as it is shown.
func seenValue(q explore.Quantity, x float64) quantity.Value {
	switch q {
	case explore.ColdTime, explore.HotTime:
		return minutes(x)
	case explore.ColdSteam, explore.HotSteam:
		return grams(x)
	}
	return ratio(x)
}

func (p explorePrinter) band(b explore.Belief, band fire.Band) string {
	show := func(x float64) string {
		if b.Input.Key == "" {
			return p.say.Value(percent(x))
		}
		return p.say.Value(b.Input.Value(x))
	}
	return show(band.Middle) + " (" + show(band.Low) + " – " + show(band.High) + ")"
}

func beliefName(b explore.Belief, c *message.Catalogue) string {
	if b.Input.Key == "" {
		return c.S("cli.explore.belief-" + b.Word)
	}
	return c.Say(b.Input.Name())
}

func learntJSON(l explore.Learnt, c *message.Catalogue) exploreJSON {
	band := func(b fire.Band) bandJSON { return bandJSON{finite(b.Low), finite(b.Middle), finite(b.High)} }
	out := exploreJSON{Question: "learn", Computed: true, Says: sentences(c, l.Says()), RHat: finite(l.RHat), ESS: finite(l.ESS)}
	for _, b := range l.Beliefs {
		key := b.Input.Key
		if key == "" {
			key = b.Word
		}
		out.Beliefs = append(out.Beliefs, beliefJSON{key, beliefName(b, c), band(b.Before), band(b.After), finite(b.FromTheTests)})
	}
	for _, f := range l.Foretold {
		out.Foretold = append(out.Foretold, foretoldJSON{f.Trial, f.HeldOut, string(f.Seen.Quantity), f.Seen.Value, band(f.Before), band(f.After), f.Inside})
	}
	return out
}
