package fire_test

import (
	"errors"
	"io/fs"
	"math"
	"testing"

	"stovewright/examples"
	"stovewright/fire"
	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/stove"
)

// exampleStoves are the stoves of all example briefs: square and round chambers,
// rings of four, six and eight sides, a liner, flat and round pots, drums, inches.
func exampleStoves(t testing.TB) map[string]*stove.Stove {
	t.Helper()
	list := make(map[string]*stove.Stove)
	names, _ := fs.Glob(examples.Briefs, "*.yaml")
	for _, name := range names {
		data, err := examples.Briefs.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		form, err := stove.ParseForm(data)
		if err != nil {
			t.Fatal(err)
		}
		brief, err := form.Read()
		if err != nil {
			t.Fatal(err)
		}
		if list[name], err = stove.Size(brief); err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// On the stove of every example, as it is and pushed to the edges of what is
// asked (no skirt, 3500 m, a lid, half the power, sticks), half the time step and
// twice the cells of the wall change the time to boil by less than 1 %.
func TestHalfTheStepChangesTheBoilByLessThanOnePercent(t *testing.T) {
	changes := map[string]func(*fire.Lit){
		"as it is":   func(*fire.Lit) {},
		"bare":       func(l *fire.Lit) { l.Stove.Side = nil },
		"3500 m":     func(l *fire.Lit) { l.Air.Pressure = gas.ISAPressure(3500) },
		"lid":        func(l *fire.Lit) { l.Stove.Pot.Lid = true },
		"half power": func(l *fire.Lit) { l.Task.Power /= 2 },
		"sticks":     func(l *fire.Lit) { l.Task.Sticks = fire.Sticks{Burning: 3, Mass: 0.2} },
	}
	runs, worst := 0, 0.0
	for name, s := range exampleStoves(t) {
		for what, change := range changes {
			lit := fire.Light(s)
			lit.Task.Hold = 0
			change(&lit)
			usual, ok := boil(t, lit, fire.DefaultStep)
			if !ok {
				continue
			}
			runs++
			half, _ := boil(t, lit, fire.DefaultStep/2)
			fine := lit
			fine.Stove.Wall.Layers = append(fine.Stove.Wall.Layers[:0:0], fine.Stove.Wall.Layers...)
			for i := range fine.Stove.Wall.Layers {
				if fine.Stove.Wall.Layers[i].Cells == 0 {
					fine.Stove.Wall.Layers[i].Cells = 24 // a boil run takes twelve
				}
			}
			cells, _ := boil(t, fine, fire.DefaultStep)
			for k, start := range []string{"cold", "hot"} {
				if d := math.Abs(half[k]/usual[k] - 1); !(d < 0.01) {
					t.Errorf("%s, %s: half the step changes the %s start from %.1f to %.1f s", name, what, start, usual[k], half[k])
				} else {
					worst = math.Max(worst, d)
				}
				if d := math.Abs(cells[k]/usual[k] - 1); !(d < 0.01) {
					t.Errorf("%s, %s: twice the cells change the %s start from %.1f to %.1f s", name, what, start, usual[k], cells[k])
				}
			}
		}
	}
	if runs < 30 {
		t.Errorf("only %d of the stoves boil", runs)
	}
	t.Logf("%d stoves: half the step changes the time by %.2g at most", runs, worst)
}

// boil gives the times of the cold and of the hot start; false where the stove
// cannot breathe or boil.
func boil(t *testing.T, lit fire.Lit, step float64) (times [2]float64, ok bool) {
	t.Helper()
	m, err := lit.Model()
	if err != nil {
		t.Fatal(err)
	}
	run, err := m.Boil(fire.Defaults(), lit.Task, step)
	var choked *fire.ChokedError
	var never *fire.NeverBoilsError
	if errors.As(err, &choked) || errors.As(err, &never) {
		return times, false
	}
	if err != nil {
		t.Fatal(err)
	}
	return [2]float64{run.Cold.Duration(), run.Hot.Duration()}, true
}

// Every example burns every fuel of the table, from the sea to 5000 m and from
// half a kilowatt to twenty-five: with a solution whose heat closes, or an error
// that names the place where the stove chokes.
func TestExamplesBurnEverywhere(t *testing.T) {
	solved, chokes := 0, 0
	for name, s := range exampleStoves(t) {
		for _, key := range fuel.Keys() {
			for _, altitude := range []float64{0, 1500, 3000, 5000} {
				lit := fire.Light(s)
				lit.Fuel, _ = fuel.Lookup(key)
				lit.Air.Pressure = gas.ISAPressure(altitude)
				m, err := lit.Model()
				if err != nil {
					t.Fatalf("%s, %s, %g m: %v", name, key, altitude, err)
				}
				for _, power := range []float64{500, 2000, 5000, 12000, 25000} {
					p, err := m.Solve(fire.Defaults(), power, lit.Air.PotFace())
					var choked *fire.ChokedError
					switch {
					case errors.As(err, &choked):
						chokes++
						if choked.Loss <= choked.Draft || len(choked.Place.Dimensions()) == 0 {
							t.Errorf("%s, %s, %g m, %g W: %+v", name, key, altitude, power, choked)
						}
					case err != nil:
						t.Errorf("%s, %s, %g m, %g W: %v", name, key, altitude, power, err)
					default:
						solved++
						// a small fire under a large pot sends gas along it that is colder than the pot
						warm := p.Efficiency() > 0 || p.ExitT < p.PotT && p.AirRatio > fire.OverAired
						if math.Abs(p.Closure) > 1e-9 || p.AirRatio < 1 || !warm || p.Efficiency() >= 1 {
							t.Errorf("%s, %s, %g m, %g W: closure %g, air ratio %g, efficiency %g", name, key, altitude, power, p.Closure, p.AirRatio, p.Efficiency())
						}
					}
				}
			}
		}
	}
	if solved < 500 || chokes < 50 {
		t.Errorf("%d solved, %d choked", solved, chokes)
	}
	t.Logf("%d solved, %d choked", solved, chokes)
}

// A pot sunk into the body is a band of the side whose outer wall loses little:
// with the same gaps the sunken pot keeps more of the heat than one in a bare
// skirt, and less of it goes to the room.
func TestSunkenPotKeepsMore(t *testing.T) {
	lit := fire.Light(household(t))
	skirted, err := lit.Model()
	if err != nil {
		t.Fatal(err)
	}
	side := append([]fire.Annulus(nil), lit.Stove.Side...)
	side[0].OuterLoss = 2 // in the body
	lit.Stove.Side = side
	sunken, err := lit.Model()
	if err != nil {
		t.Fatal(err)
	}
	a, err := skirted.Solve(fire.Defaults(), lit.Task.Power, 380)
	if err != nil {
		t.Fatal(err)
	}
	b, err := sunken.Solve(fire.Defaults(), lit.Task.Power, 380)
	if err != nil {
		t.Fatal(err)
	}
	if !(b.Efficiency() > a.Efficiency() && b.Heat.Skirt < a.Heat.Skirt) {
		t.Errorf("skirt %.3f with %.0f W lost, sunken %.3f with %.0f W lost", a.Efficiency(), a.Heat.Skirt, b.Efficiency(), b.Heat.Skirt)
	}
}

// Food beyond water: twice the litres take nearly twice the wood to boil, and an
// hour's simmer more than half an hour's, by what the pot loses.
func TestMealsOfAnySize(t *testing.T) {
	lit := fire.Light(exampleStoves(t)["school-kettle.yaml"])
	m, err := lit.Model()
	if err != nil {
		t.Fatal(err)
	}
	meal := func(litres, hold float64) (up, held fire.Phase) {
		task := lit.Task
		task.Water, task.Hold = litres, hold
		up, held, err := m.Cook(fire.Defaults(), task, 0)
		if err != nil {
			t.Fatal(err)
		}
		return up, held
	}
	full := lit.Task.Water
	a, short := meal(full/2, 1800)
	b, long := meal(full, 3600)
	if r := b.WoodUsed() / a.WoodUsed(); !(r > 1.5 && r < 2.1) {
		t.Errorf("twice the food takes %.2f times the wood", r)
	}
	if r := long.WoodUsed() / short.WoodUsed(); !(r > 1.3 && r < 2.5) {
		t.Errorf("twice the time takes %.2f times the wood", r)
	}
	if none, hold := meal(full, 0); none.WoodUsed() != b.WoodUsed() || hold.Name != "" {
		t.Error("a meal that is not held differs on its way to the boil")
	}
}
