package figure

import (
	"math"
	"strconv"
	"strings"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// beliefRoom is the height of two intervals, one over the other.
const beliefRoom = 6.0

// Beliefs draws what was held of each number of the model before the tests and
// what is held after them: two intervals that hold nine tenths, each on the range
// in which the number was judged to lie.
func Beliefs(l explore.Learnt, c *message.Catalogue, width float64) *drawing.Sheet {
	if len(l.Beliefs) == 0 {
		return nil
	}
	var rows []row
	for _, b := range l.Beliefs {
		rows = append(rows, row{name: c.S("figure.explore.beliefs.row", "name", believed(b, c), "share", quantity.Pct(b.FromTheTests)), room: beliefRoom})
	}
	k := open(c, width, head{id: "beliefs", title: c.S("figure.explore.beliefs")}, rows, beforeAndAfter(c, "figure.explore.beliefs.how"))
	k.left, k.right = k.left+14, k.right-14
	for i, b := range l.Beliefs {
		y := k.rows[i]
		low, high := judged(b)
		show := func(x float64) string {
			if b.Word != "" {
				return c.Value(quantity.Pct(x))
			}
			return c.Number(roughly(x))
		}
		k.low, k.high = low, high
		k.line(drawing.HatchLine, k.left, y, k.right, y)
		for _, x := range []float64{k.left, k.right} {
			k.line(drawing.Thin, x, y-beliefRoom/2, x, y+beliefRoom/2)
		}
		k.write(k.left-1, y, show(low), drawing.AlignRight, drawing.Middle)
		k.write(k.right+1, y, show(high), drawing.AlignLeft, drawing.Middle)
		k.band(b.Before, drawing.Thin, openDot, y+1.5)
		k.band(b.After, drawing.Outline, fullDot, y-1.5)
	}
	return k.sheet
}

// powers sets the exponents of units as print does.
var powers = strings.NewReplacer("m2", "m²")

// believed names what is believed, with its unit.
func believed(b explore.Belief, c *message.Catalogue) string {
	if b.Word != "" {
		return c.S("figure.explore.belief." + b.Word)
	}
	name := c.Say(b.Input.Name())
	if coefficient, ok := fire.CoefficientByKey(strings.TrimPrefix(b.Input.Key, "fire.")); ok && coefficient.Row().Unit != "1" {
		name += ", " + powers.Replace(coefficient.Row().Unit)
	}
	return name
}

// judged is the range in which a number was judged to lie; of scatter and bias,
// which have no such range, what both intervals take.
func judged(b explore.Belief) (low, high float64) {
	if b.Word == "" {
		return b.Input.Low, b.Input.High
	}
	return 0, math.Max(b.Before.High, b.After.High) * 1.05
}

// roughly is a number as it is shown: to three figures, without noughts at its end.
func roughly(x float64) quantity.Value {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	_, fraction, _ := strings.Cut(strconv.FormatFloat(x, 'f', -1, 64), ".")
	return quantity.Value{SI: x, Unit: quantity.One, Step: math.Pow(10, -float64(len(fraction)))}
}

// band draws an interval with its middle.
func (k *chart) band(b fire.Band, pen *drawing.Pen, m mark, y float64) {
	if !finite(b.Low, b.Middle, b.High) {
		return
	}
	k.interval(pen, k.x(b.Low), k.x(b.High), y)
	k.mark(m, drawing.Pt(k.x(b.Middle), y))
}

func beforeAndAfter(c *message.Catalogue, how string) []key {
	return []key{{intervalSample(drawing.Thin, openDot), c.S("figure.explore.published")},
		{intervalSample(drawing.Outline, fullDot), c.S("figure.explore.here")}, {words: c.S(how)}}
}

// Foretold draws what the model foretells of each measured value, as a share of
// what was measured: two intervals that hold nine tenths, as published and as
// learnt here, against the line of what was measured. Tests that were held out
// stand apart and are marked.
func Foretold(l explore.Learnt, c *message.Catalogue, width float64) *drawing.Sheet {
	var rows []row
	var shown []*explore.Foretold
	for _, held := range []bool{false, true} {
		title := c.S("figure.explore.foretold.learnt-from")
		if held {
			title = c.S("figure.explore.foretold.held-out")
		}
		rows, shown = append(rows, row{name: title, heading: true}), append(shown, nil)
		before := len(rows)
		for _, f := range l.Foretold {
			if f.HeldOut == held && f.Seen.Value > 0 {
				words := c.S("figure.explore.foretold.row", "test", f.Trial, "what", f.Seen.Quantity.Name(), "value", f.Seen.Shown())
				rows, shown = append(rows, row{name: words, room: beliefRoom}), append(shown, &f)
			}
		}
		if len(rows) == before {
			rows, shown = rows[:before-1], shown[:before-1]
		}
	}
	if len(rows) == 0 {
		return nil
	}
	k := open(c, width, head{id: "foretold", axis: true, title: c.S("figure.explore.foretold")}, rows, beforeAndAfter(c, "figure.explore.foretold.how"))
	k.left, k.right = k.left+3, k.right-4
	k.low, k.high = 1, 1
	for _, f := range shown {
		if f == nil {
			continue
		}
		for _, v := range []float64{f.Before.Low, f.Before.High, f.After.Low, f.After.High} {
			if x := v / f.Seen.Value; finite(x) {
				k.low, k.high = math.Min(k.low, math.Max(x, 0)), math.Max(k.high, math.Min(x, 4))
			}
		}
	}
	k.low, k.high = drawing.Widen(k.low, k.high)
	k.axis(quantity.Percent, k.left, k.right)
	k.rule(drawing.Outline, k.x(1))
	for i, f := range shown {
		if f == nil {
			continue
		}
		y := k.rows[i]
		k.band(share(f.Before, f.Seen.Value), drawing.Thin, openDot, y+1.5)
		k.band(share(f.After, f.Seen.Value), drawing.Outline, fullDot, y-1.5)
		if f.HeldOut { // a square over what was measured
			p := drawing.Pt(k.x(1), y)
			k.sheet.Shape(drawing.White, drawing.CutLine, drawing.Rectangle(boxAround(p, 1)))
		}
	}
	return k.sheet
}

func share(b fire.Band, of float64) fire.Band {
	return fire.Band{Low: b.Low / of, Middle: b.Middle / of, High: b.High / of}
}
