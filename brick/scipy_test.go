package brick

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"stovewright/internal/outside"
)

// A second opinion from SciPy on the fits of strength over the published table
// of commercial firebricks: line, correlation, interval of the exponent and of
// the next brick, on the first twelve rows and on all eighteen. It is skipped
// where SciPy is missing, and fails where CI=true.
func TestFitsAgainstSciPy(t *testing.T) {
	const script = `
import sys, numpy as np
from scipy import stats
n=int(sys.stdin.readline()); a=np.array([list(map(float,l.split())) for l in sys.stdin if l.strip()])[:n]
for x in (np.log(a[:,0]), -(1-a[:,0]/2.6)):
    y=np.log(a[:,1]); r=stats.linregress(x,y); t=stats.t.ppf(.975,n-2)
    x0=np.log(.6) if x[0]==np.log(a[0,0]) else -(1-.6/2.6)
    s=np.sqrt(((y-r.intercept-r.slope*x)**2).sum()/(n-2)); w=t*s*np.sqrt(1+1/n+(x0-x.mean())**2/((x-x.mean())**2).sum())
    m=r.intercept+r.slope*x0
    print(np.exp(r.intercept), r.slope, r.rvalue, r.slope-t*r.stderr, r.slope+t*r.stderr, np.exp(m-w), np.exp(m+w))
`
	rows, fireclay := Firebricks()
	for _, n := range []int{fireclay, len(rows)} {
		var in strings.Builder
		fmt.Fprintln(&in, n)
		var density, porosity, strength []float64
		for _, r := range rows {
			fmt.Fprintln(&in, r.Density/1000, r.Crushing)
			density, porosity, strength = append(density, r.Density/1000), append(porosity, 1-r.Density/2600), append(strength, r.Crushing)
		}
		cmd := exec.Command(outside.Python(t, "scipy"), "-c", script)
		cmd.Stdin = strings.NewReader(in.String())
		out := outside.Run(t, cmd)
		var ours []float64
		for i, x := range [][]float64{density, porosity} {
			f, err := FitPower(x[:n], strength[:n])
			at := 0.6
			if i == 1 {
				f, err = FitRyshkewitch(x[:n], strength[:n])
				at = 1 - 0.6/2.6
			}
			if err != nil {
				t.Fatal(err)
			}
			interval, next := f.ExponentInterval(0.95), f.Predict(at, 0.95)
			ours = append(ours, f.Factor, f.Exponent, f.R, interval.Low, interval.High, next.Low, next.High)
		}
		theirs := strings.Fields(string(out))
		if len(theirs) != len(ours) {
			t.Fatalf("SciPy says %q", out)
		}
		for i, text := range theirs {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil || math.Abs(v-ours[i]) > 1e-9*math.Max(1, math.Abs(v)) {
				t.Errorf("%d rows, value %d: SciPy %s, ours %v", n, i, text, ours[i])
			}
		}
	}
}
