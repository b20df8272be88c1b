package bench

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/stats"
)

// hoodLog writes a record as a logger of another country would: semicolons, decimal
// commas, the day first, CO2 in per cent, the flow an hour, the clock 40 s fast. Ten
// minutes of clean air, then a fire of 22 minutes from 10:02:00.
func hoodLog(co, co2 func(i int) float64, flow float64) []byte {
	var b bytes.Buffer
	b.WriteString("Logger 7\nDatum;Zeit;CO [ppm];CO2 [%];Duct flow m3/h\n")
	at := time.Date(2026, 5, 4, 9, 50, 40, 0, time.UTC)
	for i := 0; i <= 6*36; i++ {
		burning := i >= 72 && i <= 72+132 // 10:02:00 to 10:24:00, every 10 s
		gas, dioxide := 1.0, 0.042
		if burning {
			gas, dioxide = 1+co(i-72), 0.042+co2(i-72)
		}
		now := at.Add(time.Duration(10*i) * time.Second)
		row := fmt.Sprintf("%s;%s;%.3f;%.5f;%.1f", now.Format("02.01.2006"), now.Format("15:04:05"), gas, dioxide, flow)
		b.WriteString(strings.ReplaceAll(strings.ReplaceAll(row, ".", ","), ",05,2026", ".05.2026") + "\n")
	}
	return b.Bytes()
}

func gasRecordOf(t testing.TB, data []byte) GasRecord {
	t.Helper()
	s, err := SniffLog(data[:min(len(data), 1<<16)])
	fatal(t, err)
	l := s.Layout
	l.ClockFast = 40 * time.Second
	log, err := ReadLog(bytes.NewReader(data), l)
	fatal(t, err)
	return GasRecord{Log: log, Layout: l, Columns: FindGases(l.Columns)}
}

const gasSheet = "test: emission\nmethod: hood\nwood: {kind: hardwood, moisture: 10 %, moisture_basis: wet}\nburnt: {wood: 750 g, char: 60 g, useful_heat: 2.02 MJ, duration: 22 min}\ngas: {temperature: 25 °C, pressure: 1013.25 hPa}\n"

func taken(t testing.TB, g GasRecord, sheet string) (EmissionForm, GasUse, TestFile) {
	t.Helper()
	f, err := ParseEmission([]byte(sheet))
	fatal(t, err)
	fire, ok := g.Window("10:02-10:24", "")
	background, ok2 := g.Window("09:50-10:00", "2026-05-04")
	if !ok || !ok2 {
		t.Fatal("no windows")
	}
	use, err := g.Fill(&f, fire, &background)
	fatal(t, err)
	doc, err := form.Encode(f)
	fatal(t, err)
	file, err := ReadTest("record", doc)
	fatal(t, err)
	return f, use, file
}

// A constant 50 ppm of CO above the background in 0.1 m³/s for 22 min is 7.55622 g by
// the ideal gas, worked apart (as in TestEmissionFiles); the record gives the same.
func TestGasRecordAddsUpToTheGasLaw(t *testing.T) {
	flat := func(v float64) func(int) float64 { return func(int) float64 { return v } }
	data := hoodLog(flat(50), flat(0.2), 360)
	g := gasRecordOf(t, data)
	if len(g.Columns) != 3 || g.Layout.Columns[g.Columns[GasCO2]].Unit != "%" || g.Layout.Columns[g.Columns[GasFlow]].Unit != "m³/h" {
		t.Fatalf("columns %v of %+v", g.Columns, g.Layout.Columns)
	}
	f, use, file := taken(t, g, gasSheet)
	if use.Fire != 133 || use.Background != 61 || use.Outside != 217-133-61 || use.Together != 1 || f.Background.CO != "1.00 ppm" {
		t.Errorf("%+v, background %+v", use, f.Background)
	}
	e := file.Emission.Result.Emitted
	if math.Abs(e.CO/7.55622e-3-1) > 1e-4 {
		t.Errorf("CO %g kg", e.CO)
	}
	// 2000 ppm of CO2 by the same law: 40 times the moles of CO
	if want := 7.55622e-3 / 28.010 * 44.009 * 40; math.Abs(e.CO2/want-1) > 1e-4 {
		t.Errorf("CO2 %g kg, want %g", e.CO2, want)
	}
	// carbon found: 12.011/28.010 of the CO and 12.011/44.009 of the CO2, of 0.75·0.9·0.5-0.06·0.8 kg burnt
	want := (12.011/28.010*e.CO + 12.011/44.009*e.CO2) / (0.75*0.9*0.5 - 0.06*0.8)
	if got := file.Emission.Result.Closure.Ratio; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("closure %g, want %g", got, want)
	}
}

// Rows averaged to a sheet's length say the same as all of them.
func TestThinningKeepsWhatPassed(t *testing.T) {
	random := stats.NewRand(3)
	var rows []gasRow
	for i := range 3001 {
		rows = append(rows, gasRow{at: int64(i) * 1e9, si: map[GasReading]float64{GasCO: 1e-4 * (1 + math.Sin(float64(i)/200)/2 + 0.2*random.Float64()), GasFlow: 0.1 + 0.02*random.Float64()}})
	}
	passed := func(rows []gasRow) (sum float64) {
		for i := 1; i < len(rows); i++ {
			a, b := rows[i-1], rows[i]
			sum += (a.si[GasCO]*a.si[GasFlow] + b.si[GasCO]*b.si[GasFlow]) / 2 * float64(b.at-a.at)
		}
		return sum
	}
	thinned, together := thin(rows)
	if together != 13 || len(thinned) > maxGasRows+2 {
		t.Fatalf("%d rows, %d together", len(thinned), together)
	}
	if a, b := passed(rows), passed(thinned); math.Abs(b/a-1) > 0.002 {
		t.Errorf("%g passed, %g after averaging", a, b)
	}
	if thinned[0].at != rows[0].at || thinned[len(thinned)-1].at != rows[3000].at {
		t.Error("the ends were averaged")
	}
}

// A row without a reading is named by its line, and so is what cannot be a record.
func TestGasRecordDropsNothingSilently(t *testing.T) {
	flat := func(int) float64 { return 0.2 }
	data := bytes.Replace(hoodLog(flat, flat, 360), []byte("04.05.2026;10:05:40;1,200"), []byte("04.05.2026;10:05:40;"), 1)
	_, use, _ := taken(t, gasRecordOf(t, data), gasSheet)
	if len(use.Lacking) != 1 || use.Lacking[0] != 93 || use.Fire != 132 {
		t.Errorf("%+v", use)
	}
	g := gasRecordOf(t, data)
	for _, text := range []string{"", "10:02", "10:24-10:24", "12-11", "a-b", "18:00-19:00"} {
		if w, ok := g.Window(text, ""); ok {
			t.Errorf("%q is %v", text, w)
		}
	}
	delete(g.Columns, GasFlow)
	f, err := ParseEmission([]byte(gasSheet))
	fatal(t, err)
	if _, err := g.Fill(&f, Window{0, 1 << 62}, nil); err == nil {
		t.Error("a hood without a flow")
	} else if list, _ := message.Complaints(err); list[0].Field != "flow" || list[0].Try == "" {
		t.Errorf("%v", err)
	}
	g.Flow = Known(0.1)
	if _, err := g.Fill(&f, Window{0, 1 << 62}, nil); err != nil {
		t.Error(err)
	}
}

// Each phase of a boiling test, and each level of a sequence, is a fire of its own
// with what it burnt.
func TestGasPartsOfTests(t *testing.T) {
	data := []byte(strings.Replace(exampleText(t, "example-a.yaml"), "duration: 22 min", "start: \"10:02\"\n  end: \"10:24\"", 1))
	parts, err := GasParts("a.yaml", data)
	fatal(t, err)
	if len(parts) < 2 || parts[0].Name != "cold" || parts[0].Clock != "10:02-10:24" || parts[0].Form.Burnt.Wood != "750.0 g" || parts[0].Form.Burnt.Duration != "22.00 min" {
		t.Errorf("%+v", parts)
	}
	sequence := []byte(exampleText(t, "sequence.yaml"))
	parts, err = GasParts("s.yaml", sequence)
	fatal(t, err)
	if len(parts) != 2 || parts[1].Name != "low" || parts[1].Clock != "11:02-11:36" {
		t.Errorf("%+v", parts)
	}
	f, err := ParseSequence(sequence)
	fatal(t, err)
	fatal(t, f.TakeEmissions("high", Emitted{CO: 0.0125, PM: 3.5e-4}))
	if f.High.CO != "12.5000 g" || f.High.PM != "350.00 mg" || f.TakeEmissions("top", Emitted{}) == nil {
		t.Errorf("%+v", f.High)
	}
	if _, err := GasParts("k.yaml", []byte(exampleText(t, "kitchens.yaml"))); err == nil {
		t.Error("a kitchen test has a fire")
	}
}

// Whatever a logger writes, a record of it is filled in or complained of.
func FuzzGasRecord(f *testing.F) {
	flat := func(int) float64 { return 0.2 }
	f.Add(hoodLog(flat, flat, 360), "10:02-10:24", "09:50-10:00")
	f.Add([]byte("s,CO ppm,CO2 ppm,temp C\n0,1,400,20\n10,50,2000,25\n20,60,2100,26\n30,60,2100,26\n"), "0.1-1", "0-0.1")
	f.Fuzz(func(t *testing.T, data []byte, fire, background string) {
		s, err := SniffLog(data)
		if err != nil {
			return
		}
		log, err := ReadLog(bytes.NewReader(data), s.Layout)
		if err != nil {
			return
		}
		g := GasRecord{Log: log, Layout: s.Layout, Columns: FindGases(s.Layout.Columns)}
		w, ok := g.Window(fire, "")
		if !ok {
			w = g.AfterBackground(nil)
		}
		var before *Window
		if b, ok := g.Window(background, "2026-05-04"); ok {
			before = &b
		}
		for _, method := range []string{HoodMethod, PlumeMethod, ""} {
			sheet, err := ParseEmission([]byte(gasSheet))
			fatal(t, err)
			sheet.Method = method
			use, err := g.Fill(&sheet, w, before)
			if err != nil {
				if _, ok := message.Complaints(err); !ok {
					t.Fatalf("not an input error: %v", err)
				}
				continue
			}
			if use.Fire+use.Background+use.Outside+len(use.Lacking) != len(log.Times) {
				t.Fatalf("rows were lost: %+v of %d", use, len(log.Times))
			}
			doc, err := form.Encode(sheet)
			fatal(t, err)
			if _, err := ReadTest("fuzz", doc); err != nil {
				if _, ok := message.Complaints(err); !ok {
					t.Fatalf("an error that is no complaint: %v", err)
				}
			}
		}
	})
}

// A hood of half an hour, from the table to the emission.
func BenchmarkGasRecord(b *testing.B) {
	flat := func(int) float64 { return 0.2 }
	data := hoodLog(flat, flat, 360)
	for b.Loop() {
		g := gasRecordOf(b, data)
		taken(b, g, gasSheet)
	}
}

func exampleText(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	fatal(t, err)
	return string(data)
}
