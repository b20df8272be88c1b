package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stovewright/message"
	"stovewright/proof"
	"stovewright/proof/all"
)

type proofCmd struct {
	jsonFlag
	Of string `arg:"" optional:"" help:"${proof_of}" placeholder:"stove"`
}

type proofDoc struct {
	ID       string   `json:"id"`
	Quantity string   `json:"quantity"`
	Inputs   string   `json:"inputs"`
	Unit     string   `json:"unit"`
	Expected float64  `json:"expected"`
	Ours     *float64 `json:"ours"` // null where it is no number
	Abs      float64  `json:"abs,omitempty"`
	Rel      float64  `json:"rel,omitempty"`
	Standing string   `json:"standing"`
	Source   string   `json:"source,omitempty"`
	Note     string   `json:"note,omitempty"`
	Pass     bool     `json:"pass"`
}

// Run prints the proof register and fails when an entry does not hold.
func (p *proofCmd) Run(c *call) error {
	var chosen []proof.Check
	for _, k := range all.Checks() {
		if strings.HasPrefix(k.ID, p.Of) {
			chosen = append(chosen, k)
		}
	}
	if len(chosen) == 0 {
		return &message.InputError{Field: "proof", Value: p.Of, Reason: message.T("cli.no-proof"), Try: "stovewright proof stove"}
	}
	results := proof.Verify(chosen)
	if p.JSON {
		if err := writeJSON(c.Out, proofJSON(results)); err != nil {
			return err
		}
	} else {
		printProof(c, results)
	}
	return unproven(results)
}

func proofJSON(results []proof.Result) []proofDoc {
	list := make([]proofDoc, len(results))
	for i, r := range results {
		list[i] = proofDoc{r.ID, r.Quantity, r.Inputs, r.Unit, r.Expected, finite(r.Got), r.Abs, r.Rel, string(r.Standing), r.Source, r.Note, r.Pass}
	}
	return list
}

// finite is a number that JSON can hold, or nil.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func printProof(c *call, results []proof.Result) {
	count := make(map[proof.Standing]int)
	printer{c.Catalogue, c.Out}.table(func(row func(...string)) {
		for _, r := range results {
			mark := c.Catalogue.S("cli.pass")
			if !r.Pass {
				mark = c.Catalogue.S("cli.fails")
			}
			count[r.Standing]++
			row(mark, r.ID, number(r.Got)+" "+r.Unit, number(r.Expected)+" "+r.Unit, standing(c, r.Standing), r.Source, r.Quantity+" ("+r.Inputs+")")
		}
	})
	fmt.Fprintln(c.Out)
	for _, s := range proof.Standings {
		if count[s] > 0 {
			fmt.Fprintf(c.Out, "%5d  %s\n", count[s], standing(c, s))
		}
	}
	fmt.Fprintln(c.Out, c.Catalogue.S("cli.verified"))
}

// standing says a standing in the words of the Proof page.
func standing(c *call, s proof.Standing) string {
	return c.Catalogue.S("web.standing." + strings.NewReplacer(" ", "-", ",", "").Replace(string(s)))
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 7, 64) }

func unproven(results []proof.Result) error {
	var bad []string
	for _, r := range results {
		if !r.Pass {
			bad = append(bad, r.ID)
		}
	}
	if len(bad) > 0 {
		return said(message.T("cli.unproven", "list", strings.Join(bad, ", ")))
	}
	return nil
}
