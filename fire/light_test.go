package fire_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"stovewright/fire"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

// Every stove that can be built can be lit: the model takes it, and answers
// with a solution that closes or says where it chokes.
func TestEveryStoveCanBeLit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		lit := fire.Light(s)
		m, err := lit.Model()
		if err != nil {
			t.Fatalf("%+v: %v", lit.Stove, err)
		}
		p, err := m.Solve(fire.Defaults(), lit.Task.Power, 380)
		var choked *fire.ChokedError
		switch {
		case errors.As(err, &choked):
		case err != nil:
			t.Fatal(err)
		case math.Abs(p.Closure) > 1e-9:
			t.Errorf("the balance misses %g of the power", p.Closure)
		}
		width := 0.0
		for _, sector := range lit.Sectors {
			width += sector.Share
		}
		if math.Abs(width-1) > 1e-12 {
			t.Errorf("the sectors make %v of a circle", width)
		}
	})
}

// The gas path of the model is that of the drawing: gaps, areas and heights.
func TestLightKeepsTheDimensions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		lit := fire.Light(s).Stove
		same := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("%s is %v in the model and %v in the stove", what, got, want)
			}
		}
		first, last := lit.Bottom[0], lit.Bottom[len(lit.Bottom)-1]
		same("area of the chamber", lit.Chamber.Area, s.ChamberArea)
		same("edge of the pot", last.Radius, s.Pot.Diameter()/2)
		same("rise of the base", last.Rise, s.Pot.BaseDepth())
		for _, a := range lit.Side {
			same("gap of the skirt", a.GapBottom, s.SkirtInner/2-s.Pot.Diameter()/2)
		}
		over := s.RestHeight - s.ThroatGap // the rests may hold the pot higher than its gap
		if !s.Pot.Round {
			same("gap at the throat", first.Gap, s.GapAt(first.Radius)+over)
			same("gap at the edge", last.Gap, s.EdgeGap+over)
			return
		}
		// a sphere seated so that the rim of the bore is the throat's gap away from it
		depth, edge := s.Pot.BaseDepth(), s.Pot.Diameter()/2
		curvature := (depth*depth + edge*edge) / (2 * depth)
		over = s.RestHeight - (math.Sqrt(math.Pow(curvature+s.ThroatGap, 2)-first.Radius*first.Radius) - curvature)
		for _, b := range lit.Bottom { // square to the base, wider where the rests hold the pot higher
			want := s.GapAt(b.Radius) + over*math.Cos(s.Pot.Slope(b.Radius))
			// the skirt may be nearer than the lining, or the lining may end below it;
			// in the corner between them the gap is up to a fifth more than to either
			level := s.SkirtInner/2 - b.Radius
			if b.Gap > 1.2*math.Max(want, level)+0.001 || b.Gap < 0.9*math.Min(want, level)-0.001 {
				t.Errorf("at %v the gap is %v, in the stove %v, to the skirt %v", b.Radius, b.Gap, want, level)
			}
		}
	})
}

// A bowl as deep as it is wide: at its girth the gap square to it is the skirt's.
func TestGapOfABowlEndsAsThatOfTheSkirt(t *testing.T) {
	brief, err := stove.Form{Pot: stove.PotForm{Circumference: "100 cm", Height: "30 cm", HandleHeight: "28 cm", Base: "round", BaseRadius: "15.92 cm"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		t.Fatal(err)
	}
	bottom := fire.Light(s).Stove.Bottom
	if last := bottom[len(bottom)-1]; math.Abs(last.Gap-s.SkirtGap) > 0.0005 {
		t.Errorf("gap at the girth %v, skirt %v", last.Gap, s.SkirtGap)
	}
}

// The section of a whole stove on half its cells: the skin moves by less than
// what a hand could tell, so the grid does not make the answer.
func TestSectionOfAStoveDoesNotHangOnItsGrid(t *testing.T) {
	lit := fire.Light(household(t))
	m, err := lit.Model()
	if err != nil {
		t.Fatal(err)
	}
	run, err := m.Boil(fire.Defaults(), lit.Task, 0)
	if err != nil {
		t.Fatal(err)
	}
	soak := func(halve float64) fire.Soak {
		sectors := append([]fire.Sector(nil), lit.Sectors...)
		for i := range sectors {
			sectors[i].Plan.Cell *= halve
		}
		s, err := m.Soak(fire.Defaults(), run, sectors, 0)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	usual, fine := soak(1), soak(0.5)
	if d := math.Abs(usual.Hottest - fine.Hottest); d > 2 {
		t.Errorf("the hottest skin moves by %.1f K", d)
	}
	if d := math.Abs(usual.Top - fine.Top); d > 2 {
		t.Errorf("the top ring moves by %.1f K", d)
	}
	if d := math.Abs(usual.Stored/fine.Stored - 1); d > 0.01 {
		t.Errorf("the stored heat moves by %.2f %%", 100*d)
	}
}

// household is an invented stove for a pot of 24 cm, everything by rule.
func household(t testing.TB) *stove.Stove {
	t.Helper()
	brief, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
