package brick

import (
	"fmt"
	"math"

	"stovewright/message"
	"stovewright/stats"
)

// Stock is a material the maker has, under the maker's own name, with what is
// uncertain about it.
type Stock struct {
	Name string
	IngredientData
}

// NewStock is a stock with the table's ranges; ok is false for an unknown kind.
func NewStock(name, kind string) (s Stock, ok bool) {
	d, ok := LookupIngredient(kind)
	return Stock{name, d}, ok
}

// Ingredient is the stock at its defaults.
func (s Stock) Ingredient() Ingredient {
	return Ingredient{Name: s.Name, Kind: s.Key, Moisture: s.Moisture.Default, Loss: s.Loss.Default, Grain: s.Grain, Fired: s.Fired}
}

// Stage is a brick weighed and measured wet, dry or fired. A zero reading was
// not taken.
type Stage struct {
	Mass  Reading    // kg
	Edges [3]Reading // m
	Bulk  Reading    // m³, outside volume by water; used where an edge is missing
}

// Volume is the product of the edges, else the volume by water, else 0.
func (s Stage) Volume() Reading {
	v, rel := 1.0, 0.0
	for _, e := range s.Edges {
		if e.Value <= 0 {
			return s.Bulk
		}
		v *= e.Value
		rel = math.Hypot(rel, e.U/e.Value)
	}
	return Reading{Value: v, U: v * rel}
}

// Record is one brick of a trial.
type Record struct {
	Mark     string
	Stages   [3]Stage // wet, dry, fired
	Crushing float64  // Pa, 0 if not crushed
	Drop     Drop     // height 0 if not dropped
	Pores    *Pores   // of the fired brick, where it was weighed in water
}

// The indices of Record.Stages.
const (
	Wet = iota
	Dry
	Fired
)

// Trial is one mix as made, with its bricks.
type Trial struct {
	Name   string
	Mix    Mix
	Kelvin float64 // peak of the firing, 0 if unknown
	Bricks []Record
}

// Outcome sums a trial up. A value that was not measured is NaN.
type Outcome struct {
	Density  Reading // kg/m³, fired; U is that of the mean
	Strength float64 // Pa, geometric mean
	Drying   float64 // mean linear, on the wet length
	Firing   float64 // mean linear, on the dry length
	Total    float64 // mean linear, on the wet length
	N        int     // bricks with a fired density
}

// Outcome averages the bricks of a trial.
func (t Trial) Outcome() Outcome {
	var density, crushing, drying, firing, total []float64
	var u float64
	for _, b := range t.Bricks {
		f, v := b.Stages[Fired], b.Stages[Fired].Volume()
		if f.Mass.Value > 0 && v.Value > 0 {
			density = append(density, f.Mass.Value/v.Value)
			u += f.Mass.Value / v.Value * math.Hypot(f.Mass.U/f.Mass.Value, v.U/v.Value)
		}
		if b.Crushing > 0 {
			crushing = append(crushing, math.Log(b.Crushing))
		}
		drying = appendShrinkage(drying, b.Stages[Wet], b.Stages[Dry])
		firing = appendShrinkage(firing, b.Stages[Dry], b.Stages[Fired])
		total = appendShrinkage(total, b.Stages[Wet], b.Stages[Fired])
	}
	o := Outcome{N: len(density), Strength: math.Exp(stats.Mean(crushing)), Drying: stats.Mean(drying), Firing: stats.Mean(firing), Total: stats.Mean(total)}
	mean, sd := meanSD(density)
	n := float64(max(1, len(density)))
	o.Density = Reading{Value: mean, U: math.Hypot(sd/math.Sqrt(n), u/n/math.Sqrt(n))}
	return o
}

// Drops are the bricks of a trial that were dropped.
func (t Trial) Drops() []Drop {
	var list []Drop
	for _, b := range t.Bricks {
		if b.Drop.Height > 0 {
			list = append(list, b.Drop)
		}
	}
	return list
}

// appendShrinkage adds the mean linear shrinkage between two stages, the cube
// root of the ratio of volumes.
func appendShrinkage(list []float64, before, after Stage) []float64 {
	a, b := before.Volume().Value, after.Volume().Value
	if a > 0 && b > 0 {
		list = append(list, 1-math.Cbrt(b/a))
	}
	return list
}

// Odd says what in a trial can be and still hardly is: a brick that lost more
// water than the mix held, one that was fired and weighs more or less than the
// ranges of its materials leave. marks name the bricks.
func (t Trial) Odd() []message.Text {
	const allowance = 0.04 // of a ratio of masses, for the scale and an uneven mix
	var dry, water, least, most float64
	for _, p := range t.Mix.Portions {
		r, ok := LookupIngredient(p.Ingredient.Kind)
		if !ok {
			return nil
		}
		// the moisture may be anything in its range: dry mass low, water high
		moisture := r.Moisture.High
		if p.Weighed {
			moisture = p.Ingredient.Moisture
		}
		d := p.Mass * (1 - moisture)
		dry += d
		water += p.Mass - d
		least += d * (1 - math.Max(r.Loss.Max, p.Ingredient.Loss))
		most += d * (1 - math.Min(r.Loss.Min, p.Ingredient.Loss))
	}
	if dry <= 0 {
		return nil
	}
	var list []message.Text
	for _, b := range t.Bricks {
		w, d, f := b.Stages[Wet].Mass.Value, b.Stages[Dry].Mass.Value, b.Stages[Fired].Mass.Value
		if w > 0 && d > 0 && w/d-1 > (t.Mix.Water+water)/dry+allowance {
			list = append(list, message.T("brick.trial.much-water", "mark", b.Mark, "lost", gramValue(w-d)))
		}
		if d > 0 && f > 0 && f/d > most/dry+allowance {
			list = append(list, message.T("brick.trial.heavy-fired", "mark", b.Mark, "share", pctValue(f/d), "most", pctValue(most/dry)))
		}
		if d > 0 && f > 0 && f/d < least/dry-allowance {
			list = append(list, message.T("brick.trial.light-fired", "mark", b.Mark, "share", pctValue(f/d), "least", pctValue(least/dry)))
		}
	}
	return list
}

// Check refuses entries that cannot be, while the brick is still on the table:
// a brick gains no mass by drying or firing, hardly ever grows, and weighs no
// more than solid clay.
func (t Trial) Check() error {
	var bad message.InputErrors
	names := [3]string{"wet", "dry", "fired"}
	for i, b := range t.Bricks {
		path := fmt.Sprintf("bricks[%d].", i+1)
		at := func(stage int, what string) string { return path + names[stage] + "." + what }
		last, lastVolume := 0.0, 0.0
		for k, s := range b.Stages {
			m, v := s.Mass.Value, s.Volume().Value
			if m != 0 {
				if !(m > 0 && m < 100) {
					bad = append(bad, &message.InputError{Field: at(k, "mass"), Value: number(m), Reason: message.T("brick.measure.positive"), Try: "0.600 kg"})
				} else if last > 0 && m > 1.005*last {
					bad = append(bad, &message.InputError{Field: at(k, "mass"), Value: number(m), Reason: message.T("brick.trial.gained"), Try: number(0.8*last) + " kg"})
				}
				last = m
			}
			if v > 0 {
				if lastVolume > 0 && (v > 1.16*lastVolume || v < 0.25*lastVolume) {
					bad = append(bad, &message.InputError{Field: at(k, "size"), Value: number(v), Reason: message.T("brick.trial.size-jump"), Try: "207 x 103 x 56 mm"})
				}
				lastVolume = v
			}
			if m > 0 && v > 0 && (m/v < 50 || m/v > 3000) {
				bad = append(bad, &message.InputError{Field: at(k, "mass"), Value: number(m), Reason: message.T("brick.measure.density-impossible", "density", densityValue(m/v)),
					Allowed: message.T("brick.measure.density-allowed"), Try: number(600*v) + " kg"})
			}
		}
		if b.Crushing != 0 && !(b.Crushing > 1e3 && b.Crushing < 5e8) {
			bad = append(bad, &message.InputError{Field: path + "crushing", Value: number(b.Crushing), Reason: message.T("brick.trial.crushing"), Try: "1.2 MPa"})
		}
	}
	return bad.OrNil()
}
