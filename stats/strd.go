package stats

import (
	"fmt"
	"math"

	"stovewright/proof"
)

// smLs is the construction of the sets SmLs01 to SmLs09: nine treatments about a
// middle value each, then in turn a tenth above and below it, behind a base that eats
// up leading digits.
func smLs(base float64, replicates int) [][]float64 {
	groups := make([][]float64, 9)
	for i := range groups {
		middle := 0.4
		if i > 0 {
			middle = 0.5 - 0.2*float64(i%2)
		}
		g := make([]float64, replicates)
		g[0] = base + math.Round(10*middle)/10
		for j := 1; j < replicates; j++ {
			g[j] = base + math.Round(10*middle-1+2*float64(1-j%2))/10
		}
		groups[i] = g
	}
	return groups
}

// varianceChecks hold the analysis of variance to the certified sets. The sets with
// twelve constant digits cannot be held in a double to more than four figures of
// their scatter, and are not asked for more.
func varianceChecks() []proof.Check {
	sets := []struct {
		name   string
		groups [][]float64
		f, rel float64
	}{
		{"SiRstv", reference.SiRstv, 1.18046237440255, 1e-12}, {"AtmWtAg", reference.AtmWtAg, 15.9467335677930, 1e-9},
		{"SmLs01", smLs(1, 21), 21, 1e-12}, {"SmLs02", smLs(1, 201), 201, 1e-12}, {"SmLs03", smLs(1, 2001), 2001, 1e-12},
		{"SmLs04", smLs(1e6, 21), 21, 1e-8}, {"SmLs05", smLs(1e6, 201), 201, 1e-8}, {"SmLs06", smLs(1e6, 2001), 2001, 1e-8},
		{"SmLs07", smLs(1e12, 21), 21, 1e-4}, {"SmLs08", smLs(1e12, 201), 201, 1e-4}, {"SmLs09", smLs(1e12, 2001), 2001, 1e-4},
	}
	var checks []proof.Check
	for _, s := range sets {
		checks = append(checks, certified("strd-"+s.name+"-f", "F of the analysis of variance", s.name, s.f, s.rel, func() float64 { return value(OneWay(s.groups...)).Statistic }))
	}
	return checks
}

func certified(id, quantity, set string, expected, rel float64, ours func() float64) proof.Check {
	return proof.Check{ID: "stats/" + id, Quantity: quantity, Inputs: "StRD " + set, Expected: expected, Rel: rel, Standing: proof.Published, Source: "niststrd1999summary", Ours: ours}
}

// linearSet is a certified linear regression: the estimates, their standard
// deviations and the residual standard deviation.
type linearSet struct {
	name      string
	design    [][]float64
	y         []float64
	estimates []float64
	errors    []float64 // zero for the sets without residuals
	s         float64
	rel       float64
}

// powers is the design of a polynomial.
func powers(x []float64, degree int) [][]float64 {
	design := make([][]float64, len(x))
	for i, v := range x {
		for k := range degree + 1 {
			design[i] = append(design[i], math.Pow(v, float64(k)))
		}
	}
	return design
}

// throughOrigin is the design of a line without an intercept.
func throughOrigin(x ...float64) [][]float64 {
	design := make([][]float64, len(x))
	for i, v := range x {
		design[i] = []float64{v}
	}
	return design
}

// upTo counts from one number to another.
func upTo(from, to int) []float64 {
	var x []float64
	for v := from; v <= to; v++ {
		x = append(x, float64(v))
	}
	return x
}

func linearSets() []linearSet {
	var longley [][]float64
	var employed []float64
	for _, row := range reference.Longley {
		longley, employed = append(longley, append([]float64{1}, row[1:]...)), append(employed, row[0])
	}
	load := make([]float64, len(reference.Pontius))
	for i := range load {
		load[i] = 150000 * float64(i%20+1)
	}
	ones := []float64{1, 1, 1, 1, 1, 1}
	quintic := func(k ...float64) []float64 { // of whole numbers, exact
		var y []float64
		for _, x := range upTo(0, 20) {
			y = append(y, k[0]+x*(k[1]+x*(k[2]+x*(k[3]+x*(k[4]+x*k[5])))))
		}
		return y
	}
	tens := quintic(100000, 10000, 1000, 100, 10, 1)
	for i := range tens {
		tens[i] /= 100000
	}
	scatter := func(scale float64) []float64 {
		list := []float64{2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752, 0.112324854679312}
		for i := range list {
			list[i] *= scale
		}
		return list
	}
	x := powers(upTo(0, 20), 5)
	return []linearSet{
		{"Pontius", powers(load, 2), reference.Pontius, []float64{0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14}, []float64{0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16}, 0.205177424076185e-3, 1e-10},
		{"NoInt1", throughOrigin(upTo(60, 70)...), upTo(130, 140), []float64{2.07438016528926}, []float64{0.0165289256198347}, 3.56753034006338, 1e-12},
		{"NoInt2", throughOrigin(4, 5, 6), []float64{3, 4, 4}, []float64{0.727272727272727}, []float64{0.0420827318078432}, 0.369274472937998, 1e-12},
		{"Longley", longley, employed, []float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355},
			[]float64{890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212}, 304.854073561965, 1e-8},
		{"Wampler1", x, quintic(ones...), ones, nil, 0, 1e-7},
		{"Wampler2", x, tens, []float64{1, 0.1, 0.01, 0.001, 0.0001, 0.00001}, nil, 0, 1e-9},
		{"Wampler3", x, reference.Wampler3, ones, scatter(1), 2360.14502379268, 1e-7},
		{"Wampler4", x, reference.Wampler4, ones, scatter(100), 236014.502379268, 1e-7},
		{"Wampler5", x, reference.Wampler5, ones, scatter(10000), 23601450.2379268, 1e-5},
	}
}

// linearChecks hold least squares to the certified sets.
func linearChecks() []proof.Check {
	var checks []proof.Check
	for _, set := range linearSets() {
		fit := func() Fit { return value(LeastSquares(set.design, set.y)) }
		for k, want := range set.estimates {
			checks = append(checks, certified(fmt.Sprintf("strd-%s-b%d", set.name, k), fmt.Sprintf("coefficient %d", k), set.name, want, set.rel, func() float64 { return fit().Coefficients[k] }))
			if set.errors != nil {
				checks = append(checks, certified(fmt.Sprintf("strd-%s-u%d", set.name, k), fmt.Sprintf("its standard error %d", k), set.name, set.errors[k], set.rel, func() float64 { return fit().SE(k) }))
			}
		}
		if set.s > 0 {
			checks = append(checks, certified("strd-"+set.name+"-s", "residual standard deviation", set.name, set.s, set.rel, func() float64 { return fit().S }))
		}
	}
	return checks
}
