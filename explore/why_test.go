package explore

import (
	"maps"
	"math"
	"math/bits"
	"testing"
)

// airport is the game of a runway that must be as long as the largest aeroplane
// needs (Littlechild and Owen's example of a closed form): each piece of it is
// shared by those that need it.
func airport(costs []float64) func(set uint) float64 {
	return func(set uint) float64 {
		most := 0.0
		for ; set != 0; set &= set - 1 {
			most = math.Max(most, costs[bits.TrailingZeros(set)])
		}
		return most
	}
}

func TestShapley(t *testing.T) {
	split, whole := Shapley(3, airport([]float64{1, 2, 3}))
	for i, want := range []float64{1.0 / 3, 1.0/3 + 1.0/2, 1.0/3 + 1.0/2 + 1} {
		if math.Abs(split[i]-want) > 1e-12 || whole != 1 {
			t.Errorf("player %d: %v, want %v", i, split[i], want)
		}
	}
	// with the set of the first alone forbidden, only orders that begin with another
	// player count: 4 of 6, each walked by hand
	f := func(set uint) float64 {
		if set == 1 {
			return math.NaN()
		}
		return airport([]float64{1, 2, 3})(set)
	}
	split, whole = Shapley(3, f)
	if want := []float64{0, (2 + 2 + 0 + 0) / 4.0, (1 + 1 + 3 + 3) / 4.0}; math.Abs(whole-4.0/6) > 1e-12 || split[0] != want[0] || split[1] != want[1] || split[2] != want[2] {
		t.Errorf("%v of %v, want %v of 2/3", split, whole, want)
	}
	if split, whole := Shapley(2, func(set uint) float64 {
		if set == 1 || set == 2 {
			return math.NaN()
		}
		return float64(set)
	}); whole != 0 || !math.IsNaN(split[0]) {
		t.Errorf("no way at all: %v of %v", split, whole)
	}
}

func TestSampledShapley(t *testing.T) {
	costs := []float64{1, 4, 2, 6, 3, 9}
	exact, _ := Shapley(6, airport(costs))
	got, se, whole := SampledShapley(6, 500, 3, func(in []bool) float64 {
		set := uint(0)
		for i, b := range in {
			if b {
				set |= 1 << i
			}
		}
		return airport(costs)(set)
	})
	sum := 0.0
	for i := range got {
		sum += got[i]
		if math.Abs(got[i]-exact[i]) > 4*se[i]+1e-12 || whole != 1 {
			t.Errorf("player %d: %v ± %v, exactly %v", i, got[i], se[i], exact[i])
		}
	}
	if math.Abs(sum-9) > 1e-9 {
		t.Errorf("the parts add up to %v, want 9", sum)
	}
}

func TestWhy(t *testing.T) {
	a := subject(t, "beans-pot.yaml")
	b := a
	b.Form.Yours = maps.Clone(a.Form.Yours)
	if b.Form.Yours == nil {
		b.Form.Yours = map[string]string{}
	}
	b.Form.Yours["skirt.gap"] = "14 mm"
	b.Form.Yours["skirt.rise"] = "60 mm"
	b.Form.Choices.Chamber = "round"
	r, err := Why(a, b)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Parts) != 3 || !r.Exact || r.Whole != 1 {
		t.Fatalf("%+v", r)
	}
	for m := range MetricCount {
		sum := r.Before[m]
		for _, p := range r.Parts {
			sum += p.Brings[m]
		}
		if math.Abs(sum-r.After[m]) > 1e-9*math.Abs(r.After[m]) {
			t.Errorf("%v: the parts lead to %v, not to %v", m, sum, r.After[m])
		}
		says(t, r.Says(m)...)
	}
	for _, p := range r.Parts {
		if p.Key == "skirt.gap" && p.Brings[Efficiency] >= 0 {
			t.Errorf("a wider gap does not cost heat: %+v", p)
		}
	}
	same, err := Why(a, a)
	if err != nil {
		t.Fatal(err)
	}
	says(t, same.Says(Wood)...)
	b.Form.Yours["skirt.gap"] = "3 mm"
	if _, err := Why(a, b); err == nil {
		t.Error("a stove that chokes has reasons")
	}
}

// What is written in one brief and left to the rules in the other, and comes out
// alike, is no reason: not in the sentences, not in the pictures.
func TestWhyLeavesOutWhatIsAlike(t *testing.T) {
	a := subject(t, "beans-pot.yaml")
	sized, err := a.Stove()
	if err != nil {
		t.Fatal(err)
	}
	b := a
	b.Form.Yours = maps.Clone(a.Form.Yours)
	if b.Form.Yours == nil {
		b.Form.Yours = map[string]string{}
	}
	b.Form.Yours["brick.courses"] = sized.Value("brick.courses").String()
	b.Form.Choices.Chamber = "square" // as without a word
	alike, err := Why(a, b)
	if err != nil {
		t.Fatal(err)
	}
	if len(alike.Parts) != 0 || alike.Says(Wood)[0].ID != "explore.why-same" {
		t.Errorf("what is alike is said to change: %+v", alike.Parts)
	}
	b.Form.Yours["skirt.gap"] = "14 mm"
	b.Form.Yours["chamber.width"] = "125 mm"
	for name, ends := range map[string][2]Subject{"there": {a, b}, "back": {b, a}} {
		r, err := Why(ends[0], ends[1])
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Parts) != 2 || r.Whole != 1 {
			t.Errorf("%s: %+v", name, r.Parts)
		}
		for m := range MetricCount {
			sum := r.Before[m]
			for _, p := range r.Parts {
				sum += p.Brings[m]
			}
			if math.Abs(sum-r.After[m]) > 1e-9*math.Abs(r.After[m]) {
				t.Errorf("%s, %v: the parts lead to %v, not to %v", name, m, sum, r.After[m])
			}
		}
	}
}
