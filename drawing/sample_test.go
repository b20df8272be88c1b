package drawing

import (
	"os"
	"path/filepath"
	"testing"
)

// The samples are an invented stove (no real pot or maker stands behind the
// numbers), drawn as a workshop drawing, a pattern and an exploded view.

func sampleSection() *Sheet {
	s := NewSheet(A4)
	s.Title, s.Desc, s.Lang = "Side section", "Side section of an invented stove with its dimensions", "en"
	room := s.Furnish(TitleBlock{Project: "Invented example: stove for a 7 litre pot", Title: "Side section", FirstAngle: true,
		Fields: []Field{{"Drawing", "EX-001"}, {"Scale", "1:5"}, {"Date", "2026-03-01"}, {"Revision", "B"}, {"Sheet", "1/3"}},
		Notes:  []string{"All sizes in millimetres. Check sizes on the parts before cutting.", "Invented example. A prediction, not a certificate."}})
	v := s.NewView(Pt(room.Min.X+62, room.Min.Y+45), Scale{1, 5})

	body := R(-140, 0, 280, 420)
	chamber := R(-60, 40, 120, 380)
	brick := R(-85, 15, 170, 405)
	v.Section(Ground, Rectangle(R(-170, -20, 340, 20)))
	v.Section(Insulation, Rectangle(body).Append(Rectangle(brick)))
	v.Section(Brick, Rectangle(brick).Append(Rectangle(chamber)))
	v.Section(DenseBrick, Rectangle(R(-85, 15, 170, 25)))
	v.Shape(White, Outline, Rectangle(R(-140, 40, 80, 110))) // fuel opening
	v.Section(Steel, Rectangle(R(-140, 88, 95, 3)), Rectangle(R(-141.5, 150, 1.5, 270)), Rectangle(R(140, 0, 1.5, 420)))
	v.Stroke(CentreLine, Line(Pt(0, -30), Pt(0, 560)))
	pot := new(Path).MoveTo(-120, 560).LineTo(-120, 460).ArcTo(Pt(-100, 460), 90).LineTo(100, 440).ArcTo(Pt(100, 460), 90).LineTo(120, 560)
	v.Stroke(Phantom, pot)
	v.Section(Steel, Circle(Pt(-90, 430), 6), Circle(Pt(90, 430), 6))
	skirt := Rectangle(R(132, 420, 1.5, 90))
	v.Section(Steel, skirt, skirt.MirroredX(0))

	d := v.Dimensions(R(-170, -20, 340, 580))
	d.Chain(Below, []Point{Pt(-140, 0), Pt(-85, 15), Pt(-60, 15), Pt(60, 15), Pt(85, 15), Pt(140, 0)},
		Dim{}, Dim{Key: "brick.thickness", Label: "Brick thickness"}, Dim{Key: "chamber.width", Label: "Chamber width"}, Dim{}, Dim{})
	d.Add(Below, Pt(-140, 0), Pt(140, 0), Dim{Key: "body.diameter", Label: "Body diameter", Prefix: "Ø"})
	d.Chain(Left, []Point{Pt(-140, 0), Pt(-140, 15), Pt(-140, 40), Pt(-140, 88), Pt(-140, 150), Pt(-140, 420)},
		Dim{}, Dim{}, Dim{Key: "air.height", Label: "Air path height"}, Dim{Key: "fuel.height", Label: "Fuel opening height"}, Dim{})
	d.Add(Left, Pt(-140, 0), Pt(-140, 420), Dim{Key: "body.height", Label: "Body height"})
	d.Chain(Right, []Point{Pt(140, 420), Pt(120, 440), Pt(133.5, 510)}, Dim{Key: "rest.height", Label: "Height of the pot rests"}, Dim{})
	d.Add(Right, Pt(140, 0), Pt(133.5, 510), Dim{Suffix: " ±2"})
	v.Horizontal(Pt(120, 480), Pt(132, 480), 535, Dim{Key: "skirt.gap", Label: "Skirt gap"})
	v.Diameter(Pt(-90, 430), 6, 150, Dim{Key: "rod.diameter"})

	n := v.Notes(Right, Rect{Pt(d.Bounds().Max.X+6, room.Min.Y+40), Pt(room.Max.X, room.Max.Y-30)})
	n.Add(Note{Target: Pt(72, 300), Text: "Chamber of insulating brick, density 0.6", Number: "1"})
	n.Add(Note{Target: Pt(110, 200), Text: "Fill: sifted ash", Number: "2"})
	n.Add(Note{Target: Pt(30, 27), Text: "Floor of dense brick", Number: "3"})
	n.Add(Note{Target: Pt(141.5, 100), Text: "Body of sheet 0.8", Number: "4", Arrow: true})
	n.Add(Note{Target: Pt(100, 555), Text: "Pot, 7 litres", Number: "5"})
	n.Place()
	return s
}

func samplePattern() *Sheet {
	s := NewSheet(Custom(480, 330))
	s.Title = "Body blank"
	v := s.NewView(Pt(10, 10), Scale{1, 1})
	v.Shape(PaleGrey, CutLine, new(Path).MoveTo(0, 0).LineTo(460, 0).LineTo(460, 310).LineTo(250, 310).ArcTo(Pt(220, 310), -180).LineTo(0, 310).Close())
	v.Stroke(BendLine, Line(Pt(15, 0), Pt(15, 310)), Line(Pt(445, 0), Pt(445, 310)))
	for x := 60.0; x < 460; x += 120 {
		v.Stroke(CutLine, Circle(Pt(x, 40), 3))
		v.CentreMark(Pt(x, 40), 3)
	}
	v.Stroke(CutLine, Ellipse(Pt(230, 150), 70, 45, 20))
	v.Write(Pt(180, 100), "Fuel opening: cut after rolling", TextStyle{Height: LargeText})
	v.Horizontal(Pt(60, 40), Pt(180, 40), 60, Dim{})
	return s
}

var samplePatternWords = TileWords{Title: "Body blank", CheckLine: "This line measures 100 mm. Measure it before cutting.",
	Lines: []string{"Print at 100 %. Do not fit to page.", "Trim two edges, lay the circles on each other, glue."}}

func sampleExploded() *Sheet {
	s := NewSheet(A4)
	room := s.Furnish(TitleBlock{Project: "Invented example", Title: "Exploded view", Fields: []Field{{"Scale", "1:10"}}})
	v := s.NewView(Pt(room.Centre().X-20, room.Min.Y+50), Scale{1, 10})
	solids := v.NewSolids()
	axis := func(x, y, z0, z1 float64) { solids.Line(CentreLine, P3(x, y, z0), P3(x, y, z1)) }
	solids.Tube(P3(0, 0, 0), 140, 130, 420, SolidStyle{Key: "body", Shade: true})
	axis(0, 0, 420, 560)
	solids.Prism(RegularPolygon(Pt(0, 0), 110, 6, 0).Append(Rectangle(R(-60, -60, 120, 120))), 560, 760, SolidStyle{Key: "brick", Shade: true})
	solids.Prism(RoundedRectangle(R(-130, -130, 260, 260), 40).Append(Circle(Pt(0, 0), 65)), 900, 915, SolidStyle{Key: "ring"})
	for i := range 3 {
		a := P3(0, 0, 1000).add(P3(Polar(125, 120*float64(i)).X, Polar(125, 120*float64(i)).Y, 0))
		solids.Rod(a, P3(a.X*0.3, a.Y*0.3, 1000), 10, SolidStyle{})
	}
	solids.Frustum(P3(0, 0, 1100), P3(0, 0, 1250), 120, 150, SolidStyle{Key: "pot", Shade: true})
	solids.Box(P3(-330, -40, 88), P3(-200, 40, 92), SolidStyle{Key: "shelf"})
	solids.Line(CentreLine, P3(-200, 0, 90), P3(-140, 0, 90))
	solids.Frustum(P3(300, -100, 0), P3(300, -100, 120), 60, 0, SolidStyle{})
	solids.Frustum(P3(300, 160, 0), P3(420, 160, 40), 50, 30, SolidStyle{})
	solids.Draw()
	n := v.Notes(Right, Rect{Pt(room.Max.X-40, room.Min.Y), room.Max})
	n.Add(Note{Target: Isometric(P3(99, -99, 200)), Text: "Body"})
	n.Add(Note{Target: Isometric(P3(60, -60, 700)), Text: "Chamber"})
	n.Add(Note{Target: Isometric(P3(60, -110, 915)), Text: "Top ring"})
	n.Place()
	return s
}

// TestWriteSamples writes the samples into the folder named by DRAWING_OUT, to
// be looked at.
func TestWriteSamples(t *testing.T) {
	dir := os.Getenv("DRAWING_OUT")
	if dir == "" {
		t.Skip("DRAWING_OUT names no folder")
	}
	write := func(name string, draw func(f *os.File) error) {
		f, err := os.Create(filepath.Join(dir, name))
		if err == nil {
			err = draw(f)
		}
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	section, exploded := sampleSection(), sampleExploded()
	pages := append([]*Sheet{section, exploded, sampleHatchings()}, Tile(samplePattern(), A4, samplePatternWords)...)
	write("samples.pdf", func(f *os.File) error { return PDF(f, pages...) })
	write("section.svg", func(f *os.File) error { return section.SVG(f) })
	write("section.png", func(f *os.File) error { return section.PNG(f, 110) })
	write("section.dxf", func(f *os.File) error { return section.DXF(f) })
	write("pattern.dxf", func(f *os.File) error { return samplePattern().DXF(f) })
}

func sampleHatchings() *Sheet {
	s := NewSheet(Letter)
	in := s.Frame().Grow(-4)
	for i, m := range Materials {
		r := R(in.Min.X+float64(i%4)*44, in.Max.Y-32-float64(i/4)*40, 38, 30)
		s.Section(m, Rectangle(r).Append(Circle(r.Centre(), 6)))
		s.Write(Pt(r.Min.X, r.Min.Y-4), m.String(), TextStyle{})
	}
	for i, pen := range []*Pen{Outline, Thin, Hidden, CentreLine, Phantom, DimLine, HatchLine, CutLine, BendLine, MarkLine, FrameLine} {
		y := in.Max.Y - 140 - float64(i)*7
		s.Stroke(pen, Line(Pt(60, y), Pt(180, y)))
		s.Write(Pt(30, y-1), pen.Name, TextStyle{Face: Italic})
	}
	return s
}
