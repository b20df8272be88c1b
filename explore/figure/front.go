package figure

import (
	"fmt"
	"math"
	"slices"

	"stovewright/drawing"
	"stovewright/explore"
	"stovewright/message"
	"stovewright/quantity"
)

// DesignKey is the key of a design of a front, counted from 0, in every picture:
// what is drawn of it is a group of class "design" with this data-key that can be
// focused and touched, so that several pictures of one front are linked by it.
func DesignKey(i int) string { return fmt.Sprintf("design-%d", i+1) }

// scatter is a picture of points in two goals.
type scatter struct {
	*chart
	floor, ceiling float64 // of what is drawn upright
	dots, numbers  []drawing.Point
	taken          []drawing.Rect // by dots and numbers
}

// balloon is the radius of the circle around a design's number.
const balloon = 2.3

// Front draws the designs that a search found, of which none beats another, in two
// of its goals: both are to be small, so that the best lie at the lower left. Each
// bears the number it has in the list and in every other picture of the same
// front; the chosen one (see [explore.Recommend]; -1 for none) is drawn full and
// ringed twice.
func Front(q *explore.Search, front []explore.Design, x, y explore.Goal, chosen int, c *message.Catalogue, width float64) *drawing.Sheet {
	ix, iy := slices.Index(q.Goals, x), slices.Index(q.Goals, y)
	if ix < 0 || iy < 0 || len(front) == 0 {
		return nil
	}
	legend := []key{{words: c.S("figure.explore.front.how", "x", goal(c, x), "y", goal(c, y))}}
	if chosen >= 0 && chosen < len(front) {
		legend = append(legend, key{words: c.S("figure.explore.front.chosen", "n", chosen+1)})
	}
	k := &scatter{chart: open(c, width, head{id: "front", name: fmt.Sprintf("-%s-%s", x, y), axis: true, columns: 4,
		title: c.S("figure.explore.front", "y", c.S("figure.explore.goal."+string(y)), "x", c.S("figure.explore.goal."+string(x)))}, []row{{room: math.Min(0.75*width, 85)}}, legend)}
	k.left, k.right = margin+13, width-margin-1
	xs, ys := make([]float64, len(front)), make([]float64, len(front))
	for i, d := range front {
		xs[i], ys[i] = d.Objectives[ix], d.Objectives[iy]
	}
	k.low, k.high = inset(xs, k.right-k.left)
	k.floor, k.ceiling = inset(ys, k.top-k.bottom)
	k.axis(x.Value(0).Unit, k.left, k.right)
	k.upright(y.Value(0).Unit)
	k.write(margin, k.top+1.5, goal(c, y), drawing.AlignLeft, drawing.Bottom)
	for i := range front {
		p := drawing.Pt(k.x(xs[i]), k.y(ys[i]))
		k.dots, k.taken = append(k.dots, p), append(k.taken, boxAround(p, 1.3))
	}
	for i, p := range k.dots {
		say := c.S("figure.explore.front.design", "n", i+1, "x", x.Value(xs[i]), "y", y.Value(ys[i]))
		k.sheet.In(drawing.Group{Class: "design", Key: DesignKey(i), Label: say, Button: true}, func() { k.design(i, p, i == chosen) })
	}
	return k.sheet
}

// goal names a goal with its unit.
func goal(c *message.Catalogue, g explore.Goal) string {
	name := c.S("figure.explore.goal." + string(g))
	if u := g.Value(0).Unit; u.Symbol != "" {
		name += ", " + u.Symbol
	}
	return name
}

// inset is a span of values on so many millimetres of paper with room for a number
// on both sides.
func inset(values []float64, paper float64) (low, high float64) {
	const beside = 2*balloon + 3
	low, high = slices.Min(values), slices.Max(values)
	if low == high {
		return drawing.Widen(low, high)
	}
	d := (high - low) * beside / (paper - 2*beside)
	return low - d, high + d
}

func (k *scatter) y(v float64) float64 {
	return k.bottom + (v-k.floor)/(k.ceiling-k.floor)*(k.top-k.bottom)
}

// upright draws the scale at the left.
func (k *scatter) upright(u quantity.Unit) {
	low, high := u.Number(k.floor), u.Number(k.ceiling)
	step := drawing.RoundStep(high-low, 7)
	for _, v := range drawing.Marks(step, low, high) {
		y := k.y(u.SI(v))
		k.line(drawing.HatchLine, k.left, y, k.right, y)
		k.line(drawing.Thin, k.left-tick, y, k.left, y)
		if y > k.bottom+2 { // clear of the numbers below
			k.write(k.left-tick-0.6, y, k.c.Number(quantity.Value{SI: u.SI(v), Unit: u, Step: step}), drawing.AlignRight, drawing.Middle)
		}
	}
	k.line(drawing.Thin, k.left, k.bottom, k.left, k.top)
}

// design draws one design: a dot at its place and its number in a circle, as near
// as there is room.
func (k *scatter) design(i int, p drawing.Point, chosen bool) {
	at := k.free(p)
	k.numbers, k.taken = append(k.numbers, at), append(k.taken, boxAround(at, balloon+0.3))
	k.line(drawing.Thin, p.X, p.Y, at.X, at.Y)
	if chosen {
		k.sheet.Shape(drawing.White, drawing.Outline, drawing.Circle(at, balloon+0.7))
		k.mark(fullDot, p)
	} else {
		k.mark(openDot, p)
	}
	k.sheet.Shape(drawing.White, drawing.Thin, drawing.Circle(at, balloon))
	k.sheet.Write(at, fmt.Sprint(i+1), drawing.TextStyle{Height: nameText, Align: drawing.AlignCentre, VAlign: drawing.Middle})
}

// free is the nearest place to a point where a number covers nothing.
func (k *scatter) free(p drawing.Point) drawing.Point {
	const far = 25.0 // a longer line is worse than one that runs over something
	room := drawing.R(k.left+0.5, k.bottom+0.5, k.right-k.left-1, k.top-k.bottom-1)
	var second *drawing.Point // the nearest to which a line runs over something
	for r := balloon + 2.2; r < room.W() && (second == nil || r < far); r += 1.2 {
		for turn := range 24 {
			a := math.Pi/4 + float64(turn)*math.Pi/12
			at := drawing.Pt(p.X+r*math.Cos(a), p.Y+r*math.Sin(a))
			box := boxAround(at, balloon+0.8)
			if room.Contains(box.Min) && room.Contains(box.Max) && !slices.ContainsFunc(k.taken, box.Intersects) {
				if !k.crosses(p, at) {
					return at
				}
				if second == nil {
					second = &at
				}
			}
		}
	}
	if second == nil {
		return room.Min
	}
	return *second
}

// crosses reports whether a line from a dot to its number runs over another dot or
// another number. It cannot but run over what lies on its own dot.
func (k *scatter) crosses(p, at drawing.Point) bool {
	way := at.Sub(p)
	near := func(reach float64) func(drawing.Point) bool {
		return func(d drawing.Point) bool {
			to := d.Sub(p)
			along := (to.X*way.X + to.Y*way.Y) / (way.X*way.X + way.Y*way.Y)
			return math.Hypot(to.X, to.Y) > 2*reach && along > 0 && along < 1 && math.Hypot(to.X-along*way.X, to.Y-along*way.Y) < reach
		}
	}
	return slices.ContainsFunc(k.dots, near(1.2)) || slices.ContainsFunc(k.numbers, near(balloon+0.3))
}

func boxAround(p drawing.Point, half float64) drawing.Rect {
	return drawing.R(p.X-half, p.Y-half, 2*half, 2*half)
}
