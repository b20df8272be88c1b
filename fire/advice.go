package fire

import (
	"stovewright/message"
	"stovewright/quantity"
)

// Widen says what gives a stove that chokes its breath back.
func (e *ChokedError) Widen() message.Text { return message.T("fire.widen." + e.Place.String()) }

// Text tells it to the user.
func (e *NeverBoilsError) Text() message.Text {
	return message.T("fire.never-boils", "temperature", quantity.C(e.Water), "time", quantity.Value{SI: longestBoil, Unit: quantity.Hour, Step: 1})
}

// Outside says which coefficients lie outside the range that the table judges
// likely.
func (c Coefficients) Outside() []message.Text {
	var list []message.Text
	for i, row := range rows {
		if c[i] < row.Low || c[i] > row.High {
			list = append(list, message.T("fire.coefficient-outside", "key", row.Key, "what", message.T("fire.coefficient."+row.Key),
				"value", plain(c[i]), "low", plain(row.Low), "high", plain(row.High)))
		}
	}
	return list
}

// Dimensions are the dimensions of a sized stove, by their ids, that decide how
// freely the gas passes a place.
func (l Loss) Dimensions() []string {
	return [lossCount][]string{
		AtFuelOpening: {"mouth.width", "mouth.height", "shelf.height"},
		AtElbow:       {"chamber.width"},
		AtThroat:      {"gap.throat"},
		AtBottom:      {"gap.throat", "gap.edge"},
		AtSkirtTurn:   {"gap.edge", "skirt.gap"},
		AtSkirt:       {"skirt.gap", "skirt.rise"},
		AtExit:        {"skirt.gap"},
	}[l]
}
