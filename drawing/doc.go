// Package drawing draws in millimetres, for paper: sections, plans, flat
// patterns and pages, from one model to SVG, PDF, PNG and DXF.
//
// # A tour
//
// A [Sheet] is a page, y upwards from its lower left corner. A [View] on it
// draws a thing in the thing's own millimetres at a scale; lines and letters
// keep their size on paper, and dimensions print the size of the thing. The
// sheet is a view of itself at 1:1, so everything below can be called on either.
//
//	s := drawing.NewSheet(drawing.A4)
//	s.Title = "Side section"
//	room := s.Furnish(drawing.TitleBlock{Title: "Side section", FirstAngle: true,
//		Fields: []drawing.Field{{"Scale", "1:5"}, {"Date", "2026-03-01"}}})
//	v := s.FitView(drawing.R(-150, 0, 300, 420), room.Grow(-35)) // largest standard scale that fits
//
// Paths hold lines, true arcs and Bézier curves. Give angles in degrees,
// counter-clockwise from +x; [Side] and [Align] say the rest.
//
//	wall := drawing.Rectangle(drawing.R(-150, 0, 300, 420)).Append(drawing.Rectangle(drawing.R(-60, 0, 120, 420)))
//	v.Section(drawing.Brick, wall)                 // hatching and outline; inner contours are holes
//	v.Stroke(drawing.CentreLine, drawing.Line(drawing.Pt(0, -15), drawing.Pt(0, 435)))
//	v.Shape(drawing.White, drawing.Outline, drawing.Circle(drawing.Pt(0, 200), 40)) // fill hides what is behind
//	v.Write(drawing.Pt(0, 430), "A", drawing.TextStyle{Height: drawing.LargeText, Align: drawing.AlignCentre})
//
// The [Pen] variables ([Outline], [Thin], [Hidden], [CentreLine], [Phantom],
// [DimLine], [HatchLine], [CutLine], [BendLine], [MarkLine], [FrameLine])
// carry width, dashes and DXF layer. [Tone] fills with white, greys or black.
// [Material] names the hatchings; [View.HatchVariant] tells neighbours of one
// material apart.
//
// # Dimensions and notes place themselves
//
// Draw the outline first, then dimensions, then notes; each keeps clear of all
// texts already there. [View.Dimensions] stacks dimension lines around an
// outline, innermost first. A text too wide for its place moves out, with a
// leader where needed, so that any chain can be drawn without overlaps.
//
//	d := v.Dimensions(drawing.R(-150, 0, 300, 420))
//	d.Chain(drawing.Below, []drawing.Point{{X: -150}, {X: -60}, {X: 60}, {X: 150}},
//		drawing.Dim{}, drawing.Dim{Key: "chamber.width", Label: "Chamber width"}, drawing.Dim{})
//	d.Add(drawing.Left, drawing.Pt(-150, 0), drawing.Pt(-150, 420), drawing.Dim{Key: "height"})
//	v.Diameter(drawing.Pt(0, 200), 40, 30, drawing.Dim{Key: "hole"})
//
// A [Dim] with a Key can be touched in the SVG: its group has class "dim",
// data-key, tabindex, role and aria-label. Free ones are [View.Horizontal],
// [View.Vertical], [View.Aligned], [View.Radius], [View.Angle]. Dimension
// lines, centre lines and hatching are interrupted where they would run
// through a dimension, a note or a text with Clear set.
//
//	n := v.Notes(drawing.Right, drawing.Rect{Min: drawing.Pt(150, 80), Max: drawing.Pt(200, 280)}) // a column on paper
//	n.Add(drawing.Note{Target: drawing.Pt(100, 200), Text: "Insulating brick", Number: "1"})
//	fits := n.Place()
//
// [Sheet.Overlaps] and [Sheet.OffSheet] list what went wrong; both should be
// empty. [View.Reserve] keeps labels out of a rectangle.
//
// # Writing
//
//	s.SVG(w)                  // one svg element in mm, for a page or a file
//	drawing.PDF(w, s, t)      // pages of their own exact sizes
//	s.DrawPDF(pdf, x, y)      // onto a page of a document made with drawing.NewPDF
//	s.PNG(w, 150)             // smooth grey picture
//	s.DXF(w)                  // paper millimetres
//	v.DXF(w)                  // this view alone, 1:1
//	drawing.Tile(pattern, drawing.A4, words) // a sheet of any size on pages to be glued
//
// [RoundStep], [Marks] and [Widen] find the round numbers on the axes of a chart.
//
// [View.NewSolids] draws boxes, prisms, cylinders and rods in isometric projection
// with hidden lines removed.
//
// All words are the caller's, in the reader's language. The drawing is black
// and white; no colour carries meaning. The same calls always give the same
// bytes.
package drawing
