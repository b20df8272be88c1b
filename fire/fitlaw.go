package fire

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"stovewright/gas"
	"stovewright/heat"
	"stovewright/internal/num"
)

// FlowRow is one solution of the flow solver: hot gas from the riser, under and
// around a pot of 383.15 K. crosscheck/pot-channel reruns any row.
type FlowRow struct {
	Name               string
	Riser, Pot, Gap    float64 // m: radii, and gap under the pot's lowest point
	Skirt, Height      float64 // m: gap of the skirt, and height of side within well and skirt
	Flow, Hot          float64 // kg/s, K
	Curvature, Rise    float64 // m: radius of a round bottom, 0 for a flat one, and how far the plate rises under it, straight from riser to edge
	Sunk, SunkGap      float64 // m: height of side within a well of the body, and the well's gap
	Centre, Ring, Side float64 // W into the pot
	Out                float64 // K
	Pressure           float64 // Pa, static, 0.1 m below the throat less exit
	Mesh               float64 // cells each way against the finest
	Use                string  // fit, held, shape or slow; see channel.csv
}

//go:embed channel.csv
var flowRowsFile string

// FlowRows are the rows of the flow solver. Those for fitting, those held back
// from every fit, and those of other shapes (round and sunken pots, held back as
// well) carry it in Use.
func FlowRows() ([]FlowRow, error) {
	r := csv.NewReader(strings.NewReader(flowRowsFile))
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("fire: flow rows: %w", err)
	}
	list := make([]FlowRow, 0, len(records)-1)
	for _, record := range records[1:] {
		row := FlowRow{Name: record[0], Use: record[len(record)-1]}
		for i, x := range []*float64{&row.Riser, &row.Pot, &row.Gap, &row.Skirt, &row.Height, &row.Flow, &row.Hot, &row.Curvature, &row.Rise, &row.Sunk, &row.SunkGap,
			&row.Centre, &row.Ring, &row.Side, &row.Out, &row.Pressure, &row.Mesh} {
			if *x, err = strconv.ParseFloat(record[i+1], 64); err != nil {
				return nil, fmt.Errorf("fire: flow row %s: %w", row.Name, err)
			}
		}
		list = append(list, row)
	}
	return list, nil
}

// Conditions that all flow rows share.
const (
	rowPot      = 383.15 // K
	rowPressure = 101325 // Pa
	rowColumn   = 0.1    // m, riser below the throat
)

// rowGas is the gas of the flow rows.
var rowGas = gas.Mixture{gas.N2: 0.79, gas.O2: 0.21}.Thermo()

// rowModel lays a row out as the model sees it, with walls that let no heat pass.
func rowModel(r FlowRow) *Model {
	bottom := FlatBottom(r.Riser, r.Pot, r.Gap, r.Gap)
	if r.Curvature > 0 {
		bottom = r.dishedBottom()
	}
	var around []Annulus
	if r.Sunk > 0 {
		around = append(around, Annulus{Length: r.Sunk, GapBottom: r.SunkGap, GapTop: r.SunkGap})
	}
	around = append(around, Annulus{Length: r.Height - r.Sunk, GapBottom: r.Skirt, GapTop: r.Skirt})
	area := math.Pi * r.Riser * r.Riser
	m := &Model{air: Air{Temperature: 300, Pressure: rowPressure}, throat: r.Riser, round: heat.PoiseuilleRound,
		stove: Stove{Chamber: Chamber{Area: area, Perimeter: 2 * math.Pi * r.Riser}, Bottom: bottom, Side: around, Pot: Pot{Diameter: 2 * r.Pot}}}
	m.layBottom()
	m.laySide()
	for i := range m.cells {
		m.cells[i].outerArea = 0
	}
	return m
}

// dishedBottom lays out the gap of a round row, square to the pot's surface.
func (r FlowRow) dishedBottom() []Station {
	list := RoundBottom(r.Riser, r.Pot, r.Curvature, r.Gap, r.Gap)
	slope := math.Atan2(r.Rise, r.Pot-r.Riser)
	for i := range list {
		s := &list[i]
		upright := r.Gap + s.Rise - math.Tan(slope)*(s.Radius-r.Riser)
		s.Gap = upright * math.Cos(slope) / math.Cos(math.Asin(s.Radius/r.Curvature)-slope)
	}
	return list
}

// parts are what a row is compared in.
type parts struct{ centre, ring, side, whole, loss float64 }

// measured are the row's own, its loss being the fall of total pressure from the
// riser to the still air: static difference and inlet head, less the weight of
// the column as the model finds it.
func (r FlowRow) measured(weight float64) parts {
	rho := gas.Density(rowPressure, rowGas.M, r.Hot)
	area := math.Pi * r.Riser * r.Riser
	return parts{r.Centre, r.Ring, r.Side, r.Centre + r.Ring + r.Side, r.Pressure + head(r.Flow, area, rho) - weight}
}

// rowNeutral are coefficients that leave the law as it is.
var rowNeutral = func() Coefficients {
	var c Coefficients
	for _, k := range []Coefficient{LossTurn, LossSkirt, LossExit, LossScale, CentreScale, RingScale, SideScale} {
		c[k] = 1
	}
	c[FrictionFloor] = 0
	return c
}()

// predict walks a row with a law. Where apart is set, each part starts with the
// gas the flow solver brings to it, so that errors do not mix; else the gas is
// the model's own all the way.
func (m *Model) predict(l *Law, r FlowRow, apart bool) (p parts, weight float64) {
	for i := range m.cells {
		l.shape(&m.cells[i], m)
	}
	m.law = l
	s := state{flow: r.Flow}
	w := walk{model: m, c: &rowNeutral, s: &s, gas: &rowGas, pot: rowPot, density: rowPressure * rowGas.M / gas.R, scale: 1}
	w.setHeat(rowGas.Enthalpy(r.Hot))
	// the riser: friction and weight of its hot gas, room air weighing nothing
	rho := w.density / r.Hot
	re := r.Flow * 4 / (m.stove.Chamber.Perimeter * gas.SutherlandViscosity(r.Hot))
	w.lift(rho, rowColumn+r.Gap+m.stove.Bottom[0].Rise)
	w.lose(AtElbow, m.round/re*rowColumn/(2*r.Riser)*head(r.Flow, m.stove.Chamber.Area, rho))
	w.underCentre()
	h := rowGas.Enthalpy(r.Hot) - r.Centre/r.Flow
	for i := range m.cells {
		if apart && (i == 0 || (m.cells[i].zone == side && m.cells[i-1].zone == ring)) {
			w.setHeat(h)
			h -= r.Ring / r.Flow
		}
		w.cell(&m.cells[i])
	}
	w.exit()
	return parts{s.centre, s.ring, s.side, s.centre + s.ring + s.side, s.lost()}, -s.draft
}

func (w *walk) setHeat(h float64) {
	w.h = h
	w.t = w.gas.Temperature(h)
}

// RowError is how far a law misses a row, as shares of the row's own.
type RowError struct {
	Name                            string
	Centre, Ring, Side, Whole, Loss float64
}

// Miss tells how far a law misses a row, walking the whole of it with the
// model's own gas.
func (l Law) Miss(r FlowRow) RowError {
	p, weight := rowModel(r).predict(&l, r, false)
	m := r.measured(weight)
	return RowError{r.Name, p.centre/m.centre - 1, p.ring/m.ring - 1, p.side/m.side - 1, p.whole/m.whole - 1, p.loss/m.loss - 1}
}

// RootMeanSquare gathers the misses of a law over rows.
func (l Law) RootMeanSquare(rows []FlowRow) RowError {
	var list []RowError
	for _, r := range rows {
		list = append(list, l.Miss(r))
	}
	return gather(list)
}

func gather(list []RowError) RowError {
	mean := func(get func(RowError) float64) float64 {
		sum := 0.0
		for _, e := range list {
			sum += get(e) * get(e)
		}
		return math.Sqrt(sum / float64(len(list)))
	}
	return RowError{Centre: mean(func(e RowError) float64 { return e.Centre }), Ring: mean(func(e RowError) float64 { return e.Ring }),
		Side: mean(func(e RowError) float64 { return e.Side }), Whole: mean(func(e RowError) float64 { return e.Whole }), Loss: mean(func(e RowError) float64 { return e.Loss })}
}

// FitLaw fits the laws to rows, each part by itself in the logarithm of its heat
// or loss, starting from a law.
func FitLaw(start Law, rows []FlowRow) (Law, error) {
	models := make([]*Model, len(rows))
	for i, r := range rows {
		models[i] = rowModel(r)
	}
	law := start
	fit := func(p []float64, part func(parts) float64) error {
		problem := num.Fit{Count: len(rows), Residuals: func(out, trial []float64) {
			copy(p, trial)
			for i, r := range rows {
				got, weight := models[i].predict(&law, r, true)
				out[i] = math.Log(math.Max(part(got), 1e-3) / part(r.measured(weight)))
			}
		}}
		result, err := problem.Solve(append([]float64(nil), p...))
		if err == nil {
			copy(p, result.P)
		}
		return err
	}
	if err := fit(law.Centre[:], func(p parts) float64 { return p.centre }); err != nil {
		return law, err
	}
	if err := fit(law.Ring[:], func(p parts) float64 { return p.ring }); err != nil {
		return law, err
	}
	if err := fit(law.Side[:], func(p parts) float64 { return p.side }); err != nil {
		return law, err
	}
	losses := append(law.Turn[:], law.Corner[:]...)
	err := func() error {
		problem := num.Fit{Count: len(rows), Residuals: func(out, trial []float64) {
			copy(law.Turn[:], trial)
			copy(law.Corner[:], trial[len(law.Turn):])
			for i, r := range rows {
				got, weight := models[i].predict(&law, r, true)
				out[i] = math.Log(math.Max(got.loss, 1e-3) / r.measured(weight).loss)
			}
		}}
		result, err := problem.Solve(losses)
		if err == nil {
			copy(law.Turn[:], result.P)
			copy(law.Corner[:], result.P[len(law.Turn):])
		}
		return err
	}()
	return law, err
}

// LawError is how far a law misses its rows.
type LawError struct {
	Fitted  Misses `yaml:"fitted"`
	Crossed Misses `yaml:"crossed"`
	Held    Misses `yaml:"held"`
	Shape   Misses `yaml:"shape"`
}

// Misses are root mean square relative errors.
type Misses struct {
	Centre float64 `yaml:"centre"`
	Ring   float64 `yaml:"ring"`
	Side   float64 `yaml:"side"`
	Whole  float64 `yaml:"whole"`
	Loss   float64 `yaml:"loss"`
}

// CrossValidate fits the law as often as there are folds, each time without the
// rows of one fold, and gathers how far it misses those.
func CrossValidate(start Law, rows []FlowRow, folds int) (RowError, error) {
	var list []RowError
	for k := 0; k < folds; k++ {
		var seen, unseen []FlowRow
		for i, r := range rows {
			if i%folds == k {
				unseen = append(unseen, r)
			} else {
				seen = append(seen, r)
			}
		}
		law, err := FitLaw(start, seen)
		if err != nil {
			return RowError{}, err
		}
		for _, r := range unseen {
			list = append(list, law.Miss(r))
		}
	}
	return gather(list), nil
}
