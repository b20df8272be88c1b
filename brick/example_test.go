package brick_test

import (
	"fmt"

	"stovewright/brick"
)

// A mould for a brick that must fire to 200 × 100 × 60 mm, and how many to
// start for 24 good ones.
func Example() {
	s := brick.Pressed(brick.AxisShrinkage{Drying: 0.06, Firing: 0.03}, 1.2)
	c, err := brick.CavityFor(brick.Size{0.200, 0.100, 0.060}, s, brick.Size{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range brick.Axes {
		fmt.Printf("%s %.1f mm\n", a, 1000*c.Size[a])
	}
	n, _ := brick.Starts(24, brick.UsualYield.Product(), 0.95)
	fmt.Println("start", n)
	// Output:
	// length 219.3 mm
	// width 109.7 mm
	// height 67.1 mm
	// start 37
}
