package web

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"strings"

	protocol "stovewright/bench"
	"stovewright/drawing"
	"stovewright/explore"
	explorefigure "stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// testChoice is a measured boiling test of the stove that can be learnt from.
type testChoice struct {
	ID, Name string
	Use      string       // "learn", "hold" or "leave"
	Why      message.Text // it cannot be used; zero where it can
}

// Uses are what may be done with a test.
func (testChoice) Uses() []string { return []string{"learn", "hold", "leave"} }

// testsOf are the boiling tests of a stove that are whole.
func (b *Bench) testsOf(ctx context.Context, d *design) ([]listedTest, error) {
	all, err := b.allTests(ctx)
	if err != nil {
		return nil, err
	}
	var list []listedTest
	for _, t := range all {
		if t.Kind == protocol.KindBoiling && !t.Broken && b.stoveOf(ctx, t.test) == d.ID {
			list = append(list, t)
		}
	}
	return list, nil
}

// fewTests is how many tests are all learnt from, until somebody says otherwise;
// of more the last is held out, to check the rest.
const fewTests = 2

// testChoices offers the tests of the stove, with what is to be done with each
// unless it is said.
func (b *Bench) testChoices(ctx context.Context, d *design, sent map[string]string) ([]testChoice, error) {
	tests, err := b.testsOf(ctx, d)
	if err != nil {
		return nil, err
	}
	var list []testChoice
	usable, last := 0, 0
	for _, t := range tests {
		c := testChoice{ID: t.ID, Name: testWords(t), Use: sent["test."+t.ID]}
		switch {
		case !t.Whole():
			c.Why = message.T("web.explore.test-unfinished")
		case strings.TrimSpace(t.About().LeftOut) != "":
			c.Why = message.T("web.explore.test-left-out", "reason", strings.TrimSpace(t.About().LeftOut))
		case c.Use == "":
			c.Use = "learn"
			usable, last = usable+1, len(list)
		}
		list = append(list, c)
	}
	if usable > fewTests {
		list[last].Use = "hold"
	}
	return list, nil
}

// testWords tells a test from the others of its stove.
func testWords(t listedTest) string {
	words := strings.TrimSpace(strings.TrimSpace(t.Label()) + " " + strings.TrimSpace(t.About().Date))
	return cmp.Or(words, t.Head.Name)
}

// mostLearnt is how many coefficients are learnt at once.
const mostLearnt = 8

// usualShare is what an effort is told in: quarters of the usual sweeps.
const usualShare = 4

// askLearn asks what the chosen tests teach. It begins from the table, not from
// what was learnt before: a test must not count twice.
func askLearn(a *asking) (explore.Study, error) {
	tests, err := a.testsOf(a.ctx, a.design)
	if err != nil {
		return nil, err
	}
	var learn, hold []explore.Trial
	for _, t := range tests {
		use := a.sent["test."+t.ID]
		if use != "learn" && use != "hold" {
			continue
		}
		file, err := t.compute()
		if err != nil {
			return nil, err
		}
		trial, err := explore.TrialOf(a.subject.Form, testWords(t), *file.Boiling)
		if err != nil {
			return nil, err
		}
		if use == "learn" {
			learn = append(learn, trial)
		} else {
			hold = append(hold, trial)
		}
	}
	share, seed := a.effort(1, 4, 6), a.seed()
	switch {
	case len(a.Complaints) > 0:
		return nil, a.Complaints
	case len(learn) == 0:
		return nil, message.InputErrors{{Field: "tests", Reason: message.T("explore.no-trials")}}
	}
	published := fire.Defaults()
	inputs, err := explore.LearnableInputs(published, learn, mostLearnt)
	if err != nil {
		return nil, err
	}
	k, err := explore.NewCalibration(published, inputs, learn, hold, seed)
	if err != nil {
		return nil, err
	}
	k.Sweeps = k.Sweeps * share / usualShare
	return k, nil
}

// applyLearnt writes the middle of what was learnt among the stove's own
// coefficients, where the Fire page shows them and can put the table back.
func (b *Bench) applyLearnt(w http.ResponseWriter, r *http.Request, d *design, v *studyView) error {
	a, ok := v.Answer.(*learnAnswer)
	if !ok || a.Early {
		return missing()
	}
	ctx := r.Context()
	b.changing.Lock()
	defer b.changing.Unlock()
	form, o, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return err
	}
	for _, belief := range a.learnt.Beliefs {
		if c, ok := fire.CoefficientByKey(strings.TrimPrefix(belief.Input.Key, "fire.")); ok {
			row := c.Row()
			setCoefficient(&form, row.Key, fmt.Sprintf("%.4g", min(row.High, max(row.Low, belief.After.Middle))))
		}
	}
	if err := b.keepFire(ctx, d, form, o); err != nil {
		return err
	}
	return b.redirect(w, r, v.Path+"?study="+v.ID+"&applied=yes#study")
}

// nextView is what to try next.
type nextView struct {
	Says    []message.Text
	Picture *pictured
}

// Most tests of each stove that somebody may be ready to do.
const mostTests = 12

// lookAhead weighs what to try next with what was learnt.
func (b *Bench) lookAhead(v *studyView, d *design, tests int) error {
	a, ok := v.Answer.(*learnAnswer)
	if !ok || a.Early || d.Stove == nil {
		return nil
	}
	tests = max(1, min(tests, mostTests))
	form, _ := filledIn(d.Form)
	o, err := outlook(a.learnt, form, tests)
	if err != nil {
		return err
	}
	v.NextTests = tests
	v.Next = &nextView{Says: o.Says(), Picture: b.pictured("outlook", func(c *message.Catalogue, width float64) *drawing.Sheet {
		return explorefigure.Outlook(o, c, width)
	})}
	return nil
}

func outlook(l explore.Learnt, today stove.Form, tests int) (explore.Outlook, error) {
	steps, err := explore.Steps(explore.Subject{Form: today, Coefficients: l.Draws[0]})
	if err != nil {
		return explore.Outlook{}, err
	}
	return explore.Next(l, today, steps, tests)
}
