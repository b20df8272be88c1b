package cli

import (
	"fmt"
	"math"
	"strings"

	"stovewright/brick"
	"stovewright/brick/mixture"
	"stovewright/message"
	"stovewright/quantity"
)

// brickSeed makes every run of a command say the same.
const brickSeed = 1

// How values of bricks are shown.
var (
	asDensity   = quantity.Value{Unit: quantity.GramPerCM3, Step: 0.01}
	asShare     = quantity.Value{Unit: quantity.Percent, Step: 0.1}
	asStrength  = quantity.Value{Unit: quantity.Megapascal, Step: 0.1}
	asConduct   = quantity.Value{Unit: quantity.WPerMK, Step: 0.01}
	asKelvin    = quantity.Value{Unit: quantity.KelvinDiff, Step: 1}
	asCelsius   = quantity.Value{Unit: quantity.Celsius, Step: 10}
	asGrams     = quantity.Value{Unit: quantity.Gram, Step: 5}
	asHeight    = quantity.Value{Unit: quantity.Centimetre, Step: 1}
	asRatio     = quantity.Value{Unit: quantity.One, Step: 0.01}
	asHeat      = quantity.Value{Unit: quantity.Unit{Symbol: "J/(kg·K)", Dimension: quantity.Ratio, Factor: 1}, Step: 10}
	asHeatFlow  = quantity.Value{Unit: quantity.Unit{Symbol: "W/m", Dimension: quantity.Ratio, Factor: 1}, Step: 1}
	asWholeHour = quantity.Value{Unit: quantity.Hour, Step: 0.1}
)

// with is a value of si shown like another.
func with(like quantity.Value, si float64) quantity.Value {
	like.SI = si
	return like
}

// seriesSheet says what a series of trials tells: of its materials, of each
// trial and its brick, and what to try next.
func (all *brickSheets) seriesSheet(s *sheet, series brick.Series) error {
	before, err := brick.Update(series.Stocks, brick.FormingDefaults(), nil, brickSeed)
	if err != nil {
		return err
	}
	belief, err := brick.Update(series.Stocks, brick.FormingDefaults(), series.Trials, brickSeed)
	if err != nil {
		return err
	}
	if len(series.Remarks) > 0 {
		s.section("remarks", "")
		s.note(series.Remarks...)
	}
	s.section("learned", "")
	for _, l := range belief.Learned() {
		id := strings.TrimPrefix(l.ID, "brick.param.")
		s.band(id, l.Stock, l.Now, asShare, l.Text)
	}
	s.band("scatter", "", belief.Scatter(), asRatio, message.T("cli.brick.scatter"))
	for i, t := range series.Trials {
		if err := trial(s, series, i, t, before, belief); err != nil {
			return err
		}
	}
	shrinkage(s, series, belief)
	fits(s, series, belief)
	if err := all.reach(s, series, belief); err != nil {
		return err
	}
	if err := next(s, series, belief); err != nil {
		return err
	}
	var mix brick.Mix
	if n := len(series.Trials); n > 0 {
		mix = series.Trials[n-1].Mix
	}
	s.section("cautions", "")
	s.caution(unique(brick.Cautions(brick.StepSieving, mix), brick.Cautions(brick.StepMixing, mix), brick.Cautions(brick.StepFiring, mix), brick.Cautions(brick.StepCrushing, mix))...)
	return nil
}

// unique joins cautions of several steps, each once.
func unique(lists ...[]message.Text) (all []message.Text) {
	seen := make(map[string]bool)
	for _, list := range lists {
		for _, t := range list {
			if !seen[t.ID] {
				seen[t.ID] = true
				all = append(all, t)
			}
		}
	}
	return all
}

// trial says what one trial was expected to be and became, and what its brick
// is good for.
func trial(s *sheet, series brick.Series, i int, t brick.Trial, before, belief *brick.Belief) error {
	expected, err := before.Predict(t.Mix, brickSeed)
	if err != nil {
		return err
	}
	now, err := belief.Predict(t.Mix, brickSeed)
	if err != nil {
		return err
	}
	s.section("trial", t.Name)
	mixRows(s, series, belief, t.Mix)
	held(s, t)
	s.band("expected", "", expected.Fired, asDensity, message.T("cli.brick.from-table"))
	s.band("again", "", now.Fired, asDensity, message.T("cli.brick.next-batch"))
	s.band("porosity", "", now.Porosity, asShare, message.Text{})
	o := t.Outcome()
	s.reading("fired", "", with(asDensity, o.Density.Value), o.Density.U, message.T("cli.brick.bricks", "n", o.N))
	s.value("drying", "", with(asShare, o.Drying), message.T("cli.brick.of-wet"))
	s.value("firing", "", with(asShare, o.Firing), message.T("cli.brick.of-dry"))
	s.value("total", "", with(asShare, o.Total), message.T("cli.brick.of-wet"))
	s.value("crushed", "", with(asStrength, o.Strength), message.T("cli.brick.measured"))
	if drops := t.Drops(); len(drops) > 0 {
		s.band("drop", "", brick.DropHeight(drops), asHeight, message.T("cli.brick.drops", "n", len(drops)))
	}
	for _, b := range t.Bricks {
		if b.Pores != nil {
			s.reading("open", b.Mark, with(asShare, b.Pores.ApparentPorosity.Value), b.Pores.ApparentPorosity.U, message.T("cli.brick.in-water"))
			s.reading("absorption", b.Mark, with(asShare, b.Pores.Absorption.Value), b.Pores.Absorption.U, message.T("cli.brick.of-dry-mass"))
		}
	}
	body(s, series.Body(t.Name, i, now))
	return nil
}

// mixRows writes a mix in grams and in tins.
func mixRows(s *sheet, series brick.Series, belief *brick.Belief, m brick.Mix) {
	shares, water, err := belief.Shares(m)
	for _, p := range m.Portions {
		because := message.Text{}
		for k, stock := range series.Stocks {
			if stock.Name != p.Ingredient.Name || err != nil {
				continue
			}
			because = message.T("cli.brick.share", "share", with(asShare, shares[k]))
			if series.Tins[k] > 0 {
				because = message.T("cli.brick.share-tins", "share", with(asShare, shares[k]), "tins", with(asRatio, brick.Tins(p.Mass, series.Tins[k])))
			}
		}
		s.value("mass", p.Ingredient.Name, with(asGrams, p.Mass), because)
	}
	because := message.Text{}
	if err == nil {
		because = message.T("cli.brick.all-water", "water", with(asRatio, water))
	}
	s.value("water", "", with(asGrams, m.Water), because)
}

// held writes the water that the mould really held, from the first brick that
// was weighed wet and dry.
func held(s *sheet, t brick.Trial) {
	for _, b := range t.Bricks {
		wet, dry := b.Stages[brick.Wet].Mass, b.Stages[brick.Dry].Mass
		if wet.Value == 0 || dry.Value == 0 {
			continue
		}
		if h, err := t.Mix.HeldFromDrying(wet, dry); err == nil {
			s.reading("held", b.Mark, with(asGrams, h.Water.Value), h.Water.U, message.T("cli.brick.drained", "share", with(asShare, h.Drained)))
		}
		return
	}
}

// body writes the properties of a brick in the units of the stove model.
func body(s *sheet, b brick.Body) {
	for _, at := range []float64{100, 500, 900} {
		s.band("conductivity", fmt.Sprintf("%.0f °C", at), b.Conductivity(at+273.15), asConduct, message.T("cli.brick.conductivity"))
	}
	crushing := message.T("cli.brick.strength-guess")
	if b.Strength > 0 {
		crushing = message.T("cli.brick.measured")
	}
	s.band("strength", "", b.Crushing(), asStrength, crushing)
	s.value("heat", "500 °C", with(asHeat, brick.ClaySpecificHeat(773.15)), message.T("cli.brick.heat"))
	s.value("limit", "", with(asCelsius, b.UseLimit()), message.T("cli.brick.limit"))
	shock := b.ShockOf(773.15)
	s.value("shock", "", with(asKelvin, shock.Kingery1955R()), message.T("cli.brick.shock"))
	s.value("shock-flow", "", with(asHeatFlow, shock.Kingery1955RPrime()), message.T("cli.brick.compare"))
	s.value("shock-damage", "", quantity.Value{SI: shock.Hasselman1963R4(), Unit: quantity.Millimetre, Step: 1}, message.T("cli.brick.compare"))
	if g, ok := b.LikeGroup(); ok {
		s.word("group", "", "", fmt.Sprint(g.Group), message.T("cli.brick.group"))
	}
	for _, duty := range []brick.Duty{brick.Lining, brick.BackBrick} {
		id := strings.ReplaceAll(string(duty), " ", "-")
		complaints := b.Judge(duty)
		if len(complaints) == 0 {
			s.word("duty-"+id, "", "will-do", s.say.S("cli.brick.will-do"), message.Text{})
		}
		for _, c := range complaints {
			s.word("duty-"+id, "", "falls-short", s.say.S("cli.brick.falls-short"), c)
		}
	}
}

// shrinkage writes the shrinkage of each axis, as measured over the whole series
// and as believed of the next batch.
func shrinkage(s *sheet, series brick.Series, belief *brick.Belief) {
	s.section("shrinkage", "")
	axes, count := brick.MeasureShrinkage(series.Lines(""))
	believed := belief.Shrinkage()
	for _, a := range brick.Axes {
		x := axes[a]
		of := s.say.S("cli.brick.axis-" + a.String())
		if len(series.Lines("")) > 0 {
			s.reading("drying", of, with(asShare, float64(x.Drying)), x.UDrying, message.T("cli.brick.lines", "n", count[a]))
			s.reading("firing", of, with(asShare, float64(x.Firing)), x.UFiring, message.T("cli.brick.of-dry"))
			s.reading("total", of, with(asShare, float64(x.Total())), x.UTotal(), message.T("cli.brick.not-sum"))
		}
		total, u := float64(believed[a].Total()), believed[a].UTotal()
		s.band("believed", of, brick.Band{Low: total - 2*u, Best: total, High: total + 2*u}, asShare, message.T("cli.brick.believed"))
	}
}

// fits writes the laws of strength, and of density over the mixture, that the
// trials are enough for.
func fits(s *sheet, series brick.Series, belief *brick.Belief) {
	var density, porosity, strength []float64
	var points []mixture.Point
	var fired []float64
	for i, t := range series.Trials {
		o := t.Outcome()
		if o.N == 0 {
			continue
		}
		if p, _, err := belief.Shares(t.Mix); err == nil {
			points, fired = append(points, p), append(fired, o.Density.Value)
		}
		if measured(o.Strength) {
			density, strength = append(density, o.Density.Value/1000), append(strength, o.Strength)
			porosity = append(porosity, series.Body(t.Name, i, brick.Prediction{}).Porosity())
		}
	}
	s.section("fits", "")
	const level = 0.95
	for _, law := range []struct {
		id  string
		fit func(x, y []float64) (brick.LogFit, error)
		x   []float64
	}{{"power", brick.FitPower, density}, {"exponential", brick.FitRyshkewitch, porosity}} {
		f, err := law.fit(law.x, strength)
		if err != nil {
			continue
		}
		in := f.ExponentInterval(level)
		s.band(law.id, "", brick.Band{Low: in.Low, Best: f.Exponent, High: in.High}, asRatio,
			message.T("cli.brick.fit-"+law.id, "factor", with(asStrength, f.Factor), "r", with(asRatio, f.R), "n", f.N))
	}
	dropFits(s, series)
	if f, err := mixture.FitModel(points, fired, mixture.Linear); err == nil && f.DF > 1 {
		for k, stock := range series.Stocks {
			s.reading("coefficient", stock.Name, with(asDensity, f.Coefficients[k]), f.SE[k], message.T("cli.brick.coefficient"))
		}
		s.value("r2", "", with(asRatio, f.R2), message.T("cli.brick.r2", "n", f.N, "p", with(quantity.Value{Unit: quantity.One, Step: 0.001}, f.P)))
		if !math.IsNaN(f.Lack.P) {
			s.value("lack", "", with(quantity.Value{Unit: quantity.One, Step: 0.001}, f.Lack.P), message.T("cli.brick.lack"))
		}
	}
	if len(s.last().Rows) == 0 {
		s.note(message.T("cli.brick.few-for-fits"))
	}
}

// dropFits lay the same laws through the heights at which half the bricks of a
// trial break: where nobody can crush, a drop tells how strength goes with
// density.
func dropFits(s *sheet, series brick.Series) {
	var density, porosity, height []float64
	for i, t := range series.Trials {
		if o, drops := t.Outcome(), t.Drops(); o.N > 0 && len(drops) > 0 {
			density, height = append(density, o.Density.Value/1000), append(height, brick.DropHeight(drops).Best)
			porosity = append(porosity, series.Body(t.Name, i, brick.Prediction{}).Porosity())
		}
	}
	if f, err := brick.FitPower(density, height); err == nil {
		in := f.ExponentInterval(0.95)
		s.band("power-drop", "", brick.Band{Low: in.Low, Best: f.Exponent, High: in.High}, asRatio, message.T("cli.brick.fit-drop", "r", with(asRatio, f.R), "n", f.N))
	}
	if f, err := brick.FitRyshkewitch(porosity, height); err == nil {
		in := f.ExponentInterval(0.95)
		s.band("exponential-drop", "", brick.Band{Low: in.Low, Best: f.Exponent, High: in.High}, asRatio, message.T("cli.brick.fit-drop", "r", with(asRatio, f.R), "n", f.N))
	}
}

// measured reports whether a number was taken.
func measured(v float64) bool { return !math.IsNaN(v) && v > 0 }

// reach lists the single changes that would bring the last fired trial to the
// density wanted.
func (all *brickSheets) reach(s *sheet, series brick.Series, belief *brick.Belief) error {
	target := all.target
	if target == 0 {
		target = series.Goal.MaxDensity
	}
	if target == 0 || len(series.Trials) == 0 {
		return nil
	}
	last, err := trialOf(series, "")
	if err != nil {
		last = len(series.Trials) - 1
	}
	t := series.Trials[last]
	changes, err := brick.OneChange(belief, t, target)
	if err != nil {
		return err
	}
	s.section("reach", t.Name)
	s.value("target", "", with(asDensity, target), message.Text{})
	for _, c := range changes {
		s.word("change-"+string(c.Kind), "", "", s.say.Say(c.Text), c.Because)
	}
	if len(changes) == 0 {
		s.note(message.T("cli.brick.no-change"))
	}
	return nil
}

// next suggests the next trial; before there are enough, the first ones.
func next(s *sheet, series brick.Series, belief *brick.Belief) error {
	s.section("next", "")
	if !series.CanSeek() {
		s.note(message.T("cli.brick.one-material"))
		return nil
	}
	if len(series.Trials) < brick.LeastTrials {
		mixes, err := brick.FirstTrials(series.Stocks, series.Goal, len(series.Stocks)+2, brickSeed)
		if err != nil {
			return err
		}
		s.note(message.T("cli.brick.first-trials", "n", len(mixes)))
		for i, m := range mixes {
			s.section("first", fmt.Sprint(i+1))
			mixRows(s, series, belief, m)
		}
		return nil
	}
	n, err := brick.Next(belief, series.Trials, series.Goal, brickSeed)
	if err != nil {
		return err
	}
	mixRows(s, series, belief, n.Mix)
	if n.Kelvin > 0 {
		s.value("fire-at", "", with(asCelsius, n.Kelvin), message.T("cli.brick.fire-at"))
	}
	s.band("density", "", n.Density, asDensity, message.T("cli.brick.as-measured"))
	s.band("strength", "", n.Strength, asStrength, message.Text{})
	s.band("shrinkage", "", n.Shrinkage, asShare, message.T("cli.brick.of-wet"))
	s.value("chance", "", quantity.Pct(n.Chance), message.T("cli.brick.chance"))
	s.value("gain", "", with(asShare, n.Gain), message.T("cli.brick.gain"))
	if series.Goal.Prices != nil {
		s.value("cost", "", quantity.Value{SI: n.Cost, Unit: quantity.One, Step: 0.1}, message.T("cli.brick.cost"))
	}
	s.note(n.Because...)
	return nil
}
