package brick

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
)

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// The bases are bound by the lengths they come from, whatever the lengths.
func TestShrinkageBases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wet := rapid.Float64Range(0.01, 1).Draw(t, "wet")
		dry := wet * rapid.Float64Range(0.65, 1.03).Draw(t, "dry/wet")
		fired := dry * rapid.Float64Range(0.65, 1.03).Draw(t, "fired/dry")
		d, f, total := DryingOf(wet, dry), FiringOf(dry, fired), TotalOf(wet, fired)
		if !near(float64(Combine(d, f)), float64(total), 1e-12) {
			t.Fatalf("combined %v, total %v", Combine(d, f), total)
		}
		if !near(float64(d)+float64(f.OnWet(d)), float64(total), 1e-12) {
			t.Fatal("drying and firing on the wet length do not add up to the total")
		}
		if !near(float64(d.OnDry()), (wet-dry)/dry, 1e-12) || !near(float64(d.OnDry().OnWet()), float64(d), 1e-12) {
			t.Fatal("drying shrinkage changed in conversion")
		}
		if !near(float64(f.OnWet(d).OnDry(d)), float64(f), 1e-12) || !near(float64(total.Firing(d)), float64(f), 1e-12) {
			t.Fatal("firing shrinkage changed in conversion")
		}
	})
}

// A brick moulded in the cavity comes back to the size that was asked for.
func TestCavityReturns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fired Size
		var s Shrinkage
		for _, a := range Axes {
			fired[a] = rapid.Float64Range(0.01, 0.5).Draw(t, "fired")
			s[a] = AxisShrinkage{Drying: Drying(rapid.Float64Range(0, 0.2).Draw(t, "drying")),
				Firing: Firing(rapid.Float64Range(-0.02, 0.15).Draw(t, "firing"))}
		}
		c, err := CavityFor(fired, s, Size{})
		if err != nil {
			t.Fatal(err)
		}
		back := s.Fired(c.Size)
		for _, a := range Axes {
			if !near(back[a], fired[a], 1e-12) {
				t.Fatalf("%v: %v came back as %v", a, fired[a], back[a])
			}
		}
		if !near(back.Volume(), c.Size.Volume()*(1-s.Volume()), 1e-12) {
			t.Fatal("the volume shrinkage does not carry the cavity to the brick")
		}
	})
}

// The uncertainty of the cavity is the first-order propagation of the two
// shrinkages; a numerical derivative says the same.
func TestCavityUncertainty(t *testing.T) {
	a := AxisShrinkage{Drying: 0.06, Firing: 0.03, UDrying: 0.004, UFiring: 0.003}
	c, err := CavityFor(Size{0.1, 0.1, 0.1}, Uniform(a), Size{})
	if err != nil {
		t.Fatal(err)
	}
	const h = 1e-6
	size := func(d, f float64) float64 { return 0.1 / ((1 - d) * (1 - f)) }
	dd := (size(0.06+h, 0.03) - size(0.06-h, 0.03)) / (2 * h)
	df := (size(0.06, 0.03+h) - size(0.06, 0.03-h)) / (2 * h)
	if want := math.Hypot(dd*0.004, df*0.003); !near(c.U[Length], want, 1e-9) {
		t.Errorf("u = %v, want %v", c.U[Length], want)
	}
}

func TestCavityRefuses(t *testing.T) {
	s := Uniform(AxisShrinkage{Drying: 0.5})
	_, err := CavityFor(Size{0.1, -1, math.NaN()}, s, Size{})
	list, ok := message.Complaints(err)
	if !ok || len(list) != 5 {
		t.Fatalf("want five complaints (two edges, three shrinkages), got %v", err)
	}
}

func TestMeasureShrinkage(t *testing.T) {
	lines := []Line{
		{Axis: Length, Wet: 100, Dry: 94, Fired: 91.18, ReadingUncertain: 0.1},
		{Axis: Length, Wet: 100, Dry: 95, Fired: 92.15, ReadingUncertain: 0.1},
		{Axis: Height, Wet: 100, Dry: 92, Fired: 88.32, ReadingUncertain: 0.1},
	}
	s, count := MeasureShrinkage(lines)
	if count != [3]int{2, 0, 1} {
		t.Fatalf("count %v", count)
	}
	// by hand: drying 6 and 5 %, firing 3 % of the dry length on both lines
	if !near(float64(s[Length].Drying), 0.055, 1e-12) || !near(float64(s[Length].Firing), 0.03, 1e-12) {
		t.Errorf("length: %+v", s[Length])
	}
	// scatter of the mean: sd 0.0070711/√2 = 0.005; reading: about 0.1·√2/94.5/√2
	if want := math.Hypot(0.005, math.Sqrt2*0.1*(1/94.0+1/95.0)/2/math.Sqrt2); !near(s[Length].UDrying, want, 1e-12) {
		t.Errorf("u(drying) = %v, want %v", s[Length].UDrying, want)
	}
	if !near(float64(s[Height].Drying), 0.08, 1e-12) || s[Height].SD != 0 {
		t.Errorf("height: %+v", s[Height])
	}
	if !near(float64(s[Width].Drying), (0.06+0.05+0.08)/3, 1e-12) {
		t.Errorf("an axis without lines takes the mean of all: %+v", s[Width])
	}
}

func TestGauges(t *testing.T) {
	wet, dry, fired := Gauges(0.100, 0.001, AxisShrinkage{Drying: 0.06, Firing: 0.03})
	if !near(fired.Go, 0.101, 1e-12) || !near(fired.NoGo, 0.099, 1e-12) {
		t.Errorf("fired %v", fired)
	}
	if !near(dry.Go, 0.101/0.97, 1e-12) || !near(wet.Go, 0.101/(0.97*0.94), 1e-12) {
		t.Errorf("dry %v wet %v", dry, wet)
	}
}
