package brick

import (
	"math"

	"stovewright/gas"
	"stovewright/message"
	"stovewright/stats"
)

// Archimedes is one fired brick weighed dry, full of water, and hanging in
// water (boiling-water method, astmc20). A brick that floats hangs with a
// sinker or a cage, weighed alone in water first.
type Archimedes struct {
	Dry       Reading // kg, dried at 105 to 110 °C
	Saturated Reading // kg, boiled and soaked, the surface blotted
	Suspended Reading // kg, the scale's reading in water, sinker included
	Sinker    Reading // kg, the scale's reading of the sinker alone in water; zero if none
	Kelvin    float64 // water temperature, 273.15 to 313.15 K; 0 means 20 °C
}

// Pores is what three weighings tell.
type Pores struct {
	Volume           stats.Budget // m³, outside
	Open             stats.Budget // m³, pores that water reaches
	ApparentPorosity stats.Budget // open pores per outside volume
	Absorption       stats.Budget // water taken up per dry mass
	SkeletonDensity  stats.Budget // kg/m³, solid with its sealed pores (apparent specific gravity times water)
	BulkDensity      stats.Budget // kg/m³
}

// TrueDensityFired is the powder density of fired clay assumed when it was not
// measured, kg/m³: 2500 to 2750 (grimshaw1971).
const TrueDensityFired = 2600.0

// TotalPorosity is 1 − B/ρt for a powder density in kg/m³.
func (p Pores) TotalPorosity(trueDensity float64) float64 {
	return 1 - p.BulkDensity.Value/trueDensity
}

// SealedShare is the share of all pores that water does not reach, (P−AP)/P.
func (p Pores) SealedShare(trueDensity float64) float64 {
	total := p.TotalPorosity(trueDensity)
	return (total - p.ApparentPorosity.Value) / total
}

// Evaluate computes the pores with
//
//	S = reading − sinker
//	V = (W−S)/ρL, Vop = (W−D)/ρL, AP = (W−D)/(W−S), A = (W−D)/D,
//	T = D ρL/(D−S), B = D ρL/(W−S)
//
// so that AP = A B/ρL and B = T (1−AP). Weighings that cannot be are refused
// while the brick is still on the table; warnings name what is merely odd.
func (a Archimedes) Evaluate() (Pores, []message.Text, error) {
	if a.Kelvin == 0 {
		a.Kelvin = 293.15
	}
	if err := a.check(); err != nil {
		return Pores{}, nil, err
	}
	rho := gas.WaterDensity(a.Kelvin)
	var failed error
	of := func(f func(d, w, s float64) float64) stats.Budget {
		b, err := budget(func(x []float64) float64 { return f(x[0], x[1], x[2]-x[3]) },
			named{"brick.part.dry-mass", a.Dry}, named{"brick.part.saturated-mass", a.Saturated},
			named{"brick.part.suspended", a.Suspended}, named{"brick.part.sinker", a.Sinker})
		if err != nil {
			failed = err
		}
		return b
	}
	p := Pores{
		Volume:           of(func(_, w, s float64) float64 { return (w - s) / rho }),
		Open:             of(func(d, w, _ float64) float64 { return (w - d) / rho }),
		ApparentPorosity: of(func(d, w, s float64) float64 { return (w - d) / (w - s) }),
		Absorption:       of(func(d, w, _ float64) float64 { return (w - d) / d }),
		SkeletonDensity:  of(func(d, _, s float64) float64 { return d * rho / (d - s) }),
		BulkDensity:      of(func(d, w, s float64) float64 { return d * rho / (w - s) }),
	}
	return p, p.odd(), failed
}

// Limits of the skeleton density of fired clay, kg/m³. Above the first no
// mineral of a clay body reaches; below the second many pores are sealed or
// still hold air.
const (
	heaviestSkeleton = 3200.0
	heavySkeleton    = 2800.0
	lightSkeleton    = 2200.0
)

func (a Archimedes) check() error {
	var bad message.InputErrors
	say := func(field string, r Reading, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(r.Value), Reason: message.T(id), Try: try})
	}
	d, w, s := a.Dry.Value, a.Saturated.Value, a.Suspended.Value-a.Sinker.Value
	for _, r := range []struct {
		field string
		Reading
	}{{"dry", a.Dry}, {"saturated", a.Saturated}} {
		if !(r.Value > 0) || math.IsInf(r.Value, 0) {
			say(r.field, r.Reading, "brick.measure.positive", "0.600")
		}
	}
	if !(a.Kelvin >= 273.15 && a.Kelvin <= 313.15) {
		say("water", Reading{Value: a.Kelvin}, "brick.measure.water-temperature", "293.15")
	}
	if len(bad) > 0 || math.IsNaN(s) || math.IsInf(s, 0) {
		return append(bad, &message.InputError{Field: "suspended", Value: number(s), Reason: message.T("brick.measure.unfinished"), Try: "0.370"})
	}
	switch {
	case w < d:
		say("saturated", a.Saturated, "brick.archimedes.lighter-wet", number(d*1.5))
	case s >= w:
		say("suspended", a.Suspended, "brick.archimedes.heavier-in-water", number(0.6*d+a.Sinker.Value))
	case a.Sinker.Value == 0 && a.Suspended.Value < 0:
		say("suspended", a.Suspended, "brick.archimedes.no-sinker", number(0.6*d))
	case s <= 0:
		say("suspended", a.Suspended, "brick.archimedes.air-left", number(0.6*d+a.Sinker.Value))
	case s >= d:
		say("suspended", a.Suspended, "brick.archimedes.no-solid", number(0.6*d+a.Sinker.Value))
	case d/(d-s)*gas.PlainWater > heaviestSkeleton:
		say("suspended", a.Suspended, "brick.archimedes.too-heavy-solid", number(0.6*d+a.Sinker.Value))
	}
	return bad.OrNil()
}

func (p Pores) odd() []message.Text {
	var odd []message.Text
	switch t := p.SkeletonDensity.Value; {
	case t > heavySkeleton:
		odd = append(odd, message.T("brick.archimedes.heavy-skeleton", "density", densityValue(t)))
	case t < lightSkeleton:
		odd = append(odd, message.T("brick.archimedes.light-skeleton", "density", densityValue(t)))
	}
	if p.ApparentPorosity.U > 0.02 {
		odd = append(odd, message.T("brick.archimedes.coarse-scale", "u", pct1Value(p.ApparentPorosity.U)))
	}
	return odd
}

// FloatDensity is the bulk density of a block floating upright from the height
// under water and the full height (m), read at once, before the pores fill:
// B = ρL him/h. At once means within about ten seconds; the water temperature
// in kelvin, 0 for 20 °C.
func FloatDensity(immersed, height Reading, kelvin float64) (stats.Budget, error) {
	if kelvin == 0 {
		kelvin = 293.15
	}
	if !(immersed.Value > 0 && immersed.Value < height.Value) {
		return stats.Budget{}, message.InputErrors{{Field: "immersed", Value: number(immersed.Value), Reason: message.T("brick.float.line"),
			Try: number(0.6 * height.Value)}}
	}
	rho := gas.WaterDensity(kelvin)
	return budget(func(x []float64) float64 { return rho * x[0] / x[1] },
		named{"brick.part.float-line", immersed}, named{"brick.part.height", height})
}

// SinkSaturation is the share of the open pores that must fill before a brick
// lighter than water sinks, (1−B/ρL)/AP. A value above 1 means it floats for
// ever, which takes sealed pores.
func SinkSaturation(bulkDensity, apparentPorosity float64) float64 {
	return (1 - bulkDensity/gas.PlainWater) / apparentPorosity
}

// Floating is what was seen when a dry brick was laid on water.
type Floating string

// What can be seen.
const (
	Floats      Floating = "floats"
	SinksAtOnce Floating = "sinks at once"
	SinksLater  Floating = "sinks later"
)

// ExplainFloating compares what was seen with the bulk density by calliper
// (kg/m³) and the apparent porosity (0 if unknown: four fifths of the pores are
// taken as open). after is the time in seconds until it sank. A zero text
// means that the two agree.
func ExplainFloating(seen Floating, after, bulkDensity, apparentPorosity float64) message.Text {
	const close = 0.05 // a twentieth either way may float or sink
	light := bulkDensity < (1-close)*gas.PlainWater
	heavy := bulkDensity > (1+close)*gas.PlainWater
	if apparentPorosity == 0 {
		apparentPorosity = 0.8 * (1 - bulkDensity/TrueDensityFired)
	}
	switch {
	case heavy && seen == Floats:
		return message.T("brick.float.heavy-floats", "density", densityValue(bulkDensity))
	case light && seen == SinksAtOnce:
		return message.T("brick.float.light-sank", "density", densityValue(bulkDensity), "share", pctValue(SinkSaturation(bulkDensity, apparentPorosity)))
	case light && seen == SinksLater && after == 0:
		return message.T("brick.float.light-sank-slowly", "share", pctValue(SinkSaturation(bulkDensity, apparentPorosity)))
	case light && seen == SinksLater:
		return message.T("brick.float.light-sank-later", "seconds", int(math.Round(after)), "share", pctValue(SinkSaturation(bulkDensity, apparentPorosity)))
	}
	return message.Text{}
}
