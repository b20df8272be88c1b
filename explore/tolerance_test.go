package explore

import (
	"math"
	"slices"
	"testing"

	"stovewright/message"
	"stovewright/stove"
)

// TestBuilt holds the errors of making against plain geometry.
func TestBuilt(t *testing.T) {
	s := sized(t, subject(t, "beans-pot.yaml"))
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	b, _ := Built(s, Making{Tape: 0.010}) // 10 mm of girth are 1.6 mm of gap, as the tape rule has it
	near("gap after a tape error", s.SkirtGap-b.SkirtGap, 0.010/(2*math.Pi))
	b, _ = Built(s, Making{Seam: 0.010})
	near("gap after a seam error", b.SkirtGap-s.SkirtGap, 0.010/(2*math.Pi))
	b, _ = Built(s, Making{Rods: 0.003})
	near("pot after high rods", b.PotLevel()-s.PotLevel(), 0.003)
	near("skirt after high rods", b.SkirtLevel(), s.SkirtLevel())
	near("lining after high rods", b.LiningThickness(0.1), s.LiningThickness(0.1))
	b, _ = Built(s, Making{Lining: 0.002})
	near("lining", b.LiningThickness(s.Pot.Diameter()/2)-s.LiningThickness(s.Pot.Diameter()/2), 0.002)
	b, _ = Built(s, Making{Shrinkage: 0.02})
	near("bore", b.ChamberArea/s.ChamberArea, 1.02*1.02)
	near("bore of its width", b.BorePerimeter()/s.BorePerimeter(), 1.02)
	if _, ok := Built(s, Making{Dent: s.SkirtGap}); ok {
		t.Error("a skirt that touches the pot is taken as a gap")
	}
	if same, ok := Built(s, Making{}); !ok || same.SkirtGap != s.SkirtGap || same.Mass != s.Mass {
		t.Error("perfect work is not the drawing")
	}
}

func TestWithPot(t *testing.T) {
	s := sized(t, subject(t, "beans-pot.yaml"))
	small := stove.Pot{Name: "tea", Circumference: s.Pot.Circumference - 0.02, Height: s.Pot.Height, Handle: s.Pot.Handle, Material: s.Pot.Material}
	b, ok := WithPot(s, small)
	if !ok || math.Abs(b.SkirtGap-s.SkirtGap-0.02/(2*math.Pi)) > 1e-12 {
		t.Errorf("gap %v", b.SkirtGap)
	}
	if b.Pot.Fill.SI <= 0 || b.Pot.Mass.SI <= 0 || b.Pot.Mass.SI >= s.Pot.Mass.SI {
		t.Errorf("fill %v, mass %v", b.Pot.Fill, b.Pot.Mass)
	}
	big := small
	big.Circumference = s.Pot.Circumference + 0.2
	if _, ok := WithPot(s, big); ok {
		t.Error("a pot wider than the skirt goes in")
	}
	tiny := small
	tiny.Circumference = 2 * math.Pi * (s.RodOffset + 0.002)
	if _, ok := WithPot(s, tiny); ok {
		t.Error("a pot that falls between the rods is taken")
	}
	low := small
	low.Handle = s.SkirtRise - 0.01
	if _, ok := WithPot(s, low); ok {
		t.Error("a pot whose handles meet the skirt is taken")
	}
}

func tolerance(t testing.TB, name string, draws int) *Tolerance {
	return &Tolerance{Subject: subject(t, name), Practice: UsualPractice(), Draws: draws, Seed: 6}
}

func TestToleranceIsTheSameForAll(t *testing.T) {
	sameForAll(t, func() *Tolerance { return tolerance(t, "beans-pot.yaml", 32) })
}

func TestTolerance(t *testing.T) {
	study := tolerance(t, "tea-stall-round-pots.yaml", 64)
	run(t, study, 0)
	if len(study.pots) < 2 {
		t.Fatal("this kitchen should have several pots")
	}
	for _, r := range study.Done {
		if r.Good > r.InTime+1e-9 || r.Smoky+r.NoFit > 1+1e-9 || r.Good < 0 {
			t.Errorf("%+v", r)
		}
	}
	says(t, study.Says()...)
	now, _ := study.Row("", 1, study.designPot())
	all, ok := study.Row(asGauged, 1, study.designPot())
	if !ok {
		t.Fatal("the gauges were not tried together")
	}
	wider := 0
	for _, c := range study.Closenesses() {
		if c.Worth > c.Usual {
			wider++
		}
	}
	if wider == 0 || study.forgiven() && now.Good-all.Good >= study.Worth {
		t.Errorf("%d errors may be wider, together %+v against %+v", wider, all, now)
	}
	for _, g := range study.Gauges() {
		says(t, g.Name)
		if !(g.Least.SI < g.Nominal.SI && g.Nominal.SI < g.Most.SI) {
			t.Errorf("%+v", g)
		}
	}
}

// TestTimeToSpare holds that without a time in the brief a careful workshop's stoves
// are in time, and that a stove that is late or short of air as drawn is told to be
// so, with no error allowed to grow for it.
func TestTimeToSpare(t *testing.T) {
	study := tolerance(t, "beans-pot.yaml", 128)
	run(t, study, 0)
	boil := study.pots[0].boil
	if study.Time < 1.25*boil || study.Time >= 1.25*boil+60 || math.Mod(study.Time, 60) != 0 {
		t.Errorf("in time within %v s, as drawn %v s", study.Time, boil)
	}
	if r, _ := study.Row("", 1, 0); r.InTime < 0.8 || study.late() || study.airless() {
		t.Errorf("%+v", r)
	}
	for _, c := range []struct {
		brief, want string
		time        float64
	}{{"beans-pot.yaml", "explore.tolerance-late", 15 * 60}, {"upland-drum.yaml", "explore.tolerance-airless", 0}} {
		study := tolerance(t, c.brief, 64)
		study.Time = c.time
		run(t, study, 0)
		if !slices.ContainsFunc(study.Says(), func(s message.Text) bool { return s.ID == c.want }) {
			t.Errorf("%s: nothing says %s", c.brief, c.want)
		}
		for _, closeness := range study.Closenesses() {
			if closeness.Worth > closeness.Usual || closeness.Worth <= 0 {
				t.Errorf("%s: %+v", c.brief, closeness)
			}
		}
	}
}

// TestSloppyWorkCosts holds that a workshop with three times the errors has fewer
// good stoves than a careful one, and more that smoke.
func TestSloppyWorkCosts(t *testing.T) {
	careful := tolerance(t, "beans-pot.yaml", 128)
	careful.Practice.Power = 0 // the cook hides the maker
	sloppy := tolerance(t, "beans-pot.yaml", 128)
	p := UsualPractice()
	sloppy.Practice = Practice{Tape: 3 * p.Tape, Seam: 3 * p.Seam, Dent: 3 * p.Dent, Shrinkage: 3 * p.Shrinkage, Rods: 3 * p.Rods, Lining: 3 * p.Lining,
		Mouth: 3 * p.Mouth, Moisture: p.Moisture, Fill: p.Fill, Heat: p.Heat}
	// a time that the stove as drawn keeps: where it does not, errors may as well mend it
	careful.Time, sloppy.Time = 25*60, 25*60
	run(t, careful, 0)
	run(t, sloppy, 0)
	a, _ := careful.Row("", 1, 0)
	b, _ := sloppy.Row("", 1, 0)
	if !(b.Good < a.Good && b.Smoky+b.NoFit > a.Smoky+a.NoFit) {
		t.Errorf("careful %+v, sloppy %+v", a, b)
	}
	perfect, _ := careful.Row("", 0, 0)
	same, _ := sloppy.Row("", 0, 0)
	if math.Abs(perfect.Good-same.Good) > 1e-9 {
		t.Errorf("perfect work differs by the practice it leaves: %v and %v", perfect, same)
	}
}

func BenchmarkTolerance(b *testing.B) {
	for range b.N {
		run(b, tolerance(b, "beans-pot.yaml", 256), 0)
	}
}
