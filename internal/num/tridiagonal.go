package num

// SolveTridiagonal solves lower[i] x[i-1] + diag[i] x[i] + upper[i] x[i+1] =
// rhs[i] for each of several right-hand sides by elimination without pivoting
// (the Thomas algorithm), which is stable for the diagonally dominant systems of
// heat conduction. Each solution takes the place of its right-hand side; diag is
// overwritten. All slices have the same length; lower[0] and the last of upper
// are not used.
func SolveTridiagonal(lower, diag, upper []float64, sides ...[]float64) {
	n := len(diag)
	for i := 1; i < n; i++ {
		w := lower[i] / diag[i-1]
		diag[i] -= w * upper[i-1]
		for _, rhs := range sides {
			rhs[i] -= w * rhs[i-1]
		}
	}
	for _, rhs := range sides {
		rhs[n-1] /= diag[n-1]
		for i := n - 2; i >= 0; i-- {
			rhs[i] = (rhs[i] - upper[i]*rhs[i+1]) / diag[i]
		}
	}
}
