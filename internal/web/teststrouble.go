package web

import (
	"context"
	"net/http"

	protocol "stovewright/bench"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/workshop"
)

// symptomPage leads from what a cook sees to what to look at, one change at a
// time, with the dimensions of a stove where one is chosen.
type symptomPage struct {
	frame
	Symptoms []protocol.Symptom
	Stoves   []workshop.Record
	Stove    string // id of the stove, "" for none
	Key      string // of the symptom
	Symptom  *symptom
}

type symptom struct {
	Words    message.Text
	Warning  message.Text
	Checks   []troubleCheck
	Computed []troubleExpected // of the stove at hand, by its boil run
}

type troubleCheck struct {
	protocol.TroubleCheck
	DimensionName message.Text
	Value         quantity.Value // of the stove at hand; zero without one
}

// troubleExpected is what a computed boiling test says of a symptom.
type troubleExpected struct {
	Name  message.Text
	Value quantity.Value
}

// expected is what the fire of a design is computed to do about a symptom; nothing
// where it does not come so far.
func (b *Bench) expected(ctx context.Context, d *design, s protocol.Symptom) ([]troubleExpected, error) {
	if d == nil || d.Stove == nil {
		return nil, nil
	}
	asked, _, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return nil, err
	}
	x, err := b.lightUp(d, asked)
	if err != nil || x.err != nil || x.runErr != nil {
		return nil, err
	}
	var list []troubleExpected
	for _, key := range s.Measures {
		m, _ := fire.MeasureByKey(key)
		if si, ok := m.Of(x.model, &x.run); ok {
			list = append(list, troubleExpected{message.T("fire.measure." + key), m.Value(si)})
		}
	}
	return list, nil
}

func (b *Bench) showSymptoms(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	p := symptomPage{frame: b.frame(testsStage, "web.tests.trouble.title"), Symptoms: protocol.Symptoms(), Stove: r.URL.Query().Get("stove"), Key: r.URL.Query().Get("symptom")}
	p.Last = b.last(ctx)
	var err error
	if p.Stoves, err = b.Workshop.List(ctx, workshop.Filter{Kind: stoveKind}); err != nil {
		return err
	}
	var d *design
	if p.Stove != "" {
		if d, err = b.load(ctx, p.Stove); err != nil {
			return err
		}
		p.Last = p.Stove
	}
	if s, ok := protocol.SymptomOf(p.Key); ok {
		p.Symptom = &symptom{Words: s.Words(), Warning: s.Warning()}
		for _, c := range s.Checks {
			row := troubleCheck{TroubleCheck: c, DimensionName: message.T("stove.dim." + c.Dimension)}
			if d != nil && d.Stove != nil && d.Stove.Dimension(c.Dimension) != nil {
				row.Value = d.Stove.Value(c.Dimension)
			}
			p.Symptom.Checks = append(p.Symptom.Checks, row)
		}
		if p.Symptom.Computed, err = b.expected(ctx, d, s); err != nil {
			return err
		}
	} else if p.Key != "" {
		return missing()
	}
	b.show(w, http.StatusOK, "trouble", p)
	return nil
}
