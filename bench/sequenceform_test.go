package bench

import (
	"strings"
	"testing"

	"stovewright/message"
)

func TestSequenceFile(t *testing.T) {
	test, err := ReadSequence(readTest(t, "sequence.yaml"))
	fatal(t, err)
	r, err := RunSequence(test)
	fatal(t, err)
	// by hand: 0.004186·5·(68+49)+2.26·0.08 MJ of 0.8·16.3283 MJ
	if want := (0.004186*5*117 + 2.26*0.08) / (0.8 * 16.3283); !near(r.Levels[HighPower].EfficiencyNoChar, want, 1e-9) {
		t.Errorf("efficiency %g, want %g", r.Levels[HighPower].EfficiencyNoChar, want)
	}
	if !near(r.Levels[HighPower].PM, 620e-6, 1e-12) || r.Levels[LowPower].DurationSecond != 34*60 || len(r.Levels) != 2 || !r.Usable() {
		t.Errorf("%+v", r.Levels)
	}
}

func TestSafetyFile(t *testing.T) {
	s, err := ReadSafety(readTest(t, "safety.yaml"))
	fatal(t, err)
	fromFile, err := ScoreSafety(s)
	fatal(t, err)
	direct, err := ScoreSafety(measuredSheet())
	fatal(t, err)
	if fromFile.Total != direct.Total {
		t.Errorf("%g points from the file, %g direct", fromFile.Total, direct.Total)
	}
}

func TestSequenceAndSafetyComplain(t *testing.T) {
	sequence, safety := string(readTest(t, "sequence.yaml")), string(readTest(t, "safety.yaml"))
	readSequence := func(s string) error { _, err := ReadSequence([]byte(s)); return err }
	readSafety := func(s string) error { _, err := ReadSafety([]byte(s)); return err }
	for _, tt := range []struct {
		file           string
		read           func(string) error
		old, new, want string
	}{
		{sequence, readSequence, "fuel_fed: 800 g", "fuel_fed: 800 L", `high.fuel_fed: "800 L": the unit is not one of`},
		{sequence, readSequence, "moisture_basis: wet", "stick: 3 cm", `fuel.moisture_basis: "": say whether`},
		{sequence, readSequence, `end: "11:36"`, "char_left: 3 g", `low.char_left: "3 g": line 16: this field stands there already`},
		{sequence, readSequence, "particles:", "particle:", `high.particle: "620 mg": line 10: there is no such field; allowed: fuel_before`},
		{safety, readSafety, "item: edges", "item: edge", `readings[1].item: "edge": this word is not in the list`},
		{safety, readSafety, "measure: open-area", "measure: area", `readings[4].measure: "area": this word is not in the list; allowed: open-area`},
		{safety, readSafety, "value: 120 cm²", "value: 120 L", `readings[4].value: "120 L": the unit is not one of m², cm², mm²`},
		{safety, readSafety, "word: low", "word: lo", `readings[10].word: "lo": this word is not in the list; allowed: none, low, most, all (try: low)`},
		{safety, readSafety, `rating: "4"`, `rating: "5"`, `readings[11].rating: "5": this must be a whole number in range; allowed: 1 to 4`},
	} {
		err := tt.read(strings.Replace(tt.file, tt.old, tt.new, 1))
		if err == nil || !strings.Contains(strings.ReplaceAll(err.Error(), "\u00a0", " "), tt.want) {
			t.Errorf("got %v, want %q", err, tt.want)
		}
	}
	english := message.English()
	for _, fields := range [][]Field{SequenceFields(), SafetyFields()} {
		for _, f := range fields {
			if !english.Has(f.Name().ID) {
				t.Errorf("no caption for field %s", f.Path)
			}
		}
	}
}

func FuzzReadSequenceAndSafety(f *testing.F) {
	f.Add(readTest(f, "sequence.yaml"))
	f.Add(readTest(f, "safety.yaml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if test, err := ReadSequence(data); err == nil {
			if _, err := RunSequence(test); err != nil {
				t.Fatal(err)
			}
		} else if _, ok := message.Complaints(err); !ok {
			t.Fatalf("not an input error: %v", err)
		}
		if s, err := ReadSafety(data); err == nil {
			if _, err := ScoreSafety(s); err != nil {
				if _, ok := message.Complaints(err); !ok {
					t.Fatalf("not an input error: %v", err)
				}
			}
		} else if _, ok := message.Complaints(err); !ok {
			t.Fatalf("not an input error: %v", err)
		}
	})
}
