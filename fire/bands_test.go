package fire_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"stovewright/fire"
)

// The way to the boil begins at once and ends with the boil: its last band is
// that of the time to boil, which is computed apart from it.
func TestWayToTheBoilEndsWithTheBoil(t *testing.T) {
	l := lit(t)
	m, err := l.Model()
	if err != nil {
		t.Fatal(err)
	}
	draws, err := m.NewDraws(fire.Defaults(), 8, 1)
	if err != nil {
		t.Fatal(err)
	}
	bands, err := m.BoilBands(draws, l.Task, 30)
	if err != nil {
		t.Fatal(err)
	}
	for name, way := range map[string][]fire.Reached{"cold": bands.ColdPath, "hot": bands.HotPath} {
		whole := bands.ColdTime
		if name == "hot" {
			whole = bands.HotTime
		}
		last := way[len(way)-1]
		if way[0].Time.High != 0 || math.Abs(last.Water-m.Air().BoilingPoint()) > 1e-9 || math.Abs(last.Time.Middle-whole.Middle) > 1 {
			t.Errorf("%s: from %+v to %+v, boiled after %+v", name, way[0], last, whole)
		}
		for i := 1; i < len(way); i++ {
			if way[i].Time.Low < way[i-1].Time.Low || way[i].Time.High < way[i-1].Time.High {
				t.Errorf("%s: the water is warmer earlier: %+v, %+v", name, way[i-1], way[i])
			}
		}
	}
}

// Draws that nobody waits for are given up, whatever is computed with them.
func TestDrawsAreGivenUp(t *testing.T) {
	l := lit(t)
	m, err := l.Model()
	if err != nil {
		t.Fatal(err)
	}
	draws, err := m.NewDraws(fire.Defaults(), 1000, 1)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, steady := m.Bands(draws.While(ctx), l.Task.Power, l.Air.PotFace())
	_, boil := m.BoilBands(draws.While(ctx), l.Task, 0)
	_, _, difference := m.Difference(m, draws.While(ctx), l.Task.Power, l.Air.PotFace())
	for _, err := range []error{steady, boil, difference} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%v, want that it was given up", err)
		}
	}
	if _, err := m.Bands(draws, l.Task.Power, l.Air.PotFace()); err != nil {
		t.Errorf("the draws themselves were spoiled: %v", err)
	}
}
