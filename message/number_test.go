package message

import (
	"math"
	"math/rand/v2"
	"testing"

	"stovewright/quantity"
)

// What the catalogue prints bears the minus of print, and a change its sign; what
// package quantity prints, for files, stays ASCII.
func TestMinusAndPlus(t *testing.T) {
	for _, tt := range []struct {
		v                    quantity.Value
		ascii, value, signed string
	}{
		{quantity.Value{SI: -0.5, Unit: quantity.One, Step: 0.1}, "-0.5", "−0.5", "−0.5"},
		{quantity.Value{SI: 0.5, Unit: quantity.One, Step: 0.1}, "0.5", "0.5", "+0.5"},
		{quantity.Value{SI: -0.04, Unit: quantity.One, Step: 0.1}, "0.0", "0.0", "0.0"},
		{quantity.Value{SI: 0.04, Unit: quantity.One, Step: 0.1}, "0.0", "0.0", "0.0"},
		{quantity.Pct(-0.12), "-12\u00a0%", "−12\u00a0%", "−12\u00a0%"},
		{quantity.Pct(0.12), "12\u00a0%", "12\u00a0%", "+12\u00a0%"},
		{quantity.C(263.15), "-10\u00a0°C", "−10\u00a0°C", "−10\u00a0°C"},
		{quantity.Value{SI: 2e-7, Unit: quantity.One}, "2.00e-07", "2.00e-07", "+2.00e-07"},
		{quantity.Value{SI: math.NaN(), Unit: quantity.One}, "–", "–", "–"},
	} {
		c := English()
		if got := tt.v.String(); got != tt.ascii {
			t.Errorf("in a file: %q, want %q", got, tt.ascii)
		}
		if got := c.Value(tt.v); got != tt.value {
			t.Errorf("in words: %q, want %q", got, tt.value)
		}
		if got := c.Signed(tt.v); got != tt.signed {
			t.Errorf("as a change: %q, want %q", got, tt.signed)
		}
	}
	if got := English().Number(quantity.MM(-0.003)); got != "−3" {
		t.Errorf("number %q", got)
	}
	if got := English().show(-3, "n"); got != "−3" {
		t.Errorf("count %q", got)
	}
}

// TestPrintedIsRead: whatever the catalogue prints can be typed into a field as it
// stands.
func TestPrintedIsRead(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		v := quantity.MM1((r.Float64() - 0.5) * math.Pow(10, r.Float64()*6-4))
		si, err := quantity.Parse(English().Value(v), quantity.Length, quantity.Millimetre)
		if err != nil || math.Abs(si-v.SI) > 0.051e-3 {
			t.Fatalf("%v printed as %q is read as %v, %v", v.SI, English().Value(v), si, err)
		}
	}
}
