package stats

import (
	"cmp"
	"math"
	"slices"
)

// Holm adjusts p values for many comparisons so that the chance of even one
// false alarm stays below the level (holm1979sequential).
func Holm(p []float64) []float64 {
	order := ascending(p)
	adjusted := make([]float64, len(p))
	running := 0.0
	for rank, i := range order {
		running = math.Max(running, math.Min(1, p[i]*float64(len(p)-rank)))
		adjusted[i] = running
	}
	return adjusted
}

// BenjaminiHochberg adjusts p values so that the share of false alarms among
// those raised stays below the level (benjamini1995controlling).
func BenjaminiHochberg(p []float64) []float64 {
	order := ascending(p)
	adjusted := make([]float64, len(p))
	running := 1.0
	for rank := len(order) - 1; rank >= 0; rank-- {
		i := order[rank]
		running = math.Min(running, p[i]*float64(len(p))/float64(rank+1))
		adjusted[i] = running
	}
	return adjusted
}

// ascending is the order of indices that sorts p.
func ascending(p []float64) []int {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	return order
}
