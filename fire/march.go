package fire

import (
	"math"

	"stovewright/gas"
	"stovewright/heat"
)

// Loss is one of the places where draft is spent.
type Loss int

// The losses, along the path.
const (
	AtFuelOpening Loss = iota // inlet, sticks, grate
	AtElbow                   // bend, chamber friction and the gas's own expansion
	AtThroat                  // turn from the chamber under the pot
	AtBottom                  // friction under the pot
	AtSkirtTurn               // turn from under the pot into the skirt
	AtSkirt                   // friction along the pot's side
	AtExit                    // the jet into the open air
	lossCount
)

// String is the key of a place; its name is the message "fire.place." + key.
func (l Loss) String() string {
	return [lossCount]string{"fuel-opening", "chamber", "throat", "bottom", "skirt-turn", "skirt", "exit"}[l]
}

// state is what one march along the gas path finds.
type state struct {
	flow, fuel, lambda, released  float64
	bedT, t2, t3, t4, t5, tExit   float64
	wallGas                       float64 // gas temperature that the wall sees
	bed, flame, centre            float64 // W to the pot
	ring, side, sideRadiation     float64
	skirtLoss, wallLoss, exhaust  float64
	draft                         float64
	loss                          [lossCount]float64
	skirtHottest, reynoldsHighest float64
	buoyancy                      float64 // Gr/Re where the side begins, on twice the gap
}

func (s *state) lost() float64 {
	sum := 0.0
	for _, l := range s.loss {
		sum += l
	}
	return sum
}

// Ring is the gas at one place of its path.
type Ring struct {
	Place       string  // key; its name is the message "fire.station." + key
	Path        float64 // m, along the path from the fuel bed
	Height      float64 // m, above the fuel bed
	Radius      float64 // m; 0 in the chamber
	Gap         float64 // m; 0 in the chamber
	Area        float64 // m², flow section
	Temperature float64 // K, of the gas
	Velocity    float64 // m/s, mean
	Pressure    float64 // Pa, against the air at the same height
	Reynolds    float64
	Heat        float64 // W, into the pot here
	Outside     float64 // W, lost through wall or skirt here
	Skin        float64 // K, of the skirt; 0 elsewhere
}

// march follows the gas for a given flow in kg/s. Rings, when not nil, gets what
// it finds at each place.
func (m *Model) march(c *Coefficients, flow, power, pot float64, link WallLink, rings *[]Ring) state {
	s := state{flow: flow, fuel: power / m.lhv}
	s.lambda = (flow/s.fuel - 1 + m.burn.Solid) / m.burn.Air()
	excess := math.Max(s.lambda-1, 0)
	g := gas.Blend(&m.stoich, &m.dry, m.burn.FlueMass(1), excess*m.burn.Air())
	s.released = c[Combustion] * power * math.Min(1, s.lambda)
	w := walk{model: m, c: c, s: &s, gas: &g, pot: pot, rings: rings, density: m.air.Pressure * g.M / gas.R,
		cold: g.Enthalpy(m.air.Temperature), scale: c[LossScale]}
	w.chamber(power, link)
	w.underCentre()
	for i := range m.cells {
		w.cell(&m.cells[i])
	}
	w.exit()
	return s
}

// walk carries what one march needs from place to place.
type walk struct {
	model      *Model
	c          *Coefficients
	s          *state
	gas        *gas.Thermo
	pot        float64
	rings      *[]Ring
	density    float64 // density times temperature
	cold       float64 // enthalpy at room temperature
	scale      float64
	h, t       float64 // gas enthalpy and temperature here
	pressure   float64
	path, rise float64
	skirt      float64 // last skirt temperature, the next one's start
	slope      float64 // fall of temperature per area of pot in the last cell, K/m²
	inSide     bool
}

// BedTemperature is that of the fuel bed in K at a firepower in W: it rises from
// bed-cool in proportion to the firepower per chamber area until it is bed-hot.
func (m *Model) BedTemperature(c *Coefficients, power float64) float64 {
	f := math.Min(power/(c[BedLoading]*m.stove.Chamber.Area), 1)
	return c[BedCool] + f*(c[BedHot]-c[BedCool])
}

// chamber takes the gas from the fuel opening to the throat.
func (w *walk) chamber(power float64, link WallLink) {
	m, c, s := w.model, w.c, w.s
	area, height := m.stove.Chamber.Area, m.stove.Chamber.Height
	free := m.stove.Feed * (1 - c[Blockage])
	opening := c[LossInlet]
	if m.stove.Grate {
		opening += c[LossGrate]
	}
	w.lose(AtFuelOpening, w.scale*opening*head(s.flow, free, m.rhoAir))

	s.bedT = m.BedTemperature(c, power)
	bed := c[BedEmissivity] * heat.StefanBoltzmann * area * m.bedView * (fourth(s.bedT) - fourth(w.pot))
	s.bed = math.Max(0, math.Min(bed, c[BedShare]*s.released))
	w.h = w.cold + (s.released-s.bed)/s.flow
	s.t2 = w.gas.Temperature(w.h)
	if link == (WallLink{}) {
		link = m.steadyLink(c[WallFilm], s.t2)
	}
	if m.equations == Published {
		s.wallLoss = link.Conductance * (s.t2 - link.Effective)
	} else { // the gas cools on its way up; the wall sees its mean
		s.wallLoss = heat.ChannelHeat(s.flow*w.gas.Cp(s.t2), link.Conductance, s.t2, link.Effective)
	}
	s.wallGas = link.Effective + s.wallLoss/link.Conductance
	w.h -= s.wallLoss / s.flow
	s.t3 = w.gas.Temperature(w.h)
	w.t = s.t3

	mean := (s.t2 + s.t3) / 2
	rho := w.density / mean
	re := s.flow * 4 / (m.stove.Chamber.Perimeter * gas.SutherlandViscosity(mean))
	f := math.Max(m.round/re, c[FrictionFloor])
	diameter := 4 * area / m.stove.Chamber.Perimeter
	w.lift(rho, height)
	w.lose(AtElbow, (w.scale*c[LossElbow]+f*height/diameter)*head(s.flow, area, rho)+
		s.flow*s.flow/(area*area)*(1/rho-1/m.rhoAir))
	w.path += height
	w.note(re)
	if w.rings != nil {
		w.record(Ring{Place: "bed", Area: area, Temperature: s.t2, Heat: s.bed})
		w.record(Ring{Place: "throat", Area: area, Temperature: s.t3, Reynolds: re, Outside: s.wallLoss})
	}
}

// underCentre is the stagnation flow under the middle of the pot.
func (w *walk) underCentre() {
	m, c, s := w.model, w.c, w.s
	area, gap, middle := m.stove.Chamber.Area, m.stove.Bottom[0].Gap, m.middle
	film, coming := (w.t+w.pot)/2, w.t
	if m.equations == Published {
		coming, middle = (s.t2+s.t3)/2, gap
	}
	u := s.flow / (w.density / coming * area)
	nu := gas.SutherlandViscosity(film) * film / w.density
	h := c[CentreScale] * heat.Sibulkin1952(gas.ClassicConductivity(film), u/(2*middle), nu, gas.AirPrandtl)
	if m.equations == Fitted {
		h *= m.law.centre(middle / m.throat)
	}
	mcp, convection := s.flow*w.gas.Cp(w.t), h*area
	flame := area * heat.RadiationCoefficient(c[FlameEmissivity]*c[PotAbsorptivity], w.t, w.pot)
	if m.equations == Published {
		s.centre = heat.ChannelHeat(mcp, convection, w.t, w.pot)
		s.flame = flame * (w.t - w.pot)
	} else { // both cool the gas on its way, so that they can never take more than it holds
		both := heat.ChannelHeat(mcp, convection+flame, w.t, w.pot)
		s.centre = both * convection / (convection + flame)
		s.flame = both - s.centre
	}
	if m.equations == Fitted {
		re := s.flow / (math.Pi * m.throat * gas.SutherlandViscosity(w.t))
		w.lose(AtThroat, w.scale*c[LossTurn]*m.law.turn(gap, m.throat, m.stove.Pot.Diameter/2, re)*softened(m.plateSlope)*head(s.flow, m.narrow, w.density/w.t))
	}
	w.cool(s.centre + s.flame)
	if w.rings != nil {
		w.record(Ring{Place: "centre", Radius: m.throat, Gap: gap, Area: 2 * math.Pi * m.throat * gap, Temperature: w.t, Heat: s.centre + s.flame})
	}
}

// cell takes the gas through one piece of the channel.
func (w *walk) cell(k *cell) {
	c, s := w.c, w.s
	if k.zone == side && !w.inSide {
		w.enterSide(k)
	}
	// the gas half way through the cell, as far as the last one tells
	middle := math.Max(w.t-w.slope*k.potArea/2, math.Min(w.t, w.pot))
	film := (middle + w.pot) / 2
	mu, conductivity := gas.SutherlandViscosity(film), gas.ClassicConductivity(film)
	re := 2 * k.gap * s.flow / (k.flowArea * mu)
	mcp := s.flow * w.gas.Cp(middle)
	place, nu := AtBottom, c[RingScale]
	if k.zone == side {
		place, nu = AtSkirt, c[SideScale]
	}
	if w.model.equations == Fitted {
		nu *= w.model.law.nusselt(k, re, middle/w.pot)
	} else {
		nu *= developing(k, re)
	}
	h := nu * conductivity / (2 * k.gap)
	toPot, radiated, lost := w.exchange(k, mcp, h)
	rho := w.density / middle
	f := math.Max(heat.PoiseuilleSlot/re, c[FrictionFloor])
	w.lift(rho, k.rise)
	w.lose(place, f*(k.to-k.from)/(2*k.gap)*head(s.flow, k.flowArea, rho))
	if k.zone == ring {
		s.ring += toPot
	} else {
		s.side += toPot + radiated
		s.sideRadiation += radiated
	}
	s.skirtLoss += lost
	before := w.t
	w.cool(toPot + radiated + lost)
	w.slope = (before - w.t) / k.potArea
	w.path += k.to - k.from
	w.note(re)
	if w.rings != nil {
		r := Ring{Place: "bottom", Radius: k.radius, Gap: k.gap, Area: k.flowArea, Temperature: w.t, Reynolds: re, Heat: toPot + radiated, Outside: lost}
		if k.zone == side {
			r.Place, r.Skin = "side", w.skirt
		}
		w.record(r)
	}
	if k.zone == ring {
		s.t4 = w.t
	}
	s.t5 = w.t
}

func (w *walk) enterSide(k *cell) {
	w.inSide, w.slope = true, 0
	film, wide := (w.t+w.pot)/2, 2*k.gap
	nu := gas.SutherlandViscosity(film) * film / w.density
	grashof := heat.Gravity * (w.t - w.pot) / film * wide * wide * wide / (nu * nu)
	w.s.buoyancy = grashof * k.flowArea * gas.SutherlandViscosity(film) / (wide * w.s.flow)
	w.skirt = (w.t + w.model.air.Temperature) / 2
	if w.model.equations == Fitted {
		w.lose(AtSkirtTurn, w.scale*w.c[LossSkirt]*w.model.law.Corner[0]*softened(w.model.edgeSlope)*head(w.s.flow, k.flowArea, w.density/w.t))
	}
}

// exchange is the heat that the gas gives in one cell: to the pot, to the pot by
// way of the skirt's radiation, and through the skirt to the room. The gas decays
// towards what it touches, exactly for a skirt of one temperature.
func (w *walk) exchange(k *cell, mcp, h float64) (toPot, radiated, lost float64) {
	pot := h * k.potArea
	if k.outerArea == 0 {
		return heat.ChannelHeat(mcp, pot, w.t, w.pot), 0, 0
	}
	outer := h * k.outerArea
	both := pot + outer
	mean := w.pot + heat.ChannelHeat(mcp, pot, w.t, w.pot)/pot
	for round := 0; round < 2; round++ { // skirt and gas settle on each other
		w.balanceSkirt(k, h, mean)
		toward := (pot*w.pot + outer*w.skirt) / both
		mean = toward + heat.ChannelHeat(mcp, both, w.t, toward)/both
	}
	lost = k.outerArea * k.outerLoss * (w.skirt - w.model.air.Temperature)
	return pot * (mean - w.pot), outer*(mean-w.skirt) - lost, lost
}

// balanceSkirt finds the skirt's temperature beside gas at t: what the gas gives
// it, it radiates to the pot or loses to the room.
func (w *walk) balanceSkirt(k *cell, h, t float64) {
	es := w.c[SkirtEmissivity] * heat.StefanBoltzmann
	ta, pot4 := w.model.air.Temperature, fourth(w.pot)
	x := w.skirt
	for i := 0; i < 50; i++ {
		x2 := x * x
		value := es*(x2*x2-pot4) + k.outerLoss*(x-ta) - h*(t-x)
		step := value / (4*es*x2*x + k.outerLoss + h)
		x -= step
		if math.Abs(step) < 1e-7 {
			break
		}
	}
	w.skirt = x
	w.s.skirtHottest = math.Max(w.s.skirtHottest, x)
}

func (w *walk) exit() {
	last := &w.model.cells[len(w.model.cells)-1]
	area := last.flowArea
	if last.zone == ring { // a bare pot lets the gas out at its edge
		b := w.model.stove.Bottom[len(w.model.stove.Bottom)-1]
		area = 2 * math.Pi * b.Radius * b.Gap
	}
	leaving := head(w.s.flow, area, w.density/w.t)
	w.lose(AtExit, w.scale*w.c[LossExit]*leaving)
	if w.model.equations == Published { // turns referred to the gas that leaves them
		w.lose(AtThroat, w.scale*w.c[LossTurn]*publishedTurn*head(w.s.flow, w.model.narrow, w.density/w.s.t4))
		if w.inSide {
			w.lose(AtSkirtTurn, w.scale*w.c[LossSkirt]*publishedCorner*leaving)
		}
	}
	w.s.tExit = w.t
	w.s.exhaust = w.s.flow * (w.h - w.cold)
	if w.rings != nil {
		w.record(Ring{Place: "exit", Radius: last.radius, Gap: last.gap, Area: area, Temperature: w.t})
	}
}

// cool takes heat in W out of the gas. One Newton step from the heat capacity
// here and one from where that leads find its temperature to rounding.
func (w *walk) cool(q float64) {
	w.h -= q / w.s.flow
	t := w.t - q/(w.s.flow*w.gas.Cp(w.t))
	for i := 0; i < 3; i++ {
		step := (w.gas.Enthalpy(t) - w.h) / w.gas.Cp(t)
		t -= step
		if math.Abs(step) < 1e-6 {
			break
		}
	}
	w.t = t
}

func (w *walk) lift(rho, rise float64) {
	p := (w.model.rhoAir - rho) * heat.Gravity * rise
	w.s.draft += p
	w.pressure += p
	w.rise += rise
}

func (w *walk) lose(l Loss, p float64) {
	w.s.loss[l] += p
	w.pressure -= p
}

func (w *walk) note(re float64) { w.s.reynoldsHighest = math.Max(w.s.reynoldsHighest, re) }

func (w *walk) record(r Ring) {
	r.Path, r.Height, r.Pressure = w.path, w.rise, w.pressure
	r.Velocity = w.s.flow * r.Temperature / (w.density * r.Area)
	*w.rings = append(*w.rings, r)
}

// head is the dynamic pressure of a flow in kg/s through an area.
func head(flow, area, rho float64) float64 { return flow * flow / (2 * rho * area * area) }

func fourth(t float64) float64 { return t * t * t * t }
