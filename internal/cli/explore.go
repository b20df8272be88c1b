package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
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

// usualSizes are the variables of the grammar for how much a study takes.
var usualSizes = map[string]int{"usual_population": explore.UsualPopulation, "usual_generations": explore.UsualGenerations,
	"usual_draws": explore.UsualDraws, "usual_rows": explore.UsualRows}

// longArgs are those of a question that takes long.
type longArgs struct {
	Workers int    `help:"${explore_workers}" placeholder:"2"`
	Keep    string `help:"${explore_keep}" placeholder:"study.json"`
	Team    string `help:"${explore_team}" placeholder:"postgres://…"`
}

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
	asked, err := json.Marshal(s)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(asked)
	name := hex.EncodeToString(sum[:12])
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

// kept is the file of a study under way.
type kept struct {
	Question string        `json:"question"` // hash of the study as it was asked for
	Study    explore.Study `json:"study"`
}

func (a longArgs) resume(name string, s explore.Study) error {
	if a.Keep == "" {
		return nil
	}
	data, err := os.ReadFile(a.Keep)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	var head struct {
		Question string          `json:"question"`
		Study    json.RawMessage `json:"study"`
	}
	if err := json.Unmarshal(data, &head); err != nil || head.Question != name {
		return &message.InputError{Field: "--keep", Value: a.Keep, Reason: message.T("cli.explore.other-study"), Try: "--keep other.json"}
	}
	return json.Unmarshal(head.Study, s)
}

// save writes the study beside its file and puts it in its place whole.
func (a longArgs) save(name string, s explore.Study) error {
	if a.Keep == "" {
		return nil
	}
	var text bytes.Buffer
	if err := json.NewEncoder(&text).Encode(kept{name, s}); err != nil {
		return err
	}
	beside := a.Keep + ".new"
	if err := save(beside, text.Bytes()); err != nil {
		return err
	}
	return os.Rename(beside, a.Keep)
}

type workCmd struct {
	Team    string `arg:"" help:"${explore_work_team}" placeholder:"postgres://…"`
	Workers int    `help:"${explore_workers}" default:"1" placeholder:"1"`
}

// Run computes what the team has to do, until it is stopped.
func (w *workCmd) Run(c *call) error {
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

// writeNew writes a file that is not there yet.
func writeNew(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return &message.InputError{Field: "file", Value: path, Reason: message.T("cli.explore.file-there"), Try: "--out other"}
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}
