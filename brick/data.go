package brick

import (
	"embed"
	"fmt"

	"github.com/goccy/go-yaml"
)

//go:embed data/*.yaml
var dataFiles embed.FS

// read decodes one embedded table; the tables are part of the program and
// tested, so a fault in one is a programmer's.
func read[T any](name string) T {
	data, err := dataFiles.ReadFile("data/" + name)
	if err != nil {
		panic(fmt.Sprintf("brick: %v", err))
	}
	var v T
	if err := yaml.UnmarshalWithOptions(data, &v, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("brick: data/%s: %v", name, err))
	}
	return v
}

// Param is an uncertain value: what to assume, the usual range, and the limits
// beyond which it is not believed. Min = Max marks a value taken as known.
type Param struct {
	Default  float64 `yaml:"default"`
	Low      float64 `yaml:"low"`
	High     float64 `yaml:"high"`
	Min      float64 `yaml:"min"`
	Max      float64 `yaml:"max"`
	Standing string  `yaml:"standing"`
	Source   string  `yaml:"source"`
	Note     string  `yaml:"note"`
}

// Known is a value without uncertainty.
func Known(v float64) Param { return Param{Default: v, Low: v, High: v, Min: v, Max: v} }

// Fixed reports whether the value is taken as known.
func (p Param) Fixed() bool { return p.Min == p.Max }

// IngredientData is one row of data/ingredients.yaml.
type IngredientData struct {
	Key      string  `yaml:"key"`
	Role     string  `yaml:"role"`     // plastic, pore former or filler
	Moisture Param   `yaml:"moisture"` // water per moist mass
	Loss     Param   `yaml:"loss"`     // share of the dry mass lost in the fire
	Grain    float64 `yaml:"grain"`    // kg/m³, of one grain with its fine pores full of water
	Fired    float64 `yaml:"fired"`    // kg/m³, of what remains, without pores
	Heat     float64 `yaml:"heat"`     // J/kg dry, set free in the kiln
	Standing string  `yaml:"standing"`
	Source   string  `yaml:"source"`
	Note     string  `yaml:"note"`
}

// FormingData are the defaults of data/forming.yaml.
type FormingData struct {
	Air     Param `yaml:"air"`
	Drained Param `yaml:"drained"`
	Drying  Param `yaml:"drying"`
	Firing  Param `yaml:"firing"`
}

var (
	ingredientTable = read[struct {
		Description string            `yaml:"description"`
		Units       map[string]string `yaml:"units"`
		Ingredients []IngredientData  `yaml:"ingredients"`
	}]("ingredients.yaml").Ingredients

	formingTable = read[struct {
		Description string            `yaml:"description"`
		Units       map[string]string `yaml:"units"`
		Forming     FormingData       `yaml:"forming"`
	}]("forming.yaml").Forming
)

// IngredientKinds lists the keys of the ingredient table in its order.
func IngredientKinds() []string {
	keys := make([]string, len(ingredientTable))
	for i, r := range ingredientTable {
		keys[i] = r.Key
	}
	return keys
}

// LookupIngredient finds a row of the ingredient table.
func LookupIngredient(kind string) (IngredientData, bool) {
	for _, r := range ingredientTable {
		if r.Key == kind {
			return r, true
		}
	}
	return IngredientData{}, false
}

// FormingDefaults are the uncertain values of moulding, drying and firing.
func FormingDefaults() FormingData { return formingTable }
