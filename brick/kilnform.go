package brick

import (
	"fmt"
	"math"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// KilnForm is a firing log as it is written, with where the bricks stood.
type KilnForm struct {
	Name       string        `yaml:"name"`
	Date       string        `yaml:"date,omitempty"`
	Note       string        `yaml:"note,omitempty"`
	Thickness  string        `yaml:"thickness"`
	Peak       string        `yaml:"peak,omitempty"`        // wanted
	Soak       string        `yaml:"soak,omitempty"`        // wanted
	PoreFormer string        `yaml:"pore_former,omitempty"` // yes or no
	Positions  []string      `yaml:"positions"`
	Rows       []KilnRowForm `yaml:"rows"`
	Bricks     []PlacedForm  `yaml:"bricks,omitempty"`
}

// KilnRowForm is one line of the log.
type KilnRowForm struct {
	Time  string   `yaml:"time"`
	Temps []string `yaml:"temps"` // one for each position, "-" where not read
	Fuel  string   `yaml:"fuel,omitempty"`
	Event string   `yaml:"event,omitempty"`
}

// PlacedForm is one brick where it stood.
type PlacedForm struct {
	Layer   string `yaml:"layer"`
	Row     string `yaml:"row,omitempty"`
	Column  string `yaml:"column,omitempty"`
	Verdict string `yaml:"verdict"` // good or reject
	Note    string `yaml:"note,omitempty"`
}

// KilnFields is the log sheet in the order of the paper.
var KilnFields = paper(
	Field{Path: "name", Required: true, Example: "third load"},
	form.Text("date", "2026-05-10"),
	form.Text("note", ""),
	form.Number("thickness", quantity.Millimetre, 10, 150, true, "60 mm"),
	form.Number("peak", quantity.Celsius, 600, 1200, false, "1000 °C"),
	form.Number("soak", quantity.Hour, 0, 48, false, "2 h"),
	form.OneOf("pore_former", false, "yes", "no"),
	Field{Path: "positions", Required: true, Example: "top, bottom"},
	Field{Path: "rows.time", Kind: Moment, Unit: quantity.Hour, Min: 0, Max: 400, Required: true, Example: "06:30"},
	form.Number("rows.temps", quantity.Celsius, -40, 1400, false, "340 °C"),
	form.Number("rows.fuel", quantity.Kilogram, 0, 2000, false, "4 kg"),
	form.Text("rows.event", "damper half open"),
	Field{Path: "bricks.layer", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100, Required: true, Example: "1"},
	Field{Path: "bricks.row", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100, Example: "2"},
	Field{Path: "bricks.column", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100, Example: "3"},
	form.OneOf("bricks.verdict", true, "good", "reject"),
	form.Text("bricks.note", ""),
)

// KilnFiring is a firing that has been read: the log (no rows where it is planned
// only), the plan it is held against (no steps where none was wanted), and the
// bricks.
type KilnFiring struct {
	Name, Date, Note string
	Log              KilnLog
	Plan             Schedule
	Bricks           []Placed
}

// ParseKiln reads a firing log; see [KilnForm.Read] for its values.
func ParseKiln(data []byte) (KilnForm, error) {
	var f KilnForm
	err := KilnFields.Decode(data, &f, "name: third load")
	return f, err
}

// Write gives the file of a log. Reading it back gives the same log.
func (f KilnForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values. The error is a [message.InputErrors] with
// every complaint at once.
func (f KilnForm) Read() (KilnFiring, error) {
	r := newReader(KilnFields)
	k := KilnFiring{Name: r.Text("name", f.Name), Date: f.Date, Note: f.Note}
	k.Log = KilnLog{Positions: f.Positions, Thickness: r.number("thickness", f.Thickness)}
	peak, soak := r.number("peak", f.Peak), or(r.number("soak", f.Soak), 0)
	burns := r.Word("pore_former", f.PoreFormer, "") != "no"
	if len(f.Positions) == 0 {
		r.Complain("positions", "", message.T("brick.form.missing"))
	}
	var line form.Timeline
	for i, row := range f.Rows {
		k.Log.Rows = append(k.Log.Rows, r.row(fmt.Sprintf("rows[%d]", i+1), row, &line))
	}
	for i, b := range f.Bricks {
		k.Bricks = append(k.Bricks, r.placed(fmt.Sprintf("bricks[%d]", i+1), b))
	}
	if len(r.Complaints) > 0 {
		return k, r.Complaints
	}
	planned := len(k.Log.Rows) == 0 && !math.IsNaN(peak) // and not lit yet
	if err := k.Log.check(); err != nil && !planned {
		return k, err
	}
	if !math.IsNaN(peak) {
		plan, err := FiringWish{Thickness: k.Log.Thickness, Peak: peak, Soak: soak, PoreFormer: burns}.Plan()
		if err != nil {
			return k, err
		}
		k.Plan = plan
	}
	return k, nil
}

func (r *reader) row(path string, f KilnRowForm, line *form.Timeline) KilnRow {
	row := KilnRow{Time: r.moment(line, path+".time", f.Time), Fuel: or(r.number(path+".fuel", f.Fuel), 0), Event: f.Event}
	for i, t := range f.Temps {
		if strings.TrimSpace(t) == "-" {
			t = ""
		}
		row.Temps = append(row.Temps, r.number(fmt.Sprintf("%s.temps[%d]", path, i+1), t))
	}
	return row
}

func (r *reader) placed(path string, f PlacedForm) Placed {
	return Placed{Layer: r.Whole(path+".layer", f.Layer), Row: r.Whole(path+".row", f.Row), Column: r.Whole(path+".column", f.Column),
		Good: r.Word(path+".verdict", f.Verdict, "") != "reject"}
}

// DryingForm is a weigh-back log as it is written.
type DryingForm struct {
	Name  string         `yaml:"name"`
	Note  string         `yaml:"note,omitempty"`
	Scale string         `yaml:"scale,omitempty"`
	Dry   string         `yaml:"dry,omitempty"` // bone-dry mass, if a sister brick tells it
	Rows  []WeighingForm `yaml:"rows"`
}

// WeighingForm is one weighing of the marked brick.
type WeighingForm struct {
	Time string `yaml:"time"`
	Mass string `yaml:"mass"`
	Note string `yaml:"note,omitempty"`
}

// DryingFields is the weigh-back log in the order of the paper.
var DryingFields = paper(
	Field{Path: "name", Required: true, Example: "brick with the red mark"},
	form.Text("note", ""),
	form.Number("scale", quantity.Gram, 0.01, 200, false, "1 g"),
	form.Number("dry", quantity.Gram, 5, 50000, false, "780 g"),
	Field{Path: "rows.time", Kind: Moment, Unit: quantity.Day, Min: 0, Max: 400, Required: true, Example: "1 d"},
	form.Number("rows.mass", quantity.Gram, 5, 50000, true, "1210 g"),
	form.Text("rows.note", "rain"),
)

// DryingLog is a weigh-back log that has been read.
type DryingLog struct {
	Name, Note string
	Rows       []Weighing
	DryMass    float64 // kg, 0 if not known
	Scale      Instrument
}

// Verdict reads the log.
func (l DryingLog) Verdict() (DryingVerdict, error) { return Verdict(l.Rows, l.DryMass, l.Scale) }

// ParseDrying reads a weigh-back log; see [DryingForm.Read] for its values.
func ParseDrying(data []byte) (DryingForm, error) {
	var f DryingForm
	err := DryingFields.Decode(data, &f, "name: brick with the red mark")
	return f, err
}

// Write gives the file of a log. Reading it back gives the same log.
func (f DryingForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values. The error is a [message.InputErrors] with
// every complaint at once.
func (f DryingForm) Read() (DryingLog, error) {
	r := newReader(DryingFields)
	l := DryingLog{Name: r.Text("name", f.Name), Note: f.Note, DryMass: or(r.number("dry", f.Dry), 0),
		Scale: Instrument{Resolution: or(r.number("scale", f.Scale), 0.001)}}
	var line form.Timeline
	for i, row := range f.Rows {
		path := fmt.Sprintf("rows[%d]", i+1)
		l.Rows = append(l.Rows, Weighing{r.moment(&line, path+".time", row.Time), r.number(path+".mass", row.Mass)})
	}
	if len(r.Complaints) > 0 {
		return l, r.Complaints
	}
	return l, checkDryingLog(l.Rows)
}
