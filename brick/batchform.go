package brick

import (
	"math"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// BatchForm is a batch as it is planned: how many good bricks, of which body, in
// which mould, with what losses.
type BatchForm struct {
	Name       string    `yaml:"name"`
	Note       string    `yaml:"note,omitempty"`
	Series     string    `yaml:"series,omitempty"` // by name
	Trial      string    `yaml:"trial,omitempty"`
	Good       string    `yaml:"good"`
	SetOf      string    `yaml:"set_of,omitempty"`
	Cavity     string    `yaml:"cavity"`
	Yield      YieldForm `yaml:"yield,omitempty"`
	Confidence string    `yaml:"confidence,omitempty"`
	Spill      string    `yaml:"spill,omitempty"`
	Moulds     string    `yaml:"moulds_per_day,omitempty"`
	DryingDays string    `yaml:"drying_days,omitempty"`
	ShelfGap   string    `yaml:"shelf_gap,omitempty"`
	Kiln       string    `yaml:"kiln_bricks,omitempty"`
	WoodHeat   string    `yaml:"wood_heat,omitempty"`
}

// YieldForm is the share that survives each step, or the record of a batch
// that was made.
type YieldForm struct {
	Mould    string `yaml:"mould,omitempty"`
	Dry      string `yaml:"dry,omitempty"`
	Fire     string `yaml:"fire,omitempty"`
	Check    string `yaml:"check,omitempty"`
	Made     string `yaml:"made,omitempty"`
	Survived string `yaml:"survived,omitempty"`
}

// BatchFields is the batch sheet in the order of the paper.
var BatchFields = form.Fields{
	{Path: "name", Required: true, Example: "first fifty stoves"},
	form.Text("note", ""),
	form.Text("series", "light lining"),
	form.Text("trial", "T2"),
	{Path: "good", Kind: Whole, Unit: quantity.One, Min: 1, Max: 10000, Required: true, Example: "300"},
	{Path: "set_of", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100, Example: "6"},
	{Path: "cavity", Kind: Edges, Unit: quantity.Millimetre, Min: 10, Max: 1000, Required: true, Example: "220 x 110 x 60 mm"},
	form.Number("yield.mould", quantity.Percent, 1, 100, false, "97 %"),
	form.Number("yield.dry", quantity.Percent, 1, 100, false, "93 %"),
	form.Number("yield.fire", quantity.Percent, 1, 100, false, "90 %"),
	form.Number("yield.check", quantity.Percent, 1, 100, false, "95 %"),
	{Path: "yield.made", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100000, Example: "60"},
	{Path: "yield.survived", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100000, Example: "46"},
	form.Number("confidence", quantity.Percent, 50, 99.9, false, "95 %"),
	form.Number("spill", quantity.Percent, 0, 49, false, "4 %"),
	form.Number("moulds_per_day", quantity.One, 1, 10000, false, "40"),
	form.Number("drying_days", quantity.Day, 0, 365, false, "10 d"),
	form.Number("shelf_gap", quantity.Millimetre, 0, 500, false, "20 mm"),
	{Path: "kiln_bricks", Kind: Whole, Unit: quantity.One, Min: 1, Max: 100000, Example: "120"},
	form.Number("wood_heat", quantity.MJPerKg, 5, 25, false, "16 MJ/kg"),
}.Named("brick.field.batch.", "brick.help.batch.")

// What a batch sheet assumes where nothing is written (common practice).
const (
	usualMoulds     = 40.0  // a day
	usualDryingDays = 10.0  // for a brick of 60 mm in the shade
	usualShelfGap   = 0.020 // m
	usualKiln       = 120   // bricks, a small domed kiln
	usualConfidence = 0.95  // that there are enough
	usualSpill      = 0.04  // share of the mix
	usualWoodHeat   = 16e6  // J/kg, air-dry
)

// BatchSheet is a batch sheet that has been read. The mix and the forming of
// the wish are those of the trial, which the reader of the sheet fills in.
type BatchSheet struct {
	Name, Note    string
	Series, Trial string
	Wish          BatchWish
	Made          int // of an earlier batch, 0 for none
	Survived      int
}

// ParseBatch reads a batch file; see [BatchForm.Read] for its values.
func ParseBatch(data []byte) (BatchForm, error) {
	var f BatchForm
	err := BatchFields.Decode(data, &f, "name: first fifty stoves")
	return f, err
}

// Write gives the file of a batch. Reading it back gives the same.
func (f BatchForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values. The error is a [message.InputErrors] with
// every complaint at once.
func (f BatchForm) Read() (BatchSheet, error) {
	r := newReader(BatchFields)
	s := BatchSheet{Name: r.Text("name", f.Name), Note: f.Note, Series: r.Text("series", f.Series), Trial: r.Text("trial", f.Trial),
		Made: r.Whole("yield.made", f.Yield.Made), Survived: r.Whole("yield.survived", f.Yield.Survived)}
	w := &s.Wish
	w.Good, w.SetOf = r.Whole("good", f.Good), r.Whole("set_of", f.SetOf)
	w.Cavity, _ = r.Edges("cavity", f.Cavity)
	w.Yield = Yield{Mould: or(r.number("yield.mould", f.Yield.Mould), UsualYield.Mould), Dry: or(r.number("yield.dry", f.Yield.Dry), UsualYield.Dry),
		Fire: or(r.number("yield.fire", f.Yield.Fire), UsualYield.Fire), Check: or(r.number("yield.check", f.Yield.Check), UsualYield.Check)}
	w.Confidence, w.Spill = or(r.number("confidence", f.Confidence), usualConfidence), or(r.number("spill", f.Spill), usualSpill)
	w.MouldsPerDay = or(r.number("moulds_per_day", f.Moulds), usualMoulds)
	w.DryingDays = math.Round(or(r.number("drying_days", f.DryingDays), usualDryingDays*day)/day*100) / 100
	w.ShelfGap, w.WoodHeat = or(r.number("shelf_gap", f.ShelfGap), usualShelfGap), or(r.number("wood_heat", f.WoodHeat), usualWoodHeat)
	if w.KilnBricks = r.Whole("kiln_bricks", f.Kiln); w.KilnBricks == 0 {
		w.KilnBricks = usualKiln
	}
	if w.KilnBricks < w.SetOf {
		r.Complain("kiln_bricks", f.Kiln, message.T("brick.plan.kiln-set"))
	}
	if (s.Made > 0) != (s.Survived > 0) || s.Survived > s.Made {
		r.Complain("yield.survived", f.Yield.Survived, message.T("brick.batch.record"))
	}
	return s, r.Complaints.OrNil()
}
