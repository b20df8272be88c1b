package explore

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"stovewright/fire"
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
