package figure_test

import (
	"fmt"
	"strings"

	"stovewright/explore"
	"stovewright/explore/figure"
	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

// An invented kitchen: which millimetre of the stove pays most, as a picture.
func ExampleRanking() {
	form := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
	s := explore.Subject{Form: form, Coefficients: fire.Defaults(), Depth: explore.Steady}
	sized, err := s.Stove()
	if err != nil {
		fmt.Println(err)
		return
	}
	list, err := explore.LocalSensitivities(s, explore.ChosenInputs(sized, 0.1))
	if err != nil {
		fmt.Println(err)
		return
	}
	sheet := figure.Ranking(list, explore.Efficiency, 6, message.English(), 125)
	var svg strings.Builder
	err = sheet.SVG(&svg)
	fmt.Println(err, sheet.Title)
	// Output: <nil> What one step more does to the efficiency
}
