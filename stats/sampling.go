package stats

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
)

// SinglePlan is acceptance sampling by attributes: look at N pieces, accept the
// lot when at most C are bad.
type SinglePlan struct{ N, C int }

// Accept is the chance that a lot with a share p of bad pieces is accepted,
// binomial: Σ_{k≤C} C(N,k)pᵏ(1-p)^{N-k} (nist2012handbook 6.2.3.2).
func (s SinglePlan) Accept(p float64) float64 {
	switch {
	case s.C >= s.N || p <= 0:
		return 1
	case s.C < 0 || p >= 1:
		return 0
	}
	return mathext.RegIncBeta(float64(s.N-s.C), float64(s.C+1), 1-p)
}

// AcceptLot is the chance that a lot of a given size with that many bad pieces
// is accepted, hypergeometric.
func (s SinglePlan) AcceptLot(lot, bad int) float64 {
	n := min(s.N, lot)
	var sum float64
	for k := max(0, n-(lot-bad)); k <= min(s.C, bad, n); k++ {
		sum += math.Exp(logChoose(bad, k) + logChoose(lot-bad, n-k) - logChoose(lot, n))
	}
	return math.Min(1, sum)
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// QualityAt is the share of bad pieces at which the plan accepts with
// probability pa, the inverse of [SinglePlan.Accept]; 0 < pa < 1, C < N.
func (s SinglePlan) QualityAt(pa float64) float64 {
	return 1 - mathext.InvRegIncBeta(float64(s.N-s.C), float64(s.C+1), pa)
}

// AverageOutgoing is the share of bad pieces that leaves after bad lots of a
// given size are sorted: Pa·p·(lot-N)/lot (nist2012handbook 6.2.3.2).
func (s SinglePlan) AverageOutgoing(p float64, lot int) float64 {
	return s.Accept(p) * p * float64(lot-min(s.N, lot)) / float64(lot)
}

// FindPlan is the smallest plan that accepts lots with a share p1 bad at least
// with probability 1-alpha and lots with p2 at most with probability beta.
// ok is false when none up to 10 000 pieces does, or p1 ≥ p2.
func FindPlan(p1, alpha, p2, beta float64) (plan SinglePlan, ok bool) {
	if !(p1 > 0 && p1 < p2 && p2 < 1 && alpha > 0 && beta > 0 && alpha+beta < 1) {
		return SinglePlan{}, false
	}
	for c := 0; ; c++ {
		n := c + 1
		for (SinglePlan{n, c}).Accept(p2) > beta {
			if n++; n > 10000 {
				return SinglePlan{}, false
			}
		}
		if (SinglePlan{n, c}).Accept(p1) >= 1-alpha {
			return SinglePlan{n, c}, true
		}
	}
}

// VariablesPlan is acceptance by measuring a normal quality of unknown scatter:
// accept when (mean-limit)/s ≥ K for a lower limit.
type VariablesPlan struct {
	K      float64
	NKnown float64 // pieces to measure when the scatter is known
	N      float64 // when it is estimated, NKnown·(1+K²/2)
}

// FindVariablesPlan makes the plan through two points of the operating curve:
// k = (z_α·z_p2+z_β·z_p1)/(z_α+z_β), n_σ = ((z_α+z_β)/(z_p1-z_p2))²
// (montgomery2009quality).
func FindVariablesPlan(p1, alpha, p2, beta float64) VariablesPlan {
	za, zb := -NormalQuantile(alpha), -NormalQuantile(beta)
	z1, z2 := -NormalQuantile(p1), -NormalQuantile(p2)
	v := VariablesPlan{K: (za*z2 + zb*z1) / (za + zb), NKnown: math.Pow((za+zb)/(z1-z2), 2)}
	v.N = v.NKnown * (1 + v.K*v.K/2)
	return v
}

// ChartConstants are the factors of Shewhart charts for subgroups of n.
type ChartConstants struct {
	D2, D3Sigma    float64 // mean and standard deviation of the range, in σ (d₂, d₃)
	C4             float64 // mean of s, in σ
	A2, A3         float64 // limits of means from the mean range, from the mean s
	RangeLow       float64 // D₃
	RangeHigh      float64 // D₄
	SigmaLow       float64 // B₃
	SigmaHigh      float64 // B₄
	SubgroupLength int
}

// Chart computes the constants for subgroups of 2 to 25 (montgomery2009quality,
// appendix VI); d₂ and d₃ by integrating the distribution of the range of
// normal values (tippett1925extreme). A length outside gives zeros.
func Chart(n int) ChartConstants {
	if n < 2 || n > 25 {
		return ChartConstants{}
	}
	k := float64(n)
	c := ChartConstants{SubgroupLength: n}
	c.D2, c.D3Sigma = rangeMoments(n)
	a, _ := math.Lgamma(k / 2)
	b, _ := math.Lgamma((k - 1) / 2)
	c.C4 = math.Sqrt(2/(k-1)) * math.Exp(a-b)
	c.A2 = 3 / (c.D2 * math.Sqrt(k))
	c.A3 = 3 / (c.C4 * math.Sqrt(k))
	c.RangeLow, c.RangeHigh = math.Max(0, 1-3*c.D3Sigma/c.D2), 1+3*c.D3Sigma/c.D2
	s := 3 / c.C4 * math.Sqrt(1-c.C4*c.C4)
	c.SigmaLow, c.SigmaHigh = math.Max(0, 1-s), 1+s
	return c
}

// rangeMoments gives mean and standard deviation of the range W of n standard
// normal values from P(W>w) = 1 - n∫φ(x)(Φ(x+w)-Φ(x))^{n-1}dx; the inner
// integral by the trapezoidal rule, which converges geometrically on these
// tails, the outer by Gauss-Legendre.
func rangeMoments(n int) (mean, sd float64) {
	above := func(w float64) float64 {
		const step, end = 0.1, 9.0
		var below float64
		for x := -end; x <= end; x += step {
			below += math.Exp(-x*x/2) * math.Pow(NormalCDF(x+w)-NormalCDF(x), float64(n-1))
		}
		return 1 - float64(n)*below*step/math.Sqrt(2*math.Pi)
	}
	mean = quad.Fixed(above, 0, 16, 64, quad.Legendre{}, 0)
	second := quad.Fixed(func(w float64) float64 { return 2 * w * above(w) }, 0, 16, 64, quad.Legendre{}, 0)
	return mean, math.Sqrt(second - mean*mean)
}
