package explore

import (
	"math"
	"strconv"
	"strings"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// Group says whose an input is. They are kept apart: a maker who hears that "the
// gap" matters must know whether it is the drawing, the model or the hand.
type Group string

// The groups.
const (
	Chosen    Group = "chosen"    // by the maker: dimensions of the drawing
	Uncertain Group = "uncertain" // in the model: its coefficients
	Varies    Group = "varies"    // at each building and each cook
)

// Groups lists them.
var Groups = []Group{Chosen, Uncertain, Varies}

// Name is the group in words.
func (g Group) Name() message.Text { return message.T("explore.group." + string(g)) }

// Shape is how an input is spread over its range.
type Shape string

// The shapes.
const (
	Uniform    Shape = "uniform"    // alike from Low to High
	Triangular Shape = "triangular" // from Low to High, likeliest at Middle
	Normal     Shape = "normal"     // around Middle, Low and High two standard deviations away
)

// Input is something that may be otherwise. Its key tells what: the id of a
// dimension ("skirt.gap"), "fire." and a coefficient, "make." and an error of
// making, or "burn." and a habit of the cook. SI.
type Input struct {
	Key    string
	Group  Group
	Shape  Shape
	Low    float64
	Middle float64
	High   float64
}

// At is the value that a share u of all values lie below, 0 < u < 1.
func (in Input) At(u float64) float64 {
	width := in.High - in.Low
	switch {
	case width == 0:
		return in.Middle
	case in.Shape == Normal:
		return in.Middle + width/4*math.Sqrt2*math.Erfinv(2*math.Min(math.Max(u, 1e-9), 1-1e-9)-1)
	case in.Shape == Uniform:
		return in.Low + u*width
	case u < (in.Middle-in.Low)/width:
		return in.Low + math.Sqrt(u*width*(in.Middle-in.Low))
	}
	return in.High - math.Sqrt((1-u)*width*(in.High-in.Middle))
}

// Name is the input in words.
func (in Input) Name() message.Text {
	switch kind, rest, _ := strings.Cut(in.Key, "."); kind {
	case "fire":
		return message.T("fire.coefficient." + rest)
	case "make":
		return message.T("explore.make." + rest)
	case "burn":
		return message.T("explore.burn." + rest)
	}
	return message.T("stove.dim." + in.Key)
}

// Unit is how values of the input are shown.
func (in Input) Unit() quantity.Unit {
	switch kind, rest, _ := strings.Cut(in.Key, "."); {
	case kind == "make" && rest == "shrinkage", kind == "burn":
		return quantity.Percent
	case kind == "make":
		return quantity.Millimetre
	case kind == "fire":
		return quantity.One
	case strings.HasPrefix(in.Key, "power."):
		return quantity.Kilowatt
	}
	return quantity.Millimetre
}

// Value is a value of the input as it is shown.
func (in Input) Value(si float64) quantity.Value {
	u := in.Unit()
	v := quantity.Value{SI: si, Unit: u}
	switch u {
	case quantity.Millimetre, quantity.Percent, quantity.Kilowatt:
		v.Step = 0.1
	}
	return v
}

// ChosenKeys are the dimensions that the fire feels and the maker sets, in the
// order of the sizing. A stove has only those that apply to it.
var ChosenKeys = []string{"power.fire", "chamber.width", "mouth.height", "mouth.width", "brick.thickness", "brick.height",
	"gap.throat", "gap.edge", "skirt.gap", "skirt.rise", "rest.height", "body.inner"}

// ChosenInputs are the dimensions of a stove that the maker may choose otherwise,
// alike within a share of their value (0.1 is a tenth either way), as far as the
// stove allows.
func ChosenInputs(s *stove.Stove, share float64) []Input {
	var list []Input
	for _, id := range ChosenKeys {
		d := s.Dimension(id)
		if d == nil || !d.Editable {
			continue
		}
		low, high, ok := s.Range(id)
		x := d.Value.SI
		in := Input{Key: id, Group: Chosen, Shape: Uniform, Low: math.Max(low, x*(1-share)), Middle: x, High: math.Min(high, x*(1+share))}
		if ok && in.High > in.Low {
			list = append(list, in)
		}
	}
	return list
}

// UncertainInputs are the coefficients of the model over the ranges of its table,
// likeliest at the values in use.
func UncertainInputs(c fire.Coefficients) []Input {
	var list []Input
	for i, r := range fire.Table() {
		in := Input{Key: "fire." + r.Key, Group: Uncertain, Shape: Triangular, Low: math.Min(r.Low, c[i]), Middle: c[i], High: math.Max(r.High, c[i])}
		if in.High > in.Low {
			list = append(list, in)
		}
	}
	return list
}

// VaryingInputs are the errors of making and the habits of cooking around what
// was planned. Ranges are common practice; a workshop that measures its own puts
// them in.
func VaryingInputs(p Practice) []Input {
	normal := func(key string, two float64) Input {
		return Input{Key: key, Group: Varies, Shape: Normal, Low: -two, High: two}
	}
	list := []Input{
		normal("make.tape", p.Tape), normal("make.seam", p.Seam), normal("make.dent", p.Dent), normal("make.shrinkage", p.Shrinkage),
		normal("make.rods", p.Rods), normal("make.lining", p.Lining), normal("make.mouth", p.Mouth),
		normal("burn.moisture", p.Moisture), normal("burn.power", p.Power), normal("burn.fill", p.Fill), normal("burn.heat", p.Heat),
	}
	var kept []Input
	for _, in := range list {
		if in.High > in.Low {
			kept = append(kept, in)
		}
	}
	return kept
}

// Practice is how closely a workshop makes and how steadily a cook cooks: of each
// error, what nineteen of twenty stay within (two standard deviations), SI.
type Practice struct {
	Tape, Seam, Dent    float64 // m
	Shrinkage           float64 // share
	Rods, Lining, Mouth float64 // m
	Moisture            float64 // share of wet mass
	Power, Fill, Heat   float64 // shares of firepower, of water in the pot, of the wood's heating value
}

// UsualPractice is that of a careful workshop without jigs (common practice, no
// source); the tape's and the seam's are those of the sizing.
func UsualPractice() Practice {
	return Practice{Tape: 0.005, Seam: 0.003, Dent: 0.001, Shrinkage: 0.015, Rods: 0.002, Lining: 0.002, Mouth: 0.003,
		Moisture: 0.05, Power: 0.2, Fill: 0.2, Heat: 0.04}
}

// instance is one stove as it may come out and be used.
type instance struct {
	yours        map[string]float64 // dimension → SI
	making       Making
	coefficients fire.Coefficients
	moisture     float64 // added share of wet mass
	power        float64 // factors
	fill, heat   float64
}

// set gives an input of the instance its value; false for an unknown key.
func (n *instance) set(key string, x float64) bool {
	kind, rest, _ := strings.Cut(key, ".")
	switch kind {
	case "fire":
		c, ok := fire.CoefficientByKey(rest)
		if ok {
			n.coefficients[c] = x
		}
		return ok
	case "make":
		field, ok := map[string]*float64{"tape": &n.making.Tape, "seam": &n.making.Seam, "dent": &n.making.Dent, "shrinkage": &n.making.Shrinkage,
			"rods": &n.making.Rods, "lining": &n.making.Lining, "mouth": &n.making.Mouth}[rest]
		if ok {
			*field = x
		}
		return ok
	case "burn":
		switch rest {
		case "moisture":
			n.moisture = x
		case "power":
			n.power = 1 + x
		case "fill":
			n.fill = 1 + x
		case "heat":
			n.heat = 1 + x
		default:
			return false
		}
		return true
	}
	if n.yours == nil {
		n.yours = make(map[string]float64)
	}
	n.yours[key] = x
	return true
}

// text writes an override of a dimension in the unit it is read in, without the
// noise of the last binary places.
func text(d *stove.Dimension, si float64) string {
	return strconv.FormatFloat(math.Round(d.Value.Unit.Number(si)*1e9)/1e9, 'f', -1, 64)
}
