package brick

import (
	"math"

	"stovewright/message"
	"stovewright/stats"
)

// Reading is a value with its standard uncertainty and the degrees of freedom
// behind that (0: as good as infinitely many).
type Reading struct {
	Value float64
	U     float64
	DF    float64
}

// Results of measuring are a stats.Budget: the value, its standard uncertainty
// and the readings it comes from, whose names are message ids ("brick.part.…").

type named struct {
	id string
	Reading
}

// budget carries uncertain readings through f; readings that are exact stay
// out of the list.
func budget(f stats.Model, readings ...named) (stats.Budget, error) {
	inputs := make([]stats.Input, len(readings))
	for i, r := range readings {
		inputs[i] = stats.Input{Name: r.id, Value: r.Value, U: r.U, DF: r.DF}
	}
	return stats.Propagate(f, inputs, nil)
}

// Instrument is a scale, a calliper or a ruler.
type Instrument struct {
	Resolution float64 // smallest step shown
	Accuracy   float64 // ± given by the maker or found against a known weight or length; 0 if unknown
}

// U is the standard uncertainty of one reading: the half step and the accuracy
// are the half widths of even distributions.
func (i Instrument) U() float64 {
	return math.Hypot(stats.Resolution(i.Resolution), stats.Limits(i.Accuracy))
}

// Read averages repeated readings of one thing; their scatter adds to the
// instrument's own uncertainty, which averaging does not lessen.
func (i Instrument) Read(values ...float64) Reading {
	mean, sd := meanSD(values)
	own := i.U()
	scatter := sd / math.Sqrt(float64(len(values)))
	r := Reading{Value: mean, U: math.Hypot(own, scatter)}
	if scatter > 0 {
		r.DF = math.Pow(r.U/scatter, 4) * float64(len(values)-1)
	}
	return r
}

// FieldDensity is mass over the product of the edges: kg and m in, kg/m³ out.
// u(B)/B = √((um/m)² + Σ(uL/L)²).
func FieldDensity(mass Reading, edges [3]Reading) (stats.Budget, error) {
	var bad message.InputErrors
	check := func(field string, r Reading, most float64, try string) {
		if !(r.Value > 0 && r.Value <= most) || !(r.U >= 0) {
			bad = append(bad, &message.InputError{Field: field, Value: number(r.Value), Reason: message.T("brick.measure.positive"), Try: try})
		}
	}
	check("mass", mass, 100, "0.600")
	for _, a := range Axes {
		check(a.String(), edges[a], 2, "0.114")
	}
	if err := bad.OrNil(); err != nil {
		return stats.Budget{}, err
	}
	d, err := budget(func(x []float64) float64 { return x[0] / (x[1] * x[2] * x[3]) },
		named{"brick.part.mass", mass}, named{"brick.part.length", edges[Length]},
		named{"brick.part.width", edges[Width]}, named{"brick.part.height", edges[Height]})
	if err != nil {
		return d, err
	}
	if d.Value < 50 || d.Value > 3000 {
		return d, message.InputErrors{{Field: "mass", Value: number(mass.Value), Reason: message.T("brick.measure.density-impossible", "density", densityValue(d.Value)),
			Allowed: message.T("brick.measure.density-allowed"), Try: number(600 * mass.Value / d.Value)}}
	}
	return d, nil
}
