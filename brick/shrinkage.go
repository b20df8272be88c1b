package brick

import (
	"math"

	"stovewright/stats"
)

// Drying is linear drying shrinkage on the wet length, (Lwet−Ldry)/Lwet, the
// basis of ASTM C326 (astmc326).
type Drying float64

// DryingOnDry is linear drying shrinkage on the dry length, (Lwet−Ldry)/Ldry.
type DryingOnDry float64

// Firing is linear firing shrinkage on the dry length, (Ldry−Lfired)/Ldry, as
// most makers quote it.
type Firing float64

// FiringOnWet is linear firing shrinkage on the wet length, (Ldry−Lfired)/Lwet.
type FiringOnWet float64

// Total is linear shrinkage from wet to fired on the wet length,
// (Lwet−Lfired)/Lwet.
type Total float64

// DryingOf is the drying shrinkage between two lengths of one line.
func DryingOf(wet, dry float64) Drying { return Drying((wet - dry) / wet) }

// FiringOf is the firing shrinkage between two lengths of one line.
func FiringOf(dry, fired float64) Firing { return Firing((dry - fired) / dry) }

// TotalOf is the total shrinkage between two lengths of one line.
func TotalOf(wet, fired float64) Total { return Total((wet - fired) / wet) }

// OnDry converts to the dry basis: s/(1−s).
func (s Drying) OnDry() DryingOnDry { return DryingOnDry(s / (1 - s)) }

// OnWet converts to the wet basis: s/(1+s).
func (s DryingOnDry) OnWet() Drying { return Drying(s / (1 + s)) }

// OnWet converts to the wet basis: sf (1−sd).
func (s Firing) OnWet(d Drying) FiringOnWet { return FiringOnWet(float64(s) * (1 - float64(d))) }

// OnDry converts to the dry basis: sfp/(1−sd).
func (s FiringOnWet) OnDry(d Drying) Firing { return Firing(float64(s) / (1 - float64(d))) }

// Combine gives the total shrinkage 1−(1−sd)(1−sf). It is never the sum of the
// two, which stand on different lengths.
func Combine(d Drying, f Firing) Total { return Total(1 - (1-float64(d))*(1-float64(f))) }

// Firing is the firing shrinkage left in a total once the drying part is known.
func (t Total) Firing(d Drying) Firing { return Firing(1 - (1-float64(t))/(1-float64(d))) }

// Volumetric is the volume shrinkage of three linear ones, 1−Π(1−s).
func Volumetric(t [3]Total) float64 {
	left := 1.0
	for _, s := range t {
		left *= 1 - float64(s)
	}
	return 1 - left
}

// AxisShrinkage is what is known of the shrinkage along one axis. U are
// standard uncertainties of the mean shrinkage; SD is the scatter of the total
// shrinkage from brick to brick, 0 while unknown.
type AxisShrinkage struct {
	Drying  Drying
	Firing  Firing
	UDrying float64
	UFiring float64
	SD      float64
}

// Total combines drying and firing.
func (a AxisShrinkage) Total() Total { return Combine(a.Drying, a.Firing) }

// UTotal is the standard uncertainty of the total shrinkage.
func (a AxisShrinkage) UTotal() float64 {
	return math.Hypot(a.UDrying*(1-float64(a.Firing)), a.UFiring*(1-float64(a.Drying)))
}

// Shrinkage is the shrinkage along each axis.
type Shrinkage [3]AxisShrinkage

// Uniform is the same shrinkage along all axes.
func Uniform(a AxisShrinkage) Shrinkage { return Shrinkage{a, a, a} }

// Pressed is a lateral shrinkage with the pressing direction (Height) shrinking
// ratio times as much; common practice puts ratio at 1.1 to 1.4 because platy
// clay and fibres lie down across it.
func Pressed(lateral AxisShrinkage, ratio float64) Shrinkage {
	s := Uniform(lateral)
	s[Height].Drying *= Drying(ratio)
	s[Height].Firing *= Firing(ratio)
	s[Height].UDrying *= ratio
	s[Height].UFiring *= ratio
	s[Height].SD *= ratio
	return s
}

// Totals lists the total shrinkage of each axis.
func (s Shrinkage) Totals() [3]Total {
	return [3]Total{s[Length].Total(), s[Width].Total(), s[Height].Total()}
}

// Volume is the volume shrinkage from wet to fired.
func (s Shrinkage) Volume() float64 { return Volumetric(s.Totals()) }

// Dry is the dry size of a wet brick.
func (s Shrinkage) Dry(wet Size) Size {
	for a := range wet {
		wet[a] *= 1 - float64(s[a].Drying)
	}
	return wet
}

// Fired is the fired size of a wet brick.
func (s Shrinkage) Fired(wet Size) Size {
	for a := range wet {
		wet[a] *= 1 - float64(s[a].Total())
	}
	return wet
}

// Line is one marked line measured wet, dry and fired, in one unit.
type Line struct {
	Axis             Axis
	Wet, Dry, Fired  float64
	ReadingUncertain float64 // standard uncertainty of one reading, same unit
}

// MinimumLines is the fewest marked lines per axis that are worth averaging
// (common practice; ASTM C326 asks for ten bars).
const MinimumLines = 5

// MeasureShrinkage averages marked lines per axis. An axis without lines takes
// the mean of all lines. Count gives the lines found per axis; fewer than
// MinimumLines is a rough figure. With one line the reading uncertainty alone
// stands; with more, the scatter of the mean is added to it.
func MeasureShrinkage(lines []Line) (s Shrinkage, count [3]int) {
	for _, l := range lines {
		count[l.Axis]++
	}
	for _, a := range Axes {
		own := lines
		if count[a] > 0 {
			own = nil
			for _, l := range lines {
				if l.Axis == a {
					own = append(own, l)
				}
			}
		}
		s[a] = averageLines(own)
	}
	return s, count
}

func averageLines(lines []Line) AxisShrinkage {
	var d, f, t []float64
	var read float64
	for _, l := range lines {
		d = append(d, float64(DryingOf(l.Wet, l.Dry)))
		f = append(f, float64(FiringOf(l.Dry, l.Fired)))
		t = append(t, float64(TotalOf(l.Wet, l.Fired)))
		read += math.Sqrt2 * l.ReadingUncertain / l.Dry
	}
	n := float64(len(lines))
	if n == 0 {
		return AxisShrinkage{}
	}
	read /= n * math.Sqrt(n)
	mean, sd := meanSD(d)
	a := AxisShrinkage{Drying: Drying(mean), UDrying: math.Hypot(sd/math.Sqrt(n), read)}
	mean, sd = meanSD(f)
	a.Firing, a.UFiring = Firing(mean), math.Hypot(sd/math.Sqrt(n), read)
	_, a.SD = meanSD(t)
	return a
}

// meanSD is the mean and the sample standard deviation, the latter 0 for one
// value.
func meanSD(x []float64) (mean, sd float64) {
	if len(x) < 2 {
		return stats.Mean(x), 0
	}
	return stats.Mean(x), stats.SD(x)
}
