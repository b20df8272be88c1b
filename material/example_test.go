package material_test

import (
	"fmt"

	"stovewright/material"
)

func ExampleRod_State() {
	rod := material.Rod{Diameter: 0.008, Span: 0.200, Force: 30, Kelvin: 873.15, Lasting: true}
	fmt.Printf("uses %.0f %% of what it may carry for long\n", 100*rod.State().Utilisation)
	// Output: uses 90 % of what it may carry for long
}
