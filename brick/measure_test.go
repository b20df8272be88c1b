package brick

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
)

// The identities of the method hold for every brick that can be: AP = A B/ρL
// and B = T(1−AP).
func TestArchimedesIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		volume := rapid.Float64Range(1e-4, 5e-3).Draw(t, "volume")
		skeleton := rapid.Float64Range(2300, 2750).Draw(t, "skeleton")
		open := rapid.Float64Range(0.1, 0.9).Draw(t, "open")
		sinker := rapid.Float64Range(0, 3).Draw(t, "sinker")
		const kelvin = 298.15
		rho := 997.0 // close to that of the method; only the ratio matters below
		dry := volume * skeleton * (1 - open)
		wet := dry + volume*open*rho
		a := Archimedes{Dry: Reading{Value: dry, U: 0.001}, Saturated: Reading{Value: wet, U: 0.001},
			Suspended: Reading{Value: wet - volume*rho + sinker, U: 0.001}, Sinker: Reading{Value: sinker, U: 0.001}, Kelvin: kelvin}
		p, _, err := a.Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		ap, absorption := p.ApparentPorosity.Value, p.Absorption.Value
		if !near(ap, open, 1e-9) {
			t.Fatalf("open pores %v came out as %v", open, ap)
		}
		liquid := p.BulkDensity.Value * absorption / ap
		if !near(liquid/rho, 1, 1e-3) {
			t.Fatalf("AP = A B/ρL gives a liquid of %v", liquid)
		}
		if !near(p.SkeletonDensity.Value*(1-ap)/p.BulkDensity.Value, 1, 1e-9) {
			t.Fatal("B = T(1−AP) does not hold")
		}
	})
}

func TestArchimedesUncertainty(t *testing.T) {
	a := Archimedes{Dry: Reading{Value: 0.600, U: 0.001}, Saturated: Reading{Value: 1.370, U: 0.002}, Suspended: Reading{Value: 0.370, U: 0.003}}
	p, _, err := a.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	// AP = (W−D)/(W−S): ∂W = (D−S)/(W−S)², ∂D = −1/(W−S), ∂S = (W−D)/(W−S)², W−S = 1
	want := math.Sqrt(math.Pow(0.23*0.002, 2) + math.Pow(0.001, 2) + math.Pow(0.77*0.003, 2))
	if !near(p.ApparentPorosity.U, want, 1e-8) {
		t.Errorf("u(AP) = %v, want %v", p.ApparentPorosity.U, want)
	}
}

// Entries that cannot be are caught while the brick is still on the table, and
// the reason says what most likely happened.
func TestArchimedesRefuses(t *testing.T) {
	r := func(v float64) Reading { return Reading{Value: v} }
	tests := []struct {
		name   string
		a      Archimedes
		reason string
	}{
		{"crumbled", Archimedes{Dry: r(0.6), Saturated: r(0.5), Suspended: r(0.2)}, "brick.archimedes.lighter-wet"},
		{"swapped", Archimedes{Dry: r(0.6), Saturated: r(0.9), Suspended: r(1.37)}, "brick.archimedes.heavier-in-water"},
		{"no sinker", Archimedes{Dry: r(0.6), Saturated: r(1.2), Suspended: r(-0.1)}, "brick.archimedes.no-sinker"},
		{"air left", Archimedes{Dry: r(0.6), Saturated: r(0.7), Suspended: r(0.7), Sinker: r(1)}, "brick.archimedes.air-left"},
		{"sinker not taken off", Archimedes{Dry: r(0.6), Saturated: r(1.37), Suspended: r(0.58)}, "brick.archimedes.too-heavy-solid"},
		{"no solid", Archimedes{Dry: r(0.6), Saturated: r(1.37), Suspended: r(0.61)}, "brick.archimedes.no-solid"},
		{"missing", Archimedes{Saturated: r(1.37), Suspended: r(0.37)}, "brick.measure.positive"},
		{"boiling", Archimedes{Dry: r(0.6), Saturated: r(1.37), Suspended: r(0.37), Kelvin: 373}, "brick.measure.water-temperature"},
		{"not a number", Archimedes{Dry: r(0.6), Saturated: r(1.37), Suspended: r(math.NaN())}, "brick.measure.unfinished"},
	}
	for _, tt := range tests {
		_, _, err := tt.a.Evaluate()
		list, ok := message.Complaints(err)
		if !ok || list[0].Reason.ID != tt.reason {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// A brick lighter than water that sank is explained, not doubted.
func TestExplainFloating(t *testing.T) {
	tests := []struct {
		seen        Floating
		bulk        float64
		id          string
		mustMention string
	}{
		{SinksAtOnce, 600, "brick.float.light-sank", "53 %"},
		{SinksLater, 600, "brick.float.light-sank-later", "40 s"},
		{Floats, 1300, "brick.float.heavy-floats", "1.30"},
		{Floats, 600, "", ""},
		{SinksAtOnce, 1300, "", ""},
		{SinksAtOnce, 980, "", ""},
	}
	for _, tt := range tests {
		got := ExplainFloating(tt.seen, 40, tt.bulk, 0.75)
		said := strings.ReplaceAll(message.English().Say(got), "\u00a0", " ")
		if got.ID != tt.id || !strings.Contains(said, tt.mustMention) {
			t.Errorf("%s at %v: %q", tt.seen, tt.bulk, said)
		}
	}
}

// What floats is lighter than water by as much as shows: a 0.6 brick floats
// with six tenths under.
func TestFloatDensity(t *testing.T) {
	d, err := FloatDensity(Reading{Value: 0.030, U: 0.0005}, Reading{Value: 0.050, U: 0.0005}, 0)
	if err != nil || !near(d.Value, 0.6*998.2, 0.3) {
		t.Errorf("%v %v", d.Value, err)
	}
	if want := d.Value * math.Hypot(0.0005/0.030, 0.0005/0.050); !near(d.U, want, 1e-3) {
		t.Errorf("u = %v, want %v", d.U, want)
	}
	if _, err := FloatDensity(Reading{Value: 0.06}, Reading{Value: 0.05}, 0); err == nil {
		t.Error("a line above the brick was accepted")
	}
}

func TestFieldDensityRefuses(t *testing.T) {
	edge := func(v float64) Reading { return Reading{Value: v} }
	// centimetres written for millimetres
	_, err := FieldDensity(Reading{Value: 0.6}, [3]Reading{edge(0.020), edge(0.010), edge(0.005)})
	if list, ok := message.Complaints(err); !ok || list[0].Reason.ID != "brick.measure.density-impossible" {
		t.Errorf("%v", err)
	}
}

// The instrument's own uncertainty does not average away; scatter does.
func TestInstrumentRead(t *testing.T) {
	calliper := Instrument{Resolution: 0.0001}
	if got, want := calliper.U(), 0.0001/math.Sqrt(12); !near(got, want, 1e-12) {
		t.Errorf("u of a reading %v, want %v", got, want)
	}
	r := calliper.Read(0.100, 0.101, 0.102)
	if want := math.Hypot(0.0001/math.Sqrt(12), 0.001/math.Sqrt(3)); !near(r.Value, 0.101, 1e-12) || !near(r.U, want, 1e-12) {
		t.Errorf("%+v, want u %v", r, want)
	}
	if r.DF < 2 || r.DF > 2.1 {
		t.Errorf("three readings that scatter have little more than two degrees of freedom, got %v", r.DF)
	}
}
