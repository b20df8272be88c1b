package figure_test

import (
	"fmt"
	"os"
	"strings"

	"stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/message"
)

func Example() {
	var files []bench.TestFile
	for _, name := range []string{"stove-a/a1", "stove-a/a2", "stove-b/b1", "stove-b/b2"} {
		data, err := os.ReadFile("../../examples/tests/boiling/" + name + ".yaml")
		if err != nil {
			fmt.Println(err)
			return
		}
		f, err := bench.ReadTest(name, data)
		if err != nil {
			fmt.Println(err)
			return
		}
		files = append(files, f)
	}
	st, err := bench.NewStudy(files, "", []string{"h_hp"}, bench.DefaultSettings)
	if err != nil {
		fmt.Println(err)
		return
	}
	var svg strings.Builder
	err = figure.Differences(st, message.English(), 170).SVG(&svg)
	fmt.Println(err, strings.HasPrefix(svg.String(), "<svg"))
	// Output: <nil> true
}
