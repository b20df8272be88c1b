package heat_test

import (
	"fmt"
	"math"

	"stovewright/heat"
)

// A brick lining with ash behind it, in a sheet metal body: what it loses when
// it is warm, and how long it soaks up heat before that.
func Example() {
	layers := []heat.Layer{
		{Thickness: 0.04, Solid: heat.Solid{Conductivity: heat.Conductivity{{293, 0.15}, {773, 0.24}}, Density: 600, Heat: 950}},
		{Thickness: 0.05, Solid: heat.Solid{Conductivity: heat.ConstantConductivity(0.095), Density: 450, Heat: 850}},
		{Thickness: 0.0006, Solid: heat.Solid{Conductivity: heat.ConstantConductivity(50), Density: 7850, Heat: 490}, Cells: 1},
	}
	const height, gas, room = 0.25, 1100.0, 298.15
	steady, err := heat.SolveSteadyCylinder(0.06, layers, 30, gas, 11, room)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("warm: %.0f W, skin %.0f °C\n", steady.PerLength*height, steady.Faces[3]-273.15)

	wall, err := heat.NewCylinder(0.06, height, layers, room)
	if err != nil {
		fmt.Println(err)
		return
	}
	for minute := 1; minute <= 60; minute++ {
		flow := wall.Step(60, heat.Edge{H: 30, T: gas}, heat.Edge{H: 11, T: room})
		if minute == 5 || minute == 60 {
			fmt.Printf("after %d min: %.0f W\n", minute, math.Round(flow.In))
		}
	}
	// Output:
	// warm: 167 W, skin 89 °C
	// after 5 min: 817 W
	// after 60 min: 315 W
}
