package bench

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Compared is one result of two stoves, with the result's id and the names.
type Compared struct {
	ID        string // of Metrics, or "cooking"
	Base, New string
	Comparison
	AdjustedP float64 // for all results of this kind that were looked at (holm1979sequential)
}

// SequenceSeries is the runs of the sequence with one stove.
type SequenceSeries struct {
	Name   string
	Runs   []SequenceRun
	Report *SequenceReport // nil without a run that counts
}

// SafetySeries is the sheets of one stove; Agreement is of the first two.
type SafetySeries struct {
	Name      string
	Runs      []SafetyRun
	Agreement *Agreement
}

// Study is all the tests at hand, sorted by kind and stove, and compared. The
// first stove is the base that the others are set against.
type Study struct {
	Settings Settings
	Files    []TestFile
	Boiling  []Series
	Cooking  []CookingSeries
	Sequence []SequenceSeries
	Safety   []SafetySeries
	Rounds   []KitchenRound
	Kitchens *KitchenStudy // nil without two rounds or groups
	Usage    *Stacking     // from logger files, set by the caller
	Uses     []UseRecord   // the files themselves, set by the caller
	Compared []Compared
	Trends   []Drifting
}

// Drifting is how a result of one stove moved in the order of its runs.
type Drifting struct {
	ID, Stove string
	Trend
}

// driftIDs are the results looked at for drift.
var driftIDs = []string{"h_hp", "cold.tT", "simmer.SC"}

// NewStudy sorts test files and compares what can be compared: every result of
// [Metrics], or those asked, of every two stoves. Files are taken in the order
// given, tests of a stove by date. base names the stove to compare with, "" for
// the first. The error is a [message.InputErrors] for an unknown base or result.
func NewStudy(files []TestFile, base string, ids []string, s Settings) (*Study, error) {
	st := &Study{Settings: s, Files: files}
	for _, f := range files {
		st.add(f)
	}
	for i := range st.Boiling {
		slices.SortStableFunc(st.Boiling[i].Runs, func(a, b Run) int { return cmp.Compare(a.Test.About.moment(), b.Test.About.moment()) })
	}
	if err := st.baseFirst(base); err != nil {
		return nil, err
	}
	if err := st.compareBoiling(ids); err != nil {
		return nil, err
	}
	if err := st.compareCooking(); err != nil {
		return nil, err
	}
	if err := st.compareKitchens(); err != nil {
		return nil, err
	}
	st.sequences()
	st.agreements()
	for _, series := range st.Boiling {
		for _, id := range driftIDs {
			if t, err := Drift(series, id); err == nil {
				st.Trends = append(st.Trends, Drifting{id, series.Name, t})
			}
		}
	}
	return st, nil
}

// moment sorts the tests of a stove: the date, then the clock.
func (a About) moment() string { return a.Date + " " + a.Clock }

// StoveName is how the stove of a test is called; without a name, the file.
func (f TestFile) StoveName() string {
	if f.About.Stove != "" {
		return f.About.Stove
	}
	return f.Name
}

// group finds the series of a stove, or makes one at the end.
func group[S any](list *[]S, name string, nameOf func(*S) *string) *S {
	for i := range *list {
		if s := &(*list)[i]; strings.EqualFold(*nameOf(s), name) {
			return s
		}
	}
	*list = append(*list, *new(S))
	s := &(*list)[len(*list)-1]
	*nameOf(s) = name
	return s
}

func (st *Study) add(f TestFile) {
	name := f.StoveName()
	switch {
	case f.Boiling != nil:
		s := group(&st.Boiling, name, func(s *Series) *string { return &s.Name })
		s.Runs = append(s.Runs, *f.Boiling)
	case f.Cooking != nil:
		s := group(&st.Cooking, name, func(s *CookingSeries) *string { return &s.Name })
		s.Tests = append(s.Tests, f.Cooking.Test)
	case f.Sequence != nil:
		s := group(&st.Sequence, name, func(s *SequenceSeries) *string { return &s.Name })
		s.Runs = append(s.Runs, *f.Sequence)
	case f.Safety != nil:
		s := group(&st.Safety, name, func(s *SafetySeries) *string { return &s.Name })
		s.Runs = append(s.Runs, *f.Safety)
	case f.Kitchen != nil:
		st.Rounds = append(st.Rounds, *f.Kitchen)
	}
}

// Stoves are the names of all stoves tested, kind after kind, each once.
func (st *Study) Stoves() []string {
	var names []string
	add := func(name string) {
		if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, name) }) {
			names = append(names, name)
		}
	}
	for _, s := range st.Boiling {
		add(s.Name)
	}
	for _, s := range st.Cooking {
		add(s.Name)
	}
	for _, s := range st.Sequence {
		add(s.Name)
	}
	for _, s := range st.Safety {
		add(s.Name)
	}
	return names
}

// baseFirst moves the stove that is the base to the front of every kind.
func (st *Study) baseFirst(base string) error {
	if base == "" {
		return nil
	}
	names := st.Stoves()
	if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, base) }) {
		e := &message.InputError{Field: "base", Value: clip(base), Reason: message.T("bench.study.no-stove"), Allowed: message.T("bench.study.stoves", "names", strings.Join(names, "; ")), Try: message.Nearest(base, names)}
		if e.Try == "" && len(names) > 0 {
			e.Try = names[0]
		}
		return message.InputErrors{e}
	}
	front := func(name string) int {
		if strings.EqualFold(name, base) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(st.Boiling, func(a, b Series) int { return front(a.Name) - front(b.Name) })
	slices.SortStableFunc(st.Cooking, func(a, b CookingSeries) int { return front(a.Name) - front(b.Name) })
	slices.SortStableFunc(st.Sequence, func(a, b SequenceSeries) int { return front(a.Name) - front(b.Name) })
	return nil
}

// compareBoiling compares every two stoves by every result. With more than two
// stoves the p values are adjusted for the pairs already.
func (st *Study) compareBoiling(ids []string) error {
	asked := len(ids) > 0
	if !asked {
		for _, m := range Metrics {
			ids = append(ids, m.ID)
		}
	}
	for _, id := range ids {
		if _, ok := metric(id); !ok {
			var known []string
			for _, m := range Metrics {
				known = append(known, m.ID)
			}
			e := &message.InputError{Field: "result", Value: clip(id), Reason: message.T("bench.study.no-result"), Allowed: message.T("form.allowed", "names", strings.Join(known, ", ")), Try: message.Nearest(id, known)}
			if e.Try == "" {
				e.Try = "BF"
			}
			return message.InputErrors{e}
		}
	}
	if len(st.Boiling) < 2 {
		return nil
	}
	for _, id := range ids {
		pairs, err := Pairwise(st.Boiling, id, st.Settings)
		if err != nil {
			return err
		}
		k := 0
		for i := range st.Boiling {
			for _, other := range st.Boiling[i+1:] {
				c, burnt := pairs[k], asked || !unmeasured(st.Boiling[i], other, id)
				if burnt && (c.Finding == TooFewRuns || c.Finding == Forbidden || c.Base.N > 1) {
					st.Compared = append(st.Compared, Compared{ID: id, Base: st.Boiling[i].Name, New: other.Name, Comparison: c, AdjustedP: c.P})
				}
				k++
			}
		}
	}
	st.adjust()
	return nil
}

// unmeasured reports whether tests of two stoves count and none of them gives a result.
func unmeasured(a, b Series, id string) bool {
	return len(a.counted())+len(b.counted()) > 0 && len(a.Values(id))+len(b.Values(id)) == 0
}

// adjust corrects, pair by pair, for how many results of merit were looked at:
// who looks at twenty finds one by chance.
func (st *Study) adjust() {
	type pair struct{ base, new string }
	places := map[pair][]int{}
	for i, c := range st.Compared {
		if c.Better != 0 && c.Finding != TooFewRuns && c.Finding != Forbidden {
			places[pair{c.Base, c.New}] = append(places[pair{c.Base, c.New}], i)
		}
	}
	for _, list := range places {
		p := make([]float64, len(list))
		for k, i := range list {
			p[k] = st.Compared[i].P
		}
		for k, adjusted := range stats.Holm(p) {
			st.Compared[list[k]].AdjustedP = adjusted
		}
	}
}

func (st *Study) compareCooking() error {
	for i, base := range st.Cooking {
		for _, other := range st.Cooking[i+1:] {
			c, err := CompareCooking(base, other, st.Settings)
			if err != nil {
				return err
			}
			st.Compared = append(st.Compared, Compared{ID: "cooking", Base: base.Name, New: other.Name, Comparison: c, AdjustedP: c.P})
		}
	}
	return nil
}

// errRounds says that kitchens cannot be compared by more than two files.
var errRounds = message.InputErrors{&message.InputError{Field: "round", Reason: message.T("bench.study.rounds"), Try: "round: before"}}

// compareKitchens pairs the rounds before and after; two files without a round
// are two groups of households.
func (st *Study) compareKitchens() error {
	if len(st.Rounds) < 2 {
		return nil
	}
	if len(st.Rounds) > 2 || (st.Rounds[0].Round == st.Rounds[1].Round && st.Rounds[0].Round != "") {
		return errRounds
	}
	if st.Rounds[0].Round == "after" {
		slices.Reverse(st.Rounds)
	}
	study := StudyPairs
	if st.Rounds[0].Round == "" {
		study = StudyGroups
	}
	k, err := study(st.Rounds[0].List, st.Rounds[1].List, st.Settings)
	if errors.Is(err, stats.ErrTooFew) {
		return message.InputErrors{&message.InputError{Field: "households", Reason: message.T("bench.study.few-households"), Try: "households:\n  - code: H01"}}
	}
	if err != nil {
		return err
	}
	st.Kitchens = &k
	return nil
}

func (st *Study) sequences() {
	scale := st.Settings.Scale
	if scale == "" {
		scale = "iso-default"
	}
	for i := range st.Sequence {
		var results []SequenceResult
		for _, r := range st.Sequence[i].Runs {
			if r.Test.About.LeftOut == "" {
				results = append(results, r.Result)
			}
		}
		if r, err := ReportSequence(results, scale); err == nil {
			st.Sequence[i].Report = &r
		}
	}
}

func (st *Study) agreements() {
	for i := range st.Safety {
		if s := &st.Safety[i]; len(s.Runs) > 1 {
			if a, err := AgreeSafety(s.Runs[0].Score, s.Runs[1].Score); err == nil {
				s.Agreement = &a
			}
		}
	}
}

// headlines are the results that a report speaks of; the others stand in its
// tables.
var headlines = []string{"h_hp", "BF", "cold.tT", "simmer.SC"}

// Headline reports whether a result is one that a report speaks of.
func Headline(id string) bool { return id == "cooking" || slices.Contains(headlines, id) }

func (st *Study) has(ids []string) bool {
	return slices.ContainsFunc(st.Compared, func(c Compared) bool { return slices.Contains(ids, c.ID) })
}

// Evidence is what stands behind a report of the study.
func (st *Study) Evidence() Evidence {
	e := Evidence{Kitchens: st.Kitchens, Usage: st.Usage, Uses: st.Uses}
	for _, c := range st.Compared {
		if c.ID == "cooking" {
			e.Cooking = &c.Comparison
		} else if c.Better != 0 && (!st.has(headlines) || slices.Contains(headlines, c.ID)) {
			e.Boiling = append(e.Boiling, c.Comparison)
		}
	}
	for _, s := range st.Sequence {
		if s.Report != nil {
			e.Sequence = s.Report
		}
	}
	for _, s := range st.Safety {
		if s.Agreement != nil {
			e.Safety = s.Agreement
		}
	}
	return e
}

// Alarms are those of the comparisons, each once, in order: what differed
// between the stoves beside the stoves.
func (st *Study) Alarms() []Alarm {
	var list []Alarm
	seen := map[string]bool{}
	add := func(more []Alarm) {
		for _, a := range more {
			key := a.Key + a.Phase + message.English().Say(a.Text)
			if !seen[key] {
				seen[key] = true
				list = append(list, a)
			}
		}
	}
	for _, c := range st.Compared {
		add(c.Comparison.Alarms)
	}
	if st.Kitchens != nil {
		add(st.Kitchens.Alarms)
	}
	for _, s := range st.Sequence {
		if s.Report != nil {
			add(s.Report.Efficiency.Alarms)
		}
	}
	for _, s := range st.Safety {
		if s.Agreement != nil {
			add(s.Agreement.Alarms)
		}
	}
	slices.SortStableFunc(list, func(a, b Alarm) int { return cmp.Compare(severityRank[a.Severity], severityRank[b.Severity]) })
	return list
}

// LeftOut is a test that is kept and not counted.
type LeftOut struct {
	Stove, Test, Date string
	Reason            string // in the user's words; "" where an alarm spoils the test
	Alarm             message.Text
}

// LeftOut lists the tests that do not count, each with its reason.
func (st *Study) LeftOut() []LeftOut {
	var list []LeftOut
	add := func(stove string, a About, usable bool, alarms []Alarm) {
		if a.LeftOut == "" && usable {
			return
		}
		l := LeftOut{Stove: stove, Test: a.Test, Date: a.Date, Reason: a.LeftOut}
		for _, alarm := range alarms {
			if alarm.Spoils() && a.LeftOut == "" && l.Alarm.IsZero() {
				l.Alarm = alarm.Text
			}
		}
		list = append(list, l)
	}
	for _, f := range st.Files {
		switch {
		case f.Boiling != nil:
			add(f.StoveName(), f.About, f.Boiling.Result.Usable(), f.Boiling.Result.Alarms)
		case f.Cooking != nil:
			add(f.StoveName(), f.About, f.Cooking.Result.Usable(), f.Cooking.Result.Alarms)
		case f.Sequence != nil:
			add(f.StoveName(), f.About, f.Sequence.Result.Usable(), f.Sequence.Result.Alarms)
		case f.Emission != nil:
			add(f.StoveName(), f.About, f.Emission.Result.Usable(), f.Emission.Result.Alarms)
		}
	}
	return list
}

// LeaveOut keeps a test and does not count it; the reason is the user's.
func (f *TestFile) LeaveOut(reason string) {
	f.About.LeftOut = reason
	switch {
	case f.Boiling != nil:
		f.Boiling.LeftOut, f.Boiling.Test.About.LeftOut = reason, reason
	case f.Cooking != nil:
		f.Cooking.Test.About.LeftOut = reason
	case f.Sequence != nil:
		f.Sequence.Test.About.LeftOut = reason
	}
}

// ResultName is a result by its id, in words: "thermal efficiency (cold start)".
func ResultName(id string) message.Text { return quantityWithPhase(id) }

// FarOut is a run that counts and lies oddly far out in one result.
type FarOut struct {
	Stove, Test, Date string
	What              message.Text
	G, Critical       float64 // of Grubbs' test
}

// Outliers are the runs that lie oddly far out. They count until somebody writes
// down a physical reason.
func (st *Study) Outliers() []FarOut {
	var list []FarOut
	seen := map[string]bool{}
	for _, c := range st.Compared {
		for _, o := range c.Outliers {
			key := o.Series + c.ID
			if seen[key] {
				continue
			}
			seen[key] = true
			far := FarOut{Stove: o.Series, What: c.What, G: o.G, Critical: o.Critical}
			for _, s := range st.Boiling {
				if counted := s.counted(); s.Name == o.Series && c.ID != "cooking" && o.Run < len(counted) {
					far.Test, far.Date = counted[o.Run].Test.About.Test, counted[o.Run].Test.About.Date
				}
			}
			list = append(list, far)
		}
	}
	return list
}

// Value is a value of the indicator as it is shown.
func (i Indicator) Value(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: units[i.Unit]}
}
