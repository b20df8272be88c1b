// Package gas knows air and flue gas: heat content, temperature from heat
// content, viscosity and conductivity; and the two things altitude changes,
// the pressure of the air and the boiling point of water.
//
// Units are SI throughout: K, Pa, kg, mol, J. Enthalpies are counted from
// 298.15 K, the state at which heating values are given.
package gas

import (
	_ "embed"
	"fmt"
	"math"

	"github.com/goccy/go-yaml"

	"stovewright/internal/num"
)

const (
	// R is the molar gas constant in J/(mol K) (CODATA 2018, exact; key codata2018).
	R = 8.314462618
	// StandardTemperature is the state of heating values and of zero enthalpy, K.
	StandardTemperature = 298.15
	// StandardPressure is one atmosphere, Pa.
	StandardPressure = 101325.0
)

// Species indexes a [Mixture].
type Species int

// The gases that are told apart, in the order of the data file.
const (
	N2 Species = iota
	O2
	CO2
	H2O
	CO
	Ar
	speciesCount
)

// Mixture is an amount of each species: mole fractions, or any multiple of them.
type Mixture [speciesCount]float64

// DryAir is dry air by mole fraction, handbook composition with 360 ppm of
// carbon dioxide.
var DryAir = Mixture{N2: 0.780840, O2: 0.209460, Ar: 0.009340, CO2: 0.000360}

// MolarMass is the mean molar mass of a mixture in kg/mol.
func (m Mixture) MolarMass() float64 {
	mass, amount := 0.0, 0.0
	for s, x := range m {
		mass += x * table[s].molarMass
		amount += x
	}
	return mass / amount
}

// Normalised is the mixture as mole fractions.
func (m Mixture) Normalised() Mixture {
	total := 0.0
	for _, x := range m {
		total += x
	}
	for s := range m {
		m[s] /= total
	}
	return m
}

// MolarMass is the molar mass of a species in kg/mol.
func (s Species) MolarMass() float64 { return table[s].molarMass }

// Density is the density of an ideal gas, p M / (R T), in kg/m³.
func Density(p, molarMass, t float64) float64 { return p * molarMass / (R * t) }

// break7 is the temperature where the two halves of a NASA polynomial meet, K.
const break7 = 1000.0

// nasa holds a polynomial so that cp and h each take five multiplications:
// c are the coefficients of cp, d those of h divided by T.
type nasa struct{ c, d [5]float64 }

// Thermo is the heat content of one mixture, per kilogram. Make it once with
// [Mixture.Thermo] and use it many times.
type Thermo struct {
	low, high     nasa
	lowH0, highH0 float64 // integration constants, so that h(298.15 K) = 0
	M             float64 // molar mass, kg/mol
}

// Thermo combines the polynomials of the species of a mixture.
func (m Mixture) Thermo() Thermo {
	t := Thermo{M: m.MolarMass()}
	total := 0.0
	for _, x := range m {
		total += x
	}
	scale := R / (t.M * total)
	for s, x := range m {
		t.low.add(&table[s].low, x*scale)
		t.high.add(&table[s].high, x*scale)
		t.lowH0 += x * scale * table[s].low[5]
		t.highH0 += x * scale * table[s].high[5]
	}
	h := StandardTemperature*t.low.h(StandardTemperature) + t.lowH0
	t.lowH0 -= h
	t.highH0 -= h
	return t
}

// Blend mixes two gases by mass: wa kg of a to wb kg of b.
func Blend(a, b *Thermo, wa, wb float64) Thermo {
	total := wa + wb
	wa, wb = wa/total, wb/total
	var t Thermo
	for k := range t.low.c {
		t.low.c[k] = wa*a.low.c[k] + wb*b.low.c[k]
		t.low.d[k] = wa*a.low.d[k] + wb*b.low.d[k]
		t.high.c[k] = wa*a.high.c[k] + wb*b.high.c[k]
		t.high.d[k] = wa*a.high.d[k] + wb*b.high.d[k]
	}
	t.lowH0 = wa*a.lowH0 + wb*b.lowH0
	t.highH0 = wa*a.highH0 + wb*b.highH0
	t.M = 1 / (wa/a.M + wb/b.M)
	return t
}

func (n *nasa) add(a *[6]float64, w float64) {
	for k := range n.c {
		n.c[k] += w * a[k]
		n.d[k] += w * a[k] / float64(k+1)
	}
}

func (n *nasa) cp(t float64) float64 {
	return n.c[0] + t*(n.c[1]+t*(n.c[2]+t*(n.c[3]+t*n.c[4])))
}

func (n *nasa) h(t float64) float64 {
	return n.d[0] + t*(n.d[1]+t*(n.d[2]+t*(n.d[3]+t*n.d[4])))
}

// Cp is the heat capacity at constant pressure in J/(kg K), for 200 to 3500 K.
func (t *Thermo) Cp(kelvin float64) float64 {
	if kelvin < break7 {
		return t.low.cp(kelvin)
	}
	return t.high.cp(kelvin)
}

// Enthalpy is the sensible enthalpy above 298.15 K in J/kg, for 200 to 3500 K.
func (t *Thermo) Enthalpy(kelvin float64) float64 {
	if kelvin < break7 {
		return kelvin*t.low.h(kelvin) + t.lowH0
	}
	return kelvin*t.high.h(kelvin) + t.highH0
}

// The range over which a temperature is sought, K, and how close it is found.
const (
	coldest    = 200.0
	hottest    = 3500.0
	kelvinStep = 1e-7
)

// Temperature inverts [Thermo.Enthalpy]; NaN for an enthalpy outside 200 to 3500 K.
func (t *Thermo) Temperature(h float64) float64 {
	if !(h >= t.Enthalpy(coldest) && h <= t.Enthalpy(hottest)) {
		return math.NaN()
	}
	start := StandardTemperature + h/t.Cp(StandardTemperature+h/t.Cp(600))
	start = math.Min(math.Max(start, coldest), hottest)
	kelvin, err := num.Newton(func(k float64) (float64, float64) {
		return t.Enthalpy(k) - h, t.Cp(k)
	}, start, coldest, hottest, kelvinStep)
	if err != nil {
		return math.NaN()
	}
	return kelvin
}

// MolarCp is the heat capacity of one species in J/(mol K).
func (s Species) MolarCp(kelvin float64) float64 {
	t := single(s)
	return t.Cp(kelvin) * t.M
}

// MolarEnthalpy is the enthalpy of one species above 298.15 K in J/mol.
func (s Species) MolarEnthalpy(kelvin float64) float64 {
	t := single(s)
	return t.Enthalpy(kelvin) * t.M
}

// FormationEnthalpy is the enthalpy of formation at 298.15 K in J/mol.
func (s Species) FormationEnthalpy() float64 {
	a := table[s].low
	var n nasa
	n.add(&a, R)
	return StandardTemperature*n.h(StandardTemperature) + R*a[5]
}

func single(s Species) Thermo {
	var m Mixture
	m[s] = 1
	return m.Thermo()
}

type speciesData struct {
	molarMass  float64 // kg/mol
	low, high  [6]float64
	sutherland [3]float64
}

//go:embed species.yaml
var speciesFile []byte

var table = func() (t [speciesCount]speciesData) {
	var file struct {
		Description string               `yaml:"description"`
		Units       map[string]string    `yaml:"units"`
		Source      map[string]string    `yaml:"source"`
		Validity    map[string][]float64 `yaml:"validity"`
		Species     []struct {
			Name       string     `yaml:"name"`
			MolarMass  float64    `yaml:"molar_mass"`
			Low        [6]float64 `yaml:"low"`
			High       [6]float64 `yaml:"high"`
			Sutherland [3]float64 `yaml:"sutherland"`
		} `yaml:"species"`
	}
	if err := yaml.UnmarshalWithOptions(speciesFile, &file, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("gas: embedded table: %v", err)) // part of the program, tested
	}
	for i, s := range file.Species {
		if s.Name != names[i] {
			panic("gas: embedded table: species out of order") // part of the program, tested
		}
		t[i] = speciesData{s.MolarMass / 1000, s.Low, s.High, s.Sutherland}
	}
	return t
}()

var names = [speciesCount]string{"N2", "O2", "CO2", "H2O", "CO", "Ar"}

// String is the chemical formula.
func (s Species) String() string { return names[s] }
