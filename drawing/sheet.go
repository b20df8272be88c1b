package drawing

import (
	"fmt"
	"math"
)

// Paper is a size of sheet in millimetres.
type Paper struct {
	Name          string
	Width, Height float64
}

// The papers, upright. A4 and A3 are those of iso216paper (from memory), Letter
// is 8.5 in by 11 in.
var (
	A4     = Paper{"A4", 210, 297}
	A3     = Paper{"A3", 297, 420}
	Letter = Paper{"Letter", 215.9, 279.4}
)

// Landscape is the same paper lying on its long side.
func (p Paper) Landscape() Paper {
	return Paper{p.Name, max(p.Width, p.Height), min(p.Width, p.Height)}
}

// Portrait is the same paper standing on its short side.
func (p Paper) Portrait() Paper {
	return Paper{p.Name, min(p.Width, p.Height), max(p.Width, p.Height)}
}

// Custom is a paper of any size, for a drawing on a screen page or a pattern
// that is to be tiled.
func Custom(width, height float64) Paper { return Paper{"", width, height} }

// Sheet is one page. Its embedded View is the paper itself: millimetres from
// the lower left corner, so that s.Stroke, s.Write and the rest draw on paper,
// while those of a view made with [Sheet.NewView] draw the thing at a scale.
//
// Later things lie on earlier ones. A Sheet is not safe for use by several
// goroutines while it is being drawn; a finished one may be written by many.
type Sheet struct {
	*View
	Paper   Paper
	Title   string // names the drawing for readers and file properties
	Desc    string // a sentence that tells what it shows, for those who cannot see it
	Lang    string // language of the words, such as "en"; may be empty
	ID      string // unique in the page that shows the drawing; needed only there
	Decimal rune   // decimal sign of dimensions; 0 means a point

	items    []item
	groups   []Group
	group    int // index in groups of the one being drawn, 0 for none
	texts    []*Text
	reserved []box
	inner    Rect // inside of the frame; the paper without one
}

// NewSheet is an empty sheet.
func NewSheet(p Paper) *Sheet {
	s := &Sheet{Paper: p, groups: make([]Group, 1), inner: R(0, 0, p.Width, p.Height)}
	s.View = &View{sheet: s, scale: Scale{1, 1}, k: 1}
	return s
}

// Bounds is the paper as a rectangle.
func (s *Sheet) Bounds() Rect { return R(0, 0, s.Paper.Width, s.Paper.Height) }

// item is one thing on the sheet, in sheet millimetres: a path or a text.
type item struct {
	view  *View
	group int
	path  *Path
	pen   *Pen // nil for no line
	tone  Tone
	text  *Text
}

func (s *Sheet) add(it item) {
	it.group = s.group
	s.items = append(s.items, it)
}

// Group names a part of a drawing, so that a page can find, restyle or answer
// a touch on it.
type Group struct {
	Class  string // class of the group in SVG
	Key    string // stable id, becomes data-key
	Label  string // said by screen readers
	Button bool   // can be focused and touched
	hit    *box   // room that answers a touch, invisible
}

// In draws what the function draws as one group. Groups do not nest: a group
// drawn within another stands beside it.
func (s *Sheet) In(g Group, draw func()) {
	s.groups = append(s.groups, g)
	outer := s.group
	s.group = len(s.groups) - 1
	draw()
	s.group = outer
}

// Scale is a ratio of paper to thing: 1:5 is Scale{1, 5}.
type Scale struct{ Paper, Thing float64 }

// Scales are the recommended scales that drawings here use, largest first
// (iso5455scales, from memory).
var Scales = []Scale{{2, 1}, {1, 1}, {1, 2}, {1, 5}, {1, 10}, {1, 20}}

// Factor is paper millimetres per millimetre of the thing.
func (s Scale) Factor() float64 { return s.Paper / s.Thing }

// String is the ratio as it stands in a title block, "1:5".
func (s Scale) String() string { return fmt.Sprintf("%g:%g", s.Paper, s.Thing) }

// FitScale is the largest of [Scales] at which a thing of the given width and
// height fits a box on paper. A thing too large for 1:20 gets the next of
// 1:50, 1:100, 1:200 … that fits.
func FitScale(width, height, boxWidth, boxHeight float64) Scale {
	fits := func(s Scale) bool {
		k := s.Factor() * (1 - 1e-12) // a thing that just fits does fit
		return k*width <= boxWidth && k*height <= boxHeight
	}
	for _, s := range Scales {
		if fits(s) {
			return s
		}
	}
	for _, decade := range []float64{10, 100, 1000, 1e4} {
		for _, step := range []float64{5, 10, 20} {
			if s := (Scale{1, decade * step}); fits(s) {
				return s
			}
		}
	}
	return Scale{1, 1e6}
}

// View draws a thing, in its own millimetres, at a scale on a sheet. Lines,
// texts and arrowheads keep their size on paper, and dimensions print the size
// of the thing.
type View struct {
	sheet  *Sheet
	origin Point // where the thing's (0, 0) lies on the sheet
	scale  Scale
	k      float64
}

// NewView draws at a scale with the thing's origin at a point of the sheet.
func (s *Sheet) NewView(origin Point, scale Scale) *View {
	return &View{sheet: s, origin: origin, scale: scale, k: scale.Factor()}
}

// FitView is a view of a thing with the given bounds, at the largest standard
// scale that fits a box of the sheet, in the middle of it.
func (s *Sheet) FitView(thing, room Rect) *View {
	scale := FitScale(thing.W(), thing.H(), room.W(), room.H())
	return s.NewView(room.Centre().Sub(thing.Centre().Mul(scale.Factor())), scale)
}

// Sheet is the sheet on which the view lies.
func (v *View) Sheet() *Sheet { return v.sheet }

// Scale is the scale of the view.
func (v *View) Scale() Scale { return v.scale }

// ToSheet gives the place on paper of a point of the thing.
func (v *View) ToSheet(p Point) Point {
	return Point{v.origin.X + v.k*p.X, v.origin.Y + v.k*p.Y}
}

// FromSheet gives the point of the thing at a place on paper.
func (v *View) FromSheet(p Point) Point {
	return Point{(p.X - v.origin.X) / v.k, (p.Y - v.origin.Y) / v.k}
}

// RectToSheet gives the room on paper of a rectangle of the thing.
func (v *View) RectToSheet(r Rect) Rect { return Rect{v.ToSheet(r.Min), v.ToSheet(r.Max)} }

func (v *View) place(p *Path) *Path {
	return p.mapped(similarity{k: v.k, cos: 1, d: v.origin})
}

// Stroke draws paths with a pen.
func (v *View) Stroke(pen *Pen, paths ...*Path) { v.Shape(NoFill, pen, paths...) }

// Fill fills paths with a tone; contours inside contours are holes (even-odd).
func (v *View) Fill(tone Tone, paths ...*Path) { v.Shape(tone, nil, paths...) }

// Shape fills paths and draws their outline. Paths that hold a number that is
// not finite are left out.
func (v *View) Shape(tone Tone, pen *Pen, paths ...*Path) {
	for _, p := range paths {
		if p.Empty() || !p.finite() {
			continue
		}
		v.sheet.add(item{view: v, path: v.place(p), pen: pen, tone: tone})
	}
}

func (p *Path) finite() bool {
	for _, s := range p.segs {
		if !s.p.finite() || !s.a.finite() || !s.b.finite() || math.IsNaN(s.r+s.start+s.sweep) || math.IsInf(s.r, 0) {
			return false
		}
	}
	return true
}

// CentreMark draws the two crossing centre lines of a circle of radius r; full
// lines where the circle is too small for dashes.
func (v *View) CentreMark(centre Point, r float64) {
	over, pen := 3/v.k, CentreLine
	if r*v.k < 8 {
		over, pen = 1.5/v.k, smallCentre
	}
	v.Stroke(pen,
		Line(Pt(centre.X-r-over, centre.Y), Pt(centre.X+r+over, centre.Y)),
		Line(Pt(centre.X, centre.Y-r-over), Pt(centre.X, centre.Y+r+over)))
}
