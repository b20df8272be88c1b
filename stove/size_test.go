package stove

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stovewright/message"
	"stovewright/proof"
)

func sized(t *testing.T, yaml string) *Stove {
	t.Helper()
	s, err := sizeText(yaml)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func sizeText(yaml string) (*Stove, error) {
	f, err := ParseForm([]byte(yaml))
	if err != nil {
		return nil, err
	}
	b, err := f.Read()
	if err != nil {
		return nil, err
	}
	return Size(b)
}

const threeNumbers = "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}\n"

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

func TestEveryDimensionHasNameAndBecause(t *testing.T) {
	c := message.English()
	for _, text := range []string{threeNumbers, threeNumbers + "choices: {chamber: round}\n", threeNumbers + "yours: {skirt.gap: 9 mm}\n"} {
		s := sized(t, text)
		for _, d := range s.Dimensions {
			if !c.Has(d.Name().ID) || !c.Has(d.Because.ID) {
				t.Errorf("%s: name or because is not in the catalogue (%s)", d.ID, d.Because.ID)
			}
			if low, high, ok := s.Range(d.ID); ok != d.Editable || ok && !(d.Value.SI >= low-1e-12 && d.Value.SI <= high+1e-12) {
				t.Errorf("%s: the rule's own value %s is outside what may be set", d.ID, d.Value)
			}
		}
		for _, k := range s.Checks {
			if !c.Has(k.Text.ID) {
				t.Errorf("check %s is not in the catalogue", k.ID)
			}
		}
	}
}

func TestAnOverrideIsFollowedAndShown(t *testing.T) {
	before := sized(t, threeNumbers)
	after := sized(t, threeNumbers+"yours: {chamber.width: 120 mm}\n")
	if d := after.Dimension("chamber.width"); d.Origin != Yours || d.Value.SI != 0.12 || d.ByRule != 0.11 {
		t.Errorf("chamber.width is %v %v, by rule %v", d.Value, d.Origin, d.ByRule)
	}
	changed := make(map[string]bool)
	for _, c := range Compare(before, after) {
		changed[c.ID] = true
	}
	for _, id := range []string{"chamber.area", "mouth.height", "brick.height", "chamber.height", "gap.throat", "body.inner", "skirt.height"} {
		if !changed[id] {
			t.Errorf("%s did not follow the wider chamber", id)
		}
	}
	for _, id := range []string{"pot.diameter", "power.fire", "base.feet"} {
		if changed[id] {
			t.Errorf("%s does not depend on the chamber but changed", id)
		}
	}
}

func TestAFollowerMovesItsDriver(t *testing.T) {
	s := sized(t, threeNumbers+"yours: {skirt.inner: 260 mm, riser.height: 250 mm}\n")
	near := func(id string, want float64) {
		t.Helper()
		if got := s.Value(id).SI; math.Abs(got-want) > 1e-7 {
			t.Errorf("%s is %v, want %v", id, got, want)
		}
	}
	near("skirt.inner", 0.260)
	near("skirt.gap", (0.260-0.754/math.Pi)/2)
	near("riser.height", 0.250)
	near("chamber.height", 0.360)
	near("brick.height", 0.360/3-0.002)
	if d := s.Dimension("skirt.inner"); d.Origin != Yours || math.Abs(d.ByRule-0.256) > 5e-4 {
		t.Errorf("skirt.inner is %v, by rule %v", d.Origin, d.ByRule)
	}
	if d := s.Dimension("skirt.gap"); d.Origin == Yours || d.Because.ID != "stove.why.driver" {
		t.Errorf("skirt.gap is %v because %v", d.Origin, d.Because.ID)
	}
}

func TestEveryFollowerCanBeSetWithinItsRange(t *testing.T) {
	base := sized(t, threeNumbers+"choices: {chamber: round}\n")
	for id := range drivers {
		d := base.Dimension(id)
		low, high, ok := base.Range(id)
		if d == nil || !ok || !(low < high) {
			t.Errorf("%s: range %v to %v", id, low, high)
			continue
		}
		want := d.Value.SI + 0.02*(high-d.Value.SI)
		text := strconv.FormatFloat(d.Value.Unit.Number(want), 'f', 6, 64)
		s, err := sizeText(threeNumbers + "choices: {chamber: round}\nyours: {" + id + ": \"" + text + "\"}\n")
		if err != nil {
			t.Errorf("%s: %v", id, err)
			continue
		}
		if got := s.Value(id).SI; math.Abs(got-want) > 1e-6*math.Max(1, want) {
			t.Errorf("%s: asked for %v, got %v", id, want, got)
		}
	}
}

// A gap that is called wider than the rules is wider than the widest of them, as
// printed too.
func TestAWideGapIsWiderThanTheRules(t *testing.T) {
	c := message.English()
	for _, gap := range []string{"15.6 mm", "16 mm", "30 mm"} {
		s := sized(t, threeNumbers+"yours: {skirt.gap: "+gap+"}\n")
		i := slices.IndexFunc(s.Checks, func(k Check) bool { return k.ID == "gap-wide" })
		if i < 0 {
			t.Errorf("%s: nothing is said", gap)
			continue
		}
		said := strings.ReplaceAll(c.Say(s.Checks[i].Text), "\u00a0", " ")
		if is := strings.ReplaceAll(c.Value(s.Value("skirt.gap")), "\u00a0", " "); !strings.Contains(said, is) || !strings.Contains(said, "(11.0 mm)") || strings.Count(said, is) != 1 {
			t.Errorf("%s: %q", gap, said)
		}
	}
}
