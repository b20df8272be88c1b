package fire

import (
	"errors"
	"fmt"
	"math"

	"stovewright/heat"
	"stovewright/message"
	"stovewright/quantity"
)

// Point is a stove at a steady firepower.
type Point struct {
	Power     float64 // W, of the fuel's lower heating value
	PotT      float64 // K, outer face of the pot
	Flow      float64 // kg/s, of gas
	FuelRate  float64 // kg/s, wet
	AirRatio  float64 // air pulled over air needed
	BedT      float64 // K
	ChamberT  float64 // K, after burning
	ThroatT   float64 // K
	EdgeT     float64 // K, at the pot's edge
	ExitT     float64 // K
	SkirtT    float64 // K, hottest skirt; 0 without one
	Draft     float64 // Pa
	Losses    [lossCount]float64
	Reynolds  float64 // highest along the path
	Buoyancy  float64 // Gr/Re where the side begins, on twice the gap; 0 for a bare pot
	Heat      Balance
	Residual  float64 // Pa, draft less losses, what the solver left
	Closure   float64 // share of the power that the balance misses
	Marches   int     // how often the path was followed to find this
	wallState WallLink
	wallGas   float64
}

// Balance is where the fire's power goes, W.
type Balance struct {
	Bed, Flame, Centre, Ring, Side float64 // into the pot
	SideRadiation                  float64 // part of Side that the skirt radiates
	Skirt, Wall, Exhaust, Unburnt  float64 // lost
}

// Pot is the heat into the pot, W.
func (b Balance) Pot() float64 { return b.Bed + b.Flame + b.Centre + b.Ring + b.Side }

// Total is the sum of everything, W.
func (b Balance) Total() float64 { return b.Pot() + b.Skirt + b.Wall + b.Exhaust + b.Unburnt }

// Efficiency is the heat into the pot over the power.
func (p Point) Efficiency() float64 { return p.Heat.Pot() / p.Power }

// ChokedError says that at this firepower the stove cannot pull the air that the
// fuel needs: there is no natural-draft solution.
type ChokedError struct {
	Power float64 // W, asked for
	Place Loss    // where most of the draft is spent
	Share float64 // of the losses there
	Draft float64 // Pa, with just enough air
	Loss  float64 // Pa, that just enough air would cost
}

// Error tells it in one line.
func (e *ChokedError) Error() string {
	return fmt.Sprintf("fire: no natural-draft solution at %.0f W: air enough would cost %.2f Pa against a draft of %.2f Pa, %.0f %% of it at the %v",
		e.Power, e.Loss, e.Draft, 100*e.Share, e.Place)
}

// Text is the same for the user.
func (e *ChokedError) Text() message.Text {
	return message.T("fire.choked", "power", quantity.KW(e.Power), "place", message.T("fire.place."+e.Place.String()), "share", quantity.Pct(e.Share))
}

// errSolve says that the march met impossible numbers: coefficients out of all
// bounds.
var errSolve = errors.New("fire: the gas path could not be solved with these coefficients")

// flowTolerance is how closely the gas flow is found, as a share of it.
const flowTolerance = 1e-9

// closureLimit is the share of the power that the balance of a solution may miss.
const closureLimit = 1e-6

// Solve finds the steady state at a firepower in W with the pot's outer face at
// a temperature in K and the walls warmed through. The error is a [*ChokedError]
// where the stove cannot pull the air, or a [message.InputErrors].
func (m *Model) Solve(c Coefficients, power, pot float64) (Point, error) {
	var v complaints
	v.within("power", power, leastPower, mostPower)
	v.within("pot.temperature", pot, 250, 700)
	if err := v.list.OrNil(); err != nil {
		return Point{}, err
	}
	return m.SolveAgainst(&c, power, pot, WallLink{}, 0)
}

// SolveAgainst is [Model.Solve] without checks of its input, against a wall in
// any state and from a guess of the flow in kg/s, 0 for none. It allocates
// nothing unless it fails.
func (m *Model) SolveAgainst(c *Coefficients, power, pot float64, link WallLink, guess float64) (Point, error) {
	fuelRate := power / m.lhv
	least := fuelRate * m.burn.FlueMass(1)
	flow := guess
	if !(flow > least) {
		flow = fuelRate * m.burn.FlueMass(2.5)
	}
	s, marches, err := m.balance(c, power, pot, link, least, flow)
	if err != nil {
		return Point{}, err
	}
	p := point(&s, power, pot)
	p.Marches, p.wallState, p.wallGas = marches, link, s.wallGas
	p.Closure = p.Heat.Total()/power - 1
	if !(math.Abs(p.Closure) < closureLimit) {
		return Point{}, errSolve
	}
	return p, nil
}

// balance finds the flow at which draft balances losses. The logarithm of their
// ratio is nearly a straight line in that of the flow and falls all the way
// above an air ratio of 1, so that secants find its root in a few steps; a
// bracket keeps them honest.
func (m *Model) balance(c *Coefficients, power, pot float64, link WallLink, least, flow float64) (s state, marches int, err error) {
	low, high := math.Log(least), math.Inf(1)
	x, lastX, lastY := math.Log(flow), math.NaN(), math.NaN()
	lowTried := false
	for marches = 1; marches <= 60; marches++ {
		s = m.march(c, math.Exp(x), power, pot, link, nil)
		y := math.Log(s.draft / s.lost())
		switch {
		case math.IsNaN(y) && s.draft > 0, math.IsInf(y, 0):
			return s, marches, errSolve
		case math.IsNaN(y): // no draft at all: less air, hotter gas
			y = -20
		}
		if x <= low && y < 0 {
			return s, marches, choked(&s, power)
		}
		if y >= 0 {
			low, lowTried = x, true
		} else {
			high = x
		}
		slope := (y - lastY) / (x - lastX)
		if !(slope < -0.5) { // the first step, or a secant that tells nothing
			slope = -2.5
		}
		next := x - y/slope
		switch {
		case math.Abs(next-x) < flowTolerance:
			return s, marches, nil
		case next <= low && !lowTried:
			next = low
		case next <= low || next >= high:
			next = (low + high) / 2
		}
		lastX, lastY, x = x, y, next
	}
	return s, marches, errSolve
}

func choked(s *state, power float64) error {
	e := &ChokedError{Power: power, Draft: s.draft, Loss: s.lost()}
	for l, p := range s.loss {
		if p > s.loss[e.Place] {
			e.Place = Loss(l)
		}
	}
	e.Share = s.loss[e.Place] / e.Loss
	return e
}

func point(s *state, power, pot float64) Point {
	return Point{Power: power, PotT: pot, Flow: s.flow, FuelRate: s.fuel, AirRatio: s.lambda, BedT: s.bedT, ChamberT: s.t2, ThroatT: s.t3, EdgeT: s.t4,
		ExitT: s.tExit, SkirtT: s.skirtHottest, Draft: s.draft, Losses: s.loss, Reynolds: s.reynoldsHighest, Buoyancy: s.buoyancy, Residual: s.draft - s.lost(),
		Heat: Balance{Bed: s.bed, Flame: s.flame, Centre: s.centre, Ring: s.ring, Side: s.side, SideRadiation: s.sideRadiation,
			Skirt: s.skirtLoss, Wall: s.wallLoss, Exhaust: s.exhaust, Unburnt: power - s.released}}
}

// Rings follows the gas of a solved point again and tells what it finds at each
// place, from the fuel bed to the exit.
func (m *Model) Rings(c Coefficients, p Point) []Ring {
	list := make([]Ring, 0, len(m.cells)+4)
	m.march(&c, p.Flow, p.Power, p.PotT, p.wallState, &list)
	return list
}

// MostPower is the firepower in W at which the air ratio has fallen to a given
// one of at least 1, with the pot's outer face at a temperature in K: the most
// that this stove can burn with so much air. The error is as for [Model.Solve].
func (m *Model) MostPower(c Coefficients, airRatio, pot float64) (float64, error) {
	if !(airRatio >= 1 && airRatio <= 20) {
		var v complaints
		v.within("air-ratio", airRatio, 1, 20)
		return 0, v.list
	}
	perWatt := m.burn.FlueMass(airRatio) / m.lhv
	low, high := math.Log(1), math.Log(1e6)
	// at a given air ratio gas temperatures hardly change, losses grow with the
	// square of the power, and there is one root
	for i := 0; i < 60; i++ {
		x := (low + high) / 2
		power := math.Exp(x)
		s := m.march(&c, power*perWatt, power, pot, WallLink{}, nil)
		if s.draft > s.lost() {
			low = x
		} else {
			high = x
		}
	}
	return math.Exp((low + high) / 2), nil
}

// Air ratios at which the tool speaks up (common practice).
const (
	SmokeLimit = 1.3 // below: short of oxygen, the fire smokes
	AirCaution = 1.8 // below: little to spare
	OverAired  = 5.0 // above: cold gas, wasted heat
)

// laminarLimit is the Reynolds number above which the channel's correlations are
// out of their range (common practice).
const laminarLimit = 2300

// slowLimit is the Gr/Re, on twice the gap, above which gas in a skirt turns back
// along the pot. Theory puts the onset at 288 for developed flow beside one warm
// wall (Aung and Worku, key aung1986); the flow-solver rows settle up to 372.
const slowLimit = 350

// Cautions are what a reader of this point must know.
func (p Point) Cautions() []message.Text {
	var list []message.Text
	ratio := quantity.Value{SI: p.AirRatio, Unit: quantity.One, Step: 0.1}
	switch {
	case p.AirRatio < SmokeLimit:
		list = append(list, message.T("fire.caution.smoke", "ratio", ratio))
	case p.AirRatio < AirCaution:
		list = append(list, message.T("fire.caution.little-air", "ratio", ratio))
	case p.AirRatio > OverAired:
		list = append(list, message.T("fire.caution.over-aired", "ratio", ratio))
	}
	if p.Reynolds > laminarLimit {
		list = append(list, message.T("fire.caution.turbulent"))
	}
	if p.Buoyancy > slowLimit {
		list = append(list, message.T("fire.caution.slow"))
	}
	if limit, ok := heat.BurnThreshold("bare metal", 1); ok && p.SkirtT > limit {
		list = append(list, message.T("fire.caution.skirt", "temperature", quantity.C(p.SkirtT), "limit", quantity.C(limit)))
	}
	return append(list, message.T("fire.caution.model"), message.T("fire.caution.no-smoke-number"))
}
