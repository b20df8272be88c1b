package web

import (
	"math"
	"net/http"
	"strconv"
	"strings"

	"stovewright/message"
	"stovewright/proof"
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

func (b *Bench) proofRow(res proof.Result) proofRow {
	tolerance := max(res.Abs, res.Rel*math.Abs(res.Expected))
	row := proofRow{Result: res, StandingText: standingText(string(res.Standing)), SourceTitle: sourceTitle(res.Source),
		ExpectedValue: b.figures(res.Expected, tolerance), GotValue: b.figures(res.Got, tolerance)}
	if res.Rel > 0 && res.Rel*math.Abs(res.Expected) >= res.Abs {
		row.Within = b.figures(100*res.Rel, res.Rel) + "\u00a0%"
	} else {
		row.Within = b.figures(res.Abs, res.Abs/10)
	}
	return row
}

// Most figures of a number in the register; more do not fit a line.
const mostFigures = 10

// figures prints a number as far as a tolerance gives its figures a meaning.
func (b *Bench) figures(x, tolerance float64) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	n := mostFigures
	if tolerance > 0 {
		n = 1 + int(math.Ceil(math.Log10(math.Abs(x)/tolerance)))
	}
	n = min(mostFigures, max(2, n))
	text := strconv.FormatFloat(x, 'g', n, 64)
	if a := math.Abs(x); a >= 1e-4 && a < 1e7 { // without an exponent where people write none
		rounded, _ := strconv.ParseFloat(text, 64)
		text = strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return strings.Replace(text, ".", string(b.Catalogue.Decimal()), 1)
}
