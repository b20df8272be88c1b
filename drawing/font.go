package drawing

import (
	_ "embed" // the fonts
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Face is one of the three cuts of the font.
type Face uint8

// The faces.
const (
	Regular Face = iota
	Bold
	Italic
)

//go:embed fonts/LiberationSans-Regular.ttf
var regularTTF []byte

//go:embed fonts/LiberationSans-Bold.ttf
var boldTTF []byte

//go:embed fonts/LiberationSans-Italic.ttf
var italicTTF []byte

// TTF is the face's font file, for a page writer that embeds it. It must not
// be changed.
func (f Face) TTF() []byte { return [...][]byte{regularTTF, boldTTF, italicTTF}[f] }

// FontFamily names the fonts in SVG, with stand-ins of the same widths.
const FontFamily = "Liberation Sans, Arial, Helvetica, sans-serif"

// capHeight is the height of capitals in ems, read from the OS/2 table of
// Liberation Sans 2.1.5 (1409 of 2048 units). Text heights are those of
// capitals, as in technical lettering, so the font size is height / capHeight.
const capHeight = 1409.0 / 2048

// typeface holds the parsed font and what has been read from it. Widths are
// plain sums of advances, without kerning, because the page writers set them
// so; all in ems.
type typeface struct {
	once sync.Once
	font *sfnt.Font
	upem float64
	adv  [0x250]float64 // advances of the Latin letters, filled at the start

	mu     sync.Mutex // guards what follows
	buf    sfnt.Buffer
	rare   map[rune]float64
	glyphs map[rune]*Path
}

var typefaces [3]typeface

func (f Face) load() *typeface {
	t := &typefaces[f]
	t.once.Do(func() {
		parsed, err := sfnt.Parse(f.TTF())
		if err != nil {
			panic("drawing: embedded font: " + err.Error()) // part of the program, tested
		}
		t.font, t.upem = parsed, float64(parsed.UnitsPerEm())
		t.rare, t.glyphs = map[rune]float64{}, map[rune]*Path{}
		for r := range t.adv {
			t.adv[r] = t.read(rune(r))
		}
	})
	return t
}

// missing stands for letters that the font lacks.
const missing = '\uFFFD'

// read gives the advance of a rune in ems; that of the sign for a missing
// letter where the font lacks it.
func (t *typeface) read(r rune) float64 {
	g, err := t.font.GlyphIndex(&t.buf, r)
	if err != nil || (g == 0 && r != missing) {
		if r == missing {
			return 1
		}
		return t.read(missing)
	}
	a, err := t.font.GlyphAdvance(&t.buf, g, fixed.I(int(t.upem)), font.HintingNone)
	if err != nil {
		return 1
	}
	return float64(a) / 64 / t.upem
}

func (t *typeface) advance(r rune) float64 {
	if r >= 0 && int(r) < len(t.adv) {
		return t.adv[r]
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	a, ok := t.rare[r]
	if !ok {
		a = t.read(r)
		t.rare[r] = a
	}
	return a
}

// has reports whether the font has a shape of its own for the rune.
func (f Face) has(r rune) bool {
	t := f.load()
	t.mu.Lock()
	defer t.mu.Unlock()
	g, err := t.font.GlyphIndex(&t.buf, r)
	return err == nil && g != 0
}

// glyph gives the outline of a rune in ems, y up, and its advance.
func (f Face) glyph(r rune) (*Path, float64) {
	t := f.load()
	a := t.advance(r)
	t.mu.Lock()
	defer t.mu.Unlock()
	if p, ok := t.glyphs[r]; ok {
		return p, a
	}
	p := t.outline(r)
	t.glyphs[r] = p
	return p, a
}

func (t *typeface) outline(r rune) *Path {
	p := new(Path)
	g, err := t.font.GlyphIndex(&t.buf, r)
	if err != nil {
		return p
	}
	if g == 0 && r != missing {
		g, _ = t.font.GlyphIndex(&t.buf, missing)
	}
	segments, err := t.font.LoadGlyph(&t.buf, g, fixed.I(int(t.upem)), nil)
	if err != nil {
		return p
	}
	at := func(q fixed.Point26_6) Point {
		return Point{float64(q.X) / 64 / t.upem, -float64(q.Y) / 64 / t.upem}
	}
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			p.Close().moveTo(at(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			p.lineTo(at(s.Args[0]))
		case sfnt.SegmentOpQuadTo: // raised to a cubic
			from, c, to := p.at, at(s.Args[0]), at(s.Args[1])
			p.CubicTo(from.Lerp(c, 2.0/3), to.Lerp(c, 2.0/3), to)
		case sfnt.SegmentOpCubeTo:
			p.CubicTo(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
		}
	}
	return p.Close()
}

// TextWidth is the width of a line of text in millimetres when its capitals
// are height millimetres tall.
func TextWidth(s string, height float64, face Face) float64 {
	t := face.load()
	var ems float64
	for _, r := range s {
		ems += t.advance(r)
	}
	return ems * height / capHeight
}
