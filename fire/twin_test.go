package fire

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"testing"
	"time"

	"stovewright/fuel"
	"stovewright/internal/outside"
)

// twinStove is a stove as crosscheck/steady/steady.py reads it.
type twinStove struct {
	Fuel               map[string]float64 `json:"fuel"`
	HHV                float64            `json:"hhv_dry"`
	Moisture           float64            `json:"moisture"`
	Firepower          float64            `json:"firepower"`
	AmbientTemperature float64            `json:"ambient_temperature"`
	Pressure           float64            `json:"pressure"`
	PotTemperature     float64            `json:"pot_temperature"`
	ChamberDiameter    float64            `json:"chamber_diameter"`
	ChamberHeight      float64            `json:"chamber_height"`
	PotDiameter        float64            `json:"pot_diameter"`
	BottomGap          float64            `json:"bottom_gap"`
	SkirtGap           float64            `json:"skirt_gap"`
	SkirtHeight        float64            `json:"skirt_height"`
	SkirtEmissivity    *float64           `json:"skirt_emissivity"`
	SkirtU             float64            `json:"skirt_U"`
	FeedArea           float64            `json:"feed_area"`
	Blockage           float64            `json:"blockage"`
	Inlet              float64            `json:"K_inlet"`
	Elbow              float64            `json:"K_elbow"`
	Turn               float64            `json:"K_pot_turn"`
	SkirtTurn          float64            `json:"K_skirt_turn"`
	Grate              float64            `json:"K_grate"`
	GrateArea          float64            `json:"grate_area"`
	Multiplier         float64            `json:"K_multiplier"`
	Combustion         float64            `json:"combustion_efficiency"`
	BedEmissivity      float64            `json:"bed_emissivity"`
	FlameEmissivity    float64            `json:"flame_emissivity"`
	BedTemperature     float64            `json:"bed_temperature"`
	NominalFirepower   float64            `json:"nominal_firepower"`
	WallUA             float64            `json:"wall_UA"`
	WallTemperature    float64            `json:"wall_temperature"`
}

// model lays the twin's stove out for this program, with its coefficients and
// the wall it stands against.
func (s twinStove) model(t testing.TB) (*Model, Coefficients, WallLink) {
	t.Helper()
	area := math.Pi * s.ChamberDiameter * s.ChamberDiameter / 4
	stove := Stove{Feed: s.FeedArea, Grate: s.Grate > 0, Chamber: Chamber{Area: area, Perimeter: math.Pi * s.ChamberDiameter, Height: s.ChamberHeight},
		Bottom: FlatBottom(s.ChamberDiameter/2, s.PotDiameter/2, s.BottomGap, s.BottomGap), Pot: Pot{Diameter: s.PotDiameter}, Wall: Wall{Conductance: s.WallUA}}
	c := Defaults()
	if s.SkirtHeight > 0 {
		stove.Side = []Annulus{{Length: s.SkirtHeight, GapBottom: s.SkirtGap, GapTop: s.SkirtGap, OuterLoss: s.SkirtU}}
		c[SkirtEmissivity] = *s.SkirtEmissivity
	}
	c[Blockage], c[LossInlet], c[LossElbow], c[LossScale] = s.Blockage, s.Inlet, s.Elbow, s.Multiplier
	c[LossTurn], c[LossSkirt] = s.Turn/publishedTurn, s.SkirtTurn/publishedCorner
	if s.Grate > 0 { // this program refers the grate to the free fuel opening
		free := s.FeedArea * (1 - s.Blockage) / s.GrateArea
		c[LossGrate] = s.Grate * free * free
	}
	c[Combustion], c[BedEmissivity], c[FlameEmissivity], c[BedShare] = s.Combustion, s.BedEmissivity, s.FlameEmissivity, 10
	if s.BedTemperature > 0 {
		c[BedCool], c[BedHot] = s.BedTemperature, s.BedTemperature
	} else {
		c[BedLoading] = s.NominalFirepower / area
	}
	f := s.Fuel
	wood := fuel.Fuel{Composition: fuel.Composition{C: f["C"] / 100, H: f["H"] / 100, O: f["O"] / 100, N: f["N"] / 100, S: f["S"] / 100, Ash: f["ash"] / 100}, MeasuredHHV: s.HHV}
	moisture, err := fuel.WetBasis(s.Moisture)
	if err != nil {
		t.Fatal(err)
	}
	m, err := New(stove, Air{Temperature: s.AmbientTemperature, Pressure: s.Pressure}, wood, moisture)
	if err != nil {
		t.Fatal(err)
	}
	wall := WallLink{Conductance: s.WallUA, Effective: s.AmbientTemperature}
	if s.WallTemperature > 0 {
		wall.Effective = s.WallTemperature
	}
	return m.WithEquations(Published), c, wall
}

// Fifty random stoves solved by this program, with published correlations, and
// by the second implementation in crosscheck/steady: flows agree within 0.5 %,
// heats within 1 %. Both march finely here, so that equations are compared and
// not cells.
func TestSecondImplementation(t *testing.T) {
	python := outside.Python(t, "scipy")
	run := func(input []byte, script string) []byte {
		cmd := exec.Command(python, "../crosscheck/steady/"+script)
		cmd.Env = append(os.Environ(), "PYTHONDONTWRITEBYTECODE=1")
		cmd.Stdin = bytes.NewReader(input)
		return outside.Run(t, cmd)
	}
	var raw []map[string]any
	if err := json.Unmarshal(run(nil, "random_stoves.py"), &raw); err != nil {
		t.Fatal(err)
	}
	for _, s := range raw {
		s["rings"], s["cells"] = 60, 60
	}
	input, err := json.Marshal(raw)
	if err != nil {
		t.Fatal(err)
	}
	var stoves []twinStove
	if err := json.Unmarshal(input, &stoves); err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	var answers []struct {
		Error string
		Flow  float64 `json:"mass_flow"`
		Heats map[string]float64
	}
	if err := json.Unmarshal(run(input, "steady.py"), &answers); err != nil {
		t.Fatal(err)
	}
	theirs := time.Since(begin)
	begin = time.Now()
	worstFlow, worstHeat := 0.0, 0.0
	for i, a := range answers {
		m, c, wall := stoves[i].model(t)
		p, err := m.SolveAgainst(&c, stoves[i].Firepower, stoves[i].PotTemperature, wall, 0)
		var choked *ChokedError
		if errors.As(err, &choked) != (a.Error != "") || (err != nil && choked == nil) {
			t.Errorf("stove %d: the twin says %q, this program %v", i+1, a.Error, err)
			continue
		}
		if err != nil {
			continue
		}
		if d := math.Abs(p.Flow/a.Flow - 1); d > 0.005 {
			t.Errorf("stove %d: flow %g, twin %g kg/s", i+1, p.Flow, a.Flow)
		} else {
			worstFlow = math.Max(worstFlow, d)
		}
		h := p.Heat
		for name, ours := range map[string]float64{"bed": h.Bed, "stagnation": h.Centre, "flame": h.Flame, "ring": h.Ring, "side": h.Side,
			"skirt_loss": h.Skirt, "wall": h.Wall, "exhaust": h.Exhaust} {
			if d := math.Abs(ours - a.Heats[name]); d > 0.01*math.Abs(a.Heats[name]) {
				t.Errorf("stove %d, %s: %g W, twin %g W", i+1, name, ours, a.Heats[name])
			} else if ours != 0 {
				worstHeat = math.Max(worstHeat, d/math.Abs(ours))
			}
		}
	}
	t.Logf("%d stoves: flows within %.2g, heats within %.2g; the twin took %v, this program %v", len(answers), worstFlow, worstHeat, theirs, time.Since(begin))
}
