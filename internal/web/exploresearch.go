package web

import (
	"cmp"
	"slices"
	"strings"

	"stovewright/explore"
	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// What a search is asked with: its goals, its limits and the prices.

var priceFields = form.Fields{price("brick"), price("liner"), price("sheet"), price("body"), price("fill"), price("rod"), price("labour")}

func pricePath(name string) string { return "price." + name }

func price(of string) form.Field {
	return form.Number(pricePath(of), quantity.One, 0, 1e7, false, "40")
}

// limitsOf leads from the fields of the form to the limits of a search.
func limitsOf(l *explore.Limits) map[string]*float64 {
	return map[string]*float64{"air_ratio": &l.AirRatio, "confidence": &l.Confidence, "skin": &l.Skin, "time": &l.Time, "height": &l.Height, "weight": &l.Weight, "cost": &l.Cost}
}

func askSearch(a *asking) (explore.Study, error) {
	l := explore.UsualLimits(a.design.Stove.Brief)
	for path, limit := range limitsOf(&l) {
		*limit = a.number(path, *limit)
	}
	l.AtHand = a.Word("at_hand", a.sent["at_hand"], yesNo(l.AtHand)) == "yes"
	var prices explore.Prices
	for name, into := range prices.ByName() {
		*into = a.number(pricePath(name), 0)
	}
	if prices = prices.For(a.design.Stove); prices.Zero() {
		for _, wish := range []string{"cost", goalPath(explore.LeastCost)} {
			if a.sent[wish] != "" {
				a.Complaints = append(a.Complaints, a.needsPrice(wish))
			}
		}
	}
	population, generations, seed := a.effort(16, explore.UsualPopulation, 48), a.effort(12, explore.UsualGenerations, 60), a.seed()
	if len(a.Complaints) > 0 {
		return nil, a.Complaints
	}
	q, err := explore.NewSearch(a.subject, l, prices, population, generations, seed)
	if err != nil {
		return nil, err
	}
	if anyGoal(a.sent) {
		q.Goals = slices.DeleteFunc(q.Goals, func(g explore.Goal) bool { return a.sent[goalPath(g)] == "" })
	}
	for _, h := range holdChoices(a.design.Stove, a.sent) {
		if h.Chosen {
			q.Held = append(q.Held, h.Held)
		}
	}
	if !slices.ContainsFunc(q.Variables, func(v explore.Variable) bool { return !slices.Contains(q.Held, v.Key) }) {
		return nil, message.InputErrors{{Field: "hold." + q.Held[0], Reason: message.T("web.explore.all-held")}}
	}
	return q, nil
}

// holdChoice is a dimension that the brief sets, and that a search may leave as it is.
type holdChoice struct {
	Path   string
	Name   message.Text
	Value  quantity.Value
	Held   string // the dimension that is set for it
	Chosen bool
}

// holdChoices are the dimensions that the brief sets and a search would change, or
// what they follow from.
func holdChoices(s *stove.Stove, sent map[string]string) (list []holdChoice) {
	searched := explore.SearchVariables(s)
	for _, d := range s.Dimensions {
		c := holdChoice{Path: "hold." + d.ID, Name: d.Name(), Value: d.Value, Held: cmp.Or(d.Driver, d.ID), Chosen: sent["hold."+d.ID] != ""}
		if d.Origin == stove.Yours && slices.ContainsFunc(searched, func(v explore.Variable) bool { return v.Key == c.Held }) {
			list = append(list, c)
		}
	}
	return list
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// telling are the fields of the prices that tell stoves like this one apart.
func telling(s *stove.Stove) form.Fields {
	priced := explore.Priced(s)
	return slices.DeleteFunc(slices.Clone(priceFields), func(f form.Field) bool {
		return !slices.ContainsFunc(priced, func(name string) bool { return pricePath(name) == f.Path })
	})
}

// needsPrice complains of a wish about the cost while nothing of the stove has a
// price.
func (a *asking) needsPrice(field string) *message.InputError {
	var things []string
	for _, f := range telling(a.design.Stove) {
		things = append(things, a.Catalogue.S("web.explore.field."+f.Path))
	}
	return &message.InputError{Field: field, Value: a.sent[field], Reason: message.T("web.explore.cost-needs-prices", "things", strings.Join(things, ", ")), Try: things[0] + ": 40"}
}

// searchGoals are the goals that may be chosen.
var searchGoals = []explore.Goal{explore.LeastWood, explore.LeastTime, explore.Steadiest, explore.LeastCost}

func goalPath(g explore.Goal) string { return "goal." + string(g) }

// anyGoal reports whether goals are chosen; where none is, all stand that can.
func anyGoal(sent map[string]string) bool {
	return slices.ContainsFunc(searchGoals, func(g explore.Goal) bool { return sent[goalPath(g)] != "" })
}

// goalChoice is a goal that may be chosen.
type goalChoice struct {
	Path   string
	Name   message.Text
	Chosen bool
	Lacks  string // field that must be filled before it can count; "" where nothing is lacking
}

// goalChoices are the goals with those chosen; all that can count where none is.
func goalChoices(s *stove.Stove, sent map[string]string) (list []goalChoice) {
	prices := telling(s)
	priced := slices.ContainsFunc(prices, func(f form.Field) bool { return sent[f.Path] != "" })
	for _, g := range searchGoals {
		c := goalChoice{Path: goalPath(g), Name: g.Name()}
		if g == explore.LeastCost && !priced {
			c.Lacks = prices[0].Path
		}
		c.Chosen = sent[c.Path] != "" || !anyGoal(sent) && c.Lacks == ""
		list = append(list, c)
	}
	return list
}

// keptTo are the limits of a search that are set, and what it left as it was, in words.
func keptTo(q *explore.Search) (list []message.Text) {
	l := q.Limits
	say := func(field string, value any) {
		list = append(list, message.T("web.explore.limit", "name", message.T("web.explore.field."+field), "value", value))
	}
	say("air_ratio", explore.AirRatio.Value(l.AirRatio))
	say("confidence", quantity.Pct(l.Confidence))
	for _, set := range []struct {
		field string
		limit float64
		value quantity.Value
	}{
		{"time", l.Time, minutes(l.Time)}, {"skin", l.Skin, explore.Skin.Value(l.Skin)}, {"height", l.Height, quantity.MM(l.Height)},
		{"weight", l.Weight, quantity.KG(l.Weight)}, {"cost", l.Cost, explore.LeastCost.Value(l.Cost)},
	} {
		if set.limit != 0 {
			say(set.field, set.value)
		}
	}
	if l.AtHand {
		say("at_hand", message.T("web.explore.at_hand.yes"))
	}
	for _, id := range q.Held {
		list = append(list, message.T("web.explore.held-as-is", "name", message.T("stove.dim."+id)))
	}
	return list
}
