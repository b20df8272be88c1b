package web

import (
	"net/http"
	"strings"

	"stovewright/message"
	"stovewright/proof"
	"stovewright/quantity"
)

// proofPage shows what the numbers stand on.
type proofPage struct {
	frame
	Packages []proofPackage
	Standing []standingCount
	Passed   int
	Failed   int
	Sources  []source
}

type proofPackage struct {
	Name    string
	Results []proofRow
	Failed  int
}

type proofRow struct {
	proof.Result
	StandingText  message.Text
	ExpectedValue string
	GotValue      string
	Within        string
	SourceTitle   string
}

type standingCount struct {
	Text   message.Text
	Counts bool
	Checks int
}

// results runs the register, once: the same program gives the same answer.
func (b *Bench) results() []proof.Result {
	b.proofOnce.Do(func() {
		if b.Proof != nil {
			b.proven = proof.Verify(b.Proof())
		}
	})
	return b.proven
}

func (b *Bench) showProof(w http.ResponseWriter, r *http.Request) error {
	p := proofPage{frame: b.frame("proof", "web.proof.title")}
	p.Last = b.last(r.Context())
	counts := map[proof.Standing]int{}
	cited := map[string]bool{}
	index := map[string]int{}
	for _, res := range b.results() {
		name, _, _ := strings.Cut(res.ID, "/")
		if _, ok := index[name]; !ok {
			index[name] = len(p.Packages)
			p.Packages = append(p.Packages, proofPackage{Name: name})
		}
		pkg := &p.Packages[index[name]]
		pkg.Results = append(pkg.Results, b.proofRow(res))
		counts[res.Standing]++
		cited[res.Source] = true
		if res.Pass {
			p.Passed++
		} else {
			p.Failed++
			pkg.Failed++
		}
	}
	for _, s := range proof.Standings {
		p.Standing = append(p.Standing, standingCount{standingText(string(s)), s.Counts(), counts[s]})
	}
	for _, s := range bibliography() {
		if cited[s.Key] {
			p.Sources = append(p.Sources, s)
		}
	}
	b.show(w, http.StatusOK, "proof", p)
	return nil
}

// digits of a check's value that are shown: those that its tolerance leaves.
func (b *Bench) proofRow(res proof.Result) proofRow {
	number := func(x float64) string {
		return b.Catalogue.Number(quantity.Value{SI: x, Unit: quantity.One, Step: stepFor(res)})
	}
	row := proofRow{Result: res, StandingText: standingText(string(res.Standing)), SourceTitle: sourceTitle(res.Source),
		ExpectedValue: number(res.Expected), GotValue: number(res.Got)}
	if res.Rel > 0 && res.Rel*abs(res.Expected) >= res.Abs {
		row.Within = b.Catalogue.Value(quantity.Value{SI: res.Rel, Unit: quantity.Percent})
	} else {
		row.Within = b.Catalogue.Number(quantity.Value{SI: res.Abs, Unit: quantity.One})
	}
	return row
}

// stepFor is the decimal step just finer than a check's tolerance.
func stepFor(res proof.Result) float64 {
	tolerance := max(res.Abs, res.Rel*abs(res.Expected))
	step := 1.0
	for step > tolerance && step > 1e-9 {
		step /= 10
	}
	return step
}

func abs(x float64) float64 { return max(x, -x) }
