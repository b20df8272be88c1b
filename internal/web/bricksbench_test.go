package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"testing"

	"stovewright/brick"
)

// thirtyTrials makes a series of thirty trials of four materials.
func thirtyTrials(tb testing.TB, b *Bench) string {
	f := &brick.SeriesForm{Name: "thirty", Materials: []brick.MaterialForm{{Name: "clay", Kind: "clay"}, {Name: "dust", Kind: "sawdust"}, {Name: "grog", Kind: "grog"}, {Name: "husk", Kind: "rice-husk"}}}
	for i := range 30 {
		t := brick.TrialForm{Name: fmt.Sprintf("T%d", i+1), Water: strconv.Itoa(900+20*(i%7)) + " g", FiredAt: "980 °C"}
		for k, m := range f.Materials {
			t.Mix = append(t.Mix, brick.AmountForm{Material: m.Name, Amount: strconv.Itoa([4]int{900, 300, 150, 120}[k]+37*((i+3*k)%5)) + " g"})
		}
		for k := range 3 {
			t.Bricks = append(t.Bricks, brick.BrickForm{Mark: string(rune('a' + k)), Wet: brick.StageForm{Mass: strconv.Itoa(1750+7*k) + " g", Size: "220 x 110 x 60 mm"},
				Dry: brick.StageForm{Mass: strconv.Itoa(960+5*k+i) + " g", Size: "207 x 103.5 x 56.5 mm"}, Fired: brick.StageForm{Mass: strconv.Itoa(660+5*k+i) + " g", Size: "202 x 101 x 55 mm"}, Crushing: "1.2 MPa"})
		}
		f.Trials = append(f.Trials, t)
	}
	s := &sheet{Paper: seriesPaper, Form: f}
	if err := b.saveSheet(context.Background(), s, ""); err != nil {
		tb.Fatal(err)
	}
	return s.Path()
}

func benchmarkEntry(b *testing.B, bn *Bench, page, field string, values func(int) string) {
	b.Helper()
	for i := 0; b.Loop(); i++ {
		w := request(bn, "POST", page, url.Values{field: {values(i)}}, byScript...)
		if w.Code != http.StatusOK || !bytes.Contains(w.Body.Bytes(), []byte(`id="strip"`)) {
			b.Fatal(w.Code, w.Body)
		}
	}
}

func mass(i int) string { return strconv.Itoa(795+i%10) + " g" }

// BenchmarkBrickKey is one key beside a brick: saved, foretold anew, answered.
// The aim is 50 ms.
func BenchmarkBrickKey(b *testing.B) {
	bn, _ := bench(b)
	address := exampleOf(b, bn, brick.SeriesPaper)
	benchmarkEntry(b, bn, address+"/key?part=trial&n=1", "trials[1].bricks[1].dry.mass", mass)
}

// BenchmarkBrickKeyOfThirty is the same in a series of thirty trials of four
// materials.
func BenchmarkBrickKeyOfThirty(b *testing.B) {
	bn, _ := bench(b)
	benchmarkEntry(b, bn, thirtyTrials(b, bn)+"/key?part=trial&n=7", "trials[7].bricks[1].dry.mass", func(i int) string { return strconv.Itoa(960+i%10) + " g" })
}

// BenchmarkGoalKey is one key in the goal of the example, after which the next
// trial is sought anew.
func BenchmarkGoalKey(b *testing.B) {
	bn, _ := bench(b)
	address := exampleOf(b, bn, brick.SeriesPaper)
	benchmarkEntry(b, bn, address+"/key?part=next", "goal.max_density", func(i int) string { return strconv.Itoa(60+i%10) + "0 kg/m³" })
}

// BenchmarkNextOfThirty is the page that says what to try next of thirty trials.
func BenchmarkNextOfThirty(b *testing.B) {
	bn, _ := bench(b)
	address := thirtyTrials(b, bn)
	for b.Loop() {
		if w := request(bn, "GET", address+"?part=next", nil); w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}

// BenchmarkKilnKey is one key in the hourly log.
func BenchmarkKilnKey(b *testing.B) {
	bn, _ := bench(b)
	address := exampleOf(b, bn, brick.FiringPaper)
	benchmarkEntry(b, bn, address+"/key", "rows[3].temps[1]", func(i int) string { return strconv.Itoa(470+i%10) + " °C" })
}
