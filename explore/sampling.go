package explore

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// Sampling draws from a posterior over parameters z that are independent standard
// normal before the data; the likelihood is given to its methods. It begins with
// draws of the prior and lets the data in by steps, each so large that half of the
// points keep their weight, with resampling and Metropolis moves in between
// (sequential Monte Carlo: Del Moral, Doucet and Jasra, key delmoral2006sequential).
// With all data in, the moves are frozen and every point is a Markov chain of its
// own, which is what is kept; so that the usual diagnostics hold.
type Sampling struct {
	Dims   int
	Points int // chains in parallel
	Sweeps int // draws kept of each chain
	Moves  int // Metropolis steps from one to the next
	Seed   uint64

	Stage  int      // batches done
	Heat   float64  // of the likelihood that is let in, 0 to 1
	At     []Values // points, of Dims numbers
	LogL   Values
	Mean   Values     // of the points when the data were last let in
	Factor Values     // Cholesky factor of their covariance, widened, by rows
	Scale  float64    // share of a point that a move draws anew
	Warm   int        // stage at which the last of the data were let in
	Kept   [][]Values // by sweep and point
}

// Settings of the sampler: the share of points that a step must leave weight, the
// acceptance that moves aim at, the first share that is drawn anew, by how much
// more the moves spread than the points, and the scale of the random walk, best for
// a normal target (Gelman, Roberts and Gilks, key gelman1996efficient).
const (
	keepWeight    = 0.5
	goodAccept    = 0.4
	firstScale    = 0.8
	wider         = 1.2
	walkScale     = 2.38
	burnIn        = 2    // sweeps after the last step that are not kept
	leastLogL     = -1e9 // where the model has no answer
	mostHeatSteps = 200
)

// batch is the number of units of the next batch.
func (s *Sampling) batch() int {
	if len(s.Kept) >= s.Sweeps {
		return 0
	}
	return s.Points
}

// total counts batches, taking those already needed to let the data in.
func (s *Sampling) total() (done, total int) {
	left := s.Sweeps + burnIn - max(0, len(s.Kept))
	return s.Stage * s.Points, (s.Stage + left) * s.Points
}

// unit computes one point of the batch at hand: a draw of the prior at first, then
// some moves. The values are the likelihood's logarithm, the share accepted, and
// the point.
func (s *Sampling) unit(i int, logL func(z []float64) float64) Values {
	r := stream(s.Seed, uint64(s.Stage), uint64(i))
	if s.Stage == 0 {
		z := make([]float64, s.Dims)
		for k := range z {
			z[k] = r.NormFloat64()
		}
		return append(Values{finite(logL(z)), 0}, z...)
	}
	z, l, accepted := s.move(r, s.At[i], s.LogL[i], logL)
	return append(Values{l, accepted}, z...)
}

// finite puts a number in place of none.
func finite(l float64) float64 {
	if math.IsNaN(l) || l < leastLogL {
		return leastLogL
	}
	return l
}

// move makes some Metropolis steps by turns: three that draw part of the point
// anew from the normal distribution of all points, keeping the rest (a
// preconditioned Crank-Nicolson step about their mean: Cotter and others, key
// cotter2013mcmc), and one of a random walk, which also gets about where the
// posterior is far from normal.
func (s *Sampling) move(r *rand.Rand, z0 []float64, l float64, logL func(z []float64) float64) (z []float64, now, accepted float64) {
	z = append([]float64(nil), z0...)
	normal := s.far(z)
	for step := range s.Moves {
		trial, walk := s.propose(r, z, step%4 == 3)
		far := s.far(trial)
		t := finite(logL(trial))
		change := s.Heat * (t - l)
		for k := range z {
			change += (z[k]*z[k] - trial[k]*trial[k]) / 2
		}
		if !walk {
			change += (far - normal) / 2
		}
		if math.Log(r.Float64()) < change {
			z, l, normal = trial, t, far
			accepted += 1 / float64(s.Moves)
		}
	}
	return z, l, accepted
}

// propose makes a trial point; walk says that it is a step of the random walk.
func (s *Sampling) propose(r *rand.Rand, z []float64, walk bool) ([]float64, bool) {
	e, trial := make([]float64, s.Dims), make([]float64, s.Dims)
	for k := range e {
		e[k] = r.NormFloat64()
	}
	keep, scale := math.Sqrt(1-s.Scale*s.Scale), s.Scale
	if walk {
		keep, scale = 1, walkScale/math.Sqrt(float64(s.Dims))
	}
	for k := range trial {
		trial[k] = s.Mean[k] + keep*(z[k]-s.Mean[k])
		for j := 0; j <= k; j++ {
			trial[k] += scale * s.Factor[k*s.Dims+j] * e[j]
		}
	}
	return trial, walk
}

// far is the squared distance of a point from the mean of all, in their standard
// deviations.
func (s *Sampling) far(z []float64) float64 {
	x, sum := make([]float64, s.Dims), 0.0
	for k := range x {
		x[k] = z[k] - s.Mean[k]
		for j := 0; j < k; j++ {
			x[k] -= s.Factor[k*s.Dims+j] * x[j]
		}
		x[k] /= s.Factor[k*s.Dims+k]
		sum += x[k] * x[k]
	}
	return sum
}

// take takes the points of a batch: it keeps them where all data are in, else lets
// more in.
func (s *Sampling) take(results []Values) {
	s.At, s.LogL = make([]Values, len(results)), make(Values, len(results))
	accepted := 0.0
	for i, v := range results {
		s.LogL[i], s.At[i] = v[0], v[2:]
		accepted += v[1] / float64(len(results))
	}
	s.Stage++
	switch {
	case s.Stage == 1:
		s.Scale = firstScale
	case s.Heat < 1:
		s.Scale = clamp(s.Scale*math.Exp(accepted-goodAccept), 0.05, 0.95)
	}
	if s.Heat < 1 {
		s.warm()
		return
	}
	if s.Stage > s.Warm+burnIn {
		s.Kept = append(s.Kept, s.At)
	}
}

// warm lets more of the data in, draws the points anew by their weights and
// measures their covariance.
func (s *Sampling) warm() {
	step := s.heatStep()
	weights := s.weights(step)
	s.Heat += step
	if 1-s.Heat < 1e-9 || s.Stage > mostHeatSteps {
		s.Heat = 1
	}
	s.resample(weights)
	s.measure()
	s.Warm = s.Stage
}

// weights are those of the points for a step of the heat, summing to one.
func (s *Sampling) weights(step float64) []float64 {
	top := math.Inf(-1)
	for _, l := range s.LogL {
		top = math.Max(top, l)
	}
	w, sum := make([]float64, len(s.LogL)), 0.0
	for i, l := range s.LogL {
		w[i] = math.Exp(step * (l - top))
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// heatStep is the largest step that leaves enough points their weight.
func (s *Sampling) heatStep() float64 {
	enough := func(step float64) bool {
		squares := 0.0
		for _, w := range s.weights(step) {
			squares += w * w
		}
		return 1/squares >= keepWeight*float64(len(s.LogL))
	}
	low, high := 0.0, 1-s.Heat
	if enough(high) {
		return high
	}
	for range 60 {
		if middle := (low + high) / 2; enough(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Max(low, 1e-12)
}

// resample draws the points anew, each as often as its weight says (systematic
// resampling: Kitagawa, key kitagawa1996monte).
func (s *Sampling) resample(weights []float64) {
	n := len(weights)
	start := stream(s.Seed, uint64(s.Stage), 1<<40).Float64()
	at, logL := make([]Values, n), make(Values, n)
	k, sum := 0, weights[0]
	for i := range n {
		for sum < (float64(i)+start)/float64(n) && k < n-1 {
			k++
			sum += weights[k]
		}
		at[i], logL[i] = s.At[k], s.LogL[k]
	}
	s.At, s.LogL = at, logL
}

// measure finds the mean of the points and the Cholesky factor of their
// covariance, a little of the prior's added so that it always has one.
func (s *Sampling) measure() {
	d, n := s.Dims, float64(len(s.At))
	mean := make([]float64, d)
	for _, z := range s.At {
		for k := range mean {
			mean[k] += z[k] / n
		}
	}
	s.Mean = mean
	cov := mat.NewSymDense(d, nil)
	for i := range d {
		for j := i; j < d; j++ {
			sum := 0.0
			for _, z := range s.At {
				sum += (z[i] - mean[i]) * (z[j] - mean[j])
			}
			if i == j {
				sum += 1e-4 * n
			}
			cov.SetSym(i, j, wider*wider*sum/n)
		}
	}
	var chol mat.Cholesky
	s.Factor = make(Values, d*d)
	ok := chol.Factorize(cov)
	var lower mat.TriDense
	if ok {
		chol.LTo(&lower)
	}
	for i := range d {
		for j := 0; j <= i; j++ {
			switch {
			case ok:
				s.Factor[i*d+j] = lower.At(i, j)
			case i == j:
				s.Factor[i*d+j] = math.Sqrt(cov.At(i, i))
			}
		}
	}
}

// check reports settings that cannot work.
func (s *Sampling) check() error {
	if s.Dims < 1 || s.Points < 8 || s.Sweeps < 4 || s.Moves < 1 {
		return fmt.Errorf("explore: sampling needs a parameter, 8 points, 4 sweeps and a move")
	}
	return nil
}

// Sample runs a sampler with a likelihood to its end, and returns the chains of
// every parameter. For small models; a [Calibration] is a study.
func (s *Sampling) Sample(logL func(z []float64) float64) error {
	if err := s.check(); err != nil {
		return err
	}
	for s.batch() > 0 {
		results := make([]Values, s.batch())
		for i := range results {
			results[i] = s.unit(i, logL)
		}
		s.take(results)
	}
	return nil
}

// chains are the kept draws of one parameter, by chain.
func (s *Sampling) chains(k int) [][]float64 {
	list := make([][]float64, s.Points)
	for i := range list {
		for _, sweep := range s.Kept {
			list[i] = append(list[i], sweep[i][k])
		}
	}
	return list
}

// draws are all kept points, sweep after sweep.
func (s *Sampling) draws() []Values {
	var list []Values
	for _, sweep := range s.Kept {
		list = append(list, sweep...)
	}
	return list
}
