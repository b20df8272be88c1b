package num

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"stovewright/internal/outside"
)

// TestSecondOpinion fits the reference problems from both starts beside SciPy's
// curve_fit: a thousandth of a standard deviation in every parameter, and a
// thousandth of the deviations, whose slopes SciPy takes by one-sided differences.
// From the far start of BoxBOD SciPy finds nothing; of Lanczos1, without noise, the
// deviations are rounding.
func TestSecondOpinion(t *testing.T) {
	command := exec.Command(outside.Python(t, "scipy.optimize"), "../../crosscheck/num/strd.py", "testdata/strd")
	decoder := json.NewDecoder(bytes.NewReader(outside.Run(t, command)))
	for _, s := range allStrd(t) {
		var theirs struct {
			Name string
			Fits []*struct {
				P, SD []float64
				RSS   float64
			}
		}
		if err := decoder.Decode(&theirs); err != nil || theirs.Name != s.name {
			t.Fatalf("%s, want %s: %v", theirs.Name, s.name, err)
		}
		for i, start := range [][]float64{s.far, s.near} {
			ours, err := s.fit().Solve(start)
			if err != nil || ours.Covariance == nil {
				t.Errorf("%s, start %d: %v", s.name, i+1, err)
				continue
			}
			fit := theirs.Fits[i]
			if fit == nil {
				if s.name != "BoxBOD" || i != 0 {
					t.Errorf("%s, start %d: SciPy finds nothing", s.name, i+1)
				}
				continue
			}
			for k, p := range ours.P {
				sd := math.Sqrt(ours.Covariance.At(k, k))
				if s.name == "Lanczos1" {
					sd = 1e-6 * math.Abs(p)
				} else if !(math.Abs(fit.SD[k]/sd-1) <= 1e-3) {
					t.Errorf("%s, start %d, deviation %d: ours %.8g, SciPy %.8g", s.name, i+1, k+1, sd, fit.SD[k])
				}
				if !(math.Abs(fit.P[k]-p) <= 1e-3*sd) {
					t.Errorf("%s, start %d, parameter %d: ours %.10g, SciPy %.10g", s.name, i+1, k+1, p, fit.P[k])
				}
			}
		}
	}
}
