package stats

import (
	"testing"

	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}
