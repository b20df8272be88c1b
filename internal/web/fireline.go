package web

import (
	"context"
	"errors"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// fireLine is what a stove is predicted to do, on one line beside its drawing,
// with what it was before where something changes.
type fireLine struct {
	ID      string
	Items   []lineItem
	Trouble message.Text // why there is no prediction
	Level   string
}

type lineItem struct {
	Key        string // message "web.fire.line.<key>"
	Value      quantity.Value
	Was        quantity.Value
	Changed    bool
	Level      string
	LevelWords message.Text
}

// fireLine computes the line of a design; was may be nil. It is nil where there
// is no stove.
func (b *Bench) fireLine(ctx context.Context, d, was *design) (*fireLine, error) {
	if d.Stove == nil {
		return nil, nil
	}
	form, _, err := b.loadFire(ctx, d.ID)
	if err != nil {
		return nil, err
	}
	x, err := b.lightUp(d, form)
	if err != nil {
		return nil, err
	}
	line := &fireLine{ID: d.ID}
	var choked *fire.ChokedError
	switch {
	case errors.As(x.err, &choked):
		line.Trouble, line.Level = choked.Text(), "warning"
		return line, nil
	case x.err != nil:
		line.Trouble, line.Level = failure(x.err), "warning"
		return line, nil
	}
	line.Items = lineItems(x)
	if x.runErr != nil {
		line.Trouble, line.Level = failure(x.runErr), "warning"
	}
	if was == nil || was.Stove == nil {
		return line, nil
	}
	if before, err := b.lightUp(was, form); err == nil && before.err == nil {
		line.since(lineItems(before))
	}
	return line, nil
}

func lineItems(x *burning) []lineItem {
	p := x.point
	air := lineItem{Key: "air", Value: ratio(p.AirRatio, 0.1)}
	air.LevelWords, air.Level = airWords(p.AirRatio)
	list := []lineItem{air, {Key: "efficiency", Value: quantity.Pct(p.Efficiency())}}
	if x.runErr == nil {
		list = append(list, lineItem{Key: "boil", Value: minutes(x.run.Cold.Duration())}, lineItem{Key: "wood", Value: grams(x.run.Cold.WoodUsed(), 5)})
	}
	if p.SkirtT > 0 {
		list = append(list, lineItem{Key: "skirt", Value: quantity.C(p.SkirtT)})
	}
	return list
}

// since marks what differs from before, as far as it shows.
func (l *fireLine) since(before []lineItem) {
	was := map[string]quantity.Value{}
	for _, item := range before {
		was[item.Key] = item.Value
	}
	for i := range l.Items {
		item := &l.Items[i]
		if v, ok := was[item.Key]; ok && v.String() != item.Value.String() {
			item.Was, item.Changed = v, true
		}
	}
}
