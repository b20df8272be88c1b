package bench

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
	"stovewright/stats"
)

// series burns a stove n times: wood scatters by cv around the example's.
func series(t testing.TB, name string, seed uint64, n int, woodFactor, cv float64) Series {
	t.Helper()
	random := stats.NewRand(seed)
	s := Series{Name: name}
	for range n {
		test := exampleA()
		test.Instruments = kitchen
		for _, ph := range []*Phase{test.Cold, test.Hot, test.Simmer} {
			ph.WoodAfter = ph.WoodBefore - (ph.WoodBefore-ph.WoodAfter)*woodFactor*(1+cv*random.NormFloat64())
			ph.Duration *= woodFactor // the same firepower
		}
		test.Simmer.Duration = 45 * 60
		r, err := NewRun(test)
		if err != nil {
			t.Fatal(err)
		}
		s.Runs = append(s.Runs, r)
	}
	return s
}

func say(t message.Text) string {
	return strings.ReplaceAll(message.English().Say(t), "\u00a0", " ")
}

func alarmKeys(c Comparison) string {
	var list []string
	for _, a := range c.Alarms {
		list = append(list, a.Key)
	}
	return strings.Join(list, " ")
}

func TestCompareFindsADifference(t *testing.T) {
	c, err := Compare(series(t, "old", 1, 5, 1, 0.04), series(t, "new", 2, 5, 0.7, 0.04), "cold.SCT", DefaultSettings)
	fatal(t, err)
	if c.Finding != Differs || !strings.HasPrefix(say(c.Words), "specific fuel consumption, corrected to the reference rise (cold start): new is ") || !strings.Contains(say(c.Words), "% lower than old (95 % interval of the difference −") {
		t.Errorf("%s: %s", c.Finding, say(c.Words))
	}
	for name, i := range map[string]stats.Interval{"log ratio": c.Ratio.Interval, "Fieller": c.Fieller.Interval, "bootstrap": c.Bootstrap.BCa} {
		if !i.Contains(c.Ratio.Value) || i.HalfWidth() > 0.15 {
			t.Errorf("%s interval %+v around %g", name, i, c.Ratio.Value)
		}
	}
	if !strings.Contains(alarmKeys(c), "firepower") { // the simmer kept its 45 minutes and so burnt weaker
		t.Errorf("alarms: %s", alarmKeys(c))
	}
	// most of what wood and instruments leave unknown is the same for both stoves
	u, err := UncertaintyOf(exampleAWith(kitchen), "cold.SCT", 0.9, 0, 0)
	fatal(t, err)
	if alone := u.Shared.SI / u.Value.SI; c.SharedU > 0.35*alone {
		t.Errorf("shared part of the ratio %g, of one stove %g", c.SharedU, alone)
	}
}

func exampleAWith(i Instruments) BoilingTest {
	test := exampleA()
	test.Instruments = i
	return test
}

func TestCompareSaysWhatIsNotShown(t *testing.T) {
	c, err := Compare(series(t, "A", 3, 3, 1, 0.10), series(t, "B", 4, 3, 0.98, 0.10), "hot.SCT", DefaultSettings)
	fatal(t, err)
	said := say(c.Words)
	if c.Finding != NotShown || !strings.Contains(said, "are not shown to differ") || !strings.Contains(said, "tests of each are needed to see a difference of 10 %") {
		t.Errorf("%s: %s", c.Finding, said)
	}
	if c.P < 0.05 || c.Needed < 4 || c.Detectable < 0.1 || c.SmallestP != 0.1 {
		t.Errorf("p %g, needed %d, detectable %g, smallest p %g", c.P, c.Needed, c.Detectable, c.SmallestP)
	}
	if !strings.Contains(alarmKeys(c), "ranks-cannot") {
		t.Errorf("alarms: %s", alarmKeys(c))
	}
}

// What differed beside the stoves forbids to lay a difference to them, and a result
// whose phase nobody burnt is not said to want more tests.
func TestClaimsNeedLikeConditions(t *testing.T) {
	claims := func(change func(*BoilingTest)) (may, mayNot string) {
		var files []TestFile
		for name, s := range map[string]Series{"A": series(t, "A", 3, 5, 1, 0.02), "B": series(t, "B", 4, 5, 0.8, 0.02)} {
			for _, r := range s.Runs {
				test := r.Test
				test.About.Stove, test.Conditions.Pot = name, "5 L pot"
				test.Hot, test.Simmer = nil, nil
				if name == "B" {
					change(&test)
				}
				run, err := NewRun(test)
				fatal(t, err)
				files = append(files, TestFile{Kind: KindBoiling, About: test.About, Boiling: &run})
			}
		}
		st, err := NewStudy(files, "A", nil, DefaultSettings)
		fatal(t, err)
		for _, c := range st.Compared {
			if strings.HasPrefix(c.ID, "simmer") || c.Finding == TooFewRuns {
				t.Errorf("%s was not measured and is %s", c.ID, c.Finding)
			}
		}
		for i, list := range [][]message.Text{Claim(st.Evidence()).May, Claim(st.Evidence()).MayNot} {
			for _, text := range list {
				if i == 0 {
					may += say(text) + "\n"
				} else {
					mayNot += say(text) + "\n"
				}
			}
		}
		return may, mayNot
	}
	if may, _ := claims(func(*BoilingTest) {}); !strings.Contains(may, "lower than A") {
		t.Errorf("alike but for the stove: %s", may)
	}
	may, mayNot := claims(func(b *BoilingTest) { b.Conditions.Pot, b.Conditions.Lid = "4 L pot", true })
	if may != "" || !strings.Contains(mayNot, "this differed too: the pot, the lid") && !strings.Contains(mayNot, "this differed too: the pot and the lid") {
		t.Errorf("another pot: may %s may not %s", may, mayNot)
	}
}

func TestCompareCallsAlikeOnlyWhatIsShownAlike(t *testing.T) {
	c, err := Compare(series(t, "A", 11, 8, 1, 0.02), series(t, "B", 12, 8, 1, 0.02), "hot.SCT", DefaultSettings)
	fatal(t, err)
	if c.Finding != AlikeWithin || !strings.Contains(say(c.Words), "alike within 10 %") {
		t.Errorf("%s: %s (equivalence p %g)", c.Finding, say(c.Words), c.EquivalentP)
	}
}

func TestCompareNeverMixesProtocols(t *testing.T) {
	a, b := series(t, "A", 1, 3, 1, 0.02), series(t, "B", 2, 3, 1, 0.02)
	for i := range b.Runs {
		b.Runs[i].Test.Version = Version30
		r, err := NewRun(b.Runs[i].Test)
		fatal(t, err)
		b.Runs[i] = r
	}
	c, err := Compare(a, b, "hot.SCT", DefaultSettings)
	fatal(t, err)
	if c.Finding != Forbidden || c.P != 0 || !math.IsNaN(c.Ratio.Value) && c.Ratio.Value != 0 {
		t.Errorf("versions 4.2 and 3.0 were compared: %+v", c)
	}
}

func TestConditionAlarms(t *testing.T) {
	tests := map[string]func(*BoilingTest){
		"char-credit":       func(b *BoilingTest) { b.CharWeighed = false },
		"pot":               func(b *BoilingTest) { b.Conditions.Pot = "7 L pot" },
		"lid":               func(b *BoilingTest) { b.Conditions.Lid = true },
		"wood-kind":         func(b *BoilingTest) { b.Wood.Kind = "softwood" },
		"wood-pile":         func(b *BoilingTest) { b.Wood.Pile = "pile 2" },
		"wind":              func(b *BoilingTest) { b.Conditions.Wind = "windy" },
		"room":              func(b *BoilingTest) { b.Conditions.Room = "outdoors" },
		"fill":              func(b *BoilingTest) { b.Cold.Pots[0].Before, b.Cold.Pots[0].After = 5.4, 5.2 },
		"stick":             func(b *BoilingTest) { b.Wood.Stick = Known(0.055) },
		"heating-value":     func(b *BoilingTest) { b.Wood.LHV = 19497e3 },
		"moisture":          func(b *BoilingTest) { b.Wood.Moisture = 0.16 },
		"start-temperature": func(b *BoilingTest) { b.Cold.Pots[0].Start += 12 },
		"boiling-point":     func(b *BoilingTest) { b.Boiling.Kelvin -= 3 },
		"firepower":         func(b *BoilingTest) { b.Hot.Duration *= 0.6 },
		"start-state":       func(b *BoilingTest) { b.Cold.ColdStove = false },
	}
	make3 := func(name string, change func(*BoilingTest)) Series {
		s := Series{Name: name}
		for range 4 {
			test := exampleA()
			test.Conditions = Conditions{Pot: "5 L pot", Wind: "still", Room: "indoors"}
			test.Wood.Kind, test.Wood.Pile, test.Wood.Stick, test.Cold.ColdStove = "hardwood", "pile 1", Known(0.03), true
			change(&test)
			r, err := NewRun(test)
			fatal(t, err)
			s.Runs = append(s.Runs, r)
		}
		return s
	}
	base := make3("A", func(*BoilingTest) {})
	if c, err := Compare(base, make3("B", func(*BoilingTest) {}), "hot.SCT", DefaultSettings); err != nil || len(c.Alarms) != 0 {
		t.Errorf("equal conditions rang: %s %v", alarmKeys(c), err)
	}
	for key, change := range tests {
		c, err := Compare(base, make3("B", change), "hot.SCT", DefaultSettings)
		fatal(t, err)
		found := false
		for _, a := range c.Alarms {
			if a.Key == key {
				found = true
				if said := say(a.Text); strings.ContainsAny(said, "{}«") {
					t.Errorf("%s says %q", key, said)
				}
			}
		}
		if !found {
			t.Errorf("%s did not ring: %s", key, alarmKeys(c))
		}
	}
}

func TestRunsLeftOutStayWithTheirReason(t *testing.T) {
	s := series(t, "A", 1, 5, 1, 0.02)
	all := len(s.Values("cold.h"))
	s.Runs[2].LeftOut = "the door fell off"
	if got := len(s.Values("cold.h")); got != all-1 || len(s.Runs) != 5 {
		t.Errorf("%d values of %d runs", got, len(s.Runs))
	}
	s.Runs[0].Test.Cold.WoodAfter = 9
	r, err := NewRun(s.Runs[0].Test)
	fatal(t, err)
	s.Runs[0] = r
	if got := len(s.Values("hot.h")); got != all-2 {
		t.Errorf("a run with an impossible reading still counts: %d values", got)
	}
	if c, err := Compare(s, Series{Name: "B", Runs: s.Runs[:1]}, "cold.h", DefaultSettings); err != nil || c.Finding != TooFewRuns || say(c.Words) == "" {
		t.Errorf("%+v %v", c, err)
	}
	if _, err := Compare(s, s, "simmer.h", DefaultSettings); err == nil {
		t.Error("stoves were compared by the efficiency of the simmer")
	}
}

func TestOutlierIsNamed(t *testing.T) {
	a := series(t, "A", 7, 7, 1, 0.01)
	a.Runs[3].Test.Hot.WoodAfter -= 0.4
	r, err := NewRun(a.Runs[3].Test)
	fatal(t, err)
	a.Runs[3] = r
	c, err := Compare(a, series(t, "B", 8, 7, 1, 0.01), "hot.SCT", DefaultSettings)
	fatal(t, err)
	if len(c.Outliers) != 1 || c.Outliers[0].Series != "A" || c.Outliers[0].Run != 3 {
		t.Errorf("outliers: %+v", c.Outliers)
	}
}

func TestDriftAndPairs(t *testing.T) {
	s := Series{Name: "learning"}
	for i := range 6 {
		one := series(t, "x", uint64(i), 1, 1-0.04*float64(i), 0.003)
		s.Runs = append(s.Runs, one.Runs[0])
	}
	trend, err := Drift(s, "hot.SCT")
	fatal(t, err)
	if trend.P > 0.01 || trend.PerRun > 0 || trend.Lag1 < 0 {
		t.Errorf("a tester who learns shows as %+v", trend)
	}
	list := []Series{series(t, "A", 1, 4, 1, 0.05), series(t, "B", 2, 4, 0.93, 0.05), series(t, "C", 3, 4, 0.7, 0.05)}
	pairs, err := Pairwise(list, "hot.SCT", DefaultSettings)
	fatal(t, err)
	if len(pairs) != 3 {
		t.Fatalf("%d pairs", len(pairs))
	}
	alone, err := Compare(list[0], list[1], "hot.SCT", DefaultSettings)
	fatal(t, err)
	if pairs[0].P < alone.P || pairs[2].Finding != Differs {
		t.Errorf("adjusted p %g, alone %g; B against C %s", pairs[0].P, alone.P, pairs[2].Finding)
	}
}

func BenchmarkCompareWith10000Draws(b *testing.B) {
	x, y := series(b, "A", 1, 10, 1, 0.05), series(b, "B", 2, 10, 0.8, 0.05)
	for b.Loop() {
		if _, err := Compare(x, y, "BF", DefaultSettings); err != nil {
			b.Fatal(err)
		}
	}
}
