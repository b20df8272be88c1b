package mixture

import (
	"errors"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"stovewright/internal/outside"
	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// The eight corners of the published example (mclean1966, from memory).
func TestFlareVertices(t *testing.T) {
	want := []Point{{0.40, 0.10, 0.47, 0.03}, {0.40, 0.10, 0.42, 0.08}, {0.60, 0.10, 0.27, 0.03}, {0.60, 0.10, 0.22, 0.08},
		{0.40, 0.47, 0.10, 0.03}, {0.40, 0.42, 0.10, 0.08}, {0.60, 0.27, 0.10, 0.03}, {0.60, 0.22, 0.10, 0.08}}
	got, err := flare().Vertices()
	if err != nil || len(unique(append(append([]Point(nil), want...), got...))) != len(want) {
		t.Errorf("%v, %v", got, err)
	}
}

// Every design and candidate adds up to one and keeps its bounds.
func TestDesignsAreMixtures(t *testing.T) {
	for q := 2; q <= 5; q++ {
		var all []Point
		all = append(all, Lattice(q, 3)...)
		all = append(all, Centroid(q)...)
		all = append(all, Axial(q)...)
		for _, p := range all {
			if !Free(q).Contains(p) {
				t.Errorf("%v is no mixture", p)
			}
		}
		if len(unique(Centroid(q))) != 1<<q-1 {
			t.Errorf("the centroid design of %d repeats itself", q)
		}
	}
}

func TestBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := rapid.IntRange(2, 5).Draw(t, "q")
		b := Bounds{make([]float64, q), make([]float64, q)}
		for i := range b.Low {
			b.Low[i] = rapid.Float64Range(0, 0.9/float64(q)).Draw(t, "low")
			b.High[i] = b.Low[i] + rapid.Float64Range(0.05, 1-b.Low[i]).Draw(t, "width")
		}
		candidates, err := b.Candidates()
		if errors.Is(err, ErrBounds) {
			return
		}
		if err != nil || len(candidates) == 0 {
			t.Fatal(err)
		}
		for _, p := range candidates {
			if !b.Contains(p) {
				t.Fatalf("%v leaves the bounds %+v", p, b)
			}
			back := b.Real(b.Pseudo(p))
			if !same(back, p) {
				t.Fatalf("pseudocomponents: %v came back as %v", p, back)
			}
		}
	})
	if _, err := (Bounds{Low: []float64{0.6, 0.6}, High: []float64{1, 1}}).Vertices(); !errors.Is(err, ErrBounds) {
		t.Errorf("bounds without a mixture: %v", err)
	}
}

// The exchange never ends worse than the candidates' own best lattice, and
// tells more with points already made than without.
func TestDOptimal(t *testing.T) {
	candidates, err := flare().Candidates()
	if err != nil {
		t.Fatal(err)
	}
	first, err := DOptimal(candidates, Quadratic, 15, nil, 3)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := DOptimal(candidates, Quadratic, 15, nil, 3)
	if fmt.Sprint(first) != fmt.Sprint(again) {
		t.Error("the same seed chose differently")
	}
	made := []Point{candidates[0], candidates[1]}
	more, err := DOptimal(candidates, Quadratic, 13, made, 3)
	if err != nil || more.LogDet > first.LogDet+1e-6 {
		t.Errorf("13 chosen beside 2 given %v cannot beat 15 chosen freely %v; %v", more.LogDet, first.LogDet, err)
	}
	// swapping any chosen point for any candidate must not help
	for slot := range first.Index {
		for k := range candidates {
			index := append([]int(nil), first.Index...)
			index[slot] = k
			if d := logDet(candidates, index); d > first.LogDet+1e-6 {
				t.Fatalf("swapping %d for %d raises ln det to %v from %v", slot, k, d, first.LogDet)
			}
		}
	}
	if _, err := DOptimal(candidates, Quadratic, 3, nil, 1); !errors.Is(err, ErrTooFew) {
		t.Errorf("three points for ten terms: %v", err)
	}
}

// logDet by LU, another way than the exchange's own.
func logDet(candidates []Point, index []int) float64 {
	terms := len(Quadratic.Terms(candidates[0]))
	x := mat.NewDense(len(index), terms, nil)
	for i, k := range index {
		x.SetRow(i, Quadratic.Terms(candidates[k]))
	}
	var info mat.Dense
	info.Mul(x.T(), x)
	l, sign := mat.LogDet(&info)
	if sign <= 0 {
		return math.Inf(-1)
	}
	return l
}

// Data that cannot carry the model are refused.
func TestFitRefuses(t *testing.T) {
	points := Lattice(3, 2)
	if _, err := FitModel(points, make([]float64, 6), Quadratic); !errors.Is(err, ErrTooFew) {
		t.Errorf("six points for six terms leave nothing to judge by: %v", err)
	}
	if _, err := FitModel([]Point{{1}}, []float64{1}, Linear); !errors.Is(err, ErrDimension) {
		t.Errorf("%v", err)
	}
	twice := []Point{{1, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 1, 0}}
	if _, err := FitModel(twice, make([]float64, 4), Linear); !errors.Is(err, ErrTooFew) {
		t.Errorf("two different points for three terms: %v", err)
	}
}

func TestNames(t *testing.T) {
	got := strings.Join(SpecialCubic.Names([]string{"clay", "dust", "grog"}), "; ")
	if got != "clay; dust; grog; clay × dust; clay × grog; dust × grog; clay × dust × grog" {
		t.Error(got)
	}
}

// y = (z1−1)² + 2(z2+0.5)² + z1 z2 is flat where 2(z1−1)+z2 = 0 and
// 4(z2+0.5)+z1 = 0, at z = (10/7, −6/7).
func TestStationary(t *testing.T) {
	z, err := Stationary([]float64{-2, 2}, mat.NewSymDense(2, []float64{1, 0.5, 0.5, 2}))
	if err != nil || math.Abs(z[0]-10.0/7) > 1e-12 || math.Abs(z[1]+6.0/7) > 1e-12 {
		t.Errorf("%v %v", z, err)
	}
}

// The contours of a plane are straight and lie where the plane says.
func TestContours(t *testing.T) {
	lines := Contours(func(p Point) float64 { return p[2] }, []float64{0.25, 0.33}, 17)
	var length float64
	for _, l := range lines {
		want := l.Level * math.Sqrt(3) / 2
		if math.Abs(l.Y1-want) > 1e-12 || math.Abs(l.Y2-want) > 1e-12 {
			t.Fatalf("a line of level %v at height %v", l.Level, l.Y1)
		}
		length += math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
	}
	if want := 0.75 + 0.67; math.Abs(length-want) > 1e-9 {
		t.Errorf("the lines are %v long in all, want %v", length, want)
	}
}

// A second opinion from SciPy on a fit with lack of fit: the linear model
// through the yarn data. It is skipped where SciPy is missing.
func TestFitAgainstSciPy(t *testing.T) {
	const script = `
import sys, numpy as np
from scipy import stats
rows=[list(map(float,l.split())) for l in sys.stdin if l.strip()]
a=np.array(rows); y=a[:,-1]; X=a[:,:-1]
D=np.c_[X,X[:,0]*X[:,1],X[:,0]*X[:,2],X[:,1]*X[:,2]]
b=np.linalg.lstsq(D,y,rcond=None)[0]; r=y-D@b; df=len(y)-6; s2=r@r/df
print(*b,*np.sqrt(np.diag(np.linalg.inv(D.T@D))*s2),stats.f.sf(((y-y.mean())@(y-y.mean())-r@r)/5/s2,5,df))
`
	points, y := yarn()
	var in strings.Builder
	for i, p := range points {
		fmt.Fprintln(&in, p[0], p[1], p[2], y[i])
	}
	cmd := exec.Command(outside.Python(t, "scipy"), "-c", script)
	cmd.Stdin = strings.NewReader(in.String())
	out := outside.Run(t, cmd)
	f := yarnFit(Quadratic)
	ours := append(append(append([]float64(nil), f.Coefficients...), f.SE...), f.P)
	for i, text := range strings.Fields(string(out)) {
		theirs, err := strconv.ParseFloat(text, 64)
		if err != nil || math.Abs(theirs-ours[i]) > 1e-9*math.Max(1, math.Abs(theirs)) {
			t.Errorf("value %d: SciPy %v, ours %v", i, text, ours[i])
		}
	}
}

func ExampleFitModel() {
	points, y := yarn()
	f, err := FitModel(points, y, Quadratic)
	if err != nil {
		fmt.Println(err)
		return
	}
	best, value, _ := f.Best(Free(3), true)
	fmt.Printf("R² %.3f; best %.2f at %.3f %.3f %.3f\n", f.R2, value, best[0], best[1], best[2])
	// Output:
	// R² 0.951; best 17.38 at 0.294 0.000 0.706
}

func BenchmarkDOptimal(b *testing.B) {
	candidates, err := flare().Candidates()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := DOptimal(candidates, Quadratic, 15, nil, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// Observations that are all alike show no effect of the mixture, and are no
// reason to stop.
func TestFitOfEqualObservations(t *testing.T) {
	points := append(Centroid(3), Centroid(3)...)
	y := make([]float64, len(points))
	for i := range y {
		y[i] = 1.2
	}
	f, err := FitModel(points, y, Quadratic)
	if err != nil {
		t.Fatal(err)
	}
	if f.P < 0.05 {
		t.Errorf("nothing differs, and p is %v", f.P)
	}
	for _, b := range f.Coefficients[:3] {
		if math.Abs(b-1.2) > 1e-9 {
			t.Errorf("coefficients %v", f.Coefficients)
		}
	}
}
