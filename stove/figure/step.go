package figure

import (
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// BuildStep is one step of putting the stove together.
type BuildStep struct {
	ID    string   // message "booklet.step.<id>" and its fellows
	Parts []string // what is added
	Dims  []string // dimensions to be measured at the hold point, shown on the picture
}

// BuildSteps are the steps in their order.
func BuildSteps(s *stove.Stove) []BuildStep {
	steps := []BuildStep{
		{"body", []string{"body"}, []string{"body.inner", "body.height"}},
		{"feet", []string{"feet"}, []string{"base.feet"}},
		{"floor", []string{"base-fill", "floor"}, []string{"base.fill", "floor.thickness"}},
		{"first-course", []string{"back"}, []string{"chamber.width"}},
		{"sleeve", []string{"sleeve"}, []string{"mouth.height"}},
		{"courses", []string{"brick"}, []string{"chamber.height"}},
		{"fill", []string{"fill"}, nil},
		{"top", []string{"top"}, []string{"top.hole"}},
		{"skirt", []string{"skirt"}, []string{"skirt.inner"}},
		{"lining", []string{"lining"}, nil},
		{"rods", []string{"rods"}, []string{"rest.rod_height"}},
		{"shelf", []string{"shelf"}, []string{"shelf.height"}},
		{"pot", []string{"pot"}, []string{"skirt.gap", "rest.height"}},
	}
	var list []BuildStep
	for _, step := range steps {
		switch {
		case step.ID == "feet" && s.FeetHeight == 0, step.ID == "courses" && s.Courses < 2:
			continue
		case s.Liner && step.ID == "first-course":
			step.ID = "liner"
		case s.Liner && step.ID == "courses":
			step.ID = "liner-rings"
		}
		list = append(list, step)
	}
	return list
}

// Step pictures the stove after build step number n, counted from 0: the new
// part hatched, the earlier ones pale, with the dimensions of the hold point.
// The sheet is as large as it needs to be, no wider than width and no higher
// than height in millimetres of paper.
func Step(s *stove.Stove, c *message.Catalogue, n int, width, height float64) *drawing.Sheet {
	f := newFigure(s, c, Options{Bare: true})
	steps := BuildSteps(s)
	g := section{figure: f, stage: map[string]bool{}, fresh: map[string]bool{}}
	for i := range steps[:n+1] {
		for _, part := range steps[i].Parts {
			g.stage[part] = true
			g.fresh[part] = i == n
		}
	}
	thing := g.bounds()
	k := min((width-stepLeft-stepRight)/thing.W(), (height-stepBelow-stepAbove)/thing.H())
	scale := drawing.Scale{Paper: 1, Thing: 1 / k}
	f.open(drawing.Custom(width, height), "section")
	f.sheet.Title = c.S("figure.step", "step", n+1)
	g.v = f.sheet.NewView(drawing.Pt(stepLeft-k*thing.Min.X, stepBelow-k*thing.Min.Y), scale)
	g.parts()
	g.stepDimensions(steps[n].Dims)
	return f.sheet
}

// Room around a step picture for its few dimensions.
const (
	stepLeft, stepRight  = 16.0, 14.0
	stepBelow, stepAbove = 14.0, 16.0
)

// stepDimensions draws the dimensions that are measured at the hold point.
func (g *section) stepDimensions(ids []string) {
	s := g.s
	d := g.v.Dimensions(g.bounds())
	floor, throat, pot := s.FloorLevel(), s.ThroatLevel(), s.PotLevel()
	half, bore, skirt := s.BodyOuter()/2, s.Flats/2, s.SkirtInner/2
	under := floor - s.FloorThickness
	places := map[string]struct {
		side drawing.Side
		a, b drawing.Point
		sign string
	}{
		"body.inner":      {drawing.Below, pt(-s.BodyInner/2, s.FeetHeight), pt(s.BodyInner/2, s.FeetHeight), "Ø "},
		"body.height":     {drawing.Left, pt(-half, s.FeetHeight), pt(-half, throat), ""},
		"base.feet":       {drawing.Left, pt(-half, 0), pt(-half, s.FeetHeight), ""},
		"base.fill":       {drawing.Left, pt(-half, s.FeetHeight), pt(-bore, under), ""},
		"floor.thickness": {drawing.Right, pt(bore, under), pt(bore, floor), ""},
		"chamber.width":   {drawing.Below, pt(-bore, floor), pt(bore, floor), ""},
		"mouth.height":    {drawing.Right, pt(half+s.Lip, floor), pt(half+s.Lip, s.RoofLevel()), ""},
		"chamber.height":  {drawing.Left, pt(-bore, floor), pt(-bore, throat), ""},
		"top.hole":        {drawing.Above, pt(-s.TopHole/2, throat), pt(s.TopHole/2, throat), "Ø "},
		"skirt.inner":     {drawing.Above, pt(-skirt, s.SkirtLevel()), pt(skirt, s.SkirtLevel()), "Ø "},
		"rest.rod_height": {drawing.Left, pt(-half, s.RingLevel()), pt(-s.RodOffset, s.RingLevel()+s.RodHeight), ""},
		"rest.height":     {drawing.Left, pt(-half, throat), pt(0, pot), ""},
		"shelf.height":    {drawing.Right, pt(half+s.Lip, floor), pt(half+s.ShelfOut, floor+s.ShelfHeight), ""},
		"skirt.gap":       {drawing.Above, pt(-skirt, s.SkirtLevel()), pt(-s.Pot.Diameter()/2, s.SkirtLevel()), ""},
	}
	for _, id := range ids {
		p, ok := places[id]
		if !ok {
			continue
		}
		dim := g.dim(id)
		dim.Text = p.sign + dim.Text
		d.Add(p.side, p.a, p.b, dim)
	}
}
