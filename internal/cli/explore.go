package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"time"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
	"stovewright/study"
)

type exploreCmd struct {
	Sensitivity sensitivityCmd `cmd:"" help:"${explore_sensitivity}"`
	Tolerance   toleranceCmd   `cmd:"" help:"${explore_tolerance}"`
	Search      searchCmd      `cmd:"" help:"${explore_search}"`
	Learn       learnCmd       `cmd:"" help:"${explore_learn}"`
	Next        nextCmd        `cmd:"" help:"${explore_next}"`
	Why         whyCmd         `cmd:"" help:"${explore_why}"`
	Pots        potsCmd        `cmd:"" help:"${explore_pots}"`
	Work        workCmd        `cmd:"" help:"${explore_work}"`
}

// exploreArgs are what all questions about a brief have in common.
type exploreArgs struct {
	briefArgs
	Coefficients string `help:"${fire_coefficients}" placeholder:"own.yaml"`
	Seed         uint64 `help:"${explore_seed}" default:"1" placeholder:"1"`
	jsonFlag
}

// subject is the stove that is explored, computed steadily or in time.
func (a exploreArgs) subject(depth explore.Depth) (explore.Subject, *stove.Stove, error) {
	s := explore.Subject{Coefficients: fire.Defaults(), Depth: depth}
	form, err := a.form()
	if err != nil {
		return s, nil, err
	}
	s.Form = form
	sized, err := s.Stove()
	if err != nil || a.Coefficients == "" {
		return s, sized, err
	}
	data, err := os.ReadFile(a.Coefficients)
	if err != nil {
		return s, nil, err
	}
	own, err := fire.ParseForm(data)
	if err == nil {
		_, s.Coefficients, err = own.Read(fire.Light(sized))
	}
	return s, sized, inFile(a.Coefficients, err)
}

// alight complains, as the command fire does, of a stove that chokes or never brings
// its water to the boil: what is asked of it as drawn has no answer.
func alight(s explore.Subject, sized *stove.Stove) (err error) {
	p := &prediction{stove: sized, lit: fire.Light(sized), c: s.Coefficients}
	if p.model, err = p.lit.Model(); err != nil {
		return err
	}
	if _, err = p.model.Solve(p.c, p.lit.Task.Power, p.lit.Air.PotFace()); err == nil {
		_, _, err = p.model.Cook(p.c, p.lit.Task, 0)
	}
	return p.failure(err)
}

// usualSizes are the variables of the grammar for how much a study takes.
var usualSizes = map[string]int{"usual_population": explore.UsualPopulation, "usual_generations": explore.UsualGenerations,
	"usual_draws": explore.UsualDraws, "usual_rows": explore.UsualRows}

// longArgs are those of a question that takes long.
type longArgs struct {
	Workers int    `help:"${explore_workers}" placeholder:"2"`
	Keep    string `help:"${explore_keep}" placeholder:"study.json"`
	Team    string `help:"${explore_team}" placeholder:"postgres://…"`
}

// mostWorkers is more than any machine has processors.
const mostWorkers = 1024

// progressPause is how long the command is silent between two lines about its
// progress.
const progressPause = 3 * time.Second

// left is how long a study will still take: in seconds up to two minutes.
func left(d time.Duration) quantity.Value {
	if d < 2*time.Minute {
		return quantity.Value{SI: max(1, d.Seconds()), Unit: quantity.Second, Step: 1}
	}
	return quantity.Value{SI: d.Seconds(), Unit: quantity.Minute, Step: 1}
}

// carry works through a study, telling on standard error how far it is. A file
// named by --keep is read before and written after each batch, so that an
// interrupted study goes on.
func (a longArgs) carry(c *call, s explore.Study) error {
	if err := wholeFlag("--workers", a.Workers, 0, mostWorkers, 2); err != nil {
		return err
	}
	asked, err := json.Marshal(s)
	if err != nil {
		return err
	}
	name := hashOf(asked)
	if err := a.resume(name, s); err != nil {
		return err
	}
	crew, leave, err := a.crew(c.ctx)
	if err != nil {
		return err
	}
	defer leave()
	last := time.Now()
	return study.Carry(c.ctx, crew, name, s, func(s explore.Study) error { return a.save(name, s) }, func(p explore.Progress) {
		if time.Since(last) < progressPause {
			return
		}
		last = time.Now()
		fmt.Fprintln(c.Err, c.Catalogue.S("cli.explore.progress", "done", p.Done, "total", p.Total, "left", left(p.Left)))
	})
}

// crew is this machine, or the team that is asked for.
func (a longArgs) crew(ctx context.Context) (study.Crew, func(), error) {
	if a.Team == "" {
		return study.Alone{Kept: study.NewMemory(), Workers: a.Workers}, func() {}, nil
	}
	team, err := joinTeam(ctx, a.Team)
	if err != nil {
		return nil, nil, err
	}
	return team, team.Close, nil
}

func joinTeam(ctx context.Context, url string) (*study.Team, error) {
	team, err := study.Join(ctx, url)
	if err != nil {
		return nil, &message.InputError{Field: "--team", Value: url, Reason: message.T("cli.explore.no-team", "reason", err.Error()), Try: "--team postgres://user@host/database"}
	}
	return team, nil
}

type workCmd struct {
	Team    string `arg:"" help:"${explore_work_team}" placeholder:"postgres://…"`
	Workers int    `help:"${explore_workers}" default:"1" placeholder:"1"`
}

// Run computes what the team has to do, until it is stopped.
func (w *workCmd) Run(c *call) error {
	if err := wholeFlag("--workers", w.Workers, 0, mostWorkers, 1); err != nil {
		return err
	}
	team, err := joinTeam(c.ctx, w.Team)
	if err != nil {
		return err
	}
	defer team.Close()
	fmt.Fprintln(c.Err, c.Catalogue.S("cli.explore.working"))
	return team.Serve(c.ctx, study.Computers(), w.Workers)
}

// wholeFlag complains about a whole number that is out of range.
func wholeFlag(flag string, value, low, high, usual int) error {
	if value >= low && value <= high {
		return nil
	}
	return &message.InputError{Field: flag, Value: fmt.Sprint(value), Reason: message.T("form.whole-number"),
		Allowed: message.T("form.allowed-range", "low", low, "high", high), Try: fmt.Sprintf("%s %d", flag, usual)}
}

// explorePrinter lays answers out.
type explorePrinter struct{ printer }

// begin says what the answer is about, and what it is not.
func (p explorePrinter) begin(s *stove.Stove) {
	if s.Brief.Name != "" {
		fmt.Fprintln(p.out, s.Brief.Name)
	}
	if s.Brief.Note != "" {
		fmt.Fprintln(p.out, s.Brief.Note)
	}
	fmt.Fprintln(p.out, p.say.S("cli.fire.computed"))
}

// tell prints an answer, as JSON or in words.
func (j jsonFlag) tell(c *call, out exploreJSON, words func(explorePrinter)) error {
	if j.JSON {
		return writeJSON(c.Out, out)
	}
	words(explorePrinter{printer{c.Catalogue, c.Out}})
	return nil
}

func (p explorePrinter) sentences(list []message.Text) {
	for _, t := range list {
		fmt.Fprintln(p.out, p.say.Say(t))
	}
}

// sentences are texts in words.
func sentences(c *message.Catalogue, list []message.Text) []string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = c.Say(t)
	}
	return out
}
