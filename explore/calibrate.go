package explore

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Unknown is a positive number that is not known: its logarithm is normal around
// that of Middle, two thirds of the cases within a factor of it.
type Unknown struct {
	Middle float64
	Factor float64
}

// at is the value for a standard normal number.
func (u Unknown) at(z float64) float64 { return u.Middle * math.Pow(u.Factor, z) }

// UsualScatter is that of the logarithms from test to test of one stove, before any
// test was repeated (common practice); UsualBias that of the model from what stoves
// do (judgement, key modelnote): a tenth, more or less.
var (
	UsualScatter = Unknown{0.06, 1.6}
	UsualBias    = Unknown{0.10, 1.6}
)

// Calibration is a study of what measured tests teach about the coefficients of
// the model. What was held out is only foretold, never learnt from. It changes
// nothing by itself: the caller shows both beliefs and asks.
type Calibration struct {
	Published fire.Coefficients
	Inputs    []Input // coefficients to be learnt; see LearnableInputs
	Trials    []Trial
	HeldOut   []Trial
	Scatter   Unknown
	Bias      Unknown
	Sampling

	once   sync.Once
	err    error
	opened []*trialModel
	seen   evidence
}

// NewCalibration makes a study with usual settings. The error is a
// message.InputErrors for a trial that cannot be used.
func NewCalibration(c fire.Coefficients, inputs []Input, trials, heldOut []Trial, seed uint64) (*Calibration, error) {
	k := &Calibration{Published: c, Inputs: inputs, Trials: trials, HeldOut: heldOut, Scatter: UsualScatter, Bias: UsualBias,
		Sampling: usualSampling(len(inputs)+2, seed)}
	if err := k.Open(); err != nil {
		return k, err
	}
	if err := k.different(); err != nil {
		return k, err
	}
	return k, k.possible()
}

// different reports trials with the readings of another: a test counts once, and
// what is held out must not have been learnt from.
func (k *Calibration) different() error {
	var bad message.InputErrors
	all := slices.Concat(k.Trials, k.HeldOut)
	for i, t := range all {
		if first := slices.IndexFunc(all[:i], t.readsAs); first >= 0 {
			bad = append(bad, &message.InputError{Field: "test", Value: t.Name, Reason: message.T("explore.trial-twice", "other", all[first].Name)})
		}
	}
	return bad.OrNil()
}

// possible reports trials that the model says cannot have been: in most draws of
// what is believed before the tests, the stove has too little air for the wood that
// was burnt. Nothing can be learnt from them but that.
func (k *Calibration) possible() error {
	const draws = 24
	var bad message.InputErrors
	for _, t := range slices.Concat(k.Trials, k.HeldOut) {
		m, err := t.open(k.Published)
		if err != nil {
			return err
		}
		var chokes [draws]float64
		each(draws, func(i int) {
			r := stream(k.Seed, 1<<51, uint64(i))
			z := make([]float64, k.Dims)
			for j := range z {
				z[j] = r.NormFloat64()
			}
			c := k.coefficients(z)
			if !answered(m.foretell(&c)) {
				chokes[i] = 1
			}
		})
		if share := stats.Mean(chokes[:]); share > 0.5 {
			bad = append(bad, &message.InputError{Field: "test", Value: t.Name, Reason: message.T("explore.trial-chokes",
				"power", quantity.KW(m.task.Power), "share", quantity.Pct(share))})
		}
	}
	return bad.OrNil()
}

// usualSampling are settings with which some ten parameters settle.
func usualSampling(dims int, seed uint64) Sampling {
	return Sampling{Dims: dims, Points: 64, Chains: 16, Sweeps: 192, Moves: 1, Patience: 2, Seed: seed}
}

// Open makes the trials ready to burn.
func (k *Calibration) Open() error {
	k.once.Do(func() { k.err = k.open() })
	return k.err
}

func (k *Calibration) open() error {
	if len(k.Trials) == 0 {
		return message.InputErrors{{Field: "trials", Reason: message.T("explore.no-trials")}}
	}
	for _, in := range k.Inputs {
		if _, ok := fire.CoefficientByKey(strings.TrimPrefix(in.Key, "fire.")); !ok {
			return fmt.Errorf("explore: %q is no coefficient", in.Key)
		}
	}
	for _, t := range k.Trials {
		m, err := t.open(k.Published)
		if err != nil {
			return err
		}
		k.opened = append(k.opened, m)
		k.seen = append(k.seen, m.observed()...)
	}
	return k.Sampling.check()
}

// observed are the values of a trial.
func (t *trialModel) observed() evidence {
	var list evidence
	for _, s := range t.Seen {
		list = append(list, observed{s.Quantity, t.Stove, math.Log(s.Value), s.U, t.at})
	}
	return list
}

// coefficients are those of a point of the sampler.
func (k *Calibration) coefficients(z []float64) fire.Coefficients {
	c := k.Published
	for i, in := range k.Inputs {
		key, _ := fire.CoefficientByKey(strings.TrimPrefix(in.Key, "fire."))
		c[key] = in.At(stats.NormalCDF(z[i]))
	}
	return c
}

// foretell is what the trials would have seen with a point's coefficients.
func (k *Calibration) foretell(z []float64) []float64 {
	c := k.coefficients(z)
	var list []float64
	for _, t := range k.opened {
		list = append(list, t.foretell(&c)...)
	}
	return list
}

// spread are scatter and bias of a point.
func (k *Calibration) spread(z []float64) (scatter, bias float64) {
	n := len(k.Inputs)
	return k.Scatter.at(z[n]), k.Bias.at(z[n+1])
}

// Batch is the next step of all chains.
func (k *Calibration) Batch() (number, units int) { return k.Stage, k.Sampling.batch() }

// Total counts steps of chains.
func (k *Calibration) Total() (done, total int) { return k.Sampling.total() }

// Unit moves one chain.
func (k *Calibration) Unit(unit int) Values {
	if k.Open() != nil {
		return nil
	}
	return k.Sampling.unit(unit, target{k.foretell, func(z, foretold []float64) float64 {
		scatter, bias := k.spread(z)
		return k.seen.logLikelihood(foretold, scatter, bias)
	}})
}

// Take takes a step of all chains.
func (k *Calibration) Take(results []Values) { k.Sampling.take(results) }

// Belief is what is held of one number before and after the tests.
type Belief struct {
	Input          Input // zero for scatter and bias
	Word           string
	Before, After  fire.Band
	Mixing         Mixing
	BeforeSD       float64
	Mean, SD       float64 // after
	FromTheTests   float64 // share of the variance that the tests took away
	BeforeMean     float64
	MostlyAsBefore bool // the tests say next to nothing of it
}

// Foretold is one measured value beside what was foretold of it.
type Foretold struct {
	Trial         string
	HeldOut       bool
	Seen          Seen
	Before, After fire.Band // as published; as learnt here
	Inside        bool      // the value lies in the 90 % band as learnt
	Place         float64   // share of the draws as learnt that lie below the value
}

// Learnt is the result of a calibration.
type Learnt struct {
	Beliefs  []Belief // of the coefficients, then of scatter and bias
	Foretold []Foretold
	RHat     float64 // worst of all
	ESS      float64 // least of all, of middles and ends
	Draws    []fire.Coefficients
	Scatter  []float64 // by draw
	Bias     []float64
	Stoves   []string // that the tests name, each once
	Doubts   []Doubt  // of the tests' own readings

	seen     evidence
	foretold [][]float64 // of what was seen, by draw
}

// Doubt is an alarm of a test that is learnt from or held out.
type Doubt struct {
	Trial string
	Alarm message.Text
}

// foretoldDraws is how many draws foretell; more only smooth the bands.
const foretoldDraws = 120

// Result is what was learnt so far. The error says that too few sweeps are done.
func (k *Calibration) Result() (Learnt, error) {
	if err := k.Open(); err != nil {
		return Learnt{}, err
	}
	if len(k.Kept) < 4 {
		return Learnt{}, fmt.Errorf("explore: too few sweeps to say anything")
	}
	all := k.draws()
	out := Learnt{RHat: 1, ESS: math.Inf(1), seen: k.seen}
	for _, z := range all {
		out.Draws = append(out.Draws, k.coefficients(z))
		scatter, bias := k.spread(z)
		out.Scatter, out.Bias = append(out.Scatter, scatter), append(out.Bias, bias)
		out.foretold = append(out.foretold, z[k.Dims:])
	}
	for i := range k.Dims {
		b := k.belief(i, all)
		out.RHat, out.ESS = math.Max(out.RHat, b.Mixing.RHat), math.Min(out.ESS, math.Min(b.Mixing.ESS, b.Mixing.Tail))
		out.Beliefs = append(out.Beliefs, b)
	}
	for _, t := range slices.Concat(k.Trials, k.HeldOut) {
		if t.Named != "" && !slices.Contains(out.Stoves, t.Named) {
			out.Stoves = append(out.Stoves, t.Named)
		}
		for _, a := range t.Doubts {
			out.Doubts = append(out.Doubts, Doubt{t.Name, a})
		}
	}
	foretold, err := k.check(all)
	out.Foretold = foretold
	return out, err
}

// belief compares one parameter before and after.
func (k *Calibration) belief(i int, all []Values) Belief {
	at := func(z float64) float64 { return k.Scatter.at(z) }
	b := Belief{Word: "scatter"}
	switch n := len(k.Inputs); {
	case i < n:
		in := k.Inputs[i]
		b = Belief{Input: in}
		at = func(z float64) float64 { return in.At(stats.NormalCDF(z)) }
	case i == n+1:
		b.Word = "bias"
		at = func(z float64) float64 { return k.Bias.at(z) }
	}
	before, after := make([]float64, 400), make([]float64, len(all))
	for j := range before {
		before[j] = at(stats.NormalQuantile((float64(j) + 0.5) / float64(len(before))))
	}
	for j, z := range all {
		after[j] = at(z[i])
	}
	b.Before, b.After = fire.NewBand(before, 0), fire.NewBand(after, 0)
	b.BeforeMean, b.BeforeSD, b.Mean, b.SD = stats.Mean(before), stats.SD(before), stats.Mean(after), stats.SD(after)
	b.FromTheTests = math.Max(0, 1-b.SD*b.SD/(b.BeforeSD*b.BeforeSD))
	b.MostlyAsBefore = b.FromTheTests < 0.2
	b.Mixing = Mix(k.chains(i))
	return b
}

// check foretells every trial, those held out too, as published and as learnt.
func (k *Calibration) check(all []Values) ([]Foretold, error) {
	var list []Foretold
	for _, set := range []struct {
		trials []Trial
		held   bool
	}{{k.Trials, false}, {k.HeldOut, true}} {
		for _, t := range set.trials {
			m, err := t.open(k.Published)
			if err != nil {
				return nil, err
			}
			list = append(list, k.foretold(m, all, set.held)...)
		}
	}
	return list, nil
}

// foretold foretells one trial.
func (k *Calibration) foretold(t *trialModel, all []Values, held bool) []Foretold {
	seen := t.observed()
	before, after := make([][]float64, len(seen)), make([][]float64, len(seen))
	for j := range seen {
		before[j], after[j] = make([]float64, foretoldDraws), make([]float64, foretoldDraws)
	}
	each(2*foretoldDraws, func(d int) {
		i, r := d/2, stream(k.Seed, 1<<50, uint64(d/2))
		var z []float64
		known := evidence{}
		var misses []float64
		into := before
		if d%2 == 0 {
			for range k.Dims {
				z = append(z, r.NormFloat64())
			}
		} else {
			z = all[i*len(all)/foretoldDraws]
			known, misses, into = k.seen, z[k.Dims:], after
		}
		c := k.coefficients(z)
		foretold := t.foretell(&c)
		scatter, bias := k.spread(z)
		for j, o := range seen {
			mean, sd := known.next(misses, scatter, bias, o)
			into[j][i] = math.Exp(foretold[j] + mean + sd*r.NormFloat64())
		}
	})
	var list []Foretold
	for j, s := range t.Seen {
		f := Foretold{Trial: t.Name, HeldOut: held, Seen: s, Before: bandOf(before[j]), After: bandOf(after[j])}
		f.Inside = f.After.Low <= s.Value && s.Value <= f.After.High
		for _, x := range after[j] {
			if x < s.Value {
				f.Place += 1 / float64(foretoldDraws)
			}
		}
		list = append(list, f)
	}
	return list
}

// bandOf is the band of those draws that boil.
func bandOf(x []float64) fire.Band {
	var kept []float64
	for _, v := range x {
		if !math.IsNaN(v) {
			kept = append(kept, v)
		}
	}
	if len(kept) == 0 {
		return fire.Band{Low: math.NaN(), Middle: math.NaN(), High: math.NaN()}
	}
	return fire.NewBand(kept, 0)
}

// LearnableInputs are the coefficients that the trials can tell something of: of
// all of the table those whose range moves what was measured most, at most so many,
// the strongest first.
func LearnableInputs(c fire.Coefficients, trials []Trial, most int) ([]Input, error) {
	inputs := UncertainInputs(c)
	var opened []*trialModel
	for _, t := range trials {
		m, err := t.open(c)
		if err != nil {
			return nil, err
		}
		opened = append(opened, m)
	}
	effect := make([]float64, len(inputs))
	each(len(inputs), func(i int) {
		key, _ := fire.CoefficientByKey(strings.TrimPrefix(inputs[i].Key, "fire."))
		for _, t := range opened {
			low, high := c, c
			low[key], high[key] = inputs[i].At(0.1), inputs[i].At(0.9)
			a, b := t.foretell(&low), t.foretell(&high)
			for j := range a {
				if d := b[j] - a[j]; !math.IsNaN(d) {
					effect[i] += d * d
				}
			}
		}
	})
	order := make([]int, len(inputs))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return effect[order[a]] > effect[order[b]] })
	var list []Input
	for _, i := range order[:min(most, len(order))] {
		if effect[i] > 0 {
			list = append(list, inputs[i])
		}
	}
	return list, nil
}

// Good limits of the diagnostics (vehtari2021rank): past them a result is shown with
// a warning.
const (
	goodRHat = 1.01
	goodESS  = 400
)

// Settled reports whether the draws have settled, so that what was learnt can be
// relied on.
func (l Learnt) Settled() bool { return l.RHat <= goodRHat && l.ESS >= goodESS }

// Says tells what was learnt in sentences.
func (l Learnt) Says() []message.Text {
	tests, held, inside := map[string]bool{}, 0, 0
	for _, f := range l.Foretold {
		if !f.HeldOut {
			tests[f.Trial] = true
			continue
		}
		held++
		if f.Inside {
			inside++
		}
	}
	list := []message.Text{message.T("explore.learnt", "n", len(tests))}
	if l.RHat > goodRHat || l.ESS < goodESS {
		list = append(list, message.T("explore.learnt-unsettled", "rhat", quantity.Value{SI: l.RHat, Unit: quantity.One, Step: 0.01}, "ess", int(l.ESS)))
	}
	list = append(list, l.warnings()...)
	for _, b := range l.Beliefs {
		if b.Word != "" || b.MostlyAsBefore {
			continue
		}
		list = append(list, message.T("explore.learnt-input", "input", b.Input.Name(), "before", b.Input.Value(b.BeforeMean), "after", b.Input.Value(b.Mean),
			"low", b.Input.Value(b.After.Low), "high", b.Input.Value(b.After.High), "share", quantity.Pct(b.FromTheTests)))
	}
	if !slices.ContainsFunc(l.Beliefs, func(b Belief) bool { return b.Word == "" && !b.MostlyAsBefore }) {
		list = append(list, message.T("explore.learnt-nothing"))
	}
	if held > 0 {
		list = append(list, message.T("explore.learnt-held", "n", held, "inside", inside))
	} else {
		list = append(list, message.T("explore.learnt-unchecked"))
	}
	return append(list, message.T("explore.learnt-ask"))
}

// warnings are what a maker should look into before trusting what was learnt: tests
// of several stoves taken for one, readings that alarmed, tests that scatter more,
// and a model that is further off, than was believed before.
func (l Learnt) warnings() []message.Text {
	var list []message.Text
	if len(l.Stoves) > 1 {
		list = append(list, message.T("explore.learnt-stoves", "stoves", strings.Join(l.Stoves, "; ")))
	}
	for _, d := range l.Doubts {
		list = append(list, message.T("explore.learnt-doubt", "test", d.Trial, "doubt", d.Alarm))
	}
	for _, b := range l.Beliefs {
		if b.Word == "" || b.After.Middle <= b.Before.High {
			continue
		}
		list = append(list, message.T("explore.learnt-"+b.Word, "middle", quantity.Pct(b.After.Middle), "low", quantity.Pct(b.After.Low), "high", quantity.Pct(b.After.High)))
	}
	return list
}
