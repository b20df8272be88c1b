package explore

import (
	"fmt"
	"maps"

	"stovewright/fire"
	"stovewright/fuel"
	"stovewright/stove"
)

// Subject is a stove to be explored: its brief as written, what the model is
// told, and how deeply it is computed.
type Subject struct {
	Form         stove.Form
	Coefficients fire.Coefficients
	Depth        Depth

	sized *stove.Stove // instead of the form; see SubjectOf
}

// SubjectOf is a stove that is sized already, whatever its brief was written in.
// A study of it cannot be kept: JSON does not hold the stove.
func SubjectOf(s *stove.Stove, c fire.Coefficients, depth Depth) Subject {
	return Subject{Coefficients: c, Depth: depth, sized: s}
}

// base is an opened subject.
type base struct {
	Subject
	brief stove.Brief
	sized *stove.Stove
}

// open reads and sizes a subject. The error is a message.InputErrors where the
// brief is at fault.
func (s Subject) open() (*base, error) {
	if s.Depth == "" {
		s.Depth = Steady
	}
	if s.sized != nil {
		return &base{Subject: s, brief: s.sized.Brief, sized: s.sized}, nil
	}
	brief, err := s.Form.Read()
	if err != nil {
		return nil, err
	}
	sized, err := stove.Size(brief)
	if err != nil {
		return nil, err
	}
	return &base{Subject: s, brief: brief, sized: sized}, nil
}

// Stove is the sized stove of a subject.
func (s Subject) Stove() (*stove.Stove, error) {
	b, err := s.open()
	if err != nil {
		return nil, err
	}
	return b.sized, nil
}

// Outcome is what the stove of a subject does as drawn.
func (s Subject) Outcome() (Outcome, error) {
	b, err := s.open()
	if err != nil {
		return nothing(), err
	}
	n := b.asDrawn()
	return b.burn(b.sized, &n), nil
}

// asDrawn is the stove as it was planned.
func (b *base) asDrawn() instance {
	return instance{coefficients: b.Coefficients, power: 1, fill: 1, heat: 1}
}

// starts are the outcomes of a stove as drawn, warm and in a steady state, and
// followed from cold. Their ratio brings time and wood of many warm stoves to what
// a cold start takes.
func (b *base) starts(s *stove.Stove) (warm, cold Outcome) {
	n := b.asDrawn()
	return b.at(Steady).burn(s, &n), b.at(Cold).burn(s, &n)
}

// size sizes the stove with some dimensions set; nil where that cannot be built.
func (b *base) size(yours map[string]float64) *stove.Stove {
	if len(yours) == 0 {
		return b.sized
	}
	brief := b.brief
	brief.Yours = maps.Clone(b.brief.Yours)
	if brief.Yours == nil {
		brief.Yours = make(map[string]string)
	}
	for id, x := range yours {
		d := b.sized.Dimension(id)
		if d == nil {
			return nil
		}
		brief.Yours[id] = text(d, x)
	}
	s, err := stove.Size(brief)
	if err != nil {
		return nil
	}
	return s
}

// at is the base at another depth.
func (b *base) at(d Depth) *base {
	other := *b
	other.Depth = d
	return &other
}

// burn is the outcome of an instance of a sized stove.
func (b *base) burn(s *stove.Stove, n *instance) Outcome {
	if s == nil {
		return nothing()
	}
	if n.making != (Making{}) {
		built, ok := Built(s, n.making)
		if !ok {
			return nothing()
		}
		s = built
	}
	l := fire.LightPath(s)
	l.Task.Power *= n.power
	l.Task.Water *= n.fill
	if n.moisture != 0 {
		wet := min(max(l.Moisture.Wet()+n.moisture, 0), 0.6)
		if m, err := fuel.WetBasis(wet); err == nil {
			l.Moisture = m
		}
	}
	if n.heat != 1 {
		l.Fuel.MeasuredHHV = l.Fuel.HHV() * n.heat
	}
	return burn(l, &n.coefficients, b.Depth)
}

// sampler turns points of the unit cube into outcomes. The stoves of the chosen
// inputs are kept while they serve: sizing costs as much as burning.
type sampler struct {
	base   *base
	inputs []Input
	kept   []keptStove
}

type keptStove struct {
	chosen []float64
	sized  *stove.Stove
}

// check reports an input that the subject does not have.
func (b *base) check(inputs []Input) error {
	for _, in := range inputs {
		n := b.asDrawn()
		if !n.set(in.Key, in.Middle) {
			return fmt.Errorf("explore: unknown input %q", in.Key)
		}
		for id := range n.yours {
			if d := b.sized.Dimension(id); d == nil || !d.Editable {
				return fmt.Errorf("explore: %q is no dimension that can be chosen", id)
			}
		}
	}
	return nil
}

// at is the outcome at a point of the unit cube.
func (s *sampler) at(u []float64) Outcome {
	x := make([]float64, len(u))
	for i := range u {
		x[i] = s.inputs[i].At(u[i])
	}
	return s.outcome(x)
}

// outcome is that of values of the inputs.
func (s *sampler) outcome(x []float64) Outcome {
	n := s.base.asDrawn()
	for i, in := range s.inputs {
		n.set(in.Key, x[i])
	}
	return s.base.burn(s.size(&n, x), &n)
}

// size sizes the stove of the chosen inputs, or finds it among those kept.
func (s *sampler) size(n *instance, x []float64) *stove.Stove {
	if len(n.yours) == 0 {
		return s.base.sized
	}
	var chosen []float64
	for i, in := range s.inputs {
		if _, ok := n.yours[in.Key]; ok {
			chosen = append(chosen, x[i])
		}
	}
search:
	for _, k := range s.kept {
		for i := range chosen {
			if chosen[i] != k.chosen[i] {
				continue search
			}
		}
		return k.sized
	}
	sized := s.base.size(n.yours)
	if len(s.kept) < 2 {
		s.kept = append(s.kept, keptStove{chosen, sized})
	}
	return sized
}
