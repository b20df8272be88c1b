package bench

import (
	"sync"

	"stovewright/message"
)

// TroubleCheck is one thing to look at; change one thing at a time and test
// again before the next.
type TroubleCheck struct {
	Key       string `yaml:"key"`
	Dimension string `yaml:"dimension"` // of the stove, "" for none
	Source    string `yaml:"source"`
}

// Words say what to look at and what to do.
func (c TroubleCheck) Words() message.Text { return message.T("bench.trouble.check." + c.Key) }

// Symptom is what a cook or a tester sees, with the checks in the order to try.
type Symptom struct {
	Key      string         `yaml:"key"`
	Measures []string       `yaml:"measures"` // what a computed boiling test says of it, by the keys of package fire
	Checks   []TroubleCheck `yaml:"checks"`
}

// Words name the symptom.
func (s Symptom) Words() message.Text { return message.T("bench.trouble." + s.Key) }

// Warning says what the symptom, or looking for its cause, can do to people.
func (s Symptom) Warning() message.Text { return message.T("bench.trouble." + s.Key + ".mind") }

type troubleRow struct {
	Symptom  string   `yaml:"symptom"`
	Phases   []string `yaml:"phases"`
	When     string   `yaml:"when"`
	Standing string   `yaml:"standing"`
}

var troubleTable = lazy[struct {
	Description string       `yaml:"description"`
	Symptoms    []Symptom    `yaml:"symptoms"`
	FromResults []troubleRow `yaml:"from_results"`
}]("trouble.yaml")

// Symptoms are all that the troubleshooter knows.
func Symptoms() []Symptom { return troubleTable().Symptoms }

// SymptomOf finds a symptom by its key.
func SymptomOf(key string) (Symptom, bool) {
	for _, s := range troubleTable().Symptoms {
		if s.Key == key {
			return s, true
		}
	}
	return Symptom{}, false
}

// resultSymptoms are the conditions over results, read once for each version.
var resultSymptoms = sync.OnceValue(func() map[Version][]check {
	all := map[Version][]check{}
	for _, v := range versions {
		s, _ := boilingSheet(v)
		for _, row := range troubleTable().FromResults {
			f, err := parseFormula(row.When, s.names)
			if err != nil {
				panic(err) // an embedded table, tested
			}
			all[v] = append(all[v], check{checkRow{Key: row.Symptom, Phases: row.Phases}, f})
		}
	}
	return all
})

// Diagnose names the symptoms that a boiling test shows.
func Diagnose(test BoilingTest) ([]Symptom, error) {
	var found []Symptom
	seen := map[string]bool{}
	c, err := computeWith(&test, false, func(c *calculation) {
		for _, row := range resultSymptoms()[test.Version] {
			if c.concerns(row.Phases) && row.eval(&c.values) == 1 && !seen[row.Key] {
				seen[row.Key] = true
				s, _ := SymptomOf(row.Key)
				found = append(found, s)
			}
		}
	})
	if c == nil || err != nil {
		return nil, err
	}
	return found, nil
}
