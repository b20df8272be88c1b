// Package brick takes the maker from a bucket of clay to a fired brick that
// fits: what a mix becomes wet, dry and fired, what scales and callipers can
// tell, how large the mould must be, what to try next and how to fire.
//
// A prediction is a band until a trial pins it, and never a measurement. The
// strongest unknown is the water really held in the mould: it is asked for or
// weighed, not assumed.
//
// Units are SI (m, kg, kg/m³, K, Pa); shrinkage is a fraction whose basis is
// its type. Tables of the trade are the YAML files in data/, each row with its
// standing and source.
package brick

// Axis names one edge of a brick.
type Axis int

// The axes of a brick; Height is the direction it is pressed or trowelled in.
const (
	Length Axis = iota
	Width
	Height
)

// Axes lists the three axes.
var Axes = [3]Axis{Length, Width, Height}

// String names the axis as the files and message ids do.
func (a Axis) String() string { return [...]string{"length", "width", "height"}[a] }

// Size holds one value for each axis, usually metres.
type Size [3]float64

// Volume is the product of the three edges.
func (s Size) Volume() float64 { return s[Length] * s[Width] * s[Height] }
