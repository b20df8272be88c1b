package heat

import (
	"math"
	"testing"

	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	if err := proof.Validate(Checks()); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(Checks()) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// A step taken in two halves, line first and gas temperature after, is the step
// with that gas temperature.
func TestRespondIsTheStep(t *testing.T) {
	make := func() *Wall {
		w, err := NewCylinder(0.06, 0.3, noteCylinder(), 300)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	a, b := make(), make()
	outer := Edge{10, 300}
	for i := 0; i < 20; i++ {
		gas := 900 + 20*float64(i)
		g, effective := a.Respond(15, 30, outer)
		fa := a.Commit(gas)
		fb := b.Step(15, Edge{30, gas}, outer)
		if math.Abs(fa.In-fb.In) > 1e-9*fb.In || math.Abs(g*(gas-effective)-fb.In) > 1e-9*fb.In {
			t.Fatalf("step %d: %g, %g and %g W", i, fa.In, g*(gas-effective), fb.In)
		}
	}
}

func TestBadWalls(t *testing.T) {
	good := noteCylinder()
	thin := noteCylinder()
	thin[1].Thickness = 0
	for name, layers := range map[string][]Layer{"none": nil, "no thickness": thin, "no conductivity": {{Thickness: 1, Solid: Solid{nil, 1, 1}}}} {
		if _, err := NewCylinder(0.1, 1, layers, 300); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := NewCylinder(0.1, 0, good, 300); err == nil {
		t.Error("no height: accepted")
	}
	if _, err := NewSection(Plan{}, 300); err == nil {
		t.Error("empty section: accepted")
	}
	s, err := NewSection(Plan{Cell: 0.01, Side: Insulated, Top: Insulated, Bottom: Insulated, Parts: []Part{{R1: 0.1, Z1: 0.1, Solid: &good[0].Solid}}}, 300)
	if err != nil {
		t.Fatal(err)
	}
	if s.Steady(nil) == nil {
		t.Error("a body that is insulated all round has a steady state")
	}
}

// The section conserves heat in time as well.
func TestSectionBalance(t *testing.T) {
	plan, edges := examplePlan(0.015)
	s, err := NewSection(plan, 300)
	if err != nil {
		t.Fatal(err)
	}
	out := 0.0
	for i := 0; i < 30; i++ {
		if err := s.Step(60, edges); err != nil {
			t.Fatal(err)
		}
		out += 60 * (s.Out(0) + s.Out(1) + s.Out(2))
	}
	if stored := s.Stored(300); math.Abs(out+stored) > 1e-9*stored {
		t.Errorf("stored %g J, gone out %g J", stored, out)
	}
}

func TestWallAllocatesNothing(t *testing.T) {
	w, err := NewCylinder(0.06, 0.3, noteCylinder(), 300)
	if err != nil {
		t.Fatal(err)
	}
	if n := testing.AllocsPerRun(10, func() { w.Step(15, Edge{30, 1000}, Edge{10, 300}) }); n != 0 {
		t.Errorf("a step allocates %g times", n)
	}
}

func BenchmarkWallStep(b *testing.B) {
	w, err := NewCylinder(0.06, 0.3, noteCylinder(), 300)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		w.Step(15, Edge{30, 1000}, Edge{10, 300})
	}
}

func BenchmarkSectionStep(b *testing.B) {
	plan, edges := examplePlan(0.01)
	s, err := NewSection(plan, 300)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := s.Step(60, edges); err != nil {
			b.Fatal(err)
		}
	}
}
