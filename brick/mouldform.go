package brick

import (
	"fmt"
	"math"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// MouldForm is a mould as it is planned: the fired size wanted, and where the
// shrinkage comes from. The bricks of a series tell it best.
type MouldForm struct {
	Name      string     `yaml:"name"`
	Note      string     `yaml:"note,omitempty"`
	Series    string     `yaml:"series,omitempty"` // by name; its bricks tell the shrinkage
	Trial     string     `yaml:"trial,omitempty"`  // of the series; empty for all
	Lines     []LineForm `yaml:"lines,omitempty"`  // marked lines
	Drying    string     `yaml:"drying,omitempty"` // linear, where neither is at hand
	Firing    string     `yaml:"firing,omitempty"`
	Fired     string     `yaml:"fired"`
	Allowance string     `yaml:"allowance,omitempty"`
	Tolerance string     `yaml:"tolerance,omitempty"`
	Joint     string     `yaml:"joint,omitempty"`
	Ring      RingForm   `yaml:"ring,omitempty"`
}

// LineForm is a line marked on a wet brick and measured again.
type LineForm struct {
	Axis  string `yaml:"axis"`
	Wet   string `yaml:"wet"`
	Dry   string `yaml:"dry"`
	Fired string `yaml:"fired"`
}

// RingForm is a chamber built of equal segments.
type RingForm struct {
	Sides     string `yaml:"sides,omitempty"`
	Across    string `yaml:"across,omitempty"`
	Thickness string `yaml:"thickness,omitempty"`
	Height    string `yaml:"height,omitempty"`
	Mitre     string `yaml:"mitre,omitempty"` // how well an end is cut
}

// MouldFields is the mould sheet in the order of the paper.
var MouldFields = form.Fields{
	{Path: "name", Required: true, Example: "lining brick"},
	form.Text("note", ""),
	form.Text("series", "light lining"),
	form.Text("trial", "T2"),
	form.OneOf("lines.axis", true, Length.String(), Width.String(), Height.String()),
	form.Number("lines.wet", quantity.Millimetre, 10, 600, true, "100 mm"),
	form.Number("lines.dry", quantity.Millimetre, 8, 600, true, "94 mm"),
	form.Number("lines.fired", quantity.Millimetre, 5, 600, true, "92 mm"),
	form.Number("drying", quantity.Percent, -5, 30, false, "6 %"),
	form.Number("firing", quantity.Percent, -5, 20, false, "2 %"),
	{Path: "fired", Kind: Edges, Unit: quantity.Millimetre, Min: 10, Max: 1000, Required: true, Example: "200 x 100 x 50 mm"},
	form.Number("allowance", quantity.Millimetre, 0, 10, false, "0.5 mm"),
	form.Number("tolerance", quantity.Millimetre, 0.1, 20, false, "2 mm"),
	form.Number("joint", quantity.Millimetre, 0, 20, false, "3 mm"),
	{Path: "ring.sides", Kind: Whole, Unit: quantity.One, Min: 3, Max: 24, Example: "6"},
	form.Number("ring.across", quantity.Millimetre, 20, 2000, false, "120 mm"),
	form.Number("ring.thickness", quantity.Millimetre, 10, 300, false, "50 mm"),
	form.Number("ring.height", quantity.Millimetre, 10, 600, false, "100 mm"),
	form.Number("ring.mitre", quantity.Degree, 0.05, 5, false, "0.5 °"),
}.Named("brick.field.mould.", "brick.help.mould.")

// UsualTolerance is the ± (m) on a fired edge that a mould sheet without one
// asks for (common practice).
const UsualTolerance = 0.002

// MouldWish is a mould sheet that has been read.
type MouldWish struct {
	Name, Note    string
	Series, Trial string
	Lines         []Line    // m
	Guess         Shrinkage // typed by hand; used where no line is
	Guessed       bool
	Fired         Size // m
	Allowance     Size // m
	Tolerance     float64
	Joint         float64 // m, between two half bricks
	Ring          Ring    // Sides 0 for none
	Mitre         float64 // rad
}

// ParseMould reads a mould file; see [MouldForm.Read] for its values.
func ParseMould(data []byte) (MouldForm, error) {
	var f MouldForm
	err := MouldFields.Decode(data, &f, "name: lining brick")
	return f, err
}

// Write gives the file of a mould. Reading it back gives the same.
func (f MouldForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values. The error is a [message.InputErrors] with
// every complaint at once.
func (f MouldForm) Read() (MouldWish, error) {
	r := newReader(MouldFields)
	w := MouldWish{Name: r.Text("name", f.Name), Note: f.Note, Series: r.Text("series", f.Series), Trial: r.Text("trial", f.Trial)}
	ruler := Instrument{Resolution: 0.0005}
	for i, l := range f.Lines {
		path := fmt.Sprintf("lines[%d]", i+1)
		line := Line{Axis: axisOf(r.Word(path+".axis", l.Axis, Length.String())), Wet: r.number(path+".wet", l.Wet), Dry: r.number(path+".dry", l.Dry),
			Fired: r.number(path+".fired", l.Fired), ReadingUncertain: ruler.U()}
		if !believable(float64(DryingOf(line.Wet, line.Dry))) && !math.IsNaN(line.Wet+line.Dry) {
			r.Complain(path+".dry", l.Dry, message.T("brick.shrinkage.range"))
			continue
		}
		if !believable(float64(FiringOf(line.Dry, line.Fired))) && !math.IsNaN(line.Dry+line.Fired) {
			r.Complain(path+".fired", l.Fired, message.T("brick.shrinkage.range"))
			continue
		}
		if !math.IsNaN(line.Wet + line.Dry + line.Fired) {
			w.Lines = append(w.Lines, line)
		}
	}
	drying, firing := r.number("drying", f.Drying), r.number("firing", f.Firing)
	if w.Guessed = !math.IsNaN(drying) || !math.IsNaN(firing); w.Guessed {
		// a guess by hand is good to a hundredth of the length
		w.Guess = Uniform(AxisShrinkage{Drying: Drying(or(drying, 0)), Firing: Firing(or(firing, 0)), UDrying: 0.01, UFiring: 0.005})
	}
	fired, _ := r.Edges("fired", f.Fired)
	allowance := or(r.number("allowance", f.Allowance), 0)
	w.Fired, w.Allowance = fired, Size{allowance, allowance, allowance}
	w.Tolerance, w.Joint = or(r.number("tolerance", f.Tolerance), UsualTolerance), or(r.number("joint", f.Joint), 0.003)
	w.Ring = Ring{Sides: r.Whole("ring.sides", f.Ring.Sides), Across: or(r.number("ring.across", f.Ring.Across), 0), Joint: w.Joint,
		Thickness: or(r.number("ring.thickness", f.Ring.Thickness), w.Fired[Width]), Height: or(r.number("ring.height", f.Ring.Height), w.Fired[Height])}
	w.Mitre = or(r.number("ring.mitre", f.Ring.Mitre), quantity.Degree.SI(0.5))
	return w, r.Complaints.OrNil()
}

func axisOf(name string) Axis {
	for _, a := range Axes {
		if a.String() == name {
			return a
		}
	}
	return Length
}

// Lines are the edges of the bricks of one trial (all trials where the name is
// empty) that were measured wet, dry and fired.
func (s Series) Lines(trial string) []Line {
	var list []Line
	for _, t := range s.Trials {
		if trial != "" && t.Name != trial {
			continue
		}
		for _, b := range t.Bricks {
			for _, a := range Axes {
				l := Line{Axis: a, Wet: b.Stages[Wet].Edges[a].Value, Dry: b.Stages[Dry].Edges[a].Value, Fired: b.Stages[Fired].Edges[a].Value,
					ReadingUncertain: b.Stages[Dry].Edges[a].U}
				if l.Wet > 0 && l.Dry > 0 && l.Fired > 0 {
					list = append(list, l)
				}
			}
		}
	}
	return list
}
