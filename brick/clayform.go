package brick

import (
	"math"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// ClayForm is a clay card as it is written: paper, page and YAML file in one.
// Every entry is text, kept as it was written; empty means not tested.
type ClayForm struct {
	Name     string        `yaml:"name"`
	Pit      string        `yaml:"pit,omitempty"`
	Depth    string        `yaml:"depth,omitempty"`
	Date     string        `yaml:"date,omitempty"`
	Note     string        `yaml:"note,omitempty"`
	Ribbon   string        `yaml:"ribbon,omitempty"`
	Coil     string        `yaml:"coil,omitempty"`
	Drop     string        `yaml:"drop,omitempty"`
	Jar      JarForm       `yaml:"jar,omitempty"`
	Bar      BarForm       `yaml:"bar,omitempty"`
	Loss     FiredLossForm `yaml:"loss,omitempty"`
	Moisture DryingOutForm `yaml:"moisture,omitempty"`
	Lime     string        `yaml:"lime,omitempty"`
	Salts    string        `yaml:"salts,omitempty"`
}

// JarForm are the layers of the jar.
type JarForm struct {
	Sand  string `yaml:"sand,omitempty"`
	Silt  string `yaml:"silt,omitempty"`
	Clay  string `yaml:"clay,omitempty"`
	Water string `yaml:"water,omitempty"`
}

// BarForm is the line on the shrinkage bar.
type BarForm struct {
	Wet   string `yaml:"wet,omitempty"`
	Dry   string `yaml:"dry,omitempty"`
	Fired string `yaml:"fired,omitempty"`
	At    string `yaml:"at,omitempty"`
	Ruler string `yaml:"ruler,omitempty"`
}

// FiredLossForm is the loss on firing: a dry piece and the same fired.
type FiredLossForm struct {
	Dry   string `yaml:"dry,omitempty"`
	Fired string `yaml:"fired,omitempty"`
	At    string `yaml:"at,omitempty"`
}

// DryingOutForm is the moisture as dug: a moist piece and the same bone dry.
type DryingOutForm struct {
	Moist string `yaml:"moist,omitempty"`
	Dry   string `yaml:"dry,omitempty"`
}

// ClayFields is the clay card in the order of the paper.
var ClayFields = paper(
	Field{Path: "name", Required: true, Example: "stream clay"},
	form.Text("pit", "below the ford"),
	form.Number("depth", quantity.Centimetre, 0, 2000, false, "60 cm"),
	form.Text("date", "2026-03-14"),
	form.Text("note", ""),
	form.Number("ribbon", quantity.Millimetre, 1, 300, false, "40 mm"),
	form.OneOf("coil", false, "whole", "cracks", "breaks"),
	form.OneOf("drop", false, "few cracks", "flattens", "shatters"),
	form.Number("jar.sand", quantity.Millimetre, 0, 500, false, "30 mm"),
	form.Number("jar.silt", quantity.Millimetre, 0, 500, false, "40 mm"),
	form.Number("jar.clay", quantity.Millimetre, 0, 500, false, "50 mm"),
	form.Number("jar.water", quantity.Celsius, 1, 45, false, "22 °C"),
	form.Number("bar.wet", quantity.Millimetre, 20, 500, false, "100 mm"),
	form.Number("bar.dry", quantity.Millimetre, 12, 500, false, "94 mm"),
	form.Number("bar.fired", quantity.Millimetre, 10, 500, false, "92 mm"),
	form.Number("bar.at", quantity.Celsius, 500, 1300, false, "980 °C"),
	form.Number("bar.ruler", quantity.Millimetre, 0.01, 5, false, "0.5 mm"),
	form.Number("loss.dry", quantity.Gram, 5, 5000, false, "100.0 g"),
	form.Number("loss.fired", quantity.Gram, 2, 5000, false, "91.2 g"),
	form.Number("loss.at", quantity.Celsius, 500, 1300, false, "950 °C"),
	form.Number("moisture.moist", quantity.Gram, 5, 20000, false, "1000 g"),
	form.Number("moisture.dry", quantity.Gram, 2, 20000, false, "760 g"),
	form.OneOf("lime", false, "none", "weak", "strong"),
	form.OneOf("salts", false, "none", "trace", "white"),
)

// ParseClay reads a clay card file; see [ClayForm.Read] for its values.
func ParseClay(data []byte) (ClayForm, error) {
	var f ClayForm
	err := ClayFields.Decode(data, &f, "name: stream clay")
	return f, err
}

// Write gives the file of a card. Reading it back gives the same card.
func (f ClayForm) Write() ([]byte, error) { return form.Encode(f) }

// Read turns the texts into values. The error is a [message.InputErrors] with
// every complaint at once.
func (f ClayForm) Read() (ClayCard, error) {
	r := newReader(ClayFields)
	c := ClayCard{Name: r.Text("name", f.Name), Pit: f.Pit, Date: f.Date, Note: f.Note, Depth: r.number("depth", f.Depth),
		Ribbon: r.number("ribbon", f.Ribbon), Coil: r.Word("coil", f.Coil, ""), Drop: r.Word("drop", f.Drop, ""),
		Sand: r.number("jar.sand", f.Jar.Sand), Silt: r.number("jar.silt", f.Jar.Silt), Clay: r.number("jar.clay", f.Jar.Clay), JarKelvin: r.number("jar.water", f.Jar.Water),
		FiredAt: r.number("bar.at", f.Bar.At), LossAt: r.number("loss.at", f.Loss.At),
		Lime: r.Word("lime", f.Lime, ""), Salts: r.Word("salts", f.Salts, "")}
	wet, dry, fired := r.number("bar.wet", f.Bar.Wet), r.number("bar.dry", f.Bar.Dry), r.number("bar.fired", f.Bar.Fired)
	c.BarLength = wet
	c.BarReading = Instrument{Resolution: or(r.number("bar.ruler", f.Bar.Ruler), 0.0005)}.U()
	c.Drying, c.Firing = float64(DryingOf(wet, dry)), float64(FiringOf(dry, fired))
	for _, s := range []struct {
		path, text string
		v          float64
	}{{"bar.dry", f.Bar.Dry, c.Drying}, {"bar.fired", f.Bar.Fired, c.Firing}} {
		if !math.IsNaN(s.v) && !believable(s.v) {
			r.Complain(s.path, s.text, message.T("brick.shrinkage.range"))
		}
	}
	c.Loss = r.lost("loss.fired", f.Loss.Fired, r.number("loss.dry", f.Loss.Dry), r.number("loss.fired", f.Loss.Fired), 0.5)
	c.Moisture = r.lost("moisture.dry", f.Moisture.Dry, r.number("moisture.moist", f.Moisture.Moist), r.number("moisture.dry", f.Moisture.Dry), 0.9)
	if sum := c.Sand + c.Silt + c.Clay; sum <= 0 {
		r.Complain("jar.clay", f.Jar.Clay, message.T("brick.form.empty-jar"))
	}
	return c, r.Complaints.OrNil()
}

// lost is the share of a mass that is gone, refused when it grew or more than
// most of it went.
func (r *reader) lost(path, text string, before, after, most float64) float64 {
	share := (before - after) / before
	if share < 0 || share > most {
		r.Complain(path, text, message.T("brick.form.lost"))
		return math.NaN()
	}
	return share
}
