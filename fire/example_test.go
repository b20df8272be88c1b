package fire_test

import (
	"errors"
	"fmt"
	"math"

	"stovewright/fire"
	"stovewright/fuel"
	"stovewright/heat"
)

// An invented household stove: a 12 cm square chamber under a 24 cm pot in its
// skirt, 4 kW of casuarina.
func Example() {
	stove := fire.Stove{
		Feed: 0.0144, Grate: true,
		Chamber: fire.Chamber{Area: 0.0144, Perimeter: 0.48, Height: 0.28},
		Bottom:  fire.FlatBottom(math.Sqrt(0.0144/math.Pi), 0.12, 0.018, 0.015),
		Side:    []fire.Annulus{{Length: 0.12, GapBottom: 0.012, GapTop: 0.012, OuterLoss: 15}},
		Pot:     fire.Pot{Diameter: 0.24, Height: 0.16, Mass: 0.7, Heat: 900},
		Wall: fire.Wall{Emissivity: 0.9, BodyHeight: 0.4, Layers: []heat.Layer{
			{Thickness: 0.04, Solid: heat.Solid{Conductivity: heat.Conductivity{{293, 0.15}, {773, 0.24}}, Density: 600, Heat: 950}},
			{Thickness: 0.04, Solid: heat.Solid{Conductivity: heat.ConstantConductivity(0.095), Density: 450, Heat: 850}},
		}},
	}
	wood, _ := fuel.Lookup("casuarina")
	moisture, err := fuel.WetBasis(0.12)
	if err != nil {
		fmt.Println(err)
		return
	}
	model, err := fire.New(stove, fire.Air{Temperature: 298.15, Pressure: 101325}, wood, moisture)
	if err != nil {
		fmt.Println(err)
		return
	}
	point, err := model.Solve(fire.Defaults(), 4000, 380)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("warm: air ratio %.1f, %.0f °C at the throat, efficiency %.0f %%\n", point.AirRatio, point.ThroatT-273.15, 100*point.Efficiency())
	run, err := model.Boil(fire.Defaults(), fire.Task{Water: 5, Start: 298.15, Power: 4000, Hold: 2700, Below: 3}, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("5 L boil in %.0f min cold, %.0f min hot\n", run.Cold.Duration()/60, run.Hot.Duration()/60)
	var choked *fire.ChokedError
	if _, err = model.Solve(fire.Defaults(), 14000, 380); errors.As(err, &choked) {
		fmt.Printf("at 14 kW it chokes: most of the draft is spent at the %v\n", choked.Place)
	}
	// Output:
	// warm: air ratio 3.9, 604 °C at the throat, efficiency 36 %
	// 5 L boil in 28 min cold, 24 min hot
	// at 14 kW it chokes: most of the draft is spent at the throat
}
