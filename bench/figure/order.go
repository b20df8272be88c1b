package figure

import (
	"stovewright/bench"
	"stovewright/drawing"
	"stovewright/message"
)

// Order draws a result of every test in the order the tests were burnt, day by
// day: a tester who learns, a pile that dries, a lining that warms up show
// here. Under each test stand its number, the lid where it was on, and the pile
// where it was another than that of the first test. nil when no test has the
// result.
func Order(st *bench.Study, id string, c *message.Catalogue, width float64) *drawing.Sheet {
	list, low, high := runs(st, id)
	if len(list) == 0 {
		return nil
	}
	const height, foot, head = 62.0, 17.0, 13.0
	k := newChart(c, width, height, "order")
	k.room = drawing.R(13, foot, width-15, height-foot-head)
	show := shower(id, list[0].value.Unit)
	k.xLow, k.xHigh = -0.6, float64(len(list))-0.4
	k.yLow, k.yHigh = drawing.Widen(show(low), show(high))
	k.upright(c.S("figure.axis", "what", bench.ResultName(id), "unit", unitOf(id, list[0].value.Unit)))
	k.level()
	names := make([]string, len(st.Boiling))
	for i, s := range st.Boiling {
		names[i] = s.Name
	}
	k.legend(k.room.Min.X, k.room.Max.Y+3.5, names)
	pile := list[0].run.Test.Wood.Pile
	for i, r := range list {
		about := r.run.Test.About
		x := k.x(float64(i))
		if i > 0 && about.Date != list[i-1].run.Test.About.Date {
			between := k.x(float64(i) - 0.5)
			k.line(drawing.Hidden, drawing.Pt(between, k.room.Min.Y-6.5), drawing.Pt(between, k.room.Max.Y))
		}
		if first := i == 0 || about.Date != list[i-1].run.Test.About.Date; first && len(about.Date) >= 5 {
			k.write(x-1.2, k.room.Min.Y-9.2, about.Date, axisText*0.9, drawing.AlignLeft, drawing.Middle)
		}
		k.write(x, k.room.Min.Y-2.6, about.Test, axisText, drawing.AlignCentre, drawing.Middle)
		marks := ""
		if r.run.Test.Conditions.Lid {
			marks = c.S("figure.order.lid")
		}
		if p := r.run.Test.Wood.Pile; p != pile && p != "" {
			marks += " " + p
		}
		if marks != "" {
			k.write(x, k.room.Min.Y-5.4, marks, axisText*0.9, drawing.AlignCentre, drawing.Middle)
		}
		p := drawing.Pt(x, k.y(show(r.value.SI)))
		k.mark(p, r.series)
		if r.out {
			k.cross(p)
		}
	}
	k.write(k.room.Min.X, margin, c.S("figure.order.how"), axisText, drawing.AlignLeft, drawing.Baseline)
	return k.sheet
}

// Temperatures draws a temperature record with the uses found in it as bars
// under the curve. nil for a record of fewer than two readings.
func Temperatures(samples []bench.TemperatureSample, u bench.Usage, layout bench.LogLayout, c *message.Catalogue, width float64) *drawing.Sheet {
	if len(samples) < 2 {
		return nil
	}
	const height, foot, head = 60.0, 15.0, 9.0
	k := newChart(c, width, height, "temperatures")
	k.room = drawing.R(13, foot, width-17, height-foot-head)
	low, high := samples[0].Kelvin, samples[0].Kelvin
	for _, s := range samples {
		low, high = min(low, s.Kelvin), max(high, s.Kelvin)
	}
	k.yLow, k.yHigh = drawing.Widen(low-zeroC, high-zeroC)
	start, end := samples[0].At, samples[len(samples)-1].At
	k.xLow, k.xHigh = 0, float64(end-start)
	k.upright(c.S("figure.temperatures.axis"))
	k.level()
	for _, at := range moments(start, end) {
		x := k.x(float64(at - start))
		k.line(drawing.Thin, drawing.Pt(x, k.room.Min.Y), drawing.Pt(x, k.room.Min.Y-tick))
		k.write(x, k.room.Min.Y-tick-0.8, layout.Clock(at), axisText*0.9, drawing.AlignCentre, drawing.Top)
	}
	for _, part := range thinned(samples, int(k.room.W()*4)) {
		var points []drawing.Point
		for _, s := range part {
			points = append(points, k.at(float64(s.At-start), s.Kelvin-zeroC))
		}
		k.line(drawing.Thin, points...)
	}
	for _, e := range u.Events {
		from, to := k.x(float64(e.Start-start)), k.x(float64(e.End-start))
		k.sheet.Fill(drawing.Black, drawing.Rectangle(drawing.R(from, k.room.Min.Y-7, max(to-from, 0.3), 1.2)))
	}
	k.write(k.room.Min.X, margin, c.S("figure.temperatures.how", "n", len(u.Events)), axisText, drawing.AlignLeft, drawing.Baseline)
	return k.sheet
}

const zeroC = 273.15

// moments are about six round times of a span.
func moments(start, end int64) []int64 {
	steps := []int64{60, 300, 600, 1800, 3600, 3 * 3600, 6 * 3600, 12 * 3600, 86400, 2 * 86400, 7 * 86400, 14 * 86400, 28 * 86400, 91 * 86400, 364 * 86400}
	step := steps[len(steps)-1]
	for _, s := range steps {
		if (end-start)/s <= 6 {
			step = s
			break
		}
	}
	var list []int64
	for at := (start/step + 1) * step; at < end; at += step {
		list = append(list, at)
	}
	return list
}

// thinned keeps of each piece of a long record the lowest and the highest
// reading, in their order, so that no peak is lost; it breaks the line at gaps.
func thinned(samples []bench.TemperatureSample, pieces int) [][]bench.TemperatureSample {
	usual := float64(samples[len(samples)-1].At-samples[0].At) / float64(len(samples)-1)
	size := max(1, len(samples)/max(pieces/2, 1))
	var parts [][]bench.TemperatureSample
	var part []bench.TemperatureSample
	for i := 0; i < len(samples); i += size {
		piece := samples[i:min(i+size, len(samples))]
		if n := len(part); n > 0 && float64(piece[0].At-part[n-1].At) > 4*usual*float64(size) {
			parts, part = append(parts, part), nil
		}
		low, high := piece[0], piece[0]
		for _, s := range piece {
			if s.Kelvin < low.Kelvin {
				low = s
			}
			if s.Kelvin > high.Kelvin {
				high = s
			}
		}
		switch {
		case low == high:
			part = append(part, low)
		case low.At < high.At:
			part = append(part, low, high)
		default:
			part = append(part, high, low)
		}
	}
	return append(parts, part)
}
