package cli

import (
	"fmt"
	"math"
	"strings"

	"stovewright/fire"
	"stovewright/heat"
	"stovewright/message"
	"stovewright/quantity"
)

// firePrinter lays a prediction out: sentences first, then tables.
type firePrinter struct {
	printer
	p *prediction
}

func (f firePrinter) all(rings bool) {
	c := f.say
	if b := f.p.stove.Brief; b.Name != "" {
		fmt.Fprintln(f.out, b.Name)
	}
	if note := f.p.stove.Brief.Note; note != "" {
		fmt.Fprintln(f.out, note)
	}
	fmt.Fprintln(f.out, c.S("cli.fire.computed"))
	f.first()
	f.balance()
	f.draft()
	if rings {
		f.rings()
	}
	if f.p.never == nil {
		f.test()
	}
	f.bands()
	if f.p.never == nil {
		f.skins()
	}
	if f.p.difference != nil {
		f.difference()
	}
	if f.p.never == nil {
		f.compared("cli.fire.published", f.p.comparisons)
	}
	f.notPredicted()
	if len(f.p.mine) > 0 {
		f.compared("cli.fire.mine", f.p.mine)
	}
	if len(f.p.measured) > 0 {
		f.measured(f.p.measured)
	}
	f.standing()
}

// Quantities as they are shown.
func watts(w float64) quantity.Value { return quantity.Value{SI: w, Unit: quantity.Watt, Step: 1} }
func kilowatts(w float64) quantity.Value {
	return quantity.Value{SI: w, Unit: quantity.Kilowatt, Step: 0.01}
}
func pascals(p float64) quantity.Value {
	return quantity.Value{SI: p, Unit: quantity.Pascal, Step: 0.01}
}
func grams(kg float64) quantity.Value { return quantity.Value{SI: kg, Unit: quantity.Gram, Step: 1} }
func minutes(s float64) quantity.Value {
	return quantity.Value{SI: s, Unit: quantity.Minute, Step: 0.1}
}
func percent(x float64) quantity.Value {
	return quantity.Value{SI: x, Unit: quantity.Percent, Step: 0.1}
}
func plainNumber(x, step float64) quantity.Value {
	return quantity.Value{SI: x, Unit: quantity.One, Step: step}
}
func degrees(k float64) quantity.Value {
	return quantity.Value{SI: k, Unit: quantity.Celsius, Step: 0.1}
}
func ratio(x float64) quantity.Value { return plainNumber(x, 0.01) }
func speed(v float64) quantity.Value {
	return quantity.Value{SI: v, Unit: quantity.MetrePerSec, Step: 0.01}
}

// first says what limits the stove, and the cautions.
func (f firePrinter) first() {
	c := f.say
	f.heading("cli.checks")
	fmt.Fprintln(f.out, c.Say(f.p.airRatio()))
	for _, text := range f.p.says {
		fmt.Fprintln(f.out, c.Say(text))
	}
	for _, text := range f.p.cautions() {
		fmt.Fprintf(f.out, "%s: %s\n", c.S("stove.level.caution"), c.Say(text))
	}
}

// airRatio is the oxygen limit in a sentence.
func (p *prediction) airRatio() message.Text {
	lowest := p.point.AirRatio
	for _, phase := range p.phases() {
		lowest = math.Min(lowest, phase.Least)
	}
	now, least := ratio(p.point.AirRatio), ratio(lowest)
	if p.bands == nil {
		return message.T("cli.fire.air", "ratio", now, "least", least, "smoke", plainNumber(fire.SmokeLimit, 0.1))
	}
	b := p.bands
	return message.T("cli.fire.air-band", "ratio", now, "low", ratio(b.AirRatio.Low), "high", ratio(b.AirRatio.High), "least", least,
		"smoke", plainNumber(fire.SmokeLimit, 0.1), "smoky", b.Smoky, "choked", b.Choked, "draws", b.Draws)
}

// cautions are those of the steady point and of the phases, each once; that of
// the model as a whole stands at the end of the page.
func (p *prediction) cautions() []message.Text {
	var list []message.Text
	seen := map[string]bool{"fire.caution.model": true, "fire.caution.no-smoke-number": true}
	add := func(texts ...message.Text) {
		for _, t := range texts {
			if !seen[t.ID] {
				seen[t.ID] = true
				list = append(list, t)
			}
		}
	}
	add(p.point.Cautions()...)
	for _, phase := range p.phases() {
		add(phase.Cautions()...)
	}
	add(p.skinCautions()...)
	return list
}

// hottest is the hottest skin of the body's side.
func (p *prediction) hottest() float64 { return p.soak.Hottest }

// skirt is the hottest skirt, at the steady point or in the test.
func (p *prediction) skirt() float64 {
	hottest := p.point.SkirtT
	for _, phase := range p.phases() {
		hottest = math.Max(hottest, phase.Skirt)
	}
	return hottest
}

// skinCautions are those of the body's side and of its top.
func (p *prediction) skinCautions() []message.Text {
	list := fire.SkinCautions(p.hottest(), "bare metal")
	if len(list) == 0 {
		list = fire.SkinCautions(p.soak.Top, "bare metal")
	}
	if limit, ok := heat.BurnThreshold("bare metal", 1); ok && p.point.ExitT > limit {
		list = append(list, message.T("cli.fire.handles", "temperature", quantity.C(p.point.ExitT), "limit", quantity.C(limit)))
	}
	return list
}

// heats are the parts of the balance in their order; those into the pot first.
func heats(b fire.Balance) []struct {
	key   string
	watts float64
} {
	return []struct {
		key   string
		watts float64
	}{{"bed", b.Bed}, {"flame", b.Flame}, {"centre", b.Centre}, {"ring", b.Ring}, {"side", b.Side}, {"pot", b.Pot()},
		{"exhaust", b.Exhaust}, {"wall", b.Wall}, {"skirt", b.Skirt}, {"unburnt", b.Unburnt}, {"power", b.Total()}}
}

func (f firePrinter) balance() {
	c, p := f.say, f.p.point
	f.heading("cli.fire.balance")
	fmt.Fprintln(f.out, c.S("cli.fire.steady", "power", kilowatts(p.Power), "pot", quantity.C(p.PotT)))
	f.table(func(row func(...string)) {
		for _, h := range heats(p.Heat) {
			row(c.S("cli.fire.heat."+h.key), c.Value(watts(h.watts)), c.Value(percent(h.watts/p.Power)))
		}
	})
	fmt.Fprintln(f.out, c.S("cli.fire.gas", "flow", quantity.Value{SI: p.Flow, Unit: quantity.GramPerSec, Step: 0.01}, "chamber", quantity.C(p.ChamberT), "throat", quantity.C(p.ThroatT),
		"edge", quantity.C(p.EdgeT), "exit", quantity.C(p.ExitT)))
}

func (f firePrinter) draft() {
	c, p := f.say, f.p.point
	f.heading("cli.fire.draft")
	f.table(func(row func(...string)) {
		for l, loss := range p.Losses {
			row(c.S("fire.place."+fire.Loss(l).String()), c.Value(pascals(loss)), c.Value(percent(loss/p.Draft)))
		}
		row(c.S("cli.fire.draft-whole"), c.Value(pascals(p.Draft)), c.Value(percent(1)))
	})
}

func (f firePrinter) rings() {
	c := f.say
	f.heading("cli.fire.rings")
	f.table(func(row func(...string)) {
		head := make([]string, 0, 9)
		for _, k := range []string{"place", "path", "gap", "temperature", "velocity", "pressure", "reynolds", "heat", "outside"} {
			head = append(head, c.S("cli.fire.ring."+k))
		}
		row(head...)
		for _, r := range f.p.rings {
			gap, reynolds := "–", "–" // none in the chamber; not asked at bed and exit
			if r.Gap > 0 {
				gap = c.Value(quantity.MM1(r.Gap))
			}
			if r.Reynolds > 0 {
				reynolds = c.Number(plainNumber(r.Reynolds, 1))
			}
			row(c.S("fire.station."+r.Place), c.Value(quantity.MM(r.Path)), gap, c.Value(quantity.C(r.Temperature)), c.Value(speed(r.Velocity)),
				c.Value(pascals(r.Pressure)), reynolds, c.Value(watts(r.Heat)), c.Value(watts(r.Outside)))
		}
	})
}

// test prints the run on the form of a measured boiling test.
func (f firePrinter) test() {
	c, p := f.say, f.p
	f.heading("cli.fire.test")
	phases := p.phases()
	f.table(func(row func(...string)) {
		line := func(id string, of func(fire.Phase) string) {
			cells := []string{c.S("cli.fire.test." + id)}
			for _, x := range phases {
				cells = append(cells, of(x))
			}
			row(cells...)
		}
		cells := []string{""}
		for _, x := range phases {
			cells = append(cells, c.S("cli.fire.phase."+x.Name))
		}
		row(cells...)
		line("wood-before", func(x fire.Phase) string { return c.Value(grams(x.Readings.WoodBefore)) })
		line("wood-after", func(x fire.Phase) string { return c.Value(grams(x.Readings.WoodAfter)) })
		line("char", func(x fire.Phase) string { return c.Value(grams(x.Readings.CharAfter)) })
		line("pot-before", func(x fire.Phase) string { return c.Value(grams(x.Readings.PotBefore)) })
		line("pot-after", func(x fire.Phase) string { return c.Value(grams(x.Readings.PotAfter)) })
		line("water-before", func(x fire.Phase) string { return c.Value(degrees(x.Readings.WaterBefore)) })
		line("water-after", func(x fire.Phase) string { return c.Value(degrees(x.Readings.WaterAfter)) })
		line("time", func(x fire.Phase) string { return c.Value(minutes(x.Duration())) })
		line("wood", func(x fire.Phase) string { return c.Value(grams(x.WoodUsed())) })
		line("evaporated", func(x fire.Phase) string { return c.Value(grams(x.Evaporated())) })
		line("efficiency", func(x fire.Phase) string {
			if x.Name == "simmer" {
				return "–" // making steam is no merit
			}
			return c.Value(percent(p.model.TestEfficiency(x)))
		})
		line("air", func(x fire.Phase) string { return c.Number(ratio(x.Least)) })
		if p.lit.Task.Sticks.Mass > 0 {
			line("sticks", func(x fire.Phase) string { return fmt.Sprint(x.Sticks) })
		}
	})
	fmt.Fprintln(f.out, c.S("cli.fire.boils", "temperature", degrees(p.run.BoilingPoint)))
}

// bandRow is a band with what it is of and how it is shown.
type bandRow struct {
	id    string
	band  fire.Band
	value func(float64) quantity.Value
}

func (p *prediction) bandRows() []bandRow {
	rows := []bandRow{{"efficiency", p.bands.Efficiency, percent}, {"air-ratio", p.bands.AirRatio, ratio}, {"throat", p.bands.ThroatT, quantity.C},
		{"to-pot", p.bands.ToPot, kilowatts}, {"wall", p.bands.WallLoss, watts}}
	b := p.boil
	if b.Failed < b.Draws {
		rows = append(rows, bandRow{"cold-time", b.ColdTime, minutes}, bandRow{"hot-time", b.HotTime, minutes}, bandRow{"cold-wood", b.ColdWood, grams}, bandRow{"hot-wood", b.HotWood, grams})
		if p.run.Simmer.Name != "" {
			rows = append(rows, bandRow{"simmer-wood", b.SimmerWood, grams})
		}
		rows = append(rows, bandRow{"cold-efficiency", b.ColdEfficiency, percent}, bandRow{"hot-efficiency", b.HotEfficiency, percent}, bandRow{"evaporated", b.ColdEvaporated, grams})
	}
	return rows
}

func (f firePrinter) bands() {
	c, p := f.say, f.p
	if p.bands == nil {
		return
	}
	f.heading("cli.fire.bands")
	f.table(func(row func(...string)) {
		row("", c.S("cli.fire.band.low"), c.S("cli.fire.band.middle"), c.S("cli.fire.band.high"), c.S("cli.fire.band.drift"))
		for _, r := range p.bandRows() {
			row(c.S("cli.fire.band-of."+r.id), c.Number(r.value(r.band.Low)), c.Number(r.value(r.band.Middle)), c.Value(r.value(r.band.High)), drift(c, r))
		}
	})
	if p.never != nil {
		fmt.Fprintln(f.out, c.S("cli.fire.draws-steady", "draws", p.bands.Draws))
		return
	}
	fmt.Fprintln(f.out, c.S("cli.fire.draws", "draws", p.bands.Draws, "boil", p.boil.Draws, "failed", p.boil.Failed))
}

// drift is a difference: a temperature in kelvin, not in degrees Celsius.
func drift(c *message.Catalogue, r bandRow) string {
	v := r.value(r.band.Drift)
	if v.Unit.Dimension == quantity.Temperature {
		v.Unit = quantity.KelvinDiff
	}
	return "± " + c.Value(v)
}

func (f firePrinter) skins() {
	c, p := f.say, f.p
	f.heading("cli.fire.skins")
	f.table(func(row func(...string)) {
		row(c.S("cli.fire.skin.side"), c.Value(quantity.C(p.hottest())))
		if p.soak.Top > 0 {
			row(c.S("cli.fire.skin.top"), c.Value(quantity.C(p.soak.Top)))
		}
		if s := p.skirt(); s > 0 {
			row(c.S("cli.fire.skin.skirt"), c.Value(quantity.C(s)))
		}
		row(c.S("cli.fire.skin.gas"), c.Value(quantity.C(p.point.ExitT)))
	})
	fmt.Fprintln(f.out, c.S("cli.fire.stored", "stored", quantity.Value{SI: p.soak.Stored, Unit: quantity.Megajoule, Step: 0.01},
		"lost", quantity.Value{SI: p.soak.Lost, Unit: quantity.Megajoule, Step: 0.01}, "time", minutes(p.soak.Seconds)))
}

func (f firePrinter) difference() {
	c, d := f.say, f.p.difference
	f.heading("cli.fire.against")
	fmt.Fprintln(f.out, c.S("cli.fire.against-other", "other", d.name, "power", kilowatts(f.p.point.Power)))
	f.table(func(row func(...string)) {
		row("", c.S("cli.fire.other"), c.S("cli.fire.this"), c.S("cli.fire.change"), c.S("cli.fire.change-band"))
		for _, r := range d.rows() {
			row(c.S("cli.fire.band-of."+r.id), c.Number(r.value(r.theirs)), c.Value(r.value(r.ours)), c.Signed(r.value(r.ours-r.theirs)),
				c.Signed(r.value(r.band.Low))+" … "+c.Signed(r.value(r.band.High)))
		}
	})
	fmt.Fprintln(f.out, c.S("cli.fire.common"))
}

// changeRow is one quantity of two stoves.
type changeRow struct {
	id           string
	theirs, ours float64
	band         fire.Band
	value        func(float64) quantity.Value
}

func (d *difference) rows() []changeRow {
	return []changeRow{{"efficiency", d.theirEfficiency, d.ourEfficiency, d.efficiency, percent}, {"air-ratio", d.theirAirRatio, d.ourAir, d.airRatio, ratio},
		{"cold-time", d.theirTime, d.ourT, d.time, minutes}, {"cold-wood", d.theirWood, d.ourW, d.wood, grams}}
}

// compared lists findings beside ours, those of such a stove first.
func (f firePrinter) compared(heading string, list []fire.Comparison) {
	c := f.say
	f.heading(heading)
	f.table(func(row func(...string)) {
		row("", c.S("cli.fire.ours"), c.S("cli.fire.range"), "", c.S("cli.fire.of"), "")
		for _, alike := range []bool{true, false} {
			for _, x := range list {
				if x.Alike == alike {
					row(verdict(c, x), c.Value(measure(x).Value(x.Ours)), findingRange(c, x), strip(x.Finding.Low, x.Finding.High, x.Ours, x.Ours), c.S("fire.measure."+x.Finding.Quantity), about(x.Finding))
				}
			}
		}
	})
	fmt.Fprintln(f.out, c.S("cli.fire.strip"))
	fmt.Fprintln(f.out, c.S("cli.fire.alike"))
}

// stripWidth is how many characters a strip has.
const stripWidth = 24

// strip draws a reported range (=) and what is computed (x, or its band from one x
// to the other) on one scale, so that a miss is seen: ··====·x··
func strip(low, high, from, to float64) string {
	least, most := math.Min(low, from), math.Max(high, to)
	if !(most > least) {
		most = least + 1
	}
	place := func(v float64) int { return 1 + int(math.Round((v-least)/(most-least)*(stripWidth-3))) }
	cells := []rune(strings.Repeat("·", stripWidth))
	for i := place(low); i <= place(high); i++ {
		cells[i] = '='
	}
	cells[place(from)], cells[place(to)] = 'x', 'x'
	return string(cells)
}

func measure(x fire.Comparison) fire.Measure {
	m, _ := fire.MeasureByKey(x.Finding.Quantity)
	return m
}

func verdict(c *message.Catalogue, x fire.Comparison) string {
	switch {
	case !x.Alike:
		return c.S("cli.fire.other-kind")
	case x.Inside:
		return c.S("cli.fire.inside")
	}
	return c.S("cli.fire.misses", "by", quantity.Value{SI: math.Abs(x.Miss), Unit: quantity.Percent, Step: 1})
}

func findingRange(c *message.Catalogue, x fire.Comparison) string {
	m := measure(x)
	switch {
	case x.Finding.Low == 0:
		return c.S("cli.fire.up-to", "high", m.Value(x.Finding.High))
	case x.Finding.Low == x.Finding.High:
		return c.Value(m.Value(x.Finding.High))
	}
	return c.Number(m.Value(x.Finding.Low)) + "–" + c.Value(m.Value(x.Finding.High))
}

// about is what the source says, in its words.
func about(f fire.Finding) string {
	parts := []string{}
	for _, s := range []string{f.Stove, f.Conditions, f.Standing, f.Source} {
		if s != "" && s != fire.AnyStove {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, "; ")
}

func (f firePrinter) notPredicted() {
	f.heading("cli.fire.not-predicted")
	f.table(func(row func(...string)) {
		for _, n := range fire.NotPredicted() {
			row(n.What, n.Value, n.Conditions+"; "+n.Standing+"; "+n.Source)
		}
	})
}

// measured lists the stoves of a file of measured data with what the model says.
func (f firePrinter) measured(runs []measuredRun) {
	c := f.say
	f.heading("cli.fire.measured")
	hits, all := 0, 0
	for _, r := range runs {
		fmt.Fprintln(f.out, r.Name+": "+strings.Join(nonEmpty(r.Note, r.Standing, r.Source), "; "))
		if r.err != nil {
			fmt.Fprintln(f.out, "  "+c.S("cli.fire.no-answer", "reason", reason(c, r.err)))
			continue
		}
		f.table(func(row func(...string)) {
			row("  ", c.S("cli.fire.measured-value"), c.S("cli.fire.ours"), c.S("cli.fire.band"), "", c.S("cli.fire.off"), "")
			for _, a := range r.answers {
				all++
				verdict := c.S("cli.fire.apart")
				if a.Inside {
					hits++
					verdict = c.S("cli.fire.meets")
				}
				m := a.Result.Measure
				value := c.Value(m.Value(a.Result.Value))
				if a.Result.Uncertainty > 0 {
					value += " ± " + c.Value(m.Difference(a.Result.Uncertainty))
				}
				row("  "+c.S("fire.measure."+m.Key), value, c.Value(m.Value(a.Ours)), c.Number(m.Value(a.Band.Low))+"–"+c.Value(m.Value(a.Band.High)),
					strip(a.Result.Value-2*a.Result.Uncertainty, a.Result.Value+2*a.Result.Uncertainty, a.Band.Low, a.Band.High), c.Signed(m.Difference(a.Off)), verdict)
			}
		})
	}
	fmt.Fprintln(f.out, c.S("cli.fire.strip-band"))
	fmt.Fprintln(f.out, c.S("cli.fire.hits", "hits", hits, "all", all))
}

func nonEmpty(list ...string) (kept []string) {
	for _, s := range list {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return kept
}

// reason says an error of the model in the user's words.
func reason(c *message.Catalogue, err error) string { return Program{Catalogue: c}.words(err) }

// standings say what stands behind all of this, what would make it more, and why
// smoke is not told in numbers.
var standings = []string{"cli.verified", "cli.fire.validate", "cli.fire.smoke"}

func (f firePrinter) standing() {
	fmt.Fprintln(f.out)
	for _, id := range standings {
		fmt.Fprintln(f.out, f.say.S(id))
	}
}
