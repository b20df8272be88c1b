package bench

import (
	"errors"
	"fmt"
	"math"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Run is one boiling test with its result, as it enters a comparison. A run
// that is left out stays in the list with its reason.
type Run struct {
	Test    BoilingTest
	Result  BoilingResult
	LeftOut string // the reason, in the user's words; "" for a run that counts
}

// NewRun computes a test.
func NewRun(test BoilingTest) (Run, error) {
	r, err := Boil(test)
	if err == nil && !test.CharWeighed { // of a test that is over; before, it may still be weighed
		r.Alarms = append(r.Alarms, Alarm{Key: "char-not-weighed", Severity: Note, Text: message.T("bench.alarm.char-not-weighed"), Standing: "published, value from memory", Source: "wbt2014protocol"})
	}
	return Run{Test: test, Result: r, LeftOut: test.About.LeftOut}, err
}

// Series is the runs of one stove in the order they were burnt.
type Series struct {
	Name string
	Runs []Run
}

// Values are the results of the runs that count, in SI. Runs whose readings
// cannot be right never count.
func (s Series) Values(id string) []float64 {
	var list []float64
	for _, r := range s.counted() {
		if step, ok := r.Result.Step(id); ok && !math.IsInf(step.Value.SI, 0) {
			list = append(list, step.Value.SI)
		}
	}
	return list
}

func (s Series) counted() []Run {
	var list []Run
	for _, r := range s.Runs {
		if r.LeftOut == "" && r.Result.Usable() {
			list = append(list, r)
		}
	}
	return list
}

// Metric is a result that stoves are compared by.
type Metric struct {
	ID     string
	Better int // +1 higher is better, -1 lower is better, 0 neither
}

// Metrics are the results of a boiling test worth comparing. The efficiency of
// the simmer is not among them: making steam is no merit.
var Metrics = []Metric{
	{"h_hp", +1}, {"cold.h", +1}, {"hot.h", +1}, {"cold.h_0", +1}, {"hot.h_0", +1},
	{"BF", -1}, {"cold.SCT", -1}, {"hot.SCT", -1}, {"simmer.SC", -1}, {"cold.tT", -1}, {"hot.tT", -1},
	{"cold.FP", 0}, {"hot.FP", 0}, {"simmer.FP", 0}, {"TDR", 0},
}

func metric(id string) (Metric, bool) {
	for _, m := range Metrics {
		if m.ID == id {
			return m, true
		}
	}
	return Metric{}, false
}

// Settings of a comparison. The zero value is not usable; start from
// [DefaultSettings].
type Settings struct {
	Level  float64 // of the intervals
	Alpha  float64 // of the tests
	Power  float64 // for planning
	Look   float64 // difference worth seeing, as a share of the base
	Alike  float64 // two stoves within this share are called alike
	Draws  int     // bootstrap draws; 0 for none
	Seed   uint64
	Shared bool   // work out what wood and instruments leave in common
	Scale  string // of the tiers of a sequence; "" for iso-default
}

// DefaultSettings: 95 % intervals and 5 % tests, which agree with each other,
// 80 % power for a difference of 10 %, alike within 10 %.
var DefaultSettings = Settings{Level: 0.95, Alpha: 0.05, Power: 0.80, Look: 0.10, Alike: 0.10, Draws: 10000, Seed: 1, Shared: true}

// Finding is the outcome of a comparison in one word.
type Finding string

// The findings.
const (
	TooFewRuns  Finding = "too-few"        // one run of a stove says nothing of its scatter
	Differs     Finding = "differs"        // the difference is larger than the scatter explains
	AlikeWithin Finding = "alike"          // shown to lie within the margin
	NotShown    Finding = "not-shown"      // neither; more tests are needed
	Forbidden   Finding = "not-comparable" // different protocols or no credit for char on one side
)

// Sample is the results of one stove in one quantity, SI.
type Sample struct {
	Name   string
	Values []float64
}

// Comparison is one result of two stoves side by side.
type Comparison struct {
	What        message.Text
	Unit        quantity.Unit
	Better      int // +1 higher is better, -1 lower is better, 0 neither
	Base, New   stats.Summary
	Difference  stats.TTest    // new minus base, Welch
	Interval    stats.Interval // of the difference
	Ratio       stats.Ratio    // new over base, log-ratio interval
	Fieller     stats.Ratio
	Bootstrap   stats.Resampling // of the ratio; zero when not asked
	P           float64          // Welch, two-sided; adjusted where many were compared
	Ranks       stats.RankTest   // Mann-Whitney, new against base
	SmallestP   float64          // that ranks can reach with these numbers
	EquivalentP float64          // that the stoves do not lie within the margin
	Scatter     stats.ScatterTest
	Needed      int     // tests of each stove to see Settings.Look; 0 when it cannot be told
	Detectable  float64 // share of the base that these numbers show with Settings.Power
	SharedU     float64 // standard uncertainty of the ratio from wood and instruments common to both
	Finding     Finding
	Words       message.Text
	Alarms      []Alarm
	Outliers    []Outlying
}

// Outlying is a run that lies oddly far out.
type Outlying struct {
	Series string
	Run    int // index among the runs that count
	stats.Outlier
}

// Compare sets one result of a new stove against a base. The error is for an
// unknown result; whatever is wrong with the tests themselves is an alarm.
func Compare(base, new Series, id string, s Settings) (Comparison, error) {
	m, ok := metric(id)
	if !ok {
		return Comparison{}, fmt.Errorf("bench: %q is not a result that stoves are compared by", id)
	}
	what, unit := quantityWithPhase(id), boiling42().unitOf(id)
	alarms := conditionAlarms(base, new)
	for _, a := range alarms {
		if a.Spoils() {
			return Comparison{What: what, Unit: unit, Better: m.Better, Alarms: alarms, Finding: Forbidden, Words: message.T("bench.compare.not-comparable")}, nil
		}
	}
	c, err := CompareSamples(what, unit, m.Better, Sample{base.Name, base.Values(id)}, Sample{new.Name, new.Values(id)}, s)
	c.Alarms = alarms
	if err == nil && s.Shared && c.Finding != TooFewRuns {
		c.SharedU = sharedRatioU(base, new, id)
	}
	return c, err
}

// CompareSamples compares two lists of results of any kind: cooking tests,
// kitchens, emissions. Conditions are the caller's to look at.
func CompareSamples(what message.Text, unit quantity.Unit, better int, base, new Sample, s Settings) (Comparison, error) {
	c := Comparison{What: what, Unit: unit, Better: better}
	x, y := base.Values, new.Values
	if len(x) < 2 || len(y) < 2 {
		c.Finding = TooFewRuns
		c.Words = message.T("bench.compare.too-few", "base", base.Name, "new", new.Name, "n", min(len(x), len(y)))
		return c, nil
	}
	if err := c.numbers(x, y, s); err != nil {
		return Comparison{}, fmt.Errorf("bench: comparing %s and %s: %w", base.Name, new.Name, err)
	}
	c.Outliers = append(outlying(base.Name, x), outlying(new.Name, y)...)
	c.find(base.Name, new.Name, s)
	return c, nil
}

func (c *Comparison) numbers(x, y []float64, s Settings) error {
	var errs []error
	keep := func(err error) { errs = append(errs, err) }
	var err error
	c.Base, err = stats.Describe(x)
	keep(err)
	c.New, err = stats.Describe(y)
	keep(err)
	c.Difference, err = stats.Welch(y, x)
	keep(err)
	c.Ranks, err = stats.MannWhitney(y, x)
	keep(err)
	c.Scatter, err = stats.BrownForsythe(x, y)
	keep(err)
	if err := errors.Join(errs...); err != nil {
		return err
	}
	c.P, c.Interval = c.Difference.P(stats.TwoSided), c.Difference.Interval(s.Level)
	c.SmallestP = stats.SmallestP(len(x), len(y))
	margin := s.Alike * math.Abs(c.Base.Mean)
	c.EquivalentP = c.Difference.Equivalence(-margin, margin)
	c.plan(len(x), len(y), s)
	if c.Base.Mean > 0 && c.New.Mean > 0 {
		if c.Ratio, err = stats.LogRatio(x, y, s.Level); err != nil {
			return err
		}
		if c.Fieller, err = stats.Fieller(x, y, s.Level); err != nil {
			return err
		}
		if s.Draws > 0 {
			c.Bootstrap, err = stats.Bootstrap([][]float64{x, y}, ratioOfMeans, s.Draws, s.Level, s.Seed)
		}
	}
	return err
}

func ratioOfMeans(samples [][]float64) float64 {
	return stats.Mean(samples[1]) / stats.Mean(samples[0])
}

// plan works out, from the scatter seen, how many tests show the difference
// worth seeing, and what the tests at hand can show.
func (c *Comparison) plan(n, m int, s Settings) {
	a, b := float64(n-1), float64(m-1)
	sd := math.Sqrt((a*c.Base.SD*c.Base.SD + b*c.New.SD*c.New.SD) / (a + b))
	mean := math.Abs(c.Base.Mean)
	if !(mean > 0 && sd > 0) {
		return
	}
	if n := stats.SampleSizeTwoSample(s.Look*mean, sd, s.Alpha, s.Power); !math.IsNaN(n) {
		c.Needed = stats.Whole(n)
	}
	each := 2 / (1/float64(n) + 1/float64(m))
	c.Detectable = stats.DetectableDifference(each, s.Alpha, s.Power) * sd / mean
}

// find puts the outcome into words. Equivalence is only claimed where no
// difference is shown.
func (c *Comparison) find(base, new string, s Settings) {
	share := math.Abs(c.New.Mean/c.Base.Mean - 1)
	args := message.Args{"what": c.What, "base": base, "new": new,
		"share": quantity.Pct(share), "level": quantity.Pct(s.Level), "look": quantity.Pct(s.Look), "alike": quantity.Pct(s.Alike),
		"n": c.Needed, "low": percent(c.Ratio.Interval.Low - 1), "high": percent(c.Ratio.Interval.High - 1),
		"seen": quantity.Pct(c.Detectable)}
	// The interval of the ratio stands in the sentence; where it and the test
	// disagree by a hair, nothing is claimed.
	shown := c.P < s.Alpha && !(c.Ratio.DF > 0 && c.Ratio.Interval.Contains(1))
	switch {
	case shown && c.New.Mean > c.Base.Mean:
		c.Finding, c.Words = Differs, message.Text{ID: "bench.compare.higher", Args: args}
	case shown:
		c.Finding, c.Words = Differs, message.Text{ID: "bench.compare.lower", Args: args}
	case c.EquivalentP < s.Alpha:
		c.Finding, c.Words = AlikeWithin, message.Text{ID: "bench.compare.alike", Args: args}
	default:
		c.Finding, c.Words = NotShown, message.Text{ID: "bench.compare.not-shown", Args: args}
	}
}

// ShownChange is a share by which something changes as it is read: in whole per cent,
// and next to nothing in tenths, as on which side of it must be seen.
func ShownChange(share float64) quantity.Value {
	v := quantity.Pct(share)
	if math.Abs(share) < 0.02 {
		v.Step = 0.1
	}
	return v
}

// percent is a signed share; the sign of a rise is written.
func percent(v float64) message.Text {
	id := "bench.compare.plus"
	if v < 0 {
		id = "bench.compare.minus"
	}
	return message.T(id, "share", ShownChange(math.Abs(v)))
}

func quantityWithPhase(id string) message.Text {
	phase, key := cutPhase(id)
	if phase == "" {
		return quantityName(key)
	}
	return message.T("bench.compare.of-phase", "what", quantityName(key), "phase", phaseName(phase))
}

// outlying screens for one value far out. Below six values the test has next to
// no power, below four it is not made.
func outlying(name string, x []float64) []Outlying {
	if len(x) < 4 {
		return nil
	}
	o, err := stats.Grubbs(x, 0.05)
	if err != nil || !o.Suspect {
		return nil
	}
	return []Outlying{{Series: name, Run: o.Index, Outlier: o}}
}

// sharedRatioU is the standard uncertainty of new over base that comes from
// what is off alike for both stoves: heating values, moisture of the one pile,
// scale and thermometer. Most of it cancels, which is why two stoves are
// compared on one wood.
func sharedRatioU(base, new Series, id string) float64 {
	runs, news := base.counted(), new.counted()
	ratio := func(key string, by float64) float64 {
		return meanMoved(news, id, key, by) / meanMoved(runs, id, key, by)
	}
	list := runs[0].Test.influences()
	var squares float64
	for _, in := range list {
		if in.shared {
			up, down := ratio(in.key, in.input.U), ratio(in.key, -in.input.U)
			squares += (up - down) * (up - down) / 4
		}
	}
	return math.Sqrt(squares)
}

// meanMoved is the mean of a result with one shared cause moved.
func meanMoved(runs []Run, id, key string, by float64) float64 {
	var values []float64
	for _, r := range runs {
		moved := r.Test.clone()
		for _, in := range r.Test.influences() {
			if in.key == key {
				in.apply(moved, by)
			}
		}
		if c, err := compute(moved, false); err == nil {
			values = append(values, c.si(id))
		}
	}
	return stats.Mean(values)
}

// Trend is how a result moved in the order of the runs: a tester who learns, a
// pile that dries, a lining that soaks up less.
type Trend struct {
	PerRun float64 // change a run, SI
	P      float64 // that there is none
	Lag1   float64 // correlation of neighbouring runs
}

// Drift looks for a trend; it needs three runs.
func Drift(s Series, id string) (Trend, error) {
	y := s.Values(id)
	x := make([]float64, len(y))
	for i := range x {
		x[i] = float64(i)
	}
	f, err := stats.Line(x, y)
	if err != nil {
		return Trend{}, fmt.Errorf("bench: trend of %s: %w", id, err)
	}
	slope := stats.TTest{Estimate: f.Coefficients[1], SE: f.SE(1), DF: f.DF}
	slope.T = slope.Estimate / slope.SE
	return Trend{PerRun: slope.Estimate, P: slope.P(stats.TwoSided), Lag1: stats.Lag1(y)}, nil
}

// Pairwise compares every two of several stoves by one result; P is adjusted
// for the number of comparisons (holm1979sequential).
func Pairwise(list []Series, id string, s Settings) ([]Comparison, error) {
	var all []Comparison
	var pairs [][2]string
	var p []float64
	for i := range list {
		for _, other := range list[i+1:] {
			c, err := Compare(list[i], other, id, s)
			if err != nil {
				return nil, err
			}
			if c.Finding == TooFewRuns || c.Finding == Forbidden {
				c.P = 1
			}
			all, p, pairs = append(all, c), append(p, c.P), append(pairs, [2]string{list[i].Name, other.Name})
		}
	}
	for i, adjusted := range stats.Holm(p) {
		if c := &all[i]; c.Finding != TooFewRuns && c.Finding != Forbidden {
			c.P = adjusted
			c.find(pairs[i][0], pairs[i][1], s)
		}
	}
	return all, nil
}
