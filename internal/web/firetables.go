package web

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"stovewright/fire"
	firefigure "stovewright/fire/figure"
	"stovewright/message"
	"stovewright/quantity"
)

// tile is one headline number of a stove alight.
type tile struct {
	Key   string // message "web.fire.tile.<key>"
	Value quantity.Value
	Band  *band
	Words message.Text // what it means, or what goes with it
	Level string       // "warning", "caution" or ""
}

// band is where nine of ten draws lie.
type band struct{ Low, High quantity.Value }

func bandOf(v quantity.Value, b fire.Band) *band {
	low, high := v, v
	low.SI, high.SI = b.Low, b.High
	return &band{low, high}
}

func ratio(x, step float64) quantity.Value {
	return quantity.Value{SI: x, Unit: quantity.One, Step: step}
}
func minutes(s float64) quantity.Value {
	return quantity.Value{SI: s, Unit: quantity.Minute, Step: 1}
}
func grams(kg, step float64) quantity.Value {
	if kg >= 10 {
		return quantity.KG(kg)
	}
	return quantity.Value{SI: kg, Unit: quantity.Gram, Step: step}
}
func kilowatts(w float64) quantity.Value {
	return quantity.Value{SI: w, Unit: quantity.Kilowatt, Step: 0.01}
}

// tiles are the headline numbers: air, efficiency, time and wood to the boil, and
// what can burn a hand.
func tiles(x *burning, bands *fire.Bands, boil *fire.BoilBands) []tile {
	p := x.point
	air := tile{Key: "air", Value: ratio(p.AirRatio, 0.1)}
	air.Words, air.Level = airWords(p.AirRatio)
	into := tile{Key: "efficiency", Value: quantity.Pct(p.Efficiency()), Words: message.T("web.fire.tile.efficiency-of", "power", quantity.KW(p.Heat.Pot()))}
	if bands != nil {
		air.Band, into.Band = bandOf(air.Value, bands.AirRatio), bandOf(into.Value, bands.Efficiency)
	}
	list := []tile{air, into}
	if x.runErr == nil {
		cold := x.run.Cold
		time := tile{Key: "boil", Value: minutes(cold.Duration()), Words: message.T("web.fire.tile.boil-hot", "hot", minutes(x.run.Hot.Duration()))}
		wood := tile{Key: "wood", Value: grams(cold.WoodUsed(), 5), Words: message.T("web.fire.tile.wood-hot", "hot", grams(x.run.Hot.WoodUsed(), 5))}
		if boil != nil {
			time.Band, wood.Band = bandOf(time.Value, boil.ColdTime), bandOf(wood.Value, boil.ColdWood)
		}
		list = append(list, time, wood)
	}
	return list
}

// airWords say what an air ratio means.
func airWords(ratio float64) (message.Text, string) {
	switch {
	case ratio < fire.SmokeLimit:
		return message.T("web.fire.air.smokes"), "warning"
	case ratio < fire.AirCaution:
		return message.T("web.fire.air.little"), "caution"
	case ratio > fire.OverAired:
		return message.T("web.fire.air.much"), "caution"
	}
	return message.T("web.fire.air.enough"), ""
}

// powerField is the firepower: a number and a slider.
type powerField struct {
	fireField
	Slid      bool    // the slider was moved, so that the number follows it
	At        float64 // kW, of the slider
	From, To  float64
	PlannedBy quantity.Value
}

// fireField is one entry of what is asked of the fire.
type fireField struct {
	Path    string
	Name    message.Text
	Text    string       // as typed
	Default message.Text // what holds while the field is empty
	Unit    string
	Words   []fireWord // where it is chosen from a list
	Error   *message.InputError
}

// State names the field's state for style and script.
func (f fireField) State() string {
	if f.Error != nil {
		return "wrong"
	}
	return "right"
}

type fireWord struct {
	Word   string
	Text   message.Text
	Chosen bool
}

// settings are what is asked of the fire, with what the stove says where nothing
// is.
func (p *firePage) settings(c *message.Catalogue, form fire.Form, x *burning) {
	plain := fire.Light(p.Design.Stove)
	usual := map[string]message.Text{
		"power":         message.T("web.fire.planned", "value", quantity.KW(plain.Task.Power)),
		"water":         message.T("web.fire.by-brief", "value", quantity.L(plain.Task.Water/1000)),
		"start":         message.T("web.fire.by-room", "value", quantity.C(plain.Task.Start)),
		"hold":          message.T("web.default", "value", minutes(plain.Task.Hold)),
		"sticks":        message.T("web.fire.evenly"),
		"stick_mass":    message.T("web.default", "value", grams(0.2, 5)),
		"heating_value": message.T("web.default", "value", quantity.Value{SI: plain.Fuel.HHV(), Unit: quantity.MJPerKg, Step: 0.1}),
		"pressure":      message.T("web.default", "value", quantity.Value{SI: plain.Air.Pressure, Unit: quantity.Hectopascal, Step: 1}),
	}
	errors := map[string]*message.InputError{}
	for _, e := range x.complaints {
		errors[e.Field] = e
	}
	for _, rule := range fire.Fields {
		if rule.Path == "stove" {
			continue
		}
		text, _ := readSlot(&form, rule.Path)
		f := fireField{Path: rule.Path, Name: rule.Name(), Text: text, Default: usual[rule.Path], Unit: rule.Unit.Symbol, Error: errors[rule.Path]}
		for _, word := range rule.Options {
			f.Words = append(f.Words, fireWord{word, message.T("web.fire." + rule.Path + "." + word), strings.EqualFold(word, strings.TrimSpace(text))})
		}
		if rule.Path == "power" {
			p.Power = powerField{fireField: f, At: x.lit.Task.Power / 1000, From: rule.Min, To: rule.Max, PlannedBy: quantity.KW(plain.Task.Power)}
			continue
		}
		p.Fields = append(p.Fields, f)
	}
	b := p.Design.Stove.Brief
	p.Brief = fireBrief{Fuel: message.T("fuel." + b.Fuel.Kind), Moisture: quantity.Pct(x.lit.Moisture.Wet()),
		Altitude: quantity.Value{SI: b.Altitude.Or(0), Unit: quantity.Metre, Step: 1},
		Air:      quantity.C(x.lit.Air.Temperature), Boiling: quantity.Value{SI: x.lit.Air.BoilingPoint(), Unit: quantity.Celsius, Step: 0.1}}
	p.coefficients(c, form, x, errors)
}

// coefficientGroup is a part of the table of coefficients.
type coefficientGroup struct {
	Key  string // message "web.fire.group.<key>"
	Rows []coefficientRow
}

type coefficientRow struct {
	Key              string
	Name             message.Text
	Note             string
	Text             string // as typed; "" is the table's
	Table, Low, High string
	Unit             string
	Standing         message.Text
	Source           string
	Yours            bool
	Beyond           bool // outside the judged range
	Error            *message.InputError
}

// State names the field's state for style and script.
func (r coefficientRow) State() string {
	if r.Error != nil {
		return "wrong"
	}
	return "right"
}

// coefficientUnits are the signs of the table's units as people write them.
var coefficientUnits = strings.NewReplacer("W/(m2 K)", "W/(m²·K)", "K m2/W", "m²·K/W", "W/m2", "W/m²")

func (p *firePage) coefficients(c *message.Catalogue, form fire.Form, x *burning, errors map[string]*message.InputError) {
	p.Changed = x.c.Changed()
	number := func(v float64) string { return c.Number(shortly(v, quantity.One)) }
	for i, row := range fire.Table() {
		if n := len(p.Groups); n == 0 || p.Groups[n-1].Key != row.Group {
			p.Groups = append(p.Groups, coefficientGroup{Key: row.Group})
		}
		r := coefficientRow{Key: row.Key, Name: message.T("fire.coefficient." + row.Key), Note: row.Note, Text: form.Coefficients[row.Key],
			Table: number(row.Value), Low: number(row.Low), High: number(row.High), Unit: coefficientUnits.Replace(row.Unit),
			Standing: standingText(row.Standing), Error: errors["coefficients."+row.Key]}
		if row.Unit == "1" {
			r.Unit = ""
		}
		if row.Source != "" {
			r.Source = sourceTitle(row.Source)
		}
		r.Yours = r.Text != "" && r.Error == nil && x.c[i] != row.Value
		r.Beyond = r.Yours && (x.c[i] < row.Low || x.c[i] > row.High)
		g := &p.Groups[len(p.Groups)-1]
		g.Rows = append(g.Rows, r)
	}
}

// fireRing is a line of the ring table.
type fireRing struct {
	Number                               int // on the drawing; 0 for none
	Name                                 message.Text
	Along, Temperature, Speed, Pressure  quantity.Value
	Gap, Heat, Outside, Skin             quantity.Value
	Reynolds                             quantity.Value
	HasGap, HasHeat, HasOutside, HasSkin bool
	HasReynolds                          bool
}

func fireRings(rings []fire.Ring) []fireRing {
	numbers := map[int]int{}
	for _, s := range firefigure.Stations(rings) {
		numbers[s.Index] = s.Number
	}
	var list []fireRing
	for i, r := range rings {
		list = append(list, fireRing{Number: numbers[i], Name: message.T("fire.station." + r.Place), Along: quantity.MM(r.Path),
			Temperature: quantity.C(r.Temperature), Speed: quantity.Value{SI: r.Velocity, Unit: quantity.MetrePerSec, Step: 0.01},
			Pressure: quantity.Value{SI: r.Pressure, Unit: quantity.Pascal, Step: 0.01}, Gap: quantity.MM1(r.Gap), Reynolds: ratio(r.Reynolds, 1),
			Heat: quantity.Value{SI: r.Heat, Unit: quantity.Watt, Step: 1}, Outside: quantity.Value{SI: r.Outside, Unit: quantity.Watt, Step: 1}, Skin: quantity.C(r.Skin),
			HasGap: r.Gap > 0, HasHeat: r.Heat > 0, HasOutside: r.Outside > 0, HasSkin: r.Skin > 0, HasReynolds: r.Reynolds > 0})
	}
	return list
}

// phaseColumn is a phase of the boiling test; phaseRow one reading or result of
// all of them.
type phaseColumn struct {
	Key     string // message "figure.fire.phase.<key>"
	Caution []message.Text
}

type phaseRow struct {
	Key    string // message "web.fire.row.<key>"
	Result bool   // computed from the readings
	Values []quantity.Value
}

// phaseTable sets a boiling test as it is written when it is measured: the
// readings of scale, thermometer and clock, then what follows from them.
func phaseTable(x *burning) (columns []phaseColumn, rows []phaseRow) {
	var phases []fire.Phase
	for _, p := range []fire.Phase{x.run.Cold, x.run.Hot, x.run.Simmer} {
		if len(p.Samples) > 0 {
			phases = append(phases, p)
			columns = append(columns, phaseColumn{Key: p.Name})
		}
	}
	celsius := func(k float64) quantity.Value {
		return quantity.Value{SI: k, Unit: quantity.Celsius, Step: 0.1}
	}
	heavy := func(kg float64) quantity.Value { return quantity.Value{SI: kg, Unit: quantity.Gram, Step: 1} }
	row := func(key string, result bool, of func(fire.Phase) quantity.Value) {
		r := phaseRow{Key: key, Result: result}
		for _, p := range phases {
			r.Values = append(r.Values, of(p))
		}
		rows = append(rows, r)
	}
	row("wood-before", false, func(p fire.Phase) quantity.Value { return heavy(p.Readings.WoodBefore) })
	row("wood-after", false, func(p fire.Phase) quantity.Value { return heavy(p.Readings.WoodAfter) })
	row("char", false, func(p fire.Phase) quantity.Value { return heavy(p.Readings.CharAfter) })
	row("pot-before", false, func(p fire.Phase) quantity.Value { return heavy(p.Readings.PotBefore) })
	row("pot-after", false, func(p fire.Phase) quantity.Value { return heavy(p.Readings.PotAfter) })
	row("water-before", false, func(p fire.Phase) quantity.Value { return celsius(p.Readings.WaterBefore) })
	row("water-after", false, func(p fire.Phase) quantity.Value { return celsius(p.Readings.WaterAfter) })
	row("began", false, func(p fire.Phase) quantity.Value { return minutes(p.Readings.Began) })
	row("ended", false, func(p fire.Phase) quantity.Value { return minutes(p.Readings.Ended) })
	row("duration", true, func(p fire.Phase) quantity.Value { return minutes(p.Duration()) })
	row("wood", true, func(p fire.Phase) quantity.Value { return heavy(p.WoodUsed()) })
	row("evaporated", true, func(p fire.Phase) quantity.Value { return heavy(p.Evaporated()) })
	row("efficiency", true, func(p fire.Phase) quantity.Value { return quantity.Pct(x.model.TestEfficiency(p)) })
	row("firepower", true, func(p fire.Phase) quantity.Value { return quantity.KW(p.Mean.Total()) })
	row("air", true, func(p fire.Phase) quantity.Value { return ratio(p.Least, 0.1) })
	if x.lit.Task.Sticks.Burning > 0 {
		row("sticks", true, func(p fire.Phase) quantity.Value { return ratio(float64(p.Sticks), 1) })
	}
	return columns, rows
}

// skinRow is how hot a part gets that a hand can touch.
type skinRow struct {
	Key         string // message "web.fire.skin.<key>"
	Temperature quantity.Value
	Cautions    []message.Text
}

// skin lists what can be touched and burns.
func (p *firePage) skin(d *design, x *burning, soak *fire.Soak) {
	const surface = "bare metal" // a coat of paint hardly helps
	add := func(key string, kelvin float64) {
		if kelvin > 0 {
			row := skinRow{Key: key, Temperature: quantity.C(kelvin)}
			for _, c := range fire.SkinCautions(kelvin, surface) { // of the body: told here of any part
				row.Cautions = append(row.Cautions, message.Text{ID: "web.fire.burns", Args: c.Args})
			}
			p.Skin = append(p.Skin, row)
		}
	}
	add("skirt", math.Max(x.point.SkirtT, math.Max(x.run.Cold.Skirt, math.Max(x.run.Hot.Skirt, x.run.Simmer.Skirt))))
	if soak != nil {
		add("top", soak.Top)
		add("body", soak.Hottest)
	}
	s := d.Stove
	if s.Pot.Handle > s.SkirtRise {
		p.SkinWords = append(p.SkinWords, message.T("web.fire.handles-above", "temperature", quantity.C(x.point.ExitT)))
	} else {
		p.SkinWords = append(p.SkinWords, message.T("web.fire.handles-within", "temperature", quantity.C(x.point.ExitT)))
	}
	if soak != nil {
		p.SkinWords = append(p.SkinWords, message.T("web.fire.stored", "stored", quantity.Value{SI: soak.Stored, Unit: quantity.Megajoule, Step: 0.1},
			"time", minutes(soak.Seconds)))
	}
}

// bandTable is what the draws give.
type bandTable struct {
	Draws  int
	Rows   []bandRow
	Remark []message.Text
}

type bandRow struct {
	Key                            string // message "web.fire.band.<key>"
	Low, Middle, High, Drift       quantity.Value
	LowAt, Width, MiddleAt, ZeroAt float64 // per cent of the picture's length
}

// Signed reports whether the picture has a zero in it.
func (r bandRow) Signed() bool { return r.ZeroAt > 0 && r.ZeroAt < 100 }

func bandRowOf(key string, v quantity.Value, b fire.Band, from, to float64) bandRow {
	r := bandRow{Key: key, Low: v, Middle: v, High: v, Drift: v}
	r.Low.SI, r.Middle.SI, r.High.SI = b.Low, b.Middle, b.High
	r.Drift.SI = b.Drift
	r.Drift.Step = v.Step / 10
	if v.Unit.Offset != 0 { // a difference of temperatures
		r.Drift.Unit = quantity.KelvinDiff
	}
	at := func(x float64) float64 { return 100 * math.Max(0, math.Min(1, (x-from)/(to-from))) }
	r.LowAt, r.MiddleAt, r.ZeroAt = at(b.Low), at(b.Middle), at(0)
	r.Width = math.Max(at(b.High)-r.LowAt, 0.8)
	return r
}

func steadyTable(b fire.Bands) *bandTable {
	t := &bandTable{Draws: b.Draws}
	kw := kilowatts(0)
	top := b.ToPot.High * 1.05
	t.Rows = []bandRow{
		bandRowOf("air", ratio(0, 0.1), b.AirRatio, 0, math.Max(6, b.AirRatio.High)),
		bandRowOf("efficiency", quantity.Value{Unit: quantity.Percent, Step: 1}, b.Efficiency, 0, 0.8),
		bandRowOf("pot", kw, b.ToPot, 0, top),
		bandRowOf("bed", kw, b.Bed, 0, top),
		bandRowOf("centre", kw, b.Centre, 0, top),
		bandRowOf("ring", kw, b.Ring, 0, top),
		bandRowOf("side", kw, b.Side, 0, top),
		bandRowOf("wall", kw, b.WallLoss, 0, top),
		bandRowOf("throat", quantity.C(0), b.ThroatT, 273.15, 1400),
		bandRowOf("flow", quantity.Value{Unit: quantity.GramPerSec, Step: 0.01}, b.Flow, 0, b.Flow.High*1.2),
	}
	share := func(n int) quantity.Value { return quantity.Pct(float64(n) / float64(b.Draws)) }
	limit := ratio(fire.SmokeLimit, 0.1)
	if b.Smoky == 0 {
		t.Remark = append(t.Remark, message.T("web.fire.bands.never-smoky", "limit", limit))
	} else {
		t.Remark = append(t.Remark, message.T("web.fire.bands.smoky", "share", share(b.Smoky), "limit", limit))
	}
	if b.Choked > 0 {
		t.Remark = append(t.Remark, message.T("web.fire.bands.choked", "share", share(b.Choked)))
	}
	return t
}

func boilTable(b fire.BoilBands) *bandTable {
	t := &bandTable{Draws: b.Draws}
	most := math.Max(b.ColdTime.High, b.HotTime.High) * 1.05
	wood := math.Max(b.ColdWood.High, math.Max(b.HotWood.High, b.SimmerWood.High)) * 1.05
	time := minutes(0)
	time.Step = 0.1
	g := quantity.Value{Unit: quantity.Gram, Step: 1}
	pct := quantity.Value{Unit: quantity.Percent, Step: 1}
	t.Rows = []bandRow{
		bandRowOf("cold-time", time, b.ColdTime, 0, most),
		bandRowOf("hot-time", time, b.HotTime, 0, most),
		bandRowOf("cold-wood", g, b.ColdWood, 0, wood),
		bandRowOf("hot-wood", g, b.HotWood, 0, wood),
	}
	if b.SimmerWood.High > 0 {
		t.Rows = append(t.Rows, bandRowOf("simmer-wood", g, b.SimmerWood, 0, wood))
	}
	t.Rows = append(t.Rows,
		bandRowOf("cold-efficiency", pct, b.ColdEfficiency, 0, 0.8),
		bandRowOf("hot-efficiency", pct, b.HotEfficiency, 0, 0.8),
		bandRowOf("least-air", ratio(0, 0.1), b.AirRatio, 0, math.Max(6, b.AirRatio.High)))
	if b.Failed > 0 {
		t.Remark = append(t.Remark, message.T("web.fire.bands.failed", "n", b.Failed))
	}
	return t
}

// differenceOf puts the difference of two stoves into a picture and words.
func differenceOf(efficiency, air fire.Band) *difference {
	e, a := farthest(efficiency, 0.02), farthest(air, 0.2)
	points := quantity.Value{Unit: quantity.Percent, Step: 0.1}
	d := &difference{Draws: steadyDraws, Rows: []bandRow{
		bandRowOf("efficiency-points", points, efficiency, -e, e), bandRowOf("air", ratio(0, 0.01), air, -a, a)}}
	d.say("efficiency", efficiency)
	d.say("air", air)
	return d
}

// farthest is how far the picture of a difference reaches to both sides of none.
func farthest(b fire.Band, least float64) float64 {
	return 1.2 * math.Max(least, math.Max(math.Abs(b.Low), math.Abs(b.High)))
}

// boil adds the differences in the boiling test.
func (d *difference) boil(time, wood fire.Band) {
	d.Boils = boilDraws
	t := quantity.Value{Unit: quantity.Minute, Step: 0.1}
	g := quantity.Value{Unit: quantity.Gram, Step: 1}
	far, more := farthest(time, 60), farthest(wood, 0.01)
	d.Rows = append(d.Rows, bandRowOf("cold-time", t, time, -far, far), bandRowOf("cold-wood", g, wood, -more, more))
	d.say("cold-time", time)
	d.say("cold-wood", wood)
}

// say tells whether a difference holds in nearly every draw.
func (d *difference) say(key string, b fire.Band) {
	switch {
	case b.Low > 0:
		d.Words = append(d.Words, message.T("web.fire.more."+key))
	case b.High < 0:
		d.Words = append(d.Words, message.T("web.fire.less."+key))
	default:
		d.Words = append(d.Words, message.T("web.fire.same."+key))
	}
}

// findingRow is a published range beside what the model says.
type findingRow struct {
	fire.Comparison
	Name               message.Text // of the quantity
	LowV, HighV, OursV quantity.Value
	HasLow, One        bool
	Bar                bar
	Held               message.Text // how the two compare
	Missed             bool
	StandingText       message.Text
	SourceTitle        string
}

// findingRows holds the boiling test against what others measured, those of
// stoves like this one first.
func findingRows(x *burning) []findingRow {
	var list []findingRow
	for _, c := range x.model.Compare(x.run, fire.Findings()) {
		f := c.Finding
		measure, _ := fire.MeasureByKey(f.Quantity)
		r := findingRow{Comparison: c, Name: message.T("fire.measure." + measure.Key), LowV: measure.Value(f.Low), HighV: measure.Value(f.High),
			OursV: measure.Value(c.Ours), HasLow: f.Low > 0, One: f.Low == f.High, StandingText: standingText(f.Standing), Missed: c.Alike && !c.Inside,
			Bar: barOn(1.25*math.Max(f.High, c.Ours), f.Low, f.High, c.Ours)}
		miss := quantity.Pct(math.Abs(c.Miss))
		switch {
		case !c.Alike:
			r.Held = message.T("web.fire.unlike")
		case c.Inside:
			r.Held = message.T("web.fire.inside")
		case c.Miss > 0:
			r.Held = message.T("web.fire.above", "miss", miss)
		default:
			r.Held = message.T("web.fire.below", "miss", miss)
		}
		if f.Source != "" {
			r.SourceTitle = sourceTitle(f.Source)
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b findingRow) int { return cmp.Compare(rank(a.Alike), rank(b.Alike)) })
	return list
}

// rank sets what is so before what is not.
func rank(first bool) int {
	if first {
		return 0
	}
	return 1
}
