package web

import (
	"bytes"
	"context"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"stovewright/brick"
	"stovewright/brick/figure"
	"stovewright/brick/mixture"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// nextPage is what the trials of a series say: what to try next and why.
type nextPage struct {
	sheetPage
	Part     string
	Ready    bool
	Measured int // trials with a fired brick
	Least    int // of these, before a suggestion is made
	First    []recipe
	Next     *suggested
	Why      []message.Text // why there is no suggestion
	One      oneChange
	Learned  []brick.Learned
	Unknown  []brick.Learned
	Scatter  message.Text
	Along    []brickFact // shrinkage along each axis
	Cards    []*sheet
	Picture  template.HTML
	Pictured message.Text
	Fits     []fitted
	Strength []brickFact
	Strip    answerStrip
}

// recipe is a mix to be weighed out.
type recipe struct {
	Lines []recipeLine
	Water quantity.Value
}

type recipeLine struct {
	Name  string
	Mass  quantity.Value
	Tins  message.Text
	Share message.Text // of the dry mass
}

// suggested is the next trial.
type suggested struct {
	brick.Suggestion
	Recipe recipe
	Expect []brickFact
	Best   string // name of the best trial so far
	Number int    // of that trial
}

// oneChange is the way of a beginner: from one trial, one thing at a time.
type oneChange struct {
	Names   []string
	From    int // counted from one; 0 for none
	Target  string
	Error   *message.InputError
	Changes []brick.Change
	Words   []message.Text
}

// fitted is a polynomial through what was measured.
type fitted struct {
	Name    message.Text
	Terms   []fittedTerm
	Words   []message.Text
	Quality []brickFact
}

type fittedTerm struct {
	Name      string
	Value, SE quantity.Value
}

var goalParts = []brickPart{
	{Key: "goal", Paths: []string{"goal.aim", "goal.max_density", "goal.min_strength", "goal.max_shrinkage"}},
	{Key: "goal-more", Paths: []string{"goal.min_density", "goal.least_water", "goal.most_water", "goal.least_firing", "goal.most_firing", "goal.dry_batch"}, Folded: true},
	{Key: "shares", List: "materials", Paths: []string{"least", "most", "price"}, Folded: true, Fixed: true},
}

func nextPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	v := seriesOf(s)
	p := nextPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, goalParts, brick.Mix{})}, Part: "next", Ready: v.Ready,
		Measured: v.measuredTrials(), Least: brick.LeastTrials}
	for i := range p.Groups[2].Items {
		p.Groups[2].Items[i].Name = v.Form.Materials[i].Name
	}
	if !v.Ready {
		return "bricksnext", p, nil
	}
	belief, err := b.belief(r.Context(), v, -1)
	if err != nil {
		p.Why = append(p.Why, message.T("web.bricks.contradict"))
		return "bricksnext", p, nil
	}
	_, _, p.Cards = b.withCards(r.Context(), v)
	b.suggest(r.Context(), &p, v)
	p.One = b.oneChange(r.URL.Query(), v, belief)
	for _, l := range belief.Learned() {
		if l.Text.ID == "brick.learned.unknown" {
			p.Unknown = append(p.Unknown, l)
		} else {
			p.Learned = append(p.Learned, l)
		}
	}
	scatter := belief.Scatter()
	p.Scatter = message.T("web.bricks.scatter", "low", one2(scatter.Low), "high", one2(scatter.High))
	for a, along := range belief.Shrinkage() {
		p.Along = append(p.Along, brickFact{Name: message.T("web.bricks.shrinks-along", "axis", message.T("web.bricks.word."+brick.Axis(a).String())), Value: withU(float64(along.Total()), along.UTotal())})
	}
	p.Picture, p.Pictured = b.ternary(v, belief)
	p.Fits, p.Strength = fits(v, belief), strengthFits(v)
	p.Strip = nextStrip(p)
	return "bricksnext", p, nil
}

func one2(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.One, Step: 0.1} }

func nextStrip(p nextPage) (st answerStrip) {
	if p.Next != nil {
		st.Facts = p.Next.Expect
		st.Short = p.Next.Expect[:2]
		st.Words = p.Next.Because
	} else {
		st.Facts = []brickFact{brickFactOf("web.bricks.measured-trials", plainText(p.Measured))}
		st.Short = st.Facts
	}
	st.More = true
	return st
}

// next is the next trial of a series.
func (b *Bench) next(ctx context.Context, v series) (brick.Suggestion, error) {
	belief, err := b.belief(ctx, v, -1)
	if err != nil {
		return brick.Suggestion{}, err
	}
	trials, _ := v.fired()
	return brick.Next(belief, trials, v.Read.Goal, seed)
}

// fired are the usable trials with a fired brick, and where each stands.
func (s series) fired() (list []brick.Trial, at []int) {
	for _, i := range s.Usable {
		if s.Read.Trials[i].Outcome().N > 0 {
			list, at = append(list, s.Read.Trials[i]), append(at, i)
		}
	}
	return list, at
}

// suggest finds the first trials, or the next one.
func (b *Bench) suggest(ctx context.Context, p *nextPage, v series) {
	if len(v.Read.Stocks) < 2 {
		p.Why = append(p.Why, message.T("web.bricks.one-material"))
		return
	}
	if p.Measured < brick.LeastTrials {
		mixes, err := firstMixes(v)
		p.Why = append(p.Why, reasons(err)...)
		for _, m := range mixes {
			p.First = append(p.First, recipeOf(v, m))
		}
		return
	}
	s, err := b.next(ctx, v)
	if err != nil {
		p.Why = append(p.Why, reasons(err)...)
		return
	}
	_, at := v.fired()
	n := &suggested{Suggestion: s, Recipe: recipeOf(v, s.Mix)}
	if s.Best >= 0 {
		n.Number = at[s.Best] + 1
		n.Best = v.Form.Trials[at[s.Best]].Name
	}
	n.Expect = []brickFact{brickFactOf("web.bricks.density-fired", bandText(s.Density, densityOf)), brickFactOf("web.bricks.crushing", bandText(s.Strength, mpaOf)),
		brickFactOf("web.bricks.total", bandText(s.Shrinkage, percentOf)), brickFactOf("web.bricks.chance", plainText(quantity.Pct(s.Chance)))}
	if v.Read.Goal.Prices != nil {
		n.Expect = append(n.Expect, brickFactOf("web.bricks.cost", plainText(quantity.Value{SI: s.Cost, Unit: quantity.One})))
	}
	p.Next = n
}

// reasons are what a refusal says.
func reasons(err error) (list []message.Text) {
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		list = append(list, c.Reason)
	}
	return list
}

// recipeOf writes a mix in grams and in the maker's own tins.
func recipeOf(v series, m brick.Mix) recipe {
	rec := recipe{Water: gramsOf(m.Water)}
	dry := 0.0
	for _, p := range m.Portions {
		dry += p.Dry()
	}
	for _, p := range m.Portions {
		line := recipeLine{Name: p.Ingredient.Name, Mass: gramsOf(p.Mass)}
		if dry > 0 {
			line.Share = message.T("web.bricks.of-dry", "share", quantity.Pct(p.Dry()/dry))
		}
		for k, s := range v.Read.Stocks {
			if s.Name == p.Ingredient.Name && v.Read.Tins[k] > 0 {
				line.Tins = message.T("web.bricks.tins", "tins", quantity.Value{SI: brick.Tins(p.Mass, v.Read.Tins[k]), Unit: quantity.One, Step: 0.1})
			}
		}
		rec.Lines = append(rec.Lines, line)
	}
	return rec
}

// oneChange lists the single changes from one trial towards a density.
func (b *Bench) oneChange(asked url.Values, v series, belief *brick.Belief) oneChange {
	c := oneChange{Target: asked.Get("target")}
	for i := range v.Form.Trials {
		c.Names = append(c.Names, orUnnamed(b, v.Form.Trials[i].Name))
	}
	c.From, _ = strconv.Atoi(asked.Get("from"))
	if c.From < 1 || c.From > len(v.Form.Trials) {
		c.From = 0
		if _, at := v.fired(); len(at) > 0 {
			c.From = at[len(at)-1] + 1
		} else if len(v.Usable) > 0 {
			c.From = v.Usable[len(v.Usable)-1] + 1
		}
	}
	if c.From == 0 || !slices.Contains(v.Usable, c.From-1) {
		return c
	}
	trial := v.Read.Trials[c.From-1]
	outcome := trial.Outcome()
	target := v.Read.Goal.MaxDensity
	if c.Target != "" {
		rule, _ := brick.SeriesFields.Find("goal.max_density")
		si, err := quantity.Parse(c.Target, rule.Unit.Dimension, rule.Unit)
		if err != nil || si < rule.Unit.SI(rule.Min) || si > rule.Unit.SI(rule.Max) {
			c.Error = &message.InputError{Field: "target", Value: c.Target, Reason: message.T("web.bricks.target-wrong"), Allowed: rule.Allowed(), Try: rule.Example}
			return c
		}
		target = si
	}
	if target == 0 {
		return c
	}
	if c.Target == "" {
		c.Target = quantity.Value{SI: target, Unit: quantity.GramPerCM3, Step: 0.01}.String()
	}
	changes, err := brick.OneChange(belief, trial, target)
	c.Changes, c.Words = changes, reasons(err)
	if outcome.N == 0 {
		if words, err := trial.Mix.ExplainClaim(target, belief.Forming()); err == nil {
			c.Words = append(c.Words, words...)
		}
	}
	return c
}

// writeChange writes the mix of a single change as a new trial.
func (b *Bench) writeChange(r *http.Request, v series, what string) error {
	belief, err := b.belief(r.Context(), v, -1)
	if err != nil {
		return err
	}
	c := b.oneChange(r.PostForm, v, belief)
	k, err := strconv.Atoi(what)
	if err != nil || k < 0 || k >= len(c.Changes) {
		return missing()
	}
	f, from := v.Form, v.Form.Trials[c.From-1]
	t := freshTrial(f)
	t.Mix, t.Water = slices.Clone(from.Mix), from.Water
	change := c.Changes[k]
	switch change.Kind {
	case brick.ChangeWater:
		t.Water = gramText(change.To)
	case brick.ChangePoreFormer:
		for i, line := range t.Mix {
			if line.Material == change.Text.Args["name"] {
				t.Mix[i].Amount = gramText(change.To)
			}
		}
		mass, _ := quantity.Parse(from.Water, quantity.Mass, quantity.Gram)
		dry := 1.0
		for _, p := range v.Read.Trials[c.From-1].Mix.Portions {
			if p.Ingredient.Name == change.Text.Args["name"] {
				dry = 1 - p.Ingredient.Moisture
			}
		}
		t.Water = gramText(math.Max(0, mass+brick.WaterPerSawdust*(change.To-change.From)*dry))
	}
	t.Note = b.Catalogue.Say(message.T("web.bricks.changed-from", "trial", orUnnamed(b, from.Name), "what", change.Text))
	f.Trials = append(f.Trials, t)
	return nil
}

// ternary draws the fired density over all mixtures of three: of the three
// materials that the trials use most, or of two and water.
func (b *Bench) ternary(v series, belief *brick.Belief) (template.HTML, message.Text) {
	stocks := v.Read.Stocks
	if len(stocks) < 2 {
		return "", message.Text{}
	}
	inputs := make([]brick.Ingredient, len(stocks))
	for k, s := range stocks {
		inputs[k], _ = belief.Ingredient(s.Name)
		inputs[k].Moisture = 0 // shares are of the dry mass
	}
	trials, at := v.trials(-1)
	var points []mixture.Point
	var waters []float64
	use := make([]float64, len(stocks))
	for _, t := range trials {
		p, water, err := belief.Shares(t.Mix)
		if err != nil {
			return "", message.Text{}
		}
		points, waters = append(points, p), append(waters, water)
		for k := range p {
			use[k] += p[k]
		}
	}
	withWater := len(stocks) == 2
	corners := []int{0, 1}
	if !withWater {
		corners = mostUsed(use)
	}
	held := (v.Read.Goal.WaterLow + v.Read.Goal.WaterHigh) / 2
	forming := belief.Forming()
	value := func(p mixture.Point) float64 {
		m := brick.Mix{Water: held}
		if withWater {
			m.Water = p[2]
		}
		for k, c := range corners {
			m.Portions = append(m.Portions, brick.Portion{Ingredient: inputs[c], Mass: p[k]})
		}
		balance, err := m.Balance(forming)
		if err != nil || withWater && p[2] > 0.95 {
			return 0
		}
		return balance.Fired.Density() / 1000
	}
	names := [3]string{stocks[corners[0]].Name, stocks[corners[1]].Name, b.Catalogue.S("web.bricks.water")}
	if !withWater {
		names[2] = stocks[corners[2]].Name
	}
	var blends []figure.Blend
	for i, p := range points {
		q := mixture.Point{p[corners[0]], p[corners[1]], waters[i]}
		if !withWater {
			q[2] = p[corners[2]]
		}
		sum := q[0] + q[1] + q[2]
		for k := range q {
			q[k] /= sum
		}
		blends = append(blends, figure.Blend{Point: q, Label: v.Form.Trials[at[i]].Name, Best: v.Read.Trials[at[i]].Outcome().N > 0})
	}
	levels := []float64{0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0, 1.2, 1.5}
	picture := b.figureOf(figure.Ternary(names, value, levels, 1, "", blends, b.Catalogue))
	if withWater {
		return picture, message.T("web.bricks.ternary-water")
	}
	return picture, message.T("web.bricks.ternary-dry", "water", one2(held))
}

// mostUsed are the three materials that are used most, in their order.
func mostUsed(use []float64) []int {
	order := make([]int, len(use))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, c int) int { return int(math.Copysign(1, use[c]-use[a])) })
	three := order[:3]
	slices.Sort(three)
	return three
}

// figureOf is a drawing as a part of the page.
func (b *Bench) figureOf(sheet *drawing.Sheet) template.HTML {
	var out bytes.Buffer
	if err := sheet.SVG(&out); err != nil {
		return "" // a buffer takes everything
	}
	return template.HTML(out.String()) // package drawing escapes every text it writes
}

// fits lays Scheffé polynomials through what the trials measured, as far as
// there are enough of them.
func fits(v series, belief *brick.Belief) (list []fitted) {
	trials, _ := v.fired()
	names := make([]string, len(v.Read.Stocks))
	for k, s := range v.Read.Stocks {
		names[k] = s.Name
	}
	for _, quality := range []struct {
		id   string
		of   func(brick.Outcome) float64
		unit quantity.Unit
	}{
		{"web.bricks.density-fired", func(o brick.Outcome) float64 { return o.Density.Value }, quantity.GramPerCM3},
		{"web.bricks.total", func(o brick.Outcome) float64 { return o.Total }, quantity.Percent},
		{"web.bricks.crushing", func(o brick.Outcome) float64 { return o.Strength }, quantity.Megapascal},
	} {
		var points []mixture.Point
		var y []float64
		for _, t := range trials {
			p, _, err := belief.Shares(t.Mix)
			if value := quality.of(t.Outcome()); err == nil && !math.IsNaN(value) {
				points, y = append(points, p), append(y, quality.unit.Number(value))
			}
		}
		if f, ok := bestFit(points, y); ok {
			list = append(list, describe(f, quality.id, names, quality.unit))
		}
	}
	return list
}

// bestFit is the richest model for which at least two observations are left.
func bestFit(points []mixture.Point, y []float64) (mixture.Fit, bool) {
	for _, m := range []mixture.Model{mixture.SpecialCubic, mixture.Quadratic, mixture.Linear} {
		if len(points) == 0 || len(y) < len(m.Terms(points[0]))+2 {
			continue
		}
		if f, err := mixture.FitModel(points, y, m); err == nil && !math.IsNaN(f.P) {
			return f, true
		}
	}
	return mixture.Fit{}, false
}

func describe(f mixture.Fit, id string, names []string, unit quantity.Unit) fitted {
	number := func(v float64) quantity.Value { return quantity.Value{SI: v, Unit: quantity.One} }
	d := fitted{Name: message.T("web.bricks.fit-of", "what", message.T(id), "unit", unit.Symbol)}
	for k, name := range f.Model.Names(names) {
		d.Terms = append(d.Terms, fittedTerm{name, number(f.Coefficients[k]), number(f.SE[k])})
	}
	d.Quality = []brickFact{brickFactOf("web.bricks.fit-s", plainText(number(f.S))), brickFactOf("web.bricks.fit-r2", plainText(number(f.AdjR2))),
		brickFactOf("web.bricks.fit-p", plainText(number(f.P))), brickFactOf("web.bricks.fit-n", message.T("web.bricks.fit-left", "n", f.N, "df", f.DF))}
	if !math.IsNaN(f.Lack.P) {
		d.Quality = append(d.Quality, brickFactOf("web.bricks.fit-lack", plainText(number(f.Lack.P))))
	} else {
		d.Words = append(d.Words, message.T("web.bricks.fit-no-repeats"))
	}
	if f.P > 0.05 {
		d.Words = append(d.Words, message.T("web.bricks.fit-nothing"))
	}
	return d
}

// strengthFits lay the two usual curves through the bricks that were crushed.
func strengthFits(v series) (list []brickFact) {
	var d, porosity, crushed []float64
	for _, i := range v.Usable {
		for _, record := range v.Read.Trials[i].Bricks {
			stage := record.Stages[brick.Fired]
			if volume := stage.Volume().Value; record.Crushing > 0 && stage.Mass.Value > 0 && volume > 0 {
				d = append(d, stage.Mass.Value/volume)
				porosity = append(porosity, 1-stage.Mass.Value/volume/brick.TrueDensityFired)
				crushed = append(crushed, record.Crushing)
			}
		}
	}
	number := func(x float64) quantity.Value { return quantity.Value{SI: x, Unit: quantity.One} }
	interval := func(i stats.Interval) []any { return []any{"low", number(i.Low), "high", number(i.High)} }
	if f, err := brick.FitPower(d, crushed); err == nil {
		args := append([]any{"n", number(f.Exponent), "r", number(f.R), "count", f.N}, interval(f.ExponentInterval(0.95))...)
		list = append(list, brickFactOf("web.bricks.fit-power", message.T("web.bricks.fit-power-is", args...)))
		at := quantity.GramPerCM3.SI(0.6)
		if v.Read.Goal.MaxDensity > 0 {
			at = v.Read.Goal.MaxDensity
		}
		list = append(list, brickFact{Name: message.T("web.bricks.fit-at", "density", densityOf(at)), Value: bandText(f.Predict(at, 0.9), mpaOf)})
	}
	if f, err := brick.FitRyshkewitch(porosity, crushed); err == nil {
		args := append([]any{"b", number(f.Exponent), "zero", mpaOf(f.Factor), "r", number(f.R)}, interval(f.ExponentInterval(0.95))...)
		list = append(list, brickFactOf("web.bricks.fit-pores", message.T("web.bricks.fit-pores-is", args...)))
	}
	return append(list, dropFits(v)...)
}

// dropFits lay the law of density through the heights at which half the bricks
// of a trial break.
func dropFits(v series) []brickFact {
	var density, height []float64
	for _, i := range v.Usable {
		t := v.Read.Trials[i]
		if o, drops := t.Outcome(), t.Drops(); o.N > 0 && len(drops) > 0 {
			density, height = append(density, o.Density.Value), append(height, brick.DropHeight(drops).Best)
		}
	}
	f, err := brick.FitPower(density, height)
	if err != nil {
		return nil
	}
	number := func(x float64) quantity.Value { return quantity.Value{SI: x, Unit: quantity.One} }
	in := f.ExponentInterval(0.95)
	return []brickFact{brickFactOf("web.bricks.fit-drop", message.T("web.bricks.fit-drop-is", "n", number(f.Exponent), "low", number(in.Low), "high", number(in.High), "r", number(f.R), "count", f.N))}
}

// NextTrial is the name that the next trial will have.
func (p nextPage) NextTrial() string {
	return freshTrial(p.Sheet.Form.(*brick.SeriesForm)).Name
}

// Plus counts from one, IsFrom tells the trial that is changed, and Writes
// whether a change can be written down as a mix: pressing is no part of one.
func (nextPage) Plus(i int) int             { return i + 1 }
func (p nextPage) IsFrom(i int) bool        { return p.One.From == i+1 }
func (nextPage) Writes(c brick.Change) bool { return c.Kind != brick.ChangePressing }
