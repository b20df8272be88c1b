package fire

import (
	"math"
	"testing"

	"stovewright/bench"
	"stovewright/fuel"
	"stovewright/gas"
)

// A computed test is read back by the bench, and its protocol makes of it the
// efficiency that the run itself has. They part only where protocol and run
// mean different things by a number: the protocol brings the wood's water from
// the room to the boil and takes 2257 kJ/kg to boil it (key wbt2014protocol),
// the run's heating value is that at 25 °C; the protocol's steam is 2260 kJ/kg
// at any altitude. With the protocol's own constants nothing but the rounding of
// the form is left.
func TestBoilingFormGivesTheSameEfficiency(t *testing.T) {
	for name, change := range map[string]func(*Model, *Task){
		"by rule": func(*Model, *Task) {},
		"lid":     func(m *Model, _ *Task) { m.stove.Pot.Lid = true },
		"upland":  func(m *Model, _ *Task) { m.air.Pressure = gas.ISAPressure(3500) },
		"sticks":  func(_ *Model, task *Task) { task.Sticks = Sticks{Burning: 3, Mass: 0.15} },
	} {
		m, job := lined(t, nil), task()
		change(m, &job)
		job.Start = 293.15
		m, err := New(m.stove, m.air, m.fuel, m.moisture)
		if err != nil {
			t.Fatal(err)
		}
		job.Power = 3000
		run, err := m.Boil(Defaults(), job, 0)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		data, err := m.BoilingForm(run, bench.AboutForm{Note: "computed, not measured"}).Write()
		if err != nil {
			t.Fatal(err)
		}
		test, err := bench.ReadBoiling(data)
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, data)
		}
		r, err := bench.Boil(test)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []struct {
			run   Phase
			bench *bench.PhaseResult
		}{{run.Cold, r.Cold}, {run.Hot, r.Hot}} {
			ours := m.TestEfficiency(p.run)
			if d := math.Abs(p.bench.Efficiency - ours); d > 0.002 {
				t.Errorf("%s, %s: the bench says %.4f, the run %.4f", name, p.run.Name, p.bench.Efficiency, ours)
			}
			if want := protocolEfficiency(m, p.run); math.Abs(p.bench.Efficiency/want-1) > 6e-4 {
				t.Errorf("%s, %s: the bench says %.5f, by the protocol it is %.5f", name, p.run.Name, p.bench.Efficiency, want)
			}
			if math.Abs(p.bench.Duration-p.run.Duration()) > 0.31 {
				t.Errorf("%s, %s: %g s became %g s", name, p.run.Name, p.run.Duration(), p.bench.Duration)
			}
		}
		if w := r.Simmer.Wood; math.Abs(w-run.Simmer.WoodUsed()) > 1e-4 {
			t.Errorf("%s: %g kg of wood to simmer became %g kg", name, run.Simmer.WoodUsed(), w)
		}
		if !r.Usable() {
			t.Errorf("%s: the bench would not use it: %+v", name, r.Alarms)
		}
	}
}

// protocolEfficiency is the efficiency by the equations of the boiling test,
// version 4.2, on the unrounded readings.
func protocolEfficiency(m *Model, p Phase) float64 {
	const cw, latent, steam, char = 4186.0, 2257e3, 2260e3, 29.5e6
	wet := m.moisture.Wet()
	r := p.Readings
	heated := r.PotBefore - m.stove.Pot.Mass
	useful := cw*heated*(r.WaterAfter-r.WaterBefore) + steam*p.Evaporated()
	return useful / (p.WoodUsed()*(m.fuel.LHVDry()*(1-wet)-wet*(cw*(gas.BoilingPoint(m.air.Pressure)-m.air.Temperature)+latent)) - char*r.CharAfter)
}

// The file of every fuel can be read.
func TestBoilingFormOfEveryFuel(t *testing.T) {
	for _, key := range fuel.Keys() {
		if benchKinds[key] == "" {
			t.Errorf("%s has no kind in a boiling test", key)
		}
	}
}
