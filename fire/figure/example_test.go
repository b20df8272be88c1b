package figure_test

import (
	"bytes"
	"fmt"

	"stovewright/fire"
	"stovewright/fire/figure"
	"stovewright/message"
	"stovewright/stove"
)

// A stove sized for a pot of 24 cm is lit at the power it was planned for, and
// the balance of its heat is drawn.
func Example() {
	brief, err := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm"}}.Read()
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := stove.Size(brief)
	if err != nil {
		fmt.Println(err)
		return
	}
	lit := fire.Light(s)
	model, err := lit.Model()
	if err != nil {
		fmt.Println(err)
		return
	}
	point, err := model.Solve(fire.Defaults(), lit.Task.Power, lit.Air.PotFace())
	if err != nil {
		fmt.Println(err)
		return
	}
	sheet := figure.Balance(point.Heat, message.English())
	var out bytes.Buffer
	if err := sheet.SVG(&out); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sheet.Title, len(figure.Stations(model.Rings(fire.Defaults(), point))), "stations")
	// Output: Where the heat goes 7 stations
}
