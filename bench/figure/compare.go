package figure

import (
	"math"
	"slices"
	"strings"

	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stats"
)

// Differences draws how far the other stoves lie from the base, result by
// result: a dot at the change of the mean, a line over its interval, the line of
// no change, and the band that counts as alike. nil when nothing is compared.
func Differences(st *bench.Study, c *message.Catalogue, width float64) *drawing.Sheet {
	var rows []bench.Compared
	for _, k := range st.Compared {
		if bench.Headline(k.ID) && k.Ratio.DF > 0 {
			rows = append(rows, k)
		}
	}
	if len(rows) == 0 {
		for _, k := range st.Compared {
			if k.Ratio.DF > 0 {
				rows = append(rows, k)
			}
		}
	}
	if len(rows) == 0 {
		return nil
	}
	const pitch, foot, head = 10.0, 12.0, 4.0
	k := newChart(c, width, head+foot+pitch*float64(len(rows)), "differences")
	k.room = drawing.R(width*0.40, foot, width*0.54, pitch*float64(len(rows)))
	k.xLow, k.xHigh = -st.Settings.Alike, st.Settings.Alike
	for _, r := range rows {
		k.xLow, k.xHigh = math.Min(k.xLow, r.Ratio.Interval.Low-1), math.Max(k.xHigh, r.Ratio.Interval.High-1)
	}
	k.xLow, k.xHigh = drawing.Widen(math.Max(k.xLow, -1), math.Min(k.xHigh, 3))
	k.yLow, k.yHigh = 0, float64(len(rows))
	alike := drawing.Rectangle(drawing.R(k.x(-st.Settings.Alike), k.room.Min.Y, k.x(st.Settings.Alike)-k.x(-st.Settings.Alike), k.room.H()))
	k.sheet.Fill(drawing.PaleGrey, alike)
	for _, v := range drawing.Marks(drawing.RoundStep(k.xHigh-k.xLow, 7), k.xLow, k.xHigh) {
		x := k.x(v)
		k.line(drawing.Thin, drawing.Pt(x, k.room.Min.Y), drawing.Pt(x, k.room.Min.Y-tick))
		k.write(x, k.room.Min.Y-tick-0.8, c.Signed(quantity.Pct(v)), axisText, drawing.AlignCentre, drawing.Top)
	}
	k.level()
	k.line(drawing.Outline, drawing.Pt(k.x(0), k.room.Min.Y), drawing.Pt(k.x(0), k.room.Max.Y))
	k.write(k.room.Min.X, margin, c.S("figure.differences.axis", "level", quantity.Pct(st.Settings.Level), "alike", quantity.Pct(st.Settings.Alike)), axisText, drawing.AlignLeft, drawing.Baseline)
	several := len(st.Boiling) > 2 || len(st.Cooking) > 2
	for i, r := range rows {
		y := k.y(float64(len(rows)-i) - 0.5)
		low, high := math.Max(r.Ratio.Interval.Low-1, k.xLow), math.Min(r.Ratio.Interval.High-1, k.xHigh)
		k.line(drawing.Outline, drawing.Pt(k.x(low), y), drawing.Pt(k.x(high), y))
		for _, x := range []float64{low, high} {
			k.line(drawing.Thin, drawing.Pt(k.x(x), y-1.2), drawing.Pt(k.x(x), y+1.2))
		}
		k.mark(drawing.Pt(k.x(r.Ratio.Value-1), y), 0)
		name := c.Say(r.What)
		if several {
			name += ": " + r.New + " / " + r.Base
		}
		k.sheet.WriteBlock(drawing.Pt(margin, y), name, k.room.Min.X-margin-4, drawing.TextStyle{Height: labelText, VAlign: drawing.Middle, Spacing: 1.5})
	}
	return k.sheet
}

// Dots draws every test of each stove in one result of boiling tests, with the
// mean and its interval, so that nothing is hidden by a mean; tests that do not
// count are crossed. nil when no test has the result.
func Dots(st *bench.Study, id string, c *message.Catalogue, width float64) *drawing.Sheet {
	const pitch, foot, head = 11.0, 7.0, 8.0
	k := newChart(c, width, head+foot+pitch*float64(len(st.Boiling)), "dots")
	k.room = drawing.R(width*0.30, foot, width*0.66, pitch*float64(len(st.Boiling)))
	marks, low, high := runs(st, id)
	if len(marks) == 0 {
		return nil
	}
	for _, s := range st.Boiling {
		if i, ok := interval(s, id, st.Settings.Level); ok {
			low, high = math.Min(low, i.Low), math.Max(high, i.High)
		}
	}
	show := shower(id, marks[0].value.Unit)
	k.xLow, k.xHigh = drawing.Widen(show(low), show(high))
	k.yLow, k.yHigh = 0, float64(len(st.Boiling))
	k.write(margin, k.height_-margin, c.S("figure.axis", "what", bench.ResultName(id), "unit", unitOf(id, marks[0].value.Unit)), labelText, drawing.AlignLeft, drawing.Top)
	step := drawing.RoundStep(k.xHigh-k.xLow, 7)
	for _, v := range drawing.Marks(step, k.xLow, k.xHigh) {
		k.line(drawing.HatchLine, drawing.Pt(k.x(v), k.room.Min.Y), drawing.Pt(k.x(v), k.room.Max.Y))
		k.write(k.x(v), k.room.Min.Y-1, k.number(v, step), axisText, drawing.AlignCentre, drawing.Top)
	}
	k.level()
	for i, s := range st.Boiling {
		y := k.y(float64(len(st.Boiling)-i) - 0.5)
		k.sheet.WriteBlock(drawing.Pt(margin, y), s.Name, k.room.Min.X-margin-4, drawing.TextStyle{Height: labelText, VAlign: drawing.Middle, Spacing: 1.5})
		if in, ok := interval(s, id, st.Settings.Level); ok {
			m := k.x(show(stats.Mean(s.Values(id))))
			k.line(drawing.Outline, drawing.Pt(k.x(show(in.Low)), y-2.6), drawing.Pt(k.x(show(in.High)), y-2.6))
			k.line(drawing.Outline, drawing.Pt(m, y-3.8), drawing.Pt(m, y-1.4))
		}
		for _, r := range marks {
			if r.series != i {
				continue
			}
			p := drawing.Pt(k.x(show(r.value.SI)), y+1.2)
			k.mark(p, i)
			if r.out {
				k.cross(p)
			}
		}
	}
	return k.sheet
}

func interval(s bench.Series, id string, level float64) (stats.Interval, bool) {
	t, err := stats.OneSample(s.Values(id), 0)
	if err != nil {
		return stats.Interval{}, false
	}
	return t.Interval(level), true
}

// shower turns SI into the number that is drawn.
func shower(id string, u quantity.Unit) func(float64) float64 {
	unit := bench.Shown(bareID(id), quantity.Value{Unit: u}).Unit
	return unit.Number
}

func unitOf(id string, u quantity.Unit) string {
	return bench.Shown(bareID(id), quantity.Value{Unit: u}).Unit.Symbol
}

func bareID(id string) string {
	if _, key, ok := strings.Cut(id, "."); ok {
		return key
	}
	return id
}

// burnt is one test with one of its results.
type burnt struct {
	series int
	run    bench.Run
	value  quantity.Value
	out    bool
}

// runs are all tests that have a result, in the order they were burnt, and the
// span of the result.
func runs(st *bench.Study, id string) (list []burnt, low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i, s := range st.Boiling {
		for _, r := range s.Runs {
			step, ok := r.Result.Step(id)
			if !ok || math.IsNaN(step.Value.SI) || math.IsInf(step.Value.SI, 0) {
				continue
			}
			list = append(list, burnt{i, r, step.Value, r.LeftOut != "" || !r.Result.Usable()})
			low, high = math.Min(low, step.Value.SI), math.Max(high, step.Value.SI)
		}
	}
	slices.SortStableFunc(list, func(a, b burnt) int {
		return strings.Compare(a.run.Test.About.Date+" "+a.run.Test.About.Clock, b.run.Test.About.Date+" "+b.run.Test.About.Clock)
	})
	return list, low, high
}
