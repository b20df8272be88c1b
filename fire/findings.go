package fire

import (
	_ "embed"
	"fmt"
	"math"

	"github.com/goccy/go-yaml"
)

// Finding is what somebody measured on a stove: a range of one quantity, with
// its conditions, its standing and its source.
type Finding struct {
	Key         string  `yaml:"key"`
	Quantity    string  `yaml:"quantity"`
	Low         float64 `yaml:"low"` // 0 where only an upper bound is told
	High        float64 `yaml:"high"`
	Uncertainty float64 `yaml:"uncertainty"` // one standard deviation of a single test; 0 where not given
	Conditions  string  `yaml:"conditions"`
	Standing    string  `yaml:"standing"`
	Source      string  `yaml:"source"`
}

//go:embed findings.yaml
var findingsFile []byte

var published = func() []Finding {
	list, err := ReadFindings(findingsFile)
	if err != nil {
		panic(err) // part of the program, tested
	}
	return list
}()

// Findings are the published ranges that the model is shown against.
func Findings() []Finding { return append([]Finding(nil), published...) }

// quantities that a finding may be about, and how a boil run answers.
var quantities = map[string]func(*Model, *BoilRun) float64{
	"wood":        func(m *Model, r *BoilRun) float64 { return m.dryWood(r.meanBoilWood() + r.Simmer.WoodUsed()) },
	"energy":      func(m *Model, r *BoilRun) float64 { return m.lhv * (r.meanBoilWood() + r.Simmer.WoodUsed()) },
	"efficiency":  func(m *Model, r *BoilRun) float64 { return (m.TestEfficiency(r.Cold) + m.TestEfficiency(r.Hot)) / 2 },
	"boil-time":   func(_ *Model, r *BoilRun) float64 { return r.Cold.Duration() },
	"boil-wood":   func(m *Model, r *BoilRun) float64 { return m.dryWood(r.Cold.WoodUsed()) },
	"simmer-wood": func(m *Model, r *BoilRun) float64 { return m.dryWood(r.Simmer.WoodUsed()) },
	"firepower":   func(m *Model, r *BoilRun) float64 { return m.lhv * r.Hot.WoodUsed() / r.Hot.Duration() },
}

func (m *Model) dryWood(wet float64) float64 { return m.moisture.DryMass(wet) }

// meanBoilWood is the mean of cold and hot start, as boiling tests add it to the
// simmer.
func (r *BoilRun) meanBoilWood() float64 { return (r.Cold.WoodUsed() + r.Hot.WoodUsed()) / 2 }

// ReadFindings reads findings in the form of findings.yaml, published ones or
// your own: a mapping with "description" and a list "findings" of key, quantity,
// low, high, and where known uncertainty, conditions, standing and source. An
// unknown field, quantity or an empty range is an error.
func ReadFindings(data []byte) ([]Finding, error) {
	var file struct {
		Description string    `yaml:"description"`
		Findings    []Finding `yaml:"findings"`
	}
	if err := yaml.UnmarshalWithOptions(data, &file, yaml.Strict()); err != nil {
		return nil, fmt.Errorf("fire: findings: %w", err)
	}
	for _, f := range file.Findings {
		if quantities[f.Quantity] == nil {
			return nil, fmt.Errorf("fire: finding %q: no quantity %q", f.Key, f.Quantity)
		}
		if !(f.Low >= 0 && f.High >= f.Low && f.High > 0) || math.IsInf(f.High, 0) || !(f.Uncertainty >= 0) || f.Key == "" {
			return nil, fmt.Errorf("fire: finding %q: it needs a key and 0 <= low <= high", f.Key)
		}
	}
	return file.Findings, nil
}

// Comparison is a finding beside what the model says.
type Comparison struct {
	Finding Finding
	Ours    float64
	Inside  bool
	Miss    float64 // outside the range, as a share of the nearer end; 0 inside
}

// Compare holds a boil run against findings. A run without a simmer answers no
// question about one.
func (m *Model) Compare(r BoilRun, list []Finding) []Comparison {
	var out []Comparison
	for _, f := range list {
		ours := quantities[f.Quantity](m, &r)
		if math.IsNaN(ours) || ours == 0 || (r.Simmer.Name == "" && (f.Quantity == "wood" || f.Quantity == "energy")) {
			continue
		}
		c := Comparison{Finding: f, Ours: ours, Inside: ours >= f.Low && ours <= f.High}
		switch {
		case ours < f.Low:
			c.Miss = ours/f.Low - 1
		case ours > f.High:
			c.Miss = ours/f.High - 1
		}
		out = append(out, c)
	}
	return out
}
