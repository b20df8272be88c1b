package bench

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
	"stovewright/quantity"
)

// Whatever the plume, the carbon of all that is computed to have left is the
// carbon that was burnt.
func TestCarbonClosesForEveryPlume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		between := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		p := Plume{CO2: between("co2", 1e-5, 0.1), CO: between("co", 0, 0.01), CH4: between("ch4", 0, 1e-3), PM: between("pm", 0, 1e-3),
			PMCarbon: between("share", 0.3, 0.9), Pressure: between("p", 6e4, 1.1e5), Temperature: between("t", 270, 400)}
		b := Burnt{Wood: between("wood", 0.1, 50), Moisture: between("m", 0, 0.4), CarbonWood: 0.5, CarbonChar: 0.85, Useful: 1e6, Duration: 1000}
		b.Char = between("char", 0, 0.2) * b.Wood
		r, err := BalanceCarbon(p, b)
		if err != nil {
			t.Fatal(err)
		}
		if c := CloseCarbon(r.Emitted, p.PMCarbon, b); !near(c.Ratio, 1, 1e-9) || len(c.Alarms) != 0 {
			t.Fatalf("closure %g", c.Ratio)
		}
		if r.NCE > r.MCE+1e-12 || r.MCE > 1 {
			t.Fatalf("NCE %g, MCE %g", r.NCE, r.MCE)
		}
	})
}

func TestPlumesThatNoFireMakes(t *testing.T) {
	p, b := plumeExample()
	for key, spoil := range map[string]func(*Plume){
		"mce-low":    func(p *Plume) { p.CO = 900e-6 },
		"no-co":      func(p *Plume) { p.CO = 0 },
		"thin-plume": func(p *Plume) { p.CO2, p.CO = 100e-6, 5e-6 },
	} {
		q := p
		spoil(&q)
		r, err := BalanceCarbon(q, b)
		fatal(t, err)
		if len(r.Alarms) != 1 || r.Alarms[0].Key != key {
			t.Errorf("%s: rang %v", key, keys(r.Alarms))
			continue
		}
		if said := message.English().Say(r.Alarms[0].Text); strings.ContainsAny(said, "{}«") {
			t.Errorf("%s says %q", key, said)
		}
	}
	p.CO2 = 0
	if _, err := BalanceCarbon(p, b); err == nil {
		t.Error("a plume without CO2 was balanced")
	}
	p, b = plumeExample()
	b.Char = 1
	if _, err := BalanceCarbon(p, b); err == nil {
		t.Error("a fire that burnt no carbon was balanced")
	}
	if c := CloseCarbon(Emitted{CO2: 0.5}, 0.5, Burnt{Wood: 0.75, Moisture: 0.1, CarbonWood: 0.5}); len(c.Alarms) != 1 || c.Ratio > 0.5 {
		t.Errorf("a hood that lost half: %+v", c)
	}
}

func TestHoodRefusesGaps(t *testing.T) {
	h := Hood{Pressure: 101325, Temperature: 298.15}
	sample := func(at float64) HoodSample { return HoodSample{Time: at, CO: 50e-6, CO2: 1e-3, PM: 1e-6, Flow: 0.1} }
	for name, samples := range map[string][]HoodSample{
		"one sample": {sample(0)},
		"backwards":  {sample(0), sample(10), sample(5)},
		"a gap":      {sample(0), sample(10), sample(20), sample(30), sample(40), sample(50), sample(60), sample(70), sample(300)},
	} {
		if _, err := h.Capture(samples); err == nil {
			t.Errorf("%s was added up", name)
		}
	}
	e, err := h.Capture([]HoodSample{sample(0), sample(60)})
	fatal(t, err)
	if !near(e.PM, 6e-6, 1e-12) { // 1 mg/m³·0.1 m³/s·60 s
		t.Errorf("particles %g kg", e.PM)
	}
}

func TestRoomIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		between := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		r := Room{Volume: between("V", 5, 100), AirChanges: between("air", 1, 45) / 3600, EntersRoom: 1, EmissionPer: between("G", 1e-9, 1e-6)}
		burn := between("burn", 600, 80000)
		mean := r.Mean(burn, 86400)
		double := r
		double.EmissionPer *= 2
		if !near(double.Mean(burn, 86400)/mean, 2, 1e-9) {
			t.Fatal("twice the emission is not twice the mean")
		}
		quarter := r
		quarter.EntersRoom = 0.25
		if !near(quarter.Mean(burn, 86400)/mean, 0.25, 1e-9) {
			t.Fatal("a quarter entering is not a quarter of the mean")
		}
		if mean > r.Steady() || r.At(burn) > r.Steady() || r.After(r.At(burn), 1e9) > 1e-12 {
			t.Fatal("a room holds more than its steady state")
		}
		// the mean is the integral of the curve, here by many small steps
		const n = 4000
		sum := 0.0
		for i := range n {
			at := (float64(i) + 0.5) / n * 86400
			if at < burn {
				sum += r.At(at)
			} else {
				sum += r.After(r.At(burn), at-burn)
			}
		}
		if !near(sum/n/mean, 1, 2e-3) {
			t.Fatalf("mean %g, integral %g", mean, sum/n)
		}
	})
}

func TestRoomSimulation(t *testing.T) {
	r := Room{EntersRoom: 1, EmissionPer: 0.23e-6 / 60}
	median, span, err := r.Simulate(Kitchens, 2000, 0.9, 1)
	fatal(t, err)
	if !span.Contains(median) || span.Low <= 0 || span.High < 3*span.Low {
		t.Errorf("median %g in %+v", median, span)
	}
	if _, _, err := r.Simulate(Kitchens, 3, 0.9, 1); err == nil {
		t.Error("three draws were enough")
	}
}

func TestTiersAreMonotone(t *testing.T) {
	for _, s := range Scales {
		for _, i := range s.Indicators {
			if _, ok := units[i.Unit]; !ok {
				t.Errorf("%s/%s: unknown unit %q", s.Key, i.Key, i.Unit)
			}
			last := math.Inf(-1)
			for _, limit := range i.Limits {
				if limit == nil {
					continue
				}
				v := *limit
				if !i.Higher {
					v = -v
				}
				if v <= last {
					t.Errorf("%s/%s: the limits do not rise in merit", s.Key, i.Key)
				}
				last = v
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := Scales[rapid.IntRange(0, len(Scales)-1).Draw(t, "scale")]
		i := s.Indicators[rapid.IntRange(0, len(s.Indicators)-1).Draw(t, "indicator")]
		u := units[i.Unit]
		a := rapid.Float64Range(0, 2000).Draw(t, "a")
		b := rapid.Float64Range(a, 2000).Draw(t, "b")
		low, high := i.Of(u.SI(a)), i.Of(u.SI(b))
		if !i.Higher {
			low, high = high, low
		}
		if low.Low > high.Low || low.High > high.High || low.Low > low.High {
			t.Fatalf("%s: %g is %+v, %g is %+v", i.Key, a, low, b, high)
		}
	})
}

func TestTierOfAnUnknownBoundaryIsASpan(t *testing.T) {
	s, _ := ScaleOf("iso-high-ventilation")
	i, _ := s.Indicator("co")
	for number, want := range map[float64]Tier{30: {0, 0, false}, 20: {1, 3, false}, 6: {4, 5, false}} {
		if got := i.Of(units["g/MJ"].SI(number)); got != want {
			t.Errorf("%g g/MJ: %+v, want %+v", number, got, want)
		}
	}
	d, _ := Scales[0].Indicator("durability")
	if got := d.Of(15); got.Low != 4 || !got.OnLimit {
		t.Errorf("15 points of durability: %+v", got)
	}
}

func TestSequenceReport(t *testing.T) {
	var runs []SequenceResult
	for i := range 5 {
		test := sequenceExample()
		for level, l := range test.Levels {
			l.Pots = []HeatedPot{{Water: 5, Start: 298.15, End: 298.15 + 60 + 2*float64(i), Evaporated: 0.3}}
			l.CO, l.PM = Known(l.Fuel*0.020), Known(l.Fuel*0.8e-3)
			test.Levels[level] = l
		}
		r, err := RunSequence(test)
		fatal(t, err)
		runs = append(runs, r)
	}
	report, err := ReportSequence(runs, "iso-default")
	fatal(t, err)
	if report.Runs != 5 || report.Efficiency.Point.Low < 1 || report.WithChar.Summary.Mean <= report.Efficiency.Summary.Mean || report.CO.Summary.N != 5 || report.PM.Point.High > 5 {
		t.Errorf("%+v", report)
	}
	if report.Efficiency.Conservative.Low > report.Efficiency.Point.Low || !strings.Contains(say(report.Words), "not a certificate") {
		t.Errorf("conservative tier %d above point tier %d; %s", report.Efficiency.Conservative.Low, report.Efficiency.Point.Low, say(report.Words))
	}
	few, err := ReportSequence(runs[:2], "iso-high-ventilation")
	fatal(t, err)
	if !alreadyRung("few-replicates", few.Efficiency.Alarms) || few.CO.Point.Known() && few.CO.Point.Low > 1 {
		t.Errorf("two runs: %+v", few.CO)
	}
	if _, err := ReportSequence(runs, "iwa-11-2012"); err == nil {
		t.Error("the ISO sequence was mapped to IWA 11")
	}
}

func TestSequenceSteps(t *testing.T) {
	r, err := RunSequence(sequenceExample())
	fatal(t, err)
	followed := 0
	for _, s := range r.Steps {
		if s.Numbers == "" {
			continue
		}
		_, right, _ := strings.Cut(s.Numbers, " = ")
		f, err := parseFormula(strings.NewReplacer("−", "-", "·", "*").Replace(right), scope{})
		if err != nil || !near(f.eval(&values{rows: 1}), s.Number(), 2e-4) {
			t.Errorf("%s: %s: %v, printed %g", s.ID(), s.Numbers, err, s.Number())
		}
		followed++
		if !message.English().Has(s.Name.ID) {
			t.Errorf("no words for %s", s.Name.ID)
		}
	}
	if followed < 30 {
		t.Errorf("%d steps", followed)
	}
}

// A heating value of a table is not called measured, and one that was measured is
// surer.
func TestSequenceSaysWhereHeatingValuesAreFrom(t *testing.T) {
	measured := sequenceExample()
	measured.LHVFrom, measured.LHVCharFrom = Measured, Measured
	for want, test := range map[Origin]SequenceTest{Default: sequenceExample(), Measured: measured} {
		r, err := RunSequence(test)
		fatal(t, err)
		for _, key := range []string{"LHVd", "LHVc"} {
			at := slices.IndexFunc(r.Steps, func(s Step) bool { return s.Key == key })
			if at < 0 || r.Steps[at].Origin != want {
				t.Errorf("%s at step %d, want %s", key, at, want)
			}
		}
	}
	form, err := ReadSequence(readTest(t, "sequence.yaml"))
	fatal(t, err)
	if form.LHVFrom != Default {
		t.Errorf("a file without a heating value: %q", form.LHVFrom)
	}
}

// Small results keep figures that tell two stoves apart.
func TestSmallPowersKeepThreeFigures(t *testing.T) {
	for si, want := range map[float64]string{5063: "5.1", 1286: "1.29", 420.2: "0.420"} {
		if got := Shown("P_c", quantity.Value{SI: si, Unit: quantity.Watt}).String(); !strings.HasPrefix(got, want+"\u00a0kW") {
			t.Errorf("%g W: %q, want %s", si, got, want)
		}
	}
}

func TestSequenceAlarms(t *testing.T) {
	for key, spoil := range map[string]func(*LevelTest){
		"no-useful-heat":     func(l *LevelTest) { l.Pots[0].Evaporated = 0 },
		"no-fuel":            func(l *LevelTest) { l.Fuel = 0 },
		"char-over-fuel":     func(l *LevelTest) { l.Char = 0.5 },
		"sequence-over-fuel": func(l *LevelTest) { l.Pots[0].Evaporated = 6 },
		"sequence-char":      func(l *LevelTest) { l.Char = 0.28 },
		"much-steam":         func(l *LevelTest) { l.Pots[0].Water = 1; l.Pots[0].End = 340 },
		"sequence-time":      func(l *LevelTest) { l.Duration = 600 },
		"over-10-kw":         func(l *LevelTest) { l.Duration = 900 },
	} {
		test := sequenceExample()
		l := test.Levels[HighPower]
		spoil(&l)
		test.Levels[HighPower] = l
		r, err := RunSequence(test)
		fatal(t, err)
		if !alreadyRung(key, r.Alarms) {
			t.Errorf("%s did not ring: %v", key, keys(r.Alarms))
		}
		for _, a := range r.Alarms {
			if said := message.English().Say(a.Text); strings.ContainsAny(said, "{}«") {
				t.Errorf("%s says %q", a.Key, said)
			}
		}
	}
	test := sequenceExample()
	delete(test.Levels, LowPower)
	r, err := RunSequence(test)
	fatal(t, err)
	if !alreadyRung("levels-missing", r.Alarms) || math.IsNaN(r.EfficiencyNoChar) {
		t.Errorf("a stove without turndown: %v", keys(r.Alarms))
	}
	if _, err := RunSequence(SequenceTest{}); err == nil {
		t.Error("a sequence without levels was computed")
	}
}

// Figures of an older publication fall where IWA 11:2012 puts them, the lowest of a
// group being the group's (key iwa2012guidelines).
func TestOlderPublicationsAreRead(t *testing.T) {
	groups, err := ReadOlder(map[string]string{"high-power-efficiency": "36 %", "low-power-use": "0.038", "high-power-co": "8 g/MJ", "high-power-pm": "717mg/MJ", "indoor-co": "1.38", "safety": "88"})
	fatal(t, err)
	want := []GroupTier{{Group: "fuel use", Tier: Tier{Low: 2}}, {Group: "emissions", Tier: Tier{Low: 1}}, {Group: "indoor emissions", Tier: Tier{Low: 0}}, {Group: "safety", Tier: Tier{Low: 3}}}
	if len(groups) != len(want) {
		t.Fatalf("%+v", groups)
	}
	for i, g := range groups {
		if g.Group != want[i].Group || g.Tier.Low != want[i].Tier.Low {
			t.Errorf("%s: tier %d, want %s %d", g.Group, g.Tier.Low, want[i].Group, want[i].Tier.Low)
		}
	}
	for key, text := range map[string]string{"colour": "1", "efficiency": "35 %", "safety": "good", "indoor-co": "-1"} {
		if _, err := ReadOlder(map[string]string{key: text}); err == nil {
			t.Errorf("%s=%s was graded", key, text)
		}
	}
}

// No result of a boiling test is said to be a tier, of whichever version.
func TestNoBoilingTestIsATier(t *testing.T) {
	for _, version := range []Version{Version42, Version30} {
		test := exampleA()
		test.Version = version
		run, err := NewRun(test)
		fatal(t, err)
		words := say(TestFile{Kind: KindBoiling, Boiling: &run}.Standing())
		if strings.Contains(words, "IWA") || !strings.Contains(words, "not a tier") {
			t.Errorf("%s: %s", version, words)
		}
	}
}
