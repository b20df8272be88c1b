// Package mixture plans and reads experiments with mixtures: where only the
// shares of the ingredients matter and they add up to one, so that changing one
// changes the rest.
//
// The shares are of dry mass; water and firing temperature are process
// variables beside them. Terms follow Cornell (cornell2002) and the NIST/SEMATECH
// handbook, section 5.5.4 (nistmixture).
package mixture

import (
	"errors"
	"math"
)

// Point is one mixture: shares of the ingredients that add up to one.
type Point []float64

// Errors of this package.
var (
	ErrDimension = errors.New("mixture: the points do not have the same number of ingredients, or fewer than two")
	ErrBounds    = errors.New("mixture: no mixture lies within the bounds")
	ErrTooFew    = errors.New("mixture: too few different points for the model")
	ErrSingular  = errors.New("mixture: the points cannot tell the terms of the model apart")
)

// sameTolerance is how far two shares may differ and still be one: a thousandth
// of a gram in a kilogram.
const sameTolerance = 1e-6

func same(a, b Point) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > sameTolerance {
			return false
		}
	}
	return len(a) == len(b)
}

// unique drops points that were listed before.
func unique(points []Point) []Point {
	var list []Point
next:
	for _, p := range points {
		for _, q := range list {
			if same(p, q) {
				continue next
			}
		}
		list = append(list, p)
	}
	return list
}

func mean(points []Point) Point {
	c := make(Point, len(points[0]))
	for _, p := range points {
		for i, v := range p {
			c[i] += v / float64(len(points))
		}
	}
	return c
}
