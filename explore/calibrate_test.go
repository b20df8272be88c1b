package explore

import (
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"stovewright/bench"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// madeUp makes trials of invented stoves with the model itself, with coefficients
// of its own, a bias and a scatter.
func madeUp(t testing.TB, truth fire.Coefficients, bias, scatter float64, gaps []string, seed uint64) []Trial {
	t.Helper()
	s := subject(t, "beans-pot.yaml")
	var list []Trial
	for i, gap := range gaps {
		form := s.Form
		form.Yours = map[string]string{"skirt.gap": gap}
		trial := Trial{Name: gap, Stove: gap, Form: form, Seen: []Seen{{ColdTime, 1, 0.03}, {LeastAir, 1, 0.05}}}
		m, err := trial.open(truth)
		if err != nil {
			t.Fatal(err)
		}
		r := stream(seed, uint64(i))
		for j, x := range m.foretell(&truth) {
			trial.Seen[j].Value = math.Exp(x + bias + math.Hypot(scatter, trial.Seen[j].U)*r.NormFloat64())
		}
		list = append(list, trial)
	}
	return list
}

func quickCalibration(t testing.TB, trials, held []Trial) *Calibration {
	t.Helper()
	inputs, err := LearnableInputs(fire.Defaults(), trials, 3)
	if err != nil {
		t.Fatal(err)
	}
	k, err := NewCalibration(fire.Defaults(), inputs, trials, held, 2)
	if err != nil {
		t.Fatal(err)
	}
	k.Points, k.Chains, k.Sweeps = 24, 0, 12
	return k
}

func TestCalibrationIsTheSameForAll(t *testing.T) {
	trials := madeUp(t, fire.Defaults(), 0, 0.03, []string{"9 mm"}, 1)
	sameForAll(t, func() *Calibration {
		k := quickCalibration(t, trials, nil)
		k.Points, k.Sweeps = 8, 4
		return k
	})
}

// TestLearnsWhatIsOff makes tests with a stove that loses more draft than the table
// says; one is enough to see it, and the band for a test that was held out must
// move and narrow.
func TestLearnsWhatIsOff(t *testing.T) {
	truth := fire.Defaults()
	truth[fire.LossScale] = 1.45
	trials := madeUp(t, truth, 0, 0.01, []string{"9 mm", "12 mm"}, 4)
	k := quickCalibration(t, trials[:1], trials[1:])
	run(t, k, 0)
	l, err := k.Result()
	if err != nil {
		t.Fatal(err)
	}
	says(t, l.Says()...)
	moved := false
	for _, b := range l.Beliefs {
		if b.Input.Key == "fire.loss-scale" {
			moved = b.Mean > b.BeforeMean+0.3*b.BeforeSD && b.SD < b.BeforeSD
		}
		if b.After.Low > b.After.High || b.Mixing.ESS < 1 {
			t.Errorf("%+v", b)
		}
	}
	if !moved {
		t.Errorf("the loss of draft is not seen: %+v", l.Beliefs)
	}
	for _, f := range l.Foretold {
		if f.HeldOut && f.Seen.Quantity == LeastAir && !(f.After.High-f.After.Low < f.Before.High-f.Before.Low && f.Inside) {
			t.Errorf("held out: %+v", f)
		}
	}
}

// TestEvidence holds the likelihood of correlated misses against the density of a
// normal distribution written out for two observations.
func TestEvidence(t *testing.T) {
	e := evidence{{ColdTime, "a", 0.1, 0.03, nil}, {ColdTime, "b", -0.05, 0.04, nil}}
	const scatter, bias = 0.05, 0.2
	a := bias*bias + scatter*scatter + 0.03*0.03
	c := bias*bias + scatter*scatter + 0.04*0.04
	b := bias * bias / 2
	det := a*c - b*b
	x, y := 0.1-0.02, -0.05-0.01
	want := -(c*x*x-2*b*x*y+a*y*y)/det/2 - math.Log(det)/2
	if got := e.logLikelihood([]float64{0.02, 0.01}, scatter, bias); math.Abs(got-want) > 1e-12 {
		t.Errorf("%v, want %v", got, want)
	}
	// the next miss of a's kind of quantity, on a third stove, by conditioning
	k := bias * bias / 2
	wantMean := (k*(c*x-b*y) + k*(a*y-b*x)) / det
	wantVar := bias*bias + scatter*scatter - k*k*(c-2*b+a)/det
	mean, sd := e.next([]float64{0.02, 0.01}, scatter, bias, observed{ColdTime, "c", 0, 0, nil})
	if math.Abs(mean-wantMean) > 1e-12 || math.Abs(sd*sd-wantVar) > 1e-12 {
		t.Errorf("%v ± %v, want %v, variance %v", mean, sd, wantMean, wantVar)
	}
	if mean, _ := e.next([]float64{0.02, 0.01}, scatter, bias, observed{HotTime, "a", 0, 0, nil}); mean != 0 {
		t.Error("another quantity has the same bias")
	}
}

// TestCoverage holds that bands of held-out tests cover at their stated rate, over
// many made-up workshops whose coefficients, bias and scatter come from the beliefs
// before. The model is a cheap one of the same form: time falls with a coefficient
// that hangs on the stove.
func TestCoverage(t *testing.T) {
	const workshops = 300
	model := func(z []float64, stove float64) float64 { return 7 - 0.3*z[0] - 0.2*z[1]*stove - 0.05*z[0]*z[1] }
	inside := make([]bool, workshops)
	work(workshops, func(w int) {
		r := stream(91, uint64(w))
		truth := []float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		scatter, bias := UsualScatter.at(truth[2]), UsualBias.at(truth[3])
		common := bias * math.Sqrt(0.5) * r.NormFloat64()
		measure := func(stove float64, own float64, name string) observed {
			return observed{ColdTime, name, model(truth, stove) + common + own + math.Hypot(scatter, 0.03)*r.NormFloat64(), 0.03, nil}
		}
		own := bias * math.Sqrt(0.5) * r.NormFloat64()
		seen := evidence{measure(0.5, own, "a"), measure(0.5, own, "a"), measure(1, bias*math.Sqrt(0.5)*r.NormFloat64(), "b")}
		stoves := []float64{0.5, 0.5, 1}
		held := measure(-1, bias*math.Sqrt(0.5)*r.NormFloat64(), "c")
		foretell := func(z []float64) []float64 {
			out := make([]float64, len(stoves))
			for i, s := range stoves {
				out[i] = model(z, s)
			}
			return out
		}
		s := Sampling{Dims: 4, Points: 40, Sweeps: 10, Moves: 1, Seed: uint64(w) + 1}
		if err := s.Sample(func(z []float64) float64 {
			return seen.logLikelihood(foretell(z), UsualScatter.at(z[2]), UsualBias.at(z[3]))
		}); err != nil {
			t.Error(err)
		}
		var draws []float64
		for _, z := range s.draws() {
			mean, sd := seen.next(foretell(z), UsualScatter.at(z[2]), UsualBias.at(z[3]), held)
			draws = append(draws, model(z, -1)+mean+sd*r.NormFloat64())
		}
		b := fire.NewBand(draws, 0)
		inside[w] = b.Low <= held.log && held.log <= b.High
	})
	hits := 0
	for _, in := range inside {
		if in {
			hits++
		}
	}
	// 90 % of 300 is 270 with a standard deviation of 5.2; three of those either way
	if hits < 254 || hits > 286 {
		t.Errorf("90 %% bands cover %d of %d held-out tests", hits, workshops)
	}
}

// workshops is how many made-up workshops burn their stoves in TestTheFireIsLearnt:
// few, as each takes a second; docs/performance.md says what more of them found.
var workshops = flag.Int("workshops", 12, "made-up workshops that learn the fire's coefficients")

// TestTheFireIsLearnt draws coefficients, scatter and bias of made-up workshops from
// the beliefs before, burns tests with the fire's own model, each quantity off by a
// bias that stoves share the more the more they are alike, learns from the test of one stove, and foretells
// that of another. The ranks of the coefficients among the draws must be even
// (simulation-based calibration, talts2018), and bands must cover what was held out
// at their stated rate, as published and as learnt.
func TestTheFireIsLearnt(t *testing.T) {
	if testing.Short() {
		t.Skip("burns stoves for some ten seconds")
	}
	n := *workshops
	const params, quantities = 5, 2 // coefficients, then scatter and bias
	ranks, inside := make([][params]float64, n), make([][2][quantities]bool, n)
	work(n, func(w int) { ranks[w], inside[w] = burnWorkshop(t, uint64(w)) })
	for k := range params {
		// the mean of n even ranks, and of their squares around the middle
		mean, spread := 0.0, 0.0
		for _, r := range ranks {
			mean += r[k] / float64(n)
			spread += (r[k] - 0.5) * (r[k] - 0.5) / float64(n)
		}
		if d := math.Abs(mean - 0.5); d > 3.5*math.Sqrt(1.0/12/float64(n)) {
			t.Errorf("parameter %d: mean rank %.3f of %d", k, mean, n)
		}
		if d := math.Abs(spread - 1.0/12); d > 3.5*math.Sqrt(1.0/180/float64(n)) {
			t.Errorf("parameter %d: ranks spread by %.4f, want %.4f", k, spread, 1.0/12)
		}
	}
	for which, name := range []string{"as published", "as learnt"} {
		for q := range quantities {
			hits := 0
			for _, in := range inside {
				if in[which][q] {
					hits++
				}
			}
			t.Logf("%s, %s: nine-in-ten bands cover %d of %d", Quantities[4*q], name, hits, n)
			// bands of 120 draws cover a little less than 90 %: binomial, 3.5 deviations
			if d := math.Abs(float64(hits) - 0.9*float64(n)); d > 3.5*math.Sqrt(0.09*float64(n)) {
				t.Errorf("%s, %s: nine-in-ten bands cover %d of %d", Quantities[4*q], name, hits, n)
			}
		}
	}
}

// burnWorkshop is one workshop of TestTheFireIsLearnt: the ranks of the truth, and
// whether the bands hold what was held out, as published and as learnt.
func burnWorkshop(t *testing.T, seed uint64) (ranks [5]float64, inside [2][2]bool) {
	trials := madeUp(t, fire.Defaults(), 0, 0, []string{"11 mm", "15 mm"}, 1)
	var inputs []Input
	for _, in := range UncertainInputs(fire.Defaults()) {
		if in.Key == "fire.loss-scale" || in.Key == "fire.pot-loss" || in.Key == "fire.ramp" {
			inputs = append(inputs, in)
		}
	}
	k := &Calibration{Published: fire.Defaults(), Inputs: inputs, Scatter: UsualScatter, Bias: UsualBias,
		Sampling: Sampling{Dims: len(inputs) + 2, Points: 24, Chains: 12, Sweeps: 10, Moves: 1, Seed: seed + 1}}
	r := stream(501, seed)
	truth := make([]float64, k.Dims)
	for i := range truth {
		truth[i] = r.NormFloat64()
	}
	c := k.coefficients(truth)
	scatter, bias := k.spread(truth)
	var all evidence
	var foretold []float64
	for _, trial := range trials {
		m, err := trial.open(fire.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		all, foretold = append(all, m.observed()...), append(foretold, m.foretell(&c)...)
	}
	for i, miss := range all.drawn(t, r, scatter, bias) {
		trials[i/2].Seen[i%2].Value = math.Exp(foretold[i] + miss)
	}
	k.Trials, k.HeldOut = trials[:1], trials[1:]
	if err := k.Open(); err != nil {
		t.Fatal(err)
	}
	for _, units := k.Batch(); units > 0; _, units = k.Batch() {
		results := make([]Values, units)
		for i := range results {
			results[i] = k.Unit(i)
		}
		k.Take(results)
	}
	draws := k.draws()
	for i := range ranks {
		for _, z := range draws {
			if z[i] < truth[i] {
				ranks[i] += 1 / float64(len(draws))
			}
		}
	}
	held, err := k.HeldOut[0].open(k.Published)
	if err != nil {
		t.Fatal(err)
	}
	for q, f := range k.foretold(held, draws, true) {
		inside[0][q] = f.Before.Low <= f.Seen.Value && f.Seen.Value <= f.Before.High
		inside[1][q] = f.Inside
	}
	return ranks, inside
}

// drawn are misses as they hang together.
func (e evidence) drawn(t testing.TB, r *rand.Rand, scatter, bias float64) []float64 {
	t.Helper()
	chol, ok := e.factor(scatter, bias)
	if !ok {
		t.Fatal("misses without a covariance")
	}
	z := mat.NewVecDense(len(e), nil)
	for i := range e {
		z.SetVec(i, r.NormFloat64())
	}
	var lower mat.TriDense
	var misses mat.VecDense
	chol.LTo(&lower)
	misses.MulVec(&lower, z)
	return misses.RawVector().Data
}

// TestATestCountsOnce: the same readings under another name teach nothing more, and
// what was learnt from is no hold-out.
func TestATestCountsOnce(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	one := Trial{Name: "one", Form: s.Form, Seen: []Seen{{ColdTime, 1500, 0.05}}}
	again, other := one, one
	again.Name, other.Name, other.Seen = "again", "other", []Seen{{ColdTime, 1520, 0.05}}
	inputs, err := LearnableInputs(s.Coefficients, []Trial{one}, 3)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		learn, hold []Trial
		fine        bool
	}{{[]Trial{one, again}, nil, false}, {[]Trial{one}, []Trial{again}, false}, {[]Trial{one}, []Trial{other}, true}} {
		_, err := NewCalibration(s.Coefficients, inputs, c.learn, c.hold, 1)
		if complaints, refused := err.(message.InputErrors); (err == nil) != c.fine || refused == c.fine || refused && complaints[0].Value != "again" {
			t.Errorf("%d to learn from, %d held out: %v", len(c.learn), len(c.hold), err)
		}
	}
}

// TestTrialOfTheExamples makes trials of the invented test sheets.
func TestTrialOfTheExamples(t *testing.T) {
	names, err := filepath.Glob("../examples/tests/boiling/*/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no examples", err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		test, err := bench.ReadBoiling(data)
		if err != nil {
			t.Fatal(name, err)
		}
		run, err := bench.NewRun(test)
		if err != nil {
			t.Fatal(name, err)
		}
		trial, err := TrialOf(subject(t, "beans-pot.yaml").Form, name, run)
		if err != nil {
			t.Fatal(err)
		}
		if trial.Power < 1000 || trial.Power > 20000 || trial.Water < 1 || trial.Start < 273 {
			t.Errorf("%s: %+v", name, trial)
		}
		for _, s := range trial.Seen {
			if s.U <= 0 || s.U > 0.4 || s.Value <= 0 {
				t.Errorf("%s: %+v", name, s)
			}
		}
	}
}

// exampleRun reads an invented test sheet, with some of its text put otherwise.
func exampleRun(t *testing.T, replace ...string) bench.Run {
	t.Helper()
	data, err := os.ReadFile("../examples/tests/boiling/stove-a/a1.yaml")
	if err != nil {
		t.Fatal(err)
	}
	sheet := string(data)
	for i := 0; i < len(replace); i += 2 {
		if !strings.Contains(sheet, replace[i]) {
			t.Fatalf("the sheet lacks %q", replace[i])
		}
		sheet = strings.Replace(sheet, replace[i], replace[i+1], 1)
	}
	test, err := bench.ReadBoiling([]byte(sheet))
	if err != nil {
		t.Fatal(err)
	}
	run, err := bench.NewRun(test)
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// TestTestsThatCannotBe holds that nothing is learnt from a test that leaves itself
// out, as computed ones do, that has a reading which cannot be, that held more water
// than the brief's pot, or that burnt more than the stove has air for.
func TestTestsThatCannotBe(t *testing.T) {
	form := subject(t, "beans-pot.yaml").Form
	learn := func(run bench.Run) error {
		trial, err := TrialOf(form, "a1", run)
		if err != nil {
			return err
		}
		inputs, err := LearnableInputs(fire.Defaults(), []Trial{trial}, 3)
		if err != nil {
			return err
		}
		_, err = NewCalibration(fire.Defaults(), inputs, []Trial{trial}, nil, 1)
		return err
	}
	for _, c := range []struct {
		id  string
		run bench.Run
	}{
		{"explore.trial-left-out", exampleRun(t, "place: workshop yard", "place: workshop yard, left_out: computed")},
		{"explore.trial-spoilt", exampleRun(t, "before: 5712 g, after: 5604 g", "before: 5712 g, after: 5804 g")},
		{"explore.trial-water", exampleRun(t, "before: 5712 g, after: 5604 g", "before: 15712 g, after: 15604 g")},
		{"explore.trial-chokes", exampleRun(t, `end: "08:42"`, `end: "08:28"`)},
	} {
		err := learn(c.run)
		list, ok := message.Complaints(err)
		if !ok || len(list) != 1 || list[0].Reason.ID != c.id {
			t.Errorf("%s: %v", c.id, err)
			continue
		}
		says(t, list[0].Reason)
	}
	if err := learn(exampleRun(t)); err != nil {
		t.Errorf("the example itself: %v", err)
	}
}

// TestWarnings holds that a maker hears of tests of several stoves, of tests that
// contradict each other, and of a model that is far from them.
func TestWarnings(t *testing.T) {
	belief := func(word string, low, middle, high float64) Belief {
		return Belief{Word: word, Before: fire.Band{Low: 0.03, Middle: 0.06, High: 0.13}, After: fire.Band{Low: low, Middle: middle, High: high}}
	}
	calm := Learnt{Stoves: []string{"a"}, Beliefs: []Belief{belief("scatter", 0.03, 0.07, 0.2), belief("bias", 0.03, 0.1, 0.2)}}
	if w := calm.warnings(); len(w) != 0 {
		t.Errorf("warnings of nothing: %v", w)
	}
	loud := Learnt{Stoves: []string{"a", "b"}, Beliefs: []Belief{belief("scatter", 0.19, 0.28, 0.41), belief("bias", 0.14, 0.3, 0.5)},
		Doubts: []Doubt{{"a1", message.T("explore.no-phase")}}}
	w := loud.warnings()
	says(t, w...)
	if len(w) != 4 {
		t.Errorf("%d warnings, want 4: %v", len(w), w)
	}
}

func TestCalibrationRefuses(t *testing.T) {
	if _, err := NewCalibration(fire.Defaults(), nil, nil, nil, 1); err == nil {
		t.Error("nothing to learn from, and no word")
	}
	trial := Trial{Form: subject(t, "beans-pot.yaml").Form, Seen: []Seen{{ColdTime, -5, 0.1}}}
	if _, err := NewCalibration(fire.Defaults(), nil, []Trial{trial}, nil, 1); err == nil {
		t.Error("a negative time is taken")
	} else if list, ok := message.Complaints(err); !ok {
		t.Errorf("%v", err)
	} else {
		says(t, list[0].Reason)
	}
	if _, err := TrialOf(stove.Form{}, "empty", bench.Run{}); err == nil {
		t.Error("an empty test is taken")
	}
}

// BenchmarkLearn learns from two invented test sheets with usual settings, and tells
// how far the draws have settled.
func BenchmarkLearn(b *testing.B) {
	form := subject(b, "beans-pot.yaml").Form
	var trials []Trial
	for _, name := range []string{"a1", "a2"} {
		data, err := os.ReadFile("../examples/tests/boiling/stove-a/" + name + ".yaml")
		if err != nil {
			b.Fatal(err)
		}
		test, err := bench.ReadBoiling(data)
		if err != nil {
			b.Fatal(err)
		}
		run, err := bench.NewRun(test)
		if err != nil {
			b.Fatal(err)
		}
		trial, err := TrialOf(form, name, run)
		if err != nil {
			b.Fatal(err)
		}
		trials = append(trials, trial)
	}
	inputs, err := LearnableInputs(fire.Defaults(), trials, 8)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		k, err := NewCalibration(fire.Defaults(), inputs, trials, nil, 1)
		if err != nil {
			b.Fatal(err)
		}
		run(b, k, 0)
		l, err := k.Result()
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(l.RHat, "R-hat")
		b.ReportMetric(l.ESS, "draws-worth")
	}
}
