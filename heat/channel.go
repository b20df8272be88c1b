package heat

import "math"

// Laminar friction of fully developed flow, Darcy factor times Reynolds number
// on the hydraulic diameter; exact solutions (key shah1978).
const (
	PoiseuilleRound  = 64.0     // round duct
	PoiseuilleSquare = 56.90833 // square duct
	PoiseuilleSlot   = 96.0     // narrow gap or annulus
)

// NusseltSlotOneSide is the developed Nusselt number on 2 gaps of a slot with
// one wall at constant temperature and the other insulated (exact; key shah1978).
const NusseltSlotOneSide = 4.8608

// Mercer1967 is the mean Nusselt number, on the hydraulic diameter, from the
// entrance to x of laminar flow between parallel plates when velocity and
// temperature both start uniform, one wall is at constant temperature and the
// other insulated (key mercer1967):
//
//	Nu = 4.86 + 0.0606 x*^-1.2 / (1 + 0.0909 x*^-0.7 Pr^0.17),  x* = x/(D Re Pr).
//
// Range: Re < 2000, 0.1 < Pr < 10. It tends to the exact 4.8608 for long
// channels and stays above the solution with developed velocity, as it must.
func Mercer1967(xStar, pr float64) float64 { return mercerIntegral(xStar, pr) / xStar }

// MercerCell is the mean Nusselt number between two positions x1* < x2* of a
// channel that follows [Mercer1967].
func MercerCell(x1, x2, pr float64) float64 {
	return (mercerIntegral(x2, pr) - mercerIntegral(x1, pr)) / (x2 - x1)
}

// mercerIntegral is x* times the mean Nusselt number. The powers are arranged so
// that the entrance x* = 0 is no special case.
func mercerIntegral(x, pr float64) float64 {
	return 4.86*x + 0.0606*math.Sqrt(x)/(math.Pow(x, 0.7)+0.0909*math.Pow(pr, 0.17))
}

// Sibulkin1952 is the heat transfer coefficient in W/(m² K) at the stagnation
// point of an axisymmetric laminar flow whose radial velocity grows as β r near
// the axis (key sibulkin1952):
//
//	h = 0.763 k (β/ν)^½ Pr^0.4
//
// with conductivity k in W/(m K), strain rate β in 1/s, kinematic viscosity ν in
// m²/s, all at the film temperature.
func Sibulkin1952(k, beta, nu, pr float64) float64 {
	return 0.763 * k * math.Sqrt(beta/nu) * math.Pow(pr, 0.4)
}

// ChannelHeat is the heat in W that a flow with capacity rate mcp in W/K gives,
// cooling from temperature t to a wall at tw with conductance hA in W/K:
// mcp (t - tw)(1 - exp(-hA/mcp)), exact for a constant coefficient.
func ChannelHeat(mcp, hA, t, tw float64) float64 {
	return -mcp * (t - tw) * math.Expm1(-hA/mcp)
}
