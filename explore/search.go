package explore

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"stovewright/fire"
	"stovewright/internal/num"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
	"stovewright/stove"
)

// Goal is one objective of a search; all are to be small.
type Goal string

// The goals.
const (
	LeastWood Goal = "wood"   // kg wet to the boil from cold, in the mean over the draws
	LeastTime Goal = "time"   // s to the boil from cold, in the mean over the draws
	LeastCost Goal = "cost"   // by the workshop's prices
	Steadiest Goal = "steady" // share by which wood on one of ten bad days is above the mean
)

// Name is the goal in words.
func (g Goal) Name() message.Text { return message.T("explore.goal." + string(g)) }

// Value is a value of the goal as it is shown.
func (g Goal) Value(x float64) quantity.Value {
	switch g {
	case LeastWood:
		return Wood.Value(x)
	case LeastTime:
		return BoilTime.Value(x)
	case Steadiest:
		return quantity.Pct(x)
	}
	return quantity.Value{SI: x, Unit: quantity.One, Step: 0.01}
}

// Limits are what every recommended stove keeps. Zero is no limit, except for the
// air ratio, which no search goes without.
type Limits struct {
	AirRatio   float64 // least air ratio, at least fire.SmokeLimit
	Confidence float64 // share of all draws that must keep it, as skin and time
	Skin       float64 // K
	Time       float64 // s to the boil from cold
	Height     float64 // m, of the pot's rim
	Weight     float64 // kg
	Cost       float64
}

// UsualLimits are those of the brief, and an air ratio of [fire.AirCaution] in
// nine of ten cases.
func UsualLimits(b stove.Brief) Limits {
	return Limits{AirRatio: fire.AirCaution, Confidence: 0.9, Time: b.BoilTime.Or(0), Height: b.MaxHeight.Or(0), Weight: b.MaxWeight.Or(0)}
}

// Search looks for the best stoves of a brief: dimensions and choices that keep
// the limits under everything that is uncertain, with the objectives of which none
// can be made better without making another worse. All designs meet the same
// draws. It can be stopped and gives its result at any moment.
type Search struct {
	Subject Subject
	Unsure  []Input // what is uncertain and what varies
	Draws   int
	Goals   []Goal
	Limits  Limits
	Prices  Prices
	Evolution

	once  sync.Once
	base  *base
	sobol *num.Sobol
	err   error
}

// searched are the dimensions that a search may set; what else there is follows
// from them by the rules.
var searched = []string{"power.fire", "chamber.width", "mouth.height", "brick.courses", "brick.thickness", "fill.least",
	"gap.throat", "gap.edge", "skirt.gap", "skirt.rise"}

// choices are the ways of building that a search may pick, with the words of the
// brief.
var choices = []Variable{
	{Key: "choices.chamber", Options: []string{"square", "round"}},
	{Key: "choices.body", Options: []string{"container", "rolled"}},
}

// SearchVariables are what can be set on a stove: its dimensions over what the
// stove allows, within half and twice their value, in steps of the tool in the
// hand, and the ways of building that the brief leaves open. What is at hand in
// one size stays as it is.
func SearchVariables(s *stove.Stove) []Variable {
	var list []Variable
	for _, id := range searched {
		d := s.Dimension(id)
		low, high, ok := s.Range(id)
		if !ok || d.Value.SI == 0 || given(s, id) {
			continue
		}
		v := Variable{Key: id, Low: max(low, d.Value.SI/2), High: min(high, d.Value.SI*2), Step: d.Value.Step * d.Value.Unit.Factor}
		if d.Value.Unit.Dimension == quantity.Length {
			v.Step = max(v.Step, 0.001)
		}
		if v.High > v.Low {
			list = append(list, v)
		}
	}
	for _, c := range choices {
		container := len(s.Brief.Bodies) > 0
		if c.Key == "choices.chamber" && (s.Liner || s.Brief.Choices.Ring != "") || c.Key == "choices.body" && !container {
			continue
		}
		list = append(list, c)
	}
	return list
}

// given reports whether the brief fixes a dimension by what is at hand.
func given(s *stove.Stove, id string) bool {
	b := s.Brief
	switch id {
	case "brick.thickness":
		return b.Brick.Thickness.Known || s.Liner
	case "chamber.width", "brick.courses":
		return s.Liner
	}
	return false
}

// NewSearch makes a search with usual settings: all goals, cost only where there
// are prices; the errors and coefficients that matter; 16 draws. Population must
// be even. The error is a message.InputErrors for a brief that cannot be read.
func NewSearch(s Subject, limits Limits, prices Prices, population, generations int, seed uint64) (*Search, error) {
	q := &Search{Subject: s, Draws: 16, Limits: limits, Prices: prices, Goals: []Goal{LeastWood, LeastTime, LeastCost, Steadiest},
		Evolution: Evolution{Population: population, Generations: generations, Seed: seed}}
	if prices.Zero() {
		q.Goals = []Goal{LeastWood, LeastTime, Steadiest}
	}
	sized, err := s.Stove()
	if err != nil {
		return nil, err
	}
	q.Variables = SearchVariables(sized)
	q.Unsure = append(UncertainInputs(s.Coefficients), VaryingInputs(UsualPractice())...)
	q.Unsure = slices.DeleteFunc(q.Unsure, func(in Input) bool { return in.Key == "burn.power" || in.Key == "burn.fill" })
	return q, q.Open()
}

// Open reads the brief and prepares the draws.
func (q *Search) Open() error {
	q.once.Do(func() { q.err = q.open() })
	return q.err
}

func (q *Search) open() (err error) {
	if q.base, err = q.Subject.open(); err != nil {
		return err
	}
	if err := q.base.check(q.Unsure); err != nil {
		return err
	}
	if q.Limits.AirRatio < fire.SmokeLimit || q.Limits.Confidence <= 0.5 || q.Limits.Confidence >= 1 {
		return errAirLimit(q.Limits)
	}
	if q.Population < 4 || q.Population%2 != 0 || q.Draws < 1 {
		return fmt.Errorf("explore: a search needs an even population of at least 4 and a draw")
	}
	q.resume()
	q.sobol, err = num.NewSobol(len(q.Unsure), mix(q.Seed)|1)
	return err
}

// draw is one of the draws that all designs meet.
func (q *Search) draw(i int) instance {
	u := make([]float64, len(q.Unsure))
	q.sobol.At(uint32(i), u)
	n := q.base.asDrawn()
	for k, in := range q.Unsure {
		n.set(in.Key, in.At(u[k]+0.5/(1<<32)))
	}
	return n
}

// errAirLimit complains about a search that would choke.
func errAirLimit(l Limits) error {
	if l.AirRatio < fire.SmokeLimit {
		return message.InputErrors{{Field: "limits.air_ratio", Value: AirRatio.Value(l.AirRatio).String(), Reason: message.T("explore.air-limit"),
			Allowed: message.T("explore.at-least", "least", AirRatio.Value(fire.SmokeLimit)), Try: AirRatio.Value(fire.AirCaution).String()}}
	}
	return message.InputErrors{{Field: "limits.confidence", Value: quantity.Pct(l.Confidence).String(), Reason: message.T("explore.confidence"),
		Allowed: message.T("explore.between", "low", quantity.Pct(0.5), "high", quantity.Pct(1)), Try: quantity.Pct(0.9).String()}}
}

// Batch is one generation.
func (q *Search) Batch() (number, units int) {
	if q.Generation >= q.Generations {
		return q.Generation, 0
	}
	return q.Generation, q.Population
}

// Total counts designs.
func (q *Search) Total() (done, total int) {
	return q.Generation * q.Population, q.Generations * q.Population
}

// Unit judges one design of the generation.
func (q *Search) Unit(unit int) Values {
	if q.Open() != nil {
		return nil
	}
	a := q.judge(q.child(unit, q.starts()))
	return append(Values{a.violation}, a.objectives...)
}

// Take lets the generation compete.
func (q *Search) Take(results []Values) {
	children := make([]Individual, len(results))
	for i, r := range results {
		children[i] = Individual{X: q.child(i, q.starts()), Violation: r[0], Objectives: r[1:]}
	}
	q.take(children)
}

// starts are the designs that a search begins with: the stove by the rules, and
// the same with wider gaps, which burns where the first might not.
func (q *Search) starts() [][]float64 {
	drawn := make([]float64, len(q.Variables))
	for k, v := range q.Variables {
		if v.Options != nil {
			drawn[k] = float64(max(0, slices.Index(v.Options, q.choice(v.Key))))
		} else {
			drawn[k] = clamp(q.base.sized.Value(v.Key).SI, v.Low, v.High)
		}
	}
	wide := slices.Clone(drawn)
	for k, v := range q.Variables {
		if strings.HasPrefix(v.Key, "gap.") || v.Key == "skirt.gap" {
			wide[k] = clamp(1.3*drawn[k], v.Low, v.High)
		}
	}
	return [][]float64{drawn, wide}
}

// choice is the word of the brief, or what the sizing takes without one.
func (q *Search) choice(key string) string {
	c := q.base.brief.Choices
	if key == "choices.chamber" {
		if c.Chamber != "" {
			return c.Chamber
		}
		return "square"
	}
	if c.Body != "" {
		return c.Body
	}
	return "container"
}

// form is the brief of a design: it opens as a stove like any other.
func (q *Search) form(x []float64) stove.Form {
	f := q.Subject.Form
	f.Yours = maps.Clone(f.Yours)
	if f.Yours == nil {
		f.Yours = make(map[string]string)
	}
	for k, v := range q.Variables {
		switch v.Key {
		case "choices.chamber":
			f.Choices.Chamber = v.Options[int(x[k])]
		case "choices.body":
			f.Choices.Body = v.Options[int(x[k])]
		default:
			f.Yours[v.Key] = text(q.base.sized.Dimension(v.Key), x[k]) + " " + q.base.sized.Value(v.Key).Unit.Symbol
		}
	}
	return f
}

// judgement is what a design is worth.
type judgement struct {
	violation  float64
	objectives Values
	stove      *stove.Stove
	drawn      Outcome   // cold start, as drawn
	outcomes   []Outcome // by draw, time and wood brought to a cold start
	cost       float64
}

// Violations of designs that come to nothing, above all others, so that the
// search climbs out of them step by step: cannot be built, chokes as drawn, never
// boils, breaks a limit as drawn.
const (
	cannotBuild = 1000.0
	chokes      = 100.0
	neverBoils  = 50.0
	asDrawn     = 10.0
)

// judge builds a design, burns it as drawn, and then through all draws. What fails
// early costs little.
func (q *Search) judge(x []float64) (a judgement) {
	for range q.Goals {
		a.objectives = append(a.objectives, 0)
	}
	brief, err := q.form(x).Read()
	if err != nil {
		a.violation = cannotBuild
		return a
	}
	if a.stove, err = stove.Size(brief); err != nil {
		a.violation = cannotBuild
		return a
	}
	n := q.base.asDrawn()
	steady := q.base.at(Steady).burn(a.stove, &n)
	if !steady.Burns() {
		a.violation = chokes
		return a
	}
	a.cost = q.Prices.Of(a.stove)
	if a.violation = q.drawnViolation(&a, steady); a.violation > 0 {
		a.violation += asDrawn
		return a
	}
	a.drawn = q.base.at(Cold).burn(a.stove, &n)
	if math.IsNaN(a.drawn[BoilTime]) {
		a.violation = neverBoils
		return a
	}
	q.burnDraws(&a, steady)
	a.violation = q.drawsViolation(&a)
	q.value(&a)
	return a
}

// at is the base at another depth.
func (b *base) at(d Depth) *base {
	other := *b
	other.Depth = d
	return &other
}

// over is by what share a value is above a limit; 0 below it or without one.
func over(value, limit float64) float64 {
	if limit == 0 || value <= limit {
		return 0
	}
	return value/limit - 1
}

// drawnViolation is that of a design as drawn: height, weight, cost, a least air
// ratio, and every warning that the stove by the rules does not have.
func (q *Search) drawnViolation(a *judgement, o Outcome) float64 {
	l, s := q.Limits, a.stove
	v := over(s.RimLevel(), l.Height) + over(s.Mass, l.Weight) + over(a.cost, l.Cost) + over(o[Skin]-zeroC, l.Skin-zeroC)
	v += math.Max(0, 1-o[AirRatio]/l.AirRatio)
	for _, c := range s.Checks {
		if c.Level == stove.Warning && !q.base.warns(c.ID) {
			v++
		}
	}
	return v
}

const zeroC = 273.15

// warns reports whether the stove by the rules has a warning already.
func (b *base) warns(id string) bool {
	return slices.ContainsFunc(b.sized.Checks, func(c stove.Check) bool { return c.ID == id && c.Level == stove.Warning })
}

// burnDraws burns a design through the draws on the warm stove, and brings time and
// wood to a cold start by the ratio of the two as drawn.
func (q *Search) burnDraws(a *judgement, steady Outcome) {
	warm := q.base.at(Steady)
	time, wood := a.drawn[BoilTime]/steady[BoilTime], a.drawn[Wood]/steady[Wood]
	for i := range q.Draws {
		n := q.draw(i)
		o := warm.burn(a.stove, &n)
		o[BoilTime] *= time
		o[Wood] *= wood
		a.outcomes = append(a.outcomes, o)
	}
}

// column is a metric over the draws; a stove that chokes pulls no air and never
// boils.
func (a *judgement) column(m Metric) []float64 {
	list := make([]float64, len(a.outcomes))
	for i, o := range a.outcomes {
		list[i] = o[m]
		if math.IsNaN(o[m]) {
			list[i] = math.Inf(1)
			if m == AirRatio || m == Efficiency {
				list[i] = 0
			}
		}
	}
	sort.Float64s(list)
	return list
}

// lowest is the value that a share of the draws is at least at, highest the one
// that it is at most at, of a sorted column: whole draws, nothing between them.
func lowest(sorted []float64, share float64) float64 {
	return sorted[len(sorted)-int(math.Ceil(share*float64(len(sorted))-1e-9))]
}

func highest(sorted []float64, share float64) float64 {
	return sorted[int(math.Ceil(share*float64(len(sorted))-1e-9))-1]
}

// drawsViolation is that of a design over the draws. No draw may choke, whatever
// the confidence.
func (q *Search) drawsViolation(a *judgement) float64 {
	l := q.Limits
	v := 0.0
	for _, o := range a.outcomes {
		if math.IsNaN(o[BoilTime]) {
			v += 1 / float64(len(a.outcomes))
		}
	}
	v += math.Max(0, 1-lowest(a.column(AirRatio), l.Confidence)/l.AirRatio)
	v += math.Min(1, over(highest(a.column(BoilTime), l.Confidence), l.Time))
	if l.Skin > 0 {
		v += math.Min(1, over(highest(a.column(Skin), l.Confidence)-zeroC, l.Skin-zeroC))
	}
	return v
}

// badDay is the share of days that are no worse than a bad one.
const badDay = 0.9

// value sets the objectives.
func (q *Search) value(a *judgement) {
	wood, time := a.column(Wood), a.column(BoilTime)
	mean := stats.Mean(wood)
	for i, g := range q.Goals {
		switch g {
		case LeastWood:
			a.objectives[i] = mean
		case LeastTime:
			a.objectives[i] = stats.Mean(time)
		case LeastCost:
			a.objectives[i] = a.cost
		case Steadiest:
			a.objectives[i] = highest(wood, badDay)/mean - 1
		}
		if a.violation > 0 { // not compared; kept finite for JSON
			a.objectives[i] = 0
		}
	}
}

// Design is one stove that a search found.
type Design struct {
	Form       stove.Form // opens as a stove
	Objectives Values     // as Search.Goals
	Drawn      Outcome    // cold start, as drawn
	AirRatio   float64    // that the stated share of draws is at least at
	Time       float64    // s, that the stated share of draws is at most at
	Skin       float64    // K, likewise
	Cost       float64
	Mass       float64 // kg
}

// Front are the designs found so far of which none beats another, at most so many,
// those spread widest, in the order of the first goal.
func (q *Search) Front(most int) ([]Design, error) {
	if err := q.Open(); err != nil {
		return nil, err
	}
	picked := thin(q.Archive, most)
	list := make([]Design, len(picked))
	each(len(picked), func(i int) { list[i] = q.design(picked[i]) })
	sort.SliceStable(list, func(i, j int) bool { return list[i].Objectives[0] < list[j].Objectives[0] })
	return list, nil
}

func (q *Search) design(p Individual) Design {
	a := q.judge(p.X)
	return Design{Form: q.form(p.X), Objectives: p.Objectives, Drawn: a.drawn, Cost: a.cost, Mass: a.stove.Mass,
		AirRatio: lowest(a.column(AirRatio), q.Limits.Confidence), Time: highest(a.column(BoilTime), q.Limits.Confidence),
		Skin: highest(a.column(Skin), q.Limits.Confidence)}
}

// thin drops the most crowded of a set until so many are left.
func thin(all []Individual, most int) []Individual {
	left := slices.Clone(all)
	for len(left) > max(most, 1) {
		index := make([]int, len(left))
		for i := range index {
			index[i] = i
		}
		crowd(left, index)
		sort.SliceStable(left, func(i, j int) bool { return left[i].crowding > left[j].crowding })
		left = left[:max(most, len(left)*9/10)] // a tenth at a time: neighbours move apart
	}
	return left
}

// Recommend is the design nearest to having every goal at its best, each goal
// taken over its range in the front; -1 for an empty front.
func Recommend(front []Design) int {
	best, at := math.Inf(1), -1
	if len(front) == 0 {
		return at
	}
	low, high := slices.Clone(front[0].Objectives), slices.Clone(front[0].Objectives)
	for _, d := range front {
		for k, x := range d.Objectives {
			low[k], high[k] = math.Min(low[k], x), math.Max(high[k], x)
		}
	}
	for i, d := range front {
		far := 0.0
		for k, x := range d.Objectives {
			if high[k] > low[k] {
				far += math.Pow((x-low[k])/(high[k]-low[k]), 2)
			}
		}
		if far < best {
			best, at = far, i
		}
	}
	return at
}

// Says tells a design in sentences.
func (d Design) Says(q *Search) []message.Text {
	share := quantity.Pct(q.Limits.Confidence)
	list := []message.Text{message.T("explore.design", "wood", Wood.Value(d.Drawn[Wood]), "time", BoilTime.Value(d.Drawn[BoilTime]), "efficiency", Efficiency.Value(d.Drawn[Efficiency])),
		message.T("explore.design-air", "share", share, "air", AirRatio.Value(d.AirRatio), "limit", AirRatio.Value(q.Limits.AirRatio)),
		message.T("explore.design-bounds", "share", share, "time", BoilTime.Value(d.Time), "skin", Skin.Value(d.Skin))}
	return append(list, message.T("explore.computed"))
}
