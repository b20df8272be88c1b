package xlsx_test

import (
	"bytes"
	"fmt"

	"stovewright/internal/xlsx"
)

func Example() {
	var b bytes.Buffer
	err := xlsx.Write(&b, []xlsx.Sheet{{Name: "Results", Head: []string{"stove", "efficiency (%)"},
		Rows: [][]xlsx.Cell{{xlsx.Text("Stove A"), xlsx.Number(24.6)}}}})
	fmt.Printf("%v %s", err, b.Bytes()[:2])
	// Output: <nil> PK
}
