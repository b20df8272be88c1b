// Package quantity reads and prints values with units at the edges of the
// program. Inside, every value is a float64 in SI units; this package turns
// what people write on paper ("75.4 cm", "29 5/8 in", "5 L", "0,5 mm") into SI
// and SI back into a number rounded for the tool in the hand.
package quantity

import "strings"

// Dimension is what a value measures.
type Dimension uint8

// The dimensions the trade needs. The SI unit of each is given beside it.
const (
	Ratio                 Dimension = iota // 1
	Length                                 // m
	Area                                   // m²
	Volume                                 // m³
	Mass                                   // kg
	Time                                   // s
	Temperature                            // K, with an offset scale
	TemperatureDifference                  // K
	Pressure                               // Pa
	Power                                  // W
	Energy                                 // J
	SpecificEnergy                         // J/kg
	Density                                // kg/m³
	MassFlow                               // kg/s
	Velocity                               // m/s
	Angle                                  // rad
	Force                                  // N
	Stress                                 // Pa, of solids
	HeatFlux                               // W/m²
	Conductivity                           // W/(m K)
	GasShare                               // 1, of the volume of a gas
	VolumeFlow                             // m³/s
	Rate                                   // 1/s
)

var dimensionNames = [...]string{"ratio", "length", "area", "volume", "mass", "time", "temperature",
	"temperature difference", "pressure", "power", "energy", "energy per mass", "density", "mass flow",
	"velocity", "angle", "force", "stress", "heat flux", "conductivity", "share of a gas", "volume flow", "rate"}

// String names the dimension in plain words.
func (d Dimension) String() string { return dimensionNames[d] }

var siSymbols = [...]string{"1", "m", "m²", "m³", "kg", "s", "K", "K", "Pa", "W", "J", "J/kg", "kg/m³", "kg/s", "m/s", "rad", "N", "Pa", "W/m²", "W/(m·K)", "1", "m³/s", "1/s"}

// SI is the symbol of the SI unit that values of the dimension are kept in; "1"
// for a ratio.
func (d Dimension) SI() string { return siSymbols[d] }

// Unit is a way of writing values of one dimension: SI = number*Factor + Offset.
type Unit struct {
	Symbol    string
	Dimension Dimension
	Factor    float64
	Offset    float64
}

// SI turns a number in this unit into SI.
func (u Unit) SI(number float64) float64 { return number*u.Factor + u.Offset }

// Number turns an SI value into a number in this unit.
func (u Unit) Number(si float64) float64 { return (si - u.Offset) / u.Factor }

const (
	inch       = 0.0254                   // exact, international yard and pound agreement 1959
	pound      = 0.45359237               // exact, same agreement
	usGallon   = 231 * inch * inch * inch // exact by definition
	impGallon  = 4.54609e-3               // exact, UK Weights and Measures Act 1985
	degree     = 0.017453292519943295
	zeroC      = 273.15
	fahrenheit = 5.0 / 9.0
)

// The units that values are printed in.
var (
	One         = Unit{"", Ratio, 1, 0}
	Percent     = Unit{"%", Ratio, 0.01, 0}
	Millimetre  = Unit{"mm", Length, 1e-3, 0}
	Centimetre  = Unit{"cm", Length, 1e-2, 0}
	Metre       = Unit{"m", Length, 1, 0}
	Inch        = Unit{"in", Length, inch, 0}
	Foot        = Unit{"ft", Length, 12 * inch, 0}
	SquareMM    = Unit{"mm²", Area, 1e-6, 0}
	SquareCM    = Unit{"cm²", Area, 1e-4, 0}
	SquareMetre = Unit{"m²", Area, 1, 0}
	Litre       = Unit{"L", Volume, 1e-3, 0}
	Millilitre  = Unit{"mL", Volume, 1e-6, 0}
	CubicMetre  = Unit{"m³", Volume, 1, 0}
	Gram        = Unit{"g", Mass, 1e-3, 0}
	Kilogram    = Unit{"kg", Mass, 1, 0}
	Second      = Unit{"s", Time, 1, 0}
	Minute      = Unit{"min", Time, 60, 0}
	Hour        = Unit{"h", Time, 3600, 0}
	Day         = Unit{"d", Time, 86400, 0}
	Celsius     = Unit{"°C", Temperature, 1, zeroC}
	Kelvin      = Unit{"K", Temperature, 1, 0}
	KelvinDiff  = Unit{"K", TemperatureDifference, 1, 0}
	Pascal      = Unit{"Pa", Pressure, 1, 0}
	Hectopascal = Unit{"hPa", Pressure, 100, 0}
	Watt        = Unit{"W", Power, 1, 0}
	Kilowatt    = Unit{"kW", Power, 1000, 0}
	Megajoule   = Unit{"MJ", Energy, 1e6, 0}
	MJPerKg     = Unit{"MJ/kg", SpecificEnergy, 1e6, 0}
	KgPerM3     = Unit{"kg/m³", Density, 1, 0}
	GramPerCM3  = Unit{"g/cm³", Density, 1000, 0}
	GramPerSec  = Unit{"g/s", MassFlow, 1e-3, 0}
	MetrePerSec = Unit{"m/s", Velocity, 1, 0}
	Degree      = Unit{"°", Angle, degree, 0}
	Newton      = Unit{"N", Force, 1, 0}
	Megapascal  = Unit{"MPa", Stress, 1e6, 0}
	WattPerCM2  = Unit{"W/cm²", HeatFlux, 1e4, 0}
	WPerMK      = Unit{"W/(m·K)", Conductivity, 1, 0}
	PPM         = Unit{"ppm", GasShare, 1e-6, 0}
	MgPerM3     = Unit{"mg/m³", Density, 1e-6, 0}
	M3PerMin    = Unit{"m³/min", VolumeFlow, 1.0 / 60, 0}
	PerHour     = Unit{"per h", Rate, 1.0 / 3600, 0}
)

// spellings lists every way a unit may be written, in lower case; the symbols
// of the units above are added to it. Case never carries meaning: no two units
// of one dimension differ by case alone.
var spellings = map[Dimension]map[string]Unit{}

func spell(u Unit, words ...string) {
	m := spellings[u.Dimension]
	if m == nil {
		m = make(map[string]Unit)
		spellings[u.Dimension] = m
	}
	m[strings.ToLower(u.Symbol)] = u
	for _, w := range words {
		m[w] = u
	}
}

func init() {
	spell(One, "-")
	spell(Percent, "percent", "pct")
	spell(Millimetre, "millimetre", "millimetres", "millimeter", "millimeters")
	spell(Centimetre, "centimetre", "centimetres", "centimeter", "centimeters")
	spell(Metre, "metre", "metres", "meter", "meters")
	spell(Inch, "inch", "inches", "\"", "″", "”", "''")
	spell(Foot, "foot", "feet", "'", "′", "’")
	spell(SquareMM, "mm2")
	spell(SquareCM, "cm2")
	spell(SquareMetre, "m2")
	spell(Litre, "l", "litre", "litres", "liter", "liters", "dm3", "dm³", "ℓ")
	spell(Millilitre, "ml", "cm3", "cm³", "cc")
	spell(CubicMetre, "m3")
	spell(Unit{"gal", Volume, usGallon, 0}, "us gal", "gallon", "gallons", "us gallon", "us gallons")
	spell(Unit{"imp gal", Volume, impGallon, 0}, "imperial gallon", "imperial gallons")
	spell(Unit{"qt", Volume, usGallon / 4, 0}, "quart", "quarts")
	spell(Unit{"mg", Mass, 1e-6, 0}, "milligram", "milligrams")
	spell(Gram, "gram", "grams", "gr", "gm")
	spell(Kilogram, "kilogram", "kilograms", "kilo", "kilos", "kgs")
	spell(Unit{"lb", Mass, pound, 0}, "lbs", "pound", "pounds")
	spell(Unit{"oz", Mass, pound / 16, 0}, "ounce", "ounces")
	spell(Second, "sec", "second", "seconds")
	spell(Minute, "mins", "minute", "minutes")
	spell(Hour, "hr", "hrs", "hour", "hours")
	spell(Day, "day", "days")
	spell(Celsius, "c", "deg c", "degc", "celsius", "ºc")
	spell(Kelvin, "kelvin")
	spell(Unit{"°F", Temperature, fahrenheit, zeroC - 32*fahrenheit}, "f", "deg f", "degf", "fahrenheit", "ºf")
	spell(KelvinDiff, "°c", "c")
	spell(Unit{"°F", TemperatureDifference, fahrenheit, 0}, "f")
	spell(Pascal)
	spell(Hectopascal, "mbar", "millibar")
	spell(Unit{"kPa", Pressure, 1000, 0})
	spell(Unit{"mmHg", Pressure, 133.322387415, 0}, "torr")
	spell(Watt, "watt", "watts")
	spell(Kilowatt, "kilowatt", "kilowatts")
	spell(Megajoule)
	spell(Unit{"kJ", Energy, 1000, 0})
	spell(Unit{"J", Energy, 1, 0})
	spell(Unit{"kWh", Energy, 3.6e6, 0})
	spell(MJPerKg)
	spell(Unit{"J/kg", SpecificEnergy, 1, 0})
	spell(Unit{"kJ/kg", SpecificEnergy, 1000, 0}, "j/g")
	spell(KgPerM3, "kg/m3")
	spell(GramPerCM3, "g/cm3", "g/cc", "kg/l", "g/ml")
	spell(Unit{"lb/ft³", Density, pound / (1728 * inch * inch * inch), 0}, "lb/ft3", "pcf")
	spell(GramPerSec)
	spell(Unit{"kg/s", MassFlow, 1, 0})
	spell(Unit{"kg/h", MassFlow, 1.0 / 3600, 0})
	spell(MetrePerSec)
	spell(Degree, "deg", "degree", "degrees")
	spell(Unit{"rad", Angle, 1, 0})
	spell(Newton)
	spell(Unit{"kgf", Force, 9.80665, 0})
	spell(Megapascal, "n/mm2", "n/mm²")
	spell(Unit{"Pa", Stress, 1, 0})
	spell(WattPerCM2, "w/cm2")
	spell(Unit{"W/m²", HeatFlux, 1, 0}, "w/m2")
	spell(WPerMK, "w/mk", "w/m/k", "w/(m k)", "w/m·k")
	spell(PPM, "ppmv")
	spell(Unit{"%", GasShare, 0.01, 0}, "percent", "vol%", "vol %")
	spell(MgPerM3, "mg/m3")
	spell(Unit{"µg/m³", Density, 1e-9, 0}, "ug/m3", "µg/m3", "μg/m³", "μg/m3")
	spell(M3PerMin, "m3/min")
	spell(Unit{"m³/s", VolumeFlow, 1, 0}, "m3/s")
	spell(Unit{"m³/h", VolumeFlow, 1.0 / 3600, 0}, "m3/h")
	spell(Unit{"L/min", VolumeFlow, 1e-3 / 60, 0}, "l/min")
	spell(PerHour, "per hour", "an hour")
	spell(Unit{"per s", Rate, 1, 0}, "per second")
}

// lookup finds the unit that a spelling stands for; an abbreviation may end in
// a full stop ("in.").
func lookup(word string, d Dimension) (Unit, bool) {
	word = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(word)), ".")
	u, ok := spellings[d][word]
	return u, ok
}
