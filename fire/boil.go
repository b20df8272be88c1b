package fire

import (
	"math"

	"stovewright/fuel"
	"stovewright/gas"
	"stovewright/heat"
	"stovewright/message"
)

// Task is what is to be cooked: water or food that is mostly water, brought to
// the boil and kept there.
type Task struct {
	Water  float64 // kg in the pot
	Start  float64 // K, of water and pot
	Power  float64 // W, firepower on the way to the boil
	Hold   float64 // s, kept hot after the boil; a published boiling test simmers 2700 s
	Below  float64 // K under the boiling point at which it is kept; 3 in the published test
	Least  float64 // W, lowest firepower the cook can keep alight; 0 for 500 W
	Vapour float64 // Pa, vapour pressure of the room; 0 for 1500 Pa
	Sticks Sticks
}

// Sticks is how the wood is fed: so many at a time, each replaced when it is
// burnt, the new one slow to catch. The zero value feeds evenly.
type Sticks struct {
	Burning int     // at a time
	Mass    float64 // kg each, wet
}

const (
	defaultLeast  = 500.0  // W, common practice
	defaultVapour = 1500.0 // Pa, a room at 25 °C and half humid
	catchTime     = 60.0   // s, a new stick's time to catch; common practice
	longestBoil   = 4 * 3600.0
	simmerPull    = 300.0 // s, over which the cook corrects the temperature
)

// Readings are those of a measured boiling test, so that the arithmetic of one
// serves the other: what a scale, a thermometer and a clock would show.
type Readings struct {
	WoodBefore, WoodAfter   float64 // kg, wet, of the bundle
	CharAfter               float64 // kg
	PotBefore, PotAfter     float64 // kg, pot with water
	WaterBefore, WaterAfter float64 // K
	Began, Ended            float64 // s
}

// Phase is one part of a boiling test.
type Phase struct {
	Name     string // cold, hot or simmer
	Readings Readings
	Mean     Balance // W, over the phase
	WallIn   float64 // J, taken by the wall
	Skin     float64 // K, hottest skin of the body
	Skirt    float64 // K, hottest skirt
	Least    float64 // lowest air ratio
	Slow     float64 // highest Gr/Re where the side begins
	Sticks   int     // put on
	Samples  []Sample
}

// Sample is one moment of a phase.
type Sample struct {
	Time     float64 // s since the phase began
	Water    float64 // K
	Power    float64 // W, set free by wood and char
	AirRatio float64
	Gas      float64 // K, mean in the chamber, that its wall sees
	ThroatT  float64 // K
	EdgeT    float64 // K, at the pot's edge
	ToPot    float64 // W
	ToWall   float64 // W
	Wall     float64 // K, inner face of the chamber
	Skin     float64 // K, outer face of the body
	Steam    float64 // kg evaporated so far
	Wood     float64 // kg put on so far, wet
}

// Duration is how long the phase took, s.
func (p Phase) Duration() float64 { return p.Readings.Ended - p.Readings.Began }

// WoodUsed is the wood burnt, kg wet.
func (p Phase) WoodUsed() float64 { return p.Readings.WoodBefore - p.Readings.WoodAfter }

// Evaporated is the water boiled away, kg.
func (p Phase) Evaporated() float64 { return p.Readings.PotBefore - p.Readings.PotAfter }

// BoilRun is a boiling test computed in time.
type BoilRun struct {
	Cold, Hot, Simmer Phase
	BoilingPoint      float64 // K
	Step              float64 // s
}

// NeverBoilsError says that the water does not come to the boil.
type NeverBoilsError struct {
	Phase string
	Water float64 // K, reached
}

// Error tells it in one line.
func (e *NeverBoilsError) Error() string {
	return "fire: the water does not boil (" + e.Phase + " start)"
}

// DefaultStep is the time step of a boil run in s; halving it changes the time
// to boil by less than 1 %.
const DefaultStep = 15.0

// wallCells is how many cells each layer of the wall gets in a boil run.
const wallCells = 12

// Boil computes a boiling test: cold start, then hot start with fresh water on
// the warm stove, then simmering. Step is the time step in s, 0 for
// [DefaultStep]. The error is a [message.InputErrors], a [*ChokedError] or a
// [*NeverBoilsError].
func (m *Model) Boil(c Coefficients, t Task, step float64) (BoilRun, error) {
	if err := t.validate(m); err != nil {
		return BoilRun{}, err
	}
	if step <= 0 {
		step = DefaultStep
	}
	b, err := newBoiler(m, c, t, step)
	if err != nil {
		return BoilRun{}, err
	}
	run := BoilRun{BoilingPoint: b.boiling, Step: step}
	if run.Cold, err = b.heatUp("cold"); err != nil {
		return run, err
	}
	b.renew()
	if run.Hot, err = b.heatUp("hot"); err != nil {
		return run, err
	}
	if t.Hold > 0 {
		run.Simmer, err = b.simmer()
	}
	return run, err
}

// Cook computes a meal: one start, cold or with the stove still warm from the
// last meal, then the hold. Both phases are returned; the second is zero where
// nothing is held.
func (m *Model) Cook(c Coefficients, t Task, step float64) (up, hold Phase, err error) {
	if err = t.validate(m); err != nil {
		return up, hold, err
	}
	if step <= 0 {
		step = DefaultStep
	}
	b, err := newBoiler(m, c, t, step)
	if err != nil {
		return up, hold, err
	}
	if up, err = b.heatUp("cold"); err != nil || t.Hold <= 0 {
		return up, hold, err
	}
	hold, err = b.simmer()
	return up, hold, err
}

func (t Task) validate(m *Model) error {
	var v complaints
	v.within("task.water", t.Water, 0.1, 500)
	v.within("task.start", t.Start, 273.15, m.air.BoilingPoint()-1)
	v.within("task.power", t.Power, leastPower, mostPower)
	v.within("task.hold", t.Hold, 0, 24*3600)
	v.within("task.below", t.Below, 0, 60)
	if len(m.stove.Wall.Layers) == 0 {
		v.add("wall.layers", 0, 1, 20)
	}
	return v.list.OrNil()
}

// boiler is a boiling test under way.
type boiler struct {
	m       *Model
	c       Coefficients
	task    Task
	step    float64
	wall    *heat.Wall
	boiling float64
	latent  float64

	time, water, mass float64 // s, K, kg of water
	char, wood        float64 // kg
	flow, toPot       float64 // of the last step
	skin              float64 // K
	power             float64 // W, that the cook feeds for
	lidArea           float64 // m²
	sideArea          float64 // m², of the pot above its skirt
	heated            float64 // m², of the pot that the gas touches
	phase             *Phase
}

func newBoiler(m *Model, c Coefficients, t Task, step float64) (*boiler, error) {
	if t.Least == 0 {
		t.Least = defaultLeast
	}
	if t.Vapour == 0 {
		t.Vapour = defaultVapour
	}
	layers := append([]heat.Layer(nil), m.stove.Wall.Layers...)
	for i := range layers {
		if layers[i].Cells == 0 {
			layers[i].Cells = wallCells
		}
	}
	wall, err := heat.NewCylinder(m.stove.Chamber.Perimeter/(2*math.Pi), m.stove.Chamber.Height, layers, m.air.Temperature)
	if err != nil {
		return nil, err
	}
	b := &boiler{m: m, c: c, task: t, step: step, wall: wall, boiling: m.air.BoilingPoint(), water: t.Start, mass: t.Water,
		skin: m.air.Temperature, power: t.Power, lidArea: math.Pi * m.stove.Pot.Diameter * m.stove.Pot.Diameter / 4}
	b.latent = gas.LatentHeat(b.boiling)
	covered := 0.0
	for _, a := range m.stove.Side {
		covered += a.Length
	}
	b.sideArea = math.Pi * m.stove.Pot.Diameter * math.Max(m.stove.Pot.Height-covered, 0)
	b.heated = m.stove.Chamber.Area
	for i := range m.cells {
		b.heated += m.cells[i].potArea
	}
	return b, nil
}

// renew takes the hot pot off and puts a cold one with fresh water on; char is
// scraped out, the stove stays warm.
func (b *boiler) renew() {
	b.water, b.mass, b.char, b.power = b.task.Start, b.task.Water, 0, b.task.Power
}

func (b *boiler) begin(name string) *Phase {
	pot := b.m.stove.Pot.Mass
	b.wood = 0
	p := &Phase{Name: name, Least: math.Inf(1), Readings: Readings{PotBefore: pot + b.mass, WaterBefore: b.water, Began: b.time}}
	b.phase = p
	return p
}

func (b *boiler) end(p *Phase) Phase {
	duration := b.time - p.Readings.Began
	for _, x := range p.Mean.fields() {
		*x /= duration
	}
	r := &p.Readings
	r.WoodBefore, r.WoodAfter = b.wood, 0
	r.CharAfter, r.PotAfter, r.WaterAfter, r.Ended = b.char, b.m.stove.Pot.Mass+b.mass, b.water, b.time
	if s := b.task.Sticks; s.Mass > 0 {
		p.Sticks = int(math.Ceil(b.wood / s.Mass))
		r.WoodBefore = float64(p.Sticks) * s.Mass // the bundle
		r.WoodAfter = r.WoodBefore - b.wood
	}
	return *p
}

// heatUp brings the water to the boil at full firepower.
func (b *boiler) heatUp(name string) (Phase, error) {
	p := b.begin(name)
	b.wall.Restart()
	for b.water < b.boiling {
		elapsed := b.time - p.Readings.Began
		if elapsed > longestBoil {
			return b.end(p), &NeverBoilsError{name, b.water}
		}
		ramp := 1.0
		if r := b.c[Ramp]; name == "cold" && r > 0 {
			ramp = math.Min(1, math.Max(0.1, (elapsed+b.step/2)/r))
		}
		if err := b.advance(b.step, b.task.Power*ramp*b.flicker(elapsed), true); err != nil {
			return b.end(p), err
		}
	}
	return b.end(p), nil
}

// simmer keeps the water at its band by the firepower.
func (b *boiler) simmer() (Phase, error) {
	p := b.begin("simmer")
	set := b.boiling - b.task.Below
	b.power = b.task.Power / 3
	for left := b.task.Hold; left > 1e-9; left -= b.step {
		dt := math.Min(b.step, left)
		elapsed := b.time - p.Readings.Began
		if err := b.advance(dt, b.power*b.flicker(elapsed), false); err != nil {
			return b.end(p), err
		}
		needed := b.losses() + b.capacity()*(set-b.water)/simmerPull
		want := b.power * math.Max(needed, 0) / math.Max(b.toPot, 1)
		// a cook turns the fire by steps, not all at once
		b.power = math.Min(math.Max(0.7*b.power+0.3*want, b.task.Least), b.task.Power)
	}
	return b.end(p), nil
}

// flicker is what feeding by sticks does to the firepower: each new stick burns
// up over its time to catch. It is one in the mean.
func (b *boiler) flicker(elapsed float64) float64 {
	s := b.task.Sticks
	if s.Burning < 1 || s.Mass <= 0 {
		return 1
	}
	n := float64(s.Burning)
	between := s.Mass * b.m.lhv / b.power // s from one stick to the next
	catch := math.Min(catchTime, between)
	since := math.Mod(elapsed, between)
	dip := math.Max(0, 1-since/catch) / n
	return (1 - dip) / (1 - catch/(2*between)/n)
}

// capacity is the heat capacity of water and pot, J/K.
func (b *boiler) capacity() float64 {
	return b.mass*gas.WaterHeat + b.m.stove.Pot.Mass*b.m.stove.Pot.Heat
}

// steamRate is the evaporation below boiling, kg/s.
func (b *boiler) steamRate() float64 {
	air := b.m.air
	rate := heat.Evaporation(b.c[SurfaceFilm], math.Min(b.water, b.boiling), air.Temperature, b.task.Vapour, air.Pressure) * b.lidArea
	if b.m.stove.Pot.Lid {
		rate *= b.c[LidLeak]
	}
	return math.Max(rate, 0)
}

// losses is the heat the pot gives to the room, evaporation included, W.
func (b *boiler) losses() float64 {
	return b.c[PotLoss]*(b.lidArea+b.sideArea)*(b.water-b.m.air.Temperature) + b.steamRate()*b.latent
}

// advance takes one time step. Feed is the firepower the cook feeds for, W;
// stopAtBoil ends the step when the water boils.
func (b *boiler) advance(dt, feed float64, stopAtBoil bool) error {
	m := b.m
	rate := feed / m.lhv
	dry := rate * (1 - m.moisture.Wet())
	char, charBurnt := b.burnChar(dry*b.c[CharYield], dt)
	power := math.Max(feed+(charBurnt-dry*b.c[CharYield])*fuel.CharLHV, 0.05*feed)

	ta := m.air.Temperature
	ho := heat.OuterVertical(b.skin, ta, math.Max(m.stove.Wall.BodyHeight, m.stove.Chamber.Height), m.stove.Wall.Emissivity, m.air.Pressure)
	outer := heat.Edge{H: ho, T: ta}
	conductance, effective := b.wall.Respond(dt, b.c[WallFilm], outer)
	pot := b.water + b.toPot*b.c[WaterFilm]/b.heated
	p, err := m.SolveAgainst(&b.c, power, pot, WallLink{conductance, effective}, b.flow)
	if err != nil {
		return err
	}
	b.toPot, b.flow = p.Heat.Pot(), p.Flow

	net := b.toPot - b.losses()
	steam := b.steamRate()
	rise := net * dt / b.capacity()
	part := 1.0
	if b.water+rise > b.boiling && rise > 0 {
		part = (b.boiling - b.water) / rise
	}
	if !stopAtBoil && part < 1 {
		// what is left of the step boils water away
		steam += (1 - part) * net / b.latent
		rise *= part
		part = 1
	}
	flow := b.wall.Commit(p.wallGas)
	b.skin = b.wall.OuterSurface(outer)
	b.time += part * dt
	b.water += part * rise
	b.mass -= part * dt * steam
	b.wood += part * dt * rate
	b.char += part * (char - b.char)
	b.note(p, power, part*dt, flow, heat.Edge{H: b.c[WallFilm], T: p.wallGas})
	return nil
}

// burnChar follows the char bed over a step with char formed at a rate in kg/s:
// the bed at its end in kg and its mean burning rate in kg/s, exact for constant
// formation.
func (b *boiler) burnChar(formed, dt float64) (char, burnt float64) {
	tau := b.c[CharTime]
	if tau <= 0 {
		return 0, formed
	}
	char = formed*tau + (b.char-formed*tau)*math.Exp(-dt/tau)
	return char, formed - (char-b.char)/dt
}

func (b *boiler) note(p Point, power, dt float64, flow heat.Flow, inner heat.Edge) {
	ph := b.phase
	h := p.Heat
	for i, x := range ph.Mean.fields() {
		*x += dt * *h.fields()[i]
	}
	ph.WallIn += dt * flow.In
	ph.Skin, ph.Skirt, ph.Least = math.Max(ph.Skin, b.skin), math.Max(ph.Skirt, p.SkirtT), math.Min(ph.Least, p.AirRatio)
	ph.Slow = math.Max(ph.Slow, p.Buoyancy)
	ph.Samples = append(ph.Samples, Sample{Time: b.time - ph.Readings.Began, Water: b.water, Power: power, AirRatio: p.AirRatio, Gas: p.wallGas, ThroatT: p.ThroatT, EdgeT: p.EdgeT, ToPot: b.toPot,
		ToWall: flow.In, Wall: b.wall.InnerSurface(inner), Skin: b.skin, Steam: ph.Readings.PotBefore - b.m.stove.Pot.Mass - b.mass, Wood: b.wood})
}

// fields lists the parts of a balance, to add them up.
func (b *Balance) fields() [10]*float64 {
	return [10]*float64{&b.Bed, &b.Flame, &b.Centre, &b.Ring, &b.Side, &b.SideRadiation, &b.Skirt, &b.Wall, &b.Exhaust, &b.Unburnt}
}

// TestEfficiency is the efficiency of a phase as a boiling test computes it: heat
// in the water, warmed and evaporated, over the heat of the wood less that of the
// char left.
func (m *Model) TestEfficiency(p Phase) float64 {
	r := p.Readings
	water := r.PotBefore - m.stove.Pot.Mass
	useful := water*gas.WaterHeat*(r.WaterAfter-r.WaterBefore) + p.Evaporated()*gas.LatentHeat(m.air.BoilingPoint())
	return useful / (p.WoodUsed()*m.lhv - r.CharAfter*fuel.CharLHV)
}

// Cautions are what a reader of this phase must know.
func (p Phase) Cautions() []message.Text {
	return Point{AirRatio: p.Least, SkirtT: p.Skirt, Buoyancy: p.Slow}.Cautions()
}
