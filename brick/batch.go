package brick

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"stovewright/message"
)

// Yield is the share of bricks that survives each step, 0 to 1.
type Yield struct {
	Mould, Dry, Fire, Check float64
}

// UsualYield is common practice for a new workshop; replace it by a record.
var UsualYield = Yield{Mould: 0.97, Dry: 0.93, Fire: 0.90, Check: 0.95}

// Product is the share that survives all steps.
func (y Yield) Product() float64 { return y.Mould * y.Dry * y.Fire * y.Check }

// mostStarts bounds the search; a plan beyond it is a mistake of the input.
const mostStarts = 1_000_000

// StartsByMean is the number to start so that the expected number of good
// bricks reaches good: ⌈good/yield⌉. It falls short about every second time.
func StartsByMean(good int, yield float64) int {
	// a tiny slack keeps 24/0.75 from becoming 33 by rounding
	return int(math.Ceil(float64(good)/yield - 1e-9))
}

// ChanceOfEnough is P(Binomial(starts, yield) ≥ good), through the regularised
// incomplete beta function I_yield(good, starts−good+1).
func ChanceOfEnough(starts, good int, yield float64) float64 {
	switch {
	case good <= 0:
		return 1
	case starts < good:
		return 0
	case yield >= 1:
		return 1
	case yield <= 0:
		return 0
	}
	return mathext.RegIncBeta(float64(good), float64(starts-good+1), yield)
}

// Starts is the smallest number of mouldings that gives at least good bricks
// with the wanted confidence, when each survives with probability yield.
// good from 1, yield above 0 to 1, confidence from 0.5 to 0.999.
func Starts(good int, yield, confidence float64) (int, error) {
	if err := checkStarts(good, yield, confidence); err != nil {
		return 0, err
	}
	return search(good, func(n int) bool { return ChanceOfEnough(n, good, yield) >= confidence })
}

// StartsFromRecord is Starts for a yield known only from a record of survived
// out of made: the yield is uncertain itself, so the number of good bricks
// follows a beta-binomial law with the Jeffreys prior Beta(½,½). It asks for
// more than Starts, and for less as the record grows.
func StartsFromRecord(good, survived, made int, confidence float64) (int, error) {
	if made < 1 || survived < 0 || survived > made {
		return 0, message.InputErrors{{Field: "record", Value: number(float64(survived)) + "/" + number(float64(made)),
			Reason: message.T("brick.batch.record"), Try: "45/50"}}
	}
	if err := checkStarts(good, 0.5, confidence); err != nil {
		return 0, err
	}
	a, b := float64(survived)+0.5, float64(made-survived)+0.5
	return search(good, func(n int) bool { return betaBinomialTail(good, n, a, b) >= confidence })
}

func checkStarts(good int, yield, confidence float64) error {
	var bad message.InputErrors
	if good < 1 || good > mostStarts/100 {
		bad = append(bad, &message.InputError{Field: "good", Value: number(float64(good)),
			Reason: message.T("brick.batch.good"), Try: "24"})
	}
	if !(yield >= 0.01 && yield <= 1) {
		bad = append(bad, &message.InputError{Field: "yield", Value: number(yield),
			Reason: message.T("brick.batch.yield"), Try: "0.77"})
	}
	if !(confidence >= 0.5 && confidence <= 0.999) {
		bad = append(bad, &message.InputError{Field: "confidence", Value: number(confidence),
			Reason: message.T("brick.batch.confidence"), Try: "0.95"})
	}
	return bad.OrNil()
}

// search finds the smallest n ≥ low for which enough holds; enough must not
// turn false again as n grows.
func search(low int, enough func(int) bool) (int, error) {
	high := low
	for !enough(high) {
		if high > mostStarts {
			return 0, message.InputErrors{{Field: "yield", Value: "", Reason: message.T("brick.batch.hopeless"), Try: "0.77"}}
		}
		high *= 2
	}
	for low < high {
		mid := (low + high) / 2
		if enough(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low, nil
}

// betaBinomialTail is P(X ≥ k) for X beta-binomial(n, a, b).
func betaBinomialTail(k, n int, a, b float64) float64 {
	if n < k {
		return 0
	}
	logBeta := mathext.Lbeta
	base := logBeta(a, b)
	var p float64
	for x := k; x <= n; x++ {
		fx, fn := float64(x), float64(n)
		choose := -math.Log(fn+1) - logBeta(fx+1, fn-fx+1)
		p += math.Exp(choose + logBeta(fx+a, fn-fx+b) - base)
	}
	return math.Min(p, 1)
}
