package stove_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"stovewright/material"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/stovetest"
)

func TestAnyPotGivesAConsistentStove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		near := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: %v, want %v", what, got, want)
			}
		}
		near("the skirt leaves the gap", s.SkirtInner-s.Pot.Diameter(), 2*s.SkirtGap)
		near("the courses make the chamber", s.ChamberHeight, float64(s.Courses)*(s.BrickHeight+s.Joint))
		near("the body reaches the throat", s.FeetHeight+s.BodyHeight, s.ThroatLevel())
		near("the bore has the chamber's area", s.ChamberAreaPolygon(), s.ChamberArea)
		liningKeepsTheGap(t, s)
		if 2*s.BlockCorner() >= s.BodyInner || s.SkirtOuter() >= s.BodyInner {
			t.Errorf("bricks %v or skirt %v do not fit the body %v", 2*s.BlockCorner(), s.SkirtOuter(), s.BodyInner)
		}
		for _, r := range s.Rings {
			if r.Area < 0 || math.IsNaN(r.Area) {
				t.Errorf("ring %s has area %v", r.Key, r.Area)
			}
		}
		for _, d := range s.Dimensions {
			if d.Because.IsZero() || !message.English().Has(d.Because.ID) {
				t.Errorf("%s has no because", d.ID)
			}
		}
	})
}

// liningKeepsTheGap measures from the lining to the base of a pot that stands as
// the rule has it, square to the base.
func liningKeepsTheGap(t *rapid.T, s *stove.Stove) {
	p := s.Pot
	if !p.Round {
		if got := s.LiningThickness(0.4) + s.GapAt(0.4); math.Abs(got-s.ThroatGap) > 1e-9 {
			t.Errorf("lining and gap make %v, the rest height is %v", got, s.ThroatGap)
		}
		return
	}
	curvature := p.BaseRadius.Or(0.6 * p.Diameter())
	bore := s.BorePerimeter() / (2 * math.Pi)
	seat := math.Sqrt(math.Pow(curvature+s.ThroatGap, 2)-bore*bore) - curvature // of the lowest point above the throat
	for _, f := range []float64{0.1, 0.4, 0.8} {
		r := bore + f*(min(s.SkirtInner, p.Diameter())/2-bore)
		thick := s.LiningThickness(r)
		if thick > s.TopThickness+s.SkirtHeight-0.0101 { // the skirt ends there
			return
		}
		middle := math.Hypot(r, curvature-(thick-seat))
		if got, want := middle-curvature, s.GapAt(curvature*r/middle); math.Abs(got-want) > 1e-6 {
			t.Errorf("at %v the lining is %v from the base, want %v", r, got, want)
		}
	}
}

// The pieces of every course fill the ring between bore and block, less the
// joints and the mouth, and never overlap it.
func TestCoursesFillTheRing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		ring := (s.BlockFlats()*s.BlockFlats() - s.Flats*s.Flats) * float64(s.Sides) / 4 * math.Tan(math.Pi/float64(s.Sides))
		joints := float64(s.Sides) * s.Joint * s.BrickThickness / math.Cos(math.Pi/float64(s.Sides))
		if s.Liner { // one piece without joints; its mouth is cut out afterwards
			joints = 0
		}
		for i := range s.Courses {
			area := 0.0
			for _, p := range s.Course(i) {
				if p.Top <= p.Bottom {
					t.Errorf("course %d: a %s piece has no height", i, p.Kind)
				}
				if p.Kind != stove.MakeUp && p.Kind != stove.Lintel {
					area += shoelace(p.Plan)
					if p.Hole != nil {
						area -= shoelace(p.Hole)
					}
				}
			}
			if area > ring-joints+1e-9 {
				t.Errorf("course %d has %v m² of brick in a ring of %v", i, area, ring)
			}
			if float64(i)*(s.BrickHeight+s.Joint) >= s.MouthHeight && math.Abs(area-(ring-joints)) > 1e-9 {
				t.Errorf("course %d, above the mouth, has %v m² of brick, want %v", i, area, ring-joints)
			}
		}
	})
}

func shoelace(p []stove.Point) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return sum / 2
}

func TestRodsDoNotCrossAndPassTheSkirt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := stovetest.Stove(t)
		holes := s.RodHoles()
		if len(holes) != 6 {
			t.Fatalf("%d holes, want six", len(holes))
		}
		for i, a := range holes {
			for _, b := range holes[:i] {
				apart := math.Abs(math.Remainder(a-b, 2*math.Pi)) * s.SkirtInner / 2
				if apart < s.RodDiameter {
					t.Errorf("two rods meet at the skirt: holes %v m apart, rods %v m", apart, s.RodDiameter)
				}
			}
		}
		rods := s.Rods()
		for i, r := range rods {
			for _, end := range r.Ends {
				if math.Hypot(end.X, end.Y) < s.SkirtOuter()/2 {
					t.Errorf("rod %d ends inside the skirt", i)
				}
			}
		}
	})
}

func TestOtherPotsAreFittedToTheLargest(t *testing.T) {
	f := stove.Form{
		Pot: stove.PotForm{Name: "tea", Circumference: "50 cm", Height: "12 cm", HandleHeight: "10 cm"},
		MorePots: []stove.PotForm{
			{Name: "beans", Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"},
			{Name: "rice", Circumference: "74 cm", Height: "15 cm", HandleHeight: "11 cm"},
		},
	}
	b, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	if s.Pot.Name != "beans" {
		t.Errorf("the stove is made for %q, want the largest pot", s.Pot.Name)
	}
	want := map[string]string{"tea": "falls", "beans": "made-for", "rice": "good"}
	for _, fit := range s.Fits {
		if fit.Verdict != want[fit.Pot.Name] {
			t.Errorf("%s: %s, want %s (gap %v)", fit.Pot.Name, fit.Verdict, want[fit.Pot.Name], fit.Gap)
		}
	}
	// 14 mm less of circumference is 14/(2π) = 2.23 mm more of gap
	if more := s.Fits[2].Gap - s.SkirtGap; math.Abs(more-0.014/(2*math.Pi)) > 1e-9 {
		t.Errorf("the rice pot has %v m more gap", more)
	}
}

func TestRoundBaseOpensDownward(t *testing.T) {
	b, err := stove.Form{Pot: stove.PotForm{Circumference: "80 cm", Height: "18 cm", HandleHeight: "14 cm", Base: "round"}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	points := s.GapByHeight(s.Pot)
	for i := 1; i < len(points); i++ {
		if points[i].Gap > points[i-1].Gap+1e-12 {
			t.Errorf("the gap of a round base must close upward: %v then %v", points[i-1], points[i])
		}
	}
	if last := points[len(points)-1]; math.Abs(last.Gap-s.SkirtGap) > 1e-9 {
		t.Errorf("at the wall the gap is %v, want %v", last.Gap, s.SkirtGap)
	}
	// the rods touch the base where it has risen by the sag of a circle of the base's curvature
	c := 0.6 * s.Pot.Diameter()
	sag := c - math.Sqrt(c*c-s.RodOffset*s.RodOffset)
	if got := s.TopThickness + s.RodHeight + s.RodDiameter/2 - s.RestHeight; math.Abs(got-sag) > 1e-9 {
		t.Errorf("the rods lie %v above the lowest point, want %v", got, sag)
	}
}

func TestContainerAtHandIsTakenWhenItFits(t *testing.T) {
	form := func(bodies ...stove.BodyForm) stove.Form {
		return stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"},
			AtHand: stove.AtHandForm{Bodies: bodies}, Choices: stove.ChoicesForm{Body: "container"}}
	}
	size := func(f stove.Form) *stove.Stove {
		t.Helper()
		b, err := f.Read()
		if err != nil {
			t.Fatal(err)
		}
		s, err := stove.Size(b)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	can := stove.BodyForm{Kind: "can", Diameter: "18 cm", Height: "20 cm"}
	drum := stove.BodyForm{Kind: "drum", Diameter: "57 cm", Height: "88 cm", Thickness: "1 mm"}
	tin := stove.BodyForm{Kind: "can", Diameter: "38 cm", Height: "60 cm"}
	if s := size(form(can, drum, tin)); s.Container == nil || s.BodyInner != 0.38 {
		t.Errorf("the narrowest container that fits is the 38 cm one, got %v", s.BodyInner)
	}
	s := size(form(can))
	if s.Container != nil || !has(s, "no-container") {
		t.Errorf("a 5 L can does not take this chamber, and that must be said")
	}
	if s := size(form(drum)); !has(s, "drum") {
		t.Error("a drum of unknown contents needs a warning")
	}
}

func has(s *stove.Stove, id string) bool {
	for _, c := range s.Checks {
		if c.ID == id {
			return true
		}
	}
	return false
}

func TestChecksSpeakUp(t *testing.T) {
	pot := stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}
	tests := []struct {
		check string
		form  stove.Form
	}{
		{"handles", stove.Form{Pot: pot, Yours: map[string]string{"skirt.rise": "130 mm"}}},
		{"ring-narrow", stove.Form{Pot: pot, Yours: map[string]string{"gap.edge": "7 mm"}}},
		{"ring-wide", stove.Form{Pot: pot, Yours: map[string]string{"gap.edge": "26 mm"}}},
		{"gap-narrow", stove.Form{Pot: pot, Yours: map[string]string{"skirt.gap": "4 mm"}}},
		{"tilt", stove.Form{Pot: pot, Yours: map[string]string{"base.feet_count": "3"}}},
		{"cook-high", stove.Form{Pot: pot, Kitchen: stove.KitchenForm{Posture: "squatting"}}},
		{"height", stove.Form{Pot: pot, Limits: stove.LimitsForm{Height: "45 cm"}}},
		{"wall-thin", stove.Form{Pot: pot, Yours: map[string]string{"brick.thickness": "30 mm"}}},
		{"fill-cement", stove.Form{Pot: pot, AtHand: stove.AtHandForm{Fill: "perlite-cement"}}},
		{"zinc-skirt", stove.Form{Pot: pot, Choices: stove.ChoicesForm{Skirt: "galvanised"}}},
		{"rod-weak", stove.Form{Pot: pot, AtHand: stove.AtHandForm{Rod: "5 mm"}}},
		{"charcoal", stove.Form{Pot: pot, Fuel: stove.FuelForm{Kind: "charcoal"}}},
		{"wet-wood", stove.Form{Pot: pot, Fuel: stove.FuelForm{Moisture: "45 %", MoistureBasis: "dry"}}},
		{"thick-stick", stove.Form{Pot: pot, Fuel: stove.FuelForm{Stick: "60 mm"}}},
		{"altitude", stove.Form{Pot: pot, Place: stove.PlaceForm{Altitude: "2600 m"}}},
		{"weight", stove.Form{Pot: pot, Limits: stove.LimitsForm{Weight: "15 kg"}}},
		{"brick-sinks", stove.Form{Pot: pot, AtHand: stove.AtHandForm{Brick: stove.BrickForm{Density: "1.1 g/cm³"}}}},
		{"skirt-low", stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "8 cm"}}},
	}
	for _, tt := range tests {
		b, err := tt.form.Read()
		if err != nil {
			t.Fatalf("%s: %v", tt.check, err)
		}
		s, err := stove.Size(b)
		if err != nil {
			t.Fatalf("%s: %v", tt.check, err)
		}
		if !has(s, tt.check) {
			t.Errorf("no check says %q", tt.check)
		}
		for _, c := range s.Checks {
			if said := message.English().Say(c.Text); len(said) < 20 {
				t.Errorf("check %s says only %q", c.ID, said)
			}
		}
	}
}

func TestWallsOfEveryMaterialSettle(t *testing.T) {
	for _, brick := range material.Keys("brick") {
		for _, fill := range material.Keys("fill") {
			b, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"},
				AtHand: stove.AtHandForm{Fill: fill, Brick: stove.BrickForm{Material: brick}}}.Read()
			if err != nil {
				t.Fatal(err)
			}
			s, err := stove.Size(b)
			if err != nil {
				t.Fatal(err)
			}
			if !(s.FillInterface < 1000 && s.FillInterface > s.BodySkin && s.BodySkin > 298) {
				t.Errorf("%s and %s: fill %v K, side %v K", brick, fill, s.FillInterface, s.BodySkin)
			}
		}
	}
}

func BenchmarkSize(b *testing.B) {
	brief, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}.Read()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := stove.Size(brief); err != nil {
			b.Fatal(err)
		}
	}
}

func TestALinerTakesThePlaceOfTheBricks(t *testing.T) {
	f := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"},
		AtHand: stove.AtHandForm{Liner: stove.LinerForm{Bore: "125 mm", Wall: "30 mm", Height: "330 mm"}}}
	b, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Liner || s.Courses != 1 || math.Abs(s.ChamberWidth-0.125) > 1e-12 || math.Abs(s.ChamberArea-math.Pi/4*0.125*0.125) > 1e-12 {
		t.Errorf("liner %v in %d rings, bore %v, area %v", s.Liner, s.Courses, s.ChamberWidth, s.ChamberArea)
	}
	if outside := 2 * s.BlockCorner(); outside < 0.185 || outside > 0.187 {
		t.Errorf("the liner is %v m across outside, want 125 + 2·30 mm within 1 %%", outside)
	}
	f.AtHand.Liner.Wall = ""
	if _, err := f.Read(); err == nil {
		t.Error("a liner without its wall was taken")
	}
}
