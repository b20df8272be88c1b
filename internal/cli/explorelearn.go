package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"stovewright/bench"
	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// learnArgs are those of a question to measured tests.
type learnArgs struct {
	exploreArgs
	longArgs
	answerFlags
	Test    []string `help:"${explore_test}" placeholder:"test.yaml" sep:"none"`
	HoldOut []string `help:"${explore_hold_out}" placeholder:"test.yaml" sep:"none"`
	Sweeps  int      `help:"${explore_sweeps}" default:"0" placeholder:"200"`
}

// mostLearnt is how many coefficients are learnt at once.
const mostLearnt = 8

// lesson is what tests taught of a stove.
type lesson struct {
	subject explore.Subject
	sized   *stove.Stove
	learnt  explore.Learnt
	more    int // sweeps to ask for where the draws have not settled, else 0
}

// learn learns from the tests.
func (k learnArgs) learn(c *call) (l lesson, err error) {
	if err := k.check(); err != nil {
		return l, err
	}
	if l.subject, l.sized, err = k.subject(explore.Cold); err != nil {
		return l, err
	}
	study, err := k.calibration(l.subject)
	if err != nil {
		return l, err
	}
	if err := k.carry(c, study); err != nil {
		return l, err
	}
	if l.learnt, err = study.Result(); err == nil && !l.learnt.Settled() {
		l.more = 4 * study.Sweeps
	}
	return l, err
}

// calibration is the study of the tests.
func (k learnArgs) calibration(subject explore.Subject) (*explore.Calibration, error) {
	if len(k.Test) == 0 {
		return nil, &message.InputError{Field: "--test", Reason: message.T("explore.no-trials"), Try: "--test boiling-1.yaml"}
	}
	if k.Sweeps != 0 {
		if err := wholeFlag("--sweeps", k.Sweeps, 4, 100_000, 200); err != nil {
			return nil, err
		}
	}
	trials, err := readTrials(subject, k.Test)
	if err != nil {
		return nil, err
	}
	held, err := readTrials(subject, k.HoldOut)
	if err != nil {
		return nil, err
	}
	inputs, err := explore.LearnableInputs(subject.Coefficients, trials, mostLearnt)
	if err != nil {
		return nil, err
	}
	study, err := explore.NewCalibration(subject.Coefficients, inputs, trials, held, k.Seed)
	if err == nil && k.Sweeps > 0 {
		study.Sweeps = k.Sweeps
	}
	return study, err
}

type learnCmd struct {
	learnArgs
	Learnt string `help:"${explore_learnt}" placeholder:"learnt.yaml"`
}

// Run learns from measured tests of the brief's stove and shows it beside what
// the model says as published. Nothing is applied.
func (k *learnCmd) Run(c *call) error {
	if err := writableNew("--learnt", k.Learnt); err != nil {
		return err
	}
	l, err := k.learn(c)
	if err != nil {
		return err
	}
	out := learntJSON(l.learnt, c.Catalogue)
	out.Says = append(out.Says, sentences(c.Catalogue, l.advice())...)
	if err := k.tell(c, out, func(p explorePrinter) {
		p.begin(l.sized)
		p.learnt(l.learnt, l.advice())
	}); err != nil {
		return err
	}
	if k.Learnt != "" {
		if err := writeLearnt(k.Learnt, l.learnt); err != nil {
			return err
		}
	}
	return k.write(c, answer{"learn", k.Brief, l.subject.Form, out.Says, []picture{{"beliefs", figure.Beliefs(l.learnt, c.Catalogue, pictureWidth)},
		{"foretold", figure.Foretold(l.learnt, c.Catalogue, pictureWidth)}}, nil})
}

type nextCmd struct {
	learnArgs
	Runs int      `help:"${explore_runs}" default:"3" placeholder:"3"`
	Also []string `help:"${explore_also}" placeholder:"brief.yaml" sep:"none"`
}

// Run says which single change and test would gain or teach most, with what the
// tests so far have taught.
func (k *nextCmd) Run(c *call) error {
	if err := wholeFlag("--runs", k.Runs, 1, 100, 3); err != nil {
		return err
	}
	l, err := k.learn(c)
	if err != nil {
		return err
	}
	steps, err := k.steps(l.subject)
	if err != nil {
		return err
	}
	outlook, err := explore.Next(l.learnt, l.subject.Form, steps, k.Runs)
	if err != nil {
		return err
	}
	out := nextJSON(outlook, c.Catalogue)
	out.Says = append(out.Says, sentences(c.Catalogue, l.advice())...)
	if err := k.tell(c, out, func(p explorePrinter) {
		p.begin(l.sized)
		p.outlook(outlook, l.advice())
	}); err != nil {
		return err
	}
	return k.write(c, answer{"next", k.Brief, l.subject.Form, out.Says, []picture{{"", figure.Outlook(outlook, c.Catalogue, pictureWidth)}}, nil})
}

// steps are the single changes of the stove, and the stoves that somebody thinks
// of besides.
func (k *nextCmd) steps(subject explore.Subject) ([]explore.Step, error) {
	steps, err := explore.Steps(subject)
	if err != nil {
		return nil, err
	}
	for _, name := range k.Also {
		form, err := briefArgs{Brief: name}.form()
		if err == nil {
			_, err = explore.Subject{Form: form}.Stove()
		}
		if err != nil {
			return nil, inFile(name, err)
		}
		steps = append(steps, explore.Step{Name: filepath.Base(name), Form: form})
	}
	return steps, nil
}

// outlook prints what to do next, and every step with what it promises.
func (p explorePrinter) outlook(o explore.Outlook, advice []message.Text) {
	c := p.say
	p.heading("cli.explore.next")
	p.sentences(o.Says())
	p.sentences(advice)
	p.heading("cli.explore.steps")
	p.table(func(row func(...string)) {
		row("", c.S("cli.explore.step-gain"), c.S("cli.explore.step-saves"), c.S("cli.explore.step-sure"), c.S("cli.explore.step-tests"), c.S("cli.explore.step-tells"), c.S("cli.explore.step-air"))
		for _, s := range o.Promises {
			name, tests, air := c.Say(s.Step.Words()), "–", ""
			if s.Repeat {
				name = c.S("cli.explore.step-repeat")
			}
			if s.Tests > 0 {
				tests = fmt.Sprint(s.Tests)
			}
			if s.ShortOfAir > 0.005 {
				air = c.Value(quantity.Pct(s.ShortOfAir))
			}
			row(name, c.Value(percent(s.Gain)), c.Value(percent(s.Saves)), c.Value(quantity.Pct(s.Surely)), tests, c.Value(ratio(s.Bits())), air)
		}
	})
}

// advice says what to do where the draws have not settled.
func (l lesson) advice() []message.Text {
	if l.more == 0 {
		return nil
	}
	return []message.Text{message.T("cli.explore.more-sweeps", "rhat", ratio(l.learnt.RHat), "n", l.more)}
}

func nextJSON(o explore.Outlook, c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "next", Computed: true, Says: sentences(c, o.Says()), Scatter: finite(o.Scatter), Repeat: &o.Hidden}
	for _, s := range o.Promises {
		brief, err := s.Step.Form.Write()
		if err != nil {
			continue // a form that was read can be written; tested
		}
		name := ""
		if !s.Repeat {
			name = c.Say(s.Step.Words())
		}
		out.Steps = append(out.Steps, stepJSON{name, s.Repeat, finite(s.Information), finite(s.Gain), finite(s.Saves), finite(s.Surely),
			s.Tests, finite(s.Power), s.ShortOfAir, string(brief)})
	}
	return out
}

// readTrials reads boiling tests of the stove: files, or folders of them.
func readTrials(s explore.Subject, named []string) ([]explore.Trial, error) {
	files, err := testFiles(named)
	if err != nil {
		return nil, err
	}
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
	return writeNew("--learnt", path, data)
}

// learnt prints beliefs and forecasts, before and after.
func (p explorePrinter) learnt(l explore.Learnt, advice []message.Text) {
	c := p.say
	p.heading("cli.explore.learnt")
	p.sentences(l.Says())
	p.sentences(advice)
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
			show := func(x float64) string { return c.Value(f.Seen.Quantity.Value(x)) }
			row(name, show(f.Seen.Value), show(f.Before.Low)+" – "+show(f.Before.High), show(f.After.Low)+" – "+show(f.After.High), inside)
		}
	})
	fmt.Fprintf(p.out, "R-hat %s, %s\n", c.Value(plainNumber(l.RHat, 0.001)), c.S("cli.explore.ess", "n", plainNumber(l.ESS, 1)))
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
