package cli

import (
	"stovewright/explore"
	"stovewright/message"
)

// The JSON forms of package explore's answers, docs/schema/explore.schema.json.
// Numbers are SI; a number that does not exist is null.
type exploreJSON struct {
	Question string         `json:"question"`
	Computed bool           `json:"computed"` // never measured
	Says     []string       `json:"says"`
	Local    []localJSON    `json:"local,omitempty"`
	Spreads  []spreadJSON   `json:"spreads,omitempty"`
	Rows     []rowJSON      `json:"rows,omitempty"`
	Closer   []closerJSON   `json:"closer,omitempty"`
	Gauges   []gaugeJSON    `json:"gauges,omitempty"`
	Designs  []designJSON   `json:"designs,omitempty"`
	Beliefs  []beliefJSON   `json:"beliefs,omitempty"`
	Foretold []foretoldJSON `json:"foretold,omitempty"`
	RHat     *float64       `json:"r_hat,omitempty"`
	ESS      *float64       `json:"effective_draws,omitempty"`

	Steps   []stepJSON          `json:"steps,omitempty"`
	Scatter *float64            `json:"scatter,omitempty"`
	Repeat  *bool               `json:"repeat_first,omitempty"`
	Before  map[string]*float64 `json:"before,omitempty"`
	After   map[string]*float64 `json:"after,omitempty"`
	Parts   []partJSON          `json:"parts,omitempty"`
	Orders  *float64            `json:"orders,omitempty"`
	Sets    []setJSON           `json:"sets,omitempty"`
}

type localJSON struct {
	Input      string              `json:"input"`
	Name       string              `json:"name"`
	Group      string              `json:"group"`
	Value      float64             `json:"value"`
	Step       float64             `json:"step"`
	PerStep    map[string]*float64 `json:"per_step"`
	PerPercent map[string]*float64 `json:"per_percent"`
}

type shareJSON struct {
	Input string    `json:"input,omitempty"`
	Group string    `json:"group"`
	Name  string    `json:"name"`
	First indexJSON `json:"first"`
	Total indexJSON `json:"total"`
}

type indexJSON struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

type spreadJSON struct {
	Metric string      `json:"metric"`
	Mean   *float64    `json:"mean"`
	SD     *float64    `json:"sd"`
	Lost   float64     `json:"lost"`
	Groups []shareJSON `json:"groups"`
	Inputs []shareJSON `json:"inputs"`
}

type rowJSON struct {
	Error  string   `json:"error"`
	Factor float64  `json:"factor"`
	Pot    int      `json:"pot"`
	Good   float64  `json:"good"`
	InTime float64  `json:"in_time"`
	Smoky  float64  `json:"smoky"`
	NoFit  float64  `json:"no_fit"`
	Wood   *float64 `json:"wood"`
	Time   *float64 `json:"time"`
}

type closerJSON struct {
	Error  string   `json:"error"`
	Name   string   `json:"name"`
	Usual  float64  `json:"usual"`
	Worth  float64  `json:"worth"`
	Gained *float64 `json:"gained"`
	Saved  *float64 `json:"saved"`
}

type gaugeJSON struct {
	Name    string  `json:"name"`
	Nominal float64 `json:"nominal"`
	Least   float64 `json:"least"`
	Most    float64 `json:"most"`
}

type designJSON struct {
	Objectives  map[string]*float64 `json:"objectives"`
	AirRatio    *float64            `json:"air_ratio"`
	Time        *float64            `json:"time"`
	Skin        *float64            `json:"skin"`
	Cost        *float64            `json:"cost,omitempty"` // none where nothing has a price
	Mass        *float64            `json:"mass"`
	Recommended bool                `json:"recommended"`
	Choices     map[string]string   `json:"choices"` // ways of building that are otherwise than on the stove of the brief
	Sets        string              `json:"sets"`    // all that the design sets, in words
	Says        []string            `json:"says"`
	Brief       string              `json:"brief"` // the file, YAML
}

type beliefJSON struct {
	Input  string   `json:"input"`
	Name   string   `json:"name"`
	Before bandJSON `json:"before"`
	After  bandJSON `json:"after"`
	Share  *float64 `json:"from_the_tests"`
}

type bandJSON struct {
	Low    *float64 `json:"low"`
	Middle *float64 `json:"middle"`
	High   *float64 `json:"high"`
}

type foretoldJSON struct {
	Trial    string   `json:"trial"`
	HeldOut  bool     `json:"held_out"`
	Quantity string   `json:"quantity"`
	Measured float64  `json:"measured"`
	Before   bandJSON `json:"before"`
	After    bandJSON `json:"after"`
	Inside   bool     `json:"inside"`
}

type stepJSON struct {
	Name        string   `json:"name"` // empty for the stove of today once more
	Repeat      bool     `json:"repeat"`
	Information *float64 `json:"information"`
	Gain        *float64 `json:"gain"`
	Saves       *float64 `json:"saves"`
	Surely      *float64 `json:"surely"`
	Tests       int      `json:"tests"`
	Power       *float64 `json:"power"`
	ShortOfAir  float64  `json:"short_of_air"`
	Brief       string   `json:"brief"` // the file, YAML
}

type partJSON struct {
	Change string              `json:"change"`
	Name   string              `json:"name"`
	Brings map[string]*float64 `json:"brings"`
	Doubt  map[string]*float64 `json:"doubt"`
}

type setJSON struct {
	Set    string       `json:"set"`
	Wood   *float64     `json:"wood"`
	Pots   []setPotJSON `json:"pots"`
	Briefs []string     `json:"briefs"`
}

type setPotJSON struct {
	Pot  string   `json:"pot"`
	On   int      `json:"on"` // which of the briefs
	Wood *float64 `json:"wood"`
}

func outcomeJSON(o explore.Outcome) map[string]*float64 {
	list := make(map[string]*float64)
	for m := range explore.MetricCount {
		list[m.String()] = finite(o[m])
	}
	return list
}

func sensitivityJSON(local []explore.Local, spreads []explore.Spread, c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "sensitivity", Computed: true}
	for m := range explore.MetricCount {
		for i, l := range explore.Rank(local, explore.Chosen, m) {
			if i < mostRanked && (i == 0 || l.Shows(m)) {
				out.Says = append(out.Says, c.Say(l.Say(m)))
			}
		}
	}
	for _, l := range local {
		out.Local = append(out.Local, localJSON{l.Input.Key, c.Say(l.Input.Name()), string(l.Input.Group), l.At, l.Step, outcomeJSON(l.PerStep), outcomeJSON(l.PerPercent)})
	}
	for _, s := range spreads {
		out.Says = append(out.Says, sentences(c, s.Says())...)
		out.Spreads = append(out.Spreads, spreadJSON{s.Metric.String(), finite(s.Mean), finite(s.SD), s.Lost, sharesJSON(s.Groups, c), sharesJSON(s.Inputs, c)})
	}
	return out
}

func sharesJSON(list []explore.Share, c *message.Catalogue) []shareJSON {
	index := func(i explore.Index) indexJSON { return indexJSON{finite(i.Value), finite(i.Low), finite(i.High)} }
	out := make([]shareJSON, len(list))
	for i, s := range list {
		out[i] = shareJSON{s.Input.Key, string(s.Group), c.Say(s.Name()), index(s.First), index(s.Total)}
	}
	return out
}

func toleranceJSON(t *explore.Tolerance, c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "tolerance", Computed: true, Says: sentences(c, t.Says())}
	for _, r := range t.Done {
		out.Rows = append(out.Rows, rowJSON{r.Error, r.Factor, r.Pot, r.Good, r.InTime, r.Smoky, r.NoFit, finite(r.Wood), finite(r.Time)})
	}
	for _, k := range t.Closenesses() {
		out.Closer = append(out.Closer, closerJSON{k.Error.Key, c.Say(k.Error.Name()), k.Usual, k.Worth, finite(k.Gained), finite(k.Saved)})
	}
	for _, g := range t.Gauges() {
		out.Gauges = append(out.Gauges, gaugeJSON{c.Say(g.Name), g.Nominal.SI, g.Least.SI, g.Most.SI})
	}
	return out
}
