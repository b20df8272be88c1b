package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// Boil draws a boiling test in time: the water with its band above, the
// firepower below. Bands may be nil while they are not computed yet.
func Boil(run fire.BoilRun, bands *fire.BoilBands, c *message.Catalogue) *drawing.Sheet {
	const width, height = 180.0, 112.0
	f := open(c, "boil", width, height)
	phases := phasesOf(run)
	end := phases[len(phases)-1].Readings.Ended
	if bands != nil {
		end = math.Max(end, run.Hot.Readings.Began+bands.HotTime.High)
	}
	minutes := drawing.RoundStep(end/60, 10)
	water := panel{figure: f, room: drawing.R(16, 50, width-22, 48), x1: end / 60}
	start := quantity.Celsius.Number(run.Cold.Readings.WaterBefore)
	water.y0, water.y1 = math.Min(20, 10*math.Floor(start/10)), 105
	water.axisY(c.S("figure.fire.water"), quantity.Celsius, 20)
	power := panel{figure: f, room: drawing.R(16, 14, width-22, 22), x1: end / 60}
	power.y1 = mostPower(phases) / 1000 * 1.08
	power.axisY(c.S("figure.fire.firepower"), quantity.Kilowatt, drawing.RoundStep(power.y1, 4))
	power.axisX(quantity.Minute, minutes, c.S("figure.fire.minutes"))
	if bands != nil {
		water.band(bands.ColdPath, 0)
		water.band(bands.HotPath, run.Hot.Readings.Began)
	}
	boiling := quantity.Celsius.Number(run.BoilingPoint)
	water.sheet.Stroke(drawing.Hidden, drawing.Line(water.at(0, boiling), water.at(end/60, boiling)))
	for i, p := range phases {
		x := water.at(p.Readings.Began/60, 0).X
		if i > 0 {
			f.line(drawing.CentreLine, x, power.room.Min.Y, x, water.room.Max.Y+2)
		}
		var t, w, q []float64
		t, w = []float64{p.Readings.Began / 60}, []float64{quantity.Celsius.Number(p.Readings.WaterBefore)}
		var tq []float64
		for _, s := range p.Samples {
			at := (p.Readings.Began + s.Time) / 60
			t, w = append(t, at), append(w, quantity.Celsius.Number(s.Water))
			tq, q = append(tq, at), append(q, s.Power/1000)
		}
		water.curve(drawing.Outline, t, w)
		power.curve(drawing.CutLine, tq, q)
		middle := water.at((p.Readings.Began+p.Readings.Ended)/2/60, 0).X
		f.text(middle, water.room.Min.Y+8, c.S("figure.fire.phase."+p.Name), drawing.AlignCentre)
		f.text(middle, water.room.Min.Y+4, f.value(p.Duration(), quantity.Minute, 1), drawing.AlignCentre)
	}
	f.computed(drawing.Pt(16, 3.5), drawing.AlignLeft)
	if bands != nil {
		x := 82.0
		f.sheet.Shape(drawing.LightGrey, nil, box(x, 2.5, x+6, 5.5))
		f.sheet.Write(drawing.Pt(x+8, 3.2), c.S("figure.fire.band"), drawing.TextStyle{Height: drawing.SmallText})
	}
	return f.sheet
}

// band fills between the earliest and the latest time at which the water is so
// warm.
func (p *panel) band(way []fire.Reached, began float64) {
	var outline []drawing.Point
	for _, r := range way {
		outline = append(outline, p.at((began+r.Time.Low)/60, quantity.Celsius.Number(r.Water)))
	}
	for i := len(way) - 1; i >= 0; i-- {
		outline = append(outline, p.at((began+way[i].Time.High)/60, quantity.Celsius.Number(way[i].Water)))
	}
	if len(outline) > 2 {
		p.sheet.Fill(drawing.LightGrey, drawing.Polygon(outline...))
	}
}

// phasesOf are the phases that took place.
func phasesOf(run fire.BoilRun) []fire.Phase {
	var list []fire.Phase
	for _, p := range []fire.Phase{run.Cold, run.Hot, run.Simmer} {
		if len(p.Samples) > 0 {
			list = append(list, p)
		}
	}
	return list
}

func mostPower(phases []fire.Phase) float64 {
	most := 0.0
	for _, p := range phases {
		for _, s := range p.Samples {
			most = math.Max(most, s.Power)
		}
	}
	return most
}
