package gas_test

import (
	"fmt"

	"stovewright/gas"
)

// Water in the hills: where it boils, and what boiling costs.
func Example() {
	p := gas.ISAPressure(2000)
	boil := gas.BoilingPoint(p)
	fmt.Printf("at 2000 m the air presses with %.0f hPa and water boils at %.1f °C\n", p/100, boil-273.15)
	fmt.Printf("each gram boiled away takes %.2f kJ\n", gas.LatentHeat(boil)/1e6)
	// Output:
	// at 2000 m the air presses with 795 hPa and water boils at 93.3 °C
	// each gram boiled away takes 2.27 kJ
}
