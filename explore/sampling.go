package explore

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Sampling draws from a posterior over parameters z that are independent standard
// normal before the data. It begins with draws of the prior and lets the data in by
// steps, each so large that half of the points keep their weight, with resampling
// and Metropolis moves in between (sequential Monte Carlo: Del Moral, Doucet and
// Jasra, key delmoral2006sequential). With all data in, the moves are frozen and
// each of some points is a Markov chain of its own, which is what is kept; so that
// the usual diagnostics hold.
//
// A move wanders far on a stand-in of the model that costs nothing, and asks the
// model itself only where it comes out; what it accepts there leaves the posterior
// of the model as it is, however poor the stand-in (delayed acceptance: Christen and
// Fox, key christen2005delayed).
type Sampling struct {
	Dims   int
	Points int // while data are let in
	Chains int // of them, those that go on when all data are in; 0 for all
	Sweeps int // draws kept of each chain
	Moves  int // moves from one to the next
	Seed   uint64
	// Patience is for how many times as many sweeps again the chains go on while they
	// have not settled.
	Patience int

	Stage   int      // batches done
	Heat    float64  // of the likelihood that is let in, 0 to 1
	Outputs int      // of the model
	At      []Values // points: parameters, then outputs of the model there
	LogL    Values
	Mean    Values     // of the points' parameters when they were last measured
	Factor  Values     // Cholesky factor of their covariance, widened, by rows
	Known   []Values   // points where the model was asked last
	StandIn []Values   // of the model, by output; see standIn
	Warm    int        // stage at which the last of the data were let in
	Kept    [][]Values // points by sweep
	Settled bool       // found when the sweeps were done, or later
}

// target is a posterior to be drawn from: a model that is costly, and the logarithm
// of the likelihood of what it says, which is cheap. The model says NaN where it has
// no answer.
type target struct {
	model func(z []float64) []float64
	logL  func(z, outputs []float64) float64
}

// Settings of the sampler.
const (
	firstDraws   = 4    // draws of the prior for each chain
	keepWeight   = 0.5  // share of points that a step must leave weight
	wider        = 1.2  // by which the reference of the moves spreads more than the points
	wandering    = 100  // steps on the stand-in for one of the model
	walkShare    = 0.1  // of the moves ask the model at once, in case the stand-in is poor
	walkScale    = 2.38 // of those, best for a normal target (Gelman, Roberts and Gilks, key gelman1996efficient)
	sweepsAtOnce = 4    // that a unit moves a chain on: enough to be worth a unit
	burnIn       = 4    // sweeps after the last step that are not kept; the stand-in still learns
	leastLogL    = -1e9 // where the model has no answer
	mostStages   = 200  // of letting the data in
)

// batch is the number of units of the next batch.
func (s *Sampling) batch() int {
	switch {
	case len(s.Kept) >= s.goal():
		return 0
	case s.frozen():
		return s.goOn()
	}
	return s.Points
}

// goal is how many sweeps are to be kept, as far as is known: a quarter more is asked
// for at a time where the chains have not settled.
func (s *Sampling) goal() int {
	more := max(1, s.Sweeps/4)
	goal := s.Sweeps
	for !s.Settled && goal <= len(s.Kept) && goal+more <= (1+s.Patience)*s.Sweeps {
		goal += more
	}
	return goal
}

// settled reports whether all parameters keep the limits of the diagnostics.
func (s *Sampling) settled() bool {
	for k := range s.Dims {
		if m := Mix(s.chains(k)); m.RHat > goodRHat || math.Min(m.ESS, m.Tail) < goodESS {
			return false
		}
	}
	return true
}

// goOn is how many points go on as chains.
func (s *Sampling) goOn() int {
	if s.Chains == 0 {
		return s.Points
	}
	return s.Chains
}

// total counts units, taking those already needed to let the data in.
func (s *Sampling) total() (done, total int) {
	chains := (s.goal() - len(s.Kept) + sweepsAtOnce - 1) / sweepsAtOnce * s.goOn()
	warming := s.Warm + burnIn // stages, as far as is known
	switch {
	case s.Stage == 0:
		warming++
	case s.Heat < 1:
		warming = s.Stage + burnIn
	case s.frozen():
		done = warming*s.Points + (s.Stage-warming)*s.goOn()
		return done, done + chains
	}
	return s.Stage * s.Points, warming*s.Points + chains
}

// unit computes one point of the batch at hand: some draws of the prior at first,
// then moves. The values are records of a likelihood's logarithm and its point: of
// all draws; of where the moves lead, then of all other places where the model was
// asked; and when the moves are frozen, of the sweeps to be kept.
func (s *Sampling) unit(i int, t target) Values {
	r := stream(s.Seed, uint64(s.Stage), uint64(i))
	var out Values
	record := func(point Values, l float64) { out = append(append(out, l), point...) }
	switch {
	case s.Stage == 0:
		for range firstDraws {
			z := make([]float64, s.Dims)
			for k := range z {
				z[k] = r.NormFloat64()
			}
			record(t.at(z))
		}
	case s.frozen():
		point, l := s.At[i], s.LogL[i]
		for range min(sweepsAtOnce, s.goal()-len(s.Kept)) {
			point, l = s.move(r, point, l, t, nil)
			record(point, l)
		}
	default:
		var asked Values
		record(s.move(r, s.At[i], s.LogL[i], t, func(point Values, l float64) { asked = append(append(asked, l), point...) }))
		out = append(out, asked...)
	}
	return out
}

// frozen reports whether the moves are those of the chains that are kept.
func (s *Sampling) frozen() bool { return s.Heat == 1 && s.Stage >= s.Warm+burnIn }

// at asks the model at a point.
func (t target) at(z []float64) (point Values, logL float64) {
	y := t.model(z)
	return append(append(make(Values, 0, len(z)+len(y)), z...), y...), finite(t.logL(z, y))
}

// finite puts a number in place of none.
func finite(l float64) float64 {
	if math.IsNaN(l) || l < leastLogL {
		return leastLogL
	}
	return l
}

// move makes some moves from a point, each to where the model was asked anew, and
// tells asked of all of those, where not nil.
func (s *Sampling) move(r *rand.Rand, point Values, l float64, t target, asked func(Values, float64)) (Values, float64) {
	for range s.Moves {
		z, change := s.propose(r, point[:s.Dims], t)
		trial, now := t.at(z)
		if asked != nil {
			asked(trial, now)
		}
		if math.Log(r.Float64()) < s.Heat*(now-l)+change {
			point, l = trial, now
		}
	}
	return point, l
}

// propose wanders from a point; change is what the way there owes beside the
// likelihood of the model.
func (s *Sampling) propose(r *rand.Rand, z []float64, t target) (trial []float64, change float64) {
	x := s.whiten(z)
	e := make([]float64, s.Dims)
	if r.Float64() < walkShare {
		for k := range x {
			e[k] = x[k] + walkScale/math.Sqrt(float64(s.Dims))*r.NormFloat64()
		}
		trial = s.unwhiten(e)
		return trial, (squared(z) - squared(trial)) / 2
	}
	guess := func(x, z []float64) float64 { return s.Heat * finite(t.logL(z, standIn(s.StandIn, x))) }
	trial = append([]float64(nil), z...)
	began := guess(x, trial)
	now := began
	for range wandering {
		// part of the point drawn anew, keeping the rest: reversible for the normal
		// distribution of all points (Cotter and others, key cotter2013mcmc)
		anew := r.Float64()
		for k := range e {
			e[k] = math.Sqrt(1-anew*anew)*x[k] + anew*r.NormFloat64()
		}
		there := s.unwhiten(e)
		then := guess(e, there)
		if math.Log(r.Float64()) < then-now+(squared(trial)-squared(there)+squared(e)-squared(x))/2 {
			trial, now = there, then
			x, e = e, x
		}
	}
	return trial, began - now
}

func squared(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return sum
}

// whiten is a point in standard deviations of all points, from their mean.
func (s *Sampling) whiten(z []float64) []float64 {
	x := make([]float64, s.Dims)
	for k := range x {
		x[k] = z[k] - s.Mean[k]
		for j := 0; j < k; j++ {
			x[k] -= s.Factor[k*s.Dims+j] * x[j]
		}
		x[k] /= s.Factor[k*s.Dims+k]
	}
	return x
}

// unwhiten is the inverse of whiten.
func (s *Sampling) unwhiten(x []float64) []float64 {
	z := make([]float64, s.Dims)
	for k := range z {
		z[k] = s.Mean[k]
		for j := 0; j <= k; j++ {
			z[k] += s.Factor[k*s.Dims+j] * x[j]
		}
	}
	return z
}

// take takes the points of a batch: it keeps them where the moves were frozen, else
// learns of them and lets more data in.
func (s *Sampling) take(results []Values) {
	first, frozen := s.Stage == 0, s.frozen()
	s.Stage++
	if frozen {
		s.keep(results)
		return
	}
	if first {
		s.Outputs = len(results[0])/firstDraws - 1 - s.Dims
	}
	s.At, s.LogL = nil, nil
	for _, v := range results {
		for i := 0; len(v) > 0; i++ {
			var l float64
			var point Values
			l, point, v = s.record(v)
			if i == 0 || first {
				s.At, s.LogL = append(s.At, point), append(s.LogL, l)
			}
			if i > 0 || first {
				s.Known = append(s.Known, point)
			}
		}
	}
	if most := mostKnown(s.Dims); len(s.Known) > most {
		s.Known = s.Known[len(s.Known)-most:]
	}
	if s.Heat < 1 {
		s.warm()
	}
	s.measure()
	s.StandIn = s.fitStandIn()
	if s.frozen() {
		s.freeze()
	}
}

// record splits the first record off the values of a unit.
func (s *Sampling) record(v Values) (l float64, point, rest Values) {
	width := 1 + s.Dims + s.Outputs
	return v[0], v[1:width:width], v[width:]
}

// keep keeps the sweeps of all chains.
func (s *Sampling) keep(results []Values) {
	last, rest := s.goal(), slices.Clone(results)
	for len(rest[0]) > 0 {
		s.At, s.LogL = make([]Values, len(rest)), make(Values, len(rest))
		for i := range rest {
			s.LogL[i], s.At[i], rest[i] = s.record(rest[i])
		}
		s.Kept = append(s.Kept, s.At)
	}
	s.Settled = len(s.Kept) == last && s.settled()
}

// freeze leaves the points that go on, and forgets what the stand-in learnt from.
func (s *Sampling) freeze() {
	s.Known = nil
	at, logL := s.At, s.LogL
	s.At, s.LogL = nil, nil
	for i := range s.goOn() {
		from := i * len(at) / s.goOn()
		s.At, s.LogL = append(s.At, at[from]), append(s.LogL, logL[from])
	}
}

// warm lets more of the data in and draws the points anew by their weights.
func (s *Sampling) warm() {
	step := s.heatStep()
	weights := s.weights(step)
	s.Heat += step
	if 1-s.Heat < 1e-9 || s.Stage > mostStages {
		s.Heat = 1
	}
	s.resample(weights)
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
	n := s.Points
	start := stream(s.Seed, uint64(s.Stage), 1<<40).Float64()
	at, logL := make([]Values, n), make(Values, n)
	k, sum := 0, weights[0]
	for i := range n {
		for sum < (float64(i)+start)/float64(n) && k < len(weights)-1 {
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
	if s.Dims < 1 || s.Points < 8 || s.Sweeps < 4 || s.Moves < 1 || s.Chains < 0 || s.Chains > s.Points {
		return fmt.Errorf("explore: sampling needs a parameter, 8 points, 4 sweeps, a move, and no more chains than points")
	}
	return nil
}

// Sample runs a sampler with a likelihood to its end, and returns the chains of
// every parameter. For small models; a [Calibration] is a study.
func (s *Sampling) Sample(logL func(z []float64) float64) error {
	if err := s.check(); err != nil {
		return err
	}
	t := target{func(z []float64) []float64 { return []float64{logL(z)} }, func(_, y []float64) float64 { return y[0] }}
	for s.batch() > 0 {
		results := make([]Values, s.batch())
		for i := range results {
			results[i] = s.unit(i, t)
		}
		s.take(results)
	}
	return nil
}

// chains are the kept draws of one parameter, by chain.
func (s *Sampling) chains(k int) [][]float64 {
	list := make([][]float64, s.goOn())
	for i := range list {
		for _, sweep := range s.Kept {
			list[i] = append(list[i], sweep[i][k])
		}
	}
	return list
}

// draws are all kept points, sweep after sweep: parameters, then outputs.
func (s *Sampling) draws() []Values {
	var list []Values
	for _, sweep := range s.Kept {
		list = append(list, sweep...)
	}
	return list
}
