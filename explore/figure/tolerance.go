package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/message"
	"stovewright/quantity"
)

// toleranceRoom is the height in which four sizes of an error stand one under the
// other.
const toleranceRoom = 10.5

// Tolerances draws what errors of making do to the stoves that come out: the share
// that boil in time and the share that are short of oxygen and smoke. First with
// each pot of the kitchen as usually made and, with the pot it was made for, as
// drawn; then for each error alone when it is left out, half as large, as usual,
// and twice as large.
func Tolerances(t *explore.Tolerance, c *message.Catalogue, width float64) *drawing.Sheet {
	names, made := t.PotNames()
	var rows []row
	var cases [][]toleranceMark
	for i, n := range names {
		if r, ok := t.Row("", 1, i); ok {
			rows, cases = append(rows, row{name: c.S("figure.explore.tolerances.pot", "pot", n), room: 4}), append(cases, []toleranceMark{{fullDot, r, 0}})
		}
	}
	if r, ok := t.Row("", 0, made); ok {
		rows, cases = append(rows, row{name: c.S("figure.explore.tolerances.drawn"), room: 4}), append(cases, []toleranceMark{{openDot, r, 0}})
	}
	if len(rows) == 0 {
		return nil
	}
	sizes := t.Sizes()
	if len(sizes) > 0 {
		rows, cases = append(rows, row{name: c.S("figure.explore.tolerances.alone"), heading: true}), append(cases, nil)
	}
	for _, s := range sizes {
		rows = append(rows, row{name: c.S("figure.explore.tolerances.error", "error", s.Error.Name(), "usual", s.Error.Value(s.Error.High)), room: toleranceRoom})
		var list []toleranceMark
		for n, r := range s.Rows {
			list = append(list, toleranceMark{[]mark{openDot, triangle, fullDot, square}[n], r, toleranceRoom * (0.5 - (float64(n)+0.5)/4)})
		}
		cases = append(cases, list)
	}
	k := open(c, width, head{id: "tolerances", axis: true, columns: 4, title: c.S("figure.explore.tolerances", "limit", explore.BoilTime.Value(t.Time))}, rows,
		[]key{{markSample(openDot), c.S("figure.explore.tolerances.none")}, {markSample(triangle), c.S("figure.explore.tolerances.half")},
			{markSample(fullDot), c.S("figure.explore.tolerances.usual")}, {markSample(square), c.S("figure.explore.tolerances.twice")},
			{words: c.S("figure.explore.tolerances.how", "n", t.Draws)}})
	left, right := k.left+3, k.right-5
	middle := (left + right) / 2
	k.tolerancePanel(cases, left, middle-6, c.S("figure.explore.tolerances.in-time"), func(r explore.ToleranceRow) float64 { return r.InTime })
	k.tolerancePanel(cases, middle+6, right, c.S("figure.explore.tolerances.smoky"), func(r explore.ToleranceRow) float64 { return r.Smoky })
	return k.sheet
}

// toleranceMark is one size of an error in its row, and how far over the middle of
// the row it stands.
type toleranceMark struct {
	mark mark
	row  explore.ToleranceRow
	over float64
}

// tolerancePanel draws one share of every case between two places.
func (k *chart) tolerancePanel(cases [][]toleranceMark, left, right float64, name string, share func(explore.ToleranceRow) float64) {
	k.left, k.right = left, right
	k.low, k.high = 1, 0
	for _, list := range cases {
		for _, m := range list {
			k.low, k.high = math.Min(k.low, share(m.row)), math.Max(k.high, share(m.row))
		}
	}
	if k.high-k.low < 0.05 { // a hair is not to look like a difference
		middle := (k.low + k.high) / 2
		k.low, k.high = middle-0.025, middle+0.025
	}
	k.low, k.high = drawing.Widen(k.low, k.high)
	k.low, k.high = math.Max(k.low, 0), math.Min(k.high, 1)
	k.axis(quantity.Percent, left, right)
	k.write(left, k.top+1.2, name, drawing.AlignLeft, drawing.Bottom)
	for i, list := range cases {
		var way []drawing.Point
		for _, m := range list {
			way = append(way, drawing.Pt(k.x(share(m.row)), k.rows[i]+m.over))
		}
		if len(way) > 1 {
			k.sheet.Stroke(drawing.Thin, drawing.Polyline(way...))
		}
		for n, m := range list {
			k.mark(m.mark, way[n])
		}
	}
}
