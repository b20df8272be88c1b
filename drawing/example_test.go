package drawing_test

import (
	"fmt"
	"os"
	"path/filepath"

	"stovewright/drawing"
)

// A wall of brick with a flue through it, drawn at the largest standard scale
// that fits, dimensioned and written. The numbers are invented.
func Example() {
	s := drawing.NewSheet(drawing.A4)
	s.Title = "Wall with flue"
	room := s.Furnish(drawing.TitleBlock{
		Project: "Invented example", Title: "Wall with flue", FirstAngle: true,
		Fields: []drawing.Field{{Name: "Scale", Value: "1:5"}, {Name: "Date", Value: "2026-03-01"}},
		Notes:  []string{"All sizes in millimetres."},
	})

	wall := drawing.R(0, 0, 400, 300)
	v := s.FitView(wall, room.Grow(-35)) // room for dimensions around it
	v.Section(drawing.Brick, drawing.Rectangle(wall).Append(drawing.Circle(drawing.Pt(200, 150), 60)))
	v.CentreMark(drawing.Pt(200, 150), 60)

	d := v.Dimensions(wall)
	d.Chain(drawing.Below, []drawing.Point{{X: 0}, {X: 200}, {X: 400}})
	d.Add(drawing.Below, drawing.Pt(0, 0), drawing.Pt(400, 0), drawing.Dim{Key: "wall.width", Label: "Width of the wall"})
	d.Add(drawing.Left, drawing.Pt(0, 0), drawing.Pt(0, 300), drawing.Dim{Key: "wall.height", Label: "Height of the wall"})
	v.Diameter(drawing.Pt(200, 150), 60, 45, drawing.Dim{Key: "flue.diameter", Label: "Diameter of the flue"})

	fmt.Println("scale", v.Scale())
	fmt.Println("texts on each other:", len(s.Overlaps()), "off the sheet:", len(s.OffSheet()))

	dir, err := os.MkdirTemp("", "drawing")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	f, err := os.Create(filepath.Join(dir, "wall.pdf"))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer f.Close()
	fmt.Println("written:", drawing.PDF(f, s) == nil)
	// Output:
	// scale 1:5
	// texts on each other: 0 off the sheet: 0
	// written: true
}

// A pattern larger than the paper, on pages to be glued.
func ExampleTile() {
	pattern := drawing.NewSheet(drawing.Custom(500, 180))
	pattern.Stroke(drawing.CutLine, drawing.Rectangle(drawing.R(5, 5, 490, 170)))
	pages := drawing.Tile(pattern, drawing.A4, drawing.TileWords{
		Title: "Strip", CheckLine: "This line measures 100 mm.", Lines: []string{"Print at 100 %."}})
	for _, p := range pages {
		fmt.Println(p.Texts()[len(p.Texts())-3].String)
	}
	// Output:
	// A1 · 1/3
	// A2 · 2/3
	// A3 · 3/3
}
