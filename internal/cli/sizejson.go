package cli

import (
	"stovewright/message"
	"stovewright/stove"
)

// The JSON form of a sized stove: docs/schema/size.schema.json. Values are in
// SI beside the text that people see.

type stoveDoc struct {
	Name       string         `json:"name,omitempty"`
	Note       string         `json:"note,omitempty"`
	Dimensions []dimensionDoc `json:"dimensions"`
	Rings      []ringDoc      `json:"rings"`
	GapRules   []gapDoc       `json:"gap_rules"`
	Advice     []string       `json:"advice"`
	Pots       []fitDoc       `json:"pots"`
	Trade      []tradeDoc     `json:"trade"`
	Checks     []checkDoc     `json:"checks"`
}

type dimensionDoc struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	SI       float64  `json:"si"`
	Unit     string   `json:"unit"`
	Text     string   `json:"text"`
	Origin   string   `json:"origin"`
	Because  string   `json:"because"`
	Rule     float64  `json:"rule"`
	Editable bool     `json:"editable"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Spread   float64  `json:"spread,omitempty"`
}

type ringDoc struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	Area    float64 `json:"area"`
	Ratio   float64 `json:"ratio"`
	Needs   float64 `json:"needs"`
	Wide    float64 `json:"wide"`
	Verdict string  `json:"verdict"`
}

type gapDoc struct {
	ID       string  `json:"id"`
	Name     string  `json:"name"`
	Context  string  `json:"context"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Applies  bool    `json:"applies"`
	Chosen   bool    `json:"chosen"`
	Standing string  `json:"standing"`
	Source   string  `json:"source,omitempty"`
}

type fitDoc struct {
	Name         string     `json:"name,omitempty"`
	Diameter     float64    `json:"diameter"`
	Gap          float64    `json:"gap"`
	Spread       float64    `json:"spread"`
	Verdict      string     `json:"verdict"`
	Words        string     `json:"words"`
	HandlesClear bool       `json:"handles_clear"`
	GapByHeight  []pointDoc `json:"gap_by_height,omitempty"`
}

type pointDoc struct {
	Height float64 `json:"height"`
	Gap    float64 `json:"gap"`
}

type tradeDoc struct {
	ID     string `json:"id"`
	Trade  string `json:"trade"`
	Ours   string `json:"ours"`
	Agrees bool   `json:"agrees"`
}

type checkDoc struct {
	ID    string   `json:"id"`
	Level string   `json:"level"`
	Text  string   `json:"text"`
	About []string `json:"about,omitempty"`
}

func stoveJSON(s *stove.Stove, c *message.Catalogue) stoveDoc {
	d := stoveDoc{Name: s.Brief.Name, Note: s.Brief.Note}
	for _, x := range s.Dimensions {
		d.Dimensions = append(d.Dimensions, dimensionJSON(s, x, c))
	}
	for _, r := range s.Rings {
		d.Rings = append(d.Rings, ringDoc{r.Key, c.Say(r.Name()), r.Area, r.Ratio, r.Needs, r.Wide, r.Verdict})
	}
	for _, g := range s.GapRules {
		d.GapRules = append(d.GapRules, gapDoc{g.Key, c.Say(g.Name()), c.Say(g.Context()), g.Low, g.High, g.Applies, g.Chosen, g.Standing, g.Source})
	}
	for _, a := range s.Advice {
		d.Advice = append(d.Advice, c.Say(a))
	}
	for _, f := range s.Fits {
		doc := fitDoc{Name: f.Pot.Name, Diameter: f.Pot.Diameter(), Gap: f.Gap, Spread: f.Spread, Verdict: f.Verdict, Words: c.Say(f.Words()), HandlesClear: f.Handles}
		if f.Pot.Round {
			for _, g := range s.GapByHeight(f.Pot) {
				doc.GapByHeight = append(doc.GapByHeight, pointDoc{g.Height, g.Gap})
			}
		}
		d.Pots = append(d.Pots, doc)
	}
	for _, t := range s.Trade {
		d.Trade = append(d.Trade, tradeDoc{t.Key, c.Say(t.Name()), c.Say(t.Ours), t.Agrees})
	}
	d.Checks = []checkDoc{}
	for _, k := range s.Checks {
		d.Checks = append(d.Checks, checkDoc{k.ID, string(k.Level), c.Say(k.Text), k.About})
	}
	return d
}

func dimensionJSON(s *stove.Stove, x *stove.Dimension, c *message.Catalogue) dimensionDoc {
	d := dimensionDoc{ID: x.ID, Name: c.Say(x.Name()), SI: x.Value.SI, Unit: x.Value.Unit.Dimension.SI(), Text: c.Value(x.Value), Origin: string(x.Origin),
		Because: c.Say(x.Because), Rule: x.ByRule, Editable: x.Editable, Spread: x.Spread}
	if low, high, ok := s.Range(x.ID); ok {
		d.Low, d.High = &low, &high
	}
	return d
}
