package nest_test

import (
	"fmt"

	"stovewright/kit/nest"
)

// Sheet for three stoves, with a shear, from sheets of 1 × 2 m.
func ExampleNest() {
	stock := []nest.Stock{{Name: "0.8 mm sheet", Width: 1, Height: 2, Count: nest.Unlimited}}
	parts := []nest.Part{
		{Name: "body", Width: 0.945, Height: 0.300, Count: 3},
		{Name: "skirt", Width: 0.971, Height: 0.120, Count: 3},
		{Name: "top ring", Width: 0.320, Height: 0.320, Count: 3, Disc: true, Hole: 0.210},
		{Name: "lid", Width: 0.200, Height: 0.200, Count: 3, Disc: true},
	}
	layout, err := nest.Nest(stock, parts, nest.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d sheet, %.0f %% in parts, cannot be fewer: %v\n", len(layout.Sheets), 100*layout.Yield(), layout.Optimal)
	first := layout.Sheets[0].Cuts[0]
	fmt.Printf("first cut: stop at %.0f mm, %.0f mm long\n", 1000*first.At, 1000*first.Length)
	// Output:
	// 1 sheet, 72 % in parts, cannot be fewer: true
	// first cut: stop at 320 mm, 1000 mm long
}

// How many bodies come out of one sheet?
func ExampleFill() {
	body := nest.Part{Name: "body", Width: 0.945, Height: 0.300, Count: nest.Unlimited}
	f, err := nest.Fill(nest.Stock{Width: 1.22, Height: 2.44}, []nest.Part{body}, nest.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Counts[0], "bodies, no layout gives more:", f.Optimal)
	// Output:
	// 9 bodies, no layout gives more: true
}
