package stats

import (
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"stovewright/internal/outside"
)

// opinion is one case put to SciPy, and what this package says to it.
type opinion struct {
	Kind string    `json:"kind"`
	X    []float64 `json:"x,omitempty"`
	Y    []float64 `json:"y,omitempty"`
	T    float64   `json:"t"`
	DF   float64   `json:"df"`
	NCP  float64   `json:"ncp"`
	P    float64   `json:"p"`
	K    int       `json:"k"`
	N    int       `json:"n"`
	Lot  int       `json:"lot"`
	Bad  int       `json:"bad"`
	ours []float64
	rel  float64
}

func TestSecondOpinion(t *testing.T) {
	python := outside.Python(t, "scipy.stats")
	random := NewRand(20)
	var cases []opinion
	for range 12 {
		cases = append(cases, sampleOpinions(t, random)...)
	}
	for range 20 {
		cases = append(cases, distributionOpinion(random), countOpinion(t, random))
	}
	cases = append(cases, adjustOpinion(random), bootstrapOpinion(t, random))
	for range 12 {
		cases = append(cases, planOpinions(random, func(err error) { t.Helper(); fatal(t, err) })...)
		cases = append(cases, furtherOpinions(random, func(err error) { t.Helper(); fatal(t, err) })...)
	}

	answers := outside.Answers(t, exec.Command(python, "testdata/second_opinion.py"), cases)
	for i, c := range cases {
		theirs := answers[i]
		if len(theirs) != len(c.ours) {
			t.Fatalf("case %d (%s): %d answers, want %d", i, c.Kind, len(theirs), len(c.ours))
		}
		for k, want := range theirs {
			if got := c.ours[k]; !(math.Abs(got-want) <= c.rel*math.Max(math.Abs(want), 1e-3)) {
				t.Errorf("case %d (%s), answer %d: got %.15g, SciPy %.15g (%+v)", i, c.Kind, k, got, want, c)
			}
		}
	}
}

func sampleOpinions(t *testing.T, random *rand.Rand) []opinion {
	n, m := 3+random.IntN(9), 3+random.IntN(9)
	x, y := normals(random, n, 100, 10), normals(random, m, 110, 25)
	welch, pooled := mustTest(t)(Welch(x, y)), mustTest(t)(Pooled(x, y))
	k := min(n, m)
	paired := mustTest(t)(Paired(x[:k], y[:k]))
	ci := welch.Interval(0.9)
	bf, err := BrownForsythe(x, y)
	fatal(t, err)
	fk, err := Fligner(x, y)
	fatal(t, err)
	ow, err := OneWay(x, y)
	fatal(t, err)
	mw, err := MannWhitney(x, y)
	fatal(t, err)
	sr, err := SignedRank(x[:k], y[:k])
	fatal(t, err)

	small, rest := wholes(random, 4, 4), wholes(random, 5, 4)
	tied, err := MannWhitney(small, rest)
	fatal(t, err)

	fx := normals(random, 12, 20, 5)
	fy := make([]float64, len(fx))
	design := make([][]float64, len(fx))
	for i, v := range fx {
		fy[i] = 3 - 2*v + 0.1*v*v + random.NormFloat64()
		design[i] = []float64{1, v, v * v}
	}
	fit, err := LeastSquares(design, fy)
	fatal(t, err)
	return []opinion{
		{Kind: "two", X: x, Y: y, rel: 1e-9, ours: []float64{welch.T, welch.DF, welch.P(TwoSided), ci.Low, ci.High, pooled.P(TwoSided),
			paired.P(TwoSided), bf.P, fk.P, ow.P, mw.NormalP(Less), mw.NormalP(TwoSided)}},
		{Kind: "exact", X: x, Y: y, rel: 1e-9, ours: []float64{mw.P(Greater), sr.P(Less), sr.NormalP(TwoSided)}},
		{Kind: "ties", X: small, Y: rest, rel: 1e-9, ours: []float64{tied.P(Greater)}},
		{Kind: "fit", X: fx, Y: fy, rel: 1e-6, ours: append(append([]float64{}, fit.Coefficients...), fit.SE(0), fit.SE(1), fit.SE(2))},
	}
}

func distributionOpinion(random *rand.Rand) opinion {
	c := opinion{Kind: "dist", T: 4 * random.NormFloat64(), DF: 1 + 40*random.Float64(), NCP: 2 * random.NormFloat64(), P: random.Float64(), rel: 1e-8}
	c.ours = []float64{TQuantile(c.P, c.DF), TCDF(c.T, c.DF), NoncentralTCDF(c.T, c.DF, c.NCP), NormalQuantile(c.P)}
	return c
}

func countOpinion(t *testing.T, random *rand.Rand) opinion {
	c := opinion{Kind: "count", N: 1 + random.IntN(40), rel: 1e-8}
	c.K = random.IntN(c.N)
	c.Lot = c.N + random.IntN(60)
	c.Bad = random.IntN(c.Lot)
	i, err := ClopperPearson(c.K, c.N, 0.95)
	fatal(t, err)
	plan := SinglePlan{c.N, c.K}
	c.ours = []float64{i.Low, i.High, plan.Accept(0.07), plan.AcceptLot(c.Lot, c.Bad)}
	return c
}

func adjustOpinion(random *rand.Rand) opinion {
	p := make([]float64, 9)
	for i := range p {
		p[i] = random.Float64() * random.Float64()
	}
	return opinion{Kind: "adjust", X: p, ours: BenjaminiHochberg(p), rel: 1e-12}
}

// Two bootstraps with different generators agree only within their noise: at
// 20 000 draws a limit moves by about 2 % of the standard error.
func bootstrapOpinion(t *testing.T, random *rand.Rand) opinion {
	x, y := normals(random, 12, 100, 15), normals(random, 10, 70, 20)
	r, err := Bootstrap([][]float64{x, y}, func(s [][]float64) float64 { return Mean(s[1]) / Mean(s[0]) }, 20000, 0.9, 7)
	fatal(t, err)
	return opinion{Kind: "bootstrap", X: x, Y: y, ours: []float64{r.BCa.Low, r.BCa.High, r.SE}, rel: 0.01}
}

func normals(random *rand.Rand, n int, mean, sd float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = mean + sd*random.NormFloat64()
	}
	return x
}

func wholes(random *rand.Rand, n, top int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(random.IntN(top))
	}
	return x
}

func fatal(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func mustTest(t *testing.T) func(TTest, error) TTest {
	return func(v TTest, err error) TTest { t.Helper(); fatal(t, err); return v }
}
