package figure

import (
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// Backdrop draws the parts of the section pale and without any words, for a
// figure that shows something else in them; the rods, which stand in the way of
// the gas, are left out. The view is in millimetres of the
// stove, x from its axis towards the fuel mouth, y above the ground.
func Backdrop(v *drawing.View, s *stove.Stove, c *message.Catalogue) {
	g := section{figure: newFigure(s, c, Options{Bare: true}), v: v, fresh: map[string]bool{}}
	for _, draw := range []func(){g.ground, g.pot, g.fill, g.bricks, g.sheetMetal, g.lining, g.shelf} {
		draw()
	}
	g.centreLine()
}

// Extent is what the section covers, in millimetres of the stove.
func Extent(s *stove.Stove) drawing.Rect {
	g := section{figure: &figure{s: s}}
	return g.bounds()
}
