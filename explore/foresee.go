package explore

import (
	"fmt"
	"math"
	"slices"

	"stovewright/internal/num"
)

// A search foresees what stoves do that it has not burnt. What the fire does in each
// draw changes smoothly with the dimensions: a surface through the designs that were
// burnt to the end tells it of others some eighty times faster than the fire model, to
// a few parts in a thousand (Gutmann, key gutmann2001radial, searches so for a single
// goal). The stove itself is sized as ever, so that all that can be known of it is.
// The search evolves such dreams and burns those that promise most. Where they
// disappoint, it has learnt.

// Lesson is a design and what it taught.
type Lesson struct {
	X     []float64
	Burns []float32 // see Search.lesson; none of what could not be followed to the end
}

// mostLessons is how many of the latest designs a surface goes through: the time that
// it takes to lay grows with their cube.
const mostLessons = 300

// A dream is evolved from what is known for so many generations. Those of one way of
// building, of which each generation has some in turn, are shorter: they need tell
// only whether it is worth a closer look.
const (
	dreamers, dreams       = 300, 30
	wayDreamers, wayDreams = 100, 8
	waysAtOnce             = 2
)

// foreseenMetrics are what a lesson holds of each draw.
var foreseenMetrics = []Metric{BoilTime, Wood, AirRatio, Skin}

// lesson is what a judged design teaches: its cost, and the logarithms of what it
// does as drawn and in every draw, there time and wood from cold; all NaN where it
// was not followed to the end.
func (q *Search) lesson(a *judgement) Values {
	list := Values{a.cost}
	for i := range 1 + len(q.draws) {
		o := a.hot
		if i > 0 && i <= len(a.outcomes) {
			o = a.outcomes[i-1]
		}
		for _, m := range foreseenMetrics {
			list = append(list, math.Log(o[m]))
		}
	}
	if a.lost || !(a.drawn[BoilTime] > 0) || !allFinite(list) {
		for i := range list {
			list[i] = math.NaN()
		}
	}
	return list
}

// foretell is the way back: it gives a judgement the cost and outcomes of a lesson.
func (a *judgement) foretell(burns []float64) {
	a.cost = burns[0]
	for rest := burns[1:]; len(rest) > 0; rest = rest[len(foreseenMetrics):] {
		o := nothing()
		for i, m := range foreseenMetrics {
			o[m] = math.Exp(rest[i])
		}
		a.outcomes = append(a.outcomes, o)
	}
	a.hot, a.outcomes = a.outcomes[0], a.outcomes[1:]
}

// learn takes the lessons of a generation: of all that was followed to the end, and
// that there is none in what was foreseen and could not be.
func (q *Search) learn(children []Individual, lessons []Values) {
	known := make(map[string]bool)
	for _, l := range q.Lessons {
		known[q.key(l.X)] = true
	}
	for i, c := range children {
		taught := !math.IsNaN(lessons[i][0])
		key := q.key(c.X)
		if known[key] || !taught && i >= len(q.Planned) {
			continue
		}
		known[key] = true
		l := Lesson{X: c.X}
		for _, v := range lessons[i] {
			if taught {
				l.Burns = append(l.Burns, float32(v))
			}
		}
		q.Lessons = append(q.Lessons, l)
	}
	q.Lessons = slices.Clone(q.Lessons[max(0, len(q.Lessons)-mostLessons):])
}

// key tells designs apart by how they are built.
func (q *Search) key(x []float64) string { return fmt.Sprint(q.built(x)) }

// plans is how many designs are planned for a generation: half of it, and no more than
// mostPlanned, because those that promise less keep the surface no truer than what
// evolves of itself, and cost more. Of a way of building of which little is known a
// quarter of them are tried, whatever they promise.
func (q *Search) plans() (all, looks int) {
	all = min(q.Population/2, mostPlanned)
	return all, max(1, all/4)
}

const mostPlanned = 30

// foresee plans a part of the next generation: the designs that promise most, in a
// dream free to build in any way and in dreams of the ways whose turn it is. Of a way of
// which little is known some are tried whatever they promise. Nil as long as too little
// is known of all.
func (q *Search) foresee() [][]float64 {
	fire := q.surface()
	if fire == nil {
		return nil
	}
	all, looks := q.plans()
	var planned []Individual
	found := q.dream(fire, nil, dreamers, dreams)
	for _, way := range q.turns() {
		dreamt := q.dream(fire, way, wayDreamers, wayDreams)
		if q.lessonsOf(way) < q.enough() {
			planned = append(planned, q.leading(dreamt, planned, looks, math.Inf(-1))...)
		}
		found = append(found, dreamt...)
	}
	planned = append(planned, q.leading(found, planned, all-len(planned), 0)...)
	list := make([][]float64, len(planned))
	for i, p := range planned {
		list[i] = p.X
	}
	return list
}

// turns are the ways of building that are dreamt of for the next generation; none where
// there is but one.
func (q *Search) turns() (list [][]float64) {
	ways := q.ways()
	for i := range min(waysAtOnce, len(ways)-1) {
		list = append(list, ways[(waysAtOnce*q.Generation+i)%len(ways)])
	}
	return list
}

// lessonsOf is how many lessons there are of a way of building.
func (q *Search) lessonsOf(way []float64) (n int) {
	for _, l := range q.Lessons {
		if made(l.X, way) {
			n++
		}
	}
	return n
}

// enough is how many lessons it takes to foresee anything.
func (q *Search) enough() int { return 2 * (len(q.Variables) + 1) }

// made reports whether a design is built in a way.
func made(x, way []float64) bool {
	for k, v := range way {
		if !math.IsNaN(v) && x[k] != v {
			return false
		}
	}
	return true
}

// surface goes through the lessons; nil where there are too few.
func (q *Search) surface() *num.Radial {
	var points, values [][]float64
	for _, l := range q.Lessons {
		if l.Burns == nil {
			continue
		}
		burns := make([]float64, len(l.Burns))
		for k, v := range l.Burns {
			burns[k] = float64(v)
		}
		points, values = append(points, q.coordinates(l.X)), append(values, burns)
	}
	if len(points) < q.enough() {
		return nil
	}
	surface, err := num.NewRadial(points, values)
	if err != nil {
		return nil
	}
	return surface
}

// apart is how far two choices lie apart on a surface, where the range of a number is
// one.
const apart = 0.5

// coordinates are where a design lies on a surface: its dimensions as they are built,
// each over its range, by ratio where it is above zero throughout; none for what is
// the same in all designs; and one for each choice but the first.
func (q *Search) coordinates(x []float64) []float64 {
	var z []float64
	for k, value := range q.built(x) {
		switch v := q.Variables[k]; {
		case v.Options != nil:
			for i := 1; i < len(v.Options); i++ {
				z = append(z, 0)
				if int(value) == i {
					z[len(z)-1] = apart
				}
			}
		case v.High == v.Low:
		case v.Low > 0:
			z = append(z, math.Log(value/v.Low)/math.Log(v.High/v.Low))
		default:
			z = append(z, (value-v.Low)/(v.High-v.Low))
		}
	}
	return z
}

// ways are all ways of building: what choices and whole numbers can be together, NaN
// for what is neither.
func (q *Search) ways() [][]float64 {
	list := [][]float64{nil}
	for _, v := range q.Variables {
		var next [][]float64
		for _, way := range list {
			for _, value := range v.whole() {
				next = append(next, append(slices.Clone(way), value))
			}
		}
		list = next
	}
	return list
}

// whole are the values of a choice or a whole number, NaN of what is neither.
func (v Variable) whole() []float64 {
	low, high := math.Ceil(v.Low), math.Floor(v.High)
	switch {
	case v.Options != nil:
		low, high = 0, float64(len(v.Options)-1)
	case v.Step != 1:
		return []float64{math.NaN()}
	}
	var list []float64
	for x := low; x <= high; x++ {
		list = append(list, x)
	}
	return list
}

// dream evolves designs whose fire is foreseen, of one way of building or of any, nil,
// and gives the best.
func (q *Search) dream(fire *num.Radial, way []float64, population, generations int) []Individual {
	d := &Evolution{Variables: q.Variables, Population: population, Generation: 1, Generations: 1 + generations,
		Seed: mix(q.Seed ^ uint64(q.Generation)), way: way}
	imagine := func(x []float64) ([]float64, float64) { return q.imagine(fire, x, d) }
	asTheyAre, altered := q.known(d)
	d.begin(append(asTheyAre, judged(len(altered), func(i int) []float64 { return altered[i] }, imagine)...))
	return d.Minimise(imagine)
}

// known are the designs that a dream begins with: parents, some of the archive, and
// what the lessons have of its way of building. What must be altered to be built that
// way is given apart.
func (q *Search) known(d *Evolution) (asTheyAre []Individual, altered [][]float64) {
	some := slices.Clone(q.Parents)
	for _, i := range stream(d.Seed).Perm(len(q.Archive))[:min(len(q.Archive), d.Population)] {
		some = append(some, q.Archive[i])
	}
	for _, p := range some {
		if made(p.X, d.way) {
			asTheyAre = append(asTheyAre, p)
		} else {
			altered = append(altered, d.round(slices.Clone(p.X)))
		}
	}
	for _, l := range q.Lessons {
		if d.way != nil && made(l.X, d.way) {
			altered = append(altered, l.X)
		}
	}
	return asTheyAre, altered
}

// imagine judges a design whose fire is foreseen. One that keeps its limits alight is
// sized only where nothing in the dream beats it.
func (q *Search) imagine(fire *num.Radial, x []float64, d *Evolution) (objectives []float64, violation float64) {
	a := &judgement{x: x, objectives: make(Values, len(q.Goals))}
	a.foretell(fire.At(q.coordinates(x)))
	q.value(a)
	if !allFinite(a.objectives) {
		return make([]float64, len(q.Goals)), failure(len(stages), never)
	}
	if by := q.throughDraws(a); by > 0 {
		return a.objectives, failure(1, by)
	}
	if d.beaten(a.objectives) {
		return a.objectives, 0
	}
	if by := q.builds(a); by > 0 {
		return a.objectives, failure(len(stages), by)
	}
	if by := q.asDrawn(a, a.hot); by > 0 {
		return a.objectives, failure(len(stages)-1, by)
	}
	q.value(a) // of what it costs indeed
	return a.objectives, 0
}

// leading are the designs of dreams that nobody has tried and that would be furthest
// ahead of all that was found or is planned, each other included: by as much as the
// goal in which they beat it most, over its range, beats what comes closest (the
// additive epsilon indicator: Zitzler and others, key zitzler2003performance). So many
// are given that are further ahead than the least.
func (q *Search) leading(dreamt, planned []Individual, most int, least float64) (list []Individual) {
	dreamt = q.untried(dreamt, planned)
	rivals := slices.Concat(q.Archive, planned)
	span := spans(slices.Concat(dreamt, rivals))
	leads := make([]float64, len(dreamt))
	for i, d := range dreamt {
		leads[i] = math.Inf(1)
		for _, r := range rivals {
			leads[i] = min(leads[i], lead(d.Objectives, r.Objectives, span))
		}
	}
	for range min(most, len(dreamt)) {
		best := 0
		for i := range dreamt {
			if leads[i] > leads[best] {
				best = i
			}
		}
		if !(leads[best] > least) {
			break
		}
		list = append(list, dreamt[best])
		for i, d := range dreamt {
			leads[i] = min(leads[i], lead(d.Objectives, dreamt[best].Objectives, span))
		}
		leads[best] = math.Inf(-1)
	}
	return list
}

// untried are the designs of dreams that were not burnt yet and are not planned, each
// once.
func (q *Search) untried(dreamt, planned []Individual) (list []Individual) {
	tried := make(map[string]bool)
	for _, l := range q.Lessons {
		tried[q.key(l.X)] = true
	}
	for _, p := range slices.Concat(q.Parents, q.Archive, planned) {
		tried[q.key(p.X)] = true
	}
	for _, d := range dreamt {
		if key := q.key(d.X); !tried[key] {
			tried[key] = true
			list = append(list, d)
		}
	}
	return list
}

func allFinite(list []float64) bool {
	return !slices.ContainsFunc(list, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// spans are the ranges of the objectives.
func spans(list []Individual) []float64 {
	var low, high []float64
	for i, p := range list {
		if i == 0 {
			low, high = slices.Clone(p.Objectives), slices.Clone(p.Objectives)
		}
		for k, v := range p.Objectives {
			low[k], high[k] = min(low[k], v), max(high[k], v)
		}
	}
	for k := range high {
		high[k] -= low[k]
	}
	return high
}

// lead is by how much one design is ahead of another in the objective in which it is
// most, over the objective's range.
func lead(one, other, span []float64) float64 {
	most := math.Inf(-1)
	for k := range one {
		if span[k] > 0 {
			most = max(most, (other[k]-one[k])/span[k])
		}
	}
	return most
}
