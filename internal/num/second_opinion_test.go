package num

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"testing"
)

// scipy finds an interpreter that has SciPy; it skips without one, and fails where
// CI promises one.
func scipy(t *testing.T) string {
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import scipy.optimize").Run() == nil {
			return python
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("no python3 with SciPy, which CI must have")
	}
	t.Skip("no python3 with SciPy here")
	return ""
}

// TestSecondOpinion fits the reference problems from both starts beside SciPy's
// curve_fit: a thousandth of a standard deviation in every parameter, and a
// thousandth of the deviations, whose slopes SciPy takes by one-sided differences.
// From the far start of BoxBOD SciPy finds nothing; of Lanczos1, without noise, the
// deviations are rounding.
func TestSecondOpinion(t *testing.T) {
	command := exec.Command(scipy(t), "../../crosscheck/num/strd.py", "testdata/strd")
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, complaints.String())
	}
	decoder := json.NewDecoder(bytes.NewReader(out))
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
