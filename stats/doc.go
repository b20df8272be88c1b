// Package stats holds the statistics of the trade: intervals, tests, sample
// sizes, the propagation of uncertainty, and sampling for quality.
//
// Test series of stoves are short and scatter much, so exact small-sample
// methods come first and normal approximations are named as such. Every random
// procedure takes a seed and gives the same answer each time.
//
// Sources stand beside each function by their key in docs/sources.bib. The
// package imports no trade package and compiles to WebAssembly.
package stats

import (
	"errors"
	"fmt"
	"math"
)

// Errors of this package. They are for programmers; the packages that use this
// one turn them into words.
var (
	ErrTooFew    = errors.New("stats: too few values")
	ErrNotFinite = errors.New("stats: a value is not finite")
	ErrUnequal   = errors.New("stats: the samples differ in length")
	ErrRange     = errors.New("stats: an argument is out of range")
)

// check reports values that no statistic can be made of.
func check(x []float64, atLeast int) error {
	if len(x) < atLeast {
		return fmt.Errorf("%w: %d of at least %d", ErrTooFew, len(x), atLeast)
	}
	for i, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%w: value %d is %g", ErrNotFinite, i+1, v)
		}
	}
	return nil
}
