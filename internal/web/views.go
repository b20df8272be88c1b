package web

import (
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
	"stovewright/stove/figure"
)

// view is a drawing of the whole stove that the page can show.
type view struct {
	name string // message "web.view.<name>"
	draw func(*stove.Stove, *message.Catalogue, figure.Options) *drawing.Sheet
}

// views are the drawings in the order in which they are offered.
var views = []view{
	{"section", figure.Section},
	{"plans", figure.Plans},
	{"top", figure.Top},
	{"exploded", figure.Exploded},
}

// callouts are the numbered parts of the figures, in the order of their
// numbers (a test reads them off the section).
var callouts = []string{"pot", "skirt", "rods", "lining", "top", "brick", "fill", "body", "sleeve", "shelf", "back", "floor", "feet"}

func viewNames() []string {
	names := make([]string, len(views))
	for i, v := range views {
		names[i] = v.name
	}
	return names
}

func knownView(name string) bool {
	for _, v := range views {
		if v.name == name {
			return true
		}
	}
	return false
}

// viewName is the view to show when one is asked for by name.
func viewName(name string) string {
	if knownView(name) {
		return name
	}
	return views[0].name
}

// sheetOf draws a view: bare for the screen, or with frame and title block.
func sheetOf(name string, s *stove.Stove, c *message.Catalogue, bare bool) *drawing.Sheet {
	o := figure.Options{Bare: bare}
	if s.Brief.Choices.Paper == "letter" {
		o.Paper = drawing.Letter
	}
	for _, v := range views {
		if v.name == name {
			return v.draw(s, c, o)
		}
	}
	return views[0].draw(s, c, o)
}
