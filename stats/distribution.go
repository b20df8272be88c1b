package stats

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
)

// largeDF is where Student's t cannot be told from the normal in float64.
const largeDF = 1e12

// NormalCDF is the standard normal distribution function.
func NormalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// NormalQuantile is the inverse of [NormalCDF]; ±Inf at 0 and 1.
func NormalQuantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// TCDF is the distribution function of Student's t, by the regularised
// incomplete beta function: P(|T|>t) = I_x(df/2, 1/2), x = df/(df+t²)
// (abramowitz1964handbook 26.7.1).
func TCDF(t, df float64) float64 {
	if t > 0 {
		return 1 - tUpper(t, df)
	}
	return tUpper(-t, df)
}

// tUpper is P(T > t), accurate in the far tail.
func tUpper(t, df float64) float64 {
	switch {
	case math.IsNaN(t) || math.IsNaN(df) || df <= 0:
		return math.NaN()
	case t < 0:
		return 1 - tUpper(-t, df)
	case math.IsInf(t, 1):
		return 0
	case df > largeDF:
		return NormalCDF(-t)
	}
	return 0.5 * mathext.RegIncBeta(df/2, 0.5, df/(df+t*t))
}

// TQuantile is the inverse of [TCDF].
func TQuantile(p, df float64) float64 {
	switch {
	case math.IsNaN(p) || p < 0 || p > 1 || !(df > 0):
		return math.NaN()
	case df > largeDF:
		return NormalQuantile(p)
	case p == 0.5:
		return 0
	case p < 0.5:
		return -TQuantile(1-p, df)
	case p == 1:
		return math.Inf(1)
	}
	x := mathext.InvRegIncBeta(df/2, 0.5, 2*(1-p))
	t := math.Sqrt(df * (1 - x) / x)
	// two Newton steps take out the rounding of 1-x for large df
	for range 2 {
		if slope := tDensity(t, df); slope > 0 {
			t += (tUpper(t, df) - (1 - p)) / slope
		}
	}
	return t
}

func tDensity(t, df float64) float64 {
	a, _ := math.Lgamma((df + 1) / 2)
	b, _ := math.Lgamma(df / 2)
	return math.Exp(a - b - 0.5*math.Log(df*math.Pi) - (df+1)/2*math.Log1p(t*t/df))
}

// NoncentralTCDF is P(T ≤ t) for T = (Z+ncp)/√(χ²/df), the distribution that
// gives the power of a t test. It integrates
//
//	∫ Φ(t·s - ncp) f(s) ds,  s = √(χ²_df/df)
//
// by Gauss-Legendre panels over where the density f of s is not negligible,
// with panels set where Φ turns; df ≥ 1 (NaN below), absolute error below 1e-12 in the
// tests. Definition: johnson1995continuous, chapter 31.
func NoncentralTCDF(t, df, ncp float64) float64 {
	switch {
	case math.IsNaN(t) || math.IsNaN(ncp) || !(df >= 1):
		return math.NaN()
	case math.IsInf(t, 0):
		return NormalCDF(math.Copysign(math.Inf(1), t))
	case df > largeDF:
		return NormalCDF(t - ncp)
	}
	// The density of s = 1+x with its large terms cancelled by hand:
	// ln f = ln 2 + ½ln(df/4π) - δ(df/2) + df(ln(1+x)-x-x²/2) - ln s.
	logConstant := math.Ln2 + 0.5*math.Log(df/(4*math.Pi)) - stirlingError(df/2)
	integrand := func(s float64) float64 {
		if s <= 0 {
			return 0
		}
		x := s - 1
		return NormalCDF(t*s-ncp) * math.Exp(logConstant+df*(math.Log1p(x)-x-x*x/2)-math.Log(s))
	}
	// s has mean near 1 and standard deviation near √(1/2df); ten of them on
	// either side leave less than 1e-20.
	reach := 10 * math.Sqrt(1/(2*df))
	low, high := math.Max(0, 1-reach), 1+reach
	if df < 4 {
		high = 14 // P(χ²_df > 196) is nil
	}
	edges := panels(low, high, df)
	if t != 0 {
		edges = refine(edges, ncp/t, 1/math.Abs(t))
	}
	var sum float64
	for i := 1; i < len(edges); i++ {
		sum += quad.Fixed(integrand, edges[i-1], edges[i], 20, quad.Legendre{}, 0)
	}
	return math.Min(math.Max(sum, 0), 1)
}

// stirlingError is δ(a) = ln Γ(a) - ((a-½)ln a - a + ½ln 2π).
func stirlingError(a float64) float64 {
	if a < 16 {
		g, _ := math.Lgamma(a)
		return g - ((a-0.5)*math.Log(a) - a + 0.5*math.Log(2*math.Pi))
	}
	return (1/12.0 - (1/360.0-(1/1260.0-1/(1680*a*a))/(a*a))/(a*a)) / a
}

// panels lays out edges from low to high; below two degrees of freedom the
// density is singular or steep at zero and the panels shrink towards it.
func panels(low, high, df float64) []float64 {
	const count = 24
	var edges []float64
	if low == 0 && df < 8 {
		edges = append(edges, 0)
		for e := -60; e < 0; e++ {
			edges = append(edges, high/count*math.Pow(2, float64(e)))
		}
		low = high / count
	}
	for i := 0; i <= count; i++ {
		edges = append(edges, low+(high-low)*float64(i)/count)
	}
	return edges
}

// refine adds edges around a point where the integrand turns within width.
func refine(edges []float64, at, width float64) []float64 {
	low, high := edges[0], edges[len(edges)-1]
	var all []float64
	for k := -8.0; k <= 8; k += 2 {
		if e := at + k*width; e > low && e < high {
			all = append(all, e)
		}
	}
	all = append(all, edges...)
	slices.Sort(all)
	return all
}
