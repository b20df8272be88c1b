package brick

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
)

// A stove takes the body as it takes any material; the light one insulates
// better hot and cold, and both conduct more hot, by radiation in the pores.
func TestBodyMaterial(t *testing.T) {
	light := Body{Name: "our lining", Density: Reading{Value: 550}, Peak: 1273.15, Skeleton: DefaultSkeleton}
	dense := Body{Name: "our back", Density: Reading{Value: 1300}, Peak: 1273.15, Skeleton: DefaultSkeleton}
	l, d := light.Material(), dense.Material()
	for _, kelvin := range []float64{293, 600, 900} {
		if !(l.Conductivity(kelvin) < d.Conductivity(kelvin)) {
			t.Errorf("at %v K the light brick conducts %v, the dense one %v", kelvin, l.Conductivity(kelvin), d.Conductivity(kelvin))
		}
	}
	if !(l.Conductivity(1000) > 1.3*l.Conductivity(300)) {
		t.Errorf("pore radiation is missing: %v at 300 K, %v at 1000 K", l.Conductivity(300), l.Conductivity(1000))
	}
	if l.Key != "our lining" || l.Density != 550 || !near(l.LimitC, 950, 1e-9) || l.Heat < 900 || l.Heat > 1000 {
		t.Errorf("%+v", l)
	}
	// common practice: 0.12–0.18 cold and 0.20–0.28 W/(m K) at 500 °C for a brick of 0.6 g/cm³;
	// the band from the pore models must touch it
	b := Body{Density: Reading{Value: 600}, Skeleton: DefaultSkeleton}
	for _, r := range []struct{ kelvin, low, high float64 }{{293, 0.12, 0.18}, {773, 0.20, 0.28}} {
		if k := b.Conductivity(r.kelvin); k.Low > r.high || k.High < r.low {
			t.Errorf("at %v K the band is %+v", r.kelvin, k)
		}
	}
}

// The light lining is no back brick, and an under-fired one is told so.
func TestJudge(t *testing.T) {
	ids := func(b Body, d Duty) string {
		var list []string
		for _, text := range b.Judge(d) {
			list = append(list, strings.TrimPrefix(text.ID, "brick.judge."))
			if said := message.English().Say(text); strings.Contains(said, "{") {
				t.Error(said)
			}
		}
		return strings.Join(list, " ")
	}
	lining := Body{Density: Reading{Value: 550}, Strength: 0.9e6, Peak: 1273.15}
	tests := []struct {
		b    Body
		duty Duty
		want string
	}{
		{lining, Lining, ""},
		{lining, BackBrick, "weak-back light-back"},
		{Body{Density: Reading{Value: 1150}, Strength: 3e6, Peak: 1273.15}, BackBrick, ""},
		{Body{Density: Reading{Value: 550}, Strength: 0.9e6}, Lining, "cool-fired"},
		{Body{Density: Reading{Value: 350}, Strength: 0.2e6, Peak: 1273.15}, Lining, "weak too-light"},
		{Body{Density: Reading{Value: 950}, Strength: 2e6, Peak: 1273.15}, Lining, "heavy"},
		{Body{Density: Reading{Value: 700}, Peak: 1273.15, Predicted: true}, Lining, "not-crushed predicted"},
	}
	for _, tt := range tests {
		if got := ids(tt.b, tt.duty); got != tt.want {
			t.Errorf("%+v as %s: %q, want %q", tt.b, tt.duty, got, tt.want)
		}
	}
}

func TestBodyOfTrial(t *testing.T) {
	trial := Trial{Mix: baseMix(1.2), Kelvin: 1253.15}
	p := Prediction{Fired: Band{300, 360, 440}}
	if b := BodyOf("x", trial, p); !b.Predicted || b.Density.Value != 360 || b.UseLimit() != 1203.15 {
		t.Errorf("%+v", b)
	}
	edges := [3]Reading{{Value: 0.2}, {Value: 0.1}, {Value: 0.05}}
	trial.Bricks = []Record{{Stages: [3]Stage{{}, {}, {Mass: Reading{Value: 0.5}, Edges: edges}}, Crushing: 1e6}}
	b := BodyOf("x", trial, p)
	if b.Predicted || !near(b.Density.Value, 500, 1e-9) || !near(b.Strength, 1e6, 1e-3) || !near(b.Porosity(), 1-500/2600.0, 1e-6) {
		t.Errorf("%+v", b)
	}
}

// Porous bricks crack early and stop cracks early: low R, high R””.
func TestShockOfBodies(t *testing.T) {
	light := Body{Density: Reading{Value: 550}, Strength: 0.9e6, Skeleton: DefaultSkeleton}.ShockOf(773)
	dense := Body{Density: Reading{Value: 1900}, Strength: 20e6, Skeleton: DefaultSkeleton}.ShockOf(773)
	if !(light.Kingery1955R() < dense.Kingery1955R() && light.Hasselman1963R4() > dense.Hasselman1963R4()) {
		t.Errorf("R %v and %v, R'''' %v and %v", light.Kingery1955R(), dense.Kingery1955R(), light.Hasselman1963R4(), dense.Hasselman1963R4())
	}
}

// The bounds enclose the effective medium at every porosity, and all meet the
// pure phases.
func TestConductivityBounds(t *testing.T) {
	for p := 0.0; p <= 1.0001; p += 0.05 {
		low, mid, high := MaxwellEuckenLower(1.2, 0.05, p), Landauer1952(1.2, 0.05, p), MaxwellEuckenUpper(1.2, 0.05, p)
		if !(low <= mid+1e-12 && mid <= high+1e-12) {
			t.Errorf("P %v: %v, %v, %v", p, low, mid, high)
		}
	}
	for _, f := range []func(a, b, c float64) float64{MaxwellEuckenLower, Landauer1952, MaxwellEuckenUpper} {
		if !near(f(1.2, 0.05, 0), 1.2, 1e-12) || !near(f(1.2, 0.05, 1), 0.05, 1e-12) {
			t.Error("a pure phase is not met")
		}
	}
	if coarse, fine := (Skeleton{1.2, 2e-3, 0.9, 1}).Conductivity(900, 0.75), DefaultSkeleton.Conductivity(900, 0.75); !(coarse.Best > 1.2*fine.Best) {
		t.Errorf("2 mm pores %v, 0.5 mm pores %v", coarse.Best, fine.Best)
	}
}

func TestFitStrength(t *testing.T) {
	x := []float64{500, 600, 800, 1000}
	var y []float64
	for _, v := range x {
		y = append(y, 3.5*math.Pow(v/1000, 1.8))
	}
	f, err := FitPower(x, y)
	if err != nil || !near(f.Exponent, 1.8, 1e-9) {
		t.Errorf("%+v %v", f, err)
	}
	for _, bad := range [][2][]float64{{{1, 2}, {1, 2}}, {{1, 1, 1}, {1, 2, 3}}, {{1, 2, 3}, {1, 2}}} {
		if _, err := FitPower(bad[0], bad[1]); err != ErrTooFew {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := FitRyshkewitch([]float64{0.1, 0.2, 0.3}, []float64{1, 0, 2}); err != ErrNotPositive {
		t.Error(err)
	}
	s0, b := RyshkewitchFromTwo(0.5, 4.925, 0.7, 1.812)
	if !near(s0, 60, 0.1) || !near(b, 5, 0.01) {
		t.Errorf("%v %v", s0, b)
	}
	// 20 kgf on a 1 m arm, the piece 0.1 m from the pivot and 20 cm² wide
	if got := LeverCrushing(196, 1, 0.1, 0, 0.5, 2e-3); !near(got, 0.98e6, 1) {
		t.Error(got)
	}
	if got := BendingStrength(100, 0.2, 0.1, 0.05); !near(got, 3*100*0.2/(2*0.1*0.0025), 1e-9) {
		t.Error(got)
	}
}

// Facts move a cause up or down the list, and never drop it.
func TestCauses(t *testing.T) {
	first := func(symptom string, f Facts) string { return Causes(symptom, f)[0].Key }
	if first("crumbles", Facts{}) != "under-fired" || first("crumbles", Facts{Peak: 1273, Sawdust: 0.5}) != "much-sawdust" {
		t.Error("the facts do not order the causes of crumbling")
	}
	hot := Causes("crumbles", Facts{Peak: 1273})
	if last := hot[len(hot)-1]; last.Key != "under-fired" || last.Fits != Unlikely {
		t.Errorf("a brick fired at 1000 °C: %+v", hot)
	}
	if len(Causes("no such thing", Facts{})) != 0 {
		t.Error("an unknown symptom has causes")
	}
	trial := Trial{Mix: baseMix(1.2), Kelvin: 1100}
	f := FactsOf(trial)
	if !near(f.Sawdust, 0.5/1.175, 1e-9) || !near(f.Water, 1.425/1.175, 1e-9) || f.Drying != 0 {
		t.Errorf("%+v", f)
	}
}

// The claim of 0.6 for the recipe of common practice is explained by its water.
func TestExplainClaim(t *testing.T) {
	list, err := baseMix(1.2).ExplainClaim(600, DefaultForming())
	if err != nil || len(list) != 4 {
		t.Fatal(list, err)
	}
	said := ""
	for _, text := range list {
		said += strings.ReplaceAll(message.English().Say(text), "\u00a0", " ") + "\n"
	}
	for _, want := range []string{"0.36 g/cm³, not 0.60 g/cm³", "615 g of its 1425 g", "57 %", "0.65 g/cm³"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said:\n%s", want, said)
		}
	}
	if list, _ := baseMix(1.2).ExplainClaim(360, DefaultForming()); len(list) != 0 {
		t.Error("a claim that agrees was argued with")
	}
}

// Every step has its cautions, and what burns or dusts adds its own.
func TestCautions(t *testing.T) {
	for _, s := range []Step{StepDigging, StepSieving, StepMixing, StepDrying, StepFiring, StepUnload, StepCutting, StepCrushing, StepTesting} {
		list := Cautions(s, Mix{})
		if len(list) == 0 {
			t.Errorf("%s has no caution", s)
		}
	}
	if len(Cautions(StepFiring, baseMix(1))) <= len(Cautions(StepFiring, Mix{})) {
		t.Error("sawdust adds no caution to firing")
	}
	if !message.English().Has(CementCaution().ID) {
		t.Error("no caution for cement")
	}
}

// A stove finds a body by its name; the trial's alone will do where it is one.
func TestFindBody(t *testing.T) {
	f, err := ParseSeries(example(t, "series.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.Bodies()
	if err != nil || len(list) != len(s.Trials) {
		t.Fatalf("%d bodies: %v", len(list), err)
	}
	two, err := FindBody(list, "t2")
	if err != nil || two.Name != "light lining T2" || two.Predicted || two.Lines != 3 {
		t.Errorf("%+v %v", two, err)
	}
	if three := list[2]; !three.Predicted || three.Lines != 0 || !(three.Shrinkage[Length].Drying > 0.02) {
		t.Errorf("a trial that was not fired: %+v", three)
	}
	other := two
	other.Name = "dense T2"
	for name, want := range map[string]string{"T2": "", "dense t2": "dense T2", "light lining  T2": "light lining T2", "": "", "2": "", "light lining": ""} {
		got, err := FindBody(append(list, other), name)
		if _, complains := message.Complaints(err); got.Name != want || complains != (want == "") {
			t.Errorf("%q finds %q: %v", name, got.Name, err)
		}
	}
}
