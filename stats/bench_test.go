package stats

import "testing"

func BenchmarkBootstrapRatio10000(b *testing.B) {
	random := NewRand(3)
	pair := [][]float64{normals(random, 10, 700, 60), normals(random, 10, 500, 60)}
	for b.Loop() {
		if _, err := Bootstrap(pair, func(s [][]float64) float64 { return Mean(s[1]) / Mean(s[0]) }, 10000, 0.9, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSampleSize(b *testing.B) {
	for b.Loop() {
		SampleSizeTwoSample(0.1, 0.1, 0.05, 0.8)
	}
}

func BenchmarkMannWhitneyExact(b *testing.B) {
	random := NewRand(3)
	x, y := normals(random, 15, 0, 1), normals(random, 15, 0, 1)
	for b.Loop() {
		if _, err := MannWhitney(x, y); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMonteCarlo100000(b *testing.B) {
	in := []Input{{Value: 1, U: 0.1}, {Value: 2, U: 0.1}, {Value: 3, U: 0.1, Shape: Rectangular}}
	for b.Loop() {
		if _, err := MonteCarlo(Sum, in, nil, 100000, 1); err != nil {
			b.Fatal(err)
		}
	}
}
