package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Expected values follow from the definitions of the units: the inch is
// 25.4 mm and the pound 0.45359237 kg exactly (international yard and pound
// agreement, 1959), the US gallon 231 cubic inches, 0 °C is 273.15 K.
var readings = []struct {
	text     string
	d        Dimension
	fallback Unit
	want     float64
}{
	// decimals, points and commas
	{"75.4 cm", Length, Millimetre, 0.754},
	{"75,4 cm", Length, Millimetre, 0.754},
	{"754", Length, Millimetre, 0.754},
	{".5 kg", Mass, Unit{}, 0.5},
	{",5 kg", Mass, Unit{}, 0.5},
	{"5. kg", Mass, Unit{}, 5},
	{"0,500 kg", Mass, Unit{}, 0.5},
	{"1.234 kg", Mass, Unit{}, 1.234},
	{"+3 mm", Length, Unit{}, 0.003},
	{"-40 °F", Temperature, Unit{}, 233.15},
	{"−40 °C", Temperature, Unit{}, 233.15},
	{"212°F", Temperature, Unit{}, 373.15},
	{"100 C", Temperature, Unit{}, 373.15},
	{"100 ℃", Temperature, Unit{}, 373.15},
	{"18 °F", TemperatureDifference, Unit{}, 10},
	{"20 °C", TemperatureDifference, Unit{}, 20},
	{"15%", Ratio, Unit{}, 0.15},
	{"15 percent", Ratio, Unit{}, 0.15},
	{"0.15", Ratio, One, 0.15},
	{"15", Ratio, Percent, 0.15},
	{"1e3 mm", Length, Unit{}, 1},
	{"1E-3 m", Length, Unit{}, 0.001},
	{"2.5e+1cm", Length, Unit{}, 0.25},
	// thousands
	{"1 200 mm", Length, Unit{}, 1.2},
	{"1 200,5 mm", Length, Unit{}, 1.2005},
	{"1\u00a0200\u202f000 mm", Length, Unit{}, 1200},
	{"-1 200 mm", Length, Unit{}, -1.2},
	{"1200,5 mm", Length, Unit{}, 1.2005},
	// fractions, feet and inches
	{"29 5/8 in", Length, Millimetre, 29.625 * 0.0254},
	{"29-5/8 in", Length, Millimetre, 29.625 * 0.0254},
	{"29\u20115/8 in.", Length, Millimetre, 29.625 * 0.0254},
	{"29⅝″", Length, Millimetre, 29.625 * 0.0254},
	{`5½"`, Length, Unit{}, 5.5 * 0.0254},
	{"5 1⁄2 in", Length, Unit{}, 5.5 * 0.0254},
	{"5''", Length, Unit{}, 5 * 0.0254},
	{"1/2 in", Length, Unit{}, 0.0127},
	{"½ in", Length, Unit{}, 0.0127},
	{"-½ in", Length, Unit{}, -0.0127},
	{"-¾ in", Length, Unit{}, -0.01905},
	{"-1 1/2 in", Length, Unit{}, -0.0381},
	{"9/8 in", Length, Unit{}, 1.125 * 0.0254},
	{"2 ft 5 1/2 in", Length, Unit{}, 29.5 * 0.0254},
	{"2 ft. 5-1/2 in.", Length, Unit{}, 29.5 * 0.0254},
	{`2' 5 1/2"`, Length, Unit{}, 29.5 * 0.0254},
	{`2'-5 1/2"`, Length, Unit{}, 29.5 * 0.0254},
	{"2′5½″", Length, Unit{}, 29.5 * 0.0254},
	{"2'5''", Length, Unit{}, 29 * 0.0254},
	{"2 feet 0 inches", Length, Unit{}, 24 * 0.0254},
	{"2.5 ft", Length, Unit{}, 30 * 0.0254},
	// units of every kind
	{"5L", Volume, Unit{}, 0.005},
	{"5 l", Volume, Unit{}, 0.005},
	{"5 ℓ", Volume, Unit{}, 0.005},
	{"1 gal", Volume, Unit{}, 0.003785411784},
	{"1 imp gal", Volume, Unit{}, 0.00454609},
	{"250 cc", Volume, Unit{}, 2.5e-4},
	{"2 lb", Mass, Unit{}, 0.90718474},
	{"16 oz", Mass, Unit{}, 0.45359237},
	{"300 GR", Mass, Unit{}, 0.3},
	{"1.5 h", Time, Unit{}, 5400},
	{"45 Mins", Time, Unit{}, 2700},
	{"121 cm2", Area, Unit{}, 0.0121},
	{"121 cm²", Area, Unit{}, 0.0121},
	{"760 mmHg", Pressure, Unit{}, 101325.0144354}, // conventional millimetre of mercury
	{"850 mbar", Pressure, Unit{}, 85000},
	{"4.5 kW", Power, Unit{}, 4500},
	{"1 kWh", Energy, Unit{}, 3.6e6},
	{"18.4 MJ/kg", SpecificEnergy, Unit{}, 18.4e6},
	{"18400 J/g", SpecificEnergy, Unit{}, 18.4e6},
	{"0.6 g/cm³", Density, Unit{}, 600},
	{"62.427960576144606 lb/ft3", Density, Unit{}, 1000}, // 1000 kg/m³ × 0.3048³ / 0.45359237
	{"3.6 kg/h", MassFlow, Unit{}, 0.001},
	{"180°", Angle, Unit{}, math.Pi},
	{"1 kgf", Force, Unit{}, 9.80665},
	{"1.2 N/mm²", Stress, Unit{}, 1.2e6},
	{"0.2 W/mK", Conductivity, Unit{}, 0.2},
	{"0.2 W/(m·K)", Conductivity, Unit{}, 0.2},
	{"52 ppm", GasShare, Unit{}, 52e-6},
	{"1.2 %", GasShare, Unit{}, 0.012},
	{"35 µg/m3", Density, Unit{}, 35e-9},
	{"1,5 mg/m³", Density, Unit{}, 1.5e-6},
	{"6 m3/min", VolumeFlow, Unit{}, 0.1},
	{"16.7 L/min", VolumeFlow, Unit{}, 16.7e-3 / 60},
	{"15 per hour", Rate, Unit{}, 15.0 / 3600},
	{"15 per h", Rate, Unit{}, 15.0 / 3600},
	// blanks and digits of other keyboards
	{"\u3000７５．４\u3000cm", Length, Unit{}, 0.754},
	{"\ufeff75.4\u200b cm\r\n", Length, Unit{}, 0.754},
	{"٧٥٫٤ cm", Length, Unit{}, 0.754},
	{"७५.४ cm", Length, Unit{}, 0.754},
}

func TestParse(t *testing.T) {
	for _, tt := range readings {
		got, err := Parse(tt.text, tt.d, tt.fallback)
		if err != nil || math.Abs(got-tt.want) > 1e-12*math.Max(1, math.Abs(tt.want)) {
			t.Errorf("Parse(%q, %v) = %.12g, %v; want %.12g", tt.text, tt.d, got, err, tt.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		text        string
		d           Dimension
		fallback    Unit
		reason, try string
	}{
		{"", Length, Millimetre, "quantity.empty", "12.5 mm"},
		{" \u00a0\u200b", Mass, Unit{}, "quantity.empty", "1.2 kg"},
		{strings.Repeat("1", 65), Length, Millimetre, "quantity.long", "12.5 mm"},
		{"1.200,5 mm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1,200.5 mm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1,200,000 mm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1,200 mm", Length, Unit{}, "quantity.comma", "1200 mm"},
		{"1,200 fingers", Length, Millimetre, "quantity.comma", "12.5 mm"},
		{"1,500", Length, Metre, "quantity.comma", "1500"},
		{"12 00 mm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"5-6 cm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"29 9/8 in", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"29--5/8 in", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1/0 in", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1/-2 in", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"cm", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"NaN", Ratio, One, "quantity.number", "15 %"},
		{"infinity m", Length, Unit{}, "quantity.number", "75.4 cm"},
		{"1_000 mm", Length, Unit{}, "quantity.unit", "75.4 cm"},
		{"1'200 mm", Length, Unit{}, "quantity.unit", "75.4 cm"},
		{`2' 13"`, Length, Unit{}, "quantity.unit", "75.4 cm"},
		{`-2' 5"`, Length, Unit{}, "quantity.unit", "75.4 cm"},
		{"5 kg", Length, Millimetre, "quantity.unit", "12.5 mm"},
		{"5", Length, Unit{}, "quantity.unit-missing", "5 cm"},
		{"5", Length, Litre, "quantity.unit-missing", "5 cm"},
		{"1e400 mm", Length, Unit{}, "quantity.range", "75.4 cm"},
		{"1e308 MJ", Energy, Unit{}, "quantity.range", "15 MJ"},
	}
	for _, tt := range tests {
		got, err := Parse(tt.text, tt.d, tt.fallback)
		var refusal *Error
		if !errors.As(err, &refusal) {
			t.Errorf("Parse(%q) = %g, %v; want a refusal", tt.text, got, err)
			continue
		}
		if refusal.Reason != tt.reason || refusal.Try != tt.try {
			t.Errorf("Parse(%q): reason %s, try %q; want %s, %q", tt.text, refusal.Reason, refusal.Try, tt.reason, tt.try)
		}
		if said := refusal.Error(); !strings.Contains(said, "(try: "+tt.try+")") || strings.Contains(said, ": : ") {
			t.Errorf("Parse(%q): the error says %q", tt.text, said)
		}
	}
}

func TestUnitErrorsListTheAllowedUnits(t *testing.T) {
	_, err := Parse("5 furlongs", Length, Millimetre)
	const want = `quantity: "5 furlongs": the unit is not one of m, cm, ft, in, mm (try: 12.5 mm)`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// What is offered as an example must itself be readable.
func TestEveryExampleParses(t *testing.T) {
	for d := Ratio; d <= Conductivity; d++ {
		if _, err := Parse(exampleFor(d, Unit{}), d, Unit{}); err != nil {
			t.Errorf("%v: %v", d, err)
		}
		for _, u := range printable(d) {
			if _, err := Parse(exampleFor(d, u), d, u); err != nil {
				t.Errorf("%v in %s: %v", d, u.Symbol, err)
			}
		}
	}
}

// printable lists each unit of a dimension once.
func printable(d Dimension) []Unit {
	seen := make(map[Unit]bool)
	var units []Unit
	for _, u := range spellings[d] {
		if !seen[u] {
			seen[u] = true
			units = append(units, u)
		}
	}
	return units
}

func TestSpellingsNeverDependOnCase(t *testing.T) {
	for d, words := range spellings {
		for word := range words {
			if word != strings.ToLower(word) {
				t.Errorf("%v: spelling %q is not in lower case", d, word)
			}
		}
	}
}

// roundTrip reports how a printed value fails to be read back within half of
// the step it was rounded to.
func roundTrip(v Value, decimal rune) (back, allowed float64, err error) {
	n := v.Unit.Number(v.SI)
	allowed = v.Step / 2
	if v.Step == 0 {
		allowed = 0.005 * math.Abs(n) // three figures
	}
	allowed += 1e-12 * math.Abs(n)
	fallback := Unit{}
	if v.Unit.Symbol == "" {
		fallback = v.Unit
	}
	si, err := Parse(v.Format(decimal), v.Unit.Dimension, fallback)
	return math.Abs(v.Unit.Number(si) - n), allowed, err
}

func TestPrintedValuesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(int(Ratio), int(Conductivity)).Draw(t, "dimension"))
		units := printable(d)
		u := units[rapid.IntRange(0, len(units)-1).Draw(t, "unit")]
		step := rapid.SampledFrom([]float64{0, 0.01, 0.1, 0.25, 0.5, 1, 5}).Draw(t, "step")
		v := Value{u.SI(rapid.Float64Range(-1e6, 1e6).Draw(t, "number")), u, step}
		decimal := rapid.SampledFrom([]rune{'.', ','}).Draw(t, "decimal")
		if step == 0 && decimal == ',' {
			return // "1,234" is refused by design
		}
		if off, allowed, err := roundTrip(v, decimal); err != nil || off > allowed {
			t.Fatalf("%q reads back %g off (allowed %g): %v", v.Format(decimal), off, allowed, err)
		}
	})
}

// A text that is read gives a finite value, and that value, printed in any
// unit of its dimension, can be read again.
func FuzzParse(f *testing.F) {
	for _, tt := range readings {
		f.Add(tt.text, uint8(tt.d), tt.fallback.Symbol)
	}
	f.Add("1.200,5", uint8(Length), "mm")
	f.Add("1e308 m", uint8(Length), "")
	f.Fuzz(func(t *testing.T, text string, dimension uint8, fallback string) {
		d := Dimension(dimension % uint8(Conductivity+1))
		u, _ := lookup(fallback, d)
		si, err := Parse(text, d, u)
		if err != nil {
			var refusal *Error
			if !errors.As(err, &refusal) || refusal.Try == "" || refusal.Reason == "" {
				t.Fatalf("Parse(%q): %v", text, err)
			}
			return
		}
		if math.IsNaN(si) || math.IsInf(si, 0) {
			t.Fatalf("Parse(%q) = %g", text, si)
		}
		for _, u := range printable(d) {
			if math.IsInf(u.SI(u.Number(si)*1.01), 0) || math.IsInf(u.Number(si)*1.01, 0) {
				continue // too near the end of the numbers to be printed in this unit
			}
			v := Value{SI: si, Unit: u}
			if off, allowed, err := roundTrip(v, '.'); err != nil || off > allowed {
				t.Fatalf("Parse(%q) = %g, printed %q, reads back %g off (allowed %g): %v", text, si, v, off, allowed, err)
			}
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("29 5/8 in", Length, Millimetre); err != nil {
			b.Fatal(err)
		}
	}
}
