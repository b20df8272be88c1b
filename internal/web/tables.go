package web

import (
	"strings"
	"unicode"

	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// bar is a range and a mark on a scale, in per cent of its length, for the
// little pictures beside the numbers. The numbers stand in words as well.
type bar struct{ From, Width, At float64 }

func barOn(scale, from, to, at float64) bar {
	pct := func(x float64) float64 { return 100 * min(1, max(0, x/scale)) }
	return bar{From: pct(from), Width: max(pct(to)-pct(from), 0.8), At: pct(at)}
}

// ringRow is a station of the gas path.
type ringRow struct {
	stove.Ring
	GapValue, NeedsValue, WideValue quantity.Value
	Bar                             bar
	Dim                             string // the dimension that sets it
}

// ringScale is the ratio at the end of the ring pictures.
const ringScale = 2.0

var ringDimension = map[string]string{"mouth": "mouth.height", "air": "shelf.height", "chamber": "chamber.width",
	"throat": "gap.throat", "block": "gap.block", "rods": "rest.height", "edge": "gap.edge", "skirt": "skirt.gap"}

func ringRows(s *stove.Stove) []ringRow {
	ratio := func(x float64) quantity.Value { return quantity.Value{SI: x, Unit: quantity.One, Step: 0.01} }
	var list []ringRow
	for _, r := range s.Rings {
		list = append(list, ringRow{r, quantity.MM1(r.Gap), ratio(r.Needs), ratio(r.Wide),
			barOn(ringScale, r.Needs, r.Wide, r.Ratio), ringDimension[r.Key]})
	}
	return list
}

// gapTable sets the rules for the skirt gap side by side on one scale.
type gapTable struct {
	Rules     []gapRow
	Gap       quantity.Value // of the stove
	Spread    quantity.Value
	Low, High quantity.Value // worth trying with this pot
	Band      bar            // with the gap of the stove as its mark
	Yours     bool           // the user set it
	Advice    []message.Text
	Ticks     []string // evenly along the scale
}

type gapRow struct {
	stove.GapRule
	LowValue, HighValue quantity.Value
	One                 bool // a single value, not a range
	Bar                 bar
	Choosable           bool
	StandingText        message.Text
	SourceTitle         string
}

// gapScale is the gap at the end of the pictures, m.
const gapScale = 0.020

func (b *Bench) gapTable(s *stove.Stove) gapTable {
	low, high := s.GapBand()
	d := s.Dimension("skirt.gap")
	t := gapTable{Gap: d.Value, Spread: spreadOf(d), Low: quantity.MM(low), High: quantity.MM(high),
		Band: barOn(gapScale, low, high, d.Value.SI), Yours: d.Origin == stove.Yours, Advice: s.Advice}
	choosable := map[string]bool{}
	if rule, ok := stove.FieldOf("choices.gap"); ok {
		for _, word := range rule.Options {
			choosable[word] = true
		}
	}
	for _, g := range s.GapRules {
		t.Rules = append(t.Rules, gapRow{GapRule: g, LowValue: quantity.MM1(g.Low), HighValue: quantity.MM1(g.High),
			One: quantity.MM1(g.Low).Number() == quantity.MM1(g.High).Number(), Bar: barOn(gapScale, g.Low, g.High, g.Middle()),
			Choosable: choosable[g.Key], StandingText: standingText(g.Standing), SourceTitle: sourceTitle(g.Source)})
	}
	const steps = 4
	for i := range steps + 1 {
		t.Ticks = append(t.Ticks, b.Catalogue.Number(quantity.MM(gapScale*float64(i)/steps)))
	}
	return t
}

// standingText is the message of a standing: "published, value from memory"
// becomes "web.standing.published-value-from-memory".
func standingText(standing string) message.Text {
	words := strings.FieldsFunc(standing, func(r rune) bool { return !unicode.IsLetter(r) })
	return message.T("web.standing." + strings.Join(words, "-"))
}

// fitRow is how a pot of the kitchen sits in the stove.
type fitRow struct {
	stove.Fit
	Diameter, SpreadValue quantity.Value
}

func fitRows(s *stove.Stove) []fitRow {
	var list []fitRow
	for _, f := range s.Fits {
		list = append(list, fitRow{f, quantity.MM(f.Pot.Diameter()), quantity.MM1(f.Spread)})
	}
	return list
}

// profile is the gap of a round pot at each height.
type profile struct {
	Name   string
	Points []profilePoint
}

type profilePoint struct {
	Height, Radius, Gap quantity.Value
	Bar                 bar
}

func profiles(s *stove.Stove) []profile {
	var list []profile
	for _, p := range s.Brief.Pots {
		if !p.Round {
			continue
		}
		pr := profile{Name: p.Name}
		scale := 0.0
		points := s.GapByHeight(p)
		for _, g := range points {
			scale = max(scale, g.Gap)
		}
		for _, g := range points {
			pr.Points = append(pr.Points, profilePoint{quantity.MM(g.Height), quantity.MM(g.Radius), quantity.MM1(g.Gap),
				barOn(scale, 0, g.Gap, g.Gap)})
		}
		list = append(list, pr)
	}
	return list
}
