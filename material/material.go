// Package material knows what stoves are made of: bricks, fills, sheet, rods
// and pots, with the few properties that sizing, weighing and warning need.
// The tables are data files with sources; this package reads and interpolates
// them.
package material

import (
	_ "embed"
	"fmt"
	"math"
	"sort"

	"github.com/goccy/go-yaml"
)

// Material is one row of the table. Conductivity is tabulated at one or more
// temperatures; everything else is a single value.
type Material struct {
	Key            string       `yaml:"key"`
	Family         string       `yaml:"family"`       // brick, fill, metal or ceramic
	Density        float64      `yaml:"density"`      // kg/m³
	ConductivityAt [][2]float64 `yaml:"conductivity"` // °C, W/(m K)
	Heat           float64      `yaml:"heat"`         // J/(kg K)
	LimitC         float64      `yaml:"limit"`        // highest temperature of lasting use, °C
	Emissivity     float64      `yaml:"emissivity"`   // 0 where it does not matter
	Settle         float64      `yaml:"settle"`       // fraction of its height that a loose fill settles
	Cement         bool         `yaml:"cement"`       // bound with Portland cement
	Zinc           bool         `yaml:"zinc"`         // coated with zinc
	Standing       string       `yaml:"standing"`
	Source         string       `yaml:"source"`
	Note           string       `yaml:"note"`
}

// Conductivity is the conductivity at a temperature in kelvin, W/(m K), linear
// between the tabulated points and constant outside them.
func (m Material) Conductivity(kelvin float64) float64 {
	return interpolate(m.ConductivityAt, kelvin-273.15)
}

func interpolate(points [][2]float64, x float64) float64 {
	i := sort.Search(len(points), func(i int) bool { return points[i][0] >= x })
	switch {
	case i == 0:
		return points[0][1]
	case i == len(points):
		return points[len(points)-1][1]
	}
	a, b := points[i-1], points[i]
	return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
}

//go:embed materials.yaml
var materialsFile []byte

//go:embed sheet.yaml
var sheetFile []byte

//go:embed steel.yaml
var steelFile []byte

var table = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Materials   []Material        `yaml:"materials"`
}](materialsFile).Materials

func read[T any](data []byte) T {
	var v T
	if err := yaml.UnmarshalWithOptions(data, &v, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("material: embedded table: %v", err)) // part of the program, tested
	}
	return v
}

// Lookup finds a material by key.
func Lookup(key string) (Material, bool) {
	for _, m := range table {
		if m.Key == key {
			return m, true
		}
	}
	return Material{}, false
}

// Keys lists the materials of a family in the order of the table.
func Keys(family string) []string {
	var keys []string
	for _, m := range table {
		if m.Family == family {
			keys = append(keys, m.Key)
		}
	}
	return keys
}

// SteelFactors are the reduction factors of carbon steel at a temperature.
type SteelFactors struct {
	Yield        float64 // ky, effective yield strength at 2 % strain
	Proportional float64 // kp, proportional limit
	Stiffness    float64 // kE, modulus of elasticity
}

var steelTable = read[struct {
	Description string       `yaml:"description"`
	Source      string       `yaml:"source"`
	Standing    string       `yaml:"standing"`
	Note        string       `yaml:"note"`
	Rows        [][4]float64 `yaml:"rows"`
}](steelFile).Rows

// EN1993SteelFactors gives the factors of EN 1993-1-2 table 3.1 (key
// en199312), linear between its rows, for 20 to 1200 °C; below and above, the
// end rows hold. Temperature in kelvin.
func EN1993SteelFactors(kelvin float64) SteelFactors {
	at := func(column int) float64 { return interpolate(steelColumns[column], kelvin-273.15) }
	return SteelFactors{Yield: at(0), Proportional: at(1), Stiffness: at(2)}
}

// steelColumns is the table by factor: temperature in °C and value.
var steelColumns = func() (columns [3][][2]float64) {
	for _, r := range steelTable {
		for k := range columns {
			columns[k] = append(columns[k], [2]float64{r[0], r[k+1]})
		}
	}
	return columns
}()

// Constants of mild steel used for rods.
const (
	MildSteelYield   = 235e6 // Pa, grade S235 (EN 10025-2, from memory)
	MildSteelModulus = 210e9 // Pa (EN 1993-1-1, from memory)
	ZincMeltsC       = 419.5 // °C, handbook value
	ZincHarmedC      = 200.0 // °C, lasting use of a zinc coating, common practice
	CreepStartsC     = 450.0 // °C, above it a lasting load creeps, common practice
	CreepFactor      = 0.3   // share of ky that a lasting load may use above CreepStartsC, common practice
)

// Rod is a round bar on two supports with a load in the middle.
type Rod struct {
	Diameter float64 // m
	Span     float64 // m, between the supports
	Force    float64 // N, in the middle
	Kelvin   float64 // temperature of the rod
	Lasting  bool    // the load stays; creep is allowed for above CreepStartsC
}

// RodState is how hard a rod works.
type RodState struct {
	Stress      float64 // Pa, bending stress in the middle
	Allowed     float64 // Pa
	Utilisation float64 // Stress/Allowed
	Deflection  float64 // m, elastic
}

// State computes bending stress M/W with M = F l/4 and W = π d³/32, the
// strength left at temperature (EN1993SteelFactors times MildSteelYield, times
// CreepFactor for a lasting load above CreepStartsC) and the elastic deflection
// F l³/(48 E I) with I = π d⁴/64.
func (r Rod) State() RodState {
	f := EN1993SteelFactors(r.Kelvin)
	d, l := r.Diameter, r.Span
	s := RodState{
		Stress:     r.Force * l / 4 / (math.Pi * d * d * d / 32),
		Allowed:    f.Yield * MildSteelYield,
		Deflection: r.Force * l * l * l / (48 * f.Stiffness * MildSteelModulus * math.Pi * d * d * d * d / 64),
	}
	if r.Lasting && r.Kelvin-273.15 > CreepStartsC {
		s.Allowed *= CreepFactor
	}
	s.Utilisation = s.Stress / s.Allowed
	return s
}

type sheetTable struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Gauges      struct {
		Source     string          `yaml:"source"`
		Note       string          `yaml:"note"`
		Steel      map[int]float64 `yaml:"steel_inch"`
		Galvanised map[int]float64 `yaml:"galvanised_inch"`
	} `yaml:"gauges"`
	SeamWidths struct {
		Standing string `yaml:"standing"`
		Rows     []struct {
			UpTo float64 `yaml:"up_to"`
			Fold float64 `yaml:"fold"`
		} `yaml:"rows"`
	} `yaml:"seam_widths"`
	StockSheets struct {
		Standing string `yaml:"standing"`
		Rows     []struct {
			Width  float64 `yaml:"width"`
			Length float64 `yaml:"length"`
		} `yaml:"rows"`
	} `yaml:"stock_sheets"`
}

var sheets = read[sheetTable](sheetFile)

// GaugeThickness is the thickness in metres of a sheet of the Manufacturers'
// Standard Gauge (even numbers 12 to 30), bare or galvanised. Gauge numbers
// differ from country to country; the program stores millimetres.
func GaugeThickness(gauge int, galvanised bool) (float64, bool) {
	t := sheets.Gauges.Steel
	if galvanised {
		t = sheets.Gauges.Galvanised
	}
	inches, ok := t[gauge]
	return inches * 0.0254, ok
}

// FoldWidth is the width in metres of one fold of a hem or grooved seam in
// sheet of the given thickness, and false where the sheet is too thick to fold
// and wants a lap or a weld.
func FoldWidth(thickness float64) (float64, bool) {
	for _, r := range sheets.SeamWidths.Rows {
		if thickness <= r.UpTo/1000 {
			return r.Fold / 1000, true
		}
	}
	return 0, false
}

// StockSheets lists the usual sheet sizes, width and length in metres.
func StockSheets() [][2]float64 {
	var list [][2]float64
	for _, r := range sheets.StockSheets.Rows {
		list = append(list, [2]float64{r.Width / 1000, r.Length / 1000})
	}
	return list
}

// SteelSheetMass is the mass in kg/m² of steel sheet, 7850 kg/m³; a Z275 zinc
// coating adds 0.275 kg/m².
func SteelSheetMass(thickness float64, galvanised bool) float64 {
	m := thickness * 7850
	if galvanised {
		m += 0.275
	}
	return m
}
