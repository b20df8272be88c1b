package fire

import (
	"bytes"
	"encoding/csv"
	"flag"
	"math"
	"os"
	"strconv"
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
		"held": {file.Errors.Held, misses(fittedLaw.RootMeanSquare(held))}, "shape": {file.Errors.Shape, misses(fittedLaw.RootMeanSquare(rowsFor("shape")))}} {
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
	}{law, LawError{misses(law.RootMeanSquare(fit)), misses(crossed), misses(law.RootMeanSquare(held)), misses(law.RootMeanSquare(rowsFor("shape")))}})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("channel.yaml", append(lawFile[:cut+1:cut+1], body...), 0o644); err != nil {
		t.Fatal(err)
	}
}

// The rows here are those of the folder that solves them, every one of them that
// has been solved.
func TestFlowRowsAreTheSolvedOnes(t *testing.T) {
	file, err := os.Open("../crosscheck/pot-channel/rows.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range records[0] {
		column[name] = i
	}
	ours, err := FlowRows()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range records[1:] {
		value := func(name string) float64 {
			if record[column[name]] == "" {
				return 0
			}
			x, err := strconv.ParseFloat(record[column[name]], 64)
			if err != nil {
				t.Fatalf("row %s, %s: %v", record[0], name, err)
			}
			return x
		}
		if record[column["heat_side_W"]] == "" {
			continue
		}
		if len(ours) == 0 {
			t.Fatalf("row %s is missing", record[0])
		}
		r := ours[0]
		ours = ours[1:]
		if r.Name != record[0] || r.Use != record[column["use"]] {
			t.Errorf("row %s for %s stands as %s for %s", record[0], record[column["use"]], r.Name, r.Use)
		}
		cap := 0.0 // the depth that the curvature gives
		if r.Curvature > 0 {
			cap = r.Curvature - math.Sqrt(r.Curvature*r.Curvature-r.Pot*r.Pot)
		}
		for name, x := range map[string]float64{"riser_radius_m": r.Riser, "pot_radius_m": r.Pot, "gap_under_pot_m": r.Gap, "skirt_gap_m": r.Skirt, "skirt_height_m": r.Height,
			"base_sagitta_m": cap, "plate_rise_m": r.Rise, "sunk_m": r.Sunk, "well_gap_m": r.SunkGap, "mass_flow_kg_s": r.Flow, "gas_in_K": r.Hot,
			"heat_centre_W": r.Centre, "heat_ring_W": r.Ring, "heat_side_W": r.Side, "gas_out_K": r.Out, "static_pressure_in_minus_out_Pa": r.Pressure, "mesh": r.Mesh} {
			if want := value(name); math.Abs(x-want) > 1e-5*want {
				t.Errorf("row %s: %s is %g, solved %g", r.Name, name, x, want)
			}
		}
	}
	if len(ours) > 0 {
		t.Errorf("row %s is not in rows.csv", ours[0].Name)
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
