package bench

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"stovewright/message"
	"stovewright/stats"
)

func TestSafetyTableIsWhole(t *testing.T) {
	english := message.English()
	sum := 0.0
	for _, item := range SafetyItems() {
		sum += item.Weight
		for _, id := range []string{item.Name().ID, item.Help().ID} {
			if !english.Has(id) {
				t.Errorf("no words for %s", id)
			}
		}
		for _, p := range item.Points {
			if !english.Has(p.Name().ID) {
				t.Errorf("no words for point %s", p.Key)
			}
		}
		for _, m := range item.Measures {
			if _, ok := safetyUnits[m.Unit]; !ok || !english.Has("bench.measure."+m.Key) || !(m.Limits[0] < m.Limits[1] && m.Limits[1] < m.Limits[2]) {
				t.Errorf("measure %s: unit %q, limits %v", m.Key, m.Unit, m.Limits)
			}
		}
		for word := range item.Words {
			if !english.Has("bench.word." + word) {
				t.Errorf("no words for %q", word)
			}
		}
		if len(item.Points) == 0 || len(item.Measures)+len(item.Words) == 0 {
			t.Errorf("%s has no measuring point or nothing to measure", item.Key)
		}
	}
	if sum != 25 {
		t.Errorf("the weights add to %g", sum)
	}
	for _, e := range DurabilityElements {
		if !english.Has("bench.durability." + e) {
			t.Errorf("no words for %s", e)
		}
	}
}

// measuredSheet is a stove measured at its points; readings in SI.
func measuredSheet() SafetySheet {
	s := SafetySheet{Scorer: "first", Absent: []string{"chimney"}}
	add := func(item, measure, point string, value float64) {
		s.Readings = append(s.Readings, SafetyReading{Item: item, Measure: measure, Point: point, Value: value})
	}
	add("edges", "catches", "all-outside", 0)
	add("tipping", "tilt-ratio", "toward-mouth", 0.930)
	add("tipping", "tilt-ratio", "toward-back", 0.961) // the worst way counts: 3
	add("containment", "open-area", "fuel-mouth", 120e-4)
	add("obstructions", "rim-height", "pot-support", 0.025)
	add("surface", "low-metal", "front-low", 20)
	add("surface", "low-metal", "front-mid", 44) // on the limit: 2
	add("surroundings", "floor", "floor-under", 40)
	add("handles", "handle-metal", "handle", 19)
	s.Readings = append(s.Readings, SafetyReading{Item: "flames-pot", Word: "low"}, SafetyReading{Item: "flames-mouth", Word: "contained"})
	return s
}

func TestScoreSafety(t *testing.T) {
	score, err := ScoreSafety(measuredSheet())
	fatal(t, err)
	// by hand: 4·1.5+3·3+3·2.5+2·2+2·2+4·2.5+4·2+4·2.5+3·3+4·4
	if score.Total != 83.5 || score.Band != "fair" || score.ISO.Low != 3 {
		t.Errorf("%+v", score)
	}
	if strings.Join(score.Worst, " ") != "obstructions surface" {
		t.Errorf("worst %v", score.Worst)
	}
	bad := measuredSheet()
	bad.Readings[0].Measure = "colour"
	bad.Readings = bad.Readings[:len(bad.Readings)-1]
	_, err = ScoreSafety(bad)
	list, ok := message.Complaints(err)
	if !ok || len(list) != 3 { // the unreadable edges, and then edges and mouth missing
		t.Errorf("complaints %v", err)
	}
}

func TestAgreeSafety(t *testing.T) {
	first, err := ScoreSafety(ratedSheet(4, 2, 3, 4, 3, 3, 3, 4, 3, 1))
	fatal(t, err)
	second, err := ScoreSafety(ratedSheet(4, 4, 3, 4, 2, 3, 3, 4, 3, 2))
	fatal(t, err)
	g, err := AgreeSafety(first, second)
	fatal(t, err)
	// second: 70 + 2·3 - 2 + 4 = 78
	if g.Mean != 74 || g.PlusLess != 4 || g.SameTier || len(g.Apart) != 1 || g.Apart[0] != "tipping" || len(g.Alarms) != 2 {
		t.Errorf("%+v", g)
	}
	if said := say(g.Alarms[0].Text); !strings.Contains(said, "tipping") {
		t.Errorf("says %q", said)
	}
	same, err := AgreeSafety(first, first)
	fatal(t, err)
	if same.Kappa != 1 || same.PlusLess != 0 || len(same.Alarms) != 0 {
		t.Errorf("a sheet does not agree with itself: %+v", same)
	}
}

func TestDurability(t *testing.T) {
	total, tier, err := Durability(map[string]float64{"drop": 6, "coating": 3, "corrosion": 6})
	fatal(t, err)
	if total != 15 || tier.Low != 4 || !tier.OnLimit {
		t.Errorf("%g points, %+v", total, tier)
	}
	if _, _, err := Durability(map[string]float64{"beauty": 3}); err == nil {
		t.Error("an unknown element was added up")
	}
}

func TestTipOverRefuses(t *testing.T) {
	for _, feet := range []int{1, 2} {
		if _, err := TipOver([]Load{{1, 1}}, 0.1, feet, 0); err == nil {
			t.Errorf("%d feet stand", feet)
		}
	}
	if _, err := TipOver(nil, 0.1, 0, 0); err == nil {
		t.Error("nothing tips over")
	}
}

func TestBurnThresholdsFallWithTime(t *testing.T) {
	for _, s := range Surfaces {
		last := math.Inf(1)
		for _, seconds := range []float64{0.3, 0.5, 1, 5, 10, 60, 600, 28800} {
			b, ok := BurnAt(s, seconds)
			if !ok || b.Low > last || b.High < b.Low {
				t.Errorf("%s at %g s: %+v", s, seconds, b)
			}
			last = b.Low
		}
	}
	if b, _ := BurnAt("metal", 60); b.Low != zeroC+51 {
		t.Errorf("bare metal for a minute: %g", b.Low-zeroC)
	}
	if _, ok := BurnAt("cheese", 1); ok {
		t.Error("a threshold for an unknown surface")
	}
	if _, ok := BurnAt("metal", 0); ok {
		t.Error("a threshold for no contact")
	}
}

func TestUsageEvents(t *testing.T) {
	u, err := DefaultUsageRule.Detect(monitorExample())
	fatal(t, err)
	want := []CookingEvent{{7 * 600, 12 * 600, zeroC + 62}, {30 * 600, 37 * 600, zeroC + 52}}
	if len(u.Events) != 2 || u.Events[0] != want[0] || u.Events[1] != want[1] {
		t.Errorf("events %+v", u.Events)
	}
	if u.Days != 1 || u.DaysUsed != 1 || u.Complete != 1 || u.EventsPerDay() != 2 || u.DaysInUse() != 1 {
		t.Errorf("%+v", u)
	}
}

func TestUsageFaults(t *testing.T) {
	samples := monitorExample()
	samples[20].Kelvin = math.NaN()
	samples[100].Kelvin = 2000
	samples = append(samples[:60], samples[80:]...) // a dead battery for 200 min
	u, err := DefaultUsageRule.Detect(samples)
	fatal(t, err)
	if u.Spikes != 2 || u.Gaps != 1 || len(u.Events) != 2 || u.Complete > 0.9 {
		t.Errorf("%+v", u)
	}
	samples[5].At = samples[4].At
	if _, err := DefaultUsageRule.Detect(samples); err == nil {
		t.Error("a clock that stands still was accepted")
	}
	if _, err := DefaultUsageRule.Detect(samples[:2]); err == nil {
		t.Error("two readings were a record")
	}
}

// A fire is found wherever in the days it burns, and nothing else is.
func TestUsageFindsFires(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		samples := make([]TemperatureSample, 5*144)
		for i := range samples {
			sun := 6 * math.Sin(2*math.Pi*float64(i)/144)
			samples[i] = TemperatureSample{At: int64(i) * 600, Kelvin: zeroC + 22 + sun}
		}
		fires := rapid.IntRange(0, 8).Draw(t, "fires")
		at := 10
		placed := 0
		for range fires {
			at += rapid.IntRange(20, 60).Draw(t, "pause")
			if at+12 > len(samples) {
				break
			}
			for i, rise := range []float64{15, 30, 40, 45, 42, 30, 18, 9, 4, 2} {
				samples[at+i].Kelvin += rise
			}
			at += 10
			placed++
		}
		u, err := DefaultUsageRule.Detect(samples)
		if err != nil {
			t.Fatal(err)
		}
		if len(u.Events) != placed {
			t.Fatalf("%d fires, %d events %+v", placed, len(u.Events), u.Events)
		}
	})
}

func TestStacking(t *testing.T) {
	use := func(hours float64, days, used int) Usage {
		u := Usage{Hours: hours, Days: days, DaysUsed: used}
		if hours > 0 {
			u.Events = make([]CookingEvent, 3)
		}
		return u
	}
	s, err := Stack([]Usage{use(10, 10, 8), use(30, 10, 10), use(0, 10, 0)}, []Usage{use(30, 10, 10), use(10, 10, 5), use(0, 10, 0)}, 0.9)
	fatal(t, err)
	// 0.25 and 0.75 of the time on the old stove; the third house cooked on neither
	if !near(s.OldShare, 0.5, 1e-12) || !near(s.NewDays, 0.5, 1e-12) || s.Abandoned != 1 || !s.OldInterval.Contains(0.5) {
		t.Errorf("%+v", s)
	}
	if _, err := Stack(nil, []Usage{{}}, 0.9); err == nil {
		t.Error("records that do not match were stacked")
	}
}

func TestClimate(t *testing.T) {
	before, after := pairExample()
	study, err := StudyPairs(before, after, DefaultSettings)
	fatal(t, err)
	wood, _ := ClimateFuelOf("hardwood")
	saving := SavingOf(study, wood, 4.9, 0.9)
	// 0.439 MJ a SAE-day · 4.9 · 365 / 15.6 MJ/kg
	if !near(saving.PerYear, 0.439*4.9*365/15.6, 1e-9) || !saving.Interval.Contains(saving.PerYear) {
		t.Errorf("%+v", saving)
	}
	a := ClimateAssumptions{NCV: 15.6, Factor: 121.46, InUse: 0.8, Leakage: 0.95}
	list := ReduceRange(saving.PerYear, a, 0.1, 0.3, 0.8)
	if len(list) != 3 || !near(list[2].Tonnes/list[0].Tonnes, 8, 1e-9) || len(list[0].Assumptions) != 5 {
		t.Errorf("%+v", list)
	}
	if !strings.Contains(say(list[0].Words), "not a crediting calculation") {
		t.Errorf("words: %s", say(list[0].Words))
	}
	for _, text := range list[0].Assumptions {
		if strings.ContainsAny(say(text), "{}«") {
			t.Errorf("says %q", say(text))
		}
	}
}

func TestSniffLog(t *testing.T) {
	tests := []struct {
		name, file string
		delimiter  rune
		decimal    byte
		skip       int
		time       string
		columns    string
		questions  string
	}{
		{"ISO with heading", "time,Temp (°C),CO ppm\n2026-05-04 10:02:15,24.5,3\n2026-05-04 10:02:25,24.6,4\n2026-05-04 10:02:35,24.6,4\n", ',', '.', 1, "2006-01-02 15:04:05", "Temp (°C)=°C CO ppm=ppm", ""},
		{"semicolons and commas", "Zeit;T1\n04.05.2026 10:02;24,5\n04.05.2026 10:03;24,7\n04.05.2026 10:04;24,9\n", ';', ',', 1, "02.01.2006 15:04", "T1=", "unit"},
		{"day or month first", "Date;Time;Temperature [C]\n04/05/2026;10:02:15;24,5\n05/05/2026;10:02:15;24,6\n", ';', ',', 1, "02/01/2006 15:04:05", "Temperature [C]=°C", "date-order"},
		{"a thirteenth settles it", "Date,Time,Temperature [C]\n13/05/2026,10:02:15,24.5\n14/05/2026,10:02:15,24.6\n", ',', '.', 1, "02/01/2006 15:04:05", "Temperature [C]=°C", ""},
		{"afternoon", "Device 7\nSerial 1234\n#,Date Time,Temp (°F)\n1,05/13/2026 01:02:00 PM,75.2\n2,05/13/2026 01:03:00 PM,75.4\n3,05/13/2026 01:04:00 PM,75.9\n", ',', '.', 3, "01/02/2006 3:04:05 PM", "Temp (°F)=°F", ""},
		{"elapsed", "s\tkg\n0\t10.2\n10\t10.1\n20\t10.1\n", '\t', '.', 0, "seconds", "column 2=", "time unit"},
		{"clock alone", "10:02 24.5\n10:03 24.6\n10:04 24.6\n", ' ', '.', 0, "15:04", "column 2=", "unit"},
	}
	for _, tt := range tests {
		s, err := SniffLog([]byte(tt.file))
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		var columns, questions []string
		for _, c := range s.Layout.Columns {
			columns = append(columns, c.Name+"="+c.Unit)
		}
		for _, q := range s.Questions {
			questions = append(questions, q.Key)
			if strings.ContainsAny(say(q.Text), "{}«") || len(q.Choices) < 2 {
				t.Errorf("%s asks %q of %v", tt.name, say(q.Text), q.Choices)
			}
		}
		l := s.Layout
		skip := tt.skip
		if tt.name == "elapsed" {
			skip = 1
		}
		if l.Delimiter != tt.delimiter || l.Decimal != tt.decimal || l.Skip != skip || l.Time != tt.time || strings.Join(columns, " ") != strings.Replace(tt.columns, "column 2=", map[bool]string{true: "kg=", false: "column 2="}[tt.name == "elapsed"], 1) || strings.Join(questions, " ") != tt.questions {
			t.Errorf("%s: %+v, columns %v, questions %v", tt.name, l, columns, questions)
		}
	}
	for _, bad := range []string{"", "\n\n", "dear reader\nthis is a letter\nwith no table\n"} {
		if _, err := SniffLog([]byte(bad)); err == nil {
			t.Errorf("%q was taken for a table", bad)
		}
	}
}

func TestReadLog(t *testing.T) {
	file := "\ufefftime,Temp (°C),CO ppm\r\n2026-05-04 10:02:15,24.5,3\r\n2026-05-04 10:02:25,,4\r\nnonsense,1,2\r\n2026-05-04 10:02:20,24.6,4\r\n2026-05-04 10:02:35,24.x,4\r\n2026-05-04 10:02:45,24.8\r\n2026-05-04 10:02:55,25.0,5\r\n"
	s, err := SniffLog([]byte("time,Temp (°C),CO ppm\n2026-05-04 10:02:15,24.5,3\n2026-05-04 10:02:25,24.5,4\n2026-05-04 10:02:35,24.5,5\n"))
	fatal(t, err)
	l := s.Layout
	l.Zone, l.ClockFast = 3*time.Hour, 90*time.Second
	log, err := ReadLog(strings.NewReader(file), l)
	fatal(t, err)
	if len(log.Times) != 3 || len(log.Bad) != 4 || !math.IsNaN(log.Values[0][1]) || log.Values[1][2] != 5 {
		t.Fatalf("%d rows, bad %+v, values %v", len(log.Times), log.Bad, log.Values)
	}
	// 10:02:15 local is 07:02:15 UTC, less 90 s
	if at := time.Unix(0, log.Times[0]).UTC().Format(time.DateTime); at != "2026-05-04 07:00:45" {
		t.Errorf("first time %s", at)
	}
	for i, want := range []struct {
		line   int
		reason string
	}{{4, "bench.log.bad-time"}, {5, "bench.log.time-back"}, {6, "bench.log.bad-number"}, {7, "bench.log.short-row"}} {
		if b := log.Bad[i]; b.Line != want.line || b.Reason.ID != want.reason || !message.English().Has(b.Reason.ID) {
			t.Errorf("bad row %d: %+v, want %+v", i, b, want)
		}
	}
	samples, ok := log.Temperatures(l, 0)
	if !ok || len(samples) != 2 || !near(samples[1].Kelvin, zeroC+25, 1e-12) {
		t.Errorf("samples %+v", samples)
	}
	if _, ok := log.Temperatures(l, 1); ok {
		t.Error("ppm were taken for a temperature")
	}
}

// Rows of one day take a short way through the parser; it must tell the same
// time as the long one, and refuse the same nonsense.
func TestShortWayTellsTheSameTime(t *testing.T) {
	l := LogLayout{Delimiter: ',', Decimal: '.', DateColumn: -1, Time: "02.01.2006 15:04:05", Zone: -2 * time.Hour, Columns: []LogColumn{{Index: 1}}}
	rapid.Check(t, func(t *rapid.T) {
		p := newRowParser(l)
		at := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
		for range rapid.IntRange(1, 30).Draw(t, "rows") {
			at = at.Add(time.Duration(rapid.IntRange(0, 200000).Draw(t, "step")) * time.Second)
			got, ok := p.time(at.Format(l.Time))
			if want := at.UnixNano() + int64(2*time.Hour); !ok || got != want {
				t.Fatalf("%s: %d, want %d", at.Format(l.Time), got, want)
			}
		}
		day := at.Format("02.01.2006 ")
		for _, bad := range []string{"24:00:00", "12:60:00", "12:00:61", "12-00-00", "1x:00:00"} {
			if _, ok := p.time(day + bad); ok {
				t.Fatalf("%q was read", day+bad)
			}
		}
	})
}

func TestClockOverMidnight(t *testing.T) {
	l := LogLayout{Delimiter: ',', Decimal: '.', DateColumn: -1, Time: "15:04", Columns: []LogColumn{{Index: 1, Unit: "°C"}}}
	log, err := ReadLog(strings.NewReader("23:50,20\n23:55,21\n00:05,22\n"), l)
	fatal(t, err)
	if len(log.Times) != 3 || log.Times[2]-log.Times[0] != int64(15*time.Minute) {
		t.Errorf("times %v, bad %+v", log.Times, log.Bad)
	}
}

func FuzzLog(f *testing.F) {
	f.Add([]byte("time,Temp (°C)\n2026-05-04 10:02:15,24.5\n2026-05-04 10:02:25,24.6\n2026-05-04 10:02:35,24.6\n"))
	f.Add([]byte("Zeit;T1\n04.05.2026 10:02;24,5\n04.05.2026 10:03;24,7\n\"04.05.2026 10:04\";24,7\n"))
	f.Add([]byte("0 1\n1 2\n2 4\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := SniffLog(data)
		if err != nil {
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("not an input error: %v", err)
			}
			return
		}
		log, err := ReadLog(bytes.NewReader(data), s.Layout)
		if err != nil {
			return // a line longer than any logger writes
		}
		for i := 1; i < len(log.Times); i++ {
			if log.Times[i] <= log.Times[i-1] {
				t.Fatal("time goes back")
			}
		}
		for _, column := range log.Values {
			if len(column) != len(log.Times) {
				t.Fatal("columns of unequal length")
			}
		}
	})
}

// A million rows of an ordinary logger.
func BenchmarkLogMillionRows(b *testing.B) {
	var file bytes.Buffer
	file.WriteString("time,Temp (°C),CO ppm\n")
	at := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	random := stats.NewRand(1)
	for i := range 1000000 {
		fmt.Fprintf(&file, "%s,%.1f,%d\n", at.Add(time.Duration(i)*time.Second).Format(time.DateTime), 20+10*random.Float64(), i%50)
	}
	s, err := SniffLog(file.Bytes()[:4000])
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		log, err := ReadLog(bytes.NewReader(file.Bytes()), s.Layout)
		if err != nil || len(log.Times) != 1000000 {
			b.Fatal(len(log.Times), err)
		}
	}
}
