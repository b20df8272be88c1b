package brick

import (
	"math"
	"testing"
)

// pressedBrick has edges that shrink by the given logarithms along each axis.
func pressedBrick(drying, firing [3]float64, u float64) Record {
	var r Record
	for a, wet := range []float64{0.220, 0.110, 0.060} {
		dry := wet * math.Exp(-drying[a])
		for stage, v := range []float64{wet, dry, dry * math.Exp(-firing[a])} {
			r.Stages[stage].Edges[a] = Reading{Value: v, U: u}
		}
	}
	return r
}

// One observation of a normal belief: means weighted by the precisions, which
// add up (exact, conjugate normal law).
func TestObserve(t *testing.T) {
	mean, sd := observe(0.93, 0.1, 1.2, 0.2)
	if math.Abs(mean-(0.93*100+1.2*25)/125) > 1e-12 || math.Abs(sd-1/math.Sqrt(125)) > 1e-12 {
		t.Errorf("%g ± %g", mean, sd)
	}
}

// The belief begins with the pressed direction shrinking most, and follows the
// bricks, here with the width shrinking most.
func TestBeliefOfAxes(t *testing.T) {
	list := stocks(t, "clay", "sawdust")
	before, err := Update(list, FormingDefaults(), nil, 1)
	if err != nil {
		t.Fatal(err)
	}
	first := before.Shrinkage()
	if !(first[Height].Drying > 1.1*first[Length].Drying && first[Height].Drying < 1.4*first[Length].Drying) || first[Length] != first[Width] {
		t.Errorf("before any brick: %+v", first)
	}
	drying, firing := [3]float64{0.050, 0.080, 0.065}, [3]float64{0.020, 0.030, 0.025}
	trial := Trial{Mix: mixOf(list, 0.9, 1.4, 0.4)}
	for range 20 {
		trial.Bricks = append(trial.Bricks, pressedBrick(drying, firing, 0.0001))
	}
	after, err := Update(list, FormingDefaults(), []Trial{trial, trial, trial}, 1)
	if err != nil {
		t.Fatal(err)
	}
	got := after.Shrinkage()
	for a := range Axes {
		want := 1 - math.Exp(-drying[a])
		if math.Abs(float64(got[a].Drying)-want) > 0.004 || !(got[a].UDrying < first[a].UDrying && got[a].UDrying > 0) {
			t.Errorf("%s dries by %.4f ± %.4f, and not %.4f", Axes[a], got[a].Drying, got[a].UDrying, want)
		}
	}
	if !(got[Width].Firing > got[Height].Firing && got[Height].Firing > got[Length].Firing) {
		t.Errorf("firing: %+v", got)
	}
	// a brick that was not measured all round, or that hardly shrank, says nothing
	loose := pressedBrick(drying, firing, 0.0001)
	loose.Stages[Dry].Edges[Width] = Reading{}
	still := pressedBrick([3]float64{0.001, 0, 0.001}, [3]float64{}, 0.0001)
	if s := learnSharing([]Trial{{Bricks: []Record{loose, still}}}, Wet, Dry); s != usualSharing && math.Abs(s.mean[0]-usualSharing.mean[0]) > 1e-9 {
		t.Errorf("%+v", s)
	}
}
