package stove

import (
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
			if d.Editable && (d.Value.SI < d.Low || d.Value.SI > d.High) {
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
