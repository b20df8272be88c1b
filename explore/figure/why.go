package figure

import (
	"math"
	"slices"
	"sort"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/message"
)

// Parts draws the way from one stove to another, both by their names, in one metric:
// from the first, each change begins where the last one ended, the strongest first, down to the second.
// A line over a bar is the doubt of its part (two standard errors), where not every
// order of the changes was tried. The scale need not begin at zero.
func Parts(r explore.Reasons, names [2]string, m explore.Metric, c *message.Catalogue, width float64) *drawing.Sheet {
	if len(r.Parts) == 0 || r.Whole == 0 || !finite(r.Before[m], r.After[m]) {
		return nil
	}
	parts := slices.Clone(r.Parts)
	sort.SliceStable(parts, func(i, j int) bool { return math.Abs(parts[i].Brings[m]) > math.Abs(parts[j].Brings[m]) })
	rows := []row{{name: names[0], room: 2 * barHalf}}
	for _, p := range parts {
		if !finite(p.Brings[m]) {
			return nil
		}
		rows = append(rows, row{name: c.Say(p.Name()), room: 2 * barHalf})
	}
	rows = append(rows, row{name: names[1], room: 2 * barHalf})
	legend := []key{{words: c.S("figure.explore.parts.how")}}
	if !r.Exact {
		legend = append(legend, key{words: c.S("figure.explore.parts.doubt")})
	}
	k := open(c, width, head{id: "parts", name: "-" + m.String(), axis: true, title: c.S("figure.explore.parts", "metric", m.Name())}, rows, legend)
	k.right -= 24
	k.low, k.high = math.Min(r.Before[m], r.After[m]), math.Max(r.Before[m], r.After[m])
	at := r.Before[m]
	for _, p := range parts {
		for _, end := range []float64{at, at + p.Brings[m] - 2*p.Doubt[m], at + p.Brings[m] + 2*p.Doubt[m]} {
			k.low, k.high = math.Min(k.low, end), math.Max(k.high, end)
		}
		at += p.Brings[m]
	}
	k.low, k.high = drawing.Widen(k.low, k.high)
	k.axis(m.Value(0).Unit, k.left, k.right)
	k.end(r.Before[m], m, k.rows[0])
	at = r.Before[m]
	for i, p := range parts {
		y, next := k.rows[i+1], at+p.Brings[m]
		k.line(drawing.DimLine, k.x(at), k.rows[i]-barHalf, k.x(at), y+barHalf)
		tone := drawing.LightGrey
		if p.Brings[m] < 0 {
			tone = drawing.White
		}
		k.bar(tone, k.x(at), k.x(next), y-barHalf, y+barHalf)
		if p.Doubt[m] > 0 {
			k.interval(drawing.CutLine, k.x(next-2*p.Doubt[m]), k.x(next+2*p.Doubt[m]), y)
		}
		right := math.Max(k.x(at), k.x(next+2*p.Doubt[m]))
		k.write(right+1, y, k.c.Signed(m.Change(p.Brings[m])), drawing.AlignLeft, drawing.Middle)
		at = next
	}
	last := len(k.rows) - 1
	k.line(drawing.DimLine, k.x(at), k.rows[last-1]-barHalf, k.x(at), k.rows[last]+barHalf)
	k.end(r.After[m], m, k.rows[last])
	return k.sheet
}

// end marks one of the two stoves.
func (k *chart) end(v float64, m explore.Metric, y float64) {
	k.line(drawing.FrameLine, k.x(v), y-barHalf, k.x(v), y+barHalf)
	k.write(k.x(v)+1.2, y, k.c.Value(m.Value(v)), drawing.AlignLeft, drawing.Middle)
}
