package quantity_test

import (
	"fmt"

	"stovewright/quantity"
)

// A tape in inches, a scale with a decimal comma and a bare number, all into SI.
func Example() {
	for _, reading := range []string{"29 5/8 in", "75,2 cm", "752"} {
		si, err := quantity.Parse(reading, quantity.Length, quantity.Millimetre)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s is %s mm\n", reading, quantity.MM(si).Number())
	}
	_, err := quantity.Parse("1,200 mm", quantity.Length, quantity.Millimetre)
	fmt.Println(err)
	// Output:
	// 29 5/8 in is 752 mm
	// 75,2 cm is 752 mm
	// 752 is 752 mm
	// quantity: "1,200 mm": the comma may set thousands or decimals apart; for decimals write 1.200 (try: 1200 mm)
}
