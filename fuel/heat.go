package fuel

// Constants of the heating value at 298.15 K.
const (
	// LatentHeat25 is the latent heat of water at 25 °C in J/kg.
	LatentHeat25 = 2.442e6
	// waterPerHydrogen is the mass of water that a mass of hydrogen burns to.
	waterPerHydrogen = 18.01528 / (2 * atomH)
	// CharLHV is the heating value of charcoal that test protocols use, J/kg;
	// 28 to 33 MJ/kg occur (common practice).
	CharLHV = 29.5e6
)

// Standard deviations of the heating value as a share of it.
const (
	computedSpread = 0.04 // of an unmeasured fuel: the correlation misses published woods by -2 to +4 %
	measuredSpread = 0.01 // of a bomb measurement, common practice
)

// ChanniwalaParikh2002 is the higher heating value of dry fuel in J/kg from its
// ultimate analysis (key channiwala2002), in mass % and MJ/kg
//
//	HHV = 0.3491 C + 1.1783 H + 0.1005 S - 0.1034 O - 0.0151 N - 0.0211 A.
//
// Range: C 0-92.25, H 0.43-25.15, O 0-50, N 0-5.6, S 0-94.08, ash 0-71.4 %.
// Average absolute error 1.45 %, bias 0.00 %.
func ChanniwalaParikh2002(c Composition) float64 {
	return 1e8 * (0.3491*c.C + 1.1783*c.H + 0.1005*c.S - 0.1034*c.O - 0.0151*c.N - 0.0211*c.Ash)
}

// InChanniwalaParikhRange tells whether a composition lies in the range of
// [ChanniwalaParikh2002].
func InChanniwalaParikhRange(c Composition) bool {
	return c.C <= 0.9225 && c.H >= 0.0043 && c.H <= 0.2515 && c.O <= 0.50 && c.N <= 0.056 && c.S <= 0.9408 && c.Ash <= 0.714
}

// Parikh2005 is the higher heating value of dry fuel in J/kg from its proximate
// analysis (Parikh, Channiwala and Ghosal, key parikh2005), in mass % and MJ/kg
//
//	HHV = 0.3536 FC + 0.1559 VM - 0.0078 ash.
//
// Range: FC 1.0-91.5, VM 0.92-90.6, ash 0.12-77.7 %. Average absolute error
// 3.74 %, bias 0.12 %.
func Parikh2005(p Proximate) float64 {
	return 1e8 * (0.3536*p.FixedCarbon + 0.1559*p.Volatile - 0.0078*p.Ash)
}

// HHV is the higher heating value of the dry fuel in J/kg: the measured one
// where there is one, else from the ultimate analysis, else from the proximate.
func (f Fuel) HHV() float64 {
	switch {
	case f.MeasuredHHV > 0:
		return f.MeasuredHHV
	case f.Composition != (Composition{}):
		return ChanniwalaParikh2002(f.Composition)
	}
	return Parikh2005(f.Proximate)
}

// HHVSpread is one standard deviation of [Fuel.HHV] as a share of it.
func (f Fuel) HHVSpread() float64 {
	if f.MeasuredHHV > 0 {
		return measuredSpread
	}
	return computedSpread
}

// LHVDry is the lower heating value of the dry fuel in J/kg: the higher one less
// the latent heat of the water its hydrogen burns to.
func (f Fuel) LHVDry() float64 {
	return f.HHV() - LatentHeat25*waterPerHydrogen*f.Composition.H
}

// LHV is the lower heating value in J per kg of wet fuel,
// (1-w) LHVDry - 2.442 MJ/kg w.
func (f Fuel) LHV(m Moisture) float64 {
	return (1-m.wet)*f.LHVDry() - LatentHeat25*m.wet
}

// CharShare splits the heat of the dry fuel between its char (a yield of the
// dry mass with its own heating value in J/kg) and its volatiles: the share of
// the energy that the char carries, and the heating value of the volatiles in J
// per kg of volatiles.
func (f Fuel) CharShare(yield, charLHV float64) (share, volatileLHV float64) {
	return yield * charLHV / f.LHVDry(), (f.LHVDry() - yield*charLHV) / (1 - yield)
}
