package explore

import (
	"math"
	"testing"
)

// TestMostConfidence holds the share to the draws. That the last of n+1 draws alike in
// all is the least of them with probability 1/(n+1) is exact.
func TestMostConfidence(t *testing.T) {
	if n := float64(ConfirmingDraws); MostConfidence != math.Round(100*n/(n+1))/100 {
		t.Errorf("%v draws tell of %.4f at most, not of %v", n, n/(n+1), MostConfidence)
	}
}
