// Package num holds the small numerical methods that the trade packages need
// and gonum lacks: bracketed roots that allocate nothing, a tridiagonal solver,
// bounded least squares with covariance, a surface through scattered points, and a
// Sobol sequence.
//
// A method that fails returns an error; it never returns NaN in silence.
package num
