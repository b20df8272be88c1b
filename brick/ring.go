package brick

import (
	"math"

	"stovewright/message"
	"stovewright/quantity"
)

// Ring is a chamber built of equal bricks around a regular polygon, each a
// segment with mitred ends.
type Ring struct {
	Sides     int     // 3 to 24
	Across    float64 // m, inside, from flat to opposite flat
	Thickness float64 // m, radial
	Height    float64 // m
	Joint     float64 // m, mortar between two segments, measured across the joint
}

// Segment is one brick of a ring, seen from above: a trapezoid.
type Segment struct {
	Inner, Outer float64 // m, the parallel faces
	Thickness    float64 // m
	Height       float64 // m
	End          float64 // rad, of each end face from square
}

// Segment is the fired brick: with h = π/n, inner face 2 r tan h and outer face
// 2 (r+t) tan h, both less the joint's J/cos h; ends cut at h from square.
func (r Ring) Segment() (Segment, error) {
	if err := r.check(); err != nil {
		return Segment{}, err
	}
	h := r.half()
	joint := r.Joint / math.Cos(h)
	return Segment{
		Inner:     r.Across*math.Tan(h) - joint,
		Outer:     (r.Across+2*r.Thickness)*math.Tan(h) - joint,
		Thickness: r.Thickness, Height: r.Height, End: h,
	}, nil
}

func (r Ring) half() float64 { return math.Pi / float64(r.Sides) }

func (r Ring) check() error {
	var bad message.InputErrors
	say := func(field string, v float64, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: number(v), Reason: message.T(id), Try: try})
	}
	if r.Sides < 3 || r.Sides > 24 {
		say("sides", float64(r.Sides), "brick.ring.sides", "6")
		return bad
	}
	if !(r.Across > 0.02 && r.Across <= 2) {
		say("across", r.Across, "brick.ring.across", "0.11")
	}
	if !(r.Thickness > 0.005 && r.Thickness <= 0.3) || !(r.Height > 0.005 && r.Height <= 1) {
		say("thickness", r.Thickness, "brick.size.range", "0.05")
	}
	if !(r.Joint >= 0 && r.Joint/math.Cos(r.half()) < 0.5*r.Across*math.Tan(r.half())) {
		say("joint", r.Joint, "brick.ring.joint", "0.002")
	}
	return bad.OrNil()
}

// Mould is the cavity of the segment: Length runs along the face, Width is
// radial. Where the two shrink differently the mould's ends are cut at another
// angle than the fired brick's, tan hm = tan h (1−sW)/(1−sL).
func (r Ring) Mould(s Shrinkage) (Segment, error) {
	fired, err := r.Segment()
	if err != nil {
		return Segment{}, err
	}
	c, err := CavityFor(Size{fired.Outer, fired.Thickness, fired.Height}, s, Size{})
	if err != nil {
		return Segment{}, err
	}
	along := c.Size[Length] / fired.Outer
	return Segment{Inner: fired.Inner * along, Outer: c.Size[Length], Thickness: c.Size[Width], Height: c.Size[Height],
		End: math.Atan((fired.Outer - fired.Inner) / 2 * along / c.Size[Width])}, nil
}

// Closure is how well a ring closes, as standard uncertainties.
type Closure struct {
	Mitre      float64 // rad, of the angles of all segments together, from cutting, brick by brick
	Shrinkage  float64 // rad, the same from a wrong guess of how differently length and thickness shrink; shared by all
	Angle      float64 // rad, both
	Gap        float64 // m, what the last joint may gape at the outside, at two standard uncertainties
	Worst      float64 // m, if every mitre erred by two standard uncertainties to one side
	Across     float64 // m, of the inside width
	Takes      bool    // the joints, half filled to half again as full, take the gap
	Text       message.Text
	MitreShare float64 // of the variance of the angle, 0 to 1
}

// Closure stacks the tolerances of a ring. mitre is the standard uncertainty
// (rad) of one end face, length that of one face (m). A uniform error of
// shrinkage scales the ring and leaves it closed; one that differs between the
// two axes turns every mitre the same way, by sin h cos h δ(sL−sW)/(1−s), and
// is felt 2n times.
func (r Ring) Closure(s Shrinkage, mitre, length float64) (Closure, error) {
	seg, err := r.Segment()
	if err != nil {
		return Closure{}, err
	}
	n, h := float64(r.Sides), r.half()
	differ := math.Hypot(s[Length].UTotal()/(1-float64(s[Length].Total())), s[Width].UTotal()/(1-float64(s[Width].Total())))
	c := Closure{
		Mitre:     math.Sqrt(2*n) * mitre,
		Shrinkage: 2 * n * math.Sin(h) * math.Cos(h) * differ,
		Across:    math.Hypot(length/math.Sqrt(n)/math.Tan(h), r.Across*s[Length].UTotal()/(1-float64(s[Length].Total()))),
	}
	c.Angle = math.Hypot(c.Mitre, c.Shrinkage)
	if c.Angle > 0 {
		c.MitreShare = c.Mitre * c.Mitre / (c.Angle * c.Angle)
	}
	corner := (r.Across/2 + r.Thickness) / math.Cos(h)
	c.Gap = 2 * c.Angle * corner
	c.Worst = 4 * n * mitre * corner
	c.Takes = c.Gap <= n*r.Joint/2
	id := "brick.ring.gapes"
	if c.Takes {
		id = "brick.ring.closes"
	}
	c.Text = message.T(id, "n", r.Sides, "gap", quantity.MM1(c.Gap), "joint", quantity.MM1(r.Joint),
		"end", quantity.Deg(seg.End), "cause", message.T(pick(c.MitreShare > 0.5, "brick.ring.by-mitre", "brick.ring.by-shrinkage")))
	return c, nil
}
