package fire

import (
	"fmt"
	"math"

	"stovewright/heat"
	"stovewright/internal/num"
	"stovewright/proof"
)

// LumpedDraft is the least that can be said of a natural-draft stove: one hot
// column, one loss (Agenbroad and others, key agenbroad2011):
//
//	m = ρ V,  V = C A √(2 g h (T - Ta)/Ta),  η Q = m cp (T - Ta).
//
// The flow is greatest at T = 2 Ta and nearly flat around it: more fire does not
// pull more air. It serves to check the full model and to explain it.
type LumpedDraft struct {
	C, Area, Height float64 // loss coefficient 1/√K, m², m
	AirT, Pressure  float64 // K, Pa
	GasConstant, Cp float64 // J/(kg K)
	Efficiency      float64 // share of the power in the gas
}

// LumpedShape is the universal curve of the lumped model: flow and power over
// their references for a temperature rise θ = (T - Ta)/Ta,
//
//	m* = √θ/(1+θ),  Q* = θ^1.5/(1+θ).
func LumpedShape(theta float64) (flow, power float64) {
	flow = math.Sqrt(theta) / (1 + theta)
	return flow, theta * flow
}

// At gives gas temperature in K and flow in kg/s at a power in W.
func (d LumpedDraft) At(power float64) (t, flow float64, err error) {
	reference := d.Pressure / (d.GasConstant * d.AirT) * d.C * d.Area * math.Sqrt(2*heat.Gravity*d.Height)
	want := d.Efficiency * power / (reference * d.Cp * d.AirT)
	theta, err := num.Brent(func(x float64) float64 {
		_, q := LumpedShape(x)
		return q - want
	}, 0, 1+want*want+2*want, 1e-12)
	if err != nil {
		return 0, 0, err
	}
	shape, _ := LumpedShape(theta)
	return d.AirT * (1 + theta), reference * shape, nil
}

func lumpedChecks() []proof.Check {
	d := LumpedDraft{C: 0.35, Area: 0.01, Height: 0.25, AirT: 298.15, Pressure: 101325, GasConstant: 287.05, Cp: 1100, Efficiency: 0.9}
	var checks []proof.Check
	for _, c := range []struct{ theta, m, q float64 }{{0.5, 0.47140, 0.23570}, {1, 0.5, 0.5}, {2, 0.47140, 0.94281}, {3, 0.43301, 1.29904}, {4, 0.4, 1.6}} {
		inputs := fmt.Sprintf("temperature rise over room temperature %g", c.theta)
		checks = append(checks,
			proof.Check{ID: fmt.Sprintf("fire/lumped-shape-%g", c.theta), Quantity: "reduced flow", Inputs: inputs, Expected: c.m, Abs: 5e-6, Standing: proof.Exact,
				Ours: func() float64 { m, _ := LumpedShape(c.theta); return m }},
			proof.Check{ID: fmt.Sprintf("fire/lumped-power-%g", c.theta), Quantity: "reduced power", Inputs: inputs, Expected: c.q, Abs: 5e-6, Standing: proof.Exact,
				Ours: func() float64 { _, q := LumpedShape(c.theta); return q }})
	}
	for _, c := range []struct{ q, t, m float64 }{{1000, 481.75, 4.4563}, {2000, 656.33, 4.5686}, {3000, 860.28, 4.3665}, {4000, 1100.74, 4.0777}, {5000, 1382.07, 3.7742}, {6000, 1707.40, 3.4835}, {8000, 2498.72, 2.9744}} {
		inputs := fmt.Sprintf("C 0.35, 0.01 m², 0.25 m, %g W", c.q)
		checks = append(checks,
			proof.Check{ID: fmt.Sprintf("fire/lumped-%g-t", c.q), Quantity: "gas temperature", Inputs: inputs, Unit: "K", Expected: c.t, Abs: 0.006, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel,
				Ours: func() float64 { t, _, err := d.At(c.q); return value(t, err) }},
			proof.Check{ID: fmt.Sprintf("fire/lumped-%g-flow", c.q), Quantity: "gas flow", Inputs: inputs, Unit: "g/s", Expected: c.m, Abs: 6e-5, Standing: proof.SecondImplementation, Source: "modelnote", Note: noteModel,
				Ours: func() float64 { _, m, err := d.At(c.q); return value(m*1000, err) }})
	}
	return checks
}

// value makes the answer of a failed solve NaN, which no check lets pass.
func value(x float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return x
}
