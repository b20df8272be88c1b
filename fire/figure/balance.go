package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/quantity"
)

// flowName is one of the ways that heat goes: message "figure.fire.heat.<key>".
type flowName struct {
	key   string
	watts float64
	up    bool // into the pot
}

// heats are the ways of the heat in the order of the gas path.
func heats(b fire.Balance) []flowName {
	return []flowName{
		{"unburnt", b.Unburnt, false},
		{"bed", b.Bed, true},
		{"wall", b.Wall, false},
		{"flame", b.Flame, true},
		{"centre", b.Centre, true},
		{"ring", b.Ring, true},
		{"side", b.Side, true},
		{"skirt", b.Skirt, false},
	}
}

// Measures of the balance on paper, mm.
const (
	balanceLeft   = 27.0
	balanceRight  = 31.0
	balanceWhole  = 44.0 // width of the band of all the heat
	balanceBend   = 2.5  // inner radius of a bend
	balanceSlot   = 23.0 // from one label to the next, at least
	balanceAbove  = 24.0 // from the band up to the arrowheads
	balanceBelow  = 12.0
	balanceHead   = 4.0
	balanceLabels = 17.5
)

// Balance draws where the heat of the fire goes: a band as wide as the power,
// from which what goes into the pot turns up and what is lost turns down; widths
// are to scale.
func Balance(b fire.Balance, c *message.Catalogue) *drawing.Sheet {
	flows := heats(b)
	k := balanceWhole / b.Total()
	width := balanceLeft
	up, down := width, width // where the next label above and below may stand
	places := make([]float64, len(flows))
	next := width
	for i, h := range flows {
		w := k * h.watts
		free := &down
		if h.up {
			free = &up
		}
		centre := math.Max(next+balanceBend+w/2, *free+balanceSlot/2)
		places[i] = centre - w/2 - balanceBend // where the bend begins
		*free = centre + balanceSlot/2
		if w+2 > balanceSlot {
			*free = centre + w/2 + 1
		}
		next = centre + w/2 + 1
	}
	end := math.Max(next, math.Max(up, down)) + 4
	base := balanceLabels + balanceBelow + balanceHead + 4
	f := open(c, "balance", end+balanceRight, base+balanceWhole+balanceAbove+balanceHead+balanceLabels+9)
	d := sankey{figure: f, k: k, total: b.Total(), upper: base + balanceWhole, lower: base, top: base + balanceWhole + balanceAbove, bottom: base - balanceBelow}
	from := balanceLeft
	for i, h := range flows {
		if h.watts <= 0 {
			continue
		}
		d.band(from, places[i])
		from = places[i]
		d.branch(places[i], h)
	}
	d.exit(from, end, b.Exhaust)
	d.entry(base, b.Total())
	d.bracket(places, flows, b.Pot())
	f.computed(drawing.Pt(f.sheet.Paper.Width-3, 3), drawing.AlignRight)
	return f.sheet
}

type sankey struct {
	*figure
	k, total     float64
	upper, lower float64 // edges of the band as it stands
	top, bottom  float64 // where the branches end
}

// band fills the band from one place to the next and draws its edges.
func (d *sankey) band(from, to float64) {
	const seam = 0.3 // so that no white shows between two pieces
	d.sheet.Fill(drawing.PaleGrey, box(from-seam, d.lower, to+seam, d.upper))
	d.line(drawing.Thin, from, d.upper, to, d.upper)
	d.line(drawing.Thin, from, d.lower, to, d.lower)
}

// entry is the wood's heat on the left.
func (d *sankey) entry(base, watts float64) {
	d.line(drawing.Thin, balanceLeft, base, balanceLeft, base+balanceWhole)
	d.label(balanceLeft/2-1, base+balanceWhole/2, balanceLeft-3, d.c.S("figure.fire.heat.power"), watts, drawing.Middle)
}

// bracket sums up what goes into the pot.
func (d *sankey) bracket(places []float64, flows []flowName, watts float64) {
	left, right := math.Inf(1), 0.0
	for i, h := range flows {
		if h.up && h.watts > 0 {
			middle := places[i] + balanceBend + d.k*h.watts/2
			left, right = math.Min(left, middle-balanceSlot/2+1), math.Max(right, middle+balanceSlot/2-1)
		}
	}
	y := d.sheet.Paper.Height - 9
	d.line(drawing.Thin, left, y, right, y)
	d.line(drawing.Thin, left, y, left, y-2)
	d.line(drawing.Thin, right, y, right, y-2)
	d.sheet.Write(drawing.Pt((left+right)/2, y+2), d.c.S("figure.fire.heat.pot", "power", quantity.Value{SI: watts, Unit: quantity.Kilowatt, Step: d.step()},
		"share", quantity.Pct(watts/d.total)), drawing.TextStyle{Align: drawing.AlignCentre, Face: drawing.Bold})
}

// step is how finely a power is written.
func (d *sankey) step() float64 {
	if d.total > 10e3 {
		return 0.1
	}
	return 0.01
}

// branch turns a flow out of the band: up into the pot, down where it is lost.
func (d *sankey) branch(x float64, h flowName) {
	w := d.k * h.watts
	edge, sign, end := d.upper, 1.0, d.top
	if !h.up {
		edge, sign, end = d.lower, -1, d.bottom
	}
	tone := drawing.White
	if h.up {
		tone = drawing.LightGrey
	}
	centre := drawing.Pt(x, edge+sign*balanceBend)
	inner := new(drawing.Path).MoveTo(x, edge).ArcTo(centre, sign*90).LineTo(x+balanceBend, end)
	outer := new(drawing.Path).MoveTo(x, edge-sign*w).ArcTo(centre, sign*90).LineTo(x+balanceBend+w, end)
	body := new(drawing.Path).MoveTo(x, edge).ArcTo(centre, sign*90).LineTo(x+balanceBend, end).LineTo(x+balanceBend+w, end).
		LineTo(x+balanceBend+w, centre.Y).ArcTo(centre, -sign*90).Close()
	d.sheet.Fill(tone, body)
	d.sheet.Stroke(drawing.Thin, inner, outer)
	d.line(drawing.HatchLine, x, edge, x, edge-sign*w)
	over := math.Max(0.8, w*0.12)
	tip := drawing.Pt(x+balanceBend+w/2, end+sign*balanceHead)
	d.sheet.Shape(tone, drawing.Thin, drawing.Polygon(drawing.Pt(x+balanceBend-over, end), tip, drawing.Pt(x+balanceBend+w+over, end)))
	if h.up {
		d.upper -= w
		d.label(tip.X, tip.Y+1.5, balanceSlot-1, d.c.S("figure.fire.heat."+h.key), h.watts, drawing.Bottom)
	} else {
		d.lower += w
		d.label(tip.X, tip.Y-1.5, balanceSlot-1, d.c.S("figure.fire.heat."+h.key), h.watts, drawing.Top)
	}
}

// exit is what is left: hot gas that leaves.
func (d *sankey) exit(from, to, watts float64) {
	d.band(from, to)
	middle, over := (d.upper+d.lower)/2, math.Max(0.8, (d.upper-d.lower)*0.12)
	tip := to + balanceHead + 2
	d.sheet.Shape(drawing.PaleGrey, drawing.Thin, drawing.Polygon(drawing.Pt(to, d.upper+over), drawing.Pt(tip, middle), drawing.Pt(to, d.lower-over)))
	d.label(tip+(d.sheet.Paper.Width-tip)/2, middle, d.sheet.Paper.Width-tip-2, d.c.S("figure.fire.heat.exhaust"), watts, drawing.Middle)
}

// label writes name, power and share at a place.
func (d *sankey) label(x, y, width float64, name string, watts float64, align drawing.VAlign) {
	words := name + "\n" + d.value(watts, quantity.Kilowatt, d.step()) + "\n" + d.value(watts/d.total, quantity.Percent, 1)
	d.sheet.WriteBlock(drawing.Pt(x, y), words, width, drawing.TextStyle{Height: 2.1, Align: drawing.AlignCentre, VAlign: align, Spacing: 1.6})
}
