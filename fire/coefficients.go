package fire

import (
	_ "embed"
	"encoding/json"
	"fmt"

	"github.com/goccy/go-yaml"
)

// Coefficient indexes [Coefficients].
type Coefficient int

// The coefficients, in the order of the data file.
const (
	Blockage Coefficient = iota
	LossInlet
	LossGrate
	LossElbow
	LossTurn
	LossSkirt
	LossExit
	LossScale
	FrictionFloor
	Combustion
	BedEmissivity
	BedCool
	BedHot
	BedLoading
	BedShare
	FlameEmissivity
	PotAbsorptivity
	WallFilm
	SkirtEmissivity
	CentreScale
	RingScale
	SideScale
	PotLoss
	SurfaceFilm
	LidLeak
	WaterFilm
	CharYield
	CharTime
	Ramp
	coefficientCount
)

// Coefficients holds a value for each coefficient, SI.
type Coefficients [coefficientCount]float64

// Row says all about one coefficient: where it stands, its range and its origin.
// What it means in words is the message "fire.coefficient." + Key.
type Row struct {
	Key      string  `yaml:"key"`
	Group    string  `yaml:"group"`
	Unit     string  `yaml:"unit"`
	Value    float64 `yaml:"value"`
	Low      float64 `yaml:"low"`
	High     float64 `yaml:"high"`
	Standing string  `yaml:"standing"`
	Source   string  `yaml:"source"`
	Note     string  `yaml:"note"`
}

//go:embed coefficients.yaml
var coefficientsFile []byte

var rows = func() []Row {
	var file struct {
		Description  string   `yaml:"description"`
		Groups       []string `yaml:"groups"`
		Coefficients []Row    `yaml:"coefficients"`
	}
	if err := yaml.UnmarshalWithOptions(coefficientsFile, &file, yaml.Strict()); err != nil {
		panic(fmt.Sprintf("fire: embedded coefficients: %v", err)) // part of the program, tested
	}
	return file.Coefficients
}()

// Table lists every coefficient with its range and origin.
func Table() []Row { return append([]Row(nil), rows...) }

// Row is the table row of a coefficient.
func (c Coefficient) Row() Row { return rows[c] }

// String is the key of a coefficient.
func (c Coefficient) String() string { return rows[c].Key }

// Defaults are the values of the table.
func Defaults() (c Coefficients) {
	for i, r := range rows {
		c[i] = r.Value
	}
	return c
}

// CoefficientByKey finds a coefficient by its key.
func CoefficientByKey(key string) (Coefficient, bool) {
	for i, r := range rows {
		if r.Key == key {
			return Coefficient(i), true
		}
	}
	return 0, false
}

// MarshalJSON writes the coefficients as an object by key.
func (c Coefficients) MarshalJSON() ([]byte, error) {
	m := make(map[string]float64, len(rows))
	for i, r := range rows {
		m[r.Key] = c[i]
	}
	return json.Marshal(m)
}

// UnmarshalJSON reads an object by key; keys left out keep their defaults, an
// unknown key is an error.
func (c *Coefficients) UnmarshalJSON(data []byte) error {
	var m map[string]float64
	if err := json.Unmarshal(data, &m); err != nil {
		return err
	}
	*c = Defaults()
	for key, v := range m {
		i, ok := CoefficientByKey(key)
		if !ok {
			return fmt.Errorf("fire: no coefficient %q", key)
		}
		c[i] = v
	}
	return nil
}
