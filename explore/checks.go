package explore

import (
	"math"

	"stovewright/proof"
)

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	return sensitivityChecks()
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
		ours := func(k int, all bool) func() float64 {
			return func() float64 {
				one, every, err := SobolIndices(f, dims, checkRows, checkReplicates, 1)
				if err != nil {
					return math.NaN()
				}
				if all {
					return every[k].Value
				}
				return one[k].Value
			}
		}
		for k := range first {
			name := string(rune('1' + k))
			list = append(list, proof.Check{ID: "explore/" + id + "-first-" + name, Quantity: "first-order Sobol index of input " + name, Inputs: function,
				Expected: first[k], Abs: tolerance, Standing: proof.Exact, Source: source, Note: note, Ours: ours(k, false)})
			list = append(list, proof.Check{ID: "explore/" + id + "-total-" + name, Quantity: "total Sobol index of input " + name, Inputs: function,
				Expected: total[k], Abs: tolerance, Standing: proof.Exact, Source: source, Note: note, Ours: ours(k, true)})
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
