package kit

import (
	"math"

	"stovewright/brick"
	"stovewright/kit/flat"
	"stovewright/message"
	"stovewright/proof"
	"stovewright/stove"
)

// Checks are the entries of this package in the proof register.
func Checks() []proof.Check {
	return []proof.Check{
		{ID: "kit/mould-114", Quantity: "mould of a brick of 114 mm", Inputs: "6 % drying, 3 % firing on the dry length", Unit: "mm", Expected: 125.03, Abs: 0.005,
			Standing: proof.Exact, Note: "114/(0.94·0.97) by hand", Ours: mould114},
		{ID: "kit/rod-holes", Quantity: "holes in the skirt", Inputs: "three rods", Expected: 6, Abs: 1e-9, Standing: proof.CommonPractice,
			Ours: func() float64 { return float64(len(ring().slotAngles())) }},
		{ID: "kit/rod-hole-length", Quantity: "length of a rod hole on the flat", Unit: "mm",
			Inputs: "skirt 200 mm at the middle of its sheet, hole 10 mm, rod 50 mm off the middle", Expected: 11.5599, Abs: 5e-5, Standing: proof.Exact,
			Note: "100 (acos 0.45 − acos 0.55) by hand", Ours: func() float64 { a := ring().slotAngles()[0]; return 100 * (a[1] - a[0]) * math.Pi / 180 }},
		{ID: "kit/grate-bar", Quantity: "bar between two grate slots", Inputs: "grate 66 mm long, slots of 8 mm, 8 mm at the end", Unit: "mm", Expected: 58.0/3 - 8, Abs: 1e-9,
			Standing: proof.Exact, Note: "three slots share 58 mm; common practice wants bars of 10 mm or more", Ours: func() float64 { return grateFor(66, 36, 142).pitch - slotWidth }},
		{ID: "kit/foot-strip", Quantity: "flat length of a foot 30 mm high", Inputs: "flanges 25 mm, sole 40 mm, four folds over 3 mm in bar 3 mm thick", Unit: "mm",
			Expected: 126.9757, Abs: 5e-5, Standing: proof.Exact, Note: "150 − 4 (12 − (π/2)(3 + 0.325·3)) by hand, neutral axis as DIN 6935",
			Ours: func() float64 { return footStrip(30).Length }},
	}
}

// mould114 sizes the mould of a square brick of 114 mm.
func mould114() float64 {
	given := stove.Brick{DryShrinkage: stove.ByEdge{SI: [3]float64{0.06, 0.06, 0.06}, Known: true},
		Firing: stove.ByEdge{SI: [3]float64{0.03, 0.03, 0.03}, Known: true}}
	m := &maker{s: &stove.Stove{Brief: stove.Brief{Brick: given}}}
	d, err := m.mould("mould.check", message.Text{}, flat.Rectangle(0, 0, 114, 114), 0.114)
	if err != nil {
		return math.NaN()
	}
	return toMM(d.Cavity.Size[brick.Length])
}

// ring is a skirt of 200 mm at the middle of its sheet, with rods half its radius
// off the middle in holes of 10 mm.
func ring() *maker {
	return &maker{s: &stove.Stove{SkirtInner: 0.199, SkirtMetal: 0.001, RodOffset: 0.05, RodDiameter: 0.009, RodLength: 0.2}}
}
