package drawing

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Heights of capitals in millimetres, of the series of technical lettering
// (iso3098lettering, from memory).
const (
	SmallText  = 1.8
	NormalText = 2.5
	LargeText  = 3.5
	TitleText  = 5.0
)

// lineSpacing is the distance of base lines in heights of capitals.
const lineSpacing = 1.75

// Align says which part of a text lies at its point, along the line.
type Align uint8

// The alignments along the line.
const (
	AlignLeft Align = iota
	AlignCentre
	AlignRight
)

// VAlign says which part of a text lies at its point, across the line.
type VAlign uint8

// The alignments across the line. Middle is half the height of capitals.
const (
	Baseline VAlign = iota
	Middle
	Top
	Bottom
)

// TextStyle says how a text is set. The zero style is regular, normal height,
// left-aligned on its base line.
type TextStyle struct {
	Height  float64 // of capitals, mm on paper; 0 means NormalText
	Angle   float64 // degrees counter-clockwise
	Align   Align
	VAlign  VAlign
	Face    Face
	Clear   bool    // dimension lines, centre lines and hatching are interrupted around the text
	Layer   string  // in DXF; "" means TEXT
	Spacing float64 // distance of base lines in a block, in heights; 0 means 1.75
}

func (st TextStyle) height() float64 {
	if st.Height > 0 {
		return st.Height
	}
	return NormalText
}

func (st TextStyle) pitch() float64 {
	if st.Spacing > 0 {
		return st.Spacing * st.height()
	}
	return lineSpacing * st.height()
}

// Text is a line of text as it stands on the sheet.
type Text struct {
	String string
	Style  TextStyle
	At     Point   // left end of the base line on the sheet
	Width  float64 // mm

	box box
}

// newText places a line so that the aligned part lies at the point.
func newText(at Point, s string, st TextStyle) *Text {
	st.Height = st.height()
	if math.IsNaN(st.Angle) || math.IsInf(st.Angle, 0) {
		st.Angle = 0
	}
	t := &Text{String: clean(s), Style: st}
	t.Width = TextWidth(t.String, st.Height, st.Face)
	low, high := extent(t.String, st.Height)
	dx := [...]float64{0, -t.Width / 2, -t.Width}[st.Align]
	dy := [...]float64{0, -st.Height / 2, -high, -low}[st.VAlign]
	t.At = frameAt(at, st.Angle).to(dx, dy)
	t.box = box{frameAt(t.At, st.Angle), Rect{Point{0, low}, Point{t.Width, high}}}
	return t
}

// extent is how far a line reaches below and above its base line: to the
// descenders where a letter has one, to the ascenders, and over accented
// capitals where there may be any.
func extent(s string, height float64) (low, high float64) {
	low, high = -0.04*height, 1.07*height
	for _, r := range s {
		switch {
		case strings.ContainsRune("gjpqyQ@()[]{}|,;_/ç", r):
			low = min(low, -0.31*height)
		case r < 0xC0 || r >= 0xE0 && r <= 0xFF || r == 'Ø' || r == '×' || unicode.IsPunct(r) || unicode.IsSymbol(r):
		default:
			return -0.42 * height, 1.42 * height
		}
	}
	return low, high
}

// clean makes a text fit for every format: one line, valid UTF-8, single
// spaces, no control characters.
func clean(s string) string {
	plain := true
	for i := 0; i < len(s) && plain; i++ {
		plain = s[i] >= ' ' && s[i] < 0x7F && (s[i] != ' ' || i > 0 && s[i-1] != ' ')
	}
	if plain {
		return s
	}
	space := true
	return strings.Map(func(r rune) rune {
		was := space
		space = softSpace(r)
		switch {
		case space && was:
			return -1
		case space:
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r // invalid bytes have become U+FFFD
	}, s)
}

// Bounds is the upright rectangle around the text on the sheet.
func (t *Text) Bounds() Rect { return t.box.bounds() }

// Corners are the corners of the text's own rectangle on the sheet.
func (t *Text) Corners() [4]Point { return t.box.corners() }

// Write sets a line of text at a point. It returns nil for an empty text or a
// point that is not finite.
func (v *View) Write(at Point, s string, st TextStyle) *Text {
	return v.sheet.put(v, v.ToSheet(at), s, st)
}

// put sets a text at a sheet point.
func (s *Sheet) put(v *View, at Point, str string, st TextStyle) *Text {
	if !at.finite() {
		return nil
	}
	t := newText(at, str, st)
	if strings.TrimSpace(t.String) == "" {
		return nil
	}
	s.texts = append(s.texts, t)
	s.add(item{view: v, text: t})
	return t
}

// WriteBlock sets a paragraph, wrapped to a width on paper, and returns the
// height it takes on paper. The point is the paragraph's corner (Top, the
// default here, or Bottom) or the middle of its side (Middle), left, middle or
// right by the alignment. Newlines in the string are kept.
func (v *View) WriteBlock(at Point, s string, width float64, st TextStyle) float64 {
	lines := Wrap(s, width, st)
	low, high := extent(s, st.height())
	pitch := max(st.pitch(), high-low+0.1)
	total := high - low + pitch*float64(len(lines)-1)
	first := -high
	switch st.VAlign {
	case Middle:
		first += total / 2
	case Bottom:
		first += total
	}
	f := frameAt(v.ToSheet(at), st.Angle)
	st.VAlign = Baseline
	for i, line := range lines {
		v.sheet.put(v, f.to(0, first-float64(i)*pitch), line, st)
	}
	return total
}

// BlockHeight is the height that [View.WriteBlock] would take.
func BlockHeight(s string, width float64, st TextStyle) float64 {
	low, high := extent(s, st.height())
	n := len(Wrap(s, width, st))
	return high - low + max(st.pitch(), high-low+0.1)*float64(n-1)
}

// Wrap breaks a text into lines no wider than width, between words where it
// can and inside a word that is too long for a line of its own. There is
// always at least one line.
func Wrap(s string, width float64, st TextStyle) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(s, "\n") {
		line := ""
		for _, word := range strings.FieldsFunc(clean(paragraph), softSpace) {
			next := word
			if line != "" {
				next = line + " " + word
			}
			if line != "" && TextWidth(next, st.height(), st.Face) > width {
				lines = append(lines, line)
				next = word
			}
			for TextWidth(next, st.height(), st.Face) > width {
				head := fitting(next, width, st)
				lines = append(lines, next[:head])
				if next = next[head:]; next == "" {
					break
				}
			}
			line = next
		}
		lines = append(lines, line)
	}
	return lines
}

// softSpace reports whether a line may end at a letter: at any space but the hard
// ones, such as that between a number and its unit.
func softSpace(r rune) bool { return unicode.IsSpace(r) && r != '\u00A0' && r != '\u202F' }

// fitting is the number of bytes at the head of a word that fit the width, at
// least one letter.
func fitting(word string, width float64, st TextStyle) int {
	end := 0
	for i, r := range word {
		next := i + utf8.RuneLen(r)
		if end > 0 && TextWidth(word[:next], st.height(), st.Face) > width {
			break
		}
		end = next
	}
	return end
}

// Reserve keeps labels that place themselves (dimensions, notes) out of a
// rectangle of the view.
func (v *View) Reserve(r Rect) {
	if !r.Min.finite() || !r.Max.finite() {
		return
	}
	v.sheet.reserved = append(v.sheet.reserved, box{frameAt(Point{}, 0), v.RectToSheet(r)})
}

// free reports whether a box lies clear of every text and reserved room.
func (s *Sheet) free(b box) bool {
	room := b.bounds()
	for _, t := range s.texts {
		if t.box.bounds().Intersects(room) && t.box.overlaps(b, 0) {
			return false
		}
	}
	for _, r := range s.reserved {
		if r.overlaps(b, 0) {
			return false
		}
	}
	return true
}

// struck reports whether a drawn line that does not yield to texts, or a black
// area, reaches into a box.
func (s *Sheet) struck(b box) bool {
	room := b.bounds()
	for _, it := range s.items {
		if it.path == nil || it.pen == nil && it.tone != Black || it.pen != nil && it.pen.yields {
			continue
		}
		if it.path.Bounds().Intersects(room) && !it.path.clip(b, true).Empty() {
			return true
		}
	}
	return false
}

// overlapSlack is the depth in mm to which boxes may touch and still count as
// apart; it absorbs rounding.
const overlapSlack = 1e-6

// Overlap is a pair of texts that lie on each other.
type Overlap struct{ A, B *Text }

// Overlaps lists all pairs of texts whose rectangles overlap.
func (s *Sheet) Overlaps() []Overlap {
	var out []Overlap
	for i, a := range s.texts {
		ra := a.Bounds()
		for _, b := range s.texts[i+1:] {
			if ra.Intersects(b.Bounds()) && a.box.overlaps(b.box, overlapSlack) {
				out = append(out, Overlap{a, b})
			}
		}
	}
	return out
}

// OffSheet lists the texts that reach beyond the frame, or beyond the paper
// where there is no frame.
func (s *Sheet) OffSheet() []*Text {
	room := s.inner.Grow(overlapSlack)
	var out []*Text
	for _, t := range s.texts {
		if !room.ContainsRect(t.Bounds()) {
			out = append(out, t)
		}
	}
	return out
}

// Texts lists the texts in the order they were set. They must not be changed.
func (s *Sheet) Texts() []*Text { return s.texts }
