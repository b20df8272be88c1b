package brick

import (
	"math"

	"stovewright/material"
	"stovewright/message"
)

// Body is a brick body by the name a stove calls it by, with what is known of
// its fired brick.
type Body struct {
	Name        string
	Mix         Mix
	Density     Reading // kg/m³, fired
	Predicted   bool    // the density is a prediction; otherwise it was measured
	TrueDensity float64 // kg/m³, of the fired solid; 0 means TrueDensityFired
	Strength    float64 // Pa, crushed; 0 if it never was
	Peak        float64 // K, of its firing; 0 if unknown
	Skeleton    Skeleton
	Shrinkage   Shrinkage // by axis
	Lines       int       // measured edges behind the shrinkage; 0 where it is a prediction
}

// BodyOf names the body of a trial. Without a fired brick the density is the
// middle of the prediction, and said to be one.
func BodyOf(name string, t Trial, p Prediction) Body {
	b := Body{Name: name, Mix: t.Mix, Peak: t.Kelvin, Skeleton: DefaultSkeleton}
	if s := t.Mix.solids(); s.leftVolume > 0 {
		b.TrueDensity = s.left / s.leftVolume
	}
	o := t.Outcome()
	if o.N > 0 {
		b.Density = o.Density
	} else {
		b.Density, b.Predicted = Reading{Value: p.Fired.Best, U: (p.Fired.High - p.Fired.Low) / (2 * ninety)}, true
	}
	if o.Strength > 0 {
		b.Strength = o.Strength
	}
	sd := func(p Band) float64 { return (p.High - p.Low) / (2 * ninety) }
	b.Shrinkage = Uniform(AxisShrinkage{Drying: Drying(p.Drying.Best), Firing: Firing(p.Firing.Best), UDrying: sd(p.Drying), UFiring: sd(p.Firing)})
	return b
}

// Porosity is the total porosity.
func (b Body) Porosity() float64 {
	t := b.TrueDensity
	if t == 0 {
		t = TrueDensityFired
	}
	return 1 - b.Density.Value/t
}

// Conductivity is the band of the conductivity at T (K), W/(m K).
func (b Body) Conductivity(kelvin float64) Band {
	return b.Skeleton.Conductivity(kelvin, b.Porosity())
}

// Crushing is the crushing strength (Pa): as crushed, or a band from the
// density.
func (b Body) Crushing() Band {
	if b.Strength > 0 {
		return Band{b.Strength, b.Strength, b.Strength}
	}
	return DefaultStrength(b.Porosity())
}

// useBelowPeak is how far below its firing a brick may lastingly be used, K:
// it was hotter once, and shrinks no more (common practice; the reheat test
// goes 50 K above use).
const useBelowPeak = 50.0

// peakUnknown is the firing taken where none was noted, K: what small kilns
// commonly reach, 700 to 800 °C (common practice).
const peakUnknown = 750 + zeroCelsius

// UseLimit is the highest temperature of lasting use, K.
func (b Body) UseLimit() float64 {
	if b.Peak == 0 {
		return peakUnknown - useBelowPeak
	}
	return b.Peak - useBelowPeak
}

// Material is the body in the terms of the stove model: conductivity at
// several temperatures (the best of the band), density, specific heat, limit.
func (b Body) Material() material.Material {
	m := material.Material{Key: b.Name, Family: "brick", Density: b.Density.Value,
		Heat: ClayMeanSpecificHeat(293.15, 873.15), LimitC: b.UseLimit() - zeroCelsius, Emissivity: 0.8, Standing: "yours"}
	for _, c := range []float64{20, 200, 400, 600, 800, 1000} {
		m.ConductivityAt = append(m.ConductivityAt, [2]float64{c, b.Conductivity(c + zeroCelsius).Best})
	}
	return m
}

// Duty is what a brick must do in the stove.
type Duty string

// The duties: the lining keeps heat in and is not touched; the back brick is
// knocked by wood and must last.
const (
	Lining    Duty = "lining"
	BackBrick Duty = "back brick"
)

// What a brick needs for its duty (common practice).
const (
	handledLeast    = 0.6e6 // Pa, to be handled and built in
	knockedLeast    = 1.0e6 // Pa, where wood knocks
	knockedDensity  = 1000  // kg/m³, where wood rubs
	insulatesMost   = 800   // kg/m³, still called insulating
	insulatesFloor  = 400   // kg/m³, below which few hold together
	chamberHottestC = 900.0 // °C, of a chamber wall
)

// Judge holds a body against its duty and says what falls short; nothing when
// it will do.
func (b Body) Judge(duty Duty) []message.Text {
	var list []message.Text
	say := func(bad bool, id string, values ...any) {
		if bad {
			list = append(list, message.T(id, values...))
		}
	}
	s, d := b.Crushing(), b.Density.Value
	s.Best *= 1 + 1e-9 // the mean of equal readings may end a hair below them
	if duty == BackBrick {
		say(s.Best < knockedLeast, "brick.judge.weak-back", "strength", strengthValue(s.Best), "least", strengthValue(knockedLeast))
		say(d < knockedDensity, "brick.judge.light-back", "density", densityValue(d), "least", densityValue(knockedDensity))
	} else {
		say(s.Best < handledLeast, "brick.judge.weak", "strength", strengthValue(s.Best), "least", strengthValue(handledLeast))
		say(d > insulatesMost, "brick.judge.heavy", "density", densityValue(d), "most", densityValue(insulatesMost))
		say(d < insulatesFloor, "brick.judge.too-light", "density", densityValue(d))
	}
	say(b.UseLimit()-zeroCelsius < chamberHottestC, "brick.judge.cool-fired", "limit", celsiusValue(b.UseLimit()), "hot", celsiusValue(chamberHottestC+zeroCelsius))
	say(b.Strength == 0, "brick.judge.not-crushed")
	say(b.Predicted, "brick.judge.predicted")
	return list
}

// FirebrickGroup is one group of insulating firebricks.
type FirebrickGroup struct {
	Group      int     `yaml:"group"`
	Reheat     float64 `yaml:"reheat"`      // °C, of the 24 h reheat test
	MaxDensity float64 `yaml:"max_density"` // kg/m³
}

var groupTable = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Source      string            `yaml:"source"`
	Standing    string            `yaml:"standing"`
	Groups      []FirebrickGroup  `yaml:"groups"`
}]("firebrick-groups.yaml").Groups

// LikeGroup is the highest group of insulating firebrick whose density the body
// keeps and whose reheat temperature its firing passed; ok is false where none
// fits. It is a likeness: a group is claimed only after a 24 h reheat test.
func (b Body) LikeGroup() (g FirebrickGroup, ok bool) {
	for _, row := range groupTable {
		if b.Density.Value <= row.MaxDensity && b.Peak-zeroCelsius >= row.Reheat {
			g, ok = row, true
		}
	}
	return g, ok
}

// ShockOf gathers the thermal shock indices of a body at T (K), with rupture
// taken as half the crushing strength where it was not measured (common
// practice for firebrick), Young's modulus from GibsonAshby1997Modulus with
// 20 GPa without pores, ν 0.2, α 5.5e-6 /K, and a surface energy of 10 J/m²
// (from memory). For comparing bodies, not for promising cycles.
func (b Body) ShockOf(kelvin float64) Shock {
	const dense, poisson, expansion, surface = 20e9, 0.2, 5.5e-6, 10
	return Shock{Rupture: b.Crushing().Best / 2, Modulus: GibsonAshby1997Modulus(dense, math.Max(0, b.Porosity())), Poisson: poisson,
		Expansion: expansion, Conductivity: b.Conductivity(kelvin).Best, SurfaceEnergy: surface}
}
