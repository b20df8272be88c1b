package web

import (
	"context"
	"net/http"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// mouldPaper is a mould to be made, sized from measured shrinkage.
var mouldPaper = &brickPaper{
	Key: brick.MouldPaper, fields: brick.MouldFields, example: "lining-mould.yaml", lists: []string{"lines"},
	parse: parser(brick.ParseMould),
	begin: func(*message.Catalogue) any { return &brick.MouldForm{} },
	read:  func(f any) (any, error) { return readMould(f.(*brick.MouldForm)) },
	clean: func(f any) any {
		out := *f.(*brick.MouldForm)
		out.Lines, _ = filledRows(out.Lines, emptyLine)
		return &out
	},
}

// batchPaper is a batch to be made.
var batchPaper = &brickPaper{
	Key: brick.BatchPaper, fields: brick.BatchFields, example: "fifty-stoves.yaml",
	parse: parser(brick.ParseBatch),
	begin: func(*message.Catalogue) any { return &brick.BatchForm{} },
	read:  func(f any) (any, error) { return f.(*brick.BatchForm).Read() },
}

func init() {
	mouldPaper.page, mouldPaper.glance, mouldPaper.from = mouldPageOf, mouldGlance, fromTrial
	batchPaper.page, batchPaper.glance, batchPaper.from = batchPageOf, batchGlance, fromTrial
}

// fromTrial fills a new mould or batch from the trial of which it is made.
func fromTrial(b *Bench, r *http.Request, f any) (string, error) {
	id := r.PostFormValue("series")
	if id == "" {
		return "", nil
	}
	s, err := b.loadSheet(r.Context(), seriesPaper, id)
	if err != nil {
		return "", err
	}
	writeSlot(f, "series", s.Name())
	writeSlot(f, "trial", tidy(r.PostFormValue("trial")))
	return "", nil
}

func emptyLine(l brick.LineForm) bool { return blank(l.Wet, l.Dry, l.Fired) }

func readMould(f *brick.MouldForm) (brick.MouldWish, error) {
	filled := *f
	var at []int
	filled.Lines, at = filledRows(f.Lines, emptyLine)
	w, err := filled.Read()
	return w, placed(err, "lines", at).OrNil()
}

type mouldPage struct {
	sheetPage
	From    message.Text // where the shrinkage comes from
	Rough   bool         // fewer lines than are worth averaging
	Missing bool         // of that name there is no series
	Axes    []mouldAxis
	Cavity  message.Text
	Half    message.Text
	Mass    []brickFact
	Ring    *ringMould
	Refused []message.Text
	Stoves  []listedStove
	Strip   answerStrip
}

// mouldAxis is one edge of a mould.
type mouldAxis struct {
	Name       message.Text
	Fired      quantity.Value
	Drying     message.Text
	Firing     message.Text
	Total      message.Text
	Inside     quantity.Value
	Uncertain  quantity.Value
	Wet, Dry   gauge
	FiredGauge gauge
	Count      int
}

type gauge struct{ Go, NoGo quantity.Value }

type ringMould struct {
	Fired []brickFact
	Mould []brickFact
	Text  message.Text
	Takes bool
}

// listedStove is a stove whose kit has drawings of its moulds.
type listedStove struct{ ID, Name string }

func mm1(metres float64) quantity.Value { return quantity.MM1(metres) }

var mouldParts = []brickPart{
	{Key: "mould", Paths: []string{"name", "note"}},
	{Key: "fired-size", Paths: []string{"fired", "allowance", "tolerance", "joint"}},
	{Key: "shrinkage", Paths: []string{"series", "trial"}},
	{Key: "lines", List: "lines", Item: "lines", Paths: []string{"axis", "wet", "dry", "fired"}, Table: true},
	{Key: "guess", Paths: []string{"drying", "firing"}, Folded: true},
	{Key: "ring", Paths: []string{"ring.sides", "ring.across", "ring.thickness", "ring.height", "ring.mitre"}, Folded: true},
}

func mouldPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	f := s.Form.(*brick.MouldForm)
	p := mouldPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, mouldParts, brick.Mix{})}}
	if err := b.offerTrials(r.Context(), p.Groups[2].Fields, f.Series); err != nil {
		return "", nil, err
	}
	w, _ := readMould(f)
	shrinkage, count, err := b.shrinkageOf(r.Context(), &p, w)
	if err != nil {
		return "", nil, err
	}
	if w.Fired[0] > 0 && p.From.ID != "" {
		p.size(b, w, shrinkage, count)
	}
	if w.Ring.Sides > 0 && p.From.ID != "" {
		p.ring(w, shrinkage)
	}
	p.Stoves = b.stovesWithKit(r.Context())
	return "bricksmould", p, nil
}

// offerTrials makes the entries of a series and its trial choices among those
// that there are.
func (b *Bench) offerTrials(ctx context.Context, entries []brickEntry, name string) error {
	entries[0] = entries[0].offer(b.seriesNames(ctx))
	named, err := b.seriesNamed(ctx, name)
	if err != nil {
		return err
	}
	var trials []string
	if named != nil {
		trials = trialNames(seriesOf(named).Read)
	}
	entries[1] = entries[1].offer(trials)
	return nil
}

// shrinkageOf finds the shrinkage: marked lines, else the bricks of a series,
// else what was typed.
func (b *Bench) shrinkageOf(ctx context.Context, p *mouldPage, w brick.MouldWish) (s brick.Shrinkage, count [3]int, err error) {
	lines := w.Lines
	p.From = message.T("web.bricks.from-lines")
	if len(lines) == 0 && w.Series != "" {
		named, err := b.seriesNamed(ctx, w.Series)
		if err != nil {
			return s, count, err
		}
		if p.Missing = named == nil; named != nil {
			v := seriesOf(named)
			lines = v.Read.Lines(w.Trial)
			p.From = message.T("web.bricks.from-series", "series", w.Series)
			if len(lines) == 0 && !w.Guessed && v.Ready { // no brick was measured through: what is believed of them
				if belief, err := b.belief(ctx, v, -1); err == nil {
					p.From, p.Rough = message.T("web.bricks.from-belief", "series", w.Series), true
					return belief.Shrinkage(), count, nil
				}
			}
		}
	}
	switch {
	case len(lines) > 0:
		s, count = brick.MeasureShrinkage(lines)
		p.Rough = min(count[0], count[1], count[2]) < brick.MinimumLines
	case w.Guessed:
		s, p.From = w.Guess, message.T("web.bricks.from-guess")
		p.Rough = true
	default:
		p.From = message.Text{}
	}
	return s, count, nil
}

func (p *mouldPage) size(b *Bench, w brick.MouldWish, s brick.Shrinkage, count [3]int) {
	cavity, err := brick.CavityFor(w.Fired, s, w.Allowance)
	if err != nil {
		p.Refused = reasons(err)
		return
	}
	inside := make([]quantity.Value, 3)
	for _, a := range brick.Axes {
		wet, dry, fired := brick.Gauges(w.Fired[a], w.Tolerance, s[a])
		pair := func(g brick.Gauge) gauge { return gauge{mm1(g.Go), mm1(g.NoGo)} }
		inside[a] = quantity.Value{SI: cavity.Size[a], Unit: quantity.Millimetre, Step: 0.5}
		p.Axes = append(p.Axes, mouldAxis{Name: message.T("web.bricks.word." + a.String()), Fired: mm1(w.Fired[a]),
			Drying: withU(float64(s[a].Drying), s[a].UDrying), Firing: withU(float64(s[a].Firing), s[a].UFiring), Total: withU(float64(s[a].Total()), s[a].UTotal()),
			Inside: inside[a], Uncertain: mm1(2 * cavity.U[a]), Wet: pair(wet), Dry: pair(dry), FiredGauge: pair(fired), Count: count[a]})
	}
	p.Cavity = edgesText(inside)
	// half a brick and half a joint less, so that two halves and a joint make one
	half := w.Fired
	half[brick.Length] = (w.Fired[brick.Length] - w.Joint) / 2
	if c, err := brick.CavityFor(half, s, w.Allowance); err == nil && half[brick.Length] > 0 {
		p.Half = message.T("web.bricks.half-brick", "fired", mm1(half[brick.Length]), "inside", quantity.Value{SI: c.Size[brick.Length], Unit: quantity.Millimetre, Step: 0.5})
	}
	p.Strip = answerStrip{Short: []brickFact{brickFactOf("web.bricks.cavity", p.Cavity)}, More: true}
	p.Strip.Facts = append(p.Strip.Facts, p.Strip.Short...)
	for _, a := range p.Axes {
		p.Strip.Facts = append(p.Strip.Facts, brickFact{Name: message.T("web.bricks.shrinks-along", "axis", a.Name), Value: a.Total})
	}
	if p.Rough {
		p.Strip.Words = append(p.Strip.Words, message.T("web.bricks.rough-lines", "n", brick.MinimumLines))
	}
}

// withU is a share with twice its standard uncertainty, where that is known.
func withU(v, u float64) message.Text {
	if !(u > 0) {
		return plainText(percentOf(v))
	}
	return message.T("web.bricks.measured", "value", bare(percentOf(v)), "u", percentOf(max(2*u, 0.001)))
}

func edgesText(v []quantity.Value) message.Text {
	return message.T("web.bricks.edges", "length", bare(v[0]), "width", bare(v[1]), "height", v[2])
}

func (p *mouldPage) ring(w brick.MouldWish, s brick.Shrinkage) {
	segment, err := w.Ring.Segment()
	if err == nil {
		var mould brick.Segment
		if mould, err = w.Ring.Mould(s); err == nil {
			list := func(g brick.Segment) []brickFact {
				return []brickFact{brickFactOf("web.bricks.ring-inner", plainText(mm1(g.Inner))), brickFactOf("web.bricks.ring-outer", plainText(mm1(g.Outer))),
					brickFactOf("web.bricks.ring-thick", plainText(mm1(g.Thickness))), brickFactOf("web.bricks.ring-high", plainText(mm1(g.Height))),
					brickFactOf("web.bricks.ring-end", plainText(quantity.Deg(g.End)))}
			}
			p.Ring = &ringMould{Fired: list(segment), Mould: list(mould)}
		}
	}
	if err != nil {
		p.Refused = append(p.Refused, reasons(err)...)
		return
	}
	if c, err := w.Ring.Closure(s, w.Mitre, brick.Instrument{Resolution: 0.001}.U()); err == nil {
		p.Ring.Text, p.Ring.Takes = c.Text, c.Takes
	}
}

// stovesWithKit are the stoves that are whole, whose kits draw their moulds.
func (b *Bench) stovesWithKit(ctx context.Context) (list []listedStove) {
	stoves, err := b.listed(ctx, false)
	if err != nil {
		return nil
	}
	for _, s := range stoves {
		if s.Stove != nil {
			list = append(list, listedStove{s.ID, s.Head.Name})
		}
	}
	return list
}

func mouldGlance(b *Bench, ctx context.Context, s *sheet) []message.Text {
	var p mouldPage
	w, _ := readMould(s.Form.(*brick.MouldForm))
	shrinkage, _, err := b.shrinkageOf(ctx, &p, w)
	if err != nil || p.From.ID == "" || w.Fired[0] == 0 {
		return []message.Text{message.T("web.bricks.glance.unfinished")}
	}
	p.size(b, w, shrinkage, [3]int{})
	if p.Cavity.ID == "" {
		return []message.Text{message.T("web.bricks.glance.unfinished")}
	}
	return []message.Text{message.T("web.bricks.glance.mould", "cavity", p.Cavity)}
}

// batchPage is a batch: how many to start, and what it takes.
type batchPage struct {
	sheetPage
	Plan     *brick.BatchPlan
	Why      []message.Text
	Starts   []brickFact
	Words    []message.Text
	Needs    []need
	Room     []brickFact
	Wood     []brickFact
	Cautions []message.Text
	Strip    answerStrip
}

type need struct {
	Name string
	Mass quantity.Value
	Tins message.Text
}

var batchParts = []brickPart{
	{Key: "batch", Paths: []string{"name", "note"}},
	{Key: "wanted-bricks", Paths: []string{"good", "set_of", "series", "trial", "cavity"}},
	{Key: "work", Paths: []string{"moulds_per_day", "drying_days", "kiln_bricks"}},
	{Key: "losses", Paths: []string{"yield.mould", "yield.dry", "yield.fire", "yield.check", "confidence"}},
	{Key: "record", Paths: []string{"yield.made", "yield.survived"}, Folded: true},
	{Key: "batch-more", Paths: []string{"spill", "shelf_gap", "wood_heat"}, Folded: true},
}

func batchPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	f := s.Form.(*brick.BatchForm)
	p := batchPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, batchParts, brick.Mix{})}}
	if err := b.offerTrials(r.Context(), p.Groups[1].Fields[2:4], f.Series); err != nil {
		return "", nil, err
	}
	if err := b.plan(r.Context(), &p, f); err != nil {
		return "", nil, err
	}
	return "bricksbatch", p, nil
}

// plan works a batch out.
func (b *Bench) plan(ctx context.Context, p *batchPage, f *brick.BatchForm) error {
	w, err := f.Read()
	if err != nil {
		return nil // the entries say so
	}
	named, err := b.seriesNamed(ctx, w.Series)
	if err != nil {
		return err
	}
	if named == nil {
		p.Why = append(p.Why, message.T("web.bricks.no-series"))
		return nil
	}
	v := seriesOf(named)
	body := -1
	for _, i := range v.Usable {
		if v.Read.Trials[i].Name == w.Trial {
			body = i
		}
	}
	if body < 0 || !v.Ready {
		p.Why = append(p.Why, message.T("web.bricks.no-trial"))
		return nil
	}
	belief, err := b.belief(ctx, v, -1)
	if err != nil {
		p.Why = append(p.Why, message.T("web.bricks.contradict"))
		return nil
	}
	wish := w.Wish
	wish.Mix, wish.Forming = v.Read.Trials[body].Mix, belief.Forming()
	plan, err := wish.Plan()
	if err != nil {
		p.Why = append(p.Why, reasons(err)...)
		return nil
	}
	p.show(v, w, wish, plan)
	return nil
}

func (p *batchPage) show(v series, w brick.BatchSheet, wish brick.BatchWish, plan brick.BatchPlan) {
	p.Plan = &plan
	p.Starts = []brickFact{brickFactOf("web.bricks.starts", plainText(plan.Starts)),
		{Name: message.T("web.bricks.by-mean"), Value: plainText(plan.StartsByMean),
			Note: message.T("web.bricks.by-mean-chance", "chance", quantity.Pct(brick.ChanceOfEnough(plan.StartsByMean, wish.Good, wish.Yield.Product())))}}
	if w.Made > 0 {
		if n, err := brick.StartsFromRecord(wish.Good, w.Survived, w.Made, wish.Confidence); err == nil {
			p.Starts = append(p.Starts, brickFact{Name: message.T("web.bricks.by-record", "survived", w.Survived, "made", w.Made), Value: plainText(n), Note: message.T("web.bricks.by-record-note")})
		}
	}
	for _, n := range plan.Needs {
		line := need{Name: n.Name, Mass: kilosOf(n.Mass)}
		for k, s := range v.Read.Stocks {
			if s.Name == n.Name && v.Read.Tins[k] > 0 {
				line.Tins = message.T("web.bricks.tins", "tins", quantity.Value{SI: brick.Tins(n.Mass, v.Read.Tins[k]), Unit: quantity.One, Step: 1})
			}
		}
		p.Needs = append(p.Needs, line)
	}
	number := func(x float64, step float64) quantity.Value {
		return quantity.Value{SI: x, Unit: quantity.One, Step: step}
	}
	p.Room = []brickFact{brickFactOf("web.bricks.mixes", plainText(number(plan.Mixes, 0.1))),
		brickFactOf("web.bricks.shelf", plainText(quantity.Value{SI: plan.Shelf, Unit: quantity.SquareMetre, Step: 0.1})),
		brickFactOf("web.bricks.moulding-days", plainText(number(plan.MouldingDays, 1))),
		brickFactOf("web.bricks.days-until-dry", plainText(number(plan.Days, 1))),
		brickFactOf("web.bricks.kiln-loads", plainText(plan.KilnLoads))}
	whole := func(kg float64) quantity.Value { return quantity.Value{SI: kg, Unit: quantity.Kilogram, Step: 5} }
	p.Wood = []brickFact{brickFactOf("web.bricks.firewood", bandText(plan.Firewood, whole)),
		{Name: message.T("web.bricks.pore-heat"), Value: plainText(quantity.Value{SI: plan.PoreHeat, Unit: quantity.Megajoule, Step: 1}),
			Note: message.T("web.bricks.pore-heat-note", "wood", whole(plan.PoreHeat/wish.WoodHeat))}}
	p.Cautions = plan.Cautions
	p.Strip = answerStrip{Short: []brickFact{p.Starts[0], p.Room[4]}, Facts: append([]brickFact{p.Starts[0], p.Starts[1]}, p.Room...), More: true}
	if short := plan.Starts - plan.StartsByMean; short > 0 {
		p.Strip.Words = append(p.Strip.Words, message.T("web.bricks.more-than-mean", "n", short))
	}
}

// Water is what is poured in for the whole batch.
func (p batchPage) Water() quantity.Value { return kilosOf(p.Plan.Water) }

func batchGlance(b *Bench, ctx context.Context, s *sheet) []message.Text {
	var p batchPage
	if err := b.plan(ctx, &p, s.Form.(*brick.BatchForm)); err != nil || p.Plan == nil {
		return []message.Text{message.T("web.bricks.glance.unfinished")}
	}
	good, _ := readSlot(s.Form, "good")
	return []message.Text{message.T("web.bricks.glance.batch", "good", good, "starts", p.Plan.Starts)}
}
