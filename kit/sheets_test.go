package kit

import (
	"testing"

	"pgregory.net/rapid"

	"stovewright/stove"
	"stovewright/stove/stovetest"
)

// TestSheetsForIsWhatMakeTakes holds the quick count of sheets against the whole kit.
func TestSheetsForIsWhatMakeTakes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		if n := rapid.IntRange(0, 4).Draw(t, "sheets at hand"); n > 0 {
			s.Brief.Sheets = []stove.Sheet{{Width: 0.6, Length: 1.2, Thickness: s.BodyThickness, Coating: "bare", Count: n}}
		}
		sheets, err := SheetsFor(s)
		k, made := Make(s)
		if err != nil {
			if made == nil {
				t.Fatalf("refused for its sheets, and made: %v", err)
			}
			return
		}
		if made != nil {
			return // a mould that is refused has no sheet
		}
		atHand, bought, big := 0, 0, 0
		for _, c := range k.Cutting {
			if c.AtHand {
				atHand += len(c.Layout.Sheets)
			} else {
				bought += len(c.Layout.Sheets)
			}
		}
		for _, r := range k.Remarks {
			if r.ID == "kit.remark.too-big" {
				big++
			}
		}
		if len(s.Brief.Sheets) == 0 {
			bought = min(bought, sheets.Bought) // counted by kinds alone
		}
		if sheets != (Sheets{atHand, bought, big}) {
			t.Fatalf("%+v, and the kit takes %d at hand, %d bought, %d too big", sheets, atHand, bought, big)
		}
	})
}
