package brick

import (
	"math"
	"testing"

	"stovewright/brick/mixture"
	"stovewright/message"
)

func TestQualityTests(t *testing.T) {
	for _, d := range []Duty{Lining, BackBrick} {
		list := QualityTests(d)
		if len(list) < 8 {
			t.Errorf("%s: %d tests", d, len(list))
		}
		for _, q := range list {
			if !message.English().Has(q.Method().ID) || (q.Key == "float" && d == BackBrick) {
				t.Errorf("%s for a %s", q.Key, d)
			}
		}
	}
	if !CorePasses(0.03, Lining) || CorePasses(0.03, BackBrick) || CorePasses(0.2, Lining) {
		t.Error("black cores are judged wrong")
	}
}

// Bricks drawn from known laws: the band holds the true median about nine times
// in ten, and narrows with more bricks.
func TestDropHeight(t *testing.T) {
	rng := newTestRand(4)
	draw := func(n int, median float64) []Drop {
		spread := 0.4 * math.Exp(0.5*rng.NormFloat64())
		var drops []Drop
		for i := 0; i < n; i++ {
			h := 0.4 * math.Exp(1.6*float64(3*i%10)/9)
			drops = append(drops, Drop{h, median*math.Exp(spread*rng.NormFloat64()) < h})
		}
		return drops
	}
	const runs = 300
	held, few, many := 0, 0.0, 0.0
	for range runs {
		median := 0.05 * math.Pow(400, rng.Float64()) // from the prior
		b := DropHeight(draw(6, median))
		if b.Low <= median*1.02 && median <= b.High*1.02 { // the grid steps by 2.5 %
			held++
		}
		few += math.Log(b.High/b.Low) / runs
	}
	// 270 expected; four binomial standard deviations are 21
	if held < 249 || held > 291 {
		t.Errorf("the band held the truth %d times of %d", held, runs)
	}
	for range 20 {
		b := DropHeight(draw(100, 0.9))
		many += math.Log(b.High/b.Low) / 20
	}
	if many > 0.3*few {
		t.Errorf("width %v with 100 drops, %v with 6", many, few)
	}
	if none := DropHeight(nil); !math.IsNaN(none.Best) {
		t.Errorf("%+v", none)
	}
	whole := DropHeight([]Drop{{1, false}, {1.5, false}, {2, false}})
	if !(whole.Low > 1.2 && whole.High > 10) {
		t.Errorf("nothing broke, so the height is known from below only: %+v", whole)
	}
}

func TestFirstTrials(t *testing.T) {
	list := stocks(t, "clay", "sawdust", "grog")
	g := Goal{WaterLow: 0.6, WaterHigh: 1.2, Bounds: mixture.Bounds{Low: []float64{0.5, 0.1, 0}, High: []float64{0.8, 0.45, 0.3}}}
	for _, n := range []int{4, 8} {
		mixes, err := FirstTrials(list, g, n, 1)
		if err != nil || len(mixes) != n {
			t.Fatalf("%d: %v", len(mixes), err)
		}
		b := &Belief{Stocks: list}
		repeats := 0
		for i, m := range mixes {
			p, water, err := (&Belief{Stocks: list}).Shares(m)
			if err != nil {
				t.Fatal(err)
			}
			for k := range p {
				if p[k] < g.Bounds.Low[k]-0.01 || p[k] > g.Bounds.High[k]+0.01 {
					t.Errorf("mix %d: shares %v", i, p)
				}
			}
			if !near(water, 0.9, 0.02) {
				t.Errorf("mix %d: water %v", i, water)
			}
			for _, other := range mixes[:i] {
				q, _, _ := b.Shares(other)
				if distance(p, q) < 1e-9 {
					repeats++
				}
			}
		}
		if repeats < 1 {
			t.Error("no mix is made twice")
		}
	}
	if _, err := FirstTrials(list, g, 3, 1); err == nil {
		t.Error("three trials for three materials leave no repeat")
	}
}

// The calibrated skeleton gives back what was measured.
func TestCalibratedSkeleton(t *testing.T) {
	s, ok := DefaultSkeleton.Calibrated(0.22, 293.15, 0.40)
	if !ok || !near(s.Conductivity(293.15, 0.40).Best, 0.22, 1e-8) {
		t.Errorf("%+v %v", s, ok)
	}
	if _, ok := DefaultSkeleton.Calibrated(0.001, 293.15, 0.4); ok {
		t.Error("a conductivity below still air was met")
	}
}
