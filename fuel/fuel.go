// Package fuel knows what burns: composition, moisture on either basis, heating
// value, the air it takes and the flue gas it leaves.
//
// Heating values are at 298.15 K, in J/kg. Mass fractions are of dry fuel unless
// a name says otherwise. A value measured by the user always stands above a
// correlation.
package fuel

import (
	_ "embed"
	"fmt"
	"math"

	"github.com/goccy/go-yaml"

	"stovewright/message"
	"stovewright/quantity"
)

// Composition is the ultimate analysis as mass fractions of dry fuel.
type Composition struct{ C, H, O, N, S, Ash float64 }

// Proximate is the proximate analysis as mass fractions of dry fuel.
type Proximate struct{ Volatile, FixedCarbon, Ash float64 }

// Fuel is a fuel, a preset or the user's own.
type Fuel struct {
	Key         string      // preset, or the user's own name
	Kind        string      // wood, residue, charcoal or dung
	Composition Composition // ultimate analysis
	Proximate   Proximate   // zero where there is none
	MeasuredHHV float64     // J/kg dry, the user's own bomb value; 0 to use the correlation
	PublishedHV float64     // J/kg dry, printed beside the composition; for comparison only
	CharYield   float64     // share of the dry mass that passes through char
	Standing    string
	Source      string
	Note        string
}

// closure is how far a composition may miss 100 % before it is refused.
const closure = 0.005

// Validate reports a composition that cannot be one: a negative or missing
// number, or a sum that misses 100 % by more than half a point. The error is a
// [message.InputErrors].
func (c Composition) Validate() error {
	var list message.InputErrors
	sum := 0.0
	for _, e := range []struct {
		field string
		value float64
	}{{"fuel.C", c.C}, {"fuel.H", c.H}, {"fuel.O", c.O}, {"fuel.N", c.N}, {"fuel.S", c.S}, {"fuel.ash", c.Ash}} {
		sum += e.value
		if !(e.value >= 0 && e.value <= 1) {
			list = append(list, &message.InputError{Field: e.field, Value: quantity.Pct(e.value).Format('.'),
				Reason: message.T("fuel.fraction"), Try: "0 %"})
		}
	}
	if len(list) == 0 && math.Abs(sum-1) > closure {
		list = append(list, &message.InputError{Field: "fuel", Value: quantity.Value{SI: sum, Unit: quantity.Percent, Step: 0.1}.Format('.'),
			Reason: message.T("fuel.sum"), Try: "C 49 %, H 6 %, O 43.9 %, N 0.3 %, S 0 %, ash 0.8 %"})
	}
	return list.OrNil()
}

//go:embed fuels.yaml
var fuelsFile []byte

var presets = func() []Fuel {
	var file struct {
		Description string            `yaml:"description"`
		Units       map[string]string `yaml:"units"`
		Fuels       []struct {
			Key      string `yaml:"key"`
			Kind     string `yaml:"kind"`
			Ultimate struct {
				C   float64 `yaml:"C"`
				H   float64 `yaml:"H"`
				O   float64 `yaml:"O"`
				N   float64 `yaml:"N"`
				S   float64 `yaml:"S"`
				Ash float64 `yaml:"ash"`
			} `yaml:"ultimate"`
			Proximate struct {
				Volatile    float64 `yaml:"volatile"`
				FixedCarbon float64 `yaml:"fixed_carbon"`
				Ash         float64 `yaml:"ash"`
			} `yaml:"proximate"`
			HHV       float64 `yaml:"measured_hhv"`
			CharYield float64 `yaml:"char_yield"`
			Standing  string  `yaml:"standing"`
			Source    string  `yaml:"source"`
			Note      string  `yaml:"note"`
		} `yaml:"fuels"`
	}
	if err := yaml.UnmarshalWithOptions(fuelsFile, &file, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("fuel: embedded table: %v", err)) // part of the program, tested
	}
	list := make([]Fuel, len(file.Fuels))
	for i, f := range file.Fuels {
		u, p := f.Ultimate, f.Proximate
		list[i] = Fuel{Key: f.Key, Kind: f.Kind,
			Composition: Composition{u.C / 100, u.H / 100, u.O / 100, u.N / 100, u.S / 100, u.Ash / 100},
			Proximate:   Proximate{p.Volatile / 100, p.FixedCarbon / 100, p.Ash / 100},
			PublishedHV: f.HHV * 1e6, CharYield: f.CharYield, Standing: f.Standing, Source: f.Source, Note: f.Note}
	}
	return list
}()

// Lookup finds a preset by key. Its display name is the message "fuel." + key.
func Lookup(key string) (Fuel, bool) {
	for _, f := range presets {
		if f.Key == key {
			return f, true
		}
	}
	return Fuel{}, false
}

// Keys lists the presets in the order of the table.
func Keys() []string {
	keys := make([]string, len(presets))
	for i, f := range presets {
		keys[i] = f.Key
	}
	return keys
}
