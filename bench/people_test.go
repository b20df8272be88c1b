package bench

import (
	"strings"
	"testing"
)

// The standard adults of a day unfold into the people counted.
func TestPeopleUnfold(t *testing.T) {
	r, err := MeasureKitchen(Kitchen{Code: "H1", People: []People{{Children: 3, Women: 2, Men: 1, ElderMen: 1}}, Fuels: []KitchenFuel{{Key: "hardwood", LHV: 18.4e6, Moisture: 0.1, Days: []FuelDay{{Start: 20, End: 14}}}}})
	fatal(t, err)
	for _, s := range r.Steps {
		if s.Key == "SAE" {
			if !strings.HasSuffix(s.Numbers, "= 0.5·3 + 0.8·2 + 1·1 + 0.8·1") || !strings.Contains(s.Equation, "older men") || s.Origin != Computed {
				t.Errorf("%s, %s, %s", s.Equation, s.Numbers, s.Origin)
			}
			return
		}
	}
	t.Error("no standard adults among the steps")
}
