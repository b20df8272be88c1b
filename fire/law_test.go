package fire

import (
	"bytes"
	"flag"
	"math"
	"os"
	"testing"

	"github.com/goccy/go-yaml"
)

var update = flag.Bool("update", false, "fit the pot channel's laws again and write channel.yaml")

// folds is in how many parts the fitted rows are left out by turns.
const folds = 5

// The law in channel.yaml is what FitLaw makes of the rows, and its errors are
// those found again here. Run with -update after changing rows or laws.
func TestLawIsTheFit(t *testing.T) {
	fit, held := rowsFor("fit"), rowsFor("held")
	law, err := FitLaw(fittedLaw, fit)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		law = rounded(law)
		writeLaw(t, law, fit, held)
		return
	}
	for i, r := range fit {
		a, b := law.Miss(r), fittedLaw.Miss(r)
		if math.Abs(a.Whole-b.Whole) > 1e-3 || math.Abs(a.Loss-b.Loss) > 1e-3 || math.Abs(a.Side-b.Side) > 2e-3 {
			t.Errorf("row %d %s: the fit misses by %+v, the law in use by %+v", i, r.Name, a, b)
		}
	}
	var file struct {
		Errors LawError `yaml:"errors"`
	}
	if err := yaml.Unmarshal(lawFile, &file); err != nil {
		t.Fatal(err)
	}
	crossed, err := CrossValidate(fittedLaw, fit, folds)
	if err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]Misses{"fitted": {file.Errors.Fitted, misses(fittedLaw.RootMeanSquare(fit))}, "crossed": {file.Errors.Crossed, misses(crossed)},
		"held": {file.Errors.Held, misses(fittedLaw.RootMeanSquare(held))}} {
		a, b := pair[0], pair[1]
		for _, d := range []float64{a.Centre - b.Centre, a.Ring - b.Ring, a.Side - b.Side, a.Whole - b.Whole, a.Loss - b.Loss} {
			if !(math.Abs(d) < 2e-3) {
				t.Errorf("%s errors in the file %+v, found %+v", name, a, b)
				break
			}
		}
	}
}

func misses(e RowError) Misses {
	r := func(x float64) float64 { return math.Round(x*1e4) / 1e4 }
	return Misses{r(e.Centre), r(e.Ring), r(e.Side), r(e.Whole), r(e.Loss)}
}

// rounded keeps four significant figures of each number, more than the rows tell.
func rounded(l Law) Law {
	for _, list := range [][]float64{l.Centre[:], l.Ring[:], l.Side[:], l.Turn[:], l.Corner[:]} {
		for i, x := range list {
			scale := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(x))))
			list[i] = math.Round(x*scale) / scale
		}
	}
	return l
}

func writeLaw(t *testing.T, law Law, fit, held []FlowRow) {
	crossed, err := CrossValidate(law, fit, folds)
	if err != nil {
		t.Fatal(err)
	}
	cut := bytes.Index(lawFile, []byte("\nlaw:"))
	body, err := yaml.Marshal(struct {
		Law    Law      `yaml:"law"`
		Errors LawError `yaml:"errors"`
	}{law, LawError{misses(law.RootMeanSquare(fit)), misses(crossed), misses(law.RootMeanSquare(held))}})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("channel.yaml", append(lawFile[:cut+1:cut+1], body...), 0o644); err != nil {
		t.Fatal(err)
	}
}

// Out of the fitted range the laws must stay finite, positive and monotone in
// the flow.
func TestLawBehaves(t *testing.T) {
	for _, r := range rowsFor("fit")[:1] {
		for _, gap := range []float64{0.003, 0.006, 0.03, 0.06} {
			for _, skirt := range []float64{0.003, 0.02, 0.04} {
				last := 0.0
				for _, flow := range []float64{1e-4, 1e-3, 1e-2, 1e-1} {
					row := r
					row.Gap, row.Skirt, row.Flow = gap, skirt, flow
					p, _ := rowModel(row).predict(&fittedLaw, row, false)
					if !(p.whole > last) || math.IsInf(p.whole, 0) || !(p.loss > 0) || p.side <= 0 {
						t.Errorf("gap %g, skirt %g, flow %g: %+v after %g W", gap, skirt, flow, p, last)
					}
					last = p.whole
				}
			}
		}
	}
}
