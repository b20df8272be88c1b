package stove

import (
	"math"

	"stovewright/material"
	"stovewright/message"
	"stovewright/quantity"
)

// Level is how loudly a check speaks. None of them blocks.
type Level string

// The levels.
const (
	Note    Level = "note"    // worth knowing
	Caution Level = "caution" // likely to disappoint or wear out
	Warning Level = "warning" // can hurt somebody or will not work
)

// Check is something about the stove that the maker should know, with the
// reason and what to do.
type Check struct {
	ID    string // message "stove.check.<id>"
	Level Level
	Text  message.Text
	About []string // dimension ids it speaks of
}

// Limits of the checks (common practice unless said otherwise).
const (
	skirtLeast    = 0.10 // m; a lower skirt catches little heat (web note on gaps, read)
	wallLeast     = 40 * mm
	tiltLeast     = 15 * math.Pi / 180
	tiltGood      = 20 * math.Pi / 180 // cosine 0.940: best rating of the published safety test, from memory
	restTiltLeast = 25 * math.Pi / 180
	touchKelvin   = 273.15 + 60
	wetWood       = 0.25
	thickStick    = 0.5 // of the fuel space
	highPlace     = 2000.0
)

// cookHeights are the comfortable heights of the pot's rim for a posture, m
// (common practice, no source): measure your own cook.
var cookHeights = map[string][2]float64{"squatting": {0.30, 0.50}, "sitting": {0.35, 0.60}, "standing": {0.70, 0.95}}

type checker struct {
	s    *Stove
	list []Check
}

func (c *checker) say(level Level, id string, about []string, args ...any) {
	c.list = append(c.list, Check{ID: id, Level: level, Text: message.T("stove.check."+id, args...), About: about})
}

// checks looks the finished stove over: warnings first.
func checks(s *Stove) []Check {
	c := &checker{s: s}
	c.pot()
	c.rings()
	c.stands()
	c.cook()
	c.walls()
	c.zinc()
	c.rods()
	c.fuel()
	var sorted []Check
	for _, level := range []Level{Warning, Caution, Note} {
		for _, k := range c.list {
			if k.Level == level {
				sorted = append(sorted, k)
			}
		}
	}
	return sorted
}

func (c *checker) pot() {
	s := c.s
	if top := s.SkirtRise + handleSpace; s.Pot.Handle < top-mm/2 {
		c.say(Warning, "handles", []string{"skirt.rise"}, "handle", quantity.MM(s.Pot.Handle), "skirt", quantity.MM(s.SkirtRise), "most", quantity.MM(max(0, s.Pot.Handle-handleSpace)))
	}
	if s.SkirtRise < skirtLeast {
		c.say(Caution, "skirt-low", []string{"skirt.rise"}, "rise", quantity.MM(s.SkirtRise), "least", quantity.MM(skirtLeast))
	}
	low, _ := s.GapBand()
	if s.SkirtGap < low-mm/2 {
		c.say(Warning, "gap-narrow", []string{"skirt.gap"}, "gap", quantity.MM1(s.SkirtGap), "low", quantity.MM1(low))
	} else if s.SkirtGap > gapHighest+mm/2 {
		c.say(Caution, "gap-wide", []string{"skirt.gap"}, "gap", quantity.MM1(s.SkirtGap), "high", quantity.MM1(gapTested))
	}
	if spread := s.byID["skirt.gap"].Spread; spread > 0.3*s.SkirtGap {
		c.say(Caution, "gap-spread", []string{"skirt.gap"}, "spread", quantity.MM1(spread), "gap", quantity.MM1(s.SkirtGap))
	}
	for _, f := range s.Fits {
		if f.Verdict == "no" || f.Verdict == "falls" || f.Verdict == "tight" {
			c.say(Caution, "other-pot", []string{"skirt.gap"}, "pot", potName(f.Pot), "fit", f.Words())
		}
	}
}

// potName is the user's own name of a pot, or its size.
func potName(p Pot) string {
	if p.Name != "" {
		return p.Name
	}
	return "Ø " + quantity.MM(p.Diameter()).String()
}

func (c *checker) rings() {
	about := map[string][]string{"mouth": {"mouth.width", "mouth.height"}, "air": {"shelf.height"}, "throat": {"gap.throat"},
		"block": {"gap.block"}, "rods": {"rest.rod", "rest.height"}, "edge": {"gap.edge"}, "skirt": {"skirt.gap"}}
	for _, r := range c.s.Rings {
		if r.Verdict == "right" {
			continue
		}
		level := Caution
		if r.Verdict == "narrow" {
			level = Warning
		}
		c.say(level, "ring-"+r.Verdict, about[r.Key], "ring", r.Name(), "ratio", r.RatioValue(),
			"needs", quantity.Value{SI: r.Needs, Unit: quantity.One, Step: 0.01}, "wide", quantity.Value{SI: r.Wide, Unit: quantity.One, Step: 0.01})
	}
	s := c.s
	if loading := s.PlannedPower / s.ChamberArea; loading > loadingHigh*1.2 || loading < loadingLow*0.7 {
		c.say(Note, "loading", []string{"chamber.width"}, "loading", s.Value("chamber.loading"))
	}
	if tall := s.ChamberHeight / s.ChamberWidth; tall < 2.4 || tall > 3.6 {
		c.say(Caution, "chamber-height", []string{"brick.courses"}, "ratio", quantity.Value{SI: tall, Unit: quantity.One, Step: 0.1})
	}
}

func (c *checker) stands() {
	s := c.s
	tilt := s.TiltAngle()
	switch {
	case tilt < tiltLeast:
		c.say(Warning, "tilt", []string{"base.feet_count", "body.inner"}, "angle", quantity.Deg(tilt))
	case tilt < tiltGood:
		c.say(Caution, "tilt", []string{"base.feet_count", "body.inner"}, "angle", quantity.Deg(tilt))
	}
	if rest := s.RestTiltAngle(); rest < restTiltLeast {
		c.say(Caution, "rest-tilt", []string{"rest.offset"}, "angle", quantity.Deg(rest))
	}
	if m := s.Brief.MaxWeight; m.Known && s.Mass > m.SI {
		c.say(Caution, "weight", []string{"stove.mass"}, "mass", quantity.KG(s.Mass), "limit", quantity.KG(m.SI))
	}
	if s.Mass > 25 {
		c.say(Note, "lift", []string{"stove.mass"}, "mass", quantity.KG(s.Mass))
	}
}

func (c *checker) cook() {
	s := c.s
	rim := quantity.MM(s.RimLevel())
	if h := s.Brief.MaxHeight; h.Known && s.RimLevel() > h.SI+mm/2 {
		c.say(Caution, "height", []string{"brick.courses"}, "rim", rim, "limit", quantity.MM(h.SI))
	}
	band, ok := cookHeights[s.Brief.Posture]
	if !ok {
		return
	}
	if s.RimLevel() > band[1] {
		c.say(Caution, "cook-high", []string{"brick.courses", "base.feet"}, "rim", rim, "posture", message.T("stove.word."+s.Brief.Posture), "most", quantity.MM(band[1]))
	} else if s.RimLevel() < band[0] {
		c.say(Note, "cook-low", []string{"base.feet"}, "rim", rim, "posture", message.T("stove.word."+s.Brief.Posture), "least", quantity.MM(band[0]))
	}
}

func (c *checker) walls() {
	s := c.s
	if s.BrickThickness < wallLeast && s.BrickDensity() < 1000 && !s.Liner {
		c.say(Caution, "wall-thin", []string{"brick.thickness"}, "wall", quantity.MM(s.BrickThickness), "least", quantity.MM(wallLeast))
	}
	if fill := s.FillMaterial(); s.FillInterface > fill.LimitC+273.15 {
		id := "fill-hot"
		if fill.Cement {
			id = "fill-cement"
		}
		c.say(Warning, id, []string{"brick.thickness"}, "fill", message.T("material."+fill.Key), "hot", s.Value("fill.hottest"),
			"limit", quantity.Value{SI: fill.LimitC + 273.15, Unit: quantity.Celsius, Step: 10})
	}
	if s.BrickDensity() >= 1000 {
		c.say(Note, "brick-sinks", []string{"brick.thickness"}, "density", quantity.Value{SI: s.BrickDensity(), Unit: quantity.GramPerCM3, Step: 0.01})
	}
	if m := s.BrickMaterial(); s.Brief.Brick.Limit.Known && m.LimitC < chamberHottestC {
		c.say(Caution, "brick-limit", []string{"brick.density"}, "limit", quantity.C(m.LimitC+273.15), "hot", quantity.C(chamberHottestC+273.15))
	}
	if k := s.Brief.Brick; k.Body != "" && !k.Measured {
		c.say(Note, "brick-predicted", []string{"brick.density", "brick.shrinkage"}, "body", k.Body)
	}
	if s.BodySkin > touchKelvin {
		c.say(Caution, "skin", []string{"body.inner"}, "skin", s.Value("body.skin"))
	}
	if s.Brief.Choices.Body == "container" && s.Container == nil {
		c.say(Caution, "no-container", []string{"body.inner"}, "need", quantity.MM(s.BodyInner), "height", quantity.MM(s.BodyHeight))
	}
}

// chamberHottestC is what the wall of a chamber bears at its hottest (common
// practice).
const chamberHottestC = 900.0

// Usual temperatures of a pot skirt (list post on skirt temperatures, read; key
// stovelist2007skirt).
const skirtInsideC = 400.0

func (c *checker) zinc() {
	s := c.s
	harmed := quantity.Value{SI: material.ZincHarmedC + 273.15, Unit: quantity.Celsius, Step: 10}
	melts := quantity.Value{SI: material.ZincMeltsC + 273.15, Unit: quantity.Celsius, Step: 10}
	if s.Brief.Choices.Skirt == "galvanised" {
		c.say(Warning, "zinc-skirt", []string{"skirt.thickness"}, "hot", quantity.Value{SI: skirtInsideC + 273.15, Unit: quantity.Celsius, Step: 10}, "harmed", harmed, "melts", melts)
	}
	zincBody := s.Container != nil && s.Container.Coating == "galvanised"
	if s.Container == nil && len(s.Brief.Sheets) > 0 {
		zincBody = true
		for _, sheet := range s.Brief.Sheets {
			zincBody = zincBody && sheet.Coating == "galvanised"
		}
	}
	if zincBody {
		level := Note
		if s.BodySkin > material.ZincHarmedC+273.15 {
			level = Warning
		}
		c.say(level, "zinc-body", []string{"body.inner"}, "skin", s.Value("body.skin"), "harmed", harmed)
	}
	if s.Container != nil && (s.Container.Coating == "painted" || s.Container.Kind == "drum") {
		c.say(Warning, "drum", []string{"body.inner"})
	}
}

func (c *checker) rods() {
	s := c.s
	st := s.RodState()
	strong := rodFor(s.rodSpan(), s.potLoad())
	args := []any{"rod", quantity.MM1(s.RodDiameter), "share", quantity.Pct(st.Utilisation), "next", quantity.MM1(strong),
		"hot", quantity.Value{SI: rodKelvin, Unit: quantity.Celsius, Step: 10}, "sag", quantity.MM1(st.Deflection)}
	switch {
	case st.Utilisation <= 1:
		c.say(Note, "rod-strength", []string{"rest.rod"}, args...)
	case rodState(strong, s.rodSpan(), s.potLoad()).Utilisation <= 1:
		c.say(Warning, "rod-weak", []string{"rest.rod"}, args...)
	default:
		c.say(Warning, "rod-none", []string{"rest.rod"}, args...)
	}
	if s.RodOffset < s.BoreCorner()+s.RodDiameter {
		c.say(Caution, "rod-in-flame", []string{"rest.offset"}, "offset", quantity.MM(s.RodOffset), "corner", quantity.MM(s.BoreCorner()))
	}
	if under := s.TopThickness + s.RodHeight - s.RodDiameter/2 - s.LiningThickness(s.RodOffset); under < 3*mm {
		c.say(Warning, "rod-lining", []string{"rest.height", "rest.rod"}, "under", quantity.MM1(under))
	}
}

func (c *checker) fuel() {
	s, f := c.s, c.s.Brief.Fuel
	if f.Kind == "charcoal" {
		c.say(Warning, "charcoal", nil)
	}
	if wet := f.MoistureContent().Wet(); wet > wetWood {
		c.say(Caution, "wet-wood", nil, "wet", quantity.Pct(wet))
	}
	space := s.MouthHeight - s.ShelfHeight
	if f.Stick.Known && f.Stick.SI > thickStick*space {
		c.say(Caution, "thick-stick", []string{"mouth.height"}, "stick", quantity.MM(f.Stick.SI), "space", quantity.MM(space))
	}
	if s.Brief.Altitude.Or(0) > highPlace {
		c.say(Note, "altitude", nil, "altitude", quantity.Value{SI: s.Brief.Altitude.SI, Unit: quantity.Metre, Step: 10})
	}
}
