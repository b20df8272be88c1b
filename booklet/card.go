package booklet

import (
	"math"

	"stovewright/drawing"
)

// The cook's card is read by people who do not read: each picture says its one
// thing by itself, and the words below each can be cut off. It is drawn from a
// few signs that repeat, the stove in outline, sticks, flames, the pot, a hand,
// a tick and a cross.

// cardPictures are the pictures in the order of cooking.
var cardPictures = []struct {
	id   string
	draw func(*picture)
}{
	{"dry", (*picture).drySticks},
	{"tips", (*picture).tipsOnly},
	{"air", (*picture).openAir},
	{"boil", (*picture).manySticks},
	{"simmer", (*picture).fewSticks},
	{"pot", (*picture).potInSkirt},
	{"touch", (*picture).hot},
	{"ash", (*picture).ashOut},
	{"outside", (*picture).notIndoors},
}

// card is the page of the cook's card.
func (p *build) card() {
	p.chapter("booklet.card")
	p.y += p.write(p.c.S("booklet.card.cut"), marginSide, p.y, p.width(), smallType, "I") + 2
	const columns = 3
	size := (p.width() - 8) / columns
	rows := (len(cardPictures) + columns - 1) / columns
	top := p.y
	pitch := (p.bottom() - top) / float64(rows)
	height := min(pitch-13, size)
	for i, card := range cardPictures {
		x := marginSide + float64(i%columns)*(size+4)
		y := top + float64(i/columns)*pitch
		s := drawing.NewSheet(drawing.Custom(size, height))
		pic := &picture{s: s, v: s.NewView(drawing.Pt(size/2, 0), drawing.Scale{Paper: height, Thing: 100}), w: size / height * 100}
		s.Stroke(drawing.Outline, drawing.Rectangle(s.Bounds().Grow(-0.4)))
		card.draw(pic)
		p.sheet(s, x, y)
		p.pdf.SetLineWidth(0.1)
		p.pdf.SetDashPattern([]float64{1.5, 1.5}, 0)
		p.pdf.Line(x, y+height+1.6, x+size, y+height+1.6)
		p.pdf.SetDashPattern(nil, 0)
		p.write(p.c.S("booklet.card."+card.id), x+1, y+height+2.4, size-2, smallType, "")
	}
	p.y = p.bottom()
}

// picture is one picture: 100 units high, w wide, the origin in the middle of
// the lower edge.
type picture struct {
	s *drawing.Sheet
	v *drawing.View
	w float64
}

var bold = drawing.FrameLine // 0.7 mm: pictures are seen from across a kitchen

func (p *picture) line(points ...float64) {
	var list []drawing.Point
	for i := 0; i+1 < len(points); i += 2 {
		list = append(list, drawing.Pt(points[i], points[i+1]))
	}
	p.v.Stroke(bold, drawing.Polyline(list...))
}

func (p *picture) shape(tone drawing.Tone, points ...float64) {
	var list []drawing.Point
	for i := 0; i+1 < len(points); i += 2 {
		list = append(list, drawing.Pt(points[i], points[i+1]))
	}
	p.v.Shape(tone, bold, drawing.Polygon(list...))
}

// stove draws the stove in outline: body, chamber, mouth on the right, skirt.
// x is its middle; it stands on y and is h high to the top ring.
func (p *picture) stove(x, y, h float64, skirt bool) {
	half, bore := h*0.38, h*0.15
	p.shape(drawing.LightGrey, x-half, y, x+half, y, x+half, y+h*0.10, x-bore, y+h*0.10, x-bore, y+h, x-half, y+h)
	p.shape(drawing.LightGrey, x+bore, y+h*0.42, x+half, y+h*0.42, x+half, y+h, x+bore, y+h)
	if skirt {
		p.line(x-half*0.8, y+h, x-half*0.8, y+h*1.42)
		p.line(x+half*0.8, y+h, x+half*0.8, y+h*1.42)
	}
	p.line(x-bore*0.3, y+h*0.22, x+half*1.25, y+h*0.22) // shelf
}

// pot is a pot with two handles; x and y are the middle of its base.
func (p *picture) pot(x, y, w, h float64) {
	p.shape(drawing.White, x-w/2, y, x+w/2, y, x+w/2, y+h, x-w/2, y+h)
	p.line(x-w/2-4, y+h*0.8, x-w/2, y+h*0.8)
	p.line(x+w/2, y+h*0.8, x+w/2+4, y+h*0.8)
}

// flame is a leaf of fire on a point.
func (p *picture) flame(x, y, h float64) {
	path := new(drawing.Path).MoveTo(x, y).
		CubicTo(drawing.Pt(x-h*0.45, y+h*0.25), drawing.Pt(x-h*0.25, y+h*0.6), drawing.Pt(x, y+h)).
		CubicTo(drawing.Pt(x+h*0.1, y+h*0.65), drawing.Pt(x+h*0.45, y+h*0.35), drawing.Pt(x, y)).Close()
	p.v.Shape(drawing.White, bold, path)
}

// stick is a level stick from its burning tip to the right.
func (p *picture) stick(x, y, length, thick float64) {
	p.shape(drawing.White, x, y, x+length, y, x+length, y+thick, x, y+thick)
	p.v.Stroke(drawing.Thin, drawing.Line(drawing.Pt(x+3, y+thick*0.5), drawing.Pt(x+length-3, y+thick*0.5)))
}

// cross and tick say no and yes in the upper left corner.
func (p *picture) cross() {
	x, y := -p.w/2+14, 86.0
	p.v.Stroke(bold, drawing.Line(drawing.Pt(x-7, y-7), drawing.Pt(x+7, y+7)), drawing.Line(drawing.Pt(x-7, y+7), drawing.Pt(x+7, y-7)))
}

func (p *picture) tick(x, y float64) { p.line(x-6, y, x-1.5, y-6, x+7, y+7) }

func (p *picture) yes() { p.tick(-p.w/2+14, 86) }

// arrow is a broad arrow.
func (p *picture) arrow(x1, y1, x2, y2 float64) {
	d := math.Hypot(x2-x1, y2-y1)
	ux, uy := (x2-x1)/d, (y2-y1)/d
	p.line(x1, y1, x2-ux*5, y2-uy*5)
	p.shape(drawing.Black, x2, y2, x2-ux*8-uy*4, y2-uy*8+ux*4, x2-ux*8+uy*4, y2-uy*8-ux*4)
}

func (p *picture) drySticks() {
	p.yes()
	for i := range 4 {
		p.stick(-30, 18+float64(i)*9, 60, 6)
	}
	p.v.Stroke(bold, drawing.Circle(drawing.Pt(18, 78), 9)) // sun
	for i := range 8 {
		a := float64(i) * math.Pi / 4
		p.line(18+12*math.Cos(a), 78+12*math.Sin(a), 18+17*math.Cos(a), 78+17*math.Sin(a))
	}
}

func (p *picture) tipsOnly() {
	p.stove(-12, 8, 62, false)
	p.stick(-8, 22, 46, 5)
	p.flame(-9, 24, 22)
	p.arrow(44, 40, 22, 40)
}

func (p *picture) openAir() {
	p.stove(-12, 8, 62, false)
	p.stick(-8, 22, 46, 5)
	p.flame(-9, 24, 22)
	p.arrow(46, 16, 18, 16)
	p.yes()
}

func (p *picture) manySticks() {
	p.stove(-12, 6, 56, true)
	p.pot(-12, 66, 30, 20)
	for i := range 3 {
		p.stick(-8, 18.8+float64(i)*4, 44, 4)
	}
	p.flame(-16, 24, 26)
	p.flame(-8, 24, 32)
	for i := range 3 {
		x := -20 + float64(i)*8
		p.v.Stroke(bold, new(drawing.Path).MoveTo(x, 89).CubicTo(drawing.Pt(x-3, 92), drawing.Pt(x+3, 94), drawing.Pt(x, 97)))
	}
}

func (p *picture) fewSticks() {
	p.stove(-12, 6, 56, true)
	p.pot(-12, 66, 30, 20)
	p.stick(-2, 19, 42, 4)
	p.flame(-6, 22, 12)
}

func (p *picture) potInSkirt() {
	p.stove(0, 4, 46, true)
	p.pot(0, 76, 22, 15)
	p.arrow(0, 74, 0, 58)
	p.yes()
}

func (p *picture) hot() {
	p.stove(-14, 6, 54, true)
	p.pot(-14, 64, 30, 18)
	for i := range 3 { // heat
		y := 30 + float64(i)*14
		p.v.Stroke(bold, new(drawing.Path).MoveTo(10, y).CubicTo(drawing.Pt(14, y+4), drawing.Pt(14, y-4), drawing.Pt(18, y)))
	}
	p.hand(34, 40)
	p.cross()
}

// hand is an open hand that reaches to the left.
func (p *picture) hand(x, y float64) {
	p.shape(drawing.White, x, y-8, x+12, y-8, x+12, y+8, x, y+8)
	for i := range 4 {
		p.shape(drawing.White, x-10, y-7.5+float64(i)*4, x, y-7.5+float64(i)*4, x, y-4.5+float64(i)*4, x-10, y-4.5+float64(i)*4)
	}
	p.shape(drawing.White, x+2, y+8, x+6, y+8, x+2, y+15, x-2, y+14)
}

func (p *picture) ashOut() {
	p.stove(-16, 8, 56, false)
	p.line(-18, 17, 40, 17)
	p.line(-18, 13.8, -18, 20)
	for i := range 6 {
		p.v.Fill(drawing.MidGrey, drawing.Circle(drawing.Pt(24+float64(i%3)*6, 10+float64(i/3)*4), 2.2))
	}
	p.arrow(6, 30, 34, 30)
	p.yes()
}

func (p *picture) notIndoors() {
	p.shape(drawing.White, -34, 8, 34, 8, 34, 50, 0, 78, -34, 50)
	p.stove(-2, 8, 24, false)
	p.flame(-3, 14, 12)
	for i := range 3 {
		x := -14 + float64(i)*12
		p.v.Stroke(bold, new(drawing.Path).MoveTo(x, 36).CubicTo(drawing.Pt(x-6, 42), drawing.Pt(x+6, 48), drawing.Pt(x, 54)))
	}
	p.cross()
}
