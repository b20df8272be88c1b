package drawing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

// Round steps and the marks they give, worked by hand.
func TestMarks(t *testing.T) {
	for _, tt := range []struct {
		low, high float64
		most      int
		step      float64
		want      []float64
	}{
		{0, 47, 8, 10, []float64{0, 10, 20, 30, 40}},
		{0, 1000, 6, 200, []float64{0, 200, 400, 600, 800, 1000}},
		{0, 3, 8, 0.5, []float64{0, 0.5, 1, 1.5, 2, 2.5, 3}},
		{0, 1, 8, 0.2, []float64{0, 0.2, 0.4, 0.6, 0.8, 1}},
		{-0.3, 0.3, 6, 0.1, []float64{-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3}}, // 0.6/0.1 is a little less than 6
		{0, 0.1 * 3, 3, 0.1, []float64{0, 0.1, 0.2, 0.3}},                  // 0.1·3 is a little more than 0.3
		{293.2, 371.9, 5, 20, []float64{300, 320, 340, 360}},
		{21, 29, 1, 10, nil},
		{5, 5, 4, 0, nil},
		{5, 4, 4, 0, nil},
		{0, math.Inf(1), 4, 0, nil},
		{math.NaN(), 1, 4, 0, nil},
		{0, 1, 0, 0, nil},
	} {
		step := RoundStep(tt.high-tt.low, tt.most)
		got := Marks(step, tt.low, tt.high)
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(tt.step) }
		if !near(step, tt.step) || !slices.EqualFunc(got, tt.want, near) {
			t.Errorf("from %v to %v in at most %d: step %v, marks %v; want %v, %v", tt.low, tt.high, tt.most, step, got, tt.step, tt.want)
		}
	}
}

// TestStepsAreRoundAndNoCoarserThanNeeded draws spans of all sizes: the first digits
// of a step are 1, 2 or 5 as a decimal printer writes them, the span has at most so
// many steps, and the next finer round step would give too many.
func TestStepsAreRoundAndNoCoarserThanNeeded(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		span, most := math.Pow(10, r.Float64()*24-12), 1+r.IntN(20)
		step := RoundStep(span, most)
		text := strconv.FormatFloat(step, 'e', 8, 64)
		finer := map[string]float64{"1.00000000": 2, "2.00000000": 2, "5.00000000": 2.5}[text[:10]]
		if finer == 0 {
			t.Fatalf("a step of %v for %v in %d", step, span, most)
		}
		if parts := span / step; parts > float64(most)*(1+1e-6) || parts*finer < float64(most)*(1-1e-6) {
			t.Fatalf("%v parts of %v for %v, at most %d", parts, step, span, most)
		}
	}
}

// TestMarksReachBothEnds: all marks stand on the axis, one step apart, and none is
// missing at either end, wherever the axis begins, also far from zero where a step is
// small beside the numbers.
func TestMarksReachBothEnds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20_000 {
		span, most := math.Pow(10, r.Float64()*8-4), 3+r.IntN(10)
		low := (r.Float64()*2 - 1) * span * math.Pow(10, r.Float64()*6)
		high := low + span
		step := RoundStep(high-low, most)
		slack := 1e-6 * step
		marks := Marks(step, low, high)
		if len(marks) == 0 || len(marks) > most+1 {
			t.Fatalf("%d marks from %v to %v, at most %d parts", len(marks), low, high, most)
		}
		if first, last := marks[0], marks[len(marks)-1]; first < low-slack || first-step > low-slack || last > high+slack || last+step < high+slack {
			t.Fatalf("marks %v by %v from %v to %v", marks, step, low, high)
		}
		for i := 1; i < len(marks); i++ {
			if math.Abs(marks[i]-marks[i-1]-step) > slack {
				t.Fatalf("marks %v are not %v apart", marks, step)
			}
		}
	}
}

// A chart of one number, or of numbers that a computer cannot step between, has an
// end.
func TestMarksEnd(t *testing.T) {
	for _, at := range []float64{0, 1e-300, 1, -273.15, 1e17, 1e300} {
		low, high := Widen(at, at)
		if !(low < at && at < high) {
			t.Errorf("%v does not stand between %v and %v", at, low, high)
		}
		if n := len(Marks(RoundStep(high-low, 6), low, high)); n < 1 || n > 7 {
			t.Errorf("%d marks around %v", n, at)
		}
	}
	if n := len(Marks(RoundStep(16, 6), 1e17, 1e17+16)); n > 7 {
		t.Errorf("%d marks in sixteen steps of the last digit", n)
	}
}
