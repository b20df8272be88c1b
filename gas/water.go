package gas

import "math"

// ISAPressure is the pressure of the international standard atmosphere in Pa at
// an altitude in m, below 11 km (ISO 2533, key iso2533):
//
//	p = 101325 (1 - 2.25577e-5 z)^5.25588.
//
// The weather moves the true pressure by some 2 %; a barometer is better.
func ISAPressure(altitude float64) float64 {
	return StandardPressure * math.Pow(1-2.25577e-5*altitude, 5.25588)
}

// ISATemperature is the temperature of the standard atmosphere in K, below 11 km.
func ISATemperature(altitude float64) float64 { return 288.15 - 0.0065*altitude }

// The constants n1 to n10 of IAPWS-IF97 region 4, saturation (key if97).
const (
	n1  = 0.11670521452767e4
	n2  = -0.72421316703206e6
	n3  = -0.17073846940092e2
	n4  = 0.12020824702470e5
	n5  = -0.32325550322333e7
	n6  = 0.14915108613530e2
	n7  = -0.48232657361591e4
	n8  = 0.40511340542057e6
	n9  = -0.23855557567849
	n10 = 0.65017534844798e3
)

// BoilingPoint is the temperature in K at which water boils under a pressure in
// Pa, by IAPWS-IF97 region 4 (key if97), for 611 Pa to 22.064 MPa; NaN outside.
func BoilingPoint(p float64) float64 {
	if !(p >= 611.2 && p <= 22.064e6) {
		return math.NaN()
	}
	b := math.Sqrt(math.Sqrt(p / 1e6))
	e := b*b + n3*b + n6
	f := n1*b*b + n4*b + n7
	g := n2*b*b + n5*b + n8
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	return (n10 + d - math.Sqrt((n10+d)*(n10+d)-4*(n9+n10*d))) / 2
}

// SaturationPressure is the vapour pressure of water in Pa at a temperature in
// K, by IAPWS-IF97 region 4 (key if97), for 273.15 to 647.096 K; NaN outside.
func SaturationPressure(t float64) float64 {
	if !(t >= 273.15 && t <= 647.096) {
		return math.NaN()
	}
	th := t + n9/(t-n10)
	a := th*th + n1*th + n2
	b := n3*th*th + n4*th + n5
	c := n6*th*th + n7*th + n8
	x := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return x * x * x * x * 1e6
}

// The critical point of water: K and kg/m³ (key wagner1993).
const (
	criticalT   = 647.096
	criticalRho = 322.0
)

// LatentHeat is the heat of evaporation of water in J/kg at a temperature in K,
// by Clapeyron's equation h = T (1/ρ″ - 1/ρ′) dp/dT with the saturation
// densities of Wagner and Pruß (key wagner1993) and the slope of
// [SaturationPressure], for 273.16 to 640 K; NaN outside.
func LatentHeat(t float64) float64 {
	if !(t >= 273.16 && t <= 640) {
		return math.NaN()
	}
	const step = 0.005 // K; the slope is good to 1e-8 of itself
	slope := (SaturationPressure(t+step) - SaturationPressure(t-step)) / (2 * step)
	return t * (1/vapourDensity(t) - 1/WaterDensity(t)) * slope
}

// PlainWater is the density of water where a litre counts as a kilogram, kg/m³:
// in pots, balances and mixing troughs. Cold water is within 0.2 % of it, water on
// the boil 4 % lighter.
const PlainWater = 1000.0

// WaterDensity is the density of boiling water in kg/m³ at a temperature in K
// (Wagner and Pruß, key wagner1993), for 273.16 to 647 K. At kitchen pressures
// cold water is within 0.01 % of it.
func WaterDensity(t float64) float64 {
	x := math.Cbrt(1 - t/criticalT)
	return criticalRho * (1 + 1.99274064*x + 1.09965342*x*x - 0.510839303*math.Pow(x, 5) -
		1.75493479*math.Pow(x, 16) - 45.5170352*math.Pow(x, 43) - 6.74694450e5*math.Pow(x, 110))
}

// vapourDensity is the density of saturated steam in kg/m³ (key wagner1993).
func vapourDensity(t float64) float64 {
	x := math.Pow(1-t/criticalT, 1.0/6)
	return criticalRho * math.Exp(-2.03150240*math.Pow(x, 2)-2.68302940*math.Pow(x, 4)-5.38626492*math.Pow(x, 8)-
		17.2991605*math.Pow(x, 18)-44.7586581*math.Pow(x, 37)-63.9201063*math.Pow(x, 71))
}

// WaterHeat is the heat capacity of water that boiling tests use, 4186 J/(kg K);
// it is within 0.6 % of the true one from 20 to 95 °C (key incropera2007).
const WaterHeat = 4186.0
