package mixture

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"stovewright/stats"
)

// Choice is a design chosen from candidates.
type Choice struct {
	Index      []int   // of the candidates, with repeats
	LogDet     float64 // ln det(XᵀX)
	Efficiency float64 // det(XᵀX/n)^(1/p), to compare designs of one model
}

// DOptimal chooses n of the candidates (repeats allowed) so that the terms of
// the model are told apart best, det(XᵀX) largest, keeping those already made:
// Fedorov's exchange (fedorov1972) from several random starts. The same seed
// gives the same choice.
func DOptimal(candidates []Point, m Model, n int, made []Point, seed uint64) (Choice, error) {
	if len(candidates) == 0 {
		return Choice{}, ErrTooFew
	}
	rows := make([][]float64, len(candidates))
	for i, p := range candidates {
		rows[i] = m.Terms(p)
	}
	terms := len(rows[0])
	if n+len(made) < terms || len(unique(append(append([]Point(nil), candidates...), made...))) < terms {
		return Choice{}, ErrTooFew
	}
	kept := mat.NewSymDense(terms, nil)
	for _, p := range made {
		kept.SymRankOne(kept, 1, mat.NewVecDense(terms, m.Terms(p)))
	}
	const starts = 10
	best := Choice{LogDet: math.Inf(-1)}
	rng := stats.NewRand(seed)
	for range starts {
		index := make([]int, n)
		for i := range index {
			index[i] = rng.IntN(len(candidates))
		}
		if logDet := exchange(rows, index, kept); logDet > best.LogDet+1e-9 {
			best = Choice{Index: index, LogDet: logDet}
		}
	}
	if math.IsInf(best.LogDet, -1) {
		return Choice{}, ErrSingular
	}
	best.Efficiency = math.Exp(best.LogDet/float64(terms)) / float64(n+len(made))
	return best, nil
}

// exchange swaps one chosen row for one candidate as long as the determinant
// grows, and returns its logarithm. A tiny ridge lets a start that cannot tell
// the terms apart grow out of it.
func exchange(rows [][]float64, index []int, kept *mat.SymDense) float64 {
	p := len(rows[0])
	const ridge = 1e-9
	information := func() *mat.SymDense {
		s := mat.NewSymDense(p, nil)
		s.CopySym(kept)
		for _, k := range index {
			s.SymRankOne(s, 1, mat.NewVecDense(p, rows[k]))
		}
		for i := 0; i < p; i++ {
			s.SetSym(i, i, s.At(i, i)+ridge)
		}
		return s
	}
	var chol mat.Cholesky
	for range 200 {
		if !chol.Factorize(information()) {
			return math.Inf(-1)
		}
		slot, candidate, gain := bestSwap(rows, index, &chol)
		if gain < 1+1e-9 {
			break
		}
		index[slot] = candidate
	}
	chol.Factorize(information())
	if chol.Cond() > 1e12 {
		return math.Inf(-1)
	}
	return chol.LogDet()
}

// bestSwap finds the exchange with the largest ratio of determinants,
// 1 + d(x) − d(xi) − d(x) d(xi) + d(x, xi)², d(a, b) = aᵀ(XᵀX)⁻¹b.
func bestSwap(rows [][]float64, index []int, chol *mat.Cholesky) (slot, candidate int, gain float64) {
	p := len(rows[0])
	solved := make([]*mat.VecDense, len(rows))
	own := make([]float64, len(rows))
	for k, r := range rows {
		solved[k] = mat.NewVecDense(p, nil)
		if err := chol.SolveVecTo(solved[k], mat.NewVecDense(p, r)); err != nil {
			continue
		}
		own[k] = dot(r, solved[k].RawVector().Data)
	}
	tried := make(map[int]bool)
	for i, out := range index {
		if tried[out] {
			continue // equal rows give equal gains
		}
		tried[out] = true
		for in := range rows {
			cross := dot(rows[in], solved[out].RawVector().Data)
			if g := 1 + own[in] - own[out] - own[in]*own[out] + cross*cross; g > gain {
				slot, candidate, gain = i, in, g
			}
		}
	}
	return slot, candidate, gain
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
