package quantity

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	const nbsp = "\u00a0"
	tests := []struct {
		v       Value
		decimal rune
		want    string
	}{
		{MM(0.1234), '.', "123" + nbsp + "mm"},
		{MM(-0.0001), '.', "0" + nbsp + "mm"},
		{MM1(0.01), ',', "10,0" + nbsp + "mm"},
		{Value{0.123, Millimetre, 5}, '.', "125" + nbsp + "mm"},
		{Value{0.0127, Inch, 0.25}, '.', "0.50" + nbsp + "in"},
		{CM2(0.0121), '.', "121.0" + nbsp + "cm²"},
		{KW(4567), ',', "4,6" + nbsp + "kW"},
		{KG(1.25), '.', "1.3" + nbsp + "kg"},
		{L(0.005), '.', "5.0" + nbsp + "L"},
		{Deg(math.Pi / 6), '.', "30.0°"},
		{C(373.15), '.', "100" + nbsp + "°C"},
		{Pct(0.325), '.', "33" + nbsp + "%"},
		{Value{SI: 0.0123456, Unit: One}, ',', "0,0123"},
		{Value{SI: 123456, Unit: One}, '.', "123456"},
		{Value{SI: 0.5, Unit: KgPerM3}, '.', "0.500" + nbsp + "kg/m³"},
		{Value{SI: 1.5e-9, Unit: Metre}, '.', "1.50e-09" + nbsp + "m"},
		{Value{SI: math.NaN(), Unit: Metre}, '.', "–" + nbsp + "m"},
		{Value{SI: math.Inf(1), Unit: Metre, Step: 1}, '.', "–" + nbsp + "m"},
		{Value{SI: 0.7390851, Unit: One, Step: 1e-12}, '.', "0.739085100"}, // finer than is ever printed
		{Value{SI: 0, Unit: Metre}, '.', "0" + nbsp + "m"},
	}
	for _, tt := range tests {
		if got := tt.v.Format(tt.decimal); got != tt.want {
			t.Errorf("%+v: got %q, want %q", tt.v, got, tt.want)
		}
	}
}

func TestDimensionNames(t *testing.T) {
	for d := Ratio; d <= Conductivity; d++ {
		if d.String() == "" {
			t.Errorf("dimension %d has no name", d)
		}
	}
}

// TestSISymbols holds the symbol of each dimension against a unit of it: one
// written in SI is one in SI.
func TestSISymbols(t *testing.T) {
	for d := Ratio; d <= Conductivity; d++ {
		if d == Ratio {
			continue // one needs no symbol
		}
		if si, err := Parse("1 "+d.SI(), d, Unit{}); err != nil || si != 1 {
			t.Errorf("1 %s of %s is read as %v, %v", d.SI(), d, si, err)
		}
	}
}
