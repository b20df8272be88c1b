package explore

import (
	"math"
	"os"
	"path/filepath"
	"testing"

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
	e := evidence{{ColdTime, "a", 0.1, 0.03}, {ColdTime, "b", -0.05, 0.04}}
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
	mean, sd := e.next([]float64{0.02, 0.01}, scatter, bias, observed{ColdTime, "c", 0, 0})
	if math.Abs(mean-wantMean) > 1e-12 || math.Abs(sd*sd-wantVar) > 1e-12 {
		t.Errorf("%v ± %v, want %v, variance %v", mean, sd, wantMean, wantVar)
	}
	if mean, _ := e.next([]float64{0.02, 0.01}, scatter, bias, observed{HotTime, "a", 0, 0}); mean != 0 {
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
			return observed{ColdTime, name, model(truth, stove) + common + own + math.Hypot(scatter, 0.03)*r.NormFloat64(), 0.03}
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
