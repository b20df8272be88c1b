package bench_test

import (
	"fmt"
	"os"
	"strings"

	"stovewright/bench"
	"stovewright/message"
)

// A boiling test from its file: the result, one line of the calculation with
// the numbers in place, and how sure it is. (Invented readings.)
func Example() {
	data, err := os.ReadFile("testdata/example-a.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	test, err := bench.ReadBoiling(data)
	if err != nil {
		fmt.Println(err) // every complaint, field by field
		return
	}
	result, err := bench.Boil(test)
	if err != nil {
		fmt.Println(err)
		return
	}
	step, _ := result.Step("cold.f_d")
	fmt.Println(step.Equation)
	fmt.Println(step.Numbers)
	fmt.Printf("%s: %.1f %%, usable: %v\n", message.English().Say(message.T("bench.q.h")), 100*result.Cold.Efficiency, result.Usable())

	u, err := bench.UncertaintyOf(test, "cold.h", 0.95, 0, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("95 %% interval %.1f to %.1f %%; most of it from the %s\n", 100*u.Interval.Low, 100*u.Interval.High,
		strings.ToLower(message.English().Say(u.Lines[0].Name)))
	// Output:
	// f_d = (f_m·(LHV·(1 − m) − m·B) − Δc·LHV_char)/LHV
	// f_d = (750·(18414·(1 − 0.1) − 0.1·2570.95) − 60·29500)/18414
	// thermal efficiency: 19.3 %, usable: true
	// 95 % interval 18.1 to 20.5 %; most of it from the lower heating value of dry wood
}
