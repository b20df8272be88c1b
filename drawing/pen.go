package drawing

// Pen is a kind of line: what it means, how wide it is drawn and how it is
// broken. Meaning is carried by width and dashes alone, never by colour.
type Pen struct {
	Name     string    // class of the line in SVG: "outline", "hidden"
	Layer    string    // layer in DXF: "OUTLINE", "HIDDEN"
	Linetype string    // line type in DXF: "CONTINUOUS", "DASHED", "CENTER", "PHANTOM"
	Width    float64   // mm on paper
	Dash     []float64 // dashes and gaps in turn, mm on paper; nil for a full line
	yields   bool      // is interrupted where it would run through a text
}

// The pens. Widths are of the series 0.13, 0.18, 0.25, 0.35, 0.5, 0.7 and the
// dashes follow the proportions of technical drawing practice (dash 12 d, gap
// 3 d, long dash 24 d; iso128lines, from memory), a little shortened so that
// they still read on small sheets.
var (
	Outline    = &Pen{Name: "outline", Layer: "OUTLINE", Linetype: "CONTINUOUS", Width: 0.5}
	Thin       = &Pen{Name: "thin", Layer: "THIN", Linetype: "CONTINUOUS", Width: 0.25}
	Hidden     = &Pen{Name: "hidden", Layer: "HIDDEN", Linetype: "DASHED", Width: 0.25, Dash: []float64{2.5, 0.9}}
	CentreLine = &Pen{Name: "centre", Layer: "CENTRE", Linetype: "CENTER", Width: 0.18, Dash: []float64{7, 0.9, 0.6, 0.9}, yields: true}
	Phantom    = &Pen{Name: "phantom", Layer: "PHANTOM", Linetype: "PHANTOM", Width: 0.25, Dash: []float64{7, 0.9, 0.6, 0.9, 0.6, 0.9}}
	DimLine    = &Pen{Name: "dimline", Layer: "DIM", Linetype: "CONTINUOUS", Width: 0.18, yields: true}
	HatchLine  = &Pen{Name: "hatch", Layer: "HATCH", Linetype: "CONTINUOUS", Width: 0.13, yields: true}
	CutLine    = &Pen{Name: "cut", Layer: "CUT", Linetype: "CONTINUOUS", Width: 0.35}
	BendLine   = &Pen{Name: "bend", Layer: "BEND", Linetype: "PHANTOM", Width: 0.25, Dash: []float64{5, 0.9, 0.6, 0.9, 0.6, 0.9}}
	MarkLine   = &Pen{Name: "mark", Layer: "MARK", Linetype: "CONTINUOUS", Width: 0.18}
	FrameLine  = &Pen{Name: "frame", Layer: "FRAME", Linetype: "CONTINUOUS", Width: 0.7}
	RuleLine   = &Pen{Name: "rule", Layer: "FRAME", Linetype: "CONTINUOUS", Width: 0.25}

	smallCentre = &Pen{Name: "centre", Layer: "CENTRE", Linetype: "CONTINUOUS", Width: 0.18, yields: true}

	// hatchDot draws the dots and short strokes of loose materials.
	hatchDot = &Pen{Name: "hatchdot", Layer: "HATCH", Linetype: "CONTINUOUS", Width: 0.25, yields: true}
)

// Tone fills an area: paper white to hide what lies behind, light greys, black.
type Tone uint8

// The tones.
const (
	NoFill Tone = iota
	White
	PaleGrey
	LightGrey
	MidGrey
	Black
)

// grey is the lightness of a tone, 0 black to 255 white.
func (t Tone) grey() uint8 {
	return [...]uint8{255, 255, 240, 222, 184, 0}[t]
}

// class names the tone in SVG.
func (t Tone) class() string {
	return [...]string{"none", "white", "pale", "light", "mid", "black"}[t]
}
