package cli

import (
	"fmt"
	"math"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// clay says what the tests of a clay mean, and how it changed in its pit.
func (all *brickSheets) clay(s *sheet, c brick.ClayCard) {
	s.section("readings", "")
	for _, r := range c.Readings() {
		s.word("test-"+r.Test, "", r.Grade, s.say.Say(r.Meaning), message.Text{})
	}
	s.note(c.Verdict())
	s.section("limits", "")
	for _, r := range c.Readings() {
		s.note(r.Limits)
		s.caution(r.Caution)
	}
	s.section("values", "")
	stock := c.Stock()
	s.band("loss", "", brick.Band{Low: stock.Loss.Low, Best: stock.Loss.Default, High: stock.Loss.High}, asShare, message.T("cli.brick.loss"))
	s.value("moisture", "", with(asShare, c.Moisture), message.T("cli.brick.as-dug"))
	forming := c.Forming(brick.FormingDefaults())
	s.band("drying", "", brick.Band{Low: forming.Drying.Low, Best: forming.Drying.Default, High: forming.Drying.High}, asShare, message.T("cli.brick.of-a-mix"))
	s.band("firing", "", brick.Band{Low: forming.Firing.Low, Best: forming.Firing.Default, High: forming.Firing.High}, asShare, message.T("cli.brick.of-a-mix-dry"))
	var pit []brick.ClayCard
	for _, other := range all.clays {
		if other.Pit == c.Pit && c.Pit != "" {
			pit = append(pit, other)
		}
	}
	if len(pit) > 1 {
		s.section("history", c.Pit)
		s.note(brick.PitHistory(pit)...)
		if len(s.last().Notes) == 0 {
			s.note(message.T("cli.brick.same-clay", "n", len(pit)))
		}
	}
	s.section("cautions", "")
	s.caution(unique(brick.Cautions(brick.StepDigging, brick.Mix{}), brick.Cautions(brick.StepSieving, brick.Mix{}), brick.Cautions(brick.StepTesting, brick.Mix{}))...)
}

// drying says whether a brick may go into the kiln.
func drying(s *sheet, l brick.DryingLog) error {
	v, err := l.Verdict()
	if err != nil {
		return err
	}
	s.section("drying", "")
	ready := "not-ready"
	if v.Ready {
		ready = "ready"
	}
	s.word("ready", "", ready, s.say.S("cli.brick."+ready), v.Text)
	s.value("daily-loss", "", with(asShare, v.DailyLoss), message.T("cli.brick.daily-loss", "limit", with(asShare, brick.DryRate)))
	s.value("left", "", with(asShare, v.Left), message.T("cli.brick.of-dry-mass"))
	if !v.Ready {
		s.band("days-left", "", v.DaysLeft, quantity.Value{Unit: quantity.One, Step: 1}, message.T("cli.brick.days"))
	}
	s.caution(brick.Cautions(brick.StepDrying, brick.Mix{})...)
	return nil
}

// firing says how to fire, and how it was fired.
func firing(s *sheet, k brick.KilnFiring) error {
	if len(k.Plan.Steps) > 0 {
		plan(s, k.Plan)
	}
	if len(k.Log.Rows) > 0 {
		if err := firingLog(s, k); err != nil {
			return err
		}
	}
	if len(k.Bricks) > 0 {
		s.section("places", "")
		effects := brick.FollowsPlace(k.Bricks, brickSeed)
		for _, e := range effects {
			s.value("by-"+e.Factor, "", quantity.Value{SI: e.P, Unit: quantity.One, Step: 0.001}, e.Text)
		}
		if len(effects) == 0 {
			s.note(message.T("cli.brick.no-places"))
		}
	}
	s.section("cautions", "")
	s.caution(unique(brick.Cautions(brick.StepFiring, brick.Mix{}), brick.Cautions(brick.StepUnload, brick.Mix{}))...)
	return nil
}

func plan(s *sheet, p brick.Schedule) {
	s.section("plan", "")
	at := 0.0
	for _, step := range p.Steps {
		at += step.Duration
		of := fmt.Sprintf("%.0f–%.0f °C", step.From-273.15, step.To-273.15)
		rate := s.say.S("cli.brick.hold", "time", with(asWholeHour, step.Duration))
		if step.Rate() != 0 {
			rate = s.say.S("cli.brick.rate", "rate", int(math.Round(step.Rate()*3600)), "time", with(asWholeHour, step.Duration))
		}
		s.word("step", of, "", s.say.S("cli.brick.until", "rate", rate, "end", with(asWholeHour, at)), step.Why)
	}
	guide, target, guard := brick.ConeTrio(p.Wish.Peak)
	s.word("cones", "", "", guide.Name+", "+target.Name+", "+guard.Name, message.T("cli.brick.cones"))
	if colour := brick.KilnColour(p.Wish.Peak); !colour.IsZero() {
		s.word("colour", "", "", s.say.Say(colour), message.T("cli.brick.colour"))
	}
}

func firingLog(s *sheet, k brick.KilnFiring) error {
	r, err := k.Log.Report(k.Plan)
	if err != nil {
		return err
	}
	s.section("log", "")
	s.value("peak", "", with(asCelsius, r.Peak), message.T("cli.brick.after", "time", with(asWholeHour, r.PeakAt)))
	s.value("spread", "", with(asKelvin, r.Spread), message.T("cli.brick.spread"))
	s.value("above", "", with(asWholeHour, r.Above850), message.T("cli.brick.above"))
	for i, h := range r.HeatWork {
		s.value("heat-work", k.Log.Positions[i], with(asWholeHour, h), message.T("cli.brick.heat-work"))
	}
	s.value("wood", "", quantity.KG(r.Fuel), message.Text{})
	for _, p := range r.Passages {
		s.value("passage", fmt.Sprintf("%.0f–%.0f °C", p.Band.From, p.Band.To), with(asWholeHour, p.Seconds),
			message.T("cli.brick.needed", "needed", with(asWholeHour, p.Needed), "why", p.Band.Why()))
	}
	s.note(r.Findings...)
	return nil
}

// mould sizes a mould from the shrinkage of its series, its lines or a guess.
func (all *brickSheets) mould(s *sheet, w brick.MouldWish) error {
	lines, from := w.Lines, message.T("cli.brick.from-lines", "n", len(w.Lines))
	if len(lines) == 0 && (w.Series != "" || !w.Guessed) {
		series, err := all.seriesOf(w.Series)
		if err != nil {
			return err
		}
		if w.Trial != "" {
			if _, err := trialOf(series, w.Trial); err != nil {
				return err
			}
		}
		lines = series.Lines(w.Trial)
		from = message.T("cli.brick.from-series", "series", series.Name, "n", len(lines))
	}
	axes := w.Guess
	if len(lines) > 0 {
		axes, _ = brick.MeasureShrinkage(lines)
	} else if w.Guessed {
		from = message.T("cli.brick.guess")
	} else {
		return &message.InputError{Field: "lines", Reason: message.T("cli.brick.no-lines"), Try: "drying: 6 %"}
	}
	cavity, err := brick.CavityFor(w.Fired, axes, w.Allowance)
	if err != nil {
		return err
	}
	s.section("cavity", "")
	for _, a := range brick.Axes {
		of := s.say.S("cli.brick.axis-" + a.String())
		s.reading("cavity", of, quantity.MM1(cavity.Size[a]), cavity.U[a], from)
		s.value("total", of, with(asShare, float64(cavity.Total[a])), message.T("cli.brick.of-wet"))
		s.value("tolerance", of, quantity.MM1(cavity.Tolerance[a]), message.T("cli.brick.tolerance"))
	}
	s.section("gauges", "")
	for _, a := range brick.Axes {
		wet, dry, fired := brick.Gauges(w.Fired[a], w.Tolerance, axes[a])
		for _, g := range []struct {
			id string
			brick.Gauge
		}{{"wet", wet}, {"dry", dry}, {"fired", fired}} {
			s.word("gauge-"+g.id, s.say.S("cli.brick.axis-"+a.String()), "", s.say.S("cli.brick.gauge", "go", quantity.MM1(g.Go), "nogo", quantity.MM1(g.NoGo)), message.Text{})
		}
	}
	if w.Ring.Sides > 0 {
		return ring(s, w, axes)
	}
	return nil
}

func ring(s *sheet, w brick.MouldWish, axes brick.Shrinkage) error {
	fired, err := w.Ring.Segment()
	if err != nil {
		return err
	}
	mould, err := w.Ring.Mould(axes)
	if err != nil {
		return err
	}
	closure, err := w.Ring.Closure(axes, w.Mitre, w.Tolerance/2)
	if err != nil {
		return err
	}
	s.section("ring", fmt.Sprint(w.Ring.Sides))
	for _, x := range []struct {
		id           string
		fired, mould float64
	}{{"inner", fired.Inner, mould.Inner}, {"outer", fired.Outer, mould.Outer}, {"thickness", fired.Thickness, mould.Thickness}, {"height", fired.Height, mould.Height}} {
		s.value("ring-"+x.id, "", quantity.MM1(x.mould), message.T("cli.brick.fires-to", "fired", quantity.MM1(x.fired)))
	}
	degrees := quantity.Value{Unit: quantity.Degree, Step: 0.1}
	s.value("ring-end", "", with(degrees, mould.End), message.T("cli.brick.fires-to", "fired", with(degrees, fired.End)))
	s.value("ring-gap", "", quantity.MM1(closure.Gap), closure.Text)
	return nil
}

// batch says what a batch of good bricks takes.
func (all *brickSheets) batch(s *sheet, b brick.BatchSheet) error {
	series, err := all.seriesOf(b.Series)
	if err != nil {
		return err
	}
	k, err := trialOf(series, b.Trial)
	if err != nil {
		return err
	}
	belief, err := brick.Update(series.Stocks, brick.FormingDefaults(), series.Trials, brickSeed)
	if err != nil {
		return err
	}
	wish := b.Wish
	wish.Mix, wish.Forming = series.Trials[k].Mix, belief.Forming()
	p, err := wish.Plan()
	if err != nil {
		return err
	}
	one := quantity.Value{Unit: quantity.One, Step: 1}
	s.section("batch", series.Trials[k].Name)
	s.value("starts", "", with(one, float64(p.Starts)), message.T("cli.brick.starts", "good", wish.Good, "confidence", quantity.Pct(wish.Confidence), "mean", p.StartsByMean))
	if b.Made > 0 {
		n, err := brick.StartsFromRecord(wish.Good, b.Survived, b.Made, wish.Confidence)
		if err != nil {
			return err
		}
		s.value("starts-record", "", with(one, float64(n)), message.T("cli.brick.starts-record", "survived", b.Survived, "made", b.Made))
	}
	s.value("mixes", "", quantity.Value{SI: p.Mixes, Unit: quantity.One, Step: 1}, message.T("cli.brick.mixes", "trial", series.Trials[k].Name))
	for _, need := range p.Needs {
		because := message.Text{}
		for i, stock := range series.Stocks {
			if stock.Name == need.Name && series.Tins[i] > 0 {
				because = message.T("cli.brick.tins", "tins", with(one, math.Ceil(brick.Tins(need.Mass, series.Tins[i]))))
			}
		}
		s.value("mass", need.Name, quantity.KG(need.Mass), because)
	}
	s.value("water", "", quantity.KG(p.Water), message.Text{})
	s.value("wet-volume", "", quantity.L(p.WetVolume), message.Text{})
	s.value("shelf", "", quantity.Value{SI: p.Shelf, Unit: quantity.SquareMetre, Step: 0.1}, message.T("cli.brick.shelf"))
	days := quantity.Value{Unit: quantity.Day, Step: 1}
	s.value("days", "", with(days, p.Days*24*3600), message.T("cli.brick.batch-days", "moulding", with(days, p.MouldingDays*24*3600)))
	s.value("loads", "", with(one, float64(p.KilnLoads)), message.Text{})
	s.band("wood", "", p.Firewood, quantity.Value{Unit: quantity.Kilogram, Step: 10}, message.T("cli.brick.firewood"))
	s.value("pore-heat", "", quantity.Value{SI: p.PoreHeat, Unit: quantity.Megajoule, Step: 10}, message.T("cli.brick.pore-heat"))
	s.caution(p.Cautions...)
	return nil
}
