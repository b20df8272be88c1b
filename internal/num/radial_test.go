package num

import (
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"stovewright/internal/outside"
)

// scattered are points of the unit cube with two values each, one a plane, the other
// bent.
func scattered(n int) (points, values [][]float64) {
	r := rand.New(rand.NewPCG(3, 4))
	for range n {
		x := []float64{r.Float64(), r.Float64(), r.Float64()}
		points = append(points, x)
		values = append(values, []float64{2 - x[0] + 3*x[1] + 0.5*x[2], math.Sin(3*x[0]) * math.Exp(x[1]-x[2])})
	}
	return points, values
}

// TestRadial holds what defines the surface: it goes through its points, and a plane
// is itself everywhere.
func TestRadial(t *testing.T) {
	points, values := scattered(60)
	surface, err := NewRadial(points, values)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range points {
		for k, y := range surface.At(p) {
			if math.Abs(y-values[i][k]) > 1e-8 {
				t.Fatalf("point %d, value %d: %v, want %v", i, k, y, values[i][k])
			}
		}
	}
	x := []float64{0.31, 1.4, -0.2}
	if y := surface.At(x)[0]; math.Abs(y-(2-x[0]+3*x[1]+0.5*x[2])) > 1e-6 {
		t.Errorf("a plane is %v at %v", y, x)
	}
}

// TestRadialStill has points that differ in two coordinates of three: nothing is
// known of the third, and the surface is level along it close by.
func TestRadialStill(t *testing.T) {
	points, values := scattered(40)
	for _, p := range points {
		p[2] = 0.5
	}
	for i, p := range points {
		values[i] = []float64{1 + p[0] - p[1]}
	}
	surface, err := NewRadial(points, values)
	if err != nil {
		t.Fatal(err)
	}
	if y := surface.At([]float64{0.2, 0.6, 0.8})[0]; math.Abs(y-0.6) > 1e-6 {
		t.Errorf("%v, want 0.6", y)
	}
}

func TestRadialRefuses(t *testing.T) {
	twice := [][]float64{{0, 1}, {0, 1}, {1, 0}, {0.5, 0.2}}
	for name, c := range map[string]struct{ points, values [][]float64 }{
		"no points":      {nil, nil},
		"too few values": {[][]float64{{1}, {2}}, [][]float64{{1}}},
		"uneven points":  {[][]float64{{1}, {2, 3}}, [][]float64{{1}, {1}}},
		"uneven values":  {[][]float64{{1}, {2}}, [][]float64{{1}, {1, 2}}},
		"no number":      {[][]float64{{1}, {math.NaN()}}, [][]float64{{1}, {1}}},
		"a point twice":  {twice, [][]float64{{1}, {2}, {3}, {4}}},
	} {
		if _, err := NewRadial(c.points, c.values); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestRadialSecondOpinion asks SciPy's RBFInterpolator for the same surface.
func TestRadialSecondOpinion(t *testing.T) {
	points, values := scattered(80)
	at, _ := scattered(90)
	at = at[80:]
	surface, err := NewRadial(points, values)
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(outside.Python(t, "scipy.interpolate"), "../../crosscheck/num/radial.py")
	theirs := outside.Answers(t, command, []any{map[string]any{"points": points, "values": values, "at": at}})[0]
	if len(theirs) != 2*len(at) {
		t.Fatalf("%d answers, want %d", len(theirs), 2*len(at))
	}
	for i, x := range at {
		for k, y := range surface.At(x) {
			if want := theirs[2*i+k]; math.Abs(y-want) > 1e-7 {
				t.Errorf("point %d, value %d: %.10g, SciPy %.10g", i, k, y, want)
			}
		}
	}
}
