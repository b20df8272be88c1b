package bench

import (
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
	"stovewright/proof"
)

func fatal(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func near(a, b, tolerance float64) bool {
	return math.Abs(a-b) <= tolerance*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

func TestChecks(t *testing.T) {
	checks := Checks()
	fatal(t, proof.Validate(checks))
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

func exampleFile(t testing.TB, name string) BoilingTest {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	test, err := ReadBoiling(data)
	if err != nil {
		t.Fatal(err)
	}
	return test
}

func TestFileAndArithmeticAgree(t *testing.T) {
	fromFile, err := Boil(exampleFile(t, "example-a.yaml"))
	fatal(t, err)
	direct, err := Boil(exampleA())
	fatal(t, err)
	for _, s := range direct.Steps {
		if s.Origin != Computed && s.Origin != Assumed {
			continue
		}
		if other, ok := fromFile.Step(s.ID()); !ok || !near(other.Number(), s.Number(), 1e-12) {
			t.Errorf("%s: %g from the file, %g direct", s.ID(), other.Number(), s.Number())
		}
	}
	if !fromFile.Usable() || len(fromFile.Alarms) != 0 {
		t.Errorf("alarms on a clean test: %+v", fromFile.Alarms)
	}
}

// Every printed equation, computed from the printed numbers alone, gives the
// printed result: the calculation can be followed with a pencil.
func TestStepsCanBeFollowedWithAPencil(t *testing.T) {
	for _, test := range []BoilingTest{exampleA(), exampleB(), exampleC()} {
		for _, version := range []Version{Version42, Version30} {
			test.Version = version
			r, err := Boil(test)
			fatal(t, err)
			followed := 0
			for _, s := range r.Steps {
				if s.Numbers == "" {
					continue
				}
				symbol, right, _ := strings.Cut(s.Numbers, " = ")
				plain := strings.NewReplacer("−", "-", "·", "*").Replace(right)
				f, err := parseFormula(plain, scope{})
				if err != nil {
					t.Errorf("%s: %q: %v", s.ID(), s.Numbers, err)
					continue
				}
				if got := f.eval(&values{rows: 1}); !near(got, s.Number(), 2e-4) {
					t.Errorf("%s: %s gives %g, printed %g", s.ID(), s.Numbers, got, s.Number())
				}
				if symbol != s.Symbol || !strings.HasPrefix(s.Equation, s.Symbol+" = ") {
					t.Errorf("%s: %q does not begin with its symbol", s.ID(), s.Equation)
				}
				followed++
			}
			if followed < 40 {
				t.Errorf("only %d steps have numbers", followed)
			}
		}
	}
}

func TestEveryStepAndAlarmHasWords(t *testing.T) {
	english := message.English()
	for _, version := range versions {
		s, _ := boilingSheet(version)
		for key := range s.symbols {
			if !english.Has("bench.q." + key) {
				t.Errorf("version %s: no words for %s", version, key)
			}
		}
		for _, c := range s.checks {
			if !english.Has("bench.alarm." + c.Key) {
				t.Errorf("version %s: no words for alarm %s", version, c.Key)
			}
			for _, key := range c.Repeat {
				if !english.Has("bench.q." + key) {
					t.Errorf("alarm %s: no words for reading %s", c.Key, key)
				}
			}
		}
		for _, e := range append(append(append([]equation{}, s.before...), s.phase...), s.after...) {
			if e.Note != "" && !english.Has(e.Note) {
				t.Errorf("version %s: no words for note %s", version, e.Note)
			}
		}
	}
	for _, f := range BoilingFields() {
		if !english.Has(f.Name().ID) {
			t.Errorf("no caption for field %s", f.Path)
		}
	}
}

// Each mistake a tired person makes, and the alarm that must ring.
func TestMistakesAreCaught(t *testing.T) {
	tests := []struct {
		alarm, phase string
		spoils       bool
		spoil        func(*BoilingTest)
	}{
		{"dry-wood-negative", "cold", true, func(b *BoilingTest) { b.Cold.Char = Known(0.850) }},
		{"char-too-much", "cold", false, func(b *BoilingTest) { b.CharPan = 0 }},
		{"char-negative", "cold", true, func(b *BoilingTest) { b.CharPan = 0.350 }},
		{"efficiency-high", "hot", false, func(b *BoilingTest) { b.Hot.WoodAfter = 2.2 }},
		{"useful-over-fuel", "hot", true, func(b *BoilingTest) { b.Hot.WoodAfter = 2.3 }},
		{"efficiency-low", "hot", false, func(b *BoilingTest) { b.Hot.WoodBefore = 9 }},
		{"starts-boiling", "cold", true, func(b *BoilingTest) { b.Cold.Pots[0].Start = 374 }},
		{"no-rise", "cold", true, func(b *BoilingTest) { b.Cold.Pots[0].End = 290 }},
		{"small-rise", "hot", false, func(b *BoilingTest) { b.Hot.Pots[0].Start = zeroC + 45 }},
		{"above-boiling", "hot", false, func(b *BoilingTest) { b.Hot.Pots[0].End = zeroC + 102 }},
		{"not-boiling", "cold", false, func(b *BoilingTest) { b.Cold.Pots[0].End = zeroC + 95 }},
		{"simmer-cold", "simmer", true, func(b *BoilingTest) { b.Simmer.Lowest = Known(zeroC + 93.9) }},
		{"simmer-end-cold", "simmer", true, func(b *BoilingTest) { b.Simmer.Pots[0].End = zeroC + 93 }},
		{"simmer-boils", "simmer", false, func(b *BoilingTest) { b.Simmer.Pots[0].End = zeroC + 100 }},
		{"simmer-time", "simmer", false, func(b *BoilingTest) { b.Simmer.Duration = 40 * 60 }},
		{"water-gained", "cold", true, func(b *BoilingTest) { b.Cold.Pots[0].After = 5.8 }},
		{"water-gone", "cold", true, func(b *BoilingTest) { b.Cold.Pots[0].After = 0.7 }},
		{"wood-gained", "cold", true, func(b *BoilingTest) { b.Cold.WoodAfter = 2.6 }},
		{"steam-too-much", "cold", false, func(b *BoilingTest) { b.Cold.Pots[0].After = 5.0 }},
		{"steam-none", "simmer", false, func(b *BoilingTest) { b.Simmer.Pots[0].After = 5.49 }},
		{"scale-wood", "cold", false, func(b *BoilingTest) { b.Instruments.WoodScale = 0.05 }},
		{"scale-pot", "hot", false, func(b *BoilingTest) { b.Instruments.PotScale = 0.05 }},
		{"scale-char", "cold", false, func(b *BoilingTest) { b.Instruments.CharScale = 0.01 }},
		{"moisture-high", "", false, func(b *BoilingTest) { b.Wood.Moisture = 0.30 }},
		{"moisture-low", "", false, func(b *BoilingTest) { b.Wood.Moisture = 0.01 }},
		{"boiling-high", "", false, func(b *BoilingTest) { b.Boiling.Kelvin = zeroC + 102 }},
		{"hot-start-cold", "hot", true, func(b *BoilingTest) { b.Hot.ColdStove = true }},
	}
	rung := map[string]bool{}
	for _, tt := range tests {
		test := exampleA()
		tt.spoil(&test)
		r, err := Boil(test)
		fatal(t, err)
		found := false
		for _, a := range r.Alarms {
			if a.Key == tt.alarm && a.Phase == tt.phase {
				found = true
				if a.Spoils() != tt.spoils {
					t.Errorf("%s: spoils = %v", tt.alarm, a.Spoils())
				}
				if said := message.English().Say(a.Text); strings.ContainsAny(said, "{}«") {
					t.Errorf("%s says %q", tt.alarm, said)
				}
				if len(a.RepeatNames()) == 0 && tt.alarm != "hot-start-cold" {
					t.Errorf("%s does not say what to read again", tt.alarm)
				}
			}
		}
		if !found {
			t.Errorf("%s (%s) did not ring; rang: %v", tt.alarm, tt.phase, keys(r.Alarms))
		}
		if r.Usable() && tt.spoils {
			t.Errorf("%s: the result is still called usable", tt.alarm)
		}
		rung[tt.alarm] = true
	}
	for _, c := range boiling42().checks {
		if !rung[c.Key] {
			t.Errorf("no test makes %s ring", c.Key)
		}
	}
}

func keys(alarms []Alarm) []string {
	var list []string
	for _, a := range alarms {
		list = append(list, a.Phase+"/"+a.Key)
	}
	return list
}

// drawTest makes a plausible test, for properties that hold for all of them.
func drawTest(t *rapid.T) BoilingTest {
	test := exampleA()
	between := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	test.Wood.Moisture = between("moisture", 0.02, 0.3)
	test.Wood.LHV = between("lhv", 14e6, 20e6)
	for _, ph := range []*Phase{test.Cold, test.Hot, test.Simmer} {
		ph.WoodAfter = ph.WoodBefore - between("wood", 0.4, 1.5)
		ph.Pots[0].After = ph.Pots[0].Before - between("steam", 0.01, 0.8)
		ph.Duration = between("time", 300, 4000)
	}
	test.Cold.Char = Known(test.CharPan + between("char", 0, 0.08))
	test.Cold.Pots[0].Start = between("start", 278, 310)
	return test
}

func TestScalingAllMassesChangesNoRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := drawTest(t)
		k := rapid.Float64Range(0.1, 20).Draw(t, "k")
		a, err := Boil(test)
		if err != nil {
			t.Fatal(err)
		}
		test.CharPan *= k
		for _, ph := range []*Phase{test.Cold, test.Hot, test.Simmer} {
			ph.WoodBefore *= k
			ph.WoodAfter *= k
			ph.Char.SI *= k
			ph.Pots[0].Empty *= k
			ph.Pots[0].Before *= k
			ph.Pots[0].After *= k
		}
		b, err := Boil(test)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range []string{"cold.h", "cold.h_0", "cold.SCT", "hot.SE", "simmer.SC", "simmer.h", "TDR", "BF"} {
			x, _ := a.Step(id)
			y, _ := b.Step(id)
			if !near(x.Number(), y.Number(), 1e-9) {
				t.Fatalf("%s changed from %g to %g", id, x.Number(), y.Number())
			}
		}
	})
}

func TestDirections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		test := drawTest(t)
		a, _ := Boil(test)
		more := test
		cold := *test.Cold
		more.Cold = &cold
		more.Cold.Char = Known(test.Cold.Char.SI + 0.01)
		b, _ := Boil(more)
		if a.Cold.DryWood > 0.05 && (b.Cold.DryWood >= a.Cold.DryWood || b.Cold.DryWood > 0 && b.Cold.Efficiency <= a.Cold.Efficiency) {
			t.Fatal("more char must mean less dry wood and a higher efficiency")
		}
		if !near(b.Cold.EfficiencyNoChar, a.Cold.EfficiencyNoChar, 1e-12) {
			t.Fatal("the efficiency without char credit must not see the char")
		}
		wetter := test
		wetter.Wood.Moisture += 0.01
		c, _ := Boil(wetter)
		if c.Cold.DryWood >= a.Cold.DryWood {
			t.Fatal("wetter wood must mean less dry wood")
		}
		exact := test
		ph := *test.Hot
		ph.Pots = []PotReading{test.Hot.Pots[0]}
		ph.Pots[0].End, ph.Pots[0].Start = test.Boiling.Kelvin, test.Boiling.Kelvin-75
		exact.Hot = &ph
		d, _ := Boil(exact)
		if !near(d.Hot.CorrectedDuration, d.Hot.Duration, 1e-12) || !near(d.Hot.CorrectedConsumption, d.Hot.Consumption, 1e-12) {
			t.Fatal("a rise of exactly 75 K needs no correction")
		}
	})
}

// One pot split in two halves, heated alike, is the same test.
func TestTwoHalfPotsAreOnePot(t *testing.T) {
	one, err := Boil(exampleA())
	fatal(t, err)
	split := exampleA()
	for _, ph := range []*Phase{split.Cold, split.Hot, split.Simmer} {
		p := ph.Pots[0]
		p.Empty, p.Before, p.After = p.Empty/2, p.Before/2, p.After/2
		ph.Pots = []PotReading{p, p}
	}
	two, err := Boil(split)
	fatal(t, err)
	for _, id := range []string{"cold.h", "hot.SCT", "simmer.SC", "BF", "simmer.LP"} {
		x, _ := one.Step(id)
		y, _ := two.Step(id)
		if !near(x.Number(), y.Number(), 1e-12) {
			t.Errorf("%s: %g with one pot, %g with two halves", id, x.Number(), y.Number())
		}
	}
	if s, _ := two.Step("cold.w_v"); s.Equation != "w_v = P_i1 − P_f1 + P_i2 − P_f2" {
		t.Errorf("two pots are written %q", s.Equation)
	}
}

func TestVersionsAndConstants(t *testing.T) {
	test := exampleA()
	test.Version = "5.0"
	if _, err := Boil(test); err == nil {
		t.Error("an unknown version was computed")
	}
	if _, err := Boil(BoilingTest{Version: Version42}); err == nil {
		t.Error("a test without phases was computed")
	}
	test = exampleA()
	test.Constants = map[string]float64{"L_p": 2257}
	r, err := Boil(test)
	fatal(t, err)
	if s, _ := r.Step("L_p"); s.Origin != Yours || s.Number() != 2257 {
		t.Errorf("a constant of the user's own: %+v", s)
	}
	// by hand: 4.186·5000·75/1000 + 2257·200/1000 = 2021.15 kJ
	if !near(r.Cold.Useful, 2021150, 1e-12) {
		t.Errorf("useful heat %g", r.Cold.Useful)
	}
	test = exampleA()
	test.CharWeighed = false
	r, err = Boil(test)
	fatal(t, err)
	if r.Cold.Efficiency != r.Cold.EfficiencyNoChar {
		t.Error("char that was not weighed was credited")
	}
}

func TestOnlyOnePhase(t *testing.T) {
	test := exampleA()
	test.Hot, test.Simmer = nil, nil
	r, err := Boil(test)
	fatal(t, err)
	if r.Hot != nil || r.Cold == nil || !math.IsNaN(r.Turndown) || !math.IsNaN(r.TaskFuel) {
		t.Errorf("a cold start alone gives %+v", r)
	}
	if _, ok := r.Step("TDR"); ok {
		t.Error("a turndown was printed without a simmer")
	}
}

// TestNumbersAreReadAsWritten holds the reader against YAML, to which 0250 is
// octal for 168 (https://yaml.org/type/int.html).
func TestNumbersAreReadAsWritten(t *testing.T) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	fatal(t, err)
	test, err := ReadBoiling([]byte(strings.Replace(string(data), "char_pan: 250 g", "char_pan: 0250", 1)))
	fatal(t, err)
	if math.Abs(test.CharPan-0.250) > 1e-12 {
		t.Errorf("0250 is read as %g kg", test.CharPan)
	}
}

func TestReadBoilingComplains(t *testing.T) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	fatal(t, err)
	good := string(data)
	tests := []struct{ name, old, new, want string }{
		{"misspelt field", "char_pan:", "charpan:", `charpan: "250 g": line 8: there is no such field; allowed: test, version`},
		{"no basis", "moisture_basis: wet", "stick: 30 mm", `wood.moisture_basis: "": say whether the moisture`},
		{"meter taken for wet", "moisture: 10 %", "moisture: 80 %", `wood.moisture: "80 %": wood cannot be that wet`},
		{"no unit of its kind", "wood_before: 2500 g", "wood_before: 2500 L", `cold.wood_before: "2500 L": the unit is not one of g, kg, lb, mg, oz; allowed: 1.00`},
		{"out of range", "air_temperature: 25 °C", "air_temperature: 99 °C", `place.air_temperature: "99 °C": the value is out of range; allowed: −30.0`},
		{"clock", `"10:24"`, `"10:64"`, `cold.end: "10:64": this is not a time of day (try: 10:24)`},
		{"clock order", `"10:24"`, `"10:02"`, `cold.end: "10:02": the end is at the start`},
		{"clock pair", `  end: "10:24"`, `  lowest_temperature: 90 °C`, `cold.end: "": a clock time needs its partner`},
		{"no pan", "char_pan: 250 g", "pot: {lid: off}", `char_pan: "": char was weighed with its pan (cold start)`},
		{"word", "kind: hardwood", "kind: hardwod", `wood.kind: "hardwod": this word is not in the list; allowed: hardwood`},
		{"no boiling point", "place: {air_temperature: 25 °C, altitude: 0 m}\nboiling_point: {lowest: 100 °C, highest: 100 °C}", "place: {air_temperature: 25 °C}", `boiling_point: "": the boiling point here is needed`},
		{"broken", "test: boiling", "test: [", `line 12 cannot be read`},
		{"constant", "char_pan: 250 g", "char_pan: 250 g\nconstants: {L_q: 2257}", `constants.L_q: "2257": the protocol has no such constant; allowed: c_w, L_f`},
	}
	for _, tt := range tests {
		if !strings.Contains(good, tt.old) {
			t.Fatalf("%s: the example has no %q", tt.name, tt.old)
		}
		_, err := ReadBoiling([]byte(strings.Replace(good, tt.old, tt.new, 1)))
		if err == nil || !strings.Contains(strings.ReplaceAll(err.Error(), "\u00a0", " "), tt.want) {
			t.Errorf("%s: got %v, want %q", tt.name, err, tt.want)
			continue
		}
		if _, ok := message.Complaints(err); !ok {
			t.Errorf("%s: not an input error: %v", tt.name, err)
		}
	}
}

func TestAllComplaintsAtOnce(t *testing.T) {
	_, err := ReadBoiling([]byte("test: boiling\nwood: {}\nplace: {air_temperature: x}\ncold: {wood_before: \"\", wood_after: 1 kg, pots: []}\n"))
	list, ok := message.Complaints(err)
	if !ok || len(list) < 5 {
		t.Errorf("want all complaints in one go, got %v", err)
	}
}

func TestMoistureForms(t *testing.T) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	fatal(t, err)
	for _, tt := range []struct {
		wood string
		want float64
	}{
		{"{moisture: 25 %, moisture_basis: dry}", 0.2},                              // 0.25/1.25
		{"{moisture_readings: [20 %, 30 %]}", (1.0/6 + 0.3/1.3) / 2},                // mean of 0.1667 and 0.2308
		{"{wet_sample: 212 g, dry_sample: 194 g, sample_tin: 32 g}", 18.0 / 180},    // by drying
		{"{wet_sample: 180 g, dry_sample: 162 g}", 0.1},                             // tin taken off by the scale
		{"{moisture: 12 %, moisture_basis: wet, moisture_readings: [11.1 %]}", 0.1}, // readings stand above one number
	} {
		file := strings.Replace(string(data), "{kind: hardwood, moisture: 10 %, moisture_basis: wet}", tt.wood, 1)
		test, err := ReadBoiling([]byte(file))
		if err != nil || !near(test.Wood.Moisture, tt.want, 1e-4) {
			t.Errorf("%s: moisture %g, %v; want %g", tt.wood, test.Wood.Moisture, err, tt.want)
		}
	}
	for _, u := range []float64{0.05, 0.2, 0.5} {
		if got := WetToDry(DryToWet(u)); !near(got, u, 1e-12) {
			t.Errorf("U→M→U: %g became %g", u, got)
		}
	}
}

func TestFormRoundTrip(t *testing.T) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	fatal(t, err)
	f, err := ParseBoiling(data)
	fatal(t, err)
	written, err := f.Write()
	fatal(t, err)
	again, err := ReadBoiling(written)
	fatal(t, err)
	a, _ := Boil(again)
	b, _ := Boil(exampleA())
	if !near(a.Cold.Efficiency, b.Cold.Efficiency, 1e-12) {
		t.Error("a form written and read again gives another result")
	}
}

func TestBoilingPoints(t *testing.T) {
	b := BoilingFromRange(zeroC+96.4, zeroC+96.8, 0.5)
	if !near(b.Kelvin, zeroC+96.6, 1e-12) || b.Origin() != Measured || len(b.Alarms) != 0 {
		t.Errorf("measured: %+v", b)
	}
	if a := b.Against(1000).Alarms; len(a) != 0 {
		t.Errorf("96.6 °C at 1000 m rang %v", keys(a))
	}
	if a := b.Against(2500).Alarms; len(a) != 1 || a[0].Key != "boiling-altitude" {
		t.Errorf("96.6 °C at 2500 m did not ring: %v", keys(a))
	}
	if a := BoilingFromRange(zeroC+95, zeroC+97, 0.5).Alarms; len(a) != 1 || a[0].Key != "boiling-unsteady" {
		t.Errorf("2 K apart did not ring: %v", keys(a))
	}
	if b := BoilingFromPressure(101325); b.U < 0.02 || b.U > 0.06 {
		t.Errorf("a barometer's uncertainty is %g K", b.U)
	}
}

func TestFormulaRefuses(t *testing.T) {
	names := scope{}
	names.add("a", false)
	names.add("P", true)
	for _, bad := range []string{"", "a +", "(a", "a)", "b", "P", "sum(sum(P))", "min(a)", "foo(a)", "a a", "1..2", "a $ 2", strings.Repeat("(", 200)} {
		if _, err := parseFormula(bad, names); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
	f, err := parseFormula("-a^2 + max(1, 2)*exp(ln(3)) - sqrt(4)", names)
	fatal(t, err)
	if got := f.eval(&values{scalar: []float64{3}}); !near(got, -9+6-2, 1e-12) {
		t.Errorf("got %g", got)
	}
}

// A formula of any text is read or refused, never a panic.
func FuzzFormula(f *testing.F) {
	for _, version := range versions {
		s, _ := boilingSheet(version)
		for _, e := range s.phase {
			f.Add(e.text)
		}
	}
	names := scope{}
	names.add("a", false)
	names.add("P", true)
	f.Fuzz(func(t *testing.T, text string) {
		parsed, err := parseFormula(text, names)
		if err != nil {
			return
		}
		v := &values{scalar: []float64{2}, perRow: [][]float64{{1, 3}}, rows: 2}
		parsed.eval(v)
		parsed.print(shower{rows: 2, name: func(s slot, _ int) string { return s.name }})
	})
}

// Any file is read or refused with an input error; what is read computes.
func FuzzReadBoiling(f *testing.F) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte("test: boiling\ncold: {pots: [{}]}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		test, err := ReadBoiling(data)
		if err != nil {
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("not an input error: %v", err)
			}
			return
		}
		if _, err := Boil(test); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkSheetFromFileToResult(b *testing.B) {
	data, err := os.ReadFile("testdata/example-a.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		test, err := ReadBoiling(data)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Boil(test); err != nil {
			b.Fatal(err)
		}
	}
}
