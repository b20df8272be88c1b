package fire

import (
	"context"
	"errors"
	"math"
	"runtime"
	"sort"
	"sync"

	"stovewright/internal/num"
)

// Draw is one set of what the model is unsure of.
type Draw struct {
	Coefficients Coefficients
	Heat         float64 // heating value over that of the fuel's table
}

// Draws are quasi-random draws of the coefficients, each triangular over its
// range in the table with its peak at the value in use, and of the heating
// value, normal with the spread of the fuel. The same seed gives the same draws,
// so that two designs can be compared draw by draw; what they share cancels.
type Draws struct {
	base   Coefficients
	spread float64
	sobol  *num.Sobol
	n      int
	while  context.Context // nil: to the end
}

// NewDraws prepares n draws around the coefficients in use. Seed 0 gives the
// plain sequence less its first point, which is a corner.
func (m *Model) NewDraws(c Coefficients, n int, seed uint64) (*Draws, error) {
	s, err := num.NewSobol(int(coefficientCount)+1, seed)
	if err != nil {
		return nil, err
	}
	return &Draws{base: c, spread: m.fuel.HHVSpread(), sobol: s, n: n}, nil
}

// While is the same draws for somebody who may lose interest: what is computed
// with them ends with the context's error as soon as the context is done.
func (d *Draws) While(ctx context.Context) *Draws {
	other := *d
	other.while = ctx
	return &other
}

// Len is the number of draws.
func (d *Draws) Len() int { return d.n }

// At is draw i.
func (d *Draws) At(i int) Draw {
	var u [coefficientCount + 1]float64
	d.sobol.At(uint32(i+1), u[:])
	out := Draw{Coefficients: d.base, Heat: 1 + d.spread*normalQuantile(u[coefficientCount])}
	for k, r := range rows {
		low, high := math.Min(r.Low, d.base[k]), math.Max(r.High, d.base[k])
		out.Coefficients[k] = triangular(u[k], low, d.base[k], high)
	}
	return out
}

// triangular is the quantile of the triangular distribution.
func triangular(u, low, peak, high float64) float64 {
	if high == low {
		return low
	}
	if share := (peak - low) / (high - low); u < share {
		return low + math.Sqrt(u*(high-low)*(peak-low))
	}
	return high - math.Sqrt((1-u)*(high-low)*(high-peak))
}

// normalQuantile is that of the standard normal distribution, held within three
// standard deviations: no fuel is stranger than that.
func normalQuantile(u float64) float64 {
	return math.Max(-3, math.Min(3, math.Sqrt2*math.Erfinv(2*u-1)))
}

// with is the model with a draw's heating value.
func (m *Model) with(heat float64) Model {
	other := *m
	other.lhv *= heat
	return other
}

// Band is what the draws give for one quantity.
type Band struct {
	Low, Middle, High float64 // 5, 50 and 95 % of the draws lie below
	Drift             float64 // largest change of the three from half the draws to all: how far they have settled
}

// Bands are the bands of a steady point.
type Bands struct {
	Draws                                   int
	Choked                                  int // draws in which the stove cannot pull the air
	Smoky                                   int // draws with an air ratio under the smoke limit, those choked included
	Efficiency, AirRatio, ThroatT, ToPot    Band
	Bed, Centre, Ring, Side, WallLoss, Flow Band
}

// errNoDraws says that no draw had a solution.
var errNoDraws = errors.New("fire: the stove chokes in every draw")

// Bands solves the steady point for every draw, on all processors. Power and pot
// temperature are as for [Model.Solve].
func (m *Model) Bands(d *Draws, power, pot float64) (Bands, error) {
	points := make([]Point, d.n)
	solved := make([]bool, d.n)
	err := d.each(func(i int) {
		draw := d.At(i)
		mod := m.with(draw.Heat)
		p, err := mod.SolveAgainst(&draw.Coefficients, power, pot, WallLink{}, 0)
		points[i], solved[i] = p, err == nil
	})
	out := Bands{Draws: d.n}
	if err != nil {
		return out, err
	}
	for i := range points {
		if !solved[i] {
			out.Choked++
			out.Smoky++
		} else if points[i].AirRatio < SmokeLimit {
			out.Smoky++
		}
	}
	if out.Choked == d.n {
		return out, errNoDraws
	}
	values := make([]float64, 0, d.n)
	of := func(get func(*Point) float64) Band {
		values = values[:0]
		half := 0
		for i := range points {
			if i == d.n/2 {
				half = len(values)
			}
			if solved[i] {
				values = append(values, get(&points[i]))
			}
		}
		return NewBand(values, half)
	}
	out.Efficiency = of((*Point).efficiency)
	out.AirRatio = of(func(p *Point) float64 { return p.AirRatio })
	out.ThroatT = of(func(p *Point) float64 { return p.ThroatT })
	out.ToPot = of(func(p *Point) float64 { return p.Heat.Pot() })
	out.Bed = of(func(p *Point) float64 { return p.Heat.Bed })
	out.Centre = of(func(p *Point) float64 { return p.Heat.Centre + p.Heat.Flame })
	out.Ring = of(func(p *Point) float64 { return p.Heat.Ring })
	out.Side = of(func(p *Point) float64 { return p.Heat.Side })
	out.WallLoss = of(func(p *Point) float64 { return p.Heat.Wall })
	out.Flow = of(func(p *Point) float64 { return p.Flow })
	return out, nil
}

func (p *Point) efficiency() float64 { return p.Efficiency() }

// Difference is the band of the change in efficiency and in air ratio from one
// stove to another at the same firepower, draw by draw: what both share cancels,
// so that a change of 2 mm can be judged.
func (m *Model) Difference(other *Model, d *Draws, power, pot float64) (efficiency, airRatio Band, err error) {
	changes := make([][]float64, d.n)
	err = d.each(func(i int) {
		draw := d.At(i)
		a, b := m.with(draw.Heat), other.with(draw.Heat)
		p, errP := a.SolveAgainst(&draw.Coefficients, power, pot, WallLink{}, 0)
		q, errQ := b.SolveAgainst(&draw.Coefficients, power, pot, WallLink{}, 0)
		if errP == nil && errQ == nil {
			changes[i] = []float64{q.Efficiency() - p.Efficiency(), q.AirRatio - p.AirRatio}
		}
	})
	return twoBands(changes, err)
}

// BoilDifference is the band of the change from one stove to another in the time
// to boil from cold, in s, and in the wood that it takes, in kg wet, draw by draw.
func (m *Model) BoilDifference(other *Model, d *Draws, t Task, step float64) (time, wood Band, err error) {
	t.Hold = 0
	changes := make([][]float64, d.n)
	err = d.each(func(i int) {
		draw := d.At(i)
		a, b := m.with(draw.Heat), other.with(draw.Heat)
		p, _, errP := a.Cook(draw.Coefficients, t, step)
		q, _, errQ := b.Cook(draw.Coefficients, t, step)
		if errP == nil && errQ == nil {
			changes[i] = []float64{q.Duration() - p.Duration(), q.WoodUsed() - p.WoodUsed()}
		}
	})
	return twoBands(changes, err)
}

func twoBands(draws [][]float64, err error) (a, b Band, _ error) {
	if err != nil {
		return a, b, err
	}
	bands, err := columnBands(draws)
	if err != nil {
		return a, b, err
	}
	return bands[0], bands[1], nil
}

// columnBands makes the bands of several quantities from what each draw gave of them,
// nil where it had no solution.
func columnBands(draws [][]float64) ([]Band, error) {
	var columns [][]float64
	half := 0
	for i, row := range draws {
		if i == len(draws)/2 && columns != nil {
			half = len(columns[0])
		}
		for k, v := range row {
			if columns == nil {
				columns = make([][]float64, len(row))
			}
			columns[k] = append(columns[k], v)
		}
	}
	if columns == nil {
		return nil, errNoDraws
	}
	bands := make([]Band, len(columns))
	for k, column := range columns {
		bands[k] = NewBand(column, half)
	}
	return bands, nil
}

// BoilBands are the bands of a boil run.
type BoilBands struct {
	Draws, Failed            int // failed: choked or never boiling
	ColdTime, HotTime        Band
	ColdWood, HotWood        Band // kg wet
	SimmerWood               Band
	ColdEfficiency           Band
	HotEfficiency, Skin      Band
	ColdEvaporated, AirRatio Band

	// ColdPath and HotPath tell when the water comes to a few temperatures on its
	// way to the boil.
	ColdPath, HotPath []Reached `json:"-"`
}

// Reached is the time at which the water reaches a temperature.
type Reached struct {
	Water float64 // K
	Time  Band    // s since the phase began
}

// pathSteps is in how many even steps the way to the boil is told.
const pathSteps = 10

// BoilBands runs the boiling test for every draw, on all processors; a hundred
// draws are enough for a picture and take seconds.
func (m *Model) BoilBands(d *Draws, t Task, step float64) (BoilBands, error) {
	type outcome struct {
		run  BoilRun
		eff  [2]float64
		done bool
	}
	runs := make([]outcome, d.n)
	err := d.each(func(i int) {
		draw := d.At(i)
		mod := m.with(draw.Heat)
		if run, err := mod.Boil(draw.Coefficients, t, step); err == nil {
			runs[i] = outcome{run, [2]float64{mod.TestEfficiency(run.Cold), mod.TestEfficiency(run.Hot)}, true}
		}
	})
	out := BoilBands{Draws: d.n}
	if err != nil {
		return out, err
	}
	of := func(get func(*outcome) float64) Band {
		var values []float64
		half := 0
		for i := range runs {
			if i == d.n/2 {
				half = len(values)
			}
			if runs[i].done {
				values = append(values, get(&runs[i]))
			}
		}
		out.Failed = d.n - len(values)
		if len(values) == 0 {
			return Band{}
		}
		return NewBand(values, half)
	}
	out.ColdTime = of(func(o *outcome) float64 { return o.run.Cold.Duration() })
	out.HotTime = of(func(o *outcome) float64 { return o.run.Hot.Duration() })
	out.ColdWood = of(func(o *outcome) float64 { return o.run.Cold.WoodUsed() })
	out.HotWood = of(func(o *outcome) float64 { return o.run.Hot.WoodUsed() })
	out.SimmerWood = of(func(o *outcome) float64 { return o.run.Simmer.WoodUsed() })
	out.ColdEfficiency = of(func(o *outcome) float64 { return o.eff[0] })
	out.HotEfficiency = of(func(o *outcome) float64 { return o.eff[1] })
	out.Skin = of(func(o *outcome) float64 {
		return math.Max(o.run.Cold.Skin, math.Max(o.run.Hot.Skin, o.run.Simmer.Skin))
	})
	out.ColdEvaporated = of(func(o *outcome) float64 { return o.run.Cold.Evaporated() })
	out.AirRatio = of(func(o *outcome) float64 { return math.Min(o.run.Cold.Least, o.run.Hot.Least) })
	if out.Failed == d.n {
		return out, errNoDraws
	}
	boiling := m.air.BoilingPoint()
	for k := 0; k <= pathSteps; k++ {
		water := t.Start + (boiling-t.Start)*float64(k)/pathSteps
		out.ColdPath = append(out.ColdPath, Reached{water, of(func(o *outcome) float64 { return o.run.Cold.reaches(water) })})
		out.HotPath = append(out.HotPath, Reached{water, of(func(o *outcome) float64 { return o.run.Hot.reaches(water) })})
	}
	return out, nil
}

// reaches is the time since the phase began at which the water reaches a
// temperature; the whole phase where it does not.
func (p Phase) reaches(water float64) float64 {
	last, at := p.Readings.WaterBefore, 0.0
	for _, s := range p.Samples {
		if s.Water >= water {
			if s.Water == last {
				return at
			}
			return at + (s.Time-at)*math.Max(0, water-last)/(s.Water-last)
		}
		last, at = s.Water, s.Time
	}
	return p.Duration()
}

// NewBand makes a band from values in the order of their draws, the first half
// of the draws having given the first values of them.
func NewBand(values []float64, half int) Band {
	b := quantiles(values)
	if half == 0 || half == len(values) {
		return b
	}
	h := quantiles(values[:half])
	b.Drift = math.Max(math.Abs(h.Low-b.Low), math.Max(math.Abs(h.Middle-b.Middle), math.Abs(h.High-b.High)))
	return b
}

func quantiles(values []float64) Band {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	at := func(q float64) float64 {
		x := q * float64(len(sorted)-1)
		i := int(x)
		if i == len(sorted)-1 {
			return sorted[i]
		}
		return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
	}
	return Band{Low: at(0.05), Middle: at(0.5), High: at(0.95)}
}

// each does work for every draw on all processors, as long as it is wanted. Each
// index is independent, so that the outcome does not depend on their number.
func (d *Draws) each(work func(i int)) error {
	ctx := d.while
	if ctx == nil {
		ctx = context.Background()
	}
	workers := min(runtime.GOMAXPROCS(0), d.n)
	var wait sync.WaitGroup
	for k := 0; k < workers; k++ {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := k; i < d.n && ctx.Err() == nil; i += workers {
				work(i)
			}
		}()
	}
	wait.Wait()
	return ctx.Err()
}
