package bench

import (
	"strings"
	"testing"
)

// Moisture that was not read itself says how it came about, by drying, by a meter and
// by one number of the dry mass.
func TestMoistureUnfolds(t *testing.T) {
	whole := exampleText(t, "example-a.yaml")
	for wood, want := range map[string]string{
		"wet_sample: 212 g, dry_sample: 194 g, sample_tin: 32 g": "m = (212 − 194)/(212 − 32)",
		"moisture_readings: [\"14\", \"16 %\"]":                  "m = (0.14/(1 + 0.14) + 0.16/(1 + 0.16))/2",
		"moisture: 25 %, moisture_basis: dry":                    "m = 0.25/(1 + 0.25)",
		"moisture: 10 %, moisture_basis: wet":                    "",
	} {
		f, err := ReadTest("a", []byte(strings.Replace(whole, "moisture: 10 %, moisture_basis: wet", wood, 1)))
		fatal(t, err)
		for _, s := range f.Steps() {
			if s.Key == "m" && (s.Numbers != want || s.Origin != Measured) {
				t.Errorf("%s: %q by %s", wood, s.Numbers, s.Origin)
			}
		}
	}
}
