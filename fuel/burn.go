package fuel

import (
	"math"

	"stovewright/gas"
)

// Standard atomic weights in g/mol.
const (
	atomC = 12.011
	atomH = 1.008
	atomO = 15.999
	atomN = 14.007
	atomS = 32.06
)

// Heat of burning carbon monoxide, J/mol at 298.15 K, and its molar mass, g/mol.
const (
	heatCO  = 283.0e3
	molarCO = 28.010
)

// Burn is what complete burning of one kilogram of wet fuel takes and leaves.
type Burn struct {
	O2            float64 // oxygen taken, mol/kg
	CO2, H2O, N2  float64 // left by the fuel itself, mol/kg
	Solid         float64 // ash, kg/kg
	airPerLambda  float64 // mol of air per kg at an air ratio of 1
	massPerLambda float64 // kg of air per kg at an air ratio of 1
}

// Burn computes the stoichiometry of the fuel at a moisture. Sulphur takes its
// oxygen; the little sulphur dioxide is left out of the flue gas.
func (f Fuel) Burn(m Moisture) Burn {
	c, dry := f.Composition, 1000*(1-m.wet)
	b := Burn{
		O2:    dry * (c.C/atomC + c.H/(4*atomH) + c.S/atomS - c.O/(2*atomO)),
		CO2:   dry * c.C / atomC,
		H2O:   dry*c.H/(2*atomH) + m.wet/gas.H2O.MolarMass(),
		N2:    dry * c.N / (2 * atomN),
		Solid: (1 - m.wet) * c.Ash,
	}
	b.airPerLambda = b.O2 / gas.DryAir[gas.O2]
	b.massPerLambda = b.airPerLambda * gas.DryAir.MolarMass()
	return b
}

// Air is the dry air that burning takes in kg per kg of wet fuel, at an air
// ratio of 1. The air ratio λ is actual over stoichiometric air; excess air is
// λ - 1, and some papers call λ itself excess air.
func (b Burn) Air() float64 { return b.massPerLambda }

// Flue is the flue gas in mol per kg of wet fuel at an air ratio of at least 1.
// Below 1 burning is incomplete and the composition is that at 1.
func (b Burn) Flue(lambda float64) gas.Mixture {
	air := math.Max(lambda, 1) * b.airPerLambda
	mix := gas.DryAir
	for s := range mix {
		mix[s] *= air
	}
	mix[gas.O2] -= b.O2
	mix[gas.CO2] += b.CO2
	mix[gas.H2O] += b.H2O
	mix[gas.N2] += b.N2
	return mix
}

// FlueMass is the flue gas in kg per kg of wet fuel: fuel and air less ash.
func (b Burn) FlueMass(lambda float64) float64 { return 1 - b.Solid + lambda*b.massPerLambda }

// DryShares gives carbon dioxide and oxygen as shares of the dry flue gas, as a
// gas analyser shows them.
func DryShares(flue gas.Mixture) (co2, o2 float64) {
	flue[gas.H2O] = 0
	dry := flue.Normalised()
	return dry[gas.CO2], dry[gas.O2]
}

// AirRatioFromO2 is the air ratio that an oxygen share of dry flue gas tells,
// 0.2095/(0.2095 - O2), to 1 % for wood.
func AirRatioFromO2(o2 float64) float64 { return 0.2095 / (0.2095 - o2) }

// COLoss is the share of the heat that leaves as carbon monoxide when the molar
// ratio CO/CO2 of the flue gas is r: r/(1+r) · 283 kJ over the heat per mole of
// carbon.
func (f Fuel) COLoss(r float64) float64 {
	perCarbon := f.LHVDry() * atomC / 1000 / f.Composition.C
	return r / (1 + r) * heatCO / perCarbon
}

// COFactor is the carbon monoxide in kg per kg of dry fuel at a molar ratio
// CO/CO2 of r.
func (f Fuel) COFactor(r float64) float64 {
	return f.Composition.C * molarCO / atomC * r / (1 + r)
}

// FlameTemperature is the temperature in K of the flue gas of complete burning
// without dissociation, fuel and air at 298.15 K, when a share of the heat is
// taken out. Dissociation matters above some 1900 K only.
func (f Fuel) FlameTemperature(m Moisture, lambda, heatTaken float64) float64 {
	b := f.Burn(m)
	flue := b.Flue(lambda)
	thermo := flue.Thermo()
	mass := 0.0
	for s, n := range flue {
		mass += n * gas.Species(s).MolarMass()
	}
	return thermo.Temperature((1 - heatTaken) * f.LHV(m) / mass)
}
