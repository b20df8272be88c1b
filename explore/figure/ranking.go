package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/message"
	"stovewright/quantity"
)

// Ranking draws what one step more of each input does to a metric: bars to the
// left where it falls and to the right where it rises, the strongest first, apart
// by whose the input is; at most so many of each group. A step is a millimetre of
// a length and a percent of anything else.
func Ranking(list []explore.Local, m explore.Metric, most int, c *message.Catalogue, width float64) *drawing.Sheet {
	var rows []row
	var bars []*explore.Local
	for _, g := range explore.Groups {
		ranked := explore.Rank(list, g, m)
		if len(ranked) == 0 {
			continue
		}
		rows, bars = append(rows, row{name: c.Say(g.Name()), heading: true}), append(bars, nil)
		for i, l := range ranked[:min(len(ranked), max(1, most))] {
			if i > 0 && !l.Shows(m) {
				continue
			}
			rows = append(rows, row{name: c.S("figure.explore.more", "input", l.Input.Name(), "step", l.Moved()), room: 2 * barHalf})
			bars = append(bars, &l)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	k := open(c, width, head{id: "ranking", name: "-" + m.String(), title: c.S("figure.explore.ranking", "metric", m.Name())}, rows,
		[]key{{words: c.S("figure.explore.ranking.how", "metric", m.Name())}})
	k.diverge(bars, m)
	for i, l := range bars {
		if l == nil {
			continue
		}
		x, y := l.PerStep[m], k.rows[i]
		zero := k.x(0)
		if !finite(x) {
			k.write(zero+1.5, y, c.S("figure.explore.ends"), drawing.AlignLeft, drawing.Middle)
			continue
		}
		k.bar(drawing.LightGrey, zero, k.x(x), y-barHalf, y+barHalf)
		if x < 0 {
			k.write(k.x(x)-1, y, k.c.Signed(m.Change(x)), drawing.AlignRight, drawing.Middle)
		} else {
			k.write(k.x(x)+1, y, k.c.Signed(m.Change(x)), drawing.AlignLeft, drawing.Middle)
		}
	}
	k.rule(drawing.CutLine, k.x(0))
	return k.sheet
}

// diverge sets the scale so that zero stands where bars and their values fit on
// both sides.
func (k *chart) diverge(bars []*explore.Local, m explore.Metric) {
	textLeft, textRight := 0.0, 0.0
	for _, l := range bars {
		if l == nil {
			continue
		}
		x := l.PerStep[m]
		text := k.c.S("figure.explore.ends")
		if finite(x) {
			text = k.c.Signed(m.Change(x))
			k.low, k.high = math.Min(k.low, x), math.Max(k.high, x)
		}
		w := drawing.TextWidth(text, smallText, drawing.Regular) + 2
		if x < 0 {
			textLeft = math.Max(textLeft, w)
		} else {
			textRight = math.Max(textRight, w)
		}
	}
	k.left, k.right = k.left+textLeft, k.right-textRight
	if k.low == k.high {
		k.high = 1
	}
}

// Shares draws whose the spread of a metric is: for each group and each input the
// share that would stay if all else were known (total index) and the share that it
// has on its own (first-order index), with their 95 % intervals.
func Shares(s explore.Spread, c *message.Catalogue, width float64) *drawing.Sheet {
	if len(s.Inputs) == 0 || !finite(s.Mean, s.SD) {
		return nil
	}
	const room = 2 * track
	rows := []row{{name: c.S("figure.explore.shares.groups"), heading: true}}
	shares := []*explore.Share{nil}
	add := func(list []explore.Share) {
		for _, one := range list {
			rows, shares = append(rows, row{name: c.Say(one.Name()), room: room}), append(shares, &one)
		}
	}
	add(s.Groups)
	rows, shares = append(rows, row{name: c.S("figure.explore.shares.inputs"), heading: true}), append(shares, nil)
	add(s.Inputs)
	k := open(c, width, head{id: "shares", name: "-" + s.Metric.String(), axis: true,
		title: c.S("figure.explore.shares", "metric", s.Metric.Name(), "mean", s.Metric.Value(s.Mean), "sd", s.Metric.Change(s.SD))}, rows,
		[]key{{barSample(drawing.LightGrey), c.S("figure.explore.shares.total")}, {barSample(drawing.White), c.S("figure.explore.shares.first")},
			{words: c.S("figure.explore.shares.how")}})
	k.right -= 11
	k.high = 1
	for _, one := range shares {
		if one != nil && finite(one.Total.Value) {
			k.high = math.Max(k.high, one.Total.Value)
		}
	}
	k.axis(quantity.Percent, k.left, k.right)
	for i, one := range shares {
		if one != nil {
			k.index(one.Total, drawing.LightGrey, k.rows[i]+track/2)
			k.index(one.First, drawing.White, k.rows[i]-track/2)
		}
	}
	return k.sheet
}

// index draws one index as a bar with its interval, and writes it at the right.
func (k *chart) index(x explore.Index, tone drawing.Tone, y float64) {
	if !finite(x.Value, x.Low, x.High) {
		return
	}
	k.bar(tone, k.x(0), k.x(x.Value), y-barHalf, y+barHalf)
	k.interval(drawing.CutLine, k.x(x.Low), k.x(x.High), y)
	k.write(k.sheet.Paper.Width-margin, y, k.c.Value(quantity.Pct(math.Max(x.Value, 0))), drawing.AlignRight, drawing.Middle)
}

// Outlook draws what each next step promises: the wood that testing it and keeping
// the better stove is expected to gain, and how much one test of it tells of the
// model.
func Outlook(o explore.Outlook, c *message.Catalogue, width float64) *drawing.Sheet {
	if len(o.Promises) == 0 {
		return nil
	}
	const room = 2 * track
	var rows []row
	gain, told := 0.0, 0.0
	for _, p := range o.Promises {
		name := c.Say(p.Step.Words())
		if p.Repeat {
			name = c.S("figure.explore.outlook.repeat")
		}
		rows = append(rows, row{name: name, room: room})
		gain, told = math.Max(gain, p.Gain), math.Max(told, p.Information)
	}
	k := open(c, width, head{id: "outlook", title: c.S("figure.explore.outlook", "n", o.Tests)}, rows,
		[]key{{barSample(drawing.LightGrey), c.S("figure.explore.outlook.gain")}, {barSample(drawing.White), c.S("figure.explore.outlook.told")},
			{words: c.S("figure.explore.outlook.how", "scatter", quantity.Pct(o.Scatter))}})
	k.right -= 36
	k.high = 1
	for i, p := range o.Promises {
		y := k.rows[i]
		if p.ShortOfAir > 0.1 {
			k.write(k.left+1, y+track/2, c.S("figure.explore.outlook.short", "share", quantity.Pct(p.ShortOfAir)), drawing.AlignLeft, drawing.Middle)
		} else {
			k.promise(p.Gain, gain, drawing.LightGrey, y+track/2, c.S("figure.explore.outlook.saves", "share", quantity.Value{SI: p.Gain, Unit: quantity.Percent, Step: 0.1}))
		}
		bits := quantity.Value{SI: p.Bits(), Unit: quantity.One, Step: 0.01}
		k.promise(p.Information, told, drawing.White, y-track/2, c.S("figure.explore.outlook.bits", "bits", bits))
	}
	k.rule(drawing.CutLine, k.left)
	return k.sheet
}

func (k *chart) promise(x, most float64, tone drawing.Tone, y float64, words string) {
	if !finite(x) || most <= 0 {
		x, most = 0, 1
	}
	k.bar(tone, k.left, k.x(x/most), y-barHalf, y+barHalf)
	k.write(k.x(x/most)+1, y, words, drawing.AlignLeft, drawing.Middle)
}

// Pots draws the wood that each pot takes on the best single stove, on the better
// of the best two, and on the stove that serves it best whatever the others need.
func Pots(f *explore.Fleet, c *message.Catalogue, width float64) *drawing.Sheet {
	names := f.PotNames()
	var sets [3]explore.Set
	var have [3]bool
	sets[0], have[0] = f.Best(1)
	sets[1], have[1] = f.Best(2)
	sets[2], have[2] = f.Apart()
	tones := [3]drawing.Tone{drawing.White, drawing.LightGrey, drawing.MidGrey}
	words := [3]string{"one", "two", "apart"}
	var legend []key
	lines := 0
	for i := range sets {
		if have[i] {
			legend = append(legend, key{barSample(tones[i]), c.S("figure.explore.pots." + words[i])})
			lines++
		}
	}
	if lines == 0 || len(names) == 0 {
		return nil
	}
	room := track * float64(lines)
	rows := make([]row, 0, len(names)+1)
	for _, n := range names {
		rows = append(rows, row{name: c.Say(n), room: room})
	}
	rows = append(rows, row{name: c.S("figure.explore.pots.mean"), room: room})
	k := open(c, width, head{id: "pots", title: c.S("figure.explore.pots")}, rows, legend)
	k.right -= 20
	for i, s := range sets {
		if have[i] {
			for _, w := range s.ByPot {
				k.high = math.Max(k.high, w)
			}
		}
	}
	for i := range rows {
		y := k.rows[i] + room/2
		for n, s := range sets {
			if !have[n] {
				continue
			}
			wood := s.Wood
			if i < len(names) {
				wood = s.ByPot[i]
			}
			k.bar(tones[n], k.x(0), k.x(wood), y-track/2-barHalf, y-track/2+barHalf)
			k.write(k.x(wood)+1, y-track/2, c.Value(explore.Wood.Value(wood)), drawing.AlignLeft, drawing.Middle)
			y -= track
		}
	}
	k.rule(drawing.CutLine, k.left)
	return k.sheet
}
