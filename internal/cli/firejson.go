package cli

import (
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// The JSON form of a stove alight: docs/schema/fire.schema.json. Values are in
// SI; texts are for people.

type fireDoc struct {
	Name         string           `json:"name,omitempty"`
	Note         string           `json:"note,omitempty"`
	Computed     string           `json:"computed"`
	Task         taskDoc          `json:"task"`
	Air          airDoc           `json:"air"`
	Wood         woodDoc          `json:"wood"`
	Says         []string         `json:"says"`
	Cautions     []string         `json:"cautions"`
	Point        pointOfFireDoc   `json:"point"`
	Heat         heatDoc          `json:"heat"`
	Losses       []lossDoc        `json:"losses"`
	Rings        []fireRingDoc    `json:"rings"`
	BoilingPoint float64          `json:"boiling_point"`
	Phases       []phaseDoc       `json:"phases,omitempty"`
	Skins        *skinDoc         `json:"skins,omitempty"`
	Bands        *bandsDoc        `json:"bands,omitempty"`
	Difference   *differenceDoc   `json:"difference,omitempty"`
	Published    []comparisonDoc  `json:"published,omitempty"`
	NotPredicted []notedDoc       `json:"not_predicted"`
	Findings     []comparisonDoc  `json:"findings,omitempty"`
	Measured     []measuredDoc    `json:"measured,omitempty"`
	Coefficients []coefficientDoc `json:"coefficients"`
	Standing     []string         `json:"standing"`
}

type taskDoc struct {
	Power     float64 `json:"power"`
	Water     float64 `json:"water"`
	Start     float64 `json:"start"`
	Hold      float64 `json:"hold"`
	Lid       bool    `json:"lid"`
	Sticks    int     `json:"sticks"`
	StickMass float64 `json:"stick_mass"`
}

type airDoc struct {
	Temperature float64 `json:"temperature"`
	Pressure    float64 `json:"pressure"`
}

type woodDoc struct {
	Kind     string  `json:"kind"`
	Moisture float64 `json:"moisture"`
	LHV      float64 `json:"lhv"`
}

type pointOfFireDoc struct {
	Power    float64 `json:"power"`
	Pot      float64 `json:"pot"`
	Flow     float64 `json:"flow"`
	Wood     float64 `json:"wood"`
	AirRatio float64 `json:"air_ratio"`
	Bed      float64 `json:"bed"`
	Chamber  float64 `json:"chamber"`
	Throat   float64 `json:"throat"`
	Edge     float64 `json:"edge"`
	Exit     float64 `json:"exit"`
	Draft    float64 `json:"draft"`
	Eff      float64 `json:"efficiency"`
	Reynolds float64 `json:"reynolds"`
	Closure  float64 `json:"closure"`
}

type heatDoc struct {
	Bed     float64 `json:"bed"`
	Flame   float64 `json:"flame"`
	Centre  float64 `json:"centre"`
	Ring    float64 `json:"ring"`
	Side    float64 `json:"side"`
	Pot     float64 `json:"pot"`
	Exhaust float64 `json:"exhaust"`
	Wall    float64 `json:"wall"`
	Skirt   float64 `json:"skirt"`
	Unburnt float64 `json:"unburnt"`
}

type lossDoc struct {
	Place  string  `json:"place"`
	Name   string  `json:"name"`
	Pascal float64 `json:"pascal"`
	Share  float64 `json:"share"`
}

type fireRingDoc struct {
	Place       string  `json:"place"`
	Name        string  `json:"name"`
	Path        float64 `json:"path"`
	Height      float64 `json:"height"`
	Radius      float64 `json:"radius"`
	Gap         float64 `json:"gap"`
	Area        float64 `json:"area"`
	Temperature float64 `json:"temperature"`
	Velocity    float64 `json:"velocity"`
	Pressure    float64 `json:"pressure"`
	Reynolds    float64 `json:"reynolds"`
	Heat        float64 `json:"heat"`
	Outside     float64 `json:"outside"`
	Skin        float64 `json:"skin"`
}

type phaseDoc struct {
	Name        string      `json:"name"`
	WoodBefore  float64     `json:"wood_before"`
	WoodAfter   float64     `json:"wood_after"`
	Char        float64     `json:"char"`
	PotBefore   float64     `json:"pot_before"`
	PotAfter    float64     `json:"pot_after"`
	WaterBefore float64     `json:"water_before"`
	WaterAfter  float64     `json:"water_after"`
	Time        float64     `json:"time"`
	Wood        float64     `json:"wood"`
	Evaporated  float64     `json:"evaporated"`
	Efficiency  *float64    `json:"efficiency"` // null for the simmer
	LeastAir    float64     `json:"least_air_ratio"`
	Sticks      int         `json:"sticks"`
	Samples     []sampleDoc `json:"samples"`
}

type sampleDoc struct {
	Time     float64 `json:"time"`
	Water    float64 `json:"water"`
	Power    float64 `json:"power"`
	AirRatio float64 `json:"air_ratio"`
	ToPot    float64 `json:"to_pot"`
	ToWall   float64 `json:"to_wall"`
	Throat   float64 `json:"throat"`
	Skin     float64 `json:"skin"`
	Steam    float64 `json:"steam"`
	Wood     float64 `json:"wood"`
}

type skinDoc struct {
	Side    float64 `json:"side"`
	Top     float64 `json:"top"`
	Skirt   float64 `json:"skirt"`
	Exit    float64 `json:"exit"`
	Stored  float64 `json:"stored"`
	Lost    float64 `json:"lost"`
	Seconds float64 `json:"seconds"`
}

type bandsDoc struct {
	Draws     int       `json:"draws"`
	Choked    int       `json:"choked"`
	Smoky     int       `json:"smoky"`
	BoilDraws int       `json:"boil_draws"`
	Failed    int       `json:"failed"`
	List      []bandDoc `json:"list"`
}

type bandDoc struct {
	Of     string  `json:"of"`
	Unit   string  `json:"unit"`
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
	Drift  float64 `json:"drift"`
}

type differenceDoc struct {
	Other     string      `json:"other"`
	BoilDraws int         `json:"boil_draws"`
	List      []changeDoc `json:"list"`
}

type changeDoc struct {
	Of     string  `json:"of"`
	Unit   string  `json:"unit"`
	Theirs float64 `json:"theirs"`
	Ours   float64 `json:"ours"`
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
	Drift  float64 `json:"drift"`
}

type comparisonDoc struct {
	Key         string  `json:"key"`
	Quantity    string  `json:"quantity"`
	Unit        string  `json:"unit"`
	Low         float64 `json:"low"`
	High        float64 `json:"high"`
	Uncertainty float64 `json:"uncertainty"`
	Ours        float64 `json:"ours"`
	Inside      bool    `json:"inside"`
	Miss        float64 `json:"miss"`
	Alike       bool    `json:"alike"`
	Stove       string  `json:"stove"`
	Conditions  string  `json:"conditions"`
	Standing    string  `json:"standing"`
	Source      string  `json:"source"`
}

type notedDoc struct {
	What       string `json:"what"`
	Value      string `json:"value"`
	Conditions string `json:"conditions"`
	Standing   string `json:"standing"`
	Source     string `json:"source"`
}

type measuredDoc struct {
	Name     string      `json:"name"`
	Source   string      `json:"source"`
	Standing string      `json:"standing"`
	Note     string      `json:"note"`
	Failure  string      `json:"failure,omitempty"`
	Results  []answerDoc `json:"results"`
}

type answerDoc struct {
	Quantity    string  `json:"quantity"`
	Unit        string  `json:"unit"`
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty"`
	Tests       int     `json:"tests"`
	Ours        float64 `json:"ours"`
	Low         float64 `json:"low"`
	Middle      float64 `json:"middle"`
	High        float64 `json:"high"`
	Drift       float64 `json:"drift"`
	Off         float64 `json:"off"`
	Inside      bool    `json:"inside"`
}

type coefficientDoc struct {
	Key      string  `json:"key"`
	Name     string  `json:"name"`
	Unit     string  `json:"unit"`
	Value    float64 `json:"value"`
	Table    float64 `json:"table"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Standing string  `json:"standing"`
	Source   string  `json:"source"`
	Note     string  `json:"note"`
}

func fireJSON(p *prediction, c *message.Catalogue) fireDoc {
	wood, moisture := p.model.Fuel()
	t := p.lit.Task
	d := fireDoc{Name: p.stove.Brief.Name, Note: p.stove.Brief.Note, Computed: c.S("cli.fire.computed"),
		Task: taskDoc{t.Power, t.Water, t.Start, t.Hold, p.lit.Stove.Pot.Lid, t.Sticks.Burning, t.Sticks.Mass},
		Air:  airDoc{p.lit.Air.Temperature, p.lit.Air.Pressure}, Wood: woodDoc{wood.Key, moisture.Wet(), wood.LHV(moisture)},
		Point: pointOfFireJSON(p.point), Heat: heatJSON(p.point.Heat), BoilingPoint: p.run.BoilingPoint,
		Published: comparisonsJSON(p.comparisons), Findings: comparisonsJSON(p.mine), Measured: measuredJSON(p.measured, c), Standing: []string{}, Cautions: []string{}}
	if p.never == nil {
		d.Skins = &skinDoc{p.soak.Hottest, p.soak.Top, p.skirt(), p.point.ExitT, p.soak.Stored, p.soak.Lost, p.soak.Seconds}
	}
	d.Says = append(d.Says, c.Say(p.airRatio()))
	for _, s := range p.says {
		d.Says = append(d.Says, c.Say(s))
	}
	for _, s := range p.cautions() {
		d.Cautions = append(d.Cautions, c.Say(s))
	}
	for l, loss := range p.point.Losses {
		place := fire.Loss(l).String()
		d.Losses = append(d.Losses, lossDoc{place, c.S("fire.place." + place), loss, loss / p.point.Draft})
	}
	for _, r := range p.rings {
		d.Rings = append(d.Rings, fireRingDoc{r.Place, c.S("fire.station." + r.Place), r.Path, r.Height, r.Radius, r.Gap, r.Area, r.Temperature, r.Velocity, r.Pressure, r.Reynolds, r.Heat, r.Outside, r.Skin})
	}
	for _, x := range p.phases() { // none where the water never boils
		d.Phases = append(d.Phases, phaseJSON(p.model, x))
	}
	if p.bands != nil {
		d.Bands = bandsJSON(p)
	}
	if p.difference != nil {
		d.Difference = differenceJSON(p.difference)
	}
	for _, n := range fire.NotPredicted() {
		d.NotPredicted = append(d.NotPredicted, notedDoc{n.What, n.Value, n.Conditions, n.Standing, n.Source})
	}
	for i, r := range fire.Table() {
		d.Coefficients = append(d.Coefficients, coefficientDoc{r.Key, c.S("fire.coefficient." + r.Key), r.Unit, p.c[i], r.Value, r.Low, r.High, r.Standing, r.Source, r.Note})
	}
	for _, id := range standings {
		d.Standing = append(d.Standing, c.S(id))
	}
	return d
}

func pointOfFireJSON(p fire.Point) pointOfFireDoc {
	return pointOfFireDoc{p.Power, p.PotT, p.Flow, p.FuelRate, p.AirRatio, p.BedT, p.ChamberT, p.ThroatT, p.EdgeT, p.ExitT, p.Draft, p.Efficiency(), p.Reynolds, p.Closure}
}

func heatJSON(b fire.Balance) heatDoc {
	return heatDoc{b.Bed, b.Flame, b.Centre, b.Ring, b.Side, b.Pot(), b.Exhaust, b.Wall, b.Skirt, b.Unburnt}
}

func phaseJSON(m *fire.Model, x fire.Phase) phaseDoc {
	r := x.Readings
	d := phaseDoc{Name: x.Name, WoodBefore: r.WoodBefore, WoodAfter: r.WoodAfter, Char: r.CharAfter, PotBefore: r.PotBefore, PotAfter: r.PotAfter,
		WaterBefore: r.WaterBefore, WaterAfter: r.WaterAfter, Time: x.Duration(), Wood: x.WoodUsed(), Evaporated: x.Evaporated(), LeastAir: x.Least, Sticks: x.Sticks}
	if x.Name != "simmer" {
		e := m.TestEfficiency(x)
		d.Efficiency = &e
	}
	for _, s := range x.Samples {
		d.Samples = append(d.Samples, sampleDoc{s.Time, s.Water, s.Power, s.AirRatio, s.ToPot, s.ToWall, s.ThroatT, s.Skin, s.Steam, s.Wood})
	}
	return d
}

func bandsJSON(p *prediction) *bandsDoc {
	d := &bandsDoc{Draws: p.bands.Draws, Choked: p.bands.Choked, Smoky: p.bands.Smoky, BoilDraws: p.boil.Draws, Failed: p.boil.Failed}
	for _, r := range p.bandRows() {
		d.List = append(d.List, bandDoc{r.id, unitOf(r.value), r.band.Low, r.band.Middle, r.band.High, r.band.Drift})
	}
	return d
}

func unitOf(value func(float64) quantity.Value) string { return value(0).Unit.Dimension.SI() }

func differenceJSON(x *difference) *differenceDoc {
	d := &differenceDoc{Other: x.name, BoilDraws: x.boilDraws}
	for _, r := range x.rows() {
		d.List = append(d.List, changeDoc{r.id, unitOf(r.value), r.theirs, r.ours, r.band.Low, r.band.Middle, r.band.High, r.band.Drift})
	}
	return d
}

func comparisonsJSON(list []fire.Comparison) []comparisonDoc {
	var docs []comparisonDoc
	for _, x := range list {
		f := x.Finding
		docs = append(docs, comparisonDoc{f.Key, f.Quantity, unitOf(measure(x).Value), f.Low, f.High, f.Uncertainty, x.Ours, x.Inside, x.Miss, x.Alike, f.Stove, f.Conditions, f.Standing, f.Source})
	}
	return docs
}

func measuredJSON(runs []measuredRun, c *message.Catalogue) []measuredDoc {
	var docs []measuredDoc
	for _, r := range runs {
		d := measuredDoc{Name: r.Name, Source: r.Source, Standing: r.Standing, Note: r.Note, Results: []answerDoc{}}
		if r.err != nil {
			d.Failure = reason(c, r.err)
		}
		for _, a := range r.answers {
			m := a.Result.Measure
			d.Results = append(d.Results, answerDoc{m.Key, unitOf(m.Value), a.Result.Value, a.Result.Uncertainty, a.Result.Tests, a.Ours, a.Band.Low, a.Band.Middle, a.Band.High, a.Band.Drift, a.Off, a.Inside})
		}
		docs = append(docs, d)
	}
	return docs
}
