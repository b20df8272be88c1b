// Package proof is the register of checks: what was computed, what the outside
// world says, and where that comes from.
//
// Every package of the trade exports a function Checks that returns its own
// entries. Its tests run them through [Verify]; the command line and the bench
// print the same table, so that a user can see what the numbers stand on.
package proof

import (
	"fmt"
	"math"
)

// Standing says what kind of authority stands behind an expected value.
type Standing string

// The standings. Regression entries guard against unwanted change; they are
// never counted as proof.
const (
	Published            Standing = "published"
	PublishedFromMemory  Standing = "published, value from memory"
	Exact                Standing = "exact"
	CommonPractice       Standing = "common practice"
	SecondImplementation Standing = "second implementation"
	Regression           Standing = "regression"
)

// Standings lists every standing, strongest first.
var Standings = []Standing{Published, Exact, SecondImplementation, PublishedFromMemory, CommonPractice, Regression}

// Counts reports whether an entry of this standing counts as proof.
func (s Standing) Counts() bool { return s != Regression }

// Check is one entry of the register. Expected is written by hand from the
// source and never comes from the code under test, unless Standing is
// [Regression].
type Check struct {
	ID       string         // unique, package first: "stove/ring-area-11cm"
	Quantity string         // what is checked, in words
	Inputs   string         // the inputs, in words with units
	Unit     string         // unit of Expected and of what Ours returns; "" for pure numbers
	Expected float64        // what the outside says
	Abs      float64        // absolute tolerance in Unit; 0 when Rel is used alone
	Rel      float64        // relative tolerance; 0 when Abs is used alone
	Standing Standing       // what kind of authority this is
	Source   string         // key in docs/sources.bib; empty for Exact and CommonPractice only
	Note     string         // misprints, disagreements, how the value was come by
	Ours     func() float64 // our value, computed afresh
}

// Result is a check with our value filled in.
type Result struct {
	Check
	Got  float64
	Pass bool
}

// Verify computes our value for each check and compares it with the expected
// one. A value passes when it lies within the absolute or the relative
// tolerance; NaN never passes.
func Verify(checks []Check) []Result {
	results := make([]Result, len(checks))
	for i, c := range checks {
		got := c.Ours()
		diff := math.Abs(got - c.Expected)
		results[i] = Result{Check: c, Got: got,
			Pass: diff <= c.Abs || diff <= c.Rel*math.Abs(c.Expected)}
	}
	return results
}

// String tells a result in one line, for test output.
func (r Result) String() string {
	return fmt.Sprintf("%s: %s (%s): got %.10g %s, want %.10g (abs %g, rel %g; %s %s)",
		r.ID, r.Quantity, r.Inputs, r.Got, r.Unit, r.Expected, r.Abs, r.Rel, r.Standing, r.Source)
}

// Validate reports the first entry that is not well formed: an empty or
// repeated id, no tolerance at all (exact zero must be said by a tolerance of
// math.SmallestNonzeroFloat64), a standing that is not in the list, or a
// published value without a source.
func Validate(checks []Check) error {
	seen := make(map[string]bool)
	for _, c := range checks {
		switch {
		case c.ID == "" || c.Quantity == "" || c.Ours == nil:
			return fmt.Errorf("proof: entry %q lacks an id, a quantity or a function", c.ID)
		case seen[c.ID]:
			return fmt.Errorf("proof: entry %q appears twice", c.ID)
		case c.Abs <= 0 && c.Rel <= 0:
			return fmt.Errorf("proof: entry %q has no tolerance", c.ID)
		case !known(c.Standing):
			return fmt.Errorf("proof: entry %q has unknown standing %q", c.ID, c.Standing)
		case c.Source == "" && needsSource(c.Standing):
			return fmt.Errorf("proof: entry %q is %q but names no source", c.ID, c.Standing)
		}
		seen[c.ID] = true
	}
	return nil
}

func known(s Standing) bool {
	for _, k := range Standings {
		if s == k {
			return true
		}
	}
	return false
}

func needsSource(s Standing) bool {
	return s == Published || s == PublishedFromMemory || s == SecondImplementation
}
