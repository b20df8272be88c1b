package explore

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/mat"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
	"stovewright/stove"
)

// Step is something that might be done next: a change of the stove, if any, and a
// test of what comes out.
type Step struct {
	Name string
	Form stove.Form // of the stove that would be tested
}

// Words are a step in words: one of [Steps] by the dimension it sets, any other by
// the name it was given.
func (s Step) Words() message.Text {
	id, value, ok := strings.Cut(s.Name, ": ")
	if ok && slices.Contains(ChosenKeys, id) {
		return message.T("explore.step", "dimension", message.T("stove.dim."+id), "value", value)
	}
	return message.T("explore.step-own", "name", s.Name)
}

// Promise is what a next step promises.
type Promise struct {
	Step        Step
	Information float64 // nats that one test is expected to tell of the coefficients and the bias
	Saves       float64 // expected share of wood that the change saves over the stove of today
	Surely      float64 // chance that it saves wood at all, before any test, the model's bias reckoned in
	Gain        float64 // expected share of wood saved by keeping the better of the two after the test
	Tests       int     // of each stove, to show the expected saving above the scatter; 0 where there is none to show
	Power       float64 // chance that as many tests as asked show it
	ShortOfAir  float64 // chance that it has no air to spare (fire.AirCaution), or chokes
	Repeat      bool    // the stove of today once more
}

// Bits is the information of a promise in bits.
func (p Promise) Bits() float64 { return p.Information / math.Ln2 }

// Outlook is what might be done next, the best first.
type Outlook struct {
	Promises []Promise
	Scatter  float64 // relative, from test to test, as believed
	Tests    int     // of each stove that were reckoned with
	Hidden   bool    // the best change would drown in the scatter: repeat the test first
}

// lookDraws is how many draws of what is believed a look ahead uses.
const lookDraws = 200

// Next weighs what to do next with what was learnt: each step is burnt with the
// same draws of the coefficients, and with what the tests say of the model's bias on
// it and on the stove of today, which is the more alike the more the two stoves are.
// Information is what a test of it is expected to tell (Lindley, key
// lindley1956measure), taken for normal logarithms; gain is the expected saving
// when, after the test, the better stove is kept. Tests is how many of each stove
// somebody is ready to do. The test of today's stove once more is always among the
// steps.
func Next(l Learnt, today stove.Form, steps []Step, tests int) (Outlook, error) {
	if len(l.Draws) < 8 || tests < 1 {
		return Outlook{}, fmt.Errorf("explore: a look ahead needs draws and a test")
	}
	all := append([]Step{{Name: "", Form: today}}, steps...)
	points := lookPoints(l)
	n := len(points)
	looks := make([]look, len(all))
	at := make([]observed, len(all))
	for i, s := range all {
		b, err := Subject{Form: s.Form, Coefficients: l.Draws[0]}.open()
		if err != nil {
			return Outlook{}, err
		}
		looks[i], at[i] = newLook(n), observed{quantity: l.woodLike(), at: placeOf(b.sized)}
		each(n, func(k int) {
			inst := b.asDrawn()
			inst.coefficients = l.Draws[points[k]]
			o := b.burn(b.sized, &inst)
			looks[i].wood[k], looks[i].air[k] = math.Log(o[Wood]), o[AirRatio]
		})
	}
	each(n, func(k int) { l.lookAtBias(looks, at, k, points[k]) })
	out := Outlook{Scatter: meanSquareRoot(l.Scatter), Tests: tests}
	for i := range all {
		p := promise(looks[0], looks[i], out.Scatter, tests)
		p.Step, p.Repeat = all[i], i == 0
		if p.Repeat { // nothing to choose between
			p.Saves, p.Gain, p.Surely, p.Power, p.Tests = 0, 0, 0, 0, 0
		}
		out.Promises = append(out.Promises, p)
	}
	out.rank()
	return out, nil
}

// look is what is believed of one stove, by draw: the logarithm of its wood with the
// model's bias in the mean, its air ratio, and the variance that the bias leaves to
// the wood and to its difference from the wood of today's stove.
type look struct{ wood, air, own, apart []float64 }

func newLook(n int) look {
	return look{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
}

// woodLike is the quantity whose bias the wood has: with the firepower given, the
// time says the same.
func (l Learnt) woodLike() Quantity {
	if slices.ContainsFunc(l.seen, func(o observed) bool { return o.quantity == ColdTime }) {
		return ColdTime
	}
	return HotTime
}

// lookAtBias adds to one look of all stoves, today's first, what a draw says of the
// bias.
func (l Learnt) lookAtBias(looks []look, at []observed, k, draw int) {
	var foretold []float64
	if len(l.seen) > 0 {
		foretold = l.foretold[draw]
	}
	mean, cov := l.seen.bias(foretold, l.Scatter[draw], l.Bias[draw], at)
	for i := range looks {
		looks[i].wood[k] += mean[i]
		looks[i].own[k] = cov.At(i, i)
		looks[i].apart[k] = cov.At(0, 0) + cov.At(i, i) - 2*cov.At(0, i)
	}
}

// lookPoints picks draws evenly.
func lookPoints(l Learnt) []int {
	n := min(lookDraws, len(l.Draws))
	list := make([]int, n)
	for k := range list {
		list[k] = k * len(l.Draws) / n
	}
	return list
}

func meanSquareRoot(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v / float64(len(x))
	}
	return math.Sqrt(sum)
}

// goodPower is the chance of showing a saving that makes a test worth doing;
// alpha the chance of a false alarm that is borne.
const (
	goodPower = 0.8
	lookAlpha = 0.1
)

// promise weighs one step against the stove of today, draw by draw.
func promise(today, then look, scatter float64, tests int) Promise {
	var saved, level, own, apart []float64
	var p Promise
	for k := range then.wood {
		if !(then.air[k] >= fire.AirCaution) {
			p.ShortOfAir += 1 / float64(len(then.wood))
		}
		if math.IsNaN(then.wood[k]) || math.IsNaN(today.wood[k]) {
			continue
		}
		saved, level = append(saved, today.wood[k]-then.wood[k]), append(level, then.wood[k])
		own, apart = append(own, then.own[k]), append(apart, then.apart[k])
	}
	if len(saved) < 2 {
		return p
	}
	mean := stats.Mean(saved)
	doubt := math.Hypot(stats.SD(saved), math.Sqrt(math.Max(stats.Mean(apart), 0)))
	noise := scatter * math.Sqrt(2/float64(tests))
	p.Saves, p.Surely = 1-math.Exp(-mean), sureOf(mean, doubt)
	p.Information = InformationOf(math.Hypot(stats.SD(level), math.Sqrt(math.Max(stats.Mean(own), 0))), scatter)
	p.Gain = 1 - math.Exp(-gainOf(mean, doubt, noise))
	p.Power = stats.PowerTwoSample(float64(max(tests, 2)), math.Abs(mean), scatter, lookAlpha)
	if size := stats.SampleSizeTwoSample(math.Abs(mean), scatter, lookAlpha, goodPower); size < 1000 {
		p.Tests = stats.Whole(size)
	}
	return p
}

// sureOf is the chance that something believed within a standard deviation is above
// zero.
func sureOf(mean, doubt float64) float64 {
	if doubt > 0 {
		return stats.NormalCDF(mean / doubt)
	}
	if mean > 0 {
		return 1
	}
	return 0
}

// InformationOf is the information in nats that one measurement with a noise tells
// of something that is believed within a standard deviation, both normal:
// ½ ln(1 + (doubt/noise)²) (lindley1956measure).
func InformationOf(doubt, noise float64) float64 {
	return math.Log1p(doubt*doubt/(noise*noise)) / 2
}

// JointInformation is the same of several measurements at once, from the
// covariance of what is believed of them: ½ ln det(I + K/noise²). NaN where K is no
// covariance.
func JointInformation(belief *mat.SymDense, noise float64) float64 {
	n := belief.SymmetricDim()
	k := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := belief.At(i, j) / (noise * noise)
			if i == j {
				v++
			}
			k.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return math.NaN()
	}
	return chol.LogDet() / 2
}

// gainOf is the expected saving of keeping the better of two stoves after tests: a
// saving believed to be normal is seen with a noise, and the change is kept where
// the mean then believed is above zero. With s the spread of that mean,
// E max(0, m) = μ Φ(μ/s) + s φ(μ/s).
func gainOf(mean, doubt, noise float64) float64 {
	s := doubt * doubt / math.Hypot(doubt, noise)
	if s == 0 {
		return math.Max(mean, 0)
	}
	x := mean / s
	return mean*stats.NormalCDF(x) + s*math.Exp(-x*x/2)/math.Sqrt(2*math.Pi)
}

// rank puts the promises in order: changes by their gain, those that are likely to
// be short of air last; and the test of today's stove first where the scatter would hide the
// best of them.
func (o *Outlook) rank() {
	worth := func(p Promise) float64 {
		if p.Repeat {
			return -0.5
		}
		if p.ShortOfAir > 0.1 {
			return -1 - p.ShortOfAir
		}
		return p.Gain
	}
	sort.SliceStable(o.Promises, func(i, j int) bool { return worth(o.Promises[i]) > worth(o.Promises[j]) })
	best := o.Promises[0]
	o.Hidden = best.Repeat || best.Power < 0.5
	if o.Hidden {
		at := slices.IndexFunc(o.Promises, func(p Promise) bool { return p.Repeat })
		repeat := o.Promises[at]
		o.Promises = slices.Insert(slices.Delete(o.Promises, at, at+1), 0, repeat)
	}
}

// Steps are single changes of a stove that a maker can make next: each dimension
// that the fire feels, a step smaller and a step larger (two millimetres, or a
// tenth of what is larger than that), as far as the stove allows.
func Steps(s Subject) ([]Step, error) {
	b, err := s.open()
	if err != nil {
		return nil, err
	}
	var list []Step
	for _, in := range ChosenInputs(b.sized, 0.5) {
		if strings.HasPrefix(in.Key, "power.") {
			continue // the cook's, not the maker's
		}
		step := math.Max(0.002, math.Round(in.Middle*100)/1000)
		for _, x := range []float64{in.Middle - step, in.Middle + step} {
			if x < in.Low || x > in.High || b.size(map[string]float64{in.Key: x}) == nil {
				continue
			}
			d := b.sized.Dimension(in.Key)
			f := s.Form
			f.Yours = map[string]string{in.Key: text(d, x) + " " + d.Value.Unit.Symbol}
			for k, v := range s.Form.Yours {
				if k != in.Key {
					f.Yours[k] = v
				}
			}
			list = append(list, Step{Name: in.Key + ": " + f.Yours[in.Key], Form: f})
		}
	}
	return list, nil
}

// Says tells what to do next in sentences.
func (o Outlook) Says() []message.Text {
	var list []message.Text
	scatter := quantity.Pct(o.Scatter)
	if o.Hidden {
		list = append(list, message.T("explore.next-repeat", "scatter", scatter, "tests", o.Tests))
	}
	for i, p := range o.Promises {
		if p.Repeat || i > 3 {
			continue
		}
		if p.ShortOfAir > 0.1 {
			list = append(list, message.T("explore.next-smokes", "step", p.Step.Words(), "share", quantity.Pct(p.ShortOfAir)))
			continue
		}
		list = append(list, message.T("explore.next-step", "step", p.Step.Words(), "saves", quantity.Pct(p.Saves), "sure", quantity.Pct(p.Surely), "gain", quantity.Pct(p.Gain)))
		if p.Tests > 0 {
			list = append(list, message.T("explore.next-tests", "n", p.Tests, "scatter", scatter))
		}
	}
	return list
}
