package web

import (
	"net/http"

	protocol "stovewright/bench"
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
	Words  message.Text
	Checks []troubleCheck
}

type troubleCheck struct {
	protocol.TroubleCheck
	DimensionName message.Text
	Value         quantity.Value // of the stove at hand; zero without one
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
		p.Symptom = &symptom{Words: s.Words()}
		for _, c := range s.Checks {
			row := troubleCheck{TroubleCheck: c, DimensionName: message.T("stove.dim." + c.Dimension)}
			if d != nil && d.Stove != nil && d.Stove.Dimension(c.Dimension) != nil {
				row.Value = d.Stove.Value(c.Dimension)
			}
			p.Symptom.Checks = append(p.Symptom.Checks, row)
		}
	} else if p.Key != "" {
		return missing()
	}
	b.show(w, http.StatusOK, "trouble", p)
	return nil
}
