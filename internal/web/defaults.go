package web

import (
	"strings"

	"stovewright/message"
	"stovewright/stove"
)

// What the form says in an empty field. Where the stove has a dimension that
// takes the place of the missing value, its value is shown; else the words that
// would have the same effect if they were typed (a test types them).

// defaultDimensions leads from a field to the dimension that stands in for it.
var defaultDimensions = map[string]string{
	"pot.fill":                "pot.fill",
	"pot.mass":                "pot.mass",
	"at_hand.brick.thickness": "brick.thickness",
	"at_hand.brick.height":    "brick.height",
	"at_hand.rod":             "rest.rod",
	"limits.time_to_boil":     "power.boil_time",
}

// defaultTexts are the texts that change nothing when they are typed.
var defaultTexts = map[string]string{
	"pot.tape_error":           "5 mm",
	"pot.base":                 "flat",
	"pot.material":             "aluminium",
	"fuel.kind":                "hardwood",
	"fuel.moisture":            "12 %",
	"fuel.moisture_basis":      "wet",
	"place.altitude":           "0 m",
	"place.air_temperature":    "25 °C",
	"at_hand.bodies.kind":      "can",
	"at_hand.bodies.thickness": "0.5 mm",
	"at_hand.bodies.coating":   "bare",
	"at_hand.sheets.coating":   "bare",
	"at_hand.brick.material":   "light-brick",
	"at_hand.fill":             "wood-ash",
	"choices.chamber":          "square",
	"choices.skirt":            "bare",
	"choices.gap":              "reconciled",
	"choices.paper":            "a4",
}

// defaultOf is what holds while a field is empty; zero where nothing does.
func defaultOf(path string, d *design) message.Text {
	rule, ok := stove.FieldOf(path)
	if !ok {
		return message.Text{}
	}
	if id, ok := defaultDimensions[rule.Path]; ok && d.Stove != nil && !strings.HasPrefix(path, "more_pots") {
		if dim := d.Stove.Dimension(id); dim != nil && dim.Origin != stove.Yours {
			return message.T("web.default", "value", dim.Value)
		}
	}
	text, ok := defaultTexts[rule.Path]
	switch {
	case path == "fuel.moisture_basis" && d.Form.Fuel.Moisture != "":
		return message.Text{} // then it must be said
	case rule.Path == "choices.ring" || rule.Path == "choices.body":
		_, choice, _ := strings.Cut(rule.Path, ".")
		return message.T("web.default." + choice) // depends on the rest of the brief
	case !ok:
		return message.Text{}
	case rule.Kind == stove.Word:
		return message.T("web.default", "value", wordOf(rule.Path, text))
	}
	return message.T("web.default", "value", text)
}
