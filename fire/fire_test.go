package fire

import (
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/heat"
	"stovewright/message"
	"stovewright/proof"
)

func TestChecks(t *testing.T) {
	if err := proof.Validate(Checks()); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(Checks()) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// lined is an invented household stove: 120 mm square chamber, light brick and
// ash in a sheet body, 240 mm pot in a skirt.
func lined(t testing.TB, change func(*Stove)) *Model {
	t.Helper()
	s := Stove{
		Feed: 0.0144, Grate: true,
		Chamber: Chamber{Area: 0.0144, Perimeter: 0.48, Height: 0.28},
		Bottom:  FlatBottom(math.Sqrt(0.0144/math.Pi), 0.12, 0.018, 0.015),
		Side:    []Annulus{{Length: 0.12, GapBottom: 0.012, GapTop: 0.012, OuterLoss: 15}},
		Pot:     Pot{Diameter: 0.24, Height: 0.16, Mass: 0.7, Heat: 900},
		Wall: Wall{Emissivity: 0.9, BodyHeight: 0.4, Layers: []heat.Layer{
			{Thickness: 0.04, Solid: heat.Solid{Conductivity: heat.Conductivity{{293, 0.15}, {773, 0.24}}, Density: 600, Heat: 950}},
			{Thickness: 0.04, Solid: heat.Solid{Conductivity: heat.ConstantConductivity(0.095), Density: 450, Heat: 850}},
			{Thickness: 0.0006, Solid: heat.Solid{Conductivity: heat.ConstantConductivity(50), Density: 7850, Heat: 490}, Cells: 1}}},
	}
	if change != nil {
		change(&s)
	}
	f, _ := fuel.Lookup("casuarina")
	w, err := fuel.WetBasis(0.12)
	if err != nil {
		t.Fatal(err)
	}
	m, err := New(s, Air{Temperature: 298.15, Pressure: 101325}, f, w)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func mustSolve(t testing.TB, m *Model, power float64) Point {
	t.Helper()
	p, err := m.Solve(Defaults(), power, 380)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Every solution balances heat and pressure, and its ring table starts and ends
// where it must.
func TestSolutionBalances(t *testing.T) {
	m := lined(t, nil)
	p := mustSolve(t, m, 4000)
	if math.Abs(p.Heat.Total()-p.Power) > 1e-6*p.Power || math.Abs(p.Residual) > 1e-6*p.Draft {
		t.Errorf("heat misses %g, pressure %g Pa", p.Heat.Total()-p.Power, p.Residual)
	}
	rings := m.Rings(Defaults(), p)
	last := rings[len(rings)-1]
	if math.Abs(last.Pressure) > 1e-6*p.Draft || rings[0].Place != "bed" || last.Place != "exit" {
		t.Errorf("the path ends at %q with %g Pa", last.Place, last.Pressure)
	}
	into, out := 0.0, 0.0
	for i, r := range rings {
		into += r.Heat
		out += r.Outside
		if i > 0 && (r.Temperature > rings[i-1].Temperature+1e-9 || r.Path < rings[i-1].Path || r.Velocity <= 0) {
			t.Errorf("ring %d: gas warms, turns back or stands: %+v", i, r)
		}
	}
	if math.Abs(into-p.Heat.Pot()) > 1e-6*into || math.Abs(out-p.Heat.Wall-p.Heat.Skirt) > 1e-6*into {
		t.Errorf("rings give %g W, the balance %g W", into, p.Heat.Pot())
	}
}

// A stove that cannot breathe is an error that names the narrow place.
func TestChoke(t *testing.T) {
	for _, c := range []struct {
		change func(*Stove)
		power  float64
		want   []Loss
	}{
		{func(s *Stove) { s.Side[0].GapBottom, s.Side[0].GapTop = 0.003, 0.003 }, 5000, []Loss{AtSkirt}},
		{func(s *Stove) { s.Bottom[0].Gap, s.Bottom[1].Gap = 0.004, 0.004 }, 5000, []Loss{AtThroat, AtBottom}},
		{func(s *Stove) { s.Feed = 0.002 }, 6000, []Loss{AtFuelOpening}},
	} {
		m := lined(t, c.change)
		_, err := m.Solve(Defaults(), c.power, 380)
		var choked *ChokedError
		if !errors.As(err, &choked) {
			t.Errorf("want %v choked, got %v", c.want, err)
			continue
		}
		found := false
		for _, l := range c.want {
			found = found || choked.Place == l
		}
		if !found {
			t.Errorf("want %v choked, got %v", c.want, choked)
		}
		if words := message.English().Say(choked.Text()); strings.Contains(words, "«") || strings.Contains(words, "{") {
			t.Errorf("the sentence has a hole: %s", words)
		}
	}
}

func TestMostPower(t *testing.T) {
	m := lined(t, nil)
	most, err := m.MostPower(Defaults(), 1.5, 380)
	if err != nil {
		t.Fatal(err)
	}
	if p := mustSolve(t, m, most); math.Abs(p.AirRatio-1.5) > 1e-6 {
		t.Errorf("at its most power the air ratio is %g, want 1.5", p.AirRatio)
	}
	choke, err := m.MostPower(Defaults(), 1, 380)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Solve(Defaults(), choke*1.001, 380); err == nil {
		t.Error("beyond its most power the stove still draws")
	}
}

// Stoves of every shape, altitude, power and fuel either solve with a balance
// that closes, or choke; and above an air ratio of 1 draft less losses changes
// sign once only, so that the solution is the only one.
func TestAllStovesSolveOrChoke(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		radius := f("throat", 0.035, 0.12)
		pot := radius * f("pot over throat", 1.3, 3.2)
		s := Stove{Feed: math.Pi * radius * radius * f("feed", 0.5, 1.5), Grate: rapid.Bool().Draw(r, "grate"),
			Chamber: Chamber{Area: math.Pi * radius * radius, Perimeter: 2 * math.Pi * radius, Height: f("height", 0.1, 0.6)},
			Pot:     Pot{Diameter: 2 * pot, Height: 0.2, Mass: 1, Heat: 900},
			Wall: Wall{Emissivity: 0.9, Layers: []heat.Layer{{Thickness: f("wall", 0.01, 0.1),
				Solid: heat.Solid{Conductivity: heat.ConstantConductivity(f("conductivity", 0.05, 1.5)), Density: 1000, Heat: 900}}}}}
		if rapid.Bool().Draw(r, "square") {
			s.Chamber.Perimeter = 4 * math.Sqrt(s.Chamber.Area)
		}
		s.Bottom = FlatBottom(radius, pot, f("throat gap", 0.006, 0.04), f("edge gap", 0.006, 0.04))
		if rapid.Bool().Draw(r, "round") {
			s.Bottom = RoundBottom(radius, pot, pot*f("curvature", 1, 3), f("throat gap", 0.006, 0.04), f("edge gap", 0.006, 0.04))
		}
		for i := rapid.IntRange(0, 3).Draw(r, "bands"); i > 0; i-- {
			s.Side = append(s.Side, Annulus{f("length", 0.02, 0.2), f("gap bottom", 0.004, 0.03), f("gap top", 0.004, 0.03), f("outer", 0, 20)})
		}
		air := Air{Temperature: f("air", 263, 318), Pressure: gas.ISAPressure(f("altitude", 0, 5000))}
		wood, _ := fuel.Lookup(rapid.SampledFrom(fuel.Keys()).Draw(r, "fuel"))
		moisture, err := fuel.WetBasis(f("moisture", 0, 0.3))
		if err != nil {
			r.Fatal(err)
		}
		m, err := New(s, air, wood, moisture)
		if err != nil {
			r.Fatal(err)
		}
		c, power := Defaults(), f("power", 500, 25000)
		p, err := m.Solve(c, power, f("pot temperature", air.Temperature+1, 390))
		var choked *ChokedError
		if errors.As(err, &choked) {
			return
		}
		if err != nil {
			r.Fatal(err)
		}
		if math.Abs(p.Closure) > 1e-9 || math.Abs(p.Residual) > 1e-6*p.Draft || p.AirRatio < 1-1e-9 {
			r.Fatalf("closure %g, residual %g Pa of %g, air ratio %g", p.Closure, p.Residual, p.Draft, p.AirRatio)
		}
		for k := 1.0; k < 8; k += 0.25 {
			flow := p.FuelRate * m.burn.FlueMass(k)
			w := m.march(&c, flow, power, p.PotT, WallLink{}, nil)
			if surplus := w.draft - w.lost(); surplus*(p.Flow-flow) < -1e-9 {
				r.Fatalf("at an air ratio of %g, %g times that of the solution, draft less losses is %g Pa", k, k/p.AirRatio, surplus)
			}
		}
	})
}

// Half the cells change the heats by less than the model can know.
func TestCellsAreEnough(t *testing.T) {
	m := lined(t, nil)
	p := mustSolve(t, m, 4000)
	fine := *m
	fine.cells = nil
	for _, c := range m.cells { // each cell again as two
		for k := 0.0; k < 2; k++ {
			d := c
			d.from, d.to = c.from+k*(c.to-c.from)/2, c.from+(k+1)*(c.to-c.from)/2
			d.potArea, d.outerArea, d.rise = c.potArea/2, c.outerArea/2, c.rise/2
			fine.cells = append(fine.cells, d)
		}
	}
	q := mustSolve(t, &fine, 4000)
	if math.Abs(q.Heat.Pot()/p.Heat.Pot()-1) > 0.004 || math.Abs(q.Flow/p.Flow-1) > 0.002 {
		t.Errorf("twice the cells change heat from %g to %g W, flow from %g to %g kg/s", p.Heat.Pot(), q.Heat.Pot(), p.Flow, q.Flow)
	}
}

func TestSolveAllocatesNothing(t *testing.T) {
	m, c := lined(t, nil), Defaults()
	if n := testing.AllocsPerRun(20, func() {
		if _, err := m.SolveAgainst(&c, 4000, 380, WallLink{}, 0); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("a steady point allocates %g times", n)
	}
}

func TestBadInput(t *testing.T) {
	good := lined(t, nil)
	for name, change := range map[string]func(*Stove){
		"no bottom":      func(s *Stove) { s.Bottom = nil },
		"gap closed":     func(s *Stove) { s.Bottom[0].Gap = 0 },
		"radii backward": func(s *Stove) { s.Bottom[1].Radius = s.Bottom[0].Radius / 2 },
		"no chamber":     func(s *Stove) { s.Chamber.Area = 0 },
		"not a number":   func(s *Stove) { s.Feed = math.NaN() },
		"perimeter":      func(s *Stove) { s.Chamber.Perimeter = 0.1 },
		"no wall":        func(s *Stove) { s.Wall.Layers = nil },
	} {
		s := good.Stove()
		s.Bottom = append([]Station(nil), s.Bottom...)
		change(&s)
		f, w := good.Fuel()
		if _, err := New(s, good.Air(), f, w); err == nil {
			t.Errorf("%s: accepted", name)
		} else if _, ok := message.Complaints(err); !ok {
			t.Errorf("%s: %v is no complaint about a field", name, err)
		}
	}
	if _, err := good.Solve(Defaults(), 0, 380); err == nil {
		t.Error("no power: accepted")
	}
}

// The table carries every coefficient, inside its range, with a name to show.
func TestCoefficientTable(t *testing.T) {
	if len(Table()) != int(coefficientCount) {
		t.Fatalf("%d rows for %d coefficients", len(Table()), coefficientCount)
	}
	if Blockage.String() != "blockage" || Ramp.String() != "ramp" || BedHot.String() != "bed-hot" || SideScale.String() != "side-scale" {
		t.Error("the rows are out of order")
	}
	for _, r := range Table() {
		if !(r.Low <= r.Value && r.Value <= r.High) || r.Standing == "" || !message.English().Has("fire.coefficient."+r.Key) {
			t.Errorf("%s: value outside its range, or no standing, or no name", r.Key)
		}
	}
	data, err := json.Marshal(Defaults())
	if err != nil {
		t.Fatal(err)
	}
	var back Coefficients
	if err := json.Unmarshal(data, &back); err != nil || back != Defaults() {
		t.Errorf("the coefficients do not survive JSON: %v", err)
	}
	if json.Unmarshal([]byte(`{"loss-elbo": 1}`), &back) == nil {
		t.Error("an unknown coefficient was accepted")
	}
}

func task() Task {
	return Task{Water: 5, Start: 298.15, Power: 4000, Hold: 2700, Below: 3}
}

// Halving the step changes the time to boil by less than 1 %.
func TestBoilStep(t *testing.T) {
	m := lined(t, nil)
	coarse, err := m.Boil(Defaults(), task(), DefaultStep)
	if err != nil {
		t.Fatal(err)
	}
	fine, err := m.Boil(Defaults(), task(), DefaultStep/2)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]Phase{{coarse.Cold, fine.Cold}, {coarse.Hot, fine.Hot}} {
		if a, b := pair[0].Duration(), pair[1].Duration(); math.Abs(a/b-1) > 0.01 {
			t.Errorf("%s: %g s with the step, %g s with half of it", pair[0].Name, a, b)
		}
	}
	if a, b := coarse.Simmer.WoodUsed(), fine.Simmer.WoodUsed(); math.Abs(a/b-1) > 0.02 {
		t.Errorf("simmer: %g kg with the step, %g kg with half of it", a, b)
	}
}

// The run accounts for every joule and gram, and its order is that of any stove:
// the hot start is faster, the simmer stays in its band.
func TestBoilRunIsSound(t *testing.T) {
	m := lined(t, nil)
	run, err := m.Boil(Defaults(), task(), 0)
	if err != nil {
		t.Fatal(err)
	}
	if run.Hot.Duration() >= run.Cold.Duration() || run.Hot.WoodUsed() >= run.Cold.WoodUsed() {
		t.Errorf("the hot start is no faster: %g and %g s", run.Hot.Duration(), run.Cold.Duration())
	}
	for _, p := range []Phase{run.Cold, run.Hot, run.Simmer} {
		released := p.WoodUsed()*m.lhv - p.Readings.CharAfter*fuel.CharLHV
		if p.Name == "simmer" { // char from the boil burns on
			released += run.Hot.Readings.CharAfter * fuel.CharLHV
		}
		if total := p.Mean.Total() * p.Duration(); math.Abs(total/released-1) > 0.01 {
			t.Errorf("%s: the balance holds %g J, the wood gave %g J", p.Name, total, released)
		}
		if math.Abs(p.WallIn-p.Mean.Wall*p.Duration()) > 1e-3*math.Abs(p.WallIn)+1 {
			t.Errorf("%s: gas lost %g J to the wall, the wall took %g J", p.Name, p.Mean.Wall*p.Duration(), p.WallIn)
		}
		if e := m.TestEfficiency(p); !(e > 0.1 && e < 0.7) {
			t.Errorf("%s: efficiency %g", p.Name, e)
		}
	}
	for _, s := range run.Simmer.Samples[80:] {
		if math.Abs(s.Water-(run.BoilingPoint-3)) > 1.5 {
			t.Errorf("the simmer strays to %.2f K under the boil at %g s", run.BoilingPoint-s.Water, s.Time)
			break
		}
	}
}

func TestSticksFeedTheSameWood(t *testing.T) {
	m := lined(t, nil)
	even, _, err := m.Cook(Defaults(), task(), 0)
	if err != nil {
		t.Fatal(err)
	}
	sticks := task()
	sticks.Sticks = Sticks{Burning: 3, Mass: 0.12}
	fed, _, err := m.Cook(Defaults(), sticks, 0)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(fed.WoodUsed()/even.WoodUsed()-1) > 0.03 || fed.Sticks != int(math.Ceil(fed.WoodUsed()/0.12)) {
		t.Errorf("by sticks %g kg (%d of them), evenly %g kg", fed.WoodUsed(), fed.Sticks, even.WoodUsed())
	}
}

func TestLidSavesSteam(t *testing.T) {
	open, covered := lined(t, nil), lined(t, func(s *Stove) { s.Pot.Lid = true })
	a, _, err := open.Cook(Defaults(), task(), 0)
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := covered.Cook(Defaults(), task(), 0)
	if err != nil {
		t.Fatal(err)
	}
	if b.Evaporated() > 0.5*a.Evaporated() || b.Duration() >= a.Duration() {
		t.Errorf("lid: %g kg steam in %g s; open: %g kg in %g s", b.Evaporated(), b.Duration(), a.Evaporated(), a.Duration())
	}
}

// Bands do not depend on the number of processors, hold the solution between
// their ends, and settle as draws are added. Common draws tell 2 mm apart that
// separate bands would not.
func TestBands(t *testing.T) {
	m, wide := lined(t, nil), lined(t, func(s *Stove) { s.Side[0].GapBottom, s.Side[0].GapTop = 0.014, 0.014 })
	d, err := m.NewDraws(Defaults(), 512, 7)
	if err != nil {
		t.Fatal(err)
	}
	b, err := m.Bands(d, 4000, 380)
	if err != nil {
		t.Fatal(err)
	}
	old := runtime.GOMAXPROCS(1)
	again, err := m.Bands(d, 4000, 380)
	runtime.GOMAXPROCS(old)
	if err != nil || again != b {
		t.Error("the bands depend on the number of processors")
	}
	p := mustSolve(t, m, 4000)
	if e := p.Efficiency(); !(e > b.Efficiency.Low && e < b.Efficiency.High) || b.Efficiency.Drift > 0.01 {
		t.Errorf("efficiency %g, band %+v", e, b.Efficiency)
	}
	change, _, err := m.Difference(wide, d, 4000, 380)
	if err != nil {
		t.Fatal(err)
	}
	if change.High >= 0 || change.High-change.Low > (b.Efficiency.High-b.Efficiency.Low)/2 {
		t.Errorf("2 mm wider: %+v, while the band itself is %+v", change, b.Efficiency)
	}
}

// Every sentence of a point can be said.
func TestCautionsCanBeSaid(t *testing.T) {
	m := lined(t, nil)
	for _, power := range []float64{1500, 4000, 7000} {
		p, err := m.Solve(Defaults(), power, 380)
		if err != nil {
			continue
		}
		for _, text := range p.Cautions() {
			if words := message.English().Say(text); strings.ContainsAny(words, "«{") {
				t.Errorf("%g W: %s", power, words)
			}
		}
	}
	for _, r := range []string{"bed", "throat", "centre", "bottom", "side", "exit"} {
		if !message.English().Has("fire.station." + r) {
			t.Errorf("station %s has no name", r)
		}
	}
	for l := Loss(0); l < lossCount; l++ {
		if !message.English().Has("fire.place." + l.String()) {
			t.Errorf("place %v has no name", l)
		}
	}
}

func BenchmarkSteady(b *testing.B) {
	m, c := lined(b, nil), Defaults()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.SolveAgainst(&c, 4000, 380, WallLink{}, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBoil(b *testing.B) {
	m, c := lined(b, nil), Defaults()
	for b.Loop() {
		if _, err := m.Boil(c, task(), 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBands1000(b *testing.B) {
	m := lined(b, nil)
	d, err := m.NewDraws(Defaults(), 1000, 1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := m.Bands(d, 4000, 380); err != nil {
			b.Fatal(err)
		}
	}
}

func TestSays(t *testing.T) {
	for name, change := range map[string]func(*Stove){"skirt": nil, "bare": func(s *Stove) { s.Side = nil },
		"tight": func(s *Stove) { s.Side[0].GapBottom, s.Side[0].GapTop = 0.0065, 0.0065 }} {
		m := lined(t, change)
		list, err := m.Says(Defaults(), mustSolve(t, m, 3000))
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range list {
			if words := message.English().Say(text); strings.ContainsAny(words, "«{") {
				t.Errorf("%s: %s", name, words)
			}
		}
	}
}

// body is the section of the lined stove, without its fuel opening.
func body(m *Model) heat.Plan {
	s := m.Stove()
	inner := s.Chamber.Perimeter / (2 * math.Pi)
	plan := heat.Plan{Cell: 0.01, Side: EdgeAir, Top: EdgeAir, Bottom: EdgeGround, Parts: []heat.Part{{R1: inner, Z1: s.Chamber.Height, Edge: EdgeChamber}}}
	r := inner
	for i := range s.Wall.Layers {
		l := &s.Wall.Layers[i]
		plan.Parts = append(plan.Parts, heat.Part{R0: r, R1: r + l.Thickness, Z1: s.Chamber.Height, Solid: &l.Solid})
		r += l.Thickness
	}
	return plan
}

// A section that is the same at every height, insulated at its ends, must agree
// with the wall of the boil run.
func TestSoakAgreesWithTheWall(t *testing.T) {
	m := lined(t, nil)
	run, err := m.Boil(Defaults(), task(), 0)
	if err != nil {
		t.Fatal(err)
	}
	plan := body(m)
	plan.Top, plan.Bottom, plan.Cell = heat.Insulated, heat.Insulated, 0.005
	soak, err := m.Soak(Defaults(), run, []Sector{{1, plan}}, 30)
	if err != nil {
		t.Fatal(err)
	}
	taken := run.Cold.WallIn + run.Hot.WallIn + run.Simmer.WallIn
	if got := soak.Stored + soak.Lost; math.Abs(got/taken-1) > 0.02 {
		t.Errorf("the section took %.0f J, the wall %.0f J", got, taken)
	}
	if skin := math.Max(run.Hot.Skin, run.Simmer.Skin); math.Abs(soak.Hottest-skin) > 2 {
		t.Errorf("hottest skin %.1f K in the section, %.1f K in the wall", soak.Hottest, skin)
	}
}

func TestSkinCautions(t *testing.T) {
	if len(SkinCautions(315, "bare metal")) != 0 {
		t.Error("a skin of 42 °C burns nobody within a minute")
	}
	for _, surface := range heat.Surfaces() {
		list := SkinCautions(420, surface)
		if len(list) != 1 {
			t.Errorf("%s at 147 °C: no caution", surface)
			continue
		}
		if words := message.English().Say(list[0]); strings.ContainsAny(words, "«{") {
			t.Error(words)
		}
	}
}
