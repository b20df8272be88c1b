package stove

import (
	"math"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/message"
)

func ownBody(predicted bool) brick.Body {
	shrinkage := brick.Uniform(brick.AxisShrinkage{Drying: 0.06, Firing: 0.03})
	shrinkage[brick.Height].Drying = 0.08
	return brick.Body{Name: "light lining T2", Density: brick.Reading{Value: 640}, TrueDensity: 2600, Peak: 1253.15, Skeleton: brick.DefaultSkeleton, Shrinkage: shrinkage, Predicted: predicted}
}

func potForm() Form {
	return Form{Pot: PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}
}

func sizedForm(t *testing.T, f Form) *Stove {
	t.Helper()
	b, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A stove takes its own brick by name: mass, conductivity, shrinkage and limit
// are the body's, each with where it comes from, and go with the file.
func TestOwnBrick(t *testing.T) {
	f := potForm()
	f.AtHand.Brick.Body = "t2" // the trial alone, in any letters
	body := ownBody(false)
	if err := f.TakeBody([]brick.Body{{Name: "dense T1"}, body}); err != nil {
		t.Fatal(err)
	}
	data, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ParseForm(data)
	if err != nil {
		t.Fatal(err)
	}
	s, usual := sizedForm(t, again), sizedForm(t, potForm())
	m := s.BrickMaterial()
	if math.Abs(m.Density-640) > 0.5 || math.Abs(m.LimitC-body.Material().LimitC) > 0.5 {
		t.Errorf("density %g, limit %g", m.Density, m.LimitC)
	}
	for _, kelvin := range []float64{373.15, 773.15, 1173.15} { // the course of the body itself
		if got, want := m.Conductivity(kelvin), body.Conductivity(kelvin).Best; math.Abs(got/want-1) > 0.01 {
			t.Errorf("at %g K it conducts %g and not %g", kelvin, got, want)
		}
	}
	by, measured := s.BrickShrinkage()
	if !measured || math.Abs(float64(by[brick.Height].Drying)-0.08) > 1e-4 || math.Abs(float64(by[brick.Length].Firing)-0.03) > 1e-4 {
		t.Errorf("shrinkage %+v", by)
	}
	// the chamber of the usual brick of 600 kg/m³ and of this one differ in mass
	// by their density alone
	if usual.Brief.Brick.Body != "" || !(s.Value("stove.mass").SI > usual.Value("stove.mass").SI) {
		t.Errorf("a heavier brick makes a stove of %v and not heavier than %v", s.Value("stove.mass"), usual.Value("stove.mass"))
	}
	for id, origin := range map[string]Origin{"brick.density": Measured, "brick.conductivity": Rule, "brick.shrinkage": Measured} {
		d := s.Dimension(id)
		if d == nil || d.Origin != origin || !strings.Contains(message.English().Say(d.Because), "t2") {
			t.Errorf("%s: %+v", id, d)
		}
	}
}

// A body that nobody has weighed is a prediction, and the stove says so.
func TestOwnBrickPredicted(t *testing.T) {
	f := potForm()
	f.AtHand.Brick.Body = "light lining T2"
	if err := f.TakeBody([]brick.Body{ownBody(true)}); err != nil {
		t.Fatal(err)
	}
	s := sizedForm(t, f)
	if d := s.Dimension("brick.density"); d.Origin != Default {
		t.Errorf("%+v", d)
	}
	if _, measured := s.BrickShrinkage(); measured {
		t.Error("a prediction counts as measured")
	}
	said := false
	for _, c := range s.Checks {
		said = said || c.ID == "brick-predicted"
	}
	if !said {
		t.Errorf("nothing is said: %v", s.Checks)
	}
}

func TestOwnBrickRefuses(t *testing.T) {
	f := potForm()
	f.AtHand.Brick.Body = "light linning T2"
	err := f.TakeBody([]brick.Body{ownBody(false)})
	list, ok := message.Complaints(err)
	if !ok || list[0].Field != "at_hand.brick.body" || list[0].Try != "light lining T2" || !strings.Contains(message.English().Say(list[0].Allowed), "light lining T2") {
		t.Errorf("%v", err)
	}
	_, err = f.Read() // without its numbers a name says nothing
	if list, ok := message.Complaints(err); !ok || len(list) != 1 || list[0].Field != "at_hand.brick.density" || list[0].Try == "" {
		t.Errorf("%v", err)
	}
	f.AtHand.Brick = BrickForm{Body: "own", Density: "0.7 g/cm³", DryShrinkage: "6 x 6 x 30 %"}
	if _, err := f.Read(); err == nil {
		t.Error("a shrinkage of 30 % is accepted")
	}
	f.AtHand.Brick.DryShrinkage = "6 x 6 x 8 %"
	s := sizedForm(t, f)
	if by, measured := s.BrickShrinkage(); measured || by[brick.Height].Drying != 0.08 || by[brick.Height].UFiring == 0 {
		t.Errorf("%+v", by)
	}
}
