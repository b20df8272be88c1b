package stove

import (
	"math"

	"stovewright/message"
	"stovewright/quantity"
)

// GapRule is one published or customary answer to the question "which skirt
// gap?". Low and High are in metres and equal where the rule gives one value.
type GapRule struct {
	Key       string // word of choices.gap, or of the note
	Low, High float64
	Applies   bool   // the stove is inside the rule's own range
	Standing  string // proof standing
	Source    string // key of docs/sources.bib
	Chosen    bool
}

// Name and context of a rule, from the catalogue.
func (g GapRule) Name() message.Text    { return message.T("stove.gap." + g.Key) }
func (g GapRule) Context() message.Text { return message.T("stove.gap-context." + g.Key) }

// Middle is the value the rule is taken at.
func (g GapRule) Middle() float64 { return (g.Low + g.High) / 2 }

// AnnulusGap is the radial gap around a round pot of diameter d whose annulus
// has the area a: exact, g = (√(d² + 4a/π) − d)/2.
func AnnulusGap(area, diameter float64) float64 {
	return (math.Sqrt(diameter*diameter+4*area/math.Pi) - diameter) / 2
}

// ThinAnnulusGap is the same with the curvature left out, a/(π d): what the
// published rule of thumb computes, and up to a tenth too wide.
func ThinAnnulusGap(area, diameter float64) float64 { return area / (math.Pi * diameter) }

// Constants of the reconciliation: hot gas needs room in proportion to its
// absolute temperature (ideal gas), and the path needs only a share of the
// chamber's area to hold excess air between a half and three times what the
// wood needs (list post, read; key stovelist2006).
const (
	chamberGas  = 1073.0 // K, usual gas temperature leaving the chamber, common practice
	skirtGas    = 600.0  // K, usual mean gas temperature in the skirt
	sharePath   = 0.7
	gapLowest   = 6 * mm  // lowest gap any tested household rule gives for these powers
	gapTested   = 11 * mm // widest gap that a tested rule gives (key baldwin1987)
	gapHighest  = 15 * mm // above it the skirt hardly helps
	seamError   = 3 * mm  // of the length of the skirt sheet, common practice
	outOfRound  = 1 * mm  // of the gap: dents, ovality, a pot set down off centre
	handleSpace = 10 * mm // between skirt and handles
)

// ReconciledGap is the gap whose annulus passes the share of the chamber's area
// that the cooler gas needs: A_gap = A·share·T_gap/T_chamber.
func ReconciledGap(chamberArea, potDiameter, share, gapKelvin, chamberKelvin float64) float64 {
	return AnnulusGap(chamberArea*share*gapKelvin/chamberKelvin, potDiameter)
}

// GapSpread is the plus-or-minus of the radial gap in metres from the errors of
// tape, seam and roundness, added in quadrature. An error of the circumference
// or of the sheet length is an error of the gap of 1/(2π): 10 mm make 1.6 mm.
func GapSpread(tape, seam, round float64) float64 {
	length := math.Hypot(tape, seam) / (2 * math.Pi)
	return math.Hypot(length, round)
}

// gapRules sets out every rule for the skirt gap side by side.
func (z *sizer) gapRules(share float64) []GapRule {
	s := z.s
	a, d, kw := s.ChamberArea, s.Pot.Diameter(), s.PlannedPower/1000
	reconciled := ReconciledGap(a, d, share, skirtGas, chamberGas)
	big := d > 0.36
	baldwin := GapRule{Key: "baldwin", Low: 10 * mm, High: gapTested, Applies: kw >= 3 && kw <= 6, Standing: "published, read in a secondary source", Source: "baldwin1987"}
	if big {
		baldwin.Low, baldwin.High, baldwin.Applies = 8*mm, 8*mm, true
	}
	line := min(15, max(6, 5+1.2*kw)) * mm
	rules := []GapRule{
		{Key: "reconciled", Low: reconciled, High: reconciled, Applies: true, Standing: "derived", Source: "stovelist2006"},
		{Key: "manual-1984", Low: 4 * mm, High: 6 * mm, Applies: !big, Standing: "published", Source: "metalmanual1984"},
		{Key: "web-note", Low: 6 * mm, High: 7 * mm, Applies: d >= 0.20 && kw <= 6, Standing: "published", Source: "gapnote"},
		baldwin,
		{Key: "firepower-line", Low: line, High: line, Applies: kw >= 2 && kw <= 8, Standing: "common practice"},
		{Key: "trade", Low: 12 * mm, High: 12 * mm, Applies: true, Standing: "common practice"},
		{Key: "three-quarter-area", Low: AnnulusGap(0.75*a, d), High: ThinAnnulusGap(0.75*a, d), Applies: true, Standing: "published, value from memory", Source: "chamberguide"},
		{Key: "constant-area", Low: AnnulusGap(a, d), High: ThinAnnulusGap(a, d), Applies: true, Standing: "published", Source: "chamberguide"},
	}
	for i := range rules {
		rules[i].Chosen = rules[i].Key == z.b.Choices.Gap
	}
	return rules
}

func (z *sizer) skirt() {
	s := z.s
	share := z.choose("gap.share", Default, quantity.Pct(sharePath), 0.3, 1, message.T("stove.why.gap-share"))
	s.GapRules = z.gapRules(share)
	spread := GapSpread(s.Pot.TapeError, seamError, outOfRound)
	gap, why := z.chosenGap(spread)
	s.SkirtGap = z.choose("skirt.gap", Rule, quantity.MM1(gap), 0.003, 0.05, why)
	s.byID["skirt.gap"].Spread = spread
	s.SkirtMetal = z.sheet("skirt.thickness", 0.25*mm, 2*mm, "bare", "stainless")
	s.SkirtInner = z.follow("skirt.inner", Rule, quantity.MM1(s.Pot.Diameter()+2*s.SkirtGap), message.T("stove.why.skirt-inner"))
	rise, why := z.skirtRise()
	s.SkirtRise = z.choose("skirt.rise", Rule, quantity.MM(rise), 0, max(rise, s.Pot.Height+0.05), why)
	s.TopThickness = z.sheet("top.thickness", 0.4*mm, 4*mm, "bare", "stainless")
	s.SkirtHeight = z.follow("skirt.height", Rule, quantity.MM(s.SkirtRise+s.RestHeight-s.TopThickness), message.T("stove.why.skirt-height"))
}

// chosenGap takes the rule of the brief. The reconciled gap is widened by the
// making error, so that the narrowest skirt that may come out still passes the
// gas, and rounded up to a whole millimetre.
func (z *sizer) chosenGap(spread float64) (float64, message.Text) {
	for _, r := range z.s.GapRules {
		if !r.Chosen {
			continue
		}
		if r.Key == "reconciled" {
			gap := min(gapHighest, max(gapLowest, roundUp(r.Low+spread, mm)))
			return gap, message.T("stove.why.gap-reconciled", "least", quantity.MM1(r.Low), "spread", quantity.MM1(spread))
		}
		return roundTo(r.Middle(), mm/2), message.T("stove.why.gap-rule", "rule", r.Name())
	}
	return gapLowest, message.Text{} // not reached: the brief's word is one of the rules
}

// GapBand is the range of skirt gaps worth trying with this pot, in metres: from
// the narrowest that passes the gas to the widest that a tested rule gives, or its
// own where that is wider.
func (s *Stove) GapBand() (low, high float64) {
	return min(s.GapRules[0].Low, gapLowest), max(gapTested, s.SkirtGap)
}

// skirtRise is how far the skirt reaches above the base of the pot: three
// quarters of the pot (common practice), but clear of the handles.
func (z *sizer) skirtRise() (float64, message.Text) {
	p := z.s.Pot
	byPot, byHandle := 0.75*p.Height, p.Handle-handleSpace
	if byHandle < byPot {
		return roundDown(max(0, byHandle), 5*mm), message.T("stove.why.skirt-handle", "space", quantity.MM(handleSpace))
	}
	return roundDown(byPot, 5*mm), message.T("stove.why.skirt-pot")
}

// gapAdvice says what to change after the first fire, one change a test.
func gapAdvice(s *Stove) []message.Text {
	low, high := s.GapBand()
	return []message.Text{
		message.T("stove.advice.band", "low", quantity.MM(low), "high", quantity.MM(high), "gap", quantity.MM1(s.SkirtGap), "spread", quantity.MM1(s.byID["skirt.gap"].Spread)),
		message.T("stove.advice.smoke", "wider", quantity.MM1(s.SkirtGap+2*mm)),
		message.T("stove.advice.slow", "narrower", quantity.MM1(max(3*mm, s.SkirtGap-2*mm))),
		message.T("stove.advice.one"),
	}
}
