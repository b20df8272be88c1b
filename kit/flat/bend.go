package flat

import "math"

// Fold is one bend of a strip: the angle it is bent through, in radians, and
// the inside radius.
type Fold struct {
	Angle  float64
	Radius float64
}

// DIN6935Factor is the neutral axis of a bend as a share of the thickness from
// the inside, K = k/2 with
//
//	k = 0.65 + 0.5 log10(r/t)   for r/t up to 5, and 1 above
//
// (DIN 6935, from memory; key din6935). r is the inside radius, t the thickness,
// in one unit. The formula is not meant for r/t below 0.5, where the value at
// 0.5 is kept; measured bends differ by a few hundredths.
func DIN6935Factor(radius, thickness float64) float64 {
	ratio := radius / thickness
	if ratio > 5 {
		return 0.5
	}
	return (0.65 + 0.5*math.Log10(max(ratio, 0.5))) / 2
}

// BendAllowance is the length on the flat of the bent part alone: θ(r + K t).
func BendAllowance(f Fold, thickness, k float64) float64 {
	return f.Angle * (f.Radius + k*thickness)
}

// Setback is the distance from the bent part to the sharp outside corner:
// (r + t) tan(θ/2), for bends below a half turn.
func Setback(f Fold, thickness float64) float64 {
	return (f.Radius + thickness) * math.Tan(f.Angle/2)
}

// BendDeduction is what a bend takes off the sum of the outside legs: twice the
// setback less the allowance.
func BendDeduction(f Fold, thickness, k float64) float64 {
	return 2*Setback(f, thickness) - BendAllowance(f, thickness, k)
}

// Strip is a folded strip laid flat: its length, and for each fold the middle
// of the bent part, where the fold line is marked.
type Strip struct {
	Length float64
	Lines  []float64
}

// Develop lays a folded strip flat. Legs are the outside lengths from sharp
// corner to sharp corner, one more than the folds between them; the neutral
// axis is that of [DIN6935Factor].
func Develop(legs []float64, folds []Fold, thickness float64) Strip {
	var s Strip
	for i, leg := range legs {
		s.Length += leg
		if i > 0 {
			s.Length -= Setback(folds[i-1], thickness)
		}
		if i == len(legs)-1 {
			break
		}
		f := folds[i]
		s.Length -= Setback(f, thickness)
		allowance := BendAllowance(f, thickness, DIN6935Factor(f.Radius, thickness))
		s.Lines = append(s.Lines, s.Length+allowance/2)
		s.Length += allowance
	}
	return s
}
