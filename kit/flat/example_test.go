package flat_test

import (
	"fmt"

	"stovewright/kit/flat"
)

// A stove body 300 mm inside, rolled from 0.759 mm sheet, with an opening
// 120 mm wide for the fuel.
func Example() {
	body := flat.Cylinder{Inside: 300, Thickness: 0.759}
	seam := flat.GroovedSeam(6)
	fmt.Printf("sheet %.1f mm long, opening %.1f mm wide on the flat\n",
		body.Circumference()+seam.Allowance, flat.ChordWidth(120, body.Neutral()))
	// Output: sheet 962.9 mm long, opening 123.4 mm wide on the flat
}
