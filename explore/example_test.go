package explore_test

import (
	"context"
	"fmt"

	"stovewright/explore"
	"stovewright/fire"
	"stovewright/stove"
)

// An invented kitchen: what does a millimetre of the skirt gap do?
func ExampleLocalSensitivities() {
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
	for _, l := range list {
		if l.Input.Key == "skirt.gap" {
			fmt.Println("a wider gap pulls more air:", l.PerStep[explore.AirRatio] > 0)
			fmt.Println("and wastes heat:", l.PerStep[explore.Efficiency] < 0)
		}
	}
	// Output:
	// a wider gap pulls more air: true
	// and wastes heat: true
}

// A study can be stopped at any moment and gives what it has.
func ExampleRun() {
	form := stove.Form{Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
	s := explore.Subject{Form: form, Coefficients: fire.Defaults()}
	g, err := explore.NewGlobal(s, explore.VaryingInputs(explore.UsualPractice()), 32, 2, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := explore.Run(context.Background(), g, 0, nil); err != nil {
		fmt.Println(err)
		return
	}
	r, ok := g.Result(explore.AirRatio)
	fmt.Println(ok, len(r.Inputs))
	// Output: true 11
}
