package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

type searchCmd struct {
	exploreArgs
	longArgs
	answerFlags
	Population  int                `help:"${explore_population}" default:"${usual_population}" placeholder:"${usual_population}"`
	Generations int                `help:"${explore_generations}" default:"${usual_generations}" placeholder:"${usual_generations}"`
	Show        int                `help:"${explore_show}" default:"6" placeholder:"6"`
	Goal        []string           `help:"${explore_goal}" enum:"wood,time,cost,steady" placeholder:"wood"`
	AirRatio    float64            `help:"${explore_air}" default:"1.8" placeholder:"1.8"`
	Confidence  string             `help:"${explore_confidence}" default:"90%" placeholder:"90%"`
	Within      string             `help:"${explore_within}" placeholder:"25min"`
	Skin        string             `help:"${explore_skin}" placeholder:"80°C"`
	Height      string             `help:"${explore_height}" placeholder:"45cm"`
	Weight      string             `help:"${explore_weight}" placeholder:"25kg"`
	Cost        string             `help:"${explore_cost}" placeholder:"500"`
	Price       map[string]float64 `help:"${explore_price}" placeholder:"brick=40"`
	Hold        []string           `help:"${explore_hold}" placeholder:"skirt.gap"`
	Out         string             `help:"${explore_out}" placeholder:"folder"`
}

// Run looks for better stoves. Interrupted, it shows what it has found.
func (k *searchCmd) Run(c *call) error {
	asked, err := k.check()
	if err != nil {
		return err
	}
	subject, sized, err := k.subject(explore.Cold)
	if err != nil {
		return err
	}
	q, err := k.search(c, subject, sized, asked)
	if err != nil {
		return err
	}
	stopped := k.carry(c, q)
	if stopped != nil && !errors.Is(stopped, context.Canceled) {
		return stopped
	}
	f, err := foundBy(q, sized, k.Show, stopped != nil)
	if err != nil {
		return err
	}
	out := f.json(c.Catalogue)
	if err := k.tell(c, out, func(p explorePrinter) {
		p.begin(sized)
		p.found(f)
	}); err != nil {
		return err
	}
	said := out.Says
	if len(f.front) > 0 {
		said = append(slices.Clone(said), f.sets(c.Catalogue)...)
	}
	if err := k.keepDesigns(c, f.front); err != nil {
		return err
	}
	return cmp.Or(k.write(c, answer{"search", k.Brief, subject.Form, said, frontPictures(c, q, f.front), nil}), stopped)
}

// mostAirRatio is more than any fire is given, and mostMoney more than a stove costs
// in any currency.
const (
	mostAirRatio = 10
	mostMoney    = 1e9
)

// check holds the flags to their ranges, and gives the limits that are asked for; zero
// for those of the brief.
func (k *searchCmd) check() (explore.Limits, error) {
	l := explore.Limits{AirRatio: k.AirRatio}
	var list message.InputErrors
	keep := func(err error) {
		complaints, _ := message.Complaints(err)
		list = append(list, complaints...)
	}
	keep(wholeFlag("--population", k.Population, 4, 1000, explore.UsualPopulation))
	if k.Population%2 == 1 {
		k.Population++ // pairs are crossed
	}
	keep(wholeFlag("--generations", k.Generations, 1, 10_000, explore.UsualGenerations))
	keep(wholeFlag("--show", k.Show, 1, 50, 6))
	keep(k.checkAir())
	var err error
	l.Confidence, err = k.confidence()
	keep(err)
	for _, f := range []struct {
		flag, text string
		into       *float64
		unit       quantity.Unit
		low, high  float64
	}{
		{"--within", k.Within, &l.Time, quantity.Minute, 3 * 60, 4 * 3600},
		{"--skin", k.Skin, &l.Skin, quantity.Celsius, 310, 700},
		{"--height", k.Height, &l.Height, quantity.Centimetre, 0.15, 1.5},
		{"--weight", k.Weight, &l.Weight, quantity.Kilogram, 1, 500},
		{"--cost", k.Cost, &l.Cost, quantity.One, 1, mostMoney},
	} {
		*f.into, err = flagQuantity(f.flag, f.text, f.unit, f.low, f.high)
		keep(err)
	}
	if len(list) > 0 {
		return l, list
	}
	return l, cmp.Or(k.answerFlags.check(), writableDesigns("--out", k.Out))
}

// checkAir holds the least air ratio to what a fire can have.
func (k *searchCmd) checkAir() error {
	low, high := explore.AirRatio.Value(fire.SmokeLimit), explore.AirRatio.Value(mostAirRatio)
	e := &message.InputError{Field: "--air-ratio", Value: fmt.Sprint(k.AirRatio), Try: "--air-ratio 1.8",
		Allowed: message.T("form.allowed-range", "low", low, "high", high)}
	switch {
	case !(k.AirRatio >= low.SI):
		e.Reason = message.T("explore.air-limit")
	case k.AirRatio > high.SI:
		e.Reason = message.T("cli.explore.air-high")
	default:
		return nil
	}
	return e
}

// confidence is the share of cases that must keep the limits: more than half, and no
// more than the draws can tell of.
func (k *searchCmd) confidence() (float64, error) {
	most := quantity.Pct(explore.MostConfidence)
	e := &message.InputError{Field: "--confidence", Value: k.Confidence, Try: example("--confidence"),
		Allowed: message.T("form.allowed-range", "low", quantity.Pct(0.51), "high", most)}
	share, err := quantity.Parse(k.Confidence, quantity.Percent.Dimension, quantity.Percent)
	switch {
	case err != nil || !(share >= 0.51):
		e.Reason = message.T("explore.confidence")
	case share > explore.MostConfidence:
		e.Reason = message.T("cli.explore.draws-tell", "n", explore.ConfirmingDraws, "most", most)
	default:
		return share, nil
	}
	return 0, e
}

// search is the study that is asked for.
func (k *searchCmd) search(c *call, subject explore.Subject, sized *stove.Stove, asked explore.Limits) (*explore.Search, error) {
	prices, err := pricesOf(k.Price)
	if err != nil {
		return nil, err
	}
	limits := explore.UsualLimits(sized.Brief)
	limits.AirRatio, limits.Confidence, limits.Skin, limits.Cost = asked.AirRatio, asked.Confidence, asked.Skin, asked.Cost
	limits.Time, limits.Height, limits.Weight = cmp.Or(asked.Time, limits.Time), cmp.Or(asked.Height, limits.Height), cmp.Or(asked.Weight, limits.Weight)
	prices = prices.For(sized)
	if prices.Zero() {
		if err := k.costs(sized); err != nil {
			return nil, err
		}
		if len(k.Price) > 0 {
			fmt.Fprintln(c.Err, c.Catalogue.S("cli.explore.nothing-priced"))
		}
	}
	q, err := explore.NewSearch(subject, limits, prices, k.Population, k.Generations, k.Seed)
	if err != nil {
		return nil, err
	}
	if len(k.Goal) > 0 {
		q.Goals = slices.DeleteFunc(q.Goals, func(g explore.Goal) bool { return !slices.Contains(k.Goal, string(g)) })
	}
	return q, k.hold(q)
}

// hold keeps dimensions of the stove as they are drawn.
func (k *searchCmd) hold(q *explore.Search) error {
	var free []string
	for _, v := range q.Variables {
		free = append(free, v.Key)
	}
	e := &message.InputError{Field: "--hold", Allowed: message.T("cli.usage.allowed", "list", strings.Join(free, ", ")), Try: "--hold skirt.gap"}
	for _, id := range k.Hold {
		if !slices.Contains(free, id) {
			e.Value, e.Reason = id, message.T("cli.explore.not-searched")
			if near := message.Nearest(id, free); near != "" {
				e.Try = "--hold " + near
			}
			return e
		}
	}
	q.Held = k.Hold
	if !slices.ContainsFunc(free, func(id string) bool { return !slices.Contains(k.Hold, id) }) {
		e.Value, e.Reason = strings.Join(k.Hold, ","), message.T("cli.explore.all-held")
		return e
	}
	return nil
}

// costs complains of a wish about the cost, where nothing has a price.
func (k *searchCmd) costs(s *stove.Stove) error {
	parts := explore.Priced(s)
	e := &message.InputError{Reason: message.T("cli.explore.cost-needs-price"), Allowed: message.T("cli.explore.price-parts", "list", strings.Join(parts, ", ")),
		Try: "--price " + parts[0] + "=40"}
	switch {
	case slices.Contains(k.Goal, string(explore.LeastCost)):
		e.Field, e.Value = "--goal", string(explore.LeastCost)
	case k.Cost != "":
		e.Field, e.Value = "--cost", k.Cost
	default:
		return nil
	}
	return e
}

// pricesOf reads what things cost.
func pricesOf(list map[string]float64) (explore.Prices, error) {
	var p explore.Prices
	into := p.ByName()
	names := slices.Sorted(maps.Keys(into))
	for _, key := range slices.Sorted(maps.Keys(list)) {
		price := list[key]
		e := message.InputError{Field: "--price", Value: fmt.Sprintf("%s=%g", key, price), Try: "--price brick=40"}
		switch {
		case into[key] == nil:
			e.Reason, e.Allowed = message.T("cli.explore.no-price"), message.T("cli.usage.allowed", "list", strings.Join(names, ", "))
			if near := message.Nearest(key, names); near != "" {
				e.Try = "--price " + near + "=40"
			}
			return p, &e
		case !(price >= 0 && price <= mostMoney):
			e.Reason, e.Allowed = message.T("cli.explore.price-range"), message.T("form.allowed-range", "low", 0, "high", int(mostMoney))
			return p, &e
		}
		*into[key] = price
	}
	return p, nil
}

// keepDesigns puts each design into a folder as a brief.
func (k *searchCmd) keepDesigns(c *call, front []explore.Design) error {
	if k.Out == "" || len(front) == 0 {
		return nil
	}
	for i, d := range front {
		data, err := d.Form.Write()
		if err == nil {
			err = writeNew("--out", filepath.Join(k.Out, fmt.Sprintf("%s%d.yaml", designFile, i+1)), data)
		}
		if err != nil {
			return err
		}
	}
	if !k.JSON {
		fmt.Fprintf(c.Out, "\n%s\n", c.Catalogue.S("cli.explore.written", "n", len(front), "path", k.Out))
	}
	return nil
}

// found is what a search came to.
type found struct {
	*explore.Search
	front   []explore.Design
	ways    []map[string]string // by design, the choices that are otherwise than on the stove of the brief
	changed []string            // dimensions that the brief sets and a design has otherwise
	best    int                 // of the front; -1 for none
	stopped bool                // before its end
}

// foundBy is what a search has found so far.
func foundBy(q *explore.Search, start *stove.Stove, most int, stopped bool) (f found, err error) {
	f = found{Search: q, stopped: stopped}
	if f.front, err = q.Front(most); err != nil {
		return f, err
	}
	f.best = explore.Recommend(f.front)
	for _, d := range f.front {
		s, err := explore.Subject{Form: d.Form}.Stove()
		if err != nil {
			return f, err
		}
		f.ways = append(f.ways, waysBetween(start, s))
		for _, id := range slices.Sorted(maps.Keys(start.Brief.Yours)) {
			if start.Value(id).String() != s.Value(id).String() && !slices.Contains(f.changed, id) {
				f.changed = append(f.changed, id)
			}
		}
	}
	return f, nil
}

// waysBetween are the ways of building in which a stove is otherwise than another,
// in the words of the brief.
func waysBetween(from, to *stove.Stove) map[string]string {
	ways := make(map[string]string)
	for key, way := range map[string]func(*stove.Stove) string{"chamber": chamberOf, "body": bodyOf} {
		if way(from) != way(to) {
			ways[key] = way(to)
		}
	}
	return ways
}

func chamberOf(s *stove.Stove) string {
	if s.Square {
		return "square"
	}
	return "round"
}

func bodyOf(s *stove.Stove) string {
	if s.Container != nil {
		return "container"
	}
	return "rolled"
}

// sets says what each design sets.
func (f found) sets(c *message.Catalogue) []string {
	list := make([]string, len(f.front))
	for i, d := range f.front {
		var all []string
		for _, key := range slices.Sorted(maps.Keys(f.ways[i])) {
			all = append(all, c.S("cli.explore.way-"+f.ways[i][key]))
		}
		for _, id := range slices.Sorted(maps.Keys(d.Form.Yours)) {
			all = append(all, c.S("stove.dim."+id)+" "+strings.TrimSpace(d.Form.Yours[id]))
		}
		list[i] = c.S("cli.explore.sets", "n", i+1, "list", strings.Join(all, ", "))
	}
	return list
}

// says tells the design that comes nearest to everything, or why there is none.
func (f found) says(c *message.Catalogue) []string {
	done, _ := f.Total()
	switch {
	case f.best >= 0:
		list := sentences(c, f.front[f.best].Says(f.Search))
		list[0] = c.S("cli.explore.best", "n", f.best+1, "says", list[0])
		return append(list, f.overrides(c)...)
	case done == 0 && f.stopped:
		return []string{c.S("cli.explore.stopped-early")}
	}
	list := []string{c.S("cli.explore.none"), limitsOf(f.Limits, c)}
	if closest := f.Closest(); len(closest) > 0 {
		list = append(append(list, c.S("cli.explore.closest")), sentences(c, closest)...)
	}
	return list
}

// overrides says which dimensions of the brief's own the designs have otherwise.
func (f found) overrides(c *message.Catalogue) []string {
	if len(f.changed) == 0 {
		return nil
	}
	names := make([]string, len(f.changed))
	for i, id := range f.changed {
		names[i] = c.S("stove.dim." + id)
	}
	return []string{c.S("cli.explore.overrides", "list", strings.Join(names, ", "), "id", f.changed[0])}
}

// found prints the designs: a line each, what each sets, and the sentences of the
// one that comes nearest to everything.
func (p explorePrinter) found(f found) {
	c := p.say
	p.heading("cli.explore.found")
	if f.best >= 0 {
		done, _ := f.Total()
		fmt.Fprintln(p.out, c.S("cli.explore.tried", "n", done))
		p.designs(f)
		for _, text := range f.sets(c) {
			fmt.Fprintf(p.out, "\n%s\n", text)
		}
		fmt.Fprintln(p.out)
	}
	for _, text := range f.says(c) {
		fmt.Fprintln(p.out, text)
	}
}

// designs prints what each design is worth.
func (p explorePrinter) designs(f found) {
	c := p.say
	p.table(func(row func(...string)) {
		head := []string{""}
		for _, g := range f.Goals {
			head = append(head, c.Say(g.Name()))
		}
		row(append(head, c.S("explore.metric.air-ratio"))...)
		for i, d := range f.front {
			cells := []string{fmt.Sprint(i + 1)}
			for j, g := range f.Goals {
				cells = append(cells, c.Value(g.Value(d.Objectives[j])))
			}
			row(append(cells, c.Value(explore.AirRatio.Value(d.AirRatio)))...)
		}
	})
}

// limitsOf says what every design had to keep.
func limitsOf(l explore.Limits, c *message.Catalogue) string {
	list := []string{c.Say(explore.AirRatio.Name()) + " ≥ " + c.Value(explore.AirRatio.Value(l.AirRatio))}
	for _, most := range []struct {
		name  message.Text
		value quantity.Value
	}{
		{explore.BoilTime.Name(), minutes(l.Time)}, {explore.Skin.Name(), explore.Skin.Value(l.Skin)},
		{message.T("explore.limit.height"), quantity.Value{SI: l.Height, Unit: quantity.Millimetre, Step: 1}},
		{message.T("explore.limit.weight"), quantity.Value{SI: l.Weight, Unit: quantity.Kilogram, Step: 0.1}},
		{message.T("explore.limit.cost"), explore.LeastCost.Value(l.Cost)},
	} {
		if most.value.SI > 0 {
			list = append(list, c.Say(most.name)+" ≤ "+c.Value(most.value))
		}
	}
	return c.S("cli.explore.limits", "share", quantity.Pct(l.Confidence), "list", strings.Join(list, "; "))
}

// json is what was found as JSON. Where nothing has a price no design has a cost.
func (f found) json(c *message.Catalogue) exploreJSON {
	out := exploreJSON{Question: "search", Computed: true, Says: f.says(c), Designs: []designJSON{}}
	sets := f.sets(c)
	for i, d := range f.front {
		objectives := make(map[string]*float64)
		for j, g := range f.Goals {
			objectives[string(g)] = finite(d.Objectives[j])
		}
		brief, err := d.Form.Write()
		if err != nil {
			continue // a form that was read can be written; tested
		}
		design := designJSON{Objectives: objectives, AirRatio: finite(d.AirRatio), Time: finite(d.Time), Skin: finite(d.Skin), Mass: finite(d.Mass),
			Recommended: i == f.best, Choices: f.ways[i], Sets: sets[i], Says: sentences(c, d.Says(f.Search)), Brief: string(brief)}
		if !f.Prices.Zero() {
			design.Cost = finite(d.Cost)
		}
		out.Designs = append(out.Designs, design)
	}
	return out
}
