package web

import (
	"context"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// trialPage is the sheet of one trial: what went into the trough, and the bricks
// wet, dry and fired.
type trialPage struct {
	sheetPage
	Part    string
	Number  int // counted from one
	Of      int
	Trial   brick.Trial
	Head    []brickEntry
	Mix     []mixLine
	Water   brickEntry
	Fire    brickEntry
	Bricks  []brickBlock
	Full    bool
	Mixing  []message.Text // cautions
	Firing  []message.Text
	Testing []message.Text
	Strip   answerStrip
	Balance *balance
	Held    []brickFact
	Props   []brickFact
	Shock   []brickFact
	Lining  []message.Text // what falls short of a lining, and of a back brick
	Back    []message.Text
	Like    message.Text
	Odd     []message.Text
	Fired   bool
	Own     message.Text // how a stove calls this brick
}

// mixLine is one material of a mix.
type mixLine struct {
	Amount   brickEntry
	Moisture brickEntry
	Says     message.Text // what the tins weigh, or how much is dry
}

// brickBlock is one brick of the trial.
type brickBlock struct {
	Path   string
	Number int
	Mark   brickEntry
	Stages []brickStage
	More   []brickEntry
	Says   []brickFact
	Filled bool
}

type brickStage struct {
	Key    string // wet, dry or fired
	Fields []brickEntry
}

// balance is the mix from the trough to the kiln.
type balance struct {
	Rows  []balanceRow
	Water []brickFact
	Words []message.Text
}

type balanceRow struct {
	Key      string // wet, dry, fired
	Foretold message.Text
	Measured message.Text
	Word     message.Text
	mean     float64 // kg/m³, as weighed
}

var (
	brickStages  = []string{"wet", "dry", "fired"}
	brickDetails = []string{"crushing", "drop", "broke", "float", "float_line", "in_water.saturated", "in_water.suspended", "in_water.sinker", "in_water.water", "place", "note"}
)

func trialPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	v := seriesOf(s)
	n, _ := strconv.Atoi(r.URL.Query().Get("n"))
	if n < 1 || n > len(v.Form.Trials) {
		return "", nil, missing()
	}
	p := trialPage{sheetPage: sheetPage{b.sheetFrame(r, s), nil}, Part: "trial", Number: n, Of: len(v.Form.Trials)}
	p.Trial = v.Read.Trials[n-1]
	b.trialForm(&p, v)
	steps := func(list ...brick.Step) (all []message.Text) {
		for _, step := range list {
			for _, c := range brick.Cautions(step, p.Trial.Mix) {
				if !slices.ContainsFunc(all, func(t message.Text) bool { return t.ID == c.ID }) {
					all = append(all, c)
				}
			}
		}
		return all
	}
	p.Mixing, p.Firing, p.Testing = steps(brick.StepMixing), steps(brick.StepDrying, brick.StepFiring, brick.StepUnload), steps(brick.StepCrushing, brick.StepTesting)
	if v.Ready && len(p.Trial.Mix.Portions) > 0 {
		if err := b.trialAnswers(r.Context(), &p, v); err != nil {
			return "", nil, err
		}
	}
	p.Strip.More = p.Balance != nil
	return "brickstrial", p, nil
}

// trialForm lists the entries of the trial.
func (b *Bench) trialForm(p *trialPage, v series) {
	at, form := trialPath(p.Number-1), v.Form.Trials[p.Number-1]
	entry := func(path string) brickEntry { return b.sheetEntry(v.sheet, at+"."+path) }
	p.Head = []brickEntry{entry("name"), entry("date"), entry("note")}
	p.Water, p.Fire = entry("water"), entry("fired_at")
	for k := range form.Mix {
		line := "mix[" + strconv.Itoa(k+1) + "]."
		m := mixLine{Amount: entry(line + "amount"), Moisture: entry(line + "moisture")}
		m.Amount.Own, m.Amount.Rule.Required = form.Mix[k].Material, false // what is not in the mix stays empty
		if e := v.complaint(at + "." + line + "material"); e != nil {      // of no known material
			m.Amount.Error, m.Amount.Needed = e, false
		}
		for _, portion := range p.Trial.Mix.Portions {
			if portion.Ingredient.Name == form.Mix[k].Material && m.Amount.Text != "" {
				m.Says = message.T("web.bricks.of-which-dry", "mass", gramsOf(portion.Mass), "dry", gramsOf(portion.Dry()))
			}
		}
		p.Mix = append(p.Mix, m)
	}
	p.Full = len(form.Bricks) >= mostItems
	for k := range form.Bricks {
		path := "bricks[" + strconv.Itoa(k+1) + "]"
		block := brickBlock{Path: at + "." + path, Number: k + 1, Mark: entry(path + ".mark")}
		for _, stage := range brickStages {
			block.Stages = append(block.Stages, brickStage{stage, []brickEntry{entry(path + "." + stage + ".mass"), entry(path + "." + stage + ".size")}})
		}
		for _, detail := range brickDetails {
			e := entry(path + "." + detail)
			block.More = append(block.More, e)
			block.Filled = block.Filled || e.Text != "" || e.Error != nil
		}
		if k < len(p.Trial.Bricks) {
			block.Says = brickSays(p.Trial, p.Trial.Bricks[k])
		}
		p.Bricks = append(p.Bricks, block)
	}
	entries := slices.Concat(p.Head, []brickEntry{p.Water, p.Fire})
	for _, m := range p.Mix {
		entries = append(entries, m.Amount, m.Moisture)
	}
	for _, k := range p.Bricks {
		entries = append(append(entries, k.Mark), k.More...)
		for _, s := range k.Stages {
			entries = append(entries, s.Fields...)
		}
	}
	p.Groups = []brickGroup{{Fields: entries}} // whose messages follow each key
}

// brickSays is what scale and calliper tell of one brick, at once.
func brickSays(t brick.Trial, record brick.Record) (list []brickFact) {
	for k, key := range brickStages {
		stage := record.Stages[k]
		if stage.Mass.Value <= 0 || stage.Volume().Value <= 0 {
			continue
		}
		value, u := stage.Mass.Value/stage.Volume().Value, 0.0
		if budget, err := brick.FieldDensity(stage.Mass, stage.Edges); err == nil {
			value, u = budget.Value, budget.U
		}
		list = append(list, brickFactOf("web.bricks.density-"+key, measuredText(brick.Reading{Value: value, U: u})))
	}
	for _, pair := range []struct {
		id       string
		from, to int
	}{{"web.bricks.drying", brick.Wet, brick.Dry}, {"web.bricks.firing", brick.Dry, brick.Fired}, {"web.bricks.total", brick.Wet, brick.Fired}} {
		if a, b := record.Stages[pair.from].Volume().Value, record.Stages[pair.to].Volume().Value; a > 0 && b > 0 {
			list = append(list, brickFactOf(pair.id, byAxis(record.Stages[pair.from], record.Stages[pair.to], 1-math.Cbrt(b/a))))
		}
	}
	wet, dry := record.Stages[brick.Wet].Mass, record.Stages[brick.Dry].Mass
	if wet.Value > 0 && dry.Value > 0 {
		if held, err := t.Mix.HeldFromDrying(wet, dry); err == nil {
			list = append(list, brickFactOf("web.bricks.held", message.T("web.bricks.held-of", "water", gramsOf(held.Water.Value), "share", quantity.Pct(1-held.Drained))))
		}
	}
	if p := record.Pores; p != nil {
		list = append(list, brickFactOf("web.bricks.apparent-porosity", plainText(percentOf(p.ApparentPorosity.Value))),
			brickFactOf("web.bricks.absorption", plainText(percentOf(p.Absorption.Value))),
			brickFactOf("web.bricks.bulk-density", measuredText(brick.Reading{Value: p.BulkDensity.Value, U: p.BulkDensity.U})),
			brickFactOf("web.bricks.skeleton", plainText(densityOf(p.SkeletonDensity.Value))),
			brickFactOf("web.bricks.sealed", plainText(quantity.Pct(math.Max(0, p.SealedShare(brick.TrueDensityFired))))))
	}
	return list
}

// byAxis is a mean shrinkage with that of each edge, where all were measured.
func byAxis(from, to brick.Stage, mean float64) message.Text {
	var each [3]quantity.Value
	for a := range each {
		if from.Edges[a].Value <= 0 || to.Edges[a].Value <= 0 {
			return plainText(percentOf(mean))
		}
		each[a] = bare(percentOf(1 - to.Edges[a].Value/from.Edges[a].Value))
	}
	return message.T("web.bricks.by-axis", "mean", percentOf(mean), "length", each[0], "width", each[1], "height", each[2])
}

// trialAnswers are what the mix is expected to become, what the bricks became,
// and what such a brick is good for.
func (b *Bench) trialAnswers(ctx context.Context, p *trialPage, v series) error {
	i := p.Number - 1
	belief, err := b.belief(ctx, v, i)
	if err != nil {
		p.Strip.Words = append(p.Strip.Words, message.T("web.bricks.contradict"))
		return nil
	}
	prediction, err := belief.Predict(p.Trial.Mix, seed)
	if err != nil {
		if _, ok := message.Complaints(err); ok {
			return nil // an entry beside the field says so
		}
		return err
	}
	p.Balance = b.balanceOf(p.Trial, prediction, belief)
	alone := *v.Form // what is odd about this trial and no other
	alone.Trials = v.Form.Trials[i : i+1]
	read, _ := readSeries(&alone)
	p.Odd = read.Remarks
	outcome := p.Trial.Outcome()
	p.Fired = outcome.N > 0
	name := v.Read.BodyNames()[i]
	p.Own = message.T("web.bricks.own-body", "name", name)
	body := v.Read.Body(name, i, prediction)
	p.Props, p.Shock = bodyFacts(body), shockFacts(body)
	if drops := p.Trial.Drops(); len(drops) > 0 {
		p.Props = append(p.Props, brickFact{Name: message.T("web.bricks.drop-height"), Value: bandText(brick.DropHeight(drops), centimetreOf),
			Note: message.T("web.bricks.drop-note", "n", len(drops))})
	}
	p.Lining, p.Back = body.Judge(brick.Lining), body.Judge(brick.BackBrick)
	if group, ok := body.LikeGroup(); ok {
		p.Like = message.T("web.bricks.like-group", "group", strconv.Itoa(group.Group))
	}
	for _, row := range p.Balance.Rows {
		value := row.Foretold
		if row.Measured.ID != "" {
			value = row.Measured
		}
		f := brickFactOf("web.bricks.density-"+row.Key, value)
		f.Note = row.Word
		p.Strip.Facts = append(p.Strip.Facts, f)
		best := prediction.Fired.Best
		switch row.Key {
		case "wet":
			best = prediction.Wet.Best
		case "dry":
			best = prediction.Dry.Best
		}
		short := plainText(densityOf(best))
		if row.Measured.ID != "" {
			short = plainText(densityOf(row.mean))
		}
		p.Strip.Short = append(p.Strip.Short, brickFactOf("web.bricks.line-"+row.Key, short))
	}
	p.Strip.Facts = append(p.Strip.Facts, p.Balance.Water...)
	if len(p.Props) > 1 {
		p.Strip.Facts = append(p.Strip.Facts, p.Props[0], p.Props[1])
	}
	p.Strip.Words = append(p.Strip.Words, p.Odd...)
	return nil
}

// balanceOf puts what was foretold beside what was weighed.
func (b *Bench) balanceOf(t brick.Trial, pr brick.Prediction, belief *brick.Belief) *balance {
	var sums [3][]float64
	for _, record := range t.Bricks {
		for k, stage := range record.Stages {
			if stage.Mass.Value > 0 && stage.Volume().Value > 0 {
				sums[k] = append(sums[k], stage.Mass.Value/stage.Volume().Value)
			}
		}
	}
	out := &balance{}
	for k, foretold := range []brick.Band{pr.Wet, pr.Dry, pr.Fired} {
		row := balanceRow{Key: brickStages[k], Foretold: bandText(foretold, densityOf)}
		if n := len(sums[k]); n > 0 {
			mean := 0.0
			for _, d := range sums[k] {
				mean += d / float64(n)
			}
			row.Measured, row.Word, row.mean = plainText(densityOf(mean)), comparison(mean, foretold), mean
			if k == brick.Fired {
				row.Measured = measuredText(t.Outcome().Density)
			}
		}
		out.Rows = append(out.Rows, row)
	}
	mix := t.Mix
	mix.Portions = slices.Clone(mix.Portions)
	for i, portion := range mix.Portions {
		if in, ok := belief.Ingredient(portion.Ingredient.Name); ok {
			if portion.Weighed {
				in.Moisture = portion.Ingredient.Moisture
			}
			mix.Portions[i].Ingredient = in
		}
	}
	if all, err := mix.Balance(belief.Forming()); err == nil {
		out.Water = append(out.Water, brickFactOf("web.bricks.all-water", plainText(gramsOf(all.TotalWater))),
			brickFactOf("web.bricks.moisture-moulded", bandText(pr.MoistureDry, quantity.Pct)),
			brickFactOf("web.bricks.porosity", bandText(pr.Porosity, quantity.Pct)),
			brickFactOf("web.bricks.total", bandText(pr.Total, percentOf)))
		heat := mix.KilnHeat(all, math.Max(t.Kelvin, quantity.Celsius.SI(950)))
		if heat.Ratio() > 1 {
			out.Words = append(out.Words, message.T("web.bricks.own-heat", "times", quantity.Value{SI: heat.Ratio(), Unit: quantity.One, Step: 0.1}))
		}
	}
	return out
}

// bodyFacts are the properties of the fired brick.
func bodyFacts(body brick.Body) []brickFact {
	hot, cold := quantity.Celsius.SI(600), quantity.Celsius.SI(20)
	crushing := brickFactOf("web.bricks.crushing", bandText(body.Crushing(), mpaOf))
	if body.Strength > 0 {
		crushing.Value, crushing.Note = plainText(mpaOf(body.Strength)), message.T("web.bricks.as-crushed")
	} else {
		crushing.Note = message.T("web.bricks.from-density")
	}
	return []brickFact{
		{Name: message.T("web.bricks.conductivity", "at", quantity.C(hot)), Value: bandText(body.Conductivity(hot), perMetreKelvin), Note: message.T("web.bricks.conductivity-note", "pore", quantity.Value{SI: body.Skeleton.PoreSize, Unit: quantity.Millimetre, Step: 0.1})},
		crushing,
		{Name: message.T("web.bricks.conductivity", "at", quantity.C(cold)), Value: bandText(body.Conductivity(cold), perMetreKelvin)},
		brickFactOf("web.bricks.porosity", plainText(quantity.Pct(body.Porosity()))),
		brickFactOf("web.bricks.specific-heat", plainText(message.T("web.bricks.kj-per-kg", "value", quantity.Value{SI: brick.ClayMeanSpecificHeat(cold, hot) / 1000, Unit: quantity.One, Step: 0.01}))),
		brickFactOf("web.bricks.use-limit", plainText(celsiusOf(body.UseLimit()))),
	}
}

func centimetreOf(m float64) quantity.Value {
	return quantity.Value{SI: m, Unit: quantity.Centimetre, Step: 1}
}

// shockFacts compare bodies under sudden heat.
func shockFacts(body brick.Body) []brickFact {
	s := body.ShockOf(quantity.Celsius.SI(600))
	one := func(v, step float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.One, Step: step} }
	return []brickFact{
		brickFactOf("web.bricks.shock-r", message.T("web.bricks.kelvins", "value", one(s.Kingery1955R(), 1))),
		brickFactOf("web.bricks.shock-rk", message.T("web.bricks.watts-per-metre", "value", one(s.Kingery1955RPrime(), 1))),
		brickFactOf("web.bricks.shock-damage", message.T("web.bricks.metres", "value", one(s.Hasselman1963R4(), 0.001))),
	}
}

// Moist reports whether a moisture was measured for this mix.
func (p trialPage) Moist() bool {
	return slices.ContainsFunc(p.Mix, func(m mixLine) bool { return m.Moisture.Text != "" || m.Moisture.Error != nil })
}

// Step is the address of the trial beside this one.
func (p trialPage) Step(by int) string {
	return p.Sheet.Path() + queryOf("part", "trial", "n", strconv.Itoa(p.Number+by))
}

// TrialName is what the trial is called.
func (p trialPage) TrialName() string {
	if name := strings.TrimSpace(p.Head[0].Text); name != "" {
		return name
	}
	return strconv.Itoa(p.Number)
}
