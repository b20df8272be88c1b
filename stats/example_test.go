package stats_test

import (
	"fmt"

	"stovewright/stats"
)

// Four cooking tests with an old stove and four with a new one: how much wood
// is saved, and how sure is that? (Invented readings, g of wood a kg of food.)
func Example() {
	old := []float64{709, 679, 731, 692}
	new := []float64{466, 493, 456, 480}

	ratio, err := stats.LogRatio(old, new, 0.90)
	if err != nil {
		fmt.Println(err)
		return
	}
	saving, interval := ratio.Saving()
	fmt.Printf("saving %.0f %%, 90 %% interval %.0f to %.0f %%\n", 100*saving, 100*interval.Low, 100*interval.High)

	n := stats.SampleSizeTwoSample(0.10, 0.10, 0.05, 0.80)
	fmt.Printf("to see 10 %% where tests scatter by 10 %%: %d tests each\n", stats.Whole(n))
	// Output:
	// saving 33 %, 90 % interval 29 to 36 %
	// to see 10 % where tests scatter by 10 %: 17 tests each
}
