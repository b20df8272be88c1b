package figure_test

import (
	"fmt"
	"strings"

	"stovewright/brick"
	"stovewright/brick/figure"
	"stovewright/message"
)

// A firing plan for 60 mm bricks as a picture for the log sheet.
func Example() {
	plan, err := brick.FiringWish{Thickness: 0.060, Peak: 1273.15, Soak: 2 * 3600, PoreFormer: true}.Plan()
	if err != nil {
		fmt.Println(err)
		return
	}
	var svg strings.Builder
	if err := figure.Firing(plan, nil, message.English()).SVG(&svg); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f hours, drawn: %v\n", plan.Duration()/3600, strings.HasPrefix(svg.String(), "<svg"))
	// Output:
	// 57 hours, drawn: true
}
