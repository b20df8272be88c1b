package brick

import (
	"errors"
	"math"

	"stovewright/stats"
)

// Ryshkewitch1953 is the strength of a porous ceramic,
// σ = σ0 exp(−b P) (ryshkewitch1953, duckworth1953). σ0 is the strength
// without pores, 40 to 240 MPa in compression with firing; b lies between 4
// and 7. P is the total porosity.
func Ryshkewitch1953(zeroPorosity, b, porosity float64) float64 {
	return zeroPorosity * math.Exp(-b*porosity)
}

// GibsonAshby1997Strength is the strength of a cellular solid,
// σ = C σ0 (1−P)^n with n from 1.5 (open cells crushing) to 3 (gibson1997).
func GibsonAshby1997Strength(zeroPorosity, c, n, porosity float64) float64 {
	return c * zeroPorosity * math.Pow(1-porosity, n)
}

// GibsonAshby1997Modulus is Young's modulus of an open-cell solid,
// E = E0 (1−P)² (gibson1997).
func GibsonAshby1997Modulus(zeroPorosity, porosity float64) float64 {
	return zeroPorosity * (1 - porosity) * (1 - porosity)
}

// What a fit of strength can lack.
var (
	ErrTooFew      = errors.New("brick: a fit needs at least three points at two places")
	ErrNotPositive = errors.New("brick: a fit of logarithms needs positive values")
)

// LogFit is a straight line through logarithms by least squares,
// ln σ = ln C + n·g(x), with g the logarithm (power law) or −1 times the
// porosity (Ryshkewitch1953).
type LogFit struct {
	Factor   float64 // C of the power law, σ0 of the exponential
	Exponent float64 // n of the power law, b of the exponential
	R        float64 // correlation of ln σ and g(x)
	N        int
	line     stats.Fit
	argument func(float64) float64
}

// FitPower fits σ = C x^n, x and σ above 0: strength against density.
func FitPower(x, strength []float64) (LogFit, error) { return fitLog(x, strength, math.Log) }

// FitRyshkewitch fits σ = σ0 exp(−b P).
func FitRyshkewitch(porosity, strength []float64) (LogFit, error) {
	return fitLog(porosity, strength, func(p float64) float64 { return -p })
}

func fitLog(x, y []float64, argument func(float64) float64) (LogFit, error) {
	f := LogFit{N: len(x), argument: argument}
	if len(x) != len(y) || len(x) < 3 {
		return f, ErrTooFew
	}
	u, v := make([]float64, len(x)), make([]float64, len(x))
	for i := range x {
		u[i], v[i] = argument(x[i]), math.Log(y[i])
		if math.IsNaN(u[i]+v[i]) || math.IsInf(u[i]+v[i], 0) {
			return f, ErrNotPositive
		}
	}
	var err error
	if f.line, err = stats.Line(u, v); err != nil {
		return f, ErrTooFew
	}
	f.Factor, f.Exponent = math.Exp(f.line.Coefficients[0]), f.line.Coefficients[1]
	f.R = stats.Correlation(u, v)
	return f, nil
}

// Predict is the strength at x: the line, and the interval in which the next
// single brick lies with the given confidence (Student's t about the line).
func (f LogFit) Predict(x, confidence float64) Band {
	v, u := f.line.Predict([]float64{1, f.argument(x)})
	half := stats.TQuantile(0.5+confidence/2, f.line.DF) * math.Hypot(u, f.line.S)
	return Band{math.Exp(v - half), math.Exp(v), math.Exp(v + half)}
}

// ExponentInterval is the confidence interval of the exponent.
func (f LogFit) ExponentInterval(confidence float64) stats.Interval {
	half := stats.TQuantile(0.5+confidence/2, f.line.DF) * f.line.SE(1)
	return stats.Interval{Low: f.Exponent - half, High: f.Exponent + half, Level: confidence}
}

// RyshkewitchFromTwo gives σ0 and b from two pairs of porosity and strength,
// b = ln(σ1/σ2)/(P2−P1).
func RyshkewitchFromTwo(p1, s1, p2, s2 float64) (zeroPorosity, b float64) {
	b = math.Log(s1/s2) / (p2 - p1)
	return s1 * math.Exp(b*p1), b
}

// LeverCrushing is the crushing strength (Pa) from a beam pressing on a piece:
// load (N) hung at arm, the piece at its own distance from the pivot (m), and
// the area it is pressed on (m²); the beam's own weight acts at its middle.
func LeverCrushing(load, loadArm, pieceArm, beamWeight, beamArm, area float64) float64 {
	return (load*loadArm + beamWeight*beamArm) / (pieceArm * area)
}

// BendingStrength is the modulus of rupture (Pa) of a bar on two supports
// loaded in the middle: 3 F L/(2 w h²), F in N, lengths in m.
func BendingStrength(force, span, width, height float64) float64 {
	return 3 * force * span / (2 * width * height * height)
}

// Firebrick is one row of the table of commercial insulating firebricks.
type Firebrick struct {
	Density  float64 `yaml:"density"`  // kg/m³
	Crushing float64 `yaml:"crushing"` // MPa, cold
	Rupture  float64 `yaml:"rupture"`  // MPa, modulus of rupture
	Class    float64 `yaml:"class"`    // ASTM C155 group, as printed
}

var firebrickTable = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Source      string            `yaml:"source"`
	Standing    string            `yaml:"standing"`
	Note        string            `yaml:"note"`
	Fireclay    int               `yaml:"fireclay"`
	Rows        []Firebrick       `yaml:"rows"`
}]("firebricks.yaml")

// Firebricks lists the table of commercial insulating firebricks; the first
// fireclay rows are of the classes up to 26.
func Firebricks() (rows []Firebrick, fireclay int) {
	return append([]Firebrick(nil), firebrickTable.Rows...), firebrickTable.Fireclay
}

// The exponential of porosity through the first twelve rows of
// data/firebricks.yaml, and the share of it that a clay brick fired near 950 to
// 1000 °C reaches (common practice).
const (
	strengthDense = 241e6 // Pa, without pores
	strengthDecay = 6.43
	lowFiredLeast = 0.3
	lowFiredMost  = 0.6
)

// DefaultStrength is the crushing strength (Pa) of a clay brick of a total
// porosity fired near 950 to 1000 °C, before any brick of the maker's was
// crushed: the fit to the commercial fireclay rows (241 MPa, b 6.43), which
// were fired above 1200 °C, times 0.3 to 0.6 (common practice). Density alone
// predicts strength weakly across clays: over all 18 rows of the table its
// correlation is 0.81, and the exponent falls from 1.9 to 1.3.
func DefaultStrength(porosity float64) Band {
	full := Ryshkewitch1953(strengthDense, strengthDecay, porosity)
	return Band{lowFiredLeast * full, math.Sqrt(lowFiredLeast*lowFiredMost) * full, lowFiredMost * full}
}
