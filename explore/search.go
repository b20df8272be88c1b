package explore

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"stovewright/internal/num"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Goal is one objective of a search; all are to be small.
type Goal string

// The goals.
const (
	LeastWood Goal = "wood"   // kg wet to the boil from cold, in the mean over the draws
	LeastTime Goal = "time"   // s to the boil from cold, in the mean over the draws
	LeastCost Goal = "cost"   // by the workshop's prices
	Steadiest Goal = "steady" // kg by which wood on one of ten bad days is above the mean
)

// Name is the goal in words.
func (g Goal) Name() message.Text { return message.T("explore.goal." + string(g)) }

// Value is a value of the goal as it is shown.
func (g Goal) Value(x float64) quantity.Value {
	switch g {
	case LeastWood, Steadiest:
		return Wood.Value(x)
	case LeastTime:
		return BoilTime.Value(x)
	}
	return quantity.Value{SI: x, Unit: quantity.One, Step: 0.01}
}

// Search looks for the best stoves of a brief: dimensions and choices that keep
// the limits under everything that is uncertain, with the objectives of which none
// can be made better without making another worse. All designs meet the same
// draws. It can be stopped and gives its result at any moment. A part of each generation
// are designs that it foresees to be good, see foresee.
type Search struct {
	Subject Subject
	Unsure  []Input // what is uncertain and what varies
	Draws   int
	Goals   []Goal
	Limits  Limits
	Prices  Prices
	Evolution
	Lessons []Lesson // the latest last
	Held    []string // dimensions and choices that stay as they are drawn

	once   sync.Once
	base   *base
	draws  []instance // that all designs meet, the hardest first
	fresh  []instance // for those that would be recommended
	sheets kit.Sheets // of the stove by the rules
	err    error
}

// searched are the dimensions that a search may set; what else there is follows
// from them by the rules.
var searched = []string{"power.fire", "chamber.width", "mouth.height", "brick.courses", "brick.thickness", "fill.least",
	"gap.throat", "gap.edge", "skirt.gap", "skirt.rise"}

// grows is how dimensions grow with the fire, as exponents of it: the chamber's
// area with the wood it burns, and the gaps to hold that area around it. A design
// gives them as they would be at the fire of the stove by the rules, so that stoves
// in good proportion lie close together.
var grows = map[string]float64{"chamber.width": 0.5, "mouth.height": 0.5, "gap.throat": 0.5, "gap.edge": 1, "skirt.gap": 0.25}

// choices are the ways of building that a search may pick, with the words of the
// brief.
var choices = []Variable{
	{Key: "choices.chamber", Options: []string{"square", "round"}},
	{Key: "choices.body", Options: []string{"container", "rolled"}},
}

// SearchVariables are what can be set on a stove: its dimensions over what the
// stove allows, from half to twice their value and that of the rules, so that a
// dimension set amiss can be mended, in steps of the tool in the hand, and the ways of
// building that the brief leaves open. What is at hand in one size stays as it is.
func SearchVariables(s *stove.Stove) []Variable {
	var list []Variable
	for _, id := range searched {
		d := s.Dimension(id)
		low, high, ok := s.Range(id)
		if !ok || d.Value.SI == 0 || given(s, id) {
			continue
		}
		least, most := min(d.Value.SI, d.ByRule), max(d.Value.SI, d.ByRule)
		v := Variable{Key: id, Low: max(low, least/2), High: min(high, 2*most), Step: d.Value.Step * d.Value.Unit.Factor, Grows: grows[id]}
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
	b, err := s.open()
	if err != nil {
		return nil, err
	}
	q.Variables = slices.DeleteFunc(SearchVariables(b.sized), func(v Variable) bool {
		return v.Key == "choices.chamber" && s.Form.Choices.Chamber != "" || v.Key == "choices.body" && s.Form.Choices.Body != ""
	})
	q.Unsure = append(UncertainInputs(s.Coefficients), VaryingInputs(UsualPractice())...)
	q.Unsure = slices.DeleteFunc(q.Unsure, func(in Input) bool { return in.Key == "burn.power" || in.Key == "burn.fill" })
	return q, q.check(b)
}

// check complains about a search that cannot begin.
func (q *Search) check(b *base) error {
	if err := b.check(q.Unsure); err != nil {
		return err
	}
	if q.Population < 4 || q.Population%2 != 0 || q.Draws < 1 {
		return fmt.Errorf("explore: a search needs an even population of at least 4 and a draw")
	}
	return q.Limits.check()
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
	if err := q.check(q.base); err != nil {
		return err
	}
	q.Variables = slices.DeleteFunc(q.Variables, func(v Variable) bool { return slices.Contains(q.Held, v.Key) })
	q.resume()
	q.sheets, _ = kit.SheetsFor(q.base.sized) // nothing where the stove by the rules cannot be made: others may
	return q.draw()
}

// draw makes the draws, and puts those that give the stove by the rules the least
// air first: they are hard for others too, so that bad designs fail at once.
func (q *Search) draw() error {
	sobol, err := num.NewSobol(len(q.Unsure), mix(q.Seed)|1)
	if err != nil {
		return err
	}
	all := make([]instance, q.Draws+ConfirmingDraws)
	u := make([]float64, len(q.Unsure))
	for i := range all {
		sobol.At(uint32(i), u)
		all[i] = q.base.asDrawn()
		for k, in := range q.Unsure {
			all[i].set(in.Key, in.At(u[k]+0.5/(1<<32)))
		}
	}
	q.draws, q.fresh = all[:q.Draws], all[q.Draws:]
	air := make(map[*instance]float64, q.Draws)
	order := make([]*instance, q.Draws)
	for i := range order {
		order[i] = &all[i]
		air[order[i]] = q.base.at(Steady).burn(q.base.sized, order[i])[AirRatio]
	}
	slices.SortStableFunc(order, func(a, b *instance) int { return cmp.Compare(air[a], air[b]) }) // no air ratio, NaN, comes first
	q.draws = make([]instance, q.Draws)
	for i, n := range order {
		q.draws[i] = *n
	}
	return nil
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

// Unit judges one design of the generation: its violation, its objectives and the
// lesson that it is, none where it was not followed to the end.
func (q *Search) Unit(unit int) Values {
	if q.Open() != nil {
		return nil
	}
	a := q.judge(q.child(unit, q.starts()), unit < len(q.Planned))
	lesson := q.lesson(a)
	if a.violation == 0 && !q.beaten(a.objectives) {
		q.confirm(a)
	}
	return slices.Concat(Values{a.violation}, a.objectives, lesson)
}

// Take lets the generation compete, learns from it and plans the next, if there is one.
func (q *Search) Take(results []Values) {
	children, lessons := make([]Individual, len(results)), make([]Values, len(results))
	end := 1 + len(q.Goals)
	for i, r := range results {
		children[i] = Individual{X: q.child(i, q.starts()), Violation: r[0], Objectives: r[1:end]}
		lessons[i] = r[end:]
	}
	q.learn(children, lessons)
	q.take(children)
	q.Planned = nil
	if q.Generation < q.Generations {
		q.Planned = q.foresee()
	} else {
		q.Lessons = nil // of use to nobody any more
	}
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
	for _, id := range q.Held { // what the rules set would follow what the search changes
		if d := q.base.sized.Dimension(id); d != nil && f.Yours[id] == "" && !q.driven(f.Yours, id) {
			f.Yours[id] = text(d, d.Value.SI) + " " + d.Value.Unit.Symbol
		}
	}
	for k, value := range q.built(x) {
		switch v := q.Variables[k]; v.Key {
		case "choices.chamber":
			f.Choices.Chamber = v.Options[int(value)]
		case "choices.body":
			f.Choices.Body = v.Options[int(value)]
		default:
			d := q.base.sized.Dimension(v.Key)
			maps.DeleteFunc(f.Yours, func(id, _ string) bool { return q.follows(id, v.Key) }) // the two cannot be set beside each other
			f.Yours[v.Key] = text(d, value) + " " + d.Value.Unit.Symbol
		}
	}
	return f
}

// follows reports whether one dimension follows from another.
func (q *Search) follows(id, driver string) bool {
	d := q.base.sized.Dimension(id)
	return d != nil && d.Driver == driver
}

// driven reports whether one that follows from a dimension is set, and so the dimension.
func (q *Search) driven(yours map[string]string, id string) bool {
	for set := range yours {
		if q.follows(set, id) {
			return true
		}
	}
	return false
}

// built are the values of a design as they are made: grown with its fire, and on the
// steps of the tools.
func (q *Search) built(x []float64) []float64 {
	list, fire := slices.Clone(x), q.fire(x)
	for k, v := range q.Variables {
		if v.Options == nil {
			list[k] = v.round(x[k] * math.Pow(fire, v.Grows))
		}
	}
	return list
}

// fire is that of a design over that of the stove by the rules.
func (q *Search) fire(x []float64) float64 {
	for k, v := range q.Variables {
		if v.Key == "power.fire" {
			return x[k] / q.base.sized.PlannedPower
		}
	}
	return 1
}
