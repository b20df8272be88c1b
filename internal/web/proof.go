package web

import (
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"stovewright/docs"
	"stovewright/message"
	"stovewright/proof"
)

// proofPage shows what the numbers stand on.
type proofPage struct {
	frame
	Subjects []proofSubject
	Standing []standingCount
	Passed   int
	Failed   int
	Sources  []docs.Source
}

// proofSubject gathers the packages of one subject.
type proofSubject struct {
	Key      string // message "web.proof.subject.<key>"
	Packages []proofPackage
	Passed   int
	Failed   int
}

// subjects are the subjects in the order of the page, with the first names of
// the checks that belong to them; all others belong to the last.
var subjects = []struct {
	key   string
	names []string
}{
	{"fire", []string{"fire"}},
	{"heat", []string{"heat"}},
	{"matter", []string{"gas", "fuel", "material"}},
	{"stove", []string{"stove", "kit", "flat", "nest"}},
	{"bricks", []string{"brick", "mixture"}},
	{"tests", []string{"bench", "stats", "explore", "study"}},
	{"program", nil},
}

// bySubject sorts packages by their subjects.
func bySubject(list []proofPackage) []proofSubject {
	found := make([]proofSubject, len(subjects))
	for i, s := range subjects {
		found[i].Key = s.key
	}
	for _, pkg := range list {
		i := slices.IndexFunc(subjects, func(s struct {
			key   string
			names []string
		}) bool {
			return slices.Contains(s.names, pkg.Name)
		})
		if i < 0 {
			i = len(subjects) - 1
		}
		found[i].Packages = append(found[i].Packages, pkg)
		found[i].Passed += len(pkg.Results) - pkg.Failed
		found[i].Failed += pkg.Failed
	}
	return slices.DeleteFunc(found, func(s proofSubject) bool { return len(s.Packages) == 0 })
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
	var packages []proofPackage
	for _, res := range b.results() {
		name, _, _ := strings.Cut(res.ID, "/")
		if _, ok := index[name]; !ok {
			index[name] = len(packages)
			packages = append(packages, proofPackage{Name: name})
		}
		pkg := &packages[index[name]]
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
	p.Subjects = bySubject(packages)
	for _, s := range proof.Standings {
		p.Standing = append(p.Standing, standingCount{standingText(string(s)), s.Counts(), counts[s]})
	}
	for _, s := range docs.Sources() {
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
