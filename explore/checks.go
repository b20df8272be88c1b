package explore

import (
	"math"
	"sync"

	"stovewright/proof"
	"stovewright/stats"
)

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	return append(append(sensitivityChecks(), searchChecks()...), learningChecks()...)
}

// ishigami is the test function sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1 on (-π, π)³
// (Ishigami and Homma, key ishigami1990importance).
func ishigami(u []float64) float64 {
	x := func(i int) float64 { return math.Pi * (2*u[i] - 1) }
	return math.Sin(x(0)) + 7*math.Pow(math.Sin(x(1)), 2) + 0.1*math.Pow(x(2), 4)*math.Sin(x(0))
}

// gFactors are the factors a of the g-function in the usual example: two inputs
// matter, two a little, four not at all.
var gFactors = []float64{0, 1, 4.5, 9, 99, 99, 99, 99}

// gFunction is Sobol's g-function Π (|4u-2| + a)/(1 + a) (key
// saltelli2010variance).
func gFunction(u []float64) float64 {
	p := 1.0
	for i, a := range gFactors {
		p *= (math.Abs(4*u[i]-2) + a) / (1 + a)
	}
	return p
}

const checkRows, checkReplicates = 4096, 4

func sensitivityChecks() []proof.Check {
	var list []proof.Check
	add := func(function string, f func([]float64) float64, dims int, id, source, note string, tolerance float64, first, total []float64) {
		indices := sync.OnceValue(func() (x [2][]Index) { // once for all its entries
			x[0], x[1], _ = SobolIndices(f, dims, checkRows, checkReplicates, 1)
			return x
		})
		ours := func(k, which int) func() float64 {
			return func() float64 {
				if x := indices()[which]; x != nil {
					return x[k].Value
				}
				return math.NaN()
			}
		}
		for k := range first {
			name := string(rune('1' + k))
			list = append(list, proof.Check{ID: "explore/" + id + "-first-" + name, Quantity: "first-order Sobol index of input " + name, Inputs: function,
				Expected: first[k], Abs: tolerance, Standing: proof.Exact, Source: source, Note: note, Ours: ours(k, 0)})
			list = append(list, proof.Check{ID: "explore/" + id + "-total-" + name, Quantity: "total Sobol index of input " + name, Inputs: function,
				Expected: total[k], Abs: tolerance, Standing: proof.Exact, Source: source, Note: note, Ours: ours(k, 1)})
		}
	}
	add("sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1 on (-π, π)³", ishigami, 3, "ishigami", "ishigami1990importance",
		"by the closed form V = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2", 0.003,
		[]float64{0.313905, 0.442411, 0}, []float64{0.557589, 0.442411, 0.243684})
	add("Π (|4u-2| + a)/(1 + a), a = 0, 1, 4.5, 9, 99, 99, 99, 99", gFunction, 8, "g-function", "saltelli2010variance",
		"by the closed form V(i) = 1/(3 (1+a)²), V = Π(1+V(i)) - 1", 0.003,
		[]float64{0.716192, 0.179048, 0.023676, 0.007162}, []float64{0.787144, 0.242198, 0.034317, 0.010460})
	return list
}

// zdt are the test problems ZDT1 to ZDT3 in thirty variables (Zitzler, Deb and
// Thiele, key zitzler2000comparison): f1 = x1, f2 = g h(f1/g) with g = 1 + 9 Σ
// x/29, the front at g = 1.
func zdt(h func(f1, ratio float64) float64) func(x []float64) ([]float64, float64) {
	return func(x []float64) ([]float64, float64) {
		g := 0.0
		for _, v := range x[1:] {
			g += v
		}
		g = 1 + 9*g/float64(len(x)-1)
		return []float64{x[0], g * h(x[0], x[0]/g)}, 0
	}
}

// zdt4 is the test problem ZDT4 in ten variables, with 21⁹ local fronts: the others
// run from -5 to 5.
func zdt4(x []float64) ([]float64, float64) {
	g := 1 + 10*float64(len(x)-1)
	for _, v := range x[1:] {
		y := 10*v - 5
		g += y*y - 10*math.Cos(4*math.Pi*y)
	}
	return []float64{x[0], g * (1 - math.Sqrt(x[0]/g))}, 0
}

// zdt6 is the test problem ZDT6 in ten variables, whose designs are thin near the
// front.
func zdt6(x []float64) ([]float64, float64) {
	sum := 0.0
	for _, v := range x[1:] {
		sum += v
	}
	f := 1 - math.Exp(-4*x[0])*math.Pow(math.Sin(6*math.Pi*x[0]), 6)
	g := 1 + 9*math.Pow(sum/float64(len(x)-1), 0.25)
	return []float64{f, g * (1 - f/g*f/g)}, 0
}

// dtlz1 is the test problem DTLZ1 in three objectives and seven variables: the
// front is the triangle f1 + f2 + f3 = 1/2, behind 11⁵ - 1 local ones.
func dtlz1(x []float64) ([]float64, float64) {
	g := float64(len(x) - 2)
	for _, v := range x[2:] {
		g += (v-0.5)*(v-0.5) - math.Cos(20*math.Pi*(v-0.5))
	}
	scale := 0.5 * (1 + 100*g)
	return []float64{scale * x[0] * x[1], scale * x[0] * (1 - x[1]), scale * (1 - x[0])}, 0
}

// dtlz2 is the test problem DTLZ2 in three objectives and twelve variables (Deb,
// Thiele, Laumanns and Zitzler, key deb2002scalable): the front is an eighth of
// the unit sphere.
func dtlz2(x []float64) ([]float64, float64) {
	g := 0.0
	for _, v := range x[2:] {
		g += (v - 0.5) * (v - 0.5)
	}
	a, b := x[0]*math.Pi/2, x[1]*math.Pi/2
	return []float64{(1 + g) * math.Cos(a) * math.Cos(b), (1 + g) * math.Cos(a) * math.Sin(b), (1 + g) * math.Sin(a)}, 0
}

// unitVariables are n variables from 0 to 1.
func unitVariables(n int) []Variable {
	list := make([]Variable, n)
	for i := range list {
		list[i].High = 1
	}
	return list
}

// volumeOf is the hypervolume that a search reaches.
func volumeOf(f func(x []float64) ([]float64, float64), variables, population, generations int, reference []float64) float64 {
	e := Evolution{Variables: unitVariables(variables), Population: population, Generations: generations, Seed: 5}
	var points [][]float64
	for _, a := range e.Minimise(f) {
		points = append(points, a.Objectives)
	}
	return Hypervolume(points, reference)
}

func searchChecks() []proof.Check {
	one := zdt(func(_, r float64) float64 { return 1 - math.Sqrt(r) })
	two := zdt(func(_, r float64) float64 { return 1 - r*r })
	three := zdt(func(f, r float64) float64 { return 1 - math.Sqrt(r) - r*math.Sin(10*math.Pi*f) })
	check := func(id, inputs, source, note string, expected, tolerance float64, f func(x []float64) ([]float64, float64), variables, population, generations int, reference []float64) proof.Check {
		return proof.Check{ID: "explore/" + id, Quantity: "hypervolume of the front found", Inputs: inputs, Expected: expected, Rel: tolerance, Standing: proof.Exact,
			Source: source, Note: note,
			Ours: sync.OnceValue(func() float64 { return volumeOf(f, variables, population, generations, reference) })}
	}
	var staircase [][]float64
	for i := 1; i <= 9; i++ {
		staircase = append(staircase, []float64{float64(i) / 10, 1 - float64(i)/10})
	}
	known := func(id, inputs, note string, expected float64, points [][]float64, reference []float64) proof.Check {
		return proof.Check{ID: "explore/hypervolume-" + id, Quantity: "hypervolume of a known set", Inputs: inputs, Expected: expected, Abs: 1e-12, Standing: proof.Exact,
			Source: "zitzler1999multiobjective", Note: note, Ours: func() float64 { return Hypervolume(points, reference) }}
	}
	return []proof.Check{
		known("line", "(i/10, 1 - i/10) for i = 1 … 9, reference (1, 1)", "strips a tenth wide and i/10 high", 0.45, staircase, []float64{1, 1}),
		known("boxes", "(0, 0, 1/2) and (1/2, 1/2, 0), reference (1, 1, 1)", "two boxes less what they share: 1/2 + 1/4 - 1/8", 0.625,
			[][]float64{{0, 0, 0.5}, {0.5, 0.5, 0}}, []float64{1, 1, 1}),
		check("zdt1", "ZDT1, 30 variables, reference (1, 1)", "zitzler2000comparison", "front f2 = 1 - √f1, volume ∫√x", 2.0/3, 0.01, one, 30, 100, 250, []float64{1, 1}),
		check("zdt2", "ZDT2, 30 variables, reference (1, 1)", "zitzler2000comparison", "front f2 = 1 - f1², volume ∫x²", 1.0/3, 0.01, two, 30, 100, 250, []float64{1, 1}),
		check("zdt3", "ZDT3, 30 variables, reference (1, 1)", "zitzler2000comparison", "five pieces of f2 = 1 - √f1 - f1 sin 10πf1, volume by quadrature", zdt3Volume, 0.01, three, 30, 100, 250, []float64{1, 1}),
		check("zdt4", "ZDT4, 10 variables, reference (1, 1)", "zitzler2000comparison", "front f2 = 1 - √f1, volume ∫√x", 2.0/3, 0.01, zdt4, 10, 100, 400, []float64{1, 1}),
		check("zdt6", "ZDT6, 10 variables, reference (1, 1)", "zitzler2000comparison", "front f2 = 1 - f1² from f1 = 0.2807753, volume (1 - f1³)/3", (1-math.Pow(0.2807753191, 3))/3, 0.01, zdt6, 10, 100, 400, []float64{1, 1}),
		check("dtlz1", "DTLZ1, 3 objectives, 7 variables, reference (0.55, 0.55, 0.55)", "deb2002scalable", "the triangle f1 + f2 + f3 = 1/2, volume 0.55³ - 1/48", 0.55*0.55*0.55-1.0/48, 0.02, dtlz1, 7, 100, 400, []float64{0.55, 0.55, 0.55}),
		check("dtlz2", "DTLZ2, 3 objectives, 12 variables, reference (1.1, 1.1, 1.1)", "deb2002scalable", "an eighth of the unit sphere, volume 1.1³ - π/6", 1.331-math.Pi/6, 0.02, dtlz2, 12, 100, 300, []float64{1.1, 1.1, 1.1}),
	}
}

// zdt3Volume is the hypervolume of the front of ZDT3 up to (1, 1).
const zdt3Volume = 1.044426007

// learningChecks are those of the split of a difference, the sampler and the
// information of a test.
func learningChecks() []proof.Check {
	costs := []float64{1, 2, 3}
	runway := func(set uint) float64 {
		most := 0.0
		for i, c := range costs {
			if set>>i&1 == 1 {
				most = math.Max(most, c)
			}
		}
		return most
	}
	line := sync.OnceValue(lineSample)
	return []proof.Check{
		{ID: "explore/shapley-runway", Quantity: "part of the largest player", Inputs: "a runway of 1, 2 or 3: each piece is shared by those that need it",
			Expected: 1.0/3 + 1.0/2 + 1, Abs: 1e-12, Standing: proof.Exact, Source: "shapley1953value",
			Ours: func() float64 { split, _ := Shapley(3, runway); return split[2] }},
		{ID: "explore/posterior-mean", Quantity: "posterior mean", Inputs: "normal prior of 0 ± 1, one value 1.2 ± 0.5", Expected: 0.96, Abs: 0.03,
			Standing: proof.Exact, Note: "conjugate: 1.2/(1 + 0.25); tolerance four standard errors of some 3000 draws", Ours: func() float64 { return line()[0] }},
		{ID: "explore/posterior-sd", Quantity: "posterior standard deviation", Inputs: "normal prior of 0 ± 1, one value 1.2 ± 0.5", Expected: math.Sqrt(0.2), Abs: 0.023,
			Standing: proof.Exact, Note: "conjugate: √(1/(1 + 4)); tolerance four standard errors of some 3000 draws", Ours: func() float64 { return line()[1] }},
		{ID: "explore/information", Quantity: "information of one measurement", Inputs: "belief ± 3, noise ± 1.5", Unit: "nat", Expected: 0.5 * math.Log(5), Abs: 1e-12,
			Standing: proof.Exact, Source: "lindley1956measure", Ours: func() float64 { return InformationOf(3, 1.5) }},
	}
}

// lineSample samples a posterior that is known: mean and standard deviation.
func lineSample() [2]float64 {
	s := Sampling{Dims: 1, Points: 128, Sweeps: 40, Moves: 1, Seed: 1}
	if s.Sample(func(z []float64) float64 { return -(1.2 - z[0]) * (1.2 - z[0]) / (2 * 0.25) }) != nil {
		return [2]float64{math.NaN(), math.NaN()}
	}
	var all []float64
	for _, z := range s.draws() {
		all = append(all, z[0])
	}
	return [2]float64{stats.Mean(all), stats.SD(all)}
}
