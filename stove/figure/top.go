package figure

import (
	"math"

	"stovewright/drawing"
	"stovewright/message"
	"stovewright/stove"
)

// Top draws the stove from above without the pot: top ring, skirt cut over the
// rods, the rods in their six holes, the bore, the shelf in front.
func Top(s *stove.Stove, c *message.Catalogue, o Options) *drawing.Sheet {
	sheet, _ := topSheet(s, c, o)
	return sheet
}

func topSheet(s *stove.Stove, c *message.Catalogue, o Options) (*drawing.Sheet, *drawing.View) {
	f := newFigure(s, c, o)
	f.open(f.o.Paper, "top")
	out := s.BodyOuter() / 2
	right := out + max(s.ShelfOut, s.Lip)
	boxW, boxH := f.o.Paper.Width-38-54, f.o.Paper.Height-20-titleHeight-60
	scale := drawing.FitScale((out+right)*mm, 2*out*mm, boxW, boxH)
	f.furnish("3", scale)
	k := scale.Factor()
	v := f.sheet.NewView(drawing.Pt(f.room.Centre().X-k*(right-out)/2*mm, f.room.Centre().Y+6), scale)
	f.topParts(v)
	f.topDimensions(v, right)
	return f.sheet, v
}

func (f *figure) topParts(v *drawing.View) {
	s := f.s
	o := drawing.Pt(0, 0)
	end := s.BodyOuter()/2 + s.ShelfOut
	w := s.MouthWidth/2 - 0.002
	v.Stroke(drawing.Outline, rect(s.BodyOuter()/2*0.9, -w, end, w))
	v.Shape(drawing.White, drawing.Outline, drawing.Circle(o, s.BodyOuter()/2*mm))
	v.Stroke(drawing.Thin, drawing.Circle(o, s.Pot.Diameter()/2*mm))
	lining := drawing.Circle(o, s.SkirtInner/2*mm).Append(outline(s.Bore()))
	v.Hatch(drawing.Slip, lining)
	v.Shape(drawing.White, drawing.Outline, outline(s.Bore()))
	v.Stroke(drawing.Hidden, drawing.Circle(o, s.TopHole/2*mm), outline(s.Block()))
	v.Stroke(drawing.Phantom, drawing.Circle(o, s.Pot.Diameter()/2*mm))
	skirtIn, skirtOut := s.SkirtInner/2*mm, s.SkirtOuter()/2*mm
	if least := 0.5 / v.Scale().Factor(); skirtOut-skirtIn < least {
		skirtOut = skirtIn + least
	}
	v.Shape(drawing.Black, nil, drawing.Circle(o, skirtOut).Append(drawing.Circle(o, skirtIn)))
	for _, r := range s.Rods() {
		a, b := r.Ends[0], r.Ends[1]
		n := stove.Point{X: math.Cos(r.Normal) * s.RodDiameter / 2, Y: math.Sin(r.Normal) * s.RodDiameter / 2}
		v.Shape(drawing.White, drawing.Outline, drawing.Polygon(pt(a.X+n.X, a.Y+n.Y), pt(b.X+n.X, b.Y+n.Y), pt(b.X-n.X, b.Y-n.Y), pt(a.X-n.X, a.Y-n.Y)))
	}
	v.CentreMark(o, s.BodyOuter()/2*mm)
}

func (f *figure) topDimensions(v *drawing.View, right float64) {
	s := f.s
	out := s.BodyOuter() / 2
	d := v.Dimensions(drawing.R(-out*mm, -out*mm, (out+right)*mm, 2*out*mm))
	back := s.Rods()[1] // the rod behind, square to the axis of the mouth
	d.Add(drawing.Below, pt(back.Ends[0].X, -out*0.2), pt(0, -out*0.2), f.dim("rest.offset"))
	d.Add(drawing.Below, pt(-out, 0), pt(out, 0), drawing.Dim{Text: "Ø " + f.number(f.s.Value("body.inner")), Key: "body.inner", Label: f.c.Say(f.s.Dimension("body.inner").Name())})
	d.Add(drawing.Left, pt(back.Ends[0].X, min(back.Ends[0].Y, back.Ends[1].Y)), pt(back.Ends[0].X, max(back.Ends[0].Y, back.Ends[1].Y)), f.dim("rest.rod_length"))
	d.Add(drawing.Right, pt(right, -s.MouthWidth/2), pt(right, s.MouthWidth/2), f.dim("mouth.width"))
	d.Add(drawing.Above, pt(out, 0), pt(right, 0), f.dim("shelf.outside"))
	v.Diameter(drawing.Pt(0, 0), s.SkirtInner/2*mm, 52, f.diameter("skirt.inner"))
	v.Diameter(drawing.Pt(0, 0), s.TopHole/2*mm, 128, f.diameter("top.hole"))
	v.Angle(drawing.Pt(0, 0), s.SkirtOuter()/2*mm*v.Scale().Factor()*0.45, 60, 120, drawing.Dim{Text: "120°"})
}
