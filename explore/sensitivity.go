package explore

import (
	"math"
	"sort"
	"sync"

	"stovewright/message"
	"stovewright/quantity"
)

// Local is what a small change of one input does to every metric.
type Local struct {
	Input      Input
	At         float64 // SI, value in use
	Step       float64 // SI: 1 mm of a length, a hundredth of anything else
	PerStep    Outcome // change of each metric for one step more
	PerPercent Outcome // change for one percent of the value more; NaN where the value is zero
	Up, Down   Outcome // one step up and down
}

// LocalSensitivities moves one input after another by a step up and down from the
// stove as drawn. What follows from a dimension moves with it and is rounded for
// the tool in the hand, so that a change is what a maker would get. It takes some
// milliseconds at [Steady] depth.
func LocalSensitivities(s Subject, inputs []Input) ([]Local, error) {
	b, err := s.open()
	if err != nil {
		return nil, err
	}
	if err := b.check(inputs); err != nil {
		return nil, err
	}
	list := make([]Local, len(inputs))
	each(2*len(inputs), func(k int) {
		in := inputs[k/2]
		if k%2 == 0 {
			list[k/2].Input, list[k/2].At, list[k/2].Step = in, in.Middle, stepOf(in)
			list[k/2].Up = b.moved(in, in.Middle+stepOf(in))
		} else {
			list[k/2].Down = b.moved(in, in.Middle-stepOf(in))
		}
	})
	for i := range list {
		list[i].derive()
	}
	return list, nil
}

// moved is the outcome as drawn but for one input.
func (b *base) moved(in Input, x float64) Outcome {
	n := b.asDrawn()
	n.set(in.Key, x)
	return b.burn(b.size(n.yours), &n)
}

// stepOf is a step that a maker can see: a millimetre, else a hundredth.
func stepOf(in Input) float64 {
	if in.Unit() == quantity.Millimetre {
		return 0.001
	}
	if in.Middle == 0 {
		return 0.01
	}
	return 0.01 * math.Abs(in.Middle)
}

// derive makes changes of the two outcomes.
func (l *Local) derive() {
	for m := range l.PerStep {
		l.PerStep[m] = (l.Up[m] - l.Down[m]) / 2
		l.PerPercent[m] = math.NaN()
		if l.At != 0 {
			l.PerPercent[m] = l.PerStep[m] / l.Step * 0.01 * l.At
		}
	}
}

// Moved is the step of a local sensitivity as it is shown: a length in
// millimetres, anything else in percent of what is in use.
func (l Local) Moved() quantity.Value {
	if l.Input.Unit().Dimension != quantity.Length && l.At != 0 {
		return quantity.Pct(l.Step / l.At)
	}
	return quantity.Value{SI: l.Step, Unit: l.Input.Unit(), Step: 1}
}

// Shows reports whether a step changes a metric by so much that it shows, or cannot
// be taken at all.
func (l Local) Shows(m Metric) bool { return m.Shows(l.PerStep[m]) }

// Say tells the change of one metric in a sentence.
func (l Local) Say(m Metric) message.Text {
	step := l.Moved()
	if math.IsNaN(l.PerStep[m]) {
		return message.T("explore.local.ends", "input", l.Input.Name(), "step", step)
	}
	return message.T("explore.local", "input", l.Input.Name(), "step", step, "change", m.Changes(l.PerStep[m]))
}

// Rank are the local sensitivities of a group in order of what a step of each
// does to a metric, the strongest first: within a group the steps are alike, a
// millimetre or a percent. Where a step cannot be taken at all comes last.
func Rank(list []Local, g Group, m Metric) []Local {
	var of []Local
	for _, l := range list {
		if l.Input.Group == g {
			of = append(of, l)
		}
	}
	weight := func(l Local) float64 {
		if x := math.Abs(l.PerStep[m]); !math.IsNaN(x) {
			return x
		}
		return -1
	}
	sort.SliceStable(of, func(i, j int) bool { return weight(of[i]) > weight(of[j]) })
	return of
}

// MostInputs is how many inputs a global study takes.
const MostInputs = 32

// Strongest are at most so many inputs, those whose whole range moves the metrics
// most, each metric taken by its own size; in the order of the list.
func Strongest(list []Local, most int) []Input {
	reach := make([]float64, len(list))
	order := make([]int, len(list))
	for i, l := range list {
		order[i] = i
		for m := range MetricCount {
			if base := (l.Up[m] + l.Down[m]) / 2; base != 0 && !math.IsNaN(l.PerStep[m]) {
				reach[i] += math.Abs(l.PerStep[m] / l.Step * (l.Input.High - l.Input.Low) / base)
			}
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return reach[order[i]] > reach[order[j]] })
	order = order[:min(len(order), max(0, most))]
	sort.Ints(order)
	inputs := make([]Input, len(order))
	for i, o := range order {
		inputs[i] = list[o].Input
	}
	return inputs
}

// SpreadInputs are the inputs of a global study of a stove: its dimensions within a
// tenth, as far as each can be built by itself, except those of which a step this
// way or that cannot be taken (half of all stoves would not be there); what varies;
// and of the coefficients those that move the stove most. The error is a
// message.InputErrors for a brief that cannot be read.
func SpreadInputs(s Subject, p Practice) ([]Input, error) {
	s.Depth = Steady
	b, err := s.open()
	if err != nil {
		return nil, err
	}
	chosen, unsure := ChosenInputs(b.sized, 0.1), UncertainInputs(s.Coefficients)
	local, err := LocalSensitivities(s, append(chosen, unsure...))
	if err != nil {
		return nil, err
	}
	var list []Input
	for _, l := range local[:len(chosen)] {
		if in := l.Input; !math.IsNaN(l.PerStep[AirRatio]) {
			in.Low, in.High = b.buildable(in, in.Low), b.buildable(in, in.High)
			list = append(list, in)
		}
	}
	list = append(list, VaryingInputs(p)...)
	return append(list, Strongest(local[len(chosen):], MostInputs-len(list))...), nil
}

// buildable is the value nearest to an end of a dimension's range at which the stove
// can still be built, to a sixtieth of the way.
func (b *base) buildable(in Input, end float64) float64 {
	good, bad := in.Middle, end
	if b.size(map[string]float64{in.Key: end}) != nil {
		return end
	}
	for range 6 {
		middle := (good + bad) / 2
		if b.size(map[string]float64{in.Key: middle}) != nil {
			good = middle
		} else {
			bad = middle
		}
	}
	return good
}

// Global is a study of the variance of every metric over all its inputs: Sobol
// indices of each input and of each group.
type Global struct {
	Subject    Subject
	Inputs     []Input
	Rows       int // of each replicate; best a power of two
	Replicates int // at least 2 for intervals
	Seed       uint64
	Done       []Replicate // results so far

	once sync.Once
	base *base
	err  error
}

// Replicate holds the indices of one replicate, by metric and factor: the inputs,
// then the groups that occur among them.
type Replicate struct {
	Mean, Variance Values
	First, Total   []Values
	Lost           int // rows in which a stove did not burn, left out
}

// NewGlobal makes a study. The error is a message.InputErrors for a brief that
// cannot be read, else a plain one.
func NewGlobal(s Subject, inputs []Input, rows, replicates int, seed uint64) (*Global, error) {
	g := &Global{Subject: s, Inputs: inputs, Rows: rows, Replicates: replicates, Seed: seed}
	if err := g.Open(); err != nil {
		return nil, err
	}
	_, err := newSaltelli(len(inputs), g.factors(), seed)
	return g, err
}

// Open reads and sizes the subject.
func (g *Global) Open() error {
	g.once.Do(func() {
		if g.base, g.err = g.Subject.open(); g.err == nil {
			g.err = g.base.check(g.Inputs)
		}
	})
	return g.err
}

// groups are those that occur among the inputs.
func (g *Global) groups() []Group {
	var list []Group
	for _, group := range Groups {
		for _, in := range g.Inputs {
			if in.Group == group {
				list = append(list, group)
				break
			}
		}
	}
	return list
}

// factors are the inputs and the groups, as columns.
func (g *Global) factors() [][]int {
	var list [][]int
	for i := range g.Inputs {
		list = append(list, []int{i})
	}
	for _, group := range g.groups() {
		var columns []int
		for i, in := range g.Inputs {
			if in.Group == group {
				columns = append(columns, i)
			}
		}
		list = append(list, columns)
	}
	return list
}

// rowsPerUnit makes a unit worth sending to another machine.
const rowsPerUnit = 16

// Batch is one replicate.
func (g *Global) Batch() (number, units int) {
	if len(g.Done) >= g.Replicates || g.Open() != nil {
		return len(g.Done), 0
	}
	return len(g.Done), (g.Rows + rowsPerUnit - 1) / rowsPerUnit
}

// Unit computes some rows.
func (g *Global) Unit(unit int) Values {
	if g.Open() != nil {
		return nil
	}
	d, err := newSaltelli(len(g.Inputs), g.factors(), g.Seed+uint64(len(g.Done)))
	if err != nil {
		return nil
	}
	var out Values
	for i := unit * rowsPerUnit; i < min((unit+1)*rowsPerUnit, g.Rows); i++ {
		s := sampler{base: g.base, inputs: g.Inputs}
		d.row(i, func(u []float64) {
			o := s.at(u)
			out = append(out, o[:]...)
		})
	}
	return out
}

// Take makes indices of a replicate's rows.
func (g *Global) Take(results []Values) {
	factors := len(g.factors())
	row := (2 + factors) * int(MetricCount)
	r := Replicate{}
	for m := range MetricCount {
		s := newSums(factors)
		y := make([]float64, 2+factors)
		for _, v := range results {
			for at := 0; at+row <= len(v); at += row {
				for k := range y {
					y[k] = v[at+k*int(MetricCount)+int(m)]
				}
				s.add(y)
			}
		}
		mean, variance, first, total := s.indices()
		r.Mean, r.Variance = append(r.Mean, mean), append(r.Variance, variance)
		r.First, r.Total = append(r.First, first), append(r.Total, total)
		r.Lost = max(r.Lost, s.lost)
	}
	g.Done = append(g.Done, r)
}

// Total counts units.
func (g *Global) Total() (done, total int) {
	each := (g.Rows + rowsPerUnit - 1) / rowsPerUnit
	return len(g.Done) * each, g.Replicates * each
}

// Share is what one input, or one group where Input is zero, has of the variance
// of a metric.
type Share struct {
	Input        Input
	Group        Group
	First, Total Index
}

// Spread is what a global study says of one metric.
type Spread struct {
	Metric   Metric
	Mean, SD float64 // of time and wood, those of a cold start
	Lost     float64 // share of rows left out because a stove in them did not burn
	Inputs   []Share // by total index, largest first
	Groups   []Share
}

// Result is what the study says so far, of one metric; ok is false before the
// first replicate.
func (g *Global) Result(m Metric) (Spread, bool) {
	if len(g.Done) == 0 {
		return Spread{}, false
	}
	pick := func(get func(Replicate) float64) []float64 {
		x := make([]float64, len(g.Done))
		for i, r := range g.Done {
			x[i] = get(r)
		}
		return x
	}
	out := Spread{Metric: m, Mean: replicated(pick(func(r Replicate) float64 { return r.Mean[m] })).Value,
		SD:   math.Sqrt(replicated(pick(func(r Replicate) float64 { return r.Variance[m] })).Value),
		Lost: replicated(pick(func(r Replicate) float64 { return float64(r.Lost) })).Value / float64(g.Rows)}
	if ratio := g.fromCold(m); ratio > 0 {
		out.Mean, out.SD = out.Mean*ratio, out.SD*ratio
	}
	share := func(k int) (first, total Index) {
		return replicated(pick(func(r Replicate) float64 { return r.First[m][k] })), replicated(pick(func(r Replicate) float64 { return r.Total[m][k] }))
	}
	for k, in := range g.Inputs {
		first, total := share(k)
		out.Inputs = append(out.Inputs, Share{in, in.Group, first, total})
	}
	for k, group := range g.groups() {
		first, total := share(len(g.Inputs) + k)
		out.Groups = append(out.Groups, Share{Group: group, First: first, Total: total})
	}
	sort.SliceStable(out.Inputs, func(i, j int) bool { return out.Inputs[i].Total.Value > out.Inputs[j].Total.Value })
	return out, true
}

// fromCold is by how much more of a metric a cold start takes than the steady state
// that stands for it; shares of a spread are the same of both. Zero where the water
// does not boil as drawn.
func (g *Global) fromCold(m Metric) float64 {
	if g.Open() != nil || g.base.Depth != Steady || m != BoilTime && m != Wood {
		return 1
	}
	warm, cold := g.base.starts(g.base.sized)
	if ratio := cold[m] / warm[m]; ratio > 0 {
		return ratio
	}
	return 0
}

// Name is the input or the group in words.
func (s Share) Name() message.Text {
	if s.Input.Key != "" {
		return s.Input.Name()
	}
	return s.Group.Name()
}

// Says tells a spread in sentences: whose it is, then the inputs that matter.
func (s Spread) Says() []message.Text {
	list := []message.Text{message.T("explore.spread", "metric", s.Metric.Name(), "mean", s.Metric.Value(s.Mean), "sd", s.Metric.Change(s.SD))}
	if s.Lost > 0 {
		list = append(list, message.T("explore.spread-lost", "share", quantity.Pct(s.Lost)))
	}
	for _, g := range s.Groups {
		list = append(list, message.T("explore.spread-group", "group", g.Name(), "share", quantity.Pct(g.Total.Value)))
	}
	for _, in := range s.Inputs {
		if in.Total.Value < worthSaying || in.Total.Low <= 0 {
			break
		}
		list = append(list, message.T("explore.spread-input", "input", in.Name(), "group", in.Group.Name(), "total", quantity.Pct(in.Total.Value),
			"low", quantity.Pct(math.Max(in.Total.Low, 0)), "high", quantity.Pct(in.Total.High), "first", quantity.Pct(math.Max(in.First.Value, 0))))
	}
	return list
}

// worthSaying is the share of the variance below which an input is not named.
const worthSaying = 0.01
