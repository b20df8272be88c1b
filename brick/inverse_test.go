package brick

import (
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
)

func drawMix(t *rapid.T) (Mix, Forming) {
	m := recipe(rapid.Float64Range(0.1, 1).Draw(t, "sawdust"), rapid.Float64Range(0.5, 2).Draw(t, "clay"),
		rapid.Float64Range(0.3, 2).Draw(t, "water"), rapid.Float64Range(0, 0.4).Draw(t, "moisture"))
	f := Forming{Air: rapid.Float64Range(0, 0.2).Draw(t, "air"), Drained: rapid.Float64Range(0, 0.6).Draw(t, "drained"),
		Drying: Drying(rapid.Float64Range(0, 0.15).Draw(t, "drying")), Firing: Firing(rapid.Float64Range(0, 0.1).Draw(t, "firing"))}
	return m, f
}

// From the balance to the scale and back: every way of finding the water held
// finds what the balance put there.
func TestWaterComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, f := drawMix(t)
		b, err := m.Balance(f)
		if err != nil {
			t.Fatal(err)
		}
		if held, err := m.HeldFor(b.Fired.Density(), f); err != nil || !near(held, b.Water, 1e-9) {
			t.Fatalf("from the fired density: %v for %v, %v", held, b.Water, err)
		}
		if x, err := m.DrainedFor(b.Fired.Density(), f); err != nil || !near(x, f.Drained, 1e-9) {
			t.Fatalf("drained: %v for %v, %v", x, f.Drained, err)
		}
		const cavity = 1.2e-3
		one := b.Brick(cavity)
		h, err := m.HeldFromDrying(Reading{Value: one.Wet}, Reading{Value: one.Dry})
		if err != nil || !near(h.Water.Value, b.Water, 1e-9) || !near(h.Drained, f.Drained, 1e-9) {
			t.Fatalf("from drying: %+v for %v, %v", h, b.Water, err)
		}
		h, err = m.HeldFromBatch(one.PerBatch, Reading{Value: cavity}, Reading{Value: f.Air})
		if err != nil || !near(h.Water.Value, b.Water, 1e-9) {
			t.Fatalf("from the batch: %+v for %v, %v", h, b.Water, err)
		}
		h, err = m.HeldFromWetBrick(Reading{Value: one.Wet}, Reading{Value: cavity}, Reading{Value: f.Air})
		if err != nil || !near(h.Water.Value, b.Water, 1e-6) {
			t.Fatalf("from one wet brick: %+v for %v, %v", h, b.Water, err)
		}
	})
}

// The three ways differ in what they are worth; the poor one must say so.
func TestWaysToTheWaterDiffer(t *testing.T) {
	m, f := baseMix(1.2), DefaultForming()
	b, err := m.Balance(f)
	if err != nil {
		t.Fatal(err)
	}
	one := b.Brick(1.2e-3)
	scale, mould, air := 0.001, 1.2e-5, 0.02
	drying, err1 := m.HeldFromDrying(Reading{Value: one.Wet, U: scale}, Reading{Value: one.Dry, U: scale})
	batch, err2 := m.HeldFromBatch(one.PerBatch, Reading{Value: 1.2e-3, U: mould}, Reading{Value: f.Air, U: air})
	single, err3 := m.HeldFromWetBrick(Reading{Value: one.Wet, U: scale}, Reading{Value: 1.2e-3, U: mould}, Reading{Value: f.Air, U: air})
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	if !(drying.Water.U < batch.Water.U/5 && batch.Water.U < single.Water.U/2) {
		t.Errorf("u: drying %v, batch %v, one wet brick %v kg", drying.Water.U, batch.Water.U, single.Water.U)
	}
	if single.Water.Lines[2].Name != "brick.part.air" || single.Water.Lines[2].Share < 0.5 {
		t.Errorf("the air must be the largest part: %+v", single.Water.Lines)
	}
}

// Each change, made alone, reaches the target.
func TestChangesReachTheTarget(t *testing.T) {
	m, f := baseMix(1.2), DefaultForming()
	for _, target := range []float64{300, 450, 600} {
		list, err := m.Changes(target, f)
		if err != nil {
			t.Fatal(err)
		}
		if len(list) < 2 {
			t.Errorf("%v: only %d changes", target, len(list))
		}
		for _, c := range list {
			changed, form := Mix{Portions: append([]Portion(nil), m.Portions...), Water: m.Water}, f
			switch c.Kind {
			case ChangeWater:
				changed.Water = c.To
			case ChangePressing:
				form.Drained = c.To
			case ChangePoreFormer:
				changed.Portions[1].Mass = c.To
				changed.Water = max(m.Water+WaterPerSawdust*(c.To-c.From), changed.leastWater())
			}
			b, err := changed.Balance(form)
			if err != nil || !near(b.Fired.Density(), target, 0.01) {
				t.Errorf("%v by %s: %v, %v", target, c.Kind, b.Fired.Density(), err)
			}
			if message.English().Say(c.Text) == "" || message.English().Say(c.Because) == "" {
				t.Errorf("%s says nothing", c.Kind)
			}
		}
	}
	if _, err := m.Changes(1900, f); err == nil {
		t.Error("a density above that of the dry solids was promised")
	}
}
