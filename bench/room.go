package bench

import (
	"fmt"
	"math"
	"slices"

	"stovewright/stats"
)

// Room is one well-mixed kitchen: dC/dt = f·G/V - λ(C-C_bg). It over-predicts
// near the floor: a published comparison found it right at 1.6 m, 23 to 63 % too
// high at 1.3 m and 83 to 151 % at 1.0 m (stratification2019). SI: m³, 1/s,
// kg/m³. It says what a stove's emission would give in such a room; it is no
// measurement of a kitchen, and no figure of health follows from it.
type Room struct {
	Volume      float64 // m³
	AirChanges  float64 // 1/s
	EntersRoom  float64 // share of the emission that stays in the room; 1 without a chimney
	Background  float64 // kg/m³
	EmissionPer float64 // kg/s while the stove burns
}

// At is the concentration a time t after the stove was lit, s.
func (r Room) At(t float64) float64 {
	return r.Background + r.steadyRise()*-math.Expm1(-r.AirChanges*t)
}

// Steady is the concentration of a stove that burns on.
func (r Room) Steady() float64 { return r.Background + r.steadyRise() }

func (r Room) steadyRise() float64 {
	return r.EntersRoom * r.EmissionPer / (r.AirChanges * r.Volume)
}

// After is the concentration a time t after the fire went out at c0.
func (r Room) After(c0, t float64) float64 {
	return r.Background + (c0-r.Background)*math.Exp(-r.AirChanges*t)
}

// Mean is the mean over a day of length T with one burn of length burn, both in
// s: C_bg + f·G/(λVT)·[t_b - (1-e^{-λt_b})·e^{-λ(T-t_b)}/λ].
//
// The bracket gives the mean from lighting to T later, the room clean before.
func (r Room) Mean(burn, day float64) float64 {
	lambda := r.AirChanges
	tail := -math.Expm1(-lambda*burn) * math.Exp(-lambda*(day-burn)) / lambda
	return r.Background + r.steadyRise()/day*(burn-tail)
}

// Spread is a range of kitchens for a simulation: each value drawn evenly
// between its ends on a logarithmic scale.
type Spread struct {
	Volume, AirChanges, Burn [2]float64 // m³, 1/s, s
}

// Kitchens are the ranges that the published room model was run over:
// 5 to 100 m³, 5 to 45 air changes an hour, 0.75 to 8 h of cooking a day
// (who2014indoor, values from memory).
var Kitchens = Spread{Volume: [2]float64{5, 100}, AirChanges: [2]float64{5.0 / 3600, 45.0 / 3600}, Burn: [2]float64{0.75 * 3600, 8 * 3600}}

// Simulate gives the daily mean over many kitchens: the median and the span that
// holds the level's share of them.
func (r Room) Simulate(k Spread, draws int, level float64, seed uint64) (median float64, span stats.Interval, err error) {
	if draws < 100 || !(level > 0 && level < 1) {
		return 0, span, fmt.Errorf("bench: %d draws at level %g", draws, level)
	}
	random := stats.NewRand(seed)
	between := func(ends [2]float64) float64 { return ends[0] * math.Pow(ends[1]/ends[0], random.Float64()) }
	means := make([]float64, draws)
	for i := range means {
		room := r
		room.Volume, room.AirChanges = between(k.Volume), between(k.AirChanges)
		means[i] = room.Mean(between(k.Burn), 24*3600)
	}
	slices.Sort(means)
	return stats.Quantile(means, 0.5), stats.Interval{Low: stats.Quantile(means, (1-level)/2), High: stats.Quantile(means, (1+level)/2), Level: level}, nil
}

// Guideline is a published value to set beside a concentration or a rate. It is
// cited, not judged: whether a person is harmed is not computed here.
type Guideline struct {
	Key      string  `yaml:"key"`
	What     string  `yaml:"what"` // pm or co
	Value    float64 `yaml:"value"`
	Unit     string  `yaml:"unit"`
	Period   string  `yaml:"period"`
	Standing string  `yaml:"standing"`
	Source   string  `yaml:"source"`
	Note     string  `yaml:"note"`
}

// Guidelines are the published values, as data.
var Guidelines = load[struct {
	Description string      `yaml:"description"`
	Values      []Guideline `yaml:"values"`
}]("guidelines.yaml").Values
