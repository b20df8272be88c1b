package fuel_test

import (
	"fmt"

	"stovewright/fuel"
)

// What a pin meter's 20 % means, and what the water costs.
func Example() {
	wood, _ := fuel.Lookup("casuarina")
	m, err := fuel.ParseMoisture("20 % dry")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% of the wood as weighed is water\n", 100*m.Wet())
	fmt.Printf("%.1f MJ/kg instead of %.1f MJ/kg dry\n", wood.LHV(m)/1e6, wood.LHVDry()/1e6)
	_, err = fuel.ParseMoisture("20 %")
	fmt.Println(err)
	// Output:
	// 16.7 % of the wood as weighed is water
	// 14.8 MJ/kg instead of 18.2 MJ/kg dry
	// moisture: "20 %": say whether the moisture is of the wet fuel (as weighed) or of the dry fuel (as a pin meter shows) (try: 15 % wet)
}
