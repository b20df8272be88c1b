package stove

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stovewright/message"
)

func TestBadInputNamesFieldValueRangeAndTry(t *testing.T) {
	const pot = "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}\n"
	tests := []struct {
		name, yaml string
		field      string
		holds      []string // what the whole complaint must contain
	}{
		{"missing measure", "pot: {circumference: 75.4 cm, height: 17 cm}", "pot.handle_height", []string{"needed", "12 cm"}},
		{"out of range", "pot: {circumference: 7.5 cm, height: 17 cm, handle_height: 13 cm}", "pot.circumference", []string{`"7.5 cm"`, "30.0", "300", "try: 75.4 cm"}},
		{"wrong unit", "pot: {circumference: 75.4 kg, height: 17 cm, handle_height: 13 cm}", "pot.circumference", []string{"unit", "mm"}},
		{"no number", "pot: {circumference: wide, height: 17 cm, handle_height: 13 cm}", "pot.circumference", []string{`"wide"`}},
		{"unknown field", pot + "kichen: {people: 4}", "kichen", []string{"line 2", "kitchen"}},
		{"unknown field deep", "pot: {circumfrence: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}", "pot.circumfrence", []string{"line 1", "circumference"}},
		{"handles above the rim", "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 18 cm}", "pot.handle_height", []string{"17.0"}},
		{"basis missing", pot + "fuel: {moisture: 20 %}", "fuel.moisture_basis", []string{"wet", "dry"}},
		{"wetter than wood", pot + "fuel: {moisture: 80 %, moisture_basis: wet}", "fuel.moisture", []string{"dry basis"}},
		{"unknown word", pot + "at_hand: {fill: perlit}", "at_hand.fill", []string{"try: perlite"}},
		{"second pot", pot + "more_pots:\n  - {circumference: 60 cm, height: 12 cm, handle_height: 10 cm}\n  - {circumference: 60 cm, height: x, handle_height: 10 cm}", "more_pots[2].height", []string{"5.00", "90.0"}},
		{"unknown dimension", pot + "yours: {skirt.gpa: 9 mm}", "yours.skirt.gpa", []string{"skirt.gap"}},
		{"dimension that follows", pot + "yours: {stove.mass: 13 kg}", "yours.stove.mass", []string{"result"}},
		{"follower and driver", pot + "yours: {skirt.inner: 260 mm, skirt.gap: 9 mm}", "yours.skirt.inner", []string{"Skirt gap"}},
		{"follower out of range", pot + "yours: {skirt.inner: 400 mm}", "yours.skirt.inner", []string{"340.0"}},
		{"dimension out of range", pot + "yours: {skirt.gap: 9 cm}", "yours.skirt.gap", []string{"50.0"}},
		{"parts that collide", pot + "yours: {mouth.height: 320 mm, brick.height: 110 mm, brick.courses: \"3\"}", "yours.mouth.height", []string{"above it"}},
		{"not yaml", "pot: [", "file", []string{"line 1", "bracket", "try: pot:"}},
		{"leading zero", "pot: {circumference: 009, height: 17 cm, handle_height: 13 cm}", "pot.circumference", []string{`"009"`, "30.0"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := sizeText(tt.yaml)
			list, ok := message.Complaints(err)
			if !ok {
				t.Fatalf("want a complaint about %s, got %v", tt.field, err)
			}
			if list[0].Field != tt.field {
				t.Errorf("the complaint is about %s, want %s (%v)", list[0].Field, tt.field, err)
			}
			for _, want := range tt.holds {
				if !strings.Contains(list[0].Error(), want) {
					t.Errorf("the complaint lacks %q: %s", want, list[0])
				}
			}
			if strings.Contains(err.Error(), "«") {
				t.Errorf("a message is missing from the catalogue: %v", err)
			}
		})
	}
}

func TestEveryComplaintIsMadeAtOnce(t *testing.T) {
	_, err := sizeText("pot: {circumference: x, height: y, handle_height: z}\nfuel: {kind: oak}\n")
	list, _ := message.Complaints(err)
	if len(list) != 4 {
		t.Errorf("want four complaints, got %v", err)
	}
}

func TestUnitsAsPeopleWriteThem(t *testing.T) {
	for _, text := range []string{"75.4 cm", "75,4 cm", "754 mm", "0.754 m", "75.4"} {
		b, err := Form{Pot: PotForm{Circumference: text, Height: "17", HandleHeight: "13,5 cm"}}.Read()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(b.Pots[0].Circumference-0.754) > 1e-12 {
			t.Errorf("%q is read as %v m", text, b.Pots[0].Circumference)
		}
	}
	b, err := Form{Pot: PotForm{Circumference: "29 5/8 in", Height: "6 1/2 in", HandleHeight: "5\""}}.Read()
	if err != nil {
		t.Fatal(err)
	}
	if got, want := b.Pots[0].Circumference, 29.625*0.0254; math.Abs(got-want) > 1e-12 {
		t.Errorf("29 5/8 in is read as %v m, want %v", got, want)
	}
}

func TestFormSurvivesWriting(t *testing.T) {
	f := Form{Name: "Kitchen: \"big\" #1", Pot: PotForm{Circumference: "29 5/8 in", Height: "17 cm", HandleHeight: "13,5 cm", Base: "round"},
		MorePots: []PotForm{{Name: "tea", Circumference: "50 cm", Height: "10 cm", HandleHeight: "9 cm"}},
		Kitchen:  KitchenForm{People: "6", Meals: []string{"beans", "yes"}},
		AtHand:   AtHandForm{Bodies: []BodyForm{{Kind: "drum", Diameter: "57 cm", Height: "88 cm"}}, Brick: BrickForm{Thickness: "50 mm"}},
		Yours:    map[string]string{"skirt.gap": "9 mm", "brick.courses": "3"}}
	data, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	back, err := ParseForm(data)
	if err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	if diff := cmp.Diff(f, back); diff != "" {
		t.Errorf("the form changed on its way through the file:\n%s", diff)
	}
}

func TestMoistureBasisIsNeverConfused(t *testing.T) {
	read := func(basis string) *Stove {
		return sized(t, threeNumbers+"fuel: {moisture: 25 %, moisture_basis: "+basis+"}\n")
	}
	dry, wet := read("dry"), read("wet")
	if dry.WoodRate >= wet.WoodRate {
		t.Errorf("25 %% of the dry mass is less water than 25 %% of the wet mass: %v, %v kg/s", dry.WoodRate, wet.WoodRate)
	}
}

func FuzzParseForm(f *testing.F) {
	f.Add([]byte(threeNumbers))
	f.Add([]byte("pot: {circumference: 29 5/8 in, height: 6 in, handle_height: 5 in, base: round}\nyours: {skirt.gap: 9mm, chamber.width: 12cm}\n"))
	f.Add([]byte("more_pots:\n- {}\nat_hand: {bodies: [{kind: can}], sheets: [{}]}\n"))
	f.Add([]byte("pot: [\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := ParseForm(data)
		if err != nil {
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("an error that is no complaint: %v", err)
			}
			return
		}
		brief, err := form.Read()
		if err != nil {
			return
		}
		s, err := Size(brief)
		if err != nil {
			return
		}
		for _, d := range s.Dimensions {
			if math.IsNaN(d.Value.SI) || math.IsInf(d.Value.SI, 0) {
				t.Fatalf("%s is %v", d.ID, d.Value.SI)
			}
		}
	})
}
