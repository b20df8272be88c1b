package mesh_test

import (
	"bytes"
	"fmt"
	"math"

	"stovewright/drawing/mesh"
)

// A mould for a brick of 125 × 65 × 70 mm wet, with 1° of draft and rounded
// corners.
func ExampleMould_Block() {
	cavity, err := mesh.Rect(125, 65).Fillet(4, 0.02)
	if err != nil {
		fmt.Println(err)
		return
	}
	mould, err := mesh.Mould{
		Cavities: []mesh.Polygon{cavity},
		Depth:    70,
		Draft:    1 * math.Pi / 180,
		Wall:     18,
		Floor:    12,
	}.Block()
	if err != nil {
		fmt.Println(err)
		return
	}
	_, size := mould.Bounds()
	fmt.Printf("%.1f × %.1f × %.1f mm, %.0f cm³\n", size.X, size.Y, size.Z, mould.Volume()/1000)

	var file bytes.Buffer
	if err := mesh.WriteSTL(&file, "brick mould", mould); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(file.Len(), "bytes of STL")
	// Output:
	// 163.4 × 103.4 × 82.0 mm, 803 cm³
	// 7884 bytes of STL
}
