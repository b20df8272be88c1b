package figure

import (
	"strconv"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/quantity"
)

// partOrder is the numbering of the parts, the same on every figure.
var partOrder = []string{"pot", "skirt", "rods", "lining", "top", "brick", "fill", "body", "sleeve", "shelf", "back", "floor", "feet"}

func itoa(i int) string { return strconv.Itoa(i) }

// partText names a part with its leading sizes.
func (f *figure) partText(id string) string {
	s := f.s
	words := map[string][]any{
		"pot":    {"fill", s.Value("pot.fill")},
		"skirt":  {"sheet", s.Value("skirt.thickness"), "height", s.Value("skirt.height")},
		"rods":   {"rod", s.Value("rest.rod")},
		"lining": {"most", quantity.MM(s.LiningMost())},
		"top":    {"sheet", s.Value("top.thickness"), "hole", s.Value("top.hole")},
		"brick":  {"courses", s.Courses, "sides", s.Sides, "height", s.Value("brick.height")},
		"fill":   {"material", message.T("material." + s.FillMaterial().Key)},
		"body":   {"sheet", s.Value("body.thickness")},
		"sleeve": {"width", s.Value("mouth.width"), "height", s.Value("mouth.height")},
		"shelf":  {"grate", s.Value("shelf.grate")},
		"back":   {"height", s.Value("brick.back_height")},
		"floor":  {"thickness", s.Value("floor.thickness")},
		"feet":   {"count", s.Feet},
	}
	if id == "brick" && s.Liner {
		return f.c.S("figure.part.liner", "n", s.Courses, "height", s.Value("brick.height"), "wall", s.Value("brick.thickness"))
	}
	return f.c.S("figure.part."+id, words[id]...)
}

// has reports whether the stove has a part: a liner has no back brick, and a
// stove may stand without feet.
func (f *figure) has(id string) bool {
	return !(id == "back" && f.s.Liner) && !(id == "feet" && f.s.FeetHeight == 0)
}

// legend lists all numbered parts in words.
func (f *figure) legend() []string {
	var lines []string
	for i, id := range partOrder {
		if !f.has(id) {
			continue
		}
		lines = append(lines, itoa(i+1)+"  "+f.partText(id))
	}
	return lines
}

const (
	legendColumns = 2
	legendGap     = 6.0 // mm on paper, between the columns
)

// layLegend sets lines in columns from a corner downward and returns the height
// they take on paper; with write false it only measures.
func (f *figure) layLegend(lines []string, topLeft drawing.Point, width float64, write bool) float64 {
	style := drawing.TextStyle{Height: drawing.SmallText, VAlign: drawing.Top}
	column := (width - legendGap) / legendColumns
	perColumn := (len(lines) + legendColumns - 1) / legendColumns
	tallest := 0.0
	for col := range legendColumns {
		y := 0.0
		for i := col * perColumn; i < min(len(lines), (col+1)*perColumn); i++ {
			if write {
				f.sheet.WriteBlock(drawing.Pt(topLeft.X+float64(col)*(column+legendGap), topLeft.Y-y), lines[i], column, style)
			}
			y += drawing.BlockHeight(lines[i], column, style) + 1.4
		}
		tallest = max(tallest, y)
	}
	return tallest
}
