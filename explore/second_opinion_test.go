package explore

import (
	"math"
	"os/exec"
	"testing"

	"stovewright/internal/num"
	"stovewright/internal/outside"
	"stovewright/stats"
)

// opinion is a case for the second program and what this package says to it.
type opinion struct {
	asked     map[string]any
	ours      []float64
	tolerance float64 // absolute
}

func TestSecondOpinion(t *testing.T) {
	python := outside.Python(t, "scipy.stats")
	cases := []opinion{sobolOpinion(t), hypervolumeOpinion(), shapleyOpinion(), posteriorOpinion(t), fitOpinion(t), conditionalOpinion(), mixingOpinion()}
	asked := make([]map[string]any, len(cases))
	for i, c := range cases {
		asked[i] = c.asked
	}
	answers := outside.Answers(t, exec.Command(python, "../crosscheck/explore/second_opinion.py"), asked)
	for i, c := range cases {
		theirs := answers[i]
		if len(theirs) != len(c.ours) {
			t.Fatalf("%v: %d answers, want %d", c.asked["kind"], len(theirs), len(c.ours))
		}
		for k := range theirs {
			if !(math.Abs(theirs[k]-c.ours[k]) <= c.tolerance) {
				t.Errorf("%v, answer %d: ours %.10g, SciPy %.10g", c.asked["kind"], k, c.ours[k], theirs[k])
			}
		}
	}
}

func sobolOpinion(t *testing.T) opinion {
	first, total, err := SobolIndices(gFunction, len(gFactors), checkRows, checkReplicates, 5)
	if err != nil {
		t.Fatal(err)
	}
	var ours []float64
	for _, list := range [][]Index{first, total} {
		for _, i := range list {
			ours = append(ours, i.Value)
		}
	}
	return opinion{map[string]any{"kind": "sobol", "a": gFactors}, ours, 0.003}
}

func hypervolumeOpinion() opinion {
	r := stream(21)
	points := make([][]float64, 10)
	for i := range points {
		points[i] = []float64{r.Float64(), r.Float64(), r.Float64(), r.Float64()}
	}
	reference := []float64{0.9, 1, 1.1, 1}
	return opinion{map[string]any{"kind": "hypervolume", "points": points, "reference": reference}, []float64{Hypervolume(points, reference)}, 1e-12}
}

func shapleyOpinion() opinion {
	r := stream(22)
	values := make([]float64, 1<<6)
	for i := range values {
		values[i] = r.NormFloat64()
	}
	split, _ := Shapley(6, func(set uint) float64 { return values[set] })
	return opinion{map[string]any{"kind": "shapley", "players": 6, "values": values}, split, 1e-12}
}

func posteriorOpinion(t *testing.T) opinion {
	x, y := []float64{0.3, 0.8, 1.5, 2.5, 4}, []float64{0.35, 0.6, 1.1, 1.2, 1.45}
	const sd = 0.15
	s := Sampling{Dims: 2, Points: 128, Sweeps: 60, Moves: 1, Seed: 6}
	if err := s.Sample(func(z []float64) float64 {
		l := 0.0
		for i := range x {
			e := (y[i] - math.Exp(z[0]/2)*(1-math.Exp(-x[i]*math.Exp(0.3*z[1])))) / sd
			l -= e * e / 2
		}
		return l
	}); err != nil {
		t.Fatal(err)
	}
	var columns [2][]float64
	for _, z := range s.draws() {
		columns[0], columns[1] = append(columns[0], z[0]), append(columns[1], z[1])
	}
	ours := []float64{stats.Mean(columns[0]), stats.Mean(columns[1]), stats.SD(columns[0]), stats.SD(columns[1])}
	// some 2000 independent draws of a deviation below one: four standard errors
	return opinion{map[string]any{"kind": "posterior", "x": x, "y": y, "sd": sd}, ours, 4 / math.Sqrt(2000)}
}

func fitOpinion(t *testing.T) opinion {
	x, y := []float64{0.3, 0.8, 1.5, 2.5, 4}, []float64{0.35, 0.6, 1.1, 1.2, 1.45}
	r, err := num.Fit{Count: len(x), Residuals: func(r, b []float64) {
		for i := range x {
			r[i] = math.Exp(b[0])*(1-math.Exp(-math.Exp(b[1])*x[i])) - y[i]
		}
	}}.Solve([]float64{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	return opinion{map[string]any{"kind": "fit", "x": x, "y": y}, []float64{r.P[0], r.P[1], r.RSS}, 1e-6}
}

func conditionalOpinion() opinion {
	e := evidence{{ColdTime, "a", 0.1, 0.03, nil}, {ColdTime, "a", 0.02, 0.05, nil}, {ColdTime, "b", -0.05, 0.04, nil}, {LeastAir, "b", 0.2, 0.1, nil}}
	next := observed{ColdTime, "b", 0, 0.02, nil}
	const scatter, bias = 0.06, 0.12
	all := append(append(evidence(nil), e...), next)
	cov := make([][]float64, len(all))
	for i := range all {
		cov[i] = make([]float64, len(all))
		for j := range all {
			cov[i][j] = bias * bias * shared(all[i], all[j])
		}
		cov[i][i] += scatter*scatter + all[i].u*all[i].u
	}
	known := make([]float64, len(e))
	for i := range e {
		known[i] = e[i].log
	}
	mean, sd := e.next(make([]float64, len(e)), scatter, bias, next)
	return opinion{map[string]any{"kind": "conditional", "cov": cov, "known": known}, []float64{mean, sd, e.logLikelihood(make([]float64, len(e)), scatter, bias)}, 1e-10}
}

// mixingOpinion asks for the diagnostics of chains that lag, one of them wide.
func mixingOpinion() opinion {
	r := stream(23)
	chains := make([][]float64, 4)
	for c := range chains {
		x := 0.0
		for range 200 {
			x = 0.6*x + r.NormFloat64()
			chains[c] = append(chains[c], math.Exp(x)*float64(1+c/3))
		}
	}
	m := Mix(chains)
	return opinion{map[string]any{"kind": "mixing", "chains": chains}, []float64{m.RHat, m.ESS, m.Tail}, 1e-6}
}
