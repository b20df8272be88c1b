package cli

import (
	"stovewright/booklet"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/quantity"
)

// The JSON form of a kit: docs/schema/kit.schema.json.

type kitDoc struct {
	Name    string        `json:"name,omitempty"`
	Dir     string        `json:"dir"`
	Paper   string        `json:"paper"`
	Mass    float64       `json:"mass"`
	Files   []fileDoc     `json:"files"`
	Parts   []partDoc     `json:"parts"`
	Cuts    []cutDoc      `json:"cuts"`
	Buy     []purchaseDoc `json:"buy"`
	Tools   []string      `json:"tools"`
	Remarks []string      `json:"remarks"`
}

type fileDoc struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
}

type partDoc struct {
	ID       string       `json:"id"`
	Name     string       `json:"name"`
	Count    int          `json:"count"`
	Material string       `json:"material"`
	Mass     float64      `json:"mass"`
	Volume   float64      `json:"volume,omitempty"`
	Sizes    []measureDoc `json:"sizes"`
	Because  string       `json:"because,omitempty"`
	Patterns []string     `json:"patterns"`
}

type measureDoc struct {
	Name string  `json:"name"`
	SI   float64 `json:"si"`
	Unit string  `json:"unit"`
	Text string  `json:"text"`
}

type cutDoc struct {
	ID        string  `json:"id"`
	Name      string  `json:"name"`
	Use       string  `json:"use"`
	Count     int     `json:"count"`
	Material  string  `json:"material,omitempty"`
	Length    float64 `json:"length"`
	Width     float64 `json:"width,omitempty"`
	Thickness float64 `json:"thickness"`
}

type purchaseDoc struct {
	ID      string      `json:"id"`
	Name    string      `json:"name"`
	Count   int         `json:"count,omitempty"`
	Size    string      `json:"size,omitempty"`
	Amount  *measureDoc `json:"amount,omitempty"`
	AtHand  bool        `json:"at_hand"`
	Because string      `json:"because,omitempty"`
}

func kitJSON(k *kit.Kit, files []booklet.File, dir, paper string, c *message.Catalogue) kitDoc {
	d := kitDoc{Name: k.Stove.Brief.Name, Dir: dir, Paper: paper, Mass: k.Mass(),
		Files: []fileDoc{}, Tools: say(c, k.Tools), Remarks: say(c, k.Remarks)}
	for _, f := range files {
		d.Files = append(d.Files, fileDoc{f.Name, len(f.Data)})
	}
	for _, p := range k.Parts {
		part := partDoc{ID: p.ID, Name: c.Say(p.Name), Count: p.Count, Material: p.Material, Mass: p.Mass, Volume: p.Volume,
			Sizes: []measureDoc{}, Because: c.Say(p.Because), Patterns: append([]string{}, p.Patterns...)}
		for _, m := range p.Sizes {
			part.Sizes = append(part.Sizes, measureJSON(c, m.Name, m.Value))
		}
		d.Parts = append(d.Parts, part)
	}
	for _, x := range k.Cuts {
		d.Cuts = append(d.Cuts, cutDoc{x.ID, c.Say(x.Name), string(x.Use), x.Count, x.Material, x.Length, x.Width, x.Thick})
	}
	for _, p := range k.Purchases {
		buy := purchaseDoc{ID: p.ID, Name: c.Say(p.Name), Count: p.Count, Size: c.Say(p.Size), AtHand: p.AtHand, Because: c.Say(p.Because)}
		if p.Amount != (quantity.Value{}) {
			amount := measureJSON(c, p.Name, p.Amount)
			buy.Amount = &amount
		}
		d.Buy = append(d.Buy, buy)
	}
	return d
}

func measureJSON(c *message.Catalogue, name message.Text, v quantity.Value) measureDoc {
	return measureDoc{c.Say(name), v.SI, v.Unit.Dimension.SI(), c.Value(v)}
}

func say(c *message.Catalogue, texts []message.Text) []string {
	list := make([]string, len(texts))
	for i, t := range texts {
		list[i] = c.Say(t)
	}
	return list
}
