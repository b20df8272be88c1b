package explore

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"stovewright/fire"
	"stovewright/stats"
)

// TestInformation holds the closed form against the definition: the mutual
// information of a normal belief and its noisy measurement, by random draws of
// ln p(y|x) - ln p(y).
func TestInformation(t *testing.T) {
	const doubt, noise, n = 0.3, 0.2, 200000
	r := stream(8)
	density := func(x, sd float64) float64 { return -x*x/(2*sd*sd) - math.Log(sd) }
	sum, squares := 0.0, 0.0
	for range n {
		x := doubt * r.NormFloat64()
		y := x + noise*r.NormFloat64()
		d := density(y-x, noise) - density(y, math.Hypot(doubt, noise))
		sum += d
		squares += d * d
	}
	mean := sum / n
	se := math.Sqrt((squares/n - mean*mean) / n)
	if got := InformationOf(doubt, noise); math.Abs(got-mean) > 4*se {
		t.Errorf("%v nats, drawn %v ± %v", got, mean, se)
	}
	apart := mat.NewSymDense(2, []float64{0.09, 0, 0, 0.04})
	if got, want := JointInformation(apart, 0.2), InformationOf(0.3, 0.2)+InformationOf(0.2, 0.2); math.Abs(got-want) > 1e-12 {
		t.Errorf("two apart tell %v, want %v", got, want)
	}
	same := mat.NewSymDense(2, []float64{0.09, 0.09, 0.09, 0.09})
	if got, want := JointInformation(same, 0.2), InformationOf(0.3, 0.2/math.Sqrt2); math.Abs(got-want) > 1e-12 {
		t.Errorf("the same twice tells %v, want %v: that of a mean of two", got, want)
	}
}

// TestInformationOfALine holds what a next test is expected to tell against the
// closed form of a linear model with normal beliefs (lindley1956measure): of
// log y = 0.3 z0 + 0.2 z1 x, a bias and a scatter, two tests are in, and a third on a
// stove like neither tells ½ ln of what its variance was before over the scatter's.
func TestInformationOfALine(t *testing.T) {
	const scatter, bias = 0.06, 0.1
	seen := evidence{{ColdTime, "a", 0.2, 0, place{0}}, {ColdTime, "b", -0.1, 0, place{0.3}}}
	next := observed{ColdTime, "c", 0, 0, place{-0.2}}
	xs := []float64{0.5, 1, -1} // of the stoves
	model := func(z []float64, x float64) float64 { return 0.3*z[0] + 0.2*z[1]*x }
	stoves := append(append(evidence(nil), seen...), next)
	cov := func(i, j int) float64 {
		v := 0.3*0.3 + 0.2*0.2*xs[i]*xs[j] + bias*bias*shared(stoves[i], stoves[j])
		if i == j {
			v += scatter * scatter
		}
		return v
	}
	det := cov(0, 0)*cov(1, 1) - cov(0, 1)*cov(0, 1)
	a, b := cov(2, 0), cov(2, 1)
	left := cov(2, 2) - (a*a*cov(1, 1)-2*a*b*cov(0, 1)+b*b*cov(0, 0))/det
	want := math.Log(left/(scatter*scatter)) / 2

	s := Sampling{Dims: 2, Points: 64, Sweeps: 60, Moves: 1, Seed: 8}
	foretell := func(z []float64) []float64 { return []float64{model(z, xs[0]), model(z, xs[1])} }
	if err := s.Sample(func(z []float64) float64 { return seen.logLikelihood(foretell(z), scatter, bias) }); err != nil {
		t.Fatal(err)
	}
	l := Learnt{seen: seen}
	then := newLook(len(s.draws()))
	for k, z := range s.draws() {
		l.foretold, l.Scatter, l.Bias = append(l.foretold, foretell(z)), append(l.Scatter, scatter), append(l.Bias, bias)
		then.wood[k], then.air[k] = model(z, xs[2]), 2
		l.lookAtBias([]look{then}, []observed{next}, k, k)
	}
	if got := promise(then, then, scatter, 1).Information; math.Abs(got-want) > 0.03 { // some 2500 draws
		t.Errorf("%v nats, by the closed form %v", got, want)
	}
}

// TestInformationOfTheFire holds the normal form against nested Monte Carlo on the
// fire's own model, the mean of ln p(y|c) - ln p(y) over draws of the coefficients
// and a scatter: it must come near, and never below, as of all densities of one
// variance the normal has the most entropy.
func TestInformationOfTheFire(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	b, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	const n, scatter = 600, 0.06
	inputs := UncertainInputs(s.Coefficients)
	wood := make([]float64, n)
	work(n, func(k int) {
		r := stream(31, uint64(k))
		inst := b.asDrawn()
		for _, in := range inputs {
			inst.set(in.Key, in.At(r.Float64()))
		}
		wood[k] = math.Log(b.burn(b.sized, &inst)[Wood])
	})
	sum, squares := 0.0, 0.0
	r := stream(32)
	for _, w := range wood {
		e := r.NormFloat64()
		y, density := w+scatter*e, 0.0
		for _, other := range wood {
			density += math.Exp(-(y-other)*(y-other)/(2*scatter*scatter)) / n
		}
		told := -e*e/2 - math.Log(density)
		sum += told
		squares += told * told
	}
	nested := sum / n
	se := math.Sqrt((squares/n - nested*nested) / n)
	got := InformationOf(stats.SD(wood), scatter)
	if got < nested-4*se || got > nested*1.05+4*se {
		t.Errorf("normal form %v nats, nested %v ± %v", got, nested, se)
	}
}

// TestAlike holds that a change of next to nothing is believed to do next to
// nothing, however far the model is from the stoves, and that stoves far apart have
// a bias of their own.
func TestAlike(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	at := func(gap string) observed {
		form := s.Form
		form.Yours = map[string]string{"skirt.gap": gap}
		return observed{quantity: ColdTime, at: placeOf(sized(t, Subject{Form: form}))}
	}
	apart := func(a, b observed) float64 { return 2 - 2*shared(a, b) }
	if d := apart(at("8 mm"), at("8 mm")); d != 0 {
		t.Errorf("a stove is %v from itself", d)
	}
	near, far := apart(at("8 mm"), at("8.5 mm")), apart(at("8 mm"), at("16 mm"))
	if near > 0.03 || far < 0.5 || far > 1 {
		t.Errorf("half a millimetre takes %v of the variance, twice the gap %v", near, far)
	}
}

// TestGain holds the expected gain against drawing the saving and its test.
func TestGain(t *testing.T) {
	r := stream(12)
	for _, c := range [][3]float64{{0.05, 0.1, 0.05}, {-0.05, 0.1, 0.1}, {0, 0.2, 0.01}} {
		mean, doubt, noise := c[0], c[1], c[2]
		const n = 200000
		sum, squares := 0.0, 0.0
		for range n {
			saving := mean + doubt*r.NormFloat64()
			seen := saving + noise*r.NormFloat64()
			believed := mean + doubt*doubt/(doubt*doubt+noise*noise)*(seen-mean)
			kept := 0.0
			if believed > 0 {
				kept = saving
			}
			sum += kept
			squares += kept * kept
		}
		drawn := sum / n
		se := math.Sqrt((squares/n - drawn*drawn) / n)
		if got := gainOf(mean, doubt, noise); math.Abs(got-drawn) > 4*se {
			t.Errorf("%v: gain %v, drawn %v ± %v", c, got, drawn, se)
		}
	}
}

func TestNext(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	steps, err := Steps(s)
	if err != nil || len(steps) < 6 {
		t.Fatal(len(steps), err)
	}
	learnt := func(scatter, bias float64) Learnt {
		var l Learnt
		r := stream(3)
		for range 40 {
			c := fire.Defaults()
			c[fire.LossScale] = 1 + 0.1*r.NormFloat64()
			l.Draws, l.Scatter, l.Bias = append(l.Draws, c), append(l.Scatter, scatter), append(l.Bias, bias)
		}
		return l
	}
	clear, err := Next(learnt(0.01, 0.02), s.Form, steps, 5)
	if err != nil {
		t.Fatal(err)
	}
	says(t, clear.Says()...)
	if clear.Hidden || clear.Promises[0].Repeat || clear.Promises[0].Gain <= 0 {
		t.Errorf("with tests this fine a change should be next: %+v", clear.Promises[0])
	}
	for i, p := range clear.Promises {
		if p.ShortOfAir > 0.1 && i < len(clear.Promises)-1 && clear.Promises[i+1].ShortOfAir < 0.1 && !clear.Promises[i+1].Repeat {
			t.Errorf("a stove short of air stands before one that does not: %+v", p)
		}
	}
	hidden, err := Next(learnt(0.5, 0.02), s.Form, steps, 2)
	if err != nil {
		t.Fatal(err)
	}
	says(t, hidden.Says()...)
	if !hidden.Hidden || !hidden.Promises[0].Repeat {
		t.Errorf("tests that scatter by half show nothing: %+v", hidden.Promises[0])
	}
}
